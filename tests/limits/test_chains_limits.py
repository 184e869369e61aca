"""Every chain limit by hand or by code of its own on a rig of round figures: both ways, the edge, the words,
what is missing and what is assumed. Ball 580.78125 mm up there and 595.78125 home (test_coupling_limits.py).
"""

import math
from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from tests.limits.round_rig import KG_LB, M_IN, N_LBF, ROUND, SIDE_VIEW, asked, limit_of
from tests.rigs import changed, without
from towlib.limits.chains_limits import (
    CHAIN_RULES,
    SPARE_LINKS,
    TOW_BAR_RULES,
    WEIGHED_LOADED,
    LinksWanted,
    anchors,
    chain_rule_words,
    chain_rules,
    crossing_words,
    dropped_nose,
    dropped_words,
    fitted_lowest_m,
    laid_words,
    links_that_fit,
    links_wanted,
    links_words,
    needed_length_m,
    no_links_words,
    second_pair_words,
)
from towlib.limits.decision import plain
from towlib.limits.limit import NOT_KNOWN, OVER, WAYS, WITHIN
from towlib.rig.facts import Facts, NotKnown

RULES = {rule.key: rule for rule in (*CHAIN_RULES, *TOW_BAR_RULES)}
ALWAYS = {rule.key for rule in CHAIN_RULES}
BALL = {"out": 0.58078125, "back": 0.59578125}
TOWED = {"out": 1460.0, "back": 1580.0}
CHAINS = "safety_chains."


def _chains(rig=ROUND, **values):
    for name, value in values.items():
        rig = changed(rig, CHAINS + name, value)
    return rig


# ---- geometry once more: points in space, bisection instead of closed forms ----


def _sunk_m(way, behind_m):
    """How far people and cargo lower a place behind the tow vehicle's front axle. By hand: 0.1 mm a kilogram
    at the front springs and 0.05 mm at the rear; there -10 and 290 kg are added, home 90 and 90: -1 and 14.5
    mm, 9 and 4.5 mm; in between and behind on a straight line over 4 m.
    """
    front, rear = {"out": (-0.001, 0.0145), "back": (0.009, 0.0045)}[way]
    return front + (rear - front) * behind_m / 4.0


def _places(rig, way):
    """The anchors as they stand that way: what sank since they were measured, and the bar turned about its
    pins.
    """
    c = rig.safety_chains
    then = 0.0 if c.heights_measured == "empty" else 1.0  # loaded: as on the way out
    sinks = {
        at: _sunk_m(way, behind) - then * _sunk_m("out", behind)
        for at, behind in (("receiver", 5.0 + c.receiver_anchor_behind_ball), ("ball", 5.0))
    }
    slope, _, _ = _bar_frame(rig, BALL[way] + sinks["ball"], c.bar_anchor_behind_ball, c.bar_anchor_height)
    turn = math.asin((rig.towed_vehicle.bracket_height - BALL[way]) / rig.tow_bar.length) - slope
    # from the pins, forwards and up, before; turned by that much after
    pins_m = rig.tow_bar.length * math.cos(slope)
    before = np.array(
        [c.bar_anchor_behind_ball - pins_m, c.bar_anchor_height - rig.towed_vehicle.bracket_height]
    )
    cos, sin = math.cos(turn), math.sin(turn)
    after = np.array([[cos, -sin], [sin, cos]]) @ before
    return SimpleNamespace(
        receiver_anchor_spread=c.receiver_anchor_spread,
        receiver_anchor_behind_ball=c.receiver_anchor_behind_ball,
        receiver_anchor_height=c.receiver_anchor_height - sinks["receiver"],
        bar_anchor_spread=c.bar_anchor_spread,
        bar_anchor_behind_ball=after[0] + rig.tow_bar.length * math.cos(slope + turn),
        bar_anchor_height=after[1] + rig.towed_vehicle.bracket_height,
        crossed=c.crossed,
        greatest_articulation=c.greatest_articulation,
        length=c.links * c.link_pitch,
    )


