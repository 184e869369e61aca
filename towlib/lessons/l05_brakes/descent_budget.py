"""Lesson 05, going down: where the energy goes and what the engine holds. The demo wagon, all invented."""

from functools import lru_cache
from typing import NamedTuple

from towlib.draw.figures import Picture
from towlib.handbook.tables import load_table
from towlib.limits.legs import DESCENT_SHARE_OF_REDLINE, pair_on_road
from towlib.paths import DATA
from towlib.physics.brakes.brake_heat import AxleBrakes
from towlib.physics.drive.descent import DescentBudget, descent_budget, descent_gear, holding_force_n
from towlib.physics.drive.journey import Pair
from towlib.physics.drive.powertrain import SEA_LEVEL_DENSITY_KG_M3, engine_braking_force_n, engine_rpm
from towlib.rig.facts import Facts, assumptions
from towlib.rig.model import load_rig
from towlib.units import from_si, number, show, unit_label

FADE_INDEX_C = assumptions()["tow_vehicle.brakes.highest_front"].value
AIR_DENSITY_KG_M3 = 1.0  # about 1,800 m up on a warm day
NEUTRAL = "neutral"
TOWED_SHARE = 0.3  # from memory: what small own brakes take of the whole
TOWED_BRAKES = AxleBrakes(heated_mass_kg=20.0, cooled_area_m2=0.6)  # from memory: four small drums


@lru_cache(maxsize=1)
def demo_pair() -> Pair:
    """The invented wagon with its off-roader, way out."""
    return pair_on_road(Facts(load_rig(DATA / "rigs" / "demo_overloaded.toml")), "out")


@lru_cache(maxsize=1)
def demo_tow_kg() -> float:
    """The wagon alone, loaded."""
    rig = load_rig(DATA / "rigs" / "demo_overloaded.toml")
    return demo_pair().mass_kg - rig.towed_vehicle.front_axle_empty - rig.towed_vehicle.rear_axle_empty


def pair_with(towed_kg: float, *, towed_brakes: bool = False) -> Pair:
    """The wagon with another mass behind, and with brakes there or without."""
    pair = demo_pair()._replace(mass_kg=demo_tow_kg() + towed_kg)
    if towed_brakes:
        front, rear, _ = pair.brake_shares
        pair = pair._replace(
            brakes=(*pair.brakes[:2], TOWED_BRAKES),
            brake_shares=(front * (1.0 - TOWED_SHARE), rear * (1.0 - TOWED_SHARE), TOWED_SHARE),
        )
    return pair


@lru_cache(maxsize=1)
def boiling_points_c() -> dict[str, float]:
    """Least boiling points of brake fluid by name, such as 'DOT 4 wet'."""
    return {
        row["name"]: row.number("value")
        for row in load_table("materials")
        if row["quantity"] == "boiling point"
    }


def spaced(ends: list[tuple[float, str]], gap: float, *, low: float, high: float) -> list[tuple[float, str]]:
    """Places for names beside the ends of their curves, rising, with a gap between them, inside the frame."""
    places: list[float] = []
    for y, _ in ends:
        places.append(max(y, low if not places else places[-1] + gap))
    for i in range(len(places) - 1, -1, -1):
        places[i] = min(places[i], high if i == len(places) - 1 else places[i + 1] - gap)
    return [(y, name) for y, (_, name) in zip(places, ends, strict=True)]


class Budget(NamedTuple):
    """What the first panel shows."""

    budget: DescentBudget
    kept_rise_k: float  # of the front brakes if they kept all their heat
    rpm: float


def energy_budget(
    *,
    height_lost_m: float,
    downgrade: float,
    speed_m_s: float,
    gear: str,
    towed_kg: float,
    towed_brakes: bool,
) -> Budget:
    """Where the energy of the height goes, at a steady speed in one gear."""
    pair, chosen = pair_with(towed_kg, towed_brakes=towed_brakes), 0 if gear == NEUTRAL else int(gear)
    rpm = engine_rpm(pair.train, speed_m_s, chosen) if chosen else pair.train.idle_rpm
    if rpm > pair.train.redline_rpm:
        raise ValueError(
            f"gear {chosen} would turn the engine past its redline at this speed; take a higher gear or go"
            " slower"
        )
    budget = descent_budget(
        pair,
        -downgrade,
        height_m=height_lost_m,
        speed_m_s=speed_m_s,
        gear=chosen,
        air_density_kg_m3=AIR_DENSITY_KG_M3,
    )
    front = pair.brakes[0]
    return Budget(budget, budget.brakes_j[0] / (front.heated_mass_kg * front.specific_heat_j_kg_k), rpm)


