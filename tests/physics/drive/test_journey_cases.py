"""Many drives at once against the single drive, which test_climb_oracle and test_descent_oracle hold against
SciPy.
"""

import numpy as np
import pytest

from towlib.limits.legs import drive_as, drive_leg
from towlib.physics.brakes.brake_heat import AxleBrakes
from towlib.physics.drive.climb_cases import steady_speed_cases
from towlib.physics.drive.journey import Pair, allowed_speeds_m_s, drive
from towlib.physics.drive.journey_cases import PairCases, drive_cases
from towlib.physics.drive.powertrain import EXAMPLE, torque_from_peaks
from towlib.physics.drive.torque_cases import TorqueCurves
from towlib.physics.drive.traction import operating_point
from towlib.rig.facts import Facts
from towlib.rig.model import load_rig
from towlib.road.route import load_route

COUNT = 12
VARIED = {"mass_kg": 0.15, "rolling_coefficient": 0.2, "drag_area_m2": 0.2, "grip_n": 0.5}
VARIED_TRAIN = {
    "rolling_radius_m": 0.05,
    "driveline_efficiency": 0.08,
    "engine_braking_factor": 0.4,
    "final_drive": 0.05,
    "launch_rpm": 0.1,
}


def _one(value, i):
    """The pair of one case."""
    if isinstance(value, np.ndarray):
        return float(value[i])
    if isinstance(value, tuple):
        parts = [_one(item, i) for item in value]
        return type(value)(*parts) if hasattr(value, "_fields") else tuple(parts)
    return value


def _many(pair, random):
    def spread(record, shares):
        return record._replace(
            **{
                name: getattr(record, name) * random.uniform(1 - share, 1 + share, COUNT)
                for name, share in shares.items()
            }
        )

    brakes = tuple(
        axle and spread(axle, {"heated_mass_kg": 0.3, "cooled_area_m2": 0.3}) for axle in pair.brakes
    )
    return spread(pair, VARIED)._replace(
        train=spread(pair.train, VARIED_TRAIN),
        brakes=brakes,
        cooling=pair.cooling and spread(pair.cooling, {"conductance_w_k": 0.3, "heat_capacity_j_k": 0.3}),
    )


@pytest.mark.parametrize("rig", ["demo_comfortable", "demo_overloaded"])
@pytest.mark.parametrize("road", ["short_steep_pass.csv", "rolling_road.csv"])
@pytest.mark.parametrize("way", ["out", "back"])
def test_every_case_is_the_single_drive(rig, road, way):
    leg = drive_leg(Facts(load_rig(f"data/rigs/{rig}.toml")), load_route(f"data/routes/{road}"), way)
    random = np.random.default_rng(len(rig) + len(road) + len(way))
    pair = _many(leg.pair, random)
    air = np.array(leg.air_c)[:, None] + random.uniform(-5, 5, COUNT)
    density = np.array(leg.air_density_kg_m3)[:, None] * random.uniform(0.97, 1.03, COUNT)
    slower = random.uniform(0.7, 1.0, COUNT)
    target, gears = np.array(leg.target_m_s)[:, None] * slower, np.array(leg.descent_gear)[:, None]
    torque = TorqueCurves.same(
        pair.train.curve_rpm, pair.train.curve_torque_n_m, redline_rpm=pair.train.redline_rpm
    )
    found = drive_cases(
        pair,
        torque,
        count=COUNT,
        step_m=leg.route.step_m,
        grade=leg.route.grade.tolist(),
        target_m_s=target,
        descent_gear=gears,
        air_at=lambda step: (air[step], density[step]),
    )
    through = 0
    for i in range(COUNT):
        alone = drive_as(
            _one(pair, i),
            leg.route,
            air[:, i].tolist(),
            density[:, i].tolist(),
            target[:, i].tolist(),
            leg.descent_gear,
        )
        assert (alone.stopped_at_m is not None) == found.stopped[i]
        if found.stopped[i]:
            assert np.isnan(found.fuel_m3[i]) and np.isnan(found.highest_brake_c[0][i])
            continue
        through += 1
        assert found.time_s[i] == pytest.approx(alone.time_s[-1], rel=1e-9)
        assert found.fuel_m3[i] == pytest.approx(alone.fuel_m3[-1], rel=1e-9)
        assert found.highest_coolant_c[i] == pytest.approx(max(alone.coolant_c), abs=1e-6)
        for axle, brakes in enumerate(pair.brakes):
            if brakes:
                assert found.highest_brake_c[axle][i] == pytest.approx(
                    max(row[axle] for row in alone.brake_c), abs=1e-6
                )
    assert through > COUNT / 3


