"""python -m towlib.adapt_check: the workbook and the sample adapted lesson hold together, and every
deliberate damage is named with its row.
"""

import json
import math
import os
import re
import shutil
import sys

import pytest

from tests.conftest import REPOSITORY
from towlib.adapt_check import ENDINGS, check_data, check_exercises, check_lesson, check_panels, main
from towlib.errors import InputError
from towlib.lessons.declare import Exercise, Given, Lesson, Panel, Question
from towlib.lessons.index import all_panels, lesson_of
from towlib.lessons.slider_rows import PLAIN_KINDS, load_panel, panels_of
from towlib.teaching.practice import lesson_cells
from towlib.teaching.practice.lesson_cells import LessonRun
from towlib.units import KINDS

DATA, NOTEBOOKS = REPOSITORY / "data", REPOSITORY / "notebooks"
EXAMPLE = DATA / "adapted_example"
HITCH = "02_hitch_geometry"
ENTRIES = lesson_of(HITCH).panels
LESSONS = sorted(path.stem for path in NOTEBOOKS.glob("[0-9][0-9]_*.ipynb"))
cells_of = lesson_cells.lesson_cells


def test_the_workbook_holds_together(capsys, monkeypatch):
    """Every panel at every corner, and every cell with the set-up's names alone, the last first: nbval and
    the sample adapted lesson run them in their order.
    """
    monkeypatch.setattr(lesson_cells, "lesson_cells", lambda path: cells_of(path)[::-1])
    status = main([])
    lines = capsys.readouterr().out.splitlines()
    assert status == 0, "\n".join(lines)
    assert [line.split(":")[0] for line in lines] == ["data", *LESSONS]
    assert all(
        re.fullmatch(
            r"\w+: holds together \(\d+ panels?, \d+ worked checks?, \d+ exercises? × 20 sets of numbers\)",
            line,
        )
        for line in lines[1:]
    )
    assert sum(int(re.search(r"(\d+) panel", line)[1]) for line in lines[1:]) == len(all_panels())
    assert not list(NOTEBOOKS.glob("*.part"))


def test_nothing_is_written_beside_the_notebooks(tmp_path, monkeypatch):
    folder, reader = tmp_path / "notebooks", tmp_path / "reader"
    shutil.copytree(NOTEBOOKS, folder, ignore=shutil.ignore_patterns("__pycache__", ".*", "my_*"))
    shutil.copytree(NOTEBOOKS.parent / "data", tmp_path / "data")
    before = {path: path.read_bytes() for path in folder.rglob("*")}
    monkeypatch.setenv("TOWLIB_READER_FOLDER", str(reader))
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    monkeypatch.setattr(sys, "path", list(sys.path))
    monkeypatch.delitem(sys.modules, "setup_notebook", raising=False)
    check_lesson("01_weight_ratings", notebooks=folder)
    monkeypatch.delitem(sys.modules, "setup_notebook", raising=False)  # that of the copy
    assert {path: path.read_bytes() for path in folder.rglob("*")} == before


def test_the_sample_adapted_lesson_holds_together(capfd):
    assert main([str(EXAMPLE), "--lesson", "02"]) == 0
    out = capfd.readouterr().out
    assert f"{HITCH}: holds together (4 panels, 3 worked checks, 2 exercises × 20 sets of numbers)" in out


def test_the_sample_differs_in_class_region_and_units():
    ours, theirs = (
        {slider.name: slider for slider in load_panel(HITCH, "side_view", folder).sliders}
        for folder in (DATA / "lessons", EXAMPLE / "lessons")
    )
    assert theirs["towed_vehicle.mass"].high < 0.6 * ours["towed_vehicle.mass"].high
    assert theirs["hitch.ball_mount_change"].step == pytest.approx(0.020)
    assert set(theirs) - set(ours) == {"carried.tow.place"}  # one more slider, by its row alone
    assert not any(slider.us_step or slider.metric_step for slider in theirs.values())
    bend = load_panel(HITCH, "on_bend", EXAMPLE / "lessons").sliders
    ramp = next(slider for slider in bend if slider.name == "grade_change")
    assert ramp.start == pytest.approx(0.18) and ramp.high == pytest.approx(0.40)
    readme = (EXAMPLE / "README.md").read_text(encoding="utf-8")
    for path in EXAMPLE.rglob("*.toml"):
        assert f"`{path.relative_to(EXAMPLE)}`" in readme and (DATA / path.relative_to(EXAMPLE)).exists()


