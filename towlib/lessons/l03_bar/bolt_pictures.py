"""Lesson 03: a bracket plate with its bolts drawn to scale, and what a wrench puts into a bolt."""

import math
from typing import NamedTuple

from towlib.draw.figures import Picture, round_up
from towlib.handbook.bolt_tables import bolt_strength, bolt_thread
from towlib.physics.hitch.bolt_group import BoltForce, bolt_forces
from towlib.physics.hitch.bolts import Preload, preload_n, slip_load_n, torque_n_m
from towlib.units import from_si, show, to_si_number, unit_label

EDGE_M = 0.022  # of the drawn plate
MOST_BOLTS = 8
NUT_FACTORS = {"dry steel, K 0.20": 0.20, "oiled, K 0.15": 0.15, "rusty, K 0.30": 0.30}  # from memory
BOLTS_IN_JOINT, SHARE_OF_PROOF = 4, 0.75


class BoltGroup(NamedTuple):
    """Everything the plate shows: u outboard, v up, n forwards."""

    places_m: tuple[tuple[float, float], ...]
    force_n: tuple[float, float, float]
    pin_m: tuple[float, float, float]
    bolts: tuple[BoltForce, ...]


def bolt_group(
    *,
    across_m: float,
    up_m: float,
    rows: int,
    pin_up_m: float,
    pin_off_m: float,
    force_n: float,
    direction_rad: float,
) -> BoltGroup:
    """Bolts in two columns that run fore and aft; the force at the pin lies level."""
    places = tuple(
        (u, (row - (rows - 1) / 2.0) * up_m) for row in range(rows) for u in (-across_m / 2.0, across_m / 2.0)
    )
    force = (force_n * math.sin(direction_rad), 0.0, force_n * math.cos(direction_rad))
    pin = (0.0, pin_up_m, pin_off_m)
    return BoltGroup(places, force, pin, bolt_forces(places, force, pin))


def bolt_group_words(result: BoltGroup, system: str) -> str:
    """The sentence under the plate."""
    pulled = max(result.bolts, key=lambda bolt: bolt.tension_n)
    sheared = max(bolt.shear_n for bolt in result.bolts)
    share = math.hypot(*result.force_n) / len(result.bolts)
    pressed = min(bolt.tension_n for bolt in result.bolts) < -0.5
    tension = (
        f"The most pulled bolt takes {show(pulled.tension_n, 'force', system)}"
        if pulled.tension_n > 0.5
        else "The plate presses on the frame and pulls no bolt"
        if pressed
        else "No bolt is pulled"
    )
    return (
        f"{tension}, and the most sheared one {show(sheared, 'force', system)}; an even share of the force"
        f" would be {show(share, 'force', system)} on each of {len(result.bolts)} bolts."
    )


