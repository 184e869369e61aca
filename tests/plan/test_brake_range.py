"""The spread of brake temperatures when assumed values are off: the plan lies inside, own figures leave no
spread, and driveline efficiency and front share are in it.
"""

import pytest

from tests.rigs import changed
from towlib.limits.legs import drive_as, drive_leg, pair_on_road
from towlib.plan.brake_range import brake_range_words, brake_ranges
from towlib.rig.facts import Facts, assumptions
from towlib.rig.model import load_rig
from towlib.road.route import load_route


@pytest.fixture(scope="module")
def road():
    return load_route("data/routes/short_steep_pass.csv")


@pytest.fixture(scope="module")
def rig():
    return load_rig("data/rigs/demo_overloaded.toml")


@pytest.fixture(scope="module")
def leg(rig, road):
    return drive_leg(Facts(rig), road, "out")


def _peak(rig, leg, values):
    journey = drive_as(
        pair_on_road(Facts(rig).other(values), "out"),
        leg.route,
        leg.air_c,
        leg.air_density_kg_m3,
        leg.target_m_s,
        leg.descent_gear,
    )
    return [max(row[axle] for row in journey.brake_c) for axle in (0, 1)]


def test_planned_lies_between_the_ends_and_the_plan_itself_is_untouched(rig, leg):
    found = brake_ranges(rig, leg)
    assert [each.axle for each in found] == ["front brakes", "rear brakes"]  # the towed vehicle has none
    assert all(each.coolest_c < each.planned_c < each.hottest_c for each in found)
    assert [each.planned_c for each in found] == pytest.approx(_peak(rig, leg, {}))


def test_the_harsh_end_has_every_value_in_it(rig, leg):
    # by hand, what makes front brakes hotter: less that holds back (engine, tyres, air, what the driveline
    # loses), less cooling, more of the braking; the rear ones take what the front ones leave
    values = {
        path: getattr(assumptions()[path], end)
        for path, end in {
            "tow_vehicle.engine.braking_factor": "low",
            "tow_vehicle.brakes.exposure": "low",
            "tow_vehicle.brakes.front_cooled_area": "low",
            "tow_vehicle.rolling_resistance": "low",
            "towed_vehicle.rolling_resistance": "low",
            "tow_vehicle.drag_area": "low",
            "towed_vehicle.drag_area": "low",
            "tow_vehicle.gearbox.efficiency": "high",
            "tow_vehicle.brakes.front_share": "high",
        }.items()
    }
    front, rear = brake_ranges(rig, leg)
    assert front.hottest_c == pytest.approx(_peak(rig, leg, values)[0], abs=0.01)
    without_two = {path: value for path, value in values.items() if "share" not in path and "eff" not in path}
    assert front.hottest_c > _peak(rig, leg, without_two)[0] + 10.0
    assert (
        rear.hottest_c > _peak(rig, leg, values)[1]
    )  # a share of the front axle that is high cools the rear


def test_own_figures_leave_no_spread(rig, road):
    for path, assumed in assumptions().items():
        if path.startswith(("tow_vehicle.", "towed_vehicle.")) and isinstance(assumed.low, float):
            rig = changed(rig, path, assumed.value)
    for each in brake_ranges(rig, drive_leg(Facts(rig), road, "out")):
        assert each.coolest_c == each.planned_c == each.hottest_c


def test_words(rig, leg):
    words = brake_range_words(rig, (leg,), "us")
    assert (
        words.startswith("Highest brake temperatures")
        and "°F" in words
        and "way out" in words
        and words.endswith(".")
    )
    assert brake_range_words(rig, ()) == ""
