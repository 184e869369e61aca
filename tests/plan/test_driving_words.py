"""Stopping limits and the sentences for the driver: by hand, and never more than is known."""

import math

import pytest

from towlib.limits.stopping_limits import jackknife_words, steepest_down, stop_on, stopper, towed_brake_n
from towlib.plan.driving_words import driving_words
from towlib.plan.trip import make_plan
from towlib.rig.facts import Facts
from towlib.rig.model import load_rig
from towlib.road.route import load_route


@pytest.fixture(scope="module")
def road():
    return load_route("data/routes/short_steep_pass.csv")


@pytest.fixture(scope="module")
def rig():
    return load_rig("data/rigs/demo_comfortable.toml")


def _changed(rig, part, **values):
    return rig.model_copy(update={part: getattr(rig, part).model_copy(update=values)})


def test_stopping_distance_by_hand_when_the_brakes_set_it(rig, road):
    # weak brakes, so that no axle slides: a = m1·a1/(m1 + m2) on the level; d = 2.5·v + v²/(2a); AASHTO's own
    # 2.5 s
    brakes = rig.tow_vehicle.brakes.model_copy(update={"deceleration_alone": 4.0})
    weak = _changed(_changed(rig, "tow_vehicle", brakes=brakes), "conditions", shortest_sight=None)
    limit = {each.key: each for each in make_plan(weak, road).limits}["stop_level"]
    tow = (
        1310 + 1060 + 82 + 68 + 130 + 13
    )  # without the drinking water: the lighter tow vehicle of the way back has less brake for the same push
    towed = 780 + 690 + 60 + 13
    a = tow * 4.0 / (tow + towed)
    # cruising at 85 km/h, so each limit of the road is driven; sight by the handbook's formula, in feet:
    # 1.47·V·2.5 + V²/(30·11.2/32.2)
    found = []
    for v in set(road.speed_limit_m_s.tolist()):
        mph = v * 3.6 / 1.609344
        sight = 0.3048 * (1.47 * mph * 2.5 + mph * mph / (30 * 11.2 / 32.2))
        found.append((2.5 * v + v * v / (2 * a), sight))
    assert len(found) > 1
    assert (limit.demand, limit.capacity) == pytest.approx(max(found, key=lambda d: d[0] / d[1]), rel=1e-9)
    assert limit.answer == "over"


def test_downhill_takes_longer_and_brakes_on_the_towed_vehicle_help(rig, road):
    facts = Facts(rig)
    steep = steepest_down(road, "out")
    assert steep == pytest.approx(min(min(s.mean_grade, s.steepest_200m_grade) for s in road.segments()))
    assert stop_on(facts, "out", steep).deceleration_m_s2 < stop_on(facts, "out", 0.0).deceleration_m_s2
    braked = Facts(
        _changed(rig, "towed_vehicle", brakes_fitted=True, brake_share=0.25, brake_heated_mass=20.0)
    )
    # by hand: a quarter of all braking, so a third of what the tow vehicle brakes
    tow = 1310 + 1060 + 82 + 68 + 130 + 45 + 13
    assert towed_brake_n(braked, "out", grade=0.0, friction=0.7) == pytest.approx(tow * 7.5 / 3)
    assert stop_on(braked, "out", steep).deceleration_m_s2 > stop_on(facts, "out", steep).deceleration_m_s2


def test_a_steep_enough_road_is_not_known_instead_of_a_traceback(rig):
    facts = Facts(rig)
    stop = stop_on(facts, "out", -0.9, friction=0.5)
    assert stop.deceleration_m_s2 < 0
    # by hand: 338 kg more than empty, 238.07 of them on the rear axle (test_loads), which sinks by 238.07 kg
    # / 81 kN/m = 28.8 mm, the front by 99.93 kg / 98 kN/m = 10.0 mm, the ball 1.27 m behind by 35.4 mm, from
    # 581.6 to 546.2 mm; pins at 560 mm, bar 1.5 m
    assert stopper(facts, "out").bar_slope_rad == pytest.approx(math.asin((0.560 - 0.5462) / 1.5), abs=1e-4)


def test_sentences_name_places_gears_and_halts(road):
    rig = load_rig("data/rigs/demo_overloaded.toml")
    words = driving_words(Facts(rig), road, make_plan(rig, road).legs, "us")
    text = " ".join(words)
    assert (
        "steepest climb from" in text
        and "mph" in text
        and "halt on a flat place off the road before 3" in text
        and "ten minutes; engine idling" in text
    )
    hot = make_plan(rig, road)
    assert {limit.key: limit.plain for limit in hot.limits}[
        "coolant"
    ] == "over"  # that is why there are halts


def test_what_is_missing_is_said(rig, road):
    blind = _changed(rig, "tow_vehicle", ball_behind_rear_axle=None)
    assert (
        jackknife_words(Facts(blind), road)
        == "Braking in a bend on the steepest wet downgrade: not known (tow_vehicle.ball_behind_rear_axle)."
    )
    cold = rig.tow_vehicle.cooling.model_copy(update={"conductance": None})
    blind = _changed(rig, "tow_vehicle", cooling=cold)
    plan = make_plan(blind, road)
    assert "Halts for the coolant, way out: not known (tow_vehicle.cooling.conductance)." in driving_words(
        Facts(blind), road, plan.legs
    )
    assert driving_words(Facts(blind), road, ())[0] == jackknife_words(
        Facts(blind), road
    )  # without a drive nothing is said of climbs and halts
