"""The drive of journey.py for many cases at once: the same equations on arrays, one column a case.

Every number of the pair may be a float (the same for all cases) or an array with one entry a case.
`tests/physics/drive/test_journey_cases.py` holds it against journey.drive case by case.
"""

from collections.abc import Callable
from typing import Any, NamedTuple

import numpy as np

from towlib.physics.basics.atmosphere import ZERO_C_IN_K
from towlib.physics.basics.road_load import GRAVITY_M_S2
from towlib.physics.brakes.brake_heat import (
    BLOWN_W_M2_K,
    EMISSIVITY,
    IRON_SPECIFIC_HEAT_J_KG_K,
    STEFAN_BOLTZMANN_W_M2_K4,
    STILL_AIR_W_M2_K,
)
from towlib.physics.drive.cooling import FLOW_EXPONENT, FULL_FLOW_M_S, INDICATED_EFFICIENCY
from towlib.physics.drive.creep import creeping_m_s
from towlib.physics.drive.journey import (
    COMFORTABLE_ACCELERATION_M_S2,
    JUST_BELOW,
    PIECES,
    RESERVE,
    SLOWEST_M_S,
    Pair,
)
from towlib.physics.drive.powertrain import (
    COUPLING_SHARE,
    RPM_PER_RAD_S,
    SEA_LEVEL_DENSITY_KG_M3,
    engine_power_factors,
    motoring_torque_n_m,
)
from towlib.physics.drive.torque_cases import TorqueCurves

Numbers = Any  # a float, or an array with one entry a case


class DriveCases(NamedTuple):
    """What many drives came to, one entry a case; nan where the pair stopped or a part is not known."""

    highest_brake_c: tuple[np.ndarray | None, ...]  # front, rear and towed
    highest_coolant_c: np.ndarray | None
    fuel_m3: np.ndarray
    time_s: np.ndarray
    stopped: np.ndarray  # True where the engine could not pull the pair through


