"""Lesson 03: a bracket plate with its bolts drawn to scale, and what a wrench puts into a bolt."""

import math
from typing import NamedTuple

from towlib.draw.figures import Picture, round_up
from towlib.lessons.declare import with_values
from towlib.limits.attachment_limits import bolt_places, thread_and_strength
from towlib.physics.hitch.attachment import ACROSS, plate_view
from towlib.physics.hitch.bolt_group import BoltForce, bolt_forces
from towlib.physics.hitch.bolts import Preload, preload_n, slip_load_n, torque_n_m
from towlib.physics.hitch.load_cases import Force
from towlib.rig.facts import Facts
from towlib.units import from_si, show, to_si_number, unit_label

MOST_BOLTS = 8  # whose forces are written beside them
DRY, OILED = 0.20, 0.15  # nut factors, not checked against a document
SHARE_OF_PROOF = 0.75  # common practice: what a torque aims at


class BoltGroup(NamedTuple):
    """Everything the plate shows, from the pin: u level along the plate, v up, n square to it, away from the
    frame.
    """

    run: str
    places_m: tuple[tuple[float, float], ...]
    force_n: tuple[float, float, float]
    pin_m: tuple[float, float, float]
    bolts: tuple[BoltForce, ...]
    edge_m: float
    thickness_m: float


def bolt_group(facts: Facts, *, rows: int, force_n: float, direction_rad: float) -> BoltGroup:
    """The bolts of the left bracket, or rows of two in their place; the force at the pin lies level."""
    run = facts.need("bracket.bolts_run")
    force = Force(force_n * math.cos(direction_rad), force_n * math.sin(direction_rad), 0.0)
    view = plate_view(force, bolt_places(facts), bolts_run=run, side=1.0)
    places = view.positions_m
    if rows:
        (left, right), (low, high) = ((min(at), max(at)) for at in zip(*places, strict=True))
        ups = (
            [low + (high - low) * row / (rows - 1) for row in range(rows)] if rows > 1 else [(low + high) / 2]
        )
        places = tuple((u, v) for v in ups for u in (left, right))
    wide = max(u for u, _ in places) - min(u for u, _ in places)
    edge, thickness = facts.have("bracket.edge_distance"), facts.have("bracket.plate_thickness")
    return BoltGroup(
        run,
        places,
        view.force_n,
        view.point_m,
        bolt_forces(places, view.force_n, view.point_m),
        0.4 * wide if edge is None else edge,  # drawn only
        0.0 if thickness is None else thickness,
    )


def bolt_group_words(result: BoltGroup, system: str) -> str:
    """The sentence under the plate."""
    pulled = max(result.bolts, key=lambda bolt: bolt.tension_n)
    sheared = max(bolt.shear_n for bolt in result.bolts)
    share = math.hypot(*result.force_n) / len(result.bolts)
    pressed = min(bolt.tension_n for bolt in result.bolts) < -0.5
    if pulled.tension_n > 0.5:
        tension = f"The most pulled bolt takes {show(pulled.tension_n, 'force', system)}"
    elif pressed:
        tension = "The plate presses on the frame and pulls no bolt"
    else:
        tension = "No bolt is pulled"
    return (
        f"{tension}, and the most sheared one {show(sheared, 'force', system)}; an even share of the force"
        f" would be {show(share, 'force', system)} on each of {len(result.bolts)} bolts."
    )


SEEN_N = 6000.0


