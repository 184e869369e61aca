"""Rig files: good ones load, bad ones are answered in one sentence that names the place."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from towlib.errors import InputError
from towlib.handbook.tables import load_table
from towlib.print.field_lists import rig_fields
from towlib.rig.model import BRAKE_FLUIDS, WIRE_SIZES, field_info, label_of, load_rig, read_rig_text

SMALLEST = """
[tow_vehicle]
front_axle_empty = "1200 kg"
rear_axle_empty = "900 kg"
wheelbase = "3.2 m"
[towed_vehicle]
front_axle_empty = "800 kg"
rear_axle_empty = "1543 lb"
wheelbase = "2.42 m"
"""


def test_the_smallest_rig_loads():
    rig = read_rig_text(SMALLEST)
    assert rig.towed_vehicle.rear_axle_empty == pytest.approx(1543 * 0.45359237)
    assert rig.tow_vehicle.gvwr is None and rig.load == ()


@pytest.mark.parametrize("name", ["demo_comfortable", "demo_overloaded"])
def test_demo_rigs_load_and_say_they_are_invented(data_folder, name):
    path = data_folder / "rigs" / f"{name}.toml"
    assert load_rig(path).invented
    assert "invented" in path.read_text(encoding="utf-8").splitlines()[0]


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('wheelbase = "3.2 m"', 'wheelbace = "3.2 m"', ["tow_vehicle.wheelbace", "perhaps 'wheelbase'"]),
        (
            '"1200 kg"',
            '"2000 lbf"',
            ["tow_vehicle.front_axle_empty", "2000 lbf", "force, not mass", "2950 lb"],
        ),
        ('"1200 kg"', '"-5 kg"', ["tow_vehicle.front_axle_empty", "-5 kg", "from 1 to 20,000 kg"]),
        ('"1200 kg"', '"0 kg"', ["tow_vehicle.front_axle_empty", "0 kg"]),
        ('"1200 kg"', '"nan kg"', ["nan kg", "not a number"]),
        ('"1200 kg"', '"inf kg"', ["inf kg"]),
        ('"1200 kg"', "nan", ["tow_vehicle.front_axle_empty", "nan", "without a unit"]),
        ('"1200 kg"', "inf", ["inf", "without a unit"]),
        ('"1200 kg"', "1200", ["1200", "without a unit", "2950 lb"]),
        ('"1200 kg"', '"9**9**9 kg"', ["9**9**9 kg", "2950 lb"]),
        ('"1200 kg"', "[1200]", ["tow_vehicle.front_axle_empty"]),
        ("[towed_vehicle]", "[towed_vehicle", ["TOML", "line 6"]),
        ("[tow_vehicle]", "tow_vehicle = 3\n[x]", ["one of name, invented"]),
    ],
)
def test_bad_fields_name_file_field_found_and_wanted(old, new, said):
    with pytest.raises(InputError) as caught:
        read_rig_text(SMALLEST.replace(old, new, 1), file="mine.toml")
    message = str(caught.value)
    assert message.startswith("mine.toml") and "wanted" in message and "\n" not in message
    for part in said:
        assert part in message


@pytest.mark.parametrize(
    ("added", "said"),
    [
        ('[hitch]\nball_rating = "3500"\n', ["hitch.ball_rating", "3500", "no unit"]),
        ('[safety_chains]\ngrade = "90"\n', ["safety_chains.grade", "'30', '43'"]),
        ("[safety_chains]\nlinks = 3.5\n", ["safety_chains.links", "whole number"]),
        ('[[load]]\nname = "x"\nmass = "80 kg"\n', ["load.1.behind_front_axle", "nothing"]),
        ('[tow_vehicle.gearbox]\nratios = [3.5, "a"]\n', ["tow_vehicle.gearbox.ratios.2"]),
        ('[tow_vehicle.engine]\nidle = "6000 rpm"\nredline = "4000 rpm"\n', ["idle 6000 rpm above redline"]),
        (
            (
                '[tow_vehicle.engine]\ncurve = [{speed="2000 rpm", torque="200 N m"}, {speed="1000 rpm",'
                ' torque="200 N m"}]\n'
            ),
            ["do not rise"],
        ),
        ("[tow_vehicle.front_tyres]\nload_index = true\n", ["load_index", "whole number"]),
    ],
)
def test_bad_optional_fields(added, said):
    with pytest.raises(InputError) as caught:
        read_rig_text(SMALLEST + added, file="mine.toml")
    for part in said:
        assert part in str(caught.value)


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "empty file"),
        (b"\x00\x01\xff\xfe binary", "not text"),
        (b"\xff\xfe\x00", "not text"),
        (b"a" * 2_000_000, "2.0 MB"),
        (b"x = " + b"[" * 100_000, "TOML|nested"),
    ],
)
def test_files_that_are_not_rigs(tmp_path, content, said):
    path = tmp_path / "rig.toml"
    path.write_bytes(content)
    with pytest.raises(InputError, match=said):
        load_rig(path)


def test_missing_file_and_folder(tmp_path):
    with pytest.raises(InputError, match="No such file"):
        load_rig(tmp_path / "nowhere.toml")
    with pytest.raises(InputError, match="a folder"):
        load_rig(tmp_path)


@settings(max_examples=150, deadline=None)
@given(
    st.one_of(
        st.text(max_size=200),
        st.builds(
            lambda a, b: SMALLEST[:a] + b + SMALLEST[a:], st.integers(0, len(SMALLEST)), st.text(max_size=12)
        ),
    )
)
def test_any_text_is_a_rig_or_one_sentence(text):
    try:
        assert math.isfinite(read_rig_text(text).tow_vehicle.wheelbase)
    except InputError as error:
        assert "\n" not in str(error)


def test_choices_are_those_of_the_handbook():
    assert tuple(row["size"] for row in load_table("wire")) == WIRE_SIZES
    assert {row["name"] for row in load_table("materials") if row["quantity"] == "boiling point"} == set(
        BRAKE_FLUIDS
    )


def test_a_field_has_a_short_label_or_the_first_words_of_its_description():
    assert label_of("tow_vehicle.body_width") == "Tow vehicle, width"
    assert label_of("towed_vehicle.driveline.gear_ratio") == "Ratio of the gear it is left in"
    # no short label: up to the first comma or semicolon of the description
    assert label_of("tow_vehicle.front_axle_empty") == "front axle with full tank"
    assert label_of("towed_vehicle.driveline.rear_shaft_in") == "Rear shaft in place"
    assert label_of("load.0.mass") == label_of("load.7.mass") == "its mass"
    assert label_of("bracket.bolts.3.above_pin").startswith("above (+) or below (-)")
    with pytest.raises(InputError, match="no field"):
        label_of("tow_vehicle.widht")


def test_parts_that_are_alike_are_told_apart():
    labels = [
        label_of(f"{tyres}.width")
        for tyres in ("tow_vehicle.front_tyres", "tow_vehicle.rear_tyres", "towed_vehicle.tyres")
    ]
    assert labels == ["Tow front tyre width", "Tow rear tyre width", "Towed tyre width"]


def test_short_labels_are_short_and_each_stands_once():
    short = [
        label_of(field.path)
        for field in rig_fields()
        if (field_info(field.path).json_schema_extra or {}).get("label")
    ]
    assert len(short) > 120 and len(set(short)) == len(short)
    assert [label for label in short if len(label) > 34 or label != label.strip()] == []
