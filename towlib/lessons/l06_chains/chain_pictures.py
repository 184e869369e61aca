"""Drawings of lesson 06: chains from above and from the side, gap curves, the dropped bar. Forwards is to the
left.
"""

import math
from collections.abc import Iterable

from towlib.draw.figures import Picture
from towlib.lessons.l06_chains.safety_chains import DroppedBar, Layout, LengthWindow, bar_point_m
from towlib.physics.chains.chain_shape import hanging_points
from towlib.physics.chains.dropped_bar import BarInSideView
from towlib.units import ends_from_si, from_si, show, unit_label

STEP_M = 0.2  # frames grow by so much


def _size(values: Iterable[float], system: str) -> list[float]:
    return [from_si(v, "size", system) for v in values]


def _coarse(value: float, least: float) -> float:
    """A round length at or above a value, so that a frame rarely changes."""
    return max(least, round(STEP_M * math.ceil(value / STEP_M - 1e-9), 6))


class LayoutDrawing:
    """Left: from above, to scale. Right: from the side, with the curve the chains hang in."""

    size_in, frames = (10.0, 4.6), 2
    narrow_in = (4.9, 7.4)
    ROAD_M = -0.06

    def build(self, picture: Picture, system: str) -> None:
        """Named parts; the frames follow the anchors."""
        picture.shade(
            1, ends_from_si((-5.0, 5.0), "size", system), ends_from_si((self.ROAD_M, 0.0), "size", system)
        )
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

    def _frames(self, picture: Picture, result: Layout, system: str) -> tuple[float, float, float, float]:
        """Ahead of the ball, behind it, to either side and up, as far as the frames go."""
        places = result.anchors
        ahead = _coarse(0.42 - places.receiver_behind_ball_m, 0.6)
        behind = _coarse(max(places.bar_behind_ball_m, places.receiver_behind_ball_m) + 0.4, 1.0)
        wide = max(places.receiver_spread_m, places.bar_spread_m) / 2.0
        side = _coarse(max(wide + 0.4, 0.97 * places.bar_behind_ball_m + 0.5 * wide + 0.2), 0.8)
        high = _coarse(
            max(places.receiver_height_m, places.bar_height_m, *result.bar[2:]) + 0.3 + 0.2 * ahead, 1.0
        )
        label = unit_label("size", system)
        x = ends_from_si((-ahead, behind), "size", system)
        picture.frame(
            0,
            title="From above, driving to the left",
            x_label=f"behind the ball [{label}]",
            x=x,
            equal=True,
            y=ends_from_si((-side, side), "size", system),
        )
        picture.frame(
            1,
            title="From the side",
            x_label=f"behind the ball [{label}]",
            y_label=f"above the road [{label}]",
            x=x,
            equal=True,
            y=ends_from_si((self.ROAD_M, high), "size", system),
        )
        return -ahead, behind, side, high

    def update(self, picture: Picture, result: Layout, system: str) -> None:
        """Move the parts to a result; right of the vehicle is up in the view from above."""
        bar = result.bar
        start, end, aside, high = self._frames(picture, result, system)
        self._vehicles(picture, result, start, system)
        picture.move("ball 0", [0.0], [0.0])
        picture.move("ball 1", [0.0], _size([bar.ball_height_m], system))
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
                from_si(start + 0.04, "size", system),
                from_si(side * (aside - 0.08), "size", system),
            )
        ends = [(c.behind_m[i], -c.left_m[i], c.height_m[i]) for c in result.chains for i in (0, -1)]
        picture.move("anchors 0", _size([e[0] for e in ends], system), _size([e[1] for e in ends], system))
        picture.move("anchors 1", _size([e[0] for e in ends], system), _size([e[2] for e in ends], system))
        clear = result.clearance_m
        picture.move("clearance", _size((start, end), system), _size((clear, clear), system))
        picture.say(
            "clearance name",
            f"{show(clear, 'size', system)} clear",
            *_size((end - 0.03, clear + 0.05), system),
        )
        slack = [chain for chain in result.chains if chain.slack_m >= 0]
        words = "both chains bind"
        picture.move("lowest", [], [])
        if slack:
            height, place = min(min(zip(c.height_m, c.behind_m, strict=True)) for c in slack)
            picture.move("lowest", _size([place], system), _size([height], system))
            height = height if result.lowest_m is None else result.lowest_m  # the curve is drawn in points
            words = f"lowest {show(max(0.0, height), 'size', system)}"
        picture.say("parts", "dot: ball; triangles: anchors", *_size((start + 0.04, high - 0.06), system))
        picture.say(
            "lowest words",
            f"square: {words}" if slack else words,
            *_size((start + 0.04, high - 0.17), system),
        )

    @staticmethod
    def _vehicles(picture: Picture, result: Layout, start: float, system: str) -> None:
        """Receiver, ball mount and bar in both views."""
        places, turn, bar = result.anchors, result.articulation_rad, result.bar
        wide, edge = places.receiver_spread_m / 2.0 + 0.04, places.receiver_behind_ball_m + 0.02
        inner, tube = max(0.03, places.receiver_spread_m / 2.0 - 0.04), min(edge, -0.08)
        half = [(start, wide), (edge, wide), (edge, inner), (tube, inner), (tube, 0.03), (0.03, 0.03)]
        outline = half + [(x, -y) for x, y in reversed(half)]
        picture.move(
            "receiver 0", _size([p[0] for p in outline], system), _size([p[1] for p in outline], system)
        )
        rise = bar.pin_height_m - bar.ball_height_m
        reach, pins = math.sqrt(max(0.0, bar.length_m**2 - rise**2)), bar.spread_m / 2.0
        frame = [
            bar_point_m(*point, turn)
            for point in (
                (0.0, 0.03),
                (reach, pins),
                (reach, pins - 0.05),
                (0.14, 0.0),
                (reach, 0.05 - pins),
                (reach, -pins),
                (0.0, -0.03),
            )
        ]
        picture.move("bar 0", _size([p[0] for p in frame], system), _size([-p[1] for p in frame], system))
        middle, ball = bar.receiver_height_m, bar.ball_height_m - 0.05
        picture.move(
            "receiver 1",
            _size([start, edge, edge, start], system),
            _size([middle + z for z in (-0.03, -0.03, 0.03, 0.03)], system),
        )
        picture.move(
            "mount",
            _size([tube - 0.06, tube, 0.03, 0.03, tube, tube - 0.06], system),
            _size(
                [middle - 0.02, middle - 0.02, ball - 0.02, ball + 0.02, middle + 0.02, middle + 0.02], system
            ),
        )
        far = reach * math.cos(turn)
        picture.move(
            "bar 1",
            _size([-0.03, far, far, -0.03], system),
            _size(
                [
                    bar.ball_height_m - 0.025,
                    bar.pin_height_m - 0.025,
                    bar.pin_height_m + 0.025,
                    bar.ball_height_m + 0.025,
                ],
                system,
            ),
        )


