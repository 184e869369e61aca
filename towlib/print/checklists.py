"""Checklists in the order of the work, filled with this rig's own numbers: before leaving, on the way, before
the way home, at home.
"""

from typing import NamedTuple

from towlib.limits.chains_limits import by_tow_bar_rule, crossing_words
from towlib.limits.coupler_limits import size_words
from towlib.limits.driveline_card import PositionCard, card_steps, layout_of, position_card, way_home_steps
from towlib.limits.electrics_limits import battery_with_key_on
from towlib.limits.joint_limits import torque_words
from towlib.limits.limit import NOT_KNOWN, OVER
from towlib.plan.trip import Plan, titles
from towlib.rig.facts import Facts, NotKnown
from towlib.rig.model import value_at
from towlib.units import show

GENERIC_CARD = (
    (
        "Driveline: set as the towed vehicle maker's manual says for towing on four wheels; the rig file does"
        " not say how, so this card cannot."
    ),
    "Steering unlocked, wheels straight; towed vehicle's parking brake off; chocks away last.",
    "Roll a few car lengths: all four towed wheels turn, the front wheels follow; brake once, gently.",
)
GENERIC_HOME = (
    (
        "Level ground. Tow vehicle in park or in a gear, its parking brake on. Chocks FIRST, at both"
        " vehicles; then the towed vehicle's parking brake on."
    ),
    "Driveline back to driving as the maker's manual says; engine OFF.",
    "Foot slowly off the brake: gear and parking brake must hold it.",
    "Plug out; then chains off; then the bar.",
    "Chocks out; drive a few metres: no noise, no lamp lit.",
)


class Checklist(NamedTuple):
    """One list of things to do, in the order of the work."""

    title: str
    items_: tuple[str, ...]


def checklists(plan: Plan, system: str = "metric") -> list[Checklist]:
    """Six lists: before leaving, after the first 10 km, at the summit, at the trailhead, before the way home,
    at home.
    """
    facts = Facts(plan.rig)
    ten = show(10_000.0, "distance", system, digits=1)
    summit = (
        "Stop, parking brake on, walk around, try the brakes; take the gear and the speed of the table before"
        " the downgrade begins."
        if plan.brakes_are_within
        else (
            "Do NOT go down: with gear and speed of the table the brakes are over, or not known. Turn round"
            " where there is room without backing, or uncouple and drive both vehicles separately."
        )
    )
    return [
        Checklist("Before leaving", _before(facts, plan, system)),
        Checklist(
            f"After the first {ten}",
            (
                f"Stop. Pins, clips, coupler, chains, lamps; {torque_words(facts, system)}.",
                (
                    "Hand near, not on, hubs, brakes, axles and transfer case: one hotter than its partner, a"
                    " smell or oil: do not go on."
                ),
            ),
        ),
        Checklist(
            "At the summit, and going down",
            (
                summit,
                (
                    "Hold the gear; brake short and firmly, then let go; never out of gear. Smell, smoke, a"
                    " hard pedal that slows you less, or a soft one that goes far down: stop, let them cool"
                    " in the air, no water."
                ),
                "Do not back up with the pair: it folds. Uncouple instead.",
            ),
        ),
        Checklist(
            "At the trailhead: uncoupling",
            (
                *_home(facts),
                "Bar and chains off the ground, mount out of the receiver; key, pins and clips in one bag.",
            ),
        ),
        Checklist(
            "Before the way home",
            (
                "Tired? Eat and rest first; better sleep here. Then read this list aloud, line by line.",
                f"Mud off lamps and plates; anything hanging, bent, cracked? {_day_check(facts)}",
                "Load as planned for the way back, tied down; tyres back at road pressure.",
                "All of 'Before leaving' again from the top, not from memory, with a lamp after dark.",
                _battery_line(facts),
            ),
        ),
        Checklist(
            "At home",
            (
                "Level ground; uncouple as at the trailhead.",
                (
                    "Look at chains, pins, bracket welds and tyres; write down what to mend. Put the towed"
                    " vehicle's battery on a charger."
                ),
                "Write the real axle weights, fuel and temperatures into the rig file.",
            ),
        ),
    ]


