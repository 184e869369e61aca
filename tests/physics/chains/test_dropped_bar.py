"""Where a dropped bar ends: by hand, against scipy.optimize with the bar as a rigid rod, and what must always
hold.
"""

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.optimize import minimize

from towlib.physics.chains.chain_gaps import Anchors, chain_gaps_m
from towlib.physics.chains.dropped_bar import (
    ANCHORS,
    CRADLE,
    PINS,
    ROAD,
    anchors_when_sunk,
    hanging_bar,
    lowest_nose_m,
)

USUAL = Anchors(0.32, -0.20, 0.44, 0.22, 0.30, 0.53)
BAR = {"bar_length_m": 1.5, "pin_height_m": 0.53}


def _ends(turn, pins_m, anchors, bar, ball_m, depth_m):
    """Receiver anchor, bar anchor and underside of the nose in space, written out with vectors (x behind the
    ball).
    """
    along, up = (
        np.array([-math.cos(turn), 0.0, -math.sin(turn)]),
        np.array([-math.sin(turn), 0.0, math.cos(turn)]),
    )
    pins = np.array([pins_m, 0.0, bar["pin_height_m"]])
    coupled = math.asin((bar["pin_height_m"] - ball_m) / bar["bar_length_m"])
    from_pins = np.array(
        [
            anchors.bar_behind_ball_m - bar["bar_length_m"] * math.cos(coupled),
            0.0,
            anchors.bar_height_m - bar["pin_height_m"],
        ]
    )
    ahead = from_pins @ [-math.cos(coupled), 0.0, -math.sin(coupled)]
    above = from_pins @ [-math.sin(coupled), 0.0, math.cos(coupled)]
    receiver = np.array(
        [anchors.receiver_behind_ball_m, anchors.receiver_spread_m / 2, anchors.receiver_height_m]
    )
    return receiver, pins + ahead * along + above * up, pins + bar["bar_length_m"] * along - depth_m * up


def _by_optimiser(length, anchors, bar, *, crossed, ball_m, depth_m=0.0, contact="nose"):
    """Nose as low as two rods and slack chains leave it: turn, place of the pins and (free) contact point are
    searched.
    """
    side = np.array([0.0, -1.0 if crossed else 1.0, 0.0]) * anchors.bar_spread_m / 2

    def spare(v):
        receiver, anchor, nose = _ends(v[0], v[1], anchors, bar, ball_m, depth_m)
        anchor = anchor + side
        spares = [length - np.linalg.norm(receiver - anchor)]
        if crossed:
            # v[2]: contact point that far along the bar's underside from the nose to its pins
            at = nose + (v[2] if contact == "free" else 0.0) * np.array([math.cos(v[0]), 0.0, math.sin(v[0])])
            spares.append(length - np.linalg.norm(receiver - at) - np.linalg.norm(at - anchor))
        return np.array(spares)

    best = math.inf
    for turn in (0.02, 0.2, 0.4):
        for contact_m in (0.0, anchors.bar_behind_ball_m) if contact == "free" else (0.0,):
            found = minimize(
                lambda v: _ends(v[0], v[1], anchors, bar, ball_m, depth_m)[2][2],
                [turn, bar["bar_length_m"] - 0.1, contact_m],
                bounds=[(-1.5, 1.5), (-3, 4), (0, bar["bar_length_m"])],
                constraints={"type": "ineq", "fun": spare},
                method="SLSQP",
                options={"maxiter": 500, "ftol": 1e-12},
            )
            if found.success and spare(found.x).min() > -1e-7:
                best = min(best, found.fun)
    return best


@pytest.mark.parametrize(
    ("anchors", "length", "ball", "depth"),
    [
        (USUAL, 0.60, 0.53, 0.0),
        (USUAL, 0.62, 0.50, 0.0),
        (USUAL, 0.66, 0.56, 0.03),
        (USUAL._replace(bar_height_m=0.60), 0.66, 0.53, 0.0),
        (Anchors(0.5, 0.02, 0.50, 0.10, 0.20, 0.47), 0.48, 0.50, 0.04),
        (Anchors(0.2, -0.3, 0.45, 0.5, 0.4, 0.55), 0.82, 0.55, 0.0),
    ],
)
def test_crossed_and_parallel_against_an_optimiser(anchors, length, ball, depth):
    # computed independently: scipy.optimize (SLSQP), rigid rod, distance constraints, free place of the towed
    # vehicle
    more = {"ball_height_m": ball, "coupler_depth_m": depth}
    crossed = lowest_nose_m(length, anchors, **BAR, crossed=True, **more)
    assert crossed.held_by == CRADLE
    found = _by_optimiser(length, anchors, BAR, crossed=True, ball_m=ball, depth_m=depth)
    assert crossed.height_m == pytest.approx(found, abs=2e-5)
    parallel = lowest_nose_m(length, anchors, **BAR, crossed=False, **more)
    assert parallel.height_m == pytest.approx(
        max(0.0, _by_optimiser(length, anchors, BAR, crossed=False, ball_m=ball, depth_m=depth)), abs=2e-5
    )
    # where the chain may slide along the underside without friction, the nose ends between the two heights we
    # name
    slid = _by_optimiser(length, anchors, BAR, crossed=True, ball_m=ball, depth_m=depth, contact="free")
    assert crossed.slid_height_m - 1e-5 <= max(0.0, slid) <= crossed.height_m + 1e-5


