"""The decision rule against independent reckoning: what a ± or an assumption could turn is not known.

Standard uncertainty of a value known to ±a with equal chance: a/√3 (JCGM 100:2008, 4.3.7). Combined: root of
the sum of squares (JCGM 100:2008, 5.1.2). Guard band: the expanded uncertainty 2u on the side of the answer
(JCGM 106:2012, 8.3.2).
"""

import itertools
import math
import random

import pytest

from tests.plans import made
from tests.rigs import changed, without
from towlib.limits.decision import GUARD, answer, plain, plain_answer
from towlib.limits.limit import (
    ASKED,
    ASSUMED,
    NOT_KNOWN,
    OVER,
    TOO_CLOSE,
    WITHIN,
    YES_NO,
    Beyond,
    Rule,
    rating,
)
from towlib.rig.facts import Facts, NotKnown
from towlib.rig.model import load_rig

NUMBERS = itertools.count()
DEMO = load_rig("data/rigs/demo_comfortable.toml")
FRONT, REAR = "tow_vehicle.front_axle_empty", "tow_vehicle.rear_axle_empty"  # 1,310 and 1,060 kg
BAR, AREA = "tow_bar.mass", "tow_vehicle.drag_area"  # assumed 25 (18 to 32) kg, 1.35 (1.2 to 1.5) m²
SHARE = "tow_vehicle.brakes.front_share"  # 0.1 to 0.95 or so: has ends


def rig_with(plus_minus, *missing):
    """The demo rig with these ± only, and without some fields."""
    rig = DEMO
    for path in missing:
        rig = without(rig, path)
    rig = rig.model_copy()
    rig._plus_minus = dict(plus_minus)
    return rig


def rule(demand, capacity, kind="force", **other):
    """A rule from two functions of (need, way), or a figure."""

    def side(work):
        return (lambda facts, way: work(facts.need, way)) if callable(work) else (lambda facts, way: work)

    key = f"k{next(NUMBERS)}"  # what is found out of a rule is kept by its key
    return Rule(key, "K", kind, side(demand), side(capacity), "source", "advice", **other)


def both(need, way):
    return need(FRONT) + need(REAR)


# --- the guard band ---


def by_the_book(best, capacity, halves):
    """The answer of JCGM 106 to a sum of values, each ± its half width with equal chance."""
    expanded = 2.0 * math.sqrt(sum(half**2 / 3.0 for half in halves))
    if best <= capacity - expanded:
        return WITHIN
    return OVER if best > capacity + expanded else NOT_KNOWN


def test_sums_of_two_values_answer_by_the_book():
    chance = random.Random(106)
    seen = set()
    for _ in range(200):
        halves = chance.uniform(1, 60), chance.uniform(1, 60)
        capacity = 2370.0 + chance.uniform(-120, 120)
        found = answer(rule(both, capacity), Facts(rig_with(dict(zip((FRONT, REAR), halves, strict=True)))))
        assert found.answer == by_the_book(2370.0, capacity, halves), (halves, capacity)
        assert (found.doubt is None) == (found.answer != NOT_KNOWN)
        if found.doubt:  # most of it is the wider of both
            assert found.doubt == (TOO_CLOSE, (FRONT, REAR)[halves[1] > halves[0]], "")
            assert found.missing == found.doubt.path and found.likely == ""
        seen.add(found.answer)
    assert seen == {WITHIN, OVER, NOT_KNOWN}


def test_the_guard_band_is_twice_the_standard_uncertainty():
    assert pytest.approx(2 / 3**0.5) == GUARD


def test_a_plus_minus_counts_as_much_as_it_moves_the_limit():
    # three times the front axle: ±20 moves it by 60, U = 2·60/√3 = 69.28
    def thrice(need, way):
        return 3.0 * need(FRONT)

    facts = Facts(rig_with({FRONT: 20.0}))
    for room, expected in ((69.3, WITHIN), (69.2, NOT_KNOWN), (-69.2, NOT_KNOWN), (-69.3, OVER)):
        assert answer(rule(thrice, 3930.0 + room), facts).answer == expected
    # and a ± of a capacity counts as that of a demand
    for room, expected in ((69.3, WITHIN), (69.2, NOT_KNOWN), (-69.2, NOT_KNOWN), (-69.3, OVER)):
        assert answer(rule(3930.0 - room, thrice), facts).answer == expected


