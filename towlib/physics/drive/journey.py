"""One drive along a road, up and down alike: speed, gear, brake and coolant temperature, fuel."""

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from itertools import accumulate, repeat
from typing import Any, NamedTuple

import numpy as np

from towlib.physics.basics.road_load import GRAVITY_M_S2
from towlib.physics.brakes.brake_heat import (
    AxleBrakes,
    air_cooling_w_m2_k,
    temperatures_along_c,
)
from towlib.physics.drive.cooling import (
    INDICATED_EFFICIENCY,
    CoolingSystem,
    fuel_power_w,
    radiator_conductance_w_k,
)
from towlib.physics.drive.creep import creeping_m_s
from towlib.physics.drive.powertrain import (
    COUPLING_SHARE,
    RPM_PER_RAD_S,
    SEA_LEVEL_DENSITY_KG_M3,
    Powertrain,
    engine_braking_force_n,
    engine_power_factors,
    engine_rpm,
    motoring_torque_n_m,
    wheel_force_n,
)
from towlib.physics.drive.pull_table import (
    Piece,
    PullTable,
    just_above,
    pieces_at,
    pull_n,
    pull_table,
    speed_at_rpm_m_s,
)

COMFORTABLE_ACCELERATION_M_S2 = 1.0
GENTLE_BRAKING_M_S2 = 0.8
SLOWEST_M_S = 1.0  # slower than this on full throttle counts as stopped
RESERVE = 1.1  # a higher gear is taken only with this much pull in hand, so that gears do not hunt
JUST_BELOW = 0.99999  # of the redline
PIECES = 6  # a step in which the pull jumps (launch, a gear's redline) is driven in this many pieces


Numbers = Any  # an array with one entry a step


class Pair(NamedTuple):
    """Both vehicles as one body on the road."""

    mass_kg: float
    rolling_coefficient: float
    drag_area_m2: float
    train: Powertrain
    grip_n: float  # largest drive force the tyres pass on
    brakes: tuple[AxleBrakes | None, ...]  # front, rear and towed; None where not known or not fitted
    brake_shares: tuple[float, ...]  # share of the braking each does, sum 1
    cooling: CoolingSystem | None
    inertia_factor: float = 1.05  # wheels and engine turn as well as move
    fuel_energy_j_m3: float = 32e9


class Journey(NamedTuple):
    """What happened on the road, one entry a step; forces at the wheels in newtons."""

    distance_m: list[float]  # at the end of each step
    time_s: list[float]
    speed_m_s: list[float]
    gear: list[int]
    rpm: list[float]
    drive_n: list[float]
    engine_brake_n: list[float]
    brake_n: list[float]
    rolling_n: list[float]
    air_n: list[float]
    full_throttle: list[bool]
    brake_c: list[tuple[float, ...]]  # nan where the brakes are not known
    brake_lost_j: tuple[float, ...]  # heat the brakes gave to the air over the whole drive
    coolant_c: list[float]  # nan where the cooling is not known
    fuel_m3: list[float]
    stopped_at_m: float | None  # where the engine could not pull the pair any further


class Motion(NamedTuple):
    """How the pair moved, one entry a step; forces at the wheels in newtons."""

    speed_m_s: list[float]  # at the end of the step
    gear: list[int]
    time_s: list[float]  # the step takes
    mean_m_s: list[float]
    air_n: list[float]
    drive_n: list[float]
    engine_brake_n: list[float]
    brake_n: list[float]
    full_throttle: list[bool]
    stopped: bool  # the engine could not pull the pair any further

    def before(self, step: int) -> "Motion":
        """The steps before one that was driven."""
        return Motion._make([*(column[:step] for column in self[:-1]), False])


def allowed_speeds_m_s(
    wanted_m_s: list[float], *, step_m: float, deceleration_m_s2: float = GENTLE_BRAKING_M_S2
) -> list[float]:
    """Speeds wanted at each point, lowered so that every slow point is reached by gentle braking.

    v_i² = min(v_i², v_{i+1}² + 2·a·ds), from the end backwards

    Parameters
    ----------
    wanted_m_s : list of float
        Speed wanted at each point of an even grid, above 0.
    step_m : float
        Distance between points, above 0.
    deceleration_m_s2 : float
        Gentle braking, above 0.

    Returns
    -------
    list of float
        Speeds not above those wanted.

    Breaks down when
        never; it is the usual backward pass.

    Source
        Kinematics.

    Examples
    --------
    >>> [round(v, 2) for v in allowed_speeds_m_s([20.0, 20.0, 10.0], step_m=50.0, deceleration_m_s2=1.0)]
    [17.32, 14.14, 10.0]
    """
    allowed = list(wanted_m_s)
    for i in range(len(allowed) - 2, -1, -1):
        if allowed[i + 1] < allowed[i]:
            allowed[i] = min(allowed[i], math.sqrt(allowed[i + 1] ** 2 + 2.0 * deceleration_m_s2 * step_m))
    return allowed


