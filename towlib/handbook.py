"""Published values from data/handbook, a source on every row, and the worked check that compares ours with theirs."""

import csv
from functools import lru_cache
from pathlib import Path
from typing import NamedTuple

from towlib.errors import InputError, quote
from towlib.units import number

FOLDER = Path(__file__).parents[1] / "data" / "handbook"
ORIGINS = ("read", "computed", "from memory", "common practice")
LB_FORCE_N = 4.4482216152605


class HandbookMismatch(AssertionError):
    """Our number and the handbook's differ by more than the handbook's rounding."""


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


@lru_cache(maxsize=None)
def load_table(name: str, folder: Path = FOLDER) -> tuple[dict[str, str], ...]:
    """The rows of a handbook table; InputError when it is missing, has ragged rows, or a row without source or origin."""
    path = folder / f"{name}.csv"
    try:
        with path.open(encoding="utf-8", newline="") as file:
            rows = list(csv.DictReader(file, strict=True))
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise InputError(f"no readable table ({getattr(error, 'strerror', None) or error})", "a CSV file in data/handbook", file=path.name) from None
    for line, row in enumerate(rows, start=2):
        if None in row or None in row.values():
            raise InputError(f"a row with too many or too few cells in line {line}", "one cell for every column", file=path.name)
        if not row.get("source"):
            raise InputError(f"no source in line {line}", "a document, edition and section", field="source", file=path.name)
        if row.get("known_by") not in ORIGINS:
            raise InputError(f"{quote(row.get('known_by'))} in line {line}", f"one of {', '.join(ORIGINS)}", field="known_by", file=path.name)
    return tuple(rows)


@lru_cache(maxsize=None)
def checks(folder: Path = FOLDER) -> dict[str, Check]:
    """All published values by id."""
    found: dict[str, Check] = {}
    for line, row in enumerate(load_table("checks", folder), start=2):
        try:
            value, tolerance = float(row["value"]), float(row["tolerance"])
        except (KeyError, ValueError):
            raise InputError(f"a value or tolerance that is not a number in line {line}", "plain numbers", field="value", file="checks.csv") from None
        if row["id"] in found:
            raise InputError(f"{quote(row['id'])} twice, again in line {line}", "a new id for each row", field="id", file="checks.csv")
        found[row["id"]] = Check(row["id"], row["quantity"], row["inputs"], value, row["unit"], tolerance, row["source"], row["known_by"])
    return found


def check_close(ours: float, check_id: str) -> None:
    """Print ours beside the published value in one rounded line; raise HandbookMismatch when they differ too much.

    `ours` is in the unit of the row. A value from memory is shown and never decides.

    >>> check_close(9.1875, "truck_brakes_100kg")
    ours 9.19 K | handbook 9.2 K | difference -0.0125 | OpenStax College Physics m42224
    """
    row = checks().get(check_id)
    if row is None:
        raise InputError(quote(check_id), "an id of data/handbook/checks.csv", field="id", file="checks.csv")
    unit = f" {row.unit}" if row.unit else ""
    difference = ours - row.value
    memory = " (from memory, not decisive)" if row.known_by == "from memory" else ""
    print(f"ours {number(ours, 3 if abs(row.value) >= 1000 or len(str(row.value)) < 5 else 5)}{unit} | handbook {row.value:g}{unit} | "
          f"difference {number(difference, 3)} | {row.source}{memory}")
    if not memory and not abs(difference) <= row.tolerance * (1 + 1e-9):
        raise HandbookMismatch(f"{check_id}: ours {ours:g}{unit}, handbook {row.value:g}{unit}, more than {row.tolerance:g} apart")


@lru_cache(maxsize=1)
def _tyre_loads() -> dict[int, float]:
    return {int(row["load_index"]): float(row["load_kg"]) for row in load_table("tyre_load_index") if row["known_by"] != "from memory"}


def tyre_load_kg(load_index: int) -> float | None:
    """Load of a load index, kg for one tyre; None when the table does not hold it.

    >>> tyre_load_kg(112)
    1120.0
    """
    return _tyre_loads().get(load_index)


@lru_cache(maxsize=1)
def _chains() -> dict[tuple[str, str], tuple[float, float]]:
    return {(row["size_in"], row["grade"]): (float(row["working_load_lb"]) * LB_FORCE_N, float(row["break_factor"]))
            for row in load_table("chain_working_load")}


def chain_loads_n(size: str, grade: str) -> tuple[float, float] | None:
    """Working load and breaking load of one chain in newtons; an unmarked chain counts as grade 30; None when not in the table.

    >>> working_n, breaking_n = chain_loads_n("3/8", "43")
    >>> round(working_n / LB_FORCE_N), round(breaking_n / LB_FORCE_N)
    (5400, 16200)
    """
    found = _chains().get((size, "30" if grade == "unmarked" else grade))
    return (found[0], found[0] * found[1]) if found else None
