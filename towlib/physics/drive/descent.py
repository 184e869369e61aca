"""Coming down: which gear holds the speed, what is left for the brakes, and where the height's energy
goes.
"""

import math
from typing import NamedTuple

from towlib.physics.basics.road_load import GRAVITY_M_S2, air_force_n, grade_force_n, rolling_force_n
from towlib.physics.drive.journey import Pair
from towlib.physics.drive.powertrain import SEA_LEVEL_DENSITY_KG_M3, engine_braking_force_n, engine_rpm


class DescentBudget(NamedTuple):
    """Where the energy of a height goes at a steady speed, in joules."""

    height_j: float
    rolling_j: float
    air_j: float
    engine_j: float
    brakes_j: tuple[float, ...]  # front, rear and towed
    pull_j: float  # what the engine must add where the road is not steep enough for the speed


def holding_force_n(pair: Pair, grade: float, *, speed_m_s: float, air_density_kg_m3: float) -> float:
    """Force that engine and brakes together must give to hold a speed on a downgrade.

    F = m·g·sin - c·m·g·cos - F_air, not below 0

    Parameters
    ----------
    pair : Pair
        Both vehicles.
    grade : float
        Rise over run, negative downhill.
    speed_m_s : float
        Speed held.
    air_density_kg_m3 : float
        Air density.

    Returns
    -------
    float
        Newtons.

    Breaks down when
        there is a tail wind.

    Source
        Balance of forces.

    Examples
    --------
    >>> from towlib.physics.drive.powertrain import EXAMPLE
    >>> pair = Pair(3900, 0.012, 1.9, EXAMPLE, 9e3, (None, None, None), (0.7, 0.3, 0.0), None)
    >>> round(holding_force_n(pair, -0.06, speed_m_s=20.1168, air_density_kg_m3=1.0) * 20.1168 / 1000, 2)
    29.13
    """
    excess = -grade_force_n(pair.mass_kg, grade)
    excess -= rolling_force_n(pair.mass_kg, grade, rolling_coefficient=pair.rolling_coefficient)
    excess -= air_force_n(speed_m_s, drag_area_m2=pair.drag_area_m2, air_density_kg_m3=air_density_kg_m3)
    return max(0.0, excess)


def descent_gear(
    pair: Pair, grade: float, *, speed_m_s: float, air_density_kg_m3: float, highest_rpm: float
) -> tuple[int, float]:
    """The highest gear that holds the speed without brakes, or the lowest one the engine may turn in.

    the first gear from the top with F_engine(v) >= F needed; else the lowest with n <= n_max

    Parameters
    ----------
    pair : Pair
        Both vehicles.
    grade : float
        Rise over run, negative downhill.
    speed_m_s : float
        Speed held.
    air_density_kg_m3 : float
        Air density.
    highest_rpm : float
        Highest engine speed the driver will hold on the way down, not above the redline.

    Returns
    -------
    tuple of int and float
        The gear, and the force in newtons that is left for the brakes.

    Breaks down when
        an automatic will not stay in the gear chosen: watch the rpm.

    Source
        Balance of forces; common practice, no source: come down in the gear that climbs it.

    Examples
    --------
    >>> from towlib.physics.drive.powertrain import EXAMPLE
    >>> pair = Pair(3900, 0.012, 1.9, EXAMPLE, 9e3, (None, None, None), (0.7, 0.3, 0.0), None)
    >>> gear, left_n = descent_gear(pair, -0.06, speed_m_s=15.0, air_density_kg_m3=1.0, highest_rpm=4500)
    >>> gear, left_n
    (2, 0.0)
    """
    needed = holding_force_n(pair, grade, speed_m_s=speed_m_s, air_density_kg_m3=air_density_kg_m3)
    train, ratio = pair.train, air_density_kg_m3 / SEA_LEVEL_DENSITY_KG_M3
    chosen, left = len(train.gear_ratios), needed
    for gear in range(len(train.gear_ratios), 0, -1):
        if engine_rpm(train, speed_m_s, gear) > highest_rpm:
            break
        chosen = gear
        left = max(0.0, needed - engine_braking_force_n(train, speed_m_s, gear, density_ratio=ratio))
        if left == 0.0:
            break
    return chosen, left


def descent_budget(
    pair: Pair, grade: float, *, height_m: float, speed_m_s: float, gear: int, air_density_kg_m3: float
) -> DescentBudget:
    """Where the energy of a height goes on the way down at a steady speed in one gear.

    m·g·h + E_pull = (F_roll + F_air + F_engine + F_brakes)·s, s = h/sin(atan G)

    Parameters
    ----------
    pair : Pair
        Both vehicles.
    grade : float
        Rise over run, below 0.
    height_m : float
        Height lost, above 0.
    speed_m_s : float
        Speed held.
    gear : int
        1 for first, 0 for neutral: nothing from the engine.
    air_density_kg_m3 : float
        Air density.

    Returns
    -------
    DescentBudget
        Joules; height and pull on one side, the rest on the other.

    Raises
    ------
    ValueError
        When the road does not fall.

    Breaks down when
        the speed changes on the way: kinetic energy then comes and goes.

    Source
        Conservation of energy.

    Examples
    --------
    >>> from towlib.physics.drive.powertrain import EXAMPLE
    >>> pair = Pair(3900, 0.012, 1.9, EXAMPLE, 9e3, (None, None, None), (0.7, 0.3, 0.0), None)
    >>> budget = descent_budget(pair, -0.06, height_m=300.0, speed_m_s=15.0, gear=3, air_density_kg_m3=1.0)
    >>> [
    ...     round(e / 1e3)
    ...     for e in (budget.height_j, budget.rolling_j, budget.air_j, budget.engine_j, sum(budget.brakes_j))
    ... ]
    [11474, 2295, 1071, 5256, 2852]
    """
    if grade >= 0:
        raise ValueError("the road must fall: give a grade below zero")
    along_m = height_m * math.sqrt(1.0 + grade * grade) / -grade
    rolling = rolling_force_n(pair.mass_kg, grade, rolling_coefficient=pair.rolling_coefficient)
    air = air_force_n(speed_m_s, drag_area_m2=pair.drag_area_m2, air_density_kg_m3=air_density_kg_m3)
    excess = -grade_force_n(pair.mass_kg, grade) - rolling - air
    holds = (
        engine_braking_force_n(
            pair.train, speed_m_s, gear, density_ratio=air_density_kg_m3 / SEA_LEVEL_DENSITY_KG_M3
        )
        if gear
        else 0.0
    )
    engine = min(holds, max(0.0, excess))
    braked = max(0.0, excess) - engine
    return DescentBudget(
        pair.mass_kg * GRAVITY_M_S2 * height_m,
        rolling * along_m,
        air * along_m,
        engine * along_m,
        tuple(share * braked * along_m for share in pair.brake_shares),
        max(0.0, -excess) * along_m,
    )
