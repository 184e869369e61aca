"""The published downgrade model of heavy trucks, from memory, beside ours: for comparison only, never for a
verdict.
"""

import math


def truck_downgrade_temperature_f(
    weight_lb: float,
    grade: float,
    *,
    speed_mph: float,
    length_mi: float,
    start_f: float = 150.0,
    air_f: float = 90.0,
) -> float:
    """Brake temperature of a five-axle truck at the foot of a downgrade, in the model's own units.

    T = T0 + (T_air - T0 + K2·HP)·(1 - exp(-K1·L/V)), HP = (W·theta - 450 - 17.25·V)·V/375 - 73,
    K1 = 1.23 + 0.0256·V per hour, K2 = 1/(0.100 + 0.00208·V)

    Parameters
    ----------
    weight_lb : float
        Gross weight of the truck, 40,000 to 80,000 lb.
    grade : float
        Fall over run as a positive number; the model takes it for the angle in radians.
    speed_mph : float
        Steady speed, above 0.
    length_mi : float
        Length of the downgrade.
    start_f, air_f : float
        Brakes at the top; air.

    Returns
    -------
    float
        °F.

    Raises
    ------
    ValueError
        When the speed is not above zero.

    Breaks down when
        used for anything but a five-axle truck with drum brakes: its constants must not be scaled to a
        pickup.

    Source
        Grade Severity Rating System, FHWA-RD-81-185 (1982), every constant from memory and none checked: a
        comparison only.

    Examples
    --------
    >>> [
    ...     round(truck_downgrade_temperature_f(70_000, 0.06, speed_mph=mph, length_mi=5))
    ...     for mph in (20, 30, 40)
    ... ]
    [400, 457, 475]
    """
    if speed_mph <= 0:
        raise ValueError("the speed must be above zero")
    power_hp = (weight_lb * grade - 450.0 - 17.25 * speed_mph) * speed_mph / 375.0 - 73.0
    rise_f = air_f - start_f + power_hp / (0.100 + 0.00208 * speed_mph)
    return start_f + rise_f * (1.0 - math.exp(-(1.23 + 0.0256 * speed_mph) * length_mi / speed_mph))
