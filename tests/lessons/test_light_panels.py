"""Lesson 08: what its panels compute and say, by hand and against the handbook, and with the plan; the
sentences and the table of the notebook hold.
"""

import itertools
import re
from pathlib import Path

import nbformat
import pytest

from towlib.handbook.electric_tables import (
    fault_steps,
    lamp,
    lamp_names,
    largest_fuse_a,
    symptoms,
    wire_section_m2,
    wire_sizes,
)
from towlib.lessons.declare import with_values
from towlib.lessons.l08_electrics import battery_panels, fault_finder, light_pictures, light_tables, lights
from towlib.lessons.slider_rows import load_panel
from towlib.limits.derived import DERIVED
from towlib.limits.electrics_limits import EXPONENTS, battery_with_key_on, lamp_feed_ohm
from towlib.paths import DATA
from towlib.physics.electric.battery import discharge_h
from towlib.physics.electric.lamps import fuse_a
from towlib.physics.electric.wire import longest_run_m
from towlib.rig.facts import Facts, NotKnown
from towlib.rig.field_types import type_of
from towlib.rig.model import field_info, load_rig

KEY = "08_lights_and_battery"
BRAKE = {"circuit": "brake or turn", "lamp_count": 2, "temperature_c": 20.0}
WANTED = {**BRAKE, "wanted_share": 0.75}
# the circuit of the handbook's worked example: 25 ft of 16 AWG there and back, 13.5 V
WORKED = {
    "lights.plug_volts": 13.5,
    "lights.wire_size": "16 AWG",
    "lights.wire_length": 25 * 0.3048,
    "lights.return_way": "own wire",
    "lights.contact_resistance": 0.03,
    "lights.ground_resistance": 0.05,
    "lights.between": "straight wires",
    "lights.lamp_kind": "two-filament",
}


def _facts(name="demo_comfortable", **values):
    facts = Facts(load_rig(DATA / "rigs" / f"{name}.toml"))
    return with_values(facts, {path.replace("__", "."): value for path, value in values.items()})


def _with(**lights_values):
    return _facts(**{**WORKED, **{f"lights.{name}": value for name, value in lights_values.items()}})


def test_the_options_are_those_of_the_tables():
    options = {
        (panel, slider.name): slider.options
        for panel in ("volts", "shared_ground", "fault_finder", "battery")
        for slider in load_panel(KEY, panel).sliders
    }
    assert options["volts", "lights.wire_size"] == wire_sizes()
    assert options["fault_finder", "symptom"] == symptoms()
    assert options["volts", "lights.between"] == tuple(lights.DIODES_V)
    assert options["volts", "lights.lamp_kind"] == tuple(lights.LAMP_OF)
    assert options["shared_ground", "lit"] == tuple(lights.LIT)
    assert options["battery", "battery.kind"] == tuple(EXPONENTS)
    for lamps in lights.LAMP_OF.values():
        assert tuple(lamps) == options["volts", "circuit"] and set(lamps.values()) <= set(lamp_names())
    assert set(type_of(field_info("lights.return_way")).choices) == {"own wire", "frame"}


def test_volts_of_the_handbook():
    found = lights.volts(_with(), **BRAKE)
    assert found.circuit.lamp_v == pytest.approx(12.344, abs=1e-3)  # SciPy brentq: the handbook's lamp_volts
    assert found.fuse_a == 7.5 and found.over_rule and found.lamps == "2 × stop/turn filament"
    thick = lights.volts(
        _with(wire_size="12 AWG", return_way="frame", contact_resistance=0.0, ground_resistance=0.0),
        **{**BRAKE, "lamp_count": 1},
    )
    assert thick.circuit.light > 0.95 and not thick.over_rule
    assert thick.circuit.lost_v["wire back"] == pytest.approx(0.005 * thick.circuit.amps)
    for between, drop in (("converter", 0.0), ("silicon diodes", 0.75), ("Schottky diodes", 0.45)):
        lost = lights.volts(_with(between=between), **BRAKE).circuit.lost_v["diode"]
        assert lost == pytest.approx(drop, abs=0.06)
    thin = lights.volts(_with(wire_size="20 AWG"), **{**BRAKE, "lamp_count": 4})
    assert "too thin for any fuse" in lights.volts_words(thin, "metric")


