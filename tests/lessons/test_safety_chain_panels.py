"""Lesson 06: what its panels compute and say, by hand, against the handbook and against the plan."""

import math
import re

import pytest

from towlib.handbook.tables import LB_FORCE_N, load_table
from towlib.lessons.declare import with_values
from towlib.lessons.index import lesson_of
from towlib.lessons.l06_chains import chain_strength, safety_chains
from towlib.lessons.slider_rows import load_panel
from towlib.limits.chains_limits import (
    CHAIN_RULES,
    anchors,
    dropped_nose,
    fitted_lowest_m,
    links_that_fit,
    links_wanted,
)
from towlib.limits.coupling_limits import ball_height_m
from towlib.limits.decision import answer
from towlib.physics.basics.road_load import GRAVITY_M_S2
from towlib.physics.chains.chain_gaps import hang
from towlib.rig.facts import Facts, NotKnown
from towlib.rig.model import load_rig

CHAINS = "safety_chains."
LESSON = lesson_of("06_safety_chain_layout")


@pytest.fixture
def facts(data_folder):
    return Facts(load_rig(data_folder / "rigs" / "demo_comfortable.toml"))


@pytest.fixture
def overloaded(data_folder):
    return Facts(load_rig(data_folder / "rigs" / "demo_overloaded.toml"))


def _chains(facts, **values):
    """The rig with other values of its chains."""
    return with_values(facts, {CHAINS + name: value for name, value in values.items()})


def _start(panel, facts, **arguments):
    sliders = load_panel(LESSON.key, panel).sliders
    starts = {s.name: s.argument(s.start) for s in sliders if not s.of_rig}
    return LESSON.panel(panel).compute(facts, **{**starts, **arguments})


def test_layout_in_line_by_hand_and_mirrored(facts):
    longer = _chains(facts, links=22)
    found = _start("layout", longer, articulation_rad=0.0)
    gap = math.hypot(0.5, 0.27, 0.09)  # 0.2 + 0.3 along, half of 0.32 + 0.22 across, 0.53 - 0.44 up
    assert found.slack == pytest.approx((22 * 0.031 - gap,) * 2)
    lowest = hang(0.682, span_m=math.hypot(0.5, 0.27), low_end_m=0.44, high_end_m=0.53).lowest_m
    assert found.lowest_m == pytest.approx(lowest)
    assert min(found.chains[0].height_m) == pytest.approx(lowest, abs=2e-3)
    there, back = (_start("layout", longer, articulation_rad=turn) for turn in (0.7, -0.7))
    assert there.slack == pytest.approx(back.slack[::-1])
    # a left turn: the bar's rear end, and the anchors with it, swing to the left
    assert safety_chains.bar_point_m(1.0, 0.0, 0.7)[1] > 0


def test_a_chain_that_binds_is_said_and_drawn_straight(facts):
    parallel = _chains(facts, crossed=False, links=18)
    found = _start("layout", parallel, articulation_rad=math.radians(60))
    # by hand: right anchors (-200, -160) and (300·cos 60° + 110·sin 60°, 300·sin 60° - 110·cos 60°) =
    # (245.3, 204.8), 90 up: D = hypot(445.3, 364.8, 90) = 582.6 mm against 18 · 31 = 558
    assert found.slack.right_m == pytest.approx(-0.0246, abs=5e-5) and found.lowest_m is None
    assert "right short by 24.6 mm" in safety_chains.layout_words(found, "metric")
    heights = found.chains[1].height_m
    assert heights[12] == pytest.approx((heights[0] + heights[-1]) / 2)
    with pytest.raises(ValueError, match="cannot be hooked up"):
        _start("layout", _chains(facts, links=18))
    assert "the chain lies on the road" in safety_chains.layout_words(
        _start("layout", _chains(facts, links=50)), "us"
    )


