"""What is known of a rig: its own values first, labelled assumptions second, and a record of what each answer
used.
"""

from collections.abc import Callable, Iterable, Mapping
from functools import lru_cache
from typing import Any, NamedTuple

from towlib.errors import InputError
from towlib.handbook.tables import Row, load_table
from towlib.paths import DATA
from towlib.rig.field_types import type_of
from towlib.rig.measured import rule_of
from towlib.rig.model import Rig, field_info, value_at
from towlib.rig.plausible import Question, questions

LOADED = "loaded"  # weighed so: people and cargo are inside
ASSUMED_FILE = DATA / "handbook" / "assumed.csv"


class Assumption(NamedTuple):
    """A value used when the rig file does not give one."""

    field: str
    text: str
    value: Any
    why: str
    known_by: str
    source: str
    # ends of the range it may well have, None where none is given; from memory like the value unless the
    # source says otherwise
    low: Any = None
    high: Any = None


class NotKnown(Exception):
    """A fact that an answer needs is missing; `reason` is the field's path or a short sentence."""

    def __init__(self, reason: str):
        self.reason = reason
        super().__init__(reason)


@lru_cache(maxsize=1)
def assumptions() -> dict[str, Assumption]:
    """All assumptions by field path, from data/handbook/assumed.csv."""
    return {row["field"]: _assumption(row) for row in load_table(ASSUMED_FILE.stem, ASSUMED_FILE.parent)}


def _assumption(row: Row) -> Assumption:
    try:
        value, low, high = (
            _read(row["field"], row[column]) if row[column] or column == "value" else None
            for column in ("value", "low", "high")
        )
    except InputError as error:
        raise (
            error
            if error.file
            else row.error(
                "field" if error.found.startswith("no field") else "value", error.found, error.wanted
            )
        ) from None
    return Assumption(
        row["field"], row["value"], value, row["why"], row["known_by"], row["source"], low, high
    )


def _read(path: str, text: str) -> Any:
    info = field_info(path)
    rule = rule_of(info)
    if rule:
        return rule.read(text)
    if type_of(info).kind == "switch":
        return text == "true"
    try:
        return float(text)
    except ValueError:
        return text


