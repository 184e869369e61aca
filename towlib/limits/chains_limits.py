"""Safety chains against the rule's strength, their weakest part, the sharpest turn, the road below and a
dropped bar.
"""

from collections.abc import Callable
from functools import partial
from typing import NamedTuple

from towlib.handbook.tables import chain_loads_n
from towlib.limits.coupling_limits import ball_height_m
from towlib.limits.driveline_limits import whole
from towlib.limits.limit import WAYS, YES_NO, Rule
from towlib.limits.loads import towed_total_kg
from towlib.physics.basics import cases as math
from towlib.physics.basics.road_load import GRAVITY_M_S2
from towlib.physics.chains.chain_checks import require_fitting
from towlib.physics.chains.chain_gaps import (
    Anchors,
    links_window,
    longest_gap_m,
    lowest_in_turns_m,
    most_links,
    strength_by_rule_n,
    whole_links,
)
from towlib.physics.chains.dropped_bar import (
    Nose,
    anchors_when_sunk,
    length_under_coupler_m,
    lowest_nose_m,
)
from towlib.physics.hitch.bar_geometry import receiver_drop_m
from towlib.physics.hitch.tow_bar_rule import longitudinal_load_n
from towlib.physics.weights.axle_loads import axle_loads
from towlib.rig.facts import LOADED, Facts, NotKnown

TABLE = "49 CFR 393.108 working loads (read in a secondary page); unmarked counts as grade 30"
PART = (
    "mark on the part, counted as the rule counts the chain; its working load where no breaking load is known"
)
TOW_BAR = "tow-bar"  # the rule that was written for this equipment
TOW_BAR_SOURCE = "49 CFR 393.71(h)(10); it binds motor carriers"
SPARE_LINKS = 1  # over the fewest, that count as no longer than needed: common practice, no source
ANCHORS = tuple(
    f"safety_chains.{end}_anchor_{name}"
    for end in ("receiver", "bar")
    for name in ("spread", "behind_ball", "height")
)
WEIGHED_LOADED = (
    "the chains' anchors were measured on an empty tow vehicle that was weighed loaded: measure them again as"
    " it stands for the trip"
)


class LinksWanted(NamedTuple):
    """Whole links of each chain: the fewest that reach and do not bind, and the most by each limit."""

    fewest: int
    clear: int  # most that do not hang too low anywhere up to the sharpest turn
    held: int  # most that keep a dropped bar off the road
    allowed: int  # most that the rule allows; as many as hold where it says nothing

    @property
    def most(self) -> int:
        """The most that clear the road and hold a dropped bar; none fits when it is below the fewest."""
        return min(self.clear, self.held)


def anchors(facts: Facts, way: str = "out") -> Anchors:
    """Where both chains are fixed, with the tow vehicle loaded as it is that way."""
    places: Anchors = facts.once(("chain anchors", way), partial(_anchors, facts, way))
    return places


def _anchors(facts: Facts, way: str) -> Anchors:
    places = Anchors(*(facts.need(path) for path in ANCHORS))
    try:
        require_fitting(math.inf, places, crossed=True, ball_diameter_m=facts.need("hitch.ball_diameter"))
    except ValueError as error:
        raise NotKnown(str(error)) from None
    loaded = facts.need("safety_chains.heights_measured") == LOADED
    if not loaded and facts.have("tow_vehicle.weighed") == LOADED:
        raise NotKnown(WEIGHED_LOADED)
    now, then = facts.carried("tow", way), facts.carried("tow", "out") if loaded else []
    if (loaded and way == "out") or now == then:
        return places
    overhang = facts.need("tow_vehicle.ball_behind_rear_axle")
    sinks = partial(_sinks_m, facts, then, now)
    try:
        return anchors_when_sunk(
            places,
            receiver_sinks_m=sinks(overhang + places.receiver_behind_ball_m),
            ball_sinks_m=sinks(overhang),
            bar_length_m=facts.need("tow_bar.length"),
            pin_height_m=facts.need("towed_vehicle.bracket_height"),
            ball_height_m=ball_height_m(facts, way),
        )
    except ValueError as error:
        raise NotKnown(str(error)) from None


