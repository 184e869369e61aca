"""Handouts: everything to guess, try and solve is on them, no answer is, and they print on A4 without
loss.
"""

import ast
import contextlib
import html
import io
import json
import re
import shutil
import subprocess
from functools import cache

import pytest

from tests.browser_helpers import CHROMIUM, browser_page
from towlib.errors import InputError
from towlib.handouts import main
from towlib.lessons.judging import numbers
from towlib.lessons.slider_rows import load_panel
from towlib.paths import NOTEBOOKS
from towlib.teaching.practice import exercise_numbers
from towlib.teaching.practice import handout_pages as handouts
from towlib.teaching.practice.exercise_numbers import Exercise, exercise_of
from towlib.teaching.practice.handout_pages import handout_html, lesson_names, slider_row
from towlib.teaching.practice.lesson_cells import Cell, lesson_cells
from towlib.units import show

LESSONS = lesson_names()
EXERCISES = [
    (lesson, cell)
    for lesson in LESSONS
    for cell in lesson_cells(NOTEBOOKS / f"{lesson}.ipynb")
    if cell.is_code and "exercise" in cell.tags
]
_SEED = re.compile(r"(?m)^SEED = \d+")


@cache
def _words(lesson, seed=1, system="metric"):
    """A handout without its marks, every white space one blank."""
    body = handout_html(lesson, seed, system=system).partition("<body>")[2]
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", body)).split())


def _cells(lesson, tag, code):
    return [
        cell
        for cell in lesson_cells(NOTEBOOKS / f"{lesson}.ipynb")
        if tag in cell.tags and cell.is_code == code
    ]


def _bare(markdown):
    """Words of a text cell without its marks."""
    return " ".join(re.sub(r"[*_`#>|]|<[^>]+>", " ", markdown).split())


def _code(source, printed="", number=9):
    return Cell(number, True, frozenset({"exercise"}), source, printed)


@pytest.fixture(scope="module")
def set_up():
    """The names every exercise of a lesson may use, by running its set-up cell."""
    names = {}

    def of(lesson):
        if lesson not in names:
            names[lesson] = {}
            with pytest.MonkeyPatch.context() as patch:
                patch.syspath_prepend(str(NOTEBOOKS))
                with contextlib.redirect_stdout(io.StringIO()):
                    for cell in _cells(lesson, "setup", True):
                        exec(cell.source, names[lesson])
        return dict(names[lesson])

    return of


def test_all_lessons_have_one():
    assert len(LESSONS) >= 12 and LESSONS[0] == "00_start_here"


@pytest.mark.parametrize("lesson", LESSONS)
def test_title_question_objectives_caution_and_tables_are_on_it(lesson):
    text = re.sub(r"\s", "", _words(lesson))
    for tag in ("title", "objectives", "caution", "symbols"):
        for line in "\n".join(cell.source for cell in _cells(lesson, tag, False)).splitlines():
            if set(line) - set("|-: "):
                for part in line.split("|"):  # a table cell is looked for by itself
                    assert re.sub(r"[*_`\s]|^[->#]+", "", part.strip()).lstrip("->#") in text.replace(
                        "_", ""
                    ), part
    assert "The question:" in _words(lesson) and "Caution." in _words(lesson)


@pytest.mark.parametrize("lesson", LESSONS)
def test_every_prediction_and_panel_with_its_sliders_is_on_it(lesson):
    source = handout_html(lesson)
    asked = [
        ast.literal_eval(found)
        for cell in _cells(lesson, "predict", True)
        for found in re.findall(r'ask_prediction\(((?:\s*"(?:[^"\\]|\\.)*")+)', cell.source)
        for found in [f"({found})"]
    ]
    shown = [
        found
        for cell in _cells(lesson, "panel", True)
        for found in re.findall(r'show_panel\("(\w+)", "(\w+)"', cell.source)
    ]
    assert asked and shown
    for count, question in enumerate(asked, start=1):
        assert f"Prediction {count}. {' '.join(question.split())}" in _words(lesson)
    assert source.count("Prediction ") == len(asked) and len(re.findall(r"<h2>Panel \d", source)) == len(
        shown
    )
    for name, panel in shown:
        spec = load_panel(name, panel)
        for system in ("metric", "us"):
            text = _words(lesson, system=system)
            assert spec.title in text
            assert all(part in text for slider in spec.sliders for part in slider_row(slider, system))


def test_sliders_stand_in_the_units_asked_for():
    people = next(
        slider
        for slider in load_panel("01_weight_ratings", "axle_loads").sliders
        if slider.name == "people_kg"
    )
    assert slider_row(people, "metric")[1:4] == ("kg", "0 to 320", "150")
    assert slider_row(people, "us")[1:4] == (
        "lb",
        "0 to 705",
        "331",
    )  # 320 and 150 kg over 0.45359237: 705.5 and 330.7
    broken = next(
        slider
        for slider in load_panel("08_lights_and_battery", "shared_ground").sliders
        if slider.kind == "switch"
    )
    assert slider_row(broken, "us")[1:4] == ("", "off / on", "off")


