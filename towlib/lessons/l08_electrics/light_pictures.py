"""Drawings of lesson 08: one circuit with its volts, light over length, and rear lamps on a shared ground."""

from towlib.draw.figures import Picture
from towlib.draw.outlines import wheel
from towlib.lessons.l08_electrics.lights import LONGEST_M, SIZES, LightLeft, SharedGround, Volts
from towlib.units import from_si, show, unit_label

TOP, LOW, RIGHT = 3.0, 1.0, 8.7
PARTS = {
    "connector": (2.2, TOP),
    "wire out": (4.5, TOP),
    "diode": (6.9, TOP),
    "ground": (6.9, LOW),
    "wire back": (3.6, LOW),
}
NODES = {
    "battery": (0.8, TOP),
    "plug": (3.3, TOP),
    "wire": (5.75, TOP),
    "lamp": (RIGHT, TOP),
    "shell": (RIGHT, LOW),
    "bolt": (5.6, LOW),
    "pole": (0.8, LOW),
}
# the wires between the boxes
RAILS = (
    ([0.8, 0.8, 1.58], [2.42, TOP, TOP]),
    ([2.82, 3.88], [TOP] * 2),
    ([5.12, 6.28], [TOP] * 2),
    ([7.52, RIGHT, RIGHT], [TOP, TOP, 2.42]),
    ([RIGHT, RIGHT, 7.52], [1.58, LOW, LOW]),
    ([6.28, 4.22], [LOW] * 2),
    ([2.98, 0.8, 0.8], [LOW, LOW, 1.58]),
)
PART_NAMES = {
    "connector": "connector",
    "wire out": "wire out",
    "diode": "diode",
    "ground": "ground",
    "wire back": "way back",
}


def _box(x: float, y: float, wide: float = 0.62, high: float = 0.20) -> tuple[list[float], list[float]]:
    return [x - wide, x + wide, x + wide, x - wide], [y - high, y - high, y + high, y + high]


def _beside(x: float, y: float) -> tuple[float, float]:
    return x, y + 0.45 if y == TOP else y - 0.45


def _inside(x: float, y: float) -> tuple[float, float]:
    # beside the upright wires
    if x < 1.0:
        aside = 0.62
    elif x == RIGHT:
        aside = -0.62
    else:
        aside = 0.0
    return x + aside, y - 0.42 if y == TOP else y + 0.42


class VoltsDrawing:
    """Left: the circuit with the volts at each place. Right: where they are lost."""

    size_in, frames, widths = (10.0, 3.5), 2, (3.0, 1.25)
    LOSSES = ("connector", "wire out", "diode", "wire back", "ground")

    def build(self, picture: Picture, system: str) -> None:
        """Frames and named parts."""
        picture.frame(
            0,
            title="One lamp circuit: volts against the tow vehicle's minus",
            x=(0.0, 9.9),
            y=(0.0, 4.0),
            bare=True,
        )
        self._bars(picture, 1.0)
        for i in range(len(RAILS)):
            picture.line(f"rail {i}", 0, 0)
        picture.shape("battery box", 0)
        picture.fixed_words(0, "tow" if picture.narrow else "tow side", 0.8, 2.0)
        picture.shape("lamp", 0, 1)
        picture.words("light", 0, style=1, bold=True, align="center")
        for name, (x, y) in PARTS.items():
            picture.shape(f"{name} box", 0, 0)
            if name != "diode":
                picture.fixed_words(0, PART_NAMES[name], *_beside(x, y))
        picture.words("diode name", 0, align="center")
        picture.point("nodes", 0, 4)
        picture.fixed_words(0, "0 V", *_inside(*NODES["pole"]))
        for node in NODES:
            if node != "pole":
                picture.words(f"{node} volts", 0, style=0, bold=True, align="center")
        picture.line("no diode", 0, 0)
        picture.arrow("current", 0, 2)
        picture.words("amps", 0, style=2, bold=True, align="center")
        picture.bars("losses", 1, len(self.LOSSES))
        for i in range(len(self.LOSSES)):
            picture.words(f"loss {i}", 1)

    def _bars(self, picture: Picture, top: float) -> None:
        picture.frame(
            1,
            title="Where they are lost",
            x_label="volts lost [V]",
            y_names=[PART_NAMES[name] for name in self.LOSSES],
            x=(0.0, top),
        )

    def update(self, picture: Picture, result: Volts, system: str) -> None:
        """Move the parts to a result."""
        found = result.circuit
        has_diode = found.lost_v["diode"] > 0.1
        for i, rail in enumerate(RAILS):
            picture.move(f"rail {i}", *rail)
        picture.move("battery box", *_box(0.8, 2.0, 0.78, 0.42))
        picture.move("lamp", *zip(*wheel((RIGHT, 2.0), 0.42), strict=True))
        aside = 1.8 if picture.narrow else 1.45
        picture.say("light", f"light {100 * found.light:.0f} %", RIGHT - aside, 2.0)
        picture.move("no diode", *(([], []) if has_diode else ([6.2, 7.6], [TOP, TOP])))
        for name, (x, y) in PARTS.items():
            there = name != "diode" or has_diode
            picture.move(f"{name} box", *(_box(x, y) if there else ([], [])))
        picture.say("diode name", "diode" if has_diode else "", *_beside(*PARTS["diode"]))
        picture.move("nodes", *zip(*NODES.values(), strict=True))
        for node, place in NODES.items():
            if node != "pole":
                volts = f"{found.node_v[node]:.1f}" if picture.narrow else f"{found.node_v[node]:.2f} V"
                picture.say(f"{node} volts", volts, *_inside(*place))
        picture.aim("current", (2.4, 2.0), (3.6, 2.0))
        picture.say("amps", show(found.amps, "current", system), 4.5, 2.0)
        losses = [found.lost_v[name] for name in self.LOSSES]
        top = next(step for step in (1.0, 2.0, 5.0, 10.0, 20.0) if step >= 1.05 * max(losses))
        self._bars(picture, 1.5 * top)
        picture.stretch("losses", losses, [loss > 0.5 for loss in losses])
        for i, loss in enumerate(losses):
            picture.say(f"loss {i}", f"{loss:.2f}", loss + 0.04 * top, i)


