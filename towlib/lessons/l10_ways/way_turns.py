"""Lesson 10: how much road each way of towing needs in a steady turn, seen from above. All sizes are
invented.
"""

import math
from typing import NamedTuple

from towlib.draw.figures import Picture
from towlib.physics.turning.ways_turning import Body, Circle, Follower, Swept, steady_circle, swept_ring
from towlib.plan.other_ways import METHODS
from towlib.units import show

TOW_WIDTH_M, TOW_NOSE_M, TOWED_WIDTH_M, TOWED_NOSE_M, TOWED_TAIL_M = 2.00, 0.90, 1.80, 0.45, 0.55
BRACKET_AHEAD_M, DOLLY_WIDTH_M, TRAILER_WIDTH_M, TRAILER_HALF_M, DOLLY_BALL_M = 0.48, 2.20, 2.40, 2.45, 1.90
ARC_POINTS = 60
SHARP_RAD = math.radians(
    60.0
)  # MIL-T-62059B asks couplings for at least 60°; beyond it bumpers, chains and lamp cables are near


class Turn(NamedTuple):
    """One way of towing on the circle; circle None when it folds up."""

    followers: tuple[Follower, ...]
    bodies: tuple[Body, ...]
    circle: Circle | None
    swept: Swept | None
    why: str


class Turns(NamedTuple):
    """Everything the panel shows."""

    front_radius_m: float
    overhang_m: float
    turns: tuple[Turn, ...]  # in the order of METHODS


def turns(
    *,
    front_radius_m: float,
    wheelbase_m: float,
    overhang_m: float,
    bar_length_m: float,
    towed_wheelbase_m: float,
    trailer_length_m: float,
) -> Turns:
    """The three ways on a circle of the tow vehicle's front axle."""
    tow = Body(wheelbase_m + TOW_NOSE_M, overhang_m - 0.1, TOW_WIDTH_M)
    towed = Body(towed_wheelbase_m + TOWED_NOSE_M, TOWED_TAIL_M, TOWED_WIDTH_M)
    ways = (
        ((Follower(bar_length_m + BRACKET_AHEAD_M + towed_wheelbase_m),), (tow, towed)),
        ((Follower(DOLLY_BALL_M), Follower(towed_wheelbase_m)), (tow, Body(0.6, 0.4, DOLLY_WIDTH_M), towed)),
        ((Follower(trailer_length_m),), (tow, Body(TRAILER_HALF_M, TRAILER_HALF_M, TRAILER_WIDTH_M))),
    )
    return Turns(
        front_radius_m,
        overhang_m,
        tuple(
            _turn(followers, bodies, front_radius_m, wheelbase_m, overhang_m) for followers, bodies in ways
        ),
    )


def _turn(
    followers: tuple[Follower, ...],
    bodies: tuple[Body, ...],
    front_radius_m: float,
    wheelbase_m: float,
    overhang_m: float,
) -> Turn:
    try:
        circle = steady_circle(front_radius_m, followers, wheelbase_m=wheelbase_m, overhang_m=overhang_m)
        return Turn(followers, bodies, circle, swept_ring(circle, bodies), "")
    except ValueError as error:
        return Turn(followers, bodies, None, None, str(error))


def turns_words(result: Turns, system: str) -> str:
    """The sentence under the panel."""
    parts = [
        (
            f"{method} {show(turn.swept.width_m, 'length', system)} of road, cutting in"
            f" {show(turn.circle.axles_m[0] - turn.circle.axles_m[-1], 'length', system)}"
            if turn.swept
            else f"{method}: too tight, it folds up"
        )
        for method, turn in zip(METHODS, result.turns, strict=True)
    ]
    sharp = [
        method
        for method, turn in zip(METHODS, result.turns, strict=True)
        if turn.circle and max(turn.circle.angles_rad) > SHARP_RAD
    ]
    warned = f" Sharper than 60° at a hinge: {' and '.join(sharp)}." if sharp else ""
    return (
        f"Front axle on {show(result.front_radius_m, 'length', system)}: {'; '.join(parts)} (last axle inside"
        f" the tow vehicle's rear axle).{warned}"
    )


