"""Panels in the kernel: from a slider's change to the finished picture, against an empty figure and a new
figure each time.

The floor is the panel's own frames without anything that moves: background put back, PNG written the same
way. Beside it stands matplotlib's own redraw of those empty frames. The common pattern is a new figure each
time with the same parts, drawn and written by matplotlib as it comes. Processor time.
"""

import functools
import io
import statistics
from typing import NamedTuple
from unittest import mock

from matplotlib.text import Text

from tests.benchmarks.measure import Row, in_turns, percentile, timed
from towlib.draw import figures
from towlib.lessons.index import all_panels, panel_of
from towlib.lessons.slider_rows import load_panel
from towlib.teaching.panel.panel_state import PanelState
from towlib.teaching.panel.rig_in_use import invented

STOPS = 6  # of every slider, from one end to the other
NEW_FIGURES = 3  # a panel: a new figure takes a tenth of a second
MOST_REDRAW_OVER_FLOOR, MEDIAN_S, P95_S, NEW_OVER_OURS = 1.3, 0.020, 0.035, 3.0


class Measured(NamedTuple):
    """One panel."""

    name: str
    kernel_s: list[float]  # change, physics, sentence and picture
    redraw_s: list[float]  # the picture alone
    floor_s: list[float]
    plain_s: float  # matplotlib redraws the empty frames
    new_s: float


def _empty(state: PanelState) -> figures.Picture:
    """The panel's frames alone."""
    drawing = state._panel.drawing()
    picture = figures.Picture(drawing.size_in, frames=drawing.frames, widths=getattr(drawing, "widths", None))
    drawing.build(picture, state.system)
    for _, artists in picture._moving.values():
        for artist in artists:
            artist.remove()
    picture._moving.clear()
    return picture


def _new_figure(state: PanelState) -> None:
    """The same result in a figure made for it, laid out and written by matplotlib."""
    drawing = state._panel.drawing()
    with mock.patch.object(figures._Words, "draw", Text.draw):
        picture = figures.Picture(
            drawing.size_in, frames=drawing.frames, widths=getattr(drawing, "widths", None)
        )
        drawing.build(picture, state.system)
        drawing.update(picture, state._result(state.values), state.system)
        with picture._looks():
            for _, artists in picture._moving.values():
                for artist in artists:
                    artist.set_animated(False)
            picture.figure.savefig(io.BytesIO(), format="png")


def _plain_redraw(empty: figures.Picture) -> None:
    """The empty frames drawn and written by matplotlib as it comes."""
    with empty._looks():
        empty.figure.savefig(io.BytesIO(), format="png")


def _changes(state: PanelState):
    """Every slider in turn over its stops, the others at their starts; combinations that are not possible
    show no new picture.
    """
    for slider in state.spec.sliders:
        stops = len(slider.options) if slider.options else STOPS
        for stop in range(stops):
            yield slider.name, slider.low + (slider.high - slider.low) * stop / (stops - 1)
        yield slider.name, slider.start


def _measure(key: tuple[str, str]) -> Measured:
    state = PanelState(load_panel(*key), panel_of(*key), invented)
    empty = _empty(state)
    for picture in (empty, state.picture):
        picture.png()
    found = Measured("/".join(key), [], [], [], 0.0, 0.0)
    new, plain = in_turns(
        lambda: timed(lambda: _new_figure(state)),
        lambda: timed(lambda: _plain_redraw(empty)),
        rounds=NEW_FIGURES,
    )
    for name, value in _changes(state):

        def change(name=name, value=value) -> None:
            state.set(name, value)
            state.update()

        before, drawn = timed(change), state.picture.backgrounds_drawn
        redraw = timed(state.picture.png)
        if (
            state.failed or state.picture.backgrounds_drawn > drawn
        ):  # the axes changed: rare, and not what a drag shows
            continue
        found.kernel_s.append(before + redraw)
        found.redraw_s.append(redraw)
        found.floor_s.append(timed(empty.png))
    return found._replace(new_s=new, plain_s=plain)


@functools.cache
def measured() -> list[Measured]:
    """Every panel of every lesson, with its invented rig."""
    return [_measure(key) for key in all_panels()]


