"""Stopping limits and the sentences for the driver: by hand, and never more than is known."""

import math
from types import SimpleNamespace

import pytest

from towlib.limits.climbs import ClimbRow
from towlib.limits.stopping_limits import jackknife_words, steepest_down, stop_on, stopper, towed_brake_n
from towlib.physics.drive.cooling_stops import CoolantPlan, CoolingStop
from towlib.physics.drive.traction import OperatingPoint
from towlib.plan import driving_words as told
from towlib.plan.driving_words import driving_words
from towlib.plan.trip import make_plan
from towlib.rig.facts import Facts, NotKnown
from towlib.rig.model import load_rig
from towlib.road.route import Segment, load_route


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


# --- by hand ---


def _climb(start_m, grade, speed=None, gear=3, limited_by="engine"):
    segment = Segment(start_m, start_m + 500.0, 500.0, grade, grade, 0.0, 0.0, math.nan)
    point = None if speed is None else OperatingPoint(speed, gear, 3000.0, 1.0, 1.0, limited_by)
    return ClimbRow(segment, grade, point)


@pytest.mark.parametrize(
    ("rows", "metric", "us"),
    [
        ([], "", ""),
        ([_climb(0.0, 0.05)], "", ""),  # no gear holds it: nothing to tell of a speed
        (
            # 20 m/s = 72 km/h = 44.7 mph; 3 km = 1.86 mi; the steeper of the two that are held
            [_climb(1000.0, 0.04, 30.0), _climb(3000.0, 0.081, 20.0, gear=2), _climb(5000.0, 0.12)],
            "Way back, steepest climb from 3 km (8.1 %): gear 2 at 72 km/h.",
            "Way back, steepest climb from 1.86 mi (8.1 %): gear 2 at 44.7 mph.",
        ),
        (
            [_climb(3000.0, 0.08, 20.0, limited_by="wanted")],
            "Way back, steepest climb from 3 km (8.0 %): gear 3 at 72 km/h (as fast as you or the road want;"
            " the"
            " engine has more).",
            "Way back, steepest climb from 1.86 mi (8.0 %): gear 3 at 44.7 mph (as fast as you or the road"
            " want;"
            " the engine has more).",
        ),
    ],
)
def test_the_steepest_climb_that_is_held(monkeypatch, rows, metric, us):
    monkeypatch.setattr(told, "climb_rows", lambda facts, leg: rows)
    leg = SimpleNamespace(way="back")
    assert told._steepest_climb(None, leg, "metric") == metric
    assert told._steepest_climb(None, leg, "us") == us


def _halt(at_m, time_s):
    return CoolingStop(at_m, 110.0, 95.0, time_s)


@pytest.mark.parametrize(
    ("found", "said"),
    [
        (CoolantPlan((), [], None), ""),
        (
            # the longest of both: 200 s = 3.33 min, in two digits
            CoolantPlan((_halt(2000.0, 90.0), _halt(4000.0, 200.0), _halt(6000.0, 60.0)), [], None),
            "Way out, halt on a flat place off the road before 2 km; 4 km; 6 km: by the model at least 3.3"
            " min"
            " each, by common practice (no source) ten minutes; engine idling, no cap opened.",
        ),
        (
            # halts that help at first, and then no more: the first place from which they do not
            CoolantPlan((_halt(2000.0, 90.0),), [], 5000.0),
            "Way out: from 5 km on halts no longer keep the coolant within its limit: too fast, too hot or"
            " too"
            " heavy.",
        ),
        (
            CoolantPlan((), [], 0.0),
            "Way out: from 0 km on halts no longer keep the coolant within its limit: too fast, too hot or"
            " too"
            " heavy.",
        ),
    ],
)
def test_halts_by_hand(monkeypatch, found, said):
    monkeypatch.setattr(told, "cooling_stops", lambda facts, leg: found)
    assert told._halts(None, SimpleNamespace(way="out"), "metric") == said


def test_halts_that_are_not_known(monkeypatch):
    def missing(facts, leg):
        raise NotKnown("tow_vehicle.cooling.conductance")

    monkeypatch.setattr(told, "cooling_stops", missing)
    assert told._halts(None, SimpleNamespace(way="back"), "us") == (
        "Halts for the coolant, way back: not known (tow_vehicle.cooling.conductance)."
    )


def test_both_ways_are_told_in_order_and_what_is_not_said_leaves_no_gap(monkeypatch, rig, road):
    monkeypatch.setattr(told, "_steepest_climb", lambda facts, leg, system: f"climb {leg.way} {system}")
    monkeypatch.setattr(told, "_halts", lambda facts, leg, system: "" if leg.way == "out" else "halt back")
    for name in ("jackknife", "turning", "light"):
        monkeypatch.setattr(told, f"{name}_words", lambda *given, name=name: f"{name} {given[-1]}")
    monkeypatch.setattr(told, "driveline_words", lambda facts: "driveline")
    legs = (SimpleNamespace(way="out"), SimpleNamespace(way="back"))
    assert driving_words(Facts(rig), road, legs, "us") == (
        "climb out us",
        "climb back us",
        "halt back",
        "jackknife us",
        "turning us",
        "light us",
        "driveline",
    )
