"""Units at the edge: text such as "2950 lb" in, SI floats inside, metric or US text out. Only this file knows
pint.
"""

import math
import re
from functools import cache, lru_cache
from typing import TYPE_CHECKING, NamedTuple, TypeVar

import pint

from towlib.errors import InputError, quote

if TYPE_CHECKING:
    import numpy

Number = TypeVar("Number", float, "numpy.ndarray")
SYSTEMS = ("metric", "us")
LARGEST = 1e12  # no plate, tape or scale reads more; keeps a slip of the keyboard from becoming an overflow

# A number with an optional thousands comma and power of ten, then one unit name. Pint never sees
# anything else, because pint evaluates powers and would hang on "9**9**9 kg".
_TEXT = re.compile(
    r"\s*(?P<number>(?=[-+]?\.?[0-9])[-+]?(?:[0-9]{1,3}(?:,[0-9]{3})+|[0-9]{1,15})?(?:\.[0-9]{0,15})?(?:[eE][-+]?[0-9]{1,2})?)"
    r"\s*(?P<unit>(?:[A-Za-z°%][A-Za-z°%·/²³_\-0-9 ]{0,23}?)?)\s*"
)


_BARE = re.compile(r"[-+0-9.,eE]+")


class Kind(NamedTuple):
    """What a number measures: its units in the workbook and every spelling that is understood."""

    metric: str  # label shown to a metric reader
    us: str  # label shown to a US reader
    example: str
    spellings: dict[str, str]  # what the reader may type -> the same for pint


def _same(*names: str) -> dict[str, str]:
    return {name: name for name in names}


_MASS = {
    **_same("kg", "g", "lb", "oz"),
    "t": "tonne",
    "tonne": "tonne",
    "lbs": "lb",
    "pound": "lb",
    "pounds": "lb",
}
_LENGTH = {
    **_same("m", "cm", "mm", "km", "ft", "mi"),
    "in": "inch",
    "inch": "inch",
    "inches": "inch",
    "feet": "ft",
    "yd": "yard",
    "mile": "mi",
    "miles": "mi",
}
_FORCE = {**_same("N", "kN", "lbf", "kgf"), "pounds-force": "lbf"}

