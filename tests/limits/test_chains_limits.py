"""Every chain limit by hand or by code of its own on a rig of round figures: both ways, the edge, the words,
what is missing and what is assumed. Ball 580.78125 mm up there and 595.78125 home (test_coupling_limits.py).
"""

import math

import numpy as np
import pytest
from scipy.optimize import brentq

from tests.limits.round_rig import KG_LB, M_IN, N_LBF, ROUND, asked, limit_of
from tests.rigs import changed, without
from towlib.limits.chains_limits import (
    CHAIN_RULES,
    chain_rules,
    crossing_words,
    dropped_nose,
    dropped_words,
    fitted_lowest_m,
    links_that_fit,
    links_wanted,
    links_words,
    needed_length_m,
    second_pair_words,
)
from towlib.limits.limit import NOT_KNOWN, OVER, WAYS, WITHIN
from towlib.rig.facts import Facts, NotKnown

RULES = {rule.key: rule for rule in CHAIN_RULES}
BALL = {"out": 0.58078125, "back": 0.59578125}
TOWED = {"out": 1460.0, "back": 1580.0}
CHAINS = "safety_chains."


def _chains(rig=ROUND, **values):
    for name, value in values.items():
        rig = changed(rig, CHAINS + name, value)
    return rig


# ---- geometry once more: points in space, bisection instead of closed forms ----


def _ends(rig, phi, side):
    """Both ends of a chain from the ball, x behind it, y to the left, z up; the bar turned by phi."""
    c = rig.safety_chains
    receiver = np.array(
        [c.receiver_anchor_behind_ball, side * c.receiver_anchor_spread / 2, c.receiver_anchor_height]
    )
    across = (-side if c.crossed else side) * c.bar_anchor_spread / 2
    turned = np.array([[math.cos(phi), -math.sin(phi)], [math.sin(phi), math.cos(phi)]])
    return receiver, np.array([*(turned @ [c.bar_anchor_behind_ball, across]), c.bar_anchor_height])


def _in_turns_m(rig):
    """Longest distance between the ends of either chain at any angle up to the sharpest."""
    angles = np.linspace(-1, 1, 2401) * rig.safety_chains.greatest_articulation
    return max(math.dist(*_ends(rig, phi, side)) for phi in angles for side in (1, -1))


def _bar(rig, way):
    """The anchor on the bar in the bar's own frame: back along it from the ball, and above its line."""
    c = rig.safety_chains
    slope = math.asin((rig.towed_vehicle.bracket_height - BALL[way]) / rig.tow_bar.length)
    rel = np.array([c.bar_anchor_behind_ball, c.bar_anchor_height - BALL[way]])
    return slope, rel @ [math.cos(slope), math.sin(slope)], rel @ [-math.sin(slope), math.cos(slope)]


def _under_m(rig, way):
    """From the receiver's anchor under the coupler to the bar's, and what the slope may put it off by."""
    c, depth = rig.safety_chains, rig.tow_bar.depth / 2
    nose = np.array([0.0, 0.0, BALL[way] - depth])
    receiver = [c.receiver_anchor_behind_ball, c.receiver_anchor_spread / 2, c.receiver_anchor_height]
    on_bar = [c.bar_anchor_behind_ball, -c.bar_anchor_spread / 2, c.bar_anchor_height]
    off = depth * abs(math.sin(_bar(rig, way)[0]))  # square below the bar's line, not upright
    return math.dist(receiver, nose) + math.dist(nose, on_bar), off


def _lowest_m(rig):
    """Lowest point of the hanging chain by its arc: l from the lowest point lies a·asinh(l/a) beside it and
    sqrt(a² + l²) - a above it.
    """
    low, high = _ends(rig, 0.0, 1)
    span, rise = math.dist(low[:2], high[:2]), high[2] - low[2]
    length = rig.safety_chains.links * rig.safety_chains.link_pitch

    def left(a):
        return brentq(lambda m: math.hypot(a, length - m) - math.hypot(a, m) - rise, -99.0, 99.0, xtol=1e-14)

    def off(log_a):
        a = math.exp(log_a)
        return a * (math.asinh(left(a) / a) + math.asinh((length - left(a)) / a)) - span

    a = math.exp(brentq(off, math.log(1e-3), math.log(10.0), xtol=1e-14))
    return low[2] - (math.hypot(a, left(a)) - a if left(a) > 0 else 0.0)