@pytest.mark.parametrize("seed", [1, 2, 7])
@pytest.mark.parametrize("lesson", LESSONS)
def test_exercises_have_the_numbers_their_cells_print(lesson, seed, set_up):
    start = set_up(lesson)
    for cell in _cells(lesson, "exercise", True):
        said = io.StringIO()
        with contextlib.redirect_stdout(said):  # here the cell is run; the handout only reads it
            exec(_SEED.sub(f"SEED = {seed}", cell.source), dict(start))
        printed = [line for line in said.getvalue().splitlines() if "Not answered yet" not in line]
        found = exercise_of(cell, seed)
        if "The numbers of SEED = 1;" in found.given:
            assert seed != 1 and found.given.startswith(cell.printed.splitlines()[0])
            continue
        assert found.given == " ".join(printed) and " ".join(found.given.split()) in _words(lesson, seed)
        assert len(found.kinds) == said.getvalue().count("Not answered yet")


def test_nearly_all_exercises_follow_the_seed():
    assert sum("The numbers of SEED" in exercise_of(cell, 2).given for _, cell in EXERCISES) <= 1
    assert all(
        exercise_of(cell, 1).kinds and exercise_of(cell, 1).given != "Run the cell for its numbers."
        for _, cell in EXERCISES
    )


@pytest.mark.parametrize("lesson", LESSONS)
def test_no_answer_is_on_it(lesson, set_up):
    text = _words(lesson)
    for tag in ("solution", "seen", "keypoints", "instructor", "to-the-sheet"):
        for cell in _cells(lesson, tag, False):
            for sentence in re.split(r"(?<=[.:;])\s+|\n", cell.source):
                assert len(_bare(sentence)) < 30 or _bare(sentence) not in text, sentence
    for cell in _cells(lesson, "solution", True):
        assert not [
            line for line in cell.printed.splitlines() if len(line) > 8 and " ".join(line.split()) in text
        ]
    expected, traps = [], []

    def listening(answer, right, kind, traps_=traps, **named):
        expected.append((right, kind))
        traps_.extend(named.get("traps") or {})
        return ""

    for cell in _cells(lesson, "exercise", True):
        with contextlib.redirect_stdout(io.StringIO()):
            exec(cell.source, set_up(lesson) | {"judge": listening})
    practice = " ".join(exercise_of(cell, 1).given for cell in _cells(lesson, "exercise", True))
    assert expected
    for right, kind in expected:
        assert show(right, kind) not in practice
    assert not any(trap in text for trap in traps)
    assert "for example" not in practice and "my_answer" not in text and "judge(" not in text


def test_nothing_outside_it_is_needed():
    for lesson in LESSONS:
        source = handout_html(lesson)
        assert not re.search(r"https?://|<script|<link|<img|src=|url\(|@import|¶|&#182;", source), lesson


def test_numbers_are_read_from_sums_and_never_by_running():
    source = (
        'SEED = 1\ngiven = numbers(SEED, a=(1, 9, 1), b=(10, 90, 10))\nprint("{a:.0f} and'
        ' {c:.1f}".format(c=(given["b"] + 4) / 2 - 1 * given["a"], **given))\nmy_answer = "77'
        ' kg"\nprint(judge(my_answer, 1 / 0, "mass"))\nraise SystemExit'
    )
    drawn = numbers(5, a=(1, 9, 1), b=(10, 90, 10))
    assert exercise_of(_code(source), 5) == Exercise(
        f"{drawn['a']:.0f} and {(drawn['b'] + 4) / 2 - drawn['a']:.1f}", ("mass",)
    )
    assert exercise_of(
        _code('print("Plain words.")\nprint("(a)", judge(x, 1, "mass"))\nprint("(b)", judge(y, 1, "speed"))'),
        1,
    ) == Exercise("Plain words.", ("mass", "speed"))
    assert exercise_of(_code('print(answers.checked("k", x, judge(x, 1, "force")))'), 1) == Exercise(
        "", ("force",)
    )


