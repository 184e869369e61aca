"""Every demo road driven a second time: driver, forces, speeds, time and heat written anew from the
equations, SciPy integrating.

All twelve drives (two rigs, three roads, out and back) go through one solve_ivp call for each grid interval,
so that a tight tolerance costs seconds. What SciPy integrates over an interval is d(v²)/ds = 2·F/(m·k), dt/ds
= 1/v, dT/dt = heat in - heat out, and the work of each force, with the forces at the speed of that instant.
Only the decisions that a driver takes once an interval (which gear) are taken at its mean speed.
"""

import math
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from towlib.limits.legs import drive_leg
from towlib.physics.brakes import brake_heat
from towlib.physics.brakes.brake_heat import AxleBrakes
from towlib.physics.drive.journey import allowed_speeds_m_s, drive
from towlib.rig.facts import Facts
from towlib.rig.model import load_rig
from towlib.road.route import load_route

ROADS = ("short_steep_pass.csv", "long_mountain_crossing.csv", "rolling_road.csv")
RIGS = ("demo_comfortable", "demo_overloaded")
CASES = [(rig, road, way) for rig in RIGS for road in ROADS for way in ("out", "back")]
G, SIGMA, CP = 9.80665, 5.670374419e-8, 452.0


@pytest.fixture(scope="module")
def legs():
    return {
        case: drive_leg(
            Facts(load_rig(f"data/rigs/{case[0]}.toml")), load_route(f"data/routes/{case[1]}"), case[2]
        )
        for case in CASES
    }


