"""Towed front wheels: castor and friction, toe, what a locked steering does, and turns of a wheel."""

from towlib.physics.basics import cases as math


def revolutions(distance_m: float, rolling_radius_m: float) -> float:
    """Turns of a wheel over a distance.

    N = d/(2·pi·r)

    Parameters
    ----------
    distance_m : float
        Way rolled.
    rolling_radius_m : float
        Above 0.

    Returns
    -------
    float
        Turns.

    Raises
    ------
    ValueError
        When the radius is not above zero.

    Breaks down when
        the tyre slips, and by a few per cent because hub to ground is a little less than the radius it rolls
        on.

    Source
        OpenStax College Physics 6.1, its odometer problem (read).

    Examples
    --------
    >>> round(revolutions(1000.0, 0.35))
    455
    """
    if rolling_radius_m <= 0:
        raise ValueError("the rolling radius must be above zero")
    return distance_m / (2.0 * math.pi * rolling_radius_m)


def toe_each_rad(toe_m: float, *, across_m: float) -> float:
    """Toe of each wheel from the difference between the fronts and the backs of both tyres.

    sin(alpha) = t/(2·D)

    Parameters
    ----------
    toe_m : float
        Distance between the tyres behind less that in front: positive toe-in.
    across_m : float
        Diameter on which both were measured, above 0.

    Returns
    -------
    float
        Radians, positive toe-in.

    Raises
    ------
    ValueError
        When the difference cannot stand on this diameter.

    Breaks down when
        one wheel has more toe than the other: both were given half.

    Source
        Geometry.

    Examples
    --------
    >>> round(math.degrees(toe_each_rad(0.003, across_m=0.70)), 3)
    0.123
    """
    if across_m <= 0 or abs(toe_m) >= 2.0 * across_m:
        raise ValueError("the toe difference does not fit the diameter it was measured on")
    return math.asin(toe_m / (2.0 * across_m))


def toe_drag_n(toe_rad: float, *, stiffness_n_rad: float, grip_n: float = math.inf) -> float:
    """Force that drags both wheels of an axle along because of their toe.

    F = 2·Y·sin|alpha|, Y = min(C·|alpha|, mu·N)

    Parameters
    ----------
    toe_rad : float
        Of each wheel, in or out.
    stiffness_n_rad : float
        Side force of one tyre for each radian of slip, 10,000 to 80,000 N/rad.
    grip_n : float
        Most side force one tyre can give.

    Returns
    -------
    float
        Newtons against the motion; it grows with the square of the toe.

    Breaks down when
        toe changes with the suspension's travel, or camber works against it.

    Source
        Linear tyre, textbook; the side force stands across the wheel, so its part along the road is
        Y·sin(alpha).

    Examples
    --------
    >>> round(toe_drag_n(math.radians(1.0), stiffness_n_rad=30e3), 2)
    18.28
    """
    angle = abs(toe_rad)
    return 2.0 * min(stiffness_n_rad * angle, grip_n) * math.sin(angle)


def sideways_m(toe_rad: float, distance_m: float) -> float:
    """How far the tread of one tyre is dragged sideways.

    s = d·sin|alpha|

    Parameters
    ----------
    toe_rad : float
        Angle between the wheel and its way.
    distance_m : float
        Way driven.

    Returns
    -------
    float
        Metres. Slip in the contact begins only where grip is used up, so this is the most that can be
        scrubbed.

    Breaks down when
        read as tread worn off: how much rubber goes for a metre depends on tyre and road.

    Source
        Geometry.

    Examples
    --------
    >>> round(sideways_m(math.radians(0.5), 1000.0), 2)
    8.73
    """
    return distance_m * math.sin(abs(toe_rad))


def castor_trail_m(castor_rad: float, wheel_radius_m: float, *, hub_ahead_m: float = 0.0) -> float:
    """How far the tyre's contact follows behind the point where the steering axis meets the road.

    t = r·tan(tau) - h/cos(tau)

    Parameters
    ----------
    castor_rad : float
        Lean of the steering axis, its upper end backwards, below 90°.
    wheel_radius_m : float
        Hub to ground, above 0.
    hub_ahead_m : float
        Hub ahead of the steering axis, square to it.

    Returns
    -------
    float
        Metres, positive when the contact follows. Rolling backwards the same trail leads, and counts
        negative.

    Raises
    ------
    ValueError
        When the radius is not above zero or the axis lies flat.

    Breaks down when
        the wheel is steered far: the trail belongs to straight ahead.

    Source
        Geometry.

    Examples
    --------
    >>> round(castor_trail_m(math.radians(5.0), 0.35), 4)
    0.0306
    """
    if wheel_radius_m <= 0 or abs(castor_rad) >= math.pi / 2:
        raise ValueError("castor needs a wheel radius above zero and a steering axis that stands")
    return wheel_radius_m * math.tan(castor_rad) - hub_ahead_m / math.cos(castor_rad)