def test_short_parallel_chains_that_clear_the_road_against_an_optimiser():
    high = Anchors(0.32, -0.05, 0.60, 0.22, 0.20, 0.58)
    bar = {"bar_length_m": 1.5, "pin_height_m": 0.60}
    for ball in (0.60, 0.55):
        nose = lowest_nose_m(0.32, high, **bar, crossed=False, ball_height_m=ball)
        assert nose.held_by == ANCHORS and nose.slid_height_m == nose.height_m
        assert nose.height_m == pytest.approx(
            _by_optimiser(0.32, high, bar, crossed=False, ball_m=ball), abs=2e-5
        )


def test_by_hand():
    # parallel, same spread: w = 0. Chain 0.5, receiver 0.6 high: anchor 0.1 high; pins 0.5 high, anchor 0.8
    # of 1 m ahead:
    # sin = 0.4/0.8 = 1/2, nose 0.5 - 1.0/2 = 0, exactly on the road
    anchors = Anchors(0.3, -0.1, 0.6, 0.3, 0.2, 0.5)
    bar = {"bar_length_m": 1.0, "pin_height_m": 0.5}
    assert lowest_nose_m(0.5, anchors, **bar, crossed=False) == (0.0, True, ROAD, 0.0)
    # chain 0.4: anchor 0.2 high, sin = 0.3/0.8, nose 0.5 - 0.375
    assert lowest_nose_m(0.4, anchors, **bar, crossed=False).height_m == pytest.approx(0.125)
    # crossed: c = hypot(0.2, 0.15) = 0.25; chain 0.55 leaves 0.30; sqrt(0.3² - 0.15²) = 0.2598 below 0.6
    crossed = lowest_nose_m(0.55, anchors, **bar, crossed=True)
    assert crossed.height_m == pytest.approx(0.6 - math.sqrt(0.0675))
    # slid through: sqrt(0.55² - 0.3²) = 0.461 below 0.6 at the anchors, sin = (0.5 - 0.139)/0.8
    assert crossed.slid_height_m == pytest.approx(0.5 - (0.461 - 0.1) / 0.8, abs=2e-4)


def test_a_high_short_bar_hangs_from_its_pins():
    nose = lowest_nose_m(
        3.0, Anchors(0.3, -0.1, 0.9, 0.3, 0.2, 1.2), bar_length_m=0.8, pin_height_m=1.2, crossed=False
    )
    assert nose.height_m == pytest.approx(0.4) and nose.held_by == PINS and not nose.touches_road


wide = st.builds(
    Anchors,
    st.floats(0.1, 0.8),
    st.floats(-0.5, 0.1),
    st.floats(0.25, 0.7),
    st.floats(0.05, 0.8),
    st.floats(0.1, 0.9),
    st.floats(0.3, 0.7),
)
bars = st.fixed_dictionaries({"bar_length_m": st.floats(1.0, 2.2), "pin_height_m": st.floats(0.35, 0.8)})
lengths, more_length, depths = st.floats(0.2, 2.0), st.floats(0.0, 0.5), st.floats(0.0, 0.08)


def _nose(length, anchors, bar, crossed, depth):
    try:
        return lowest_nose_m(length, anchors, **bar, crossed=crossed, coupler_depth_m=depth)
    except ValueError:
        assume(False)


@given(lengths, more_length, wide, bars, st.booleans(), depths)
def test_a_longer_chain_never_holds_the_nose_higher(length, more, anchors, bar, crossed, depth):
    short, long = (_nose(chain, anchors, bar, crossed, depth) for chain in (length, length + more))
    assert long.height_m <= short.height_m + 1e-9 and long.slid_height_m <= short.slid_height_m + 1e-9
    assert 0.0 <= short.slid_height_m <= short.height_m + 1e-12 and short.touches_road == (
        short.height_m == 0.0
    )


@given(lengths, wide, bars, depths)
def test_crossed_chains_never_hold_it_lower_than_parallel_ones_of_the_same_length(
    length, anchors, bar, depth
):
    crossed, parallel = (_nose(length, anchors, bar, way, depth) for way in (True, False))
    assert (
        crossed.height_m >= parallel.height_m - 1e-9
        and crossed.slid_height_m >= parallel.slid_height_m - 1e-9
    )


