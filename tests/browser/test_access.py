"""Without a mouse, with a screen reader, at 200 % zoom, in the dark theme, without colours: real JupyterLab
in headless Chromium.
"""

import io
import itertools
import json
import re
from pathlib import Path

import nbformat
import numpy as np
import pytest
from jupyter_core.paths import jupyter_path
from PIL import Image

from tests import browser_helpers as browser
from towlib.draw.figures import Picture
from towlib.plan.trip import make_plan
from towlib.print.sheet import sheet_html
from towlib.rig.model import load_rig
from towlib.road.route import load_route
from towlib.teaching.form.measuring_sheet import measuring_sheet_html
from towlib.teaching.practice.handout_pages import handout_html

REPOSITORY = Path(__file__).parents[2]
# a panel of each of five lessons; together they have every kind of control
PANELS = (
    ("02_hitch_geometry", "on_bend"),
    ("05_brake_heat", "gear_speed_map"),
    ("08_lights_and_battery", "fault_finder"),
    ("09_driveline_and_steering", "what_turns"),
    ("11_trip_sheet", "descent"),
)
CELLS = (
    (
        "import setup_notebook\nfrom towlib import notebook\nfrom towlib.notebook import Notebook\n"
        "from towlib.teaching.form import reader_form\nfrom towlib.teaching.panel import panels"
    ),
    "notebook.controls()",
    "Notebook('01_weight_ratings').predict(1)",
    *(f"Notebook({lesson!r}).panel({name!r})" for lesson, name in PANELS),
    "Notebook('01_weight_ratings').seen('axle_loads')",
    "Notebook('01_weight_ratings').exercise(1)",
    "notebook.measuring_button()",
    "panels.confirmed_button('Clear it', 'Begin anew', lambda: 'Cleared.', sure='Yes, clear it')",
    "reader_form.rig_form()",
    "print('the last cell')",
)
FOLDED = "tow_bar-length"  # under 'More sliders' of the first panel
needs_chromium = pytest.mark.skipif(
    browser.CHROMIUM is None, reason="no Chromium on this machine: install Debian's package 'chromium'"
)


@pytest.fixture(scope="module")
def page(workbook):
    """One notebook with a guess, five panels, a button that asks twice and the form, in a JupyterLab with the
    workbook's settings.
    """
    notebook = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(cell) for cell in CELLS])
    notebook.metadata.kernelspec = {"name": "python3", "display_name": "Python 3", "language": "python"}
    for cell in notebook.cells:
        cell.metadata["jupyter"] = {"source_hidden": True}
    address, reader = workbook
    nbformat.write(notebook, reader / "controls.ipynb")
    with browser.browser_page() as (page, errors):
        browser.open_and_run_all(page, address("controls"))
        page.wait_for_selector(".jp-OutputArea-output :text('the last cell')")
        page.errors_so_far = errors
        yield page


def _roots(page):
    """The controls of 00, the guess, the panels, what should have been seen, the exercise, the button that
    writes a page, the button that asks twice and the form; folds opened by keyboard, two sections of the form
    among them, and the link to the page fetched.
    """
    outputs = page.locator(
        ".jp-OutputArea-output .jupyter-widgets-view > .jupyter-widgets, .jp-OutputArea-output >"
        " .jupyter-widgets"
    )
    for words, inside in (
        ("A rig file made elsewhere", ".towlib-form .widget-upload"),
        (re.compile(r"^Tow vehicle: \d"), ".towlib-field-tow_vehicle-gvwr input"),
        ("What you should have seen", ".towlib-form :text('ball')"),
        ("More sliders", f".towlib-slider-{FOLDED} .noUi-handle"),
    ):
        fold = page.locator("button.towlib-fold", has_text=words).locator("visible=true").first
        if "closed" in fold.get_attribute("title"):
            fold.focus()
            page.keyboard.press("Enter")
            page.locator(inside).first.wait_for()
    link = page.locator("a.towlib-open")
    if link.is_hidden():
        page.locator("button:text-is('Write the measuring sheet')").focus()
        page.keyboard.press("Enter")
        link.wait_for()
    return [outputs.nth(i) for i in range(outputs.count())]


def _cells(page):
    return page.evaluate(
        "() => [...document.querySelectorAll('.jp-Notebook .jp-Cell')].map((cell) =>"
        " cell.className.match(/jp-(Code|Markdown|Raw)Cell/)[1])"
    )


