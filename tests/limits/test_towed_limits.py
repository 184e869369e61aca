"""Limits of driveline, lamps, battery, turning and running straight of the demo rigs, worked out a second
time by hand.
"""

import math

import pytest

from towlib.limits.decision import answer
from towlib.limits.driveline_card import layout_of
from towlib.limits.driveline_limits import driveline_rules, driveline_words, forces
from towlib.limits.electrics_limits import battery_with_key_on, electric_rules, light_words
from towlib.limits.limit import NOT_KNOWN, OVER, WITHIN
from towlib.limits.turning_limits import TURNING_RULES, tightest_circle, turning_words, yaw_pair_of
from towlib.physics.turning.yaw import modes
from towlib.plan.driving_words import driving_words
from towlib.plan.other_ways import other_ways_words
from towlib.plan.trip import make_plan
from towlib.rig.facts import Facts
from towlib.rig.model import OtherWaysToTow, load_rig
from towlib.road.route import load_route


@pytest.fixture(scope="module")
def road():
    return load_route("data/routes/short_steep_pass.csv")


@pytest.fixture(scope="module")
def rig():
    return load_rig("data/rigs/demo_comfortable.toml")


def _put(part, path, value):
    head, _, rest = path.partition(".")
    return part.model_copy(update={head: _put(getattr(part, head), rest, value) if rest else value})


def _limits(rig, road, **changes):
    for path, value in changes.items():
        rig = _put(rig, path.replace("__", "."), value)
    facts = Facts(rig)
    rules = (*TURNING_RULES, *driveline_rules(facts, road), *electric_rules(facts))
    return {rule.key: answer(rule, facts) for rule in rules}


def test_maker_forbidding_and_a_locked_steering_are_over_and_govern(rig, road):
    limits = _limits(rig, road, towed_vehicle__driveline__four_wheel_towing_allowed=False)
    assert (
        limits["towing_allowed"].answer == OVER
        and limits["towing_allowed"].answer_text() == "over: not fulfilled"
    )
    assert limits["towing_allowed"].used == math.inf and _limits(rig, road)["towing_allowed"].used == 0.0
    assert (
        _limits(rig, road, towed_vehicle__driveline__steering_is_free=False)["steering_free"].answer == OVER
    )
    assert make_plan(_put(rig, "lights.seen_working", False), road).governing.key == "lamps_seen"


def test_positions_that_turn_the_engine_are_over(rig, road):
    # transfer case in both, gearbox in gear: the road turns the engine (common practice, no source: never tow
    # so)
    limits = _limits(
        rig,
        road,
        towed_vehicle__driveline__transfer_case_position="both",
        towed_vehicle__driveline__front_hubs="locked",
    )
    assert limits["driveline_free"].answer == OVER and forces(
        layout_of(Facts(_put(rig, "towed_vehicle.driveline.transfer_case_position", "rear only")))
    )
    assert not forces(
        layout_of(Facts(rig))
    )  # transfer case in neutral, gearbox in gear: the usual maker's procedure for a part-time case
    park = _limits(rig, road, towed_vehicle__driveline__gearbox_position="park")
    assert park["driveline_free"].answer == NOT_KNOWN and "no park position" in park["driveline_free"].missing


def test_oil_is_never_taken_for_granted(rig, road):
    asked = _limits(rig, road, towed_vehicle__driveline__oil_confirmed=None)["driveline_oil"]
    assert asked.answer == NOT_KNOWN and "rear output" in asked.missing
    assert _limits(rig, road, towed_vehicle__driveline__oil_confirmed=False)["driveline_oil"].answer == OVER
    # nothing turns ahead of the pinion once the rear shaft is out and the front hubs are free: nothing left
    # to ask
    assert (
        _limits(
            rig,
            road,
            towed_vehicle__driveline__oil_confirmed=None,
            towed_vehicle__driveline__rear_shaft_in=False,
        )["driveline_oil"].answer
        == WITHIN
    )
    quiet = _put(
        _put(rig, "towed_vehicle.driveline.rear_shaft_in", False),
        "towed_vehicle.driveline.front_hubs",
        "free",
    )
    assert driveline_words(Facts(quiet)).startswith(
        "Turns while towed:"
    ) and "rear pinion" in driveline_words(Facts(quiet))
    unsaid = _put(quiet, "towed_vehicle.driveline.oil_confirmed", None)
    assert driveline_words(Facts(unsaid)).startswith("Behind its wheels turn:")
    # the maker's manual decides over common practice: a gearbox that turns in neutral
    dry = {
        "towed_vehicle__driveline__transfer_case": "none",
        "towed_vehicle__driveline__driven_axle": "rear",
        "towed_vehicle__driveline__gearbox_position": "neutral",
    }
    assert _limits(rig, road, **dry)["driveline_oil"].answer == WITHIN
    assert (
        _limits(rig, road, **dry, towed_vehicle__driveline__oil_confirmed=None)["driveline_oil"].answer
        == OVER
    )


def test_positions_that_force_only_in_a_bend_are_over_too(rig, road):
    assert _limits(rig, road, towed_vehicle__driveline__rear_locked=True)["driveline_free"].answer == OVER
    joined = {
        "towed_vehicle__driveline__transfer_case_position": "neutral, outputs joined",
        "towed_vehicle__driveline__front_hubs": "fixed",
    }
    assert _limits(rig, road, **joined)["driveline_free"].answer == OVER
    unequal = _limits(rig, road, **joined, towed_vehicle__driveline__rear_final_drive=None)["driveline_free"]
    assert (
        unequal.answer == NOT_KNOWN and "rear_final_drive" in unequal.missing
    )  # joined axles: their ratios decide
    assert "not known (towed_vehicle.driveline.transfer_case)" in driveline_words(
        Facts(_put(rig, "towed_vehicle.driveline.transfer_case", None))
    )


