"""Slider data of the lessons: rows of data/lessons/NN_name.toml, checked so that an edited row is answered by
name.

A row that names a field of the rig (`from = "towed_vehicle.wheelbase"`) takes label, kind and start from it,
and moving the slider changes that field for the panel alone; any other row is an argument of the panel's
compute function.
"""

import math
from collections.abc import Iterable
from difflib import get_close_matches
from pathlib import Path
from typing import Any, NamedTuple

from towlib.errors import InputError, quote
from towlib.limits.derived import DERIVED
from towlib.paths import DATA
from towlib.rig.facts import Facts, NotKnown
from towlib.rig.field_types import type_of
from towlib.rig.model import MAX_RIG_BYTES, field_info, label_of, read_text, toml_tables
from towlib.units import KINDS, from_si, to_si, to_si_number, unit_label

FOLDER = DATA / "lessons"
GROUPS = ("vehicle", "towed", "load", "road", "view")  # the order in which sliders stand
WHOLE_KINDS = ("count", "choice", "switch")  # a whole number, one of named options, off or on
PLAIN_KINDS = ("number", *WHOLE_KINDS)  # without a unit
_ALWAYS = {"name", "label", "kind", "group", "why_this_range", "source"}
_NUMBERS = ("low", "high", "start", "step")
_OWN_STEPS = ("metric_step", "us_step")
_NEEDED = {"choice": {"start", "options"}, "switch": {"start"}}
_MAY = {"folded", "plays"}
_SWITCH = ("off", "on")
_YES = ("no", "yes")
_GROUP_OF = {"towed_vehicle": "towed", "carried": "load", "load": "load", "conditions": "road"}


class Slider(NamedTuple):
    """One slider; values in SI, or plain numbers: a bare or whole number, or the number of an option."""

    name: str  # the argument of the compute function, or the path of a field
    label: str
    kind: str
    low: float
    high: float
    start: float  # not a number while it comes from a rig
    step: float
    group: str
    why_this_range: str
    source: str
    options: tuple[str, ...] = ()
    metric_step: float | None = None
    us_step: float | None = None
    of_rig: bool = False  # a field of the rig, or a quantity that follows from several
    ends: tuple[float, float] = (-math.inf, math.inf)  # outside which the field refuses a value
    folded: bool = False  # stands under "more", for panels with many sliders
    plays: bool = False  # has a button that moves it by itself
    to_count_of: str = ""  # a list of the rig whose length is the high end

    @property
    def kept_in_rig(self) -> bool:
        """Whether the rig file has a field for it."""
        return self.of_rig and self.name not in DERIVED

    def argument(self, value: float) -> Any:
        """What the compute function is given, or the field is set to: a float in SI, a whole number, the text
        of an option, or True and False.
        """
        if self.kind == "choice":
            return self.options[round(value)]
        if self.kind == "switch":
            return bool(round(value))
        return round(value) if self.kind == "count" else value

    def position(self, argument: Any) -> float:
        """Where the slider stands for a value of its field; ValueError for an option it does not have."""
        if self.kind == "choice":
            return float(self.options.index(argument))
        return float(argument)

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
        """The step in the units of a system: its own when the row gives one, else a round number near the
        step.
        """
        own = self.us_step if system == "us" else self.metric_step
        step = own or self.step
        size = self.shown(self.low + step, system) - self.shown(self.low, system)
        return float(f"{size:.6g}") if own or self.kind in PLAIN_KINDS else _round_near(size)


def _round_near(step: float) -> float:
    """The step itself when it is 1, 1.5, 2 … 9.5 times a power of ten, else the nearest of 1, 2, 5 times
    one.
    """
    power = 10.0 ** math.floor(math.log10(step) + 1e-9)
    halves = round(2 * step / power)
    if math.isclose(step, halves / 2 * power, rel_tol=1e-6):
        return float(f"{step:.2g}")
    return float(
        f"{min((m * power for m in (1, 2, 5, 10)), key=lambda near: abs(math.log(near / step))):.2g}"
    )


class PanelSpec(NamedTuple):
    """The sliders of one panel, in the order they stand, and the invented rig it starts with."""

    lesson: str
    panel: str
    title: str
    sliders: tuple[Slider, ...]
    demo: str = "demo_comfortable"

    def starting_from(self, facts: Facts) -> "tuple[PanelSpec, tuple[str, ...]]":
        """The same sliders at the values of a rig, ranges widened to hold them; and the fields it lacks."""
        sliders, missing = [], []
        for slider in self.sliders:
            try:
                sliders.append(_started(slider, facts))
            except NotKnown as unknown:
                missing.append(unknown.reason)
        return self._replace(sliders=tuple(sliders)), tuple(dict.fromkeys(missing))


