"""Prop height for coupling alone: by hand, and the ball really passes."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from towlib.physics.hitch.coupling_alone import prop_height


def test_by_hand():
    # ball centre 500 mm, 2 in ball (half 25.4), 20 mm of air: coupler's edge at 545.4 mm; pins as high: the
    # bar lies level,
    # so the underside of a 65 mm bar is 32.5 mm lower everywhere
    prop = prop_height(
        0.500, 0.5454, ball_diameter_m=0.0508, bar_length_m=1.5, bar_depth_m=0.065, prop_behind_coupler_m=0.7
    )
    assert prop.coupler_edge_height_m == pytest.approx(0.5454) and prop.prop_height_m == pytest.approx(0.5129)
    assert prop.bar_slope_rad == pytest.approx(0.0) and prop.lift_down_m == pytest.approx(0.0454)


@given(
    st.floats(0.3, 0.9),
    st.floats(0.3, 0.9),
    st.floats(0.04, 0.08),
    st.floats(1.2, 3.0),
    st.floats(0.0, 0.9),
    st.floats(0.0, 0.05),
)
def test_the_ball_passes_and_the_prop_touches_the_bar(ball, pins, diameter, length, share, gap):
    prop = prop_height(
        ball,
        pins,
        ball_diameter_m=diameter,
        bar_length_m=length,
        bar_depth_m=0.06,
        prop_behind_coupler_m=share * length,
        gap_m=gap,
    )
    assert prop.coupler_edge_height_m >= ball + diameter / 2 + gap - 1e-12
    # independent: turn the bar about its pins by the slope and take the point at the prop on its lower edge
    angle = math.asin((pins - prop.coupler_edge_height_m) / length)
    back = length - share * length  # from the pins along the bar
    line = pins - back * math.sin(angle)
    assert prop.prop_height_m == pytest.approx(line - 0.03 / math.cos(angle), abs=1e-12)


def test_impossible_props_are_one_sentence():
    for changes in (
        {"prop_behind_coupler_m": 1.6},
        {"gap_m": -0.01},
        {"bar_length_m": 0.02, "prop_behind_coupler_m": 0.0},
    ):
        given_values = {
            "ball_diameter_m": 0.05,
            "bar_length_m": 1.5,
            "bar_depth_m": 0.06,
            "prop_behind_coupler_m": 0.3,
            **changes,
        }
        with pytest.raises(ValueError, match="^[a-z][^\n]+$"):
            prop_height(0.5, 0.6, **given_values)
