"""The standard atmosphere, and the air of a hot day on a mountain road."""

from typing import TypeVar

import numpy

Number = TypeVar("Number", float, numpy.ndarray)
EARTH_RADIUS_M = 6_356_766.0
LAPSE_K_M = 0.0065
SEA_LEVEL_K, SEA_LEVEL_PA = 288.15, 101_325.0
ZERO_C_IN_K = 273.15
GAS_CONSTANT_J_KG_K = 287.05287
PRESSURE_EXPONENT = 9.80665 / (GAS_CONSTANT_J_KG_K * LAPSE_K_M)


def geopotential_m(altitude_m: Number) -> Number:
    """Geopotential height of a geometric altitude.

    H = R · z / (R + z)

    Parameters
    ----------
    altitude_m : float or array
        Geometric altitude, -500 to 11,000 m.

    Returns
    -------
    float or array
        Geopotential height in metres.

    Raises
    ------
    ValueError
        When the altitude is not between -5,000 and 11,019 m.

    Breaks down when
        never in this range.

    Source
        U.S. Standard Atmosphere 1976 (ISO 2533), radius 6,356,766 m.

    Examples
    --------
    >>> round(geopotential_m(3000.0), 2)
    2998.58
    """
    if not numpy.all((numpy.asarray(altitude_m) >= -5000.0) & (numpy.asarray(altitude_m) <= 11_019.0)):
        raise ValueError(
            "the altitude must lie between -5,000 and 11,019 m, where the temperature lapse is constant"
        )
    return EARTH_RADIUS_M * altitude_m / (EARTH_RADIUS_M + altitude_m)


def standard_temperature_k(altitude_m: Number) -> Number:
    """Standard air temperature.

    T = 288.15 - 0.0065 · H

    Parameters
    ----------
    altitude_m : float or array
        Geometric altitude, -500 to 11,000 m.

    Returns
    -------
    float or array
        Kelvin.

    Breaks down when
        the day is not standard: summer air is 10 to 20 K warmer.

    Source
        U.S. Standard Atmosphere 1976 (ISO 2533).

    Examples
    --------
    >>> round(standard_temperature_k(3000.0), 3)
    268.659
    """
    return SEA_LEVEL_K - LAPSE_K_M * geopotential_m(altitude_m)


def standard_pressure_pa(altitude_m: Number) -> Number:
    """Standard air pressure.

    p = 101,325 · (T / 288.15) ** 5.2559

    Parameters
    ----------
    altitude_m : float or array
        Geometric altitude, -500 to 11,000 m.

    Returns
    -------
    float or array
        Pascal.

    Breaks down when
        weather moves the barometer, by up to about 3 %.

    Source
        U.S. Standard Atmosphere 1976 (ISO 2533).

    Examples
    --------
    >>> round(standard_pressure_pa(3000.0), 1)
    70121.1
    """
    return SEA_LEVEL_PA * (standard_temperature_k(altitude_m) / SEA_LEVEL_K) ** PRESSURE_EXPONENT


def standard_density_kg_m3(altitude_m: Number) -> Number:
    """Standard air density.

    rho = p / (R · T)

    Parameters
    ----------
    altitude_m : float or array
        Geometric altitude, -500 to 11,000 m.

    Returns
    -------
    float or array
        kg/m³.

    Breaks down when
        the day is hot: use air_density_kg_m3.

    Source
        U.S. Standard Atmosphere 1976 (ISO 2533). Density falls less than pressure, because high air is cold.

    Examples
    --------
    >>> round(standard_density_kg_m3(3000.0), 5)
    0.90925
    """
    return standard_pressure_pa(altitude_m) / (GAS_CONSTANT_J_KG_K * standard_temperature_k(altitude_m))


def air_density_kg_m3(altitude_m: Number, air_temperature_c: Number | float) -> Number:
    """Air density at standard pressure and the day's own temperature.

    rho = p(z) / (R · T)

    Parameters
    ----------
    altitude_m : float or array
        Geometric altitude, -500 to 11,000 m.
    air_temperature_c : float or array
        Air temperature there.

    Returns
    -------
    float or array
        kg/m³.

    Raises
    ------
    ValueError
        When the temperature is not above absolute zero.

    Breaks down when
        the air is very humid: up to 2 % lighter.

    Source
        Gas law with the pressure of the U.S. Standard Atmosphere 1976.

    Examples
    --------
    >>> round(air_density_kg_m3(2000.0, 30.0), 3)
    0.914
    """
    if not numpy.all(numpy.asarray(air_temperature_c) > -ZERO_C_IN_K):
        raise ValueError("the air temperature must be above -273.15 degrees Celsius")
    return standard_pressure_pa(altitude_m) / (GAS_CONSTANT_J_KG_K * (air_temperature_c + ZERO_C_IN_K))


def air_temperature_along_c(
    start_temperature_c: float, start_altitude_m: float, altitude_m: Number
) -> Number:
    """Air temperature higher or lower on the same road and day.

    T = T_start - 0.0065 · (z - z_start)

    Parameters
    ----------
    start_temperature_c : float
        Where the road starts.
    start_altitude_m : float
        Altitude there.
    altitude_m : float or array
        Altitude asked for.

    Returns
    -------
    float or array
        °C.

    Breaks down when
        cold air lies in the valley (inversion) or the road itself is hot in the sun.

    Source
        Lapse rate of the U.S. Standard Atmosphere 1976.

    Examples
    --------
    >>> air_temperature_along_c(30.0, 1000.0, 2000.0)
    23.5
    """
    return start_temperature_c - LAPSE_K_M * (altitude_m - start_altitude_m)