class LengthWindowDrawing:
    """Gap against articulation for crossed and parallel chains, and the fitted length."""

    size_in, frames = (10.0, 4.4), 1
    narrow_in = (4.9, 3.8)
    edge_deg = 80.0  # of the picture; further only for a sharper turn

    def build(self, picture: Picture, system: str) -> None:
        """Named parts; the frame follows the curves."""
        self._frame(picture, (0.4, 0.7), system)
        picture.band("fits", 0, 2)
        picture.words("fits name", 0, align="right")
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
            x=(-self.edge_deg, self.edge_deg),
            y=ends_from_si(y_m, "size", system),
        )

    def update(self, picture: Picture, result: LengthWindow, system: str) -> None:
        """Move the parts to a result."""
        self.edge_deg = 10.0 * math.ceil(math.degrees(result.angles_rad[-1]) / 10.0)
        gaps = (*result.parallel_left_m, *result.crossed_left_m)
        room = max(0.05, 0.16 * (max(gaps) - min(gaps)))
        low, high = (
            0.1 * math.floor(10 * (min(gaps) - room)),
            0.1 * math.ceil(10 * (max(gaps) + 0.5 * room)),
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
            picture.say(f"{name} left name", f"{name} left", self.edge_deg - 1.0, from_si(y, "size", system))
            picture.say(
                f"{name} right name", f"{name} right", 1.0 - self.edge_deg, from_si(y, "size", system)
            )
        band = [min(max(length, low), high) for length in result.fit_m or (low, low)]
        ends = (-self.edge_deg, self.edge_deg) if band[1] > band[0] else (0.0, 0.0)
        picture.spread("fits", ends, *(_size([length] * 2, system) for length in band))
        named = band[1] - band[0] > 0.05 * tall
        picture.say(
            "fits name",
            "links that do all" if named else "",
            self.edge_deg - 1.0,
            from_si(band[1] - 0.03 * tall, "size", system),
        )
        inside = low < result.length_m < high
        picture.move(
            "fitted",
            [-self.edge_deg, self.edge_deg] if inside else [],
            _size([result.length_m] * 2, system) if inside else [],
        )
        if inside:
            where = result.length_m + 0.035 * tall
        elif result.length_m >= high:
            where = high - 0.04 * tall
        else:
            where = low + 0.04 * tall
        if inside:
            beyond = ""
        elif result.length_m >= high:
            beyond = ", above this picture"
        else:
            beyond = ", below this picture"
        start = (
            -20.0 if result.sharpest_rad > math.radians(42.0) else math.degrees(result.sharpest_rad) + 2.0
        )  # beside the line
        picture.say(
            "fitted name",
            f"fitted: {show(result.length_m, 'size', system)}{beyond}",
            start,
            from_si(where, "size", system),
        )
        for sign in (-1, 1):
            picture.move(
                f"turn {sign}", [sign * math.degrees(result.sharpest_rad)] * 2, _size((low, high), system)
            )
        picture.say(
            "turn name",
            "sharpest turn",
            2.0 - math.degrees(result.sharpest_rad),
            from_si(low + 0.04 * tall, "size", system),
        )


class DroppedBarDrawing:
    """Side views of the bar after the coupler let go: crossed left, parallel right."""

    size_in, frames = (10.0, 3.4), 2
    FROM_M, ROAD_M = -0.62, -0.08

    def build(self, picture: Picture, system: str) -> None:
        """Named parts; the frames follow bar and heights."""
        for view in (0, 1):
            picture.shade(
                view,
                ends_from_si((self.FROM_M, 9.0), "size", system),
                ends_from_si((self.ROAD_M, 0.0), "size", system),
            )
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

    def _frames(self, picture: Picture, to_m: float, top_m: float, system: str) -> None:
        label = unit_label("size", system)
        for view, title in ((0, "Crossed under the nose"), (1, "Parallel")):
            picture.frame(
                view,
                title=title,
                x_label=f"behind the receiver anchors [{label}]",
                y_label=f"above the road [{label}]" if view == 0 else "",
                x=ends_from_si((self.FROM_M, to_m), "size", system),
                y=ends_from_si((self.ROAD_M, top_m), "size", system),
                equal=True,
            )

    def update(self, picture: Picture, result: DroppedBar, system: str) -> None:
        """Move the parts to a result; each bar is drawn where the chains let it hang lowest."""
        rise = result.pin_height_m - result.ball_height_m
        coupled_m = math.sqrt(result.bar_length_m**2 - rise**2)
        to_m = 0.4 + 0.5 * math.ceil(2.0 * coupled_m - 1e-9)
        line_m = 0.054 * (to_m - self.FROM_M)  # one line of words
        hang_m = result.anchors.receiver_height_m
        top_m = _coarse(max(hang_m, result.pin_height_m, result.ball_height_m) + 3.4 * line_m, 1.4)
        self._frames(picture, to_m, top_m, system)
        words_at = [_size((self.FROM_M + 0.04, top_m - (0.6 + i) * line_m), system) for i in range(3)]
        for view, (nose, bar) in enumerate(
            ((result.crossed, result.bars[0]), (result.parallel, result.bars[1]))
        ):
            self._bar(picture, result, view, bar, coupled_m, system)
            words = "touches the road"
            if nose is None:
                words = "too short to be crossed"
            elif not nose.touches_road:
                words = f"clear of the road by {show(nose.height_m, 'size', system)}"
            picture.say(f"verdict {view}", words, *words_at[0])
            picture.say(f"coupled name {view}", "short dashes: coupled", *words_at[1])
        slid = result.bars[2]
        if (
            slid is None
            or result.crossed is None
            or result.crossed.slid_height_m >= result.crossed.height_m - 1e-6
        ):
            picture.move("slid", [], [])
            picture.say("slid words", "", *words_at[2])
            return
        pins = slid.anchor_ahead_m
        picture.move(
            "slid",
            _size((pins, pins - slid.nose_ahead_m), system),
            _size((result.pin_height_m, slid.nose_height_m), system),
        )
        picture.say("slid words", "dots: slid through the crossing", *words_at[2])

    def _bar(
        self,
        picture: Picture,
        result: DroppedBar,
        view: int,
        bar: BarInSideView | None,
        coupled_m: float,
        system: str,
    ) -> None:
        """Vehicle, receiver, chain and bar of one view; the point that hangs lowest stands under the
        receiver's anchors: the nose in the crossing, else the anchor on the bar.
        """
        hang_m, pin_m = result.anchors.receiver_height_m, result.pin_height_m
        if bar is None:
            pins = coupled_m - result.anchors.receiver_behind_ball_m
            for name in ("bar", "chain", "nose"):
                picture.move(f"{name} {view}", [], [])
        else:
            pins = bar.nose_ahead_m if view == 0 else bar.anchor_ahead_m
            nose_x, anchor_x = pins - bar.nose_ahead_m, pins - bar.anchor_ahead_m
            picture.move(
                f"bar {view}", _size((pins, nose_x), system), _size((pin_m, bar.nose_height_m), system)
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
            picture.move(
                f"nose {view}", _size([nose_x], system), _size([max(0.0, bar.nose_height_m)], system)
            )
        picture.move(f"pins {view}", _size([pins], system), _size([pin_m], system))
        picture.move(
            f"coupled {view}",
            _size((pins, pins - coupled_m), system),
            _size((pin_m, result.ball_height_m), system),
        )
        picture.move(
            f"vehicle {view}",
            _size((pins, pins + 0.4, pins + 0.4, pins), system),
            _size([pin_m + z for z in (-0.06, -0.06, 0.06, 0.06)], system),
        )
        picture.move(
            f"receiver {view}",
            _size((self.FROM_M + 0.02, 0.02, 0.02, self.FROM_M + 0.02), system),
            _size([hang_m + z for z in (-0.03, -0.03, 0.03, 0.03)], system),
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