ROWS = {  # damage -> (old, new, words of the sentence)
    "start outside": (
        'start = "4.9 m/s2"',
        'start = "9.9 m/s2"',
        ["panels.side_view.sliders.7.start", "9.9 m/s2", "0 m/s2 to 7 m/s2"],
    ),
    "a length in metres a second": (
        'low = "1.0 m"',
        'low = "1.0 m/s"',
        ["panels.side_view.sliders.3.low", "1.0 m/s"],
    ),
    "unit of something else": (
        'low = "350 mm"',
        'low = "350 kg"',
        ["panels.side_view.sliders.1.low", "350 kg", "18.5 in"],
    ),
    "a field that is not in the rig": (
        'from = "hitch.receiver_height"',
        'from = "hitch.receiver_hight"',
        ["panels.side_view.sliders.1.from", "hitch.receiver_hight", "a field of the rig"],
    ),
    "a start beside the rig's own": (
        'from = "hitch.receiver_height"',
        'from = "hitch.receiver_height"\nstart = "480 mm"',
        ["panels.side_view.sliders.1", "a key that is not known 'start'"],
    ),
    "unknown argument": (
        'name = "side_n"',
        'name = "sied_n"',
        ["panels.bracket_spread.sliders", "sied_n", "side_n"],
    ),
    "kind that does not fit the name": (
        (
            'name = "pull_n"\nlabel = "Pull along the bar (− is a push)"\nkind = "force"\nlow = "-12 kN"\n'
            'high = "12 kN"\nstart = "-7.5 kN"\nstep = "0.5 kN"\nus_step = "100 lbf"'
        ),
        (
            'name = "pull_n"\nlabel = "Pull"\nkind = "speed"\nlow = "-12 m/s"\n'
            'high = "12 m/s"\nstart = "-7.5 m/s"\nstep = "0.5 m/s"'
        ),
        ["panels.bracket_spread.sliders, pull_n", "'speed'"],
    ),
    "row left out": (
        'name = "side_n"',
        None,
        ["panels.bracket_spread.sliders", "no row for 'side_n'"],
    ),
    "option nobody computes": ('"dip", "crest"', '"ditch", "crest"', ["panel on_bend", "KeyError"]),
    "no title": ('title = "The bar from the side"', 'title = ""', ["panels.side_view", "a title"]),
    "panel nobody draws": (
        "[panels.propped]",
        '[panels.other]\ntitle = "x"\n\n[panels.propped]',
        ["panels.other", "that the lesson declares"],
    ),
    "prediction for no panel": (
        'panel = "propped"',
        'panel = "proped"',
        ["02.predict-4", "proped", "propped"],
    ),
    "prediction with two right answers": (
        'the slope decides which part of the push acts downwards." }',
        'the slope decides which part of the push acts downwards.", right = true }',
        ["predictions.1.options", "2 right of 4"],
    ),
    "rig that is not there": ('demo = "demo_overloaded"', 'demo = "demo_lost"', ["panels.side_view.demo"]),
    "not TOML": ("[panels.propped]", "[panels.propped", ["not TOML"]),
}


@pytest.mark.parametrize("damage", ROWS)
def test_a_damaged_row_is_named(damage, tmp_path):
    old, new, words = ROWS[damage]
    text = (DATA / "lessons" / f"{HITCH}.toml").read_text(encoding="utf-8")
    if new is None:
        start = text.index("[[panels.bracket_spread.sliders]]\n" + old)
        text = text[:start] + text[text.index("[panels.on_bend]") :]
    else:
        assert old in text
        text = text.replace(old, new, 1)
    (tmp_path / f"{HITCH}.toml").write_text(text, encoding="utf-8")
    with pytest.raises(InputError) as caught:
        check_panels(HITCH, ENTRIES, tmp_path)
    for word in (f"{HITCH}.toml", *words):
        assert word in str(caught.value)


