"""The brackets on the towed vehicle: bolts, pin, plate, lugs and weld against the heaviest load of the
road.
"""

from collections.abc import Callable
from typing import NamedTuple

from towlib.handbook.bolt_tables import (
    BoltStrength,
    BoltThread,
    bolt_strength,
    bolt_thread,
    length_counts,
)
from towlib.limits.envelope import Loaded, bracket_loads, heaviest
from towlib.limits.limit import Rule
from towlib.physics.hitch.attachment import (
    ACROSS,
    ALONG,
    LUG_ROOT,
    PLATE_BENDS,
    WELD,
    Attachment,
    BoltPlace,
    longest_row,
    plate_view,
    weakest_under,
)
from towlib.physics.hitch.bolt_group import BoltForce, bolt_forces
from towlib.physics.hitch.bolts import shear_load_n
from towlib.physics.hitch.load_cases import Force
from towlib.rig.facts import Facts, NotKnown
from towlib.road.route import Route

PLATE_PARTS = ("bolt holes (bearing)", "plate edge (tear-out)", "plate beside the holes")
MODEL = "yield over the reserve asked, bending and prying counted; the frame and the bar's eye are not seen"
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
    length = facts.need("bracket.bolt_length") if length_counts(grade) else None
    strength = bolt_strength(grade, thread.diameter_m, length) if thread else None
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


def _pattern(facts: Facts) -> Attachment:
    """The bolts' places; how many stand in a row is counted once, where they lie in one plane."""
    places, run = bolt_places(facts), facts.need("bracket.bolts_run")

    def counted() -> int | None:
        try:
            return longest_row(plate_view(Force(0.0, 0.0, 0.0), places, bolts_run=run, side=1.0))
        except ValueError:
            return None

    return Attachment(places, run, longest_row=facts.once("longest row", counted))


def bolt_group(facts: Facts) -> Attachment:
    """The bolts of one bracket; where they run fore and aft, with what the plate pries on them."""
    thread, strength = thread_and_strength(facts)
    shear_n = shear_load_n(
        thread.diameter_m,
        thread.pitch_m,
        series=thread.series,
        strength_pa=strength.yield_pa,
        threads_in_plane=facts.need("bracket.threads_in_plane"),
    )
    bolts = _pattern(facts)._replace(
        bolt_diameter_m=thread.diameter_m,
        bolt_tension_n=strength.yield_pa * thread.stress_area_m2,
        bolt_shear_n=shear_n,
    )
    if bolts.bolts_run != ALONG:
        return bolts
    return bolts._replace(
        plate_free_width_m=facts.need("bracket.plate_free_width"),
        edge_distance_m=facts.need("bracket.edge_distance"),
    )


def _plate(facts: Facts) -> Attachment:
    thread, _ = thread_and_strength(facts)
    names = ("plate_thickness", "plate_yield", "hole_diameter", "edge_distance", "plate_width")
    thickness, strength, hole, edge, width = (facts.need(f"bracket.{name}") for name in names)
    return _pattern(facts)._replace(
        bolt_diameter_m=thread.diameter_m,
        plate_thickness_m=thickness,
        plate_yield_pa=strength,
        hole_diameter_m=hole,
        edge_distance_m=edge,
        plate_width_m=width,
    )


def _planes(facts: Facts) -> int:
    return 2 if facts.need("bracket.pin_is_held_both_sides") else 1


def _bending(facts: Facts) -> Attachment:
    names = ("plate_thickness", "plate_yield", "plate_width", "lug_thickness", "lug_width")
    thickness, strength, width, lug, root = (facts.need(f"bracket.{name}") for name in names)
    made = _pattern(facts)._replace(
        plate_thickness_m=thickness,
        plate_yield_pa=strength,
        plate_width_m=width,
        lug_thickness_m=lug,
        lug_width_m=root,
        pin_planes=_planes(facts),
    )
    if made.bolts_run == ALONG:
        return made._replace(plate_free_width_m=facts.need("bracket.plate_free_width"))
    return made._replace(hole_diameter_m=facts.need("bracket.hole_diameter"))


def _pin(facts: Facts) -> Attachment:
    names = ("pin_diameter", "pin_yield", "lug_thickness", "eye_thickness", "eye_gap", "plate_yield")
    diameter, strength, lug, eye, gap, plate = (facts.need(f"bracket.{name}") for name in names)
    return Attachment(
        pin_diameter_m=diameter,
        pin_yield_pa=strength,
        lug_thickness_m=lug,
        eye_thickness_m=eye,
        gap_m=gap,
        plate_yield_pa=plate,
        pin_planes=_planes(facts),
    )