@pytest.mark.parametrize(
    "question",
    [
        'print(f"{bolt(given)}")',
        'print("{a} {b}".format(**given))',
        'print("{0}".format(given["a"]))',
        'print("{c}".format(c=given["z"]))',
        'print("{c}".format(c=given["a"] / 0))',
        'print("{c}".format(c=open("x").read()))',
        'print("{a:q}".format(**given))',
        'print("{c}".format(**other))',
        'print("x", given["a"])',
    ],
)
def test_what_only_running_tells_is_what_was_saved(question):
    source = (
        f'SEED = 4\ngiven = numbers(SEED, a=(1, 9, 1))\n{question}\nmy_answer = "77'
        ' kg"\nprint(judge(my_answer, 7, "mass"))'
    )
    saved = "M10, class 8.8.\nRight: 77 kg.\n"
    assert exercise_of(_code(source, saved), 4).given == "M10, class 8.8."
    assert (
        exercise_of(_code(source, saved), 5).given
        == "M10, class 8.8. (The numbers of SEED = 4; run the cell for those of another seed.)"
    )
    assert exercise_of(_code(source), 4).given == "Run the cell for its numbers."


@pytest.mark.parametrize(
    "drawn",
    [
        "numbers(SEED, a=(1, 9, 0))",
        "numbers(SEED, a=(1, 9))",
        "numbers(SEED, a=(9, 1, 1))",
        "numbers(SEED, a=f())",
        "numbers(SEED, **ranges)",
        "numbers(SEED, a=(1, 1e400, 1))",
        "numbers(SEED, 2, a=(1, 9, 1))",
        "[1]",
    ],
)
def test_ranges_that_cannot_be_drawn_do_not_stop_a_handout(drawn):
    assert (
        exercise_of(_code(f'SEED = 1\ngiven = {drawn}\nprint("{{a}}".format(**given))'), 1).given
        == "Run the cell for its numbers."
    )


def test_an_exercise_that_is_not_python_does_not_stop_it():
    assert exercise_of(_code('my_answer = "77 kg'), 1) == Exercise("Run the cell for its numbers.", ())


def _lesson(tmp_path, monkeypatch, *cells):
    notebook = {
        "cells": [
            {"cell_type": kind, "metadata": {"tags": [tag]}, "source": source} for kind, tag, source in cells
        ]
    }
    (tmp_path / "20_own.ipynb").write_text(json.dumps(notebook), encoding="utf-8")
    monkeypatch.setattr(handouts, "NOTEBOOKS", tmp_path)


def test_text_of_an_adapted_lesson_cannot_break_out(tmp_path, monkeypatch):
    _lesson(
        tmp_path,
        monkeypatch,
        ("markdown", "title", '# A "<b>" \\ title\n\n<script>alert(1)</script>\n\n[x](javascript:alert(1))'),
        ("code", "predict", 'panels.ask_prediction("Is 1 < 2 & 3?", a, b)'),
        ("markdown", "predict", "Left over."),
    )
    source = handout_html("20_own")
    assert (
        "<script" not in source
        and "javascript:" not in source.lower()
        and "Is 1 &lt; 2 &amp; 3?" in source
        and "<title>A &quot;&lt;b&gt;&quot; \\ title</title>" in source
    )
    assert 'content:"A b  title · 20_own · seed 1 · metric"' in source and source.count("Left over.") == 1


@pytest.mark.parametrize(
    "cell",
    [
        "panels.ask_prediction(QUESTION, a, b)",
        "panels.ask_prediction()",
        'panels.ask_prediction("oh',
        'panels.ask_prediction(f"{x}", a, b)',
    ],
)
def test_a_prediction_that_cannot_be_read_is_named(tmp_path, monkeypatch, cell):
    _lesson(tmp_path, monkeypatch, ("markdown", "title", "# T"), ("code", "predict", cell))
    with pytest.raises(InputError, match=r"20_own\.ipynb, cell 2: found a (prediction|cell)"):
        handout_html("20_own")


@pytest.mark.parametrize(
    ("lesson", "seed", "system"),
    [
        ("99_none", 1, "metric"),
        ("../rigs", 1, "metric"),
        ("01_weight_ratings", -1, "metric"),
        ("01_weight_ratings", 1.5, "us"),
        ("01_weight_ratings", True, "us"),
        ("01_weight_ratings", 10**9, "us"),
        ("01_weight_ratings", 1, "imperial"),
    ],
)
def test_what_cannot_be_is_one_sentence(lesson, seed, system):
    with pytest.raises(InputError, match="found .*; wanted "):
        handout_html(lesson, seed, system=system)


def test_only_a_lesson_of_the_workbook_is_opened(tmp_path, monkeypatch):
    (tmp_path / "inside").mkdir()
    (tmp_path / "11_outside.ipynb").write_text('{"cells": []}', encoding="utf-8")
    monkeypatch.setattr(handouts, "NOTEBOOKS", tmp_path / "inside")
    with pytest.raises(InputError, match="found a lesson "):
        handout_html("../11_outside")


