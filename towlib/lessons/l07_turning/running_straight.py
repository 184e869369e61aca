"""Lesson 07, running straight: damping of the swing and the one-sided root over speed, and the map over load
position.
"""

import math
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from towlib.draw.figures import Picture
from towlib.lessons.declare import with_values
from towlib.limits.turning_limits import yaw_pair_of
from towlib.physics.turning.yaw import (
    Modes,
    YawPair,
    divergence_speed_m_s,
    modes,
    speed_with_damping_m_s,
    swing_speed_m_s,
)
from towlib.rig.facts import Facts, NotKnown, sum_and_middle
from towlib.rig.model import label_of
from towlib.units import ends_from_si, from_si, show, unit_label

SLOWEST_M_S, FASTEST_M_S = 30.0 / 3.6, 140.0 / 3.6
SPEEDS_M_S = np.linspace(SLOWEST_M_S, FASTEST_M_S, 56)
MAP_SPEEDS, MAP_PLACES = 34, 12
MOST_SAID_M_S = 70.0  # a speed beyond this is no answer
SEEN_LOAD_KG, MAP_LOAD_KG, SOFTER = 400.0, 300.0, 0.7


class Roots(NamedTuple):
    """Everything the fourth panel shows."""

    over_speed: Modes
    speed_m_s: float
    here: Modes
    asked: float
    keeps_m_s: float | None  # speed up to which the damping asked is kept
    swing_m_s: float | None  # where the swing grows
    turns_in_m_s: float | None  # where it diverges


def yaw_roots(facts: Facts, *, free_share: float) -> Roots:
    """All roots of the pair over speed, and at one speed."""
    pair = yaw_pair_of(facts, "out", castor_free_share=free_share)
    asked, speed = facts.need("conditions.damping_asked"), facts.need("conditions.cruise_speed")
    over_speed, *limits = _over_speed(pair, asked)
    return Roots(over_speed, speed, Modes(*map(float, modes(pair, speed))), asked, *limits)


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
    if root > 1e-6:
        one_sided = "; a turn to one side GROWS, doubling in " + f"{math.log(2) / root:.1f} s"
    elif math.isfinite(root):
        one_sided = "; a turn to one side dies away"
    else:
        one_sided = ""
    return (
        f"At {show(result.speed_m_s, 'speed', system)} {swing}{one_sided}. {_limits_words(result, system)}."
    )


def yaw_roots_rooms(result: Roots) -> dict[str, float]:
    """Damping beyond what is asked, where anything swings, and how quickly a turn to one side dies away."""
    here = result.here
    swing = {} if here.swing_rad_s == 0.0 else {"swing": here.swing_damping - result.asked}
    one_sided = {"one side": -here.largest_real_1_s} if math.isfinite(here.largest_real_1_s) else {}
    return {**swing, **one_sided}


def _limits_words(result: Roots, system: str) -> str:
    def speed(name: str, value: float | None) -> str:
        return (
            f"{name} above {show(value, 'speed', system)}"
            if value is not None and value < MOST_SAID_M_S
            else f"{name} at no speed in the model"
        )

    grows = speed("the swing grows", result.swing_m_s)
    return (
        f"Less damping than asked {speed('', result.keeps_m_s).strip()}; {grows};"
        f" {speed('the pair turns in by itself', result.turns_in_m_s)}"
    )


def load_places_m(facts: Facts) -> tuple[float, ...]:
    """Places of a load in the towed vehicle, behind its front axle, from its nose to its tail."""
    nose, tail = (facts.need(f"towed_vehicle.{end}_overhang") for end in ("front", "rear"))
    return tuple(map(float, np.linspace(-nose, facts.need("towed_vehicle.wheelbase") + tail, MAP_PLACES)))


