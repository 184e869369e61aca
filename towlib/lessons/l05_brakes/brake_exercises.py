"""Exercises of lesson 05."""

from math import radians, tan

from towlib.lessons.declare import Exercise, Given, Question
from towlib.lessons.judging import numbers
from towlib.physics.basics.road_load import grade_force_n, rolling_force_n
from towlib.physics.brakes.stopping import pair_deceleration_m_s2, stopping_distance_m
from towlib.units import number, show

ROLLING, ALONE_M_S2, REACTION_S = 0.013, 7.0, 1.5


def brake_power(seed: int, system: str) -> Given:
    """What the brakes take when engine, air and tyres have taken their part."""
    drawn = numbers(
        seed,
        mass_kg=(3600, 4400, 100),
        grade_percent=(6, 9, 1),
        speed_km_h=(40, 60, 5),
        engine_n=(600, 1200, 100),
        air_n=(150, 300, 50),
    )
    mass, per_cent, engine, air = (drawn[name] for name in ("mass_kg", "grade_percent", "engine_n", "air_n"))
    grade, speed = per_cent / 100, drawn["speed_km_h"] / 3.6

    def steep_n(slope: float) -> float:
        return grade_force_n(mass, slope) - rolling_force_n(mass, slope, rolling_coefficient=ROLLING)

    brakes_n = steep_n(grade) - engine - air
    right = brakes_n * speed
    traps = {
        "the speed went in as km/h; it must be m/s": right * 3.6,
        "the grade in per cent was taken for degrees": (steep_n(tan(radians(per_cent))) - engine - air)
        * speed,
        "the air was left out: it holds back too": right + air * speed,
        "the tyres were left out: they hold back too": right
        + rolling_force_n(mass, grade, rolling_coefficient=ROLLING) * speed,
        "that is what engine, air and brakes take together": steep_n(grade) * speed,
        "the engine was left out: it takes its part first": right + engine * speed,
    }

    def force(value: float) -> str:
        return show(value, "force", system)

    return Given(
        f"A pair of **{show(mass, 'mass', system)}** goes down **{per_cent:.0f} %** at a steady"
        f" **{show(speed, 'speed', system)}**. The engine holds back with **{force(engine)}**, the air with"
        f" **{force(air)}**; the rolling coefficient is {ROLLING}. How much power do the brakes take? (g ="
        " 9.80665 m/s²; the sine of the road's angle for the grade, its cosine for the tyres.)",
        (Question("", "power", right, traps),),
        "F_brakes = m·g·sin θ − 0.013·m·g·cos θ − F_engine − F_air:"
        f" {force(grade_force_n(mass, grade))} −"
        f" {force(rolling_force_n(mass, grade, rolling_coefficient=ROLLING))} − {force(engine)} −"
        f" {force(air)} = {force(brakes_n)}. P = F·v with v in metres a second: {number(brakes_n, 4)} N ·"
        f" {speed:.2f} m/s = **{show(right, 'power', system)}**.",
    )


def stop_with_a_tow(seed: int, system: str) -> Given:
    """How far a pair without brakes behind needs on a downgrade."""
    drawn = numbers(
        seed,
        tow_kg=(2200, 2800, 100),
        towed_kg=(1300, 1800, 100),
        grade_percent=(5, 9, 1),
        speed_km_h=(40, 70, 5),
    )
    tow, towed, per_cent = drawn["tow_kg"], drawn["towed_kg"], drawn["grade_percent"]
    speed, slope = drawn["speed_km_h"] / 3.6, -per_cent / 100

    def slows(grade: float) -> float:
        return pair_deceleration_m_s2(
            tow_mass_kg=tow, towed_mass_kg=towed, tow_deceleration_m_s2=ALONE_M_S2, grade=grade
        )

    def far(deceleration: float, v: float = speed, reaction_s: float = REACTION_S) -> float:
        return stopping_distance_m(v, deceleration_m_s2=deceleration, reaction_s=reaction_s)

    down = slows(slope)
    right = far(down)
    traps = {
        "the reaction was left out": far(down, reaction_s=0.0),
        "the sign of the grade is wrong: going down it takes away, going up it would help": far(
            slows(-slope)
        ),
        "the grade in per cent was taken for degrees": far(slows(-tan(radians(per_cent)))),
        "the speed went in as km/h; it must be m/s": far(down, drawn["speed_km_h"]),
        "the grade was left out: going down it takes away g times its sine": far(slows(0.0)),
        "the towed vehicle was left out: the same brakes must stop both": far(ALONE_M_S2),
    }
    return Given(
        f"A tow vehicle of **{show(tow, 'mass', system)}** reaches {show(ALONE_M_S2, 'acceleration', system)}"
        f" alone on the level. Behind it is a vehicle of **{show(towed, 'mass', system)}** without brakes, on"
        f" a downgrade of **{per_cent:.0f} %**, at **{show(speed, 'speed', system)}**. How long is the stop"
        f" from seeing to standing, with {REACTION_S} s to react?",
        (Question("", "length", right, traps),),
        f"a = {show(ALONE_M_S2, 'acceleration', system)} · {show(tow, 'mass', system)} /"
        f" {show(tow + towed, 'mass', system)} − g·sin θ = {show(down, 'acceleration', system)}, then d ="
        f" v·{REACTION_S} s + v²/(2a) = **{show(right, 'length', system)}**.",
    )


EXERCISES = (
    Exercise("The power left for the brakes", brake_power),
    Exercise("How long is the stop?", stop_with_a_tow),
)