def _nose_m(rig, way, *, slid=False):
    """Turn the bar down about its pins as long as both chains still reach; the vehicles roll as they like.
    Slid: the crossing holds no nose any more.
    """
    c, depth = rig.safety_chains, rig.tow_bar.depth / 2
    length, pin = rig.tow_bar.length, rig.towed_vehicle.bracket_height
    _, along, above = _bar(rig, way)
    chain = c.links * c.link_pitch
    wide = (c.receiver_anchor_spread + (1 if c.crossed else -1) * c.bar_anchor_spread) / 2
    back = math.dist((along, above, c.bar_anchor_spread / 2), (0.0, -depth, 0.0))

    def heights(turn):
        return (
            pin - length * math.sin(turn) - depth * math.cos(turn),
            pin - (length - along) * math.sin(turn) + above * math.cos(turn),
        )

    def reaches(turn):
        nose, anchor = heights(turn)
        straight = math.hypot(wide, c.receiver_anchor_height - anchor) <= chain
        under = math.hypot(c.receiver_anchor_spread / 2, c.receiver_anchor_height - nose) <= chain - back
        return straight and (under or slid or not c.crossed)

    held, gone = 0.0, math.pi / 2
    for _ in range(60):
        middle = (held + gone) / 2
        held, gone = (middle, gone) if reaches(middle) else (held, middle)
    return max(0.0, heights(held)[0])


# ---- each limit ----


@pytest.mark.parametrize("way", WAYS)
def test_loads_by_hand(way):
    # 3/8 in of grade 43: 5,400 lbf (49 CFR 393.108, check value list)
    assert asked(RULES["chain_strength"], ROUND, way) == pytest.approx(
        (TOWED[way] * 9.80665, 5400 * N_LBF), rel=1e-12
    )
    for key, rated in (("chain_hooks", 2400.0), ("chain_anchors", 2500.0), ("second_pair", 2600.0)):
        assert asked(RULES[key], ROUND, way) == pytest.approx((TOWED[way], rated), rel=1e-12)


@pytest.mark.parametrize(
    ("size", "grade", "count", "compare", "pounds"),
    [
        # working loads and break factors of the check value list: 4 for grades 30 and 70, 3 for grade 43
        ("3/8", "30", "each", "working", 2650),
        ("3/8", "unmarked", "each", "working", 2650),
        ("3/8", "30", "both", "working", 2 * 2650),
        ("3/8", "30", "each", "breaking", 4 * 2650),
        ("3/8", "43", "each", "breaking", 3 * 5400),
        ("3/8", "43", "both", "breaking", 2 * 3 * 5400),
        ("5/16", "70", "each", "working", 4700),
        ("5/16", "80", "each", "working", 4500),
        ("1/2", "70", "both", "breaking", 2 * 4 * 11300),
    ],
)
def test_strength_by_the_rule_of_the_law(size, grade, count, compare, pounds):
    rig = _chains(size=size, grade=grade, rule_count=count, rule_strength=compare)
    found = limit_of(RULES["chain_strength"], rig)
    assert found.capacity == pytest.approx(pounds * N_LBF, rel=1e-12) and found.way == "back"
    assert found.answer == (WITHIN if pounds * N_LBF >= 1580 * 9.80665 else OVER)


def test_a_chain_the_table_does_not_list_is_not_known():
    found = limit_of(RULES["chain_strength"], _chains(size="7/16", grade="80"))
    assert (found.answer, found.missing) == (NOT_KNOWN, "no working load is listed for 7/16 in of grade 80")


DEEP = changed(ROUND, "tow_bar.depth", 0.3)
WIDE = _chains(crossed=False, bar_anchor_spread=0.6, greatest_articulation=1.3)


