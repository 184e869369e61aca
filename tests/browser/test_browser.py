"""Real JupyterLab in headless Chromium: the notebooks run, a slider moves figure and sentence, the form keeps
what is typed.
"""

import os

import pytest

from tests import browser_helpers as browser

pytestmark = pytest.mark.skipif(
    browser.CHROMIUM is None, reason="no Chromium on this machine: install Debian's package 'chromium'"
)
START, WEIGHTS, SHEET = "00_start_here", "01_weight_ratings", "11_trip_sheet"
FORM = ".towlib-form:has-text('A rig file made elsewhere')"


@pytest.fixture(scope="module")
def opened(workbook):
    """Gives the page with a notebook that has run, and what went wrong in its console. The tests stand here
    by notebook, so that each is opened once.
    """
    address, reader = workbook
    for name in (WEIGHTS, SHEET):
        browser.add_bare_slider(reader / f"{name}.ipynb")
    shown = ""
    with browser.browser_page() as (page, errors):

        def give(name: str):
            nonlocal shown
            if name != shown:
                shown = ""
                errors.clear()
                browser.open_and_run_all(page, address(name))
                shown = name
            return page, errors

        yield give


def _nothing_is_wrong(page, errors) -> None:
    assert page.locator("[data-mime-type='application/vnd.jupyter.stderr']").count() == 0
    assert page.locator("text=Traceback").count() == 0
    assert browser.our_errors(errors) == []


def _moves_by_keys_and_by_mouse(page, panels: int, slider: str) -> None:
    assert page.locator(".towlib-panel").count() == panels
    moved = 0
    for number in range(panels):
        found = browser.panel(page, number)
        if found.locator(f".towlib-slider-{slider}").count() == 0:
            continue
        moved += 1
        before = browser.sentence(found), browser.picture_source(found)
        browser.press(page, found, slider, "PageDown", times=15)
        assert browser.sentence(found) != before[0] and browser.picture_source(found) != before[1]
        browser.press(page, found, slider, "PageUp", times=8)
        by_keys = browser.sentence(found)
        browser.drag(page, found, slider, -100, steps=12)
        assert browser.sentence(found) != by_keys
    assert moved


MEDIAN_MS, P95_MS = 70.0, 100.0  # from slider to screen, on a machine that does nothing else
# where others compute as well, the picture is held against a bare number that went the same way in turns with
# it, which took half as long with twelve programs for each core
MOST_ROUND_TRIPS = 3.0


def _is_quick(page, name: str, slider: str, start: str) -> None:
    found = browser.panel(page)
    browser.type_value(page, found, slider, start)
    others = os.getloadavg()[0]
    ours, bare = browser.measure_panel(page, found, slider)
    print(
        f"{name}: {ours.median_ms:.0f} ms median, {ours.p95_ms:.0f} ms at the 95th percentile; a bare number"
        f" {bare.median_ms:.0f} and {bare.p95_ms:.0f} ms; load {others:.1f}"
    )
    assert ours.median_ms <= max(MEDIAN_MS, MOST_ROUND_TRIPS * bare.median_ms)
    if others <= (os.cpu_count() or 1):
        assert ours.median_ms <= MEDIAN_MS and ours.p95_ms <= P95_MS


def test_start_here_runs_and_a_slider_moves_figure_and_sentence(opened):
    page, errors = opened(START)
    _moves_by_keys_and_by_mouse(page, 1, "carried-tow-mass")
    _nothing_is_wrong(page, errors)


def test_the_form_keeps_what_is_typed(workbook, opened):
    (_, reader), (page, errors) = workbook, opened(START)
    form = page.locator(FORM)
    form.scroll_into_view_if_needed()
    form.locator("button.towlib-fold:has-text('Tow vehicle: ')").first.click()
    entry = page.locator(".towlib-field-tow_vehicle-gvwr input")
    for typed, said in (("3190", "3,190 kg = 7,033 lb"), ("3190 lbf", "force, not mass")):
        entry.fill(typed)
        entry.press("Tab")
        page.wait_for_selector(f"{FORM} >> text={said}", timeout=10_000)
    assert 'gvwr = "3190 kg"' in (reader / "my_rig.toml").read_text(encoding="utf-8")
    assert "3190 lbf" in (reader / "my_rig_not_read.toml").read_text(encoding="utf-8")
    _nothing_is_wrong(page, errors)


