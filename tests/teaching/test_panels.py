"""The widgets of a panel without a browser: what the page would send, and what it would be shown."""

import itertools
import threading
import time
from typing import NamedTuple

import pytest

from towlib.errors import InputError
from towlib.lessons.slider_rows import PanelSpec, Slider
from towlib.teaching.panel import panels
from towlib.teaching.panel.panel_state import MOST_CORNERS, PanelState
from towlib.units import from_si, show, unit_label

SLIDERS = (
    Slider(
        "cargo_kg",
        "Cargo",
        "mass",
        0.0,
        900.0,
        300.0,
        10.0,
        "load",
        "an empty bed to more than it may carry",
        "invented",
    ),
    Slider("air_c", "Air", "temperature", -10.0, 45.0, 20.0, 1.0, "road", "winter to a hot day", "invented"),
    Slider("links", "Links", "count", 3.0, 40.0, 20.0, 1.0, "view", "short to long", "invented"),
    Slider(
        "layout",
        "Chains",
        "choice",
        0.0,
        1.0,
        1.0,
        1.0,
        "view",
        "both ways",
        "invented",
        options=("parallel", "crossed"),
    ),
    Slider(
        "braked",
        "Towed brakes",
        "switch",
        0.0,
        1.0,
        0.0,
        1.0,
        "view",
        "with and without",
        "invented",
        options=("off", "on"),
    ),
)
SPEC = PanelSpec("99_x", "p", "A panel", SLIDERS)


class Result(NamedTuple):
    total_kg: float
    layout: str
    braked: bool


def _compute(*, cargo_kg, air_c, links, layout, braked):
    if cargo_kg > 800:
        raise InputError(f"{cargo_kg:.0f} kg", "at most 800 kg")
    if links == 13:
        raise ZeroDivisionError("thirteen")
    return Result(cargo_kg + links, layout, braked)


class _Drawing:
    size_in, frames = (4.0, 2.0), 1

    def build(self, picture, system):
        picture.frame(0, x_label=unit_label("mass", system), x=(0, from_si(1000, "mass", system)), y=(0, 1))
        picture.line("line", 0, 0)

    def update(self, picture, result, system):
        picture.move("line", [0, from_si(result.total_kg, "mass", system)], [0, 1])


def _words(result, system):
    return f"Total {show(result.total_kg, 'mass', system)}, chains {result.layout}, brakes {result.braked}."


def _panel(**more):
    return panels.Panel(PanelState(SPEC, _compute, _Drawing(), _words, **more))


def _bar(panel, name):
    return panel._rows[name][0]


def _entry(panel, name):
    return panel._rows[name][1]


def _click(panel, words):
    buttons = panel.widget.children[3].children
    next(button for button in buttons if button.description == words).click()


def test_a_slider_moves_result_sentence_and_picture_together():
    panel = _panel()
    before = panel.png_bytes
    _bar(panel, "cargo_kg").value = 500.0
    assert (
        panel.result.total_kg == 520.0
        and panel.sentence_text.startswith("Total 520 kg")
        and panel.sentence_text in panel._sentence.value
    )
    assert panel.png_bytes != before and _entry(panel, "cargo_kg").value == 500.0
    assert panel._picture.tooltip == panel.sentence_text  # the name of the picture for a screen reader


def test_choice_and_switch_reach_the_physics_as_words_and_truth():
    panel = _panel()
    assert (panel.result.layout, panel.result.braked) == ("crossed", False)
    _bar(panel, "layout").value = 0.0
    _bar(panel, "braked").value = True
    assert (panel.result.layout, panel.result.braked) == ("parallel", True)


def test_switching_units_keeps_every_si_value_even_when_the_page_answers():
    panel = _panel()
    panel.set("cargo_kg", 333.3333333333)
    panel.set("air_c", 20.4)
    before = dict(panel.state.values)
    for system in ("us", "metric") * 5:
        panel.use_system(system)
        for name in ("cargo_kg", "air_c", "links"):
            bar = _bar(panel, name)
            stop = (
                bar.min + round((bar.value - bar.min) / bar.step) * bar.step
            )  # the page snaps to a step and writes back
            panel._on_slide(name, stop)
    assert panel.state.values == before
    panel.use_system("us")
    assert "lb" in panel.sentence_text and _bar(panel, "cargo_kg").step == 20.0
    assert _entry(panel, "air_c").value == 69  # 20.4 degC are 68.72 degF


def test_a_typed_value_between_two_stops_is_kept():
    panel = _panel(system="us")
    _entry(panel, "cargo_kg").value = 1001.0
    panel._on_slide("cargo_kg", _bar(panel, "cargo_kg").value)
    assert panel.state.values["cargo_kg"] == pytest.approx(1001 * 0.45359237)  # NIST SP 811
    assert _entry(panel, "cargo_kg").value == 1001.0 and _bar(panel, "cargo_kg").value == 1000.0


