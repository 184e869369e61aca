"""The reader's own rig file: one value at a time, saved as you go, nothing typed is lost."""

import contextlib
import os
import shutil
import stat
import tempfile
from collections.abc import MutableMapping
from pathlib import Path
from typing import Any

import tomlkit

from towlib.errors import InputError, file_words, quote
from towlib.paths import reader_folder
from towlib.rig.field_types import type_of
from towlib.rig.file_lock import WRITABLE, alone
from towlib.rig.measured import rule_of
from towlib.rig.model import (
    CONFIRMED,
    LINES,
    MAX_RIG_BYTES,
    ROW_TABLES,
    Rig,
    field_info,
    load_rig,
    may_be_off,
    read_text,
    rig_from_data,
    row_of,
    toml_tables,
)
from towlib.rig.plausible import Question, questions
from towlib.rig.value_text import curve_points, leaves, text_of
from towlib.units import split_plus_minus

RIG_NAME, UNREAD_NAME = "my_rig.toml", "my_rig_not_read.toml"


class RigStore:
    """The reader's rig as text by path ('tow_vehicle.gvwr', 'load.0.mass'); every change is on disk before
    `put` returns.

    Values that cannot be read are kept beside the rig in my_rig_not_read.toml and come back with the next
    start.
    """

    def __init__(self, folder: str | Path | None = None):
        self.folder = Path(folder) if folder is not None else reader_folder()
        self.path, self.unread_path = self.folder / RIG_NAME, self.folder / UNREAD_NAME

    def text(self, path: str) -> str:
        """What the reader typed for a field, good or not; empty when nothing."""
        return self.texts().get(path, "")

    def texts(self) -> dict[str, str]:
        """What the reader typed for every field that is not empty, good or not, by path."""
        good = {
            path: text_of(value) for path, value in leaves(_tables(self.path)) if not is_confirmation(path)
        }
        return {**good, **self.unread()}

    def unread(self) -> dict[str, str]:
        """What the reader typed and the workbook could not read, by path."""
        return {path: str(text) for path, text in _tables(self.unread_path).items()}

    def put(self, path: str, text: str) -> str:
        """Keep what was typed; returns '' when it was understood, else one sentence saying what is wanted."""
        text = text.strip()
        value, said = self.understood(path, text) if text else (None, "")
        with alone(self.path):  # both files are read and written while no other notebook writes them
            for half_written in self.folder.glob(
                ".my_rig*.part"
            ):  # left by a notebook that was stopped while it wrote
                half_written.unlink(missing_ok=True)
            if not said:
                self._put_good(path, value)
            self._put_unread(path, text if said else None)
        return said

    def understood(self, path: str, text: str) -> tuple[Any, str]:
        """A typed text as it goes into the file and '', or None and one sentence saying what is wanted."""
        try:
            return self._checked(path, text), ""
        except InputError as error:
            return None, str(
                InputError(error.found, error.wanted, field=path, file=error.file)
            )  # its own row, not that of the trial

    def rig(self) -> Rig:
        """The reader's rig; InputError while required fields are missing. Rows of people and cargo left empty
        do not count; what was typed last and cannot be read is not known, whatever stood there before.
        """
        data: dict[str, Any] = {}
        if self.path.exists():
            data = toml_tables(read_text(self.path, MAX_RIG_BYTES, wanted="a rig file"), LINES, file=RIG_NAME)
        if not data:
            raise InputError(
                "nothing filled in yet",
                "at least the fields marked 'needed', see 00_start_here",
                file=RIG_NAME,
            )
        for table in ROW_TABLES:
            *above, name = table.split(".")
            place = data
            for step in above:
                place = _table(place.get(step, {}), step, RIG_NAME)
            if isinstance(place.get(name), list):
                place[name] = [row for row in place[name] if row]
                if not place[name] and above:
                    del place[name]
        rig = rig_from_data(data, file=RIG_NAME)
        rig.not_read.update(self.unread())
        return rig

    def asked(self) -> tuple[Question, ...]:
        """What a friend would ask about the values so far; nothing while the file cannot be read."""
        try:
            data, stand_ins = _filled_up(_tables(self.path))
            found = questions(rig_from_data(data, file=RIG_NAME))
        except InputError:
            return ()
        kept_back = {*stand_ins, *self.unread()}
        return tuple(question for question in found if not kept_back.intersection(question.paths))

    def confirm(self, path: str) -> None:
        """Keep that the values a question on this field names are right as they stand; another value is asked
        about again.
        """
        about = [question for question in self.asked() if path in question.paths]
        paths = dict.fromkeys(each for question in about for each in question.paths)
        with alone(self.path):
            document = self._document(self.path)
            table = document.setdefault(CONFIRMED, tomlkit.table())
            data = document.unwrap()
            for each in paths:
                table[each] = _at(data, each)
            if paths:
                write_toml(self.path, document)

    def replace(self, text: str, unread: dict[str, str]) -> list[str]:
        """Put another rig in the place of the present one, whose files are kept first; returns the names they
        are kept under.
        """
        with alone(self.path):
            kept = [name for name in (_kept_as_old(self.path), _kept_as_old(self.unread_path)) if name]
            write_whole(self.path, text)
            if unread:
                write_toml(self.unread_path, unread)
            else:
                self.unread_path.unlink(missing_ok=True)
        return kept

    def _checked(self, path: str, text: str) -> Any:
        """The value as it goes into the file: text with a unit, a number, a list or true/false."""
        info = field_info(path)
        if may_be_off(path) and split_plus_minus(text)[1]:
            self._try_alone(path, text)
            return text
        if rule_of(info):
            rule_of(info).read(text)
            return text
        kind = type_of(info).kind
        value: Any = text
        if kind == "switch":
            value = {"true": True, "yes": True, "false": False, "no": False}.get(text.lower(), text)
        elif path.endswith(".curve"):
            value = curve_points(text)
        elif kind == "list":
            value = [_number_or_text(part.strip()) for part in text.split(",")]
        elif kind in ("number", "count"):
            value = _number_or_text(text)
        self._try_alone(path, value)
        return value

    def _try_alone(self, path: str, value: Any) -> None:
        """Validate one field as if the rest of the rig were whole."""
        data: dict[str, Any] = {"tow_vehicle": {**_WHOLE}, "towed_vehicle": {**_WHOLE}}
        row = row_of(path)
        *above, name = (row[0] if row else path).split(".")
        place = data
        for step in above:
            place = place.setdefault(step, {})
        place[name] = [{**_WHOLE_ROWS[row[0]], row[2]: value}] if row else value
        rig_from_data(data, file=RIG_NAME)

    def _document(self, path: Path) -> Any:
        if not path.exists():
            return tomlkit.document()
        return toml_document(read_text(path, MAX_RIG_BYTES, wanted="a rig file"), LINES, file=path.name)

    def _put_unread(self, path: str, text: str | None) -> None:
        document = self._document(self.unread_path)
        if text is None and path not in document:
            return
        if text is None:
            del document[path]
        else:
            document[path] = text
        write_toml(self.unread_path, document)

    def _put_good(self, path: str, value: Any) -> None:
        document = self._document(self.path)
        if put_in(document, path, value):
            write_toml(self.path, document)


