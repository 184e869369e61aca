"""Where the bar's nose ends up when the coupler lets go: on the road, or held by the chains."""

from typing import NamedTuple

from towlib.physics.basics import cases as math
from towlib.physics.chains.chain_gaps import Anchors, chain_gaps_m

CRADLE = "the crossed chains under the nose"
ANCHORS = "the chains at their anchors on the bar"
ROAD = "the road"
PINS = "nothing but its pins"


class Nose(NamedTuple):
    """The lowest place of the coupler after it has let go."""

    height_m: float  # underside of the nose above the road, 0 when it lies on it
    touches_road: bool
    held_by: str
    slid_height_m: (
        float  # the same when the bar has run forward through the crossing; parallel chains: no difference
    )


class BarInSideView(NamedTuple):
    """The bar as it hangs, heights above the road, distances ahead of the bracket pins."""

    drop_rad: float  # nose below the pins: positive
    nose_ahead_m: float
    nose_height_m: float
    anchor_ahead_m: float
    anchor_height_m: float


def lowest_nose_m(
    length_m: float,
    anchors: Anchors,
    *,
    bar_length_m: float,
    pin_height_m: float,
    crossed: bool,
    ball_height_m: float | None = None,
    coupler_depth_m: float = 0.0,
) -> Nose:
    """Lowest place the chains leave to the bar's nose when the coupler lets go and the towed vehicle rolls as
    it likes.

    at the anchors: h_A ≥ h_r - sqrt(L² - w²), w = |s_r - s_b|/2, crossed (s_r + s_b)/2;
    crossed under the nose as well: h_P ≥ h_r - sqrt((L - c)² - (s_r/2)²), c from P back to the anchor on the
    bar;
    the bar turns about its pins: h = h_pin - a·sin theta + e·cos theta for a point a ahead of the pins, e
    above the bar

    Parameters
    ----------
    length_m : float
        Length of each chain between its ends.
    anchors : Anchors
        Where the chains are fixed while the pair is coupled and in line.
    bar_length_m : float
        Ball centre to bracket pins along the bar.
    pin_height_m : float
        Bracket pins above the road.
    crossed : bool
        True when each chain goes to the other side, under the bar.
    ball_height_m : float or None
        Ball centre above the road while coupled; None for a level bar.
    coupler_depth_m : float
        Underside of the coupler below the bar's line, 0 or more.

    Returns
    -------
    Nose
        Height, whether it touches the road, what holds it, and the height when the crossing has slid back
        along the bar.

    Raises
    ------
    ValueError
        When the chain cannot be hooked up while coupled, or the bar cannot stand so.

    Breaks down when
        the crossing does not stay under the nose: nothing but friction and the coupler's shape keeps it
        there, and when
        the towed vehicle runs forward the bar slides through it: then only slid_height_m is certain. Chains
        over the bar hold no nose. Bouncing, a dip in the road and the front suspension take more.

    Source
        Geometry of rods and slack chains; checked against scipy.optimize with free contact point and
        position.

    Examples
    --------
    >>> anchors = Anchors(0.32, -0.20, 0.44, 0.22, 0.30, 0.53)
    >>> nose = lowest_nose_m(0.62, anchors, bar_length_m=1.5, pin_height_m=0.53, crossed=True)
    >>> round(nose.height_m, 3), nose.touches_road, nose.slid_height_m
    (0.186, False, 0.0)
    """
    along_m, above_m = _anchor_on_bar(anchors, bar_length_m, pin_height_m, ball_height_m=ball_height_m)
    if coupler_depth_m < 0:
        raise ValueError("the depth of the coupler cannot be negative")
    gap_m = chain_gaps_m(anchors, 0.0, crossed=crossed).left_m
    if length_m < gap_m:
        raise ValueError(f"a chain {length_m:.3f} m long cannot bridge a gap of {gap_m:.3f} m")
    lowest_rad = math.pi / 2 - math.atan2(coupler_depth_m, bar_length_m)
    sideways_m = _sideways_m(anchors, crossed=crossed)
    anchor_drop_m = math.sqrt((length_m - sideways_m) * (length_m + sideways_m))
    by_anchors = _angle_rad(
        anchors.receiver_height_m - anchor_drop_m - pin_height_m, bar_length_m - along_m, above_m
    )
    angle, holder = min((by_anchors, ANCHORS), (lowest_rad, PINS))
    slid_rad = angle
    if crossed:
        back_m = math.hypot(along_m, anchors.bar_spread_m / 2.0, above_m + coupler_depth_m)
        needed_m = length_under_coupler_m(
            anchors,
            bar_length_m=bar_length_m,
            pin_height_m=pin_height_m,
            ball_height_m=ball_height_m,
            coupler_depth_m=coupler_depth_m,
        )
        if length_m < needed_m:
            raise ValueError(
                f"a chain {length_m:.3f} m long cannot cross under the coupler: that takes {needed_m:.3f} m"
            )
        half_m, free_m = anchors.receiver_spread_m / 2.0, length_m - back_m
        by_cradle = _angle_rad(
            anchors.receiver_height_m - math.sqrt((free_m - half_m) * (free_m + half_m)) - pin_height_m,
            bar_length_m,
            -coupler_depth_m,
        )
        angle, holder = min((by_cradle, CRADLE), (angle, holder))
    height_m, slid_m = (
        pin_height_m - bar_length_m * math.sin(turn) - coupler_depth_m * math.cos(turn)
        for turn in (angle, slid_rad)
    )
    if height_m <= 0.0:
        return Nose(0.0, True, ROAD, 0.0)
    return Nose(height_m, False, holder, max(0.0, slid_m))