def drive_cases(
    pair: Pair,
    torque: TorqueCurves,
    *,
    count: int,
    step_m: float,
    grade: list[float],
    target_m_s: np.ndarray,
    descent_gear: np.ndarray,
    air_at: Callable[[int], tuple[Numbers, Numbers]],
) -> DriveCases:
    """Drive many pairs along the same road, from standing, brakes as warm as the air and the coolant at its
    thermostat.

    d(v²)/ds = 2·(F_drive - F_engine - F_brakes - F_grade - F_roll - F_air)/(m·k); each temperature exactly
    over a step

    Parameters
    ----------
    pair : Pair
        Both vehicles; each number a float or an array of `count`. Its engine curve is not used: `torque`
        stands for it.
    torque : TorqueCurves
        Full-throttle torque of each case.
    count : int
        How many cases, 1 or more.
    step_m : float
        Length of a step on the map, 5 to 100 m.
    grade : list of float
        Rise over run of each step.
    target_m_s : array (steps, 1) or (steps, count)
        Speed wanted at the end of each step.
    descent_gear : array of int (steps, 1) or (steps, count)
        Gear the driver holds on each step, 0 for free choice.
    air_at : function
        Air temperature and density on a step (counted from 0): floats or arrays of `count`.

    Returns
    -------
    DriveCases
        Highest temperatures, fuel and time of each case.

    Breaks down when
        as journey.drive.

    Source
        The equations of journey.drive, on arrays.

    Examples
    --------
    >>> from towlib.physics.drive.powertrain import EXAMPLE
    >>> pair = Pair(
    ...     np.array([3900.0, 4100.0]), 0.013, 1.9, EXAMPLE, 9e3, (None, None, None), (0.7, 0.3, 0.0), None
    ... )
    >>> same = np.ones((200, 1))
    >>> road = dict(
    ...     step_m=25.0, grade=[0.06] * 200, target_m_s=22.0 * same, descent_gear=np.zeros((200, 1), int)
    ... )
    >>> torque = TorqueCurves.same(
    ...     EXAMPLE.curve_rpm, EXAMPLE.curve_torque_n_m, redline_rpm=EXAMPLE.redline_rpm
    ... )
    >>> trip = drive_cases(pair, torque, count=2, air_at=lambda step: (20.0, 1.0), **road)
    >>> [float(round(s)) for s in trip.time_s]
    [239.0, 240.0]
    """
    cases = PairCases(pair, torque, count)
    speed, gear = np.zeros(count), np.zeros(count, int)
    time_s, fuel_j = np.zeros(count), np.zeros(count)
    stopped = np.zeros(count, bool)
    brakes = [
        _Brake(b, share, np.broadcast_to(air_at(0)[0], count)) if b else None
        for b, share in zip(pair.brakes, pair.brake_shares, strict=True)
    ]
    cooling = pair.cooling
    coolant: Numbers = (
        np.broadcast_to(np.asarray(cooling.thermostat_c, float), count).copy() if cooling else None
    )
    hottest_coolant: Numbers = coolant
    if cooling:  # radiator_conductance_w_k with its constants put together
        fan_w_k = cooling.conductance_w_k * cooling.standing_share
        driven_w_k = cooling.conductance_w_k * (1.0 - cooling.standing_share) / FULL_FLOW_M_S**FLOW_EXPONENT
        per_capacity = -1.0 / cooling.heat_capacity_j_k
    efficiency = cooling.indicated_efficiency if cooling else INDICATED_EFFICIENCY
    weight_n, pushed = cases.mass_kg * GRAVITY_M_S2, False
    for i, slope in enumerate(grade):
        air, density = air_at(i)
        cosine = 1.0 / np.sqrt(1.0 + slope * slope)
        along_m = step_m / cosine
        road = _Road(
            weight_n * ((slope + pair.rolling_coefficient) * cosine),
            0.5 * density * pair.drag_area_m2,
            cases.power_factor(density),
            density,
            descent_gear[i].astype(int),
        )
        goal = np.minimum(
            target_m_s[i], np.sqrt(speed * speed + 2.0 * COMFORTABLE_ACCELERATION_M_S2 * along_m)
        )
        end, forces = _one_step(cases, speed, goal, road=road, along_m=along_m, gear=gear, pushed=pushed)
        pushed = bool(forces.limited.any())
        slow = end < SLOWEST_M_S
        if slow.any() or stopped.any():
            stopped |= slow & forces.limited
            end = np.where(stopped, SLOWEST_M_S, end)  # a stopped case crawls on unseen; its results are nan
        dt = 2.0 * along_m / (speed + end)
        mean = along_m / dt
        speed, gear = end, cases.within_redline(mean, forces.gear)
        time_s += dt
        air_flow = STILL_AIR_W_M2_K + BLOWN_W_M2_K * (density * mean) ** 0.8
        braking_w, air_k = forces.brake_n * mean, air + ZERO_C_IN_K
        air_k2 = air_k * air_k
        for brake in brakes:
            if brake is not None:
                brake.heat(braking_w, air_flow, air_k=air_k, air_k2=air_k2, dt=dt)
        pulling = forces.drive_n > 0
        burning = pulling | (forces.engine_brake_n <= 0)
        burnt_w: Numbers = 0.0
        if burning.any():
            rpm = np.maximum(
                cases.rpm(mean, gear), np.where(pulling & (gear == 0), cases.launch_rpm, cases.idle_rpm)
            )
            turning_w = (
                motoring_torque_n_m(cases.displacement_m3, rpm, density_ratio=0.0) * rpm / RPM_PER_RAD_S
            )
            burnt_w = np.where(
                burning, (forces.drive_n * mean / cases.efficiency + turning_w) / efficiency, 0.0
            )
            fuel_j += burnt_w * dt
        if cooling:
            ua = (fan_w_k + driven_w_k * mean**FLOW_EXPONENT) * (
                density / SEA_LEVEL_DENSITY_KG_M3
            ) ** FLOW_EXPONENT
            settled = np.maximum(cooling.thermostat_c, air + burnt_w * cooling.coolant_heat_share / ua)
            coolant = settled + (coolant - settled) * np.exp(dt * ua * per_capacity)
            hottest_coolant = np.maximum(hottest_coolant, coolant) if i else coolant

    def seen(values: np.ndarray) -> np.ndarray:
        return np.where(stopped, np.nan, values)

    return DriveCases(
        tuple(seen(brake.hottest_k - ZERO_C_IN_K) if brake else None for brake in brakes),
        seen(hottest_coolant) if cooling else None,
        seen(fuel_j / pair.fuel_energy_j_m3),
        seen(time_s),
        stopped,
    )


