"""The bracket's joint in the long run: bolt tension from the torque, slip under a load that reverses, and
cracks.
"""

from towlib.limits.attachment_limits import (
    GROUPS,
    attachment_of,
    bolts_of_cases,
    thread_and_strength,
    weakest,
)
from towlib.limits.coupling_limits import slope_rad
from towlib.limits.envelope import loads_of_force
from towlib.limits.limit import WAYS, Rule
from towlib.limits.loads import towed_total_kg
from towlib.physics.hitch.attachment import LUG_ROOT, PLATE_BENDS, WELD, Attachment, stress_pa
from towlib.physics.hitch.bolts import bolt_loads_n, preload_n, slip_factor
from towlib.physics.hitch.fatigue import (
    BESIDE_WELD_RANGE_PA,
    HOLE_RANGE_PA,
    WELD_THROAT_RANGE_PA,
    alternating_force_n,
    bearable_range_pa,
)
from towlib.physics.hitch.load_cases import along_the_bar
from towlib.rig.facts import Facts, NotKnown
from towlib.rig.model import value_at
from towlib.road.route import Route
from towlib.units import show

WRENCH_SCATTER = 0.25  # of the nut factor, either way, for a torque wrench: common practice, no source


def torque_scatter(facts: Facts) -> float:
    """How far the nut factor may be off, as a share: a wrench scatters about a factor that the reader gives;
    an assumed one has its own range already.
    """
    return 0.0 if value_at(facts.rig, "bracket.nut_factor") is None else WRENCH_SCATTER


def preload_of_torque_n(facts: Facts) -> float:
    """Tension of one bracket bolt at the torque given, by the nut factor as it stands."""
    thread, _ = thread_and_strength(facts)
    return preload_n(
        facts.need("bracket.torque"),
        diameter_m=thread.diameter_m,
        nut_factor=facts.need("bracket.nut_factor"),
    ).middle_n


def most_preload_n(facts: Facts) -> float:
    """The same where the threads turn as easily as they may."""
    return preload_of_torque_n(facts) / (1.0 - torque_scatter(facts))


def least_preload_n(facts: Facts) -> float:
    """The same where they turn as hard as they may."""
    return preload_of_torque_n(facts) / (1.0 + torque_scatter(facts))


def proof_n(facts: Facts) -> float:
    """Proof load of one bracket bolt."""
    thread, strength = thread_and_strength(facts)
    return bolt_loads_n(
        thread.stress_area_m2,
        proof_pa=strength.proof_pa,
        yield_pa=strength.yield_pa,
        tensile_pa=strength.tensile_pa,
    ).proof_n


def slip_use(facts: Facts, route: Route, way: str) -> float:
    """Share of its grip that the heaviest load of the road takes from the bolt that has least of it; a bolt
    that the plate presses on counts as pulled, because it is not asked which face the plate lies on.
    """
    joint = {
        "preload_n": least_preload_n(facts),
        "friction": facts.need("bracket.plate_friction"),
        "faces": facts.need("bracket.joint_faces"),
    }
    return max(
        1.0 / slip_factor(abs(bolt.tension_n), bolt.shear_n, **joint)
        for both in bolts_of_cases(facts, route, way)
        for bolts in both
        for bolt in bolts
    )


def _ranges(facts: Facts) -> tuple[tuple[str, Attachment, float], ...]:
    """Parts that may crack, what they are made of, and the range each bears two million times."""
    bending, weld = (attachment_of(facts, group) for group in ("bending", "weld"))
    plain = BESIDE_WELD_RANGE_PA if weld.lugs_welded else HOLE_RANGE_PA
    return (
        (PLATE_BENDS, bending, plain),
        (LUG_ROOT, bending, plain),
        (WELD, weld, WELD_THROAT_RANGE_PA),
    )


def crack_uses(facts: Facts, way: str) -> dict[str, float]:
    """For each part, the range of stress of the alternating load over what it bears two million times."""
    force_n = alternating_force_n(towed_total_kg(facts, way), facts.need("bracket.alternating_load"))
    loads = loads_of_force(facts, along_the_bar(force_n, 0.0, slope_rad=slope_rad(facts, way)), way)
    return {
        name: 2.0 * stress_pa(name, (loads.left, 1.0), made) / bearable_range_pa(category_pa)
        for name, made, category_pa in _ranges(facts)
    }


def joint_rules(route: Route) -> tuple[Rule, ...]:
    """The limits of the bracket's joint in the long run."""
    return (
        Rule(
            "bolt_tension",
            "Bolt tension at the torque given",
            "force",
            lambda facts, way: most_preload_n(facts),
            lambda facts, way: proof_n(facts),
            "proof load of the bolt's grade; where the nut factor is given, a wrench scatters 25 % about it",
            "Use the bracket maker's torque; a bolt tightened past its proof load stretches for good.",
            per_way=False,
        ),
        Rule(
            "bracket_slip",
            "Bracket joint slips, share of grip",
            "share",
            lambda facts, way: slip_use(facts, route, way),
            lambda facts, way: 1.0,
            "friction at the least bolt tension; a joint that slips to and fro works loose",
            "More torque as far as the maker allows, more bolts, or faces cleaned of paint.",
        ),
        Rule(
            "bracket_fatigue",
            "Bracket cracks (estimate)",
            "share",
            lambda facts, way: max(crack_uses(facts, way).values()),
            lambda facts, way: 1.0,
            "an estimate: classes of EN 1993-1-9 (from two other rules), two million times; not bolts or pin",
            "A maker's bracket rated for the weight; look for cracks before every trip.",
        ),
    )


def crack_words(facts: Facts, route: Route) -> str:
    """A sentence when the bracket would crack before it yields; empty otherwise, or when not known."""
    try:
        first = min(weakest(facts, route, way, group) for way in WAYS for group in GROUPS)
        use, part = max((use, part) for way in WAYS for part, use in crack_uses(facts, way).items())
    except (NotKnown, ValueError):
        return ""
    if use <= 1.0 or first.load_factor < 1.0:
        return ""
    return (
        f"Bracket, an estimate: it would crack before it yields. Push and pull that come and go take the"
        f" {part} through {use:.1f} times the range of stress that it bears two million times."
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