@pytest.mark.parametrize("rig", [ROUND, DEEP], ids=("round", "deep"))
def test_length_needed_crossed(rig):
    # the way under the coupler turns about the ball with the bar, so no turn asks for more than it
    length, off = max(_under_m(rig, way) for way in WAYS)
    assert length > _in_turns_m(rig)
    found = asked(RULES["chain_length"], rig, "out")
    assert found == pytest.approx((length, 24 * 0.030), abs=off + 1e-9)


@pytest.mark.parametrize("rig", [_chains(crossed=False), WIDE], ids=("parallel", "wide"))
def test_length_needed_side_by_side(rig):
    found = asked(RULES["chain_length"], rig, "out")
    assert found == pytest.approx((_in_turns_m(rig), 24 * 0.030), abs=1e-6)  # steps of 0.05 degrees


def test_the_length_under_a_coupler_of_no_depth_is_exact():
    rig = changed(_chains(greatest_articulation=0.0), "tow_bar.depth", 1e-9)
    assert needed_length_m(Facts(rig)) == pytest.approx(max(_under_m(rig, way)[0] for way in WAYS), abs=1e-8)
    assert needed_length_m(Facts(rig), crossed=False) == pytest.approx(
        math.hypot(0.55, 0.05, 0.15)  # 0.2 + 0.35 along, 0.15 - 0.10 across, 0.60 - 0.45 up
    )


@pytest.mark.parametrize("crossed", [True, False])
@pytest.mark.parametrize("links", [22, 24, 28, 34])
def test_how_low_the_chain_hangs(crossed, links):
    rig = _chains(crossed=crossed, links=links)
    assert asked(RULES["chain_clearance"], rig, "out") == pytest.approx((0.12, _lowest_m(rig)), abs=1e-9)
    assert fitted_lowest_m(Facts(rig)) == pytest.approx(_lowest_m(rig), abs=1e-9)


@pytest.mark.parametrize("crossed", [True, False])
@pytest.mark.parametrize("links", [23, 24, 26, 34])
def test_where_a_dropped_bar_ends_up(crossed, links):
    rig = _chains(crossed=crossed, links=links)
    for way in WAYS:
        nose = _nose_m(rig, way)
        assert dropped_nose(Facts(rig), way).height_m == pytest.approx(nose, abs=1e-9)
        assert asked(RULES["dropped_bar"], rig, way) == pytest.approx((BALL[way] - nose, BALL[way] - 0.12))


def test_the_way_that_governs():
    found = {key: limit_of(rule, ROUND) for key, rule in RULES.items()}
    assert {key for key, limit in found.items() if limit.way == "back"} == {
        "chain_strength",
        "chain_hooks",
        "chain_anchors",
        "second_pair",
        "dropped_bar",
    }
    assert all(limit.answer == WITHIN and not limit.assumed for limit in found.values())
    noses = {way: _nose_m(ROUND, way) for way in WAYS}
    shares = {way: (BALL[way] - noses[way]) / (BALL[way] - 0.12) for way in WAYS}
    assert shares["back"] > shares["out"]
    # the longest way under the coupler is looked for on both ways at once
    assert {key for key, rule in RULES.items() if not rule.per_way} == {"chain_length", "chain_clearance"}


RATING = {
    "chain_hooks": "hook_rating",
    "chain_anchors": "anchor_rating",
    "second_pair": "second_pair_rating",
}


@pytest.mark.parametrize("key", RATING)
def test_ratings_at_the_edge_and_in_words(key):
    for allowed, expected in ((1580.0, WITHIN), (math.nextafter(1580.0, 0.0), OVER), (1500.0, OVER)):
        assert limit_of(RULES[key], _chains(**{RATING[key]: allowed})).answer == expected
    over = limit_of(RULES[key], _chains(**{RATING[key]: 1480.0}))
    assert over.answer_text() == "over by 100 kg"
    assert over.answer_text("us") == f"over by {100 / KG_LB:.0f} lb"
    assert limit_of(RULES[key], _chains(**{RATING[key]: 1680.0})).answer_text() == "within by 100 kg"


