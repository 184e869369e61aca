"""One drive along a road, up and down alike: speed, gear, brake and coolant temperature, fuel."""

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterable
from typing import NamedTuple

from towlib.physics.basics.road_load import GRAVITY_M_S2
from towlib.physics.brakes.brake_heat import (
    AxleBrakes,
    air_cooling_w_m2_k,
    conductance_in_air_w_k,
    lumped_temperature_c,
)
from towlib.physics.drive.cooling import (
    INDICATED_EFFICIENCY,
    CoolingSystem,
    fuel_power_w,
    radiator_conductance_w_k,
    steady_coolant_c,
)
from towlib.physics.drive.powertrain import (
    COUPLING_SHARE,
    RPM_PER_RAD_S,
    SEA_LEVEL_DENSITY_KG_M3,
    Powertrain,
    engine_braking_force_n,
    engine_power_factor,
    engine_rpm,
    motoring_torque_n_m,
    wheel_force_n,
)
from towlib.physics.drive.pull_table import (
    PullTable,
    just_above,
    pull_n,
    pull_table,
    pulls_n,
    speed_at_rpm_m_s,
)

COMFORTABLE_ACCELERATION_M_S2 = 1.0
GENTLE_BRAKING_M_S2 = 0.8
SLOWEST_M_S = 1.0  # slower than this on full throttle counts as stopped
RESERVE = 1.1  # a higher gear is taken only with this much pull in hand, so that gears do not hunt
JUST_BELOW = 0.99999  # of the redline
PIECES = 6  # a step in which the pull jumps (launch, a gear's redline) is driven in this many pieces


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
        reachable = math.sqrt(allowed[i + 1] ** 2 + 2.0 * deceleration_m_s2 * step_m)
        if reachable < allowed[i]:
            allowed[i] = reachable
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
        (gear, wheel_force_n(train, speed_m_s, gear, power_factor=power_factor))
        for gear in range(len(train.gear_ratios), 0, -1)
    )
    return _gear_for(needed_n, pulls, present_gear)


def _gear_for(needed_n: float, pulls: Iterable[tuple[int, float]], present_gear: int) -> tuple[int, float]:
    """The gear of climbing_gear, from every gear's pull, the highest gear first; no more are asked than it
    takes.
    """
    best_gear, best_n = 1, -1.0
    for gear, gear_n in pulls:
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
    train, cooling = pair.train, pair.cooling
    gearing, axles = _gearing(pair), _heated_axles(pair)
    inertia_kg, weight_n = pair.mass_kg * pair.inertia_factor, pair.mass_kg * GRAVITY_M_S2
    rows = []
    time_s = fuel_m3 = speed = 0.0
    gear = 1
    temperatures = tuple(c if b else math.nan for b, c in zip(pair.brakes, brake_start_c, strict=True))
    lost_j = [0.0] * len(temperatures)
    coolant = coolant_start_c if cooling else math.nan
    efficiency = cooling.indicated_efficiency if cooling else INDICATED_EFFICIENCY
    stopped_at = None
    for i, slope in enumerate(grade):
        density, air = air_density_kg_m3[i], air_c[i]
        factor = engine_power_factor(density / SEA_LEVEL_DENSITY_KG_M3, boosted=train.boosted)
        cosine = 1.0 / math.sqrt(1.0 + slope * slope)
        along_m = step_m / cosine  # the step is measured on the map, the wheels run up the slope
        roll_n = pair.rolling_coefficient * weight_n * cosine
        drag = 0.5 * density * pair.drag_area_m2
        goal = min(target_m_s[i], math.sqrt(speed * speed + 2.0 * COMFORTABLE_ACCELERATION_M_S2 * along_m))
        road = _Road(weight_n * slope * cosine + roll_n, drag, factor, density, inertia_kg, descent_gear[i])
        end, forces, air_n = _whole_step(gearing, speed, goal, road=road, along_m=along_m, gear=gear)
        if end < SLOWEST_M_S and forces.limited:
            stopped_at = i * step_m
            break
        dt = 2.0 * along_m / (speed + end)
        mean = along_m / dt
        speed, gear = end, forces.gear
        while gear < gearing.highest and mean >= gearing.past_redline_m_s[gear - 1]:
            gear += 1  # two gears within one step
        time_s += dt
        temperatures = _heat_brakes(
            axles, temperatures, lost_j, force_n=forces.brake_n, speed=mean, dt=dt, air_c=air, density=density
        )
        rpm = max(
            engine_rpm(train, mean, gear),
            train.launch_rpm if forces.drive_n > 0 and gear == 1 else train.idle_rpm,
        )
        burnt_w = 0.0
        if forces.drive_n > 0 or forces.engine_brake_n <= 0:
            turning_w = (
                motoring_torque_n_m(train.displacement_m3, rpm, density_ratio=0.0) * rpm / RPM_PER_RAD_S
            )
            shaft_w = forces.drive_n * mean / train.driveline_efficiency
            burnt_w = fuel_power_w(shaft_w, turning_w, indicated_efficiency=efficiency)
        fuel_m3 += burnt_w * dt / pair.fuel_energy_j_m3
        if cooling:
            coolant = _heat_coolant(
                cooling, coolant, burnt_w=burnt_w, speed=mean, dt=dt, air_c=air, density=density
            )
        rows.append(
            (
                (i + 1) * step_m,
                time_s,
                speed,
                gear,
                rpm,
                forces.drive_n,
                forces.engine_brake_n,
                forces.brake_n,
                roll_n,
                air_n,
                forces.limited,
                temperatures,
                coolant,
                fuel_m3,
            )
        )
    columns = [list(column) for column in zip(*rows, strict=True)] or [[] for _ in range(14)]
    return Journey._make([*columns[:12], tuple(lost_j), *columns[12:], stopped_at])


