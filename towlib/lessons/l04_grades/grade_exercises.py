"""Exercises of lesson 04."""

import math

from towlib.lessons.declare import Exercise, Given, Question
from towlib.lessons.judging import numbers
from towlib.physics.drive.cooling import CoolingSystem
from towlib.physics.drive.cooling_stops import cooling_stop_s
from towlib.units import show

GRAVITY_M_S2, ROLLING, AIR_N, EFFICIENCY = 9.81, 0.013, 550.0, 0.85


def engine_power_asked(seed: int, system: str) -> Given:
    """What the engine must give on a climb."""
    drawn = numbers(seed, mass_kg=(3600, 4600, 100), grade_percent=(5, 8, 1), speed_km_h=(60, 80, 5))
    mass, grade, speed = drawn["mass_kg"], drawn["grade_percent"] / 100, drawn["speed_km_h"] / 3.6
    weight = mass * GRAVITY_M_S2

    def watts(theta: float) -> float:
        force = weight * (math.sin(theta) + ROLLING * math.cos(theta)) + AIR_N
        return force * speed / EFFICIENCY

    theta = math.atan(grade)
    asked = watts(theta)
    traps = {
        "that is the power at the wheels; the engine must also feed the driveline": asked * EFFICIENCY,
        "the efficiency was multiplied; what the driveline eats comes on top": asked * EFFICIENCY**2,
        "the speed went in as km/h; it must be m/s": asked * 3.6,
        "tyres and air were left out": weight * math.sin(theta) * speed / EFFICIENCY,
        "the grade in per cent was taken for degrees": watts(math.radians(100 * grade)),
    }
    force = asked * EFFICIENCY / speed
    in_us = f", that is {show(asked, 'power', 'us')}" if system == "us" else ""
    return Given(
        f"A pair of **{show(mass, 'mass', system, 4)}** climbs **{show(grade, 'grade', system)}** at"
        f" **{show(speed, 'speed', system, 4)}**. Count the grade, the tyres (*C_r* = {ROLLING}), the air"
        f" (take {show(AIR_N, 'force', system, 4)}) and the driveline's efficiency of"
        f" {show(EFFICIENCY, 'share')}; g = {GRAVITY_M_S2} m/s². What power must the engine give?",
        (Question("", "power", asked, traps),),
        f"The angle is θ = atan {grade:.2f}. In SI units: force = {mass:,.0f} kg · {GRAVITY_M_S2} · (sin θ +"
        f" {ROLLING} · cos θ) + {AIR_N:.0f} N = {force:,.0f} N. Power at the wheels is force × speed,"
        f" {force:,.0f} N · {speed:.2f} m/s = {force * speed / 1000:.1f} kW; at the engine it is divided by"
        f" {EFFICIENCY}: **{asked / 1000:.1f} kW{in_us}**.",
    )


FAN_W_K, STANDING_SHARE, HEAT_CAPACITY_J_K, IDLE_W, GO_ON_C = 600.0, 0.4, 120e3, 2400.0, 95.0


def standing_to_cool(seed: int, system: str) -> Given:
    """How long the pair must stand with the engine idling."""
    drawn = numbers(seed, hot_c=(112, 120, 1), air_c=(25, 40, 1))
    hot, air = drawn["hot_c"], drawn["air_c"]
    cooling = CoolingSystem(FAN_W_K / STANDING_SHARE, 90.0, HEAT_CAPACITY_J_K)
    seconds = cooling_stop_s(cooling, hot, GO_ON_C, heat_w=IDLE_W, air_c=air, air_density_kg_m3=1.225)
    settled, constant_s = air + IDLE_W / FAN_W_K, HEAT_CAPACITY_J_K / FAN_W_K
    traps = {
        "the heat of the idling engine was left out": constant_s * math.log((hot - air) / (GO_ON_C - air)),
        "temperatures were not counted from where it settles": constant_s * math.log(hot / GO_ON_C),
        "the heat was taken away at its first rate; it slows as the coolant comes nearer to the air": (
            constant_s * (hot - GO_ON_C) / (hot - settled)
        ),
    }

    def degrees(celsius: float) -> str:
        return show(celsius, "temperature", system, 4)

    begins = "Counted in °C, it would" if system == "us" else "It would"
    return Given(
        f"The pair halts with the coolant at **{degrees(hot)}**; the air has **{degrees(air)}**. The fan"
        f" alone leaves UA = {FAN_W_K:.0f} W/K at sea level, engine and water hold"
        f" {HEAT_CAPACITY_J_K / 1e3:.0f} kJ/K, and the idling engine adds {IDLE_W / 1e3} kW. How long until"
        f" the coolant is down to {degrees(GO_ON_C)}?",
        (Question("", "time", seconds, traps),),
        f"{begins} settle at T_s = T_air + {IDLE_W:,.0f}/{FAN_W_K:.0f} = {air:.0f} + {settled - air:.0f} ="
        f" {settled:.0f} °C. Then t = C/UA · ln((T − T_s)/(T_wanted − T_s)) with C/UA ="
        f" {HEAT_CAPACITY_J_K:,.0f}/{FAN_W_K:.0f} = {constant_s:.0f} s: {constant_s:.0f} s ·"
        f" ln({hot - settled:.0f}/{GO_ON_C - settled:.0f}) = {seconds:.1f} s ="
        f" **{show(seconds, 'time', system)}**.",
    )


EXERCISES = (
    Exercise("What must the engine give?", engine_power_asked),
    Exercise("How long must it stand?", standing_to_cool),
)