def test_speed_and_distance_only_where_the_manual_limits_them(rig, road):
    limits = _limits(rig, road)
    assert limits["towing_speed"].demand == pytest.approx(85 / 3.6) and limits[
        "towing_speed"
    ].capacity == pytest.approx(100 / 3.6)
    assert limits["towing_distance"].demand == pytest.approx(road.length_m)
    free = _limits(
        rig,
        road,
        towed_vehicle__driveline__speed_limited=False,
        towed_vehicle__driveline__distance_limited=False,
    )
    assert "towing_speed" not in free and "towing_distance" not in free
    assert (
        _limits(rig, road, towed_vehicle__driveline__highest_towing_speed=None)["towing_speed"].answer
        == NOT_KNOWN
    )


def test_battery_by_hand(rig, road):
    # 58 Ah at 20 h, flooded (k 1.25), 2 years (5 % a year: 90 %), 0 °C (0.8 % per K below 25: 80 %), 1.2 A;
    # half must stay
    capacity = 58 * 0.80 * 0.90
    by_peukert = 20 * (capacity / (1.2 * 20)) ** 1.25
    hours = 0.5 * min(by_peukert, capacity / 1.2)
    found = battery_with_key_on(Facts(rig))
    assert found.lowest_share == pytest.approx(0.5) and found.hours == pytest.approx(hours)
    limit = _limits(rig, road)["battery_hours"]
    assert limit.capacity == pytest.approx(hours) and limit.demand == 3.0 and "battery.kind" in limit.assumed
    assert _limits(rig, road, battery__feed_current=8.0)["battery_hours"].capacity == 240.0
    assert "battery_hours" not in _limits(rig, road, battery__disconnected=True)
    assert _limits(rig, road, battery__key_on_current=0.0)["battery_hours"].capacity == 240.0


def test_lamps_by_hand(rig, road):
    limit = _limits(rig, road)["lamp_socket"]
    assert (limit.demand, limit.capacity) == (4.2, 7.5)
    # light of a filament grows with volts to the power 3.4: (12.6/13.4)^3.4 = 0.811
    assert f"{100 * (12.6 / 13.4) ** 3.4:.0f} %" in light_words(Facts(rig))
    assert "not known (lights.plug_volts)" in light_words(Facts(_put(rig, "lights.plug_volts", None)))


def test_tightest_turn_by_hand(rig, road):
    # 17 m between kerbs: outer front wheel on 8.5 m; its axle's middle: inwards half a track (1.70 m)
    # along the axle
    rear = math.sqrt(8.5**2 - 3.61**2) - 1.70 / 2
    hitch = math.hypot(rear, 1.27)
    towed = math.sqrt(hitch**2 - (1.5 + 0.48 + 2.29) ** 2)
    angle = math.atan(1.27 / rear) + math.atan((1.5 + 0.48 + 2.29) / towed)
    circle = tightest_circle(Facts(rig))
    assert circle.articulation_rad == pytest.approx(angle, rel=1e-9) and circle.towed_rear_m == pytest.approx(
        towed, rel=1e-9
    )
    limits = _limits(rig, road)
    assert limits["turn_angle"].demand == limits["chain_turn"].demand == pytest.approx(angle)
    # inner front wheel: its centre half a track (1.42 m) nearer to the turn's centre
    assert limits["towed_lock"].demand == pytest.approx(math.atan(2.29 / (towed - 1.42 / 2)), rel=1e-9)
    impossible = _limits(rig, road, conditions__tightest_turn=9.0)["turn_angle"]
    # sqrt(4.5² - 3.61²) - 0.85 = 1.84 m, and 1.27 m behind it the ball on 2.23 m: less than its 4.27 m
    assert impossible.answer == OVER and "folds up" in impossible.answer_text()
    own = _limits(rig, road, conditions__tightest_turn=None)[
        "turn_angle"
    ]  # the tow vehicle's own turning circle is tighter
    assert own.answer == NOT_KNOWN or own.demand > angle
    assert "not known (tow_bar.greatest_swing)" in turning_words(
        Facts(_put(rig, "tow_bar.greatest_swing", None))
    )


def test_running_straight_holds_below_the_speed_and_not_above(rig, road):
    limit = _limits(rig, road)["straight_running"]
    assert limit.answer == WITHIN and "towed_vehicle.rear_side_stiffness" in limit.assumed
    for way in ("out", "back"):
        pair = yaw_pair_of(Facts(rig), way)
        slow = modes(pair, limit.capacity * 0.98)
        assert slow.swing_damping >= 0.30 and slow.largest_real_1_s < 0
    worse = modes(yaw_pair_of(Facts(rig), limit.way), limit.capacity * 1.02)
    assert worse.swing_damping < 0.30 or worse.largest_real_1_s > 0
    soft = _limits(rig, road, tow_vehicle__rear_side_stiffness=0.7)["straight_running"]
    assert soft.capacity < limit.capacity
    assert _limits(load_rig("data/rigs/demo_overloaded.toml"), road)["straight_running"].likely == OVER


def test_other_ways_only_when_the_rig_names_them(rig, road):
    words = other_ways_words(Facts(rig), "us")
    assert len(words) == 2 and words[0].startswith("Instead, dolly: all") and "lb" in words[1]
    assert other_ways_words(Facts(_put(rig, "other_ways", OtherWaysToTow()))) == ()
    assert "not known" in other_ways_words(Facts(_put(rig, "other_ways.trailer_gvwr", None)))[1]
    text = " ".join(driving_words(Facts(rig), road, make_plan(rig, road).legs))
    assert "No backing up" in text and "brake lamps give" in text
