"""No assumption and no ± turns an answer unseen: directions proved by driving them, corners against every mix
of values, and the words of what is in doubt.
"""

import random

import pytest

from tests.rigs import changed, without
from towlib.limits.decision import GUARD, answer, plain_answer
from towlib.limits.harsh_ends import _ENDS, AIR, DOWNHILL, UPHILL, harsh_end, to_and_fro
from towlib.limits.legs import driver
from towlib.limits.limit import ASSUMED, NOT_KNOWN, OVER, TOO_CLOSE, WAYS, WITHIN, Limit, Rule, rank
from towlib.plan.trip import make_plan, rules_of
from towlib.print.checklists import checklists
from towlib.rig.facts import Facts, NotKnown, assumptions
from towlib.rig.model import load_rig, real_range, value_at
from towlib.rig.uncertain import Uncertain, uncertain_values
from towlib.road.route import load_route

ROAD = load_route("data/routes/short_steep_pass.csv")
DEMO, HEAVY = (load_rig(f"data/rigs/demo_{name}.toml") for name in ("comfortable", "overloaded"))
BARE = DEMO  # nothing given that may be assumed
for _path, _each in assumptions().items():
    if isinstance(_each.low, float) and value_at(DEMO, _path) is not None:
        BARE = without(BARE, _path)
for _path, _value in {"brakes_fitted": True, "brake_share": 0.25, "brake_heated_mass": 20.0}.items():
    BARE = changed(BARE, f"towed_vehicle.{_path}", _value)


def _rules(rig):
    facts = Facts(rig)
    return facts, {rule.key: rule for rule in rules_of(facts, ROAD, driver(ROAD))}


def _room(rule: Rule, facts: Facts, way: str) -> float:
    return rule.capacity(facts, way) - rule.demand(facts, way)


@pytest.mark.parametrize("path", _ENDS)
def test_each_end_that_is_not_found_out_points_the_way_it_is_said_to(path):
    moved = set()
    for rig in (DEMO, HEAVY, BARE):
        best = value_at(rig, path)
        best = assumptions()[path].value if best is None and path in assumptions() else best
        if best is None:
            continue
        facts, rules = _rules(rig)
        low, high = (facts.other({path: factor * best}) for factor in (0.97, 1.03))
        for key in (*UPHILL, *DOWNHILL):
            plain = plain_answer(rules[key], facts, "out")[0] if key in rules else None
            if plain is None or plain.room is None:
                continue
            difference = _room(rules[key], high, "out") - _room(rules[key], low, "out")
            if abs(difference) > 1e-9 * abs(plain.capacity):
                to_either_side = key != "coolant" and path in to_and_fro(key)
                assert to_either_side or harsh_end(key, path) == ("low" if difference > 0 else "high"), key
                assert key in _ENDS[path]
                moved.add(key)
    assert moved == set(_ENDS[path])


@pytest.mark.parametrize("rig", [DEMO, HEAVY, BARE], ids=["comfortable", "overloaded", "bare"])
def test_no_mix_of_assumed_values_turns_an_answer_that_was_given(rig):
    facts, rules = _rules(rig)
    mixes = random.Random(13)
    tried = 0
    for key, rule in rules.items():
        limit = answer(rule, facts)
        plain, read = plain_answer(rule, facts, limit.way)
        assumed = [each for each in uncertain_values(rig) if each.assumed and each.path in read]
        if limit.answer == NOT_KNOWN or not assumed:
            continue
        for i in range(4 if key in (*UPHILL, *DOWNHILL) else 12):
            values = {
                each.path: mixes.choice((each.low, each.high))
                if i % 2
                else mixes.uniform(each.low, each.high)
                for each in assumed
                if isinstance(each.low, float)
            }
            room = _room(rule, facts.other(values), limit.way)
            assert (room >= 0) == (limit.answer == WITHIN), (key, values)
            tried += 1
    assert tried > 40