def _sinks_m(
    facts: Facts, then: list[tuple[float, float]], now: list[tuple[float, float]], behind_m: float
) -> float:
    """How far a place behind the rear axle of the tow vehicle sinks when it carries other things."""
    wheelbase = facts.need("tow_vehicle.wheelbase")
    before, after = (axle_loads(0.0, 0.0, wheelbase_m=wheelbase, items=items) for items in (then, now))
    return receiver_drop_m(
        after.front_kg - before.front_kg,
        after.rear_kg - before.rear_kg,
        front_rate_n_m=facts.need("tow_vehicle.front_spring_rate"),
        rear_rate_n_m=facts.need("tow_vehicle.rear_spring_rate"),
        wheelbase_m=wheelbase,
        overhang_m=behind_m,
    )


def needed_length_m(facts: Facts, *, crossed: bool | None = None) -> float:
    """Shortest chain that does not bind at the sharpest turn, either way, and reaches under the coupler when
    crossed.
    """
    crossed = facts.need("safety_chains.crossed") if crossed is None else crossed
    length: float = facts.once(("chain needed", crossed), partial(_needed_m, facts, crossed))
    return length


def _needed_m(facts: Facts, crossed: bool) -> float:
    turn = facts.need("safety_chains.greatest_articulation")
    in_turn = max(longest_gap_m(anchors(facts, way), turn, crossed=crossed) for way in WAYS)
    return max(in_turn, _under_coupler_m(facts)) if crossed else in_turn


def _under_coupler_m(facts: Facts) -> float:
    try:
        return max(
            length_under_coupler_m(
                anchors(facts, way),
                bar_length_m=facts.need("tow_bar.length"),
                pin_height_m=facts.need("towed_vehicle.bracket_height"),
                ball_height_m=ball_height_m(facts, way),
                coupler_depth_m=facts.need("tow_bar.depth") / 2.0,
            )
            for way in WAYS
        )
    except ValueError as error:
        raise NotKnown(str(error)) from None


def fitted_length_m(facts: Facts) -> float:
    """Length of each chain as fitted."""
    return facts.need("safety_chains.links") * facts.need("safety_chains.link_pitch")


def fewest_links(facts: Facts) -> int:
    """Fewest whole links that reach and do not bind in the sharpest turn."""
    return whole_links(needed_length_m(facts), facts.need("safety_chains.link_pitch"))


def links_wanted(facts: Facts, *, crossed: bool | None = None) -> LinksWanted:
    """Fewest whole links that reach and do not bind in the sharpest turn, most that neither hang too low on
    the way there nor let a dropped bar down onto the road; both ways.
    """
    crossed = facts.need("safety_chains.crossed") if crossed is None else crossed
    wanted: LinksWanted = facts.once(("links", crossed), partial(_links_wanted, facts, crossed))
    return wanted


def _links_wanted(facts: Facts, crossed: bool) -> LinksWanted:
    pitch = facts.need("safety_chains.link_pitch")
    clear = min(
        links_window(
            places,
            facts.need("safety_chains.greatest_articulation"),
            crossed=crossed,
            link_pitch_m=pitch,
            clearance_m=facts.need("safety_chains.ground_clearance"),
        ).most
        for places in dict.fromkeys(anchors(facts, way) for way in WAYS)
    )
    needed = needed_length_m(facts, crossed=crossed)
    fewest = whole_links(needed, pitch)

    def holds(links: int) -> bool:
        length = max(links * pitch, needed)
        return all(_fall_room_m(facts, way, _nose(facts, way, length, crossed)) >= 0.0 for way in WAYS)

    held = most_links(holds, fewest)
    allowed = fewest + SPARE_LINKS if by_tow_bar_rule(facts) else min(clear, held)
    return LinksWanted(fewest, clear, held, allowed)


def links_that_fit(facts: Facts, *, crossed: bool | None = None) -> tuple[int, int] | None:
    """Fewest and most whole links that all limits of the chains allow; None when no number does."""
    wanted = links_wanted(facts, crossed=crossed)
    return (wanted.fewest, wanted.most) if wanted.fewest <= wanted.most else None


