"""Predictions of the lessons: rows `[[predictions]]` of data/lessons/NN_name.toml, checked as sliders are.

A prediction that has a right answer is a choice whose wrong options are known misconceptions.
"""

from pathlib import Path
from typing import Any, NamedTuple

from towlib.errors import InputError, quote
from towlib.lessons.slider_rows import FOLDER, lesson_tables


class Option(NamedTuple):
    """One answer to choose, and what is said to it afterwards."""

    words: str
    said: str
    right: bool = False


class Prediction(NamedTuple):
    """A question to answer before anything moves."""

    key: str  # what the reader's answer is kept under: '01.predict-1'
    panel: str  # the panel that answers it
    question: str
    options: tuple[Option, ...] = ()  # none: words alone


def predictions_of(lesson: str, folder: Path = FOLDER) -> tuple[Prediction, ...]:
    """The predictions of a lesson in their order; InputError names the file, the row and what is wanted."""
    file = f"{lesson}.toml"
    rows = lesson_tables(folder / file).get("predictions", [])
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        raise InputError("predictions that are not rows", "headings such as [[predictions]]", file=file)
    return tuple(
        _prediction(row, file, f"predictions.{number}", f"{lesson[:2]}.predict-{number}")
        for number, row in enumerate(rows, start=1)
    )


def _prediction(row: dict[str, Any], file: str, field: str, key: str) -> Prediction:
    def words(part: str, value: Any) -> str:
        if not isinstance(value, str) or not value.strip():
            raise InputError(quote(value), "words in quotes", field=f"{field}.{part}", file=file)
        return value

    if odd := sorted(set(row) - {"panel", "question", "options"}):
        raise InputError(
            f"a key that is not known {quote(odd[0])}", "panel, question and options", field=field, file=file
        )
    rows = row.get("options", [])
    if not isinstance(rows, list) or not all(isinstance(option, dict) for option in rows):
        raise InputError(
            quote(rows), 'rows such as {words = "more", said = "why"}', field=f"{field}.options", file=file
        )
    options = tuple(
        Option(
            words(f"options.{i}.words", option.get("words")),
            words(f"options.{i}.said", option.get("said")),
            option.get("right") is True,
        )
        for i, option in enumerate(rows, start=1)
    )
    if options and (len(options) < 2 or sum(option.right for option in options) != 1):
        raise InputError(
            f"{sum(option.right for option in options)} right of {len(options)} options",
            "two options or more, exactly one with right = true",
            field=f"{field}.options",
            file=file,
        )
    return Prediction(key, words("panel", row.get("panel")), words("question", row.get("question")), options)
