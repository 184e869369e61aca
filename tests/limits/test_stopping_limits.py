"""Stopping on a made-up rig, worked out a second time: moments about the tyres and Newton's second law, the
deceleration found by halving; sight by the handbook's formula.
"""

import math

import pytest

from tests.limits.made import PAIR_KG, RIG, TOW_FRONT_KG, TOW_KG, TOW_REAR_KG, TOWED_KG, G, limit, road, rules
from tests.rigs import changed, without
from towlib.limits.decision import answer, plain_answer
from towlib.limits.limit import NOT_KNOWN, OVER, WITHIN
from towlib.limits.stopping_limits import (
    jackknife_words,
    steepest_down,
    stop_advice,
    stop_on,
    towed_brake_n,
)
from towlib.rig.facts import Facts

# out: level, 6 % down under 70 km/h, level, 4 % up; limit 90 km/h elsewhere
ROAD = road((1000, 0.0), (2000, -0.06, 70.0), (1000, 0.0), (2000, 0.04))
SEEN = changed(RIG, "conditions.shortest_sight", 150.0)
BARE = changed(RIG, "towed_vehicle.brakes_fitted", False)
WEAK = changed(RIG, "tow_vehicle.brakes.deceleration_alone", 3.0)


def _ball_m(way: str) -> float:
    """Ball above the road: receiver and mount, less what the springs give (100 and 80 kN/m), 1.2 m behind."""
    front = (TOW_FRONT_KG[way] - 1300) * G / 100e3
    rear = (TOW_REAR_KG[way] - 1000) * G / 80e3
    return 0.50 + 0.05 - (rear + (rear - front) * 1.2 / 3.5)


def _towed_brake_n(way: str, share: float, alone: float = 7.0, mu: float = 0.7, grade: float = 0.0) -> float:
    """The towed vehicle does this share of all braking, the tow vehicle the rest: m1·a is that rest. Its
    tyres hold no more than their own load times the friction.
    """
    held = mu * TOWED_KG[way] * G * math.cos(math.atan(grade))
    return min(TOW_KG[way] * alone * share / (1 - share), held)


def _uses(way: str, a: float, grade: float, towed_n: float, front_share: float = 0.65) -> tuple[float, float]:
    """Braking force over the load of each axle of the tow vehicle, while the pair slows down by a."""
    theta = math.atan(grade)
    tow, towed = TOW_KG[way], TOWED_KG[way]
    braking = (tow + towed) * (a - G * math.sin(theta)) - towed_n
    push = towed * (a - G * math.sin(theta)) - towed_n
    slope = math.asin((0.58 - _ball_m(way)) / 1.5)
    down = push * math.tan(slope)  # a bar that rises backwards is pushed down on the ball
    # moments about the front tyres, forces of the road upwards; a push at the ball's height tips forward
    rear = TOW_REAR_KG[way] * G * math.cos(theta) + down * (3.5 + 1.2) / 3.5
    rear += (tow * (G * math.sin(theta) - a) * 0.7 - push * _ball_m(way)) / 3.5
    front = tow * G * math.cos(theta) + down - rear
    return front_share * braking / front, (1 - front_share) * braking / rear


def _hardest(way: str, grade: float, *, share: float = 0.2, alone: float = 7.0, mu: float = 0.7) -> float:
    """The most the pair slows down by before an axle uses its friction up or the brakes give no more."""
    towed_n = _towed_brake_n(way, share, alone, mu, grade)
    brakes = (TOW_KG[way] * alone + towed_n) / (TOW_KG[way] + TOWED_KG[way])
    low, high = 0.0, brakes + G * math.sin(math.atan(grade))
    if max(_uses(way, high, grade, towed_n)) <= mu:
        return high
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if max(_uses(way, middle, grade, towed_n)) <= mu else (low, middle)
    return low


def _metres(way: str, grade: float, speed: float, **kind: float) -> float:
    return 2.5 * speed + speed**2 / (2 * _hardest(way, grade, **kind))  # 2.5 s: AASHTO, section 3.1.2


def _sight_m(kmh: float, grade: float = 0.0) -> float:
    """AASHTO Green Book, 3.1.2: 11.2 ft/s² and 2.5 s."""
    mph = kmh / 1.609344
    return 0.3048 * (1.47 * 2.5 * mph + mph**2 / (30 * (11.2 / 32.2 + grade)))


