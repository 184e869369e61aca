"""Straight running: published eigenvalues, a nonlinear model built another way, closed forms at the limits,
and properties.
"""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from towlib.handbook.tables import check_close, check_row
from towlib.physics.turning.yaw import (
    YawPair,
    divergence_speed_m_s,
    modes,
    speed_with_damping_m_s,
    swing_speed_m_s,
    yaw_matrix,
)
from towlib.physics.turning.yaw_pair import standing, yaw_inertia_kg_m2, yaw_pair

BASE = YawPair(2300, 5200, 1.5, 1.8, 1.3, 110e3, 120e3, 1500, 2300, 2.6, 3.92, 90e3)
LOCKED = BASE._replace(towed_front_axle_m=1.5, towed_front_n_rad=60e3)
pairs = st.builds(
    lambda m, i, a, b, e, cf, cr, mt, it, c, rest, ct: YawPair(
        m, i, a, b, e, cf, cr, mt, it, c, c + rest, ct
    ),
    st.floats(1500, 3500),
    st.floats(3000, 8000),
    st.floats(1.2, 2.0),
    st.floats(1.2, 2.2),
    st.floats(0.8, 1.6),
    st.floats(5e4, 1.6e5),
    st.floats(5e4, 1.8e5),
    st.floats(800, 2600),
    st.floats(1000, 4000),
    st.floats(2.0, 3.6),
    st.floats(0.2, 1.6),
    st.floats(4e4, 1.4e5),
)


@pytest.mark.parametrize(
    ("row", "find"),
    [
        ("yaw_frequency_15", lambda: modes(BASE, 15.0).swing_rad_s),
        ("yaw_damping_15", lambda: modes(BASE, 15.0).swing_damping),
        ("yaw_frequency_25", lambda: modes(BASE, 25.0).swing_rad_s),
        ("yaw_damping_25", lambda: modes(BASE, 25.0).swing_damping),
        ("yaw_real_25", lambda: modes(BASE, 25.0).largest_real_1_s),
        ("yaw_real_35", lambda: modes(BASE, 35.0).largest_real_1_s),
        ("yaw_divergence", lambda: divergence_speed_m_s(BASE)),
        ("yaw_swing_rear_load", lambda: swing_speed_m_s(BASE._replace(towed_centre_m=4.2))),
    ],
)
def test_eigenvalues_of_the_check_values(row, find, capsys):
    # computed independently (section 7): Lagrangian and body-frame Newton-Euler derivations that agree
    check_close(float(find()), row)


def test_other_roots_of_the_check_values():
    for speed, printed in ((25.0, (-5.8589, -0.0739)), (35.0, (-4.9533, 0.6894))):
        roots = np.linalg.eigvals(yaw_matrix(BASE, speed))
        assert sorted(roots[abs(roots.imag) < 1e-9].real) == pytest.approx(printed, abs=5e-5)
    assert modes(BASE, 35.0).swing_damping == pytest.approx(0.3085, abs=5e-5) and modes(
        BASE, 35.0
    ).swing_rad_s == pytest.approx(6.5118, abs=5e-5)
    rear = modes(BASE._replace(towed_centre_m=4.2), 25.0)
    assert rear.swing_damping == pytest.approx(-0.0158, abs=5e-5) and rear.swing_rad_s == pytest.approx(
        3.3393, abs=5e-5
    )
    # T15: the base case never swings up, and still diverges
    assert swing_speed_m_s(BASE) is None and divergence_speed_m_s(BASE) < 26


def test_without_a_towed_vehicle_it_is_the_bicycle_model(capsys):
    alone = YawPair(2300, 5200, 1.8, 1.5, 1.3, 120e3, 100e3, 1e-6, 1e-6, 2.6, 3.92, 1e-4)
    check_close(divergence_speed_m_s(alone), "yaw_bicycle")
    # closed form of the bicycle model from any vehicle-dynamics textbook
    assert divergence_speed_m_s(alone) == pytest.approx(
        math.sqrt(120e3 * 100e3 * 3.3**2 / (2300 * (1.8 * 120e3 - 1.5 * 100e3))), rel=1e-6
    )
    assert modes(alone, 29.2).largest_real_1_s < 0 < modes(alone, 29.5).largest_real_1_s