def test_typing_beyond_the_end_is_answered_in_a_sentence():
    panel = _panel()
    _entry(panel, "air_c").value = 99.0
    assert panel._message.value == "You typed 99. Air goes from -10 °C to 45 °C; set to the nearer end."
    assert _entry(panel, "air_c").value == 45.0 and panel.state.values["air_c"] == 45.0
    _entry(panel, "air_c").value = 30.0
    assert panel._message.value == ""


def test_not_a_number_changes_nothing():
    panel = _panel()
    _entry(panel, "air_c").value = float("nan")
    assert (
        panel.state.values["air_c"] == 20.0
        and "needs a number" in panel._message.value
        and _entry(panel, "air_c").value == 20.0
    )


def test_the_slider_reaches_both_exact_ends_in_us_units():
    panel = _panel(system="us")
    bar = _bar(panel, "cargo_kg")
    assert (bar.min, bar.max, bar.value) == (
        0.0,
        2000.0,
        660.0,
    )  # 300 kg are 661.4 lb; the page may only be told of whole steps
    bar.value = bar.max
    assert panel.state.values["cargo_kg"] == 900.0 and panel._message.value == ""


def test_an_impossible_setting_is_a_sentence_and_the_old_picture_grey():
    panel = _panel()
    before = panel.png_bytes
    _bar(panel, "cargo_kg").value = 850.0
    assert (
        panel.sentence_text == "Not possible: found 850 kg; wanted at most 800 kg."
        and panel.png_bytes == before
    )
    assert "towlib-stale" in panel._picture._dom_classes
    _bar(panel, "cargo_kg").value = 100.0
    assert (
        panel.sentence_text.startswith("Total 120 kg") and "towlib-stale" not in panel._picture._dom_classes
    )


def test_an_unforeseen_error_is_a_sentence_on_the_screen_and_raised_in_a_test():
    panel = _panel()
    _bar(panel, "links").value = 13.0
    assert panel.sentence_text == "This setting could not be computed (ZeroDivisionError: thirteen)."
    with pytest.raises(ZeroDivisionError):
        panel.set("links", 13)


def test_keep_survives_a_change_of_units_and_drop_removes():
    panel = _panel()
    plain = panel.png_bytes
    _click(panel, "Keep this curve")
    _bar(panel, "cargo_kg").value = 600.0
    kept = panel.png_bytes
    panel.use_system("us")
    assert panel.state.picture.kept_count == 2  # the curve and its label
    panel.use_system("metric")
    assert panel.png_bytes == kept
    _click(panel, "Drop kept")
    _bar(panel, "cargo_kg").value = 300.0
    assert panel.png_bytes == plain


def test_keeping_during_an_impossible_setting_keeps_what_is_drawn():
    panel = _panel()
    _bar(panel, "cargo_kg").value = 850.0
    _click(panel, "Keep this curve")
    panel.use_system("us")
    panel.set("cargo_kg", 300.0)
    assert panel.state.picture.kept_count == 2 and panel.sentence_text.startswith("Total")


def test_reset():
    panel = _panel()
    start = panel.png_bytes
    for name, value in (("cargo_kg", 20.0), ("links", 5.0), ("layout", 0.0), ("braked", True)):
        _bar(panel, name).value = value
    _click(panel, "Reset")
    assert (
        panel.png_bytes == start
        and _bar(panel, "layout").value == 1.0
        and _bar(panel, "braked").value is False
    )
    assert _entry(panel, "cargo_kg").value == 300.0


@pytest.mark.parametrize("system", ["metric", "us"])
def test_copied_settings_bring_back_the_very_same_values(system):
    panel = _panel(system=system)
    for name, value in (
        ("cargo_kg", 300.0 if system == "us" else 123.4),
        ("air_c", -3.0),
        ("links", 7),
        ("layout", 0),
        ("braked", 1),
    ):
        panel.set(name, value)
    _click(panel, "Copy settings")
    assert "settings={" in panel._message.value
    again = _panel(
        settings=eval(panel.state.settings_text().removeprefix("settings="))
    )  # the reader pastes it into a call
    assert again.state.values == pytest.approx(panel.state.values, rel=1e-9)


def test_settings_with_names_without_units_and_wrong_ones():
    assert _panel(settings={"cargo": "100 lb"}).state.values["cargo_kg"] == pytest.approx(
        45.359237
    )  # NIST SP 811
    for settings, said in (
        ({"carg": "1 kg"}, "no slider"),
        ({"layout": "loose"}, "parallel, crossed"),
        ({"links": "7.5"}, "whole number"),
        ({"cargo": 5}, "without a unit"),
    ):
        with pytest.raises(InputError, match=said):
            _panel(settings=settings)


