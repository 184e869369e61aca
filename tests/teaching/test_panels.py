"""The widgets of a panel without a browser: what the page would send, and what it would be shown."""

import itertools
import threading
import time
from typing import NamedTuple

import pytest

from towlib.errors import InputError
from towlib.lessons.declare import Given, Panel, Question
from towlib.lessons.predictions import Option, Prediction
from towlib.lessons.slider_rows import PanelSpec, Slider
from towlib.rig.store import RigStore
from towlib.teaching import settings as choices
from towlib.teaching.form.reader_form import asked_in_panels
from towlib.teaching.panel import panels, rig_in_use
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


def _compute(facts, *, cargo_kg, air_c, links, layout, braked):
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


PANEL = Panel("p", _compute, _Drawing, _words)


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("TOWLIB_READER_FOLDER", str(tmp_path))
    monkeypatch.setattr(panels, "_LIVE", {})
    monkeypatch.setattr(panels.settings, "_watchers", {"panels": panels._follow})


def _panel(**more):
    return panels.Panel(PanelState(SPEC, PANEL, rig_in_use.invented, **more))


def _shown(monkeypatch, name="p"):
    monkeypatch.setattr(panels, "load_panel", lambda lesson, panel: SPEC)
    monkeypatch.setattr(panels, "panel_of", lambda lesson, panel: PANEL)
    return panels.show_panel("99_x", name)


def _bar(panel, name):
    return panel._rows[name][0]


def _entry(panel, name):
    return panel._rows[name][1]


def _click(panel, words):
    next(button for button in _buttons(panel) if button.description == words).click()


def _buttons(panel):
    return next(part for part in _all(panel.widget) if "towlib-buttons" in part._dom_classes).children


def _all(widget):
    yield widget
    for child in getattr(widget, "children", ()):
        yield from _all(child)


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
    _click(panel, "Keep curve")
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
    _click(panel, "Keep curve")
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
    _click(panel, "Settings")
    words = panel._message.value
    found = {s.name: words.partition(f"{s.label} ")[2].partition(";")[0].rstrip(".") for s in SLIDERS}
    again = _panel(settings=found)  # as the words say it
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


def test_units_chosen_in_one_panel_hold_for_all_and_for_the_next_start(monkeypatch, tmp_path):
    panel = _shown(monkeypatch)
    other = _shown(monkeypatch, "q")
    panel._units.value = "us"
    assert other.state.system == "us" and "lb" in other.sentence_text
    assert 'units = "us"' in (tmp_path / choices.NAME).read_text()
    assert _shown(monkeypatch, "r").state.system == "us"
    panels.use_system("metric")
    assert panel.state.system == other.state.system == "metric"
    with pytest.raises(InputError, match="metric, us"):
        panels.use_system("imperial")


def test_projector_view_is_one_switch_for_all_panels_and_for_each(monkeypatch):
    panel = _shown(monkeypatch)
    usual = panel.state.picture.figure.bbox.width
    _click(panel, "Keep curve")
    panels.use_projector()
    try:
        # letters grow with everything else; the kept curve and its label stay
        assert panel.state.picture.figure.bbox.width == pytest.approx(1.5 * usual)
        assert "towlib-large" in panel.widget._dom_classes and panel.state.picture.kept_count == 2
        assert _shown(monkeypatch, "q").state.zoom == 1.5
    finally:
        panels.use_projector(False)
    assert panel.state.picture.figure.bbox.width == usual and "towlib-large" not in panel.widget._dom_classes
    panel._large.value = True
    assert panel.state.zoom == 1.5


def test_a_narrow_screen_gets_a_narrow_picture_with_the_same_values(monkeypatch):
    panel = _shown(monkeypatch)
    panel.set("cargo_kg", 400.0)
    panel._width.narrow = True
    assert panel.state.picture.narrow and panel.state.values["cargo_kg"] == 400.0
    assert panel.state.picture.figure.get_size_inches()[0] == pytest.approx(4.9)
    panel._width.narrow = False
    assert not panel.state.picture.narrow


def test_controls_have_names_and_units():
    panel = _panel(system="us")
    assert _entry(panel, "cargo_kg").description == "Type a value: Cargo [lb]"
    assert (
        _bar(panel, "layout").description == "Chains" and _bar(panel, "braked").description == "Towed brakes"
    )
    for button in _buttons(panel):
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

    def slow(facts, **values):
        busy.append(1)
        most.append(len(busy))
        time.sleep(0.01)
        busy.pop()
        return _compute(facts, **values)

    panel = panels.Panel(PanelState(SPEC, PANEL._replace(compute=slow), rig_in_use.invented))
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
    easy = PANEL._replace(compute=lambda facts, **values: Result(values["s0_kg"], "", False))
    state = PanelState(spec, easy, rig_in_use.invented)
    start, *corners = state.corners()
    assert start == dict.fromkeys(start, 300.0)
    assert len(corners) == len({tuple(corner.values()) for corner in corners}) == min(2**count, MOST_CORNERS)
    for first, second in itertools.combinations(start, 2):
        assert len({(corner[first], corner[second]) for corner in corners}) == 4, (first, second)
    assert dict.fromkeys(start, 0.0) in corners and dict.fromkeys(start, 900.0) in corners


