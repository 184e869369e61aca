"""Lesson 07, running straight: damping of the swing and the one-sided root over speed, and the map over load
position.
"""

import math
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from towlib.draw.figures import Picture
from towlib.physics.turning.yaw import Modes, YawPair, divergence_speed_m_s, modes, swing_speed_m_s
from towlib.physics.turning.yaw_pair import (
    FRONT_PER_RAD,
    REAR_PER_RAD,
    TOWED_PER_RAD,
    Standing,
    standing,
    yaw_pair,
)
from towlib.units import from_si, show, unit_label

# the invented pair of data/rigs/demo_comfortable.toml, people and gear included
WHEELBASE_M, OVERHANG_M, TOWED_WHEELBASE_M, BALL_TO_AXLE_M = 3.75, 1.32, 2.36, 4.34
TOW_LOADS = ((150.0, 1.75), (175.0, 3.05), (13.0, 5.07))
BEHIND_AXLE_M, TOWED_FRONT_SHARE = 0.8, 0.52
SLOWEST_M_S, FASTEST_M_S = 30.0 / 3.6, 140.0 / 3.6
SPEEDS_M_S = np.linspace(SLOWEST_M_S, FASTEST_M_S, 56)
MAP_SPEEDS, PLACES_M = 34, tuple(np.linspace(-0.5, 3.2, 12))  # behind the towed front axle


def _pair(
    towed_kg: float,
    load_kg: float,
    load_at_m: float,
    behind_kg: float,
    rear_share: float,
    towed_share: float,
    free_share: float,
) -> YawPair:
    tow = standing(
        1340.0, 1010.0, wheelbase_m=WHEELBASE_M, loads=[*TOW_LOADS, (behind_kg, WHEELBASE_M + BEHIND_AXLE_M)]
    )
    towed: Standing = standing(
        TOWED_FRONT_SHARE * towed_kg,
        (1.0 - TOWED_FRONT_SHARE) * towed_kg,
        wheelbase_m=TOWED_WHEELBASE_M,
        loads=[(load_kg, load_at_m)],
    )
    return yaw_pair(
        tow,
        towed,
        overhang_m=OVERHANG_M,
        ball_to_axle_m=BALL_TO_AXLE_M,
        front_per_rad=FRONT_PER_RAD,
        rear_per_rad=REAR_PER_RAD * rear_share,
        towed_per_rad=TOWED_PER_RAD * towed_share,
        castor_free_share=free_share,
    )


class Roots(NamedTuple):
    """Everything the fourth panel shows."""

    over_speed: Modes
    speed_m_s: float
    here: Modes
    asked: float
    keeps_m_s: float | None  # speed up to which the damping asked is kept
    swing_m_s: float | None  # where the swing grows
    turns_in_m_s: float | None  # where it diverges


def yaw_roots(
    *,
    towed_kg: float,
    load_kg: float,
    load_at_m: float,
    behind_kg: float,
    rear_share: float,
    towed_share: float,
    free_share: float,
    asked: float,
    speed_m_s: float,
) -> Roots:
    """All roots of the invented pair over speed, and at one speed."""
    pair = _pair(towed_kg, load_kg, load_at_m, behind_kg, rear_share, towed_share, free_share)
    over_speed, *limits = _over_speed(pair, asked)
    return Roots(over_speed, speed_m_s, Modes(*map(float, modes(pair, speed_m_s))), asked, *limits)


@lru_cache(maxsize=8)
def _over_speed(pair: YawPair, asked: float) -> tuple[Modes, float | None, float | None, float | None]:
    return (
        modes(pair, SPEEDS_M_S),
        swing_speed_m_s(pair, asked),
        swing_speed_m_s(pair),
        divergence_speed_m_s(pair),
    )


def yaw_roots_words(result: Roots, system: str) -> str:
    """The sentence under the fourth panel."""
    here = result.here
    spare = here.swing_damping - result.asked
    if here.swing_rad_s == 0.0:
        swing = "nothing swings"
    else:
        answer = f"within by {100 * spare:.1f}" if spare >= 0 else f"OVER, short by {-100 * spare:.1f}"
        swing = (
            f"a swing ({here.swing_rad_s / (2 * math.pi):.2f} a second) has {100 * here.swing_damping:.1f} %"
            f" damping, asked {100 * result.asked:.0f} %: {answer} points"
        )
    root = here.largest_real_1_s
    one_sided = (
        "; a turn to one side GROWS, doubling in " + f"{math.log(2) / root:.1f} s"
        if root > 1e-6
        else "; a turn to one side dies away"
        if math.isfinite(root)
        else ""
    )
    return (
        f"At {show(result.speed_m_s, 'speed', system)} {swing}{one_sided}. {_limits_words(result, system)}."
    )


