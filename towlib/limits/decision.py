"""How a limit is answered: both ways, with what is assumed at both ends of its range and the reader's own ±
taken into account. What an assumption or a ± could turn is not known.
"""

import math
from collections.abc import Mapping
from functools import partial
from typing import Any

from towlib.limits.harsh_ends import harsh_end, to_and_fro, weightiest_first
from towlib.limits.limit import (
    ASKED,
    ASSUMED,
    NOT_KNOWN,
    TOO_CLOSE,
    WAYS,
    WITHIN,
    YES_NO,
    Beyond,
    Doubt,
    Limit,
    Rule,
    Side,
    rank,
)
from towlib.rig.facts import Facts, NotKnown, assumptions
from towlib.rig.model import label_of, value_at
from towlib.rig.plausible import read_back
from towlib.rig.uncertain import Uncertain, uncertain_values

# A ± is half a range with equal chance, standard uncertainty a/√3 (JCGM 100:2008, 4.3.7); the guard band is
# the expanded uncertainty U = 2u (JCGM 106:2012, 8.3.2)
GUARD = 2.0 / math.sqrt(3.0)
ALIKE = 0.99  # what a value takes on the way out, it takes on the way back but for so much
TRIED_ALONE = 2  # of the weightiest values, where each takes a drive to try


def answer(rule: Rule, facts: Facts) -> Limit:
    """Work out a limit for both ways and keep the more pressing one: over before likely over, that before not
    known, that before within.
    """
    ways = WAYS if rule.per_way else WAYS[:1]
    return max((_decided(rule, facts, way) for way in ways), key=rank)


def plain(rule: Rule, facts: Facts) -> Limit:
    """The same with every value as it stands, for pictures that follow a slider."""
    ways = WAYS if rule.per_way else WAYS[:1]
    return max((plain_answer(rule, facts, way)[0] for way in ways), key=rank)


def plain_answer(rule: Rule, facts: Facts, way: str) -> tuple[Limit, frozenset[str]]:
    """A limit one way with every value as it stands, and the paths of what it used that is assumed or has a
    ±.
    """
    missing: list[str] = []
    values: list[float | None] = []
    read: set[str] = set()
    beyond = ""
    for side in (rule.demand, rule.capacity):
        try:
            value, used = facts.assumed_in(partial(_of, side, facts, way))
            read.update(used)
            values.append(float(value) if math.isfinite(value) else None)
            if isinstance(value, Beyond):
                beyond = value.words
            elif values[-1] is None:
                missing.append("a number that could not be worked out")
        except (
            NotKnown,
            ValueError,
        ) as unknown:  # ValueError: figures that cannot be, said by the physics in one sentence
            values.append(None)
            missing.append(str(unknown))
    limit = Limit(
        rule.key,
        rule.title,
        rule.kind,
        values[0],
        values[1],
        rule.source,
        way,
        "" if beyond else "; ".join(dict.fromkeys(missing)),
        tuple(sorted(path for path in read if path in assumptions() and value_at(facts.rig, path) is None)),
        rule.advice,
        beyond=beyond,
    )
    return limit, frozenset(read)


def _of(side: Side, facts: Facts, way: str) -> float:
    """A demand or capacity, worked out anew only where it reads something that is changed."""
    worked_out: float = facts.once((side, way), partial(side, facts, way))
    return worked_out


def _decided(rule: Rule, facts: Facts, way: str) -> Limit:
    limit, read = plain_answer(rule, facts, way)
    found = facts.once("uncertain", lambda: uncertain_values(facts.rig))
    doubtful = [each for each in found if each.path in read]
    if limit.plain == NOT_KNOWN:
        return limit
    if asked := sorted(path for path in read if path in facts.asked):
        words = f"{label_of(asked[0])} {read_back(asked[0], value_at(facts.rig, asked[0]))}: is that right?"
        return limit._replace(doubt=Doubt(ASKED, asked[0], words), missing="; ".join(asked))
    if not doubtful:
        return limit
    against = _Ends(rule, facts, way, limit)
    if against.all_hold(doubtful):
        return limit
    assumed = [each for each in doubtful if each.assumed]
    corners = against.corners(assumed)
    if not all(map(against.holds, corners)):
        return _in_doubt(limit, ASSUMED, against.decider(assumed))
    given = [each for each in doubtful if not each.assumed]
    if against.within_guard(given):
        return _in_doubt(limit, TOO_CLOSE, max(given, key=against.moved_by).path)
    if assumed and any(_Ends(rule, facts.other(c), way, limit).within_guard(given) for c in corners):
        return _in_doubt(limit, ASSUMED, against.decider(assumed))
    return limit


