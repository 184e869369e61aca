"""Axle loads by moments: balances, a textbook case and limits worked by hand."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from towlib.physics.weights.axle_loads import (
    addable_mass,
    axle_loads,
    axle_loads_on_grade,
    centre_behind_front_axle_m,
    gross_weights_kg,
    level_bar_ball_load_kg,
    tyre_capacity_kg,
)

masses = st.floats(0.0, 900.0)
places = st.floats(-1.5, 7.0)
items = st.lists(st.tuples(masses, places), max_size=6)
RATINGS = dict(
    front_kg=1400, rear_kg=1300, front_gawr_kg=1600, rear_gawr_kg=1800, gvwr_kg=3100, payload_left_kg=390
)


@given(items, st.floats(1.8, 4.5))
def test_weight_and_moment_are_kept(things, wheelbase_m):
    loads = axle_loads(1200.0, 900.0, wheelbase_m=wheelbase_m, items=things)
    assert loads.front_kg + loads.rear_kg == pytest.approx(2100.0 + sum(m for m, _ in things), rel=1e-9)
    assert loads.rear_kg * wheelbase_m == pytest.approx(
        900.0 * wheelbase_m + sum(m * x for m, x in things), rel=1e-9, abs=1e-6
    )


def test_cases_by_hand():
    # 100 kg over the rear axle, at mid wheelbase, and one wheelbase behind the rear axle
    assert axle_loads(500, 500, wheelbase_m=3.0, items=[(100, 3.0)]) == (500, 600)
    assert axle_loads(500, 500, wheelbase_m=3.0, items=[(100, 1.5)]) == (550, 550)
    assert axle_loads(500, 500, wheelbase_m=3.0, items=[(100, 6.0)]) == (400, 700)


def test_centre_of_mass_of_a_car():
    # OpenStax University Physics, Example 12.1: wheelbase 2.5 m, 52 % of the weight on the front wheels ->
    # 1.3 m ahead
    # of the rear axle
    assert 2.5 - centre_behind_front_axle_m(52, 48, wheelbase_m=2.5) == pytest.approx(1.3)


@given(st.floats(0.05, 3.0), st.floats(0.0, 1.0))
def test_a_level_bar_splits_its_weight(length_m, share):
    ball = level_bar_ball_load_kg(30.0, centre_ahead_of_brackets_m=share * length_m, bar_length_m=length_m)
    assert ball == pytest.approx(30.0 * share, abs=1e-9)


def test_gross_weights_count_the_bar_once():
    # by hand: 2,350 + 150 + 13 on the tow vehicle; both vehicles and the whole bar together 2,350 + 150 +
    # 1,500
    assert gross_weights_kg(2350, [(150, 1.75)], towed_kg=1500, ball_load_kg=13) == (2513, 163, 4000)


@given(
    grade=st.floats(-0.3, 0.3),
    acceleration=st.floats(-8.0, 4.0),
    pull=st.floats(-9e3, 9e3),
    vertical=st.floats(-3e3, 3e3),
    overhang=st.floats(0.0, 2.0),
    height=st.floats(0.3, 1.2),
    hitch=st.floats(0.2, 0.9),
)
def test_forces_and_moments_balance(grade, acceleration, pull, vertical, overhang, height, hitch):
    front_kg, rear_kg, wheelbase = 1400.0, 1200.0, 3.6
    found = axle_loads_on_grade(
        front_kg,
        rear_kg,
        wheelbase_m=wheelbase,
        cg_height_m=height,
        grade=grade,
        acceleration_m_s2=acceleration,
        hitch_height_m=hitch,
        hitch_pull_n=pull,
        hitch_vertical_n=vertical,
        overhang_m=overhang,
    )
    mass, g = front_kg + rear_kg, 9.80665
    cosine = 1 / (1 + grade**2) ** 0.5
    assert found.front_n + found.rear_n == pytest.approx(mass * g * cosine + vertical, abs=1e-6)
    # moments about the centre of gravity: normal forces, the hitch's two forces, and the tyres' force along
    # the road
    centre = wheelbase * rear_kg / mass
    along = mass * acceleration + mass * g * grade * cosine + pull  # what the tyres push with
    moment = (
        found.front_n * centre
        - found.rear_n * (wheelbase - centre)
        + along * height
        + pull * (hitch - height)
        + vertical * (wheelbase + overhang - centre)
    )
    assert moment == pytest.approx(0.0, abs=1e-5)


def test_load_moves_the_way_it_is_felt():
    def loads(**change):
        flat = dict(
            wheelbase_m=3.6,
            cg_height_m=0.7,
            grade=0.0,
            acceleration_m_s2=0.0,
            hitch_height_m=0.5,
            hitch_pull_n=0.0,
            hitch_vertical_n=0.0,
            overhang_m=1.3,
        )
        return axle_loads_on_grade(1400, 1200, **(flat | change))

    level = loads()
    assert level == pytest.approx((1400 * 9.80665, 1200 * 9.80665))
    assert loads(grade=0.1).rear_n > level.rear_n  # climbing
    assert loads(acceleration_m_s2=-5.0).front_n > level.front_n  # braking
    assert loads(hitch_pull_n=3000.0).front_n < level.front_n  # pulling
    assert loads(hitch_pull_n=-3000.0).front_n > level.front_n  # being pushed at ball height
    down = loads(hitch_vertical_n=1000.0)
    assert (down.front_n - level.front_n, down.rear_n - level.rear_n) == pytest.approx(
        (-1000 * 1.3 / 3.6, 1000 * 4.9 / 3.6)
    )


def test_what_can_be_added_and_what_stops_it():
    def room(position_m, **change):
        return addable_mass(position_m, wheelbase_m=4.0, **(RATINGS | change))

    # by hand: payload 390, GVWR 400, rear axle 500 / 1, front axle 200 / 1
    assert room(4.0)[:2] == (390, "payload")
    assert room(0.0)[:2] == (200, "front GAWR")
    assert room(6.0)[:2] == (pytest.approx(500 / 1.5), "rear GAWR")  # half a wheelbase behind the rear axle
    assert room(4.0, payload_left_kg=900)[:2] == (400, "GVWR")
    assert room(-1.0)[:2] == (pytest.approx(200 / 1.25), "front GAWR")  # ahead of the front axle


@given(st.floats(-1.0, 7.0))
def test_adding_just_that_much_reaches_no_further_than_a_rating(position_m):
    found = addable_mass(position_m, wheelbase_m=4.0, **RATINGS)
    loads = axle_loads(1400, 1300, wheelbase_m=4.0, items=[(found.mass_kg, position_m)])
    over = (
        loads.front_kg - 1600,
        loads.rear_kg - 1800,
        loads.front_kg + loads.rear_kg - 3100,
        found.mass_kg - 390,
    )
    assert max(over) == pytest.approx(0.0, abs=1e-6)


def test_an_unknown_rating_is_never_room():
    for name in ("front_gawr_kg", "rear_gawr_kg", "gvwr_kg", "payload_left_kg"):
        found = addable_mass(2.0, wheelbase_m=4.0, **(RATINGS | {name: None}))
        assert found.mass_kg is None and len(found.not_known) == 1 and found.at_most_kg is not None
    nothing = addable_mass(
        2.0,
        wheelbase_m=4.0,
        **(RATINGS | dict.fromkeys(("front_gawr_kg", "rear_gawr_kg", "gvwr_kg", "payload_left_kg"))),
    )
    assert nothing.mass_kg is None and nothing.at_most_kg is None and len(nothing.not_known) == 4


def test_over_already_is_over_whatever_else_is_unknown():
    found = addable_mass(6.0, wheelbase_m=4.0, **(RATINGS | {"front_gawr_kg": 1350, "gvwr_kg": None}))
    assert found.mass_kg == -50 and found.rating == "front GAWR" and found.not_known == ("GVWR",)


def test_tyre_capacity_is_cautious():
    assert tyre_capacity_kg(1000, 300e3, full_pressure_pa=300e3) == 1000
    assert (
        tyre_capacity_kg(1000, 450e3, full_pressure_pa=300e3) == 1000
    )  # more pressure than full gives no more load
    # below the 0.8 power law tyre makers commonly use (from memory, so only its side is tested)
    assert tyre_capacity_kg(1000, 210e3, full_pressure_pa=300e3) <= 1000 * 0.7**0.8


@pytest.mark.parametrize(
    "call",
    [
        lambda: axle_loads(1, 1, wheelbase_m=0.0, items=[]),
        lambda: centre_behind_front_axle_m(0, 0, wheelbase_m=3.0),
        lambda: level_bar_ball_load_kg(30, centre_ahead_of_brackets_m=0.5, bar_length_m=0.0),
        lambda: tyre_capacity_kg(1, -1.0, full_pressure_pa=1.0),
        lambda: tyre_capacity_kg(1, 1.0, full_pressure_pa=0.0),
        lambda: addable_mass(1.0, wheelbase_m=-1.0, **RATINGS),
    ],
)
def test_impossible_input_is_refused(call):
    with pytest.raises(ValueError):
        call()
