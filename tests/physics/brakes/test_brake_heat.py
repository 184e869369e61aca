"""Brake heat against OpenStax, closed forms, SciPy and textbook correlations."""

import ht
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from towlib.physics.brakes import brake_heat as brakes


def test_truck_brakes_college_physics():
    # OpenStax College Physics, module m42224: 10,000 kg, 75.0 m, 10 % kept by 100 kg of 800 J/(kg·°C) -> 9.2
    # °C
    rise = brakes.height_temperature_rise_k(
        10_000, 75.0, brake_mass_kg=100, specific_heat_j_kg_k=800, retained_share=0.1, gravity_m_s2=9.80
    )
    assert round(rise, 1) == 9.2


def test_all_the_height_goes_into_the_brakes_unless_a_share_is_given():
    # by hand: 2,000 kg × 9.80665 m/s² × 100 m over 40 kg × 500 J/(kg K) = 98.07 K
    assert brakes.height_temperature_rise_k(
        2000, 100, brake_mass_kg=40, specific_heat_j_kg_k=500
    ) == pytest.approx(98.0665)


def test_specific_heat_of_iron_as_printed():
    assert (
        brakes.IRON_SPECIFIC_HEAT_J_KG_K == 452.0
    )  # OpenStax College Physics, module m42224: iron, steel 452 J/(kg K)


def test_truck_brakes_university_physics():
    # OpenStax University Physics, module m58387: the same with 10 kg of brakes -> 92 °C
    rise = brakes.height_temperature_rise_k(
        10_000, 75.0, brake_mass_kg=10, specific_heat_j_kg_k=800, retained_share=0.1, gravity_m_s2=9.80
    )
    assert round(rise) == 92


@pytest.mark.parametrize(
    ("time_s", "conductance", "expected_c"),
    [
        # computed independently (closed form and SciPy solve_ivp): m 40 kg, c 460, hA 60 W/K, T_a 20, T0 60
        # °C, P 25 kW
        (60, 0, 141.522),
        (60, 60, 126.934),
        (1200, 0, 1690.43),
        (1200, 60, 429.141),
    ],
)
def test_lumped_drag_brake(time_s, conductance, expected_c):
    ours = brakes.lumped_temperature_c(
        60, power_w=25e3, conductance_w_k=conductance, heat_capacity_j_k=40 * 460, air_c=20, time_s=time_s
    )
    assert ours == pytest.approx(expected_c, abs=0.005)


@given(
    start=st.floats(-20, 600),
    power=st.floats(0, 6e4),
    conductance=st.floats(1, 120),
    mass=st.floats(2, 60),
    time_s=st.floats(1, 900),
)
def test_lumped_temperature_is_the_solution_of_its_equation(start, power, conductance, mass, time_s):
    # SciPy integrates m·c·dT/dt = P - hA·(T - T_air) by itself
    capacity = mass * 460
    ours = brakes.lumped_temperature_c(
        start, power_w=power, conductance_w_k=conductance, heat_capacity_j_k=capacity, air_c=25, time_s=time_s
    )
    oracle = solve_ivp(
        lambda t, y: (power - conductance * (y - 25)) / capacity,
        (0, time_s),
        [start],
        method="LSODA",
        rtol=1e-9,
        atol=1e-7,
    )
    assert ours == pytest.approx(oracle.y[0, -1], rel=1e-5, abs=1e-3)


@pytest.mark.parametrize(
    ("mass_kg", "speed", "brake_kg", "c", "expected_k", "tolerance"),
    [
        # computed independently: 60 mph, truck 2,400 kg + 1,500 kg without brakes, 40 kg of 460 J/(kg·K); and
        # the truck alone
        (3900, 60 * 0.44704, 40, 460, 76.245, 0.0005),
        (2400, 60 * 0.44704, 40, 460, 46.920, 0.0005),
        # read at senseofstudy.com (problem P02) and solve.club, recomputed
        (1200, 30, 4, 500, 270, 0.5),
        (750, 24, 15, 450, 32, 0.5),
    ],
)
def test_single_stop(mass_kg, speed, brake_kg, c, expected_k, tolerance):
    assert brakes.stop_temperature_rise_k(
        mass_kg, speed, brake_mass_kg=brake_kg, specific_heat_j_kg_k=c
    ) == pytest.approx(expected_k, abs=tolerance)


def test_unbraked_towed_vehicle_costs_its_share():
    # computed independently: the unbraked towed vehicle adds 62.5 %
    alone = brakes.stop_temperature_rise_k(2400, 26.8224, brake_mass_kg=40)
    assert brakes.stop_temperature_rise_k(3900, 26.8224, brake_mass_kg=40) / alone == pytest.approx(
        1.625, abs=1e-9
    )


def test_radiation_against_heat_transfer_package():
    # computed with ht.radiation.q_rad: emissivity 0.8, 573.15 K to 293.15 K -> 4,560.23 W/m² (cut, not
    # rounded, to two digits)
    assert brakes.radiation_w_m2_k(300, 20) * 280 == pytest.approx(4560.23, abs=0.01)