def test_a_plus_minus_of_what_the_limit_does_not_read_changes_nothing():
    found = answer(rule(lambda need, way: need(REAR), 1060.0), Facts(rig_with({FRONT: 20.0})))
    assert (found.answer, found.doubt) == (WITHIN, None)


def test_a_bar_that_is_level_at_its_best_value_slopes_at_both_ends():
    # |front - 1310| is nought at best and 20 at either end: U = 2·20/√3 = 23.09, though both ends are alike
    def slope(need, way):
        return abs(need(FRONT) - 1310.0)

    facts = Facts(rig_with({FRONT: 20.0}))
    for capacity, expected in ((23.1, WITHIN), (23.0, NOT_KNOWN), (15.0, NOT_KNOWN)):
        assert answer(rule(slope, capacity), facts).answer == expected


@pytest.mark.parametrize("side", ["low", "high", "both"])
def test_an_end_at_which_nothing_can_be_worked_out_is_no_pass(side):
    def demand(need, way):
        value = need(FRONT)
        if (
            side == "both"
            and value != 1310.0
            or side == "low"
            and value < 1310
            or side == "high"
            and value > 1310
        ):
            raise ValueError("cannot be")
        return 1.0

    found = answer(rule(demand, 1000.0), Facts(rig_with({FRONT: 20.0})))
    assert (found.answer, found.doubt.kind) == (NOT_KNOWN, TOO_CLOSE)


def test_a_plus_minus_that_could_turn_a_yes_is_too_close_and_one_that_could_not_is_not():
    def heavy(need, way):
        return 1.0 if need(FRONT) > 1320.0 else 0.0

    def light(need, way):
        return 0.0 if need(FRONT) > 1320.0 else 1.0

    for off, expected in ((20.0, NOT_KNOWN), (5.0, WITHIN)):
        facts = Facts(rig_with({FRONT: off}))
        assert answer(rule(heavy, 0.0, YES_NO), facts).answer == expected
        assert answer(rule(light, 0.0, YES_NO), facts).answer == (OVER if expected == WITHIN else NOT_KNOWN)


# --- what is assumed ---


def test_both_ends_of_what_is_assumed_decide_for_every_mix():
    # bar 18 to 32, area 1.2 to 1.5 times 40: 48 to 60; best 25 + 54 = 79, ends 66 and 92
    def asked(need, way):
        return need(BAR) + 40.0 * need(AREA)

    facts = Facts(rig_with({}, BAR, AREA))
    for capacity, expected, likely in (
        (92.01, WITHIN, ""),
        (91.99, NOT_KNOWN, WITHIN),
        (79.01, NOT_KNOWN, WITHIN),
        (78.99, NOT_KNOWN, OVER),
        (66.01, NOT_KNOWN, OVER),
        (65.99, OVER, ""),
    ):
        found = answer(rule(asked, capacity), facts)
        assert (found.answer, found.likely, found.assumed) == (expected, likely, (BAR, AREA)), capacity
        if likely:  # 7 of the bar against 6 of the area
            assert found.doubt == (ASSUMED, BAR, "")
    # the same on the other side of the limit, and with more to a square metre the area decides: 0.15·60 = 9
    found = answer(rule(80.0, asked), facts)
    assert (found.likely, found.missing) == (OVER, BAR)
    found = answer(rule(lambda need, way: need(BAR) + 60.0 * need(AREA), 107.0), facts)
    assert (found.likely, found.missing) == (WITHIN, AREA)


def test_what_helps_is_taken_low_and_what_harms_high():
    # within at 25 - 54 = -29 of 0; at the harsh end 32 - 48 = -16, at the kind end 18 - 60 = -42
    def asked(need, way):
        return need(BAR) - 40.0 * need(AREA)

    facts = Facts(rig_with({}, BAR, AREA))
    for capacity, expected in ((-15.9, WITHIN), (-16.1, NOT_KNOWN), (-41.9, NOT_KNOWN), (-42.1, OVER)):
        assert answer(rule(asked, capacity, "angle"), facts).answer == expected