KINDS: dict[str, Kind] = {
    "mass": Kind("kg", "lb", "2950 lb", _MASS),
    "length": Kind("m", "ft", "2.35 m", _LENGTH),
    "size": Kind("mm", "in", "18.5 in", _LENGTH),
    "distance": Kind("km", "mi", "12.4 mi", _LENGTH),
    "height": Kind("m", "ft", "7400 ft", _LENGTH),
    "area": Kind(
        "m²", "ft²", "1.3 m2", {"m2": "m**2", "m²": "m**2", "ft2": "ft**2", "ft²": "ft**2", "in2": "inch**2"}
    ),
    "force": Kind("N", "lbf", "8.2 kN", _FORCE),
    "speed": Kind(
        "km/h",
        "mph",
        "55 mph",
        {"km/h": "km/hour", "kph": "km/hour", "mph": "mile/hour", "m/s": "m/s", "ft/s": "ft/s"},
    ),
    "power": Kind("kW", "hp", "180 hp", {**_same("W", "kW", "hp"), "PS": "metric_horsepower"}),
    "torque": Kind(
        "N·m",
        "lbf·ft",
        "260 lbf ft",
        {"N m": "N*m", "Nm": "N*m", "N·m": "N*m", "lbf ft": "lbf*ft", "lbf·ft": "lbf*ft", "ft lbf": "lbf*ft"},
    ),
    "pressure": Kind("kPa", "psi", "36 psi", _same("Pa", "kPa", "bar", "psi")),
    "temperature": Kind(
        "°C", "°F", "32 degC", {"degC": "degC", "°C": "degC", "degF": "degF", "°F": "degF", "K": "kelvin"}
    ),
    "temperature_difference": Kind(
        "K", "°F", "20 K", {"K": "kelvin", "delta_degF": "delta_degF", "delta_degC": "delta_degC"}
    ),
    "angle": Kind("°", "°", "12 deg", {"deg": "degree", "°": "degree", "degrees": "degree", "rad": "radian"}),
    "grade": Kind("%", "%", "6 %", {"%": "percent", "percent": "percent"}),
    "share": Kind("%", "%", "68 %", {"%": "percent", "percent": "percent"}),
    "shaft_speed": Kind("rpm", "rpm", "3200 rpm", {"rpm": "rpm"}),
    "volume": Kind(
        "L", "gal", "2.7 L", {"L": "liter", "l": "liter", "cc": "cm**3", "gal": "gallon", "m3": "m**3"}
    ),
    "spring_rate": Kind(
        "kN/m", "lbf/in", "60 kN/m", {"kN/m": "kN/m", "N/mm": "N/mm", "N/m": "N/m", "lbf/in": "lbf/inch"}
    ),
    "conductance": Kind("W/K", "W/K", "1800 W/K", {"W/K": "W/K", "kW/K": "kW/K"}),
    "heat_capacity": Kind("kJ/K", "kJ/K", "45 kJ/K", {"J/K": "J/K", "kJ/K": "kJ/K"}),
    "time": Kind(
        "min", "min", "45 min", {"s": "s", "min": "minute", "h": "hour", "hour": "hour", "hours": "hour"}
    ),
    "acceleration": Kind(
        "m/s²",
        "ft/s²",
        "4.5 m/s2",
        {"m/s2": "m/s**2", "m/s²": "m/s**2", "ft/s2": "ft/s**2", "ft/s²": "ft/s**2"},
    ),
    "stress": Kind("MPa", "ksi", "345 MPa", _same("MPa", "ksi", "psi", "Pa")),
    "section": Kind(
        "mm²", "in²", "92 mm2", {"mm2": "mm**2", "mm²": "mm**2", "in2": "inch**2", "in²": "inch**2"}
    ),
    "energy": Kind("kJ", "BTU", "1400 kJ", _same("J", "kJ", "MJ", "BTU")),
    "voltage": Kind("V", "V", "12.6 V", _same("V", "mV")),
    "current": Kind("A", "A", "2.1 A", _same("A", "mA")),
    "resistance": Kind("ohm", "ohm", "0.2 ohm", {**_same("ohm", "mohm"), "Ohm": "ohm"}),
    "lamp_power": Kind("W", "W", "21 W", _same("W")),
    "charge": Kind("Ah", "Ah", "60 Ah", {"Ah": "ampere*hour"}),
    "hours": Kind("h", "h", "20 h", {"h": "hour", "hours": "hour", "min": "minute", "d": "day"}),
    "density": Kind(
        "kg/m³",
        "lb/ft³",
        "1.1 kg/m3",
        {"kg/m3": "kg/m**3", "kg/m³": "kg/m**3", "lb/ft3": "lb/ft**3", "lb/ft³": "lb/ft**3"},
    ),
}

# the pint unit behind a label that is not itself a spelling
_SI_UNIT = {
    "mass": "kg",
    "length": "m",
    "size": "m",
    "distance": "m",
    "height": "m",
    "area": "m**2",
    "force": "N",
    "speed": "m/s",
    "power": "W",
    "torque": "N*m",
    "pressure": "Pa",
    "temperature": "degC",
    "temperature_difference": "kelvin",
    "angle": "radian",
    "grade": "",
    "share": "",
    "shaft_speed": "rpm",
    "volume": "m**3",
    "spring_rate": "N/m",
    "conductance": "W/K",
    "heat_capacity": "J/K",
    "time": "s",
    "acceleration": "m/s**2",
    "stress": "Pa",
    "section": "m**2",
    "energy": "J",
    "density": "kg/m**3",
    "voltage": "V",
    "current": "A",
    "resistance": "ohm",
    "lamp_power": "W",
    "charge": "ampere*hour",
    "hours": "hour",
}
_LABEL_SPELLING = {"lbf·ft": "lbf*ft", "L": "liter", "gal": "gallon"}


