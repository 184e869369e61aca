"""What is told of many cases, of cases counted by hand: a limit in doubt is never within in every case, and
what the plan says is said beside what the cases say.
"""

import re

import numpy as np
import pytest

from tests.plans import (
    PATH,
    asked,
    likely_over,
    likely_within,
    over,
    too_close,
    unknown,
    within,
)
from towlib.plan.many_cases import SampledLimit, SampledPlan
from towlib.print.certainty import certainty_words, limit_words, name_of
from towlib.rig.uncertain import Uncertain

FRONT = Uncertain("tow_vehicle.front_axle_empty", 1290.0, 1310.0, 1330.0, False)
FACTOR = Uncertain("tow_vehicle.engine.braking_factor", 0.7, 1.0, 1.3, True)
NUT = Uncertain("bracket.nut_factor", 0.12, 0.2, 0.25, True)
LEVEL = (0.8, 0.8, 0.8)


def cases(limit, holds, known=100, of=100, most=FRONT, used_range=(0.7, 0.8, 0.9)):
    used = np.full(of, np.nan)
    used[:known] = 1.2
    used[:holds] = 0.8
    return SampledLimit(limit, holds, known, of, most, used_range, used)


def told(*each, system="metric", **other):
    return certainty_words(SampledPlan((FRONT, FACTOR), 100, tuple(each)), system, **other)


# --- in every case ---


@pytest.mark.parametrize("doubtful", [likely_over, likely_within, too_close, asked])
@pytest.mark.parametrize("holds", [100, 40, 0])
@pytest.mark.parametrize("most", [FRONT, None])
@pytest.mark.parametrize("many", [0, 1, 9])
def test_a_limit_in_doubt_is_told_as_the_plan_tells_it_whatever_the_cases_say(doubtful, holds, most, many):
    text = "\n".join(told(cases(doubtful("x"), holds, most=most), most=many)[1:])
    assert text.startswith(f"X: {doubtful('x').answer_text()}; over in ")
    assert "in every case" not in text and "Within in" not in text and "within in" not in text


@pytest.mark.parametrize(
    ("each", "line"),
    [
        (cases(within("x"), 100, most=None), "Within in every case: X."),
        (cases(over("x"), 0, most=None), "Over in every case: X."),
        (cases(unknown("x"), 0, 0, most=None), "Not known in any case: X."),
    ],
)
def test_plan_and_every_case_agree(each, line):
    # nothing moves it: one line for all of them
    assert told(each, keys=("x",))[1:] == [line]
    # moved, but the same in every case: told alone, or with the rest when only the others are asked for
    moved = each._replace(most=FRONT)
    assert told(moved, keys=("x",))[1].startswith("X: ") or not each.known
    other = cases(within("y"), 40)
    assert told(moved, other, keys=("x", "y"))[2] == line


@pytest.mark.parametrize(
    ("each", "begins"),
    [
        # the plan is over, yet no case drawn is
        (cases(over("x"), 100), "X: within in all 100 cases (with the best values: over by 3 kg)"),
        # the plan is within, yet every case drawn is over, or some are, or nothing is known of them
        (cases(within("x"), 0), "X: within in none of 100 cases (with the best values: within by 2 kg)"),
        (cases(within("x"), 99), "X: within in 99 of 100 cases (with the best values: within by 2 kg)"),
        (
            cases(within("x"), 0, 0),
            "X: within in none of 100 cases, not known in 100 (with the best values: within by 2 kg)",
        ),
        (
            cases(within("x"), 90, 90),
            "X: within in 90 of 100 cases, not known in 10 (with the best values: within by 2 kg)",
        ),
        # one case only
        (cases(within("x"), 1), "X: within in 1 of 100 cases (with the best values: within by 2 kg)"),
        (
            cases(over("x"), 0, 1),
            "X: within in none of 100 cases, not known in 99 (with the best values: over by 3 kg)",
        ),
        # the best values have no answer, all others do
        (
            cases(unknown("x"), 100),
            f"X: within in all 100 cases (with the best values: not known ({PATH}))",
        ),
        (
            cases(unknown("x"), 0),
            f"X: within in none of 100 cases (with the best values: not known ({PATH}))",
        ),
    ],
)
def test_where_plan_and_cases_differ_both_are_told(each, begins):
    text = "\n".join(told(each)[1:])
    assert text.startswith(begins) and "in every case" not in text and "in any case" not in text


