"""The notebooks as plain pages by Voila on the same server, on a phone: sign-in, form, panel and sheet by
touch.
"""

import re
import tomllib
import urllib.request

import pytest
from playwright.sync_api import expect

from tests import browser_helpers as browser

pytestmark = pytest.mark.skipif(
    browser.CHROMIUM is None, reason="no Chromium on this machine: install Debian's package 'chromium'"
)


@pytest.fixture(scope="module")
def server(workbook):
    address, reader = workbook
    return lambda name: browser.reading_page(address(name)), reader


@pytest.fixture(scope="module")
def phone(server):
    with browser.phone_page() as (page, errors):
        yield page, errors


def _open(page, address: str) -> None:
    """Open a page and wait until its last cell has run."""
    page.goto(address)
    page.locator("h2:text-is('Key points')").wait_for(timeout=90_000)
    page.locator(".towlib-panel img").first.wait_for(timeout=60_000)


def _nothing_is_wrong(page, errors) -> None:
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert page.locator(".jp-InputArea-editor, pre code").count() == 0  # no code in sight
    assert page.locator("text=Traceback").count() == 0
    assert browser.our_errors(errors) == []


def test_without_the_token_the_page_asks_to_sign_in(server):
    address, _ = server
    bare = address("01_weight_ratings").partition("?")[0]
    with urllib.request.urlopen(bare, timeout=30) as answer:
        text = answer.read().decode()
        assert "/login?next=" in answer.geturl() and 'type="password"' in text
    assert "towlib" not in text and "ratings: where" not in text
    with pytest.raises(urllib.error.HTTPError, match="40[13]"):
        urllib.request.urlopen(f"{bare.partition('/voila')[0]}/api/kernels", timeout=30)


def test_a_section_of_the_form_is_filled_in_by_touch(server, phone):
    (address, reader), (page, errors) = server, phone
    _open(page, address("00_start_here"))
    fold = page.locator("button.towlib-fold", has_text=re.compile(r"^Tow vehicle: \d"))
    fold.tap()
    drawing = page.locator("img.towlib-drawing")
    expect(drawing).to_be_visible()
    assert drawing.bounding_box()["width"] > 300
    for path, typed, unit, kept in (
        ("tow_vehicle.gvwr", "7000", "lb", "7000 lb"),
        ("tow_vehicle.wheelbase", "12.1 ft", "", "12.1 ft"),
        ("tow_vehicle.driven_axles", "rear", "", "rear"),
    ):
        field = page.locator(f".towlib-field-{path.replace('.', '-')}")
        box = field.locator("input, select").first
        if unit:
            field.locator("xpath=following-sibling::*[1]//select").select_option(unit)
        if box.evaluate("part => part.tagName") == "SELECT":
            box.select_option(typed)
        else:
            box.tap()
            page.keyboard.type(typed)
            page.keyboard.press("Enter")
        expect(field.locator("xpath=../..")).to_contain_text("✓")
        part, name = path.split(".")
        rig = tomllib.loads((reader / "my_rig.toml").read_text(encoding="utf-8"))
        assert rig[part][name] == kept
    expect(fold).to_contain_text("3 of ")
    _nothing_is_wrong(page, errors)


def test_a_panel_is_moved_by_touch(server, phone):
    (address, _), (page, errors) = server, phone
    if "00_start_here" not in page.url:
        _open(page, address("00_start_here"))
    page.locator("a[href*='01_weight_ratings.ipynb']").first.tap()
    page.wait_for_url("**/voila/render/*/notebooks/01_weight_ratings.ipynb*")
    page.locator(".towlib-panel img").first.wait_for(timeout=90_000)
    panel = browser.panel(page)
    browser.settle(page, panel)
    before = browser.sentence(panel), browser.picture_source(panel)
    entry = panel.locator(".towlib-entry-carried-tow-mass input")
    entry.tap()
    entry.fill("900")
    page.keyboard.press("Enter")
    expect(panel.locator(".towlib-sentence")).not_to_have_text(before[0])
    browser.settle(page, panel)
    typed = browser.sentence(panel), browser.picture_source(panel)
    assert "over" in typed[0] and typed[1] != before[1]
    browser.drag_by_touch(page, panel, "carried-tow-mass", -60)
    assert float(entry.input_value()) < 600
    assert browser.sentence(panel) != typed[0] and browser.picture_source(panel) != typed[1]
    _nothing_is_wrong(page, errors)


def test_the_sheet_is_written_and_opened_by_touch(server, phone):
    (address, reader), (page, errors) = server, phone
    _open(page, address("11_trip_sheet"))
    link = page.locator("a.towlib-open")
    expect(link).to_be_hidden()
    page.locator("button:text-is('Write the trip sheet')").tap()
    expect(page.locator("text=Written: my_trip_sheet.html")).to_be_visible(timeout=30_000)
    expect(link).to_have_text("Open the sheet")
    with page.context.expect_page() as opened:
        link.tap()
    sheet = opened.value
    expect(sheet.locator("h1")).to_contain_text("Trip sheet")
    written = (reader / "my_trip_sheet.html").read_text(encoding="utf-8")
    assert sheet.title() and sheet.title() in written
    assert sheet.locator("tr").count() == written.count("<tr") > 40
    sheet.close()
    _nothing_is_wrong(page, errors)