def rows() -> list[Row]:
    """All panels and all stops together, and the worst panels by name."""
    panels = measured()
    kernel, redraw, floor = (
        [s for panel in panels for s in getattr(panel, part)] for part in ("kernel_s", "redraw_s", "floor_s")
    )
    slowest = max(panels, key=lambda panel: statistics.median(panel.kernel_s))
    late = max(panels, key=lambda panel: percentile(panel.kernel_s, 0.95))
    far = max(panels, key=_over_floor)
    new = statistics.median(panel.new_s for panel in panels)
    near = sum(_over_floor(panel) <= MOST_REDRAW_OVER_FLOOR for panel in panels)
    median, p95 = statistics.median(kernel), percentile(kernel, 0.95)
    least = min(panels, key=lambda panel: panel.new_s / statistics.median(panel.kernel_s))
    return [
        Row(
            f"slider to picture in the kernel, {len(panels)} panels, {len(kernel)} stops: median",
            median,
            "a new figure each time, the same parts",
            new,
            f"at most {1000 * MEDIAN_S:.0f} ms; at least {NEW_OVER_OURS:.0f}",
            median <= MEDIAN_S and new / median >= NEW_OVER_OURS,
        ),
        Row(
            "the same, 95th percentile",
            p95,
            "a new figure each time, median",
            new,
            f"at most {1000 * P95_S:.0f} ms",
            p95 <= P95_S,
        ),
        Row(
            f"slowest panel by its median: {slowest.name}",
            statistics.median(slowest.kernel_s),
            "a new figure each time",
            slowest.new_s,
            f"at most {1000 * MEDIAN_S:.0f} ms",
            statistics.median(slowest.kernel_s) <= MEDIAN_S,
        ),
        Row(
            f"slowest panel by its 95th percentile: {late.name}",
            percentile(late.kernel_s, 0.95),
            "a new figure each time",
            late.new_s,
            f"at most {1000 * P95_S:.0f} ms",
            percentile(late.kernel_s, 0.95) <= P95_S,
        ),
        Row(
            f"panel that gains least: {least.name}",
            statistics.median(least.kernel_s),
            "a new figure each time",
            least.new_s,
            f"at least {NEW_OVER_OURS:.0f}",
            least.new_s / statistics.median(least.kernel_s) >= NEW_OVER_OURS,
        ),
        Row(
            f"redraw alone, median ({near} of {len(panels)} panels reach the goal)",
            statistics.median(redraw),
            "the floor: empty frames, same writer",
            statistics.median(floor),
            f"at least {1 / MOST_REDRAW_OVER_FLOOR:.2f}",
            statistics.median(redraw) <= MOST_REDRAW_OVER_FLOOR * statistics.median(floor),
        ),
        Row(
            "redraw alone, median",
            statistics.median(redraw),
            "matplotlib's own redraw of the empty frames",
            statistics.median(panel.plain_s for panel in panels),
            f"at least {1 / MOST_REDRAW_OVER_FLOOR:.2f}",
            statistics.median(redraw)
            <= MOST_REDRAW_OVER_FLOOR * statistics.median(panel.plain_s for panel in panels),
        ),
        Row(
            f"redraw alone, farthest panel: {far.name}",
            statistics.median(far.redraw_s),
            "the floor",
            statistics.median(far.floor_s),
            f"at least {1 / MOST_REDRAW_OVER_FLOOR:.2f}",
            _over_floor(far) <= MOST_REDRAW_OVER_FLOOR,
        ),
    ]


def details() -> list[Row]:
    """One row for each panel: its redraw against its floor."""
    return [
        Row(
            f"{panel.name}: redraw (change to picture {1000 * statistics.median(panel.kernel_s):.1f} ms, 95th"
            f" percentile {1000 * percentile(panel.kernel_s, 0.95):.1f} ms)",
            statistics.median(panel.redraw_s),
            "its floor",
            statistics.median(panel.floor_s),
            f"at least {1 / MOST_REDRAW_OVER_FLOOR:.2f}",
            _over_floor(panel) <= MOST_REDRAW_OVER_FLOOR,
        )
        for panel in measured()
    ]


def _over_floor(panel: Measured) -> float:
    return statistics.median(panel.redraw_s) / statistics.median(panel.floor_s)
