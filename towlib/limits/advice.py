"""What would move a limit, in words that are true for the rig at hand: worked out wherever the rule's own
words would not hold for every rig.
"""

from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from types import MappingProxyType
from typing import Any, NamedTuple

from towlib.handbook.bolt_tables import bolt_grades, bolt_sizes, bolt_strength, bolt_thread
from towlib.handbook.tables import chain_kinds
from towlib.limits.attachment_limits import GROUPS, thread_and_strength
from towlib.limits.chains_limits import (
    chain_strength_n,
    fewest_links,
    laid_words,
    links_wanted,
    many,
    no_links_words,
)
from towlib.limits.coupler_limits import size_advice
from towlib.limits.coupling_limits import best_mount_both_ways_m, mount_words, ramp_sweeps
from towlib.limits.decision import plain
from towlib.limits.derived import DERIVED
from towlib.limits.electrics_limits import battery_advice
from towlib.limits.envelope_limits import LOADS_OF, weakest_of
from towlib.limits.joint_limits import torque_scatter
from towlib.limits.limit import WAYS, WITHIN, Limit, Rule, in_both_systems
from towlib.limits.loads import ball_load_kg, tow_total_kg, towed_total_kg
from towlib.limits.road_limits import grip_advice
from towlib.limits.stopping_limits import stop_advice
from towlib.limits.turning_limits import straight_running_advice
from towlib.physics.basics import cases as math
from towlib.physics.hitch.bolts import torque_n_m
from towlib.rig.facts import Facts, NotKnown

INCH_M = 0.0254
MAKERS_BRACKET = "a maker's bracket rated for the weight"
_MOVES = 1e-3  # of a demand: what moves a limit less than that is no advice


class Known(NamedTuple):
    """A limit that can be worked out, on the way it is told of."""

    rule: Rule
    facts: Facts
    way: str
    demand: float
    capacity: float
    others: Mapping[str, Rule] = MappingProxyType({})

    def room(self, values: Mapping[str, Any], way: str) -> float:
        """Capacity less demand with some values changed."""
        changed = self.facts.other(values)
        return float(self.rule.capacity(changed, way) - self.rule.demand(changed, way))

    def least_room(self, values: Mapping[str, Any]) -> float:
        """The same on the way that has less of it."""
        return min(self.room(values, way) for way in WAYS)

    def helped_by(self, values: Mapping[str, Any]) -> bool:
        """Whether a change gives it more room; what cannot be worked out does not."""
        try:
            room = self.room(values, self.way)
        except (NotKnown, ValueError):
            return False
        return room - (self.capacity - self.demand) > _MOVES * abs(self.demand)

    def holds_with(self, values: Mapping[str, Any]) -> bool:
        """Whether a change puts it within on both ways, and puts none over of those that share its parts."""
        try:
            return self.least_room(values) >= 0.0 and not self.puts_over(values)
        except (NotKnown, ValueError):
            return False

    def puts_over(self, values: Mapping[str, Any], keys: Sequence[str] = ()) -> bool:
        """Whether a change puts over, or leaves not known, another limit that is within: one of those named,
        or of those that its fields are known to harm.
        """
        named = {*keys, *(HARMS[path] for path in values if path in HARMS)} - {self.rule.key}
        changed = self.facts.other(values)
        return any(
            plain(rule, changed).plain != WITHIN and plain(rule, self.facts).plain == WITHIN
            for rule in (self.others[key] for key in named & self.others.keys())
        )


Words = Callable[[Known], str]


def advice_for(
    rule: Rule, limit: Limit, facts: Facts, others: Mapping[str, Rule] = MappingProxyType({})
) -> str:
    """What would move this limit of this rig; the rule's own words where they hold for every rig, or where
    too little is known. No change is named that puts over one of the others, by their keys.
    """
    if limit.demand is None or limit.capacity is None:
        return rule.advice
    if limit.lifted:
        return LIFTED.get(limit.key, rule.advice)
    if limit.key not in FOR_THIS_RIG:
        return rule.advice
    try:
        known = Known(rule, facts, limit.way, limit.demand, limit.capacity, others)
        return FOR_THIS_RIG[limit.key](known)
    except (NotKnown, ValueError):
        return rule.advice