def test_lengths_at_the_edge_and_in_words():
    needed = needed_length_m(Facts(ROUND))
    for pitch, expected in ((needed / 24 * (1 + 1e-9), WITHIN), (needed / 24 * (1 - 1e-9), OVER)):
        assert limit_of(RULES["chain_length"], _chains(link_pitch=pitch)).answer == expected
    short = limit_of(RULES["chain_length"], _chains(link_pitch=(needed - 0.01) / 24))
    assert short.answer_text() == "over by 10 mm"
    assert short.answer_text("us") == f"over by {0.01 / M_IN:.3f} in"  # 0.394
    lowest = fitted_lowest_m(Facts(ROUND))
    noses = {way: dropped_nose(Facts(ROUND), way).height_m for way in WAYS}
    for key, edge in (("chain_clearance", lowest), ("dropped_bar", min(noses.values()))):
        for clearance, expected in ((edge - 1e-9, WITHIN), (edge + 1e-9, OVER)):
            assert limit_of(RULES[key], _chains(ground_clearance=clearance)).answer == expected
        assert limit_of(RULES[key], _chains(ground_clearance=edge - 0.05)).answer_text() == "within by 50 mm"
        assert limit_of(RULES[key], _chains(ground_clearance=edge + 0.05)).answer_text() == "over by 50 mm"
    weak = limit_of(RULES["chain_strength"], _chains(grade="30"))
    short_n = 1580 * 9.80665 - 2650 * N_LBF  # 3,707 N
    assert weak.answer_text() == f"over by {short_n:,.0f} N"
    assert weak.answer_text("us") == f"over by {short_n / N_LBF:.0f} lbf"


SPRUNG = (
    "tow_vehicle.front_axle_empty",
    "tow_vehicle.rear_axle_empty",
    "tow_vehicle.wheelbase",
    "tow_vehicle.ball_behind_rear_axle",
    "tow_vehicle.front_spring_rate",
    "tow_vehicle.rear_spring_rate",
    "hitch.receiver_height",
    "hitch.ball_mount_change",
    "towed_vehicle.bracket_height",
    "tow_bar.length",
)
TOWED_WEIGHT = ("towed_vehicle.front_axle_empty", "towed_vehicle.rear_axle_empty")
PLACES = tuple(
    f"{CHAINS}{end}_anchor_{name}"
    for end in ("receiver", "bar")
    for name in ("spread", "behind_ball", "height")
)
FITTED = (CHAINS + "links", CHAINS + "link_pitch")
NEEDS = {
    "chain_strength": (*TOWED_WEIGHT, CHAINS + "size", CHAINS + "grade"),
    "chain_hooks": (*TOWED_WEIGHT, CHAINS + "hook_rating"),
    "chain_anchors": (*TOWED_WEIGHT, CHAINS + "anchor_rating"),
    "chain_length": (*PLACES, *SPRUNG, *FITTED),
    "chain_clearance": (*PLACES, *FITTED),
    "dropped_bar": (*PLACES, *SPRUNG, *FITTED),
    "second_pair": (*TOWED_WEIGHT, CHAINS + "second_pair_rating"),
}
STARRED = {
    "chain_strength": (CHAINS + "rule_strength", CHAINS + "rule_count", "tow_bar.mass"),
    "chain_hooks": ("tow_bar.mass",),
    "chain_anchors": ("tow_bar.mass",),
    "second_pair": ("tow_bar.mass",),
    "chain_length": (
        CHAINS + "greatest_articulation",
        CHAINS + "crossed",
        "hitch.ball_diameter",
        "tow_bar.depth",
        "tow_bar.mass",
    ),
    "chain_clearance": (CHAINS + "ground_clearance", CHAINS + "crossed", "hitch.ball_diameter"),
    "dropped_bar": (
        CHAINS + "ground_clearance",
        CHAINS + "crossed",
        "hitch.ball_diameter",
        "tow_bar.depth",
        "tow_bar.mass",
    ),
}


def test_every_chain_limit_has_its_needs_here():
    assert set(NEEDS) == set(STARRED) == set(RULES)


@pytest.mark.parametrize(("key", "path"), [(key, path) for key, paths in NEEDS.items() for path in paths])
def test_without_a_field_it_hangs_on_it_is_not_known(key, path):
    found = limit_of(RULES[key], without(ROUND, path))
    assert (found.answer, found.missing) == (NOT_KNOWN, path)
    assert found.answer_text() == f"not known ({path})"


