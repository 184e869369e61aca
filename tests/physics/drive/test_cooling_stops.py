"""Halts for the coolant: the exponential against SciPy, the plan against its own limit, the reference climb
as a yardstick.
"""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from towlib.handbook.tables import check_close
from towlib.physics.drive.cooling import CoolingSystem
from towlib.physics.drive.cooling_stops import (
    SHORTEST_BETWEEN_M,
    cooling_stop_s,
    idle_coolant_heat_w,
    plan_cooling_stops,
)
from towlib.physics.drive.journey import Pair, drive
from towlib.physics.drive.powertrain import EXAMPLE
from towlib.physics.drive.reference_climb import (
    FOOT_M,
    LENGTH_M,
    LOWEST_M_S,
    MILE_M,
    RISE_M,
    START_C,
    reference_climb,
)

SYSTEM = CoolingSystem(1500.0, 90.0, 60e3)
PAIR = Pair(3900, 0.013, 1.9, EXAMPLE, 9e3, (None, None, None), (0.7, 0.3, 0.0), SYSTEM)


@given(
    hot=st.floats(96, 130),
    wanted=st.floats(90, 95),
    air=st.floats(-10, 45),
    heat=st.floats(0, 5e3),
    density=st.floats(0.8, 1.2),
)
def test_halt_against_scipy(hot, wanted, air, heat, density):
    # C dT/dt = Q - UA·(T - T_air) with 40 % of 1,500 W/K, thinned by (rho/1.225)^0.6, integrated for the time
    # we say
    seconds = cooling_stop_s(SYSTEM, hot, wanted, heat_w=heat, air_c=air, air_density_kg_m3=density)
    ua = 0.4 * 1500 * (density / 1.225) ** 0.6
    end = solve_ivp(
        lambda t, y: [(heat - ua * (y[0] - air)) / 60e3], (0, seconds), [hot], rtol=1e-9, atol=1e-9
    ).y[0, -1]
    assert end == pytest.approx(wanted, abs=1e-4)


def test_halt_by_hand():
    # by hand: 600 W/K at sea level, air 35, no heat: 60,000/600 × ln(83/60) = 32.45 s
    assert cooling_stop_s(SYSTEM, 118, 95, heat_w=0, air_c=35, air_density_kg_m3=1.225) == pytest.approx(
        32.45, abs=0.01
    )
    assert cooling_stop_s(SYSTEM, 94, 95, heat_w=0, air_c=35, air_density_kg_m3=1.225) == 0.0
    assert (
        cooling_stop_s(SYSTEM, 118, 95, heat_w=600 * 61, air_c=35, air_density_kg_m3=1.225) is None
    )  # it settles at 96
    # by hand: 700 rpm: 97 + 10.5 + 2.45 = 109.95 kPa × 0.0036/(4 pi) = 31.498 N·m × 73.304 rad/s = 2,308.9 W;
    # / 0.4 × 0.28 = 1,616 W
    assert idle_coolant_heat_w(0.0036, 700, system=SYSTEM) == pytest.approx(1616.2, abs=0.5)


def _trip(system, n=500, grade=0.07, speed=20.0):
    pair = PAIR._replace(cooling=system)
    air = {"air_c": [35.0] * n, "air_density_kg_m3": [1.0] * n}
    return (
        pair,
        air,
        drive(
            pair,
            step_m=25.0,
            grade=[grade] * n,
            target_m_s=[speed] * n,
            descent_gear=[0] * n,
            brake_start_c=(35.0,) * 3,
            coolant_start_c=90.0,
            **air,
        ),
    )


@settings(max_examples=20, deadline=None)
@given(conductance=st.floats(700, 1600), grade=st.floats(0.04, 0.08))
def test_the_plan_keeps_the_limit_or_says_where_halts_no_longer_help(conductance, grade):
    pair, air, trip = _trip(SYSTEM._replace(conductance_w_k=conductance), grade=grade)
    plan = plan_cooling_stops(pair, trip, step_m=25.0, highest_c=115.0, restart_c=95.0, start_c=90.0, **air)
    assert all(c <= 115.0 + 1e-9 for c in plan.coolant_c)
    if not plan.stops and plan.gives_up_at_m is None:
        # without a halt it is the drive's own coolant, recomputed from what the drive has written down
        assert plan.coolant_c == pytest.approx(trip.coolant_c, abs=0.02) and max(trip.coolant_c) <= 115.01
    else:
        assert max(trip.coolant_c) > 115.0
    gaps = np.diff([stop.at_m for stop in plan.stops])
    assert all(gap >= SHORTEST_BETWEEN_M for gap in gaps)
    assert all(stop.time_s > 0 and stop.from_c > 95.0 for stop in plan.stops)


def test_far_too_little_radiator_is_not_mended_by_halts():
    pair, air, trip = _trip(SYSTEM._replace(conductance_w_k=400.0))
    plan = plan_cooling_stops(pair, trip, step_m=25.0, highest_c=115.0, restart_c=95.0, start_c=90.0, **air)
    assert plan.gives_up_at_m is not None and len(plan.coolant_c) < len(trip.coolant_c)


