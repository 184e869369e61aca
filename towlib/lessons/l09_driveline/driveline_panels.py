"""Lesson 09: what turns in the towed vehicle's driveline, and the usual procedures side by side."""

from typing import NamedTuple

from towlib.lessons.declare import with_values
from towlib.limits.driveline_card import layout_of
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
from towlib.rig.facts import Facts, NotKnown
from towlib.units import number, show

TIGHT_M = 8.0  # a turn at a fuel station
COMPARED = ("rear pinion", "rear shaft", "front shaft", "gearbox output", "engine")
PROCEDURES = "ABCDE"
PATH = "towed_vehicle.driveline."


def speeds_layout(facts: Facts) -> Layout:
    """The plan's layout with every ratio that speeds need; ValueError for positions that cannot be."""
    own = facts.rig.towed_vehicle.driveline
    if (
        facts.have(PATH + "transfer_case") == "none"
        and own.transfer_case != "none"
        and facts.have(PATH + "driven_axle") is None
    ):  # only tried here: most such vehicles drive one axle, and this picture takes the rear one
        facts = with_values(facts, {PATH + "driven_axle": "rear"})
    try:
        layout = layout_of(facts, for_speeds=True)
    except NotKnown as missing:
        if " " in missing.reason:  # a sentence: these positions do not exist
            raise ValueError(missing.reason) from None
        raise
    return layout._replace(
        low_ratio=facts.need(PATH + "low_ratio"),
        gear_ratio=facts.need(PATH + "gear_ratio"),
        track_m=facts.need("towed_vehicle.track"),
    )


def turning(facts: Facts, *, tight_turn: bool) -> Turning:
    """What turns in the first panel."""
    curvature = 1.0 / TIGHT_M if tight_turn else 0.0
    return what_turns(
        speeds_layout(facts), facts.need("conditions.cruise_speed"), left_curvature_1_m=curvature
    )


