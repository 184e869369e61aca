"""The elastic method against two other solutions of the same problem, cases by hand, and balances."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from towlib.physics.hitch.bolt_group import bolt_forces

lengths, newtons = st.floats(-0.2, 0.2), st.floats(-3e4, 3e4)
patterns = st.lists(st.tuples(lengths, lengths), min_size=3, max_size=9)
loads, points = st.tuples(newtons, newtons, newtons), st.tuples(lengths, lengths, lengths)


def _spread_out(pattern):
    places = np.array(pattern) - np.mean(pattern, axis=0)
    values = np.linalg.svd(places, compute_uv=False)
    return values[-1] > 0.02 and values[-1] > 0.05 * values[0]


def _wrench(force, point):
    return np.concatenate([force, np.cross(point, force)])


def _columns(pattern):
    """6 × 3N: what unit forces on the bolts add up to, forces first, then moments about the origin."""
    return np.hstack([np.vstack([np.eye(3), np.cross([(u, v, 0.0)], np.eye(3)).T]) for u, v in pattern])


@given(patterns, loads, points)
def test_balance_and_two_other_solutions(pattern, force, point):
    assume(_spread_out(pattern))
    ours = np.array(bolt_forces(pattern, force, point))
    columns, wrench = _columns(pattern), _wrench(force, point)
    size = max(1.0, np.abs(force).max(), np.abs(ours).max())
    assert np.abs(columns @ ours.ravel() - wrench).max() <= 1e-9 * size
    # the smallest forces that balance the load are those of equal springs under a rigid plate
    smallest = np.linalg.lstsq(columns, wrench, rcond=None)[0]
    assert ours.ravel() == pytest.approx(smallest, abs=1e-8 * size)
    # rigid plate on springs, stiffer along the bolts than across them: displacements first, then forces
    stiff = np.diag([1.0, 1.0, 3.0] * len(pattern))
    moved = np.linalg.solve(columns @ stiff @ columns.T, wrench)
    assert ours.ravel() == pytest.approx(stiff @ columns.T @ moved, abs=1e-7 * size)


@given(patterns, loads, points, st.tuples(lengths, lengths))
def test_the_origin_does_not_matter(pattern, force, point, shift):
    assume(_spread_out(pattern))
    moved = [(u + shift[0], v + shift[1]) for u, v in pattern]
    there = bolt_forces(moved, force, (point[0] + shift[0], point[1] + shift[1], point[2]))
    assert np.array(bolt_forces(pattern, force, point)) == pytest.approx(
        np.array(there), abs=1e-6 * max(1.0, np.abs(force).max())
    )


@given(patterns, loads, points)
def test_mirrored_plates_give_mirrored_forces(pattern, force, point):
    assume(_spread_out(pattern))
    mirrored = bolt_forces(
        [(-u, v) for u, v in pattern], (-force[0], force[1], force[2]), (-point[0], point[1], point[2])
    )
    for here, there in zip(bolt_forces(pattern, force, point), mirrored, strict=True):
        assert there == pytest.approx(
            (-here.shear_u_n, here.shear_v_n, here.tension_n), abs=1e-6 * max(1.0, np.abs(force).max())
        )


def test_textbook_rectangle_by_hand():
    # four bolts 60 × 80 mm, 10 kN down at 150 mm beside the middle: twist 1,500 N·m, Σr² = 4·(30² + 40²) =
    # 0.01 m²
    four = [(-0.03, -0.04), (0.03, -0.04), (0.03, 0.04), (-0.03, 0.04)]
    far = bolt_forces(four, (0.0, -10e3, 0.0), (0.15, 0.0, 0.0))
    # each bolt: -2,500 direct; twist gives -1500/0.01·(-v, u) = 150,000·(v, -u)
    assert far[1] == pytest.approx((-6000.0, -2500.0 - 4500.0, 0.0)) and far[3] == pytest.approx(
        (6000.0, -2500.0 + 4500.0, 0.0)
    )
    assert far[1].shear_n == pytest.approx(np.hypot(6000, 7000))
    # the same force 50 mm off the plate tips it: 500 N·m over two rows 80 mm apart pulls the upper two with
    # 3,125 N each
    tipped = bolt_forces(four, (0.0, -10e3, 0.0), (0.0, 0.0, 0.05))
    assert [bolt.tension_n for bolt in tipped] == pytest.approx([-3125, -3125, 3125, 3125])
    straight = bolt_forces(four, (0.0, 0.0, 8e3), (0.0, 0.0, 0.1))
    assert all(bolt == pytest.approx((0, 0, 2000)) for bolt in straight)


def test_a_slanting_pattern_needs_the_mixed_moment():
    # three bolts of a right triangle: a pull over one corner is that corner's bolt alone
    corners = [(0.0, 0.0), (0.1, 0.0), (0.0, 0.05)]
    for i, corner in enumerate(corners):
        tension = [bolt.tension_n for bolt in bolt_forces(corners, (0.0, 0.0, 900.0), (*corner, 0.02))]
        assert tension == pytest.approx([900.0 if j == i else 0.0 for j in range(3)], abs=1e-9)


def test_bolts_in_one_line():
    line = [(0.01, 0.02), (0.04, 0.06)]  # 50 mm apart, slanting
    assert [b.tension_n for b in bolt_forces(line, (0.0, 0.0, 600.0), (0.01, 0.02, 0.0))] == pytest.approx(
        [600.0, 0.0], abs=1e-9
    )
    twisted = bolt_forces(line, (0.0, 0.0, 0.0), (1.0, 1.0, 1.0))
    assert all(part == 0 for bolt in twisted for part in bolt)
    assert bolt_forces([(0.1, 0.2)], (10.0, 20.0, 30.0), (0.1, 0.2, 0.0)) == ((10.0, 20.0, 30.0),)
    # a pair carries a twist in its plane: 1,000 N at 100 mm over 50 mm
    pair = bolt_forces([(0.0, -0.025), (0.0, 0.025)], (0.0, 1000.0, 0.0), (0.1, 0.0, 0.0))
    assert [b.shear_u_n for b in pair] == pytest.approx([2000.0, -2000.0])


@pytest.mark.parametrize(
    "call",
    [
        lambda: bolt_forces([], (1, 0, 0), (0, 0, 0)),
        lambda: bolt_forces([(0, 0)], (1, 0, 0), (0, 0.1, 0)),
        lambda: bolt_forces([(0, 0)], (0, 0, 1), (0.1, 0, 0)),
        lambda: bolt_forces([(0, 0)], (1, 0, 0), (0, 0, 0.1)),
        lambda: bolt_forces([(0, -0.02), (0, 0.02)], (0, 0, 1), (0.1, 0, 0)),
        lambda: bolt_forces([(0, 0), (0.01, 0.01), (0.03, 0.03)], (1, 1.1, 0), (0, 0, 0.1)),
        lambda: bolt_forces([(0, 0), (0, 0)], (0, 1, 0), (0.1, 0, 0)),
    ],
)
def test_what_the_model_cannot_carry_is_refused(call):
    with pytest.raises(ValueError, match=r"^[^.]+(\.\d+[^.]*)*$"):
        call()
