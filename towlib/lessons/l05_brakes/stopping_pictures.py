"""Lesson 05, stopping on a grade: distances, the push at the hitch and the friction of each axle. The demo
wagon, all invented.
"""

import math
from functools import lru_cache
from typing import NamedTuple

from towlib.draw.figures import Picture
from towlib.limits.loads import tow_axles_kg
from towlib.limits.stopping_limits import FOOT_M, MPH_M_S
from towlib.paths import DATA
from towlib.physics.basics.road_load import GRAVITY_M_S2
from towlib.physics.brakes.stopping import sight_distance_ft, stopping_distance_m
from towlib.physics.brakes.stops import (
    HardestStop,
    StopForces,
    Stopper,
    forces_while_stopping,
    hardest_stop,
    jackknife_starts,
)
from towlib.rig.facts import Facts
from towlib.rig.model import load_rig
from towlib.units import from_si, number, show, unit_label

DEMO = DATA / "rigs" / "demo_overloaded.toml"
# rubber on concrete, OpenStax College Physics, module m42139; an axle begins to slide at the gripping figure
FRICTION = {"dry, gripping 1.0": 1.0, "wet, gripping 0.7": 0.7, "wet, sliding 0.5": 0.5}
REACTION_S = 1.5  # common practice, no source; the road-design handbook takes 2.5 s


@lru_cache(maxsize=1)
def demo_stopper() -> Stopper:
    """The invented wagon as a brake, loaded for the way out."""
    facts = Facts(load_rig(DEMO))
    front, rear = tow_axles_kg(facts, "out")
    need = facts.need
    return Stopper(
        front,
        rear,
        need("tow_vehicle.wheelbase"),
        need("tow_vehicle.cg_height"),
        need("tow_vehicle.ball_behind_rear_axle"),
        need("hitch.receiver_height") + need("hitch.ball_mount_change"),
        need("tow_vehicle.brakes.front_share"),
    )


class Stop(NamedTuple):
    """What the panel shows; a distance is None where the pair does not stop."""

    distances_m: tuple[tuple[str, float | None], ...]
    alone: HardestStop
    pair: HardestStop
    forces: StopForces
    jackknife: bool


def stop(
    *,
    speed_m_s: float,
    tow_deceleration_m_s2: float,
    bar_slope_rad: float,
    articulation_rad: float,
    towed_kg: float,
    towed_deceleration_m_s2: float,
    downgrade: float,
    road: str,
) -> Stop:
    """The hardest stop on a downgrade, of the wagon alone and of the pair without and with own brakes
    behind.
    """
    tow, friction = demo_stopper()._replace(bar_slope_rad=bar_slope_rad), FRICTION[road]
    grade = -downgrade
    towed_brake_n = towed_kg * min(
        towed_deceleration_m_s2, friction * GRAVITY_M_S2 / math.sqrt(1.0 + grade * grade)
    )

    def hardest(behind_kg: float, brake_n: float) -> HardestStop:
        return hardest_stop(
            tow,
            tow_deceleration_m_s2=tow_deceleration_m_s2,
            grade=grade,
            towed_kg=behind_kg,
            towed_brake_n=brake_n,
            friction=friction,
        )

    alone, without, pair = hardest(0.0, 0.0), hardest(towed_kg, 0.0), hardest(towed_kg, towed_brake_n)
    most = max(0.05, pair.deceleration_m_s2)
    forces = forces_while_stopping(
        tow,
        most,
        grade=grade,
        towed_kg=towed_kg,
        towed_brake_n=towed_brake_n,
        friction=friction,
        articulation_rad=articulation_rad,
    )
    mph = speed_m_s / MPH_M_S
    distances = (
        ("wagon alone", _distance(speed_m_s, alone)),
        ("pair, no brakes behind", _distance(speed_m_s, without)),
        ("pair as set", _distance(speed_m_s, pair)),
        ("road design, one car", sight_distance_ft(mph, grade=grade) * FOOT_M),
    )
    return Stop(distances, alone, pair, forces, jackknife_starts(forces))


