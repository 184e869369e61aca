"""Exercises of lesson 01."""

from towlib.lessons.declare import Exercise, Given, Question
from towlib.lessons.judging import numbers
from towlib.physics.weights.axle_loads import addable_mass
from towlib.units import show


def spare_wheel(seed: int, system: str) -> Given:
    """What a wheel behind the tailgate adds to the rear axle."""
    drawn = numbers(seed, mass_kg=(25, 60, 5), wheelbase_m=(2.9, 3.7, 0.1), behind_m=(0.8, 1.3, 0.1))
    mass, wheelbase, behind = drawn["mass_kg"], drawn["wheelbase_m"], drawn["behind_m"]
    gain = mass * (1 + behind / wheelbase)
    traps = {
        "that is the wheel's own mass; behind the rear axle the lever makes it more": mass,
        "the lever was turned round: the wheel hangs behind the rear axle, not between the axles": (
            mass * (1 - behind / wheelbase)
        ),
    }
    ours, lost = show(gain, "mass", system), show(gain - mass, "mass", system)
    return Given(
        f"A spare wheel of **{show(mass, 'mass', system)}** hangs **{show(behind, 'length', system)}** behind"
        f" the rear axle; the wheelbase is **{show(wheelbase, 'length', system)}**. How much does the *rear*"
        " axle gain?",
        (Question("", "mass", gain, traps),),
        "The rear axle gains m · (L + o) / L = m · (1 + o / L), more than the wheel weighs, and the front"
        f" axle loses m · o / L: {show(mass, 'mass', system)} · (1 + {behind:.1f} / {wheelbase:.1f}) ="
        f" **{ours}**; the front loses {lost}.",
    )


GAWR_KG, FRONT_GAWR_KG, FRONT_KG, GVWR_KG, PAYLOAD_LEFT_KG, WHEELBASE_M = (
    1890.0,
    1710.0,
    1465.0,
    3440.0,
    300.0,
    3.52,
)


def still_to_add(seed: int, system: str) -> Given:
    """What may still go behind the rear axle before a rating is reached."""
    drawn = numbers(seed, rear_kg=(1670, 1770, 20), behind_m=(0.4, 1.0, 0.1))
    rear, behind = drawn["rear_kg"], drawn["behind_m"]
    room = addable_mass(
        WHEELBASE_M + behind,
        wheelbase_m=WHEELBASE_M,
        front_kg=FRONT_KG,
        rear_kg=rear,
        front_gawr_kg=FRONT_GAWR_KG,
        rear_gawr_kg=GAWR_KG,
        gvwr_kg=GVWR_KG,
        payload_left_kg=PAYLOAD_LEFT_KG,
    )
    left, lever = GAWR_KG - rear, behind / WHEELBASE_M
    traps = {
        "that is the room on the rear axle; the lever makes each kilogram count for more": left,
        "the room was multiplied by the lever; divide by it": left * (1 + lever),
        "the lever was turned round: the place is behind the rear axle, not between the axles": (
            left / (1 - lever)
        ),
        "that is the room to GVWR; the rear axle stops you earlier": GVWR_KG - FRONT_KG - rear,
        "that is the payload left; the rear axle stops you earlier": PAYLOAD_LEFT_KG,
    }
    mass = {name: show(value, "mass", system) for name, value in (("room", left), ("answer", room.mass_kg))}
    return Given(
        f"A pickup of wheelbase {show(WHEELBASE_M, 'length', system)} has {show(FRONT_KG, 'mass', system)} on"
        f" its front axle (GAWR {show(FRONT_GAWR_KG, 'mass', system)}) and **{show(rear, 'mass', system)}**"
        f" on its rear axle (GAWR {show(GAWR_KG, 'mass', system)}). GVWR is {show(GVWR_KG, 'mass', system)};"
        f" {show(PAYLOAD_LEFT_KG, 'mass', system)} of payload are left. How much can you still put"
        f" **{show(behind, 'length', system)}** *behind* the rear axle?",
        (Question("", "mass", room.mass_kg, traps),),
        f"The rear axle has {mass['room']} of room, and each kilogram there counts 1 + {behind:.1f} /"
        f" {WHEELBASE_M}: divide the room by that, **{mass['answer']}**. GVWR and payload would allow more,"
        " so the rear axle decides.",
    )


EXERCISES = (
    Exercise("A spare wheel on the tailgate", spare_wheel),
    Exercise("How much may still go in?", still_to_add),
)
