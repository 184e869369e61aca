"""Slider data of the lessons: rows of data/lessons/NN_name.toml, checked so that an edited row is answered by name."""

import tomllib
from pathlib import Path
from typing import Any, NamedTuple

from towlib.errors import InputError, quote
from towlib.rig import read_text
from towlib.units import KINDS, to_si

FOLDER = Path(__file__).parents[2] / "data" / "lessons"
GROUPS = ("vehicle", "towed", "load", "road", "view")  # the order in which sliders stand
PLAIN_KINDS = ("count",)
_KEYS = {"name", "label", "kind", "low", "high", "start", "step", "group", "why_this_range", "source"}


class Slider(NamedTuple):
    """One slider; values in SI, or plain whole numbers for a count."""

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


class PanelSpec(NamedTuple):
    """The sliders of one panel, in the order they stand."""

    lesson: str
    panel: str
    title: str
    sliders: tuple[Slider, ...]


def load_panel(lesson: str, panel: str, folder: Path = FOLDER) -> PanelSpec:
    """The sliders of a panel; InputError names the file, the panel, the row and what is wanted."""
    path = folder / f"{lesson}.toml"
    try:
        data = tomllib.loads(read_text(path, 1_000_000, wanted="a lesson file in data/lessons"))
    except tomllib.TOMLDecodeError as error:
        raise InputError(f"text that is not TOML: {error}", "lines such as: start = \"300 kg\"", file=path.name) from None
    panels = data.get("panels", {})
    if panel not in panels:
        raise InputError(f"no panel {quote(panel)}", f"one of {', '.join(panels) or 'none'}", file=path.name)
    table = panels[panel]
    rows = table.get("sliders", [])
    if not rows or not table.get("title"):
        raise InputError("no title or no sliders", "a title and at least one row under sliders", field=f"panels.{panel}", file=path.name)
    sliders = [_slider(row, path.name, f"panels.{panel}.sliders.{number}") for number, row in enumerate(rows, start=1)]
    names = [slider.name for slider in sliders]
    for name in names:
        if names.count(name) > 1:
            raise InputError(f"the slider {quote(name)} twice", "each name once", field=f"panels.{panel}", file=path.name)
    return PanelSpec(lesson, panel, table["title"], tuple(sorted(sliders, key=lambda slider: GROUPS.index(slider.group))))


def panels_of(lesson: str, folder: Path = FOLDER) -> tuple[str, ...]:
    """Names of the panels of a lesson."""
    return tuple(tomllib.loads((folder / f"{lesson}.toml").read_text(encoding="utf-8")).get("panels", {}))


def _slider(row: dict[str, Any], file: str, field: str) -> Slider:
    def wrong(found: str, wanted: str, part: str = "") -> InputError:
        return InputError(found, wanted, field=f"{field}{'.' + part if part else ''}", file=file)

    if set(row) != _KEYS:
        odd = sorted(set(row) ^ _KEYS)
        raise wrong(f"{'a key that is not known' if odd[0] in row else 'no key'} {quote(odd[0])}", f"exactly the keys {', '.join(sorted(_KEYS))}")
    if row["kind"] not in KINDS and row["kind"] not in PLAIN_KINDS:
        raise wrong(quote(row["kind"]), f"a kind of unit, one of {', '.join((*KINDS, *PLAIN_KINDS))}", "kind")
    if row["group"] not in GROUPS:
        raise wrong(quote(row["group"]), f"one of {', '.join(GROUPS)}", "group")
    values = {}
    for part in ("low", "high", "start", "step"):
        try:
            values[part] = float(row[part]) if row["kind"] in PLAIN_KINDS else _read(row[part], row["kind"], step=part == "step")
        except InputError as error:
            raise wrong(error.found, error.wanted, part) from None
        except (TypeError, ValueError):
            raise wrong(quote(row[part]), "a plain number", part) from None
    if not values["low"] < values["high"]:
        raise wrong(f"low {row['low']} not below high {row['high']}", "low below high", "low")
    if not values["low"] <= values["start"] <= values["high"]:
        raise wrong(f"start {row['start']} outside {row['low']} to {row['high']}", "a start between low and high", "start")
    if not 0 < values["step"] <= values["high"] - values["low"]:
        raise wrong(f"step {row['step']}", "a step above zero and not above the whole range", "step")
    return Slider(row["name"], row["label"], row["kind"], group=row["group"], why_this_range=row["why_this_range"], source=row["source"], **values)


def _read(text: Any, kind: str, *, step: bool) -> float:
    value = to_si(text, kind)
    return value - to_si("0 degC", kind) if step and kind == "temperature" else value
