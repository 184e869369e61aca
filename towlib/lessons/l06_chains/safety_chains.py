"""Lesson 06, chains between the vehicles: layout in a turn, length against articulation, and the bar when the
coupler lets go.
"""

import math
from typing import NamedTuple

from towlib.lessons.declare import with_values
from towlib.limits.chains_limits import (
    LinksWanted,
    anchors,
    chain_rule_words,
    dropped_nose,
    dropped_words,
    fitted_length_m,
    links_wanted,
    links_words,
    many,
    needed_length_m,
    second_pair_words,
)
from towlib.limits.coupling_limits import ball_height_m, receiver_height_m
from towlib.physics.chains.chain_checks import require_fitting, taut_angle_rad
from towlib.physics.chains.chain_gaps import (
    Anchors,
    Gaps,
    chain_gaps_m,
    extra_length_m,
    longest_gap_m,
    lowest_in_turns_m,
    lowest_point_m,
    share_of_pull,
    slack_m,
)
from towlib.physics.chains.chain_shape import Curve, hanging_points
from towlib.physics.chains.dropped_bar import BarInSideView, Nose, hanging_bar
from towlib.rig.facts import Facts, NotKnown
from towlib.units import show

PICTURE_TURN_RAD = math.radians(75.0)  # as far as the curves are drawn


class Chain(NamedTuple):
    """One chain as it is drawn: behind the ball, to the left, above the road."""

    behind_m: tuple[float, ...]
    left_m: tuple[float, ...]
    height_m: tuple[float, ...]
    slack_m: float


class DrawnBar(NamedTuple):
    """The coupled bar and what holds it, as they are drawn."""

    length_m: float
    spread_m: float  # between the brackets
    receiver_height_m: float
    ball_height_m: float
    pin_height_m: float


class Layout(NamedTuple):
    """Everything the first panel shows."""

    anchors: Anchors
    bar: DrawnBar
    articulation_rad: float
    crossed: bool
    links: int
    slack: Gaps
    sharpest_rad: float
    spare_m: float  # length over the longest gap up to the sharpest turn
    clearance_m: float  # wanted between chain and road
    window: LinksWanted
    lowest_m: float | None  # None while a chain binds
    lowest_in_turns_m: float  # where they hang lowest up to the sharpest turn
    chains: tuple[Chain, Chain]  # left, right


def layout(facts: Facts, *, articulation_rad: float) -> Layout:
    """Both chains at one articulation: slack, the window of whole links, and the curve they hang in."""
    places, length = anchors(facts), fitted_length_m(facts)
    crossed, sharpest = facts.need("safety_chains.crossed"), facts.need("safety_chains.greatest_articulation")
    require_fitting(length, places, crossed=crossed)
    slack = slack_m(length, places, articulation_rad, crossed=crossed)
    bar = DrawnBar(
        facts.need("tow_bar.length"),
        facts.need("towed_vehicle.bracket_spread"),
        receiver_height_m(facts, "out"),
        ball_height_m(facts, "out"),
        facts.need("towed_vehicle.bracket_height"),
    )
    return Layout(
        places,
        bar,
        articulation_rad,
        crossed,
        facts.need("safety_chains.links"),
        slack,
        sharpest,
        length - longest_gap_m(places, sharpest, crossed=crossed),
        facts.need("safety_chains.ground_clearance"),
        links_wanted(facts),
        lowest_point_m(length, places, articulation_rad, crossed=crossed) if min(slack) >= 0 else None,
        lowest_in_turns_m(length, places, sharpest, crossed=crossed),
        (
            _chain(places, articulation_rad, crossed, 1.0, length, slack.left_m),
            _chain(places, articulation_rad, crossed, -1.0, length, slack.right_m),
        ),
    )


def bar_point_m(behind_ball_m: float, left_m: float, articulation_rad: float) -> tuple[float, float]:
    """A point of the bar, turned about the ball: behind the ball, to the left."""
    sin, cos = math.sin(articulation_rad), math.cos(articulation_rad)
    return behind_ball_m * cos - left_m * sin, left_m * cos + behind_ball_m * sin


