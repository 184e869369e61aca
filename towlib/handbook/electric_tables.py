"""Wires, lamps, connector, rear lamps and fault finder from data/handbook."""

from functools import lru_cache
from typing import NamedTuple

from towlib.errors import InputError, quote
from towlib.handbook.tables import Row, load_table
from towlib.physics.electric.circuit import Filament, Led
from towlib.physics.electric.wire import awg_section_m2

PLACES = (
    "battery plus",
    "battery minus",
    "tow frame",
    "pin tail",
    "pin ground",
    "lamp feed",
    "lamp shell",
)  # where a meter may touch


class Lamp(NamedTuple):
    """A lamp of the table."""

    name: str
    part: Filament | Led
    note: str
    known_by: str


class Step(NamedTuple):
    """One measurement of the fault finder."""

    number: int
    do: str
    red: str  # where the red tip goes
    black: str
    low_v: float  # what a healthy circuit shows
    high_v: float
    as_expected: str  # what follows when the reading lies between
    cause: str  # what follows otherwise
    mend: str


@lru_cache(maxsize=1)
def _wires() -> dict[str, float]:
    found = {}
    for row in load_table("wire"):
        kind = _one_of(row, "kind", ("AWG", "metric"))
        try:
            found[row["size"]] = (
                awg_section_m2(round(row.number("gauge")))
                if kind == "AWG"
                else row.number("section_mm2") * 1e-6
            )
        except (ValueError, OverflowError) as error:
            raise (
                error
                if isinstance(error, InputError)
                else row.error("gauge", quote(row["gauge"]), "a wire gauge such as 16")
            ) from None
    return found


@lru_cache(maxsize=1)
def _fuses() -> dict[str, float]:
    return {row["size"]: row.number("largest_fuse_a") for row in load_table("wire_fuses")}


@lru_cache(maxsize=1)
def _lamps() -> dict[str, Lamp]:
    found = {}
    for row in load_table("lamps"):
        amps, volts = row.number("amps"), row.number("volts")
        part = Filament(amps, volts) if _one_of(row, "kind", ("filament", "led")) == "filament" else Led(amps)
        found[row["name"]] = Lamp(row["name"], part, row["note"], row["known_by"])
    return found


@lru_cache(maxsize=1)
def _faults() -> dict[str, tuple[Step, ...]]:
    found: dict[str, tuple[Step, ...]] = {}
    for row in load_table("fault_finder"):
        before = found.get(row["symptom"], ())
        step = Step(
            round(row.number("step")),
            row["do"],
            _one_of(row, "red", PLACES),
            _one_of(row, "black", PLACES),
            row.number("low_v"),
            row.number("high_v"),
            row["as_expected"],
            row["cause"],
            row["mend"],
        )
        if step.number != len(before) + 1:
            raise row.error("step", quote(row["step"]), f"{len(before) + 1}, the next step of this symptom")
        found[row["symptom"]] = (*before, step)
    return found


def _one_of(row: Row, column: str, names: tuple[str, ...]) -> str:
    if row.get(column) not in names:
        raise row.error(column, quote(row.get(column)), f"one of {', '.join(names)}")
    return row[column]


def _known(name: str, names: tuple[str, ...], file: str) -> str:
    if name not in names:
        raise InputError(quote(name), f"one of {', '.join(names)}", file=file)
    return name


def wire_sizes() -> tuple[str, ...]:
    """All wire sizes, thin to thick, gauges first.

    >>> wire_sizes()[1], wire_sizes()[-1]
    ('18 AWG', '4.0 mm2')
    """
    return tuple(_wires())


def wire_section_m2(size: str) -> float:
    """Copper section of a size such as "16 AWG" or "1.5 mm2".

    >>> round(wire_section_m2("16 AWG") * 1e6, 3), round(wire_section_m2("1.5 mm2") * 1e6, 3)
    (1.309, 1.5)
    """
    return _wires()[_known(size, wire_sizes(), "wire.csv")]


def largest_fuse_a(size: str) -> float:
    """Largest fuse for a wire of this size, from memory: it decides nothing.

    >>> largest_fuse_a("16 AWG")
    10.0
    """
    return _fuses()[_known(size, wire_sizes(), "wire_fuses.csv")]


def lamp_names() -> tuple[str, ...]:
    """All lamps of the table.

    >>> lamp_names()[0]
    'stop/turn filament'
    """
    return tuple(_lamps())


def lamp(name: str, count: int = 1) -> Filament | Led:
    """So many equal lamps side by side; their currents are from memory.

    >>> lamp("stop/turn filament", 2)
    Filament(amps=4.2, volts=12.8)
    """
    if count < 1:
        raise InputError(str(count), "one lamp or more", file="lamps.csv")
    part = _lamps()[_known(name, lamp_names(), "lamps.csv")].part
    return part._replace(amps=part.amps * count)


def symptoms() -> tuple[str, ...]:
    """What the fault finder knows.

    >>> "wrong lamps glow" in symptoms()
    True
    """
    return tuple(_faults())


def fault_steps(symptom: str) -> tuple[Step, ...]:
    """The measurements for a symptom, in their order.

    >>> [step.number for step in fault_steps("nothing lights")]
    [1, 2, 3]
    """
    return _faults()[_known(symptom, symptoms(), "fault_finder.csv")]
