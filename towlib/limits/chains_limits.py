"""Safety chains against the law's strength rule, their weakest part, the sharpest turn, the road below and a
dropped bar.
"""

from towlib.handbook.tables import chain_loads_n
from towlib.limits.coupling_limits import ball_height_m
from towlib.limits.limit import WAYS, Rule, rating
from towlib.limits.loads import towed_total_kg
from towlib.physics.basics import cases as math
from towlib.physics.basics.road_load import GRAVITY_M_S2
from towlib.physics.chains.chain_checks import require_fitting
from towlib.physics.chains.chain_gaps import (
    Anchors,
    LinksWindow,
    links_window,
    longest_gap_m,
    lowest_point_m,
    strength_by_rule_n,
    whole_links,
)
from towlib.physics.chains.dropped_bar import Nose, length_under_coupler_m, lowest_nose_m
from towlib.rig.facts import Facts, NotKnown

TABLE = "49 CFR 393.108 working loads (read in a secondary page); unmarked counts as grade 30"
PLATE = "mark on the part"


def anchors(facts: Facts) -> Anchors:
    """Where both chains are fixed."""
    names = (
        "receiver_anchor_spread",
        "receiver_anchor_behind_ball",
        "receiver_anchor_height",
        "bar_anchor_spread",
        "bar_anchor_behind_ball",
        "bar_anchor_height",
    )
    places = Anchors(*(facts.need(f"safety_chains.{name}") for name in names))
    try:
        require_fitting(math.inf, places, crossed=True, ball_diameter_m=facts.need("hitch.ball_diameter"))
    except ValueError as error:
        raise NotKnown(str(error)) from None
    return places


def needed_length_m(facts: Facts, *, crossed: bool | None = None) -> float:
    """Shortest chain that does not bind at the sharpest turn, either way, and reaches under the coupler when
    crossed.
    """
    crossed = facts.need("safety_chains.crossed") if crossed is None else crossed
    in_turn = longest_gap_m(
        anchors(facts), facts.need("safety_chains.greatest_articulation"), crossed=crossed
    )
    return max(in_turn, _under_coupler_m(facts)) if crossed else in_turn


