"""Lesson 05, going down at a steady speed: where the energy goes, and which gear holds."""

from functools import lru_cache
from typing import NamedTuple

from towlib.draw.figures import Picture, round_up
from towlib.handbook.tables import load_table
from towlib.lessons.declare import with_values
from towlib.limits.legs import DESCENT_SHARE_OF_REDLINE, pair_on_road
from towlib.limits.loads import own_brake_share
from towlib.physics.brakes.brake_fluid import FluidSide
from towlib.physics.brakes.brake_heat import AxleBrakes
from towlib.physics.drive.descent import DescentBudget, descent_budget, descent_gear, holding_force_n
from towlib.physics.drive.journey import Pair
from towlib.physics.drive.powertrain import (
    SEA_LEVEL_DENSITY_KG_M3,
    Powertrain,
    engine_braking_force_n,
    engine_rpm,
)
from towlib.rig.facts import Facts
from towlib.units import from_si, number, show, unit_label

AIR_DENSITY_KG_M3 = 1.0  # about 1,800 m up on a warm day
MOST_GEARS = 16  # of a rig


def braked_pair(facts: Facts) -> Pair:
    """The pair on its way out; NotKnown while its front brakes, or the share of towed brakes that are fitted,
    are not known.
    """
    facts.need("tow_vehicle.brakes.front_heated_mass")
    own_brake_share(facts)
    return pair_on_road(facts, "out")


def front_brakes(pair: Pair) -> AxleBrakes:
    """The front brakes of a pair whose front brakes are known."""
    front = pair.brakes[0]
    assert front is not None
    return front


def fluid_side(facts: Facts) -> FluidSide:
    """Calipers and fluid of the front axle."""
    return FluidSide(from_disc_w_k=facts.need("tow_vehicle.brakes.caliper_conductance"))


@lru_cache(maxsize=1)
def boiling_points_c() -> dict[str, float]:
    """Least boiling points of brake fluid by name, such as 'DOT 4 wet'."""
    return {
        row["name"]: row.number("value")
        for row in load_table("materials")
        if row["quantity"] == "boiling point"
    }


def spaced(ends: list[tuple[float, str]], gap: float, *, low: float, high: float) -> list[tuple[float, str]]:
    """Places for names beside the ends of their curves, rising, with a gap between them, inside the frame;
    names that crowd stand about the middle of their curves.
    """
    groups: list[list[float]] = []  # how many names, and the sum of where the first of them would stand
    for i, (y, _) in enumerate(ends):
        groups.append([1, y - i * gap])
        while len(groups) > 1 and groups[-2][1] / groups[-2][0] >= groups[-1][1] / groups[-1][0]:
            count, total = groups.pop()
            groups[-1] = [groups[-1][0] + count, groups[-1][1] + total]
    firsts = [total / count for count, total in groups for _ in range(int(count))]
    most = high - (len(ends) - 1) * gap
    return [
        (max(low, min(first, most)) + i * gap, name)
        for i, (first, (_, name)) in enumerate(zip(firsts, ends, strict=True))
    ]


def calm_rpm(train: Powertrain) -> float:
    """How fast the driver lets the engine turn on the way down."""
    return DESCENT_SHARE_OF_REDLINE * train.redline_rpm


def lowest_calm_gear(train: Powertrain, speed_m_s: float) -> int:
    """The lowest gear in which the engine turns no faster than that at a speed; the top gear when none
    does.
    """
    gears = range(1, len(train.gear_ratios) + 1)
    return next((g for g in gears if engine_rpm(train, speed_m_s, g) <= calm_rpm(train)), gears[-1])


class Budget(NamedTuple):
    """What the first panel shows."""

    budget: DescentBudget
    kept_rise_k: float  # of the front brakes if they kept all their heat
    rpm: float

    def share(self, *parts_j: float) -> str:
        """Parts of the height's energy in per cent."""
        return f"{number(100 * sum(parts_j) / self.budget.height_j, 2)} %"


def energy_budget(
    facts: Facts, *, height_lost_m: float, downgrade: float, speed_m_s: float, gear: int
) -> Budget:
    """Where the energy of the height goes, at a steady speed in one gear; 0 is neutral."""
    pair = braked_pair(facts)
    rpm = engine_rpm(pair.train, speed_m_s, gear) if gear else pair.train.idle_rpm
    if rpm > pair.train.redline_rpm:
        raise ValueError(
            f"gear {gear} would turn the engine past its redline at this speed; take a higher gear or go"
            " slower"
        )
    budget = descent_budget(
        pair,
        -downgrade,
        height_m=height_lost_m,
        speed_m_s=speed_m_s,
        gear=gear,
        air_density_kg_m3=AIR_DENSITY_KG_M3,
    )
    front = front_brakes(pair)
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
    return (
        f"Of {show(budget.height_j, 'energy', system)} the tyres take {result.share(budget.rolling_j)},"
        f" the air {result.share(budget.air_j)}, the engine {result.share(budget.engine_j)} and the"
        f" brakes {result.share(*budget.brakes_j)}; if the front brakes kept all of their part, they would be"
        f" {show(result.kept_rise_k, 'temperature_difference', system)} hotter."
    )


