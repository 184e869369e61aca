"""The form's questions, what it says is missing, and the reader's guesses."""

import pytest

from towlib.field_lists import SECTIONS, rig_fields
from towlib.rig_store import RigStore
from towlib.route import load_route
from towlib.teaching import answers, reader_form
from towlib.trip import make_plan


@pytest.fixture
def road():
    return load_route("data/routes/short_steep_pass.csv")


def test_every_field_of_the_rig_is_asked(tmp_path):
    rows = tuple(f"{table}.0." for table in reader_form.ROWS)
    asked = {field.path for field in rig_fields() if field.path.rpartition(".")[0] in SECTIONS or field.path.startswith(rows)}
    left_out = {field.path for field in rig_fields()} - asked
    assert left_out == {"name", "invented"}


def test_missing_facts_are_named_until_nothing_is_missing(tmp_path, road, data_folder):
    store = RigStore(tmp_path)
    assert "nothing filled in yet" in reader_form.what_is_missing(road, store)
    store.start_from(data_folder / "rigs" / "demo_overloaded.toml")
    words = reader_form.what_is_missing(road, store)
    assert "tow_bar.bracket_rating" in words and "Brackets on the towed vehicle" in words
    store.start_from(data_folder / "rigs" / "demo_comfortable.toml")
    assert reader_form.what_is_missing(road, store).startswith("Nothing is missing")


def test_filling_in_a_missing_fact_settles_the_limits_it_names(tmp_path, road, data_folder):
    store = RigStore(tmp_path)
    store.start_from(data_folder / "rigs" / "demo_overloaded.toml")
    before = {limit.key: limit.answer for limit in make_plan(store.rig(), road).limits}
    assert reader_form.put(store, "tow_bar.bracket_rating", "5000 lb") == ""
    after = {limit.key: limit.answer for limit in make_plan(store.rig(), road).limits}
    assert (before["brackets"], after["brackets"]) == ("not known", "within")


def test_a_folder_that_cannot_be_written_is_said(tmp_path):
    (tmp_path / "file").write_text("x")
    assert reader_form.put(RigStore(tmp_path / "file" / "below"), "tow_vehicle.gvwr", "3000 kg").startswith("Not kept")


def test_guesses_are_remembered(tmp_path, monkeypatch):
    monkeypatch.setenv("TOWLIB_READER_FOLDER", str(tmp_path))
    assert answers.recall("01.predict-1") == ""
    assert answers.remember("01.predict-1", "lighter,\nI think \"maybe\"").startswith("Kept")
    assert answers.recall("01.predict-1") == "lighter,\nI think \"maybe\""
    (tmp_path / "my_answers.toml").write_text("[broken", encoding="utf-8")
    assert answers.recall("01.predict-1") == "" and answers.remember("01.predict-1", "x").startswith("Not kept")
    assert (tmp_path / "my_answers.toml").read_text(encoding="utf-8") == "[broken"  # what the reader has is not overwritten
