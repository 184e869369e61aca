"""Where the reader is: counts come from the notebooks themselves."""

import ast
import json
import re
from pathlib import Path

import nbformat
import pytest

from towlib.teaching.panel import panels
from towlib.teaching.practice import answers, progress

NOTEBOOKS = sorted((Path(__file__).parents[2] / "notebooks").glob("*.ipynb"))


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.setenv("TOWLIB_READER_FOLDER", str(tmp_path))
    return tmp_path


def _notebook(path, *sources):
    cells = [{"cell_type": "code", "source": source.splitlines(keepends=True)} for source in sources]
    path.write_text(
        json.dumps(
            {"cells": [{"cell_type": "markdown", "source": "answers.checked('99.no-1', 1, 1)"}, *cells]}
        ),
        encoding="utf-8",
    )


PREDICT = 'panels.ask_prediction("?", answers.recall("{0}"), lambda words: answers.remember("{0}", words))'
EXERCISE = 'my_answer = ""\nprint(answers.checked("{0}", my_answer, judge(my_answer, 1.0, "mass")))'


@pytest.fixture
def lessons(tmp_path):
    place = tmp_path / "lessons"
    place.mkdir()
    _notebook(
        place / "01_first.ipynb",
        PREDICT.format("01.predict-1"),
        EXERCISE.format("01.exercise-1"),
        PREDICT.format("01.predict-2"),
        EXERCISE.format("01.exercise-1"),
    )  # a cell the reader has doubled counts once
    _notebook(
        place / "02_second_one.ipynb",
        EXERCISE.format("02.exercise-1a"),
        EXERCISE.format("02.exercise-1b"),
        "what the reader typed (",
        "%matplotlib inline",
    )
    return place


def test_the_table_line_by_line(folder, lessons):
    assert (
        progress.table(lessons) == "01_first:      predictions written 0 of 2, exercises right 0 of 1\n"
        "02_second_one: predictions written 0 of 0, exercises right 0 of 2\n"
        "All lessons:   predictions written 0 of 2, exercises right 0 of 3\n"
        "The first one with something open: 01_first."
    )
    answers.remember("01.predict-1", "more")
    answers.remember("01.predict-2", "  ")  # nothing written
    answers.remember("88.predict-1", "of a lesson that is gone")
    answers.checked("01.exercise-1", "1 kg", "Right: 1 kg.")
    answers.checked("02.exercise-1b", "2 kg", "Not yet: twice.")
    assert (
        progress.table(lessons) == "01_first:      predictions written 1 of 2, exercises right 1 of 1\n"
        "02_second_one: predictions written 0 of 0, exercises right 0 of 2, tried and not yet right 1\n"
        "All lessons:   predictions written 1 of 2, exercises right 1 of 3, tried and not yet right 1\n"
        "The first one with something open: 01_first."
    )
    answers.remember("01.predict-2", "less")
    assert progress.table(lessons).endswith("open: 02_second_one.")
    for part in "ab":
        answers.checked(f"02.exercise-1{part}", "1 kg", "Right: 1 kg.")
    assert progress.table(lessons).endswith("Every prediction is written and every exercise was right.")


def test_broken_files_are_said_and_left(folder, lessons):
    (lessons / "02_second_one.ipynb").write_text("{", encoding="utf-8")
    assert (
        "02_second_one: not known, the notebook cannot be read\nAll lessons:   predictions written 0 of 2,"
        " exercises right 0 of 1" in progress.table(lessons)
    )
    (folder / "my_answers.toml").write_text("[broken", encoding="utf-8")
    assert progress.table(lessons).startswith("Not known: my_answers.toml: found text that is not TOML")
    assert (folder / "my_answers.toml").read_text(encoding="utf-8") == "[broken"


def test_no_notebooks(folder, tmp_path):
    assert progress.table(tmp_path).endswith("No notebooks are found here.")


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: p.stem)
def test_every_prediction_and_exercise_of_a_notebook_is_counted(path):
    """Counted a second way: boxes and calls of judge in the cells' own text."""
    cells = [cell for cell in nbformat.read(path, as_version=4).cells if cell.cell_type == "code"]
    asked = progress.asked_in(path)
    assert len(asked.guesses) == sum(cell.source.count("ask_prediction(") for cell in cells) >= 1
    exercises = [cell for cell in cells if "exercise" in cell.metadata.tags]
    assert len(asked.exercises) == sum(len(re.findall(r"\bjudge\(", cell.source)) for cell in exercises) >= 1
    numbers = [key.rstrip("abc") for key in asked.exercises]
    assert list(dict.fromkeys(numbers)) == [
        f"{path.stem[:2]}.exercise-{i + 1}" for i in range(len(exercises))
    ]
    assert all(re.fullmatch(rf"{path.stem[:2]}\.predict-\d+", key) for key in asked.guesses)
    for cell in cells:
        if "predict" in cell.metadata.tags and "ask_prediction(" in cell.source:
            keys = re.findall(r'answers\.(?:recall|remember)\("([^"]+)"', cell.source)
            assert len(set(keys)) == 1 and len(keys) == 2  # what is kept is what comes back
        if "exercise" not in cell.metadata.tags:
            assert "answers.checked(" not in cell.source  # a solution is not the reader's answer


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: p.stem)
def test_what_is_kept_is_what_is_judged(path):
    for cell in nbformat.read(path, as_version=4).cells:
        if cell.cell_type == "code" and "exercise" in cell.metadata.tags:
            for node in ast.walk(ast.parse(cell.source)):
                if isinstance(node, ast.Call) and getattr(node.func, "attr", "") == "checked":
                    assert node.args[1].id == node.args[2].args[0].id


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


def test_where_you_are_stands_in_the_first_notebook():
    cells = nbformat.read(NOTEBOOKS[0], as_version=4).cells
    (cell,) = (cell for cell in cells if "progress.table(" in cell.source)
    assert set(cell.metadata.tags) == {"your-rig", "nbval-ignore-output"}
    assert cells[cells.index(cell) - 1].source.startswith("## Where you are")
