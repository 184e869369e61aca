"""Costs: published depreciation and break-even, a search trip by trip, samples of the ranges, and energy by
another road.
"""

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq

from towlib.handbook.tables import check_close
from towlib.physics.basics.road_load import air_force_n, drawbar_pull_n
from towlib.physics.costs.owning_costs import (
    Cost,
    CostRange,
    break_even,
    cost_of_trips,
    lowest,
    owning_cost,
    switch_range,
)
from towlib.physics.costs.trip_costs import fuel_m3, towing_energy_j, wear_cost

cents = st.integers(0, 30_000).map(lambda n: n / 100)
money, each = st.integers(0, 5000).map(float), cents


def test_published(capsys):
    check_close(owning_cost(14000, resale=4000, upkeep_per_year=0, years=5) / 5, "straight_line_5")
    check_close(owning_cost(30000, resale=7500, upkeep_per_year=0, years=10) / 10, "straight_line_10")
    check_close(break_even(Cost(0, 20.25), Cost(33561, 12)).trips, "break_even_units")


def test_owning_by_hand():
    assert owning_cost(4000, resale=1600, upkeep_per_year=240, years=8) == 4000 - 1600 + 8 * 240
    assert owning_cost(0, resale=0, upkeep_per_year=0, years=0.5) == 0


@given(st.builds(Cost, money, each), st.builds(Cost, money, each))
def test_break_even_against_a_root_search(first, second):
    found = break_even(first, second)

    def gap(trips):
        return (second.fixed + second.per_trip * trips) - (first.fixed + first.per_trip * trips)

    far = 1e9
    if found.trips is None:
        assert found.lower_before == found.lower_after or first.fixed == second.fixed
        assert gap(0.0) * gap(far) >= 0
    else:
        assume(1e-6 < found.trips < 1e7)
        assert brentq(gap, 0.0, far, xtol=1e-9, rtol=1e-13, maxiter=300) == pytest.approx(
            found.trips, rel=1e-6
        )
        assert cost_of_trips(first, found.trips) == pytest.approx(cost_of_trips(second, found.trips))
        assert (
            lowest([first, second], found.trips * 0.99) == found.lower_before
            and lowest([first, second], found.trips * 1.01) == found.lower_after
        )


def test_break_even_trip_by_trip():
    bar, trailer = Cost(900, 55), Cost(4300, 38.5)
    counted = next(n for n in range(10_000) if cost_of_trips(trailer, n) < cost_of_trips(bar, n))
    assert counted == math.floor(break_even(bar, trailer).trips) + 1 == 207
    assert break_even(trailer, bar) == (break_even(bar, trailer).trips, 1, 0)
    assert break_even(bar, Cost(1000, 56)).trips is None and break_even(bar, Cost(1000, 56)).lower_after == 0
    assert break_even(bar, bar) == (None, 0, 0) and break_even(bar, Cost(900, 50)) == (None, 1, 1)


def _range(fixed, per_trip, unsure):
    return CostRange(
        Cost(fixed * (1 - unsure), per_trip * (1 - unsure)),
        Cost(fixed * (1 + unsure), per_trip * (1 + unsure)),
    )


def test_ranges_hold_every_sample():
    first, second = _range(900, 90, 0.1), _range(3500, 50, 0.1)
    switch = switch_range(first, second)
    random = np.random.default_rng(7)
    draw = [
        random.uniform(low, high, 20_000)
        for low, high in zip(first.low + second.low, first.high + second.high, strict=True)
    ]
    crossing = (draw[2] - draw[0]) / (draw[1] - draw[3])
    assert switch.may_be_from <= crossing.min() and crossing.max() <= switch.surely_from
    # and the ends are corners, not just bounds: brute force over all sixteen corners
    corners = [
        (f2 - f1) / (v1 - v2)
        for f1 in (810, 990)
        for v1 in (81, 99)
        for f2 in (3150, 3850)
        for v2 in (45, 55)
    ]
    assert (min(corners), max(corners)) == pytest.approx(tuple(switch))


