"""Forces that hold a vehicle back on the road: the grade, the tyres, the air."""

from towlib.physics.basics import cases as math

GRAVITY_M_S2 = 9.80665


def grade_sine(grade: float) -> float:
    """Sine of the road's angle, from its grade.

    sin(atan G) = G / sqrt(1 + G²)

    Parameters
    ----------
    grade : float or array
        Rise over run, 0.06 for 6 %; any sign, usually -0.15 to 0.15.

    Returns
    -------
    float or array
        Sine of the road angle.

    Breaks down when
        never; it is exact. Using the tangent (G itself) overstates the force by 1.1 % at 15 %.

    Source
        Geometry; OpenStax University Physics, module m58310, uses the same step.

    Examples
    --------
    >>> round(grade_sine(0.15), 5)
    0.14834
    """
    return grade / (1.0 + grade * grade) ** 0.5


def grade_force_n(mass_kg: float, grade: float, *, gravity_m_s2: float = GRAVITY_M_S2) -> float:
    """The part of the weight that pulls back down the road.

    F = m · g · sin(atan G)

    Parameters
    ----------
    mass_kg : float or array
        Mass on the road, 500 to 10,000 kg.
    grade : float or array
        Rise over run, positive uphill.
    gravity_m_s2 : float
        9.80665; a textbook may use 9.80.

    Returns
    -------
    float or array
        Force in newtons, positive when it holds the vehicle back.

    Breaks down when
        never for a rigid road; a loose surface adds sinkage, which belongs to rolling resistance.

    Source
        Newton's second law.

    Examples
    --------
    >>> round(grade_force_n(4082.331, 0.06), 1)
    2397.7
    """
    return mass_kg * gravity_m_s2 * grade_sine(grade)


def rolling_force_n(
    mass_kg: float, grade: float, *, rolling_coefficient: float, gravity_m_s2: float = GRAVITY_M_S2
) -> float:
    """Rolling resistance of tyres carrying a mass on a grade.

    F = c · m · g · cos(atan G)

    Parameters
    ----------
    mass_kg : float or array
        Mass carried by the tyres, 500 to 10,000 kg.
    grade : float or array
        Rise over run.
    rolling_coefficient : float
        Dimensionless; 0.010 to 0.015 on asphalt, higher for knobbly or soft tyres.
    gravity_m_s2 : float
        9.80665; a textbook may use 9.80.

    Returns
    -------
    float or array
        Force in newtons, always holding back.

    Breaks down when
        tyres are cold or far below pressure, or the surface is soft.

    Source
        Carvill, Mechanical Engineer's Data Handbook, and Marks' Handbook (coefficients, read in secondary
        pages).

    Examples
    --------
    >>> round(rolling_force_n(4082.331, 0.06, rolling_coefficient=0.013), 1)
    519.5
    """
    return rolling_coefficient * mass_kg * gravity_m_s2 / (1.0 + grade * grade) ** 0.5


def air_force_n(speed_m_s: float, *, drag_area_m2: float, air_density_kg_m3: float) -> float:
    """Air resistance in still air.

    F = ½ · rho · CdA · v²

    Parameters
    ----------
    speed_m_s : float or array
        Road speed, 0 to 40 m/s.
    drag_area_m2 : float
        Drag coefficient times frontal area; it already holds the coefficient, do not multiply by it again.
    air_density_kg_m3 : float
        1.225 at sea level, about 0.96 at 2,400 m.

    Returns
    -------
    float or array
        Force in newtons.

    Breaks down when
        there is wind, or the drag of the second vehicle in the wake is unlike the share assumed for it.

    Source
        OpenStax College Physics, module m42080.

    Examples
    --------
    >>> round(air_force_n(100 / 3.6, drag_area_m2=0.70, air_density_kg_m3=1.21), 1)
    326.8
    """
    return 0.5 * air_density_kg_m3 * drag_area_m2 * speed_m_s * speed_m_s


def uphill_power_w(
    mass_kg: float,
    grade: float,
    *,
    speed_m_s: float,
    lost_share: float = 0.0,
    gravity_m_s2: float = GRAVITY_M_S2,
) -> float:
    """Engine power that lifts a mass up a grade when a share of it is lost on the way.

    P = m · g · sin(atan G) · v / (1 - lost)

    Parameters
    ----------
    mass_kg : float
        Mass lifted, 500 to 40,000 kg.
    grade : float
        Rise over run.
    speed_m_s : float
        Speed along the road.
    lost_share : float
        Share of engine power that never lifts anything, 0 to below 1.
    gravity_m_s2 : float
        9.80665; a textbook may use 9.80.

    Returns
    -------
    float
        Engine power in watts.

    Raises
    ------
    ValueError
        When lost_share is not in 0 to below 1.

    Breaks down when
        the lost share depends on speed; use the separate forces instead.

    Source
        OpenStax University Physics, module m58310, "Automotive Power: Driving Uphill".

    Examples
    --------
    >>> round(uphill_power_w(1200, 0.15, speed_m_s=25, lost_share=0.25, gravity_m_s2=9.8))
    58149
    """
    if not 0.0 <= lost_share < 1.0:
        raise ValueError(f"the share of power lost must be from 0 to below 1, not {lost_share}")
    return grade_force_n(mass_kg, grade, gravity_m_s2=gravity_m_s2) * speed_m_s / (1.0 - lost_share)


