"""The workshop plans name only what is there, their minutes add up, and they say what was walked through and
what was not.
"""

import re
from itertools import pairwise
from pathlib import Path

import pytest

from towlib.handouts import main
from towlib.lessons.index import FIRST, ROOMS
from towlib.lessons.predictions import predictions_of
from towlib.lessons.slider_rows import load_panel
from towlib.paths import NOTEBOOKS
from towlib.teaching.practice.lesson_cells import lesson_cells, shown_in

FOLDER = Path(__file__).parents[2] / "data" / "workshop"
PLANS = {"two_hours": 120, "one_day": 8 * 60}
_LESSON = re.compile(r"`(\d\d_\w+)`")


def _text(plan):
    return (FOLDER / f"{plan}.md").read_text(encoding="utf-8")


def _rows(plan):
    """The timetable: at, minutes, where, what, who does what, took."""
    table = _text(plan).partition("## Timetable")[2].partition("\n\n**Late?**")[0]
    rows = [
        [cell.strip() for cell in line.strip().strip("|").split("|")]
        for line in table.splitlines()
        if re.match(r"\| \d", line)
    ]
    assert all(len(row) == 6 for row in rows)
    return rows


def _titles(lesson):
    """Titles of the panels that a notebook shows; 00 shows one of lesson 01."""
    cells = [cell for cell in lesson_cells(NOTEBOOKS / f"{lesson}.ipynb") if cell.is_code]
    shown = [each for cell in cells for each in shown_in(cell) if each.what == "panel"]
    return [load_panel(each.lesson or lesson, each.which).title for each in shown]


def _asked(cells):
    """The predictions that a notebook asks, by number."""
    return [each for cell in cells if cell.is_code for each in shown_in(cell) if each.what == "predict"]


def _headings(lesson):
    words = "\n".join(cell.source for cell in lesson_cells(NOTEBOOKS / f"{lesson}.ipynb") if not cell.is_code)
    return re.findall(r"(?m)^#+ (.+)$", words)


def _named(text):
    """(kind, words, lesson) of every panel and heading named, with the lesson named last before it."""
    lesson = None
    for found in re.finditer(r'`(?P<lesson>\d\d_\w+)`|(?P<kind>panel|heading) "(?P<words>[^"]+)"', text):
        lesson = found["lesson"] or lesson
        if found["kind"]:
            yield found["kind"], found["words"], lesson


def test_both_plans_are_there():
    assert {path.stem for path in FOLDER.glob("*.md")} == {*PLANS, "many_readers"}


@pytest.mark.parametrize("plan", PLANS)
def test_minutes_add_up_and_follow_the_clock(plan):
    rows = _rows(plan)
    clock = [60 * int(row[0].split(":")[0]) + int(row[0].split(":")[1]) for row in rows]
    minutes = [int(row[1]) for row in rows]
    assert sum(minutes) == PLANS[plan] and clock[-1] + minutes[-1] - clock[0] == PLANS[plan]
    assert [later - earlier for earlier, later in pairwise(clock)] == minutes[:-1]
    since_break = 0
    for row, length in zip(rows, minutes, strict=False):
        since_break = 0 if row[3].startswith(("Break", "Lunch")) else since_break + length
        assert since_break <= 135, "nobody sits that long"
        parts = [int(part) for part in re.findall(r"\((\d+)\)", row[3])]
        assert not parts or sum(parts) == length, f"{row[0]}: parts make {sum(parts)} minutes of {length}"


@pytest.mark.parametrize("plan", PLANS)
def test_every_lesson_panel_and_heading_is_there(plan):
    text = _text(plan)
    lessons = set(_LESSON.findall(text))
    assert lessons and all((NOTEBOOKS / f"{lesson}.ipynb").is_file() for lesson in lessons)
    in_table = {"panel": set(), "heading": set()}
    for row in _rows(plan):
        for kind, words, lesson in _named(row[2]):
            assert words in (_titles(lesson) if kind == "panel" else _headings(lesson)), (
                f"{row[0]}: no {kind} {words!r} in {lesson}"
            )
            in_table[kind].add(words)
    assert len(in_table["panel"]) >= 4 and len(in_table["heading"]) >= 4
    for kind, words, lesson in _named(text.partition("## Timetable")[0]):
        assert words in (_titles(lesson) if kind == "panel" else _headings(lesson)), words
    for kind, words, _ in _named(
        text.partition("**Late?**")[2]
    ):  # only what the timetable has can be left out of it
        assert words in in_table[kind], words


@pytest.mark.parametrize("plan", PLANS)
def test_predictions_and_exercises_named_by_number_are_there(plan):
    for row in _rows(plan):
        for lesson in _LESSON.findall(row[2])[-1:]:
            cells = lesson_cells(NOTEBOOKS / f"{lesson}.ipynb")
            asked = {each.which: predictions_of(lesson)[each.which - 1] for each in _asked(cells)}
            panels = {words for kind, words, _ in _named(row[2]) if kind == "panel"}
            for number in map(int, re.findall(r"[Pp]rediction (\d)", row[3])):
                assert number in asked, f"{row[0]}: {lesson} has no prediction {number}"
                title = load_panel(lesson, asked[number].panel).title
                assert title in panels, f"{row[0]}: prediction {number} is answered by {title!r}"
            for number in re.findall(r"[Ee]xercise (\d)", row[3]):
                assert f"Exercise {number}" in "\n".join(cell.source for cell in cells)


@pytest.mark.parametrize("plan", PLANS)
def test_each_row_has_somebody_who_does_something(plan):
    for row in _rows(plan):
        assert row[3] and len(row[4]) > 20 and row[5] == ""


@pytest.mark.parametrize("plan", PLANS)
def test_it_says_what_was_and_was_not_tried(plan):
    text = " ".join(_text(plan).split())
    for words in (
        "The minutes are a plan, not a measurement",
        "Nobody has held this workshop with a group yet",
        "a script opened the notebooks in JupyterLab",
        "common practice, no source",
    ):
        assert words in text
    assert not re.search(r"\bsafe(ly)?\b", text, re.IGNORECASE)


@pytest.mark.parametrize("plan", PLANS)
def test_cautions_come_with_everything_done_outdoors(plan):
    text = _text(plan)
    cautions = text.partition("## Cautions outdoors")[2]
    for words in (
        "chocks",
        "between two vehicles",
        "under a vehicle",
        "jacked",
        "coupled, started or moved",
        "hot brakes",
        "lift",
    ):
        assert words in cautions, words
    outdoors = [row for row in _rows(plan) if row[2].startswith("outdoors")]
    assert outdoors and all("chocks before anybody kneels" in row[4] for row in outdoors)
    assert all(
        word in text.partition("## Materials")[2].partition("## Timetable")[0]
        for word in ("measuring sheet", "handouts", "chocks", "tapes", "scale", "first-aid")
    )
    assert "local law" in text and "insurance" in text


@pytest.mark.parametrize("plan", PLANS)
def test_its_command_for_the_handouts_works(plan, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    command = re.search(r"`python -m towlib\.handouts ([^`]+)`", _text(plan))[1]
    assert main(command.split()) == 0
    written = {path.stem.removeprefix("handout_") for path in (tmp_path / "handouts").iterdir()}
    asked = set(_LESSON.findall(_text(plan).partition("## Materials")[2].partition("## Timetable")[0]))
    assert asked <= written and (asked or len(written) == len(FIRST) + len(ROOMS))
