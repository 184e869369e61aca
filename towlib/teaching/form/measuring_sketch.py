"""Pencil for the measuring drawings: outlines, lettered lengths, and the places where a number is read."""

import math
from collections.abc import Mapping, Sequence

from towlib.draw.figures import Picture
from towlib.draw.outlines import (
    TOW_WHEEL_M,
    TOWED_WHEEL_M,
    Points,
    off_roader_from_front_axle,
    pickup_from_rear_axle,
    placed,
    wheel,
)

Point = tuple[float, float]
WIDTH = 100.0  # a drawing is so many units wide, whatever its height
INCHES_A_UNIT = 0.09
BODY, METAL, RUBBER, PAPER = "#E8E8E8", "#D0D0D0", "#BDBDBD", "#FFFDF2"


class Sketch:
    """One drawing; lengths and places are given by the field's name and get their letters when all are
    known, so that drawing and questions cannot disagree.
    """

    def __init__(self, height: float):
        self.picture = Picture((WIDTH * INCHES_A_UNIT, height * INCHES_A_UNIT))
        self.picture.frame(0, x=(0.0, WIDTH), y=(0.0, height), equal=True, bare=True)
        self.picture.whole_page()
        self.lettered: dict[str, tuple[Point, tuple[Point, ...]]] = {}  # name -> where its letter goes, ends

    def line(self, *points: Point, width: float = 1.6, dashed: bool = False) -> None:
        """A line through points."""
        self.picture.fixed_shape(0, points, width=width, dashed=dashed)

    def body(self, points: Sequence[Point], fill: str = BODY, width: float = 1.6) -> None:
        """A filled outline."""
        self.picture.fixed_shape(0, points, fill=fill, width=width)

    def box(self, x: float, y: float, width: float, height: float, fill: str = BODY) -> None:
        """A rectangle by its lower left corner."""
        self.body([(x, y), (x + width, y), (x + width, y + height), (x, y + height)], fill)

    def circle(self, x: float, y: float, radius: float, fill: str = METAL) -> None:
        """A filled circle."""
        self.body(wheel((x, y), radius), fill)

    def arc(
        self,
        x: float,
        y: float,
        radius: float,
        *,
        start_deg: float,
        end_deg: float,
        width: float = 1.6,
        dashed: bool = False,
    ) -> None:
        """A part of a circle."""
        self.line(
            *(polar(x, y, radius, start_deg + (end_deg - start_deg) * i / 48) for i in range(49)),
            width=width,
            dashed=dashed,
        )

    def words(self, text: str, x: float, y: float, align: str = "center") -> None:
        """Words that are no letter."""
        self.picture.fixed_words(0, text, x, y, align=align)

    def length(self, name: str, start: Point, end: Point, *, at: Point | None = None) -> None:
        """A lettered arrow between two ends; the letter sits at its middle, or beside a short one on a thin
        line.
        """
        middle = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
        if at:
            self.line(middle, at, width=0.8)
        self._letter(name, at or middle, start, end)

    def place(self, name: str, at: Point, to: Point) -> None:
        """A letter that points to where something is read."""
        self._letter(name, at, to)

    def _letter(self, name: str, at: Point, *ends: Point) -> None:
        if name in self.lettered:
            raise ValueError(f"{name} is drawn twice")
        self.lettered[name] = at, ends

    def write_letters(self, letter_of: Mapping[str, str]) -> None:
        """A letter in a circle, with its arrows, for every length and place."""
        for name, (at, ends) in self.lettered.items():
            self.picture.lettered(0, letter_of[name], at, ends)

    def turned(self, name: str, middle: Point, radius: float, *, start_deg: float, end_deg: float) -> None:
        """A lettered angle."""
        self.arc(*middle, radius, start_deg=start_deg, end_deg=end_deg, width=1.2)
        self.place(
            name,
            polar(*middle, radius + 4.0, (start_deg + end_deg) / 2),
            polar(*middle, radius, (start_deg + end_deg) / 2),
        )


def polar(x: float, y: float, radius: float, angle_deg: float) -> Point:
    """A point at a distance and an angle."""
    return x + radius * math.cos(math.radians(angle_deg)), y + radius * math.sin(math.radians(angle_deg))


def pickup(
    sketch: Sketch, rear: Point, scale: float, *, wheelbase_m: float = 3.4, overhang_m: float = 1.25
) -> None:
    """The tow vehicle from its right side, standing on the road at its rear axle's foot."""
    sketch.body(
        [
            (rear[0] + x * scale, rear[1] + y * scale)
            for x, y in pickup_from_rear_axle(overhang_m, wheelbase_m)
        ]
    )
    for x in (0.0, wheelbase_m):
        sketch.body(
            [
                polar(rear[0] + x * scale, rear[1] + 0.45 * scale, 0.50 * scale, angle)
                for angle in range(0, 181, 10)
            ],
            "white",
        )
        sketch.circle(rear[0] + x * scale, rear[1] + TOW_WHEEL_M * scale, TOW_WHEEL_M * scale, RUBBER)
        sketch.circle(rear[0] + x * scale, rear[1] + TOW_WHEEL_M * scale, 0.05 * scale, "black")