def test_the_demo_rig_is_within_only_because_it_says_how_its_nuts_and_tyres_are():
    # with the bolts' K assumed (0.12 to 0.25) the tension is within at 0.2 and over at 0.12: F = T / (K d)
    bare = without(without(DEMO, "bracket.nut_factor"), "tow_vehicle.rear_side_stiffness")
    found = {limit.key: limit for limit in make_plan(bare, ROAD).limits if limit.answer != WITHIN}
    assert set(found) == {"bolt_tension", "straight_running"}
    bolt = found["bolt_tension"]
    assert bolt.doubt.kind == ASSUMED and bolt.doubt.path == "bracket.nut_factor" == bolt.missing
    assert bolt.likely == WITHIN and bolt.plain == WITHIN and bolt.answer == NOT_KNOWN
    assert bolt.demand * 0.2 / 0.12 > bolt.capacity > bolt.demand
    # 65 lbf·ft = 88.128 N·m over 0.2 · 12.7 mm is 34,696 N; 85 ksi on 0.1419 in² are 53,652 N
    assert (
        bolt.answer_text()
        == "not known: likely within by 18,956 N; bracket.nut_factor is assumed and decides"
    )


@pytest.mark.parametrize(
    ("falls", "allowed_c", "expected"),
    [
        # rolling resistance is assumed 0.013, 0.010 to 0.015; 1 K for each 0.001: 97 to 102 °C, or 98 to 103
        (False, 102.01, WITHIN),
        (False, 101.99, NOT_KNOWN),
        (True, 103.01, WITHIN),
        (True, 102.99, NOT_KNOWN),
    ],
)
def test_the_coolant_is_tried_at_both_ends_of_what_pulls_back(falls, allowed_c, expected):
    # an engine at full throttle may make less heat the more pulls back, when that leaves it in another gear
    rolling = "tow_vehicle.rolling_resistance"

    def demand(facts, way):
        return 100.0 + (-1e3 if falls else 1e3) * (facts.need(rolling) - 0.013)

    rule = Rule("coolant", "K", "temperature", demand, lambda facts, way: allowed_c, "source")
    found = answer(rule, Facts(without(DEMO, rolling)))
    assert found.answer == expected
    assert expected == WITHIN or (found.likely, found.missing) == (WITHIN, rolling)


def test_only_limits_of_the_climb_go_to_and_fro_and_the_coolant_only_with_what_the_climb_feels():
    assert not any(map(to_and_fro, DOWNHILL))
    assert to_and_fro("fuel") == to_and_fro("climb_speed") == {AIR}
    assert AIR not in to_and_fro("coolant") and "tow_bar.mass" in to_and_fro("coolant")
    assert "tow_vehicle.cooling.heat_share" not in to_and_fro("coolant")


def test_hot_air_saves_one_rig_fuel_and_costs_another_some():
    """Less drag where there is power to spare; an engine without boost at its end needs a lower gear."""
    signs = set()
    for rig in (changed(DEMO, "tow_vehicle.engine.aspiration", "boosted"), HEAVY):
        facts, rules = _rules(rig)
        cool, hot = (_room(rules["fuel"], facts.other({AIR: air}), "out") for air in (20.0, 40.0))
        signs.add(hot > cool)
    assert signs == {True, False}


def _rule(limit_kg: float = 1000.0, *paths: str, kind: str = "mass", per_way: bool = True, back: float = 0.0):
    """Asked: the sum of some fields, more on the way back; allowed: a figure."""
    return Rule(
        "k",
        "K",
        kind,
        lambda facts, way: sum(facts.need(path) for path in paths) + (back if way == "back" else 0.0),
        lambda facts, way: limit_kg,
        "source",
        "advice",
        per_way,
    )


BAR = "tow_bar.mass"  # assumed 25 kg, 18 to 32


@pytest.mark.parametrize(
    ("allowed", "expected", "likely"),
    [
        (32.0, WITHIN, ""),
        (31.9, NOT_KNOWN, WITHIN),
        (25.0, NOT_KNOWN, WITHIN),
        (24.9, NOT_KNOWN, OVER),
        (18.0, NOT_KNOWN, OVER),
        (17.9, OVER, ""),
    ],
)
def test_within_at_the_harsh_end_only_and_over_at_the_kind_end_only(allowed, expected, likely):
    facts = Facts(without(DEMO, BAR))
    found = answer(_rule(allowed, BAR), facts)
    assert (found.answer, found.likely) == (expected, likely)
    assert found.assumed == (BAR,)
    if likely:
        assert found.doubt == (ASSUMED, BAR, "") and found.missing == BAR
        assert found.answer_text(name=str.upper).startswith(f"not known: likely {likely} by ")
        assert "TOW_BAR.MASS is assumed and decides" in found.answer_text(name=str.upper)