# ---- the reader's own rig ----
RIG = """
[tow_vehicle]
front_axle_empty = "1300 kg"
rear_axle_empty = "1000 kg"
wheelbase = "3.5 m"
ball_behind_rear_axle = "1.2 m"
rear_overhang = "1.0 m"
[towed_vehicle]
front_axle_empty = "700 kg"
rear_axle_empty = "650 kg"
wheelbase = "2.3 m"
[tow_bar]
mass = "24 kg"
"""


def _weights(tmp_path, text=RIG):
    (tmp_path / "my_rig.toml").write_text(text)
    choices.choose("rig", "mine")
    return panels.show_panel("01_weight_ratings", "room_left", ask=asked_in_panels())


def test_my_rig_in_one_panel_is_my_rig_in_all_and_for_the_next_start(tmp_path):
    (tmp_path / "my_rig.toml").write_text(RIG)
    panel = panels.show_panel("01_weight_ratings", "axle_loads")
    other = panels.show_panel("01_weight_ratings", "room_left")
    invented = panel.sentence_text
    panel._rig.value = "mine"
    assert panel.sentence_text != invented and other._rig.value == "mine"
    assert panel.state.values["hitch.ball_load"] == 12.0
    assert 'rig = "mine"' in (tmp_path / choices.NAME).read_text()
    panel._rig.value = "invented"
    assert panel.sentence_text == invented


def _asked(panel, path):
    """The box in which a panel asks for a field."""
    name = "towlib-field-" + path.replace(".", "-")
    return next(part for part in _all(panel._asked) if name in getattr(part, "_dom_classes", ()))


def test_what_is_missing_is_asked_for_in_the_panel_and_kept_in_the_rig(tmp_path):
    panel = _weights(tmp_path)
    for path, value in (("payload", "700"), ("front_gawr", "1700"), ("rear_gawr", "1900"), ("gvwr", "3300")):
        asked = panel.state.missing
        assert asked == (f"tow_vehicle.{path}",) and panel.state.failed
        _asked(panel, asked[0]).value = value
    assert panel.state.missing == () and not panel.state.failed and not panel._asked.children
    assert RigStore().text("tow_vehicle.gvwr") == "3300 kg"
    assert "can still be added" in panel.sentence_text


def test_without_any_rig_a_panel_names_and_asks_what_is_needed_and_boxes_stay_while_typing(tmp_path):
    choices.choose("rig", "mine")
    panel = panels.show_panel("01_weight_ratings", "axle_loads", ask=asked_in_panels())
    other = panels.show_panel("01_weight_ratings", "room_left", ask=asked_in_panels())
    needed = {
        f"{part}_vehicle.{name}": value
        for part in ("tow", "towed")
        for name, value in (("front_axle_empty", "900"), ("rear_axle_empty", "800"), ("wheelbase", "3"))
    }
    assert set(panel.state.missing) == set(needed) == set(other.state.missing)
    for words in ("Tow vehicle: front axle", "Towed vehicle: front axle", "front hub to rear hub"):
        assert words in panel.sentence_text
    for part, section in (("tow", "Tow vehicle"), ("towed", "Towed vehicle")):
        box = _asked(panel, f"{part}_vehicle.wheelbase")  # alike in both vehicles, so it says which
        assert box.description == f"{section}: front hub to rear hub"
    boxes = {path: _asked(panel, path) for path in needed}
    for path, value in needed.items():
        boxes[path].value = value
        assert all(_asked(panel, each) is box for each, box in boxes.items()), "a box came anew"
        assert _asked(other, path).value == value  # answered here, shown there
    assert panel.state.missing == ("tow_vehicle.ball_behind_rear_axle",)
    _asked(panel, "tow_vehicle.ball_behind_rear_axle").value = "1.2"
    assert panel.state.missing == () and not panel._asked.children
    assert RigStore().rig().tow_vehicle.wheelbase == 3.0


def test_a_field_that_cannot_be_read_is_still_missing(tmp_path):
    (tmp_path / "my_rig.toml").write_text(RIG.replace('wheelbase = "3.5 m"', ""))
    RigStore().put("tow_vehicle.wheelbase", "long")
    with pytest.raises(rig_in_use.NoRigYet, match="Tow vehicle: front hub") as said:
        rig_in_use.readers_own("demo_comfortable")
    assert said.value.missing == ("tow_vehicle.wheelbase",)
    (tmp_path / "my_rig_not_read.toml").unlink()
    (tmp_path / "my_rig.toml").write_text(RIG.replace("3.5 m", "3.5 kg"))
    with pytest.raises(InputError, match="kg") as said:
        rig_in_use.readers_own("demo_comfortable")
    assert not isinstance(said.value, rig_in_use.NoRigYet)


def test_texts_on_the_rig_are_told_when_a_panel_changed_it(tmp_path):
    told = []
    choices.watch("test", lambda name, value: told.append(name))
    panel = _weights(tmp_path)
    told.clear()
    _asked(panel, "tow_vehicle.payload").value = "700"
    assert told == [panels.RIG_FILE]