class _Forces(NamedTuple):
    gear: int
    drive_n: float
    engine_brake_n: float
    brake_n: float
    limited: bool  # the engine or the tyres could not give what was needed


class _Road(NamedTuple):
    """One step of the road as the forces see it."""

    steady_n: float  # grade and tyres
    drag: float  # air resistance over v²
    factor: float
    density: float
    inertia_kg: float
    held: int


class _Gearing(NamedTuple):
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


def _gearing(pair: Pair) -> _Gearing:
    train = pair.train
    gears = range(1, len(train.gear_ratios) + 1)

    def speeds_at(rpm: float) -> list[float]:
        return [speed_at_rpm_m_s(train, gear, rpm) for gear in gears]

    return _Gearing(
        train,
        pair.grip_n,
        pull_table(train),
        len(gears),
        _jumps_m_s(train),
        [JUST_BELOW * train.redline_rpm / engine_rpm(train, 1.0, gear) for gear in gears],
        speeds_at(just_above(train.redline_rpm)),
        speeds_at(just_above(train.lowest_pull_rpm)),
        speeds_at(train.idle_rpm),
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


def _whole_step(
    gearing: _Gearing, speed: float, goal: float, *, road: _Road, along_m: float, gear: int
) -> tuple[float, _Forces, float]:
    """Speed at the end, forces, and air resistance of a step of the road: held at the redline, at one go, or
    in pieces where the pull at the middle does not speak for the whole.
    """
    if abs(speed - gearing.fastest_m_s[gear - 1]) < 1e-9:
        held = _held_at_redline(gearing, speed, goal, road=road, along_m=along_m, gear=gear)
        if held:
            return speed, held, road.drag * speed * speed
    end, forces, air_n = _step(gearing, speed, goal, road=road, along_m=along_m, gear=gear)
    if (
        forces.drive_n > 0
        and (forces.limited or abs(goal - speed) > 1e-9)
        and _uneven(gearing, forces, speed=speed, end=end, factor=road.factor)
    ):
        return _in_pieces(gearing, speed, goal, road=road, along_m=along_m, gear=gear)
    return end, forces, air_n


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
    if forces.limited:
        needed_n = road.steady_n + road.drag * speed * speed + asked_n
        gear, most_n = _gear_for(needed_n, pulls_n(gearing.pulls, speed, power_factor=road.factor), gear)
        square = (
            speed * speed
            + 2.0 * along_m * (min(needed_n, most_n, gearing.grip_n) - needed_n + asked_n) / road.inertia_kg
        )
        middle = min(
            0.5 * (speed + (math.sqrt(square) if square > 0 else 0.0)), gearing.fastest_m_s[gear - 1]
        )
        air_n = road.drag * middle * middle
        needed_n = road.steady_n + air_n + asked_n
        most_n = pull_n(gearing.pulls, middle, gear, power_factor=road.factor)
        if most_n <= 0:  # slowed down to where this gear no longer pulls
            gear, most_n = _gear_for(needed_n, pulls_n(gearing.pulls, middle, power_factor=road.factor), gear)
        given_n = min(needed_n, most_n, gearing.grip_n)
        forces = _Forces(gear, given_n, 0.0, 0.0, given_n < needed_n)
    net_n = forces.drive_n - forces.engine_brake_n - forces.brake_n - road.steady_n - air_n
    square = speed * speed + 2.0 * along_m * net_n / road.inertia_kg
    return math.sqrt(square) if square > 0 else 0.0, forces, air_n


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
    pieces, left_m = [], along_m
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
            passed = [low for low in fastest[: forces.gear - 1] if end < low < speed * (1.0 - 1e-9)]
            if passed:
                part_m *= (speed * speed - passed[-1] * passed[-1]) / (speed * speed - end * end)
                end = passed[-1]
        pieces.append((part_m / along_m, forces, air_n))
        speed, gear, left_m = end, forces.gear, left_m - part_m
    drive_n, engine_brake_n, brake_n = (
        sum(share * forces[k] for share, forces, _ in pieces) for k in (1, 2, 3)
    )
    shares = {
        forces.gear: sum(share for share, other, _ in pieces if other.gear == forces.gear)
        for _, forces, _ in pieces
    }
    return (
        speed,
        _Forces(
            max(shares, key=shares.__getitem__),
            drive_n,
            engine_brake_n,
            brake_n,
            any(forces.limited for _, forces, _ in pieces),
        ),
        sum(share * air_n for share, _, air_n in pieces),
    )


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
        (top, forces._replace(drive_n=forces.drive_n - less_n)) if less_n <= forces.drive_n else (end, forces)
    )


