"""The plan as JSON: plain data, every number's unit in its key, missing numbers null."""

import json
import math
from typing import Any

import towlib
from towlib.limits.legs import Leg, SegmentRow
from towlib.limits.limit import NOT_KNOWN, OVER, WITHIN, YES_NO, Limit
from towlib.plan.trip import Plan

SUFFIX = {
    "mass": "kg",
    "force": "n",
    "size": "m",
    "length": "m",
    "speed": "m_s",
    "temperature": "c",
    "angle": "rad",
    "shaft_speed": "rpm",
    "volume": "m3",
    "share": "ratio",
    "distance": "m",
    "time": "s",
    "current": "a",
    "hours": "h",
    YES_NO: "yes",
}

# every key of the JSON and what it holds; <unit> is one of the suffixes above
KEYS = {
    "towlib_version": "version of the library that made the plan",
    "rig_name": "name of the rig, from its file",
    "route_name": "name of the road, from its file",
    "route_file": "file the road was read from",
    "route_notes": "what was done to the road's file, in sentences",
    "route_length_m": "length one way",
    "route_climb_m": "height gained on the way out",
    "route_descent_m": "height lost on the way out",
    "route_summit_m": "highest point",
    "verdict": "one sentence on the whole trip",
    "limits_over_count": "limits that are over",
    "limits_not_known_count": "limits that are not known; they never count as within",
    "limits_within_count": "limits that are within",
    "governing_key": "key of the limit that governs, null when none is known",
    "governing_advice": "what would move the governing limit",
    "to_fit": "ball mount, chain links, bracket and prop, in sentences",
    "limits": "one entry a limit, over first, then not known, then within by closeness",
    "key": "short name of the limit",
    "title": "name of the limit as printed",
    "answer": "within, over or not known",
    "way": "the way on which it is closest: out or back",
    "demand_<unit>": "what is asked of the part; null when not known",
    "capacity_<unit>": "what the part can take; null when not known",
    "room_<unit>": "capacity less demand: negative when over; null when not known",
    "used_ratio": "demand over capacity, temperatures counted from 20 °C; null when not known",
    "source": "where the capacity (of a limit) or the value (of an assumption) comes from",
    "missing": "field or fact that is missing, empty when nothing is",
    "assumed_fields": "rig fields that were assumed for this limit",
    "likely": "the answer with the assumed values as they stand, where one of them could turn it; else empty",
    "doubt": "assumed, too close (for the ± given) or asked (a value looks wrong); else empty",
    "advice": "what would move this limit",
    "road_missing": "what kept the road from being driven, empty when it was",
    "legs": "the road out and the road back",
    "time_s": "driving time",
    "fuel_m3": "fuel burnt",
    "stopped_at_m": "where the engine could not pull any further, null when it could",
    "segments": "the road in stretches of even grade",
    "start_m": "start of the stretch, along this way",
    "end_m": "end of the stretch",
    "length_m": "length of the stretch",
    "mean_grade_ratio": "rise over run, negative downhill",
    "steepest_200m_grade_ratio": "steepest 200 m, same sign as the mean",
    "start_elevation_m": "height at the start",
    "end_elevation_m": "height at the end",
    "speed_limit_m_s": "speed limit, null when not given",
    "speed_m_s": "mean speed driven",
    "gear_number": "gear used most, 1 is first",
    "engine_rpm": "mean engine speed in that gear",
    "engine_highest_rpm": "highest engine speed",
    "full_throttle_ratio": "share of the stretch at full throttle",
    "front_brakes_c": "front brakes at the end of the stretch; null when not known",
    "rear_brakes_c": "rear brakes at the end of the stretch; null when not known",
    "hottest_brakes_c": "hottest of both during the stretch; null when not known",
    "coolant_highest_c": "highest coolant temperature on the stretch; null when not known",
    "assumed": "values that were assumed because the rig file does not give them",
    "field": "path of the rig field",
    "value_text": "the value assumed, with its unit",
    "why": "what it stands for",
    "known_by": "read, computed, from memory or common practice",
}


