"""A drive in small steps of time, written apart from the library: one gear, one grade after the other. What
it says of temperatures and fuel holds the limits of the road to account.

Equations: Newton's second law; radiator and engine friction as the docstrings of `towlib.physics.drive` state
them (from memory there, so the physics is not proved here, only that the limits ask it rightly); brakes:
turbulent flat plate and Stefan-Boltzmann.
"""

import math
from typing import NamedTuple

from tests.limits.made import PAIR_KG, G, gagg_ferrar, isa_density, rolling

DT = 0.05


class Driven(NamedTuple):
    """What the drive came to."""

    brakes_c: list[float]  # highest of front, rear, towed
    coolant_c: float
    fuel_m3: float
    time_s: float


def hand_drive(
    stretches: list[tuple[float, float]],
    way: str,
    *,
    ratio: float,
    cruise: float = 20.0,
    descent: float = 15.0,
    start_m: float = 300.0,
    air_c_at_start: float = 25.0,
    start_of_out_m: float = 300.0,
    towed_share: float = 0.2,
    braking_factor: float = 1.0,
) -> Driven:
    """The made-up rig with a single gear over stretches of (length, grade): 1 m/s² at most when gaining
    speed, 0.8 m/s² when slowing down ahead of a downgrade of 3 % or more.
    """
    mass, c, area = PAIR_KG[way], rolling(way), 2.0
    shares = (0.65 * (1 - towed_share), 0.35 * (1 - towed_share), towed_share)
    brakes = [(20, 0.5), (15, 0.4), (12, 0.3)]
    starts, place = [], 0.0
    for length, grade in stretches:
        starts.append((place, grade))
        place += length
    x, v, height, fuel, time, total = 0.0, 0.0, start_m, 0.0, 0.0, place
    air = air_c_at_start - 0.0065 * (height - start_of_out_m)
    hot, highest, coolant, hottest = [air] * 3, [air] * 3, 80.0, 80.0
    per_m = ratio * 4.0 / 0.35 * 30 / math.pi  # rpm for each m/s
    while x < total:
        at = max(i for i, (start, _) in enumerate(starts) if start <= x)
        grade = starts[at][1]
        air = air_c_at_start - 0.0065 * (height - start_of_out_m)
        rho = isa_density(height, air)
        allowed = min(cruise, descent) if grade <= -0.03 else cruise
        for start, ahead in starts[at + 1 :]:
            if ahead <= -0.03:
                allowed = min(allowed, math.sqrt(descent**2 + 2 * 0.8 * max(0.0, start + 25 - x)))
        cos = 1 / math.sqrt(1 + grade * grade)
        steady = mass * G * cos * (grade + c) + 0.5 * rho * area * v * v
        wanted = max(-0.8, min(1.0, (allowed - v) / DT))
        needed = steady + 1.05 * mass * wanted
        rpm = v * per_m
        pull = gagg_ferrar(rho) * 240 * ratio * 4 * 0.85 / 0.35
        drive = min(max(0.0, needed), pull)
        least = 1500.0 if drive > 0 else 700.0
        shaft_rpm = max(rpm, least)
        friction_kpa = 97 + 15 * rpm / 1000 + 5 * (rpm / 1000) ** 2 + 60 * rho / 1.225
        engine = friction_kpa * 1e3 * 0.004 / (4 * math.pi) * ratio * 4 / (0.85 * 0.35) if rpm >= 700 else 0.0
        engine = min(braking_factor * engine, max(0.0, -needed))
        brake = max(0.0, -needed) - engine
        # fuel: shaft power and the engine's own friction over 40 %; none while it holds back
        n = shaft_rpm / 1000
        own_w = (97 + 15 * n + 5 * n * n) * 1e3 * 0.004 / (4 * math.pi) * shaft_rpm * math.pi / 30
        burnt = 0.0 if engine > 0 else (drive * v / 0.85 + own_w) / 0.4
        fuel += burnt * DT / 32e9
        radiator = 1500 * (0.4 + 0.6 * (v / 25) ** 0.6) * (rho / 1.225) ** 0.6
        coolant += DT / 120e3 * (0.28 * burnt - radiator * (coolant - air))
        coolant = max(coolant, 80.0)
        hottest = max(hottest, coolant)
        for i, (kg, m2) in enumerate(brakes):
            plate = 5 + 0.037 * (rho * v * 0.3 / 1.85e-5) ** 0.8 * 0.71 ** (1 / 3) * 0.026 / 0.3
            lost = 0.6 * plate * (hot[i] - air)
            lost += 0.8 * 5.670374419e-8 * ((hot[i] + 273.15) ** 4 - (air + 273.15) ** 4)
            hot[i] += DT / (kg * 452) * (shares[i] * brake * v - m2 * lost)
            highest[i] = max(highest[i], hot[i])
        net = drive - engine - brake - steady
        end = max(0.0, v + net / (1.05 * mass) * DT)
        step = 0.5 * (v + end) * DT
        x, height = x + step * cos, height + step * cos * grade
        v, time = end, time + DT
    return Driven(highest, hottest, fuel, time)