def _share_out(gearing: _Gearing, speed: float, needed_n: float, *, road: _Road, gear: int) -> _Forces:
    """Who gives the force needed: the engine pulling, the engine holding back, the brakes."""
    held, factor = road.held, road.factor
    if needed_n > 0:
        if held and pull_n(gearing.pulls, speed, held, power_factor=factor) >= needed_n:
            return _Forces(held, needed_n, 0.0, 0.0, False)
        gear, most_n = _gear_for(needed_n, pulls_n(gearing.pulls, speed, power_factor=factor), gear)
        given_n = min(needed_n, most_n, gearing.grip_n)
        return _Forces(gear, given_n, 0.0, 0.0, given_n < needed_n)
    gear = held or gear
    while gear < gearing.highest and speed >= gearing.past_redline_m_s[gear - 1]:
        gear += 1
    if not held:
        while gear < gearing.highest and speed >= gearing.past_lowest_pull_m_s[gear]:
            gear += 1
    while gear > 1 and speed < gearing.idle_m_s[gear - 1]:
        gear -= 1
    ratio = road.density / SEA_LEVEL_DENSITY_KG_M3
    engine_n = min(-needed_n, engine_braking_force_n(gearing.train, speed, gear, density_ratio=ratio))
    return _Forces(gear, 0.0, engine_n, -needed_n - engine_n, False)


class _HeatedAxle(NamedTuple):
    """The brakes of an axle that are known, and its place among the three."""

    place: int
    brakes: AxleBrakes
    share: float
    heat_capacity_j_k: float


def _heated_axles(pair: Pair) -> list[_HeatedAxle]:
    return [
        _HeatedAxle(place, brakes, share, brakes.heated_mass_kg * brakes.specific_heat_j_kg_k)
        for place, (brakes, share) in enumerate(zip(pair.brakes, pair.brake_shares, strict=True))
        if brakes is not None
    ]


def _heat_brakes(
    axles: list[_HeatedAxle],
    temperatures: tuple[float, ...],
    lost_j: list[float],
    *,
    force_n: float,
    speed: float,
    dt: float,
    air_c: float,
    density: float,
) -> tuple[float, ...]:
    """Each axle's brakes over one step: exact for constant power, cooling taken at the step's own
    temperature.
    """
    new, passing_w_m2_k = list(temperatures), air_cooling_w_m2_k(speed, air_density_kg_m3=density)
    for place, brakes, share, capacity in axles:
        power_w, start_c = share * force_n * speed, temperatures[place]
        end_c = new[place] = lumped_temperature_c(
            start_c,
            power_w=power_w,
            conductance_w_k=conductance_in_air_w_k(brakes, passing_w_m2_k, brake_c=start_c, air_c=air_c),
            heat_capacity_j_k=capacity,
            air_c=air_c,
            time_s=dt,
        )
        lost_j[place] += power_w * dt - capacity * (end_c - start_c)
    return tuple(new)


def _heat_coolant(
    cooling: CoolingSystem,
    coolant_c: float,
    *,
    burnt_w: float,
    speed: float,
    dt: float,
    air_c: float,
    density: float,
) -> float:
    """Coolant over one step: towards its settled temperature, the thermostat keeping it from falling
    further.
    """
    conductance = radiator_conductance_w_k(cooling, speed, air_density_kg_m3=density)
    heat_w = burnt_w * cooling.coolant_heat_share
    settled_c = steady_coolant_c(cooling, heat_w, conductance_w_k=conductance, air_c=air_c)
    return settled_c + (coolant_c - settled_c) * math.exp(-dt * conductance / cooling.heat_capacity_j_k)