class LightLeftDrawing:
    """Light over length for five gauges, the length chosen and the light wanted."""

    size_in, frames = (10.2, 3.9), 1

    def build(self, picture: Picture, system: str) -> None:
        """Frame and named parts."""
        picture.frame(
            0,
            title="Light left, of what the lamp would give without any loss",
            y_label="light left [%]",
            x_label=f"wire to the lamp, one way [{unit_label('length', system)}]",
            x=(0.0, from_si((1.33 if picture.narrow else 1.16) * LONGEST_M, "length", system)),
            y=(0.0, 105.0),
        )
        for i, size in enumerate(SIZES):
            picture.line(size, 0, i)
            picture.words(f"{size} name", 0, style=i, bold=True)
        picture.point("here", 0, 4)
        picture.point("own", 0, 1)
        picture.reference("length", 0)
        picture.reference("wanted", 0)
        picture.words("wanted name", 0)
        for align in ("left", "right"):
            picture.words(f"length name {align}", 0, align=align, bold=True)

    def update(self, picture: Picture, result: LightLeft, system: str) -> None:
        """Move the parts to a result."""
        x = [from_si(length, "length", system) for length in result.lengths_m]
        ends = []
        for size in SIZES:
            picture.move(size, x, [100 * light for light in result.light[size]])
            ends.append(100 * result.light[size][-1])
        for size, y in zip(SIZES, _apart(ends, 6.5), strict=True):
            picture.say(f"{size} name", size, from_si(LONGEST_M + 0.12, "length", system), y)
        here = from_si(result.length_m, "length", system)
        picture.move("here", [here] * len(SIZES), [100 * result.here[size] for size in SIZES])
        picture.move("own", [here], [100 * result.own])
        picture.move("length", [here, here], [0.0, 105.0])
        picture.move("wanted", [0.0, from_si(LONGEST_M, "length", system)], [100 * result.wanted] * 2)
        below = result.no_wire > result.wanted  # the curves begin above
        picture.say("wanted name", "wanted", 0.01 * x[-1], 100 * result.wanted + (-4.5 if below else 4.5))
        words = (
            f"yours: {show(result.length_m, 'length', system)} of {result.own_size}, {100 * result.own:.0f} %"
        )
        late = result.length_m > 0.5 * LONGEST_M and not picture.narrow
        height = 101.0 if max(result.here.values()) < 0.88 else 4.5
        beside = 0.02 * x[-1] if picture.narrow else here + 0.01 * x[-1]
        picture.say("length name left", "" if late else words, beside, height)
        picture.say("length name right", words if late else "", here - 0.01 * x[-1], height)