def test_a_choice_that_is_assumed_counts_at_its_unfavourable_side():
    # crossed is assumed false; either may be so
    def asked(need, way):
        return 1.0 if need("safety_chains.crossed") else 2.0

    facts = Facts(rig_with({}, "safety_chains.crossed"))
    for capacity, expected in ((2.0, WITHIN), (1.5, NOT_KNOWN), (0.5, OVER)):
        found = answer(rule(asked, capacity), facts)
        assert found.answer == expected and found.assumed == ("safety_chains.crossed",)


def test_an_end_of_an_assumption_that_cannot_be_worked_out_is_no_pass():
    def asked(need, way):
        if need(BAR) == 32.0:
            raise NotKnown("too heavy")
        return 1.0

    assert answer(rule(asked, 2.0), Facts(rig_with({}, BAR))).doubt == (ASSUMED, BAR, "")


def test_lifted_stays_over_however_strong_and_turns_with_what_is_assumed():
    # 20 less the bar (18 to 32): -5 at best, 2 at the kind end: likely over; of 15 less: over at both ends
    def left(most):
        return lambda need, way: most - need(BAR)

    facts = Facts(rig_with({}, BAR))
    assert [answer(rule(left(most), 1000.0, "mass"), facts).answer for most in (40.0, 30.0, 20.0, 15.0)] == [
        WITHIN,
        NOT_KNOWN,
        NOT_KNOWN,
        OVER,
    ]
    assert [answer(rule(left(most), 1000.0, "mass"), facts).likely for most in (30.0, 20.0)] == [WITHIN, OVER]
    # what may point either way, such as an angle, is not lifted
    assert answer(rule(left(15.0), 1000.0, "angle"), facts).answer == WITHIN


def test_nothing_left_at_the_harsh_end_is_within_and_nothing_gained_at_the_kind_end_is_over():
    facts = Facts(rig_with({}, BAR))
    bar = rule(lambda need, way: need(BAR), 32.0)
    assert answer(bar, facts).answer == WITHIN
    # over at best and exactly at the limit at the kind end: within there, so not over at both
    assert answer(rule(lambda need, way: need(BAR), 18.0), facts).likely == OVER


def test_plus_minus_beside_an_assumption_at_its_harsh_end():
    # front ±20: U = 23.09. Best 1310 + 25; harsh 1310 + 32; so room 7 + 23.09 is needed
    def asked(need, way):
        return need(FRONT) + need(BAR)

    facts = Facts(rig_with({FRONT: 20.0}, BAR))
    for room, kind in ((30.10, None), (30.08, ASSUMED), (23.10, ASSUMED), (23.08, TOO_CLOSE), (6.9, ASSUMED)):
        found = answer(rule(asked, 1335.0 + room), facts)
        assert (found.doubt.kind if found.doubt else None) == kind, room
        assert found.plain == WITHIN


# --- both ways ---


def two_ways(out, back, **other):
    return rule(lambda need, way: _value({"out": out, "back": back}[way]), 10.0, **other)


def _value(value):
    if value is None:
        raise NotKnown("hitch.ball_rating")
    return value


@pytest.mark.parametrize(
    ("out", "back", "expected", "way"),
    [
        (8.0, 9.0, WITHIN, "back"),
        (9.0, 8.0, WITHIN, "out"),
        (9.0, 12.0, OVER, "back"),
        (12.0, 9.0, OVER, "out"),
        (12.0, 13.0, OVER, "back"),
        (None, 9.0, NOT_KNOWN, "out"),
        (9.0, None, NOT_KNOWN, "back"),
        (None, 12.0, OVER, "back"),
        (12.0, None, OVER, "out"),
        (None, None, NOT_KNOWN, "out"),
    ],
)
def test_the_more_pressing_way_is_the_answer(out, back, expected, way):
    for judge in (answer, plain):
        found = judge(two_ways(out, back), Facts(rig_with({})))
        assert (found.answer, found.way) == (expected, way)
        assert found.missing == ("" if expected != NOT_KNOWN else "hitch.ball_rating")


def test_a_rule_that_is_the_same_both_ways_is_asked_once():
    for judge in (answer, plain):
        found = judge(two_ways(8.0, 12.0, per_way=False), Facts(rig_with({})))
        assert (found.answer, found.way) == (WITHIN, "out")


