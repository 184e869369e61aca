"""What the federal tow-bar rule of the United States asks: written for a motor vehicle that is towed on its
own wheels by a bar, and binding on motor carriers.
"""

POUND_KG, POUND_FORCE_N = 0.45359237, 4.4482216152605
LIGHT_LBF = 6_500.0  # a new bar for a towed vehicle of less than 5,000 lb, along
LIGHT_BEAM_LBF = 3_000.0
HEAVY_FROM_LB = 5_000.0
HEAVY_SHARE, HEAVY_BEAM_SHARE = 1.3, 0.6  # of the towed gross weight, from 5,000 lb
SAG_LOAD_N = 50.0 * POUND_FORCE_N  # in the middle of an adjustable bar that is held at both ends
MOST_SAG_M = 0.25 * 0.0254
MOST_OFF_TRACK_M = 3.0 * 0.0254  # to either side, running straight
BUMPER_MOST_KG = HEAVY_FROM_LB * POUND_KG  # a bar that pulls on bumpers tows no more
LEAST_CHAINS = 2  # crossed


def longitudinal_load_n(towed_kg: float) -> float:
    """Force along the bar, pull and push, that a new bar must hold with its joints, clamps and pins.

    F = 6,500 lbf below 5,000 lb; 1.3·W from 5,000 lb

    What fastens the bar to the frames of both vehicles must not fail under the same load; two crossed chains
    together, and what they are fixed to, must hold it as well.

    Parameters
    ----------
    towed_kg : float
        Gross weight of the towed vehicle as a mass, above 0.

    Returns
    -------
    float
        Newtons.

    Raises
    ------
    ValueError
        When the mass is not above zero.

    Breaks down when
        the bar was acquired before October 1948 (less was asked), or your state asks more. It is a strength,
        not a weight to tow: a bar rated for 6,500 lb need not hold 6,500 lbf by this rule's test.

    Source
        49 CFR 393.71(h)(1), (h)(3) and (h)(10)(i), read in a stored copy of the code.

    Examples
    --------
    >>> [round(longitudinal_load_n(pounds * POUND_KG) / POUND_FORCE_N) for pounds in (3_395, 5_200)]
    [6500, 6760]
    """
    weight_lb = _pounds(towed_kg)
    return POUND_FORCE_N * (LIGHT_LBF if weight_lb < HEAVY_FROM_LB else HEAVY_SHARE * weight_lb)


def beam_load_n(towed_kg: float) -> float:
    """Force in the middle of the bar, in any direction, that a new bar must hold as a beam; asked only of
    bars that are bent in normal use.

    F = 3,000 lbf below 5,000 lb; 0.6·W from 5,000 lb

    Parameters
    ----------
    towed_kg : float
        Gross weight of the towed vehicle as a mass, above 0.

    Returns
    -------
    float
        Newtons.

    Raises
    ------
    ValueError
        When the mass is not above zero.

    Breaks down when
        the bar is hinged at both ends: it is not bent in normal use, and nothing is asked.

    Source
        49 CFR 393.71(h)(1), notes 1 and 3, read in a stored copy of the code.

    Examples
    --------
    >>> [round(beam_load_n(pounds * POUND_KG) / POUND_FORCE_N) for pounds in (3_395, 5_200)]
    [3000, 3120]
    """
    weight_lb = _pounds(towed_kg)
    return POUND_FORCE_N * (LIGHT_BEAM_LBF if weight_lb < HEAVY_FROM_LB else HEAVY_BEAM_SHARE * weight_lb)


def _pounds(towed_kg: float) -> float:
    if towed_kg <= 0:
        raise ValueError("the towed mass must be above zero")
    return towed_kg / POUND_KG
