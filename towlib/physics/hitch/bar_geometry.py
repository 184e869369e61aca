"""Hitch geometry: how high the ball sits when loaded, how the bar slopes, what a slope and a narrow bracket
do.
"""

from typing import NamedTuple

from towlib.physics.basics import cases as math
from towlib.physics.basics.road_load import GRAVITY_M_S2


class Mount(NamedTuple):
    """A ball mount step and the bar slope it gives."""

    change_m: float  # ball above (+) or below (-) the receiver
    slope_rad: float  # bracket higher than the ball: positive


class BracketForces(NamedTuple):
    """What the bar does to one bracket, pull forwards positive, sideways positive towards the middle."""

    along_n: float
    inwards_n: float


class ArmForces(NamedTuple):
    """Axial forces in the two arms of an A-frame bar, pull positive."""

    left_n: float
    right_n: float


def receiver_drop_m(
    front_added_kg: float,
    rear_added_kg: float,
    *,
    front_rate_n_m: float,
    rear_rate_n_m: float,
    wheelbase_m: float,
    overhang_m: float,
) -> float:
    """How far the receiver sinks when the axle loads grow.

    d_f = dF·g/k_f, d_r = dR·g/k_r; at the receiver d = d_r + (d_r - d_f)·o/L

    Parameters
    ----------
    front_added_kg, rear_added_kg : float
        Axle loads over the empty ones; may be negative at the front.
    front_rate_n_m, rear_rate_n_m : float
        Spring rate of each axle, both wheels, 40,000 to 250,000 N/m.
    wheelbase_m : float
        Distance between the axles, above 0.
    overhang_m : float
        Receiver or ball behind the rear axle.

    Returns
    -------
    float
        Metres, positive downwards.

    Raises
    ------
    ValueError
        When a rate or the wheelbase is not above zero.

    Breaks down when
        springs reach their stops, are progressive, or the vehicle levels itself.

    Source
        Hooke's law and a straight line through both axles.

    Examples
    --------
    >>> round(
    ...     receiver_drop_m(
    ...         50, 150, front_rate_n_m=95e3, rear_rate_n_m=84e3, wheelbase_m=3.68, overhang_m=1.32
    ...     ),
    ...     4,
    ... )
    0.0219
    """
    if min(front_rate_n_m, rear_rate_n_m, wheelbase_m) <= 0:
        raise ValueError("spring rates and the wheelbase must be above zero")
    front_m = front_added_kg * GRAVITY_M_S2 / front_rate_n_m
    rear_m = rear_added_kg * GRAVITY_M_S2 / rear_rate_n_m
    return rear_m + (rear_m - front_m) * overhang_m / wheelbase_m


def ball_height_m(receiver_height_m: float, ball_mount_change_m: float, *, drop_m: float = 0.0) -> float:
    """Height of the ball above the road, loaded.

    h_ball = h_receiver + rise (or - drop of the ball mount) - squat

    Parameters
    ----------
    receiver_height_m : float
        Middle of the receiver above the road, empty.
    ball_mount_change_m : float
        Ball centre above (+) or below (-) the receiver: a rise, or a drop when the ball mount is turned over.
    drop_m : float
        How far the receiver sinks under the load, from receiver_drop_m.

    Returns
    -------
    float
        Metres.

    Raises
    ------
    ValueError
        When the ball would lie in the road.

    Breaks down when
        the vehicle pitches while braking.

    Source
        Geometry.

    Examples
    --------
    >>> round(ball_height_m(0.46, 0.10, drop_m=0.03), 2)
    0.53
    """
    height_m = receiver_height_m + ball_mount_change_m - drop_m
    if height_m <= 0:
        raise ValueError("with this drop the ball would lie in the road")
    return height_m


def bar_slope_rad(ball_height_m: float, bracket_height_m: float, *, bar_length_m: float) -> float:
    """Slope of the bar, positive when the brackets are higher than the ball.

    theta = asin((h_bracket - h_ball) / l)

    Parameters
    ----------
    ball_height_m : float
        Ball centre above the road, loaded.
    bracket_height_m : float
        Bracket pins above the road.
    bar_length_m : float
        Ball to bracket pins along the bar, above 0.

    Returns
    -------
    float
        Radians.

    Raises
    ------
    ValueError
        When the bar is shorter than the difference of heights.

    Breaks down when
        the road is not level: see articulation.

    Source
        Geometry.

    Examples
    --------
    >>> round(math.degrees(bar_slope_rad(0.50, 0.50 + 3 * 0.0254, bar_length_m=1.5)), 3)
    2.912
    """
    rise_m = bracket_height_m - ball_height_m
    if bar_length_m <= 0 or abs(rise_m) >= bar_length_m:
        raise ValueError(
            f"a bar {bar_length_m:.2f} m long cannot bridge a difference in height of {abs(rise_m):.2f} m"
        )
    return math.asin(rise_m / bar_length_m)