def _ends(rig, phi, side, way="out"):
    """Both ends of a chain from the ball, x behind it, y to the left, z up; the bar turned by phi."""
    c = _places(rig, way)
    receiver = np.array(
        [c.receiver_anchor_behind_ball, side * c.receiver_anchor_spread / 2, c.receiver_anchor_height]
    )
    across = (-side if c.crossed else side) * c.bar_anchor_spread / 2
    turned = np.array([[math.cos(phi), -math.sin(phi)], [math.sin(phi), math.cos(phi)]])
    return receiver, np.array([*(turned @ [c.bar_anchor_behind_ball, across]), c.bar_anchor_height])


def _in_turns_m(rig):
    """Longest distance between the ends of either chain at any angle up to the sharpest."""
    return max(max(_gaps_m(rig, way)) for way in WAYS)


def _gaps_m(rig, way, count=401):
    """Distances between the ends of both chains over the whole sweep; steps of 0.3 degrees at 60."""
    c = _places(rig, way)
    turn = np.linspace(-1, 1, count) * c.greatest_articulation
    found = []
    for side in (1, -1):
        across = (-side if c.crossed else side) * c.bar_anchor_spread / 2
        x = c.bar_anchor_behind_ball * np.cos(turn) - across * np.sin(turn) - c.receiver_anchor_behind_ball
        y = across * np.cos(turn) + c.bar_anchor_behind_ball * np.sin(turn)
        y = y - side * c.receiver_anchor_spread / 2
        found.append(np.sqrt(x**2 + y**2 + (c.bar_anchor_height - c.receiver_anchor_height) ** 2))
    return np.concatenate(found)


def _bar_frame(rig, ball_m, behind_m, height_m):
    """A point in the bar's own frame: the bar's slope, back along it from the ball, and above its line."""
    slope = math.asin((rig.towed_vehicle.bracket_height - ball_m) / rig.tow_bar.length)
    rel = np.array([behind_m, height_m - ball_m])
    return slope, rel @ [math.cos(slope), math.sin(slope)], rel @ [-math.sin(slope), math.cos(slope)]


def _bar(rig, way):
    """The anchor on the bar in the bar's own frame."""
    c = _places(rig, way)
    return _bar_frame(rig, BALL[way], c.bar_anchor_behind_ball, c.bar_anchor_height)


def _under_m(rig, way):
    """From the receiver's anchor under the coupler to the bar's, and what the slope may put it off by."""
    c, depth = _places(rig, way), rig.tow_bar.depth / 2
    nose = np.array([0.0, 0.0, BALL[way] - depth])
    receiver = [c.receiver_anchor_behind_ball, c.receiver_anchor_spread / 2, c.receiver_anchor_height]
    on_bar = [c.bar_anchor_behind_ball, -c.bar_anchor_spread / 2, c.bar_anchor_height]
    off = depth * abs(math.sin(_bar(rig, way)[0]))  # square below the bar's line, not upright
    return math.dist(receiver, nose) + math.dist(nose, on_bar), off


def _lowest_m(rig, phi=0.0, side=1, way="out"):
    """Lowest point of the hanging chain by its arc: l from the lowest point lies a·asinh(l/a) beside it and
    sqrt(a² + l²) - a above it.
    """
    low, high = _ends(rig, phi, side, way)
    span, rise = math.dist(low[:2], high[:2]), high[2] - low[2]
    length = rig.safety_chains.links * rig.safety_chains.link_pitch

    def left(a):
        return brentq(lambda m: math.hypot(a, length - m) - math.hypot(a, m) - rise, -99.0, 99.0, xtol=1e-14)

    def off(log_a):
        a = math.exp(log_a)
        return a * (math.asinh(left(a) / a) + math.asinh((length - left(a)) / a)) - span

    a = math.exp(brentq(off, math.log(1e-3), math.log(10.0), xtol=1e-14))
    return low[2] - (math.hypot(a, left(a)) - a if left(a) > 0 else 0.0)


def _lowest_in_turns_m(rig, way):
    """The same anywhere up to the sharpest turn: where the ends come nearest to each other."""
    turns = np.linspace(-1, 1, 121) * rig.safety_chains.greatest_articulation
    found = []
    for side, gaps in zip((1, -1), np.split(_gaps_m(rig, way, 121), 2), strict=True):
        # the two nearest, so that it is seen and not taken for granted that the nearest hangs lowest
        found += [_lowest_m(rig, phi, side, way) for phi in turns[np.argsort(gaps)[:2]]]
    return min(found)