def test_a_panel_without_a_vehicle_is_not_asked_whose(tmp_path):
    choices.choose("rig", "mine")
    panel = panels.show_panel("08_lights_and_battery", "fault_finder", ask=asked_in_panels())
    assert not panel.state.failed and not panel._asked.children
    choices.choose("rig", "invented")
    choices.choose("rig", "mine")
    assert not panel.state.failed and panel._keep_button.layout.display == "none"


def test_a_button_offers_the_page_it_wrote():
    button = panels.AnswerButton("Write", "Writes", lambda: "Written.", link="Open it")
    assert button.page == "" and button._link.label == "Open it"
    button.offer("<p>a page</p>")
    assert button.page == "<p>a page</p>"


def test_a_bad_answer_in_the_panel_says_why_and_is_not_lost(tmp_path):
    panel = _weights(tmp_path)
    field = next(part for part in _all(panel._asked) if "towlib-field" in " ".join(part._dom_classes))
    field.value = "seven hundred"
    said = " ".join(str(getattr(part, "value", "")) for part in _all(panel._asked))
    assert "wanted mass" in said and RigStore().unread() == {"tow_vehicle.payload": "seven hundred"}


def test_slider_values_go_into_the_rig_and_one_step_back(tmp_path):
    panel = panels.show_panel("02_hitch_geometry", "side_view")
    full = (
        RIG
        + """
[hitch]
receiver_height = "480 mm"
ball_mount_change = "2 in"
"""
    )
    (tmp_path / "my_rig.toml").write_text(full)
    choices.choose("rig", "mine")
    if panel.state.slider("hitch.receiver_height"):
        panel.set("hitch.receiver_height", 0.52)
    _click(panel, "Keep in my rig")
    assert "520 mm (was 480 mm)" in panel._message.value
    assert RigStore().text("hitch.receiver_height") == "520 mm"
    assert panel.state.slider("hitch.receiver_height").start == pytest.approx(0.52)
    _click(panel, "Undo")
    assert RigStore().text("hitch.receiver_height") == "480 mm"
    assert panel.state.slider("hitch.receiver_height").start == pytest.approx(0.48)


def test_the_button_for_my_rig_shows_only_with_my_rig(tmp_path):
    panel = panels.show_panel("01_weight_ratings", "axle_loads")
    assert panel._keep_button.layout.display == "none"
    _click(panel, "Keep in my rig")
    assert "nothing was written" in panel._message.value and not (tmp_path / "my_rig.toml").exists()


# ---- guesses, what should have been seen, exercises ----
GUESS = Prediction(
    "99.predict-1",
    "p",
    "More or less?",
    (Option("more", "no, because"), Option("less", "yes, because", right=True)),
)


def test_a_guess_is_chosen_with_words_and_kept():
    kept = []
    box = panels.PredictionBox(GUESS, "", lambda words: kept.append(words) or "Kept.")
    assert box.answer(None, "words alone").startswith("Choose one first") and not kept
    assert box.answer("less", "it weighs <b>") == "Kept." and kept == ["less | it weighs <b>"]
    again = panels.PredictionBox(GUESS, kept[0], lambda words: "")
    assert again._choice.value == "less" and again._words.value == "it weighs <b>" and again.kept


def test_an_earlier_guess_in_words_alone_is_not_lost():
    box = panels.PredictionBox(GUESS, "about the same", lambda words: "")
    assert box._choice.value is None and box._words.value == "about the same"


def test_what_should_have_been_seen_stays_folded_until_asked_for():
    asked = []
    fold = panels.SeenFold(lambda: asked.append(1) or "**Look**: 3 kg <script>")
    assert not asked and fold.text == ""
    fold.open()
    assert "Look: 3 kg <script>" in fold.text and "<script>" not in fold._text.value


def test_an_exercise_is_checked_drawn_anew_and_shows_its_way_on_request():
    def draw(seed):
        right = 10.0 * seed
        return Given(
            f"Twice {5 * seed} kg?",
            (
                Question("", "mass", right, {"halved": right / 2}),
                Question("Which?", "choice", "a", options=("a", "b")),
            ),
            f"It is {right:.0f} kg.",
        )

    kept = []

    def check(seed, which, text):
        from towlib.lessons.judging import judge_question

        kept.append((seed, which, text))
        return judge_question(text, draw(seed).questions[which])

    box = panels.ExerciseBox(draw, check)
    assert box.way_text == ""
    assert box.answer("5 kg", "b") == [
        "Not yet: halved.",
        "Not yet: go through the worked example again, line by line.",
    ]
    assert box.answer("10 kg", "a") == ["Right: 10 kg.", "Right: a."]
    box._next()
    assert "Twice 10 kg" in box._words.value and box.answer("20 kg", "a")[0].startswith("Right")
    assert kept[-2][:2] == (2, 0)
    box._show_way()
    assert "It is 20 kg." in box.way_text
    box.take_set(7)
    assert box.way_text == "" and box._entries[0][0].value == ""
