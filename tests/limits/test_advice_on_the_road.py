"""Advice is checked: what a limit of the road, the stop, the turn, the driveline or the electrics advises
is done, and its room grows. Every clause of an advice stands here with the change that does it; a rule
without an entry fails.
"""

import math
from collections.abc import Callable
from functools import cache

import pytest

from tests.limits.made import PAIR_KG, RIG, G, isa_density, road, rolling, rules
from tests.rigs import changed, without
from towlib.limits.advice import FOR_THIS_RIG, advice_for
from towlib.limits.decision import plain_answer
from towlib.limits.driveline_limits import driveline_rules
from towlib.limits.electrics_limits import CHARGE, battery_advice, electric_rules
from towlib.limits.legs import DRY_FRICTION, driver
from towlib.limits.limit import OVER, WAYS, WITHIN, Limit, Rule
from towlib.limits.road_limits import WET_FRICTION, axle_grip, grip_advice, of_driven_axles, road_rules
from towlib.limits.stopping_limits import stop_advice, stopping_rules
from towlib.limits.turning_limits import TURNING_RULES, straight_running_advice
from towlib.plan.trip import what_moves
from towlib.rig.facts import Facts
from towlib.rig.model import Rig, load_rig, value_at
from towlib.road.route import Route, load_route

PASS = load_route("data/routes/short_steep_pass.csv")
MADE_PASS = road((1000, 0.0), (50, 0.14), (1500, 0.07), (500, 0.0), (2000, -0.06), (500, 0.0))
DEMO, HEAVY = (load_rig(f"data/rigs/demo_{name}.toml") for name in ("comfortable", "overloaded"))
BROKEN = changed(
    changed(RIG, "lights.seen_working", False), "towed_vehicle.driveline.steering_is_free", False
)
AHEAD = RIG.model_copy(
    update={"load": (RIG.load[0].model_copy(update={"mass": 300.0, "behind_front_axle": 0.2}),)}
)
# 2.1 · 150 A of 360/0.4 · 0.4 · 0.8: 109 % of the charge would have to stay
COLD = changed(changed(RIG, "battery.coldest", -17.8), "battery.cold_cranking", 360.0)
COLD = changed(COLD, "battery.age_years", 4.0)
RIGS: dict[str, tuple[Rig, Route]] = {
    "made": (RIG, MADE_PASS),
    "broken": (BROKEN, MADE_PASS),
    "loaded in front": (AHEAD, MADE_PASS),
    "front driven": (changed(RIG, "tow_vehicle.driven_axles", "front"), MADE_PASS),
    "without brakes behind": (changed(RIG, "towed_vehicle.brakes_fitted", False), MADE_PASS),
    "cold": (COLD, MADE_PASS),
    "comfortable": (DEMO, PASS),
    "overloaded": (HEAVY, PASS),
}
D = "towed_vehicle.driveline."


def _scaled(path: str, factor: float) -> Callable[[Rig], Rig]:
    """The rig with a field multiplied; where it is not given, from its assumption."""

    def move(rig: Rig) -> Rig:
        value = value_at(rig, path)
        return changed(rig, path, factor * (Facts(rig).need(path) if value is None else value))

    return move


def _set(**told) -> Callable[[Rig], Rig]:
    def move(rig: Rig) -> Rig:
        for name, value in told.items():
            rig = changed(rig, name.replace("__", "."), value)
        return rig

    return move


def _lighter_behind(rig: Rig) -> Rig:
    return _scaled("towed_vehicle.rear_axle_empty", 0.9)(_scaled("towed_vehicle.front_axle_empty", 0.9)(rig))


def _much_lighter_behind(rig: Rig) -> Rig:
    return _scaled("towed_vehicle.rear_axle_empty", 0.6)(_scaled("towed_vehicle.front_axle_empty", 0.6)(rig))


def _moved_load(vehicle: str, by_m: float) -> Callable[[Rig], Rig]:
    def move(rig: Rig) -> Rig:
        rows = tuple(
            row.model_copy(update={"behind_front_axle": row.behind_front_axle + by_m})
            if row.vehicle == vehicle
            else row
            for row in rig.load
        )
        return rig.model_copy(update={"load": rows})

    return move


def _slower_than_now(rig: Rig) -> Rig:
    # a third: below the speed of the trip and below every limit of the roads here
    return _scaled("conditions.cruise_speed", 0.5)(_scaled("conditions.descent_speed", 0.5)(rig))


