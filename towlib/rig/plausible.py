"""Slips of a point or a unit: values outside what is usual, and values that do not go together. What rests on
them is not known until the reader corrects them, or confirms those very values.
"""

import math
import re
from collections import deque
from collections.abc import Iterator
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from typing import Any, NamedTuple

from towlib.errors import InputError
from towlib.handbook.bolt_tables import bolt_thread
from towlib.handbook.tables import Row, load_table, tyre_load_kg
from towlib.rig.measured import rule_of
from towlib.rig.model import ROW_TABLES, Rig, field_info, label_of, row_of, value_at
from towlib.units import show

# how many times the next a gear is, and ends of the lowest and the highest: common practice, no source
GEAR_STEP, LOWEST_GEAR, HIGHEST_GEAR = (1.05, 2.3), (2.0, 8.0), (0.4, 1.3)
# a bolt more than this many times as far from the pin as its neighbour stands in another place: common
# practice, no source
BOLTS_APART = 6.0
ON_CARRIER_M = 0.6  # a bicycle or a box behind the bumper: common practice, no source
SAME = 1e-9  # of a value: two ways to write one


class Question(NamedTuple):
    """What a friend would ask about one value, or about several that do not go together."""

    paths: tuple[str, ...]
    words: str


class _Usual(NamedTuple):
    """Ends of a field between which hardly anybody asks."""

    low: float
    high: float
    zero: bool  # and none at all is usual too
    words: str


class _Pair(NamedTuple):
    """Two sums of values whose ratio lies between ends."""

    this: tuple[tuple[float, tuple[str, ...]], ...]
    against: tuple[tuple[float, tuple[str, ...]], ...]
    low: float
    high: float
    or_equal: float | None  # this ratio too
    words: str

    def paths(self) -> tuple[str, ...]:
        return tuple(path for _, product in (*self.this, *self.against) for path in product)


@lru_cache(maxsize=1)
def _usual() -> dict[str, _Usual]:
    found = {}
    for row in load_table("plausible"):
        path = row["field"]
        rule = rule_of(field_info(_in_row(path, 0)))
        low, high = (_end(row, column, rule) for column in ("low", "high"))
        found[path] = _Usual(low, high, row["zero"] == "may be", f"{row['low']} to {row['high']}")
    return found


def _end(row: Row, column: str, rule: Any) -> float:
    if not rule:
        return row.number(column)
    try:
        return float(rule.read(row[column]))
    except InputError as error:
        raise row.error(column, row[column], f"a value of the field: {error}") from None


@lru_cache(maxsize=1)
def _pairs() -> tuple[_Pair, ...]:
    return tuple(
        _Pair(
            _terms(row["this"]),
            _terms(row["against"]),
            row.number("low"),
            row.number("high"),
            row.number("or_equal") if row["or_equal"] else None,
            row["words"],
        )
        for row in load_table("goes_together")
    )


def _terms(text: str) -> tuple[tuple[float, tuple[str, ...]], ...]:
    """A sum such as 'a + b - c', or a product 'a * b', as signs and paths."""
    return tuple(
        (-1.0 if sign == "-" else 1.0, tuple(part.strip() for part in product.split("*")))
        for sign, product in re.findall(r"([-+]?)\s*([a-z_0-9.]+(?:\s*\*\s*[a-z_0-9.]+)*)", text)
    )


def questions(rig: Rig) -> tuple[Question, ...]:
    """Everything a friend would ask about this rig's values, and that the reader has not confirmed."""
    return tuple(
        each for each in _all_questions(rig) if not all(is_confirmed(rig, path) for path in each.paths)
    )


# of the last rigs: a panel makes facts of the same rig anew for every point of a curve
_LATEST: deque[tuple[Rig, tuple[Question, ...]]] = deque(maxlen=8)


def _all_questions(rig: Rig) -> tuple[Question, ...]:
    for known, asked in tuple(_LATEST):
        if known is rig:
            return asked
    asked = (*_out_of_place(rig), *_apart(rig), *_gears(rig), *_bolts(rig), *_places(rig))
    _LATEST.append((rig, asked))
    return asked


def is_confirmed(rig: Rig, path: str) -> bool:
    """Whether the reader has confirmed that very value."""
    told, value = rig.confirmed.get(path), value_at(rig, path)
    if isinstance(told, float | int) and isinstance(value, float | int):
        return math.isclose(told, value, rel_tol=SAME, abs_tol=SAME)
    return told is not None and told == value


def read_back(path: str, value: Any) -> str:
    """A value as the workbook understood it, in both systems of units where they differ.

    >>> read_back("tow_vehicle.gvwr", 1340.0), read_back("bracket.nut_factor", 0.2)
    ('1,340 kg = 2,954 lb', '0.2')
    """
    rule = rule_of(field_info(path))
    if rule is None:
        return ", ".join(f"{each:g}" for each in value) if isinstance(value, tuple) else f"{value}"
    told = tuple(dict.fromkeys(show(value, rule.kind, system, 4) for system in ("metric", "us")))
    return " = ".join(told)


def _table_of(path: str) -> str | None:
    """The table with rows that a path of the table of usual ends belongs to."""
    return next((name for name in ROW_TABLES if path.startswith(f"{name}.")), None)


def _in_row(path: str, number: int) -> str:
    """'load.mass' as 'load.0.mass'; a field that stands once stays as it is."""
    table = _table_of(path)
    return path.replace(f"{table}.", f"{table}.{number}.", 1) if table else path


