"""What the reader chose for the whole workbook: units, whose rig the panels show, road, number of cases.

Kept beside their rig as `my_settings.toml`, so that every notebook and the next start find it again.
"""

from collections.abc import Callable, Hashable
from pathlib import Path
from typing import Any

import tomlkit

from towlib.errors import InputError, quote
from towlib.paths import reader_folder
from towlib.rig.file_lock import alone
from towlib.rig.model import read_text, toml_tables
from towlib.rig.store import toml_document, write_toml

NAME, MOST_BYTES, MOST_NAME = "my_settings.toml", 20_000, 255
_LINES = 'lines such as: units = "us"'
CASES = (1_000, 10_000, 100_000)
USUAL: dict[str, Any] = {
    "units": "metric",
    "rig": "invented",
    "road": "short_steep_pass.csv",
    "cases": 10_000,
}
ALLOWED: dict[str, tuple[Any, ...]] = {
    "units": ("metric", "us"),
    "rig": ("invented", "mine"),
    "cases": CASES,
}
_watchers: dict[Hashable, Callable[[str, Any], None]] = {}  # the newest of each
_not_kept: dict[tuple[str, str], Any] = {}  # folder and name -> a choice that holds now but could not be kept


def chosen(name: str) -> Any:
    """What was chosen, or what is usual when nothing was, or nothing that can be read."""
    if _here(name) in _not_kept:
        return _not_kept[_here(name)]
    try:
        value = toml_tables(_text(), _LINES, file=NAME).get(name, USUAL[name])
    except InputError:
        return USUAL[name]
    return value if _may_be(name, value) else USUAL[name]


def choose(name: str, value: Any) -> str:
    """Keep a choice and tell everyone who watches; '' or one sentence why it could not be kept."""
    if not _may_be(name, value):
        few = ", ".join(map(str, ALLOWED.get(name, ())))
        wanted = f"one of {few}" if few else "the name of a file, without its folder"
        raise InputError(quote(value), wanted, field=name, file=NAME)
    said = ""
    if value != chosen(name):
        try:
            path = reader_folder() / NAME
            with alone(path):
                document = toml_document(_text(), _LINES, file=NAME)
                document[name] = value
                write_toml(path, document, MOST_BYTES)
            _not_kept.pop(_here(name), None)
        except (ValueError, tomlkit.exceptions.TOMLKitError) as error:
            said = f"Not kept for the next time: {error}"
            _not_kept[_here(name)] = value
    tell(name, value)
    return said


def watch(who: Hashable, told: Callable[[str, Any], None]) -> None:
    """Call `told(name, value)` whenever something is chosen, or told; the newest of each `who` takes the
    place of the one before, whose cell was run again.
    """
    _watchers[who] = told


def tell(name: str, value: Any) -> None:
    """Tell everyone who watches."""
    for watcher in list(_watchers.values()):
        watcher(name, value)


def _text() -> str:
    path = reader_folder() / NAME
    return read_text(path, MOST_BYTES, wanted="a text file") if path.exists() else ""


def _here(name: str) -> tuple[str, str]:
    return str(reader_folder()), name


def _may_be(name: str, value: Any) -> bool:
    if type(value) is not type(USUAL[name]):
        return False
    if name in ALLOWED:
        return value in ALLOWED[name]
    # the name of a file beside ours, never a way to another folder; and no longer than a name can be
    return bool(value) and Path(value).name == value and len(value.encode("utf-8", "replace")) <= MOST_NAME
