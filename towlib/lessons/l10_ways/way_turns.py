"""Lesson 10: how much road each way of towing needs in a steady turn, seen from above."""

import math
from typing import NamedTuple

from towlib.draw.figures import Picture
from towlib.limits.turning_limits import turning_pair
from towlib.physics.turning.ways_turning import Body, Circle, Follower, Swept, steady_circle, swept_ring
from towlib.plan.other_ways import METHODS
from towlib.rig.facts import Facts
from towlib.units import show

# a dolly seen from above has no sizes of its own but length and width: its frame ahead of and behind its axle
DOLLY_AHEAD_M, DOLLY_BEHIND_M = 0.6, 0.4
ARC_POINTS = 90
STEP_M = 2.0  # by which the frame grows
MARGIN_M = 1.6  # above and below the vehicles, for words


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
    sharpest_rad: float  # beyond which bumpers, chains and lamp cables are near
    turns: tuple[Turn, ...]  # in the order of METHODS


def turns(facts: Facts, *, front_radius_m: float) -> Turns:
    """The three ways on a circle of the tow vehicle's front axle."""
    pair = turning_pair(facts)
    tow = Body(
        pair.wheelbase_m + facts.need("tow_vehicle.front_overhang"),
        facts.need("tow_vehicle.rear_overhang"),
        facts.need("tow_vehicle.body_width"),
    )
    towed = Body(
        pair.towed_wheelbase_m + facts.need("towed_vehicle.front_overhang"),
        facts.need("towed_vehicle.rear_overhang"),
        facts.need("towed_vehicle.body_width"),
    )
    half_m = facts.need("other_ways.trailer_deck_length") / 2.0
    trailer = Body(half_m, half_m, facts.need("other_ways.trailer_width"))
    dolly = Body(DOLLY_AHEAD_M, DOLLY_BEHIND_M, facts.need("other_ways.dolly_width"))
    ways = (
        ((Follower(pair.ball_to_axle_m),), (tow, towed)),
        (
            (Follower(facts.need("other_ways.dolly_length")), Follower(pair.towed_wheelbase_m)),
            (tow, dolly, towed),
        ),
        ((Follower(facts.need("other_ways.trailer_length")),), (tow, trailer)),
    )
    return Turns(
        front_radius_m,
        pair.overhang_m,
        facts.need("safety_chains.greatest_articulation"),
        tuple(
            _turn(followers, bodies, front_radius_m, pair.wheelbase_m, pair.overhang_m)
            for followers, bodies in ways
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
            if turn.swept and turn.circle
            else f"{method}: too tight, it folds up"
        )
        for method, turn in zip(METHODS, result.turns, strict=True)
    ]
    sharp = [
        method
        for method, turn in zip(METHODS, result.turns, strict=True)
        if turn.circle and max(turn.circle.angles_rad) > result.sharpest_rad
    ]
    limit = f"{math.degrees(result.sharpest_rad):.0f}°"
    warned = f" Sharper than {limit} at a hinge: {' and '.join(sharp)}." if sharp else ""
    return (
        f"Front axle on {show(result.front_radius_m, 'length', system)}: {'; '.join(parts)} (last axle inside"
        f" the tow vehicle's rear axle).{warned}"
    )


def turns_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the turning panel."""
    wide = turns(facts, front_radius_m=WIDE_M)
    tight = turns(facts, front_radius_m=TIGHT_M)
    widths, cuts = _widths(wide, system), [_cut_m(turn) for turn in wide.turns]
    known = [cut for cut in cuts if cut is not None]
    least = METHODS[cuts.index(min(known))] if known else "none"
    return (
        f"Road needed on a circle of {show(WIDE_M, 'length', system)}: {widths}; on one of"
        f" {show(TIGHT_M, 'length', system)}: {_widths(tight, system)}. The tighter the turn, the more"
        f" everything behind cuts in; the last axle of the {least} does so least. **A hinge in the middle"
        " makes two short pieces out of a long one, and short ones cut in less.** The price of a second"
        " hinge: nobody backs that up."
    )


WIDE_M, TIGHT_M = 12.0, 8.0


def _widths(result: Turns, system: str) -> str:
    return ", ".join(
        (f"{method} {show(turn.swept.width_m, 'length', system)}" if turn.swept else f"{method} folds up")
        for method, turn in zip(METHODS, result.turns, strict=True)
    )


def _cut_m(turn: Turn) -> float | None:
    """How far the last axle runs inside the tow vehicle's rear axle."""
    return turn.circle.axles_m[0] - turn.circle.axles_m[-1] if turn.circle else None


