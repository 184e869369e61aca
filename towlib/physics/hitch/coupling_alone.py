"""Coupling without a helper: how high to rest the bar so that the ball passes beneath it and comes up under
the coupler.
"""

import math
from typing import NamedTuple


class Prop(NamedTuple):
    """How to rest the bar before the tow vehicle rolls back."""

    coupler_edge_height_m: float  # lower edge of the coupler above the road
    prop_height_m: float  # underside of the bar where the prop stands
    bar_slope_rad: float  # pins higher than the coupler positive
    lift_down_m: float  # how far the coupler comes down onto the ball


def prop_height(
    ball_height_m: float,
    bracket_height_m: float,
    *,
    ball_diameter_m: float,
    bar_length_m: float,
    bar_depth_m: float,
    prop_behind_coupler_m: float,
    gap_m: float = 0.02,
) -> Prop:
    """Height of the prop that lets the ball pass beneath the coupler.

    h_edge = h_ball + d/2 + gap; the coupler's middle then lies that much plus half the ball above the ball's
    middle;
    underside of the bar at the prop: the line from coupler to pins, less half the bar's depth

    Parameters
    ----------
    ball_height_m : float
        Ball centre above the road, the tow vehicle standing as it will be when it rolls back.
    bracket_height_m : float
        Bracket pins above the road.
    ball_diameter_m : float
        Diameter of the ball, 0.04 to 0.08 m.
    bar_length_m : float
        Coupler to pins along the bar.
    bar_depth_m : float
        Height of the bar's section.
    prop_behind_coupler_m : float
        Where the prop stands, measured along the bar from the coupler, 0 to the bar's length.
    gap_m : float
        Air between ball and coupler, 0 or more.

    Returns
    -------
    Prop
        Heights above a level road, the bar's slope, and the way down onto the ball.

    Raises
    ------
    ValueError
        When the bar cannot reach, or the prop stands beyond the bar.

    Breaks down when
        the ground slopes or is soft; the coupler's rim is taken at the middle of the socket.

    Source
        Geometry. Common practice, no source: a finger's width or two of air.

    Examples
    --------
    >>> prop = prop_height(
    ...     0.50, 0.56, ball_diameter_m=0.0508, bar_length_m=1.5, bar_depth_m=0.065, prop_behind_coupler_m=0.3
    ... )
    >>> round(prop.coupler_edge_height_m, 4), round(prop.prop_height_m, 3)
    (0.5454, 0.516)
    """
    if gap_m < 0 or ball_diameter_m <= 0:
        raise ValueError("the gap cannot be negative and the ball needs a diameter")
    if not 0.0 <= prop_behind_coupler_m < bar_length_m:
        raise ValueError(
            f"a prop {prop_behind_coupler_m:.2f} m behind the coupler does not stand under a bar"
            f" {bar_length_m:.2f} m long"
        )
    lift = ball_diameter_m / 2.0 + gap_m  # the coupler's edge lies level with the middle of its socket
    middle = ball_height_m + lift
    rise = bracket_height_m - middle
    if abs(rise) >= bar_length_m:
        raise ValueError(
            f"a bar {bar_length_m:.2f} m long cannot bridge a difference in height of {abs(rise):.2f} m"
        )
    slope = math.asin(rise / bar_length_m)
    at_prop = middle + prop_behind_coupler_m * math.sin(slope) - bar_depth_m / (2.0 * math.cos(slope))
    return Prop(middle, at_prop, slope, lift)
