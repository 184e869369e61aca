"""The pair over a crest, through a dip or onto a ramp: how far the bar tilts and what comes nearest the
road.
"""

import math
from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np

_ROUNDS = (
    60  # of the fixed-point steps that set the wheels on the road; they stop when nothing moves any more
)
_SETTLED_M = 1e-10
BAR_POINTS = 13  # places along the bar whose height above the road is taken


class Bend(NamedTuple):
    """Two even stretches of road joined by an arc; the stretches' lines meet at x = 0, height 0."""

    grade_before: float  # rise over run, the vehicles move towards larger x
    grade_after: float
    radius_m: float


class PairShape(NamedTuple):
    """The pair in its side view, standing loaded on a level road; heights above the road."""

    tow_wheelbase_m: float
    overhang_m: float  # ball behind the rear axle
    ball_height_m: float
    lowest_hitch_height_m: float  # lowest point under the ball
    bar_length_m: float
    bar_depth_m: float
    bracket_height_m: float
    bracket_ahead_m: float  # bracket pins ahead of the towed front axle
    towed_wheelbase_m: float


class Pose(NamedTuple):
    """Where everything is for each place of the tow vehicle's rear axle; arrays of one length."""

    tow_rear: Any  # x and height of the contact points, arrays of two columns
    tow_front: Any
    ball: Any
    pins: Any
    towed_front: Any
    towed_rear: Any
    tow_pitch_rad: Any  # nose up positive
    towed_pitch_rad: Any
    bar_slope_rad: Any  # pins higher than the ball positive
    tilt_at_ball_rad: Any  # bar against the tow vehicle
    tilt_at_pins_rad: Any  # bar against the towed vehicle
    hitch_clearance_m: Any
    bar_clearance_m: Any
    lowest_hitch: Any  # the point whose clearance that is


class Sweep(NamedTuple):
    """The extremes of a drive over the bend."""

    tilt_up_rad: float  # bar's rear end highest against the tow vehicle
    tilt_down_rad: float
    hitch_clearance_m: float
    bar_clearance_m: float
    nearest: str  # "hitch" or "bar": what comes nearest the road
    nearest_at_m: float  # place of the tow vehicle's rear axle when it does


def road_height_m(x_m: Any, bend: Bend) -> Any:
    """Height of the road at a place.

    straight lines of both grades, joined by the arc of the radius that touches both

    Parameters
    ----------
    x_m : float or array
        Place along the road, horizontal; the lines meet at 0.
    bend : Bend
        Grades from -0.6 to 0.6 and radius above 0.

    Returns
    -------
    float or array
        Metres, 0 where the lines meet.

    Raises
    ------
    ValueError
        When the radius is not above zero.

    Breaks down when
        the bend is no arc, such as a kerb.

    Source
        Geometry of an arc that touches two lines.

    Examples
    --------
    >>> bend = Bend(-0.1, 0.1, 20.0)
    >>> round(float(road_height_m(-10.0, bend)), 3), round(float(road_height_m(0.0, bend)), 4)
    (1.0, 0.0998)
    """
    return _height_m(np.asarray(x_m, dtype=float), _arc(bend))


class _Arc(NamedTuple):
    """A bend as its heights need it: numbers, or arrays with one entry a place where the bends differ."""

    grade_before: Any
    grade_after: Any
    start: Any
    end: Any
    centre_x: Any
    centre_z: Any
    radius: Any  # negative where the centre lies below the road


def _arc(bend: Bend) -> _Arc:
    if bend.radius_m <= 0:
        raise ValueError("the radius of a crest or dip must be above zero")
    before, after = math.atan(bend.grade_before), math.atan(bend.grade_after)
    tangent = bend.radius_m * math.tan(abs(after - before) / 2.0)
    radius = math.copysign(bend.radius_m, after - before)  # a dip has its centre above the road
    start, end = -tangent * math.cos(before), tangent * math.cos(after)
    centre_x = start - radius * math.sin(before)
    centre_z = -tangent * math.sin(before) + radius * math.cos(before)
    return _Arc(bend.grade_before, bend.grade_after, start, end, centre_x, centre_z, radius)


def _height_m(x: np.ndarray, bend: _Arc) -> np.ndarray:
    lines = np.where(x < 0.0, bend.grade_before * x, bend.grade_after * x)
    off = x - bend.centre_x
    below = np.sqrt(np.maximum(bend.radius * bend.radius - off * off, 0.0))
    arc = bend.centre_z - np.copysign(below, bend.radius)
    return np.where((x > bend.start) & (x < bend.end), arc, lines)