class _Forces(NamedTuple):
    gear: np.ndarray  # 0 for first
    drive_n: np.ndarray
    engine_brake_n: np.ndarray
    brake_n: np.ndarray
    limited: np.ndarray
    air_n: Numbers = 0.0


class _Road(NamedTuple):
    steady_n: Numbers
    drag: Numbers
    factor: Numbers
    density: Numbers
    held: np.ndarray  # 1 for first, 0 for free choice

    def at(self, some: np.ndarray) -> "_Road":
        return _Road(*(_some(value, some) for value in self))


def _some(value: Numbers, some: np.ndarray) -> Numbers:
    return value[some] if isinstance(value, np.ndarray) and value.shape[-1] > 1 and value.ndim == 1 else value


class _Brake:
    """One axle's brakes in every case."""

    def __init__(self, brakes: Any, share: Numbers, air_c: np.ndarray):
        self.per_capacity = -1.0 / (brakes.heated_mass_kg * IRON_SPECIFIC_HEAT_J_KG_K)
        self.share, self.blown_m2 = share, brakes.cooled_area_m2 * brakes.exposure
        self.radiating = brakes.cooled_area_m2 * EMISSIVITY * STEFAN_BOLTZMANN_W_M2_K4
        self.now_k = air_c + ZERO_C_IN_K
        self.hottest_k = np.full(len(air_c), -np.inf)

    def heat(
        self, power_w: np.ndarray, air_flow: np.ndarray, *, air_k: Numbers, air_k2: Numbers, dt: np.ndarray
    ) -> None:
        hot = self.now_k
        conductance = self.blown_m2 * air_flow + self.radiating * ((hot * hot + air_k2) * (hot + air_k))
        settled = air_k + self.share * power_w / conductance
        self.now_k = settled + (hot - settled) * np.exp(dt * conductance * self.per_capacity)
        np.maximum(self.hottest_k, self.now_k, out=self.hottest_k)


