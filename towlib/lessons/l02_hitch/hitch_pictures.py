"""Lesson 02: the drawings of its four panels, all to scale; the vehicles drive to the right."""

import math

from towlib.draw.figures import Picture
from towlib.draw.outlines import (
    TOW_WHEEL_M,
    TOWED_WHEEL_M,
    beam,
    off_roader_from_front_axle,
    pickup_from_rear_axle,
    placed,
    wheel,
)
from towlib.lessons.l02_hitch.hitch_geometry import SPREADS_M, OnBend, Propped, SideView, Spread, demo_rig
from towlib.physics.hitch.articulation import road_height_m
from towlib.units import degrees_words, from_si, show, unit_label

METRES_PER_NEWTON, LONGEST_ARROW_M = 0.45 / 1000.0, 0.42


class SideViewDrawing:
    """Both vehicles about the bar, with heights and the vertical force on the ball."""

    size_in, frames = (10.0, 3.5), 1

    def build(self, picture: Picture, system: str) -> None:
        """Frame and named parts."""
        rig = demo_rig()
        picture.frame(0, title="Side view, to scale", x=(-4.0, 2.9), y=(-0.32, 1.95), equal=True, bare=True)
        picture.fixed_line(0, (-4.0, 2.9), (0.0, 0.0))
        picture.shape("tow body", 0)
        picture.shape("tow wheel", 0)
        picture.shape("towed body", 0)
        picture.shape("towed wheel", 0)
        picture.shape("mount", 0, closed=False, filled=False, style=4)
        picture.shape("bar", 0, 0)
        picture.point("ball", 0, 4)
        picture.point("pins", 0, 2)
        picture.reference("receiver line", 0)
        picture.arrow("on ball", 0, 1)
        for name in ("ball name", "pins name", "receiver name", "force name", "slope name"):
            picture.words(
                name,
                0,
                align={"pins name": "right", "slope name": "center"}.get(name, "left"),
                bold=name == "slope name",
            )
        rear = rig.tow_vehicle.ball_behind_rear_axle
        x, y = placed(pickup_from_rear_axle(rear, rig.tow_vehicle.wheelbase), (rear, 0.0))
        picture.move("tow body", x, y)
        picture.move("tow wheel", *placed(wheel((0.0, TOW_WHEEL_M), TOW_WHEEL_M), (rear, 0.0)))

    def update(self, picture: Picture, result: SideView, system: str) -> None:
        """Move the parts to a result."""
        rig = demo_rig()
        ball, receiver = (0.0, result.ball_height_m), result.receiver_height_m
        pins = (-result.bar_length_m * math.cos(result.slope_rad), result.bracket_height_m)
        rear = rig.tow_vehicle.ball_behind_rear_axle
        picture.move(
            "tow body",
            *placed(pickup_from_rear_axle(rear, rig.tow_vehicle.wheelbase), (rear, -0.8 * result.squat_m)),
        )
        front = (pins[0] - rig.towed_vehicle.bracket_ahead_of_front_axle, 0.0)
        picture.move("towed body", *placed(off_roader_from_front_axle(rig.towed_vehicle.wheelbase), front))
        picture.move("towed wheel", *placed(wheel((0.0, TOWED_WHEEL_M), TOWED_WHEEL_M), front))
        picture.move(
            "mount",
            [0.62, 0.25, 0.18, 0.0, 0.0],
            [receiver, receiver, ball[1] - 0.06, ball[1] - 0.06, ball[1]],
        )
        picture.move("bar", *beam(ball, pins, rig.tow_bar.depth))
        picture.move("ball", [ball[0]], [ball[1]])
        picture.move("pins", [pins[0]], [pins[1]])
        picture.move("receiver line", [0.62, 1.02], [receiver, receiver])
        picture.say("ball name", f"ball {show(ball[1], 'size', system)}", -0.28, -0.14)
        picture.say("pins name", f"pins {show(pins[1], 'size', system)}", pins[0] + 0.25, -0.14)
        picture.say("receiver name", f"receiver {show(receiver, 'size', system)}", 0.85, -0.14)
        tip = max(-LONGEST_ARROW_M, min(LONGEST_ARROW_M, result.on_ball_n * METRES_PER_NEWTON))
        start = (0.0, ball[1] + (0.10 + abs(tip) if tip > 0 else 0.10))
        picture.aim("on ball", start, (start[0], start[1] - tip) if abs(tip) > 0.02 else start)
        words = (
            ""
            if abs(result.on_ball_n) < 0.5
            else f"{show(abs(result.on_ball_n), 'force', system)} {'down' if tip > 0 else 'up'}"
        )
        picture.say("force name", words, -0.35, max(1.15, start[1] + 0.12 + (abs(tip) if tip < 0 else 0.0)))
        picture.say("slope name", f"slope {degrees_words(result.slope_rad)}", -0.55, 1.72)


