"""Lists made from the models, never written twice: every rig field, every key of the plan's JSON, the blank
rig.
"""

from functools import lru_cache
from pathlib import Path
from typing import Any, NamedTuple, get_args

from pydantic import BaseModel

from towlib.handbook.tables import known_words
from towlib.paths import DATA
from towlib.print.plan_json import KEYS, SUFFIX
from towlib.rig.facts import assumptions
from towlib.rig.field_types import type_of
from towlib.rig.measured import Measured
from towlib.rig.model import ROW_TABLES, Rig, row_of
from towlib.units import KINDS, from_si, number, unit_label

SECTIONS = {
    "tow_vehicle": "Tow vehicle",
    "tow_vehicle.front_tyres": "Tow vehicle: front tyres",
    "tow_vehicle.rear_tyres": "Tow vehicle: rear tyres",
    "tow_vehicle.engine": "Tow vehicle: engine",
    "tow_vehicle.gearbox": "Tow vehicle: gearbox",
    "tow_vehicle.cooling": "Tow vehicle: cooling",
    "tow_vehicle.brakes": "Tow vehicle: brakes",
    "towed_vehicle": "Towed vehicle",
    "towed_vehicle.tyres": "Towed vehicle: tyres",
    "towed_vehicle.driveline": "Towed vehicle: driveline and steering",
    "hitch": "Receiver, ball mount and ball",
    "tow_bar": "Tow bar",
    "bracket": "Brackets and their bolts",
    "safety_chains": "Safety chains",
    "lights": "Lamps of the towed vehicle",
    "battery": "Battery of the towed vehicle",
    "other_ways": "Dolly and trailer, to compare",
    "conditions": "The day and how you drive",
}


class RigField(NamedTuple):
    """One field of a rig file, for the form, the field list and the blank rig."""

    path: str
    label: str
    kind: str  # a kind of towlib.units, or text, choice, whole number, ratio, list, yes or no
    required: bool
    choices: tuple[str, ...]
    example: str
    spread: str  # range that is accepted, in words
    where: str
    settles: str


def rig_fields() -> list[RigField]:
    """Every field of a rig file, in the order of the model; tables with rows under 'load.0' and the like."""
    return list(_fields(Rig, "")) + [
        field for table, row in ROW_TABLES.items() for field in _fields(row, f"{table}.0.")
    ]


def field_at(path: str) -> RigField | None:
    """The field of a path, row numbers aside; None when there is none."""
    row = row_of(path)
    return _by_path().get(f"{row[0]}.0.{row[2]}" if row else path)


def need_field(path: str) -> RigField:
    """The field of a path that has one; KeyError otherwise."""
    field = field_at(path)
    if field is None:
        raise KeyError(path)
    return field


@lru_cache(maxsize=1)
def _by_path() -> dict[str, RigField]:
    return {field.path: field for field in rig_fields()}


def _fields(model: type[BaseModel], prefix: str):
    for name, info in model.model_fields.items():
        inner = _part_in(info.annotation)
        if inner is not None and inner not in ROW_TABLES.values() and name != "curve":
            yield from _fields(inner, f"{prefix}{name}.")
        elif inner not in ROW_TABLES.values():
            yield _field(prefix + name, info)


def _part_in(annotation: Any) -> type[BaseModel] | None:
    return (
        annotation
        if isinstance(annotation, type) and issubclass(annotation, BaseModel)
        else next(
            (a for a in _all_args(annotation) if isinstance(a, type) and issubclass(a, BaseModel)), None
        )
    )


def _all_args(annotation: Any):
    for argument in get_args(annotation):
        yield argument
        yield from _all_args(argument)


def _field(path: str, info: Any) -> RigField:
    extra = info.json_schema_extra or {}
    kind, rule, choices = type_of(info)
    spread, example = "", "my name for it"
    if isinstance(rule, Measured):
        example = rule.example or KINDS[kind].example
        low, high = (number(from_si(end, kind), 4) for end in (rule.low, rule.high))
        spread = f"{low} to {high} {unit_label(kind)}"
    elif kind == "choice":
        example = choices[0]
    elif kind == "switch":
        kind, choices, example = "yes or no", ("true", "false"), "true"
    elif kind == "list":
        curve = path.endswith("curve")
        example = '{speed = "2000 rpm", torque = "310 N m"}' if curve else "4.1, 2.3, 1.5, 1.0"
    elif rule is not None:
        kind = "whole number" if kind == "count" else "ratio"
        example, spread = f"{rule.example:g}", f"{rule.low:g} to {rule.high:g}"
    return RigField(
        path,
        info.description or path,
        kind,
        info.is_required(),
        choices,
        extra.get("example") or example,
        spread,
        extra.get("where", ""),
        extra.get("settles", ""),
    )


