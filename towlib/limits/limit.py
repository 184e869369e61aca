"""A limit: a demand against a capacity, answered within, over or not known. Unknown never counts as
within.
"""

import math
from collections.abc import Callable
from typing import NamedTuple

from towlib.rig.facts import Facts
from towlib.units import show

WITHIN, OVER, NOT_KNOWN = "within", "over", "not known"
WAYS = ("out", "back")
YES_NO = "yes_no"  # kind of a limit that asks whether a thing is so: 1 yes, 0 no


# why a limit that can be worked out is not answered yet
ASSUMED, TOO_CLOSE, ASKED = "assumed", "too close", "asked"


class Doubt(NamedTuple):
    """What keeps a limit that can be worked out from being answered."""

    kind: str  # an assumed value turns it, it is closer than the ± allow, or a value looks wrong
    path: str  # the field that decides
    words: str = ""  # whether the value is right, for one that looks wrong


class Beyond(float):
    """A demand that no capacity meets, and in words why: brakes that never stop the pair need no figure."""

    words: str

    def __new__(cls, words: str) -> "Beyond":
        beyond = super().__new__(cls, math.inf)
        beyond.words = words
        return beyond


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
    doubt: Doubt | None = None
    beyond: str = ""  # why no capacity meets the demand, which then has no figure

    @property
    def answer(self) -> str:
        """within, over or not known; in doubt it is not known."""
        return NOT_KNOWN if self.doubt else self.plain

    @property
    def plain(self) -> str:
        """The answer with every value as it stands, assumed ones too."""
        if self.beyond:
            return OVER
        if self.demand is None or self.capacity is None:
            return NOT_KNOWN
        return WITHIN if self.demand <= self.capacity and not self.lifted else OVER

    @property
    def lifted(self) -> bool:
        """Whether an axle or its tyres carry nothing any more: over, however strong they are."""
        return self.kind == "mass" and self.demand is not None and self.demand < 0.0

    @property
    def likely(self) -> str:
        """The plain answer where an assumed value could turn it; '' elsewhere."""
        return self.plain if self.doubt and self.doubt.kind == ASSUMED else ""

    @property
    def used(self) -> float | None:
        """Demand over capacity, temperatures counted from 20 °C; None when not known."""
        if self.beyond:
            return math.inf
        if self.demand is None or self.capacity is None:
            return None
        if self.kind == YES_NO:
            return 0.0 if self.plain == WITHIN else math.inf
        if self.lifted:
            return math.inf
        zero = 20.0 if self.kind == "temperature" else 0.0
        demand, capacity = self.demand - zero, self.capacity - zero
        if capacity <= 0:
            return math.inf if demand > capacity else 0.0
        return demand / capacity

    @property
    def room(self) -> float | None:
        """Capacity less demand, below 0 when over; None when not known, or when no capacity is enough."""
        return None if self.demand is None or self.capacity is None else self.capacity - self.demand

    def answer_text(self, system: str = "metric", name: Callable[[str], str] = str) -> str:
        """The answer in words: within by …, over by …, or what is not known; `name` says how a field is
        called.
        """
        if self.plain == NOT_KNOWN:
            return f"{NOT_KNOWN} ({'; '.join(name(fact) for fact in self.missing.split('; '))})"
        if self.doubt is None:
            return self._plain_text(system)
        field = name(self.doubt.path)
        if self.doubt.kind == ASSUMED:
            return f"{NOT_KNOWN}: likely {self._plain_text(system)}; {field} is assumed and decides"
        if self.doubt.kind == TOO_CLOSE:
            return f"{NOT_KNOWN}: {self._plain_text(system)}, too close for your ± (most of it: {field})"
        return f"{NOT_KNOWN}: {self.doubt.words}"

    def _plain_text(self, system: str) -> str:
        if self.kind == YES_NO:
            return self.plain if self.plain == WITHIN else f"{self.plain}: not fulfilled"
        if self.beyond:
            return f"{OVER}: {self.beyond}"
        if self.lifted:
            return f"{OVER}: lifted off the road by {show(-(self.demand or 0.0), self.kind, system)}"
        kind = "temperature_difference" if self.kind == "temperature" else self.kind
        return f"{self.plain} by {show(abs(self.room or 0.0), kind, system)}"


def in_words(value: float | None, kind: str, system: str = "metric") -> str:
    """A demand or capacity as text; yes or no where that is the question."""
    if kind == YES_NO and value is not None:
        return "yes" if value else "no"
    return show(value, "share" if kind == YES_NO else kind, system)


Side = Callable[[Facts, str], float]  # a demand or a capacity, from the facts and the way


def in_both_systems(value: float, kind: str) -> str:
    """A value as advice has it, in metric and in US units.

    >>> in_both_systems(100.0, "mass")
    '100 kg (220 lb)'
    """
    return f"{show(value, kind)} ({show(value, kind, 'us')})"


class Rule(NamedTuple):
    """How one limit is worked out from the facts."""

    key: str
    title: str
    kind: str
    demand: Side
    capacity: Side
    source: str
    advice: str = ""  # what would move it, in words
    per_way: bool = True  # the load of going and of coming home may differ


def rating(path: str) -> Side:
    """A capacity that is one field of the rig."""
    return lambda facts, way: facts.need(path)


def rank(limit: Limit) -> tuple[int, float]:
    """How pressing a limit is: over, likely over, not known, likely within, within; the tighter the more."""
    likely = {OVER: 3, WITHIN: 1}.get(limit.likely, 2)
    return {OVER: 4, NOT_KNOWN: likely, WITHIN: 0}[limit.answer], limit.used or 0.0


def by_closeness(limits: list[Limit]) -> list[Limit]:
    """Over first, the worst at the top; then likely over, not known, likely within; then within, the tightest
    first.
    """
    return sorted(limits, key=rank, reverse=True)