def energy_budget_words(result: Budget, system: str) -> str:
    """The sentence under the first panel."""
    budget = result.budget
    if budget.pull_j > 0:
        return (
            "The road is not steep enough for this speed: the engine must add"
            f" {show(budget.pull_j, 'energy', system)} to the {show(budget.height_j, 'energy', system)} of"
            " the height, and the brakes stay cold."
        )
    braked = sum(budget.brakes_j)
    return (
        f"Of {show(budget.height_j, 'energy', system)} the tyres take {_percent(budget.rolling_j, budget)},"
        f" the air {_percent(budget.air_j, budget)}, the engine {_percent(budget.engine_j, budget)} and the"
        f" brakes {_percent(braked, budget)}; if the front brakes kept all of their part, they would be"
        f" {show(result.kept_rise_k, 'temperature_difference', system)} hotter."
    )


def _percent(part_j: float, budget: DescentBudget) -> str:
    return f"{number(100 * part_j / budget.height_j, 2)} %"


class EnergyBudgetDrawing:
    """One bar for the height, and below it what takes it, each beginning where the last one ends."""

    size_in, frames = (9.0, 3.9), 1
    ROWS = (
        "height",
        "engine pulls",
        "tyres",
        "air",
        "engine brakes",
        "front brakes",
        "rear brakes",
        "towed brakes",
    )
    STYLES = (None, 2, 2, 2, 0, 1, 1, 1)

    def build(self, picture: Picture, system: str) -> None:
        """Frame and named parts."""
        picture.frame(
            0,
            title="Where the energy of the height goes",
            x_label="per cent of all the energy that goes in",
            x=(0.0, 125.0),
            y_names=self.ROWS,
        )
        for name, style in zip(self.ROWS, self.STYLES, strict=True):
            picture.shape(name, 0, style)
            picture.words(f"{name} words", 0)
        picture.reference("all", 0)

    def update(self, picture: Picture, result: Budget, system: str) -> None:
        """Move the parts to a result."""
        budget = result.budget
        total = budget.height_j + budget.pull_j
        parts = (
            budget.height_j,
            budget.pull_j,
            budget.rolling_j,
            budget.air_j,
            budget.engine_j,
            *budget.brakes_j,
        )
        start = 0.0
        for row, (name, part) in enumerate(zip(self.ROWS, parts, strict=True)):
            length = 100.0 * part / total
            if row == 2:
                start = 0.0
            low, high = row - 0.3, row + 0.3
            corners = [start, start + length, start + length, start] if part > 0 else []
            picture.move(name, corners, [low, low, high, high][: len(corners)])
            words = show(part, "energy", system) if part > 0.5 else "0"
            picture.say(f"{name} words", words, start + length + 1.0, row)
            start += length
        picture.move("all", [100.0, 100.0], [-0.5, len(self.ROWS) - 0.5])


class EngineBraking(NamedTuple):
    """What the second panel shows."""

    speed_m_s: float
    needed_n: float
    speeds_m_s: tuple[float, ...]
    needed_along_n: tuple[float, ...]
    curves: tuple[
        tuple[tuple[float, ...], tuple[float, ...]], ...
    ]  # speeds and forces of each gear, idle to redline
    gear: int  # the highest that holds, or the lowest allowed
    left_n: float
    rpm: float
    lower_holds_m_s: tuple[float, float] | None  # slowest and fastest speed at which the gear below holds


def engine_braking(
    *, downgrade: float, speed_m_s: float, towed_kg: float, braking_factor: float
) -> EngineBraking:
    """Force of the engine in every gear against the force that the downgrade asks."""
    pair = pair_with(towed_kg)
    pair = pair._replace(train=pair.train._replace(engine_braking_factor=braking_factor))
    train, ratio = pair.train, AIR_DENSITY_KG_M3 / SEA_LEVEL_DENSITY_KG_M3
    curves = []
    for gear in range(1, len(train.gear_ratios) + 1):
        per_rpm = 1.0 / engine_rpm(train, 1.0, gear)
        speeds = tuple(
            rpm * per_rpm
            for rpm in (
                train.idle_rpm * 1.001,
                2000.0,
                3000.0,
                4000.0,
                5000.0,
                DESCENT_SHARE_OF_REDLINE * train.redline_rpm,
            )
        )
        curves.append(
            (speeds, tuple(engine_braking_force_n(train, v, gear, density_ratio=ratio) for v in speeds))
        )
    speeds = tuple(2.0 * i for i in range(1, 17))

    def needed(v: float) -> float:
        return holding_force_n(pair, -downgrade, speed_m_s=v, air_density_kg_m3=AIR_DENSITY_KG_M3)

    gear, left = descent_gear(
        pair,
        -downgrade,
        speed_m_s=speed_m_s,
        air_density_kg_m3=AIR_DENSITY_KG_M3,
        highest_rpm=DESCENT_SHARE_OF_REDLINE * train.redline_rpm,
    )
    lower = []
    if left > 0 and gear > 1:
        fastest = DESCENT_SHARE_OF_REDLINE * train.redline_rpm / engine_rpm(train, 1.0, gear - 1)
        lower = [
            v
            for v in (fastest * i / 30 for i in range(1, 31))
            if engine_braking_force_n(train, v, gear - 1, density_ratio=ratio) >= needed(v)
        ]
    return EngineBraking(
        speed_m_s,
        needed(speed_m_s),
        speeds,
        tuple(needed(v) for v in speeds),
        tuple(curves),
        gear,
        left,
        engine_rpm(train, speed_m_s, gear),
        (lower[0], lower[-1]) if lower else None,
    )