COOLER = _scaled("conditions.air_temperature", 0.7)
# words of an advice -> what does them; the room of the limit must grow, on the way that had least
DIRECTIONS: dict[str, dict[str, Callable[[Rig], Rig]]] = {
    "climb_speed": {
        "Less weight": _much_lighter_behind,  # as far as a higher gear holds
        "ccept a lower speed": _scaled("conditions.lowest_climb_speed", 0.9),
    },
    "pull_away": {
        "less weight": _lighter_behind,
        "low range": _scaled(
            "tow_vehicle.gearbox.final_drive", 2.0
        ),  # no field: as if the axle were geared lower
    },
    "grip": {
        "less weight in the towed vehicle": _lighter_behind,
        "Less weight in the towed vehicle": _lighter_behind,
        "Drive both axles": _set(tow_vehicle__driven_axles="both"),
        "load of the tow vehicle further back": _moved_load("tow", 0.3),
        "load of the tow vehicle further forward": _moved_load("tow", -0.3),
    },
    "coolant": {"early in the day": COOLER},
    "stop_level": {
        "Drive slower": _slower_than_now,
        "brakes that work": _set(towed_vehicle__brakes_fitted=True, towed_vehicle__brake_share=0.25),
    },
    "stop_down": {
        "Drive slower": _slower_than_now,
        "brakes that work": _set(towed_vehicle__brakes_fitted=True, towed_vehicle__brake_share=0.25),
    },
    "turn_angle": {"Take the turn wider": _scaled("conditions.tightest_turn", 1.2)},
    "chain_turn": {
        "Write the angle you really turn to": _scaled("safety_chains.greatest_articulation", 1.2),
        "take the turn wider": _scaled("conditions.tightest_turn", 1.2),
    },
    "towed_lock": {"Take the turn wider": _scaled("conditions.tightest_turn", 1.2)},
    "straight_running": {
        "Slower": _scaled("conditions.cruise_speed", 0.9),
        "full tyre pressure at the tow vehicle's rear": _scaled("tow_vehicle.rear_side_stiffness", 1.05),
        "load of the towed vehicle further forward": _moved_load("towed", -0.1),
        "load of the towed vehicle further back": _moved_load("towed", 0.1),
        "load of the tow vehicle further forward": _moved_load("tow", -0.1),
        "load of the tow vehicle further back": _moved_load("tow", 0.1),
    },
    "steering_free": {"Unlock the steering": _set(towed_vehicle__driveline__steering_is_free=True)},
    "towing_speed": {"Drive no faster": _scaled("conditions.cruise_speed", 0.8)},
    "lamps_seen": {"Find the fault": _set(lights__seen_working=True)},
    "lamp_socket": {
        "LED lamps": lambda rig: _scaled("lights.turn_current", 0.2)(
            _scaled("lights.stop_current", 0.2)(rig)
        ),
        "converter fed from the battery": _scaled("lights.tow_side_current", 2.0),
    },
    "battery_hours": {
        "charging line": _set(battery__feed_current=0.9),
        "stronger": lambda rig: _scaled("battery.capacity", 2.0)(_scaled("battery.cold_cranking", 3.0)(rig)),
        "younger": _set(battery__age_years=0.0),
    },
}
# checked by tests of their own below
BY_THEMSELVES = {
    "front_brakes": "the speed at which a lower gear holds hangs on the road: computed, driven again",
    "rear_brakes": "as the front brakes",
    "towed_brakes": "as the front brakes",
    "fuel": "filled up on the way: one way alone needs less",
    "towing_allowed": "no direction: another way to tow",
    "driveline_free": "which coupling to open hangs on the layout: each is opened",
    "driveline_oil": "which shaft to take out hangs on the layout: each is taken out",
    "towing_distance": "the road itself is shorter",
}


def _keys(rig: Rig) -> list[str]:
    facts = Facts(rig)
    found = [
        *road_rules(facts, driver(PASS)),
        *stopping_rules(PASS),
        *TURNING_RULES,
        *driveline_rules(facts, PASS),
        *electric_rules(facts),
    ]
    return [rule.key for rule in found]


def test_every_rule_here_has_its_advice_checked():
    assert set(_keys(RIG)) == set(DIRECTIONS) | set(BY_THEMSELVES)
    assert not set(DIRECTIONS) & set(BY_THEMSELVES)
    assert set(_keys(RIG)) & set(FOR_THIS_RIG) <= set(DIRECTIONS)


def _words(rule: Rule, told: Limit, facts: Facts, route: Route) -> str:
    """The advice as the plan puts it."""
    return what_moves(told._replace(advice=advice_for(rule, told, facts)), facts, driver(route))