def _before(facts: Facts, plan: Plan, system: str) -> tuple[str, ...]:
    chains = {
        name: None if path in plan.rig.not_read else value_at(plan.rig, path)
        for name in ("links", "crossed", "second_pair_fitted")
        for path in (f"safety_chains.{name}",)
    }
    change = facts.have("hitch.ball_mount_change")
    links = f"{chains['links']} links each" if chains["links"] else "links: not known"
    crossed = crossing_words(facts) if chains["crossed"] is False else "Chains crossed under the bar"
    mount = (
        "rise or drop not known"
        if change is None
        else f"{'rise' if change >= 0 else 'drop'} {show(abs(change), 'size', system)}"
    )
    if chains["second_pair_fitted"]:
        pair = " Second pair on."
    elif chains["second_pair_fitted"] is False:
        pair = " No second pair: not held if a bracket lets go."
    else:
        pair = ""
    fitted = "" if chains["crossed"] is False else f"; {links}"
    tied = ", tied to the bar there" if by_tow_bar_rule(facts) else ""
    coupling = [
        (
            f"Pins of brackets and bar in, each clipped; {torque_words(facts, system)}. Ball mount pinned and"
            f" clipped ({mount}); ball nut tight."
        ),
        (
            f"{plan.prop} Latch open. Tow vehicle back until the ball is beneath, nobody between. Then park"
            " or a gear, its parking brake on, engine off, chock it too."
        ),
        (f"{size_words(facts)} Bar down on the ball: latch closed, its pin or clip in; pull it UP by hand."),
        f"{crossed}{fitted}; hooks closed, not twisted{tied}, clear of the road.{pair}",
        (
            "Plug in. Tail, brake, both turn lamps and plate seen one by one; then tail, brake and left turn"
            " all on at once: nothing dims or glows wrongly."
        ),
    ]
    front, rear, towed = (
        show(facts.have(f"{tyres}.pressure"), "pressure", system)
        for tyres in ("tow_vehicle.front_tyres", "tow_vehicle.rear_tyres", "towed_vehicle.tyres")
    )
    tyres = f"Tyres cold: tow front {front}, rear {rear}; towed {towed}."
    first = _first(plan)
    try:
        steps = {step.topic: step.do for step in card_steps(layout_of(facts))}
    except NotKnown:
        return (
            *first,
            "The maker's manual open at towing: may it roll on four wheels at all?",
            tyres,
            "Level ground; towed vehicle's parking brake on, chocked on both sides of a rear wheel.",
            *coupling,
            *GENERIC_CARD,
        )
    at = list(steps).index("coupled")
    words = [do for topic, do in steps.items() if topic not in ("coupled", "heat")]
    return (*first, words[0], tyres, *words[1:at], *coupling, *words[at:])


def _first(plan: Plan) -> list[str]:
    """What stands before all else: what is over or likely over, then what is not known."""
    over, unknown, likely = plan.count(OVER), plan.count(NOT_KNOWN), plan.likely_over
    stop = [f"{over} limit{' is' if over == 1 else 's are'} over, named on the front"] if over else []
    stop += [f"likely over: {titles(likely)}"] if likely else []
    lines = [f"STOP: {'; '.join(stop)}. Do not leave until they are mended."] if stop else []
    if unknown:
        lines.append(
            f"Not known: {unknown} limit{'' if unknown == 1 else 's'}, named on the front. Not known is not a"
            " pass: find out before you begin."
        )
    return lines


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
        return (
            "Key on to keep the steering free: how long the battery lasts is not known; start its engine"
            " before you need it."
        )
    if found.hours is None:
        return (
            "Key on to keep the steering free: the charging line keeps up while the tow vehicle's engine"
            " runs."
        )
    return (
        f"Key on to keep the steering free: about {found.hours:.0f} h from a FULL battery (estimate). The way"
        " out took its share, and a short drive does not put it back: take those hours off, or charge first."
    )