# ---- weights ----

_BEHIND = "Move cargo forwards, or take out what lies behind the rear axle: it lifts the front."
_AHEAD = "Move cargo rearwards, or take off what lies ahead of the front axle: it lifts the rear."
LIFTED = {
    "tow_front_gawr": _BEHIND,
    "front_tyres": _BEHIND,
    "towed_front_gawr": _BEHIND,
    "towed_front_tyres": _BEHIND,
    "tow_rear_gawr": _AHEAD,
    "rear_tyres": _AHEAD,
    "towed_rear_gawr": _AHEAD,
    "towed_rear_tyres": _AHEAD,
}


def _tyres(path: str, cargo: str) -> Words:
    """Raise the pressure while that gives the tyres more; after that only others do."""

    def words(limit: Known) -> str:
        full_pa = limit.facts.need(f"{path}.full_load_pressure")
        if limit.facts.need(f"{path}.pressure") >= full_pa:
            return f"More pressure gives these tyres no more: tyres of a higher load index, or {cargo}."
        full_kg = float(limit.rule.capacity(limit.facts.other({f"{path}.pressure": full_pa}), limit.way))
        enough = "" if full_kg >= limit.demand else ", which is still too little"
        return (
            f"Raise the tyre pressure within what the makers allow: at {in_both_systems(full_pa, 'pressure')}"
            f" the pair carries {in_both_systems(full_kg, 'mass')}{enough}; or {cargo}."
        )

    return words


def _tow_rating(limit: Known) -> str:
    braked = limit.facts.have("tow_vehicle.tow_rating_braked")
    if limit.facts.need("towed_vehicle.brakes_fitted"):
        return "Tow a lighter vehicle, or use a stronger tow vehicle."
    if braked is None:
        return limit.rule.advice
    if braked <= limit.capacity:
        return "Tow a lighter vehicle, or use a stronger tow vehicle: brakes would raise no rating."
    return (
        "Tow a lighter vehicle, fit brakes that work on it (with them the maker rates you for"
        f" {in_both_systems(braked, 'mass')}), or use a stronger tow vehicle."
    )


# ---- bar and ball ----


def _bar_slope(limit: Known) -> str:
    besides = "brackets nearer the ball's height, or a longer bar"
    best_m = best_mount_both_ways_m(limit.facts)
    left = limit.least_room({"hitch.ball_mount_change": best_m})
    if left <= limit.least_room({}) + 1e-9:
        return f"No ball mount of a step that is sold makes it more level: {besides}."
    slope = math.degrees(limit.capacity - left)
    return (
        f"{mount_words(best_m)}, if its maker rates one for the weight, leaves {slope:.1f}°"
        f"{'' if left >= 0 else f', which is still over: {besides}, besides'}."
    )


def _vertical_load(limit: Known) -> str:
    standing_kg, rated_kg = ball_load_kg(limit.facts), limit.capacity
    climbs_kg = limit.demand - standing_kg
    if standing_kg >= rated_kg or climbs_kg <= _MOVES * standing_kg:
        return "The bar's own weight is all of it: a lighter bar, or a receiver rated for more."
    steep = limit.facts.other({"tow_bar.slope": math.pi / 4.0})  # its tangent is 1: the whole push climbs
    push_kg = max(float(limit.rule.demand(steep, way)) for way in WAYS) - standing_kg
    level = math.degrees(math.atan((rated_kg - standing_kg) / push_kg))
    return f"Make the bar more level, up to {level:.1f}°: the push of braking climbs a sloped bar."


def _ramp_clearance(limit: Known) -> str:
    dip, crest = (
        min(over.hitch_clearance_m, over.bar_clearance_m) for over in ramp_sweeps(limit.facts, limit.way)
    )
    means = ["Take the ramp elsewhere", *(["lay boards in its foot"] if dip <= crest else [])]
    if limit.facts.need("hitch.ball_mount_change") < 0:
        means.append("use a ball mount with less drop, if it is what hangs lowest")
    return f"{_listed(means)}."


