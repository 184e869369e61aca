"""Any path and reversing: a published vehicle model, SciPy's integrator and closed forms beside ours."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from towlib.handbook.tables import check_close
from towlib.physics.turning.circle import Body, TurningPair, steady_circle, swept_ring, towed_steer_rad
from towlib.physics.turning.path import (
    Segment,
    articulation_after_rad,
    drive,
    eased_bend,
    riccati,
    steer_on_path_rad,
)
from towlib.physics.turning.reversing import (
    bodies_touch_rad,
    metres_to_angle_m,
    point_of_no_return_rad,
    straight_back_rad,
)
from towlib.physics.turning.swept import lane

PAIR = TurningPair(3.75, 1.32, 4.34, 2.36)
TOW, TOWED = Body(2.0, 4.7, 1.1), Body(1.65, 2.78, 0.5)
lengths, overhangs, to_axle = st.floats(-25.0, 25.0), st.floats(0.0, 1.8), st.floats(3.0, 6.0)
curvatures, starts = st.floats(-0.18, 0.18), st.floats(-1.3, 1.3)


def _published(speed_m_s, steer_rad, start_rad, seconds):
    """commonroad-vehicle-models 3.0.2, kinematic single track with a trailer on the axle; its angle has the
    other sign.
    """
    from vehiclemodels.parameters_vehicle4 import parameters_vehicle4
    from vehiclemodels.vehicle_dynamics_kst import vehicle_dynamics_kst

    vehicle = parameters_vehicle4()
    vehicle.a, vehicle.b, vehicle.trailer.l_wb = 1.5, 1.8, 3.92
    found = solve_ivp(
        lambda _, x: vehicle_dynamics_kst(list(x), [0.0, 0.0], vehicle),
        (0.0, seconds),
        [0.0, 0.0, steer_rad, speed_m_s, 0.0, -start_rad],
        rtol=1e-10,
        atol=1e-12,
    )
    return -found.y[5, -1], found.y[0, -1], found.y[1, -1], found.y[4, -1]


@pytest.mark.parametrize("degrees", [5, 10])
def test_steady_angle_of_the_published_model(degrees, capsys):
    steer = math.radians(degrees)
    radius = 3.3 / math.tan(steer)
    circle = steady_circle(math.hypot(radius, 3.3), TurningPair(3.3, 0.0, 3.92, 2.42))
    assert _published(5.0, steer, 0.0, 60.0)[0] == pytest.approx(circle.articulation_rad, rel=1e-7)
    check_close(circle.articulation_rad, f"turn_wheels_{degrees}", unit="rad")
    check_close(circle.towed_rear_m, f"turn_wheels_{degrees}_radius")


@pytest.mark.parametrize(
    ("speed", "steer", "start", "seconds"),
    [(3.0, 0.2, 0.0, 2.5), (5.0, -0.3, 0.4, 1.2), (-2.0, 0.0, math.radians(1), 8.0), (-1.0, 0.15, 0.1, 5.0)],
)
def test_on_the_way_the_published_model_says_the_same(speed, steer, start, seconds):
    phi, x, y, heading = _published(speed, steer, start, seconds)
    track = drive(
        [Segment(speed * seconds, math.tan(steer) / 3.3)], TurningPair(3.3, 0.0, 3.92, 2.42), start_rad=start
    )
    assert track.articulation_rad[-1] == pytest.approx(phi, abs=1e-7)
    assert (track.rear_x_m[-1], track.rear_y_m[-1], track.heading_rad[-1]) == pytest.approx(
        (x, y, heading), abs=1e-6
    )


def test_folding_up_backwards(capsys):
    # closed form and package agree in the check values: 1 degree, 16 m back, 3.92 m: 54.6778 degrees
    for folded in (
        straight_back_rad(math.radians(1), 16.0, ball_to_axle_m=3.92),
        articulation_after_rad(
            math.radians(1), -16.0, curvature_1_m=0.0, overhang_m=1.3, ball_to_axle_m=3.92
        ),
    ):
        check_close(folded, "reverse_fold", unit="rad")
    assert metres_to_angle_m(
        math.radians(1), math.radians(54.6778), curvature_1_m=0.0, overhang_m=1.3, ball_to_axle_m=3.92
    ) == pytest.approx(16.0, abs=1e-4)


def _ball_drags(length, kappa, overhang, l_m, start):
    """Independent: the ball is moved along its own curve and drags a rod, integrated in fixed coordinates by
    SciPy.
    """

    def moves(s, state):
        theta, psi = state
        velocity = np.array([math.cos(theta), math.sin(theta)]) + overhang * kappa * np.array(
            [math.sin(theta), -math.cos(theta)]
        )
        return [kappa, float(velocity @ np.array([-math.sin(psi), math.cos(psi)])) / l_m]

    found = solve_ivp(moves, (0.0, length), [0.0, -start], rtol=1e-10, atol=1e-12)
    return found.y[0, -1] - found.y[1, -1]


@given(starts, lengths, curvatures, overhangs, to_axle)
def test_the_closed_form_is_the_integral(start, length, kappa, overhang, l_m):
    ours = articulation_after_rad(start, length, curvature_1_m=kappa, overhang_m=overhang, ball_to_axle_m=l_m)
    slope = _ball_drags(length, kappa, overhang, l_m, start)
    assert math.cos(ours - slope) == pytest.approx(1.0, abs=1e-9)


def test_too_tight_a_circle_and_its_border_are_closed_forms_too():
    for kappa, overhang, l_m in (
        (0.4, 0.5, 5.0),
        (0.25, 0.0, 4.0),
        (-0.5, 1.0, 4.0),
    ):  # no equilibrium; just one; no equilibrium
        for length in (3.0, -7.0, 20.0):
            ours = articulation_after_rad(
                0.2, length, curvature_1_m=kappa, overhang_m=overhang, ball_to_axle_m=l_m
            )
            assert math.cos(ours - _ball_drags(length, kappa, overhang, l_m, 0.2)) == pytest.approx(
                1.0, abs=1e-8
            )


@given(starts, curvatures, overhangs, to_axle, st.floats(0.1, 20.0), st.floats(0.1, 20.0))
def test_mirror_there_and_back_and_in_two_pieces(start, kappa, overhang, l_m, one, two):
    ways = {"curvature_1_m": kappa, "overhang_m": overhang, "ball_to_axle_m": l_m}
    once = articulation_after_rad(start, one, **ways)
    assert articulation_after_rad(-start, one, **ways | {"curvature_1_m": -kappa}) == pytest.approx(
        -once, abs=1e-9
    )
    assert articulation_after_rad(once, -one, **ways) == pytest.approx(start, abs=1e-4)
    assert articulation_after_rad(once, two, **ways) == pytest.approx(
        articulation_after_rad(start, one + two, **ways), abs=1e-9
    )


@given(starts, st.floats(0.0, 30.0), to_axle, overhangs)
def test_straight_ahead_straightens_and_straight_back_folds(start, metres, l_m, overhang):
    straight = {"curvature_1_m": 0.0, "overhang_m": overhang, "ball_to_axle_m": l_m}
    assert articulation_after_rad(0.0, metres, **straight) == 0.0
    assert abs(articulation_after_rad(start, metres, **straight)) <= abs(start) + 1e-12
    back = straight_back_rad(start, metres, ball_to_axle_m=l_m)
    assert abs(back) >= abs(start) - 1e-12
    assert math.cos(back - articulation_after_rad(start, -metres, **straight)) == pytest.approx(1.0, abs=1e-9)


@given(st.floats(0.02, 0.9), st.floats(0.95, 2.5), curvatures, overhangs, to_axle)
def test_metres_until_the_limit(start, limit, kappa, overhang, l_m):
    # independent: SciPy finds the event on the differential equation
    shape = {"curvature_1_m": kappa, "overhang_m": overhang, "ball_to_axle_m": l_m}
    ours = metres_to_angle_m(start, limit, **shape)

    def folds(_, phi):
        return [-kappa + (math.sin(phi[0]) - overhang * kappa * math.cos(phi[0])) / l_m]

    events = [lambda _, phi, sign=sign: phi[0] - sign * limit for sign in (1, -1)]
    for event in events:
        event.terminal = True
    found = solve_ivp(folds, (0.0, 300.0), [start], events=events, rtol=1e-9, atol=1e-11)
    reached = [times[0] for times in found.t_events if len(times)]
    if reached:
        assert ours == pytest.approx(reached[0], rel=1e-4, abs=1e-4)
    else:
        assert ours is None or ours > 100.0


def test_metres_in_circles_too_tight_to_follow():
    # nothing stops the angle there: SciPy finds when it passes the limit on either side
    for kappa, start in ((0.4, 0.3), (-0.4, 0.3), (0.3, -0.2), (0.3, 0.9)):
        ours = metres_to_angle_m(start, 1.1, curvature_1_m=kappa, overhang_m=0.5, ball_to_axle_m=5.0)
        assert 0 < ours < 12.0
        phi = _ball_drags(-ours, kappa, 0.5, 5.0, start)
        assert abs(phi) == pytest.approx(1.1, abs=1e-6)
        assert all(
            abs(_ball_drags(-part * ours, kappa, 0.5, 5.0, start)) < 1.1 for part in (0.25, 0.5, 0.75, 0.95)
        )


def test_metres_by_hand():
    # by hand: 4.34·ln(tan 30°/tan 1°) = 4.34·ln(0.57735/0.0174551) = 4.34·3.49885 = 15.185 m
    straight = {"curvature_1_m": 0.0, "overhang_m": 1.32, "ball_to_axle_m": 4.34}
    assert metres_to_angle_m(math.radians(2), math.radians(60), **straight) == pytest.approx(15.185, abs=1e-3)
    assert metres_to_angle_m(math.radians(-2), math.radians(60), **straight) == pytest.approx(
        15.185, abs=1e-3
    )
    assert metres_to_angle_m(0.0, 1.0, **straight) is None and metres_to_angle_m(1.2, 1.0, **straight) == 0.0


def test_no_steering_helps_beyond_the_point_of_no_return():
    full_lock = 1.0 / math.sqrt(7.5**2 - 3.75**2)
    border = point_of_no_return_rad(7.5, PAIR)
    for start, folds in ((border - 0.02, False), (border + 0.02, True)):
        after = articulation_after_rad(
            start, -4.0, curvature_1_m=full_lock, overhang_m=1.32, ball_to_axle_m=4.34
        )
        assert (after > start) is folds
    assert point_of_no_return_rad(5.4, PAIR) is None  # a circle the towed vehicle could not follow at all
    with pytest.raises(ValueError, match="wheelbase"):
        point_of_no_return_rad(3.0, PAIR)


def test_a_long_drive_round_ends_in_the_steady_circle():
    circle = steady_circle(9.0, PAIR)
    track = drive([Segment(10.0, 0.0), Segment(80.0, 1 / circle.rear_m)], PAIR)
    assert track.articulation_rad[-1] == pytest.approx(circle.articulation_rad, abs=1e-6)
    assert np.max(track.articulation_rad) <= circle.articulation_rad + 1e-9
    for width in (0.0, 1.45):
        steer = steer_on_path_rad(track, PAIR, towed_track_m=width)
        assert steer[-1] == pytest.approx(towed_steer_rad(circle.towed_rear_m, 2.36, track_m=width), abs=1e-6)


def test_the_lane_of_a_steady_turn_is_the_ring():
    circle = steady_circle(9.0, PAIR)
    turn = drive([Segment(35.0, 1 / circle.rear_m)], PAIR, start_rad=circle.articulation_rad)
    ring, found = swept_ring(circle, TOW, towed=TOWED), lane(turn, PAIR, tow=TOW, towed=TOWED)
    middle = len(found.left_m) // 2
    assert found.left_m[middle] == pytest.approx(9.0 - ring.inner_m, abs=5e-3) and -found.right_m[
        middle
    ] == pytest.approx(ring.outer_m - 9.0, abs=5e-3)
    # before and behind, the line goes on along its own tangent: 14 m and 2.5 m
    from_centre = np.hypot(found.line_x_m, found.line_y_m - circle.rear_m)
    assert (from_centre[0], from_centre[-1]) == pytest.approx((math.hypot(9.0, 14.0), math.hypot(9.0, 2.5)))


def test_the_towed_axle_never_slides_sideways_on_any_path():
    bends = eased_bend(math.radians(120), 7.0, ease_m=3.0, straight_m=6.0) + eased_bend(
        math.radians(-90), 9.0, ease_m=2.0, straight_m=4.0
    )
    track = drive(bends, PAIR, step_m=0.01)
    moved = np.diff(track.towed_x_m), np.diff(track.towed_y_m)
    middle = (track.towed_heading_rad[1:] + track.towed_heading_rad[:-1]) / 2
    assert np.max(np.abs(moved[1] * np.cos(middle) - moved[0] * np.sin(middle))) < 1e-6
    assert track.heading_rad[-1] == pytest.approx(math.radians(30)) and track.travelled_m[
        -1
    ] == pytest.approx(sum(piece.length_m for piece in bends))
    ball_x, ball_y = (
        track.rear_x_m - 1.32 * np.cos(track.heading_rad),
        track.rear_y_m - 1.32 * np.sin(track.heading_rad),
    )
    assert np.allclose(np.hypot(ball_x - track.towed_x_m, ball_y - track.towed_y_m), 4.34)
    # the mirrored road mirrors everything
    other = drive([Segment(length, -kappa) for length, kappa in bends], PAIR, step_m=0.01)
    assert np.allclose(other.towed_y_m, -track.towed_y_m) and np.allclose(
        other.articulation_rad, -track.articulation_rad
    )


def test_steps_only_matter_for_the_drawing():
    bend = eased_bend(math.pi, 8.0, ease_m=3.0, straight_m=10.0)
    assert (
        len(eased_bend(math.pi, 8.0, ease_m=0.0, straight_m=0.0)) == 1
    )  # nothing but the arc, and no piece without length
    coarse, fine = (drive(bend, PAIR, step_m=step) for step in (2.0, 0.05))
    assert coarse.articulation_rad[-1] == pytest.approx(fine.articulation_rad[-1], abs=1e-12)
    assert (coarse.towed_x_m[-1], coarse.towed_y_m[-1]) == pytest.approx(
        (fine.towed_x_m[-1], fine.towed_y_m[-1]), abs=1e-9
    )


def test_the_lane_widens_in_bends_and_not_on_the_straight():
    straight = lane(drive([Segment(40.0, 0.0)], PAIR), PAIR, tow=TOW, towed=TOWED)
    assert straight.width_m == pytest.approx(2.0)
    widths = [
        lane(
            drive(eased_bend(math.pi / 2, radius, ease_m=3.0, straight_m=12.0), PAIR),
            PAIR,
            tow=TOW,
            towed=TOWED,
        ).width_m
        for radius in (6.0, 9.0, 15.0)
    ]
    assert widths[0] > widths[1] > widths[2] > 2.0
    with pytest.raises(ValueError, match="too short"):
        lane(drive([Segment(0.2, 0.0)], PAIR), PAIR, tow=TOW, towed=TOWED)


def _overlap(first, second):
    """Two rectangles by their separating axes."""
    for corners in (first, second):
        for i in range(4):
            edge = corners[(i + 1) % 4] - corners[i]
            normal = np.array([-edge[1], edge[0]])
            if (first @ normal).max() <= (second @ normal).min() or (second @ normal).max() <= (
                first @ normal
            ).min():
                return False
    return True


@pytest.mark.parametrize(
    ("to_axle_m", "overhang", "widths"),
    [
        (3.6, 1.32, (2.0, 1.65)),
        (4.34, 1.32, (2.0, 1.65)),
        (3.3, 1.15, (1.9, 1.9)),
        (3.4, 1.12, (1.5, 2.0)),
        (3.0, 1.3, (2.1, 1.4)),
    ],
)
def test_bodies_touch_where_rectangles_first_overlap(to_axle_m, overhang, widths):
    pair = PAIR._replace(ball_to_axle_m=to_axle_m, overhang_m=overhang)
    tow, towed = TOW._replace(width_m=widths[0]), TOWED._replace(width_m=widths[1])

    def at(phi):
        front = np.array(
            [(x + overhang, y) for x in (-tow.tail_m, tow.nose_m) for y in (-widths[0] / 2, widths[0] / 2)]
        )[[0, 1, 3, 2]]
        back = np.array(
            [
                (x - to_axle_m, y)
                for x in (-towed.tail_m, towed.nose_m)
                for y in (-widths[1] / 2, widths[1] / 2)
            ]
        )[[0, 1, 3, 2]]
        turn = np.array([[math.cos(phi), math.sin(phi)], [-math.sin(phi), math.cos(phi)]])
        return _overlap(front, back @ turn.T)

    angles = np.radians(np.arange(0.0, 180.0, 0.05))
    touching = [phi for phi in angles if at(phi)]
    ours = bodies_touch_rad(tow, towed, pair=pair)
    assert (ours is None) == (not touching)
    if touching:
        assert ours == pytest.approx(touching[0], abs=math.radians(0.06))


def test_impossible_input_is_answered_in_one_sentence():
    for call in (
        lambda: eased_bend(1.0, 0.0, ease_m=1.0, straight_m=1.0),
        lambda: drive([], PAIR),
        lambda: drive([Segment(1.0, 0.0)], PAIR, step_m=0.0),
        lambda: riccati(0.0, 1.0, ball_to_axle_m=0.0),
        lambda: straight_back_rad(0.1, -1.0, ball_to_axle_m=4.0),
        lambda: metres_to_angle_m(0.1, 4.0, curvature_1_m=0.0, overhang_m=1.0, ball_to_axle_m=4.0),
        lambda: bodies_touch_rad(TOW._replace(tail_m=3.0), TOWED, pair=PAIR),
    ):
        with pytest.raises(ValueError, match=r"^[a-z].*[^.]$"):
            call()
