"""Lesson 05, gear against speed: how hot the brakes of the pair get on one long even downgrade, all
combinations at once.
"""

from functools import lru_cache
from typing import NamedTuple

import numpy as np

from towlib.draw.figures import Picture
from towlib.lessons.l05_brakes.descent_budget import (
    AIR_DENSITY_KG_M3,
    MOST_GEARS,
    boiling_points_c,
    braked_pair,
    calm_rpm,
    fluid_side,
    front_brakes,
)
from towlib.physics.brakes.brake_fluid import FluidSide, heat_soak
from towlib.physics.brakes.brake_heat import AxleBrakes
from towlib.physics.drive.descent_map import DescentMap, descent_map
from towlib.rig.facts import Facts
from towlib.units import ends_from_si, from_si, show, unit_label

STEPS = 25
SLOWEST_M_S, FASTEST_M_S, SPEEDS = 15.0 / 3.6, 75.0 / 3.6, 31
HOTTEST_SHADE_C = 600.0
NODE_K = 50.0  # between the nodes of the fluid's table
FADE_PATHS = {  # by the plan's limit
    "front_brakes": "tow_vehicle.brakes.highest_front",
    "rear_brakes": "tow_vehicle.brakes.highest_rear",
    "towed_brakes": "towed_vehicle.highest_brake",
}


@lru_cache(maxsize=32)
def _soak_table(front: AxleBrakes, side: FluidSide, air_c: float, discs: int, fluids: int) -> np.ndarray:
    """Highest fluid temperature after stopping, over so many discs and fluids, 0, 50, 100 … °C hot then."""
    return np.array(
        [
            [
                heat_soak(
                    front, NODE_K * d, fluid_c=NODE_K * f, air_c=air_c, side=side, step_s=120.0
                ).highest_fluid_c
                for f in range(fluids)
            ]
            for d in range(discs)
        ]
    )


def highest_fluid_after_stop_c(
    disc_c: np.ndarray, fluid_c: np.ndarray, *, front: AxleBrakes, side: FluidSide, air_c: float
) -> np.ndarray:
    """Estimate of the highest fluid temperature after stopping, read off a table with straight lines
    between.
    """
    nodes = [2 + int(np.max(value) / NODE_K) for value in (disc_c, fluid_c)]
    table = _soak_table(front, side, air_c, *nodes)
    i, j = (
        np.clip(value / NODE_K, 0.0, count - 1.001)
        for value, count in zip((disc_c, fluid_c), nodes, strict=True)
    )
    a, b = i.astype(int), j.astype(int)
    u, v = i - a, j - b
    return (1 - u) * ((1 - v) * table[a, b] + v * table[a, b + 1]) + u * (
        (1 - v) * table[a + 1, b] + v * table[a + 1, b + 1]
    )


class GearSpeedMap(NamedTuple):
    """What the panel shows."""

    found: DescentMap
    driven: np.ndarray  # where the gear may be driven at that speed
    over: np.ndarray  # where some brakes are hotter than their linings stand
    fluid_c: np.ndarray  # after stopping at the foot
    coolest: (
        tuple[int, int] | None
    )  # gear index and speed index: the slowest of those within a degree of the coolest
    fluid: str
    boils_c: float
    front_fade_c: float
    room_k: dict[str, tuple[float, ...]]  # of each axle's linings, wherever a gear may be driven


def gear_speed_map(facts: Facts, *, length_m: float, downgrade: float) -> GearSpeedMap:
    """Every gear against every speed on an even downgrade."""
    pair, side, air_c = braked_pair(facts), fluid_side(facts), facts.need("conditions.air_temperature")
    found = descent_map(
        pair,
        np.linspace(SLOWEST_M_S, FASTEST_M_S, SPEEDS).tolist(),
        grade=[-downgrade] * STEPS,
        step_m=length_m / STEPS,
        held=[True] * STEPS,
        limit_m_s=[FASTEST_M_S] * STEPS,
        air_c=[air_c] * STEPS,
        air_density_kg_m3=[AIR_DENSITY_KG_M3] * STEPS,
        brake_start_c=air_c,
        highest_rpm=calm_rpm(pair.train),
        fluid=side,
    )
    driven = ~np.isnan(found.hottest_c)
    soaked = highest_fluid_after_stop_c(
        np.nan_to_num(found.end_c[0]),
        np.nan_to_num(found.fluid_c),
        front=front_brakes(pair),
        side=side,
        air_c=air_c,
    )
    over, room_k = np.zeros(driven.shape, bool), {}
    for axle, (name, path) in enumerate(FADE_PATHS.items()):  # on an even downgrade hottest at the foot
        if pair.brakes[axle] is not None:
            left_k = facts.need(path) - np.nan_to_num(found.end_c[axle])
            over |= left_k < 0.0
            room_k[name] = tuple(left_k[driven].tolist())
    coolest = None
    if driven.any():
        near = np.nan_to_num(found.hottest_c, nan=1e9) <= np.nanmin(found.hottest_c) + 1.0
        gear, speed = min(np.argwhere(near).tolist(), key=lambda cell: cell[1])
        coolest = (gear, speed)
    fluid = facts.need("tow_vehicle.brakes.fluid")
    return GearSpeedMap(
        found,
        driven,
        over,
        np.where(driven, soaked, 0.0),
        coolest,
        fluid,
        boiling_points_c()[fluid],
        facts.need(FADE_PATHS["front_brakes"]),
        room_k,
    )