def off_roader(
    sketch: Sketch, front: Point, scale: float, *, wheelbase_m: float = 2.3, pitch_rad: float = 0.0
) -> None:
    """The towed vehicle from its right side, standing at its front axle's foot, its nose raised by a
    pitch.
    """

    def here(points: Points) -> Points:
        return list(zip(*placed([(x * scale, y * scale) for x, y in points], front, pitch_rad), strict=True))

    sketch.body(here(off_roader_from_front_axle(wheelbase_m)))
    for x in (0.0, -wheelbase_m):
        sketch.body(here(wheel((x, TOWED_WHEEL_M), TOWED_WHEEL_M)), RUBBER)
        sketch.body(here(wheel((x, TOWED_WHEEL_M), 0.05)), "black")


def end_view(sketch: Sketch, x: float, y: float, width: float, height: float) -> None:
    """A vehicle from behind or ahead: body and two tyres, their middles `width` apart."""
    for side in (-0.5, 0.5):
        sketch.box(x + side * width - 1.1, y, 2.2, 5.0, RUBBER)
    sketch.body(
        [
            (x - 0.56 * width, y + 2.6),
            (x + 0.56 * width, y + 2.6),
            (x + 0.56 * width, y + 0.62 * height),
            (x + 0.42 * width, y + height),
            (x - 0.42 * width, y + height),
            (x - 0.56 * width, y + 0.62 * height),
        ]
    )


def axle_on_scale(
    sketch: Sketch, x: float, y: float, name: str, *, is_front: bool, is_towed: bool = False
) -> None:
    """A weighbridge with one axle on it and the other on the ground beside it."""
    sketch.line((x, y + 2.0), (x + 22.0, y + 2.0))
    on = x + 17.0 if is_front else x + 5.0
    sketch.box(on - 4.0, y + 0.6, 8.0, 1.4, "white")
    if is_towed:
        off_roader(sketch, (x + 17.0, y + 2.0), 12.0 / 2.3)
    else:
        pickup(sketch, (x + 5.0, y + 2.0), 12.0 / 3.4)
    sketch.place(name, (on, y + 12.0), (on, y + 2.1))


def label(
    sketch: Sketch, x: float, y: float, title: str, lines: Sequence[tuple[str, str]], *, width: float = 25.0
) -> None:
    """A sticker, plate or page with its lines lettered; (x, y) is its upper left corner. A line without a
    name is only read past.
    """
    height = 3.4 * len(lines) + 1.2
    sketch.box(x, y - height, width, height, PAPER)
    sketch.words(title, x + width / 2, y + 1.9)
    for number, (name, text) in enumerate(lines):
        line_y = y - 2.2 - 3.4 * number
        sketch.words(text, x + 1.0, line_y, "left")
        if name:
            sketch.place(name, (x + width + 2.6, line_y), (x + width - 1.5, line_y))


def dial(
    sketch: Sketch,
    x: float,
    y: float,
    radius: float,
    marks: Sequence[tuple[str, float, str]],
    *,
    red_from_deg: float | None = None,
) -> None:
    """A round gauge with lettered marks at angles (180 left, 0 right): (name, angle, words)."""
    sketch.circle(x, y, radius, "white")
    sketch.arc(x, y, 0.8 * radius, start_deg=200, end_deg=-20)
    if red_from_deg is not None:
        sketch.arc(x, y, 0.8 * radius, start_deg=red_from_deg, end_deg=-20, width=5.0)
    for name, angle, text in marks:
        sketch.line(polar(x, y, 0.62 * radius, angle), polar(x, y, 0.92 * radius, angle))
        if name:
            sketch.place(name, polar(x, y, radius + 3.4, angle), polar(x, y, 0.84 * radius, angle))
        if text:
            sketch.words(
                text,
                *polar(x, y, radius + 6.2, angle),
                "left" if math.cos(math.radians(angle)) > 0 else "right",
            )
    sketch.line((x, y), polar(x, y, 0.62 * radius, 120), width=2.2)


def meter(sketch: Sketch, x: float, y: float, text: str, leads: Sequence[Point]) -> None:
    """A hand-held meter with its leads."""
    for number, to in enumerate(leads):
        start = (x + 2.0 + 3.0 * number, y)
        sketch.line(start, (start[0], min(y, to[1]) - 1.2), (to[0], min(y, to[1]) - 1.2), to, width=1.2)
    sketch.box(x, y, 7.0, 9.0, METAL)
    sketch.box(x + 1.0, y + 5.4, 5.0, 2.6, "white")
    sketch.words(text, x + 3.5, y + 6.7)
    sketch.circle(x + 3.5, y + 2.8, 1.4, "white")