def turning_words(result: Turning, system: str) -> str:
    """The sentence under the driveline."""
    found = result.motion
    if found.conflict:
        return conflict_words(found)
    shafts = [part for part in ("rear shaft", "front shaft") if part in found.state]
    turn = [part for part in shafts if found.state[part] == TURNS]
    rates = dict.fromkeys(number(abs(found.rpm[part]), 3) for part in turn)
    words = f"At {show(result.speed_m_s, 'speed', system)} " + (
        f"{listed(turn)} turn{'s' if len(turn) == 1 else ''} at {' and '.join(rates)} rpm"
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


def _part_time(facts: Facts, **positions: object) -> Facts:
    """This vehicle's tyres and axles behind a part-time case in neutral, its manual gearbox in gear."""
    rear = facts.need(PATH + "rear_final_drive")
    left = {
        "transfer_case": "part-time",
        "transfer_case_position": "neutral",
        "low_range": False,
        "gearbox": "manual",
        "gearbox_position": "in gear",
        "front_hubs": "fixed",
        "front_shaft_in": True,
        "rear_shaft_in": True,
        "front_locked": False,
        "rear_locked": False,
        "lifted_axle": "none",
        "rear_final_drive": rear,
        "front_final_drive": facts.have(PATH + "front_final_drive") or rear,
    }
    return with_values(facts, {PATH + name: value for name, value in {**left, **positions}.items()})


def turning_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the first panel."""
    usual = turning(_part_time(facts), tight_turn=False)
    neutral = turning(_part_time(facts, gearbox_position="neutral"), tight_turn=False)
    joined = turning(_part_time(facts, transfer_case_position="neutral, outputs joined"), tight_turn=True)
    one = turning(_part_time(facts, front_hubs="one side open"), tight_turn=False)
    rpm, state = usual.motion.rpm, neutral.motion.state["gearbox output"]
    back = abs(one.motion.rpm["front right half shaft"])
    forced = "is forced in the tight turn" if joined.motion.conflict else "turns freely"
    return (
        f"A part-time case in neutral, a manual gearbox in gear, {show(usual.speed_m_s, 'speed', system)}:"
        f" the wheels turn at {number(abs(rpm['rear left wheel']), 3)} rpm and the rear shaft at"
        f" {number(abs(rpm['rear shaft']), 3)} rpm. **Neutral stops no shaft**, and whether oil reaches the"
        " outputs of the case only the maker's manual knows. Gearbox in neutral too: its output is"
        f" *{state}*, and nothing oils it; a gear holds it. Outputs *joined* in neutral: what"
        f" joins them {forced}. One front hub open: its half shaft runs *backwards* at {number(back, 3)} rpm."
    )


class Procedure(NamedTuple):
    """One way to leave the driveline, and what it does."""

    letter: str
    title: str
    turning: Turning


class Comparison(NamedTuple):
    """Everything the second panel shows."""

    procedures: tuple[Procedure, ...]
    speed_m_s: float


def comparison(facts: Facts) -> Comparison:
    """The usual procedures for a part-time transfer case at one road speed, whatever case the rig has."""
    gearbox, speed_m_s = facts.need(PATH + "gearbox"), facts.need("conditions.cruise_speed")
    held = "in gear" if gearbox == "manual" else "park"
    base = speeds_layout(_part_time(facts, gearbox=gearbox, gearbox_position=held))
    engaged = base._replace(position="rear only")
    ways = (
        (f"case neutral, {held}", base),
        ("as A, and front hubs free", base._replace(front_hubs="free")),
        ("rear shaft out, front hubs free", engaged._replace(rear_shaft_in=False, front_hubs="free")),
        ("case in gear, gearbox neutral", engaged._replace(gear="neutral")),
        (f"case in gear, {held}", engaged),
    )
    return Comparison(
        tuple(
            Procedure(letter, title, what_turns(layout, speed_m_s))
            for letter, (title, layout) in zip(PROCEDURES, ways, strict=True)
        ),
        speed_m_s,
    )


def comparison_words(result: Comparison, system: str) -> str:
    """The sentence under the table of speeds."""
    first, last = result.procedures[0].turning, result.procedures[-1].turning
    wheels, shaft = abs(first.motion.rpm["rear left wheel"]), abs(first.motion.rpm["rear shaft"])
    end = (
        f"the road turns the engine at {number(abs(last.motion.rpm['engine']), 3)} rpm"
        if not last.motion.conflict
        else "the park pawl holds what the wheels turn: they skid, or it breaks"
    )
    return (
        f"At {show(result.speed_m_s, 'speed', system)} the wheels turn at {number(wheels, 3)} rpm and, in A,"
        f" the rear shaft at {number(shaft, 3)} rpm. C stops all but the axle. In D the gearbox turns without"
        f" oil. In E {end}."
    )


LOW_GEAR = 3.9  # a first gear, to compare with


def comparison_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the second panel."""
    manual = comparison(with_values(facts, {PATH + "gearbox": "manual"}))
    first = comparison(with_values(facts, {PATH + "gearbox": "manual", PATH + "gear_ratio": LOW_GEAR}))
    park = comparison(with_values(facts, {PATH + "gearbox": "automatic"}))
    output = abs(manual.procedures[3].turning.motion.rpm["gearbox output"])
    engine, in_first = (abs(each.procedures[4].turning.motion.rpm["engine"]) for each in (manual, first))
    forced = "is forced instead: the pawl holds" if park.procedures[4].turning.motion.conflict else "holds"
    return (
        "A: shafts turn, the gearbox stands. B: the front shaft is not driven either. C: only the axle"
        f" itself turns. D: the gearbox output turns at {number(output, 3)} rpm while nothing in the gearbox"
        " throws oil: in a manual box the countershaft does that, and it stands; in an automatic a pump on"
        f" the *engine* does. E: the road turns the engine, at {number(engine, 3)} rpm as it is and"
        f" {number(in_first, 3)} rpm in a first gear of {LOW_GEAR:g}; an automatic in park {forced}. **With"
        " the case in gear no place of the gear lever is right.**"
    )
