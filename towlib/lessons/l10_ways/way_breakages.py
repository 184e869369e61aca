"""Lesson 10: the way home with something broken, for each way of towing."""

import math
import textwrap
from typing import NamedTuple

from towlib.draw.figures import Picture
from towlib.draw.outlines import Points, off_roader_from_front_axle, pickup_from_rear_axle, placed, wheel
from towlib.handbook.breakage_table import AFTER, DOES_NOT, WORKS, Breakage, breakages
from towlib.limits.coupling_limits import ball_height_m
from towlib.limits.loads import towed_empty_kg
from towlib.plan.other_ways import METHODS, USUAL_TONGUE_SHARE
from towlib.rig.facts import Facts, NotKnown

MARKS = {WORKS: "✓", AFTER: "!", DOES_NOT: "✗"}
SAID = {WORKS: "works", AFTER: "works after some work", DOES_NOT: "does not work"}
WRAP, STEP_M = 38, 0.5
# shapes of the drawing: wheels and thickness of a carrier, and how far a dolly's axle stands behind the
# wheels on it
SMALL_WHEEL_M, DECK_THICK_M, DOLLY_AXLE_M, BETWEEN_AXLES_M = 0.30, 0.12, -0.1, 0.7
OUTLINE_HIGH_M = {"tow": 1.80, "towed": 1.68}  # of the outlines in towlib/draw, stretched to the rig's
OUTLINE_NOSE_M, OUTLINE_TAIL_M, PICKUP_NOSE_M, PICKUP_TAIL_M = 0.42, 0.50, 0.85, 0.22


class Sizes(NamedTuple):
    """What the drawing needs of the rig."""

    tow_wheelbase: float
    tow_nose: float
    tow_tail: float
    tow_height: float
    tow_wheel: float
    overhang: float
    ball_height: float
    wheelbase: float
    nose: float
    tail: float
    height: float
    wheel: float
    bracket_ahead: float
    bracket_height: float
    balls_ahead: tuple[float, float, float]  # of the towed front axle, in the order of METHODS
    pans_height: float
    deck_height: float
    deck: tuple[float, float]  # rear and front end, ahead of the towed front axle
    trailer_axle: float


class Broken(NamedTuple):
    """Everything the panel shows."""

    breakage: Breakage
    sizes: Sizes


def sizes_of(facts: Facts) -> Sizes:
    """The rig's sizes; a trailer's axles stand as far behind the vehicle's centre as its share on the ball
    asks.
    """
    need = facts.need
    ahead, wheelbase = need("towed_vehicle.bracket_ahead_of_front_axle"), need("towed_vehicle.wheelbase")
    front, rear = towed_empty_kg(facts)
    share = facts.have("other_ways.trailer_tongue_share")
    length = need("other_ways.trailer_length")
    axle = -wheelbase * rear / (front + rear) - length * (
        sum(USUAL_TONGUE_SHARE) / 2 if share is None else share
    )
    half = need("other_ways.trailer_deck_length") / 2.0
    bracket = need("towed_vehicle.bracket_height")
    try:
        ball = ball_height_m(facts, "out")
    except NotKnown:  # a level bar, for the drawing alone
        ball = bracket
    return Sizes(
        need("tow_vehicle.wheelbase"),
        need("tow_vehicle.front_overhang"),
        need("tow_vehicle.rear_overhang"),
        need("tow_vehicle.body_height"),
        need("tow_vehicle.rear_tyres.rolling_radius"),
        need("tow_vehicle.ball_behind_rear_axle"),
        ball,
        wheelbase,
        need("towed_vehicle.front_overhang"),
        need("towed_vehicle.rear_overhang"),
        need("towed_vehicle.body_height"),
        need("towed_vehicle.tyres.rolling_radius"),
        ahead,
        bracket,
        (
            ahead + need("tow_bar.length"),
            DOLLY_AXLE_M + need("other_ways.dolly_length"),
            axle + length,
        ),
        need("other_ways.dolly_deck_height"),
        need("other_ways.trailer_deck_height"),
        (axle - half, axle + half),
        axle,
    )


def broken(facts: Facts, *, breakage: str) -> Broken:
    """The row of the table with this title, and the rig to draw it on."""
    found = [one for one in breakages() if one.title == breakage]
    if not found:
        raise ValueError(f"the table of breakages has no row '{breakage}'")
    return Broken(found[0], sizes_of(facts))


