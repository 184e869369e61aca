"""The brackets on the towed vehicle: bolts, pin and plate against the heaviest load of the road, and the
bolts' torque.
"""

from collections.abc import Callable
from typing import NamedTuple

from towlib.handbook.bolt_tables import BoltStrength, BoltThread, bolt_strength, bolt_thread
from towlib.limits.envelope import bracket_loads, heaviest
from towlib.limits.limit import Rule
from towlib.physics.hitch.attachment import ACROSS, Attachment, BoltPlace, first_to_yield
from towlib.physics.hitch.bolts import bolt_loads_n, preload_n, shear_load_n
from towlib.rig.facts import Facts, NotKnown
from towlib.road.route import Route
from towlib.units import show

PLATE_PARTS = ("bolt holes (bearing)", "plate edge (tear-out)", "plate beside the holes")
MODEL = "elastic bolt group, yield of each part; welds, cracks and the frame behind are not seen"
ADVICE = "A maker's bracket rated for the weight."


class Weakest(NamedTuple):
    """The smallest load factor of some parts, and where it comes from."""

    load_factor: float
    part: str
    case: str


def thread_and_strength(facts: Facts) -> tuple[BoltThread, BoltStrength]:
    """The bolts' thread and grade from the tables; NotKnown when they do not list it."""
    size, grade = facts.need("bracket.bolt_size"), facts.need("bracket.bolt_grade")
    thread = bolt_thread(size)
    strength = bolt_strength(grade, thread.diameter_m) if thread else None
    if thread is None or strength is None:
        raise NotKnown(f"no strength is listed for a bolt {size} of grade {grade}")
    return thread, strength


def bolt_places(facts: Facts) -> tuple[BoltPlace, ...]:
    """Where the bolts of one bracket sit from the bar's pin; a pattern may be stretched, shifted, and turned
    to run the other way.
    """
    bolts = facts.need("bracket.bolts")
    behind, outboard = [bolt.behind_pin for bolt in bolts], [bolt.outboard_of_pin for bolt in bolts]
    run = facts.moved("bracket.bolts_run")
    if run is not None and facts.rig.bracket.bolts_run not in (None, run):
        back, out = sum(behind) / len(bolts), sum(outboard) / len(bolts)
        behind, outboard = [back + y - out for y in outboard], [out + x - back for x in behind]
    flat, deep = (behind, outboard) if _run(facts) == ACROSS else (outboard, behind)
    flat = _moved_row(facts, flat, "bracket.bolts_across", None)
    deep = _moved_row(facts, deep, None, "bracket.pin_ahead_of_plate")
    behind, outboard = (flat, deep) if _run(facts) == ACROSS else (deep, flat)
    above = _moved_row(
        facts, [-bolt.above_pin for bolt in bolts], "bracket.bolts_up", "bracket.pin_above_bolts"
    )
    return tuple(BoltPlace(x, -y, z) for x, y, z in zip(behind, above, outboard, strict=True))


def level_and_off_plate_m(facts: Facts) -> tuple[list[float], list[float]]:
    """Places of the bolts from the pin: level along the plate, and square to the plate."""
    places = bolt_places(facts)
    behind, outboard = [bolt.behind_pin_m for bolt in places], [bolt.outboard_of_pin_m for bolt in places]
    return (behind, outboard) if _run(facts) == ACROSS else (outboard, behind)


def _run(facts: Facts) -> str | None:
    run: str | None = facts.have("bracket.bolts_run")
    return run


def _moved_row(facts: Facts, places: list[float], spread: str | None, middle: str | None) -> list[float]:
    wide = facts.moved(spread) if spread else None
    at = facts.moved(middle) if middle else None
    if wide is None and at is None:
        return places
    mean, width = sum(places) / len(places), max(places) - min(places)
    scale = 1.0 if wide is None or not width else wide / width
    return [(mean if at is None else at) + scale * (place - mean) for place in places]


def _bolts(facts: Facts) -> Attachment:
    thread, strength = thread_and_strength(facts)
    shear_n = shear_load_n(
        thread.diameter_m,
        thread.pitch_m,
        series=thread.series,
        strength_pa=strength.yield_pa,
        threads_in_plane=facts.need("bracket.threads_in_plane"),
    )
    return Attachment(
        bolt_places(facts),
        facts.need("bracket.bolts_run"),
        thread.diameter_m,
        strength.yield_pa * thread.stress_area_m2,
        shear_n,
    )


def _plate(facts: Facts) -> Attachment:
    names = ("plate_thickness", "plate_yield", "hole_diameter", "edge_distance", "plate_width")
    thickness, strength, hole, edge, width = (facts.need(f"bracket.{name}") for name in names)
    return _bolts(facts)._replace(
        plate_thickness_m=thickness,
        plate_yield_pa=strength,
        hole_diameter_m=hole,
        edge_distance_m=edge,
        plate_width_m=width,
    )