def pair_on_bend(shape: PairShape, bend: Bend, *, rear_axle_x_m: Any) -> Pose:
    """Set both vehicles on the road with the bar between them.

    each vehicle stands on two contact points its wheelbase apart; the bar's length fixes the distance from
    ball to pins

    Parameters
    ----------
    shape : PairShape
        Both vehicles and the bar.
    bend : Bend
        The road.
    rear_axle_x_m : array
        Places of the tow vehicle's rear axle.

    Returns
    -------
    Pose
        Points, angles and clearances for every place.

    Raises
    ------
    ValueError
        When a length is not above zero, or the bar cannot bridge the difference in height.

    Breaks down when
        springs move, wheels spin in mid-air, or the radius is smaller than a wheel.

    Source
        Geometry of two rigid bodies and a rod.

    Examples
    --------
    >>> shape = PairShape(3.3, 1.3, 0.5, 0.4, 1.5, 0.065, 0.5, 0.5, 2.4)
    >>> pose = pair_on_bend(shape, Bend(0.0, 0.0, 10.0), rear_axle_x_m=np.array([0.0]))
    >>> round(float(pose.towed_front[0, 0]), 3), round(float(pose.hitch_clearance_m[0]), 3)
    (-3.3, 0.4)
    """
    return _pair_on(shape, _arc(bend), np.atleast_1d(np.asarray(rear_axle_x_m, dtype=float)))


def _pair_on(shape: PairShape, bend: _Arc, x_rear: np.ndarray) -> Pose:
    if min(shape.tow_wheelbase_m, shape.towed_wheelbase_m, shape.bar_length_m) <= 0:
        raise ValueError("wheelbases and the bar's length must be above zero")
    if abs(shape.bracket_height_m - shape.ball_height_m) >= shape.bar_length_m:
        raise ValueError(
            f"a bar {shape.bar_length_m:.2f} m long cannot bridge a difference in height of "
            f"{abs(shape.bracket_height_m - shape.ball_height_m):.2f} m"
        )
    tow_rear = _on_road(x_rear, bend)
    tow_front = _other_wheel(tow_rear, bend, shape.tow_wheelbase_m)
    tow_pitch = _pitch(tow_rear, tow_front)
    ball = _body_point(tow_rear, tow_pitch, -shape.overhang_m, shape.ball_height_m)
    lowest = _body_point(tow_rear, tow_pitch, -shape.overhang_m, shape.lowest_hitch_height_m)

    level_reach = math.sqrt(shape.bar_length_m**2 - (shape.bracket_height_m - shape.ball_height_m) ** 2)
    x_towed, run = ball[:, 0] - level_reach - shape.bracket_ahead_m, None
    for _ in range(_ROUNDS):
        towed_front = _on_road(x_towed, bend)
        towed_rear = _other_wheel(towed_front, bend, -shape.towed_wheelbase_m, run=run)
        run = towed_front[:, 0] - towed_rear[:, 0]
        towed_pitch = _pitch(towed_rear, towed_front)
        pins = _body_point(towed_front, towed_pitch, shape.bracket_ahead_m, shape.bracket_height_m)
        step = np.hypot(*(ball - pins).T) - shape.bar_length_m
        if np.max(np.abs(step)) < _SETTLED_M:
            break
        x_towed = x_towed + step
    slope = np.arctan2(pins[:, 1] - ball[:, 1], ball[:, 0] - pins[:, 0])
    along = np.linspace(0.0, 1.0, BAR_POINTS)[:, None, None]
    bar = ball + along * (pins - ball)
    bar_clearance = (bar[:, :, 1] - _height_m(bar[:, :, 0], bend)).min(axis=0) - shape.bar_depth_m / 2.0
    return Pose(
        tow_rear,
        tow_front,
        ball,
        pins,
        towed_front,
        towed_rear,
        tow_pitch,
        towed_pitch,
        slope,
        slope + tow_pitch,
        -slope - towed_pitch,
        lowest[:, 1] - _height_m(lowest[:, 0], bend),
        bar_clearance,
        lowest,
    )


def sweep(shape: PairShape, bend: Bend, *, step_m: float = 0.1) -> Sweep:
    """Drive the pair over the bend and keep the extremes.

    from the tow vehicle's front wheels before the arc to the towed rear wheels behind it

    Parameters
    ----------
    shape : PairShape
        Both vehicles and the bar.
    bend : Bend
        The road.
    step_m : float
        Distance between two places, 0.02 to 0.5 m.

    Returns
    -------
    Sweep
        Largest tilts of the bar and least clearances.

    Raises
    ------
    ValueError
        When the shape is impossible or the step is not above zero.

    Breaks down when
        springs move: keep some room for a bounce.

    Source
        Geometry, every place computed.

    Examples
    --------
    >>> shape = PairShape(3.3, 1.3, 0.5, 0.4, 1.5, 0.065, 0.5, 0.5, 2.4)
    >>> over = sweep(shape, Bend(0.0, 0.12, 6.0))
    >>> over.nearest, over.hitch_clearance_m < 0.4
    ('hitch', True)
    """
    return sweeps(shape, (bend,), step_m=step_m)[0]


