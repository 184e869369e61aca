"""A rig file's values as text: every value by path, as the reader would type it, and an engine's curve on one
line.
"""

import re
from collections.abc import Iterator
from typing import Any

from towlib.errors import InputError, quote
from towlib.rig.model import ROW_TABLES

CURVE_EXAMPLE = "1500 rpm 250 Nm, 3000 rpm 330 Nm, 4500 rpm 310 Nm"


def leaves(tables: Any, path: str = "") -> Iterator[tuple[str, Any]]:
    """Every value of a rig's tables with its path; the rows of a table are counted from 0."""
    for name, value in tables.items() if isinstance(tables, dict) else enumerate(tables):
        here = f"{path}.{name}" if path else str(name)
        if isinstance(value, dict) or (here in ROW_TABLES and isinstance(value, list)):
            yield from leaves(value, here)
        else:
            yield here, value


def text_of(value: Any) -> str:
    """A value of a rig file as the reader would type it.

    >>> text_of(True), text_of([4.1, 2.3]), text_of([{"speed": "1500 rpm", "torque": "250 Nm"}])
    ('true', '4.1, 2.3', '1500 rpm 250 Nm')
    """
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):  # a point of the engine's curve
        return " ".join(text_of(value[name]) for name in sorted(value))
    return ", ".join(text_of(item) for item in value) if isinstance(value, list) else str(value)


def curve_points(text: str) -> list[dict[str, str]]:
    """The points of an engine's curve from one line.

    >>> curve_points("1,500 rpm 250 Nm; 3000 rpm 330 N m")
    [{'speed': '1,500 rpm', 'torque': '250 Nm'}, {'speed': '3000 rpm', 'torque': '330 N m'}]
    """
    points = []
    for piece in re.split(
        r"(?<=[^0-9\s])\s*[,;]\s*|;", text
    ):  # a comma inside a number stands between digits
        found = re.fullmatch(r"\s*([^\s,]\S*?\s?rpm)[\s:]+(\S.*?)\s*", piece)
        if piece.strip() and not found:
            raise InputError(
                quote(piece.strip()),
                f"an engine speed and a torque for each point, such as '{CURVE_EXAMPLE}'",
            )
        if found:
            points.append({"speed": found[1], "torque": found[2]})
    return points