def test_groups_hold_each_limit_once_and_are_counted_when_they_are_many():
    inside = [cases(within(f"in {i}"), 100, most=None) for i in range(5)]
    outside = [cases(over(f"out {i}"), 0, most=None) for i in range(4)]
    found = told(*inside, *outside, cases(unknown("u"), 0, 0, most=None))[1:]
    assert found == [
        "Over in every case: OUT 0; OUT 1; OUT 2; OUT 3.",
        "Within in every case: 5 limits.",
        "Not known in any case: U.",
    ]
    asked_for = tuple(each.limit.key for each in inside)
    assert told(*inside, *outside, keys=asked_for)[1:] == [
        "Within in every case: IN 0; IN 1; IN 2; IN 3; IN 4."
    ]


def test_the_worst_are_told_first_and_as_many_as_were_asked_for():
    def moved(key, share):
        return cases(within(key), 100)._replace(used=np.full(100, share))

    three = moved("a", 0.5), moved("b", 0.9), moved("c", 0.7)
    heads = [line.partition(":")[0] for line in told(*three)[1:]]
    assert heads == ["B", "C", "A"]
    assert [line.partition(":")[0] for line in told(*three, most=1)[1:]] == ["B", "Within in every case"]
    # what differs from case to case is told, however few were asked for, and before the others
    mixed = cases(within("m"), 40)._replace(used=np.full(100, 0.1))
    assert [line.partition(":")[0] for line in told(*three, mixed, most=1)[1:]] == [
        "M",
        "Within in every case",
    ]
    assert [line.partition(":")[0] for line in told(*three, mixed, most=3)[1:]] == [
        "M",
        "B",
        "C",
        "Within in every case",
    ]
    # one case that is worse counts more than many that are not
    peak = np.full(100, 0.2)
    peak[3] = 0.95
    assert told(*three, cases(within("p"), 100)._replace(used=peak))[1].startswith("P: ")


def test_cases_that_are_not_known_count_as_nothing_used_in_the_order():
    nan = np.nan
    one = cases(within("a"), 90)._replace(used=np.array([nan, 0.5]))
    two = cases(within("b"), 90)._replace(used=np.array([0.8, 0.7]))
    assert [line[0] for line in told(one, two)[1:]] == ["B", "A"]
    one, two = one._replace(used=np.array([nan, -0.5])), two._replace(used=np.array([-0.2, -0.2]))
    assert [line[0] for line in told(two, one)[1:]] == ["A", "B"]


# --- one limit ---


@pytest.mark.parametrize(
    ("each", "text"),
    [
        (
            # 1,290 to 1,330 kg are 2,844 to 2,932 lb, 1,310 kg 2,888 lb
            cases(within(), 100),
            "WITHIN: within in all 100 cases. Moved most by {front}: of the limit used 70 % at 1,290 kg, 80"
            " % at"
            " 1,310 kg, 90 % at 1,330 kg.",
        ),
        (cases(over(), 0, most=None), "OVER: within in none of 100 cases; nothing that varies moves it."),
        (
            cases(within(), 40, most=None),
            "WITHIN: within in 40 of 100 cases (with the best values: within by 2 kg); no value moves it"
            " alone,"
            " several together do.",
        ),
        (
            cases(within(), 100, used_range=(0.801, 0.8, 0.799)),
            "WITHIN: within in all 100 cases; hardly moved by anything, 80 % of the limit used.",
        ),
        (cases(unknown(), 0, 0), f"UNKNOWN: not known ({PATH})."),
        (
            cases(within(), 1, 1, of=1, most=None),
            "WITHIN: within in 1 of 1 case; nothing that varies moves it.",
        ),
        (
            cases(within(), 2, 2, of=2, most=None),
            "WITHIN: within in all 2 cases; nothing that varies moves it.",
        ),
        (
            cases(too_close(), 100, most=None),
            f"TOO_CLOSE: not known: within by 2 kg, too close for your ± (most of it: {PATH}); over in none"
            f" of 100"
            " cases; nothing that varies moves it.",
        ),
        (
            cases(likely_over(), 30, 90, most=None),
            "LIKELY_OVER: not known: likely over by 3 kg; tow_bar.mass is assumed and decides; over in 60 of"
            " 100"
            " cases, not known in 10; no value moves it alone, several together do.",
        ),
    ],
)
def test_one_limit_by_hand(each, text):
    assert limit_words(each) == text.format(front=name_of(FRONT))


