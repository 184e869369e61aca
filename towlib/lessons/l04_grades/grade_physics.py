"""Lesson 04, engine against road: what the panels traction, road load and altitude compute and say. The
vehicles are invented.
"""

from functools import lru_cache
from typing import NamedTuple

from towlib.limits.legs import DRY_FRICTION, pair_on_road
from towlib.limits.loads import tow_axles_kg
from towlib.paths import DATA
from towlib.physics.basics.atmosphere import air_density_kg_m3, standard_temperature_k
from towlib.physics.drive.journey import Pair
from towlib.physics.drive.powertrain import (
    RPM_PER_RAD_S,
    SEA_LEVEL_DENSITY_KG_M3,
    engine_power_factor,
    power_factor_compound,
    power_factor_linear,
)
from towlib.physics.drive.traction import (
    AxleGrip,
    OperatingPoint,
    RoadLoad,
    axle_grip_n,
    gear_curve,
    operating_point,
    road_load,
    steepest_in_gear,
)
from towlib.rig.facts import Facts
from towlib.rig.model import load_rig
from towlib.units import show

DEMO = DATA / "rigs" / "demo_comfortable.toml"
FOOT_M = 0.3048
BOOSTED, AUTOMATIC = "boosted", "automatic, 10 gears"
MANUAL_RATIOS = (4.20, 2.49, 1.66, 1.24, 1.00, 0.78)  # invented
MANUAL_LAUNCH_RPM = 1500.0  # from memory: engine speed while the clutch slips
HIGHEST_M_S = 140.0 / 3.6


class Demo(NamedTuple):
    """The invented pair of this lesson."""

    pair: Pair
    front_kg: float
    rear_kg: float
    wheelbase_m: float
    cg_height_m: float
    hitch_height_m: float
    overhang_m: float


@lru_cache(maxsize=1)
def demo() -> Demo:
    """The invented full-size pickup with the light off-roader, way out."""
    facts = Facts(load_rig(DEMO))
    front_kg, rear_kg = tow_axles_kg(facts, "out")
    return Demo(
        pair_on_road(facts, "out"),
        front_kg,
        rear_kg,
        facts.need("tow_vehicle.wheelbase"),
        facts.need("tow_vehicle.cg_height"),
        facts.need("hitch.receiver_height") + facts.need("hitch.ball_mount_change"),
        facts.need("tow_vehicle.ball_behind_rear_axle"),
    )


def demo_pair(towed_kg: float, *, aspiration: str = "naturally aspirated", gearbox: str = AUTOMATIC) -> Pair:
    """That pair with another mass behind, the same engine boosted or not, and either gearbox."""
    this = demo()
    train = this.pair.train._replace(boosted=aspiration == BOOSTED)
    if gearbox != AUTOMATIC:
        train = train._replace(
            gear_ratios=MANUAL_RATIOS, automatic=False, stall_torque_ratio=1.0, launch_rpm=MANUAL_LAUNCH_RPM
        )
    tow_kg = this.front_kg + this.rear_kg
    rolling = (0.012 * tow_kg + 0.015 * towed_kg) / (tow_kg + towed_kg)
    return this.pair._replace(mass_kg=tow_kg + towed_kg, rolling_coefficient=rolling, train=train)


def demo_grip(
    towed_kg: float, grade: float, *, friction_coefficient: float, acceleration_m_s2: float = 0.0
) -> AxleGrip:
    """What the tyres of each axle of that pickup pass on."""
    this = demo()
    return axle_grip_n(
        this.front_kg,
        this.rear_kg,
        grade=grade,
        friction_coefficient=friction_coefficient,
        towed_mass_kg=towed_kg,
        rolling_coefficient=0.015,
        wheelbase_m=this.wheelbase_m,
        cg_height_m=this.cg_height_m,
        hitch_height_m=this.hitch_height_m,
        overhang_m=this.overhang_m,
        acceleration_m_s2=acceleration_m_s2,
    )


class Traction(NamedTuple):
    """The traction diagram on one grade in one air."""

    curves: tuple[tuple[tuple[float, ...], tuple[float, ...]], ...]  # each gear: speeds, forces
    speeds_m_s: tuple[float, ...]
    demand_n: tuple[float, ...]
    grip_n: float  # rear axle, dry
    point: OperatingPoint | None
    wanted_m_s: float
    grade: float
    factor: float
    top_gear_grade: float | None


