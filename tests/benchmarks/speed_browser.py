"""From slider to screen in a real browser: our panel against `interact` with a new figure each time, in the
same page. With --browser.

Both show the same panel of the same size; the common pattern draws it anew and sends it as an inline PNG.
Time on the clock, from the key on the slider to the frame after the new picture is there.
"""

import shutil
import statistics
import tempfile
from pathlib import Path

import nbformat

from tests import browser_helpers as browser
from tests.benchmarks.measure import Row, percentile

REPOSITORY = Path(__file__).parents[2]
RUN = 8  # keys one way before it turns
ROUNDS, CHANGES = 4, 2 * RUN * 2  # in turns: so many changes of one, to and fro twice, then of the other
MEDIAN_S, P95_S, COMMON_OVER_OURS = 0.070, 0.100, 3.0
# panel, slider, and where it begins, as typed and in SI: there every step changes the picture (a descent that
# would be faster than the road allows stays the same)
PANELS = (
    (("01_weight_ratings", "axle_loads"), "carried.tow.mass", "500", 500.0),
    (("11_trip_sheet", "descent"), "conditions.descent_speed", "45", 12.5),
)
CELLS = (
    """%matplotlib inline
import sys
sys.path.insert(0, ".")
import ipywidgets
from IPython.display import display
from matplotlib.text import Text
from towlib.draw import figures
from towlib.lessons.index import panel_of
from towlib.lessons.slider_rows import load_panel
from towlib.teaching.panel import panels
from towlib.teaching.panel.panel_state import PanelState
from towlib.teaching.panel.rig_in_use import invented
KEY, SLIDER, START = {key!r}, {slider!r}, {start!r}
drawing, words = panel_of(*KEY).drawing, panel_of(*KEY).words""",
    "panels.show_panel(*KEY)",
    """state = PanelState(load_panel(*KEY), panel_of(*KEY), invented)
slider = state.slider(SLIDER)

def new_figure(value):
    state.values[SLIDER] = value
    picture, look = figures.Picture(state.picture.figure.get_size_inches(), frames=drawing.frames, widths=getattr(drawing, "widths", None)), drawing()
    look.build(picture, "metric")
    result = state._result(state.values)
    look.update(picture, result, "metric")
    for _, artists in picture._moving.values():
        for artist in artists:
            artist.set_animated(False)
    quick, figures._Words.draw = figures._Words.draw, Text.draw
    try:
        display(picture.figure)
    finally:
        figures._Words.draw = quick
    print(words(result, "metric"))

common = ipywidgets.interactive(new_figure, value=ipywidgets.FloatSlider(min=slider.low, max=slider.high, step=slider.step, value=START))
common.add_class("common-pattern")
common""",  # noqa: E501
)
_WAIT = """([place, handle, key]) => new Promise((done) => {
    const picture = () => place.querySelector('img')?.src, start = performance.now(), before = picture();
    const watch = new MutationObserver(() => {
        if (!picture() || picture() === before) return;
        watch.disconnect();
        const image = place.querySelector('img'), seen = () => requestAnimationFrame(() => done(performance.now() - start));
        image.complete ? seen() : image.addEventListener('load', seen, {once: true});
    });
    watch.observe(place, {subtree: true, childList: true, attributes: true, attributeFilter: ['src']});
    handle.dispatchEvent(new KeyboardEvent('keydown', {key, bubbles: true}));
    setTimeout(() => { watch.disconnect(); done(null); }, 5000);
})"""  # noqa: E501


def _changes(page, place, handle) -> list[float]:
    """Seconds of so many keys on a slider, to and fro, as many one way as the other, or it would move on a
    little with every turn and meet an end, where a key changes nothing.
    """
    place.scroll_into_view_if_needed()
    handle.focus()
    times = []
    for change in range(CHANGES):
        key = "ArrowRight" if change // RUN % 2 else "ArrowLeft"
        waited = page.evaluate(_WAIT, [place.element_handle(), handle.element_handle(), key])
        if waited is None:
            raise RuntimeError(
                f"no new picture within five seconds of change {change}, {key} from"
                f" {handle.get_attribute('aria-valuetext')}"
            )
        times.append(waited / 1000)
    return times


def _both(
    address, key: tuple[str, str], slider: str, start: str, start_si: float, folder: Path
) -> tuple[list[float], list[float]]:
    filled = {"{key!r}": repr(key), "{slider!r}": repr(slider), "{start!r}": repr(start_si)}
    notebook = nbformat.v4.new_notebook()
    for cell in CELLS:
        for name, value in filled.items():
            cell = cell.replace(name, value)
        notebook.cells.append(nbformat.v4.new_code_cell(cell))
    notebook.metadata.kernelspec = {"name": "python3", "display_name": "Python 3", "language": "python"}
    nbformat.write(notebook, folder / "speed.ipynb")
    ours, common = [], []
    with browser.browser_page(height=1600) as (page, _):
        browser.open_and_run_all(page, address("speed.ipynb"))
        panel, place = browser.panel(page), page.locator(".common-pattern")
        place.locator("img").wait_for(timeout=30_000)
        browser.type_value(page, panel, slider.replace(".", "-"), start)
        for turn in range(ROUNDS + 1):
            for found, where, handle in (
                (ours, panel, browser.handle_of(panel, slider.replace(".", "-"))),
                (common, place, place.locator(".noUi-handle")),
            ):
                times = _changes(page, where, handle)
                if turn:  # the first round warms both up
                    found += times
    return ours, common


def rows() -> list[Row]:
    """Median and 95th percentile for two panels, a quick one and the slowest."""
    if browser.CHROMIUM is None:
        raise RuntimeError("no Chromium on this machine: install Debian's package 'chromium'")
    found = []
    with tempfile.TemporaryDirectory() as home:
        folder = Path(home) / "workbook"
        for part in ("towlib", "data"):
            shutil.copytree(
                REPOSITORY / part, folder / part, ignore=shutil.ignore_patterns("__pycache__", "my_*")
            )
        for key, slider, start, start_si in PANELS:
            with browser.jupyter_lab(folder, Path(home)) as address:
                ours, common = _both(address, key, slider, start, start_si, folder)
            for what, asked, measure in (
                ("median", MEDIAN_S, statistics.median),
                ("95th percentile", P95_S, lambda times: percentile(times, 0.95)),
            ):
                mine, theirs = measure(ours), measure(common)
                found.append(
                    Row(
                        f"slider to screen, {'/'.join(key)}, {len(ours)} changes: {what}",
                        mine,
                        "`interact`, a new figure, inline PNG",
                        theirs,
                        f"at most {1000 * asked:.0f} ms; at least {COMMON_OVER_OURS:.0f}",
                        mine <= asked and theirs / mine >= COMMON_OVER_OURS,
                    )
                )
    return found
