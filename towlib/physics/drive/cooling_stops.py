"""Where to stop for the coolant, and for how long."""

import math
from collections.abc import Sequence
from typing import NamedTuple

from towlib.physics.drive.cooling import (
    CoolingSystem,
    fuel_power_w,
    radiator_conductance_w_k,
    steady_coolant_c,
)
from towlib.physics.drive.journey import Journey, Pair
from towlib.physics.drive.powertrain import RPM_PER_RAD_S, motoring_torque_n_m

SHORTEST_BETWEEN_M = (
    500.0  # stops closer than this are no plan: the climb is then too fast, too hot or too heavy
)


class CoolingStop(NamedTuple):
    """One halt with the engine idling."""

    at_m: float
    from_c: float
    to_c: float
    time_s: float


class CoolantPlan(NamedTuple):
    """The coolant along the road with halts put in."""

    stops: tuple[CoolingStop, ...]
    coolant_c: list[float]  # at the end of each step that could be driven
    gives_up_at_m: float | None  # where halts no longer help; None when the whole road is driven


def idle_coolant_heat_w(displacement_m3: float, idle_rpm: float, *, system: CoolingSystem) -> float:
    """Heat an idling engine puts into its coolant.

    Q = heat share · T_motoring(n) · omega / eta_i, without pumping

    Parameters
    ----------
    displacement_m3 : float
        Swept volume of a four-stroke engine.
    idle_rpm : float
        Shaft speed.
    system : CoolingSystem
        Its heat share and indicated efficiency.

    Returns
    -------
    float
        Watts.

    Breaks down when
        an air conditioner or alternator loads the idling engine: switch the air conditioner off.

    Source
        Willans line and motored friction, from memory as in motoring_torque_n_m.

    Examples
    --------
    >>> round(idle_coolant_heat_w(0.0036, 700, system=CoolingSystem(1500, 90, 60e3)))
    1616
    """
    turning_w = motoring_torque_n_m(displacement_m3, idle_rpm, density_ratio=0.0) * idle_rpm / RPM_PER_RAD_S
    return system.coolant_heat_share * fuel_power_w(
        0.0, turning_w, indicated_efficiency=system.indicated_efficiency
    )


def cooling_stop_s(
    system: CoolingSystem,
    coolant_c: float,
    wanted_c: float,
    *,
    heat_w: float,
    air_c: float,
    air_density_kg_m3: float,
) -> float | None:
    """How long to stand with the engine idling until the coolant is back.

    t = C/UA_0 · ln((T - T_settled)/(T_wanted - T_settled)), T_settled = T_air + Q/UA_0, UA_0 the fan's share
    of the conductance

    Parameters
    ----------
    system : CoolingSystem
        Conductance, fan's share, heat capacity and thermostat.
    coolant_c : float
        At the halt.
    wanted_c : float
        Temperature to go on with, not below the thermostat's.
    heat_w : float
        What the idling engine adds, from idle_coolant_heat_w.
    air_c : float
        Air temperature at the halt.
    air_density_kg_m3 : float
        Air density at the halt.

    Returns
    -------
    float or None
        Seconds, 0 when it is cool enough already; None when standing never gets it there.

    Raises
    ------
    ValueError
        When the temperature wanted lies below the thermostat's.

    Breaks down when
        head and block are hotter than the coolant (after full throttle they are: let it idle longer), or the
        fan does not run.

    Source
        Heat balance of one lump; the fan's share is from memory and shown as assumed. Common practice, no
        source: ten minutes.

    Examples
    --------
    >>> round(
    ...     cooling_stop_s(
    ...         CoolingSystem(1500, 90, 60e3), 118.0, 95.0, heat_w=1600.0, air_c=35.0, air_density_kg_m3=1.0
    ...     )
    ... )
    38
    """
    if wanted_c < system.thermostat_c:
        raise ValueError(
            "the thermostat keeps the coolant from cooling below its own temperature: want at least that"
        )
    if coolant_c <= wanted_c:
        return 0.0
    conductance = radiator_conductance_w_k(system, 0.0, air_density_kg_m3=air_density_kg_m3)
    settled_c = air_c + heat_w / conductance
    if settled_c >= wanted_c:
        return None
    return system.heat_capacity_j_k / conductance * math.log((coolant_c - settled_c) / (wanted_c - settled_c))


