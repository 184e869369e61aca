"""Lesson 05 on the rig in use: sentences, with what is missing named instead of numbers."""

import contextlib
import math
from typing import NamedTuple

import numpy as np

from towlib.errors import InputError
from towlib.lessons.l05_brakes.descent_budget import AIR_DENSITY_KG_M3, calm_rpm, fluid_side
from towlib.limits.legs import DOWNGRADE, DRY_FRICTION, Leg, drive_leg, pair_on_road
from towlib.limits.loads import towed_total_kg
from towlib.limits.stopping_limits import (
    REACTION_S,
    WET_FRICTION,
    steepest_down,
    stop_on,
    stopper,
    towed_brake_n,
)
from towlib.physics.brakes.brake_fluid import fluid_along_c, heat_soak
from towlib.physics.brakes.stops import forces_while_stopping, pair_stopping_distance_m
from towlib.physics.drive.descent_map import descent_map
from towlib.physics.drive.runaway import rolling_distance_m, runaway_speed
from towlib.rig.facts import Facts, NotKnown
from towlib.rig.model import label_of
from towlib.road.route import Route
from towlib.units import number, show


class LimitName(NamedTuple):
    """A limit of the plan, by name."""

    key: str


BRAKE_LIMITS = tuple(
    LimitName(key) for key in ("front_brakes", "rear_brakes", "towed_brakes", "stop_level", "stop_down")
)
LOST_GRADE, LOST_M_S = 0.07, 40 / 3.6  # where and how fast the brakes are lost in the lesson


def own_brake_lines(facts: Facts, route: Route, system: str) -> list[str]:
    """The pair over a road, both ways: brakes, gears and speeds, fluid after a stop, and stopping on the
    steepest downgrade.
    """
    lines = []
    for way, heading in (("out", "The way out:"), ("back", "The way back:")):
        lines.append(heading)
        try:
            leg = drive_leg(facts, route, way)
        except NotKnown as missing:
            lines.append(_missing_words(missing))
            continue
        for part in (_temperatures, _map, _runaway, _stop):
            try:
                lines += part(facts, leg, system)
            except (NotKnown, ValueError) as missing:
                lines.append(_missing_words(missing))
    return lines


def runaway_lines(facts: Facts, system: str) -> list[str]:
    """Brakes that no longer hold on an even downgrade: how soon the pair runs away, and where each of the
    first gears holds it.
    """
    try:
        pair = pair_on_road(facts, "out")
    except NotKnown as missing:
        return [_missing_words(missing)]
    start, grade = show(LOST_M_S, "speed", system, 2), f"{number(100 * LOST_GRADE, 2)} %"

    def settles(gear: int) -> str:
        speed = runaway_speed(pair, -LOST_GRADE, gear=gear, air_density_kg_m3=AIR_DENSITY_KG_M3).speed_m_s
        return show(speed, "speed", system, 2)

    twice = rolling_distance_m(
        pair, -LOST_GRADE, start_m_s=LOST_M_S, end_m_s=2 * LOST_M_S, air_density_kg_m3=AIR_DENSITY_KG_M3
    )
    soon = (
        f"twice as fast after {show(twice, 'length', system, 2)}, and "
        if math.isfinite(twice)
        else "never twice as fast: it "
    )
    gears = "; ".join(
        f"in gear {g} at {settles(g)}" for g in range(1, min(3, len(pair.train.gear_ratios)) + 1)
    )
    return [
        f"Brakes gone on {grade} at {start}, in neutral: the pair is {soon}would settle at {settles(0)}.",
        f"With the engine holding back it settles {gears}.",
    ]


def _missing_words(missing: Exception) -> str:
    reason = str(getattr(missing, "reason", missing))
    with contextlib.suppress(InputError, ValueError):  # else a sentence already
        reason = label_of(reason)
    return f"Not known: {reason}."


def _temperatures(facts: Facts, leg: Leg, system: str) -> list[str]:
    found = []
    for axle, (name, path) in enumerate(
        (
            ("front brakes", "tow_vehicle.brakes.front_heated_mass"),
            ("rear brakes", "tow_vehicle.brakes.rear_heated_mass"),
            ("towed brakes", "towed_vehicle.brake_heated_mass"),
        )
    ):
        if leg.pair.brakes[axle] is None:
            if axle < 2 or facts.have("towed_vehicle.brakes_fitted"):
                found.append(f"{name} not known ({label_of(path)})")
            continue
        found.append(f"{name} {show(leg.highest_brake_c(axle), 'temperature', system)}")
    lines = [f"Highest: {', '.join(found)}."] if found else []
    front = leg.pair.brakes[0]
    if front is not None:
        discs, side = [t[0] for t in leg.journey.brake_c], fluid_side(facts)
        fluid = fluid_along_c(
            leg.journey.time_s, discs, air_c=leg.air_c[: len(discs)], start_c=leg.air_c[0], side=side
        )
        top = discs.index(max(discs))
        soak = heat_soak(
            front,
            discs[top],
            fluid_c=fluid[top],
            air_c=leg.air_c[top],
            side=side,
            air_density_kg_m3=leg.air_density_kg_m3[top],
        )
        lines.append(
            "Stopped where they are hottest, the front fluid would reach about"
            f" {show(soak.highest_fluid_c, 'temperature', system)} (estimate)."
        )
    return lines