def _nose_m(rig, way, *, slid=False):
    """Turn the bar down about its pins as long as both chains still reach; the vehicles roll as they like.
    Slid: the crossing holds no nose any more.
    """
    c, depth = _places(rig, way), rig.tow_bar.depth / 2
    length, pin = rig.tow_bar.length, rig.towed_vehicle.bracket_height
    _, along, above = _bar(rig, way)
    chain = c.length
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


PARTS = {
    "chain_hooks": ("hook", 2400.0),
    "chain_anchors": ("anchor", 2500.0),
    "second_pair": ("second_pair", 2600.0),
}
tried = settings(max_examples=25, derandomize=True, deadline=None, database=None)
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
    assert found == pytest.approx((_in_turns_m(rig), 24 * 0.030), abs=2e-5)  # steps of 0.3 degrees


def test_the_length_under_a_coupler_of_no_depth_is_exact():
    rig = changed(_chains(greatest_articulation=0.0), "tow_bar.depth", 1e-9)
    assert needed_length_m(Facts(rig)) == pytest.approx(max(_under_m(rig, way)[0] for way in WAYS), abs=1e-8)
    # 0.2 + 0.35 along, 0.15 - 0.10 across, 0.60 - 0.45 up; home the receiver's anchors stand 14 mm higher and
    # the bar's, at about 1.15 of 1.5 m from the pins, 11.5 mm: less to reach
    assert needed_length_m(Facts(rig), crossed=False) == pytest.approx(math.hypot(0.55, 0.05, 0.15))
    home = anchors(Facts(rig), "back")
    assert home.receiver_height_m == pytest.approx(0.464, abs=1e-12)
    assert home.bar_height_m == pytest.approx(0.6 + 0.015 * 1.15 / 1.5, abs=3e-4)


@pytest.mark.parametrize("measured", ["empty", "loaded"])
@pytest.mark.parametrize("crossed", [True, False])
@pytest.mark.parametrize("links", [23, 28, 34])
def test_how_low_the_chain_hangs_anywhere_up_to_the_sharpest_turn(crossed, links, measured):
    rig = _chains(crossed=crossed, links=links, heights_measured=measured)
    lowest = {way: _lowest_in_turns_m(rig, way) for way in WAYS}
    assert asked(RULES["chain_clearance"], rig, "out") == pytest.approx(
        (0.12, min(lowest.values())), abs=2e-5
    )
    for way in WAYS:
        assert fitted_lowest_m(Facts(rig), way) == pytest.approx(lowest[way], abs=2e-5)
        assert lowest[way] < _lowest_m(rig, way=way) - 0.01  # in line it hangs higher: that was all once


@pytest.mark.parametrize("measured", ["empty", "loaded"])
@pytest.mark.parametrize("way", WAYS)
def test_anchors_measured_empty_sink_with_the_load(way, measured):
    rig = _chains(heights_measured=measured)
    found, by_hand = anchors(Facts(rig), way), _places(rig, way)
    assert (found.receiver_height_m, found.bar_height_m) == pytest.approx(
        (by_hand.receiver_anchor_height, by_hand.bar_anchor_height), abs=1e-12
    )
    assert found.bar_behind_ball_m == pytest.approx(by_hand.bar_anchor_behind_ball, abs=1e-12)
    sunk = {("empty", "out"): 0.0176, ("empty", "back"): 0.0036, ("loaded", "out"): 0.0}
    if (measured, way) in sunk:  # 4.8 m behind the front axle: -1 + 15.5 · 1.2 and 9 - 4.5 · 1.2 mm
        assert 0.45 - found.receiver_height_m == pytest.approx(sunk[measured, way], abs=1e-12)


def test_heights_nobody_said_how_they_were_measured_count_at_both_ends():
    path = CHAINS + "heights_measured"
    lowest = {
        measured: min(fitted_lowest_m(Facts(_chains(heights_measured=measured)), way) for way in WAYS)
        for measured in ("empty", "loaded")
    }
    assert lowest["empty"] < lowest["loaded"] - 0.01
    for clearance, answer in (
        (lowest["empty"] - 1e-6, WITHIN),
        (lowest["empty"] + 1e-6, NOT_KNOWN),
        (lowest["loaded"] - 1e-6, NOT_KNOWN),
        (lowest["loaded"] + 1e-6, OVER),
    ):
        found = limit_of(RULES["chain_clearance"], without(_chains(ground_clearance=clearance), path))
        assert (found.answer, found.assumed) == (answer, (path,))
        assert answer != NOT_KNOWN or found.missing == path


