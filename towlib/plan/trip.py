"""The plan: rig and road in, every limit and the road by segment out."""

import gc
import math
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import NamedTuple

from towlib.limits.advice import advice_for
from towlib.limits.attachment_limits import attachment_rules, first_to_yield_words
from towlib.limits.chains_limits import (
    chain_rule_words,
    chain_rules,
    dropped_words,
    links_words,
    second_pair_words,
)
from towlib.limits.climbs import less_behind_kg
from towlib.limits.coupler_limits import COUPLER_RULES
from towlib.limits.coupling_limits import coupling_rules, level_words, prop_words
from towlib.limits.decision import answer
from towlib.limits.driveline_limits import driveline_rules
from towlib.limits.electrics_limits import electric_rules
from towlib.limits.envelope_limits import bar_rule_words, envelope_rules
from towlib.limits.joint_limits import crack_words, joint_rules
from towlib.limits.legs import Drive, Leg, driver
from towlib.limits.limit import (
    NOT_KNOWN,
    OVER,
    WAYS,
    WITHIN,
    Limit,
    Rule,
    by_closeness,
    in_both_systems,
    rank,
)
from towlib.limits.road_limits import road_rules
from towlib.limits.stopping_limits import stopping_rules
from towlib.limits.turning_limits import TURNING_RULES
from towlib.limits.weights_limits import WEIGHT_RULES
from towlib.rig.facts import Assumption, Facts, NotKnown, assumptions
from towlib.rig.model import Rig
from towlib.road.route import Route
from towlib.units import show

BRAKE_AXLES = {"front_brakes": 0, "rear_brakes": 1, "towed_brakes": 2}


MOST_NAMED = 3  # limits likely over that verdict and list name
NOT_JUDGED = (
    "Not judged: bad welds and rust, the bar itself and frames, what the law asks about brakes, weather and"
    " the driver."
)


class Plan(NamedTuple):
    """Everything the trip sheet tells."""

    rig: Rig
    route: Route
    limits: tuple[Limit, ...]  # over first, then not known, then within by closeness
    legs: tuple[Leg, ...]  # out and back; empty when the road could not be driven
    road_missing: str  # what kept the road from being driven, "" otherwise
    assumed: tuple[Assumption, ...]
    to_fit: tuple[str, ...] = ()  # ball mount, chain links and the bracket's weakest part, in words
    prop: str = ""  # how high to rest the bar for coupling alone, in words

    def count(self, answer_word: str) -> int:
        """How many limits have this answer."""
        return sum(limit.answer == answer_word for limit in self.limits)

    @property
    def likely_over(self) -> tuple[Limit, ...]:
        """Limits that an assumed value could still turn, and that are over as it stands."""
        return tuple(limit for limit in self.limits if limit.likely == OVER)

    @property
    def governing(self) -> Limit | None:
        """The limit that is most over, else the tightest that is within; None when all are not known."""
        known = [limit for limit in self.limits if limit.answer != NOT_KNOWN]
        return max(known, key=rank) if known else None

    @property
    def governing_advice(self) -> str:
        """What would move the governing limit."""
        if self.governing and self.governing.answer == WITHIN:
            least = "Of those that are known it" if self.count(NOT_KNOWN) else "It"
            return f"{least} has the least room; what would give it more: {self.governing.advice}"
        return (
            self.governing.advice
            if self.governing
            else "Nothing is known well enough yet; the limits name what to find out."
        )

    @property
    def brakes_are_within(self) -> bool:
        """Whether every brake limit is known and within, so that the road table is a way to drive."""
        return all(limit.answer == WITHIN for limit in self.limits if limit.key in BRAKE_AXLES)

    @property
    def verdict(self) -> str:
        """One plain sentence on the whole trip."""
        over, unknown, within = self.count(OVER), self.count(NOT_KNOWN), self.count(WITHIN)
        likely = f" (likely over: {titles(self.likely_over)})" if self.likely_over else ""
        if over:
            return (
                f"{over} of {len(self.limits)} limits over, {unknown} not known{likely}, {within} within: do"
                " not tow it like this."
            )
        if unknown:
            return (
                f"No limit over, but {unknown} of {len(self.limits)} not known{likely}: find these out before"
                " you drive."
            )
        return f"All {within} limits within by these figures; the makers' manuals and the law come first."


def titles(limits: Sequence[Limit]) -> str:
    """Titles of the first limits, one after the other, and how many more."""
    more = len(limits) - MOST_NAMED
    named = "; ".join(limit.title for limit in limits[:MOST_NAMED])
    return f"{named} and {more} more" if more > 0 else named