def test_a_missing_lesson_file_is_named(tmp_path):
    with pytest.raises(InputError, match=f"{HITCH}.toml"):
        check_panels(HITCH, ENTRIES, tmp_path)


TABLES = {
    "no source": (
        "checks.csv",
        "OpenStax College Physics m42224,read",
        ",read",
        ["checks.csv, line 2", "source"],
    ),
    "no number": ("checks.csv", ",9.2,K,", ",nine,K,", ["checks.csv, line 3", "value", "nine"]),
    "ragged": ("chain_rules.csv", "\n", ",one more\n", ["chain_rules.csv"]),
    "assumption in a wrong unit": (
        "assumed.csv",
        ",0.70 m,",
        ",0.70 kg,",
        ["assumed.csv, line 2", "value", "0.70 kg"],
    ),
    "end of an assumption": ("assumed.csv", ",0.60 m,", ",60 m,", ["assumed.csv, line 2", "low", "60 m"]),
    "assumption for no field": (
        "assumed.csv",
        "tow_vehicle.cg_height",
        "tow_vehicle.cg_hight",
        ["assumed.csv, line 2", "tow_vehicle.cg_hight"],
    ),
    "word among numbers": (
        "materials.csv",
        ",387,",
        ",four hundred,",
        ["materials.csv, line 5", "value", "four hundred", "a plain number"],
    ),
    "breakage that cannot be": (
        "breakages.csv",
        "front tyre",
        "front tire",
        ["breakages.csv, line 2", "loses"],
    ),
}


@pytest.mark.parametrize("damage", TABLES)
def test_a_damaged_table_is_named(damage, tmp_path):
    name, old, new, words = TABLES[damage]
    for part in ("handbook", "rigs", "routes"):
        shutil.copytree(DATA / part, tmp_path / part)
    path = tmp_path / "handbook" / name
    text = path.read_text(encoding="utf-8")
    changed = (
        re.sub(re.escape(old) + "$", new, text, count=0) if damage == "ragged" else text.replace(old, new)
    )
    assert changed != text
    path.write_text(changed, encoding="utf-8")
    with pytest.raises(InputError) as caught:
        check_data(tmp_path)
    assert all(word in str(caught.value) for word in words), caught.value


@pytest.mark.parametrize(
    ("part", "text", "words"),
    [
        ("rigs/mine.toml", 'name = "x"\nspeed = 3\n', ["mine.toml", "speed"]),
        ("routes/mine.csv", "distance,elevation\n1,2\n", ["mine.csv"]),
    ],
)
def test_a_damaged_rig_or_road_is_named(part, text, words, tmp_path):
    for name in ("handbook", "rigs", "routes"):
        shutil.copytree(DATA / name, tmp_path / name)
    assert check_data(tmp_path) == check_data()
    (tmp_path / part).write_text(text, encoding="utf-8")
    with pytest.raises(InputError) as caught:
        check_data(tmp_path)
    assert all(word in str(caught.value) for word in words)


def _notebook(tmp_path, lesson, tag, change):
    """A copy of a notebook whose first code cell with a tag is changed."""
    data = json.loads((NOTEBOOKS / f"{lesson}.ipynb").read_text(encoding="utf-8"))
    number, cell = next(
        (i, cell)
        for i, cell in enumerate(data["cells"], start=1)
        if cell["cell_type"] == "code" and tag in cell["metadata"].get("tags", [])
    )
    before = "".join(cell["source"])
    cell["source"] = change(before)
    assert cell["source"] != before
    (tmp_path / f"{lesson}.ipynb").write_text(json.dumps(data), encoding="utf-8")
    return f"{lesson}.ipynb, cell {number}"


