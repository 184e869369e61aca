"""Lesson 06: what its panels compute and say, by hand and against the handbook; the sentences of the notebook
hold.
"""

import math

import pytest

from towlib.handbook.tables import LB_FORCE_N, load_table
from towlib.lessons.l06_chains import chain_strength, safety_chains
from towlib.lessons.slider_rows import load_panel
from towlib.physics.chains.chain_gaps import hang


def _start(panel, **changes):
    module = safety_chains if hasattr(safety_chains, panel) else chain_strength
    sliders = {s.name: s.argument(s.start) for s in load_panel("06_safety_chain_layout", panel).sliders}
    return getattr(module, panel)(**{**sliders, **changes})


def test_layout_in_line_by_hand_and_mirrored():
    found = _start("layout", articulation_rad=0.0)
    gap = math.hypot(0.5, 0.27, 0.09)  # 0.2 + 0.3 along, half of 0.32 + 0.22 across, 0.53 - 0.44 up
    assert found.slack == pytest.approx((22 * 0.031 - gap,) * 2)
    lowest = hang(0.682, span_m=math.hypot(0.5, 0.27), low_end_m=0.44, high_end_m=0.53).lowest_m
    assert found.lowest_m == pytest.approx(lowest) and min(found.chains[0].height_m) == pytest.approx(
        lowest, abs=2e-3
    )
    there, back = (_start("layout", articulation_rad=turn) for turn in (0.7, -0.7))
    assert there.slack == pytest.approx(back.slack[::-1])
    # a left turn: the bar's rear end, and the anchors with it, swing to the left
    assert safety_chains.bar_point_m(1.0, 0.0, 0.7)[1] > 0


def test_a_chain_that_binds_is_said_and_drawn_straight():
    found = _start("layout", articulation_rad=math.radians(60), way="parallel", links=18)
    assert found.slack.right_m == pytest.approx(-0.0246, abs=5e-5) and found.lowest_m is None
    assert "right short by 24.6 mm" in safety_chains.layout_words(found, "metric")
    heights = found.chains[1].height_m
    assert heights[12] == pytest.approx((heights[0] + heights[-1]) / 2)
    with pytest.raises(ValueError, match="cannot be hooked up"):
        _start("layout", links=18)
    assert "the chain lies on the road" in safety_chains.layout_words(_start("layout", links=50), "us")


def test_the_advantage_of_crossing_ends_behind_the_ball():
    usual = _start("length_window")
    assert usual.extra_crossed_m < usual.extra_parallel_m
    behind = {
        "receiver_spread_m": 0.3,
        "bar_spread_m": 0.3,
        "receiver_behind_ball_m": 0.15,
        "bar_behind_ball_m": 0.15,
    }
    sharp, gentle = (_start("length_window", **behind, sharpest_rad=math.radians(turn)) for turn in (60, 20))
    assert gentle.extra_crossed_m - gentle.extra_parallel_m == pytest.approx(0.0195, abs=5e-5)
    assert sharp.extra_parallel_m - sharp.extra_crossed_m == pytest.approx(0.0341, abs=5e-5)
    assert "more extra" in safety_chains.length_window_words(gentle, "metric")


def test_dropped_bar_of_the_notebook():
    clear = {links: _start("dropped_bar", links=links).crossed.height_m for links in (19, 20, 24, 25, 26)}
    assert clear == pytest.approx({19: 0.2250, 20: 0.1874, 24: 0.0484, 25: 0.0151, 26: 0.0}, abs=1e-4)
    found = _start("dropped_bar")
    assert found.parallel.touches_road and found.crossed.slid_height_m == 0.0
    assert found.bars[0].nose_height_m == pytest.approx(
        found.crossed.height_m + 0.03 * math.cos(found.bars[0].drop_rad)
    )


def test_strength_by_four_rules_from_the_table():
    # 49 CFR 393.108 (read in a secondary page): 1/4 in grade 43 holds 2,600 lbf, breaks at three times that;
    # both: twice
    found = _start("strength", size="1/4", grade="43", quick_link_n=90e3)
    assert [round(load / LB_FORCE_N) for load in found.by_rule_n] == [2600, 7800, 5200, 15_600]
    assert [load >= found.weight_n for load in found.by_rule_n] == [False, True, True, True]
    assert found.weakest.part == "chain"
    assert (
        _start("strength").weakest.part == "quick link"
        and _start("strength", count="both").parts_n["hook"] == 42e3
    )
    assert (
        _start("strength", size="5/16", grade="70").by_rule_n[0]
        > _start("strength", size="5/16", grade="80").by_rule_n[0]
    )
    unmarked = _start("strength", grade="unmarked")
    assert unmarked.by_rule_n == _start(
        "strength", grade="30"
    ).by_rule_n and "counts as grade 30" in chain_strength.strength_words(unmarked, "us")
    with pytest.raises(ValueError, match="no working load is listed"):
        _start("strength", size="7/16", grade="80")


def test_the_jerk_says_on_which_side_of_a_load_it_lies_or_both():
    both_sides, over, within = (
        chain_strength.jerk_words(_start("jerk", slack_m=slack), "metric") for slack in (0.045, 0.2, 0.0)
    )
    assert "Working load 24,020 N: the estimate lies on both sides of it" in both_sides
    assert "Working load 24,020 N: over by" in over and "Working load 24,020 N: within by" in within
    assert all("from memory: it decides nothing" in words for words in (both_sides, over, within))
    one, two = _start("jerk", slack_m=0.1), _start("jerk", slack_m=0.1, both=True)
    assert two.working_n == 2 * one.working_n and one.here_n[0] < two.here_n[0] < 2 * one.here_n[0]
    assert _start("jerk", slack_m=0.0).here_n == pytest.approx((3000.0, 3000.0))


def test_rules_from_memory_say_so():
    rows = {row["id"]: row for row in load_table("chain_rules")}
    assert {name for name, row in rows.items() if row["known_by"] == "from memory"} == {"fmcsr_text"}
    assert (
        "from memory" in rows["fmcsr_text"]["source"]
        and "EACH" in rows["nh"]["asks"]
        and "BOTH" in rows["fmcsr"]["asks"]
    )
