"""Rigs for tests: the invented ones, and what becomes of one when every figure is raised."""

from typing import Any

from towlib.limits.decision import answer
from towlib.limits.legs import driver
from towlib.limits.limit import Limit
from towlib.plan.other_ways import method_rules
from towlib.plan.trip import rules_of
from towlib.rig.facts import Facts
from towlib.rig.model import Rig
from towlib.road.route import Route

DEMOS = ("demo_comfortable", "demo_overloaded")


def raised(part: Any, factor: float) -> Any:
    """A rig, or a part of one, with every measured figure multiplied; counts, words and yes-or-no stay."""
    values = {name: _raised(getattr(part, name), factor) for name in type(part).model_fields}
    return type(part).model_construct(**values)


def _raised(value: Any, factor: float) -> Any:
    if hasattr(type(value), "model_fields"):
        return raised(value, factor)
    if isinstance(value, tuple):
        return tuple(_raised(each, factor) for each in value)
    return value * factor if isinstance(value, float) else value


def changed(part: Any, path: str, value: Any) -> Any:
    """A rig, or a part of one, with another value for a field."""
    head, _, rest = path.partition(".")
    return part.model_copy(update={head: changed(getattr(part, head), rest, value) if rest else value})


def without(part: Any, path: str) -> Any:
    """A rig, or a part of one, without a field."""
    return changed(part, path, None)


def method_limits(facts: Facts, need: Any, method: str) -> tuple[Limit, ...]:
    """Every limit of one way of towing, with a dolly or trailer made for a test."""
    return tuple(answer(rule, facts) for rule in method_rules(need, method))


def limits_of(rig: Rig, road: Route, keys: tuple[str, ...] = ()) -> list[Limit]:
    """The limits of a plan, or some of them, without its advice and words, which take most of the time."""
    facts = Facts(rig)
    rules = rules_of(facts, road, driver(road))
    return [answer(rule, facts) for rule in rules if not keys or rule.key in keys]