def test_the_layout_says_the_links_of_the_plan(facts, overloaded):
    for rig in (facts, overloaded):
        found = _start("layout", rig)
        assert found.window == links_wanted(rig)
        fit = links_that_fit(rig)
        assert (
            f"{fit[0]} to {fit[1]} links do all three" if fit else "no number of links does all three"
        ) in (safety_chains.layout_words(found, "metric"))
        limits = {rule.key: answer(rule, rig) for rule in CHAIN_RULES}
        assert (found.spare_m >= 0) == (limits["chain_length"].answer == "within")
        assert found.lowest_in_turns_m == pytest.approx(fitted_lowest_m(rig, "out"))
        assert found.lowest_in_turns_m == pytest.approx(limits["chain_clearance"].capacity)
        assert found.lowest_in_turns_m < _start("layout", rig, articulation_rad=0.0).lowest_m
    # no number of links does both once more clearance is wanted than there is
    assert "no number of links does all three" in safety_chains.layout_words(
        _start("layout", _chains(facts, ground_clearance=0.45)), "metric"
    )


def test_the_advantage_of_crossing_ends_behind_the_ball(facts):
    usual = _start("length_window", facts)
    assert usual.extra_crossed_m < usual.extra_parallel_m
    behind = {
        "receiver_anchor_spread": 0.3,
        "bar_anchor_spread": 0.3,
        "receiver_anchor_behind_ball": 0.15,
        "bar_anchor_behind_ball": 0.15,
    }
    sharp, gentle = (
        _start("length_window", _chains(facts, **behind, greatest_articulation=math.radians(turn)))
        for turn in (60, 20)
    )
    assert gentle.extra_crossed_m - gentle.extra_parallel_m == pytest.approx(0.0195, abs=5e-5)
    assert sharp.extra_parallel_m - sharp.extra_crossed_m == pytest.approx(0.0341, abs=5e-5)
    assert "more extra" in safety_chains.length_window_words(gentle, "metric")


def test_the_example_where_crossing_needs_more_holds_for_both_rigs(facts, overloaded):
    for rig in (facts, overloaded):
        found = _start("length_window", with_values(rig, safety_chains.BEHIND_BALL))
        assert found.extra_crossed_m > found.extra_parallel_m + 0.01


def test_dropped_bar_is_the_plans_and_drawn_where_it_says(facts):
    for links, crossed in ((19, True), (20, True), (24, True), (20, False)):
        rig = _chains(facts, links=links)
        found = _start("dropped_bar", rig)
        nose = found.crossed if crossed else found.parallel
        assert nose == dropped_nose(with_values(rig, {CHAINS + "crossed": crossed}), "out")
    found = _start("dropped_bar", facts)
    assert found.parallel.touches_road and found.crossed.slid_height_m == 0.0
    # half of the section's 65 mm hangs below the bar's line
    drawn = found.bars[0]
    assert drawn.nose_height_m == pytest.approx(found.crossed.height_m + 0.0325 * math.cos(drawn.drop_rad))
    # by hand: each chain first runs back along the bar to its anchor, the rest carries the nose
    pins, ball = 0.56, ball_height_m(facts, "out")
    slope = math.asin((pins - ball) / 1.5)
    up = 0.53 - ball
    along = 0.3 * math.cos(slope) + up * math.sin(slope)
    above = up * math.cos(slope) - 0.3 * math.sin(slope)
    free = 0.62 - math.hypot(along, 0.11, above + 0.0325)
    assert found.crossed.height_m == pytest.approx(0.44 - math.sqrt(free**2 - 0.16**2), abs=1e-9)
    clear = [_start("dropped_bar", _chains(facts, links=n)).crossed.height_m for n in range(19, 28)]
    assert clear == sorted(clear, reverse=True) and clear[0] > 0.2 and clear[-1] == 0.0


