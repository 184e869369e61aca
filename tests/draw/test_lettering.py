"""Words put together from kept pieces: the same pixels as matplotlib's own words, in the same place."""

import io

import matplotlib
import numpy as np
import pytest
from matplotlib.backends.backend_agg import RendererAgg
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties
from PIL import Image

from towlib.draw.figures import LETTERING, WORD_COLOURS, Picture
from towlib.draw.lettering import Heights, Lettering, Look, Stamp

WORDS = (
    "1,259 of 1,680 kg",
    "100 mm clear",
    "lowest 293 mm",
    "fi 7.5 °C",
    " 4",
    "−12.5 °",
    "✓  WORKS",
    "a–b: 3×10 N·m",
)
KERNED = (
    "rear axle",
    "AV To 17 Ty.",
    "right: slack 102 mm",
)  # letters closer together: the pen stands between two pixels after the word
LOOKS = [Look(11.0, weight, dpi) for weight in ("normal", "bold") for dpi in (100, 150)]

whole_pixels = pytest.mark.skipif(
    tuple(map(int, matplotlib.__version__.split(".")[:2])) < (3, 11),
    reason="before 3.11 matplotlib's letters have broken widths, and it cuts where we round",
)


def _ink(image):
    """Rows and columns from first to last with ink."""
    rows, columns = (np.flatnonzero(image.any(axis)) for axis in (1, 0))
    return image[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]


def _both(words, look):
    """The ink of a line from kept pieces, and as matplotlib lays it out at once and draws it from a whole
    pixel on (the oracle).
    """
    renderer = RendererAgg(900, 100, look.dpi)
    renderer.draw_text(
        renderer.new_gc(), 50, 60, words, FontProperties(size=look.points, weight=look.weight), 0.0
    )
    image, _, _ = LETTERING.image(words, look, "left", (0, 0, 0))
    return _ink(image[::-1, :, 3]), _ink(np.asarray(renderer.buffer_rgba())[..., 3])


@whole_pixels
@pytest.mark.parametrize("look", LOOKS)
@pytest.mark.parametrize("words", WORDS)
def test_a_line_has_the_pixels_of_matplotlibs_own(words, look):
    ours, theirs = _both(words, look)
    assert np.array_equal(ours, theirs)


@whole_pixels
@pytest.mark.parametrize("look", LOOKS)
@pytest.mark.parametrize("words", KERNED)
def test_a_kerned_line_differs_by_less_than_a_pixel(words, look):
    ours, theirs = _both(words, look)
    assert ours.shape[0] == theirs.shape[0] and abs(ours.shape[1] - theirs.shape[1]) <= 1
    spread = [
        np.cumsum(ink.sum(0, dtype=float)) / ink.sum() for ink in (ours, theirs)
    ]  # share of the ink up to each column
    for share in np.linspace(0.05, 0.95, 19):
        assert np.searchsorted(spread[0], share) == pytest.approx(np.searchsorted(spread[1], share), abs=1)


@pytest.mark.parametrize("align", ["left", "center", "right"])
@pytest.mark.parametrize("words", ["rear axle", "With the transfer case\nin neutral", "one\nand two\nqg"])
@pytest.mark.parametrize(("zoom", "bold"), [(1.0, False), (1.5, True)])
def test_words_stand_where_matplotlib_puts_them(words, align, zoom, bold):
    # oracle: matplotlib's own text at the same place; it may stand between two pixels, ours never does
    picture = Picture((4.0, 2.0), zoom=zoom)
    picture.frame(0, x=(0, 10), y=(0, 10), bare=True)
    picture.words("words", 0, align=align, bold=bold)
    picture.say("words", words, 5.13, 4.87)
    ours = np.asarray(Image.open(io.BytesIO(picture.png())).convert("L"), float)
    axes = picture.figure.axes[0]
    with matplotlib.rc_context(picture._rc):
        figure = Figure((4.0, 2.0), dpi=100 * zoom)
        figure.text(
            *figure.transFigure.inverted().transform(axes.transData.transform((5.13, 4.87))),
            words,
            ha=align,
            va="center",
            weight="bold" if bold else "normal",
        )
        out = io.BytesIO()
        figure.savefig(out, format="rgba", dpi="figure")
    theirs = np.frombuffer(out.getvalue(), np.uint8).reshape(*ours.shape, 4)[..., 0].astype(float)
    assert (255 - ours).sum() == pytest.approx((255 - theirs).sum(), rel=0.02)  # as much ink
    for axis in (0, 1):
        centres = [
            ((255 - image).sum(axis) * np.arange(image.shape[1 - axis])).sum() / (255 - image).sum()
            for image in (ours, theirs)
        ]
        assert centres[0] == pytest.approx(centres[1], abs=1.0)  # within a pixel


def test_words_have_their_colour_and_the_fade_of_their_edges():
    image, _, _ = LETTERING.image("mm", LOOKS[0], "left", (12, 34, 56))
    assert (
        (image[..., :3] == (12, 34, 56)).all()
        and image[..., 3].max() == 255
        and (image[..., 3] < 255).mean() > 0
    )
    picture = Picture((2.0, 1.0))
    picture.frame(0, x=(0, 10), y=(0, 10), bare=True)
    picture.words("words", 0, style=1)
    picture.say("words", "mm", 5, 5)
    pixels = np.asarray(Image.open(io.BytesIO(picture.png())))
    assert tuple(pixels.reshape(-1, 3)[pixels.sum(2).argmin()]) == tuple(
        int(WORD_COLOURS[1][k : k + 2], 16) for k in (1, 3, 5)
    )


def test_pieces_are_drawn_once_and_digits_one_by_one():
    drawn = []

    def draw(piece, look):
        drawn.append(piece)
        return Stamp(np.full((0, 0) if piece.isspace() else (2, 3), 200, np.uint8), 0, 2, 3.4 * len(piece))

    lettering = Lettering(draw, lambda look: Heights(2.0, 0.0, 4.0))
    for number in (10, 21, 12, 21):
        image, left, low = lettering.image(f"load {number} kg", LOOKS[0], "center", (0, 0, 0))
    assert sorted(drawn) == [" ", "0", "1", "2", "kg", "load"]
    # by hand: pens at 0, 13.6, 17.0, 20.4, 23.8, 27.2, end 34.0; middle 17; the last piece is three pixels
    # wide from 27
    assert (left, low, image.shape) == (-17, -1, (2, 30, 4))
    assert [int(np.flatnonzero(image[0, :, 3])[k]) for k in (0, 3, 6, 9)] == [0, 17, 20, 27]


def test_formulas_and_paper_are_left_to_matplotlib():
    picture = Picture((4.0, 2.0))
    picture.frame(0, x=(0, 10), y=(0, 10), bare=True)
    picture.words("words", 0)
    widths = []
    for words in ("", "$x^2$", "x^2"):
        picture.say("words", words, 1, 5)
        widths.append(
            int((np.asarray(Image.open(io.BytesIO(picture.png())).convert("L")) < 128).any(0).sum())
        )
    assert 0 == widths[0] < widths[1] < widths[2]  # neither dollars nor hat are drawn
    assert "<image" not in picture.svg()
