"""The self-check of exercises answers with the reason."""

import pytest

from towlib.teaching.practice import judge, numbers


@pytest.mark.parametrize(("answer", "begins"), [
    ("1338.1 kg", "Right"), ("2950 lb", "Right"), ("1.338 t", "Right"), (None, "Not answered yet"), ("", "Not answered yet"),
    ("1365 kg", "Nearly"), ("-1338 kg", "Not yet: the size is right and the sign is wrong"), ("2676 kg", "Not yet: twice"),
    ("669 kg", "Not yet: half"), ("2950 kg", "Not yet: the number is right in lb"), ("1338 lb", "Not yet: the number is right in kg"),
    ("13122 kg", "Not yet: too large by g"), ("900 kg", "Not yet: neither"), ("1338", "Not read"), ("1338 lbf", "Not read"), ("9**9**9 kg", "Not read"),
    (1338, "Not read")])
def test_every_usual_slip_has_its_reason(answer, begins):
    assert judge(answer, 1338.1, "mass").startswith(begins)


def test_a_trap_of_the_exercise_is_named_first():
    # sine for tangent at 15 %: 58.149 and 58.80 kW (OpenStax University Physics m58310 and check value T2)
    said = judge("58.8 kW", 58.149e3, "power", traps={"the tangent was used for the sine": 58.80e3})
    assert said == "Not yet: the tangent was used for the sine."


def test_traps_further_away_are_named():
    assert judge("875 degC", 383.0, "temperature", traps={"cooling was left out": 875.0}) == "Not yet: cooling was left out."


def test_numbers_are_the_same_for_a_seed_and_differ_between_seeds():
    ranges = {"mass_kg": (1000, 2000, 50), "length_m": (1.0, 2.0, 0.1)}
    assert numbers(3, **ranges) == numbers(3, **ranges)
    assert len({tuple(numbers(seed, **ranges).values()) for seed in range(20)}) > 10
    assert all(1000 <= numbers(seed, **ranges)["mass_kg"] <= 2000 for seed in range(50))
