"""Plate and weld: what the metal round a bolt carries before it yields."""

from towlib.physics.hitch.bolts import SHEAR_OF_YIELD

WELD_THROAT = 0.707  # of the leg of an equal-legged fillet: the shortest way through it


def bearing_load_n(bolt_diameter_m: float, thickness_m: float, *, strength_pa: float) -> float:
    """Push of a bolt against its hole at which the hole starts to lengthen.

    F = d·t·S_b

    Parameters
    ----------
    bolt_diameter_m : float
        Bolt, not hole, above 0.
    thickness_m : float
        Plate, above 0.
    strength_pa : float
        Bearing stress allowed. The plate's yield stress is cautious; design codes allow about half as much
        again far from an edge (from memory).

    Returns
    -------
    float
        Newtons for one bolt.

    Raises
    ------
    ValueError
        When a value is not above zero.

    Breaks down when
        the plate is so thin that it folds, or the hole is slotted.

    Source
        Projected area times stress; convention from memory.

    Examples
    --------
    >>> round(bearing_load_n(0.0127, 0.00635, strength_pa=250e6))
    20161
    """
    _above_zero(bolt_diameter_m, thickness_m, strength_pa)
    return bolt_diameter_m * thickness_m * strength_pa


def tear_out_load_n(
    edge_distance_m: float,
    thickness_m: float,
    *,
    hole_diameter_m: float,
    yield_pa: float,
    factor: float = SHEAR_OF_YIELD,
) -> float:
    """Push of a bolt towards an edge at which the strip in front of it shears.

    F = 2·t·(e - d/2)·0.577·S_y

    Parameters
    ----------
    edge_distance_m : float
        Middle of the hole to the edge the bolt is pushed to.
    thickness_m : float
        Plate, above 0.
    hole_diameter_m : float
        Hole, above 0.
    yield_pa : float
        Yield stress of the plate, above 0. (With tensile strength and factor 0.6: the load that tears it.)
    factor : float
        Shear strength over the strength given.

    Returns
    -------
    float
        Newtons for one bolt.

    Raises
    ------
    ValueError
        When a value is not above zero or the hole breaks through the edge.

    Breaks down when
        the strip bulges sideways (thin plates), or a corner is near.

    Source
        Two shear planes from the hole's edge to the plate's edge: the net convention, from memory. Others
        start from the middle of the hole and give more.

    Examples
    --------
    >>> round(tear_out_load_n(0.025, 0.00635, hole_diameter_m=0.0135, yield_pa=250e6))
    33454
    """
    _above_zero(thickness_m, hole_diameter_m, yield_pa, factor)
    if edge_distance_m <= hole_diameter_m / 2.0:
        raise ValueError("the hole breaks through the edge of the plate")
    return 2.0 * thickness_m * (edge_distance_m - hole_diameter_m / 2.0) * factor * yield_pa


def net_section_load_n(
    width_m: float, thickness_m: float, *, hole_diameter_m: float, holes: int, yield_pa: float
) -> float:
    """Pull along a plate at which what is left beside a row of holes yields.

    F = (w - n·d)·t·S_y

    Parameters
    ----------
    width_m : float
        Plate across the pull, above 0.
    thickness_m : float
        Plate, above 0.
    hole_diameter_m : float
        Hole, above 0.
    holes : int
        Holes in one row across the pull, 0 or more.
    yield_pa : float
        Yield stress of the plate, above 0.

    Returns
    -------
    float
        Newtons.

    Raises
    ------
    ValueError
        When a value is impossible or the holes leave nothing of the width.

    Breaks down when
        the pull is not in the plate's middle: bending comes on top.

    Source
        Area left times stress.

    Examples
    --------
    >>> round(net_section_load_n(0.10, 0.00635, hole_diameter_m=0.0135, holes=2, yield_pa=250e6))
    115888
    """
    _above_zero(width_m, thickness_m, hole_diameter_m, yield_pa)
    if holes < 0 or holes * hole_diameter_m >= width_m:
        raise ValueError(f"{holes} holes in a row leave nothing of this plate's width")
    return (width_m - holes * hole_diameter_m) * thickness_m * yield_pa


def fillet_weld_load_n(leg_m: float, length_m: float, *, shear_pa: float) -> float:
    """What a sound fillet weld carries.

    F = 0.707·leg·length·tau

    Parameters
    ----------
    leg_m : float
        Leg of an equal-legged fillet, above 0.
    length_m : float
        Length that is welded, all runs together, above 0.
    shear_pa : float
        Shear stress allowed in the throat, above 0.

    Returns
    -------
    float
        Newtons.

    Raises
    ------
    ValueError
        When a value is not above zero.

    Breaks down when
        the weld is cold, undercut or cracked, which no tape measure shows: ask a licensed welder.

    Source
        Throat area times stress; every direction counted as shear of the throat, which is cautious.

    Examples
    --------
    >>> round(fillet_weld_load_n(0.006, 0.10, shear_pa=0.577 * 250e6))
    61191
    """
    _above_zero(leg_m, length_m, shear_pa)
    return WELD_THROAT * leg_m * length_m * shear_pa


def _above_zero(*values: float) -> None:
    if min(values) <= 0:
        raise ValueError("sizes and strengths of the plate must be above zero")