def fitted_lowest_m(facts: Facts, way: str = "out") -> float:
    """Lowest point of the chains as fitted above a level road, anywhere up to the sharpest turn."""
    key = (
        fitted_length_m(facts),
        anchors(facts, way),
        facts.need("safety_chains.greatest_articulation"),
        facts.need("safety_chains.crossed"),
    )
    length, places, turn, crossed = key
    try:
        lowest: float = facts.alike(
            ("lowest", *key), lambda: lowest_in_turns_m(length, places, turn, crossed=crossed)
        )
    except ValueError as error:
        raise NotKnown(f"a chain that does not reach: {error}") from None
    return lowest


def dropped_nose(facts: Facts, way: str) -> Nose:
    """Where the bar's nose ends up when the coupler lets go."""
    return _nose(facts, way, fitted_length_m(facts), facts.need("safety_chains.crossed"))


def _nose(facts: Facts, way: str, length_m: float, crossed: bool) -> Nose:
    ball = ball_height_m(facts, way)
    try:
        return lowest_nose_m(
            length_m,
            anchors(facts, way),
            bar_length_m=facts.need("tow_bar.length"),
            pin_height_m=facts.need("towed_vehicle.bracket_height"),
            crossed=crossed,
            ball_height_m=ball,
            coupler_depth_m=facts.need("tow_bar.depth") / 2.0,
        )
    except ValueError as error:
        raise NotKnown(str(error)) from None


def _falls_m(facts: Facts, way: str, nose: Nose) -> float:
    return ball_height_m(facts, way) - nose.height_m


def _may_fall_m(facts: Facts, way: str) -> float:
    return ball_height_m(facts, way) - facts.need("safety_chains.ground_clearance")


def _fall_room_m(facts: Facts, way: str, nose: Nose) -> float:
    return _may_fall_m(facts, way) - _falls_m(facts, way, nose)


# ---- strength ----


def by_tow_bar_rule(facts: Facts) -> bool:
    """Whether the chains are held against the rule for motor vehicles towed by a tow-bar."""
    return bool(facts.need("safety_chains.rule_strength") == TOW_BAR)


def counted_as(facts: Facts) -> tuple[str, str]:
    """What the rule counts and compares: each or both, working or breaking load. The tow-bar rule counts the
    combined tensile strength.
    """
    if by_tow_bar_rule(facts):
        return "both", "breaking"
    return facts.need("safety_chains.rule_count"), facts.need("safety_chains.rule_strength")


def chains_asked_n(facts: Facts, way: str) -> float:
    """Force that the rule holds against the chains: the weight of what is towed, or the load that the tow-bar
    rule asks of the bar and so of the chains.
    """
    towed_kg = towed_total_kg(facts, way)
    return longitudinal_load_n(towed_kg) if by_tow_bar_rule(facts) else towed_kg * GRAVITY_M_S2


def _asked_kg(facts: Facts, way: str) -> float:
    return chains_asked_n(facts, way) / GRAVITY_M_S2


def chain_strength_n(facts: Facts, way: str) -> float:
    """Load of the chain or chains by the rule."""
    size, grade = facts.need("safety_chains.size"), facts.need("safety_chains.grade")
    loads = chain_loads_n(size, grade)
    if loads is None:
        raise NotKnown(f"no working load is listed for {size} in of grade {grade}")
    working_n, breaking_n = loads
    count, compare = counted_as(facts)
    return strength_by_rule_n(working_n, break_factor=breaking_n / working_n, count=count, compare=compare)


def part_kg(part: str) -> Callable[[Facts, str], float]:
    """Load of a hook, an anchor or the second pair by the same rule as the chain's: working with working,
    breaking with breaking. Where no breaking load is known, a working load that is enough is enough.
    """
    rating, breaking = f"safety_chains.{part}_rating", f"safety_chains.{part}_breaking"

    def capacity(facts: Facts, way: str) -> float:
        count, compare = counted_as(facts)
        times = 2.0 if count == "both" else 1.0
        breaks_kg = facts.have(breaking) if compare == "breaking" else None
        if breaks_kg is not None:
            return times * breaks_kg
        holds_kg = times * facts.need(rating)
        if compare == "breaking" and holds_kg < _asked_kg(facts, way):
            raise NotKnown(breaking)
        return holds_kg

    return capacity


