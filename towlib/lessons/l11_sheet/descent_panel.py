"""Lesson 11: how fast down, how hot a day, how heavy behind."""

import math
from functools import lru_cache, partial
from pathlib import Path
from typing import NamedTuple

from towlib.draw.figures import Picture, round_up
from towlib.lessons.declare import with_values
from towlib.limits.legs import Leg, drive_leg
from towlib.paths import DATA
from towlib.rig.facts import Facts
from towlib.road.route import Route, load_route
from towlib.units import from_si, show, unit_label

ROAD = DATA / "routes" / "short_steep_pass.csv"  # invented
SPEEDS_M_S = tuple(km_h / 3.6 for km_h in (15, 25, 35, 45, 55))  # tried for what one should have seen
COOLER_K = 3.0  # less than that is no difference
MARGIN_C = 20.0


class Descent(NamedTuple):
    """What the panel shows: the way out over the short pass."""

    leg: Leg
    hottest_c: float
    where_m: float
    gear: int  # held on the longest steep downgrade
    highest_c: float  # at which the front lining fades


def descent(facts: Facts) -> Descent:
    """The rig over the invented short pass, way out."""
    highest = facts.need("tow_vehicle.brakes.highest_front")
    facts.need("tow_vehicle.brakes.front_heated_mass")  # without it no temperature
    leg = drive_leg(facts, _road(), "out")
    if leg.journey.stopped_at_m is not None:
        raise ValueError("the pair does not get over the pass at all")
    front = [temperatures[0] for temperatures in leg.journey.brake_c]
    i = max(range(len(front)), key=front.__getitem__)
    steepest = min(row.segment.mean_grade for row in leg.rows)
    steep = max(
        (row for row in leg.rows if row.segment.mean_grade <= 0.8 * steepest),
        key=lambda row: row.segment.length_m,
    )
    return Descent(leg, front[i], leg.journey.distance_m[i], steep.gear, highest)


@lru_cache(maxsize=1)
def _road(path: Path = ROAD) -> Route:
    return load_route(path)


def descent_words(result: Descent, system: str) -> str:
    """The sentence under the panel."""
    answer = "within" if result.hottest_c <= result.highest_c else "over"
    room = show(abs(result.highest_c - result.hottest_c), "temperature_difference", system)
    return (
        f"The front brakes reach {show(result.hottest_c, 'temperature', system)} at"
        f" {show(result.where_m, 'distance', system)}; gear {result.gear} on the longest steep downgrade:"
        f" {answer} by {room} (fade begins at {show(result.highest_c, 'temperature', system)})."
    )


def descent_rooms(result: Descent) -> dict[str, float]:
    """Room of the front linings."""
    return {"front_brakes": result.highest_c - result.hottest_c}


def descent_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the panel."""
    tried = [
        facts.once(
            ("descent", speed), partial(descent, with_values(facts, {"conditions.descent_speed": speed}))
        )
        for speed in SPEEDS_M_S
    ]
    best = min(range(len(tried)), key=lambda i: tried[i].hottest_c)

    def at(i: int) -> str:
        return (
            f"at {show(SPEEDS_M_S[i], 'speed', system)} {show(tried[i].hottest_c, 'temperature', system)} in"
            f" gear {tried[i].gear}"
        )

    slow, fast = (tried[i].hottest_c - tried[best].hottest_c > COOLER_K for i in (0, len(tried) - 1))
    slower = (
        f" Slower it rises again, {at(0)}: the engine turns slowly and holds back less, and the brakes get"
        " little cooling air for a long time."
        if slow
        else " Slower still gains nothing."
    )
    out_of_reach = tried[-1].gear > tried[best].gear
    why = ": that low a gear is out of reach, because the engine may not turn so fast" if out_of_reach else ""
    faster = (
        f" Faster, {at(len(tried) - 1)}{why}."
        if fast
        else " Faster makes little difference here, because bends and limits decide."
    )
    return (
        "What counts is the gear. Of five speeds tried on this road the coolest brakes are those"
        f" {at(best)}.{slower}{faster} **Come down at the speed at which a lower gear holds.** A heavier"
        " towed vehicle makes it worse, a hotter day a little."
    )


class DescentDrawing:
    """Front brakes along the road, with the profile below."""

    size_in, frames = (9.0, 3.4), 1
    narrow_in = (4.9, 3.6)

    def build(self, picture: Picture, system: str) -> None:
        """Named parts; the frame follows the temperatures."""
        picture.line("front", 0, 1)
        picture.point("hottest", 0, 1)
        picture.reference("fade", 0)
        picture.reference("profile", 0)
        picture.words("fade name", 0)
        picture.words("profile name", 0)

    def update(self, picture: Picture, result: Descent, system: str) -> None:
        """Move the parts to a result."""
        journey, route = result.leg.journey, result.leg.route
        length = from_si(route.length_m, "distance", system)
        coldest = min(temperatures[0] for temperatures in journey.brake_c)
        ends_c = (
            min(-MARGIN_C, MARGIN_C * math.floor(coldest / MARGIN_C)),
            round_up(1.12 * max(result.hottest_c, result.highest_c)),
        )
        low, top = (from_si(end, "temperature", system) for end in ends_c)
        picture.frame(
            0,
            title="Front brakes along the short pass (way out)",
            x_label=f"distance [{unit_label('distance', system)}]",
            y_label=f"temperature [{unit_label('temperature', system)}]",
            x=(0.0, length),
            y=(low, top),
        )
        # every fourth grid point, 100 m apart: the eye sees no difference and the picture is ready sooner
        picture.move(
            "front",
            [from_si(d, "distance", system) for d in journey.distance_m[::4]],
            [from_si(t[0], "temperature", system) for t in journey.brake_c[::4]],
        )
        picture.move(
            "hottest",
            [from_si(result.where_m, "distance", system)],
            [from_si(result.hottest_c, "temperature", system)],
        )
        fade, room = from_si(result.highest_c, "temperature", system), top - low
        picture.move("fade", [0.0, length], [fade, fade])
        picture.say("fade name", "fade begins", 0.01 * length, fade + 0.045 * room)
        lowest, highest = float(route.elevation_m.min()), route.summit_m
        share = (route.elevation_m[::8] - lowest) / (highest - lowest)
        picture.move(
            "profile",
            [from_si(d, "distance", system) for d in route.distance_m[::8].tolist()],
            low + (0.12 + 0.15 * share) * room,
        )
        picture.say("profile name", "road profile, not to scale", 0.02 * length, low + 0.315 * room)