def test_curves_through_peaks_are_those_of_each_case():
    random = np.random.default_rng(5)
    peaks = dict(
        peak_power_w=random.uniform(140e3, 170e3, 40),
        peak_power_rpm=random.uniform(4800, 5400, 40),
        idle_rpm=random.uniform(650, 800, 40),
        redline_rpm=random.uniform(5500, 6200, 40),
    )
    torque, at = random.uniform(340, 380, 40), random.uniform(2500, 4000, 40)
    torque[7] = 100.0  # less than the peak power asks for: no such engine
    curves, refused = TorqueCurves.from_peaks(torque, at, **peaks), set()
    for rpm in (300.0, 800.0, 2999.0, 4123.0, 5301.0, 5499.0):
        found = curves.at_rpm(np.full(40, rpm))
        for i in range(40):
            try:
                speeds, torques = torque_from_peaks(
                    torque[i], at[i], **{name: values[i] for name, values in peaks.items()}
                )
            except ValueError:
                assert np.isnan(found[i])
                refused.add(i)
                continue
            assert found[i] == pytest.approx(np.interp(rpm, speeds, torques), rel=1e-9)
    assert 7 in refused and len(refused) < 20


def test_steady_speeds_are_those_of_each_case():
    leg = drive_leg(
        Facts(load_rig("data/rigs/demo_overloaded.toml")),
        load_route("data/routes/short_steep_pass.csv"),
        "out",
    )
    pair = _many(leg.pair, np.random.default_rng(3))
    torque = TorqueCurves.same(
        pair.train.curve_rpm, pair.train.curve_torque_n_m, redline_rpm=pair.train.redline_rpm
    )
    for grade in (0.02, 0.06, 0.1, 0.2, 0.5):
        found = steady_speed_cases(
            PairCases(pair, torque, COUNT),
            grade,
            rolling_coefficient=pair.rolling_coefficient,
            drag_area_m2=pair.drag_area_m2,
            power_factor=0.8,
            air_density_kg_m3=0.95,
            wanted_m_s=30.0,
        )
        for i in range(COUNT):
            alone = operating_point(
                _one(pair, i), grade, wanted_m_s=30.0, power_factor=0.8, air_density_kg_m3=0.95
            )
            assert found[i] == pytest.approx(alone.speed_m_s if alone else 0.0, abs=1e-9)