def test_heights_of_an_empty_vehicle_that_was_weighed_loaded_are_not_known():
    weighed = changed(_chains(heights_measured="empty"), "tow_vehicle.weighed", "loaded")
    for key in ("chain_length", "chain_clearance", "dropped_bar"):
        found = limit_of(RULES[key], weighed)
        assert (found.answer, found.missing) == (NOT_KNOWN, WEIGHED_LOADED)
        assert limit_of(RULES[key], changed(weighed, CHAINS + "heights_measured", "loaded")).answer == WITHIN


def test_the_same_load_both_ways_needs_no_springs_for_heights_measured_loaded():
    same = ROUND.model_copy(update={"load": ROUND.load[:1]})
    bare = without(without(same, "tow_vehicle.rear_spring_rate"), "hitch.receiver_height")
    assert limit_of(RULES["chain_clearance"], bare).answer == WITHIN
    empty = changed(bare, CHAINS + "heights_measured", "empty")
    assert limit_of(RULES["chain_clearance"], empty).missing == "tow_vehicle.rear_spring_rate"


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
    }
    assert all(found[key].answer == WITHIN and not found[key].assumed for key in ALWAYS)
    noses = {way: _nose_m(ROUND, way) for way in WAYS}
    shares = {way: (BALL[way] - noses[way]) / (BALL[way] - 0.12) for way in WAYS}
    assert shares["out"] > shares["back"]  # home the receiver's anchors stand higher, and so does the nose
    # the longest way under the coupler and the lowest point are looked for on both ways at once
    asked_once = {"chain_length", "chain_clearance", *(rule.key for rule in TOW_BAR_RULES)}
    assert {key for key, rule in RULES.items() if not rule.per_way} == asked_once


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
    lowest = min(fitted_lowest_m(Facts(ROUND), way) for way in WAYS)
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


TOWED_WEIGHT = ("towed_vehicle.front_axle_empty", "towed_vehicle.rear_axle_empty")
PLACES = tuple(
    f"{CHAINS}{end}_anchor_{name}"
    for end in ("receiver", "bar")
    for name in ("spread", "behind_ball", "height")
)
FITTED = (CHAINS + "links", CHAINS + "link_pitch")
DROP = (
    "tow_vehicle.wheelbase",
    "tow_vehicle.ball_behind_rear_axle",
    "tow_vehicle.front_spring_rate",
    "tow_vehicle.rear_spring_rate",
)
NEEDS = {
    "chain_strength": (*TOWED_WEIGHT, CHAINS + "size", CHAINS + "grade"),
    "chain_hooks": (*TOWED_WEIGHT, CHAINS + "hook_rating"),
    "chain_anchors": (*TOWED_WEIGHT, CHAINS + "anchor_rating"),
    "chain_length": (*PLACES, *SIDE_VIEW, *FITTED),
    "chain_clearance": (*PLACES, *FITTED),
    "dropped_bar": (*PLACES, *SIDE_VIEW, *FITTED),
    "second_pair": (*TOWED_WEIGHT, CHAINS + "second_pair_rating"),
    "chain_slack": (*PLACES, *SIDE_VIEW, *FITTED),
    "chains_laid": (CHAINS + "tied_to_bar", CHAINS + "to_both_vehicles"),
}
STARRED = {
    "chain_strength": (CHAINS + "rule_strength", CHAINS + "rule_count", "tow_bar.mass"),
    "chain_hooks": (CHAINS + "rule_strength", CHAINS + "rule_count", "tow_bar.mass"),
    "chain_anchors": (CHAINS + "rule_strength", CHAINS + "rule_count", "tow_bar.mass"),
    "second_pair": (CHAINS + "rule_strength", CHAINS + "rule_count", "tow_bar.mass"),
    "chain_length": (
        CHAINS + "greatest_articulation",
        CHAINS + "crossed",
        CHAINS + "heights_measured",
        "hitch.ball_diameter",
        "tow_bar.depth",
        "tow_bar.mass",
    ),
    "chain_clearance": (
        CHAINS + "ground_clearance",
        CHAINS + "greatest_articulation",
        CHAINS + "crossed",
        CHAINS + "heights_measured",
        "hitch.ball_diameter",
    ),
    "chain_slack": (
        CHAINS + "greatest_articulation",
        CHAINS + "crossed",
        CHAINS + "heights_measured",
        "hitch.ball_diameter",
        "tow_bar.depth",
        "tow_bar.mass",
    ),
    "chains_laid": (CHAINS + "crossed",),
    "dropped_bar": (
        CHAINS + "ground_clearance",
        CHAINS + "crossed",
        CHAINS + "heights_measured",
        "hitch.ball_diameter",
        "tow_bar.depth",
        "tow_bar.mass",
    ),
}


