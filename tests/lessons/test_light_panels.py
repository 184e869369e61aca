"""Lesson 08: what its panels compute and say, by hand and against the handbook; the sentences of the notebook
hold.
"""

import itertools
import tomllib

import pytest

from towlib.handbook.electric_tables import fault_steps, lamp_names, symptoms, wire_sizes
from towlib.lessons.l08_electrics import battery_panels, fault_finder, light_pictures, lights
from towlib.lessons.slider_rows import FOLDER, load_panel
from towlib.physics.electric.battery import discharge_h

MODULES = {
    "volts": lights,
    "light_left": lights,
    "shared_ground": lights,
    "fault_finder": fault_finder,
    "battery": battery_panels,
}


def _start(panel, **changes):
    sliders = {s.name: s.argument(s.start) for s in load_panel("08_lights_and_battery", panel).sliders}
    return getattr(MODULES[panel], panel)(**{**sliders, **changes})


def test_the_options_are_those_of_the_tables():
    panels = tomllib.loads((FOLDER / "08_lights_and_battery.toml").read_text(encoding="utf-8"))["panels"]
    options = {
        (panel, row["name"]): tuple(row.get("options", ()))
        for panel, table in panels.items()
        for row in table["sliders"]
    }
    assert options["volts", "wire_size"] == wire_sizes() and options["fault_finder", "symptom"] == symptoms()
    assert options["volts", "lamp_name"] == options["light_left", "lamp_name"] == lamp_names()
    assert options["volts", "diode"] == tuple(lights.DIODES) and options["shared_ground", "lit"] == tuple(
        lights.LIT
    )
    assert options["battery", "kind"] == tuple(battery_panels.EXPONENTS)


def test_volts_of_the_first_panel():
    found = _start("volts")
    assert found.circuit.lamp_v == pytest.approx(
        12.344, abs=2e-3
    )  # SciPy brentq, see the handbook's lamp_volts (25 ft; 7.6 m is 0.3 % less)
    assert found.fuse_a == 7.5 and found.over_rule
    thick = _start(
        "volts", wire_size="12 AWG", return_way="frame", connector_ohm=0.0, ground_ohm=0.0, lamp_count=1
    )
    assert thick.circuit.light > 0.95 and not thick.over_rule
    assert _start("volts", diode="silicon").circuit.lost_v["diode"] == pytest.approx(0.75, abs=0.05)
    words = lights.volts_words(_start("volts", wire_size="20 AWG", lamp_count=4), "metric")
    assert "too thin for any fuse" in words


def test_light_left_agrees_with_the_first_panel():
    shared = {"length_m": 7.6, "lamp_count": 2, "supply_v": 13.5}
    found = _start("light_left", **shared)
    for size in ("18 AWG", "14 AWG"):
        assert found.here[size] == pytest.approx(
            _start("volts", wire_size=size, **shared).circuit.light, abs=2e-4
        )
        curve = dict(zip(found.lengths_m, found.light[size], strict=True))
        nearest = min(curve, key=lambda length: abs(length - 7.6))
        assert curve[nearest] == pytest.approx(
            _start("volts", wire_size=size, **{**shared, "length_m": nearest}).circuit.light, abs=2e-3
        )
    assert found.thinnest == "14 AWG" and _start("light_left", wanted_share=0.95).thinnest is None
    for lower, higher in itertools.pairwise(lights.SIZES):
        assert all(a <= b + 1e-9 for a, b in zip(found.light[lower], found.light[higher], strict=True))


def test_shared_ground_says_what_glows_wrongly():
    good, broken = _start("shared_ground"), _start("shared_ground", broken=True)
    assert (
        not good.wrong
        and not good.dim
        and "every lamp does what it should" in lights.shared_ground_words(good, "metric")
    )
    assert broken.wrong == ("left tail", "right tail", "plate") and broken.dim == (
        "left stop/turn",
        "right stop/turn",
    )
    assert broken.rear.ground_v == pytest.approx(
        12.248, abs=2e-3
    )  # SciPy fsolve, see the handbook's broken_ground
    wrong_side = _start("shared_ground", lit="tail lamps and left turn", broken=True)
    assert wrong_side.wrong == ("right stop/turn",)  # the other side signals
    blocked = _start("shared_ground", broken=True, tow_side="converter or diodes")
    assert not blocked.wrong and len(blocked.dim) == 2


def test_fault_finder_judges_the_reading():
    for symptom in symptoms():
        for step in fault_steps(symptom):
            inside, outside = (
                (step.low_v + step.high_v) / 2,
                step.high_v + 0.2 if step.high_v < 14 else step.low_v - 0.2,
            )
            good, bad = (
                fault_finder.fault_finder(symptom=symptom, step=step.number, reading_v=v)
                for v in (inside, outside)
            )
            assert good.as_expected and step.as_expected in fault_finder.fault_finder_words(good, "metric")
            assert not bad.as_expected and step.mend in fault_finder.fault_finder_words(bad, "us")
            assert {step.red, step.black} <= set(fault_finder.PLACES)
    assert (
        fault_finder.fault_finder(symptom=symptoms()[1], step=3, reading_v=0.0).number == 2
    )  # a step beyond the last is the last


def test_battery_of_the_notebook():
    found = _start("battery")
    capacity = 60.0 * (1 - 0.008 * 15) * 0.85
    by_hand = 0.5 * discharge_h(4.0, capacity_ah=capacity, rated_h=20.0, exponent=1.25)
    assert found.found.hours == pytest.approx(by_hand) and found.found.capacity_ah == pytest.approx(capacity)
    assert "over by" in battery_panels.battery_words(found, "metric")
    assert "within by" in battery_panels.battery_words(_start("battery", draw_a=1.0), "metric")
    assert "keeps up" in battery_panels.battery_words(_start("battery", feed_a=5.0), "metric")
    assert "even a full battery" in battery_panels.battery_words(
        _start("battery", temperature_c=-28.0, age_years=12), "us"
    )
    i = battery_panels.CURRENTS_A.index(4.0)
    assert found.by_current_h[i] == pytest.approx(by_hand) and found.new_warm_h[i] > by_hand
    assert found.shares[0] == 1.0 and found.shares[-1] == 0.0 and found.hours[1] == pytest.approx(2 * by_hand)


def test_names_beside_curves_stay_apart():
    for heights in (
        [1.0, 2.0, 3.0, 4.0, 5.0],
        [99.0, 99.5, 100.0, 100.0, 100.0],
        [10.0, 30.0, 50.0, 70.0, 90.0],
    ):
        apart = light_pictures._apart(heights, 6.5)
        assert (
            all(b - a >= 6.49 for a, b in itertools.pairwise(apart)) and apart[0] > 0 and apart[-1] <= 101.0
        )
