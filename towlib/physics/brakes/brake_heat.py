"""Brake heat: what a descent or a stop puts into discs and drums, and how they give it away."""

import math
from typing import NamedTuple

from towlib.physics.basics.atmosphere import ZERO_C_IN_K

STEFAN_BOLTZMANN_W_M2_K4 = 5.670374419e-8
STILL_AIR_W_M2_K, EMISSIVITY = 5.0, 0.8  # the first from memory; rusty iron
BLOWN_W_M2_K = (
    0.037 * (0.3 / 1.85e-5) ** 0.8 * 0.71 ** (1 / 3) * 0.026 / 0.3
)  # over (rho·v)^0.8, for a plate 0.3 m long
IRON_SPECIFIC_HEAT_J_KG_K = 452.0  # iron or steel, OpenStax College Physics, module m42224


class AxleBrakes(NamedTuple):
    """The brakes of one axle, both wheels together."""

    heated_mass_kg: float  # discs or drums
    cooled_area_m2: float  # all faces the air reaches, vanes included
    exposure: float = 0.6  # share of a free plate's cooling that is left inside a wheel
    specific_heat_j_kg_k: float = IRON_SPECIFIC_HEAT_J_KG_K


def air_cooling_w_m2_k(speed_m_s: float, *, air_density_kg_m3: float = 1.2) -> float:
    """Heat given by a square metre of brake to the passing air, per kelvin.

    h = 5 + Nu · k / L with Nu = 0.037 · Re^0.8 · Pr^(1/3) over a plate L = 0.3 m long

    Parameters
    ----------
    speed_m_s : float
        Road speed, 0 to 40 m/s.
    air_density_kg_m3 : float
        Thinner air cools less.

    Returns
    -------
    float
        W/(m²·K), about 5 standing and 80 at 20 m/s before the wheel's shielding.

    Breaks down when
        the wheel is covered or wet; below about 5 m/s the flow is not turbulent and this reads high by some
        tens of per cent.

    Source
        Turbulent flat-plate mean Nusselt number, any heat-transfer textbook; air viscosity 1.85e-5 Pa·s and
        conductivity 0.026 W/(m·K) at 25 °C. The 5 W/(m²·K) of still air is from memory.

    Examples
    --------
    >>> round(air_cooling_w_m2_k(20.0))
    90
    """
    moving_m_s = speed_m_s * (speed_m_s > 0)  # standing, and backwards, in still air
    return STILL_AIR_W_M2_K + BLOWN_W_M2_K * (air_density_kg_m3 * moving_m_s) ** 0.8


def radiation_w_m2_k(surface_c: float, air_c: float, *, emissivity: float = EMISSIVITY) -> float:
    """Heat radiated by a square metre of brake, per kelvin above the surroundings.

    h = e · sigma · (T1⁴ - T2⁴) / (T1 - T2) = e · sigma · (T1² + T2²)(T1 + T2)

    Parameters
    ----------
    surface_c : float
        Brake temperature, -40 to 900 °C.
    air_c : float
        Surroundings, °C.
    emissivity : float
        0.8 for rusty iron; polished faces are lower.

    Returns
    -------
    float
        W/(m²·K).

    Breaks down when
        the disc looks at another hot disc or a shield, not at cool surroundings.

    Source
        Stefan–Boltzmann law.

    Examples
    --------
    >>> round(radiation_w_m2_k(300.0, 20.0) * 280)
    4560
    """
    hot_k, cool_k = surface_c + ZERO_C_IN_K, air_c + ZERO_C_IN_K
    return emissivity * STEFAN_BOLTZMANN_W_M2_K4 * (hot_k * hot_k + cool_k * cool_k) * (hot_k + cool_k)


