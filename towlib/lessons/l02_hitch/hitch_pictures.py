"""Lesson 02: the drawings of its four panels, all to scale; the vehicles drive to the right."""

import math

from towlib.draw.figures import Picture
from towlib.draw.outlines import beam, placed, wheel
from towlib.lessons.l02_hitch.hitch_bodies import tow_body, towed_body
from towlib.lessons.l02_hitch.hitch_geometry import SPREADS_M, OnBend, Propped, SideView, Spread
from towlib.physics.hitch.articulation import road_height_m
from towlib.units import degrees_words, from_si, show, unit_label

METRES_PER_NEWTON, LONGEST_ARROW_M = 0.45 / 1000.0, 0.42


def window(picture: Picture, title: str, *, left: float, low: float, wide: float, high: float) -> None:
    """A bare frame to scale."""
    picture.frame(0, title=title, x=(left, left + wide), y=(low, low + high), equal=True, bare=True)


class SideViewDrawing:
    """Both vehicles about the bar, with heights and the vertical force on the ball."""

    size_in, frames = (10.0, 3.7), 1
    narrow_in = (4.9, 3.3)

    def build(self, picture: Picture, system: str) -> None:
        """Named parts; the frame follows the bar."""
        picture.reference("road", 0)
        for name in ("tow body", "tow wheel", "towed body", "towed wheel"):
            picture.shape(name, 0)
        picture.shape("mount", 0, closed=False, filled=False, style=4)
        picture.shape("bar", 0, 0)
        picture.point("ball", 0, 4)
        picture.point("pins", 0, 2)
        picture.arrow("on ball", 0, 1)
        for name, align in (
            ("ball name", "center"),
            ("pins name", "center"),
            ("receiver name", "center"),
            ("force name", "center"),
            ("slope name", "center"),
        ):
            picture.words(name, 0, align=align, bold=name in ("slope name", "force name"))

    def update(self, picture: Picture, result: SideView, system: str) -> None:
        """Move the parts to a result."""
        bodies, narrow = result.bodies, picture.narrow
        reach = math.ceil(2.0 * max(1.0, result.bar_length_m)) / 2.0
        wide = (reach + 3.0) if narrow else (reach + 5.4)
        left = -reach - (1.3 if narrow else 2.5)
        low, high = (-0.58, 0.58 * wide) if narrow else (-0.36, 0.33 * wide)
        window(picture, "Side view, to scale", left=left, low=low, wide=wide, high=high)
        top = low + high
        picture.move("road", (left, left + wide), (0.0, 0.0))
        ball, receiver = (0.0, result.ball_height_m), result.receiver_height_m
        pins = (-result.bar_length_m * math.cos(result.slope_rad), result.bracket_height_m)
        rear = result.overhang_m
        picture.move("tow body", *placed(tow_body(bodies), (rear, -0.8 * result.squat_m)))
        picture.move("tow wheel", *placed(wheel((0.0, bodies.tow_wheel_m), bodies.tow_wheel_m), (rear, 0.0)))
        front = (pins[0] - result.bracket_ahead_m, 0.0)
        picture.move("towed body", *placed(towed_body(bodies), front))
        radius = bodies.towed_wheel_m
        picture.move("towed wheel", *placed(wheel((0.0, radius), radius), front))
        tail = rear - bodies.tow_tail_m
        picture.move(
            "mount",
            [tail + 0.40, tail, 0.72 * tail, 0.0, 0.0],
            [receiver, receiver, ball[1] - 0.06, ball[1] - 0.06, ball[1]],
        )
        picture.move("bar", *beam(ball, pins, bodies.bar_depth_m))
        picture.move("ball", [ball[0]], [ball[1]])
        picture.move("pins", [pins[0]], [pins[1]])
        picture.say("pins name", f"pins {show(pins[1], 'size', system)}", pins[0], -0.16)
        picture.say("ball name", f"ball {show(ball[1], 'size', system)}", 0.0, -0.16)
        words, at = f"receiver {show(receiver, 'size', system)}", max(tail + 0.4, 0.55 if narrow else 1.3)
        picture.say("receiver name", words, at, -0.4 if narrow else -0.16)
        tip = max(-LONGEST_ARROW_M, min(LONGEST_ARROW_M, result.on_ball_n * METRES_PER_NEWTON))
        start = (0.0, ball[1] + (0.10 + abs(tip) if tip > 0 else 0.10))
        picture.aim("on ball", start, (start[0], start[1] - tip) if abs(tip) > 0.02 else start)
        force = show(abs(result.on_ball_n), "force", system)
        said = "" if abs(result.on_ball_n) < 0.5 else f"{force} {'down' if tip > 0 else 'up'}"
        middle = 0.5 * (pins[0] + bodies.towed_nose_m - result.bracket_ahead_m + tail)
        picture.say("force name", said, middle, min(top - 0.32, max(1.15, start[1] + 0.14 + max(0.0, -tip))))
        picture.say("slope name", f"slope {degrees_words(result.slope_rad)}", middle, top - 0.12)


