"""Lesson 06, strength: what the rules compare, the weakest part, and the jerk when slack is taken up."""

import math
from typing import NamedTuple

from towlib.draw.figures import Picture, round_up
from towlib.handbook.tables import chain_loads_n, chain_working_load_n, load_table
from towlib.lessons.declare import with_values
from towlib.limits.chains_limits import (
    TOW_BAR,
    by_tow_bar_rule,
    chain_strength_n,
    chains_asked_n,
    counted_as,
    fitted_length_m,
    part_kg,
)
from towlib.physics.basics.road_load import GRAVITY_M_S2
from towlib.physics.chains.chain_gaps import Weakest, share_of_pull, weakest
from towlib.physics.chains.chain_jerk import chain_stiffness_n_m, jerk_n
from towlib.rig.facts import Facts, NotKnown, assumptions
from towlib.units import from_si, show, unit_label

RULES = (("each", "working"), ("each", "breaking"), ("both", "working"), ("both", "breaking"))
BAR_RULE = len(RULES)  # number of the tow-bar rule, which asks a load of its own
PARTS = ("chain", "hook", "anchor")
MOST_SLACK_M = 0.40


class Strength(NamedTuple):
    """Everything the fourth panel shows."""

    weight_n: float
    bar_rule_n: float  # what the tow-bar rule asks
    rule: int  # the chosen one: of RULES, or BAR_RULE
    by_rule_n: tuple[float, ...]  # the chain by each of the rules
    parts_n: dict[str, float | None]  # every part by the chosen rule
    at_least: tuple[str, ...]  # parts that count with their working load, no breaking load being known
    weakest: Weakest
    angle_rad: float
    share: float  # of a pull in each of two chains
    chain_name: str

    def asked_n(self, rule: int) -> float:
        """What a rule holds against the chains."""
        return self.bar_rule_n if rule == BAR_RULE else self.weight_n


def _by(facts: Facts, rule: int) -> Facts:
    """The rig held against another rule."""
    if rule == BAR_RULE:
        return with_values(facts, {"safety_chains.rule_strength": TOW_BAR})
    count, load = RULES[rule]
    return with_values(facts, {"safety_chains.rule_count": count, "safety_chains.rule_strength": load})


def strength(facts: Facts, *, chain_angle_rad: float) -> Strength:
    """The chain by the ways of comparing, and every part of the assembly by the chosen one."""
    rule = BAR_RULE if by_tow_bar_rule(facts) else RULES.index(counted_as(facts))
    by_rule = tuple(chain_strength_n(_by(facts, each), "out") for each in range(len(RULES) + 1))
    parts: dict[str, float | None] = {"chain": by_rule[rule]}
    at_least = []
    for part in PARTS[1:]:
        try:
            parts[part] = part_kg(part)(facts, "out") * GRAVITY_M_S2
        except NotKnown:
            parts[part] = None
        breaking = facts.have(f"safety_chains.{part}_breaking")
        if parts[part] is not None and counted_as(facts)[1] == "breaking" and breaking is None:
            at_least.append(part)
    return Strength(
        chains_asked_n(_by(facts, 0), "out"),
        chains_asked_n(_by(facts, BAR_RULE), "out"),
        rule,
        by_rule,
        parts,
        tuple(at_least),
        weakest(parts),
        chain_angle_rad,
        share_of_pull(chain_angle_rad),
        _chain_name(facts.need("safety_chains.size"), facts.need("safety_chains.grade")),
    )


def _chain_name(size: str, grade: str) -> str:
    return f"{size} in, {'unmarked (counts as grade 30)' if grade == 'unmarked' else f'grade {grade}'}"


def _rule_words(rule: int) -> str:
    if rule == BAR_RULE:
        return "tow-bar rule: both chains together, breaking load"
    count, load = RULES[rule]
    return f"{'each chain alone' if count == 'each' else 'both chains together'}, {load} load"


