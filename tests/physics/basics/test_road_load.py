"""Road load against OpenStax and independently computed grade-power cases."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from towlib.physics.basics import road_load

LB, MPH, HP, FT = 0.45359237, 0.44704, 745.69987, 0.3048


def test_uphill_power_uses_the_sine():
    # OpenStax University Physics, module m58310: 1200 kg, 15 %, 90 km/h, 25 % lost -> 58 kW, 78 hp
    power_w = road_load.uphill_power_w(1200, 0.15, speed_m_s=90 / 3.6, lost_share=0.25, gravity_m_s2=9.80)
    assert round(power_w / 1000) == 58
    assert round(power_w / HP) == 78
    # the tangent would give 58.80 kW (check value T2, computed independently): the sine must be told apart
    # from it
    assert power_w / 1000 == pytest.approx(58.149, abs=0.001)


@pytest.mark.parametrize(
    ("drag_area_m2", "speed_km_h", "force_n"),
    [
        # OpenStax College Physics, module m42080, "drag area" read as CdA, rho 1.21; computed independently
        (0.70, 70, 160.1),
        (0.70, 100, 326.8),
        (2.44, 70, 558.1),
        (2.44, 100, 1139.0),
    ],
)
def test_drag_area_already_holds_the_coefficient(drag_area_m2, speed_km_h, force_n):
    ours = road_load.air_force_n(speed_km_h / 3.6, drag_area_m2=drag_area_m2, air_density_kg_m3=1.21)
    assert ours == pytest.approx(force_n, abs=0.5 if force_n > 1000 else 0.05)


def test_drag_factor_with_speed():
    # OpenStax College Physics, module m42080, printed answer: 65 -> 110 km/h raises drag 2.9 times
    low, high = (road_load.air_force_n(v / 3.6, drag_area_m2=1, air_density_kg_m3=1.2) for v in (65, 110))
    assert round(high / low, 1) == 2.9


def _engine_power_w(*, grade, mph, density, crr=0.013, drag_area=1.95, mass_lb=9000):
    mass_kg, v = mass_lb * LB, mph * MPH
    forces = (
        road_load.grade_force_n(mass_kg, grade),
        road_load.rolling_force_n(mass_kg, grade, rolling_coefficient=crr),
        road_load.air_force_n(v, drag_area_m2=drag_area, air_density_kg_m3=density),
    )
    return forces, sum(forces) * v


def test_grade_power_one_horsepower():
    # read at josephjohansson.com and computed: 1,000 lb up 1 % at 37.5 mph takes 1.000 hp by W·G·V/375
    # (small-angle form)
    watts = road_load.grade_force_n(1000 * LB, 0.01) * 37.5 * MPH
    assert watts / HP == pytest.approx(1.000, abs=0.0005)


def test_grade_power_pair_at_six_per_cent():
    # computed independently: 5,200 + 3,800 lb, 6 %, 55 mph, 7,000 ft, Crr 0.013, CdA 1.95 m², driveline 0.85
    (grade_n, roll_n, air_n), wheel_w = _engine_power_w(grade=0.06, mph=55, density=0.99311)
    assert (grade_n, roll_n, air_n) == (
        pytest.approx(2397.7, abs=0.05),
        pytest.approx(519.5, abs=0.05),
        pytest.approx(585.4, abs=0.05),
    )
    assert wheel_w / 1000 == pytest.approx(86.12, abs=0.005)
    assert wheel_w / 0.85 / HP == pytest.approx(135.9, abs=0.05)


def test_grade_power_pair_at_twelve_per_cent():
    # computed independently: the same pair, 12 %, 5 mph, 3,000 ft (ISA density by the ambiance package:
    # 1.12102 kg/m³)
    (grade_n, roll_n, air_n), wheel_w = _engine_power_w(grade=0.12, mph=5, density=1.12102)
    assert (grade_n, roll_n, air_n) == (
        pytest.approx(4769.9, abs=0.05),
        pytest.approx(516.7, abs=0.05),
        pytest.approx(5.5, abs=0.05),
    )
    assert wheel_w / 1000 == pytest.approx(11.83, abs=0.005)
    assert wheel_w / 0.85 / HP == pytest.approx(18.7, abs=0.05)


@pytest.mark.parametrize(("grade", "pull_n"), [(0.06, 1231.7), (0.12, 2232.1)])
def test_drawbar_pull(grade, pull_n):
    # computed independently: drawbar on the 3,800 lb vehicle, no air resistance
    assert road_load.drawbar_pull_n(3800 * LB, grade, rolling_coefficient=0.013) == pytest.approx(
        pull_n, abs=0.05
    )


@pytest.mark.parametrize(("grade", "push_n"), [(0.0, 8335.7), (-0.08, 9665.1)])
def test_unbraked_vehicle_pushes(grade, push_n):
    # computed independently: 1,700 kg unbraked at 0.5 g, level and 8 % down, no rolling resistance; the sign
    # is a push
    pull = road_load.drawbar_pull_n(1700, grade, rolling_coefficient=0, acceleration_m_s2=-0.5 * 9.80665)
    assert pull == pytest.approx(-push_n, abs=0.05)


def test_speed_held_heavy_case():
    # read at josephjohansson.com (426 hp) and computed: 80,000 lb up 3 % at 426 hp holds 66.6 mph by
    # W·G·V/375
    speed = road_load.speed_held_m_s(
        426 * HP,
        mass_kg=80_000 * LB,
        grade=0.03,
        rolling_coefficient=0,
        drag_area_m2=0,
        air_density_kg_m3=1.2,
    )
    assert speed / MPH == pytest.approx(66.6, abs=0.05)


@given(
    power=st.floats(1e3, 3e5), grade=st.floats(-0.15, 0.15), mass=st.floats(500, 1e4), area=st.floats(0.2, 4)
)
def test_speed_held_balances_the_power(power, grade, mass, area):
    speed = road_load.speed_held_m_s(
        power, mass_kg=mass, grade=grade, rolling_coefficient=0.013, drag_area_m2=area, air_density_kg_m3=1.1
    )
    force = (
        road_load.grade_force_n(mass, grade)
        + road_load.rolling_force_n(mass, grade, rolling_coefficient=0.013)
        + road_load.air_force_n(speed, drag_area_m2=area, air_density_kg_m3=1.1)
    )
    assert force * speed == pytest.approx(power, rel=1e-6)


@pytest.mark.parametrize(
    ("power", "grade", "mass"),
    [(1e3, -0.10, 4000), (5e3, -0.15, 8000), (2e4, -0.06, 3900), (2e5, -0.02, 1500)],
)
def test_speed_held_downhill_is_the_largest_root(power, grade, mass):
    # independent: NumPy's roots of the same balance; with little power on a steep downgrade all three roots
    # are real
    theta = math.atan(grade)
    steady = mass * 9.80665 * (math.sin(theta) + 0.013 * math.cos(theta))
    roots = np.roots([0.5 * 1.1 * 1.9, 0.0, steady, -power])
    speed = road_load.speed_held_m_s(
        power, mass_kg=mass, grade=grade, rolling_coefficient=0.013, drag_area_m2=1.9, air_density_kg_m3=1.1
    )
    assert speed == pytest.approx(
        max(root.real for root in roots if abs(root.imag) < 1e-9 * abs(root)), rel=1e-9
    )


def test_nothing_is_lost_unless_said_and_the_towed_vehicles_own_brakes_stretch_the_bar():
    assert road_load.uphill_power_w(1000, 0.75, speed_m_s=10.0) == pytest.approx(
        1000 * 9.80665 * 0.6 * 10.0
    )  # sine of a 3-4-5 slope
    free, braked = (
        road_load.drawbar_pull_n(1500, 0.0, rolling_coefficient=0.01, towed_brake_n=n) for n in (0.0, 500.0)
    )
    assert free == pytest.approx(1500 * 9.80665 * 0.01) and braked - free == pytest.approx(500.0)


def test_nothing_limits_the_speed():
    with pytest.raises(ValueError, match="nothing limits"):
        road_load.speed_held_m_s(
            1e4, mass_kg=1000, grade=-0.1, rolling_coefficient=0.01, drag_area_m2=0, air_density_kg_m3=1.2
        )


def test_grade_is_not_an_angle_in_degrees():
    # check value T1, geometry: 12 % is 6.843°, and 12° would be a 21.26 % grade
    assert math.degrees(math.asin(road_load.grade_sine(0.12))) == pytest.approx(6.843, abs=0.0005)
    assert road_load.grade_sine(0.2126) == pytest.approx(math.sin(math.radians(12)), abs=5e-5)