def _map(facts: Facts, leg: Leg, system: str) -> list[str]:
    """For each gear held on every downgrade of 3 % and more, the coolest of five speeds."""
    route, cruise = leg.route, facts.need("conditions.cruise_speed")
    fastest = facts.need("conditions.descent_speed")
    limit = np.where(np.isnan(route.speed_limit_m_s), cruise, np.minimum(route.speed_limit_m_s, cruise))
    speeds = np.linspace(0.4, 1.2, 5) * fastest
    found = descent_map(
        leg.pair,
        speeds,
        grade=route.grade.tolist(),
        step_m=route.step_m,
        held=(route.grade <= DOWNGRADE).tolist(),
        limit_m_s=limit.tolist(),
        air_c=leg.air_c,
        air_density_kg_m3=leg.air_density_kg_m3,
        brake_start_c=leg.air_c[0],
        highest_rpm=calm_rpm(leg.pair.train),
        start_m_s=0.0,
        fluid=fluid_side(facts),
    )
    gears = []
    for gear, row in zip(found.gears, found.hottest_c, strict=True):
        if np.isnan(row).all():
            gears.append(f"gear {gear} turns the engine too fast")
            continue
        best = int(np.nanargmin(row))
        gears.append(
            f"gear {gear} {show(float(row[best]), 'temperature', system)} at"
            f" {show(float(speeds[best]), 'speed', system, 2)}"
        )
    first, last = (show(float(v), "speed", system, 2) for v in (speeds[0], speeds[-1]))
    return [
        f"Hottest brake with one gear held on all downgrades, at the best of five speeds from {first} to"
        f" {last}: {'; '.join(gears)}."
    ]


def _steepest(leg: Leg) -> tuple[float, float]:
    """Grade of the steepest 200 m downhill, and the mean speed driven on the steepest stretch."""
    grade = steepest_down(leg.route, "out")  # the leg's own road already runs this way
    if grade >= 0:
        raise NotKnown(f"no downgrade on the way {leg.way}")
    return grade, min(leg.rows, key=lambda row: row.segment.mean_grade).speed_m_s


def _runaway(facts: Facts, leg: Leg, system: str) -> list[str]:
    grade, speed = _steepest(leg)
    density = leg.air_density_kg_m3[0]
    gear = min(leg.rows, key=lambda row: row.segment.mean_grade).gear
    held, free = (runaway_speed(leg.pair, grade, gear=g, air_density_kg_m3=density) for g in (gear, 0))
    soon = rolling_distance_m(
        leg.pair, grade, start_m_s=speed, end_m_s=1.5 * speed, air_density_kg_m3=density
    )
    reach = (
        f"; {show(1.5 * speed, 'speed', system)} after {show(soon, 'length', system, 2)}"
        if math.isfinite(soon)
        else ""
    )
    return [
        f"Brakes gone on the steepest {number(-100 * grade, 2)} %: in gear {gear} it settles at"
        f" {show(held.speed_m_s, 'speed', system)} ({number(held.rpm, 2)} rpm), in neutral at"
        f" {show(free.speed_m_s, 'speed', system)}{reach}."
    ]


def _stop(facts: Facts, leg: Leg, system: str) -> list[str]:
    grade, speed = _steepest(leg)
    lines = []
    for name, friction in (("dry", DRY_FRICTION), ("wet", WET_FRICTION)):
        most = stop_on(facts, leg.way, grade, friction)
        if most.deceleration_m_s2 <= 0:
            lines.append(f"Stop on {number(-100 * grade, 2)} % down, {name}: the pair does not stop.")
            continue
        forces = forces_while_stopping(
            stopper(facts, leg.way),
            most.deceleration_m_s2,
            grade=grade,
            towed_kg=towed_total_kg(facts, leg.way),
            towed_brake_n=towed_brake_n(facts, leg.way, grade=grade, friction=friction),
            friction=friction,
        )
        distance = pair_stopping_distance_m(speed, most, reaction_s=REACTION_S)
        lines.append(
            f"Stop on {number(-100 * grade, 2)} % down from {show(speed, 'speed', system)}, {name}:"
            f" {show(distance, 'length', system)}, set by the {most.set_by}; push on the ball"
            f" {show(forces.push_n, 'force', system)}."
        )
    return lines
