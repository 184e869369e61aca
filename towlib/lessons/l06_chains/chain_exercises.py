"""Exercises of lesson 06."""

import math

from towlib.lessons.declare import Exercise, Given, Question
from towlib.lessons.judging import numbers
from towlib.physics.chains.chain_gaps import Anchors, chain_gaps_m, share_of_pull
from towlib.physics.chains.chain_jerk import jerk_n
from towlib.units import show

RECEIVER_HEIGHT_M, LINK_M = 0.44, 0.031  # the height drops out; the links are those of a 3/8 in chain
WHOLE_SPREADS = "the whole spreads were taken; each chain crosses from half of one to half of the other"
LEVEL_ENDS = "the ends were taken level; the difference of heights belongs under the root too"
PULL_WORKS_ON = "the pull goes on working while the chain stretches; add P in front and P² under the root"


def crossed_reach(seed: int, system: str) -> Given:
    """The gap a crossed chain must bridge with the vehicles in line."""
    drawn = {
        name: value / 1000.0
        for name, value in numbers(
            seed,
            receiver=(280, 400, 20),
            bar=(180, 260, 20),
            behind=(250, 350, 10),
            ahead=(150, 250, 10),
            higher=(60, 120, 10),
        ).items()
    }
    receiver, bar, behind, ahead, higher = drawn.values()
    fixed = Anchors(receiver, -ahead, RECEIVER_HEIGHT_M, bar, behind, RECEIVER_HEIGHT_M + higher)
    crossed, parallel = (chain_gaps_m(fixed, 0.0, crossed=way).left_m for way in (True, False))
    along, across = ahead + behind, (receiver + bar) / 2.0
    level = math.hypot(along, across)
    told = {name: show(value, "size", system) for name, value in drawn.items()}
    parts = [show(value, "size", system) for value in (along, across, higher)]
    return Given(
        f"Vehicles in line. The receiver's anchors are **{told['receiver']}** apart and"
        f" **{told['ahead']}** ahead of the ball. The bar's anchors are **{told['bar']}** apart,"
        f" **{told['behind']}** behind the ball and **{told['higher']}** higher than the receiver's. How long"
        " is the gap each *crossed* chain must bridge? (Draw it from above, then add the height.)",
        (
            Question(
                "",
                "size",
                crossed,
                {
                    "that is the gap of a parallel chain; a crossed one ends on the other side": parallel,
                    WHOLE_SPREADS: math.hypot(along, 2.0 * across, higher),
                    **({LEVEL_ENDS: level} if level < 0.98 * crossed else {}),  # else it counts as right
                },
            ),
        ),
        "Along: ahead + behind. Across: half of one spread plus half of the other, because the chain crosses"
        " the middle. Up: the difference of heights. D = sqrt(along² + across² + up²) ="
        f" sqrt(({parts[0]})² + ({parts[1]})² + ({parts[2]})²) = **{show(crossed, 'size', system)}**, that is"
        f" {math.ceil(crossed / LINK_M)} links of {show(LINK_M, 'size', system)}, more for the turn;"
        " and no more than still clear the road in the turn and hold a dropped bar.",
    )


def share_and_jerk(seed: int, system: str) -> Given:
    """What each of two chains takes of a pull, and the jerk in one that takes up its slack."""
    drawn = numbers(
        seed,
        hold_kn=(4.0, 9.0, 0.5),
        angle_deg=(20, 40, 5),
        pull_n=(800, 2400, 200),
        slack_mm=(30, 120, 10),
        stiffness_mn_m=(1.0, 3.0, 0.5),
    )
    hold, angle, pull = 1000.0 * drawn["hold_kn"], math.radians(drawn["angle_deg"]), drawn["pull_n"]
    slack, stiffness = drawn["slack_mm"] / 1000.0, 1e6 * drawn["stiffness_mn_m"]
    share, peak = hold * share_of_pull(angle), jerk_n(pull, slack, stiffness_n_m=stiffness)
    force = {
        name: show(value, "force", system)
        for name, value in (("hold", hold), ("pull", pull), ("share", share), ("peak", peak))
    }
    how_stiff = show(stiffness, "spring_rate", system)
    return Given(
        f"(a) Two equal chains hold a steady pull of **{force['hold']}**, each at"
        f" **{drawn['angle_deg']:.0f}°** from the line of pull. (b) The coupler lets go under another pull of"
        f" **{force['pull']}**, which is kept up, and *one* chain takes up its"
        f" **{show(slack, 'size', system)}** of slack. Its stiffness is **{how_stiff}**.",
        (
            Question(
                "(a) How much does each chain take?",
                "force",
                share,
                {
                    "sine for cosine: the angle counts from the line of pull": hold / (2 * math.sin(angle)),
                    "half the pull would do only if both chains pulled straight": hold / 2,
                    "the cosine stands below the line: a slanting chain takes more, not less": (
                        hold * math.cos(angle) / 2
                    ),
                },
            ),
            Question(
                "(b) What is the peak force in the chain?",
                "force",
                peak,
                {
                    "that is the peak without slack": 2 * pull,
                    PULL_WORKS_ON: math.sqrt(2 * stiffness * pull * slack),
                    "that is stiffness times slack: the chain stretches by far less than its slack": (
                        stiffness * slack
                    ),
                },
            ),
        ),
        f"(a) Along the pull the two chains give 2·T·cos α = F, so T = F/(2·cos α) = **{force['share']}**."
        " (b) P·(s + x) = k·x²/2 and T = k·x give T = P + sqrt(P² + 2·k·P·s) ="
        f" **{force['peak']}**, {peak / pull:.0f} times the pull.",
    )


EXERCISES = (
    Exercise("How far must a crossed chain reach?", crossed_reach),
    Exercise("Each chain's share, and the jerk", share_and_jerk),
)
