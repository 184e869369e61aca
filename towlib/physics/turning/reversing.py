"""Backwards: how fast the pair folds up, how many metres that takes, and the angle from which no steering
helps.
"""

import math

from towlib.physics.turning.circle import Body, TurningPair, steady_circle
from towlib.physics.turning.path import riccati


def straight_back_rad(start_rad: float, metres: float, *, ball_to_axle_m: float) -> float:
    """The articulation after backing straight.

    tan(phi/2) = tan(phi_0/2)·exp(s/l)

    Parameters
    ----------
    start_rad : float
        Articulation at the start.
    metres : float
        Metres backed, 0 or more.
    ball_to_axle_m : float
        Ball to the towed rear axle, above 0.

    Returns
    -------
    float
        Radians, towards 180° of the sign it started with.

    Raises
    ------
    ValueError
        When the metres are negative or the axle does not lie behind the ball.

    Breaks down when
        something touches first, or the towed front wheels swing round to their lock, as castor makes them do
        backwards.

    Source
        No side slip at the towed rear axle; the overhang does not matter as long as the tow vehicle backs
        straight.

    Examples
    --------
    >>> round(math.degrees(straight_back_rad(math.radians(1), 16.0, ball_to_axle_m=3.92)), 4)
    54.6778
    """
    if metres < 0 or ball_to_axle_m <= 0:
        raise ValueError(
            "the metres backed must not be negative, and the towed rear axle must lie behind the ball"
        )
    half = start_rad / 2.0
    return 2.0 * math.atan2(math.sin(half), math.cos(half) * math.exp(-metres / ball_to_axle_m))


def metres_to_angle_m(
    start_rad: float, limit_rad: float, *, curvature_1_m: float, overhang_m: float, ball_to_axle_m: float
) -> float | None:
    """Metres backed until the articulation reaches a limit, to whichever side, the steering wheel held still.

    straight: s = l·ln(tan(phi_limit/2)/tan(phi_0/2)); steered: the exponential of articulation_after_rad,
      solved for s

    Parameters
    ----------
    start_rad : float
        Articulation at the start.
    limit_rad : float
        The limit, above 0, at most 180°.
    curvature_1_m : float
        1/radius of the tow vehicle's rear axle; the sign of the articulation unfolds, the other folds.
    overhang_m : float
        Ball behind the tow vehicle's rear axle.
    ball_to_axle_m : float
        Ball to the towed rear axle, above 0.

    Returns
    -------
    float or None
        Metres; 0 when it starts beyond the limit; None when it never gets there.

    Raises
    ------
    ValueError
        When the limit is out of its range.

    Breaks down when
        the driver steers on the way: this is one position of the wheel held. Castor spoils it sooner.

    Source
        No side slip at either rear axle; closed form, checked against SciPy's integrator.

    Examples
    --------
    >>> straight = metres_to_angle_m(
    ...     math.radians(2), math.radians(60), curvature_1_m=0.0, overhang_m=1.32, ball_to_axle_m=4.34
    ... )
    >>> round(straight, 2)
    15.18
    """
    if not 0.0 < limit_rad <= math.pi:
        raise ValueError("the limit of the angle must lie above 0 and at most at 180 degrees")
    if abs(start_rad) >= limit_rad:
        return 0.0
    slip, swing, ahead = riccati(curvature_1_m, overhang_m, ball_to_axle_m=ball_to_axle_m)
    half = (start_rad - slip) / 2.0
    y, z = math.sin(half), math.cos(half)
    ways = [_way_back(y, z, (target - slip) / 2.0, swing, ahead) for target in (limit_rad, -limit_rad)]
    return min((way for way in ways if way is not None), default=None)


def _way_back(y: float, z: float, target: float, swing: float, ahead: float) -> float | None:
    """Metres back until (y, z) points along a half angle, None when it never does."""
    change_y, change_z = swing * y - ahead * z, ahead * y - swing * z  # backwards
    across = change_y * math.cos(target) - change_z * math.sin(target)
    if across == 0.0:
        return None
    part, q2 = (z * math.sin(target) - y * math.cos(target)) / across, swing**2 - ahead**2
    if q2 > 1e-18:
        q = math.sqrt(q2)
        return math.atanh(q * part) / q if 0.0 <= q * part < 1.0 else None
    if q2 < -1e-18:
        q = math.sqrt(-q2)
        return math.atan(q * part) % math.pi / q
    return part if part >= 0 else None