def test_each_figure_of_the_rig_moves_the_volts():
    start = lights.volts(_with(), **BRAKE).circuit.lamp_v
    for name, value in (
        ("plug_volts", 12.5),
        ("wire_size", "18 AWG"),
        ("wire_length", 9.0),
        ("return_way", "frame"),
        ("contact_resistance", 0.1),
        ("ground_resistance", 0.3),
        ("between", "silicon diodes"),
        ("lamp_kind", "LED"),
    ):
        assert abs(lights.volts(_with(**{name: value}), **BRAKE).circuit.lamp_v - start) > 0.1, name


def test_light_left_agrees_with_the_first_panel():
    found = lights.light_left(_with(wire_length=7.6), **WANTED)
    for size in ("18 AWG", "14 AWG"):
        here = lights.volts(_with(wire_length=7.6, wire_size=size), **BRAKE).circuit
        assert found.here[size] == pytest.approx(here.light, abs=2e-4)
        curve = dict(zip(found.lengths_m, found.light[size], strict=True))
        nearest = min(curve, key=lambda length: abs(length - 7.6))
        there = lights.volts(_with(wire_length=nearest, wire_size=size), **BRAKE).circuit
        assert curve[nearest] == pytest.approx(there.light, abs=2e-3)
    assert found.thinnest == "14 AWG" and found.own == found.here["16 AWG"]
    assert lights.light_left(_with(), **{**WANTED, "wanted_share": 0.95}).thinnest is None
    metric = lights.light_left(_with(wire_size="1.5 mm2"), **WANTED)  # between 14 and 16 AWG
    assert metric.here["16 AWG"] < metric.own < metric.here["14 AWG"] < metric.no_wire
    for lower, higher in itertools.pairwise(lights.SIZES):
        assert all(a <= b + 1e-9 for a, b in zip(found.light[lower], found.light[higher], strict=True))


def test_shared_ground_says_what_glows_wrongly():
    good = lights.shared_ground(_with(), lit="brake", broken=False)
    assert not good.wrong and not good.dim
    assert "every lamp does what it should" in lights.shared_ground_words(good, "metric")
    broken = lights.shared_ground(_with(**{"feed_resistance": 0.13}), lit="brake", broken=True)
    assert broken.wrong == ("left tail", "right tail", "plate")
    assert broken.dim == ("left stop/turn", "right stop/turn")
    assert broken.rear.ground_v == pytest.approx(12.248, abs=1e-3)  # SciPy fsolve: broken_ground
    wrong_side = lights.shared_ground(_with(), lit="tail lamps and left turn", broken=True)
    assert wrong_side.wrong == ("right stop/turn",)  # the other side signals
    for between in ("converter", "silicon diodes", "Schottky diodes"):
        blocked = lights.shared_ground(_with(between=between), lit="brake", broken=True)
        assert not blocked.wrong and len(blocked.dim) == 2


def test_one_lamp_alone_gets_the_same_volts_in_both_panels():
    # with straight wires a bad ground lets some of the current home another way
    for facts in (
        _with(between="converter"),
        _with(return_way="frame", ground_resistance=0.5, between="converter"),
        _facts("demo_overloaded", lights__between="converter"),
    ):
        alone = lights.volts(facts, **{**BRAKE, "lamp_count": 1}).circuit
        rear = lights.shared_ground(facts, lit="left turn", broken=False).rear
        assert rear.lamp_v["left stop/turn"] == pytest.approx(alone.lamp_v, abs=1e-3)


def test_the_wire_with_its_contacts_follows_from_the_rig_unless_moved():
    # 25 ft of 16 AWG: 4.016 ohm for 1,000 ft (read), so 0.1004 ohm
    assert lamp_feed_ohm(_with()) == pytest.approx(0.1004 + 0.03, abs=1e-4)
    assert DERIVED["lights.feed_resistance"].of(_with(feed_resistance=0.4)) == 0.4


def test_fault_finder_judges_the_reading():
    facts = _facts()
    for symptom in symptoms():
        for step in fault_steps(symptom):
            inside, outside = (
                (step.low_v + step.high_v) / 2,
                step.high_v + 0.2 if step.high_v < 14 else step.low_v - 0.2,
            )
            good, bad = (
                fault_finder.fault_finder(facts, symptom=symptom, step=step.number, reading_v=v)
                for v in (inside, outside)
            )
            assert good.as_expected and step.as_expected in fault_finder.fault_finder_words(good, "metric")
            assert not bad.as_expected and step.mend in fault_finder.fault_finder_words(bad, "us")
            assert {step.red, step.black} <= set(fault_finder.PLACES)
    beyond = fault_finder.fault_finder(facts, symptom=symptoms()[1], step=3, reading_v=0.0)
    assert beyond.number == 2  # a step beyond the last is the last


