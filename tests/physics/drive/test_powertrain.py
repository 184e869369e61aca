"""Engine, gears and altitude rules."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from towlib.physics.drive import powertrain
from towlib.physics.drive.powertrain import EXAMPLE


@pytest.mark.parametrize(
    ("feet", "ratio", "linear", "compound", "gagg_ferrar"),
    [
        # computed independently (density ratios by the ambiance package, formulas from memory), rounded to
        # four digits
        (0, 1.0000, 1.000, 1.000, 1.000),
        (5_000, 0.8617, 0.850, 0.8587, 0.8434),
        (7_000, 0.8107, 0.790, 0.8080, 0.7856),
        (10_000, 0.7386, 0.700, 0.7374, 0.7040),
        (12_000, 0.6933, 0.640, 0.6938, 0.6527),
    ],
)
def test_three_altitude_rules_are_told_apart(feet, ratio, linear, compound, gagg_ferrar):
    assert powertrain.power_factor_linear(feet) == pytest.approx(linear, abs=5e-5)
    assert powertrain.power_factor_compound(feet) == pytest.approx(compound, abs=5e-5)
    assert powertrain.power_factor_gagg_ferrar(ratio) == pytest.approx(gagg_ferrar, abs=6e-5)


def test_a_boosted_engine_is_not_derated_like_a_natural_one():
    # check value T20: the natural rule must not be applied to the boosted engine
    assert powertrain.engine_power_factor(0.8, boosted=True) == 1.0
    assert powertrain.engine_power_factor(0.8, boosted=False) < 0.78


def test_rpm_and_wheel_force_by_hand():
    # by hand: 20 m/s on 0.356 m tyres turn 56.18 rad/s; 3rd gear 1.5 × 3.73 = 5.595 -> 314.3 rad/s = 3,001.6
    # rpm;
    # torque 320 + (3,001.6 - 2,000)/2,000 × 30 = 335.02 N·m; × 5.595 × 0.88 / 0.356 = 4,633 N
    assert powertrain.engine_rpm(EXAMPLE, 20.0, 3) == pytest.approx(3001.6, abs=0.1)
    assert powertrain.wheel_force_n(EXAMPLE, 20.0, 3) == pytest.approx(4633, abs=1)


def test_engine_braking_by_hand():
    # by hand: 15 m/s, 2nd gear 2.3 × 3.73 = 8.579 -> 3,452 rpm; p = 97 + 51.8 + 59.6 + 60 = 268.4 kPa;
    # T = 268.4e3 × 0.0036 / (4 pi) = 76.9 N·m; × 8.579 / (0.88 × 0.356) = 2,105 N
    assert powertrain.engine_braking_force_n(EXAMPLE, 15.0, 2) == pytest.approx(2105, abs=2)


def test_a_lower_gear_holds_back_more():
    # common practice, no source: a lower gear holds back more at the same road speed
    assert powertrain.engine_braking_force_n(EXAMPLE, 1.0, 6) == 0.0  # below idle the converter lets go
    forces = [powertrain.engine_braking_force_n(EXAMPLE, 12.0, gear) for gear in (1, 2, 3, 4)]
    assert forces == sorted(forces, reverse=True)


def test_curve_from_peaks_meets_both_peaks():
    speeds, torques = powertrain.torque_from_peaks(
        350, 3000, peak_power_w=150e3, peak_power_rpm=5000, idle_rpm=800, redline_rpm=5500
    )
    power_kw = {n: t * n * 2 * math.pi / 60 / 1000 for n, t in zip(speeds, torques, strict=True)}
    assert dict(zip(speeds, torques, strict=True))[3000] == pytest.approx(350)
    assert power_kw[5000] == pytest.approx(150)
    # 1 hp = 550 ft·lbf/s, so power [hp] = torque [lbf·ft] × rpm / 5252, the usual handbook constant
    assert torques[-1] / 1.3558179 * speeds[-1] / 5252 * 745.69987 / 1000 == pytest.approx(
        power_kw[5500], rel=1e-4
    )


def test_contradicting_peaks_are_refused():
    with pytest.raises(ValueError, match="one of the two figures is wrong"):
        powertrain.torque_from_peaks(
            200, 3000, peak_power_w=200e3, peak_power_rpm=5000, idle_rpm=800, redline_rpm=5500
        )


@given(speed=st.floats(0, 60), gear=st.integers(1, 6), factor=st.floats(0.3, 1.05))
def test_pull_is_never_negative_and_scales_with_power(speed, gear, factor):
    full = powertrain.wheel_force_n(EXAMPLE, speed, gear)
    assert (
        0
        <= powertrain.wheel_force_n(EXAMPLE, speed, gear, power_factor=factor)
        == pytest.approx(full * factor)
    )
