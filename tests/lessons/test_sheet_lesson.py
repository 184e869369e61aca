"""Lesson 11 and the first notebook: the panel against the plan, the page to read, the buttons."""

import html
import re

import pytest

from towlib import notebook
from towlib.lessons.declare import with_values
from towlib.lessons.index import lesson_of
from towlib.lessons.l00_start.first_guess import ADDED_KG, front_axle_seen
from towlib.lessons.l11_sheet import descent_panel, trip_sheet
from towlib.lessons.predictions import predictions_of
from towlib.limits.limit import NOT_KNOWN
from towlib.plan.trip import make_plan
from towlib.print.checklists import checklists
from towlib.print.report import limit_cells
from towlib.rig.facts import Facts, NotKnown
from towlib.road.route import load_route
from towlib.teaching import settings
from towlib.teaching.panel.rig_in_use import invented
from towlib.units import show

ROAD = load_route(descent_panel.ROAD)
COMFORTABLE, OVERLOADED = invented("demo_comfortable"), invented("demo_overloaded")


def _hottest(rig=OVERLOADED, **values):
    return descent_panel.descent(with_values(Facts(rig), values)).hottest_c


def test_a_hotter_day_and_a_heavier_vehicle_make_hotter_brakes():
    speed = {"conditions.descent_speed": 15 / 3.6}
    base = _hottest(**speed)
    assert _hottest(**speed, **{"towed_vehicle.mass": 2200.0}) > base + 10
    assert _hottest(**speed, **{"conditions.air_temperature": 45.0}) > base


@pytest.mark.parametrize("rig", [COMFORTABLE, OVERLOADED], ids=["comfortable", "overloaded"])
def test_the_panel_drives_as_the_plan_does(rig):
    plan = make_plan(rig, ROAD)
    out = next(leg for leg in plan.legs if leg.way == "out")
    found = descent_panel.descent(Facts(rig))
    assert found.hottest_c == pytest.approx(out.highest_brake_c(0))
    limit = next(limit for limit in plan.limits if limit.key == "front_brakes")
    assert found.highest_c == limit.capacity


@pytest.mark.parametrize("rig", [COMFORTABLE, OVERLOADED], ids=["comfortable", "overloaded"])
def test_slower_is_not_always_cooler_as_the_prediction_says(rig):
    slow, middle = (_hottest(rig, **{"conditions.descent_speed": km_h / 3.6}) for km_h in (15, 45))
    assert slow > middle + descent_panel.COOLER_K
    assert "Slower it rises again" in descent_panel.descent_seen(Facts(rig), "us")


def test_brakes_that_nobody_weighed_have_no_temperature():
    brakes = OVERLOADED.tow_vehicle.brakes.model_copy(update={"front_heated_mass": None})
    bare = OVERLOADED.model_copy(
        update={"tow_vehicle": OVERLOADED.tow_vehicle.model_copy(update={"brakes": brakes})}
    )
    with pytest.raises(NotKnown, match="front_heated_mass"):
        descent_panel.descent(Facts(bare))


def _words(page):
    return " ".join(html.unescape(re.sub("<[^>]+>", " ", page)).split())


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("rig", [COMFORTABLE, OVERLOADED], ids=["comfortable", "overloaded"])
def test_the_page_tells_the_whole_plan(rig, system):
    plan, page = make_plan(rig, ROAD), trip_sheet.plan_page(rig, ROAD, system)
    words = _words(page)
    assert plan.verdict in words and f"Governing: {plan.governing.title}" in words
    rows = [
        tuple(_words(cell) for cell in re.findall("<td>(.*?)</td>", row))
        for row in re.findall("<tr>(.*?)</tr>", page)
    ]
    for limit in plan.limits:
        cells = tuple(" ".join(cell.split()) for cell in limit_cells(limit, system))
        row = next(row for row in rows if row[:3] == cells[:3])
        assert row[3].startswith(cells[3])
        assert (limit.way == "back" and limit.answer != NOT_KNOWN) == row[3].endswith("(way back)")
    for each in checklists(plan, system):
        assert each.title in words and all(" ".join(item.split()) in words for item in each.items_)
    assert len([row for row in rows if len(row) == 11]) == sum(len(leg.rows) for leg in plan.legs)
    assert page.count("<details>") == page.count("</details>") >= 8


