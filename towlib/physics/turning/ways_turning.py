"""A tow vehicle and what follows it on a steady circle, with one hinge (bar, trailer) or two (dolly)."""

from collections.abc import Sequence
from typing import NamedTuple

from towlib.physics.basics import cases as math


class Follower(NamedTuple):
    """One thing that is towed: from the hinge ahead of it to its axle, and from its axle to the next
    hinge.
    """

    hinge_to_axle_m: float
    next_hinge_behind_axle_m: float = 0.0


class Body(NamedTuple):
    """What an axle carries, seen from above."""

    ahead_m: float  # front end ahead of the axle
    behind_m: float  # rear end behind the axle
    width_m: float


class Circle(NamedTuple):
    """Radii of axles and hinges about the middle of the turn, and the angles at the hinges."""

    axles_m: tuple[float, ...]  # tow vehicle's rear axle first
    hinges_m: tuple[float, ...]  # the ball first
    angles_rad: tuple[float, ...]


class Swept(NamedTuple):
    """The ring of road that is needed."""

    inner_m: float
    outer_m: float

    @property
    def width_m(self) -> float:
        """Width of the ring."""
        return self.outer_m - self.inner_m


def steady_circle(
    front_radius_m: float, followers: Sequence[Follower], *, wheelbase_m: float, overhang_m: float
) -> Circle:
    """Radii on which axles and hinges run when the front wheels keep to a circle.

    R_r² = R_1² - L²; at a hinge R_h² = R² + e²; next axle R² = R_h² - l²; angle = atan(e/R) + atan(l/R_next)

    Parameters
    ----------
    front_radius_m : float
        Middle of the tow vehicle's front axle about the middle of the turn.
    followers : sequence of Follower
        One for a rigid bar or a trailer (ball to rear axle, ball to the middle of its axles), two for a dolly
        that swivels (ball to its axle, then its axle to the vehicle's rear axle).
    wheelbase_m : float
        Tow vehicle's wheelbase.
    overhang_m : float
        Ball behind the rear axle.

    Returns
    -------
    Circle
        Radii of the axles and hinges and the angle at each hinge.

    Raises
    ------
    ValueError
        When no such steady turn exists.

    Breaks down when
        the turn is short: the steady circle is reached only after some three lengths of the follower; and
        when tyres slip sideways, at speed or where two fixed axles scrub.

    Source
        Right triangles between the middle of the turn, axle and hinge; numbers recomputed by an independent
        script.

    Examples
    --------
    >>> turn = steady_circle(12.0, [Follower(3.92)], wheelbase_m=3.3, overhang_m=1.3)
    >>> [round(r, 4) for r in (*turn.axles_m, *turn.hinges_m)], round(math.degrees(turn.angles_rad[0]), 3)
    ([11.5373, 10.9286, 11.6103], 26.161)
    """
    axles, hinges, angles = [_leg(front_radius_m, wheelbase_m)], [], []
    behind_m = overhang_m
    for follower in followers:
        hinge = math.hypot(axles[-1], behind_m)
        axle = _leg(hinge, follower.hinge_to_axle_m)
        angles.append(math.atan2(behind_m, axles[-1]) + math.atan2(follower.hinge_to_axle_m, axle))
        hinges.append(hinge)
        axles.append(axle)
        behind_m = follower.next_hinge_behind_axle_m
    return Circle(tuple(axles), tuple(hinges), tuple(angles))


def _leg(long_m: float, other_m: float) -> float:
    if long_m <= other_m:
        raise ValueError(
            "this circle is too tight: something behind would have to turn on the spot or fold up"
        )
    return math.sqrt(long_m * long_m - other_m * other_m)


def swept_ring(circle: Circle, bodies: Sequence[Body]) -> Swept:
    """The ring that the bodies need on a steady circle.

    inner = min(R - w/2); outer = max over the outer corners of sqrt((R + w/2)² + x²)

    Parameters
    ----------
    circle : Circle
        From steady_circle.
    bodies : sequence of Body
        One for each axle, tow vehicle first.

    Returns
    -------
    Swept
        Inner and outer radius.

    Raises
    ------
    ValueError
        When there is not one body for each axle, or the circle is so tight that a body covers its middle.

    Breaks down when
        entering and leaving the turn: the tail swings out more and the cut-in is less.

    Source
        Geometry.

    Examples
    --------
    >>> turn = steady_circle(12.0, [Follower(3.92)], wheelbase_m=3.3, overhang_m=1.3)
    >>> round(swept_ring(turn, [Body(4.2, 1.1, 2.0), Body(3.0, 0.5, 1.8)]).width_m, 2)
    3.19
    """
    if len(bodies) != len(circle.axles_m):
        raise ValueError("each axle needs one body")
    pairs = list(zip(circle.axles_m, bodies, strict=True))
    inner = min(radius - body.width_m / 2.0 for radius, body in pairs)
    if inner <= 0:
        raise ValueError("this circle is too tight: a vehicle would cover the middle of the turn")
    return Swept(
        inner,
        max(
            math.hypot(radius + body.width_m / 2.0, max(body.ahead_m, body.behind_m))
            for radius, body in pairs
        ),
    )