def test_chains_too_short_to_be_crossed_are_said_and_parallel_is_still_shown(overloaded):
    # the bar slopes, so the way under the coupler is longer
    found = _start("dropped_bar", _chains(overloaded, links=18))
    assert found.crossed is None and found.bars[0] is None and found.parallel is not None
    words = safety_chains.dropped_bar_words(found, "us")
    # by hand with the anchors as they have sunk: to the underside of the coupler, half of 65 mm below the
    # ball, and from there on; 7 in ahead, 14 behind, 10 and 9 apart
    places, ball = anchors(overloaded, "out"), ball_height_m(overloaded, "out")
    under = ball - 0.0325
    takes = math.hypot(0.1778, 0.127, under - places.receiver_height_m)
    takes += math.hypot(places.bar_behind_ball_m, 0.1143, places.bar_height_m - under)
    said = float(re.search(r"too short to be crossed, which takes ([\d.]+) in", words)[1])
    assert said * 0.0254 == pytest.approx(takes, abs=0.01)  # square below the sloping bar, not upright
    assert "Parallel, the bar" in words
    with pytest.raises(NotKnown, match="cannot bridge a gap"):
        _start("dropped_bar", _chains(overloaded, links=10))


def test_strength_by_four_rules_from_the_table(facts):
    # 49 CFR 393.108 (read in a secondary page): 1/4 in grade 43 holds 2,600 lbf, breaks at three times that;
    # both: twice
    found = _start("strength", _chains(facts, size="1/4", grade="43"))
    # and the tow-bar rule, which counts both and breaking, against 6,500 lbf (49 CFR 393.71(h))
    assert [round(load / LB_FORCE_N) for load in found.by_rule_n] == [2600, 7800, 5200, 15_600, 15_600]
    assert [load >= found.asked_n(i) for i, load in enumerate(found.by_rule_n)] == [False, *[True] * 4]
    assert found.bar_rule_n / LB_FORCE_N == pytest.approx(6500)
    assert found.rule == chain_strength.BAR_RULE
    by_each = _start("strength", _chains(facts, size="1/4", rule_count="each", rule_strength="working"))
    assert by_each.weakest.part == "chain" and "over by" in chain_strength.strength_words(by_each, "us")
    # by hand: (1,470 + 60 + half of 26) kg
    assert found.weight_n == pytest.approx((1470 + 60 + 13) * GRAVITY_M_S2)
    # hooks of 2,450 kg working load by the same rule as the chain: both together twice that; their breaking
    # load, where none is known, is at least that
    for count, compare, hook_kg, least in (
        ("each", "working", 2450, ()),
        ("both", "working", 4900, ()),
        ("each", "breaking", 2450, ("hook", "anchor")),
        ("both", "breaking", 4900, ("hook", "anchor")),
        ("each", "tow-bar", 4900, ("hook", "anchor")),
    ):
        each = _start("strength", _chains(facts, rule_count=count, rule_strength=compare))
        assert each.parts_n["hook"] == pytest.approx(hook_kg * GRAVITY_M_S2)
        assert each.weakest.part == "anchor" and each.at_least == least
    known = _start("strength", _chains(facts, rule_strength="tow-bar", hook_breaking=9000.0))
    assert known.parts_n["hook"] == pytest.approx(18_000 * GRAVITY_M_S2) and known.at_least == ("anchor",)
    seventy, eighty = (_start("strength", _chains(facts, size="5/16", grade=g)) for g in ("70", "80"))
    assert seventy.by_rule_n[0] > eighty.by_rule_n[0]
    unmarked = _start("strength", _chains(facts, grade="unmarked"))
    assert unmarked.by_rule_n == _start("strength", _chains(facts, grade="30")).by_rule_n
    assert "counts as grade 30" in chain_strength.strength_words(unmarked, "us")
    with pytest.raises(NotKnown, match="no working load is listed"):
        _start("strength", _chains(facts, size="7/16", grade="80"))


