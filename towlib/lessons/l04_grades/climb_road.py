"""Lesson 04, the climb along a road: speed, gear and coolant up to the summit, and where the pair must
cool.
"""

from dataclasses import replace
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np

from towlib.draw.figures import Picture, round_up
from towlib.lessons.declare import with_values
from towlib.limits.climbs import cooling_stops
from towlib.limits.legs import drive_leg, powertrain
from towlib.paths import DATA
from towlib.physics.drive.cooling_stops import CoolantPlan
from towlib.physics.drive.journey import Journey
from towlib.physics.drive.powertrain import engine_rpm
from towlib.physics.drive.reference_climb import LENGTH_M, RISE_M, RUN_UP_M, START_ALTITUDE_M
from towlib.rig.facts import Facts
from towlib.rig.model import Rig
from towlib.road.route import Route, load_route
from towlib.units import from_si, show, unit_label

ROADS = {"short steep pass": "short_steep_pass.csv", "long mountain crossing": "long_mountain_crossing.csv"}
REFERENCE = "reference climb of SAE J2807"
REFERENCE_STEPS = 300
PULLING_AWAY_M = 1000.0  # slow full throttle before this is pulling away, not climbing
REDLINE_IN_HAND = 0.97
# not shown, so not computed: the drive is then quicker
NO_BRAKES: dict[str, Any] = {
    "tow_vehicle.brakes.front_heated_mass": None,
    "tow_vehicle.brakes.rear_heated_mass": None,
}


class Climb(NamedTuple):
    """One drive up to the summit."""

    length_m: float
    heights_m: tuple[float, ...]  # along the road, evenly
    journey: Journey
    gears: int  # of the gearbox
    cruise_m_s: float  # as driven: the highest gear allowed may not reach the speed wanted
    capped: bool
    slowest: (
        tuple[float, int] | None
    )  # speed and gear at full throttle; None when the engine is never at its end
    highest_c: float | None  # None: the cooling is not known
    limit_c: float | None
    plan: CoolantPlan | None  # None: cooling or limit is not known