def _under_coupler_m(facts: Facts) -> float:
    try:
        return max(
            length_under_coupler_m(
                anchors(facts),
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


def links_wanted(facts: Facts, *, crossed: bool | None = None) -> LinksWindow:
    """Fewest whole links that reach and do not bind in the sharpest turn, most that do not hang too low."""
    crossed = facts.need("safety_chains.crossed") if crossed is None else crossed
    pitch = facts.need("safety_chains.link_pitch")
    window = links_window(
        anchors(facts),
        facts.need("safety_chains.greatest_articulation"),
        crossed=crossed,
        link_pitch_m=pitch,
        clearance_m=facts.need("safety_chains.ground_clearance"),
    )
    return LinksWindow(whole_links(needed_length_m(facts, crossed=crossed), pitch), window.most)


def links_that_fit(facts: Facts, *, crossed: bool | None = None) -> tuple[int, int] | None:
    """Fewest and most whole links that reach, do not bind in the sharpest turn and do not hang too low; None
    when no number does.
    """
    fewest, most = links_wanted(facts, crossed=crossed)
    return (fewest, most) if fewest <= most else None


def fitted_lowest_m(facts: Facts) -> float:
    """Lowest point of the chains as fitted above a level road, vehicles in line."""
    try:
        return lowest_point_m(
            fitted_length_m(facts), anchors(facts), 0.0, crossed=facts.need("safety_chains.crossed")
        )
    except ValueError as error:
        raise NotKnown(f"a chain that does not reach: {error}") from None


def dropped_nose(facts: Facts, way: str) -> Nose:
    """Where the bar's nose ends up when the coupler lets go."""
    ball = ball_height_m(facts, way)
    try:
        return lowest_nose_m(
            fitted_length_m(facts),
            anchors(facts),
            bar_length_m=facts.need("tow_bar.length"),
            pin_height_m=facts.need("towed_vehicle.bracket_height"),
            crossed=facts.need("safety_chains.crossed"),
            ball_height_m=ball,
            coupler_depth_m=facts.need("tow_bar.depth") / 2.0,
        )
    except ValueError as error:
        raise NotKnown(str(error)) from None


def chains_weight_n(facts: Facts, way: str) -> float:
    """Weight that the rules hold against the chains."""
    return towed_total_kg(facts, way) * GRAVITY_M_S2


def chain_strength_n(facts: Facts, way: str) -> float:
    """Load of the chain or chains by the rule of the law."""
    size, grade = facts.need("safety_chains.size"), facts.need("safety_chains.grade")
    loads = chain_loads_n(size, grade)
    if loads is None:
        raise NotKnown(f"no working load is listed for {size} in of grade {grade}")
    working_n, breaking_n = loads
    return strength_by_rule_n(
        working_n,
        break_factor=breaking_n / working_n,
        count=facts.need("safety_chains.rule_count"),
        compare=facts.need("safety_chains.rule_strength"),
    )


CHAIN_RULES = (
    Rule(
        "chain_strength",
        "Safety chain strength",
        "force",
        chains_weight_n,
        chain_strength_n,
        TABLE,
        "Fit chains that hold more by the table, marked on the links; ask which comparison your law makes.",
    ),
    Rule(
        "chain_hooks",
        "Chain hooks and quick links",
        "mass",
        towed_total_kg,
        rating("safety_chains.hook_rating"),
        PLATE,
        "Fit hooks and quick links rated for the weight: the weakest part counts.",
    ),
    Rule(
        "chain_anchors",
        "Chain anchor points",
        "mass",
        towed_total_kg,
        rating("safety_chains.anchor_rating"),
        PLATE,
        "Use anchor points on the receiver itself, rated for the weight.",
    ),
    Rule(
        "chain_length",
        "Chain length for the sharpest turn",
        "size",
        lambda facts, way: needed_length_m(facts),
        lambda facts, way: fitted_length_m(facts),
        "links fitted times link pitch",
        "Add links until it does not bind at full lock.",
        per_way=False,
    ),
    Rule(
        "chain_clearance",
        "Chain clear of the road",
        "size",
        lambda facts, way: facts.need("safety_chains.ground_clearance"),
        lambda facts, way: fitted_lowest_m(facts),
        "lowest point of the hanging chain (catenary)",
        "Take out links as far as the sharpest turn allows, or tie the slack up with a breakable string.",
        per_way=False,
    ),
    Rule(
        "dropped_bar",
        "Fall of the bar, chains pulling",
        "size",
        lambda facts, way: ball_height_m(facts, way) - dropped_nose(facts, way).height_m,
        lambda facts, way: ball_height_m(facts, way) - facts.need("safety_chains.ground_clearance"),
        "model: crossed chains stay under the nose; a bar that runs forward may slide through",
        "Cross the chains under the bar, with the fewest links that reach under the coupler and do not bind"
        " in the sharpest turn.",
    ),
    Rule(
        "second_pair",
        "Second pair of chains, at the towed vehicle",
        "mass",
        towed_total_kg,
        rating("safety_chains.second_pair_rating"),
        PLATE,
        "Fit a second pair rated for the weight, around frame or axle housing, clear of steering and brake"
        " lines.",
    ),
)


def chain_rules(facts: Facts) -> tuple[Rule, ...]:
    """The limits of the chains; the second pair only when it is fitted or nobody has said."""
    none = facts.have("safety_chains.second_pair_fitted") is False
    return tuple(rule for rule in CHAIN_RULES if not (none and rule.key == "second_pair"))


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


def links_words(facts: Facts) -> str:
    """One sentence on how many links would do; what is missing otherwise."""
    try:
        fit = links_that_fit(facts)
    except (NotKnown, ValueError) as missing:
        return f"Chain links that would do: not known ({missing})."
    if fit is None:
        return (
            "No number of links both reaches and clears the road: move an anchor or tie the slack up with"
            " string."
        )
    return (
        "Links that reach, do not bind in the sharpest turn and do not hang too low, vehicles in line:"
        f" {fit[0]} to {fit[1]} each."
    )


def crossing_words(facts: Facts) -> str:
    """What crossing the chains takes, for a rig whose chains are not crossed."""
    try:
        fit, links = links_that_fit(facts, crossed=True), facts.need("safety_chains.links")
    except (NotKnown, ValueError):
        return "Chains NOT crossed in the rig file: cross them under the bar, if they reach"
    if fit is None:
        return (
            "Chains NOT crossed in the rig file, and no number of links reaches crossed and clears the road:"
            " move an anchor first"
        )
    if links < fit[0]:
        return (
            f"Chains NOT crossed in the rig file: crossed they need at least {fit[0]} links each ({links}"
            " fitted); change them first, then tow"
        )
    return "Chains NOT crossed in the rig file: cross them under the bar"
