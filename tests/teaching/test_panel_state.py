"""The panel's mind without a screen: SI stays the truth, ends are kept, settings come back."""

from typing import NamedTuple

import pytest

from towlib.lessons.declare import Panel
from towlib.lessons.slider_rows import PanelSpec, Slider
from towlib.rig.model import read_rig_text
from towlib.teaching.panel.panel_state import PanelState
from towlib.units import from_si, show, unit_label

SPEC = PanelSpec(
    "99_x",
    "p",
    "A panel",
    (
        Slider("mass_kg", "Mass", "mass", 0.0, 900.0, 300.0, 10.0, "load", "", ""),
        Slider("air_c", "Air", "temperature", -10.0, 45.0, 20.0, 1.0, "road", "", ""),
        Slider("links", "Links", "count", 3.0, 40.0, 20.0, 1.0, "view", "", ""),
    ),
)


class Result(NamedTuple):
    total_kg: float


RIG = """
[tow_vehicle]
front_axle_empty = "1300 kg"
rear_axle_empty = "1000 kg"
wheelbase = "3.5 m"
payload = "600 kg"
safety = 0
[towed_vehicle]
front_axle_empty = "700 kg"
rear_axle_empty = "650 kg"
wheelbase = "2.3 m"
brakes_fitted = false
[tow_bar]
mass = "24 kg"
""".replace("safety = 0\n", "")


def _rig(text=RIG):
    return lambda name: read_rig_text(text, file="my_rig.toml")


def _compute(facts, *, mass_kg, air_c, links):
    if mass_kg > 800:
        raise ValueError("more than the bed holds")
    return Result(mass_kg + links)


class _Drawing:
    size_in, frames = (4.0, 2.0), 1

    def build(self, picture, system):
        picture.frame(0, x_label=unit_label("mass", system), x=(0, 1000), y=(0, 1))
        picture.line("line", 0, 0)

    def update(self, picture, result, system):
        picture.move("line", [0, from_si(result.total_kg, "mass", system)], [0, 1])


def _state(**more):
    return PanelState(
        SPEC,
        Panel(
            "p", _compute, _Drawing, lambda result, system: f"Total {show(result.total_kg, 'mass', system)}."
        ),
        _rig(),
        **more,
    )


def test_switching_units_back_and_forth_changes_no_value():
    state = _state()
    state.set("mass_kg", 333.3333333333)
    before = dict(state.values)
    for _ in range(20):
        state.use_system("us")
        assert state.sentence_text.endswith("lb.")
        state.use_system("metric")
    assert state.values == before and state.sentence_text.endswith("kg.")


def test_shown_numbers_are_in_the_shown_units():
    state = _state(system="us")
    assert state.set_shown("mass_kg", 1000) == ""
    assert state.values["mass_kg"] == pytest.approx(453.59237)  # NIST SP 811: 1 lb = 0.45359237 kg
    state.set_shown("air_c", 86)
    assert state.values["air_c"] == pytest.approx(30.0)
    state.set_shown("links", 12)
    assert state.values["links"] == 12


def test_beyond_the_end_stops_there_and_says_so():
    state = _state()
    assert state.set("mass_kg", 5000) == "Mass goes from 0 kg to 900 kg; set to the nearer end."
    assert state.values["mass_kg"] == 900.0


def test_impossible_is_a_sentence_and_the_picture_stays():
    state = _state()
    before = state.picture.png()
    state.set("mass_kg", 850)
    state.update()
    assert state.failed and state.sentence_text == "Not possible: more than the bed holds"
    assert state.picture.png() == before
    state.set("mass_kg", 100)
    state.update()
    assert not state.failed and state.sentence_text == "Total 120 kg."


def test_reset_and_kept():
    state = _state()
    state.picture.keep()
    state.set("mass_kg", 10)
    state.reset()
    assert state.values["mass_kg"] == 300.0 and state.picture.kept_count == 0


@pytest.mark.parametrize("system", ["metric", "us"])
def test_settings_in_words_bring_the_values_back(system):
    state = _state(system=system)
    state.set("mass_kg", 123.4)
    state.set("air_c", -3.0)
    words = state.settings_words()
    assert words.startswith("Settings: ") and words.endswith(".")
    found = {
        slider.name: words.partition(f"{slider.label} ")[2].partition(";")[0].rstrip(".")
        for slider in SPEC.sliders
    }
    again = _state(system="metric", settings=found)  # as the words say it
    for name, value in state.values.items():
        assert again.values[name] == pytest.approx(value, rel=1e-5)


