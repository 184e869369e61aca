"""Receiver, brackets, bar and fastenings under the rig's own braking and under what rules ask: by hand on the
rig of round figures, both ways, the edge, the words, what is missing and what is assumed.

By hand: tow vehicle 2,490 and 2,390 kg, towed 1,460 and 1,580 kg (test_weights_limits.py); 8 m/s² alone; ball
and slope as in test_coupling_limits.py.
"""

import math
from typing import get_args

import numpy as np
import pytest

from tests.limits.round_rig import KG_LB, N_LBF, ROUND, SIDE_VIEW, asked, limit_of
from tests.limits.test_attachment_limits import STEEP, _made_road, _on_brackets, part_uses
from tests.rigs import changed, without
from towlib.limits.envelope import cases_on_grades, floor_loads, heaviest, tow_bar_rule_loads
from towlib.limits.envelope_limits import (
    BUMPER_BAR,
    FEDERAL,
    NONE,
    TRAILER,
    bar_rule_words,
    envelope_rules,
    weakest_of,
)
from towlib.limits.limit import NOT_KNOWN, OVER, WAYS, WITHIN
from towlib.limits.loads import own_deceleration_m_s2
from towlib.physics.hitch.load_cases import BracketLoads, Case, Force
from towlib.rig.facts import Facts, NotKnown
from towlib.rig.model import TowBar

G = 9.80665
RULES = {rule.key: rule for rule in (*envelope_rules(Facts(ROUND), STEEP), BUMPER_BAR)}
TOWED, TOW = {"out": 1460.0, "back": 1580.0}, {"out": 2490.0, "back": 2390.0}
BALL = {"out": 0.58078125, "back": 0.59578125}
SLOPE = {way: math.asin((0.7 - BALL[way]) / 1.5) for way in WAYS}
OWN = {way: 8.0 * TOW[way] / (TOW[way] + TOWED[way]) for way in WAYS}
DOWN = math.sin(math.atan(0.08))  # the made road's steepest


def _vertical(way, slope, braking):
    return 10.0 + TOWED[way] * braking / G * abs(math.tan(slope))  # 10 kg of the bar rest there


VERTICAL = {way: _vertical(way, SLOPE[way], OWN[way] + G * DOWN) for way in WAYS}


def test_own_braking_and_what_of_it_climbs_the_bar():
    for way in WAYS:
        assert own_deceleration_m_s2(Facts(ROUND), way) == pytest.approx(OWN[way], rel=1e-12)
        assert asked(RULES["vertical_load"], ROUND, way) == pytest.approx((VERTICAL[way], 230.0), rel=1e-12)
    # 5.04 and 4.82 m/s²; half a g on the level would have been 68.2 and 65.0 kg
    assert [round(OWN[way], 2) for way in WAYS] == [5.04, 4.82]
    assert [round(VERTICAL[way], 1) for way in WAYS] == [79.1, 72.8]
    assert limit_of(RULES["vertical_load"], ROUND).way == "out"


def test_brackets_below_the_ball_lift_it_and_a_level_bar_only_weighs():
    low = changed(ROUND, "towed_vehicle.bracket_height", 0.48)
    for way in WAYS:
        slope = math.asin((0.48 - BALL[way]) / 1.5)
        expected = _vertical(way, slope, OWN[way] + G * DOWN)
        assert asked(RULES["vertical_load"], low, way)[0] == pytest.approx(expected)
    assert limit_of(RULES["vertical_load"], low).way == "back"
    level = changed(ROUND, "towed_vehicle.bracket_height", BALL["out"])
    assert asked(RULES["vertical_load"], level, "out")[0] == pytest.approx(10.0)


def test_a_rig_that_brakes_harder_than_half_a_g_is_no_longer_within():
    # 8.4 m/s² alone, 74.1 % of the pair: 6.22 m/s²; counted as half a g, 97 of 100 kg. Level 123, on 8.9 %
    # 139 to 140 kg (the push alone, a bar without weight): 97 · 6.22/4.903 and 97 · (6.22 + 0.869)/4.903
    rig = changed(ROUND, "tow_vehicle.brakes.deceleration_alone", 6.22 * 3950 / 2490)
    rig = changed(rig, "tow_bar.mass", 1e-9)
    tangent = 97.0 / (1450.0 * 0.5)  # 1,450 kg without the bar's end
    facts = Facts(changed(rig, "hitch.receiver_vertical_rating", 100.0)).other(
        {"tow_bar.slope": math.atan(tangent)}
    )
    for grade, kg in ((0.0, 123.1), (0.089, 140.2)):
        rule = {r.key: r for r in envelope_rules(facts, _made_road(grade))}["vertical_load"]
        # without the bar's end the pair is 20 kg lighter, and brakes a hair harder
        assert rule.demand(facts, "out") == pytest.approx(kg, rel=3e-3)
        assert rule.demand(facts, "out") > rule.capacity(facts, "out")


