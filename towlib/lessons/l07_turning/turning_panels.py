"""Lesson 07, turning: a steady circle, a bend of the road, and backwards."""

import math
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from towlib.lessons.declare import with_values
from towlib.limits.turning_limits import steering_lock_rad, turning_pair, turning_words
from towlib.physics.turning.circle import (
    Body,
    Circle,
    SmallestCircle,
    Swept,
    TurningPair,
    smallest_circle,
    steady_circle,
    swept_ring,
    towed_steer_rad,
)
from towlib.physics.turning.path import (
    Segment,
    Track,
    articulation_after_rad,
    drive,
    eased_bend,
    steer_on_path_rad,
)
from towlib.physics.turning.reversing import bodies_touch_rad, metres_to_angle_m, point_of_no_return_rad
from towlib.physics.turning.swept import Lane, lane
from towlib.rig.facts import Facts, NotKnown
from towlib.rig.model import label_of
from towlib.units import show

WAYS = {"corner of 90°": (90.0,), "hairpin of 180°": (180.0,), "S-bend, 60° and back": (60.0, -60.0)}
STRAIGHT_M, POSES = 12.0, 150
FURTHEST_BACK_M, FOLDED_RAD = 25.0, math.radians(110.0)
YOUR_RADII_M = (6.5, 8.0, 10.0, 15.0)


class Wheel(NamedTuple):
    """A wheel from above."""

    diameter_m: float
    width_m: float


class Seen(NamedTuple):
    """The pair from above: what turns, and what is drawn of it."""

    pair: TurningPair
    tow: Body
    towed: Body
    tow_track_m: float
    towed_track_m: float
    bracket_ahead_m: float
    bracket_spread_m: float
    tow_wheel: Wheel
    towed_wheel: Wheel


def from_above(facts: Facts) -> Seen:
    """The pair in use, from above."""

    def body(vehicle: str) -> Body:
        return Body(
            facts.need(f"{vehicle}.body_width"),
            facts.need(f"{vehicle}.wheelbase") + facts.need(f"{vehicle}.front_overhang"),
            facts.need(f"{vehicle}.rear_overhang"),
        )

    def tyre(path: str) -> Wheel:
        return Wheel(2.0 * facts.need(f"{path}.rolling_radius"), facts.need(f"{path}.width"))

    return Seen(
        turning_pair(facts),
        body("tow_vehicle"),
        body("towed_vehicle"),
        facts.need("tow_vehicle.track"),
        facts.need("towed_vehicle.track"),
        facts.need("towed_vehicle.bracket_ahead_of_front_axle"),
        facts.need("towed_vehicle.bracket_spread"),
        tyre("tow_vehicle.rear_tyres"),
        tyre("towed_vehicle.tyres"),
    )


def allowed_rad(facts: Facts) -> float:
    """Sharpest angle that chains and bar allow; the bar counts once its maker's figure is known."""
    chains, bar = facts.need("safety_chains.greatest_articulation"), facts.have("tow_bar.greatest_swing")
    return chains if bar is None else min(chains, bar)


def verdict(demand_rad: float, limit_rad: float) -> str:
    """Within or over, in degrees."""
    spare = math.degrees(limit_rad - demand_rad)
    return f"within by {spare:.1f}°" if spare >= 0 else f"OVER by {-spare:.1f}°"


class Turn(NamedTuple):
    """Everything the first panel shows."""

    seen: Seen
    circle: Circle
    ring: Swept
    steer_rad: float
    steer_lock_rad: float
    allowed_rad: float  # by bar and chains
    touch_rad: float | None  # where the bodies touch
    smallest: SmallestCircle


def circle(facts: Facts, *, front_radius_m: float) -> Turn:
    """A steady turn against the limits of bar, chains, bodies and towed steering."""
    seen, lock, allowed = from_above(facts), facts.need("towed_vehicle.steering_lock"), allowed_rad(facts)
    pair = seen.pair
    turn = steady_circle(front_radius_m, pair)
    touch = bodies_touch_rad(seen.tow, seen.towed, pair=pair)
    smallest = smallest_circle(
        pair,
        articulation_limit_rad=min(allowed, touch or math.pi),
        steer_lock_rad=lock,
        towed_track_m=seen.towed_track_m,
    )
    steer = towed_steer_rad(turn.towed_rear_m, pair.towed_wheelbase_m, track_m=seen.towed_track_m)
    return Turn(
        seen, turn, swept_ring(turn, seen.tow, towed=seen.towed), steer, lock, allowed, touch, smallest
    )


