"""The one drawing surface: fixed parts drawn once, moving parts redrawn over them. Only this file knows matplotlib."""

import io
import math
from collections.abc import Sequence
from typing import Any

import matplotlib
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from PIL import Image

# Okabe and Ito's palette, readable with the common colour-vision deficiencies; each has its own dash and marker too
STYLES = (("#0072B2", "-", "o"), ("#D55E00", "--", "s"), ("#009E73", "-.", "^"), ("#CC79A7", ":", "D"), ("#000000", (0, (5, 1)), "v"))
KEPT_COLOUR, REFERENCE_COLOUR, HATCHES = "#767676", "#444444", {False: "", True: "///"}
FONT_POINTS, DPI = 11.0, 100


def round_up(value: float) -> float:
    """A coarse round number at or above a value, so that axes rarely change.

    >>> [round_up(v) for v in (3.2, 71, 1444, 2000)]
    [4.0, 80.0, 1500.0, 2000.0]
    """
    if value <= 0 or not math.isfinite(value):
        return 1.0
    power = 10.0 ** math.floor(math.log10(value))
    return next(step * power for step in (1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0) if step * power >= value * (1 - 1e-9))


class Picture:
    """A figure kept for the life of a panel. Declare frames, then named parts; move them; ask for png() or svg()."""

    def __init__(self, size_in: tuple[float, float] = (9.0, 3.6), *, frames: int = 1, widths: Sequence[float] | None = None,
                 font_scale: float = 1.0):
        with matplotlib.rc_context(self._style(font_scale)):
            self.figure = Figure(figsize=size_in, dpi=DPI, layout="constrained")
            self.canvas = FigureCanvasAgg(self.figure)
            self._frames = list(self.figure.subplots(1, frames, squeeze=False, width_ratios=widths)[0])
        self._rc = self._style(font_scale)
        self._moving: dict[str, tuple[Any, list[Any]]] = {}  # name -> frame, artists
        self._kept: list[Any] = []
        self._background: Any = None
        self.backgrounds_drawn = 0

    @staticmethod
    def _style(scale: float) -> dict[str, Any]:
        size = FONT_POINTS * scale
        return {"font.size": size, "axes.titlesize": size, "axes.labelsize": size, "xtick.labelsize": size, "ytick.labelsize": size,
                "legend.fontsize": size, "svg.hashsalt": "towlib", "svg.fonttype": "path", "hatch.linewidth": 1.2}

    def frame(self, number: int, *, title: str = "", x_label: str = "", y_label: str = "", x: tuple[float, float] | None = None,
              y: tuple[float, float] | None = None, equal: bool = False, y_names: Sequence[str] | None = None) -> None:
        """Labels and limits of a frame; the fixed parts are drawn again only when something changed."""
        axes = self._frames[number]
        wanted = (title, x_label, y_label, x, y, tuple(y_names) if y_names else None)
        if getattr(axes, "towlib_frame", None) == wanted:
            return
        axes.towlib_frame = wanted
        with matplotlib.rc_context(self._rc):
            axes.set_title(title, loc="left")
            axes.set_xlabel(x_label)
            axes.set_ylabel(y_label)
            if x:
                axes.set_xlim(*x)
            if y:
                axes.set_ylim(*y)
            if equal:
                axes.set_aspect("equal")
            if y_names is not None:
                axes.set_yticks(range(len(y_names)), y_names)
                axes.set_ylim(len(y_names) - 0.5, -0.5)
            axes.grid(axis="x" if y_names is not None else "both", color="#dddddd", linewidth=0.8)
            axes.set_axisbelow(True)
            axes.spines[["top", "right"]].set_visible(False)
        self._background = None

    def line(self, name: str, number: int, style: int, *, marked: bool = False) -> None:
        """A moving curve in style 0 to 4."""
        colour, dash, marker = STYLES[style]
        line = Line2D([], [], color=colour, linestyle=dash, linewidth=2.4, marker=marker if marked else "", markersize=8, animated=True)
        self._add(name, number, [line])

    def point(self, name: str, number: int, style: int) -> None:
        """A moving point in style 0 to 4."""
        colour, _, marker = STYLES[style]
        self._add(name, number, [Line2D([], [], color=colour, linestyle="", marker=marker, markersize=11, markeredgecolor="black", animated=True)])

    def reference(self, name: str, number: int) -> None:
        """A moving thin reference line."""
        self._add(name, number, [Line2D([], [], color=REFERENCE_COLOUR, linestyle=(0, (2, 2)), linewidth=1.6, animated=True)])

    def words(self, name: str, number: int, *, align: str = "left", style: int | None = None, bold: bool = False) -> None:
        """Moving words."""
        with matplotlib.rc_context(self._rc):
            text = self._frames[number].text(0, 0, "", ha=align, va="center", color=STYLES[style][0] if style is not None else "black",
                                             weight="bold" if bold else "normal", animated=True)
        self._moving[name] = (self._frames[number], [text])

    def bars(self, name: str, number: int, count: int) -> None:
        """Moving horizontal bars, the first at the top."""
        patches = list(self._frames[number].barh(range(count), [0.0] * count, height=0.55, color=STYLES[0][0], edgecolor="black", animated=True))
        self._moving[name] = (self._frames[number], patches)

    def _add(self, name: str, number: int, artists: list[Any]) -> None:
        for artist in artists:
            self._frames[number].add_line(artist)
        self._moving[name] = (self._frames[number], artists)

    def move(self, name: str, x: Any, y: Any) -> None:
        """New points of a line, point or reference."""
        self._moving[name][1][0].set_data(x, y)

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

    def keep(self) -> None:
        """Leave the present curves and bars behind as thin grey outlines, for comparison."""
        for axes, artists in list(self._moving.values()):
            for artist in artists:
                if isinstance(artist, Line2D):
                    ghost = Line2D(*artist.get_data(orig=True), color=KEPT_COLOUR, linestyle=artist.get_linestyle(), linewidth=1.2,
                                   marker=artist.get_marker(), markersize=5, markerfacecolor="none", zorder=1.5)
                    axes.add_line(ghost)
                    self._kept.append(ghost)
                elif hasattr(artist, "get_width"):
                    x = artist.get_width()
                    ghost = Line2D([x, x], [artist.get_y() - 0.1, artist.get_y() + artist.get_height() + 0.1], color=KEPT_COLOUR, linewidth=2.5,
                                   zorder=1.5)
                    axes.add_line(ghost)
                    self._kept.append(ghost)
        self._background = None

    def drop_kept(self) -> None:
        """Remove what was kept."""
        for ghost in self._kept:
            ghost.remove()
        self._kept.clear()
        self._background = None

    @property
    def kept_count(self) -> int:
        """How many outlines are kept."""
        return len(self._kept)

    def png(self) -> bytes:
        """The picture as PNG: the kept background with the moving parts drawn over it."""
        with matplotlib.rc_context(self._rc):
            if self._background is None:
                self.canvas.draw()
                self._background = self.canvas.copy_from_bbox(self.figure.bbox)
                self.backgrounds_drawn += 1
            self.canvas.restore_region(self._background)
            for axes, artists in self._moving.values():
                for artist in artists:
                    axes.draw_artist(artist)
        width, height = self.canvas.get_width_height()
        image = Image.frombuffer("RGBA", (width, height), self.canvas.buffer_rgba(), "raw", "RGBA", 0, 1).convert("RGB")
        out = io.BytesIO()
        image.save(out, "PNG", compress_level=1)
        return out.getvalue()

    def svg(self) -> str:
        """The whole picture as an SVG element for a printed page, the same text every time."""
        out = io.StringIO()
        with matplotlib.rc_context(self._rc):
            self.figure.savefig(out, format="svg", metadata={"Date": None, "Creator": None})
        text = out.getvalue()
        return text[text.index("<svg"):]