def test_every_chain_limit_has_its_needs_here():
    assert set(NEEDS) == set(STARRED) == set(RULES)


@pytest.mark.parametrize(("key", "path"), [(key, path) for key, paths in NEEDS.items() for path in paths])
def test_without_a_field_it_hangs_on_it_is_not_known(key, path):
    found = limit_of(RULES[key], without(BAR_RULE if key not in ALWAYS else ROUND, path))
    assert (found.answer, found.missing) == (NOT_KNOWN, path)
    assert found.answer_text() == f"not known ({path})"


@pytest.mark.parametrize(("key", "path"), [(key, path) for key, paths in STARRED.items() for path in paths])
def test_what_is_assumed_is_starred(key, path):
    found = limit_of(RULES[key], without(BAR_RULE if key not in ALWAYS else ROUND, path))
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
        assert {rule.key for rule in chain_rules(Facts(rig))} | {"second_pair"} == ALWAYS
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
    """Fewest links that reach and do not bind, and most that clear the road in every turn and that hold a
    dropped bar: each by the code above, one number of links after the other.
    """
    rig = _chains(rig, crossed=crossed)
    clear = rig.safety_chains.ground_clearance
    needed = max([_in_turns_m(rig), *(_under_m(rig, way)[0] for way in WAYS if crossed)])
    straight = max(math.dist(*_ends(rig, 0.0, 1, way)) for way in WAYS)

    def last(start, low_m):
        """The last number of links with which nothing comes lower than it may."""
        links = start
        while all(low_m(_chains(rig, links=links), way) >= clear for way in WAYS):
            links += 1
        return links - 1

    fewest = math.ceil(needed / 0.030)
    return fewest, last(math.ceil(straight / 0.030), _lowest_in_turns_m), last(fewest, _nose_m)


@pytest.mark.parametrize("crossed", [True, False])
@pytest.mark.parametrize(
    ("base", "clearance"), [(ROUND, 0.12), (ROUND, 0.2), (DEEP, 0.2)], ids=("near", "high", "deep")
)
def test_links_that_fit(crossed, base, clearance):
    rig = _chains(base, ground_clearance=clearance)
    fewest, clear, held = _links(rig, crossed)
    found = links_wanted(Facts(rig), crossed=crossed)
    assert (found.fewest, found.clear, found.held) == (fewest, clear, held)
    most = min(clear, held)
    assert found.most == most == found.allowed
    fit = (fewest, most) if fewest <= most else None
    assert links_that_fit(Facts(rig), crossed=crossed) == fit
    own = _chains(rig, crossed=crossed)
    assert links_that_fit(Facts(own)) == fit
    if fit:
        each = f"{fewest} to {most}" if fewest < most else f"{fewest}"
        assert links_words(Facts(own)) == (
            "Links that reach, do not bind, clear the road up to the sharpest turn and keep a dropped bar off"
            f" it: {each} each."
        )


def test_the_window_is_that_of_the_limits():
    fewest, most = links_that_fit(Facts(ROUND))
    for links in range(fewest - 1, most + 3):
        answers = {
            key: limit_of(RULES[key], _chains(links=links)).answer
            for key in ("chain_length", "chain_clearance", "dropped_bar")
        }
        assert (set(answers.values()) == {WITHIN}) == (fewest <= links <= most), links


