"""Lesson 09: the driveline from above, driving to the left, and bars of speeds for the usual procedures."""

from towlib.draw.figures import Picture
from towlib.lessons.l09_driveline.driveline_panels import COMPARED, Comparison
from towlib.limits.driveline_layout import NOT_OILED, OIL_NOT_KNOWN, Turning, parts_of
from towlib.physics.driveline.shaft_motion import FORCED, LOOSE, STANDS, TURNS
from towlib.units import number

OFFSET = -1.0  # the front differential and shaft stand to one side of the middle
FRONT_X, REAR_X, CASE_X = 1.0, 10.6, (6.0, 7.6)
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
LOOKS = {
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


class DrivelineDrawing:
    """Plan view: filled turns, grey stands, dashed may be dragged, hatched is forced; a gap is an open
    coupling.
    """

    size_in, frames = (11.0, 4.7), 1

    def build(self, picture: Picture, system: str) -> None:
        """Frame and named parts."""
        picture.frame(
            0,
            title=(
                "From above, driving to the left. Dark: turns. Pale: stands. Dashed: oil may drag it."
                " Hatched: forced."
            ),
            x=(-0.1, 11.7),
            y=(-2.38, 2.38),
            equal=True,
            bare=True,
        )
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
            picture.words(
                f"words {part}",
                0,
                align={"rear left wheel": "right", "rear right wheel": "right"}.get(
                    part, "left" if part.endswith("wheel") else "center"
                ),
            )
        for name in ("case name", "front lock", "rear lock"):
            picture.words(name, 0, align="center")
        for name in ("oil 0", "oil 1"):
            picture.words(name, 0, align="left", style=1, bold=True)

    def update(self, picture: Picture, result: Turning, system: str) -> None:
        """Move and paint the parts."""
        layout, found, here = result.layout, result.motion, set(parts_of(result.layout))
        has_case = layout.transfer_case != "none"
        picture.move(
            "case",
            *(((5.95, 7.65, 7.65, 5.95), (OFFSET - 0.4, OFFSET - 0.4, 0.75, 0.75)) if has_case else ([], [])),
        )
        for part, (x, y) in BOXES.items():
            shown = part in here
            picture.move(part, *(((x[0], x[1], x[1], x[0]), (y[0], y[0], y[1], y[1])) if shown else ([], [])))
        for part, (x, y) in LINES.items():
            if not has_case and part.endswith(" shaft") and "half" not in part:
                x, y = ((5.85, x[1]), y) if part.startswith("rear") else ((x[0], 5.0), y)
            picture.move(part, *((x, y) if part in here else ([], [])))
        for part in here:
            picture.paint(part, **LOOKS[found.state[part]])
        closed = self._closed(result)
        for name, (x, y) in JOINTS.items():
            picture.move(f"joint {name}", *((x, y) if name in closed else ([], [])))
        for part, (x, y) in WORDS_AT.items():
            picture.say(
                f"words {part}",
                self._words(result, part) if part in here or part.endswith("shaft") and has_case else "",
                x,
                y,
            )
        for axle, x, y, locked in (
            ("front", FRONT_X + 0.85, OFFSET + 0.5, layout.front_locked),
            ("rear", REAR_X - 0.85, 0.8, layout.rear_locked),
        ):
            picture.say(f"{axle} lock", "locked" if locked and f"{axle} differential" in here else "", x, y)
        picture.say("case name", "transfer case" if has_case else "", 6.8, OFFSET - 0.62)
        dry, unknown = (
            result.oil_is(NOT_OILED),
            [part for part in result.oil_is(OIL_NOT_KNOWN) if found.state[part] == TURNS],
        )
        picture.say("oil 0", f"no oil: {_short(dry)}" if dry and not found.conflict else "", 3.3, 2.05)
        picture.say(
            "oil 1", f"oil not known: {_short(unknown)}" if unknown and not found.conflict else "", 3.3, 1.72
        )

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


class ComparisonDrawing:
    """Bars of speed for five procedures; hatched orange turns without oil or is forced."""

    size_in, frames = (11.5, 3.3), 5
    LONGEST, MOST = 6000.0, 10500.0  # rpm: longer bars are cut; room for numbers

    def build(self, picture: Picture, system: str) -> None:
        """Frames and named parts."""
        self._frames(picture, ("",) * 5, self.MOST)
        for i in range(5):
            picture.bars(f"bars {i}", i, len(COMPARED))
            for k in range(len(COMPARED)):
                picture.words(f"words {i} {k}", i)

    @staticmethod
    def _frames(picture: Picture, titles: tuple[str, ...], most: float) -> None:
        names = list(COMPARED)
        for i, title in enumerate(titles):
            picture.frame(
                i, title=title, x_label="rpm", x=(0.0, most), y_names=names if i == 0 else [""] * len(names)
            )

    def update(self, picture: Picture, result: Comparison, system: str) -> None:
        """Move the bars to a result."""
        self._frames(picture, tuple(way.title for way in result.procedures), self.MOST)
        for i, way in enumerate(result.procedures):
            found, dry = way.turning.motion, way.turning.oil_is(NOT_OILED)
            rpm = [abs(found.rpm.get(part, 0.0)) for part in COMPARED]
            state = [found.state.get(part, "out") for part in COMPARED]
            bad = [
                s == FORCED or part in dry or (part == "engine" and s == TURNS)
                for part, s in zip(COMPARED, state, strict=True)
            ]
            picture.stretch(f"bars {i}", [min(n, self.LONGEST) for n in rpm], bad)
            for k, (n, what) in enumerate(zip(rpm, state, strict=True)):
                if (
                    what == TURNS and k and state[k - 1] == TURNS and abs(rpm[k - 1] - n) < 0.5
                ):  # as the bar above: said once
                    picture.say(f"words {i} {k}", "", 0.0, k)
                    continue
                value = number(n, 3) + ("*" if n > self.LONGEST else "") if what == TURNS else what
                picture.say(f"words {i} {k}", value, min(n, self.LONGEST) + 0.03 * self.MOST, k)
