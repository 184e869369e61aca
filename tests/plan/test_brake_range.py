"""The spread of brake temperatures when assumed values are off: the plan lies inside, own figures leave no
spread, and driveline efficiency and front share are in it.
"""

import math
from types import SimpleNamespace

import pytest

from tests.rigs import changed
from towlib.limits.legs import drive_as, drive_leg, pair_on_road
from towlib.plan import brake_range
from towlib.plan.brake_range import brake_range_words, brake_ranges
from towlib.rig.facts import Facts, assumptions
from towlib.rig.model import load_rig
from towlib.rig.uncertain import uncertain_values
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


# --- by hand, with drives that answer what they were asked ---


def _leg(way="out", peaks=((100.0, 80.0, math.nan),), stopped=None):
    journey = SimpleNamespace(brake_c=list(peaks), stopped_at_m=stopped)
    return SimpleNamespace(way=way, journey=journey)


@pytest.fixture
def hotter(monkeypatch):
    """The hot drive ends 60 K above the plan, the mild one 30 K below; keeps what was asked for."""
    asked = []

    def ends(facts, leg, key, assumed, is_hot):
        asked.append((key, is_hot))
        shift = 60.0 if is_hot else -30.0
        return SimpleNamespace(brake_c=[tuple(t + shift for t in row) for row in leg.journey.brake_c])

    monkeypatch.setattr(brake_range, "_with_ends", ends)
    return asked


def test_each_axle_has_its_own_highest_and_what_is_not_known_is_left_out(rig, hotter):
    peaks = ((90.0, math.nan, 40.0), (100.0, math.nan, 70.0), (95.0, math.nan, 60.0))
    assert brake_ranges(rig, _leg(peaks=peaks)) == (
        ("front brakes", 70.0, 100.0, 160.0),
        ("towed vehicle's brakes", 40.0, 70.0, 130.0),
    )
    assert hotter == [
        ("front_brakes", False),
        ("front_brakes", True),
        ("towed_brakes", False),
        ("towed_brakes", True),
    ]
    # an unknown front axle hides neither the rear one nor the towed vehicle's
    assert [each.axle for each in brake_ranges(rig, _leg(peaks=((math.nan, 80.0, math.nan),)))] == [
        "rear brakes"
    ]


def test_the_words_by_hand(rig, hotter):
    # 100 °C = 212 °F, 70 °C = 158 °F, 160 °C = 320 °F
    legs = (_leg(peaks=((100.0, math.nan, math.nan),)), _leg("back", ((110.0, 50.0, math.nan),)))
    head = (
        "Highest brake temperatures, in brackets with every assumed value at the mild and at the harsh end"
        " of its"
        " range: "
    )
    tail = ". The range of the figures you gave yourself is not in it."
    assert brake_range_words(rig, legs) == (
        f"{head}way out: front brakes 100 °C (70 °C to 160 °C); way back: front brakes 110 °C (80 °C to 170"
        f" °C),"
        f" rear brakes 50 °C (20 °C to 110 °C){tail}"
    )
    assert brake_range_words(rig, legs[:1], "us") == (
        f"{head}way out: front brakes 212 °F (158 °F to 320 °F){tail}"
    )
    # a way on which the pair stops has no highest; the other way still has
    stopped = _leg(stopped=900.0)
    assert brake_range_words(rig, (stopped,)) == ""
    assert "way out" not in brake_range_words(rig, (stopped, legs[1]))
    assert brake_range_words(rig, (_leg(peaks=((math.nan,) * 3,)),)) == ""


@pytest.mark.parametrize(("key", "hot", "cool"), [("front_brakes", 0.75, 0.60), ("rear_brakes", 0.60, 0.75)])
def test_the_ends_that_are_driven(rig, leg, monkeypatch, key, hot, cool):
    # front share 0.60 to 0.75, engine braking 0.7 to 1.3; stiffness of tyres is no matter of brakes
    asked = []
    monkeypatch.setattr(brake_range, "pair_on_road", lambda facts, way: asked.append((facts, way)))
    monkeypatch.setattr(brake_range, "replace", lambda leg, pair: leg)
    monkeypatch.setattr(
        brake_range, "sharing_motion", lambda facts, driven, about: SimpleNamespace(journey=driven)
    )
    paths = (
        "tow_vehicle.brakes.front_share",
        "tow_vehicle.engine.braking_factor",
        "tow_vehicle.rear_side_stiffness",
    )
    assumed = [each for each in uncertain_values(rig) if each.path in paths]
    assert len(assumed) == 3
    for hotter, share, factor in ((True, hot, 0.7), (False, cool, 1.3)):
        driven = brake_range._with_ends(Facts(rig), leg, key, assumed, hotter)
        facts, way = asked[-1]
        assert way == "out" and facts.drawn_values() == {paths[0]: share, paths[1]: factor}
        assert driven is leg  # its road, speeds and gears, with the pair that was asked for
