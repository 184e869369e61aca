"""Ball load of a dolly or trailer: moments by hand, the inverse, and what the axle must carry."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from towlib.physics.weights.ways_loads import carried_ball_load_kg, moved_for_share_m, place_for_ball_load_m


def test_by_hand():
    # 1,000 kg half a metre ahead of the axle, ball 5 m ahead: a tenth of it, on top of 40 kg
    assert carried_ball_load_kg(40, 1000, ahead_of_axle_m=0.5, axle_to_ball_m=5.0) == pytest.approx(140)
    assert carried_ball_load_kg(40, 1000, ahead_of_axle_m=-0.5, axle_to_ball_m=5.0) == pytest.approx(
        -60
    )  # the tongue lifts
    assert place_for_ball_load_m(140, 1000, empty_ball_load_kg=40, axle_to_ball_m=5.0) == pytest.approx(0.5)
    # 12 % of 2,000 kg is 240 kg; 200 of it come from 1,200 kg on a 4.5 m arm
    assert moved_for_share_m(
        0.12, 1200, carrier_kg=800, empty_ball_load_kg=40, axle_to_ball_m=4.5
    ) == pytest.approx(200 * 4.5 / 1200)


@given(
    empty=st.floats(0, 90),
    mass=st.floats(500, 2500),
    ahead=st.floats(-1, 1.5),
    arm=st.floats(1.5, 6),
    carrier=st.floats(300, 1300),
)
def test_moments_about_the_ball_give_the_same_axle_load(empty, mass, ahead, arm, carrier):
    ball = carried_ball_load_kg(empty, mass, ahead_of_axle_m=ahead, axle_to_ball_m=arm)
    # independent: the carrier's own centre sits where it gives the empty ball load; now moments about the
    # ball
    own = empty * arm / carrier
    axle = (carrier * (arm - own) + mass * (arm - ahead)) / arm
    assert ball + axle == pytest.approx(carrier + mass)
    assert place_for_ball_load_m(ball, mass, empty_ball_load_kg=empty, axle_to_ball_m=arm) == pytest.approx(
        ahead, abs=1e-9
    )


@given(share=st.floats(0.02, 0.3), mass=st.floats(500, 2500), carrier=st.floats(300, 1300))
def test_the_share_comes_out_again(share, mass, carrier):
    place = moved_for_share_m(share, mass, carrier_kg=carrier, empty_ball_load_kg=50, axle_to_ball_m=4.5)
    assert carried_ball_load_kg(50, mass, ahead_of_axle_m=place, axle_to_ball_m=4.5) == pytest.approx(
        share * (mass + carrier)
    )


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: carried_ball_load_kg(40, 1000, ahead_of_axle_m=0.5, axle_to_ball_m=0),
        lambda: place_for_ball_load_m(40, 0, empty_ball_load_kg=0, axle_to_ball_m=4),
        lambda: place_for_ball_load_m(40, 100, empty_ball_load_kg=0, axle_to_ball_m=-4),
        lambda: moved_for_share_m(1.0, 1000, carrier_kg=1, empty_ball_load_kg=0, axle_to_ball_m=4),
    ],
)
def test_what_cannot_be(wrong):
    with pytest.raises(ValueError):
        wrong()
