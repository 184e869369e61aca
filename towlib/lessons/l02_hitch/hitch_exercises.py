"""Exercises of lesson 02."""

import math

from towlib.lessons.declare import Exercise, Given, Question
from towlib.lessons.judging import numbers
from towlib.physics.hitch.bar_geometry import (
    arm_forces_n,
    ball_force_of_slope_n,
    bar_slope_rad,
    half_angle_rad,
)
from towlib.units import show

BAR_M = 1.5
CLOSE = 0.99  # a slip that changes less is not told from the right answer


def sloped_bar(seed: int, system: str) -> Given:
    """The vertical force that the push of braking puts on the ball through a sloped bar."""
    drawn = numbers(seed, mass_kg=(1200, 1900, 50), deceleration=(3, 6, 0.5), rise_mm=(60, 180, 10))
    mass, deceleration, rise_m = drawn["mass_kg"], drawn["deceleration"], drawn["rise_mm"] / 1000
    slope = bar_slope_rad(0.0, rise_m, bar_length_m=BAR_M)
    push_n = mass * deceleration
    vertical_n = ball_force_of_slope_n(-push_n, slope)
    traps = {
        "this is the push itself, not its vertical part": push_n,
        "the slope in degrees was multiplied instead of its tangent": push_n * math.degrees(slope),
    }
    return Given(
        f"A towed vehicle of **{show(mass, 'mass', system)}** without brakes is slowed with"
        f" **{show(deceleration, 'acceleration', system)}**. The bar is {show(BAR_M, 'length', system)} long,"
        f" and its brackets stand **{show(rise_m, 'size', system)}** higher than the ball. How large is the"
        " vertical force on the ball?",
        (Question("", "force", vertical_n, traps),),
        f"sin θ = {show(rise_m, 'size', system)} / {show(BAR_M, 'length', system)}, both in the same unit, so"
        f" θ = {math.degrees(slope):.1f}° and tan θ = {math.tan(slope):.4f}. The push is m · a ="
        f" {show(push_n, 'force', system)}, and V = m · a · tan θ = **{show(vertical_n, 'force', system)}**"
        " down.",
    )


def narrow_arms(seed: int, system: str) -> Given:
    """What one arm carries for a side force at the ball."""
    drawn = numbers(seed, side_n=(800, 2400, 100), arm_mm=(1300, 1700, 50), spread_mm=(250, 600, 25))
    side, arm_m, spread_m = drawn["side_n"], drawn["arm_mm"] / 1000, drawn["spread_mm"] / 1000
    beta = half_angle_rad(spread_m, arm_length_m=arm_m)
    arm_n = arm_forces_n(0.0, side, half_angle_rad=beta).right_n
    traps = {
        "cosine and sine are swapped: the angle counts from the bar's middle line": (
            side / (2 * math.cos(beta))
        ),
        "half the side force would do only with arms straight across the road": side / 2,
        "the side force is shared by both arms, each takes its part": 2 * arm_n,
    }
    if math.cos(beta) < CLOSE:
        tangent = "the tangent was taken for the sine: the arm is the long side of its triangle"
        traps[tangent] = side / (2 * math.tan(beta))
    return Given(
        f"A side force of **{show(side, 'force', system)}** acts at the ball, and no pull. Each arm is"
        f" **{show(arm_m, 'size', system)}** long, the brackets stand **{show(spread_m, 'size', system)}**"
        " apart. What does one arm carry?",
        (Question("", "force", arm_n, traps),),
        "S / (2 · sin β) with sin β = (spread / 2) / arm is S · arm / spread:"
        f" {show(side, 'force', system)} · {show(arm_m, 'size', system)} / {show(spread_m, 'size', system)} ="
        f" **{show(arm_n, 'force', system)}**, {arm_n / side:.1f} times the side force.",
    )


EXERCISES = (
    Exercise("The vertical force of a sloped bar", sloped_bar),
    Exercise("How narrow is too narrow?", narrow_arms),
)