@needs_chromium
def test_tab_alone_reaches_every_control_in_reading_order_and_the_focus_is_seen(page):
    roots = _roots(page)
    assert len(roots) == len(CELLS) - 2
    for root in roots:
        root.scroll_into_view_if_needed()
        there = root.evaluate(
            f"(root) => [...root.querySelectorAll('{browser.CONTROLS}')].filter((part) =>"
            " part.checkVisibility() && !part.disabled && part.type !== 'file').length"
        )
        stops = browser.tab_through(page, root)
        assert [stop["number"] for stop in stops] == list(range(there)), (
            "a control is left out, or comes out of turn"
        )
        for before, after in itertools.pairwise(stops):
            assert after["y"] > before["y"] + 0.4 * after["height"] or after["x"] > before["x"], (
                before["words"],
                after["words"],
            )
        assert [stop["words"] for stop in stops if stop["edge"] < 2 or stop["contrast"] < 3] == []


@needs_chromium
def test_keys_work_the_controls_and_never_the_cells_around_them(page):
    before = _cells(page)
    choices = page.locator(".towlib-panel").nth(3)
    panel = browser.panel(page, 4)
    knob, box = (
        browser.handle_of(panel, "conditions-descent_speed"),
        panel.locator(".towlib-entry-conditions-descent_speed input"),
    )
    browser.type_value(page, panel, "conditions-descent_speed", "50")
    knob.focus()
    for key, moved in (("ArrowRight", 1), ("ArrowUp", 1), ("ArrowLeft", -1), ("PageDown", -1), ("PageUp", 1)):
        at = float(box.input_value())
        page.keyboard.press(key)
        page.wait_for_function("([box, at]) => Number(box.value) !== at", arg=[box.element_handle(), at])
        assert (float(box.input_value()) - at) * moved > 0, key
    box.focus()
    page.keyboard.press("Control+a")
    page.keyboard.type("44")
    page.keyboard.press("Enter")
    browser.settle(page, panel)
    assert knob.get_attribute("aria-valuetext").startswith("44") and "44" in box.input_value()
    chosen = choices.locator("select").first
    chosen.focus()
    at = chosen.evaluate("(part) => part.selectedIndex")
    page.keyboard.press("ArrowDown")  # JupyterLab's own settings would go to the next cell instead
    assert chosen.evaluate("(part) => part === document.activeElement && part.selectedIndex") == at + 1
    switch = choices.locator("input[type=checkbox]").first
    switch.focus()
    was = switch.is_checked()
    page.keyboard.press("Space")
    assert switch.is_checked() != was
    browser.settle(page, choices)
    for words, key in (("US", "Enter"), ("metric", "Space")):
        choices.locator(f".widget-toggle-buttons button:has-text('{words}')").focus()
        page.keyboard.press(key)
        page.wait_for_function(  # in all panels
            "([panel, unit]) => panel.innerText.includes(unit)",
            arg=[panel.element_handle(), {"US": "[mph]", "metric": "[km/h]"}[words]],
        )
    panel.locator("button:text-is('Settings')").focus()
    page.keyboard.press("Enter")
    page.wait_for_function("(panel) => panel.innerText.includes('Settings: ')", arg=panel.element_handle())
    option = page.locator(".towlib-ask input[type=radio]").nth(1)
    option.focus()
    page.keyboard.press("Space")
    assert option.is_checked()
    # each is a command to JupyterLab, most of them on the cell; 'dd' deletes it and 'm' makes it text
    letters = "dd0iixmryabcvz"
    for control in (
        knob,
        chosen,
        switch,
        page.locator("a.towlib-open"),
        panel.locator("button:has-text('Reset')"),
        page.locator("button.towlib-fold").locator("visible=true").first,
        box,
        option,
        page.locator(".towlib-form input[type=text]").nth(2),
    ):
        control.focus()
        for letter in letters:
            page.keyboard.press(letter)
        assert control.evaluate("(part) => part === document.activeElement")
    assert _cells(page) == before and page.locator(".jp-Dialog").count() == 0
    assert page.errors_so_far == []


@needs_chromium
def test_guess_form_and_the_button_that_asks_twice_by_keyboard(page):
    _roots(page)
    before = _cells(page)
    ask = page.locator(".towlib-ask", has=page.locator("textarea"))
    ask.locator("input[type=radio]").last.focus()
    page.keyboard.press("Space")
    page.keyboard.press("Tab")
    page.keyboard.type("Less, because dd.")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.wait_for_selector("text=Kept. Now move the sliders.")
    clear = page.locator("button:has-text('Clear it')")
    clear.focus()
    page.keyboard.press("Enter")
    page.wait_for_selector("button:has-text('Yes, clear it')")
    page.wait_for_timeout(600)  # longer than a double click
    page.keyboard.press("Enter")
    page.wait_for_selector("[role=status]:text('Cleared.')")
    weight = page.locator(".towlib-field-tow_vehicle-gvwr input")
    unit = page.locator(".towlib-field-tow_vehicle-gvwr").locator("xpath=following-sibling::*[1]//select")
    weight.focus()
    page.keyboard.type("7,000")
    page.keyboard.press("Tab")
    assert unit.evaluate("(part) => part === document.activeElement")
    page.keyboard.type("l")  # a list takes the first unit with this letter
    page.wait_for_function("(part) => part.selectedOptions[0].text === 'lb'", arg=unit.element_handle())
    page.wait_for_selector(".towlib-form :text('3,175 kg = 7,000 lb')")
    assert _cells(page) == before and page.errors_so_far == []


