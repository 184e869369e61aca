"""What is chosen once for the whole workbook: kept beside the rig, told to everyone, never lost on a bad
file.
"""

import pytest

from towlib.errors import InputError
from towlib.teaching import settings


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    monkeypatch.setenv("TOWLIB_READER_FOLDER", str(tmp_path))
    monkeypatch.setattr(settings, "_watchers", {})
    return tmp_path


def test_usual_until_something_is_chosen_and_kept_for_the_next_start(folder):
    assert settings.chosen("units") == "metric" and not (folder / settings.NAME).exists()
    told = []
    settings.watch("test", lambda name, value: told.append((name, value)))
    assert settings.choose("units", "us") == "" and settings.choose("cases", 1_000) == ""
    assert told == [("units", "us"), ("cases", 1_000)]
    assert settings.chosen("units") == "us" and settings.chosen("cases") == 1_000
    text = (folder / settings.NAME).read_text()
    assert 'units = "us"' in text and "cases = 1000" in text


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("units", "imperial"),
        ("rig", "theirs"),
        ("cases", 7),
        ("cases", 1_000.0),
        ("road", ""),
        ("road", 3),
        ("road", "../my_rig.csv"),
        ("road", "/etc/road.csv"),
        ("road", "x" * 252 + ".csv"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_changes(folder, name, value):
    with pytest.raises(InputError, match=settings.NAME):
        settings.choose(name, value)
    assert settings.chosen(name) == settings.USUAL[name] and not (folder / settings.NAME).exists()


@pytest.mark.parametrize("text", ["[broken", 'units = "furlongs"', "units = 3", ""])
def test_a_file_that_was_broken_by_hand_counts_as_none_and_is_left(folder, text):
    (folder / settings.NAME).write_text(text)
    assert settings.chosen("units") == "metric"
    assert (folder / settings.NAME).read_text() == text


def test_a_choice_that_cannot_be_kept_still_holds_now_and_says_so(folder):
    (folder / settings.NAME).write_text("[broken")
    told = []
    settings.watch("test", lambda name, value: told.append(value))
    assert settings.choose("units", "us").startswith("Not kept for the next time: ") and told == ["us"]
    assert settings.chosen("units") == "us" and settings.chosen("rig") == "invented"
    assert (folder / settings.NAME).read_text() == "[broken"


def test_a_cell_that_is_run_again_leaves_one_watcher():
    told = []
    for name in ("first run", "second run"):
        settings.watch("a cell", lambda setting, value, name=name: told.append(name))
    settings.tell("units", "us")
    assert told == ["second run"]
