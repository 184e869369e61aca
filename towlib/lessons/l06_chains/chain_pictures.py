"""Drawings of lesson 06: chains from above and from the side, gap curves, the dropped bar. Forwards is to the
left.
"""

import math

from towlib.draw.figures import Picture
from towlib.lessons.l06_chains.safety_chains import CLEARANCE_M, DroppedBar, Layout, LengthWindow, bar_point_m
from towlib.physics.chains.chain_shape import hanging_points
from towlib.physics.chains.dropped_bar import BarInSideView
from towlib.units import from_si, show, unit_label

ARM_M, ARM_END_M = 0.9, 0.30  # how much of the bar is drawn, and half its width there
AHEAD_M, BEHIND_M, HALF_WIDTH_M, HIGHEST_M = -0.62, 1.05, 1.12, 1.05


def _size(values, system):
    return [from_si(v, "size", system) for v in values]


class LayoutDrawing:
    """Left: from above, to scale. Right: from the side, with the curve the chains hang in."""

    size_in, frames = (10.0, 4.8), 2

    def build(self, picture: Picture, system: str) -> None:
        """Frames and named parts."""
        label = unit_label("size", system)
        x = tuple(_size((AHEAD_M, BEHIND_M), system))
        picture.frame(
            0,
            title="From above, driving to the left",
            x_label=f"behind the ball [{label}]",
            x=x,
            equal=True,
            y=tuple(_size((-HALF_WIDTH_M, HALF_WIDTH_M), system)),
        )
        picture.frame(
            1,
            title="From the side",
            x_label=f"behind the ball [{label}]",
            y_label=f"above the road [{label}]",
            x=x,
            equal=True,
            y=tuple(_size((-0.06, HIGHEST_M), system)),
        )
        picture.shade(1, x, tuple(_size((-0.06, 0.0), system)))
        for view in (0, 1):
            picture.shape(f"receiver {view}", view)
            picture.shape(f"bar {view}", view)
        picture.shape("mount", 1)
        picture.reference("clearance", 1)
        picture.words("clearance name", 1, align="right")
        for name, style in (("left", 0), ("right", 2)):
            for view in (0, 1):
                picture.line(f"{name} {view}", view, style)
                picture.line(f"{name} binds {view}", view, 1)
            picture.words(f"{name} slack", 0, style=style, bold=True)
        for view in (0, 1):
            picture.point(f"anchors {view}", view, 4)
            picture.point(f"ball {view}", view, 0)
        picture.point("lowest", 1, 1)
        picture.words("lowest words", 1, bold=True)
        picture.words("parts", 1)

    def update(self, picture: Picture, result: Layout, system: str) -> None:
        """Move the parts to a result; right of the vehicle is up in the view from above."""
        anchors, turn = result.anchors, result.articulation_rad
        wide, edge = anchors.receiver_spread_m / 2.0 + 0.04, anchors.receiver_behind_ball_m + 0.02
        inner, tube = max(0.03, anchors.receiver_spread_m / 2.0 - 0.04), min(edge, -0.08)
        half = [(AHEAD_M, wide), (edge, wide), (edge, inner), (tube, inner), (tube, 0.03), (0.03, 0.03)]
        outline = half + [(x, -y) for x, y in reversed(half)]
        picture.move(
            "receiver 0", _size([p[0] for p in outline], system), _size([p[1] for p in outline], system)
        )
        frame = [
            bar_point_m(*point, turn)
            for point in (
                (0.0, 0.03),
                (ARM_M, ARM_END_M),
                (ARM_M, ARM_END_M - 0.05),
                (0.14, 0.0),
                (ARM_M, 0.05 - ARM_END_M),
                (ARM_M, -ARM_END_M),
                (0.0, -0.03),
            )
        ]
        picture.move("bar 0", _size([p[0] for p in frame], system), _size([-p[1] for p in frame], system))
        middle, ball = anchors.receiver_height_m, anchors.bar_height_m - 0.05
        picture.move(
            "receiver 1",
            _size([AHEAD_M, edge, edge, AHEAD_M], system),
            _size([middle + z for z in (-0.03, -0.03, 0.03, 0.03)], system),
        )
        picture.move(
            "mount",
            _size([tube - 0.06, tube, 0.03, 0.03, tube, tube - 0.06], system),
            _size(
                [middle - 0.02, middle - 0.02, ball - 0.02, ball + 0.02, middle + 0.02, middle + 0.02], system
            ),
        )
        end = ARM_M * math.cos(turn)
        picture.move(
            "bar 1",
            _size([-0.03, end, end, -0.03], system),
            _size([anchors.bar_height_m + z for z in (-0.025, -0.025, 0.025, 0.025)], system),
        )
        picture.move("ball 0", [0.0], [0.0])
        picture.move("ball 1", [0.0], _size([anchors.bar_height_m], system))
        for name, chain, side in (("left", result.chains[0], -1.0), ("right", result.chains[1], 1.0)):
            x, up, across = (
                _size(part, system) for part in (chain.behind_m, chain.height_m, [-y for y in chain.left_m])
            )
            binds = chain.slack_m < 0
            for view, y in ((0, across), (1, up)):
                picture.move(f"{name} {view}", *(([], []) if binds else (x, y)))
                picture.move(f"{name} binds {view}", *((x, y) if binds else ([], [])))
            words = (
                f"BINDS by {show(-chain.slack_m, 'size', system)}"
                if binds
                else f"slack {show(chain.slack_m, 'size', system)}"
            )
            picture.say(
                f"{name} slack",
                f"{name}: {words}",
                from_si(AHEAD_M + 0.04, "size", system),
                from_si(side * (HALF_WIDTH_M - 0.10), "size", system),
            )
        ends = [(c.behind_m[i], -c.left_m[i], c.height_m[i]) for c in result.chains for i in (0, -1)]
        picture.move("anchors 0", _size([e[0] for e in ends], system), _size([e[1] for e in ends], system))
        picture.move("anchors 1", _size([e[0] for e in ends], system), _size([e[2] for e in ends], system))
        picture.move("clearance", _size((AHEAD_M, BEHIND_M), system), _size((CLEARANCE_M,) * 2, system))
        picture.say(
            "clearance name",
            f"{show(CLEARANCE_M, 'size', system)} clear",
            *_size((BEHIND_M - 0.03, CLEARANCE_M + 0.05), system),
        )
        slack = [chain for chain in result.chains if chain.slack_m >= 0]
        if slack:
            height, place = min(min(zip(c.height_m, c.behind_m, strict=True)) for c in slack)
            picture.move("lowest", _size([place], system), _size([height], system))
            picture.say(
                "lowest words",
                f"lowest {show(max(0.0, height), 'size', system)}",
                *_size((AHEAD_M + 0.04, HIGHEST_M - 0.18), system),
            )
        else:
            picture.move("lowest", [], [])
            picture.say(
                "lowest words", "both chains bind", *_size((AHEAD_M + 0.04, HIGHEST_M - 0.18), system)
            )
        picture.say(
            "parts",
            "dot: ball; triangles: anchors; square: lowest",
            *_size((AHEAD_M + 0.04, HIGHEST_M - 0.07), system),
        )


