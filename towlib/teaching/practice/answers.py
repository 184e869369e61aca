"""The reader's guesses and answers, kept beside their rig file as plain text."""

from collections.abc import Callable, Mapping
from typing import Any

import tomlkit

from towlib.errors import InputError
from towlib.paths import reader_folder
from towlib.rig.file_lock import alone
from towlib.rig.model import read_text, toml_tables
from towlib.rig.store import toml_document, write_toml

MOST_BYTES = 120_000  # five times the answers to everything
_LINES = 'lines such as: "01.predict-1" = "more"'
NAME, OLD_NAME = "my_answers.toml", "my_answers.toml.old"
RIGHT = "Right"  # how the sentence on a right answer begins


def kept() -> Mapping[str, Any]:
    """Everything the reader wrote, by key: a guess is text, an answer {answer, said, been_right}; InputError
    when unreadable.
    """
    text = _text()
    return toml_tables(text, _LINES, file=NAME) if text else {}


def _text() -> str:
    path = reader_folder() / NAME
    return read_text(path, MOST_BYTES, wanted="a text file") if path.exists() else ""


def recall(key: str) -> str:
    """What was written under a key such as '01.predict-1'; '' when nothing, or when the file cannot be
    read.
    """
    try:
        return str(kept().get(key, ""))
    except InputError:
        return ""


def remember(key: str, words: str) -> str:
    """Keep what was written; returns a line that says so, or why not."""
    return _changed(lambda document: document.update({key: words})) or "Kept. Now move the sliders."


def checked(key: str, answer: object, said: str) -> str:
    """Keep an answer under a key such as '03.exercise-1' with the sentence said on it, and return that
    sentence.

    An empty answer is not kept and never takes the place of an earlier one. Once right stays right, whatever
    comes after it with other numbers.
    """
    if answer is None or not str(answer).strip():
        return said

    def put(document: Any) -> None:
        entry, before = tomlkit.inline_table(), document.get(key)
        been_right = said.startswith(RIGHT) or was_right(before)
        entry.update({"answer": str(answer), "said": said, "been_right": been_right})
        document[key] = entry

    problem = _changed(put)
    return f"{said}\n{problem}" if problem else said


def was_right(entry: object) -> bool:
    """Whether an answer as kept in the file has been right once."""
    return isinstance(entry, Mapping) and entry.get("been_right") is True


def answer_key(lesson: str, number: int, which: int, of: int) -> str:
    """What an answer is kept under: '03.exercise-1', with a letter where an exercise asks several things."""
    return f"{lesson[:2]}.exercise-{number}{'abcdefgh'[which] if of > 1 else ''}"


def clear() -> str:
    """Begin anew; the present file is kept with '.old' behind its name. Returns a line that says so, or why
    not.
    """
    path = reader_folder() / NAME
    try:
        with alone(path):
            if not path.exists():
                return "Nothing to clear."
            path.replace(path.with_name(OLD_NAME))
    except (InputError, OSError) as error:
        return f"Not cleared: {error}"
    return f"Cleared; what you had is kept as {OLD_NAME}. Run this cell again to see it."


def _changed(change: Callable[[Any], None]) -> str:
    """Read, change and write the file while no other notebook does; '' or one sentence. An unreadable file is
    left as it is.
    """
    path = reader_folder() / NAME
    try:
        with alone(path):
            for half_written in path.parent.glob(
                f".{NAME}.*.part"
            ):  # left by a notebook that was stopped while it wrote
                half_written.unlink(missing_ok=True)
            document = toml_document(_text(), _LINES, file=NAME)
            change(document)
            write_toml(path, document, MOST_BYTES)
    except (
        ValueError,
        tomlkit.exceptions.TOMLKitError,
    ) as error:  # InputError, or text that no file can hold
        return f"Not kept: {error}"
    return ""