def broken_words(result: Broken, system: str) -> str:
    """The sentence under the panel."""
    parts = [
        f"{method} {SAID[way.answer]}" for method, way in zip(METHODS, result.breakage.ways, strict=True)
    ]
    return f"{result.breakage.title.capitalize()}: {', '.join(parts)}; why stands under each picture."


def broken_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the panel."""
    rows = breakages()
    at_once, in_the_end = (
        [sum(one.ways[i].answer in good for one in rows) for i in range(len(METHODS))]
        for good in ((WORKS,), (WORKS, AFTER))
    )
    counted = "; ".join(
        f"{method} works at once with {first}, after some work with {after - first}"
        for method, first, after in zip(METHODS, at_once, in_the_end, strict=True)
    )
    return (
        f"{len(rows)} breakages: {counted}. A rear wheel bearing leaves only the trailer, because the rear"
        " wheels roll on the road with bar *and* dolly. A torn bracket stops the bar alone; a dead engine"
        " does not stop the bar at all. **What rolls must be sound**: everything behind a bar, the rear half"
        " on a dolly, nothing on a trailer. But the trailer stands at home: plan for that before the trail."
    )


def answers_of_all() -> list[tuple[str, ...]]:
    """A row for each breakage, and what each way does with it."""
    return [(one.title, *(f"{MARKS[way.answer]} {way.answer}" for way in one.ways)) for one in breakages()]


class BrokenDrawing:
    """The towed vehicle on its wheels, on a dolly and on a trailer, driving to the right; a square marks what
    is broken.
    """

    size_in, frames = (10.4, 3.0), 3
    narrow_in = (4.9, 9.6)

    def build(self, picture: Picture, system: str) -> None:
        """Ground and named parts."""
        for i in range(len(METHODS)):
            picture.shade(i, (-50.0, 50.0), (-0.12, 0.0))
            for name, style in (
                ("tow", None),
                ("tow wheel", None),
                ("body", 0),
                ("front wheel", 0),
                ("rear wheel", 0),
                ("carrier", 2),
                ("carrier wheel", 2),
                ("carrier wheel 2", 2),
            ):
                picture.shape(f"{name} {i}", i, style)
            picture.line(f"bar {i}", i, 4)
            picture.point(f"ball {i}", i, 0)
            for k in (0, 1):
                picture.point(f"broken {i} {k}", i, 1)
            picture.words(f"answer {i}", i, bold=True)
            picture.words(f"why {i}", i)

    def update(self, picture: Picture, result: Broken, system: str) -> None:
        """Move the parts to a result."""
        sizes = result.sizes
        left = min(sizes.deck[0], -sizes.wheelbase - sizes.tail) - 0.3
        right = max(sizes.balls_ahead) + sizes.overhang + sizes.tow_wheel + 0.1
        left, right = (STEP_M * math.copysign(math.ceil(abs(end) / STEP_M), end) for end in (left, right))
        scale = (right - left) / 7.9
        line = (0.37 if picture.narrow else 0.41) * scale  # from one line of words to the next
        for i, way in enumerate(result.breakage.ways):
            picture.frame(
                i,
                title=METHODS[i].capitalize(),
                x=(left, right),
                y=(-1.85 * scale, 3.05 * scale),
                equal=True,
                bare=True,
            )
            raised, pitch = _pose(sizes, i)
            self._pair(picture, sizes, i)
            places = list(
                dict.fromkeys(
                    spot
                    for start, spot in _places(sizes)
                    if any(lost.startswith(start) for lost in result.breakage.loses)
                )
            )[:2]
            for k in (0, 1):
                picture.move(f"broken {i} {k}", *placed(places[k : k + 1], (0.0, raised), pitch))
            picture.say(
                f"answer {i}",
                f"{MARKS[way.answer]}  {way.answer.upper()}{' …' if way.answer == AFTER else ''}",
                left + 0.1,
                2.8 * scale,
            )
            lines = textwrap.wrap(way.why, WRAP)
            picture.say(
                f"why {i}", "\n".join(lines), left + 0.1, -0.45 * scale - 0.5 * line * (len(lines) - 1)
            )

    def _pair(self, picture: Picture, sizes: Sizes, i: int) -> None:
        """The tow vehicle's tail, the towed vehicle, and what carries it."""
        raised, pitch = _pose(sizes, i)
        ball_m = sizes.balls_ahead[i]
        axle = ball_m + sizes.overhang
        picture.move(f"tow {i}", *placed(_tow_body(sizes), (axle, 0.0)))
        picture.move(f"tow wheel {i}", *zip(*wheel((axle, sizes.tow_wheel), sizes.tow_wheel), strict=True))
        picture.move(f"body {i}", *placed(_towed_body(sizes), (0.0, raised), pitch))
        for name, x in (("front", 0.0), ("rear", -sizes.wheelbase)):
            (centre_x,), (centre_y,) = placed([(x, sizes.wheel)], (0.0, raised), pitch)
            picture.move(f"{name} wheel {i}", *zip(*wheel((centre_x, centre_y), sizes.wheel), strict=True))
        half = BETWEEN_AXLES_M / 2.0
        middles = ((), (DOLLY_AXLE_M,), (sizes.trailer_axle - half, sizes.trailer_axle + half))[i]
        small = [wheel((x, SMALL_WHEEL_M), SMALL_WHEEL_M) for x in middles]
        for k, name in enumerate(("carrier wheel", "carrier wheel 2")):
            picture.move(f"{name} {i}", *(zip(*small[k], strict=True) if k < len(small) else ([], [])))
        back, front, top = (
            (0.0, 0.0, 0.0),
            (DOLLY_AXLE_M - 0.35, 0.5, sizes.pans_height),
            (*sizes.deck, sizes.deck_height),
        )[i]
        low = max(top - DECK_THICK_M, 0.02)
        picture.move(f"carrier {i}", *(([back, front, front, back], [low, low, top, top]) if i else ([], [])))
        start = (
            (sizes.bracket_ahead, sizes.bracket_height),
            (front, 0.5 * (low + top)),
            (front, 0.5 * (low + top)),
        )[i]
        ball = sizes.ball_height
        picture.move(f"bar {i}", [start[0], ball_m, ball_m + 0.24], [start[1], ball, ball])
        picture.move(f"ball {i}", [ball_m], [ball])


