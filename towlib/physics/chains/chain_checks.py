"""Safety chains that could not be fitted, the angle they pull at, and the second pair at the towed
vehicle.
"""

from towlib.physics.basics import cases as math
from towlib.physics.chains.chain_gaps import Anchors, Gaps, chain_gaps_m


def require_fitting(
    length_m: float, anchors: Anchors, *, crossed: bool, ball_diameter_m: float = 0.0508
) -> None:
    """Refuse, in one sentence, chains that could not be hooked up with the vehicles in line.

    every anchor outside the ball seen from above: sqrt(x² + y²) ≥ r; chain ≥ gap at phi = 0

    Parameters
    ----------
    length_m : float
        Length of each chain between its ends.
    anchors : Anchors
        Where the chains are fixed.
    crossed : bool
        True when crossed.
    ball_diameter_m : float
        Ball, 50.8 mm (2 in) unless given.

    Returns
    -------
    None
        Nothing; what cannot be fitted is raised.

    Raises
    ------
    ValueError
        When spreads are negative, an anchor would lie inside the ball seen from above, or the chain is too
        short.

    Breaks down when
        the bodies of ball mount and coupler are in the way: only the ball is looked at.

    Source
        Geometry.

    Examples
    --------
    >>> require_fitting(0.62, Anchors(0.32, -0.20, 0.44, 0.22, 0.30, 0.53), crossed=True)
    """
    if min(anchors.receiver_spread_m, anchors.bar_spread_m, ball_diameter_m) < 0:
        raise ValueError("the distance between two anchors cannot be negative")
    for place, behind_m, spread_m in (
        ("receiver", anchors.receiver_behind_ball_m, anchors.receiver_spread_m),
        ("bar", anchors.bar_behind_ball_m, anchors.bar_spread_m),
    ):
        if math.hypot(behind_m, spread_m / 2.0) < ball_diameter_m / 2.0:
            raise ValueError(f"the chain anchors on the {place} would lie inside the ball")
    gap_m = max(chain_gaps_m(anchors, 0.0, crossed=crossed))
    if length_m < gap_m:
        raise ValueError(
            f"a chain {length_m:.3f} m long cannot be hooked up: the gap is {gap_m:.3f} m with the vehicles"
            " in line"
        )


def chain_angles_rad(anchors: Anchors, articulation_rad: float, *, crossed: bool) -> Gaps:
    """Angle of each chain from the line of pull, as it lies between its ends while coupled.

    the line of pull joins the middles of both pairs of anchors; cos alpha = u·v / (|u|·|v|)

    Parameters
    ----------
    anchors : Anchors
        Where the chains are fixed.
    articulation_rad : float
        Angle between the vehicles, positive when the bar's rear end swings to the left.
    crossed : bool
        True when crossed.

    Returns
    -------
    Gaps
        Radians, left and right by the end on the receiver.

    Raises
    ------
    ValueError
        When the middles of both pairs meet, or an anchor on the bar lies at or ahead of the ball.

    Breaks down when
        the coupler has let go and the slack is gone: the chains then lie flatter, see taut_angle_rad.

    Source
        Vectors.

    Examples
    --------
    >>> angles = chain_angles_rad(Anchors(0.4, 0.0, 0.5, 0.4, 0.4, 0.5), 0.0, crossed=True)
    >>> round(math.degrees(angles.left_m), 1)
    45.0
    """
    if anchors.bar_behind_ball_m <= 0:
        raise ValueError("the chain anchors on the bar must lie behind the ball")
    sin, cos = math.sin(articulation_rad), math.cos(articulation_rad)
    rise = anchors.bar_height_m - anchors.receiver_height_m
    pull = (
        anchors.bar_behind_ball_m * cos - anchors.receiver_behind_ball_m,
        anchors.bar_behind_ball_m * sin,
        rise,
    )
    length = math.hypot(*pull)
    if length < 1e-9:
        raise ValueError(
            "the middles of both pairs of anchors lie at the same place, so there is no line of pull"
        )
    angles = []
    for side in (1.0, -1.0):
        bar_side = (-side if crossed else side) * anchors.bar_spread_m / 2.0
        chain = (
            pull[0] - bar_side * sin,
            pull[1] + bar_side * cos - side * anchors.receiver_spread_m / 2.0,
            rise,
        )
        cross = (
            pull[1] * chain[2] - pull[2] * chain[1],
            pull[2] * chain[0] - pull[0] * chain[2],
            pull[0] * chain[1] - pull[1] * chain[0],
        )
        angles.append(math.atan2(math.hypot(*cross), sum(a * b for a, b in zip(pull, chain, strict=True))))
    return Gaps(*angles)


