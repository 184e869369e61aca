"""Every gear against every speed on one road in a single pass: how hot the brakes get."""

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from towlib.physics.basics.road_load import GRAVITY_M_S2
from towlib.physics.brakes.brake_fluid import CALIPERS, FluidSide
from towlib.physics.brakes.brake_heat import STEFAN_BOLTZMANN_W_M2_K4, air_cooling_w_m2_k
from towlib.physics.drive.journey import COMFORTABLE_ACCELERATION_M_S2, RESERVE, SLOWEST_M_S, Pair
from towlib.physics.drive.powertrain import (
    COUPLING_SHARE,
    RPM_PER_RAD_S,
    SEA_LEVEL_DENSITY_KG_M3,
    Powertrain,
    engine_power_factor,
    motoring_torque_n_m,
)

GENTLE_BRAKING_M_S2 = 0.8


class DescentMap(NamedTuple):
    """Temperatures over gear (first index) and speed (second index); nan where that gear or speed cannot be
    driven.
    """

    gears: tuple[int, ...]
    speed_m_s: np.ndarray
    hottest_c: np.ndarray  # the hottest of the brakes anywhere on the road
    end_c: (
        np.ndarray
    )  # front, rear and towed brakes at the end of the road, one more index in front; nan where not fitted
    highest_rpm: np.ndarray  # on the steps where the gear is held
    fluid_c: np.ndarray  # estimate for the fluid of the first axle with brakes, at the end of the road


