"""The driveline solver against exact elimination with fractions, SciPy's null space, published differentials
and hand cases.
"""

import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.linalg import null_space

from towlib.handbook.tables import check_close
from towlib.physics.driveline.gear_ties import (
    Tie,
    differential,
    gear,
    turning_at,
    wheel_rpm,
    wheel_speeds_m_s,
)
from towlib.physics.driveline.shaft_motion import (
    FORCED,
    LOOSE,
    STANDS,
    TURNS,
    contradicting_ties,
    motion,
    solve_speeds,
)

PARTS = ("a", "b", "c", "d", "e")
TIES = st.lists(
    st.builds(
        lambda parts, factors, value: Tie("t", tuple(zip(parts, factors, strict=False)), float(value)),
        st.lists(st.sampled_from(PARTS), min_size=1, max_size=3, unique=True),
        st.lists(st.sampled_from((-3, -2, -1, 1, 2, 3, 4)), min_size=3, max_size=3),
        st.sampled_from((0, 0, 0, 12, 700)),
    ),
    max_size=7,
)


def exact(ties):
    """Reduced rows by Gauss and Jordan in exact fractions: the settled speeds, or None for a
    contradiction.
    """
    rows = [
        [Fraction(dict(tie.terms).get(part, 0)) for part in PARTS] + [Fraction(tie.value_rpm)] for tie in ties
    ]
    pivots = []
    for column in range(len(PARTS)):
        row = next((r for r in rows[len(pivots) :] if r[column]), None)
        if row is None:
            continue
        rows.remove(row)
        row = [value / row[column] for value in row]
        rows = [[x - r[column] * y for x, y in zip(r, row, strict=True)] for r in rows]
        rows.insert(len(pivots), row)
        pivots.append(column)
    if any(not any(r[:-1]) and r[-1] for r in rows):
        return None
    return {
        PARTS[column]: r[-1] for column, r in zip(pivots, rows, strict=False) if sum(map(bool, r[:-1])) == 1
    }


@settings(max_examples=150, deadline=None)
@given(TIES)
def test_solver_agrees_with_exact_elimination_and_scipy(ties):
    found, truth = solve_speeds(PARTS, ties), exact(ties)
    settled = {
        part for i, part in enumerate(PARTS) if np.abs(found.freedom).max(axis=0, initial=0.0)[i] < 1e-7
    }
    assert (truth is None) == bool(contradicting_ties(PARTS, ties))
    if ties:
        rows = np.array([[dict(tie.terms).get(part, 0.0) for part in PARTS] for tie in ties])
        span = null_space(rows)  # SciPy's own
        assert found.freedom.shape[0] == span.shape[1] and np.allclose(rows @ found.freedom.T, 0.0, atol=1e-9)
    if truth is not None:
        assert settled == set(truth)
        assert all(
            found.rpm[PARTS.index(part)] == pytest.approx(float(n), abs=1e-6) for part, n in truth.items()
        )


@settings(max_examples=150, deadline=None)
@given(TIES)
def test_what_contradicts_is_only_what_contradicts(ties):
    clash = contradicting_ties(PARTS, ties)
    kept = [tie for tie in ties if not any(tie is other for other in clash)]
    if clash:
        assert exact(clash) is None and exact(kept) is not None


@pytest.mark.parametrize(
    ("teeth", "shaft", "other", "check"),
    [
        ((12, 60), 1000, 210, "differential_190"),
        ((12, 60), 1200, 250, "differential_230"),
        ((12, 50), 1500, 250, "differential_470"),
    ],
)
def test_published_differentials(teeth, shaft, other, check):
    ties = (
        gear("crown", "pinion", "case", ratio=teeth[1] / teeth[0]),
        differential("axle", "case", ("left", "right")),
        turning_at("shaft", "pinion", shaft),
        turning_at("road", "right", other),
    )
    found = motion(("pinion", "case", "left", "right"), ties)
    check_close(found.rpm["left"], check)
    assert found.by_the_road == {"pinion", "case", "left", "right"}


def test_published_wheel():
    check_close(wheel_rpm(15.0, 0.300) * 2 * math.pi / 60, "tyre_spin")


def test_one_wheel_held_the_other_turns_twice_as_fast():
    # the textbook case of a car with one wheel on ice: case at n, one side 0, the other 2n
    found = motion(
        ("case", "left", "right"),
        (
            differential("axle", "case", ("left", "right")),
            turning_at("engine", "case", 100.0),
            turning_at("held", "left", 0.0),
        ),
    )
    assert found.rpm == pytest.approx({"case": 100.0, "left": 0.0, "right": 200.0})


