"""Drawings of lesson 07: the pair from above, driving to the left, so that a left turn goes down the page."""

import math

import numpy as np

from towlib.draw.figures import Picture
from towlib.draw.outlines import placed, wheel
from towlib.lessons.l07_turning.turning_panels import FURTHEST_BACK_M, Backing, Seen, Turn, Way
from towlib.units import ends_from_si, from_si, show, unit_label

STEP_M = 0.5  # frames grow by so much
WHEELS = (
    "tow left",
    "tow right",
    "tow rear left",
    "tow rear right",
    "towed left",
    "towed right",
    "towed rear left",
    "towed rear right",
)


def declare_pair(picture: Picture, number: int) -> None:
    """The shapes of both vehicles, the bar, wheels and ball, in one frame."""
    picture.shape("bar", number)
    picture.shape("tow", number, 0)
    picture.shape("towed", number, 2)
    for name in WHEELS:
        picture.shape(name, number)
    picture.shape("ball", number, 4)


def _coarse(value: float) -> float:
    """A round length at or above a value, so that a frame rarely changes."""
    return STEP_M * math.ceil(value / STEP_M - 1e-9)


def place_pair(picture: Picture, seen: Seen, poses, *, tow_wheels, towed_wheels, system: str) -> None:
    """Move both vehicles: poses are rear axle and heading of each, wheels the steer angles of the left and
    right front wheels.
    """
    (x, y, heading), (towed_x, towed_y, towed_heading) = poses
    pair, tow, towed = seen.pair, seen.tow, seen.towed

    def put(name, points, origin, turn):
        picture.move(
            name,
            *([-from_si(value, "length", system) for value in part] for part in placed(points, origin, turn)),
        )

    def local(origin, turn, ahead, left):
        return origin[0] + ahead * math.cos(turn) - left * math.sin(turn), origin[1] + ahead * math.sin(
            turn
        ) + left * math.cos(turn)

    for name, body, origin, turn in (
        ("tow", tow, (x, y), heading),
        ("towed", towed, (towed_x, towed_y), towed_heading),
    ):
        half, nose = body.width_m / 2.0, body.nose_m
        put(
            name,
            [
                (-body.tail_m, half),
                (nose - 0.35, half),
                (nose, half - 0.25),
                (nose, 0.25 - half),
                (nose - 0.35, -half),
                (-body.tail_m, -half),
            ],
            origin,
            turn,
        )
        front = pair.wheelbase_m if name == "tow" else pair.towed_wheelbase_m
        track = seen.tow_track_m if name == "tow" else seen.towed_track_m
        tall, wide = (side / 2.0 for side in (seen.tow_wheel if name == "tow" else seen.towed_wheel))
        tyre = [(tall, wide), (tall, -wide), (-tall, -wide), (-tall, wide)]
        steers = tow_wheels if name == "tow" else towed_wheels
        for side, sign, steer in (("left", 1.0, steers[0]), ("right", -1.0, steers[1])):
            put(f"{name} {side}", tyre, local(origin, turn, front, sign * track / 2), turn + steer)
            put(f"{name} rear {side}", tyre, local(origin, turn, 0.0, sign * track / 2), turn)
    ball = local((x, y), heading, -pair.overhang_m, 0.0)
    ahead = pair.towed_wheelbase_m + seen.bracket_ahead_m
    pins = [
        local((towed_x, towed_y), towed_heading, ahead, side * seen.bracket_spread_m / 2.0)
        for side in (1.0, -1.0)
    ]
    picture.move("bar", *([-from_si(point[k], "length", system) for point in (ball, *pins)] for k in (0, 1)))
    put("ball", wheel((0.0, 0.0), 0.12), ball, 0.0)


