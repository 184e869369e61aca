"""Lesson 09: the driveline from above, and a table of speeds for the usual procedures."""

import textwrap
from collections.abc import Sequence
from typing import Any

from towlib.draw.figures import Picture, round_up
from towlib.lessons.l09_driveline.driveline_panels import COMPARED, PROCEDURES, Comparison
from towlib.limits.driveline_layout import NOT_OILED, OIL_NOT_KNOWN, Turning, parts_of
from towlib.physics.driveline.shaft_motion import FORCED, LOOSE, STANDS, TURNS
from towlib.units import number

OFFSET = -1.0  # the front differential and shaft stand to one side of the middle
FRONT_X, REAR_X = 1.0, 10.6
BOXES = {
    "engine": ((2.2, 3.9), (-0.15, 0.75)),
    "gearbox input": ((4.05, 4.75), (-0.02, 0.62)),
    "gearbox output": ((4.95, 5.75), (-0.02, 0.62)),
    "transfer input": ((6.1, 6.55), (0.02, 0.58)),
    "centre differential": ((6.62, 6.98), (-0.45, 0.45)),
    "rear output": ((7.05, 7.5), (0.02, 0.58)),
    "front output": ((6.1, 6.55), (OFFSET - 0.28, OFFSET + 0.28)),
    "front differential": ((FRONT_X - 0.32, FRONT_X + 0.32), (OFFSET - 0.36, OFFSET + 0.36)),
    "rear differential": ((REAR_X - 0.32, REAR_X + 0.32), (0.3 - 0.36, 0.3 + 0.36)),
}
LINES = {
    "front pinion": ((FRONT_X + 0.32, 1.72), (OFFSET, OFFSET)),
    "front shaft": ((1.95, 6.1), (OFFSET, OFFSET)),
    "rear shaft": ((7.5, 9.65), (0.3, 0.3)),
    "rear pinion": ((9.88, REAR_X - 0.32), (0.3, 0.3)),
}
SIDE_Y = {"left": -1.95, "right": 1.95}  # driving to the left of the page, left lies below
WHEEL = (0.62, 0.3)
for _axle, _x, _y in (("front", FRONT_X, OFFSET), ("rear", REAR_X, 0.3)):
    for _side, _at in SIDE_Y.items():
        _down = -1.0 if _at < 0 else 1.0
        LINES[f"{_axle} {_side} half shaft"] = ((_x, _x), (_y + 0.36 * _down, _at - 0.48 * _down))
        BOXES[f"{_axle} {_side} wheel"] = ((_x - WHEEL[0], _x + WHEEL[0]), (_at - WHEEL[1], _at + WHEEL[1]))
# couplings that may be open: drawn when closed
JOINTS = {
    "front left hub": ((FRONT_X, FRONT_X), (-1.65, -1.47)),
    "front right hub": ((FRONT_X, FRONT_X), (1.47, 1.65)),
    "rear left hub": ((REAR_X, REAR_X), (-1.65, -1.47)),
    "rear right hub": ((REAR_X, REAR_X), (1.47, 1.65)),
    "gearbox": ((4.75, 4.95), (0.3, 0.3)),
    "to the rear": ((6.55, 7.05), (0.3, 0.3)),
    "to the front": ((6.32, 6.32), (0.02, OFFSET + 0.28)),
    "outputs": ((7.27, 7.27, 6.55), (0.02, OFFSET, OFFSET)),
    "clutch": ((3.9, 4.05), (0.3, 0.3)),
    "input": ((5.75, 6.1), (0.3, 0.3)),
    "front flange": ((1.72, 1.95), (OFFSET, OFFSET)),
    "rear flange": ((9.65, 9.88), (0.3, 0.3)),
}
LOOKS: dict[str, Any] = {
    TURNS: {"style": 0},
    STANDS: {"style": None},
    LOOSE: {"style": 4, "dashed": True},
    FORCED: {"style": 1, "hatched": True},
}
WORDS_AT = {
    "front left wheel": (FRONT_X + 0.8, -1.95),
    "front right wheel": (FRONT_X + 0.8, 1.95),
    "rear left wheel": (REAR_X - 0.8, -1.95),
    "rear right wheel": (REAR_X - 0.8, 1.95),
    "front shaft": (2.9, OFFSET - 0.33),
    "rear shaft": (8.6, -0.1),
    "engine": (3.05, 1.02),
    "gearbox output": (4.95, 1.38),
    "front output": (5.0, OFFSET - 0.33),
    "rear output": (7.5, 1.05),
}