class Second:
    """One drive as the oracle sees it: plain numbers taken from the rig, and the driver's rules written
    again.
    """

    def __init__(self, leg, cruise, descending):
        pair, train = leg.pair, leg.pair.train
        self.route, self.train, self.pair = leg.route, train, pair
        self.n = len(leg.route.grade)
        self.slope, self.ds = np.asarray(leg.route.grade), leg.route.step_m
        self.air, self.rho = np.array(leg.air_c), np.array(leg.air_density_kg_m3)
        self.ratio = (
            np.array(train.gear_ratios) * train.final_drive / train.rolling_radius_m
        )  # rad of engine per metre
        limit = np.where(np.isnan(leg.route.speed_limit_m_s), np.inf, leg.route.speed_limit_m_s)
        wanted, self.hold = np.minimum(limit, cruise), np.zeros(self.n, int)
        for part in leg.route.segments():
            if part.mean_grade <= -0.03:
                a, b = round(part.start_m / self.ds), round(part.end_m / self.ds)
                wanted[a:b] = np.minimum(wanted[a:b], descending)
                self.hold[a:b] = self._gear_down(part.mean_grade, wanted[a:b].min(), self.rho[a])
        square = wanted**2
        for i in range(self.n - 2, -1, -1):  # gentle braking, 0.8 m/s², reaches every slow point
            square[i] = min(square[i], square[i + 1] + 1.6 * self.ds)
        self.square = square

        # the hardest pull over speed, its cliffs (redline, lowest pull) made 0.1 m/s wide so that SciPy need
        # not chatter there
        self.v_grid = np.arange(0.0, 45.0, 0.1)
        self.best_n = np.array([max(self.pulls_n(v, None)) for v in self.v_grid])

    def factor(self, i):
        """Share of sea-level torque left."""
        s = self.rho[i] / 1.225
        return min(1.05, max(0.0, min(1.0, s / 0.75) if self.train.boosted else s - (1 - s) / 7.55))

    def overrun_n(self, v, gear, rho):
        """Engine braking at the wheels from the friction polynomial; v and gear may be arrays."""
        w = v * self.ratio[gear - 1]
        rpm = w * 30 / math.pi
        kpa = 97 + 0.015 * rpm + 5e-6 * rpm**2 + 60 * rho / 1.225
        torque = self.train.engine_braking_factor * kpa * 1e3 * self.train.displacement_m3 / (4 * math.pi)
        return (
            torque * self.ratio[gear - 1] / self.train.driveline_efficiency
            if rpm >= self.train.idle_rpm
            else 0.0
        )

    def pulls_n(self, v, i):
        """Full throttle in every gear."""
        share, out = 1.0 if i is None else self.factor(i), []
        for gear, r in enumerate(self.ratio, start=1):
            rpm = v * r * 30 / math.pi
            gain = 1.0
            if gear == 1 and rpm < self.train.launch_rpm:
                gain = max(
                    1.0,
                    self.train.stall_torque_ratio
                    - (self.train.stall_torque_ratio - 1) * rpm / self.train.launch_rpm / 0.85,
                )
                rpm = self.train.launch_rpm
            elif rpm < self.train.lowest_pull_rpm or rpm > self.train.redline_rpm:
                out.append(0.0)
                continue
            torque = np.interp(rpm, self.train.curve_rpm, self.train.curve_torque_n_m)
            out.append(torque * share * gain * r * self.train.driveline_efficiency)
        return out

    def _gear_down(self, mean_grade, v, rho):
        """The highest gear that holds, else the lowest at 80 % of the redline."""
        needed = (
            self.pair.mass_kg
            * G
            * (-mean_grade - self.pair.rolling_coefficient)
            / math.sqrt(1 + mean_grade**2)
        )
        needed -= 0.5 * rho * self.pair.drag_area_m2 * v * v
        allowed = [
            g
            for g in range(len(self.ratio), 0, -1)
            if v * self.ratio[g - 1] * 30 / math.pi <= 0.8 * self.train.redline_rpm
        ]
        holding = [g for g in allowed if self.overrun_n(v, g, rho) >= needed]
        return holding[0] if holding else allowed[-1] if allowed else len(self.ratio)

    def steady_n(self, i, v):
        steep = (
            self.pair.mass_kg
            * G
            * (self.slope[i] + self.pair.rolling_coefficient)
            / math.sqrt(1 + self.slope[i] ** 2)
        )
        return steep + 0.5 * self.rho[i] * self.pair.drag_area_m2 * v * v

    def decide(self, i, square, gear):
        """Rate of v² wanted over this interval, the gear, and whether the engine is the limit (the driver's
        part).
        """
        along = self.ds * math.sqrt(1 + self.slope[i] ** 2)
        goal = min(self.square[i], square + 2.0 * along)  # speeds up at 1 m/s² at most
        rate = (goal - square) / along
        v = 0.5 * (math.sqrt(square) + math.sqrt(goal))
        needed = self.steady_n(i, v) + 0.5 * self.pair.mass_kg * self.pair.inertia_factor * rate
        count = len(self.ratio)
        if needed > 0:
            pulls = self.pulls_n(v, i)
            held = self.hold[i]
            if held and pulls[held - 1] >= needed:
                return rate, held, min(self.pair.grip_n, max(pulls)) < needed
            enough = [
                g
                for g in range(count, 0, -1)
                if pulls[g - 1] > 0 and pulls[g - 1] >= needed * (1.1 if g > gear else 1.0)
            ]
            # a tenth in hand decides the gear, not whether the engine is the limit: past the redline of the
            # present gear the next one may give what is wanted without that tenth, and that is not weak
            return (
                rate,
                enough[0] if enough else int(np.argmax(pulls)) + 1,
                min(self.pair.grip_n, max(pulls)) < needed,
            )
        rpm = [v * r * 30 / math.pi for r in self.ratio]
        gear = self.hold[i] or gear
        while gear < count and rpm[gear - 1] > self.train.redline_rpm:
            gear += 1
        while not self.hold[i] and gear < count and rpm[gear] > self.train.lowest_pull_rpm:
            gear += 1
        while gear > 1 and rpm[gear - 1] < self.train.idle_rpm:
            gear -= 1
        return rate, gear, False


WORKS = ("drive", "engine", "brakes", "rolling", "air")


