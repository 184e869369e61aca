"""Handouts: everything to guess, try and solve is on them, no answer is, and they print on A4 without
loss.
"""

import html
import json
import re
import shutil
import subprocess
from functools import cache

import pytest

from tests.browser_helpers import CHROMIUM, browser_page, chromium
from towlib.errors import InputError
from towlib.handouts import main
from towlib.lessons.index import ROOMS, lesson_of
from towlib.lessons.predictions import Option, Prediction, predictions_of
from towlib.lessons.slider_rows import load_panel
from towlib.paths import DATA, NOTEBOOKS
from towlib.rig.facts import Facts
from towlib.rig.model import load_rig
from towlib.teaching.practice import handout_pages as handouts
from towlib.teaching.practice.handout_pages import handout_html, lesson_names, slider_row
from towlib.teaching.practice.lesson_cells import lesson_cells, shown_in
from towlib.units import KINDS, show

LESSONS = lesson_names()


@pytest.fixture(scope="module")
def one_chromium():
    with chromium():
        yield


def _spec(lesson, panel):
    spec = load_panel(lesson, panel)
    return spec.starting_from(Facts(load_rig(DATA / "rigs" / f"{spec.demo}.toml")))[0]


def _shown(lesson, what):
    cells = lesson_cells(NOTEBOOKS / f"{lesson}.ipynb")
    return [each.which for cell in cells if cell.is_code for each in shown_in(cell) if each.what == what]


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


def test_all_lessons_have_one():
    assert len(LESSONS) >= 12 and LESSONS[0] == "00_start_here"


@pytest.mark.parametrize("lesson", LESSONS)
def test_title_question_objectives_caution_and_tables_are_on_it(lesson):
    text = re.sub(r"\s", "", _words(lesson))
    for tag in ("title", "objectives", "caution", "symbols"):
        for line in "\n".join(cell.source for cell in _cells(lesson, tag, False)).splitlines():
            if set(line) - set("|-: "):
                line = re.sub(r"\[([^]]*)\]\([^)]*\)", r"\1", line)  # of a link the words alone
                for part in line.split("|"):  # a table cell is looked for by itself
                    assert re.sub(r"[*_`\s]|^[->#]+", "", part.strip()).lstrip("->#") in text.replace(
                        "_", ""
                    ), part
    assert "The question:" in _words(lesson) and "Caution." in _words(lesson)


@pytest.mark.parametrize("lesson", ROOMS)
def test_every_prediction_panel_and_exercise_is_on_it(lesson):
    source, text = handout_html(lesson), _words(lesson)
    predictions, panels = predictions_of(lesson), _shown(lesson, "panel")
    assert [number or 1 for number in _shown(lesson, "predict")] == list(range(1, len(predictions) + 1))
    assert source.count("<b>Prediction ") == len(predictions)
    for count, asked in enumerate(predictions, start=1):
        assert f"Prediction {count}. {' '.join(asked.question.split())}" in text
        assert all(" ".join(option.words.split()) in text for option in asked.options)
    assert len(re.findall(r"<h2>Panel \d", source)) == len(panels)
    for panel in panels:
        spec = _spec(lesson, panel)
        for system in ("metric", "us"):
            words = _words(lesson, system=system)
            assert spec.title in words
            assert all(
                " ".join(part.split()) in words
                for slider in spec.sliders
                for part in slider_row(slider, system)
            )
    numbers = [number or 1 for number in _shown(lesson, "exercise")]
    assert numbers == list(range(1, len(lesson_of(lesson).exercises) + 1))


def test_sliders_stand_in_the_units_asked_for():
    ball = next(s for s in _spec("01_weight_ratings", "axle_loads").sliders if s.name == "hitch.ball_load")
    assert slider_row(ball, "metric")[1:4] == ("kg", "0 to 300", "13")  # half of the bar's 26 kg
    assert slider_row(ball, "us")[1:4] == ("lb", "0 to 661", "28.7")  # over 0.45359237: 661.4 and 28.66
    broken = next(s for s in _spec("08_lights_and_battery", "shared_ground").sliders if s.name == "broken")
    assert slider_row(broken, "us")[1:4] == ("", "off / on", "off")


