"""Lesson 04, engine against road: what the panels traction, road load and altitude compute and say."""

from typing import NamedTuple

from towlib.lessons.declare import with_values
from towlib.limits.legs import DRY_FRICTION, engine_curve, pair_on_road
from towlib.limits.road_limits import axle_grip, of_driven_axles
from towlib.physics.basics.atmosphere import air_density_kg_m3, standard_temperature_k
from towlib.physics.drive.powertrain import (
    RPM_PER_RAD_S,
    SEA_LEVEL_DENSITY_KG_M3,
    engine_power_factor,
    power_factor_compound,
    power_factor_linear,
)
from towlib.physics.drive.traction import (
    OperatingPoint,
    RoadLoad,
    gear_curve,
    operating_point,
    road_load,
    steepest_in_gear,
)
from towlib.rig.facts import Facts
from towlib.units import show

FOOT_M = 0.3048
ASPIRATION, BOOSTED, NATURAL = "tow_vehicle.engine.aspiration", "boosted", "natural"
HIGHEST_M_S = 140.0 / 3.6  # of the pictures
TYRES = {"front": "front tyres", "rear": "rear tyres", "both": "tyres of both axles"}


def standard_density_on_day(altitude_m: float, warmer_k: float = 0.0) -> float:
    """Air density at a height on the standard day, or on one so much warmer."""
    return air_density_kg_m3(altitude_m, standard_temperature_k(altitude_m) - 273.15 + warmer_k)


def strongest_w(facts: Facts) -> float:
    """The engine's largest power at sea level: the maker's figure, or of the measured curve where there is
    one.
    """
    if not facts.have("tow_vehicle.engine.curve"):
        return facts.need("tow_vehicle.engine.peak_power")
    return max(rpm / RPM_PER_RAD_S * torque for rpm, torque in zip(*engine_curve(facts), strict=True))


class Traction(NamedTuple):
    """The traction diagram on one grade in one air."""

    curves: tuple[tuple[tuple[float, ...], tuple[float, ...]], ...]  # each gear: speeds, forces
    speeds_m_s: tuple[float, ...]
    demand_n: tuple[float, ...]
    grip_n: float  # of the driven axles, dry
    tyres: str  # whose grip that is
    point: OperatingPoint | None
    wanted_m_s: float
    grade: float
    factor: float
    top_gear_grade: float | None
    launch_rpm: float  # below this, first gear pulls with a slipping converter or clutch


def traction(facts: Facts, *, grade: float, altitude_m: float, air_temperature_c: float) -> Traction:
    """Pull in every gear over the demand of the road, and where the pair settles; dry road."""
    wanted = facts.need("conditions.cruise_speed")
    density = air_density_kg_m3(altitude_m, air_temperature_c)
    pair = pair_on_road(facts, "out")
    grip = axle_grip(facts, pair, "out", grade=grade, friction_coefficient=DRY_FRICTION)
    pair = pair._replace(grip_n=of_driven_axles(facts, grip))
    factor = engine_power_factor(density / SEA_LEVEL_DENSITY_KG_M3, boosted=pair.train.boosted)
    gears = len(pair.train.gear_ratios)
    highest = HIGHEST_M_S if wanted <= 0.95 * HIGHEST_M_S else 1.2 * wanted
    speeds = tuple(highest * i / 28 for i in range(29))
    top = steepest_in_gear(pair, gears, power_factor=factor, air_density_kg_m3=density)
    return Traction(
        tuple(gear_curve(pair.train, gear, power_factor=factor) for gear in range(1, gears + 1)),
        speeds,
        tuple(road_load(pair, grade, v, air_density_kg_m3=density).total_n for v in speeds),
        pair.grip_n,
        TYRES[facts.need("tow_vehicle.driven_axles")],
        operating_point(pair, grade, wanted_m_s=wanted, power_factor=factor, air_density_kg_m3=density),
        wanted,
        grade,
        factor,
        top[0] if top else None,
        pair.train.launch_rpm,
    )


def traction_words(result: Traction, system: str) -> str:
    """The sentence under the traction diagram."""
    air = f"This air leaves {show(result.factor, 'share', system)} of the power. "
    top = _top_gear_words(result, system)
    point = result.point
    if point is None:
        why = (
            f"the {result.tyres} slip first"
            if result.demand_n[0] > result.grip_n
            else "the demand lies above every gear"
        )
        return f"{air}No gear holds this grade: {why}.{top}"
    where = f"{show(point.speed_m_s, 'speed', system)} in gear {point.gear} {_turning(result, point, system)}"
    forces = f"the road asks {show(point.demand_n, 'force', system)}"
    if point.limited_by == "wanted":
        return (
            f"{air}Held: {where}; {forces}, full throttle would give"
            f" {show(point.pull_n, 'force', system)}.{top}"
        )
    why = {
        "engine": "where full throttle meets the demand",
        "redline": "the redline; the next gear pulls too little",
        "grip": f"where the {result.tyres} begin to slip",
    }[point.limited_by]
    return f"{air}{show(result.wanted_m_s, 'speed', system)} is not held: {where}, {why}; {forces}.{top}"


