"""Lesson 09: toe, castor and a locked steering of the towed front axle."""

import math
from typing import Any, NamedTuple

import numpy as np

from towlib.draw.figures import Picture, round_up
from towlib.lessons.declare import with_values
from towlib.limits.loads import towed_axles_kg, towed_empty_kg
from towlib.physics.basics.road_load import GRAVITY_M_S2
from towlib.physics.turning.steering import (
    angle_friction_holds_rad,
    castor_trail_m,
    locked_steering_force_n,
    sideways_m,
    steer_needed_rad,
    toe_drag_n,
)
from towlib.physics.turning.yaw_pair import TOWED_PER_RAD, axle_stiffness_n_rad
from towlib.rig.facts import Facts
from towlib.units import from_si, number, show, unit_label

GRIP = 0.8  # of dry asphalt, from memory
DEGREE = math.radians(1.0)
MOST_SHOWN_DEG = 8.0
BEYOND_RAD = math.radians(15.0)  # no tyre is linear so far


class Steering(NamedTuple):
    """Everything the toe and castor panel shows."""

    toe_rad: float
    drag_n: float
    rolling_n: float
    sideways_m: float  # for each kilometre
    toes_rad: Any
    drags_n: Any
    castor_rad: float
    trail_m: float
    left_over_rad: float
    castors_rad: Any
    left_overs_rad: Any  # infinite where the wheels do not come back
    backwards: bool
    one_tyre_n: float  # side force of one tyre for one degree


def front_axle(facts: Facts) -> tuple[float, float]:
    """What the towed front axle carries [kg], and the side force of both its tyres for each radian [N]."""
    load_kg = towed_axles_kg(facts, "out")[0]
    rate = TOWED_PER_RAD * facts.need("towed_vehicle.front_side_stiffness")
    return load_kg, axle_stiffness_n_rad(load_kg, towed_empty_kg(facts)[0], per_rad=rate)


def steering(facts: Facts, *, backwards: bool) -> Steering:
    """Toe drag, and how nearly the wheels come back to straight."""
    front_kg, axle_n_rad = front_axle(facts)
    stiffness, grip_n = axle_n_rad / 2.0, GRIP * front_kg * GRAVITY_M_S2 / 2.0
    radius_m, own_trail_m = (
        facts.need("towed_vehicle.tyres.rolling_radius"),
        facts.need("towed_vehicle.tyre_trail"),
    )
    toe_rad, castor_rad, friction_n_m = (
        facts.need(f"towed_vehicle.{name}") for name in ("toe", "castor", "steering_friction")
    )

    def holds(castor: float) -> tuple[float, float]:
        trail_m = (-1.0 if backwards else 1.0) * castor_trail_m(castor, radius_m) + own_trail_m
        return trail_m, angle_friction_holds_rad(friction_n_m, stiffness_n_rad=axle_n_rad, trail_m=trail_m)

    most = 2.0 if abs(toe_rad) <= 2.0 * DEGREE else 3.5
    ends = (-4.0, 12.0) if -4.0 * DEGREE <= castor_rad <= 12.0 * DEGREE else (-6.0, 18.0)
    toes, castors = np.radians(np.linspace(-most, most, 81)), np.radians(np.linspace(*ends, 161))
    trail_m, left_over = holds(castor_rad)
    return Steering(
        toe_rad,
        toe_drag_n(toe_rad, stiffness_n_rad=stiffness, grip_n=grip_n),
        facts.need("towed_vehicle.rolling_resistance") * sum(towed_axles_kg(facts, "out")) * GRAVITY_M_S2,
        sideways_m(toe_rad, 1000.0),
        toes,
        np.array([toe_drag_n(toe, stiffness_n_rad=stiffness, grip_n=grip_n) for toe in toes]),
        castor_rad,
        trail_m,
        left_over,
        castors,
        np.array([holds(castor)[1] for castor in castors]),
        backwards,
        stiffness * DEGREE,
    )