# ---- brackets under what rules ask ----


def _use_of(rig, force, side):
    """Share of yield of the weakest part of one bracket under one force at its pin, by vectors in space."""
    return max(part_uses(rig, force, side).values())


def _along(way, newtons):
    return np.array([newtons, 0.0, -newtons * math.tan(SLOPE[way])])


def _floor(way):
    """Forces on the left and on the right bracket: 1.5 g along, 0.5 g across, 0.5 g up and down."""
    weight = 9.81 * TOWED[way]  # R55's own g
    forces = [_along(way, sign * 1.5 * weight) for sign in (1, -1)]
    forces += [np.array([0.0, sign * 0.5 * weight, 0.0]) for sign in (1, -1)]
    arms = [_on_brackets(ROUND, way, force) for force in forces]
    return [*arms, *([np.array([0.0, 0.0, sign * weight / 4])] * 2 for sign in (1, -1))]


@pytest.mark.parametrize("way", WAYS)
def test_brackets_under_what_couplings_are_asked_to_bear(way):
    use = max(
        _use_of(ROUND, force, side) for pair in _floor(way) for force, side in zip(pair, (1, -1), strict=True)
    )
    assert asked(RULES["bracket_floor"], ROUND, way) == pytest.approx((use, 1.0), rel=1e-9)


@pytest.mark.parametrize("way", WAYS)
def test_fastenings_under_the_load_of_the_tow_bar_rule(way):
    # 1,460 and 1,580 kg are 3,219 and 3,483 lb: below 5,000 lb, 6,500 lbf, pull and push
    pairs = [_on_brackets(ROUND, way, _along(way, sign * 6500 * N_LBF)) for sign in (1, -1)]
    use = max(
        _use_of(ROUND, force, side) for pair in pairs for force, side in zip(pair, (1, -1), strict=True)
    )
    assert asked(RULES["fastening_towed"], ROUND, way) == pytest.approx((use, 1.0), rel=1e-9)


def test_what_the_tow_bar_rule_asks_of_bar_and_tow_frame():
    for way in WAYS:
        assert asked(RULES["bar_strength"], ROUND, way) == pytest.approx((6500 * N_LBF, 40e3))
        assert asked(RULES["fastening_tow"], ROUND, way) == pytest.approx((6500 * N_LBF, 50e3))
    # 5,200 lb on the way out: 1.3 times its weight, 6,760 lbf; 1,460 kg stand there now, 600 of them behind
    heavy = changed(ROUND, "towed_vehicle.rear_axle_empty", 600.0 + 5200 * KG_LB - 1460.0)
    for key in ("bar_strength", "fastening_tow"):
        assert asked(RULES[key], heavy, "out")[0] == pytest.approx(6760 * N_LBF)
        assert asked(RULES[key], heavy, "back")[0] == pytest.approx(1.3 * (5200 * KG_LB + 120.0) * G)
        assert limit_of(RULES[key], heavy).way == "back"


def test_all_loads_and_their_names():
    floor = [case.name for case, _ in floor_loads(Facts(ROUND), "out")]
    assert floor == [
        "1.5 g along, pull",
        "1.5 g along, push",
        "hitch test along, pull",
        "hitch test along, push",
        "0.5 g across",
        "hitch test across",
        "0.5 g up",
        "0.5 g down",
    ]
    (pull, first), (push, second) = tow_bar_rule_loads(Facts(ROUND), "out")
    assert (pull.name, push.name) == ("tow-bar rule, pull", "tow-bar rule, push")
    assert first.left_arm_n == pytest.approx(-second.left_arm_n) and first.left_arm_n > 0


