"""Lesson 08: what stands in its tables, and what is known of the reader's lamps and battery."""

from collections.abc import Callable, Sequence

from towlib.handbook.electric_tables import lamp, largest_fuse_a
from towlib.handbook.tables import known_words, load_table, source_words
from towlib.lessons.shown_tables import Table, Tables
from towlib.limits.electrics_limits import battery_with_key_on, light_words
from towlib.physics.electric.lamps import fuse_a
from towlib.rig.facts import Facts, NotKnown
from towlib.rig.model import label_of
from towlib.units import show

USUAL_WIRE = "16 AWG"


def at_the_rear() -> Tables:
    """Lamps asked for, the four pins, and what filament lamps draw on each."""
    lamps, pins = load_table("rear_lamps"), load_table("connector")
    tail_a = lamp("tail filament", 2).amps + lamp("plate or marker lamp").amps
    one_a = lamp("stop/turn filament").amps
    amps = {"brown, tail": tail_a, "yellow, left": one_a, "green, right": one_a}
    largest = largest_fuse_a(USUAL_WIRE)
    drawn = [
        (wire, show(each, "current"), f"{fuse_a(each, largest_a=largest):g} A") for wire, each in amps.items()
    ]
    drawn.append(("white, ground", show(sum(amps.values()), "current"), "it carries them all: the thickest"))
    return Tables(
        Table(
            ("how many", "lamp", "colour", "place", "what it must do"),
            tuple((r["count"], r["lamp"], r["colour"], r["place"], r["reader_note"]) for r in lamps),
            f"Source: {source_words(lamps[0]['source'])}.",
        ),
        Table(
            ("four-pin flat", "wire", "what it lights", ""),
            tuple((r["colour"], r["wire"], r["lights"], r["note"]) for r in pins),
            f"Source: {source_words(pins[0]['source'])}.",
        ),
        Table(
            ("wire", "two-filament lamps draw", "fuse, when it is alone behind it"),
            tuple(drawn),
            "Currents of lamps are not checked against a document: the mark on the lamp, or your meter,"
            " holds.",
        ),
    )


def left_on_by_the_key() -> Tables:
    """What may stay powered while the key keeps the steering free."""
    rows = load_table("key_on")
    return Tables(
        Table(
            ("what", "current", "key position", "cure"),
            tuple((r["load"], f"{r['low_a']} to {r['high_a']} A", r["position"], r["cure"]) for r in rows),
            f"Currents: {known_words(rows[0]['known_by'])}. Measure: key in towing position, doors shut,"
            " everything settled for ten minutes; a clamp meter on the battery cable, or a meter in amperes"
            " in the minus cable. Do not start the engine through it.",
        )
    )


def _known(what: str, say: Callable[[], str]) -> str:
    try:
        return say()
    except NotKnown as missing:
        try:
            return f"{what}: not known; your rig does not say: {label_of(missing.reason)}."
        except ValueError:
            return f"{what}: not known; {missing.reason}."


def lamps_and_battery(facts: Facts, system: str) -> Sequence[str]:
    """Sentences on what the rig says of its lamps and its battery."""

    def light() -> str:
        facts.need("lights.plug_volts")
        facts.need("lights.lamp_volts")
        return light_words(facts, system)

    def ground() -> str:
        drop = show(facts.need("lights.ground_drop"), "voltage", system)
        return (
            f"Ground: {drop} between a lamp's shell and the tow vehicle with all lamps on; half a volt is a"
            " common rule, not checked against a document."
        )

    def battery() -> str:
        if facts.have("battery.disconnected") is True:
            return "Battery: disconnected while towed, so the key takes nothing out of it."
        found = battery_with_key_on(facts)
        if found.hours is None:
            return "Battery: the charging line keeps up while the tow vehicle runs."
        return (
            f"Battery: about {show(found.hours, 'hours', system, 2)} with the key on;"
            f" {100 * found.lowest_share:.0f} % of the charge must stay (an estimate)."
        )

    return (
        _known("Light of the brake lamps", light),
        _known("Volts lost in the ground", ground),
        _known("Battery", battery),
    )
