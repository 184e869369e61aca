"""Lesson 10: the way home with something broken, for each way of towing."""

import textwrap
from typing import NamedTuple

from towlib.draw.figures import Picture
from towlib.draw.outlines import (
    TOWED_WHEEL_M,
    off_roader_from_front_axle,
    pickup_from_rear_axle,
    placed,
    wheel,
)
from towlib.handbook.breakage_table import AFTER, DOES_NOT, WORKS, Breakage, breakages
from towlib.plan.other_ways import METHODS

WHEELBASE_M, OVERHANG_M = 2.36, 1.32
SMALL_WHEEL_M, DECK_M, RAISED_M = 0.30, 0.62, 0.20
MARKS = {WORKS: "✓", AFTER: "!", DOES_NOT: "✗"}
WRAP, LEFT_M, RIGHT_M = 39, -3.5, 4.4
# where the broken part sits: ahead of the front axle, above the ground under the vehicle
PLACES = (
    ("front", (0.0, 0.35)),
    ("steering", (0.0, 0.35)),
    ("rear", (-WHEELBASE_M, 0.35)),
    ("bar", (0.42, 0.56)),
    ("frame", (-1.0, 0.52)),
    ("gear", (-1.1, 0.5)),
    ("own", (-0.1, 0.95)),
    ("electrics", (-0.1, 0.95)),
    ("lamps", (-2.86, 0.9)),
)


class Broken(NamedTuple):
    """Everything the panel shows."""

    breakage: Breakage


def broken(*, breakage: str) -> Broken:
    """The row of the table with this title."""
    found = [one for one in breakages() if one.title == breakage]
    if not found:
        raise ValueError(f"the table of breakages has no row '{breakage}'")
    return Broken(found[0])


def broken_words(result: Broken, system: str) -> str:
    """The sentence under the panel."""
    said = {WORKS: "works", AFTER: "works after some work", DOES_NOT: "does not work"}
    parts = [
        f"{method} {said[way.answer]}" for method, way in zip(METHODS, result.breakage.ways, strict=True)
    ]
    return f"{result.breakage.title.capitalize()}: {', '.join(parts)}; why stands under each picture."


class BrokenDrawing:
    """The towed vehicle on its wheels, on a dolly and on a trailer, driving to the right; a square marks what
    is broken.
    """

    size_in, frames = (10.8, 2.75), 3
    POSES = (
        (0.0, 0.0, 1.98),
        (RAISED_M, RAISED_M / WHEELBASE_M, 1.95),
        (DECK_M, 0.0, 2.75),
    )  # front wheels raised, pitch, ball ahead of front axle

    def build(self, picture: Picture, system: str) -> None:
        """Frames, vehicles that do not change, and the words that do."""
        for i, method in enumerate(METHODS):
            picture.frame(
                i, title=method.capitalize(), x=(LEFT_M, RIGHT_M), y=(-1.75, 3.05), equal=True, bare=True
            )
            picture.shade(i, (LEFT_M, RIGHT_M), (-0.12, 0.0))
            for name in (
                "tow",
                "tow wheel",
                "body",
                "front wheel",
                "rear wheel",
                "carrier",
                "carrier wheel",
                "carrier wheel 2",
            ):
                picture.shape(
                    f"{name} {i}",
                    i,
                    (
                        None
                        if name in ("tow", "tow wheel")
                        else 0
                        if name in ("body", "front wheel", "rear wheel")
                        else 2
                    ),
                )
            picture.line(f"bar {i}", i, 4)
            picture.point(f"ball {i}", i, 0)
            for k in (0, 1):
                picture.point(f"broken {i} {k}", i, 1)
            picture.words(f"answer {i}", i, bold=True)
            picture.words(f"why {i}", i)

    def update(self, picture: Picture, result: Broken, system: str) -> None:
        """Move the parts to a result."""
        for i, way in enumerate(result.breakage.ways):
            self._pair(picture, i)
            raised, pitch, _ = self.POSES[i]
            places = list(
                dict.fromkeys(
                    spot
                    for start, spot in PLACES
                    if any(lost.startswith(start) for lost in result.breakage.loses)
                )
            )[:2]
            for k in (0, 1):
                x, y = placed(places[k : k + 1], (0.0, raised), pitch)
                picture.move(f"broken {i} {k}", x, y)
            picture.say(
                f"answer {i}",
                f"{MARKS[way.answer]}  {way.answer.upper()}{' …' if way.answer == AFTER else ''}",
                LEFT_M + 0.1,
                2.8,
            )
            lines = textwrap.wrap(way.why, WRAP)
            picture.say(f"why {i}", "\n".join(lines), LEFT_M + 0.1, -0.45 - 0.205 * (len(lines) - 1))

    def _pair(self, picture: Picture, i: int) -> None:
        """The tow vehicle's tail, the towed vehicle, and what carries it."""
        raised, pitch, ball_m = self.POSES[i]
        axle = ball_m + OVERHANG_M
        picture.move(f"tow {i}", *placed(pickup_from_rear_axle(OVERHANG_M, 3.75), (axle, 0.0)))
        picture.move(f"tow wheel {i}", *zip(*wheel((axle, 0.388), 0.388), strict=True))
        picture.move(f"body {i}", *placed(off_roader_from_front_axle(WHEELBASE_M), (0.0, raised), pitch))
        for name, x in (("front", 0.0), ("rear", -WHEELBASE_M)):
            (centre_x,), (centre_y,) = placed([(x, TOWED_WHEEL_M)], (0.0, raised), pitch)
            picture.move(f"{name} wheel {i}", *zip(*wheel((centre_x, centre_y), TOWED_WHEEL_M), strict=True))
        small = (
            [wheel((x, SMALL_WHEEL_M), SMALL_WHEEL_M) for x in ((-0.1,), (-1.25, -0.55))[i - 1]] if i else []
        )
        for k, name in enumerate(("carrier wheel", "carrier wheel 2")):
            picture.move(f"{name} {i}", *(zip(*small[k], strict=True) if k < len(small) else ([], [])))
        deck = (
            ([], [])
            if i == 0
            else (
                ([-0.45, 0.5, 0.5, -0.45], [0.1, 0.1, RAISED_M, RAISED_M])
                if i == 1
                else ([-2.95, 0.6, 0.6, -2.95], [DECK_M - 0.12, DECK_M - 0.12, DECK_M, DECK_M])
            )
        )
        picture.move(f"carrier {i}", *deck)
        start = ((0.48, 0.56), (0.5, 0.16), (0.6, DECK_M - 0.06))[i]
        picture.move(f"bar {i}", [start[0], ball_m, ball_m + 0.24], [start[1], 0.56, 0.56])
        picture.move(f"ball {i}", [ball_m], [0.56])
