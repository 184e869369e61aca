"""The table of pulls against wheel_force_n itself: at any speed, and at the floats beside every bend."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from towlib.physics.drive.powertrain import EXAMPLE, engine_rpm, wheel_force_n
from towlib.physics.drive.pull_table import just_above, pieces_at, pull_n, pull_table, speed_at_rpm_m_s

GEARS = range(1, 7)
TRAINS = {
    "converter": EXAMPLE,
    "clutch": EXAMPLE._replace(automatic=False, stall_torque_ratio=1.0, launch_rpm=1500.0),
    "lowest pull above launch": EXAMPLE._replace(launch_rpm=1200.0, lowest_pull_rpm=1700.0),
    "curve past the redline": EXAMPLE._replace(redline_rpm=5000.0),
    "launch above the redline": EXAMPLE._replace(launch_rpm=6000.0),
    "one point": EXAMPLE._replace(curve_rpm=(2000.0,), curve_torque_n_m=(300.0,)),
    "one gear": EXAMPLE._replace(gear_ratios=EXAMPLE.gear_ratios[:1]),
}


def _bends_m_s(train, gear):
    for rpm in (
        train.redline_rpm,
        train.lowest_pull_rpm,
        train.launch_rpm,
        0.85 * train.launch_rpm,
        *train.curve_rpm,
    ):
        speed = rpm / engine_rpm(train, 1.0, gear)
        below, above = math.nextafter(speed, 0.0), math.nextafter(speed, 99.0)
        yield from (math.nextafter(below, 0.0), below, speed, above, math.nextafter(above, 99.0))


@pytest.mark.parametrize("train", TRAINS.values(), ids=TRAINS)
def test_the_table_is_wheel_force_at_every_speed_and_beside_every_bend(train):
    table = pull_table(train)
    gears = range(1, len(train.gear_ratios) + 1)
    speeds = [0.31 * i for i in range(250)] + [v for gear in gears for v in _bends_m_s(train, gear)]
    for speed in speeds:
        pulling = {gear: n + k * (speed - start) for gear, start, n, k in pieces_at(table, speed)}
        assert list(pulling) == sorted(pulling, reverse=True) and pulling
        for gear in gears:
            expected = wheel_force_n(train, speed, gear, power_factor=0.8)
            assert pull_n(table, speed, gear, power_factor=0.8) == pytest.approx(expected, rel=1e-13, abs=0)
            assert 0.8 * pulling.get(gear, 0.0) == pytest.approx(expected, rel=1e-13, abs=0)


def test_where_no_gear_pulls_the_top_gear_stands_alone():
    # by hand: past the redline of sixth gear, 5,800 / 9.5493 / (0.70 × 3.73) × 0.356 = 82.8 m/s
    for table in (pull_table(EXAMPLE), pull_table(EXAMPLE, up_to_m_s=90.0)):
        (piece,) = pieces_at(table, 83.0)
        assert piece[0] == 6 and piece[2:] == (0.0, 0.0)
        assert [gear for gear, *_ in pieces_at(table, 82.7)] == [6]


@given(up_to=st.floats(0.0, 90.0), share=st.floats(0.0, 1.0), gear=st.sampled_from(GEARS))
def test_a_short_table_is_the_same_up_to_its_speed(up_to, share, gear):
    short, speed = pull_table(EXAMPLE, up_to_m_s=up_to), share * up_to
    assert pull_n(short, speed, gear, power_factor=1.0) == pull_n(
        pull_table(EXAMPLE), speed, gear, power_factor=1.0
    )
    assert pieces_at(short, speed) == pieces_at(pull_table(EXAMPLE), speed)
    assert sum(len(pieces) for _, pieces in short.gears) <= sum(
        len(pieces) for _, pieces in pull_table(EXAMPLE).gears
    )


@given(rpm=st.floats(0.0, 7000.0), gear=st.sampled_from(GEARS))
def test_the_speed_at_a_shaft_speed_is_the_lowest_float_that_reaches_it(rpm, gear):
    speed = speed_at_rpm_m_s(EXAMPLE, gear, rpm)
    assert engine_rpm(EXAMPLE, speed, gear) >= rpm
    assert speed == 0 or engine_rpm(EXAMPLE, math.nextafter(speed, 0.0), gear) < rpm
    assert just_above(rpm) > rpm and not rpm < (rpm + just_above(rpm)) / 2 < just_above(rpm)
