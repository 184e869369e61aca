"""Road points from a CSV file with units in its header; nothing but RoadPoints or InputError comes out."""

import csv
import math
import re
from pathlib import Path
from typing import Any, NamedTuple, TextIO

import numpy as np

from towlib.errors import InputError, one_line, quote
from towlib.units import KINDS, to_si

MAX_CSV_POINTS = 500_000
MAX_FILE_BYTES = 60_000_000
MAX_LINES_ABOVE, MAX_LINE = 1_000, 100_000
LONGEST_TITLE = 120  # of a column
LOWEST_M, HIGHEST_M = -500.0, 9_000.0
SLOWEST_M_S, FASTEST_M_S = 1.0, 60.0
FARTHEST_M = 1e8

_COLUMNS = {"distance": "distance", "elevation": "height", "speed limit": "speed"}  # name -> kind of unit
_HEADER_CELL = re.compile(r"\s*(?P<name>[^\[\]()]{1,60}?)\s*(?:[\[(](?P<unit>[^\[\]()]{0,24})[\])])?\s*")
_HEADER_EXAMPLE = "'distance [km],elevation [m],speed limit [km/h]'"


class RoadPoints(NamedTuple):
    """The points of a road as a file gives them, in SI, distance strictly growing; a speed limit of nan: not
    known.
    """

    name: str
    source_file: str
    distance_m: np.ndarray
    elevation_m: np.ndarray
    speed_limit_m_s: np.ndarray | None = None
    notes: tuple[str, ...] = ()


def check_size(path: Path, most_bytes: int, wanted: str) -> None:
    """Refuse a file that is empty, too large or not text."""
    size = path.stat().st_size
    if size == 0:
        raise InputError("an empty file", wanted, file=path.name)
    if size > most_bytes:
        raise InputError(
            f"{size / 1e6:,.0f} MB", f"a file of at most {most_bytes / 1e6:.0f} MB", file=path.name
        )
    with path.open("rb") as handle:
        if b"\0" in handle.read(4096):
            raise InputError("bytes that are not text", wanted, file=path.name)


class _Column(NamedTuple):
    place: int
    title: str
    factor: float


def read_csv(path: Path) -> RoadPoints:
    """Read distance, elevation and perhaps speed limit, row by row, so that too long a file is refused early.

    Lines at the top that start with `#` are remarks; `# name: …` names the road. A speed limit holds from its
    row to the next row; a blank one is not known there.
    """
    wanted = f"text with a header such as {_HEADER_EXAMPLE}"
    check_size(path, MAX_FILE_BYTES, wanted)
    with path.open(encoding="utf-8-sig", newline="") as handle:
        try:
            name, header, line = _read_top(handle, path)
            columns = _find_columns(header, path.name)
            rows, merged = _read_rows(
                csv.reader(handle), columns, width=len(header), file=path.name, lines_before=line
            )
        except UnicodeDecodeError:
            raise InputError("bytes that are not text", wanted, file=path.name) from None
        except csv.Error as error:
            raise InputError(f"a row that cannot be read ({error})", wanted, file=path.name) from None
    if len(rows) < 2:
        raise InputError(
            f"{len(rows)} point{'' if len(rows) == 1 else 's'}",
            "a road of at least two points, such as '0.0,1480' and '0.5,1505'",
            file=path.name,
        )
    table = np.array(rows)
    notes = (f"Rows at the same distance as the row before were merged with it: {merged}.",) if merged else ()
    limit = table[:, 2] if "speed limit" in columns else None
    return RoadPoints(name, path.name, table[:, 0], table[:, 1], limit, notes)


def _read_top(handle: TextIO, path: Path) -> tuple[str, list[str], int]:
    """The road's name, the header cells and the number of lines up to the header."""
    name, number = one_line(path.stem.replace("_", " ")), 0
    while number < MAX_LINES_ABOVE and (text := handle.readline(MAX_LINE)):
        number += 1
        text = text.strip()
        if text.startswith("#"):
            label, _, value = text[1:].partition(":")
            if label.strip().lower() == "name" and value.strip():
                name = "".join(char for char in value.strip()[:100] if char.isprintable())
        elif text:
            if "," not in text and (";" in text or "\t" in text):
                mark = "semicolons" if ";" in text else "tabs"
                raise InputError(
                    f"{mark} between the columns",
                    "commas between columns and points in numbers, such as "
                    f"{_HEADER_EXAMPLE} and '0.5,1480.5,80'",
                    file=f"{path.name}, line {number}",
                )
            return name, next(csv.reader([text]), []), number
    raise InputError("no header", f"a header such as {_HEADER_EXAMPLE}", file=path.name)