def plan_data(plan: Plan) -> dict[str, Any]:
    """The plan as dictionaries, lists, text and finite numbers."""
    governing = plan.governing
    return {
        "towlib_version": towlib.__version__,
        "rig_name": plan.rig.name,
        "route_name": plan.route.name,
        "route_file": plan.route.source_file,
        "route_notes": list(plan.route.notes),
        "route_length_m": _number(plan.route.length_m),
        "route_climb_m": _number(plan.route.climb_m),
        "route_descent_m": _number(plan.route.descent_m),
        "route_summit_m": _number(plan.route.summit_m),
        "verdict": plan.verdict,
        "limits_over_count": plan.count(OVER),
        "limits_not_known_count": plan.count(NOT_KNOWN),
        "limits_within_count": plan.count(WITHIN),
        "governing_key": governing.key if governing else None,
        "governing_advice": plan.governing_advice,
        "to_fit": [*plan.to_fit, plan.prop],
        "limits": [_limit(limit) for limit in plan.limits],
        "road_missing": plan.road_missing,
        "legs": [_leg(leg) for leg in plan.legs],
        "assumed": [
            {"field": a.field, "value_text": a.text, "why": a.why, "known_by": a.known_by, "source": a.source}
            for a in plan.assumed
        ],
    }


def plan_json(plan: Plan) -> str:
    """The plan as JSON text."""
    return json.dumps(plan_data(plan), indent=1, ensure_ascii=False, allow_nan=False)


def _limit(limit: Limit) -> dict[str, Any]:
    unit = SUFFIX[limit.kind]
    return {
        "key": limit.key,
        "title": limit.title,
        "answer": limit.answer,
        "way": limit.way,
        f"demand_{unit}": _number(limit.demand),
        f"capacity_{unit}": _number(limit.capacity),
        f"room_{unit}": _number(limit.room),
        "used_ratio": _number(limit.used),
        "source": limit.source,
        "missing": limit.missing,
        "likely": limit.likely,
        "doubt": limit.doubt.kind if limit.doubt else "",
        "assumed_fields": list(limit.assumed),
        "advice": limit.advice,
    }


def _leg(leg: Leg) -> dict[str, Any]:
    journey = leg.journey
    return {
        "way": leg.way,
        "time_s": _number(journey.time_s[-1] if journey.time_s else 0.0),
        "fuel_m3": _number(journey.fuel_m3[-1] if journey.fuel_m3 else 0.0),
        "stopped_at_m": _number(journey.stopped_at_m),
        "segments": [_segment(row) for row in leg.rows],
    }


def _segment(row: SegmentRow) -> dict[str, Any]:
    segment = row.segment
    return {
        "start_m": _number(segment.start_m),
        "end_m": _number(segment.end_m),
        "length_m": _number(segment.length_m),
        "mean_grade_ratio": _number(segment.mean_grade),
        "steepest_200m_grade_ratio": _number(segment.steepest_200m_grade),
        "start_elevation_m": _number(segment.start_elevation_m),
        "end_elevation_m": _number(segment.end_elevation_m),
        "speed_limit_m_s": _number(segment.speed_limit_m_s),
        "speed_m_s": _number(row.speed_m_s),
        "gear_number": row.gear,
        "engine_rpm": _number(row.rpm),
        "engine_highest_rpm": _number(row.highest_rpm),
        "full_throttle_ratio": _number(row.full_throttle_share),
        "front_brakes_c": _number(row.front_brake_c),
        "rear_brakes_c": _number(row.rear_brake_c),
        "hottest_brakes_c": _number(row.highest_brake_c),
        "coolant_highest_c": _number(row.coolant_c),
        "time_s": _number(row.time_s),
        "fuel_m3": _number(row.fuel_m3),
    }


def _number(value: float | None) -> float | None:
    if value is None or not math.isfinite(value):
        return None
    return float(f"{value:.9g}")
