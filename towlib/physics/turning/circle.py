"""Two vehicles in a steady turn, seen from above: radii of all axles, angle between them, road width, free
front wheels.
"""

from typing import NamedTuple

from towlib.physics.basics import cases as math
from towlib.physics.turning.ways_turning import Follower
from towlib.physics.turning.ways_turning import steady_circle as circle_of_followers


class TurningPair(NamedTuple):
    """Lengths seen from above; the bar is rigid with the towed vehicle, so the ball is the only joint."""

    wheelbase_m: float
    overhang_m: float  # ball behind the tow vehicle's rear axle
    ball_to_axle_m: float  # ball to the towed REAR axle
    towed_wheelbase_m: float


class Body(NamedTuple):
    """A body as a rectangle about its rear axle."""

    width_m: float
    nose_m: float  # ahead of the rear axle
    tail_m: float  # behind the rear axle


class Circle(NamedTuple):
    """A steady turn: radii about its centre, and the angle between the vehicles."""

    front_m: float
    rear_m: float
    ball_m: float
    towed_front_m: float
    towed_rear_m: float
    articulation_rad: float
    cut_in_m: float  # towed rear axle inside the tow vehicle's front axle


class Swept(NamedTuple):
    """The ring of road a steady turn covers."""

    outer_m: float
    inner_m: float
    width_m: float


class SmallestCircle(NamedTuple):
    """The tightest steady turn and what sets it: articulation, steering lock, or the geometry."""

    front_m: float
    set_by: str


def front_radius_m(kerb_diameter_m: float, *, wheelbase_m: float, track_m: float) -> float:
    """Radius of the middle of the front axle, from the turning circle in the manual.

    R_rear = sqrt((D/2)² - L²) - t/2, R_front = sqrt(R_rear² + L²)

    Parameters
    ----------
    kerb_diameter_m : float
        Turning circle between kerbs: the outer front wheel's, twice its radius.
    wheelbase_m : float
        Distance between the axles.
    track_m : float
        Wheel to wheel on the front axle.

    Returns
    -------
    float
        Metres.

    Raises
    ------
    ValueError
        When no vehicle of this wheelbase and track fits into the circle.

    Breaks down when
        the manual gives the circle between walls, which counts the bumper too, or the rear wheels steer.

    Source
        Geometry; SAE J695 counts the turning radius at the outside front wheel (its opening was read).

    Examples
    --------
    >>> round(front_radius_m(14.2, wheelbase_m=3.75, track_m=1.7), 3)
    6.394
    """
    rest = (kerb_diameter_m / 2.0) ** 2 - wheelbase_m**2
    rear_m = math.sqrt(rest) - track_m / 2.0 if rest > 0 else -1.0
    if rear_m <= 0:
        raise ValueError(
            f"a wheelbase of {wheelbase_m:.2f} m does not fit into a turning circle of"
            f" {kerb_diameter_m:.1f} m"
        )
    return math.hypot(rear_m, wheelbase_m)


