"""A limit: a demand against a capacity, answered within, over or not known. Unknown never counts as
within.
"""

import math
from collections.abc import Callable
from functools import partial
from typing import NamedTuple

from towlib.rig.facts import Facts, NotKnown
from towlib.units import show

WITHIN, OVER, NOT_KNOWN = "within", "over", "not known"
WAYS = ("out", "back")
YES_NO = "yes_no"  # kind of a limit that asks whether a thing is so: 1 yes, 0 no


class Limit(NamedTuple):
    """One answered question about the rig."""

    key: str
    title: str
    kind: str  # a kind of towlib.units, or YES_NO
    demand: float | None  # SI
    capacity: float | None  # SI
    source: str  # where the capacity comes from
    way: str  # the way on which it is closest: out or back
    missing: str  # what would have to be known, "" when nothing is missing
    assumed: tuple[str, ...]  # paths of assumed values that went into it
    advice: str = ""

    @property
    def answer(self) -> str:
        """within, over or not known."""
        if self.demand is None or self.capacity is None:
            return NOT_KNOWN
        return WITHIN if self.demand <= self.capacity else OVER

    @property
    def used(self) -> float | None:
        """Demand over capacity, temperatures counted from 20 °C; None when not known."""
        if self.demand is None or self.capacity is None:
            return None
        if self.kind == YES_NO:
            return 0.0 if self.answer == WITHIN else math.inf
        zero = 20.0 if self.kind == "temperature" else 0.0
        demand, capacity = self.demand - zero, self.capacity - zero
        if capacity <= 0:
            return math.inf if demand > 0 else 0.0
        return demand / capacity

    @property
    def room(self) -> float | None:
        """Capacity less demand, below 0 when over; None when not known."""
        return None if self.demand is None or self.capacity is None else self.capacity - self.demand

    def answer_text(self, system: str = "metric") -> str:
        """The answer in words: within by …, over by …, or what is not known."""
        if self.room is None:
            return f"{NOT_KNOWN} ({self.missing})"
        if self.kind == YES_NO:
            return self.answer if self.answer == WITHIN else f"{self.answer}: not fulfilled"
        kind = "temperature_difference" if self.kind == "temperature" else self.kind
        return f"{self.answer} by {show(abs(self.room), kind, system)}"


def in_words(value: float | None, kind: str, system: str = "metric") -> str:
    """A demand or capacity as text; yes or no where that is the question."""
    if kind == YES_NO and value is not None:
        return "yes" if value else "no"
    return show(value, "share" if kind == YES_NO else kind, system)


class Rule(NamedTuple):
    """How one limit is worked out from the facts."""

    key: str
    title: str
    kind: str
    demand: Callable[[Facts, str], float]
    capacity: Callable[[Facts, str], float]
    source: str
    advice: str = ""  # what would move it, in words
    per_way: bool = True  # the load of going and of coming home may differ


def rating(path: str) -> Callable[[Facts, str], float]:
    """A capacity that is one field of the rig."""
    return lambda facts, way: facts.need(path)


def answer(rule: Rule, facts: Facts) -> Limit:
    """Work out a limit for both ways and keep the closer one; not known wherever a fact is missing."""
    found = [_one_way(rule, facts, way) for way in (WAYS if rule.per_way else WAYS[:1])]
    unknown = [limit for limit in found if limit.answer == NOT_KNOWN]
    return unknown[0] if unknown else max(found, key=lambda limit: limit.used or 0.0)


def _one_way(rule: Rule, facts: Facts, way: str) -> Limit:
    missing: list[str] = []
    values: list[float | None] = []
    assumed: set[str] = set()
    for side in (rule.demand, rule.capacity):
        try:
            value, used = facts.assumed_in(partial(side, facts, way))
            assumed.update(used)
            values.append(_finite(value))
            if values[-1] is None:
                missing.append("a number that could not be worked out")
        except (
            NotKnown,
            ValueError,
        ) as unknown:  # ValueError: figures that cannot be, said by the physics in one sentence
            values.append(None)
            missing.append(str(unknown))
    return Limit(
        rule.key,
        rule.title,
        rule.kind,
        values[0],
        values[1],
        rule.source,
        way,
        "; ".join(dict.fromkeys(missing)),
        tuple(sorted(assumed)),
        rule.advice,
    )


def _finite(value: float) -> float | None:
    return float(value) if math.isfinite(value) else None


def by_closeness(limits: list[Limit]) -> list[Limit]:
    """Over first, the worst at the top; then not known; then within, the tightest first."""
    order = {OVER: 0, NOT_KNOWN: 1, WITHIN: 2}
    return sorted(limits, key=lambda limit: (order[limit.answer], -(limit.used or 0.0)))
