"""Stops on a grade: published hitch push, and statics of both vehicles solved a second time as one system of
linear equations.
"""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from towlib.physics.brakes.stops import (
    Stopper,
    forces_while_stopping,
    hardest_stop,
    jackknife_onset_m_s2,
    jackknife_starts,
    pair_stopping_distance_m,
)

G = 9.80665
TOW = Stopper(
    front_kg=1500,
    rear_kg=1300,
    wheelbase_m=3.68,
    cg_height_m=0.72,
    overhang_m=1.32,
    ball_height_m=0.58,
    front_share=0.66,
)
CASE = dict(grade=-0.06, towed_kg=1600.0, towed_brake_n=0.0, friction=0.7)


@pytest.mark.parametrize(("grade", "push_n"), [(0.0, 8335.7), (-0.08, 9665.1)])
def test_published_push(grade, push_n):
    # computed independently: 1,700 kg without brakes at 0.5 g, level and 8 % down, no rolling resistance
    stop = forces_while_stopping(TOW, 0.5 * G, grade=grade, towed_kg=1700.0, towed_brake_n=0.0, friction=1.0)
    assert stop.push_n == pytest.approx(push_n, abs=0.05)


def _second(tow, a, *, grade, towed_kg, towed_brake_n, slope):
    """Unknowns: both axle loads, total tow braking, bar force along itself. Moments about the centre of
    gravity, not a contact point.
    """
    theta = math.atan(grade)
    m1 = tow.front_kg + tow.rear_kg
    ahead = tow.rear_kg * tow.wheelbase_m / m1  # front axle to centre of gravity
    behind = tow.wheelbase_m - ahead
    w1, along1 = m1 * G * math.cos(theta), m1 * G * math.sin(theta)
    c, s = math.cos(slope), math.sin(slope)
    lever = behind + tow.overhang_m
    # x forwards: bar pushes the ball forwards with S·c and, brackets higher, presses it down with S·s
    matrix = np.array(
        [
            [1.0, 1.0, 0.0, -s],  # across the road: Nf + Nr - S·s = W cos
            [0.0, 0.0, -1.0, c],  # along: S·c - B = -m·a + W sin
            [
                ahead,
                -behind,
                -tow.cg_height_m,
                s * lever + c * (tow.cg_height_m - tow.ball_height_m),
            ],  # nose-up moments
            [0.0, 0.0, 0.0, c],  # towed vehicle along: -S·c - B2 = -m2·a + W2 sin
        ]
    )
    right = np.array(
        [w1, -m1 * a + along1, 0.0, towed_kg * a - towed_kg * G * math.sin(theta) - towed_brake_n]
    )
    return np.linalg.solve(matrix, right)


@given(
    a=st.floats(0.5, 5),
    grade=st.floats(-0.12, 0.08),
    towed=st.floats(200, 2200),
    brake=st.floats(0, 5000),
    slope=st.floats(-0.15, 0.15),
)
def test_forces_against_a_second_derivation(a, grade, towed, brake, slope):
    tow = TOW._replace(bar_slope_rad=slope)
    front, rear, braking, bar = _second(tow, a, grade=grade, towed_kg=towed, towed_brake_n=brake, slope=slope)
    if min(front, rear) <= 0:
        return
    ours = forces_while_stopping(tow, a, grade=grade, towed_kg=towed, towed_brake_n=brake, friction=0.7)
    assert ours.push_n == pytest.approx(bar * math.cos(slope), abs=1e-6)
    assert ours.ball_down_n == pytest.approx(bar * math.sin(slope), abs=1e-6)
    assert (ours.front_n, ours.rear_n) == pytest.approx((front, rear), abs=1e-6)
    assert (ours.front_brake_n, ours.rear_brake_n) == pytest.approx(
        (0.66 * braking, 0.34 * braking), abs=1e-6
    )
    assert (ours.front_use, ours.rear_use) == pytest.approx(
        (0.66 * braking / 0.7 / front, 0.34 * braking / 0.7 / rear), abs=1e-9
    )


def test_friction_left_by_hand():
    # 3-4-5: an axle that holds 5 and brakes with 3 has 4 left; here mu·N = 0.7·N_r
    stop = forces_while_stopping(TOW, 2.0, **CASE)
    assert stop.rear_side_left_n**2 + stop.rear_brake_n**2 == pytest.approx((0.7 * stop.rear_n) ** 2)
    assert stop.rear_side_needed_n == 0.0  # straight unless an angle is given
    bent = forces_while_stopping(TOW, 2.0, **CASE, articulation_rad=math.radians(30))
    assert bent.rear_side_needed_n == pytest.approx(0.5 * bent.push_n * (3.68 + 1.32) / 3.68)


@given(
    grade=st.floats(-0.12, 0.05),
    towed=st.floats(0, 2200),
    brake=st.floats(0, 5000),
    friction=st.floats(0.4, 1.0),
    share=st.floats(0.5, 0.8),
)
def test_at_the_limit_the_axle_that_slides_first_has_just_used_its_friction(
    grade, towed, brake, friction, share
):
    tow, case = (
        TOW._replace(front_share=share),
        dict(grade=grade, towed_kg=towed, towed_brake_n=brake, friction=friction),
    )
    hardest = hardest_stop(tow, tow_deceleration_m_s2=99.0, **case)
    at = forces_while_stopping(tow, hardest.deceleration_m_s2, **case)
    uses = {"front axle": at.front_use, "rear axle": at.rear_use}
    assert uses[hardest.slides_first] == pytest.approx(1.0, abs=1e-9) == max(uses.values())
    assert hardest.set_by == hardest.slides_first