def descent_map(
    pair: Pair,
    speed_m_s: Sequence[float],
    *,
    grade: Sequence[float],
    step_m: float,
    held: Sequence[bool],
    limit_m_s: Sequence[float],
    air_c: Sequence[float],
    air_density_kg_m3: Sequence[float],
    brake_start_c: float,
    highest_rpm: float,
    start_m_s: float | None = None,
    fluid: FluidSide = CALIPERS,
) -> DescentMap:
    """Hottest brakes for every gear and every speed wanted, along an even grid of road steps.

    v² of each speed over distance as in `drive`; for each gear F_b = max(0, F_needed - F_engine(v, gear));
    each temperature exactly over a step, all gears, speeds and axles at once

    Parameters
    ----------
    pair : Pair
        Both vehicles, with at least one axle's brakes known.
    speed_m_s : sequence of float
        Speeds wanted, each above 0, rising; the road's own limit is kept where it is lower.
    grade : sequence of float
        Rise over run of each step.
    step_m : float
        Length of a step on the map, 5 to 400 m.
    held : sequence of bool
        Steps on which the speed and the gear chosen hold; elsewhere the road's limit and the highest gear the
        engine pulls in.
    limit_m_s : sequence of float
        Speed of each step from traffic and law, above 0.
    air_c, air_density_kg_m3 : sequence of float
        Air on each step.
    brake_start_c : float
        All brakes at the start.
    highest_rpm : float
        A gear that turns the engine faster than this on a held step is not driven: nan.
    start_m_s : float or None
        Speed at the start; None enters the road at the speed wanted.
    fluid : FluidSide
        Calipers and fluid, for the estimate of the fluid's temperature.

    Returns
    -------
    DescentMap
        Arrays over gear and speed.

    Raises
    ------
    ValueError
        When no brakes are known, or a speed is not above zero.

    Breaks down when
        the driver leaves the gear or the speed chosen; all else as in `drive`, with which it agrees to 0.5 K.

    Source
        The equations of `drive`, over arrays.

    Examples
    --------
    >>> from towlib.physics.brakes.brake_heat import AxleBrakes
    >>> from towlib.physics.drive.powertrain import EXAMPLE
    >>> pair = Pair(
    ...     3900,
    ...     0.013,
    ...     1.9,
    ...     EXAMPLE,
    ...     9e3,
    ...     (AxleBrakes(20, 0.5), AxleBrakes(16, 0.4), None),
    ...     (0.68, 0.32, 0.0),
    ...     None,
    ... )
    >>> road = dict(grade=[-0.07] * 100, step_m=50.0, held=[True] * 100, limit_m_s=[30.0] * 100)
    >>> found = descent_map(
    ...     pair,
    ...     [10.0, 15.0],
    ...     **road,
    ...     air_c=[20.0] * 100,
    ...     air_density_kg_m3=[1.1] * 100,
    ...     brake_start_c=20.0,
    ...     highest_rpm=4600,
    ... )
    >>> [round(t) for t in found.hottest_c[1]], [round(t) for t in found.hottest_c[3]]
    ([116, 20], [320, 304])
    """
    speeds = np.asarray(speed_m_s, float)
    fitted = [i for i, brakes in enumerate(pair.brakes) if brakes is not None]
    if not fitted:
        raise ValueError("the brakes are not known, so no temperature can be given")
    if speeds.size == 0 or speeds.min() <= 0 or min(limit_m_s) <= 0:
        raise ValueError("speeds must be above zero")
    train, inertia_kg = pair.train, pair.mass_kg * pair.inertia_factor
    gears = np.arange(1, len(train.gear_ratios) + 1)
    ratios = np.array(train.gear_ratios)
    rpm_per_m_s = RPM_PER_RAD_S * train.final_drive / train.rolling_radius_m  # of a ratio of one
    force_per_torque = (
        train.engine_braking_factor
        * train.final_drive
        / (train.driveline_efficiency * train.rolling_radius_m)
    )

    def column(of: str):
        return np.array([getattr(pair.brakes[i], of) for i in fitted])[:, None, None]

    capacity, area, exposure = (
        column("heated_mass_kg") * column("specific_heat_j_kg_k"),
        column("cooled_area_m2"),
        column("exposure"),
    )
    share = np.array([pair.brake_shares[i] for i in fitted])[:, None, None]
    goals = _goals(speeds, grade, step_m=step_m, held=held, limit_m_s=limit_m_s)
    speed = goals[0].copy() if start_m_s is None else np.full(speeds.shape, float(start_m_s))
    brake_c = np.full((len(fitted), len(gears), len(speeds)), float(brake_start_c))
    hottest, fastest_rpm = brake_c[0].copy(), np.zeros(brake_c.shape[1:])
    fluid_c, fluid_w_k = brake_c[0].copy(), fluid.from_disc_w_k + fluid.to_air_w_k
    present = np.ones(fastest_rpm.shape, int)  # the gear each combination is in
    stopped, nothing = np.zeros(speeds.shape, bool), np.zeros((1, 1, 1))
    for i, slope in enumerate(grade):
        density, air = air_density_kg_m3[i], air_c[i]
        cosine = 1.0 / math.sqrt(1.0 + slope * slope)
        along_m = step_m / cosine
        steady_n = pair.mass_kg * GRAVITY_M_S2 * cosine * (slope + pair.rolling_coefficient)
        drag, factor = (
            0.5 * density * pair.drag_area_m2,
            engine_power_factor(density / SEA_LEVEL_DENSITY_KG_M3, boosted=train.boosted),
        )
        goal = np.minimum(goals[i], np.sqrt(speed * speed + 2.0 * COMFORTABLE_ACCELERATION_M_S2 * along_m))
        middle = 0.5 * (speed + goal)
        needed = (
            steady_n + drag * middle * middle + inertia_kg * (goal * goal - speed * speed) / (2.0 * along_m)
        )
        if (
            needed.max() > 0
        ):  # the engine may not give it: as in `drive`, mended once at the mean speed then found
            for _ in range(2):
                most = np.minimum(pair.grip_n, factor * _pulls_n(train, middle).max(axis=0))
                short = needed > most
                if not short.any():
                    break
                square = speed * speed + 2.0 * along_m / inertia_kg * (
                    most - steady_n - drag * middle * middle
                )
                goal = np.where(short, np.sqrt(np.maximum(square, 0.0)), goal)
                stopped |= short & (goal < SLOWEST_M_S)
                goal = np.maximum(goal, SLOWEST_M_S)
                middle = 0.5 * (speed + goal)
        speed, mean = goal, np.maximum(middle, 0.5 * SLOWEST_M_S)
        seconds = along_m / mean
        slowing, pulling = np.maximum(-needed, 0.0), needed > 0
        coasting = present
        if held[i]:
            np.maximum(fastest_rpm, mean * rpm_per_m_s * ratios[:, None], out=fastest_rpm)
        if not pulling.all():
            coasting = _coasting_gear(
                train, mean * rpm_per_m_s, gears[:, None] if held[i] else present, free=not held[i]
            )
        if pulling.any():
            there = factor * _pulls_n(train, mean)
            climbing = _climbing_gear(there, needed, present)
            if held[i]:
                climbing = np.where(there >= needed, gears[:, None], climbing)
            present = np.where(pulling, climbing, coasting)
        else:
            present = coasting
        if slowing.any():
            rpm = mean * rpm_per_m_s * ratios[present - 1]
            torque = motoring_torque_n_m(
                train.displacement_m3, rpm, density_ratio=density / SEA_LEVEL_DENSITY_KG_M3
            )
            engine_n = np.where(rpm < train.idle_rpm, 0.0, torque * ratios[present - 1] * force_per_torque)
            power = share * (np.maximum(slowing - engine_n, 0.0) * mean)
        else:
            power = nothing
        air_w = exposure * _air_cooling(mean, density)
        hot_k, cool_k = brake_c + 273.15, air + 273.15
        conductance = area * (
            air_w + 0.8 * STEFAN_BOLTZMANN_W_M2_K4 * (hot_k * hot_k + cool_k * cool_k) * (hot_k + cool_k)
        )
        settled = air + power / conductance
        before_c = brake_c[0]
        brake_c = settled + (brake_c - settled) * np.exp(-seconds * conductance / capacity)
        warm = (fluid.from_disc_w_k * 0.5 * (before_c + brake_c[0]) + fluid.to_air_w_k * air) / fluid_w_k
        fluid_c = warm + (fluid_c - warm) * np.exp(-seconds * fluid_w_k / fluid.heat_capacity_j_k)
        np.maximum(hottest, brake_c.max(axis=0), out=hottest)
    cannot = (fastest_rpm > highest_rpm) | stopped
    end_c = np.full((len(pair.brakes), *brake_c.shape[1:]), math.nan)
    end_c[fitted] = np.where(cannot, math.nan, brake_c)
    return DescentMap(
        tuple(gears.tolist()),
        speeds,
        np.where(cannot, math.nan, hottest),
        end_c,
        fastest_rpm,
        np.where(cannot, math.nan, fluid_c),
    )


