"""Brakes that no longer hold: the speed a pair runs up to on a downgrade, and how soon."""

import math
from typing import NamedTuple

from towlib.physics.basics.road_load import grade_force_n, rolling_force_n
from towlib.physics.drive.descent import holding_force_n
from towlib.physics.drive.journey import Pair
from towlib.physics.drive.powertrain import SEA_LEVEL_DENSITY_KG_M3, engine_braking_force_n, engine_rpm


class Runaway(NamedTuple):
    """Where the speed settles without brakes."""

    speed_m_s: float  # 0 where the pair does not roll
    rpm: float  # of the engine in that gear; 0 in neutral


def runaway_speed(pair: Pair, grade: float, *, gear: int, air_density_kg_m3: float) -> Runaway:
    """Speed at which air, tyres and engine alone meet the downgrade, brakes gone.

    m·g·sin = c·m·g·cos + ½·rho·CdA·v² + F_engine(v), solved by halving: the right side only grows with v

    Parameters
    ----------
    pair : Pair
        Both vehicles.
    grade : float
        Rise over run, negative downhill.
    gear : int
        1 for first; 0 for neutral.
    air_density_kg_m3 : float
        Air density.

    Returns
    -------
    Runaway
        Speed, and the engine speed it means: above the redline the engine breaks before that speed is
        reached.

    Raises
    ------
    ValueError
        When there is no air resistance to settle against.

    Breaks down when
        an automatic shifts up by itself, or the road ends first: see rolling_speed_m_s.

    Source
        Balance of forces.

    Examples
    --------
    >>> from towlib.physics.drive.powertrain import EXAMPLE
    >>> pair = Pair(3900, 0.012, 1.9, EXAMPLE, 9e3, (None, None, None), (0.7, 0.3, 0.0), None)
    >>> [
    ...     round(3.6 * runaway_speed(pair, -0.06, gear=gear, air_density_kg_m3=1.0).speed_m_s)
    ...     for gear in (0, 6, 3)
    ... ]
    [158, 134, 83]
    """
    if pair.drag_area_m2 <= 0 or air_density_kg_m3 <= 0:
        raise ValueError("without air resistance nothing limits the speed")
    push_n = -grade_force_n(pair.mass_kg, grade) - rolling_force_n(
        pair.mass_kg, grade, rolling_coefficient=pair.rolling_coefficient
    )
    if push_n <= 0:
        return Runaway(0.0, 0.0)
    low, high = 0.0, math.sqrt(2.0 * push_n / (air_density_kg_m3 * pair.drag_area_m2))
    if gear == 0:
        return Runaway(high, 0.0)
    for _ in range(60):
        middle = 0.5 * (low + high)
        holds = engine_braking_force_n(
            pair.train, middle, gear, density_ratio=air_density_kg_m3 / SEA_LEVEL_DENSITY_KG_M3
        )
        runs_up = holding_force_n(pair, grade, speed_m_s=middle, air_density_kg_m3=air_density_kg_m3) > holds
        low, high = (middle, high) if runs_up else (low, middle)
    return Runaway(high, engine_rpm(pair.train, high, gear))


def rolling_speed_m_s(
    pair: Pair, grade: float, *, start_m_s: float, distance_m: float, air_density_kg_m3: float
) -> float:
    """Speed after rolling a distance down without engine and brakes.

    v² = v_inf² + (v0² - v_inf²)·exp(-rho·CdA·s/(m·k)), v_inf² = 2·(m·g·sin - c·m·g·cos)/(rho·CdA)

    Parameters
    ----------
    pair : Pair
        Both vehicles.
    grade : float
        Rise over run, negative downhill.
    start_m_s : float
        Speed where the brakes stop holding, 0 or more.
    distance_m : float
        Distance along the road, 0 or more.
    air_density_kg_m3 : float
        Air density.

    Returns
    -------
    float
        m/s; 0 when the pair has come to rest before.

    Raises
    ------
    ValueError
        When there is no air resistance to settle against.

    Breaks down when
        the engine is still in gear: it is then slower, see runaway_speed.

    Source
        d(v²)/ds is linear in v², so the solution is an exponential; checked against SciPy's solve_ivp.

    Examples
    --------
    >>> from towlib.physics.drive.powertrain import EXAMPLE
    >>> pair = Pair(3900, 0.012, 1.9, EXAMPLE, 9e3, (None, None, None), (0.7, 0.3, 0.0), None)
    >>> round(3.6 * rolling_speed_m_s(pair, -0.06, start_m_s=15.0, distance_m=500.0, air_density_kg_m3=1.0))
    87
    """
    if pair.drag_area_m2 <= 0 or air_density_kg_m3 <= 0:
        raise ValueError("without air resistance nothing limits the speed")
    push_n = -grade_force_n(pair.mass_kg, grade) - rolling_force_n(
        pair.mass_kg, grade, rolling_coefficient=pair.rolling_coefficient
    )
    drag = air_density_kg_m3 * pair.drag_area_m2
    settled = 2.0 * push_n / drag
    square = settled + (start_m_s * start_m_s - settled) * math.exp(
        -drag * distance_m / (pair.mass_kg * pair.inertia_factor)
    )
    return math.sqrt(max(0.0, square))


def rolling_distance_m(
    pair: Pair, grade: float, *, start_m_s: float, end_m_s: float, air_density_kg_m3: float
) -> float:
    """Distance in which a pair rolling without engine and brakes reaches a speed.

    s = m·k/(rho·CdA) · ln((v_inf² - v0²)/(v_inf² - v1²))

    Parameters
    ----------
    pair : Pair
        Both vehicles.
    grade : float
        Rise over run, negative downhill.
    start_m_s, end_m_s : float
        Speeds between which it speeds up.
    air_density_kg_m3 : float
        Air density.

    Returns
    -------
    float
        Metres along the road; inf when that speed is never reached on this grade.

    Raises
    ------
    ValueError
        When the end speed lies below the start, or there is no air resistance.

    Breaks down when
        the grade changes within the distance.

    Source
        rolling_speed_m_s solved for the distance.

    Examples
    --------
    >>> from towlib.physics.drive.powertrain import EXAMPLE
    >>> pair = Pair(3900, 0.012, 1.9, EXAMPLE, 9e3, (None, None, None), (0.7, 0.3, 0.0), None)
    >>> round(rolling_distance_m(pair, -0.06, start_m_s=15.0, end_m_s=25.0, air_density_kg_m3=1.0))
    577
    """
    if pair.drag_area_m2 <= 0 or air_density_kg_m3 <= 0:
        raise ValueError("without air resistance nothing limits the speed")
    if end_m_s < start_m_s:
        raise ValueError("the speed at the end must not lie below that at the start")
    push_n = -grade_force_n(pair.mass_kg, grade) - rolling_force_n(
        pair.mass_kg, grade, rolling_coefficient=pair.rolling_coefficient
    )
    drag = air_density_kg_m3 * pair.drag_area_m2
    settled = 2.0 * push_n / drag
    if end_m_s * end_m_s >= settled:
        return 0.0 if end_m_s == start_m_s else math.inf
    return (
        pair.mass_kg
        * pair.inertia_factor
        / drag
        * math.log((settled - start_m_s * start_m_s) / (settled - end_m_s * end_m_s))
    )
