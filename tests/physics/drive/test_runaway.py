"""Without brakes: settled speeds against Newton's law integrated by SciPy, and the truck model against its
own differential equation.
"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from towlib.physics.drive.downgrade_truck import truck_downgrade_temperature_f
from towlib.physics.drive.journey import Pair
from towlib.physics.drive.powertrain import EXAMPLE
from towlib.physics.drive.runaway import rolling_distance_m, rolling_speed_m_s, runaway_speed

PAIR = Pair(3900, 0.012, 1.9, EXAMPLE, 9e3, (None, None, None), (0.7, 0.3, 0.0), None)
G = 9.80665


def _push(grade, square):
    return 3900 * G * (-grade - 0.012) / math.sqrt(1 + grade**2) - 0.5 * 1.0 * 1.9 * square


def _engine(v, ratio):
    rpm = v / 0.356 * ratio * 3.73 * 60 / (2 * math.pi)
    kpa = 97 + 15 * rpm / 1e3 + 5 * (rpm / 1e3) ** 2 + 60 / 1.225
    let_go = min(
        1.0, max(0.0, (rpm - 690) / 10)
    )  # the cliff at idle, 10 rpm wide so that SciPy need not chatter on it
    return let_go * kpa * 1e3 * 0.0036 / (4 * math.pi) * ratio * 3.73 / (0.88 * 0.356)


@pytest.mark.parametrize("grade", [-0.04, -0.06, -0.09])
@pytest.mark.parametrize("gear", [0, 2, 3, 6])
def test_settled_speed_is_where_newton_ends(grade, gear):
    # 60 km of the same downgrade from 20 m/s
    def slope(s, y):
        v = math.sqrt(max(y[0], 1e-6))
        return [
            2
            * (_push(grade, y[0]) - (_engine(v, EXAMPLE.gear_ratios[gear - 1]) if gear else 0.0))
            / (3900 * 1.05)
        ]

    settled = math.sqrt(solve_ivp(slope, (0, 60e3), [400.0], method="LSODA", rtol=1e-9, atol=1e-9).y[0, -1])
    found = runaway_speed(PAIR, grade, gear=gear, air_density_kg_m3=1.0)
    assert found.speed_m_s == pytest.approx(settled, abs=0.03)
    assert found.rpm == pytest.approx(
        settled / 0.356 * EXAMPLE.gear_ratios[gear - 1] * 3.73 * 9.549297 if gear else 0.0, rel=0.02
    )


@pytest.mark.parametrize("distance_m", [100.0, 600.0, 3000.0])
def test_rolling_against_scipy(distance_m):
    oracle = solve_ivp(
        lambda s, y: [2 * _push(-0.07, y[0]) / (3900 * 1.05)],
        (0, distance_m),
        [15.0**2],
        rtol=1e-10,
        atol=1e-9,
    ).y[0, -1]
    ours = rolling_speed_m_s(PAIR, -0.07, start_m_s=15.0, distance_m=distance_m, air_density_kg_m3=1.0)
    assert ours == pytest.approx(math.sqrt(oracle), rel=1e-6)
    assert rolling_distance_m(
        PAIR, -0.07, start_m_s=15.0, end_m_s=ours, air_density_kg_m3=1.0
    ) == pytest.approx(distance_m, rel=1e-6)


def test_neutral_by_hand():
    # v² = 2 × 3,900 × 9.80665 × (0.06 - 0.012)/sqrt(1.0036) / 1.9 = 1,929.0 -> 43.92 m/s
    assert runaway_speed(PAIR, -0.06, gear=0, air_density_kg_m3=1.0).speed_m_s == pytest.approx(
        43.92, abs=0.01
    )


def test_where_it_does_not_roll_and_where_it_never_gets_there():
    assert runaway_speed(PAIR, -0.01, gear=0, air_density_kg_m3=1.0) == (0.0, 0.0)
    assert rolling_distance_m(PAIR, -0.06, start_m_s=15.0, end_m_s=60.0, air_density_kg_m3=1.0) == math.inf
    assert rolling_speed_m_s(PAIR, 0.05, start_m_s=5.0, distance_m=500.0, air_density_kg_m3=1.0) == 0.0
    for call in (
        lambda: runaway_speed(PAIR._replace(drag_area_m2=0.0), -0.06, gear=0, air_density_kg_m3=1.0),
        lambda: rolling_speed_m_s(PAIR, -0.06, start_m_s=1, distance_m=1, air_density_kg_m3=0.0),
    ):
        with pytest.raises(ValueError, match="air resistance"):
            call()
    for pair, density in ((PAIR._replace(drag_area_m2=0.0), 1.0), (PAIR, 0.0)):
        for call in (
            lambda p, d: runaway_speed(p, -0.06, gear=0, air_density_kg_m3=d),
            lambda p, d: rolling_speed_m_s(p, -0.06, start_m_s=1, distance_m=1, air_density_kg_m3=d),
            lambda p, d: rolling_distance_m(p, -0.06, start_m_s=1, end_m_s=2, air_density_kg_m3=d),
        ):
            with pytest.raises(ValueError, match="air resistance"):
                call(pair, density)
    with pytest.raises(ValueError, match="below"):
        rolling_distance_m(PAIR, -0.06, start_m_s=20.0, end_m_s=10.0, air_density_kg_m3=1.0)


@given(grade=st.floats(-0.12, -0.03), steeper=st.floats(0, 0.03), gear=st.integers(1, 5))
def test_steeper_or_a_higher_gear_is_never_slower(grade, steeper, gear):
    base = runaway_speed(PAIR, grade, gear=gear, air_density_kg_m3=1.0).speed_m_s
    assert runaway_speed(PAIR, grade - steeper, gear=gear, air_density_kg_m3=1.0).speed_m_s >= base - 1e-9
    assert runaway_speed(PAIR, grade, gear=gear + 1, air_density_kg_m3=1.0).speed_m_s >= base - 1e-9
    assert runaway_speed(PAIR, grade, gear=0, air_density_kg_m3=1.0).speed_m_s >= base


@pytest.mark.parametrize(
    ("weight", "grade", "mph", "miles"), [(70_000, 0.06, 30, 5), (60_000, 0.05, 45, 8), (80_000, 0.07, 20, 3)]
)
def test_truck_model_is_the_solution_of_its_differential_equation(weight, grade, mph, miles):
    # constants from memory (FHWA-RD-81-185): this only shows that the closed form and the equation dT/dL =
    # K1/V·(T_inf - T) agree
    power = (weight * grade - 450 - 17.25 * mph) * mph / 375 - 73
    settled, rate = 90 + power / (0.1 + 0.00208 * mph), (1.23 + 0.0256 * mph) / mph
    oracle = solve_ivp(lambda x, y: rate * (settled - y), (0, miles), [150.0], rtol=1e-10, atol=1e-9).y[0, -1]
    assert truck_downgrade_temperature_f(weight, grade, speed_mph=mph, length_mi=miles) == pytest.approx(
        oracle, abs=1e-4
    )
    with pytest.raises(ValueError, match="above zero"):
        truck_downgrade_temperature_f(weight, grade, speed_mph=0, length_mi=miles)
