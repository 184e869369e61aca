"""Pictures of a whole plan, for the trip sheet and lesson 11."""

import math

from towlib.draw.figures import Picture, round_up
from towlib.limits.legs import Leg
from towlib.plan.trip import Plan
from towlib.units import from_si, show, unit_label

SERIES = (("front brakes", 1), ("rear brakes", 2), ("coolant", 0))


def road_picture(plan: Plan, system: str) -> Picture:
    """Brake and coolant temperatures along the road, out and back, over the road's profile."""
    picture = Picture((10.0, 1.65), frames=2)
    hottest = max(
        [120.0, *(t for leg in plan.legs for column in _columns(leg) for t in column if not math.isnan(t))]
    )
    top = round_up(from_si(hottest * 1.15, "temperature", system))
    for number, leg in enumerate(plan.legs):
        length = from_si(leg.route.length_m, "distance", system)
        picture.frame(
            number,
            title=f"Way {leg.way}",
            x_label=f"distance [{unit_label('distance', system)}]",
            y_label=f"temperature [{unit_label('temperature', system)}]",
            x=(0.0, length),
            y=(0.0, top),
        )
        x = [from_si(d, "distance", system) for d in leg.journey.distance_m]
        for (name, style), column in zip(SERIES, _columns(leg), strict=True):
            picture.line(f"{name} {number}", number, style)
            if x and not math.isnan(column[0]):
                picture.move(f"{name} {number}", x, [from_si(t, "temperature", system) for t in column])
        low, high = float(leg.route.elevation_m.min()), leg.route.summit_m
        picture.reference(f"profile {number}", number)
        picture.move(
            f"profile {number}",
            [from_si(d, "distance", system) for d in leg.route.distance_m],
            [
                0.04 * top + 0.22 * top * (z - low) / (high - low) if high > low else 0.04 * top
                for z in leg.route.elevation_m
            ],
        )
    return picture


def road_picture_svg(plan: Plan, system: str) -> str:
    """The same as SVG."""
    return road_picture(plan, system).svg()


def road_picture_words(plan: Plan, system: str) -> str:
    """The sentence beside the picture."""
    parts = []
    for leg in plan.legs:
        front = [t for t in _columns(leg)[0] if not math.isnan(t)]
        coolant = [t for t in _columns(leg)[2] if not math.isnan(t)]
        parts.append(
            f"way {leg.way}: front brakes to"
            f" {show(max(front), 'temperature', system) if front else 'not known'}, coolant to"
            f" {show(max(coolant), 'temperature', system) if coolant else 'not known'}"
        )
    low, high = float(plan.route.elevation_m.min()), plan.route.summit_m
    return (
        f"Temperatures along the road; {'; '.join(parts)}. Long dashes: front; dash-dot: rear brakes; solid:"
        f" coolant; short dashes: profile, {show(low, 'height', system)} to {show(high, 'height', system)}."
    )


def _columns(leg: Leg) -> tuple[list[float], list[float], list[float]]:
    journey = leg.journey
    return [t[0] for t in journey.brake_c], [t[1] for t in journey.brake_c], journey.coolant_c
