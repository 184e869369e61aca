"""What the driver is told: gears and speeds against the drive itself, halts against the limit, and what is
not known.
"""

import math

import numpy as np
import pytest

from tests.limits.made import RIG, TOW_KG, TOWED_KG, G, gagg_ferrar, isa_density, road
from tests.rigs import changed
from towlib.limits.climbs import climb_rows, cooling_stops, less_behind_kg
from towlib.limits.legs import drive_leg, driver
from towlib.rig.facts import Facts, NotKnown
from towlib.rig.model import load_rig
from towlib.road.route import load_route

ROADS = ("short_steep_pass.csv", "long_mountain_crossing.csv", "rolling_road.csv")


def _leg(rig, road, way="out"):
    facts = Facts(load_rig(f"data/rigs/{rig}.toml"))
    return facts, drive_leg(facts, load_route(f"data/routes/{road}"), way)


@pytest.mark.parametrize("way", ["out", "back"])
@pytest.mark.parametrize("road", ROADS)
@pytest.mark.parametrize("rig", ["demo_comfortable", "demo_overloaded"])
def test_told_gear_and_speed_by_hand(rig, road, way):
    facts, leg = _leg(rig, road, way)
    rows = climb_rows(facts, leg)
    assert len(rows) == sum(segment.mean_grade >= 0.02 for segment in leg.route.segments()) > 0
    for row in rows:
        # the balance of forces at the top of the stretch, on its steepest 200 m, written out again
        density = leg.air_density_kg_m3[round(row.segment.end_m / leg.route.step_m) - 1]
        s = density / 1.225
        train, theta, v = leg.pair.train, math.atan(row.grade), row.point.speed_m_s
        load = leg.pair.mass_kg * 9.80665 * (math.sin(theta) + leg.pair.rolling_coefficient * math.cos(theta))
        load += 0.5 * density * leg.pair.drag_area_m2 * v * v
        ratio = train.gear_ratios[row.point.gear - 1] * train.final_drive / train.rolling_radius_m
        rpm = v * ratio * 30 / math.pi
        pull = (
            np.interp(rpm, train.curve_rpm, train.curve_torque_n_m)
            * (s - (1 - s) / 7.55)
            * ratio
            * train.driveline_efficiency
        )
        assert load <= pull * (1 + 1e-6) and rpm <= train.redline_rpm * (1 + 1e-9)
        assert row.grade == max(row.segment.mean_grade, row.segment.steepest_200m_grade)
        limit = row.segment.speed_limit_m_s
        wanted = min(facts.need("conditions.cruise_speed"), 99.0 if math.isnan(limit) else limit)
        assert v == pytest.approx(wanted) if row.point.limited_by == "wanted" else v < wanted
    # the slowest of them is the one the limit rule finds
    slowest = min(leg.climbs_driven, key=lambda climb: climb.speed_m_s)
    point = next(row.point for row in rows if row.segment == slowest.segment)
    assert point.limited_by == "wanted" or (point.speed_m_s, point.gear) == (
        pytest.approx(slowest.speed_m_s),
        slowest.gear,
    )


def test_halts_only_where_the_coolant_asks_for_them():
    facts, leg = _leg("demo_comfortable", "long_mountain_crossing.csv")
    assert cooling_stops(facts, leg).stops == ()
    facts, leg = _leg("demo_overloaded", "short_steep_pass.csv")
    plan = cooling_stops(facts, leg)
    limit = facts.need("tow_vehicle.cooling.highest_coolant")
    assert (
        plan.stops
        and plan.gives_up_at_m is None
        and max(plan.coolant_c) <= limit < max(leg.journey.coolant_c)
    )
    assert all(60 < stop.time_s < 600 for stop in plan.stops)


@pytest.mark.parametrize("path", ["conductance", "highest_coolant"])
def test_unknown_cooling_is_not_known(path):
    facts, leg = _leg("demo_overloaded", "short_steep_pass.csv")
    tow = facts.rig.tow_vehicle
    cooling = tow.cooling.model_copy(update={path: None})
    bare = Facts(facts.rig.model_copy(update={"tow_vehicle": tow.model_copy(update={"cooling": cooling})}))
    with pytest.raises(NotKnown, match=path):
        cooling_stops(bare, leg)


