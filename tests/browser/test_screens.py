"""Every panel on three screens: a small laptop, a projector and a phone, in real JupyterLab and on the
reading
page. Pictures beside their controls, nothing cut, nothing to scroll for.
"""

import shutil

import nbformat
import pytest

from tests import browser_helpers as browser
from tests.conftest import REPOSITORY
from towlib.lessons.index import all_panels

pytestmark = pytest.mark.skipif(
    browser.CHROMIUM is None, reason="no Chromium on this machine: install Debian's package 'chromium'"
)
PANELS = all_panels()
LETTER_PX = 11.0 / 72 * 100  # height of a letter of 11 points in a picture at 100 dots an inch
SETUP = """import sys
sys.path.append("notebooks")
import setup_notebook
from towlib.notebook import Notebook"""
# per panel: its place and the places of what must be seen together, in pixels of the page
MEASURE = """panel => {
    const box = part => {
        const r = part.getBoundingClientRect();
        return [r.left, r.top, r.right, r.bottom];
    };
    const one = name => panel.querySelector(name);
    const controls = [...panel.querySelectorAll('.towlib-row, .towlib-buttons > button, .towlib-head button')]
        .filter(part => part.checkVisibility());
    const cut = [...panel.querySelectorAll('.widget-html-content, button, label, select')]
        .filter(part => part.checkVisibility() && part.innerText?.trim()
            && !part.closest('.towlib-named > .widget-label') && part.scrollWidth > part.clientWidth + 2)
        .map(part => part.innerText);
    const image = one('.towlib-picture img') || one('img.towlib-picture') || one('img');
    return {panel: box(panel), image: box(image), natural: image.naturalWidth,
            sentence: box(one('.towlib-sentence')), controls: controls.map(box), cut};
}"""


@pytest.fixture(scope="module")
def server(tmp_path_factory):
    home = tmp_path_factory.mktemp("screens")
    for part in ("notebooks", "towlib", "data"):
        shutil.copytree(
            REPOSITORY / part,
            home / "workbook" / part,
            ignore=shutil.ignore_patterns("__pycache__", "my_*", ".ipynb_checkpoints"),
        )
    notebook = nbformat.v4.new_notebook()
    cells = [SETUP, *(f"Notebook({lesson!r}).panel({name!r})" for lesson, name in PANELS)]
    notebook.cells = [nbformat.v4.new_code_cell(source) for source in cells]
    for cell in notebook.cells:
        cell.metadata["jupyter"] = {"source_hidden": True}
    notebook.metadata["kernelspec"] = {"name": "python3", "display_name": "Python 3", "language": "python"}
    nbformat.write(notebook, home / "workbook" / "notebooks" / "all_panels.ipynb")
    patch = pytest.MonkeyPatch()
    patch.setenv("TOWLIB_READER_FOLDER", str(tmp_path_factory.mktemp("reader")))
    with browser.jupyter_lab(home / "workbook", home, settings=home / "workbook/data/jupyterlab") as address:
        yield address
    patch.undo()


def _measured(page, number):
    panel = page.locator(".towlib-panel").nth(number)
    panel.evaluate("part => part.scrollIntoView({block: 'start'})")
    panel.locator("img").first.wait_for()
    return panel, panel.evaluate(MEASURE)


def _room(page):
    """What of the notebook is in sight, from top to bottom."""
    return page.locator(".jp-WindowedPanel-outer").first.evaluate(
        "part => [part.getBoundingClientRect().top, part.getBoundingClientRect().bottom]"
    )


def test_on_a_small_laptop_every_panel_is_seen_whole_and_on_a_projector_what_is_moved(server):
    with browser.browser_page(1366, 768) as (page, errors):
        browser.open_and_run_all(page, server("notebooks/all_panels.ipynb"))
        assert page.locator(".towlib-panel").count() == len(PANELS)
        top, bottom = _room(page)
        faults = []
        for number, key in enumerate(PANELS):
            _, found = _measured(page, number)
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
        top, bottom = _room(page)
        for number, key in enumerate(PANELS):
            panel = page.locator(".towlib-panel").nth(number)
            panel.locator(".towlib-projector").click()
            browser.settle(page, panel)
            handles = panel.locator(".towlib-row .noUi-handle")
            if handles.count():
                handles.last.focus()
                page.keyboard.press("ArrowLeft")
                browser.settle(page, panel)
            _, found = _measured(page, number)
            moved = panel.locator(".towlib-moved")
            together = [found["image"], found["sentence"]]
            together += (
                [
                    moved.evaluate(
                        "part => { const r = part.getBoundingClientRect(); return [r.left, r.top, r.right,"
                        " r.bottom]; }"
                    )
                ]
                if moved.count()
                else []
            )
            height = max(b[3] for b in together) - found["panel"][1]
            if height > bottom - top:
                faults.append(
                    f"{key}: {height:.0f} px from title to the moved control, {bottom - top:.0f} in sight"
                )
            if found["cut"]:
                faults.append(f"{key}: cut {found['cut']} in the projector view")
            panel.locator(".towlib-projector").click()
        assert faults == []
        assert [text for text in errors if "towlib" in text] == []


def test_on_a_phone_every_panel_is_one_column_with_letters_that_can_be_read(server):
    with browser.phone_page() as (page, errors):
        page.goto(server("notebooks/all_panels.ipynb").replace("/doc/tree/", "/voila/render/"))
        page.wait_for_function(
            f"() => document.querySelectorAll('.towlib-panel img').length >= {len(PANELS)}", timeout=120_000
        )
        page.wait_for_function(  # the narrow pictures have come
            "() => [...document.querySelectorAll('.towlib-panel img')].every(i => i.naturalWidth < 800)",
            timeout=60_000,
        )
        assert page.evaluate("document.documentElement.scrollWidth") <= 390
        assert page.locator("pre code, .jp-InputArea-editor").count() == 0  # no code in sight
        faults = []
        for number, key in enumerate(PANELS):
            _, found = _measured(page, number)
            left, _, right, _ = found["panel"]
            if (
                left < 0
                or right > 390
                or any(b[2] > 391 or b[0] < -1 for b in [found["image"], *found["controls"]])
            ):
                faults.append(f"{key}: wider than the phone")
            shown = found["image"][2] - found["image"][0]
            # phone pictures have one and a half times the pixels
            letter = LETTER_PX * 1.5 * shown / found["natural"]
            if letter < 11.0:
                faults.append(f"{key}: letters of {letter:.1f} px")
            if found["cut"]:
                faults.append(f"{key}: cut {found['cut']}")
        assert faults == []
        assert [text for text in errors if "towlib" in text] == []
