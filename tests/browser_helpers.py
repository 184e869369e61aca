"""A real JupyterLab in headless Chromium, for the browser test: start it, run a notebook, move a slider, see
what changed.
"""

import contextlib
import json
import math
import os
import re
import secrets
import shutil
import socket
import statistics
import subprocess
import sys
import time
import urllib.request
from pathlib import Path
from typing import NamedTuple

import nbformat
from playwright.sync_api import Browser, Page, sync_playwright

REPOSITORY = Path(__file__).parents[1]
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


@contextlib.contextmanager
def jupyter_lab(notebooks: Path, home: Path, *, settings: Path | None = None, reader: Path | None = None):
    """JupyterLab serving a folder on this machine with its token on; yields the address of its tree.

    `settings`: the workbook's own, as the README's first command gives them. `reader`: where the reader's
    files go; beside the notebooks when left out.
    """
    port, token = _free_port(), secrets.token_hex(16)
    environment = {
        **{name: value for name, value in os.environ.items() if name != "TOWLIB_READER_FOLDER"},
        "JUPYTERLAB_WORKSPACES_DIR": str(home / "workspaces"),
        "JUPYTER_CONFIG_DIR": str(home / "config"),
        "JUPYTER_DATA_DIR": str(home / "data"),
        "JUPYTER_RUNTIME_DIR": str(home / "runtime"),
        "IPYTHONDIR": str(home / "ipython"),
        "JUPYTERLAB_SETTINGS_DIR": str(home / "settings"),
    }
    if reader:
        environment["TOWLIB_READER_FOLDER"] = str(reader)
    quiet = home / "settings" / "@jupyterlab" / "apputils-extension" / "notification.jupyterlab-settings"
    quiet.parent.mkdir(parents=True, exist_ok=True)
    quiet.write_text('{"fetchNews": "false", "checkForUpdates": false}', encoding="utf-8")
    log = (home / "lab.log").open("w")
    process = subprocess.Popen(
        [
            sys.executable,
            "-m",
            "jupyterlab",
            "--no-browser",
            "--allow-root",
            f"--port={port}",
            f"--IdentityProvider.token={token}",
            f"--ServerApp.root_dir={notebooks}",
            "--LabApp.news_url=None",
            "--ServerApp.port_retries=0",
            *([f"--LabApp.app_settings_dir={settings}"] if settings else []),
        ],
        env=environment,
        stdout=log,
        stderr=log,
    )
    try:
        deadline = time.monotonic() + 60
        while True:
            with contextlib.suppress(OSError):
                urllib.request.urlopen(f"http://127.0.0.1:{port}/api?token={token}", timeout=5)
                break
            if process.poll() is not None or time.monotonic() > deadline:
                raise RuntimeError(f"JupyterLab did not start: {(home / 'lab.log').read_text()[-2000:]}")
            time.sleep(0.2)
        yield lambda path: f"http://127.0.0.1:{port}/doc/tree/{path}?token={token}&reset"
        _end_kernels(f"http://127.0.0.1:{port}", token)
    finally:
        process.kill()  # asked to end, it takes as long as to begin
        process.wait()
        log.close()


def _end_kernels(server: str, token: str) -> None:
    """End every kernel of a server."""
    headers = {"Authorization": f"token {token}"}
    with urllib.request.urlopen(
        urllib.request.Request(f"{server}/api/kernels", headers=headers), timeout=30
    ) as answer:
        kernels = [kernel["id"] for kernel in json.load(answer)]
    for kernel in kernels:
        ending = urllib.request.Request(f"{server}/api/kernels/{kernel}", headers=headers, method="DELETE")
        with contextlib.suppress(OSError):  # gone already
            urllib.request.urlopen(ending, timeout=30).close()


def copied_workbook(place: Path) -> Path:
    """A copy of the workbook, without what this reader has written."""
    for part in ("notebooks", "towlib", "data"):
        shutil.copytree(
            REPOSITORY / part,
            place / part,
            ignore=shutil.ignore_patterns("__pycache__", "my_*", ".my_*", ".ipynb_checkpoints"),
        )
    return place


