"""Safety chains: distance between anchors in a turn, slack, how low they hang, and how two share a pull."""

import math
from typing import NamedTuple

from scipy.optimize import brentq


class Anchors(NamedTuple):
    """Where both chains are fixed, seen from the ball centre; heights above the road."""

    receiver_spread_m: float  # between the two anchors on the receiver
    receiver_behind_ball_m: float  # negative ahead of the ball
    receiver_height_m: float
    bar_spread_m: float
    bar_behind_ball_m: float
    bar_height_m: float


class Gaps(NamedTuple):
    """Straight-line distance between the two ends of each chain."""

    left_m: float  # the chain fixed on the left of the receiver
    right_m: float


class Hang(NamedTuple):
    """A hanging chain."""

    lowest_m: float  # lowest point above the road
    sag_m: float  # lowest point below the lower end, 0 or more


def chain_gaps_m(anchors: Anchors, articulation_rad: float, *, crossed: bool) -> Gaps:
    """Distance between the ends of both chains when the bar stands at an angle.

    the bar's anchors turn about the ball: x = d·cos phi ∓ y·sin phi, y' = ±y·cos phi + d·sin phi; then Pythagoras

    Parameters
    ----------
    anchors : Anchors
        Where the chains are fixed.
    articulation_rad : float
        Angle between the vehicles, positive when the bar's rear end swings to the left.
    crossed : bool
        True when each chain goes to the other side of the bar.

    Returns
    -------
    Gaps
        Left and right, named by their end on the receiver.

    Raises
    ------
    ValueError
        When an anchor on the bar lies at or ahead of the ball.

    Breaks down when
        the chain wraps around the bar or the coupler: it then needs more.

    Source
        Geometry.

    Examples
    --------
    >>> anchors = Anchors(0.32, -0.20, 0.44, 0.22, 0.30, 0.53)
    >>> round(chain_gaps_m(anchors, 0.0, crossed=True).left_m, 4)
    0.5753
    """
    if anchors.bar_behind_ball_m <= 0:
        raise ValueError("the chain anchors on the bar must lie behind the ball")
    gaps = []
    for side in (1.0, -1.0):  # left, right
        bar_side = (-side if crossed else side) * anchors.bar_spread_m / 2.0
        behind = anchors.bar_behind_ball_m * math.cos(articulation_rad) + bar_side * math.sin(articulation_rad)
        across = bar_side * math.cos(articulation_rad) - anchors.bar_behind_ball_m * math.sin(articulation_rad)
        gaps.append(math.dist((behind, across, anchors.bar_height_m),
                              (anchors.receiver_behind_ball_m, side * anchors.receiver_spread_m / 2.0, anchors.receiver_height_m)))
    return Gaps(*gaps)


def longest_gap_m(anchors: Anchors, greatest_articulation_rad: float, *, crossed: bool, steps: int = 90) -> float:
    """Longest distance either chain must bridge anywhere up to the sharpest turn, both ways.

    max over phi in -phi_max … phi_max and both chains

    Parameters
    ----------
    anchors : Anchors
        Where the chains are fixed.
    greatest_articulation_rad : float
        Sharpest angle, 0 to below 90° or somewhat more.
    crossed : bool
        True when crossed.
    steps : int
        How finely the sweep goes, each way.

    Returns
    -------
    float
        Metres. The mirror symmetry of the pair makes one way enough.

    Breaks down when
        hooks and shackles are not counted: add their length on the fixed side or measure between their ends.

    Source
        Geometry.

    Examples
    --------
    >>> anchors = Anchors(0.32, -0.20, 0.44, 0.22, 0.30, 0.53)
    >>> round(longest_gap_m(anchors, math.radians(60), crossed=True), 3)
    0.583
    """
    return max(max(chain_gaps_m(anchors, greatest_articulation_rad * i / steps, crossed=crossed)) for i in range(steps + 1))


