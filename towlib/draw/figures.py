"""The one drawing surface: fixed parts drawn once, moving parts redrawn over them. Only this file knows
matplotlib.
"""

import contextlib
import functools
import io
import math
import struct
import textwrap
import threading
import zlib
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, NamedTuple

import matplotlib
import numpy as np
from matplotlib.backends.backend_agg import FigureCanvasAgg, RendererAgg
from matplotlib.collections import QuadMesh
from matplotlib.colors import to_rgb
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties
from matplotlib.layout_engine import ConstrainedLayoutEngine
from matplotlib.lines import Line2D
from matplotlib.patches import FancyArrowPatch, PathPatch, Polygon
from matplotlib.path import Path as Outline
from matplotlib.text import Text
from matplotlib.ticker import MaxNLocator
from PIL import Image

from towlib.draw.lettering import Heights, Lettering, Look, Stamp

# Okabe and Ito's palette, readable with the common colour-vision deficiencies; each has its own dash and
# marker too
STYLES = (
    ("#0072B2", "-", "o"),
    ("#D55E00", "--", "s"),
    ("#009E73", "-.", "^"),
    ("#CC79A7", ":", "D"),
    ("#000000", (0, (5, 1)), "v"),
)
WORD_COLOURS = (
    "#0072B2",
    "#A34700",
    "#00664B",
    "#8F4A72",
    "#000000",
)  # the same hues, dark enough for words on white
KEPT_COLOUR, REFERENCE_COLOUR, HATCHES = "#6E6E6E", "#444444", {False: "", True: "///"}
FONT_POINTS, DPI, PROJECTOR_SCALE = 11.0, 100, 1.5
# a phone shows a picture some 350 pixels wide: this width in inches leaves its letters 11 of them high
NARROW_IN, NARROW_LINE, NARROW_NAME = 4.9, 46, 16
# JupyterLab answers sliders and buttons in several threads of one kernel, and matplotlib must not be used by
# two at once
DRAWING = threading.RLock()
# moving parts lie above axes and grid, in the order they are declared, so that the quick redraw equals a full
# one
_ABOVE_ALL = 10.0
_MOST_BACKGROUNDS = 6  # kept, a megabyte each: a slider that is moved to and fro crosses the same ones
# size of a picture and what stands beside its frames -> their places: a layout takes a third of a second, and
# the same panel is made again for other units, another rig, a cell that is run again
_PLACES: dict[tuple[Any, ...], list[Any]] = {}
_MOST_PLACES = 500
_NO_FRAME = ("", "", "", None, None, False, None, False)


class SeriesStyle(NamedTuple):
    """How one series looks."""

    colour: str
    dash: Any
    marker: str


def series_style(number: int) -> SeriesStyle:
    """Colour, dash and marker of the series with this number; they come round again after five.

    >>> series_style(1).marker, series_style(6).marker
    ('s', 's')
    """
    return SeriesStyle(*STYLES[number % len(STYLES)])


_FINE, COARSE = (1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0), (1.0, 2.0, 5.0, 10.0)


def round_up(value: float, steps: Sequence[float] = _FINE) -> float:
    """A coarse round number at or above a value, so that axes rarely change.

    >>> [round_up(v) for v in (3.2, 71, 1444, 2000)], round_up(3.2, COARSE)
    ([4.0, 80.0, 1500.0, 2000.0], 5.0)
    """
    if value <= 0 or not math.isfinite(value):
        return 1.0
    power = 10.0 ** math.floor(math.log10(value))
    return next(step * power for step in steps if step * power >= value * (1 - 1e-9))


