"""Tables of wires, lamps, connector and faults: as read, whole, and refused by name when damaged."""

import pytest

from towlib.errors import InputError
from towlib.handbook import electric_tables
from towlib.handbook.electric_tables import (
    fault_steps,
    lamp,
    lamp_names,
    largest_fuse_a,
    symptoms,
    wire_section_m2,
    wire_sizes,
)
from towlib.handbook.tables import Row, load_table
from towlib.physics.electric.circuit import Filament, Led
from towlib.physics.electric.wire import wire_ohm


@pytest.mark.parametrize("row", load_table("wire"), ids=lambda row: row["size"])
def test_wire_table_agrees_with_the_physics(row):
    assert wire_ohm(304.8, wire_section_m2(row["size"])) == pytest.approx(
        row.number("ohm_per_1000ft"), rel=4e-4
    )
    if row["kind"] == "metric":
        assert wire_section_m2(row["size"]) * 1e6 == pytest.approx(float(row["size"].split()[0]))


def test_fuses_grow_with_the_wire_and_are_from_memory():
    for kind in ("AWG", "mm2"):
        sizes = sorted((size for size in wire_sizes() if size.endswith(kind)), key=wire_section_m2)
        fuses = [largest_fuse_a(size) for size in sizes]
        assert fuses == sorted(fuses) and len(sizes) >= 5
    # letters of two car clubs (read): 15 A for 14 AWG, 20 A for 12 AWG
    assert (largest_fuse_a("14 AWG"), largest_fuse_a("12 AWG")) == (15.0, 20.0)
    # AWG read, sections in mm² between the gauges that are read
    known = {row["known_by"] for row in load_table("wire_fuses") if "AWG" in row["size"]}
    assert known == {"read"}
    assert {row["known_by"] for row in load_table("wire_fuses") if "mm2" in row["size"]} == {"computed"}
    assert [row["size"] for row in load_table("wire_fuses")] == list(wire_sizes())


def test_lamps_are_from_memory_and_their_watts_agree_with_what_was_read():
    assert {row["known_by"] for row in load_table("lamps")} == {"from memory"} and len(lamp_names()) == len(
        load_table("lamps")
    )
    bright, dim = lamp("stop/turn filament"), lamp("tail filament")
    assert bright.amps * bright.volts == pytest.approx(
        27.0, abs=0.5
    ) and dim.amps * dim.volts == pytest.approx(8.0, abs=0.5)  # engineerfix.com
    assert lamp("stop/turn 21 W filament").amps * 12.0 == pytest.approx(21.0) and lamp(
        "tail 5 W filament", 3
    ).amps * 12.0 == pytest.approx(15.0, abs=0.2)
    assert isinstance(bright, Filament) and isinstance(lamp("tail LED"), Led)


def test_four_pins_as_read():
    # "per SAE J2863", read at circuitdiagrammaker.app
    assert {row["colour"]: row["wire"] for row in load_table("connector")} == {
        "white": "ground",
        "brown": "tail",
        "yellow": "left",
        "green": "right",
    }
    assert all("not at hand" in row["source"] for row in load_table("connector"))


def test_every_fault_ends_in_a_cause_and_a_mend():
    assert len(symptoms()) >= 6
    for symptom in symptoms():
        steps = fault_steps(symptom)
        assert [step.number for step in steps] == list(range(1, len(steps) + 1)) and len(steps) <= 3
        for step in steps:
            assert step.red != step.black and 0.0 <= step.low_v < step.high_v <= 15.0
            assert len(step.do) <= 200 and step.as_expected and step.cause and step.mend
    grounds = fault_steps("wrong lamps glow")[0]
    assert (grounds.red, grounds.black, grounds.high_v) == ("lamp shell", "tow frame", 0.5)


def test_rear_lamps_and_key_on_loads():
    lamps = {row["lamp"]: (row["count"], row["colour"]) for row in load_table("rear_lamps")}
    assert (
        lamps["tail lamp"] == ("2", "red")
        and lamps["turn signal"] == ("2", "amber or red")
        and lamps["plate lamp"] == ("1", "white")
    )  # dps.texas.gov
    assert all(
        0 < row.number("low_a") < row.number("high_a") < 20 and row["known_by"] == "from memory"
        for row in load_table("key_on")
    )


@pytest.mark.parametrize(
    "call",
    [
        lambda: wire_section_m2("16"),
        lambda: largest_fuse_a("3 AWG"),
        lambda: lamp("sun"),
        lambda: lamp("tail LED", 0),
        lambda: fault_steps("rain"),
    ],
)
def test_unknown_names_are_input_errors(call):
    with pytest.raises(InputError) as caught:
        call()
    assert ".csv" in str(caught.value)


@pytest.mark.parametrize(
    ("work", "cells", "words"),
    [
        ("_wires", {"size": "9 AWG", "kind": "SWG"}, "kind"),
        ("_lamps", {"name": "x", "kind": "gas", "amps": "1", "volts": "12"}, "kind"),
        ("_lamps", {"name": "x", "kind": "led", "amps": "much", "volts": "12"}, "amps"),
        (
            "_faults",
            {
                "symptom": "s",
                "step": "2",
                "do": "",
                "red": "pin tail",
                "black": "tow frame",
                "low_v": "0",
                "high_v": "1",
                "as_expected": "",
                "cause": "",
                "mend": "",
            },
            "step",
        ),
        (
            "_faults",
            {
                "symptom": "s",
                "step": "1",
                "do": "",
                "red": "nose",
                "black": "tow frame",
                "low_v": "0",
                "high_v": "1",
                "as_expected": "",
                "cause": "",
                "mend": "",
            },
            "red",
        ),
    ],
)
def test_a_damaged_row_is_named(monkeypatch, work, cells, words):
    monkeypatch.setattr(electric_tables, "load_table", lambda name: (Row(cells, f"{name}.csv", 7),))
    with pytest.raises(InputError, match=f"line 7, field '{words}'"):
        getattr(electric_tables, work).__wrapped__()