# on a phone it drives up the page, and words of two lines stand beside the parts
NARROW_WORDS_AT = {
    "front left wheel": (-1.85, -2.0, "center"),
    "front right wheel": (1.85, -2.0, "center"),
    "rear left wheel": (-1.85, -9.6, "center"),
    "rear right wheel": (1.85, -9.6, "center"),
    "front shaft": (-1.75, -4.2, "center"),
    "rear shaft": (0.5, -8.6, "left"),
    "engine": (0.95, -2.9, "left"),
    "gearbox output": (0.95, -5.3, "left"),
    "front output": (-1.75, -6.4, "center"),
    "rear output": (0.95, -7.4, "left"),
}
TITLES = {
    False: (
        "From above, driving to the left. Dark: turns. Pale: stands. Dashed: oil may drag it. Hatched:"
        " forced."
    ),
    True: "From above, driving up. Dark: turns. Pale: stands. Dashed: oil may drag it. Hatched: forced.",
}


def _placed(picture: Picture, x: Sequence[float], y: Sequence[float]) -> tuple[list[float], list[float]]:
    """Points as they are, or a quarter turn on where the picture is narrow."""
    return (list(y), [-each for each in x]) if picture.narrow else (list(x), list(y))


def _one(picture: Picture, x: float, y: float) -> tuple[float, float]:
    (at_x,), (at_y,) = _placed(picture, [x], [y])
    return at_x, at_y


