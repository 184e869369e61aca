"""Lesson 06, chains between the vehicles: layout in a turn, length against articulation, and the bar when the
coupler lets go.
"""

import math
from typing import NamedTuple

from towlib.physics.chains.chain_checks import require_fitting
from towlib.physics.chains.chain_gaps import (
    Anchors,
    Gaps,
    LinksWindow,
    chain_gaps_m,
    extra_length_m,
    links_window,
    longest_gap_m,
    lowest_point_m,
    slack_m,
)
from towlib.physics.chains.chain_shape import Curve, hanging_points
from towlib.physics.chains.dropped_bar import BarInSideView, Nose, hanging_bar, lowest_nose_m
from towlib.units import show

WHOLE_TURN_RAD = math.radians(75.0)
CLEARANCE_M = 0.10  # wanted between chain and road: common practice, no source
RECEIVER_HEIGHT_M, BAR_HEIGHT_M, RECEIVER_BEHIND_M, LINK_PITCH_M = (
    0.44,
    0.53,
    -0.20,
    0.031,
)  # the invented rig, where no slider moves them


class Chain(NamedTuple):
    """One chain as it is drawn: behind the ball, to the left, above the road."""

    behind_m: tuple[float, ...]
    left_m: tuple[float, ...]
    height_m: tuple[float, ...]
    slack_m: float


class Layout(NamedTuple):
    """Everything the first panel shows."""

    anchors: Anchors
    articulation_rad: float
    crossed: bool
    links: int
    link_pitch_m: float
    slack: Gaps
    longest_m: float  # gap over the whole turn
    window: LinksWindow
    lowest_m: float | None  # None while a chain binds
    chains: tuple[Chain, Chain]  # left, right


def layout(
    *,
    articulation_rad: float,
    way: str,
    receiver_spread_m: float,
    receiver_behind_ball_m: float,
    receiver_height_m: float,
    bar_spread_m: float,
    bar_behind_ball_m: float,
    bar_height_m: float,
    links: int,
    link_pitch_m: float,
) -> Layout:
    """Both chains at one articulation: slack, the window of whole links, and the curve they hang in."""
    anchors = Anchors(
        receiver_spread_m,
        receiver_behind_ball_m,
        receiver_height_m,
        bar_spread_m,
        bar_behind_ball_m,
        bar_height_m,
    )
    crossed, length = way == "crossed", links * link_pitch_m
    require_fitting(length, anchors, crossed=crossed)
    slack = slack_m(length, anchors, articulation_rad, crossed=crossed)
    window = links_window(
        anchors, WHOLE_TURN_RAD, crossed=crossed, link_pitch_m=link_pitch_m, clearance_m=CLEARANCE_M
    )
    lowest = lowest_point_m(length, anchors, articulation_rad, crossed=crossed) if min(slack) >= 0 else None
    chains = tuple(
        _chain(anchors, articulation_rad, crossed, side, length, spare)
        for side, spare in zip((1.0, -1.0), slack, strict=True)
    )
    return Layout(
        anchors,
        articulation_rad,
        crossed,
        links,
        link_pitch_m,
        slack,
        longest_gap_m(anchors, WHOLE_TURN_RAD, crossed=crossed),
        window,
        lowest,
        chains,
    )


def bar_point_m(behind_ball_m: float, left_m: float, articulation_rad: float) -> tuple[float, float]:
    """A point of the bar, turned about the ball: behind the ball, to the left."""
    sin, cos = math.sin(articulation_rad), math.cos(articulation_rad)
    return behind_ball_m * cos - left_m * sin, left_m * cos + behind_ball_m * sin


def _chain(
    anchors: Anchors, articulation_rad: float, crossed: bool, side: float, length_m: float, spare_m: float
) -> Chain:
    start = (anchors.receiver_behind_ball_m, side * anchors.receiver_spread_m / 2.0)
    end = bar_point_m(
        anchors.bar_behind_ball_m, (-side if crossed else side) * anchors.bar_spread_m / 2.0, articulation_rad
    )
    span = math.dist(start, end)
    curve: Curve = hanging_points(
        length_m, span_m=span, start_m=anchors.receiver_height_m, end_m=anchors.bar_height_m
    )
    shares = [x / span if span > 1e-9 else 0.0 for x in curve.along_m]
    return Chain(
        tuple(start[0] + t * (end[0] - start[0]) for t in shares),
        tuple(start[1] + t * (end[1] - start[1]) for t in shares),
        tuple(max(0.0, z) for z in curve.height_m),
        spare_m,
    )


def layout_words(result: Layout, system: str) -> str:
    """The sentence under the first panel."""
    left, right = (
        "short by " + show(-s, "size", system) if s < 0 else "slack " + show(s, "size", system)
        for s in result.slack
    )
    spare = result.links * result.link_pitch_m - result.longest_m
    turn = (
        f"over the whole turn, 75° either way, none binds, by {show(spare, 'size', system)}"
        if spare >= 0
        else f"within 75° either way a chain BINDS, short by {show(-spare, 'size', system)}"
    )
    window = result.window
    fit = (
        f"{window.fewest} to {window.most} links do both"
        if window.fewest <= window.most
        else (
            f"no number of links does both ({window.fewest} or more for the turn, {window.most} or fewer for"
            " the road)"
        )
    )
    lowest = (
        ""
        if result.lowest_m is None
        else (
            f"lowest point {show(result.lowest_m, 'size', system)} above the road"
            if result.lowest_m > 0
            else "the chain lies on the road"
        )
    )
    return (
        f"Left chain {left}, right {right}; {turn}. Not binding and, in line,"
        f" {show(CLEARANCE_M, 'size', system)} clear of the road: {fit}; {result.links} fitted"
        + (f", {lowest}." if lowest else ".")
    )