def yaw_roots_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the fourth panel."""
    _, *_, tail = load_places_m(facts)
    loaded = {"carried.towed.mass": SEEN_LOAD_KG}
    front, back = (
        yaw_roots(with_values(facts, {**loaded, "carried.towed.place": place}), free_share=1.0)
        for place in (0.0, tail)
    )
    path = "tow_vehicle.rear_side_stiffness"
    soft = yaw_roots(with_values(facts, {path: SOFTER * facts.need(path)}), free_share=1.0)
    here, locked = yaw_roots(facts, free_share=1.0), yaw_roots(facts, free_share=0.0)

    def turns_in(roots: Roots) -> str:
        if roots.turns_in_m_s is None or roots.turns_in_m_s >= MOST_SAID_M_S:
            return "at no speed in the model"
        return f"above {show(roots.turns_in_m_s, 'speed', system)}"

    def damped(roots: Roots) -> str:
        return f"{100 * roots.here.swing_damping:.0f} %"

    return (
        f"{show(SEEN_LOAD_KG, 'mass', system)} over the towed *front* axle: {damped(front)} damping, and the"
        f" pair turns in by itself {turns_in(front)}. Far at the *back*: {turns_in(back)}, but only"
        f" {damped(back)}. Softer rear tyres on the tow vehicle ({100 * SOFTER:.0f} % as stiff):"
        f" {turns_in(soft)}, instead of {turns_in(here)}, while the swing looks fine: **a damped swing says"
        " nothing about the turn to one side**. With the towed steering locked the damping falls from"
        f" {damped(here)} to {damped(locked)}: free castor (wheels that trail where they are pulled) keeps"
        " this pair damped."
    )


class YawRootsDrawing:
    """Left: damping of the swing. Right: the largest root that does not swing; above zero it grows."""

    size_in, frames = (10.2, 3.8), 2
    LEAST, MOST, LOWEST_1_S, HIGHEST_1_S = -20.0, 100.0, -6.0, 3.0

    def build(self, picture: Picture, system: str) -> None:
        """Frames and named parts."""
        speed = f"speed [{unit_label('speed', system)}]"
        ends = ends_from_si((SLOWEST_M_S, FASTEST_M_S), "speed", system)
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
    places_m: tuple[float, ...]


def damping_map(facts: Facts, *, free_share: float) -> DampingMap:
    """Every load position against every speed."""
    asked, places = facts.need("conditions.damping_asked"), load_places_m(facts)
    carried = facts.carried("towed", "out")
    load_at = sum_and_middle(carried)[1] if sum(mass for mass, _ in carried) else 0.0
    if (moved := facts.moved("carried.towed.place")) is not None:
        load_at = moved
    speeds = np.linspace(SLOWEST_M_S, FASTEST_M_S, MAP_SPEEDS)
    pairs = [
        yaw_pair_of(with_values(facts, {"carried.towed.place": place}), "out", castor_free_share=free_share)
        for place in places
    ]
    stacked = YawPair._make(np.array(values)[:, None] for values in zip(*pairs, strict=True))
    over = modes(stacked, speeds)
    good = (over.swing_damping >= asked) & (over.largest_real_1_s <= 0)
    # how many speeds from the slowest on keep the damping, row by row
    counts = [int(np.argmin(row)) if not row.all() else len(row) for row in good]
    keeps = tuple(float(speeds[count - 1]) if count else 0.0 for count in counts)
    row = min(range(len(places)), key=lambda i: abs(places[i] - load_at))
    return DampingMap(speeds, over, asked, keeps, row, facts.need("conditions.cruise_speed"), places)


def best_row(result: DampingMap) -> int:
    """The row that keeps the damping asked up to the highest speed; of equals the one nearest the middle."""
    places = result.places_m
    middle = (places[0] + places[-1]) / 2.0
    return max(range(len(places)), key=lambda i: (result.keeps_m_s[i], -abs(places[i] - middle)))


def _kept(speed_m_s: float, system: str) -> str:
    if speed_m_s == 0.0:
        return "at no speed of the map"
    whole = "the whole map, " if speed_m_s >= FASTEST_M_S - 1e-9 else ""
    return f"up to {whole}{from_si(speed_m_s, 'speed', system):.0f} {unit_label('speed', system)}"


def damping_map_words(result: DampingMap, system: str) -> str:
    """The sentence under the fifth panel."""
    best, places = best_row(result), result.places_m
    column = int(np.abs(result.speeds_m_s - result.speed_m_s).argmin())
    grows = (
        "a disturbance GROWS"
        if result.over.largest_real_1_s[result.row, column] > 0
        or result.over.swing_damping[result.row, column] < 0
        else (f"the damping is about {100 * result.over.swing_damping[result.row, column]:.0f} %")
    )
    return (
        f"{100 * result.asked:.0f} % damping with nothing growing is kept"
        f" {_kept(result.keeps_m_s[0], system)} with the load at the very front,"
        f" {_kept(result.keeps_m_s[best], system)} with it {show(places[best], 'length', system, 2)} behind"
        f" the front axle, {_kept(result.keeps_m_s[-1], system)} at the very rear. At the point {grows}."
    )


def damping_map_rooms(result: DampingMap) -> dict[str, float]:
    """Damping at the point, and how quickly a turn to one side dies away there."""
    column = int(np.abs(result.speeds_m_s - result.speed_m_s).argmin())
    root = float(result.over.largest_real_1_s[result.row, column])
    damping = {"swing": float(result.over.swing_damping[result.row, column])}
    return {**damping, "one side": -root} if math.isfinite(root) else damping


def damping_map_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the fifth panel."""
    loaded = with_values(facts, {"carried.towed.mass": MAP_LOAD_KG})
    found, locked = damping_map(loaded, free_share=1.0), damping_map(loaded, free_share=0.0)
    path = "tow_vehicle.rear_side_stiffness"
    soft = damping_map(with_values(loaded, {path: SOFTER * facts.need(path)}), free_share=1.0)
    best = best_row(found)
    kept = [_kept(found.keeps_m_s[row], system) for row in (0, best, -1)]
    same = " alike" if len(set(kept)) == 1 else ""
    return (
        f"With {show(MAP_LOAD_KG, 'mass', system)} the damping asked, with nothing growing, is kept{same}"
        f" {kept[0]} with the load at the very front, {kept[1]} with it"
        f" {show(found.places_m[best], 'length', system, 2)} behind the towed front axle, {kept[2]} at the"
        " very rear. **The two kinds of trouble come from opposite ends**: turning in from a load in front,"
        f" little damping from one behind. Rear tyres {100 * SOFTER:.0f} % as stiff:"
        f" {_kept(soft.keeps_m_s[0], system)} in front. Steering locked:"
        f" {_kept(locked.keeps_m_s[-1], system)} at the rear. A flat-towed vehicle stands on four wheels, and"
        " what you put over its front axle hangs on your ball in every bend."
    )


