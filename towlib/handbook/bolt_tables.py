"""Threads and strengths of bolts by the marks on their heads, from data/handbook."""

import math
from functools import lru_cache
from typing import NamedTuple

from towlib.errors import InputError, quote
from towlib.handbook.tables import Row, load_table
from towlib.units import to_si

_CLOSE = 1e-6


class BoltThread(NamedTuple):
    """A standard coarse thread; the stress area is the published one."""

    size: str
    series: str  # inch or metric
    diameter_m: float
    pitch_m: float
    stress_area_m2: float


class BoltStrength(NamedTuple):
    """Least stresses of a grade at one diameter."""

    proof_pa: float
    yield_pa: float
    tensile_pa: float


class _Grade(NamedTuple):
    low_m: float
    high_m: float
    longest_m: float | None  # None: whatever its length
    strength: BoltStrength


@lru_cache(maxsize=1)
def _threads() -> dict[str, BoltThread]:
    found = {}
    for row in load_table("bolt_threads"):
        unit = _one_of(row, "series", {"inch": "in", "metric": "mm"})
        diameter_m = _si(row, f"diameter_{unit}", unit, "size")
        pitch_m = (
            0.0254 / _above_zero(row, "threads_per_inch")
            if unit == "in"
            else _above_zero(row, "pitch_mm") / 1000.0
        )
        found[row["size"]] = BoltThread(
            row["size"],
            row["series"],
            diameter_m,
            pitch_m,
            _si(row, f"stress_area_{unit}2", f"{unit}2", "section"),
        )
    return found


@lru_cache(maxsize=1)
def _grades() -> dict[str, tuple[_Grade, ...]]:
    found: dict[str, tuple[_Grade, ...]] = {}
    for row in load_table("bolt_grades"):
        size_unit, stress_unit = (
            _one_of(row, "size_unit", {"in": "in", "mm": "mm"}),
            _one_of(row, "stress_unit", {"ksi": "ksi", "MPa": "MPa"}),
        )
        low_m, high_m = (_si(row, end, size_unit, "size") for end in ("from_size", "to_size"))
        longest_m = _si(row, "longest", size_unit, "size") if row["longest"] else None
        strength = BoltStrength(
            *(_si(row, name, stress_unit, "stress") for name in ("proof", "yield", "tensile"))
        )
        found[row["grade"]] = (*found.get(row["grade"], ()), _Grade(low_m, high_m, longest_m, strength))
    return found


def _above_zero(row: Row, column: str) -> float:
    value = row.number(column)
    if not value > 0:
        raise row.error(column, quote(row[column]), "a number above zero")
    return value


def _si(row: Row, column: str, unit: str, kind: str) -> float:
    try:
        return to_si(f"{row.number(column)} {unit}", kind)
    except InputError as error:
        raise error if error.file else row.error(column, error.found, error.wanted) from None


def _one_of(row: Row, column: str, meaning: dict[str, str]) -> str:
    if row.get(column) not in meaning:
        raise row.error(column, quote(row.get(column)), f"one of {', '.join(meaning)}")
    return meaning[row[column]]


def bolt_sizes() -> tuple[str, ...]:
    """All sizes in the table, inch sizes first.

    >>> bolt_sizes()[0], bolt_sizes()[-1]
    ('1/4-20', 'M20')
    """
    return tuple(_threads())


def bolt_grades() -> tuple[str, ...]:
    """All grades in the table.

    >>> bolt_grades()
    ('2', '5', '8', '8.8', '10.9')
    """
    return tuple(_grades())


def bolt_thread(size: str) -> BoltThread | None:
    """Thread of a size such as "1/2-13" or "M12" (coarse); None when not in the table.

    >>> round(bolt_thread("M12").stress_area_m2 * 1e6, 1)
    84.3
    """
    return _threads().get(size)


def length_counts(grade: str) -> bool:
    """Whether a grade's strength hangs on the bolt's length.

    >>> length_counts("2"), length_counts("5")
    (True, False)
    """
    return any(row.longest_m is not None for row in _grades().get(grade, ()))


def bolt_strength(grade: str, diameter_m: float, length_m: float | None = None) -> BoltStrength | None:
    """Strength of a grade at a diameter, by the marks on the head; None when not in the table, or when it
    hangs on a length that is not given.

    The class name is not the proof stress: 10.9 has 830 MPa, and 8.8 is stronger above 16 mm than up to
    there. Grade 2 is weaker where the bolt is longer than 6 in.

    >>> round(bolt_strength("10.9", 0.012).proof_pa / 1e6)
    830
    """
    if length_m is None and length_counts(grade):
        return None
    for low_m, high_m, longest_m, strength in _grades().get(grade, ()):
        above = diameter_m >= low_m or math.isclose(diameter_m, low_m, rel_tol=_CLOSE)
        below = diameter_m <= high_m or math.isclose(diameter_m, high_m, rel_tol=_CLOSE)
        short = longest_m is None or length_m is None or length_m <= longest_m * (1.0 + _CLOSE)
        if above and below and short:
            return strength
    return None
