"""Lesson 09: what turns in an invented light off-roader's driveline, and the usual procedures side by
side.
"""

from typing import NamedTuple

from towlib.limits.driveline_layout import (
    NOT_OILED,
    OIL_NOT_KNOWN,
    Layout,
    Turning,
    conflict_words,
    listed,
    what_turns,
)
from towlib.physics.driveline.shaft_motion import LOOSE, STANDS, TURNS
from towlib.units import number, show

# the invented light off-roader of data/rigs/demo_comfortable.toml
RADIUS_M, TRACK_M, WHEELBASE_M = 0.35, 1.50, 2.36
TIGHT_M, LOW_RATIO = 8.0, 2.7
GEAR_CHOICES = {
    "manual, in gear": ("manual", "in gear"),
    "manual, neutral": ("manual", "neutral"),
    "automatic, park": ("automatic", "park"),
    "automatic, neutral": ("automatic", "neutral"),
}
SHAFTS = ("both in", "rear out", "front out", "both out")
LOCKS = ("both open", "rear locked", "front locked", "both locked")
COMPARED = ("rear pinion", "rear shaft", "front shaft", "gearbox output", "engine")


def turning(
    *,
    transfer_case: str,
    position: str,
    low_range: bool,
    gearbox: str,
    front_hubs: str,
    shafts: str,
    locks: str,
    lifted: str,
    final_drive: str,
    tight_turn: bool,
    speed_m_s: float,
) -> Turning:
    """What turns for every choice of the first panel."""
    kind, gear = GEAR_CHOICES[gearbox]
    layout = Layout(
        transfer_case=transfer_case,
        position=position,
        low_range=low_range,
        gearbox=kind,
        gear=gear,
        front_hubs=front_hubs,
        front_shaft_in=shafts in ("both in", "rear out"),
        rear_shaft_in=shafts in ("both in", "front out"),
        front_locked=locks in ("front locked", "both locked"),
        rear_locked=locks in ("rear locked", "both locked"),
        lifted_axle=lifted.removesuffix(" axle"),
        front_final_drive=float(final_drive),
        rear_final_drive=float(final_drive),
        low_ratio=LOW_RATIO,
        tyre_radius_m=RADIUS_M,
        track_m=TRACK_M,
        wheelbase_m=WHEELBASE_M,
    )
    return what_turns(layout, speed_m_s, left_curvature_1_m=1.0 / TIGHT_M if tight_turn else 0.0)


def turning_words(result: Turning, system: str) -> str:
    """The sentence under the driveline."""
    found = result.motion
    if found.conflict:
        return conflict_words(found)
    shafts = [part for part in ("rear shaft", "front shaft") if part in found.state]
    turn = [part for part in shafts if found.state[part] == TURNS]
    rate = max((abs(found.rpm[part]) for part in turn), default=0.0)
    words = f"At {show(result.speed_m_s, 'speed', system)} " + (
        f"{listed(turn)} turn{'s' if len(turn) == 1 else ''} at {number(rate, 3)} rpm"
        if turn
        else "no shaft turns"
    )
    inside = [part for part in ("gearbox output", "gearbox input") if found.state[part] != STANDS]
    if found.state["engine"] == TURNS:
        words += f"; THE ROAD TURNS THE ENGINE, at {number(abs(found.rpm['engine']), 3)} rpm"
    elif inside:
        does = "turn with it" if len(inside) > 1 else "turns with it"
        words += f"; {listed(inside)} {'may be dragged round' if found.state[inside[0]] == LOOSE else does}"
    else:
        words += "; gearbox and engine stand"
    dry, unknown = (
        result.oil_is(NOT_OILED),
        [part for part in result.oil_is(OIL_NOT_KNOWN) if found.state[part] == TURNS],
    )
    words += f". Without oil: {listed(dry)}" if dry else ""
    words += f". Only the maker's manual knows whether oil reaches: {listed(unknown)}" if unknown else ""
    return words + ("." if dry or unknown else ". What turns is oiled or greased as on the road.")


class Procedure(NamedTuple):
    """One way to leave the driveline, and what it does."""

    title: str
    turning: Turning


class Comparison(NamedTuple):
    """Everything the second panel shows."""

    procedures: tuple[Procedure, ...]
    speed_m_s: float


def comparison(
    *, gearbox: str, final_drive: str, gear_ratio: str, tyre_radius_m: float, speed_m_s: float
) -> Comparison:
    """The usual procedures for a part-time transfer case at one road speed."""
    held = "in gear" if gearbox == "manual" else "park"
    base = Layout(
        gearbox=gearbox,
        gear=held,
        gear_ratio=float(gear_ratio),
        front_final_drive=float(final_drive),
        rear_final_drive=float(final_drive),
        tyre_radius_m=tyre_radius_m,
        track_m=TRACK_M,
        wheelbase_m=WHEELBASE_M,
    )
    engaged = base._replace(position="rear only")
    ways = (
        (f"A  case neutral,\n{held}", base),
        ("B  as A, and\nfront hubs free", base._replace(front_hubs="free")),
        ("C  rear shaft out,\nfront hubs free", engaged._replace(rear_shaft_in=False, front_hubs="free")),
        ("D  case in gear,\ngearbox neutral", engaged._replace(gear="neutral")),
        (f"E  case in gear,\n{held}", engaged),
    )
    return Comparison(
        tuple(Procedure(title, what_turns(layout, speed_m_s)) for title, layout in ways), speed_m_s
    )


def comparison_words(result: Comparison, system: str) -> str:
    """The sentence under the bars."""
    first, last = result.procedures[0].turning, result.procedures[-1].turning
    wheels, shaft = abs(first.motion.rpm["rear left wheel"]), abs(first.motion.rpm["rear shaft"])
    end = (
        f"the road turns the engine at {number(abs(last.motion.rpm['engine']), 3)} rpm"
        if not last.motion.conflict
        else "the park pawl holds what the wheels turn: they skid, or it breaks"
    )
    return (
        f"At {show(result.speed_m_s, 'speed', system)} the wheels turn at {number(wheels, 3)} rpm and, in A,"
        f" both shafts at {number(shaft, 3)} rpm. C stops all but the axle. In D the gearbox turns without"
        f" oil. In E {end}."
    )
