"""Welds against worked examples of two textbooks and a table, cracks against worked examples of two guides
and printed tables of classes.
"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from towlib.physics.hitch.fatigue import (
    BESIDE_WELD_RANGE_PA,
    HOLE_RANGE_PA,
    REFERENCE_CYCLES,
    WELD_THROAT_RANGE_PA,
    alternating_force_n,
    bearable_range_pa,
)
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


def _largest_shear_pa(welds, along, across, upright):
    """Half the difference of the principal stresses, from a shear and a bending stress taken apart: with its
    arm at nothing the pin's force is shear alone.
    """
    shear = stress(welds._replace(arm_m=0.0), along, across, upright)
    bending = math.sqrt(stress(welds, along, across, upright) ** 2 - shear**2)
    return math.hypot(bending / 2, shear)


def test_a_bracket_on_two_upright_welds():
    # Design of Machine Elements, 3rd edition, example 8.13, figure 8.33 on page 292 (data and result read in
    # the textbook's Scilab companion; the title by its chapter and pages, from memory): 50 kN, 300 mm from
    # two upright fillets 400 mm long; 70 N/mm² in shear. Printed: throat 2.198406 mm, leg 3.109485 mm. By
    # hand: 50,000/(2·400·2.198406) = 28.43; 50,000·300·200/(2·2.198406·400³/12) = 127.93;
    # √(63.97² + 28.43²) = 70
    welds = LugWelds(3.109485e-3, 0.400, 0.300, 0.300)
    assert stress(welds._replace(arm_m=0.0), 0.0, 0.0, 50e3) / 1e6 == pytest.approx(28.43, abs=0.005)
    assert _largest_shear_pa(welds, 0.0, 0.0, 50e3) / 1e6 == pytest.approx(70.0, rel=5e-7)
    # counted as shear all together, as here, the same weld has more to bear
    assert stress(welds, 0.0, 0.0, 50e3) / 1e6 == pytest.approx(math.hypot(127.93, 28.43), abs=0.01)


def test_a_bracket_on_two_welds_one_above_the_other():
    # the same, example 8.12, figure 8.32 on page 291: 10 kN, 100 mm from two fillets 50 mm long that lie
    # 100 mm apart, square to the load; 70 N/mm². Printed: throat 2.020271 mm, leg 2.857527 mm. The book adds
    # each run's own second moment (of 1 mm of throat, 1/12 beside 50²: 3.3e-5 of the bending, half of it
    # here); the last line shows that nothing else lies between
    welds = LugWelds(2.857527e-3, 0.050, 0.100, 0.100)
    assert _largest_shear_pa(welds, 0.0, 10e3, 0.0) / 1e6 == pytest.approx(70.0, rel=2e-5)
    own = 1 + (1 / 12) / 50**2
    shear, bending = 10e3 / (2 * 50 * 2.020271), 10e3 * 100 * 50 / (2 * 50 * 2.020271 * 50**2)
    assert math.hypot(bending / own / 2, shear) == pytest.approx(70.0, rel=5e-7)


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
    # Italian circular no. 7 of 21 January 2019, C4.2.4.1.4.3, formulas C4.2.94 and C4.2.95 (read in a
    # transcription that nobody has proof-read yet): range = class·(2e6/N)^(1/m), m = 3, to five million,
    # where it is 0.737 of the class
    assert bearable_range_pa(80e6) == 80e6
    assert bearable_range_pa(100e6, 5e6) / 1e6 == pytest.approx(73.7, abs=0.05)
    assert bearable_range_pa(100e6, 5e6) == pytest.approx(100e6 * 0.4 ** (1 / 3))
    # half the range lasts eight times as long
    assert bearable_range_pa(100e6, 2.5e5) == pytest.approx(2 * bearable_range_pa(100e6, 2e6))


def test_cycles_to_failure_of_two_worked_examples():
    # each the other way round: so many cycles are borne at just that range. First the fatigue guide of the
    # weld-assessment program feaweld, section on its command line: class 90 of EN 1993-1-9 at 120 MPa, hand
    # check N = 90³·2e6/120³ = 843,750, and two million of them are 2.3704 lives
    assert bearable_range_pa(90e6, 843_750) / 1e6 == pytest.approx(120.0, rel=1e-9)
    use = 120e6 / bearable_range_pa(90e6, REFERENCE_CYCLES)
    assert use**3 == pytest.approx(2.3704, abs=5e-5)
    # then the calculation sheet "Fatigue under variable amplitude" (calc.fatigue-miner), example 1: class 71,
    # 100 MPa for 715,822 cycles and 60 MPa for 3,313,991; 1e5 and 5e5 of them are 0.13970 and 0.15088 of it
    for range_mpa, cycles, come, share in ((100.0, 715_822, 1e5, 0.13970), (60.0, 3_313_991, 5e5, 0.15088)):
        borne = bearable_range_pa(71e6, cycles) / 1e6
        assert borne == pytest.approx(range_mpa, rel=5e-7)
        assert (range_mpa * 1e6 / bearable_range_pa(71e6, come)) ** 3 == pytest.approx(share, abs=5e-6)


def test_the_classes_of_the_details():
    # the circular's tables C4.2, as above: XVI.a detail 3, root of fillets at a T (stress in the throat, as
    # XVII says): 36; XV detail 6 and XVI.a detail 1, beside welds across the stress: 80 where attachment and
    # welds measure up to 50 mm, 71 up to 80 mm; XII.d detail 11, holes, bent: 90. AS 4100:2020, table
    # 11.5.1(B) (read in a summary): 36 for fillets by their throat (28), 71 beside a stiffener thicker than
    # 12 mm (36)
    assert WELD_THROAT_RANGE_PA == 36e6
    assert BESIDE_WELD_RANGE_PA == 71e6
    assert HOLE_RANGE_PA == 90e6


@pytest.mark.parametrize(
    "call",
    [
        lambda: stress(LugWelds(0.0, 0.1, 0.01, 0.1), 1.0, 1.0, 1.0),
        lambda: stress(LugWelds(0.01, 0.0, 0.01, 0.1), 1.0, 1.0, 1.0),
        lambda: stress(LugWelds(0.01, 0.1, -0.01, 0.1), 1.0, 1.0, 1.0),
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