@pytest.mark.parametrize(("key", "path"), [(key, path) for key, paths in STARRED.items() for path in paths])
def test_what_is_assumed_is_starred(key, path):
    found = limit_of(RULES[key], without(ROUND, path))
    assert found.assumed == (path,) and found.plain != NOT_KNOWN


def test_chains_nobody_said_are_crossed_are_taken_as_not_crossed():
    # the bar falls lower then; crossed they would hold it, so the answer hangs on that
    unsaid, parallel = without(ROUND, CHAINS + "crossed"), _chains(crossed=False)
    for way in WAYS:
        assert asked(RULES["dropped_bar"], unsaid, way) == asked(RULES["dropped_bar"], parallel, way)
    found = limit_of(RULES["dropped_bar"], unsaid)
    assert (found.answer, found.likely, found.missing) == (NOT_KNOWN, OVER, CHAINS + "crossed")


def test_only_who_says_there_is_no_second_pair_is_not_asked_for_it():
    for said, asked_for in ((True, True), (None, True), (False, False)):
        rig = _chains(second_pair_fitted=said)
        assert ("second_pair" in {rule.key for rule in chain_rules(Facts(rig))}) == asked_for
        assert {rule.key for rule in chain_rules(Facts(rig))} | {"second_pair"} == set(RULES)
        assert second_pair_words(Facts(rig)) == (
            ""
            if asked_for
            else "No second pair of chains at the towed vehicle: if a bracket or its pin lets go, nothing"
            " else holds it."
        )


# ---- what cannot be, in one sentence ----


@pytest.mark.parametrize(
    ("key", "values", "words"),
    [
        (
            "chain_length",
            {"receiver_anchor_behind_ball": 0.0, "receiver_anchor_spread": 0.01},
            "inside the ball",
        ),
        ("chain_length", {"bar_anchor_behind_ball": 1.6}, "between the ball and the bracket pins"),
        (
            "dropped_bar",
            {"bar_anchor_behind_ball": 1.6, "links": 80},
            "between the ball and the bracket pins",
        ),
        ("chain_clearance", {"links": 15}, "a chain that does not reach: a chain 0.450 m long"),
        ("dropped_bar", {"links": 21}, "a chain 0.630 m long cannot cross under the coupler"),
    ],
)
def test_chains_that_cannot_be_are_one_plain_sentence(key, values, words):
    found = limit_of(RULES[key], _chains(**values))
    assert found.answer == NOT_KNOWN and words in found.missing and "\n" not in found.missing


def test_an_anchor_at_the_balls_edge_is_taken_and_inside_it_is_not():
    # half of the 50 mm ball, straight ahead of its middle
    fits = {"receiver_anchor_spread": 1e-12, "receiver_anchor_behind_ball": -0.025}
    assert needed_length_m(Facts(_chains(**fits))) > 0
    with pytest.raises(NotKnown, match="inside the ball"):
        needed_length_m(Facts(_chains(**fits | {"receiver_anchor_behind_ball": -0.0249})))


# ---- how many links ----


def _links(rig, crossed):
    """Fewest and most links, one by one."""
    rig = _chains(rig, crossed=crossed)
    needed = max([_in_turns_m(rig), *(_under_m(rig, way)[0] for way in WAYS if crossed)])
    clear = rig.safety_chains.ground_clearance
    fits = [n for n in range(20, 60) if n * 0.030 > math.dist(*_ends(rig, 0.0, 1))]
    return (
        next(n for n in range(1, 99) if n * 0.030 >= needed),
        max(n for n in fits if _lowest_m(_chains(rig, links=n)) >= clear),
    )