def _weld(facts: Facts) -> Attachment:
    welded = facts.need("bracket.lugs_welded")
    made = _pattern(facts)._replace(
        lugs_welded=welded, plate_yield_pa=facts.need("bracket.plate_yield"), pin_planes=_planes(facts)
    )
    if not welded:
        return made
    names = ("weld_leg", "weld_length", "lug_thickness")
    leg, length, lug = (facts.need(f"bracket.{name}") for name in names)
    return made._replace(weld_leg_m=leg, weld_length_m=length, lug_thickness_m=lug)


BOLTED = ("bolts", "plate")  # groups that hang on what each bolt carries
GROUPS: dict[str, tuple[Callable[[Facts], Attachment], tuple[str, ...]]] = {
    "bolts": (bolt_group, ("bolts",)),
    "plate": (_plate, PLATE_PARTS),
    "bending": (_bending, (PLATE_BENDS, LUG_ROOT)),
    "pin": (_pin, ("pin", "lug holes (bearing)")),
    "weld": (_weld, (WELD,)),
}


def attachment_of(facts: Facts, group: str) -> Attachment:
    """One bracket as far as a group of its parts asks for it; NotKnown when any of that is missing."""
    make, _ = GROUPS[group]
    made: Attachment = facts.once(("attachment", group), lambda: make(facts))
    return made


def known_attachment(facts: Facts) -> tuple[Attachment, tuple[str, ...]]:
    """One bracket as far as it is known, and what is missing of the rest."""
    known: tuple[Attachment, tuple[str, ...]] = facts.once("known attachment", lambda: _known(facts))
    return known


def _known(facts: Facts) -> tuple[Attachment, tuple[str, ...]]:
    found, missing = Attachment(), []
    for group in GROUPS:
        try:
            made = attachment_of(facts, group)._asdict()
        except NotKnown as unknown:
            missing.append(unknown.reason)
            continue
        found = found._replace(**{name: value for name, value in made.items() if value is not None})
    return found, tuple(dict.fromkeys(missing))


def heaviest_cases(facts: Facts, route: Route, way: str) -> tuple[Loaded, ...]:
    """The hardest pull and the hardest push of the road on a bracket."""
    return heaviest(bracket_loads(facts, route, way))


def bolts_of_cases(
    facts: Facts, route: Route, way: str
) -> tuple[tuple[tuple[BoltForce, ...], tuple[BoltForce, ...]], ...]:
    """What each bolt of the left and of the right bracket carries, in the order of the cases."""

    def found() -> tuple[tuple[tuple[BoltForce, ...], tuple[BoltForce, ...]], ...]:
        places, run = bolt_places(facts), facts.need("bracket.bolts_run")

        def on(force: Force, side: float) -> tuple[BoltForce, ...]:
            return bolt_forces(*plate_view(force, places, bolts_run=run, side=side))

        cases = heaviest_cases(facts, route, way)
        try:
            return tuple((on(loads.left, 1.0), on(loads.right, -1.0)) for _, loads in cases)
        except ValueError as error:
            raise NotKnown(str(error)) from None

    both: tuple[tuple[tuple[BoltForce, ...], tuple[BoltForce, ...]], ...]
    both = facts.once(("bolts of cases", route, way), found)
    return both


def weakest(facts: Facts, route: Route, way: str, group: str) -> Weakest:
    """The part of a group that yields first, and in which case; NotKnown when any of them is not known."""
    return facts.once(("bracket", route, way, group), lambda: _weakest(facts, route, way, group))


def _weakest(facts: Facts, route: Route, way: str, group: str) -> Weakest:
    _, names = GROUPS[group]
    attachment = attachment_of(facts, group)
    cases = heaviest_cases(facts, route, way)
    bolts_of = bolts_of_cases(facts, route, way) if group in BOLTED else ((None, None),) * len(cases)
    forces = [
        each
        for (_, loads), (left, right) in zip(cases, bolts_of, strict=True)
        for each in ((loads.left, 1.0, left), (loads.right, -1.0, right))
    ]
    try:
        factor, part, which = weakest_under(forces, attachment, names)
    except ValueError as error:
        raise NotKnown(str(error)) from None
    return Weakest(factor, part, cases[which // 2][0].name)


def attachment_rules(route: Route) -> tuple[Rule, ...]:
    """The limits of brackets, which depend on the road's steepest grades."""

    def used(group: str) -> Callable[[Facts, str], float]:
        return lambda facts, way: (
            facts.need("bracket.factor_asked") / weakest(facts, route, way, group).load_factor
        )

    def rule(group: str, title: str) -> Rule:
        return Rule(f"bracket_{group}", title, "share", used(group), lambda facts, way: 1.0, MODEL, ADVICE)

    return (
        rule("bolts", "Bracket bolts, share of yield"),
        rule("plate", "Bracket plate, share of yield"),
        rule("bending", "Bracket bent, share of yield"),
        rule("pin", "Bracket pin, share of yield"),
        rule("weld", "Bracket weld, share of yield"),
    )


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
