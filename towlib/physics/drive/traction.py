"""The traction diagram: pull in every gear over the demand of the road, where they cross, what the tyres of
each axle hold.
"""

from collections.abc import Sequence
from typing import NamedTuple

from towlib.physics.basics import cases as math
from towlib.physics.basics.road_load import air_force_n, drawbar_pull_n, grade_force_n, rolling_force_n
from towlib.physics.drive.climb import steepest_grade
from towlib.physics.drive.journey import Pair
from towlib.physics.drive.powertrain import (
    COUPLING_SHARE,
    RPM_PER_RAD_S,
    Powertrain,
    engine_rpm,
    grip_force_n,
    wheel_force_n,
)
from towlib.physics.weights.axle_loads import axle_loads_on_grade

APART = 1e-9  # shaft speeds closer than this share are one: a line between them would have no slope


class RoadLoad(NamedTuple):
    """What holds the pair back at a steady speed, part by part, newtons."""

    grade_n: float
    rolling_n: float
    air_n: float

    @property
    def total_n(self) -> float:
        """All three together."""
        return self.grade_n + self.rolling_n + self.air_n


class OperatingPoint(NamedTuple):
    """Where the pair settles on a grade."""

    speed_m_s: float
    gear: int
    rpm: float
    demand_n: float
    pull_n: float  # what this gear could give there at full throttle, before the tyres are asked
    limited_by: str  # "wanted" when the speed wanted is held, else "engine", "redline" or "grip"


class AxleGrip(NamedTuple):
    """Drive force that the tyres of each axle can pass on, newtons."""

    front_n: float
    rear_n: float

    @property
    def both_n(self) -> float:
        """With both axles driven."""
        return self.front_n + self.rear_n


def road_load(pair: Pair, grade: float, speed_m_s: float, *, air_density_kg_m3: float) -> RoadLoad:
    """What the road asks of the pair at a steady speed, in its three parts.

    F = m·g·sin + c·m·g·cos + ½·rho·CdA·v²

    Parameters
    ----------
    pair : Pair
        Both vehicles.
    grade : float
        Rise over run.
    speed_m_s : float
        Steady speed.
    air_density_kg_m3 : float
        Air density.

    Returns
    -------
    RoadLoad
        Newtons; the grade part is negative downhill.

    Breaks down when
        there is wind, or the surface is soft.

    Source
        Newton's second law; the parts as in road_load.

    Examples
    --------
    >>> from towlib.physics.drive.powertrain import EXAMPLE
    >>> pair = Pair(4082.331, 0.013, 1.95, EXAMPLE, 9e3, (None, None, None), (0.7, 0.3, 0.0), None)
    >>> [round(part, 1) for part in road_load(pair, 0.06, 55 * 0.44704, air_density_kg_m3=0.99311)]
    [2397.7, 519.5, 585.4]
    """
    return RoadLoad(
        grade_force_n(pair.mass_kg, grade),
        rolling_force_n(pair.mass_kg, grade, rolling_coefficient=pair.rolling_coefficient),
        air_force_n(speed_m_s, drag_area_m2=pair.drag_area_m2, air_density_kg_m3=air_density_kg_m3),
    )


Curve = tuple[tuple[float, ...], tuple[float, ...]]  # speeds in m/s and forces in newtons


def gear_curve(train: Powertrain, gear: int, *, power_factor: float = 1.0) -> Curve:
    """Full-throttle pull in one gear as a line through few points, exact between them.

    F(v) of wheel_force_n at every point where its slope changes: the curve's own points, coupling and launch
    speed, the redline

    Parameters
    ----------
    train : Powertrain
        Engine, gears and wheels.
    gear : int
        1 for first.
    power_factor : float
        Share of sea-level power left.

    Returns
    -------
    tuple of two tuples
        Speeds in m/s and forces in newtons; from standing in first gear, from the lowest pulling speed in the
        others.

    Raises
    ------
    ValueError
        When there is no such gear.

    Breaks down when
        the engine curve has few points where it bends sharply.

    Source
        Kinematics and the reader's curve.

    Examples
    --------
    >>> from towlib.physics.drive.powertrain import EXAMPLE
    >>> speeds, forces = gear_curve(EXAMPLE, 3)
    >>> [round(v, 1) for v in speeds], round(forces[-1])
    ([8.7, 13.3, 26.7, 36.6, 38.6], 4011)
    """
    if not 1 <= gear <= len(train.gear_ratios):
        raise ValueError(f"there is no gear {gear}: this gearbox has {len(train.gear_ratios)}")
    m_s_per_rpm = train.rolling_radius_m / (train.gear_ratios[gear - 1] * train.final_drive) / RPM_PER_RAD_S
    first = (
        [0.0, COUPLING_SHARE * train.launch_rpm, train.launch_rpm] if gear == 1 else [train.lowest_pull_rpm]
    )
    inside = first[-1] * (1.0 + APART), train.redline_rpm * (1.0 - APART)
    turning = [*first, *(n for n in train.curve_rpm if inside[0] < n < inside[1]), train.redline_rpm]
    speeds = tuple(
        n * m_s_per_rpm * (1.0 - 1e-12) for n in turning
    )  # a hair inside, so that the redline itself still pulls
    if gear > 1:
        speeds = (speeds[0] * (1.0 + 2e-12), *speeds[1:])
    return speeds, tuple(wheel_force_n(train, v, gear, power_factor=power_factor) for v in speeds)


