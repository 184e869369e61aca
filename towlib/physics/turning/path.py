"""Any path: the tow vehicle on arcs and straights, forwards or backwards, and the towed vehicle behind it,
solved exactly.
"""

import math
from collections.abc import Sequence
from typing import NamedTuple, overload

import numpy as np

from towlib.physics.turning.circle import TurningPair

PIECES = 8  # arcs that stand for one turn of the steering wheel


class Segment(NamedTuple):
    """A piece of the way of the tow vehicle's rear axle."""

    length_m: float  # negative: backwards
    curvature_1_m: float  # 1/radius, positive to the left, 0 straight


class Track(NamedTuple):
    """Both vehicles along the way; arrays, one entry a step."""

    travelled_m: np.ndarray
    curvature_1_m: np.ndarray
    rear_x_m: np.ndarray  # tow vehicle's rear axle
    rear_y_m: np.ndarray
    heading_rad: np.ndarray
    articulation_rad: np.ndarray  # heading of the tow vehicle less that of the towed one
    towed_x_m: np.ndarray  # towed rear axle
    towed_y_m: np.ndarray
    towed_heading_rad: np.ndarray


@overload
def articulation_after_rad(
    start_rad: float, length_m: float, *, curvature_1_m: float, overhang_m: float, ball_to_axle_m: float
) -> float: ...


@overload
def articulation_after_rad(
    start_rad: float, length_m: np.ndarray, *, curvature_1_m: float, overhang_m: float, ball_to_axle_m: float
) -> np.ndarray: ...


def articulation_after_rad(
    start_rad: float,
    length_m: float | np.ndarray,
    *,
    curvature_1_m: float,
    overhang_m: float,
    ball_to_axle_m: float,
) -> float | np.ndarray:
    """The articulation after a piece of constant curvature, exactly.

    dphi/ds = kappa - (sin phi - e·kappa·cos phi)/l; with tan((phi - atan(e·kappa))/2) it is a Riccati
    equation with constant coefficients, solved by the exponential of a 2 by 2 matrix

    Parameters
    ----------
    start_rad : float
        Articulation at the start.
    length_m : float
        Way of the tow vehicle's rear axle, negative backwards; an array works too.
    curvature_1_m : float
        1/radius of that way, positive to the left.
    overhang_m : float
        Ball behind the rear axle.
    ball_to_axle_m : float
        Ball to the towed rear axle, above 0.

    Returns
    -------
    float
        Radians from -180° to 180°.

    Raises
    ------
    ValueError
        When the ball lies on the towed rear axle or behind it.

    Breaks down when
        tyres slip sideways; backwards the free front wheels swing round to their lock and push the bar
        sideways.

    Source
        No side slip at either rear axle. Checked against SciPy's integrator and against
        commonroad-vehicle-models 3.0.2.

    Examples
    --------
    >>> phi = articulation_after_rad(
    ...     math.radians(1), -16.0, curvature_1_m=0.0, overhang_m=1.3, ball_to_axle_m=3.92
    ... )
    >>> round(math.degrees(phi), 4)
    54.6778
    """
    if ball_to_axle_m <= 0:
        raise ValueError("the towed rear axle must lie behind the ball")
    slip, swing, ahead = riccati(curvature_1_m, overhang_m, ball_to_axle_m=ball_to_axle_m)
    s, q2 = np.asarray(length_m, float), swing**2 - ahead**2
    half = (start_rad - slip) / 2.0
    y, z = math.sin(half), math.cos(half)
    whole: float | np.ndarray
    if q2 > 1e-18:
        whole, part = 1.0, np.tanh(math.sqrt(q2) * s) / math.sqrt(q2)
    elif q2 < -1e-18:  # too tight a circle to follow: the towed vehicle turns round and round
        whole, part = np.cos(math.sqrt(-q2) * s), np.sin(math.sqrt(-q2) * s) / math.sqrt(-q2)
    else:
        whole, part = 1.0, s
    after = slip + 2.0 * np.arctan2(
        whole * y + part * (ahead * z - swing * y), whole * z + part * (swing * z - ahead * y)
    )
    after = np.remainder(after + np.pi, 2.0 * np.pi) - np.pi
    return after if np.ndim(length_m) else float(after)


def riccati(curvature_1_m: float, overhang_m: float, *, ball_to_axle_m: float) -> tuple[float, float, float]:
    """The constants of the articulation's equation on a piece of constant curvature.

    beta = atan(e·kappa), a = sqrt(1 + (e·kappa)²)/(2·l), b = kappa/2; (y, z)' = [[-a, b], [-b, a]]·(y, z),
    tan((phi - beta)/2) = y/z

    Parameters
    ----------
    curvature_1_m : float
        1/radius of the way of the tow vehicle's rear axle, positive to the left.
    overhang_m : float
        Ball behind the rear axle.
    ball_to_axle_m : float
        Ball to the towed rear axle, above 0.

    Returns
    -------
    tuple of float
        beta (radians), a and b (1/m).

    Raises
    ------
    ValueError
        When the ball lies on the towed rear axle or behind it.

    Breaks down when
        tyres slip sideways.

    Source
        No side slip at either rear axle.

    Examples
    --------
    >>> riccati(0.0, 1.3, ball_to_axle_m=4.0)
    (0.0, 0.125, 0.0)
    """
    if ball_to_axle_m <= 0:
        raise ValueError("the towed rear axle must lie behind the ball")
    return (
        math.atan(overhang_m * curvature_1_m),
        math.hypot(1.0, overhang_m * curvature_1_m) / (2.0 * ball_to_axle_m),
        curvature_1_m / 2.0,
    )


