"""What yields first: every factor by hand from its own forces, and what is not known stays not known."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from towlib.physics.hitch.attachment import ACROSS, ALONG, Attachment, BoltPlace, first_to_yield, plate_view
from towlib.physics.hitch.load_cases import Force

SQUARE = tuple(BoltPlace(0.05, up, out) for up in (-0.03, 0.03) for out in (-0.04, 0.04))
RAIL = tuple(BoltPlace(0.10 + back, up, 0.02) for up in (-0.03, 0.03) for back in (-0.04, 0.04))
WHOLE = Attachment(
    SQUARE, ALONG, 0.0127, 58e3, 32e3, 0.008, 250e6, 0.0135, 0.025, 0.13, 0.016, 250e6, weld_load_n=60e3
)
forces = st.floats(-2e4, 2e4)


def _factors(force, attachment, side=1.0):
    return {part.name: part.load_factor for part in first_to_yield([(force, side)], attachment)}


def test_every_part_by_hand():
    # 9 kN forwards and 2 kN outboard at a pin 50 mm ahead of the plate: 100 N·m tips it over two columns 80
    # mm apart
    found = _factors(Force(9e3, 2e3, 0.0), WHOLE)
    tension, shear = 9e3 / 4 + 100 / 0.08 / 2, 500.0
    assert found["bolts"] == pytest.approx(1 / math.hypot(tension / 58e3, shear / 32e3))
    assert found["bolt holes (bearing)"] == pytest.approx(0.0127 * 0.008 * 250e6 / 500)
    assert found["plate edge (tear-out)"] == pytest.approx(
        2 * 0.008 * (0.025 - 0.00675) * 250e6 / math.sqrt(3) / 500
    )
    assert found["plate beside the holes"] == pytest.approx((0.13 - 2 * 0.0135) * 0.008 * 250e6 / 2e3)
    assert found["pin"] == pytest.approx(
        2 * math.pi / 4 * 0.016**2 * 250e6 / math.sqrt(3) / math.hypot(9e3, 2e3)
    )
    assert found["weld"] == pytest.approx(60e3 / math.hypot(9e3, 2e3))


def test_bolts_across_the_frame_rail():
    # 8 kN forwards in the plate's plane, 20 mm beside it and 100 mm ahead of the bolts' middle; 1 kN up turns
    # the plate
    view = plate_view(Force(8e3, 0.0, 1e3), RAIL, bolts_run=ACROSS, side=1.0)
    assert (
        view.force_n == (8e3, 1e3, 0.0)
        and view.point_m == (0.0, 0.0, -0.02)
        and view.positions_m[0] == pytest.approx((-0.06, -0.03))
    )
    # turning: 100 N·m over Σr² = 0.01 m²; tipping: 160 N·m over Σu² = 0.0064 m² and 20 N·m over Σv² = 0.0036
    # m²
    corners = [(u, v) for u in (-0.04, 0.04) for v in (-0.03, 0.03)]
    shears = [math.hypot(2e3 - 1e4 * v, 250 + 1e4 * u) for u, v in corners]
    pulls = [160 / 0.0064 * u + 20 / 0.0036 * v for u, v in corners]
    part = _factors(Force(8e3, 0.0, 1e3), WHOLE._replace(bolts=RAIL, bolts_run=ACROSS))
    assert part["bolt holes (bearing)"] == pytest.approx(0.0127 * 0.008 * 250e6 / max(shears))
    assert part["plate edge (tear-out)"] == pytest.approx(
        2 * 0.008 * (0.025 - 0.00675) * 250e6 / math.sqrt(3) / max(shears)
    )
    assert part["bolts"] == pytest.approx(
        1 / max(math.hypot(pull / 58e3, shear / 32e3) for pull, shear in zip(pulls, shears, strict=True))
    )
    assert _factors(Force(8e3, 0.0, 1e3), WHOLE._replace(pin_planes=1))["pin"] == pytest.approx(
        part["pin"] / 2
    )


@pytest.mark.parametrize("place", [(0.05, 0.02), (0.02, 0.05)])
@pytest.mark.parametrize("upright", [True, False])
def test_the_longest_row_of_holes_weakens_the_plate(place, upright):
    # four holes in one row and two beside it, apart: four holes are lost, whichever way the row runs
    pattern = [(0.0, -0.03), (0.0, 0.0), (0.0, 0.03), (0.0, 0.06), (0.04, 0.0), (0.08, 0.01)]
    bolts = tuple(
        BoltPlace(0.05, place[0] + (v if upright else u), place[1] + (u if upright else v))
        for u, v in pattern
    )
    found = _factors(Force(0.0, 1.2e3, 1.6e3), WHOLE._replace(bolts=bolts))
    assert found["plate beside the holes"] == pytest.approx((0.13 - 4 * 0.0135) * 0.008 * 250e6 / 2e3)


@given(forces, forces, forces, st.sampled_from([(SQUARE, ALONG), (RAIL, ACROSS)]))
def test_left_and_right_brackets_mirror_and_factors_scale(along, left, up, built):
    bracket = WHOLE._replace(bolts=built[0], bolts_run=built[1])
    here, there = (
        _factors(Force(along, left, up), bracket),
        _factors(Force(along, -left, up), bracket, side=-1.0),
    )
    twice = _factors(Force(2 * along, 2 * left, 2 * up), bracket)
    for name, factor in here.items():
        assert there[name] == pytest.approx(factor)
        assert twice[name] == pytest.approx(factor / 2) or factor > 1e9 or math.isinf(factor)


def test_a_push_counts_like_a_pull_because_the_face_is_not_asked():
    assert (
        _factors(Force(-9e3, 0.0, 0.0), WHOLE)["bolts"]
        == pytest.approx(_factors(Force(9e3, 0.0, 0.0), WHOLE)["bolts"])
        == pytest.approx(4 * 58e3 / 9e3)
    )


def test_the_worst_of_all_forces_and_the_weakest_first():
    small, large = (Force(1e3, 0.0, 0.0), 1.0), (Force(9e3, 2e3, 0.0), -1.0)
    both = first_to_yield([small, large], WHOLE)
    assert both == first_to_yield([large], WHOLE) and [p.load_factor for p in both] == sorted(
        p.load_factor for p in both
    )


@pytest.mark.parametrize("name", [name for name in Attachment._fields if name != "pin_planes"])
def test_what_is_not_known_is_listed_last_and_never_a_pass(name):
    parts = first_to_yield([(Force(9e3, 2e3, 500.0), 1.0)], WHOLE._replace(**{name: None}))
    assert len(parts) == 6 and any(part.load_factor is None and part.why for part in parts)
    known = [part.load_factor is not None for part in parts]
    assert known == sorted(known, reverse=True)


def test_a_line_of_bolts_that_cannot_hold_the_moment_is_not_known_with_its_reason():
    upright = tuple(BoltPlace(0.05, up, 0.0) for up in (-0.03, 0.03))
    parts = {
        part.name: part
        for part in first_to_yield([(Force(9e3, 2e3, 0.0), 1.0)], WHOLE._replace(bolts=upright))
    }
    assert (
        parts["bolts"].load_factor is None
        and "in one line" in parts["bolts"].why
        and parts["pin"].load_factor > 0
    )
    assert math.isinf(
        {p.name: p for p in first_to_yield([(Force(9e3, 0.0, 0.0), 1.0)], WHOLE)}[
            "bolt holes (bearing)"
        ].load_factor
    )


@pytest.mark.parametrize(
    "call",
    [
        lambda: first_to_yield([], WHOLE),
        lambda: plate_view(Force(1, 0, 0), [], bolts_run=ALONG, side=1.0),
        lambda: plate_view(Force(1, 0, 0), SQUARE, bolts_run="up", side=1.0),
        lambda: plate_view(Force(1, 0, 0), SQUARE, bolts_run=ACROSS, side=1.0),
    ],
)
def test_impossible_input_is_refused(call):
    with pytest.raises(ValueError, match=r"^[^.]+(\.\d+[^.]*)*$"):
        call()