def test_likely_over_on_one_way_stands_before_not_known_on_the_other():
    # 24 allowed: bar assumed 25, 18 to 32
    def asked(need, way):
        return need(BAR) if way == "back" else _value(None)

    found = answer(rule(asked, 24.0), Facts(rig_with({}, BAR)))
    assert (found.way, found.likely) == ("back", OVER)


# --- one way, as it stands ---


def test_the_plain_answer_takes_every_value_as_it_stands_and_says_what_it_read():
    rig = rig_with({FRONT: 500.0}, BAR)
    limit, read = plain_answer(rule(lambda need, way: need(FRONT) + need(BAR), 1340.0), Facts(rig), "back")
    assert (limit.answer, limit.way, limit.doubt) == (WITHIN, "back", None)
    assert limit._replace(key="k") == made(
        "k", 1335.0, 1340.0, kind="force", source="source", way="back", assumed=(BAR,)
    )._replace(title="K", advice="advice")
    assert read == {FRONT, BAR}
    assert plain(rule(lambda need, way: need(BAR), 26.0), Facts(rig)).answer == WITHIN
    assert answer(rule(lambda need, way: need(BAR), 26.0), Facts(rig)).answer == NOT_KNOWN


def test_what_the_rig_gives_is_not_starred():
    rig = changed(rig_with({}), BAR, 25.0)
    limit, read = plain_answer(rule(lambda need, way: need(BAR), 26.0), Facts(rig), "out")
    assert limit.assumed == () and read == set()


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf])
def test_no_number_is_not_known_and_says_so(bad):
    for sides in ((bad, 2.0), (2.0, bad)):
        limit, _ = plain_answer(rule(*sides), Facts(rig_with({})), "out")
        assert limit.answer == NOT_KNOWN and limit.missing == "a number that could not be worked out"
        assert {limit.demand, limit.capacity} == {None, 2.0}
    limit, _ = plain_answer(rule(bad, bad), Facts(rig_with({})), "out")  # said once
    assert limit.missing == "a number that could not be worked out"


def test_both_missing_facts_are_named_in_order():
    limit, _ = plain_answer(
        Rule("k", "K", "mass", rating("hitch.ball_rating"), rating("tow_vehicle.gvwr"), "s"),
        Facts(rig_with({}, "hitch.ball_rating", "tow_vehicle.gvwr")),
        "out",
    )
    assert limit.missing == "hitch.ball_rating; tow_vehicle.gvwr"


# --- limits that need the road driven ---


def by_road(key, work, capacity):
    return rule(work, capacity)._replace(key=key)


FACTOR, EXPOSURE, FRONT_SHARE, MASS = (
    "tow_vehicle.engine.braking_factor",  # 1.0, 0.7 to 1.3
    "tow_vehicle.brakes.exposure",  # 0.60, 0.45 to 0.75
    "tow_vehicle.brakes.front_share",  # 0.68, 0.60 to 0.75
    "tow_vehicle.rolling_resistance",  # 0.013, 0.010 to 0.015
)


def hot(need, way):
    """Hotter where less holds back; a little of each."""
    return 10.0 - 2.0 * need(FACTOR) - 4.0 * need(EXPOSURE) + 9.0 * need(FRONT_SHARE) - 100.0 * need(MASS)


def test_ends_of_a_driven_limit_are_those_of_the_table():
    facts = Facts(rig_with({}, FACTOR, EXPOSURE, FRONT_SHARE, MASS))
    # best 10 - 2 - 2.4 + 6.12 - 1.3 = 10.42; harsh 10 - 1.4 - 1.8 + 6.75 - 1.0 = 12.55;
    # kind 10 - 2.6 - 3 + 5.4 - 1.5 = 8.3
    for capacity, expected, likely in (
        (12.56, WITHIN, ""),
        (12.54, NOT_KNOWN, WITHIN),
        (10.43, NOT_KNOWN, WITHIN),
        (10.41, NOT_KNOWN, OVER),
        (8.31, NOT_KNOWN, OVER),
        (8.29, OVER, ""),
    ):
        found = answer(by_road("front_brakes", hot, capacity), facts)
        assert (found.answer, found.likely) == (expected, likely), capacity


