"""The self-check of exercises answers with the reason."""

import itertools

import pytest

from towlib.lessons.judging import RIGHT_WITHIN, ROUNDED_WITHIN, USUAL_FACTORS, judge, numbers


@pytest.mark.parametrize(
    ("answer", "begins"),
    [
        ("1338.1 kg", "Right"),
        ("2950 lb", "Right"),
        ("1.338 t", "Right"),
        (None, "Not answered yet"),
        ("", "Not answered yet"),
        ("1365 kg", "Nearly"),
        ("-1338 kg", "Not yet: the size is right and the sign is wrong"),
        ("2676 kg", "Not yet: twice"),
        ("669 kg", "Not yet: half"),
        ("2950 kg", "Not yet: the number is right in lb"),
        ("1338 lb", "Not yet: the number is right in kg"),
        ("13122 kg", "Not yet: too large by g"),
        ("900 kg", "Not yet: neither"),
        ("1338", "Not read"),
        ("1338 lbf", "Not read"),
        ("9**9**9 kg", "Not read"),
        (1338, "Not read"),
    ],
)
def test_every_usual_slip_has_its_reason(answer, begins):
    assert judge(answer, 1338.1, "mass").startswith(begins)


@pytest.mark.parametrize(
    ("answer", "expected", "kind", "begins"),
    [
        # the number is right, the unit beside it is not: any unit of the kind, not only those on the screen
        ("640 kN", 640.0, "force", "Not yet: the number is right in N,"),
        ("9.5 W", 9500.0, "power", "Not yet: the number is right in kW,"),
        ("90 min", 90.0, "time", "Not yet: the number is right in s,"),
        ("2.4 mm", 2.4, "length", "Not yet: the number is right in m,"),
        ("5 deg", 5.0, "angle", "Not yet: the number is right in rad,"),
        ("12 ft lbf", 12.0, "torque", "Not yet: the number is right in N·m,"),
        ("12,000 m", 12e6, "distance", "Not yet: the number is right in km,"),
        ("9e11 N", 2.0e-5, "force", "Not yet: neither"),
        # each or both, g, degrees and per cent, km/h
        ("4 kN", 2000.0, "force", "Not yet: twice the right answer"),
        ("1 kN", 2000.0, "force", "Not yet: half the right answer"),
        ("13734 N", 1400.5, "force", "Not yet: too large by g"),
        ("142.8 kg", 1400.5, "mass", "Not yet: too small by g"),
        ("8 %", 0.0457, "grade", "Not yet: too large by 1.75: a grade in per cent was taken for degrees"),
        ("4.57 %", 0.08, "grade", "Not yet: too small by 1.75"),
        ("360 kW", 100e3, "power", "Not yet: too large by 3.6: km/h and m/s"),
        ("27.8 kW", 100e3, "power", "Not yet: too small by 3.6"),
        ("4.448 kW", 1e3, "power", "Not yet: too large by 4.45"),
        ("57.3 N", 1.0, "force", "Not yet: too large by 57.3"),
        ("10 N", 1000.0, "force", "Not yet: too small by 100"),
        ("10 kPa", 1e6, "pressure", "Not yet: the number is right in bar"),
        # signs and rounding
        ("-540 rpm", 540.0, "shaft_speed", "Not yet: the size is right and the sign is wrong"),
        ("540 rpm", -540.0, "shaft_speed", "Not yet: the size is right"),
        ("-540 rpm", -540.0, "shaft_speed", "Right: -540 rpm"),
        ("549 rpm", 540.0, "shaft_speed", "Nearly"),
        ("530 rpm", 540.0, "shaft_speed", "Nearly"),
        ("100 degF", 100.0, "temperature", "Not yet: the number is right in °C,"),
    ],
)
def test_each_reason_in_each_kind(answer, expected, kind, begins):
    assert judge(answer, expected, kind).startswith(begins), judge(answer, expected, kind)


def test_no_two_usual_factors_can_be_taken_for_each_other():
    factors = sorted(USUAL_FACTORS)
    assert all(second / first > (1 + RIGHT_WITHIN) ** 2 for first, second in itertools.pairwise(factors))
    assert not [factor for factor in factors if abs(factor - 1) < ROUNDED_WITHIN]
    for factor in factors:
        assert any(factor * other == pytest.approx(1, rel=1e-5) for other in factors), (
            f"the slip the other way round of {factor}"
        )


def test_a_trap_of_the_exercise_is_named_first():
    # sine for tangent at 15 %: 58.149 and 58.80 kW (OpenStax University Physics m58310 and check value T2)
    said = judge("58.8 kW", 58.149e3, "power", traps={"the tangent was used for the sine": 58.80e3})
    assert said == "Not yet: the tangent was used for the sine."


def test_traps_further_away_are_named():
    assert (
        judge("875 degC", 383.0, "temperature", traps={"cooling was left out": 875.0})
        == "Not yet: cooling was left out."
    )


def test_numbers_are_the_same_for_a_seed_and_differ_between_seeds():
    ranges = {"mass_kg": (1000, 2000, 50), "length_m": (1.0, 2.0, 0.1)}
    assert numbers(3, **ranges) == numbers(3, **ranges)
    assert len({tuple(numbers(seed, **ranges).values()) for seed in range(20)}) > 10
    assert all(1000 <= numbers(seed, **ranges)["mass_kg"] <= 2000 for seed in range(50))