def _integrate(seconds, rtol=1e-7):
    """Drive all cases side by side; returns per case arrays of v², time, two temperatures and five works at
    every grid point.
    """
    many = len(seconds)
    state = np.zeros((many, 4 + len(WORKS)))
    state[:, 2] = state[:, 3] = [case.air[0] for case in seconds]
    gears, out, chosen = [1] * many, [[] for _ in seconds], [[] for _ in seconds]
    fixed = [
        dict(
            mass=c.pair.mass_kg,
            roll=c.pair.rolling_coefficient,
            cda=c.pair.drag_area_m2,
            k=c.pair.inertia_factor,
            eta=c.train.driveline_efficiency,
            capacity=[b.heated_mass_kg * CP for b in c.pair.brakes[:2]],
            area=[b.cooled_area_m2 for b in c.pair.brakes[:2]],
            exposure=[b.exposure for b in c.pair.brakes[:2]],
            share=c.pair.brake_shares[:2],
        )
        for c in seconds
    ]

    for i in range(max(case.n for case in seconds)):
        alive = [j for j, case in enumerate(seconds) if i < case.n]
        cases = [seconds[j] for j in alive]
        choices = [case.decide(i, state[j, 0], gears[j]) for j, case in zip(alive, cases, strict=True)]
        rate = np.array([c[0] for c in choices])
        for j, c in zip(alive, choices, strict=True):
            gears[j] = c[1]
            chosen[j].append(c[1])
        weak = np.array([c[2] for c in choices])
        column = {name: np.array([fixed[j][name] for j in alive]) for name in fixed[0]}
        mass, inertia = column["mass"], column["mass"] * column["k"]
        slope = np.array([case.slope[i] for case in cases])
        cosine = 1 / np.sqrt(1 + slope**2)
        along = np.array([case.ds for case in cases]) / cosine
        rho, air = np.array([case.rho[i] for case in cases]), np.array([case.air[i] for case in cases])
        climb, roll, drag = (
            mass * G * slope * cosine,
            mass * G * column["roll"] * cosine,
            0.5 * rho * column["cda"],
        )
        turn = np.array([case.ratio[g - 1] for case, g in zip(cases, (c[1] for c in choices), strict=True)])
        volume = np.array([case.train.displacement_m3 * case.train.engine_braking_factor for case in cases])
        idle = np.array([case.train.idle_rpm for case in cases])
        capacity, area, exposure, share = (
            column[name].T for name in ("capacity", "area", "exposure", "share")
        )

        def slopes(
            x,
            y,
            cases=cases,
            weak=weak,
            rate=rate,
            climb=climb,
            roll=roll,
            drag=drag,
            turn=turn,
            volume=volume,
            idle=idle,
            along=along,
            inertia=inertia,
            rho=rho,
            air=air,
            i=i,
            capacity=capacity,
            area=area,
            exposure=exposure,
            share=share,
            eta=column["eta"],
        ):
            y = y.reshape(len(cases), -1)
            v = np.sqrt(np.maximum(y[:, 0], 0.04))
            resist = climb + roll + drag * y[:, 0]
            wanted = resist + 0.5 * inertia * rate
            drive_n = np.maximum(wanted, 0.0)
            for j in np.flatnonzero(weak):  # full throttle, but never past the speed wanted: the driver lifts
                drive_n[j] = min(
                    drive_n[j],
                    cases[j].factor(i) * np.interp(v[j], cases[j].v_grid, cases[j].best_n),
                    cases[j].pair.grip_n,
                )
            rpm = v * turn * 30 / math.pi
            overrun = (
                (97 + 0.015 * rpm + 5e-6 * rpm**2 + 60 * rho / 1.225)
                * 1e3
                * volume
                / (4 * math.pi)
                * turn
                / eta
            )
            engine = np.where(wanted < 0, np.minimum(np.where(rpm >= idle, overrun, 0.0), -wanted), 0.0)
            brakes = np.where(wanted < 0, -wanted - engine, 0.0)
            d = np.empty_like(y)
            d[:, 0] = 2 * (drive_n - engine - brakes - resist) / inertia
            d[:, 1] = 1 / v
            plate = 5 + 0.037 * (rho * v * 0.3 / 1.85e-5) ** 0.8 * 0.71 ** (1 / 3) * 0.026 / 0.3
            for axle in (0, 1):
                t = y[:, 2 + axle]
                lost = area[axle] * (
                    exposure[axle] * plate * (t - air)
                    + 0.8 * SIGMA * ((t + 273.15) ** 4 - (air + 273.15) ** 4)
                )
                d[:, 2 + axle] = (share[axle] * brakes * v - lost) / capacity[axle] / v
            for k, force in enumerate((drive_n, engine, brakes, roll, drag * y[:, 0])):
                d[:, 4 + k] = force
            return (d * along[:, None]).ravel()

        found = solve_ivp(
            slopes, (0.0, 1.0), state[alive].ravel(), method="RK45", rtol=rtol, atol=1e-6, first_step=0.5
        )
        state[alive] = found.y[:, -1].reshape(len(alive), -1)
        for j in alive:
            out[j].append(state[j].copy())
    return [np.array(rows) for rows in out], chosen