def circle_words(result: Turn, system: str) -> str:
    """The sentence under the first panel."""
    turn = result.circle
    return (
        f"Angle between the vehicles {math.degrees(turn.articulation_rad):.1f}° of"
        f" {math.degrees(result.allowed_rad):.0f}°: {verdict(turn.articulation_rad, result.allowed_rad)}."
        f" Towed inner front wheel {math.degrees(result.steer_rad):.1f}° of"
        f" {math.degrees(result.steer_lock_rad):.0f}°: {verdict(result.steer_rad, result.steer_lock_rad)}."
        f" Its rear axle cuts in by {show(turn.cut_in_m, 'length', system)}; the pair needs"
        f" {show(result.ring.width_m, 'length', system)} of road. Tightest steady turn:"
        f" {show(result.smallest.front_m, 'length', system)}, set by the"
        f" {result.smallest.set_by}."
    )


def circle_rooms(result: Turn) -> dict[str, float]:
    """Angle left to bar and chains, and to the towed steering's lock."""
    return {
        "angle": result.allowed_rad - result.circle.articulation_rad,
        "steer": result.steer_lock_rad - result.steer_rad,
    }


def _limits_of_turn(facts: Facts) -> SmallestCircle:
    """The tightest steady turn; found from a wide one, which every pair can make."""
    return circle(facts, front_radius_m=30.0).smallest


def circle_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the first panel."""
    smallest = _limits_of_turn(facts)
    there = circle(facts, front_radius_m=smallest.front_m)
    path = "tow_vehicle.ball_behind_rear_axle"
    short = with_values(facts, {path: facts.need(path) / 2.0})
    wider = smallest.front_m + 2.0
    long_turn, short_turn = (circle(each, front_radius_m=wider).circle for each in (facts, short))
    return (
        f"The tightest steady turn is {show(smallest.front_m, 'length', system)}, set by the"
        f" **{smallest.set_by}**: there the angle between the vehicles is"
        f" {math.degrees(there.circle.articulation_rad):.0f}° of {math.degrees(there.allowed_rad):.0f}°, the"
        f" towed inner wheel at {math.degrees(there.steer_rad):.0f}° of"
        f" {math.degrees(there.steer_lock_rad):.0f}°. Wheels at their lock are dragged sideways, and the"
        f" bar's arms and brackets pay for it. Put the ball half as far behind the axle,"
        f" on a radius of {show(wider, 'length', system)}: the pair cuts in by"
        f" {show(short_turn.cut_in_m, 'length', system)} instead of"
        f" {show(long_turn.cut_in_m, 'length', system)}, *more*, at a smaller angle."
    )


class Way(NamedTuple):
    """Everything the second panel shows."""

    seen: Seen
    track: Track
    room: Lane
    steer_rad: np.ndarray
    steer_lock_rad: float
    allowed_rad: float
    lane_width_m: float
    place: int  # number of the pose drawn


@lru_cache(maxsize=8)
def _driven(way: str, front_radius_m: float, ease_m: float, seen: Seen) -> tuple[Track, Lane, np.ndarray]:
    pair = seen.pair
    if front_radius_m <= pair.wheelbase_m:
        raise ValueError(f"a radius of {front_radius_m:.2f} m is smaller than the tow vehicle's wheelbase")
    radius = math.sqrt(front_radius_m**2 - pair.wheelbase_m**2)
    pieces: list[Segment] = []
    for turn in WAYS[way]:
        bend = eased_bend(math.radians(turn), radius, ease_m=ease_m, straight_m=STRAIGHT_M)
        pieces += bend[1:] if pieces else bend  # an S-bend has one straight between its bends
    track = drive(pieces, pair, step_m=sum(piece.length_m for piece in pieces) / POSES)
    return (
        track,
        lane(track, pair, tow=seen.tow, towed=seen.towed),
        steer_on_path_rad(track, pair, towed_track_m=seen.towed_track_m),
    )


def path(
    facts: Facts,
    *,
    way: str,
    front_radius_m: float,
    ease_m: float,
    lane_width_m: float,
    place_share: float,
) -> Way:
    """A bend of the road driven through, with all the ground both vehicles cover."""
    seen = from_above(facts)
    track, room, steer = _driven(way, front_radius_m, ease_m, seen)
    place = round(place_share * (len(track.travelled_m) - 1))
    lock = facts.need("towed_vehicle.steering_lock")
    return Way(seen, track, room, steer, lock, allowed_rad(facts), lane_width_m, place)


def path_words(result: Way, system: str) -> str:
    """The sentence under the second panel."""
    angle, steer = _sharpest_rad(result)
    room = result.room
    spare = result.lane_width_m - room.width_m
    fits = (
        f"within by {show(spare, 'length', system)}"
        if spare >= 0
        else f"OVER by {show(-spare, 'length', system)}"
    )
    return (
        f"The pair covers {show(float(room.left_m.max()), 'length', system)} left and"
        f" {show(float(-room.right_m.min()), 'length', system)} right of the line of the front axle's middle:"
        f" {show(room.width_m, 'length', system)}, lane {show(result.lane_width_m, 'length', system)}:"
        f" {fits}. Sharpest angle {math.degrees(angle):.1f}°: {verdict(angle, result.allowed_rad)}. Towed"
        f" inner front wheel {math.degrees(steer):.1f}°: {verdict(steer, result.steer_lock_rad)}."
    )


def path_rooms(result: Way) -> dict[str, float]:
    """Lane left, and angle left to bar and chains and to the towed steering's lock."""
    angle, steer = _sharpest_rad(result)
    return {
        "lane": result.lane_width_m - result.room.width_m,
        "angle": result.allowed_rad - angle,
        "steer": result.steer_lock_rad - steer,
    }