def test_the_weightiest_value_that_turns_it_alone_is_named():
    facts = Facts(rig_with({}, FACTOR, EXPOSURE, FRONT_SHARE, MASS))
    # alone: engine braking 0.6, exposure 0.6, front share 0.63, rolling 0.3. The weightiest two are tried
    for room, named in ((0.5, FACTOR), (0.61, FACTOR), (2.0, FACTOR)):
        assert answer(by_road("front_brakes", hot, 10.42 + room), facts).missing == named

    def little_engine(need, way):
        return hot(need, way) + 1.9 * need(FACTOR)  # engine braking moves it by 0.03 only

    # best 12.32: exposure alone turns it where 0.5 is left, engine braking does not
    assert answer(by_road("front_brakes", little_engine, 12.32 + 0.5), facts).missing == EXPOSURE
    # the third is not tried: none of the first two turns it alone, so the weightiest is named
    assert answer(by_road("front_brakes", little_engine, 12.32 + 0.62), facts).missing == FACTOR


def test_a_driven_limit_names_nothing_that_does_not_move_it():
    # heat_share moves the coolant only
    def asked(need, way):
        return need("tow_vehicle.cooling.heat_share") + need(MASS)

    facts = Facts(rig_with({}, "tow_vehicle.cooling.heat_share", MASS))
    # 0.28 + 0.013; harsh 0.32 + 0.015 for the coolant
    assert answer(by_road("coolant", asked, 0.30), facts).missing == "tow_vehicle.cooling.heat_share"
    assert answer(by_road("fuel", lambda need, way: need(MASS), 0.014), facts).missing == MASS


WEIGHS = "tow_vehicle.cooling.heat_share"  # 0.28, 0.24 to 0.32


def test_what_moves_the_coolant_to_and_fro_is_tried_at_both_ends():
    """A heavier bar usually warms the coolant (the table's end); here a lighter one does. With bar and share
    at the table's ends 164, with the bar at its other end 178, at best 159; at the kind ends 154 and 140.
    """

    def warm(need, way):
        return 100.0 - need(BAR) + 300.0 * need(WEIGHS)

    facts = Facts(rig_with({}, BAR, WEIGHS))
    for capacity, expected, likely in (
        (178.1, WITHIN, ""),
        (177.9, NOT_KNOWN, WITHIN),
        (170.0, NOT_KNOWN, WITHIN),
        (163.0, NOT_KNOWN, WITHIN),
        (158.9, NOT_KNOWN, OVER),
        (153.0, NOT_KNOWN, OVER),
        (140.1, NOT_KNOWN, OVER),
        (139.9, OVER, ""),
    ):
        found = answer(by_road("coolant", warm, capacity), facts)
        assert (found.answer, found.likely) == (expected, likely), capacity


def test_a_plus_minus_beside_what_moves_to_and_fro_counts_at_both_of_its_ends():
    """The bar at 18 leaves 7 less than at its best of 25, and the front axle's ± takes 23.09 more."""

    def warm(need, way):
        return -need(BAR) + need("conditions.air_temperature")

    facts = Facts(rig_with({"conditions.air_temperature": 20.0}, BAR))
    air = DEMO.conditions.air_temperature
    for room, kind in ((30.10, None), (30.08, ASSUMED), (23.10, ASSUMED), (23.08, TOO_CLOSE), (6.9, ASSUMED)):
        found = answer(by_road("coolant", warm, air - 25.0 + room), facts)
        assert (found.doubt.kind if found.doubt else None) == kind, room


# --- values that cancel out ---


@pytest.mark.parametrize("more", [0.0, 1.0])
@pytest.mark.parametrize("capacity", [100.0, 326.0, 327.0])
def test_values_that_cancel_out_together_still_count_alone(capacity, more):
    """Ten times how far the axles are from being off by the same: either ±20 alone makes 200 of nought, both
    at the same end nothing. U = 2·200·√2/√3 = 326.6; a third value of 1 kg adds less than a hundredth.
    """

    def apart(need, way):
        off = (need(FRONT) - 1310.0) - (need(REAR) - 1060.0)
        return 10.0 * abs(off) + more * (need("hitch.receiver_rating") - 3600.0)

    widths = {FRONT: 20.0, REAR: 20.0} | ({"hitch.receiver_rating": 1.0} if more else {})
    expected = WITHIN if capacity == 327.0 else NOT_KNOWN
    assert answer(rule(apart, capacity), Facts(rig_with(widths))).answer == expected
    # and the same of a limit that is over: at best nothing is left of what either alone would bring within
    found = answer(rule(lambda need, way: -apart(need, way), -capacity), Facts(rig_with(widths)))
    assert found.answer == (OVER if capacity == 327.0 else NOT_KNOWN)