class SpreadDrawing:
    """Left: the bar from above with both arm forces. Right: the larger arm force against the spread."""

    size_in, frames, widths = (10.0, 3.7), 2, (1.15, 1.0)
    MOST_N = 20_000.0

    def build(self, picture: Picture, system: str) -> None:
        """Frames and named parts."""
        bar = demo_rig().tow_bar
        picture.frame(
            0, title="From above, to scale", x=(-2.75, 0.85), y=(-1.05, 1.05), equal=True, bare=True
        )
        for side in ("left", "right"):
            picture.shape(f"{side} pulled", 0, 0, filled=False, closed=False)
            picture.line(f"{side} pushed", 0, 1)
            picture.point(f"{side} pin", 0, 2)
            picture.words(f"{side} words", 0, align="center")
        picture.shape("front", 0)
        picture.point("ball", 0, 4)
        picture.arrow("pull", 0, 3)
        picture.arrow("side", 0, 3)
        picture.words("ball words", 0, align="center")
        top = from_si(self.MOST_N, "force", system)
        ends = [from_si(s, "size", system) for s in (0.15, 1.35)]
        picture.frame(
            1,
            title="Larger arm force",
            x_label=f"bracket spread [{unit_label('size', system)}]",
            y_label=f"force [{unit_label('force', system)}]",
            x=tuple(ends),
            y=(0.0, top),
        )
        narrow, wide = (from_si(s, "size", system) for s in (bar.narrowest_spread, bar.widest_spread))
        picture.shade(1, (ends[0], narrow), (0.0, top), "too narrow")
        picture.shade(1, (wide, ends[1]), (0.0, top), "too wide")
        picture.line("with side", 1, 1)
        picture.line("pull only", 1, 0)
        picture.point("here", 1, 1)
        picture.words("with side name", 1, style=1, bold=True)
        picture.words("pull only name", 1, style=0, bold=True)

    def update(self, picture: Picture, result: Spread, system: str) -> None:
        """Move the parts to a result."""
        reach = result.arm_length_m * math.cos(result.half_angle_rad)
        for side, sign, force in (("left", 1.0, result.arms.left_n), ("right", -1.0, result.arms.right_n)):
            pin = (-reach, sign * result.spread_m / 2.0)
            arm = ([0.0, pin[0]], [0.0, pin[1]])
            picture.move(f"{side} pulled", *(arm if force >= 0 else ([], [])))
            picture.move(f"{side} pushed", *(arm if force < 0 else ([], [])))
            picture.move(f"{side} pin", [pin[0]], [pin[1]])
            picture.say(
                f"{side} words",
                f"{side} {'pulled' if force >= 0 else 'pushed'} {show(abs(force), 'force', system)}",
                -0.55 * reach,
                sign * (0.17 + 0.5 * result.spread_m),
            )
        back = max(-2.7, -reach - 0.45)
        picture.move("front", [-reach, -reach, back, back], [-0.78, 0.78, 0.78, -0.78])
        picture.move("ball", [0.0], [0.0])
        picture.aim("pull", (0.0, 0.0), (0.62 * result.pull_n / 12_000.0, 0.0))
        picture.aim("side", (0.0, 0.0), (0.0, 0.62 * result.side_n / 4_000.0))
        picture.say("ball words", "ball", 0.22, -0.13 if result.side_n >= 0 else 0.13)
        x = [from_si(s, "size", system) for s in SPREADS_M]
        clip = 1.02 * self.MOST_N
        for name, forces in (("with side", result.most_n), ("pull only", result.pull_only_n)):
            picture.move(name, x, [from_si(min(f, clip), "force", system) for f in forces])
        here = max(abs(result.arms.left_n), abs(result.arms.right_n))
        picture.move(
            "here",
            [from_si(result.spread_m, "size", system)],
            [from_si(min(here, self.MOST_N), "force", system)],
        )
        at = next(
            s
            for s, force in zip(SPREADS_M, result.most_n, strict=True)
            if s >= 0.5 and (force < 0.85 * self.MOST_N or s > 0.95)
        )
        raised = 1100.0
        picture.say(
            "with side name",
            "pull and side" if result.side_n else "",
            from_si(at + 0.03, "size", system),
            from_si(min(0.93 * self.MOST_N, result.most_n[SPREADS_M.index(at)] + raised), "force", system),
        )
        below = result.pull_only_n[15] > 2.0 * raised
        picture.say(
            "pull only name",
            "pull only",
            from_si(0.53, "size", system),
            from_si(result.pull_only_n[15] + (-raised if below else raised), "force", system),
        )