def _started(slider: Slider, facts: Facts) -> Slider:
    if slider.to_count_of:
        high = float(len(facts.need(slider.to_count_of)))
        start = min(slider.start, high)
        return slider._replace(low=min(slider.low, start), high=high, start=start)
    if not slider.of_rig:
        return slider
    value = DERIVED[slider.name].of(facts) if slider.name in DERIVED else facts.need(slider.name)
    try:
        start = slider.position(value)
    except ValueError:
        raise NotKnown(slider.name) from None
    low, high = max(slider.low, slider.ends[0]), min(slider.high, slider.ends[1])
    return slider._replace(start=start, low=min(low, start), high=max(high, start))


def load_panel(lesson: str, panel: str, folder: Path = FOLDER) -> PanelSpec:
    """The sliders of a panel; InputError names the file, the panel, the row and what is wanted."""
    path = folder / f"{lesson}.toml"
    panels = _panels(path)
    if panel not in panels:
        raise InputError(f"no panel {quote(panel)}", f"one of {_few(panels) or 'none'}", file=path.name)
    table = panels[panel]
    rows = table.get("sliders", [])
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        raise InputError(
            "sliders that are not rows",
            f"headings such as [[panels.{panel}.sliders]]",
            field=f"panels.{panel}",
            file=path.name,
        )
    if not rows or not isinstance(table.get("title"), str) or not table["title"].strip():
        raise InputError(
            "no title or no sliders",
            "a title and at least one row under sliders",
            field=f"panels.{panel}",
            file=path.name,
        )
    if odd := sorted(set(table) - {"title", "sliders", "demo"}):
        raise InputError(
            f"a key that is not known {quote(odd[0])}",
            "title, sliders and demo only",
            field=f"panels.{panel}",
            file=path.name,
        )
    demo = table.get("demo", "demo_comfortable")
    if demo not in [path.stem for path in (DATA / "rigs").glob("*.toml")]:
        raise InputError(
            quote(demo), "the name of a rig in data/rigs", field=f"panels.{panel}.demo", file=path.name
        )
    sliders = [
        _slider(row, path.name, f"panels.{panel}.sliders.{number}")
        for number, row in enumerate(rows, start=1)
    ]
    names = [slider.name for slider in sliders]
    for name in names:
        if names.count(name) > 1:
            raise InputError(
                f"the slider {quote(name)} twice", "each name once", field=f"panels.{panel}", file=path.name
            )
    ordered = tuple(sorted(sliders, key=lambda slider: GROUPS.index(slider.group)))
    return PanelSpec(lesson, panel, table["title"], ordered, demo)


def panels_of(lesson: str, folder: Path = FOLDER) -> tuple[str, ...]:
    """Names of the panels of a lesson."""
    return tuple(_panels(folder / f"{lesson}.toml"))


def lesson_tables(path: Path) -> dict[str, Any]:
    """Everything a lesson file holds."""
    text = read_text(path, MAX_RIG_BYTES, wanted="a lesson file in data/lessons")
    return toml_tables(text, 'lines such as: start = "300 kg"', file=path.name)


def _panels(path: Path) -> dict[str, dict[str, Any]]:
    panels = lesson_tables(path).get("panels", {})
    if not isinstance(panels, dict) or not all(isinstance(table, dict) for table in panels.values()):
        raise InputError("panels that are not tables", "headings such as [panels.axle_loads]", file=path.name)
    return panels


def _slider(row: dict[str, Any], file: str, field: str) -> Slider:
    def wrong(found: str, wanted: str, part: str = "") -> InputError:
        return InputError(found, wanted, field=f"{field}{'.' + part if part else ''}", file=file)

    if "from" in row:
        return _slider_of_field(row, wrong)
    kind: Any = row.get("kind", "")
    if "kind" in row and (not isinstance(kind, str) or kind not in (*KINDS, *PLAIN_KINDS)):
        close = get_close_matches(str(kind)[:40], (*KINDS, *PLAIN_KINDS), n=1)
        raise wrong(
            quote(kind),
            "a kind of unit,"
            f" {f'perhaps {close[0]!r}' if close else 'such as mass, length, speed, count, choice or switch'}"
            " (all stand in towlib/units.py)",
            "kind",
        )
    needed = _ALWAYS | _NEEDED.get(kind, set(_NUMBERS))
    if "to_count_of" in row:
        needed -= {"high"}
    allowed = needed | _MAY | (set() if kind in PLAIN_KINDS else set(_OWN_STEPS))
    missing, odd = sorted(needed - set(row)), sorted(set(row) - allowed - {"to_count_of"})
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
    words: dict[str, Any] = {part: row[part] for part in sorted(_ALWAYS)} | _extras(row, wrong)
    if kind in ("choice", "switch"):
        options = row["options"] if kind == "choice" else list(_SWITCH)
        if (
            not isinstance(options, list)
            or len(options) < 2
            or not all(isinstance(o, str) for o in options)
            or len(set(options)) < len(options)
        ):
            raise wrong(
                quote(options), 'at least two different options such as ["crossed", "parallel"]', "options"
            )
        if row["start"] not in options:
            raise wrong(quote(row["start"]), f"one of {_few(options)}", "start")
        return Slider(
            low=0.0,
            high=len(options) - 1.0,
            start=float(options.index(row["start"])),
            step=1.0,
            options=tuple(options),
            **words,
        )
    if "to_count_of" in row:
        if kind != "count" or _kind_of(row["to_count_of"]) != "list":
            raise wrong(
                quote(row["to_count_of"]),
                "for a count: a list of the rig such as 'tow_vehicle.gearbox.ratios'",
                "to_count_of",
            )
        words["to_count_of"], row = row["to_count_of"], {**row, "high": 99}
    values = _numbers(row, kind, (*_NUMBERS, *(step for step in _OWN_STEPS if step in row)), wrong)
    if not values["low"] <= values["start"] <= values["high"]:
        raise wrong(
            f"start {row['start']} outside {row['low']} to {row['high']}",
            "a start between low and high",
            "start",
        )
    return Slider(**words | values)