class LengthWindow(NamedTuple):
    """Everything the second panel shows."""

    angles_rad: tuple[float, ...]
    parallel_left_m: tuple[float, ...]
    crossed_left_m: tuple[float, ...]  # the right chains are the mirror images
    length_m: float
    extra_parallel_m: float
    extra_crossed_m: float
    straight_parallel_m: float
    straight_crossed_m: float
    sharpest_rad: float


def length_window(
    *,
    receiver_spread_m: float,
    receiver_behind_ball_m: float,
    bar_spread_m: float,
    bar_behind_ball_m: float,
    links: int,
    link_pitch_m: float,
    sharpest_rad: float,
) -> LengthWindow:
    """The gap each chain must bridge at every articulation, parallel and crossed; heights as on the invented
    rig.
    """
    anchors = Anchors(
        receiver_spread_m,
        receiver_behind_ball_m,
        RECEIVER_HEIGHT_M,
        bar_spread_m,
        bar_behind_ball_m,
        BAR_HEIGHT_M,
    )
    require_fitting(math.inf, anchors, crossed=True)
    angles = tuple(WHOLE_TURN_RAD * i / 30 for i in range(-30, 31))
    parallel, crossed = (
        tuple(chain_gaps_m(anchors, a, crossed=way).left_m for a in angles) for way in (False, True)
    )
    extras = [extra_length_m(anchors, sharpest_rad, crossed=way) for way in (False, True)]
    straight = [chain_gaps_m(anchors, 0.0, crossed=way).left_m for way in (False, True)]
    return LengthWindow(angles, parallel, crossed, links * link_pitch_m, *extras, *straight, sharpest_rad)


def length_window_words(result: LengthWindow, system: str) -> str:
    """The sentence under the second panel."""
    turn = f"{math.degrees(result.sharpest_rad):.0f}°"

    def words(name: str, straight: float, extra: float) -> str:
        spare = result.length_m - straight - extra
        verdict = "does not bind" if spare >= 0 else f"binds, short by {show(-spare, 'size', system)}"
        return (
            f"{name}: {show(straight, 'size', system)} in line and {show(extra, 'size', system)} extra for"
            f" {turn}, {verdict}"
        )

    crossed = words("crossed", result.straight_crossed_m, result.extra_crossed_m)
    parallel = words("parallel", result.straight_parallel_m, result.extra_parallel_m)
    difference = result.extra_parallel_m - result.extra_crossed_m
    saved = (
        f"Crossing saves {show(difference, 'size', system)} of extra"
        if difference >= 0
        else (
            f"Here crossing needs {show(-difference, 'size', system)} more extra, because the receiver's"
            " anchors lie behind the ball"
        )
    )
    return (
        f"Fitted {show(result.length_m, 'size', system)}. {crossed[0].upper() + crossed[1:]}; {parallel}."
        f" {saved}."
    )


class DroppedBar(NamedTuple):
    """Everything the third panel shows."""

    anchors: Anchors
    length_m: float
    pin_height_m: float
    coupler_depth_m: float
    crossed: Nose
    parallel: Nose
    bars: tuple[
        BarInSideView, BarInSideView, BarInSideView
    ]  # crossed, parallel, crossed with the crossing slid back
    coupled: BarInSideView


def dropped_bar(
    *,
    links: int,
    receiver_spread_m: float,
    receiver_height_m: float,
    bar_spread_m: float,
    bar_behind_ball_m: float,
    bar_length_m: float,
    pin_height_m: float,
    coupler_depth_m: float,
) -> DroppedBar:
    """The lowest place of the nose after the coupler let go, level bar, anchors on the bar's line, links of
    31 mm.
    """
    anchors = Anchors(
        receiver_spread_m, RECEIVER_BEHIND_M, receiver_height_m, bar_spread_m, bar_behind_ball_m, pin_height_m
    )
    length = links * LINK_PITCH_M
    require_fitting(length, anchors, crossed=True)
    bar = {"bar_length_m": bar_length_m, "pin_height_m": pin_height_m, "coupler_depth_m": coupler_depth_m}
    crossed, parallel = (lowest_nose_m(length, anchors, crossed=way, **bar) for way in (True, False))
    bars = tuple(
        hanging_bar(height, anchors, **bar)
        for height in (crossed.height_m, parallel.height_m, crossed.slid_height_m)
    )
    return DroppedBar(
        anchors,
        length,
        pin_height_m,
        coupler_depth_m,
        crossed,
        parallel,
        bars,
        hanging_bar(pin_height_m - coupler_depth_m, anchors, **bar),
    )


def dropped_bar_words(result: DroppedBar, system: str) -> str:
    """The sentence under the third panel."""

    def words(height: float) -> str:
        return "touches the road" if height <= 0 else f"stays {show(height, 'size', system)} above the road"

    return (
        f"Chains of {show(result.length_m, 'size', system)}. Crossed, with the crossing under the nose, the"
        f" bar {words(result.crossed.height_m)}; when it has slid through the crossing it"
        f" {words(result.crossed.slid_height_m)}. Parallel, it {words(result.parallel.height_m)}."
    )