def cooling_conductance_w_k(
    brakes: AxleBrakes, speed_m_s: float, *, brake_c: float, air_c: float, air_density_kg_m3: float = 1.2
) -> float:
    """Heat an axle's brakes give away, per kelvin above the air.

    hA = A · (exposure · h_air(v) + h_radiation(T))

    Parameters
    ----------
    brakes : AxleBrakes
        Mass, area and exposure.
    speed_m_s : float
        Road speed.
    brake_c : float
        Present brake temperature.
    air_c : float
        Air temperature.
    air_density_kg_m3 : float
        Air density.

    Returns
    -------
    float
        W/K for the axle.

    Breaks down when
        most heat leaves through the hub or the wheel; it then reads low, which is the cautious side.

    Source
        The two functions above; the exposure share is from memory and shown as assumed.

    Examples
    --------
    >>> axle = AxleBrakes(heated_mass_kg=18, cooled_area_m2=0.45)
    >>> round(cooling_conductance_w_k(axle, 20.0, brake_c=250.0, air_c=30.0))
    30
    """
    passing = air_cooling_w_m2_k(speed_m_s, air_density_kg_m3=air_density_kg_m3)
    return brakes.cooled_area_m2 * (brakes.exposure * passing + radiation_w_m2_k(brake_c, air_c))


def lumped_temperature_c(
    start_c: float,
    *,
    power_w: float,
    conductance_w_k: float,
    heat_capacity_j_k: float,
    air_c: float,
    time_s: float,
) -> float:
    """Brake temperature after a time at constant power and cooling.

    T = T_inf + (T0 - T_inf)·exp(-t/tau), T_inf = T_air + P/(hA), tau = m·c/(hA)

    Parameters
    ----------
    start_c : float
        Temperature at the start, °C.
    power_w : float
        Heat going in, 0 or more.
    conductance_w_k : float
        hA, 0 or more; at 0 nothing is given away.
    heat_capacity_j_k : float
        m·c, above 0.
    air_c : float
        Air temperature, °C.
    time_s : float
        Time, 0 or more.

    Returns
    -------
    float
        Temperature in °C.

    Raises
    ------
    ValueError
        When the heat capacity is not above zero.

    Breaks down when
        a short hard stop heats the face faster than the heat spreads into the disc: the face is then hotter
        than this mean.

    Source
        First-order lumped body, any heat-transfer textbook; checked against SciPy's solve_ivp.

    Examples
    --------
    >>> round(
    ...     lumped_temperature_c(
    ...         60, power_w=25e3, conductance_w_k=60, heat_capacity_j_k=40 * 460, air_c=20, time_s=60
    ...     ),
    ...     3,
    ... )
    126.934
    """
    if heat_capacity_j_k <= 0:
        raise ValueError("the heated mass and its specific heat must be above zero")
    if conductance_w_k <= 0:
        return start_c + power_w * time_s / heat_capacity_j_k
    settled_c = air_c + power_w / conductance_w_k
    return settled_c + (start_c - settled_c) * math.exp(-time_s * conductance_w_k / heat_capacity_j_k)


def temperatures_along_c(
    brakes: AxleBrakes,
    start_c: float,
    *,
    power_w: list[float],
    passing_w_m2_k: list[float],
    air_c: list[float],
    time_s: list[float],
) -> list[float]:
    """Brake temperature at the end of each of many steps, one after the other.

    T_{i+1} = lumped_temperature_c(T_i) at constant power, its hA = A · (exposure · h_air + h_radiation(T_i))

    Parameters
    ----------
    brakes : AxleBrakes
        Mass, area and exposure.
    start_c : float
        Temperature at the start, °C.
    power_w : list of float
        Heat going in on each step.
    passing_w_m2_k : list of float
        Heat given to the passing air on each step, from air_cooling_w_m2_k; the same for every axle.
    air_c : list of float
        Air temperature on each step, °C.
    time_s : list of float
        Time each step takes.

    Returns
    -------
    list of float
        Temperatures in °C, one a step.

    Raises
    ------
    ValueError
        When the heat capacity is not above zero.

    Breaks down when
        a step lasts so long that the radiation changes much within it.

    Source
        lumped_temperature_c and cooling_conductance_w_k.

    Examples
    --------
    >>> axle = AxleBrakes(heated_mass_kg=18, cooled_area_m2=0.45)
    >>> flow = [air_cooling_w_m2_k(20.0)] * 3
    >>> warm = temperatures_along_c(
    ...     axle, 30.0, power_w=[9e3] * 3, passing_w_m2_k=flow, air_c=[30.0] * 3, time_s=[10.0] * 3
    ... )
    >>> [round(c) for c in warm]
    [41, 51, 62]
    """
    capacity = brakes.heated_mass_kg * brakes.specific_heat_j_kg_k
    if capacity <= 0:
        raise ValueError("the heated mass and its specific heat must be above zero")
    # both formulas written out, so that a long road takes no call a step; to the last digit the same
    area_m2, exposure, radiating = (
        brakes.cooled_area_m2,
        brakes.exposure,
        EMISSIVITY * STEFAN_BOLTZMANN_W_M2_K4,
    )
    ends_c = []
    for power, passing, air, seconds in zip(power_w, passing_w_m2_k, air_c, time_s, strict=True):
        hot_k, cool_k = start_c + ZERO_C_IN_K, air + ZERO_C_IN_K
        radiated = radiating * (hot_k * hot_k + cool_k * cool_k) * (hot_k + cool_k)
        conductance_w_k = area_m2 * (exposure * passing + radiated)
        if conductance_w_k > 0:
            settled_c = air + power / conductance_w_k
            start_c = settled_c + (start_c - settled_c) * math.exp(-seconds * conductance_w_k / capacity)
        else:
            start_c += power * seconds / capacity
        ends_c.append(start_c)
    return ends_c