def bolt_group_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the plate."""
    across = facts.need("bracket.bolts_run") == ACROSS
    off, along = (math.pi / 2, 0.0) if across else (0.0, math.pi / 2)

    def most(direction_rad: float, **values: float) -> float:
        moved = with_values(facts, {f"bracket.{name}": value for name, value in values.items()})
        found = bolt_group(moved, rows=0, force_n=SEEN_N, direction_rad=direction_rad)
        return max(bolt.tension_n for bolt in found.bolts)

    found = bolt_group(facts, rows=0, force_n=SEEN_N, direction_rad=along)
    pin_off = found.pin_m[2] * (-1.0 if across else 1.0)
    wide = max(u for u, _ in found.places_m) - min(u for u, _ in found.places_m)

    def force(size_n: float) -> str:
        return show(size_n, "force", system)

    return (
        f"Straight off the plate, {force(SEEN_N)} give the most pulled bolt {force(most(off))}. Turned along"
        " the plate, nothing pulls it off at all, and yet the most pulled bolt takes"
        f" {force(most(along))}: the force tips the plate. With the pin twice as far off it is"
        f" {force(most(along, pin_ahead_of_plate=2 * pin_off))}, with the bolts half as far apart"
        f" {force(most(along, bolts_across=wide / 2))}. A minus sign means that the plate presses there."
        " **What counts is how far the force passes the bolts' middle by.**"
    )


class BoltGroupDrawing:
    """Left: the plate seen along its bolts, large. Right: the same from above, with the pin."""

    size_in, frames, widths = (10.2, 4.4), 2, (1.0, 1.0)
    narrow_in = (4.9, 8.4)

    def build(self, picture: Picture, system: str) -> None:
        """Named parts; the frames follow the plate."""
        picture.shape("plate", 0)
        picture.shape("plate edge", 1)
        picture.shape("tab", 1, None, filled=False, closed=False)
        picture.point("bolts", 0, 0)
        for i in range(MOST_BOLTS):
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
        us, vs = zip(*result.places_m, strict=True)
        pin_u, pin_v, pin_n = result.pin_m
        ends_u, ends_v = (min(*us, pin_u), max(*us, pin_u)), (min(*vs, pin_v), max(*vs, pin_v))
        middle_u, middle_v = sum(ends_u) / 2, sum(ends_v) / 2
        half = max(ends_u[1] - ends_u[0], ends_v[1] - ends_v[0]) / 2 + result.edge_m
        beside = round_up(max(1.4 * half, 1.7 * abs(pin_n), 0.05))  # half of the right frame
        half = math.ceil(max(230.0 * half, 10.0)) / 200.0  # in steps of 5 mm
        per_m, beside_per_m = 24e3 / half, 24e3 / beside  # newtons drawn as one metre
        self._frames(picture, result.run, (middle_u, middle_v, half), beside)
        edge_u, edge_v = (
            (min(us) - result.edge_m, max(us) + result.edge_m),
            (
                min(vs) - result.edge_m,
                max(vs) + result.edge_m,
            ),
        )
        picture.move("plate", [*edge_u, *edge_u[::-1]], [edge_v[0], edge_v[0], edge_v[1], edge_v[1]])
        thick = max(result.thickness_m, 0.02 * beside)
        picture.move("plate edge", [*edge_u, *edge_u[::-1]], [-thick, -thick, 0.0, 0.0])
        picture.move("bolts", us, vs)
        force_u = result.force_n[0] / per_m
        picture.move("pin 0", [pin_u], [pin_v])
        picture.say("pin words 0", "pin", pin_u - 0.05 * half, pin_v + 0.07 * half)
        start = (pin_u, pin_v)
        picture.aim("force 0", start, (pin_u + force_u, pin_v) if abs(force_u) > 0.02 * half else start)
        tab = 0.07 * beside
        foot = min(max(pin_u, edge_u[0]), edge_u[1])
        picture.move("tab", [foot - tab, pin_u - tab, pin_u + tab, foot + tab], [0.0, pin_n, pin_n, 0.0])
        picture.move("pin 1", [pin_u], [pin_n])
        said = f"pin, {show(math.hypot(*result.force_n), 'force', system)}"
        said_n = pin_n + (0.1 if pin_n >= 0 else -0.1) * beside
        picture.say("pin words 1", said, pin_u - 0.12 * beside, said_n)
        across, _, along = (part / beside_per_m for part in result.force_n)
        picture.aim("force 1", (pin_u, pin_n), (pin_u + across, pin_n + along))
        self._bolts(picture, result, (middle_u, half, per_m), system)
        self._columns(picture, result, (middle_u, beside, beside_per_m), system)
        shown = 0.3 * half
        words = f"arrow of {show(shown, 'size', system, 2)}: {show(shown * per_m, 'force', system, 2)}"
        picture.say("scale", words, middle_u, middle_v - 0.99 * half)

    @staticmethod
    def _frames(picture: Picture, run: str, window: tuple[float, float, float], beside: float) -> None:
        across = run == ACROSS
        middle_u, middle_v, half = window
        title = "The plate from the side (forwards →)" if across else "The plate from the front (outboard →)"
        picture.frame(
            0,
            title=f"{title}, pull in each bolt",
            x=(middle_u - 1.35 * half, middle_u + 1.35 * half),
            y=(middle_v - 1.05 * half, middle_v + 0.9 * half),
            equal=True,
            bare=True,
        )
        picture.frame(
            1,
            title="From above (outboard ↑)" if across else "From above (forwards ↑)",
            x=(middle_u - beside, middle_u + beside),
            y=(-0.6 * beside, 1.0 * beside),
            equal=True,
            bare=True,
        )

    @staticmethod
    def _bolts(picture: Picture, result: BoltGroup, window: tuple[float, float, float], system: str) -> None:
        """Shear arrows and pulls of the most loaded bolts."""
        middle_u, half, per_m = window
        told = sorted(
            range(len(result.bolts)),
            key=lambda k: -math.hypot(result.bolts[k].tension_n, result.bolts[k].shear_n),
        )
        told = sorted(told[:MOST_BOLTS])
        for i in range(MOST_BOLTS):
            if i >= len(told):
                picture.aim(f"shear {i}", (0.0, 0.0), (0.0, 0.0))
                picture.say(f"tension {i}", "", 0.0, 0.0)
                continue
            (u, v), bolt = result.places_m[told[i]], result.bolts[told[i]]
            tip = (u + bolt.shear_u_n / per_m, v + bolt.shear_v_n / per_m)
            picture.aim(f"shear {i}", (u, v), tip if bolt.shear_n > 0.02 * half * per_m else (u, v))
            sign = "" if bolt.tension_n >= 0 else "−"
            words = f"{sign}{show(abs(bolt.tension_n), 'force', system)}"
            picture.say(f"tension {i}", words, middle_u + (1.12 if u > middle_u else -1.12) * half, v)

    @staticmethod
    def _columns(
        picture: Picture, result: BoltGroup, window: tuple[float, float, float], system: str
    ) -> None:
        """The largest pull on either end of the plate, seen from above."""
        _, half, per_m = window
        us = [u for u, _ in result.places_m]
        middle = (min(us) + max(us)) / 2
        for i, end in enumerate((min(us), max(us))):
            here = [
                bolt.tension_n
                for bolt, u in zip(result.bolts, us, strict=True)
                if (u - middle) * (end - middle) >= 0
            ]
            pull_n = max(here, key=abs)
            shown = abs(pull_n) > 0.02 * half * per_m
            picture.aim(f"column {i}", (end, 0.0), (end, pull_n / per_m) if shown else (end, 0.0))
            words = f"{'pull' if pull_n > 0 else 'press'} {show(abs(pull_n), 'force', system)}"
            middle_words = (min(us) + max(us)) / 2 + (0.55 if i else -0.55) * half
            picture.say(f"column words {i}", words, middle_words, -0.4 * half)


class Torque(NamedTuple):
    """Everything the torque panel shows."""

    torque_n_m: float
    now: Preload
    proof_n: float
    bolts: int | None  # in one bracket; None: not known
    slip_n: Preload | None  # of the whole bracket, by low, middle and high clamp force; None: not known
    right_torque_n_m: float  # for 75 % of proof at the middle
    most_torque_n_m: float  # right end of the picture
    per_n_m: Preload  # clamp force for 1 N·m


def torque(facts: Facts, *, scatter_share: float) -> Torque:
    """Clamp force from a torque, its scatter, and the side force at which the bracket slips on its bolts."""
    thread, strength = thread_and_strength(facts)
    wrench_n_m, k = facts.need("bracket.torque"), facts.need("bracket.nut_factor")
    wrench = {"diameter_m": thread.diameter_m, "nut_factor": k, "nut_factor_spread": scatter_share}
    now, proof_n = preload_n(wrench_n_m, **wrench), strength.proof_pa * thread.stress_area_m2
    bolts, friction = facts.have("bracket.bolts"), facts.have("bracket.plate_friction")
    slip = None
    if bolts is not None and friction is not None:
        slip = Preload(*(len(bolts) * slip_load_n(force_n, friction=friction) for force_n in now))
    to_proof = torque_n_m(proof_n, diameter_m=thread.diameter_m, nut_factor=k)
    return Torque(
        wrench_n_m,
        now,
        proof_n,
        None if bolts is None else len(bolts),
        slip,
        SHARE_OF_PROOF * to_proof,
        round_up(1.5 * to_proof * DRY / k),  # so that the picture does not change with K
        preload_n(1.0, **wrench),
    )


def torque_panel_words(result: Torque, system: str) -> str:
    """The sentence under the torque picture."""
    share = 100.0 * result.now.middle_n / result.proof_n
    beyond = (
        " The upper end is over proof: the bolt may stretch for good."
        if result.now.high_n > result.proof_n
        else ""
    )
    slips = (
        "where the bracket slips is not known"
        if result.slip_n is None
        else f"{result.bolts} such bolts slip at {show(result.slip_n.low_n, 'force', system)} or more"
    )
    return (
        f"{show(result.torque_n_m, 'torque', system)} gives {show(result.now.low_n, 'force', system)} to"
        f" {show(result.now.high_n, 'force', system)}, in the middle {share:.0f} % of proof; {slips}. 75 % of"
        f" proof asks for {show(result.right_torque_n_m, 'torque', system)}.{beyond}"
    )


def torque_rooms(result: Torque) -> dict[str, float]:
    """Room of the highest tension to proof."""
    return {"proof": result.proof_n - result.now.high_n}


def torque_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the torque panel."""

    def with_k(nut_factor: float) -> Torque:
        return torque(with_values(facts, {"bracket.nut_factor": nut_factor}), scatter_share=0.30)

    dry, oiled = with_k(DRY), with_k(OILED)
    low, high = (show(force_n, "force", system) for force_n in (dry.now.low_n, dry.now.high_n))
    held = "" if dry.slip_n is None else f" at the lowest clamp {show(dry.slip_n.low_n, 'force', system)},"
    shares = [f"{100 * each.now.middle_n / each.proof_n:.0f} %" for each in (dry, oiled)]
    return (
        f"Dry (K 0.20) the same torque gives anything from {low} to {high}, nearly a factor of two; in the"
        f" middle {shares[0]} of the proof load. Oiled (K 0.15) the middle is {shares[1]}: a third more. By"
        f" friction the bolts hold{held or ' something'} and loose ones nothing, and then they hammer in"
        " their holes. So: **the maker's torque, for the maker's state of thread, with a torque wrench, and"
        " again at the first stop.**"
    )


class TorqueDrawing:
    """Clamp force against torque with its band, the proof load, and the slip load of the joint."""

    size_in, frames = (10.0, 3.9), 1

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
            title="Clamp force of one bolt, and the side force at which the bracket slips",
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
        slip = ([], []) if result.slip_n is None else reach(result.slip_n.low_n / result.torque_n_m)
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
        words = "slip: not known" if result.slip_n is None else "bracket slips (lowest clamp)"
        picture.say("slip words", words, 0.01 * most, 0.86 * top)
        picture.say(
            "beyond", "" if inside else "your torque lies beyond this picture", 0.99 * most, 0.10 * top
        )