class Picture:
    """A figure kept for the life of a panel. Declare frames, then named parts; move them; ask for png() or
    svg().
    """

    def __init__(
        self,
        size_in: tuple[float, float] = (8.0, 3.6),
        *,
        frames: int = 1,
        widths: Sequence[float] | None = None,
        font_scale: float = 1.0,
        zoom: float = 1.0,
        narrow: bool = False,
    ):
        """`narrow` stacks the frames for a phone; then `size_in` is the size of the whole picture."""
        self._rc, self.narrow = self._style(font_scale), narrow
        across = 1 if narrow else frames
        with self._looks():
            self.figure = Figure(figsize=size_in, dpi=DPI * zoom)
            self.canvas = FigureCanvasAgg(self.figure)
            grid = self.figure.subplots(
                frames // across, across, squeeze=False, width_ratios=None if narrow else widths
            )
            self._frames = list(grid.flat)
        for axes in self._frames:
            axes.patch.set_visible(
                False
            )  # else a frame would cover words of its neighbour that run out to it
        self._most_ticks = max(3, int(size_in[0] / across / font_scale))
        self._moving: dict[str, tuple[Any, list[Any]]] = {}  # name -> frame, artists
        self._references: set[str] = set()  # rulers, which are not kept for comparison
        self._kept: list[Any] = []
        self._backgrounds: dict[tuple[Any, ...], Any] = {}  # the latest ones, by what the frames show
        self._sizes = (size_in, frames, tuple(widths or ()), font_scale, zoom, narrow)
        self._whole = False  # whether the frames have all the room
        self.backgrounds_drawn = 0

    @staticmethod
    def _style(scale: float) -> dict[Any, Any]:  # from 3.11 on matplotlib wants its own Literal as keys
        size = FONT_POINTS * scale
        return {
            "font.size": size,
            "axes.titlesize": size,
            "axes.labelsize": size,
            "xtick.labelsize": size,
            "ytick.labelsize": size,
            "legend.fontsize": size,
            "svg.hashsalt": "towlib",
            "svg.fonttype": "path",
            "hatch.linewidth": 1.2,
        }

    @contextlib.contextmanager
    def _looks(self) -> Iterator[None]:
        with DRAWING, matplotlib.rc_context(self._rc):
            yield

    def frame(
        self,
        number: int,
        *,
        title: str = "",
        x_label: str = "",
        y_label: str = "",
        x: tuple[float, float] | None = None,
        y: tuple[float, float] | None = None,
        equal: bool = False,
        y_names: Sequence[str] | None = None,
        bare: bool = False,
    ) -> None:
        """Labels and limits of a frame; the fixed parts are drawn again only when something changed.

        `equal` draws both directions to one scale, `bare` leaves out ticks, grid and edges (for drawings of
        vehicles).
        """
        axes = self._frames[number]
        wanted = (title, x_label, y_label, x, y, equal, tuple(y_names) if y_names else None, bare)
        if getattr(axes, "towlib_frame", None) == wanted:
            return
        axes.towlib_frame = wanted
        with self._looks():
            axes.set_title(self._fitting(title, NARROW_LINE), loc="left", y=1.0)
            axes.set_xlabel(self._fitting(x_label, NARROW_LINE))
            axes.set_ylabel(self._fitting(y_label, NARROW_LINE // 2))
            if x:
                axes.set_xlim(*x)
            if y:
                axes.set_ylim(*y)
            look = equal, bare, wanted[6]
            if getattr(axes, "towlib_look", None) != look:
                axes.towlib_look = look
                self._ticks_and_grid(axes, equal, bare, y_names)

    def _ticks_and_grid(self, axes: Any, equal: bool, bare: bool, y_names: Sequence[str] | None) -> None:
        """What of a frame seldom changes."""
        axes.set_aspect("equal" if equal else "auto")
        axes.xaxis.set_major_locator(MaxNLocator(self._most_ticks, steps=[1, 2, 2.5, 5, 10]))
        if y_names is not None:
            axes.set_yticks(range(len(y_names)), [self._fitting(name, NARROW_NAME) for name in y_names])
            axes.set_ylim(len(y_names) - 0.5, -0.5)
        axes.grid(False)
        if not bare:
            axes.grid(axis="x" if y_names is not None else "both", color="#dddddd", linewidth=0.8)
        axes.tick_params(left=not bare, bottom=not bare, labelleft=not bare, labelbottom=not bare)
        axes.set_axisbelow(True)
        axes.spines[["left", "bottom"]].set_visible(not bare)
        axes.spines[["top", "right"]].set_visible(False)

    def _beside(self) -> tuple[Any, ...]:
        """What needs room beside the frames: lines of words, names, and figures by their length."""
        beside: list[Any] = []
        for axes in self._frames:
            title, x_label, y_label, x, y, _, names, bare = getattr(axes, "towlib_frame", _NO_FRAME)
            room = (title, NARROW_LINE), (x_label, NARROW_LINE), (y_label, NARROW_LINE // 2)
            lines = [self._fitting(words, letters).count("\n") if words else None for words, letters in room]
            beside += [*lines, names, bare, *(_figures(*ends) for ends in (x, y) if ends)]
        return tuple(beside)

    def _fitting(self, words: str, letters: int) -> str:
        """Words that stand beside a frame, on several lines where the picture is narrow."""
        return textwrap.fill(words, letters) if self.narrow else words

    def fixed_line(self, number: int, x: Sequence[float], y: Sequence[float], words: str = "") -> None:
        """A reference line that never moves, named at its right end."""
        with self._looks():
            self._frames[number].plot(
                x, y, color=REFERENCE_COLOUR, linestyle=(0, (2, 2)), linewidth=1.6, scalex=False, scaley=False
            )
            self._frames[number].annotate(
                words,
                (x[-1], y[-1]),
                (-4, 4),
                textcoords="offset points",
                ha="right",
                va="bottom",
                color=REFERENCE_COLOUR,
            )
        self._backgrounds.clear()

    def shade(self, number: int, x: tuple[float, float], y: tuple[float, float], words: str = "") -> None:
        """A shaded region that never moves, named in its upper left corner."""
        with self._looks():
            corners = [(x[0], y[0]), (x[1], y[0]), (x[1], y[1]), (x[0], y[1])]
            self._frames[number].add_patch(
                Polygon(corners, facecolor="#E6E6E6", edgecolor="none", zorder=0.3)
            )
            self._frames[number].annotate(
                words,
                (x[0], y[1]),
                (4, -4),
                textcoords="offset points",
                ha="left",
                va="top",
                color=REFERENCE_COLOUR,
            )
        self._backgrounds.clear()

    def line(self, name: str, number: int, style: int, *, marked: bool = False) -> None:
        """A moving curve in style 0 to 4."""
        colour, dash, marker = series_style(style)
        self._add(
            name,
            number,
            [
                Line2D(
                    [],
                    [],
                    color=colour,
                    linestyle=dash,
                    linewidth=2.4,
                    marker=marker if marked else "",
                    markersize=8,
                )
            ],
        )

    def point(self, name: str, number: int, style: int) -> None:
        """A moving point in style 0 to 4."""
        look = series_style(style)
        self._add(
            name,
            number,
            [
                Line2D(
                    [],
                    [],
                    color=look.colour,
                    linestyle="",
                    marker=look.marker,
                    markersize=11,
                    markeredgecolor="black",
                )
            ],
        )

    def reference(self, name: str, number: int, style: int | None = None) -> None:
        """A moving thin reference line, that of a curve in its style; None is grey and dotted."""
        colour, dash = (REFERENCE_COLOUR, (0, (2, 2))) if style is None else series_style(style)[:2]
        self._references.add(name)
        self._add(name, number, [Line2D([], [], color=colour, linestyle=dash, linewidth=1.6)])

    def shape(
        self, name: str, number: int, style: int | None = None, *, filled: bool = True, closed: bool = True
    ) -> None:
        """A moving outline of a body or a path, black-edged and lightly filled; None is grey."""
        colour = "#B0B0B0" if style is None else series_style(style).colour
        self._add(
            name,
            number,
            [
                Polygon(
                    [(0.0, 0.0)] * 2,
                    closed=closed,
                    facecolor=(colour, 0.35) if filled else "none",
                    linewidth=1.8,
                    edgecolor="black" if filled else colour,
                )
            ],
        )

    def band(self, name: str, number: int, style: int) -> None:
        """A moving filled band between two curves; move it with `spread`."""
        self._add(
            name,
            number,
            [Polygon([(0.0, 0.0)] * 2, facecolor=(series_style(style).colour, 0.25), edgecolor="none")],
        )

    def arrow(self, name: str, number: int, style: int) -> None:
        """A moving arrow; move it with `aim`."""
        self._add(
            name,
            number,
            [
                FancyArrowPatch(
                    (0, 0),
                    (0, 0),
                    arrowstyle="-|>",
                    mutation_scale=18,
                    linewidth=2.4,
                    shrinkA=0,
                    shrinkB=0,
                    color=series_style(style).colour,
                )
            ],
        )

    def words(
        self, name: str, number: int, *, align: str = "left", style: int | None = None, bold: bool = False
    ) -> None:
        """Moving words."""
        colour = WORD_COLOURS[style % len(WORD_COLOURS)] if style is not None else "black"
        self._add(
            name, number, [self._words(number, align, color=colour, weight="bold" if bold else "normal")]
        )

    def _words(self, number: int, align: str, **look: Any) -> "_Words":
        axes = self._frames[number]
        with self._looks():
            return axes.add_artist(
                _Words(0, 0, "", ha=align, va="center", clip_on=False, transform=axes.transData, **look)
            )

    def bars(self, name: str, number: int, count: int) -> None:
        """Moving horizontal bars, the first at the top."""
        with self._looks():
            self._add(
                name,
                number,
                list(
                    self._frames[number].barh(
                        range(count), [0.0] * count, height=0.55, color=STYLES[0][0], edgecolor="black"
                    )
                ),
            )

    def grid(
        self, name: str, number: int, *, x: tuple[float, float], shape: tuple[int, int], labels: int
    ) -> None:
        """A field of (rows, columns) cells, rows at 0, 1, 2 … (use `y_names`), with so many labels at most;
        fill it with `fill`.
        """
        axes = self._frames[number]
        edges = np.linspace(x[0], x[1], shape[1] + 1)
        corners = np.stack(np.meshgrid(edges, np.arange(shape[0] + 1) - 0.5), axis=-1)
        mesh = QuadMesh(corners, antialiased=False, edgecolor="none")
        hatches = [
            PathPatch(
                Outline(corners[0, :1]), facecolor="none", edgecolor="#555555", hatch=hatch, linewidth=0.0
            )
            for hatch in ("//", "xx")
        ]
        lines = [
            PathPatch(
                Outline(corners[0, :1]), facecolor="none", edgecolor="black", linestyle=dash, linewidth=2.6
            )
            for dash in ("-", (0, (2, 1.5)))
        ]
        with self._looks():
            axes.add_collection(mesh, autolim=False)
            self._add(
                name,
                number,
                [mesh, *hatches, *lines, *(self._words(number, "center") for _ in range(labels))],
            )

    def paint(self, name: str, style: int | None, *, hatched: bool = False, dashed: bool = False) -> None:
        """Another look for a line or a filled shape: style 0 to 4 or None for pale grey, hatched, or dashed
        and empty.
        """
        artist, colour = self._moving[name][1][0], "#8C8C8C" if style is None else series_style(style).colour
        dash = (0, (2, 1.2)) if dashed else "-"
        artist.set_linestyle(dash)
        if isinstance(artist, Line2D):
            artist.set_color(colour)
            return
        artist.set_facecolor(
            "white" if dashed else (colour, 0.15 if style is None else 0.75)
        )  # told apart without colour too
        artist.set_edgecolor(colour if dashed else "black")
        artist.set_hatch(HATCHES[hatched])

    def _add(self, name: str, number: int, artists: list[Any]) -> None:
        if name in self._moving:
            raise ValueError(f"two moving parts are called '{name}'; every part needs its own name")
        for artist in artists:
            if isinstance(artist, Line2D):
                self._frames[number].add_line(artist)
            elif artist.axes is None:
                self._frames[number].add_patch(artist)
            # not in the layout: else words near an edge would push the axes about when the background is
            # drawn again
            artist.set(animated=True, in_layout=False, zorder=_ABOVE_ALL + len(self._moving))
        self._moving[name] = (self._frames[number], artists)

    def move(self, name: str, x: Any, y: Any) -> None:
        """New points of a line, point, reference or shape; no points hide it."""
        artist = self._moving[name][1][0]
        if isinstance(artist, Polygon):
            artist.set_visible(len(x) > 1)
            artist.set_xy(list(zip(x, y, strict=True)) if len(x) > 1 else [(0.0, 0.0)] * 2)
        else:
            artist.set_data(x, y)

    def spread(self, name: str, x: Sequence[float], low: Sequence[float], high: Sequence[float]) -> None:
        """New edges of a band."""
        self.move(name, [*x, *reversed(x)], [*low, *reversed(high)])

    def aim(self, name: str, start: tuple[float, float], tip: tuple[float, float]) -> None:
        """New ends of an arrow; an arrow without length is hidden."""
        arrow = self._moving[name][1][0]
        arrow.set_visible(tuple(start) != tuple(tip))
        arrow.set_positions(start, tip)

    def say(self, name: str, text: str, x: float, y: float) -> None:
        """New words and their place."""
        words = self._moving[name][1][0]
        words.set_text(text)
        words.set_position((x, y))

    def stretch(self, name: str, lengths: Sequence[float], over: Sequence[bool]) -> None:
        """New lengths of bars; those over their limit are orange and hatched."""
        for patch, length, is_over in zip(self._moving[name][1], lengths, over, strict=True):
            patch.set_width(length)
            patch.set_facecolor(STYLES[1][0] if is_over else STYLES[0][0])
            patch.set_hatch(HATCHES[bool(is_over)])

    def fill(
        self,
        name: str,
        shades: Any,
        *,
        hatched: Any,
        crossed: Any,
        outlined: Any,
        labels: Sequence[tuple[int, int, str]],
    ) -> None:
        """New cells: shades of 0 to 1, hatched with a full line around, crossed out and left white, outlined
        with dashes, and
        words at (row, column)."""
        mesh, over, out, line, dashes, *words = self._moving[name][1]
        edges, crossed = mesh.get_coordinates()[0, :, 0], np.asarray(crossed, bool)
        colours = _shade_colours()[np.clip(np.nan_to_num(shades) * 255, 0, 255).astype(int)]
        colours[crossed] = 1.0
        mesh.set_facecolor(colours.reshape(-1, 4))
        clear = np.ones(crossed.shape, bool)  # no hatching behind words
        for row, column, _ in labels[: len(words)]:
            clear[row, max(0, column - 1) : column + 2] = False
        for patch, cells in ((over, hatched), (out, crossed)):
            patch.set_path(_cells(edges, clear & np.asarray(cells, bool)))
        for patch, cells in ((line, hatched), (dashes, outlined)):
            patch.set_path(_border(edges, cells, ~crossed))
        filled_up = [*labels[: len(words)], *[(0, 0, "")] * (len(words) - len(labels))]
        for artist, (row, column, text) in zip(words, filled_up, strict=True):
            artist.set_visible(bool(text))
            artist.set_text(text)
            artist.set_position((0.5 * (edges[column] + edges[column + 1]), row))

    def keep(self, label: str = "") -> None:
        """Leave the present curves, points, shapes and bars behind as thin grey outlines; one in each frame
        carries the label.
        """
        named: set[Any] = set()
        for name, (axes, artists) in list(self._moving.items()):
            for artist in artists if name not in self._references else []:
                ghost = _ghost(artist)
                if ghost is None:
                    continue
                axes.add_line(ghost)
                self._kept.append(ghost)
                if label and axes not in named:
                    named.add(axes)
                    self._kept.append(self._ghost_label(axes, ghost, label))
        self._backgrounds.clear()

    def _ghost_label(self, axes: Any, ghost: Line2D, label: str) -> Any:
        """Near the right end of what is kept, inside the frame."""
        left, right = sorted(axes.get_xlim())
        x, y = (np.asarray(part) for part in ghost.get_data())
        inside = [i for i in range(len(x)) if left <= x[i] <= right and math.isfinite(y[i])] or [0]
        i = max(inside, key=lambda k: x[k])
        late = x[i] > left + 0.6 * (right - left)
        if axes.yaxis_inverted():  # bars: in the gap under the first one, clear of the title
            with self._looks():
                return axes.annotate(
                    label,
                    (x[i], 0.5),
                    (6, 0),
                    textcoords="offset points",
                    va="center",
                    color=KEPT_COLOUR,
                    zorder=1.6,
                    in_layout=False,
                )
        with self._looks():
            return axes.annotate(
                label,
                (x[i], y[i]),
                (-6 if late else 6, 9),
                textcoords="offset points",
                ha="right" if late else "left",
                color=KEPT_COLOUR,
                zorder=1.6,
                in_layout=False,
            )

    def drop_kept(self) -> None:
        """Remove what was kept."""
        for ghost in self._kept:
            ghost.remove()
        self._kept.clear()
        self._backgrounds.clear()

    @property
    def kept_count(self) -> int:
        """How many outlines are kept."""
        return len(self._kept)

    def png(self) -> bytes:
        """The picture as PNG: the kept background with the moving parts drawn over it."""
        with DRAWING:
            self._place()
            shown = tuple(getattr(axes, "towlib_frame", _NO_FRAME) for axes in self._frames)
            background = self._backgrounds.pop(shown, None)
            if background is None:
                with self._looks():
                    self.canvas.draw()
                background = self.canvas.copy_from_bbox(self.figure.bbox)
                self.backgrounds_drawn += 1
                if len(self._backgrounds) == _MOST_BACKGROUNDS:
                    self._backgrounds.pop(next(iter(self._backgrounds)))
            self._backgrounds[shown] = background  # the latest at the end
            for axes in self._frames:
                axes.apply_aspect()
            self.canvas.restore_region(background)
            for axes, artists in self._moving.values():
                for artist in artists:
                    axes.draw_artist(artist)
            width, height = self.canvas.get_width_height()
            image = Image.frombuffer("RGBA", (width, height), self.canvas.buffer_rgba(), "raw", "RGBA", 0, 1)
            rows = image.tobytes("raw", "RGB", 3 * width + 1, 1)  # an empty byte behind each row
        return _png(rows, width, height)

    def _place(self) -> None:
        """Make room for labels, once for each set of them: a layout at every drawing would take long, and
        shift the frames by a pixel.
        """
        if self._whole:
            return
        beside = (*self._sizes, *self._beside())
        if beside not in _PLACES:
            with self._looks():
                self.figure.set_layout_engine(layout := ConstrainedLayoutEngine())
                for _ in range(2):  # the ticks depend on the room, and the room on the ticks
                    layout.execute(self.figure)  # without drawing: two thirds of the time
                self.figure.set_layout_engine("none")
            if len(_PLACES) == _MOST_PLACES:
                _PLACES.pop(next(iter(_PLACES)))
            _PLACES[beside] = [axes.get_position(original=True) for axes in self._frames]
        for axes, place in zip(self._frames, _PLACES[beside], strict=True):
            axes.set_position(place)
            axes.set_in_layout(True)  # which matplotlib takes back where a place is set

    def svg(self) -> str:
        """The whole picture as an SVG element for a printed page, the same text every time."""
        out = io.StringIO()
        self._place()
        with self._looks():
            self.figure.savefig(out, format="svg", metadata={"Date": None, "Creator": None})
        text = out.getvalue()
        return text[text.index("<svg") :]

    def fixed_words(self, number: int, text: str, x: float, y: float, *, align: str = "center") -> None:
        """Words that never move: drawn once with the frame, so that they cost nothing when a slider moves."""
        with self._looks():
            self._frames[number].text(x, y, text, ha=align, va="center", in_layout=False)
        self._backgrounds.clear()

    def whole_page(self) -> None:
        """Give the frames all the room, for drawings without labels."""
        self.figure.subplots_adjust(left=0.0, bottom=0.0, right=1.0, top=1.0)
        self._whole = True
        self._backgrounds.clear()

    def fixed_shape(
        self,
        number: int,
        points: Sequence[tuple[float, float]],
        *,
        fill: str = "none",
        width: float = 1.6,
        dashed: bool = False,
    ) -> None:
        """An outline that never moves, for drawings; filled shapes cover what was drawn before."""
        with self._looks():
            axes = self._frames[number]
            axes.add_patch(
                Polygon(
                    points,
                    closed=fill != "none",
                    facecolor=fill,
                    edgecolor="black",
                    linewidth=width,
                    capstyle="round",
                    linestyle=(0, (3, 2)) if dashed else "-",
                    zorder=2.0 + 0.001 * len(axes.patches),
                )
            )
        self._backgrounds.clear()

    def lettered(
        self,
        number: int,
        letter: str,
        at: tuple[float, float],
        ends: Sequence[tuple[float, float]],
        *,
        arrow: str = "<|-|>",
    ) -> None:
        """A letter in a circle for a drawing: on an arrow between two ends, or with a pointer from it to one
        end.
        """
        with self._looks():
            start, tip = (at, ends[0]) if len(ends) == 1 else ends
            self._frames[number].annotate(
                "",
                tip,
                start,
                zorder=5,
                arrowprops={
                    "arrowstyle": "-|>" if len(ends) == 1 else arrow,
                    "color": STYLES[0][0],
                    "linewidth": 1.6,
                    "shrinkA": 0,
                    "shrinkB": 0,
                    "mutation_scale": 13,
                },
            )
            self._frames[number].text(
                *at,
                letter,
                ha="center",
                va="center",
                weight="bold",
                zorder=6,
                bbox={
                    "boxstyle": "circle,pad=0.18",
                    "facecolor": "white",
                    "edgecolor": STYLES[0][0],
                    "linewidth": 1.4,
                },
            )
        self._backgrounds.clear()

    def lettered_at(self) -> list[tuple[str, float, float]]:
        """Every letter in a circle and its place."""
        return [
            (text.get_text(), *text.get_position())
            for axes in self._frames
            for text in axes.texts
            if text.get_bbox_patch() is not None and text.get_text()
        ]

    def drawn_numbers(self) -> list[float]:
        """Every coordinate of the moving lines, for checks that all of them are finite."""
        lines = [
            artist for _, artists in self._moving.values() for artist in artists if isinstance(artist, Line2D)
        ]
        return [float(number) for line in lines for number in np.ravel(line.get_xydata())]

    def save(self, path: Path) -> None:
        """Write the picture to a file whose name ends in .svg or .png."""
        if path.suffix == ".svg":
            path.write_text(self.svg(), encoding="utf-8")
        elif path.suffix == ".png":
            path.write_bytes(self.png())
        else:
            raise ValueError(f"a picture is written as .svg or .png, not as '{path.suffix}'")


def _figures(low: float, high: float) -> tuple[int, int, int]:
    """How long the figures at the ticks of an axis are: whole digits at either end, and the size of a tenth
    of the axis where that is a fraction.
    """
    tenth = abs(high - low) / 10
    return len(f"{low:.0f}"), len(f"{high:.0f}"), min(0, math.floor(math.log10(tenth))) if tenth else 0


def _png(rows: bytes, width: int, height: int) -> bytes:
    """A PNG file, compressed lightly; in `rows` an empty byte follows each row of RGB, and PNG wants it
    before the row: 'no filter'.

    Pillow writes the same in more than twice the time, because it tries five filters on each row.
    """
    pack = zlib.compressobj(1)
    data = pack.compress(b"\0") + pack.compress(memoryview(rows)[:-1]) + pack.flush()
    parts = (
        (b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)),
        (b"IDAT", data),
        (b"IEND", b""),
    )
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(part)) + kind + part + struct.pack(">I", zlib.crc32(kind + part))
        for kind, part in parts
    )