def _slider_of_field(row: dict[str, Any], wrong: Any) -> Slider:
    """A row that starts from a field of the rig, or from a quantity that follows from several."""
    path = row["from"]
    ends = (-math.inf, math.inf)
    options: tuple[str, ...] = ()
    if isinstance(path, str) and path in DERIVED:
        label, kind = DERIVED[path].label, DERIVED[path].kind
    else:
        try:
            found = type_of(field_info(path)) if isinstance(path, str) else None
        except InputError:
            found = None
        if found is None or found.kind in ("text", "list"):
            raise wrong(quote(path), "a field of the rig such as 'towed_vehicle.wheelbase'", "from")
        label, kind = label_of(path), found.kind
        options = found.choices or (_YES if kind == "switch" else ())
        if found.rule is not None:
            ends = (found.rule.low, found.rule.high)
    needed = {"from", "why_this_range"} | (set() if options else {"low", "high", "step"})
    allowed = needed | _MAY | {"source"} | (set() if kind in PLAIN_KINDS else set(_OWN_STEPS))
    missing, odd = sorted(needed - set(row)), sorted(set(row) - allowed)
    if missing or odd:
        found_words = f"no key {quote(missing[0])}" if missing else f"a key that is not known {quote(odd[0])}"
        raise wrong(found_words, f"the keys {', '.join(sorted(needed))}")
    why, source = row["why_this_range"], row.get("source", "common practice, no source")
    for part, words in (("why_this_range", why), ("source", source)):
        if not isinstance(words, str) or not words.strip():
            raise wrong(quote(words), "words in quotes", part)
    values: dict[str, Any] = {"low": 0.0, "high": len(options) - 1.0, "step": 1.0}
    if not options:
        parts = ("low", "high", "step", *(step for step in _OWN_STEPS if step in row))
        values = _numbers(row, kind, parts, wrong)
    return Slider(
        name=path,
        label=label,
        kind=kind,
        start=math.nan,
        group=_GROUP_OF.get(path.partition(".")[0], "vehicle"),
        why_this_range=why,
        source=source,
        options=options,
        of_rig=True,
        ends=ends,
        **values | _extras(row, wrong),
    )


def _kind_of(path: Any) -> str:
    """The kind of a field of the rig; '' when there is none."""
    try:
        return type_of(field_info(path)).kind if isinstance(path, str) else ""
    except InputError:
        return ""


def _extras(row: dict[str, Any], wrong: Any) -> dict[str, bool]:
    for part in sorted(_MAY & set(row)):
        if not isinstance(row[part], bool):
            raise wrong(quote(row[part]), "true or false", part)
    return {part: row[part] for part in sorted(_MAY & set(row))}


def _numbers(row: dict[str, Any], kind: str, parts: Iterable[str], wrong: Any) -> dict[str, float]:
    """Ends, steps and start of a row in SI, checked against each other."""
    values: dict[str, float] = {}
    for part in parts:
        try:
            if kind == "count":
                values[part] = _whole(row[part])
            elif kind == "number":
                values[part] = _bare(row[part])
            else:
                values[part] = _read(row[part], kind, step="step" in part)
        except InputError as error:
            raise wrong(error.found, error.wanted, part) from None
    if not values["low"] < values["high"]:
        raise wrong(f"low {row['low']} not below high {row['high']}", "low below high", "low")
    for part in (part for part in values if "step" in part):
        if not 0 < values[part] <= values["high"] - values["low"]:
            raise wrong(f"{part} {row[part]}", "a step above zero and not above the whole range", part)
    return values


def _few(names: Iterable[str]) -> str:
    """Names of a file in a sentence, not more and not longer than it can hold."""
    return ", ".join(quote(name, 24)[1:-1] for name in list(names)[:8])


def _whole(value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, int):
        raise InputError(quote(value), "a whole number without quotes and unit")
    return float(value)


def _bare(value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise InputError(quote(value), "a number without quotes and unit")
    return float(value)


def _read(text: Any, kind: str, *, step: bool) -> float:
    value = to_si(text, kind)
    if step and kind == "temperature":  # a step is a difference: 5 degF is 5/9 K, not -15 degC
        return value - to_si(f"0 {text.lstrip('0123456789.,+- ')}", kind)
    return value