@pytest.mark.parametrize("crossed", [True, False])
@pytest.mark.parametrize(("base", "clearance"), [(ROUND, 0.12), (ROUND, 0.2), (DEEP, 0.2)])
def test_links_that_fit(crossed, base, clearance):
    rig = _chains(base, ground_clearance=clearance)
    fewest, most = _links(rig, crossed)
    assert tuple(links_wanted(Facts(rig), crossed=crossed)) == (fewest, most)
    assert links_that_fit(Facts(rig), crossed=crossed) == (fewest, most)
    own = _chains(rig, crossed=crossed)
    assert links_that_fit(Facts(own)) == tuple(links_wanted(Facts(own))) == (fewest, most)
    assert links_words(Facts(own)).endswith(f"vehicles in line: {fewest} to {most} each.")


def test_no_number_of_links_fits_when_the_fewest_hang_too_low():
    fewest, _ = _links(ROUND, True)
    lowest = _lowest_m(_chains(links=fewest))
    one = _chains(ground_clearance=lowest - 1e-6)
    assert links_that_fit(Facts(one)) == (fewest, fewest)
    none = _chains(ground_clearance=lowest + 1e-6)
    assert links_that_fit(Facts(none)) is None
    assert links_wanted(Facts(none)) == (fewest, fewest - 1)
    assert links_words(Facts(none)) == (
        "No number of links both reaches and clears the road: move an anchor or tie the slack up with string."
    )
    assert links_words(Facts(without(ROUND, "hitch.receiver_height"))) == (
        "Chain links that would do: not known (hitch.receiver_height)."
    )
    assert "too short for a safety chain" in links_words(Facts(_chains(link_pitch=0.0005)))


def test_crossing_in_words():
    fewest, _ = _links(ROUND, True)
    start = "Chains NOT crossed in the rig file"
    parallel = _chains(crossed=False, links=fewest)
    assert crossing_words(Facts(parallel)) == f"{start}: cross them under the bar"
    assert crossing_words(Facts(_chains(parallel, links=fewest - 1))) == (
        f"{start}: crossed they need at least {fewest} links each ({fewest - 1} fitted); change them first,"
        " then tow"
    )
    assert crossing_words(Facts(_chains(parallel, ground_clearance=0.45))) == (
        f"{start}, and no number of links reaches crossed and clears the road: move an anchor first"
    )
    for unknown in (without(parallel, CHAINS + "links"), without(parallel, "hitch.receiver_height")):
        assert crossing_words(Facts(unknown)) == f"{start}: cross them under the bar, if they reach"
    assert crossing_words(Facts(_chains(parallel, link_pitch=0.0005))).endswith("bar, if they reach")


# ---- a bar that has let go, in words ----


def test_a_dropped_bar_in_words():
    noses = [dropped_nose(Facts(ROUND), way) for way in WAYS]
    low, slid = min(nose.height_m for nose in noses), min(nose.slid_height_m for nose in noses)
    assert low > slid >= 0
    end = "to the road" if slid == 0 else f"to {slid * 1000:.0f} mm"
    assert dropped_words(Facts(ROUND)) == (
        f"When the coupler lets go the chains hold the bar's nose {low * 1000:.0f} mm ({low / M_IN:.1f} in)"
        f" above the road while they pull; braking may let it slide through {end}: ease off, do not brake"
        " hard."
    )
    # anchors near the nose hold it after it has slid, too: lower there than home, though the nose is higher
    near = _chains(
        bar_anchor_behind_ball=0.05, receiver_anchor_behind_ball=-0.05, receiver_anchor_height=0.55, links=11
    )
    ends = {way: _nose_m(near, way, slid=True) for way in WAYS}
    for way in WAYS:
        nose = dropped_nose(Facts(near), way)
        assert (nose.height_m, nose.slid_height_m) == pytest.approx((_nose_m(near, way), ends[way]))
    assert abs(ends["out"] - ends["back"]) > 0.002
    assert f"slide through to {1000 * min(ends.values()):.0f} mm: ease off" in dropped_words(Facts(near))
    parallel = dropped_words(Facts(_chains(near, crossed=False)))
    assert parallel.endswith("above the road.") and "braking" not in parallel
    assert dropped_words(Facts(_chains(links=45))) == "When the coupler lets go the bar falls onto the road."
    assert dropped_words(Facts(without(ROUND, "tow_bar.length"))) == (
        "Where the bar ends up when the coupler lets go: not known (tow_bar.length)."
    )
