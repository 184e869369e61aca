"""Lesson 04: the pictures of engine against road."""

from towlib.draw.figures import Picture
from towlib.lessons.l04_grades.grade_physics import HIGHEST_M_S, RULES, Altitude, RoadLoadView, Traction
from towlib.units import from_si, unit_label

MOST_GEARS = 10


class TractionDrawing:
    """Thin dashes: pull in every gear; bold: the gear in use; the demand, the grip and where they meet."""

    size_in, frames = (10.0, 3.9), 1
    TOP_N = 14_000.0

    def build(self, picture: Picture, system: str) -> None:
        """Frame and named parts."""
        picture.frame(
            0,
            title="Pull at the wheels against speed: thin dashes are the gears",
            x_label=f"speed [{unit_label('speed', system)}]",
            y_label=f"force [{unit_label('force', system)}]",
            x=(0.0, from_si(HIGHEST_M_S, "speed", system)),
            y=(0.0, from_si(self.TOP_N, "force", system)),
        )
        for gear in range(1, MOST_GEARS + 1):
            picture.reference(f"gear {gear}", 0)
            picture.words(f"gear name {gear}", 0, align="right")
        picture.line("in use", 0, 0)
        picture.line("demand", 0, 1)
        picture.line("grip", 0, 2)
        picture.point("settles", 0, 1)
        picture.words("in use name", 0, align="right", style=0, bold=True)
        picture.words("demand name", 0, style=1, bold=True)
        picture.words("grip name", 0, align="right", style=2, bold=True)

    def update(self, picture: Picture, result: Traction, system: str) -> None:
        """Move the parts to a result."""
        right, top = from_si(HIGHEST_M_S, "speed", system), from_si(self.TOP_N, "force", system)
        for gear in range(1, MOST_GEARS + 1):
            speeds, forces = result.curves[gear - 1] if gear <= len(result.curves) else ((), ())
            x, y = (
                [from_si(v, "speed", system) for v in speeds],
                [from_si(f, "force", system) for f in forces],
            )
            picture.move(f"gear {gear}", *_inside(x, y, right))
            if not x or (y[-1] > top and x[-1] < 0.95 * right):
                picture.say(f"gear name {gear}", "", 0.0, 0.0)
            elif x[-1] < 0.95 * right:  # at the redline, else at the lowest speed the gear pulls at
                picture.say(f"gear name {gear}", f"{gear}", x[-1] + 0.02 * right, y[-1])
            else:
                picture.say(f"gear name {gear}", f"{gear}", x[0] - 0.006 * right, y[0])
        x, y = (
            [from_si(v, "speed", system) for v in result.speeds_m_s],
            [from_si(f, "force", system) for f in result.demand_n],
        )
        picture.move("demand", x, y)
        picture.say(
            "demand name",
            "demand of the road",
            0.01 * right,
            y[0] - 0.045 * top if y[0] > 0.1 * top else y[0] + 0.045 * top,
        )
        grip = from_si(result.grip_n, "force", system)
        picture.move("grip", [0.0, right], [grip, grip])
        picture.say("grip name", "grip of the driven rear axle, dry", 0.995 * right, grip + 0.045 * top)
        point = result.point
        if point is None:
            picture.move("in use", [], [])
            picture.move("settles", [], [])
            picture.say("in use name", "", 0.0, 0.0)
            return
        speeds, forces = result.curves[point.gear - 1]
        picture.move(
            "in use",
            *_inside(
                [from_si(v, "speed", system) for v in speeds],
                [from_si(f, "force", system) for f in forces],
                right,
            ),
        )
        x, y = from_si(point.speed_m_s, "speed", system), from_si(point.demand_n, "force", system)
        picture.move("settles", [x], [y])
        picture.say(
            "in use name", f"solid: gear {point.gear}, in use at the square", 0.995 * right, 0.95 * top
        )


def _inside(x: list[float], y: list[float], right: float) -> tuple[list[float], list[float]]:
    """A line cut at the right edge of the frame."""
    for i in range(1, len(x)):
        if x[i] > right:
            if x[i - 1] >= right:
                return x[: i - 1], y[: i - 1]
            share = (right - x[i - 1]) / (x[i] - x[i - 1])
            return [*x[:i], right], [*y[:i], y[i - 1] + share * (y[i] - y[i - 1])]
    return x, y