def test_what_a_reader_typed_is_text_on_the_page():
    rig = COMFORTABLE.model_copy(update={"name": "<script>alert(1)</script>"})
    page = trip_sheet.plan_page(rig, ROAD, "metric")
    assert "<script>" not in page and "&lt;script&gt;" in page


def test_the_buttons_and_the_texts_follow_what_is_chosen(tmp_path, monkeypatch):
    monkeypatch.setenv("TOWLIB_READER_FOLDER", str(tmp_path))
    text, button = notebook.whole_plan(), notebook.sheet_button()
    assert "choose 'my rig'" in _words(text.html_text) and "kg" in text.html_text
    settings.choose("units", "us")
    try:
        assert "lb" in text.html_text and "<td>1,410 kg" not in text.html_text
        button._fetch(None)
        assert "Written: my_trip_sheet.html" in button._text
        sheet = (tmp_path / "my_trip_sheet.html").read_text(encoding="utf-8")
        assert button.page == sheet
        assert show(COMFORTABLE.tow_vehicle.gvwr, "mass", "us") in _words(sheet)
        settings.choose("road", "long_mountain_crossing.csv")
        assert load_route(descent_panel.ROAD.with_name("long_mountain_crossing.csv")).name in _words(
            text.html_text
        )
        settings.choose("rig", "mine")
        assert "The invented rig, because yours cannot be used yet" in _words(text.html_text)
    finally:
        for name, value in settings.USUAL.items():
            settings.choose(name, value)


def test_missing_facts_and_progress_are_lists(tmp_path, monkeypatch):
    monkeypatch.setenv("TOWLIB_READER_FOLDER", str(tmp_path))
    missing = notebook.what_is_missing().html_text
    assert "Needed before anything else" in missing and missing.count("<li>") == 6 == missing.count("</li>")
    assert missing.count("<ul>") == 1 == missing.count("</ul>")
    here = notebook.where_you_are()
    assert "00_start_here: predictions written 0 of 1, exercises right 0 of 1" in _words(here.html_text)
    start = notebook.Notebook("00_start_here")
    start.predict(1).answer(predictions_of("00_start_here")[0].options[1].words)
    start.exercise(1).answer("1061 kg")  # set 1: 2,340 lb of 0.45359237 kg
    here.refresh()
    assert "00_start_here: predictions written 1 of 1, exercises right 1 of 1" in _words(here.html_text)


def test_the_first_guess_by_hand():
    # 3.61 m of wheelbase, the open tailgate 1.05 m behind the rear axle: 300 · 1.05 / 3.61 off the front axle
    said = front_axle_seen(Facts(COMFORTABLE), "metric")
    empty_front = 1310 - 13 * 1.27 / 3.61  # half a bar of 26 kg on the ball
    assert f"{empty_front - ADDED_KG * 1.05 / 3.61:,.0f} kg, less" in said
    assert f"({empty_front:,.0f} kg)" in said
    assert f"carries {ADDED_KG * (1 + 1.05 / 3.61):,.0f} kg more" in said
    for demo in (COMFORTABLE, OVERLOADED):
        numbers = [
            float(n.replace(",", ""))
            for n in re.findall(r"([\d,]+) kg", front_axle_seen(Facts(demo), "metric"))
        ]
        assert numbers[3] < numbers[4] and numbers[5] > ADDED_KG


def test_the_first_notebook_has_an_exercise_and_no_panel():
    start = lesson_of("00_start_here")
    assert not start.panels and len(start.exercises) == 1
    assert "1,061 kg" in start.exercises[0].draw(1, "metric").way
    assert {each.panel for each in predictions_of("00_start_here")} == {"axle_loads"}
