"""What is known of a rig: its own values first, labelled assumptions second, and a record of what each answer used."""

import csv
from collections.abc import Callable, Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any, NamedTuple

from towlib.measured import rule_of
from towlib.rig import Rig, field_info

ASSUMED_FILE = Path(__file__).parents[1] / "data" / "handbook" / "assumed.csv"


class Assumption(NamedTuple):
    """A value used when the rig file does not give one."""

    field: str
    text: str
    value: Any
    why: str
    known_by: str
    source: str
    low: Any = None  # ends of the range it may well have, None where none is given; from memory like the value unless the source says otherwise
    high: Any = None


class NotKnown(Exception):
    """A fact that an answer needs is missing; `reason` is the field's path or a short sentence."""

    def __init__(self, reason: str):
        self.reason = reason
        super().__init__(reason)


@lru_cache(maxsize=1)
def assumptions() -> dict[str, Assumption]:
    """All assumptions by field path, from data/handbook/assumed.csv."""
    with ASSUMED_FILE.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    return {row["field"]: Assumption(row["field"], row["value"], _read(row["field"], row["value"]), row["why"], row["known_by"], row["source"],
                                     *(_read(row["field"], row[end]) if row[end] else None for end in ("low", "high"))) for row in rows}


def _read(path: str, text: str) -> Any:
    info = field_info(path)
    rule = rule_of(info)
    if rule:
        return rule.read(text)
    if "bool" in str(info.annotation):
        return text == "true"
    try:
        return float(text)
    except ValueError:
        return text


class Facts:
    """Values of one rig by path; `need` raises NotKnown for what is missing and notes what was assumed.

    `instead` puts other values in place of assumptions, to see what they do.
    """

    def __init__(self, rig: Rig, instead: Mapping[str, Any] | None = None):
        self.rig = rig
        self._instead = instead or {}
        self._used: list[set[str]] = []
        self._kept: dict[Any, tuple[Any, frozenset[str]]] = {}

    def have(self, path: str) -> Any:
        """The value, the assumption, or None."""
        value: Any = self.rig
        for step in path.split("."):
            value = getattr(value, step)
        if value is None and path in assumptions():
            self._note(path)
            return self._instead.get(path, assumptions()[path].value)
        return value

    def need(self, path: str) -> Any:
        """The value or the assumption; raises NotKnown when there is neither."""
        value = self.have(path)
        if value is None:
            raise NotKnown(path)
        return value

    def assumed_in(self, work: Callable[[], Any]) -> tuple[Any, tuple[str, ...]]:
        """Run some work and return its result and the paths of the assumptions it used."""
        self._used.append(set())
        try:
            result = work()
        finally:
            used = self._used.pop()
            for path in used:
                self._note(path)
        return result, tuple(sorted(used))

    def once(self, key: Any, work: Callable[[], Any]) -> Any:
        """Do a piece of work once for this rig; later callers get the same result and inherit its assumptions."""
        if key not in self._kept:
            try:
                result, used = self.assumed_in(work)
            except NotKnown as missing:
                result, used = missing, ()
            self._kept[key] = (result, frozenset(used))
        result, used = self._kept[key]
        for path in used:
            self._note(path)
        if isinstance(result, NotKnown):
            raise result
        return result

    def _note(self, path: str) -> None:
        if self._used:
            self._used[-1].add(path)