def _wheels(rear_radius_m: float, wheelbase_m: float, track_m: float) -> tuple[float, float]:
    """Steer of the left and right front wheel in a turn to the left (radius positive), both rolling
    freely.
    """
    side = math.copysign(1.0, rear_radius_m)
    inner, outer = (math.atan2(wheelbase_m, abs(rear_radius_m) - sign * track_m / 2) for sign in (1.0, -1.0))
    return (inner, outer) if side > 0 else (-outer, -inner)


class CircleDrawing:
    """Left: the pair in the turn with all it covers. Right: what is used of each limit."""

    size_in, frames, widths = (10.2, 4.6), 2, (1.9, 1.0)
    narrow_in = (4.9, 6.8)
    LEFT_M, RIGHT_M, MOST = 8.6, 3.6, 160.0

    def build(self, picture: Picture, system: str) -> None:
        """Named parts; the frame from above follows the pair."""
        picture.frame(
            1, title="Used of the limit [%]", x=(0.0, self.MOST), y_names=["angle", "towed\nwheels", "bodies"]
        )
        picture.line("outer", 0, 0)
        picture.line("inner", 0, 1)
        picture.reference("front line", 0)
        picture.reference("towed line", 0)
        declare_pair(picture, 0)
        picture.point("centre", 0, 3)
        picture.words("centre words", 0)
        picture.words("outer words", 0, style=0)
        picture.words("inner words", 0, style=1, align="right")
        picture.bars("used", 1, 3)
        picture.reference("limit", 1)
        for i in range(3):
            picture.words(f"used {i}", 1, bold=True)

    def update(self, picture: Picture, result: Turn, system: str) -> None:
        """Move the parts to a result; the tow vehicle stands still and the road turns about the centre."""
        turn, seen = result.circle, result.seen
        pair, phi = seen.pair, turn.articulation_rad
        ahead, behind = (
            _coarse(seen.tow.nose_m + 2.4),
            _coarse(pair.overhang_m + pair.ball_to_axle_m + seen.towed.tail_m + 2.2),
        )
        picture.frame(
            0,
            title="From above, driving to the left; dotted: front and towed rear axle",
            x_label=f"behind the tow vehicle's rear axle [{unit_label('length', system)}]",
            x=ends_from_si((-ahead, behind), "length", system),
            y=ends_from_si((-self.LEFT_M, self.RIGHT_M), "length", system),
            equal=True,
        )
        towed = (
            -pair.overhang_m - pair.ball_to_axle_m * math.cos(phi),
            pair.ball_to_axle_m * math.sin(phi),
            -phi,
        )
        place_pair(
            picture,
            seen,
            ((0.0, 0.0, 0.0), towed),
            tow_wheels=_wheels(turn.rear_m, pair.wheelbase_m, seen.tow_track_m),
            towed_wheels=_wheels(turn.towed_rear_m, pair.towed_wheelbase_m, seen.towed_track_m),
            system=system,
        )
        for name, radius in (
            ("outer", result.ring.outer_m),
            ("inner", result.ring.inner_m),
            ("front line", turn.front_m),
            ("towed line", turn.towed_rear_m),
        ):
            picture.move(name, *self._arc(radius, turn.rear_m, (ahead, behind), system))
        inside = turn.rear_m < self.LEFT_M - 0.4
        picture.move("centre", *(([0.0], [-from_si(turn.rear_m, "length", system)]) if inside else ([], [])))
        self._say(picture, "centre words", "turning centre" if inside else "", -0.3, turn.rear_m, system)
        self._say(
            picture,
            "outer words",
            f"covers {show(result.ring.width_m, 'length', system)}",
            ahead - 0.2,
            -self.RIGHT_M + 0.4,
            system,
        )
        self._say(
            picture,
            "inner words",
            f"towed axle cuts in {show(turn.cut_in_m, 'length', system)}",
            -behind + 0.2,
            -self.RIGHT_M + 0.4,
            system,
        )
        used = [
            phi / result.allowed_rad,
            result.steer_rad / result.steer_lock_rad,
            phi / result.touch_rad if result.touch_rad else 0.0,
        ]
        shown = [min(100.0 * share, self.MOST) for share in used]
        picture.stretch("used", shown, [share > 1.0 for share in used])
        picture.move("limit", [100.0, 100.0], [-0.5, 2.5])
        touch = f"touch at {math.degrees(result.touch_rad):.0f}°" if result.touch_rad else "never touch"
        texts = (
            f"{math.degrees(phi):.1f}° of {math.degrees(result.allowed_rad):.0f}°",
            f"{math.degrees(result.steer_rad):.1f}° of {math.degrees(result.steer_lock_rad):.0f}°",
            touch,
        )
        for i, text in enumerate(texts):
            picture.say(f"used {i}", text, 4.0, i + 0.42)

    def _say(self, picture: Picture, name: str, text: str, ahead: float, left: float, system: str) -> None:
        picture.say(name, text, *(-from_si(v, "length", system) for v in (ahead, left)))

    def _arc(
        self, radius: float, centre: float, along: tuple[float, float], system: str
    ) -> tuple[list[float], list[float]]:
        """The part of a circle about the turning centre that lies in the frame, the outer half, in order."""
        angles = np.linspace(-math.pi / 2 - 2.6, -math.pi / 2 + 2.6, 261)
        ahead, left = radius * np.cos(angles), centre + radius * np.sin(angles)
        seen = (ahead <= along[0]) & (ahead >= -along[1]) & (left <= self.LEFT_M) & (left >= -self.RIGHT_M)
        runs = np.split(np.flatnonzero(seen), np.flatnonzero(np.diff(np.flatnonzero(seen)) > 1) + 1)
        longest = max(runs, key=len)
        return list(-from_si(ahead[longest], "length", system)), list(
            -from_si(left[longest], "length", system)
        )


