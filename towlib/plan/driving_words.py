"""What the driver is told beside the road table: halts for the coolant, the steepest climb, wet bends, the
tightest turn, the lamps.
"""

from towlib.limits.climbs import climb_rows, cooling_stops
from towlib.limits.driveline_limits import driveline_words
from towlib.limits.electrics_limits import light_words
from towlib.limits.legs import Leg
from towlib.limits.stopping_limits import jackknife_words
from towlib.limits.turning_limits import turning_words
from towlib.rig.facts import Facts, NotKnown
from towlib.road.route import Route
from towlib.units import show


def driving_words(
    facts: Facts, route: Route, legs: tuple[Leg, ...], system: str = "metric"
) -> tuple[str, ...]:
    """Sentences for the sheet and the report; those about the climb only when the road was driven."""
    found = [
        words
        for leg in legs
        for words in (_steepest_climb(facts, leg, system), _halts(facts, leg, system))
        if words
    ]
    return (
        *found,
        jackknife_words(facts, route, system),
        turning_words(facts, system),
        light_words(facts, system),
        driveline_words(facts),
    )


def _steepest_climb(facts: Facts, leg: Leg, system: str) -> str:
    held_rows = [(row, row.point) for row in climb_rows(facts, leg) if row.point is not None]
    if not held_rows:
        return ""
    steepest, point = max(held_rows, key=lambda each: each[0].grade)
    held = " (as fast as you or the road want; the engine has more)" if point.limited_by == "wanted" else ""
    return (
        f"Way {leg.way}, steepest climb from {show(steepest.segment.start_m, 'distance', system)}"
        f" ({100 * steepest.grade:.1f} %): gear {point.gear} at"
        f" {show(point.speed_m_s, 'speed', system)}{held}."
    )


def _halts(facts: Facts, leg: Leg, system: str) -> str:
    try:
        plan = cooling_stops(facts, leg)
    except NotKnown as missing:
        return f"Halts for the coolant, way {leg.way}: not known ({missing.reason})."
    if plan.gives_up_at_m is not None:
        return (
            f"Way {leg.way}: from {show(plan.gives_up_at_m, 'distance', system)} on halts no longer keep the"
            " coolant within its limit: too fast, too hot or too heavy."
        )
    if not plan.stops:
        return ""
    places = "; ".join(show(halt.at_m, "distance", system) for halt in plan.stops)
    longest = max(halt.time_s for halt in plan.stops)
    return (
        f"Way {leg.way}, halt on a flat place off the road before {places}: by the model at least"
        f" {show(longest, 'time', system, digits=2)} each, by common practice (no source) ten minutes; engine"
        " idling, no cap opened."
    )