class PairCases:
    """The pairs as arrays, and what their engines and gears do; gears count from 0 here."""

    def __init__(self, pair: Pair, torque: TorqueCurves, count: int):
        train = pair.train
        self.count, self.torque, self.gears = count, torque, len(train.gear_ratios)
        self.mass_kg, self.grip_n = pair.mass_kg, pair.grip_n
        self.inertia_kg = pair.mass_kg * pair.inertia_factor
        self.efficiency, self.displacement_m3, self.boosted = (
            train.driveline_efficiency,
            train.displacement_m3,
            train.boosted,
        )
        self.idle_rpm, self.redline_rpm, self.launch_rpm = train.idle_rpm, train.redline_rpm, train.launch_rpm
        self.lowest_pull_rpm, self.stall, self.braking_factor = (
            train.lowest_pull_rpm,
            train.stall_torque_ratio,
            train.engine_braking_factor,
        )
        per_m = train.final_drive / np.atleast_1d(
            np.asarray(train.rolling_radius_m, float)
        )  # (1,) or (count,)
        ratios = np.stack([ratio * per_m for ratio in train.gear_ratios])
        self.per_m = (
            ratios if ratios.shape[1] == 1 else np.ascontiguousarray(ratios)
        )  # turns of the engine a metre, times 2·pi
        self.rpm_per_m_s = self.per_m * RPM_PER_RAD_S
        self.fastest = JUST_BELOW * self.redline_rpm / self.rpm_per_m_s  # just below the redline
        self.jumps, self.most_n_m = self._jumps(), torque.most_n_m()
        self.coupled_m_s = self.jumps[0]  # in first gear the converter's pull has fallen to the engine's own
        self.never_over_m_s = [
            float(np.min(self.redline_rpm / per)) for per in self.rpm_per_m_s
        ]  # up to here no case is over the redline
        self.most_n = [
            float(np.nanmax(self.most_n_m * per * self.efficiency)) for per in self.per_m
        ]  # at the wheels, over all cases

    def at(self, some: np.ndarray) -> "PairCases":
        part = object.__new__(PairCases)
        for name, value in self.__dict__.items():
            if isinstance(value, np.ndarray):
                value = value[..., some] if value.shape[-1] == self.count and self.count > 1 else value
            setattr(part, name, value)
        part.count, part.torque = len(some), self.torque.at(some)
        return part

    def power_factor(self, density: Numbers) -> Numbers:
        """powertrain.engine_power_factor."""
        return engine_power_factors(density / SEA_LEVEL_DENSITY_KG_M3, boosted=self.boosted)

    def of_gear(self, table: np.ndarray, gear: Any) -> Numbers:
        if isinstance(gear, int):
            return table[gear]
        if (gear == gear[0]).all():
            return table[gear[0]]
        return (
            table[:, 0].take(gear)
            if table.shape[1] == 1
            else table.ravel().take(gear * self.count + np.arange(self.count))
        )

    def rpm(self, speed: np.ndarray, gear: Any) -> np.ndarray:
        return speed * self.of_gear(self.rpm_per_m_s, gear)

    def pull_n(self, speed: np.ndarray, gear: Any, factor: Numbers) -> np.ndarray:
        """powertrain.wheel_force_n."""
        rpm = self.rpm(speed, gear)
        force = self.of_gear(self.per_m, gear) * self.efficiency * factor
        slow = rpm < self.launch_rpm
        first = gear == 0
        if not isinstance(first, np.ndarray):
            if not first:
                return np.where(
                    (rpm > self.redline_rpm) | (rpm < self.lowest_pull_rpm),
                    0.0,
                    self.torque.at_rpm(rpm) * force,
                )
            first = np.ones(self.count, bool)
        launching = slow & first
        if not launching.any():
            return np.where(
                (rpm > self.redline_rpm) | (rpm < self.lowest_pull_rpm), 0.0, self.torque.at_rpm(rpm) * force
            )
        ratio = np.where(
            launching,
            np.maximum(1.0, self.stall - (self.stall - 1.0) * rpm / self.launch_rpm / COUPLING_SHARE),
            1.0,
        )
        torque = self.torque.at_rpm(np.where(launching, self.launch_rpm, rpm)) * ratio
        return np.where(
            (rpm > self.redline_rpm) | (~launching & (rpm < self.lowest_pull_rpm)), 0.0, torque * force
        )

    def engine_brake_n(self, speed: np.ndarray, gear: np.ndarray, density: Numbers) -> np.ndarray:
        """powertrain.engine_braking_force_n."""
        rpm = self.rpm(speed, gear)
        torque = self.braking_factor * motoring_torque_n_m(
            self.displacement_m3, rpm, density_ratio=density / SEA_LEVEL_DENSITY_KG_M3
        )
        return np.where(rpm < self.idle_rpm, 0.0, torque * self.of_gear(self.per_m, gear) / self.efficiency)

    def climbing_gear(
        self, speed: np.ndarray, needed: np.ndarray, *, factor: Numbers, present: np.ndarray
    ) -> tuple[np.ndarray, np.ndarray]:
        """journey.climbing_gear."""
        chosen, chosen_n = np.full(self.count, -1), np.zeros(self.count)
        least = float(needed.min()) / float(np.max(factor))
        for gear in range(self.gears - 1, -1, -1):
            if (
                gear and self.most_n[gear] * 1.000001 < least
            ):  # the curve's largest torque is too little in every case
                continue
            pull = self.pull_n(speed, gear, factor)
            enough = (chosen < 0) & (pull >= np.where(gear > present, needed * RESERVE, needed)) & (pull > 0)
            chosen, chosen_n = np.where(enough, gear, chosen), np.where(enough, pull, chosen_n)
            if (chosen >= 0).all():
                return chosen, chosen_n
        none = np.flatnonzero(chosen < 0)
        chosen[none], chosen_n[none] = self.at(none).hardest_gear(speed[none], _some(factor, none))
        return chosen, chosen_n

    def hardest_gear(self, speed: np.ndarray, factor: Numbers) -> tuple[np.ndarray, np.ndarray]:
        """The gear that pulls hardest."""
        best, best_n = np.zeros(self.count, int), np.full(self.count, -1.0)
        for gear in range(self.gears - 1, -1, -1):
            pull = self.pull_n(speed, gear, factor)
            harder = pull > best_n
            best, best_n = np.where(harder, gear, best), np.where(harder, pull, best_n)
        return best, best_n

    def within_redline(self, speed: np.ndarray, gear: np.ndarray) -> np.ndarray:
        if speed.max() <= self.never_over_m_s[gear.min()]:
            return gear
        for _ in range(self.gears - 1):
            over = (self.rpm(speed, gear) > self.redline_rpm) & (gear < self.gears - 1)
            if not over.any():
                break
            gear = gear + over
        return gear

    def overrun_gear(self, speed: np.ndarray, gear: np.ndarray, held: np.ndarray) -> np.ndarray:
        free = held == 0
        gear = self.within_redline(speed, np.where(free, gear, held - 1))
        for _ in range(self.gears - 1):
            up = (
                free
                & (gear < self.gears - 1)
                & (self.rpm(speed, np.minimum(gear + 1, self.gears - 1)) > self.lowest_pull_rpm)
            )
            if not up.any():
                break
            gear = gear + up
        for _ in range(self.gears - 1):
            down = (gear > 0) & (self.rpm(speed, gear) < self.idle_rpm)
            if not down.any():
                break
            gear = gear - down
        return gear

    def creep(self, road: "_Road") -> tuple[np.ndarray, np.ndarray]:
        """journey._creep; nan where there is none."""
        coupled = np.broadcast_to(self.coupled_m_s, self.count)
        most, least = (
            self.pull_n(speed, 0, road.factor) for speed in (np.zeros(self.count), coupled * (1.0 + 1e-9))
        )
        spare, falls = most - road.steady_n, (most - least) / coupled
        with np.errstate(invalid="ignore"):
            settled = 2.0 * spare / (falls + np.sqrt(falls * falls + 4.0 * road.drag * spare))
        there = (spare > 0) & (least < road.steady_n + road.drag * coupled * coupled)
        there &= road.steady_n + road.drag * settled * settled <= self.grip_n
        return np.where(there, settled, np.nan), falls

    def _jumps(self) -> np.ndarray:
        launch = self.launch_rpm / self.rpm_per_m_s[0]
        return np.stack(
            np.broadcast_arrays(
                COUPLING_SHARE * launch, launch, *(self.redline_rpm / per for per in self.rpm_per_m_s)
            )
        )