CHAIN_RULES = (
    Rule(
        "chain_strength",
        "Safety chain strength",
        "force",
        chains_asked_n,
        chain_strength_n,
        TABLE,
        "Fit chains that hold more by the table, marked on the links; ask which comparison your law makes.",
    ),
    Rule(
        "chain_hooks",
        "Chain hooks and quick links",
        "mass",
        _asked_kg,
        part_kg("hook"),
        PART,
        "Fit hooks and quick links rated for it: the weakest part counts.",
    ),
    Rule(
        "chain_anchors",
        "Chain anchor points",
        "mass",
        _asked_kg,
        part_kg("anchor"),
        PART,
        "Use anchor points on the receiver itself, rated for it.",
    ),
    Rule(
        "chain_length",
        "Chain length for the sharpest turn",
        "size",
        lambda facts, way: needed_length_m(facts),
        lambda facts, way: fitted_length_m(facts),
        "links fitted times link pitch",
        "A chain that does not bind at full lock, and that neither drags nor lets a dropped bar down.",
        per_way=False,
    ),
    Rule(
        "chain_clearance",
        "Chain clear of the road in every turn",
        "size",
        lambda facts, way: facts.need("safety_chains.ground_clearance"),
        lambda facts, way: min(fitted_lowest_m(facts, each) for each in WAYS),
        "lowest point of the hanging chain (catenary), in line and up to the sharpest turn, both ways",
        "Take out links as far as the sharpest turn allows, or tie the slack up with a breakable string.",
        per_way=False,
    ),
    Rule(
        "dropped_bar",
        "Fall of the bar, chains pulling",
        "size",
        lambda facts, way: _falls_m(facts, way, dropped_nose(facts, way)),
        _may_fall_m,
        "model: crossed chains stay under the nose; a bar that runs forward may slide through",
        "Cross the chains under the bar, with the fewest links that reach under the coupler and do not bind"
        " in the sharpest turn.",
    ),
    Rule(
        "second_pair",
        "Second pair of chains, at the towed vehicle",
        "mass",
        _asked_kg,
        part_kg("second_pair"),
        PART,
        "Fit a second pair rated for it, around frame or axle housing, clear of steering and brake lines.",
    ),
)
LAID = {  # what the tow-bar rule asks of how the chains are laid, and what to do where it is not so
    "safety_chains.crossed": "cross them under the bar",
    "safety_chains.tied_to_bar": "tie them to the bar where they cross, or as near as can be",
    "safety_chains.to_both_vehicles": (
        "run each on to the towed vehicle's frame: one that ends on the bar holds nothing when the bar breaks"
        " behind it"
    ),
}


def _laid_as_asked(facts: Facts, way: str) -> float:
    """1 when they are crossed, tied to the bar there, and reach both vehicles; 0 when one is known not to
    be so.
    """
    said = {path: facts.have(path) for path in LAID}
    if False in said.values():
        return 0.0
    if missing := [path for path, so in said.items() if so is None]:
        raise NotKnown("; ".join(missing))
    return 1.0


def laid_words(facts: Facts) -> str:
    """What to do until the chains lie as the tow-bar rule asks."""
    todo = [words for path, words in LAID.items() if not facts.have(path)]
    text = "; ".join(todo) if todo else "they lie as it asks"
    return f"{text[0].upper()}{text[1:]}."


TOW_BAR_RULES = (
    Rule(
        "chains_laid",
        "Chains crossed, tied there, to both vehicles",
        YES_NO,
        whole,
        _laid_as_asked,
        TOW_BAR_SOURCE,
        "Cross them under the bar, tie them to it there, and run each on to the towed vehicle's frame.",
        per_way=False,
    ),
    Rule(
        "chain_slack",
        "Chains no longer than free turning needs",
        "size",
        lambda facts, way: fitted_length_m(facts),
        lambda facts, way: (fewest_links(facts) + SPARE_LINKS) * facts.need("safety_chains.link_pitch"),
        f"{TOW_BAR_SOURCE}; one link to spare is taken as none",
        "Take out links as far as the sharpest turn allows.",
        per_way=False,
    ),
)


def chain_rules(facts: Facts) -> tuple[Rule, ...]:
    """The limits of the chains; the second pair only when it is fitted or nobody has said, and what the
    tow-bar rule asks besides only where it is chosen.
    """
    none = facts.have("safety_chains.second_pair_fitted") is False
    rules = tuple(rule for rule in CHAIN_RULES if not (none and rule.key == "second_pair"))
    return (*rules, *(TOW_BAR_RULES if by_tow_bar_rule(facts) else ()))