class _Words(Text):
    """Words put together from kept pieces; on paper (SVG), or with a formula in them, they are drawn as
    matplotlib does.
    """

    def draw(self, renderer: Any) -> None:
        text = self.get_text()
        if not isinstance(renderer, RendererAgg) or "$" in text:
            super().draw(renderer)
        elif text and self.get_visible():
            x, y = self.get_transform().transform(self.get_position())
            if math.isfinite(x) and math.isfinite(y):
                image, left, low = self._image(text, renderer)
                if image.shape[1] > renderer.width - 2 * _MARGIN:  # longer than the picture is wide
                    letters = int(len(text) * (renderer.width - 2 * _MARGIN) / image.shape[1]) - 1
                    image, left, low = self._image(textwrap.fill(text, max(8, letters)), renderer)
                gc = renderer.new_gc()
                at_x, at_y = round(x) + left, round(y) + low
                if 0 <= x <= renderer.width and 0 <= y <= renderer.height:
                    at_x = _inside(at_x, image.shape[1], renderer.width)
                    at_y = _inside(at_y, image.shape[0], renderer.height)
                renderer.draw_image(gc, at_x, at_y, image)
                gc.restore()

    def _image(self, text: str, renderer: Any) -> tuple[Any, int, int]:
        return LETTERING.image(
            text,
            Look(float(self.get_fontsize()), self.get_fontweight(), renderer.dpi),
            self.get_horizontalalignment(),
            tuple(round(255 * part) for part in to_rgb(self.get_color())),
        )