@lru_cache(maxsize=1)
def registry() -> pint.UnitRegistry:
    """The one pint registry, built when first needed and kept in pint's own disk cache where that can be
    written.
    """
    try:
        return pint.UnitRegistry(cache_folder=":auto:")
    except OSError:
        return pint.UnitRegistry()


@cache
def _scale(kind: str, pint_unit: str) -> tuple[float, float]:
    """Factor and offset so that SI = value * factor + offset (pint is asked twice and then never again)."""
    quantity = registry().Quantity
    zero = quantity(0.0, pint_unit).to(_SI_UNIT[kind]).magnitude
    one = quantity(1.0, pint_unit).to(_SI_UNIT[kind]).magnitude
    return float(one - zero), float(zero)


def _display_unit(kind: str, system: str) -> str:
    if kind == "temperature_difference" and system == "us":
        return "delta_degF"  # a difference of °F has no offset
    label = KINDS[kind].us if system == "us" else KINDS[kind].metric
    return _LABEL_SPELLING.get(label) or KINDS[kind].spellings[label]


def unit_label(kind: str, system: str = "metric") -> str:
    """The unit a reader of this system sees for this kind, for example 'kg' or 'lb'."""
    return KINDS[kind].us if system == "us" else KINDS[kind].metric


def from_si(value: Number, kind: str, system: str = "metric") -> Number:
    """An SI value in the unit shown to a reader of this system (works on numpy arrays too)."""
    factor, offset = _scale(kind, _display_unit(kind, system))
    return (value - offset) / factor


def ends_from_si(ends: tuple[float, float], kind: str, system: str = "metric") -> tuple[float, float]:
    """Both ends of a range in the unit shown to a reader of this system."""
    return from_si(ends[0], kind, system), from_si(ends[1], kind, system)


def to_si_number(value: float, kind: str, system: str = "metric") -> float:
    """A bare number typed in the unit shown for this system, as SI."""
    factor, offset = _scale(kind, _display_unit(kind, system))
    return value * factor + offset


def to_si(text: str, kind: str) -> float:
    """Read text such as "2950 lb" as SI; temperatures as °C, shaft speed as rpm, charge as Ah, hours as h,
    grade and share as a plain ratio.

    Raises InputError naming what was found and an example of what is wanted.

    >>> round(to_si("2950 lb", "mass"), 1)
    1338.1
    >>> to_si("2000 lbf", "mass")  # doctest: +NORMALIZE_WHITESPACE
    Traceback (most recent call last):
    ...
    towlib.errors.InputError: found '2000 lbf' (lbf measures force, not mass: a scale that shows lb gives a
    mass); wanted a mass such as '2950 lb'.
    """
    wanted = f"{_article(kind)} such as '{KINDS[kind].example}'"
    if not isinstance(text, str):
        raise InputError(f"{quote(text)} without a unit", wanted)
    match = _TEXT.fullmatch(text) if len(text) <= 48 else None
    if not match:
        raise InputError(f"{quote(text)}, which is not a number and a unit", wanted)
    unit = " ".join(match["unit"].split())
    spellings = KINDS[kind].spellings
    if unit not in spellings:
        raise InputError(f"{quote(text)}{_unit_hint(unit, kind)}", wanted)
    value = float(match["number"].replace(",", ""))
    factor, offset = _scale(kind, spellings[unit])
    value_si = value * factor + offset
    if not math.isfinite(value_si) or abs(value_si) > LARGEST:
        raise InputError(f"{quote(text)}, which is too large to be real", wanted)
    return value_si


def split_plus_minus(text: str) -> tuple[str, str]:
    """A text such as "950 ± 15 kg" cut into value and ±, each with its unit; the second is "" when there is
    no ±.

    A side without a unit takes that of the other; a ± in % of the value keeps its %.

    >>> split_plus_minus("950 ± 15 kg"), split_plus_minus("950 kg +/- 2 %"), split_plus_minus("950 kg")
    (('950 kg', '15 kg'), ('950 kg', '2 %'), ('950 kg', ''))
    """
    parts = re.split(r"±|\+/-", text, maxsplit=1)
    if len(parts) == 1 or len(text) > 96:
        return text, ""
    value, wide = (part.strip() for part in parts)
    if value and _BARE.fullmatch(value):
        value = f"{value} {_unit_of(wide)}".strip()
    if wide and _BARE.fullmatch(wide):
        wide = f"{wide} {_unit_of(value)}".strip()
    return value, wide