def eased_bend(turn_rad: float, radius_m: float, *, ease_m: float, straight_m: float) -> tuple[Segment, ...]:
    """A bend with the steering wheel turned in and out over some metres, and straights before and behind.

    ramp: curvature grows in equal steps over ease_m; ramp + arc + ramp turn by turn_rad

    Parameters
    ----------
    turn_rad : float
        How far the road turns, positive to the left.
    radius_m : float
        Tightest radius of the tow vehicle's rear axle, above 0.
    ease_m : float
        Way over which the steering wheel is turned, 0 or more; taken shorter when the bend has no room for
        it.
    straight_m : float
        Straight before and after.

    Returns
    -------
    tuple of Segment
        The whole bend.

    Raises
    ------
    ValueError
        When the radius is not above zero or the easing is negative.

    Breaks down when
        the driver swings wide first, which gives the towed vehicle room.

    Source
        Geometry.

    Examples
    --------
    >>> bend = eased_bend(math.pi / 2, 8.0, ease_m=3.0, straight_m=10.0)
    >>> round(math.degrees(sum(piece.length_m * piece.curvature_1_m for piece in bend)), 6)
    90.0
    """
    if radius_m <= 0 or ease_m < 0:
        raise ValueError("the radius of a bend must be above zero and the easing not negative")
    ease_m = min(ease_m, abs(turn_rad) * radius_m)
    kappa = math.copysign(1.0 / radius_m, turn_rad)
    ramp = [Segment(ease_m / PIECES, kappa * (i + 0.5) / PIECES) for i in range(PIECES)] if ease_m > 0 else []
    arc = Segment(abs(turn_rad) * radius_m - ease_m, kappa)
    pieces = [Segment(straight_m, 0.0), *ramp, arc, *reversed(ramp), Segment(straight_m, 0.0)]
    return tuple(piece for piece in pieces if piece.length_m > 0)


def drive(
    segments: Sequence[Segment], pair: TurningPair, *, start_rad: float = 0.0, step_m: float = 0.25
) -> Track:
    """Both vehicles along a way of arcs and straights; each step is exact, only the drawing depends on its
    length.

    x' = cos(theta), y' = sin(theta), theta' = kappa for the tow vehicle's rear axle; articulation_after_rad
    for the other

    Parameters
    ----------
    segments : sequence of Segment
        The way of the tow vehicle's rear axle, from the origin along x.
    pair : TurningPair
        Lengths of both vehicles.
    start_rad : float
        Articulation at the start.
    step_m : float
        Longest step, above 0.

    Returns
    -------
    Track
        Arrays; the first entry is the start.

    Raises
    ------
    ValueError
        When there is no way, or the step is not above zero.

    Breaks down when
        tyres slip, or a free front wheel of the towed vehicle reaches its lock.

    Source
        No side slip at either rear axle.

    Examples
    --------
    >>> track = drive([Segment(200.0, 1 / 11.5373)], TurningPair(3.3, 1.3, 3.92, 2.42))
    >>> round(math.degrees(track.articulation_rad[-1]), 3)
    26.161
    """
    if not segments or step_m <= 0:
        raise ValueError("a way needs at least one piece, and the step must be above zero")
    rows = [(0.0, segments[0].curvature_1_m, 0.0, 0.0, 0.0, start_rad)]
    for length_m, kappa in segments:
        travelled, _, x, y, heading, phi = rows[-1]
        count = max(1, math.ceil(abs(length_m) / step_m))
        along = length_m * np.arange(1, count + 1) / count
        turned = heading + kappa * along
        chord = along * np.sinc(kappa * along / (2.0 * np.pi))
        phis = articulation_after_rad(
            phi, along, curvature_1_m=kappa, overhang_m=pair.overhang_m, ball_to_axle_m=pair.ball_to_axle_m
        )
        middle = (heading + turned) / 2.0
        rows += zip(
            travelled + np.abs(along),
            [kappa] * count,
            x + chord * np.cos(middle),
            y + chord * np.sin(middle),
            turned,
            phis,
            strict=True,
        )
    way, bends, xs, ys, headings, swings = (np.array(column, float) for column in zip(*rows, strict=True))
    towed = headings - swings
    towed_x = xs - pair.overhang_m * np.cos(headings) - pair.ball_to_axle_m * np.cos(towed)
    towed_y = ys - pair.overhang_m * np.sin(headings) - pair.ball_to_axle_m * np.sin(towed)
    return Track(way, bends, xs, ys, headings, swings, towed_x, towed_y, towed)


def steer_on_path_rad(track: Track, pair: TurningPair, *, towed_track_m: float = 0.0) -> np.ndarray:
    """How far the towed front wheel on the inside turns along the way, positive to the left.

    psi = phi - atan(e·kappa), R_t = l/tan(psi), tan(delta) = L_t/(R_t - t/2)

    Parameters
    ----------
    track : Track
        From drive.
    pair : TurningPair
        Lengths of both vehicles.
    towed_track_m : float
        Wheel to wheel on the towed front axle; 0 gives the angle at its middle.

    Returns
    -------
    numpy.ndarray
        Radians.

    Breaks down when
        the steering jumps between two pieces: then the wheels would have to jump too.

    Source
        Geometry: a free wheel with castor rolls along its own direction of motion.

    Examples
    --------
    >>> pair = TurningPair(3.3, 1.3, 3.92, 2.42)
    >>> round(math.degrees(steer_on_path_rad(drive([Segment(200.0, 1 / 11.5373)], pair), pair)[-1]), 3)
    12.486
    """
    psi = track.articulation_rad - np.arctan(pair.overhang_m * track.curvature_1_m)
    side = np.sign(psi)
    along = pair.ball_to_axle_m * np.cos(psi) - towed_track_m / 2.0 * np.abs(np.sin(psi))
    return side * np.arctan2(pair.towed_wheelbase_m * np.abs(np.sin(psi)), along)