def test_every_load_of_rule_and_test_by_hand():
    # 1,460 kg: R55 with its own g of 9.81; the hitch test 0.23 and 0.20 of the weight, 1,530 and 500 lbf more
    weight, pounds = 1460.0 * 9.81, 1460.0 / KG_LB
    along = {"1.5 g": 1.5 * weight, "hitch test": (0.23 * pounds + 1530.0) * N_LBF}
    across = {"0.5 g": 0.5 * weight, "hitch test": (0.20 * pounds + 500.0) * N_LBF}
    by_hand = {f"{name} across": np.array([0.0, n, 0.0]) for name, n in across.items()}
    for word, sign in (("pull", 1.0), ("push", -1.0)):
        by_hand |= {f"{name} along, {word}": _along("out", sign * n) for name, n in along.items()}
        by_hand[f"tow-bar rule, {word}"] = _along("out", sign * 6500.0 * N_LBF)
    upright = {"0.5 g up": 0.5 * weight, "0.5 g down": -0.5 * weight}
    found = [*floor_loads(Facts(ROUND), "out"), *tow_bar_rule_loads(Facts(ROUND), "out")]
    assert {case.name for case, _ in found} == {*by_hand, *upright} and len(found) == 10
    for case, loads in found:
        assert case.reserve == 1.0  # nothing is taken twice
        if case.name in upright:  # half on each bracket, nothing in the arms
            half = (0.0, 0.0, pytest.approx(upright[case.name] / 2, rel=1e-9))
            assert case.force == (0.0, 0.0, pytest.approx(upright[case.name], rel=1e-9))
            assert (loads.left, loads.right, loads[2:]) == (half, half, (0.0, 0.0))
            continue
        assert case.force == pytest.approx(tuple(by_hand[case.name]), rel=1e-9, abs=1e-9)
        pair = _on_brackets(ROUND, "out", by_hand[case.name])
        assert loads.left == pytest.approx(tuple(pair[0]), rel=1e-9, abs=1e-6)
        assert loads.right == pytest.approx(tuple(pair[1]), rel=1e-9, abs=1e-6)


def test_loads_are_worked_out_again_where_more_than_the_bracket_is_changed():
    facts, longer = Facts(ROUND), {"tow_bar.length": 1.8}
    told = Facts(changed(ROUND, "tow_bar.length", 1.8))
    for loads in (floor_loads, tow_bar_rule_loads):
        before = loads(facts, "out")
        assert loads(facts.other({"bracket.pin_yield": 1e9}), "out") is before
        for also in ({}, {"bracket.pin_yield": 1e9}):
            assert loads(facts.other({**longer, **also}), "out") == loads(told, "out") != before


def test_brakes_that_the_grade_alone_slows_enough_for_do_nothing():
    # up 30 %, g sin = 2.82 m/s²: more than the 1 m/s² asked, so nothing is left for own brakes
    with_brakes, without_any = (
        cases_on_grades(
            Facts(ROUND), "out", climb=0.0, descent=0.3, deceleration_m_s2=1.0, own_brake_share=share
        )
        for share in (1.0, 0.0)
    )
    assert with_brakes == without_any


def test_the_heaviest_are_the_hardest_pull_and_push_of_either_arm():
    def loaded(name, left, right):
        force = Force(1.0, 0.0, 0.0)
        return Case(name, force, 1.0), BracketLoads(force, force, left, right)

    a, b, c, d = loaded("a", 1, 5), loaded("b", 4, -2), loaded("c", -3, 0), loaded("d", -9, 9)
    assert heaviest([a, b, c]) == (a, c)
    assert heaviest([b, a, c][:2]) == (a, b)
    assert heaviest([a, b, c, d]) == (d,)


@pytest.mark.parametrize(("which", "name"), [(0, "pull"), (1, "push"), (2, "up")])
def test_the_hardest_pull_push_or_upright_load_decides(which, name):
    # ten times the one that is to decide; by vectors what it uses of the bracket
    forces = [np.array([900.0, -180.0, 0.0]), np.array([-1000.0, 200.0, 0.0]), np.array([0.0, 0.0, 300.0])]
    forces[which] = 10.0 * forces[which]
    arms = [math.copysign(np.linalg.norm(force), force[0]) for force in forces[:2]] + [0.0]
    cases = [
        (Case(word, Force(*force), 1.0), BracketLoads(Force(*force), Force(0.0, 0.0, force[2]), arm, 0.0))
        for word, force, arm in zip(("pull", "push", "up"), forces, arms, strict=True)
    ]
    found = weakest_of(Facts(ROUND), cases)
    assert found.case == name
    assert 1.0 / found.load_factor == pytest.approx(_use_of(ROUND, forces[which], 1), rel=1e-9)