@given(lengths, wide, bars, st.booleans(), depths, st.floats(-0.08, 0.08))
def test_the_bar_drawn_is_the_bar_computed(length, anchors, bar, crossed, depth, rise):
    more = {"ball_height_m": bar["pin_height_m"] - rise, "coupler_depth_m": depth}
    try:
        nose = lowest_nose_m(length, anchors, **bar, crossed=crossed, **more)
    except ValueError:
        assume(False)
    side = hanging_bar(nose.height_m, anchors, **bar, **more)
    assert math.dist((0.0, bar["pin_height_m"]), (side.nose_ahead_m, side.nose_height_m)) == pytest.approx(
        bar["bar_length_m"]
    )
    # both chains still reach: the anchor is no further below the receiver than the chain is long
    assert anchors.receiver_height_m - side.anchor_height_m <= length + 1e-9
    # turned back to where it was coupled, the anchor stands where it was measured
    coupled = hanging_bar(
        bar["pin_height_m"] - rise - depth * math.cos(math.asin(rise / bar["bar_length_m"])),
        anchors,
        **bar,
        **more,
    )
    assert coupled.anchor_height_m == pytest.approx(anchors.bar_height_m)
    assert coupled.nose_ahead_m - coupled.anchor_ahead_m == pytest.approx(anchors.bar_behind_ball_m)


def test_impossible_geometry_is_one_sentence():
    gap = chain_gaps_m(USUAL, 0.0, crossed=True).left_m
    for length, anchors, bar, words in (
        (gap - 0.01, USUAL, BAR, "cannot bridge a gap"),
        (gap + 0.001, USUAL, BAR, "cross under the coupler"),
        (0.9, USUAL._replace(bar_behind_ball_m=1.6), BAR, "between the ball and the bracket pins"),
        (0.9, USUAL, BAR | {"pin_height_m": 0.0}, "above the road"),
        (0.9, USUAL, BAR | {"ball_height_m": 2.2}, "reach from the ball"),
        (0.9, USUAL, BAR | {"coupler_depth_m": -0.1}, "depth of the coupler"),
    ):
        with pytest.raises(ValueError, match=words):
            lowest_nose_m(length + 0.8 * (words.startswith("between")), anchors, **bar, crossed=True)
    with pytest.raises(ValueError, match="does not reach"):
        hanging_bar(3.0, USUAL, **BAR)


def test_the_nose_lies_where_it_was_asked_for():
    anchors = Anchors(0.3, -0.2, 0.3, 0.44, 0.2, 0.5)
    for height in (0.0, 0.2):
        view = hanging_bar(height, anchors, bar_length_m=1.0, pin_height_m=0.5)
        assert view[2] == pytest.approx(height) and view[1] ** 2 + (0.5 - height) ** 2 == pytest.approx(
            1.0
        )  # Pythagoras, a bar of 1 m


def test_anchors_that_sink_by_hand():
    # pins 0.53 m high, bar 1.5 m: level before; the ball 45 mm down turns it by asin(0.045 / 1.5) = 0.030005
    sunk = anchors_when_sunk(
        USUAL,
        receiver_sinks_m=0.04,
        ball_sinks_m=0.045,
        bar_length_m=1.5,
        pin_height_m=0.53,
        ball_height_m=0.485,
    )
    turn = math.asin(0.03)
    # the anchor 1.2 m ahead of the pins, level with them: 1.2 · 0.03 = 36 mm down
    assert sunk.bar_height_m == pytest.approx(0.53 - 1.2 * 0.03, abs=1e-12)
    assert sunk.bar_behind_ball_m == pytest.approx(0.3 * math.cos(turn), abs=1e-12)
    assert sunk.receiver_height_m == pytest.approx(0.40, abs=1e-12)
    assert (sunk.receiver_spread_m, sunk.bar_spread_m, sunk.receiver_behind_ball_m) == (0.32, 0.22, -0.20)


@given(st.floats(-0.1, 0.1), st.floats(0.35, 0.7), st.floats(0.05, 1.2), st.floats(-0.2, 0.2))
def test_an_anchor_on_the_bar_keeps_its_distances(sinks, ball, behind, above):
    anchors = USUAL._replace(bar_behind_ball_m=behind, bar_height_m=0.53 + above)
    moved = anchors_when_sunk(
        anchors,
        receiver_sinks_m=0.0,
        ball_sinks_m=sinks,
        bar_length_m=1.5,
        pin_height_m=0.53,
        ball_height_m=ball,
    )

    def to_ball_and_pins(places, ball_m):
        pins_m = math.sqrt(1.5**2 - (0.53 - ball_m) ** 2)
        at = (places.bar_behind_ball_m, places.bar_height_m)
        return math.dist(at, (0.0, ball_m)), math.dist(at, (pins_m, 0.53))

    assert to_ball_and_pins(moved, ball) == pytest.approx(to_ball_and_pins(anchors, ball + sinks), abs=1e-9)
    back = anchors_when_sunk(
        moved,
        receiver_sinks_m=0.0,
        ball_sinks_m=-sinks,
        bar_length_m=1.5,
        pin_height_m=0.53,
        ball_height_m=ball + sinks,
    )
    assert back == pytest.approx(anchors, abs=1e-9)


@pytest.mark.parametrize("ball", [0.0, -0.1, 2.5])
def test_a_bar_that_cannot_stand_so_is_refused(ball):
    with pytest.raises(ValueError, match="the bar must have a length"):
        anchors_when_sunk(
            USUAL,
            receiver_sinks_m=0.0,
            ball_sinks_m=0.53 - ball,
            bar_length_m=1.5,
            pin_height_m=0.53,
            ball_height_m=ball,
        )
