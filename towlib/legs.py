"""One way along the road, out or back: the rig turned into a pair for the physics, driven, and told by segment."""

import math
from typing import NamedTuple

from towlib.facts import Facts, NotKnown
from towlib.loads import tow_axles_kg, tow_total_kg, towed_total_kg
from towlib.physics.atmosphere import air_density_kg_m3, air_temperature_along_c
from towlib.physics.brakes import AxleBrakes
from towlib.physics.cooling import CoolingSystem
from towlib.physics.descent import descent_gear
from towlib.physics.journey import Journey, Pair, allowed_speeds_m_s, drive
from towlib.physics.powertrain import Powertrain, torque_from_peaks
from towlib.physics.road_load import GRAVITY_M_S2
from towlib.route import Route, Segment

DOWNGRADE = -0.03  # steeper than this the driver picks a gear and the descent speed
DESCENT_SHARE_OF_REDLINE = 0.8  # common practice, no source: leave some engine speed in hand on the way down
DRY_FRICTION = 0.7  # rubber sliding on dry concrete, OpenStax College Physics, module m42139
AUTOMATIC_LAUNCH_RPM, CLUTCH_LAUNCH_RPM = 1900.0, 1500.0  # from memory: converter stall, clutch slip
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


class Leg(NamedTuple):
    """The road driven one way."""

    way: str
    route: Route
    pair: Pair
    journey: Journey
    rows: tuple[SegmentRow, ...]
    air_c: list[float]
    air_density_kg_m3: list[float]
    target_m_s: list[float]  # what the driver wants at the end of each step
    descent_gear: list[int]  # 0 where no gear is held


def powertrain(facts: Facts) -> Powertrain:
    """The engine, gears and wheels of the tow vehicle; NotKnown when a needed figure is missing."""
    engine = "tow_vehicle.engine."
    idle, redline = facts.need(engine + "idle"), facts.need(engine + "redline")
    curve = facts.have(engine + "curve")
    if curve:
        speeds, torques = tuple(point.speed for point in curve), tuple(point.torque for point in curve)
    else:
        peaks = [facts.need(engine + name) for name in ("peak_torque", "peak_torque_at", "peak_power", "peak_power_at")]
        try:
            speeds, torques = torque_from_peaks(peaks[0], peaks[1], peak_power_w=peaks[2], peak_power_rpm=peaks[3], idle_rpm=idle,
                                                redline_rpm=redline)
        except ValueError as error:
            raise NotKnown(f"the engine's curve: {error}") from None
    automatic = facts.need("tow_vehicle.gearbox.kind") == "automatic"
    return Powertrain(
        curve_rpm=speeds, curve_torque_n_m=torques, displacement_m3=facts.need(engine + "displacement"), idle_rpm=idle,
        redline_rpm=redline, gear_ratios=facts.need("tow_vehicle.gearbox.ratios"),
        final_drive=facts.need("tow_vehicle.gearbox.final_drive"),
        rolling_radius_m=facts.need("tow_vehicle.rear_tyres.rolling_radius"),
        driveline_efficiency=facts.need("tow_vehicle.gearbox.efficiency"),
        boosted=facts.need(engine + "aspiration") == "boosted", automatic=automatic,
        stall_torque_ratio=facts.need("tow_vehicle.gearbox.stall_torque_ratio") if automatic else 1.0,
        launch_rpm=max(AUTOMATIC_LAUNCH_RPM if automatic else CLUTCH_LAUNCH_RPM, idle),
        lowest_pull_rpm=LOWEST_PULL_OVER_IDLE * idle, engine_braking_factor=facts.need(engine + "braking_factor"))


def _axle_brakes(facts: Facts, mass_path: str, area_path: str) -> AxleBrakes | None:
    mass = facts.have(mass_path)
    return AxleBrakes(mass, facts.need(area_path), facts.need("tow_vehicle.brakes.exposure")) if mass is not None else None