class BoltGroupDrawing:
    """Left: the plate from the front. Right: the same from above. One scale for both."""

    size_in, frames, widths = (10.5, 4.6), 2, (1.0, 1.0)
    N_PER_M = 110e3  # newtons drawn as one metre
    SHOWN_M = 0.17

    def build(self, picture: Picture, system: str) -> None:
        """Frames and named parts."""
        picture.frame(
            0,
            title="The plate from the front (outboard →), pull in each bolt",
            x=(-self.SHOWN_M, self.SHOWN_M),
            y=(-0.17, 0.17),
            equal=True,
            bare=True,
        )
        picture.frame(
            1,
            title="From above (forwards ↑)",
            x=(-self.SHOWN_M, self.SHOWN_M),
            y=(-0.11, 0.24),
            equal=True,
            bare=True,
        )
        picture.shape("plate", 0)
        picture.shape("plate edge", 1)
        picture.shape("tab", 1, None, filled=False, closed=False)
        for i in range(MOST_BOLTS):
            picture.point(f"bolt {i}", 0, 0)
            picture.arrow(f"shear {i}", 0, 1)
            picture.words(f"tension {i}", 0, align="center", bold=True)
        for frame in (0, 1):
            picture.point(f"pin {frame}", frame, 3)
            picture.words(f"pin words {frame}", frame, align="right")
            picture.arrow(f"force {frame}", frame, 4)
        for i in (0, 1):
            picture.arrow(f"column {i}", 1, 1)
            picture.words(f"column words {i}", 1, align="center", style=1, bold=True)
        picture.words("scale", 0, align="center")

    def update(self, picture: Picture, result: BoltGroup, system: str) -> None:
        """Move the parts to a result."""
        half_u = max(u for u, _ in result.places_m) + EDGE_M
        low_v, high_v = (
            min(v for _, v in result.places_m) - EDGE_M,
            max(v for _, v in result.places_m) + EDGE_M,
        )
        picture.move("plate", [-half_u, half_u, half_u, -half_u], [low_v, low_v, high_v, high_v])
        picture.move("plate edge", [-half_u, half_u, half_u, -half_u], [-0.008, -0.008, 0.0, 0.0])
        for i in range(MOST_BOLTS):
            self._bolt(picture, i, result, system)
        force_u, _, force_n = (part / self.N_PER_M for part in result.force_n)
        pin_u, pin_v, pin_n = result.pin_m
        picture.move("pin 0", [pin_u], [pin_v])
        picture.say("pin words 0", "pin", pin_u - 0.009, pin_v + 0.011)
        picture.aim(
            "force 0", (pin_u, pin_v), (pin_u + force_u, pin_v) if abs(force_u) > 0.004 else (pin_u, pin_v)
        )
        picture.move("tab", [-0.012, -0.012, 0.012, 0.012], [0.0, pin_n, pin_n, 0.0])
        picture.move("pin 1", [pin_u], [pin_n])
        picture.say("pin words 1", f"pin, {show(math.hypot(*result.force_n), 'force', system)}", -0.02, pin_n)
        picture.aim("force 1", (pin_u, pin_n), (pin_u + force_u, pin_n + force_n))
        for i, side in enumerate((-1.0, 1.0)):
            pull_n = max(
                (
                    bolt.tension_n
                    for bolt, (u, _) in zip(result.bolts, result.places_m, strict=True)
                    if u * side > 0
                ),
                key=abs,
            )
            place = side * (half_u - EDGE_M)
            picture.aim(
                f"column {i}",
                (place, 0.0),
                (place, pull_n / self.N_PER_M) if abs(pull_n) > 0.02 * self.N_PER_M / 5 else (place, 0.0),
            )
            picture.say(
                f"column words {i}",
                ("pull " if pull_n > 0 else "press ") + show(abs(pull_n), "force", system),
                side * 0.112,
                -0.055,
            )
        picture.say(
            "scale", f"arrows: 50 mm (2 in) for {show(0.05 * self.N_PER_M, 'force', system)}", 0.0, -0.155
        )

    def _bolt(self, picture: Picture, i: int, result: BoltGroup, system: str) -> None:
        if i >= len(result.places_m):
            picture.move(f"bolt {i}", [], [])
            picture.aim(f"shear {i}", (0.0, 0.0), (0.0, 0.0))
            picture.say(f"tension {i}", "", 0.0, 0.0)
            return
        (u, v), bolt = result.places_m[i], result.bolts[i]
        picture.move(f"bolt {i}", [u], [v])
        tip = (u + bolt.shear_u_n / self.N_PER_M, v + bolt.shear_v_n / self.N_PER_M)
        picture.aim(f"shear {i}", (u, v), tip if bolt.shear_n > 0.003 * self.N_PER_M else (u, v))
        side = 1.0 if u > 0 else -1.0
        picture.say(
            f"tension {i}",
            ("" if bolt.tension_n >= 0 else "−") + show(abs(bolt.tension_n), "force", system),
            side * 0.136,
            v,
        )


class Torque(NamedTuple):
    """Everything the torque panel shows."""

    torque_n_m: float
    now: Preload
    proof_n: float
    slip_n: Preload  # of the whole joint, by low, middle and high clamp force
    right_torque_n_m: float  # for 75 % of proof at the middle
    most_torque_n_m: float  # right end of the picture
    per_n_m: Preload  # clamp force for 1 N·m


def torque(
    *,
    bolt_size: str,
    bolt_grade: str,
    thread_state: str,
    wrench_torque_n_m: float,
    scatter_share: float,
    friction: float,
) -> Torque:
    """Clamp force from a torque, its scatter, and the side force at which a joint of four such bolts
    slips.
    """
    thread = bolt_thread(bolt_size)
    strength = bolt_strength(bolt_grade, thread.diameter_m) if thread else None
    if thread is None or strength is None:
        raise ValueError(f"the tables hold no bolt {bolt_size} of grade {bolt_grade}")
    k = NUT_FACTORS[thread_state]
    wrench = {"diameter_m": thread.diameter_m, "nut_factor": k, "nut_factor_spread": scatter_share}
    now, proof_n = preload_n(wrench_torque_n_m, **wrench), strength.proof_pa * thread.stress_area_m2
    slip = Preload(*(BOLTS_IN_JOINT * slip_load_n(force_n, friction=friction) for force_n in now))
    right = torque_n_m(SHARE_OF_PROOF * proof_n, diameter_m=thread.diameter_m, nut_factor=k)
    most = round_up(1.5 * torque_n_m(proof_n, diameter_m=thread.diameter_m, nut_factor=0.20))
    return Torque(wrench_torque_n_m, now, proof_n, slip, right, most, preload_n(1.0, **wrench))


