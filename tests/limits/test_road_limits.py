"""The limits of the road on a made-up rig, each worked out a second time: closed balances on a constant
grade, and a drive in small steps of time (`hand_drive.py`), both ways.
"""

import math

import pytest

from tests.limits.hand_drive import hand_drive
from tests.limits.made import (
    PAIR_KG,
    RIG,
    TOW_FRONT_KG,
    TOW_REAR_KG,
    TOWED_KG,
    G,
    gagg_ferrar,
    isa_density,
    limit,
    road,
    rolling,
    rules,
)
from tests.rigs import changed, without
from towlib.limits.decision import answer, plain_answer
from towlib.limits.legs import driver
from towlib.limits.limit import NOT_KNOWN, OVER, WITHIN
from towlib.limits.road_limits import axle_grip, grip_advice, of_driven_axles, road_rules
from towlib.rig.facts import Facts

# out: 3 km up at 8 %, 1 km level, 2 km down at 6 %; a pitch of 50 m at 14 % before it
PASS = road((1000, 0.0), (50, 0.14), (1000, 0.0), (3000, 0.08), (1000, 0.0), (2000, -0.06))
ONE_GEAR = changed(
    changed(RIG, "tow_vehicle.gearbox.ratios", (2.0,)), "tow_vehicle.engine.braking_factor", 0.4
)
ROLLING = [(1000.0, 0.0), (3000.0, 0.06), (500.0, 0.0), (3000.0, -0.07)]
ROLLING_ROAD = road(*ROLLING)
KEYS = (
    "climb_speed",
    "pull_away",
    "grip",
    "coolant",
    "front_brakes",
    "rear_brakes",
    "towed_brakes",
    "fuel",
)


@pytest.fixture(scope="module")
def one_gear():
    """Demands of the made rig with one gear, and of the same drive by hand, both ways."""
    facts, found = rules(ONE_GEAR, ROLLING_ROAD)
    end_m = 300 + 3000 * 0.06 - 3000 * 0.07
    by_hand = {
        "out": hand_drive(ROLLING, "out", ratio=2.0, braking_factor=0.4),
        "back": hand_drive(
            [(length, -grade) for length, grade in reversed(ROLLING)],
            "back",
            ratio=2.0,
            braking_factor=0.4,
            start_m=end_m,
            air_c_at_start=25 - 0.0065 * (end_m - 300),
            start_of_out_m=end_m,
        ),
    }
    return facts, found, by_hand


# --- drives ---


@pytest.mark.parametrize("way", ["out", "back"])
def test_brakes_and_coolant_by_a_drive_in_steps_of_time(one_gear, way):
    # the library drives steps of 25 m: half a kelvin of some 60 is what that may make
    facts, found, by_hand = one_gear
    for i, key in enumerate(("front_brakes", "rear_brakes", "towed_brakes")):
        assert by_hand[way].brakes_c[i] > 50
        assert found[key].demand(facts, way) == pytest.approx(by_hand[way].brakes_c[i], abs=0.5), key
    assert found["coolant"].demand(facts, way) == pytest.approx(by_hand[way].coolant_c, abs=0.5)


def test_fuel_is_that_of_both_ways_by_a_drive_in_steps_of_time(one_gear):
    facts, found, by_hand = one_gear
    both = by_hand["out"].fuel_m3 + by_hand["back"].fuel_m3
    assert found["fuel"].demand(facts, "out") == pytest.approx(both, rel=0.005)
    assert found["fuel"].demand(facts, "back") == found["fuel"].demand(facts, "out")
    assert not found["fuel"].per_way and all(found[key].per_way for key in KEYS if key != "fuel")


@pytest.mark.parametrize(
    ("key", "path", "capacity"),
    [
        ("coolant", "tow_vehicle.cooling.highest_coolant", 115.0),
        ("front_brakes", "tow_vehicle.brakes.highest_front", 300.0),
        ("rear_brakes", "tow_vehicle.brakes.highest_rear", 280.0),
        ("towed_brakes", "towed_vehicle.highest_brake", 260.0),
        ("fuel", "tow_vehicle.fuel_tank", 0.010),
    ],
)
def test_exactly_at_the_limit_is_within_and_a_hair_above_is_over(one_gear, key, path, capacity):
    facts, found, _ = one_gear
    hottest = max(found[key].demand(facts, way) for way in ("out", "back"))
    usual = answer(found[key], facts)
    assert (usual.answer, usual.demand) == (WITHIN, hottest) and usual.capacity == pytest.approx(capacity)
    for allowed, expected in ((hottest, WITHIN), (math.nextafter(hottest, 0), OVER)):
        told = plain_answer(found[key], facts.other({path: allowed}), usual.way)[0]
        assert told.plain == expected


def test_the_way_with_less_room_counts(one_gear):
    facts, found, by_hand = one_gear
    for i, key in enumerate(("front_brakes", "rear_brakes", "towed_brakes")):
        hotter = max(by_hand, key=lambda way: by_hand[way].brakes_c[i])
        assert answer(found[key], facts).way == hotter
    assert answer(found["coolant"], facts).way == max(by_hand, key=lambda way: by_hand[way].coolant_c)


