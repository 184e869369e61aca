"""Lesson 04, the climb along a road: speed, gear and coolant of the invented wagon up to the summit, and
where it must cool.
"""

from dataclasses import replace
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from towlib.draw.figures import Picture
from towlib.limits.legs import drive_leg, pair_on_road
from towlib.limits.loads import towed_total_kg
from towlib.paths import DATA
from towlib.physics.drive.cooling_stops import CoolantPlan, plan_cooling_stops
from towlib.physics.drive.journey import Journey
from towlib.physics.drive.powertrain import Powertrain, engine_rpm
from towlib.physics.drive.reference_climb import reference_climb
from towlib.rig.facts import Facts
from towlib.rig.model import Rig, load_rig
from towlib.road.route import Route, load_route
from towlib.units import from_si, show, unit_label

ROADS = {"short steep pass": "short_steep_pass.csv", "long mountain crossing": "long_mountain_crossing.csv"}
REFERENCE_STEPS = 360
RESTART_C = 95.0  # common practice, no source: go on when the gauge is back at normal
PULLING_AWAY_M = 1000.0  # slow full throttle before this is pulling away, not climbing
REDLINE_IN_HAND = 0.97


class Climb(NamedTuple):
    """One drive up to the summit."""

    length_m: float
    heights_m: tuple[float, ...]  # along the road, evenly
    journey: Journey
    cruise_m_s: float  # as driven: the highest gear allowed may not reach the speed wanted
    capped: bool
    slowest: (
        tuple[float, int] | None
    )  # speed and gear at full throttle; None when the engine is never at its end
    full_share: float
    highest_c: float
    limit_c: float
    plan: CoolantPlan


@lru_cache(maxsize=1)
def wagon() -> Rig:
    """The invented wagon that is asked too much."""
    return load_rig(DATA / "rigs" / "demo_overloaded.toml")


@lru_cache(maxsize=1)
def _wagons_train_and_rest_kg() -> tuple[Powertrain, float]:
    facts = Facts(wagon())
    return pair_on_road(facts, "out").train, towed_total_kg(facts, "out") - facts.need(
        "towed_vehicle.front_axle_empty"
    )


@lru_cache(maxsize=4)
def road_to_summit(road: str) -> Route:
    """A demo road from its start to its highest point, on a grid twice as wide: the panel is ready in half
    the time.
    """
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


