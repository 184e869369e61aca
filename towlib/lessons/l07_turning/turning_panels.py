"""Lesson 07, turning: a steady circle, a bend of the road, and backwards. Starts are those of the invented
demo rig.
"""

import math
from functools import lru_cache
from typing import NamedTuple

import numpy as np

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
from towlib.units import show

# the invented pair, where no slider moves it
BRACKET_AHEAD_M, TOW_TRACK_M, TOWED_TRACK_M = 0.48, 1.70, 1.42
TOW_WIDTH_M, TOW_NOSE_M, TOW_TAIL_M = (
    2.00,
    0.85,
    1.10,
)  # nose ahead of its front axle, tail behind its rear axle
TOWED_WIDTH_M, TOWED_NOSE_M, TOWED_TAIL_M = 1.65, 0.42, 0.50
WAYS = {"corner of 90°": (90.0,), "hairpin of 180°": (180.0,), "S-bend, 60° and back": (60.0, -60.0)}
STRAIGHT_M, POSES = 12.0, 150
FURTHEST_BACK_M, FOLDED_RAD = 25.0, math.radians(110.0)


def bodies(pair: TurningPair) -> tuple[Body, Body]:
    """Both bodies of the invented pair about their rear axles."""
    return (
        Body(TOW_WIDTH_M, pair.wheelbase_m + TOW_NOSE_M, TOW_TAIL_M),
        Body(TOWED_WIDTH_M, pair.towed_wheelbase_m + TOWED_NOSE_M, TOWED_TAIL_M),
    )


def turning_pair(
    wheelbase_m: float, overhang_m: float, bar_length_m: float, towed_wheelbase_m: float
) -> TurningPair:
    """The pair with brackets where the invented off-roader has them."""
    return TurningPair(
        wheelbase_m, overhang_m, bar_length_m + BRACKET_AHEAD_M + towed_wheelbase_m, towed_wheelbase_m
    )


def verdict(demand_rad: float, limit_rad: float) -> str:
    """Within or over, in degrees."""
    spare = math.degrees(limit_rad - demand_rad)
    return f"within by {spare:.1f}°" if spare >= 0 else f"OVER by {-spare:.1f}°"


class Turn(NamedTuple):
    """Everything the first panel shows."""

    pair: TurningPair
    circle: Circle
    ring: Swept
    steer_rad: float
    steer_lock_rad: float
    allowed_rad: float  # by coupler and chains
    touch_rad: float | None  # where the bodies touch
    smallest: SmallestCircle


def circle(
    *,
    front_radius_m: float,
    wheelbase_m: float,
    overhang_m: float,
    bar_length_m: float,
    towed_wheelbase_m: float,
    steer_lock_rad: float,
    allowed_rad: float,
) -> Turn:
    """A steady turn against the limits of bar, chains, bodies and towed steering."""
    pair = turning_pair(wheelbase_m, overhang_m, bar_length_m, towed_wheelbase_m)
    turn = steady_circle(front_radius_m, pair)
    tow, towed = bodies(pair)
    touch = bodies_touch_rad(tow, towed, pair=pair)
    smallest = smallest_circle(
        pair,
        articulation_limit_rad=min(allowed_rad, touch or math.pi),
        steer_lock_rad=steer_lock_rad,
        towed_track_m=TOWED_TRACK_M,
    )
    steer = towed_steer_rad(turn.towed_rear_m, towed_wheelbase_m, track_m=TOWED_TRACK_M)
    return Turn(
        pair, turn, swept_ring(turn, tow, towed=towed), steer, steer_lock_rad, allowed_rad, touch, smallest
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
        f" {show(result.smallest.front_m, 'length', system)}, set by {result.smallest.set_by}."
    )


class Way(NamedTuple):
    """Everything the second panel shows."""

    pair: TurningPair
    track: Track
    room: Lane
    steer_rad: np.ndarray
    steer_lock_rad: float
    allowed_rad: float
    lane_width_m: float
    place: int  # number of the pose drawn


@lru_cache(maxsize=8)
def _driven(
    way: str, front_radius_m: float, ease_m: float, pair: TurningPair
) -> tuple[Track, Lane, np.ndarray]:
    if front_radius_m <= pair.wheelbase_m:
        raise ValueError(f"a radius of {front_radius_m:.2f} m is smaller than the tow vehicle's wheelbase")
    radius = math.sqrt(front_radius_m**2 - pair.wheelbase_m**2)
    pieces: list[Segment] = []
    for turn in WAYS[way]:
        bend = eased_bend(math.radians(turn), radius, ease_m=ease_m, straight_m=STRAIGHT_M)
        pieces += bend[1:] if pieces else bend  # an S-bend has one straight between its bends
    track = drive(pieces, pair, step_m=sum(piece.length_m for piece in pieces) / POSES)
    tow, towed = bodies(pair)
    return (
        track,
        lane(track, pair, tow=tow, towed=towed),
        steer_on_path_rad(track, pair, towed_track_m=TOWED_TRACK_M),
    )


def path(
    *,
    way: str,
    front_radius_m: float,
    ease_m: float,
    wheelbase_m: float,
    overhang_m: float,
    bar_length_m: float,
    towed_wheelbase_m: float,
    steer_lock_rad: float,
    allowed_rad: float,
    lane_width_m: float,
    place_share: float,
) -> Way:
    """A bend of the road driven through, with all the ground both vehicles cover."""
    pair = turning_pair(wheelbase_m, overhang_m, bar_length_m, towed_wheelbase_m)
    track, room, steer = _driven(way, front_radius_m, ease_m, pair)
    place = round(place_share * (len(track.travelled_m) - 1))
    return Way(pair, track, room, steer, steer_lock_rad, allowed_rad, lane_width_m, place)


def path_words(result: Way, system: str) -> str:
    """The sentence under the second panel."""
    angle, steer = (
        float(np.abs(values).max()) for values in (result.track.articulation_rad, result.steer_rad)
    )
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


class Backing(NamedTuple):
    """Everything the third panel shows."""

    pair: TurningPair
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


def reversing(
    *,
    start_rad: float,
    turned_share: float,
    tow_lock_rad: float,
    wheelbase_m: float,
    overhang_m: float,
    bar_length_m: float,
    towed_wheelbase_m: float,
    limit_rad: float,
    at_m: float,
) -> Backing:
    """Backwards from a small angle, the steering wheel held still; the kinematics of free wheels that stay in
    line.
    """
    pair = turning_pair(wheelbase_m, overhang_m, bar_length_m, towed_wheelbase_m)
    shape = {"overhang_m": overhang_m, "ball_to_axle_m": pair.ball_to_axle_m}
    full = math.tan(tow_lock_rad) / wheelbase_m
    wheels = turned_share * tow_lock_rad
    held = math.tan(wheels) / wheelbase_m
    metres = np.linspace(0.0, FURTHEST_BACK_M, 101)
    curves = [tuple(_folding(start_rad, metres, kappa, shape)) for kappa in (held, 0.0, full)]
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
        pair,
        tuple(metres),
        *curves,
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
    doubles = show(math.log(2.0) * result.pair.ball_to_axle_m, "length", system)
    return (
        f"From {math.degrees(result.start_rad):.1f}°, {wheels}: {reached}; {help_}. With straight wheels a"
        f" small angle doubles every {doubles}. At best: castor turns the towed front wheels to their lock"
        " much sooner."
    )
