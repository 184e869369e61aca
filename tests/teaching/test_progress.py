"""Where the reader is: counts come from the notebooks themselves."""

import json
import re
from pathlib import Path

import nbformat
import pytest

from towlib.lessons.index import ROOMS, lesson_of
from towlib.lessons.predictions import predictions_of
from towlib.teaching.panel import panels
from towlib.teaching.practice import answers, progress

NOTEBOOKS = sorted((Path(__file__).parents[2] / "notebooks").glob("*.ipynb"))


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.setenv("TOWLIB_READER_FOLDER", str(tmp_path))
    return tmp_path


def _notebook(path, *sources):
    cells = [
        {"cell_type": "code", "metadata": {}, "source": source.splitlines(keepends=True)}
        for source in sources
    ]
    words = {"cell_type": "markdown", "metadata": {}, "source": "lesson.predict(2)"}
    path.write_text(json.dumps({"cells": [words, *cells]}), encoding="utf-8")


@pytest.fixture
def lessons(tmp_path):
    place = tmp_path / "lessons"
    place.mkdir()
    # a cell the reader has doubled counts once
    _notebook(
        place / "01_weight_ratings.ipynb", "lesson.predict(1)", "lesson.exercise(1)", "lesson.predict(2)"
    )
    _notebook(
        place / "02_hitch_geometry.ipynb",
        "lesson.exercise(1)",
        "what the reader typed (",
        "%matplotlib inline",
    )
    return place


def test_the_table_line_by_line(folder, lessons):
    assert (
        progress.table(lessons) == "01_weight_ratings: predictions written 0 of 2, exercises right 0 of 1\n"
        "02_hitch_geometry: predictions written 0 of 0, exercises right 0 of 1\n"
        "All lessons:       predictions written 0 of 2, exercises right 0 of 2\n"
        "The first one with something open: 01_weight_ratings."
    )
    answers.remember("01.predict-1", "more")
    answers.remember("01.predict-2", "  ")  # nothing written
    answers.remember("88.predict-1", "of a lesson that is gone")
    answers.checked("01.exercise-1", "1 kg", "Right: 1 kg.")
    answers.checked("02.exercise-1", "2 kg", "Not yet: twice.")
    assert (
        progress.table(lessons) == "01_weight_ratings: predictions written 1 of 2, exercises right 1 of 1\n"
        "02_hitch_geometry: predictions written 0 of 0, exercises right 0 of 1, tried and not yet right 1\n"
        "All lessons:       predictions written 1 of 2, exercises right 1 of 2, tried and not yet right 1\n"
        "The first one with something open: 01_weight_ratings."
    )
    answers.remember("01.predict-2", "less")
    assert progress.table(lessons).endswith("open: 02_hitch_geometry.")
    answers.checked("02.exercise-1", "1 kg", "Right: 1 kg.")
    assert progress.table(lessons).endswith("Every prediction is written and every exercise was right.")


def test_broken_files_are_said_and_left(folder, lessons):
    (lessons / "02_hitch_geometry.ipynb").write_text("{", encoding="utf-8")
    assert (
        "02_hitch_geometry: not known, the notebook cannot be read\nAll lessons:       predictions written 0"
        " of 2, exercises right 0 of 1" in progress.table(lessons)
    )
    (folder / "my_answers.toml").write_text("[broken", encoding="utf-8")
    assert progress.table(lessons).startswith("Not known: my_answers.toml: found text that is not TOML")
    assert (folder / "my_answers.toml").read_text(encoding="utf-8") == "[broken"


def test_no_notebooks(folder, tmp_path):
    assert progress.table(tmp_path).endswith("No notebooks are found here.")


@pytest.mark.parametrize("key", ROOMS)
def test_every_prediction_and_exercise_of_a_lesson_is_in_its_notebook_and_counted(key):
    """Counted a second way: calls in the cells' own text against what the lesson declares."""
    (path,) = (path for path in NOTEBOOKS if path.stem == key)
    sources = [cell.source for cell in nbformat.read(path, as_version=4).cells if cell.cell_type == "code"]
    asked = progress.asked_in(path)
    assert len(asked.guesses) == sum(source.count("lesson.predict(") for source in sources)
    assert len(asked.guesses) == len(predictions_of(key)) >= len(lesson_of(key).panels)
    assert len(lesson_of(key).exercises) == sum(source.count("lesson.exercise(") for source in sources)
    assert len(asked.exercises) == sum(
        len(exercise.draw(1, "metric").questions) for exercise in lesson_of(key).exercises
    )
    assert all(re.fullmatch(rf"{key[:2]}\.predict-\d+", guess) for guess in asked.guesses)
    assert all(re.fullmatch(rf"{key[:2]}\.exercise-\d+[a-h]?", exercise) for exercise in asked.exercises)


def test_keys_are_used_once():
    keys = [
        key
        for path in NOTEBOOKS
        for key in (*progress.asked_in(path).guesses, *progress.asked_in(path).exercises)
    ]
    assert len(keys) == len(set(keys)) > 50


def test_a_double_click_clears_nothing(folder):
    answers.remember("01.predict-1", "more")
    button, _, _ = progress.clear_button().children
    button.click()
    button.click()
    assert button.description == "Click again to clear" and answers.recall("01.predict-1") == "more"


def test_the_button_clears_on_its_second_click(folder, monkeypatch):
    monkeypatch.setattr(panels, "TOO_QUICK_S", 0.0)
    answers.remember("01.predict-1", "more")
    button, back, said = progress.clear_button().children
    button.click()
    assert (
        button.description == "Click again to clear"
        and back.layout.display == ""
        and answers.recall("01.predict-1") == "more"
    )
    back.click()
    assert back.layout.display == "none" and "Nothing was changed." in said.value
    button.click()
    assert answers.recall("01.predict-1") == "more"  # the way back begins anew
    button.click()
    assert (
        answers.recall("01.predict-1") == ""
        and "Cleared" in said.value
        and button.description == "Clear my predictions and answers"
    )
