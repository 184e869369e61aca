"""Lesson 04, pulling away on a ramp: what is needed, what first gear gives, what the tyres hold, what a
clutch takes.
"""

import math
from typing import NamedTuple

from towlib.draw.figures import Picture, round_up
from towlib.lessons.declare import with_values
from towlib.lessons.l04_grades.grade_physics import standard_density_on_day
from towlib.limits.legs import DRY_FRICTION, pair_on_road
from towlib.limits.road_limits import START_M_S2, WET_FRICTION, axle_grip
from towlib.physics.drive.climb import pull_away_force_n, pull_away_needed_n
from towlib.physics.drive.launch import clutch_closed_m_s, clutch_heat_j
from towlib.physics.drive.powertrain import SEA_LEVEL_DENSITY_KG_M3, engine_power_factor
from towlib.rig.facts import Facts
from towlib.units import from_si, show, unit_label

STEEPEST = 0.30
AXLES = ("rear", "front", "both")


class RampStart(NamedTuple):
    """Pulling away on one ramp, and on all the others."""

    grade: float
    needed_n: float
    engine_n: float
    grip_n: tuple[float, float, float]  # rear, front, both
    grip_now_n: float  # of the axles driven
    axles: str
    wet: bool
    clutch_j: float | None  # None with a converter
    grades: tuple[float, ...]
    needed_along_n: tuple[float, ...]
    grip_along_n: tuple[float, ...]


def ramp_start(
    facts: Facts, *, grade: float, altitude_m: float, acceleration_m_s2: float, surface: str
) -> RampStart:
    """Needed pull, first gear's pull at standstill and grip, on a standard day."""
    pair, driven = pair_on_road(facts, "out"), facts.need("tow_vehicle.driven_axles")
    factor = engine_power_factor(
        standard_density_on_day(altitude_m) / SEA_LEVEL_DENSITY_KG_M3, boosted=pair.train.boosted
    )
    friction = WET_FRICTION if surface == "wet" else DRY_FRICTION

    def needed(g: float) -> float:
        return pull_away_needed_n(
            pair.mass_kg,
            g,
            rolling_coefficient=pair.rolling_coefficient,
            acceleration_m_s2=acceleration_m_s2,
            inertia_factor=pair.inertia_factor,
        )

    def grips(g: float) -> tuple[float, float, float]:
        grip = axle_grip(
            facts,
            pair,
            "out",
            grade=g,
            friction_coefficient=friction,
            acceleration_m_s2=acceleration_m_s2,
        )
        return grip.rear_n, grip.front_n, grip.both_n

    grades = tuple(STEEPEST * i / 24 for i in range(25))
    axle = AXLES.index(driven)
    heat = None
    if not pair.train.automatic:
        heat = clutch_heat_j(
            needed(grade),
            closed_m_s=clutch_closed_m_s(pair.train),
            acceleration_m_s2=acceleration_m_s2,
            driveline_efficiency=pair.train.driveline_efficiency,
        )
    return RampStart(
        grade,
        needed(grade),
        pull_away_force_n(pair, power_factor=factor),
        grips(grade),
        grips(grade)[axle],
        driven,
        surface == "wet",
        heat,
        grades,
        tuple(needed(g) for g in grades),
        tuple(grips(g)[axle] for g in grades),
    )


def ramp_start_words(result: RampStart, system: str) -> str:
    """The sentence under the ramp."""

    def held(name: str, has_n: float) -> str:
        room = show(abs(has_n - result.needed_n), "force", system)
        return (
            f"{name} {show(has_n, 'force', system)}, {'within' if has_n >= result.needed_n else 'over'} by"
            f" {room}"
        )

    angle = show(math.atan(result.grade), "angle", system, 2)
    wet = "wet" if result.wet else "dry"
    axles = "both axles" if result.axles == "both" else f"the {result.axles} axle"
    clutch = (
        f" The slipping clutch takes {show(result.clutch_j, 'energy', system)}."
        if result.clutch_j is not None
        else ""
    )
    return (
        f"A ramp of {show(result.grade, 'grade', system)} is an angle of {angle}: pulling away needs"
        f" {show(result.needed_n, 'force', system)}. {held('First gear gives', result.engine_n)};"
        f" {held(f'the tyres of {axles}, {wet}, hold', result.grip_now_n)}.{clutch}"
    )


def ramp_start_rooms(result: RampStart) -> dict[str, float]:
    """Force left in first gear, and under the tyres."""
    return {"engine": result.engine_n - result.needed_n, "tyres": result.grip_now_n - result.needed_n}


