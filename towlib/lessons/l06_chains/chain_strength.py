"""Lesson 06, strength: what the rules compare, the weakest part, and the jerk when slack is taken up."""

import math
from typing import NamedTuple

from towlib.draw.figures import Picture, round_up
from towlib.handbook.tables import chain_loads_n
from towlib.physics.basics.road_load import GRAVITY_M_S2
from towlib.physics.chains.chain_gaps import Weakest, share_of_pull, strength_by_rule_n, weakest
from towlib.physics.chains.chain_jerk import chain_stiffness_n_m, jerk_n
from towlib.units import from_si, show, unit_label

RULES = (("each", "working"), ("each", "breaking"), ("both", "working"), ("both", "breaking"))
STRETCH_SHARES = (0.01, 0.03)  # of the length at the working load: from memory, so no jerk decides anything
MOST_SLACK_M = 0.40


def _loads(size: str, grade: str) -> tuple[float, float]:
    loads = chain_loads_n(size, grade)
    if loads is None:
        raise ValueError(f"no working load is listed for {size} in of grade {grade}")
    return loads


class Strength(NamedTuple):
    """Everything the fourth panel shows."""

    weight_n: float
    rule: tuple[str, str]
    by_rule_n: tuple[float, ...]  # the chain by each of the four rules
    parts_n: dict[str, float]  # each part by the chosen rule
    weakest: Weakest
    angle_rad: float
    share: float  # of a pull in each of two chains
    chain_name: str


def strength(
    *,
    towed_mass_kg: float,
    size: str,
    grade: str,
    count: str,
    compare: str,
    hook_n: float,
    quick_link_n: float,
    anchor_n: float,
    chain_angle_rad: float,
) -> Strength:
    """The chain by the four ways of comparing, and every part of the assembly by the chosen one."""
    working, breaking = _loads(size, grade)
    by_rule = tuple(
        strength_by_rule_n(working, break_factor=breaking / working, count=each, compare=load)
        for each, load in RULES
    )
    twice = 2.0 if count == "both" else 1.0
    parts = {
        "chain": by_rule[RULES.index((count, compare))],
        "hook": twice * hook_n,
        "quick link": twice * quick_link_n,
        "anchor": twice * anchor_n,
    }
    marked = "unmarked (counts as grade 30)" if grade == "unmarked" else f"grade {grade}"
    return Strength(
        towed_mass_kg * GRAVITY_M_S2,
        (count, compare),
        by_rule,
        parts,
        weakest(parts),
        chain_angle_rad,
        share_of_pull(chain_angle_rad),
        f"{size} in, {marked}",
    )


def strength_words(result: Strength, system: str) -> str:
    """The sentence under the fourth panel."""
    load = result.weakest.load_n
    room = load - result.weight_n
    verdict = f"{'within' if room >= 0 else 'over'} by {show(abs(room), 'force', system)}"
    count = "each chain alone" if result.rule[0] == "each" else "both chains together"
    return (
        f"Chain {result.chain_name}. By the rule ‘{count}, {result.rule[1]} load’ the weakest part is the"
        f" {result.weakest.part} with {show(load, 'force', system)} against a weight of"
        f" {show(result.weight_n, 'force', system)}: {verdict}. At {math.degrees(result.angle_rad):.0f}° from"
        f" the line of pull each of two chains takes {100 * result.share:.0f} % of a pull."
    )


class StrengthDrawing:
    """Left: one chain by the four rules. Right: every part by the chosen rule."""

    size_in, frames = (10.0, 3.6), 2
    PARTS = ("chain", "hook", "quick link", "anchor")

    def build(self, picture: Picture, system: str) -> None:
        """Frames and named parts."""
        for view in (0, 1):
            self._frame(picture, view, 100e3, system)
            picture.bars(f"loads {view}", view, 4)
            picture.reference(f"weight {view}", view)
            picture.words(f"weight name {view}", view)
            for i in range(4):
                picture.words(f"load {view} {i}", view)

    def _frame(self, picture: Picture, view: int, top_n: float, system: str) -> None:
        title, names = (
            ("The chain by four rules", [f"{count}, {load}" for count, load in RULES]),
            ("Every part by the chosen rule", list(self.PARTS)),
        )[view]
        picture.frame(
            view,
            title=title,
            x_label=f"force [{unit_label('force', system)}]",
            y_names=names,
            x=(0.0, from_si(top_n, "force", system)),
        )

    def update(self, picture: Picture, result: Strength, system: str) -> None:
        """Move the parts to a result."""
        weight = from_si(result.weight_n, "force", system)
        for view, loads in ((0, result.by_rule_n), (1, tuple(result.parts_n[part] for part in self.PARTS))):
            top_n = round_up(1.9 * max(*loads, result.weight_n))  # room for the words behind the longest bar
            self._frame(picture, view, top_n, system)
            top = from_si(top_n, "force", system)
            picture.stretch(
                f"loads {view}",
                [from_si(load, "force", system) for load in loads],
                [load < result.weight_n for load in loads],
            )
            picture.move(f"weight {view}", [weight, weight], [-0.5, 3.5])
            picture.say(f"weight name {view}", "weight", weight + 0.01 * top, -0.41)
            for i, load in enumerate(loads):
                mark = (
                    " (chosen)"
                    if view == 0 and RULES[i] == result.rule
                    else " (weakest)"
                    if view == 1 and self.PARTS[i] == result.weakest.part
                    else ""
                )
                end = max(load, result.weight_n if load > result.weight_n - 0.45 * top_n else 0.0)
                picture.say(
                    f"load {view} {i}",
                    f"{show(load, 'force', system)}{mark}",
                    from_si(end, "force", system) + 0.015 * top,
                    i,
                )


