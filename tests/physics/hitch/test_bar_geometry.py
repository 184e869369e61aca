"""Hitch geometry against computed values, balances of forces, and a model of two springs."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from towlib.physics.hitch.bar_geometry import (
    arm_forces_n,
    axle_change_of_ball_force_n,
    ball_force_of_slope_n,
    ball_height_m,
    bar_slope_rad,
    bracket_forces_n,
    half_angle_rad,
    most_level_mount,
    receiver_drop_m,
    spread_fits,
)

G = 9.80665
STEPS_M = tuple(0.0254 * step for step in (0, 2, 4, 6, 8))
angles = st.floats(0.02, 1.4)
forces = st.floats(-3e4, 3e4)


# computed by an independent script: arcsin of the rise over 1.5 m, tangent for vertical over longitudinal
@pytest.mark.parametrize(("rise_in", "degrees", "share"), [(3, 2.912, 0.0509), (6, 5.831, 0.1021)])
def test_bar_slope(rise_in, degrees, share):
    slope = bar_slope_rad(0.50, 0.50 + rise_in * 0.0254, bar_length_m=1.5)
    assert math.degrees(slope) == pytest.approx(degrees, abs=5e-4)
    assert ball_force_of_slope_n(-1.0, slope) == pytest.approx(share, abs=5e-5)
    assert bar_slope_rad(0.50 + rise_in * 0.0254, 0.50, bar_length_m=1.5) == pytest.approx(-slope)


def test_which_way_a_sloped_bar_presses():
    up = bar_slope_rad(0.50, 0.60, bar_length_m=1.5)  # brackets higher than the ball
    assert ball_force_of_slope_n(5000.0, up) < 0  # a pull lifts the ball
    assert ball_force_of_slope_n(-5000.0, up) > 0  # a push while braking presses it down
    assert ball_force_of_slope_n(5000.0, -up) > 0 and ball_force_of_slope_n(-5000.0, -up) < 0
    assert ball_force_of_slope_n(5000.0, 0.0) == 0


@given(forces, st.floats(-0.5, 0.5), st.floats(0.0, 2.0))
def test_a_bar_hinged_at_both_ends_has_no_moment(pull_n, slope, overhang_m):
    down = ball_force_of_slope_n(pull_n, slope)
    # on the bar at the ball: forwards pull_n, upwards -down … its line of action must run through the bracket
    behind, above = 1.5 * math.cos(slope), 1.5 * math.sin(slope)
    assert pull_n * above + down * behind == pytest.approx(0.0, abs=1e-9 * max(1.0, abs(pull_n)))
    front_n, rear_n = axle_change_of_ball_force_n(down, wheelbase_m=3.6, overhang_m=overhang_m)
    assert front_n + rear_n == pytest.approx(down, abs=1e-9 * max(1.0, abs(down)))
    assert rear_n * 3.6 == pytest.approx(down * (3.6 + overhang_m), abs=1e-8 * max(1.0, abs(down)))


@given(st.floats(-200, 300), st.floats(-100, 500), st.floats(0.0, 2.0))
def test_receiver_drop_is_a_straight_line_through_both_axles(front_kg, rear_kg, overhang_m):
    found = receiver_drop_m(
        front_kg, rear_kg, front_rate_n_m=9e4, rear_rate_n_m=8e4, wheelbase_m=3.6, overhang_m=overhang_m
    )
    front_m, rear_m = front_kg * G / 9e4, rear_kg * G / 8e4
    assert (found - rear_m) / max(overhang_m, 1e-9) == pytest.approx(
        (rear_m - front_m) / 3.6, abs=1e-9
    ) or overhang_m < 1e-6
    same = receiver_drop_m(
        90.0, 80.0, front_rate_n_m=9e4, rear_rate_n_m=8e4, wheelbase_m=3.6, overhang_m=overhang_m
    )
    assert same == pytest.approx(G / 1000.0)  # both axles sink alike: no pitch


def test_ball_height_adds_up():
    assert ball_height_m(0.46, 0.1016, drop_m=0.03) == pytest.approx(0.5316)
    assert ball_height_m(0.46, -0.1016) == pytest.approx(0.3584)


@given(st.floats(0.30, 0.70), st.floats(0.30, 0.75))
def test_no_other_step_is_more_level(receiver_m, bracket_m):
    mount = most_level_mount(receiver_m, bracket_m, bar_length_m=1.5, steps_m=STEPS_M)
    for change in (sign * step for step in STEPS_M for sign in (1, -1)):
        assert (
            abs(mount.slope_rad)
            <= abs(bar_slope_rad(receiver_m + change, bracket_m, bar_length_m=1.5)) + 1e-12
        )


def test_the_mount_is_turned_over_for_low_brackets():
    assert most_level_mount(0.60, 0.48, bar_length_m=1.5, steps_m=STEPS_M).change_m == pytest.approx(-0.1016)
    assert most_level_mount(0.48, 0.60, bar_length_m=1.5, steps_m=STEPS_M).change_m == pytest.approx(0.1016)
    assert most_level_mount(0.50, 0.50, bar_length_m=1.5, steps_m=STEPS_M) == (0.0, 0.0)


# computed by an independent script: 1/(2·cos) and tan/2
@pytest.mark.parametrize(
    ("degrees", "arm", "side"), [(15, 0.5176, 0.1340), (25, 0.5517, 0.2332), (30, 0.5774, 0.2887)]
)
def test_a_frame_forces(degrees, arm, side):
    beta = math.radians(degrees)
    assert arm_forces_n(1.0, 0.0, half_angle_rad=beta) == pytest.approx((arm, arm), abs=5e-5)
    bracket = bracket_forces_n(1.0, half_angle_rad=beta)
    assert bracket.inwards_n == pytest.approx(side, abs=5e-5)
    assert math.hypot(*bracket) == pytest.approx(arm, abs=5e-5)


@given(forces, forces, angles)
def test_the_coupler_is_in_balance(pull_n, side_n, beta):
    left_n, right_n = arm_forces_n(pull_n, side_n, half_angle_rad=beta)
    # each arm pulls the coupler rearwards and to its own side (left positive)
    size = max(1.0, abs(left_n), abs(right_n))
    assert pull_n - (left_n + right_n) * math.cos(beta) == pytest.approx(0.0, abs=1e-9 * size)
    assert side_n + (left_n - right_n) * math.sin(beta) == pytest.approx(0.0, abs=1e-9 * size)
    mirrored = arm_forces_n(pull_n, -side_n, half_angle_rad=beta)
    assert mirrored == pytest.approx((right_n, left_n))


def test_narrow_brackets_multiply_a_side_force():
    # arm force of a side load = S · arm / spread, so half the spread doubles it
    wide, narrow = (
        arm_forces_n(0.0, 1000.0, half_angle_rad=half_angle_rad(spread, arm_length_m=1.5))
        for spread in (0.8, 0.4)
    )
    assert abs(wide.left_n) == pytest.approx(1000 * 1.5 / 0.8) and abs(narrow.left_n) == pytest.approx(
        1000 * 1.5 / 0.4
    )
    assert wide.left_n == -wide.right_n


def test_spread_answers_within_outside_and_not_known():
    assert spread_fits(0.70, narrowest_m=0.60, widest_m=0.90) is True
    assert spread_fits(0.59, narrowest_m=0.60, widest_m=0.90) is False
    assert spread_fits(0.91, narrowest_m=None, widest_m=0.90) is False
    assert spread_fits(0.70, narrowest_m=None, widest_m=0.90) is None
    assert spread_fits(0.70, narrowest_m=0.60, widest_m=None) is None


@pytest.mark.parametrize(
    "call",
    [
        lambda: bar_slope_rad(0.2, 0.9, bar_length_m=0.5),
        lambda: half_angle_rad(3.1, arm_length_m=1.5),
        lambda: half_angle_rad(0.0, arm_length_m=1.5),
        lambda: arm_forces_n(1.0, 1.0, half_angle_rad=0.0),
        lambda: bracket_forces_n(1.0, half_angle_rad=1.6),
        lambda: ball_height_m(0.2, -0.3),
        lambda: most_level_mount(0.5, 0.5, bar_length_m=1.5, steps_m=()),
        lambda: axle_change_of_ball_force_n(1.0, wheelbase_m=0.0, overhang_m=1.0),
        lambda: receiver_drop_m(1, 1, front_rate_n_m=0.0, rear_rate_n_m=1.0, wheelbase_m=3.0, overhang_m=1.0),
    ],
)
def test_impossible_input_is_refused(call):
    with pytest.raises(ValueError, match=r"^[^.]+(\.\d+[^.]*)*$"):  # one plain sentence
        call()


@given(st.floats(0.2, 0.9), st.floats(0.2, 0.9), st.floats(1.0, 2.5), st.floats(0.01, 1.0))
def test_a_longer_bar_never_raises_its_slope(ball, pins, length, more):
    short, long = (abs(bar_slope_rad(ball, pins, bar_length_m=each)) for each in (length, length + more))
    assert long <= short + 1e-12
