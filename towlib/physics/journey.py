"""One drive along a road, up and down alike: speed, gear, brake and coolant temperature, fuel."""

import math
from typing import NamedTuple

from towlib.physics.brakes import AxleBrakes, cooling_conductance_w_k, lumped_temperature_c
from towlib.physics.cooling import CoolingSystem, fuel_power_w, radiator_conductance_w_k, steady_coolant_c
from towlib.physics.powertrain import (
    RPM_PER_RAD_S, SEA_LEVEL_DENSITY_KG_M3, Powertrain, engine_braking_force_n, engine_power_factor, engine_rpm,
    motoring_torque_n_m, wheel_force_n)
from towlib.physics.road_load import GRAVITY_M_S2

COMFORTABLE_ACCELERATION_M_S2 = 1.0
SLOWEST_M_S = 1.0  # slower than this on full throttle counts as stopped
RESERVE = 1.1  # a higher gear is taken only with this much pull in hand, so that gears do not hunt


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


def allowed_speeds_m_s(wanted_m_s: list[float], *, step_m: float, deceleration_m_s2: float = 0.8) -> list[float]:
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
        reachable = math.sqrt(allowed[i + 1] ** 2 + 2.0 * deceleration_m_s2 * step_m)
        if reachable < allowed[i]:
            allowed[i] = reachable
    return allowed