def test_a_wrong_setting_names_the_sliders():
    with pytest.raises(ValueError, match="mass_kg"):
        _state(settings={"weight": "3 kg"})
    with pytest.raises(ValueError, match="2950 lb"):
        _state(settings={"mass_kg": "3 lbf"})


def test_corners_hold_every_extreme():
    corners = list(_state().corners())
    assert len(corners) == 1 + 2**3
    for slider in SPEC.sliders:
        assert {slider.low, slider.high} <= {corner[slider.name] for corner in corners}


def test_other_errors_are_not_hidden():
    state = _state()
    state._panel = state._panel._replace(compute=lambda facts, **values: 1 / 0)
    with pytest.raises(ZeroDivisionError):
        state.update()


# ---- sliders that are fields of the rig ----

FIELDS = """
[panels.p]
title = "A panel"
[[panels.p.sliders]]
from = "tow_vehicle.wheelbase"
low = "2.4 m"
high = "3.2 m"
step = "0.05 m"
why_this_range = "common wheelbases"
[[panels.p.sliders]]
from = "tow_vehicle.payload"
low = "300 kg"
high = "900 kg"
step = "10 kg"
why_this_range = "common payloads"
[[panels.p.sliders]]
from = "hitch.ball_load"
low = "0 kg"
high = "300 kg"
step = "1 kg"
why_this_range = "level bar to trailer"
[[panels.p.sliders]]
from = "towed_vehicle.brakes_fitted"
why_this_range = "with and without"
"""


def _of_rig(tmp_path, text=RIG, compute=None, **more):
    from towlib.lessons.slider_rows import load_panel

    (tmp_path / "99_x.toml").write_text(FIELDS)

    def ratings(facts):
        need = [facts.need(f"tow_vehicle.{name}") for name in ("wheelbase", "payload")]
        return Result(need[0] + need[1] + 10_000.0 * facts.need("towed_vehicle.brakes_fitted"))

    panel = Panel("p", compute or ratings, _Drawing, lambda result, system: f"{result.total_kg:.2f}")
    return PanelState(load_panel("99_x", "p", tmp_path), panel, _rig(text), **more)


def test_a_slider_of_a_field_starts_at_the_rig_and_its_range_widens_to_hold_it(tmp_path):
    state = _of_rig(tmp_path)
    wheelbase = state.slider("tow_vehicle.wheelbase")
    assert (wheelbase.label, wheelbase.kind) == ("Tow vehicle, wheelbase", "length")
    assert wheelbase.start == wheelbase.high == 3.5 and wheelbase.low == 2.4  # the row ends at 3.2 m
    assert state.slider("hitch.ball_load").start == 12.0  # half of the bar's 24 kg
    assert state.slider("brakes_fitted").options == ("no", "yes")
    assert state.sentence_text == "603.50"


def test_moving_it_changes_the_fact_for_this_panel_alone(tmp_path):
    state = _of_rig(tmp_path)
    state.set("tow_vehicle.payload", 700.0)
    state.set_text("towed_vehicle.brakes_fitted", "yes")
    state.update()
    assert state.sentence_text == "10703.50"
    assert state.moved_fields() == {
        "tow_vehicle.payload": ("600 kg", "700 kg"),
        "towed_vehicle.brakes_fitted": ("false", "true"),
    }
    state.set("hitch.ball_load", 100.0)
    assert "hitch.ball_load" not in state.moved_fields()  # no field of a rig file
    state.reset()
    assert state.sentence_text == "603.50" and not state.moved_fields()


def test_what_the_rig_lacks_is_named_and_asked_for(tmp_path):
    state = _of_rig(tmp_path, RIG.replace('payload = "600 kg"\n', ""))
    assert state.failed and state.missing == ("tow_vehicle.payload",)
    assert state.sentence_text.startswith("Not known: the rig file does not say: most that people")
    state.use_rig(_rig())
    assert not state.failed and state.missing == () and state.sentence_text == "603.50"


def test_a_rig_that_cannot_be_read_is_a_sentence(tmp_path):
    state = _of_rig(tmp_path, RIG.replace('wheelbase = "3.5 m"\n', ""))
    assert state.failed and state.missing == ("tow_vehicle.wheelbase",)
    assert state.sentence_text.startswith("Not known: my_rig.toml, field 'tow_vehicle.wheelbase'")


def test_another_rig_gives_other_starts_and_drops_what_was_kept(tmp_path):
    state = _of_rig(tmp_path)
    state.set("tow_vehicle.payload", 700.0)
    state.keep()
    state.use_rig(_rig(RIG.replace("600 kg", "500 kg")))
    assert state.values["tow_vehicle.payload"] == 500.0 and state.picture.kept_count == 0