class DrivelineDrawing:
    """Plan view: filled turns, grey stands, dashed may be dragged, hatched is forced; a gap is an open
    coupling.
    """

    size_in, frames, narrow_in = (10.4, 4.5), 1, (4.9, 7.2)

    def build(self, picture: Picture, system: str) -> None:
        """Frame and named parts."""
        narrow = picture.narrow
        picture.frame(
            0,
            title=TITLES[narrow],
            x=(-2.5, 2.5) if narrow else (-0.1, 11.7),
            y=(-12.7, -0.1) if narrow else (-2.38, 2.38),
            equal=not narrow,
            bare=True,
        )
        if narrow:
            picture.shade(0, (-0.15, 0.75), (-5.85, -4.0))
            picture.fixed_words(0, "gearbox: in, out", 0.95, -4.35, align="left")
        else:
            picture.shade(0, (4.0, 5.85), (-0.15, 1.12), "gearbox: in, out")
        picture.shape("case", 0, None, filled=False)
        for name in JOINTS:
            picture.line(f"joint {name}", 0, 4)
            picture.paint(f"joint {name}", 4)
        for part in LINES:
            picture.line(part, 0, 0)
        for part in BOXES:
            picture.shape(part, 0, 0)
        for part in WORDS_AT:
            side = "right" if part.startswith("rear") else "left"
            align = side if part.endswith("wheel") else "center"
            picture.words(f"words {part}", 0, align=NARROW_WORDS_AT[part][2] if narrow else align)
        picture.words("case name", 0, align="left" if narrow else "center")
        for name in ("front lock", "rear lock"):
            picture.words(name, 0, align="center")
        for name in ("oil 0", "oil 1"):
            picture.words(name, 0, align="left", style=1, bold=True)

    def update(self, picture: Picture, result: Turning, system: str) -> None:
        """Move and paint the parts."""
        layout, found, here = result.layout, result.motion, set(parts_of(result.layout))
        narrow, has_case = picture.narrow, layout.transfer_case != "none"
        box = ((5.95, 7.65, 7.65, 5.95), (OFFSET - 0.4, OFFSET - 0.4, 0.75, 0.75))
        picture.move("case", *(_placed(picture, *box) if has_case else ([], [])))
        for part, (x, y) in BOXES.items():
            corners = ((x[0], x[1], x[1], x[0]), (y[0], y[0], y[1], y[1]))
            picture.move(part, *(_placed(picture, *corners) if part in here else ([], [])))
        for part, (x, y) in LINES.items():
            if not has_case and part.endswith(" shaft") and "half" not in part:
                x = (5.85, x[1]) if part.startswith("rear") else (x[0], 5.0)
            picture.move(part, *(_placed(picture, x, y) if part in here else ([], [])))
        for part in here:
            picture.paint(part, **LOOKS[found.state[part]])
        closed = self._closed(result)
        for name, joint in JOINTS.items():
            picture.move(f"joint {name}", *(_placed(picture, *joint) if name in closed else ([], [])))
        for part, at in WORDS_AT.items():
            words = self._words(result, part) if part in here or (part.endswith("shaft") and has_case) else ""
            if narrow:
                left, high, _ = NARROW_WORDS_AT[part]
                picture.say(f"words {part}", _in_two(words, part), left, high)
            else:
                picture.say(f"words {part}", words, *at)
        for axle, along, across, locked in (
            ("front", FRONT_X + 0.85, OFFSET + 0.5, layout.front_locked),
            ("rear", REAR_X - 0.85, 0.8, layout.rear_locked),
        ):
            words = "locked" if locked and f"{axle} differential" in here else ""
            picture.say(f"{axle} lock", words, *_one(picture, along, across))
        place = (0.95, -6.5) if narrow else (6.8, OFFSET - 0.62)
        case_name = "transfer case, low" if layout.low_range else "transfer case"
        picture.say("case name", case_name if has_case else "", *place)
        dry, unknown = (
            result.oil_is(NOT_OILED),
            [part for part in result.oil_is(OIL_NOT_KNOWN) if found.state[part] == TURNS],
        )
        no_oil = f"no oil: {_short(dry)}" if dry and not found.conflict else ""
        not_known = f"oil not known: {_short(unknown)}" if unknown and not found.conflict else ""
        picture.say("oil 0", no_oil, *((-2.45, -11.85) if narrow else (3.3, 2.05)))
        picture.say("oil 1", not_known, *((-2.45, -12.4) if narrow else (3.3, 1.72)))

    @staticmethod
    def _closed(result: Turning) -> set[str]:
        """Names of the couplings that are closed."""
        layout, here = result.layout, set(parts_of(result.layout))
        closed = {"input", "clutch"} if layout.transfer_case != "none" else {"clutch"}
        for axle, is_in in (("front", layout.front_shaft_in), ("rear", layout.rear_shaft_in)):
            closed |= {f"{axle} flange"} if is_in and f"{axle} shaft" in here else set()
        closed |= {f"rear {side} hub" for side in ("left", "right") if "rear differential" in here}
        if "front differential" in here and layout.front_hubs != "free":
            closed |= {"front left hub"} | (
                {"front right hub"} if layout.front_hubs != "one side open" else set()
            )
        closed |= {"gearbox"} if (layout.gearbox, layout.gear) == ("manual", "in gear") else set()
        if layout.transfer_case == "full-time":
            closed |= {"outputs"} | ({"to the rear"} if "neutral" not in layout.position else set())
        elif layout.transfer_case != "none":
            closed |= {"to the rear"} if layout.position in ("rear only", "both") else set()
            closed |= {"to the front"} if layout.position in ("front only", "both") else set()
            closed |= {"outputs"} if layout.position == "neutral, outputs joined" else set()
        return closed

    @staticmethod
    def _words(result: Turning, part: str) -> str:
        found = result.motion
        if part not in found.state:
            return f"{part}: out"
        twin = part.replace("right", "left").replace("output", "shaft")  # said once when both do the same
        if (
            twin != part
            and twin in found.state
            and (found.state[twin], round(found.rpm[twin], 3))
            == (found.state[part], round(found.rpm[part], 3))
        ):
            return ""
        state, rpm = found.state[part], found.rpm[part]
        name = f"{part} " if part.endswith(("shaft", "output", "engine")) else ""
        held = {STANDS: "stands", LOOSE: "loose", FORCED: "forced"}.get(state)
        return f"{name}{held}" if held else f"{name}{number(rpm, 3).replace('-', '−')} rpm"