class RoadLoadDrawing:
    """Left: the parts of the demand, stacked. Right: power at the wheels and at the engine."""

    size_in, frames = (10.0, 3.6), 2
    TOP_N, TOP_W = 12_000.0, 400e3

    def build(self, picture: Picture, system: str) -> None:
        """Frames and named parts."""
        right = from_si(HIGHEST_M_S, "speed", system)
        speed = f"speed [{unit_label('speed', system)}]"
        picture.frame(
            0,
            title="What holds the pair back",
            x_label=speed,
            y_label=f"force [{unit_label('force', system)}]",
            x=(0.0, right),
            y=(0.0, from_si(self.TOP_N, "force", system)),
        )
        picture.frame(
            1,
            title="Power",
            x_label=speed,
            y_label=f"power [{unit_label('power', system)}]",
            x=(0.0, right),
            y=(0.0, from_si(self.TOP_W, "power", system)),
        )
        for style, name in enumerate(("tyres", "grade", "air")):
            picture.band(f"{name} band", 0, style)
            picture.line(name, 0, style)
            picture.words(f"{name} name", 0, style=style, bold=True)
        for number in (0, 1):
            picture.reference(f"here {number}", number)
        picture.line("wheels", 1, 2)
        picture.line("engine", 1, 1)
        picture.point("engine here", 1, 1)
        picture.reference("has", 1)
        picture.words("has name", 1)
        picture.words("wheels name", 1, style=2, bold=True)
        picture.words("engine name", 1, style=1, bold=True)

    def update(self, picture: Picture, result: RoadLoadView, system: str) -> None:
        """Move the parts to a result."""
        x = [from_si(v, "speed", system) for v in result.speeds_m_s]
        right, top = from_si(HIGHEST_M_S, "speed", system), from_si(self.TOP_N, "force", system)
        most = from_si(self.TOP_W, "power", system)
        low = [0.0] * len(x)
        places = {}
        for name, part in (("tyres", "rolling_n"), ("grade", "grade_n"), ("air", "air_n")):
            high = [
                a + from_si(getattr(parts, part), "force", system)
                for a, parts in zip(low, result.parts, strict=True)
            ]
            picture.spread(f"{name} band", x, low, high)
            picture.move(name, x, high)
            i = -3 if name == "air" else 3
            places[name] = (x[i], 0.5 * (low[i] + high[i]), high[i] - low[i])
            low = high
        for name, (at, middle, thick) in places.items():
            thin = thick < 0.05 * top
            picture.say(
                f"{name} name",
                "" if name == "grade" and thin else name,
                at - (0.06 * right if name == "air" else 0.0),
                middle if not thin or name == "tyres" else middle + 0.05 * top,
            )
        here = from_si(result.here_m_s, "speed", system)
        picture.move("here 0", [here, here], [0.0, top])
        picture.move("here 1", [here, here], [0.0, most])
        wheels = [from_si(w, "power", system) for w in result.wheel_w]
        engine = [w / result.efficiency for w in wheels]
        picture.move("wheels", x, wheels)
        picture.move("engine", x, engine)
        picture.move("engine here", [here], [min(from_si(result.engine_here_w, "power", system), most)])
        has = from_si(result.engine_has_w, "power", system)
        picture.move("has", [0.0, right], [has, has])
        picture.say("has name", "most the engine has in this air", 0.02 * right, has + 0.04 * most)
        picture.say("engine name", "long dashes: at the engine", 0.02 * right, 0.95 * most)
        picture.say("wheels name", "dash and dot: at the wheels", 0.02 * right, 0.86 * most)


class AltitudeDrawing:
    """Left: power kept against altitude by every rule. Right: the same at the altitude chosen, as bars with
    numbers.
    """

    size_in, frames, widths = (10.0, 3.6), 2, (1.0, 1.05)
    MARKS = ("●", "■", "▲", "◆", "▼")

    def build(self, picture: Picture, system: str) -> None:
        """Frames and named parts."""
        picture.frame(
            0,
            title="Power kept, by rule",
            x_label=f"altitude [{unit_label('height', system)}]",
            y_label="per cent of sea level",
            x=(0.0, from_si(4400.0, "height", system)),
            y=(50.0, 110.0),
        )
        picture.frame(
            1,
            title="At this altitude",
            x_label="per cent of sea level",
            x=(0.0, 185.0),
            y_names=[f"{rule} {mark}" for rule, mark in zip(RULES, self.MARKS, strict=True)],
        )
        for i in range(len(RULES)):
            picture.line(f"rule {i}", 0, i, marked=True)
            picture.words(f"kept {i}", 1)
        picture.reference("here", 0)
        picture.bars("bars", 1, len(RULES))

    def update(self, picture: Picture, result: Altitude, system: str) -> None:
        """Move the parts to a result."""
        for i, row in enumerate(result.kept):
            step = slice(i % 4, None, 4)  # markers of different rules at different places
            picture.move(
                f"rule {i}",
                [from_si(z, "height", system) for z in result.heights_m[step]],
                [100.0 * k for k in row[step]],
            )
            used = "   used here" if i == result.used else ""
            picture.say(f"kept {i}", f"{100.0 * result.here[i]:.1f} %{used}", 100.0 * result.here[i] + 3.0, i)
        picture.stretch("bars", [100.0 * k for k in result.here], [False] * len(result.here))
        here = from_si(result.here_m, "height", system)
        picture.move("here", [here, here], [50.0, 110.0])