def test_with_the_ball_held_still_it_is_one_degree_of_freedom(capsys):
    # T14: this model alone never finds a critical speed, its damping only falls as 1/V
    heavy = BASE._replace(mass_kg=1e9, inertia_kg_m2=1e9, front_n_rad=1e-3, rear_n_rad=1e-3)
    found = modes(heavy, 25.0)
    check_close(float(found.swing_rad_s), "yaw_fixed_frequency")
    check_close(float(found.swing_damping), "yaw_fixed_damping")
    assert swing_speed_m_s(heavy) is None
    assert modes(heavy, 50.0).swing_damping == pytest.approx(found.swing_damping / 2, rel=1e-6)


def _nonlinear(pair, speed):
    """Independent: two free bodies in fixed coordinates, the ball's force found with the accelerations, creep
    from arctangents.

    State: x, y, heading, towed heading, and the rates of y, heading and towed heading; forward speed is held.
    """
    ball, p = pair.rear_axle_m + pair.overhang_m, pair

    def moves(_, state):
        head, towed, vx, vy, turn, towed_turn = state[2:]
        ahead, left = np.array([math.cos(head), math.sin(head)]), np.array([-math.sin(head), math.cos(head)])
        towed_ahead, towed_left = (
            np.array([math.cos(towed), math.sin(towed)]),
            np.array([-math.sin(towed), math.cos(towed)]),
        )
        velocity = np.array([vx, vy])
        towed_velocity = velocity - ball * turn * left - p.towed_centre_m * towed_turn * towed_left
        force, moment = np.zeros(2), 0.0
        for place, stiffness in ((p.front_axle_m, p.front_n_rad), (-p.rear_axle_m, p.rear_n_rad)):
            at = velocity + place * turn * left
            side = -stiffness * math.atan2(at @ left, at @ ahead)
            force, moment = force + side * left, moment + place * side
        towed_force, towed_moment = np.zeros(2), 0.0
        for behind, stiffness in (
            (p.towed_axle_m, p.towed_n_rad),
            (p.towed_front_axle_m, p.towed_front_n_rad),
        ):
            place = p.towed_centre_m - behind
            at = towed_velocity + place * towed_turn * towed_left
            side = -stiffness * math.atan2(at @ towed_left, at @ towed_ahead)
            towed_force, towed_moment = towed_force + side * towed_left, towed_moment + place * side
        # unknown: tow x'', y'', heading''; towed x'', y'', heading''; ball force x, y on the towed vehicle;
        # drive force
        a = np.zeros((9, 9))
        b = np.zeros(9)
        a[0, 0] = a[1, 1] = p.mass_kg
        a[0:2, 6:8], b[0:2] = np.eye(2), force
        a[0:2, 8] = -ahead
        a[2, 2], a[2, 6:8], b[2] = p.inertia_kg_m2, -ball * left, moment
        a[3, 3] = a[4, 4] = p.towed_mass_kg
        a[3:5, 6:8], b[3:5] = -np.eye(2), towed_force
        a[5, 5], a[5, 6:8], b[5] = p.towed_inertia_kg_m2, -p.towed_centre_m * towed_left, towed_moment
        # the ball is one point of both: its accelerations agree
        a[6:8, 0:2], a[6:8, 2] = np.eye(2), -ball * left
        a[6:8, 3:5], a[6:8, 5] = -np.eye(2), -p.towed_centre_m * towed_left
        b[6:8] = -ball * turn**2 * ahead - p.towed_centre_m * towed_turn**2 * towed_ahead
        a[8, 0:2] = ahead  # forward speed held
        b[8] = -(velocity @ left) * turn  # d(v·ahead)/dt = a·ahead + v·left·turn = 0
        found = np.linalg.solve(a, b)
        return np.array([vx, vy, turn, towed_turn, found[0], found[1], found[2], found[5]])

    return moves, np.array([0, 0, 0, 0, speed, 0, 0, 0], float)


@pytest.mark.parametrize("speed", [12.0, 25.0, 38.0])
@pytest.mark.parametrize(
    "pair",
    [BASE, LOCKED, BASE._replace(towed_centre_m=4.2), BASE._replace(front_n_rad=90e3, rear_n_rad=70e3)],
)
def test_a_nonlinear_model_built_another_way_has_the_same_roots(pair, speed):
    moves, still = _nonlinear(pair, speed)
    step, columns = 1e-6, []
    for i in range(8):
        change = np.zeros(8)
        change[i] = step
        columns.append((moves(0, still + change) - moves(0, still - change)) / (2 * step))
    roots = list(np.linalg.eigvals(np.array(columns).T))
    for ours in np.linalg.eigvals(yaw_matrix(pair, speed)):
        nearest = min(roots, key=lambda root: abs(root - ours))
        assert abs(nearest - ours) < 2e-4
        roots.remove(nearest)
    assert max(abs(root) for root in roots) < 0.1  # what is left moves or turns the whole road


