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
from towlib.adapt_check import ENDINGS, check_data, check_lesson, check_panels, main
from towlib.errors import InputError
from towlib.lessons.index import PANELS
from towlib.lessons.slider_rows import PLAIN_KINDS, load_panel, panels_of
from towlib.teaching.practice.lesson_cells import LessonRun, lesson_cells
from towlib.units import KINDS

DATA, NOTEBOOKS = REPOSITORY / "data", REPOSITORY / "notebooks"
EXAMPLE = DATA / "adapted_example"
HITCH = "02_hitch_geometry"
ENTRIES = {panel: entry for (lesson, panel), entry in PANELS.items() if lesson == HITCH}
LESSONS = sorted(path.stem for path in NOTEBOOKS.glob("[0-9][0-9]_*.ipynb"))


def test_the_workbook_holds_together(capsys):
    status = main([])
    lines = capsys.readouterr().out.splitlines()
    assert status == 0, "\n".join(lines)
    assert [line.split(":")[0] for line in lines] == ["data", *LESSONS]
    assert all(
        re.fullmatch(
            r"\w+: holds together \(\d+ panels?, [1-9]\d* worked checks?, [1-9]\d* exercises? × 20 seeds\)",
            line,
        )
        for line in lines[1:]
    )
    assert sum(int(re.search(r"(\d+) panel", line)[1]) for line in lines[1:]) == len(PANELS)


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
    assert f"{HITCH}: holds together (4 panels, 3 worked checks, 2 exercises × 20 seeds)" in out
    seen = [str(cell.number) for cell in lesson_cells(NOTEBOOKS / f"{HITCH}.ipynb") if "seen" in cell.tags]
    assert f"read again by eye: cells {', '.join(seen)} of" in out


def test_the_sample_differs_in_class_region_and_units():
    ours, theirs = (
        {slider.name: slider for slider in load_panel(HITCH, "side_view", folder).sliders}
        for folder in (DATA / "lessons", EXAMPLE / "lessons")
    )
    assert theirs["towed_kg"].high < 0.6 * ours["towed_kg"].high and theirs[
        "ball_mount_change_m"
    ].step == pytest.approx(0.020)
    assert set(theirs) - set(ours) == {"load_behind_front_axle_m"}
    assert not any(slider.us_step or slider.metric_step for slider in theirs.values())
    ramp = next(
        slider
        for slider in load_panel(HITCH, "on_bend", EXAMPLE / "lessons").sliders
        if slider.name == "grade_change"
    )
    assert ramp.start == pytest.approx(0.18) and ramp.high == pytest.approx(0.40)
    readme = (EXAMPLE / "README.md").read_text(encoding="utf-8")
    for path in EXAMPLE.rglob("*.toml"):
        assert f"`{path.relative_to(EXAMPLE)}`" in readme and (DATA / path.relative_to(EXAMPLE)).exists()


def test_the_load_of_the_first_panel_stands_where_its_row_says():
    # by hand: 100 kg over the rear axle of the invented pickup (wheelbase 3.61 m) presses the rear springs
    # only: 980.665 N / 81 kN/m,
    # and the receiver 1.27 m behind sinks by (1 + 1.27/3.61) of it
    common = {
        "receiver_height_m": 0.48,
        "ball_mount_change_m": 0.0,
        "bed_load_kg": 100.0,
        "bracket_height_m": 0.56,
        "bar_length_m": 1.5,
        "towed_kg": 1500.0,
        "deceleration_m_s2": 0.0,
    }
    assert ENTRIES["side_view"][0](**common, load_behind_front_axle_m=3.61).squat_m == pytest.approx(
        980.665 / 81e3 * (1 + 1.27 / 3.61), rel=1e-9
    )
    assert (
        ENTRIES["side_view"][0](**common).squat_m
        == ENTRIES["side_view"][0](**common, load_behind_front_axle_m=3.4).squat_m
    )


ROWS = {  # damage -> (old, new, words of the sentence)
    "start outside": (
        'start = "480 mm"',
        'start = "680 mm"',
        ["panels.side_view.sliders.1.start", "680 mm", "350 mm to 650 mm"],
    ),
    "start in metres by mistake": (
        'start = "480 mm"',
        'start = "480 m"',
        ["panels.side_view.sliders.1.start", "480 m"],
    ),
    "unit of something else": (
        'low = "350 mm"',
        'low = "350 kg"',
        ["panels.side_view.sliders.1.low", "350 kg", "18.5 in"],
    ),
    "unknown argument": (
        'name = "bracket_height_m"',
        'name = "bracket_hight_m"',
        ["panels.side_view.sliders.4.name", "bracket_hight_m", "bracket_height_m"],
    ),
    "kind that does not fit the name": (
        "arm_length_m",
        None,
        ["panels.bracket_spread.sliders.2.kind", "'speed'"],
    ),
    "row left out": (
        'name = "side_n"',
        None,
        ["panels.bracket_spread.sliders", "no row for 'side_n'", "argument of bracket_spread"],
    ),
    "option nobody computes": ('"dip", "crest"', '"ditch", "crest"', ["panel on_bend", "road ditch"]),
    "start that cannot be": (
        'high = "1300 mm"\nstart = "700 mm"',
        'high = "9 m"\nstart = "8 m"',
        ["panel bracket_spread, at its starts", "Not possible"],
    ),
    "no title": ('title = "The bar from the side"', 'title = ""', ["panels.side_view", "a title"]),
    "panel nobody draws": (
        "[panels.propped]",
        '[panels.other]\ntitle = "x"\n\n[panels.propped]',
        ["panels.other", "panel_registry.py"],
    ),
    "not TOML": ("[panels.propped]", "[panels.propped", ["not TOML"]),
}


