"""A converter that slips: its pull falls so quickly with speed that a pair settles within a few metres."""

from typing import Any

import numpy as np

_ROUNDS = 40  # of Newton's steps; they end in the last digit much sooner


def creeping_m_s(start_m_s: Any, *, settled_m_s: Any, along_m: Any, falls_n_s_m: Any, inertia_kg: Any) -> Any:
    """Speed after a length of road of a pair whose converter slips, while what is left of its pull falls
    straight with speed to nought at the speed where it settles.

    m·v·dv/ds = F'·(v_s - v); w + ln|w| = w_0 + ln|w_0| - F'·s/(m·v_s) with w = v/v_s - 1

    Parameters
    ----------
    start_m_s : float or array
        Speed at the start, 0 or more.
    settled_m_s : float or array
        Where pull and load meet, above 0.
    along_m : float or array
        Length of road, 0 or more.
    falls_n_s_m : float or array
        How much pull less load falls for each m/s more, above 0.
    inertia_kg : float or array
        Of the pair, above 0.

    Returns
    -------
    array
        Between the start and the settled speed.

    Breaks down when
        the pull does not fall straight: past 85 % of the converter's launch speed.

    Source
        Balance of forces over distance, its solution by parts; checked against SciPy's solve_ivp.

    Examples
    --------
    >>> road = dict(settled_m_s=2.0, falls_n_s_m=2500.0, inertia_kg=4200.0)
    >>> [round(float(creeping_m_s(4.5, along_m=s, **road)), 2) for s in (0.0, 2.0, 5.0, 25.0)]
    [4.5, 3.88, 3.12, 2.01]
    """
    start = np.asarray(start_m_s, float)
    apart = start / settled_m_s - 1.0
    sign, size = np.sign(apart), np.maximum(np.abs(apart), 1e-300)
    constant = apart + np.log(size) - falls_n_s_m * along_m / (inertia_kg * settled_m_s)
    above = np.where(constant > 1.0, np.log(np.maximum(constant, 1.0)), constant)
    log = np.where(sign > 0, above, np.minimum(constant, -1.0))
    for _ in range(_ROUNDS):  # of sign·e^u + u = constant, in u = ln|w|
        grown = sign * np.exp(log)
        rise = np.maximum(grown + 1.0, 1e-12)
        log = np.minimum(log - (grown + log - constant) / rise, np.log(size))
    return settled_m_s * (1.0 + sign * np.exp(log))