def test_command_line_writes_all_or_those_asked_for(tmp_path, capsys):
    assert main([str(tmp_path / "all"), "--seed", "3"]) == 0
    assert sorted(path.name for path in (tmp_path / "all").iterdir()) == [
        f"handout_{lesson}.html" for lesson in LESSONS
    ]
    assert capsys.readouterr().out.count("Written: ") == len(LESSONS)
    assert main([str(tmp_path / "two"), "--lesson", "02", "--lesson", "11_trip_sheet", "--units", "us"]) == 0
    assert sorted(path.name for path in (tmp_path / "two").iterdir()) == [
        "handout_02_hitch_geometry.html",
        "handout_11_trip_sheet.html",
    ]
    assert (tmp_path / "two" / "handout_11_trip_sheet.html").read_text(encoding="utf-8") == handout_html(
        "11_trip_sheet", system="us"
    )


def test_command_line_says_what_is_wrong(tmp_path, capsys):
    (tmp_path / "file").write_text("x")
    for arguments in (
        [str(tmp_path), "--lesson", "77"],
        [str(tmp_path / "file"), "--lesson", "02"],
        [str(tmp_path), "--seed", "-4"],
    ):
        assert main(arguments) == 2
        assert re.fullmatch(r"[^\n]*found [^\n]+; wanted [^\n]+\.\n", capsys.readouterr().err)


@pytest.mark.skipif(
    shutil.which("pdftotext") is None or CHROMIUM is None, reason="needs Debian's poppler-utils and chromium"
)
@pytest.mark.parametrize("system", ["metric", "us"])
def test_they_print_on_whole_pages_of_a4(tmp_path, system):
    with browser_page(794, 1123) as (page, errors):
        for lesson in LESSONS:
            page.set_content(handout_html(lesson, 3, system=system))
            page.emulate_media(media="print")
            clipped = page.evaluate(
                "() => [...document.querySelectorAll('td,th,li,p,h1,h2,section,blockquote')].filter(e =>"
                " e.scrollWidth > e.clientWidth + 1).map(e => e.textContent.slice(0, 40))"
            )
            assert clipped == [] and page.evaluate(
                "() => document.documentElement.scrollWidth <= window.innerWidth"
            ), (lesson, clipped)
            pdf = page.pdf(path=tmp_path / "h.pdf", prefer_css_page_size=True)
            boxes = {
                tuple(round(float(side)) for side in box.split())
                for box in re.findall(rb"/MediaBox \[([^\]]+)\]", pdf)
            }
            assert boxes == {(0, 0, 595, 842)} or boxes == {(0, 0, 596, 842)}, boxes
            pages = subprocess.run(
                ["pdftotext", tmp_path / "h.pdf", "-"], capture_output=True, text=True, check=True
            ).stdout.split("\f")[:-1]
            assert 2 <= len(pages) <= 10, f"{lesson}: {len(pages)} pages"
            bare = [
                re.sub(rf"[^\n]*seed 3 · {system}|\d+\s*/\s*{len(pages)}\s*$", "", text.strip())
                for text in pages
            ]
            assert all(len(text.split()) >= 10 for text in bare), f"{lesson}: an empty page"
            assert all(
                f"{count}/{len(pages)}" in text.replace(" ", "") and "seed 3" in text
                for count, text in enumerate(pages, start=1)
            )
            printed = re.sub(
                r"[\s-]", "", "".join(bare)
            )  # pdftotext joins words that a line parts at their hyphen
            lost = [
                word
                for word in page.evaluate("() => document.body.innerText").replace("-", "").split()
                if word not in printed
            ]
            assert lost == [], f"{lesson}: {lost}"
        assert errors == []


@pytest.mark.skipif(
    CHROMIUM is None, reason="no Chromium on this machine: install Debian's package 'chromium'"
)
def test_a_question_stays_with_its_room_to_write():
    with browser_page(794, 1123) as (page, _):
        page.set_content(handout_html("01_weight_ratings"))
        assert page.evaluate(
            "() => [...document.querySelectorAll('section')].every(e => getComputedStyle(e).breakInside ==="
            " 'avoid')"
        )
        held = page.evaluate("() => [...document.querySelectorAll('section')].map(e => e.innerText)")
        assert any(
            "Exercise 1" in text and "A wheel of 35 kg" in text and "answer, in kg or lb" in text
            for text in held
        )
        assert any(text.startswith("What can still be added") and "Prediction 2." in text for text in held)
        assert page.evaluate(
            "() => [...document.querySelectorAll('.line')].every(e => e.getBoundingClientRect().height > 28)"
        )  # 7.5 mm at 96 dots an inch


def test_the_cell_is_not_run(monkeypatch):
    monkeypatch.setattr("builtins.exec", None)
    monkeypatch.setattr("builtins.eval", None)
    assert exercise_numbers.exercise_of(EXERCISES[0][1], 3).given