@pytest.mark.parametrize(
    ("boosted", "automatic", "held", "seed"),
    [(False, True, False, 1), (True, False, True, 2), (False, False, False, 3)],
)
def test_random_roads_at_the_limits_of_engine_tyres_and_redline(boosted, automatic, held, seed):
    # steep ramps, high targets, little grip and heavy loads, so that some cases stand at a redline, some
    # slip, some stop, and others cruise
    random, count, steps = np.random.default_rng(seed), 30, 220
    train = EXAMPLE._replace(
        boosted=boosted,
        automatic=automatic,
        stall_torque_ratio=1.9 if automatic else 1.0,
        engine_braking_factor=random.uniform(0.5, 1.5, count),
        rolling_radius_m=random.uniform(0.3, 0.4, count),
        redline_rpm=random.uniform(4300, 5800, count),
    )
    brakes = (
        AxleBrakes(random.uniform(10, 30, count), random.uniform(0.3, 0.9, count), 0.6),
        None,
        AxleBrakes(15.0, 0.4, random.uniform(0.4, 0.8, count)),
    )
    pair = Pair(
        random.uniform(2500, 9000, count),
        0.013,
        1.9,
        train,
        random.uniform(3e3, 15e3, count),
        brakes,
        (0.6, 0.25, 0.15),
        None,
    )
    grade = np.repeat(random.choice([-0.12, -0.06, -0.02, 0.0, 0.03, 0.07, 0.12], steps // 10), 10)
    target = np.array(
        [
            allowed_speeds_m_s(np.repeat(random.uniform(8, 42, steps // 20), 20).tolist(), step_m=20.0)
            for _ in range(count)
        ]
    ).T
    gears = np.where((grade < -0.03)[:, None] & held, random.integers(1, 7, (steps, 1)), 0)
    density = random.uniform(0.75, 1.2, count)
    torque = TorqueCurves.same(train.curve_rpm, train.curve_torque_n_m, redline_rpm=5800.0)
    found = drive_cases(
        pair,
        torque,
        count=count,
        step_m=20.0,
        grade=grade.tolist(),
        target_m_s=target,
        descent_gear=gears,
        air_at=lambda step: (15.0, density),
    )
    stopped = at_redline = 0
    for i in range(count):
        alone = drive(
            _one(pair, i),
            step_m=20.0,
            grade=grade.tolist(),
            target_m_s=target[:, i].tolist(),
            descent_gear=gears[:, 0].tolist(),
            air_c=[15.0] * steps,
            air_density_kg_m3=[float(density[i])] * steps,
            brake_start_c=(15.0,) * 3,
            coolant_start_c=90.0,
        )
        assert (alone.stopped_at_m is not None) == found.stopped[i]
        stopped += found.stopped[i]
        if not found.stopped[i]:
            at_redline += any(b >= 0.999 * train.redline_rpm[i] for b in alone.rpm)
            assert found.time_s[i] == pytest.approx(alone.time_s[-1], rel=1e-9) and found.fuel_m3[
                i
            ] == pytest.approx(alone.fuel_m3[-1], rel=1e-9)
            for axle in (0, 2):
                assert found.highest_brake_c[axle][i] == pytest.approx(
                    max(row[axle] for row in alone.brake_c), abs=1e-6
                )
    assert found.highest_brake_c[1] is None and found.highest_coolant_c is None
    assert at_redline > 3 and stopped < count / 2


def test_pairs_that_creep_on_their_converters_do_so_in_many_cases_too():
    """Some settle where the converter slips, some stop, some get up in gear."""
    random, count, steps = np.random.default_rng(5), 40, 60
    train = EXAMPLE._replace(
        stall_torque_ratio=random.uniform(1.4, 2.3, count),
        launch_rpm=random.uniform(1600, 2400, count),
        rolling_radius_m=random.uniform(0.33, 0.4, count),
    )
    pair = Pair(
        random.uniform(2500, 5000, count),
        0.013,
        1.9,
        train,
        random.uniform(9e3, 30e3, count),
        (None,) * 3,
        (0.7, 0.3, 0.0),
        None,
    )
    grade = [0.02] * 6 + [0.36] * 40 + [0.05] * (steps - 46)
    torque = TorqueCurves.same(train.curve_rpm, train.curve_torque_n_m, redline_rpm=train.redline_rpm)
    found = drive_cases(
        pair,
        torque,
        count=count,
        step_m=25.0,
        grade=grade,
        target_m_s=np.full((steps, 1), 15.0),
        descent_gear=np.zeros((steps, 1), int),
        air_at=lambda step: (15.0, 1.0),
    )
    crept = 0
    for i in range(count):
        alone = drive(
            _one(pair, i),
            step_m=25.0,
            grade=grade,
            target_m_s=[15.0] * steps,
            descent_gear=[0] * steps,
            air_c=[15.0] * steps,
            air_density_kg_m3=[1.0] * steps,
            brake_start_c=(15.0,) * 3,
            coolant_start_c=90.0,
        )
        assert (alone.stopped_at_m is not None) == found.stopped[i]
        if not found.stopped[i]:
            crept += alone.speed_m_s[40] < 3.0
            assert found.time_s[i] == pytest.approx(alone.time_s[-1], rel=1e-9)
            assert found.fuel_m3[i] == pytest.approx(alone.fuel_m3[-1], rel=1e-9)
    assert crept > 5 and 5 < found.stopped.sum() < count - crept


def test_steady_speeds_where_tyres_redline_or_the_wish_set_them():
    random, count = np.random.default_rng(11), 60
    limits = set()
    for wanted, grade in (
        (45.0, 0.0),
        (45.0, 0.04),
        (12.0, 0.02),
        (30.0, 0.09),
        (2.5, 0.15),
        (45.0, 0.3),
        (45.0, 0.55),
    ):
        train = EXAMPLE._replace(
            rolling_radius_m=random.uniform(0.3, 0.4, count),
            launch_rpm=random.uniform(1200, 2400, count),
            lowest_pull_rpm=random.uniform(900, 1500, count),
        )
        pair = Pair(
            random.uniform(1200, 9000, count),
            random.uniform(0.01, 0.02, count),
            random.uniform(0.8, 3.0, count),
            train,
            random.uniform(600, 15e3, count),
            (None,) * 3,
            (0.7, 0.3, 0.0),
            None,
        )
        factor, density = random.uniform(0.5, 1.05, count), random.uniform(0.7, 1.2, count)
        torque = TorqueCurves.same(train.curve_rpm, train.curve_torque_n_m, redline_rpm=train.redline_rpm)
        found = steady_speed_cases(
            PairCases(pair, torque, count),
            grade,
            rolling_coefficient=pair.rolling_coefficient,
            drag_area_m2=pair.drag_area_m2,
            power_factor=factor,
            air_density_kg_m3=density,
            wanted_m_s=wanted,
        )
        for i in range(count):
            alone = operating_point(
                _one(pair, i),
                grade,
                wanted_m_s=wanted,
                power_factor=float(factor[i]),
                air_density_kg_m3=float(density[i]),
            )
            assert found[i] == pytest.approx(alone.speed_m_s if alone else 0.0, abs=1e-9)
            limits.add(alone.limited_by if alone else "none")
    assert limits == {"none", "grip", "redline", "engine", "wanted"}


@pytest.mark.parametrize(
    "rpm", [(1000.0, 2000.0, 4000.0), (800.0, 801.0, 803.0, 3000.0, 6500.0), (1500.0, 5500.0)]
)
def test_one_curve_for_all_cases_is_read_like_numpys(rpm):
    torque = np.random.default_rng(4).uniform(100, 400, len(rpm))
    asked = np.unique([*np.linspace(0.0, 6000.0, 4001), *rpm, *(n - 1e-9 for n in rpm)])
    curve = TorqueCurves.same(rpm, tuple(torque), redline_rpm=6000.0)
    assert curve.at_rpm(asked) == pytest.approx(np.interp(asked, rpm, torque), rel=1e-12)
    assert curve.most_n_m() == pytest.approx(torque.max()) and curve.at(np.array([0])) is curve


def test_peaks_that_contradict_each_other_are_no_engine():
    good = dict(peak_power_w=150e3, peak_power_rpm=5000.0, idle_rpm=800.0, redline_rpm=5500.0)
    for change in (
        {"idle_rpm": 3000.0},
        {"peak_power_rpm": 3000.0},
        {"peak_power_rpm": 5501.0},
        {"peak_power_w": 190e3},
    ):
        curves = TorqueCurves.from_peaks(
            np.array([350.0, 350.0]),
            3000.0,
            **{name: np.array([good[name], change.get(name, good[name])]) for name in good},
        )
        assert np.isnan(curves.at_rpm(np.array([2000.0, 2000.0]))).tolist() == [False, True]


def test_points_of_curves_through_peaks_are_those_of_each_case():
    top_rpm, redline = np.array([3000.0, 3600.0]), np.array([5500.0, 6000.0])
    knots = TorqueCurves.from_peaks(
        350.0, top_rpm, peak_power_w=150e3, peak_power_rpm=5000.0, idle_rpm=800.0, redline_rpm=redline
    ).knots_rpm()
    for i in range(2):
        speeds, _ = torque_from_peaks(
            350.0,
            top_rpm[i],
            peak_power_w=150e3,
            peak_power_rpm=5000.0,
            idle_rpm=800.0,
            redline_rpm=redline[i],
        )
        assert knots[:, i] == pytest.approx(speeds)