def _limits_words(result: Roots, system: str) -> str:
    def speed(name: str, value: float | None) -> str:
        return (
            f"{name} above {show(value, 'speed', system)}"
            if value is not None and value < 70.0
            else f"{name} at no speed in the model"
        )

    grows = speed("the swing grows", result.swing_m_s)
    return (
        f"Less damping than asked {speed('', result.keeps_m_s).strip()}; {grows};"
        f" {speed('the pair turns in by itself', result.turns_in_m_s)}"
    )


class YawRootsDrawing:
    """Left: damping of the swing. Right: the largest root that does not swing; above zero it grows."""

    size_in, frames = (9.2, 3.8), 2
    LEAST, MOST, LOWEST_1_S, HIGHEST_1_S = -20.0, 100.0, -6.0, 3.0

    def build(self, picture: Picture, system: str) -> None:
        """Frames and named parts."""
        speed = f"speed [{unit_label('speed', system)}]"
        ends = tuple(from_si(v, "speed", system) for v in (SLOWEST_M_S, FASTEST_M_S))
        picture.frame(
            0,
            title="Damping of the least damped swing",
            x_label=speed,
            y_label="damping ratio [%]",
            x=ends,
            y=(self.LEAST, self.MOST),
        )
        picture.frame(
            1,
            title="Slowest turn to one side",
            x_label=speed,
            y_label="largest real root [1/s]",
            x=ends,
            y=(self.LOWEST_1_S, self.HIGHEST_1_S),
        )
        picture.shade(0, ends, (self.LEAST, 0.0), "the swing grows")
        picture.shade(1, ends, (0.0, self.HIGHEST_1_S), "grows to one side")
        picture.line("damping", 0, 0)
        picture.reference("asked", 0)
        picture.words("asked words", 0, align="right")
        picture.line("root", 1, 1)
        for number in (0, 1):
            picture.reference(f"here {number}", number)
            picture.point(f"point {number}", number, number)
        picture.words("damping words", 0, align="right", bold=True)
        picture.words("root words", 1, align="right", bold=True)

    def update(self, picture: Picture, result: Roots, system: str) -> None:
        """Move the parts to a result."""
        speeds = [from_si(v, "speed", system) for v in SPEEDS_M_S]
        here = from_si(result.speed_m_s, "speed", system)
        damping = np.clip(100 * result.over_speed.swing_damping, self.LEAST, self.MOST)
        roots = np.clip(result.over_speed.largest_real_1_s, self.LOWEST_1_S, self.HIGHEST_1_S)
        picture.move("damping", speeds, damping)
        picture.move("root", speeds, roots)
        picture.move("asked", [speeds[0], speeds[-1]], [100 * result.asked] * 2)
        picture.say("asked words", f"asked {100 * result.asked:.0f} %", speeds[-1], 100 * result.asked + 4.0)
        picture.move("here 0", [here, here], [self.LEAST, self.MOST])
        picture.move("here 1", [here, here], [self.LOWEST_1_S, self.HIGHEST_1_S])
        shown = min(max(100 * result.here.swing_damping, self.LEAST), self.MOST)
        picture.move("point 0", [here], [shown])
        root = min(max(result.here.largest_real_1_s, self.LOWEST_1_S), self.HIGHEST_1_S)
        picture.move("point 1", [here], [root])
        at = show(result.speed_m_s, "speed", system)
        picture.say(
            "damping words",
            (
                f"{100 * result.here.swing_damping:.0f} % at {at}"
                if result.here.swing_rad_s
                else f"nothing swings at {at}"
            ),
            speeds[-1],
            92.0,
        )
        text = (
            f"{result.here.largest_real_1_s:.2f} 1/s at {at}"
            if math.isfinite(result.here.largest_real_1_s)
            else f"everything swings at {at}"
        )
        picture.say("root words", text, speeds[-1], self.LOWEST_1_S + 0.6)


class DampingMap(NamedTuple):
    """Everything the fifth panel shows: rows are load positions, columns speeds."""

    speeds_m_s: np.ndarray
    over: Modes
    asked: float
    keeps_m_s: tuple[
        float, ...
    ]  # for each row the highest speed of the map with the damping asked and nothing growing
    row: int
    speed_m_s: float
    load_at_m: float


