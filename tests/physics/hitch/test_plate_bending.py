"""Plates, lugs and pins that bend: closed formulas against finite elements and against sums written out."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.physics.hitch.finite_elements import pin_moment_peak, prying, strip_moment_peak
from towlib.physics.hitch.pins import pin_arm_m, pin_use, round_bending_moment_n_m
from towlib.physics.hitch.plate_bending import (
    LugSize,
    PlateSize,
    bending_width_m,
    flat_bending_moment_n_m,
    lug_stress_pa,
    plate_stress_pa,
    prying_share,
)

sizes = st.floats(0.005, 0.2)
forces = st.floats(-3e4, 3e4)


def moment_a_metre(span, width, lug, force=1.0):
    """Moment over width of our plate, from the stress in its surface: s = 6·M/t²."""
    plate = PlateSize(span, width, 0.01)
    return plate_stress_pa(plate, LugSize(lug, 0.01, 0.0), off_n=force, sideways_n=0.0) * 0.01**2 / 6


# ---- the plate between its supports ----


@pytest.mark.parametrize(
    ("span", "width", "lug"),
    [(0.06, 0.11, 0.07), (0.15, 0.11, 0.06), (0.06, 0.11, 0.109)],  # the lug across half the plate, all of it
)
def test_a_plate_of_finite_elements_bends_as_much_within_5_per_cent(span, width, lug):
    ours = moment_a_metre(span, width, lug)
    assert strip_moment_peak(span, width, lug) == pytest.approx(ours, rel=0.05)


@pytest.mark.parametrize(
    ("span", "width", "lug"), [(0.06, 0.11, 0.03), (0.08, 0.3, 0.06), (0.1, 0.11, 0.06), (0.06, 0.11, 0.06)]
)
def test_a_narrow_lug_bends_the_plate_no_more_than_is_counted(span, width, lug):
    ours = moment_a_metre(span, width, lug)
    assert 0.7 * ours < strip_moment_peak(span, width, lug) < ours


def test_stress_of_a_plate_by_its_supports():
    # supports 80 mm apart, the lug 40 mm wide on a plate of 100 by 10: 1,000 N in the middle is 500 N · 40 mm
    # = 20 N·m, on 40 + 80/4 = 60 mm: 20,000/(60·10²/6) = 20 MPa. A couple of 300 N · 70 mm = 21 N·m in the
    # middle: the supports push with 21/0.08 = 262.5 N, which over 40 mm is 10.5 N·m on either side, on the
    # lug's 40 mm: 10,500/(40·10²/6) = 15.75 MPa
    plate, lug = PlateSize(0.08, 0.1, 0.01), LugSize(0.04, 0.01, 0.07)
    found = [
        plate_stress_pa(plate, lug, off_n=f, sideways_n=s) for f, s in ((1e3, 0), (0, 300), (-1e3, -300))
    ]
    assert [each / 1e6 for each in found] == pytest.approx([20.0, 15.75, 35.75])
    narrow = plate._replace(width_m=0.03)  # narrower than its lug
    assert plate_stress_pa(narrow, lug, off_n=1e3, sideways_n=300.0) / 1e6 == pytest.approx(40 + 21)


def test_the_plate_spreads_the_load_no_wider_than_it_is():
    assert bending_width_m(0.2, lug_width_m=0.06, span_m=0.08) == pytest.approx(0.08)
    assert bending_width_m(0.07, lug_width_m=0.06, span_m=0.08) == 0.07


@pytest.mark.parametrize("thickness", [0.002, 0.003, 0.004, 0.015])
def test_surface_stress_by_strips_of_the_section(thickness):
    # a flat bar 85 mm wide in a hundred layers: each carries in proportion to its height, the surface 250 MPa
    layers = [(i + 0.5) / 100 * thickness - thickness / 2 for i in range(100)]
    moment = sum(250e6 * y / (thickness / 2) * y * 0.085 * thickness / 100 for y in layers)
    assert flat_bending_moment_n_m(0.085, thickness, yield_pa=250e6) == pytest.approx(moment, rel=1e-3)


# ---- prying ----


@pytest.mark.parametrize(
    ("arm", "edge", "thickness"), [(0.06, 0.05, 0.006), (0.04, 0.05, 0.004), (0.05, 0.02, 0.005)]
)
def test_a_t_stub_of_finite_elements_pries_as_much_within_5_per_cent(arm, edge, thickness):
    at_edge, in_middle = prying(arm, edge, thickness)
    share = prying_share(arm, edge)
    assert at_edge == pytest.approx(share, rel=0.05)
    assert in_middle == pytest.approx(arm - share * edge, rel=0.05)
    # the plate is counted as if nothing pried: more moment, never less
    assert moment_a_metre(2 * arm, 1.0, 1.0, force=2.0) > in_middle


def test_prying_by_slopes_of_a_beam():
    # half the plate, EI = 1, m = 2, n = 2: over the bolt Q·2; from the middle (level) to the bolt the moment
    # goes from 2 - 2Q to -2Q, so the slope there is (2 - 4Q)/2 · 2; of the overhang on two supports 2Q·2/3:
    # 2 - 4Q = 4Q/3, Q = 3/8
    assert prying_share(2.0, 2.0) == pytest.approx(3 / 8)
    assert prying_share(2.0, 9.0) == prying_share(2.0, 2.5)  # an edge further off does not press


# ---- the pin ----


@pytest.mark.parametrize(
    ("lug", "eye", "gap"), [(0.015, 0.020, 0.001), (0.006, 0.025, 0.004), (0.010, 0.012, 0.0001)]
)
def test_a_pin_of_finite_elements_bends_as_much_within_5_per_cent(lug, eye, gap):
    found = pin_moment_peak(lug, eye, gap)
    assert found == pytest.approx(pin_arm_m(lug, eye, gap_m=gap, both_sides=True), rel=0.05)


@pytest.mark.parametrize("diameter", [0.009, 0.012, 0.019])
def test_a_pin_by_hand(diameter):
    # 1 kN in a fork of 10 mm lugs, an eye of 20 mm and 2 mm between: each half of the eye pushes 500 N at 5
    # mm from the middle, each lug pushes back at 10 + 2 + 5 = 17 mm: 500 · 12 mm = 6 N·m
    arm = pin_arm_m(0.010, 0.020, gap_m=0.002, both_sides=True)
    assert 1e3 * arm == pytest.approx(6.0)
    # section modulus by slices: 2·sqrt(r² - y²)·y² summed, over r
    r, n = diameter / 2, 4000
    slices = [(i + 0.5) / n * diameter - r for i in range(n)]
    modulus = sum(2 * math.sqrt(r * r - y * y) * y * y * diameter / n for y in slices) / r
    assert round_bending_moment_n_m(diameter, yield_pa=350e6) == pytest.approx(modulus * 350e6, rel=1e-4)
    bending = 6.0 / (modulus * 350e6)
    shear = 1e3 / (2 * math.pi * r * r * 350e6 / math.sqrt(3))
    use = pin_use(1e3, arm_m=arm, diameter_m=diameter, yield_pa=350e6, planes=2)
    assert use == pytest.approx(math.hypot(bending, shear), rel=1e-4)


def test_a_thin_pin_on_one_lug_yields_below_its_load():
    # lug 10, gap 2, eye 16 mm: 5 + 2 + 8 = 15 mm. 12 mm pin of 350 MPa: W = pi/32·12³ = 169.6 mm³, 59.4 N·m;
    # shear pi/4·12²·350/√3 = 22.85 kN. At 4.66 kN: 69.9 N·m / 59.4 = 1.177, 4.66/22.85 = 0.204, together
    # 1.195: yields at 0.84 of the load; shear alone says 4.9 times
    arm = pin_arm_m(0.010, 0.016, gap_m=0.002, both_sides=False)
    assert arm == pytest.approx(0.015)
    assert 1 / pin_use(4660.0, arm_m=arm, diameter_m=0.012, yield_pa=350e6, planes=1) == pytest.approx(
        0.84, abs=0.005
    )
    assert 1 / pin_use(4660.0, arm_m=0.0, diameter_m=0.012, yield_pa=350e6, planes=1) == pytest.approx(
        4.9, abs=0.05
    )


# ---- lugs ----


def test_a_lug_by_hand():
    # 60 · 12 mm, the pin 70 mm ahead of its root, two lugs. 8 kN along: 4,000/720 = 5.56 MPa. 1 kN along the
    # pin, on one: 70,000/(60·12²/6) = 48.6 MPa. 600 N upright, 300 each: 21,000/(12·60²/6) = 2.92 MPa
    lug = LugSize(0.060, 0.012, 0.070)
    parts = (8e3, 0.0, 0.0), (0.0, 1e3, 0.0), (0.0, 0.0, 600.0), (-8e3, -1e3, -600.0)
    found = [lug_stress_pa(lug, along_n=a, across_n=s, upright_n=u, lugs=2) / 1e6 for a, s, u in parts]
    assert found == pytest.approx(
        [4000 / 720, 70e3 / 1440, 21e3 / 7200, 4000 / 720 + 70e3 / 1440 + 21e3 / 7200]
    )


# ---- thinner, longer, smaller never helps ----


@given(sizes, sizes, sizes, sizes, forces, forces, forces, st.floats(1.0, 2.0))
def test_thinner_longer_and_smaller_never_help(a, b, c, d, along, across, upright, more):
    def lug(width, thickness, arm):
        return lug_stress_pa(
            LugSize(width, thickness, arm), along_n=along, across_n=across, upright_n=upright, lugs=2
        )

    least = lug(a, b, c) * (1 - 1e-9)
    assert min(lug(a / more, b, c), lug(a, b / more, c), lug(a, b, c * more)) >= least
    one = lug_stress_pa(LugSize(a, b, c), along_n=along, across_n=across, upright_n=upright, lugs=1)
    assert one >= least
    assert pin_arm_m(a, b, gap_m=c * more, both_sides=True) >= pin_arm_m(a, b, gap_m=c, both_sides=True)
    assert pin_arm_m(a, b, gap_m=c, both_sides=False) > pin_arm_m(a, b, gap_m=c, both_sides=True)
    assert prying_share(a * more, b) >= prying_share(a, b) * (1 - 1e-9) <= prying_share(a, b / more)

    def plate(width, lug_width, span, arm=d):
        sizes_of = PlateSize(span, width, 0.01), LugSize(lug_width, 0.01, arm)
        return plate_stress_pa(*sizes_of, off_n=along, sideways_n=across)

    least = plate(a, b, c) * (1 - 1e-9)
    assert min(plate(a / more, b, c), plate(a, b / more, c), plate(a, b, c * more)) >= least
    assert plate(a, b, c, d * more) >= least
    used = pin_use(abs(along), arm_m=a, diameter_m=b, yield_pa=250e6, planes=2)
    for other in (
        pin_use(abs(along), arm_m=a * more, diameter_m=b, yield_pa=250e6, planes=2),
        pin_use(abs(along), arm_m=a, diameter_m=b / more, yield_pa=250e6, planes=2),
        pin_use(abs(along), arm_m=a, diameter_m=b, yield_pa=250e6, planes=1),
    ):
        assert other >= used * (1 - 1e-9)


@pytest.mark.parametrize(
    "call",
    [
        lambda: pin_arm_m(0.0, 0.02, gap_m=0.001, both_sides=True),
        lambda: pin_arm_m(0.01, 0.02, gap_m=-0.001, both_sides=True),
        lambda: round_bending_moment_n_m(0.0, yield_pa=1e8),
        lambda: pin_use(-1.0, arm_m=0.01, diameter_m=0.01, yield_pa=1e8, planes=2),
        lambda: bending_width_m(0.1, lug_width_m=0.0, span_m=0.1),
        lambda: plate_stress_pa(PlateSize(0.1, 0.1, 0.0), LugSize(0.1, 0.1, 0.1), off_n=1.0, sideways_n=1.0),
        lambda: plate_stress_pa(PlateSize(0.1, 0.1, 0.1), LugSize(0.1, 0.1, -0.1), off_n=1.0, sideways_n=1.0),
        lambda: flat_bending_moment_n_m(0.1, 0.0, yield_pa=1e8),
        lambda: prying_share(0.0, 0.1),
        lambda: lug_stress_pa(LugSize(0.1, 0.0, 0.1), along_n=1.0, across_n=1.0, upright_n=1.0, lugs=1),
        lambda: lug_stress_pa(LugSize(0.1, 0.1, 0.1), along_n=1.0, across_n=1.0, upright_n=1.0, lugs=0),
    ],
)
def test_impossible_input_is_refused(call):
    with pytest.raises(ValueError, match=r"^[^.]+(\.\d+[^.]*)*$"):
        call()