class OnBendDrawing:
    """The pair on the road; the window goes with the ball."""

    size_in, frames = (10.0, 3.7), 1
    LEFT, RIGHT, LOW, HIGH = -6.3, 6.2, -1.75, 2.45

    def build(self, picture: Picture, system: str) -> None:
        """Frame and named parts."""
        picture.frame(
            0,
            title="Side view, to scale",
            x=(self.LEFT, self.RIGHT),
            y=(self.LOW, self.HIGH),
            equal=True,
            bare=True,
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
        pose, shape = result.pose, result.shape
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
        picture.move(
            "tow body", *placed(pickup_from_rear_axle(shape.overhang_m, shape.tow_wheelbase_m), rear, pitch)
        )
        picture.move(
            "towed body",
            *placed(off_roader_from_front_axle(shape.towed_wheelbase_m), towed_front, towed_pitch),
        )
        for name, at, radius, angle in (
            ("tow wheel 1", rear, TOW_WHEEL_M, pitch),
            ("tow wheel 2", front, TOW_WHEEL_M, pitch),
            ("towed wheel 1", towed_front, TOWED_WHEEL_M, towed_pitch),
            ("towed wheel 2", towed_rear, TOWED_WHEEL_M, towed_pitch),
        ):
            picture.move(name, *placed(wheel((0.0, radius), radius), at, angle))
        ball, pins, lowest = here(pose.ball), here(pose.pins), here(pose.lowest_hitch)
        picture.move("bar", *beam(ball, pins, shape.bar_depth_m))
        picture.move(
            "mount",
            *placed(
                [
                    (-shape.overhang_m + 0.25, 0.55),
                    (-shape.overhang_m + 0.15, shape.lowest_hitch_height_m),
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
        xs = [self.LEFT + (self.RIGHT - self.LEFT) * i / (count - 1) for i in range(count)]
        heights = road_height_m([x + x0 for x in xs], result.bend)
        inside = [
            (x, float(z) - z0) for x, z in zip(xs, heights, strict=True) if self.LOW <= z - z0 <= self.HIGH
        ]
        picture.move("road", [x for x, _ in inside], [z for _, z in inside])
        clearance = float(pose.hitch_clearance_m[0])
        words = (
            f"clear by {show(clearance, 'size', system)}"
            if clearance >= 0
            else f"in the road by {show(-clearance, 'size', system)}"
        )
        picture.say("lowest name", words, 0.0, -0.45 + min(0.0, clearance))
        picture.say(
            "tilt name", f"bar {degrees_words(float(pose.tilt_at_ball_rad[0]))} on the ball", -0.4, 2.15
        )


class ProppedDrawing:
    """The bar on its prop with the ball beneath the coupler."""

    size_in, frames = (10.0, 3.6), 1

    def build(self, picture: Picture, system: str) -> None:
        """Frame and named parts."""
        picture.frame(
            0,
            title="Side view, to scale: the ball passes beneath",
            x=(-2.75, 0.9),
            y=(-0.14, 1.1),
            equal=True,
            bare=True,
        )
        picture.fixed_line(0, (-2.75, 0.9), (0.0, 0.0))
        picture.shape("towed body", 0)
        picture.shape("bar", 0, 0)
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
        picture.move(
            "mount",
            [0.85, 0.15, 0.0, 0.0],
            [
                result.ball_height_m - 0.07,
                result.ball_height_m - 0.07,
                result.ball_height_m - 0.07,
                result.ball_height_m,
            ],
        )
        picture.move("ball", *placed(wheel((0.0, 0.0), radius), (0.0, result.ball_height_m)))
        back = max(-2.7, pins[0] - 0.30)
        picture.move("towed body", [pins[0], pins[0], back, back], [0.35, 0.98, 0.98, 0.35])
        picture.move("edge", [0.06, 0.42], [middle[1]] * 2)
        picture.move("ball top", [0.03, 0.42], [result.ball_height_m + radius] * 2)
        picture.say("edge name", f"coupler's edge {show(middle[1], 'size', system)}", 0.10, middle[1] + 0.09)
        picture.say(
            "ball name",
            f"ball's middle {show(result.ball_height_m, 'size', system)}",
            0.10,
            result.ball_height_m - 0.15,
        )
        picture.say("prop name", f"prop {show(prop.prop_height_m, 'size', system)}", at - 0.02, -0.07)