def length_under_coupler_m(
    anchors: Anchors,
    *,
    bar_length_m: float,
    pin_height_m: float,
    ball_height_m: float | None = None,
    coupler_depth_m: float = 0.0,
) -> float:
    """Shortest chain that crosses under the coupler with the pair coupled and in line.

    receiver's anchor to the underside of the coupler, and from there to the anchor on the bar, both straight

    Parameters
    ----------
    anchors : Anchors
        Where the chains are fixed while the pair is coupled and in line.
    bar_length_m : float
        Ball centre to bracket pins along the bar.
    pin_height_m : float
        Bracket pins above the road.
    ball_height_m : float or None
        Ball centre above the road while coupled; None for a level bar.
    coupler_depth_m : float
        Underside of the coupler below the bar's line, 0 or more.

    Returns
    -------
    float
        Metres.

    Raises
    ------
    ValueError
        When the bar cannot stand so.

    Breaks down when
        the chains touch the coupler elsewhere than under the ball, or the pair turns: the outer chain then
        needs more.

    Source
        Pythagoras, twice.

    Examples
    --------
    >>> anchors = Anchors(0.32, -0.20, 0.44, 0.22, 0.30, 0.53)
    >>> round(length_under_coupler_m(anchors, bar_length_m=1.5, pin_height_m=0.53, coupler_depth_m=0.03), 3)
    0.584
    """
    along_m, above_m = _anchor_on_bar(anchors, bar_length_m, pin_height_m, ball_height_m=ball_height_m)
    ball_m = pin_height_m if ball_height_m is None else ball_height_m
    return math.hypot(along_m, anchors.bar_spread_m / 2.0, above_m + coupler_depth_m) + math.hypot(
        anchors.receiver_behind_ball_m,
        anchors.receiver_spread_m / 2.0,
        ball_m - coupler_depth_m - anchors.receiver_height_m,
    )


def anchors_when_sunk(
    anchors: Anchors,
    *,
    receiver_sinks_m: float,
    ball_sinks_m: float,
    bar_length_m: float,
    pin_height_m: float,
    ball_height_m: float,
) -> Anchors:
    """Where the chains are fixed once the tow vehicle has sunk on its springs: the receiver's anchors go down
    with it, and the bar turns about its pins with those it carries.

    an anchor of the bar keeps its place in the bar's own frame; sin of the slope = (h_pin - h_ball) / l

    Parameters
    ----------
    anchors : Anchors
        As they were measured.
    receiver_sinks_m, ball_sinks_m : float
        How far the receiver's anchors and the ball sink from there, negative where they rise.
    bar_length_m : float
        Ball centre to bracket pins along the bar.
    pin_height_m : float
        Bracket pins above the road, which do not sink.
    ball_height_m : float
        Ball centre above the road after it has sunk.

    Returns
    -------
    Anchors
        The same anchors afterwards.

    Raises
    ------
    ValueError
        When the bar cannot stand so.

    Breaks down when
        the towed vehicle sinks as well: its springs are not asked for.

    Source
        Geometry.

    Examples
    --------
    >>> level = Anchors(0.3, -0.2, 0.44, 0.2, 0.3, 0.5)
    >>> sunk = anchors_when_sunk(
    ...     level,
    ...     receiver_sinks_m=0.04,
    ...     ball_sinks_m=0.05,
    ...     bar_length_m=1.5,
    ...     pin_height_m=0.5,
    ...     ball_height_m=0.45,
    ... )
    >>> round(sunk.receiver_height_m, 3), round(sunk.bar_height_m, 3)
    (0.4, 0.46)
    """
    along_m, above_m = _anchor_on_bar(
        anchors, bar_length_m, pin_height_m, ball_height_m=ball_height_m + ball_sinks_m
    )
    if abs(pin_height_m - ball_height_m) >= bar_length_m or ball_height_m <= 0:
        raise ValueError("the bar must have a length, lie above the road and reach from the ball to its pins")
    slope = math.asin((pin_height_m - ball_height_m) / bar_length_m)
    return anchors._replace(
        receiver_height_m=anchors.receiver_height_m - receiver_sinks_m,
        bar_behind_ball_m=along_m * math.cos(slope) - above_m * math.sin(slope),
        bar_height_m=ball_height_m + along_m * math.sin(slope) + above_m * math.cos(slope),
    )


