"""The panel's mind without a screen: SI stays the truth, ends are kept, settings come back."""

from typing import NamedTuple

import pytest

from towlib.lessons.slider_rows import PanelSpec, Slider
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


def _compute(*, mass_kg, air_c, links):
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
        _compute,
        _Drawing(),
        lambda result, system: f"Total {show(result.total_kg, 'mass', system)}.",
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
def test_copied_settings_bring_the_values_back(system):
    state = _state(system=system)
    state.set("mass_kg", 123.4)
    state.set("air_c", -3.0)
    text = state.settings_text()
    again = _state(
        system="metric", settings=eval(text.removeprefix("settings="))
    )  # the reader pastes it into a call
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
    state._compute = lambda **values: 1 / 0
    with pytest.raises(ZeroDivisionError):
        state.update()