def test_a_cell_that_fails_is_named(tmp_path):
    for tag in ("predict", "seen", "exercise", "your-rig"):
        where = _notebook(tmp_path, HITCH, tag, lambda source: source + "\nlesson.no_such_thing()")
        with pytest.raises(InputError, match=where):
            LessonRun(tmp_path / f"{HITCH}.ipynb").check_all_others()
    where = _notebook(tmp_path, HITCH, "panel", lambda source: source + "\nlesson.no_such_thing()")
    with pytest.raises(InputError, match=where):
        check_lesson(HITCH, notebooks=tmp_path)
    where = _notebook(tmp_path, HITCH, "panel", lambda source: source.replace('panel("', 'panel("un'))
    with pytest.raises(InputError, match="found no panel"):
        LessonRun(tmp_path / f"{HITCH}.ipynb").check_all_others()
    where = _notebook(tmp_path, HITCH, "exercise", lambda source: source + "(")
    with pytest.raises(InputError, match="SyntaxError"):
        LessonRun(tmp_path / f"{HITCH}.ipynb").check_all_others()


def _exercise(right, traps=None, kind="mass"):
    question = Question("", kind, right, traps or {})
    return Lesson("99_x", (), (Exercise("x", lambda seed, system: Given("?", (question,), "so")),))


@pytest.mark.parametrize(
    ("lesson", "said"),
    [
        (_exercise(math.nan), "no number"),
        (_exercise(12.0, {"twice": 12.0}), "a slip that differs"),
        (_exercise("c", kind="choice"), ""),
        (
            Lesson(
                "99_x",
                (),
                (Exercise("x", lambda seed, system: Given("?", (), "so") if seed < 17 else 1 / 0),),
            ),
            "ZeroDivisionError",
        ),
    ],
)
def test_an_exercise_that_cannot_be_solved_is_named(lesson, said):
    if not said:
        assert check_exercises(lesson) == 1
        return
    with pytest.raises(InputError, match=said) as caught:
        check_exercises(lesson)
    assert "99_x, exercise 1, numbers " in str(caught.value)


class _Line:
    """A drawing of one line."""

    size_in, frames = (3.0, 2.0), 1

    def build(self, picture, system):
        picture.frame(0, title="x", x_label="x", y_label="y", x=(0, 1), y=(0, 1))
        picture.line("line", 0, 0)

    def update(self, picture, result, system):
        picture.move("line", [0.0, 1.0], [0.0, result])


@pytest.mark.parametrize(
    ("compute", "words", "found"),
    [
        (
            lambda facts, *, mass_kg: math.nan if mass_kg > 2 else 1.0,
            lambda result, system: "Fine.",
            "at Mass 3 kg: found a line with a point that is no number",
        ),
        (lambda facts, *, mass_kg: 1.0, lambda result, system: "long " * 80 + ".", "under 400 characters"),
        (lambda facts, *, mass_kg: 1.0, lambda result, system: "It weighs nan kg.", "known numbers"),
        (
            lambda facts, *, mass_kg: 1.0,
            lambda result, system: "Metric." if system == "metric" else "No stop",
            "No stop",
        ),
        (
            lambda facts, *, mass_kg: 1 / (3 - mass_kg),
            lambda result, system: "Fine.",
            "at Mass 3 kg: found ZeroDivisionError",
        ),
    ],
)
def test_a_panel_that_cannot_be_shown_is_named(compute, words, found, tmp_path):
    row = (
        'name = "mass_kg"\nlabel = "Mass"\nkind = "mass"\nlow = "1 kg"\nhigh = "3 kg"\nstart = "2 kg"\nstep ='
        ' "1 kg"\ngroup = "load"\nwhy_this_range = "x"\nsource = "x"\n'
    )
    (tmp_path / "99_x.toml").write_text(
        f'[panels.one]\ntitle = "x"\n[[panels.one.sliders]]\n{row}', encoding="utf-8"
    )
    with pytest.raises(InputError) as caught:
        check_panels("99_x", (Panel("one", compute, _Line, words),), tmp_path)
    assert "99_x.toml, panel one" in str(caught.value) and found in str(caught.value)


def test_a_reader_of_this_workbook_is_left_alone(tmp_path, monkeypatch, capsys):
    (tmp_path / "my_rig.toml").write_text("not TOML at all [", encoding="utf-8")
    monkeypatch.setenv("TOWLIB_READER_FOLDER", str(tmp_path))
    before = os.environ["TOWLIB_READER_FOLDER"]
    seen = []
    monkeypatch.setattr(
        "towlib.adapt_check.check_lesson",
        lambda lesson: seen.append(os.environ["TOWLIB_READER_FOLDER"]) or "nothing",
    )
    assert main(["--lesson", "02"]) == 0
    assert seen and seen[0] != before and os.environ["TOWLIB_READER_FOLDER"] == before
    assert [path.name for path in tmp_path.iterdir()] == ["my_rig.toml"]