def test_ends_and_units_of_the_value_that_moves_it_most():
    each = cases(within(), 100, used_range=(0.7, 10.0, float("nan")))
    said = limit_words(each, "us")
    # 9.99 is told in per cent, ten times no more
    assert (
        "of the limit used 70 % at 2,844 lb, more than ten times at 2,888 lb, not known at 2,932 lb." in said
    )
    assert "999 %" in limit_words(each._replace(used_range=(9.99, 0.5, 0.6)))
    # a bare number has no unit
    assert "70 % at 0.7, 80 % at 1, 90 % at 1.3." in limit_words(cases(within(), 100, most=FACTOR))
    # a value that only seems to have the same share at both ends
    assert "Moved most" in limit_words(cases(within(), 100, used_range=(0.8, 0.7, 0.8)))
    assert "Moved most" in limit_words(cases(within(), 100, used_range=(0.7, 0.8, 0.8)))


@pytest.mark.parametrize(
    ("value", "name"),
    [
        (FRONT, "[tow_vehicle.front_axle_empty] (given)"),
        (FRONT._replace(cut=True), "(given, its ± cut at what the field can have)"),
        (FACTOR, "[tow_vehicle.engine.braking_factor] (assumed)"),
    ],
)
def test_a_value_is_named_with_its_place_and_how_it_is_known(value, name):
    assert name_of(value).startswith("'") and name_of(value).endswith(name)


def test_what_to_measure_is_said_where_the_answer_hangs_on_it():
    for each, said in (
        (cases(within(), 40), r" Measure it better \(.+\): that would settle most\.$"),
        (cases(likely_over(), 0, most=FACTOR), r" Measure it \(overrun test.+\): that would settle most\.$"),
        (
            cases(within(), 40, most=NUT),
            r" No tape or scale tells it: judge by the worse end, or ask the maker\.$",
        ),
        (
            cases(too_close(), 100, most=NUT._replace(assumed=False)),
            r" Measure it better: that would settle most\.$",
        ),
    ):
        assert re.search(said, limit_words(each)), limit_words(each)
    for each in (cases(within(), 100), cases(over(), 0)):
        assert not re.search("easure it|No tape", limit_words(each))


# --- the head ---


@pytest.mark.parametrize(
    ("uncertain", "count", "said"),
    [
        (
            (FRONT, FACTOR, NUT),
            1000,
            "1,000 cases: 1 value with a ± and 2 assumed values with a range vary; every value may lie",
        ),
        ((FRONT, FRONT, FACTOR), 1, "1 case: 2 values with a ± and 1 assumed value with a range vary;"),
        ((FACTOR,), 10, "10 cases: 0 values with a ± and 1 assumed value with a range vary;"),
    ],
)
def test_the_head_by_hand(uncertain, count, said):
    found = certainty_words(SampledPlan(uncertain, count, ()))
    assert found[0].startswith(said) and "A share of cases is not a chance" in found[0]
    assert found[0].count("JCGM 100:2008, 4.3.7") == 1
    assert (len(found) == 2) == (uncertain == (FACTOR,)) and found[-1].startswith(said) == (len(found) == 1)
    if len(found) == 2:
        assert found[1].startswith("No value carries a ± yet: write '950 ± 15 kg'")


def test_only_the_limits_asked_for_are_told():
    found = told(cases(within("x"), 40), cases(within("y"), 40), keys=("y",))[1:]
    assert len(found) == 1 and found[0].startswith("Y: within in 40 of 100 cases")
