"""Climbing: steepest grades and speeds held, against statics done by hand and a second way of solving."""

import math

import numpy as np
import pytest

from towlib.physics.drive import climb
from towlib.physics.drive.journey import Pair
from towlib.physics.drive.powertrain import EXAMPLE, wheel_force_n
from towlib.physics.drive.traction import operating_point

PAIR = Pair(3900, 0.013, 1.9, EXAMPLE, 20e3, (None, None, None), (0.7, 0.3, 0.0), None)
G = 9.80665


def test_steepest_grade_balances_the_forces():
    # put the answer back into the balance of forces, written out here: F = m·g·(sin + c·cos) + ½·rho·CdA·v²
    for gear, speed in ((1, 5.0), (2, 12.0), (3, 20.0), (6, 30.0)):
        grade = climb.steepest_grade(PAIR, speed, gear, power_factor=0.8, air_density_kg_m3=1.0)
        theta = math.atan(grade)
        needed = 3900 * G * (math.sin(theta) + 0.013 * math.cos(theta)) + 0.5 * 1.9 * speed**2
        assert needed == pytest.approx(
            min(20e3, wheel_force_n(PAIR.train, speed, gear, power_factor=0.8)), rel=1e-9
        )


def test_no_pull_no_grade():
    assert (
        climb.steepest_grade(PAIR, 40.0, 1, power_factor=1.0, air_density_kg_m3=1.0) is None
    )  # far above the redline
    light = PAIR._replace(mass_kg=500.0)
    assert (
        climb.steepest_grade(light, 2.0, 1, power_factor=1.0, air_density_kg_m3=1.0) is None
    )  # pull above the weight
    half_more = light._replace(
        mass_kg=light.grip_n / 9.80665 / 1.5, drag_area_m2=0.0
    )  # the tyres hold half more than the weight
    assert climb.steepest_grade(half_more, 2.0, 1, power_factor=1.0, air_density_kg_m3=1.0) is None


@pytest.mark.parametrize("grade", [0.02, 0.05, 0.08, 0.11])
def test_steady_speed_against_a_search_in_numpy(grade):
    # an independent search: the largest speed on a fine grid at which the best gear gives at least the load
    speeds = np.arange(0.05, 45.0, 0.05)
    best = np.zeros_like(speeds)
    for ratio in EXAMPLE.gear_ratios:
        rpm = speeds / 0.356 * ratio * 3.73 * 60 / (2 * math.pi)
        torque = np.where(
            rpm < 2000,
            np.interp(
                np.maximum(rpm, 2000 if ratio == 4.1 else 0), EXAMPLE.curve_rpm, EXAMPLE.curve_torque_n_m
            ),
            np.interp(rpm, EXAMPLE.curve_rpm, EXAMPLE.curve_torque_n_m),
        )
        usable = (rpm <= 5800) & ((rpm >= 1300) | (ratio == 4.1))
        best = np.maximum(best, np.where(usable, torque, 0) * 0.8 * ratio * 3.73 * 0.88 / 0.356)
    theta = math.atan(grade)
    load = 3900 * G * (math.sin(theta) + 0.013 * math.cos(theta)) + 0.5 * 1.9 * speeds**2
    expected = speeds[best >= load].max()
    point = operating_point(PAIR, grade, wanted_m_s=45.0, power_factor=0.8, air_density_kg_m3=1.0)
    assert 0.0 <= point.speed_m_s - expected < 0.05


def test_pulling_away_by_hand():
    # by hand: 12 %: sin 0.119145, cos 0.992877; 3,900 × 9.80665 × (0.119145 + 0.013 × 0.992877) + 3,900 ×
    # 1.05 × 0.3 = 6,279 N
    assert climb.pull_away_needed_n(3900, 0.12, rolling_coefficient=0.013) == pytest.approx(6278.9, abs=0.5)
    # by hand: at 2,000 rpm 320 N·m; × 1.9 × 4.1 × 3.73 × 0.88 / 0.356 = 22,984 N
    assert climb.pull_away_force_n(PAIR, power_factor=1.0) == pytest.approx(
        320 * 1.9 * 4.1 * 3.73 * 0.88 / 0.356, rel=1e-9
    )


def test_rpm_in_every_gear_by_hand():
    # by hand: 25 m/s on 0.356 m is 70.225 rad/s; 5th gear 0.95 × 3.73 = 3.5435 -> 2,376 rpm
    assert climb.rpm_in_gears(PAIR, 25.0)[4] == pytest.approx(2376.2, abs=0.2)


def test_reference_climb_grade_is_within_signed_grades():
    # SAE J2807's reference climb, read in an encyclopedia: 3,500 ft over about 11 miles; common practice, no
    # source: mountain
    # highways are signed at 5 to 7 %
    assert 0.05 < 3500 / (11 * 5280) < 0.07
