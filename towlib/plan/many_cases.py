"""The plan in many cases: in how many each limit holds when the values behind ± and the assumptions vary, and
which of them matters most.

Every case takes each uncertain value anywhere in its range with equal chance (JCGM 100:2008, 4.3.7: nothing
else is known of it) and is worked out with the equations of the plan itself.
"""

from collections.abc import Callable
from typing import Any, NamedTuple

import numpy as np

from towlib.limits.limit import WAYS, YES_NO, Limit, Rule
from towlib.physics.basics.cases import Cases, Split, for_all
from towlib.plan.many_case_legs import SampledLeg, joined, sampled_leg
from towlib.plan.trip import make_plan, rules_of
from towlib.rig.facts import CaseFacts, Facts, NotKnown
from towlib.rig.model import Rig
from towlib.rig.uncertain import Uncertain, uncertain_values
from towlib.road.route import Route

COUNT = 10_000
SEARCHED = 100  # cases of a limit that is found by a search, one by one
CHUNK, CHUNK_STEPS = (
    11_000,
    12_000_000,
)  # cases driven together, and cases times steps of the road: bounds the memory of a long road
SEED = 1  # the same cases every time


class SampledLimit(NamedTuple):
    """A limit over all cases."""

    limit: Limit  # as planned, with the best values
    holds: int  # cases in which it is within
    known: int  # cases with an answer
    cases: int  # cases worked out
    most: Uncertain | None  # the value that moves it most on its own; None when none moves it
    used_range: tuple[
        float, float, float
    ]  # share used, with that value at its low end, at its best, at its high end
    used: np.ndarray  # share used in each case, nan where not known


class SampledPlan(NamedTuple):
    """All limits over all cases."""

    uncertain: tuple[Uncertain, ...]
    cases: int
    limits: tuple[SampledLimit, ...]


def varied(rig: Rig) -> tuple[Uncertain, ...]:
    """The values that vary from case to case: numbers; a choice that was assumed stays as it is."""
    return tuple(each for each in uncertain_values(rig) if isinstance(each.low, float))


def sample_plan(rig: Rig, route: Route, *, count: int = COUNT, keys: tuple[str, ...] = ()) -> SampledPlan:
    """Answer the limits (those of `keys`, or all) in `count` cases, and once with each uncertain value alone
    at either end.

    Limits that are found by a search are worked out in fewer cases, each says in how many.
    """
    uncertain = varied(rig)
    drawn = _drawn(uncertain, count)
    sample = _Sample(rig, route, drawn, count)
    limits = {limit.key: limit for limit in make_plan(rig, route).limits}
    found = [
        _sampled(rule, limits[rule.key], sample, uncertain, count)
        for rule in rules_of(Facts(rig), route, sample.drive)
        if not keys or rule.key in keys
    ]
    order = {key: i for i, key in enumerate(limits)}
    return SampledPlan(uncertain, count, tuple(sorted(found, key=lambda each: order[each.limit.key])))


def _drawn(uncertain: tuple[Uncertain, ...], count: int) -> dict[str, np.ndarray]:
    """Each value in every case: at random (Latin hypercube), then all at their best, then one after the other
    at its low and high end.
    """
    if not uncertain:
        return {}
    from scipy.stats import qmc  # slow to import, and most readers of a lesson never ask for it

    low, best, high = (
        np.array([getattr(each, name) for each in uncertain]) for name in ("low", "best", "high")
    )
    random = low + qmc.LatinHypercube(len(uncertain), rng=SEED).random(count) * (high - low)
    alone = np.tile(best, (2 * len(uncertain), 1))
    for i in range(len(uncertain)):
        alone[2 * i, i], alone[2 * i + 1, i] = low[i], high[i]
    rows = np.concatenate([random, best[None, :], alone])
    return {each.path: np.ascontiguousarray(rows[:, i]) for i, each in enumerate(uncertain)}


