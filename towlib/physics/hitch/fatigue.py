"""Cracks from a load that comes again and again: an estimate."""

from towlib.physics.basics.road_load import GRAVITY_M_S2

REFERENCE_CYCLES = 2e6  # at which a detail category is the range a detail bears
# Stress range in Pa that a detail bears two million times: classes of EN 1993-1-9 as an Italian circular
# prints them (no. 7 of 2019, tables C4.2.XII to C4.2.XVII, read in a transcription); AS 4100:2020 (read in a
# summary) has the same 36, and 71 beside a stiffener, but 56 for a plate on fillets that carry its load
WELD_THROAT_RANGE_PA = 36e6  # root of a fillet weld at a T, stress in its throat
BESIDE_WELD_RANGE_PA = 71e6  # plate beside a weld across it, lug and welds to 80 mm thick; to 50 mm it is 80
HOLE_RANGE_PA = 90e6  # a plate with holes, bent: stress where the holes are taken off


def alternating_force_n(towed_mass_kg: float, share: float) -> float:
    """Push and pull at the coupler that come two million times.

    F = share·m·g

    Parameters
    ----------
    towed_mass_kg : float
        Towed vehicle as loaded, above 0.
    share : float
        Of its weight, above 0.

    Returns
    -------
    float
        Newtons, either way.

    Raises
    ------
    ValueError
        When a value is not above zero.

    Breaks down when
        the road is rougher or smoother than the one the share was found for.

    Source
        12 kN either way for couplings of up to 3.5 t (Australian Design Rule 62/02, clause 12.3.2.2, read in
        a secondary page): 0.35 of their weight. 0.6 of the D-value (UNECE R55, from memory) comes to about
        the same.

    Examples
    --------
    >>> round(alternating_force_n(3500.0, 0.35))
    12013
    """
    if towed_mass_kg <= 0 or share <= 0:
        raise ValueError("the towed mass and the alternating share of its weight must be above zero")
    return share * towed_mass_kg * GRAVITY_M_S2


def bearable_range_pa(category_pa: float, cycles: float = REFERENCE_CYCLES) -> float:
    """Range of stress that a detail bears so many times.

    ds = category·(2e6/N)^(1/3)

    Parameters
    ----------
    category_pa : float
        Range that it bears two million times, above 0.
    cycles : float
        N, above 0.

    Returns
    -------
    float
        Pascals, from the lowest to the highest.

    Raises
    ------
    ValueError
        When a value is not above zero.

    Breaks down when
        there are more than 5 million (the line is less steep there) or fewer than ten thousand.

    Source
        EN 1993-1-9: two million cycles and a slope of 3 as far as 5 million, read in a manual of fatigue
        software and as formula C4.2.94 of the Italian circular no. 7 of 2019; no partial factor is taken off.

    Examples
    --------
    >>> round(bearable_range_pa(36e6, 5e6) / 36e6, 3)
    0.737
    """
    if category_pa <= 0 or cycles <= 0:
        raise ValueError("the detail's range and the number of cycles must be above zero")
    bearable: float = category_pa * (REFERENCE_CYCLES / cycles) ** (1.0 / 3.0)
    return bearable
