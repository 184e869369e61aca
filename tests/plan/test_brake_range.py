"""The spread of brake temperatures when assumed values are off: each end points the way it is said to, own
figures leave no spread.
"""

import pytest

from towlib.limits.legs import drive_as, drive_leg, pair_on_road
from towlib.plan.brake_range import HOTTER_END, brake_range_words, brake_ranges
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


def _peak(rig, leg, instead):
    journey = drive_as(
        pair_on_road(Facts(rig, instead), "out"),
        leg.route,
        leg.air_c,
        leg.air_density_kg_m3,
        leg.target_m_s,
        leg.descent_gear,
    )
    return [max(row[axle] for row in journey.brake_c) for axle in (0, 1)]


@pytest.mark.parametrize("path", [path for path in HOTTER_END if not path.endswith("brake_cooled_area")])
def test_every_end_points_the_way_it_is_said_to(rig, leg, path):
    assumed = assumptions()[path]
    assert assumed.low < assumed.value < assumed.high
    hot = _peak(rig, leg, {path: getattr(assumed, HOTTER_END[path])})
    cool = _peak(rig, leg, {path: assumed.high if HOTTER_END[path] == "low" else assumed.low})
    axle = 1 if "rear" in path else 0
    assert hot[axle] > cool[axle]  # the rig that fails gives none of these itself


def test_planned_lies_between_the_ends_and_the_plan_itself_is_untouched(rig, leg):
    found = brake_ranges(rig, leg)
    assert [each.axle for each in found] == ["front brakes", "rear brakes"]  # the towed vehicle has none
    assert all(each.coolest_c < each.planned_c < each.hottest_c for each in found)
    assert [each.planned_c for each in found] == pytest.approx(_peak(rig, leg, {}))


def test_own_figures_leave_no_spread(rig, road):
    tow = rig.tow_vehicle
    own = {path: assumptions()[path].value for path in HOTTER_END}
    brakes = tow.brakes.model_copy(
        update={"exposure": 0.6, "front_cooled_area": 0.5, "rear_cooled_area": 0.34}
    )
    engine = tow.engine.model_copy(update={"braking_factor": 1.0})
    tow = tow.model_copy(
        update={
            "brakes": brakes,
            "engine": engine,
            "rolling_resistance": own["tow_vehicle.rolling_resistance"],
            "drag_area": own["tow_vehicle.drag_area"],
        }
    )
    towed = rig.towed_vehicle.model_copy(update={"rolling_resistance": 0.015, "drag_area": 0.6})
    whole = rig.model_copy(update={"tow_vehicle": tow, "towed_vehicle": towed})
    for each in brake_ranges(whole, drive_leg(Facts(whole), road, "out")):
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