class TurnsDrawing:
    """Three views from above to one scale, turning left, with the ring of road each way needs between the
    dashes; the middle of the frame's sides is counted from the tow vehicle's rear axle.
    """

    size_in, frames = (10.4, 4.0), 3
    narrow_in = (4.9, 11.0)

    def build(self, picture: Picture, system: str) -> None:
        """Named parts; the tow vehicle's rear axle always stands in the same place."""
        for i in range(len(METHODS)):
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
        outlines = [_outlines(turn, result) for turn in result.turns]
        frame = _around(result)
        left, top, low = frame[0] + 0.2, frame[3] - 0.45 * MARGIN_M, frame[2] + 0.4 * MARGIN_M
        for i, (turn, drawn) in enumerate(zip(result.turns, outlines, strict=True)):
            picture.frame(i, title=METHODS[i].capitalize(), x=frame[:2], y=frame[2:], equal=True, bare=True)
            for name in NAMES:
                picture.move(name.format(i), *drawn.get(name, ([], [])))
            if turn.circle is None or turn.swept is None:
                picture.say(f"ring {i}", "too tight: folds up", left, top)
                picture.say(f"angles {i}", "", 0.0, 0.0)
                for name in ("inner", "outer"):
                    picture.move(f"{name} {i}", [], [])
                continue
            for name, radius in (("inner", turn.swept.inner_m), ("outer", turn.swept.outer_m)):
                picture.move(f"{name} {i}", *_arc(radius, turn.circle.axles_m[0], frame))
            picture.say(f"ring {i}", f"{show(turn.swept.width_m, 'length', system)} of road", left, top)
            hinges = " and ".join(f"{math.degrees(angle):.0f}°" for angle in turn.circle.angles_rad)
            sharp = max(turn.circle.angles_rad) > result.sharpest_rad
            picture.say(f"angles {i}", f"angle {hinges}{', very sharp' if sharp else ''}", left, low)


NAMES = ("tow {}", "ball {}", "link {} 0", "link {} 1", "body {} 0", "body {} 1")
Drawn = dict[str, tuple[list[float], list[float]]]


def _outlines(turn: Turn, result: Turns) -> Drawn:
    """Vehicles and links by the names of NAMES; turning left about a middle that lies to the left of the tow
    vehicle's rear axle.
    """
    circle = turn.circle
    if circle is None:
        return {}
    middle = -circle.axles_m[0]
    drawn = {"tow {}": _outline(circle.axles_m[0], 0.0, turn.bodies[0], middle)}
    at, behind_m = 0.0, result.overhang_m
    for k, follower in enumerate(turn.followers):
        hinge = at - math.atan2(behind_m, circle.axles_m[k])
        radius = circle.axles_m[k + 1]
        axle = hinge - math.atan2(follower.hinge_to_axle_m, radius)
        ball, end = _polar(circle.hinges_m[k], hinge, middle), _polar(radius, axle, middle)
        drawn[f"link {{}} {k}"] = [ball[0], end[0]], [ball[1], end[1]]
        drawn[f"body {{}} {k}"] = _outline(radius, axle, turn.bodies[k + 1], middle)
        if k == 0:
            drawn["ball {}"] = [ball[0]], [ball[1]]
        at, behind_m = axle, follower.next_hinge_behind_axle_m
    return drawn


def _around(result: Turns) -> tuple[float, float, float, float]:
    """A frame that holds the vehicles on any circle: left, right, low, high, in coarse steps."""
    reach = max(
        result.overhang_m + sum(each.hinge_to_axle_m for each in turn.followers) + turn.bodies[-1].behind_m
        for turn in result.turns
    )
    tow = result.turns[0].bodies[0]

    def away(value: float) -> float:
        return STEP_M * math.ceil(value / STEP_M)

    return (
        -away(reach),
        away(0.5 * tow.width_m + 1.6),
        -away(reach + MARGIN_M),
        away(tow.ahead_m + MARGIN_M),
    )


def _arc(
    radius: float, middle_m: float, frame: tuple[float, float, float, float]
) -> tuple[list[float], list[float]]:
    """The part of a ring's edge that lies inside a frame, clear of the words at its top and foot."""
    points = [_polar(radius, -1.5 + 2.6 * n / ARC_POINTS, -middle_m) for n in range(ARC_POINTS + 1)]
    left, right, low, high = frame
    inside = [
        (x, y) for x, y in points if left < x < right and low + 0.8 * MARGIN_M < y < high - 0.8 * MARGIN_M
    ]
    return [x for x, _ in inside], [y for _, y in inside]


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