class LengthWindowDrawing:
    """Gap against articulation for crossed and parallel chains, and the fitted length."""

    size_in, frames = (10.0, 4.4), 1

    def build(self, picture: Picture, system: str) -> None:
        """Named parts; the frame follows the curves."""
        self._frame(picture, (0.4, 0.7), system)
        for name, style in (
            ("crossed left", 0),
            ("crossed right", 4),
            ("parallel left", 1),
            ("parallel right", 3),
        ):
            picture.line(name, 0, style)
            picture.words(
                f"{name} name", 0, style=style, bold=True, align="right" if name.endswith("left") else "left"
            )
        picture.line("fitted", 0, 2)
        picture.words("fitted name", 0, style=2, bold=True)
        for side in (-1, 1):
            picture.reference(f"turn {side}", 0)
        picture.words("turn name", 0)

    def _frame(self, picture: Picture, y_m: tuple[float, float], system: str) -> None:
        picture.frame(
            0,
            title="Distance between the two ends of each chain",
            x_label="articulation [°], + : bar's rear end to the left",
            y_label=f"gap [{unit_label('size', system)}]",
            x=(-80.0, 80.0),
            y=tuple(_size(y_m, system)),
        )

    def update(self, picture: Picture, result: LengthWindow, system: str) -> None:
        """Move the parts to a result."""
        gaps = (*result.parallel_left_m, *result.crossed_left_m)
        room = max(0.05, 0.16 * (max(gaps) - min(gaps)))
        low, high = (
            0.05 * math.floor(20 * (min(gaps) - room)),
            0.05 * math.ceil(20 * (max(gaps) + 0.5 * room)),
        )
        self._frame(picture, (low, high), system)
        degrees = [math.degrees(a) for a in result.angles_rad]
        tall = high - low
        for name, gap in (("crossed", result.crossed_left_m), ("parallel", result.parallel_left_m)):
            for side, values in (("left", gap), ("right", gap[::-1])):
                picture.move(f"{name} {side}", degrees, _size(values, system))
        # each curve is named at the end where crossed and parallel lie furthest apart: under a falling end,
        # over a rising one
        places = []
        for values in (result.crossed_left_m, result.parallel_left_m):
            places.append(values[-1] + (0.05 if values[-1] > values[-6] else -0.05) * tall)
        if abs(places[0] - places[1]) < 0.08 * tall:
            places = [max(places) + 0.08 * tall, min(places)]
        for name, y in zip(("crossed", "parallel"), places, strict=True):
            picture.say(f"{name} left name", f"{name} left", 79.0, from_si(y, "size", system))
            picture.say(f"{name} right name", f"{name} right", -79.0, from_si(y, "size", system))
        inside = low < result.length_m < high
        picture.move(
            "fitted", [-80.0, 80.0] if inside else [], _size([result.length_m] * 2, system) if inside else []
        )
        where = (
            result.length_m + 0.035 * tall
            if inside
            else high - 0.04 * tall
            if result.length_m >= high
            else low + 0.04 * tall
        )
        beyond = (
            "" if inside else ", above this picture" if result.length_m >= high else ", below this picture"
        )
        start = (
            -20.0 if result.sharpest_rad > math.radians(42.0) else math.degrees(result.sharpest_rad) + 2.0
        )  # beside the line
        picture.say(
            "fitted name",
            f"fitted: {show(result.length_m, 'size', system)}{beyond}",
            start,
            from_si(where, "size", system),
        )
        for side in (-1, 1):
            picture.move(
                f"turn {side}", [side * math.degrees(result.sharpest_rad)] * 2, _size((low, high), system)
            )
        picture.say(
            "turn name",
            "sharpest turn",
            2.0 - math.degrees(result.sharpest_rad),
            from_si(low + 0.04 * tall, "size", system),
        )