def steering_words(result: Steering, system: str) -> str:
    """The sentence under toe and castor."""
    share = 100.0 * result.drag_n / result.rolling_n
    per_km, unit = (
        (result.sideways_m, "kilometre") if system == "metric" else (result.sideways_m * 1.609344, "mile")
    )
    toe = (
        f"A toe of {show(abs(result.toe_rad), 'angle', system)} each drags with"
        f" {show(result.drag_n, 'force', system)}, {number(share, 2)} % of the vehicle's rolling resistance,"
        f" and scrubs up to {show(per_km, 'length', system)} sideways in a {unit} (one tyre gives"
        f" {show(result.one_tyre_n, 'force', system)} for each degree)."
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


def steering_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the third panel."""
    toe_rad = facts.need("towed_vehicle.toe") or DEGREE / 5.0
    one, two = (
        steering(with_values(facts, {"towed_vehicle.toe": times * toe_rad}), backwards=False)
        for times in (1.0, 2.0)
    )
    stiff = steering(
        with_values(
            facts, {"towed_vehicle.steering_friction": 4 * facts.need("towed_vehicle.steering_friction")}
        ),
        backwards=False,
    )
    edge_rad = math.atan2(
        facts.need("towed_vehicle.tyre_trail"), facts.need("towed_vehicle.tyres.rolling_radius")
    )
    return (
        f"{show(abs(one.toe_rad), 'angle', system)} of toe each cost {show(one.drag_n, 'force', system)},"
        f" twice as much toe {show(two.drag_n, 'force', system)}: twice the scrub and **four times** the"
        f" drag. Friction leaves the wheels {_off(one, system)} straight; four times the friction, a power"
        f" steering without its pump, {_off(stiff, system)}. **Rolling backwards the castor trail leads"
        f" instead of following**: beyond {show(edge_rad, 'angle', system, 2)} of castor even the tyre's own"
        " trail no longer saves it, and the wheels swing to full lock."
    )


def _off(result: Steering, system: str) -> str:
    if result.left_over_rad > BEYOND_RAD:
        return "anywhere but"
    return f"{show(result.left_over_rad, 'angle', system)} off"


class SteeringDrawing:
    """Left: drag against toe. Right: the angle friction leaves against castor."""

    size_in, frames, widths = (10.2, 3.9), 2, (1.0, 1.0)

    def build(self, picture: Picture, system: str) -> None:
        """Frames and named parts."""
        picture.line("drag", 0, 0)
        picture.point("toe", 0, 1)
        picture.words("toe words", 0, align="center")
        picture.shape("no return", 1)
        picture.line("left over", 1, 2)
        picture.point("castor", 1, 1)
        picture.words("castor words", 1, align="right", bold=True)
        picture.words("grey words", 1, align="right")

    def update(self, picture: Picture, result: Steering, system: str) -> None:
        """Move the parts to a result."""
        drags: Any = from_si(result.drags_n, "force", system)
        top = round_up(1.15 * float(drags.max()))
        most = 1.075 * math.degrees(result.toes_rad[-1])
        picture.frame(
            0,
            title="Drag of both front wheels by toe",
            x_label="toe of each wheel [°], in: +",
            y_label=f"[{unit_label('force', system)}]",
            x=(-most, most),
            y=(-0.04 * top, top),
        )
        first, last = (math.degrees(result.castors_rad[i]) for i in (0, -1))
        picture.frame(
            1,
            title="Front wheels stay off straight by up to",
            x_label="castor [°]",
            y_label="[°]",
            x=(first - 0.5, last + 0.5),
            y=(-0.3, 1.06 * MOST_SHOWN_DEG),
        )
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
        if math.isinf(angle):
            outside = "swing away to lock"
        elif result.left_over_rad > BEYOND_RAD:
            outside = "do not come back"
        else:
            outside = f"{number(angle, 2)}°, above"
        words = f"within {number(angle, 2)}°" if inside else outside
        picture.say("castor words", words, last - 0.2, 0.90 * MOST_SHOWN_DEG)
        picture.say("grey words", "grey: no return" if edge else "", last - 0.2, 0.80 * MOST_SHOWN_DEG)


class LockedSteering(NamedTuple):
    """Everything the locked-steering panel shows."""

    turn_radius_m: float
    needed_rad: float
    front_n: float
    ball_n: float
    grip_n: float
    radii_m: Any
    fronts_n: Any
    balls_n: Any


def locked_steering(facts: Facts, *, turn_radius_m: float, grip_share: float) -> LockedSteering:
    """Front wheels held straight by the steering lock in a bend; the ball takes the side force by moments
    about the rear axle.
    """
    front_kg, axle_n_rad = front_axle(facts)
    wheelbase_m = facts.need("towed_vehicle.wheelbase")
    ball_ahead_m = facts.need("tow_bar.length") + facts.need("towed_vehicle.bracket_ahead_of_front_axle")
    tyres = {"stiffness_n_rad": axle_n_rad, "grip_n": grip_share * front_kg * GRAVITY_M_S2}
    radii = np.geomspace(4.0, 150.0, 120)
    fronts = np.array([locked_steering_force_n(radius, wheelbase_m, **tyres) for radius in radii])
    front_n = locked_steering_force_n(turn_radius_m, wheelbase_m, **tyres)
    lever = wheelbase_m / (wheelbase_m + ball_ahead_m)
    return LockedSteering(
        turn_radius_m,
        steer_needed_rad(turn_radius_m, wheelbase_m),
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


def locked_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the fourth panel."""
    bend, wide, wet = (
        locked_steering(facts, turn_radius_m=radius, grip_share=grip)
        for radius, grip in ((20.0, GRIP), (100.0, GRIP), (20.0, 0.3))
    )
    skids = bend.front_n >= 0.999 * bend.grip_n
    what = "Held straight they use all their grip" if skids else "Held straight they push sideways with"
    return (
        f"In a bend of {show(bend.turn_radius_m, 'length', system)} the wheels should turn"
        f" {show(bend.needed_rad, 'angle', system)}. {what}{',' if skids else ''}"
        f" {show(bend.front_n, 'force', system)}{': they skid' if skids else ''}, and"
        f" {show(bend.ball_n, 'force', system)} of it goes through bar and ball, to one side. On"
        f" {show(wide.turn_radius_m, 'length', system)} there are still {show(wide.front_n, 'force', system)}"
        " at the tyres: a mountain road scrubs them bald. On a wet road, at 30 % grip, it is"
        f" {show(wet.front_n, 'force', system)}, and **you may not notice**: look in the mirror."
    )


class LockedSteeringDrawing:
    """Side force at the front tyres and at the ball against the radius of the bend."""

    size_in, frames = (10.0, 3.7), 1

    def build(self, picture: Picture, system: str) -> None:
        """Named parts; the frame follows the forces."""
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
        tail = max(result.fronts_n[-1], 0.0) + (0.12 * top_n if picture.narrow else 0.0)
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