def sweeps(shape: PairShape, bends: Sequence[Bend], *, step_m: float = 0.1) -> tuple[Sweep, ...]:
    """Drive the pair over several bends, all reckoned at once.

    as sweep

    Parameters
    ----------
    shape : PairShape
        Both vehicles and the bar.
    bends : sequence of Bend
        Roads, one or more.
    step_m : float
        Distance between two places, 0.02 to 0.5 m.

    Returns
    -------
    tuple of Sweep
        One for each bend.

    Raises
    ------
    ValueError
        As sweep.

    Breaks down when
        as sweep.

    Source
        As sweep.

    Examples
    --------
    >>> shape = PairShape(3.3, 1.3, 0.5, 0.4, 1.5, 0.065, 0.5, 0.5, 2.4)
    >>> dip, crest = Bend(0.0, 0.12, 6.0), Bend(0.0, -0.12, 6.0)
    >>> [(over.nearest, round(over.hitch_clearance_m, 3)) for over in sweeps(shape, (dip, crest))]
    [('hitch', 0.255), ('hitch', 0.4)]
    """
    if step_m <= 0:
        raise ValueError("the step of the sweep must be above zero")
    places = [_places(shape, bend, step_m) for bend in bends]
    counts = [len(each) for each in places]
    arcs = _Arc(*(np.repeat(numbers, counts) for numbers in zip(*map(_arc, bends), strict=True)))
    pose = _pair_on(shape, arcs, np.concatenate(places))
    tilts, hitches, bars = (
        np.split(values, np.cumsum(counts)[:-1])
        for values in (pose.tilt_at_ball_rad, pose.hitch_clearance_m, pose.bar_clearance_m)
    )
    return tuple(_extremes(*each) for each in zip(places, tilts, hitches, bars, strict=True))


def _places(shape: PairShape, bend: Bend, step_m: float) -> np.ndarray:
    reach = bend.radius_m * math.tan(abs(math.atan(bend.grade_after) - math.atan(bend.grade_before)) / 2.0)
    length = shape.overhang_m + shape.bar_length_m + shape.bracket_ahead_m + shape.towed_wheelbase_m
    return np.arange(-reach - shape.tow_wheelbase_m - step_m, reach + length + 2 * step_m, step_m)


def _extremes(places: np.ndarray, tilt_rad: np.ndarray, hitch_m: np.ndarray, bar_m: np.ndarray) -> Sweep:
    hitch, bar = float(hitch_m.min()), float(bar_m.min())
    nearest = "hitch" if hitch <= bar else "bar"
    at = places[int((hitch_m if nearest == "hitch" else bar_m).argmin())]
    return Sweep(float(tilt_rad.max()), float(tilt_rad.min()), hitch, bar, nearest, float(at))


def _on_road(x: np.ndarray, bend: _Arc) -> np.ndarray:
    return np.stack([x, _height_m(x, bend)], axis=1)


def _other_wheel(
    wheel: np.ndarray, bend: _Arc, distance_m: float, *, run: np.ndarray | None = None
) -> np.ndarray:
    """The contact point at this straight distance ahead (positive) or behind; `run` is about its horizontal
    distance.
    """
    run = np.full(len(wheel), abs(distance_m)) if run is None else run
    for _ in range(_ROUNDS):
        x = wheel[:, 0] + math.copysign(1.0, distance_m) * run
        rise = _height_m(x, bend) - wheel[:, 1]
        new = np.sqrt(np.maximum(distance_m**2 - rise**2, 0.0))
        settled = np.max(np.abs(new - run)) < _SETTLED_M
        run = new
        if settled:
            break
    return _on_road(wheel[:, 0] + math.copysign(1.0, distance_m) * run, bend)


def _pitch(rear: np.ndarray, front: np.ndarray) -> np.ndarray:
    return np.arctan2(front[:, 1] - rear[:, 1], front[:, 0] - rear[:, 0])


def _body_point(wheel: np.ndarray, pitch: np.ndarray, ahead_m: float, height_m: float) -> np.ndarray:
    """A point fixed to a vehicle, ahead of a contact point and above the line through both contact points."""
    return np.stack(
        [
            wheel[:, 0] + ahead_m * np.cos(pitch) - height_m * np.sin(pitch),
            wheel[:, 1] + ahead_m * np.sin(pitch) + height_m * np.cos(pitch),
        ],
        axis=1,
    )