def _sharpest_rad(result: Way) -> tuple[float, float]:
    """Largest angle between the vehicles, and of the towed inner front wheel."""
    angle, steer = (np.abs(values).max() for values in (result.track.articulation_rad, result.steer_rad))
    return float(angle), float(steer)


HAIRPIN, CORNER, SEEN_EASE_M = "hairpin of 180°", "corner of 90°", 3.0


def path_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the second panel."""
    radius = math.ceil(2.0 * _limits_of_turn(facts).front_m + 1.0) / 2.0
    hairpin, corner = (
        path(facts, way=way, front_radius_m=radius, ease_m=SEEN_EASE_M, lane_width_m=4.5, place_share=0.5)
        for way in (HAIRPIN, CORNER)
    )
    angles = [math.degrees(np.abs(each.track.articulation_rad).max()) for each in (hairpin, corner)]
    wheels = [math.degrees(np.abs(each.steer_rad).max()) for each in (hairpin, corner)]
    room = hairpin.room
    return (
        f"At {show(radius, 'length', system)} the hairpin takes"
        f" {show(float(room.left_m.max()), 'length', system)} to the inside of the front axle's line and"
        f" {show(float(-room.right_m.min()), 'length', system)} to the outside, where the *front corner*"
        f" swings: {show(room.width_m, 'length', system)} in all. The street corner of the same radius takes"
        f" {show(corner.room.width_m, 'length', system)}; its angle reaches {angles[1]:.0f}° instead of"
        f" {angles[0]:.0f}°, the towed wheel {wheels[1]:.0f}° instead of {wheels[0]:.0f}°: it is over before"
        " the turn is steady. **Short turns forgive, long ones do not.** Start a hairpin at the outer edge of"
        " your own lane, and watch the inner *towed* wheel in the mirror."
    )


class Backing(NamedTuple):
    """Everything the third panel shows."""

    seen: Seen
    metres: tuple[float, ...]
    angles_rad: tuple[float, ...]  # at those metres
    straight_rad: tuple[float, ...]  # the same with straight wheels
    saved_rad: tuple[float, ...]  # the same at full lock, unfolding
    start_rad: float
    turned_share: float
    limit_rad: float
    limit_m: float | None  # metres until the limit
    crosses: bool  # through the straight line to the other side first
    beyond_help_rad: float | None
    beyond_help_m: float | None
    at_m: float
    at_rad: float  # angle drawn
    front_wheels_rad: float


def reversing(facts: Facts, *, start_rad: float, turned_share: float, at_m: float) -> Backing:
    """Backwards from a small angle, the steering wheel held still; the kinematics of free wheels that stay in
    line.
    """
    seen, limit_rad, tow_lock_rad = from_above(facts), allowed_rad(facts), steering_lock_rad(facts)
    pair = seen.pair
    wheelbase_m = pair.wheelbase_m
    shape = {"overhang_m": pair.overhang_m, "ball_to_axle_m": pair.ball_to_axle_m}
    full = math.tan(tow_lock_rad) / wheelbase_m
    wheels = turned_share * tow_lock_rad
    held = math.tan(wheels) / wheelbase_m
    metres = np.linspace(0.0, FURTHEST_BACK_M, 101)
    angles_rad, straight_rad, saved_rad = (
        tuple(_folding(start_rad, metres, kappa, shape)) for kappa in (held, 0.0, full)
    )
    limit_m = metres_to_angle_m(start_rad, limit_rad, curvature_1_m=held, **shape)
    no_return = point_of_no_return_rad(wheelbase_m / math.sin(tow_lock_rad), pair)
    no_return_m = (
        metres_to_angle_m(start_rad, no_return, curvature_1_m=held, **shape)
        if no_return is not None
        else None
    )
    at = min(at_m, limit_m) if limit_m is not None else at_m
    angle = articulation_after_rad(start_rad, -at, curvature_1_m=held, **shape)
    crosses = (
        limit_m is not None
        and start_rad < limit_rad
        and articulation_after_rad(start_rad, -limit_m, curvature_1_m=held, **shape) < 0
    )
    return Backing(
        seen,
        tuple(metres),
        angles_rad,
        straight_rad,
        saved_rad,
        start_rad,
        turned_share,
        limit_rad,
        limit_m,
        crosses,
        no_return,
        no_return_m,
        at,
        angle,
        wheels,
    )


def _folding(start_rad: float, metres: np.ndarray, kappa: float, shape: dict[str, float]) -> np.ndarray:
    """Angles over the metres; from where it is folded flat they stay there."""
    angles = articulation_after_rad(start_rad, -metres, curvature_1_m=kappa, **shape)
    folded = np.flatnonzero(np.abs(angles) > FOLDED_RAD)
    if len(folded):
        angles[folded[0] :] = math.copysign(FOLDED_RAD, angles[folded[0]])
    return angles


def reversing_words(result: Backing, system: str) -> str:
    """The sentence under the third panel."""
    share = round(100 * result.turned_share)
    wheels = (
        "wheels straight"
        if share == 0
        else f"wheels held at {abs(share)} % of full lock, {'unfolding' if share > 0 else 'folding'}"
    )
    limit = f"{math.degrees(result.limit_rad):.0f}°"
    if result.limit_m is None:
        reached = f"{limit} is never reached: balanced on a knife's edge"
    else:
        reached = (
            f"{limit}{' on the other side' if result.crosses else ''} after"
            f" {show(result.limit_m, 'length', system)}"
        )
    if result.beyond_help_rad is None:
        help_ = "full lock unfolds any angle"
    elif result.start_rad >= result.beyond_help_rad:
        help_ = f"beyond {math.degrees(result.beyond_help_rad):.0f}° no steering helps, and it starts there"
    else:
        after = (
            f", after {show(result.beyond_help_m, 'length', system)}"
            if result.beyond_help_m is not None
            else ""
        )
        help_ = f"beyond {math.degrees(result.beyond_help_rad):.0f}°{after}, no steering helps"
    doubles = show(math.log(2.0) * result.seen.pair.ball_to_axle_m, "length", system)
    return (
        f"From {math.degrees(result.start_rad):.1f}°, {wheels}: {reached}; {help_}. With straight wheels a"
        f" small angle doubles every {doubles}. At best: castor turns the towed front wheels to their lock"
        " much sooner."
    )


def reversing_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the third panel."""

    def back(start_deg: float, share: float) -> Backing:
        return reversing(facts, start_rad=math.radians(start_deg), turned_share=share, at_m=0.0)

    two, four, wrong, right = back(2.0, 0.0), back(4.0, 0.0), back(2.0, -1.0), back(2.0, 1.0)

    def metres(run: Backing) -> str:
        return "never" if run.limit_m is None else show(run.limit_m, "length", system)

    help_ = (
        f"Beyond {math.degrees(two.beyond_help_rad):.0f}° not even full lock helps: drive forwards."
        if two.beyond_help_rad is not None
        else "In the model full lock unfolds any angle."
    )
    other = "folded to the *other* side" if right.crosses else "at that angle"
    return (
        f"From 2° with straight wheels, {math.degrees(two.limit_rad):.0f}° comes after {metres(two)}; from 4°"
        f" after {metres(four)}: **a small angle doubles every few metres**. You notice it when it is large,"
        f" and then it is fast. Full lock the wrong way: {metres(wrong)}. Full lock the right way unfolds it,"
        f" and after {metres(right)} it is {other}. {help_} And that is the best case: backwards, castor"
        " turns the free front wheels to their lock within centimetres. Do not back up at all; unhook."
    )


