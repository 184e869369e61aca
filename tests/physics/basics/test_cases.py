"""Cases: a formula for floats, run on many numbers at once, takes in each case the path it would take
alone.
"""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from towlib.physics.basics import cases
from towlib.physics.basics.cases import Cases, TooManyPaths, for_all

NUMBERS = st.lists(st.floats(-50, 50), min_size=1, max_size=30)


def winding(x, m=cases):
    """A formula with branches, a maximum and places where it cannot be."""
    if x > 20:
        raise ValueError("too large")
    if x < 0:
        return m.hypot(x, 3.0) + max(abs(x), 7.0)
    return m.sqrt(10.0 - x) * m.sin(x) if x != 4.0 else -(x**2)


@given(NUMBERS)
def test_every_case_takes_its_own_path(numbers):
    values = np.array(numbers)
    found = for_all(len(values), lambda some: winding(Cases(values[some])))
    for x, y in zip(numbers, found, strict=True):
        try:
            assert y == pytest.approx(
                winding(x, math), rel=1e-14, abs=1e-300
            )  # by the math module alone, one by one
        except ValueError:
            assert math.isnan(y)


@given(NUMBERS, st.floats(-9, 9))
def test_calculation_is_that_of_floats(numbers, other):
    values = np.array(numbers)
    for work in (
        lambda x: x + other,
        lambda x: other - x,
        lambda x: x * x - other * x,
        lambda x: -abs(x) / 3,
        lambda x: x**2,
        lambda x: round(x, 1),
        lambda x: cases.atan2(x, 2.0),
        lambda x: cases.ceil(x),
        lambda x: cases.remainder(x, 6.0),
        lambda x: cases.dist((x, 0.0), (1.0, other)),
    ):
        assert work(Cases(values)).values.tolist() == [
            pytest.approx(float(work(x)), rel=1e-14, abs=1e-14) for x in numbers
        ]


@pytest.mark.parametrize(
    "name",
    [
        "sqrt",
        "sin",
        "cos",
        "tan",
        "asin",
        "acos",
        "atan",
        "exp",
        "log",
        "sinh",
        "cosh",
        "asinh",
        "cbrt",
        "ceil",
        "floor",
        "degrees",
        "radians",
    ],
)
def test_functions_are_those_of_the_math_module(name):
    numbers = [0.1, 0.25, 0.5, 0.9]
    ours, theirs = getattr(cases, name), getattr(math, name)
    assert [ours(x) for x in numbers] == [theirs(x) for x in numbers]
    assert ours(Cases(np.array(numbers))).values.tolist() == pytest.approx(
        [theirs(x) for x in numbers], rel=1e-15
    )
    if name in ("sqrt", "asin", "acos", "log"):
        assert np.isnan(for_all(2, lambda some: ours(Cases(np.array([-2.0, 0.5])[some])))).tolist() == [
            True,
            False,
        ]


def test_many_cases_are_not_one_number():
    for attempt in (
        lambda x: float(x),
        lambda x: math.sqrt(x),
        lambda x: np.asarray(x, float),
        lambda x: np.ones(2) * x,
    ):
        with pytest.raises(TypeError):
            attempt(Cases(np.array([1.0, 2.0])))


def test_a_search_is_refused():
    def halving(x):
        low, high = 0.0, 1.0
        while high - low > 1e-9:
            middle = 0.5 * (low + high)
            low, high = (middle, high) if x > middle else (low, middle)
        return low

    values = np.linspace(0.0, 1.0, 1000)
    with pytest.raises(TooManyPaths):
        for_all(1000, lambda some: halving(Cases(values[some])))


def test_ends_of_where_functions_are_defined():
    assert for_all(
        3, lambda some: cases.asin(Cases(np.array([-1.0, 0.0, 1.0])[some]))
    ).tolist() == pytest.approx([-math.pi / 2, 0.0, math.pi / 2])
    assert for_all(2, lambda some: cases.acos(Cases(np.array([-1.0, 1.0])[some]))).tolist() == pytest.approx(
        [math.pi, 0.0]
    )
    assert np.isnan(
        for_all(3, lambda some: cases.asin(Cases(np.array([-1.001, 0.5, 1.001])[some])))
    ).tolist() == [True, False, True]
    assert np.isnan(for_all(2, lambda some: cases.log(Cases(np.array([0.0, 1.0])[some])))).tolist() == [
        True,
        False,
    ]
    assert np.isnan(for_all(2, lambda some: cases.sqrt(Cases(np.array([0.0, -1e-12])[some])))).tolist() == [
        False,
        True,
    ]


def test_truth_and_rounding_are_those_of_floats():
    values = np.array([0.0, -1.0, 2.0, 0.4])
    assert for_all(4, lambda some: 1.0 if Cases(values[some]) else 0.0).tolist() == [0.0, 1.0, 1.0, 1.0]
    assert round(Cases(np.array([2.46, -2.5, 3.5]))).values.tolist() == [2.0, -2.0, 4.0]
    assert (
        cases.interp(Cases(np.array([0.5, 9.0])), (0.0, 1.0), (10.0, 20.0)).values.tolist() == [15.0, 20.0]
        and cases.interp(0.5, (0.0, 1.0), (10.0, 20.0)) == 15.0
    )


@given(st.floats(-5, 5), st.floats(-5, 5), st.sampled_from([0.0, 0.5, 1.0]))
def test_close_and_finite_are_those_of_the_math_module(a, b, tolerance):
    for one, other in ((Cases(np.array([a])), b), (a, Cases(np.array([b]))), (a, b)):
        assert cases.isclose(one, other, abs_tol=tolerance) == math.isclose(a, b, abs_tol=tolerance)
        assert cases.isclose(one, other, rel_tol=0.2) == math.isclose(a, b, rel_tol=0.2)
    assert (
        cases.isclose(Cases(np.array([a])), a)
        and cases.isfinite(Cases(np.array([a])))
        and not cases.isfinite(Cases(np.array([math.inf])))
    )
    assert cases.isnan(Cases(np.array([math.nan]))) and not cases.isnan(Cases(np.array([a])))