@contextlib.contextmanager
def workbooks_lab(home: Path):
    """JupyterLab for copies of the workbook, with the settings of the README's first command; yields what
    makes a copy: it gives the address of a notebook by name, the folder of the notebooks, where the reader's
    files go too, and what ends the kernels.
    """
    root, settings = home / "root", home / "app_settings"
    shutil.copytree(REPOSITORY / "data" / "jupyterlab", settings)
    root.mkdir()
    with jupyter_lab(root, home, settings=settings) as address:

        def copy():
            place = copied_workbook(root / f"copy_{len(list(root.iterdir()))}")
            server, _, token = address("").partition("/doc/tree/")
            token = token.removeprefix("?token=").removesuffix("&reset")
            return (
                lambda name: address(f"{place.name}/notebooks/{name}.ipynb"),
                place / "notebooks",
                lambda: _end_kernels(server, token),
            )

        yield copy


_RUNNING: list[Browser] = []  # the Chromium of all pages, while one is asked for


@contextlib.contextmanager
def chromium():
    """Chromium; inside another one the same again, so that a file or a folder of tests starts it once."""
    if _RUNNING:
        yield _RUNNING[0]
        return
    with sync_playwright() as play:
        _RUNNING.append(play.chromium.launch(executable_path=CHROMIUM, args=FLAGS))
        try:
            yield _RUNNING[0]
        finally:
            _RUNNING.pop().close()


@contextlib.contextmanager
def browser_page(width: int = 1400, height: int = 1000, **more):
    """A Chromium page that knows nothing of others, with what went wrong in its console."""
    with chromium() as running:
        page = running.new_page(viewport={"width": width, "height": height}, **more)
        errors: list[str] = []
        page.on("pageerror", lambda error: errors.append(str(error)))
        page.on("console", lambda message: errors.append(message.text) if message.type == "error" else None)
        try:
            yield page, errors
        finally:
            page.close()


def phone_page(width: int = 390, height: int = 844):
    """A Chromium page as a phone shows it, with touch, and what went wrong in its console."""
    return browser_page(width, height, device_scale_factor=2, has_touch=True, is_mobile=True)


def reading_page(address: str) -> str:
    """The address at which the same server shows a notebook as a plain page."""
    return address.replace("/doc/tree/", "/voila/render/")


def our_errors(errors: list[str]) -> list[str]:
    """What went wrong in the console; Chromium names every request that the closed network refuses, and those
    are not ours.
    """
    return [text for text in errors if not re.search(r"ERR_|Failed to load resource|net::", text)]


def open_and_run_all(page: Page, address: str) -> None:
    """Open a notebook and run all its cells, waiting until the kernel is idle."""
    page.goto(address)
    run_all(page)


FRONT = ".jp-NotebookPanel:not(.lm-mod-hidden)"


def run_all(page: Page) -> None:
    """Run all cells of the notebook in front by the menu, waiting until the kernel is idle."""
    page.wait_for_selector(f"{FRONT} .jp-Cell", timeout=60_000)
    # only the status bar tells a connected kernel from one still starting; running too early would ask which
    # kernel to take
    page.wait_for_selector(
        f"{FRONT} .jp-Notebook-ExecutionIndicator[data-status='idle']", state="attached", timeout=60_000
    )
    page.wait_for_function(
        "() => document.querySelector('#jp-main-statusbar')?.innerText.includes('| Idle')", timeout=60_000
    )
    for _attempt in range(3):
        page.click(".lm-MenuBar-itemLabel:text-is('Run')")
        page.click(".lm-Menu-itemLabel:text-is('Run All Cells')")
        if _all_run(page):
            return
    raise AssertionError("the notebook did not run to its end")


def _all_run(page: Page, seconds: float = 90.0) -> bool:
    """Wait until the kernel has been idle for a while with something to show for it."""
    began, idle_since = time.monotonic(), math.inf
    while (now := time.monotonic()) < began + seconds:
        idle_since = min(idle_since, now) if page.evaluate(_IDLE, FRONT) else math.inf
        if now - began > 2.5 and now - idle_since > 1.2:
            return True
        page.wait_for_timeout(200)
    return False


# the code is folded, so no prompt tells that a cell has run
_IDLE = """(front) => document.querySelector('#jp-main-statusbar')?.textContent.includes('| Idle')
    && document.querySelector(`${front} .jp-OutputArea-output`) !== null"""


def panel(page: Page, number: int = 0):
    """A panel of the notebook in front, scrolled into view."""
    found = page.locator(".towlib-panel").locator("visible=true").nth(number)
    found.wait_for(state="attached", timeout=60_000)
    found.scroll_into_view_if_needed()
    page.wait_for_function(
        "panel => panel.querySelector('.towlib-sentence')?.innerText.trim() &&"
        " panel.querySelector('img')?.naturalWidth > 0",
        arg=found.element_handle(),
        timeout=60_000,
    )
    return found


