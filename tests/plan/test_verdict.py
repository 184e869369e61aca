"""What a plan tells, of limits made by hand: the verdict, what governs, the advice, and the table that is a
way to drive or is not.
"""

import math
from types import SimpleNamespace

import pytest

from tests.plans import (
    DEMO,
    asked,
    likely_over,
    likely_within,
    made,
    over,
    plan_of,
    too_close,
    unknown,
    within,
    yes_no,
)
from tests.rigs import changed, without
from towlib.limits.legs import driver
from towlib.limits.limit import NOT_KNOWN, OVER, WITHIN
from towlib.plan.trip import make_plan, titles, what_moves
from towlib.rig.facts import Facts
from towlib.road.route import load_route


@pytest.fixture(scope="module")
def road():
    return load_route("data/routes/short_steep_pass.csv")


@pytest.fixture(scope="module")
def comfortable():
    return DEMO


# --- what is told of a plan, of limits made by hand ---


@pytest.mark.parametrize(
    ("limits", "said"),
    [
        (
            [within("a"), within("b")],
            "All 2 limits within by these figures; the makers' manuals and the law come first.",
        ),
        ([within(), unknown()], "No limit over, but 1 of 2 not known: find these out before you drive."),
        ([within(), too_close()], "No limit over, but 1 of 2 not known: find these out before you drive."),
        ([within(), asked()], "No limit over, but 1 of 2 not known: find these out before you drive."),
        ([likely_within()], "No limit over, but 1 of 1 not known: find these out before you drive."),
        (
            [likely_over(), unknown(), within()],
            "No limit over, but 2 of 3 not known (likely over: LIKELY_OVER): find these out before you"
            " drive.",
        ),
        ([over(), within()], "1 of 2 limits over, 0 not known, 1 within: do not tow it like this."),
        (
            [over("a"), over("b"), likely_over(), likely_within(), unknown(), within()],
            "2 of 6 limits over, 3 not known (likely over: LIKELY_OVER), 1 within: do not tow it like this.",
        ),
        (
            [likely_over("a"), likely_over("b"), likely_over("c")],
            "No limit over, but 3 of 3 not known (likely over: A; B; C): find these out before you drive.",
        ),
        (
            [likely_over("a"), likely_over("b"), likely_over("c"), likely_over("d"), likely_over("e")],
            "No limit over, but 5 of 5 not known (likely over: A; B; C and 2 more): find these out before you"
            " drive.",
        ),
    ],
)
def test_the_verdict_by_hand(limits, said):
    plan = plan_of(*limits)
    assert plan.verdict == said
    assert plan.count(WITHIN) + plan.count(OVER) + plan.count(NOT_KNOWN) == len(limits)
    # a limit that is over and not in doubt is over, not likely over
    assert plan.likely_over == tuple(limit for limit in limits if limit.doubt and limit.room < 0)


@pytest.mark.parametrize(
    ("limits", "key", "advice"),
    [
        # 13 of 10 is more over than 12 of 10, and any over before one that is full
        ([made("a", 12.0, 10.0, advice="A"), over(advice="B"), within()], "over", "B"),
        ([made("full", 10.0, 10.0, advice="A"), made("hardly", 10.001, 10.0)], "hardly", None),
        ([over(advice="B"), yes_no(fulfilled=False, advice="C"), made("a", 12.0, 10.0)], "yes_no", "C"),
        ([made("lifted", -1.0, 10.0, advice="L"), over()], "lifted", "L"),
        # 9 of 10 is tighter than 8 of 10
        (
            [within(), made("tight", 9.0, 10.0, advice="Less."), yes_no()],
            "tight",
            "It has the least room; what would give it more: Less.",
        ),
        # what is not known does not govern, however likely it is over
        (
            [likely_over(), unknown(), asked(), within(advice="Less.")],
            "within",
            "Of those that are known it has the least room; what would give it more: Less.",
        ),
        (
            [likely_over(), unknown()],
            None,
            "Nothing is known well enough yet; the limits name what to find out.",
        ),
    ],
)
def test_what_governs_by_hand(limits, key, advice):
    for order in (limits, limits[::-1]):
        plan = plan_of(*order)
        assert (plan.governing.key if plan.governing else None) == key
        if advice is not None:
            assert plan.governing_advice == advice


BRAKES = ("front_brakes", "rear_brakes", "towed_brakes")