def _d_value(limit: Known) -> str:
    heavy = [
        words
        for words, path, total_kg in (
            ("the tow vehicle", "tow_vehicle.gvwr", tow_total_kg(limit.facts, limit.way)),
            ("the towed one", "towed_vehicle.gvwr", towed_total_kg(limit.facts, limit.way)),
        )
        if total_kg > limit.facts.need(path)
    ]
    if heavy:
        over = " and ".join(heavy)
        return f"Fit a coupling with a higher D-value, or take weight out of {over}, which is over its GVWR."
    return "Fit a coupling with a higher D-value: each GVWR counts, so that less cargo changes nothing."


# ---- chains ----


def _chain_strength(limit: Known) -> str:
    """The chain that holds more than the one fitted, and enough: of its size or the next larger one, in every
    grade that does.
    """
    least = max(limit.demand, limit.capacity * (1.0 + _MOVES))
    enough: dict[str, list[str]] = {}
    for size, grade in chain_kinds():
        kind = {"safety_chains.size": size, "safety_chains.grade": grade}
        if chain_strength_n(limit.facts.other(kind), limit.way) >= least:
            enough.setdefault(size, []).append(grade)
    law = "ask which comparison your law makes"
    if not enough:
        return f"No chain of the table holds it: tow a lighter vehicle; {law}."
    fitted = Fraction(limit.facts.need("safety_chains.size"))
    size = min(enough, key=lambda each: (Fraction(each) < fitted, Fraction(each)))
    return f"Fit {size} in of grade {_listed(enough[size])}, marked on the links; {law}."


LINK_LIMITS = (
    "chain_length",
    "chain_clearance",
    "dropped_bar",
    "chain_slack",
)  # that a link more or less moves
_TIE = "tie the slack up with a breakable string"


def _chain_length(limit: Known) -> str:
    wanted, links = links_wanted(limit.facts), limit.facts.need("safety_chains.links")
    most = min(wanted.most, wanted.allowed)
    if wanted.fewest > wanted.most:
        return f"It takes {wanted.fewest} links. {no_links_words(wanted)}"
    if links < wanted.fewest:
        return (
            f"Add links: {many(wanted.fewest, most)} each reach, clear the road and keep a dropped bar off"
            " it."
        )
    if links < most:
        return f"Add links, up to {most} each."
    return "It has all the links that the other limits of the chains leave."


def _chain_clearance(limit: Known) -> str:
    wanted, links = links_wanted(limit.facts), limit.facts.need("safety_chains.links")
    if wanted.clear < wanted.fewest:
        return no_links_words(wanted)
    if links <= wanted.fewest:
        return f"The sharpest turn leaves no link to take out: {_TIE}."
    most = max(wanted.fewest, min(wanted.most, wanted.allowed))
    if wanted.fewest < most < links:
        return f"Take out links, down to {most} each ({wanted.fewest} at the least), or {_TIE}."
    return f"Take out links, down to {wanted.fewest} each, or {_TIE}."


def _dropped_bar(limit: Known) -> str:
    crossed, links = "safety_chains.crossed", "safety_chains.links"
    across, present = links_wanted(limit.facts, crossed=True), links_wanted(limit.facts)
    cross = (
        f"Cross the chains under the bar, {across.fewest} links each",
        {crossed: True, links: across.fewest},
    )
    fewer = (f"Take out links, down to {present.fewest} each", {links: present.fewest})
    for words, change in (fewer,) if limit.facts.need(crossed) else (cross, fewer):
        if limit.helped_by(change) and not limit.puts_over(change, LINK_LIMITS):
            room_m = limit.least_room(change)
            over = f"; that is still over by {in_both_systems(-room_m, 'size')}" if room_m < 0 else ""
            return f"{words}: fewer do not reach or bind{over}."
    height = "safety_chains.receiver_anchor_height"
    higher = {height: limit.facts.need(height) + INCH_M}
    if limit.helped_by(higher) and not limit.puts_over(higher, LINK_LIMITS):
        return "No link is left to take out: anchors higher on the receiver."
    return "With these anchors no number of links holds the nose higher and clears the road: other anchors."


