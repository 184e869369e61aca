"""A whole lesson without touching code: real JupyterLab with the workbook's settings, mouse and keyboard; no
editor and no solution in sight at any time.
"""

import re
import tomllib

import pytest
from playwright.sync_api import expect

from tests import browser_helpers as browser
from towlib.lessons.index import lesson_of, panel_of
from towlib.lessons.predictions import predictions_of
from towlib.rig.facts import Facts
from towlib.rig.model import load_rig
from towlib.teaching.panel.rig_in_use import invented
from towlib.units import from_si

pytestmark = pytest.mark.skipif(
    browser.CHROMIUM is None, reason="no Chromium on this machine: install Debian's package 'chromium'"
)
LESSON, NEXT = "01_weight_ratings", "02_hitch_geometry"
FIRST, SECOND, THIRD = "axle_loads", "weighings", "room_left"  # the panels, as they stand in the notebook
# words of the way to each answer, the same with all numbers
SOLUTIONS = ("more than the wheel weighs, and the front", "divide the room by that")
WATCH = """window.towlibSeen = [];
window.towlibHidden = %s;
setInterval(() => {
    for (const editor of document.querySelectorAll('.jp-InputArea-editor'))
        if (editor.checkVisibility() && editor.innerText.trim()) towlibSeen.push(editor.innerText);
    for (const part of document.querySelectorAll('.towlib-ask, .towlib-form, .jp-RenderedMarkdown'))
        towlibSeen.push(...towlibHidden.filter((words) => part.textContent.includes(words)));
}, 200);"""
NEEDED = {  # typed where the panel asks for it: value, unit picked from the list ('' for the one that stands)
    "tow_vehicle.front_axle_empty": ("2,880", ""),
    "tow_vehicle.rear_axle_empty": ("995", "kg"),
    "tow_vehicle.wheelbase": ("12.1 ft", ""),
    "towed_vehicle.front_axle_empty": ("1640", "lb"),
    "towed_vehicle.rear_axle_empty": ("1500 lb", ""),
    "towed_vehicle.wheelbase": ("2.36", "m"),
}
ASKED = {  # asked for after those, one when another is known
    "tow_vehicle.ball_behind_rear_axle": "1.28 m",
    "hitch.receiver_height": "19 in",
    "hitch.ball_mount_change": "2 in",
    "tow_bar.length": "1.4 m",
    "towed_vehicle.bracket_height": "21 in",
    "tow_vehicle.front_spring_rate": "95 kN/m",
    "tow_vehicle.rear_spring_rate": "84 kN/m",
    "towed_vehicle.bracket_ahead_of_front_axle": "470 mm",
}


def test_a_lesson_is_done_without_a_line_of_code(workbook):
    address, reader = workbook
    with browser.browser_page() as (page, errors):
        page.add_init_script(WATCH % list(SOLUTIONS))
        browser.open_and_run_all(page, address(LESSON))
        _predictions_open_what_should_have_been_seen(page, reader)
        _a_slider_of_each_panel_moves(page)
        _us_units_in_one_panel_are_us_units_everywhere(page, reader)
        _my_rig_asks_for_what_it_lacks(page, reader)
        _exercises_say_why_and_show_the_way_on_request(page, reader)
        _nothing_hidden_was_seen(page)
        page.locator(f"a[href*='{NEXT}.ipynb']").last.click()
        page.wait_for_url(f"**/{NEXT}.ipynb*")
        browser.run_all(page)
        _a_slider_goes_into_the_rig_and_back(page, reader)
        _nothing_hidden_was_seen(page)
        assert page.locator("text=Traceback").count() == 0
        assert page.locator("[data-mime-type='application/vnd.jupyter.stderr']").count() == 0
        assert browser.our_errors(errors) == []


def _nothing_hidden_was_seen(page) -> None:
    assert page.evaluate("towlibSeen") == []


def _panel(page, number: int):
    return page.locator(".towlib-panel").locator("visible=true").nth(number)


def _box_of(page, words: str):
    """The box of a prediction or an exercise, by words of it."""
    return page.locator(".towlib-ask", has_text=words)


def _fold(page, number: int):
    """The fold behind a panel: its button, and what it holds."""
    fold = page.locator("button.towlib-fold:has-text('What you should have seen')").nth(number)
    return fold, fold.locator("xpath=..")


def _tab_to(page, tag: str) -> None:
    """Tab to the next control of a kind."""
    for _ in range(8):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.tagName") == tag:
            return
    raise AssertionError(f"no {tag} is reached")


def _answers(reader) -> dict:
    return tomllib.loads((reader / "my_answers.toml").read_text(encoding="utf-8"))


