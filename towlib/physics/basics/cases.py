"""Many cases of a number at once: a formula written for floats answers all of them in one go.

`Cases` calculates like a float, element by element. Where a formula asks a question ("is this longer than
that?") and the cases disagree, `Split` is raised; `for_all` then runs the formula again on each side, so
every case takes the path it would take alone.
"""

import math as _math
import operator
from collections.abc import Callable
from typing import Any

import numpy as np

MOST_PATHS = 400  # a formula that takes more paths than this is a search, and better run case by case


class Split(Exception):
    """The cases disagree on a question; `mask` is True where the answer is yes."""

    def __init__(self, mask: np.ndarray):
        self.mask = mask
        super().__init__("the cases disagree")


class TooManyPaths(TypeError):
    """A formula whose cases part again and again, such as a search."""


class Cases:
    """One number a case, calculated with like a float."""

    __slots__ = ("values",)
    __array_ufunc__ = None  # numpy arrays leave the calculation to this class
    __hash__ = object.__hash__

    def __init__(self, values: np.ndarray):
        self.values = values

    def __repr__(self) -> str:
        return f"Cases({self.values!r})"

    def __format__(self, spec: str) -> str:
        return format(float(self.values[0]), spec)  # only in sentences about what is not possible

    def __bool__(self) -> bool:
        return _agreed(self.values != 0)

    def __float__(self) -> float:
        raise TypeError("many cases are not one number")

    def __neg__(self) -> "Cases":
        return Cases(-self.values)

    def __abs__(self) -> "Cases":
        return Cases(np.abs(self.values))

    def __round__(self, digits: int = 0) -> "Cases":
        return Cases(
            np.array([round(float(value), digits) for value in self.values])
        )  # NumPy rounds 0.45 to 0.4, Python to 0.5


def _plain(other: Any) -> Any:
    return other.values if isinstance(other, Cases) else other


def _agreed(mask: np.ndarray) -> bool:
    yes = int(np.count_nonzero(mask))
    if yes == mask.size or yes == 0:
        return yes > 0
    raise Split(mask)


def _calculation(name: str) -> None:
    action = getattr(operator, name)

    def forward(self: Cases, other: Any) -> Any:
        return (
            Cases(action(self.values, _plain(other)))
            if isinstance(other, Cases | float | int)
            else NotImplemented
        )

    def backward(self: Cases, other: Any) -> Any:
        return Cases(action(other, self.values)) if isinstance(other, float | int) else NotImplemented

    setattr(Cases, f"__{name}__", forward)
    setattr(Cases, f"__r{name}__", backward)


def _question(name: str) -> None:
    action = getattr(operator, name)

    def asked(self: Cases, other: Any) -> Any:
        return (
            _agreed(action(self.values, _plain(other)))
            if isinstance(other, Cases | float | int)
            else NotImplemented
        )

    setattr(Cases, f"__{name}__", asked)


for _name in ("add", "sub", "mul", "truediv", "floordiv", "mod", "pow"):
    _calculation(_name)
for _name in ("lt", "le", "gt", "ge", "eq", "ne"):
    _question(_name)


def for_all(
    count: int, formula: Callable[[np.ndarray], Any], *, cannot: tuple[type[Exception], ...] = (ValueError,)
) -> np.ndarray:
    """A formula for every case; nan where it cannot be.

    the cases are parted wherever they disagree, and the formula run again on each part

    Parameters
    ----------
    count : int
        How many cases, 1 or more.
    formula : function
        Takes the numbers of some cases (an array) and returns a float or Cases for them.
    cannot : tuple of exceptions
        What the formula raises where there is no answer.

    Returns
    -------
    array
        One number a case.

    Raises
    ------
    TooManyPaths
        When the cases part more than 400 times.

    Breaks down when
        the formula keeps a result of one call for the next.

    Source
        Every case takes the path of the plain formula; checked in the tests against running it case by case.

    Examples
    --------
    >>> x = np.array([1.0, 4.0, -9.0, 16.0])
    >>> def root_or_half(some):
    ...     number = Cases(x[some])
    ...     return sqrt(number) if number < 10.0 else number / 2.0
    >>> for_all(4, root_or_half).tolist()
    [1.0, 2.0, nan, 8.0]
    """
    found = np.full(count, np.nan)
    waiting, paths = [np.arange(count)], 0
    while waiting:
        some = waiting.pop()
        paths += 1
        if paths > MOST_PATHS:
            raise TooManyPaths("the cases part again and again")
        try:
            found[some] = _plain(formula(some))
        except Split as parted:
            waiting += [some[parted.mask], some[~parted.mask]]
        except cannot:
            found[some] = np.nan
    return found


