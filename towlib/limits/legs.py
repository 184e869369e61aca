"""One way along the road, out or back: the rig turned into a pair for the physics, driven, and told by
segment.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, NamedTuple

from towlib.limits.loads import own_brake_share, tow_axles_kg, tow_total_kg, towed_total_kg
from towlib.physics.basics.atmosphere import air_density_kg_m3, air_temperature_along_c
from towlib.physics.basics.road_load import GRAVITY_M_S2
from towlib.physics.brakes.brake_heat import AxleBrakes
from towlib.physics.drive.cooling import CoolingSystem
from towlib.physics.drive.descent import descent_gear
from towlib.physics.drive.journey import Driven, Journey, Motion, Pair, allowed_speeds_m_s, move
from towlib.physics.drive.powertrain import (
    SEA_LEVEL_DENSITY_KG_M3,
    Powertrain,
    engine_power_factor,
    torque_from_peaks,
)
from towlib.physics.drive.traction import gear_curve, operating_point
from towlib.rig.facts import Facts, NotKnown
from towlib.road.route import Route, Segment

DOWNGRADE = -0.03  # steeper than this the driver picks a gear and the descent speed
DESCENT_SHARE_OF_REDLINE = 0.8  # common practice, no source: leave some engine speed in hand on the way down
CLIMB = 0.02  # segments steeper than this count as climbs
FASTEST_M_S = 45.0  # up to which a steady speed on a climb is looked for
DRY_FRICTION = 0.7  # rubber sliding on dry concrete, OpenStax College Physics, module m42139
AUTOMATIC_LAUNCH_RPM = 1900.0  # from memory: converter stall
LOWEST_PULL_OVER_IDLE = 1.8  # from memory: below this an engine labours


class SegmentRow(NamedTuple):
    """A stretch of road as driven."""

    segment: Segment
    speed_m_s: float  # mean
    gear: int
    rpm: float  # at the mean
    highest_rpm: float
    full_throttle_share: float
    front_brake_c: float  # at the end; nan where not known
    rear_brake_c: float
    highest_brake_c: float
    coolant_c: float  # highest on the stretch; nan where not known
    time_s: float
    fuel_m3: float


@dataclass(frozen=True)
class Leg:
    """The road one way; it is driven when something asks how the drive went."""

    way: str
    route: Route
    pair: Pair
    air_c: list[float]
    air_density_kg_m3: list[float]
    target_m_s: list[float]  # what the driver wants at the end of each step
    descent_gear: list[int]  # 0 where no gear is held
    # the first with a pair that moves alike in the same air; a changed copy has none
    first: "Leg | None" = field(default=None, init=False, repr=False, compare=False)

    @cached_property
    def moved(self) -> Motion:
        """How the pair moves along the road."""
        begun = None
        if self.first and self.first is not self:
            same, first = self._same_as(self.first), self.first.moved
            if same == len(self.target_m_s):
                return first
            begun = first.before(same)
        return move(
            self.pair,
            step_m=self.route.step_m,
            grade=self.route.grade.tolist(),
            target_m_s=self.target_m_s,
            descent_gear=self.descent_gear,
            air_density_kg_m3=self.air_density_kg_m3,
            begun=begun,
        )

    def _same_as(self, other: "Leg") -> int:
        """On how many steps, from the start, the driver wants the same as on another leg."""
        wanted = zip(self.target_m_s, other.target_m_s, self.descent_gear, other.descent_gear, strict=True)
        pairs = enumerate(wanted)
        return next((i for i, (a, b, c, d) in pairs if a != b or c != d), len(self.target_m_s))

    @cached_property
    def driven(self) -> Driven:
        """The road as driven; brakes start as warm as the air, the coolant at its thermostat."""
        first = self.first
        if first and first is not self and first.pair == self.pair and first.moved is self.moved:
            return first.driven
        return Driven(
            self.pair,
            self.moved,
            self.route.step_m,
            self.route.grade.tolist(),
            self.air_c,
            self.air_density_kg_m3,
            (self.air_c[0],) * 3,
            self.pair.cooling.thermostat_c if self.pair.cooling else math.nan,
        )

    @cached_property
    def journey(self) -> Journey:
        """The road as driven, step by step."""
        return self.driven.journey

    @cached_property
    def rows(self) -> tuple[SegmentRow, ...]:
        """The road as driven, by stretches."""
        return tuple(_rows(self.route.segments(), self.journey, self.route.step_m))

    def highest_brake_c(self, axle: int) -> float:
        """Highest temperature of the front (0), rear (1) or towed (2) brakes; NotKnown when the pair did not
        get through.
        """
        self._whole_road()
        return max(self.driven.brake_c(axle))

    def highest_coolant_c(self) -> float:
        """Highest coolant temperature on the road; NotKnown when the pair did not get through."""
        self._whole_road()
        return max(self.driven.coolant_c)

    def fuel_m3(self) -> float:
        """Fuel for the road; NotKnown when the pair did not get through."""
        self._whole_road()
        return self.driven.fuel_m3[-1]

    @cached_property
    def climbs_driven(self) -> tuple["SteadyClimb", ...]:
        """Every climb at its steady speed."""
        if self.first and self.first is not self:
            return self.first.climbs_driven
        train = self.pair.train
        curves = [gear_curve(train, gear + 1) for gear in range(len(train.gear_ratios))]
        points = [
            (
                operating_point(
                    self.pair,
                    climb_grade(segment),
                    wanted_m_s=FASTEST_M_S,
                    power_factor=factor,
                    air_density_kg_m3=density,
                    curves=curves,
                ),
                segment,
            )
            for segment, density, factor in self.climbs()
        ]
        return tuple(
            SteadyClimb(
                point.speed_m_s if point else 0.0,
                point.gear if point else 1,
                segment.speed_limit_m_s,
                segment,
            )
            for point, segment in points
        )

    def hardest_climb(self, wanted_m_s: float) -> tuple[float, float]:
        """The speed asked and the steady speed of the climb that has least of what is asked there: the lowest
        speed accepted, or the road's limit where that is lower. A way without a climb asks nothing.
        """
        asked = [
            (
                wanted_m_s if math.isnan(climb.speed_limit_m_s) else min(wanted_m_s, climb.speed_limit_m_s),
                climb.speed_m_s,
            )
            for climb in self.climbs_driven
        ]
        return max(
            asked, key=lambda each: each[0] / each[1] if each[1] > 0 else math.inf, default=(0.0, FASTEST_M_S)
        )

    def climbs(self) -> list[tuple[Segment, float, float]]:
        """Every climb with the air density and the share of engine power at its top."""
        return [
            (segment, *air_at(self, top_step(self.route, segment)))
            for segment in self.route.segments()
            if segment.mean_grade >= CLIMB
        ]

    def _whole_road(self) -> None:
        stopped_m = self.driven.stopped_at_m
        if stopped_m is not None:
            raise NotKnown(f"the pair stops {stopped_m / 1000:.1f} km into the road {self.way}")


class SteadyClimb(NamedTuple):
    """Steady speed on the steepest part of a climb."""

    speed_m_s: float
    gear: int
    speed_limit_m_s: float  # nan where the road has none
    segment: Segment


def climb_grade(segment: Segment) -> float:
    """The grade a climb is judged by: the steepest 200 m of the segment."""
    return max(segment.mean_grade, segment.steepest_200m_grade)


def top_step(route: Route, segment: Segment) -> int:
    """Number of the grid step at the end of a segment."""
    return max(0, min(len(route.grade), round(segment.end_m / route.distance_m[1])) - 1)


def steepest_pitch(route: Route) -> tuple[float, int]:
    """Grade and number of the steepest step of the road: 25 m, or as far as the road file resolves it."""
    step = int(route.grade.argmax())
    return float(route.grade[step]), step


def air_at(leg: Any, step: int) -> tuple[float, float]:
    """Air density on a step of the road and the share of engine power left there."""
    density = leg.air_density_kg_m3[step]
    return density, engine_power_factor(density / SEA_LEVEL_DENSITY_KG_M3, boosted=leg.pair.train.boosted)


# shaft speeds in rpm, full-throttle torques in N·m: floats, or Cases
Curve = tuple[tuple[Any, ...], tuple[Any, ...]]


def engine_curve(facts: Facts) -> Curve:
    """The engine's full-throttle curve, measured or through its peaks; NotKnown when a needed figure is
    missing.
    """
    engine = "tow_vehicle.engine."
    curve = facts.have(engine + "curve")
    if curve:
        return tuple(point.speed for point in curve), tuple(point.torque for point in curve)
    torque, torque_at, power, power_at = (
        facts.need(engine + name) for name in ("peak_torque", "peak_torque_at", "peak_power", "peak_power_at")
    )
    try:
        return torque_from_peaks(
            torque,
            torque_at,
            peak_power_w=power,
            peak_power_rpm=power_at,
            idle_rpm=facts.need(engine + "idle"),
            redline_rpm=facts.need(engine + "redline"),
        )
    except ValueError as error:
        raise NotKnown(f"the engine's curve: {error}") from None


def powertrain(facts: Facts, curve: Curve | None = None) -> Powertrain:
    """The engine, gears and wheels of the tow vehicle; NotKnown when a needed figure is missing."""
    engine = "tow_vehicle.engine."
    idle, redline = facts.need(engine + "idle"), facts.need(engine + "redline")
    speeds, torques = curve or engine_curve(facts)
    automatic = facts.need("tow_vehicle.gearbox.kind") == "automatic"
    return Powertrain(
        curve_rpm=speeds,
        curve_torque_n_m=torques,
        displacement_m3=facts.need(engine + "displacement"),
        idle_rpm=idle,
        redline_rpm=redline,
        gear_ratios=facts.need("tow_vehicle.gearbox.ratios"),
        final_drive=facts.need("tow_vehicle.gearbox.final_drive"),
        rolling_radius_m=facts.need("tow_vehicle.rear_tyres.rolling_radius"),
        driveline_efficiency=facts.need("tow_vehicle.gearbox.efficiency"),
        boosted=facts.need(engine + "aspiration") == "boosted",
        automatic=automatic,
        stall_torque_ratio=facts.need("tow_vehicle.gearbox.stall_torque_ratio") if automatic else 1.0,
        launch_rpm=max(
            AUTOMATIC_LAUNCH_RPM if automatic else facts.need("tow_vehicle.gearbox.clutch_speed"), idle
        ),
        lowest_pull_rpm=LOWEST_PULL_OVER_IDLE * idle,
        engine_braking_factor=facts.need(engine + "braking_factor"),
    )


def _axle_brakes(facts: Facts, mass_path: str, area_path: str) -> AxleBrakes | None:
    mass = facts.have(mass_path)
    return (
        AxleBrakes(mass, facts.need(area_path), facts.need("tow_vehicle.brakes.exposure"))
        if mass is not None
        else None
    )


def pair_on_road(facts: Facts, way: str, curve: Curve | None = None) -> Pair:
    """Both vehicles as one body, with the load of this way; another engine curve may be given."""
    tow_kg, towed_kg = tow_total_kg(facts, way), towed_total_kg(facts, way)
    rolling = tow_kg * facts.need("tow_vehicle.rolling_resistance") + towed_kg * facts.need(
        "towed_vehicle.rolling_resistance"
    )
    towed_share = own_brake_share(facts, if_not_said=0.0)
    front_share = facts.need("tow_vehicle.brakes.front_share") * (1.0 - towed_share)
    brakes = "tow_vehicle.brakes."
    cooling_w_k = facts.have("tow_vehicle.cooling.conductance")
    cooling = None
    if cooling_w_k is not None:
        cooling = CoolingSystem(
            cooling_w_k,
            facts.need("tow_vehicle.cooling.thermostat"),
            facts.need("tow_vehicle.cooling.heat_capacity"),
            facts.need("tow_vehicle.cooling.heat_share"),
        )
    return Pair(
        mass_kg=tow_kg + towed_kg,
        rolling_coefficient=rolling / (tow_kg + towed_kg),
        drag_area_m2=facts.need("tow_vehicle.drag_area") + facts.need("towed_vehicle.drag_area"),
        train=powertrain(facts, curve),
        grip_n=DRY_FRICTION * _driven_load_n(facts, way),
        brakes=(
            _axle_brakes(facts, brakes + "front_heated_mass", brakes + "front_cooled_area"),
            _axle_brakes(facts, brakes + "rear_heated_mass", brakes + "rear_cooled_area"),
            (
                _axle_brakes(facts, "towed_vehicle.brake_heated_mass", "towed_vehicle.brake_cooled_area")
                if towed_share
                else None
            ),
        ),
        brake_shares=(front_share, 1.0 - towed_share - front_share, towed_share),
        cooling=cooling,
    )


def _driven_load_n(facts: Facts, way: str) -> float:
    front_kg, rear_kg = tow_axles_kg(facts, way)
    driven = facts.need("tow_vehicle.driven_axles")
    return GRAVITY_M_S2 * {"front": front_kg, "rear": rear_kg, "both": front_kg + rear_kg}[driven]


# what the driver reads off road and speedometer: these alone change speeds wanted and gears held
DRIVERS_OWN = ("conditions.cruise_speed", "conditions.descent_speed")
Drive = Callable[[Facts, str], Leg]


def drive_leg(facts: Facts, route: Route, way: str, *, as_planned: Leg | None = None) -> Leg:
    """The road out as it lies, or back the other way with the load of coming home; with the speeds and gears
    of another plan of this way, where one is given.
    """
    start_m = float(route.elevation_m[0])  # the air temperature is given for the start of the road out
    if way == "back":
        route = route.reversed()
    pair = pair_on_road(facts, way)
    start_c = facts.need("conditions.air_temperature")
    air_c, density_kg_m3 = facts.alike(("air", route, start_c), lambda: _air_along(route, start_c, start_m))
    if as_planned:
        for path in DRIVERS_OWN:  # they count as read here too
            facts.need(path)
        targets, gears = as_planned.target_m_s, as_planned.descent_gear
    else:
        targets, gears = _driver(facts, pair, route, density_kg_m3)
    leg = Leg(way, route, pair, air_c, density_kg_m3, targets, gears)
    return sharing_motion(facts, leg, ("leg", route, start_c))


def sharing_motion(facts: Facts, leg: Leg, about: tuple[Any, ...]) -> Leg:
    """The leg, which takes its motion from the first about the same whose pair moves alike: neither heat nor
    what the brakes are made of acts on how a pair moves.
    """
    moving = leg.pair._replace(brakes=(), brake_shares=(), cooling=None)
    object.__setattr__(leg, "first", facts.alike((*about, moving), lambda: leg))
    return leg


def _air_along(route: Route, start_c: float, start_m: float) -> tuple[list[float], list[float]]:
    """Temperature and density of the air on every step."""
    middle_m = 0.5 * (route.elevation_m[:-1] + route.elevation_m[1:])
    air_c = air_temperature_along_c(start_c, start_m, middle_m)
    return air_c.tolist(), air_density_kg_m3(middle_m, air_c).tolist()


def driver(route: Route) -> Drive:
    """Legs of a road, each driven once for the facts that ask; with other values than the plan's, the driver
    still keeps to the speeds and gears of the plan.
    """

    def leg(facts: Facts, way: str) -> Leg:
        return facts.once(
            ("leg", id(route), way), lambda: drive_leg(facts, route, way, as_planned=planned(facts, way))
        )

    def planned(facts: Facts, way: str) -> Leg | None:
        plan = facts.planned
        return leg(plan, way) if plan and facts.changed.isdisjoint(DRIVERS_OWN) else None

    return leg


def drive_as(
    pair: Pair,
    route: Route,
    air_c: list[float],
    air_density_kg_m3: list[float],
    target_m_s: list[float],
    descent_gear: list[int],
) -> Journey:
    """The road driven with these speeds and gears; brakes start as warm as the air, the coolant at its
    thermostat.
    """
    way = ""  # of no matter
    return Leg(way, route, pair, air_c, air_density_kg_m3, target_m_s, descent_gear).journey


def _driver(
    facts: Facts, pair: Pair, route: Route, density_kg_m3: list[float]
) -> tuple[list[float], list[int]]:
    """Speed wanted at the end of each step, and the gear held on downgrades."""
    step_m, segments = route.step_m, route.segments()
    cruise, descending = facts.need("conditions.cruise_speed"), facts.need("conditions.descent_speed")
    wanted, gears = [], []
    for limit in route.speed_limit_m_s.tolist():
        wanted.append(cruise if math.isnan(limit) else min(cruise, limit))
    gears = [0] * len(route.grade)
    for segment in segments:
        first, last = (round(end / step_m) for end in (segment.start_m, segment.end_m))
        if segment.mean_grade > DOWNGRADE:
            continue
        for i in range(first, last):
            wanted[i] = min(wanted[i], descending)
        speed = min(wanted[first:last])
        gear, _ = descent_gear(
            pair,
            segment.mean_grade,
            speed_m_s=speed,
            air_density_kg_m3=density_kg_m3[first],
            highest_rpm=DESCENT_SHARE_OF_REDLINE * pair.train.redline_rpm,
        )
        gears[first:last] = [gear] * (last - first)
    return allowed_speeds_m_s(wanted, step_m=step_m), gears


def _rows(segments: Sequence[Segment], journey: Journey, step_m: float):
    driven = len(journey.speed_m_s)
    for segment in segments:
        first, last = round(segment.start_m / step_m), min(round(segment.end_m / step_m), driven)
        if first >= last:
            return
        before_s, before_m3 = (journey.time_s[first - 1], journey.fuel_m3[first - 1]) if first else (0.0, 0.0)
        time_s = journey.time_s[last - 1] - before_s
        gears = journey.gear[first:last]
        gear = max(set(gears), key=gears.count)
        rpm = [r for r, g in zip(journey.rpm[first:last], gears, strict=True) if g == gear]
        front, rear, _ = journey.brake_c[last - 1]
        yield SegmentRow(
            segment,
            (last - first) * step_m / time_s,
            gear,
            sum(rpm) / len(rpm),
            max(journey.rpm[first:last]),
            sum(journey.full_throttle[first:last]) / (last - first),
            front,
            rear,
            max(max(temperatures[:2]) for temperatures in journey.brake_c[first:last]),
            max(journey.coolant_c[first:last]),
            time_s,
            journey.fuel_m3[last - 1] - before_m3,
        )