def _chain(
    places: Anchors, articulation_rad: float, crossed: bool, side: float, length_m: float, spare_m: float
) -> Chain:
    start = (places.receiver_behind_ball_m, side * places.receiver_spread_m / 2.0)
    end = bar_point_m(
        places.bar_behind_ball_m, (-side if crossed else side) * places.bar_spread_m / 2.0, articulation_rad
    )
    span = math.dist(start, end)
    curve: Curve = hanging_points(
        length_m, span_m=span, start_m=places.receiver_height_m, end_m=places.bar_height_m
    )
    shares = [x / span if span > 1e-9 else 0.0 for x in curve.along_m]
    return Chain(
        tuple(start[0] + t * (end[0] - start[0]) for t in shares),
        tuple(start[1] + t * (end[1] - start[1]) for t in shares),
        tuple(max(0.0, z) for z in curve.height_m),
        spare_m,
    )


def _slack_words(slack: float, system: str) -> str:
    if slack < 0:
        return f"short by {show(-slack, 'size', system)}"
    return f"slack {show(slack, 'size', system)}"


def layout_words(result: Layout, system: str) -> str:
    """The sentence under the first panel."""
    left, right = (_slack_words(each, system) for each in result.slack)
    turn = f"{math.degrees(result.sharpest_rad):.0f}°"
    binds = (
        f"up to {turn} either way none binds, by {show(result.spare_m, 'size', system)}"
        if result.spare_m >= 0
        else f"within {turn} either way a chain BINDS, short by {show(-result.spare_m, 'size', system)}"
    )
    fewest, most = result.window.fewest, result.window.most
    fit = (
        f"{many(fewest, most)} links do all three"
        if fewest <= most
        else (
            f"no number of links does all three ({fewest} or more to reach, {max(result.window.clear, 0)} or"
            f" fewer for the road, {'none' if result.window.held < fewest else result.window.held} for a"
            " dropped bar)"
        )
    )

    return (
        f"Left chain {left}, right {right}; {binds}. Reaching without binding,"
        f" {show(result.clearance_m, 'size', system)} clear of the road in every turn, and as much under a"
        f" dropped bar: {fit}; {result.links} fitted; {_hangs_words(result, system)}."
    )


def layout_rooms(result: Layout) -> dict[str, float]:
    """Length to spare up to the sharpest turn, links to choose from, and room above the road."""
    return {
        "length": result.spare_m,
        "links": result.window.most - result.window.fewest,
        "road": result.lowest_in_turns_m,
    }


def _hangs_words(result: Layout, system: str) -> str:
    """How low the chains hang here, and where they hang lowest."""
    if result.lowest_m is not None and result.lowest_m <= 0:
        return "the chain lies on the road"
    here = "" if result.lowest_m is None else f"{show(result.lowest_m, 'size', system)} here, "
    if result.lowest_in_turns_m <= 0:
        return f"lowest point above the road {here}on it in the worst turn"
    lowest = show(result.lowest_in_turns_m, "size", system)
    return f"lowest point above the road {here}{lowest} in the worst turn"