class DroppedBarDrawing:
    """Side views of the bar after the coupler let go: crossed left, parallel right."""

    size_in, frames = (10.0, 3.6), 2
    FROM_M, TOP_M = -0.62, 1.42

    def build(self, picture: Picture, system: str) -> None:
        """Frames and named parts."""
        self._frames(picture, 1.9, system)
        for view in (0, 1):
            picture.shade(view, tuple(_size((self.FROM_M, 3.0), system)), tuple(_size((-0.08, 0.0), system)))
            picture.shape(f"receiver {view}", view)
            picture.shape(f"vehicle {view}", view)
            picture.reference(f"coupled {view}", view)
            if view == 0:
                picture.line("slid", view, 3)
                picture.words("slid words", view, style=3)
            picture.line(f"chain {view}", view, 2)
            picture.line(f"bar {view}", view, 0)
            picture.point(f"pins {view}", view, 4)
            picture.point(f"nose {view}", view, 1)
            picture.words(f"verdict {view}", view, bold=True)
            picture.words(f"coupled name {view}", view)

    def _frames(self, picture: Picture, to_m: float, system: str) -> None:
        label = unit_label("size", system)
        for view, title in ((0, "Crossed under the nose"), (1, "Parallel")):
            picture.frame(
                view,
                title=title,
                x_label=f"behind the receiver anchors [{label}]",
                y_label=f"above the road [{label}]" if view == 0 else "",
                x=tuple(_size((self.FROM_M, to_m), system)),
                y=tuple(_size((-0.08, self.TOP_M), system)),
                equal=True,
            )

    def update(self, picture: Picture, result: DroppedBar, system: str) -> None:
        """Move the parts to a result; each bar is drawn where the chains let it hang lowest."""
        hang_m = result.anchors.receiver_height_m
        to_m = 0.4 + 0.5 * math.ceil(2.0 * result.coupled.nose_ahead_m - 1e-9)
        self._frames(picture, to_m, system)
        line_m = 0.048 * (to_m - self.FROM_M)  # one line of words
        for view, (nose, bar) in enumerate(
            ((result.crossed, result.bars[0]), (result.parallel, result.bars[1]))
        ):
            # the point that hangs lowest stands under the receiver's anchors: the nose in the crossing, else
            # the anchor on the bar
            pins = bar.nose_ahead_m if view == 0 else bar.anchor_ahead_m
            nose_x, anchor_x = pins - bar.nose_ahead_m, pins - bar.anchor_ahead_m
            picture.move(
                f"bar {view}",
                _size((pins, nose_x), system),
                _size((result.pin_height_m, bar.nose_height_m), system),
            )
            under = (nose_x, bar.nose_height_m - result.coupler_depth_m * math.cos(bar.drop_rad))
            path = (
                [(0.0, hang_m), under, (anchor_x, bar.anchor_height_m)]
                if view == 0
                else self._slack(result, bar, anchor_x)
            )
            picture.move(
                f"chain {view}",
                _size([p[0] for p in path], system),
                _size([max(0.0, p[1]) for p in path], system),
            )
            picture.move(f"pins {view}", _size([pins], system), _size([result.pin_height_m], system))
            picture.move(
                f"nose {view}", _size([nose_x], system), _size([max(0.0, bar.nose_height_m)], system)
            )
            picture.move(
                f"coupled {view}",
                _size((pins, pins - result.coupled.nose_ahead_m), system),
                _size((result.pin_height_m,) * 2, system),
            )
            picture.move(
                f"vehicle {view}",
                _size((pins, pins + 0.4, pins + 0.4, pins), system),
                _size([result.pin_height_m + z for z in (-0.06, -0.06, 0.06, 0.06)], system),
            )
            picture.move(
                f"receiver {view}",
                _size((self.FROM_M + 0.02, 0.02, 0.02, self.FROM_M + 0.02), system),
                _size([hang_m + z for z in (-0.03, -0.03, 0.03, 0.03)], system),
            )
            words = (
                "touches the road"
                if nose.touches_road
                else f"clear of the road by {show(nose.height_m, 'size', system)}"
            )
            picture.say(
                f"verdict {view}", words, *_size((self.FROM_M + 0.04, self.TOP_M - 0.6 * line_m), system)
            )
            picture.say(
                f"coupled name {view}",
                "short dashes: coupled",
                *_size((self.FROM_M + 0.04, self.TOP_M - 1.6 * line_m), system),
            )
        slid = result.bars[2]
        show_slid = result.crossed.slid_height_m < result.crossed.height_m - 1e-6
        pins = slid.anchor_ahead_m
        picture.move(
            "slid",
            *(
                (
                    _size((pins, pins - slid.nose_ahead_m), system),
                    _size((result.pin_height_m, slid.nose_height_m), system),
                )
                if show_slid
                else ([], [])
            ),
        )
        picture.say(
            "slid words",
            "dots: slid through the crossing" if show_slid else "",
            *_size((self.FROM_M + 0.04, self.TOP_M - 2.6 * line_m), system),
        )

    @staticmethod
    def _slack(result: DroppedBar, bar: BarInSideView, anchor_x: float) -> list[tuple[float, float]]:
        """Parallel chains hang straight down to the anchor, or in a bight when the road holds the bar."""
        sideways = abs(result.anchors.receiver_spread_m - result.anchors.bar_spread_m) / 2.0
        curve = hanging_points(
            result.length_m,
            span_m=math.hypot(sideways, anchor_x),
            start_m=result.anchors.receiver_height_m,
            end_m=bar.anchor_height_m,
        )
        return [
            (anchor_x * x / max(curve.along_m[-1], 1e-9), z)
            for x, z in zip(curve.along_m, curve.height_m, strict=True)
        ]
