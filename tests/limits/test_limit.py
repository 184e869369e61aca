"""The idea of a limit: within, over, not known; unknown never counts as within."""

import math

from hypothesis import given
from hypothesis import strategies as st

from towlib.limits.decision import answer
from towlib.limits.limit import NOT_KNOWN, OVER, WITHIN, Limit, Rule, by_closeness, rating
from towlib.rig.facts import Facts, NotKnown
from towlib.rig.model import read_rig_text

RIG = read_rig_text("""
[tow_vehicle]
front_axle_empty = "1200 kg"
rear_axle_empty = "900 kg"
wheelbase = "3.2 m"
gvwr = "2500 kg"
[towed_vehicle]
front_axle_empty = "800 kg"
rear_axle_empty = "700 kg"
wheelbase = "2.4 m"
""")


def _limit(demand, capacity, kind="mass"):
    return Limit(
        "x",
        "X",
        kind,
        demand,
        capacity,
        "plate",
        "out",
        "" if None not in (demand, capacity) else "hitch.ball_rating",
        (),
    )


def _raise(reason):
    raise NotKnown(reason)


@given(demand=st.floats(-1e6, 1e6), capacity=st.floats(-1e6, 1e6))
def test_answer_follows_the_two_numbers(demand, capacity):
    limit = _limit(demand, capacity)
    lifted = demand < 0  # an axle that hangs in the air
    assert limit.answer == (WITHIN if demand <= capacity and not lifted else OVER)
    assert limit.answer_text().startswith("over: lifted" if lifted else f"{limit.answer} by ")


@given(known=st.floats(-1e6, 1e6))
def test_one_unknown_side_is_not_known(known):
    for limit in (_limit(None, known), _limit(known, None), _limit(None, None)):
        assert limit.answer == NOT_KNOWN and limit.used is None
        assert limit.answer_text() == "not known (hitch.ball_rating)"


def test_the_words():
    # by hand: 1,600 - 1,520 = 80 kg; 80 / 0.45359237 = 176.4 lb
    assert _limit(1600, 1520).answer_text() == "over by 80 kg"
    assert _limit(1600, 1520).answer_text("us") == "over by 176 lb"
    # a difference of 20 K is 36 °F, not 68
    assert _limit(230, 250, "temperature").answer_text("us") == "within by 36 °F"


def test_a_missing_rating_names_its_field():
    rule = Rule("ball", "Ball", "mass", lambda facts, way: 1500.0, rating("hitch.ball_rating"), "plate")
    limit = answer(rule, Facts(RIG))
    assert limit.answer == NOT_KNOWN and limit.missing == "hitch.ball_rating" and limit.demand == 1500.0


def test_one_unknown_way_is_enough_to_be_not_known():
    rule = Rule(
        "x",
        "X",
        "mass",
        lambda facts, way: 1.0 if way == "out" else _raise("the way back"),
        lambda facts, way: 2.0,
        "plate",
    )
    assert answer(rule, Facts(RIG)).answer == NOT_KNOWN


def test_nan_and_infinity_are_not_known():
    for bad in (math.nan, math.inf, -math.inf):
        for rule in (
            Rule("x", "X", "mass", lambda f, w, bad=bad: bad, lambda f, w: 2.0, "plate"),
            Rule("x", "X", "mass", lambda f, w: 2.0, lambda f, w, bad=bad: bad, "plate"),
        ):
            assert answer(rule, Facts(RIG)).answer == NOT_KNOWN


def test_the_closer_way_is_kept():
    rule = Rule(
        "x",
        "X",
        "mass",
        lambda facts, way: {"out": 10.0, "back": 20.0}[way],
        lambda facts, way: 30.0,
        "plate",
    )
    assert answer(rule, Facts(RIG)).way == "back"


def test_assumptions_are_named_even_through_kept_work():
    facts = Facts(RIG)
    rule = Rule(
        "x",
        "X",
        "mass",
        lambda f, w: f.once("work", lambda: f.need("tow_bar.mass")),
        rating("tow_vehicle.gvwr"),
        "plate",
    )
    for _ in range(2):  # the second time the work is not done again, and must still be labelled
        assert answer(rule, facts).assumed == ("tow_bar.mass",)


def test_order_over_then_not_known_then_tightest():
    limits = by_closeness([_limit(1, 10), _limit(None, 1), _limit(5, 4), _limit(9, 10), _limit(9, 4)])
    assert [(limit.demand, limit.capacity) for limit in limits] == [
        (9, 4),
        (5, 4),
        (None, 1),
        (9, 10),
        (1, 10),
    ]


def test_nothing_left_of_a_capacity_is_over():
    assert _limit(5.0, 0.0).answer == OVER and _limit(5.0, 0.0).used == math.inf


def test_figures_that_cannot_be_are_not_known_with_the_physics_own_sentence():
    def impossible(facts, way):
        raise ValueError("a bar 0.20 m long cannot bridge a difference in height of 0.60 m")

    rule = Rule("x", "X", "size", impossible, lambda facts, way: 1.0, "maker")
    limit = answer(rule, Facts(RIG))
    assert (
        limit.answer == NOT_KNOWN
        and limit.missing == "a bar 0.20 m long cannot bridge a difference in height of 0.60 m"
    )