def test_strength_is_the_plans(facts, overloaded):
    for rig in (facts, overloaded):
        found, limits = _start("strength", rig), {rule.key: answer(rule, rig) for rule in CHAIN_RULES}
        assert found.parts_n["chain"] == limits["chain_strength"].capacity
        for part, key in (("hook", "chain_hooks"), ("anchor", "chain_anchors")):
            rating_kg = limits[key].capacity
            assert found.parts_n[part] == (
                None if rating_kg is None else pytest.approx(rating_kg * GRAVITY_M_S2)
            )
    words = chain_strength.strength_words(_start("strength", overloaded), "metric")
    assert "within by" in words and "Not known: hook and anchor, so the whole is not known." in words
    working = _chains(overloaded, rule_count="each", rule_strength="working")
    words = chain_strength.strength_words(_start("strength", working), "metric")
    assert "over by" in words and "Not known: hook and anchor." in words
    # a chain that passes says nothing about a hook nobody knows
    strong = chain_strength.strength_words(
        _start("strength", _chains(overloaded, size="1/2", grade="43")), "metric"
    )
    assert "so the whole is not known" in strong


def test_the_jerk_says_on_which_side_of_a_load_it_lies_or_both(facts):
    both_sides, over, within = (
        chain_strength.jerk_words(_start("jerk", facts, slack_m=slack), "metric")
        for slack in (0.045, 0.2, 0.0)
    )
    assert "Working load 24,020 N: the estimate lies on both sides of it" in both_sides
    assert "Working load 24,020 N: over by" in over and "Working load 24,020 N: within by" in within
    assert all(
        "not checked against a document: it decides nothing" in words for words in (both_sides, over, within)
    )
    one, two = _start("jerk", facts, slack_m=0.1), _start("jerk", facts, slack_m=0.1, both=True)
    assert two.working_n == 2 * one.working_n and one.here_n[0] < two.here_n[0] < 2 * one.here_n[0]
    assert _start("jerk", facts, slack_m=0.0).here_n == pytest.approx((3000.0, 3000.0))


def test_the_band_of_the_jerk_is_the_usual_range_or_the_readers_own(facts, data_folder, tmp_path):
    assert chain_strength.stretch_ends(facts) == pytest.approx((0.01, 0.03))
    assert chain_strength.stretch_ends(_chains(facts, stretch=0.04)) == pytest.approx((0.02, 0.06))
    text = (data_folder / "rigs" / "demo_comfortable.toml").read_text(encoding="utf-8")
    own = tmp_path / "own.toml"
    own.write_text(text.replace('stretch = "2 %"', 'stretch = "2 % ± 0.5 %"'), encoding="utf-8")
    ends = chain_strength.stretch_ends(Facts(load_rig(own)))
    assert 0.01 < ends[0] < 0.02 < ends[1] < 0.03


def test_rules_nobody_read_say_so():
    rows = {row["id"]: row for row in load_table("chain_rules")}
    assert {name for name, row in rows.items() if row["known_by"] == "from memory"} == {"fmcsr_text"}
    # 49 CFR 393.71(h)(1) and (10): the figures of its text, and whom it binds
    assert "6,500 lbf below 5,000 lb, 1.3 times" in rows["tow_bar"]["asks"]
    assert "motor carriers" in rows["tow_bar"]["place"] and rows["tow_bar"]["known_by"] == "read"
    assert "EACH" in rows["nh"]["asks"] and "BOTH" in rows["fmcsr"]["asks"]
    told = chain_strength.rules_read()
    assert len(told) == len(rows) and sum("not checked against a document" in line for line in told) == 1
    assert not any("from memory" in line or ".gov" in line or ".com" in line for line in told)


def test_your_chains_in_words(facts, overloaded):
    assert any(
        "19 to 22 each; the tow-bar rule allows 20" in line
        for line in safety_chains.your_chains_words(facts, "metric")
    )
    assert len(safety_chains.your_chains_words(overloaded, "us")) >= 3
    bare = safety_chains.your_chains_words(_chains(facts, links=None), "metric")
    assert any("not known" in line for line in bare)