def test_a_limit_below_the_thermostat_and_a_pair_that_stops_are_not_known():
    facts, leg = _leg("demo_overloaded", "short_steep_pass.csv")
    tow = facts.rig.tow_vehicle
    low = Facts(
        facts.rig.model_copy(
            update={
                "tow_vehicle": tow.model_copy(
                    update={"cooling": tow.cooling.model_copy(update={"highest_coolant": 92.0})}
                )
            }
        )
    )
    with pytest.raises(NotKnown, match="thermostat"):
        cooling_stops(low, leg)
    with pytest.raises(NotKnown, match="3.0 km into the road out"):
        leg.__dict__["journey"] = leg.journey._replace(stopped_at_m=3000.0)
        cooling_stops(facts, leg)


def test_the_drive_goes_on_five_kelvin_above_the_thermostat():
    # 80 °C and 5 K, on the made-up rig whose second gear pulls 8 % at full throttle
    climb = road((500, 0.0), (6000, 0.08))
    rig = changed(RIG, "tow_vehicle.cooling.highest_coolant", 92.0)
    facts = Facts(rig)
    leg = drive_leg(facts, climb, "out")
    plan = cooling_stops(facts, leg)
    assert plan.stops and all(stop.to_c == 85.0 and 85 < stop.from_c <= 92.0 for stop in plan.stops)
    for highest, known in ((85.0, False), (85.01, True)):
        near = Facts(changed(RIG, "tow_vehicle.cooling.highest_coolant", highest))
        if known:
            assert cooling_stops(near, leg)
        else:
            with pytest.raises(NotKnown, match="thermostat"):
                cooling_stops(near, leg)


def _less_by_hand(asked: float, grade: float, way: str) -> float | None:
    """Least multiple of 50 kg off the towed vehicle's 1400 kg, at most half of them, with which second gear
    holds the speed asked.
    """
    for kg in range(50, 701, 50):
        towed = TOWED_KG[way] - kg
        c = (0.012 * TOW_KG[way] + 0.016 * towed) / (TOW_KG[way] + towed)
        # 25 °C where the road out starts: at the foot, or at the top for a climb on the way back
        foot_m = 0.0 if way == "out" else 3000.0
        rho = isa_density(300 + 2987.5 * grade, 25 - 0.0065 * (2987.5 - foot_m) * grade)
        theta = math.atan(grade)
        load = (TOW_KG[way] + towed) * G * (math.sin(theta) + c * math.cos(theta)) + rho * asked**2
        if load <= 240 * gagg_ferrar(rho) * 2 * 4 * 0.85 / 0.35:
            return kg
    return None


@pytest.mark.parametrize(
    ("asked", "grade", "way", "least_kg"),
    [
        (24.5, 0.085, "out", 450),
        (26.0, 0.085, "out", 500),
        (24.0, 0.085, "back", 400),
        (27.0, 0.085, "out", 550),
        (25.0, 0.075, "out", 50),
        (26.0, 0.09, "out", 700),  # just half of it
        (24.0, 0.095, "out", None),  # a little more than half
        (27.0, 0.105, "out", None),
    ],
)
def test_how_much_less_behind_lets_it_climb_as_fast_as_asked(asked, grade, way, least_kg):
    climb = road((3000, grade), limit_kmh=math.nan)
    climb = climb.reversed() if way == "back" else climb
    facts = Facts(changed(RIG, "conditions.lowest_climb_speed", asked))
    assert less_behind_kg(facts, driver(climb), way) == _less_by_hand(asked, grade, way) == least_kg


def test_faster_than_it_turns_no_weight_helps():
    """In second gear 6000 rpm are 27.5 m/s: asked for more, none is light enough."""
    facts = Facts(changed(RIG, "conditions.lowest_climb_speed", 40.0))
    assert less_behind_kg(facts, driver(road((3000, 0.085), limit_kmh=math.nan)), "out") is None
