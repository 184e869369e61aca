"""What yields first: every factor by hand from its own forces, and what is not known stays not known."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from towlib.physics.hitch.attachment import (
    ACROSS,
    ALONG,
    Attachment,
    BoltPlace,
    first_to_yield,
    plate_view,
    weakest_under,
)
from towlib.physics.hitch.load_cases import Force

SQUARE = tuple(BoltPlace(0.05, up, out) for up in (-0.03, 0.03) for out in (-0.04, 0.04))
RAIL = tuple(BoltPlace(0.10 + back, up, 0.02) for up in (-0.03, 0.03) for back in (-0.04, 0.04))
WHOLE = Attachment(
    SQUARE,
    ALONG,
    bolt_diameter_m=0.0127,
    bolt_tension_n=58e3,
    bolt_shear_n=32e3,
    plate_thickness_m=0.008,
    plate_yield_pa=250e6,
    hole_diameter_m=0.0135,
    edge_distance_m=0.025,
    plate_width_m=0.13,
    plate_free_width_m=0.08,
    lug_thickness_m=0.012,
    lug_width_m=0.05,
    eye_thickness_m=0.02,
    gap_m=0.001,
    pin_diameter_m=0.016,
    pin_yield_pa=250e6,
    lugs_welded=True,
    weld_leg_m=0.006,
    weld_length_m=0.045,
)
ALONG_ONLY, ACROSS_ONLY = {"plate_free_width_m"}, {"hole_diameter_m"}  # of bolts and bending
# an edge of 25 mm and half of 80 mm: 3·40²/(25·(240 + 50)) more on the bolts
PRIED = 1 + 3 * 40**2 / (25 * 290)
forces = st.floats(-2e4, 2e4)


def _factors(force, attachment, side=1.0):
    return {part.name: part.load_factor for part in first_to_yield([(force, side)], attachment)}


def test_every_part_by_hand():
    # 9 kN forwards and 2 kN outboard at a pin 50 mm ahead of the plate: 100 N·m tips it over two columns 80
    # mm apart
    found = _factors(Force(9e3, 2e3, 0.0), WHOLE)
    tension, shear = 9e3 / 4 + 100 / 0.08 / 2, 500.0
    assert found["bolts"] == pytest.approx(1 / math.hypot(PRIED * tension / 58e3, shear / 32e3))
    assert found["bolt holes (bearing)"] == pytest.approx(0.0127 * 0.008 * 250e6 / 500)
    assert found["plate edge (tear-out)"] == pytest.approx(
        2 * 0.008 * (0.025 - 0.00675) * 250e6 / math.sqrt(3) / 500
    )
    assert found["plate beside the holes"] == pytest.approx((0.13 - 2 * 0.0135) * 0.008 * 250e6 / 2e3)
    # pin: arm (20 + 4·1 + 2·12)/8 = 6 mm, W = pi/32·16³ = 402.1 mm³
    force = math.hypot(9e3, 2e3)
    bending = force * 6 / (math.pi / 32 * 16**3 * 250)
    shear = force / (2 * math.pi / 4 * 16**2 * 250 / math.sqrt(3))
    assert found["pin"] == pytest.approx(1 / math.hypot(bending, shear))
    assert found["lug holes (bearing)"] == pytest.approx(2 * 16 * 12 * 250 / force)
    # plate: 9 kN · 80/4 on 50 + 80/4 = 70 mm of it, and 2 kN · 50/2 on the lugs' 50 mm, 8 mm thick
    assert found["plate in bending"] == pytest.approx(8**2 / 6 * 250 / (9e3 * 20 / 70 + 2e3 * 25 / 50))
    # lugs 50 · 12 mm, 50 mm from the pin: half of 9 kN along, all of 2 kN on the thin side
    assert found["lugs at their root"] == pytest.approx(250 / (4500 / 600 + 2e3 * 50 / (50 * 12**2 / 6)))
    # throats 0.707·6 mm, 45 mm long, two a lug, 12 mm apart
    throats = 2 * 0.707 * 6 * 45
    assert found["weld"] == pytest.approx(
        250 / math.sqrt(3) / math.hypot(4500 / throats + 2e3 * 50 / 12 / (throats / 2), 2e3 / throats)
    )


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
    # the tongue ends at the nearest bolts, 60 mm behind the pin: (130 - 2·13.5) · 8 mm of it; 20 mm beside
    # the pin's line
    width = 103
    stress = 8e3 / (width * 8) + 1e3 * 60 / (8 * width**2 / 6)
    stress += math.hypot(8e3, 1e3) * 20 / (width * 8**2 / 6)
    assert part["plate in bending"] == pytest.approx(250 / stress)
    lug = 8e3 / 2 / 600 + 500 * 60 / (12 * 50**2 / 6)
    assert part["lugs at their root"] == pytest.approx(250 / lug)
    # one lug: half of lug, the gap and half of the eye, 6 + 1 + 10 = 17 mm, and one cut
    force = math.hypot(8e3, 1e3)
    bending = force * 17 / (math.pi / 32 * 16**3 * 250)
    shear = force / (math.pi / 4 * 16**2 * 250 / math.sqrt(3))
    single = _factors(Force(8e3, 0.0, 1e3), WHOLE._replace(pin_planes=1))
    assert single["pin"] == pytest.approx(1 / math.hypot(bending, shear))


def test_lugs_of_one_piece_with_the_plate_have_no_weld():
    whole = WHOLE._replace(lugs_welded=False, weld_leg_m=None, weld_length_m=None)
    assert math.isinf(_factors(Force(9e3, 2e3, 0.0), whole)["weld"])


@pytest.mark.parametrize("thickness", [0.002, 0.003, 0.004])
def test_a_thin_plate_folds(thickness):
    # 4.6 kN along, 1.07 kN outboard: 4,600·20/70 + 1,070·25/50 = 1,849 N·mm a mm of width
    found = _factors(Force(4.6e3, 1.07e3, 0.0), WHOLE._replace(plate_thickness_m=thickness))
    t = 1e3 * thickness
    assert found["plate in bending"] == pytest.approx(t**2 / 6 * 250 / (92e3 / 70 + 535))
    assert found["plate in bending"] < 1  # 6.7 mm would do


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
        == pytest.approx(4 * 58e3 / 9e3 / PRIED)
    )


def test_the_worst_of_all_forces_and_the_weakest_first():
    small, large = (Force(1e3, 0.0, 0.0), 1.0), (Force(9e3, 2e3, 0.0), -1.0)
    both = first_to_yield([small, large], WHOLE)
    assert both == first_to_yield([large], WHOLE) and [p.load_factor for p in both] == sorted(
        p.load_factor for p in both
    )


@pytest.mark.parametrize(
    "name", [name for name in Attachment._fields if name not in ("pin_planes", "longest_row")]
)
def test_what_is_not_known_is_listed_last_and_never_a_pass(name):
    parts = first_to_yield([(Force(9e3, 2e3, 500.0), 1.0)], WHOLE._replace(**{name: None}))
    assert len(parts) == 9 and any(part.load_factor is None and part.why for part in parts)
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


def test_the_part_that_yields_first_and_under_which_force():
    loads = [(Force(1e3, 0.0, 0.0), 1.0), (Force(9e3, 2e3, 0.0), -1.0), (Force(5e3, 2e3, 0.0), 1.0)]
    names = tuple(part.name for part in first_to_yield(loads, WHOLE))
    first = first_to_yield([loads[1]], WHOLE)[0]
    assert weakest_under(loads, WHOLE, names) == (first.load_factor, first.name, 1)
    assert weakest_under(loads[::2], WHOLE, ("pin",))[1:] == ("pin", 1)
    for bad in (lambda: weakest_under([], WHOLE, names), lambda: weakest_under(loads, WHOLE, ())):
        with pytest.raises(ValueError, match="no part to hold"):
            bad()
    with pytest.raises(ValueError, match="pin yield"):
        weakest_under(loads, WHOLE._replace(pin_yield_pa=None), names)
