"""Pictures of the coupling for the trip sheet: side view with heights, chains from above."""

import math
from typing import NamedTuple

from towlib.draw.figures import Picture
from towlib.draw.outlines import (
    TOW_WHEEL_M,
    TOWED_WHEEL_M,
    beam,
    off_roader_from_front_axle,
    pickup_from_rear_axle,
    placed,
    wheel,
)
from towlib.limits.chains_limits import anchors, chain_rules, fitted_length_m, needed_length_m
from towlib.limits.coupling_limits import receiver_height_m, slope_rad
from towlib.limits.decision import answer
from towlib.limits.limit import OVER
from towlib.physics.chains.chain_gaps import Anchors
from towlib.print.report import field_words
from towlib.rig.facts import Facts, NotKnown
from towlib.rig.model import Rig
from towlib.units import degrees_words, show


class SheetPicture(NamedTuple):
    """A picture for the sheet with its sentence; the svg is empty when it could not be drawn."""

    svg: str
    words: str


def side_view_picture(rig: Rig, system: str = "metric") -> SheetPicture:
    """The loaded bar from the side with its heights."""
    facts = Facts(rig)
    try:
        receiver, slope = receiver_height_m(facts, "out"), slope_rad(facts, "out")
        ball, pin = (
            receiver + facts.need("hitch.ball_mount_change"),
            facts.need("towed_vehicle.bracket_height"),
        )
        length, overhang, ahead = (
            facts.need("tow_bar.length"),
            facts.need("tow_vehicle.ball_behind_rear_axle"),
            facts.need("towed_vehicle.bracket_ahead_of_front_axle"),
        )
        depth, tow_base, towed_base = (
            facts.need("tow_bar.depth"),
            facts.need("tow_vehicle.wheelbase"),
            facts.need("towed_vehicle.wheelbase"),
        )
    except NotKnown as missing:
        return SheetPicture("", f"Side view: not known ({missing.reason}).")
    back = -length * math.cos(slope)
    left, right = back - ahead - 1.0, overhang + 0.75
    picture = Picture((5.4, 1.45), font_scale=1.0)
    picture.frame(0, x=(left, right), y=(-0.30, 1.14), equal=True, bare=True)
    picture.fixed_line(0, (left, right), (0.0, 0.0))
    for name, points, at in (
        ("tow body", pickup_from_rear_axle(overhang, tow_base), (overhang, 0.0)),
        ("tow wheel", wheel((0.0, TOW_WHEEL_M), TOW_WHEEL_M), (overhang, 0.0)),
        ("towed body", off_roader_from_front_axle(towed_base), (back - ahead, 0.0)),
        ("towed wheel", wheel((0.0, TOWED_WHEEL_M), TOWED_WHEEL_M), (back - ahead, 0.0)),
    ):
        picture.shape(name, 0)
        picture.move(name, *placed(points, at))
    picture.shape("mount", 0, 4, filled=False, closed=False)
    picture.move("mount", [0.62, 0.25, 0.18, 0.0, 0.0], [receiver, receiver, ball - 0.06, ball - 0.06, ball])
    picture.shape("bar", 0, 0)
    picture.move("bar", *beam((0.0, ball), (back, pin), depth))
    picture.point("ball", 0, 4)
    picture.move("ball", [0.0], [ball])
    picture.point("pins", 0, 2)
    picture.move("pins", [back], [pin])
    for name, x, align, words in (
        ("pin words", back + 0.1, "right", f"pins {show(pin, 'size', system)}"),
        ("ball words", back / 2 + 0.15, "center", f"ball {show(ball, 'size', system)}"),
        ("receiver words", 0.30, "left", f"receiver {show(receiver, 'size', system)}"),
    ):
        picture.words(name, 0, align=align)
        picture.say(name, words, x, -0.18)
    return SheetPicture(
        picture.svg(),
        f"Side view, loaded, bar to scale: the bar slopes {degrees_words(slope)} (+: brackets higher than the"
        " ball).",
    )


def chains_picture(rig: Rig, system: str = "metric") -> SheetPicture:
    """The chains from above, straight and at the sharpest turn to the left."""
    facts = Facts(rig)
    try:
        places, turn, crossed = (
            anchors(facts),
            facts.need("safety_chains.greatest_articulation"),
            facts.need("safety_chains.crossed"),
        )
        gap = needed_length_m(facts)
        length = fitted_length_m(facts)
    except (NotKnown, ValueError) as missing:
        return SheetPicture("", f"Chains from above: not known ({missing}).")
    picture = Picture((5.4, 1.45), frames=2, font_scale=1.0)
    for number, (angle, title) in enumerate(((0.0, "straight"), (turn, f"turned {math.degrees(turn):.0f}°"))):
        _draw_chains(picture, number, places, angle, crossed, title)
    rule = next(rule for rule in chain_rules(facts) if rule.key == "chain_length")
    limit = answer(rule, facts)
    told = f"{limit.answer_text(system, field_words)}{': it binds' if limit.answer == OVER else ''}"
    return SheetPicture(
        picture.svg(),
        f"Chains from above, to scale, {'crossed' if crossed else 'parallel'}: up to the sharpest turn, and"
        f" under the coupler when crossed, they need {show(gap, 'size', system)} of"
        f" {show(length, 'size', system)} fitted, {told}.",
    )


def _draw_chains(
    picture: Picture, number: int, places: Anchors, angle: float, crossed: bool, title: str
) -> None:
    reach = max(
        places.bar_behind_ball_m + 0.12, places.receiver_spread_m / 2 + 0.12, places.bar_spread_m / 2 + 0.12
    )
    ahead = max(0.12, -places.receiver_behind_ball_m + 0.10)
    picture.frame(number, title=title, x=(-reach, ahead), y=(-reach, reach), equal=True, bare=True)
    cosine, sine = math.cos(angle), math.sin(angle)

    def on_bar(behind: float, left: float) -> tuple[float, float]:
        """Forwards and left of the ball; the bar's rear end swings to the left."""
        return -(behind * cosine - left * sine), left * cosine + behind * sine

    picture.line(f"bar {number}", number, 4)
    end = on_bar(places.bar_behind_ball_m + 0.08, 0.0)
    picture.move(f"bar {number}", [0.0, end[0]], [0.0, end[1]])
    picture.line(f"receiver {number}", number, 4)
    picture.move(
        f"receiver {number}",
        [-places.receiver_behind_ball_m] * 2,
        [-places.receiver_spread_m / 2, places.receiver_spread_m / 2],
    )
    picture.point(f"ball {number}", number, 4)
    picture.move(f"ball {number}", [0.0], [0.0])
    for side, style in ((1.0, 0), (-1.0, 1)):
        start = (-places.receiver_behind_ball_m, side * places.receiver_spread_m / 2)
        tip = on_bar(places.bar_behind_ball_m, (-side if crossed else side) * places.bar_spread_m / 2)
        picture.line(f"chain {side} {number}", number, style, marked=True)
        picture.move(f"chain {side} {number}", [start[0], tip[0]], [start[1], tip[1]])