def _pose(sizes: Sizes, i: int) -> tuple[float, float]:
    """How high the front wheels stand, and how far the nose points up."""
    raised = (0.0, sizes.pans_height, sizes.deck_height)[i]
    return raised, math.asin(min(raised / sizes.wheelbase, 0.9)) if i == 1 else 0.0


def _places(sizes: Sizes) -> tuple[tuple[str, tuple[float, float]], ...]:
    """Where the broken part sits: ahead of the front axle, above the ground under the vehicle."""
    chest = 0.57 * sizes.height
    return (
        ("front", (0.0, sizes.wheel)),
        ("steering", (0.0, sizes.wheel)),
        ("rear", (-sizes.wheelbase, sizes.wheel)),
        ("bar", (sizes.bracket_ahead, sizes.bracket_height)),
        ("frame", (-0.42 * sizes.wheelbase, 0.31 * sizes.height)),
        ("gear", (-0.47 * sizes.wheelbase, 0.3 * sizes.height)),
        ("own", (-0.1, chest)),
        ("electrics", (-0.1, chest)),
        ("lamps", (-sizes.wheelbase - sizes.tail, 0.95 * chest)),
    )


def _tow_body(sizes: Sizes) -> Points:
    """The tow vehicle's outline, counted from its rear axle, as long and as high as the rig's."""
    base = sizes.tow_wheelbase
    points = pickup_from_rear_axle(sizes.tow_tail + PICKUP_TAIL_M, base)
    return [
        (
            base + (x - base) * sizes.tow_nose / PICKUP_NOSE_M if x > base else x,
            y * sizes.tow_height / OUTLINE_HIGH_M["tow"],
        )
        for x, y in points
    ]


def _towed_body(sizes: Sizes) -> Points:
    """The towed vehicle's outline, counted from its front axle, as long and as high as the rig's."""

    def along(x: float) -> float:
        if x > 0:
            return x * sizes.nose / OUTLINE_NOSE_M
        behind = x + sizes.wheelbase
        return x if behind > 0 else -sizes.wheelbase + behind * sizes.tail / OUTLINE_TAIL_M

    return [
        (along(x), y * sizes.height / OUTLINE_HIGH_M["towed"])
        for x, y in off_roader_from_front_axle(sizes.wheelbase)
    ]