def test_values_that_cancel_out_at_one_end_only_count_alone_too():
    """Ten times what one axle has too much, but nothing when both have it: 200 of either, U as above."""

    def one_of_them(need, way):
        front, rear = max(0.0, need(FRONT) - 1310.0), max(0.0, need(REAR) - 1060.0)
        return 10.0 * abs(front - rear)

    facts = Facts(rig_with({FRONT: 20.0, REAR: 20.0}))
    for capacity, turns in ((100.0, True), (326.0, True), (327.0, False)):
        assert answer(rule(one_of_them, capacity), facts).answer == (NOT_KNOWN if turns else WITHIN)
        over = rule(lambda need, way: -one_of_them(need, way), -capacity)
        assert answer(over, facts).answer == (NOT_KNOWN if turns else OVER)


def test_assumed_values_that_cancel_out_are_looked_at_together():
    """The bar 7 kg off and the area 0.15 m²: at the harsh end of each alone nothing else than in the plan is
    said, and both together are what is asked.
    """

    def apart(need, way):
        return abs((need(BAR) - 25.0) / 7.0 - (need(AREA) - 1.35) / 0.15)

    facts = Facts(rig_with({}, BAR, AREA))
    assert answer(rule(apart, 2.1), facts).answer == WITHIN


# --- what no capacity meets ---


def never_above(most_kg, path):
    """A demand of 5 that no capacity meets where a value is greater."""
    return lambda need, way: Beyond("it never stops") if need(path) > most_kg else 5.0


@pytest.mark.parametrize(
    ("most_kg", "capacity", "expected", "likely"),
    [
        (17.0, 9.0, OVER, ""),  # never, for every bar of 18 to 32 kg
        (24.0, 9.0, NOT_KNOWN, OVER),  # for one of 25, and not for one of 18
        (24.0, 4.0, OVER, ""),  # which is over by its figure then
        (31.0, 9.0, NOT_KNOWN, WITHIN),  # for the heaviest only
        (32.0, 9.0, WITHIN, ""),
        (31.0, 4.0, OVER, ""),
    ],
)
def test_what_never_ends_is_over_where_the_assumed_ends_say_the_same(most_kg, capacity, expected, likely):
    found = answer(rule(never_above(most_kg, BAR), capacity, "length"), Facts(rig_with({}, BAR)))
    assert (found.answer, found.likely, found.assumed) == (expected, likely, (BAR,))
    assert found.beyond == ("it never stops" if most_kg < 25.0 else "")


@pytest.mark.parametrize(
    ("most_kg", "capacity", "expected"),
    [
        (1280.0, 9.0, OVER),
        (1300.0, 9.0, NOT_KNOWN),  # 1310 ± 20
        (1300.0, 4.0, OVER),
        (1320.0, 9.0, NOT_KNOWN),
        (1340.0, 9.0, WITHIN),
    ],
)
def test_what_never_ends_beside_a_plus_minus(most_kg, capacity, expected):
    found = answer(rule(never_above(most_kg, FRONT), capacity, "length"), Facts(rig_with({FRONT: 20.0})))
    assert found.answer == expected
    assert (found.doubt == (TOO_CLOSE, FRONT, "")) == (expected == NOT_KNOWN)


def test_what_never_ends_needs_no_capacity_and_names_nothing_missing():
    asked = rule(never_above(0.0, FRONT), lambda need, way: need("hitch.ball_rating"))
    found = answer(asked, Facts(rig_with({FRONT: 20.0}, "hitch.ball_rating")))
    assert (found.answer, found.missing, found.demand, found.capacity) == (OVER, "", None, None)
    assert found.beyond == "it never stops"


# --- a value that looks like a slip ---


