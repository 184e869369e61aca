"""The form of 00: asks for the reader's rig field by field, keeps every answer, and says what is still not
known.
"""

import functools
import re
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import NamedTuple

from towlib.errors import InputError, quote
from towlib.handbook.tables import known_words
from towlib.limits.limit import NOT_KNOWN
from towlib.plan.trip import make_plan
from towlib.print.field_lists import DATA, SECTIONS, RigField, field_at, need_field, rig_fields
from towlib.rig.facts import assumptions
from towlib.rig.import_file import import_bytes, import_file
from towlib.rig.measured import rule_of
from towlib.rig.model import field_info, may_be_off, row_of
from towlib.rig.plausible import questions, read_back
from towlib.rig.store import RigStore
from towlib.rig.value_text import CURVE_EXAMPLE
from towlib.road.route import Route, load_route
from towlib.teaching.form.measuring_drawings import (
    DRAWINGS,
    NOT_DRAWN,
    NOTES,
    drawing_address,
    drawing_words,
    letter_of,
    question,
)
from towlib.teaching.panel.panels import (
    QUESTION,
    AnswerButton,
    AskField,
    Form,
    FormRow,
    FormSection,
    rig_chooser,
    system_in_use,
)
from towlib.units import KINDS, plus_minus_si, split_plus_minus, unit_label

# tables with a row for each thing: how many rows are offered at least, the section's title, a row's heading
ROWS = {
    "load": (6, "People and cargo", "Person or thing"),
    "bracket.bolts": (6, "Brackets: where each bolt sits", "Bolt"),
}
DEMOS = {
    "demo_comfortable": "invented demo: comfortable",
    "demo_nearly_ready": "invented demo: nearly ready",
    "demo_overloaded": "invented demo: overloaded",
}
ROAD = DATA / "routes" / "short_steep_pass.csv"
MOST_MISSING = 10
TOO_LONG = ("km", "mi", "yd", "mile", "miles")  # no part of a vehicle is measured in these
_BARE = re.compile(r"[-+]?(?:[0-9][0-9,]*\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]{1,2})?")


class Kept(NamedTuple):
    """What the reader's file holds, by path."""

    texts: Mapping[str, str]  # what was typed, good or not
    unread: Mapping[str, str]  # of it, what cannot be read
    asked: Mapping[str, str]  # what a friend would ask about


class Typed(NamedTuple):
    """An answer as it stands in its boxes."""

    value: str
    unit: str
    plus_minus: str


def rig_form(store: RigStore | None = None, road: Route | None = None) -> Form:
    """The form; every change is on disk before its answer appears."""
    store = store or RigStore()
    shown: dict[str, str] = {}  # what the form has shown or kept last, field by field

    def changed(path: str, value: str, unit: str, plus_minus: str) -> str:
        text, before_this = joined(Typed(value, unit, plus_minus)), _kept(store)
        missing.stale()
        before = before_this.texts.get(path, "")
        said = put(store, path, text)
        said = _not_read(path, said) if said else _state(need_field(path), path, store, _kept(store))
        if before not in (shown.get(path, before), text):  # last come, last kept; but the reader is told
            said = f"{said} Another notebook had written {quote(before)} here."
        shown[path] = text
        if path in before_this.asked or said.startswith(QUESTION):  # other fields may be in the question
            form.refresh()
        return said

    def confirmed(path: str) -> str:
        said = confirm(store, path)
        missing.stale()
        form.refresh()
        return said

    def take(name: str, content: bytes | None) -> str:
        said = take_over(store, name, content)
        form.refresh()
        missing.stale()
        return said

    missing = AnswerButton(
        "What is still not known, and what would it settle?",
        "Names the facts that would settle most limits",
        lambda: what_is_missing(road or load_route(ROAD), store),
    )
    where = (
        f"Your rig is the text file {store.path}. In the file list on the left a right click on it offers"
        " Download and Copy; on another computer it is taken over here. The file that you choose is only"
        " read."
    )
    chooser = rig_chooser(DEMOS, take, has_rig=lambda: _has_rig(store), where=where)
    form = Form(
        [_section(table, title, store, shown) for table, title in _titles()],
        changed,
        above=[chooser],
        below=[missing.widget],
        on_confirm=confirmed,
    )
    return form


