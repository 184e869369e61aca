"""Every panel on three screens: a small laptop, a projector and a phone, in real JupyterLab and on the
reading page. Pictures beside their controls, nothing cut, nothing to scroll for.
"""

import nbformat
import pytest
from playwright.sync_api import expect

from tests import browser_helpers as browser
from towlib.lessons.index import all_panels

pytestmark = pytest.mark.skipif(
    browser.CHROMIUM is None, reason="no Chromium on this machine: install Debian's package 'chromium'"
)
PANELS = all_panels()
# the reading page loads all widgets of a page at once; no lesson has as many panels as stand here on one (of
# 24 it showed 20)
PAGES = {f"panels_{i}": PANELS[i : i + 12] for i in range(0, len(PANELS), 12)}
LETTER_PX = 11.0 / 72 * 100  # height of a letter of 11 points in a picture at 100 dots an inch
SETUP = """import sys
sys.path.append("notebooks")
import setup_notebook
from towlib.notebook import Notebook"""
# of every panel: its place and the places of what must be seen together, in pixels of the page
MEASURE = """() => [...document.querySelectorAll('.towlib-panel')].map(panel => {
    const box = part => {
        const r = part.getBoundingClientRect();
        return [r.left, r.top, r.right, r.bottom];
    };
    const all = names => [...panel.querySelectorAll(names)].filter(part => part.checkVisibility());
    const controls = all('.towlib-row, .towlib-buttons > button, .towlib-head button');
    const cut = all('.widget-html-content, button, label, select')
        .filter(part => part.innerText?.trim() && !part.closest('.towlib-named > .widget-label')
            && part.scrollWidth > part.clientWidth + 2)
        .map(part => part.innerText);
    const [image] = all('img.towlib-picture'), [sentence] = all('.towlib-sentence');
    return {panel: box(panel), image: box(image), natural: image.naturalWidth, sentence: box(sentence),
            controls: controls.map(box), moved: all('.towlib-moved').map(box), cut};
})"""
# in every panel move the last slider that is in sight; how many panels have one
MOVE = """() => {
    let moved = 0;
    for (const panel of document.querySelectorAll('.towlib-panel')) {
        const handles = [...panel.querySelectorAll('.noUi-handle')];
        const handle = handles.filter(part => part.checkVisibility()).at(-1);
        if (!handle) continue;
        const [low, now] = ['aria-valuemin', 'aria-valuenow'].map(name => Number(handle.getAttribute(name)));
        const key = now > low ? 'ArrowLeft' : 'ArrowRight';
        handle.dispatchEvent(new KeyboardEvent('keydown', {key, bubbles: true}));
        moved++;
    }
    return moved;
}"""


@pytest.fixture(scope="module")
def server(workbook):
    address, reader = workbook
    for name, keys in {"all_panels": PANELS, **PAGES}.items():
        cells = [SETUP, *(f"Notebook({lesson!r}).panel({panel!r})" for lesson, panel in keys)]
        notebook = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(cell) for cell in cells])
        notebook.metadata.kernelspec = {"name": "python3", "display_name": "Python 3", "language": "python"}
        for cell in notebook.cells:
            cell.metadata["jupyter"] = {"source_hidden": True}
        nbformat.write(notebook, reader / f"{name}.ipynb")
    return address


def _measured(page, keys=PANELS):
    """Places of what is in each panel, once its picture is there."""
    page.wait_for_function(
        "() => [...document.querySelectorAll('img.towlib-picture')].every(image => image.naturalWidth)"
    )
    return zip(keys, page.evaluate(MEASURE), strict=True)


def _room(page):
    """What of the notebook is in sight, from top to bottom."""
    return page.locator(".jp-WindowedPanel-outer").first.evaluate(
        "part => [part.getBoundingClientRect().top, part.getBoundingClientRect().bottom]"
    )


def test_on_a_small_laptop_every_panel_is_seen_whole_and_on_a_projector_what_is_moved(server):
    with browser.browser_page(1366, 768) as (page, errors):
        browser.open_and_run_all(page, server("all_panels"))
        assert page.locator(".towlib-panel").count() == len(PANELS)
        top, bottom = _room(page)
        faults = []
        for key, found in _measured(page):
            left, up, right, down = found["panel"]
            if down - up > bottom - top:
                faults.append(f"{key}: {down - up:.0f} px high, {bottom - top:.0f} in sight")
            inside = [found["image"], found["sentence"], *found["controls"]]
            if any(b[0] < left - 2 or b[2] > right + 2 or b[1] < up - 2 or b[3] > down + 2 for b in inside):
                faults.append(f"{key}: something stands outside the panel")
            if not all(
                b[2] <= found["image"][0] + 2 or b[3] <= found["image"][1] + 2 for b in found["controls"]
            ):
                faults.append(f"{key}: a control stands over the picture")
            if found["cut"]:
                faults.append(f"{key}: cut {found['cut']}")
        assert faults == []
        page.set_viewport_size({"width": 1280, "height": 720})
        page.evaluate("document.querySelectorAll('.towlib-projector').forEach(button => button.click())")
        large = page.locator(".towlib-panel.towlib-large")
        expect(large).to_have_count(len(PANELS), timeout=60_000)
        browser.settle(page, browser.panel(page, len(PANELS) - 1))
        moved = page.locator(".towlib-panel .towlib-moved")
        expect(moved).to_have_count(page.evaluate(MOVE), timeout=60_000)
        browser.settle(page, browser.panel(page, len(PANELS) - 1))
        top, bottom = _room(page)
        for key, found in _measured(page):
            together = [found["image"], found["sentence"], *found["moved"]]
            height = max(b[3] for b in together) - found["panel"][1]
            if height > bottom - top:
                faults.append(
                    f"{key}: {height:.0f} px from title to the moved control, {bottom - top:.0f} in sight"
                )
            if found["cut"]:
                faults.append(f"{key}: cut {found['cut']} in the projector view")
        assert faults == []
        assert [text for text in errors if "towlib" in text] == []


def _faults_on_a_phone(page, address: str, keys) -> list[str]:
    page.goto(browser.reading_page(address), timeout=120_000)  # it is there when its last cell has run
    expect(page.locator(".towlib-panel img.towlib-picture")).to_have_count(len(keys), timeout=120_000)
    page.wait_for_function(  # the narrow pictures have come
        "() => [...document.querySelectorAll('img.towlib-picture')].map(i => i.naturalWidth)"
        ".every(wide => wide > 0 && wide < 800)",
        timeout=60_000,
    )
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert page.locator("pre code, .jp-InputArea-editor").count() == 0  # no code in sight
    faults = []
    for key, found in _measured(page, keys):
        left, _, right, _ = found["panel"]
        inside = [found["image"], *found["controls"]]
        if left < 0 or right > 390 or any(b[2] > 391 or b[0] < -1 for b in inside):
            faults.append(f"{key}: wider than the phone")
        shown = found["image"][2] - found["image"][0]
        # phone pictures have one and a half times the pixels
        letter = LETTER_PX * 1.5 * shown / found["natural"]
        if letter < 11.0:
            faults.append(f"{key}: letters of {letter:.1f} px")
        if found["cut"]:
            faults.append(f"{key}: cut {found['cut']}")
    return faults


def test_on_a_phone_every_panel_is_one_column_with_letters_that_can_be_read(server):
    with browser.phone_page() as (page, errors):
        faults = [
            fault for name, keys in PAGES.items() for fault in _faults_on_a_phone(page, server(name), keys)
        ]
        assert faults == []
        assert [text for text in errors if "towlib" in text] == []