def _pin(facts: Facts) -> Attachment:
    return Attachment(
        pin_diameter_m=facts.need("bracket.pin_diameter"),
        pin_yield_pa=facts.need("bracket.pin_yield"),
        pin_planes=2 if facts.need("bracket.pin_is_held_both_sides") else 1,
    )


GROUPS: dict[str, tuple[Callable[[Facts], Attachment], tuple[str, ...]]] = {
    "bolts": (_bolts, ("bolts",)),
    "plate": (_plate, PLATE_PARTS),
    "pin": (_pin, ("pin",)),
}


def known_attachment(facts: Facts) -> tuple[Attachment, tuple[str, ...]]:
    """One bracket as far as it is known, and what is missing of the rest."""
    found, missing = Attachment(), []
    for make, _ in GROUPS.values():
        try:
            made = make(facts)._asdict()
        except NotKnown as unknown:
            missing.append(unknown.reason)
            continue
        found = found._replace(**{name: value for name, value in made.items() if value is not None})
    return found, tuple(dict.fromkeys(missing))


def weakest(facts: Facts, route: Route, way: str, group: str) -> Weakest:
    """The part of a group that yields first, and in which case; NotKnown when any of them is not known."""
    return facts.once(("bracket", route, way, group), lambda: _weakest(facts, route, way, group))


def _weakest(facts: Facts, route: Route, way: str, group: str) -> Weakest:
    make, names = GROUPS[group]
    attachment = make(facts)
    found: list[Weakest] = []
    for case, loads in heaviest(bracket_loads(facts, route, way)):
        for part in first_to_yield([(loads.left, 1.0), (loads.right, -1.0)], attachment, names=names):
            if part.load_factor is None:
                raise NotKnown(part.why)
            found.append(Weakest(part.load_factor, part.name, case.name))
    return min(found)


def attachment_rules(route: Route) -> tuple[Rule, ...]:
    """The limits of brackets, which depend on the road's steepest grades."""

    def used(group: str) -> Callable[[Facts, str], float]:
        return lambda facts, way: (
            facts.need("bracket.factor_asked") / weakest(facts, route, way, group).load_factor
        )

    def rule(group: str, title: str) -> Rule:
        return Rule(f"bracket_{group}", title, "share", used(group), lambda facts, way: 1.0, MODEL, ADVICE)

    return (
        rule("bolts", "Bracket bolts, share of yield with reserve"),
        rule("plate", "Bracket plate, share of yield with reserve"),
        rule("pin", "Bracket pin, share of yield with reserve"),
        Rule(
            "bolt_tension",
            "Bolt tension at the torque given",
            "force",
            lambda facts, way: preload_of_torque_n(facts),
            lambda facts, way: _proof_n(facts),
            "proof load of the bolt's grade",
            "Use the bracket maker's torque; a bolt tightened past its proof load stretches for good.",
            per_way=False,
        ),
    )


def preload_of_torque_n(facts: Facts) -> float:
    """Tension of one bracket bolt at the torque given; dry or oiled threads scatter it widely."""
    thread, _ = thread_and_strength(facts)
    return preload_n(
        facts.need("bracket.torque"),
        diameter_m=thread.diameter_m,
        nut_factor=facts.need("bracket.nut_factor"),
    ).middle_n


def _proof_n(facts: Facts) -> float:
    thread, strength = thread_and_strength(facts)
    return bolt_loads_n(
        thread.stress_area_m2,
        proof_pa=strength.proof_pa,
        yield_pa=strength.yield_pa,
        tensile_pa=strength.tensile_pa,
    ).proof_n


def first_to_yield_words(facts: Facts, route: Route) -> str:
    """One sentence on the bracket's weakest part; what is missing otherwise."""
    try:
        first = min(weakest(facts, route, way, group) for way in ("out", "back") for group in GROUPS)
    except (NotKnown, ValueError) as missing:
        return f"Bracket, first part to yield: not known ({missing})."
    return (
        f"Bracket, first part to yield: {first.part}, at {first.load_factor:.1f} times the load of"
        f" {first.case}."
    )


def torque_words(facts: Facts, system: str) -> str:
    """Which bolts to tighten again at the first stop, and to what."""
    size, torque = facts.have("bracket.bolt_size"), facts.have("bracket.torque")
    if size is None:
        return "bracket and ball-mount bolts at the makers' torque"
    if torque is None:
        return f"bracket bolts {size} at the maker's torque (not known here); ball-mount bolts at theirs"
    return (
        f"bracket bolts {size} at {show(torque, 'torque', system)}; ball-mount bolts at their maker's torque"
    )
