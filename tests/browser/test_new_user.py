"""A new user: from the README's first command to a finished trip sheet for a rig of their own, in real
JupyterLab, by mouse and keyboard.
"""

import html
import os
import re
import shlex
import shutil
import socket
import subprocess
import sys
import time
from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests import browser_helpers as browser
from towlib.limits.limit import NOT_KNOWN, OVER, WITHIN, YES_NO
from towlib.plan.trip import make_plan
from towlib.print.report import limit_cells
from towlib.rig.model import load_rig
from towlib.road.route import load_route

REPOSITORY = Path(__file__).parents[2]
FRESH = bool(
    os.environ.get("TOWLIB_FRESH")
)  # run venv and pip of the command too: about a minute, and it needs a package index
pytestmark = pytest.mark.skipif(
    browser.CHROMIUM is None, reason="no Chromium on this machine: install Debian's package 'chromium'"
)
ROAD = "long_mountain_crossing.csv"  # not the one that is there at first
LB, INCH, FOOT, MILE = 0.45359237, 0.0254, 0.3048, 1609.344  # NIST SP 811
PSI = 4.4482216152605 * LB / LB / INCH**2  # a pound-force on a square inch, the same source

# section of the form -> its answers: field, what is typed, the unit picked from the list (or typed behind the
# number), ±, and the value in SI
OWN = {
    "Tow vehicle:": (
        ("tow_vehicle.name", "Grandfather's pickup", "", "", "Grandfather's pickup"),
        ("tow_vehicle.front_axle_empty", "2,880", "lb", "40", 2880 * LB),
        ("tow_vehicle.rear_axle_empty", "995", "kg", "15", 995.0),
        ("tow_vehicle.wheelbase", "12.1 ft", "", "", 12.1 * FOOT),
        ("tow_vehicle.ball_behind_rear_axle", "1.28", "m", "", 1.28),
        ("tow_vehicle.cg_height", "0.7 m", "", "", 0.7),
        ("tow_vehicle.gvwr", "7,000", "lb", "", 7000 * LB),
        ("tow_vehicle.front_gawr", "1650", "kg", "", 1650.0),
        ("tow_vehicle.rear_gawr", "4100 lb", "", "", 4100 * LB),
        ("tow_vehicle.payload", "1,600", "lb", "", 1600 * LB),
        ("tow_vehicle.gcwr", "7100", "kg", "", 7100.0),
        ("tow_vehicle.tow_rating_unbraked", "2200 kg", "", "", 2200.0),
        ("tow_vehicle.front_spring_rate", "95", "kN/m", "", 95e3),
        ("tow_vehicle.rear_spring_rate", "84 kN/m", "", "", 84e3),
        ("tow_vehicle.drag_area", "1.35", "m²", "", 1.35),
        ("tow_vehicle.rolling_resistance", "0.012", "", "", 0.012),
        ("tow_vehicle.driven_axles", "rear", "", "", "rear"),
        ("tow_vehicle.turning_circle", "46 ft", "", "", 46 * FOOT),
        ("tow_vehicle.fuel_tank", "25", "gal", "", 25 * 231 * INCH**3),
    ),
    "Tow vehicle: front tyres": (
        ("tow_vehicle.front_tyres.load_index", "114", "", "", 114),
        ("tow_vehicle.front_tyres.pressure", "35", "psi", "", 35 * PSI),
        ("tow_vehicle.front_tyres.full_load_pressure", "300 kPa", "", "", 300e3),
        ("tow_vehicle.front_tyres.rolling_radius", "15.2 in", "", "", 15.2 * INCH),
    ),
    "Tow vehicle: rear tyres": (
        ("tow_vehicle.rear_tyres.load_index", "114", "", "", 114),
        ("tow_vehicle.rear_tyres.rolling_radius", "386", "mm", "", 0.386),
    ),
    "Tow vehicle: engine": (
        ("tow_vehicle.engine.aspiration", "natural", "", "", "natural"),
        ("tow_vehicle.engine.displacement", "5.0 L", "", "", 5e-3),
        ("tow_vehicle.engine.idle", "650 rpm", "", "", None),
        ("tow_vehicle.engine.redline", "5900 rpm", "", "", None),
        ("tow_vehicle.engine.peak_torque", "390 lbf ft", "", "", 390 * 4.4482216152605 * FOOT),
        ("tow_vehicle.engine.peak_torque_at", "4000 rpm", "", "", None),
        ("tow_vehicle.engine.peak_power", "375 hp", "", "", 375 * 550 * FOOT * 4.4482216152605),
        ("tow_vehicle.engine.peak_power_at", "5600 rpm", "", "", None),
    ),
    "Tow vehicle: gearbox": (
        ("tow_vehicle.gearbox.kind", "automatic", "", "", "automatic"),
        ("tow_vehicle.gearbox.ratios", "4.31, 2.62, 1.73, 1.21, 0.92, 0.71", "", "", None),
        ("tow_vehicle.gearbox.final_drive", "3.73", "", "", 3.73),
    ),
    "Tow vehicle: cooling": (
        ("tow_vehicle.cooling.conductance", "2500", "W/K", "", 2500.0),
        ("tow_vehicle.cooling.highest_coolant", "244 degF", "", "", (244 - 32) / 1.8),
    ),
    "Tow vehicle: brakes": (
        ("tow_vehicle.brakes.front_heated_mass", "22", "kg", "10 %", 22.0),
        ("tow_vehicle.brakes.rear_heated_mass", "40 lb", "", "", 40 * LB),
    ),
    "Towed vehicle:": (
        ("towed_vehicle.name", "The little green one", "", "", "The little green one"),
        ("towed_vehicle.front_axle_empty", "1,640", "lb", "30", 1640 * LB),
        ("towed_vehicle.rear_axle_empty", "680 kg", "", "", 680.0),
        ("towed_vehicle.wheelbase", "93", "in", "", 93 * INCH),
        ("towed_vehicle.gvwr", "1900 kg", "", "", 1900.0),
        ("towed_vehicle.bracket_height", "21.5 in", "", "", 21.5 * INCH),
        ("towed_vehicle.bracket_spread", "680 mm", "", "", 0.68),
        ("towed_vehicle.bracket_ahead_of_front_axle", "470", "mm", "", 0.47),
        ("towed_vehicle.brakes_fitted", "no", "", "", False),
    ),
    "Towed vehicle: driveline and steering": (
        ("towed_vehicle.driveline.transfer_case", "part-time", "", "", "part-time"),
        ("towed_vehicle.driveline.transfer_case_position", "neutral", "", "", "neutral"),
        ("towed_vehicle.driveline.gearbox", "manual", "", "", "manual"),
        ("towed_vehicle.driveline.steering_is_free", "yes", "", "", True),
    ),
    "Receiver, ball mount and ball": (
        ("hitch.receiver_height", "19", "in", "0.5", 19 * INCH),
        ("hitch.ball_mount_change", "3 in", "", "", 3 * INCH),
        ("hitch.receiver_rating", "7,500 lb", "", "", 7500 * LB),
    ),
    "Tow bar": (
        ("tow_bar.length", "1.45 m", "", "", 1.45),
        ("tow_bar.mass", "55 lb", "", "", 55 * LB),
        ("tow_bar.rating", "5,000", "lb", "", 5000 * LB),
        ("tow_bar.bracket_rating", "1400 kg", "", "", 1400.0),
    ),
    "People and cargo": (
        ("load.0.name", "me", "", "", "me"),
        ("load.0.mass", "190", "lb", "", 190 * LB),
        ("load.0.behind_front_axle", "5.7 ft", "", "", 5.7 * FOOT),
        ("load.1.name", "tools and water", "", "", "tools and water"),
        ("load.1.mass", "120 kg", "", "", 120.0),
        ("load.1.behind_front_axle", "3.05", "m", "", 3.05),
        ("load.2.name", "spare wheel", "", "", "spare wheel"),
        ("load.2.mass", "25", "kg", "", 25.0),
        ("load.2.vehicle", "towed", "", "", "towed"),
        ("load.2.behind_front_axle", "2.9 m", "", "", 2.9),
    ),
}