def operating_point(
    pair: Pair,
    grade: float,
    *,
    wanted_m_s: float,
    power_factor: float,
    air_density_kg_m3: float,
    curves: Sequence[Curve] = (),
) -> OperatingPoint | None:
    """The speed the pair settles at, at most the one wanted, and the highest gear that gives it.

    the largest v ≤ v_wanted at which min(F_gear(v), grip) ≥ m·g·sin + c·m·g·cos + ½·rho·CdA·v² in some gear;
    each crossing of a straight piece of F with the parabola of the demand in closed form

    Parameters
    ----------
    pair : Pair
        Both vehicles.
    grade : float
        Rise over run.
    wanted_m_s : float
        Speed the driver would like, above 0.
    power_factor : float
        Share of sea-level power left.
    air_density_kg_m3 : float
        Air density.
    curves : sequence
        gear_curve of every gear with all of sea-level power, where they are known already.

    Returns
    -------
    OperatingPoint or None
        None when no gear holds this grade at any speed.

    Raises
    ------
    ValueError
        When the speed wanted is not above zero.

    Breaks down when
        the grade is short: the pair arrives with speed in hand, which only the drive along the road counts.

    Source
        Traction diagram of any vehicle textbook.

    Examples
    --------
    >>> from towlib.physics.drive.powertrain import EXAMPLE
    >>> pair = Pair(3900, 0.013, 1.9, EXAMPLE, 9e3, (None, None, None), (0.7, 0.3, 0.0), None)
    >>> point = operating_point(pair, 0.08, wanted_m_s=30.0, power_factor=0.8, air_density_kg_m3=0.95)
    >>> round(point.speed_m_s, 2), point.gear, point.limited_by
    (25.2, 2, 'redline')
    """
    if wanted_m_s <= 0:
        raise ValueError("the speed wanted must be above zero")
    best: tuple[float, int, str] | None = None
    for gear in range(len(pair.train.gear_ratios), 0, -1):
        curve = curves[gear - 1] if curves else gear_curve(pair.train, gear)
        if best and curve[0][-1] <= best[0]:  # this gear and all lower ones end at a lower speed
            break
        found = _highest_crossing(
            pair,
            grade,
            curve,
            wanted_m_s=wanted_m_s,
            power_factor=power_factor,
            density=air_density_kg_m3,
        )
        if found and (best is None or found[0] > best[0] + 1e-9):
            best = (found[0], gear, found[1])
    if best is None:
        return None
    speed, gear, limit = best
    return OperatingPoint(
        speed,
        gear,
        engine_rpm(pair.train, speed, gear),
        road_load(pair, grade, speed, air_density_kg_m3=air_density_kg_m3).total_n,
        wheel_force_n(pair.train, speed * (1.0 - 1e-9), gear, power_factor=power_factor),
        limit,
    )


def _highest_crossing(
    pair: Pair, grade: float, curve: Curve, *, wanted_m_s: float, power_factor: float, density: float
) -> tuple[float, str] | None:
    """Highest speed the gear of this curve holds and what stops it there."""
    steady_n = road_load(pair, grade, 0.0, air_density_kg_m3=density).total_n
    drag = 0.5 * density * pair.drag_area_m2
    if steady_n > pair.grip_n:
        return None
    grip_m_s = math.sqrt((pair.grip_n - steady_n) / drag) if drag > 0 else math.inf
    speeds, forces = curve
    for i in range(len(speeds) - 2, -1, -1):
        slow, fast = speeds[i], speeds[i + 1]
        slope = power_factor * (forces[i + 1] - forces[i]) / (fast - slow)
        held = _where_above(power_factor * forces[i] - slope * slow - steady_n, slope, drag)
        if held is None:
            continue
        ends = (
            (held[1], "engine"),
            (fast, "redline" if i == len(speeds) - 2 else "engine"),
            (grip_m_s, "grip"),
            (wanted_m_s, "wanted"),
        )
        top, limit = min(ends, key=lambda end: end[0])
        if top >= max(slow, held[0]):
            return top, limit
    return None


def _where_above(a: float, b: float, c: float) -> tuple[float, float] | None:
    """Between which speeds a + b·v - c·v² is not negative; None when nowhere."""
    if c <= 0:
        if b == 0:
            return (-math.inf, math.inf) if a >= 0 else None
        return (-math.inf, -a / b) if b < 0 else (-a / b, math.inf)
    inside = b * b + 4.0 * a * c
    if inside < 0:
        return None
    return (b - math.sqrt(inside)) / (2.0 * c), (b + math.sqrt(inside)) / (2.0 * c)


