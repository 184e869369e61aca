"""Steady turns: published off-tracking, circles drawn with compasses, limits of angle and lock, and what must
always hold.
"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from towlib.handbook.tables import check_close
from towlib.physics.turning.circle import (
    Body,
    TurningPair,
    folds_up,
    front_radius_m,
    smallest_circle,
    steady_circle,
    swept_ring,
    towed_steer_rad,
)

BASE = TurningPair(3.3, 1.3, 1.5 + 2.42, 2.42)
pairs = st.builds(
    lambda wb, e, bar, towed: TurningPair(wb, e, bar + towed, towed),
    st.floats(2.4, 4.5),
    st.floats(0.5, 1.8),
    st.floats(1.0, 2.6),
    st.floats(2.0, 3.2),
)


def test_off_tracking_case_of_the_check_values(capsys):
    # computed independently (section 7 of the check values), the overhang counted (T17) and the bar yaw-rigid
    # (T16)
    circle = steady_circle(12.0, BASE)
    for value, row in (
        (circle.rear_m, "turn_rear_radius"),
        (circle.ball_m, "turn_hitch_radius"),
        (circle.towed_rear_m, "turn_towed_radius"),
        (circle.cut_in_m, "turn_cut_in"),
    ):
        check_close(value, row)
    check_close(circle.articulation_rad, "turn_articulation", unit="rad")
    # T16: a bar free at its brackets would put the towed rear axle at 11.256 m
    assert abs(circle.towed_rear_m - 11.256) > 0.3


def test_twenty_and_forty_feet_and_the_impossible_circle():
    # computed independently: R 50 ft, 20 + 40 ft: 27.639 ft; R 41 ft impossible, the negative root answered
    # in words
    pair = TurningPair(20.0, 0.0, 40.0, 10.0)
    check_close(steady_circle(50.0, pair).cut_in_m, "turn_20_40")
    with pytest.raises(
        ValueError, match=r"cannot follow so small a circle.*more than 44\.72 m"
    ):  # sqrt(20² + 40²)
        steady_circle(41.0, pair)
    with pytest.raises(
        ValueError, match=r"more than 4\.96 m"
    ):  # by hand: sqrt(3.92² - 1.3² + 3.3²) = sqrt(24.566) = 4.956
        steady_circle(4.5, BASE)
    with pytest.raises(ValueError, match="smaller than the tow vehicle's wheelbase"):
        steady_circle(19.0, pair)


@given(pairs, st.floats(1.05, 6.0))
def test_every_axle_points_at_the_centre(pair, times):
    # independent derivation: place both vehicles about the origin with compasses and measure
    least = math.sqrt(max(0.0, pair.ball_to_axle_m**2 - pair.overhang_m**2) + pair.wheelbase_m**2)
    circle = steady_circle(least * times, pair)
    ball = (-pair.overhang_m, circle.rear_m)  # rear axle at (0, R) heading +x round the origin clockwise
    # the towed rear axle: distance l from the ball, and its bar square to its own radius
    assert math.hypot(*ball) == pytest.approx(circle.ball_m)
    heading = circle.articulation_rad  # turning right, the towed vehicle still points further left
    axle = (
        ball[0] - pair.ball_to_axle_m * math.cos(heading),
        ball[1] - pair.ball_to_axle_m * math.sin(heading),
    )
    assert math.hypot(*axle) == pytest.approx(circle.towed_rear_m, rel=1e-9)
    assert axle[0] * math.cos(heading) + axle[1] * math.sin(heading) == pytest.approx(0.0, abs=1e-8)
    front = (
        axle[0] + pair.towed_wheelbase_m * math.cos(heading),
        axle[1] + pair.towed_wheelbase_m * math.sin(heading),
    )
    assert math.hypot(*front) == pytest.approx(circle.towed_front_m)
    # a free wheel rolls square to its radius: at its middle, and at the inner wheel of a 1.4 m track
    for track in (0.0, 1.4):
        wheel = (front[0] + track / 2 * math.sin(heading), front[1] - track / 2 * math.cos(heading))
        rolls = heading - towed_steer_rad(circle.towed_rear_m, pair.towed_wheelbase_m, track_m=track)
        assert wheel[0] * math.cos(rolls) + wheel[1] * math.sin(rolls) == pytest.approx(0.0, abs=1e-8)


@given(pairs, st.floats(1.1, 6.0))
def test_longer_towed_vehicles_cut_in_more_and_an_overhang_less(pair, times):
    front = times * math.hypot(pair.wheelbase_m, pair.ball_to_axle_m + 0.3)
    base = steady_circle(front, pair)
    longer = steady_circle(
        front,
        pair._replace(
            ball_to_axle_m=pair.ball_to_axle_m + 0.3, towed_wheelbase_m=pair.towed_wheelbase_m + 0.3
        ),
    )
    assert longer.cut_in_m > base.cut_in_m and longer.articulation_rad > base.articulation_rad
    assert steady_circle(front, pair._replace(overhang_m=pair.overhang_m + 0.2)).cut_in_m < base.cut_in_m
    assert steady_circle(front * 1.1, pair).articulation_rad < base.articulation_rad


@given(pairs, st.floats(0.2, math.pi / 2), st.floats(0.2, 0.9), st.floats(1.2, 1.7))
def test_the_smallest_circle_just_meets_its_limit(pair, angle, lock, track):
    smallest = smallest_circle(pair, articulation_limit_rad=angle, steer_lock_rad=lock, towed_track_m=track)
    circle = steady_circle(smallest.front_m * (1 + 1e-9), pair)
    assert circle.articulation_rad <= angle + 1e-6
    steer = towed_steer_rad(circle.towed_rear_m, pair.towed_wheelbase_m, track_m=track)
    assert steer <= lock + 1e-6
    if smallest.set_by == "articulation":
        assert circle.articulation_rad == pytest.approx(angle, abs=1e-4)
    elif smallest.set_by == "steering lock":
        assert steer == pytest.approx(lock, abs=1e-4)


def test_turning_circle_of_a_manual():
    # by hand: outer wheel 7.1 m, sqrt(7.1² - 3.75²) = 6.0289, less half of 1.7 is 5.1789, sqrt(5.1789² +
    # 3.75²) = 6.3941
    assert front_radius_m(14.2, wheelbase_m=3.75, track_m=1.7) == pytest.approx(6.3941, abs=1e-4)
    with pytest.raises(ValueError, match="does not fit"):
        front_radius_m(7.0, wheelbase_m=3.75, track_m=1.7)


@given(pairs, st.floats(1.3, 5.0), st.floats(1.5, 2.2), st.floats(1.5, 2.0))
def test_the_ring_holds_every_point_of_both_bodies(pair, times, wide, narrow):
    # independent: points along all edges, turned about the centre
    circle = steady_circle(times * math.hypot(pair.wheelbase_m, pair.ball_to_axle_m), pair)
    tow, towed = Body(wide, pair.wheelbase_m + 0.9, 1.1), Body(narrow, pair.towed_wheelbase_m + 0.5, 0.6)
    if circle.towed_rear_m <= narrow / 2:
        return
    ring = swept_ring(circle, tow, towed=towed)
    radii = [
        math.hypot(x, radius + side * body.width_m / 2)
        for radius, body in ((circle.rear_m, tow), (circle.towed_rear_m, towed))
        for side in (1, -1)
        for x in [-body.tail_m + (body.nose_m + body.tail_m) * i / 400 for i in range(401)]
    ]
    assert max(radii) == pytest.approx(ring.outer_m) and min(radii) == pytest.approx(ring.inner_m, abs=1e-4)
    assert ring.width_m == pytest.approx(ring.outer_m - ring.inner_m) and ring.width_m > max(wide, narrow)


def test_impossible_input_is_answered_in_one_sentence():
    for call in (
        lambda: steady_circle(12.0, BASE._replace(overhang_m=-0.1)),
        lambda: steady_circle(12.0, BASE._replace(ball_to_axle_m=2.0)),
        lambda: towed_steer_rad(0.0, 2.4),
        lambda: smallest_circle(BASE, articulation_limit_rad=0.0, steer_lock_rad=0.5, towed_track_m=1.4),
        lambda: smallest_circle(BASE, articulation_limit_rad=1.0, steer_lock_rad=2.0, towed_track_m=1.4),
    ):
        with pytest.raises(ValueError, match=r"^[a-z].*[^.]$"):
            call()


@pytest.mark.parametrize("grows", [-1e-6, 1e-6])
def test_where_the_towed_vehicle_begins_to_follow(grows):
    """By hand: the ball's circle as large as the length from it to the towed rear axle; the tow
    vehicle's rear axle on sqrt(R² - L²), the ball on the hypotenuse with the overhang.
    """
    least = math.sqrt(BASE.ball_to_axle_m**2 - BASE.overhang_m**2 + BASE.wheelbase_m**2)
    assert folds_up(least + grows, BASE) == (grows < 0)
    if grows < 0:
        with pytest.raises(ValueError, match="fold up"):
            steady_circle(least + grows, BASE)
    else:
        assert steady_circle(least + grows, BASE).towed_rear_m < 0.01
    # where the tow vehicle itself finds no place nothing is said of the towed one
    assert not folds_up(BASE.wheelbase_m, BASE) and folds_up(BASE.wheelbase_m + 1e-6, BASE)
