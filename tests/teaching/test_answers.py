"""Answers to exercises are kept with what was said on them; an empty one changes nothing."""

import json
import tomllib

import pytest

from towlib.teaching.practice import answers


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.setenv("TOWLIB_READER_FOLDER", str(tmp_path))
    return tmp_path


@pytest.mark.parametrize("empty", ["", None, "   "])
def test_an_empty_answer_writes_nothing_and_says_the_same(folder, empty):
    assert answers.checked("01.exercise-1", empty, "Not answered yet.") == "Not answered yet."
    assert list(folder.iterdir()) == []
    answers.checked("01.exercise-1", "70 kg", "Right: 70 kg.")
    answers.checked("01.exercise-1", empty, "Not answered yet.")
    assert answers.kept()["01.exercise-1"]["answer"] == "70 kg"


def test_an_answer_is_kept_with_its_sentence_and_survives_a_restart(folder):
    said = "Not yet: half the right answer: was one of two sides, chains or directions left out?"
    assert answers.checked("06.exercise-2a", "1.6 kN", said) == said
    text = (folder / "my_answers.toml").read_text(encoding="utf-8")
    assert (
        text == f'"06.exercise-2a" = {{answer = "1.6 kN", said = {json.dumps(said)}, been_right = false}}\n'
    )  # one line a person can read
    assert tomllib.loads(text)["06.exercise-2a"]["been_right"] is False  # read by another reader of TOML too


def test_once_right_stays_right(folder):
    for answer, said in (("1 kg", "Not yet: no."), ("2 kg", "Right: 2 kg."), ("3 kg", "Not yet: no.")):
        answers.checked("01.exercise-1", answer, said)
    entry = answers.kept()["01.exercise-1"]
    assert (entry["answer"], answers.was_right(entry)) == ("3 kg", True)
    answers.checked("01.exercise-2", 1338, "Not read: found '1338' without a unit.")
    assert not answers.was_right(answers.kept()["01.exercise-2"])


def test_guesses_and_answers_live_in_one_file_in_any_order(folder):
    answers.checked("01.exercise-1", 'ät "70" \\ kg', "Not read.")
    assert answers.remember("01.predict-1", "more,\nbecause").startswith("Kept")
    answers.checked("00.exercise-1", "1 kg", "Right: 1 kg.")
    assert answers.recall("01.predict-1") == "more,\nbecause"
    assert answers.kept()["01.exercise-1"]["answer"] == 'ät "70" \\ kg'
    assert set(tomllib.loads((folder / "my_answers.toml").read_text(encoding="utf-8"))) == {
        "01.exercise-1",
        "01.predict-1",
        "00.exercise-1",
    }


def test_an_unreadable_file_is_left_as_it_is(folder):
    (folder / "my_answers.toml").write_text("[broken", encoding="utf-8")
    said = answers.checked("01.exercise-1", "70 kg", "Right: 70 kg.")
    assert said.startswith("Right: 70 kg.\nNot kept: my_answers.toml: found text that is not TOML")
    assert (folder / "my_answers.toml").read_text(encoding="utf-8") == "[broken"


def test_text_no_file_can_hold_is_said(folder):
    answers.remember("01.predict-1", "before")
    assert answers.remember("01.predict-1", "\ud800").startswith("Not kept")
    assert answers.recall("01.predict-1") == "before"


def test_clearing_keeps_the_old_file(folder):
    assert answers.clear() == "Nothing to clear."
    answers.remember("01.predict-1", "more")
    assert answers.clear().startswith("Cleared")
    assert answers.recall("01.predict-1") == "" and "more" in (folder / "my_answers.toml.old").read_text(
        encoding="utf-8"
    )
    (folder / "my_answers.toml").write_text(
        "[broken", encoding="utf-8"
    )  # the way out of a broken file, which is kept
    answers.clear()
    assert (folder / "my_answers.toml.old").read_text(encoding="utf-8") == "[broken"
    assert answers.remember("01.predict-1", "less").startswith("Kept")
