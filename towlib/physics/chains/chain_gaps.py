"""Safety chains: distance between anchors in a turn, slack, how low they hang, and how two share a pull."""

from collections.abc import Callable, Mapping
from typing import NamedTuple

from towlib.physics.basics import cases as math
from towlib.physics.basics.roots import root_between

LONGEST_CHAIN_LINKS = 500  # no safety chain has more; keeps a tiny link pitch from counting for ever


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


class LinksWindow(NamedTuple):
    """Whole links from fewest (does not bind) to most (does not drag); empty when most is below fewest."""

    fewest: int
    most: int


class Weakest(NamedTuple):
    """The part that gives way first."""

    part: str  # "" when no part's load is known
    load_n: float | None  # None when the load of any part is not known
    not_known: tuple[str, ...]


class Hang(NamedTuple):
    """A hanging chain."""

    lowest_m: float  # lowest point above the road
    sag_m: float  # lowest point below the lower end, 0 or more


def chain_gaps_m(anchors: Anchors, articulation_rad: float, *, crossed: bool) -> Gaps:
    """Distance between the ends of both chains when the bar stands at an angle.

    the bar's anchors turn about the ball: x = d·cos phi - y·sin phi, y' = y·cos phi + d·sin phi (y to the
    left); then Pythagoras

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
        behind = anchors.bar_behind_ball_m * math.cos(articulation_rad) - bar_side * math.sin(
            articulation_rad
        )
        across = bar_side * math.cos(articulation_rad) + anchors.bar_behind_ball_m * math.sin(
            articulation_rad
        )
        gaps.append(
            math.dist(
                (behind, across, anchors.bar_height_m),
                (
                    anchors.receiver_behind_ball_m,
                    side * anchors.receiver_spread_m / 2.0,
                    anchors.receiver_height_m,
                ),
            )
        )
    return Gaps(*gaps)


def longest_gap_m(anchors: Anchors, greatest_articulation_rad: float, *, crossed: bool) -> float:
    """Longest distance either chain must bridge anywhere up to the sharpest turn, both ways.

    max over phi in -phi_max … phi_max and both chains; the gap is longest at an end of the sweep or where
    both anchors lie opposite the ball

    Parameters
    ----------
    anchors : Anchors
        Where the chains are fixed.
    greatest_articulation_rad : float
        Sharpest angle, 0 to below 90° or somewhat more.
    crossed : bool
        True when crossed.

    Returns
    -------
    float
        Metres.

    Raises
    ------
    ValueError
        When the angle is negative or an anchor on the bar lies at or ahead of the ball.

    Breaks down when
        hooks and shackles are not counted: add their length on the fixed side or measure between their ends.

    Source
        Geometry: the bar's anchors move on a circle about the ball.

    Examples
    --------
    >>> anchors = Anchors(0.32, -0.20, 0.44, 0.22, 0.30, 0.53)
    >>> round(longest_gap_m(anchors, math.radians(60), crossed=True), 3)
    0.583
    """
    opposite = _apart_rad(anchors, crossed=crossed) + math.pi
    angles = _ends_and(opposite, greatest_articulation_rad)
    # mirrored chains: one way is enough
    return max(max(chain_gaps_m(anchors, angle, crossed=crossed)) for angle in angles)


def shortest_gap_m(anchors: Anchors, greatest_articulation_rad: float, *, crossed: bool) -> float:
    """Shortest distance between the ends of either chain anywhere up to the sharpest turn, both ways: there a
    chain hangs lowest.

    min over phi in -phi_max … phi_max and both chains; the gap is shortest in line, at an end of the sweep or
    where both anchors lie on one side of the ball

    Parameters
    ----------
    anchors : Anchors
        Where the chains are fixed.
    greatest_articulation_rad : float
        Sharpest angle, 0 to below 90° or somewhat more.
    crossed : bool
        True when crossed.

    Returns
    -------
    float
        Metres.

    Raises
    ------
    ValueError
        When the angle is negative or an anchor on the bar lies at or ahead of the ball.

    Breaks down when
        the chain wraps around the bar or the coupler.

    Source
        Geometry: the bar's anchors move on a circle about the ball.

    Examples
    --------
    >>> anchors = Anchors(0.32, -0.20, 0.44, 0.22, 0.30, 0.53)
    >>> round(shortest_gap_m(anchors, math.radians(60), crossed=True), 2)
    0.46
    """
    together = _apart_rad(anchors, crossed=crossed)
    angles = _ends_and(together, greatest_articulation_rad)
    return min(min(chain_gaps_m(anchors, angle, crossed=crossed)) for angle in (0.0, *angles))


def _apart_rad(anchors: Anchors, *, crossed: bool) -> float:
    """How far the receiver's left anchor lies from that of its chain on the bar, seen from the ball, in
    line.
    """
    bar_side = anchors.bar_spread_m / 2.0 * (-1.0 if crossed else 1.0)
    on_receiver = math.atan2(anchors.receiver_spread_m / 2.0, anchors.receiver_behind_ball_m)
    return on_receiver - math.atan2(bar_side, anchors.bar_behind_ball_m)


def _ends_and(between_rad: float, greatest_articulation_rad: float) -> list[float]:
    """Angles of a sweep at which a gap may be longest or shortest: its end, and one between where it is
    reached.
    """
    if greatest_articulation_rad < 0:
        raise ValueError("the sharpest articulation cannot be negative")
    between = abs(math.remainder(between_rad, 2.0 * math.pi))
    return [greatest_articulation_rad, *([between] if between < greatest_articulation_rad else [])]


def slack_m(length_m: float, anchors: Anchors, articulation_rad: float, *, crossed: bool) -> Gaps:
    """How much longer each chain is than its gap.

    slack = length - gap

    Parameters
    ----------
    length_m : float
        Length of each chain between its ends.
    anchors : Anchors
        Where the chains are fixed.
    articulation_rad : float
        Angle between the vehicles, positive when the bar's rear end swings to the left.
    crossed : bool
        True when crossed.

    Returns
    -------
    Gaps
        Left and right in metres; negative where the chain binds.

    Raises
    ------
    ValueError
        When an anchor on the bar lies at or ahead of the ball.

    Breaks down when
        the chain wraps around the bar or the coupler.

    Source
        Geometry.

    Examples
    --------
    >>> anchors = Anchors(0.32, -0.20, 0.44, 0.22, 0.30, 0.53)
    >>> round(slack_m(0.62, anchors, 0.0, crossed=True).left_m, 3)
    0.045
    """
    gaps = chain_gaps_m(anchors, articulation_rad, crossed=crossed)
    return Gaps(length_m - gaps.left_m, length_m - gaps.right_m)


def extra_length_m(anchors: Anchors, greatest_articulation_rad: float, *, crossed: bool) -> float:
    """How much more chain the sharpest turn needs than driving straight.

    longest gap up to phi_max - gap at phi = 0

    Parameters
    ----------
    anchors : Anchors
        Where the chains are fixed.
    greatest_articulation_rad : float
        Sharpest angle, 0 or more.
    crossed : bool
        True when crossed.

    Returns
    -------
    float
        Metres, 0 or more. Crossed chains need no more of it than parallel ones between the same anchors as
        long as the receiver's anchors lie level with the ball or ahead of it; in whole they are always the
        longer ones.

    Raises
    ------
    ValueError
        When the angle is negative or an anchor on the bar lies at or ahead of the ball.

    Breaks down when
        the receiver's anchors lie behind the ball: then crossed chains may need more.

    Source
        Geometry; D² = A - B·cos(angle between the anchors seen from the ball), whose slope is the smaller one
        for crossed chains.

    Examples
    --------
    >>> anchors = Anchors(0.32, -0.20, 0.44, 0.22, 0.30, 0.53)
    >>> extra_length_m(anchors, 1.0, crossed=True) < extra_length_m(anchors, 1.0, crossed=False)
    True
    """
    straight_m = max(chain_gaps_m(anchors, 0.0, crossed=crossed))
    return longest_gap_m(anchors, greatest_articulation_rad, crossed=crossed) - straight_m


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
        Heights of the ends above the road; which is which does not matter.

    Returns
    -------
    Hang
        Lowest point above the road, and below the lower end.

    Raises
    ------
    ValueError
        When the chain is shorter than the gap, or the span is negative.

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
    if span_m < 0:
        raise ValueError("the span of a chain cannot be negative")
    if length_m < gap:
        raise ValueError(f"a chain {length_m:.3f} m long cannot bridge a gap of {gap:.3f} m")
    if length_m <= gap * (1.0 + 1e-12):
        return Hang(low, 0.0)
    if span_m < 1e-6 * length_m:  # both ends above each other: a loop hanging straight down
        sag = (length_m - rise) / 2.0
        return Hang(low - sag, sag)
    u = _half_span_over_a(math.sqrt((length_m - rise) * (length_m + rise)) / span_m)
    a = span_m / (2.0 * u)
    # the lower end at x = 0: its distance from the lowest point, from rise = 2·a·sinh(u)·sinh((x_mid - x0)/a)
    from_lowest = math.asinh(rise / (2.0 * a * math.sinh(u))) - u
    # positive: the chain rises from its lower end
    sag = 2.0 * a * math.sinh(from_lowest / 2.0) ** 2 if from_lowest < 0.0 else 0.0
    return Hang(low - sag, sag)


def _half_span_over_a(stretch: float) -> float:
    """The u with sinh(u)/u = stretch."""
    highest = 1.0
    while math.sinh(highest) / highest < stretch:
        highest *= 1.5
    return root_between(lambda u: math.sinh(u) / u - stretch, 1e-9, highest, tolerance=1e-14)


def lowest_point_m(length_m: float, anchors: Anchors, articulation_rad: float, *, crossed: bool) -> float:
    """Lowest point above the road of either slack chain, at an articulation.

    the catenary of each chain over the horizontal distance between its ends

    Parameters
    ----------
    length_m : float
        Length of each chain between its ends.
    anchors : Anchors
        Where the chains are fixed.
    articulation_rad : float
        Angle between the vehicles.
    crossed : bool
        True when crossed.

    Returns
    -------
    float
        Metres above a level road; negative when the chain would lie on it.

    Raises
    ------
    ValueError
        When a chain is shorter than its gap, or an anchor on the bar lies at or ahead of the ball.

    Breaks down when
        a chain rests on the bar or on the other chain: it then hangs higher.

    Source
        Catenary, see hang.

    Examples
    --------
    >>> anchors = Anchors(0.32, -0.20, 0.44, 0.22, 0.30, 0.53)
    >>> lowest_point_m(0.62, anchors, 0.0, crossed=True) < 0.44
    True
    """
    gaps = chain_gaps_m(anchors, articulation_rad, crossed=crossed)
    return min(_lowest_over_m(length_m, anchors, gap) for gap in gaps)


def lowest_in_turns_m(
    length_m: float, anchors: Anchors, greatest_articulation_rad: float, *, crossed: bool
) -> float:
    """Lowest point above the road of either slack chain anywhere up to the sharpest turn, both ways.

    the catenary over the shortest gap of the sweep: the nearer its ends come, the lower a chain hangs

    Parameters
    ----------
    length_m : float
        Length of each chain between its ends.
    anchors : Anchors
        Where the chains are fixed.
    greatest_articulation_rad : float
        Sharpest angle, 0 or more.
    crossed : bool
        True when crossed.

    Returns
    -------
    float
        Metres above a level road; negative when the chain would lie on it.

    Raises
    ------
    ValueError
        When a chain is shorter than its gap in line, the angle is negative, or an anchor on the bar lies at
        or ahead of the ball.

    Breaks down when
        a chain rests on the bar or on the other chain: it then hangs higher.

    Source
        Catenary, see hang; checked against a fine sweep of the articulation.

    Examples
    --------
    >>> anchors = Anchors(0.32, -0.20, 0.44, 0.22, 0.30, 0.53)
    >>> in_line = lowest_point_m(0.62, anchors, 0.0, crossed=True)
    >>> lowest_in_turns_m(0.62, anchors, math.radians(60), crossed=True) < in_line
    True
    """
    straight = max(chain_gaps_m(anchors, 0.0, crossed=crossed))
    if length_m < straight:
        raise ValueError(f"a chain {length_m:.3f} m long cannot bridge a gap of {straight:.3f} m")
    return _lowest_over_m(
        length_m, anchors, shortest_gap_m(anchors, greatest_articulation_rad, crossed=crossed)
    )


def _lowest_over_m(length_m: float, anchors: Anchors, gap_m: float) -> float:
    """Lowest point of a chain whose ends are so far apart."""
    rise = anchors.bar_height_m - anchors.receiver_height_m
    return hang(
        length_m,
        span_m=math.sqrt(max(0.0, gap_m * gap_m - rise * rise)),
        low_end_m=anchors.receiver_height_m,
        high_end_m=anchors.bar_height_m,
    ).lowest_m


def most_links(holds: Callable[[int], bool], least: int) -> int:
    """The most links for which something holds that a longer chain only ever loses.

    bisection between the least number and 500

    Parameters
    ----------
    holds : function
        Takes a number of links and says whether it holds.
    least : int
        The smallest number that is asked about, 1 or more.

    Returns
    -------
    int
        That number of links; one below `least` when it does not even hold there.

    Raises
    ------
    ValueError
        When the least number is below 1.

    Breaks down when
        what is asked holds again for more links.

    Source
        Bisection.

    Examples
    --------
    >>> most_links(lambda links: links * 0.031 < 0.7, 19), most_links(lambda links: False, 19)
    (22, 18)
    """
    if least < 1:
        raise ValueError("a chain has at least one link")
    good, bad = least - 1, max(least, LONGEST_CHAIN_LINKS + 1)
    while bad - good > 1:
        middle = least if good < least else (good + bad) // 2
        good, bad = (middle, bad) if holds(middle) else (good, middle)
    return good


def links_window(
    anchors: Anchors,
    greatest_articulation_rad: float,
    *,
    crossed: bool,
    link_pitch_m: float,
    clearance_m: float,
) -> LinksWindow:
    """Whole links that neither bind nor hang lower than the clearance anywhere up to the sharpest turn.

    fewest: ceil(longest gap / pitch); most: the last n whose lowest point ≥ clearance at every angle

    Parameters
    ----------
    anchors : Anchors
        Where the chains are fixed.
    greatest_articulation_rad : float
        Sharpest angle, 0 or more.
    crossed : bool
        True when crossed.
    link_pitch_m : float
        Inside length of a link, above 0.
    clearance_m : float
        Least height of the lowest point above the road, 0 or more.

    Returns
    -------
    LinksWindow
        Fewest and most links; no number of links does both when most is below fewest.

    Raises
    ------
    ValueError
        When the pitch is not above zero, or so small that the chain would have more than 500 links.

    Breaks down when
        the road dips: take a larger clearance, or swivel hooks add length.

    Source
        Geometry and catenary.

    Examples
    --------
    >>> anchors = Anchors(0.32, -0.20, 0.44, 0.22, 0.30, 0.53)
    >>> links_window(anchors, 1.05, crossed=True, link_pitch_m=0.031, clearance_m=0.25)
    LinksWindow(fewest=19, most=22)
    """
    fewest = whole_links(longest_gap_m(anchors, greatest_articulation_rad, crossed=crossed), link_pitch_m)
    if fewest > LONGEST_CHAIN_LINKS:
        raise ValueError(f"links {1000 * link_pitch_m:.2f} mm long are too short for a safety chain")
    straight = max(chain_gaps_m(anchors, 0.0, crossed=crossed))
    gap = shortest_gap_m(anchors, greatest_articulation_rad, crossed=crossed)

    def clears(links: int) -> bool:
        return _lowest_over_m(max(links * link_pitch_m, straight), anchors, gap) >= clearance_m

    return LinksWindow(fewest, most_links(clears, max(1, whole_links(straight, link_pitch_m))))


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


def strength_by_rule_n(working_load_n: float, *, break_factor: float, count: str, compare: str) -> float:
    """Strength of two chains as a law's rule counts it.

    working load, or working load · break factor; of one chain, or of both together

    Parameters
    ----------
    working_load_n : float
        Working load of one chain.
    break_factor : float
        Breaking load over working load, 3 to 4 by the chain's grade.
    count : str
        'each': each chain alone must hold the towed weight; 'both': both together.
    compare : str
        'working' or 'breaking': the load the law compares.

    Returns
    -------
    float
        Newtons, to be held against the towed weight.

    Raises
    ------
    ValueError
        When count or compare is another word, or a load is negative.

    Breaks down when
        hooks, links or anchors are weaker than the chain: see weakest.

    Source
        49 CFR 393.70(d) guidance: both together, breaking; N.H. RSA 266:63: each, breaking; read in copies.
        Which rule holds is a matter of local law.

    Examples
    --------
    >>> strength_by_rule_n(24_000.0, break_factor=3.0, count="both", compare="breaking")
    144000.0
    """
    if count not in ("each", "both") or compare not in ("working", "breaking"):
        raise ValueError("the rule counts 'each' or 'both' and compares 'working' or 'breaking'")
    if working_load_n < 0 or break_factor <= 0:
        raise ValueError("the working load cannot be negative and the break factor must be above zero")
    return (
        working_load_n * (break_factor if compare == "breaking" else 1.0) * (2.0 if count == "both" else 1.0)
    )


def weakest(loads_n: Mapping[str, float | None]) -> Weakest:
    """The weakest of chain, hook, quick link and anchor.

    min of the loads; not known as long as one of them is not

    Parameters
    ----------
    loads_n : mapping of str to float or None
        Load of each part by its name; None when not known.

    Returns
    -------
    Weakest
        Part and load; the load is None when any part's is not known, because that part may be the weakest.

    Raises
    ------
    ValueError
        When there are no parts.

    Breaks down when
        working loads and breaking loads are mixed: compare like with like.

    Source
        49 CFR 393.108(a): an assembly is as strong as its weakest component, its anchor included (read in an
        excerpt).

    Examples
    --------
    >>> weakest({"chain": 24_000.0, "hook": 21_000.0, "anchor": None})
    Weakest(part='hook', load_n=None, not_known=('anchor',))
    """
    if not loads_n:
        raise ValueError("there are no parts to compare")
    known = {part: load for part, load in loads_n.items() if load is not None}
    part = min(known, key=known.__getitem__, default="")
    not_known = tuple(part for part in loads_n if part not in known)
    return Weakest(part, None if not_known else known[part], not_known)