def drawbar_pull_n(
    towed_mass_kg: float,
    grade: float,
    *,
    rolling_coefficient: float,
    air_n: float = 0.0,
    acceleration_m_s2: float = 0.0,
    towed_brake_n: float = 0.0,
) -> float:
    """Pull in the bar: positive when it is stretched, negative when the towed vehicle pushes.

    F = m·g·sin(atan G) + c·m·g·cos(atan G) + F_air + m·a + F_towed brakes

    Parameters
    ----------
    towed_mass_kg : float
        Mass of the towed vehicle as loaded.
    grade : float
        Rise over run, negative downhill.
    rolling_coefficient : float
        Of the towed vehicle's tyres.
    air_n : float
        Air resistance of the towed vehicle, N.
    acceleration_m_s2 : float
        Of the pair along the road; negative when braking.
    towed_brake_n : float
        Braking force of the towed vehicle's own brakes, N, 0 without.

    Returns
    -------
    float
        Force along the bar in newtons.

    Breaks down when
        the bar snatches (slack in pins or coupler): the peak is then higher than this steady force.

    Source
        Newton's second law on the towed vehicle alone.

    Examples
    --------
    >>> round(drawbar_pull_n(1700, -0.08, rolling_coefficient=0.0, acceleration_m_s2=-0.5 * 9.80665), 1)
    -9665.1
    """
    return (
        grade_force_n(towed_mass_kg, grade)
        + rolling_force_n(towed_mass_kg, grade, rolling_coefficient=rolling_coefficient)
        + air_n
        + towed_mass_kg * acceleration_m_s2
        + towed_brake_n
    )


def speed_held_m_s(
    power_at_wheels_w: float,
    *,
    mass_kg: float,
    grade: float,
    rolling_coefficient: float,
    drag_area_m2: float,
    air_density_kg_m3: float,
) -> float:
    """Steady speed at which the power at the wheels meets grade, tyres and air.

    P = (F_grade + F_roll) · v + ½ · rho · CdA · v³, solved for v

    Parameters
    ----------
    power_at_wheels_w : float
        Power at the wheels, above 0.
    mass_kg : float
        Mass of the pair.
    grade : float
        Rise over run.
    rolling_coefficient : float
        Dimensionless.
    drag_area_m2 : float
        Of the pair.
    air_density_kg_m3 : float
        Air density.

    Returns
    -------
    float
        Speed in m/s (the largest steady speed when the road runs downhill).

    Raises
    ------
    ValueError
        When nothing limits the speed (no drag on a downgrade) or an input is not positive.

    Breaks down when
        no gear lets the engine give this power at that speed; the wheel-force curves tell.

    Source
        Power balance; the cubic is solved in closed form (Cardano).

    Examples
    --------
    >>> round(
    ...     speed_held_m_s(
    ...         86123,
    ...         mass_kg=4082.331,
    ...         grade=0.06,
    ...         rolling_coefficient=0.013,
    ...         drag_area_m2=1.95,
    ...         air_density_kg_m3=0.99311,
    ...     )
    ...     / 0.44704,
    ...     1,
    ... )
    55.0
    """
    if power_at_wheels_w <= 0 or mass_kg <= 0:
        raise ValueError("the power and the mass must be above zero")
    steady = grade_force_n(mass_kg, grade) + rolling_force_n(
        mass_kg, grade, rolling_coefficient=rolling_coefficient
    )
    air = 0.5 * air_density_kg_m3 * drag_area_m2
    if air <= 0:
        if steady <= 0:
            raise ValueError("with no air resistance nothing limits the speed on this downgrade")
        return power_at_wheels_w / steady
    # depressed cubic v³ + p v + q = 0 with q < 0: one positive root (Cardano or the cosine form)
    p, q = steady / air, -power_at_wheels_w / air
    inside = (q / 2) ** 2 + (p / 3) ** 3
    if inside >= 0:
        root = math.sqrt(inside)
        return math.cbrt(-q / 2 + root) + math.cbrt(-q / 2 - root)
    return 2 * math.sqrt(-p / 3) * math.cos(math.acos(3 * q / (2 * p) * math.sqrt(-3 / p)) / 3)
