"""Slider data of the lessons: rows of data/lessons/NN_name.toml, checked so that an edited row is answered by name."""

import math
from collections.abc import Iterable
from difflib import get_close_matches
from pathlib import Path
from typing import Any, NamedTuple

from towlib.errors import InputError, quote
from towlib.rig import MAX_RIG_BYTES, read_text, toml_tables
from towlib.units import KINDS, from_si, to_si, to_si_number, unit_label

FOLDER = Path(__file__).parents[2] / "data" / "lessons"
GROUPS = ("vehicle", "towed", "load", "road", "view")  # the order in which sliders stand
PLAIN_KINDS = ("count", "choice", "switch")  # without a unit: a whole number, one of named options, off or on
_ALWAYS = {"name", "label", "kind", "group", "why_this_range", "source"}
_NUMBERS = ("low", "high", "start", "step")
_OWN_STEPS = ("metric_step", "us_step")
_SWITCH = ("off", "on")


class Slider(NamedTuple):
    """One slider; values in SI, or plain whole numbers: a count, or the number of an option."""

    name: str  # the argument of the compute function
    label: str
    kind: str
    low: float
    high: float
    start: float
    step: float
    group: str
    why_this_range: str
    source: str
    options: tuple[str, ...] = ()
    metric_step: float | None = None
    us_step: float | None = None

    def argument(self, value: float) -> Any:
        """What the compute function is given: a float in SI, a whole number, the text of an option, or True and False."""
        if self.kind == "choice":
            return self.options[round(value)]
        if self.kind == "switch":
            return bool(round(value))
        return round(value) if self.kind == "count" else value

    def shown(self, value: float, system: str) -> float:
        """A value in the units of a system."""
        return value if self.kind in PLAIN_KINDS else from_si(value, self.kind, system)

    def from_shown(self, value: float, system: str) -> float:
        """A value shown in a system, in SI."""
        return value if self.kind in PLAIN_KINDS else to_si_number(value, self.kind, system)

    def unit(self, system: str) -> str:
        """The unit shown, '' where there is none."""
        return "" if self.kind in PLAIN_KINDS else unit_label(self.kind, system)

    def shown_step(self, system: str) -> float:
        """The step in the units of a system: its own when the row gives one, else a round number near the step."""
        own = self.us_step if system == "us" else self.metric_step
        step = own or self.step
        size = self.shown(self.low + step, system) - self.shown(self.low, system)
        return float(f"{size:.6g}") if own or self.kind in PLAIN_KINDS else _round_near(size)


def _round_near(step: float) -> float:
    """The step itself when it is 1, 1.5, 2 … 9.5 times a power of ten, else the nearest of 1, 2, 5 times one."""
    power = 10.0 ** math.floor(math.log10(step) + 1e-9)
    halves = round(2 * step / power)
    if math.isclose(step, halves / 2 * power, rel_tol=1e-6):
        return float(f"{step:.2g}")
    return float(f"{min((m * power for m in (1, 2, 5, 10)), key=lambda near: abs(math.log(near / step))):.2g}")


class PanelSpec(NamedTuple):
    """The sliders of one panel, in the order they stand."""

    lesson: str
    panel: str
    title: str
    sliders: tuple[Slider, ...]


def load_panel(lesson: str, panel: str, folder: Path = FOLDER) -> PanelSpec:
    """The sliders of a panel; InputError names the file, the panel, the row and what is wanted."""
    path = folder / f"{lesson}.toml"
    panels = _panels(path)
    if panel not in panels:
        raise InputError(f"no panel {quote(panel)}", f"one of {_few(panels) or 'none'}", file=path.name)
    table = panels[panel]
    rows = table.get("sliders", [])
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        raise InputError("sliders that are not rows", f"headings such as [[panels.{panel}.sliders]]", field=f"panels.{panel}", file=path.name)
    if not rows or not isinstance(table.get("title"), str) or not table["title"].strip():
        raise InputError("no title or no sliders", "a title and at least one row under sliders", field=f"panels.{panel}", file=path.name)
    if set(table) != {"title", "sliders"}:
        raise InputError(f"a key that is not known {quote(sorted(set(table) - {'title', 'sliders'})[0])}", "title and sliders only",
                         field=f"panels.{panel}", file=path.name)
    sliders = [_slider(row, path.name, f"panels.{panel}.sliders.{number}") for number, row in enumerate(rows, start=1)]
    names = [slider.name for slider in sliders]
    for name in names:
        if names.count(name) > 1:
            raise InputError(f"the slider {quote(name)} twice", "each name once", field=f"panels.{panel}", file=path.name)
    return PanelSpec(lesson, panel, table["title"], tuple(sorted(sliders, key=lambda slider: GROUPS.index(slider.group))))