def _one_step(
    cases: PairCases,
    speed: np.ndarray,
    goal: np.ndarray,
    *,
    road: _Road,
    along_m: Numbers,
    gear: np.ndarray,
    pushed: bool,
) -> tuple[np.ndarray, _Forces]:
    """One step of the road in every case: as a whole, held at a redline, or in pieces, as journey.drive does.

    `pushed` tells that engine or tyres were at their limit in the step before: only then a case may stand at
    a redline.
    """
    end, forces = _step(cases, speed, goal, road=road, along_m=along_m, gear=gear)
    uneven = (forces.drive_n > 0) & (forces.limited | (goal != speed))
    if uneven.any():
        some = np.flatnonzero(uneven)
        some = some[_jumps_within(cases.at(some), forces, some, speed[some], end[some], road.at(some))]
        if len(some):
            part, steps = _in_pieces(
                cases.at(some), speed[some], goal[some], road=road.at(some), along_m=along_m, gear=gear[some]
            )
            end[some] = part
            forces = _put(forces, some, steps)
    if pushed and len(some := np.flatnonzero(np.abs(speed - cases.of_gear(cases.fastest, gear)) < 1e-9)):
        holds, held = _held_at_redline(
            cases.at(some), speed[some], goal[some], road=road.at(some), along_m=along_m, gear=gear[some]
        )
        if holds.any():
            end[some[holds]] = speed[some[holds]]
            forces = _put(forces, some[holds], _Forces(*(value[holds] for value in held)))
    return end, forces


