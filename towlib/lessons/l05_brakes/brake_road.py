"""Lesson 05, temperatures of the brakes along the way down an invented pass."""

import math
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from towlib.draw.figures import Picture
from towlib.lessons.declare import with_values
from towlib.lessons.l05_brakes.descent_budget import (
    boiling_points_c,
    braked_pair,
    calm_rpm,
    fluid_side,
    lowest_calm_gear,
    spaced,
)
from towlib.limits.legs import Leg, drive_as, drive_leg
from towlib.paths import DATA
from towlib.physics.basics.atmosphere import air_temperature_along_c
from towlib.physics.brakes.brake_fluid import FluidSide, fluid_along_c
from towlib.physics.drive.journey import Journey, Pair
from towlib.physics.drive.powertrain import engine_rpm
from towlib.rig.facts import Facts, NotKnown
from towlib.road.route import Route, load_route
from towlib.units import from_si, show, unit_label


class AlongTheRoad(NamedTuple):
    """What the third panel shows."""

    journey: Journey
    fluid_c: list[float]
    hottest_c: tuple[float, ...]  # front, rear, towed; nan where not known or not fitted
    where_m: float  # of the hottest front
    gear: int  # held longest on downgrades
    fade_c: float  # of the front linings
    fluid: str
    towed_fitted: bool
    place_m: float


@lru_cache(maxsize=1)
def pass_down() -> tuple[Route, float]:
    """The short pass from where its last climb ends, and the height at which its road begins, where the air
    is as the rig says. Cut there it has the same stretches as the whole road.
    """
    whole = load_route(DATA / "routes" / "short_steep_pass.csv")
    top = round(max(each.end_m for each in whole.segments() if each.mean_grade > 0) / whole.step_m)
    down = replace(
        whole,
        name=f"{whole.name}, from the top down",
        distance_m=whole.distance_m[top:] - whole.distance_m[top],
        elevation_m=whole.elevation_m[top:].copy(),
        grade=whole.grade[top:].copy(),
        speed_limit_m_s=whole.speed_limit_m_s[top:].copy(),
    )
    return down, float(whole.elevation_m[0])


@dataclass(frozen=True)
class _Asked:
    """A drive down; drives with the same figures are the same drive."""

    pair: Pair
    speeds_m_s: tuple[float, float]
    air_c: float
    gear: int
    side: FluidSide
    facts: Facts = field(compare=False, repr=False)


@lru_cache(maxsize=16)
def _driven(asked: _Asked) -> tuple[Leg, Journey, list[float]]:
    """The leg as the plan drives it, the journey in the gear asked for, and the front fluid."""
    route, start_m = pass_down()
    top_c = float(air_temperature_along_c(asked.air_c, start_m, np.array([route.elevation_m[0]]))[0])
    leg = drive_leg(with_values(asked.facts, {"conditions.air_temperature": top_c}), route, "out")
    journey = leg.journey
    if asked.gear:
        held = [asked.gear if gear else 0 for gear in leg.descent_gear]
        journey = drive_as(leg.pair, route, leg.air_c, leg.air_density_kg_m3, leg.target_m_s, held)
    front = [t[0] for t in journey.brake_c]
    fluid = fluid_along_c(
        journey.time_s, front, air_c=leg.air_c[: len(front)], start_c=leg.air_c[0], side=asked.side
    )
    return leg, journey, fluid


def along_the_road(facts: Facts, *, gear: int, place_m: float) -> AlongTheRoad:
    """From the top of the invented short pass to its foot, from standing, brakes as cold as the air; in
    one gear on all downgrades, or 0 as the plan chooses.
    """
    pair, need = braked_pair(facts), facts.need
    speeds = need("conditions.cruise_speed"), need("conditions.descent_speed")
    leg, journey, fluid = _driven(
        _Asked(pair, speeds, need("conditions.air_temperature"), gear, fluid_side(facts), facts)
    )
    if journey.stopped_at_m is not None:
        raise NotKnown("the pair does not get through on this road")
    gears = [held for held in leg.descent_gear if held]
    if gear:
        fastest = max(v for v, held in zip(journey.speed_m_s, leg.descent_gear, strict=True) if held)
        if engine_rpm(pair.train, fastest, gear) > 1.001 * calm_rpm(pair.train):
            raise ValueError(
                f"gear {gear} would turn the engine past 80 % of its redline on this road; take a higher gear"
                " or go slower"
            )
    hottest = tuple(max(column) for column in zip(*journey.brake_c, strict=True))
    front = [t[0] for t in journey.brake_c]
    return AlongTheRoad(
        journey,
        fluid,
        hottest,
        journey.distance_m[front.index(hottest[0])],
        gear or max(set(gears), key=gears.count),
        need("tow_vehicle.brakes.highest_front"),
        need("tow_vehicle.brakes.fluid"),
        pair.brake_shares[2] > 0,
        place_m,
    )


def along_the_road_words(result: AlongTheRoad, system: str) -> str:
    """The sentence under the third panel."""
    front, rear, towed = result.hottest_c
    own = f", the towed vehicle's {show(towed, 'temperature', system)}" if result.towed_fitted else ""
    room = show(abs(result.fade_c - front), "temperature_difference", system)
    i = min(range(len(result.fluid_c)), key=lambda k: abs(result.journey.distance_m[k] - result.place_m))
    return (
        f"In gear {result.gear} on most downgrades: the front brakes reach"
        f" {show(front, 'temperature', system)} {show(result.where_m, 'distance', system)} after the top,"
        f" {'within' if front <= result.fade_c else 'over'} by {room} against their fade temperature; the"
        f" rear {show(rear, 'temperature', system)}{own}; the front fluid about"
        f" {show(max(result.fluid_c), 'temperature', system)}, an estimate. After"
        f" {show(result.place_m, 'distance', system)}: {show(result.journey.speed_m_s[i], 'speed', system)},"
        f" front {show(result.journey.brake_c[i][0], 'temperature', system)}."
    )


