"""Safety chains: geometry, the hanging chain against closed form and least energy, the two-chain table,
crossing.
"""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import minimize

from towlib.physics.chains.chain_gaps import (
    Anchors,
    chain_gaps_m,
    extra_length_m,
    hang,
    links_window,
    longest_gap_m,
    lowest_in_turns_m,
    lowest_point_m,
    most_links,
    share_of_pull,
    shortest_gap_m,
    slack_m,
    strength_by_rule_n,
    weakest,
    whole_links,
)

USUAL = Anchors(0.32, -0.20, 0.44, 0.22, 0.30, 0.53)


def anchors_with(receiver_behind):
    return st.builds(
        Anchors,
        st.floats(0.05, 0.9),
        receiver_behind,
        st.floats(0.2, 0.8),
        st.floats(0.02, 0.9),
        st.floats(0.02, 1.2),
        st.floats(0.2, 0.8),
    )


anywhere = anchors_with(st.floats(-0.6, 0.4))
level_or_ahead = anchors_with(st.floats(-0.6, 0.0))
turns = st.floats(0.0, 1.7)


def test_gaps_by_hand():
    square = Anchors(0.4, 0.0, 0.5, 0.4, 0.3, 0.5)  # a 0.4 by 0.3 m rectangle
    assert chain_gaps_m(square, 0.0, crossed=False) == pytest.approx((0.3, 0.3))
    assert chain_gaps_m(square, 0.0, crossed=True) == pytest.approx((0.5, 0.5))
    # bar at 90° to the left: its own left anchor now points forwards: (-0.2, 0.3), the left receiver anchor
    # is (0, 0.2)
    quarter = chain_gaps_m(square, math.pi / 2, crossed=False)
    assert quarter.left_m == pytest.approx(math.hypot(0.2, 0.1))
    # the chain on the outside of the turn must reach further
    assert quarter.right_m == pytest.approx(math.hypot(0.2, 0.5))


@given(anywhere, st.floats(-1.5, 1.5), st.booleans())
def test_mirrored_turns_give_mirrored_chains(anchors, turn, crossed):
    there, back = chain_gaps_m(anchors, turn, crossed=crossed), chain_gaps_m(anchors, -turn, crossed=crossed)
    assert (there.left_m, there.right_m) == pytest.approx((back.right_m, back.left_m))
    straight = chain_gaps_m(anchors, 0.0, crossed=crossed)
    assert straight.left_m == pytest.approx(straight.right_m)


@given(anywhere, turns, st.booleans())
def test_longest_gap_is_the_highest_of_a_fine_sweep_both_ways(anchors, turn, crossed):
    swept = max(max(chain_gaps_m(anchors, turn * i / 200, crossed=crossed)) for i in range(-200, 201))
    longest = longest_gap_m(anchors, turn, crossed=crossed)
    assert swept - 1e-12 <= longest <= swept + 1e-4
    assert (
        min(slack_m(longest, anchors, turn, crossed=crossed)) >= -1e-12
    )  # a chain of that length does not bind


@given(anywhere, turns, st.booleans())
def test_shortest_gap_is_the_lowest_of_a_fine_sweep_both_ways(anchors, turn, crossed):
    swept = min(min(chain_gaps_m(anchors, turn * i / 200, crossed=crossed)) for i in range(-200, 201))
    shortest = shortest_gap_m(anchors, turn, crossed=crossed)
    # from one angle to the next the anchors turn by 1.7 / 200 rad at most, within 1.3 m of the ball
    assert swept - 1.3 * 1.7 / 400 <= shortest <= swept + 1e-12