def layout_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the first panel."""
    places, length = anchors(facts), fitted_length_m(facts)
    turn = facts.need("safety_chains.greatest_articulation")
    parallel, crossed = (slack_m(length, places, turn, crossed=way) for way in (False, True))
    uneven = [abs(each.left_m - each.right_m) for each in (parallel, crossed)]
    told = [
        f"the left one {_slack_words(each.left_m, system)}, the right one"
        f" {_slack_words(each.right_m, system)}"
        for each in (parallel, crossed)
    ]
    verdict = (
        "**Crossing keeps the slack even**: a chain that binds pulls the hitch apart, breaks, or steers your"
        " vehicle, and a slack one drags and jerks"
        if uneven[1] < uneven[0]
        else "With these anchors crossing does *not* keep the slack more even: look where they stand"
    )
    return (
        f"Turn the bar to {math.degrees(turn):.0f}°, your sharpest angle, and switch the chains. Parallel:"
        f" {told[0]}. Crossed: {told[1]}. {verdict}. Then take links away until it can no longer be hooked"
        " up, and add some until the chain nears the road: **in the turn it hangs lower than in line**, where"
        " its ends come nearer to each other."
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
    fit_m: tuple[float, float] | None  # lengths of crossed chains that all limits allow, in whole links
    fit_links: tuple[int, int] | None


def length_window(facts: Facts) -> LengthWindow:
    """The gap each chain must bridge at every articulation, parallel and crossed."""
    places, sharpest = anchors(facts), facts.need("safety_chains.greatest_articulation")
    widest = max(PICTURE_TURN_RAD, sharpest)
    angles = tuple(widest * i / 30 for i in range(-30, 31))
    parallel, crossed = (
        tuple(chain_gaps_m(places, angle, crossed=way).left_m for angle in angles) for way in (False, True)
    )
    wanted = links_wanted(facts, crossed=True)
    fit = (wanted.fewest, wanted.most) if wanted.fewest <= wanted.most else None
    pitch = facts.need("safety_chains.link_pitch")
    return LengthWindow(
        angles,
        parallel,
        crossed,
        fitted_length_m(facts),
        extra_parallel_m=extra_length_m(places, sharpest, crossed=False),
        extra_crossed_m=extra_length_m(places, sharpest, crossed=True),
        straight_parallel_m=chain_gaps_m(places, 0.0, crossed=False).left_m,
        straight_crossed_m=chain_gaps_m(places, 0.0, crossed=True).left_m,
        sharpest_rad=sharpest,
        fit_m=(fit[0] * pitch, fit[1] * pitch) if fit else None,
        fit_links=fit,
    )


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
        else f"Here crossing needs {show(-difference, 'size', system)} more extra"
    )
    return (
        f"Fitted {show(result.length_m, 'size', system)}. {crossed[0].upper() + crossed[1:]}; {parallel}."
        f" {saved}. {_fit_words(result, system)}"
    )


def _fit_words(result: LengthWindow, system: str) -> str:
    if result.fit_links is None or result.fit_m is None:
        return (
            "No number of links reaches crossed, under the coupler too, clears the road and holds a dropped"
            " bar."
        )
    least, most = (show(length, "size", system) for length in result.fit_m)
    band = least if least == most else f"{least} to {most}"
    return (
        f"Crossed, {many(*result.fit_links)} links ({band}: the band) reach, under the coupler too, clear the"
        " road and hold a dropped bar."
    )


BEHIND_BALL = {  # where "crossed needs less extra" ends
    "safety_chains.receiver_anchor_spread": 0.20,
    "safety_chains.receiver_anchor_behind_ball": 0.15,
    "safety_chains.bar_anchor_spread": 0.30,
    "safety_chains.bar_anchor_behind_ball": 0.30,
    "safety_chains.greatest_articulation": math.radians(20.0),
}


def length_window_rooms(result: LengthWindow) -> dict[str, float]:
    """Length to spare, crossed and parallel."""
    return {
        "crossed": result.length_m - result.straight_crossed_m - result.extra_crossed_m,
        "parallel": result.length_m - result.straight_parallel_m - result.extra_parallel_m,
    }


def length_window_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the second panel."""
    here = length_window(facts)
    behind = length_window(with_values(facts, BEHIND_BALL))
    fewer = here.extra_crossed_m < here.extra_parallel_m
    spread, place, far = (
        show(BEHIND_BALL[f"safety_chains.{name}"], "size", system)
        for name in ("receiver_anchor_spread", "receiver_anchor_behind_ball", "bar_anchor_spread")
    )
    return (
        f"For {math.degrees(here.sharpest_rad):.0f}° crossed chains need"
        f" {'only ' if fewer else ''}{show(here.extra_crossed_m, 'size', system)} extra, parallel ones"
        f" {show(here.extra_parallel_m, 'size', system)}. Crossing does not shorten a chain; it starts it"
        " nearer to its longest gap. **Where that ends:** put the receiver's anchors"
        f" {spread} apart and {place} *behind* the ball, the bar's {far} apart and as far behind, and the"
        f" sharpest angle at 20°. There crossed chains need {show(behind.extra_crossed_m, 'size', system)},"
        f" parallel ones {show(behind.extra_parallel_m, 'size', system)}. “Crossed needs less” holds at every"
        " angle only with the receiver's anchors level with the ball or ahead of it."
    )


class DroppedBar(NamedTuple):
    """Everything the third panel shows."""

    anchors: Anchors
    length_m: float
    bar_length_m: float
    pin_height_m: float
    ball_height_m: float
    coupler_depth_m: float  # underside of the coupler below the bar's line
    crossed: Nose | None  # None: too short to be crossed
    needed_m: float  # length that crossing takes, the sharpest turn included
    parallel: Nose
    bars: tuple[
        BarInSideView | None, BarInSideView, BarInSideView | None
    ]  # crossed, parallel, crossed with the crossing slid back


