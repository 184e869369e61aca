"""Lesson 08, lamps: the volts of one circuit, light over the wire's length, and lamps that share a bad
ground.
"""

from typing import Any, NamedTuple

import numpy as np

from towlib.handbook.electric_tables import lamp, largest_fuse_a, wire_section_m2
from towlib.lessons.declare import with_values
from towlib.limits.electrics_limits import FRAME_OHM, lamp_feed_ohm, lamp_return_ohm, lamp_wire_ohm
from towlib.physics.electric.lamps import (
    CIRCUITS,
    SCHOTTKY_DROP_V,
    SILICON_DROP_V,
    OneCircuit,
    RearLamps,
    fuse_a,
    one_circuit,
    rear_lamps,
)
from towlib.physics.electric.wire import wire_ohm
from towlib.rig.facts import Facts
from towlib.units import show

LOSS_RULE_V = 0.5  # there and back, from memory: it decides nothing
DIODES_V = {
    "straight wires": 0.0,
    "converter": 0.0,
    "silicon diodes": SILICON_DROP_V,
    "Schottky diodes": SCHOTTKY_DROP_V,
}
# by kind of lamp and circuit: the lamp of the table
LAMP_OF = {
    "two-filament": {
        "brake or turn": "stop/turn filament",
        "tail": "tail filament",
        "plate or marker": "plate or marker lamp",
    },
    "single-filament": {
        "brake or turn": "stop/turn 21 W filament",
        "tail": "tail 5 W filament",
        "plate or marker": "plate or marker lamp",
    },
    "LED": {"brake or turn": "stop/turn LED", "tail": "tail LED", "plate or marker": "tail LED"},
}
SIZES = ("20 AWG", "18 AWG", "16 AWG", "14 AWG", "12 AWG")
LONGEST_M = 12.0
LIT = {
    "tail lamps": ("tail",),
    "brake": ("left", "right"),
    "left turn": ("left",),
    "tail lamps and brake": CIRCUITS,
    "tail lamps and left turn": ("tail", "left"),
}
BROKEN_OHM = 1e6
SEEN_SHARE, DIM_SHARE = 0.01, 0.5  # what the eye notices at night, and what is too dim: from memory


class Volts(NamedTuple):
    """Everything the first panel shows."""

    circuit: OneCircuit
    supply_v: float
    lamps: str
    wire_size: str
    return_way: str
    fuse_a: float | None
    largest_fuse_a: float
    over_rule: bool  # more volts lost than the rule from memory


def _lamp_name(facts: Facts, circuit: str) -> str:
    return LAMP_OF[facts.need("lights.lamp_kind")][circuit]


def volts(facts: Facts, *, circuit: str, lamp_count: int, temperature_c: float) -> Volts:
    """One lamp circuit, there and back."""
    name, supply_v = _lamp_name(facts, circuit), facts.need("lights.plug_volts")
    found = one_circuit(
        lamp(name, lamp_count),
        supply_v=supply_v,
        connector_ohm=facts.need("lights.contact_resistance"),
        wire_ohm=lamp_wire_ohm(facts, temperature_c=temperature_c),
        return_ohm=lamp_return_ohm(facts, temperature_c=temperature_c),
        ground_ohm=facts.need("lights.ground_resistance"),
        diode_v=DIODES_V[facts.need("lights.between")],
    )
    wire_size = facts.need("lights.wire_size")
    largest = largest_fuse_a(wire_size)
    many = "" if lamp_count == 1 else f"{lamp_count} × "
    return Volts(
        found,
        supply_v,
        f"{many}{name}",
        wire_size,
        facts.need("lights.return_way"),
        fuse_a(found.amps, largest_a=largest),
        largest,
        sum(found.lost_v.values()) > LOSS_RULE_V,
    )


def volts_words(result: Volts, system: str) -> str:
    """The sentence under the first panel."""
    found = result.circuit
    worst = max(found.lost_v, key=lambda name: round(found.lost_v[name], 3))  # of equals, the first
    fuse = (
        f"fuse {result.fuse_a:g} A"
        if result.fuse_a
        else "the wire is too thin for any fuse that holds this current"
    ) + f" (largest for {result.wire_size}: {result.largest_fuse_a:g} A, not checked against a document)"
    return (
        f"{result.lamps}: {show(found.lamp_v, 'voltage', system)} of"
        f" {show(result.supply_v, 'voltage', system)} reach the lamp and give {100 * found.light:.0f} % of"
        f" the light; {show(found.amps, 'current', system)} flow,"
        f" {show(found.lost_w, 'lamp_power', system, 2)} warm the way. Most is lost in the {worst}:"
        f" {show(found.lost_v[worst], 'voltage', system, 2)}; {fuse}."
    )


# as the panels start
BRAKE: dict[str, Any] = {"circuit": "brake or turn", "lamp_count": 2, "temperature_c": 20.0}