def chain_rule_words(facts: Facts) -> str:
    """One sentence on the rule the chains are held against, and whom it binds."""
    if by_tow_bar_rule(facts):
        return (
            "Chains held against the US tow-bar rule, 49 CFR 393.71(h), which binds motor carriers; your own"
            " law comes first."
        )
    count, compare = counted_as(facts)
    who = "each chain alone" if count == "each" else "both chains together"
    return f"Chains held against the towed weight: {who}, {compare} load; ask your law."


def dropped_words(facts: Facts) -> str:
    """One sentence on what crossed chains do for a dropped bar, and on what that rests; what is missing
    otherwise.
    """
    try:
        noses = [dropped_nose(facts, way) for way in WAYS]
    except NotKnown as missing:
        return f"Where the bar ends up when the coupler lets go: not known ({missing.reason})."
    low, slid = min(nose.height_m for nose in noses), min(nose.slid_height_m for nose in noses)
    if low <= 0.0:
        return "When the coupler lets go the bar falls onto the road."
    held = (
        f"When the coupler lets go the chains hold the bar's nose {low * 1000:.0f} mm ({low / 0.0254:.1f} in)"
        " above the road"
    )
    return (
        f"{held}."
        if slid == low
        else (
            f"{held} while they pull; braking may let it slide through"
            f" {'to the road' if slid <= 0 else f'to {slid * 1000:.0f} mm'}: ease off, do not brake hard."
        )
    )


def second_pair_words(facts: Facts) -> str:
    """One sentence when there is no second pair, '' otherwise."""
    if facts.have("safety_chains.second_pair_fitted") is not False:
        return ""
    return (
        "No second pair of chains at the towed vehicle: if a bracket or its pin lets go, nothing else"
        " holds it."
    )


_ALL = "reaches, clears the road in every turn and keeps a dropped bar off it"


def no_links_words(wanted: LinksWanted) -> str:
    """Why no number of links fits, and what would help."""
    if wanted.clear < wanted.fewest:
        return (
            "No number of links both reaches and clears the road: move an anchor, or tie the slack up with a"
            " breakable string."
        )
    return "No number of links both reaches and keeps a dropped bar off the road: other anchors."


def links_words(facts: Facts) -> str:
    """One sentence on how many links would do; what is missing otherwise."""
    try:
        crossed = facts.need("safety_chains.crossed")
        wanted = links_wanted(facts)
        across = wanted if crossed else links_wanted(facts, crossed=True)
    except (NotKnown, ValueError) as missing:
        return f"Chain links that would do: not known ({missing})."
    if wanted.fewest <= wanted.most:
        rule = f"; the tow-bar rule allows {wanted.allowed}" if wanted.allowed < wanted.most else ""
        return (
            "Links that reach, do not bind, clear the road up to the sharpest turn and keep a dropped bar off"
            f" it: {many(wanted.fewest, wanted.most)} each{rule}."
        )
    if not crossed and across.fewest <= across.most:
        do = many(across.fewest, across.most)
        return f"Side by side no number of links {_ALL}; crossed under the bar {do} each do."
    return no_links_words(across)


def many(fewest: int, most: int) -> str:
    """A range of links in words.

    >>> many(19, 22), many(19, 19)
    ('19 to 22', '19')
    """
    return f"{fewest} to {most}" if fewest < most else f"{fewest}"


def crossing_words(facts: Facts) -> str:
    """What crossing the chains takes, for a rig whose chains are not crossed."""
    start = "Chains NOT crossed in the rig file"
    try:
        wanted, links = links_wanted(facts, crossed=True), facts.need("safety_chains.links")
    except (NotKnown, ValueError):
        return f"{start}: cross them under the bar, if they reach"
    if wanted.fewest > wanted.most:
        return f"{start}, and crossed no number of links {_ALL}: move an anchor first"
    most = min(wanted.most, wanted.allowed)
    if not wanted.fewest <= links <= most:
        return (
            f"{start}: crossed they take {many(wanted.fewest, most)} links each ({links} fitted);"
            " change them first, then tow"
        )
    return f"{start}: cross them under the bar"