_WHOLE = {"front_axle_empty": "1000 kg", "rear_axle_empty": "1000 kg", "wheelbase": "3 m"}
_WHOLE_ROWS = {
    "load": {"name": "x", "mass": "1 kg", "behind_front_axle": "1 m"},
    "bracket.bolts": {"behind_pin": "0 mm", "above_pin": "0 mm", "outboard_of_pin": "0 mm"},
}


def is_confirmation(path: str) -> bool:
    """Whether a place of a rig file tells that an unusual value is right, and is no value itself."""
    return path == CONFIRMED or path.startswith(f"{CONFIRMED}.")


def _filled_up(data: dict[str, Any]) -> tuple[dict[str, Any], list[str]]:
    """A rig's tables with something in the place of each needed value that is missing, and its paths."""
    stand_ins = []
    for vehicle in ("tow_vehicle", "towed_vehicle"):
        place = data.setdefault(vehicle, {})
        stand_ins += [f"{vehicle}.{name}" for name in _WHOLE if name not in place]
        data[vehicle] = {**_WHOLE, **place}
    for table, whole in _WHOLE_ROWS.items():
        *above, name = table.split(".")
        place = data
        for step in above:
            place = place.get(step, {})
        for number, row in enumerate(place.get(name, ())):
            stand_ins += [f"{table}.{number}.{each}" for each in whole if each not in row]
            place[name][number] = {**whole, **row}
    return data, stand_ins


def _at(data: Any, path: str) -> Any:
    """What stands in a rig's tables at a path."""
    for step in path.split("."):
        data = data[int(step) if step.isdigit() else step]
    return data


def load_any_rig(path: str | Path) -> Rig:
    """A rig file; the reader's own with what was typed last and could not be read."""
    path = Path(path)
    if path.name == RIG_NAME and (path.parent / UNREAD_NAME).exists():
        return RigStore(path.parent).rig()
    return load_rig(path)


