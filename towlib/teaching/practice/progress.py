"""Where the reader is: guesses written and exercises right, lesson by lesson, counted from the notebooks' own
cells.
"""

import ast
import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any, NamedTuple

from towlib.errors import InputError
from towlib.paths import NOTEBOOKS
from towlib.teaching.panel.panels import confirmed_button
from towlib.teaching.practice import answers

_WRITES = {
    "remember": "guesses",
    "checked": "exercises",
}  # what a cell calls of `answers`, and what it then asks for


class Asked(NamedTuple):
    """The keys a notebook keeps answers under."""

    lesson: str  # '01_weight_ratings'
    guesses: tuple[str, ...] = ()
    exercises: tuple[str, ...] = ()
    unreadable: bool = False


def asked_in(path: Path) -> Asked:
    """What one notebook asks, from the calls in its code cells."""
    keys: dict[str, list[str]] = {"guesses": [], "exercises": []}
    try:
        cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
        sources = ["".join(cell["source"]) for cell in cells if cell["cell_type"] == "code"]
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return Asked(path.stem, unreadable=True)
    for source in sources:
        for kind, key in _keys(source):
            if key not in keys[kind]:
                keys[kind].append(key)
    return Asked(path.stem, tuple(keys["guesses"]), tuple(keys["exercises"]))


def _keys(source: str) -> list[tuple[str, str]]:
    try:
        tree = ast.parse(source)
    except (SyntaxError, ValueError, RecursionError, MemoryError):  # a cell the reader has typed into
        return []
    calls = [
        node
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.args
    ]
    return [
        (_WRITES[call.func.attr], call.args[0].value)
        for call in sorted(calls, key=lambda node: (node.lineno, node.col_offset))
        if call.func.attr in _WRITES
        and isinstance(call.func.value, ast.Name)
        and call.func.value.id == "answers"
        and isinstance(call.args[0], ast.Constant)
        and isinstance(call.args[0].value, str)
    ]


def table(folder: Path = NOTEBOOKS) -> str:
    """One line for each notebook that asks something, each readable by itself, and a line for all
    together.
    """
    try:
        kept = answers.kept()
    except InputError as error:
        return f"Not known: {error} Nothing in it was changed."
    lessons = [asked_in(path) for path in sorted(folder.glob("[0-9][0-9]_*.ipynb"))]
    width = max((len(lesson.lesson) for lesson in lessons), default=0)
    lines = [f"{lesson.lesson + ':':<{width + 1}} {_words(lesson, kept)}" for lesson in lessons]
    whole = Asked(
        "",
        tuple(key for lesson in lessons for key in lesson.guesses),
        tuple(key for lesson in lessons for key in lesson.exercises),
    )
    return "\n".join([*lines, f"{'All lessons:':<{width + 1}} {_words(whole, kept)}", _next(lessons, kept)])


def _words(asked: Asked, kept: Mapping[str, Any]) -> str:
    if asked.unreadable:
        return "not known, the notebook cannot be read"
    guesses = f"predictions written {_written(asked, kept)} of {len(asked.guesses)}"
    right = sum(answers.was_right(kept.get(key)) for key in asked.exercises)
    tried = sum(key in kept for key in asked.exercises) - right
    return (
        f"{guesses}, exercises right {right} of"
        f" {len(asked.exercises)}{f', tried and not yet right {tried}' if tried else ''}"
    )


def _written(asked: Asked, kept: Mapping[str, Any]) -> int:
    return sum(bool(str(kept.get(key, "")).strip()) for key in asked.guesses)


def _next(lessons: list[Asked], kept: Mapping[str, Any]) -> str:
    for lesson in lessons:
        if _written(lesson, kept) < len(lesson.guesses) or not all(
            answers.was_right(kept.get(key)) for key in lesson.exercises
        ):
            return f"The first one with something open: {lesson.lesson}."
    return (
        "Every prediction is written and every exercise was right."
        if lessons
        else "No notebooks are found here."
    )


def clear_button() -> Any:
    """A button that empties the reader's answers after a second click."""
    return confirmed_button(
        "Clear my predictions and answers",
        "Begin anew; the present ones are kept as my_answers.toml.old",
        answers.clear,
        sure="Click again to clear",
    )