def climbing_gear(
    train: Powertrain, speed_m_s: float, needed_n: float, *, power_factor: float, present_gear: int
) -> tuple[int, float]:
    """The highest gear that gives the pull needed, or the one that pulls hardest.

    a gear above the present one must give 1.1 times the pull needed, so that gears do not hunt

    Parameters
    ----------
    train : Powertrain
        Engine and gears.
    speed_m_s : float
        Road speed.
    needed_n : float
        Pull needed at the wheels.
    power_factor : float
        Share of sea-level power left.
    present_gear : int
        1 for first.

    Returns
    -------
    tuple of int and float
        Gear and the largest pull it gives.

    Breaks down when
        the gearbox's own programme shifts otherwise.

    Source
        Common practice, no source.

    Examples
    --------
    >>> from towlib.physics.drive.powertrain import EXAMPLE
    >>> climbing_gear(EXAMPLE, 25.0, 3500.0, power_factor=1.0, present_gear=6)[0]
    4
    """
    pulls = (
        (gear, speed_m_s, wheel_force_n(train, speed_m_s, gear, power_factor=power_factor), 0.0)
        for gear in range(len(train.gear_ratios), 0, -1)
    )
    return _gear_for(needed_n, pulls, speed_m_s, factor=1.0, present_gear=present_gear)


def _gear_for(
    needed_n: float, pieces: Iterable[Piece], speed_m_s: float, *, factor: float, present_gear: int
) -> tuple[int, float]:
    """The gear of climbing_gear, from the piece of the pull table of each gear, the highest gear first."""
    best_gear, best_n = 1, -1.0
    for gear, start_m_s, start_n, slope_n_s_m in pieces:
        gear_n = (start_n + slope_n_s_m * (speed_m_s - start_m_s)) * factor
        if gear_n >= needed_n * (RESERVE if gear > present_gear else 1.0) and gear_n > 0:
            return gear, gear_n
        if gear_n > best_n:
            best_gear, best_n = gear, gear_n
    return best_gear, max(0.0, best_n)


def drive(
    pair: Pair,
    *,
    step_m: float,
    grade: list[float],
    target_m_s: list[float],
    descent_gear: list[int],
    air_c: list[float],
    air_density_kg_m3: list[float],
    brake_start_c: tuple[float, ...],
    coolant_start_c: float,
) -> Journey:
    """Drive the pair along an even grid of road steps, from standing.

    d(v²)/ds = 2·(F_drive - F_engine - F_brakes - F_grade - F_roll - F_air)/(m·k); each temperature exactly
    over a step

    Parameters
    ----------
    pair : Pair
        Both vehicles.
    step_m : float
        Length of a step on the map, 5 to 100 m.
    grade : list of float
        Rise over run of each step.
    target_m_s : list of float
        Speed wanted at the end of each step, from allowed_speeds_m_s.
    descent_gear : list of int
        Gear the driver holds on each step, 0 for free choice.
    air_c, air_density_kg_m3 : list of float
        Air on each step.
    brake_start_c : tuple of float
        Front, rear and towed brakes at the start.
    coolant_start_c : float
        Coolant at the start.

    Returns
    -------
    Journey
        Lists with one entry a step; shorter than the road when the pair had to stop.

    Breaks down when
        steps are longer than the bends of the profile, or the driver waits, passes or is held up.

    Source
        Newton's second law in its work form, gears and heat as in the modules used.

    Examples
    --------
    >>> from towlib.physics.drive.powertrain import EXAMPLE
    >>> pair = Pair(3900, 0.013, 1.9, EXAMPLE, 9e3, (None, None, None), (0.7, 0.3, 0.0), None)
    >>> road = dict(step_m=25.0, grade=[0.06] * 200, target_m_s=[22.0] * 200, descent_gear=[0] * 200)
    >>> air = dict(air_c=[20.0] * 200, air_density_kg_m3=[1.0] * 200)
    >>> trip = drive(pair, **road, **air, brake_start_c=(20.0, 20.0, 20.0), coolant_start_c=90.0)
    >>> round(trip.speed_m_s[-1], 1), trip.gear[-1]
    (22.0, 3)
    """
    moved = move(
        pair,
        step_m=step_m,
        grade=grade,
        target_m_s=target_m_s,
        descent_gear=descent_gear,
        air_density_kg_m3=air_density_kg_m3,
    )
    return Driven(
        pair, moved, step_m, grade, air_c, air_density_kg_m3, brake_start_c, coolant_start_c
    ).journey