def test_brakes_decide_when_there_is_friction_enough():
    # by hand: 7.5 × 2,800 / 4,400 - 9.80665 × sin(atan 0.06) = 4.7727 - 0.5873 = 4.1854 m/s²
    hardest = hardest_stop(TOW, tow_deceleration_m_s2=7.5, **CASE | {"friction": 1.0})
    assert hardest.set_by == "brakes" and hardest.deceleration_m_s2 == pytest.approx(4.1854, abs=5e-5)
    # brakes strong enough for one axle to slide and not for the other: the axle sets it
    edge = hardest_stop(TOW, tow_deceleration_m_s2=99.0, **CASE)
    one, other = sorted((edge.front_slides_m_s2, edge.rear_slides_m_s2))
    between = ((one + other) / 2 + G * math.sin(math.atan(0.06))) * 4400 / 2800
    found = hardest_stop(TOW, tow_deceleration_m_s2=between, **CASE)
    assert (
        one < found.brakes_m_s2 < other
        and found.set_by == found.slides_first
        and found.deceleration_m_s2 == pytest.approx(one)
    )
    # and d = v·t + v²/2a at 20 m/s and 1.5 s: 30 + 47.785
    assert pair_stopping_distance_m(20.0, hardest, reaction_s=1.5) == pytest.approx(77.785, abs=0.005)


def test_own_brakes_behind_shorten_the_stop_and_take_the_push_away():
    without, own = (
        hardest_stop(TOW, tow_deceleration_m_s2=7.5, **CASE | {"towed_brake_n": n}) for n in (0.0, 1600 * 4.0)
    )
    assert own.deceleration_m_s2 > without.deceleration_m_s2
    pushes = [
        forces_while_stopping(TOW, 3.0, **CASE | {"towed_brake_n": n}).push_n for n in (0.0, 1600 * 4.0)
    ]
    assert pushes[0] > 0 > pushes[1] + 1600 * (4.0 - 3.0 - 0.59)


@given(steeper=st.floats(0, 0.06), more=st.floats(0, 600), wet=st.floats(0, 0.3))
def test_steeper_heavier_or_wetter_never_stops_sooner(steeper, more, wet):
    base = hardest_stop(TOW, tow_deceleration_m_s2=7.0, **CASE)
    worse = hardest_stop(
        TOW,
        tow_deceleration_m_s2=7.0,
        grade=-0.06 - steeper,
        towed_kg=1600 + more,
        towed_brake_n=0.0,
        friction=0.7 - wet,
    )
    assert worse.deceleration_m_s2 <= base.deceleration_m_s2 + 1e-12


def test_jackknife_onset_against_a_fine_search():
    for angle in (0.0, 0.1, 0.3):
        onset = jackknife_onset_m_s2(TOW, **CASE, articulation_rad=angle)
        steps = [0.01 * i for i in range(1, 500)]
        first = next(
            a
            for a in steps
            if jackknife_starts(forces_while_stopping(TOW, a, **CASE, articulation_rad=angle))
        )
        assert onset == pytest.approx(first, abs=0.011)
    # on ice on the same grade it begins almost at once
    icy = CASE | {"friction": 0.15}
    steps = [0.001 * i for i in range(1, 900)]
    first = next(
        a for a in steps if jackknife_starts(forces_while_stopping(TOW, a, **icy, articulation_rad=0.1))
    )
    assert jackknife_onset_m_s2(TOW, **icy, articulation_rad=0.1) == pytest.approx(first, abs=0.0021)
    # straight, it begins where the rear axle slides
    assert jackknife_onset_m_s2(TOW, **CASE) == pytest.approx(
        hardest_stop(TOW, tow_deceleration_m_s2=9, **CASE).rear_slides_m_s2, abs=0.002
    )


def test_no_jackknife_without_a_push():
    # own brakes that hold the towed vehicle back at all times: 1,600 kg × 9 m/s² is more than the pair ever
    # reaches
    braked = CASE | {"towed_brake_n": 1600 * 9.0}
    assert jackknife_onset_m_s2(TOW, **braked) is None
    stop = forces_while_stopping(TOW, 4.0, **braked)
    assert stop.push_n < 0 and stop.rear_side_needed_n == 0.0 and not jackknife_starts(stop)
    assert forces_while_stopping(TOW, 4.0, **braked, articulation_rad=0.3).rear_side_needed_n == 0.0
    assert not jackknife_starts(
        stop._replace(push_n=-0.5, rear_side_left_n=0.0)
    )  # a sliding axle, but nothing pushes


def test_a_sloped_bar_helps_or_hurts_the_rear_axle():
    level, up, down = (
        forces_while_stopping(TOW._replace(bar_slope_rad=s), 3.0, **CASE) for s in (0.0, 0.1, -0.1)
    )
    assert down.rear_n < level.rear_n < up.rear_n  # brackets higher: the push presses the ball down


def test_impossible_stops_are_refused():
    with pytest.raises(ValueError, match="friction"):
        forces_while_stopping(TOW, 3.0, **CASE | {"friction": 0.0})
    with pytest.raises(ValueError, match="friction"):
        hardest_stop(TOW, tow_deceleration_m_s2=7.0, **CASE | {"friction": 0.0})
    with pytest.raises(ValueError, match="lift off"):
        forces_while_stopping(TOW._replace(cg_height_m=3.0), 6.0, **CASE)
    with pytest.raises(ValueError, match="does not stop"):
        pair_stopping_distance_m(
            10.0,
            hardest_stop(
                TOW, tow_deceleration_m_s2=0.5, grade=-0.15, towed_kg=1600, towed_brake_n=0, friction=0.7
            ),
            reaction_s=1,
        )
