"""The exercise of the first notebook."""

from towlib.lessons.declare import Exercise, Given, Question
from towlib.lessons.judging import numbers
from towlib.units import show, to_si


def pounds_on_a_scale(seed: int, system: str) -> Given:
    """What a reading in pounds is in kilograms."""
    reading = numbers(seed, scale_lb=(2000, 4000, 20))["scale_lb"]
    mass = to_si(f"{reading:.0f} lb", "mass")
    traps = {
        "multiplied by 2.205 instead of divided: a kilogram is the larger unit, so there are fewer of them": (
            to_si(f"{reading * 2.20462:.6f} kg", "mass")
        )
    }
    return Given(
        f"A weighbridge shows **{reading:,.0f} lb** under the front axle. What is that in kilograms?",
        (Question("", "mass", mass, traps),),
        f"One pound is 0.45359237 kg: multiply. {reading:,.0f} · 0.45359237 = **{show(mass, 'mass')}**.",
    )


EXERCISES = (Exercise("Pounds on a scale", pounds_on_a_scale),)