def damping_map(
    *,
    towed_kg: float,
    load_kg: float,
    behind_kg: float,
    rear_share: float,
    free_share: float,
    asked: float,
    load_at_m: float,
    speed_m_s: float,
) -> DampingMap:
    """Every load position against every speed."""
    speeds = np.linspace(SLOWEST_M_S, FASTEST_M_S, MAP_SPEEDS)
    pairs = [_pair(towed_kg, load_kg, place, behind_kg, rear_share, 1.0, free_share) for place in PLACES_M]
    over = modes(YawPair(*(np.array(values)[:, None] for values in zip(*pairs, strict=True))), speeds)
    good = (over.swing_damping >= asked) & (over.largest_real_1_s <= 0)
    keeps = tuple(
        (
            float(speeds[np.argmin(row) - 1])
            if not row.all() and row[0]
            else float(speeds[-1])
            if row.all()
            else 0.0
        )
        for row in good
    )
    row = min(range(len(PLACES_M)), key=lambda i: abs(PLACES_M[i] - load_at_m))
    return DampingMap(speeds, over, asked, keeps, row, speed_m_s, load_at_m)


def _kept(speed_m_s: float, system: str) -> str:
    if speed_m_s == 0.0:
        return "at no speed of the map"
    whole = "the whole map, " if speed_m_s >= FASTEST_M_S - 1e-9 else ""
    return f"up to {whole}{from_si(speed_m_s, 'speed', system):.0f} {unit_label('speed', system)}"


def damping_map_words(result: DampingMap, system: str) -> str:
    """The sentence under the fifth panel."""
    best = max(range(len(PLACES_M)), key=lambda i: (result.keeps_m_s[i], -abs(PLACES_M[i] - 1.0)))
    column = int(np.abs(result.speeds_m_s - result.speed_m_s).argmin())
    grows = (
        "a disturbance GROWS"
        if result.over.largest_real_1_s[result.row, column] > 0
        or result.over.swing_damping[result.row, column] < 0
        else (f"the damping is about {100 * result.over.swing_damping[result.row, column]:.0f} %")
    )
    return (
        f"{100 * result.asked:.0f} % damping with nothing growing is kept"
        f" {_kept(result.keeps_m_s[0], system)} with the load ahead of the front axle,"
        f" {_kept(result.keeps_m_s[best], system)} with it {show(PLACES_M[best], 'length', system, 2)}"
        f" behind, {_kept(result.keeps_m_s[-1], system)} at the very rear. At the point {grows}."
    )


class DampingMapDrawing:
    """Damping over speed and load position: numbers in cells, hatched where less than asked, crossed where
    something grows.
    """

    size_in, frames = (9.2, 4.2), 1
    LABEL_COLUMNS = (9, 24)

    def build(self, picture: Picture, system: str) -> None:
        """Frame and named parts."""
        ends = tuple(from_si(v, "speed", system) for v in (SLOWEST_M_S, FASTEST_M_S))
        names = [show(place, "length", system, 2) for place in PLACES_M]
        picture.frame(
            0,
            title="Damping ratio [%]; hatched, full line: less than asked; crossed: a disturbance grows",
            x_label=f"speed [{unit_label('speed', system)}]",
            y_label="load behind the towed front axle",
            x=ends,
            y_names=names,
        )
        picture.grid(
            "map",
            0,
            x=ends,
            shape=(len(PLACES_M), MAP_SPEEDS),
            labels=len(PLACES_M) * len(self.LABEL_COLUMNS),
        )
        picture.point("here", 0, 0)

    def update(self, picture: Picture, result: DampingMap, system: str) -> None:
        """Move the parts to a result."""
        damping, grows = (
            result.over.swing_damping,
            (result.over.largest_real_1_s > 0) | (result.over.swing_damping < 0),
        )
        ends = [from_si(v, "speed", system) for v in (SLOWEST_M_S, FASTEST_M_S)]
        here = from_si(result.speed_m_s, "speed", system)
        column = int(np.abs(result.speeds_m_s - result.speed_m_s).argmin())
        labels = [
            (row, at, f"{100 * damping[row, at]:.0f}")
            for row in range(len(PLACES_M))
            for at in self.LABEL_COLUMNS
            if not grows[row, at : at + 2].any() and not (row == result.row and abs(at - column) < 2)
        ]
        picture.fill(
            "map",
            1.0 - np.clip(damping, 0.0, 1.0),
            hatched=(damping < result.asked) & ~grows,
            crossed=grows,
            outlined=np.zeros_like(grows),
            labels=labels,
        )
        picture.move("here", [min(max(here, ends[0]), ends[1])], [result.row])
