"""The reader's own rig file: one value at a time, saved as you go, nothing typed is lost."""

import contextlib
import os
import tempfile
import tomllib
from pathlib import Path
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError

from towlib.errors import InputError
from towlib.file_lock import alone
from towlib.measured import rule_of
from towlib.rig import MAX_RIG_BYTES, ROW_TABLES, Rig, field_info, load_rig, may_be_off, read_text, rig_from_data, row_of
from towlib.units import split_plus_minus

RIG_NAME, UNREAD_NAME = "my_rig.toml", "my_rig_not_read.toml"
MOST_LOADS = 12


def reader_folder() -> Path:
    """Where the reader's own files live: the notebooks folder, or TOWLIB_READER_FOLDER when that is set."""
    return Path(os.environ.get("TOWLIB_READER_FOLDER") or Path(__file__).parents[1] / "notebooks")


class RigStore:
    """The reader's rig as text by path ('tow_vehicle.gvwr', 'load.0.mass'); every change is on disk before `put` returns.

    Values that cannot be read are kept beside the rig in my_rig_not_read.toml and come back with the next start.
    """

    def __init__(self, folder: str | Path | None = None):
        self.folder = Path(folder) if folder is not None else reader_folder()
        self.path, self.unread_path = self.folder / RIG_NAME, self.folder / UNREAD_NAME

    def text(self, path: str) -> str:
        """What the reader typed for a field, good or not; empty when nothing."""
        unread = self._document(self.unread_path).get(path)
        if unread is not None:
            return str(unread)
        value: Any = self._document(self.path)
        for step in path.split("."):
            try:
                value = value[int(step)] if step.isdigit() else value[step]
            except (KeyError, IndexError, TypeError):
                return ""
        if isinstance(value, bool):
            return "true" if value else "false"
        return ", ".join(str(item) for item in value) if isinstance(value, list) else str(value)

    def put(self, path: str, text: str) -> str:
        """Keep what was typed; returns '' when it was understood, else one sentence saying what is wanted."""
        text, value, said = text.strip(), None, ""
        if text:
            try:
                value = self._checked(path, text)
            except InputError as error:
                said = str(error.at(field=path))
        with alone(self.path):  # both files are read and written while no other notebook writes them
            if not said:
                self._put_good(path, value)
            self._put_unread(path, text if said else None)
        return said

    def rig(self) -> Rig:
        """The reader's rig; InputError while required fields are missing. Rows of people and cargo left empty do not count."""
        data = tomllib.loads(tomlkit.dumps(self._document(self.path)))
        if not data:
            raise InputError("nothing filled in yet", "at least the fields marked 'needed', see 00_start_here", file=RIG_NAME)
        for table in ROW_TABLES:
            *above, name = table.split(".")
            place = data
            for step in above:
                place = place.get(step, {})
            if name in place:
                place[name] = [row for row in place[name] if row]
                if not place[name] and above:
                    del place[name]
        return rig_from_data(data, file=RIG_NAME)

    def start_from(self, path: str | Path) -> None:
        """Begin with a copy of a rig file; the present one is kept with '.old' behind its name."""
        text = read_text(Path(path), MAX_RIG_BYTES, wanted="a rig file such as data/rigs/demo_comfortable.toml")
        load_rig(path)
        with alone(self.path):
            if self.path.exists():
                write_whole(self.path.with_suffix(".toml.old"), self.path.read_text(encoding="utf-8"))
            write_whole(self.path, text.replace("invented = true", "invented = false"))
            self.unread_path.unlink(missing_ok=True)

    def _checked(self, path: str, text: str) -> Any:
        """The value as it goes into the file: text with a unit, a number, a list or true/false."""
        info = field_info(path)
        if may_be_off(path) and split_plus_minus(text)[1]:
            self._try_alone(path, text)
            return text
        if rule_of(info):
            rule_of(info).read(text)
            return text
        kind = str(info.annotation)
        value: Any = text
        if "bool" in kind:
            value = {"true": True, "yes": True, "false": False, "no": False}.get(text.lower(), text)
        elif "tuple" in kind:
            value = [_number_or_text(part.strip()) for part in text.split(",")]
        elif "Literal" not in kind and "str" not in kind:
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
        try:
            return tomlkit.parse(read_text(path, MAX_RIG_BYTES, wanted="a rig file"))
        except TOMLKitError as error:
            raise InputError(f"text that is not TOML: {error}", "lines such as: wheelbase = \"3.3 m\"", file=path.name) from None

    def _put_unread(self, path: str, text: str | None) -> None:
        document = self._document(self.unread_path)
        if text is None and path not in document:
            return
        if text is None:
            del document[path]
        else:
            document[path] = text
        write_whole(self.unread_path, tomlkit.dumps(document))

    def _put_good(self, path: str, value: Any) -> None:
        document = self._document(self.path)
        row = row_of(path)
        *above, name = (row[0] if row else path).split(".")
        place = document
        for step in above:
            if step not in place:
                if value is None:
                    return
                place[step] = tomlkit.table()
            place = place[step]
        if row:
            _put_row(place, name, row[1], row[2], value)
        elif value is not None:
            place[name] = value
        elif name in place:
            del place[name]
        write_whole(self.path, tomlkit.dumps(document))


_WHOLE = {"front_axle_empty": "1000 kg", "rear_axle_empty": "1000 kg", "wheelbase": "3 m"}
_WHOLE_ROWS = {"load": {"name": "x", "mass": "1 kg", "behind_front_axle": "1 m"},
               "bracket.bolts": {"behind_pin": "0 mm", "above_pin": "0 mm", "outboard_of_pin": "0 mm"}}


def _put_row(place: Any, table: str, index: int, name: str, value: Any) -> None:
    if table not in place:
        if value is None:
            return
        place[table] = tomlkit.aot()
    rows = place[table]
    while len(rows) <= index:
        rows.append(tomlkit.table())
    if value is not None:
        rows[index][name] = value
    elif name in rows[index]:
        del rows[index][name]
    while rows and not rows[-1]:
        del rows[-1]
    if not rows:
        del place[table]


def _number_or_text(text: str) -> Any:
    for read in (int, float):
        with contextlib.suppress(ValueError):
            return read(text)
    return text


def write_whole(path: Path, text: str) -> None:
    """Write a file so that a crash leaves either the old or the new one, never half of it."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".part")
        try:
            with os.fdopen(handle, "w", encoding="utf-8") as file:
                file.write(text)
                file.flush()
                os.fsync(file.fileno())
            os.replace(temporary, path)
        except BaseException:
            Path(temporary).unlink(missing_ok=True)
            raise
    except OSError as error:
        raise InputError(f"a place that cannot be written ({error.strerror})", "a folder with room that you may write to",
                         file=str(path)) from None