def test_the_value_that_moves_it_most_is_named():
    # drag area 1.2 to 1.5 (0.15 from best), bar 18 to 32 (7 from best)
    rig = without(without(DEMO, BAR), "tow_vehicle.drag_area")
    assert answer(_rule(30.0, BAR, "tow_vehicle.drag_area"), Facts(rig)).missing == BAR


@pytest.mark.parametrize(
    ("off", "allowed", "expected"),
    [
        # u = a/sqrt(3) = 11.547 for a = 20, U = 2u = 23.094 (JCGM 100:2008, 4.3.7; JCGM 106:2012, 8.3.2)
        (20.0, 1310 + 23.10, WITHIN),
        (20.0, 1310 + 23.09, NOT_KNOWN),
        (20.0, 1310.0, NOT_KNOWN),
        (20.0, 1310 - 23.09, NOT_KNOWN),
        (20.0, 1310 - 23.10, OVER),
        (0.0, 1310.0, WITHIN),
        (0.0, 1309.99, OVER),
    ],
)
def test_the_guard_band_of_one_plus_minus(off, allowed, expected):
    rig = DEMO.model_copy()
    rig._plus_minus = {"tow_vehicle.front_axle_empty": off} if off else {}
    found = answer(_rule(allowed, "tow_vehicle.front_axle_empty"), Facts(rig))
    assert found.answer == expected
    if expected == NOT_KNOWN:
        assert found.doubt.kind == TOO_CLOSE and found.likely == ""
        assert "too close for your ±" in found.answer_text() and not found.assumed


@pytest.mark.parametrize(("room", "expected"), [(28.88, WITHIN), (28.86, NOT_KNOWN)])
def test_several_plus_minus_add_up_as_squares(room, expected):
    # ±20 and ±15: U = 2 sqrt((20² + 15²) / 3) = 2 · 25 / sqrt(3) = 28.868
    paths = ("tow_vehicle.front_axle_empty", "tow_vehicle.rear_axle_empty")
    rig = DEMO.model_copy()
    rig._plus_minus = dict(zip(paths, (20.0, 15.0), strict=True))
    assert answer(_rule(1310 + 1060 + room, *paths), Facts(rig)).answer == expected


PINS, BALL = "towed_vehicle.bracket_height", "hitch.receiver_height"


def _off_level(allowed_m: float, *, both: bool) -> Rule:
    """Asked: how far pins and ball are from being level with each other; both stand at 0.5 m."""

    def demand(facts, way):
        return abs(facts.need(PINS) - (facts.need(BALL) if both else 0.5))

    return Rule("k", "K", "size", demand, lambda facts, way: allowed_m, "source", "advice", False)


@pytest.mark.parametrize(
    ("both", "allowed_m", "expected"),
    [
        # one ± of 0.1 m: U = 2 · 0.1 / sqrt(3) = 0.11547 m either way, alike at both ends
        (False, 0.1155, WITHIN),
        (False, 0.1154, NOT_KNOWN),
        (False, 0.01, NOT_KNOWN),
        # two of them, that cancel out when both are high: U = 0.11547 · sqrt(2) = 0.16330 m
        (True, 0.1634, WITHIN),
        (True, 0.1632, NOT_KNOWN),
        (True, 0.01, NOT_KNOWN),
    ],
)
def test_a_plus_minus_to_both_sides_of_the_best_is_seen(both, allowed_m, expected):
    rig = changed(changed(DEMO, PINS, 0.5), BALL, 0.5)
    rig._plus_minus = {PINS: 0.1, BALL: 0.1} if both else {PINS: 0.1}
    found = answer(_off_level(allowed_m, both=both), Facts(rig))
    assert found.answer == expected
    assert expected == WITHIN or found.doubt.kind == TOO_CLOSE


