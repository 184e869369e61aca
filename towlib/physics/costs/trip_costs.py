"""What one trip uses up behind the tow vehicle: work at the wheels, fuel for it, and wear of what rolls."""

from towlib.physics.basics.road_load import GRAVITY_M_S2


def towing_energy_j(
    towed_kg: float,
    *,
    distance_m: float,
    climbed_m: float,
    rolling_coefficient: float,
    drag_area_m2: float,
    speed_m_s: float,
    air_density_kg_m3: float,
) -> float:
    """Work at the wheels that something behind asks for over a trip.

    E = m·g·(c·s + H) + ½·rho·A·v²·s, all of the climbing braked away on the way down

    Parameters
    ----------
    towed_kg : float
        What hangs behind.
    distance_m : float
        Whole trip, out and back.
    climbed_m : float
        All the climbs of the trip added up.
    rolling_coefficient : float
        0.010 to 0.020.
    drag_area_m2 : float
        What it adds to the drag area, in the wake.
    speed_m_s : float
        Usual speed.
    air_density_kg_m3 : float
        Density of the air.

    Returns
    -------
    float
        Joules.

    Raises
    ------
    ValueError
        When one of them is negative.

    Breaks down when
        gentle downgrades give the climb back: then it is less. Speed changes in town add to it.

    Source
        Road load equation, any vehicle dynamics textbook.

    Examples
    --------
    >>> round(
    ...     towing_energy_j(
    ...         1500,
    ...         distance_m=100e3,
    ...         climbed_m=1000,
    ...         rolling_coefficient=0.015,
    ...         drag_area_m2=0.6,
    ...         speed_m_s=25,
    ...         air_density_kg_m3=1.1,
    ...     )
    ...     / 1e6,
    ...     1,
    ... )
    57.4
    """
    if (
        min(towed_kg, distance_m, climbed_m, rolling_coefficient, drag_area_m2, speed_m_s, air_density_kg_m3)
        < 0
    ):
        raise ValueError("masses, distances and coefficients cannot be negative")
    return (
        towed_kg * GRAVITY_M_S2 * (rolling_coefficient * distance_m + climbed_m)
        + 0.5 * air_density_kg_m3 * drag_area_m2 * speed_m_s**2 * distance_m
    )


def fuel_m3(energy_j: float, *, efficiency: float, fuel_energy_j_m3: float) -> float:
    """Fuel that some more work at the wheels burns.

    B = E / (eta·q), eta from fuel to wheels for work on top of what the engine does anyway

    Parameters
    ----------
    energy_j : float
        Work at the wheels, 0 or more.
    efficiency : float
        0.25 to 0.38, above 0 and not above 1.
    fuel_energy_j_m3 : float
        About 32e9 J/m³ for petrol, above 0.

    Returns
    -------
    float
        Cubic metres.

    Raises
    ------
    ValueError
        When the work is negative, the efficiency not a share or the fuel holds no energy.

    Breaks down when
        the gearbox holds a lower gear for the load: friction then rises and the fuel with it.

    Source
        Conservation of energy with a Willans line; efficiency and fuel energy are from memory.

    Examples
    --------
    >>> round(fuel_m3(58e6, efficiency=0.34, fuel_energy_j_m3=32e9) * 1000, 1)
    5.3
    """
    if energy_j < 0 or not 0 < efficiency <= 1 or fuel_energy_j_m3 <= 0:
        raise ValueError(
            "the work cannot be negative, and the efficiency must lie between 0 and 100 per cent"
        )
    return energy_j / (efficiency * fuel_energy_j_m3)


def wear_cost(replacement_price: float, life_m: float, *, distance_m: float) -> float:
    """Share of a set of parts (tyres, joints) that a trip uses up.

    k = P·s / life

    Parameters
    ----------
    replacement_price : float
        Price of the set.
    life_m : float
        Distance it lasts, above 0.
    distance_m : float
        Distance of the trip on which it wears.

    Returns
    -------
    float
        Money.

    Raises
    ------
    ValueError
        When the life is not above zero or something is negative.

    Breaks down when
        tyres age out before they wear out: then distance costs nothing and years cost all.

    Source
        Proportion.

    Examples
    --------
    >>> wear_cost(800, 50e6, distance_m=500e3)
    8.0
    """
    if life_m <= 0 or min(replacement_price, distance_m) < 0:
        raise ValueError("the parts must last some distance, and neither price nor distance can be negative")
    return replacement_price * distance_m / life_m