def _short(parts) -> str:
    """Parts without their side, in few words."""
    each = list(dict.fromkeys(part.replace(" left", "").replace(" right", "") for part in parts))
    return ", ".join(each[:3]) + (" …" if len(each) > 3 else "")


def _in_two(words: str, part: str) -> str:
    """The name of a part above what it does."""
    does = words.removeprefix(part).lstrip(": ")
    return f"{part}\n{does}" if words.startswith(part) and part != "engine" else words


class ComparisonDrawing:
    """A table: a row for each procedure, a column for each part; in each field its speed and a bar.

    Hatched orange turns without oil, is the engine, or is forced.
    """

    size_in, frames, narrow_in = (10.2, 4.0), 1, (4.9, 5.0)
    LABELS, COLUMN = 5.1, 1.7  # in the units of the frame

    def build(self, picture: Picture, system: str) -> None:
        """Frame and named parts."""
        start, across = self._grid(picture)
        rows = len(PROCEDURES)
        picture.frame(
            0,
            title="Speed of each part [rpm]. Hatched: turns without oil, is the engine, or is forced.",
            x=(0.0, start + len(COMPARED) * across),
            y=(-0.1, rows + 0.75),
            bare=True,
        )
        for k, part in enumerate(COMPARED):
            at = start + across * (k + 0.5)
            picture.fixed_words(0, part.replace(" ", "\n") if picture.narrow else part, at, rows + 0.35)
        for i, letter in enumerate(PROCEDURES):
            picture.reference(f"rule {letter}", 0)
            picture.words(f"name {letter}", 0, align="left")
            for k in range(len(COMPARED)):
                picture.shape(f"bar {i} {k}", 0, 0)
                picture.words(f"words {i} {k}", 0, align="center")

    def _grid(self, picture: Picture) -> tuple[float, float]:
        """Where the columns begin, and how wide each is."""
        return (self.LABELS, 1.95) if picture.narrow else (4.2, self.COLUMN)

    def update(self, picture: Picture, result: Comparison, system: str) -> None:
        """Move the bars to a result."""
        start, across = self._grid(picture)
        rows = len(result.procedures)
        speeds = [
            abs(way.turning.motion.rpm.get(part, 0.0)) for way in result.procedures for part in COMPARED
        ]
        most = round_up(max(speeds))
        for i, way in enumerate(result.procedures):
            base = rows - 1.0 - i
            name = f"{way.letter}  {way.title}"
            picture.say(
                f"name {way.letter}", textwrap.fill(name, 17) if picture.narrow else name, 0.0, base + 0.45
            )
            picture.move(f"rule {way.letter}", [0.0, start + across * len(COMPARED)], [base + 0.97] * 2)
            found, dry = way.turning.motion, way.turning.oil_is(NOT_OILED)
            for k, part in enumerate(COMPARED):
                state, rpm = found.state.get(part, "out"), abs(found.rpm.get(part, 0.0))
                bad = state == FORCED or (state == TURNS and (part in dry or part == "engine"))
                long = 0.92 * across * (1.0 if state == FORCED else rpm / most)
                left, low, high = start + across * k + 0.04 * across, base + 0.12, base + 0.38
                corners = ([left, left + long, left + long, left], [low, low, high, high])
                picture.move(f"bar {i} {k}", *(corners if long > 0.0 else ([], [])))
                picture.paint(f"bar {i} {k}", 1 if bad else 0, hatched=bad)
                words = number(rpm, 3) if state == TURNS else state
                picture.say(f"words {i} {k}", words, start + across * (k + 0.5), base + 0.66)