def _distance(speed_m_s: float, hardest: HardestStop) -> float | None:
    if hardest.deceleration_m_s2 <= 0.05:
        return None
    return stopping_distance_m(speed_m_s, deceleration_m_s2=hardest.deceleration_m_s2, reaction_s=REACTION_S)


def stop_words(result: Stop, system: str) -> str:
    """The sentence under the panel."""
    forces, distance = result.forces, result.distances_m[2][1]
    if distance is None:
        return (
            "On this grade and road the pair cannot be stopped: the brakes or the friction give less than the"
            " grade takes."
        )
    push = (
        f"the towed vehicle pushes with {show(forces.push_n, 'force', system)}"
        if forces.push_n > 0
        else f"the towed vehicle holds back with {show(-forces.push_n, 'force', system)}"
    )
    first = (
        ""
        if result.pair.set_by != "brakes"
        else f" With stronger brakes the {result.pair.slides_first} would slide first."
    )
    left = show(forces.rear_side_left_n, "force", system) if forces.rear_side_left_n > 1.0 else "nothing"
    side = (
        "a jack-knife can begin"
        if result.jackknife
        else f"the push needs {show(forces.rear_side_needed_n, 'force', system)} of it"
    )
    slows = show(result.pair.deceleration_m_s2, "acceleration", system)
    return (
        f"The pair stops in {show(distance, 'length', system)} at {slows}, set by the {result.pair.set_by};"
        f" {push}.{first} The rear axle has {left} left for side forces, and {side}."
    )


class StopDrawing:
    """Left: stopping distances. Right: share of each axle's friction that braking uses."""

    size_in, frames, widths = (10.0, 3.6), 2, (1.35, 1.0)
    FARTHEST_M = 300.0

    def build(self, picture: Picture, system: str) -> None:
        """Frames and named parts."""
        names = ("wagon alone", "pair, no brakes behind", "pair as set", "road design, one car")
        picture.frame(
            0,
            title="From seeing to standing",
            x_label=f"distance [{unit_label('length', system)}]",
            x=(0.0, from_si(1.3 * self.FARTHEST_M, "length", system)),
            y_names=names,
        )
        picture.bars("distance", 0, len(names))
        for i in range(len(names)):
            picture.words(f"distance {i}", 0)
        picture.frame(
            1,
            title="Friction used in that stop, pair as set",
            x_label="per cent of what the tyres hold",
            x=(0.0, 175.0),
            y_names=("front axle", "rear axle", "rear, sideways"),
        )
        picture.bars("use", 1, 3)
        for i in range(3):
            picture.words(f"use {i}", 1)
        picture.reference("all", 1)

    def update(self, picture: Picture, result: Stop, system: str) -> None:
        """Move the parts to a result."""
        lengths = [self.FARTHEST_M if d is None else min(d, self.FARTHEST_M) for _, d in result.distances_m]
        picture.stretch(
            "distance",
            [from_si(d, "length", system) for d in lengths],
            [d is None or d > self.FARTHEST_M for _, d in result.distances_m],
        )
        for i, ((_, distance), length) in enumerate(zip(result.distances_m, lengths, strict=True)):
            words = " does not stop" if distance is None else f" {show(distance, 'length', system)}"
            picture.say(f"distance {i}", words, from_si(length, "length", system), i)
        forces = result.forces
        side = (
            forces.rear_side_needed_n / forces.rear_side_left_n
            if forces.rear_side_left_n > 0
            else (1.2 if result.jackknife else 0.0)
        )
        uses = [max(0.0, forces.front_use), max(0.0, forces.rear_use), side]
        shown = [100.0 * min(use, 1.2) for use in uses]
        picture.stretch("use", shown, [use >= 0.9999 for use in uses])
        for i, (use, length) in enumerate(zip(uses, shown, strict=True)):
            words = "all" if use >= 0.9999 else f"{number(100 * use, 2)} %"
            picture.say(f"use {i}", f" {words}", max(length, 100.0 if length > 80.0 else 0.0), i)
        picture.move("all", [100.0, 100.0], [-0.5, 2.5])