@tried
@given(
    st.integers(22, 40),
    st.integers(1, 8),
    st.booleans(),
    st.sampled_from(["empty", "loaded"]),
    st.floats(0.35, 0.6),
    st.floats(0.15, 0.6),
)
def test_longer_never_clears_more_nor_holds_the_bar_higher(links, more, crossed, measured, height, behind):
    rig = _chains(
        crossed=crossed,
        heights_measured=measured,
        receiver_anchor_height=height,
        bar_anchor_behind_ball=behind,
    )
    for key in ("chain_clearance", "dropped_bar"):
        short, long = (plain(RULES[key], Facts(_chains(rig, links=each))) for each in (links, links + more))
        if short.room is not None:
            assert long.room is not None and long.room <= short.room + 1e-12
    reach = RULES["chain_length"], Facts(_chains(rig, links=links))
    assert plain(*reach).room is None or plain(*reach).room <= limit_of(reach[0], _chains(rig, links=80)).room


@tried
@given(
    st.sampled_from(sorted(PARTS)),
    st.floats(200.0, 9000.0),
    st.floats(0.5, 0.99),
    st.sampled_from(["working", "breaking", "tow-bar"]),
    st.sampled_from(["each", "both"]),
    st.one_of(st.none(), st.floats(300.0, 20000.0)),
)
def test_a_weaker_part_never_looks_better(key, rated, share, compare, count, breaks):
    part, _ = PARTS[key]
    better, worse = (
        limit_of(
            RULES[key],
            _chains(
                rule_strength=compare,
                rule_count=count,
                **{f"{part}_rating": rated * each, f"{part}_breaking": breaks and breaks * each},
            ),
        )
        for each in (1.0, share)
    )
    assert worse.answer != WITHIN or better.answer == WITHIN
    assert worse.capacity is None or better.capacity is None or worse.capacity <= better.capacity


def test_side_by_side_no_number_of_links_holds_a_dropped_bar_here():
    fewest, most = links_that_fit(Facts(ROUND))
    parallel = _chains(crossed=False)
    assert links_that_fit(Facts(parallel)) is None
    assert links_words(Facts(parallel)) == (
        "Side by side no number of links reaches, clears the road in every turn and keeps a dropped bar off"
        f" it; crossed under the bar {fewest} to {most} each do."
    )


def test_no_number_of_links_fits_when_the_fewest_hang_too_low_or_let_the_bar_down():
    fewest, _, _ = _links(ROUND, True)
    chains = _chains(links=fewest)
    lowest = min(fitted_lowest_m(Facts(chains), way) for way in WAYS)
    nose = min(_nose_m(chains, way) for way in WAYS)
    assert nose < lowest  # the bar comes down lower than the chain hangs
    one = _chains(ground_clearance=nose - 1e-6)
    assert links_that_fit(Facts(one)) == (fewest, fewest)
    said = links_words(Facts(_chains(one, crossed=False)))
    assert said.endswith(f"keeps a dropped bar off it; crossed under the bar {fewest} each do.")
    none = _chains(ground_clearance=nose + 1e-6)
    found = links_wanted(Facts(none))
    assert links_that_fit(Facts(none)) is None and (found.fewest, found.held) == (fewest, fewest - 1)
    assert (
        links_words(Facts(none))
        == no_links_words(found)
        == ("No number of links both reaches and keeps a dropped bar off the road: other anchors.")
    )
    # one number clears the road, and lets the bar down: the bar is to blame
    assert no_links_words(LinksWanted(fewest, fewest, fewest - 1, fewest)) == no_links_words(found)
    low = _chains(ground_clearance=lowest + 1e-6)
    found = links_wanted(Facts(low))
    assert (found.clear, found.held) == (fewest - 1, fewest - 1)
    assert links_words(Facts(low)) == (
        "No number of links both reaches and clears the road: move an anchor, or tie the slack up with a"
        " breakable string."
    )
    assert links_words(Facts(without(ROUND, "hitch.receiver_height"))) == (
        "Chain links that would do: not known (hitch.receiver_height)."
    )
    assert "too short for a safety chain" in links_words(Facts(_chains(link_pitch=0.0005)))