def _apart(heights: list[float], gap: float) -> list[float]:
    """Heights of names that rise from first to last, moved until none lies on its neighbour and all stay
    inside.
    """
    moved: list[float] = []
    for height in heights:
        moved.append(max(height, 4.0, moved[-1] + gap if moved else 4.0))
    for i in reversed(range(len(moved))):
        moved[i] = min(moved[i], 101.0 if i == len(moved) - 1 else moved[i + 1] - gap)
    return moved


ROWS = {
    "left tail": 4.6,
    "right tail": 3.8,
    "plate": 3.0,
    "left stop/turn": 2.0,
    "right stop/turn": 1.0,
}  # height of each lamp's wire
PINS = {"tail": 3.8, "left": 2.0, "right": 1.0}


class SharedGroundDrawing:
    """Left: the wires, their volts, and which way the current runs. Right: light of each lamp."""

    size_in, frames, widths = (10.0, 4.0), 2, (1.35, 1.0)
    BUS, PIN, LAMP, LEFT = 7.2, 1.6, 5.2, -1.1

    def build(self, picture: Picture, system: str) -> None:
        """Frames and named parts."""
        left = self.LEFT if picture.narrow else 0.0
        picture.frame(0, title="Volts at each wire; arrows: current", x=(left, 9.4), y=(-0.9, 5.4), bare=True)
        picture.frame(
            1, title="Light of each lamp", x_label="of its full light [%]", y_names=list(ROWS), x=(0.0, 140.0)
        )
        for circuit in PINS:
            picture.line(f"{circuit} wire", 0, 0)
            picture.words(f"{circuit} pin", 0)
        picture.line("tail split", 0, 0)
        picture.line("bus", 0, 4)
        for part in ("before", "behind"):
            picture.line(f"ground {part}", 0, 4)
        picture.shape("rust", 0, 1)
        picture.words("rust words", 0, align="center")
        picture.words("bus volts", 0, bold=True)
        picture.fixed_words(0, "tow frame 0", left, -0.78, align="left")
        for name in ROWS:
            picture.shape(f"{name} lamp", 0, 1)
            picture.arrow(f"{name} forward", 0, 2)
            picture.arrow(f"{name} back", 0, 1)
        picture.bars("light", 1, len(ROWS))
        for name in ROWS:
            picture.words(f"{name} words", 1)

    def update(self, picture: Picture, result: SharedGround, system: str) -> None:
        """Move the parts to a result."""
        rear, left = result.rear, self.LEFT if picture.narrow else 0.0
        for circuit, y in PINS.items():
            volts = rear.solution.node_v[f"{circuit} pin"]
            picture.move(f"{circuit} wire", [self.PIN, self.BUS], [y, y])
            picture.say(f"{circuit} pin", f"{circuit} {volts:.1f}", left, y)
        picture.move("tail split", [self.BUS, 2.9, 2.9, self.BUS], [4.6, 4.6, 3.0, 3.0])
        picture.move("bus", [self.BUS, self.BUS], [4.6, -0.3])
        for part, ends in (("before", [self.BUS, 5.85]), ("behind", [2.95, self.PIN])):
            picture.move(f"ground {part}", ends, [-0.3, -0.3])
        picture.move("rust", *_box(4.4, -0.3, 1.45, 0.27))
        picture.say(
            "rust words",
            "BROKEN" if result.ground_ohm is None else show(result.ground_ohm, "resistance", system, 2),
            4.4,
            -0.3,
        )
        picture.say("bus volts", f"{rear.ground_v:.2f} V", self.BUS + 0.2, 0.35)
        for name, y in ROWS.items():
            picture.move(f"{name} lamp", *zip(*wheel((self.LAMP, y), 0.30), strict=True))
            volts = rear.lamp_v[name]  # less than a volt is not worth an arrow
            picture.aim(f"{name} forward", (3.3, y), (4.6 if volts > 1.0 else 3.3, y))
            picture.aim(f"{name} back", (4.6, y), (3.3 if volts < -1.0 else 4.6, y))
        lights = [100 * rear.light[name] for name in ROWS]
        picture.stretch("light", lights, [result.words[name].isupper() for name in ROWS])
        for i, (name, light) in enumerate(zip(ROWS, lights, strict=True)):
            picture.say(f"{name} words", f"{light:.0f} % {result.words[name]}", light + 3.0, i)
