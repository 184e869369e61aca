"""Assumed values: each has a source, reads as its field wants, and is never a rating."""

import csv
import re

import pytest

from towlib.errors import InputError
from towlib.plan.trip import make_plan
from towlib.print.field_lists import rig_fields
from towlib.rig.facts import ASSUMED_FILE, Facts, NotKnown, assumptions
from towlib.rig.measured import BareNumber, rule_of
from towlib.rig.model import field_info, load_rig, read_rig_text
from towlib.road.route import load_route


def test_every_assumption_has_a_source_and_an_honest_origin():
    with ASSUMED_FILE.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            assert row["source"] and row["why"]
            assert row["known_by"] in ("read", "computed", "from memory", "common practice")
            assert field_info(row["field"]) is not None


def test_no_rating_is_ever_assumed():
    # a capacity that is not known must stay not known: no rating, no permitted temperature, no dimension of
    # the hitch
    forbidden = (
        "rating",
        "gvwr",
        "gawr",
        "gcwr",
        "payload",
        "highest",
        "redline",
        "tank",
        "load_index",
        "pressure",
        "height_of",
        "spread",
        "slope",
    )
    published = {
        path
        for path, assumed in assumptions().items()
        if assumed.known_by == "read" and "Zhao" in assumed.source
    }  # a published index
    assert [
        path
        for path in assumptions()
        if path not in published and any(word in path.rpartition(".")[2] for word in forbidden)
    ] == []
    assert len(published) == 3


def test_what_is_assumed_is_a_value_its_field_can_have():
    choices = {field.path: field.choices for field in rig_fields()}
    for path, assumed in assumptions().items():
        assert not choices[path] or assumed.text in choices[path], path
        rule = rule_of(field_info(path), BareNumber)
        for end in (assumed.value, assumed.low, assumed.high):
            assert rule is None or end is None or rule.low <= end <= rule.high, path
        if assumed.low is not None:
            assert assumed.low <= assumed.value <= assumed.high and assumed.low < assumed.high, path


def test_no_limit_rests_on_an_assumed_brake_fluid(data_folder):
    text = (data_folder / "rigs" / "demo_overloaded.toml").read_text(encoding="utf-8")
    rig = read_rig_text(re.sub(r"(?m)^fluid = .*$", "", text))
    assert Facts(rig).have("tow_vehicle.brakes.fluid") == "DOT 3 wet"  # of the six the first to boil
    plan = make_plan(rig, load_route(data_folder / "routes" / "short_steep_pass.csv"))
    assert all("tow_vehicle.brakes.fluid" not in limit.assumed for limit in plan.limits)


def test_own_value_beats_the_assumption(data_folder):
    facts = Facts(load_rig(data_folder / "rigs" / "demo_comfortable.toml"))
    value, used = facts.assumed_in(lambda: facts.need("tow_bar.mass"))
    assert value == 26.0 and used == ()


def test_missing_without_assumption_raises(data_folder):
    facts = Facts(load_rig(data_folder / "rigs" / "demo_overloaded.toml"))
    with pytest.raises(NotKnown, match="tow_bar.bracket_rating"):
        facts.need("tow_bar.bracket_rating")


def test_a_wrong_path_is_said():
    with pytest.raises(InputError, match="no field"):
        field_info("tow_vehicle.gvw")
