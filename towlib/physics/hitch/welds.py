"""The two welds along a lug's root, with the pin's distance counted."""

from typing import NamedTuple

from towlib.physics.basics import cases as math
from towlib.physics.hitch.plates import WELD_THROAT


class LugWelds(NamedTuple):
    """Two fillets, one along either side of a lug."""

    leg_m: float
    length_m: float  # of one of them
    apart_m: float  # thickness of the lug
    arm_m: float  # pin to root


def throat_stress_pa(
    welds: LugWelds, *, along_n: float, across_n: float, upright_n: float, lugs: int
) -> float:
    """Largest stress in the throat of the welds of a lug from a force on its pin.

    s = hypot(A/(n·a) + S·h/(d/2·a) + 3·U·h/(n·l/2·a), S/a, U/(n·a)), a = 2·0.707·z·l

    Parameters
    ----------
    welds : LugWelds
        Leg z, length l of one run, distance d of the runs and arm h.
    along_n : float
        A, out of the root: pull or push.
    across_n : float
        S, along the pin; it goes into one lug alone.
    upright_n : float
        U, along the welds.
    lugs : int
        n, 1 or more.

    Returns
    -------
    float
        Pascals, every direction counted as shear of the throat.

    Raises
    ------
    ValueError
        When a size is not above zero, or there is no lug.

    Breaks down when
        the weld is cold, undercut or cracked, or runs round the ends too (it then holds more).

    Source
        Bending properties of fillet welds, Shigley's Mechanical Engineering Design, table 9-2, rows 2 and 3
        (read in a copy): area 1.414·h·d, unit second moments d³/6 and b·d²/2.

    Examples
    --------
    >>> welds = LugWelds(0.006, 0.060, 0.012, 0.070)
    >>> round(throat_stress_pa(welds, along_n=4600.0, across_n=1000.0, upright_n=0.0, lugs=2) / 1e6, 1)
    27.5
    """
    if any(size <= 0 for size in welds[:3]) or welds.arm_m < 0:
        raise ValueError("sizes of the welds must be above zero, and the pin's distance 0 or more")
    if lugs < 1:
        raise ValueError("at least one lug holds the pin")
    area_m2 = 2.0 * WELD_THROAT * welds.leg_m * welds.length_m
    along, across, upright = abs(along_n), abs(across_n), abs(upright_n)
    off = (
        along / (lugs * area_m2)
        + across * welds.arm_m / (area_m2 * welds.apart_m / 2.0)
        + 3.0 * upright * welds.arm_m / (lugs * area_m2 * welds.length_m / 2.0)
    )
    return math.hypot(off, across / area_m2, upright / (lugs * area_m2))