def plan_cooling_stops(
    pair: Pair,
    journey: Journey,
    *,
    step_m: float,
    highest_c: float,
    restart_c: float,
    start_c: float,
    air_c: Sequence[float],
    air_density_kg_m3: Sequence[float],
) -> CoolantPlan:
    """Halts that keep the coolant from passing its limit along a road already driven.

    before a step that would end above T_max: halt until T_restart; each step as in the drive, T = T_s + (T_0
    - T_s)·exp(-UA·dt/C)

    Parameters
    ----------
    pair : Pair
        Both vehicles, cooling known.
    journey : Journey
        The drive without halts.
    step_m : float
        Length of its steps on the map.
    highest_c : float
        The maker's limit.
    restart_c : float
        Temperature to go on with, from the thermostat's to below highest_c.
    start_c : float
        Coolant where the road starts.
    air_c, air_density_kg_m3 : sequence of float
        Air on each step.

    Returns
    -------
    CoolantPlan
        The halts, the coolant along the road with them, and where halts less than 500 m apart would be
        needed.

    Raises
    ------
    ValueError
        When the cooling is not known, or the temperature to go on with is not below the limit.

    Breaks down when
        there is no room to stop there: stop earlier. Pulling away again is not counted.

    Source
        Heat balance; common practice, no source: halt off the road, engine idling, bonnet opened only when it
        has cooled.

    Examples
    --------
    >>> from towlib.physics.drive.journey import drive
    >>> from towlib.physics.drive.powertrain import EXAMPLE
    >>> cooling = CoolingSystem(1000, 90, 60e3)
    >>> pair = Pair(3900, 0.013, 1.9, EXAMPLE, 9e3, (None, None, None), (0.7, 0.3, 0.0), cooling)
    >>> air = dict(air_c=[30.0] * 400, air_density_kg_m3=[1.0] * 400)
    >>> trip = drive(
    ...     pair,
    ...     step_m=25.0,
    ...     grade=[0.07] * 400,
    ...     target_m_s=[20.0] * 400,
    ...     descent_gear=[0] * 400,
    ...     **air,
    ...     brake_start_c=(30.0, 30.0, 30.0),
    ...     coolant_start_c=90.0,
    ... )
    >>> plan = plan_cooling_stops(
    ...     pair, trip, step_m=25.0, highest_c=118.0, restart_c=95.0, start_c=90.0, **air
    ... )
    >>> [round(stop.at_m) for stop in plan.stops], round(max(plan.coolant_c))
    ([1375, 2850, 4325, 5800, 7275, 8750], 118)
    """
    system = pair.cooling
    if system is None:
        raise ValueError("the cooling system is not known, so no halts can be planned")
    if not system.thermostat_c <= restart_c < highest_c:
        raise ValueError("the temperature to go on with must lie between the thermostat's and the limit")
    idle_w = idle_coolant_heat_w(pair.train.displacement_m3, pair.train.idle_rpm, system=system)
    coolant = start_c
    along: list[float] = []
    stops: list[CoolingStop] = []
    for i in range(len(journey.time_s)):
        end_c = _coolant_after(
            pair, system, journey, i, coolant_c=coolant, air_c=air_c[i], density=air_density_kg_m3[i]
        )
        if end_c > highest_c and end_c > coolant:
            at_m = i * step_m
            time_s = cooling_stop_s(
                system,
                coolant,
                restart_c,
                heat_w=idle_w,
                air_c=air_c[i],
                air_density_kg_m3=air_density_kg_m3[i],
            )
            if not time_s or (stops and at_m - stops[-1].at_m < SHORTEST_BETWEEN_M):
                return CoolantPlan(tuple(stops), along, at_m)
            stops.append(CoolingStop(at_m, coolant, restart_c, time_s))
            end_c = _coolant_after(
                pair, system, journey, i, coolant_c=restart_c, air_c=air_c[i], density=air_density_kg_m3[i]
            )
        coolant = end_c
        along.append(coolant)
    return CoolantPlan(tuple(stops), along, None)


def _coolant_after(
    pair: Pair,
    system: CoolingSystem,
    journey: Journey,
    i: int,
    *,
    coolant_c: float,
    air_c: float,
    density: float,
) -> float:
    """Coolant at the end of step i of the drive, from what it was at its start."""
    before_s, before_m3 = (journey.time_s[i - 1], journey.fuel_m3[i - 1]) if i else (0.0, 0.0)
    dt = journey.time_s[i] - before_s
    burnt_w = (journey.fuel_m3[i] - before_m3) * pair.fuel_energy_j_m3 / dt
    speed = 0.5 * (journey.speed_m_s[i] + (journey.speed_m_s[i - 1] if i else 0.0))
    conductance = radiator_conductance_w_k(system, speed, air_density_kg_m3=density)
    settled_c = steady_coolant_c(
        system, burnt_w * system.coolant_heat_share, conductance_w_k=conductance, air_c=air_c
    )
    return settled_c + (coolant_c - settled_c) * math.exp(-dt * conductance / system.heat_capacity_j_k)