@needs_chromium
def test_a_screen_reader_is_told_what_every_control_is(page):
    roots, nameless = _roots(page), []
    for root in roots:
        heard = browser.spoken(page, root)
        there = root.evaluate(
            f"(root) => [...root.querySelectorAll('{browser.CONTROLS}')].filter((part) =>"
            " part.checkVisibility()).length"
        )
        assert len([part for part in heard if part["role"] not in ("image", "status")]) == there
        for now, after in zip(heard, [*heard[1:], {}], strict=True):
            # ipywidgets gives the knob no name: the typed box just behind it has the name, the unit and the
            # value, the knob its nearest stop
            if now["role"] == "slider":
                assert (
                    after["role"] == "spinbutton"
                    and after["name"].startswith("Type a value: ")
                    and float(after["value"]) == pytest.approx(float(now["value"]), rel=0.02, abs=0.51)
                )
            # an icon is a letter that no voice can speak
            elif now["role"] != "status" and not re.sub(r"[\ue000-\uf8ff\s]", "", now["name"]):
                nameless.append(now)
    assert nameless == []
    assert {"Play", "Stop"} <= {part["name"] for part in browser.spoken(page, page.locator(".towlib-play"))}
    panel = browser.spoken(page, page.locator(".towlib-panel").nth(4))
    by_role = {
        role: [part["name"] for part in panel if part["role"] == role]
        for role in ("spinbutton", "image", "status", "button", "combobox", "checkbox")
    }
    assert [name for name in by_role["spinbutton"] if name.endswith("[km/h]")], by_role["spinbutton"]
    assert (
        by_role["image"] == [browser.sentence(page.locator(".towlib-panel").nth(4))]
        and len(by_role["status"]) >= 1
    )
    assert (
        "chosen: metric" in by_role["button"] and "US" in by_role["button"]
    )  # which one is pressed is said, not only shaded
    asked = browser.spoken(page, roots[1])
    (question,) = [part["name"] for part in asked if part["role"] == "textbox"]
    assert question.startswith("In your own words: A trailer of this weight")
    assert "About half of the bar's own weight" in [part["name"] for part in asked if part["role"] == "radio"]
    weight = page.locator(".towlib-field-tow_vehicle-gvwr")
    assert "GVWR" in browser.spoken(page, weight)[0]["name"]


@needs_chromium
@pytest.mark.parametrize("theme", ["JupyterLab Dark", "JupyterLab Light"])
def test_words_stand_out_in_both_themes(page, theme):
    page.click(".lm-MenuBar-itemLabel:text-is('Settings')")
    page.hover(".lm-Menu-itemLabel:text-is('Theme')")
    page.click(f".lm-Menu-itemLabel:text-is('{theme}')")
    page.wait_for_function(
        "(light) => document.body.dataset.jpThemeLight === light",
        arg=str(theme == "JupyterLab Light").lower(),
    )
    page.wait_for_timeout(500)
    assert [faint for root in _roots(page) for faint in browser.faint_words(root)] == []
    assert [
        stop["words"]
        for stop in browser.tab_through(page, page.locator(".towlib-panel").nth(4))
        if stop["edge"] < 2 or stop["contrast"] < 3
    ] == []


@needs_chromium
@pytest.mark.parametrize("width", [700, 640])
def test_at_200_per_cent_zoom_nothing_is_cut_off_or_overlaps(page, width):
    page.set_viewport_size({"width": width, "height": 500})  # what 200 % leaves of a screen of 1400 by 1000
    try:
        for root in _roots(page):
            root.scroll_into_view_if_needed()
            assert browser.clipped_words(root) == [] and browser.overlapping(root) == []
            assert root.evaluate("(root) => root.scrollWidth <= root.clientWidth")
        panel = page.locator(".towlib-panel").nth(4)
        picture = "const picture = panel.querySelector('img.towlib-picture');"
        # the picture of a narrow screen, with one and a half times the pixels
        page.wait_for_function(
            f"(panel) => {{ {picture} return picture.naturalWidth < 1000; }}", arg=panel.element_handle()
        )
        # pixels of a letter's height; 11 points are 15.3 pixels of a picture's own, and the zoom doubles them
        letters = (
            f"(panel) => {{ {picture} return 1.5 * 15.3 * picture.clientWidth / picture.naturalWidth; }}"
        )
        assert panel.evaluate(letters) >= 11
    finally:
        page.set_viewport_size({"width": 1400, "height": 1000})