class SpreadDrawing:
    """Left: the bar from above with both arm forces. Right: the larger arm force against the spread."""

    size_in, frames, widths = (10.0, 3.9), 2, (1.15, 1.0)
    MOST_N = 20_000.0

    def build(self, picture: Picture, system: str) -> None:
        """Named parts; frames follow the bar and what its maker allows."""
        picture.shape("front", 0)
        for side in ("left", "right"):
            picture.shape(f"{side} pulled", 0, 0, filled=False, closed=False)
            picture.line(f"{side} pushed", 0, 1)
            picture.point(f"{side} pin", 0, 2)
            picture.words(f"{side} words", 0, align="center", bold=True)
        picture.point("ball", 0, 4)
        picture.arrow("pull", 0, 3)
        picture.arrow("side", 0, 3)
        picture.words("ball words", 0, align="left")
        for name in ("along", "across"):
            picture.words(f"{name} words", 0, align="left", style=3)
        top = from_si(self.MOST_N, "force", system)
        picture.frame(
            1,
            title="Larger arm force",
            x_label=f"bracket spread [{unit_label('size', system)}]",
            y_label=f"force [{unit_label('force', system)}]",
            x=(from_si(0.15, "size", system), from_si(1.35, "size", system)),
            y=(0.0, top),
        )
        for name in ("narrow", "wide"):
            picture.shape(name, 1)
            picture.words(f"{name} words", 1, align="left" if name == "narrow" else "right")
        picture.line("with side", 1, 1)
        picture.line("pull only", 1, 0)
        picture.point("here", 1, 1)
        picture.words("with side name", 1, style=1, bold=True)
        picture.words("pull only name", 1, style=0, bold=True)

    def update(self, picture: Picture, result: Spread, system: str) -> None:
        """Move the parts to a result."""
        self._from_above(picture, result, system)
        along = "push" if result.pull_n < 0 else "pull"
        top = from_si(self.MOST_N, "force", system)
        low, high = (from_si(s, "size", system) for s in (0.15, 1.35))
        narrow, wide = (
            None if s is None else from_si(s, "size", system) for s in (result.narrowest_m, result.widest_m)
        )
        here = max(abs(result.arms.left_n), abs(result.arms.right_n))
        for name, ends, align in (("narrow", (low, narrow), 0.02), ("wide", (wide, high), 0.98)):
            known = None not in ends
            x = [ends[0], ends[1], ends[1], ends[0]] if known else []
            picture.move(name, x, [0.0, 0.0, top, top] if known else [])
            words = f"too {name}" if known else f"{name}est not known"
            picture.say(
                f"{name} words",
                words,
                low + align * (high - low),
                (0.93 if here < 0.7 * self.MOST_N else 0.06) * top,
            )
        x = [from_si(s, "size", system) for s in SPREADS_M]
        for name, forces in (("with side", result.most_n), ("pull only", result.pull_only_n)):
            picture.move(name, x, [from_si(min(f, self.MOST_N), "force", system) for f in forces])
        picture.move(
            "here",
            [from_si(result.spread_m, "size", system)],
            [from_si(min(here, self.MOST_N), "force", system)],
        )
        at = next(
            s
            for s, force in zip(SPREADS_M, result.most_n, strict=True)
            if s >= 0.5 and (force < 0.7 * self.MOST_N or s > 0.95)
        )
        raised = 1100.0
        picture.say(
            "with side name",
            f"{along} and side" if result.side_n else "",
            from_si(at + 0.03, "size", system),
            from_si(min(0.8 * self.MOST_N, result.most_n[SPREADS_M.index(at)] + raised), "force", system),
        )
        clear = (result.narrowest_m or 0.0) + 0.03  # of the line that marks what is too narrow
        at = next((s for s in SPREADS_M if s >= max(0.5, clear)), SPREADS_M[15])
        force = result.pull_only_n[SPREADS_M.index(at)]
        raised = -raised if force > 2.0 * raised else raised
        picture.say(
            "pull only name",
            f"{along} only",
            from_si(at, "size", system),
            from_si(force + raised, "force", system),
        )

    @staticmethod
    def _from_above(picture: Picture, result: Spread, system: str) -> None:
        reach = math.ceil(2.0 * max(1.5, result.bar_length_m)) / 2.0
        most = max(1.05, result.spread_m / 2 + 0.35, result.front_width_m / 2 + 0.1)
        half_high = math.ceil(4.0 * most) / 4.0
        picture.frame(
            0,
            title="From above, to scale",
            x=(-reach - 0.75, 0.9),
            y=(-half_high, half_high),
            equal=True,
            bare=True,
        )
        for side, sign, force in (("left", 1.0, result.arms.left_n), ("right", -1.0, result.arms.right_n)):
            pin = (-result.bar_length_m, sign * result.spread_m / 2.0)
            arm = ([0.0, pin[0]], [0.0, pin[1]])
            picture.move(f"{side} pulled", *(arm if force >= 0 else ([], [])))
            picture.move(f"{side} pushed", *(arm if force < 0 else ([], [])))
            picture.move(f"{side} pin", [pin[0]], [pin[1]])
            picture.say(
                f"{side} words",
                f"{side} {'pulled' if force >= 0 else 'pushed'} {show(abs(force), 'force', system)}",
                -0.5 * result.bar_length_m,
                sign * (half_high - 0.15),
            )
        half, back = result.front_width_m / 2.0, -result.bar_length_m - 0.45
        picture.move(
            "front", [-result.bar_length_m, -result.bar_length_m, back, back], [-half, half, half, -half]
        )
        picture.move("ball", [0.0], [0.0])
        picture.aim("pull", (0.0, 0.0), (0.62 * result.pull_n / 12_000.0, 0.0))
        picture.aim("side", (0.0, 0.0), (0.0, 0.62 * result.side_n / 4_000.0))
        up = 1.0 if result.side_n >= 0 else -1.0  # where the side arrow points
        along = "push" if result.pull_n < 0 else "pull"
        for name, force_n, words, y in (
            ("along", result.pull_n, along, -0.4 * up),
            ("across", result.side_n, "side", 0.38 * up),
        ):
            said = f"{words} {show(abs(force_n), 'force', system)}" if force_n else ""
            picture.say(f"{name} words", said, 0.1, y)
        picture.say("ball words", "ball", 0.1, -0.16 * up)


