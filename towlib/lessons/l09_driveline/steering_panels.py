"""Lesson 09: toe, castor and a locked steering of the towed front axle."""

import math
from typing import NamedTuple

import numpy as np

from towlib.draw.figures import Picture, round_up
from towlib.physics.basics.road_load import GRAVITY_M_S2
from towlib.physics.turning.steering import (
    angle_friction_holds_rad,
    castor_trail_m,
    locked_steering_force_n,
    sideways_m,
    steer_needed_rad,
    toe_drag_n,
)
from towlib.units import from_si, number, show, unit_label

# the invented light off-roader and bar of data/rigs/demo_comfortable.toml
RADIUS_M, FRONT_KG, REAR_KG, WHEELBASE_M, BALL_AHEAD_M, ROLLING = 0.35, 800.0, 740.0, 2.36, 1.98, 0.015
OWN_TRAIL_M, GRIP = 0.025, 0.8  # pneumatic trail and grip, from memory
DEGREE = math.radians(1.0)
MOST_SHOWN_DEG = 8.0
BEYOND_RAD = math.radians(15.0)  # no tyre is linear so far


class Steering(NamedTuple):
    """Everything the toe and castor panel shows."""

    toe_rad: float
    drag_n: float
    rolling_n: float
    sideways_m: float  # for each kilometre
    toes_rad: np.ndarray
    drags_n: np.ndarray
    castor_rad: float
    trail_m: float
    left_over_rad: float
    castors_rad: np.ndarray
    left_overs_rad: np.ndarray  # infinite where the wheels do not come back
    backwards: bool


def steering(
    *, toe_rad: float, side_force_per_degree_n: float, castor_rad: float, friction_n_m: float, backwards: bool
) -> Steering:
    """Toe drag, and how nearly the wheels come back to straight; the slider's force is that of one tyre for
    one degree.
    """
    stiffness = side_force_per_degree_n / DEGREE
    grip_n = GRIP * FRONT_KG * GRAVITY_M_S2 / 2.0

    def holds(castor: float) -> tuple[float, float]:
        trail_m = (-1.0 if backwards else 1.0) * castor_trail_m(castor, RADIUS_M) + OWN_TRAIL_M
        return trail_m, angle_friction_holds_rad(
            friction_n_m, stiffness_n_rad=2.0 * stiffness, trail_m=trail_m
        )

    toes, castors = np.radians(np.linspace(-2.0, 2.0, 81)), np.radians(np.linspace(-4.0, 12.0, 161))
    trail_m, left_over = holds(castor_rad)
    return Steering(
        toe_rad,
        toe_drag_n(toe_rad, stiffness_n_rad=stiffness, grip_n=grip_n),
        ROLLING * (FRONT_KG + REAR_KG) * GRAVITY_M_S2,
        sideways_m(toe_rad, 1000.0),
        toes,
        np.array([toe_drag_n(toe, stiffness_n_rad=stiffness, grip_n=grip_n) for toe in toes]),
        castor_rad,
        trail_m,
        left_over,
        castors,
        np.array([holds(castor)[1] for castor in castors]),
        backwards,
    )


def steering_words(result: Steering, system: str) -> str:
    """The sentence under toe and castor."""
    share = 100.0 * result.drag_n / result.rolling_n
    per_km, unit = (result.sideways_m, "km") if system == "metric" else (result.sideways_m * 1.609344, "mile")
    toe = (
        f"A toe of {show(abs(result.toe_rad), 'angle', system)} each drags with"
        f" {show(result.drag_n, 'force', system)}, {number(share, 2)} % of the vehicle's rolling resistance,"
        f" and scrubs up to {show(per_km, 'length', system)} sideways in a {unit}."
    )
    way = "Rolling BACKWARDS" if result.backwards else "Rolling forwards"
    if not math.isfinite(result.left_over_rad):
        return f"{toe} {way} with this castor the contact leads: the wheels swing away to full lock."
    if result.left_over_rad > BEYOND_RAD:
        return (
            f"{toe} {way}, with so little trail friction holds the wheels at any angle: they do not come"
            " back."
        )
    return (
        f"{toe} {way}, friction leaves the wheels up to {show(result.left_over_rad, 'angle', system)} off"
        f" straight (trail {show(result.trail_m, 'size', system)})."
    )