@given(anywhere, turns, st.booleans(), st.floats(1e-3, 0.4))
def test_where_the_ends_come_nearest_a_chain_hangs_lowest(anchors, turn, crossed, slack):
    length = longest_gap_m(anchors, turn, crossed=crossed) + slack
    swept = min(lowest_point_m(length, anchors, turn * i / 60, crossed=crossed) for i in range(-60, 61))
    lowest = lowest_in_turns_m(length, anchors, turn, crossed=crossed)
    assert lowest <= swept + 1e-9
    assert lowest <= lowest_point_m(length, anchors, 0.0, crossed=crossed) + 1e-9
    # and it is reached: between two angles of the sweep the ends move by no more than 1.3 · 1.7 / 120 m, and
    # the lowest point by no more than they do
    assert lowest >= swept - 1.3 * 1.7 / 60


def test_the_swing_of_usual_chains_by_hand():
    # 60° to the left: the left receiver anchor (-200, 160) and its crossed one on the bar at
    # (300·cos 60° + 110·sin 60°, 300·sin 60° - 110·cos 60°) = (245.26, 204.81), 90 higher:
    # hypot(445.26, 44.81, 90) = 456.5 mm; that is the shortest, and there it hangs lowest
    shortest = shortest_gap_m(USUAL, math.radians(60), crossed=True)
    assert shortest == pytest.approx(math.hypot(0.44526, 0.04481, 0.09), abs=1e-5)
    span = math.hypot(0.44526, 0.04481)
    lowest = hang(0.62, span_m=span, low_end_m=0.44, high_end_m=0.53).lowest_m
    assert lowest_in_turns_m(0.62, USUAL, math.radians(60), crossed=True) == pytest.approx(lowest, abs=1e-5)
    assert lowest < lowest_point_m(0.62, USUAL, 0.0, crossed=True) - 0.05
    with pytest.raises(ValueError, match="cannot bridge a gap of 0.575 m"):
        lowest_in_turns_m(0.57, USUAL, math.radians(60), crossed=True)


@given(st.integers(1, 500), st.integers(0, 600))
def test_most_links_of_every_edge(least, edge):
    asked = []

    def holds(links):
        asked.append(links)
        return links <= edge

    assert most_links(holds, least) == (least - 1 if edge < least else min(edge, 500))
    assert len(asked) <= 11 and min(asked) >= least and max(asked) <= 500


@given(level_or_ahead, turns)
def test_crossed_chains_need_no_more_extra_than_parallel_ones(anchors, turn):
    # holds for every turn when the receiver's anchors lie level with the ball or ahead of it
    assert extra_length_m(anchors, turn, crossed=True) <= extra_length_m(anchors, turn, crossed=False) + 1e-9


@given(anywhere, turns)
def test_crossed_chains_are_the_longer_ones_in_whole(anchors, turn):
    assert longest_gap_m(anchors, turn, crossed=True) >= longest_gap_m(anchors, turn, crossed=False) - 1e-12


def test_behind_the_ball_crossing_can_need_more_extra():
    behind = Anchors(0.30, 0.15, 0.30, 0.30, 0.15, 0.60)
    assert extra_length_m(behind, 0.5, crossed=True) > extra_length_m(behind, 0.5, crossed=False) + 0.01


@given(st.floats(0.05, 2.0), st.floats(1e-4, 3.0))
def test_level_catenary_is_the_closed_form(a_m, half_span_over_a):
    # a chain of parameter a over 2·x: length 2·a·sinh(x/a), sag a·(cosh(x/a) - 1)
    length, span = 2 * a_m * math.sinh(half_span_over_a), 2 * a_m * half_span_over_a
    if length <= span * (1 + 1e-9):
        return
    sag = 2 * a_m * math.sinh(half_span_over_a / 2) ** 2
    assert hang(length, span_m=span, low_end_m=1.0, high_end_m=1.0).sag_m == pytest.approx(
        sag, rel=1e-6, abs=1e-8
    )


