"""The drawing surface: the quick redraw equals a full one, and nothing grows."""

import io
import threading
from itertools import combinations

import numpy as np
import pytest
from colorspacious import cspace_convert, deltaE
from PIL import Image

from towlib.draw.figures import KEPT_COLOUR, STYLES, WORD_COLOURS, Picture, round_up, series_style


def _picture():
    picture = Picture((6.0, 3.0), frames=2)
    picture.frame(0, title="a", x_label="x [m]", y_label="y [kg]", x=(0, 10), y=(0, 10))
    picture.frame(1, title="b", x_label="%", x=(0, 100), y_names=["one", "two"])
    picture.line("curve", 0, 0)
    picture.point("now", 0, 1)
    picture.reference("rating", 0)
    picture.words("words", 0)
    picture.bars("bars", 1, 2)
    picture.shape("body", 0, 2)
    picture.band("band", 0, 3)
    picture.arrow("push", 0, 1)
    picture.fixed_line(0, [0, 10], [9, 9], "limit")
    picture.shade(0, (7, 10), (0, 10), "beyond")
    return picture


def _state(picture, k):
    picture.move("curve", [0, 5, 10], [0, k, 2 * k])
    picture.move("now", [5], [k])
    picture.move("rating", [0, 10], [4, 4])
    picture.say("words", f"k = {k}", 1, 8)
    picture.stretch("bars", [10 * k, 20], [k > 3, False])
    picture.move("body", [1, 1, 3, 3], [0, k / 3, k / 2, 0])
    picture.spread("band", [0, 10], [k - 1, k], [k + 1, k + 2])
    picture.aim("push", (9, 5), (9, 5 - k))
    return picture


def pixels(png):
    """The pixels of a PNG."""
    return np.asarray(Image.open(io.BytesIO(png)))


def test_quick_redraw_equals_a_fresh_picture():
    moved = _state(_picture(), 1)
    moved.png()
    quick = pixels(_state(moved, 4).png())
    assert np.array_equal(quick, pixels(_state(_picture(), 4).png()))
    assert not np.array_equal(quick, pixels(_state(moved, 2).png()))


def redrawn_whole(picture):
    """matplotlib's own complete drawing of the same figure, without our background."""
    out = io.BytesIO()
    picture._place()
    with picture._looks():  # the number of ticks depends on the size of letters
        picture.figure.savefig(out, format="rgba", dpi="figure")
    width, height = picture.canvas.get_width_height()
    return np.frombuffer(out.getvalue(), np.uint8).reshape(height, width, 4)[..., :3]


@pytest.mark.parametrize(
    "change",
    [lambda p: p, lambda p: p.keep("kept 1"), lambda p: p.frame(0, x=(0, 12), y=(0, 20000), y_label="new")],
    ids=["moved", "kept", "new limits"],
)
def test_quick_redraw_equals_a_full_one_pixel_for_pixel(change):
    picture = _state(_picture(), 1)
    picture.png()
    change(picture)
    for k in (5, 2, 4):
        quick = pixels(_state(picture, k).png())
        assert np.array_equal(quick, redrawn_whole(picture))
    assert np.array_equal(pixels(picture.png()), quick)  # a full drawing in between leaves no trace


def test_words_and_keeping_never_move_the_frames():
    picture = _state(_picture(), 1)
    picture.png()
    before = [axes.get_position().bounds for axes in picture.figure.axes]
    picture.say("words", "words that run far out of the frame and beyond the picture", 9.9, 9.9)
    picture.keep("kept 1")
    picture.png()
    assert [axes.get_position().bounds for axes in picture.figure.axes] == before


def test_two_threads_leave_no_words_of_the_other_in_the_background():
    picture = _state(_picture(), 1)
    draw = picture.canvas.draw
    other = threading.Thread(target=picture.png)

    def interrupted():
        draw()
        other.start()
        other.join(0.3)  # time enough for the other thread to draw its words, if nothing held it back

    picture.canvas.draw = interrupted
    picture.png()
    other.join()
    assert np.array_equal(pixels(_state(picture, 3).png()), pixels(_state(_picture(), 3).png()))


def test_empty_and_pointless_parts_are_hidden():
    picture = _state(_picture(), 1)
    picture.move("body", [], [])
    picture.aim("push", (5, 5), (5, 5))
    picture.move("curve", [], [])
    picture.png()
    before = picture.kept_count
    picture.keep()
    assert 0 < picture.kept_count - before == 1 + 1 + 2  # point, band, two bars: no rulers, no hidden parts


def test_a_second_part_of_the_same_name_is_refused():
    with pytest.raises(ValueError, match="own name"):
        _picture().line("curve", 0, 0)


