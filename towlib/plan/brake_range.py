"""How far the brake temperatures may lie from the plan's when every assumed value is off, all in the same
direction.
"""

import math
from dataclasses import replace
from typing import NamedTuple

from towlib.limits.harsh_ends import harsh_end
from towlib.limits.legs import Leg, pair_on_road, sharing_motion
from towlib.physics.drive.journey import Journey
from towlib.rig.facts import Facts
from towlib.rig.model import Rig
from towlib.rig.uncertain import Uncertain, uncertain_values
from towlib.units import show

AXLES = {
    "front_brakes": "front brakes",
    "rear_brakes": "rear brakes",
    "towed_brakes": "towed vehicle's brakes",
}


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
    facts = Facts(rig)
    assumed = [each for each in uncertain_values(rig) if each.assumed]
    found = []
    for axle, (key, name) in enumerate(AXLES.items()):
        planned = _highest(leg.journey, axle)
        if math.isnan(planned):
            continue
        mild, harsh = (_with_ends(facts, leg, key, assumed, hotter) for hotter in (False, True))
        ends = (_highest(mild, axle), planned, _highest(harsh, axle))
        found.append(BrakeRange(name, min(ends), planned, max(ends)))
    return tuple(found)


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


def _with_ends(facts: Facts, leg: Leg, key: str, assumed: list[Uncertain], hotter: bool) -> Journey:
    """The road driven with every assumed value at the end that makes these brakes hotter, or cooler."""
    hot = {each.path: harsh_end(key, each.path) for each in assumed}
    values = {
        each.path: each.high if (hot[each.path] == "high") is hotter else each.low
        for each in assumed
        if hot[each.path]
    }
    other = facts.other(values)

    def drive() -> Journey:
        at_ends = replace(leg, pair=pair_on_road(other, leg.way))
        return sharing_motion(facts, at_ends, ("at ends", leg.way)).journey

    return other.once(("journey", leg.way), drive)


def _highest(journey: Journey, axle: int) -> float:
    return max((row[axle] for row in journey.brake_c), default=math.nan)