def move(
    pair: Pair,
    *,
    step_m: float,
    grade: list[float],
    target_m_s: list[float],
    descent_gear: list[int],
    air_density_kg_m3: list[float],
    begun: Motion | None = None,
) -> Motion:
    """The motion of drive alone; heat, fuel and what the brakes are made of do not act on it.

    d(v²)/ds = 2·(F_drive - F_engine - F_brakes - F_grade - F_roll - F_air)/(m·k)

    Parameters
    ----------
    pair : Pair
        Both vehicles.
    step_m : float
        Length of a step on the map, 5 to 100 m.
    grade, target_m_s, descent_gear, air_density_kg_m3 : list
        As of drive.
    begun : Motion or None
        The first steps, where they are known already.

    Returns
    -------
    Motion
        Lists with one entry a step; shorter than the road when the pair had to stop.

    Breaks down when
        as drive.

    Source
        Newton's second law in its work form.

    Examples
    --------
    >>> from towlib.physics.drive.powertrain import EXAMPLE
    >>> pair = Pair(3900, 0.013, 1.9, EXAMPLE, 9e3, (None, None, None), (0.7, 0.3, 0.0), None)
    >>> road = dict(step_m=25.0, grade=[0.06] * 200, target_m_s=[22.0] * 200, descent_gear=[0] * 200)
    >>> moved = move(pair, **road, air_density_kg_m3=[1.0] * 200)
    >>> round(moved.speed_m_s[-1], 1), moved.gear[-1]
    (22.0, 3)
    """
    moved = list(zip(*begun[:-1], strict=True)) if begun else []
    done = len(moved)
    roads = _roads(
        pair, step_m, grade[done:], density_kg_m3=air_density_kg_m3[done:], held=descent_gear[done:]
    )
    stopped = _motion(pair, roads, target_m_s[done:], moved)
    columns = [list(column) for column in zip(*moved, strict=True)] or [[] for _ in range(9)]
    return Motion._make([*columns, stopped])