def test_saved_files(tmp_path):
    picture = _state(_picture(), 2)
    picture.save(tmp_path / "a.svg")
    picture.save(tmp_path / "a.png")
    assert (tmp_path / "a.svg").read_text(encoding="utf-8") == picture.svg()
    assert np.array_equal(pixels((tmp_path / "a.png").read_bytes()), pixels(picture.png()))
    with pytest.raises(ValueError, match=".svg or .png"):
        picture.save(tmp_path / "a.pdf")


def test_equal_scale_and_bare():
    picture = Picture((6.0, 3.0))
    picture.frame(0, x=(0, 6), y=(0, 2), equal=True, bare=True)
    picture.png()
    (x0, y0), (x1, y1) = (picture.figure.axes[0].transData.transform(p) for p in ((0, 0), (1, 1)))
    assert x1 - x0 == pytest.approx(y1 - y0)


@pytest.mark.parametrize("scale", [1.0, 1.5])
def test_letters_are_large_enough(scale):
    picture = Picture(font_scale=scale)
    picture.frame(0, title="t", x_label="x", y_label="y", x=(0, 1), y=(0, 1))
    picture.words("w", 0)
    picture.png()
    axes = picture.figure.axes[0]
    for text in (axes.title, axes.xaxis.label, axes.yaxis.label, *axes.get_xticklabels(), *axes.texts):
        assert text.get_fontsize() >= 11.0 * scale


def test_background_is_drawn_once_while_only_parts_move():
    picture = _picture()
    for k in range(200):
        _state(picture, k % 5).png()
    assert picture.backgrounds_drawn == 1
    first = picture.figure.axes[0]
    assert len(picture.figure.axes) == 2 and (len(first.lines), len(first.patches), len(first.texts)) == (
        4,
        4,
        3,
    )


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
    assert picture.kept_count >= 4
    picture.drop_kept()
    assert picture.kept_count == 0
    assert picture.png() != with_kept
    assert np.array_equal(pixels(_state(picture, 1).png()), pixels(empty))


def test_svg_is_the_same_every_time_and_holds_the_moving_parts():
    first, second = (_state(_picture(), 2).svg() for _ in range(2))
    assert first == second and first.startswith("<svg") and 'href="http' not in first
    assert len(first) > len(_picture().svg())


def _linear(channel):
    return channel / 12.92 if channel <= 0.04045 else ((channel + 0.055) / 1.055) ** 2.4


def _contrast_with_white(colour):
    # contrast ratio by WCAG 2.1's definition of relative luminance
    r, g, b = (_linear(int(colour[i : i + 2], 16) / 255) for i in (1, 3, 5))
    return 1.05 / (0.2126 * r + 0.7152 * g + 0.0722 * b + 0.05)


def test_lines_and_words_stand_out_from_white():
    # WCAG 2.1: at least 3:1 for graphics (1.4.11) and 4.5:1 for words (1.4.3)
    assert _contrast_with_white("#000000") == pytest.approx(21.0)  # the largest there is, by the definition
    assert all(_contrast_with_white(colour) >= 3.0 for colour, _, _ in STYLES)
    assert all(_contrast_with_white(colour) >= 4.5 for colour in (*WORD_COLOURS, KEPT_COLOUR))
    assert len({series_style(i) for i in range(7)}) == len(STYLES)
    assert len({dash for _, dash, _ in STYLES}) == len({marker for _, _, marker in STYLES}) == len(STYLES)


@pytest.mark.parametrize(
    ("value", "rounded"),
    [(0.0, 1.0), (9.99, 10.0), (10.0, 10.0), (10.1, 15.0), (1444, 1500), (float("nan"), 1.0)],
)
def test_round_up(value, rounded):
    assert round_up(value) == rounded


def _grid(picture, k):
    shades = np.linspace(0, 1, 12).reshape(3, 4) * k / 4
    picture.fill(
        "map",
        shades,
        hatched=shades > 0.5,
        crossed=np.eye(3, 4) > 0,
        outlined=shades > 0.7,
        labels=[(0, 1, "12"), (2, 3, f"{k}")],
    )


def _grid_picture():
    picture = Picture((6.0, 3.0))
    picture.frame(0, title="map", x_label="speed", x=(0, 8), y_names=["one", "two", "three"])
    picture.grid("map", 0, x=(0, 8), shape=(3, 4), labels=2)
    return picture


def test_a_grid_redrawn_equals_one_drawn_anew_and_the_last_row_is_at_the_bottom():
    moved, anew = _grid_picture(), _grid_picture()
    for k in (1, 3, 4):
        _grid(moved, k)
        moved.png()
    _grid(anew, 4)
    assert moved.png() == anew.png() and moved.backgrounds_drawn == 1
    image = np.asarray(Image.open(io.BytesIO(anew.png())).convert("L"), float)
    assert (
        image[40:100, 150:550].mean() > image[180:230, 150:550].mean() + 20
    )  # the larger shades, further down, are darker
    moved.keep("kept")
    assert moved.kept_count == 0  # cells leave no outline behind


