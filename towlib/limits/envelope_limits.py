"""The receiver under the push of braking; brackets under what rules ask of couplings; bar and fastenings
under the rule that was written for tow bars.
"""

from collections.abc import Sequence

from towlib.limits.attachment_limits import ADVICE, GROUPS, Weakest, known_attachment
from towlib.limits.coupling_limits import PLATE, vertical_kg
from towlib.limits.envelope import Loaded, floor_loads, steepest_grade, tow_bar_rule_loads
from towlib.limits.limit import WAYS, YES_NO, Rule, Side, rating
from towlib.limits.loads import towed_total_kg
from towlib.physics.hitch.attachment import weakest_under
from towlib.physics.hitch.load_cases import Force
from towlib.physics.hitch.tow_bar_rule import (
    BUMPER_MOST_KG,
    MOST_OFF_TRACK_M,
    MOST_SAG_M,
    longitudinal_load_n,
)
from towlib.rig.facts import Facts, NotKnown
from towlib.road.route import Route

FEDERAL, TRAILER, NONE = "federal tow-bar rule", "trailer rule", "none asked"  # the choices of tow_bar.rule
FEDERAL_SOURCE = (
    "49 CFR 393.71(h), read: binds US motor carriers that tow a motor vehicle on its own wheels; a yardstick"
    " for everybody else"
)
FLOOR_SOURCE = (
    "Australian design rule 62/02 clause 12.3.2.1 (read in a secondary page; binds makers of couplings to"
    " 3.5 t) and COMAR 11.13.08.10 (Maryland; binds trailer hitches): here a floor for brackets, by yield"
)


JUDGED = tuple(name for _, names in GROUPS.values() for name in names)


def weakest_of(facts: Facts, cases: Sequence[Loaded]) -> Weakest:
    """The part of a bracket that yields first under some loads; NotKnown when any part is not known."""
    attachment, missing = known_attachment(facts)
    if missing:
        raise NotKnown(missing[0])
    hardest = _hardest(cases)
    try:
        factor, part, which = weakest_under([each[1:] for each in hardest], attachment, JUDGED)
    except ValueError as error:
        raise NotKnown(str(error)) from None
    return Weakest(factor, part, hardest[which][0])


def _hardest(cases: Sequence[Loaded]) -> list[tuple[str, Force, float]]:
    """The hardest pull and push of either arm, and every upright load, on one bracket; the other mirrors."""
    arms = [
        (arm, (case.name, force, side))
        for case, loads in cases
        for arm, force, side in ((loads.left_arm_n, loads.left, 1.0), (loads.right_arm_n, loads.right, -1.0))
    ]
    upright = [(case.name, loads.left, 1.0) for case, loads in cases if not any(loads[2:])]
    pull, push = max(arms, key=lambda each: each[0]), min(arms, key=lambda each: each[0])
    return [pull[1], push[1], *upright]


def asks_federal(facts: Facts) -> bool:
    """Whether bar, fastenings and chains are held to the federal tow-bar rule."""
    return bool(facts.need("tow_bar.rule") == FEDERAL)


def _asked_n(facts: Facts, way: str) -> float:
    facts.need("tow_bar.rule")  # so that a rule nobody chose is starred
    return longitudinal_load_n(towed_total_kg(facts, way))


def _fastening_used(facts: Facts, way: str) -> float:
    facts.need("tow_bar.rule")
    return 1.0 / weakest_of(facts, tow_bar_rule_loads(facts, way)).load_factor


def _of_rule(path: str) -> Side:
    def measured(facts: Facts, way: str) -> float:
        facts.need("tow_bar.rule")
        value: float = facts.need(path)
        return value

    return measured


def _frame_or_light(facts: Facts, way: str) -> float:
    facts.need("tow_bar.rule")
    light = towed_total_kg(facts, way) <= BUMPER_MOST_KG
    return 1.0 if light or not facts.need("tow_bar.pulls_on_bumpers") else 0.0