def gear_speed_map_words(result: GearSpeedMap, system: str) -> str:
    """The sentence under the panel."""
    if result.coolest is None:
        return "The engine would turn too fast in every gear at every speed here."
    gear, speed = result.coolest
    speeds, under = result.found.speed_m_s, result.driven & ~result.over
    wet = int((result.fluid_c[result.driven] > result.boils_c).sum())
    rows = [(row + 1, cells) for row, cells in enumerate(under) if cells.any()]
    ranges = [
        f"gear {row} at {from_si(speeds[cells].min(), 'speed', system):.0f} to"
        f" {show(speeds[cells].max(), 'speed', system, 2)}"
        for row, cells in rows[:3]
    ]
    more = f" and some of {len(rows) - 3} higher gears" if len(rows) > 3 else ""
    stays = (
        "Brakes stay within their fade temperature (front"
        f" {show(result.front_fade_c, 'temperature', system)}) in {', '.join(ranges)}{more}"
        if ranges
        else (
            "No gear and speed keeps the brakes within their fade temperature (front"
            f" {show(result.front_fade_c, 'temperature', system)})"
        )
    )
    return (
        f"{stays}; coolest, {show(result.found.hottest_c[gear, speed], 'temperature', system)}, in gear"
        f" {gear + 1} at {show(speeds[speed], 'speed', system, 2)}. After a stop at the foot {result.fluid}"
        f" fluid would boil in {wet} of {int(result.driven.sum())} combinations, an estimate."
    )


def gear_speed_map_rooms(result: GearSpeedMap) -> dict[str, tuple[float, ...]]:
    """Room of each axle's linings in each gear at each speed."""
    return result.room_k


def map_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the fourth panel."""

    def kept(length_m: float, downgrade: float) -> int:
        found = gear_speed_map(facts, length_m=length_m, downgrade=downgrade)
        return int((found.driven & ~found.over).sum())

    usual = gear_speed_map(facts, length_m=8000.0, downgrade=0.07)
    rows = [row[~np.isnan(row)] for row in usual.found.hottest_c]
    slow_hotter = sum(bool(len(row) and row[0] > row[-1] + 1.0) for row in rows)
    slower = (
        f"Go along the rows: in {slow_hotter} of {len(rows)} gears the slow end is hotter than the fast end,"
        " so **slower in the same gear is not always cooler**"
        if slow_hotter
        else "Go along the rows: here no gear is hotter at its slow end, and **the gear matters most**"
    )
    return (
        f"On {show(8000.0, 'distance', system, 2)} of 7 % the engine allows {int(usual.driven.sum())} squares"
        f" of this map, and {kept(8000.0, 0.07)} of them keep the brakes within their fade temperature; on 10"
        f" % it is {kept(8000.0, 0.10)}, on only {show(2000.0, 'distance', system, 2)} it is"
        f" {kept(2000.0, 0.07)}: short hills forgive. {slower}: an engine that turns faster holds more. A"
        " fast square that stays cool looks inviting; the last panel shows its price."
    )


class GearSpeedMapDrawing:
    """Hottest brake over gear and speed: numbers in cells, the fade line full, the fluid line dashed."""

    size_in, frames = (9.2, 4.2), 1
    narrow_in = (4.9, 4.6)
    LABEL_COLUMNS = (6, 22)

    def build(self, picture: Picture, system: str) -> None:
        """Named parts; the frame follows the number of gears, and the grid has room for the most."""
        ends = ends_from_si((SLOWEST_M_S, FASTEST_M_S), "speed", system)
        picture.grid(
            "map", 0, x=ends, shape=(MOST_GEARS, SPEEDS), labels=MOST_GEARS * len(self.LABEL_COLUMNS)
        )
        picture.point("coolest", 0, 0)

    def update(self, picture: Picture, result: GearSpeedMap, system: str) -> None:
        """Move the parts to a result."""
        hottest, gears = result.found.hottest_c, len(result.found.gears)
        ends = ends_from_si((SLOWEST_M_S, FASTEST_M_S), "speed", system)
        picture.frame(
            0,
            title=(
                f"Hottest brake [{unit_label('temperature', system)}]; hatched, full line: over the fade"
                " temperature;\ndashed line: the fluid boils after a stop; round mark: coolest"
            ),
            x_label=f"speed held [{unit_label('speed', system)}]     crossed: the engine would turn too fast",
            x=ends,
            y_names=[f"gear {g}" for g in range(1, gears + 1)],
        )
        gear, speed = result.coolest or (-1, 0)
        labels = [
            (row, column, f"{from_si(hottest[row, column], 'temperature', system):.0f}")
            for row in range(gears)
            for column in self.LABEL_COLUMNS
            if result.driven[row, column] and not (row == gear and abs(column - speed) < 3)
        ]

        def padded(cells: np.ndarray, value: float) -> np.ndarray:
            return np.pad(cells, ((0, MOST_GEARS - gears), (0, 0)), constant_values=value)

        picture.fill(
            "map",
            padded(hottest / HOTTEST_SHADE_C, np.nan),
            hatched=padded(result.driven & result.over, False),
            crossed=padded(~result.driven, True),
            outlined=padded(result.fluid_c > result.boils_c, False),
            labels=labels,
        )
        at = [ends[0] + (speed + 0.5) / SPEEDS * (ends[1] - ends[0])] if result.coolest else []
        picture.move("coolest", at, [gear] if result.coolest else [])
