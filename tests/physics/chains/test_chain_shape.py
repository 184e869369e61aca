"""The drawn curve of a chain against its closed form, its own length and the lowest point of
physics.chains.
"""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from towlib.physics.chains.chain_gaps import hang
from towlib.physics.chains.chain_shape import hanging_points


@settings(deadline=None)  # the first call loads scipy
@given(st.floats(0.01, 1.2), st.floats(-0.5, 0.5), st.floats(1e-4, 1.0))
def test_the_curve_has_the_length_the_ends_and_the_lowest_point(span, rise, slack):
    length = math.hypot(span, rise) + slack
    curve = hanging_points(length, span_m=span, start_m=0.6, end_m=0.6 + rise, count=401)
    assert (curve.along_m[0], curve.height_m[0]) == pytest.approx((0.0, 0.6), abs=1e-12)
    assert (curve.along_m[-1], curve.height_m[-1]) == pytest.approx((span, 0.6 + rise), abs=1e-7)
    pieces = sum(
        math.dist(a, b)
        for a, b in zip(zip(*curve, strict=False), list(zip(*curve, strict=False))[1:], strict=False)
    )  # noqa: E501
    assert pieces == pytest.approx(length, rel=2e-3)
    lowest = hang(length, span_m=span, low_end_m=0.6, high_end_m=0.6 + rise).lowest_m
    assert lowest - 1e-6 <= min(curve.height_m) <= lowest + 3e-3


def test_the_closed_form():
    # y = a·cosh(x/a), a = 0.5, from x = -0.4 to 0.3: textbook catenary
    a, left, right = 0.5, -0.4, 0.3
    curve = hanging_points(
        a * (math.sinh(right / a) - math.sinh(left / a)),
        span_m=right - left,
        start_m=a * math.cosh(left / a),
        end_m=a * math.cosh(right / a),
    )
    for x, y in zip(*curve, strict=False):
        assert y == pytest.approx(a * math.cosh((x + left) / a))


def test_taut_loop_and_nonsense():
    assert hanging_points(0.9, span_m=1.0, start_m=0.5, end_m=0.7, count=3).height_m == pytest.approx(
        (0.5, 0.6, 0.7)
    )  # too short: straight
    loop = hanging_points(1.0, span_m=0.0, start_m=0.5, end_m=0.5, count=5)
    assert loop.height_m == pytest.approx((0.5, 0.25, 0.0, 0.25, 0.5))
    for wrong in ({"span_m": -0.1}, {"span_m": 0.1, "count": 1}):
        with pytest.raises(ValueError):
            hanging_points(1.0, start_m=0.5, end_m=0.5, **wrong)
