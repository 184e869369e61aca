"""Lesson 05, gear against speed: how hot the brakes of the demo wagon get on one long even downgrade, all
combinations at once.
"""

from functools import lru_cache
from typing import NamedTuple

import numpy as np

from towlib.draw.figures import Picture
from towlib.lessons.l05_brakes.descent_budget import (
    AIR_DENSITY_KG_M3,
    FADE_INDEX_C,
    boiling_points_c,
    demo_pair,
    pair_with,
)
from towlib.limits.legs import DESCENT_SHARE_OF_REDLINE
from towlib.physics.brakes.brake_fluid import heat_soak
from towlib.physics.drive.descent_map import DescentMap, descent_map
from towlib.units import from_si, show, unit_label

STEPS = 25
SLOWEST_M_S, FASTEST_M_S, SPEEDS = 15.0 / 3.6, 75.0 / 3.6, 31
HOTTEST_SHADE_C = 600.0


@lru_cache(maxsize=1)
def _soak_table() -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Highest fluid temperature after stopping, over disc and fluid then, on a day of 30 °C."""
    discs, fluids = np.linspace(0.0, 1000.0, 11), np.linspace(0.0, 500.0, 11)
    front = demo_pair().brakes[0]
    return (
        discs,
        fluids,
        np.array(
            [
                [heat_soak(front, d, fluid_c=f, air_c=30.0, step_s=120.0).highest_fluid_c for f in fluids]
                for d in discs
            ]
        ),
    )


def highest_fluid_after_stop_c(disc_c: np.ndarray, fluid_c: np.ndarray) -> np.ndarray:
    """Estimate of the highest fluid temperature after stopping, read off a table with straight lines
    between.
    """
    discs, fluids, table = _soak_table()
    i, j = (
        np.clip(value / (axis[1] - axis[0]), 0.0, len(axis) - 1.001)
        for value, axis in ((disc_c, discs), (fluid_c, fluids))
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
    fluid_c: np.ndarray  # after stopping at the foot
    coolest: tuple[
        int, int
    ]  # gear index and speed index: the slowest of those within a degree of the coolest
    length_m: float


def gear_speed_map(
    *, length_m: float, downgrade: float, towed_kg: float, air_temperature_c: float
) -> GearSpeedMap:
    """Every gear against every speed on an even downgrade."""
    pair = pair_with(towed_kg)
    found = descent_map(
        pair,
        np.linspace(SLOWEST_M_S, FASTEST_M_S, SPEEDS),
        grade=[-downgrade] * STEPS,
        step_m=length_m / STEPS,
        held=[True] * STEPS,
        limit_m_s=[FASTEST_M_S] * STEPS,
        air_c=[air_temperature_c] * STEPS,
        air_density_kg_m3=[AIR_DENSITY_KG_M3] * STEPS,
        brake_start_c=air_temperature_c,
        highest_rpm=DESCENT_SHARE_OF_REDLINE * pair.train.redline_rpm,
    )
    driven = ~np.isnan(found.hottest_c)
    fluid = np.where(
        driven, highest_fluid_after_stop_c(np.nan_to_num(found.end_c[0]), np.nan_to_num(found.fluid_c)), 0.0
    )
    near = np.nan_to_num(found.hottest_c, nan=1e9) <= np.nanmin(found.hottest_c) + 1.0
    gear, speed = min(np.argwhere(near).tolist(), key=lambda cell: cell[1])
    return GearSpeedMap(found, driven, fluid, (gear, speed), length_m)


def gear_speed_map_words(result: GearSpeedMap, system: str) -> str:
    """The sentence under the panel."""
    gear, speed = result.coolest
    speeds, under = (
        result.found.speed_m_s,
        result.driven & (np.nan_to_num(result.found.hottest_c) <= FADE_INDEX_C),
    )
    wet = int((result.fluid_c[result.driven] > boiling_points_c()["DOT 4 wet"]).sum())
    ranges = [
        f"gear {row + 1} at {from_si(speeds[cells].min(), 'speed', system):.0f} to"
        f" {show(speeds[cells].max(), 'speed', system, 2)}"
        for row, cells in enumerate(under)
        if cells.any()
    ][:3]
    stays = (
        f"Brakes stay within the fade index of {show(FADE_INDEX_C, 'temperature', system)} in"
        f" {', '.join(ranges)}"
        if ranges
        else (
            "No gear and speed keeps the brakes within the fade index of"
            f" {show(FADE_INDEX_C, 'temperature', system)}"
        )
    )
    return (
        f"{stays}; coolest, {show(result.found.hottest_c[gear, speed], 'temperature', system)}, in gear"
        f" {gear + 1} at {show(speeds[speed], 'speed', system, 2)}. After a stop at the foot wet DOT 4 fluid"
        f" would boil in {wet} of {int(result.driven.sum())} combinations, an estimate."
    )


class GearSpeedMapDrawing:
    """Hottest brake over gear and speed: numbers in cells, the fade line full, the fluid line dashed."""

    size_in, frames = (9.2, 3.6), 1
    LABEL_COLUMNS = (6, 22)

    def build(self, picture: Picture, system: str) -> None:
        """Frame and named parts."""
        gears = len(demo_pair().train.gear_ratios)
        ends = tuple(from_si(v, "speed", system) for v in (SLOWEST_M_S, FASTEST_M_S))
        title = (
            f"Hottest brake [{unit_label('temperature', system)}]; hatched, full line: over the fade index; "
            "dashed line: wet fluid boils after a stop"
        )
        picture.frame(
            0,
            title=title,
            x_label=f"speed held [{unit_label('speed', system)}]     crossed: the engine would turn too fast",
            x=ends,
            y_names=[f"gear {g}" for g in range(1, gears + 1)],
        )
        picture.grid("map", 0, x=ends, shape=(gears, SPEEDS), labels=gears * len(self.LABEL_COLUMNS))
        picture.point("coolest", 0, 0)

    def update(self, picture: Picture, result: GearSpeedMap, system: str) -> None:
        """Move the parts to a result."""
        hottest = result.found.hottest_c
        gear, speed = result.coolest
        labels = [
            (row, column, f"{from_si(hottest[row, column], 'temperature', system):.0f}")
            for row in range(hottest.shape[0])
            for column in self.LABEL_COLUMNS
            if result.driven[row, column] and not (row == gear and abs(column - speed) < 3)
        ]
        picture.fill(
            "map",
            hottest / HOTTEST_SHADE_C,
            hatched=result.driven & (np.nan_to_num(hottest) > FADE_INDEX_C),
            crossed=~result.driven,
            outlined=result.fluid_c > boiling_points_c()["DOT 4 wet"],
            labels=labels,
        )
        ends = [from_si(v, "speed", system) for v in (SLOWEST_M_S, FASTEST_M_S)]
        picture.move("coolest", [ends[0] + (speed + 0.5) / SPEEDS * (ends[1] - ends[0])], [gear])
