"""What would move a limit, in words that are true for the rig at hand: worked out wherever the rule's own
words would not hold for every rig.
"""

from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Any, NamedTuple

from towlib.handbook.bolt_tables import bolt_grades, bolt_sizes, bolt_strength, bolt_thread
from towlib.handbook.tables import chain_kinds
from towlib.limits.attachment_limits import thread_and_strength
from towlib.limits.chains_limits import chain_strength_n, links_wanted
from towlib.limits.coupling_limits import best_mount_both_ways_m, mount_words, ramp_sweeps
from towlib.limits.derived import DERIVED
from towlib.limits.electrics_limits import battery_advice
from towlib.limits.limit import WAYS, Limit, Rule, in_both_systems
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


Words = Callable[[Known], str]


def advice_for(rule: Rule, limit: Limit, facts: Facts) -> str:
    """What would move this limit of this rig; the rule's own words where they hold for every rig, or where
    too little is known.
    """
    if limit.demand is None or limit.capacity is None:
        return rule.advice
    if limit.lifted:
        return LIFTED.get(limit.key, rule.advice)
    if limit.key not in FOR_THIS_RIG:
        return rule.advice
    try:
        return FOR_THIS_RIG[limit.key](Known(rule, facts, limit.way, limit.demand, limit.capacity))
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


_NO_LINKS = (
    "No number of links both reaches and clears the road: move an anchor, or tie the slack up with a"
    " breakable string."
)


def _chain_length(limit: Known) -> str:
    fewest, most = links_wanted(limit.facts)
    if fewest > most:
        return f"It takes {fewest} links. {_NO_LINKS}"
    links = limit.facts.need("safety_chains.links")
    if links < fewest:
        return f"Add links: {fewest} to {most} each reach and clear the road."
    return f"Add links, up to {most} each." if links < most else "It has all the links that clear the road."


def _chain_clearance(limit: Known) -> str:
    fewest, most = links_wanted(limit.facts)
    if fewest > most:
        return _NO_LINKS
    links, tie = limit.facts.need("safety_chains.links"), "tie the slack up with a breakable string"
    if links > most:
        return f"Take out links, down to {most} each ({fewest} at the least), or {tie}."
    if links > fewest:
        return f"Take out links, down to {fewest} each, or {tie}."
    return f"The sharpest turn leaves no link to take out: {tie}."


def _dropped_bar(limit: Known) -> str:
    crossed, links = "safety_chains.crossed", "safety_chains.links"
    across, present = links_wanted(limit.facts, crossed=True).fewest, links_wanted(limit.facts).fewest
    cross = (f"Cross the chains under the bar, {across} links each", {crossed: True, links: across})
    fewer = (f"Take out links, down to {present} each", {links: present})
    for words, change in (fewer,) if limit.facts.need(crossed) else (cross, fewer):
        if limit.helped_by(change):
            room_m = limit.least_room(change)
            over = f"; that is still over by {in_both_systems(-room_m, 'size')}" if room_m < 0 else ""
            return f"{words}: fewer do not reach or bind{over}."
    height = "safety_chains.receiver_anchor_height"
    if limit.helped_by({height: limit.facts.need(height) + INCH_M}):
        return "No link is left to take out: anchors higher on the receiver."
    return "With these anchors no number of links holds the nose higher: other anchors."


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
        found = bolt_strength(grade, thread.diameter_m)
        same_marks = ("." in grade) == ("." in facts.need("bracket.bolt_grade"))
        if found and same_marks and found.yield_pa > strength.yield_pa:
            return {"bracket.bolt_grade": grade}
    return {}


def _next_size(facts: Facts) -> Mapping[str, Any]:
    thread, _ = thread_and_strength(facts)
    larger = [
        size
        for size in bolt_sizes()
        if (other := bolt_thread(size))
        and other.series == thread.series
        and other.diameter_m > thread.diameter_m
        and bolt_strength(facts.need("bracket.bolt_grade"), other.diameter_m)
    ]
    return {"bracket.bolt_size": larger[0]} if larger else {}


_WIDER = ("a wider pattern", _times(1.25, "bracket.bolts_across", "bracket.bolts_up"))
BRACKET_MEANS: dict[str, Means] = {
    "bracket_bolts": (
        ("bolts of a higher grade", _stronger_grade),
        ("thicker bolts", _next_size),
        ("the shank in the shear plane", lambda facts: {"bracket.threads_in_plane": False}),
        _WIDER,
    ),
    "bracket_plate": (
        ("thicker plate", _times(1.25, "bracket.plate_thickness")),
        ("stronger steel", _times(1.25, "bracket.plate_yield")),
        ("holes further from the edge", _times(1.25, "bracket.edge_distance")),
        ("a wider plate", _times(1.25, "bracket.plate_width")),
        _WIDER,
    ),
    "bracket_pin": (
        ("a thicker pin", _times(1.25, "bracket.pin_diameter")),
        ("a pin of stronger steel", _times(1.25, "bracket.pin_yield")),
        ("lugs that hold the pin on both sides", lambda facts: {"bracket.pin_is_held_both_sides": True}),
    ),
}


def _bracket(limit: Known) -> str:
    """What this bracket gains by, of what such a part can gain by."""
    means = [words for words, change in BRACKET_MEANS[limit.rule.key] if limit.helped_by(change(limit.facts))]
    return f"{_listed([*means, MAKERS_BRACKET])}.".capitalize()


def _bolt_tension(limit: Known) -> str:
    thread, _ = thread_and_strength(limit.facts)
    most_n_m = torque_n_m(
        limit.capacity, diameter_m=thread.diameter_m, nut_factor=limit.facts.need("bracket.nut_factor")
    )
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
    "chain_strength": _chain_strength,
    "chain_length": _chain_length,
    "chain_clearance": _chain_clearance,
    "dropped_bar": _dropped_bar,
    "bracket_bolts": _bracket,
    "bracket_plate": _bracket,
    "bracket_pin": _bracket,
    "bolt_tension": _bolt_tension,
    "grip": _of_way(grip_advice),
    "stop_level": _of_way(stop_advice),
    "stop_down": _of_way(stop_advice),
    "straight_running": _of_way(straight_running_advice),
    "battery_hours": _of_way(battery_advice),
}