def asked_in_panels(store: RigStore | None = None) -> AskField:
    """How a panel asks for a field that the reader's rig lacks."""
    store = store or RigStore()

    def row(path: str) -> FormRow:
        asked = _row(need_field(path), path, _kept(store), store)
        section = SECTIONS.get(path.rpartition(".")[0], "")  # no heading and no drawing tell which part
        return asked._replace(label=": ".join(filter(None, (section, asked.label))), letter="")

    def keep(path: str, value: str, unit: str, plus_minus: str) -> str:
        return _not_read(path, put(store, path, joined(Typed(value, unit, plus_minus))))

    return AskField(row, keep, functools.partial(confirm, store))


def _kept(store: RigStore) -> Kept:
    asked = {path: each.words for each in reversed(store.asked()) for path in each.paths}
    return Kept(_or_nothing(store.texts), _or_nothing(store.unread), asked)


def confirm(store: RigStore, path: str) -> str:
    """Keep that an unusual value is right as it stands; what stands beside its field then."""
    try:
        store.confirm(path)
    except InputError as error:
        return f"Not kept: {error}"
    return _state(need_field(path), path, store, _kept(store))


def put(store: RigStore, path: str, text: str) -> str:
    """Keep an answer; '' or one sentence."""
    try:
        return store.put(path, text)
    except InputError as error:
        return f"Not kept, but it still stands in its box: {error}"


def take_over(store: RigStore, name: str, content: bytes | None = None) -> str:
    """Take over a rig file by its content, its path, or a demo by its name; says what became of it."""
    try:
        if content is not None:
            return import_bytes(store, content, file=name).words(name)
        return import_file(store, DATA / "rigs" / f"{name}.toml" if name in DEMOS else name).words(
            Path(name).name
        )
    except InputError as error:
        return f"Nothing was changed: {error}"


def joined(typed: Typed) -> str:
    """The one text that is kept: '950 ± 15 kg' for numbers without a unit of their own.

    >>> (
    ...     joined(Typed("950", "kg", "15")),
    ...     joined(Typed("2,100 lb", "kg", "1 %")),
    ...     joined(Typed("950", "kg", "")),
    ... )
    ('950 ± 15 kg', '2,100 lb ± 1 %', '950 kg')
    """
    value, behind = typed.value.strip(), typed.plus_minus.strip()
    if not behind and re.search(r"±|\+/-", value):
        value, behind = (part.strip() for part in re.split(r"±|\+/-", value, maxsplit=1))
    bare, bare_behind = (_BARE.fullmatch(part) is not None for part in (value, behind))
    if not behind:
        return f"{value} {typed.unit}".strip() if bare else value
    if bare and (bare_behind or not typed.unit):
        return f"{value} ± {behind} {typed.unit}".strip()
    return " ".join(f"{value} {typed.unit if bare else ''} ± {behind}".split())


def parted(text: str, units: tuple[str, ...], *, is_number: bool = True) -> Typed:
    """A kept text as it goes into the boxes.

    >>> parted("950 ± 15 kg", ("lb", "kg"))
    Typed(value='950', unit='kg', plus_minus='15')
    >>> parted("950 kg ± 2 %", ("kg",))
    Typed(value='950', unit='kg', plus_minus='2 %')
    >>> parted("3.3 furlong", ("m",))
    Typed(value='3.3 furlong', unit='m', plus_minus='')
    """
    value, behind = split_plus_minus(text) if is_number else (text, "")
    for unit in sorted(units, key=len, reverse=True):
        if value.endswith(unit) and _BARE.fullmatch(value.removesuffix(unit).strip()):
            return Typed(
                value.removesuffix(unit).strip(),
                unit,
                re.sub(rf"^([-+0-9.,eE]+)\s*{re.escape(unit)}$", r"\1", behind),
            )
    return Typed(value, units[0] if units else "", behind)


def _titles() -> Iterator[tuple[str, str]]:
    """The sections in the order of the work: the bolts behind the brackets, the load behind the vehicles."""
    for table, title in SECTIONS.items():
        yield table, title
        if table == "bracket":
            yield "bracket.bolts", ROWS["bracket.bolts"][1]
    yield "load", ROWS["load"][1]


@functools.cache
def _fields_of(table: str) -> tuple[RigField, ...]:
    stem = f"{table}.0" if table in ROWS else table
    return tuple(field for field in rig_fields() if field.path.rpartition(".")[0] == stem)