MOST = changed(RIG, "towed_vehicle.brake_share", 0.5)
RIGS = {
    "braked": (RIG, {}),
    "most": (MOST, {"share": 0.5}),
    "unbraked": (BARE, {"share": 0.0}),
    "weak": (WEAK, {"alone": 3.0}),
}


@pytest.mark.parametrize("way", ["out", "back"])
@pytest.mark.parametrize("name", RIGS)
def test_the_stop_by_hand(name, way):
    rig, kind = RIGS[name]
    facts, found = rules(rig, ROAD)
    # level at 72 km/h, the slower of cruising (72) and the limits (70, 90); worst where least is left
    # of the sight
    told = found["stop_level"]
    pairs = {kmh: (_metres(way, 0.0, min(20.0, kmh / 3.6), **kind), _sight_m(kmh)) for kmh in (70.0, 90.0)}
    worst = max(pairs, key=lambda kmh: pairs[kmh][0] / pairs[kmh][1])
    assert (told.demand(facts, way), told.capacity(facts, way)) == pytest.approx(pairs[worst], rel=1e-6)
    # out 6 % down at 54 km/h under 70; back 4 % down at 54 under 90
    grade, kmh = (-0.06, 70.0) if way == "out" else (-0.04, 90.0)
    down = found["stop_down"]
    assert down.demand(facts, way) == pytest.approx(_metres(way, grade, 15.0, **kind), rel=1e-6)
    assert down.capacity(facts, way) == pytest.approx(_sight_m(kmh, grade), rel=1e-6)


def test_every_kind_of_end_was_met():
    # by hand: which axle has used up more of its friction at the hardest stop; or neither
    ends = {}
    for name, (rig, kind) in RIGS.items():
        towed_n = _towed_brake_n("out", kind.get("share", 0.2), kind.get("alone", 7.0), grade=-0.06)
        front, rear = _uses("out", _hardest("out", -0.06, **kind), -0.06, towed_n)
        ends[name] = "brakes" if max(front, rear) < 0.699 else "rear axle" if rear > front else "front axle"
        assert stop_on(Facts(rig), "out", -0.06).set_by == ends[name]
    assert set(ends.values()) == {"front axle", "rear axle", "brakes"}


@pytest.mark.parametrize(("key", "way", "grade", "speed"), [("stop_level", "back", 0.0, 20.0)])
def test_the_heavier_way_counts(key, way, grade, speed):
    # home with more behind and less in front
    seen = changed(changed(WEAK, "towed_vehicle.brakes_fitted", False), "conditions.shortest_sight", 150.0)
    told = limit(seen, key, ROAD)
    assert told.way == way and told.demand == pytest.approx(
        _metres(way, grade, speed, share=0.0, alone=3.0), rel=1e-6
    )
    assert _metres("out", grade, speed, share=0.0, alone=3.0) < told.demand


def test_the_steepest_way_down_is_where_it_counts():
    # 6 % on the way out, 4 % back: by the share of the sight that is needed
    used = {
        "out": _metres("out", -0.06, 15.0) / _sight_m(70, -0.06),
        "back": _metres("back", -0.04, 15.0) / _sight_m(90, -0.04),
    }
    told = limit(RIG, "stop_down", ROAD)
    assert told.way == max(used, key=used.__getitem__) and told.used == pytest.approx(max(used.values()))
    assert steepest_down(ROAD, "out") == pytest.approx(-0.06)
    assert steepest_down(ROAD, "back") == pytest.approx(-0.04)
    assert steepest_down(road((1000, 0.0), (1000, 0.03)), "out") == 0.0


@pytest.mark.parametrize(
    ("grade", "speed"),
    # 3 % and steeper is driven at the descent speed, 54 km/h; less steep at the speed of the trip, 72
    [(-0.029, 20.0), (-0.031, 15.0), (-0.10, 15.0), (0.0, 20.0)],
)
def test_the_speed_of_coming_down_counts_from_three_percent_on(grade, speed):
    facts, found = rules(RIG, road((1000, 0.0), (2000, grade)))
    assert found["stop_down"].demand(facts, "out") == pytest.approx(_metres("out", grade, speed), rel=1e-6)


def test_a_descent_speed_above_the_trip_s_does_not_count():
    fast = changed(RIG, "conditions.descent_speed", 25.0)
    facts, found = rules(fast, road((1000, 0.0), (2000, -0.05)))
    assert found["stop_down"].demand(facts, "out") == pytest.approx(_metres("out", -0.05, 20.0), rel=1e-6)


