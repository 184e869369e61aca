"""Coolant and fuel: heat balances by hand."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from towlib.physics.drive.cooling import (
    CoolingSystem,
    fuel_power_w,
    radiator_conductance_w_k,
    steady_coolant_c,
)

SYSTEM = CoolingSystem(1500.0, 90.0, 60e3)


def test_coolant_by_hand():
    # by hand: 105 kW over 1,500 W/K is 70 K above 35 °C air
    assert steady_coolant_c(SYSTEM, 105e3, conductance_w_k=1500, air_c=35) == pytest.approx(105.0)
    assert steady_coolant_c(SYSTEM, 10e3, conductance_w_k=1500, air_c=35) == 90.0  # the thermostat holds


def test_radiator_at_its_reference_and_standing():
    assert radiator_conductance_w_k(SYSTEM, 25.0, air_density_kg_m3=1.225) == pytest.approx(1500)
    assert radiator_conductance_w_k(SYSTEM, 0.0, air_density_kg_m3=1.225) == pytest.approx(
        600
    )  # 40 % by the fan alone
    # by hand: (12.5/25)^0.6 = 0.65975; 1,500 × (0.4 + 0.6 × 0.65975) = 1,193.8
    assert radiator_conductance_w_k(SYSTEM, 12.5, air_density_kg_m3=1.225) == pytest.approx(1193.8, abs=0.1)


def test_thin_air_and_the_fuels_energy_by_hand():
    # by hand: (0.9/1.225)^0.6 = exp(0.6 × ln 0.73469) = exp(-0.18498) = 0.83112
    assert radiator_conductance_w_k(SYSTEM, 25.0, air_density_kg_m3=0.9) == pytest.approx(
        1500 * 0.83112, abs=0.05
    )
    # first law: what goes to the pistons and what goes to the coolant are parts of the same fuel
    assert 0 < SYSTEM.indicated_efficiency + SYSTEM.coolant_heat_share < 1 and min(SYSTEM[3:]) > 0


@given(speed=st.floats(0, 40), faster=st.floats(0.1, 10), density=st.floats(0.7, 1.2))
def test_faster_cools_more_and_thin_air_less(speed, faster, density):
    base = radiator_conductance_w_k(SYSTEM, speed, air_density_kg_m3=density)
    assert radiator_conductance_w_k(SYSTEM, speed + faster, air_density_kg_m3=density) > base
    assert radiator_conductance_w_k(SYSTEM, speed, air_density_kg_m3=density * 0.9) < base


def test_fuel_by_hand():
    # by hand: (80 + 20) kW / 0.4 = 250 kW; at 32 MJ/L that is 28.1 L/h
    burnt_w = fuel_power_w(80e3, 20e3, indicated_efficiency=0.4)
    assert burnt_w == pytest.approx(250e3)
    assert burnt_w * 3600 / 32e6 == pytest.approx(28.1, abs=0.05)


def test_impossible_values_are_refused():
    for call in (
        lambda: fuel_power_w(1, 1, indicated_efficiency=0),
        lambda: steady_coolant_c(SYSTEM, 1, conductance_w_k=0, air_c=20),
    ):
        with pytest.raises(ValueError, match="above zero"):
            call()