class SteeringDrawing:
    """Left: drag against toe. Right: the angle friction leaves against castor."""

    size_in, frames, widths = (10.5, 3.9), 2, (1.0, 1.0)

    def build(self, picture: Picture, system: str) -> None:
        """Frames and named parts."""
        self._left(picture, 60.0, system)
        picture.frame(
            1,
            title="Front wheels stay off straight by up to",
            x_label="castor [°]",
            y_label="[°]",
            x=(-4.5, 12.5),
            y=(-0.3, 1.06 * MOST_SHOWN_DEG),
        )
        picture.line("drag", 0, 0)
        picture.point("toe", 0, 1)
        picture.words("toe words", 0, align="center")
        picture.shape("no return", 1)
        picture.line("left over", 1, 2)
        picture.point("castor", 1, 1)
        picture.words("castor words", 1, align="right", bold=True)
        picture.words("grey words", 1, align="right")

    @staticmethod
    def _left(picture: Picture, top: float, system: str) -> None:
        picture.frame(
            0,
            title="Drag of both front wheels by toe",
            x_label="toe of each wheel [°], in: +",
            y_label=f"[{unit_label('force', system)}]",
            x=(-2.15, 2.15),
            y=(-0.04 * top, top),
        )

    def update(self, picture: Picture, result: Steering, system: str) -> None:
        """Move the parts to a result."""
        drags = from_si(result.drags_n, "force", system)
        top = round_up(1.15 * float(drags.max()))
        self._left(picture, top, system)
        picture.move("drag", np.degrees(result.toes_rad), drags)
        here = (math.degrees(result.toe_rad), from_si(result.drag_n, "force", system))
        picture.move("toe", [here[0]], [here[1]])
        picture.say(
            "toe words",
            f"{show(result.drag_n, 'force', system)} at {show(result.toe_rad, 'angle', system)}",
            0.0,
            0.88 * top,
        )
        castors, held = np.degrees(result.castors_rad), np.degrees(result.left_overs_rad)
        shown = np.isfinite(held) & (held < MOST_SHOWN_DEG)
        picture.move("left over", castors[shown], held[shown])
        never = castors[~np.isfinite(held)]
        edge = (float(never.min()), float(never.max())) if len(never) else None
        picture.move(
            "no return",
            *(
                ((edge[0], edge[1], edge[1], edge[0]), (0.0, 0.0, MOST_SHOWN_DEG, MOST_SHOWN_DEG))
                if edge
                else ([], [])
            ),
        )
        angle = math.degrees(result.left_over_rad)
        inside = angle < MOST_SHOWN_DEG
        picture.move("castor", [math.degrees(result.castor_rad)], [angle if inside else MOST_SHOWN_DEG])
        outside = (
            "swing away to lock"
            if math.isinf(angle)
            else "do not come back"
            if result.left_over_rad > BEYOND_RAD
            else f"{number(angle, 2)}°, above"
        )
        words = f"within {number(angle, 2)}°" if inside else outside
        picture.say("castor words", words, 11.8, 0.90 * MOST_SHOWN_DEG)
        picture.say("grey words", "grey: no return" if edge else "", 11.8, 0.80 * MOST_SHOWN_DEG)


class LockedSteering(NamedTuple):
    """Everything the locked-steering panel shows."""

    turn_radius_m: float
    needed_rad: float
    front_n: float
    ball_n: float
    grip_n: float
    radii_m: np.ndarray
    fronts_n: np.ndarray
    balls_n: np.ndarray