def test_ones_own_sight_stands_in_for_the_road_s():
    facts, found = rules(SEEN, ROAD)
    assert found["stop_level"].capacity(facts, "out") == found["stop_down"].capacity(facts, "out") == 150.0
    # and 72 km/h counts on the stretch with a limit of 90
    assert found["stop_level"].demand(facts, "out") == pytest.approx(_metres("out", 0.0, 20.0), rel=1e-6)


@pytest.mark.parametrize("key", ["stop_level", "stop_down"])
def test_a_stop_exactly_as_long_as_the_sight_is_within(key):
    facts, found = rules(SEEN, ROAD)
    need = max(found[key].demand(facts, way) for way in ("out", "back"))
    for sight, expected in ((need, WITHIN), (math.nextafter(need, 0.0), OVER)):
        told = limit(changed(RIG, "conditions.shortest_sight", sight), key, ROAD)
        assert told.answer == expected
    # 10 m are 32.8 ft
    short = told._replace(demand=60.0, capacity=50.0)
    assert (short.answer_text(), short.answer_text("us")) == ("over by 10 m", "over by 32.8 ft")


@pytest.mark.parametrize("key", ["stop_level", "stop_down"])
@pytest.mark.parametrize(
    "path",
    [
        "tow_vehicle.brakes.deceleration_alone",
        "tow_vehicle.wheelbase",
        "tow_vehicle.ball_behind_rear_axle",
        "tow_vehicle.front_spring_rate",
        "towed_vehicle.bracket_height",
        "towed_vehicle.front_axle_empty",
        "towed_vehicle.brake_share",
        "tow_bar.length",
        "hitch.receiver_height",
    ],
)
def test_a_missing_field_is_named(key, path):
    told = limit(without(RIG, path), key, ROAD)
    assert told.answer == NOT_KNOWN and path in told.missing.split("; ")


def test_brakes_that_do_not_stop_it_on_this_grade_are_said_in_a_sentence():
    # 1 m/s² of the tow vehicle alone gives 0.6 for the pair; 10 % down takes 0.98
    weak = changed(BARE, "tow_vehicle.brakes.deceleration_alone", 1.0)
    facts, found = rules(weak, road((1000, 0.0), (2000, -0.10)))
    told = answer(found["stop_down"], facts)
    assert (told.answer, told.missing, told.demand) == (OVER, "", None)
    assert told.answer_text() == "over: the pair cannot be stopped on this grade"
    # whatever can be seen, and also where nobody has said: 1 m/s² still stops it on the level
    unseen = without(changed(weak, "conditions.cruise_speed", 20.0), "conditions.shortest_sight")
    facts, found = rules(unseen, road((1000, 0.0), (2000, -0.10), limit_kmh=math.nan))
    assert answer(found["stop_down"], facts).answer == OVER
    level = answer(found["stop_level"], facts)
    assert (level.answer, level.missing) == (NOT_KNOWN, "conditions.shortest_sight")
    # just not, and just so: 0.98 m/s² of the grade by the pair's masses (9.80665 · sin)
    share = TOW_KG["out"] / PAIR_KG["out"]
    needs = G * math.sin(math.atan(0.10)) / share
    for more, expected in ((-1e-6, True), (1e-6, False)):
        near = changed(BARE, "tow_vehicle.brakes.deceleration_alone", needs + more)
        told = limit(near, "stop_down", road((1000, 0.0), (2000, -0.10)))
        assert bool(told.beyond) == expected and told.answer == OVER
    # steeper than 34.8 % the handbook's car does not stop either
    steep = plain_answer(rules(RIG, road((1000, 0.0), (2000, -0.36)))[1]["stop_down"], Facts(RIG), "out")[0]
    assert steep.answer == NOT_KNOWN and "handbook" in steep.missing


@pytest.mark.parametrize("share", [0.2, 0.3, 0.5, 0.995])
@pytest.mark.parametrize(("grade", "friction"), [(0.0, 0.7), (-0.2, 0.7), (-0.06, 0.5)])
def test_what_the_towed_brakes_give_and_their_tyres_hold(share, grade, friction):
    found = towed_brake_n(
        Facts(changed(RIG, "towed_vehicle.brake_share", share)), "out", grade=grade, friction=friction
    )
    assert found == pytest.approx(_towed_brake_n("out", share, mu=friction, grade=grade))


