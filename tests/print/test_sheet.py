"""The printed sheet: one sheet of paper, nothing clipped, every limit on it, pictures in it."""

import html
import re
import shutil
import subprocess

import pytest

from tests.browser_helpers import CHROMIUM, browser_page, chromium
from towlib.plan.trip import make_plan
from towlib.print.checklists import checklists
from towlib.print.sheet import sheet_html
from towlib.rig.model import load_rig
from towlib.road.route import load_route
from towlib.teaching.form.measuring_sheet import measuring_sheet_html

CASES = [
    (rig, road, system)
    for rig in ("demo_comfortable", "demo_overloaded")
    for road in ("short_steep_pass.csv", "long_mountain_crossing.csv", "rolling_road.csv")
    for system in ("metric", "us")
]


@pytest.fixture(scope="module")
def one_chromium():
    with chromium():
        yield


@pytest.fixture(scope="module")
def plans():
    return {
        (rig, road): make_plan(load_rig(f"data/rigs/{rig}.toml"), load_route(f"data/routes/{road}"))
        for rig, road in dict.fromkeys(case[:2] for case in CASES)
    }


@pytest.mark.parametrize(("rig", "road", "system"), CASES)
def test_every_limit_and_both_ways_are_on_it(plans, rig, road, system):
    plan = plans[rig, road]
    text = html.unescape(sheet_html(plan, system))
    for limit in plan.limits:
        assert limit.title in text
    assert text.count("<h2>Road ") == 2 and text.count("<svg") == 3
    assert ("lb" in re.sub(r"<svg.*?</svg>", "", text, flags=re.S)) == (
        system == "us"
    ) or rig == "demo_overloaded"
    assert not re.search(r"\bnan\b|\bNone\b", re.sub(r"<svg.*?</svg>", "", text, flags=re.S))


@pytest.mark.skipif(
    CHROMIUM is None, reason="no Chromium on this machine: install Debian's package 'chromium'"
)
@pytest.mark.usefixtures("one_chromium")
def test_it_prints_on_one_sheet_of_paper(plans, tmp_path):
    with browser_page(794, 1123) as (page, errors):
        for rig, road, system in CASES:
            page.set_content(sheet_html(plans[rig, road], system))
            pdf = page.pdf(prefer_css_page_size=True, print_background=True)
            assert len(re.findall(rb"/Type\s*/Page\b", pdf)) == 2, (
                f"{rig} on {road} in {system}: not front and back of one sheet"
            )
            page.emulate_media(media="print")
            clipped = page.evaluate(
                "() => [...document.querySelectorAll('td,th,li,p,h1,h2')].filter(e => e.scrollWidth >"
                " e.clientWidth + 1 && getComputedStyle(e).display !== 'inline').map(e =>"
                " e.textContent.slice(0, 40))"
            )
            assert clipped == [], clipped
            smallest = page.evaluate(
                "() => Math.min(...[...document.querySelectorAll('body *:not(svg *)')].filter(e =>"
                " [...e.childNodes].some(n => n.nodeType == 3 && n.textContent.trim())).map(e =>"
                " parseFloat(getComputedStyle(e).fontSize)))"
            )
            assert smallest >= 7 * 96 / 72 - 0.01, "letters below 7 pt"
            assert page.evaluate("() => document.documentElement.scrollWidth <= window.innerWidth")
        assert errors == []


@pytest.mark.skipif(
    shutil.which("pdftotext") is None or CHROMIUM is None, reason="needs Debian's poppler-utils and chromium"
)
@pytest.mark.usefixtures("one_chromium")
def test_the_pdf_holds_text_on_both_pages(plans, tmp_path):
    with browser_page(794, 1123) as (page, _):
        page.set_content(sheet_html(plans["demo_overloaded", "long_mountain_crossing.csv"]))
        page.pdf(path=tmp_path / "s.pdf", prefer_css_page_size=True, print_background=True)
    pages = subprocess.run(
        ["pdftotext", "-layout", tmp_path / "s.pdf", "-"], capture_output=True, text=True, check=True
    ).stdout.split("\f")
    assert "Towed weight" in pages[0] and "not a pass" in pages[0]
    assert "Before leaving" in pages[1] and "Road back" in pages[1]