def centring_n_m(slip_rad: float, *, stiffness_n_rad: float, trail_m: float) -> float:
    """Moment that turns a front axle back when its wheels run at an angle to their way.

    M = C·alpha·t

    Parameters
    ----------
    slip_rad : float
        Angle between the wheels and their way.
    stiffness_n_rad : float
        Side force of both tyres for each radian.
    trail_m : float
        Castor trail and the tyre's own (pneumatic) trail together.

    Returns
    -------
    float
        Newton metres, positive back to straight for a positive angle and trail.

    Breaks down when
        the tyre nears its grip: its own trail then shrinks to nothing.

    Source
        Linear tyre, textbook; pneumatic trail 20 to 40 mm, from memory.

    Examples
    --------
    >>> round(centring_n_m(0.01, stiffness_n_rad=60e3, trail_m=0.05), 6)
    30.0
    """
    return stiffness_n_rad * slip_rad * trail_m


def angle_friction_holds_rad(friction_n_m: float, *, stiffness_n_rad: float, trail_m: float) -> float:
    """The angle at which steering friction stops the wheels from coming back to straight.

    alpha = M_friction/(C·t)

    Parameters
    ----------
    friction_n_m : float
        Friction of the whole steering at the steering axes, 0 or more.
    stiffness_n_rad : float
        Side force of both tyres for each radian, above 0.
    trail_m : float
        Castor trail and the tyre's own trail together.

    Returns
    -------
    float
        Radians to either side; no trail, no return: then infinite.

    Raises
    ------
    ValueError
        When the friction is below zero or the stiffness not above it.

    Breaks down when
        bumps shake the friction loose: then the wheels come back further.

    Source
        Equilibrium of moments.

    Examples
    --------
    >>> round(math.degrees(angle_friction_holds_rad(30.0, stiffness_n_rad=60e3, trail_m=0.05)), 3)
    0.573
    """
    if friction_n_m < 0 or stiffness_n_rad <= 0:
        raise ValueError("steering friction must not be below zero and the tyres need a stiffness above it")
    return friction_n_m / (stiffness_n_rad * trail_m) if trail_m > 0 else math.inf


def steer_needed_rad(turn_radius_m: float, wheelbase_m: float) -> float:
    """How far the front wheels must turn for the rear axle to run on a circle.

    delta = atan(L/R)

    Parameters
    ----------
    turn_radius_m : float
        Radius on which the middle of the rear axle runs, above 0.
    wheelbase_m : float
        Between the axles.

    Returns
    -------
    float
        Radians, a mean of both wheels.

    Raises
    ------
    ValueError
        When the radius is not above zero.

    Breaks down when
        driven fast: tyres then need slip angles.

    Source
        Geometry.

    Examples
    --------
    >>> round(math.degrees(steer_needed_rad(10.0, 2.4)), 1)
    13.5
    """
    if turn_radius_m <= 0:
        raise ValueError("the radius of the turn must be above zero")
    return math.atan(wheelbase_m / turn_radius_m)


def locked_steering_force_n(
    turn_radius_m: float, wheelbase_m: float, *, stiffness_n_rad: float, grip_n: float
) -> float:
    """Side force on a front axle whose wheels cannot turn, held straight by the steering lock.

    Y = min(C·delta, mu·N), delta = atan(L/R)

    Parameters
    ----------
    turn_radius_m : float
        Radius on which the middle of the rear axle runs, above 0.
    wheelbase_m : float
        Between the axles.
    stiffness_n_rad : float
        Side force of both tyres for each radian.
    grip_n : float
        Most side force of both tyres.

    Returns
    -------
    float
        Newtons at first: the rear axle is pushed off its circle as well, which then eases it.

    Breaks down when
        the rear tyres give way first, or the lock breaks.

    Source
        Linear tyre up to its grip, textbook.

    Examples
    --------
    >>> round(locked_steering_force_n(12.0, 2.4, stiffness_n_rad=60e3, grip_n=6000.0))
    6000
    """
    return min(stiffness_n_rad * steer_needed_rad(turn_radius_m, wheelbase_m), grip_n)