@pytest.mark.parametrize("side", [1, -1])
@pytest.mark.parametrize("sign", [1, -1])
def test_the_hardest_arm_may_be_of_either_bracket(side, sign):
    # bolts decide, which a side force turns one way on the left bracket and the other way on the right one
    strong = changed(changed(ROUND, "bracket.plate_yield", 1e12), "bracket.pin_yield", 1e12)
    hard, light = Force(sign * 1000.0, 900.0, 0.0), Force(sign * 10.0, 0.0, 0.0)
    arms = {1: (hard, light, sign * 1345.0, sign * 10.0), -1: (light, hard, sign * 10.0, sign * 1345.0)}
    cases = [(Case("hard", hard, 1.0), BracketLoads(*arms[side]))]
    uses = {each: _use_of(strong, np.array(hard), each) for each in (1, -1)}
    assert uses[1] != pytest.approx(uses[-1], rel=1e-2)
    assert 1.0 / weakest_of(Facts(strong), cases).load_factor == pytest.approx(uses[side], rel=1e-9)


def test_brackets_that_are_not_known_stay_so():
    with pytest.raises(NotKnown, match=r"bracket\.pin_yield"):
        weakest_of(Facts(without(ROUND, "bracket.pin_yield")), floor_loads(Facts(ROUND), "out"))
    one_line = tuple(bolt.model_copy(update={"behind_pin": 0.06}) for bolt in ROUND.bracket.bolts)
    with pytest.raises(NotKnown, match="line"):
        weakest_of(Facts(changed(ROUND, "bracket.bolts", one_line)), floor_loads(Facts(ROUND), "out"))


# ---- which rule ----


@pytest.mark.parametrize(("rule", "asks"), [(FEDERAL, True), (TRAILER, False), (NONE, False), (None, True)])
def test_the_rule_chosen_decides_what_is_asked(rule, asks):
    found = {r.key for r in envelope_rules(Facts(changed(ROUND, "tow_bar.rule", rule)), STEEP)}
    assert ({"bar_strength", "fastening_towed", "fastening_tow", "tracking"} <= found) == asks
    assert {"vertical_load", "bracket_floor"} <= found and len(found) == (7 if asks else 2)


@pytest.mark.parametrize(("adjustable", "asks"), [(True, True), (None, True), (False, False)])
def test_only_a_bar_of_one_length_is_not_asked_for_its_sag(adjustable, asks):
    rig = changed(ROUND, "tow_bar.adjustable", adjustable)
    assert ("bar_sag" in {r.key for r in envelope_rules(Facts(rig), STEEP)}) == asks


def test_sag_and_tracking_by_the_rule():
    # (h)(4): 0.25 in with 50 lbf in the middle; (h)(7): 3 in to either side
    assert asked(RULES["bar_sag"], ROUND, "out") == pytest.approx((0.004, 0.00635))
    assert asked(RULES["tracking"], ROUND, "out") == pytest.approx((0.050, 0.0762))
    straight = changed(changed(ROUND, "tow_bar.sag", 0.0), "tow_bar.off_track", 0.0)
    assert {limit_of(RULES[key], straight).answer for key in ("bar_sag", "tracking")} == {WITHIN}


@pytest.mark.parametrize(("share", "asks"), [(0.85, False), (0.95, True), (1.2, True)])
def test_a_bar_of_a_clearly_lighter_vehicle_is_not_asked_where_it_pulls(share, asks):
    rig = changed(ROUND, "towed_vehicle.rear_axle_empty", 600.0 + share * 5_000 * KG_LB - 1580.0)
    assert ("bumper_bar" in {r.key for r in envelope_rules(Facts(rig), STEEP)}) == asks
    unknown = without(rig, "towed_vehicle.rear_axle_empty")
    assert "bumper_bar" in {r.key for r in envelope_rules(Facts(unknown), STEEP)}


