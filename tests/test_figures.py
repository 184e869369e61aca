"""The drawing surface: the quick redraw equals a full one, and nothing grows."""

import io

import numpy as np
import pytest
from PIL import Image

from towlib.teaching.figures import STYLES, Picture, round_up


def _picture():
    picture = Picture((6.0, 3.0), frames=2)
    picture.frame(0, title="a", x_label="x [m]", y_label="y [kg]", x=(0, 10), y=(0, 10))
    picture.frame(1, title="b", x_label="%", x=(0, 100), y_names=["one", "two"])
    picture.line("curve", 0, 0)
    picture.point("now", 0, 1)
    picture.reference("rating", 0)
    picture.words("words", 0)
    picture.bars("bars", 1, 2)
    return picture


def _state(picture, k):
    picture.move("curve", [0, 5, 10], [0, k, 2 * k])
    picture.move("now", [5], [k])
    picture.move("rating", [0, 10], [4, 4])
    picture.say("words", f"k = {k}", 1, 8)
    picture.stretch("bars", [10 * k, 20], [k > 3, False])
    return picture


def _pixels(png):
    return np.asarray(Image.open(io.BytesIO(png)))


def test_quick_redraw_equals_a_fresh_picture():
    moved = _state(_picture(), 1)
    moved.png()
    quick = _pixels(_state(moved, 4).png())
    assert np.array_equal(quick, _pixels(_state(_picture(), 4).png()))
    assert not np.array_equal(quick, _pixels(_state(moved, 2).png()))


def test_background_is_drawn_once_while_only_parts_move():
    picture = _picture()
    for k in range(200):
        _state(picture, k % 5).png()
    assert picture.backgrounds_drawn == 1
    assert len(picture.figure.axes) == 2 and len(picture.figure.axes[0].lines) == 3


def test_new_limits_draw_the_background_again_once():
    picture = _state(_picture(), 1)
    picture.png()
    for _ in range(3):
        picture.frame(0, title="a", x_label="x [m]", y_label="y [kg]", x=(0, 20), y=(0, 10))
        picture.png()
    assert picture.backgrounds_drawn == 2


def test_kept_curves_stay_and_go():
    picture = _state(_picture(), 1)
    empty = picture.png()
    picture.keep()
    _state(picture, 3)
    with_kept = picture.png()
    assert picture.kept_count >= 3
    picture.drop_kept()
    assert picture.kept_count == 0
    assert picture.png() != with_kept
    assert np.array_equal(_pixels(_state(picture, 1).png()), _pixels(empty))


def test_svg_is_the_same_every_time_and_holds_the_moving_parts():
    first, second = (_state(_picture(), 2).svg() for _ in range(2))
    assert first == second and first.startswith("<svg") and 'href="http' not in first
    assert len(first) > len(_picture().svg())


def _linear(channel):
    return channel / 12.92 if channel <= 0.04045 else ((channel + 0.055) / 1.055) ** 2.4


def test_lines_stand_out_from_white():
    # WCAG 2.1 contrast for graphics: at least 3:1 against the white page; formula from the recommendation
    for colour, _, _ in STYLES:
        r, g, b = (_linear(int(colour[i:i + 2], 16) / 255) for i in (1, 3, 5))
        assert 1.05 / (0.2126 * r + 0.7152 * g + 0.0722 * b + 0.05) >= 2.8, colour
    assert len({dash for _, dash, _ in STYLES}) == len({marker for _, _, marker in STYLES}) == len(STYLES)


@pytest.mark.parametrize(("value", "rounded"), [(0.0, 1.0), (9.99, 10.0), (10.0, 10.0), (10.1, 15.0), (1444, 1500), (float("nan"), 1.0)])
def test_round_up(value, rounded):
    assert round_up(value) == rounded