SEEN_SPEED_M_S, SEEN_SLOW_M_S, SEEN_GRADE = 50 / 3.6, 25 / 3.6, 0.07


def budget_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the first panel."""
    train = pair_on_road(facts, "out").train
    low, high = lowest_calm_gear(train, SEEN_SPEED_M_S), len(train.gear_ratios)

    def down(gear: int, speed_m_s: float = SEEN_SPEED_M_S) -> Budget:
        return energy_budget(facts, height_lost_m=400.0, downgrade=SEEN_GRADE, speed_m_s=speed_m_s, gear=gear)

    def braked(gear: int, speed_m_s: float = SEEN_SPEED_M_S) -> str:
        found = down(gear, speed_m_s)
        return found.share(*found.budget.brakes_j)

    free = down(0)
    return (
        f"At {show(SEEN_SPEED_M_S, 'speed', system, 2)} on 7 % tyres and air take"
        f" {free.share(free.budget.rolling_j, free.budget.air_j)} in every gear. The brakes get the rest in"
        f" neutral, {braked(high)} in gear {high} and {braked(low)} in gear {low}: **the height is the same,"
        f" the gear decides who gets it.** Slower in the *same* gear is no cure: gear {high} at"
        f" {show(SEEN_SLOW_M_S, 'speed', system, 2)} leaves the brakes {braked(high, SEEN_SLOW_M_S)}, since"
        " the air and a slowly turning engine hold less. Brakes that work on the towed vehicle take a part"
        " of the heat, and make none of it go away."
    )


class EnergyBudgetDrawing:
    """One bar for the height, and below it what takes it, each beginning where the last one ends."""

    size_in, frames = (9.0, 3.9), 1
    narrow_in = (4.9, 3.7)
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
            x=(0.0, 128.0),
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
            end = start + length + 1.0
            picture.say(f"{name} words", words, 101.0 if 80.0 < end < 101.0 else end, row)
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
    ]  # speeds and forces of each gear, idle to the engine speed the driver allows
    gear: int  # the highest that holds, or the lowest allowed
    left_n: float
    rpm: float
    lower_holds_m_s: tuple[float, float] | None  # slowest and fastest speed at which the gear below holds


def engine_braking(facts: Facts, *, downgrade: float, speed_m_s: float) -> EngineBraking:
    """Force of the engine in every gear against the force that the downgrade asks."""
    pair = pair_on_road(facts, "out")
    train, ratio = pair.train, AIR_DENSITY_KG_M3 / SEA_LEVEL_DENSITY_KG_M3

    def holds(v: float, gear: int) -> float:
        return engine_braking_force_n(train, v, gear, density_ratio=ratio)

    def needed(v: float) -> float:
        return holding_force_n(pair, -downgrade, speed_m_s=v, air_density_kg_m3=AIR_DENSITY_KG_M3)

    idle = 1.001 * train.idle_rpm
    shaft = [idle + (max(calm_rpm(train), idle) - idle) * i / 6 for i in range(7)]
    curves = []
    for gear in range(1, len(train.gear_ratios) + 1):
        speeds = tuple(rpm / engine_rpm(train, 1.0, gear) for rpm in shaft)
        curves.append((speeds, tuple(holds(v, gear) for v in speeds)))
    gear, left = descent_gear(
        pair,
        -downgrade,
        speed_m_s=speed_m_s,
        air_density_kg_m3=AIR_DENSITY_KG_M3,
        highest_rpm=calm_rpm(train),
    )
    lower = []
    if left > 0 and gear > 1:
        fastest = calm_rpm(train) / engine_rpm(train, 1.0, gear - 1)
        lower = [v for v in (fastest * i / 30 for i in range(1, 31)) if 0 < needed(v) <= holds(v, gear - 1)]
    speeds = tuple(2.0 * i for i in range(1, 17))
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


def engine_braking_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the second panel."""
    factor = facts.need("tow_vehicle.engine.braking_factor")

    def gear_words(share: float, speed_m_s: float) -> str:
        moved = with_values(facts, {"tow_vehicle.engine.braking_factor": share * factor})
        found = engine_braking(moved, downgrade=SEEN_GRADE, speed_m_s=speed_m_s)
        if found.left_n <= 0:
            return f"gear {found.gear} holds"
        return (
            f"gear {found.gear}, the lowest allowed, leaves"
            f" {show(found.left_n * speed_m_s, 'power', system)} to the brakes"
        )

    fast, slow = 55 / 3.6, 35 / 3.6
    return (
        f"On 7 % at {show(fast, 'speed', system, 2)} {gear_words(1.0, fast)}; at"
        f" {show(slow, 'speed', system, 2)} {gear_words(1.0, slow)}. **Slow down before the downgrade, and"
        " change down there**: the lower gear needs the lower speed first. Each gear has a slowest speed too:"
        " an engine that turns slowly holds little. With half the engine braking, as a diesel without a"
        f" throttle may have: at {show(slow, 'speed', system, 2)} {gear_words(0.5, slow)}."
        " The speed that yours settles at in a gear tells."
    )