def locked_steering(
    *, turn_radius_m: float, front_axle_kg: float, side_force_per_degree_n: float, grip_share: float
) -> LockedSteering:
    """Front wheels held straight by the steering lock in a bend; the ball takes the side force by moments
    about the rear axle.
    """
    tyres = {
        "stiffness_n_rad": 2.0 * side_force_per_degree_n / DEGREE,
        "grip_n": grip_share * front_axle_kg * GRAVITY_M_S2,
    }
    radii = np.geomspace(4.0, 150.0, 120)
    fronts = np.array([locked_steering_force_n(radius, WHEELBASE_M, **tyres) for radius in radii])
    front_n, lever = (
        locked_steering_force_n(turn_radius_m, WHEELBASE_M, **tyres),
        WHEELBASE_M / (WHEELBASE_M + BALL_AHEAD_M),
    )
    return LockedSteering(
        turn_radius_m,
        steer_needed_rad(turn_radius_m, WHEELBASE_M),
        front_n,
        front_n * lever,
        tyres["grip_n"],
        radii,
        fronts,
        fronts * lever,
    )


def locked_steering_words(result: LockedSteering, system: str) -> str:
    """The sentence under the locked steering."""
    skids = (
        " All grip is used: the front tyres skid sideways." if result.front_n >= 0.999 * result.grip_n else ""
    )
    return (
        f"On a radius of {show(result.turn_radius_m, 'length', system)} the wheels should turn"
        f" {show(result.needed_rad, 'angle', system)}. Locked, they push sideways with"
        f" {show(result.front_n, 'force', system)}, and the ball takes {show(result.ball_n, 'force', system)}"
        f" of it.{skids}"
    )


class LockedSteeringDrawing:
    """Side force at the front tyres and at the ball against the radius of the bend."""

    size_in, frames = (10.0, 3.7), 1

    def build(self, picture: Picture, system: str) -> None:
        """Named parts; the frame follows the forces."""
        self._frame(picture, 8000.0, system)
        picture.line("front", 0, 1)
        picture.line("ball", 0, 0)
        picture.reference("grip", 0)
        picture.point("now", 0, 1)
        picture.point("now ball", 0, 0)
        for name, style in (("front", 1), ("ball", 0), ("grip", None)):
            picture.words(f"{name} words", 0, align="right", style=style, bold=style is not None)

    @staticmethod
    def _frame(picture: Picture, top_n: float, system: str) -> None:
        picture.frame(
            0,
            title="Side force while the steering lock holds the wheels straight",
            x_label=f"radius of the bend [{unit_label('length', system)}]",
            y_label=f"[{unit_label('force', system)}]",
            x=(0.0, from_si(152.0, "length", system)),
            y=(0.0, from_si(top_n, "force", system)),
        )

    def update(self, picture: Picture, result: LockedSteering, system: str) -> None:
        """Move the parts to a result."""
        top_n = round_up(1.25 * result.grip_n)
        self._frame(picture, top_n, system)
        radii = from_si(result.radii_m, "length", system)
        picture.move("front", radii, from_si(result.fronts_n, "force", system))
        picture.move("ball", radii, from_si(result.balls_n, "force", system))
        picture.move(
            "grip", [0.0, from_si(152.0, "length", system)], [from_si(result.grip_n, "force", system)] * 2
        )
        here = from_si(result.turn_radius_m, "length", system)
        picture.move("now", [here], [from_si(result.front_n, "force", system)])
        picture.move("now ball", [here], [from_si(result.ball_n, "force", system)])
        end = from_si(150.0, "length", system)
        picture.say(
            "grip words",
            "all grip of the front tyres",
            end,
            from_si(result.grip_n + 0.05 * top_n, "force", system),
        )
        tail = max(result.fronts_n[-1], 0.0)
        picture.say(
            "front words",
            "front tyres (dashed)",
            end,
            from_si(min(tail + 0.17 * top_n, result.grip_n - 0.06 * top_n), "force", system),
        )
        picture.say(
            "ball words",
            "ball (full line)",
            end,
            from_si(min(tail + 0.07 * top_n, result.grip_n - 0.16 * top_n), "force", system),
        )