def test_a_plus_minus_whose_ends_are_both_not_known_is_too_close():
    def demand(facts, way):
        if abs(facts.need(PINS) - 0.5) > 0.05:
            raise NotKnown("cannot be")
        return 0.0

    rule = Rule("k", "K", "size", demand, lambda facts, way: 1.0, "source", "advice", False)
    rig = changed(DEMO, PINS, 0.5)
    rig._plus_minus = {PINS: 0.1}
    assert answer(rule, Facts(rig)).doubt.kind == TOO_CLOSE


def test_a_plus_minus_and_an_assumption_together_are_counted_together():
    # bar at its harsh end adds 7 kg, then the guard band of ±20 must still fit
    paths = ("tow_vehicle.front_axle_empty", BAR)
    rig = without(DEMO, BAR)
    rig._plus_minus = {paths[0]: 20.0}
    best = 1310.0 + 25.0
    assert answer(_rule(best + 7 + 23.10, *paths), Facts(rig)).answer == WITHIN
    found = answer(_rule(best + 7 + 23.08, *paths), Facts(rig))
    assert (found.answer, found.doubt.kind, found.missing) == (NOT_KNOWN, ASSUMED, BAR)
    assert answer(_rule(best + 20.0, *paths), Facts(rig)).doubt.kind == TOO_CLOSE


def test_over_on_one_way_is_over_and_named_whatever_the_other_way_is():
    rig = without(DEMO, "tow_vehicle.gvwr")
    rig._plus_minus = {}
    found = answer(_rule(1310.0, "tow_vehicle.front_axle_empty", back=1.0), Facts(rig))
    assert (found.answer, found.way) == (OVER, "back")

    def demand(facts, way):
        return 2.0 if way == "back" else facts.need("tow_vehicle.gvwr")

    hidden = Rule("k", "K", "mass", demand, lambda facts, way: 1.0, "source")
    assert (answer(hidden, Facts(rig)).answer, answer(hidden, Facts(rig)).way) == (OVER, "back")
    assert (
        answer(_rule(1310.0, "tow_vehicle.front_axle_empty", back=1.0, per_way=False), Facts(rig)).answer
        == WITHIN
    )


def test_likely_over_stands_above_every_other_not_known_one_and_is_named_in_the_verdict():
    # 142 m of sight: it stops in 139 m or so, by the share of the front brakes that is assumed
    plan = make_plan(changed(HEAVY, "conditions.shortest_sight", 142.0), ROAD)
    order = [(limit.answer, limit.likely) for limit in plan.limits]
    wanted = [(OVER, ""), (NOT_KNOWN, OVER), (NOT_KNOWN, ""), (NOT_KNOWN, WITHIN), (WITHIN, "")]
    assert list(dict.fromkeys(order)) == wanted
    assert [rank(limit) for limit in plan.limits] == sorted(map(rank, plan.limits), reverse=True)
    assert len(plan.likely_over) >= 3
    for limit in plan.likely_over[:3]:
        assert limit.title in plan.verdict
    stop = checklists(plan)[0].items_[0]
    assert stop.startswith("STOP: ") and all(limit.title in stop for limit in plan.likely_over[:3])
    assert "likely over: " in plan.verdict and plan.governing.answer == OVER


def test_ends_of_a_plus_minus_stay_what_the_field_can_be():
    lowest, highest = real_range("tow_vehicle.brakes.front_share")
    each = Uncertain("tow_vehicle.brakes.front_share", 0.5, 0.9, highest, False)
    assert each.away(GUARD)[1] == highest and each.away(GUARD)[0] == pytest.approx(0.9 - GUARD * 0.4)
    assert each.away(10.0)[0] == lowest
    assert Uncertain(BAR, 18.0, 25.0, 32.0, True).away(10.0) == (18.0, 32.0)


def test_limit_without_a_doubt_reads_as_before():
    limit = Limit("k", "K", "mass", 10.0, 12.0, "s", "out", "", ())
    assert (limit.answer, limit.plain, limit.likely, limit.answer_text()) == (
        WITHIN,
        WITHIN,
        "",
        "within by 2 kg",
    )
    assert (
        limit._replace(demand=None, missing="a.b; c.d").answer_text(name=str.upper) == "not known (A.B; C.D)"
    )
    assert set(WAYS) == {"out", "back"}