def _function(
    one: Callable[..., float], many: Callable[..., Any], possible: Callable[[Any], Any] | None = None
) -> Callable[..., Any]:
    """The function of the math module, for floats and for cases; ValueError in cases for which it is not
    defined.
    """

    def either(*numbers: Any) -> Any:
        for number in numbers:
            if isinstance(number, Cases):
                break
        else:
            return one(*numbers)
        values = [_plain(number) for number in numbers]
        if possible is not None and not _agreed(np.asarray(possible(*values))):
            raise ValueError("math domain error")
        return Cases(many(*values))

    either.__name__ = either.__qualname__ = one.__name__
    either.__doc__ = f"As math.{one.__name__}, for a float or Cases."
    return either


pi, inf = _math.pi, _math.inf
sqrt = _function(_math.sqrt, np.sqrt, lambda x: ~(x < 0))
sin, cos, tan, atan = (
    _function(getattr(_math, name), getattr(np, many))
    for name, many in (("sin", "sin"), ("cos", "cos"), ("tan", "tan"), ("atan", "arctan"))
)
asin = _function(_math.asin, np.arcsin, lambda x: ~(np.abs(x) > 1))
acos = _function(_math.acos, np.arccos, lambda x: ~(np.abs(x) > 1))
atan2 = _function(_math.atan2, np.arctan2)
exp, sinh, cosh = _function(_math.exp, np.exp), _function(_math.sinh, np.sinh), _function(_math.cosh, np.cosh)
log = _function(_math.log, np.log, lambda x: x > 0)
asinh, cbrt = _function(_math.asinh, np.arcsinh), _function(_math.cbrt, np.cbrt)
remainder = _function(_math.remainder, lambda x, y: x - np.round(x / y) * y)
ceil, floor = _function(_math.ceil, np.ceil), _function(_math.floor, np.floor)
degrees, radians = _function(_math.degrees, np.degrees), _function(_math.radians, np.radians)


def hypot(*sides: Any) -> Any:
    """As math.hypot, for floats or Cases."""
    if not any(isinstance(side, Cases) for side in sides):
        return _math.hypot(*sides)
    return Cases(np.sqrt(sum(np.square(_plain(side)) for side in sides)))


def dist(one: Any, other: Any) -> Any:
    """As math.dist, for coordinates that are floats or Cases."""
    return hypot(*(a - b for a, b in zip(one, other, strict=True)))


def isfinite(number: Any) -> bool:
    """As math.isfinite; all cases must agree."""
    return _agreed(np.isfinite(number.values)) if isinstance(number, Cases) else _math.isfinite(number)


def isnan(number: Any) -> bool:
    """As math.isnan; all cases must agree."""
    return _agreed(np.isnan(number.values)) if isinstance(number, Cases) else _math.isnan(number)


def isclose(a: Any, b: Any, *, rel_tol: float = 1e-9, abs_tol: float = 0.0) -> bool:
    """As math.isclose; all cases must agree."""
    if not isinstance(a, Cases) and not isinstance(b, Cases):
        return _math.isclose(a, b, rel_tol=rel_tol, abs_tol=abs_tol)
    one, other = np.asarray(_plain(a)), np.asarray(_plain(b))
    return _agreed(
        np.abs(one - other) <= np.maximum(rel_tol * np.maximum(np.abs(one), np.abs(other)), abs_tol)
    )


def interp(x: Any, places: Any, heights: Any) -> Any:
    """As numpy.interp, for a float or Cases."""
    return (
        Cases(np.interp(x.values, places, heights))
        if isinstance(x, Cases)
        else float(np.interp(x, places, heights))
    )