class PathDrawing:
    """Left: the bend from above with all the ground covered. Right: both angles along the way."""

    size_in, frames, widths = (10.2, 4.6), 2, (1.25, 1.0)
    narrow_in = (4.9, 7.2)

    def build(self, picture: Picture, system: str) -> None:
        """Frames and named parts; the ends of the frames follow the way."""
        picture.shape("ground", 0)
        picture.line("left edge", 0, 3)
        picture.line("right edge", 0, 3)
        picture.line("front line", 0, 0)
        picture.line("towed line", 0, 1)
        declare_pair(picture, 0)
        picture.line("angle", 1, 2)
        picture.line("steer", 1, 1)
        for name in ("allowed", "least allowed", "lock", "least lock", "place"):
            picture.reference(name, 1)
        picture.point("angle here", 1, 2)
        picture.point("steer here", 1, 1)
        for name, style in (("angle", 2), ("steer", 1)):
            picture.words(f"{name} words", 1, align="right" if name == "angle" else "left", style=style)

    def update(self, picture: Picture, result: Way, system: str) -> None:
        """Move the parts to a result."""
        room, track, seen = result.room, result.track, result.seen
        right = float(room.right_m.min())
        sides = [
            (room.line_x_m + away * room.normal_x, room.line_y_m + away * room.normal_y)
            for away in (
                room.left_m,
                room.right_m,
                np.full(len(room.line_x_m), right + result.lane_width_m),
                np.full(len(room.line_x_m), right),
            )
        ]
        all_x, all_y = (np.concatenate([side[k] for side in sides]) for k in (0, 1))
        label = unit_label("length", system)
        x, y = (
            (math.floor(-values.max() / 5.0) * 5.0, math.ceil(-values.min() / 5.0) * 5.0)
            for values in (all_x, all_y)
        )
        picture.frame(
            0,
            title="From above, driving to the left",
            x_label=f"[{label}]   full: front axle, dashed: towed rear axle, dotted: lane",
            x=ends_from_si(x, "length", system),
            y=ends_from_si(y, "length", system),
            equal=True,
        )
        length = from_si(5.0 * math.ceil(track.travelled_m[-1] / 5.0), "length", system)
        top, bottom = 75.0, -75.0 if result.track.curvature_1_m.min() < 0 else -10.0
        picture.frame(
            1, title="Angles on the way [°]", x_label=f"driven [{label}]", x=(0.0, length), y=(bottom, top)
        )
        (left_x, left_y), (right_x, right_y), *edges = [
            tuple(-from_si(part, "length", system) for part in side) for side in sides
        ]
        picture.move("ground", [*left_x, *right_x[::-1]], [*left_y, *right_y[::-1]])
        for name, edge in zip(("left edge", "right edge"), edges, strict=True):
            picture.move(name, *edge)
        picture.move(
            "front line", -from_si(room.line_x_m, "length", system), -from_si(room.line_y_m, "length", system)
        )
        picture.move(
            "towed line",
            -from_si(track.towed_x_m, "length", system),
            -from_si(track.towed_y_m, "length", system),
        )
        i = result.place
        kappa, psi = (
            track.curvature_1_m[i],
            track.articulation_rad[i] - math.atan(seen.pair.overhang_m * track.curvature_1_m[i]),
        )
        tow_wheels = (
            _wheels(1.0 / kappa, seen.pair.wheelbase_m, seen.tow_track_m) if abs(kappa) > 1e-6 else (0.0, 0.0)
        )
        towed_wheels = (
            _wheels(seen.pair.ball_to_axle_m / math.tan(psi), seen.pair.towed_wheelbase_m, seen.towed_track_m)
            if abs(psi) > 1e-6
            else (0.0, 0.0)
        )
        poses = (
            (track.rear_x_m[i], track.rear_y_m[i], track.heading_rad[i]),
            (track.towed_x_m[i], track.towed_y_m[i], track.towed_heading_rad[i]),
        )
        place_pair(picture, seen, poses, tow_wheels=tow_wheels, towed_wheels=towed_wheels, system=system)
        driven = from_si(track.travelled_m, "length", system)
        for name, values in (("angle", track.articulation_rad), ("steer", result.steer_rad)):
            degrees = np.clip(np.degrees(values), bottom, top)
            picture.move(name, driven, degrees)
            picture.move(f"{name} here", [driven[i]], [degrees[i]])
        picture.move("place", [driven[i]] * 2, [bottom, top])
        for name, limit in (("allowed", result.allowed_rad), ("lock", result.steer_lock_rad)):
            degrees = math.degrees(limit)
            picture.move(name, [0.0, length], [min(degrees, top)] * 2)
            picture.move(
                f"least {name}",
                *(([0.0, length], [max(-degrees, bottom)] * 2) if bottom < -20.0 else ([], [])),
            )
        above = 0.035 * (top - bottom)
        picture.say(
            "angle words",
            f"angle, allowed {math.degrees(result.allowed_rad):.0f}°",
            0.98 * length,
            min(math.degrees(result.allowed_rad) + above, top - above),
        )
        picture.say(
            "steer words",
            f"towed wheel,\nlock {math.degrees(result.steer_lock_rad):.0f}°",
            0.015 * length,
            math.degrees(result.steer_lock_rad) + 2.1 * above,
        )