def along_the_road_rooms(result: AlongTheRoad) -> dict[str, float]:
    """Room of the front linings."""
    return {"front_brakes": result.fade_c - result.hottest_c[0]}


def road_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the third panel."""
    slow = with_values(facts, {"conditions.descent_speed": 40 / 3.6})
    train = braked_pair(slow).train
    low, high = lowest_calm_gear(train, 40 / 3.6), len(train.gear_ratios)

    def front(facts: Facts, gear: int) -> str:
        return show(along_the_road(facts, gear=gear, place_m=0.0).hottest_c[0], "temperature", system)

    helped = with_values(slow, {"towed_vehicle.working_brake_share": 0.3})
    return (
        f"Coming down at {show(40 / 3.6, 'speed', system, 2)}, the front brakes reach {front(slow, high)} in"
        f" gear {high}, {front(slow, (low + high) // 2)} in gear {(low + high) // 2} and {front(slow, low)}"
        f" in gear {low}, the lowest the engine may turn in. Brakes on the towed vehicle that did 30 % of the"
        f" braking would bring gear {high} down to {front(helped, high)}: a help, not a cure. **The gear"
        " decides how hot the brakes get.** The fluid follows slowly, and is still warming when the discs"
        " cool already."
    )


class AlongTheRoadDrawing:
    """Brakes and fluid along the way down, over the road's profile."""

    size_in, frames = (9.5, 4.0), 1
    narrow_in = (4.9, 4.0)
    HIGHEST_C, WARM_C = 700.0, 400.0
    RULERS = ("fade", "boils")
    SERIES = (("front brakes", 1), ("rear brakes", 2), ("towed brakes", 3), ("front fluid", 0))

    def build(self, picture: Picture, system: str) -> None:
        """Named parts; what is hotter than the frame is cut off."""
        for name in self.RULERS:
            picture.reference(name, 0)
            picture.words(f"{name} name", 0)
        for name, style in self.SERIES:
            picture.line(name, 0, style)
            picture.words(f"{name} name", 0, style=style, bold=True)
        picture.reference("profile", 0)
        picture.words("profile name", 0)
        picture.reference("place", 0)
        picture.point("front here", 0, 1)
        picture.point("fluid here", 0, 0)

    def update(self, picture: Picture, result: AlongTheRoad, system: str) -> None:
        """Move the parts to a result."""
        x = [0.0, *(from_si(d, "distance", system) for d in result.journey.distance_m[::4])]
        hottest = max(result.hottest_c[0], result.fade_c, boiling_points_c()[result.fluid])
        top_c = self.WARM_C if hottest < 0.9 * self.WARM_C else self.HIGHEST_C
        top = from_si(top_c, "temperature", system)
        length = from_si(pass_down()[0].length_m, "distance", system)
        picture.frame(
            0,
            title="Down from the top of the short pass",
            x_label=f"distance [{unit_label('distance', system)}]",
            y_label=f"temperature [{unit_label('temperature', system)}]",
            x=(0.0, (1.55 if picture.narrow else 1.3) * length),
            y=(0.0, top),
        )
        columns = [*zip(*result.journey.brake_c[::4], strict=True), result.fluid_c[::4]]
        called = {"fade": "front linings fade", "boils": f"{result.fluid} boils"}
        ends = []
        for name, limit_c in (("fade", result.fade_c), ("boils", boiling_points_c()[result.fluid])):
            limit = min(from_si(limit_c, "temperature", system), top)
            picture.move(name, [0.0, x[-1]], [limit, limit])
            ends.append((limit, name))
        for (name, _), column in zip(self.SERIES, columns, strict=True):
            known = not math.isnan(column[0])
            y = [min(from_si(t, "temperature", system), top) for t in (column[0], *column)] if known else []
            picture.move(name, x if known else [], y)
            if known:
                ends.append((y[-1], name))
            picture.say(f"{name} name", "", x[-1], 0.0)
        for y_name, name in spaced(sorted(ends), 0.07 * top, low=0.12 * top, high=0.97 * top):
            picture.say(f"{name} name", f" {called.get(name, name)}", x[-1], y_name)
        z = pass_down()[0].elevation_m[::4]
        low, high = float(z.min()), float(z.max())
        step = from_si(4.0 * pass_down()[0].step_m, "distance", system)
        heights = [top * (0.02 + 0.12 * (float(v) - low) / (high - low)) for v in z]
        picture.move("profile", [step * i for i in range(len(heights))], heights)
        picture.say("profile name", " profile, not to scale", x[-1], 0.035 * top)
        here = from_si(result.place_m, "distance", system)
        i = min(range(len(result.fluid_c)), key=lambda k: abs(result.journey.distance_m[k] - result.place_m))
        picture.move("place", [here, here], [0.0, top])
        for name, t in (
            ("front here", result.journey.brake_c[i][0]),
            ("fluid here", result.fluid_c[i]),
        ):
            picture.move(name, [here], [min(from_si(t, "temperature", system), top)])