def _goals(
    speeds: np.ndarray,
    grade: Sequence[float],
    *,
    step_m: float,
    held: Sequence[bool],
    limit_m_s: Sequence[float],
) -> np.ndarray:
    """Speed wanted at the end of each step, lowered so that slow points are reached by gentle braking."""
    goals = np.where(
        np.asarray(held, bool)[:, None],
        np.minimum(np.asarray(limit_m_s)[:, None], speeds),
        np.asarray(limit_m_s)[:, None],
    )
    for i in range(len(grade) - 2, -1, -1):
        goals[i] = np.minimum(goals[i], np.sqrt(goals[i + 1] ** 2 + 2.0 * GENTLE_BRAKING_M_S2 * step_m))
    return goals


def _coasting_gear(train: Powertrain, rpm_of_one: np.ndarray, gear: np.ndarray, *, free: bool) -> np.ndarray:
    """The gear of a step without pull: not past the redline, not below idle, and freely up while the engine
    still pulls there.
    """
    rising = np.array(train.gear_ratios[::-1])

    def highest_above(rpm: float) -> np.ndarray:
        return np.maximum(1, len(rising) - np.searchsorted(rising, rpm / rpm_of_one))

    lowest = np.minimum(
        len(rising), len(rising) - np.searchsorted(rising, train.redline_rpm / rpm_of_one, side="right") + 1
    )
    gear = np.maximum(gear, lowest)
    if free:
        gear = np.maximum(gear, highest_above(train.lowest_pull_rpm))
    return np.minimum(gear, highest_above(train.idle_rpm))


def _climbing_gear(pull_n: np.ndarray, needed_n: np.ndarray, present: np.ndarray) -> np.ndarray:
    """The highest gear that pulls enough, a higher one than the present only with pull in hand; else the
    hardest pulling.
    """
    top = len(pull_n)

    def highest(enough: np.ndarray) -> np.ndarray:
        return np.where(enough.any(axis=0), top - np.argmax(enough[::-1], axis=0), 0)

    freely, just = highest(pull_n >= RESERVE * needed_n), highest(pull_n >= needed_n)
    chosen = np.where(freely > present, freely, np.minimum(just, present))
    return np.where(just == 0, np.argmax(pull_n, axis=0) + 1, np.maximum(chosen, 1))


def _pulls_n(train: Powertrain, speed_m_s: np.ndarray) -> np.ndarray:
    """`wheel_force_n` of each gear at sea level over an array of speeds.

    Not read off a grid: a gear begins and ceases to pull at exact speeds, and a driver who is there at the
    top of a climb goes down with one gear more or less for the engine to hold back in.
    """
    turns = np.array(train.gear_ratios)[:, None] * (train.final_drive / train.rolling_radius_m)
    rpm = speed_m_s * (RPM_PER_RAD_S * turns)
    pulls = (rpm >= train.lowest_pull_rpm) & (rpm <= train.redline_rpm)
    torque = np.interp(rpm, train.curve_rpm, train.curve_torque_n_m)
    slow = rpm[0] < train.launch_rpm  # first gear: clutch or converter slip
    if slow.any():
        pulls[0] |= slow
        launched = train.stall_torque_ratio - (train.stall_torque_ratio - 1.0) * rpm[0] / (
            COUPLING_SHARE * train.launch_rpm
        )
        at_launch = np.interp(train.launch_rpm, train.curve_rpm, train.curve_torque_n_m)
        torque[0] = np.where(slow, at_launch * np.maximum(1.0, launched), torque[0])
    return np.where(pulls, torque * turns * train.driveline_efficiency, 0.0)


def _air_cooling(speed_m_s: np.ndarray, density: float) -> np.ndarray:
    """`air_cooling_w_m2_k` over an array, which is a constant and a power of the speed."""
    still = air_cooling_w_m2_k(0.0)
    per_power = air_cooling_w_m2_k(1.0, air_density_kg_m3=density) - still
    return still + per_power * speed_m_s**0.8