def strength_words(result: Strength, system: str) -> str:
    """The sentence under the fourth panel."""
    asked, part = result.asked_n(result.rule), result.weakest.part
    known = result.parts_n[part] or 0.0
    room = known - asked
    verdict = f"{'within' if room >= 0 else 'over'} by {show(abs(room), 'force', system)}"
    missing = result.weakest.not_known
    which = "the weakest part" if not missing else "the weakest part known"
    end = f" Not known: {' and '.join(missing)}, so the whole is not known." if missing and room >= 0 else ""
    if missing and room < 0:
        end = f" Not known: {' and '.join(missing)}."
    least = "at least " if part in result.at_least else ""
    against = "the rule's load" if result.rule == BAR_RULE else "a weight"
    return (
        f"Chain {result.chain_name}. By the rule ‘{_rule_words(result.rule)}’, hook and anchor by the same,"
        f" {which} is the {part} with {least}{show(known, 'force', system)} against {against} of"
        f" {show(asked, 'force', system)}: {verdict}.{end} At"
        f" {math.degrees(result.angle_rad):.0f}° from the line of pull each of two chains takes"
        f" {100 * result.share:.0f} % of a pull."
    )


def strength_rooms(result: Strength) -> dict[str, float]:
    """Room of the weakest part known."""
    return {"weakest": (result.parts_n[result.weakest.part] or 0.0) - result.weight_n}


