"""The reader's own rig: saved as typed, nothing lost, never half a file."""

import subprocess
import sys
import time
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from towlib.errors import InputError
from towlib.rig import store as rig_store
from towlib.rig.import_file import import_file
from towlib.rig.store import RigStore

NEEDED = {
    f"{vehicle}.{name}": value
    for vehicle in ("tow_vehicle", "towed_vehicle")
    for name, value in (
        ("front_axle_empty", "2400 lb"),
        ("rear_axle_empty", "900 kg"),
        ("wheelbase", "2.9 m"),
    )
}


@pytest.fixture
def store(tmp_path):
    return RigStore(tmp_path)


def test_filling_in_field_by_field_makes_a_rig(store):
    with pytest.raises(InputError, match="nothing filled in"):
        store.rig()
    for path, text in NEEDED.items():
        assert store.put(path, text) == ""
    assert store.rig().tow_vehicle.front_axle_empty == pytest.approx(2400 * 0.45359237)
    assert (
        RigStore(store.folder).text("tow_vehicle.front_axle_empty") == "2400 lb"
    )  # as typed, after a restart


def test_a_bad_value_is_kept_and_answered(store):
    store.put("tow_vehicle.gvwr", "3100 kg")
    said = store.put("tow_vehicle.gvwr", "3200 lbf")
    assert "tow_vehicle.gvwr" in said and "lbf measures force" in said
    again = RigStore(store.folder)
    assert again.text("tow_vehicle.gvwr") == "3200 lbf"  # nothing the reader typed is lost
    for path, text in NEEDED.items():
        again.put(path, text)
    assert again.rig().tow_vehicle.gvwr == 3100.0  # and the last good value still holds
    assert again.put("tow_vehicle.gvwr", "3200 kg") == "" and again.text("tow_vehicle.gvwr") == "3200 kg"


@pytest.mark.parametrize(
    ("path", "text", "value"),
    [
        ("tow_vehicle.gearbox.ratios", "4.1, 2.3, 1.5", (4.1, 2.3, 1.5)),
        ("tow_vehicle.gearbox.kind", "manual", "manual"),
        ("tow_vehicle.gearbox.final_drive", "3.73", 3.73),
        ("towed_vehicle.brakes_fitted", "no", False),
        ("safety_chains.links", "34", 34),
        ("safety_chains.size", "3/8", "3/8"),
        ("tow_vehicle.name", "old faithful", "old faithful"),
        ("tow_vehicle.front_tyres.load_index", "112", 112),
    ],
)
def test_every_kind_of_field(store, path, text, value):
    for needed, typed in NEEDED.items():
        store.put(needed, typed)
    assert store.put(path, text) == ""
    found = store.rig()
    for step in path.split("."):
        found = getattr(found, step)
    assert found == value


def test_people_and_cargo_with_an_empty_row_between(store):
    for needed, typed in NEEDED.items():
        store.put(needed, typed)
    for row, name in ((0, "driver"), (2, "spare wheel")):
        store.put(f"load.{row}.name", name)
        store.put(f"load.{row}.mass", "80 kg")
        store.put(f"load.{row}.behind_front_axle", "1.7 m")
    assert [load.name for load in store.rig().load] == ["driver", "spare wheel"]
    store.put("load.2.name", "")
    with pytest.raises(InputError, match="load.2.name"):
        store.rig()


def test_rows_of_bracket_bolts(tmp_path):
    store = RigStore(tmp_path)
    for path in (
        "tow_vehicle.front_axle_empty",
        "tow_vehicle.rear_axle_empty",
        "towed_vehicle.front_axle_empty",
        "towed_vehicle.rear_axle_empty",
    ):
        store.put(path, "1000 kg")
    store.put("tow_vehicle.wheelbase", "3 m")
    store.put("towed_vehicle.wheelbase", "2.4 m")
    for row in (0, 2):  # the second row stays empty and does not count
        for name, text in (
            ("behind_pin", "60 mm"),
            ("above_pin", f"{20 * row - 20} mm"),
            ("outboard_of_pin", "1 in"),
        ):
            assert store.put(f"bracket.bolts.{row}.{name}", text) == ""
    assert store.put("bracket.bolts.0.above_pin", "20 kg").count("bracket.bolts.0.above_pin") == 1
    assert store.text("bracket.bolts.0.above_pin") == "20 kg"  # kept, though it cannot be read
    store.put("bracket.bolts.0.above_pin", "-20 mm")
    assert [bolt.above_pin for bolt in RigStore(tmp_path).rig().bracket.bolts] == [-0.02, 0.02]
    for row in (0, 2):
        for name in ("behind_pin", "above_pin", "outboard_of_pin"):
            store.put(f"bracket.bolts.{row}.{name}", "")
    assert store.rig().bracket.bolts is None


def test_clearing_a_field(store):
    store.put("hitch.ball_rating", "2000 kg")
    store.put("hitch.ball_rating", "")
    assert store.text("hitch.ball_rating") == ""


def test_starting_from_a_demo_keeps_the_old_file(store, data_folder):
    store.put("tow_vehicle.name", "mine")
    import_file(store, data_folder / "rigs" / "demo_comfortable.toml")
    assert store.rig().invented is False
    assert "mine" in (store.folder / "my_rig.toml.old").read_text(encoding="utf-8")


def test_a_crash_while_writing_leaves_the_old_file(store, monkeypatch):
    store.put("tow_vehicle.name", "before")

    def crash(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(rig_store.os, "fsync", crash)
    with pytest.raises(InputError, match="No space left"):
        store.put("tow_vehicle.name", "after")
    monkeypatch.undo()
    assert RigStore(store.folder).text("tow_vehicle.name") == "before"
    assert [p.name for p in store.folder.iterdir() if p.name.endswith(".part")] == []


def test_killed_between_two_writes_both_files_are_whole(tmp_path):
    code = (
        "import os, sys; from towlib.rig.store import RigStore; s = RigStore(sys.argv[1])\n"
        "for i in range(100000): s.put('tow_vehicle.gvwr', f'{2000 + i % 900} kg' if i % 2 else 'nonsense')"
    )
    process = subprocess.Popen([sys.executable, "-c", code, str(tmp_path)], cwd=Path(__file__).parents[2])
    try:
        deadline = time.monotonic() + 20
        while not (tmp_path / "my_rig_not_read.toml").exists() and time.monotonic() < deadline:
            time.sleep(0.05)
        time.sleep(0.2)  # well into its writing
    finally:
        process.kill()
        process.wait()
    store = RigStore(tmp_path)
    assert store.text("tow_vehicle.gvwr") == "nonsense" or store.text("tow_vehicle.gvwr").endswith(" kg")


@settings(max_examples=60, deadline=None)
@given(
    text=st.text(max_size=40),
    path=st.sampled_from(
        [
            "tow_vehicle.gvwr",
            "tow_vehicle.name",
            "tow_vehicle.gearbox.ratios",
            "safety_chains.links",
            "load.1.mass",
            "load.0.name",
            "towed_vehicle.brakes_fitted",
        ]
    ),
)
def test_whatever_is_typed_comes_back(tmp_path_factory, text, path):
    store = RigStore(tmp_path_factory.mktemp("rig"))
    said = store.put(path, text)
    assert "\n" not in said
    kept = RigStore(store.folder).text(path)
    if said:
        assert kept == text.strip()
    else:
        assert bool(kept) == bool(text.strip())