def height_temperature_rise_k(
    mass_kg: float,
    height_m: float,
    *,
    brake_mass_kg: float,
    specific_heat_j_kg_k: float,
    retained_share: float = 1.0,
    gravity_m_s2: float = 9.80665,
) -> float:
    """Temperature rise when a share of the height lost stays in the brakes.

    dT = share · M · g · h / (m · c)

    Parameters
    ----------
    mass_kg : float
        Mass of the vehicle or pair.
    height_m : float
        Height lost.
    brake_mass_kg : float
        Mass of the brakes that is heated, above 0.
    specific_heat_j_kg_k : float
        Of the brake material, above 0.
    retained_share : float
        Share of the energy that stays in the brakes, 0 to 1.
    gravity_m_s2 : float
        9.80665; a textbook may use 9.80.

    Returns
    -------
    float
        Kelvin.

    Raises
    ------
    ValueError
        When the brake mass or specific heat is not above zero.

    Breaks down when
        the descent lasts minutes: cooling then counts, see lumped_temperature_c.

    Source
        OpenStax College Physics m42224 and University Physics m58387.

    Examples
    --------
    >>> round(
    ...     height_temperature_rise_k(
    ...         10_000, 75, brake_mass_kg=100, specific_heat_j_kg_k=800, retained_share=0.1, gravity_m_s2=9.8
    ...     ),
    ...     4,
    ... )
    9.1875
    """
    if brake_mass_kg <= 0 or specific_heat_j_kg_k <= 0:
        raise ValueError("the heated mass and its specific heat must be above zero")
    return retained_share * mass_kg * gravity_m_s2 * height_m / (brake_mass_kg * specific_heat_j_kg_k)


def stop_temperature_rise_k(
    mass_kg: float,
    speed_m_s: float,
    *,
    brake_mass_kg: float,
    specific_heat_j_kg_k: float = IRON_SPECIFIC_HEAT_J_KG_K,
) -> float:
    """Temperature rise of the brakes in one stop, nothing given away meanwhile.

    dT = ½ · M · v² / (m · c)

    Parameters
    ----------
    mass_kg : float
        Everything that is stopped by these brakes: a towed vehicle without brakes counts too.
    speed_m_s : float
        Speed at the start of the stop.
    brake_mass_kg : float
        Mass of the brakes that is heated, above 0.
    specific_heat_j_kg_k : float
        Of the brake material, above 0.

    Returns
    -------
    float
        Kelvin.

    Raises
    ------
    ValueError
        When the brake mass or specific heat is not above zero.

    Breaks down when
        the stop is on a grade (add m·g·height) or tyres and air take a fair share.

    Source
        Energy conservation.

    Examples
    --------
    >>> round(stop_temperature_rise_k(3900, 26.8224, brake_mass_kg=40, specific_heat_j_kg_k=460), 3)
    76.245
    """
    if brake_mass_kg <= 0 or specific_heat_j_kg_k <= 0:
        raise ValueError("the heated mass and its specific heat must be above zero")
    return 0.5 * mass_kg * speed_m_s * speed_m_s / (brake_mass_kg * specific_heat_j_kg_k)