def volts_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the first panel."""
    here = volts(facts, **BRAKE).circuit
    out_v = sum(here.lost_v[name] for name in ("connector", "wire out", "diode"))
    back_v = here.lost_v["wire back"] + here.lost_v["ground"]
    led = facts.need("lights.lamp_kind") == "LED"
    other = "lamps of two filaments" if led else "LED lamps"
    then = volts(with_values(facts, {"lights.lamp_kind": "two-filament" if led else "LED"}), **BRAKE).circuit
    supply_v = facts.need("lights.plug_volts")
    return (
        f"{show(here.lamp_v, 'voltage', system)} of {show(supply_v, 'voltage', system)} reach two brake"
        f" lamps: {100 * here.lamp_v / supply_v:.0f} % of the volts, but only {100 * here.light:.0f} % of the"
        " **light**. The way out, contacts and all, takes"
        f" {show(out_v, 'voltage', system, 2)}, the way **back** {show(back_v, 'voltage', system, 2)}: the"
        " current has to come home too, and every ohm it meets there costs just as much. With"
        f" {other} {100 * then.light:.0f} % of the light would be left, for they draw"
        f" {show(then.amps, 'current', system, 2)} instead of {show(here.amps, 'current', system, 2)}."
    )


class LightLeft(NamedTuple):
    """Everything the second panel shows; light by wire size."""

    lengths_m: tuple[float, ...]
    light: dict[str, tuple[float, ...]]
    length_m: float
    here: dict[str, float]
    no_wire: float  # light left with a wire that takes nothing
    own_size: str
    own: float  # light left with the rig's own wire
    wanted: float
    thinnest: str | None  # of the sizes drawn, that leaves the light wanted; None when none does


def light_left(
    facts: Facts, *, circuit: str, lamp_count: int, temperature_c: float, wanted_share: float
) -> LightLeft:
    """Light left over the length of the wire, for five gauges."""
    lamps = lamp(_lamp_name(facts, circuit), lamp_count)
    ways = 2.0 if facts.need("lights.return_way") == "own wire" else 1.0
    settled = {
        "supply_v": facts.need("lights.plug_volts"),
        "connector_ohm": facts.need("lights.contact_resistance"),
        "return_ohm": FRAME_OHM if ways == 1.0 else 0.0,
        "ground_ohm": facts.need("lights.ground_resistance"),
        "diode_v": DIODES_V[facts.need("lights.between")],
    }

    def light(ohm: float) -> float:
        return one_circuit(lamps, wire_ohm=ohm, **settled).light

    def for_each_metre(size: str) -> float:
        return ways * wire_ohm(1.0, wire_section_m2(size), temperature_c=temperature_c)

    length_m, own_size = facts.need("lights.wire_length"), facts.need("lights.wire_size")
    per_m = {size: for_each_metre(size) for size in SIZES}
    ohms = max(per_m.values()) * LONGEST_M * np.linspace(0.0, 1.0, 15) ** 2
    lights = [light(float(ohm)) for ohm in ohms]
    lengths = np.linspace(0.5, LONGEST_M, 24)
    curves = {size: tuple(np.interp(lengths * per_m[size], ohms, lights).tolist()) for size in SIZES}
    here = {size: light(per_m[size] * length_m) for size in SIZES}
    own = here[own_size] if own_size in here else light(for_each_metre(own_size) * length_m)
    thinnest = next((size for size in SIZES if here[size] >= wanted_share), None)
    return LightLeft(
        tuple(lengths.tolist()), curves, length_m, here, lights[0], own_size, own, wanted_share, thinnest
    )


def light_left_words(result: LightLeft, system: str) -> str:
    """The sentence under the second panel."""
    here = ", ".join(f"{size} {100 * light:.0f} %" for size, light in result.here.items())
    wanted = f"{100 * result.wanted:.0f} %"
    verdict = (
        f"the thinnest of these that leaves {wanted} is {result.thinnest}"
        if result.thinnest
        else f"none of these leaves {wanted}: look at contacts, ground and what stands between"
    )
    return (
        f"At {show(result.length_m, 'length', system)} one way the light left is {here}; yours,"
        f" {result.own_size}, leaves {100 * result.own:.0f} %; {verdict}."
    )


def light_left_rooms(result: LightLeft) -> dict[str, float]:
    """Light beyond what is wanted, with each wire."""
    return {size: light - result.wanted for size, light in {**result.here, "yours": result.own}.items()}


RUSTY_OHM = 0.5


def light_left_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the second panel."""
    asked = {**BRAKE, "wanted_share": 0.75}
    here = light_left(facts, **asked)
    rusty = light_left(with_values(facts, {"lights.ground_resistance": RUSTY_OHM}), **asked)
    clean = light_left(with_values(facts, {"lights.ground_resistance": 0.0}), **asked)
    thick = SIZES[-1]
    lesson = (
        "**First clean, then thicken**"
        if clean.own >= rusty.here[thick]
        else "Over so long a thin wire both must be done"
    )
    return (
        f"With a wire that takes nothing at all {100 * here.no_wire:.0f} % would be left; contacts, ground"
        " and what stands between the vehicles take the rest, so no wire brings more. Now rust the ground to"
        f" {show(RUSTY_OHM, 'resistance', system)}: your {here.own_size} leaves {100 * rusty.own:.0f} %, the"
        f" thickest wire here {100 * rusty.here[thick]:.0f} %, but your own wire with a bright bolt"
        f" {100 * clean.own:.0f} %. {lesson}. The curves bend least where the lamps draw least: fewer lamps"
        " on one wire, or LED."
    )