@dataclass(frozen=True)
class Driven:
    """A motion along the road, and what follows from it, worked out when it is first asked for."""

    pair: Pair
    moved: Motion
    step_m: float
    grade: list[float]
    air_c: list[float]
    air_density_kg_m3: list[float]
    brake_start_c: tuple[float, ...]
    coolant_start_c: float

    @cached_property
    def _steps(self) -> dict[str, Numbers]:
        """What every temperature asks of a step."""
        driven = len(self.moved.time_s)
        return {
            "dt": np.array(self.moved.time_s),
            "air": np.array(self.air_c[:driven]),
            "density": np.array(self.air_density_kg_m3[:driven]),
        }

    @cached_property
    def _mean_m_s(self) -> Numbers:
        return np.array(self.moved.mean_m_s)

    @cached_property
    def _brake_n(self) -> Numbers:
        return np.array(self.moved.brake_n)

    @cached_property
    def _engine(self) -> tuple[Numbers, Numbers]:
        """Shaft speed, and the power of the fuel burnt, on every step."""
        moved = self.moved
        return _engine(
            self.pair,
            self._mean_m_s,
            np.array(moved.gear, int),
            np.array(moved.drive_n),
            np.array(moved.engine_brake_n),
        )

    @cached_property
    def fuel_m3(self) -> list[float]:
        """Fuel burnt up to the end of each step."""
        burnt_m3 = self._engine[1] * self._steps["dt"] / self.pair.fuel_energy_j_m3
        return list(accumulate(burnt_m3.tolist()))

    @cached_property
    def coolant_c(self) -> list[float]:
        """Coolant at the end of each step; nan where the cooling is not known."""
        if not self.pair.cooling:
            return [math.nan] * len(self.moved.time_s)
        return _coolant(
            self.pair.cooling, self._engine[1], self._mean_m_s, start_c=self.coolant_start_c, **self._steps
        )

    @cached_property
    def _cooled(self) -> list[float]:
        """Heat given to the passing air on each step, the same for every axle."""
        passing: Numbers = air_cooling_w_m2_k(self._mean_m_s, air_density_kg_m3=self._steps["density"])
        return passing.tolist()

    @cached_property
    def _brakes(self) -> dict[int, list[float]]:
        return {}

    def brake_c(self, axle: int) -> list[float]:
        """Brakes of the front (0), rear (1) or towed (2) axle after each step; nan where not known."""
        brakes = self.pair.brakes[axle]
        if brakes is None:
            return [math.nan] * len(self.moved.time_s)
        if axle not in self._brakes:
            self._brakes[axle] = temperatures_along_c(
                brakes,
                self.brake_start_c[axle],
                power_w=self._braking_w(axle).tolist(),
                passing_w_m2_k=self._cooled,
                air_c=self._steps["air"].tolist(),
                time_s=self.moved.time_s,
            )
        return self._brakes[axle]

    def _braking_w(self, axle: int) -> Numbers:
        return self.pair.brake_shares[axle] * self._brake_n * self._mean_m_s

    def _lost_j(self, axle: int) -> float:
        """Heat the brakes of an axle gave to the air over the whole drive."""
        brakes = self.pair.brakes[axle]
        if brakes is None:
            return 0.0
        capacity = brakes.heated_mass_kg * brakes.specific_heat_j_kg_k
        kept_j = capacity * np.diff(self.brake_c(axle), prepend=self.brake_start_c[axle])
        return sum((self._braking_w(axle) * self._steps["dt"] - kept_j).tolist())

    @cached_property
    def stopped_at_m(self) -> float | None:
        """Where the engine could not pull the pair any further."""
        return len(self.moved.time_s) * self.step_m if self.moved.stopped else None

    @cached_property
    def journey(self) -> Journey:
        """All of it."""
        moved, driven = self.moved, len(self.moved.time_s)
        axles = range(len(self.pair.brakes))
        return Journey(
            distance_m=[(i + 1) * self.step_m for i in range(driven)],
            time_s=list(accumulate(moved.time_s)),
            speed_m_s=moved.speed_m_s,
            gear=moved.gear,
            rpm=self._engine[0].tolist(),
            drive_n=moved.drive_n,
            engine_brake_n=moved.engine_brake_n,
            brake_n=moved.brake_n,
            rolling_n=_rolling_n(self.pair, _cosine(self.grade[:driven])).tolist(),
            air_n=moved.air_n,
            full_throttle=moved.full_throttle,
            brake_c=list(zip(*(self.brake_c(axle) for axle in axles), strict=True)),
            brake_lost_j=tuple(self._lost_j(axle) for axle in axles),
            coolant_c=self.coolant_c,
            fuel_m3=self.fuel_m3,
            stopped_at_m=self.stopped_at_m,
        )


@dataclass(slots=True)  # read faster than a NamedTuple
class _Forces:
    gear: int
    drive_n: float
    engine_brake_n: float
    brake_n: float
    limited: bool  # the engine or the tyres could not give what was needed


@dataclass(slots=True)
class _Road:
    """One step of the road as the forces see it."""

    steady_n: float  # grade and tyres
    drag: float  # air resistance over v²
    factor: float
    density_ratio: float  # of the air to that at sea level
    inertia_kg: float
    held: int
    along_m: float  # the step is measured on the map, the wheels run up the slope


def _cosine(grade: list[float]) -> np.ndarray:
    slope = np.array(grade, float)
    return 1.0 / np.sqrt(1.0 + slope * slope)


def _rolling_n(pair: Pair, cosine: np.ndarray) -> np.ndarray:
    return pair.rolling_coefficient * pair.mass_kg * GRAVITY_M_S2 * cosine


