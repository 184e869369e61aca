"""The exercise of lesson 11."""

import math

from towlib.lessons.declare import Exercise, Given, Question
from towlib.lessons.judging import numbers
from towlib.physics.basics.road_load import uphill_power_w
from towlib.units import show

GRAVITY = 9.81


def power_for_height(seed: int, system: str) -> Given:
    """What the engine must give for height alone."""
    drawn = numbers(seed, mass_kg=(3500, 4500, 100), grade_percent=(5, 8, 1), speed_km_h=(50, 80, 5))
    mass, per_cent, speed = drawn["mass_kg"], drawn["grade_percent"], drawn["speed_km_h"] / 3.6
    watts = uphill_power_w(mass, per_cent / 100, speed_m_s=speed, gravity_m_s2=GRAVITY)
    traps = {
        "the speed went in as km/h; it must be m/s": watts * 3.6,
        "the grade in per cent was taken for degrees": (
            mass * GRAVITY * math.sin(math.radians(per_cent)) * speed
        ),
    }
    said = show(mass, "mass", system), show(speed, "speed", system)
    return Given(
        f"A pair of **{said[0]}** climbs **{per_cent:.0f} %** at a steady **{said[1]}**. How much power goes"
        f" into height alone? (Weight times sine of the road's angle times speed; g = {GRAVITY} m/s².)",
        (Question("", "power", watts, traps),),
        f"P = m · g · sin(atan G) · v, in kilograms and metres per second: {mass:.0f} · {GRAVITY} ·"
        f" {math.sin(math.atan(per_cent / 100)):.4f} · {speed:.2f} = {watts:,.0f} W, that is"
        f" **{show(watts, 'power', system)}**.",
    )


EXERCISES = (Exercise("What the engine must give", power_for_height),)
