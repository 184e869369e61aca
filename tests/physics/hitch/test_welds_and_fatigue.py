"""Welds against a textbook's worked example and its table, cracks against published ratios."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from towlib.physics.hitch.fatigue import alternating_force_n, bearable_range_pa
from towlib.physics.hitch.welds import LugWelds, throat_stress_pa

IN, LBF, PSI = 0.0254, 4.4482216152605, 6894.757293168
forces = st.floats(-3e4, 3e4)


def stress(welds, along, across, upright, lugs=1):
    return throat_stress_pa(welds, along_n=along, across_n=across, upright_n=upright, lugs=lugs)


def test_shigley_welded_cantilever():
    # Shigley's Mechanical Engineering Design, example 9-4 (from memory): 500 lbf, 6 in from two 3/8 in
    # fillets 2 in long; A = 1.414·0.375·2 = 1.06 in², I = 0.707·0.375·2³/6 = 0.353 in⁴; 472 psi and
    # 500·6·1/0.353 = 8,500 psi, together 8,510 psi. Recomputed unrounded: 8,500
    welds = LugWelds(0.375 * IN, 2 * IN, 1 * IN, 6 * IN)
    found = stress(welds, 0.0, 0.0, 500 * LBF) / PSI
    area, second = 1.414 * 0.375 * 2, 0.707 * 0.375 * 2**3 / 6
    assert found == pytest.approx(math.hypot(500 / area, 500 * 6 * 1 / second), rel=1e-6)
    assert found == pytest.approx(8510, rel=2e-3)


def test_across_the_welds_by_the_table():
    # the same book's table 9-2, row 3 (read in a copy): two welds of length b a distance d apart, unit second
    # moment b·d²/2. 1 kN at 70 mm, leg 8 mm, b 70 mm, d 15 mm: I = 0.707·8·70·15²/2 = 44,541 mm⁴;
    # 70,000·7.5/44,541 = 11.79 MPa; A = 1.414·8·70 = 791.8 mm²: 1,000/791.8 = 1.263 MPa beside it
    welds = LugWelds(0.008, 0.070, 0.015, 0.070)
    bending, shear = 70e3 * 7.5 / (0.707 * 8 * 70 * 15**2 / 2), 1e3 / (1.414 * 8 * 70)
    assert stress(welds, 0.0, 1e3, 0.0) / 1e6 == pytest.approx(math.hypot(bending, shear))
    pull = 4e3 / (1.414 * 8 * 70)  # along, on the same throats
    assert stress(welds, -4e3, -1e3, 0.0) / 1e6 == pytest.approx(math.hypot(pull + bending, shear))
    assert stress(welds, 8e3, 1e3, 0.0, lugs=2) / 1e6 == pytest.approx(math.hypot(pull + bending, shear))


@given(*[st.floats(0.003, 0.1)] * 4, forces, forces, forces, st.floats(1.0, 2.0))
def test_smaller_welds_further_off_never_help(leg, length, apart, arm, along, across, upright, more):
    base = LugWelds(leg, length, apart, arm)
    least = stress(base, along, across, upright, 2) * (1 - 1e-9)
    for worse in (
        base._replace(leg_m=leg / more),
        base._replace(length_m=length / more),
        base._replace(apart_m=apart / more),
        base._replace(arm_m=arm * more),
    ):
        assert stress(worse, along, across, upright, 2) >= least
    assert stress(base, along, across, upright, 1) >= least
    assert stress(base, -along, -across, -upright, 2) >= least


def test_the_alternating_load_of_the_rule():
    # Australian Design Rule 62/02, 12.3.2.2 (secondary page): 12 kN on couplings of up to 3.5 t, which weigh
    # 34.3 kN: 0.3496 of it
    assert alternating_force_n(3500.0, 12 / (3.5 * 9.80665)) == pytest.approx(12e3)
    # 0.6 of D = g·T·R/(T + R) (both from memory; shown, not decisive) lies near: 2.9 t and 1.5 t
    assert alternating_force_n(1500.0, 0.35) == pytest.approx(0.6 * 9.81e3 * 2.9 * 1.5 / 4.4, rel=0.15)


def test_the_line_of_a_detail_category():
    # two million cycles and a slope of 3 (read in a manual of fatigue software): the constant-amplitude limit
    # of EN 1993-1-9 at five million is 0.737 of the category (from memory; (2/5)^(1/3) by hand)
    assert bearable_range_pa(80e6) == 80e6
    assert (
        bearable_range_pa(100e6, 5e6)
        == pytest.approx(100e6 * 0.4 ** (1 / 3))
        == pytest.approx(73.7e6, rel=1e-3)
    )
    # half the range lasts eight times as long
    assert bearable_range_pa(100e6, 2.5e5) == pytest.approx(2 * bearable_range_pa(100e6, 2e6))


@pytest.mark.parametrize(
    "call",
    [
        lambda: stress(LugWelds(0.0, 0.1, 0.01, 0.1), 1.0, 1.0, 1.0),
        lambda: stress(LugWelds(0.01, 0.1, 0.01, -0.1), 1.0, 1.0, 1.0),
        lambda: stress(LugWelds(0.01, 0.1, 0.01, 0.1), 1.0, 1.0, 1.0, 0),
        lambda: alternating_force_n(0.0, 0.35),
        lambda: alternating_force_n(1500.0, 0.0),
        lambda: bearable_range_pa(0.0),
        lambda: bearable_range_pa(36e6, 0.0),
    ],
)
def test_impossible_input_is_refused(call):
    with pytest.raises(ValueError, match=r"^[^.]+(\.\d+[^.]*)*$"):
        call()
