"""Ties between the speeds of a driveline: gears, differentials, wheels that roll; each is one linear
equation.
"""

import math
from typing import NamedTuple


class Tie(NamedTuple):
    """One condition on speeds: the sum of factor times speed is `value_rpm`."""

    name: str  # in words, for a sentence that names it
    terms: tuple[tuple[str, float], ...]  # part and factor
    value_rpm: float = 0.0


class WheelSpeeds(NamedTuple):
    """Road speed of the hub of each wheel."""

    front_left_m_s: float
    front_right_m_s: float
    rear_left_m_s: float
    rear_right_m_s: float


def gear(name: str, fast: str, slow: str, *, ratio: float = 1.0) -> Tie:
    """A pair of gears, or with ratio 1 a rigid coupling.

    n_fast = i·n_slow

    Parameters
    ----------
    name : str
        What is called by this name in a sentence.
    fast, slow : str
        The two parts; directions of turning are not followed through bevel gears.
    ratio : float
        Turns of the fast part for one of the slow part, above 0.

    Returns
    -------
    Tie
        The equation.

    Raises
    ------
    ValueError
        When the ratio is not above zero or both names are the same.

    Breaks down when
        a clutch slips or teeth are missing.

    Source
        Gears roll on each other without slip.

    Examples
    --------
    >>> gear("final drive", "pinion", "ring", ratio=4.1).terms
    (('pinion', 1.0), ('ring', -4.1))
    """
    if not (ratio > 0 and math.isfinite(ratio)) or fast == slow:
        raise ValueError("a pair of gears needs a ratio above zero and two parts")
    return Tie(name, ((fast, 1.0), (slow, -ratio)))


def differential(name: str, case: str, sides: tuple[str, str], *, first_share: float = 0.5) -> Tie:
    """An open differential; add a rigid coupling of its sides to lock it.

    n_case = s·n_1 + (1 - s)·n_2; for an axle s = 1/2, so 2·n_case = n_left + n_right

    Parameters
    ----------
    name : str
        What is called by this name in a sentence.
    case : str
        The part that carries the planets.
    sides : tuple of two str
        The two output parts.
    first_share : float
        Share of the torque that goes to the first side, 0 to 1; 1/2 with bevel gears, other values with a
        planetary set.

    Returns
    -------
    Tie
        The equation.

    Raises
    ------
    ValueError
        When the share is not between 0 and 1.

    Breaks down when
        friction plates or a viscous coupling bind the sides together: their torque is not in a speed
        equation.

    Source
        Power in is power out: T·n_case = s·T·n_1 + (1 - s)·T·n_2.

    Examples
    --------
    >>> differential("axle", "case", ("left", "right")).terms
    (('case', 1.0), ('left', -0.5), ('right', -0.5))
    """
    if not 0.0 < first_share < 1.0:
        raise ValueError("the torque share of a differential must lie between 0 and 1")
    return Tie(name, ((case, 1.0), (sides[0], -first_share), (sides[1], first_share - 1.0)))


def turning_at(name: str, part: str, speed_rpm: float) -> Tie:
    """A part whose speed is given: a rolling wheel, a strapped wheel or a shaft in the park pawl (0).

    n = value

    Parameters
    ----------
    name : str
        What is called by this name in a sentence.
    part : str
        The part.
    speed_rpm : float
        Its speed.

    Returns
    -------
    Tie
        The equation.

    Breaks down when
        a tyre skids or the pawl jumps.

    Source
        Definition.

    Examples
    --------
    >>> turning_at("park pawl", "output", 0.0).terms
    (('output', 1.0),)
    """
    return Tie(name, ((part, 1.0),), speed_rpm)


def wheel_rpm(speed_m_s: float, rolling_radius_m: float) -> float:
    """How fast a rolling wheel turns.

    n = 60·v/(2·pi·r)

    Parameters
    ----------
    speed_m_s : float
        Speed of its hub over the road.
    rolling_radius_m : float
        Hub to ground, loaded, above 0.

    Returns
    -------
    float
        Turns in a minute.

    Raises
    ------
    ValueError
        When the radius is not above zero.

    Breaks down when
        the tyre slips. A tyre rolls on a radius a few per cent larger than hub to ground (from memory).

    Source
        v = r·omega, OpenStax College Physics 6.1 (read).

    Examples
    --------
    >>> round(wheel_rpm(15.0, 0.300) * 2 * math.pi / 60, 6)
    50.0
    """
    if rolling_radius_m <= 0:
        raise ValueError("the rolling radius must be above zero")
    return 60.0 * speed_m_s / (2.0 * math.pi * rolling_radius_m)


def wheel_speeds_m_s(
    speed_m_s: float, left_curvature_1_m: float, *, track_m: float, wheelbase_m: float
) -> WheelSpeeds:
    """Speeds of four wheels that follow a curve without scrubbing.

    each wheel: its distance from the centre of the curve, over that of the middle of the rear axle, times v

    Parameters
    ----------
    speed_m_s : float
        Speed of the middle of the rear axle.
    left_curvature_1_m : float
        One over the radius on which the middle of the rear axle runs; positive to the left, 0 straight on.
    track_m : float
        Between the wheels of an axle, above 0.
    wheelbase_m : float
        Between the axles, above 0.

    Returns
    -------
    WheelSpeeds
        All at or above zero for a speed at or above zero.

    Raises
    ------
    ValueError
        When track or wheelbase is not above zero, or the inner rear wheel would stand still or turn back.

    Breaks down when
        tyres need slip angles to take the curve, that is at speed.

    Source
        Geometry: a body that turns about a point on the line of its rear axle.

    Examples
    --------
    >>> [round(v, 2) for v in wheel_speeds_m_s(5.0, 0.1, track_m=1.5, wheelbase_m=2.4)]
    [4.78, 5.51, 4.62, 5.38]
    """
    if min(track_m, wheelbase_m) <= 0:
        raise ValueError("track and wheelbase must be above zero")
    if abs(left_curvature_1_m) * track_m >= 2.0:
        raise ValueError("the curve is so tight that the inner rear wheel would not roll forwards")
    inner, outer = 1.0 - left_curvature_1_m * track_m / 2.0, 1.0 + left_curvature_1_m * track_m / 2.0
    ahead = left_curvature_1_m * wheelbase_m
    return WheelSpeeds(
        speed_m_s * math.hypot(inner, ahead),
        speed_m_s * math.hypot(outer, ahead),
        speed_m_s * inner,
        speed_m_s * outer,
    )