HOW_SURE = {
    "tow_vehicle.front_axle_empty": 40 * LB,
    "tow_vehicle.rear_axle_empty": 15.0,
    "tow_vehicle.brakes.front_heated_mass": 2.2,  # 10 % of 22 kg
    "towed_vehicle.front_axle_empty": 30 * LB,
    "hitch.receiver_height": 0.5 * INCH,
}


def _first_command() -> list[list[str]]:
    """The README's first block of code as steps."""
    block = re.search(r"```\n(.+?)\n```", (REPOSITORY / "README.md").read_text(encoding="utf-8"), re.DOTALL)
    return [shlex.split(step) for step in block[1].split(" && ")]


@pytest.fixture(scope="module")
def opened(tmp_path_factory):
    """A fresh copy of the repository, its first command run, and the page it opens."""
    home = tmp_path_factory.mktemp("newcomer")
    copy = home / "workbook"
    shutil.copytree(
        REPOSITORY,
        copy,
        ignore=shutil.ignore_patterns(
            ".git", ".venv*", "__pycache__", "my_*", ".hypothesis", ".*_cache", ".ipynb_checkpoints"
        ),
    )
    *before, last = _first_command()
    assert "--LabApp.app_settings_dir=data/jupyterlab" in last, (
        "without these settings a letter typed in a list of the form is a command to JupyterLab: 'b' makes a"
        " cell, 'dd' deletes one"
    )
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    own = {
        name: str(home / name.lower())
        for name in (
            "JUPYTER_CONFIG_DIR",
            "JUPYTER_DATA_DIR",
            "JUPYTER_RUNTIME_DIR",
            "IPYTHONDIR",
            "JUPYTERLAB_SETTINGS_DIR",
            "JUPYTERLAB_WORKSPACES_DIR",
        )
    }
    environment = {
        name: value
        for name, value in os.environ.items()
        if name not in ("TOWLIB_READER_FOLDER", "PYTHONPATH", "VIRTUAL_ENV")
    } | own
    if FRESH:
        for step in before:
            subprocess.run(step, cwd=copy, env=environment, check=True, timeout=600)
    else:  # the environment of these tests stands in for .venv
        (copy / ".venv").symlink_to(sys.prefix)
    seen, opener = (
        home / "seen",
        home / "browser",
    )  # stands in for the reader's browser, and notes the page it was asked for
    opener.write_text(f'#!/bin/sh\necho "$1" > "{seen}.part" && mv "{seen}.part" "{seen}"\n')
    opener.chmod(0o755)
    log = (home / "lab.log").open("w")
    process = subprocess.Popen(
        [str(copy / last[0]), *last[1:], f"--port={port}", "--ServerApp.port_retries=0", "--allow-root"],
        cwd=copy,
        env=environment | {"BROWSER": f"{opener} %s"},
        stdout=log,
        stderr=log,
    )
    try:
        deadline = time.monotonic() + 90
        while not seen.exists():
            assert process.poll() is None and time.monotonic() < deadline, (home / "lab.log").read_text()[
                -2000:
            ]
            time.sleep(0.1)
        with browser.browser_page() as (page, errors):
            page.goto(seen.read_text().strip())
            yield page, errors, copy
    finally:
        process.terminate()
        try:
            process.wait(20)
        except subprocess.TimeoutExpired:
            process.kill()
        log.close()