def vertical_load_rule(route: Route) -> Rule:
    """Vertical load on the receiver, on the road's steepest downgrade."""
    descent = -steepest_grade(route)
    return Rule(
        "vertical_load",
        "Vertical load on the receiver, hard braking",
        "mass",
        lambda facts, way: vertical_kg(facts, way, descent=descent),
        rating("hitch.receiver_vertical_rating"),
        PLATE,
        "Make the bar more level: the push of braking climbs a sloped bar; or a lighter bar.",
    )


LOADS_OF = {"bracket_floor": floor_loads, "fastening_towed": tow_bar_rule_loads}  # by limit
BRACKET_FLOOR = Rule(
    "bracket_floor",
    "Brackets, what couplings are asked",
    "share",
    lambda facts, way: 1.0 / weakest_of(facts, floor_loads(facts, way)).load_factor,
    lambda facts, way: 1.0,
    FLOOR_SOURCE,
    ADVICE,
)
FEDERAL_RULES = (
    Rule(
        "bar_strength",
        "Tow bar, strength along",
        "force",
        _asked_n,
        rating("tow_bar.strength_along"),
        FEDERAL_SOURCE,
        "Use a bar that holds more along, or one whose maker says that it meets 49 CFR 393.71; a weight to"
        " tow is no strength.",
    ),
    Rule(
        "fastening_towed",
        "Fastenings to the towed frame",
        "share",
        _fastening_used,
        lambda facts, way: 1.0,
        f"{FEDERAL_SOURCE}; it asks that nothing fails, here judged by yield, which comes first",
        ADVICE,
    ),
    Rule(
        "fastening_tow",
        "Fastenings to the tow frame",
        "force",
        _asked_n,
        rating("hitch.strength_along"),
        FEDERAL_SOURCE,
        "Use a receiver, ball mount and ball that hold more along; couplings of class 2 and up are made to"
        " hold 10,500 lbf or more.",
    ),
)


BAR_SAG = Rule(
    "bar_sag",
    "Sag of the tow bar",
    "size",
    _of_rule("tow_bar.sag"),
    lambda facts, way: MOST_SAG_M,
    f"{FEDERAL_SOURCE}; of bars that can be adjusted in length",
    "Take the play out of the bar's joints, or use a stiffer bar.",
    per_way=False,
)
TRACKING = Rule(
    "tracking",
    "Towed vehicle off the path",
    "size",
    _of_rule("tow_bar.off_track"),
    lambda facts, way: MOST_OFF_TRACK_M,
    FEDERAL_SOURCE,
    "Set both brackets as far from the middle, mend a bent bar, and look at tyre pressures and toe.",
    per_way=False,
)
BUMPER_BAR = Rule(
    "bumper_bar",
    "Bumper bar only for a light vehicle",
    YES_NO,
    lambda facts, way: 1.0,
    _frame_or_light,
    FEDERAL_SOURCE,
    "Fasten the bar to the frames, or tow a lighter vehicle.",
)


def bar_rule_words(facts: Facts) -> str:
    """One sentence on the rule that bar, fastenings and chains are held to, and whom it binds."""
    chosen = facts.need("tow_bar.rule")
    if chosen == FEDERAL:
        return "Bar held to the federal tow-bar rule, 49 CFR 393.71(h): it binds US motor carriers."
    if chosen == TRAILER:
        return "Bar held to no rule: the trailer rule, 49 CFR 393.70(d), speaks of chains and binds trailers."
    return "By your choice the bar is held to no rule: ask your law."


def envelope_rules(facts: Facts, route: Route) -> tuple[Rule, ...]:
    """Receiver and brackets; bar and fastenings where the rig is held to the federal tow-bar rule."""
    always = (vertical_load_rule(route), BRACKET_FLOOR)
    if not asks_federal(facts):
        return always
    sag = () if facts.have("tow_bar.adjustable") is False else (BAR_SAG,)
    bumper = () if _clearly_light(facts) else (BUMPER_BAR,)
    return (*always, *FEDERAL_RULES, *sag, TRACKING, *bumper)


def _clearly_light(facts: Facts) -> bool:
    """Whether the towed vehicle stays so far below the weight from which a bumper bar is out that no ± of its
    weights takes it there.
    """
    try:
        return max(towed_total_kg(facts, way) for way in WAYS) < 0.9 * BUMPER_MOST_KG
    except NotKnown:
        return False
