"""Lesson 04: the pictures of engine against road."""

from towlib.draw.figures import Picture, round_up
from towlib.lessons.l04_grades.grade_physics import RULES, Altitude, RoadLoadView, Traction
from towlib.units import from_si, show, unit_label

MOST_GEARS = 16  # as in a rig file


class TractionDrawing:
    """Thin dashes: pull in every gear; bold: the gear in use; the demand, the grip and where they meet."""

    size_in, frames, narrow_in = (10.0, 3.9), 1, (4.9, 3.9)

    def build(self, picture: Picture, system: str) -> None:
        """Named parts; the frame follows the rig."""
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
        x, y = (
            [from_si(v, "speed", system) for v in result.speeds_m_s],
            [from_si(f, "force", system) for f in result.demand_n],
        )
        grip, right = from_si(result.grip_n, "force", system), x[-1]
        asked = 1.3 * max(y[-1], from_si(result.point.pull_n, "force", system) if result.point else 0.0)
        top = round_up(max(asked, min(1.25 * grip, 1.6 * asked)))
        picture.frame(
            0,
            title="Pull at the wheels against speed: thin dashes are the gears",
            x_label=f"speed [{unit_label('speed', system)}]",
            y_label=f"force [{unit_label('force', system)}]",
            x=(0.0, right),
            y=(0.0, top),
        )
        picture.move("demand", x, y)
        picture.say(
            "demand name",
            "demand",
            0.01 * right,
            y[0] - 0.045 * top if y[0] > 0.1 * top else y[0] + 0.045 * top,
        )
        self._gears(picture, result, system, right, top)
        inside = grip < 0.93 * top
        words = f"grip of the {result.tyres}, dry"
        if not inside:
            words = f"dry grip {show(result.grip_n, 'force', system)} (higher up)"
        grip_at = grip + 0.045 * top if inside else 0.95 * top
        picture.move("grip", [0.0, right], [grip, grip])
        picture.say("grip name", words, 0.995 * right, grip_at)
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
        picture.move(
            "settles", [from_si(point.speed_m_s, "speed", system)], [from_si(point.demand_n, "force", system)]
        )
        at = 0.95 * top
        if abs(at - grip_at) < 0.09 * top or (inside and abs(at - grip) < 0.05 * top):
            at = min(grip, grip_at) - 0.09 * top if inside else 0.86 * top
        picture.say("in use name", f"solid: gear {point.gear}, in use", 0.995 * right, at)

    @staticmethod
    def _gears(picture: Picture, result: Traction, system: str, right: float, top: float) -> None:
        """The thin line of every gear, its number at the redline or where it begins to pull."""
        taken: list[tuple[float, float]] = []
        for gear in range(1, MOST_GEARS + 1):
            speeds, forces = result.curves[gear - 1] if gear <= len(result.curves) else ((), ())
            x, y = (
                [from_si(v, "speed", system) for v in speeds],
                [from_si(f, "force", system) for f in forces],
            )
            picture.move(f"gear {gear}", *_inside(x, y, right))
            place = None
            in_use = result.point is not None and gear == result.point.gear  # named in words
            if in_use and x and abs(y[0] - from_si(result.demand_n[0], "force", system)) < 0.06 * top:
                pass
            elif x and x[-1] < 0.95 * right and y[-1] < 0.96 * top:
                place = (x[-1] + 0.02 * right, y[-1])
            elif x and x[-1] >= 0.95 * right and y[0] < 0.96 * top:
                place = (x[0] - 0.006 * right, y[0])
            if place and any(
                abs(place[0] - a) < 0.025 * right and abs(place[1] - b) < 0.055 * top for a, b in taken
            ):
                place = None
            if place is None:
                picture.say(f"gear name {gear}", "", 0.0, 0.0)
            else:
                taken.append(place)
                picture.say(f"gear name {gear}", f"{gear}", *place)


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

    def build(self, picture: Picture, system: str) -> None:
        """Named parts; the frames follow the rig."""
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
        right, has = x[-1], from_si(result.engine_has_w, "power", system)
        wheels = [from_si(w, "power", system) for w in result.wheel_w]
        engine = [w / result.efficiency for w in wheels]
        top = round_up(from_si(1.1 * max(part.total_n for part in result.parts), "force", system))
        most = round_up(1.1 * max(*engine, has))
        speed = f"speed [{unit_label('speed', system)}]"
        picture.frame(
            0,
            title="What holds the pair back",
            x_label=speed,
            y_label=f"force [{unit_label('force', system)}]",
            x=(0.0, right),
            y=(0.0, top),
        )
        picture.frame(
            1,
            title="Power",
            x_label=speed,
            y_label=f"power [{unit_label('power', system)}]",
            x=(0.0, right),
            y=(0.0, most),
        )
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
                max(middle, 0.035 * top) if not thin or name == "tyres" else middle + 0.05 * top,
            )
        here = from_si(result.here_m_s, "speed", system)
        picture.move("here 0", [here, here], [0.0, top])
        picture.move("here 1", [here, here], [0.0, most])
        picture.move("wheels", x, wheels)
        picture.move("engine", x, engine)
        picture.move("engine here", [here], [from_si(result.engine_here_w, "power", system)])
        picture.move("has", [0.0, right], [has, has])
        crosses = next((v for v, power in zip(x, engine, strict=True) if power > has), right)
        early, above = crosses < 0.45 * right, has < 0.9 * most
        has_at = has + (0.05 if above and not early else -0.05) * most
        picture.say("has name", "most the engine has in this air", (0.48 if early else 0.02) * right, has_at)
        free = [
            at
            for at in (0.95, 0.86, 0.77, 0.68, 0.59)
            if abs(at * most - has) > 0.05 * most and abs(at * most - has_at) > 0.08 * most
        ]
        picture.say("engine name", "long dashes: at the engine", 0.02 * right, free[0] * most)
        picture.say("wheels name", "dash and dot: at the wheels", 0.02 * right, free[1] * most)


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
            x=(0.0, 245.0),
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
            power = show(result.here[i] * result.strongest_w, "power", system)
            used = ", used here" if i == result.used else ""
            picture.say(
                f"kept {i}", f"{100.0 * result.here[i]:.1f} %: {power}{used}", 100.0 * result.here[i] + 3.0, i
            )
        picture.stretch("bars", [100.0 * k for k in result.here], [False] * len(result.here))
        here = from_si(result.here_m, "height", system)
        picture.move("here", [here, here], [50.0, 110.0])
