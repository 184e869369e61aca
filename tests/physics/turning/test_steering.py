"""Towed front wheels against published turns of a wheel, a drawn geometry and integrals."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from towlib.handbook.tables import check_close
from towlib.physics.turning import steering

C = 30e3


def test_published_turns():
    check_close(steering.revolutions(80e6, 0.260), "tyre_life_turns")
    check_close(200_000 / steering.revolutions(1000.0, 1.15 / 2), "hub_odometer")


@given(st.floats(-0.5, 0.5), st.floats(0.2, 0.6), st.floats(-0.03, 0.03))
def test_trail_from_a_drawn_steering_axis(castor, radius, ahead):
    # hub at (0, r); the axis leans back by castor and passes `ahead` behind the hub, square to it; where does
    # it meet the road?
    along = np.array([-math.sin(castor), math.cos(castor)])  # x forwards: the upper end leans back
    square = np.array([math.cos(castor), math.sin(castor)])
    foot = np.array([0.0, radius]) - ahead * square
    meets = foot - along * (foot[1] / along[1])
    assert steering.castor_trail_m(castor, radius, hub_ahead_m=ahead) == pytest.approx(meets[0], abs=1e-12)


@given(st.floats(1e-4, 0.05))
def test_toe_drag_is_the_side_force_turned_into_the_road(toe):
    side = C * toe  # two wheels that point inwards: sideways parts cancel, parts along the road add
    left, right = (side * np.array([-math.sin(toe), sign * math.cos(toe)]) for sign in (1, -1))
    assert (left + right)[1] == pytest.approx(0) and steering.toe_drag_n(
        toe, stiffness_n_rad=C
    ) == pytest.approx(-(left + right)[0])
    assert steering.toe_drag_n(-toe, stiffness_n_rad=C) == steering.toe_drag_n(toe, stiffness_n_rad=C)
    assert steering.toe_drag_n(2 * toe, stiffness_n_rad=C) / steering.toe_drag_n(
        toe, stiffness_n_rad=C
    ) == pytest.approx(4, rel=2e-3)


def test_grip_limits_toe_and_lock():
    assert steering.toe_drag_n(0.2, stiffness_n_rad=C, grip_n=3000.0) == pytest.approx(6000 * math.sin(0.2))
    assert steering.locked_steering_force_n(
        1000.0, 2.4, stiffness_n_rad=2 * C, grip_n=6000.0
    ) == pytest.approx(2 * C * math.atan(0.0024))
    assert steering.locked_steering_force_n(5.0, 2.4, stiffness_n_rad=2 * C, grip_n=6000.0) == 6000.0


def test_sideways_by_hand():
    # 3 mm of toe-in on 700 mm: sin(alpha) = 3/1400; over a kilometre 1000·3/1400 = 2.143 m
    toe = steering.toe_each_rad(0.003, across_m=0.70)
    assert steering.sideways_m(toe, 1000.0) == pytest.approx(1000 * 3 / 1400) and toe == pytest.approx(
        math.asin(3 / 1400)
    )


@given(st.floats(1, 100), st.floats(0.005, 0.1))
def test_friction_holds_where_both_moments_are_equal(friction, trail):
    angle = steering.angle_friction_holds_rad(friction, stiffness_n_rad=2 * C, trail_m=trail)
    assert steering.centring_n_m(angle, stiffness_n_rad=2 * C, trail_m=trail) == pytest.approx(friction)
    assert steering.angle_friction_holds_rad(friction, stiffness_n_rad=2 * C, trail_m=-trail) == math.inf


def test_steer_needed_puts_the_wheel_square_to_the_radius():
    for radius in (5.0, 12.0, 80.0):
        delta = steering.steer_needed_rad(radius, 2.36)
        heading, spoke = (
            (math.cos(delta), math.sin(delta)),
            (2.36, -radius),
        )  # front axle seen from the centre of the turn, to its left
        assert heading[0] * spoke[0] + heading[1] * spoke[1] == pytest.approx(0.0, abs=1e-12)


def test_impossible_input_is_one_plain_sentence():
    for wrong in (
        lambda: steering.revolutions(1, 0),
        lambda: steering.toe_each_rad(2.0, across_m=0.7),
        lambda: steering.castor_trail_m(0.1, 0),
        lambda: steering.angle_friction_holds_rad(-1, stiffness_n_rad=1, trail_m=1),
        lambda: steering.steer_needed_rad(0, 2.4),
    ):
        with pytest.raises(ValueError, match=r"^[a-z][^.]*$"):
            wrong()