def test_worked_checks_name_row_and_cell(tmp_path):
    where = _notebook(tmp_path, HITCH, "worked-check", lambda s: s.replace("0.50 + 3 *", "0.52 + 3 *"))
    with pytest.raises(InputError) as caught:
        check_lesson(HITCH, notebooks=tmp_path)
    for word in ("checks.csv, line ", "bar_slope_3in", "ours ", "handbook ", where):
        assert word in str(caught.value)
    where = _notebook(
        tmp_path, HITCH, "worked-check", lambda s: s.replace('"bar_slope_3in"', '"bar_slope_9in"')
    )
    with pytest.raises(InputError, match="bar_slope_9in"):
        LessonRun(tmp_path / f"{HITCH}.ipynb").check_worked()


@pytest.mark.parametrize("text", ["", "{}", "[1]", '{"cells": [3]}', None])
def test_a_file_that_is_no_notebook(text, tmp_path):
    path = tmp_path / "x.ipynb"
    if text is not None:
        path.write_text(text, encoding="utf-8")
    with pytest.raises(InputError, match="x.ipynb"):
        cells_of(path)


@pytest.mark.parametrize(
    ("file", "old", "new", "lesson", "words"),
    [
        ("handbook/checks.csv", "push_level", "", "02", [f"{HITCH}: checks.csv, line ", "push_level"]),
        (
            "handbook/chain_working_load.csv",
            "5400",
            "5500",
            "01",
            ["01_weight_ratings: checks.csv, line ", "chain_3_8_43", "ours 5500"],
        ),
        (
            "lessons/02_hitch_geometry.toml",
            'start = "4.9 m/s2"',
            'start = "9.9 m/s2"',
            "02",
            [".start", "9.9 m/s2"],
        ),
        (
            "rigs/demo_comfortable.toml",
            'front_spring_rate = "98 kN/m"',
            "",
            "02",
            ["panel on_bend, at its starts", "Not known", "springs"],
        ),
    ],
)
def test_a_folder_of_changed_files_is_what_gets_checked(file, old, new, lesson, words, tmp_path, capfd):
    original = EXAMPLE / file if file.startswith("lessons") else DATA / file
    text = original.read_text(encoding="utf-8")
    if file == "handbook/checks.csv":
        old = next(line for line in text.splitlines() if line.startswith(f"{old},"))
        value = re.search(r",(\d+\.\d+),", old)[1]
        new = old.replace(f",{value},", f",{float(value) + 1},")
    assert old in text
    (tmp_path / file).parent.mkdir()
    (tmp_path / file).write_text(text.replace(old, new), encoding="utf-8")
    assert main([str(tmp_path), "--lesson", lesson]) == 1
    out = capfd.readouterr().out
    assert all(word in out for word in words), out
    assert "Traceback" not in out


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--lesson", "77"], ["--lesson", "77", "02"]),
        (["no/such/folder"], ["no/such/folder", "data/adapted_example"]),
        (["towlib"], ["lessons, handbook"]),
    ],
)
def test_what_is_not_there_is_said_with_status_two(arguments, words, capsys):
    arguments = [str(REPOSITORY / "towlib")] if arguments == ["towlib"] else arguments
    assert main(arguments) == 2
    said = capsys.readouterr().err
    assert all(word in said for word in words)


def test_every_kind_of_the_data_has_an_ending_that_its_names_bear():
    assert set(ENDINGS) | {"grade", "share"} == set(KINDS)
    for path in (DATA / "lessons").glob("*.toml"):
        for panel in panels_of(path.stem):
            for slider in load_panel(path.stem, panel).sliders:
                assert (
                    slider.of_rig
                    or slider.kind in PLAIN_KINDS
                    or slider.name.endswith(f"_{ENDINGS.get(slider.kind, '')}".rstrip("_"))
                )