def _section(table: str, title: str, store: RigStore, shown: dict[str, str]) -> FormSection:
    def heading() -> str:
        return f"{title}: {_counted(table, _texts(store), _unread(store))}"

    def rows() -> list[FormRow | str]:
        kept = _kept(store)
        texts = kept.texts
        found: list[FormRow | str] = []
        for number in range(max(ROWS[table][0], _last_row(table, texts) + 2) if table in ROWS else 1):
            found += [f"{ROWS[table][2]} {number + 1}"] if table in ROWS else []
            for field in _fields_of(table):
                path = (
                    field.path.replace(f"{table}.0", f"{table}.{number}", 1) if table in ROWS else field.path
                )
                shown[path] = texts.get(path, "")
                found.append(_row(field, path, kept, store))
        return found

    return FormSection(
        heading,
        rows,
        lambda: (drawing_address(table), drawing_words(table)) if table in DRAWINGS else ("", ""),
        NOTES.get(table, ""),
    )


def _counted(table: str, texts: Mapping[str, str], unread: Mapping[str, str]) -> str:
    """'7 of 12 answered', and what is needed or could not be read."""
    bad = sum(
        path.startswith(f"{table}.") and (table in ROWS or path.rpartition(".")[0] == table)
        for path in unread
    )
    if table in ROWS:
        words = f"{_rows_used(table, texts)} filled in"
    else:
        fields = _fields_of(table)
        needed = sum(field.required and field.path not in texts for field in fields)
        words = (
            f"{sum(field.path in texts and field.path not in unread for field in fields)} of {len(fields)}"
            " answered"
        )
        words += f", {needed} needed still open" if needed else ""
    return f"{words}, {bad} not read" if bad else words


def _rows_used(table: str, texts: Mapping[str, str]) -> int:
    return len({row[1] for row in map(row_of, texts) if row and row[0] == table})


def _last_row(table: str, texts: Mapping[str, str]) -> int:
    return max((row[1] for row in map(row_of, texts) if row and row[0] == table), default=-1)


def _row(field: RigField, path: str, kept: Kept, store: RigStore) -> FormRow:
    texts = kept.texts
    units: tuple[str, ...] = ()
    if field.kind in KINDS:
        units = _units(field.kind, system_in_use())
    is_number, is_yes_no = may_be_off(path) and field.kind != "list", field.kind == "yes or no"
    typed = parted(texts.get(path, ""), units, is_number=is_number)
    choices = (
        (("yes", "true"), ("no", "false"))
        if is_yes_no
        else tuple((choice, choice) for choice in field.choices)
    )
    example = CURVE_EXAMPLE if path.endswith(".curve") else field.example
    needed = field.required and (not row_of(path) or _row_is_used(path, texts))
    state = _state(field, path, store, kept)
    return FormRow(
        path,
        question(field),
        letter_of(path),
        tuple(dict.fromkeys((typed.unit, *units))) if units else (),
        choices,
        typed.value,
        typed.plus_minus if is_number else None,
        example,
        _help(field),
        needed,
        state,
    )


def _state(field: RigField, path: str, store: RigStore, kept: Kept) -> str:
    """What stands beside a field: what was understood, in both systems; what a friend would ask about it;
    what cannot be read; or what counts while it is empty.
    """
    if path in kept.unread:
        return _not_read(path, store.understood(path, kept.unread[path])[1])
    if path not in kept.texts:
        return _open_words(field, path)
    if path in kept.asked:
        return (
            f"{QUESTION}{kept.asked[path]}. Correct it, or say that it is right: what rests on it is not"
            " known until then."
        )
    return f"✓ {_understood(path, kept.texts[path])}"


def _understood(path: str, text: str) -> str:
    """A value as it was understood, in both systems: '950 kg = 2,094 lb'."""
    rule = rule_of(field_info(path))
    plain, behind = split_plus_minus(text)
    if rule is None:
        return "kept"
    value = rule.read(plain)
    said = read_back(path, value)
    if not behind:
        return said
    if rule.kind == "temperature":
        return f"{said} ± {behind}"
    return f"{said} ± {read_back(path, plus_minus_si(behind, rule.kind, value))}"


@functools.cache
def _units(kind: str, system: str) -> tuple[str, ...]:
    """Units to choose from: that of the reader's system first, each unit in one spelling (all others may be
    typed).
    """
    spellings = KINDS[kind].spellings
    ours = [
        unit
        for unit in (unit_label(kind, system), unit_label(kind, "metric"), unit_label(kind, "us"))
        if unit in spellings
    ]
    listed: dict[str, str] = {}
    for unit in [*ours, *spellings]:
        if unit not in TOO_LONG or kind not in ("length", "size"):
            listed.setdefault(spellings[unit], unit)
    return tuple(listed.values())


