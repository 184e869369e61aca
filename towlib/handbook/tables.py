"""Published values from data/handbook, a source on every row, and the worked check that compares ours with
theirs.
"""

import csv
import math
import re
from decimal import Decimal
from functools import cache, lru_cache
from pathlib import Path
from typing import NamedTuple

from towlib.errors import InputError, quote
from towlib.paths import DATA
from towlib.units import KINDS, to_si

FOLDER = DATA / "handbook"
ORIGINS = ("read", "computed", "from memory", "common practice")
LB_FORCE_N = 4.4482216152605
MAX_TABLE_BYTES = 1_000_000
_NAME = re.compile(r"[a-z][a-z0-9_]{0,40}")


class HandbookMismatch(AssertionError):
    """Our number and the handbook's differ by more than the handbook's rounding."""


class Row(dict):
    """One row of a table: text by column, and where it stands."""

    def __init__(self, cells: dict[str, str], file: str, line: int):
        super().__init__(cells)
        self.file, self.line = file, line

    def __missing__(self, column: str) -> str:
        raise self.error(column, "no such column", "this name in the first line of the table")

    def number(self, column: str) -> float:
        """The cell as a finite number; InputError names file, line and column otherwise."""
        try:
            value = float(self[column])
        except (KeyError, ValueError):
            value = math.nan
        if not math.isfinite(value):
            raise self.error(
                column, quote(self.get(column, "no such column")), "a plain number, for example 9.2"
            )
        return value

    def error(self, column: str, found: str, wanted: str) -> InputError:
        """An InputError that names this row."""
        return InputError(found, wanted, field=column, file=f"{self.file}, line {self.line}")


class Check(NamedTuple):
    """One published value."""

    id: str
    quantity: str
    inputs: str
    value: float
    unit: str
    tolerance: float
    source: str
    known_by: str
    printed: str  # the value as the source prints it, with its digits


@cache
def load_table(name: str, folder: Path = FOLDER) -> tuple[Row, ...]:
    """The rows of a handbook table; InputError when it is missing or ragged, or a row has no source or
    origin.
    """
    if not _NAME.fullmatch(name):
        raise InputError(f"a table named {quote(name)}", "a name such as 'chain_working_load'")
    path = folder / f"{name}.csv"
    try:
        if path.stat().st_size > MAX_TABLE_BYTES:
            raise InputError("a table of more than 1 MB", "a short CSV file", file=path.name)
        with path.open(encoding="utf-8-sig", newline="") as file:
            reader = csv.DictReader(file, strict=True)
            rows = [Row(row, path.name, reader.line_num) for row in reader]
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise InputError(
            f"no readable table ({getattr(error, 'strerror', None) or error})",
            f"data/handbook/{path.name} as the workbook brought it: take it from there again",
            file=path.name,
        ) from None
    if not rows:
        raise InputError("no rows", "a line of column names and at least one row", file=path.name)
    for row in rows:
        if None in row or None in row.values():
            raise row.error("", "a row with too many or too few cells", "one cell for every column")
        if not row.get("source", "").strip():
            raise row.error("source", "no source", "a document, edition and section")
        if row.get("known_by") not in ORIGINS:
            raise row.error("known_by", quote(row.get("known_by")), f"one of {', '.join(ORIGINS)}")
    return tuple(rows)


@cache
def checks(folder: Path = FOLDER) -> dict[str, Check]:
    """All published values by id."""
    found: dict[str, Check] = {}
    for row in load_table("checks", folder):
        for column in ("id", "quantity", "inputs", "unit"):
            if column not in row or (column in ("id", "quantity") and not row[column].strip()):
                raise row.error(column, "nothing", "a text" if column in row else f"a column '{column}'")
        if row["id"] in found:
            raise row.error("id", f"{quote(row['id'])} twice", "a new id for each row")
        value, tolerance = row.number("value"), row.number("tolerance")
        if tolerance < 0:
            raise row.error(
                "tolerance", quote(row["tolerance"]), "half of the last printed digit, for example 0.05"
            )
        found[row["id"]] = Check(
            row["id"],
            row["quantity"],
            row["inputs"],
            value,
            row["unit"],
            tolerance,
            row["source"],
            row["known_by"],
            row["value"].strip(),
        )
    return found


def check_row(check_id: str, folder: Path = FOLDER) -> Check:
    """The published value with this id.

    >>> check_row("truck_brakes_100kg").value
    9.2
    """
    row = checks(folder).get(check_id)
    if row is None:
        raise InputError(
            quote(check_id),
            "an id that stands in the table, for example 'uphill_power'",
            field="id",
            file="checks.csv",
        )
    return row


class Compared(NamedTuple):
    """Our value beside a published one, both rounded as printed."""

    quantity: str
    published: str
    ours: str
    difference: str
    source: str

    def __str__(self) -> str:
        return f"ours {self.ours} | handbook {self.published} | difference {self.difference} | {self.source}"