@pytest.mark.parametrize("deficiency", [None, "protanomaly", "deuteranomaly", "tritanomaly"])
@pytest.mark.parametrize(
    "colours", [[colour for colour, _, _ in STYLES], list(WORD_COLOURS)], ids=["series", "words"]
)
def test_colours_stay_apart_for_the_three_common_colour_vision_deficiencies(deficiency, colours):
    # package colorspacious: simulation after Machado, Oliveira and Fernandes 2009 at full severity,
    # differences in CAM02-UCS, where about
    # one unit is just noticeable; ten of them are asked for. Dash and marker tell series apart besides.
    plain = [[int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5)] for colour in colours]
    space = {"name": "sRGB1+CVD", "cvd_type": deficiency, "severity": 100}
    seen = [rgb if deficiency is None else cspace_convert(rgb, space, "sRGB1").clip(0, 1) for rgb in plain]
    for one, other in combinations(range(len(colours)), 2):
        assert deltaE(seen[one], seen[other], input_space="sRGB1") >= 10.0, (
            deficiency,
            colours[one],
            colours[other],
        )


def test_a_grid_is_hatched_and_crossed_out_not_only_coloured():
    picture = _grid_picture()
    nothing = np.zeros((3, 4))

    def drawn(**kinds):
        picture.fill(
            "map",
            nothing,
            labels=[],
            **{"hatched": nothing > 1, "crossed": nothing > 1, "outlined": nothing > 1} | kinds,
        )
        return picture.png()

    some = np.arange(12).reshape(3, 4) > 5
    pictures = {drawn(), drawn(hatched=some), drawn(crossed=some), drawn(outlined=some)}
    assert len(pictures) == 4


def test_fixed_words_are_drawn_with_the_frame_and_not_again():
    picture, plain = _picture(), _picture()
    picture.fixed_words(0, "battery", 2, 2)
    assert picture.png() != plain.png() and picture.backgrounds_drawn == 1
    assert len(picture._moving) == len(plain._moving)
    _state(picture, 2).png()
    assert picture.backgrounds_drawn == 1


def test_paint_changes_the_look_of_a_line_and_a_shape():
    picture = Picture((4, 3))
    picture.frame(0, x=(0, 1), y=(0, 1), bare=True)
    picture.shape("body", 0, 0)
    picture.line("shaft", 0, 0)
    picture.move("body", (0.1, 0.9, 0.9, 0.1), (0.1, 0.1, 0.4, 0.4))
    picture.move("shaft", (0.1, 0.9), (0.8, 0.8))
    looks = ({"style": 0}, {"style": None}, {"style": 4, "dashed": True}, {"style": 1, "hatched": True})
    shots = []
    for look in (*looks, looks[0]):
        for name in ("body", "shaft"):
            picture.paint(name, **look)
        shots.append(picture.png())
    assert len(set(shots)) == 4 and shots[0] == shots[-1] and picture.backgrounds_drawn == 1


def test_the_numbers_of_the_moving_lines():
    numbers = _state(_picture(), 4).drawn_numbers()
    assert {5.0, 8.0, 10.0} <= set(numbers) and np.isfinite(numbers).all()
    broken = _picture()
    broken.move("curve", [0, 5, 10], [0, float("nan"), 1])
    assert not np.isfinite(broken.drawn_numbers()).all()


def test_a_drawing_fills_its_page_and_says_where_its_letters_stand():
    picture = Picture((4, 2))
    picture.frame(0, x=(0, 100), y=(0, 50), equal=True, bare=True)
    picture.whole_page()
    bare = np.asarray(Image.open(io.BytesIO(picture.png())))
    picture.fixed_shape(0, [(0, 0), (100, 0), (100, 50), (0, 50)], fill="#D0D0D0", width=0.0)
    filled = np.asarray(Image.open(io.BytesIO(picture.png())))
    assert (bare == 255).all() and (filled == 0xD0).all()  # from edge to edge
    picture.lettered(0, "A", (50, 25), ((10, 25), (90, 25)))
    picture.lettered(0, "B", (20, 40), ((60, 40),))
    picture.fixed_words(0, "no letter", 50, 10)
    assert picture.lettered_at() == [("A", 50, 25), ("B", 20, 40)]
    drawn = np.asarray(Image.open(io.BytesIO(picture.png())))
    blue = np.abs(drawn.astype(int) - (0x00, 0x72, 0xB2)).sum(axis=2) < 40
    assert (
        blue[100, 45:60].any() and blue[100, 340:355].any() and blue[40, 225:238].any()
    )  # tips at both ends, and at the end pointed to
    assert not blue[40, 250:].any()