def test_air_cooling_is_the_turbulent_plate():
    # by hand from the textbook correlation: Re = 1.2 × 20 × 0.3 / 1.85e-5 = 389,189; Re^0.8 = 29,667;
    # Nu = 0.037 × 29,667 × 0.8921 = 979.3; h = 979.3 × 0.026 / 0.3 = 84.9, plus 5 in still air
    assert brakes.air_cooling_w_m2_k(20.0) == pytest.approx(89.9, abs=0.1)
    assert brakes.air_cooling_w_m2_k(0.0) == 5.0


@given(speed=st.floats(0, 40), faster=st.floats(0, 10), brake_c=st.floats(0, 700), hotter=st.floats(0, 200))
def test_faster_and_hotter_cool_more(speed, faster, brake_c, hotter):
    axle = brakes.AxleBrakes(18, 0.45)
    base = brakes.cooling_conductance_w_k(axle, speed, brake_c=brake_c, air_c=20)
    assert (
        brakes.cooling_conductance_w_k(axle, speed + faster, brake_c=brake_c + hotter, air_c=20) >= base > 0
    )


def test_impossible_brakes_are_refused():
    for call in (
        lambda: brakes.stop_temperature_rise_k(1, 1, brake_mass_kg=0),
        lambda: brakes.height_temperature_rise_k(1, 1, brake_mass_kg=1, specific_heat_j_kg_k=0),
        lambda: brakes.lumped_temperature_c(
            1, power_w=1, conductance_w_k=1, heat_capacity_j_k=0, air_c=1, time_s=1
        ),
    ):
        with pytest.raises(ValueError, match="above zero"):
            call()


@pytest.mark.parametrize(
    ("speed", "kreith", "schlichting"),
    [
        # package ht 1.2.0: Nu_horizontal_plate_turbulent_Kreith and _Schlichting at Pr 0.71 and Re = 1.2 v
        # 0.3/1.85e-5
        (5.0, 314.197, 305.281),
        (20.0, 952.468, 903.469),
        (40.0, 1658.344, 1556.392),
    ],
)
def test_air_cooling_lies_by_other_correlations_of_the_heat_transfer_package(speed, kreith, schlichting):
    ours = (brakes.air_cooling_w_m2_k(speed) - 5.0) * 0.3 / 0.026
    assert ours == pytest.approx(kreith, rel=0.03) and ours == pytest.approx(schlichting, rel=0.10)


@pytest.mark.parametrize(
    ("hot", "cool", "flux"), [(300, 20, 4560.232), (150, 0, 1201.856), (600, 30, 25983.632)]
)
def test_radiation_over_the_range_against_the_heat_transfer_package(hot, cool, flux):
    # package ht 1.2.0, q_rad(0.8, hot, cool)
    assert brakes.radiation_w_m2_k(hot, cool) * (hot - cool) == pytest.approx(flux, rel=1e-5)


def test_the_same_against_the_package_itself():
    for hot in (100, 350, 700):
        assert brakes.radiation_w_m2_k(hot, 25) * (hot - 25) == pytest.approx(
            ht.q_rad(0.8, hot + 273.15, 298.15), rel=1e-5
        )
    for speed in (5, 15, 30):
        plate = ht.conv_external.Nu_horizontal_plate_turbulent_Kreith(Re=1.2 * speed * 0.3 / 1.85e-5, Pr=0.71)
        assert (brakes.air_cooling_w_m2_k(speed) - 5.0) * 0.3 / 0.026 == pytest.approx(plate, rel=0.03)
    # a cylinder across the wind, Churchill and Bernstein, gives 0.58 to 0.65 of the plate: our exposure of
    # 0.6 is of that size
    cylinder = ht.Nu_cylinder_Churchill_Bernstein(Re=389189.0, Pr=0.71)
    assert 0.5 < cylinder / ((brakes.air_cooling_w_m2_k(20.0) - 5.0) * 0.3 / 0.026) < 0.7


def test_many_steps_are_the_single_steps_one_after_the_other():
    axle = brakes.AxleBrakes(18.0, 0.45)
    power, air = [9e3, 0.0, 40e3, 2e3], [30.0, 29.0, 27.0, 31.0]
    speed, seconds = [20.0, 12.0, 30.0, 0.0], [40.0, 3.0, 25.0, 600.0]
    along = brakes.temperatures_along_c(
        axle,
        35.0,
        power_w=power,
        passing_w_m2_k=[brakes.air_cooling_w_m2_k(v, air_density_kg_m3=1.1) for v in speed],
        air_c=air,
        time_s=seconds,
    )
    now_c = 35.0
    for i in range(4):
        conductance = brakes.cooling_conductance_w_k(
            axle, speed[i], brake_c=now_c, air_c=air[i], air_density_kg_m3=1.1
        )
        now_c = brakes.lumped_temperature_c(
            now_c,
            power_w=power[i],
            conductance_w_k=conductance,
            heat_capacity_j_k=18.0 * 452.0,
            air_c=air[i],
            time_s=seconds[i],
        )
        assert along[i] == now_c
    with pytest.raises(ValueError, match="above zero"):
        brakes.temperatures_along_c(
            brakes.AxleBrakes(0.0, 0.45),
            35.0,
            power_w=[1.0],
            passing_w_m2_k=[5.0],
            air_c=[20.0],
            time_s=[1.0],
        )