def test_the_words_of_a_temperature_and_of_fuel():
    # by hand: 24.44 K are 44 °F; 3 L are 0.793 gal
    facts, found = rules(ONE_GEAR, ROLLING_ROAD)
    hot = answer(found["coolant"], facts)._replace(demand=115 - 24.44, capacity=115.0)
    assert (hot.answer_text(), hot.answer_text("us")) == ("within by 24.4 K", "within by 44 °F")
    tank = answer(found["fuel"], facts)._replace(demand=0.013)
    assert (tank.answer_text(), tank.answer_text("us")) == ("over by 3 L", "over by 0.793 gal")


# --- climb ---


def _steady(way: str, grade: float, height_m: float, torque: float = 240.0, start_m: float = 300.0) -> float:
    """Speed at which a constant torque in second gear balances the climb."""
    rho = isa_density(height_m, 25 - 0.0065 * (height_m - start_m))
    pull = torque * gagg_ferrar(rho) * 2.0 * 4.0 * 0.85 / 0.35
    theta = math.atan(grade)
    steady = PAIR_KG[way] * G * (math.sin(theta) + rolling(way) * math.cos(theta))
    return math.sqrt((pull - steady) / (0.5 * rho * 2.0))


def test_climbs_by_hand_both_ways():
    facts, found = rules(RIG, PASS)
    rule = found["climb_speed"]
    # the last 25 m of the climb: its middle lies 12.5 m short of the top
    top_m = 300 + 50 * 0.14 + 3000 * 0.08
    assert rule.capacity(facts, "out") == pytest.approx(_steady("out", 0.08, top_m - 12.5 * 0.08), rel=1e-9)
    # the way back climbs 6 % to the same top and is held by the redline: 6,000 rpm over 2.0 · 4.0 on 0.35 m
    redline = 6000 * math.pi / 30 * 0.35 / 8
    assert redline < _steady("back", 0.06, top_m - 12.5 * 0.06)
    assert rule.capacity(facts, "back") == pytest.approx(redline, rel=1e-9)
    assert rule.demand(facts, "out") == rule.demand(facts, "back") == pytest.approx(15.0)
    assert limit(RIG, "climb_speed", PASS).way == "out"


@pytest.mark.parametrize(("offset", "expected"), [(0.0, WITHIN), (1e-9, OVER), (-0.5, WITHIN), (1.0, OVER)])
def test_a_climb_exactly_as_fast_as_asked_is_within(offset, expected):
    facts, found = rules(RIG, PASS)
    reached = found["climb_speed"].capacity(facts, "out")
    told = limit(changed(RIG, "conditions.lowest_climb_speed", reached + offset), "climb_speed", PASS)
    assert told.plain == expected
    if offset == 1.0:  # 1 m/s is 3.6 km/h, 2.24 mph
        assert (told.answer_text(), told.answer_text("us")) == ("over by 3.6 km/h", "over by 2.24 mph")


def test_a_grade_no_gear_holds_is_over():
    # 28 %: 4,070 kg ask 11.2 kN, first gear gives 9.3 kN
    told = limit(RIG, "climb_speed", road((1000, 0.0), (2000, 0.28)))
    assert (told.answer, told.capacity) == (OVER, 0.0)


# --- pulling away and grip ---


@pytest.mark.parametrize(("way", "grade"), [("out", 0.14), ("back", 0.06)])
def test_pulling_away_by_hand(way, grade):
    facts, found = rules(RIG, PASS)
    theta = math.atan(grade)
    needed = PAIR_KG[way] * (G * (math.sin(theta) + rolling(way) * math.cos(theta)) + 1.05 * 0.3)
    for key in ("pull_away", "grip"):
        assert found[key].demand(facts, way) == pytest.approx(needed, rel=1e-9)
    # first gear, no converter, thin air: out on the first of the two steep 25 m, 1,000 m along; back at
    # the foot
    height = 300 + 12.5 * 0.14 if way == "out" else 300 + 7 + 240 - 120 + 12.5 * 0.06
    rho = isa_density(height, 25 - 0.0065 * (height - 300))
    pull = 240 * gagg_ferrar(rho) * 4.0 * 4.0 * 0.85 / 0.35
    assert found["pull_away"].capacity(facts, way) == pytest.approx(pull, rel=2e-3)
    assert limit(RIG, "pull_away", PASS).way == "out"


def _axles_n(way: str, grade: float, a: float = 0.3) -> tuple[float, float]:
    """Forces under both axles of the tow vehicle while it pulls away, by moments about the front tyres."""
    theta = math.atan(grade)
    tow = TOW_FRONT_KG[way] + TOW_REAR_KG[way]
    pull = TOWED_KG[way] * (G * math.sin(theta) + rolling(way) * G * math.cos(theta) + a)
    along = tow * (G * math.sin(theta) + a)
    rear = TOW_REAR_KG[way] * G * math.cos(theta) + (along * 0.7 + pull * 0.55) / 3.5
    return tow * G * math.cos(theta) - rear, rear