def _chain_slack(limit: Known) -> str:
    fewest, links = fewest_links(limit.facts), limit.facts.need("safety_chains.links")
    if links <= fewest:
        return "It has no link more than the sharpest turn asks for."
    return f"Take out links, down to {fewest} each: fewer do not reach or bind."


# ---- brackets ----

Means = tuple[tuple[str, Callable[[Facts], Mapping[str, Any]]], ...]


def _times(factor: float, *paths: str) -> Callable[[Facts], Mapping[str, Any]]:
    """Fields, or quantities that follow from several, multiplied."""
    return lambda facts: {
        path: factor * (DERIVED[path].of(facts) if path in DERIVED else facts.need(path)) for path in paths
    }


def _stronger_grade(facts: Facts) -> Mapping[str, Any]:
    thread, strength = thread_and_strength(facts)
    for grade in bolt_grades():
        found = bolt_strength(grade, thread.diameter_m, facts.have("bracket.bolt_length"))
        same_marks = ("." in grade) == ("." in facts.need("bracket.bolt_grade"))
        if found and same_marks and found.yield_pa > strength.yield_pa:
            return {"bracket.bolt_grade": grade}
    return {}


def _larger_bolts(facts: Facts) -> list[str]:
    thread, _ = thread_and_strength(facts)
    grade, length = facts.need("bracket.bolt_grade"), facts.have("bracket.bolt_length")
    return [
        size
        for size in bolt_sizes()
        if (other := bolt_thread(size))
        and other.series == thread.series
        and other.diameter_m > thread.diameter_m
        and bolt_strength(grade, other.diameter_m, length)
    ]


def _next_size(facts: Facts) -> Mapping[str, Any]:
    larger = _larger_bolts(facts)
    return {"bracket.bolt_size": larger[0]} if larger else {}