def hanging_bar(
    nose_height_m: float,
    anchors: Anchors,
    *,
    bar_length_m: float,
    pin_height_m: float,
    ball_height_m: float | None = None,
    coupler_depth_m: float = 0.0,
) -> BarInSideView:
    """The bar turned about its pins until its nose is at a height, for a drawing.

    h_pin - l·sin theta - p·cos theta = h

    Parameters
    ----------
    nose_height_m : float
        Underside of the nose above the road.
    anchors : Anchors
        Where the chains are fixed while the pair is coupled and in line.
    bar_length_m : float
        Ball centre to bracket pins along the bar.
    pin_height_m : float
        Bracket pins above the road.
    ball_height_m : float or None
        Ball centre above the road while coupled; None for a level bar.
    coupler_depth_m : float
        Underside of the coupler below the bar's line, 0 or more.

    Returns
    -------
    BarInSideView
        Angle, and nose and anchors seen from the side; the nose is the end of the bar's line.

    Raises
    ------
    ValueError
        When the bar does not reach so low, or cannot stand so at all.

    Breaks down when
        the front suspension gives way.

    Source
        Geometry.

    Examples
    --------
    >>> hanging_bar(0.0, Anchors(0.3, -0.2, 0.44, 0.2, 0.3, 0.5), bar_length_m=1.0, pin_height_m=0.5).drop_rad
    0.5235987755982989
    """
    along_m, above_m = _anchor_on_bar(anchors, bar_length_m, pin_height_m, ball_height_m=ball_height_m)
    ratio = (pin_height_m - nose_height_m) / math.hypot(bar_length_m, coupler_depth_m)
    if not -1.0 <= ratio <= 1.0:
        raise ValueError(f"a bar {bar_length_m:.2f} m long does not reach a height of {nose_height_m:.2f} m")
    turn = math.asin(ratio) - math.atan2(coupler_depth_m, bar_length_m)
    sin, cos, behind_m = math.sin(turn), math.cos(turn), bar_length_m - along_m
    return BarInSideView(
        turn,
        bar_length_m * cos,
        pin_height_m - bar_length_m * sin,
        behind_m * cos + above_m * sin,
        pin_height_m - behind_m * sin + above_m * cos,
    )


def _anchor_on_bar(
    anchors: Anchors, bar_length_m: float, pin_height_m: float, *, ball_height_m: float | None
) -> tuple[float, float]:
    """The anchor in the bar's own frame: behind the ball along the bar, and above the bar's line."""
    ball_m = pin_height_m if ball_height_m is None else ball_height_m
    rise_m = pin_height_m - ball_m
    if min(bar_length_m, pin_height_m, ball_m) <= 0 or abs(rise_m) >= bar_length_m:
        raise ValueError("the bar must have a length, lie above the road and reach from the ball to its pins")
    slope = math.asin(rise_m / bar_length_m)
    up_m = anchors.bar_height_m - ball_m
    along_m = anchors.bar_behind_ball_m * math.cos(slope) + up_m * math.sin(slope)
    if not 0.0 < along_m < bar_length_m:
        raise ValueError("the chain anchors on the bar must lie between the ball and the bracket pins")
    return along_m, up_m * math.cos(slope) - anchors.bar_behind_ball_m * math.sin(slope)


def _sideways_m(anchors: Anchors, *, crossed: bool) -> float:
    """Sideways between the two ends of a chain, vehicles in line."""
    spread = (
        anchors.receiver_spread_m + anchors.bar_spread_m
        if crossed
        else anchors.receiver_spread_m - anchors.bar_spread_m
    )
    return abs(spread) / 2.0


def _angle_rad(height_over_pins_m: float, ahead_m: float, above_m: float) -> float:
    """Turn of the bar that brings a point of it to a height: a·sin theta - e·cos theta = -height; 90° when it
    never does.
    """
    ratio = -height_over_pins_m / math.hypot(ahead_m, above_m)
    return math.pi if ratio >= 1.0 else math.asin(max(-1.0, ratio)) + math.atan2(above_m, ahead_m)