class Jerk(NamedTuple):
    """Everything the fifth panel shows; forces of all chains that pull together."""

    slacks_m: tuple[float, ...]
    least_n: tuple[float, ...]  # the softer end of the band
    most_n: tuple[float, ...]
    here_m: float
    here_n: tuple[float, float]
    working_n: float
    breaking_n: float
    pull_n: float
    chains: int


def jerk(
    *, pull_n: float, size: str, grade: str, length_m: float, anchor_give_m: float, both: bool, slack_m: float
) -> Jerk:
    """Peak force against slack for a stretch of 1 to 3 % at the working load."""
    working, breaking = _loads(size, grade)
    chains = 2 if both else 1
    stiff, soft = (
        chains
        * chain_stiffness_n_m(working, length_m=length_m, stretch_share=share, anchor_give_m=anchor_give_m)
        for share in STRETCH_SHARES
    )
    slacks = tuple(MOST_SLACK_M * (i / 40) ** 2 for i in range(41))

    def peaks(stiffness: float) -> tuple[float, ...]:
        return tuple(jerk_n(pull_n, slack, stiffness_n_m=stiffness) for slack in slacks)

    here = tuple(jerk_n(pull_n, slack_m, stiffness_n_m=k) for k in (soft, stiff))
    return Jerk(
        slacks, peaks(soft), peaks(stiff), slack_m, here, chains * working, chains * breaking, pull_n, chains
    )


def jerk_words(result: Jerk, system: str) -> str:
    """The sentence under the fifth panel."""
    low, high = result.here_n

    def against(limit: float) -> str:
        if high <= limit:
            return f"within by {show(limit - high, 'force', system)} or more"
        return (
            f"over by {show(low - limit, 'force', system)} or more"
            if low > limit
            else "the estimate lies on both sides of it"
        )

    who = "both chains" if result.chains == 2 else "one chain"
    return (
        f"A pull of {show(result.pull_n, 'force', system)} through {show(result.here_m, 'size', system)} of"
        f" slack peaks at {show(low, 'force', system)} to {show(high, 'force', system)} in {who} (stretch 1"
        f" to 3 %, from memory: it decides nothing). Working load {show(result.working_n, 'force', system)}:"
        f" {against(result.working_n)}. Breaking load {show(result.breaking_n, 'force', system)}:"
        f" {against(result.breaking_n)}."
    )


class JerkDrawing:
    """The band of peak forces over the slack, between the loads of the chain."""

    size_in, frames = (10.0, 4.0), 1

    def build(self, picture: Picture, system: str) -> None:
        """Named parts; the frame follows the loads."""
        self._frame(picture, 100e3, system)
        picture.band("band", 0, 0)
        for name, style in (("1 %", 0), ("3 %", 1)):
            picture.line(name, 0, style)
            picture.words(f"{name} name", 0, style=style, bold=True, align="right")
        for name in ("working", "breaking"):
            picture.reference(name, 0)
            picture.words(f"{name} name", 0)
        picture.line("here", 0, 4, marked=True)

    def _frame(self, picture: Picture, top_n: float, system: str) -> None:
        picture.frame(
            0,
            title="Peak force in the chains when the slack is taken up",
            x_label=f"slack [{unit_label('size', system)}]",
            y_label=f"force [{unit_label('force', system)}]",
            x=(0.0, from_si(1.02 * MOST_SLACK_M, "size", system)),
            y=(0.0, from_si(top_n, "force", system)),
        )

    def update(self, picture: Picture, result: Jerk, system: str) -> None:
        """Move the parts to a result."""
        top_n = round_up(1.12 * max(result.breaking_n, result.most_n[-1]))
        self._frame(picture, top_n, system)
        x = [from_si(s, "size", system) for s in result.slacks_m]
        low, high = (
            [from_si(f, "force", system) for f in forces] for forces in (result.least_n, result.most_n)
        )
        top = from_si(top_n, "force", system)
        picture.spread("band", x, low, high)
        for name, forces, way in (("1 %", high, 1), ("3 %", low, -1)):
            picture.move(name, x, forces)
            picture.say(f"{name} name", f"stretch {name}", 0.995 * x[-1], forces[-1] + way * 0.06 * top)
        who = "both chains" if result.chains == 2 else "one chain"
        for name, load in (("working", result.working_n), ("breaking", result.breaking_n)):
            y = from_si(load, "force", system)
            picture.move(name, [0.0, x[-1]], [y, y])
            clear = (
                result.least_n[-1] > load + 0.14 * top_n
            )  # the band has left the line behind at its right end
            picture.say(
                f"{name} name", f"{name} load, {who}", (0.70 if clear else 0.01) * x[-1], y + 0.045 * top
            )
        here = from_si(result.here_m, "size", system)
        picture.move("here", [here, here], [from_si(f, "force", system) for f in result.here_n])