def _roads(
    pair: Pair, step_m: float, grade: list[float], *, density_kg_m3: list[float], held: list[int]
) -> Iterator[_Road]:
    """Every step of the road, with all that does not hang on how it is driven."""
    cosine, density = _cosine(grade), np.array(density_kg_m3, float)
    climb_n = pair.mass_kg * GRAVITY_M_S2 * np.array(grade, float) * cosine
    ratios = density / SEA_LEVEL_DENSITY_KG_M3
    return map(
        _Road,
        (climb_n + _rolling_n(pair, cosine)).tolist(),
        (0.5 * density * pair.drag_area_m2).tolist(),
        engine_power_factors(ratios, boosted=pair.train.boosted).tolist(),
        ratios.tolist(),
        repeat(pair.mass_kg * pair.inertia_factor),
        held,
        (step_m / cosine).tolist(),
    )


@dataclass(slots=True)
class _Gearing:
    """What a drive asks of engine and gears at every step, worked out once; lists have one entry a gear."""

    train: Powertrain
    grip_n: float
    pulls: PullTable
    highest: int  # gear
    jumps_m_s: list[float]  # rising, see _jumps_m_s
    fastest_m_s: list[float]  # just below the redline
    past_redline_m_s: list[float]  # from this speed on the engine turns faster than the redline
    past_lowest_pull_m_s: list[float]
    idle_m_s: list[float]
    coupled_m_s: float  # in first gear the converter's pull has fallen to the engine's own


@lru_cache(maxsize=16)
def _gearing(train: Powertrain, grip_n: float, up_to_m_s: float) -> _Gearing:
    gears = range(1, len(train.gear_ratios) + 1)

    def speeds_at(rpm: float) -> list[float]:
        return [speed_at_rpm_m_s(train, gear, rpm) for gear in gears]

    return _Gearing(
        train,
        grip_n,
        pull_table(train, up_to_m_s=up_to_m_s),
        len(gears),
        _jumps_m_s(train),
        [JUST_BELOW * train.redline_rpm / engine_rpm(train, 1.0, gear) for gear in gears],
        speeds_at(just_above(train.redline_rpm)),
        speeds_at(just_above(train.lowest_pull_rpm)),
        speeds_at(train.idle_rpm),
        COUPLING_SHARE * train.launch_rpm / engine_rpm(train, 1.0, 1),
    )


def _jumps_m_s(train: Powertrain) -> list[float]:
    """Road speeds at which the largest pull jumps or bends sharply: coupling and launch in first gear, the
    redline of every gear.
    """
    per_m = [engine_rpm(train, 1.0, gear + 1) for gear in range(len(train.gear_ratios))]
    return sorted(
        [
            0.0,
            COUPLING_SHARE * train.launch_rpm / per_m[0],
            train.launch_rpm / per_m[0],
            *(train.redline_rpm / rpm for rpm in per_m),
        ]
    )


# speed at the end of a step, gear, seconds, mean speed, air resistance, and what is in _Forces but the gear
_Moved = tuple[float, int, float, float, float, float, float, float, bool]


def _motion(pair: Pair, roads: Iterable[_Road], target_m_s: list[float], moved: list[_Moved]) -> bool:
    """Adds to `moved` how the pair goes on along the road, at first from standing; whether it had to stop.

    Nothing that only follows from the motion (heat, fuel) is worked out here.
    """
    up_to_m_s = 1.001 * max(target_m_s, default=0.0)  # never faster but for rounding
    gearing = _gearing(pair.train, pair.grip_n, up_to_m_s)
    fastest, past_redline, highest = gearing.fastest_m_s, gearing.past_redline_m_s, gearing.highest
    speed, gear = moved[-1][:2] if moved else (0.0, 1)
    for road, target in zip(roads, target_m_s, strict=True):
        along_m = road.along_m
        goal = math.sqrt(speed * speed + 2.0 * COMFORTABLE_ACCELERATION_M_S2 * along_m)
        if goal > target:
            goal = target
        held = (
            _held_at_redline(gearing, speed, goal, road=road, along_m=along_m, gear=gear)
            if abs(speed - fastest[gear - 1]) < 1e-9
            else None
        )
        if held:
            end, forces, air_n = speed, held, road.drag * speed * speed
        else:
            end, forces, air_n = _step(gearing, speed, goal, road=road, along_m=along_m, gear=gear)
            if (
                forces.drive_n > 0
                and (forces.limited or abs(goal - speed) > 1e-9)
                and _uneven(gearing, forces, speed=speed, end=end, factor=road.factor)
            ):
                end, forces, air_n = _in_pieces(gearing, speed, goal, road=road, along_m=along_m, gear=gear)
        if end < SLOWEST_M_S and forces.limited:
            return True
        dt_s = 2.0 * along_m / (speed + end)
        mean = along_m / dt_s
        speed, gear = end, forces.gear
        while gear < highest and mean >= past_redline[gear - 1]:  # two gears within one step
            gear += 1
        moved.append(
            (
                speed,
                gear,
                dt_s,
                mean,
                air_n,
                forces.drive_n,
                forces.engine_brake_n,
                forces.brake_n,
                forces.limited,
            )
        )
    return False