def _predictions_open_what_should_have_been_seen(page, reader) -> None:
    predictions = predictions_of(LESSON)
    assert [asked.panel for asked in predictions] == [FIRST, SECOND, THIRD]
    rig = Facts(invented("demo_comfortable"))
    for number, asked in enumerate(predictions):
        box, (fold, held) = _box_of(page, asked.question), _fold(page, number)
        keep = box.locator("button:text-is('Keep my guess')")
        expect(fold).to_have_attribute("title", re.compile("^closed"))
        if number == 0:  # nothing chosen yet, by mouse
            keep.click()
            expect(box).to_contain_text("Choose one first")
            expect(fold).to_have_attribute("title", re.compile("^closed"))
        right = number != 2
        option = next(each for each in asked.options if each.right == right)
        if number == 1:  # by keyboard alone
            box.locator("input[type=radio]").first.focus()
            for _ in range(asked.options.index(option)):
                page.keyboard.press("Tab")
            page.keyboard.press("Space")
            _tab_to(page, "TEXTAREA")
            page.keyboard.type("Half a step each.")
            _tab_to(page, "BUTTON")
            page.keyboard.press("Enter")
        else:
            box.locator("label", has_text=option.words).last.click()
            keep.click()
        expect(box).to_contain_text("Kept. Now move the sliders.")
        expect(fold).to_have_attribute("title", re.compile("^open"))
        for words in (option.words, "Right." if right else "Not so.", option.said):
            expect(held).to_contain_text(words)
        seen = panel_of(LESSON, asked.panel).seen(rig, "metric")
        expect(held).to_contain_text(re.sub(r"[*_]", "", seen.partition("\n")[0]))
        assert _answers(reader)[asked.key].startswith(option.words)
    assert _answers(reader)[predictions[1].key].endswith(" | Half a step each.")


def _a_slider_of_each_panel_moves(page) -> None:
    for number, slider in enumerate(("carried-tow-mass", "division_kg", "added_behind_front_axle_m")):
        found = browser.panel(page, number)
        before = browser.sentence(found), browser.picture_source(found)
        if number == 0:
            browser.drag(page, found, slider, 60)
        elif number == 1:
            browser.type_value(page, found, slider, "5")
        else:
            browser.press(page, found, slider, "ArrowLeft", times=15)
        assert browser.sentence(found) != before[0] and browser.picture_source(found) != before[1], slider


def _us_units_in_one_panel_are_us_units_everywhere(page, reader) -> None:
    before = browser.sentence(_panel(page, 0))
    _panel(page, 1).locator("button:text-is('US')").click()
    for number in range(3):
        panel = _panel(page, number)
        expect(panel.locator("button:text-is('US')")).to_have_class(re.compile("mod-active"))
        expect(panel.locator(".towlib-sentence")).to_contain_text(" lb")
        expect(panel.locator(".towlib-sentence")).not_to_contain_text(" kg")
        expect(panel.locator(".towlib-controls")).to_contain_text("[lb]")
        expect(panel.locator(".towlib-controls")).not_to_contain_text("[kg]")
        held = _fold(page, number)[1]
        expect(held).not_to_contain_text(re.compile(r"\d kg"))
    table = page.locator(".towlib-ask table")
    expect(table).to_contain_text(" lb")
    expect(table).not_to_contain_text(" kg")
    for words in ("A spare wheel of", "A pickup of wheelbase"):
        expect(_box_of(page, words)).to_contain_text(" lb")
    # the slider that was dragged stays where it is: the same share of the same rating
    kg, lb = (
        float(re.search(r"with ([\d,]+)", words)[1].replace(",", ""))
        for words in (before, browser.sentence(_panel(page, 0)))
    )
    assert lb == pytest.approx(from_si(kg, "mass", "us"), abs=1.5)
    assert 'units = "us"' in (reader / "my_settings.toml").read_text(encoding="utf-8")


def _field(panel, path: str):
    return panel.locator(f".towlib-field-{path.replace('.', '-')} :is(input, select)")


def _answer_what_is_asked(page, panel, *paths: str) -> None:
    """Answer in the panel, each as soon as it is asked for, until it asks for nothing more."""
    for path in paths:
        _field(panel, path).focus(timeout=15_000)
        page.keyboard.type(ASKED[path])
        page.keyboard.press("Tab")
    expect(panel.locator(".towlib-form [class*=towlib-field-]")).to_have_count(0, timeout=15_000)