def _unit_of(text: str) -> str:
    match = _TEXT.fullmatch(text)
    return match["unit"] if match else ""


def plus_minus_si(text: str, kind: str, value_si: float) -> float:
    """The ± of a value as SI: an amount in a unit of its kind, or a share of the value in %; InputError for
    anything else.

    >>> round(plus_minus_si("10 lb", "mass", 900.0), 3), plus_minus_si("2 %", "mass", 900.0)
    (4.536, 18.0)
    """
    or_share = "" if kind in ("share", "grade", "temperature") else ", or a share of the value such as 2 %"
    wanted = f"a ± above zero such as '1 {KINDS[kind].metric}'{or_share}"
    share = share_of_value(text)
    if share is not None and kind == "temperature":
        raise InputError(f"± {quote(text)}", "a ± in K or °F: a share of a temperature depends on the scale")
    if share is not None and kind not in ("share", "grade"):
        amount = share * abs(value_si)
        if share >= 1.0:
            raise InputError(f"± {quote(text)}", "a ± below 100 % of the value")
    else:
        amount = to_si(text, kind) - _zero_si(text, kind)
    if not amount > 0:
        raise InputError(f"± {quote(text)}", wanted)
    return amount


def share_of_value(text: str) -> float | None:
    """The share behind a text such as "2 %"; None for anything else."""
    share = re.fullmatch(r"\s*([0-9]{1,3}(?:\.[0-9]{0,6})?)\s*%\s*", text)
    return float(share[1]) / 100.0 if share else None


def _zero_si(text: str, kind: str) -> float:
    """Zero in the unit of a text, as SI: 0 for all but the temperatures, whose scales start elsewhere."""
    match = _TEXT.fullmatch(text)
    assert match is not None  # to_si has read it
    return _scale(kind, KINDS[kind].spellings[" ".join(match["unit"].split())])[1]


def _article(kind: str) -> str:
    name = kind.replace("_", " ")
    return f"{'an' if name[0] in 'aeiou' else 'a'} {name}"


def _unit_hint(unit: str, kind: str) -> str:
    if not unit:
        return " (no unit)"
    others = [name for name, other in KINDS.items() if unit in other.spellings and name != kind]
    if kind == "mass" and unit in _FORCE:
        return f" ({unit} measures force, not mass: a scale that shows lb gives a mass)"
    if kind == "force" and unit in _MASS:
        return f" ({unit} measures mass, not force: write lbf, N or kN)"
    if others:
        return f" ({unit} measures {others[0].replace('_', ' ')})"
    return f" (unit '{unit}' is not known here; understood: {', '.join(KINDS[kind].spellings)})"


def show(value_si: float | None, kind: str, system: str = "metric", digits: int = 3) -> str:
    """A value with its unit, rounded to what a reader can use.

    >>> show(1338.1, "mass", "us")
    '2,950 lb'
    >>> show(None, "mass")
    'not known'
    """
    if value_si is None or not math.isfinite(value_si):
        return "not known"
    value = from_si(value_si, kind, system)
    return f"{number(value, digits)} {unit_label(kind, system)}"


def number(value: float, digits: int = 3) -> str:
    """A bare number to `digits` significant figures, whole numbers never cut, with thousands commas."""
    if value == 0 or not math.isfinite(value):
        return "0" if value == 0 else "not known"
    decimals = max(0, digits - 1 - math.floor(math.log10(abs(value))))
    text = f"{value:,.{decimals}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in ("-0", "0") else text


def degrees_words(angle_rad: float) -> str:
    """An angle with its sign, in degrees.

    >>> degrees_words(-0.1)
    '−5.7°'
    """
    return f"{math.degrees(angle_rad):+.1f}°".replace("-", "−")
