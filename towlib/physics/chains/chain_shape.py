"""The curve of a hanging chain, for drawings."""

import math
from typing import NamedTuple


class Curve(NamedTuple):
    """Points of a hanging chain from its start to its end."""

    along_m: tuple[float, ...]  # horizontally from the start
    height_m: tuple[float, ...]


def hanging_points(length_m: float, *, span_m: float, start_m: float, end_m: float, count: int = 25) -> Curve:
    """Points along a chain that hangs between two ends.

    y = a·cosh((x - x0)/a) + c; u = s/(2a) from sinh(u)/u = sqrt(l² - dh²)/s by Newton's method

    Parameters
    ----------
    length_m : float
        Length of chain between the ends.
    span_m : float
        Horizontal distance between the ends, 0 or more.
    start_m, end_m : float
        Heights of the ends.
    count : int
        Points, 2 or more.

    Returns
    -------
    Curve
        A straight line when the chain is taut, or too short.

    Raises
    ------
    ValueError
        When the span is negative or there are fewer than two points.

    Breaks down when
        the chain reaches the road or rests on something.

    Source
        Catenary, any statics textbook.

    Examples
    --------
    >>> curve = hanging_points(1.0, span_m=0.8, start_m=0.5, end_m=0.5, count=3)
    >>> round(curve.height_m[1], 3)
    0.235
    """
    if span_m < 0 or count < 2:
        raise ValueError("a chain has two ends, and the distance between them cannot be negative")
    rise = end_m - start_m
    shares = [i / (count - 1) for i in range(count)]
    if length_m <= math.hypot(span_m, rise) * (1 + 1e-9):
        return Curve(tuple(span_m * t for t in shares), tuple(start_m + rise * t for t in shares))
    if span_m < 1e-3 * length_m:  # a loop straight down and up again
        return Curve(
            tuple(span_m * t for t in shares),
            tuple(max(start_m - length_m * t, end_m - length_m * (1 - t)) for t in shares),
        )
    stretch = math.sqrt((length_m - rise) * (length_m + rise)) / span_m
    u = (
        math.sqrt(6 * (stretch - 1))
        if stretch < 2
        else math.log(2 * stretch) + math.log(math.log(2 * stretch))
    )
    for _ in range(30):
        step = (math.log(math.sinh(u) / u) - math.log(stretch)) / (1 / math.tanh(u) - 1 / u)
        u -= step
        if abs(step) < 1e-12 * u:
            break
    a = span_m / (2 * u)
    left = math.asinh(rise / (2 * a * math.sinh(u))) - u  # the start, seen from the lowest point, over a
    # even steps along the chain, not along the road: a steep side keeps its points
    x = [math.asinh(math.sinh(left) + length_m * t / a) for t in shares]
    return Curve(
        tuple(a * (v - left) for v in x), tuple(start_m + a * (math.cosh(v) - math.cosh(left)) for v in x)
    )
