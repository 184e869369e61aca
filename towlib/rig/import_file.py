"""A rig file made elsewhere becomes the reader's own: what can be read is taken, the rest is kept beside it,
nothing is lost.
"""

from pathlib import Path
from typing import NamedTuple

import tomlkit

from towlib.errors import InputError, file_words, quote
from towlib.rig.model import (
    CONFIRMED,
    LINES,
    MAX_RIG_BYTES,
    ROW_TABLES,
    Part,
    field_info,
    plain_text,
    read_text,
    toml_tables,
)
from towlib.rig.store import RigStore, is_confirmation, put_in
from towlib.rig.value_text import leaves, text_of

WANTED = "a rig file such as data/rigs/demo_comfortable.toml"
MOST_NAMED, MOST_CHARACTERS = 5, 2000


class Imported(NamedTuple):
    """What an import did."""

    values: int  # taken over
    not_read: dict[
        str, str
    ]  # known fields whose text cannot be read, with the sentence that says what is wanted
    not_known: tuple[str, ...]  # lines for which there is no field: left out
    kept_as: tuple[str, ...]  # names under which the reader's former files are kept
    was_invented: bool

    def words(self, file: str) -> str:
        """What the reader should know, in plain sentences."""
        said = [f"{self.values} value{_s(self.values)} taken from {file}."]
        if self.kept_as:
            said.append(f"What you had is kept as {' and '.join(self.kept_as)}.")
        if self.was_invented:
            said.append("They are the values of an invented rig: put your own in their place.")
        if self.not_read:
            said.append(
                f"{len(self.not_read)} line{_s(len(self.not_read))} could not be read, kept in the form with"
                f" a message: {_few(list(self.not_read.values()), '')}"
            )
        if self.not_known:
            said.append(
                f"{len(self.not_known)} line{_s(len(self.not_known))} left out, because the workbook has no"
                f" such field: {_few([quote(path) for path in self.not_known], '.')}"
            )
        return " ".join(said)


def import_file(store: RigStore, path: str | Path) -> Imported:
    """Take over a rig file by its path; InputError when nothing of it can be read."""
    path = Path(path).expanduser()
    return import_text(store, read_text(path, MAX_RIG_BYTES, wanted=WANTED), file=path.name)


def import_bytes(store: RigStore, content: bytes, *, file: str) -> Imported:
    """Take over the content of a rig file; InputError when nothing of it can be read."""
    if len(content) > MAX_RIG_BYTES:
        raise InputError(
            f"{len(content) / 1e6:.1f} MB",
            f"a file of at most {MAX_RIG_BYTES / 1e6:g} MB",
            file=file_words(Path(file)),
        )
    named = file_words(Path(file))
    return import_text(store, plain_text(content, WANTED, file=named), file=named)


def import_text(store: RigStore, text: str, *, file: str) -> Imported:
    """Take over a rig as text; the reader's former files are kept first, and nothing changes when nothing can
    be read.
    """
    tables = toml_tables(text, LINES, file=file)
    good, unread, messages, not_known, as_written = tomlkit.document(), {}, {}, [], True
    values = 0
    for path, found in leaves(tables):
        if path == "invented":
            continue
        if is_confirmation(path) and _is_field(path.removeprefix(f"{CONFIRMED}.")):
            good.setdefault(CONFIRMED, tomlkit.table())[path.removeprefix(f"{CONFIRMED}.")] = found
            continue
        typed = text_of(found)
        if not _is_field(path) or len(typed) > MOST_CHARACTERS:
            not_known.append(path)
            continue
        value, said = store.understood(path, typed)
        if not said:
            try:
                put_in(good, path, value)
            except InputError as error:
                said = str(error.at(field=path))
        if said:
            unread[path], messages[path] = typed, said
        else:
            values += 1
            as_written = as_written and value == found and type(value) is type(found)
    if not values:
        raise InputError(
            "nothing that could be read",
            (
                WANTED
                if not messages
                else f"{WANTED}; the first line: {next(iter(messages.values())).rstrip('.')}"
            ),
            file=file,
        )
    was_invented = tables.get("invented") is True
    whole = as_written and not unread and not not_known
    kept_as = store.replace(_own(text) if whole else tomlkit.dumps(good), unread)
    return Imported(values, messages, tuple(not_known), tuple(kept_as), was_invented)


def _is_field(path: str) -> bool:
    try:
        info = field_info(path)
    except InputError:
        return False
    return path not in ROW_TABLES and not (
        isinstance(info.annotation, type) and issubclass(info.annotation, Part)
    )


def _own(text: str) -> str:
    """The file as written, remarks and all, but no longer marked as invented."""
    return text.replace("invented = true", "invented = false")


def _s(count: int) -> str:
    return "" if count == 1 else "s"


def _few(words: list[str], end: str) -> str:
    more = f" … and {len(words) - MOST_NAMED} more" if len(words) > MOST_NAMED else ""
    return f"{'; '.join(words[:MOST_NAMED]) if end else ' '.join(words[:MOST_NAMED])}{more}{end}"
