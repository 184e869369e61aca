"""The generated lists in data/ are up to date, and the blank rig really is a rig once it is filled in."""

import re
import tomllib

import pytest

from towlib.print.field_lists import DATA, PAGES, blank_rig, rig_fields
from towlib.rig.model import rig_from_data


@pytest.mark.parametrize("name", PAGES)
def test_generated_pages_are_up_to_date(name):
    assert (DATA / name).read_text(encoding="utf-8") == PAGES[name](), (
        "run python -m towlib.print.field_lists"
    )


def test_blank_rig_is_all_comments_until_it_is_filled():
    assert {
        key
        for table in tomllib.loads(blank_rig()).values()
        for key in table
        if not isinstance(table[key], dict)
    } == set()


def test_blank_rig_uncommented_is_a_whole_rig():
    text = re.sub(r"^# (?=\w+ = |\[\[)", "", blank_rig(), flags=re.M)
    data = tomllib.loads(text)
    engine = data["tow_vehicle"]["engine"]
    engine["curve"].append({"speed": "4000 rpm", "torque": "300 N m"})
    for name, speed in (
        ("idle", "700 rpm"),
        ("redline", "6000 rpm"),
        ("peak_torque_at", "3000 rpm"),
        ("peak_power_at", "5000 rpm"),
    ):
        engine[name] = speed
    rig = rig_from_data(data)
    assert rig.load and rig.safety_chains.links == 34


def test_every_field_says_what_it_is():
    for field in rig_fields():
        assert field.label and field.label != field.path, field.path
        assert field.kind and field.example