def _given(rig: Rig) -> Iterator[tuple[str, str, float]]:
    """Path in the table, path in the rig and value of every figure of the rig that has usual ends."""
    for path in _usual():
        table = _table_of(path)
        for number in range(len(value_at(rig, table) or ())) if table else range(1):
            own = _in_row(path, number)
            value = value_at(rig, own)
            if value is not None:
                yield path, own, float(value)


def _between(value: float, low: float, high: float) -> bool:
    return low * (1 - SAME) <= value <= high * (1 + SAME)


def _out_of_place(rig: Rig) -> Iterator[Question]:
    for path, own, value in _given(rig):
        usual = _usual()[path]
        if _between(value, usual.low, usual.high) or (usual.zero and value == 0.0):
            continue
        yield Question((own,), f"{_named(own)} {read_back(own, value)}? Usual is {usual.words}")


def _named(path: str) -> str:
    row = row_of(path)
    return f"{label_of(path)}, row {row[1] + 1}:" if row else f"{label_of(path)}:"


def _apart(rig: Rig) -> Iterator[Question]:
    for pair in _pairs():
        this, against = _sum(rig, pair.this), _sum(rig, pair.against)
        if this is None or against is None:
            continue
        ratio = this / against if against > 0 else math.inf
        equal = pair.or_equal is not None and math.isclose(ratio, pair.or_equal, rel_tol=1e-6)
        if equal or _between(ratio, pair.low, pair.high):
            continue
        paths = pair.paths()
        values = "; ".join(f"{_named(path)} {read_back(path, value_at(rig, path))}" for path in paths)
        said = f"{ratio:.3g}" if math.isfinite(ratio) else "beyond all bounds"
        yield Question(
            paths,
            f"{values}? {pair.words[0].upper()}{pair.words[1:]}: {said}; usual is {pair.low:g} to"
            f" {pair.high:g}",
        )


def _sum(rig: Rig, terms: tuple[tuple[float, tuple[str, ...]], ...]) -> float | None:
    """The sum of products of these values, SI; None where one of them is not given."""
    total = 0.0
    for sign, product in terms:
        values = [_figure(rig, path) for path in product]
        if any(value is None for value in values):
            return None
        total += sign * math.prod(value for value in values if value is not None)
    return total


def _figure(rig: Rig, path: str) -> float | None:
    """A value as a number: of a bolt or chain its diameter, of a load index its load."""
    value = value_at(rig, path)
    if value is None:
        return None
    if path == "bracket.bolt_size":
        thread = bolt_thread(value)
        return thread.diameter_m if thread else None
    if path == "safety_chains.size":
        return float(Fraction(value)) * 0.0254
    return tyre_load_kg(value) if path.endswith("load_index") else float(value)


def _gears(rig: Rig) -> Iterator[Question]:
    path = "tow_vehicle.gearbox.ratios"
    ratios = value_at(rig, path)
    if not ratios:
        return
    odd = [
        *(() if _between(ratios[0], *LOWEST_GEAR) else (f"first gear {ratios[0]:g}",)),
        *(() if _between(ratios[-1], *HIGHEST_GEAR) else (f"highest gear {ratios[-1]:g}",)),
        *(
            f"gear {number} {low:g} and then {high:g}"
            for number, (low, high) in enumerate(pairwise(ratios), start=1)
            if not _between(low / high, *GEAR_STEP)
        ),
    ]
    if odd:
        usual = (
            f"from gear to gear {GEAR_STEP[0]:g} to {GEAR_STEP[1]:g} times, the first {LOWEST_GEAR[0]:g} to"
            f" {LOWEST_GEAR[1]:g}, the highest {HIGHEST_GEAR[0]:g} to {HIGHEST_GEAR[1]:g}"
        )
        yield Question((path,), f"{_named(path)} {odd[0]}? Usual is {usual}")


def _bolts(rig: Rig) -> Iterator[Question]:
    """Bolts of one bracket, of which one stands far from where the others stand."""
    for name in ("behind_pin", "above_pin", "outboard_of_pin"):
        far = [abs(getattr(bolt, name)) for bolt in rig.bracket.bolts or ()]
        away = [each for each in far if each > 0.0]
        if away and max(away) > BOLTS_APART * min(away):
            paths = tuple(f"bracket.bolts.{number}.{name}" for number in range(len(far)))
            near, wide = (read_back(paths[0], end) for end in (min(away), max(away)))
            yield Question(paths, f"{label_of(paths[0])}: one bolt at {near}, another at {wide}?")


def _or_longest(overhang_m: float | None, path: str) -> float:
    return _usual()[path].high if overhang_m is None else overhang_m


def _places(rig: Rig) -> Iterator[Question]:
    """People and cargo beyond the ends of their vehicle."""
    for number, load in enumerate(rig.load):
        vehicle = rig.tow_vehicle if load.vehicle == "tow" else rig.towed_vehicle
        if vehicle.wheelbase is None or load.behind_front_axle is None:
            continue
        whose = f"{load.vehicle}_vehicle"
        ahead = _or_longest(vehicle.front_overhang, f"{whose}.front_overhang")
        behind = _or_longest(vehicle.rear_overhang, f"{whose}.rear_overhang") + ON_CARRIER_M
        if not _between(load.behind_front_axle + ahead, 0.0, ahead + vehicle.wheelbase + behind):
            path = f"load.{number}.behind_front_axle"
            yield Question(
                (path,),
                f"{_named(path)} {read_back(path, load.behind_front_axle)}? That is beyond its vehicle",
            )
