"""Where the reader is: guesses written and exercises right, lesson by lesson, counted from the notebooks' own
cells.
"""

from collections.abc import Mapping
from pathlib import Path
from typing import Any, NamedTuple

from towlib.errors import InputError
from towlib.lessons.index import lesson_of
from towlib.lessons.predictions import predictions_of
from towlib.paths import NOTEBOOKS
from towlib.teaching.panel.panels import confirmed_button
from towlib.teaching.practice import answers
from towlib.teaching.practice.answers import answer_key
from towlib.teaching.practice.lesson_cells import Shown, lesson_cells, shown_in


class Asked(NamedTuple):
    """The keys a notebook keeps answers under."""

    lesson: str  # '01_weight_ratings'
    guesses: tuple[str, ...] = ()
    exercises: tuple[str, ...] = ()
    unreadable: bool = False


def asked_in(path: Path) -> Asked:
    """What one notebook asks, from what its cells show."""
    key = path.stem
    try:
        shown = [each for cell in lesson_cells(path) if cell.is_code for each in shown_in(cell)]
        guesses = [predictions_of(key)[_number(each) - 1].key for each in shown if each.what == "predict"]
        exercises = [
            answer_key(key, _number(each), which, len(questions))
            for each in shown
            if each.what == "exercise"
            for questions in [lesson_of(key).exercises[_number(each) - 1].draw(1, "metric").questions]
            for which in range(len(questions))
        ]
    except (InputError, IndexError):
        return Asked(key, unreadable=True)
    return Asked(key, tuple(guesses), tuple(exercises))


def _number(shown: Shown) -> int:
    return shown.which if isinstance(shown.which, int) else 1


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