class TurnsDrawing:
    """Three views from above to one scale, turning left, with the ring of road each way needs between the
    dashes.
    """

    size_in, frames = (10.8, 4.0), 3
    LEFT_M, RIGHT_M, LOW_M, HIGH_M = (
        -9.2,
        4.8,
        -10.6,
        7.0,
    )  # the frame, counted from the tow vehicle's rear axle

    def build(self, picture: Picture, system: str) -> None:
        """Frames and named parts; the tow vehicle's rear axle always stands in the same place."""
        for i, method in enumerate(METHODS):
            picture.frame(
                i,
                title=method.capitalize(),
                x=(self.LEFT_M, self.RIGHT_M),
                y=(self.LOW_M, self.HIGH_M),
                equal=True,
                bare=True,
            )
            for name in ("inner", "outer"):
                picture.reference(f"{name} {i}", i)
            picture.shape(f"tow {i}", i)
            for k in (0, 1):
                picture.line(f"link {i} {k}", i, 4)
                picture.shape(f"body {i} {k}", i, k)
            picture.point(f"ball {i}", i, 0)
            picture.words(f"ring {i}", i, bold=True)
            picture.words(f"angles {i}", i)

    def update(self, picture: Picture, result: Turns, system: str) -> None:
        """Move the parts to a result; metres throughout, nothing on the axes."""
        left = self.LEFT_M + 0.2
        for i, turn in enumerate(result.turns):
            if turn.circle is None:
                for name in (
                    "inner {}",
                    "outer {}",
                    "tow {}",
                    "ball {}",
                    "link {} 0",
                    "link {} 1",
                    "body {} 0",
                    "body {} 1",
                ):
                    picture.move(name.format(i), [], [])
                picture.say(f"ring {i}", "too tight: folds up", left, self.HIGH_M - 0.7)
                picture.say(f"angles {i}", "", 0.0, 0.0)
                continue
            self._one(picture, i, turn, result)
            picture.say(
                f"ring {i}", f"{show(turn.swept.width_m, 'length', system)} of road", left, self.HIGH_M - 0.7
            )
            hinges = " and ".join(f"{math.degrees(angle):.0f}°" for angle in turn.circle.angles_rad)
            sharp = max(turn.circle.angles_rad) > SHARP_RAD
            picture.say(
                f"angles {i}", f"angle {hinges}{', very sharp' if sharp else ''}", left, self.LOW_M + 0.6
            )

    @staticmethod
    def _one(picture: Picture, i: int, turn: Turn, result: Turns) -> None:
        """Vehicles, links and the ring; turning left about a middle that lies to the left of the tow
        vehicle's rear axle.
        """
        circle = turn.circle
        middle = -circle.axles_m[0]
        picture.move(f"tow {i}", *_outline(circle.axles_m[0], 0.0, turn.bodies[0], middle))
        at, behind_m = 0.0, result.overhang_m
        for k, follower in enumerate(turn.followers):
            hinge = at - math.atan2(behind_m, circle.axles_m[k])
            radius, axle = (
                circle.axles_m[k + 1],
                hinge - math.atan2(follower.hinge_to_axle_m, circle.axles_m[k + 1]),
            )
            ball = _polar(circle.hinges_m[k], hinge, middle)
            picture.move(f"link {i} {k}", *zip(ball, _polar(radius, axle, middle), strict=True))
            picture.move(f"body {i} {k}", *_outline(radius, axle, turn.bodies[k + 1], middle))
            if k == 0:
                picture.move(f"ball {i}", *([part] for part in ball))
            at, behind_m = axle, follower.next_hinge_behind_axle_m
        if len(turn.followers) == 1:
            picture.move(f"link {i} 1", [], [])
            picture.move(f"body {i} 1", [], [])
        angles = [-1.3 + 2.1 * n / ARC_POINTS for n in range(ARC_POINTS + 1)]
        for name, radius in (("inner", turn.swept.inner_m), ("outer", turn.swept.outer_m)):
            arc = [_polar(radius, angle, middle) for angle in angles]
            inside = [
                (x, y)
                for x, y in arc
                if TurnsDrawing.LEFT_M < x < TurnsDrawing.RIGHT_M
                and TurnsDrawing.LOW_M + 1.3 < y < TurnsDrawing.HIGH_M - 1.3
            ]
            picture.move(f"{name} {i}", *zip(*inside, strict=True))


def _polar(radius: float, angle: float, middle: float) -> tuple[float, float]:
    return middle + radius * math.cos(angle), radius * math.sin(angle)


def _outline(radius: float, angle: float, body: Body, middle: float) -> tuple[list[float], list[float]]:
    """A body on its axle: ahead is along the tangent, driving anticlockwise."""
    half = body.width_m / 2.0
    corners = [
        (radius + half, body.ahead_m),
        (radius - half, body.ahead_m),
        (radius - half, -body.behind_m),
        (radius + half, -body.behind_m),
    ]
    return (
        [middle + x * math.cos(angle) - y * math.sin(angle) for x, y in corners],
        [x * math.sin(angle) + y * math.cos(angle) for x, y in corners],
    )