@contextmanager
def collector_off() -> Iterator[None]:
    """A plan makes small tuples by the hundred thousand and next to no rings of objects. Python's collector
    of rings would look them through again and again, on a long road for nearly half of the time.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


@collector_off()
def make_plan(rig: Rig, route: Route) -> Plan:
    """Answer every limit of a rig on a road, out and back."""
    facts, drive = Facts(rig), driver(route)
    legs: list[Leg] = []
    road_missing = ""
    try:
        legs = [drive(facts, way) for way in WAYS]
    except NotKnown as missing:
        road_missing = missing.reason
    rules = {rule.key: rule for rule in rules_of(facts, route, drive)}
    limits = by_closeness([answer(rule, facts) for rule in rules.values()])
    used = sorted({path for limit in limits for path in limit.assumed})
    limits = [limit._replace(advice=advice_for(rules[limit.key], limit, facts, rules)) for limit in limits]
    limits = [limit._replace(advice=what_moves(limit, facts, drive)) for limit in limits]
    return Plan(
        rig,
        route,
        tuple(limits),
        tuple(legs),
        road_missing,
        tuple(assumptions()[path] for path in used),
        to_fit=tuple(
            words
            for words in (
                level_words(facts, "out"),
                chain_rule_words(facts),
                links_words(facts),
                dropped_words(facts),
                second_pair_words(facts),
                first_to_yield_words(facts, route),
                crack_words(facts, route),
                bar_rule_words(facts),
            )
            if words
        ),
        prop=prop_words(facts),
    )


def rules_of(facts: Facts, route: Route, drive: Drive) -> list[Rule]:
    """Every limit of this rig on this road."""
    return [
        *WEIGHT_RULES,
        *coupling_rules(facts),
        *COUPLER_RULES,
        *attachment_rules(route),
        *joint_rules(route),
        *envelope_rules(facts, route),
        *chain_rules(facts),
        *road_rules(facts, drive),
        *stopping_rules(route),
        *TURNING_RULES,
        *driveline_rules(facts, route),
        *electric_rules(facts),
    ]


def what_moves(limit: Limit, facts: Facts, drive: Drive) -> str:
    """What would move a limit: how much less weight, how much slower, or the words of its advice."""
    if limit.answer == OVER and limit.kind == "mass" and limit.room is not None and not limit.lifted:
        return f"It needs {in_both_systems(-limit.room, 'mass')} less. {limit.advice}"
    if OVER in (limit.answer, limit.likely) and limit.key in BRAKE_AXLES:
        return f"{_slower_descent(limit, facts, drive)} {limit.advice}"
    if OVER in (limit.answer, limit.likely) and limit.key == "coolant":
        return f"{_slower_climb(limit, facts, drive)}{limit.advice}"
    if OVER in (limit.answer, limit.likely) and limit.key == "climb_speed":
        less_kg = less_behind_kg(facts, drive, limit.way)
        slow = "accept a lower speed and use the slow lane."
        if less_kg is None:
            return slow.capitalize()
        return f"It needs {in_both_systems(less_kg, 'mass')} less in the towed vehicle; or {slow}"
    return limit.advice


def _slower_climb(limit: Limit, facts: Facts, drive: Drive) -> str:
    """The fastest speed of the trip, in steps of 10 km/h, at which the coolant stays within on this way; ''
    when none does. Slower alone is not cooler: a lower gear turns the engine faster with less air on the
    radiator.
    """
    fastest_kmh = math.ceil(facts.need("conditions.cruise_speed") * 3.6 / 10) * 10 - 10
    for kmh in range(fastest_kmh, 20, -10):
        speed = kmh / 3.6
        try:
            hottest = drive(facts.other({"conditions.cruise_speed": speed}), limit.way).highest_coolant_c()
        except NotKnown:
            continue
        if limit.capacity is not None and hottest <= limit.capacity:
            return (
                f"At most {in_both_systems(speed, 'speed')} keeps it at"
                f" {in_both_systems(hottest, 'temperature')}. "
            )
    return ""


def _slower_descent(limit: Limit, facts: Facts, drive: Drive) -> str:
    """The fastest descent speed, in steps of 5 km/h, at which these brakes stay within."""
    speed_kmh = int(facts.need("conditions.descent_speed") * 3.6 / 5) * 5
    for slower_kmh in range(speed_kmh, 15, -5):
        speed = slower_kmh / 3.6
        slower = facts.other({"conditions.descent_speed": speed})
        hottest = drive(slower, limit.way).highest_brake_c(BRAKE_AXLES[limit.key])
        if limit.capacity is not None and hottest <= limit.capacity:
            return (
                f"Coming down at {show(speed, 'speed')} ({show(speed, 'speed', 'us')}) in the gear that holds"
                f" it keeps them at {show(hottest, 'temperature')} ({show(hottest, 'temperature', 'us')})."
            )
    return (
        "No descent speed above 15 km/h keeps them within: less weight, brakes on the towed vehicle, or stops"
        " to cool."
    )