def most_level_mount(
    receiver_height_m: float, bracket_height_m: float, *, bar_length_m: float, steps_m: tuple[float, ...]
) -> Mount:
    """The ball mount step, either way up, that makes the bar most nearly level.

    the step s in ±steps with the smallest |h_bracket - (h_receiver + s)|

    Parameters
    ----------
    receiver_height_m : float
        Middle of the receiver above the road, loaded.
    bracket_height_m : float
        Bracket pins above the road.
    bar_length_m : float
        Ball to bracket pins along the bar.
    steps_m : tuple of float
        Rises sold, 0 or more; each may be turned over into a drop.

    Returns
    -------
    Mount
        Step (positive a rise) and the slope left.

    Raises
    ------
    ValueError
        When there are no steps, or no step lets the bar reach.

    Breaks down when
        the ball mount's maker forbids turning it over, or its ball hole then sits too low.

    Source
        Geometry. Common practice, no source: the bar as near level as can be had; a ball mount may be turned
        over to gain height.

    Examples
    --------
    >>> mount = most_level_mount(0.46, 0.56, bar_length_m=1.5, steps_m=(0.0, 0.0508, 0.1016, 0.1524))
    >>> mount.change_m
    0.1016
    """
    if not steps_m:
        raise ValueError("no ball mount steps to choose from")
    changes = sorted(
        {sign * step for step in steps_m for sign in (1.0, -1.0)}, key=lambda change: (abs(change), -change)
    )
    best = min(changes, key=lambda change: abs(bracket_height_m - receiver_height_m - change))
    return Mount(best, bar_slope_rad(receiver_height_m + best, bracket_height_m, bar_length_m=bar_length_m))


def ball_force_of_slope_n(bar_pull_n: float, slope_rad: float) -> float:
    """Vertical force of a sloped bar on the ball, positive pressing down.

    V = -F·tan(theta), F the pull along the road, theta positive with the brackets higher

    Parameters
    ----------
    bar_pull_n : float
        Force along the road, positive when the bar is stretched, negative when the towed vehicle pushes.
    slope_rad : float
        Slope of the bar, positive when the brackets are higher than the ball.

    Returns
    -------
    float
        Newtons, positive down on the ball. Brackets higher: a pull lifts the ball, a push (braking) presses
        it down.

    Breaks down when
        the bar is not free to pivot at both ends.

    Source
        A bar hinged at both ends carries force along its own line only.

    Examples
    --------
    >>> round(ball_force_of_slope_n(-8335.7, math.radians(5.831)))
    851
    """
    return -bar_pull_n * math.tan(slope_rad)


def axle_change_of_ball_force_n(
    vertical_n: float, *, wheelbase_m: float, overhang_m: float
) -> tuple[float, float]:
    """What a vertical force on the ball does to the tow vehicle's axles.

    dN_front = -V·o/L, dN_rear = V·(1 + o/L)

    Parameters
    ----------
    vertical_n : float
        Force on the ball, positive downwards.
    wheelbase_m : float
        Distance between the axles, above 0.
    overhang_m : float
        Ball behind the rear axle.

    Returns
    -------
    tuple of two floats
        Change of the front and rear axle forces in newtons.

    Raises
    ------
    ValueError
        When the wheelbase is not above zero.

    Breaks down when
        an axle lifts off.

    Source
        Equilibrium of moments.

    Examples
    --------
    >>> front_n, rear_n = axle_change_of_ball_force_n(851, wheelbase_m=3.68, overhang_m=1.32)
    >>> round(front_n), round(rear_n)
    (-305, 1156)
    """
    if wheelbase_m <= 0:
        raise ValueError("the wheelbase must be above zero")
    return -vertical_n * overhang_m / wheelbase_m, vertical_n * (1.0 + overhang_m / wheelbase_m)