@pytest.mark.parametrize(
    ("pounds", "on_bumpers", "answer"),
    [
        (4_999.9, True, WITHIN),
        (4_999.9, None, WITHIN),  # (d): only above 5,000 lb
        (5_000.1, False, WITHIN),
        (5_000.1, True, OVER),
        (5_000.1, None, NOT_KNOWN),
    ],
)
def test_a_bar_that_pulls_on_bumpers_tows_no_more_than_five_thousand_pounds(pounds, on_bumpers, answer):
    # 1,580 kg on the way back, the heavier one; 600 kg of them stand on the rear axle
    rig = changed(ROUND, "towed_vehicle.rear_axle_empty", 600.0 + pounds * KG_LB - 1580.0)
    rig = changed(rig, "tow_bar.pulls_on_bumpers", on_bumpers)
    found = limit_of(RULES["bumper_bar"], rig)
    assert found.answer == answer
    if answer == OVER:
        assert (
            found.answer_text() == "over: not fulfilled" and asked(RULES["bumper_bar"], rig, "back")[1] == 0.0
        )
    if answer == NOT_KNOWN:
        assert found.missing == "tow_bar.pulls_on_bumpers"


@pytest.mark.parametrize(
    ("rule", "words"),
    [(FEDERAL, "393.71(h): it binds US motor carriers"), (TRAILER, "binds trailers"), (NONE, "no rule: ask")],
)
def test_the_rule_in_words_says_whom_it_binds(rule, words):
    assert words in bar_rule_words(Facts(changed(ROUND, "tow_bar.rule", rule)))
    assert bar_rule_words(Facts(without(ROUND, "tow_bar.rule"))) == bar_rule_words(Facts(ROUND))


def test_the_rules_that_can_be_chosen():
    literal, _ = get_args(TowBar.model_fields["rule"].annotation)
    assert get_args(literal) == (FEDERAL, TRAILER, NONE)


def test_a_weight_to_tow_is_no_strength():
    bare = without(changed(ROUND, "tow_bar.rating", 9000.0), "tow_bar.strength_along")
    assert limit_of(RULES["bar_strength"], bare).missing == "tow_bar.strength_along"


# ---- the edge, the words, what is missing ----

RATING = {
    "vertical_load": "hitch.receiver_vertical_rating",
    "bar_strength": "tow_bar.strength_along",
    "fastening_tow": "hitch.strength_along",
}
MEASURED = {"bar_sag": ("tow_bar.sag", 0.00635), "tracking": ("tow_bar.off_track", 0.0762)}


@pytest.mark.parametrize("key", MEASURED)
def test_measured_at_the_edge_and_in_words(key):
    path, most = MEASURED[key]
    for factor, answer in ((1 - 1e-9, WITHIN), (1 + 1e-9, OVER)):
        assert limit_of(RULES[key], changed(ROUND, path, factor * most)).answer == answer
    found = limit_of(RULES[key], changed(ROUND, path, most + 0.010))
    assert found.answer_text() == "over by 10 mm" and found.answer_text("us") == "over by 0.394 in"


@pytest.mark.parametrize("key", RATING)
def test_within_at_what_is_allowed_and_over_just_above(key):
    most = max(asked(RULES[key], ROUND, way)[0] for way in WAYS)
    assert limit_of(RULES[key], changed(ROUND, RATING[key], most)).answer == WITHIN
    assert limit_of(RULES[key], changed(ROUND, RATING[key], math.nextafter(most, 0.0))).answer == OVER


@pytest.mark.parametrize(
    ("key", "off", "metric", "us"),
    [
        ("vertical_load", 50.0, "50 kg", f"{50 / KG_LB:.0f} lb"),  # 110
        ("bar_strength", 2000.0, "2,000 N", f"{2000 / N_LBF:.0f} lbf"),  # 450
        ("fastening_tow", 2000.0, "2,000 N", f"{2000 / N_LBF:.0f} lbf"),
    ],
)
def test_the_words(key, off, metric, us):
    most = max(asked(RULES[key], ROUND, way)[0] for way in WAYS)
    for sign, word in ((1.0, "within"), (-1.0, "over")):
        found = limit_of(RULES[key], changed(ROUND, RATING[key], most + sign * off))
        assert found.answer_text() == f"{word} by {metric}" and found.answer_text("us") == f"{word} by {us}"