def _told(rig: Rig, route: Route, key: str):
    """A limit on the way with least room, and what is advised for this very rig."""
    facts, found = rules(rig, route)
    rule = found.get(key)
    if rule is None:
        return None, ""
    plain = [plain_answer(rule, facts, way)[0] for way in (WAYS if rule.per_way else WAYS[:1])]
    known = [each for each in plain if each.room is not None]
    if not known:
        return None, ""
    told = min(known, key=lambda each: each.room)
    return told, _words(rule, told, facts, route)


def _room(rig: Rig, route: Route, key: str, way: str) -> float:
    facts, found = rules(rig, route)
    return plain_answer(found[key], facts, way)[0].room


@cache
def _advised(key: str, name: str):
    return _told(*RIGS[name], key)


CLAUSES = [(key, words) for key, moves in DIRECTIONS.items() for words in moves]


@pytest.mark.parametrize(("key", "words"), CLAUSES)
def test_what_is_advised_gives_more_room(key, words):
    tried = 0
    for name, (rig, route) in RIGS.items():
        told, advice = _advised(key, name)
        if told is None or words not in advice:
            continue
        moved = DIRECTIONS[key][words](rig)
        if moved == rig:  # it is so already: nothing to gain
            assert told.answer == WITHIN
            continue
        assert _room(moved, route, key, told.way) > told.room, (name, advice)
        tried += 1
    assert tried, "no rig here is told this"


@pytest.mark.parametrize("key", DIRECTIONS)
def test_every_rig_is_told_something_that_is_checked(key):
    for name in RIGS:
        told, advice = _advised(key, name)
        assert told is None or any(words in advice for words in DIRECTIONS[key]), advice


# --- where it depends on the rig ---


@pytest.mark.parametrize(
    ("driven", "words"),
    [
        ("rear", "further back"),
        ("front", "further forward"),
        ("both", "Less weight in the towed vehicle, or"),
    ],
)
def test_grip_by_the_axles_that_drive(driven, words):
    rig = changed(RIG, "tow_vehicle.driven_axles", driven)
    told, advice = _told(rig, MADE_PASS, "grip")
    assert words in advice and advice == grip_advice(Facts(rig), told.way)
    for by_m, where in ((0.3, "further back"), (-0.3, "further forward")):
        grows = _room(_moved_load("tow", by_m)(rig), MADE_PASS, "grip", told.way) > told.room + 1e-6
        assert grows == (where in advice)
    # and a dry road: 0.7 instead of 0.5
    facts = Facts(rig)
    pair = driver(MADE_PASS)(facts, told.way).pair
    dry, wet = (
        of_driven_axles(facts, axle_grip(facts, pair, told.way, grade=0.1, friction_coefficient=mu))
        for mu in (DRY_FRICTION, WET_FRICTION)
    )
    assert dry > wet


STIFF = [0.6, 0.8, 1.0, 1.3]


@pytest.mark.parametrize("stiffness", STIFF)
@pytest.mark.parametrize("damping", [0.1, 0.4])
@pytest.mark.parametrize("name", ["made", "loaded in front", "comfortable", "overloaded"])
def test_running_straight_by_what_governs_this_rig(name, damping, stiffness):
    rig = changed(RIGS[name][0], "conditions.damping_asked", damping)
    rig = changed(rig, "tow_vehicle.rear_side_stiffness", stiffness)
    facts, found = rules(rig, PASS)
    rule = found["straight_running"]
    for way in WAYS:
        advice = straight_running_advice(facts, way)
        assert advice.startswith("Slower") and advice.endswith(".")
        now = rule.capacity(facts, way)
        for words, move in DIRECTIONS["straight_running"].items():
            if words != "Slower" and words in advice:
                moved = Facts(move(rig))
                assert rule.capacity(moved, way) > now, (words, way)


def test_a_pair_that_swings_and_one_that_turns_in_are_told_opposite_things():
    # the comfortable one swings first: forward; the overloaded one turns in first: back
    comfortable, overloaded = (straight_running_advice(Facts(rig), "out") for rig in (DEMO, HEAVY))
    assert "towed vehicle further forward" in comfortable and "towed vehicle further back" in overloaded
    # nothing to move, and nothing more to gain up to 70 m/s
    empty = RIG.model_copy(update={"load": ()})
    assert "load of" not in straight_running_advice(Facts(empty), "out")
    stiff = changed(changed(RIG, "conditions.damping_asked", 0.1), "tow_vehicle.rear_side_stiffness", 1.3)
    assert straight_running_advice(Facts(stiff), "out") == "Slower."


