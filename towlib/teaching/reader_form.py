"""The form of 00: asks for the reader's rig field by field, keeps every answer, and says what is still not known."""

from typing import Any

from towlib.errors import InputError
from towlib.field_lists import SECTIONS, RigField, rig_fields
from towlib.limits import NOT_KNOWN
from towlib.rig import row_of
from towlib.rig_store import RigStore
from towlib.route import Route
from towlib.teaching.panels import FormRow, form, system_in_use
from towlib.trip import make_plan
from towlib.units import KINDS, unit_label

ROWS = {"load": (6, "People and cargo, row"), "bracket.bolts": (6, "Bracket bolts, bolt")}  # rows offered, and their headings


def rig_form(store: RigStore | None = None) -> Any:
    """The form; every change is on disk before its answer appears."""
    store = store or RigStore()
    sections = []
    for table, title in SECTIONS.items():
        rows = [_row(field, field.path, store) for field in rig_fields() if field.path.rpartition(".")[0] == table and not field.path.endswith("curve")]
        sections.append((title, rows))
    for table, (count, title) in ROWS.items():
        for number in range(count):
            rows = [_row(field, field.path.replace(f"{table}.0", f"{table}.{number}"), store) for field in rig_fields() if field.path.startswith(f"{table}.0.")]
            sections.append((f"{title} {number + 1}", rows))
    return form(sections, lambda path, text: put(store, path, text))


def put(store: RigStore, path: str, text: str) -> str:
    """Keep an answer; '' or one sentence."""
    try:
        return store.put(path, text)
    except InputError as error:
        return f"Not kept: {error}"


def _row(field: RigField, path: str, store: RigStore) -> FormRow:
    units: tuple[str, ...] = ()
    if field.kind in KINDS:
        spellings = list(KINDS[field.kind].spellings)
        systems = ("us", "metric") if system_in_use() == "us" else ("metric", "us")
        shown = [unit for unit in (unit_label(field.kind, system) for system in systems) if unit in spellings]
        units = tuple(dict.fromkeys([*shown, *spellings]))
    words = "; ".join(part for part in (field.where, f"settles: {field.settles}" if field.settles else "") if part)
    needed = field.required and not row_of(path)
    return FormRow(path, field.label, units, field.choices, store.text(path), field.example, words, needed)


def what_is_missing(route: Route, store: RigStore | None = None) -> str:
    """What the reader's rig does not say yet, and which limits each missing fact would settle."""
    store = store or RigStore()
    try:
        rig = store.rig()
    except InputError as error:
        return f"Not enough yet to make a plan. {error}"
    plan = make_plan(rig, route)
    settles: dict[str, list[str]] = {}
    for limit in plan.limits:
        if limit.answer == NOT_KNOWN:
            for fact in limit.missing.split("; "):
                settles.setdefault(fact, []).append(limit.title)
    if not settles:
        return f"Nothing is missing: all {len(plan.limits)} limits have an answer."
    labels = {field.path: f"{field.label} ({field.where})" if field.where else field.label for field in rig_fields()}
    lines = [f"{plan.count(NOT_KNOWN)} of {len(plan.limits)} limits are not known. To find out, most useful first:"]
    for fact, titles in sorted(settles.items(), key=lambda item: -len(item[1])):
        lines.append(f"- {labels.get(fact, fact)} [{fact}] would help to settle: {', '.join(titles)}")
    return "\n".join(lines)