class OnBendDrawing:
    """The pair on the road; the window goes with the ball."""

    size_in, frames = (10.0, 3.9), 1
    narrow_in = (4.9, 3.6)

    def build(self, picture: Picture, system: str) -> None:
        """Frame and named parts."""
        self._left, self._right = (-4.1, 3.6) if picture.narrow else (-6.3, 6.2)
        self._low, self._high = (-1.9, 2.9) if picture.narrow else (-1.85, 2.6)
        window(
            picture,
            "Side view, to scale",
            left=self._left,
            low=self._low,
            wide=self._right - self._left,
            high=self._high - self._low,
        )
        for name in (
            "tow body",
            "towed body",
            "tow wheel 1",
            "tow wheel 2",
            "towed wheel 1",
            "towed wheel 2",
        ):
            picture.shape(name, 0)
        picture.shape("bar", 0, 0)
        picture.shape("mount", 0, style=4, filled=False, closed=False)
        picture.line("road", 0, 4)
        picture.point("ball", 0, 4)
        picture.point("lowest", 0, 1)
        picture.words("lowest name", 0, align="center", style=1, bold=True)
        picture.words("tilt name", 0, align="center", bold=True)

    def update(self, picture: Picture, result: OnBend, system: str) -> None:
        """Move the parts to a result."""
        pose, shape, bodies = result.pose, result.shape, result.bodies
        x0 = float(pose.ball[0, 0])
        z0 = float(road_height_m(x0, result.bend))

        def here(point) -> tuple[float, float]:
            return float(point[0, 0]) - x0, float(point[0, 1]) - z0

        pitch, towed_pitch = float(pose.tow_pitch_rad[0]), float(pose.towed_pitch_rad[0])
        rear, front, towed_front, towed_rear = (
            here(pose.tow_rear),
            here(pose.tow_front),
            here(pose.towed_front),
            here(pose.towed_rear),
        )
        picture.move("tow body", *placed(tow_body(bodies), rear, pitch))
        picture.move("towed body", *placed(towed_body(bodies), towed_front, towed_pitch))
        for name, at, radius, angle in (
            ("tow wheel 1", rear, bodies.tow_wheel_m, pitch),
            ("tow wheel 2", front, bodies.tow_wheel_m, pitch),
            ("towed wheel 1", towed_front, bodies.towed_wheel_m, towed_pitch),
            ("towed wheel 2", towed_rear, bodies.towed_wheel_m, towed_pitch),
        ):
            picture.move(name, *placed(wheel((0.0, radius), radius), at, angle))
        ball, pins, lowest = here(pose.ball), here(pose.pins), here(pose.lowest_hitch)
        picture.move("bar", *beam(ball, pins, shape.bar_depth_m))
        tail = -min(bodies.tow_tail_m, shape.overhang_m - 0.05)
        picture.move(
            "mount",
            *placed(
                [
                    (tail + 0.10, 0.55),
                    (tail, shape.lowest_hitch_height_m),
                    (-shape.overhang_m, shape.lowest_hitch_height_m),
                    (-shape.overhang_m, shape.ball_height_m),
                ],
                rear,
                pitch,
            ),
        )
        picture.move("ball", [ball[0]], [ball[1]])
        picture.move("lowest", [lowest[0]], [lowest[1]])
        count = 161
        xs = [self._left + (self._right - self._left) * i / (count - 1) for i in range(count)]
        heights = road_height_m([x + x0 for x in xs], result.bend)
        inside = [
            (x, float(z) - z0) for x, z in zip(xs, heights, strict=True) if self._low <= z - z0 <= self._high
        ]
        picture.move("road", [x for x, _ in inside], [z for _, z in inside])
        clearance = float(pose.hitch_clearance_m[0])
        words = (
            f"hitch clear by {show(clearance, 'size', system)}"
            if clearance >= 0
            else f"hitch in the road by {show(-clearance, 'size', system)}"
        )
        beneath = min(float(z) - z0 for x, z in zip(xs, heights, strict=True) if abs(x) < 1.5)
        picture.say("lowest name", words, 0.0, max(self._low + 0.15, beneath - 0.3))
        picture.say(
            "tilt name",
            f"bar tilts {degrees_words(float(pose.tilt_at_ball_rad[0]))} on the ball",
            -0.2,
            self._high - 0.25,
        )


