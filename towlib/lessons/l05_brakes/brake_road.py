"""Lesson 05, temperatures of the demo wagon's brakes along the way down an invented pass."""

import math
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from towlib.draw.figures import Picture
from towlib.lessons.l05_brakes.descent_budget import FADE_INDEX_C, boiling_points_c, pair_with, spaced
from towlib.limits.legs import DESCENT_SHARE_OF_REDLINE, DOWNGRADE
from towlib.paths import DATA
from towlib.physics.basics.atmosphere import air_density_kg_m3, air_temperature_along_c
from towlib.physics.brakes.brake_fluid import fluid_along_c
from towlib.physics.drive.descent import descent_gear
from towlib.physics.drive.journey import Journey, allowed_speeds_m_s, drive
from towlib.road.route import load_route
from towlib.units import from_si, show, unit_label

GEAR_AS_CHOSEN = "as the plan chooses"


class AlongTheRoad(NamedTuple):
    """What the third panel shows."""

    journey: Journey
    fluid_c: list[float]
    hottest: tuple[float, ...]  # front, rear, towed; nan where not fitted
    where_m: float  # of the hottest front
    gear: int


class _Descent(NamedTuple):
    """The short pass from its summit down, in steps of 50 m."""

    step_m: float
    elevation_m: list[float]
    grade: list[float]
    limit_m_s: list[float]
    stretches: list[
        tuple[int, int, float, float]
    ]  # first and last step, mean grade and speed limit of each downgrade
    start_of_road_m: float


@lru_cache(maxsize=1)
def demo_descent() -> _Descent:
    """The short pass from its summit down; steps of two grid intervals, which change no temperature by 0.5
    K.
    """
    route = load_route(DATA / "routes" / "short_steep_pass.csv")
    summit = int(route.elevation_m.argmax())
    summit += (len(route.grade) - summit) % 2
    step_m, z = 2.0 * route.step_m, route.elevation_m[summit::2]
    limit = [
        80 / 3.6 if math.isnan(v) else min(80 / 3.6, v) for v in route.speed_limit_m_s[summit::2].tolist()
    ]
    found = [
        (
            round((s.start_m - route.distance_m[summit]) / step_m),
            round((s.end_m - route.distance_m[summit]) / step_m),
            s.mean_grade,
            80 / 3.6 if math.isnan(s.speed_limit_m_s) else s.speed_limit_m_s,
        )
        for s in route.segments()
    ]
    return _Descent(
        step_m,
        z.tolist(),
        ((z[1:] - z[:-1]) / step_m).tolist(),
        limit,
        [(max(0, a), b, g, v) for a, b, g, v in found if b > 0 and g <= DOWNGRADE],
        float(route.elevation_m[0]),
    )


def _air(air_temperature_c: float) -> tuple[list[float], list[float]]:
    z = np.array(demo_descent().elevation_m)
    middle = 0.5 * (z[:-1] + z[1:])
    air = air_temperature_along_c(air_temperature_c, demo_descent().start_of_road_m, middle)
    return air.tolist(), air_density_kg_m3(middle, air).tolist()


def along_the_road(
    *, descent_speed_m_s: float, gear: str, air_temperature_c: float, towed_kg: float, towed_brakes: bool
) -> AlongTheRoad:
    """From the summit of the invented short pass to its foot, from standing, brakes at the temperature of the
    air.
    """
    pair = pair_with(towed_kg, towed_brakes=towed_brakes)
    road = demo_descent()
    air, density = _air(air_temperature_c)
    wanted, gears = list(road.limit_m_s), [0] * len(road.grade)
    most_rpm = DESCENT_SHARE_OF_REDLINE * pair.train.redline_rpm
    for first, last, mean, fastest in road.stretches:
        speed = min(fastest, descent_speed_m_s)
        held = (
            int(gear)
            if gear != GEAR_AS_CHOSEN
            else descent_gear(
                pair, mean, speed_m_s=speed, air_density_kg_m3=density[first], highest_rpm=most_rpm
            )[0]
        )
        for i in range(first, last):
            wanted[i], gears[i] = min(wanted[i], speed), held
    journey = drive(
        pair,
        step_m=road.step_m,
        grade=road.grade,
        target_m_s=allowed_speeds_m_s(wanted, step_m=road.step_m),
        descent_gear=gears,
        air_c=air,
        air_density_kg_m3=density,
        brake_start_c=(air[0],) * 3,
        coolant_start_c=90.0,
    )
    if gear != GEAR_AS_CHOSEN and any(
        held and rpm > most_rpm * 1.001 for held, rpm in zip(gears, journey.rpm, strict=True)
    ):
        raise ValueError(
            f"gear {gear} would turn the engine past 80 % of its redline on this road; take a higher gear or"
            " go slower"
        )
    hottest = tuple(max(column) for column in zip(*journey.brake_c, strict=True))
    front = [t[0] for t in journey.brake_c]
    fluid = fluid_along_c(journey.time_s, front, air_c=air, start_c=air[0])
    return AlongTheRoad(
        journey,
        fluid,
        hottest,
        journey.distance_m[front.index(hottest[0])],
        max(set(gears) - {0}, key=gears.count),
    )


