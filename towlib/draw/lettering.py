"""Words in pixels, put together from pieces that are kept ready.

To lay a line of words out and to draw its letters takes matplotlib about a millisecond, and a panel moves a
dozen lines. Here matplotlib draws each word and each digit once; a line is put together from them at whole
pixels, and the finished picture of the words is kept too. Letters are kerned inside a piece, never between a
word and a digit.
"""

import re
from collections.abc import Callable, Sequence
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np

_PIECES = re.compile(r"\d|\s|[^\d\s]+")
_SHARES = {"left": 0.0, "center": 0.5, "right": 1.0}


class Stamp(NamedTuple):
    """Letters as pixels."""

    cover: Any  # rows of 0 to 255: how much of each pixel is ink
    left: int  # pixels from the pen to the left column
    top: int  # pixels from the base line up to the first row
    advance: float  # pixels the pen moves on


class Look(NamedTuple):
    """How words look; whatever is drawn depends on this and the text alone."""

    points: float
    weight: int | str
    dpi: float


class Heights(NamedTuple):
    """Heights of a line in pixels."""

    above: float  # from the base line to the top of the line
    below: float
    pitch: float  # from one base line to the next


class Lettering:
    """Makes pictures of words from a function that draws one piece, and one that tells the heights of a
    line.
    """

    def __init__(self, draw: Callable[[str, Look], Stamp], heights: Callable[[Look], Heights]):
        self._stamp = lru_cache(2000)(draw)
        self._heights = lru_cache(50)(heights)
        self.image = lru_cache(600)(self._image)

    def _image(self, text: str, look: Look, align: str, colour: tuple[int, int, int]) -> tuple[Any, int, int]:
        """An RGBA picture of the words, lowest row first, and how far its left and lower edges stand from the
        place they are aligned to.

        One line or several; `align` is 'left', 'center' or 'right'; up and down the middle of the lines
        stands at the place.
        """
        heights, lines = self._heights(look), [self._line(line, look) for line in text.split("\n")]
        share, width = _SHARES[align], max(advance for _, advance in lines)
        first = (
            heights.above - heights.below - heights.pitch * (len(lines) - 1)
        ) / 2  # the first base line, pixels below the place
        placed = [
            (
                round(share * (width - advance)) + left,
                round(first + heights.pitch * row) - stamp.top,
                stamp.cover,
            )
            for row, (stamps, advance) in enumerate(lines)
            for left, stamp in stamps
        ]
        left, top = min((x for x, _, _ in placed), default=0), min((y for _, y, _ in placed), default=0)
        image = np.zeros(
            (
                max((y + c.shape[0] for _, y, c in placed), default=1) - top,
                max((x + c.shape[1] for x, _, c in placed), default=1) - left,
                4,
            ),
            np.uint8,
        )
        image[..., :3] = colour
        for x, y, cover in placed:
            part = image[y - top : y - top + cover.shape[0], x - left : x - left + cover.shape[1], 3]
            np.maximum(part, cover, out=part)
        return image[::-1].copy(), left - round(share * width), -top - image.shape[0]

    def _line(self, line: str, look: Look) -> tuple[Sequence[tuple[int, Stamp]], float]:
        """Each piece of a line with ink in it, where its left column stands, and the width of the line."""
        pen, stamps = 0.0, []
        for piece in _PIECES.findall(line):
            stamp = self._stamp(piece, look)
            if stamp.cover.size:
                stamps.append((round(pen) + stamp.left, stamp))
            pen += stamp.advance
        return stamps, pen