def steepest_in_gear(
    pair: Pair, gear: int, *, power_factor: float, air_density_kg_m3: float
) -> tuple[float, float] | None:
    """Steepest grade that a gear holds at any steady speed, and that speed.

    the largest steepest_grade over v; within a straight piece of F = a + b·v the surplus a + b·v -
    ½·rho·CdA·v² peaks at b/(rho·CdA)

    Parameters
    ----------
    pair : Pair
        Both vehicles.
    gear : int
        1 for first.
    power_factor : float
        Share of sea-level power left.
    air_density_kg_m3 : float
        Air density.

    Returns
    -------
    tuple of two floats, or None
        Rise over run and speed in m/s; None when the pull exceeds the weight.

    Breaks down when
        first gear at standstill heats the clutch or the converter: nobody holds that for long.

    Source
        Statics.

    Examples
    --------
    >>> from towlib.physics.drive.powertrain import EXAMPLE
    >>> pair = Pair(3900, 0.013, 1.9, EXAMPLE, 20e3, (None, None, None), (0.7, 0.3, 0.0), None)
    >>> grade, speed = steepest_in_gear(pair, 3, power_factor=0.8, air_density_kg_m3=1.0)
    >>> round(grade, 3), round(speed, 1)
    (0.075, 13.3)
    """
    speeds, forces = gear_curve(pair.train, gear, power_factor=power_factor)
    candidates = list(speeds)
    for i in range(len(speeds) - 1):
        slope = (forces[i + 1] - forces[i]) / (speeds[i + 1] - speeds[i])
        peak = slope / (air_density_kg_m3 * pair.drag_area_m2) if pair.drag_area_m2 > 0 else -1.0
        if speeds[i] < peak < speeds[i + 1]:
            candidates.append(peak)
    grades = [
        (grade, v)
        for v in candidates
        if (
            grade := steepest_grade(
                pair, v, gear, power_factor=power_factor, air_density_kg_m3=air_density_kg_m3
            )
        )
        is not None
    ]
    return max(grades, key=lambda pair_: pair_[0]) if grades else None


def axle_grip_n(
    front_kg: float,
    rear_kg: float,
    *,
    grade: float,
    friction_coefficient: float,
    towed_mass_kg: float,
    rolling_coefficient: float,
    wheelbase_m: float,
    cg_height_m: float,
    hitch_height_m: float,
    overhang_m: float,
    acceleration_m_s2: float = 0.0,
) -> AxleGrip:
    """Drive force each axle's tyres can pass on, on a grade, with the towed vehicle pulling at the hitch.

    F = mu·N per axle, N by moments: a climb and the pull at the hitch take load off the front axle and put it
    on the rear one

    Parameters
    ----------
    front_kg, rear_kg : float
        Level axle loads of the tow vehicle with the bar on the ball.
    grade : float
        Rise over run.
    friction_coefficient : float
        Tyre on road: 0.7 and 0.5 sliding on dry and wet concrete.
    towed_mass_kg : float
        The towed vehicle.
    rolling_coefficient : float
        Of the towed vehicle's tyres.
    wheelbase_m, cg_height_m, hitch_height_m, overhang_m : float
        Of the tow vehicle: between the axles, centre of gravity above the road, ball above the road, ball
        behind the rear axle.
    acceleration_m_s2 : float
        Along the road, positive speeding up.

    Returns
    -------
    AxleGrip
        Newtons; an axle that would lift passes nothing on.

    Breaks down when
        one wheel of an axle stands on ice or in a rut and its differential is open: twice the poorer wheel is
        then all there is.

    Source
        Equilibrium (axle_loads_on_grade); friction coefficients as in OpenStax College Physics, module
        m42139.

    Examples
    --------
    >>> grip = axle_grip_n(
    ...     1450,
    ...     1250,
    ...     grade=0.12,
    ...     friction_coefficient=0.5,
    ...     towed_mass_kg=1500,
    ...     rolling_coefficient=0.013,
    ...     wheelbase_m=3.7,
    ...     cg_height_m=0.7,
    ...     hitch_height_m=0.55,
    ...     overhang_m=1.3,
    ... )
    >>> round(grip.front_n), round(grip.rear_n)
    (6616, 6528)
    """
    pull_n = drawbar_pull_n(
        towed_mass_kg, grade, rolling_coefficient=rolling_coefficient, acceleration_m_s2=acceleration_m_s2
    )
    loads = axle_loads_on_grade(
        front_kg,
        rear_kg,
        wheelbase_m=wheelbase_m,
        cg_height_m=cg_height_m,
        grade=grade,
        acceleration_m_s2=acceleration_m_s2,
        hitch_height_m=hitch_height_m,
        hitch_pull_n=pull_n,
        hitch_vertical_n=0.0,
        overhang_m=overhang_m,
    )
    return AxleGrip(*(grip_force_n(max(0.0, load), friction_coefficient) for load in loads))