def test_crossing_in_words():
    fewest, most = links_that_fit(Facts(ROUND))
    start = "Chains NOT crossed in the rig file"
    parallel = _chains(crossed=False, links=fewest)
    assert crossing_words(Facts(parallel)) == f"{start}: cross them under the bar"
    for links in (fewest - 1, most + 1):
        assert crossing_words(Facts(_chains(parallel, links=links))) == (
            f"{start}: crossed they take {fewest} to {most} links each ({links} fitted); change them first,"
            " then tow"
        )
    assert crossing_words(Facts(_chains(parallel, ground_clearance=0.45))) == (
        f"{start}, and crossed no number of links reaches, clears the road in every turn and keeps a dropped"
        " bar off it: move an anchor first"
    )
    for unknown in (without(parallel, CHAINS + "links"), without(parallel, "hitch.receiver_height")):
        assert crossing_words(Facts(unknown)) == f"{start}: cross them under the bar, if they reach"
    assert crossing_words(Facts(_chains(parallel, link_pitch=0.0005))).endswith("bar, if they reach")


# ---- hooks by the chain's own rule ----


@pytest.mark.parametrize("key", PARTS)
@pytest.mark.parametrize(
    ("count", "compare", "times", "of"),
    [
        ("each", "working", 1, "rating"),
        ("both", "working", 2, "rating"),
        ("each", "breaking", 1, "breaking"),
        ("both", "breaking", 2, "breaking"),
    ],
)
def test_every_part_is_compared_as_the_chain_is(key, count, compare, times, of):
    part, rated = PARTS[key]
    rig = _chains(rule_count=count, rule_strength=compare, **{f"{part}_breaking": 3 * rated})
    found = limit_of(RULES[key], rig)
    assert found.capacity == pytest.approx(times * rated * (3 if of == "breaking" else 1), rel=1e-12)
    assert found.demand == pytest.approx(1580.0, rel=1e-12) and found.answer == WITHIN


@pytest.mark.parametrize("key", PARTS)
def test_without_a_breaking_load_a_working_load_that_is_enough_is_enough_and_no_other(key):
    part, _ = PARTS[key]
    for rated, answer, missing in (
        (1580.0, WITHIN, ""),
        (math.nextafter(1580.0, 0.0), NOT_KNOWN, f"{CHAINS}{part}_breaking"),
        (None, NOT_KNOWN, f"{CHAINS}{part}_rating"),
    ):
        rig = _chains(rule_strength="breaking", **{f"{part}_rating": rated})
        found = limit_of(RULES[key], rig)
        assert (found.answer, found.missing) == (answer, missing)
    # a breaking load that is given decides, both ways
    for breaks, answer in ((1580.0, WITHIN), (1579.0, OVER)):
        rig = _chains(rule_strength="breaking", **{f"{part}_breaking": breaks, f"{part}_rating": 500.0})
        assert limit_of(RULES[key], rig).answer == answer
    # and says nothing where working loads are compared
    assert (
        limit_of(RULES[key], _chains(**{f"{part}_breaking": 9000.0, f"{part}_rating": 500.0})).answer == OVER
    )


# ---- the tow-bar rule ----


BAR_RULE = _chains(rule_strength="tow-bar", to_both_vehicles=True, tied_to_bar=True, links=23)