def _step(
    gearing: _Gearing, speed: float, goal: float, *, road: _Road, along_m: float, gear: int
) -> tuple[float, _Forces, float]:
    """Speed at the end, forces, and air resistance of one step in which the driver wants to reach a speed.

    Forces are taken at the middle. Where engine or tyres do not reach the goal, the gear is the one that
    pulls at the start, and its pull counts at the middle it leads to, at most at the redline.
    """
    middle, asked_n = 0.5 * (speed + goal), road.inertia_kg * (goal * goal - speed * speed) / (2.0 * along_m)
    air_n = road.drag * middle * middle
    forces = _share_out(gearing, middle, road.steady_n + air_n + asked_n, road=road, gear=gear)
    if not forces.limited:
        return goal, forces, air_n  # what the driver asks is what the pair gets
    needed_n = road.steady_n + road.drag * speed * speed + asked_n
    gear, most_n = _gear_for(
        needed_n, pieces_at(gearing.pulls, speed), speed, factor=road.factor, present_gear=gear
    )
    square = (
        speed * speed
        + 2.0 * along_m * (min(needed_n, most_n, gearing.grip_n) - needed_n + asked_n) / road.inertia_kg
    )
    middle = min(0.5 * (speed + (math.sqrt(square) if square > 0 else 0.0)), gearing.fastest_m_s[gear - 1])
    if min(speed, middle) <= gearing.coupled_m_s and (creep := _creep(gearing, road)):
        if speed <= gearing.coupled_m_s * (1.0 + 1e-9):
            return _creeping(creep, speed, goal, road=road, along_m=along_m)
        middle = gearing.coupled_m_s  # up to there the pull does not fall with speed
    air_n = road.drag * middle * middle
    needed_n = road.steady_n + air_n + asked_n
    most_n = pull_n(gearing.pulls, middle, gear, power_factor=road.factor)
    if most_n <= 0:  # slowed down to where this gear no longer pulls
        gear, most_n = _gear_for(
            needed_n, pieces_at(gearing.pulls, middle), middle, factor=road.factor, present_gear=gear
        )
    given_n = min(needed_n, most_n, gearing.grip_n)
    forces = _Forces(gear, given_n, 0.0, 0.0, given_n < needed_n)
    net_n = forces.drive_n - forces.engine_brake_n - forces.brake_n - road.steady_n - air_n
    square = speed * speed + 2.0 * along_m * net_n / road.inertia_kg
    return math.sqrt(square) if square > 0 else 0.0, forces, air_n


def _creep(gearing: _Gearing, road: _Road) -> tuple[float, float] | None:
    """Where a slipping converter pulls as much as the road asks, and how much its pull falls for each m/s;
    None where it does so nowhere, or the tyres do not hold it.
    """
    coupled = gearing.coupled_m_s
    most_n, least_n = (
        pull_n(gearing.pulls, speed, 1, power_factor=road.factor) for speed in (0.0, coupled * (1.0 + 1e-9))
    )
    spare_n, falls = most_n - road.steady_n, (most_n - least_n) / coupled
    if spare_n <= 0 or least_n >= road.steady_n + road.drag * coupled * coupled:
        return None
    settled = 2.0 * spare_n / (falls + math.sqrt(falls * falls + 4.0 * road.drag * spare_n))
    return (settled, falls) if road.steady_n + road.drag * settled * settled <= gearing.grip_n else None


def _creeping(
    creep: tuple[float, float], speed: float, goal: float, *, road: _Road, along_m: float
) -> tuple[float, _Forces, float]:
    """The step of a pair whose converter slips and settles below coupling: it neither stops nor jumps there,
    however long the step.
    """
    settled, falls = creep
    falls += road.drag * (speed + settled)
    end = min(
        goal,
        float(
            creeping_m_s(
                speed, settled_m_s=settled, along_m=along_m, falls_n_s_m=falls, inertia_kg=road.inertia_kg
            )
        ),
    )
    air_n = road.drag * (0.5 * (speed + end)) ** 2
    gained_n = road.inertia_kg * (end * end - speed * speed) / (2.0 * along_m)
    return end, _Forces(1, road.steady_n + air_n + gained_n, 0.0, 0.0, True), air_n