def sentence(found) -> str:
    """The sentence under a panel."""
    return found.locator(".towlib-sentence").inner_text().strip()


def picture_source(found) -> str:
    """The address of the panel's picture; a new one for every new picture."""
    return found.locator("img.towlib-picture").get_attribute("src")


def handle_of(found, slider_name: str):
    """The knob of a slider."""
    return found.locator(f".towlib-slider-{slider_name} .noUi-handle")


def press(page: Page, found, slider_name: str, key: str, times: int = 1) -> None:
    """Move a slider by keyboard, as a reader without a mouse does."""
    handle_of(found, slider_name).focus()
    for _ in range(times):
        page.keyboard.press(key)
    settle(page, found)


def drag(page: Page, found, slider_name: str, pixels: float, steps: int = 20) -> None:
    """Drag a slider's knob to the right by so many pixels (to the left when negative)."""
    box = handle_of(found, slider_name).bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + pixels, y, steps=steps)
    page.mouse.up()
    settle(page, found)


def drag_by_touch(page: Page, found, slider_name: str, pixels: float, steps: int = 12) -> None:
    """Drag a slider's knob with a finger."""
    handle = handle_of(found, slider_name)
    handle.evaluate("part => part.scrollIntoView({block: 'center'})")
    box = handle.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    talk = page.context.new_cdp_session(page)
    for step in range(steps + 1):
        point = {"x": x + pixels * step / steps, "y": y}
        kind = "touchMove" if step else "touchStart"
        talk.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": [point]})
    talk.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    talk.detach()
    settle(page, found)


def type_value(page: Page, found, slider_name: str, text: str) -> None:
    """Type into the box beside a slider."""
    entry = found.locator(f".towlib-entry-{slider_name} input")
    entry.fill(text)
    entry.press("Enter")
    settle(page, found)


def settle(page: Page, found, quiet_ms: int = 400) -> None:
    """Wait until the kernel is idle and picture and sentence have stood still for a while."""
    found.evaluate(_STILL, quiet_ms)


_STILL = """(panel, quiet) => new Promise((done) => {
    let seen = null, since = performance.now();
    const look = () => {
        const busy = document.querySelector(".jp-Notebook-ExecutionIndicator:not([data-status='idle'])");
        const now = panel.querySelector('img.towlib-picture').src
            + panel.querySelector('.towlib-sentence').innerText;
        if (busy || now !== seen) [seen, since] = [now, performance.now()];
        if (performance.now() - since < quiet) setTimeout(look, 40);
        else done();
    };
    look();
})"""


def clipped_words(found) -> list[str]:
    """Labels, buttons and lines of a panel whose words do not fit their boxes, or stick out of the panel."""
    return found.evaluate(
        """(panel) => [...panel.querySelectorAll('.widget-html, .widget-html-content, button, label, select')]
        .filter((part) => part.offsetParent && part.innerText.trim() && !part.matches('.towlib-named > label') && (part.scrollWidth > part.clientWidth + 2
            || part.scrollHeight > part.clientHeight + 4 || part.getBoundingClientRect().right > panel.getBoundingClientRect().right + 1))
        .map((part) => part.innerText.trim().slice(0, 60))"""  # noqa: E501
    )


def nameless_controls(found) -> list[str]:
    """Controls without any words that a screen reader could speak (the slider's own knob has none; its typed
    box has).
    """
    return found.evaluate("""(panel) => [...panel.querySelectorAll('input, select, button, textarea, img')]
        .filter((part) => !(part.title || part.ariaLabel || part.innerText || part.alt
            || [...(part.labels || [])].some((label) => label.title || label.innerText.trim())))
        .map((part) => part.outerHTML.slice(0, 120))""")


BARE_SLIDER = """import ipywidgets
knob, said = ipywidgets.IntSlider(value=50), ipywidgets.HTML("50")
knob.observe(lambda change: setattr(said, "value", str(change["new"])), "value")
ipywidgets.VBox([knob, said]).add_class("bare-slider")"""


def add_bare_slider(notebook: Path) -> None:
    """Put a cell at a notebook's end: a slider whose number goes to the kernel and comes back as text, the
    least that any change of a slider costs here and now.
    """
    read = nbformat.read(notebook, as_version=4)
    cell = nbformat.v4.new_code_cell(BARE_SLIDER)
    cell.metadata["jupyter"] = {"source_hidden": True}
    read.cells.append(cell)
    nbformat.write(read, notebook)