@pytest.mark.parametrize(
    ("size", "grade", "towed_lb", "asked_lbf", "holds_lbf", "answer"),
    [
        # 49 CFR 393.71(h)(1) and (h)(10)(i): 6,500 lbf below 5,000 lb, 1.3 times the weight above, of both
        # chains together; breaking loads of the check value list: 4 · 1,300, 3 · 2,600 and 4 · 1,900 each
        ("1/4", "30", 3395, 6500, 2 * 4 * 1300, WITHIN),
        ("1/4", "43", 3395, 6500, 2 * 3 * 2600, WITHIN),
        ("1/4", "30", 5200, 6760, 2 * 4 * 1300, WITHIN),
        ("1/4", "30", 9000, 11700, 2 * 4 * 1300, OVER),
        ("5/16", "30", 9000, 11700, 2 * 4 * 1900, WITHIN),
    ],
)
def test_the_pair_against_the_load_of_the_tow_bar_rule(size, grade, towed_lb, asked_lbf, holds_lbf, answer):
    rig = _chains(BAR_RULE, size=size, grade=grade)
    more = towed_lb * KG_LB - 1580.0
    rig = changed(rig, "towed_vehicle.rear_axle_empty", 600.0 + more)
    found = limit_of(RULES["chain_strength"], rig)
    assert (found.demand, found.capacity, found.answer) == (
        pytest.approx(asked_lbf * N_LBF, rel=1e-9),
        pytest.approx(holds_lbf * N_LBF, rel=1e-9),
        answer,
    )
    # what they are fixed to holds the same: two hooks of 2,400 kg working load
    hooks = limit_of(RULES["chain_hooks"], rig)
    assert RULES["chain_hooks"].demand(Facts(rig), "back") == pytest.approx(asked_lbf * KG_LB, rel=1e-9)
    enough = asked_lbf * KG_LB <= 4800.0
    assert (hooks.answer, hooks.missing) == (
        (WITHIN, "") if enough else (NOT_KNOWN, CHAINS + "hook_breaking")
    )
    # neither count nor comparison of another law is read
    assert limit_of(RULES["chain_strength"], _chains(rig, rule_count="each")) == found


def test_what_the_tow_bar_rule_asks_besides_is_asked_only_where_it_is_chosen():
    keys = {rule.key for rule in TOW_BAR_RULES}
    for rule, asked_for in (("tow-bar", True), ("working", False), ("breaking", False), (None, False)):
        found = {each.key for each in chain_rules(Facts(_chains(rule_strength=rule)))}
        assert found == ALWAYS | (keys if asked_for else set())
    said = chain_rule_words(Facts(BAR_RULE))
    assert "49 CFR 393.71(h)" in said and "binds motor carriers" in said
    assert chain_rule_words(Facts(ROUND)) == (
        "Chains held against the towed weight: each chain alone, working load; ask your law."
    )
    assert "both chains together, breaking load" in chain_rule_words(
        Facts(_chains(rule_count="both", rule_strength="breaking"))
    )


@pytest.mark.parametrize("name", ["to_both_vehicles", "tied_to_bar", "crossed"])
def test_crossed_tied_and_to_both_vehicles(name):
    laid = RULES["chains_laid"]
    assert limit_of(laid, BAR_RULE).answer == WITHIN and asked(laid, BAR_RULE, "out") == (1.0, 1.0)
    assert limit_of(laid, _chains(BAR_RULE, **{name: False})).answer == OVER
    unsaid = limit_of(laid, without(BAR_RULE, CHAINS + name))
    assert (unsaid.answer, unsaid.missing) == (NOT_KNOWN, CHAINS + name)
    # one that is not so decides, whatever is known of the others
    others = {each: None for each in ("to_both_vehicles", "tied_to_bar") if each != name}
    assert limit_of(laid, _chains(BAR_RULE, **{name: False, **others})).answer == OVER


def test_what_is_not_said_of_how_they_lie_is_named():
    bare = _chains(BAR_RULE, to_both_vehicles=None, tied_to_bar=None)
    found = limit_of(RULES["chains_laid"], bare)
    assert found.missing == f"{CHAINS}tied_to_bar; {CHAINS}to_both_vehicles"
    assert laid_words(Facts(BAR_RULE)) == "They lie as it asks."
    assert laid_words(Facts(bare)).startswith(
        "Tie them to the bar where they cross, or as near as can be; run"
    )
    assert laid_words(Facts(_chains(BAR_RULE, crossed=False))) == "Cross them under the bar."


def test_no_longer_than_free_turning_needs():
    fewest, _, _ = _links(ROUND, True)
    assert SPARE_LINKS == 1
    for links, answer in ((fewest, WITHIN), (fewest + 1, WITHIN), (fewest + 2, OVER)):
        found = limit_of(RULES["chain_slack"], _chains(BAR_RULE, links=links))
        assert (found.answer, found.capacity) == (answer, pytest.approx((fewest + 1) * 0.030, rel=1e-12))
    assert links_words(Facts(BAR_RULE)).endswith(f"each; the tow-bar rule allows {fewest + 1}.")
    wanted = links_wanted(Facts(BAR_RULE))
    assert wanted.allowed == fewest + 1 < wanted.most


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
