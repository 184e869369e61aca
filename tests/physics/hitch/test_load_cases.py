"""Load cases against computed values, statics done another way, and balances of force and moment."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from towlib.physics.hitch.bar_geometry import ball_force_of_slope_n, half_angle_rad
from towlib.physics.hitch.load_cases import (
    Case,
    Force,
    along_the_bar,
    borne_unbent,
    bracket_reactions,
    braking,
    front_wheels_slide,
    on_both_brackets,
    one_arm_alone,
    one_wheel_over_an_edge,
    over_an_edge,
    pull_away,
    snatch,
    step_force_n,
    together,
    turning,
    yardsticks,
)

G = 9.80665
LBF, LB = 4.4482216152605, 0.45359237
SLIDES = {"grip": 0.8, "wheelbase_m": 2.29, "ball_to_rear_axle_m": 4.27}
STEADY = Case("pulling away", Force(1e3, 0.0, 0.0), 1.0)
angles, slopes, forces = st.floats(0.05, 1.4), st.floats(-0.6, 0.6), st.floats(-4e4, 4e4)


def test_unbraked_push_of_the_check_values():
    # computed by an independent script: 1,700 kg at 0.5 g, level and 8 % down, no rolling resistance
    for grade, newtons in ((0.0, 8335.7), (-0.08, 9665.1)):
        case = braking(1700, grade, deceleration_m_s2=0.5 * G, rolling_coefficient=0.0)
        assert (
            case.force.along_n == pytest.approx(-newtons, abs=0.05) and case.force.left_n == 0
        )  # it pushes: trap T22
    assert case.name == "braking downhill" and case.reserve == 1.0


def test_drawbar_pull_of_the_check_values():
    # computed: 3,800 lb with rolling 0.013 on 6 and 12 %, steady
    for grade, newtons in ((0.06, 1231.7), (0.12, 2232.1)):
        assert pull_away(
            3800 * LB, grade, acceleration_m_s2=0.0, rolling_coefficient=0.013
        ).force.along_n == pytest.approx(newtons, abs=0.05)


@given(st.floats(500, 3000), st.floats(-0.2, 0.2), st.floats(0, 6), st.floats(0, 0.05), st.floats(0, 2e4))
def test_newton_on_the_towed_vehicle(mass, grade, rate, rolling, brake):
    weight, angle = mass * G, math.atan(grade)
    resist = weight * math.sin(angle) + rolling * weight * math.cos(angle)
    pull = pull_away(mass, grade, acceleration_m_s2=rate, rolling_coefficient=rolling).force.along_n
    assert (pull - resist) / mass == pytest.approx(rate, abs=1e-9)
    push = braking(
        mass, grade, deceleration_m_s2=rate, rolling_coefficient=rolling, own_brake_n=brake
    ).force.along_n
    assert (push - resist - brake) / mass == pytest.approx(-rate, abs=1e-9)


@given(st.floats(500, 3000), st.floats(-6, 6), st.floats(-0.5, 2.0), st.floats(2.5, 5.0))
def test_side_load_balances_about_the_towed_centre_of_mass(mass, side, ahead, length):
    ball_n = turning(mass, side, centre_ahead_of_rear_axle_m=ahead, ball_to_rear_axle_m=length).force.left_n
    rear_n = mass * side - ball_n  # what the rear tyres must give
    assert ball_n * (length - ahead) == pytest.approx(
        rear_n * ahead, abs=1e-8 * mass
    )  # no turning moment in a steady curve


@given(st.floats(1e3, 2e4), st.floats(0.2, 0.5), st.floats(0.01, 0.9))
def test_a_wheel_at_an_edge_by_the_angle_of_the_contact_force(load, radius, share):
    # the force at the edge passes through the hub: F/N is the tangent of its angle to the vertical, cos = (r
    # - h)/r
    height = share * radius
    tangent = math.tan(math.acos((radius - height) / radius))
    assert step_force_n(load, edge_height_m=height, wheel_radius_m=radius) == pytest.approx(
        load * tangent, rel=1e-9
    )
    assert over_an_edge(load, edge_height_m=height, wheel_radius_m=radius).force.along_n == pytest.approx(
        2 * load * tangent, rel=1e-9
    )
    assert step_force_n(load, edge_height_m=0.0, wheel_radius_m=radius) == 0


def test_a_wheel_whose_edge_is_lower_than_the_hub_by_the_work_done():
    # least steady force: its moment about the edge just exceeds the weight's (solved as an angle, not by the
    # closed form)
    angle = brentq(lambda a: 0.35 * (1 - math.cos(a)) - 0.05, 1e-6, 1.5)
    assert step_force_n(8000, edge_height_m=0.05, wheel_radius_m=0.35) == pytest.approx(
        8000 * math.sin(angle) / math.cos(angle)
    )


@given(forces, slopes)
def test_the_ball_feels_the_opposite_of_the_coupler(along, slope):
    assert along_the_bar(along, 0.0, slope_rad=slope).up_n == pytest.approx(
        ball_force_of_slope_n(along, slope), abs=1e-9
    )
    assert along_the_bar(along, 0.0, slope_rad=-slope).up_n == pytest.approx(
        -ball_force_of_slope_n(along, slope), abs=1e-9
    )


@given(forces, forces, angles, slopes, st.tuples(*[st.floats(-3, 3)] * 3))
def test_bar_in_balance_about_any_point(along, left, beta, slope, point):
    force = along_the_bar(along, left, slope_rad=slope)
    loads = bracket_reactions(force, half_angle_rad=beta, slope_rad=slope)
    arm_m = 1.6
    behind = arm_m * math.cos(beta)
    pins = [
        np.array([-behind * math.cos(slope), sign * arm_m * math.sin(beta), behind * math.sin(slope)])
        for sign in (1, -1)
    ]
    size = max(1.0, abs(loads.left_arm_n), abs(loads.right_arm_n))
    total = (
        np.array(force) - np.array(loads.left) - np.array(loads.right)
    )  # on the bar: the ball's force, minus what it does to brackets
    moment = np.cross(-np.array(point), force) - sum(
        np.cross(pin - point, side) for pin, side in zip(pins, loads[:2], strict=True)
    )
    assert np.abs(total).max() <= 1e-9 * size and np.abs(moment).max() <= 1e-9 * size * 10
    # each arm carries force along itself only, pull positive
    for pin, on_bracket, arm in zip(pins, loads[:2], loads[2:], strict=True):
        assert np.array(on_bracket) == pytest.approx(-arm * pin / arm_m, abs=1e-9 * size)


@given(forces, forces, angles, slopes)
def test_mirrored_forces_give_mirrored_answers(along, left, beta, slope):
    here = bracket_reactions(
        along_the_bar(along, left, slope_rad=slope), half_angle_rad=beta, slope_rad=slope
    )
    there = bracket_reactions(
        along_the_bar(along, -left, slope_rad=slope), half_angle_rad=beta, slope_rad=slope
    )
    assert (there.left_arm_n, there.right_arm_n) == pytest.approx((here.right_arm_n, here.left_arm_n))
    assert there.left == pytest.approx((here.right.along_n, -here.right.left_n, here.right.up_n))


@given(st.floats(0.2, 2.5), st.floats(0.01, 0.4))
def test_spread_helps_the_side_load_and_costs_a_little_straight_ahead(spread, more):
    narrow, wide = (half_angle_rad(s, arm_length_m=1.5) for s in (spread, spread + more))
    side = [
        abs(bracket_reactions(Force(0.0, 1e3, 0.0), half_angle_rad=beta).left_arm_n)
        for beta in (narrow, wide)
    ]
    straight = [
        bracket_reactions(Force(1e3, 0.0, 0.0), half_angle_rad=beta).left_arm_n for beta in (narrow, wide)
    ]
    assert side[1] < side[0] == pytest.approx(1e3 * 1.5 / spread)
    assert straight[1] > straight[0] == pytest.approx(1e3 / (2 * math.cos(narrow)))


@pytest.mark.parametrize("backwards", [True, False])
def test_wheels_that_slide_are_a_steady_case(backwards):
    assert front_wheels_slide(7.8e3, lock_rad=0.5, backwards=backwards, **SLIDES).reserve == 1.0


def test_a_ball_near_the_towed_rear_axle_is_taken():
    # 1,000 kg, 2 m/s², 0.2 of 0.5 m ahead: 2/5 of 2 kN
    case = turning(1e3, 2.0, centre_ahead_of_rear_axle_m=0.2, ball_to_rear_axle_m=0.5)
    assert case.force.left_n == pytest.approx(800.0) and case.reserve == 1.0


def test_together_adds_and_keeps_the_largest_reserve():
    edge = over_an_edge(6e3, edge_height_m=0.04, wheel_radius_m=0.35)
    curve = turning(1500, -2.0, centre_ahead_of_rear_axle_m=1.2, ball_to_rear_axle_m=4.0)
    both = together("both", edge, curve)
    assert (
        both.force == (edge.force.along_n, -900.0, edge.force.up_n)
        and both.reserve == 2.0
        and both.name == "both"
    )


def test_yardsticks():
    found = {y.name: y for y in yardsticks(3500, 2000)}
    assert found["D-value"].force.along_n == pytest.approx(12485, abs=0.5)  # UNECE R55 form, check values 3.2
    assert found["1.5 g along"].force.along_n == pytest.approx(1.5 * 9.81 * 2000)
    assert found["coupling breaks along"].force.along_n == pytest.approx(
        15_000 * LBF
    )  # COMAR 11.13.08.10, class 3
    assert found["coupling breaks across"].force.left_n == pytest.approx(4_000 * LBF)
    # clause 12.3.2.1 of the Australian design rule (check value list): 1.5 along, 0.5 across, 0.5 upright
    assert found["0.5 g upright"].force == pytest.approx((0.0, 0.0, 0.5 * 9.81 * 2000))
    assert found["tow-bar rule"].force.along_n == pytest.approx(
        6_500 * LBF
    )  # 49 CFR 393.71(h): below 5,000 lb
    assert all(y.known_by == "read" for y in found.values())
    carriers = [y.name for y in found.values() if "own wheels" in y.binds]
    assert carriers == ["tow-bar rule"] and all(
        "trailer" in y.binds or "coupl" in y.binds for y in found.values() if y.name not in carriers
    )
    small = {
        y.name: y.force for y in yardsticks(3500, 2000 * LB)
    }  # COMAR table: R = 2,000 lb gives 1,990 along and 900 across
    assert small["hitch test along"].along_n == pytest.approx(1990 * LBF) and small[
        "hitch test across"
    ].left_n == pytest.approx(900 * LBF)
    assert len(yardsticks(9000, 2300)) == 7 and len(yardsticks(9000, 5000)) == 5  # beyond 5,000 and 10,000 lb
    sloped = yardsticks(3500, 2000, slope_rad=0.1)[0].force
    assert bracket_reactions(sloped, half_angle_rad=0.3, slope_rad=0.1).left_arm_n > 0


@pytest.mark.parametrize(
    "call",
    [
        lambda: pull_away(0, 0.1, acceleration_m_s2=1, rolling_coefficient=0),
        lambda: pull_away(1e3, 0.1, acceleration_m_s2=-1, rolling_coefficient=0),
        lambda: braking(1e3, 0.0, deceleration_m_s2=-1, rolling_coefficient=0),
        lambda: braking(1e3, 0.0, deceleration_m_s2=1, rolling_coefficient=0, own_brake_n=-1),
        lambda: turning(1e3, 1.0, centre_ahead_of_rear_axle_m=4.0, ball_to_rear_axle_m=4.0),
        lambda: turning(1e3, 1.0, centre_ahead_of_rear_axle_m=-1.0, ball_to_rear_axle_m=0.0),
        lambda: turning(1e3, 1.0, centre_ahead_of_rear_axle_m=-1.0, ball_to_rear_axle_m=-0.5),
        lambda: step_force_n(1e3, edge_height_m=0.4, wheel_radius_m=0.35),
        lambda: step_force_n(-1, edge_height_m=0.1, wheel_radius_m=0.35),
        lambda: over_an_edge(1e3, edge_height_m=0.1, wheel_radius_m=0.35, sudden=0.5),
        lambda: together("none"),
        lambda: one_wheel_over_an_edge(
            1e3, edge_height_m=0.1, wheel_radius_m=0.35, track_m=0.0, ball_to_rear_axle_m=4.0
        ),
        lambda: one_wheel_over_an_edge(
            1e3, edge_height_m=0.1, wheel_radius_m=0.35, track_m=1.4, ball_to_rear_axle_m=0.0
        ),
        lambda: front_wheels_slide(-1.0, lock_rad=0.0, **SLIDES),
        lambda: front_wheels_slide(1e3, lock_rad=-0.1, **SLIDES),
        lambda: front_wheels_slide(1e3, lock_rad=0.0, rolling_n=-1.0, **SLIDES),
        lambda: front_wheels_slide(1e3, lock_rad=0.0, **SLIDES | {"grip": 0.0}),
        lambda: front_wheels_slide(1e3, lock_rad=0.0, **SLIDES | {"wheelbase_m": 0.0}),
        lambda: front_wheels_slide(1e3, lock_rad=0.0, **SLIDES | {"ball_to_rear_axle_m": 0.0}),
        lambda: snatch(STEADY, sudden=0.9),
        lambda: one_arm_alone(STEADY, half_angle_rad=0.0),
        lambda: one_arm_alone(STEADY, half_angle_rad=math.pi / 2),
        lambda: bracket_reactions(Force(0, 0, 1e3), half_angle_rad=0.3),
        lambda: bracket_reactions(Force(1e3, 0, 0), half_angle_rad=0.0),
        lambda: bracket_reactions(Force(1e3, 0, 0), half_angle_rad=0.3, slope_rad=0.1),
    ],
)
def test_impossible_input_is_refused(call):
    with pytest.raises(ValueError, match=r"^[^.]+(\.\d+[^.]*)*$"):  # one plain sentence
        call()


def test_yardsticks_across_and_where_the_tables_end():
    # by hand: half of 9.81 × 2,000 kg across; R55 counts g as 9.81
    across = {y.name: y.force for y in yardsticks(3500, 2000) if "across" in y.name}
    assert across["0.5 g across"].left_n == pytest.approx(9810.0) and all(
        f.along_n == f.up_n == 0.0 for f in across.values()
    )
    pound = 0.45359237
    for pounds, hitch, coupling in (
        (5000, True, True),
        (5001, False, True),
        (10_000, False, True),
        (10_001, False, False),
    ):
        names = {y.name for y in yardsticks(3500, pounds * pound)}
        assert ("hitch test along" in names) == ("hitch test across" in names) == hitch
        assert ("coupling breaks along" in names) == ("coupling breaks across" in names) == coupling


# ---- the envelope: wheels that cannot castor, one wheel, play, one arm ----


def _moment(point, force):
    """About the middle of the towed rear axle, seen from above; forwards and left positive."""
    return point[0] * force[1] - point[1] * force[0]


@given(st.floats(1e3, 1e4), st.floats(0.01, 0.15), st.floats(1.2, 1.8), st.floats(2.5, 5.0), slopes)
def test_one_wheel_at_an_edge_leaves_the_towed_vehicle_in_balance(load, height, track, length, slope):
    # free body of bar and towed vehicle together: the ball at the front, the road at one wheel's edge and
    # sideways at the rear axle
    case = one_wheel_over_an_edge(
        load,
        edge_height_m=height,
        wheel_radius_m=0.35,
        track_m=track,
        ball_to_rear_axle_m=length,
        slope_rad=slope,
    )
    tangent = math.tan(math.acos((0.35 - height) / 0.35))  # of the contact force at the edge
    edge = np.array([-2.0 * load / 2.0 * tangent, 0.0])  # half the axle, taken at once
    ball = np.array(case.force[:2])
    size = abs(ball[0]) * length
    for ahead in (0.0, 0.7 * length):  # a rear or a front wheel: its place along the vehicle is of no matter
        turning_moment = _moment((ahead, -track / 2.0), edge) + _moment((length, 0.0), ball)
        assert abs(turning_moment) <= 1e-9 * size
    assert abs(edge[0] + ball[0]) <= 1e-9 * size  # along the road
    both = over_an_edge(load, edge_height_m=height, wheel_radius_m=0.35, slope_rad=slope)
    assert both.force.along_n == pytest.approx(2.0 * case.force.along_n, rel=1e-12)
    assert case.reserve == 2.0 and case.force.up_n == pytest.approx(-case.force.along_n * math.tan(slope))


@given(
    st.floats(1e3, 1e4),
    st.floats(0.3, 1.0),
    st.floats(0.0, 0.7),
    st.floats(2.0, 3.0),
    st.floats(0.5, 2.5),
    st.booleans(),
)
def test_wheels_that_cannot_castor_leave_the_towed_vehicle_in_balance(load, grip, lock, base, ahead, back):
    length, rolling = base + ahead, 0.015 * 2.0 * load
    case = front_wheels_slide(
        load,
        grip=grip,
        lock_rad=lock,
        wheelbase_m=base,
        ball_to_rear_axle_m=length,
        rolling_n=rolling,
        backwards=back,
    )
    # the tyre's force stands square to the wheel and against the motion
    way = -1.0 if back else 1.0
    tyre = grip * load * np.array([-way * math.sin(lock), -math.cos(lock)])
    ball = np.array(case.force[:2])
    assert abs(_moment((base, 0.0), tyre) + _moment((length, 0.0), ball)) <= 1e-9 * load * length
    assert abs(tyre[0] - way * rolling + ball[0]) <= 1e-9 * load
    assert math.hypot(*tyre) == pytest.approx(grip * load)
    assert case.name == (
        "backing by mistake" if back else "steering at its lock" if lock else "steering locked"
    )


def test_play_doubles_a_load_by_the_energy_of_a_spring():
    # k x²/2 = F x at the turning point: x = 2 F/k, whatever the spring
    for stiffness in (1e5, 4e6):
        stretch = brentq(lambda x, k=stiffness: k * x * x / 2 - 1e3 * x, 1e-9 / stiffness, 1e4 / stiffness)
        assert snatch(STEADY).force.along_n == pytest.approx(stiffness * stretch)
    edge = over_an_edge(8e3, edge_height_m=0.05, wheel_radius_m=0.35)
    assert snatch(edge).reserve == 4.0 and snatch(STEADY).name == "snatch from play"


@given(forces, angles, slopes)
def test_one_arm_carries_all_along_its_own_line(along, beta, slope):
    case = one_arm_alone(
        Case("braking", along_the_bar(along, 0.0, slope_rad=slope), 1.0), half_angle_rad=beta, slope_rad=slope
    )
    loads = bracket_reactions(case.force, half_angle_rad=beta, slope_rad=slope)
    assert abs(loads.left_arm_n) <= 1e-9 * max(1.0, abs(along)) / math.cos(beta)
    # along the road the one arm's part is the whole load
    assert loads.right.along_n == pytest.approx(along, abs=1e-9 * max(1.0, abs(along)))


@settings(max_examples=25)
@given(
    st.floats(500, 2200),
    st.floats(0.0, 0.2),
    st.floats(0.5, 7.0),
    st.floats(0.01, 0.1),
    st.floats(0.0, 1.0),
)
def test_more_mass_grade_braking_or_edge_is_never_less(mass, grade, rate, edge, more):
    def sizes(mass, grade, rate, edge):
        slow = braking(mass, -grade, deceleration_m_s2=rate, rolling_coefficient=0.015)
        weight = mass * G / 2.0
        lane = {"edge_height_m": edge, "wheel_radius_m": 0.35}
        return [
            abs(part)
            for case in (
                slow,
                snatch(slow),
                one_arm_alone(slow, half_angle_rad=0.3),
                pull_away(mass, grade, acceleration_m_s2=rate, rolling_coefficient=0.015),
                over_an_edge(weight, **lane),
                one_wheel_over_an_edge(weight, **lane, track_m=1.4, ball_to_rear_axle_m=4.2),
                front_wheels_slide(weight, lock_rad=0.5, **SLIDES),
                *borne_unbent(mass),
            )
            for part in case.force
        ]

    now = sizes(mass, grade, rate, edge)
    heavier = mass + more * (2200.0 - mass)  # a table ends at 5,000 lb
    for harder in (
        (heavier, grade, rate, edge),
        (mass, grade + 0.1 * more, rate, edge),
        (mass, grade, rate + more, edge),
        (mass, grade, rate, edge + 0.1 * more),
    ):
        assert all(then >= one * (1 - 1e-12) for one, then in zip(now, sizes(*harder), strict=True))


def test_what_a_coupling_bears_unbent():
    # by hand for 1,543 kg (3,401.7 lb): 1.5 and 0.5 times 9.81 · 1,543 N; 0.23 · 3,401.7 + 1,530 and
    # 0.20 · 3,401.7 + 500 lbf
    found = {mark.name: tuple(mark.force) for mark in borne_unbent(1543.0)}
    pounds = 1543.0 / LB
    expected = {
        "1.5 g along": (22_705.2, 0.0, 0.0),
        "hitch test along": ((0.23 * pounds + 1530) * LBF, 0.0, 0.0),
        "0.5 g across": (0.0, 7_568.4, 0.0),
        "hitch test across": (0.0, (0.20 * pounds + 500) * LBF, 0.0),
        "0.5 g upright": (0.0, 0.0, 7_568.4),
    }
    assert found.keys() == expected.keys()
    for name, force in expected.items():
        assert found[name] == pytest.approx(force, abs=0.06)
    assert [mark.name for mark in borne_unbent(2300.0)] == ["1.5 g along", "0.5 g across", "0.5 g upright"]


def test_an_upright_load_is_shared_by_both_brackets():
    loads = on_both_brackets(-1e3)
    assert loads.left == loads.right == (0.0, 0.0, -500.0) and loads[2:] == (0.0, 0.0)


def test_the_arms_of_the_demo_in_the_cases_that_were_not_counted():
    # by hand: towed 1,543 kg, 795.46 kg of it in front; bar 1.5 m, brackets 0.7 m apart, ball to rear axle
    # 4.27 m, level bar. sin(beta) = 0.35/sqrt(1.5² + 0.35²) = 0.22723, cos(beta) = 0.97384
    beta = math.atan(0.35 / 1.5)

    def arms(case):
        return bracket_reactions(case.force, half_angle_rad=beta)[2:]

    # front wheels at their grip: 0.8 · 795.46 · 9.80665 = 6,240.6 N, of which 2.29/4.27 reaches the ball:
    # 3,346.8 N; over 2 sin(beta) 7.36 kN in an arm, pull in one, push in the other
    locked = front_wheels_slide(795.46 * G, lock_rad=0.0, **SLIDES)
    assert arms(locked) == pytest.approx((-7364.0, 7364.0), abs=3.0)
    # half of g across: 0.5 · 9.81 · 1,543 = 7,568.4 N; over 2 sin(beta) 16.65 kN
    across = next(mark for mark in borne_unbent(1543.0) if mark.name == "0.5 g across")
    assert arms(across) == pytest.approx((-16654.0, 16654.0), abs=5.0)
    # braking in a curve: own brakes 7.5 · 2,708/(2,708 + 1,543) = 4.7777 m/s², 8.975 % down adds
    # 9.80665 · 0.08939 = 0.87662, rolling takes off 0.14651: 1,543 · 5.5078 = 8,498.5 N of push; in the curve
    # 3 m/s² · 1,543 · 1.18056/4.27 = 1,279.8 N. 8,498.5/(2 cos) + 1,279.8/(2 sin) = 4,363.4 + 2,816.1
    slow = braking(1543.0, -0.08975, deceleration_m_s2=7.5 * 2708 / 4251, rolling_coefficient=0.015)
    curve = turning(1543.0, 3.0, centre_ahead_of_rear_axle_m=1.18056, ball_to_rear_axle_m=4.27)
    assert arms(together("both", slow, curve)) == pytest.approx((-7179.5, -1547.3), abs=3.0)
    mirrored = turning(1543.0, -3.0, centre_ahead_of_rear_axle_m=1.18056, ball_to_rear_axle_m=4.27)
    assert arms(together("both", slow, mirrored)) == pytest.approx((-1547.3, -7179.5), abs=3.0)
    # what was counted before: half of half a g on the level, and the same curve: 4.64 kN
    half = braking(1543.0, 0.0, deceleration_m_s2=0.25 * G, rolling_coefficient=0.015)
    assert min(arms(together("both", half, curve))) == pytest.approx(-4642.0, abs=3.0)


@settings(max_examples=50)
@given(angles, slopes, st.floats(500, 2200), st.floats(0.5, 7.0), st.floats(-6.0, 6.0), st.floats(0.3, 2.0))
def test_bar_and_towed_vehicle_as_free_bodies_in_every_case(beta, slope, mass, rate, side, ahead):
    # the ball at nothing, brackets by their own geometry; on the towed vehicle the brackets' loads and the
    # rear tyres' side force, about the vehicle's centre of mass seen from above
    length, weight = 4.27, mass * G / 2.0
    steep, lane = {"slope_rad": slope}, {"edge_height_m": 0.05, "wheel_radius_m": 0.35}
    slow = braking(mass, -0.08, deceleration_m_s2=rate, rolling_coefficient=0.015, **steep)
    bend = turning(mass, side, centre_ahead_of_rear_axle_m=ahead, ball_to_rear_axle_m=length)
    cases = (
        slow,
        pull_away(mass, 0.1, acceleration_m_s2=rate, rolling_coefficient=0.015, **steep),
        together("braking in a curve", slow, bend),
        over_an_edge(weight, **lane, **steep),
        one_wheel_over_an_edge(weight, **lane, track_m=1.4, ball_to_rear_axle_m=length, **steep),
        front_wheels_slide(weight, lock_rad=0.5, **SLIDES, **steep),
        snatch(slow),
        one_arm_alone(slow, half_angle_rad=beta, **steep),
    )
    back, out = 1.6 * math.cos(beta), 1.6 * math.sin(beta)
    pins = [np.array([-back * math.cos(slope), y, back * math.sin(slope)]) for y in (out, -out)]
    for case in cases:
        left, right = (
            np.array(part) for part in bracket_reactions(case.force, half_angle_rad=beta, **steep)[:2]
        )
        size = max(np.abs(left).max(), np.abs(right).max(), 1.0)
        assert (
            np.abs(np.array(case.force) - left - right).max() <= 1e-9 * size
        )  # the bar, as it weighs nothing
        assert np.abs(np.cross(pins[0], left) + np.cross(pins[1], right)).max() <= 1e-9 * size * 1.6
    # the towed vehicle in the braking curve: Newton across, and no turning moment
    left, right = (
        np.array(part) for part in bracket_reactions(cases[2].force, half_angle_rad=beta, **steep)[:2]
    )
    size = max(np.abs(left).max(), np.abs(right).max(), 1.0)
    rear = np.array([0.0, mass * side - left[1] - right[1], 0.0])
    ball = np.array([length - ahead, 0.0, 0.0])
    turn = sum(np.cross(ball + pin, part)[2] for pin, part in zip(pins, (left, right), strict=True))
    assert abs(turn + np.cross([-ahead, 0.0, 0.0], rear)[2]) <= 1e-9 * size * length