def _uneven(gearing: _Gearing, forces: _Forces, *, speed: float, end: float, factor: float) -> bool:
    """Whether the pull at the middle does not speak for the whole step: a jump lies in it, or gaining speed
    runs out of pull.
    """
    jumps = gearing.jumps_m_s
    if bisect_left(jumps, min(speed, end)) < bisect_right(jumps, max(speed, end)):
        return True
    return (
        end > 1.02 * speed and pull_n(gearing.pulls, end, forces.gear, power_factor=factor) < forces.drive_n
    )


def _in_pieces(
    gearing: _Gearing, speed: float, goal: float, *, road: _Road, along_m: float, gear: int
) -> tuple[float, _Forces, float]:
    """The same in short pieces, cut where a gear reaches the redline; forces are means over the length, the
    gear the one used longest.
    """
    fastest = gearing.fastest_m_s
    gain = (goal * goal - speed * speed) / along_m
    left_m, mean_air_n = along_m, 0.0
    mean = _Forces(gear, 0.0, 0.0, 0.0, False)
    shares: dict[int, float] = {}  # of the length, in each gear
    while left_m > 1e-6 * along_m:
        part_m = min(along_m / PIECES, left_m)
        square = speed * speed + gain * part_m
        part_goal = math.sqrt(square) if square > 0 else 0.0
        end, forces, air_n = _step(gearing, speed, part_goal, road=road, along_m=part_m, gear=gear)
        top = fastest[forces.gear - 1]
        if forces.drive_n > 0 and end > top:
            if speed < top * (1.0 - 1e-9):  # up to the redline, then see which gear goes on
                part_m *= (top * top - speed * speed) / (end * end - speed * speed)
                end = top
            else:
                end, forces = _at_redline(
                    gearing, forces, speed=speed, end=end, air_n=air_n, road=road, along_m=part_m, top=top
                )
                if end == speed:  # it stays there to the end of the step
                    part_m = left_m
        elif forces.limited and end < speed:  # to where a lower gear takes over: at its redline
            lower = fastest[: forces.gear - 1]
            if end < gearing.coupled_m_s < speed and _creep(gearing, road):  # or the converter slips
                lower = [gearing.coupled_m_s, *lower]
            passed = [low for low in lower if end < low < speed * (1.0 - 1e-9)]
            if passed:
                part_m *= (speed * speed - passed[-1] * passed[-1]) / (speed * speed - end * end)
                end = passed[-1]
        share = part_m / along_m
        shares[forces.gear] = shares.get(forces.gear, 0.0) + share
        mean.drive_n += share * forces.drive_n
        mean.engine_brake_n += share * forces.engine_brake_n
        mean.brake_n += share * forces.brake_n
        mean.limited = mean.limited or forces.limited
        mean_air_n += share * air_n
        speed, gear, left_m = end, forces.gear, left_m - part_m
    mean.gear = max(shares, key=shares.__getitem__)
    return speed, mean, mean_air_n


def _held_at_redline(
    gearing: _Gearing, speed: float, goal: float, *, road: _Road, along_m: float, gear: int
) -> _Forces | None:
    """The step of a pair that would like to go faster and stays at the redline of its gear; None when it does
    not stay there.
    """
    load_n = road.steady_n + road.drag * speed * speed
    most_n = min(gearing.grip_n, pull_n(gearing.pulls, speed, gear, power_factor=road.factor))
    if goal <= speed or not 0 < load_n <= most_n:
        return None
    if gear < gearing.highest and load_n <= min(
        gearing.grip_n, pull_n(gearing.pulls, speed, gear + 1, power_factor=road.factor)
    ):
        return None
    asked_n = load_n + road.inertia_kg * (goal * goal - speed * speed) / (2.0 * along_m)
    return _Forces(gear, load_n, 0.0, 0.0, most_n < asked_n)