def strength_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the fourth panel."""
    here = strength(facts, chain_angle_rad=0.0)
    of_weight = here.by_rule_n[:BAR_RULE]
    strict, loose = min(of_weight), max(of_weight)
    passed = [load >= here.weight_n for load in of_weight]
    if all(passed):
        how_many = "all four"
    elif not any(passed):
        how_many = "none of the four"
    else:
        how_many = "some of the four"
    bar_rule = "passes" if here.by_rule_n[BAR_RULE] >= here.bar_rule_n else "does not pass"
    chain_n, dearer_n = (chain_working_load_n("5/16", grade) or 0.0 for grade in ("70", "80"))
    weakest_part = here.weakest.part
    not_known = (
        f" ({' and '.join(here.weakest.not_known)} not known: that is not a pass)"
        if here.weakest.not_known
        else ""
    )
    return (
        f"The same chain counts {show(strict, 'force', system)} by the strictest rule and"
        f" {show(loose, 'force', system)} by the loosest; against {show(here.weight_n, 'force', system)} it"
        f" passes {how_many}. The tow-bar rule asks {show(here.bar_rule_n, 'force', system)} of both"
        f" together, whatever a light vehicle weighs: this chain {bar_rule} it. **An assembly is as strong as"
        f" its weakest part**, here the {weakest_part}{not_known}; a hook's working load is compared with"
        " working loads, its breaking load with breaking loads. Grades are looked up, never guessed between:"
        f" 5/16-inch chain of grade 70 holds {show(chain_n, 'force', system)}, of grade 80 only"
        f" {show(dearer_n, 'force', system)}. And the wider the chains stand from the line of pull, the more"
        " of it each one takes."
    )


def rules_read() -> list[str]:
    """What some rules say, a sentence for each."""
    return [
        f"{row['place']}, {row['document']}"
        f"{' (not checked against a document)' if row['known_by'] == 'from memory' else ''}: {row['asks']}"
        f" (binds {row['binds']})."
        for row in load_table("chain_rules")
    ]


class StrengthDrawing:
    """Left: one chain by the rules. Right: every part by the chosen rule."""

    size_in, frames, widths = (10.0, 3.9), 2, (1.1, 1.0)
    ROWS = (len(RULES) + 1, len(PARTS))
    NAMES = [*(f"{count}, {load}" for count, load in RULES), "tow-bar rule"]

    def build(self, picture: Picture, system: str) -> None:
        """Named parts; the frames follow the loads."""
        for view, rows in enumerate(self.ROWS):
            self._frame(picture, view, 100e3, system)
            picture.bars(f"loads {view}", view, rows)
            picture.reference(f"weight {view}", view)
            picture.words(f"weight name {view}", view)
            for i in range(rows):
                picture.words(f"load {view} {i}", view)
        picture.reference("bar rule", 0)

    def _frame(self, picture: Picture, view: int, top_n: float, system: str) -> None:
        title, names = (
            ("The chain by each rule", self.NAMES),
            ("Every part by the chosen rule", list(PARTS)),
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
        parts = [result.parts_n[part] for part in PARTS]
        for view, loads in ((0, list(result.by_rule_n)), (1, parts)):
            asked = [
                result.asked_n(i if view == 0 else result.rule) for i in range(len(loads))
            ]  # of each row
            known = [load or 0.0 for load in loads]
            # of the longest bar, so that the words behind it end where the frame does
            top_n = round_up(
                max(1.0, *(self.ROOM * load for load in known), *(1.08 * each for each in asked))
            )
            self._frame(picture, view, top_n, system)
            top = from_si(top_n, "force", system)
            picture.stretch(
                f"loads {view}",
                [from_si(load, "force", system) for load in known],
                [load is not None and load < each for load, each in zip(loads, asked, strict=True)],
            )
            rows = len(loads) - (view == 0)  # the last row on the left has a line of its own
            line = from_si(asked[0], "force", system)
            picture.move(f"weight {view}", [line, line], [-0.5, rows - 0.5])
            name = "asked by the rule" if view == 1 and result.rule == BAR_RULE else "weight"
            picture.say(f"weight name {view}", name, line + 0.01 * top, -0.41)
            for i, load in enumerate(loads):
                mark = ""
                if view == 0 and i == result.rule:
                    mark = "\n(chosen)"
                elif view == 1 and PARTS[i] in result.at_least:
                    mark = "\n(or more)"
                elif view == 1 and PARTS[i] == result.weakest.part:
                    mark = "\n(weakest)" if not result.weakest.not_known else "\n(weakest known)"
                end = max(
                    known[i],
                    asked[i] if asked[i] > known[i] > asked[i] - 0.45 * top_n else 0.0,
                )
                picture.say(
                    f"load {view} {i}",
                    f"{show(load, 'force', system)}{mark}",
                    from_si(end, "force", system) + 0.015 * top,
                    i,
                )
        own = from_si(result.bar_rule_n, "force", system)
        picture.move("bar rule", [own, own], [BAR_RULE - 0.5, BAR_RULE + 0.5])

    ROOM = 1.45


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
    stretch: tuple[float, float]  # share of the length at the working load: stiff and soft end of the band


def stretch_ends(facts: Facts) -> tuple[float, float]:
    """The least and the most a chain may stretch at its working load: by the reader's own ±, else as far
    about the value as the usual range lies about the usual value.
    """
    path = "safety_chains.stretch"
    stretch, off = facts.need(path), facts.rig.plus_minus.get(path)
    if off is not None:
        return max(0.1 * stretch, stretch - off), stretch + off
    usual = assumptions()[path]
    return (
        stretch * (usual.low or usual.value) / usual.value,
        stretch * (usual.high or usual.value) / usual.value,
    )


def jerk(facts: Facts, *, pull_n: float, both: bool, slack_m: float) -> Jerk:
    """Peak force against slack, as a band: nobody knows the stretch of a chain well."""
    size, grade = facts.need("safety_chains.size"), facts.need("safety_chains.grade")
    loads = chain_loads_n(size, grade)
    if loads is None:
        raise ValueError(f"no working load is listed for {size} in of grade {grade}")
    working, breaking = loads
    chains, ends = 2 if both else 1, stretch_ends(facts)
    stiff, soft = (
        chains
        * chain_stiffness_n_m(
            working,
            length_m=fitted_length_m(facts),
            stretch_share=share,
            anchor_give_m=facts.need("safety_chains.anchor_give"),
        )
        for share in ends
    )
    slacks = tuple(MOST_SLACK_M * (i / 40) ** 2 for i in range(41))

    def peaks(stiffness: float) -> tuple[float, ...]:
        return tuple(jerk_n(pull_n, slack, stiffness_n_m=stiffness) for slack in slacks)

    return Jerk(
        slacks,
        peaks(soft),
        peaks(stiff),
        slack_m,
        (jerk_n(pull_n, slack_m, stiffness_n_m=soft), jerk_n(pull_n, slack_m, stiffness_n_m=stiff)),
        chains * working,
        chains * breaking,
        pull_n,
        chains,
        ends,
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
        f" slack peaks at {show(low, 'force', system)} to {show(high, 'force', system)} in {who} (stretch"
        f" {100 * result.stretch[0]:.3g} to {100 * result.stretch[1]:.3g} %, not checked against a document:"
        f" it decides nothing). Working load {show(result.working_n, 'force', system)}:"
        f" {against(result.working_n)}. Breaking load {show(result.breaking_n, 'force', system)}:"
        f" {against(result.breaking_n)}."
    )


def jerk_rooms(result: Jerk) -> dict[str, tuple[float, ...]]:
    """Room of both loads, at both ends of the band."""
    return {
        name: tuple(limit - peak for peak in result.here_n)
        for name, limit in (("working", result.working_n), ("breaking", result.breaking_n))
    }


SEEN_PULL_N, SEEN_SLACK_M, SOFT_ANCHORS_M = 1500.0, 0.1, 0.01


def jerk_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the fifth panel."""

    def peak(slack_m: float, seen: Facts = facts) -> float:
        return jerk(seen, pull_n=SEEN_PULL_N, both=False, slack_m=slack_m).here_n[1]

    none, some, double = (peak(slack) for slack in (0.0, SEEN_SLACK_M, 2 * SEEN_SLACK_M))
    soft = peak(SEEN_SLACK_M, with_values(facts, {"safety_chains.anchor_give": SOFT_ANCHORS_M}))
    force = {name: show(value, "force", system) for name, value in (("0", none), ("1", some), ("soft", soft))}
    give = show(SOFT_ANCHORS_M, "size", system)
    return (
        f"A pull of {show(SEEN_PULL_N, 'force', system)} peaks at {force['0']} without any slack: a load let"
        f" go suddenly counts twice. With {show(SEEN_SLACK_M, 'size', system)} of slack one chain takes up to"
        f" {force['1']}; **double slack makes {double / some:.1f} times the jerk**, not twice. Anchors that"
        f" give {give} bring it to {force['soft']}. The stretch of a chain is *not checked against a"
        " document*; the band shows what that does. Use it to see that slack is dear, not to pass a chain."
    )


