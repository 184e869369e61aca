"""Lesson 03: what its panels compute, by hand."""

import math

import pytest

from towlib.lessons.l03_bar import bar_loads, bolt_pictures

START = {
    "towed_mass_kg": 1500.0,
    "deceleration_m_s2": 4.0,
    "grade": 0.1,
    "side_acceleration_m_s2": 3.0,
    "edge_height_m": 0.05,
    "bar_slope_rad": 0.0,
    "own_brake_share": 0.0,
}
BUILT = {
    "bolt_size": "1/2-13",
    "bolt_grade": "5",
    "threads_in_plane": True,
    "plate_thickness_m": 0.006,
    "edge_distance_m": 0.02,
    "pin_diameter_m": 0.013,
    "bolts_run": "across",
}


def test_own_brakes_that_do_all_leave_only_the_rolling_drag():
    cases = {case.name: case.force for case in bar_loads.load_cases(**START | {"own_brake_share": 1.0}).cases}
    rolling_n = 0.015 * 1500 * 9.80665
    assert cases["braking, level"].along_n == pytest.approx(rolling_n)
    assert cases["braking downhill"].along_n == pytest.approx(rolling_n * math.cos(math.atan(0.1)))


def test_cases_by_hand():
    cases = {case.name: case.force for case in bar_loads.load_cases(**START).cases}
    assert cases["braking, level"].along_n == pytest.approx(-1500 * 4 + 0.015 * 1500 * 9.80665)
    # centre of mass 0.52 of 2.36 m ahead of the rear axle, the ball 1.50 + 0.48 + 2.36 m ahead of it
    assert (
        cases["turning"].left_n
        == cases["braking in a curve"].left_n
        == pytest.approx(1500 * 3 * 0.52 * 2.36 / 4.34)
    )
    assert cases["wheels over an edge"].along_n == pytest.approx(
        2 * 0.52 * 1500 * 9.80665 * math.tan(math.acos(0.30 / 0.35))
    )


@pytest.mark.parametrize(("bolts_run", "reach"), [("across", 0.10), ("fore and aft", 0.06)])
def test_the_pattern_is_four_corners_behind_the_pin(bolts_run, reach):
    places = bar_loads.pattern(bolts_run)
    assert sum(place.behind_pin_m for place in places) / 4 == pytest.approx(reach) and sum(
        place.above_pin_m for place in places
    ) == pytest.approx(0)


def test_a_narrow_bracket_in_a_curve_and_what_the_tables_do_not_hold():
    wide, narrow = (
        bar_loads.ranking(load_case="turning", spread_m=spread, **BUILT).loads.right_arm_n
        for spread in (0.8, 0.2)
    )
    # S·a/s with the arm a = sqrt(1.5² + (s/2)²)
    assert narrow / wide == pytest.approx(4 * math.hypot(1.5, 0.1) / math.hypot(1.5, 0.4))
    with pytest.raises(ValueError, match="no bolt M16 of grade 9"):
        bar_loads.bracket(**BUILT | {"bolt_size": "M16", "bolt_grade": "9"})


def test_torque_by_hand():
    found = bolt_pictures.torque(
        bolt_size="M12",
        bolt_grade="8.8",
        thread_state="dry steel, K 0.20",
        wrench_torque_n_m=96.0,
        scatter_share=0.25,
        friction=0.2,
    )
    assert found.now == pytest.approx((32e3, 40e3, 40e3 / 0.75)) and found.slip_n.low_n == pytest.approx(
        4 * 0.2 * 32e3
    )
    assert found.right_torque_n_m == pytest.approx(
        0.2 * 0.012 * 0.75 * 580e6 * 84.3e-6
    ) and found.proof_n == pytest.approx(580e6 * 84.3e-6)
