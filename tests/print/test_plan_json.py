"""The JSON of plans made by hand: signs, counts, doubts, units in the keys, nothing that is no number."""

import json
import math
from types import SimpleNamespace

import pytest

import towlib
from tests.plans import (
    ASSUMED_PATH,
    asked,
    likely_over,
    likely_within,
    made,
    over,
    plan_of,
    too_close,
    unknown,
    within,
    yes_no,
)
from towlib.limits.legs import SegmentRow
from towlib.print.plan_json import KEYS, SUFFIX, plan_data, plan_json
from towlib.rig.facts import assumptions
from towlib.road.route import Segment


def told(limit):
    return plan_data(plan_of(limit))["limits"][0]


@pytest.mark.parametrize(
    ("limit", "answer", "room", "used", "likely", "doubt"),
    [
        (within(), "within", 2.0, 0.8, "", ""),
        (over(), "over", -3.0, 1.3, "", ""),
        (unknown(), "not known", None, None, "", ""),
        (likely_over(), "not known", -3.0, 1.3, "over", "assumed"),
        (likely_within(), "not known", 2.0, 0.8, "within", "assumed"),
        (too_close(), "not known", 2.0, 0.8, "", "too close"),
        (asked(), "not known", 2.0, 0.8, "", "asked"),
        (made("lifted", -5.0, 10.0), "over", 15.0, None, "", ""),  # infinite is no number of JSON
    ],
)
def test_a_limit_by_hand(limit, answer, room, used, likely, doubt):
    found = told(limit)
    assert (found["answer"], found["room_kg"], found["likely"], found["doubt"]) == (
        answer,
        room,
        likely,
        doubt,
    )
    assert found["used_ratio"] == (used if used is None else pytest.approx(used))
    assert (found["demand_kg"], found["capacity_kg"]) == (limit.demand, limit.capacity)
    assert (found["key"], found["title"], found["way"]) == (limit.key, limit.title, limit.way)
    assert (found["missing"], found["assumed_fields"]) == (limit.missing, list(limit.assumed))
    assert (found["source"], found["advice"]) == ("plate", "")


@pytest.mark.parametrize("kind", SUFFIX)
def test_the_unit_stands_in_the_key(kind):
    found = told(made("x", 1.0, 0.25, kind=kind, way="back", advice="Slower."))
    unit = SUFFIX[kind]
    assert [found[f"{name}_{unit}"] for name in ("demand", "capacity", "room")] == [1.0, 0.25, -0.75]
    assert (found["way"], found["advice"]) == ("back", "Slower.")


def test_units_of_the_kinds():
    # SI without a prefix, degrees Celsius, rpm, ampere and hours as the library counts them
    assert SUFFIX["mass"] == "kg" and SUFFIX["force"] == "n" and SUFFIX["temperature"] == "c"
    assert SUFFIX["speed"] == "m_s" and SUFFIX["angle"] == "rad" and SUFFIX["yes_no"] == "yes"


def test_the_head_by_hand():
    limits = (over("a", advice="A."), over("b"), likely_over(), unknown(), too_close(), within())
    found = plan_data(plan_of(*limits, to_fit=("Fit.",), prop="Prop.", road_missing="a.b"))
    assert [found[f"limits_{word}_count"] for word in ("over", "not_known", "within")] == [2, 3, 1]
    assert [limit["key"] for limit in found["limits"]] == [limit.key for limit in limits]
    assert found["verdict"].startswith("2 of 6 limits over, 3 not known (likely over: LIKELY_OVER)")
    assert (found["governing_key"], found["governing_advice"]) == ("a", "A.")
    assert found["to_fit"] == ["Fit.", "Prop."] and found["road_missing"] == "a.b"
    assert found["towlib_version"] == towlib.__version__ and found["legs"] == [] == found["assumed"]
    assert (found["route_name"], found["route_file"], found["route_notes"]) == ("A made road", "made.csv", [])
    # up from 100 m to 150 m and down again on 2 km
    names = ("length", "climb", "descent", "summit")
    assert [found[f"route_{name}_m"] for name in names] == [2000.0, 50.0, 50.0, 150.0]
    nothing = plan_data(plan_of(unknown()))
    assert nothing["governing_key"] is None and "Nothing is known" in nothing["governing_advice"]


def test_what_was_assumed_is_listed():
    row = assumptions()[ASSUMED_PATH]
    assert plan_data(plan_of(within(), assumed=(row,)))["assumed"] == [
        {
            "field": "tow_bar.mass",
            "value_text": "25 kg",
            "why": "mass of the bar",
            "known_by": "from memory",
            "source": "common figure",
        }
    ]


ROW = SegmentRow(
    Segment(0.0, 500.0, 500.5, -0.05, -0.08, 150.0, 125.0, math.nan),
    20.0,
    3,
    2746.0,
    3100.0,
    0.25,
    100.0,
    math.nan,
    1.0 / 3.0,
    90.0,
    150.0,
    0.004,
)


def leg(**journey):
    given = {"time_s": [1.0, 30.0, 60.0], "fuel_m3": [0.0, 0.001, 0.002], "stopped_at_m": None}
    return SimpleNamespace(way="back", journey=SimpleNamespace(**(given | journey)), rows=(ROW,))


def test_a_leg_by_hand():
    found = plan_data(plan_of(within(), legs=(leg(),)))["legs"][0]
    segments = found.pop("segments")
    assert found == {"way": "back", "time_s": 60.0, "fuel_m3": 0.002, "stopped_at_m": None}
    assert segments == [
        {
            "start_m": 0.0,
            "end_m": 500.0,
            "length_m": 500.5,
            "mean_grade_ratio": -0.05,
            "steepest_200m_grade_ratio": -0.08,
            "start_elevation_m": 150.0,
            "end_elevation_m": 125.0,
            "speed_limit_m_s": None,
            "speed_m_s": 20.0,
            "gear_number": 3,
            "engine_rpm": 2746.0,
            "engine_highest_rpm": 3100.0,
            "full_throttle_ratio": 0.25,
            "front_brakes_c": 100.0,
            "rear_brakes_c": None,
            "hottest_brakes_c": 0.333333333,  # nine digits
            "coolant_highest_c": 90.0,
            "time_s": 150.0,
            "fuel_m3": 0.004,
        }
    ]


def test_a_leg_that_never_began():
    found = plan_data(plan_of(unknown(), legs=(leg(time_s=[], fuel_m3=[], stopped_at_m=0.0),)))["legs"][0]
    assert (found["time_s"], found["fuel_m3"], found["stopped_at_m"]) == (0.0, 0.0, 0.0)


def test_the_text_is_json_every_key_of_which_is_explained():
    limits = [made(kind, 1.0, 2.0, kind=kind) for kind in SUFFIX] + [yes_no(), made("lifted", -1.0, 2.0)]
    rows = (assumptions()[ASSUMED_PATH],)
    text = plan_json(plan_of(*limits, legs=(leg(),), assumed=rows, prop="7 °"))
    assert "7 °" in text  # letters as they are
    assert text.startswith('{\n "towlib_version": ')  # one value a line, a blank for each level
    found = json.loads(text, parse_constant=lambda name: pytest.fail(name))
    keys = set()

    def collect(part):
        if isinstance(part, dict):
            keys.update(part)
            part = list(part.values())
        for each in part if isinstance(part, list) else ():
            collect(each)

    collect(found)
    units = {f"{name}_{unit}" for name in ("demand", "capacity", "room") for unit in SUFFIX.values()}
    assert keys - units == {key for key in KEYS if "<unit>" not in key}