def test_impossible_values_are_refused():
    pair, air, trip = _trip(SYSTEM)
    plan = {"step_m": 25.0, "start_c": 90.0, **air}
    with pytest.raises(ValueError, match="thermostat"):
        cooling_stop_s(SYSTEM, 118, 80, heat_w=0, air_c=35, air_density_kg_m3=1.0)
    with pytest.raises(ValueError, match="between the thermostat's and the limit"):
        plan_cooling_stops(pair, trip, highest_c=95.0, restart_c=95.0, **plan)
    with pytest.raises(ValueError, match="not known"):
        plan_cooling_stops(pair._replace(cooling=None), trip, highest_c=115.0, restart_c=95.0, **plan)


def test_reference_climb_figures():
    # read in an encyclopedia: 3,500 ft over about 11 miles, 100 degF at the start, never below 40 mph; 11.4
    # miles from memory
    check_close(100 * RISE_M / LENGTH_M, "reference_climb_long")
    check_close(100 * RISE_M / (11 * MILE_M), "reference_climb")
    assert (
        pytest.approx(3500) == RISE_M / FOOT_M
        and pytest.approx(37.78, abs=0.01) == START_C
        and pytest.approx(17.88, abs=0.01) == LOWEST_M_S
    )


def test_reference_climb_speed_is_the_steady_crossing_at_the_top():
    # a weak pair: its lowest speed is at the top, in the thinnest air, where power balances load. By hand
    # from the equations:
    # standard pressure at 4,000 ft (geometric), 100 degF less 6.5 K/km of rise
    train = EXAMPLE._replace(curve_torque_n_m=(140.0, 170.0, 170.0, 150.0))
    climbed = reference_climb(PAIR._replace(train=train))
    assert climbed.highest_coolant_c == max(climbed.journey.coolant_c) > min(climbed.journey.coolant_c)
    z = 4000 * 0.3048
    geo = 6_356_766 * z / (6_356_766 + z)
    air_k = START_C + 273.15 - 0.0065 * RISE_M
    density = 101325 * (1 - 0.0065 * geo / 288.15) ** 5.25588 / (287.05287 * air_k)
    s = density / 1.225
    factor = s - (1 - s) / 7.55
    theta = math.atan(RISE_M / LENGTH_M)

    def surplus(v):
        pull = 0.0
        for i in EXAMPLE.gear_ratios:
            rpm = v / 0.356 * i * 3.73 * 60 / (2 * math.pi)
            if 1300 <= rpm <= 5800:
                pull = max(
                    pull,
                    np.interp(rpm, train.curve_rpm, train.curve_torque_n_m)
                    * factor
                    * i
                    * 3.73
                    * 0.88
                    / 0.356,
                )
        return (
            pull - 3900 * 9.80665 * (math.sin(theta) + 0.013 * math.cos(theta)) - 0.5 * density * 1.9 * v * v
        )

    speeds = np.arange(5, 27, 0.01)
    steady = max(v for v in speeds if surplus(v) >= 0)
    assert climbed.lowest_m_s == pytest.approx(steady, abs=0.15)
    assert climbed.journey.distance_m[int(np.argmin(climbed.journey.speed_m_s[200:])) + 200] > 0.95 * LENGTH_M
    assert climbed.holds == (steady >= LOWEST_M_S)


def test_reference_climb_hardly_depends_on_the_cutting_and_heavier_is_never_faster():
    coarse, fine = (reference_climb(PAIR._replace(mass_kg=5200), steps=n) for n in (700, 1400))
    assert fine.lowest_m_s * 3.6 == pytest.approx(coarse.lowest_m_s * 3.6, abs=0.1)
    assert fine.highest_coolant_c == pytest.approx(coarse.highest_coolant_c, abs=0.5)
    speeds = [
        reference_climb(PAIR._replace(mass_kg=m), steps=200).lowest_m_s for m in (3900, 5200, 6500, 8000)
    ]
    assert speeds == sorted(speeds, reverse=True)
    with pytest.raises(ValueError, match="ten steps"):
        reference_climb(PAIR, steps=5)


def test_the_distance_counts_from_the_last_halt_not_from_the_first():
    # after 5 km the air is 80 °C, hotter than any road: halts that were a kilometre apart come closer than is
    # worth planning
    pair, air, trip = _trip(CoolingSystem(1000.0, 90.0, 60e3))
    plan = plan_cooling_stops(
        pair,
        trip,
        step_m=25.0,
        highest_c=118.0,
        restart_c=95.0,
        start_c=90.0,
        **air | {"air_c": [35.0] * 200 + [80.0] * 300},
    )
    assert (
        len(plan.stops) > 2
        and plan.gives_up_at_m is not None
        and 0 < plan.gives_up_at_m - plan.stops[-1].at_m < SHORTEST_BETWEEN_M
    )