@pytest.fixture(scope="module")
def oracle(legs):
    seconds = []
    for (rig, _, _), leg in legs.items():
        facts = Facts(load_rig(f"data/rigs/{rig}.toml"))
        seconds.append(
            Second(leg, facts.need("conditions.cruise_speed"), facts.need("conditions.descent_speed"))
        )
    found, gears = _integrate(seconds)
    return {case: (rows, chosen) for case, rows, chosen in zip(legs, found, gears, strict=True)}


@pytest.mark.parametrize("case", CASES, ids="-".join)
def test_speeds_forces_and_temperatures_of_every_demo_road(case, legs, oracle):
    leg, (rows, gears) = legs[case], oracle[case]
    journey, along = leg.journey, leg.route.step_m * np.sqrt(1 + np.asarray(leg.route.grade) ** 2)
    assert len(journey.speed_m_s) == len(rows)
    apart = np.abs(np.array(journey.speed_m_s) - np.sqrt(rows[:, 0])) * 3.6
    lately_full = np.convolve(journey.full_throttle, np.ones(8), "full")[: len(rows)] > 0
    assert (
        np.max(apart) < 0.5
    )  # km/h, the accuracy stated: at full throttle the pull changes within an interval
    assert np.max(apart[~lately_full]) < 0.1  # and elsewhere
    assert np.max(np.abs(np.array(journey.brake_c)[:, :2] - rows[:, 2:4])) < 0.5  # K, the accuracy stated
    assert journey.time_s[-1] == pytest.approx(rows[-1, 1], rel=2e-3)
    overrun = np.array(journey.engine_brake_n) > 0
    assert np.mean((np.array(journey.gear) == np.array(gears))[overrun]) > 0.99
    total = np.sum(np.abs(rows[-1, 4:]))
    for k, name in enumerate(("drive_n", "engine_brake_n", "brake_n", "rolling_n", "air_n")):
        ours = np.cumsum(np.array(getattr(journey, name)) * along)
        assert np.max(np.abs(ours - rows[:, 4 + k])) < 1e-3 * total, name


def test_the_cases_are_not_empty(oracle):
    hottest = {case: rows[:, 2].max() for case, (rows, _) in oracle.items()}
    assert hottest["demo_overloaded", "short_steep_pass.csv", "out"] > 300
    assert all(rows[-1, 4 + WORKS.index("engine")] > 1e6 for rows, _ in oracle.values())


@pytest.mark.parametrize("case", CASES, ids="-".join)
def test_energy_is_conserved_with_and_without_towed_brakes(case, legs):
    # potential + kinetic + drive = rolling + air + engine + brakes, and brake heat = stored + lost, to a
    # thousandth
    leg = legs[case]
    for brakes, shares in (
        (leg.pair.brakes, leg.pair.brake_shares),
        ((*leg.pair.brakes[:2], AxleBrakes(20, 0.6)), (0.45, 0.25, 0.30)),
    ):
        pair = leg.pair._replace(brakes=brakes, brake_shares=shares)
        trip = _again(leg, pair)
        along = leg.route.step_m * np.sqrt(1 + np.asarray(leg.route.grade) ** 2)
        work = {
            name: float(np.sum(np.array(getattr(trip, name)) * along))
            for name in ("drive_n", "engine_brake_n", "brake_n", "rolling_n", "air_n")
        }
        height = pair.mass_kg * G * float(leg.route.elevation_m[-1] - leg.route.elevation_m[0])
        kinetic = 0.5 * pair.mass_kg * pair.inertia_factor * trip.speed_m_s[-1] ** 2
        assert work["drive_n"] == pytest.approx(
            height + kinetic + sum(v for k, v in work.items() if k != "drive_n"), rel=1e-3
        )
        for axle, body in enumerate(pair.brakes):
            if body is not None:
                stored = body.heated_mass_kg * CP * (trip.brake_c[-1][axle] - leg.air_c[0])
                assert shares[axle] * work["brake_n"] == pytest.approx(
                    stored + trip.brake_lost_j[axle], rel=1e-3
                )


