"""The exercises of the lessons, worked for many sets of numbers: the right answer is right and every slip has
its reason.
"""

import math

import pytest

from towlib.lessons.index import ROOMS, lesson_of
from towlib.lessons.judging import judge_question
from towlib.units import KINDS, from_si, to_si, unit_label

SEEDS = range(1, 51)
EXERCISES = [
    pytest.param(exercise, id=f"{key}-{number}")
    for key in ROOMS
    for number, exercise in enumerate(lesson_of(key).exercises, start=1)
]


def _text(value, kind, system):
    spellings = KINDS[kind].spellings
    unit = unit_label(kind, system)
    unit = unit if unit in spellings else unit_label(kind, "metric")
    unit = unit if unit in spellings else next(iter(spellings))
    zero, one = (to_si(f"{n} {unit}", kind) for n in (0, 1))
    return f"{(value - zero) / (one - zero):.7g} {unit}"


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("exercise", EXERCISES)
def test_right_is_right_and_each_slip_is_named(exercise, system):
    reached = set()
    for seed in SEEDS:
        given = exercise.draw(seed, system)
        assert given.words.strip() and given.way.strip() and given.questions
        for number, question in enumerate(given.questions):
            measured = question.kind in KINDS
            right = _text(question.right, question.kind, system) if measured else str(question.right)
            assert judge_question(right, question).startswith("Right"), (seed, right)
            assert judge_question("", question).startswith("Not answered yet")
            if measured:
                assert math.isfinite(question.right)
                assert judge_question("12 furlongs", question).startswith("Not read")
            elif question.kind == "choice":
                assert question.right in question.options and len(set(question.options)) >= 2
            for reason, slip in question.traps.items():
                said = judge_question(_text(slip, question.kind, system) if measured else str(slip), question)
                near = measured and math.isclose(slip, question.right, rel_tol=0.03, abs_tol=1e-12)
                assert said.startswith("Not yet") or near, (seed, reason, said)
                if said == f"Not yet: {reason}.":
                    reached.add((number, reason))
    wanted = {
        (number, reason)
        for seed in SEEDS
        for number, question in enumerate(exercise.draw(seed, system).questions)
        for reason in question.traps
    }
    assert reached == wanted, wanted - reached


@pytest.mark.parametrize("exercise", EXERCISES)
def test_the_same_set_has_the_same_numbers_and_another_has_others(exercise):
    assert exercise.draw(3, "us") == exercise.draw(3, "us")
    assert len({exercise.draw(seed, "metric").words for seed in SEEDS}) > 3


@pytest.mark.parametrize("exercise", EXERCISES)
def test_units_change_the_words_and_not_the_answer(exercise):
    for seed in (1, 2, 9):
        metric, us = exercise.draw(seed, "metric"), exercise.draw(seed, "us")
        assert [question.right for question in metric.questions] == [
            question.right for question in us.questions
        ]


def test_shown_values_read_back():
    for kind in KINDS:
        for system in ("metric", "us"):
            value = to_si(_text(0.37, kind, system), kind)
            assert value == pytest.approx(0.37, rel=1e-5, abs=1e-6), kind
            assert from_si(value, kind, system) is not None