def test_the_nonlinear_model_driven_swings_and_grows_as_the_roots_say():
    pair = BASE._replace(towed_centre_m=4.2)
    for speed, grows in ((20.0, False), (28.0, True)):
        moves, still = _nonlinear(pair, speed)
        found = solve_ivp(
            moves,
            (0.0, 9.0),
            still + np.array([0, 0, 0, 1e-4, 0, 0, 0, 0]),
            rtol=1e-9,
            atol=1e-12,
            dense_output=True,
        )
        times = np.linspace(3.0, 9.0, 3000)
        angle = found.sol(times)[2] - found.sol(times)[3]
        peaks = [
            i
            for i in range(1, 2999)
            if abs(angle[i]) > abs(angle[i - 1]) and abs(angle[i]) >= abs(angle[i + 1])
        ]
        rate = math.log(abs(angle[peaks[-1]]) / abs(angle[peaks[0]])) / (times[peaks[-1]] - times[peaks[0]])
        mode = modes(pair, speed)
        assert (
            rate == pytest.approx(-mode.swing_damping * mode.swing_rad_s, rel=0.03)
            and bool(rate > 0) is grows
        )


@given(pairs)
def test_divergence_is_a_bicycle_model_with_more_mass_at_the_ball(pair):
    # independent: in a steady turn the free castoring vehicle leaves the share (l - c)/l of its side force on
    # the ball
    length, extra = (
        pair.front_axle_m + pair.rear_axle_m,
        pair.towed_mass_kg * (1 - pair.towed_centre_m / pair.towed_axle_m),
    )
    rear = (pair.mass_kg * pair.front_axle_m + extra * (length + pair.overhang_m)) / (
        length * pair.rear_n_rad
    )
    front = (pair.mass_kg * pair.rear_axle_m - extra * pair.overhang_m) / (length * pair.front_n_rad)
    ours = divergence_speed_m_s(pair)
    if rear <= front:
        assert ours is None or ours > 1e3
        return
    assert ours == pytest.approx(math.sqrt(length / (rear - front)), rel=1e-6)
    if 3.0 < ours < 60.0 and modes(pair, ours * 1.02).largest_real_1_s > -np.inf:
        assert modes(pair, ours * 0.98).largest_real_1_s < 0 < modes(pair, ours * 1.02).largest_real_1_s


@given(pairs, st.floats(3.0, 60.0))
def test_arrays_give_what_floats_give_and_the_sum_of_roots_is_the_trace(pair, speed):
    one = modes(pair, speed)
    many = modes(
        pair._replace(towed_centre_m=np.array([[pair.towed_centre_m], [pair.towed_centre_m * 0.9]])),
        np.array([speed, speed + 5.0]),
    )
    assert many.swing_damping.shape == (2, 2) and many.swing_damping[0, 0] == pytest.approx(one.swing_damping)
    matrix = yaw_matrix(pair, speed)
    assert np.linalg.eigvals(matrix).sum().real == pytest.approx(np.trace(matrix), rel=1e-9)


def test_what_each_change_does_to_the_base_case():
    # common experience, no source: load further back and softer rear tyres both take away from the speed that
    # is still good
    swing = [float(modes(BASE._replace(towed_centre_m=c), 20.0).swing_damping) for c in (2.6, 3.4, 4.2)]
    assert swing[0] > swing[1] > swing[2]
    turns_in = [divergence_speed_m_s(BASE._replace(towed_centre_m=c)) for c in (2.2, 2.6, 3.0)]
    assert turns_in[0] < turns_in[1] < turns_in[2]
    assert divergence_speed_m_s(BASE._replace(rear_n_rad=100e3)) < divergence_speed_m_s(BASE)
    assert divergence_speed_m_s(BASE._replace(towed_mass_kg=1900)) < divergence_speed_m_s(BASE)