def test_the_form_by_keyboard_with_drawing_and_a_rig_made_elsewhere(workbook, opened, tmp_path):
    (_, reader), (page, errors) = workbook, opened(START)
    (tmp_path / "friend.toml").write_text(
        '[hitch]\nball_rating = "2000 kg ± 1 %"\nreceiver_height = "high"\n', encoding="utf-8"
    )
    form = page.locator(FORM)
    fold = form.locator("button.towlib-fold:has-text('Receiver, ball mount')")
    fold.focus()
    page.keyboard.press("Space")
    drawing = form.locator("img.towlib-drawing[alt*='A: road to the middle of the receiver']")
    drawing.wait_for()
    assert drawing.evaluate("image => image.naturalWidth") > 500
    form.locator(".towlib-field-hitch-d_value_rating input").wait_for()  # the last of the section
    page.keyboard.press("Tab")
    for text in ("455", "", "5"):  # value, unit as it stands, plus or minus
        page.keyboard.type(text)
        page.keyboard.press("Tab")
    page.wait_for_selector(f"{FORM} :text('455 mm = 17.91 in')", timeout=10_000)
    fold.locator("text=1 of 11 answered").wait_for()
    assert 'receiver_height = "455 ± 5 mm"' in (reader / "my_rig.toml").read_text(encoding="utf-8")
    form.locator("button.towlib-fold").first.click()
    with page.expect_file_chooser() as chosen:
        form.locator("button:has-text('Choose a rig file')").click()
    chosen.value.set_files(tmp_path / "friend.toml")
    page.wait_for_selector(f"{FORM} button:has-text('(1)')")
    form.locator("button:has-text('Take over this rig')").click()
    page.wait_for_timeout(700)  # a second click at once counts as half of a double click
    form.locator("button:has-text('Yes, replace mine')").click()
    page.wait_for_selector(f"{FORM} :text('1 value taken from friend.toml')", timeout=10_000)
    assert (
        form.locator(".towlib-field-hitch-receiver_height input").input_value() == "high"
    )  # in the section that was open already
    assert form.locator(".towlib-field-hitch-ball_rating input").input_value() == "2000"
    assert "455 ± 5 mm" in (reader / "my_rig.toml.old").read_text(encoding="utf-8")
    assert browser.nameless_controls(form) == [] and browser.clipped_words(form) == []
    _nothing_is_wrong(page, errors)


def test_weight_ratings_run_and_a_slider_moves_figure_and_sentence(opened):
    page, errors = opened(WEIGHTS)
    _moves_by_keys_and_by_mouse(page, 3, "carried-tow-mass")
    _nothing_is_wrong(page, errors)


def test_units_reset_typing_and_settings(opened):
    page, errors = opened(WEIGHTS)
    found = browser.panel(page)

    def click(words: str) -> None:
        found.locator(f"button:text-is('{words}')").click()
        browser.settle(page, found)

    click("Reset")
    start = browser.sentence(found)
    assert " kg" in start
    click("US")
    assert " lb" in browser.sentence(found) and "[lb]" in found.inner_text()
    browser.type_value(page, found, "carried-tow-mass", "99999")
    assert "set to the nearer end" in found.inner_text()
    entry = found.locator(".towlib-entry-carried-tow-mass input")
    assert float(entry.input_value()) == pytest.approx(2205, abs=1)  # 1,000 kg in lb, NIST SP 811
    click("Settings")
    said = found.locator(".towlib-message").inner_text()
    assert said.startswith("Settings: ") and "People and cargo in front 1000 kg" in said
    click("Keep curve")
    assert "Kept in grey as 'kept 1'" in found.inner_text()
    click("Reset")
    click("metric")
    assert browser.sentence(found) == start
    _nothing_is_wrong(page, errors)


def test_weight_ratings_are_quick_from_slider_to_screen(opened):
    page, _ = opened(WEIGHTS)
    _is_quick(page, WEIGHTS, "carried-tow-mass", "500")


def test_trip_sheet_runs_and_a_slider_moves_figure_and_sentence(opened):
    page, errors = opened(SHEET)
    _moves_by_keys_and_by_mouse(page, 1, "conditions-descent_speed")
    _nothing_is_wrong(page, errors)


def test_trip_sheet_is_quick_from_slider_to_screen(opened):
    page, _ = opened(SHEET)
    _is_quick(page, SHEET, "conditions-descent_speed", "45")


def test_the_sheet_is_written_and_a_link_opens_it(workbook, opened):
    (_, reader), (page, errors) = workbook, opened(SHEET)
    link = page.locator("a.towlib-open")
    assert link.is_hidden()
    page.locator("button:text-is('Write the trip sheet')").click()
    link.wait_for(timeout=30_000)
    with page.context.expect_page() as new:
        link.click()
    sheet = new.value
    sheet.wait_for_load_state()
    assert sheet.locator("h1").inner_text().startswith("Trip sheet")
    assert f"<title>{sheet.title()}</title>" in (reader / "my_trip_sheet.html").read_text(encoding="utf-8")
    sheet.close()
    _nothing_is_wrong(page, errors)
