"""What the driver is told: gears and speeds against the drive itself, halts against the limit, and what is
not known.
"""

import math

import numpy as np
import pytest

from towlib.limits.climbs import climb_rows, cooling_stops
from towlib.limits.legs import drive_leg
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