@pytest.mark.parametrize(("way", "grade"), [("out", 0.14), ("back", 0.06)])
@pytest.mark.parametrize("driven", ["front", "rear", "both"])
def test_grip_by_moments_on_each_driven_axle(way, grade, driven):
    facts, found = rules(changed(RIG, "tow_vehicle.driven_axles", driven), PASS)
    front, rear = _axles_n(way, grade)
    wanted = 0.5 * {"front": front, "rear": rear, "both": front + rear}[driven]
    assert found["grip"].capacity(facts, way) == pytest.approx(wanted, rel=1e-9)


def test_grip_at_a_steady_speed_on_a_dry_road():
    facts = Facts(RIG)
    grip = axle_grip(facts, driver(PASS)(facts, "out").pair, "out", grade=0.1, friction_coefficient=0.7)
    assert tuple(grip) == pytest.approx([0.7 * load for load in _axles_n("out", 0.1, a=0.0)], rel=1e-9)
    assert of_driven_axles(facts, grip) == grip.rear_n


@pytest.mark.parametrize("key", ["pull_away", "grip"])
def test_what_is_exactly_enough_to_pull_away_is_within(key):
    facts, found = rules(RIG, PASS)
    usual = answer(found[key], facts)
    even = found[key]._replace(demand=lambda facts, way: usual.capacity)
    more = found[key]._replace(demand=lambda facts, way: math.nextafter(usual.capacity, math.inf))
    assert plain_answer(even, facts, usual.way)[0].plain == WITHIN
    assert plain_answer(more, facts, usual.way)[0].plain == OVER
    # 1,000 N are 225 lbf
    told = usual._replace(demand=usual.capacity + 1000.0)
    assert (told.answer_text(), told.answer_text("us")) == ("over by 1,000 N", "over by 225 lbf")


# --- what is missing ---


@pytest.mark.parametrize(
    ("key", "path"),
    [
        ("climb_speed", "tow_vehicle.engine.redline"),
        ("climb_speed", "tow_vehicle.gearbox.ratios"),
        ("pull_away", "tow_vehicle.gearbox.final_drive"),
        ("pull_away", "tow_vehicle.rear_tyres.rolling_radius"),
        ("grip", "tow_vehicle.driven_axles"),
        ("grip", "hitch.ball_mount_change"),
        ("grip", "hitch.receiver_height"),
        ("coolant", "tow_vehicle.cooling.conductance"),
        ("coolant", "tow_vehicle.cooling.highest_coolant"),
        ("front_brakes", "tow_vehicle.brakes.front_heated_mass"),
        ("rear_brakes", "tow_vehicle.brakes.rear_heated_mass"),
        ("towed_brakes", "towed_vehicle.brakes_fitted"),
        ("towed_brakes", "towed_vehicle.brake_share"),
        ("towed_brakes", "towed_vehicle.brake_heated_mass"),
        ("fuel", "tow_vehicle.fuel_tank"),
        ("fuel", "tow_vehicle.engine.displacement"),
    ],
)
def test_a_missing_field_is_named(key, path):
    told = limit(without(RIG, path), key, PASS)
    assert told.answer == NOT_KNOWN and path in told.missing.split("; ")
    assert told.answer_text() == f"not known ({told.missing})"


def test_a_pair_that_stops_leaves_fuel_and_heat_not_known_and_says_where():
    # 30 % from 1 km on: no gear pulls it; 0.86 MJ of speed against some 8 kN carry it on for about 100 m
    facts, found = rules(RIG, road((1000, 0.0), (3000, 0.30)))
    for key in ("fuel", "coolant", "front_brakes", "towed_brakes"):
        told = plain_answer(found[key], facts, "out")[0]
        assert told.answer == NOT_KNOWN and "the pair stops 1.1 km into the road out" in told.missing


@pytest.mark.parametrize(("fitted", "asked"), [(True, True), (None, True), (False, False)])
def test_brakes_of_the_towed_vehicle_are_asked_unless_it_has_none(fitted, asked):
    facts = Facts(changed(RIG, "towed_vehicle.brakes_fitted", fitted))
    keys = [rule.key for rule in road_rules(facts, driver(PASS))]
    assert keys == [key for key in KEYS if asked or key != "towed_brakes"]


@pytest.mark.parametrize(
    ("driven", "where"), [("front", "further forward"), ("rear", "further back"), ("both", None)]
)
def test_where_a_load_gives_grip(driven, where):
    words = grip_advice(Facts(changed(RIG, "tow_vehicle.driven_axles", driven)), "out")
    assert ("load of the tow vehicle" in words) == ("Drive both axles" in words) == (where is not None)
    assert where is None or f"load of the tow vehicle {where}, over the driven axle" in words