def _put(forces: _Forces, some: np.ndarray, part: _Forces) -> _Forces:
    whole = [np.array(np.broadcast_to(value, forces.gear.shape)) for value in forces]
    for value, new in zip(whole, part, strict=True):
        value[some] = new
    return _Forces(*whole)


def _step(
    cases: PairCases, speed: np.ndarray, goal: np.ndarray, *, road: _Road, along_m: Numbers, gear: np.ndarray
) -> tuple[np.ndarray, _Forces]:
    """journey._step."""
    middle = 0.5 * (speed + goal)
    asked = (cases.inertia_kg / along_m) * ((goal - speed) * middle)
    air = road.drag * (middle * middle)
    forces = _share_out(cases, middle, road.steady_n + air + asked, road=road, gear=gear)._replace(air_n=air)
    if not forces.limited.any():
        return goal.copy(), forces  # every force is given, so every goal is reached
    some = np.flatnonzero(forces.limited)
    forces = _put(
        forces,
        some,
        _limited(
            cases.at(some),
            speed[some],
            _some(asked, some),
            road=road.at(some),
            along_m=_some(along_m, some),
            gear=gear[some],
        ),
    )
    net = forces.drive_n - forces.engine_brake_n - forces.brake_n - road.steady_n - forces.air_n
    return np.sqrt(np.maximum(speed * speed + 2.0 * along_m * net / cases.inertia_kg, 0.0)), forces


def _limited(
    cases: PairCases, speed: np.ndarray, asked: np.ndarray, *, road: _Road, along_m: Numbers, gear: np.ndarray
) -> _Forces:
    """The gear that pulls at the start, its pull at the middle it leads to."""
    needed = road.steady_n + road.drag * speed * speed + asked
    chosen, pull = cases.climbing_gear(speed, needed, factor=road.factor, present=gear)
    square = (
        speed * speed
        + 2.0
        * along_m
        * (np.minimum(np.minimum(needed, pull), cases.grip_n) - needed + asked)
        / cases.inertia_kg
    )
    middle = np.minimum(
        0.5 * (speed + np.sqrt(np.maximum(square, 0.0))), cases.of_gear(cases.fastest, chosen)
    )
    creeping, slipping = np.zeros(cases.count, bool), np.minimum(speed, middle) <= cases.coupled_m_s
    if slipping.any():
        settled, falls = cases.creep(road)
        slipping &= ~np.isnan(settled)
        creeping = slipping & (speed <= cases.coupled_m_s * (1.0 + 1e-9))
        middle = np.where(slipping, cases.coupled_m_s, middle)  # up to there the pull does not fall
    air = road.drag * middle * middle
    needed = road.steady_n + air + asked
    pull = cases.pull_n(middle, chosen, road.factor)
    if (pull <= 0).any():
        other, other_n = cases.climbing_gear(middle, needed, factor=road.factor, present=chosen)
        chosen, pull = np.where(pull <= 0, other, chosen), np.where(pull <= 0, other_n, pull)
    given = np.minimum(np.minimum(needed, pull), cases.grip_n)
    limited = given < needed
    if creeping.any():
        goal = np.sqrt(np.maximum(speed * speed + 2.0 * along_m * asked / cases.inertia_kg, 0.0))
        end = np.minimum(
            goal,
            creeping_m_s(
                speed,
                settled_m_s=np.where(creeping, settled, 1.0),
                along_m=along_m,
                falls_n_s_m=np.where(creeping, falls + road.drag * (speed + settled), 1.0),
                inertia_kg=cases.inertia_kg,
            ),
        )
        air = np.where(creeping, road.drag * (0.5 * (speed + end)) ** 2, air)
        gained = cases.inertia_kg * (end * end - speed * speed) / (2.0 * along_m)
        given = np.where(creeping, road.steady_n + air + gained, given)
        chosen, limited = np.where(creeping, 0, chosen), limited | creeping
    none = np.zeros(cases.count)
    return _Forces(chosen, given, none, none, limited, air)