class JerkDrawing:
    """The band of peak forces over the slack, between the loads of the chain."""

    size_in, frames = (10.0, 4.0), 1
    narrow_in = (4.9, 3.8)

    def build(self, picture: Picture, system: str) -> None:
        """Named parts; the frame follows the loads."""
        self._frame(picture, 100e3, system)
        picture.band("band", 0, 0)
        for name, style in (("stiff", 0), ("soft", 1)):
            picture.line(name, 0, style)
            picture.words(f"{name} name", 0, style=style, bold=True, align="right")
        for name in ("working", "breaking"):
            picture.reference(name, 0)
            picture.words(f"{name} name", 0, align="right" if name == "working" else "left")
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
        for name, share, forces, way in (
            ("stiff", result.stretch[0], high, 1),
            ("soft", result.stretch[1], low, -1.6),
        ):
            picture.move(name, x, forces)
            picture.say(
                f"{name} name", f"stretch {100 * share:.3g} %", 0.995 * x[-1], forces[-1] + way * 0.06 * top
            )
        who = "both chains" if result.chains == 2 else "one chain"
        for name, load in (("working", result.working_n), ("breaking", result.breaking_n)):
            y = from_si(load, "force", system)
            picture.move(name, [0.0, x[-1]], [y, y])
            # the band leaves room under its right end, and over its left one
            at, way = (0.995, -1) if name == "working" else (0.01, 1)
            picture.say(f"{name} name", f"{name} load, {who}", at * x[-1], y + way * 0.045 * top)
        here = from_si(result.here_m, "size", system)
        picture.move("here", [here, here], [from_si(f, "force", system) for f in result.here_n])
