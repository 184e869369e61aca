"""All gears and speeds at once, against single drives, on every demo road, and quickly."""

import time

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from towlib.limits.legs import pair_on_road
from towlib.physics.basics.atmosphere import air_density_kg_m3, air_temperature_along_c
from towlib.physics.brakes.brake_heat import AxleBrakes
from towlib.physics.drive.descent_map import descent_map
from towlib.physics.drive.journey import Pair, allowed_speeds_m_s, drive
from towlib.physics.drive.powertrain import EXAMPLE
from towlib.rig.facts import Facts
from towlib.rig.model import load_rig
from towlib.road.route import load_route

ROADS = ("short_steep_pass.csv", "long_mountain_crossing.csv", "rolling_road.csv")
PAIR = Pair(
    3900, 0.013, 1.9, EXAMPLE, 9e3, (AxleBrakes(20, 0.5), AxleBrakes(16, 0.4), None), (0.68, 0.32, 0.0), None
)


def _road(name, *, cruise=22.0):
    route = load_route(f"data/routes/{name}")
    middle = 0.5 * (route.elevation_m[1:] + route.elevation_m[:-1])
    air = air_temperature_along_c(30.0, float(route.elevation_m[0]), middle)
    limit = np.where(np.isnan(route.speed_limit_m_s), cruise, np.minimum(route.speed_limit_m_s, cruise))
    return dict(
        grade=route.grade.tolist(),
        step_m=route.step_m,
        held=(route.grade < -0.03).tolist(),
        limit_m_s=limit.tolist(),
        air_c=air.tolist(),
        air_density_kg_m3=air_density_kg_m3(middle, air).tolist(),
        brake_start_c=30.0,
    )


def _even(n=100, **change):
    return (
        dict(
            grade=[-0.07] * n,
            step_m=50.0,
            held=[True] * n,
            limit_m_s=[30.0] * n,
            air_c=[20.0] * n,
            air_density_kg_m3=[1.1] * n,
            brake_start_c=20.0,
            highest_rpm=4600.0,
        )
        | change
    )


@pytest.mark.parametrize("towed_brakes", [False, True])
@pytest.mark.parametrize("road", ROADS)
@pytest.mark.parametrize("rig", ["demo_comfortable", "demo_overloaded"])
def test_single_cells_agree_with_the_integrator(rig, road, towed_brakes):
    pair, road = pair_on_road(Facts(load_rig(f"data/rigs/{rig}.toml")), "out"), _road(road)
    if towed_brakes:
        pair = pair._replace(brakes=(*pair.brakes[:2], AxleBrakes(20, 0.6)), brake_shares=(0.45, 0.25, 0.30))
    speeds = np.linspace(5.0, 22.0, 9)
    found = descent_map(pair, speeds, **road, highest_rpm=0.8 * pair.train.redline_rpm, start_m_s=0.0)
    for gear, column in ((1, 0), (2, 3), (2, 8), (4, 5), (len(pair.train.gear_ratios), 7)):
        wanted = np.where(road["held"], np.minimum(road["limit_m_s"], speeds[column]), road["limit_m_s"])
        trip = drive(
            pair,
            step_m=road["step_m"],
            grade=road["grade"],
            target_m_s=allowed_speeds_m_s(wanted.tolist(), step_m=road["step_m"]),
            descent_gear=[gear if held else 0 for held in road["held"]],
            air_c=road["air_c"],
            air_density_kg_m3=road["air_density_kg_m3"],
            brake_start_c=(30.0,) * 3,
            coolant_start_c=90.0,
        )
        held_rpm = max(
            v
            / pair.train.rolling_radius_m
            * pair.train.gear_ratios[gear - 1]
            * pair.train.final_drive
            * 9.549297
            for v, held in zip(trip.speed_m_s, road["held"], strict=True)
            if held
        )
        if held_rpm > 0.8 * pair.train.redline_rpm:
            assert np.isnan(found.hottest_c[gear - 1, column])
            continue
        axles = 3 if towed_brakes else 2
        assert found.hottest_c[gear - 1, column] == pytest.approx(
            max(max(t[:axles]) for t in trip.brake_c), abs=0.5
        )
        assert found.end_c[:axles, gear - 1, column] == pytest.approx(trip.brake_c[-1][:axles], abs=0.5)


