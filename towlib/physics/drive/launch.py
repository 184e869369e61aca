"""Pulling away and gaining speed: the start on a ramp, the heat in a slipping clutch, the seconds to a
speed.
"""

from towlib.physics.drive.climb import pull_away_needed_n
from towlib.physics.drive.journey import Pair, climbing_gear
from towlib.physics.drive.powertrain import RPM_PER_RAD_S, Powertrain
from towlib.physics.drive.traction import road_load


def clutch_closed_m_s(train: Powertrain) -> float:
    """Road speed at which the clutch stops slipping in first gear.

    v = n_launch · r / (i_1 · i_final)

    Parameters
    ----------
    train : Powertrain
        Engine, gears and wheels.

    Returns
    -------
    float
        m/s.

    Breaks down when
        the driver holds another engine speed while the clutch slips.

    Source
        Kinematics.

    Examples
    --------
    >>> from towlib.physics.drive.powertrain import EXAMPLE
    >>> round(clutch_closed_m_s(EXAMPLE), 2)
    4.88
    """
    return (
        train.launch_rpm / RPM_PER_RAD_S * train.rolling_radius_m / (train.gear_ratios[0] * train.final_drive)
    )


def clutch_heat_j(
    pull_n: float, *, closed_m_s: float, acceleration_m_s2: float, driveline_efficiency: float
) -> float:
    """Heat in a friction clutch that slips at a steady engine speed until the pair has caught up.

    Q = (F / eta) · v_closed² / (2·a): the engine turns on at v_closed while the road goes from 0 to v_closed

    Parameters
    ----------
    pull_n : float
        Steady pull at the wheels while it slips, what pull_away_needed_n gives.
    closed_m_s : float
        Road speed at which the slip ends.
    acceleration_m_s2 : float
        Along the road, above 0.
    driveline_efficiency : float
        Between clutch and wheels, above 0 to 1.

    Returns
    -------
    float
        Joules.

    Raises
    ------
    ValueError
        When the pair does not gain speed, or the efficiency is not above zero.

    Breaks down when
        the driver lets the engine sink while the clutch grips (less heat), or holds the pair on the clutch
        (heat without end).

    Source
        Work and energy; on the level without losses it is the well-known half: as much heat as the pair gains
        in motion.

    Examples
    --------
    >>> round(clutch_heat_j(6279.0, closed_m_s=3.66, acceleration_m_s2=0.3, driveline_efficiency=0.88))
    159301
    """
    if acceleration_m_s2 <= 0:
        raise ValueError("without gaining speed the clutch slips for ever and its heat has no end")
    if driveline_efficiency <= 0:
        raise ValueError("the driveline's efficiency must be above zero")
    return pull_n / driveline_efficiency * closed_m_s * closed_m_s / (2.0 * acceleration_m_s2)


def steepest_start(pair: Pair, pull_n: float, *, acceleration_m_s2: float = 0.3) -> float | None:
    """Steepest ramp on which a pull still gets the pair going with some acceleration.

    m·g·(sin + c·cos) + m·k·a = F, solved for the grade by halving

    Parameters
    ----------
    pair : Pair
        Both vehicles.
    pull_n : float
        What engine or tyres give at standstill, newtons.
    acceleration_m_s2 : float
        A gentle start.

    Returns
    -------
    float or None
        Rise over run; None when not even the level is started on, at most 1 (45 degrees).

    Breaks down when
        the tyres' grip itself changes with the grade: then compare at each grade.

    Source
        Newton's second law.

    Examples
    --------
    >>> from towlib.physics.drive.powertrain import EXAMPLE
    >>> pair = Pair(3900, 0.013, 1.9, EXAMPLE, 9e3, (None, None, None), (0.7, 0.3, 0.0), None)
    >>> round(steepest_start(pair, 6279.0), 3)
    0.12
    """

    def short_n(grade: float) -> float:
        return pull_n - pull_away_needed_n(
            pair.mass_kg,
            grade,
            rolling_coefficient=pair.rolling_coefficient,
            acceleration_m_s2=acceleration_m_s2,
            inertia_factor=pair.inertia_factor,
        )

    low, high = 0.0, 1.0
    if short_n(low) < 0:
        return None
    if short_n(high) >= 0:
        return high
    while high - low > 1e-9:
        middle = 0.5 * (low + high)
        low, high = (middle, high) if short_n(middle) >= 0 else (low, middle)
    return low


def seconds_to_speed(
    pair: Pair,
    from_m_s: float,
    to_m_s: float,
    *,
    grade: float = 0.0,
    power_factor: float,
    air_density_kg_m3: float,
    steps: int = 400,
) -> float | None:
    """Time to gain speed at full throttle, in whatever gear pulls hardest.

    t = ∫ m·k dv / (min(F_best(v), grip) - F_road(v)), by the midpoint rule

    Parameters
    ----------
    pair : Pair
        Both vehicles.
    from_m_s, to_m_s : float
        Speeds, the second above the first.
    grade : float
        Rise over run.
    power_factor : float
        Share of sea-level power left.
    air_density_kg_m3 : float
        Air density.
    steps : int
        Pieces of the integral.

    Returns
    -------
    float or None
        Seconds; None when the pair never gets there.

    Raises
    ------
    ValueError
        When the second speed is not above the first.

    Breaks down when
        shifting takes time (not counted: some tenths of a second each) or the engine must first rev up.

    Source
        Newton's second law.

    Examples
    --------
    >>> from towlib.physics.drive.powertrain import EXAMPLE
    >>> pair = Pair(3900, 0.013, 1.9, EXAMPLE, 12e3, (None, None, None), (0.7, 0.3, 0.0), None)
    >>> round(seconds_to_speed(pair, 0.0, 60 * 0.44704, power_factor=1.0, air_density_kg_m3=1.225), 1)
    14.8
    """
    if not 0 <= from_m_s < to_m_s:
        raise ValueError("the speed to reach must be above the speed at the start")
    part = (to_m_s - from_m_s) / steps
    seconds = 0.0
    for i in range(steps):
        speed = from_m_s + (i + 0.5) * part
        _, pull_n = climbing_gear(pair.train, speed, 1e12, power_factor=power_factor, present_gear=1)
        left_n = (
            min(pull_n, pair.grip_n)
            - road_load(pair, grade, speed, air_density_kg_m3=air_density_kg_m3).total_n
        )
        if left_n <= 0:
            return None
        seconds += pair.mass_kg * pair.inertia_factor * part / left_n
    return seconds