@pytest.mark.parametrize("key", ["bracket_floor", "fastening_towed"])
def test_shares_at_the_edge_and_in_words(key):
    # all other parts strong enough not to count: the pin's steel decides, and use goes with one over it
    rig = changed(changed(ROUND, "bracket.plate_yield", 1e12), "bracket.bolt_grade", "10.9")
    pin = ROUND.bracket.pin_yield * _pin_share(key)
    for factor, expected in ((1 + 1e-9, WITHIN), (1 - 1e-9, OVER)):
        assert limit_of(RULES[key], changed(rig, "bracket.pin_yield", factor * pin)).answer == expected
    for factor, words in ((1 / 0.75, "within by 25 %"), (1 / 1.25, "over by 25 %")):
        found = limit_of(RULES[key], changed(rig, "bracket.pin_yield", factor * pin))
        assert found.answer_text() == found.answer_text("us") == words


def _pin_share(key):
    """Share of the pin's yield under the hardest pull of an arm: cut in two planes, and bent by lugs of 12,
    an eye of 22 and gaps of 1.5 mm, (22 + 6 + 24)/8 = 6.5 mm.
    """
    worst = 0.0
    for way in WAYS:
        pairs = (
            _floor(way) if key == "bracket_floor" else [_on_brackets(ROUND, way, _along(way, 6500 * N_LBF))]
        )
        worst = max(worst, *(np.linalg.norm(force) for pair in pairs for force in pair))
    b = ROUND.bracket
    cut = worst / (2 * math.pi / 4 * b.pin_diameter**2 * b.pin_yield / math.sqrt(3))
    return math.hypot(cut, worst * 6.5e-3 / (math.pi / 32 * b.pin_diameter**3 * b.pin_yield))


TOWED_WEIGHT = ("towed_vehicle.front_axle_empty", "towed_vehicle.rear_axle_empty")
BRACKET = (
    *SIDE_VIEW,
    *TOWED_WEIGHT,
    "towed_vehicle.bracket_spread",
    *(
        f"bracket.{name}"
        for name in (
            *("bolts", "bolts_run", "bolt_size", "bolt_grade", "plate_thickness", "plate_yield"),
            *("hole_diameter", "edge_distance", "plate_width", "pin_diameter", "pin_yield"),
        )
    ),
)
NEEDS = {
    "vertical_load": (
        *SIDE_VIEW,
        *TOWED_WEIGHT,
        "tow_vehicle.brakes.deceleration_alone",
        "hitch.receiver_vertical_rating",
    ),
    "bracket_floor": BRACKET,
    "bar_strength": (*TOWED_WEIGHT, "tow_bar.strength_along"),
    "fastening_towed": BRACKET,
    "fastening_tow": (*TOWED_WEIGHT, "hitch.strength_along"),
    "bar_sag": ("tow_bar.sag",),
    "tracking": ("tow_bar.off_track",),
    "bumper_bar": TOWED_WEIGHT,
}
STARRED = {
    "vertical_load": ("tow_bar.mass",),
    "bracket_floor": ("tow_bar.mass", "bracket.threads_in_plane", "bracket.pin_is_held_both_sides"),
    "bar_strength": ("tow_bar.mass", "tow_bar.rule"),
    "fastening_towed": (
        *("tow_bar.mass", "tow_bar.rule", "bracket.threads_in_plane", "bracket.pin_is_held_both_sides"),
    ),
    "fastening_tow": ("tow_bar.mass", "tow_bar.rule"),
    "bar_sag": ("tow_bar.rule",),
    "tracking": ("tow_bar.rule",),
    "bumper_bar": ("tow_bar.mass", "tow_bar.rule"),
}


@pytest.mark.parametrize(("key", "path"), [(key, path) for key, paths in NEEDS.items() for path in paths])
def test_without_a_field_it_hangs_on_it_is_not_known(key, path):
    found = limit_of(RULES[key], without(ROUND, path))
    assert (found.answer, found.missing) == (NOT_KNOWN, path)
    assert found.answer_text() == f"not known ({path})"


@pytest.mark.parametrize(("key", "path"), [(key, path) for key, paths in STARRED.items() for path in paths])
def test_what_is_assumed_is_starred(key, path):
    found = limit_of(RULES[key], without(ROUND, path))
    assert found.assumed == (path,) and found.plain != NOT_KNOWN
    assert limit_of(RULES[key], ROUND).assumed == ()


def test_every_limit_has_its_needs_here_and_says_whom_it_binds():
    assert set(NEEDS) == set(STARRED) == set(RULES)
    assert {key for key, rule in RULES.items() if not rule.per_way} == set(MEASURED)
    for key in set(RULES) - {"vertical_load"}:
        assert "bind" in RULES[key].source