def _open(page, heading: str):
    """Open a section of the form with the keyboard."""
    name = re.compile("^" + re.escape(heading.rstrip(":")) + r": \d")
    fold = page.locator("button.towlib-fold", has_text=name)
    fold.focus()
    page.keyboard.press("Enter")
    return fold


def _answer(page, path: str, typed: str, unit: str, plus_minus: str) -> None:
    """Type one answer, pick its unit by its letters, say how sure it is, and leave the field."""
    field = page.locator(f".towlib-field-{path.replace('.', '-')} :is(input, select)")
    field.focus()
    if field.evaluate("(part) => part.tagName") == "INPUT":
        page.keyboard.press("Control+a")
    page.keyboard.type(typed)
    page.keyboard.press("Tab")
    if unit:
        shown = "() => document.activeElement.selectedOptions[0].text"
        if page.evaluate(shown) != unit:  # as in any list, the first letter again would take the next one
            page.keyboard.type(unit)
        assert page.evaluate(shown) == unit
        page.keyboard.press("Tab")
    if plus_minus:
        page.keyboard.type(plus_minus)
        page.keyboard.press("Tab")


def _said(page, path: str, words: str) -> None:
    """Wait for the line beside a field."""
    page.wait_for_function(
        "([field, words]) => document.querySelector(field).closest('.towlib-form .widget-hbox"
        " .widget-hbox').parentElement.innerText.includes(words)",
        arg=[f".towlib-field-{path.replace('.', '-')}", words],
        timeout=20_000,
    )


def _plain(words: str) -> str:
    return " ".join(html.unescape(re.sub("<[^>]+>", " ", words)).split())


