"""Lesson 05, stopping on a grade: distances, the push at the hitch and the friction of each axle."""

from typing import NamedTuple

from towlib.draw.figures import Picture
from towlib.lessons.declare import with_values
from towlib.limits.loads import towed_total_kg
from towlib.limits.stopping_limits import FOOT_M, MPH_M_S, REACTION_S, stopper, towed_brake_n
from towlib.physics.brakes.stopping import sight_distance_ft, stopping_distance_m
from towlib.physics.brakes.stops import (
    HardestStop,
    StopForces,
    forces_while_stopping,
    hardest_stop,
    jackknife_starts,
)
from towlib.rig.facts import Facts
from towlib.units import from_si, number, show, unit_label

# rubber on concrete, OpenStax College Physics, module m42139; an axle begins to slide at the gripping figure;
# the plan takes the sliding ones
FRICTION = {
    "dry, gripping 1.0": 1.0,
    "dry, sliding 0.7": 0.7,
    "wet, gripping 0.7": 0.7,
    "wet, sliding 0.5": 0.5,
}
LEAST_M_S2 = 0.05  # slower than this is not stopping


class Stop(NamedTuple):
    """What the panel shows; a distance is None where the pair does not stop."""

    distances_m: tuple[tuple[str, float | None], ...]
    alone: HardestStop
    pair: HardestStop
    forces: StopForces
    jackknife: bool


def stop(facts: Facts, *, speed_m_s: float, articulation_rad: float, downgrade: float, road: str) -> Stop:
    """The hardest stop on a downgrade, of the tow vehicle alone and of the pair without and with own brakes
    behind.
    """
    tow, towed_kg = stopper(facts, "out"), towed_total_kg(facts, "out")
    alone_m_s2, friction = facts.need("tow_vehicle.brakes.deceleration_alone"), FRICTION[road]
    grade = -downgrade
    brake_n = towed_brake_n(facts, "out", grade=grade, friction=friction)

    def hardest(behind_kg: float, behind_n: float) -> HardestStop:
        return hardest_stop(
            tow,
            tow_deceleration_m_s2=alone_m_s2,
            grade=grade,
            towed_kg=behind_kg,
            towed_brake_n=behind_n,
            friction=friction,
        )

    alone, without, pair = hardest(0.0, 0.0), hardest(towed_kg, 0.0), hardest(towed_kg, brake_n)
    forces = forces_while_stopping(
        tow,
        max(LEAST_M_S2, pair.deceleration_m_s2),
        grade=grade,
        towed_kg=towed_kg,
        towed_brake_n=brake_n,
        friction=friction,
        articulation_rad=articulation_rad,
    )
    distances = (
        ("tow vehicle alone", _distance_m(speed_m_s, alone)),
        ("pair, no brakes behind", _distance_m(speed_m_s, without)),
        ("pair as set", _distance_m(speed_m_s, pair)),
        ("road design, one car", sight_distance_ft(speed_m_s / MPH_M_S, grade=grade) * FOOT_M),
    )
    return Stop(distances, alone, pair, forces, jackknife_starts(forces))


def _distance_m(speed_m_s: float, hardest: HardestStop) -> float | None:
    if hardest.deceleration_m_s2 <= LEAST_M_S2:
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


def stop_rooms(result: Stop) -> dict[str, float]:
    """Side force left on the rear axle beyond what the push needs, where the pair stops at all."""
    if result.distances_m[2][1] is None:
        return {}
    return {"rear axle": result.forces.rear_side_left_n - result.forces.rear_side_needed_n}


def stop_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the seventh panel."""
    speed, grade, dry, wet = 60 / 3.6, 0.07, "dry, sliding 0.7", "wet, sliding 0.5"

    def found(share: float = 0.0, road: str = dry, speed_m_s: float = speed) -> Stop:
        moved = with_values(facts, {"towed_vehicle.working_brake_share": share})
        return stop(moved, speed_m_s=speed_m_s, articulation_rad=0.0, downgrade=grade, road=road)

    def far(distance_m: float | None) -> str:
        return "no end" if distance_m is None else show(distance_m, "length", system)

    plain = found()
    alone, pair = (plain.distances_m[i][1] for i in (0, 1))
    helped, rain, faster = (
        each.distances_m[2][1] for each in (found(0.3), found(road=wet), found(speed_m_s=80 / 3.6))
    )
    return (
        f"From {show(speed, 'speed', system, 2)} on a dry 7 % downgrade the tow vehicle alone needs"
        f" {far(alone)}, and {far(pair)} with the other behind it; brakes behind that do 30 % of the work"
        f" make it {far(helped)}. On a wet road it is {far(rain)}, and from"
        f" {show(80 / 3.6, 'speed', system, 2)} {far(faster)} on the dry one. **The same brakes stop two"
        " vehicles**, and the second pushes the first with"
        f" {show(max(0.0, plain.forces.push_n), 'force', system)}: in a bend that goes sideways into the rear"
        " wheels. Brake before the bend. A sloped bar takes load off one axle: level is the aim."
    )


class StopDrawing:
    """Left: stopping distances. Right: share of each axle's friction that braking uses."""

    size_in, frames, widths = (10.0, 3.6), 2, (1.35, 1.0)
    FARTHEST_M, NEAR_M = 300.0, 120.0
    NAMES = ("tow vehicle alone", "pair, no brakes behind", "pair as set", "road design, one car")

    def build(self, picture: Picture, system: str) -> None:
        """Named parts, and the frame of the friction."""
        picture.bars("distance", 0, len(self.NAMES))
        for i in range(len(self.NAMES)):
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
        picture.frame(
            0,
            title="From seeing to standing",
            x_label=f"distance [{unit_label('length', system)}]",
            x=(
                0.0,
                from_si(
                    1.4 * (self.NEAR_M if max(lengths) <= self.NEAR_M else self.FARTHEST_M), "length", system
                ),
            ),
            y_names=self.NAMES,
        )
        picture.stretch(
            "distance",
            [from_si(d, "length", system) for d in lengths],
            [d is None or d > self.FARTHEST_M for _, d in result.distances_m],
        )
        for i, ((_, distance), length) in enumerate(zip(result.distances_m, lengths, strict=True)):
            words = " does not stop" if distance is None else f" {show(distance, 'length', system)}"
            picture.say(f"distance {i}", words, from_si(length, "length", system), i)
        forces = result.forces
        if forces.rear_side_left_n > 0:
            side = forces.rear_side_needed_n / forces.rear_side_left_n
        elif result.jackknife:
            side = 1.2
        else:
            side = 0.0
        uses = [max(0.0, forces.front_use), max(0.0, forces.rear_use), side]
        shown = [100.0 * min(use, 1.2) for use in uses]
        picture.stretch("use", shown, [use >= 0.9999 for use in uses])
        for i, (use, length) in enumerate(zip(uses, shown, strict=True)):
            words = "all" if use >= 0.9999 else f"{number(100 * use, 2)} %"
            picture.say(f"use {i}", f" {words}", max(length, 100.0 if length > 80.0 else 0.0), i)
        picture.move("all", [100.0, 100.0], [-0.5, 2.5])
