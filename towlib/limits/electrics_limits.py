"""Lamps and battery of the towed vehicle: seen working, what the socket gives, how long the key may stay
on.
"""

from towlib.handbook.electric_tables import lamp, wire_section_m2
from towlib.limits.driveline_limits import whole, yes
from towlib.limits.limit import YES_NO, Rule, rating
from towlib.physics.electric.battery import KeyOn, key_on
from towlib.physics.electric.circuit import light_share
from towlib.physics.electric.wire import wire_ohm
from towlib.rig.facts import Facts, NotKnown
from towlib.units import show

EXPONENTS = {
    "flooded": 1.25,
    "AGM": 1.10,
    "gel": 1.15,
}  # middles of ranges read at utilitiesbunker.com: 1.20-1.30, 1.05-1.15, 1.10-1.20
FRAME_OHM = 0.005  # a frame of sheet steel from end to end, from memory: it decides nothing
CHARGE = (
    "A charging line, a disconnect the manual allows, or at a stop in the open, both vehicles held and"
    " chocked, run the towed engine until it has charged."
)
LONGEST_H = 240.0  # ten days: what is answered when a charging line keeps up


def lamp_wire_ohm(facts: Facts, *, temperature_c: float = 20.0) -> float:
    """The wire to the lamps of the towed vehicle, one way."""
    section_m2 = wire_section_m2(facts.need("lights.wire_size"))
    return wire_ohm(facts.need("lights.wire_length"), section_m2, temperature_c=temperature_c)


def lamp_return_ohm(facts: Facts, *, temperature_c: float = 20.0) -> float:
    """The way back from the lamps: a wire of the same size, or the frame; without the rust at its bolt."""
    if facts.need("lights.return_way") == "frame":
        return FRAME_OHM
    return lamp_wire_ohm(facts, temperature_c=temperature_c)


def lamp_feed_ohm(facts: Facts) -> float:
    """Each wire to the lamps with its contacts in the connector."""
    moved = facts.moved("lights.feed_resistance")
    if moved is not None:
        return float(moved)
    return lamp_wire_ohm(facts) + float(facts.need("lights.contact_resistance"))


def battery_with_key_on(facts: Facts) -> KeyOn:
    """The towed vehicle's battery while its key stays on."""
    battery = "battery."
    try:
        return key_on(
            facts.need(battery + "key_on_current"),
            feed_a=facts.need(battery + "feed_current"),
            capacity_ah=facts.need(battery + "capacity"),
            rated_h=facts.need(battery + "rated_hours"),
            exponent=EXPONENTS[facts.need(battery + "kind")],
            temperature_c=facts.need(battery + "coldest"),
            age_years=facts.need(battery + "age_years"),
            cold_cranking_a=facts.need(battery + "cold_cranking"),
            engine_a=facts.need(battery + "engine_current"),
        )
    except ValueError as error:
        raise NotKnown(str(error)) from None


def _hours(facts: Facts, way: str) -> float:
    found = battery_with_key_on(facts)
    return LONGEST_H if found.hours is None else min(LONGEST_H, found.hours)


def battery_advice(facts: Facts, way: str) -> str:
    """What keeps this battery able to start the engine: no charging line helps one that cannot when full."""
    if battery_with_key_on(facts).lowest_share >= 1.0:
        return (
            "A battery that is stronger or younger: this one would not start the engine in such cold even"
            " when full. Or a disconnect the manual allows."
        )
    return CHARGE


def _largest_current(facts: Facts, way: str) -> float:
    return max(facts.need("lights.stop_current"), facts.need("lights.turn_current"))


ELECTRIC_RULES = (
    Rule(
        "lamps_seen",
        "Rear lamps seen working",
        YES_NO,
        whole,
        yes("lights.seen_working"),
        "looked at, all functions one by one",
        "Find the fault with a meter: lesson 08 names the steps.",
        per_way=False,
    ),
    Rule(
        "lamp_socket",
        "Current of a brake or turn lamp wire",
        "current",
        _largest_current,
        rating("lights.tow_side_current"),
        "label of the converter, or the fuse",
        "LED lamps, or a converter fed from the battery.",
        per_way=False,
    ),
    Rule(
        "battery_hours",
        "Key on until the engine must start (estimate)",
        "hours",
        rating("battery.hours_a_day"),
        _hours,
        "estimate: Peukert; cold and age partly not checked against a document",
        CHARGE,
        per_way=False,
    ),
)


def electric_rules(facts: Facts) -> tuple[Rule, ...]:
    """The limits of lamps and battery; the battery's only while it is connected."""
    off = facts.have("battery.disconnected") is True
    return tuple(rule for rule in ELECTRIC_RULES if not (off and rule.key == "battery_hours"))


def light_words(facts: Facts, system: str = "metric") -> str:
    """How much light the brake lamps give, from volts measured at both ends; what is missing otherwise."""
    try:
        plug, at_lamp = facts.need("lights.plug_volts"), facts.need("lights.lamp_volts")
        share = light_share(lamp("stop/turn filament"), at_lamp, full_v=plug)
    except NotKnown as missing:
        return f"Light of the brake lamps: not known ({missing.reason})."
    except ValueError as error:
        return f"Light of the brake lamps: not known ({error})."
    return (
        f"Filament brake lamps give {100 * share:.0f} % of their light: {show(at_lamp, 'voltage', system)} of"
        f" {show(plug, 'voltage', system)} arrive."
    )
