"""Field types of a rig: ranges, examples and the sentences they give."""

import pytest

from towlib.errors import InputError
from towlib.print.field_lists import rig_fields
from towlib.rig.measured import Measured, WholeNumber, rule_of
from towlib.rig.model import Load, field_info


def test_the_ends_of_a_range_are_accepted_and_just_beyond_is_not():
    rule = Measured("mass", 1.0, 20_000.0)
    assert rule.read("1 kg") == 1.0 and rule.read("20000 kg") == 20_000.0
    for text in ("0.99 kg", "20001 kg", "-1 kg"):
        with pytest.raises(InputError, match="from 1 to 20,000 kg, for example '2950 lb'"):
            rule.read(text)


def test_whole_numbers():
    rule = WholeNumber(3, 200, 34)
    assert rule.read(3) == 3
    for value in (2, 201, 3.0, True, "34", None):
        with pytest.raises(InputError, match="whole number from 3 to 200"):
            rule.read(value)


@pytest.mark.parametrize(
    "field", [f for f in rig_fields() if not f.path.endswith("curve")], ids=lambda f: f.path
)
def test_every_example_shown_is_itself_accepted(field):
    info = (
        Load.model_fields[field.path.removeprefix("load.0.")]
        if field.path.startswith("load.")
        else field_info(field.path)
    )
    measured, whole = rule_of(info, Measured), rule_of(info, WholeNumber)
    if measured:
        assert measured.low <= measured.read(field.example) <= measured.high
    elif whole:
        assert whole.read(int(field.example))