def ramp_start_seen(facts: Facts, system: str) -> str:
    """What one should have seen on the ramp."""

    def at(grade: float = 0.12, brisk_m_s2: float = START_M_S2, facts: Facts = facts) -> RampStart:
        return ramp_start(facts, grade=grade, altitude_m=2000.0, acceleration_m_s2=brisk_m_s2, surface="wet")

    def force(newtons: float) -> str:
        return show(newtons, "force", system)

    ramp, level = at(), at(0.0)
    rear, front = ramp.grip_n[0] - level.grip_n[0], level.grip_n[1] - ramp.grip_n[1]
    weaker = "the engine is" if ramp.engine_n < ramp.grip_now_n else "the tyres are"
    suffices = ramp.needed_n <= min(ramp.engine_n, ramp.grip_now_n)
    enough = "and still enough" if suffices else "and not enough"
    clutch = with_values(facts, {"tow_vehicle.gearbox.kind": "manual"})
    gentle, brisk = (
        show(at(brisk_m_s2=a, facts=clutch).clutch_j, "energy", system) for a in (START_M_S2, 1.0)
    )
    gained = "gain" if rear >= 0 else "lose"
    return (
        f"In the wet, on {show(0.12, 'grade')}, pulling away needs {force(ramp.needed_n)}; first gear gives"
        f" {force(ramp.engine_n)}, and the tyres of the driven axles hold {force(ramp.grip_now_n)}: {weaker}"
        f" the weaker of the two, {enough}. From the level to this ramp the front tyres lose {force(front)}"
        f" of grip and the rear ones {gained} {force(abs(rear))}: **the climb, the start and the pull at the"
        f" hitch press the rear axle.** With a clutch a gentle start leaves {gentle} in it, a brisk one"
        f" {brisk}: slow is not gentle to a clutch."
    )


class RampStartDrawing:
    """Left: needed pull, engine and grip against the ramp. Right: all of them on the ramp chosen."""

    size_in, frames, widths = (10.0, 3.6), 2, (1.0, 1.1)
    NAMES = ("needed", "first gear gives", "rear tyres hold", "front tyres hold", "all four hold")

    def build(self, picture: Picture, system: str) -> None:
        """Named parts; the frames follow the rig."""
        for name, style in (("needed", 1), ("engine", 0), ("grip", 2)):
            picture.line(name, 0, style)
            picture.words(f"{name} name", 0, style=style, bold=True)
        picture.point("now", 0, 1)
        picture.reference("standard ramp", 0)
        picture.bars("bars", 1, len(self.NAMES))
        picture.reference("needed here", 1)
        for i in range(len(self.NAMES)):
            picture.words(f"value {i}", 1)

    def update(self, picture: Picture, result: RampStart, system: str) -> None:
        """Move the parts to a result."""
        x = [100.0 * g for g in result.grades]
        needed, grip = (
            [from_si(n, "force", system) for n in row] for row in (result.needed_along_n, result.grip_along_n)
        )
        values = [from_si(n, "force", system) for n in (result.needed_n, result.engine_n, *result.grip_n)]
        engine, unit = values[1], unit_label("force", system)
        top = round_up(1.1 * max(*needed, *grip, engine))
        picture.frame(
            0,
            title="Pulling away, by ramp",
            x_label="ramp [%]",
            y_label=f"force [{unit}]",
            x=(0.0, 100.0 * STEEPEST),
            y=(0.0, top),
        )
        picture.frame(
            1,
            title="On this ramp (hatched: less than needed)",
            x_label=f"force [{unit}]",
            x=(0.0, 1.75 * top),
            y_names=self.NAMES,
        )
        picture.move("needed", x, needed)
        picture.move("grip", x, grip)
        picture.move("engine", [0.0, x[-1]], [engine, engine])
        picture.move("now", [100.0 * result.grade], [values[0]])
        picture.move("standard ramp", [12.0, 12.0], [0.0, top])
        self._names(picture, needed, engine, grip, top)
        picture.stretch("bars", values, [value < values[0] for value in values])
        picture.move("needed here", [values[0], values[0]], [-0.5, len(values) - 0.5])
        driven = AXLES.index(result.axles)
        for i, value in enumerate(values):
            mark = ", driven" if i == driven + 2 else ""
            picture.say(f"value {i}", f" {value:,.0f} {unit}{mark}", max(value, values[0]) if i else value, i)

    @staticmethod
    def _names(picture: Picture, needed: list[float], engine: float, grip: list[float], top: float) -> None:
        """Each line's name where it is farthest from the other two, above it."""
        lines = {"needed": needed, "engine": [engine] * len(needed), "grip": grip}
        words = {"needed": "needed", "engine": "first gear", "grip": "grip"}
        taken: list[tuple[float, float]] = []
        for name, own in lines.items():
            others = [line for other, line in lines.items() if other != name]

            def room(
                i: int, side: float, own: list[float] = own, others: list[list[float]] = others
            ) -> float:
                at = own[i] + side * top
                away = [abs(line[k] - at) for line in others for k in (i, i + 2, i + 4)]
                away += [abs(own[k] - at) for k in (i, i + 2, i + 4)]
                away += [abs(y - at) for k, y in taken if abs(k - i) < 6]
                return min(*away, at, top - at)

            i, side = max(
                ((i, side) for i in (0, 3, 11, 14, 17, 19) for side in (0.06, -0.06)), key=lambda p: room(*p)
            )
            taken.append((i, own[i] + side * top))
            picture.say(f"{name} name", words[name], 100.0 * STEEPEST * (i + 0.4) / 24, own[i] + side * top)
