"""How far the brake temperatures may lie from the plan's when every assumed value is off, all in the same
direction.
"""

import math
from typing import NamedTuple

from towlib.limits.legs import Leg, drive_as, pair_on_road
from towlib.rig.facts import Facts, assumptions
from towlib.rig.model import Rig
from towlib.units import show

# assumption -> the end of its range that makes brakes hotter
HOTTER_END = {
    "tow_vehicle.engine.braking_factor": "low",
    "tow_vehicle.brakes.exposure": "low",
    "tow_vehicle.brakes.front_cooled_area": "low",
    "tow_vehicle.brakes.rear_cooled_area": "low",
    "towed_vehicle.brake_cooled_area": "low",
    "tow_vehicle.rolling_resistance": "low",
    "towed_vehicle.rolling_resistance": "low",
    "tow_vehicle.drag_area": "low",
    "towed_vehicle.drag_area": "low",
}
AXLES = ("front brakes", "rear brakes", "towed vehicle's brakes")


class BrakeRange(NamedTuple):
    """Highest temperature of one axle's brakes: mildest, planned, harshest."""

    axle: str
    coolest_c: float
    planned_c: float
    hottest_c: float


def brake_ranges(rig: Rig, leg: Leg) -> tuple[BrakeRange, ...]:
    """Each axle of one way, with the speeds and gears of the plan kept; axles without known brakes are left
    out.
    """
    ends = [_highest(rig, leg, _ends(kind)) for kind in (False, True)]
    planned = _peaks(leg.journey.brake_c)
    return tuple(
        BrakeRange(axle, min(cool, plan, hot), plan, max(cool, plan, hot))
        for axle, cool, plan, hot in zip(AXLES, ends[0], planned, ends[1], strict=True)
        if not math.isnan(plan)
    )


def brake_range_words(rig: Rig, legs: tuple[Leg, ...], system: str = "metric") -> str:
    """One sentence for both ways; '' when nothing was driven or no brakes are known."""
    parts = []
    for leg in legs:
        found = (
            [
                f"{each.axle} {show(each.planned_c, 'temperature', system)}"
                f" ({show(each.coolest_c, 'temperature', system)} to"
                f" {show(each.hottest_c, 'temperature', system)})"
                for each in brake_ranges(rig, leg)
            ]
            if leg.journey.stopped_at_m is None
            else []
        )
        if found:
            parts.append(f"way {leg.way}: {', '.join(found)}")
    return (
        "Highest brake temperatures, in brackets with every assumed value at the mild and at the harsh end"
        f" of its range: {'; '.join(parts)}. The range of the figures you gave yourself is not in it."
        if parts
        else ""
    )


def _ends(hotter: bool) -> dict[str, float]:
    return {
        path: getattr(assumptions()[path], end if hotter else {"low": "high", "high": "low"}[end])
        for path, end in HOTTER_END.items()
    }


def _highest(rig: Rig, leg: Leg, instead: dict[str, float]) -> list[float]:
    facts = Facts(rig, instead)
    journey = drive_as(
        pair_on_road(facts, leg.way),
        leg.route,
        leg.air_c,
        leg.air_density_kg_m3,
        leg.target_m_s,
        leg.descent_gear,
    )
    return _peaks(journey.brake_c)


def _peaks(rows) -> list[float]:
    return [max(row[axle] for row in rows) if rows else math.nan for axle in range(3)]