def climb(
    *, road: str, highest_gear: int, cruise_m_s: float, air_temperature_c: float, towed_kg: float
) -> Climb:
    """The invented wagon up to the summit, in no gear above the one allowed, and the halts its coolant would
    need.
    """
    train, rest_kg = _wagons_train_and_rest_kg()
    fastest = REDLINE_IN_HAND * train.redline_rpm / engine_rpm(train, 1.0, highest_gear)
    cruise = min(cruise_m_s, fastest)
    rig = wagon()
    gearbox = rig.tow_vehicle.gearbox.model_copy(update={"ratios": train.gear_ratios[:highest_gear]})
    brakes = rig.tow_vehicle.brakes.model_copy(
        update={"front_heated_mass": None, "rear_heated_mass": None}
    )  # not shown, not computed
    rig = rig.model_copy(
        update={
            "tow_vehicle": rig.tow_vehicle.model_copy(update={"gearbox": gearbox, "brakes": brakes}),
            "towed_vehicle": rig.towed_vehicle.model_copy(update={"front_axle_empty": towed_kg - rest_kg}),
            "conditions": rig.conditions.model_copy(
                update={"cruise_speed": cruise, "air_temperature": air_temperature_c}
            ),
        }
    )
    facts = Facts(rig)
    if road in ROADS:
        leg = drive_leg(facts, road_to_summit(road), "out")
        pair, journey, step_m, air, density = (
            leg.pair,
            leg.journey,
            leg.route.step_m,
            leg.air_c,
            leg.air_density_kg_m3,
        )
        length, heights = leg.route.length_m, tuple(leg.route.elevation_m[::6].tolist())
    else:
        pair = pair_on_road(facts, "out")
        made = reference_climb(pair, cruise_m_s=cruise, start_c=air_temperature_c, steps=REFERENCE_STEPS)
        journey, step_m, air, density = made.journey, made.step_m, made.air_c, made.air_density_kg_m3
        length, heights = step_m * len(made.heights_m), tuple(made.heights_m[::8])
    if journey.stopped_at_m is not None:
        raise ValueError(
            f"with this mass the wagon comes to a stand {journey.stopped_at_m / 1000:.1f} km (about "
            f"{journey.stopped_at_m / 1609.344:.1f} mi) into the road"
        )
    slow = [
        (v, gear)
        for v, gear, full, d in zip(
            journey.speed_m_s, journey.gear, journey.full_throttle, journey.distance_m, strict=True
        )
        if full and d > PULLING_AWAY_M
    ]
    limit = rig.tow_vehicle.cooling.highest_coolant
    plan = plan_cooling_stops(
        pair,
        journey,
        step_m=step_m,
        highest_c=limit,
        restart_c=RESTART_C,
        start_c=pair.cooling.thermostat_c,
        air_c=air,
        air_density_kg_m3=density,
    )
    return Climb(
        length,
        heights,
        journey,
        cruise,
        cruise < cruise_m_s - 1e-9,
        min(slow) if slow else None,
        sum(journey.full_throttle) / len(journey.full_throttle),
        max(journey.coolant_c),
        limit,
        plan,
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
    room = show(abs(result.limit_c - result.highest_c), "temperature_difference", system)
    if result.highest_c <= result.limit_c:
        cool = f"coolant to {show(result.highest_c, 'temperature', system)}, within by {room}"
    elif result.plan.gives_up_at_m is not None:
        cool = (
            f"coolant over by {room} without halts, and halts do not help: climb slower, lighter or when it"
            " is cooler"
        )
    else:
        stops = result.plan.stops
        at = ", ".join(show(stop.at_m, "distance", system) for stop in stops[:4]) + (
            " …" if len(stops) > 4 else ""
        )
        cool = (
            f"coolant over by {room} without halts; halt before {at} ({len(stops)} in all), engine idling,"
            f" each at least {show(max(stop.time_s for stop in stops), 'time', system, 2)}"
        )
    return f"To the summit in {time} with {fuel}; {pull}; {cool}.{cap}"


class ClimbDrawing:
    """Speed over the profile; the gear; the coolant without and with halts."""

    size_in, frames, widths = (10.0, 3.6), 3, (1.15, 0.75, 1.25)
    TOP_M_S, LOW_C, TOP_C = 115 / 3.6, 80.0, 180.0

    def build(self, picture: Picture, system: str) -> None:
        """Frames and named parts."""
        self._frame(picture, system)
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

    def _frame(self, picture: Picture, system: str) -> None:
        x_label = "% of the way to the summit"
        picture.frame(
            0,
            title="Speed",
            x_label=x_label,
            y_label=f"speed [{unit_label('speed', system)}]",
            x=(0.0, 100.0),
            y=(0.0, from_si(self.TOP_M_S, "speed", system)),
        )
        picture.frame(1, title="Gear", x_label="% of the way", x=(0.0, 100.0), y=(0.5, 6.5))
        picture.frame(
            2,
            title="Coolant",
            x_label=x_label,
            y_label=f"temperature [{unit_label('temperature', system)}]",
            x=(0.0, 100.0),
            y=(from_si(self.LOW_C, "temperature", system), from_si(self.TOP_C, "temperature", system)),
        )

    def update(self, picture: Picture, result: Climb, system: str) -> None:
        """Move the parts to a result."""
        journey, top = result.journey, from_si(self.TOP_M_S, "speed", system)
        every = slice(1, None, 2)
        x = [100.0 * d / result.length_m for d in journey.distance_m[every]]
        picture.move("speed", x, [from_si(v, "speed", system) for v in journey.speed_m_s[every]])
        picture.move("gear", x, journey.gear[every])
        low, high = min(result.heights_m), max(result.heights_m)
        picture.move(
            "profile",
            [100.0 * i / (len(result.heights_m) - 1) for i in range(len(result.heights_m))],
            [top * (0.02 + 0.2 * (z - low) / (high - low)) for z in result.heights_m],
        )
        picture.say("profile name", "profile, not to scale", 46.0, 0.05 * top)
        plan = result.plan
        limit, hottest = (
            from_si(result.limit_c, "temperature", system),
            from_si(self.TOP_C, "temperature", system),
        )
        part = 0.045 * (hottest - from_si(self.LOW_C, "temperature", system))
        picture.move("limit", [0.0, 100.0], [limit, limit])
        picture.say(
            "limit name",
            "short dashes: maker's limit (invented)",
            1.0,
            hottest - (4.6 if plan.stops else 1.0) * part,
        )
        picture.move(
            "coolant", x, [min(from_si(c, "temperature", system), hottest) for c in journey.coolant_c[every]]
        )
        helped = bool(plan.stops)
        picture.move(
            "with halts",
            x[: len(plan.coolant_c[every])] if helped else [],
            [from_si(c, "temperature", system) for c in plan.coolant_c[every]] if helped else [],
        )
        picture.move(
            "halts",
            [100.0 * stop.at_m / result.length_m for stop in plan.stops],
            [from_si(stop.from_c, "temperature", system) for stop in plan.stops],
        )
        picture.say("coolant name", "long dashes: without halts" if helped else "", 1.0, hottest - part)
        picture.say("halts name", "solid: with halts (circles)" if helped else "", 1.0, hottest - 2.8 * part)
