"""Where a function crosses zero between two ends: SciPy's takes half a second to load, as long as a plan."""

import math
from collections.abc import Callable

MOST_STEPS = 200


def root_between(function: Callable[[float], float], low: float, high: float, *, tolerance: float) -> float:
    """Where a function crosses zero between two ends that lie on either side of it.

    x = (x_low·f_high - x_high·f_low) / (f_high - f_low), the end that stays twice counts half (Illinois)

    Parameters
    ----------
    function : callable
        Of one float, continuous between the ends.
    low, high : float
        The ends, low below high; the function has one sign at the one and the other at the other.
    tolerance : float
        How close to the root the answer has to be, above 0.

    Returns
    -------
    float
        A place within the tolerance of a sign change, or where the function is zero.

    Raises
    ------
    ValueError
        When the function has the same sign at both ends, or is no number there; or the tolerance is
        not above zero.

    Breaks down when
        the function jumps: then the place of the jump is returned.

    Source
        Dowell and Jarratt, BIT 11 (1971) 168-174, the Illinois rule (from memory); held against SciPy's Brent
        in the tests.

    Examples
    --------
    >>> round(root_between(lambda x: x * x - 2.0, 0.0, 2.0, tolerance=1e-12), 9)
    1.414213562
    """
    if not tolerance > 0.0:
        raise ValueError("the tolerance must be above zero")
    at_low, at_high = function(low), function(high)
    if at_low == 0.0:
        return low
    if at_high == 0.0:
        return high
    if not min(at_low, at_high) < 0.0 < max(at_low, at_high):  # a product of small values would be nought
        raise ValueError("the function has to change its sign between the ends")
    kept = 0  # which end stayed in the last step: -1 the low one, 1 the high one
    for step in range(MOST_STEPS):
        place = (low * at_high - high * at_low) / (at_high - at_low)
        if step % 8 == 7 or not low < place < high:
            place = 0.5 * (low + high)  # so that both ends close in
        value = function(place)
        if value == 0.0 or high - low < tolerance:
            return place
        if math.copysign(1.0, value) == math.copysign(1.0, at_low):
            low, at_low = place, value
            at_high *= 0.5 if kept == 1 else 1.0
            kept = 1
        else:
            high, at_high = place, value
            at_low *= 0.5 if kept == -1 else 1.0
            kept = -1
    return 0.5 * (low + high)