class DampingMapDrawing:
    """Damping over speed and load position: numbers in cells, hatched where less than asked, crossed where
    something grows.
    """

    size_in, frames = (10.2, 4.4), 1
    narrow_in = (4.9, 4.6)
    LABEL_COLUMNS = (9, 24)

    def build(self, picture: Picture, system: str) -> None:
        """Named parts; the names of the rows follow the towed vehicle."""
        ends = ends_from_si((SLOWEST_M_S, FASTEST_M_S), "speed", system)
        picture.grid(
            "map",
            0,
            x=ends,
            shape=(MAP_PLACES, MAP_SPEEDS),
            labels=MAP_PLACES * len(self.LABEL_COLUMNS),
        )
        picture.point("here", 0, 0)

    def update(self, picture: Picture, result: DampingMap, system: str) -> None:
        """Move the parts to a result."""
        damping, grows = (
            result.over.swing_damping,
            (result.over.largest_real_1_s > 0) | (result.over.swing_damping < 0),
        )
        ends = ends_from_si((SLOWEST_M_S, FASTEST_M_S), "speed", system)
        picture.frame(
            0,
            title="Damping ratio [%]; hatched, full line: less than asked; crossed: a disturbance grows",
            x_label=f"speed [{unit_label('speed', system)}]",
            y_label="load behind the towed front axle",
            x=ends,
            y_names=[show(place, "length", system, 2) for place in result.places_m],
        )
        here = from_si(result.speed_m_s, "speed", system)
        column = int(np.abs(result.speeds_m_s - result.speed_m_s).argmin())
        labels = [
            (row, at, f"{100 * damping[row, at]:.0f}")
            for row in range(MAP_PLACES)
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


def your_running_words(facts: Facts, system: str) -> list[str]:
    """Sentences on running straight with the rig in use, out and back."""
    lines = []
    for way in ("out", "back"):
        try:
            pair, speed = yaw_pair_of(facts, way), facts.need("conditions.cruise_speed")
            asked = facts.need("conditions.damping_asked")
            now, keeps = modes(pair, speed), speed_with_damping_m_s(pair, asked)
            lines.append(
                f"Way {way}, {show(speed, 'speed', system)}: damping {100 * float(now.swing_damping):.0f} %;"
                f" {100 * asked:.0f} % kept up to"
                f" {show(keeps, 'speed', system) if keeps else 'any speed of the model'} (tyres not checked"
                " against a document)."
            )
        except NotKnown as missing:
            what = missing.reason if " " in missing.reason else label_of(missing.reason)
            lines.append(f"Way {way}, running straight: not known ({what}).")
    return lines