_THICKER = ("thicker plate", _times(1.25, "bracket.plate_thickness"))
_LUGS = (
    ("thicker lugs", _times(1.25, "bracket.lug_thickness")),
    ("wider lugs", _times(1.25, "bracket.lug_width")),
)
_WELDS = (
    ("larger welds", _times(1.25, "bracket.weld_leg")),
    ("longer welds", _times(1.25, "bracket.weld_length")),
)
_NARROWER = ("supports of the plate nearer its lugs", _times(0.8, "bracket.plate_free_width"))
_BROADER = ("a wider plate", _times(1.25, "bracket.plate_width"))
_STEEL = ("stronger steel", _times(1.25, "bracket.plate_yield"))
_WIDER = ("a wider pattern", _times(1.25, "bracket.bolts_across", "bracket.bolts_up"))
BRACKET_MEANS: dict[str, Means] = {
    "bracket_bolts": (
        ("bolts of a higher grade", _stronger_grade),
        ("thicker bolts", _next_size),
        ("the shank in the shear plane", lambda facts: {"bracket.threads_in_plane": False}),
        _WIDER,
    ),
    "bracket_plate": (
        _THICKER,
        _STEEL,
        ("holes further from the edge", _times(1.25, "bracket.edge_distance")),
        _BROADER,
        _WIDER,
    ),
    "bracket_pin": (
        ("a thicker pin", _times(1.25, "bracket.pin_diameter")),
        ("a pin of stronger steel", _times(1.25, "bracket.pin_yield")),
        ("lugs that hold the pin on both sides", lambda facts: {"bracket.pin_is_held_both_sides": True}),
    ),
    "bracket_bending": (_THICKER, *_LUGS, _NARROWER, _STEEL, _BROADER),
    "bracket_weld": (*_WELDS, _LUGS[0]),
    "bracket_slip": (
        ("more torque", _times(1.1, "bracket.torque")),
        ("bare, dry faces", _times(1.25, "bracket.plate_friction")),
        ("a plate on either side of the frame", lambda facts: {"bracket.joint_faces": 2}),
        _WIDER,
    ),
    "bracket_fatigue": (_THICKER, *_LUGS, _NARROWER, _BROADER, *_WELDS),
}
# what a change for the better may harm: a longer arm, a tighter bolt, less tension at the same torque
HARMS = {
    "bracket.lug_thickness": "bracket_pin",
    "bracket.torque": "bolt_tension",
    "bracket.bolt_size": "bracket_slip",
}
# steps in which they are sold, and in which welds are drawn: common practice, no source
PLATES = (
    {"6 mm": 6.0, "8 mm": 8.0, "10 mm": 10.0, "12 mm": 12.0, "15 mm": 15.0, "20 mm": 20.0},
    {"1/4 in": 6.35, "5/16 in": 7.9375, "3/8 in": 9.525, "1/2 in": 12.7, "5/8 in": 15.875, "3/4 in": 19.05},
)
PINS = (
    {"12 mm": 12.0, "16 mm": 16.0, "19 mm": 19.0, "22 mm": 22.0, "25 mm": 25.0},
    {"1/2 in": 12.7, "5/8 in": 15.875, "3/4 in": 19.05, "7/8 in": 22.225, "1 in": 25.4},
)
LEGS = (
    {"4 mm": 4.0, "5 mm": 5.0, "6 mm": 6.0, "8 mm": 8.0, "10 mm": 10.0, "12 mm": 12.0},
    {"3/16 in": 4.7625, "1/4 in": 6.35, "5/16 in": 7.9375, "3/8 in": 9.525, "1/2 in": 12.7},
)
# for each limit: what it is called, its field and its steps in mm, metric and inch
SOLD: dict[str, tuple[tuple[str, str, tuple[dict[str, float], dict[str, float]]], ...]] = {
    "bracket_plate": (("plate", "bracket.plate_thickness", PLATES),),
    "bracket_bending": (
        ("plate", "bracket.plate_thickness", PLATES),
        ("lugs", "bracket.lug_thickness", PLATES),
    ),
    "bracket_pin": (("a pin", "bracket.pin_diameter", PINS),),
    "bracket_weld": (("welds", "bracket.weld_leg", LEGS),),
    "bracket_fatigue": (
        ("plate", "bracket.plate_thickness", PLATES),
        ("lugs", "bracket.lug_thickness", PLATES),
        ("welds", "bracket.weld_leg", LEGS),
    ),
}


def _bracket(limit: Known) -> str:
    """What this bracket gains by, of what such a part can gain by."""
    means = []
    for words, change in BRACKET_MEANS[limit.rule.key]:
        try:
            values = change(limit.facts)
        except NotKnown:
            continue
        if limit.helped_by(values) and not limit.puts_over(values):
            means.append(words)
    said = _listed([*means, MAKERS_BRACKET])
    return f"{said[0].upper()}{said[1:]}.{_sizes_that_do(limit)}"


def _sizes_that_do(limit: Known) -> str:
    """The smallest sizes that are sold with which it holds, metric or inch; empty where it holds already."""
    if limit.least_room({}) >= 0.0:
        return ""
    if limit.rule.key == "bracket_bolts":
        sizes = _larger_bolts(limit.facts)
        enough = next((size for size in sizes if limit.holds_with({"bracket.bolt_size": size})), None)
        return f" Of what is sold, bolts {enough} of this grade would do." if enough else ""
    found = [words for system in (0, 1) if (words := _sizes_of(limit, system))]
    return f" Of what is sold, {', or '.join(found)}{',' * (len(found) > 1)} would do." if found else ""