def taut_angle_rad(length_m: float, anchors: Anchors, *, crossed: bool) -> float:
    """Angle of each chain from the line of pull when the coupler has let go and both chains are taut, in
    line.

    sin alpha = w / L, w = |s_r - s_b|/2, crossed (s_r + s_b)/2

    Parameters
    ----------
    length_m : float
        Length of each chain between its ends.
    anchors : Anchors
        Where the chains are fixed.
    crossed : bool
        True when crossed.

    Returns
    -------
    float
        Radians, for share_of_pull.

    Raises
    ------
    ValueError
        When the chain is not longer than its ends lie apart sideways.

    Breaks down when
        the chains lie around the coupler.

    Source
        Geometry.

    Examples
    --------
    >>> round(
    ...     math.degrees(taut_angle_rad(0.54, Anchors(0.32, -0.20, 0.44, 0.22, 0.30, 0.53), crossed=True)), 2
    ... )
    30.0
    """
    sideways = (
        abs(anchors.receiver_spread_m + (anchors.bar_spread_m if crossed else -anchors.bar_spread_m)) / 2.0
    )
    if length_m <= sideways:
        raise ValueError(f"a chain {length_m:.3f} m long does not reach {sideways:.3f} m sideways")
    return math.asin(sideways / length_m)


def second_pair_gap_m(
    bar_ahead_of_pins_m: float,
    frame_behind_pins_m: float,
    *,
    bar_anchor_height_m: float,
    pin_height_m: float,
    frame_anchor_height_m: float,
    sideways_m: float,
    greatest_pitch_rad: float,
) -> float:
    """Longest distance a chain of the second pair must bridge, from the bar to frame or axle housing, as the
    bar tips.

    the anchor on the bar turns about the bracket pins, up and down; D is longest at an end of the sweep or
    opposite

    Parameters
    ----------
    bar_ahead_of_pins_m : float
        Anchor on the bar ahead of the bracket pins, above 0.
    frame_behind_pins_m : float
        Anchor at frame or axle housing behind the pins; negative ahead of them.
    bar_anchor_height_m, pin_height_m, frame_anchor_height_m : float
        Heights above the road with the bar as it is towed.
    sideways_m : float
        Sideways between the two ends of the chain, 0 or more.
    greatest_pitch_rad : float
        How far the bar tips up or down from there, 0 to 90°.

    Returns
    -------
    float
        Metres. The bar does not turn sideways about two brackets, so this pair needs no length for turns.

    Raises
    ------
    ValueError
        When a distance or the pitch is negative.

    Breaks down when
        the chain goes around the frame or a housing: add the way around; an axle housing also moves with the
        springs.

    Source
        Geometry, the same circle as for the first pair.

    Examples
    --------
    >>> gap = second_pair_gap_m(
    ...     0.3,
    ...     0.4,
    ...     bar_anchor_height_m=0.5,
    ...     pin_height_m=0.5,
    ...     frame_anchor_height_m=0.5,
    ...     sideways_m=0.0,
    ...     greatest_pitch_rad=0.5,
    ... )
    >>> round(gap, 3)
    0.7
    """
    if bar_ahead_of_pins_m <= 0 or sideways_m < 0 or greatest_pitch_rad < 0:
        raise ValueError(
            "the anchor on the bar must lie ahead of the pins, and neither sideways distance nor pitch can be"
            " negative"
        )
    radius = math.hypot(bar_ahead_of_pins_m, bar_anchor_height_m - pin_height_m)
    start = math.atan2(bar_anchor_height_m - pin_height_m, bar_ahead_of_pins_m)
    # the angle at which the anchor on the bar points away from the one on the frame
    away = math.remainder(
        math.atan2(pin_height_m - frame_anchor_height_m, frame_behind_pins_m) - start, 2.0 * math.pi
    )
    turn = max(-greatest_pitch_rad, min(greatest_pitch_rad, away))
    return max(
        math.hypot(
            radius * math.cos(start + t) + frame_behind_pins_m,
            pin_height_m + radius * math.sin(start + t) - frame_anchor_height_m,
            sideways_m,
        )
        for t in (-greatest_pitch_rad, turn, greatest_pitch_rad)
    )
