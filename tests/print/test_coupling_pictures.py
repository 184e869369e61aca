"""The sheet's drawings of bar and chains: to scale, with the rig's own heights, and a sentence when they
cannot be drawn.
"""

import math
import re

import pytest

from tests.rigs import changed
from towlib.draw.figures import Picture
from towlib.print import coupling_pictures
from towlib.print.coupling_pictures import chains_picture, side_view_picture
from towlib.rig.model import load_rig


@pytest.fixture(scope="module")
def comfortable():
    return load_rig("data/rigs/demo_comfortable.toml")


@pytest.fixture
def drawn(monkeypatch):
    """Keeps every picture that is made, so that its parts can be measured."""
    made = []

    class Kept(Picture):
        def __init__(self, *given, **named):
            super().__init__(*given, **named)
            made.append(self)

    monkeypatch.setattr(coupling_pictures, "Picture", Kept)
    return made


def _points(picture, name):
    return picture._moving[name][1][0].get_xydata()


def test_side_view_is_to_scale(comfortable, drawn):
    found = side_view_picture(comfortable)
    ball, pins = _points(drawn[0], "ball")[0], _points(drawn[0], "pins")[0]
    assert math.dist(ball, pins) == pytest.approx(1.50)  # the bar's own length
    assert pins[1] == pytest.approx(0.560)
    # by hand: slope from the sentence is that of the drawing
    assert (
        f"{math.degrees(math.asin((pins[1] - ball[1]) / 1.5)):+.1f}°" in found.words
        and found.svg.startswith("<svg")
    )
    assert all(axes.get_aspect() in (1.0, "equal") for axes in drawn[0]._frames)


def test_chains_are_to_scale_straight_and_turned(comfortable, drawn):
    found = chains_picture(comfortable)
    # by hand, crossed: 320 and 220 mm spreads, 200 mm ahead and 300 mm behind the ball, seen from above
    for side in (1.0, -1.0):
        chain = _points(drawn[0], f"chain {side} 0")
        assert math.dist(*chain) == pytest.approx(math.hypot(0.500, 0.270))
        turned = _points(drawn[0], f"chain {side} 1")
        # turned by 60° about the ball the anchor stays as far from the ball
        assert math.hypot(*turned[1]) == pytest.approx(math.hypot(0.300, 0.110)) and tuple(
            turned[0]
        ) == tuple(chain[0])
    # the limit's own figure, by hand on the way out, anchors as measured, ball at 546.15 mm: up to the
    # coupler's underside 546.15 - 32.5 - 440 = 73.65 mm, hypot(200, 160, 73.65) = 266.5 mm, and 319.7 mm back
    assert "586 mm of 620 mm" in found.words
    within = float(re.search(r"within by ([\d.]+) mm", found.words)[1])
    assert within == pytest.approx(620 - 319.7 - 266.5, abs=0.3)


def test_parallel_chains_that_bind_say_so(comfortable):
    chains = comfortable.safety_chains.model_copy(update={"links": 12, "crossed": False})
    words = chains_picture(comfortable.model_copy(update={"safety_chains": chains})).words
    assert "parallel" in words and "over by" in words and "binds" in words


@pytest.mark.parametrize(
    ("part", "field", "draw"),
    [
        ("hitch", "receiver_height", side_view_picture),
        ("tow_bar", "length", side_view_picture),
        ("safety_chains", "links", chains_picture),
        ("safety_chains", "bar_anchor_height", chains_picture),
    ],
)
def test_what_is_missing_is_said_instead_of_drawn(comfortable, part, field, draw):
    rig = comfortable.model_copy(update={part: getattr(comfortable, part).model_copy(update={field: None})})
    found = draw(rig)
    assert found.svg == "" and re.search(rf"not known \({part}\.{field}\)", found.words)


@pytest.mark.parametrize(
    ("change", "plus_minus", "said"),
    [
        # 586 mm of 620 mm fitted: 34 mm; ±40 mm a chain asks 2·40/sqrt(3) = 46 mm (JCGM 106:2012, 8.3.2)
        ({}, 0.002, "fitted, not known: within by 33.8"),
        ({}, 0.0, "fitted, within by 33.8"),
        # 19 links are 589 mm, 18 are 558 mm: over, unless the ± could turn it
        ({"links": 18}, 0.0, "mm: it binds."),
        ({"links": 18}, 0.002, "fitted, not known: over by"),
        # 19 · 30.816 = 585.5 mm; crossed they need 586.2 mm, parallel (the sentence says it) 583: it hangs on
        # whether they are
        (
            {"links": 19, "link_pitch": 0.030816, "crossed": None},
            0.0,
            "need 583 mm of 586 mm fitted, not known: likely within by",
        ),
    ],
)
def test_the_picture_says_what_the_limit_says(comfortable, change, plus_minus, said):
    rig = comfortable
    for name, value in change.items():
        rig = changed(rig, f"safety_chains.{name}", value)
    rig = rig.model_copy()
    rig._plus_minus = {"safety_chains.link_pitch": plus_minus} if plus_minus else {}
    words = chains_picture(rig).words
    assert said in words and ("it binds" in words) == ("binds" in said)
    if "not known" in said:
        assert "safety_chains." not in words  # the field in words
