"""A made-up rig and made-up roads of round numbers, so that a limit can be worked out beside it with pen and
paper.
"""

import numpy as np

from towlib.limits.decision import answer
from towlib.limits.legs import driver
from towlib.limits.limit import Limit, Rule
from towlib.plan.trip import rules_of
from towlib.rig.facts import Facts
from towlib.rig.model import Rig, read_rig_text
from towlib.road.route import Route

G = 9.80665
STEP_M = 25.0
RIG_TEXT = """
[tow_vehicle]
front_axle_empty = "1300 kg"
rear_axle_empty = "1000 kg"
wheelbase = "3.5 m"
ball_behind_rear_axle = "1.2 m"
cg_height = "0.7 m"
front_spring_rate = "100 kN/m"
rear_spring_rate = "80 kN/m"
drag_area = "1.4 m2"
rolling_resistance = 0.012
driven_axles = "rear"
turning_circle = "13 m"
fuel_tank = "10 L"
track = "1.6 m"
rear_side_stiffness = 1.0
rear_tyres.rolling_radius = "0.35 m"
engine.aspiration = "natural"
engine.displacement = "4 L"
engine.idle = "700 rpm"
engine.redline = "6000 rpm"
engine.braking_factor = 1.0
engine.curve = [{speed = "500 rpm", torque = "240 N m"}, {speed = "6000 rpm", torque = "240 N m"}]
gearbox.kind = "manual"
gearbox.ratios = [4.0, 2.0]
gearbox.final_drive = 4.0
gearbox.efficiency = "85 %"
gearbox.clutch_speed = "1500 rpm"
cooling.conductance = "1500 W/K"
cooling.thermostat = "80 degC"
cooling.heat_capacity = "120 kJ/K"
cooling.heat_share = "28 %"
cooling.highest_coolant = "115 degC"
brakes.front_heated_mass = "20 kg"
brakes.rear_heated_mass = "15 kg"
brakes.front_cooled_area = "0.5 m2"
brakes.rear_cooled_area = "0.4 m2"
brakes.front_share = "65 %"
brakes.exposure = "60 %"
brakes.deceleration_alone = "7 m/s2"
brakes.highest_front = "300 degC"
brakes.highest_rear = "280 degC"
[towed_vehicle]
front_axle_empty = "800 kg"
rear_axle_empty = "600 kg"
wheelbase = "2.4 m"
drag_area = "0.6 m2"
rolling_resistance = 0.016
bracket_height = "0.58 m"
bracket_ahead_of_front_axle = "0.5 m"
steering_lock = "33 deg"
track = "1.4 m"
rear_side_stiffness = 1.0
brakes_fitted = true
brake_share = "20 %"
brake_heated_mass = "12 kg"
brake_cooled_area = "0.3 m2"
highest_brake = "260 degC"
tyres.rolling_radius = "0.34 m"
[towed_vehicle.driveline]
transfer_case = "part-time"
transfer_case_position = "neutral"
gearbox = "manual"
gearbox_position = "in gear"
front_hubs = "free"
front_shaft_in = true
rear_shaft_in = true
front_final_drive = 4.1
rear_final_drive = 4.1
four_wheel_towing_allowed = true
oil_confirmed = true
highest_towing_speed = "100 km/h"
longest_towing_distance = "300 km"
steering_is_free = true
[hitch]
receiver_height = "0.50 m"
ball_mount_change = "0.05 m"
[tow_bar]
length = "1.5 m"
mass = "20 kg"
greatest_swing = "70 deg"
[safety_chains]
greatest_articulation = "60 deg"
[lights]
seen_working = true
stop_current = "4 A"
turn_current = "2 A"
tow_side_current = "7.5 A"
[battery]
capacity = "60 Ah"
rated_hours = "20 h"
kind = "flooded"
cold_cranking = "500 A"
engine_current = "150 A"
age_years = 2
key_on_current = "2 A"
feed_current = "0 A"
coldest = "0 degC"
hours_a_day = "6 h"
[conditions]
air_temperature = "25 degC"
cruise_speed = "72 km/h"
descent_speed = "54 km/h"
lowest_climb_speed = "54 km/h"
tightest_turn = "17 m"
damping_asked = "30 %"
[[load]]
name = "two people"
mass = "100 kg"
behind_front_axle = "1.5 m"
[[load]]
name = "water, used up"
mass = "200 kg"
behind_front_axle = "3.0 m"
way = "out"
[[load]]
name = "spare parts"
mass = "50 kg"
vehicle = "towed"
behind_front_axle = "2.0 m"
[[load]]
name = "wood brought home"
mass = "150 kg"
vehicle = "towed"
behind_front_axle = "1.6 m"
way = "back"
"""
RIG = read_rig_text(RIG_TEXT)
# by hand, kg: empty, people, water one way, and half of the bar
TOW_KG = {"out": 2300 + 100 + 200 + 10, "back": 2300 + 100 + 10}
TOWED_KG = {"out": 1400 + 50 + 10, "back": 1400 + 50 + 150 + 10}
PAIR_KG = {way: TOW_KG[way] + TOWED_KG[way] for way in TOW_KG}
# moments about the tow vehicle's front axle: 1.5 m, 3.0 m, and the ball 4.7 m behind it
TOW_REAR_KG = {
    "out": 1000 + (100 * 1.5 + 200 * 3.0 + 10 * 4.7) / 3.5,
    "back": 1000 + (100 * 1.5 + 10 * 4.7) / 3.5,
}
TOW_FRONT_KG = {way: TOW_KG[way] - TOW_REAR_KG[way] for way in TOW_KG}


def rolling(way: str) -> float:
    """Rolling coefficient of the pair: each vehicle's own, by weight."""
    return (0.012 * TOW_KG[way] + 0.016 * TOWED_KG[way]) / PAIR_KG[way]


def road(*stretches: tuple[float, ...], limit_kmh: float = 90.0, start_m: float = 300.0) -> Route:
    """A road of stretches (length in m, grade, and its own speed limit in km/h where it has one)."""
    grades: list[float] = []
    limits: list[float] = []
    for length_m, grade, *limit in stretches:
        count = round(length_m / STEP_M)
        grades += [grade] * count
        limits += [(limit[0] if limit else limit_kmh) / 3.6] * count
    grade = np.array(grades)
    elevation = start_m + np.concatenate(([0.0], np.cumsum(grade * STEP_M)))
    return Route("made", "made.csv", STEP_M * np.arange(len(grade) + 1), elevation, grade, np.array(limits))


def rules(rig: Rig, route: Route) -> tuple[Facts, dict[str, Rule]]:
    """Every rule of a rig on a road, by its key, and the facts to ask it with."""
    facts = Facts(rig)
    return facts, {rule.key: rule for rule in rules_of(facts, route, driver(route))}


def limit(rig: Rig, key: str, route: Route) -> Limit:
    """One limit, answered."""
    facts, found = rules(rig, route)
    return answer(found[key], facts)


def isa_density(height_m: float, air_c: float) -> float:
    """Air density at a height, U.S. Standard Atmosphere 1976: pressure by height, density by the gas law."""
    h = 6356766 * height_m / (6356766 + height_m)
    pressure = 101325 * (1 - 0.0065 * h / 288.15) ** (9.80665 / (287.05287 * 0.0065))
    return pressure / (287.05287 * (air_c + 273.15))


def gagg_ferrar(density: float) -> float:
    """Share of sea-level power of an engine without a turbocharger (Gagg and Ferrar 1934)."""
    s = density / 1.225
    return s - (1 - s) / 7.55