@pytest.mark.parametrize("damage", ROWS)
def test_a_damaged_row_is_named(damage, tmp_path):
    old, new, words = ROWS[damage]
    text = (DATA / "lessons" / f"{HITCH}.toml").read_text(encoding="utf-8")
    if damage == "row left out":
        start = text.index("[[panels.bracket_spread.sliders]]\n" + old)
        text = text[:start] + text[text.index("[panels.on_bend]") :]
    elif damage == "kind that does not fit the name":
        start = text.index('name = "arm_length_m"')
        block = text[start : text.index("\n\n", start)]
        text = text.replace(
            block,
            re.sub(r'(?m)^(kind = )"length"', r'\1"speed"', re.sub(r'"([\d.]+) m"', r'"\1 m/s"', block)),
        )
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


CELLS = {
    "solution of another seed": (
        HITCH,
        "solution",
        lambda s: s.replace("numbers(1, ", "numbers(2, ", 1),
        ["with SEED = 1"],
    ),
    "solution that is not right any more": (
        "01_weight_ratings",
        "solution",
        lambda s: s.replace("{loads.rear_kg:.2f} kg", "{loads.rear_kg:.2f} lb"),
        ["Not yet", "calls Right"],
    ),
    "solution in words": (
        "01_weight_ratings",
        "solution",
        lambda s: s.replace("{loads.rear_kg:.2f} kg", "about fifty"),
        ["Not read", "calls Right"],
    ),
    "solution of another sum": (
        "01_weight_ratings",
        "solution",
        lambda s: s.replace("* (1 + given", "* (2 + given"),
        ["what the exercise before it takes for right"],
    ),
    "exercise without an answer": (
        "01_weight_ratings",
        "exercise",
        lambda s: s.replace("gain_kg = ", "gain_kg = float('nan') * "),
        ["SEED = 1", "no number"],
    ),
    "exercise that fails for one seed": (
        "01_weight_ratings",
        "exercise",
        lambda s: s + "\nif SEED == 17:\n    1 / 0",
        ["ZeroDivisionError"],
    ),
    "exercise that asks nothing": (
        "01_weight_ratings",
        "exercise",
        lambda s: "SEED = 1\nprint('nothing')",
        ["judges no answer"],
    ),
    "cell with a slip of the keyboard": (
        "01_weight_ratings",
        "exercise",
        lambda s: s + "\nprint(",
        ["SyntaxError"],
    ),
}


@pytest.mark.parametrize("damage", CELLS)
def test_a_damaged_cell_is_named(damage, tmp_path):
    lesson, tag, change, words = CELLS[damage]
    where = _notebook(tmp_path, lesson, tag, change)
    with pytest.raises(InputError) as caught:
        LessonRun(tmp_path / f"{lesson}.ipynb").check_practice()
    assert all(word in str(caught.value) for word in (where, *words)), caught.value


def test_a_cell_on_the_readers_rig_that_fails_is_named(tmp_path):
    where = _notebook(tmp_path, HITCH, "your-rig", lambda s: s + "\nfacts.need('hitch.no_such_field')")
    with pytest.raises(InputError, match=where):
        check_lesson(HITCH, notebooks=tmp_path)


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
            lambda *, mass_kg: math.nan if mass_kg > 2 else 1.0,
            lambda result, system: "Fine.",
            "at mass_kg 3 kg: found a line with a point that is no number",
        ),
        (lambda *, mass_kg: 1.0, lambda result, system: "long " * 80 + ".", "under 400 characters"),
        (lambda *, mass_kg: 1.0, lambda result, system: "It weighs nan kg.", "known numbers"),
        (
            lambda *, mass_kg: 1.0,
            lambda result, system: "Metric." if system == "metric" else "No stop",
            "No stop",
        ),
        (
            lambda *, mass_kg: 1 / (3 - mass_kg),
            lambda result, system: "Fine.",
            "at mass_kg 3 kg: found ZeroDivisionError",
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
        check_panels("99_x", {"one": (compute, _Line, words)}, tmp_path)
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
    where = _notebook(
        tmp_path, HITCH, "worked-check", lambda s: s.replace("0.50 + rise_in", "0.52 + rise_in")
    )
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
        lesson_cells(path)


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
            'start = "370 mm"',
            'start = "500 mm"',
            "02",
            ["panels.side_view.sliders.1.start", "500 mm"],
        ),
        (
            "rigs/demo_comfortable.toml",
            'front_spring_rate = "98 kN/m"',
            "",
            "02",
            ["panel side_view, at its starts", "demo rigs"],
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
                assert slider.kind in PLAIN_KINDS or slider.name.endswith(
                    f"_{ENDINGS.get(slider.kind, '')}".rstrip("_")
                )
