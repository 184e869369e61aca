"""Lesson 08, lamps: the volts of one circuit, light over the wire's length, and lamps that share a bad
ground.
"""

from typing import NamedTuple

import numpy as np

from towlib.handbook.electric_tables import lamp, largest_fuse_a, wire_section_m2
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
from towlib.units import show

FRAME_OHM = 0.005  # a frame of sheet steel from end to end, from memory
LOSS_RULE_V = 0.5  # there and back, from memory: it decides nothing
DIODES = {"none": 0.0, "silicon": SILICON_DROP_V, "Schottky": SCHOTTKY_DROP_V}
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
TOW_TAIL_LAMPS = 4  # two tail lamps, and plate and marker lamps as much as two more


class Volts(NamedTuple):
    """Everything the first panel shows."""

    circuit: OneCircuit
    supply_v: float
    lamps: str
    wire_size: str
    fuse_a: float | None
    largest_fuse_a: float
    over_rule: bool  # more volts lost than the rule from memory


def volts(
    *,
    supply_v: float,
    connector_ohm: float,
    wire_size: str,
    length_m: float,
    return_way: str,
    ground_ohm: float,
    diode: str,
    lamp_name: str,
    lamp_count: int,
    temperature_c: float,
) -> Volts:
    """One lamp circuit, there and back."""
    out_ohm = wire_ohm(length_m, wire_section_m2(wire_size), temperature_c=temperature_c)
    found = one_circuit(
        lamp(lamp_name, lamp_count),
        supply_v=supply_v,
        connector_ohm=connector_ohm,
        wire_ohm=out_ohm,
        return_ohm=out_ohm if return_way == "own wire" else FRAME_OHM,
        ground_ohm=ground_ohm,
        diode_v=DIODES[diode],
    )
    largest = largest_fuse_a(wire_size)
    many = "" if lamp_count == 1 else f"{lamp_count} × "
    return Volts(
        found,
        supply_v,
        f"{many}{lamp_name}",
        wire_size,
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
    ) + f" (largest for {result.wire_size}: {result.largest_fuse_a:g} A, from memory)"
    return (
        f"{result.lamps}: {show(found.lamp_v, 'voltage', system)} of"
        f" {show(result.supply_v, 'voltage', system)} reach the lamp and give {100 * found.light:.0f} % of"
        f" the light; {show(found.amps, 'current', system)} flow,"
        f" {show(found.lost_w, 'lamp_power', system, 2)} warm the way. Most is lost in the {worst}:"
        f" {show(found.lost_v[worst], 'voltage', system, 2)}; {fuse}."
    )


class LightLeft(NamedTuple):
    """Everything the second panel shows; light by wire size."""

    lengths_m: tuple[float, ...]
    light: dict[str, tuple[float, ...]]
    length_m: float
    here: dict[str, float]
    wanted: float
    thinnest: str | None  # of the sizes drawn, that leaves the light wanted; None when none does


def light_left(
    *,
    supply_v: float,
    length_m: float,
    return_way: str,
    connector_ohm: float,
    ground_ohm: float,
    diode: str,
    lamp_name: str,
    lamp_count: int,
    temperature_c: float,
    wanted_share: float,
) -> LightLeft:
    """Light left over the length of the wire, for five gauges."""
    lamps = lamp(lamp_name, lamp_count)
    ways = 2.0 if return_way == "own wire" else 1.0
    frame = FRAME_OHM if ways == 1.0 else 0.0

    def light(ohm: float) -> float:
        return one_circuit(
            lamps,
            supply_v=supply_v,
            connector_ohm=connector_ohm,
            wire_ohm=ohm,
            return_ohm=frame,
            ground_ohm=ground_ohm,
            diode_v=DIODES[diode],
        ).light

    per_m = {size: ways * wire_ohm(1.0, wire_section_m2(size), temperature_c=temperature_c) for size in SIZES}
    ohms = max(per_m.values()) * LONGEST_M * np.linspace(0.0, 1.0, 15) ** 2
    lights = [light(float(ohm)) for ohm in ohms]
    lengths = np.linspace(0.5, LONGEST_M, 24)
    curves = {size: tuple(np.interp(lengths * per_m[size], ohms, lights).tolist()) for size in SIZES}
    here = {size: light(per_m[size] * length_m) for size in SIZES}
    thinnest = next((size for size in SIZES if here[size] >= wanted_share), None)
    return LightLeft(tuple(lengths.tolist()), curves, length_m, here, wanted_share, thinnest)


def light_left_words(result: LightLeft, system: str) -> str:
    """The sentence under the second panel."""
    here = ", ".join(f"{size} {100 * light:.0f} %" for size, light in result.here.items())
    wanted = f"{100 * result.wanted:.0f} %"
    verdict = (
        f"the thinnest of these that leaves {wanted} is {result.thinnest}"
        if result.thinnest
        else f"none of these leaves {wanted}: look at contacts, ground and diode"
    )
    return f"At {show(result.length_m, 'length', system)} one way the light left is {here}; {verdict}."


class SharedGround(NamedTuple):
    """Everything the third panel shows."""

    rear: RearLamps
    lit: str
    ground_ohm: float | None  # None when it is broken
    words: dict[str, str]  # by lamp
    wrong: tuple[str, ...]
    dim: tuple[str, ...]


def shared_ground(
    *,
    supply_v: float,
    feed_ohm: float,
    tow_side: str,
    towed_lamps: str,
    lit: str,
    ground_ohm: float,
    broken: bool,
) -> SharedGround:
    """All rear lamps of the towed vehicle on one ground wire."""
    kind = "LED" if towed_lamps == "LED" else "filament"
    stop, tail = lamp(f"stop/turn {kind}"), lamp(f"tail {kind}")
    plate = tail if kind == "LED" else lamp("plate or marker lamp")
    rear = rear_lamps(
        LIT[lit],
        supply_v=supply_v,
        feed_ohm=feed_ohm,
        ground_ohm=BROKEN_OHM if broken else ground_ohm,
        stop=stop,
        tail=tail,
        plate=plate,
        tow_stop=lamp("stop/turn filament"),
        tow_tail=lamp("tail filament", TOW_TAIL_LAMPS),
        blocked=tow_side == "converter or diodes",
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
    return "lit" if light >= DIM_SHARE else "DIM" if light > SEEN_SHARE else "DARK"


def shared_ground_words(result: SharedGround, system: str) -> str:
    """The sentence under the third panel."""
    rear = result.rear
    ground = "broken" if result.ground_ohm is None else show(result.ground_ohm, "resistance", system)
    parts = [
        f"Ground wire {ground}, {result.lit} on: the lamps' ground stands at"
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