def panels_of(lesson: str, folder: Path = FOLDER) -> tuple[str, ...]:
    """Names of the panels of a lesson."""
    return tuple(_panels(folder / f"{lesson}.toml"))


def _panels(path: Path) -> dict[str, dict[str, Any]]:
    text = read_text(path, MAX_RIG_BYTES, wanted="a lesson file in data/lessons")
    panels = toml_tables(text, "lines such as: start = \"300 kg\"", file=path.name).get("panels", {})
    if not isinstance(panels, dict) or not all(isinstance(table, dict) for table in panels.values()):
        raise InputError("panels that are not tables", "headings such as [panels.axle_loads]", file=path.name)
    return panels


def _slider(row: dict[str, Any], file: str, field: str) -> Slider:
    def wrong(found: str, wanted: str, part: str = "") -> InputError:
        return InputError(found, wanted, field=f"{field}{'.' + part if part else ''}", file=file)

    kind = row.get("kind")
    if kind is not None and kind not in KINDS and kind not in PLAIN_KINDS:
        close = get_close_matches(str(kind)[:40], (*KINDS, *PLAIN_KINDS), n=1)
        raise wrong(quote(kind), f"a kind of unit, {f'perhaps {close[0]!r}' if close else 'such as mass, length, speed, count, choice or switch'} (all stand in towlib/units.py)", "kind")
    needed = _ALWAYS | ({"start", "options"} if kind == "choice" else {"start"} if kind == "switch" else set(_NUMBERS))
    allowed = needed | (set() if kind in PLAIN_KINDS else set(_OWN_STEPS))
    missing, odd = sorted(needed - set(row)), sorted(set(row) - allowed)
    if missing or odd:
        found = f"no key {quote(missing[0])}" if missing else f"a key that is not known {quote(odd[0])}"
        raise wrong(found, f"the keys {', '.join(sorted(needed))}")
    for part in sorted(_ALWAYS):
        if not isinstance(row[part], str) or not row[part].strip():
            raise wrong(quote(row[part]), "words in quotes", part)
    if not row["name"].isidentifier():
        raise wrong(quote(row["name"]), "the name of an argument such as 'towed_mass_kg'", "name")
    if row["group"] not in GROUPS:
        raise wrong(quote(row["group"]), f"one of {', '.join(GROUPS)}", "group")
    words = {part: row[part] for part in sorted(_ALWAYS)}
    if kind in ("choice", "switch"):
        options = row["options"] if kind == "choice" else list(_SWITCH)
        if not isinstance(options, list) or len(options) < 2 or not all(isinstance(o, str) for o in options) or len(set(options)) < len(options):
            raise wrong(quote(options), "at least two different options such as [\"crossed\", \"parallel\"]", "options")
        if row["start"] not in options:
            raise wrong(quote(row["start"]), f"one of {_few(options)}", "start")
        return Slider(low=0.0, high=len(options) - 1.0, start=float(options.index(row["start"])), step=1.0, options=tuple(options), **words)
    values = {}
    for part in (*_NUMBERS, *(step for step in _OWN_STEPS if step in row)):
        try:
            values[part] = _whole(row[part]) if kind == "count" else _read(row[part], kind, step="step" in part)
        except InputError as error:
            raise wrong(error.found, error.wanted, part) from None
    if not values["low"] < values["high"]:
        raise wrong(f"low {row['low']} not below high {row['high']}", "low below high", "low")
    if not values["low"] <= values["start"] <= values["high"]:
        raise wrong(f"start {row['start']} outside {row['low']} to {row['high']}", "a start between low and high", "start")
    for part in (part for part in values if "step" in part):
        if not 0 < values[part] <= values["high"] - values["low"]:
            raise wrong(f"{part} {row[part]}", "a step above zero and not above the whole range", part)
    return Slider(**words, **values)


def _few(names: Iterable[str]) -> str:
    """Names of a file in a sentence, not more and not longer than it can hold."""
    return ", ".join(quote(name, 24)[1:-1] for name in list(names)[:10])


def _whole(value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, int):
        raise InputError(quote(value), "a whole number without quotes and unit")
    return float(value)


def _read(text: Any, kind: str, *, step: bool) -> float:
    value = to_si(text, kind)
    if step and kind == "temperature":  # a step is a difference: 5 degF is 5/9 K, not -15 degC
        return value - to_si(f"0 {text.lstrip('0123456789.,+- ')}", kind)
    return value
