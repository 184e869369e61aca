"""The drawings of form and measuring sheet: every length has a letter at its place, and both show the same
letters.
"""

import base64
import re

import pytest

from towlib.print.field_lists import SECTIONS, rig_fields
from towlib.teaching.form import measuring_drawings as drawings
from towlib.teaching.form.measuring_sheet import TYRES, measuring_sheet_html

FIELDS = {field.path: field for field in rig_fields()}
DRAWN_PARTS = ("tow_vehicle", "towed_vehicle", "hitch", "tow_bar", "bracket", "safety_chains", "load")


def _lettered():
    return {path for table in drawings.DRAWINGS for path in drawings.letters(table).values()}


def test_every_needed_field_and_every_length_is_drawn_or_says_why_not():
    asked = {
        path
        for path, field in FIELDS.items()
        if field.required or (field.kind in ("length", "size") and path.partition(".")[0] in DRAWN_PARTS)
    }
    assert len(asked) > 40
    assert asked - _lettered() - set(drawings.NOT_DRAWN) == set()
    assert (
        all(len(why) > 10 for why in drawings.NOT_DRAWN.values())
        and not set(drawings.NOT_DRAWN) & _lettered()
    )


def test_every_letter_stands_for_a_field_of_its_own():
    assert _lettered() <= set(FIELDS)
    for table in drawings.DRAWINGS:
        found = drawings.letters(table)
        # none dropped for want of letters, or because the rig has no such field
        assert len(set(found.values())) == len(drawings.sketch_of(table).lettered) == len(found)
        assert all(drawings.letter_of(path) == letter for letter, path in found.items())


def test_letters_go_with_the_questions():
    order = list(FIELDS)
    for table in drawings.DRAWINGS:
        places = [order.index(path) for path in drawings.letters(table).values()]
        assert places == sorted(places), table


@pytest.mark.parametrize("table", drawings.DRAWINGS)
def test_what_has_a_letter_is_in_the_drawing_once_and_inside_it(table):
    sketch = drawings.lettered_sketch(table)
    spots = sketch.picture.lettered_at()
    assert sorted(letter for letter, *_ in spots) == sorted(drawings.letters(table))
    height = drawings.DRAWINGS[table].height
    for letter, x, y in spots:
        assert 1.2 <= x <= 98.8 and 1.2 <= y <= height - 1.2, letter  # the circle about it, too
        near = [other for other, a, b in spots if other != letter and (a - x) ** 2 + (b - y) ** 2 < 2.6**2]
        assert near == [], f"{letter} lies on {near}"


def test_a_drawing_has_words_and_is_an_image_of_its_own():
    words = drawings.drawing_words("hitch")
    assert (
        words.startswith("Receiver, ball mount")
        and "A: road to the middle of the receiver" in words
        and "true " not in words
    )
    address = drawings.drawing_address("hitch")
    assert base64.b64decode(address.partition(",")[2]).startswith(b"<svg")
    assert drawings.drawing_svg("towed_vehicle.tyres") is drawings.drawing_svg("tow_vehicle.front_tyres")


def test_sheet_and_form_show_the_same_letters():
    text = measuring_sheet_html()
    assert text.count("<svg") == len(drawings.DRAWINGS) - (len(TYRES) - 1)
    for table in SECTIONS:
        for letter, path in drawings.letters(table).items():
            if table not in TYRES[1:]:
                label = re.escape(drawings.question(FIELDS[path]).replace("'", "&#x27;").replace(">", "&gt;"))
                assert re.search(rf"<td class='letter'>{letter}</td><td>{label}", text), path
