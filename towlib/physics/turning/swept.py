"""The lane both vehicles cover on any path, seen from the line that the middle of the tow vehicle's front
axle draws.
"""

import math
from typing import NamedTuple

import numpy as np

from towlib.physics.turning.circle import Body, TurningPair
from towlib.physics.turning.path import Track


class Lane(NamedTuple):
    """What the pair covers left and right of its front axle's line; positive to the left."""

    line_x_m: np.ndarray
    line_y_m: np.ndarray
    normal_x: np.ndarray
    normal_y: np.ndarray
    left_m: np.ndarray  # furthest to the left at each point of the line
    right_m: np.ndarray  # furthest to the right, negative
    width_m: float  # of a lane that holds everything


def outline(
    body: Body, x_m: np.ndarray, y_m: np.ndarray, *, heading_rad: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """The corners of a body and its flanks beside the rear axle, at every place of that axle.

    corner = axle + forwards·cos/sin(heading) + sideways

    Parameters
    ----------
    body : Body
        Rectangle about the rear axle.
    x_m, y_m : numpy.ndarray
        Places of the rear axle.
    heading_rad : numpy.ndarray
        Where the vehicle points.

    Returns
    -------
    tuple of numpy.ndarray
        x and y, six columns: nose left, nose right, flank right, tail right, tail left, flank left.

    Breaks down when
        the body is not a rectangle.

    Source
        Geometry.

    Examples
    --------
    >>> x, y = outline(Body(2.0, 4.0, 1.0), np.array([10.0]), np.array([5.0]), heading_rad=np.array([0.0]))
    >>> x[0].tolist(), y[0].tolist()
    ([14.0, 14.0, 10.0, 9.0, 9.0, 10.0], [6.0, 4.0, 4.0, 4.0, 6.0, 6.0])
    """
    ahead = np.array([body.nose_m, body.nose_m, 0.0, -body.tail_m, -body.tail_m, 0.0])
    left = body.width_m / 2.0 * np.array([1.0, -1.0, -1.0, -1.0, 1.0, 1.0])
    cosine, sine = np.cos(heading_rad)[:, None], np.sin(heading_rad)[:, None]
    return x_m[:, None] + ahead * cosine - left * sine, y_m[:, None] + ahead * sine + left * cosine


def lane(track: Track, pair: TurningPair, *, tow: Body, towed: Body) -> Lane:
    """Room that both bodies need left and right of the front axle's line, all along a path.

    each corner is measured square to the nearest point of the line; width = furthest left + furthest right

    Parameters
    ----------
    track : Track
        From drive, forwards; steps of at most 0.5 m.
    pair : TurningPair
        Lengths of both vehicles.
    tow, towed : Body
        Both bodies about their rear axles.

    Returns
    -------
    Lane
        The line, and the room beside it at each of its points.

    Raises
    ------
    ValueError
        When the path is shorter than two steps.

    Breaks down when
        the line crosses itself, or the pair covers ground beyond the centre of a bend.

    Source
        Geometry; in a steady turn it is the ring of swept_ring.

    Examples
    --------
    >>> from towlib.physics.turning.path import Segment, drive
    >>> pair = TurningPair(3.3, 1.3, 3.92, 2.42)
    >>> round(
    ...     lane(
    ...         drive([Segment(30.0, 0.0)], pair), pair, tow=Body(2.0, 4.2, 1.1), towed=Body(1.6, 2.8, 0.5)
    ...     ).width_m,
    ...     6,
    ... )
    2.0
    """
    if len(track.rear_x_m) < 3:
        raise ValueError("the path is too short to measure the room beside it")
    line_x = track.rear_x_m + pair.wheelbase_m * np.cos(track.heading_rad)
    line_y = track.rear_y_m + pair.wheelbase_m * np.sin(track.heading_rad)
    # the line goes on straight before and behind, where tails and noses stand out
    before, behind = np.arange(-14.0, -0.1, 0.5), np.arange(0.5, 3.0, 0.5)
    first, last = (
        track.heading_rad[i] + math.atan(pair.wheelbase_m * track.curvature_1_m[i]) for i in (0, -1)
    )
    line_x = np.concatenate([line_x[0] + before * np.cos(first), line_x, line_x[-1] + behind * np.cos(last)])
    line_y = np.concatenate([line_y[0] + before * np.sin(first), line_y, line_y[-1] + behind * np.sin(last)])
    along_x, along_y = np.gradient(line_x), np.gradient(line_y)
    size = np.hypot(along_x, along_y)
    normal_x, normal_y = -along_y / size, along_x / size
    corners = [
        outline(tow, track.rear_x_m, track.rear_y_m, heading_rad=track.heading_rad),
        outline(towed, track.towed_x_m, track.towed_y_m, heading_rad=track.towed_heading_rad),
    ]
    x, y = (np.concatenate([part[k].ravel() for part in corners]) for k in (0, 1))
    near = np.argmin((x[:, None] - line_x) ** 2 + (y[:, None] - line_y) ** 2, axis=1)
    beside = (x - line_x[near]) * normal_x[near] + (y - line_y[near]) * normal_y[near]
    left, right = np.full(len(line_x), -np.inf), np.full(len(line_x), np.inf)
    np.maximum.at(left, near, beside)
    np.minimum.at(right, near, beside)
    # corners fall on some points of the line only: each point takes the furthest within two places of it
    left, right = (
        np.max([np.roll(sign * values, k) for k in range(-2, 3)], axis=0) * sign
        for sign, values in ((1.0, left), (-1.0, right))
    )
    seen, places = np.isfinite(left), np.arange(len(line_x))
    left, right = (np.interp(places, places[seen], values[seen]) for values in (left, right))
    return Lane(line_x, line_y, normal_x, normal_y, left, right, float(left.max() - right.min()))
