"""Exercises of lesson 07."""

import math

from towlib.lessons.declare import Exercise, Given, Question
from towlib.lessons.judging import numbers
from towlib.physics.turning.circle import TurningPair, steady_circle
from towlib.physics.turning.reversing import metres_to_angle_m
from towlib.units import show

SECOND_JOINT = "that takes the bar for a second joint; it is rigid with the towed vehicle"
MIDDLE = "half would do only with the centre of gravity in the middle between ball and rear axle"


def cut_in(seed: int, system: str) -> Given:
    """How far inside the front axle's line the towed rear axle runs in a steady turn."""
    drawn = numbers(
        seed,
        front=(9.0, 13.0, 0.5),
        wheelbase=(2.8, 3.8, 0.1),
        overhang=(1.1, 1.5, 0.1),
        bar=(1.3, 1.8, 0.1),
        towed=(2.2, 2.6, 0.1),
    )
    front, wheelbase, overhang, bar, towed = drawn.values()
    pair = TurningPair(wheelbase, overhang, bar + towed, towed)
    right, rear2 = steady_circle(front, pair), front**2 - wheelbase**2
    told = {name: show(value, "length", system) for name, value in drawn.items()}
    whole, inner, answer = (
        show(value, "length", system) for value in (pair.ball_to_axle_m, right.towed_rear_m, right.cut_in_m)
    )
    return Given(
        f"In a steady turn the front axle runs on a radius of **{told['front']}**. Wheelbase"
        f" **{told['wheelbase']}**, ball **{told['overhang']}** behind the rear axle, bar **{told['bar']}**"
        f" to brackets right at the towed front axle, towed wheelbase **{told['towed']}**. How far inside the"
        " front axle's line does the towed rear axle run?",
        (
            Question(
                "",
                "length",
                right.cut_in_m,
                {
                    "the overhang was subtracted; the ball swings to the outside, its square is added": (
                        front - math.sqrt(rear2 - overhang**2 - pair.ball_to_axle_m**2)
                    ),
                    "the overhang was left out": front - math.sqrt(rear2 - pair.ball_to_axle_m**2),
                    SECOND_JOINT: front - math.sqrt(right.ball_m**2 - bar**2 - towed**2),
                    "that counts from the rear axle's line; count from the front axle's": (
                        right.rear_m - right.towed_rear_m
                    ),
                },
            ),
        ),
        f"R_r² = R_1² − L², plus e², minus l² with l = bar + towed wheelbase = {whole}. So R_t ="
        f" sqrt(({told['front']})² − ({told['wheelbase']})² + ({told['overhang']})² − ({whole})²) = {inner};"
        f" taken away from R_1 that leaves **{answer}**.",
    )


def metres_and_side_force(seed: int, system: str) -> Given:
    """Metres until a pair that backs up has folded, and the towed vehicle's side force on the ball."""
    drawn = numbers(
        seed,
        start_deg=(2, 6, 1),
        limit_deg=(45, 70, 5),
        to_axle_m=(3.6, 4.6, 0.1),
        towed_kg=(1200, 1900, 50),
        ahead_m=(0.9, 1.4, 0.1),
        side_m_s2=(2.0, 4.0, 0.5),
    )
    start, limit, to_axle = (
        math.radians(drawn["start_deg"]),
        math.radians(drawn["limit_deg"]),
        drawn["to_axle_m"],
    )
    metres = metres_to_angle_m(start, limit, curvature_1_m=0.0, overhang_m=0.0, ball_to_axle_m=to_axle)
    assert metres is not None  # straight back, every angle grows
    side, ahead = drawn["towed_kg"] * drawn["side_m_s2"], drawn["ahead_m"]
    force = side * ahead / to_axle
    told = {
        name: show(drawn[name], kind, system)
        for name, kind in (
            ("to_axle_m", "length"),
            ("towed_kg", "mass"),
            ("ahead_m", "length"),
            ("side_m_s2", "acceleration"),
        )
    }
    far, ball, whole = (
        show(metres, "length", system),
        show(force, "force", system),
        show(side, "force", system),
    )
    return Given(
        f"(a) Backing straight, the angle grows from **{drawn['start_deg']:.0f}°** to"
        f" **{drawn['limit_deg']:.0f}°**; from the ball to the towed rear axle it is"
        f" **{told['to_axle_m']}**. (b) The same vehicle, **{told['towed_kg']}**, has its centre of gravity"
        f" **{told['ahead_m']}** ahead of its rear axle; in a bend it is pushed sideways by"
        f" **{told['side_m_s2']}**, its front wheels free.",
        (
            Question(
                "(a) After how many metres or feet, at best?",
                "length",
                metres,
                {
                    "the tangents are those of half the angles": (
                        to_axle * math.log(math.tan(limit) / math.tan(start))
                    ),
                    "that divides the angles; divide the tangents of half the angles": (
                        to_axle * math.log(limit / start)
                    ),
                    "that is the logarithm to base 10": metres / math.log(10),
                },
            ),
            Question(
                "(b) How much side force does it put on the ball?",
                "force",
                force,
                {
                    "that is what its rear axle carries": side * (1 - ahead / to_axle),
                    "that is the whole side force; its rear tyres carry the larger part": side,
                    **({MIDDLE: side / 2} if ahead < 0.98 * to_axle / 2 else {}),
                },
            ),
        ),
        "(a) s = l·ln(tan(φ_limit/2)/tan(φ₀/2)) ="
        f" {told['to_axle_m']} · ln(tan {drawn['limit_deg'] / 2:.1f}° / tan {drawn['start_deg'] / 2:.1f}°) ="
        f" **{far}**. (b) Moments about the towed rear axle: F_ball·l = m_t·a_y·(l − c), and l − c is how far"
        f" the centre of gravity lies ahead of that axle. The whole side force is {whole}, its share"
        f" {told['ahead_m']} / {told['to_axle_m']}: **{ball}**.",
    )


EXERCISES = (
    Exercise("How far does it cut in?", cut_in),
    Exercise("Metres you have, and side force on the ball", metres_and_side_force),
)
