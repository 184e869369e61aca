"""Coupler and ball by their stamps, latch and pins: every pair of sizes that is sold, by hand."""

import math

import pytest

from tests.limits.round_rig import ROUND, asked, limit_of
from tests.rigs import changed, without
from towlib.limits.advice import advice_for
from towlib.limits.coupler_limits import COUPLER_RULES, ONE_SIZE_M, size_name, size_words
from towlib.limits.limit import NOT_KNOWN, OVER, WITHIN
from towlib.rig.facts import Facts

RULES = {rule.key: rule for rule in COUPLER_RULES}
BALL, COUPLER = "hitch.ball_diameter", "tow_bar.coupler_size"
# inches to metres by definition: 1.875 · 25.4 = 47.625, 2 · 25.4 = 50.8, 2.3125 · 25.4 = 58.7375
SOLD = {"1-7/8 in": 1.875 * 0.0254, "50 mm": 0.05, "2 in": 2 * 0.0254, "2-5/16 in": 2.3125 * 0.0254}


def _pair(ball_m, coupler_m):
    return changed(changed(ROUND, BALL, ball_m), COUPLER, coupler_m)


@pytest.mark.parametrize("ball", SOLD)
@pytest.mark.parametrize("coupler", SOLD)
def test_only_balls_of_the_couplers_size_are_within(ball, coupler):
    found = limit_of(RULES["coupler_size"], _pair(SOLD[ball], SOLD[coupler]))
    assert found.answer == (WITHIN if ball == coupler else OVER)
    assert found.demand == pytest.approx(abs(SOLD[ball] - SOLD[coupler]), abs=1e-12)


def test_the_classic_pair_in_words():
    # 50.8 - 47.625 = 3.175 mm, of which 0.4 are allowed
    rig = _pair(SOLD["2 in"], SOLD["1-7/8 in"])
    found = limit_of(RULES["coupler_size"], rig)
    assert found.answer_text() in ("over by 2.77 mm", "over by 2.78 mm")  # 2.775
    assert advice_for(RULES["coupler_size"], found, Facts(rig)) == (
        "Fit a ball of 1-7/8 in, which the coupler is made for: over this one its latch does not close."
    )
    small = _pair(SOLD["1-7/8 in"], SOLD["2 in"])
    found = limit_of(RULES["coupler_size"], small)
    assert found.answer == OVER
    assert advice_for(RULES["coupler_size"], found, Facts(small)).endswith(
        "Fit a ball of 2 in, which the coupler is made for: this one is too small and slips out of it."
    )
    assert size_words(Facts(small)) == "Ball 1-7/8 in, coupler for 2 in: do NOT couple."


@pytest.mark.parametrize(
    ("off_m", "expected"),
    [(0.0, WITHIN), (0.0002, WITHIN), (-0.0002, WITHIN), (0.0006, OVER), (-0.0006, OVER)],
)
def test_a_worn_or_roughly_measured_ball_is_still_of_its_size(off_m, expected):
    assert limit_of(RULES["coupler_size"], _pair(0.0508 + off_m, 0.0508)).answer == expected
    # 50 mm and 2 in differ by 0.8 mm: what is nearer to the one is not the other
    assert pytest.approx(0.0008 / 2) == ONE_SIZE_M


def test_a_size_nobody_gave_is_never_within():
    # other limits assume a ball of 2 in: here nothing is assumed, neither for nor against
    for coupler in SOLD.values():
        for path in (BALL, COUPLER):
            found = limit_of(RULES["coupler_size"], without(_pair(0.0508, coupler), path))
            assert (found.answer, found.missing, found.assumed) == (NOT_KNOWN, path, ())
            assert found.answer_text() == f"not known ({path})"


@pytest.mark.parametrize(("key", "path"), [("coupler_latch", "latch_closed"), ("bar_pins", "pins_clipped")])
def test_latch_and_pins_are_looked_at(key, path):
    for said, expected, words in (
        (True, WITHIN, "within"),
        (False, OVER, "over: not fulfilled"),
        (None, NOT_KNOWN, f"not known (tow_bar.{path})"),
    ):
        found = limit_of(RULES[key], changed(ROUND, f"tow_bar.{path}", said))
        assert (found.answer, found.answer_text()) == (expected, words)
    assert asked(RULES[key], ROUND, "out") == (1.0, 1.0)


def test_ball_latch_and_pins_are_the_same_there_and_back():
    assert [rule.key for rule in COUPLER_RULES if rule.per_way] == []


def test_sizes_are_named_as_they_are_stamped():
    for name, size_m in SOLD.items():
        assert size_name(size_m) == size_name(size_m + 0.0001) == name
        assert size_words(Facts(_pair(size_m, size_m))) == f"Ball {name}, coupler for {name}."
    assert size_name(0.0545) == f"54.5 mm ({0.0545 / 0.0254:.2f} in)"
    assert math.isclose(SOLD["50 mm"], 0.05)


@pytest.mark.parametrize("path", [BALL, COUPLER])
def test_the_list_says_nothing_of_sizes_nobody_gave(path):
    assert size_words(Facts(without(ROUND, path))) == "Read the size on ball and coupler: the same?"