@pytest.mark.parametrize("seed", [1, 2, 7])
@pytest.mark.parametrize("lesson", ROOMS)
def test_exercises_have_the_numbers_that_the_same_set_has_on_the_screen(lesson, seed):
    for exercise in lesson_of(lesson).exercises:
        for system in ("metric", "us"):
            given = exercise.draw(seed, system)
            figures = re.findall(r"\d[\d,.]*\d", given.words)
            assert all(figure in _words(lesson, seed, system) for figure in figures)
    if lesson_of(lesson).exercises:
        assert _words(lesson, 1) != _words(lesson, 2)


@pytest.mark.parametrize("lesson", ROOMS)
def test_no_answer_is_on_it(lesson):
    text = _words(lesson)
    for tag in ("keypoints", "instructor", "to-the-sheet"):
        for cell in _cells(lesson, tag, False):
            for sentence in re.split(r"(?<=[.:;])\s+|\n", cell.source):
                assert len(_bare(sentence)) < 30 or _bare(sentence) not in text, sentence
    for asked in predictions_of(lesson):
        assert not [option.said for option in asked.options if option.said in text]
    for exercise in lesson_of(lesson).exercises:
        given = exercise.draw(1, "metric")
        assert _bare(given.way) not in text
        for question in given.questions:
            assert not any(trap in text for trap in question.traps)
            if question.kind in KINDS:
                assert show(question.right, question.kind) not in given.words


def test_nothing_outside_it_is_needed():
    for lesson in LESSONS:
        source = handout_html(lesson)
        assert not re.search(r"https?://|<script|<link|<img|src=|url\(|@import|¶|&#182;", source), lesson


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
        ("code", "predict", "lesson.predict(1)"),
        ("markdown", "predict", "Left over."),
    )
    asked = Prediction("20.predict-1", "p", "Is 1 < 2 & 3?", (Option("<b>", "x", True), Option("b", "y")))
    monkeypatch.setattr(handouts, "predictions_of", lambda lesson: (asked,))
    source = handout_html("20_own")
    assert (
        "<script" not in source
        and "javascript:" not in source.lower()
        and "Is 1 &lt; 2 &amp; 3?" in source
        and "<li>&lt;b&gt;</li>" in source
        and "<title>A &quot;&lt;b&gt;&quot; \\ title</title>" in source
    )
    assert 'content:"A b  title · 20_own · seed 1 · metric"' in source and source.count("Left over.") == 1


@pytest.mark.parametrize("cell", ["lesson.predict(9)", "lesson.exercise(0)", 'lesson.exercise("first")'])
def test_a_prediction_or_exercise_that_is_not_there_is_named(tmp_path, monkeypatch, cell):
    _lesson(tmp_path, monkeypatch, ("markdown", "title", "# T"), ("code", "predict", cell))
    (tmp_path / "20_own.ipynb").rename(tmp_path / "01_weight_ratings.ipynb")
    with pytest.raises(InputError, match=r"01_weight_ratings\.ipynb, cell 2: found (prediction|exercise) "):
        handout_html("01_weight_ratings")


def test_what_somebody_typed_into_a_cell_does_not_stop_it(tmp_path, monkeypatch):
    _lesson(tmp_path, monkeypatch, ("markdown", "title", "# T"), ("code", "panel", "lesson.panel('oh"))
    assert "Panel 1" not in handout_html("20_own")


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
@pytest.mark.usefixtures("one_chromium")
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
@pytest.mark.usefixtures("one_chromium")
def test_a_question_stays_with_its_room_to_write():
    with browser_page(794, 1123) as (page, _):
        page.set_content(handout_html("01_weight_ratings"))
        assert page.evaluate(
            "() => [...document.querySelectorAll('section')].every(e => getComputedStyle(e).breakInside ==="
            " 'avoid')"
        )
        held = page.evaluate("() => [...document.querySelectorAll('section')].map(e => e.innerText)")
        assert any(
            "Exercise 1" in text and "spare wheel of 35 kg" in text and "answer, in kg or lb" in text
            for text in held
        )
        assert any(text.startswith("What can still be added") and "Prediction 3." in text for text in held)
        assert page.evaluate(
            "() => [...document.querySelectorAll('.line')].every(e => e.getBoundingClientRect().height > 28)"
        )  # 7.5 mm at 96 dots an inch


def test_no_cell_is_run(monkeypatch):
    monkeypatch.setattr("builtins.exec", None)
    monkeypatch.setattr("builtins.eval", None)
    assert "Prediction 1." in handout_html("01_weight_ratings", 3)