@pytest.mark.parametrize("key", ["stop_level", "stop_down"])
def test_brakes_behind_are_advised_to_those_who_have_none(key):
    bare = changed(RIG, "towed_vehicle.brakes_fitted", False)
    assert "brakes that work" in stop_advice(Facts(bare), "out")
    assert stop_advice(Facts(RIG), "out") == "Drive slower and leave more room."
    told, advice = _told(bare, MADE_PASS, key)
    assert "brakes that work" in advice
    with_brakes = changed(bare, "towed_vehicle.brakes_fitted", True)
    assert _room(with_brakes, MADE_PASS, key, told.way) > told.room


def test_no_charging_line_helps_a_battery_that_would_not_start_the_engine_when_full():
    # -17.8 °C: 40 % given, 210 % asked (TM 5-4210-230-14&P-1): 150 · 2.1 of 200/0.4 · 0.4 · 0.9 = 175 %
    dead = _set(battery__coldest=-17.8, battery__cold_cranking=200.0)(RIG)
    told, advice = _told(dead, MADE_PASS, "battery_hours")
    assert (told.plain, told.capacity) == (OVER, 0.0) and "charging line" not in advice
    assert _room(_set(battery__feed_current=0.9)(dead), MADE_PASS, "battery_hours", "out") == told.room
    assert battery_advice(Facts(RIG), "out") == CHARGE
    off = Facts(_set(battery__disconnected=True)(dead))
    assert "battery_hours" not in [rule.key for rule in electric_rules(off)]


def test_what_is_not_known_keeps_the_words_of_its_rule():
    for path, key in (
        ("battery.capacity", "battery_hours"),
        ("tow_bar.length", "straight_running"),
        ("tow_vehicle.driven_axles", "grip"),
        ("towed_vehicle.brake_share", "stop_level"),
    ):
        rig = without(RIG, path)
        facts, found = rules(rig, MADE_PASS)
        told = plain_answer(found[key], facts, "out")[0]
        assert told.room is None and _words(found[key], told, facts, MADE_PASS) == found[key].advice


# --- brakes and coolant: a speed that is named is driven ---


def _holds_n(speed: float, ratio: float, rho: float) -> float:
    """Engine holding back in a gear of the made-up rig (friction as the library states it, from memory)."""
    n = speed / 0.35 * ratio * 4.0 * 30 / math.pi / 1000
    kpa = 97 + 15 * n + 5 * n * n + 60 * rho / 1.225
    return kpa * 1e3 * 0.004 / (4 * math.pi) * ratio * 4.0 / (0.85 * 0.35)


@pytest.mark.parametrize("grade", [-0.09, -0.12])
@pytest.mark.parametrize("key", ["front_brakes", "rear_brakes", "towed_brakes"])
def test_a_speed_at_which_a_lower_gear_holds_cools_the_brakes(key, grade):
    # 54 km/h in second gear leaves much to the brakes; first gear may turn from 11 m/s down, and holds there
    steep = road((500, 0.0), (4000, grade), (500, 0.0), start_m=1000.0)
    rho, theta = isa_density(1000, 25), math.atan(grade)

    def asked_n(speed: float) -> float:
        weight = PAIR_KG["out"] * G
        return weight * (-math.sin(theta) - rolling("out") * math.cos(theta)) - rho * speed**2

    assert _holds_n(15.0, 2.0, rho) < asked_n(15.0) and _holds_n(10.9, 4.0, rho) > asked_n(10.9)
    told, advice = _told(RIG, steep, key)
    assert "at a speed at which a lower gear holds" in advice and told.way == "out"
    slower = changed(RIG, "conditions.descent_speed", 10.9)
    assert _room(slower, steep, key, "out") > told.room + 50


@pytest.mark.parametrize(
    ("key", "start", "name", "step"),
    [
        ("front_brakes", "Coming down at ", "descent_speed", 5),
        ("coolant", "At most ", "cruise_speed", 10),
    ],
)
def test_the_speed_named_for_hot_brakes_and_coolant_keeps_them_within(key, start, name, step):
    facts, found = rules(HEAVY, PASS)
    told = plain_answer(found[key], facts, "out")[0]
    words = _words(found[key], told, facts, PASS)
    assert told.plain == OVER and words.startswith(start)
    kmh = float(words.removeprefix(start).split()[0])
    told_c = float(words.partition(" at ")[2].partition(" at ")[2].split()[0]) if step == 5 else None
    told_c = told_c or float(words.partition(" keeps ")[2].partition(" at ")[2].split()[0])
    for speed_kmh, expected in ((kmh, WITHIN), (kmh + step, OVER)):  # and no faster one in these steps
        facts, again = rules(changed(HEAVY, f"conditions.{name}", speed_kmh / 3.6), PASS)
        one = plain_answer(again[key], facts, "out")[0]
        assert one.plain == expected
        assert expected == OVER or one.demand == pytest.approx(told_c, abs=0.5)