def along_the_road_words(result: AlongTheRoad, system: str) -> str:
    """The sentence under the third panel."""
    front, rear, towed = result.hottest
    own = f", the towed vehicle's {show(towed, 'temperature', system)}" if not math.isnan(towed) else ""
    room = show(abs(FADE_INDEX_C - front), "temperature_difference", system)
    return (
        f"Mostly in gear {result.gear}: the front brakes reach {show(front, 'temperature', system)}"
        f" {show(result.where_m, 'distance', system)} below the summit,"
        f" {'within' if front <= FADE_INDEX_C else 'over'} by {room} against the fade index; the rear"
        f" {show(rear, 'temperature', system)}{own}; the front fluid about"
        f" {show(max(result.fluid_c), 'temperature', system)}, an estimate."
    )


class AlongTheRoadDrawing:
    """Brakes and fluid along the way down, over the road's profile."""

    size_in, frames = (9.5, 3.9), 1
    HIGHEST_C = 700.0
    RULERS = ("fade index (brakes)", "DOT 4 wet boils (fluid)")
    SERIES = (("front brakes", 1), ("rear brakes", 2), ("towed brakes", 3), ("front fluid, estimate", 0))

    def build(self, picture: Picture, system: str) -> None:
        """Frame and named parts."""
        length = from_si(demo_descent().step_m * len(demo_descent().grade), "distance", system)
        picture.frame(
            0,
            title="Down from the summit of the short pass",
            x_label=f"distance [{unit_label('distance', system)}]",
            y_label=f"temperature [{unit_label('temperature', system)}]",
            x=(0.0, 1.3 * length),
            y=(0.0, from_si(self.HIGHEST_C, "temperature", system)),
        )
        for name in self.RULERS:
            picture.reference(name, 0)
            picture.words(f"{name} name", 0)
        for name, style in self.SERIES:
            picture.line(name, 0, style)
            picture.words(f"{name} name", 0, style=style, bold=True)
        picture.reference("profile", 0)
        picture.words("profile name", 0)

    def update(self, picture: Picture, result: AlongTheRoad, system: str) -> None:
        """Move the parts to a result."""
        x = [from_si(d, "distance", system) for d in result.journey.distance_m[::2]]
        top = from_si(self.HIGHEST_C, "temperature", system)
        columns = [*zip(*result.journey.brake_c[::2], strict=True), result.fluid_c[::2]]
        ends = []
        for name, limit_c in zip(self.RULERS, (FADE_INDEX_C, boiling_points_c()["DOT 4 wet"]), strict=True):
            limit = from_si(limit_c, "temperature", system)
            picture.move(name, [0.0, x[-1]], [limit, limit])
            ends.append((limit, name))
        for (name, _), column in zip(self.SERIES, columns, strict=True):
            fitted = not math.isnan(column[0])
            picture.move(
                name,
                x if fitted else [],
                [min(from_si(t, "temperature", system), top) for t in column] if fitted else [],
            )
            if fitted:
                ends.append((min(from_si(column[-1], "temperature", system), top), name))
            picture.say(f"{name} name", "", x[-1], 0.0)
        for y, name in spaced(sorted(ends), 0.07 * top, low=0.11 * top, high=0.97 * top):
            picture.say(f"{name} name", f" {name}", x[-1], y)
        z, step = demo_descent().elevation_m[::4], from_si(4.0 * demo_descent().step_m, "distance", system)
        low, high = min(z), max(z)
        picture.move(
            "profile",
            [step * i for i in range(len(z))],
            [top * (0.02 + 0.12 * (v - low) / (high - low)) for v in z],
        )
        picture.say("profile name", " profile, not to scale", x[-1], 0.035 * top)