@given(st.floats(0.05, 1.5), st.floats(-2.0, 0.5), st.floats(0.05, 3.0))
def test_uneven_catenary_is_the_closed_form(a_m, left, width):
    # both ends on y = a·cosh(x/a), lowest point at x = 0 when it lies between them
    left, right = left * a_m, (left + width) * a_m
    heights = [a_m * math.cosh(x / a_m) for x in (left, right)]
    length = a_m * (math.sinh(right / a_m) - math.sinh(left / a_m))
    lowest = a_m if left < 0 < right else min(heights)
    found = hang(length, span_m=right - left, low_end_m=heights[0], high_end_m=heights[1])
    assert found.lowest_m == pytest.approx(lowest, rel=1e-6)
    turned = hang(length, span_m=right - left, low_end_m=heights[1], high_end_m=heights[0])
    assert turned == pytest.approx(found)


@pytest.mark.parametrize(("length", "span", "rise"), [(1.0, 0.8, 0.0), (0.8, 0.5, 0.09), (0.6, 0.5, 0.25)])
def test_a_chain_hangs_where_its_energy_is_least(length, span, rise):
    # computed independently with scipy.optimize.minimize: 40 stiff links, potential energy least
    n = 40
    start = np.concatenate([np.linspace(0, span, n + 1)[1:-1], np.linspace(0, rise, n + 1)[1:-1] - 0.1])

    def ends(v):
        return np.r_[0, v[: n - 1], span], np.r_[0, v[n - 1 :], rise]

    def lengths(v):
        x, z = ends(v)
        return np.diff(x) ** 2 + np.diff(z) ** 2 - (length / n) ** 2

    found = minimize(
        lambda v: v[n - 1 :].sum() / n,
        start,
        constraints={"type": "eq", "fun": lengths},
        method="SLSQP",
        options={"maxiter": 400},
    )
    assert found.success
    assert hang(length, span_m=span, low_end_m=0.0, high_end_m=rise).lowest_m == pytest.approx(
        ends(found.x)[1].min(), abs=0.0015
    )


def test_limits_of_the_hanging_chain():
    assert hang(1.0, span_m=0.8, low_end_m=0.5, high_end_m=1.1) == (0.5, 0.0)  # taut: 0.6, 0.8, 1.0
    # straight down and up again
    assert hang(1.0, span_m=0.0, low_end_m=0.4, high_end_m=0.5).sag_m == pytest.approx(0.45)
    assert hang(1.0, span_m=1e-4, low_end_m=0.4, high_end_m=0.5).sag_m == pytest.approx(0.45, abs=1e-3)
    # nearly taut: the parabola's sag sqrt(3/8 · span · excess) becomes exact
    assert hang(1.0 + 1e-7, span_m=1.0, low_end_m=0, high_end_m=0).sag_m == pytest.approx(
        math.sqrt(3 / 8 * 1e-7), rel=1e-4
    )
    with pytest.raises(ValueError, match="cannot bridge a gap"):
        hang(0.99, span_m=0.8, low_end_m=0.5, high_end_m=1.1)


@given(st.floats(0.3, 1.0), st.floats(0.0, 0.4), st.floats(0.001, 0.4), st.floats(0.001, 0.2))
def test_a_longer_chain_never_hangs_higher(span, rise, slack, more):
    gap = math.hypot(span, rise)
    short, long = (
        hang(gap + extra, span_m=span, low_end_m=0.4, high_end_m=0.4 + rise).lowest_m
        for extra in (slack, slack + more)
    )
    assert long <= short + 1e-9


def test_window_of_whole_links():
    window = links_window(USUAL, math.radians(60), crossed=True, link_pitch_m=0.031, clearance_m=0.25)
    needed = longest_gap_m(USUAL, math.radians(60), crossed=True)
    assert (window.fewest - 1) * 0.031 < needed <= window.fewest * 0.031
    # over the whole sweep, by its single angles; in line alone three links more would still clear
    sweep = [math.radians(angle) for angle in range(-60, 61)]
    lowest = [
        min(lowest_point_m((window.most + more) * 0.031, USUAL, turn, crossed=True) for turn in sweep)
        for more in (0, 1)
    ]
    assert lowest[0] >= 0.25 > lowest[1]
    assert lowest_point_m((window.most + 3) * 0.031, USUAL, 0.0, crossed=True) >= 0.25
    empty = links_window(USUAL, math.radians(60), crossed=False, link_pitch_m=0.031, clearance_m=0.40)
    assert empty.most < empty.fewest  # parallel chains that do not bind hang lower than 0.40 m here


