"""Checklists in the order of the work, filled with this rig's own numbers: before leaving, on the way, before the way home, at home."""

from typing import NamedTuple

from towlib.driveline_card import PositionCard, card_steps, layout_of, position_card, way_home_steps
from towlib.facts import Facts, NotKnown
from towlib.limit_rules.attachment import torque_words
from towlib.limit_rules.chains import crossing_words
from towlib.limit_rules.coupling import prop_words
from towlib.limit_rules.electrics import battery_with_key_on
from towlib.limits import NOT_KNOWN
from towlib.trip import Plan
from towlib.units import show

GENERIC_CARD = (
    "Driveline: set as the towed vehicle maker's manual says for towing on four wheels; the rig file does not say how, so this card cannot.",
    "Steering unlocked, wheels straight, parking brake off; chocks away last.",
    "Roll a few car lengths: all four towed wheels turn, the front wheels follow; brake once, gently.")
GENERIC_HOME = ("Chocks first. Driveline back to driving as the maker's manual says; then chains off, then the bar.",)


class Checklist(NamedTuple):
    """One list of things to do, in the order of the work."""

    title: str
    items_: tuple[str, ...]


def checklists(plan: Plan, system: str = "metric") -> list[Checklist]:
    """Six lists: before leaving, after the first 10 km, at the summit, at the trailhead, before the way home, at home."""
    facts = Facts(plan.rig)
    ten = show(10_000.0, "distance", system, digits=1)
    gear = "in the gear and at the speed of the table" if plan.brakes_are_within else "NOT as in the table, with which the brakes are over or not known"
    return [
        Checklist("Before leaving", _before(facts, plan, system)),
        Checklist(f"After the first {ten}", (
            f"Stop. Pins, clips, coupler, chains, lamps; {torque_words(facts, system)}.",
            "Hand near, not on, hubs, brakes, axles and transfer case: one hotter than its partner, a smell or oil: do not go on.")),
        Checklist("At the summit, and going down", (
            f"Stop, walk around, try the brakes; choose the gear before the downgrade begins: {gear}.",
            "Hold the gear; brake short and firmly, then let go; never out of gear. Smell, smoke, a hard pedal that slows you less, or a soft one that goes far down: stop, let them cool in the air, no water.",
            "Do not back up with the pair: it folds. Uncouple instead.")),
        Checklist("At the trailhead: uncoupling", (*_home(facts), "Bar and chains off the ground, mount out of the receiver; key, pins and clips in one bag.")),
        Checklist("Before the way home", (
            "Tired? Eat, rest, then read aloud. Better sleep here than tow asleep.",
            "Mud off lamps and plates; under both vehicles: anything hanging, leaking, bent, cracked?",
            _day_check(facts),
            "Load as planned for the way back, tied down; tyres back at road pressure.",
            "All of 'Before leaving' again from the top, none by memory, with a lamp after dark.",
            _battery_line(facts))),
        Checklist("At home", (
            "Level ground; uncouple as at the trailhead.",
            "Look at chains, pins, bracket welds and tyres; write down what to mend. Put the towed vehicle's battery on a charger.",
            "Write the real axle weights, fuel and temperatures into the rig file."))]


def _before(facts: Facts, plan: Plan, system: str) -> tuple[str, ...]:
    rig = plan.rig
    chains, change = rig.safety_chains, rig.hitch.ball_mount_change
    links = f"{chains.links} links each" if chains.links else "links: not known"
    crossed = crossing_words(facts) if chains.crossed is False else "Chains crossed under the bar"
    mount = "rise or drop not known" if change is None else f"{'rise' if change >= 0 else 'drop'} {show(abs(change), 'size', system)}"
    coupling = [
        f"Ball mount pinned and clipped ({mount}); ball nut tight. {prop_words(facts)} Tow vehicle back, ball beneath; nobody between.",
        "Bar down on the ball: latch, pin, clip; pull it UP by hand.",
        f"Bracket pins in, clipped; {torque_words(facts, system)}.",
        f"{crossed}; {links}, hooks closed, not twisted, clear of the road."
        + (" Second pair on." if chains.second_pair_fitted else " No second pair: not held if a bracket lets go." if chains.second_pair_fitted is False else "")]
    tow = rig.tow_vehicle
    last = [
        "Plug in. Tail, brake, both turn lamps and plate seen working on the towed vehicle.",
        f"Tyres cold: tow front {show(tow.front_tyres.pressure, 'pressure', system)}, rear {show(tow.rear_tyres.pressure, 'pressure', system)}; "
        f"towed {show(rig.towed_vehicle.tyres.pressure, 'pressure', system)}."]
    unknown = plan.count(NOT_KNOWN)
    if unknown:
        last.append(f"Still not known: {unknown} limits, named on the front. Find them out before you drive.")
    try:
        steps = {step.topic: step.do for step in card_steps(layout_of(facts))}
    except NotKnown:
        return ("Level ground, both vehicles chocked.", *coupling, *last[:1], *GENERIC_CARD, *last[1:])
    at = list(steps).index("coupled") if "coupled" in steps else 0
    words = [do for topic, do in steps.items() if topic not in ("coupled", "heat")]
    return (*words[:at], *coupling, *last[:1], *words[at:], *last[1:])


def _home(facts: Facts) -> tuple[str, ...]:
    try:
        card: PositionCard = position_card(layout_of(facts))
    except NotKnown:
        return GENERIC_HOME
    return card.home


def _day_check(facts: Facts) -> str:
    """What the day may have done to the driveline."""
    try:
        return way_home_steps(layout_of(facts))[0]
    except NotKnown:
        return "Mud off wheels, shafts and steering; after deep water look for milky oil."


def _battery_line(facts: Facts) -> str:
    if facts.have("battery.disconnected"):
        return "Battery: disconnected while towed, as the maker's manual allows; steering still free?"
    try:
        found = battery_with_key_on(facts)
    except NotKnown:
        return "Key on to keep the steering free: how long the battery lasts is not known; start its engine before you need it."
    if found.hours is None:
        return "Key on to keep the steering free: the charging line keeps up while the tow vehicle's engine runs."
    return f"Key on to keep the steering free: about {found.hours:.0f} h until its engine may not start (estimate)."