OLD = {  # three years, 10 °C, 4 A out of 60 Ah
    "battery.capacity": 60.0,
    "battery.rated_hours": 20.0,
    "battery.kind": "flooded",
    "battery.cold_cranking": 500.0,
    "battery.engine_current": 150.0,
    "battery.age_years": 3,
    "battery.coldest": 10.0,
    "battery.key_on_current": 4.0,
    "battery.feed_current": 0.0,
    "battery.hours_a_day": 8.0,
}


def _battery(**values):
    return battery_panels.battery(_facts(**{**OLD, **{f"battery.{n}": v for n, v in values.items()}}))


def test_battery_by_hand():
    found = _battery()
    capacity = 60.0 * (1 - 0.008 * 15) * 0.85
    by_hand = 0.5 * discharge_h(4.0, capacity_ah=capacity, rated_h=20.0, exponent=1.25)
    assert found.found.hours == pytest.approx(by_hand) and found.found.capacity_ah == pytest.approx(capacity)
    assert "over by" in battery_panels.battery_words(found, "metric")
    assert "within by" in battery_panels.battery_words(_battery(key_on_current=1.0), "metric")
    assert "keeps up" in battery_panels.battery_words(_battery(feed_current=5.0), "metric")
    cold = _battery(coldest=-28.0, age_years=12)
    assert "even a full battery" in battery_panels.battery_words(cold, "us")
    assert found.shares[0] == 1.0 and found.shares[-1] == 0.0 and found.hours[1] == pytest.approx(2 * by_hand)
    for current, hours, new in zip(found.currents_a, found.by_current_h, found.new_warm_h, strict=True):
        assert hours == pytest.approx(min(48.0, _battery(key_on_current=current).found.hours))
        assert new >= hours


def test_a_rig_with_a_large_draw_and_a_long_day_stays_in_the_picture():
    found = _battery(key_on_current=22.0, hours_a_day=60.0)
    assert found.currents_a[-1] >= 22.0 and found.hours[-1] >= 60.0


def test_the_battery_panel_says_what_the_plan_says():
    for name in ("demo_comfortable", "demo_overloaded"):
        facts = _facts(name)
        assert battery_panels.battery(facts).found == battery_with_key_on(facts)
    off = _battery(disconnected=True)
    assert "says it is disconnected" in battery_panels.battery_words(off, "metric")
    with pytest.raises(NotKnown) as missing:
        battery_panels.battery(
            Facts(
                load_rig(DATA / "rigs" / "demo_comfortable.toml").model_copy(
                    update={"battery": type(_facts().rig.battery)()}
                )
            )
        )
    assert missing.value.reason.startswith("battery.")


def test_words_on_the_rig_name_no_key_of_its_file():
    for name in ("demo_comfortable", "demo_overloaded"):
        for words in light_tables.lamps_and_battery(_facts(name), "us"):
            assert not re.search(r"\b(lights|battery)\.[a-z]", words)


def test_the_table_of_the_notebook_is_computed_right():
    cells = nbformat.read(Path(__file__).parents[2] / "notebooks" / f"{KEY}.ipynb", as_version=4).cells
    text = next(cell.source for cell in cells if "fuses" in cell.metadata.get("tags", []))
    rows = re.findall(
        r"\| ([\d.]+ (?:AWG|mm²)) \| ([\d.]+) m \(([\d.]+) ft\) \| (?:([\d.]+) A|none fits)", text
    )
    assert len(rows) == 7
    for name, metres, feet, fuse in rows:
        size = name.replace("²", "2")
        area = wire_section_m2(size)
        longest = longest_run_m(4.1, 0.5, section_m2=area, return_section_m2=area)
        assert longest == pytest.approx(float(metres), abs=0.006)
        assert longest / 0.3048 == pytest.approx(float(feet), abs=0.06)
        assert fuse_a(4.1, largest_a=largest_fuse_a(size)) == (float(fuse) if fuse else None)


def test_tables_of_the_notebook_hold_what_the_handbook_holds():
    rear, key = repr(light_tables.at_the_rear()), repr(light_tables.left_on_by_the_key())
    # by hand: two tail lamps and the plate lamp, 2 * 0.59 + 0.27; ground: that and twice 2.1
    assert "brown, tail | 1.45 A | 2 A" in rear and "white, ground | 5.65 A" in rear
    assert "heater blower left on | 4 to 15 A" in key
    for text in (rear, key):
        assert not re.search(r"\.(com|gov|edu|uk)\b|from memory", text)
    assert lamp("tow vehicle's tail circuit").amps == pytest.approx(4 * lamp("tail filament").amps)


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
