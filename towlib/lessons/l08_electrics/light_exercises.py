"""Exercises of lesson 08."""

from towlib.lessons.declare import Exercise, Given, Question
from towlib.lessons.judging import numbers
from towlib.physics.electric.battery import discharge_h
from towlib.units import show

RATED_H = 20.0
FOOT_M = 0.3048


def lost_volts(seed: int, system: str) -> Given:
    """Volts lost there and back, and in a ground wire that three circuits share."""
    drawn = numbers(
        seed,
        amps=(2.0, 6.0, 0.5),
        length_m=(4.0, 10.0, 0.5),
        ohm_per_m=(0.008, 0.024, 0.004),
        tail_amps=(1.0, 2.0, 0.1),
    )
    amps, tail_amps = drawn["amps"], drawn["tail_amps"]
    one_wire_ohm = drawn["length_m"] * drawn["ohm_per_m"]
    one_way_v, all_amps = amps * one_wire_ohm, 2 * amps + tail_amps
    ground_v = all_amps * one_wire_ohm
    length = show(drawn["length_m"], "length", system)
    each = (
        f"{drawn['ohm_per_m']:.3f} ohm for each metre"
        if system == "metric"
        else f"{drawn['ohm_per_m'] * FOOT_M:.3g} ohm for each foot"
    )
    amps_words, tail_words = show(amps, "current", system), show(tail_amps, "current", system)
    return Given(
        f"**{amps_words}** flow to a lamp through **{length}** of wire, one way, with **{each}**; the ground"
        " wire is of the same kind and length. That ground wire also brings home the current of two other"
        f" circuits: another **{amps_words}** and **{tail_words}**.",
        (
            Question(
                "(a) How many volts are lost there and back, with this lamp alone?",
                "voltage",
                2 * one_way_v,
                {"one way only: the current comes back too": one_way_v},
            ),
            Question(
                "(b) How many volts does the ground wire alone take when all three are on?",
                "voltage",
                ground_v,
                {
                    "that is one circuit alone; in the ground wire the currents of all three add up": (
                        one_way_v
                    ),
                    "the ground wire is passed once; the feeds are other wires": 2 * ground_v,
                    "the third circuit is missing": 2 * one_way_v,
                },
            ),
        ),
        f"One wire has {length} · {each} = {one_wire_ohm:.4g} ohm. (a) Out and back: {amps_words} · 2 ·"
        f" {one_wire_ohm:.4g} ohm = **{show(2 * one_way_v, 'voltage', system)}**. (b) In the ground wire the"
        f" currents add up: {amps:g} + {amps:g} + {tail_amps:g} = {all_amps:.3g} A, and they pass it once:"
        f" **{show(ground_v, 'voltage', system)}**.",
    )


def key_hours(seed: int, system: str) -> Given:
    """Hours until a battery is empty, and the current that leaves half of it at the end of the day."""
    drawn = numbers(
        seed, capacity_ah=(50, 90, 5), amps=(5, 10, 0.5), exponent=(1.10, 1.30, 0.05), day_h=(4, 8, 1)
    )
    charge, amps, exponent, day_h = (drawn[name] for name in ("capacity_ah", "amps", "exponent", "day_h"))
    empty_h = discharge_h(amps, capacity_ah=charge, rated_h=RATED_H, exponent=exponent)
    rated_a = charge / RATED_H
    current_a = rated_a * (RATED_H / (2 * day_h)) ** (1 / exponent)
    return Given(
        f"A full battery of **{charge:.0f} Ah**, rated over 20 h, with Peukert's exponent"
        f" **{exponent:.2f}**. The key draws **{amps:.1f} A**. A day's drive takes **{day_h:.0f} h**.",
        (
            Question(
                "(a) After how many hours is it empty, by Peukert?",
                "hours",
                empty_h,
                {
                    "charge over current forgets Peukert": charge / amps,
                    "C/I^k: the hours of the rating are missing": charge / amps**exponent,
                    "the exponent belongs on the whole fraction, not on the current times 20": (
                        RATED_H * charge / (amps * RATED_H) ** exponent
                    ),
                },
            ),
            Question(
                "(b) Half the charge must stay. What current may the key draw so that the other half lasts"
                " the day?",
                "current",
                current_a,
                {
                    "that empties it: only half may go, so the empty time is twice the day": (
                        rated_a * (RATED_H / day_h) ** (1 / exponent)
                    ),
                    "half the charge over the day forgets Peukert": charge / 2 / day_h,
                },
            ),
        ),
        f"(a) t = 20 · (C/(I·20))^k = 20 · ({charge:.0f}/({amps:.1f}·20))^{exponent:.2f} ="
        f" **{show(empty_h, 'hours', system)}**, not {show(charge / amps, 'hours', system)}. (b) Half the"
        f" charge lasts half the time to empty, so the empty time must be twice the day, {2 * day_h:.0f} h."
        f" Solved for the current: I = C/20 · (20/(2·day))^(1/k) = {rated_a:g} ·"
        f" (20/{2 * day_h:.0f})^(1/{exponent:.2f}) = **{show(current_a, 'current', system)}**; without"
        f" Peukert {show(charge / 2 / day_h, 'current', system)}.",
    )


EXERCISES = (
    Exercise("Volts lost, and a shared ground", lost_volts),
    Exercise("How long does the key stay on?", key_hours),
)