def traction(
    *,
    grade: float,
    altitude_m: float,
    air_temperature_c: float,
    towed_kg: float,
    wanted_m_s: float,
    aspiration: str,
    gearbox: str,
) -> Traction:
    """Pull in every gear over the demand of the road, and where the pair settles; driven rear axle, dry
    road.
    """
    density = air_density_kg_m3(altitude_m, air_temperature_c)
    pair = demo_pair(towed_kg, aspiration=aspiration, gearbox=gearbox)
    pair = pair._replace(grip_n=demo_grip(towed_kg, grade, friction_coefficient=DRY_FRICTION).rear_n)
    factor = engine_power_factor(density / SEA_LEVEL_DENSITY_KG_M3, boosted=pair.train.boosted)
    gears = len(pair.train.gear_ratios)
    speeds = tuple(HIGHEST_M_S * i / 28 for i in range(29))
    top = steepest_in_gear(pair, gears, power_factor=factor, air_density_kg_m3=density)
    return Traction(
        tuple(gear_curve(pair.train, gear, power_factor=factor) for gear in range(1, gears + 1)),
        speeds,
        tuple(road_load(pair, grade, v, air_density_kg_m3=density).total_n for v in speeds),
        pair.grip_n,
        operating_point(pair, grade, wanted_m_s=wanted_m_s, power_factor=factor, air_density_kg_m3=density),
        wanted_m_s,
        grade,
        factor,
        top[0] if top else None,
    )


def traction_words(result: Traction, system: str) -> str:
    """The sentence under the traction diagram."""
    air = f"This air leaves {show(result.factor, 'share', system)} of the power. "
    top = ""
    if result.top_gear_grade is not None:
        top = f" Top gear alone holds {show(max(0.0, result.top_gear_grade), 'grade', system, 2)} at most."
    point = result.point
    if point is None:
        why = (
            "the rear tyres slip first"
            if result.demand_n[0] > result.grip_n
            else "the demand lies above every gear"
        )
        return f"{air}No gear holds this grade: {why}.{top}"
    where = (
        f"{show(point.speed_m_s, 'speed', system)} in gear {point.gear} at"
        f" {show(round(point.rpm, -1), 'shaft_speed', system)}"
    )
    forces = f"the road asks {show(point.demand_n, 'force', system)}"
    if point.limited_by == "wanted":
        return (
            f"{air}Held: {where}; {forces}, full throttle would give"
            f" {show(point.pull_n, 'force', system)}.{top}"
        )
    why = {
        "engine": "where full throttle meets the demand",
        "redline": "the redline; the next gear pulls too little",
        "grip": "where the rear tyres begin to slip",
    }[point.limited_by]
    return f"{air}{show(result.wanted_m_s, 'speed', system)} is not held: {where}, {why}; {forces}.{top}"


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


def road_load_view(
    *, grade: float, speed_m_s: float, altitude_m: float, towed_kg: float, towed_drag_area_m2: float
) -> RoadLoadView:
    """Grade, tyres and air against speed, and the power at the wheels and at the engine, on a standard
    day.
    """
    this = demo_pair(towed_kg)
    pair = this._replace(drag_area_m2=this.drag_area_m2 - 0.60 + towed_drag_area_m2)
    density = air_density_kg_m3(altitude_m, standard_temperature_k(altitude_m) - 273.15)
    speeds = tuple(1.0 + (HIGHEST_M_S - 1.0) * i / 24 for i in range(25))
    parts = tuple(road_load(pair, grade, v, air_density_kg_m3=density) for v in speeds)
    curve = zip(pair.train.curve_rpm, pair.train.curve_torque_n_m, strict=True)
    strongest = max(rpm / RPM_PER_RAD_S * torque for rpm, torque in curve)
    factor = engine_power_factor(density / SEA_LEVEL_DENSITY_KG_M3, boosted=False)
    return RoadLoadView(
        speeds,
        parts,
        speed_m_s,
        road_load(pair, grade, speed_m_s, air_density_kg_m3=density),
        tuple(part.total_n * v for part, v in zip(parts, speeds, strict=True)),
        pair.train.driveline_efficiency,
        strongest * factor,
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


RULES = ("linear 3 %/1,000 ft", "compound 3 %/1,000 ft", "density ratio", "Gagg and Ferrar", "boosted")


class Altitude(NamedTuple):
    """Power kept by every rule."""

    heights_m: tuple[float, ...]
    kept: tuple[tuple[float, ...], ...]  # a row a rule
    here_m: float
    here: tuple[float, ...]
    used: int  # number of the rule this workbook uses for the engine chosen


def altitude(*, altitude_m: float, warmer_k: float, aspiration: str) -> Altitude:
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
        4 if aspiration == BOOSTED else 3,
    )


def _kept(altitude_m: float, warmer_k: float) -> tuple[float, ...]:
    ratio = (
        air_density_kg_m3(altitude_m, standard_temperature_k(altitude_m) - 273.15 + warmer_k)
        / SEA_LEVEL_DENSITY_KG_M3
    )
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
    natural = result.here[:4]
    return (
        f"At {show(result.here_m, 'height', system)} the rule used for this engine, {RULES[result.used]},"
        f" keeps {100 * result.here[result.used]:.1f} %; the four rules for a naturally aspirated engine lie"
        f" between {100 * min(natural):.1f} and {100 * max(natural):.1f} %, a boosted one keeps"
        f" {100 * result.here[4]:.1f} %. The two thumb rules do not know how warm the day is."
    )
