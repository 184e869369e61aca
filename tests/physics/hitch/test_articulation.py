"""The pair over crests, dips and ramps: against plain trigonometry, a numerical solver and the mirror."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import fsolve

from towlib.physics.hitch.articulation import Bend, PairShape, pair_on_bend, road_height_m, sweep

SHAPE = PairShape(3.75, 1.32, 0.55, 0.40, 1.5, 0.065, 0.60, 0.48, 2.36)
bends = st.builds(Bend, st.floats(-0.2, 0.2), st.floats(-0.2, 0.2), st.floats(0.5, 40.0))


@given(bends)
def test_the_road_is_smooth_and_its_arc_has_the_radius(bend):
    x = np.linspace(-15, 15, 6001)
    z = road_height_m(x, bend)
    slope = np.diff(z) / np.diff(x)
    assert (
        slope.min() >= min(bend.grade_before, bend.grade_after) - 1e-6
        and slope.max() <= max(bend.grade_before, bend.grade_after) + 1e-6
    )
    assert (
        np.max(np.abs(np.diff(slope))) <= 0.005 * 1.1 / bend.radius_m + 1e-9
    )  # curvature, at most (1 + 0.2²)^1.5 / R: no kink


def test_circle_by_three_points():
    # independent: the circle through three points of the arc (circumradius a·b·c / 4·area)
    bend = Bend(-0.12, 0.08, 9.0)
    p = [np.array([x, float(road_height_m(x, bend))]) for x in (-0.5, 0.0, 0.4)]
    a, b, c = (np.linalg.norm(p[i] - p[j]) for i, j in ((0, 1), (1, 2), (0, 2)))
    (x0, z0), (x1, z1) = p[1] - p[0], p[2] - p[0]
    assert a * b * c / (2 * abs(x0 * z1 - x1 * z0)) == pytest.approx(9.0, rel=1e-6)


def test_an_even_road_of_any_grade_is_level_driving():
    for grade in (-0.15, 0.0, 0.1):
        pose = pair_on_bend(SHAPE, Bend(grade, grade, 10.0), rear_axle_x_m=np.linspace(-5, 5, 7))
        slope = math.asin((0.60 - 0.55) / 1.5)
        assert pose.tilt_at_ball_rad == pytest.approx(np.full(7, slope), abs=1e-8)
        assert pose.tilt_at_pins_rad == pytest.approx(np.full(7, -slope), abs=1e-8)
        assert pose.hitch_clearance_m * math.cos(math.atan(grade)) == pytest.approx(
            np.full(7, 0.40), abs=1e-8
        )
        # the bar is lowest at the ball, and half of its depth hangs below its line
        assert pose.bar_clearance_m == pytest.approx(
            np.full(7, 0.55 / math.cos(math.atan(grade)) - 0.065 / 2), abs=1e-8
        )


def test_a_tow_vehicle_beyond_a_ramp_and_a_towed_one_before_it_by_trigonometry():
    # by hand: tow vehicle wholly on a 12 % ramp, towed vehicle still on the level: pitches atan 0.12 and 0
    shape = SHAPE._replace(
        ball_height_m=0.5, bracket_height_m=0.5, overhang_m=0.6, bar_length_m=1.5, bracket_ahead_m=0.3
    )
    pose = pair_on_bend(shape, Bend(0.0, 0.12, 0.1), rear_axle_x_m=np.array([1.0]))
    assert pose.tow_pitch_rad[0] == pytest.approx(math.atan(0.12), abs=1e-9) and pose.towed_pitch_rad[
        0
    ] == pytest.approx(0.0, abs=1e-9)
    ramp = math.atan(0.12)
    along = 1.0 / math.cos(ramp)  # distance of the rear wheels up the ramp
    ball = (
        (along - 0.6) * math.cos(ramp) - 0.5 * math.sin(ramp),
        (along - 0.6) * math.sin(ramp) + 0.5 * math.cos(ramp),
    )
    assert pose.ball[0] == pytest.approx(ball, abs=1e-9)
    assert pose.tilt_at_ball_rad[0] == pytest.approx(ramp + math.asin((0.5 - ball[1]) / 1.5), abs=1e-9)


@settings(max_examples=60, deadline=None)
@given(bends, st.floats(-6.0, 6.0))
def test_against_a_general_equation_solver(bend, at):
    pose = pair_on_bend(SHAPE, bend, rear_axle_x_m=np.array([at]))

    def z(x):
        return float(road_height_m(x, bend))

    def unknowns(u):  # tow front, towed front, towed rear: x of each; equations straight from the distances
        front, t_front, t_rear = u
        a = math.atan2(z(front) - z(at), front - at)
        ball = (at - 1.32 * math.cos(a) - 0.55 * math.sin(a), z(at) - 1.32 * math.sin(a) + 0.55 * math.cos(a))
        b = math.atan2(z(t_front) - z(t_rear), t_front - t_rear)
        pins = (
            t_front + 0.48 * math.cos(b) - 0.60 * math.sin(b),
            z(t_front) + 0.48 * math.sin(b) + 0.60 * math.cos(b),
        )
        return (
            math.dist((front, z(front)), (at, z(at))) - 3.75,
            math.dist(ball, pins) - 1.5,
            math.dist((t_front, z(t_front)), (t_rear, z(t_rear))) - 2.36,
        )

    solved = fsolve(unknowns, (at + 3.75, at - 3.3, at - 5.66), xtol=1e-9)
    ours = (pose.tow_front[0, 0], pose.towed_front[0, 0], pose.towed_rear[0, 0])
    assert ours == pytest.approx(tuple(solved), abs=1e-6)


@given(bends)
@settings(max_examples=30, deadline=None)
def test_lengths_are_kept_everywhere(bend):
    pose = pair_on_bend(SHAPE, bend, rear_axle_x_m=np.linspace(-8, 8, 33))
    for one, other, length in (
        (pose.tow_rear, pose.tow_front, 3.75),
        (pose.towed_rear, pose.towed_front, 2.36),
        (pose.ball, pose.pins, 1.5),
    ):
        assert np.hypot(*(one - other).T) == pytest.approx(np.full(33, length), abs=1e-7)


def test_crest_and_dip_tilt_the_bar_opposite_ways_and_sharper_is_worse():
    crest, dip = sweep(SHAPE, Bend(0.1, -0.1, 15.0)), sweep(SHAPE, Bend(-0.1, 0.1, 15.0))
    assert -crest.tilt_down_rad > crest.tilt_up_rad and dip.tilt_up_rad > -dip.tilt_down_rad
    assert dip.hitch_clearance_m < 0.40 < crest.hitch_clearance_m + 0.01
    gentle, sharp = sweep(SHAPE, Bend(0.0, 0.12, 30.0)), sweep(SHAPE, Bend(0.0, 0.12, 1.0))
    assert sharp.tilt_up_rad > gentle.tilt_up_rad and sharp.hitch_clearance_m < gentle.hitch_clearance_m
    longer = sweep(SHAPE._replace(overhang_m=1.6), Bend(0.0, 0.12, 6.0))
    assert longer.hitch_clearance_m < sweep(SHAPE, Bend(0.0, 0.12, 6.0)).hitch_clearance_m


def test_clearance_on_a_sharp_ramp_by_hand():
    # a kink of 12 % taken by the front wheels first: the lowest hitch point comes nearest when the rear
    # wheels stand at the kink:
    # body tilted by atan(0.12), the point 1.32 m behind: 0.40·cos - 1.32·sin above the level
    ramp = math.atan(0.12)
    found = sweep(SHAPE, Bend(0.0, 0.12, 0.05), step_m=0.02)
    assert found.hitch_clearance_m == pytest.approx(0.40 * math.cos(ramp) - 1.32 * math.sin(ramp), abs=0.002)
    assert found.nearest == "hitch" and abs(found.nearest_at_m) < 0.05


def test_impossible_shapes_are_one_sentence():
    for shape, bend in (
        (SHAPE._replace(bracket_height_m=2.2), Bend(0, 0.1, 5.0)),
        (SHAPE._replace(tow_wheelbase_m=0.0), Bend(0, 0.1, 5.0)),
        (SHAPE, Bend(0, 0.1, 0.0)),
    ):
        with pytest.raises(ValueError, match="^[a-z][^\n]+$"):
            sweep(shape, bend)
    with pytest.raises(ValueError, match="step"):
        sweep(SHAPE, Bend(0, 0.1, 5.0), step_m=0.0)


def test_a_bar_only_has_to_bridge_the_difference_of_heights():
    assert sweep(SHAPE._replace(bar_length_m=1.1), Bend(0.0, 0.1, 5.0)).tilt_up_rad > 0