def steady_circle(front_m: float, pair: TurningPair) -> Circle:
    """Radii of all axles and the articulation, after driving round a circle long enough.

    R_r² = R_1² - L²; R_h² = R_r² + e²; R_t² = R_h² - l²; phi = atan(e/R_r) + atan(l/R_t)

    Parameters
    ----------
    front_m : float
        Radius of the middle of the tow vehicle's front axle.
    pair : TurningPair
        Lengths of both vehicles.

    Returns
    -------
    Circle
        Radii in metres, articulation in radians.

    Raises
    ------
    ValueError
        When the circle is too small for the tow vehicle, or the towed rear axle could not follow it (a
        negative square).

    Breaks down when
        tyres slip (fast, loose ground), wheels reach their lock, or the turn is too short to become steady.

    Source
        Geometry without tyre slip: each rear axle points at the turning centre. An A-frame bar does not turn
        against the towed vehicle, so its front axle gives no second joint.

    Examples
    --------
    >>> circle = steady_circle(12.0, TurningPair(3.3, 1.3, 3.92, 2.42))
    >>> round(circle.towed_rear_m, 4), round(math.degrees(circle.articulation_rad), 3)
    (10.9286, 26.161)
    """
    _check(pair)
    if front_m <= pair.wheelbase_m:
        raise ValueError(f"a circle of {front_m:.2f} m radius is smaller than the tow vehicle's wheelbase")
    rear_m, ball_m = _rear_and_ball_m(front_m, pair)
    if ball_m <= pair.ball_to_axle_m:
        least = math.sqrt(pair.ball_to_axle_m**2 - pair.overhang_m**2 + pair.wheelbase_m**2)
        raise ValueError(
            "the towed vehicle cannot follow so small a circle: it would fold up; the front axle needs a"
            f" radius of more than {least:.2f} m"
        )
    turn = circle_of_followers(
        front_m, [Follower(pair.ball_to_axle_m)], wheelbase_m=pair.wheelbase_m, overhang_m=pair.overhang_m
    )
    towed_m = turn.axles_m[1]
    return Circle(
        front_m,
        rear_m,
        ball_m,
        math.hypot(towed_m, pair.towed_wheelbase_m),
        towed_m,
        turn.angles_rad[0],
        front_m - towed_m,
    )


def _rear_and_ball_m(front_m: float, pair: TurningPair) -> tuple[float, float]:
    rear_m = math.sqrt(front_m**2 - pair.wheelbase_m**2)
    return rear_m, math.hypot(rear_m, pair.overhang_m)


def folds_up(front_m: float, pair: TurningPair) -> bool:
    """Whether the towed vehicle cannot follow the tow vehicle round a circle, which has a place for that.

    R_h² = R_1² - L² + e² <= l²

    Parameters
    ----------
    front_m : float
        Radius of the middle of the tow vehicle's front axle.
    pair : TurningPair
        Lengths of both vehicles.

    Returns
    -------
    bool
        True when the ball's circle is smaller than the length from the ball to the towed rear axle; False as
        well where the tow vehicle itself does not fit into the circle.

    Breaks down when
        as steady_circle.

    Source
        As steady_circle.

    Examples
    --------
    >>> [folds_up(radius, TurningPair(3.3, 1.3, 3.92, 2.42)) for radius in (3.0, 4.5, 12.0)]
    [False, True, False]
    """
    return front_m > pair.wheelbase_m and _rear_and_ball_m(front_m, pair)[1] <= pair.ball_to_axle_m


def _check(pair: TurningPair) -> None:
    if (
        min(pair.wheelbase_m, pair.towed_wheelbase_m) <= 0
        or pair.overhang_m < 0
        or pair.ball_to_axle_m < pair.towed_wheelbase_m
    ):
        raise ValueError(
            "wheelbases must be above zero, the ball not ahead of the rear axle, and the towed front axle"
            " behind the ball"
        )


def towed_steer_rad(towed_rear_m: float, towed_wheelbase_m: float, *, track_m: float = 0.0) -> float:
    """How far the free front wheels of the towed vehicle turn: those of the inner wheel, which turns
    furthest.

    tan(delta) = L_t / (R_t - t/2)

    Parameters
    ----------
    towed_rear_m : float
        Radius of the towed rear axle's middle.
    towed_wheelbase_m : float
        Distance between its axles.
    track_m : float
        Wheel to wheel on its front axle; 0 gives the angle at the axle's middle.

    Returns
    -------
    float
        Radians, 0 to below 180°; from 90° on the turning centre lies between the wheels.

    Raises
    ------
    ValueError
        When a radius or the wheelbase is not above zero.

    Breaks down when
        friction in the steering holds the wheels back, or its linkage turns the inner wheel less than this.

    Source
        Geometry: a free wheel with castor rolls along its own direction of motion.

    Examples
    --------
    >>> round(math.degrees(towed_steer_rad(10.9286, 2.42)), 3)
    12.486
    """
    if towed_rear_m <= 0 or towed_wheelbase_m <= 0:
        raise ValueError("the radius of the towed rear axle and its wheelbase must be above zero")
    return math.atan2(towed_wheelbase_m, towed_rear_m - track_m / 2.0)