@given(st.tuples(money, each), st.tuples(money, each), st.floats(0, 0.5), st.integers(0, 200))
def test_may_be_and_surely_mean_what_they_say(a, b, unsure, trips):
    first, second = _range(*a, unsure), _range(*b, unsure)
    switch, slack = switch_range(first, second), 1e-6
    may_be = cost_of_trips(second.low, trips) <= cost_of_trips(first.high, trips)
    if switch.may_be_from is None or trips < switch.may_be_from - slack:
        assert not may_be or cost_of_trips(second.low, trips) >= cost_of_trips(first.high, trips) - slack
    if switch.surely_from is not None and trips > switch.surely_from + slack:
        assert cost_of_trips(second.high, trips) <= cost_of_trips(first.low, trips) + slack
    if switch.surely_from is None:  # far out it is dearer, or level with a dearer start
        dear, cheap = second.high, first.low
        assert (dear.per_trip, dear.fixed) > (
            cheap.per_trip,
            cheap.fixed,
        )  # the limit of many trips; no count of trips is far enough for rates an ulp apart
    if unsure == 0 and switch.surely_from is not None:
        assert switch.may_be_from <= switch.surely_from + slack


def test_energy_is_the_pull_times_the_way():
    # independent: the drawbar pull of road_load integrated up 40 km of 5 % and, all braked away, down again
    up, whole = 40e3, 80e3
    climb = up * 0.05 / math.sqrt(1 + 0.05**2)
    pull, _ = quad(lambda s: drawbar_pull_n(1500, 0.05, rolling_coefficient=0.015), 0, up)
    roll, _ = quad(lambda s: drawbar_pull_n(1500, 0.0, rolling_coefficient=0.015), 0, whole - up)
    air = air_force_n(25.0, drag_area_m2=0.6, air_density_kg_m3=1.1) * whole
    ours = towing_energy_j(
        1500,
        distance_m=whole,
        climbed_m=climb,
        rolling_coefficient=0.015,
        drag_area_m2=0.6,
        speed_m_s=25.0,
        air_density_kg_m3=1.1,
    )
    assert ours == pytest.approx(
        pull + roll + air, rel=3e-4
    )  # the road load takes the cosine of the slope too
    # fuel by hand: 34 MJ at the wheels, 34 %, 32 MJ in a litre: 3.125 L
    assert fuel_m3(34e6, efficiency=0.34, fuel_energy_j_m3=32e9) == pytest.approx(3.125e-3)
    assert wear_cost(800, 40e6, distance_m=500e3) == pytest.approx(10.0)


@given(st.floats(100, 3000), st.floats(1e3, 1e6), st.floats(0, 5000))
def test_more_of_anything_never_costs_less(mass, distance, climb):
    def fuel(**change):
        values = {
            "towed_kg": mass,
            "distance_m": distance,
            "climbed_m": climb,
            "rolling_coefficient": 0.012,
            "drag_area_m2": 0.6,
            "speed_m_s": 22.0,
            "air_density_kg_m3": 1.1,
        } | change
        return towing_energy_j(values.pop("towed_kg"), **values)

    for name, more in (
        ("towed_kg", mass + 1),
        ("distance_m", distance + 1),
        ("climbed_m", climb + 1),
        ("rolling_coefficient", 0.013),
        ("speed_m_s", 23.0),
    ):
        assert fuel(**{name: more}) > fuel()


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: owning_cost(100, resale=101, upkeep_per_year=0, years=1),
        lambda: owning_cost(-1, resale=-1, upkeep_per_year=0, years=1),
        lambda: owning_cost(1, resale=0, upkeep_per_year=0, years=0),
        lambda: fuel_m3(1, efficiency=1.1, fuel_energy_j_m3=1),
        lambda: wear_cost(1, 0, distance_m=1),
        lambda: fuel_m3(-1, efficiency=0.3, fuel_energy_j_m3=1),
        lambda: cost_of_trips(Cost(1, 1), -1),
        lambda: lowest([], 1),
        lambda: switch_range(CostRange(Cost(2, 1), Cost(1, 1)), CostRange(Cost(1, 1), Cost(1, 1))),
        lambda: towing_energy_j(
            -1,
            distance_m=1,
            climbed_m=0,
            rolling_coefficient=0.01,
            drag_area_m2=0.6,
            speed_m_s=20,
            air_density_kg_m3=1,
        ),
    ],
)
def test_what_cannot_be(wrong):
    with pytest.raises(ValueError):
        wrong()