_MARGIN = 2  # pixels left free between words and the picture's edge


def _inside(start: float, size: int, room: float) -> int:
    """A place that keeps what begins there inside the picture, where it can."""
    return int(max(_MARGIN, min(start, room - size - _MARGIN)))


def _draw_piece(piece: str, look: Look) -> Stamp:
    """A word or a digit, drawn once by matplotlib."""
    font, margin = (
        FontProperties(size=look.points, weight=look.weight),
        math.ceil(look.points * look.dpi / 72),
    )
    renderer = RendererAgg(1, 1, look.dpi)
    advance, _, _ = renderer.get_text_width_height_descent(piece, font, False)
    renderer = RendererAgg(math.ceil(advance) + 2 * margin, 4 * margin, look.dpi)
    renderer.draw_text(renderer.new_gc(), margin, 2 * margin, piece, font, 0.0)
    cover = np.asarray(renderer.buffer_rgba())[..., 3]
    rows, columns = (np.flatnonzero(cover.any(axis)) for axis in (1, 0))
    if not rows.size:
        return Stamp(np.zeros((0, 0), np.uint8), 0, 0, advance)
    return Stamp(
        cover[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1].copy(),
        int(columns[0]) - margin,
        2 * margin - int(rows[0]),
        advance,
    )


def _line_heights(look: Look) -> Heights:
    """What matplotlib leaves above and below the base line of these letters."""
    figure = Figure(dpi=look.dpi)
    one, two, three = (
        figure.text(0, 0, text, size=look.points, weight=look.weight, va="baseline").get_window_extent(
            RendererAgg(1, 1, look.dpi)
        )
        for text in ("lp", "lp\nlp", "lp\nlp\nlp")
    )
    return Heights(one.y1, -one.y0, three.height - two.height)