class Facts:
    """Values of one rig by path; `need` raises NotKnown for what is missing and notes what was assumed, what
    carries a ± and what a friend would ask about.
    """

    planned: "Facts | None" = None  # the facts these were taken from, with some values changed
    changed: frozenset[str] = frozenset()  # those values
    tells: bool = False  # whether reading any of them is noted

    def __init__(self, rig: Rig):
        self.rig = rig
        self._used: list[set[str]] = []
        self._kept: dict[Any, tuple[Any, frozenset[str]]] = {}
        self._values: dict[str, tuple[Any, tuple[str, ...]]] = {}
        self._alike: dict[Any, Any] = {}
        self._asked: dict[str, Question] | None = None

    @property
    def asked(self) -> dict[str, Question]:
        """What a friend would ask about this rig's values, by path."""
        if self._asked is None:
            found = questions(self.rig)
            self._asked = {path: question for question in reversed(found) for path in question.paths}
        return self._asked

    def have(self, path: str) -> Any:
        """The value, the assumption, or None."""
        if path not in self._values:
            self._values[path] = self._looked_up(path)
        value, noted = self._values[path]
        if noted and self._used:
            self._used[-1].update(noted)
        return value

    def _looked_up(self, path: str) -> tuple[Any, tuple[str, ...]]:
        """The value, and the paths to be noted by who reads it."""
        plus_minus = self.rig.plus_minus
        if self.rig.not_read and self._not_read(path):
            return None, ()
        value = value_at(self.rig, path)
        if value is None and path in assumptions():
            return assumptions()[path].value, (path,)
        if path == "bracket.bolts":
            told = (*plus_minus, *self.asked)
            return value, tuple(place for place in told if place.startswith("bracket.bolts."))
        return value, (path,) if path in plus_minus or path in self.asked else ()

    def _not_read(self, path: str) -> bool:
        """Whether the newest text of this field, or of a row of this table, could not be read."""
        return any(each == path or each.startswith(f"{path}.") for each in self.rig.not_read)

    def other(self, values: Mapping[str, Any]) -> "CaseFacts":
        """The same rig with other values for some fields or derived quantities, kept for whoever asks for
        these again.
        """
        key = ("other", frozenset(values.items()))
        if key not in self._kept:
            other = CaseFacts(self.rig, {**self.drawn_values(), **values})
            other.planned, other.changed = self, frozenset(values)
            other.tells = all(self._is_noted(path) for path in values)
            other._values, other._alike = self._values, self._alike
            other._asked = self._asked
            self._kept[key] = (other, frozenset())
        return self._kept[key][0]

    def with_values(self, values: Mapping[str, Any]) -> "CaseFacts":
        """The same rig with other values for some fields or derived quantities; what is read of it is noted
        as if it were read here.
        """
        other = CaseFacts(self.rig, {**self.drawn_values(), **values})
        other._used = self._used
        return other

    def _is_noted(self, path: str) -> bool:
        """Whether whoever reads this value notes that it is assumed or has a ±."""
        assumed = path in assumptions() and value_at(self.rig, path) is None
        return (assumed or path in self.rig.plus_minus) and path not in self.drawn_values()

    def drawn_values(self) -> Mapping[str, Any]:
        """Values that stand in place of the rig's: none here."""
        return {}

    def moved(self, path: str) -> Any:
        """Another value than the rig's for a quantity that follows from others (`limits/derived.py`); None
        here.
        """
        return None

    def carried(self, vehicle: str, way: str) -> list[tuple[Any, Any]]:
        """People and cargo of a vehicle on a way: mass, and place behind its front axle. What was weighed
        loaded has them inside.
        """
        rows = list(self.once(("carried", vehicle, way), lambda: self._carried(vehicle, way)))
        mass, place = self.moved(f"carried.{vehicle}.mass"), self.moved(f"carried.{vehicle}.place")
        if mass is None and place is None:
            return rows
        total, middle = sum_and_middle(rows)
        return [(total if mass is None else mass, middle if place is None else place)]

    def _carried(self, vehicle: str, way: str) -> list[tuple[Any, Any]]:
        weighed_loaded = self.have(f"{vehicle}_vehicle.weighed") == LOADED
        return [
            (self.need(f"load.{i}.mass"), self.need(f"load.{i}.behind_front_axle"))
            for i, load in enumerate(self.rig.load)
            if load.vehicle == vehicle and load.way in ("both", way) and not weighed_loaded
        ]

    def need(self, path: str) -> Any:
        """The value or the assumption; raises NotKnown when there is neither."""
        value = self.have(path)
        if value is None:
            raise NotKnown(path)
        return value

    def assumed_in(self, work: Callable[[], Any]) -> tuple[Any, tuple[str, ...]]:
        """Run some work and return its result and the paths of what it used that is assumed, has a ± or is
        asked about.
        """
        result, used = self._noted(work)
        if isinstance(result, NotKnown):
            raise result
        return result, tuple(sorted(used))

    def _noted(self, work: Callable[[], Any]) -> tuple[Any, frozenset[str]]:
        """What the work returns, or the NotKnown it raises, and what it noted that it used."""
        self._used.append(set())
        try:
            result = work()
        except NotKnown as missing:
            result = missing
        finally:
            used = self._used.pop()
            self.note(used)
        return result, frozenset(used)

    def once(self, key: Any, work: Callable[[], Any]) -> Any:
        """Do a piece of work once for this rig; later callers get the same result and inherit its
        assumptions. What reads none of the values that differ from the plan's is the plan's.
        """
        if key not in self._kept:
            self._kept[key] = self._as_planned(key) or self._noted(work)
        result, used = self._kept[key]
        self.note(used)
        if isinstance(result, NotKnown):
            raise result
        return result

    def _as_planned(self, key: Any) -> tuple[Any, frozenset[str]] | None:
        """The plan's own result, where it read none of the values that are changed here."""
        kept = self.planned._kept.get(key) if self.planned and self.tells else None
        return kept if kept and kept[1].isdisjoint(self.changed) else None

    def alike(self, key: Any, work: Callable[[], Any]) -> Any:
        """Do a piece of work that hangs on its key alone once for this rig and all taken from it."""
        if key not in self._alike:
            self._alike[key] = work()
        return self._alike[key]

    def note(self, used: Iterable[str]) -> None:
        """What a result that was kept had used of this rig."""
        if self._used:
            self._used[-1].update(used)


def sum_and_middle(rows: list[tuple[Any, Any]]) -> tuple[Any, Any]:
    """The mass of all rows together, and their common centre behind the front axle; 0 when there is none."""
    total = sum(mass for mass, _ in rows)
    if not rows or total == 0:
        return total, 0.0
    return total, sum(mass * place for mass, place in rows) / total


class CaseFacts(Facts):
    """Facts with other values for some paths: floats for one case, Cases for many; `touched` tells which of
    them an answer read.
    """

    def __init__(self, rig: Rig, drawn: Mapping[str, Any]):
        super().__init__(rig)
        self.drawn = drawn
        self.touched: set[str] = set()
        self._read: dict[Any, set[str]] = {}
        self._bolts = [path for path in drawn if path.startswith("bracket.bolts.")]

    def have(self, path: str) -> Any:
        """The drawn value where there is one."""
        if path in self.drawn:
            self.touched.add(path)
            return self.drawn[path]
        if path == "bracket.bolts" and self._bolts and (bolts := self.rig.bracket.bolts):
            self.touched.update(self._bolts)
            return tuple(
                bolt.model_copy(
                    update={
                        name: self.drawn[f"bracket.bolts.{i}.{name}"]
                        for name in type(bolt).model_fields
                        if f"bracket.bolts.{i}.{name}" in self.drawn
                    }
                )
                for i, bolt in enumerate(bolts)
            )
        return super().have(path)

    def drawn_values(self) -> Mapping[str, Any]:
        """Values that stand in place of the rig's."""
        return self.drawn

    def moved(self, path: str) -> Any:
        """The drawn value where there is one."""
        if path in self.drawn:
            self.touched.add(path)
        return self.drawn.get(path)

    def once(self, key: Any, work: Callable[[], Any]) -> Any:
        """As of Facts, and what the work reads counts as read by everyone who shares it."""
        before, self.touched = self.touched, set()
        try:
            result = super().once(key, work)
        finally:
            read, self.touched = self.touched, before
            self._read.setdefault(key, set()).update(read)
            self.touched |= self._read[key]
        return result