def check_close(ours: float, check_id: str, *, unit: str | None = None, folder: Path = FOLDER) -> Compared:
    """Ours beside the published value, rounded; raises HandbookMismatch when they differ too much.

    `ours` is in the unit of the row, or in `unit`, which is then converted. A value that was not checked
    against a document is shown and never decides.

    >>> print(check_close(9.1875, "truck_brakes_100kg"))
    ours 9.19 K | handbook 9.2 K | difference -0.01 K | OpenStax College Physics m42224
    >>> print(check_close(58149.0, "uphill_power", unit="W"))
    ours 58.1 kW | handbook 58 kW | difference 0.1 kW | OpenStax University Physics m58310
    """
    row = check_row(check_id, folder)
    if unit is not None and unit != row.unit:
        ours = _in_unit(ours, unit, row)
    label = f" {row.unit}" if row.unit else ""
    difference = ours - row.value
    memory = row.known_by == "from memory"
    finer = int(Decimal(row.printed).as_tuple().exponent) - 1
    printed = f"{row.value:,.{max(0, -finer - 1)}f}"
    if not memory and not abs(difference) <= row.tolerance * (1 + 1e-9):
        raise HandbookMismatch(
            f"{check_id}: ours {ours:.6g}{label}, handbook {row.printed}{label}, "
            f"more than {row.tolerance:g}{label} apart"
        )
    return Compared(
        row.quantity,
        f"{printed}{label}",
        f"{_rounded(ours, finer)}{label}",
        f"{_rounded(difference, finer)}{label}",
        source_words(row.source) + (f" ({known_words(row.known_by)}, not decisive)" if memory else ""),
    )


_SITE = re.compile(
    r"\b(?:[a-z0-9-]+\.)+(?:com|org|net|edu|gov|info|io|uk|au|de|ca|app|club|solve|ai)(?:\.[a-z]{2})?\b(?:/\S*)?"
)


def source_words(source: str) -> str:
    """A source as readers see it: its document; an address on the web stays in the table's own column.

    >>> source_words("load index table, read at somewhere.com and elsewhere.co.uk")
    'load index table, read in secondary pages'
    >>> source_words("49 CFR 393.108, read in a secondary page")
    '49 CFR 393.108, read in a secondary page'
    """
    source = source.replace("from memory", known_words("from memory"))
    found = _SITE.findall(source)
    if not found:
        return source
    pages = "secondary pages" if len(found) > 1 else "a secondary page"
    text = _SITE.sub("\0", source)
    text = re.sub(r"\0(?:\s*(?:,|and|,\s*and)\s*\0)*", pages, text)
    text = re.sub(rf"^{pages} table", f"a table in {pages}", text)
    return re.sub(r"\bat (?=a secondary page|secondary pages)", "in ", text)


def known_words(known_by: str) -> str:
    """How a value is known, in words that mean something to a reader.

    >>> known_words("from memory"), known_words("read")
    ('not checked against a document', 'read')
    """
    return "not checked against a document" if known_by == "from memory" else known_by


def _rounded(value: float, exponent: int) -> str:
    if not math.isfinite(value):
        return "not known"
    return f"{round(value, -exponent) + 0.0:,.{max(0, -exponent)}f}"


def _in_unit(value: float, unit: str, row: Check) -> float:
    for kind, about in KINDS.items():
        if unit in about.spellings and row.unit in about.spellings:
            zero, one = (to_si(f"{n} {unit}", kind) for n in (0, 1))
            row_zero, row_one = (to_si(f"{n} {row.unit}", kind) for n in (0, 1))
            return (value * (one - zero) + zero - row_zero) / (row_one - row_zero)
    raise InputError(
        f"unit {quote(unit)}",
        f"the row's own unit '{row.unit}' or one that measures the same",
        field=row.id,
        file="checks.csv",
    )


@lru_cache(maxsize=1)
def _tyre_loads() -> dict[int, float]:
    return {
        int(row.number("load_index")): row.number("load_kg")
        for row in load_table("tyre_load_index")
        if row["known_by"] != "from memory"
    }


def tyre_load_kg(load_index: int) -> float | None:
    """Load of a load index, kg for one tyre; None when the table does not hold it.

    >>> tyre_load_kg(112)
    1120.0
    """
    return _tyre_loads().get(load_index)


@lru_cache(maxsize=1)
def _chains() -> dict[tuple[str, str], tuple[float, float]]:
    return {
        (row["size_in"], row["grade"]): (
            row.number("working_load_lb") * LB_FORCE_N,
            row.number("break_factor"),
        )
        for row in load_table("chain_working_load")
    }


def chain_kinds() -> tuple[tuple[str, str], ...]:
    """Size in inches and grade of every chain of the table.

    >>> chain_kinds()[0]
    ('1/4', '30')
    """
    return tuple(_chains())


def chain_loads_n(size: str, grade: str) -> tuple[float, float] | None:
    """Working and breaking load of one chain in newtons; unmarked counts as grade 30; None when not in the
    table.

    >>> working_n, breaking_n = chain_loads_n("3/8", "43")
    >>> round(working_n / LB_FORCE_N), round(breaking_n / LB_FORCE_N)
    (5400, 16200)
    """
    found = _chains().get((size, "30" if grade == "unmarked" else grade))
    return (found[0], found[0] * found[1]) if found else None


def chain_working_load_n(size: str, grade: str) -> float | None:
    """Working load of one chain in newtons, looked up and never interpolated: it does not always grow with
    the grade.

    >>> chain_working_load_n("5/16", "70") > chain_working_load_n("5/16", "80")
    True
    """
    loads = chain_loads_n(size, grade)
    return loads[0] if loads else None