def climbing_gear(train: Powertrain, speed_m_s: float, needed_n: float, *, power_factor: float,
                  present_gear: int) -> tuple[int, float]:
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
    >>> from towlib.physics.powertrain import EXAMPLE
    >>> climbing_gear(EXAMPLE, 25.0, 3500.0, power_factor=1.0, present_gear=6)[0]
    4
    """
    best_gear, best_n = 1, -1.0
    for gear in range(len(train.gear_ratios), 0, -1):
        pull_n = wheel_force_n(train, speed_m_s, gear, power_factor=power_factor)
        if pull_n >= needed_n * (RESERVE if gear > present_gear else 1.0) and pull_n > 0:
            return gear, pull_n
        if pull_n > best_n:
            best_gear, best_n = gear, pull_n
    return best_gear, max(0.0, best_n)


def drive(pair: Pair, *, step_m: float, grade: list[float], target_m_s: list[float], descent_gear: list[int],
          air_c: list[float], air_density_kg_m3: list[float], brake_start_c: tuple[float, ...],
          coolant_start_c: float) -> Journey:
    """Drive the pair along an even grid of road steps, from standing.

    d(v²)/ds = 2·(F_drive - F_engine - F_brakes - F_grade - F_roll - F_air)/(m·k); each temperature exactly over a step

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
    >>> from towlib.physics.powertrain import EXAMPLE
    >>> pair = Pair(3900, 0.013, 1.9, EXAMPLE, 9e3, (None, None, None), (0.7, 0.3, 0.0), None)
    >>> road = dict(step_m=25.0, grade=[0.06] * 200, target_m_s=[22.0] * 200, descent_gear=[0] * 200)
    >>> air = dict(air_c=[20.0] * 200, air_density_kg_m3=[1.0] * 200)
    >>> trip = drive(pair, **road, **air, brake_start_c=(20.0, 20.0, 20.0), coolant_start_c=90.0)
    >>> round(trip.speed_m_s[-1], 1), trip.gear[-1]
    (22.0, 3)
    """
    train, cooling = pair.train, pair.cooling
    inertia_kg = pair.mass_kg * pair.inertia_factor
    log = Journey(*([] for _ in range(12)), (), [], [], None)
    time_s = fuel_m3 = speed = 0.0
    gear = 1
    temperatures = tuple(c if b else math.nan for b, c in zip(pair.brakes, brake_start_c, strict=True))
    lost_j = [0.0] * len(temperatures)
    coolant = coolant_start_c if cooling else math.nan
    stopped_at = None
    for i, slope in enumerate(grade):
        density, air = air_density_kg_m3[i], air_c[i]
        factor = engine_power_factor(density / SEA_LEVEL_DENSITY_KG_M3, boosted=train.boosted)
        cosine = 1.0 / math.sqrt(1.0 + slope * slope)
        along_m = step_m / cosine  # the step is measured on the map, the wheels run up the slope
        climb_n = pair.mass_kg * GRAVITY_M_S2 * slope * cosine
        roll_n = pair.rolling_coefficient * pair.mass_kg * GRAVITY_M_S2 * cosine
        drag = 0.5 * density * pair.drag_area_m2
        goal = min(target_m_s[i], math.sqrt(speed * speed + 2.0 * COMFORTABLE_ACCELERATION_M_S2 * along_m))
        middle = 0.5 * (speed + goal)  # first guess; mended once below when the engine cannot reach the goal
        for _ in range(2):
            air_n = drag * middle * middle
            needed_n = climb_n + roll_n + air_n + inertia_kg * (goal * goal - speed * speed) / (2.0 * along_m)
            forces = _share_out(pair, middle, needed_n, factor=factor, density=density, gear=gear, held=descent_gear[i])
            net_n = forces.drive_n - forces.engine_brake_n - forces.brake_n - climb_n - roll_n - air_n
            square = speed * speed + 2.0 * along_m * net_n / inertia_kg
            end = math.sqrt(square) if square > 0 else 0.0
            if not forces.limited:
                break
            middle = 0.5 * (speed + end)
        end, forces = _not_past_redline(train, forces, speed=speed, end=end, inertia_kg=inertia_kg, along_m=along_m)
        if end < SLOWEST_M_S and forces.limited:
            stopped_at = i * step_m
            break
        dt = 2.0 * along_m / (speed + end)
        speed, gear = end, forces.gear
        mean = along_m / dt
        time_s += dt
        temperatures = _heat_brakes(pair, temperatures, lost_j, force_n=forces.brake_n, speed=mean, dt=dt, air_c=air, density=density)
        rpm = max(engine_rpm(train, mean, gear), train.launch_rpm if forces.drive_n > 0 and gear == 1 else train.idle_rpm)
        shaft_w = forces.drive_n * mean / train.driveline_efficiency
        burnt_w = 0.0
        if forces.engine_brake_n <= 0:
            turning_w = motoring_torque_n_m(train.displacement_m3, rpm, density_ratio=0.0) * rpm / RPM_PER_RAD_S
            efficiency = cooling.indicated_efficiency if cooling else 0.40
            burnt_w = fuel_power_w(shaft_w, turning_w, indicated_efficiency=efficiency)
        fuel_m3 += burnt_w * dt / pair.fuel_energy_j_m3
        if cooling:
            coolant = _heat_coolant(cooling, coolant, burnt_w=burnt_w, speed=mean, dt=dt, air_c=air, density=density)
        row = ((i + 1) * step_m, time_s, speed, gear, rpm, forces.drive_n, forces.engine_brake_n, forces.brake_n, roll_n, air_n,
               forces.limited, temperatures)
        for column, value in zip(log, row):
            column.append(value)
        log.coolant_c.append(coolant)
        log.fuel_m3.append(fuel_m3)
    return log._replace(brake_lost_j=tuple(lost_j), stopped_at_m=stopped_at)


class _Forces(NamedTuple):
    gear: int
    drive_n: float
    engine_brake_n: float
    brake_n: float
    limited: bool  # the engine or the tyres could not give what was needed


def _share_out(pair: Pair, speed: float, needed_n: float, *, factor: float, density: float, gear: int, held: int) -> _Forces:
    """Who gives the force needed: the engine pulling, the engine holding back, the brakes."""
    train = pair.train
    if needed_n > 0:
        if held and wheel_force_n(train, speed, held, power_factor=factor) >= needed_n:
            return _Forces(held, needed_n, 0.0, 0.0, False)
        gear, pull_n = climbing_gear(train, speed, needed_n, power_factor=factor, present_gear=gear)
        given_n = min(needed_n, pull_n, pair.grip_n)
        return _Forces(gear, given_n, 0.0, 0.0, given_n < needed_n)
    gear = held or gear
    while gear < len(train.gear_ratios) and engine_rpm(train, speed, gear) > train.redline_rpm:
        gear += 1
    if not held:
        while gear < len(train.gear_ratios) and engine_rpm(train, speed, gear + 1) > train.lowest_pull_rpm:
            gear += 1
    while gear > 1 and engine_rpm(train, speed, gear) < train.idle_rpm:
        gear -= 1
    holding_n = engine_braking_force_n(train, speed, gear, density_ratio=density / SEA_LEVEL_DENSITY_KG_M3)
    engine_n = min(-needed_n, holding_n)
    return _Forces(gear, 0.0, engine_n, -needed_n - engine_n, False)


def _not_past_redline(train: Powertrain, forces: _Forces, *, speed: float, end: float, inertia_kg: float,
                      along_m: float) -> tuple[float, _Forces]:
    """The driver lifts rather than pulling past the redline within a step; the pull is lowered to match."""
    fastest = speed * 0.99999 * train.redline_rpm / rpm if (rpm := engine_rpm(train, speed, forces.gear)) > 0 else math.inf
    mended = max(0.0, 2.0 * fastest - speed)
    if forces.drive_n <= 0 or 0.5 * (speed + end) <= fastest:
        return end, forces
    less_n = inertia_kg * (end * end - mended * mended) / (2.0 * along_m)
    if less_n > forces.drive_n:
        return end, forces
    return mended, forces._replace(drive_n=forces.drive_n - less_n)


def _heat_brakes(pair: Pair, temperatures: tuple[float, ...], lost_j: list[float], *, force_n: float, speed: float, dt: float,
                 air_c: float, density: float) -> tuple[float, ...]:
    """Each axle's brakes over one step: exact for constant power, cooling taken at the step's own temperature."""
    new = []
    for i, (brakes, share, start_c) in enumerate(zip(pair.brakes, pair.brake_shares, temperatures, strict=True)):
        if brakes is None:
            new.append(math.nan)
            continue
        power_w = share * force_n * speed
        capacity = brakes.heated_mass_kg * brakes.specific_heat_j_kg_k
        conductance = cooling_conductance_w_k(brakes, speed, brake_c=start_c, air_c=air_c, air_density_kg_m3=density)
        end_c = lumped_temperature_c(start_c, power_w=power_w, conductance_w_k=conductance, heat_capacity_j_k=capacity,
                                     air_c=air_c, time_s=dt)
        lost_j[i] += power_w * dt - capacity * (end_c - start_c)
        new.append(end_c)
    return tuple(new)


def _heat_coolant(cooling: CoolingSystem, coolant_c: float, *, burnt_w: float, speed: float, dt: float, air_c: float,
                  density: float) -> float:
    """Coolant over one step: towards its settled temperature, the thermostat keeping it from falling further."""
    conductance = radiator_conductance_w_k(cooling, speed, air_density_kg_m3=density)
    heat_w = burnt_w * cooling.coolant_heat_share
    settled_c = steady_coolant_c(cooling, heat_w, conductance_w_k=conductance, air_c=air_c)
    return settled_c + (coolant_c - settled_c) * math.exp(-dt * conductance / cooling.heat_capacity_j_k)
