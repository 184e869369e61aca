"""The root finder against SciPy's method of Brent, a general reference library."""

import math
from fractions import Fraction

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


def test_values_whose_product_is_nought_to_a_computer_change_their_sign_too():
    assert root_between(lambda x: 1e-200 * (x - 0.3), 0.0, 1.0, tolerance=1e-9) == pytest.approx(0.3)


def _asked(function, low, high, tolerance):
    """The answer, and every place at which the function was asked."""
    places = []

    def noted(x):
        places.append(x)
        return function(x)

    return root_between(noted, low, high, tolerance=tolerance), places


def test_the_first_places_asked_by_hand():
    """x² = 2 between 0 and 2, where f is -2 and 2: the line between them is nought at 1. There f is -1, so
    from 1 to 2 with -1 and 2: 4/3. There f is -2/9, and the upper end stayed twice: half of its 2, so 16/11.
    """
    _, places = _asked(lambda x: x * x - 2.0, 0.0, 2.0, 1e-9)
    assert places[:5] == pytest.approx([0.0, 2.0, 1.0, 4 / 3, 16 / 11])


def _illinois(function, ends, tolerance):
    """The rule of Illinois in fractions, every eighth place the middle: the places it asks, in order."""
    asked, side, stayed = list(ends), [[x, function(x)] for x in ends], None
    while True:
        (a, f), (b, g) = side
        wide = b - a
        x = (a + b) / 2 if len(asked) % 8 == 1 else a + wide * f / (f - g)
        asked.append(x)
        value = function(x)
        if value == 0 or wide < tolerance:
            return asked
        at = 0 if (value < 0) == (f < 0) else 1
        if stayed == 1 - at:
            side[1 - at][1] /= 2
        side[at], stayed = [x, value], 1 - at


@pytest.mark.parametrize("jump", [Fraction(3, 10), Fraction(9, 10), Fraction(1, 1000)])
def test_every_place_asked_is_the_rule_s_own(jump):
    """So a plan is as quick as the rule: what closes in more slowly would end in the same root."""
    for function in (lambda x: -1 if x < jump else 1, lambda x: 1 if x < jump else -2):
        answer, places = _asked(function, 0.0, 1.0, 1e-7)
        expected = _illinois(function, (Fraction(0), Fraction(1)), Fraction(1, 10**7))
        assert places == pytest.approx([float(x) for x in expected], rel=1e-9)
        assert answer == places[-1]
        assert len(places) > 16  # the eighth place and another eight


def test_it_ends_where_floats_end():
    """No two floats at 0.3 are closer than 5e-17: asked for less, it stops all the same, at the jump."""
    answer, places = _asked(lambda x: -1.0 if x < 0.3 else 1.0, 0.0, 1.0, 1e-30)
    assert answer == pytest.approx(0.3, rel=1e-15) and len(places) < 1000


@pytest.mark.parametrize("root", [0.0, 1.0])
def test_an_end_that_is_the_root_is_asked_and_nothing_else(root):
    answer, places = _asked(lambda x: x - root, 0.0, 1.0, 1e-9)
    assert (answer, places) == (root, [0.0, 1.0])