class BackingDrawing:
    """Left: the angle over the metres backed. Right: where the pair then stands."""

    size_in, frames, widths = (10.2, 4.2), 2, (1.15, 1.0)
    narrow_in = (4.9, 6.6)
    MOST = 110.0

    def build(self, picture: Picture, system: str) -> None:
        """Named parts; the frame from above follows the pair."""
        label = unit_label("length", system)
        far = from_si(FURTHEST_BACK_M, "length", system)
        picture.frame(
            0,
            title="Angle between the vehicles",
            x_label=f"backed [{label}]",
            y_label="angle [°]",
            x=(0.0, far),
            y=(-self.MOST, self.MOST),
        )
        picture.line("straight", 0, 4)
        picture.line("saved", 0, 2)
        picture.line("held", 0, 0)
        for name in ("limit", "least limit", "beyond", "least beyond"):
            picture.reference(name, 0)
        picture.point("here", 0, 1)
        picture.words("limit words", 0, align="right")
        picture.words("beyond words", 0, align="right")
        picture.words("key held", 1, style=0, bold=True)
        picture.words("key saved", 1, style=2)
        picture.words("key straight", 1, style=4)
        declare_pair(picture, 1)
        picture.words("angle words", 1, bold=True)

    def update(self, picture: Picture, result: Backing, system: str) -> None:
        """Move the parts to a result."""
        phi, seen = result.at_rad, result.seen
        pair = seen.pair
        reach = pair.ball_to_axle_m + seen.towed.tail_m
        ahead, behind, aside = (
            _coarse(seen.tow.nose_m + 1.4),
            _coarse(pair.overhang_m + reach + 2.2),
            _coarse(reach + 1.2),
        )
        picture.frame(
            1,
            title="From above, backing to the right",
            x=ends_from_si((-ahead, behind), "length", system),
            y=ends_from_si((-aside, aside), "length", system),
            equal=True,
            bare=True,
        )
        metres = [from_si(v, "length", system) for v in result.metres]
        for name, angles in (
            ("straight", result.straight_rad),
            ("saved", result.saved_rad),
            ("held", result.angles_rad),
        ):
            degrees = [math.degrees(v) for v in angles]
            count = (
                next((i for i, v in enumerate(degrees) if abs(v) >= self.MOST), len(degrees) - 1) + 1
            )  # until it is folded flat
            picture.move(name, metres[:count], degrees[:count])
        far, limit = metres[-1], math.degrees(result.limit_rad)
        beyond = math.degrees(result.beyond_help_rad) if result.beyond_help_rad is not None else 180.0
        for name, angle in (("limit", limit), ("beyond", beyond)):
            for sign, least in ((1.0, ""), (-1.0, "least ")):
                picture.move(
                    least + name, *(([0.0, far], [sign * angle] * 2) if angle < self.MOST else ([], []))
                )
        picture.say(
            "limit words", f"limit {limit:.0f}°", far * 0.99, -limit + (8.0 if limit <= beyond else -8.0)
        )
        picture.say(
            "beyond words",
            f"no steering helps beyond {beyond:.0f}°" if beyond < self.MOST - 10 else "",
            far * 0.99,
            -beyond - (8.0 if limit <= beyond else -8.0),
        )
        left, low = from_si(-ahead + 0.2, "length", system), from_si(-aside, "length", system)
        for i, (name, text) in enumerate(
            (("held", "full: as set"), ("straight", "dashed: straight"), ("saved", "dash-dot: unfolding"))
        ):
            picture.say(f"key {name}", text, left, low * (0.63 + 0.14 * i))
        picture.move(
            "here",
            [from_si(result.at_m, "length", system)],
            [max(-self.MOST, min(self.MOST, math.degrees(result.at_rad)))],
        )
        towed = (
            -pair.overhang_m - pair.ball_to_axle_m * math.cos(phi),
            pair.ball_to_axle_m * math.sin(phi),
            -phi,
        )
        wheels = (
            _wheels(pair.wheelbase_m / math.tan(result.front_wheels_rad), pair.wheelbase_m, seen.tow_track_m)
            if abs(result.front_wheels_rad) > 1e-6
            else (0.0, 0.0)
        )
        place_pair(
            picture, seen, ((0.0, 0.0, 0.0), towed), tow_wheels=wheels, towed_wheels=(0.0, 0.0), system=system
        )
        picture.say(
            "angle words",
            f"{round(math.degrees(phi))}° after {show(result.at_m, 'length', system)}",
            from_si(-ahead + 0.2, "length", system),
            from_si(aside - 0.6, "length", system),
        )