@pytest.mark.parametrize("share", [0.4, 0.6, 0.9])
def test_no_pair_slows_down_by_more_than_its_tyres_hold(share):
    # once: 8.5 m/s² for a share of one half, where friction 0.7 allows 6.9
    for way in ("out", "back"):
        found = stop_on(Facts(changed(RIG, "towed_vehicle.brake_share", share)), way, 0.0)
        assert found.deceleration_m_s2 <= 0.7 * G


def test_brakes_nobody_spoke_of_and_none_give_nothing():
    for rig in (BARE, without(RIG, "towed_vehicle.brakes_fitted")):
        assert towed_brake_n(Facts(rig), "out", grade=0.0, friction=0.7) == 0.0
    assert limit(without(RIG, "towed_vehicle.brakes_fitted"), "stop_level", ROAD).answer == WITHIN


# --- the jack-knife, in words ---


def _onset(way: str, grade: float, share: float, front: float = 0.65) -> float | None:
    """Least deceleration at which the side part of the push (10° off line: 0.17 rad) is more than the rear
    axle's friction leaves beside its braking, in the wet (0.5).
    """
    theta, towed_n = math.atan(grade), _towed_brake_n(way, share, mu=0.5, grade=grade)
    for i in range(1, 8000):
        a = i / 1000
        push = TOWED_KG[way] * (a - G * math.sin(theta)) - towed_n
        braking = (TOW_KG[way] + TOWED_KG[way]) * (a - G * math.sin(theta)) - towed_n
        rear_brake = (1 - front) * braking
        rear = rear_brake / _uses(way, a, grade, towed_n, front)[1]
        left = math.sqrt(max(0.0, (0.5 * rear) ** 2 - rear_brake**2))
        if push <= 0 and left == 0.0:  # its own braking alone slides it
            return None
        if push > 0 and push * math.sin(0.17) * (1 + 1.2 / 3.5) >= left:
            return a
    return None


def test_the_jackknife_by_hand_and_the_earlier_way_is_told():
    onset = min(_onset("out", -0.06, 0.0), _onset("back", -0.04, 0.0))
    words = jackknife_words(Facts(BARE), ROAD)
    said = float(words.partition("rear axle at ")[2].partition(" m/s²")[0])
    assert said == pytest.approx(onset, abs=0.006) and f"({onset / G:.2f} g)" in words
    assert "ft/s²" in jackknife_words(Facts(BARE), ROAD, "us")
    # with much brake behind, and the tow vehicle's rear axle braked so that it slides early, nothing pushes
    held = changed(changed(RIG, "towed_vehicle.brake_share", 0.7), "tow_vehicle.brakes.front_share", 0.4)
    assert _onset("out", -0.06, 0.7, front=0.4) is None is _onset("back", -0.04, 0.7, front=0.4)
    assert jackknife_words(Facts(held), ROAD).endswith("does not push the rear axle away.")
    unknown = jackknife_words(Facts(without(RIG, "tow_bar.length")), ROAD)
    assert unknown == "Braking in a bend on the steepest wet downgrade: not known (tow_bar.length)."


def test_rules_ask_both_ways():
    facts, found = rules(RIG, ROAD)
    assert all(found[key].per_way for key in ("stop_level", "stop_down"))
    assert answer(found["stop_level"], facts).answer == WITHIN


def test_the_steepest_200_m_of_a_downgrade_count():
    # 100 m at 9 % inside 5 %: over 200 m that is 7 %
    assert steepest_down(road((1000, -0.05), (100, -0.09), (1000, -0.05)), "out") == pytest.approx(-0.07)
    # a way that only climbs asks of the level
    assert steepest_down(road((1000, 0.03)), "out") == 0.0


@pytest.mark.parametrize("limits", [(70.0, math.nan), (math.nan, 70.0), (math.nan, math.nan)])
def test_a_road_that_says_its_limit_on_a_part_only_asks_for_ones_own_sight(limits):
    parts = road((1000, 0.0, limits[0]), (1000, 0.0, limits[1]))
    told = limit(RIG, "stop_level", parts)
    assert (told.answer, told.missing) == (NOT_KNOWN, "conditions.shortest_sight")
    seen = limit(SEEN, "stop_level", parts)  # 72 km/h where nobody says a limit
    assert seen.demand == pytest.approx(_metres(seen.way, 0.0, 20.0), rel=1e-6) and seen.capacity == 150.0


def test_brakes_behind_are_advised_to_those_who_have_none():
    alone = "Drive slower and leave more room"
    assert stop_advice(Facts(RIG), "out") == f"{alone}."
    assert stop_advice(Facts(BARE), "out").startswith(f"{alone}; brakes that work on the towed vehicle")