def _again(leg, pair, *, split=1, gear_change=0, like=None):
    """The leg driven again with the gears it used on downgrades (or higher ones), each interval cut into
    `split`, or all
    gears and speeds of a drive to be repeated."""
    n = len(leg.route.grade)
    top = len(pair.train.gear_ratios)
    gears = (
        like.gear
        if like
        else [
            min(top, g + gear_change) if s < -0.03 else 0
            for g, s in zip(leg.journey.gear, leg.route.grade, strict=True)
        ]
    )
    limit = np.where(np.isnan(leg.route.speed_limit_m_s), 20.0, np.minimum(leg.route.speed_limit_m_s, 20.0))
    square = (
        np.array(like.speed_m_s if like else allowed_speeds_m_s(limit.tolist(), step_m=leg.route.step_m)) ** 2
    )
    targets = np.sqrt(
        np.interp(np.arange(1, n * split + 1) / split, np.arange(n + 1), [square[0], *square])
    )  # v² runs straight between

    def cut(values):
        return [float(v) for v in np.repeat(values, split)]

    return drive(
        pair,
        step_m=leg.route.step_m / split,
        grade=cut(leg.route.grade),
        target_m_s=targets.tolist(),
        descent_gear=np.repeat(gears, split).tolist(),
        air_c=cut(leg.air_c),
        air_density_kg_m3=cut(leg.air_density_kg_m3),
        brake_start_c=(leg.air_c[0],) * 3,
        coolant_start_c=90.0,
    )


@pytest.mark.parametrize("case", [case for case in CASES if case[2] == "out"], ids="-".join)
def test_twice_the_segments_change_less_than_the_accuracy_stated(case, legs):
    # the same driver: same speeds and same gear at the same place, so that only the solver is asked
    leg = legs[case]
    like = _again(leg, leg.pair)
    coarse, fine = (
        np.array(_again(leg, leg.pair, split=split, like=like).brake_c)[split - 1 :: split, :2]
        for split in (1, 2)
    )
    assert np.max(np.abs(coarse - fine)) < 0.5


@pytest.mark.parametrize("case", [case for case in CASES if case[2] == "back"], ids="-".join)
def test_hotter_heavier_or_a_higher_gear_is_never_cooler_on_a_demo_road(case, legs):
    leg = legs[case]
    base = max(t[0] for t in _again(leg, leg.pair).brake_c)
    hotter = replace(leg, air_c=[c + 10 for c in leg.air_c])
    assert max(t[0] for t in _again(hotter, leg.pair).brake_c) > base
    assert max(t[0] for t in _again(leg, leg.pair._replace(mass_kg=leg.pair.mass_kg * 1.1)).brake_c) >= base
    assert max(t[0] for t in _again(leg, leg.pair, gear_change=1).brake_c) >= base - 1e-9


def test_the_cost_grows_in_proportion_to_the_segments(legs, monkeypatch):
    # counted, not timed: each step asks once for the exponential of each of the two axles with known brakes
    calls = []
    monkeypatch.setattr(brake_heat, "math", SimpleNamespace(exp=lambda x: calls.append(1) or math.exp(x)))
    leg, counts = legs[CASES[0]], []
    for split in (1, 2, 4):
        calls.clear()
        _again(leg, leg.pair, split=split)
        counts.append(len(calls))
    assert counts == [2 * split * len(leg.air_c) for split in (1, 2, 4)]