def test_so_much_less_weight_lets_it_climb_as_fast_as_asked():
    facts, found = rules(HEAVY, PASS)
    told = plain_answer(found["climb_speed"], facts, "out")[0]
    words = _words(found["climb_speed"], told, facts, PASS)
    assert told.plain == OVER and words.startswith("It needs ")
    less_kg = float(words.split()[2].replace(",", ""))
    empty = HEAVY.towed_vehicle.front_axle_empty + HEAVY.towed_vehicle.rear_axle_empty
    for kg, expected in ((less_kg, WITHIN), (less_kg - 50.0, OVER)):
        rig = HEAVY
        for axle in ("front", "rear"):
            rig = _scaled(f"towed_vehicle.{axle}_axle_empty", 1 - kg / empty)(rig)
        facts, again = rules(rig, PASS)
        assert plain_answer(again["climb_speed"], facts, "out")[0].plain == expected
    # where half of it would not do, nothing is said of weight
    fast, free = changed(HEAVY, "conditions.lowest_climb_speed", 40.0), road((3000, 0.07), limit_kmh=math.nan)
    facts, found = rules(fast, free)
    told = plain_answer(found["climb_speed"], facts, "out")[0]
    assert told.plain == OVER
    assert _words(found["climb_speed"], told, facts, free) == "Accept a lower speed and use the slow lane."


def test_slower_is_not_advised_for_the_coolant_where_no_speed_keeps_it():
    hot = changed(HEAVY, "tow_vehicle.cooling.highest_coolant", 80.0)  # below its own thermostat
    facts, found = rules(hot, PASS)
    told = plain_answer(found["coolant"], facts, "out")[0]
    assert told.plain == OVER and _words(found["coolant"], told, facts, PASS) == found["coolant"].advice


# --- the rest ---


def test_filled_up_on_the_way_one_way_needs_less():
    facts, found = rules(RIG, MADE_PASS)
    both = found["fuel"].demand(facts, "out")
    assert all(driver(MADE_PASS)(facts, way).fuel_m3() < both for way in WAYS)


@pytest.mark.parametrize(
    ("layout", "opened"),
    [
        ({"transfer_case_position": "rear only"}, {"gearbox_position": "neutral"}),
        ({"transfer_case_position": "rear only"}, {"transfer_case_position": "neutral"}),
        ({"transfer_case_position": "rear only"}, {"rear_shaft_in": False}),
        (
            {"transfer_case_position": "neutral, outputs joined", "front_hubs": "locked"},
            {"front_hubs": "free"},
        ),
        ({"rear_locked": True}, {"rear_locked": False}),
        (
            {"transfer_case_position": "rear only", "gearbox": "automatic", "gearbox_position": "park"},
            {"gearbox_position": "neutral"},
        ),
    ],
)
def test_opening_what_joins_engine_gearbox_and_wheels_ends_what_is_forced(layout, opened):
    told_of = {"rear_locked": False, **layout}
    forced = _set(**{f"towed_vehicle__driveline__{name}": value for name, value in told_of.items()})(RIG)
    told, advice = _told(forced, MADE_PASS, "driveline_free")
    assert told.plain == OVER and advice.startswith("Open what joins engine, gearbox and wheels")
    free = _set(**{f"towed_vehicle__driveline__{name}": value for name, value in opened.items()})(forced)
    assert _told(free, MADE_PASS, "driveline_free")[0].plain == WITHIN


@pytest.mark.parametrize(
    "layout",
    [
        {"transfer_case": "none", "driven_axle": "rear", "gearbox_position": "neutral"},
        {"transfer_case_position": "rear only", "gearbox_position": "neutral"},
        {"transfer_case_position": "rear only", "gearbox": "automatic", "gearbox_position": "neutral"},
    ],
)
def test_taking_out_the_shaft_that_turns_a_dry_part_ends_that(layout):
    dry = _set(**{f"towed_vehicle__driveline__{name}": value for name, value in layout.items()})(RIG)
    dry = changed(dry, D + "oil_confirmed", None)
    told, advice = _told(dry, MADE_PASS, "driveline_oil")
    assert told.plain == OVER and "take out the shaft that turns the dry part" in advice
    assert _told(changed(dry, D + "rear_shaft_in", False), MADE_PASS, "driveline_oil")[0].plain == WITHIN


def test_stopping_before_that_distance():
    short, long = road((1000, 0.0)), road((2000, 0.0))
    assert _room(RIG, short, "towing_distance", "out") > _room(RIG, long, "towing_distance", "out")