def rig_fields_page() -> str:
    """The list of rig fields as a Markdown page."""
    lines = [
        "# Fields of a rig file",
        "",
        "Made by `python -m towlib.print.field_lists`; do not edit. Text with a unit goes in quotes.",
        (
            "A field that is missing is either assumed (last column) or leaves the limits it settles *not"
            " known*."
        ),
        (
            'Behind a measured value may stand how far it may be off: `"950 ± 15 kg"`, `"950 kg +/- 2 %"`, or'
            ' `"0.9 ± 0.1"` for a bare number.'
        ),
        (
            "A value that looks like a slip (outside `data/handbook/plausible.csv`, or at odds with another:"
            " `goes_together.csv`) is asked about, and what rests on it is *not known* until it is corrected"
            " or confirmed: the form has a button; in the file it is a line such as"
            ' `"tow_vehicle.gvwr" = "9000 kg"` under `[confirmed]`, for that very value.'
        ),
        "",
        "| field | what it is | kind, range | example | where to find it | settles | assumed when missing |",
        "|---|---|---|---|---|---|---|",
    ]
    for field in rig_fields():
        needed = " **needed**" if field.required else ""
        kind = field.kind.replace("_", " ") + (f", {field.spread}" if field.spread else "")
        kind += f": {' / '.join(field.choices)}" if field.choices else ""
        assumed = assumptions().get(field.path)
        lines.append(
            f"| `{field.path.replace('.0.', '[].')}` | {field.label}{needed} | {kind} | `{field.example}` |"
            f" {field.where} | {field.settles} |"
            f" {f'{assumed.text} ({known_words(assumed.known_by)})' if assumed else ''} |"
        )
    return "\n".join(lines) + "\n"


def plan_keys_page() -> str:
    """The list of JSON keys as a Markdown page."""
    lines = [
        "# Keys of the plan's JSON",
        "",
        (
            "Made by `python -m towlib.print.field_lists`; do not edit. `python -m towlib RIG ROUTE --json`"
            " prints it."
        ),
        (
            f"`<unit>` is one of: {', '.join(sorted(set(SUFFIX.values())))}. Numbers that are not known are"
            " null."
        ),
        "",
        "| key | what it holds |",
        "|---|---|",
    ]
    return "\n".join([*lines, *(f"| `{key}` | {text} |" for key, text in KEYS.items())]) + "\n"


def blank_rig() -> str:
    """A rig file with every field to fill in; lines that are not filled stay commented out."""
    lines = [
        (
            "# A blank rig. Take the # away from the lines you can fill in; write each value in quotes with"
            " its unit."
        ),
        (
            "# Needed lines are marked; a missing line is assumed or leaves its limits 'not known'"
            " (data/rig_fields.md says which)."
        ),
        '# Behind a measured value may stand how far it may be off: "950 kg ± 15 kg".',
        "# An unusual value that is right is confirmed by the same value in a table [confirmed] at the end:",
        '# "tow_vehicle.gvwr" = "9000 kg".',
    ]
    table = ""
    for field in rig_fields():
        here, _, name = field.path.rpartition(".")
        if here != table:
            table = here
            table_name = here.removesuffix(".0")
            lines += [
                "",
                f"# [[{table_name}]]   # as many as there are" if table_name in ROW_TABLES else f"[{here}]",
            ]
        if field.kind in ("whole number", "ratio", "yes or no"):
            value = field.example
        elif field.kind == "list":
            value = f"[{field.example}]"
        else:
            value = f'"{field.example}"'
        lines.append(
            f"# {name} = {value}   #"
            f" {'needed: ' if field.required else ''}{field.label}{'; ' + field.where if field.where else ''}"
        )
    return "\n".join(lines) + "\n"


PAGES = {"rig_fields.md": rig_fields_page, "plan_json_keys.md": plan_keys_page, "rigs/blank.toml": blank_rig}


def write_pages(folder: Path = DATA) -> None:
    """Write all lists anew."""
    for name, make in PAGES.items():
        (folder / name).write_text(make(), encoding="utf-8")


if __name__ == "__main__":
    write_pages()