KEY_TO_SCREEN = """([part, handle, key]) => new Promise((done) => {
    const shown = () => part.tagName === 'IMG' ? part.src : part.textContent;
    const start = performance.now(), before = shown();
    const seen = () => requestAnimationFrame(() => done(performance.now() - start));
    const watch = new MutationObserver(() => {
        if (shown() === before) return;
        watch.disconnect();
        part.tagName !== 'IMG' || part.complete ? seen() : part.addEventListener('load', seen, {once: true});
    });
    const what = {subtree: true, childList: true, characterData: true, attributes: true, attributeFilter: ['src']};
    watch.observe(part, what);
    handle.dispatchEvent(new KeyboardEvent('keydown', {key, bubbles: true}));
    setTimeout(() => { watch.disconnect(); done(null); }, 5000);
})"""  # noqa: E501


class Quickness(NamedTuple):
    """Milliseconds: median and 95th percentile."""

    median_ms: float
    p95_ms: float


def _quickness(times: list[float]) -> Quickness:
    return Quickness(statistics.median(times), sorted(times)[int(0.95 * len(times))])


def measure_panel(page: Page, found, slider_name: str, changes: int = 40) -> tuple[Quickness, Quickness]:
    """From a key on the slider to the new picture on the screen; and, in turns with it, from a key on the
    bare slider of the page to its number, the round trip. The slider needs room for twenty steps to the left.
    """
    bare = page.locator(".bare-slider")
    bare.scroll_into_view_if_needed()
    found.scroll_into_view_if_needed()
    sides = [
        (found.locator("img.towlib-picture"), handle_of(found, slider_name)),
        (bare.locator(".widget-html-content"), bare.locator(".noUi-handle")),
    ]
    parts = [[part.element_handle(), handle.element_handle()] for part, handle in sides]
    times: list[list[float]] = [[], []]
    for i in range(changes):
        key = "ArrowLeft" if (i // 20) % 2 == 0 else "ArrowRight"
        for pair, taken in zip(parts, times, strict=True):
            waited = page.evaluate(KEY_TO_SCREEN, [*pair, key])
            assert waited is not None, (
                f"the slider moved and nothing new came within five seconds of change {i}"
            )
            taken.append(waited)
    return _quickness(times[0]), _quickness(times[1])


def spoken(page: Page, root) -> list[dict]:
    """What Chromium tells a screen reader of the controls, pictures and live lines inside an element, in the
    order of the page.
    """
    root.scroll_into_view_if_needed()  # JupyterLab leaves out what is far from the screen
    page.wait_for_timeout(100)
    talk = page.context.new_cdp_session(page)
    root.evaluate("(element) => { window.towlibRoot = element; }")
    element = talk.send("Runtime.evaluate", {"expression": "window.towlibRoot"})["result"]["objectId"]
    nodes = talk.send("Accessibility.queryAXTree", {"objectId": element})["nodes"]
    talk.detach()
    wanted = {"slider", "spinbutton", "combobox", "checkbox", "radio", "button", "link", "textbox"}
    wanted |= {"image", "status"}
    return [
        {
            "role": node["role"]["value"],
            "name": node.get("name", {}).get("value", ""),
            "value": node.get("value", {}).get("value"),
        }
        for node in nodes
        if not node["ignored"] and node["role"]["value"] in wanted
    ]


CONTROLS = "input, select, textarea, button, .noUi-handle, a.towlib-open"


def tab_through(page: Page, root) -> list[dict]:
    """Tab from the first control of an element until the focus leaves it; what had the focus, where, and the
    edge drawn around it.
    """
    stops: list[dict] = []
    root.locator(CONTROLS).locator("visible=true").first.focus()
    for _ in range(200):
        (
            page.keyboard.press("Shift") if not stops else None
        )  # a key, so that the page shows the focus as for a keyboard
        stop = root.evaluate(_FOCUSED)
        if stop is None:
            return stops
        stops.append(stop)
        page.keyboard.press("Tab")
    raise AssertionError("the focus never leaves: " + str(stops[-3:]))


_CONTRAST = """
const parsed = (colour) => { const n = colour.match(/[\\d.]+/g).map(Number); return [n[0], n[1], n[2], n[3] ?? 1]; };
const laid = (top, under) => [0, 1, 2].map((i) => top[i] * top[3] + under[i] * (1 - top[3])).concat(1);
const linear = (v) => (v /= 255) <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
const bright = (c) => 0.2126 * linear(c[0]) + 0.7152 * linear(c[1]) + 0.0722 * linear(c[2]);
const ground = (part) => {
    const layers = [];
    for (let e = part; e; e = e.parentElement) { layers.push(parsed(getComputedStyle(e).backgroundColor)); if (layers.at(-1)[3] === 1) break; }
    return layers.reverse().reduce((under, top) => laid(top, under), [255, 255, 255, 1]);
};
const contrast = (part, colour, fade = 1) => {
    const ink = parsed(colour), under = ground(part);
    ink[3] *= fade;
    for (let e = part; e; e = e.parentElement) ink[3] *= Number(getComputedStyle(e).opacity);
    const [light, dark] = [bright(laid(ink, under)), bright(under)].sort((a, b) => b - a);
    return (light + 0.05) / (dark + 0.05);
};
"""  # noqa: E501

_FOCUSED = (
    """(root) => {"""
    + _CONTRAST
    + """
    const part = document.activeElement;
    if (!root.contains(part) || part === root) return null;
    const style = getComputedStyle(part), box = part.getBoundingClientRect(), from = root.getBoundingClientRect(), all = [...root.querySelectorAll('"""  # noqa: E501
    + CONTROLS
    + """')];
    return {number: all.filter((other) => other.checkVisibility()).indexOf(part), words: part.innerText || part.value || part.className,
            x: box.x + box.width / 2 - from.x, y: box.y + box.height / 2 - from.y, height: box.height,
            edge: style.outlineStyle === 'none' ? 0 : parseFloat(style.outlineWidth), contrast: contrast(part.closest('.widget-slider') || part.parentElement, style.outlineColor)};
}"""  # noqa: E501
)


def faint_words(root) -> list[tuple[str, str, float]]:
    """Words below 4.5:1 against what lies under them (3:1 from 24 px on), hints in empty boxes too, and edges
    of boxes below 3:1.
    """
    return [
        tuple(found)
        for found in root.evaluate(
            """(root) => {"""
            + _CONTRAST
            + """
        const found = [], judge = (kind, words, ratio, least) => { if (ratio < least) found.push([kind, (words || '').trim().slice(0, 50), Math.round(100 * ratio) / 100]); };
        const walk = document.createTreeWalker(root, NodeFilter.SHOW_TEXT);
        for (let node = walk.nextNode(); node; node = walk.nextNode()) {
            const part = node.parentElement, style = getComputedStyle(part);
            if (!node.textContent.trim() || part.matches('style, script, title, option') || !part.checkVisibility({visibilityProperty: true})) continue;
            judge('words', node.textContent, contrast(part, part.closest('svg') ? style.fill : style.color), parseFloat(style.fontSize) >= 24 ? 3 : 4.5);
        }
        for (const part of root.querySelectorAll('input, textarea, select')) {
            if (!part.checkVisibility()) continue;
            const style = getComputedStyle(part), hint = getComputedStyle(part, '::placeholder');
            if (part.type !== 'checkbox') judge('typed', part.value, contrast(part, style.color), 4.5);
            if (part.placeholder) judge('hint', part.placeholder, contrast(part, hint.color, Number(hint.opacity)), 4.5);
            if (part.type !== 'checkbox') judge('edge', part.value || part.placeholder, contrast(part.parentElement, style.borderTopColor), 3);
        }
        for (const part of root.querySelectorAll('.noUi-handle, .noUi-target')) judge('edge', part.className, contrast(part.closest('.widget-slider'), getComputedStyle(part).borderTopColor), 3);
        return found;
    }"""  # noqa: E501
        )
    ]


def overlapping(root) -> list[str]:
    """Words and controls that lie on one another."""
    return root.evaluate("""(root) => {
        const parts = [...root.querySelectorAll('button, select, input, textarea, img, .noUi-target, .widget-html-content')]
            .filter((part) => part.checkVisibility() && part.getBoundingClientRect().width > 1 && (!part.matches('.widget-html-content') || part.innerText.trim()));
        const found = [], boxes = parts.map((part) => part.getBoundingClientRect());
        for (let i = 0; i < parts.length; i++) for (let j = i + 1; j < parts.length; j++) {
            const [a, b] = [boxes[i], boxes[j]];
            if (!parts[i].contains(parts[j]) && Math.min(a.right, b.right) - Math.max(a.left, b.left) > 2 && Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 2)
                found.push(`${parts[i].innerText || parts[i].className} / ${parts[j].innerText || parts[j].className}`);
        }
        return found;
    }""")  # noqa: E501
