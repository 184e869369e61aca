"""Climbing: the steepest grade in each gear, pulling away on a ramp."""

from towlib.physics.basics import cases as math
from towlib.physics.basics.road_load import GRAVITY_M_S2, air_force_n, grade_force_n, rolling_force_n
from towlib.physics.drive.journey import Pair
from towlib.physics.drive.powertrain import engine_rpm, wheel_force_n


def steepest_grade(
    pair: Pair, speed_m_s: float, gear: int, *, power_factor: float, air_density_kg_m3: float
) -> float | None:
    """Steepest grade a gear holds at a steady speed.

    (F - F_air)/(m·g) = sin(theta) + c·cos(theta), solved for G = tan(theta)

    Parameters
    ----------
    pair : Pair
        Both vehicles.
    speed_m_s : float
        Steady speed, 0 or more.
    gear : int
        1 for first.
    power_factor : float
        Share of sea-level power left.
    air_density_kg_m3 : float
        Air density.

    Returns
    -------
    float or None
        Rise over run, negative when it cannot even hold the level; None when the gear does not pull at this
        speed or the pull exceeds the weight.

    Breaks down when
        the tyres slip first: the pull is cut to the grip.

    Source
        Statics.

    Examples
    --------
    >>> from towlib.physics.drive.powertrain import EXAMPLE
    >>> pair = Pair(3900, 0.013, 1.9, EXAMPLE, 9e3, (None, None, None), (0.7, 0.3, 0.0), None)
    >>> round(steepest_grade(pair, 20.0, 3, power_factor=1.0, air_density_kg_m3=1.0), 3)
    0.099
    """
    pull_n = min(pair.grip_n, wheel_force_n(pair.train, speed_m_s, gear, power_factor=power_factor))
    if pull_n <= 0:
        return None
    left = pull_n - air_force_n(
        speed_m_s, drag_area_m2=pair.drag_area_m2, air_density_kg_m3=air_density_kg_m3
    )
    left /= pair.mass_kg * GRAVITY_M_S2
    c = pair.rolling_coefficient
    sine = left / math.sqrt(1.0 + c * c)  # sin(theta + phi) with tan(phi) = c
    if abs(sine) >= 1.0:
        return None
    return math.tan(math.asin(sine) - math.atan(c))


def pull_away_force_n(pair: Pair, *, power_factor: float) -> float:
    """Largest pull at standstill in first gear, before the tyres are asked.

    F = T(n_launch) · k · stall ratio · i_1 · i_final · eta / r

    Parameters
    ----------
    pair : Pair
        Both vehicles.
    power_factor : float
        Share of sea-level power left.

    Returns
    -------
    float
        Newtons.

    Breaks down when
        the clutch is hot or the converter's stall speed falls in thin air.

    Source
        Kinematics and the engine curve.

    Examples
    --------
    >>> from towlib.physics.drive.powertrain import EXAMPLE
    >>> pair = Pair(3900, 0.013, 1.9, EXAMPLE, 9e3, (None, None, None), (0.7, 0.3, 0.0), None)
    >>> round(pull_away_force_n(pair, power_factor=1.0))
    22984
    """
    return wheel_force_n(pair.train, 0.0, 1, power_factor=power_factor)


def pull_away_needed_n(
    mass_kg: float,
    grade: float,
    *,
    rolling_coefficient: float,
    acceleration_m_s2: float = 0.3,
    inertia_factor: float = 1.05,
) -> float:
    """Pull needed to get moving on a grade.

    F = m·g·(sin + c·cos) + m·k·a

    Parameters
    ----------
    mass_kg : float
        Mass of the pair.
    grade : float
        Rise over run.
    rolling_coefficient : float
        Dimensionless.
    acceleration_m_s2 : float
        A gentle start.
    inertia_factor : float
        Turning parts.

    Returns
    -------
    float
        Newtons.

    Breaks down when
        a wheel stands against a stone or in a rut.

    Source
        Newton's second law.

    Examples
    --------
    >>> round(pull_away_needed_n(3900, 0.12, rolling_coefficient=0.013))
    6279
    """
    return (
        grade_force_n(mass_kg, grade)
        + rolling_force_n(mass_kg, grade, rolling_coefficient=rolling_coefficient)
        + mass_kg * inertia_factor * acceleration_m_s2
    )


def rpm_in_gears(pair: Pair, speed_m_s: float) -> list[float]:
    """Engine speed in every gear at a road speed, first gear first.

    n = v / r · i_gear · i_final

    Parameters
    ----------
    pair : Pair
        Both vehicles.
    speed_m_s : float
        Road speed.

    Returns
    -------
    list of float
        rpm for each gear.

    Breaks down when
        the converter slips.

    Source
        Kinematics.

    Examples
    --------
    >>> from towlib.physics.drive.powertrain import EXAMPLE
    >>> pair = Pair(3900, 0.013, 1.9, EXAMPLE, 9e3, (None, None, None), (0.7, 0.3, 0.0), None)
    >>> round(rpm_in_gears(pair, 25.0)[4])
    2376
    """
    return [engine_rpm(pair.train, speed_m_s, gear + 1) for gear in range(len(pair.train.gear_ratios))]
