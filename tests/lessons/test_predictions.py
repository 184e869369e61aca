"""Rows of predictions: read whole, and every slip in them is named with its row."""

import pytest

from towlib.errors import InputError
from towlib.lessons.predictions import predictions_of

GOOD = """
[[predictions]]
panel = "p"
question = "More or less?"
options = [{words = "more", said = "no"}, {words = "less", said = "yes", right = true}]
[[predictions]]
panel = "q"
question = "Say why."
"""


def _read(tmp_path, text):
    (tmp_path / "07_x.toml").write_text(text, encoding="utf-8")
    return predictions_of("07_x", tmp_path)


def test_a_choice_and_one_in_words(tmp_path):
    choice, words = _read(tmp_path, GOOD)
    assert (choice.key, choice.panel, words.key) == ("07.predict-1", "p", "07.predict-2")
    assert [option.right for option in choice.options] == [False, True] and words.options == ()


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (", right = true", "", "0 right of 2 options"),
        ('said = "no"', 'said = "no", right = true', "2 right of 2 options"),
        ('said = "yes"', "said = 3", "options.2.said"),
        ('panel = "p"', "", "predictions.1.panel"),
        ('question = "Say why."', 'question = " "', "predictions.2.question"),
        ('panel = "q"', 'panel = "q"\nanswer = 3', "a key that is not known 'answer'"),
        ('{words = "more", said = "no"}, ', "", "two options or more"),
    ],
)
def test_a_slip_is_named(tmp_path, old, new, said):
    assert old in GOOD
    with pytest.raises(InputError, match="07_x.toml") as caught:
        _read(tmp_path, GOOD.replace(old, new))
    assert said in str(caught.value)