def pair_on_road(facts: Facts, way: str) -> Pair:
    """Both vehicles as one body, with the load of this way."""
    tow_kg, towed_kg = tow_total_kg(facts, way), towed_total_kg(facts, way)
    rolling = (tow_kg * facts.need("tow_vehicle.rolling_resistance") + towed_kg * facts.need("towed_vehicle.rolling_resistance"))
    braked = bool(facts.have("towed_vehicle.brakes_fitted"))
    towed_share = (facts.have("towed_vehicle.brake_share") or 0.0) if braked else 0.0
    front_share = facts.need("tow_vehicle.brakes.front_share") * (1.0 - towed_share)
    brakes = "tow_vehicle.brakes."
    cooling_w_k = facts.have("tow_vehicle.cooling.conductance")
    cooling = None
    if cooling_w_k is not None:
        cooling = CoolingSystem(cooling_w_k, facts.need("tow_vehicle.cooling.thermostat"), facts.need("tow_vehicle.cooling.heat_capacity"),
                                facts.need("tow_vehicle.cooling.heat_share"))
    return Pair(
        mass_kg=tow_kg + towed_kg, rolling_coefficient=rolling / (tow_kg + towed_kg),
        drag_area_m2=facts.need("tow_vehicle.drag_area") + facts.need("towed_vehicle.drag_area"), train=powertrain(facts),
        grip_n=DRY_FRICTION * _driven_load_n(facts, way),
        brakes=(_axle_brakes(facts, brakes + "front_heated_mass", brakes + "front_cooled_area"),
                _axle_brakes(facts, brakes + "rear_heated_mass", brakes + "rear_cooled_area"),
                _axle_brakes(facts, "towed_vehicle.brake_heated_mass", "towed_vehicle.brake_cooled_area") if towed_share else None),
        brake_shares=(front_share, 1.0 - towed_share - front_share, towed_share), cooling=cooling)


def _driven_load_n(facts: Facts, way: str) -> float:
    front_kg, rear_kg = tow_axles_kg(facts, way)
    driven = facts.need("tow_vehicle.driven_axles")
    return GRAVITY_M_S2 * {"front": front_kg, "rear": rear_kg, "both": front_kg + rear_kg}[driven]


def drive_leg(facts: Facts, route: Route, way: str) -> Leg:
    """Drive the road out as it lies, or back the other way with the load of coming home."""
    start_m = float(route.elevation_m[0])  # the air temperature is given for the start of the road out
    if way == "back":
        route = route.reversed()
    pair = pair_on_road(facts, way)
    step_m = float(route.distance_m[1] - route.distance_m[0])
    middle_m = 0.5 * (route.elevation_m[:-1] + route.elevation_m[1:])
    air = air_temperature_along_c(facts.need("conditions.air_temperature"), start_m, middle_m)
    density = air_density_kg_m3(middle_m, air)
    segments = route.segments()
    targets, gears = _driver(facts, pair, route, segments, density, step_m)
    journey = drive_as(pair, route, air.tolist(), density.tolist(), targets, gears)
    return Leg(way, route, pair, journey, tuple(_rows(segments, journey, step_m)), air.tolist(), density.tolist(), targets, gears)


def drive_as(pair: Pair, route: Route, air_c: list[float], air_density_kg_m3: list[float], target_m_s: list[float], descent_gear: list[int]) -> Journey:
    """The road driven with these speeds and gears; brakes start as warm as the air, the coolant at its thermostat."""
    return drive(pair, step_m=float(route.distance_m[1] - route.distance_m[0]), grade=route.grade.tolist(), target_m_s=target_m_s,
                 descent_gear=descent_gear, air_c=air_c, air_density_kg_m3=air_density_kg_m3, brake_start_c=(air_c[0],) * 3,
                 coolant_start_c=pair.cooling.thermostat_c if pair.cooling else math.nan)


def _driver(facts: Facts, pair: Pair, route: Route, segments: list[Segment], density, step_m: float) -> tuple[list[float], list[int]]:
    """Speed wanted at the end of each step, and the gear held on downgrades."""
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
        gear, _ = descent_gear(pair, segment.mean_grade, speed_m_s=speed, air_density_kg_m3=float(density[first]),
                               highest_rpm=DESCENT_SHARE_OF_REDLINE * pair.train.redline_rpm)
        gears[first:last] = [gear] * (last - first)
    return allowed_speeds_m_s(wanted, step_m=step_m), gears


def _rows(segments: list[Segment], journey: Journey, step_m: float):
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
            segment, (last - first) * step_m / time_s, gear, sum(rpm) / len(rpm), max(journey.rpm[first:last]),
            sum(journey.full_throttle[first:last]) / (last - first), front, rear,
            max(max(temperatures[:2]) for temperatures in journey.brake_c[first:last]), max(journey.coolant_c[first:last]), time_s,
            journey.fuel_m3[last - 1] - before_m3)


def highest_brake_c(leg: Leg, axle: int) -> float:
    """Highest temperature of the front (0), rear (1) or towed (2) brakes; NotKnown when the pair did not get through."""
    _whole_road(leg)
    return max(temperatures[axle] for temperatures in leg.journey.brake_c)


def highest_coolant_c(leg: Leg) -> float:
    """Highest coolant temperature on the road; NotKnown when the pair did not get through."""
    _whole_road(leg)
    return max(leg.journey.coolant_c)


def _whole_road(leg: Leg) -> None:
    if leg.journey.stopped_at_m is not None:
        raise NotKnown(f"the pair stops {leg.journey.stopped_at_m / 1000:.1f} km into the road {leg.way}")