def test_eight_gears_and_forty_speeds_over_forty_kilometres_take_less_than_two_seconds():
    pair, road = (
        pair_on_road(Facts(load_rig("data/rigs/demo_comfortable.toml")), "out"),
        _road("rolling_road.csv"),
    )  # 40.7 km
    gears = len(pair.train.gear_ratios)
    assert gears >= 8
    start = time.perf_counter()
    found = descent_map(pair, np.linspace(5.0, 22.0, 40), **road, highest_rpm=4800.0)
    assert time.perf_counter() - start < 2.0
    assert found.hottest_c.shape == (gears, 40)


def test_an_even_downgrade_against_scipy():
    # 7 % at 15 m/s in 3rd gear, entered at that speed; forces by hand from the equations, SciPy integrates
    # the front axle and the fluid
    found = descent_map(PAIR, [15.0], **_even(n=200))
    cosine = 1 / np.sqrt(1 + 0.07**2)
    rpm = 15 / 0.356 * 1.5 * 3.73 * 60 / (2 * np.pi)
    motoring = (97 + 15 * rpm / 1e3 + 5 * (rpm / 1e3) ** 2 + 60 * 1.1 / 1.225) * 1e3 * 0.0036 / (4 * np.pi)
    brake_n = (
        3900 * 9.80665 * cosine * (0.07 - 0.013)
        - 0.5 * 1.1 * 1.9 * 225
        - motoring * 1.5 * 3.73 / (0.88 * 0.356)
    )
    plate = 5 + 0.037 * (1.1 * 15 * 0.3 / 1.85e-5) ** 0.8 * 0.71 ** (1 / 3) * 0.026 / 0.3

    def slope(t, y):
        lost = 0.5 * (0.6 * plate * (y[0] - 20) + 0.8 * 5.670374419e-8 * ((y[0] + 273.15) ** 4 - 293.15**4))
        return [(0.68 * brake_n * 15 - lost) / (20 * 452), (4.0 * (y[0] - y[1]) - 3.0 * (y[1] - 20)) / 5000]

    oracle = solve_ivp(slope, (0, 200 * 50 / cosine / 15), [20.0, 20.0], rtol=1e-9, atol=1e-9).y[:, -1]
    assert found.hottest_c[2, 0] == pytest.approx(oracle[0], abs=0.5) and oracle[0] > 200
    assert found.fluid_c[2, 0] == pytest.approx(oracle[1], abs=0.1)


@settings(max_examples=25, deadline=None)
@given(steeper=st.floats(0, 0.03), hotter=st.floats(0, 20), more=st.floats(0, 900))
def test_hotter_heavier_steeper_or_a_higher_gear_is_never_cooler(steeper, hotter, more):
    speeds = [8.0, 12.0, 18.0]
    base = descent_map(PAIR, speeds, **_even()).hottest_c
    worse = descent_map(
        PAIR._replace(mass_kg=3900 + more),
        speeds,
        **_even(grade=[-0.07 - steeper] * 100, air_c=[20.0 + hotter] * 100, brake_start_c=20.0 + hotter),
    ).hottest_c
    known = ~np.isnan(base)
    assert np.all(worse[known] >= base[known] - 1e-9)
    for column in range(3):
        rising = base[~np.isnan(base[:, column]), column]
        above_idle = rising[
            : sum(
                v / 0.356 * r * 3.73 * 9.549297 >= 700 for v in [speeds[column]] for r in EXAMPLE.gear_ratios
            )
            - (len(base) - len(rising))
        ]
        assert np.all(np.diff(above_idle) >= -1e-9)


def test_twice_the_steps_change_less_than_half_a_kelvin():
    coarse, fine = (
        descent_map(PAIR, [6.0, 10.0, 15.0, 20.0], **_even(n=100 * k, step_m=50.0 / k)) for k in (1, 2)
    )
    assert np.nanmax(np.abs(coarse.hottest_c - fine.hottest_c)) < 0.5


def test_a_pair_that_cannot_climb_and_a_gear_that_overrevs_are_not_drawn():
    steep = _even(grade=[0.5] * 40 + [-0.07] * 60, held=[False] * 40 + [True] * 60)
    assert np.all(np.isnan(descent_map(PAIR, [15.0], **steep, start_m_s=0.0).hottest_c))
    assert np.isnan(descent_map(PAIR, [25.0], **_even()).hottest_c[0, 0])  # 1st gear at 90 km/h: 10,250 rpm


def test_impossible_input_is_refused():
    with pytest.raises(ValueError, match="not known"):
        descent_map(PAIR._replace(brakes=(None, None, None)), [10.0], **_even())
    with pytest.raises(ValueError, match="above zero"):
        descent_map(PAIR, [0.0], **_even())