@needs_chromium
def test_sheet_measuring_sheet_and_handout_at_200_per_cent(page):
    plan = make_plan(
        load_rig(REPOSITORY / "data/rigs/demo_overloaded.toml"),
        load_route(REPOSITORY / "data/routes/long_mountain_crossing.csv"),
    )
    paper = page.context.browser.new_page()
    for document in (sheet_html(plan), measuring_sheet_html(), handout_html("02_hitch_geometry")):
        paper.set_content(document)
        for width in (700, 640):
            paper.set_viewport_size({"width": width, "height": 500})
            assert paper.evaluate("() => document.documentElement.scrollWidth") <= width
            cells = (
                "() => [...document.querySelectorAll('td, th, p, li, h1, h2')].filter((part) =>"
                " part.scrollWidth > part.clientWidth + 2 && part.clientWidth).map((part) => part.innerText)"
            )
            assert paper.evaluate(cells) == []
        body = paper.locator("body")
        assert browser.faint_words(body) == []
        assert (
            paper.evaluate(
                "() => [...document.querySelectorAll('svg, img')].filter((part) =>"
                " !part.closest('[role=img][aria-label], img[alt]')).length"
            )
            == 0
        )
    paper.close()


def _grey(colour):
    """Relative luminance by WCAG 2.1."""
    linear = [v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in colour]
    return float(np.dot([0.2126, 0.7152, 0.0722], linear))


def test_what_turns_and_what_stands_differ_in_shade_without_any_colour():
    picture = Picture((4, 3))
    picture.frame(0, x=(0, 1), y=(0, 1), bare=True)
    picture.shape("part", 0, 0)
    picture.move("part", (0.2, 0.8, 0.8, 0.2), (0.2, 0.2, 0.8, 0.8))
    shades = []
    for style in (0, None):
        picture.paint("part", style)
        shades.append(_grey(np.asarray(Image.open(io.BytesIO(picture.png())).convert("RGB"))[150, 200] / 255))
    assert (max(shades) + 0.05) / (
        min(shades) + 0.05
    ) >= 2.5  # a step that lies between shades of neighbouring parts, named in the title


def test_every_command_of_one_key_is_kept_off_the_controls():
    # JupyterLab's own list, as installed: a new version may bring keys that the workbook's settings do not
    # know yet
    schemas = next(folder for folder in map(Path, jupyter_path("lab", "schemas")) if folder.is_dir())
    held = json.loads((REPOSITORY / "data" / "jupyterlab" / "overrides.json").read_text(encoding="utf-8"))[
        "@jupyterlab/shortcuts-extension:shortcuts"
    ]["shortcuts"]
    off = {(row["command"], *row["keys"], row["selector"]) for row in held if row.get("disabled")}
    on = {(row["command"], *row["keys"], row["selector"]) for row in held if not row.get("disabled")}
    behind = ":not(.jupyter-widgets):not(.jupyter-widgets *)"
    assert on == {
        (*row[:-1], row[-1] + behind) for row in off
    }  # each still works where no control has the focus
    for schema in schemas.rglob("*.json"):
        for row in json.loads(schema.read_text(encoding="utf-8")).get("jupyter.lab.shortcuts", []):
            if (
                row["selector"].endswith((" :focus", " :focus:not(:read-write)"))
                and not any(word in key for key in row["keys"] for word in ("Ctrl", "Accel", "Alt", "Cmd"))
                and any(row["keys"])
            ):
                assert (row["command"], *row["keys"], row["selector"]) in off


def test_no_lesson_names_a_line_by_its_colour_alone():
    for notebook in sorted((REPOSITORY / "notebooks").glob("[0-9]*.ipynb")):
        for cell in nbformat.read(notebook, as_version=4).cells:
            for sentence in re.split(r"(?<=[.;:]) ", cell.source):
                if re.search(r"\b(blue|orange|pink|purple)\b", sentence):
                    assert re.search(r"dash|dotted|full|solid|hatched|square|circle|triangle", sentence), (
                        notebook.name,
                        sentence,
                    )