class SharedGround(NamedTuple):
    """Everything the third panel shows."""

    rear: RearLamps
    lit: str
    ground_ohm: float | None  # rust and way back together; None when it is broken
    words: dict[str, str]  # by lamp
    wrong: tuple[str, ...]
    dim: tuple[str, ...]


def shared_ground(facts: Facts, *, lit: str, broken: bool) -> SharedGround:
    """All rear lamps of the towed vehicle on one way back."""
    between = facts.need("lights.between")
    ground_ohm = lamp_return_ohm(facts) + facts.need("lights.ground_resistance")
    rear = rear_lamps(
        LIT[lit],
        supply_v=facts.need("lights.plug_volts"),
        feed_ohm=lamp_feed_ohm(facts),
        ground_ohm=BROKEN_OHM if broken else ground_ohm,
        stop=lamp(_lamp_name(facts, "brake or turn")),
        tail=lamp(_lamp_name(facts, "tail")),
        plate=lamp(_lamp_name(facts, "plate or marker")),
        tow_stop=lamp("stop/turn filament"),
        tow_tail=lamp("tow vehicle's tail circuit"),
        blocked=between != "straight wires",
        diode_v=DIODES_V[between],
    )
    words = {name: _lamp_words(light, rear.wanted[name]) for name, light in rear.light.items()}
    return SharedGround(
        rear,
        lit,
        None if broken else ground_ohm,
        words,
        tuple(name for name, word in words.items() if word == "WRONG"),
        tuple(name for name, word in words.items() if word in ("DIM", "DARK")),
    )


def _lamp_words(light: float, wanted: bool) -> str:
    if not wanted:
        return "WRONG" if light > SEEN_SHARE else "off"
    if light >= DIM_SHARE:
        return "lit"
    if light > SEEN_SHARE:
        return "DIM"
    return "DARK"


def shared_ground_words(result: SharedGround, system: str) -> str:
    """The sentence under the third panel."""
    rear = result.rear
    ground = "broken" if result.ground_ohm is None else show(result.ground_ohm, "resistance", system, 2)
    parts = [
        f"Way back {ground}, {result.lit} on: the lamps' ground stands at"
        f" {show(rear.ground_v, 'voltage', system)}"
    ]
    if result.dim:
        parts.append(f"too dim or dark: {_named(result.dim, rear)}")
    if result.wrong:
        parts.append(f"glowing wrongly: {_named(result.wrong, rear)}")
    if not result.dim and not result.wrong:
        dimmest = min(rear.light[name] for name, wanted in rear.wanted.items() if wanted)
        parts.append(
            f"every lamp does what it should, the dimmest lit one with {100 * dimmest:.0f} % of its light"
        )
    return "; ".join(parts) + "."


def _named(names: tuple[str, ...], rear: RearLamps) -> str:
    return ", ".join(f"{name} {100 * rear.light[name]:.0f} %" for name in names)


def shared_ground_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the third panel."""
    straight = with_values(facts, {"lights.between": "straight wires"})
    brake = shared_ground(straight, lit="brake", broken=True)
    turn = shared_ground(straight, lit="tail lamps and left turn", broken=True)
    both = shared_ground(straight, lit="tail lamps and brake", broken=True)
    if brake.wrong:
        stop = 100 * brake.rear.light["left stop/turn"]
        story = (
            f"Straight wires, the way back broken, and you brake: {_named(brake.wrong, brake.rear)} glow,"
            f" though they are off, and the stop lamps have {stop:.0f} %. The current runs home *backwards*"
            " through lamps that are off and through the tow vehicle's own lamps."
        )
    else:
        story = "LED lamps let nothing run backwards: with the way back broken all of them stay dark."
    if "right stop/turn" in turn.wrong:
        story += (
            " Tail lamps and left turn: the **right** lamp glows with"
            f" {100 * turn.rear.light['right stop/turn']:.0f} %, so you signal the wrong way."
        )
    if all(light < SEEN_SHARE for light in both.rear.light.values()):
        story += " Tail lamps and brake together: all is dark."
    return (
        f"{story} A converter or diodes let nothing run backwards either; then it is only dark. **The symptom"
        " changes, the cause is the same: the ground.**"
    )