def test_from_the_first_command_to_the_sheet_of_an_own_rig(opened):
    page, errors, copy = opened
    assert sum(len(answers) for answers in OWN.values()) >= 40
    page.wait_for_selector(f"{browser.FRONT} h1:text('Start here')", timeout=60_000)
    browser.run_all(page)
    _answer_everything(page)
    rig_file = copy / "notebooks" / "my_rig.toml"
    _soon(lambda: _rig_is_what_was_typed(load_rig(rig_file)))
    start = page.locator(browser.FRONT)
    start.locator("button:text-is('Look again')").last.click()
    expect(start).to_contain_text("limits are not known. To find out, most useful first:", timeout=20_000)
    page.dblclick(".jp-DirListing-item:has-text('11_trip_sheet.ipynb')")
    page.wait_for_selector(f"{browser.FRONT} h1:text('sheet')", timeout=60_000)
    browser.run_all(page)
    lesson = page.locator(browser.FRONT)
    expect(lesson).to_contain_text("This is the invented pair; choose 'my rig' under Vehicles to see yours.")
    for label, choice in (("Vehicles", "my rig"), ("Road", Path(ROAD).stem.replace("_", " "))):
        lesson.locator(".widget-dropdown", has_text=label).locator("select").select_option(label=choice)
    plan = make_plan(load_rig(rig_file), load_route(REPOSITORY / "data" / "routes" / ROAD))
    expect(lesson).to_contain_text("This is your own rig.", timeout=20_000)
    expect(lesson).to_contain_text(f"Road: {plan.route.name},", timeout=20_000)
    expect(lesson).to_contain_text(plan.verdict)
    lesson.locator("button:text-is('Write the trip sheet')").click()
    link = lesson.locator("a:text-is('Open the sheet')")
    link.wait_for(timeout=60_000)
    expect(lesson).to_contain_text("This is your own rig. Written: my_trip_sheet.html")
    assert page.locator("text=Traceback").count() == 0
    assert page.locator("[data-mime-type='application/vnd.jupyter.stderr']").count() == 0
    assert browser.our_errors(errors) == []
    sheet = (copy / "notebooks" / "my_trip_sheet.html").read_text(encoding="utf-8")
    _sheet_says_what_the_plan_says(sheet, plan)
    with page.context.expect_page() as new:
        link.click()
    expect(new.value.locator("h1")).to_contain_text("Grandfather's pickup")


def _answer_everything(page) -> None:
    for heading, answers in OWN.items():
        fold = _open(page, heading)
        page.locator(f".towlib-field-{answers[0][0].replace('.', '-')}").wait_for()
        for path, typed, unit, plus_minus, _ in answers:
            if path == "tow_vehicle.gvwr":  # a slip first: a force where a mass is asked
                _answer(page, path, "7,000 lbf", "", "")
                _said(page, path, "force")
            _answer(page, path, typed, unit, plus_minus)
        for path, *_ in answers:
            _said(page, path, "✓")
        page.wait_for_function(
            "([fold, count]) => fold.innerText.includes(count)",
            arg=[
                fold.element_handle(),
                "3 filled in" if heading == "People and cargo" else f": {len(answers)} of ",
            ],
        )
        assert "not read" not in fold.inner_text()


def _soon(check, seconds: float = 10.0) -> None:
    """Ask again for a while: letters typed quickly in a list are sent one after the other, and the last may
    still be on its way.
    """
    deadline = time.monotonic() + seconds
    while True:
        try:
            return check()
        except AssertionError:
            if time.monotonic() > deadline:
                raise
            time.sleep(0.2)


def _rig_is_what_was_typed(rig) -> None:
    for answers in OWN.values():
        for path, *_, expected in answers:
            found = rig
            for part in path.split("."):
                found = found[int(part)] if part.isdigit() else getattr(found, part)
            if expected is not None:
                assert found == (
                    pytest.approx(expected, rel=1e-9) if isinstance(expected, float) else expected
                ), path
    assert {path: round(wide, 9) for path, wide in rig.plus_minus.items()} == {
        path: round(wide, 9) for path, wide in HOW_SURE.items()
    }
    assert rig.invented is not True


def _sheet_says_what_the_plan_says(sheet: str, plan) -> None:
    words = _plain(re.sub(r"<svg.*?</svg>|<style.*?</style>", "", sheet, flags=re.DOTALL))
    assert (
        words.count("Grandfather's pickup and The little green one") == 2
    )  # in the page's title and at its top
    assert plan.verdict in words and plan.governing.title in words
    assert {limit.answer for limit in plan.limits} == {WITHIN, OVER, NOT_KNOWN}  # this rig has some of each
    rows = {
        tuple(_plain(cell) for cell in re.findall(r"<td>(.*?)</td>", row, re.DOTALL))
        for row in re.findall(r"<tr.*?</tr>", sheet, re.DOTALL)
    }
    for limit in plan.limits:
        cells = limit_cells(limit, "metric")
        if limit.answer == NOT_KNOWN or (limit.kind, limit.answer) == (YES_NO, WITHIN):
            assert limit.title in words
        else:
            assert any(row[:3] == tuple(map(_plain, cells[:3])) for row in rows), cells
    gvwr = next(row for row in rows if row[:1] == ("Tow vehicle, total (GVWR)",))
    assert gvwr[2] == f"{7000 * LB:,.0f} kg"  # the rating as typed, whatever the plan does with it
