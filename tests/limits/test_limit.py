"""The idea of a limit: within, over, not known; unknown never counts as within."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.plans import (
    PATH,
    asked,
    likely_over,
    likely_within,
    made,
    over,
    too_close,
    unknown,
    within,
    yes_no,
)
from towlib.limits.decision import answer
from towlib.limits.limit import (
    ASSUMED,
    NOT_KNOWN,
    OVER,
    WITHIN,
    Doubt,
    Limit,
    Rule,
    by_closeness,
    in_words,
    rank,
    rating,
)
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


# --- every word, of limits made by hand ---


@pytest.mark.parametrize(
    ("limit", "answer_word", "plain", "likely", "metric", "us"),
    [
        # 13 kg asked of 10: 3 kg = 6.614 lb; 8 of 10: 2 kg = 4.409 lb (1 lb = 0.45359237 kg)
        (within(), WITHIN, WITHIN, "", "within by 2 kg", "within by 4.41 lb"),
        (over(), OVER, OVER, "", "over by 3 kg", "over by 6.61 lb"),
        (unknown(), NOT_KNOWN, NOT_KNOWN, "", "not known (HITCH.BALL_RATING)", ""),
        (
            likely_over(),
            NOT_KNOWN,
            OVER,
            OVER,
            "not known: likely over by 3 kg; TOW_BAR.MASS is assumed and decides",
            "not known: likely over by 6.61 lb; TOW_BAR.MASS is assumed and decides",
        ),
        (
            likely_within(),
            NOT_KNOWN,
            WITHIN,
            WITHIN,
            "not known: likely within by 2 kg; TOW_BAR.MASS is assumed and decides",
            "not known: likely within by 4.41 lb; TOW_BAR.MASS is assumed and decides",
        ),
        (
            too_close(),
            NOT_KNOWN,
            WITHIN,
            "",
            "not known: within by 2 kg, too close for your ± (most of it: HITCH.BALL_RATING)",
            "not known: within by 4.41 lb, too close for your ± (most of it: HITCH.BALL_RATING)",
        ),
        (asked(), NOT_KNOWN, WITHIN, "", "not known: 1.34 kg on an axle?", ""),
        (yes_no(), WITHIN, WITHIN, "", "within", ""),
        (yes_no(fulfilled=False), OVER, OVER, "", "over: not fulfilled", ""),
        # lifted: a strong axle that carries less than nothing; 5 kg = 11.02 lb
        (
            made("x", -5.0, 10.0),
            OVER,
            OVER,
            "",
            "over: lifted off the road by 5 kg",
            "over: lifted off the road by 11 lb",
        ),
        # 30 K over is 54 °F over, without the 32 of the scale
        (made("x", 280.0, 250.0, kind="temperature"), OVER, OVER, "", "over by 30 K", "over by 54 °F"),
        # just nothing left is within: the demand is not above the capacity
        (made("x", 10.0, 10.0), WITHIN, WITHIN, "", "within by 0 kg", "within by 0 lb"),
        (made("x", 0.0, 10.0), WITHIN, WITHIN, "", "within by 10 kg", "within by 22 lb"),
    ],
)
def test_every_answer_in_words(limit, answer_word, plain, likely, metric, us):
    assert (limit.answer, limit.plain, limit.likely) == (answer_word, plain, likely)
    assert limit.answer_text("metric", str.upper) == limit.answer_text(name=str.upper) == metric
    assert limit.answer_text("us", str.upper) == (us or metric)
    assert "safe" not in metric


@pytest.mark.parametrize(
    ("demand", "capacity", "kind", "used"),
    [
        (8.0, 10.0, "mass", 0.8),
        (13.0, 10.0, "mass", 1.3),
        # temperatures from 20 °C: (200 - 20) / (260 - 20) = 0.75
        (200.0, 260.0, "temperature", 0.75),
        (5.0, 0.0, "force", math.inf),
        (0.0, 0.0, "force", 0.0),
        (-1.0, -2.0, "force", math.inf),  # over, whatever the signs
        (-2.0, -1.0, "force", 0.0),
        (-0.5, 0.4, "angle", -1.25),  # what may have a sign is not lifted
        (-5.0, 10.0, "mass", math.inf),
        (1.0, 1.0, "yes_no", 0.0),
        (1.0, 0.0, "yes_no", math.inf),
        (None, 1.0, "mass", None),
        (1.0, None, "yes_no", None),
    ],
)
def test_share_used_by_hand(demand, capacity, kind, used):
    limit = made("x", demand, capacity, kind=kind)
    assert limit.used == (used if used is None else pytest.approx(used))
    if used is not None:
        assert (used > 1.0) == (limit.plain == OVER) and limit.room == capacity - demand


def test_room_has_the_sign_of_the_answer_and_is_none_when_a_side_is():
    assert (within().room, over().room) == (2.0, -3.0)
    assert unknown().room is None and made("x", 1.0, None).room is None


def test_only_what_is_assumed_can_be_likely():
    assert [limit.likely for limit in (within(), over(), unknown(), too_close(), asked())] == [""] * 5


def test_the_order_of_what_is_pressing():
    # over, the worst first; likely over; not known (missing, too close or asked alike); likely within;
    # within, the tightest first
    nothing_left, worse = made("full", 10.0, 10.0), made("worse", 30.0, 10.0)
    ordered = [
        yes_no("no", fulfilled=False),
        worse,
        over(),
        likely_over(),
        too_close(),
        unknown(),
        likely_within(),
        nothing_left,
        within(),
        yes_no(),
    ]
    for turned in (ordered, ordered[::-1]):
        assert [limit.key for limit in by_closeness(turned)] == [limit.key for limit in ordered]
    # 1.3 of 1, 0.8 of 1 used
    assert [rank(limit) for limit in (over(), likely_over(), unknown(), likely_within(), within())] == [
        (4, 1.3),
        (3, 1.3),
        (2, 0.0),
        (1, 0.8),
        (0, 0.8),
    ]
    assert rank(asked())[0] == rank(too_close())[0] == rank(unknown())[0] == 2


def test_a_demand_that_no_capacity_meets_is_over_with_its_words():
    never = made("never", None, 150.0, missing="", kind="length", beyond="it never stops")
    assert (never.answer, never.plain, never.likely) == (OVER, OVER, "")
    assert (never.used, never.room, never.lifted) == (math.inf, None, False)
    assert never.answer_text() == never.answer_text("us") == "over: it never stops"
    # whatever is allowed, and also where nobody has said what is
    assert made("never", None, None, missing="", beyond="it never stops").answer == OVER
    assumed = never._replace(doubt=Doubt(ASSUMED, PATH))
    assert (assumed.answer, assumed.likely) == (NOT_KNOWN, OVER)
    assert assumed.answer_text(name=str.upper) == (
        f"not known: likely over: it never stops; {PATH.upper()} is assumed and decides"
    )
    over = made("over", 13.0, 10.0)
    assert by_closeness([over, never])[0] == never and rank(never) > rank(over)


def test_figures_in_words():
    assert in_words(1.0, "yes_no") == "yes" and in_words(0.0, "yes_no") == "no"
    assert in_words(None, "yes_no") == in_words(None, "mass") == "not known"
    # 45.359237 kg is 100 lb
    assert in_words(45.359237, "mass") == "45.4 kg" and in_words(45.359237, "mass", "us") == "100 lb"


def test_a_rating_is_asked_for_by_its_path():
    facts = Facts(RIG)
    assert rating("tow_vehicle.gvwr")(facts, "out") == 2500.0
    with pytest.raises(NotKnown, match=f"^{PATH}$"):
        rating(PATH)(facts, "back")


def test_a_rule_holds_each_way_of_its_own_unless_it_says_not():
    assert Rule("x", "X", "mass", rating(PATH), rating(PATH), "plate").per_way is True