def test_of_a_chain_of_one_link_that_hangs_too_low_none_is_left():
    # anchors 20 mm apart at 0.5 m, links of 30 mm: one reaches, and not even one stays above 1 m
    near = Anchors(0.2, 0.0, 0.5, 0.2, 0.02, 0.5)
    window = links_window(near, 0.0, crossed=False, link_pitch_m=0.03, clearance_m=1.0)
    assert window == (1, 0)


def test_ends_that_meet_only_beyond_a_right_angle():
    # receiver's anchors 200 mm beside the ball, the bar's 300 mm behind it and 100 to the other side: turned
    # by 90 degrees and atan(1/3) = 108.4 they lie in one line from the ball, 316.2 - 200 mm apart
    wide = Anchors(0.4, 0.0, 0.5, 0.2, 0.3, 0.5)
    for degrees, nearest in ((120.0, math.sqrt(0.1) - 0.2), (90.0, math.hypot(0.1, 0.1))):
        found = shortest_gap_m(wide, math.radians(degrees), crossed=True)
        assert found == pytest.approx(nearest, abs=1e-9)


def test_whole_links_round_up():
    assert (
        whole_links(0.62, 0.031) == 20 and whole_links(0.6201, 0.031) == 21 and whole_links(0.0, 0.031) == 0
    )


# computed by an independent script: T/F = 1/(2·cos), angle from the line of pull
@pytest.mark.parametrize(
    ("degrees", "share"), [(0, 0.5000), (15, 0.5176), (30, 0.5774), (45, 0.7071), (60, 1.0000)]
)
def test_two_chains_share_a_pull(degrees, share):
    assert share_of_pull(math.radians(degrees)) == pytest.approx(share, abs=5e-5)


def test_strength_by_each_rule():
    # 3/8 in grade 43: 5,400 lbf working, three times that breaking (49 CFR 393.108 table and chain chart,
    # read in
    # secondary pages)
    found = {
        (count, compare): strength_by_rule_n(5400.0, break_factor=3.0, count=count, compare=compare)
        for count in ("each", "both")
        for compare in ("working", "breaking")
    }
    assert found == {
        ("each", "working"): 5400,
        ("each", "breaking"): 16_200,
        ("both", "working"): 10_800,
        ("both", "breaking"): 32_400,
    }


def test_the_weakest_part_decides_and_an_unknown_part_keeps_it_open():
    assert weakest({"chain": 24e3, "hook": 21e3, "quick link": 30e3})[:2] == ("hook", 21e3)
    open_case = weakest({"chain": 24e3, "hook": None})
    assert open_case.load_n is None and open_case.not_known == ("hook",) and open_case.part == "chain"
    assert weakest({"chain": None}) == ("", None, ("chain",))


@pytest.mark.parametrize(
    "call",
    [
        lambda: chain_gaps_m(USUAL._replace(bar_behind_ball_m=0.0), 0.0, crossed=True),
        lambda: longest_gap_m(USUAL, -0.1, crossed=True),
        lambda: shortest_gap_m(USUAL, -0.1, crossed=True),
        lambda: most_links(lambda links: True, 0),
        lambda: hang(1.0, span_m=-0.5, low_end_m=0, high_end_m=0),
        lambda: share_of_pull(math.pi / 2),
        lambda: whole_links(1.0, 0.0),
        lambda: links_window(USUAL, 1.0, crossed=True, link_pitch_m=1e-6, clearance_m=0.1),
        lambda: weakest({}),
        lambda: strength_by_rule_n(1.0, break_factor=3.0, count="one", compare="working"),
        lambda: strength_by_rule_n(-1.0, break_factor=3.0, count="each", compare="working"),
    ],
)
def test_impossible_input_is_refused(call):
    with pytest.raises(ValueError):
        call()
