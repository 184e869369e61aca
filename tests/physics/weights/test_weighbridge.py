"""Three weighings: sums, rounding carried through, and saying so when the scale is too coarse."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from towlib.physics.weights.axle_loads import axle_loads
from towlib.physics.weights.weighbridge import (
    agreement_kg,
    ball_load,
    ball_load_from_rear,
    rounding_kg,
    three_weighings,
    told_from_zero,
)

axles = st.floats(400.0, 2500.0)


def _scale(value: float, division: float) -> float:
    return round(value / division) * division


@given(axles, axles, axles, axles, st.floats(-150.0, 150.0), st.sampled_from([1.0, 5.0, 10.0, 20.0, 50.0]))
def test_the_true_ball_load_is_always_inside_the_worst_case(
    front, rear, towed_front, towed_rear, ball, division
):
    wheelbase, overhang = 3.6, 1.3
    hitched = axle_loads(front, rear, wheelbase_m=wheelbase, items=[(ball, wheelbase + overhang)])
    towed = axle_loads(towed_front, towed_rear, wheelbase_m=2.4, items=[(-ball, -1.4)])
    found = three_weighings(
        tuple(_scale(x, division) for x in (front, rear)),
        tuple(_scale(x, division) for x in (*hitched, *towed)),
        towed_alone_kg=tuple(_scale(x, division) for x in (towed_front, towed_rear)),
        division_kg=division,
    )
    assert abs(found.ball_load.mass_kg - ball) <= found.ball_load.at_most_off_kg + 1e-6
    assert found.sums.within_rounding  # nothing was moved, so rounding alone must explain the difference
    if found.ball_load_told_from_zero:
        assert found.ball_load.mass_kg * ball > 0  # never the wrong sign once it says so
    from_rear = ball_load_from_rear(
        _scale(rear, division),
        _scale(hitched.rear_kg, division),
        wheelbase_m=wheelbase,
        overhang_m=overhang,
        division_kg=division,
    )
    assert abs(from_rear.mass_kg - ball) <= from_rear.at_most_off_kg + 1e-6
    assert (
        from_rear.at_most_off_kg
        <= ball_load(1, 1, hitched_front_kg=1, hitched_rear_kg=1, division_kg=division).at_most_off_kg
    )


def test_rounding_by_hand():
    # half a division a reading in the worst case; a rounded reading has standard deviation d/sqrt(12): GUM
    # (JCGM 100)
    # 4.3.7
    worst, likely = rounding_kg(4, division_kg=20.0)
    assert worst == 40.0
    assert likely == pytest.approx(20.0 / math.sqrt(12) * 2.0)


def test_root_sum_square_against_a_thousand_draws():
    import numpy as np

    draw = np.random.default_rng(4)
    true = draw.uniform(500, 1500, size=(20_000, 4))
    read = np.round(true / 20.0) * 20.0
    error = (read - true) @ np.array([1, 1, -1, -1])
    assert error.std() == pytest.approx(rounding_kg(4, division_kg=20.0)[1], rel=0.03)
    assert abs(error).max() <= rounding_kg(4, division_kg=20.0)[0]


def test_a_coarse_scale_cannot_tell_a_level_bar_from_none():
    # a 26 kg bar puts about 13 kg on the ball: 20 kg divisions cannot show it, 5 kg divisions can
    coarse = three_weighings((1400, 1200), (1400, 1220, 740, 740), towed_alone_kg=(740, 740), division_kg=20)
    assert not coarse.ball_load_told_from_zero
    fine = three_weighings((1400, 1200), (1395, 1220, 725, 740), towed_alone_kg=(740, 740), division_kg=5)
    assert fine.ball_load_told_from_zero and fine.ball_load.mass_kg == 15
    assert fine.tow_front_change.mass_kg == -5 and fine.tow_rear_change.mass_kg == 20
    assert fine.towed_total.mass_kg == 1480 and fine.combined_total.mass_kg == 4080


def test_moved_cargo_is_noticed():
    assert agreement_kg(
        4040, 4120, readings=8, division_kg=20
    ).within_rounding  # 80 kg is just the worst case
    assert not agreement_kg(4040, 4140, readings=8, division_kg=20).within_rounding
    moved = three_weighings((1400, 1200), (1450, 1310, 740, 740), towed_alone_kg=(740, 740), division_kg=10)
    assert not moved.sums.within_rounding


def test_an_exact_scale():
    found = ball_load(1400, 1200, hitched_front_kg=1396.0, hitched_rear_kg=1217.0, division_kg=0.0)
    assert found == (13.0, 0.0, 0.0) and told_from_zero(found)


@pytest.mark.parametrize(
    "call",
    [
        lambda: rounding_kg(2, division_kg=-1.0),
        lambda: ball_load_from_rear(1, 1, wheelbase_m=0.0, overhang_m=1.0, division_kg=5.0),
        lambda: three_weighings((-1, 2), (1, 2, 3, 4), towed_alone_kg=(3, 4), division_kg=5),
    ],
)
def test_impossible_input_is_refused(call):
    with pytest.raises(ValueError):
        call()


def test_all_eight_readings_of_the_three_weighings_may_be_off():
    # by hand: 2,600 + 1,470 kg apart; eight readings each off by 2.5 kg make 20 kg and no more
    sums = [
        three_weighings((1400, 1200), (1395, 1220, 735, rear), towed_alone_kg=(735, 735), division_kg=5).sums
        for rear in (740, 745)
    ]
    assert [found.within_rounding for found in sums] == [True, False]
    assert (
        three_weighings(
            (1400, 1200), (1395, 1220, 720, 0), towed_alone_kg=(735, 735), division_kg=5
        ).combined_total.mass_kg
        == 3335
    )


def test_two_readings_a_difference_and_a_kilogram_too_much():
    found = three_weighings((1400, 1200), (1395, 1220, 720, 735), towed_alone_kg=(735, 735), division_kg=5)
    assert (
        found.tow_front_change.at_most_off_kg == found.towed_total.at_most_off_kg == 5.0
        and found.combined_total.at_most_off_kg == 10.0
    )
    assert not agreement_kg(4040, 4120.5, readings=8, division_kg=20).within_rounding
