"""The steady speed on a climb for many cases at once: traction.operating_point on arrays."""

import numpy as np

from towlib.physics.basics.road_load import GRAVITY_M_S2
from towlib.physics.drive.journey_cases import Numbers, PairCases
from towlib.physics.drive.powertrain import COUPLING_SHARE


def steady_speed_cases(
    cases: PairCases,
    grade: float,
    *,
    rolling_coefficient: Numbers,
    drag_area_m2: Numbers,
    power_factor: Numbers,
    air_density_kg_m3: Numbers,
    wanted_m_s: float,
) -> np.ndarray:
    """Highest steady speed on a grade in each case, at most the speed wanted.

    the highest v over all gears with F(v) >= m·g·sin + c·m·g·cos + ½·rho·CdA·v², F straight between the
    points of the engine's curve

    Parameters
    ----------
    cases : PairCases
        Both vehicles of each case.
    grade : float
        Rise over run.
    rolling_coefficient, drag_area_m2, power_factor, air_density_kg_m3 : float or array
        As in traction.operating_point; arrays have one entry a case.
    wanted_m_s : float
        Speed wanted, above 0.

    Returns
    -------
    array
        m/s; 0 where no gear holds this grade.

    Breaks down when
        as traction.operating_point.

    Source
        traction.operating_point, on arrays.

    Examples
    --------
    >>> from towlib.physics.drive.journey import Pair
    >>> from towlib.physics.drive.powertrain import EXAMPLE
    >>> from towlib.physics.drive.torque_cases import TorqueCurves
    >>> pair = Pair(
    ...     np.array([3900.0, 6000.0]), 0.013, 1.9, EXAMPLE, 9e3, (None, None, None), (0.7, 0.3, 0.0), None
    ... )
    >>> curve = TorqueCurves.same(
    ...     EXAMPLE.curve_rpm, EXAMPLE.curve_torque_n_m, redline_rpm=EXAMPLE.redline_rpm
    ... )
    >>> air = dict(power_factor=0.8, air_density_kg_m3=0.95, wanted_m_s=30.0)
    >>> speeds = steady_speed_cases(
    ...     PairCases(pair, curve, 2), 0.08, rolling_coefficient=0.013, drag_area_m2=1.9, **air
    ... )
    >>> [float(speed) for speed in speeds.round(2)]
    [25.2, 18.5]
    """
    weight_n = cases.mass_kg * GRAVITY_M_S2 / np.sqrt(1.0 + grade * grade)
    steady = weight_n * grade + rolling_coefficient * weight_n
    drag = 0.5 * air_density_kg_m3 * drag_area_m2
    with np.errstate(invalid="ignore", divide="ignore"):
        grip_m_s = np.sqrt((cases.grip_n - steady) / drag)
        fastest, least = np.zeros(cases.count), float(np.min(steady)) / float(np.max(power_factor))
        for gear in range(cases.gears - 1, -1, -1):
            ends = np.minimum(np.minimum(grip_m_s, wanted_m_s), cases.redline_rpm / cases.rpm_per_m_s[gear])
            if gear and cases.most_n[gear] * 1.000001 < least or (ends <= fastest).all():
                continue
            fastest = np.maximum(
                fastest, _in_gear(cases, gear, steady=steady, drag=drag, ends=ends, factor=power_factor)
            )
    return np.where(steady > cases.grip_n, 0.0, fastest)


def _in_gear(
    cases: PairCases, gear: int, *, steady: Numbers, drag: Numbers, ends: Numbers, factor: Numbers
) -> np.ndarray:
    """Highest speed this gear holds, 0 where none; traction._highest_crossing."""
    first = (
        [0.0 * cases.launch_rpm, COUPLING_SHARE * cases.launch_rpm, 1.0 * cases.launch_rpm]
        if gear == 0
        else [1.0 * cases.lowest_pull_rpm]
    )
    knots = np.minimum(np.maximum(cases.torque.knots_rpm(), first[-1]), cases.redline_rpm)
    turning = [*first, *knots, 1.0 * cases.redline_rpm]
    speeds = [n / cases.rpm_per_m_s[gear] * (1.0 - 1e-12) for n in turning]
    found, at = np.zeros(cases.count, bool), np.zeros(cases.count)
    upper = cases.pull_n(speeds[-1] + np.zeros(cases.count), gear, factor)
    for i in range(len(turning) - 2, -1, -1):
        lower = cases.pull_n(speeds[i] + np.zeros(cases.count), gear, factor)
        slow, fast = speeds[i], speeds[i + 1]
        run = fast - slow
        slope = np.where(run > 0, (upper - lower) / np.where(run > 0, run, 1.0), 0.0)
        inside = slope * slope + 4.0 * (lower - slope * slow - steady) * drag
        root = np.sqrt(np.maximum(inside, 0.0))
        top = np.minimum(np.minimum((slope + root) / (2.0 * drag), fast), ends)
        here = ~found & (run > 0) & (inside >= 0) & (top >= np.maximum(slow, (slope - root) / (2.0 * drag)))
        at, found, upper = np.where(here, top, at), found | here, lower
        if found.all():
            break
    return at
