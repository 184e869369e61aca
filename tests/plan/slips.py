"""Single slips of a unit or a decimal point in a rig file, as a reader makes them."""

import re
from collections.abc import Iterator
from typing import Any, NamedTuple

# the two units that plates, tapes and gauges show, and the second in terms of the first (NIST SP 811,
# appendix B.8); each is taken for the other, and a value worked out for the one is written with the other
TAKEN_FOR = (
    ("kg", "lb", 0.45359237),
    ("m", "ft", 0.3048),
    ("mm", "in", 25.4),
    ("m2", "ft2", 0.09290304),
    ("kPa", "psi", 6.894757),
    ("km/h", "mph", 1.609344),
    ("N m", "lbf ft", 1.355818),
    ("kW", "hp", 0.7456999),
    ("kN/m", "lbf/in", 0.1751268),
    ("MPa", "ksi", 6.894757),
    ("L", "gal", 3.785412),
    ("kN", "lbf", 0.004448222),
)


class Slip(NamedTuple):
    """One value of a rig written wrongly."""

    path: str
    was: Any
    typed: Any
    kind: str  # decimal point or unit


NUMBER = re.compile(r"([-+]?[0-9][0-9.,]*)( ?)([A-Za-z/%][A-Za-z0-9/ ]*)((?: ±.*)?)")


def slips(data: dict[str, Any]) -> Iterator[Slip]:
    """Every number of a rig with its point one place too far either way, and with the other unit."""
    for path, value in _leaves(data):
        if isinstance(value, bool) or path in (
            "bracket.bolt_grade",
            "safety_chains.grade",
            "safety_chains.size",
        ):
            continue
        if isinstance(value, int | float):
            for times in (10.0, 0.1):
                moved = value * times
                typed = int(moved) if isinstance(value, int) and moved == int(moved) else round(moved, 6)
                yield Slip(path, value, typed, "point")
            continue
        found = NUMBER.fullmatch(str(value))
        if not found:
            continue
        number, unit, wide = float(found[1].replace(",", "")), found[3].strip(), found[4]
        if number != 0.0:
            yield Slip(path, value, f"{number * 10:.10g} {unit}{wide}", "point")
            yield Slip(path, value, f"{number / 10:.10g} {unit}{wide}", "point")
        for here, there, factor in TAKEN_FOR:
            if unit in (here, there):
                other, times = (there, 1.0 / factor) if unit == here else (here, factor)
                yield Slip(path, value, f"{number:.10g} {other}", "unit")
                yield Slip(path, value, f"{number * times:.6g} {unit}", "unit")
        if unit in ("degC", "degF"):
            other, there = ("degF", 1.8 * number + 32) if unit == "degC" else ("degC", (number - 32) / 1.8)
            yield Slip(path, value, f"{number:.10g} {other}", "unit")
            yield Slip(path, value, f"{there:.6g} {unit}", "unit")


def number_times(typed: Any, factor: float) -> Any:
    """A number of a rig file, with or without its unit, multiplied."""
    if isinstance(typed, int):
        return round(typed * factor)
    if isinstance(typed, float):
        return typed * factor
    number, space, unit, wide = NUMBER.fullmatch(typed).groups()
    return f"{float(number.replace(',', '')) * factor:.6g}{space}{unit}{wide}"


def put(part: Any, path: list[str], value: Any) -> Any:
    """A table or list of a rig file with another value at a path; all else is shared with the first."""
    if not path:
        return value
    head, *rest = path
    if isinstance(part, dict):
        return part | {head: put(part.get(head, {}), rest, value)}
    number = int(head)
    return [*part[:number], put(part[number], rest, value), *part[number + 1 :]]


def typed_at(part: Any, path: list[str]) -> Any:
    """What the rig file has at a path, or None."""
    for step in path:
        part = part[int(step)] if step.isdigit() else part.get(step, {})
    return part or None


def _leaves(value: Any, path: str = "") -> Iterator[tuple[str, Any]]:
    if isinstance(value, dict | list):
        for name, part in value.items() if isinstance(value, dict) else enumerate(value):
            yield from _leaves(part, f"{path}.{name}" if path else str(name))
    else:
        yield path, value