def _turning(result: Traction, point: OperatingPoint, system: str) -> str:
    if point.gear == 1 and point.rpm < result.launch_rpm:
        return "with the converter or clutch slipping, which nobody may hold for long"
    return f"at {show(round(point.rpm, -1), 'shaft_speed', system)}"


def _top_gear_words(result: Traction, system: str) -> str:
    if result.top_gear_grade is None:
        return ""
    if result.top_gear_grade <= 0:
        return " Top gear alone does not even hold the level in this air."
    return f" Top gear alone holds {show(result.top_gear_grade, 'grade', system, 2)} at most."


def traction_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the traction diagram."""

    def at(grade: float, facts: Facts = facts) -> Traction:
        return traction(facts, grade=grade, altitude_m=2000.0, air_temperature_c=25.0)

    def gear(result: Traction) -> str:
        return f"gear {result.point.gear}" if result.point else "no gear at all"

    def speed(result: Traction) -> str:
        return f" at {show(result.point.speed_m_s, 'speed', system)}" if result.point else ""

    middle = at(0.06)
    turning = f" {_turning(middle, middle.point, system)}" if middle.point else ""
    natural = facts.need(ASPIRATION) != BOOSTED
    other = at(0.06, with_values(facts, {ASPIRATION: BOOSTED if natural else NATURAL}))
    return (
        f"In the air the panel starts with, the level is driven in {gear(at(0.0))}, {show(0.06, 'grade')} in"
        f" {gear(middle)}{speed(middle)}{turning}, and {show(0.12, 'grade')} in {gear(at(0.12))}."
        f"{_top_gear_words(middle, system)} **A lower gear is not a defeat: it lets the engine turn up to"
        " where its power is**, and turns the same power into more force. Set the engine to"
        f" *{BOOSTED if natural else NATURAL}*: the first of these grades is then driven in"
        f" {gear(other)}{speed(other)}, because thin air costs that engine"
        f" {'little or nothing' if natural else 'power'}."
    )


class RoadLoadView(NamedTuple):
    """The parts of the demand along the speed, and the power."""

    speeds_m_s: tuple[float, ...]
    parts: tuple[RoadLoad, ...]
    here_m_s: float
    here: RoadLoad
    wheel_w: tuple[float, ...]
    efficiency: float
    engine_has_w: float  # largest power in this air

    @property
    def engine_here_w(self) -> float:
        """What the engine must give at the speed chosen."""
        return self.here.total_n * self.here_m_s / self.efficiency


def road_load_view(facts: Facts, *, grade: float, speed_m_s: float, altitude_m: float) -> RoadLoadView:
    """Grade, tyres and air against speed, and the power at the wheels and at the engine, on a standard
    day.
    """
    pair = pair_on_road(facts, "out")
    density = standard_density_on_day(altitude_m)
    speeds = tuple(1.0 + (HIGHEST_M_S - 1.0) * i / 24 for i in range(25))
    parts = tuple(road_load(pair, grade, v, air_density_kg_m3=density) for v in speeds)
    factor = engine_power_factor(density / SEA_LEVEL_DENSITY_KG_M3, boosted=pair.train.boosted)
    return RoadLoadView(
        speeds,
        parts,
        speed_m_s,
        road_load(pair, grade, speed_m_s, air_density_kg_m3=density),
        tuple(part.total_n * v for part, v in zip(parts, speeds, strict=True)),
        pair.train.driveline_efficiency,
        strongest_w(facts) * factor,
    )


def road_load_words(result: RoadLoadView, system: str) -> str:
    """The sentence under the road load."""
    here, total = result.here, result.here.total_n
    shares = ", ".join(
        f"{name} {100 * part / total:.0f} %"
        for name, part in zip(("grade", "tyres", "air"), here, strict=True)
    )
    has, needs = result.engine_has_w, result.engine_here_w
    room = (
        f"within by {show(has - needs, 'power', system)}"
        if needs <= has
        else f"over by {show(needs - has, 'power', system)}"
    )
    return (
        f"At {show(result.here_m_s, 'speed', system)} the road asks {show(total, 'force', system)}"
        f" ({shares}): {show(total * result.here_m_s, 'power', system)} at the wheels,"
        f" {show(needs, 'power', system)} at the engine, which has {show(has, 'power', system)} in this air:"
        f" {room}."
    )


def road_load_rooms(result: RoadLoadView) -> dict[str, float]:
    """Power left."""
    return {"power": result.engine_has_w - result.engine_here_w}


def road_load_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the parts of the demand."""
    fast_m_s, slow_m_s, level_m_s = 90 / 3.6, 60 / 3.6, 110 / 3.6

    def at(grade: float, speed_m_s: float) -> RoadLoadView:
        return road_load_view(facts, grade=grade, speed_m_s=speed_m_s, altitude_m=2000.0)

    fast, slow, level = at(0.06, fast_m_s), at(0.06, slow_m_s), at(0.0, level_m_s)
    share = 100 * fast.here.grade_n / fast.here.total_n
    force = [show(view.here.total_n, "force", system) for view in (fast, slow)]
    power = [show(view.engine_here_w, "power", system) for view in (fast, slow)]
    return (
        f"On {show(0.06, 'grade')} the grade alone is {share:.0f} % of the force, and it does not care how"
        f" fast you go: slowing from {show(fast_m_s, 'speed', system)} to {show(slow_m_s, 'speed', system)}"
        f" takes the force from {force[0]} to {force[1]}, but the engine's power from {power[0]} to"
        f" {power[1]}. **Force chooses the gear; power makes the heat.** On the level tyres and air share the"
        f" force, and at {show(level_m_s, 'speed', system)} the air takes"
        f" {100 * level.here.air_n / level.here.total_n:.0f} %. The engine gives more than arrives at the"
        " wheels: gearbox and axle keep the rest."
    )


