"""Load cases against computed values, statics done another way, and balances of force and moment."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from towlib.physics.hitch.bar_geometry import ball_force_of_slope_n, half_angle_rad
from towlib.physics.hitch.load_cases import (
    Force,
    along_the_bar,
    bracket_reactions,
    braking,
    over_an_edge,
    pull_away,
    step_force_n,
    together,
    turning,
    yardsticks,
)

G = 9.80665
LBF, LB = 4.4482216152605, 0.45359237
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
    memory = [y for y in found.values() if y.known_by == "from memory"]
    assert {y.name for y in memory} == {"0.5 g across", "0.5 g upright"}
    small = {
        y.name: y.force for y in yardsticks(3500, 2000 * LB)
    }  # COMAR table: R = 2,000 lb gives 1,990 along and 900 across
    assert small["hitch test along"].along_n == pytest.approx(1990 * LBF) and small[
        "hitch test across"
    ].left_n == pytest.approx(900 * LBF)
    assert len(yardsticks(9000, 2300)) == 6 and len(yardsticks(9000, 5000)) == 4  # beyond 5,000 and 10,000 lb
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
        lambda: step_force_n(1e3, edge_height_m=0.4, wheel_radius_m=0.35),
        lambda: step_force_n(-1, edge_height_m=0.1, wheel_radius_m=0.35),
        lambda: over_an_edge(1e3, edge_height_m=0.1, wheel_radius_m=0.35, sudden=0.5),
        lambda: together("none"),
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
