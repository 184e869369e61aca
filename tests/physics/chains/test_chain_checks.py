"""Chains that cannot be, the angle they pull at by vectors, and the second pair against a fine sweep."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from towlib.physics.chains.chain_checks import (
    chain_angles_rad,
    require_fitting,
    second_pair_gap_m,
    taut_angle_rad,
)
from towlib.physics.chains.chain_gaps import Anchors, chain_gaps_m, share_of_pull

USUAL = Anchors(0.32, -0.20, 0.44, 0.22, 0.30, 0.53)
anywhere = st.builds(
    Anchors,
    st.floats(0.05, 0.9),
    st.floats(-0.6, -0.05),
    st.floats(0.2, 0.8),
    st.floats(0.02, 0.9),
    st.floats(0.05, 1.2),
    st.floats(0.2, 0.8),
)


def test_what_cannot_be_hooked_up_is_one_sentence():
    gap = max(chain_gaps_m(USUAL, 0.0, crossed=True))
    require_fitting(gap, USUAL, crossed=True)
    require_fitting(0.511, USUAL, crossed=False)  # by hand: hypot(0.5, 0.05, 0.09) = 0.5105
    for length, anchors, words in (
        (gap - 1e-6, USUAL, "cannot be hooked up"),
        (9.0, USUAL._replace(bar_spread_m=-0.1), "negative"),
        (
            9.0,
            USUAL._replace(receiver_spread_m=0.02, receiver_behind_ball_m=0.01),
            "receiver would lie inside the ball",
        ),
        (9.0, USUAL._replace(bar_spread_m=0.02, bar_behind_ball_m=0.02), "bar would lie inside the ball"),
        (9.0, USUAL._replace(bar_behind_ball_m=-0.3), "behind the ball"),
    ):
        with pytest.raises(ValueError, match=words):
            require_fitting(length, anchors, crossed=True)


@given(anywhere, st.floats(-1.3, 1.3), st.booleans())
def test_chain_angles_against_vectors(anchors, turn, crossed):
    # the same by numpy with a rotation matrix and the cosine rule
    turned = np.array([[math.cos(turn), -math.sin(turn), 0], [math.sin(turn), math.cos(turn), 0], [0, 0, 1]])
    found = chain_angles_rad(anchors, turn, crossed=crossed)
    for side, angle in ((1, found.left_m), (-1, found.right_m)):
        bar = turned @ [
            anchors.bar_behind_ball_m,
            (-side if crossed else side) * anchors.bar_spread_m / 2,
            anchors.bar_height_m,
        ]
        receiver = np.array(
            [anchors.receiver_behind_ball_m, side * anchors.receiver_spread_m / 2, anchors.receiver_height_m]
        )
        pull = turned @ [anchors.bar_behind_ball_m, 0, anchors.bar_height_m] - [
            anchors.receiver_behind_ball_m,
            0,
            anchors.receiver_height_m,
        ]
        chain = bar - receiver
        assert math.cos(angle) == pytest.approx(
            chain @ pull / np.linalg.norm(chain) / np.linalg.norm(pull), abs=1e-9
        )


def test_two_chains_at_their_angle_hold_the_pull():
    # equilibrium by hand: level, in line, w = 0.3 sideways, 0.4 along: alpha = 36.87°, each chain 0.5/0.8 =
    # 0.625 of the pull
    square = Anchors(0.4, -0.1, 0.5, 0.2, 0.3, 0.5)
    angle = chain_angles_rad(square, 0.0, crossed=True).left_m
    assert math.degrees(angle) == pytest.approx(36.8699, abs=1e-4) and share_of_pull(angle) == pytest.approx(
        0.625
    )
    assert taut_angle_rad(0.5, square, crossed=True) == pytest.approx(angle)  # no slack: the same
    assert taut_angle_rad(0.6, square, crossed=True) == pytest.approx(math.asin(0.5))
    assert taut_angle_rad(0.6, square, crossed=False) == pytest.approx(math.asin(1 / 6))
    with pytest.raises(ValueError, match="sideways"):
        taut_angle_rad(0.3, square, crossed=True)
    with pytest.raises(ValueError, match="no line of pull"):
        chain_angles_rad(Anchors(0.4, 0.3, 0.5, 0.2, 0.3, 0.5), 0.0, crossed=True)
    with pytest.raises(ValueError, match="behind the ball"):
        chain_angles_rad(Anchors(0.4, 0.3, 0.5, 0.2, -0.3, 0.5), 0.0, crossed=True)


second = st.fixed_dictionaries(
    {
        "bar_anchor_height_m": st.floats(0.3, 0.8),
        "pin_height_m": st.floats(0.3, 0.8),
        "frame_anchor_height_m": st.floats(0.2, 0.8),
        "sideways_m": st.floats(0.0, 0.5),
    }
)


@given(st.floats(0.05, 1.2), st.floats(-0.3, 1.0), second, st.floats(0.0, 1.2))
def test_second_pair_is_the_highest_of_a_fine_sweep(ahead, behind, heights, pitch):
    pins, frame = (
        np.array([0.0, heights["pin_height_m"]]),
        np.array([behind, heights["frame_anchor_height_m"]]),
    )
    anchor = np.array([-ahead, heights["bar_anchor_height_m"]]) - pins
    swept = max(
        math.hypot(
            *(pins + np.array([[math.cos(t), -math.sin(t)], [math.sin(t), math.cos(t)]]) @ anchor - frame),
            heights["sideways_m"],
        )
        for t in np.linspace(-pitch, pitch, 400)
    )
    assert (
        swept - 1e-9 <= second_pair_gap_m(ahead, behind, **heights, greatest_pitch_rad=pitch) <= swept + 1e-4
    )


def test_second_pair_by_hand():
    flat = {"bar_anchor_height_m": 0.5, "pin_height_m": 0.5, "frame_anchor_height_m": 0.5}
    # stretched out straight it is longest; ahead of the pins the bar tipped up is the far one
    assert second_pair_gap_m(0.3, 0.4, **flat, sideways_m=0.24, greatest_pitch_rad=0.6) == pytest.approx(
        math.hypot(0.7, 0.24)
    )
    assert second_pair_gap_m(
        0.3, -0.4, **flat, sideways_m=0.0, greatest_pitch_rad=math.pi / 2
    ) == pytest.approx(0.5)
    # a level rectangle like the first pair's: the same as chain_gaps_m in line
    same = chain_gaps_m(Anchors(0.3, -0.4, 0.5, 0.3, 0.3, 0.5), 0.0, crossed=True).left_m
    assert second_pair_gap_m(0.3, 0.4, **flat, sideways_m=0.3, greatest_pitch_rad=0.0) == pytest.approx(same)
    for wrong in (
        {"sideways_m": -0.1, "greatest_pitch_rad": 0.1},
        {"sideways_m": 0.1, "greatest_pitch_rad": -0.1},
    ):
        with pytest.raises(ValueError):
            second_pair_gap_m(0.3, 0.4, **flat, **wrong)
    with pytest.raises(ValueError):
        second_pair_gap_m(0.0, 0.4, **flat, sideways_m=0.1, greatest_pitch_rad=0.1)