def _share_out(
    cases: PairCases, speed: np.ndarray, needed: np.ndarray, *, road: _Road, gear: np.ndarray
) -> _Forces:
    """journey._share_out."""
    pulling = needed > 0
    if pulling.all():
        return _pull(cases, speed, needed, road=road, gear=gear)
    if not pulling.any():
        return _hold_back(cases, speed, needed, road=road, gear=gear)
    none = np.zeros(cases.count)
    forces = _Forces(np.zeros(cases.count, int), none, none, none, np.zeros(cases.count, bool))
    for some, share in ((np.flatnonzero(pulling), _pull), (np.flatnonzero(~pulling), _hold_back)):
        forces = _put(
            forces,
            some,
            share(cases.at(some), speed[some], needed[some], road=road.at(some), gear=gear[some]),
        )
    return forces


def _pull(
    cases: PairCases, speed: np.ndarray, needed: np.ndarray, *, road: _Road, gear: np.ndarray
) -> _Forces:
    chosen, pull = cases.climbing_gear(speed, needed, factor=road.factor, present=gear)
    given = np.minimum(np.minimum(needed, pull), cases.grip_n)
    limited = given < needed
    held = np.broadcast_to(road.held, speed.shape)
    if held.any():
        in_held = (held > 0) & (cases.pull_n(speed, np.maximum(held - 1, 0), road.factor) >= needed)
        chosen, given, limited = (
            np.where(in_held, held - 1, chosen),
            np.where(in_held, needed, given),
            limited & ~in_held,
        )
    none = np.zeros(cases.count)
    return _Forces(chosen, given, none, none, limited)


def _hold_back(
    cases: PairCases, speed: np.ndarray, needed: np.ndarray, *, road: _Road, gear: np.ndarray
) -> _Forces:
    gear = cases.overrun_gear(speed, gear, np.broadcast_to(road.held, speed.shape))
    engine = np.minimum(-needed, cases.engine_brake_n(speed, gear, road.density))
    return _Forces(gear, np.zeros(cases.count), engine, -needed - engine, np.zeros(cases.count, bool))


def _jumps_within(
    cases: PairCases, forces: _Forces, some: np.ndarray, speed: np.ndarray, end: np.ndarray, road: _Road
) -> np.ndarray:
    """journey._uneven."""
    low, high = np.minimum(speed, end), np.maximum(speed, end)
    uneven = low <= 0.0  # coupling at standstill
    for jump in cases.jumps:
        uneven |= (low <= jump) & (jump <= high)
    gaining = end > 1.02 * speed
    if gaining.any():
        uneven |= gaining & (cases.pull_n(end, forces.gear[some], road.factor) < forces.drive_n[some])
    return uneven