def test_a_limit_that_reads_two_values_in_question_asks_about_the_first_and_names_both(monkeypatch):
    monkeypatch.setattr(Facts, "asked", {REAR: "?", FRONT: "?", BAR: "?"})
    odd = changed(changed(rig_with({}), FRONT, 1.34), REAR, 1.06)
    found = answer(rule(both, 1000.0), Facts(odd))
    assert (found.answer, found.doubt.kind, found.doubt.path) == (NOT_KNOWN, ASKED, FRONT)
    assert found.doubt.words == "front axle with full tank 1.34 kg = 2.954 lb: is that right?"
    assert found.missing == f"{FRONT}; {REAR}"


# --- ends of the rule itself ---


def test_exactly_the_guard_band_is_enough():
    # ±15 and ±20: the root of 225 + 400 is 25, and nothing is rounded on the way
    def off(need, way):
        return (need(FRONT) - 1310.0) + (need(REAR) - 1060.0)

    facts = Facts(rig_with({FRONT: 15.0, REAR: 20.0}))
    band = 2.0 / math.sqrt(3.0) * 25.0
    assert answer(rule(off, band), facts).answer == WITHIN
    assert answer(rule(off, band * (1 - 1e-12)), facts).answer == NOT_KNOWN


def test_small_plus_minus_are_not_rounded_up():
    # ±0.3 twice: 2·sqrt(2·0.09/3) = 0.490
    facts = Facts(rig_with({FRONT: 0.3, REAR: 0.3}))
    assert answer(rule(both, 2370.5), facts).answer == WITHIN
    assert answer(rule(both, 2370.48), facts).answer == NOT_KNOWN


def test_a_value_whose_both_ends_help_adds_nothing_to_the_band():
    # ±20 twice: 2·sqrt(800/3) = 32.660; the third makes it better at either end by 10
    def asked(need, way):
        return both(need, way) - 20.0 * abs(need("tow_vehicle.wheelbase") - 3.61)

    facts = Facts(rig_with({FRONT: 20.0, REAR: 20.0, "tow_vehicle.wheelbase": 0.5}))
    assert answer(rule(asked, 2370.0 + 32.67), facts).answer == WITHIN
    assert answer(rule(asked, 2370.0 + 32.65), facts).answer == NOT_KNOWN


def test_one_plus_minus_that_could_turn_a_yes_is_enough():
    def heavy(need, way):
        return 1.0 if need(REAR) > 0.0 and need(FRONT) > 1320.0 else 0.0  # both are read

    facts = Facts(rig_with({FRONT: 20.0, REAR: 20.0}))
    assert answer(rule(heavy, 0.0, YES_NO), facts).doubt == (TOO_CLOSE, FRONT, "")


def test_a_little_lifted_is_lifted_and_a_little_loaded_is_not():
    facts = Facts(rig_with({}, BAR))
    # 31.5 less 32 is half a kilogram in the air
    assert answer(rule(lambda need, way: 31.5 - need(BAR), 1000.0, "mass"), facts).likely == WITHIN
    # half a kilogram on a part that takes a fifth: over, however the bar moves it by grams
    little = rule(lambda need, way: 0.5 + 0.001 * (need(BAR) - 25.0), 0.2, "mass")
    assert answer(little, facts).answer == OVER
    nothing = rule(lambda need, way: max(0.0, need(BAR) - 32.0), -1.0, "mass")
    assert answer(nothing, facts).answer == OVER


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf])
def test_an_end_that_gives_no_number_is_no_pass(bad):
    asked = rule(lambda need, way: bad if need(BAR) == 32.0 else 1.0, 2.0)
    assert answer(asked, Facts(rig_with({}, BAR))).doubt == (ASSUMED, BAR, "")


def test_only_what_the_rig_lacks_is_starred():
    # the drag area may be assumed; this rig gives it, with a ±
    found = answer(rule(lambda need, way: need(AREA), 9.0), Facts(rig_with({AREA: 0.1})))
    assert (found.answer, found.assumed) == (WITHIN, ())


def test_what_is_missing_stays_named_beside_what_is_assumed():
    asked = rule(lambda need, way: need(BAR), lambda need, way: need("hitch.ball_rating"))
    found = answer(asked, Facts(rig_with({FRONT: 1.0}, BAR, "hitch.ball_rating")))
    assert (found.answer, found.missing, found.doubt) == (NOT_KNOWN, "hitch.ball_rating", None)
    assert found.assumed == (BAR,) and found.likely == ""