def half_angle_rad(spread_m: float, *, arm_length_m: float) -> float:
    """Half the angle between the arms of an A-frame bar.

    beta = asin(s / (2·a))

    Parameters
    ----------
    spread_m : float
        Bracket pin to bracket pin, above 0.
    arm_length_m : float
        Length of one arm, coupler to bracket pin.

    Returns
    -------
    float
        Radians.

    Raises
    ------
    ValueError
        When the spread is not above zero or the arms are too short for it.

    Breaks down when
        the arms are bent.

    Source
        Geometry.

    Examples
    --------
    >>> round(math.degrees(half_angle_rad(0.776, arm_length_m=1.5)), 1)
    15.0
    """
    if spread_m <= 0:
        raise ValueError("the bracket spread must be above zero")
    if spread_m >= 2.0 * arm_length_m:
        raise ValueError(f"arms {arm_length_m:.2f} m long cannot reach brackets {spread_m:.2f} m apart")
    return math.asin(spread_m / (2.0 * arm_length_m))


def spread_fits(spread_m: float, *, narrowest_m: float | None, widest_m: float | None) -> bool | None:
    """Whether the brackets stand within the spread the bar's maker permits.

    s_min ≤ s ≤ s_max

    Parameters
    ----------
    spread_m : float
        Bracket pin to bracket pin.
    narrowest_m, widest_m : float or None
        What the maker permits; None when not known.

    Returns
    -------
    bool or None
        None when the answer hangs on a limit that is not known; False when a known one is passed.

    Breaks down when
        the brackets are not square to the bar.

    Source
        Definition; the limits come from the bar's maker.

    Examples
    --------
    >>> spread_fits(0.50, narrowest_m=0.61, widest_m=None)
    False
    """
    if (narrowest_m is not None and spread_m < narrowest_m) or (widest_m is not None and spread_m > widest_m):
        return False
    return None if narrowest_m is None or widest_m is None else True


def bracket_forces_n(pull_n: float, *, half_angle_rad: float) -> BracketForces:
    """Force of one arm of an A-frame bar on its bracket, for a straight pull.

    along: P/2; sideways: P·tan(beta)/2

    Parameters
    ----------
    pull_n : float
        Pull along the bar's middle line; negative for a push, which spreads the brackets apart.
    half_angle_rad : float
        Half the angle between the arms, 0 to below 90°.

    Returns
    -------
    BracketForces
        Forwards, and towards the middle; the other bracket's mirror it.

    Raises
    ------
    ValueError
        When the half angle is not from 0 to below 90°.

    Breaks down when
        there is a side force at the ball: take the arm force of arm_forces_n times cosine and sine.

    Source
        Equilibrium of two pinned arms.

    Examples
    --------
    >>> forces = bracket_forces_n(1000.0, half_angle_rad=math.radians(25))
    >>> round(forces.along_n, 1), round(forces.inwards_n, 1)
    (500.0, 233.2)
    """
    if not 0.0 <= half_angle_rad < math.pi / 2:
        raise ValueError("the half angle of the bar must lie from 0 to below 90 degrees")
    return BracketForces(pull_n / 2.0, pull_n * math.tan(half_angle_rad) / 2.0)


def arm_forces_n(pull_n: float, side_n: float, *, half_angle_rad: float) -> ArmForces:
    """Forces in both arms for a pull along the bar and a side force at the ball.

    F = P/(2·cos beta) ∓ S/(2·sin beta)

    Parameters
    ----------
    pull_n : float
        Force on the coupler forwards, along the bar's middle line.
    side_n : float
        Force on the coupler to the left.
    half_angle_rad : float
        Half the angle between the arms, above 0 and below 90°.

    Returns
    -------
    ArmForces
        Left and right arm, pull positive.

    Raises
    ------
    ValueError
        When the half angle is not between 0 and 90°.

    Breaks down when
        brackets or arms bend: the side force then bends them instead.

    Source
        Equilibrium of two pinned arms. Narrow brackets make sin beta small, and the side force's share large.

    Examples
    --------
    >>> forces = arm_forces_n(1000.0, 0.0, half_angle_rad=math.radians(25))
    >>> round(forces.left_n, 1)
    551.7
    """
    if not 0.0 < half_angle_rad < math.pi / 2:
        raise ValueError("the half angle of the bar must lie between 0 and 90 degrees")
    straight = pull_n / (2.0 * math.cos(half_angle_rad))
    sideways = side_n / (2.0 * math.sin(half_angle_rad))
    return ArmForces(straight - sideways, straight + sideways)