class ProppedDrawing:
    """The bar on its prop with the ball beneath the coupler."""

    size_in, frames = (10.0, 3.9), 1
    narrow_in = (4.9, 3.1)

    def build(self, picture: Picture, system: str) -> None:
        """Named parts; the frame follows the bar."""
        picture.reference("road", 0)
        picture.shape("towed body", 0)
        picture.shape("bar", 0, 0)
        picture.shape("bracket", 0)
        picture.shape("prop", 0, 2)
        picture.shape("mount", 0, style=4, filled=False, closed=False)
        picture.shape("ball", 0, 4)
        picture.shape("coupler", 0, 0)
        picture.reference("edge", 0)
        picture.reference("ball top", 0)
        for name in ("prop name", "edge name", "ball name"):
            picture.words(name, 0, align="center" if name == "prop name" else "left")

    def update(self, picture: Picture, result: Propped, system: str) -> None:
        """Move the parts to a result."""
        prop, radius = result.prop, result.ball_diameter_m / 2.0
        reach = math.ceil(2.0 * max(1.0, result.bar_length_m)) / 2.0
        left, right = (-1.15, 1.0) if picture.narrow else (-reach - 0.65, 0.95)
        high = (right - left) * (0.57 if picture.narrow else 0.36)
        window(
            picture,
            "Side view, to scale: the ball passes beneath",
            left=left,
            low=-0.16,
            wide=right - left,
            high=high,
        )
        picture.move("road", (left, right), (0.0, 0.0))
        middle = (0.0, prop.coupler_edge_height_m)
        pins = (-result.bar_length_m * math.cos(prop.bar_slope_rad), result.bracket_height_m)
        picture.move("bar", *beam(middle, pins, result.bar_depth_m))
        picture.move(
            "coupler",
            [-0.10, 0.05, 0.05, 0.03, -0.03, -0.10],
            [middle[1], middle[1], middle[1] + 0.035, middle[1] + 0.05, middle[1] + 0.05, middle[1] + 0.035],
        )
        at = -result.prop_behind_coupler_m * math.cos(prop.bar_slope_rad)
        picture.move(
            "prop",
            [at - 0.05, at + 0.05, at + 0.05, at - 0.05],
            [0.0, 0.0, prop.prop_height_m, prop.prop_height_m],
        )
        under = result.ball_height_m - radius - 0.045
        picture.move("mount", [0.9, 0.0, 0.0], [under, under, result.ball_height_m])
        picture.move("ball", *placed(wheel((0.0, 0.0), radius), (0.0, result.ball_height_m)))
        nose, back = pins[0] + result.towed_nose_m, min(left - 0.1, pins[0] - 0.3)
        low, hood = 0.31 * result.towed_height_m, 0.6 * result.towed_height_m
        picture.move("towed body", [nose, nose, back, back], [low, hood, hood, low])
        tab = (pins[0] - 0.04, pins[0] + 0.04)
        picture.move("bracket", *beam((min(nose, tab[0]), pins[1]), (tab[1], pins[1]), 0.10))
        picture.move("edge", [0.06, 0.42], [middle[1]] * 2)
        picture.move("ball top", [0.03, 0.42], [result.ball_height_m + radius] * 2)
        picture.say("edge name", f"coupler's edge {show(middle[1], 'size', system)}", 0.10, middle[1] + 0.09)
        picture.say(
            "ball name", f"ball's middle {show(result.ball_height_m, 'size', system)}", 0.10, under - 0.09
        )
        picture.say("prop name", f"prop {show(prop.prop_height_m, 'size', system)}", at - 0.02, -0.09)
