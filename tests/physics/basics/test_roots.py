"""The root finder against SciPy's method of Brent, a general reference library."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from towlib.physics.basics.roots import root_between


@given(st.floats(-5.0, 5.0), st.floats(0.01, 50.0), st.sampled_from([1.0, 3.0, 5.0]))
def test_it_finds_what_brent_finds(root, slope, power):
    def function(x):
        return math.copysign(abs(slope * (x - root)) ** power, x - root) + 1e-3 * (x - root)

    ours = root_between(function, -6.0, 7.0, tolerance=1e-11)
    assert ours == pytest.approx(brentq(function, -6.0, 7.0, xtol=1e-13), abs=1e-10)


@given(st.floats(1.0001, 40.0))  # closer to 1 the sine itself has no digits left
def test_the_stretch_of_a_chain_as_brent_finds_it(stretch):
    def function(u):
        return math.sinh(u) / u - stretch

    assert root_between(function, 1e-9, 10.0, tolerance=1e-14) == pytest.approx(
        brentq(function, 1e-9, 10.0, xtol=1e-14, rtol=8.9e-16), rel=1e-9
    )


def test_ends_that_are_roots_and_steep_and_flat_ones():
    assert root_between(lambda x: x, 0.0, 1.0, tolerance=1e-9) == 0.0
    assert root_between(lambda x: x - 1.0, 0.0, 1.0, tolerance=1e-9) == 1.0
    assert root_between(math.atan, -1e6, 1.0, tolerance=1e-9) == pytest.approx(0.0, abs=1e-9)
    jump = root_between(lambda x: -1.0 if x < 0.3 else 1.0, 0.0, 1.0, tolerance=1e-9)
    assert jump == pytest.approx(0.3, abs=2e-9)  # where it jumps


@pytest.mark.parametrize("ends", [(1.0, 2.0), (-2.0, -1.0), (math.nan, 1.0)])
def test_no_change_of_sign_is_one_sentence(ends):
    with pytest.raises(ValueError, match="change its sign"):
        root_between(lambda x: x, *ends, tolerance=1e-9)