def _in_pieces(
    cases: PairCases, speed: np.ndarray, goal: np.ndarray, *, road: _Road, along_m: float, gear: np.ndarray
) -> tuple[np.ndarray, _Forces]:
    """journey._in_pieces."""
    gain = (goal * goal - speed * speed) / along_m
    left = np.full(cases.count, float(along_m))
    sums, limited = np.zeros((3, cases.count)), np.zeros(cases.count, bool)
    shares, order = np.zeros((cases.gears, cases.count)), np.full((cases.gears, cases.count), 99)
    speed, gear = speed.copy(), gear.copy()
    for number in range(60):
        some = np.flatnonzero(left > 1e-6 * along_m)
        if not len(some):
            break
        part, way = cases.at(some), road.at(some)
        v, g, part_m = speed[some], gear[some], np.minimum(along_m / PIECES, left[some])
        end, forces = _step(
            part, v, np.sqrt(np.maximum(v * v + gain[some] * part_m, 0.0)), road=way, along_m=part_m, gear=g
        )
        top = part.of_gear(part.fastest, forces.gear)
        beyond = (forces.drive_n > 0) & (end > top)
        if beyond.any():
            below = beyond & (v < top * (1.0 - 1e-9))
            with np.errstate(divide="ignore", invalid="ignore"):
                part_m = np.where(below, part_m * (top * top - v * v) / (end * end - v * v), part_m)
            end = np.where(below, top, end)
            there = beyond & ~below
            if there.any():
                at = np.flatnonzero(there)
                new_end, new_forces = _at_redline(
                    part.at(at),
                    _Forces(*(value[at] for value in forces)),
                    speed=v[at],
                    end=end[at],
                    road=way.at(at),
                    along_m=part_m[at],
                    top=_some(top, at),
                )
                end[at], forces = new_end, _put(forces, at, new_forces)
                part_m[at] = np.where(new_end == v[at], left[some][at], part_m[at])
        slowing = forces.limited & ~beyond & (end < v)
        if slowing.any():
            passed = (part.fastest > end) & (part.fastest < v * (1.0 - 1e-9))
            passed &= np.arange(part.gears)[:, None] < forces.gear
            low = np.where(passed, part.fastest, 0.0).max(axis=0)
            slips = slowing & (end < part.coupled_m_s) & (part.coupled_m_s < v * (1.0 - 1e-9))
            if slips.any():  # or the converter slips
                slips &= ~np.isnan(part.creep(way)[0])
                low = np.where(slips, np.maximum(low, part.coupled_m_s), low)
            cut = slowing & (low > 0.0)
            with np.errstate(divide="ignore", invalid="ignore"):
                part_m = np.where(cut, part_m * (v * v - low * low) / (v * v - end * end), part_m)
            end = np.where(cut, low, end)
        share = part_m / along_m
        sums[:, some] += share * np.stack(forces[1:4])
        limited[some] |= forces.limited
        shares[forces.gear, some] += share
        order[forces.gear, some] = np.minimum(order[forces.gear, some], number)
        speed[some], gear[some], left[some] = end, forces.gear, left[some] - part_m
    longest = shares >= shares.max(axis=0) - 1e-12
    gear = np.where(longest, order, 999).argmin(axis=0)  # the one used longest, the earlier of two
    drive_n, engine_brake_n, brake_n = sums
    return speed, _Forces(gear, drive_n, engine_brake_n, brake_n, limited)


def _held_at_redline(
    cases: PairCases, speed: np.ndarray, goal: np.ndarray, *, road: _Road, along_m: Numbers, gear: np.ndarray
) -> tuple[np.ndarray, _Forces]:
    """journey._held_at_redline: where it holds, and the forces there."""
    load = road.steady_n + road.drag * speed * speed
    pull = np.minimum(cases.grip_n, cases.pull_n(speed, gear, road.factor))
    holds = (goal > speed) & (load > 0) & (load <= pull)
    higher = np.minimum(gear + 1, cases.gears - 1)
    holds &= (gear == cases.gears - 1) | (
        np.minimum(cases.grip_n, cases.pull_n(speed, higher, road.factor)) < load
    )
    asked = load + cases.inertia_kg * (goal * goal - speed * speed) / (2.0 * along_m)
    none = np.zeros(cases.count)
    return holds, _Forces(gear, load + none, none, none, pull < asked, none)


def _at_redline(
    cases: PairCases,
    forces: _Forces,
    *,
    speed: np.ndarray,
    end: np.ndarray,
    road: _Road,
    along_m: np.ndarray,
    top: np.ndarray,
) -> tuple[np.ndarray, _Forces]:
    """journey._at_redline."""
    higher = np.minimum(forces.gear + 1, cases.gears - 1)
    pull = np.minimum(np.minimum(forces.drive_n, cases.grip_n), cases.pull_n(speed, higher, road.factor))
    surplus = pull - road.steady_n - forces.air_n
    goes_up = (forces.gear < cases.gears - 1) & (surplus >= 0)
    less = cases.inertia_kg * (end * end - top * top) / (2.0 * along_m)
    lifts = ~goes_up & (less <= forces.drive_n)
    up_end = np.sqrt(np.maximum(speed * speed + 2.0 * along_m * surplus / cases.inertia_kg, 0.0))
    drive = np.where(goes_up, pull, np.where(lifts, forces.drive_n - less, forces.drive_n))
    return (
        np.where(goes_up, up_end, np.where(lifts, top, end)),
        forces._replace(
            gear=np.where(goes_up, higher, forces.gear), drive_n=drive, limited=forces.limited | goes_up
        ),
    )