@pytest.mark.parametrize("key", BRAKES)
@pytest.mark.parametrize(
    ("judged", "is_a_way"),
    [
        (within, True),
        (over, False),
        (unknown, False),
        (likely_over, False),
        (likely_within, False),
        (asked, False),
    ],
)
def test_the_table_is_a_way_to_drive_only_with_every_brake_within(key, judged, is_a_way):
    others = [within(each) for each in BRAKES if each != key]
    assert plan_of(*others, judged(key)).brakes_are_within is is_a_way
    # another limit, such as the fuel, has no say
    assert plan_of(*(within(each) for each in BRAKES), judged("fuel")).brakes_are_within


def test_titles_are_named_and_counted():
    limits = [within(key) for key in "abcd"]
    assert [titles(limits[:n]) for n in range(5)] == ["", "A", "A; B", "A; B; C", "A; B; C and 1 more"]


def test_what_moves_a_limit_by_hand(comfortable, road):
    facts = Facts(comfortable)
    # 3 kg = 6.614 lb
    assert what_moves(over(advice="Less cargo."), facts, driver(road)) == (
        "It needs 3 kg (6.61 lb) less. Less cargo."
    )
    for limit in (
        within(advice="A"),
        over(kind="force", advice="A"),
        likely_over(advice="A"),
        unknown("front_brakes", advice="A"),
        within("front_brakes", kind="temperature", advice="A"),
        likely_within("rear_brakes", kind="temperature", advice="A"),
    ):
        assert what_moves(limit, facts, driver(road)) == "A"


def leg_with(front, rear, towed=math.nan):
    return SimpleNamespace(highest_brake_c=lambda axle: (front, rear, towed)[axle])


@pytest.mark.parametrize("judged", [over, likely_over])
def test_the_fastest_descent_that_keeps_the_brakes_within(comfortable, judged):
    # the plan's 57 km/h begins the steps of five at 55; the front is 5 K hotter for each km/h, the rear 3 K,
    # the towed one 4 K
    tried = []

    def slower(facts, way):
        descent_kmh = round(3.6 * facts.need("conditions.descent_speed"))
        tried.append((way, descent_kmh))
        return leg_with(5.0 * descent_kmh, 3.0 * descent_kmh, 4.0 * descent_kmh)

    rig = changed(comfortable, "conditions.descent_speed", 57 / 3.6)
    facts = Facts(rig)
    front = judged("front_brakes", kind="temperature", advice="And more.", way="back")
    # 225 °C = 437 °F allowed: 45 km/h (28 mph) in the gear that holds it
    said = what_moves(front._replace(demand=300.0, capacity=225.0), facts, slower)
    assert said == (
        "Coming down at 45 km/h (28 mph) in the gear that holds it keeps them at 225 °C (437 °F). And more."
    )
    assert tried == [("back", 55), ("back", 50), ("back", 45)]
    # of the rear axle: 3 times 50 = 150
    rear = front._replace(key="rear_brakes", demand=300.0, capacity=151.0)
    assert "Coming down at 50 km/h (31.1 mph)" in what_moves(rear, facts, slower) and len(tried) == 5
    # of the towed vehicle: 4 times 35 = 140
    towed = front._replace(key="towed_brakes", demand=300.0, capacity=151.0)
    assert "Coming down at 35 km/h (21.7 mph)" in what_moves(towed, facts, slower)
    # down to 20 km/h (100 °C), but not to 15
    assert "at 20 km/h" in what_moves(front._replace(demand=300.0, capacity=100.0), facts, slower)
    none = what_moves(front._replace(demand=300.0, capacity=99.0), facts, slower)
    assert none.startswith("No descent speed above 15 km/h keeps them within: ") and none.endswith(
        "And more."
    )
    assert tried[-1] == ("back", 20)


def test_a_road_that_cannot_be_driven_is_said_and_everything_else_answered(comfortable, road):
    plan = make_plan(without(comfortable, "tow_vehicle.engine.peak_power"), road)
    assert plan.road_missing == "tow_vehicle.engine.peak_power" and plan.legs == ()
    assert "No limit over" in plan.verdict and plan.count(WITHIN) > 30
    whole = make_plan(comfortable, road)
    assert whole.road_missing == "" and [leg.way for leg in whole.legs] == ["out", "back"]
    assert whole.prop.startswith("Coupling alone") and all(whole.to_fit)
    # every assumption that went into a limit is listed once
    assert [each.field for each in whole.assumed] == sorted(
        {path for limit in whole.limits for path in limit.assumed}
    )