def _row_is_used(path: str, texts: Mapping[str, str]) -> bool:
    return any(other.startswith(path.rpartition(".")[0] + ".") for other in texts)


def _help(field: RigField) -> str:
    """Where a fact is read or measured, and what it settles."""
    table = field.path.partition(".")[0]
    where = field.where or (
        ""
        if field.kind in ("text", "choice")
        else NOT_DRAWN.get(field.path)
        or ("your own choice" if table == "conditions" else "only if somebody gave you the figure")
    )
    return "; ".join(part for part in (where, f"settles: {field.settles}" if field.settles else "") if part)


def _open_words(field: RigField, path: str) -> str:
    """What counts while a field is empty."""
    assumed = assumptions().get(path)
    if row_of(path) or field.kind == "text":
        usual = field_info(path).default
        return (
            f"○ counts as '{usual}' while it is empty"
            if field.kind == "choice" and isinstance(usual, str)
            else ""
        )
    if assumed:
        text = {"true": "yes", "false": "no"}.get(assumed.text, assumed.text)
        return f"○ not answered; meanwhile {text} is assumed: {assumed.why} ({known_words(assumed.known_by)})"
    if field.required:
        return "○ not answered; without it there is no plan"
    return (
        "○ not answered; the peaks above count instead"
        if path.endswith(".curve")
        else "○ not answered; nothing is assumed in its place"
    )


def _not_read(path: str, said: str) -> str:
    """A complaint as it stands beside its own field: the field need not be named again."""
    own = f"field '{path}': "
    return f"✗ {said.replace(own, '')}" if said else ""


def _texts(store: RigStore) -> dict[str, str]:
    return _or_nothing(store.texts)


def _unread(store: RigStore) -> dict[str, str]:
    return _or_nothing(store.unread)


def _or_nothing(read: Callable[[], dict[str, str]]) -> dict[str, str]:
    try:
        return read()
    # a file that was broken by hand: the button below and every answer say so, and nothing is written over it
    except InputError:
        return {}


def _has_rig(store: RigStore) -> bool:
    return any(path.exists() and path.stat().st_size > 0 for path in (store.path, store.unread_path))


def what_is_missing(route: Route, store: RigStore | None = None, most: int = MOST_MISSING) -> str:
    """What the reader's rig does not say yet, and which limits each missing fact would settle, the most
    useful first.
    """
    store = store or RigStore()
    try:
        rig = store.rig()
    except InputError as error:
        texts = _texts(store)
        needed = [
            f"- {_place_words(field.path)}"
            for field in rig_fields()
            if field.required and not row_of(field.path) and field.path not in texts
        ]
        first = ["Needed before anything else:", *needed] if needed else []
        return "\n".join([f"Not enough yet to make a plan. {error}", *first])
    plan = make_plan(rig, route)
    asked = [f"- {each.words}" for each in questions(rig)]
    settles: dict[str, list[str]] = {}
    for limit in plan.limits:
        if limit.answer == NOT_KNOWN:
            for fact in limit.missing.split("; "):
                settles.setdefault(fact, []).append(limit.title)
    unread = [
        f"- {_place_words(path)}: {quote(text)} was typed and not understood; until it is, it is not known"
        for path, text in rig.not_read.items()
    ]
    unread += asked
    if unread:
        unread.insert(0, "First:")
    if not settles and not unread:
        return f"Nothing is missing: all {len(plan.limits)} limits have an answer."
    lines = [
        *unread,
        f"{plan.count(NOT_KNOWN)} of {len(plan.limits)} limits are not known."
        " To find out, most useful first:",
    ]
    for fact, titles in sorted(settles.items(), key=lambda item: -len(item[1]))[:most]:
        lines.append(f"- {_place_words(fact)} would help to settle: {', '.join(titles)}")
    if len(settles) > most:
        lines.append(f"… and {len(settles) - most} more.")
    return "\n".join(lines)


def _place_words(fact: str) -> str:
    """A missing fact with its section and letter in the form; a sentence stays as it is."""
    field = field_at(fact)
    if field is None:
        return fact
    section = SECTIONS.get(fact.rpartition(".")[0], "")
    place = ", ".join(part for part in (section, letter_of(fact)) if part)
    return f"{place}: {question(field)}{f' ({field.where})' if field.where else ''}"