def _at_redline(
    gearing: _Gearing,
    forces: _Forces,
    *,
    speed: float,
    end: float,
    air_n: float,
    road: _Road,
    along_m: float,
    top: float,
) -> tuple[float, _Forces]:
    """The driver goes up a gear when that holds the speed, and else lifts rather than pulling past the
    redline.
    """
    higher = forces.gear + 1
    if higher <= gearing.highest:
        most_n = pull_n(gearing.pulls, speed, higher, power_factor=road.factor)
        given_n = min(forces.drive_n, gearing.grip_n, most_n)
        surplus_n = given_n - road.steady_n - air_n
        if surplus_n >= 0:
            return math.sqrt(speed * speed + 2.0 * along_m * surplus_n / road.inertia_kg), _Forces(
                higher, given_n, 0.0, 0.0, True
            )
    less_n = road.inertia_kg * (end * end - top * top) / (2.0 * along_m)
    return (
        (top, replace(forces, drive_n=forces.drive_n - less_n)) if less_n <= forces.drive_n else (end, forces)
    )


def _share_out(gearing: _Gearing, speed: float, needed_n: float, *, road: _Road, gear: int) -> _Forces:
    """Who gives the force needed: the engine pulling, the engine holding back, the brakes."""
    held, factor = road.held, road.factor
    if needed_n > 0:
        if held and pull_n(gearing.pulls, speed, held, power_factor=factor) >= needed_n:
            return _Forces(held, needed_n, 0.0, 0.0, False)
        gear, most_n = _gear_for(
            needed_n, pieces_at(gearing.pulls, speed), speed, factor=factor, present_gear=gear
        )
        if needed_n <= most_n and needed_n <= gearing.grip_n:
            return _Forces(gear, needed_n, 0.0, 0.0, False)
        return _Forces(gear, min(most_n, gearing.grip_n), 0.0, 0.0, True)
    gear = held or gear
    while gear < gearing.highest and speed >= gearing.past_redline_m_s[gear - 1]:
        gear += 1
    if not held:
        while gear < gearing.highest and speed >= gearing.past_lowest_pull_m_s[gear]:
            gear += 1
    while gear > 1 and speed < gearing.idle_m_s[gear - 1]:
        gear -= 1
    holding_n = engine_braking_force_n(gearing.train, speed, gear, density_ratio=road.density_ratio)
    engine_n = holding_n if holding_n < -needed_n else -needed_n
    return _Forces(gear, 0.0, engine_n, -needed_n - engine_n, False)


def _engine(
    pair: Pair, mean: Numbers, gear: Numbers, drive_n: Numbers, engine_brake_n: Numbers
) -> tuple[Numbers, Numbers]:
    """Shaft speed, and the power of the fuel burnt, on every step."""
    ratios: Numbers = np.array(pair.train.gear_ratios)
    train = pair.train._replace(gear_ratios=ratios)  # so that engine_rpm takes many gears
    pulling = drive_n > 0
    least_rpm = np.where(pulling & (gear == 1), train.launch_rpm, train.idle_rpm)
    rpm = np.maximum(engine_rpm(train, mean, gear), least_rpm)
    turning_w: Numbers = (
        motoring_torque_n_m(train.displacement_m3, rpm, density_ratio=0.0) * rpm / RPM_PER_RAD_S
    )
    shaft_w: Numbers = drive_n * mean / train.driveline_efficiency
    efficiency = pair.cooling.indicated_efficiency if pair.cooling else INDICATED_EFFICIENCY
    burnt_w = fuel_power_w(shaft_w, turning_w, indicated_efficiency=efficiency)
    return rpm, np.where(pulling | (engine_brake_n <= 0), burnt_w, 0.0)


def _coolant(
    cooling: CoolingSystem,
    burnt_w: Numbers,
    mean: Numbers,
    *,
    start_c: float,
    dt: Numbers,
    air: Numbers,
    density: Numbers,
) -> list[float]:
    """Coolant after every step: towards its settled temperature, the thermostat keeping it from falling
    further.
    """
    conductance_w_k: Numbers = radiator_conductance_w_k(cooling, mean, air_density_kg_m3=density)
    heat_w = burnt_w * cooling.coolant_heat_share
    settled_c = np.maximum(cooling.thermostat_c, air + heat_w / conductance_w_k)  # steady_coolant_c
    stays = np.exp(-dt * conductance_w_k / cooling.heat_capacity_j_k)
    ends_c, coolant_c = [], start_c
    for settled, share in zip(settled_c.tolist(), stays.tolist(), strict=True):
        coolant_c = settled + (coolant_c - settled) * share
        ends_c.append(coolant_c)
    return ends_c