def test_a_free_side_turns_back_while_the_shaft_rests():
    ties = (differential("axle", "case", ("left", "right")), turning_at("road", "left", 300.0))
    found = motion(("left", "right", "case"), ties, resting=("case",))
    assert found.rpm["right"] == pytest.approx(-300.0) and found.state == {
        "left": TURNS,
        "right": TURNS,
        "case": LOOSE,
    }
    assert found.by_the_road == {"left"}


@given(st.floats(0.2, 0.8), st.floats(100, 3000), st.floats(100, 3000))
def test_power_in_is_power_out_of_a_torque_split(share, front, rear):
    ties = (
        differential("centre", "case", ("front", "rear"), first_share=share),
        turning_at("f", "front", front),
        turning_at("r", "rear", rear),
    )
    case = motion(("case", "front", "rear"), ties).rpm["case"]
    assert 1.0 * case == pytest.approx(share * front + (1 - share) * rear)  # torque 1 in, shares out


def test_oil_drags_only_what_is_free():
    base = (turning_at("road", "wheel", 500.0), gear("axle", "shaft", "wheel", ratio=4.0))
    drags, parts = (("shaft", "input"), ("input", "engine")), ("wheel", "shaft", "input", "engine")
    assert motion(parts, base, drags=drags).state == {
        "wheel": TURNS,
        "shaft": TURNS,
        "input": LOOSE,
        "engine": LOOSE,
    }
    assert motion(parts, base, drags=drags, held=("engine",)).state["engine"] == STANDS
    joined = (*base, gear("gear", "engine", "input", ratio=2.0))
    assert motion(parts, joined, drags=drags, held=("engine",)).state["input"] == STANDS
    assert motion(parts, base).state["input"] == STANDS  # nothing touches it


def test_a_pawl_against_the_road_is_forced():
    parts = ("left", "right", "case", "pinion", "lamp")
    ties = (
        turning_at("left rolling", "left", 500.0),
        turning_at("right rolling", "right", 500.0),
        differential("axle", "case", ("left", "right")),
        gear("drive", "pinion", "case", ratio=4.0),
        turning_at("pawl", "pinion", 0.0),
    )
    found = motion(parts, ties)
    assert found.conflict == ("left rolling", "right rolling", "axle", "drive", "pawl")
    assert (
        found.state == {"left": TURNS, "right": TURNS, "case": FORCED, "pinion": FORCED, "lamp": STANDS}
        and found.rpm["pinion"] == 0.0
    )
    # one wheel jacked up and free: the pawl holds, and the free wheel turns the other way
    free = motion(parts, [tie for tie in ties if tie.name != "right rolling"])
    assert not free.conflict and free.rpm["right"] == pytest.approx(-500.0)


@given(st.floats(0.5, 40), st.floats(-0.12, 0.12), st.floats(1.0, 2.0), st.floats(1.5, 3.5))
def test_wheels_in_a_turn(speed, curvature, track, wheelbase):
    found = wheel_speeds_m_s(speed, curvature, track_m=track, wheelbase_m=wheelbase)
    if abs(curvature) < 1e-9:
        return
    centre = 1.0 / curvature  # distances to a point on the rear axle's line, independently
    for got, (x, y) in zip(
        found, ((wheelbase, track / 2), (wheelbase, -track / 2), (0, track / 2), (0, -track / 2)), strict=True
    ):
        assert got == pytest.approx(speed * math.dist((x, y), (0.0, centre)) / abs(centre), rel=1e-6)
    assert found.rear_left_m_s + found.rear_right_m_s == pytest.approx(2 * speed)


def test_impossible_input_is_one_plain_sentence():
    for wrong in (
        lambda: gear("g", "a", "b", ratio=0),
        lambda: gear("g", "a", "a"),
        lambda: differential("d", "c", ("l", "r"), first_share=1.0),
        lambda: wheel_rpm(10, 0),
        lambda: wheel_speeds_m_s(1, 1.5, track_m=1.5, wheelbase_m=2),
        lambda: wheel_speeds_m_s(1, 0, track_m=0, wheelbase_m=2),
        lambda: solve_speeds(("a",), (turning_at("t", "b", 1.0),)),
        lambda: solve_speeds(("a", "a"), ()),
        lambda: motion(("a",), (turning_at("one", "a", 1.0), turning_at("two", "a", 2.0))),
    ):
        with pytest.raises(ValueError, match=r"^[a-z][^.]*$"):
            wrong()


def test_a_shaft_without_a_ratio_turns_both_ends_alike():
    found = solve_speeds(
        ("wheel", "shaft"), (turning_at("road", "wheel", 700.0), gear("half shaft", "shaft", "wheel"))
    )
    assert list(found.rpm) == pytest.approx([700.0, 700.0])