def _sizes_of(limit: Known, system: int) -> str:
    fitted = {path: limit.facts.have(path) for _, path, _ in SOLD.get(limit.rule.key, ())}
    steps = {
        path: [(None, fitted[path])] * (fitted[path] is not None)
        + [(name, mm / 1e3) for name, mm in sold[system].items() if mm / 1e3 > (fitted[path] or 0.0)]
        for _, path, sold in SOLD.get(limit.rule.key, ())
        if fitted[path] is not None
    }
    most = {path: each[-1] for path, each in steps.items()}
    for path, each in steps.items():
        others = {other: size for other, (_, size) in most.items() if other != path}
        enough = next((step for step in each if limit.holds_with({**others, path: step[1]})), None)
        if enough is None:
            return ""
        most[path] = enough
    named = {path: words for words, path, _ in SOLD[limit.rule.key]} if steps else {}
    return " and ".join(f"{named[path]} of {name}" for path, (name, _) in most.items() if name)


_FURTHER_APART: Means = (("brackets further apart", _times(1.05, "towed_vehicle.bracket_spread")),)


def _whole_bracket(limit: Known) -> str:
    """What both brackets gain by: only what strengthens the part that yields first can help them."""
    first = weakest_of(limit.facts, LOADS_OF[limit.rule.key](limit.facts, limit.way)).part
    group = next(group for group, (_, names) in GROUPS.items() if first in names)
    means = (*_FURTHER_APART, *BRACKET_MEANS[f"bracket_{group}"])
    helps = [words for words, change in means if limit.helped_by(change(limit.facts))]
    return f"{_listed([*helps, MAKERS_BRACKET])}.".capitalize()


def _bolt_tension(limit: Known) -> str:
    thread, _ = thread_and_strength(limit.facts)
    factor = limit.facts.need("bracket.nut_factor") * (1.0 - torque_scatter(limit.facts))
    most_n_m = torque_n_m(limit.capacity, diameter_m=thread.diameter_m, nut_factor=factor)
    return (
        f"Use the bracket maker's torque; these bolts reach their proof load at"
        f" {in_both_systems(most_n_m, 'torque')}, past which they stretch for good."
    )


def _listed(each: list[str]) -> str:
    """One, two or more things as a sentence has them."""
    return " or ".join([*([", ".join(each[:-1])] if each[1:] else []), each[-1]])


def _of_way(words: Callable[[Facts, str], str]) -> Words:
    """Words that a subject's own module has, for the way the limit is told of."""
    return lambda known: words(known.facts, known.way)


FOR_THIS_RIG: dict[str, Words] = {
    "tow_rating": _tow_rating,
    "front_tyres": _tyres("tow_vehicle.front_tyres", "move cargo rearwards"),
    "rear_tyres": _tyres("tow_vehicle.rear_tyres", "move cargo forwards"),
    "towed_front_tyres": _tyres("towed_vehicle.tyres", "move cargo in the towed vehicle rearwards"),
    "towed_rear_tyres": _tyres("towed_vehicle.tyres", "take cargo out of the towed vehicle"),
    "bar_slope": _bar_slope,
    "vertical_load": _vertical_load,
    "ramp_clearance": _ramp_clearance,
    "d_value": _d_value,
    "coupler_size": lambda known: size_advice(known.facts),
    "chain_strength": _chain_strength,
    "chain_length": _chain_length,
    "chain_clearance": _chain_clearance,
    "dropped_bar": _dropped_bar,
    "chain_slack": _chain_slack,
    "chains_laid": lambda known: laid_words(known.facts),
    "bracket_bolts": _bracket,
    "bracket_plate": _bracket,
    "bracket_pin": _bracket,
    "bracket_bending": _bracket,
    "bracket_weld": _bracket,
    "bracket_slip": _bracket,
    "bracket_fatigue": _bracket,
    "bracket_floor": _whole_bracket,
    "fastening_towed": _whole_bracket,
    "bolt_tension": _bolt_tension,
    "grip": _of_way(grip_advice),
    "stop_level": _of_way(stop_advice),
    "stop_down": _of_way(stop_advice),
    "straight_running": _of_way(straight_running_advice),
    "battery_hours": _of_way(battery_advice),
}
