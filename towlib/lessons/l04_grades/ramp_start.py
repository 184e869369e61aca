"""Lesson 04, pulling away on a ramp: what is needed, what first gear gives, what the tyres hold, what a
clutch takes.
"""

import math
from typing import NamedTuple

from towlib.draw.figures import Picture
from towlib.lessons.l04_grades.grade_physics import demo_grip, demo_pair
from towlib.limits.legs import DRY_FRICTION
from towlib.limits.road_limits import WET_FRICTION
from towlib.physics.basics.atmosphere import air_density_kg_m3, standard_temperature_k
from towlib.physics.drive.climb import pull_away_force_n, pull_away_needed_n
from towlib.physics.drive.launch import clutch_closed_m_s, clutch_heat_j
from towlib.physics.drive.powertrain import SEA_LEVEL_DENSITY_KG_M3, engine_power_factor
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
    *,
    grade: float,
    towed_kg: float,
    altitude_m: float,
    acceleration_m_s2: float,
    surface: str,
    driven: str,
    gearbox: str,
) -> RampStart:
    """Needed pull, first gear's pull at standstill and grip of the invented pickup, on a standard day."""
    pair = demo_pair(towed_kg, gearbox=gearbox)
    density = air_density_kg_m3(altitude_m, standard_temperature_k(altitude_m) - 273.15)
    factor = engine_power_factor(density / SEA_LEVEL_DENSITY_KG_M3, boosted=False)
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
        grip = demo_grip(towed_kg, g, friction_coefficient=friction, acceleration_m_s2=acceleration_m_s2)
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


class RampStartDrawing:
    """Left: needed pull, engine and grip against the ramp. Right: all of them on the ramp chosen."""

    size_in, frames, widths = (10.0, 3.6), 2, (1.0, 1.1)
    TOP_N = 32_000.0
    NAMES = ("needed", "first gear gives", "rear tyres hold", "front tyres hold", "all four hold")

    def build(self, picture: Picture, system: str) -> None:
        """Frames and named parts."""
        top = from_si(self.TOP_N, "force", system)
        picture.frame(
            0,
            title="Pulling away, by ramp",
            x_label="ramp [%]",
            y_label=f"force [{unit_label('force', system)}]",
            x=(0.0, 100.0 * STEEPEST),
            y=(0.0, top),
        )
        picture.frame(
            1,
            title="On this ramp (orange: less than needed)",
            x_label=f"force [{unit_label('force', system)}]",
            x=(0.0, 1.45 * top),
            y_names=self.NAMES,
        )
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
        top = from_si(self.TOP_N, "force", system)
        x = [100.0 * g for g in result.grades]
        needed, grip = (
            [min(from_si(n, "force", system), top) for n in row]
            for row in (result.needed_along_n, result.grip_along_n)
        )
        engine = from_si(result.engine_n, "force", system)
        picture.move("needed", x, needed)
        picture.move("grip", x, grip)
        picture.move("engine", [0.0, x[-1]], [engine, engine])
        picture.move("now", [100.0 * result.grade], [min(from_si(result.needed_n, "force", system), top)])
        picture.move("standard ramp", [12.0, 12.0], [0.0, top])
        picture.say("needed name", "needed", 14.0, needed[11] - 0.09 * top)
        crossed = needed[0] < engine + 0.08 * top and engine < needed[6]
        above = (
            engine + 0.045 * top
            if abs(engine - grip[0]) > 0.09 * top or engine > grip[0]
            else engine - 0.05 * top
        )
        picture.say("engine name", "first gear", 22.0 if crossed else 0.4, above)
        picture.say("grip name", "grip", 27.0, grip[22] + (-0.05 if grip[22] < needed[22] else 0.05) * top)
        values = [from_si(n, "force", system) for n in (result.needed_n, result.engine_n, *result.grip_n)]
        picture.stretch("bars", values, [value < values[0] for value in values])
        picture.move("needed here", [values[0], values[0]], [-0.5, len(values) - 0.5])
        for i, value in enumerate(values):
            picture.say(
                f"value {i}",
                f" {value:,.0f} {unit_label('force', system)}",
                max(value, values[0]) if i else value,
                i,
            )