class EngineBrakingDrawing:
    """Engine braking of each gear over speed, and what the downgrade asks."""

    size_in, frames = (9.0, 3.8), 1
    narrow_in = (4.9, 3.7)
    FASTEST_M_S, NAMES_M_S = 34.0, 37.0

    def build(self, picture: Picture, system: str) -> None:
        """Named parts; the frame follows the rig."""
        for gear in range(1, MOST_GEARS + 1):
            picture.line(f"gear {gear}", 0, 0)
            picture.words(f"gear {gear} name", 0, style=0, bold=True)
        picture.line("asked", 0, 1)
        picture.point("here", 0, 1)
        picture.point("held", 0, 0)
        picture.reference("left", 0)

    def update(self, picture: Picture, result: EngineBraking, system: str) -> None:
        """Move the parts to a result."""
        second = result.curves[min(1, len(result.curves) - 1)]
        top = round_up(from_si(1.1 * max(*result.needed_along_n, *second[1], 100.0), "force", system))
        picture.frame(
            0,
            title="Solid: engine braking of each gear; dashes: asked by the downgrade",
            x_label=f"speed [{unit_label('speed', system)}]",
            y_label=f"force at the wheels [{unit_label('force', system)}]",
            x=(0.0, from_si(self.NAMES_M_S, "speed", system)),
            y=(0.0, top),
        )
        right = from_si(self.FASTEST_M_S, "speed", system)
        ends = []
        for gear in range(1, MOST_GEARS + 1):
            speeds, forces = result.curves[gear - 1] if gear <= len(result.curves) else ((), ())
            x = [from_si(v, "speed", system) for v in speeds]
            y = [from_si(f, "force", system) for f in forces]
            x, y = cut_off(x, y, right=right, top=top)
            picture.move(f"gear {gear}", x, y)
            picture.say(f"gear {gear} name", "", 0.0, 0.0)
            if x and x[-1] >= 0.999 * right:
                ends.append((y[-1], f"gear {gear}"))
            elif x:
                picture.say(f"gear {gear} name", f" {gear}", x[-1], min(y[-1], 0.97 * top))
        for y_name, name in spaced(sorted(ends), 0.065 * top, low=0.03 * top, high=0.97 * top):
            words = name.removeprefix("gear ") if picture.narrow else name
            picture.say(f"{name} name", f" {words}", right, y_name)
        picture.move(
            "asked",
            [from_si(v, "speed", system) for v in result.speeds_m_s],
            [from_si(f, "force", system) for f in result.needed_along_n],
        )
        here = from_si(result.speed_m_s, "speed", system)
        asked, held = (
            from_si(f, "force", system) for f in (result.needed_n, result.needed_n - result.left_n)
        )
        picture.move("here", [here], [asked])
        picture.move("held", [here], [held])
        picture.move("left", [here, here], [asked, held])


def cut_off(x: list[float], y: list[float], *, right: float, top: float) -> tuple[list[float], list[float]]:
    """A rising curve up to where it leaves a frame at its right or its upper edge."""
    for i in range(len(x)):
        if x[i] <= right and y[i] <= top:
            continue
        if i == 0:
            return [], []
        part = min(
            (edge - line[i - 1]) / (line[i] - line[i - 1])
            for line, edge in ((x, right), (y, top))
            if line[i] > edge
        )
        return (
            [*x[:i], x[i - 1] + part * (x[i] - x[i - 1])],
            [*y[:i], y[i - 1] + part * (y[i] - y[i - 1])],
        )
    return x, y