def point_of_no_return_rad(front_m: float, pair: TurningPair) -> float | None:
    """The angle beyond which even full lock cannot unfold the pair backwards: the articulation of the
    tightest circle.

    phi = atan(e/R_r) + atan(l/R_t), backwards an equilibrium like a stick on a fingertip

    Parameters
    ----------
    front_m : float
        Radius of the tow vehicle's front axle at full lock.
    pair : TurningPair
        Lengths of both vehicles.

    Returns
    -------
    float or None
        Radians; None when the tow vehicle turns so tightly that full lock unfolds any angle.

    Raises
    ------
    ValueError
        When the circle is smaller than the tow vehicle's wheelbase.

    Breaks down when
        turning the wheel to full lock takes metres too: then it lies lower.

    Source
        The steady turn, which is the equilibrium of the articulation's equation.

    Examples
    --------
    >>> round(math.degrees(point_of_no_return_rad(7.5, TurningPair(3.75, 1.32, 4.34, 2.36))), 1)
    52.4
    """
    rear = math.sqrt(front_m**2 - pair.wheelbase_m**2) if front_m > pair.wheelbase_m else None
    if rear is not None and math.hypot(rear, pair.overhang_m) <= pair.ball_to_axle_m:
        return None
    return steady_circle(front_m, pair).articulation_rad


def bodies_touch_rad(tow: Body, towed: Body, *, pair: TurningPair) -> float | None:
    """The articulation at which the bodies touch, both taken as rectangles.

    each corner moves on a circle about the ball; the first that meets an edge of the other body counts

    Parameters
    ----------
    tow, towed : Body
        Both bodies about their rear axles, bumpers and spare wheel counted.
    pair : TurningPair
        Lengths of both vehicles.

    Returns
    -------
    float or None
        Radians, None when they do not touch up to 180°.

    Raises
    ------
    ValueError
        When they overlap in line already.

    Breaks down when
        bodies are rounded, or an arm of the bar meets the bumper's corner first.

    Source
        Geometry.

    Examples
    --------
    >>> pair = TurningPair(3.75, 1.32, 3.60, 2.36)
    >>> round(math.degrees(bodies_touch_rad(Body(2.0, 4.7, 1.10), Body(1.65, 2.78, 0.5), pair=pair)), 1)
    65.6
    """
    gap, near = pair.overhang_m - tow.tail_m, pair.ball_to_axle_m - towed.nose_m
    if gap + near <= 0:
        raise ValueError("the bodies would overlap with the vehicles in line: measure their lengths again")
    half, towed_half = tow.width_m / 2.0, towed.width_m / 2.0
    front = [(gap, half), (gap, -half), (gap + tow.nose_m + tow.tail_m, half)]
    behind = [(-near, -towed_half), (-near, towed_half), (-pair.ball_to_axle_m - towed.tail_m, towed_half)]
    swings = [
        turn
        for corner in behind
        for edge in ((front[0], front[1]), (front[0], front[2]))
        for turn in _turns(corner, *edge, -1.0)
    ]
    swings += [
        turn
        for edge in ((behind[0], behind[1]), (behind[1], behind[2]))
        for turn in _turns(front[0], *edge, 1.0)
    ]
    return min((turn for turn in swings if turn <= math.pi), default=None)


def _turns(
    corner: tuple[float, float], start: tuple[float, float], end: tuple[float, float], sense: float
) -> list[float]:
    """How far a corner turns about the ball, in a sense, until it meets an edge."""
    along = (end[0] - start[0], end[1] - start[1])
    a, b = along[0] ** 2 + along[1] ** 2, start[0] * along[0] + start[1] * along[1]
    root = b * b - a * (start[0] ** 2 + start[1] ** 2 - corner[0] ** 2 - corner[1] ** 2)
    if root < 0:
        return []
    shares = [(-b + sign * math.sqrt(root)) / a for sign in (1.0, -1.0)]
    meets = [(start[0] + t * along[0], start[1] + t * along[1]) for t in shares if 0.0 <= t <= 1.0]
    return [sense * (math.atan2(y, x) - math.atan2(corner[1], corner[0])) % (2 * math.pi) for x, y in meets]