def hang(length_m: float, *, span_m: float, low_end_m: float, high_end_m: float) -> Hang:
    """How low a slack chain hangs between two ends (a catenary).

    sqrt(l² - dh²) = 2·a·sinh(s/(2a)) gives a; y = a·cosh((x - x0)/a) + c through both ends

    Parameters
    ----------
    length_m : float
        Length of chain between the ends.
    span_m : float
        Horizontal distance between the ends, 0 or more.
    low_end_m, high_end_m : float
        Heights of the ends above the road.

    Returns
    -------
    Hang
        Lowest point above the road, and below the lower end.

    Raises
    ------
    ValueError
        When the chain is shorter than the gap.

    Breaks down when
        the lowest point reaches the road, or links are few and stiff.

    Source
        Catenary, any statics textbook; a parabola is wrong at these sags. Root by scipy.optimize.brentq.

    Examples
    --------
    >>> round(hang(1.0, span_m=0.8, low_end_m=0.5, high_end_m=0.5).sag_m, 3)
    0.265
    """
    low, high = min(low_end_m, high_end_m), max(low_end_m, high_end_m)
    rise = high - low
    gap = math.hypot(span_m, rise)
    if length_m < gap:
        raise ValueError(f"a chain {length_m:.3f} m long cannot bridge a gap of {gap:.3f} m")
    if length_m <= gap * (1.0 + 1e-12):
        return Hang(low, 0.0)
    if span_m < 1e-9:  # both ends above each other: a loop hanging straight down
        sag = (length_m - rise) / 2.0
        return Hang(low - sag, sag)
    target = math.sqrt(length_m * length_m - rise * rise) / span_m
    u = brentq(lambda u: math.sinh(u) / u - target, 1e-8, 700.0 if target > 1e290 else _upper(target), xtol=1e-14, rtol=8.9e-16)
    a = span_m / (2.0 * u)
    # the lower end at x = 0: its distance from the lowest point, from rise = 2·a·sinh(u)·sinh((x_mid - x0)/a)
    middle_from_lowest = a * math.asinh(rise / (2.0 * a * math.sinh(u)))
    from_lowest = middle_from_lowest - span_m / 2.0  # negative: the lowest point lies between the ends
    sag = a * (math.cosh(from_lowest / a) - 1.0) if from_lowest < 0.0 else 0.0
    return Hang(low - sag, sag)


def _upper(target: float) -> float:
    u = 1.0
    while math.sinh(u) / u < target:
        u *= 2.0
    return u


def share_of_pull(angle_rad: float) -> float:
    """Force in each of two chains that share a pull, over the pull.

    T / F = 1 / (2·cos alpha), alpha from the line of pull

    Parameters
    ----------
    angle_rad : float
        Angle of each chain from the line of pull, 0 to below 90°.

    Returns
    -------
    float
        0.5 when both pull straight, 1 at 60°.

    Raises
    ------
    ValueError
        When the angle is not from 0 to below 90°.

    Breaks down when
        one chain is shorter: it then takes it all at first.

    Source
        Equilibrium of forces.

    Examples
    --------
    >>> round(share_of_pull(math.radians(30)), 4)
    0.5774
    """
    if not 0.0 <= angle_rad < math.pi / 2:
        raise ValueError("the angle must be from 0 to below 90 degrees")
    return 1.0 / (2.0 * math.cos(angle_rad))


def whole_links(length_m: float, link_pitch_m: float) -> int:
    """Fewest whole links that are at least this long.

    n = ceil(l / p)

    Parameters
    ----------
    length_m : float
        Length wanted, 0 or more.
    link_pitch_m : float
        Inside length of a link, above 0.

    Returns
    -------
    int
        Links.

    Raises
    ------
    ValueError
        When the pitch is not above zero.

    Breaks down when
        a link is worn or stretched: then the chain is to be replaced.

    Source
        Arithmetic.

    Examples
    --------
    >>> whole_links(0.61, 0.031)
    20
    """
    if link_pitch_m <= 0:
        raise ValueError("the link pitch must be above zero")
    return math.ceil(length_m / link_pitch_m - 1e-9)
