"""A real JupyterLab in headless Chromium, for the browser test: start it, run a notebook, move a slider, see what changed."""

import contextlib
import os
import secrets
import shutil
import socket
import statistics
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

from playwright.sync_api import Page, sync_playwright
from playwright.sync_api import TimeoutError as PlaywrightTimeoutError

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update",
         "--disable-sync"]


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


@contextlib.contextmanager
def jupyter_lab(notebooks: Path, home: Path):
    """JupyterLab serving a folder on this machine with its token on; yields the address of its tree."""
    port, token = _free_port(), secrets.token_hex(16)
    environment = {**os.environ, "JUPYTERLAB_WORKSPACES_DIR": str(home / "workspaces"), "JUPYTER_CONFIG_DIR": str(home / "config"),
                   "JUPYTER_DATA_DIR": str(home / "data"), "JUPYTER_RUNTIME_DIR": str(home / "runtime"), "IPYTHONDIR": str(home / "ipython"),
                   "JUPYTERLAB_SETTINGS_DIR": str(home / "settings")}
    quiet = home / "settings" / "@jupyterlab" / "apputils-extension" / "notification.jupyterlab-settings"
    quiet.parent.mkdir(parents=True, exist_ok=True)
    quiet.write_text('{"fetchNews": "false", "checkForUpdates": false}', encoding="utf-8")
    log = (home / "lab.log").open("w")
    process = subprocess.Popen(
        [sys.executable, "-m", "jupyterlab", "--no-browser", "--allow-root", f"--port={port}", f"--IdentityProvider.token={token}",
         f"--ServerApp.root_dir={notebooks}", "--LabApp.news_url=None", "--ServerApp.port_retries=0"], env=environment, stdout=log, stderr=log)
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
    finally:
        process.terminate()
        with contextlib.suppress(subprocess.TimeoutExpired):
            process.wait(20)
        process.kill()
        log.close()


@contextlib.contextmanager
def browser_page(width: int = 1400, height: int = 1000):
    """A Chromium page, with what went wrong in its console."""
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        page = browser.new_page(viewport={"width": width, "height": height})
        errors: list[str] = []
        page.on("pageerror", lambda error: errors.append(str(error)))
        page.on("console", lambda message: errors.append(message.text) if message.type == "error" else None)
        try:
            yield page, errors
        finally:
            browser.close()


def open_and_run_all(page: Page, address: str) -> None:
    """Open a notebook and run all its cells, waiting until the kernel is idle."""
    page.goto(address)
    page.wait_for_selector(".jp-Notebook .jp-Cell", timeout=60_000)
    # only the status bar tells a connected kernel from one still starting; running too early would ask which kernel to take
    page.wait_for_function("() => document.querySelector('#jp-main-statusbar')?.innerText.includes('| Idle')", timeout=60_000)
    for attempt in range(3):
        page.click(".lm-MenuBar-itemLabel:text-is('Run')")
        page.click(".lm-Menu-itemLabel:text-is('Run All Cells')")
        try:
            page.wait_for_function(_ALL_RUN, timeout=60_000)
            return
        except PlaywrightTimeoutError:  # the kernel was not connected yet when the menu was used
            if attempt == 2:
                raise


# every code cell has its number beside it; a folded one shows no prompt at all
_ALL_RUN = """() => {
    const prompts = [...document.querySelectorAll('.jp-CodeCell .jp-InputPrompt')].map((prompt) => prompt.textContent).filter(Boolean);
    return prompts.length > 0 && prompts.every((text) => /\\d/.test(text));
}"""


def panel(page: Page, number: int = 0):
    """A panel of the notebook, scrolled into view."""
    found = page.locator(".towlib-panel").nth(number)
    found.wait_for(state="attached", timeout=60_000)
    found.scroll_into_view_if_needed()
    page.wait_for_function("panel => panel.querySelector('.towlib-sentence')?.innerText.trim() && panel.querySelector('img')?.naturalWidth > 0",
                           arg=found.element_handle(), timeout=60_000)
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


def type_value(page: Page, found, slider_name: str, text: str) -> None:
    """Type into the box beside a slider."""
    entry = found.locator(f".towlib-entry-{slider_name} input")
    entry.fill(text)
    entry.press("Enter")
    settle(page, found)


def settle(page: Page, found, quiet_ms: int = 400) -> None:
    """Wait until the kernel is idle and picture and sentence have stood still for a while."""
    seen, since = None, time.monotonic()
    while time.monotonic() - since < quiet_ms / 1000:
        idle = page.locator(".jp-Notebook-ExecutionIndicator").get_attribute("data-status") == "idle"
        now = picture_source(found), sentence(found), time.monotonic() if not idle else 0
        if now != seen:
            seen, since = now, time.monotonic()
        page.wait_for_timeout(40)


def clipped_words(found) -> list[str]:
    """Labels, buttons and lines of a panel whose words do not fit their boxes, or stick out of the panel."""
    return found.evaluate("""(panel) => [...panel.querySelectorAll('.widget-html, .widget-html-content, button, label, select')]
        .filter((part) => part.offsetParent && part.innerText.trim() && !part.matches('.towlib-named > label') && (part.scrollWidth > part.clientWidth + 2
            || part.scrollHeight > part.clientHeight + 4 || part.getBoundingClientRect().right > panel.getBoundingClientRect().right + 1))
        .map((part) => part.innerText.trim().slice(0, 60))""")


def nameless_controls(found) -> list[str]:
    """Controls without any words that a screen reader could speak (the slider's own knob has none; its typed box has)."""
    return found.evaluate("""(panel) => [...panel.querySelectorAll('input, select, button, textarea, img')]
        .filter((part) => !(part.title || part.ariaLabel || part.innerText || part.alt
            || [...(part.labels || [])].some((label) => label.title || label.innerText.trim())))
        .map((part) => part.outerHTML.slice(0, 120))""")


def measure_panel(page: Page, found, slider_name: str, changes: int = 100) -> dict[str, float]:
    """Milliseconds from a key on the slider to the new picture on the screen: median and 95th percentile."""
    handle = found.locator(f".towlib-slider-{slider_name} .noUi-handle")
    handle.focus()
    element = found.locator("img.towlib-picture").element_handle()
    times = []
    for i in range(changes):
        key = "ArrowLeft" if (i // 20) % 2 == 0 else "ArrowRight"
        waited = page.evaluate(
            """([image, handle, key]) => new Promise((done) => {
                const start = performance.now(), before = image.src;
                const seen = () => requestAnimationFrame(() => done(performance.now() - start));
                const watch = new MutationObserver(() => {
                    if (image.src !== before) { watch.disconnect(); image.complete ? seen() : image.addEventListener('load', seen, {once: true}); }
                });
                watch.observe(image, {attributes: true, attributeFilter: ['src']});
                handle.dispatchEvent(new KeyboardEvent('keydown', {key, bubbles: true}));
                setTimeout(() => { watch.disconnect(); done(null); }, 3000);
            })""", [element, handle.element_handle(), key])
        assert waited is not None, "the slider moved and no new picture came within three seconds"
        times.append(waited)
    times.sort()
    return {"median_ms": statistics.median(times), "p95_ms": times[int(0.95 * len(times))]}
