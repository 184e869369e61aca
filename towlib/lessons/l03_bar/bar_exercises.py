"""Exercises of lesson 03."""

import math

from towlib.handbook.bolt_tables import bolt_strength, bolt_thread
from towlib.lessons.declare import Exercise, Given, Question
from towlib.lessons.judging import numbers
from towlib.physics.hitch.bar_geometry import half_angle_rad
from towlib.physics.hitch.bolts import torque_n_m
from towlib.physics.hitch.load_cases import Force, bracket_reactions
from towlib.units import show

ARM_M, SIDE_N = 1.5, 1300.0
LIE_ALONG = (
    "that is half the side force; the arms lie nearly along the road and have to pull much harder to give a"
    " force across it"
)
CLOSE = 0.99  # a slip that changes less is not told from the right answer


def push_of_one_arm(seed: int, system: str) -> Given:
    """How hard one arm is pushed when a towed vehicle without brakes is slowed."""
    drawn = numbers(seed, mass_kg=(1200, 2000, 50), rate=(3.0, 6.0, 0.5), spread_mm=(400, 900, 50))
    mass, rate, spread_m = drawn["mass_kg"], drawn["rate"], drawn["spread_mm"] / 1000
    beta = half_angle_rad(spread_m, arm_length_m=ARM_M)
    push = mass * rate
    one_arm = -bracket_reactions(Force(-push, 0.0, 0.0), half_angle_rad=beta).left_arm_n
    traps = {
        "that is the push of the whole bar; two arms share it": push,
        "sine was taken for cosine: the push runs along the middle line": push / (2 * math.sin(beta)),
    }
    if math.cos(beta) < CLOSE:
        half = (
            "that is half the push without the angle: the arms stand askew, so divide by the cosine of half"
            " the angle between them"
        )
        times = "multiplied by the cosine; an arm that stands askew carries more than half, so divide"
        traps |= {half: push / 2, times: push / 2 * math.cos(beta)}
    return Given(
        f"A towed vehicle of **{show(mass, 'mass', system)}** without brakes is slowed with"
        f" **{show(rate, 'acceleration', system)}** on a level road. The brackets stand"
        f" **{show(spread_m, 'size', system)}** apart, each arm is {show(ARM_M, 'length', system)} long."
        " Leave rolling resistance out. How hard is *one arm* pushed?",
        (Question("", "force", one_arm, traps),),
        f"The vehicle pushes with m · a = {show(push, 'force', system)}. Half of it runs through each arm,"
        " and the arm stands askew: divide by cos β, with sin β = (spread / 2) / arm, β ="
        f" {math.degrees(beta):.1f}°: **{show(one_arm, 'force', system)}**. For spreads that fit, cos β is"
        " near 1, so half the push is nearly right; the cosine makes it a little more.",
    )


def side_force_in_arms(seed: int, system: str) -> Given:
    """What the side force of a curve puts into each arm."""
    spread_m = numbers(seed, spread_mm=(200, 900, 50))["spread_mm"] / 1000
    beta = half_angle_rad(spread_m, arm_length_m=ARM_M)
    each = bracket_reactions(Force(0.0, SIDE_N, 0.0), half_angle_rad=beta).right_arm_n
    traps = {
        LIE_ALONG: SIDE_N / 2,
        "the cosine was taken for the sine: the force acts across the middle line": (
            SIDE_N / (2 * math.cos(beta))
        ),
        "half the spread was taken: sin β is (spread/2) / arm, and there is a 2 before it as well": 2 * each,
    }
    if math.cos(beta) < CLOSE:
        tangent = "the tangent was taken for the sine: the arm is the long side of its triangle"
        traps[tangent] = SIDE_N / (2 * math.tan(beta))
    return Given(
        f"A curve puts {show(SIDE_N, 'force', system)} of side force on the ball. The arms are"
        f" {show(ARM_M, 'length', system)} long, the brackets stand **{show(spread_m, 'size', system)}**"
        " apart. What does the curve put into each arm?",
        (Question("", "force", each, traps),),
        "S / (2 · sin β) with sin β = (spread / 2) / arm gives S · arm / spread ="
        f" {show(SIDE_N, 'force', system)} · {show(ARM_M, 'length', system)} /"
        f" {show(spread_m, 'length', system)} = **{show(each, 'force', system)}**. Half the spread, twice the"
        " force.",
    )


def torque_of_a_bolt(seed: int, system: str) -> Given:
    """The torque that brings a bolt to a share of its proof load."""
    drawn = numbers(seed, share_percent=(60, 80, 5), nut_factor=(0.12, 0.20, 0.02))
    share, k = drawn["share_percent"] / 100, drawn["nut_factor"]
    bolt = bolt_thread("M12")
    assert bolt is not None
    strength = bolt_strength("8.8", bolt.diameter_m)
    assert strength is not None
    force_n = share * strength.proof_pa * bolt.stress_area_m2
    wanted = torque_n_m(force_n, diameter_m=bolt.diameter_m, nut_factor=k)
    traps = {
        "that is for the whole proof load; leave room for the scatter": wanted / share,
        "the plain shank's area was taken; a thread carries less, its stress area": (
            wanted * math.pi / 4 * bolt.diameter_m**2 / bolt.stress_area_m2
        ),
        "half the diameter was taken; K·D·F wants the whole": wanted / 2,
    }
    area, proof = show(bolt.stress_area_m2, "section", system), show(strength.proof_pa, "stress", system)
    diameter = show(bolt.diameter_m, "size", system)
    return Given(
        "No maker's figure can be found for a bracket bolt M12, class 8.8 (diameter"
        f" {diameter}, stress area {area}, proof stress {proof}). Which torque brings it to"
        f" **{100 * share:.0f} %** of its proof load, with a nut factor **K = {k:.2f}**? (Then ask a workshop"
        " all the same.)",
        (Question("", "torque", wanted, traps),),
        f"F = share · proof stress · stress area = {share:.2f} · {proof} · {area} ="
        f" {show(force_n, 'force', system)}; T = K · D · F = {k:.2f} · {diameter} ·"
        f" {show(force_n, 'force', system)} = **{show(wanted, 'torque', system)}**, the diameter taken in"
        f" {'feet' if system == 'us' else 'metres'}.",
    )


EXERCISES = (
    Exercise("The push in one arm", push_of_one_arm),
    Exercise("The same side force, other brackets", side_force_in_arms),
    Exercise("Torque for a bolt", torque_of_a_bolt),
)