def dropped_bar(facts: Facts) -> DroppedBar:
    """The lowest place of the nose after the coupler let go, both with crossed and with parallel chains."""
    parallel = dropped_nose(with_values(facts, {"safety_chains.crossed": False}), "out")
    crossed = None
    try:
        crossed = dropped_nose(with_values(facts, {"safety_chains.crossed": True}), "out")
    except NotKnown as unknown:
        if " " not in unknown.reason:  # a field that is missing, not a chain that is too short
            raise
    places, depth = anchors(facts), facts.need("tow_bar.depth") / 2.0
    length, pins = facts.need("tow_bar.length"), facts.need("towed_vehicle.bracket_height")
    ball = ball_height_m(facts, "out")

    def hanging(height_m: float) -> BarInSideView:
        return hanging_bar(
            height_m,
            places,
            bar_length_m=length,
            pin_height_m=pins,
            ball_height_m=ball,
            coupler_depth_m=depth,
        )

    return DroppedBar(
        places,
        fitted_length_m(facts),
        length,
        pins,
        ball,
        depth,
        crossed,
        needed_length_m(facts, crossed=True),
        parallel,
        (
            hanging(crossed.height_m) if crossed else None,
            hanging(parallel.height_m),
            hanging(crossed.slid_height_m) if crossed else None,
        ),
    )


def _nose_words(height_m: float, system: str) -> str:
    return "touches the road" if height_m <= 0 else f"stays {show(height_m, 'size', system)} above the road"


def dropped_bar_words(result: DroppedBar, system: str) -> str:
    """The sentence under the third panel."""
    parallel = f"Parallel, it {_nose_words(result.parallel.height_m, system)}."
    if result.crossed is None:
        return (
            f"Chains of {show(result.length_m, 'size', system)} are too short to be crossed, which takes"
            f" {show(result.needed_m, 'size', system)}. {parallel.replace('it', 'the bar', 1)}"
        )
    return (
        f"Chains of {show(result.length_m, 'size', system)}. Crossed, with the crossing under the nose, the"
        f" bar {_nose_words(result.crossed.height_m, system)}; when it has slid through the crossing it"
        f" {_nose_words(result.crossed.slid_height_m, system)}. {parallel}"
    )


def dropped_bar_rooms(result: DroppedBar) -> dict[str, float]:
    """Height of the dropped bar above the road, each way of hooking up."""
    crossed = result.crossed
    return {
        "parallel": result.parallel.height_m,
        **({"under": crossed.height_m, "slid": crossed.slid_height_m} if crossed else {}),
    }


MORE_LINKS = 5


def dropped_bar_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the third panel."""
    fewest = links_wanted(facts, crossed=True).fewest
    few, more = (
        dropped_bar(with_values(facts, {"safety_chains.links": links}))
        for links in (fewest, fewest + MORE_LINKS)
    )
    if few.crossed is None or more.crossed is None:
        raise NotKnown("chains that are too short to be crossed")
    slid = (
        " the bar can slide forward through it, and then only the straight length of the chains holds it:"
        f" it {_nose_words(few.crossed.slid_height_m, system)}"
        if few.crossed.slid_height_m < few.crossed.height_m
        else " keep it there"
    )
    return (
        f"With {fewest} links, the fewest that reach crossed and do not bind, parallel chains leave the bar"
        f" where it {_nose_words(few.parallel.height_m, system)}; crossed under the nose it"
        f" {_nose_words(few.crossed.height_m, system)}. With {MORE_LINKS} links more, crossed, it"
        f" {_nose_words(more.crossed.height_m, system)}: **each link too many undoes the crossing**. And the"
        " crossing must *stay* under the nose; nothing but friction and the coupler's shape keeps it there."
        f" When you brake,{slid}."
    )


def your_chains_words(facts: Facts, system: str) -> list[str]:
    """Sentences on the chains of the rig in use."""
    lines = [links_words(facts)]
    try:
        fitted, places = fitted_length_m(facts), anchors(facts)
        crossed = facts.need("safety_chains.crossed")
        straight = max(chain_gaps_m(places, 0.0, crossed=crossed))
        angle = taut_angle_rad(fitted, places, crossed=crossed)
        lines += [
            (
                f"Fitted {show(fitted, 'size', system)}; the sharpest turn needs"
                f" {show(needed_length_m(facts), 'size', system)}; in line"
                f" {_slack_words(fitted - straight, system)}."
            ),
            (
                f"Taut, each chain stands {math.degrees(angle):.0f}° from the line of pull and takes"
                f" {100 * share_of_pull(angle):.0f} % of it."
            ),
        ]
    except NotKnown as missing:
        lines.append(f"Slack and angle of pull: not known ({missing.reason}).")
    except ValueError as impossible:
        lines.append(f"Slack and angle of pull: not possible ({impossible}).")
    return [
        line
        for line in (*lines, chain_rule_words(facts), dropped_words(facts), second_pair_words(facts))
        if line
    ]
