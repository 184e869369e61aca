"""Lesson 05 on the reader's own rig: lines of text, with what is missing named instead of numbers."""

import math

import numpy as np

from towlib.limits.legs import DESCENT_SHARE_OF_REDLINE, DOWNGRADE, DRY_FRICTION, Leg, drive_leg
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
from towlib.road.route import Route
from towlib.units import from_si, number, show, unit_label


def own_brake_lines(facts: Facts, route: Route, system: str) -> list[str]:
    """The reader's pair over a road, both ways: brakes, gears and speeds, fluid after a stop, and stopping on
    the steepest downgrade.
    """
    lines = []
    for way in ("out", "back"):
        lines.append(f"Way {way}")
        try:
            leg = drive_leg(facts, route, way)
        except NotKnown as missing:
            lines.append(f"  not known: {missing.reason}")
            continue
        for part in (_temperatures, _map, _runaway, _stop):
            try:
                lines += [f"  {line}" for line in part(facts, leg, system)]
            except (NotKnown, ValueError) as missing:
                lines.append(f"  not known: {getattr(missing, 'reason', missing)}")
    return lines


def _temperatures(facts: Facts, leg: Leg, system: str) -> list[str]:
    lines = []
    for axle, (name, path) in enumerate(
        (
            ("Front brakes", "tow_vehicle.brakes.front_heated_mass"),
            ("Rear brakes", "tow_vehicle.brakes.rear_heated_mass"),
            ("Towed brakes", "towed_vehicle.brake_heated_mass"),
        )
    ):
        if leg.pair.brakes[axle] is None:
            if axle < 2 or facts.have("towed_vehicle.brakes_fitted"):
                lines.append(f"{name}: not known ({path})")
            continue
        lines.append(f"{name}, highest: {show(leg.highest_brake_c(axle), 'temperature', system)}")
    front = leg.pair.brakes[0]
    if front is not None:
        discs = [t[0] for t in leg.journey.brake_c]
        fluid = fluid_along_c(leg.journey.time_s, discs, air_c=leg.air_c[: len(discs)], start_c=leg.air_c[0])
        top = discs.index(max(discs))
        soak = heat_soak(
            front,
            discs[top],
            fluid_c=fluid[top],
            air_c=leg.air_c[top],
            air_density_kg_m3=leg.air_density_kg_m3[top],
        )
        lines.append(
            "Stopped where they are hottest, the front fluid would reach about"
            f" {show(soak.highest_fluid_c, 'temperature', system)} (estimate)"
        )
    return lines


def _map(facts: Facts, leg: Leg, system: str) -> list[str]:
    """Hottest brakes for every gear and five speeds, the gear held on every downgrade of 3 % and more."""
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
        highest_rpm=DESCENT_SHARE_OF_REDLINE * leg.pair.train.redline_rpm,
        start_m_s=0.0,
    )
    lines = [
        (
            f"Hottest brake [{unit_label('temperature', system)}], gear held on downgrades; -: the engine"
            " would turn too fast"
        ),
        "        " + "".join(f"{show(v, 'speed', system, 2):>10}" for v in speeds),
    ]
    for gear, row in zip(found.gears, found.hottest_c, strict=True):
        cells = ["-" if math.isnan(t) else f"{from_si(t, 'temperature', system):.0f}" for t in row]
        lines.append(f"gear {gear:<3}" + "".join(f"{cell:>10}" for cell in cells))
    return lines


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
        f" {show(free.speed_m_s, 'speed', system)}{reach}"
    ]


def _stop(facts: Facts, leg: Leg, system: str) -> list[str]:
    grade, speed = _steepest(leg)
    lines = []
    for name, friction in (("dry", DRY_FRICTION), ("wet", WET_FRICTION)):
        most = stop_on(facts, leg.way, grade, friction)
        if most.deceleration_m_s2 <= 0:
            lines.append(f"Stop on {number(-100 * grade, 2)} % down, {name}: the pair does not stop")
            continue
        forces = forces_while_stopping(
            stopper(facts, leg.way),
            most.deceleration_m_s2,
            grade=grade,
            towed_kg=towed_total_kg(facts, leg.way),
            towed_brake_n=towed_brake_n(facts, leg.way),
            friction=friction,
        )
        distance = pair_stopping_distance_m(speed, most, reaction_s=REACTION_S)
        lines.append(
            f"Stop on {number(-100 * grade, 2)} % down from {show(speed, 'speed', system)}, {name}:"
            f" {show(distance, 'length', system)}, set by the {most.set_by}; push on the ball"
            f" {show(forces.push_n, 'force', system)}"
        )
    return lines