def engine_braking_words(result: EngineBraking, system: str) -> str:
    """The sentence under the second panel."""
    asked = (
        f"At {show(result.speed_m_s, 'speed', system)} this downgrade asks"
        f" {show(result.needed_n, 'force', system)}"
    )
    if result.needed_n <= 0:
        return (
            f"At {show(result.speed_m_s, 'speed', system)} tyres and air hold the pair on this downgrade by"
            " themselves."
        )
    turns = f"gear {result.gear} at {number(result.rpm, 2)} rpm"
    if result.left_n <= 0:
        return f"{asked}; the highest gear that holds it without brakes is {turns}."
    lower = ""
    if result.lower_holds_m_s:
        slow, fast = (show(v, "speed", system, 2) for v in result.lower_holds_m_s)
        lower = f" Gear {result.gear - 1} holds it, from {slow} to {fast}: slow down before the downgrade."
    return (
        f"{asked}; the lowest gear the engine may turn in, {turns}, leaves"
        f" {show(result.left_n, 'force', system)} to the brakes,"
        f" {show(result.left_n * result.speed_m_s, 'power', system)} of heat.{lower}"
    )


class EngineBrakingDrawing:
    """Engine braking of each gear over speed, and what the downgrade asks."""

    size_in, frames = (9.0, 3.8), 1
    FASTEST_M_S, MOST_N = 34.0, 8000.0

    def build(self, picture: Picture, system: str) -> None:
        """Frame and named parts."""
        picture.frame(
            0,
            title="Force at the wheels: engine braking by gear, and what the downgrade asks",
            x_label=f"speed [{unit_label('speed', system)}]",
            y_label=f"force [{unit_label('force', system)}]",
            x=(0.0, from_si(self.FASTEST_M_S, "speed", system)),
            y=(0.0, from_si(self.MOST_N, "force", system)),
        )
        for gear in range(1, len(demo_pair().train.gear_ratios) + 1):
            picture.line(f"gear {gear}", 0, 0)
            picture.words(f"gear {gear} name", 0, style=0, bold=True)
        picture.line("asked", 0, 1)
        picture.words("asked name", 0, style=1, align="right", bold=True)
        picture.point("here", 0, 1)
        picture.point("held", 0, 0)
        picture.reference("left", 0)
        picture.words("redline", 0, style=0, align="right", bold=True)

    def update(self, picture: Picture, result: EngineBraking, system: str) -> None:
        """Move the parts to a result."""
        most = self.MOST_N
        for gear, (speeds, forces) in enumerate(result.curves, start=1):
            shown = [
                (v, f) for v, f in zip(speeds, forces, strict=True) if f <= most and v <= self.FASTEST_M_S
            ]
            picture.move(
                f"gear {gear}",
                [from_si(v, "speed", system) for v, _ in shown],
                [from_si(f, "force", system) for _, f in shown],
            )
            v, f = shown[-1]
            picture.say(
                f"gear {gear} name", f" {gear}", from_si(v, "speed", system), from_si(f, "force", system)
            )
        x = [from_si(v, "speed", system) for v in result.speeds_m_s]
        y = [from_si(min(f, most), "force", system) for f in result.needed_along_n]
        picture.move("asked", x, y)
        here = from_si(result.speed_m_s, "speed", system)
        asked, held = (
            from_si(min(f, most), "force", system) for f in (result.needed_n, result.needed_n - result.left_n)
        )
        picture.move("here", [here], [asked])
        picture.move("held", [here], [held])
        picture.move("left", [here, here], [asked, held])
        right = 0.985 * from_si(self.FASTEST_M_S, "speed", system)
        picture.say(
            "redline",
            "solid: engine braking of each gear, to 80 % of the redline",
            right,
            from_si(0.95 * most, "force", system),
        )
        picture.say(
            "asked name", "dashes: asked by the downgrade", right, from_si(0.88 * most, "force", system)
        )