def test_one_switch_moves_the_panels_on_the_screen(monkeypatch):
    monkeypatch.setattr(panels, "load_panel", lambda lesson, panel: SPEC)
    monkeypatch.setattr(panels, "_LIVE", {})
    panel = panels.show_panel("99_x", "p", _compute, _Drawing(), _words)
    try:
        panels.use_system("us")
        assert panel.state.system == "us" and "lb" in panel.sentence_text
        assert panels.show_panel("99_x", "p", _compute, _Drawing(), _words).state.system == "us"
    finally:
        panels.use_system("metric")
    with pytest.raises(InputError, match="'metric' or 'us'"):
        panels.use_system("imperial")


def test_projector_view_is_one_switch_for_all_panels_and_for_each(monkeypatch):
    monkeypatch.setattr(panels, "load_panel", lambda lesson, panel: SPEC)
    monkeypatch.setattr(panels, "_LIVE", {})
    panel = panels.show_panel("99_x", "p", _compute, _Drawing(), _words)
    usual = panel.state.picture.figure.bbox.width
    _click(panel, "Keep this curve")
    panels.use_projector()
    try:
        assert panel.state.picture.figure.bbox.width == pytest.approx(
            1.5 * usual
        )  # letters grow with everything else
        assert (
            "towlib-large" in panel.widget._dom_classes and panel.state.picture.kept_count == 2
        )  # the kept curve and its label
        assert panels.show_panel("99_x", "q", _compute, _Drawing(), _words).state.zoom == 1.5
    finally:
        panels.use_projector(False)
    assert panel.state.picture.figure.bbox.width == usual and "towlib-large" not in panel.widget._dom_classes
    switch = next(
        child for child in panel.widget.children[3].children if child.description == "Projector view"
    )
    switch.value = True
    assert panel.state.zoom == 1.5 and panel._picture.layout.max_width == f"{1.5 * usual:.0f}px"


def test_controls_have_names_and_units():
    panel = _panel(system="us")
    assert _entry(panel, "cargo_kg").description == "Type a value: Cargo [lb]"
    assert (
        _bar(panel, "layout").description == "Chains" and _bar(panel, "braked").description == "Towed brakes"
    )
    for button in panel.widget.children[3].children:
        assert button.description and button.tooltip


def test_two_hundred_moves_leave_nothing_behind():
    panel = _panel()
    picture = panel.state.picture
    parts = len(picture.figure.findobj())
    for i in range(200):
        _bar(panel, "cargo_kg").value = 10.0 * (i % 70)
    assert (
        panel.state.picture is picture
        and len(picture.figure.findobj()) == parts
        and picture.backgrounds_drawn == 1
    )


def test_unit_switches_close_the_widgets_they_replace():
    panel = _panel()
    old = _bar(panel, "cargo_kg"), _entry(panel, "cargo_kg")
    panel.use_system("us")
    assert all(widget.comm is None for widget in old)


def test_page_messages_in_two_threads_are_answered_one_after_the_other():
    # JupyterLab sends widget messages to more than one thread of the kernel
    busy, most = [], []

    def slow(**values):
        busy.append(1)
        most.append(len(busy))
        time.sleep(0.01)
        busy.pop()
        return _compute(**values)

    panel = panels.Panel(PanelState(SPEC, slow, _Drawing(), _words))
    workers = [
        threading.Thread(
            target=lambda name=name: [setattr(_bar(panel, name), "value", 4.0 + i) for i in range(8)]
        )
        for name in ("air_c", "links")
    ]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join()
    assert len(most) > 8 and max(most) == 1


@pytest.mark.parametrize("count", [3, 6, 7, 8, 10])
def test_corners_meet_every_pair_of_ends(count):
    spec = PanelSpec(
        "99_x", "p", "t", tuple(SLIDERS[0]._replace(name=f"s{i}_kg", label=f"s{i}") for i in range(count))
    )
    state = PanelState(spec, lambda **values: Result(values["s0_kg"], "", False), _Drawing(), _words)
    start, *corners = state.corners()
    assert start == dict.fromkeys(start, 300.0)
    assert len(corners) == len({tuple(corner.values()) for corner in corners}) == min(2**count, MOST_CORNERS)
    for first, second in itertools.combinations(start, 2):
        assert len({(corner[first], corner[second]) for corner in corners}) == 4, (first, second)
    assert dict.fromkeys(start, 0.0) in corners and dict.fromkeys(start, 900.0) in corners


def test_guess_box_says_what_was_kept():
    seen = []
    box = panels.ask_prediction("More or less?", "", lambda words: seen.append(words) or "Kept.")
    box.children[1].value = "less <b>"
    box.children[2].children[0].click()
    assert seen == ["less <b>"] and box.children[2].children[1].value == "Kept."