def _my_rig_asks_for_what_it_lacks(page, reader) -> None:
    panel, rig_file = _panel(page, 0), reader / "my_rig.toml"
    panel.locator("button:text-is('my rig')").click()
    said = panel.locator(".towlib-sentence")
    expect(said).to_contain_text("Not known")
    for words in ("front axle with full tank", "rear axle as it stands", "front hub to rear hub"):
        expect(said).to_contain_text(words)
    expect(_panel(page, 2).locator("button:text-is('my rig')")).to_have_class(re.compile("mod-active"))
    assert not rig_file.exists()
    for path, (typed, unit) in NEEDED.items():  # without waiting for the kernel, as a quick typist does
        _field(panel, path).focus()
        page.keyboard.type(typed)
        page.keyboard.press("Tab")
        if unit:
            if page.evaluate("document.activeElement.selectedOptions[0].text") != unit:
                page.keyboard.type(unit[0])
            page.keyboard.press("Tab")
    first, *_others = ASKED
    _answer_what_is_asked(page, panel, first)
    expect(said).to_contain_text("No rating is known")
    expect(panel.locator(".towlib-slider-carried-tow-mass .noUi-handle")).to_be_visible()
    kept = tomllib.loads(rig_file.read_text(encoding="utf-8"))
    for path, (typed, unit) in NEEDED.items():
        part, name = path.split(".")
        text = typed if " " in typed else f"{typed} {unit or 'lb'}"
        assert kept[part][name] == text, path
    assert 'rig = "mine"' in (reader / "my_settings.toml").read_text(encoding="utf-8")
    rig = load_rig(rig_file)
    # a pound is 0.45359237 kg: NIST SP 811
    assert rig.tow_vehicle.front_axle_empty == pytest.approx(2880 * 0.45359237)
    assert rig.tow_vehicle.rear_axle_empty == 995.0
    table = page.locator(".towlib-ask table")
    total = table.locator("tr", has_text="Tow vehicle, total (GVWR)")
    expect(total).to_contain_text("not known")  # 1,306 + 456 kg were weighed, but nobody said who rides
    expect(total).to_contain_text("who rides")


def _exercises_say_why_and_show_the_way_on_request(page, reader) -> None:
    for number, (exercise, start, solution) in enumerate(
        zip(
            lesson_of(LESSON).exercises, ("A spare wheel of", "A pickup of wheelbase"), SOLUTIONS, strict=True
        )
    ):
        box = _box_of(page, start)
        given = exercise.draw(1, "us")
        (question,) = given.questions
        entry, numbers = box.locator("input[type=text]"), box.locator("input[type=number]")
        reason, wrong = next(iter(question.traps.items()))
        for value, words in ((wrong, reason), (question.right, "Right: ")):
            typed = f"{from_si(value, 'mass', 'us'):.1f} lb"
            entry.fill(typed)
            box.locator("button:text-is('Check')").click()
            expect(box).to_contain_text(words)
            kept = _answers(reader)[f"01.exercise-{number + 1}"]
            assert kept["answer"] == typed and words in kept["said"]
        assert solution in given.way and solution not in box.text_content()
        box.locator("button:text-is('Other numbers')").focus()
        page.keyboard.press("Enter")
        expect(numbers).to_have_value("2")
        expect(entry).to_have_value("")
        expect(box).not_to_contain_text("Right: ")
        second = re.sub(r"[*]", "", exercise.draw(2, "us").words)
        expect(box).to_contain_text(second)
        _nothing_hidden_was_seen(page)
        page.evaluate(
            "(words) => { towlibHidden = towlibHidden.filter((other) => other !== words); }", solution
        )
        box.locator("button:text-is('Show the way')").click()
        expect(box).to_contain_text(solution)


def _a_slider_goes_into_the_rig_and_back(page, reader) -> None:
    panel = browser.panel(page, 0)  # both choices are found again in another notebook
    for words in ("US", "my rig"):
        expect(panel.locator(f"button:text-is('{words}')")).to_have_class(re.compile("mod-active"))
    keep, undo = (panel.locator(f"button:text-is('{words}')") for words in ("Keep in my rig", "Undo"))
    expect(keep).to_be_hidden()
    _first, *others = ASKED
    _answer_what_is_asked(page, panel, *others)

    def height() -> str:
        rig = tomllib.loads((reader / "my_rig.toml").read_text(encoding="utf-8"))
        return rig["hitch"]["receiver_height"]

    assert height() == "19 in" and undo.is_hidden()
    keep.click()
    expect(panel).to_contain_text("No slider of a field of your rig was moved")
    browser.press(page, panel, "hitch-receiver_height", "ArrowRight", times=4)
    moved = panel.locator(".towlib-entry-hitch-receiver_height input").input_value()
    assert float(moved) > 19
    keep.click()
    expect(panel).to_contain_text(f"{float(moved):g} in (was 19 in)")
    assert height() == f"{float(moved):g} in"
    undo.click()
    expect(panel).to_contain_text("The former values stand in my_rig.toml again.")
    assert height() == "19 in"
    expect(undo).to_be_hidden()