def test_checklists_hold_this_rigs_own_numbers(plans):
    lists = checklists(plans["demo_comfortable", "short_steep_pass.csv"])
    words = " ".join(item for each in lists for item in each.items_)
    assert (
        "20 links each" in words and "rise 102 mm" in words and "276 kPa" in words
    )  # links and rise are the rig's own; 40 psi × 6.894757 = 275.8 kPa
    assert [each.title for each in lists] == [
        "Before leaving",
        "After the first 10 km",
        "At the summit, and going down",
        "At the trailhead: uncoupling",
        "Before the way home",
        "At home",
    ]
    assert (
        "bracket bolts 1/2-13 at 88.1 N·m" in words and "627 mm" in words
    )  # 65 lbf·ft; prop: 480 + 101.6 + 25.4 + 20 mm
    order = lists[
        0
    ].items_  # chocks before levers, the ball before the latch, chains before the chocks come away
    places = [
        next(i for i, item in enumerate(order) if part in item)
        for part in (
            "Chock the towed",
            "Pins of brackets",
            "Tow vehicle back",
            "latch closed",
            "Chains",
            "Plug in",
            "Transfer case",
            "Chocks away LAST",
            "roll one car length",
        )
    ]
    assert places == sorted(places)
    # battery by hand: half of 58 Ah × 0.80 × 0.90 at 1.2 A = 17.4 h, shown in two digits
    assert "Front hubs" in " ".join(lists[3].items_) and "17 h" in " ".join(lists[4].items_)


def test_checklists_of_an_unknown_driveline_defer_to_the_manual(plans):
    plan = plans["demo_comfortable", "short_steep_pass.csv"]
    towed = plan.rig.towed_vehicle.model_copy(update={"driveline": type(plan.rig.towed_vehicle.driveline)()})
    battery = type(plan.rig.battery)()
    lists = checklists(
        plan._replace(rig=plan.rig.model_copy(update={"towed_vehicle": towed, "battery": battery}))
    )
    before, home = " ".join(lists[0].items_), " ".join(lists[4].items_)
    assert (
        "the rig file does not say how" in before
        and "chained" not in before
        and "how long the battery lasts is not known" in home
    )
    off = plan._replace(
        rig=plan.rig.model_copy(
            update={"battery": plan.rig.battery.model_copy(update={"disconnected": True})}
        )
    )
    fed = plan._replace(
        rig=plan.rig.model_copy(update={"battery": plan.rig.battery.model_copy(update={"feed_current": 8.0})})
    )
    assert "disconnected while towed" in " ".join(
        checklists(off)[4].items_
    ) and "charging line keeps up" in " ".join(checklists(fed)[4].items_)


def test_a_plan_without_a_road_still_makes_a_sheet():
    rig = load_rig("data/rigs/demo_comfortable.toml")
    rig = rig.model_copy(
        update={"tow_vehicle": rig.tow_vehicle.model_copy(update={"engine": type(rig.tow_vehicle.engine)()})}
    )
    text = sheet_html(make_plan(rig, load_route("data/routes/short_steep_pass.csv")))
    assert (
        "The road was not driven: not known" in text and text.count("<svg") == 2
    )  # only the coupling is drawn


@pytest.mark.skipif(
    CHROMIUM is None, reason="no Chromium on this machine: install Debian's package 'chromium'"
)
@pytest.mark.usefixtures("one_chromium")
def test_measuring_sheet_prints_unclipped():
    with browser_page(794, 1123) as (page, errors):
        page.set_content(measuring_sheet_html())
        assert (
            page.evaluate("() => document.documentElement.scrollWidth <= window.innerWidth") and errors == []
        )