def _find_columns(header: list[str], file: str) -> dict[str, _Column]:
    columns: dict[str, _Column] = {}
    for place, title in enumerate(header):
        tidy = " ".join(title.split())  # the pattern takes minutes over thousands of spaces
        match = _HEADER_CELL.fullmatch(tidy) if len(tidy) <= LONGEST_TITLE else None
        if match is None:
            continue
        name = " ".join(match["name"].lower().replace("_", " ").split())
        if name not in _COLUMNS:
            continue
        if name in columns:
            raise InputError(f"the column '{name}' twice", "each column once", file=file)
        kind = _COLUMNS[name]
        example = f"such as '{name} [{KINDS[kind].metric}]'"
        if not match["unit"]:
            raise InputError(
                f"the header {quote(title.strip())} without a unit",
                f"a unit in brackets, {example}",
                file=file,
            )
        try:
            factor = to_si(f"1 {match['unit']}", kind)
        except InputError as error:
            why = error.found.partition("' ")[2] or "which is not a unit"
            raise InputError(
                f"the header {quote(title.strip())} {why}", f"a unit of {kind}, {example}", file=file
            ) from None
        columns[name] = _Column(place, title.strip(), factor)
    for name in ("distance", "elevation"):
        if name not in columns:
            raise InputError(
                f"no column '{name}' in the header {quote(','.join(header))}",
                f"a header such as {_HEADER_EXAMPLE}",
                file=file,
            )
    return columns


def _read_rows(
    reader: Any, columns: dict[str, _Column], *, width: int, file: str, lines_before: int
) -> tuple[list[tuple[float, float, float]], int]:
    distance, elevation, speed = columns["distance"], columns["elevation"], columns.get("speed limit")
    rows: list[tuple[float, float, float]] = []
    merged, share, last, limit, points = 0, 1, -math.inf, math.nan, 0
    for row in reader:
        if not row or not any(cell.strip() for cell in row):
            continue
        place = f"{file}, line {lines_before + reader.line_num}"
        points += 1
        if points > MAX_CSV_POINTS:
            raise InputError(
                f"more than {MAX_CSV_POINTS:,} points",
                f"at most {MAX_CSV_POINTS:,} points; keep one every 10 m or so",
                file=place,
            )
        if len(row) != width:
            raise InputError(
                f"{len(row)} cells where the header has {width}",
                "one cell for each column and points in numbers, such as '0.5,1480.5,80'",
                file=place,
            )
        here = _cell(row, distance, place, "0.5", -FARTHEST_M, FARTHEST_M)
        height = _cell(row, elevation, place, "1480", LOWEST_M, HIGHEST_M)
        if speed is not None:
            blank = not row[speed.place].strip()
            limit = math.nan if blank else _cell(row, speed, place, "80", SLOWEST_M_S, FASTEST_M_S)
        if here > last:
            rows.append((here, height, limit))
            share = 1
        elif here == last:
            share, merged = share + 1, merged + 1
            rows[-1] = (here, rows[-1][1] + (height - rows[-1][1]) / share, limit)
        else:
            raise InputError(
                f"{quote(row[distance.place].strip())}, less than the row before",
                "distances that grow from row to row, such as 0.0, 0.5, 1.0",
                field=distance.title,
                file=place,
            )
        last = here
    return rows, merged


def _cell(row: list[str], column: _Column, place: str, example: str, low: float, high: float) -> float:
    text = row[column.place]
    try:
        value = float(text) * column.factor
    except ValueError:
        value = math.nan
    if not math.isfinite(value) or "_" in text:
        raise InputError(quote(text.strip()), f"a number, such as {example}", field=column.title, file=place)
    if not low <= value <= high:
        between = f"between {_tidy(low / column.factor)} and {_tidy(high / column.factor)}"
        raise InputError(
            quote(text.strip()), f"a value {between}, such as {example}", field=column.title, file=place
        )
    return value


def _tidy(value: float) -> str:
    return f"{value:,.0f}" if abs(value) < 1e6 else f"{value:.0e}"