def your_turns_words(facts: Facts, system: str) -> list[str]:
    """Sentences on turning with the rig in use."""
    lines = [turning_words(facts, system)]
    try:
        for radius in YOUR_RADII_M:
            try:
                turn = circle(facts, front_radius_m=radius)
            except ValueError as impossible:
                lines.append(f"Front axle on {show(radius, 'length', system)}: not possible, {impossible}.")
                continue
            lines.append(
                f"Front axle on {show(radius, 'length', system)}: angle"
                f" {math.degrees(turn.circle.articulation_rad):.0f}°"
                f" ({verdict(turn.circle.articulation_rad, turn.allowed_rad)}), cut-in"
                f" {show(turn.circle.cut_in_m, 'length', system)}, towed inner wheel"
                f" {math.degrees(turn.steer_rad):.0f}° ({verdict(turn.steer_rad, turn.steer_lock_rad)})."
            )
        back = reversing(facts, start_rad=math.radians(2.0), turned_share=0.0, at_m=0.0)
        if back.limit_m is not None:
            lines.append(
                "Backing straight from 2°: at"
                f" {math.degrees(back.limit_rad):.0f}° after {show(back.limit_m, 'length', system)} at best."
            )
    except NotKnown as missing:
        what = missing.reason if " " in missing.reason else label_of(missing.reason)
        lines.append(f"Turning: not known ({what}).")
    return lines