def _in_doubt(limit: Limit, kind: str, path: str) -> Limit:
    return limit._replace(doubt=Doubt(kind, path), missing=path)


class _Ends:
    """One limit one way, with values at those ends of their ranges that speak against its plain answer."""

    def __init__(self, rule: Rule, facts: Facts, way: str, limit: Limit):
        self.rule, self.facts, self.way, self.sign = rule, facts, way, 1.0 if limit.plain == WITHIN else -1.0
        self.best = self.room({})

    def room(self, values: Mapping[str, Any]) -> float:
        """Room in favour of the plain answer with other values; minus infinity where that is not known."""
        facts = self.facts.other(values) if values else self.facts
        try:
            demand = _of(self.rule.demand, facts, self.way)
            if isinstance(demand, Beyond):
                return -self.sign * math.inf
            capacity = _of(self.rule.capacity, facts, self.way)
        except (NotKnown, ValueError):
            return -math.inf
        lifted = self.rule.kind == "mass" and demand < 0.0
        room = self.sign * (demand if lifted else capacity - demand)
        return float(room) if math.isfinite(room) else -math.inf

    def holds(self, values: Mapping[str, Any]) -> bool:
        """Whether the plain answer stands with other values."""
        room = self.room(values)
        return room >= 0.0 if self.sign > 0 else room > 0.0

    def all_hold(self, doubtful: list[Uncertain]) -> bool:
        """Whether the plain answer stands with every value at its end, each ± as wide as its guard band; not
        said of values that cancel out, which move the limit less together than one of them alone.
        """
        corners = self.corners(doubtful, GUARD)
        alone = ALIKE * max(map(self._alone, doubtful))
        return all(map(self.holds, corners)) and self.best - self.room(corners[0]) >= alone

    def corners(self, doubtful: list[Uncertain], share: float = 1.0) -> list[dict[str, Any]]:
        """All values at the ends that speak against the plain answer; and once more with those at their other
        end that move this limit to and fro.
        """
        harsh = {each.path: self.end(each, share) for each in doubtful}
        other = {
            each.path: next((end for end in each.away(share) if end != harsh[each.path]), each.best)
            for each in doubtful
            if each.path in to_and_fro(self.rule.key)
        }
        return [harsh, {**harsh, **other}] if other else [harsh]

    def end(self, each: Uncertain, share: float = 1.0) -> Any:
        """The end of a range that speaks against the plain answer."""
        low, high = each.away(share)
        harsh = harsh_end(self.rule.key, each.path) or self._found_end(each)[0]
        return {"low": low, "high": high}[harsh] if self.sign > 0 else {"low": high, "high": low}[harsh]

    def _alone(self, each: Uncertain) -> float:
        """How far one value alone moves the limit against its answer, where that is known without a drive."""
        if harsh_end(self.rule.key, each.path):
            return 0.0
        _, less, more = self._found_end(each)
        return less if self.sign > 0 else more

    def _found_end(self, each: Uncertain) -> tuple[str, float, float]:
        """Which end leaves the limit less room, how much less, and how much more room either end gives; asked
        of one way, and holds for both. A value that moves nothing is taken at its high end, as most limits
        have it, so that they share a drive.
        """

        def found() -> tuple[str, float, float]:
            low, high = (self.sign * self.room({each.path: end}) for end in (each.low, each.high))
            best = self.sign * self.best
            return "low" if low < high else "high", best - min(low, high), max(low, high) - best

        return self.facts.once(("harsh", self.rule.key, each.path), found)

    def moved_by(self, each: Uncertain) -> float:
        """How far the harsher end of one value alone moves the limit against its answer."""
        return self.best - self.room({each.path: self.end(each)})

    def decider(self, assumed: list[Uncertain]) -> str:
        """The assumed value to find out first: the one that moves the limit most; where the road would have
        to be driven for each, the weightiest that turns it alone, or else the weightiest.
        """
        by_path = {each.path: each for each in assumed}
        if order := weightiest_first(self.rule.key, list(by_path)):
            first = order[:TRIED_ALONE]
            alone = (path for path in first if not self.holds({path: self.end(by_path[path])}))
            return next(alone, order[0])
        return max(assumed, key=self.moved_by).path

    def within_guard(self, given: list[Uncertain]) -> bool:
        """Whether the room is smaller than the guard band of these ±, each taken as far as its harsher end
        moves the limit: where both ends do harm (a level bar), half their difference would be nothing.
        """
        if self.best == math.inf:  # over without a figure: only what brings it within counts
            return any(not self.holds({each.path: self.end(each)}) for each in given)
        moves = [max(0.0, self.moved_by(each)) for each in given]
        if self.rule.kind == YES_NO:
            return any(moves)
        return self.best < GUARD * math.sqrt(sum(move * move for move in moves))
