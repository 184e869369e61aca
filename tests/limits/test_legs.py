"""The road driven: segments add up, the driver keeps to limits, and brakes by a second integration."""

import numpy as np
import pytest

from towlib.limits.legs import drive_leg, powertrain
from towlib.rig.facts import Facts, NotKnown
from towlib.rig.model import load_rig
from towlib.road.route import load_route

ROADS = ("short_steep_pass.csv", "long_mountain_crossing.csv", "rolling_road.csv")
RIGS = ("demo_comfortable", "demo_overloaded")


@pytest.fixture(
    scope="module",
    params=[(rig, road, way) for rig in RIGS for road in ROADS for way in ("out", "back")],
    ids="-".join,
)
def leg(request):
    rig, road, way = request.param
    return drive_leg(Facts(load_rig(f"data/rigs/{rig}.toml")), load_route(f"data/routes/{road}"), way)


def test_segments_add_up(leg):
    assert sum(row.time_s for row in leg.rows) == pytest.approx(leg.journey.time_s[-1], rel=1e-9)
    assert sum(row.fuel_m3 for row in leg.rows) == pytest.approx(leg.journey.fuel_m3[-1], rel=1e-9)
    assert leg.rows[-1].segment.end_m == pytest.approx(leg.route.length_m)


def test_the_driver_keeps_to_the_limits(leg):
    speeds = np.array(leg.journey.speed_m_s)
    limits = np.where(np.isnan(leg.route.speed_limit_m_s), 99.0, leg.route.speed_limit_m_s)
    assert np.all(speeds <= limits + 1e-6)
    assert max(leg.journey.rpm) <= leg.pair.train.redline_rpm


def test_energy_is_conserved_to_a_thousandth(leg):
    journey, pair = leg.journey, leg.pair
    along = leg.route.step_m * np.sqrt(1 + np.asarray(leg.route.grade) ** 2)
    work = {
        name: float(np.sum(np.array(getattr(journey, name)) * along))
        for name in ("drive_n", "engine_brake_n", "brake_n", "rolling_n", "air_n")
    }
    height = pair.mass_kg * 9.80665 * float(leg.route.elevation_m[-1] - leg.route.elevation_m[0])
    kinetic = 0.5 * pair.mass_kg * pair.inertia_factor * journey.speed_m_s[-1] ** 2
    taken = height + kinetic + work["engine_brake_n"] + work["brake_n"] + work["rolling_n"] + work["air_n"]
    assert work["drive_n"] == pytest.approx(taken, rel=1e-3)
    stored = sum(
        b.heated_mass_kg * 452 * (t - leg.air_c[0])
        for b, t in zip(pair.brakes[:2], journey.brake_c[-1][:2], strict=True)
    )
    assert work["brake_n"] == pytest.approx(stored + sum(journey.brake_lost_j), rel=1e-3)


def test_brake_temperatures_match_a_second_integration(leg):
    # the heat flows written a second time from the equations and integrated by Runge and Kutta's fourth
    # order, a
    # step of the road at a time, the forces and speeds given
    journey, pair = leg.journey, leg.pair
    times = [0.0, *journey.time_s]
    along = leg.route.step_m * np.sqrt(1 + np.asarray(leg.route.grade) ** 2)
    worst = 0.0
    for axle in (0, 1):
        brakes, share = pair.brakes[axle], pair.brake_shares[axle]
        heat_j_k = brakes.heated_mass_kg * 452
        hot = leg.air_c[0]
        for i, (air, density, metres) in enumerate(
            zip(leg.air_c, leg.air_density_kg_m3, along.tolist(), strict=True)
        ):
            dt = times[i + 1] - times[i]
            speed = metres / dt
            power = share * journey.brake_n[i] * speed
            plate = 5 + 0.037 * (density * speed * 0.3 / 1.85e-5) ** 0.8 * 0.71 ** (1 / 3) * 0.026 / 0.3
            air_k4 = (air + 273.15) ** 4

            def slope(
                t,
                power=power,
                plate=plate,
                air=air,
                air_k4=air_k4,
                area=brakes.cooled_area_m2,
                heat_j_k=heat_j_k,
            ):
                lost = 0.6 * plate * (t - air) + 0.8 * 5.670374419e-8 * ((t + 273.15) ** 4 - air_k4)
                return (power - area * lost) / heat_j_k

            one = slope(hot)
            two = slope(hot + 0.5 * dt * one)
            three = slope(hot + 0.5 * dt * two)
            four = slope(hot + dt * three)
            hot += dt / 6 * (one + 2 * two + 2 * three + four)
            worst = max(worst, abs(hot - journey.brake_c[i][axle]))
    assert worst < 0.5


def test_missing_engine_figures_are_named():
    rig = load_rig("data/rigs/demo_comfortable.toml")
    engine = rig.tow_vehicle.engine.model_copy(update={"displacement": None})
    facts = Facts(
        rig.model_copy(update={"tow_vehicle": rig.tow_vehicle.model_copy(update={"engine": engine})})
    )
    with pytest.raises(NotKnown, match="tow_vehicle.engine.displacement"):
        powertrain(facts)


def test_contradicting_peaks_are_not_known_in_words():
    rig = load_rig("data/rigs/demo_comfortable.toml")
    engine = rig.tow_vehicle.engine.model_copy(update={"peak_torque": 100.0})
    facts = Facts(
        rig.model_copy(update={"tow_vehicle": rig.tow_vehicle.model_copy(update={"engine": engine})})
    )
    with pytest.raises(NotKnown, match="one of the two figures is wrong"):
        powertrain(facts)