def torque_words(result: Torque, system: str) -> str:
    """The sentence under the torque picture."""
    share = 100.0 * result.now.middle_n / result.proof_n
    beyond = (
        " The upper end is past proof: the bolt may stretch for good."
        if result.now.high_n > result.proof_n
        else ""
    )
    return (
        f"{show(result.torque_n_m, 'torque', system)} gives {show(result.now.low_n, 'force', system)} to"
        f" {show(result.now.high_n, 'force', system)}, in the middle {share:.0f} % of proof; four such bolts"
        f" slip at {show(result.slip_n.low_n, 'force', system)} or more. 75 % of proof asks for"
        f" {show(result.right_torque_n_m, 'torque', system)}.{beyond}"
    )


class TorqueDrawing:
    """Clamp force against torque with its band, the proof load, and the slip load of the joint."""

    size_in, frames = (10.0, 3.8), 1

    def build(self, picture: Picture, system: str) -> None:
        """Named parts; the frame follows the bolt."""
        picture.band("scatter", 0, 0)
        picture.line("middle", 0, 0)
        picture.line("slip", 0, 2)
        picture.reference("proof", 0)
        picture.reference("right", 0)
        picture.point("now", 0, 1)
        picture.reference("span", 0)
        picture.words("proof words", 0)
        picture.words("right words", 0)
        picture.words("middle words", 0, style=0, bold=True)
        picture.words("slip words", 0, style=2, bold=True)
        picture.words("beyond", 0, align="right", style=1, bold=True)

    def update(self, picture: Picture, result: Torque, system: str) -> None:
        """Move the parts to a result."""
        top_n = round_up(1.6 * result.proof_n)
        most, top = from_si(result.most_torque_n_m, "torque", system), from_si(top_n, "force", system)
        picture.frame(
            0,
            title="Clamp force of one bolt, and the side force at which four of them slip",
            x_label=f"torque [{unit_label('torque', system)}]",
            y_label=f"force [{unit_label('force', system)}]",
            x=(0.0, most),
            y=(0.0, top),
        )

        def reach(per: float) -> tuple[list[float], list[float]]:
            """A straight line from nothing to the frame's edge."""
            at = min(result.most_torque_n_m, top_n / per)
            return [0.0, from_si(at, "torque", system)], [0.0, from_si(at * per, "force", system)]

        low, middle, high = (reach(per) for per in result.per_n_m)
        edge = [high[0][1], most] if high[0][1] < most else [most]
        x = sorted({0.0, low[0][1], middle[0][1], *edge})
        force = [
            [
                min(top, from_si(to * per, "force", system))
                for to in (to_si_number(value, "torque", system) for value in x)
            ]
            for per in result.per_n_m
        ]
        picture.spread("scatter", x, force[0], force[2])
        picture.move("middle", *middle)
        slip = reach(result.slip_n.low_n / result.torque_n_m)
        picture.move("slip", *slip)
        proof = from_si(result.proof_n, "force", system)
        picture.move("proof", [0.0, most], [proof, proof])
        picture.say("proof words", "proof load", 0.01 * most, proof + 0.035 * top)
        right = from_si(result.right_torque_n_m, "torque", system)
        picture.move("right", [right, right], [0.0, 0.75 * proof])
        picture.say("right words", " 75 % of proof", right, 0.04 * top)
        now = min(most, from_si(result.torque_n_m, "torque", system))
        inside = now < most and result.now.middle_n <= top_n
        picture.move(
            "now", [now] if inside else [], [from_si(result.now.middle_n, "force", system)] if inside else []
        )
        picture.move(
            "span",
            [now, now] if inside else [],
            (
                [
                    min(top, from_si(force_n, "force", system))
                    for force_n in (result.now.low_n, result.now.high_n)
                ]
                if inside
                else []
            ),
        )
        picture.say("middle words", "clamp force, with scatter", 0.01 * most, 0.94 * top)
        picture.say("slip words", "four bolts slip (lowest clamp)", 0.01 * most, 0.86 * top)
        picture.say(
            "beyond", "" if inside else "your torque lies beyond this picture", 0.99 * most, 0.06 * top
        )