LETTERING = Lettering(_draw_piece, _line_heights)


@functools.cache
def _shade_colours() -> Any:
    """256 shades from pale yellow to an orange that black words stay readable on."""
    return matplotlib.colormaps["YlOrBr"](np.linspace(0.0, 0.62, 256))


def _cells(edges: Any, cells: Any) -> Outline:
    """The outline of each run of marked cells in a row."""
    corners: list[tuple[float, float]] = []
    codes: list[np.uint8] = []
    for row, marked in enumerate(np.asarray(cells, bool)):
        ends = np.flatnonzero(np.diff(np.concatenate(([0], marked, [0]))))
        for first, last in zip(ends[::2], ends[1::2], strict=True):
            left, right, low, high = edges[first], edges[last], row - 0.5, row + 0.5
            corners += [(left, low), (right, low), (right, high), (left, high), (left, low)]
            codes += [Outline.MOVETO, Outline.LINETO, Outline.LINETO, Outline.LINETO, Outline.CLOSEPOLY]
    return Outline(corners, codes) if corners else Outline([(edges[0], -0.5)])


def _border(edges: Any, cells: Any, drawn: Any) -> Outline:
    """The edges between marked cells and others, where both are drawn."""
    marked = np.asarray(cells, bool)
    corners: list[tuple[float, float]] = []
    for row, column in np.argwhere((marked[:, 1:] != marked[:, :-1]) & drawn[:, 1:] & drawn[:, :-1]):
        corners += [(edges[column + 1], row - 0.5), (edges[column + 1], row + 0.5)]
    for row, column in np.argwhere((marked[1:] != marked[:-1]) & drawn[1:] & drawn[:-1]):
        corners += [(edges[column], row + 0.5), (edges[column + 1], row + 0.5)]
    return (
        Outline(corners, [Outline.MOVETO, Outline.LINETO] * (len(corners) // 2))
        if corners
        else Outline([(edges[0], -0.5)])
    )


def _ghost(artist: Any) -> Line2D | None:
    """The grey outline of a moving part; None for words, arrows and whatever is hidden or empty."""
    look: dict[str, Any] = {"color": KEPT_COLOUR, "zorder": 1.5, "linewidth": 1.2, "in_layout": False}
    if isinstance(artist, Line2D) and np.size(artist.get_xdata()):
        return Line2D(
            *artist.get_data(orig=True),
            linestyle=artist.get_linestyle(),
            marker=artist.get_marker(),
            markersize=5,
            markerfacecolor="none",
            **look,
        )
    if isinstance(artist, Polygon) and artist.get_visible():
        return Line2D(*artist.get_xy().T, **look)
    if hasattr(artist, "get_width"):
        x, y = artist.get_width(), artist.get_y()
        return Line2D([x, x], [y - 0.1, y + artist.get_height() + 0.1], **look | {"linewidth": 2.5})
    return None