class _Sample:
    """The cases, and the road driven in them when it is first asked for. (Threads were tried: so many short
    steps wait for each other.)
    """

    def __init__(self, rig: Rig, route: Route, drawn: dict[str, np.ndarray], count: int):
        self.rig, self.route, self.drawn, self.count, self.total = (
            rig,
            route,
            drawn,
            count,
            count + 1 + 2 * len(drawn),
        )
        self._some: np.ndarray | None = None
        self._one: dict[int, CaseFacts] = {}
        self._legs: dict[str, SampledLeg | NotKnown] = {}
        self._driven = False
        self._contradict: np.ndarray | None = None

    def facts(self, some: np.ndarray) -> CaseFacts:
        """The rig in some cases."""
        return CaseFacts(self.rig, {path: Cases(values[some]) for path, values in self.drawn.items()})

    def one(self, case: int) -> CaseFacts:
        """The rig in one case."""
        if case not in self._one:
            self._one[case] = CaseFacts(
                self.rig, {path: float(values[case]) for path, values in self.drawn.items()}
            )
        return self._one[case]

    def drive(self, facts: Facts, way: str) -> Any:
        """The leg in the cases at work."""
        if not self._legs:
            self._drive_all()
        self._driven = True
        leg = self._legs[way]
        if isinstance(leg, NotKnown):
            raise NotKnown(leg.reason)
        return leg if self._some is None else leg.at(self._some)

    def _drive_all(self) -> None:
        chunk = max(1, min(CHUNK, CHUNK_STEPS // len(self.route.grade)))
        chunks = np.array_split(np.arange(self.total), -(-self.total // chunk))
        for way in WAYS:
            try:
                legs = [self._leg(way, some) for some in chunks]
                leg = joined([leg for leg, _ in legs], np.argsort(np.concatenate([some for _, some in legs])))
                self._legs[way], self._contradict = leg, leg.contradict
            except NotKnown as missing:
                self._legs[way] = missing
            except ValueError as error:  # figures that cannot be, said by the physics in one sentence
                self._legs[way] = NotKnown(str(error))

    def _leg(self, way: str, some: np.ndarray) -> tuple[SampledLeg, np.ndarray]:
        """The road driven in some cases, parted where they disagree before it starts; with the cases in their
        new order.
        """
        try:
            return sampled_leg(self.facts(some), self.route, way, count=len(some)), some
        except Split as parted:
            parts = [self._leg(way, part) for part in (some[parted.mask], some[~parted.mask])]
            together = np.concatenate([cases for _, cases in parts])
            return joined([leg for leg, _ in parts], np.arange(len(together))), together

    def values(self, side: Callable[[Facts, str], float], way: str, few: int) -> tuple[np.ndarray, int]:
        """A demand or capacity in every case (nan where not known), and how many random cases were worked
        out: all, or the first few.
        """
        try:
            found = for_all(
                self.total,
                lambda some: self._side(side, self.facts(some), way, some),
                cannot=(NotKnown, ValueError),
            )
            return found, self.count
        except TypeError:  # a search, or a library that takes floats only: case by case
            found = np.full(self.total, np.nan)
            best = self._single(side, way, self.count)
            found[self.count :] = best
            read = self.one(self.count).touched
            alone = [
                self.count + 1 + 2 * i + end
                for i, path in enumerate(self.drawn)
                if path in read
                for end in (0, 1)
            ]
            for case in (*range(few), *alone):
                found[case] = self._single(side, way, case)
            return found, few

    def _single(self, side: Callable[[Facts, str], float], way: str, case: int) -> float:
        facts = self.one(case)
        facts.touched = set()
        try:
            return float(self._side(side, facts, way, np.array([case])))
        except (NotKnown, ValueError):
            return np.nan

    def _side(self, side: Callable[[Facts, str], float], facts: Facts, way: str, some: np.ndarray) -> Any:
        self._some, self._driven = some, False
        try:
            found = side(facts, way)
        finally:
            self._some = None
        if (
            self._driven and self._contradict is not None and self._contradict[some].any()
        ):  # no such engine: not known, as in the plan
            return np.where(
                self._contradict[some], np.nan, found.values if isinstance(found, Cases) else found
            )
        return found


def _sampled(
    rule: Rule, limit: Limit, sample: _Sample, uncertain: tuple[Uncertain, ...], count: int
) -> SampledLimit:
    ways, done = [], count
    for way in WAYS if rule.per_way else WAYS[:1]:
        (demand, some), (capacity, others) = (
            sample.values(side, way, min(SEARCHED, count)) for side in (rule.demand, rule.capacity)
        )
        ways.append(_used(rule.kind, demand, capacity))
        done = min(done, some, others)
    used = np.fmax.reduce(ways)
    used[np.isnan(ways).any(axis=0) & ~(used > 1.0)] = np.nan  # over on one way is over, else not known
    random = used[:done]
    best = float(used[count])
    alone = [
        (float(used[count + 1 + 2 * i]), best, float(used[count + 2 + 2 * i])) for i in range(len(uncertain))
    ]
    most = max(range(len(uncertain)), key=lambda i: _moved(alone[i]), default=None)
    if most is not None and _moved(alone[most]) < 1e-6:
        most = None
    return SampledLimit(
        limit,
        int((random <= 1.0).sum()),
        int((~np.isnan(random)).sum()),
        len(random),
        uncertain[most] if most is not None else None,
        alone[most] if most is not None else (best,) * 3,
        random,
    )


def _moved(used: tuple[float, float, float]) -> float:
    """How far a limit moves over the range of one value; all the way where it is known at some places of it
    only.
    """
    known = [share for share in used if not np.isnan(share)]
    if not known or min(known) == max(known):
        return np.inf if 0 < len(known) < len(used) else 0.0
    return np.inf if len(known) < len(used) else max(known) - min(known)


def _used(kind: str, demand: np.ndarray, capacity: np.ndarray) -> np.ndarray:
    """Limit.used in every case."""
    unknown = ~(np.isfinite(demand) & np.isfinite(capacity))
    zero = 20.0 if kind == "temperature" else 0.0
    over, room = demand - zero, capacity - zero
    with np.errstate(divide="ignore", invalid="ignore"):
        used = np.where(room > 0, over / np.where(room > 0, room, 1.0), np.where(over > room, np.inf, 0.0))
    if kind == YES_NO:
        used = np.where(demand <= capacity, 0.0, np.inf)
    if kind == "mass":
        used = np.where(demand < 0.0, np.inf, used)  # lifted off the road
    return np.where(unknown, np.nan, used)