@lru_cache(maxsize=4)
def road_to_summit(road: str) -> Route:
    """A road of the workbook from its start to its highest point, on a grid twice as wide: the panel is ready
    in half the time. The reference climb is one even grade behind a level run-up.
    """
    if road == REFERENCE:
        return _reference_road()
    route = load_route(DATA / "routes" / ROADS[road])
    top = 2 * (int(np.argmax(route.elevation_m)) // 2)
    distance, elevation = route.distance_m[: top + 1 : 2].copy(), route.elevation_m[: top + 1 : 2].copy()
    return replace(
        route,
        distance_m=distance,
        elevation_m=elevation,
        grade=np.diff(elevation) / np.diff(distance),
        speed_limit_m_s=route.speed_limit_m_s[:top:2].copy(),
    )


def _reference_road() -> Route:
    step_m = LENGTH_M / REFERENCE_STEPS
    level = round(RUN_UP_M / step_m)
    grade = np.array([0.0] * level + [RISE_M / LENGTH_M] * REFERENCE_STEPS)
    return Route(
        name=REFERENCE,
        source_file="",
        distance_m=step_m * np.arange(len(grade) + 1),
        elevation_m=START_ALTITUDE_M + step_m * np.concatenate([[0.0], np.cumsum(grade)]),
        grade=grade,
        speed_limit_m_s=np.full(len(grade), np.nan),
    )


def climb(facts: Facts, *, road: str, highest_gear: int) -> Climb:
    """The pair up to the summit, in no gear above the one allowed, and the halts its coolant would need."""
    drawn = tuple(sorted(facts.drawn_values().items()))
    found, used = _climbed(facts.rig, drawn, road, highest_gear)
    facts.note(used)
    if isinstance(found, Climb):
        return found
    raise found


@lru_cache(maxsize=16)
def _climbed(
    rig: Rig, drawn: tuple[tuple[str, Any], ...], road: str, highest_gear: int
) -> tuple[Climb | ValueError, tuple[str, ...]]:
    """The same, once for the same values, or why not; and what it rests on."""
    facts = Facts(rig).with_values(dict(drawn))

    def work() -> Climb | ValueError:
        try:
            return _driven_up(facts, road, highest_gear)
        except ValueError as error:
            return error

    return facts.assumed_in(work)


def _driven_up(facts: Facts, road: str, highest_gear: int) -> Climb:
    facts = with_values(facts, NO_BRAKES)
    ratios = facts.need("tow_vehicle.gearbox.ratios")
    train = powertrain(facts)
    fastest = REDLINE_IN_HAND * train.redline_rpm / engine_rpm(train, 1.0, highest_gear)
    wanted = facts.need("conditions.cruise_speed")
    cruise = min(wanted, fastest)
    facts = with_values(
        facts,
        {"tow_vehicle.gearbox.ratios": tuple(ratios[:highest_gear]), "conditions.cruise_speed": cruise},
    )
    leg = drive_leg(facts, road_to_summit(road), "out")
    journey = leg.journey
    if journey.stopped_at_m is not None:
        raise ValueError(
            f"with this load the pair comes to a stand {journey.stopped_at_m / 1000:.1f} km (about "
            f"{journey.stopped_at_m / 1609.344:.1f} mi) into the road"
        )
    slow = [
        (v, gear)
        for v, gear, full, d in zip(
            journey.speed_m_s, journey.gear, journey.full_throttle, journey.distance_m, strict=True
        )
        if full and d > PULLING_AWAY_M
    ]
    limit = facts.have("tow_vehicle.cooling.highest_coolant")
    cooled = leg.pair.cooling is not None
    return Climb(
        leg.route.length_m,
        tuple(leg.route.elevation_m[::6].tolist()),
        journey,
        len(ratios),
        cruise,
        cruise < wanted - 1e-9,
        min(slow) if slow else None,
        max(journey.coolant_c) if cooled else None,
        limit,
        cooling_stops(facts, leg) if cooled and limit is not None else None,
    )


def climb_words(result: Climb, system: str) -> str:
    """The sentence under the climb."""
    time, fuel = (
        show(result.journey.time_s[-1], "time", system),
        show(result.journey.fuel_m3[-1], "volume", system),
    )
    cap = (
        f" The highest gear allowed ends at {show(result.cruise_m_s, 'speed', system)}."
        if result.capped
        else ""
    )
    pull = "never at full throttle"
    if result.slowest:
        pull = (
            f"slowest at full throttle {show(result.slowest[0], 'speed', system)} in gear {result.slowest[1]}"
        )
    return f"To the summit in {time} with {fuel}; {pull}; {_coolant_words(result, system)}.{cap}"


def climb_rooms(result: Climb) -> dict[str, float]:
    """Room of the coolant, where it is known."""
    if result.limit_c is None or result.highest_c is None:
        return {}
    return {"coolant": result.limit_c - result.highest_c}


def _coolant_words(result: Climb, system: str) -> str:
    if result.highest_c is None:
        return "coolant not known: the rig file does not say what the radiator gives away"
    highest = show(result.highest_c, "temperature", system)
    if result.limit_c is None or result.plan is None:
        return f"coolant to {highest}, its limit not known"
    room = show(abs(result.limit_c - result.highest_c), "temperature_difference", system)
    if result.highest_c <= result.limit_c:
        return f"coolant to {highest}, within by {room}"
    if result.plan.gives_up_at_m is not None:
        return (
            f"coolant over by {room} without halts, and halts do not help: climb slower, lighter or when it"
            " is cooler"
        )
    stops = result.plan.stops
    at = ", ".join(show(stop.at_m, "distance", system) for stop in stops[:4]) + (
        " …" if len(stops) > 4 else ""
    )
    return (
        f"coolant over by {room} without halts; halt before {at} ({len(stops)} in all), engine idling, each"
        f" at least {show(max(stop.time_s for stop in stops), 'time', system, 2)}"
    )


COOL_C, SLOWER, SLOWER_THAN_FULL_THROTTLE = 15.0, 0.7, 0.85
CLOGGED, HARDLY_K = 0.4, 2.0


def climb_seen(facts: Facts, system: str) -> str:
    """What one should have seen on the climb."""
    limit_c = facts.need("tow_vehicle.cooling.highest_coolant")
    radiator_w_k = facts.need("tow_vehicle.cooling.conductance")
    gears = len(facts.need("tow_vehicle.gearbox.ratios"))

    def up(values: dict[str, Any], highest_gear: int = gears) -> Climb:
        return climb(with_values(facts, values), road="short steep pass", highest_gear=highest_gear)

    def goes_to(result: Climb) -> str:
        count = len(result.plan.stops) if result.plan else 0
        if not count:
            halts = "no halt"
        elif count == 1:
            halts = "one halt"
        else:
            halts = f"{count} halts"
        if result.plan and result.plan.gives_up_at_m is not None:
            halts = "halts do not help"
        return f"{show(result.highest_c, 'temperature', system)} ({halts})"

    as_it_is, begin = up({}), "On the short steep pass this pair's coolant goes to"
    keeps_up = (as_it_is.highest_c or limit_c) < facts.need("tow_vehicle.cooling.thermostat") + HARDLY_K
    if keeps_up:
        begin = (
            "On the short steep pass this pair's radiator keeps up: the coolant hardly leaves its"
            f" {show(as_it_is.highest_c, 'temperature', system)}. Were it so clogged with dust that it gave"
            f" away only {show(CLOGGED, 'share')} of its heat, the coolant would go to"
        )
        facts = with_values(facts, {"tow_vehicle.cooling.conductance": CLOGGED * radiator_w_k})
        as_it_is = up({})
    slow_m_s = SLOWER * facts.need("conditions.cruise_speed")
    if as_it_is.slowest:
        slow_m_s = min(slow_m_s, SLOWER_THAN_FULL_THROTTLE * as_it_is.slowest[0])
    slow, cool = up({"conditions.cruise_speed": slow_m_s}), up({"conditions.air_temperature": COOL_C})
    later = show(slow.journey.time_s[-1] - as_it_is.journey.time_s[-1], "time", system, 2)
    lowest = min(as_it_is.journey.gear[len(as_it_is.journey.gear) // 10 :])
    gear_words = ""
    if abs((up({}, lowest + 1).highest_c or 0.0) - (as_it_is.highest_c or 0.0)) < HARDLY_K:
        gear_words = (
            " Forbid all but the low gears and it hardly changes: where it gets hot, the grade had chosen"
            " them anyway."
        )
    return (
        f"{begin} {goes_to(as_it_is)}. At {show(slow_m_s, 'speed', system)} it goes to {goes_to(slow)}"
        f"{'' if keeps_up else f', and the climb takes {later} longer'}; with"
        f" {show(COOL_C, 'temperature', system)} at the start, to {goes_to(cool)}. **Slower, or earlier in"
        f" the day, is what cools**: heat is power, and power is force times speed.{gear_words}"
    )


class ClimbDrawing:
    """Speed over the profile; the gear; the coolant without and with halts."""

    size_in, frames, widths = (10.0, 3.6), 3, (1.15, 0.75, 1.25)
    LOW_C, TOP_C = 80.0, 180.0

    def build(self, picture: Picture, system: str) -> None:
        """Named parts; the frames follow the rig."""
        picture.line("speed", 0, 0)
        picture.line("gear", 1, 2)
        picture.line("coolant", 2, 1)
        picture.line("with halts", 2, 0)
        picture.point("halts", 2, 0)
        picture.reference("profile", 0)
        picture.reference("limit", 2)
        picture.words("profile name", 0)
        picture.words("limit name", 2)
        picture.words("coolant name", 2, style=1, bold=True)
        picture.words("halts name", 2, style=0, bold=True)

    def update(self, picture: Picture, result: Climb, system: str) -> None:
        """Move the parts to a result."""
        journey, x_label = result.journey, "% of the way to the summit"
        every = slice(1, None, 2)
        x = [100.0 * d / result.length_m for d in journey.distance_m[every]]
        speeds = [from_si(v, "speed", system) for v in journey.speed_m_s[every]]
        top = round_up(1.25 * max(speeds))
        picture.frame(
            0,
            title="Speed",
            x_label=x_label,
            y_label=f"speed [{unit_label('speed', system)}]",
            x=(0.0, 100.0),
            y=(0.0, top),
        )
        picture.frame(1, title="Gear", x_label="% of the way", x=(0.0, 100.0), y=(0.5, result.gears + 0.5))
        picture.move("speed", x, speeds)
        picture.move("gear", x, journey.gear[every])
        low, high = min(result.heights_m), max(result.heights_m)
        picture.move(
            "profile",
            [100.0 * i / (len(result.heights_m) - 1) for i in range(len(result.heights_m))],
            [top * (0.02 + 0.2 * (z - low) / (high - low)) for z in result.heights_m],
        )
        picture.say("profile name", "profile, not to scale", 46.0, 0.05 * top)
        self._coolant(picture, result, system, x, journey.coolant_c[every])

    def _coolant(
        self, picture: Picture, result: Climb, system: str, x: list[float], coolant_c: list[float]
    ) -> None:
        """The third frame."""
        known = result.highest_c is not None
        seen_c = [c for c in (result.limit_c, result.highest_c) if c is not None]
        top_c = min(self.TOP_C, 20.0 * round(max([100.0, *seen_c]) / 20.0 + 1.2))
        low_c = self.LOW_C if min([self.LOW_C, *coolant_c] if known else [self.LOW_C]) >= self.LOW_C else 40.0
        bottom, hottest = (from_si(c, "temperature", system) for c in (low_c, top_c))
        picture.frame(
            2,
            title="Coolant",
            x_label="% of the way to the summit",
            y_label=f"temperature [{unit_label('temperature', system)}]",
            x=(0.0, 100.0),
            y=(bottom, hottest),
        )
        stops = result.plan.stops if result.plan else ()
        cooled = (
            [from_si(c, "temperature", system) for c in result.plan.coolant_c[1::2]]
            if stops and result.plan
            else []
        )
        part = 0.045 * (hottest - bottom)
        limit = [] if result.limit_c is None else [from_si(result.limit_c, "temperature", system)] * 2
        picture.move("limit", [0.0, 100.0][: len(limit)], limit)
        named = "limit not known"
        if limit:
            named = "short dashes: the maker's limit"
        picture.say(
            "limit name",
            named if known else "coolant not known",
            1.0,
            hottest - (4.6 if stops else 1.0) * part,
        )
        picture.move(
            "coolant",
            x if known else [],
            [min(from_si(c, "temperature", system), hottest) for c in coolant_c] if known else [],
        )
        picture.move("with halts", x[: len(cooled)], cooled)
        picture.move(
            "halts",
            [100.0 * stop.at_m / result.length_m for stop in stops],
            [from_si(stop.from_c, "temperature", system) for stop in stops],
        )
        picture.say("coolant name", "long dashes: without halts" if stops else "", 1.0, hottest - part)
        picture.say("halts name", "solid: with halts (circles)" if stops else "", 1.0, hottest - 2.8 * part)