def put_in(document: Any, path: str, value: Any) -> bool:
    """Set one value of a rig's document, or take it out when it is None; whether there was anything to do."""
    row = row_of(path)
    *above, name = (row[0] if row else path).split(".")
    place = document
    for step in above:
        if step not in place:
            if value is None:
                return False
            place[step] = tomlkit.table()
        place = _table(place[step], step, RIG_NAME)
    if row:
        _put_row(place, name, row[1], row[2], value)
    elif value is not None:
        place[name] = value
    elif name in place:
        del place[name]
    return True


def _tables(path: Path) -> dict[str, Any]:
    """The tables of one of the reader's files; none when there is no file."""
    if not path.exists():
        return {}
    return toml_tables(read_text(path, MAX_RIG_BYTES, wanted="a rig file"), LINES, file=path.name)


def _kept_as_old(path: Path) -> str:
    """Keep a file under a name with '.old' behind it that holds nothing else; returns the name, '' when there
    is nothing to keep.
    """
    if not path.exists() or not path.stat().st_size:
        return ""
    old, number = path.with_name(f"{path.name}.old"), 1
    while old.exists() and old.read_bytes() != path.read_bytes():
        number += 1
        old = path.with_name(f"{path.name}.old{number}")
    part = path.with_name(f".{old.name}.part")
    try:
        shutil.copyfile(path, part)
        os.replace(part, old)
    except OSError as error:
        part.unlink(missing_ok=True)
        raise InputError(
            f"no way to keep it as {old.name} ({error.strerror})", WRITABLE, file=path.name
        ) from None
    return old.name


def _put_row(place: Any, table: str, index: int, name: str, value: Any) -> None:
    if table not in place:
        if value is None:
            return
        place[table] = tomlkit.aot()
    rows = place[table]
    if not isinstance(rows, list) or not all(isinstance(row, MutableMapping) for row in rows):
        raise InputError(quote(rows), f"rows under [[{table}]]", field=table, file=RIG_NAME)
    inline = isinstance(rows, tomlkit.items.Array)  # load = [{…}, {…}] on one line
    while len(rows) <= index:
        rows.append(tomlkit.inline_table() if inline else tomlkit.table())
    if value is not None:
        rows[index][name] = value
    elif name in rows[index]:
        del rows[index][name]
    while rows and not rows[-1]:
        del rows[-1]
    if not rows:
        del place[table]


def _table(place: Any, name: str, file: str) -> Any:
    if not isinstance(place, MutableMapping):
        raise InputError(quote(place), f"a table [{name}] with named lines", field=name, file=file)
    return place


def toml_document(text: str, wanted: str, *, file: str) -> Any:
    """A TOML text that keeps its remarks when it is written again; InputError when it cannot be read."""
    toml_tables(text, wanted, file=file)  # knows what would stop tomlkit for minutes
    try:
        return tomlkit.parse(text)
    except (
        Exception
    ) as error:  # whatever else a strange file makes someone else's parser raise becomes one sentence
        raise InputError(f"text that is not TOML: {error}", wanted, file=file) from None


def write_toml(path: Path, document: Any, most_bytes: int = MAX_RIG_BYTES) -> None:
    """Write a document that can be read again; InputError, and the old file stays, when it could not."""
    text = tomlkit.dumps(document)
    if len(text.encode("utf-8", "replace")) > most_bytes:
        raise InputError(
            "more text than the file may hold",
            f"shorter texts, {most_bytes // 1000} kB together",
            file=path.name,
        )
    toml_tables(text, "letters, digits and marks", file=path.name)
    write_whole(path, text)


def _mode_for(path: Path) -> int:
    """Who may read and write a file: as before, or as this user's new files are."""
    try:
        return stat.S_IMODE(path.stat().st_mode)
    except FileNotFoundError:
        mask = os.umask(0)
        os.umask(mask)
        return 0o666 & ~mask


def _number_or_text(text: str) -> Any:
    for read in (int, float):
        with contextlib.suppress(ValueError):
            return read(text)
    return text


def write_whole(path: Path, text: str) -> None:
    """Write a file so that a crash leaves either the old or the new one, never half of it. What a link leads
    to is written, and a file keeps who may read it.
    """
    try:
        path = Path(os.path.realpath(path))
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".part")
        try:
            with os.fdopen(handle, "w", encoding="utf-8") as file:
                file.write(text)
                file.flush()
                os.fsync(file.fileno())
            os.chmod(temporary, _mode_for(path))
            os.replace(temporary, path)
        except BaseException:
            Path(temporary).unlink(missing_ok=True)
            raise
    except UnicodeEncodeError:
        raise InputError(
            "a character that no file can hold", "letters, digits and marks", file=path.name
        ) from None
    except OSError as error:
        raise InputError(
            f"a place that cannot be written ({error.strerror})", WRITABLE, file=file_words(path)
        ) from None