RULES = ("linear 3 %/1,000 ft", "compound 3 %/1,000 ft", "density ratio", "Gagg and Ferrar", "boosted")


class Altitude(NamedTuple):
    """Power kept by every rule."""

    heights_m: tuple[float, ...]
    kept: tuple[tuple[float, ...], ...]  # a row a rule
    here_m: float
    here: tuple[float, ...]
    used: int  # number of the rule this workbook uses for the engine
    strongest_w: float  # of this engine at sea level


def altitude(facts: Facts, *, altitude_m: float, warmer_k: float) -> Altitude:
    """Share of sea-level power kept against altitude by five rules, on a day warmer or colder than the
    standard one.
    """
    heights = tuple(200.0 * i for i in range(23))
    columns = [_kept(height, warmer_k) for height in heights]
    return Altitude(
        heights,
        tuple(zip(*columns, strict=True)),
        altitude_m,
        _kept(altitude_m, warmer_k),
        4 if facts.need(ASPIRATION) == BOOSTED else 3,
        strongest_w(facts),
    )


def _kept(altitude_m: float, warmer_k: float) -> tuple[float, ...]:
    ratio = standard_density_on_day(altitude_m, warmer_k) / SEA_LEVEL_DENSITY_KG_M3
    feet = altitude_m / FOOT_M
    return (
        power_factor_linear(feet),
        power_factor_compound(feet),
        ratio,
        engine_power_factor(ratio, boosted=False),
        engine_power_factor(ratio, boosted=True),
    )


def altitude_words(result: Altitude, system: str) -> str:
    """The sentence under the altitude rules."""
    natural, kept = result.here[:4], result.here[result.used]
    return (
        f"At {show(result.here_m, 'height', system)} the rule used for this engine, {RULES[result.used]},"
        f" keeps {100 * kept:.1f} %: {show(kept * result.strongest_w, 'power', system)} of"
        f" {show(result.strongest_w, 'power', system)}. The four rules for a naturally aspirated engine lie"
        f" between {100 * min(natural):.1f} and {100 * max(natural):.1f} %, a boosted one keeps"
        f" {100 * result.here[4]:.1f} %. The two thumb rules do not know how warm the day is."
    )


def altitude_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the rules of altitude."""
    high_m, warmer_k = 3050.0, 20.0
    standard, warm = (altitude(facts, altitude_m=high_m, warmer_k=k) for k in (0.0, warmer_k))
    linear, compound, density, own_friction, boosted = (100 * kept for kept in standard.here)
    spread = max(standard.here[:4]) - min(standard.here[:4])
    lost = (standard.here[standard.used] - warm.here[warm.used]) * standard.strongest_w
    return (
        f'At {show(high_m, "height", system)} "three per cent a thousand feet" leaves {linear:.1f} % counted'
        f" in a line and {compound:.1f} % compounded; the air's density is {density:.1f} %, and Gagg and"
        f" Ferrar's rule {own_friction:.1f} %, because the engine must also turn itself. **The rules"
        " differ by"
        f" {100 * spread:.0f} points: always say which one you used.** On a day"
        f" {show(warmer_k, 'temperature_difference', system)} warmer the rule used here takes another"
        f" {show(lost, 'power', system)} from this engine; the thumb rules do not notice. A boosted engine"
        f" keeps {boosted:.1f} % on the standard day (full power down to three quarters of the density: not"
        " checked against a document)."
    )