def test_speed_with_the_damping_asked_for():
    speed = speed_with_damping_m_s(BASE, 0.5)
    assert modes(BASE, speed).swing_damping == pytest.approx(0.5, abs=1e-6) and speed < divergence_speed_m_s(
        BASE
    )
    assert speed_with_damping_m_s(BASE, 0.1) == pytest.approx(divergence_speed_m_s(BASE))
    good = BASE._replace(front_n_rad=70e3)
    assert speed_with_damping_m_s(good, 0.0) is None or speed_with_damping_m_s(
        good, 0.0
    ) > speed_with_damping_m_s(BASE, 0.0)
    assert swing_speed_m_s(BASE._replace(towed_n_rad=90e3), 0.999) <= 10.0
    for damping in (-0.1, 1.0):
        with pytest.raises(ValueError, match="damping"):
            speed_with_damping_m_s(BASE, damping)
    with pytest.raises(ValueError, match="above zero"):
        modes(BASE, 0.0)
    with pytest.raises(ValueError, match="above zero"):
        modes(BASE._replace(towed_n_rad=0.0), 10.0)
    for name in (
        "mass_kg",
        "inertia_kg_m2",
        "front_n_rad",
        "rear_n_rad",
        "towed_mass_kg",
        "towed_inertia_kg_m2",
        "towed_n_rad",
    ):
        modes(BASE._replace(**{name: 0.5}), 10.0)
        with pytest.raises(ValueError, match="above zero"):
            modes(BASE._replace(**{name: 0.0}), 10.0)
    with pytest.raises(ValueError, match="above zero"):
        modes(BASE._replace(towed_front_n_rad=-0.5), 10.0)


def test_an_array_of_speeds_is_each_speed_alone():
    speeds = np.array([8.0, 25.0, 35.0])
    found = modes(BASE, speeds)
    for i, speed in enumerate(speeds):
        assert [float(value[i]) for value in found] == pytest.approx(
            [float(value) for value in modes(BASE, float(speed))]
        )


def test_a_vehicle_and_its_loads_by_hand():
    # by hand: 1,460 kg at 700/1460·2.36 = 1.13151 m, inertia 760·700/1460·2.36² = 2029.47; 100 kg at 2.5 m:
    # centre
    # (1460·1.13151 + 250)/1560 = 1.21923 m; 2029.47 + 1460·0.08772² + 100·1.28077² = 2029.47 + 11.23 + 164.04
    # = 2204.74
    assert yaw_inertia_kg_m2(760, 700, wheelbase_m=2.36) == pytest.approx(2029.47, abs=0.01)
    loaded = standing(760, 700, wheelbase_m=2.36, loads=[(100, 2.5)])
    assert (loaded.mass_kg, loaded.centre_m, loaded.inertia_kg_m2) == pytest.approx(
        (1560, 1.21923, 2204.74), abs=0.02
    )
    assert loaded.front_kg + loaded.rear_kg == pytest.approx(1560) and loaded.rear_kg == pytest.approx(
        700 + 100 * 2.5 / 2.36
    )
    pair = yaw_pair(
        standing(1380, 1308, wheelbase_m=3.75),
        loaded,
        overhang_m=1.32,
        ball_to_axle_m=4.34,
        castor_free_share=0.0,
    )
    # by hand: 7·9.80665·1380, 10·9.80665·1308, the towed axles with the 100 kg
    # 8·9.80665·700·(805.932/700)^0.7 and
    # 8·9.80665·760·(754.068/760)^0.7
    assert pair[5:7] == pytest.approx((94732, 128271), abs=1) and (
        pair.towed_n_rad,
        pair.towed_front_n_rad,
    ) == pytest.approx((60610.7, 59298.3), abs=1)
    quarter = yaw_pair(
        standing(1380, 1308, wheelbase_m=3.75),
        loaded,
        overhang_m=1.32,
        ball_to_axle_m=4.34,
        castor_free_share=0.25,
    )
    assert quarter.towed_front_n_rad == pytest.approx(
        0.75 * pair.towed_front_n_rad
    )  # a quarter castors freely
    assert pair.towed_centre_m == pytest.approx(
        1.98 + 1.21923, abs=1e-4
    ) and pair.front_axle_m + pair.rear_axle_m == pytest.approx(3.75)
    with pytest.raises(ValueError, match="lift an axle"):
        standing(760, 700, wheelbase_m=2.36, loads=[(2000, 4.5)])
    with pytest.raises(
        ValueError, match="lift an axle"
    ):  # by hand: centre (1460·1.1315 - 2500)/2460 = -0.345 m, ahead of the axle
        standing(760, 700, wheelbase_m=2.36, loads=[(1000, -2.5)])
    with pytest.raises(ValueError, match="axle loads"):
        yaw_inertia_kg_m2(0, 700, wheelbase_m=2.36)
    with pytest.raises(ValueError, match="free share"):
        yaw_pair(loaded, loaded, overhang_m=1.0, ball_to_axle_m=4.0, castor_free_share=1.2)


def test_nothing_here_rests_on_a_value_from_memory():
    assert {
        check_row(row).known_by
        for row in ("yaw_divergence", "yaw_bicycle", "yaw_fixed_damping", "yaw_swing_rear_load")
    } == {"computed"}