def smallest_circle(
    pair: TurningPair, *, articulation_limit_rad: float, steer_lock_rad: float, towed_track_m: float
) -> SmallestCircle:
    """The tightest steady turn within the articulation allowed and within the lock of the towed front wheels.

    R_r = (l + e·cos phi)/sin phi; R_t = L_t/tan(delta) + t/2; the larger front radius counts

    Parameters
    ----------
    pair : TurningPair
        Lengths of both vehicles.
    articulation_limit_rad : float
        Sharpest angle that bar, chains and bodywork allow, above 0, at most 90°.
    steer_lock_rad : float
        How far the towed inner front wheel can turn, above 0, below 90°.
    towed_track_m : float
        Wheel to wheel on the towed front axle.

    Returns
    -------
    SmallestCircle
        Radius of the tow vehicle's front axle, and "articulation", "steering lock" or "geometry".

    Raises
    ------
    ValueError
        When a limit is out of its range.

    Breaks down when
        the turn is short: then the pair gets through a tighter one, see path.

    Source
        Geometry, the steady circle solved for its limits.

    Examples
    --------
    >>> smallest = smallest_circle(
    ...     TurningPair(3.75, 1.32, 4.34, 2.36),
    ...     articulation_limit_rad=math.radians(60),
    ...     steer_lock_rad=math.radians(33),
    ...     towed_track_m=1.45,
    ... )
    >>> round(smallest.front_m, 2), smallest.set_by
    (7.08, 'steering lock')
    """
    _check(pair)
    if not 0.0 < articulation_limit_rad <= math.pi / 2:
        raise ValueError("the articulation allowed must lie above 0 and at most at 90 degrees")
    if not 0.0 < steer_lock_rad < math.pi / 2:
        raise ValueError("the steering lock must lie between 0 and 90 degrees")
    l_m, e_m = pair.ball_to_axle_m, pair.overhang_m
    by_angle = (l_m + e_m * math.cos(articulation_limit_rad)) / math.sin(articulation_limit_rad)
    towed_m = pair.towed_wheelbase_m / math.tan(steer_lock_rad) + towed_track_m / 2.0
    by_lock = math.sqrt(max(0.0, towed_m**2 + l_m**2 - e_m**2))
    folded = math.sqrt(max(0.0, l_m**2 - e_m**2))
    rear_m, set_by = max((folded, "geometry"), (by_angle, "articulation"), (by_lock, "steering lock"))
    return SmallestCircle(math.hypot(rear_m, pair.wheelbase_m), set_by)


def swept_ring(circle: Circle, tow: Body, *, towed: Body) -> Swept:
    """The ring of road that both bodies cover in a steady turn.

    outer = max sqrt((R + w/2)² + reach²) over both, reach the longer of nose and tail; inner = min (R - w/2),
    0 when a body covers the centre

    Parameters
    ----------
    circle : Circle
        From steady_circle.
    tow : Body
        The tow vehicle's body about its rear axle.
    towed : Body
        The towed vehicle's body about its rear axle.

    Returns
    -------
    Swept
        Outer and inner radius and their difference, metres.

    Breaks down when
        mirrors or a load stand out further.

    Source
        Geometry of two rectangles about a centre.

    Examples
    --------
    >>> ring = swept_ring(
    ...     steady_circle(12.0, TurningPair(3.3, 1.3, 3.92, 2.42)),
    ...     Body(2.0, 4.2, 1.1),
    ...     towed=Body(1.6, 2.8, 0.5),
    ... )
    >>> round(ring.outer_m, 3), round(ring.inner_m, 3)
    (13.222, 10.129)
    """
    bodies = ((circle.rear_m, tow), (circle.towed_rear_m, towed))
    outer = max(
        math.hypot(radius + body.width_m / 2.0, max(body.nose_m, body.tail_m)) for radius, body in bodies
    )
    inner = max(0.0, min(radius - body.width_m / 2.0 for radius, body in bodies))
    return Swept(outer, inner, outer - inner)
