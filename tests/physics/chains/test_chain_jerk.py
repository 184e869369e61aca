"""The jerk in slack chains: textbook impact factor, two masses integrated, and what must always hold."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from towlib.physics.chains.chain_jerk import chain_stiffness_n_m, jerk_n, parting_speed_m_s


def test_the_textbook_impact_factor():
    # outside: a weight that falls h on a spring is held by 1 + sqrt(1 + 2·h/d) of itself, d its stretch at
    # rest
    # (strength-of-materials textbooks); h = 4·d gives a factor of 4, h = 12·d one of 6, h = 0 the factor 2 of
    # a sudden load
    weight, stretch = 500.0, 0.002
    for heights, factor in ((0.0, 2.0), (4.0, 4.0), (12.0, 6.0)):
        assert jerk_n(weight, heights * stretch, stiffness_n_m=weight / stretch) == pytest.approx(
            factor * weight
        )
    assert jerk_n(0.0, 0.3, stiffness_n_m=1e6) == 0.0


@pytest.mark.parametrize(("front", "rear"), [(2600.0, 1500.0), (5000.0, 800.0), (1800.0, 1800.0)])
@pytest.mark.parametrize(("pull", "slack"), [(1500.0, 0.05), (3000.0, 0.20), (800.0, 0.0)])
def test_two_masses_and_a_one_sided_spring_integrated(front, rear, pull, slack):
    # computed independently: scipy.integrate.solve_ivp; the tow vehicle keeps its force, the towed one its
    # resistance
    stiffness = 1.5e6

    def moves(_, y):
        chain = stiffness * max(0.0, y[0] - y[1] - slack)
        return [y[2], y[3], (pull - chain) / front, (chain - pull) / rear]

    def parting(_, y):
        return y[2] - y[3]

    parting.terminal, parting.direction = True, -1

    def taut(_, y):
        return y[0] - y[1] - slack

    end = 3.0 * math.sqrt(2 * max(slack, 1e-3) * front * rear / (front + rear) / pull) + 0.5
    found = solve_ivp(
        moves, (0, end), [0, 0, 1e-9, 0], events=[parting, taut], rtol=1e-9, atol=1e-12, max_step=2e-4
    )
    at = found.y_events[0][0]
    assert stiffness * (at[0] - at[1] - slack) == pytest.approx(
        jerk_n(pull, slack, stiffness_n_m=stiffness), rel=1e-4
    )
    if slack:
        apart = found.y_events[1][0]
        assert apart[2] - apart[3] == pytest.approx(
            parting_speed_m_s(pull, slack, front_mass_kg=front, rear_mass_kg=rear), rel=1e-5
        )


@given(st.floats(1.0, 2e4), st.floats(0.0, 1.0), st.floats(1e4, 1e7))
def test_energy_is_kept_and_more_of_anything_is_never_less(pull, slack, stiffness):
    peak = jerk_n(pull, slack, stiffness_n_m=stiffness)
    assert pull * (slack + peak / stiffness) == pytest.approx(peak * peak / (2 * stiffness))
    assert peak >= 2 * pull * (1 - 1e-12)
    assert jerk_n(1.1 * pull, slack, stiffness_n_m=stiffness) > peak
    assert jerk_n(pull, slack + 0.01, stiffness_n_m=stiffness) > peak
    assert jerk_n(pull, slack, stiffness_n_m=1.1 * stiffness) >= peak


def test_chain_and_anchors_give_one_after_the_other():
    # by hand: 20 kN, 2 % of 0.5 m is 10 mm, anchors 10 mm more: 2 MN/m, then 1 MN/m, and as springs in series
    assert chain_stiffness_n_m(20e3, length_m=0.5, stretch_share=0.02) == pytest.approx(2e6)
    both = chain_stiffness_n_m(20e3, length_m=0.5, stretch_share=0.02, anchor_give_m=0.010)
    assert both == pytest.approx(1e6) == pytest.approx(1 / (1 / 2e6 + 0.010 / 20e3))


@pytest.mark.parametrize(
    "call",
    [
        lambda: jerk_n(-1.0, 0.1, stiffness_n_m=1e6),
        lambda: jerk_n(1.0, -0.1, stiffness_n_m=1e6),
        lambda: jerk_n(1.0, 0.1, stiffness_n_m=0.0),
        lambda: chain_stiffness_n_m(0.0, length_m=1, stretch_share=0.02),
        lambda: chain_stiffness_n_m(1e4, length_m=1, stretch_share=0.0),
        lambda: chain_stiffness_n_m(1e4, length_m=0, stretch_share=0.02),
        lambda: chain_stiffness_n_m(1e4, length_m=1, stretch_share=-0.02, anchor_give_m=1.0),
        lambda: chain_stiffness_n_m(1e4, length_m=1, stretch_share=0.02, anchor_give_m=-0.001),
        lambda: parting_speed_m_s(-1.0, 0.1, front_mass_kg=1, rear_mass_kg=1),
        lambda: parting_speed_m_s(1.0, 0.1, front_mass_kg=0, rear_mass_kg=1),
    ],
)
def test_impossible_input_is_refused(call):
    with pytest.raises(ValueError):
        call()
