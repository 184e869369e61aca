"""Plates and lugs that bend: a plate between its supports, what it pries off its bolts, and a lug about its
root.
"""

from typing import NamedTuple

SPREAD = 0.25  # of the span: how much wider than the lug the plate bends; by finite elements, in the tests
MOST_EDGE = 1.25  # of the arm: an edge further off does not press


class LugSize(NamedTuple):
    """One lug at its root, and how far ahead of it the pin sits."""

    width_m: float
    thickness_m: float
    arm_m: float


class PlateSize(NamedTuple):
    """A plate between two supports."""

    span_m: float
    width_m: float  # along the supports
    thickness_m: float


def bending_width_m(plate_width_m: float, *, lug_width_m: float, span_m: float) -> float:
    """Width of a plate that bends with a lug in its middle.

    b = min(width, lug + span/4)

    Parameters
    ----------
    plate_width_m : float
        Plate, along the supports, above 0.
    lug_width_m : float
        Lug at its root, above 0.
    span_m : float
        Between the supports, above 0.

    Returns
    -------
    float
        Metres.

    Raises
    ------
    ValueError
        When a size is not above zero.

    Breaks down when
        the lug is narrower than a third of the span (more of the plate then helps than is counted).

    Source
        Chosen so that a plate of finite elements (Kirchhoff) never has more stress at the lug's ends; common
        practice spreads the load under 45° and counts more.

    Examples
    --------
    >>> bending_width_m(0.110, lug_width_m=0.060, span_m=0.060)
    0.075
    """
    _above_zero(plate_width_m, lug_width_m, span_m)
    return min(plate_width_m, lug_width_m + SPREAD * span_m)


def plate_stress_pa(plate: PlateSize, lug: LugSize, *, off_n: float, sideways_n: float) -> float:
    """Largest stress in a plate between two supports, from a force on a lug in its middle.

    s = 6/t²·(F·L/4/b + S·h/2/min(w, lug)), b by bending_width_m

    Parameters
    ----------
    plate : PlateSize
        Span L, width w and thickness t.
    lug : LugSize
        Its width, and the arm h of its pin.
    off_n : float
        F, square to the plate, off it or onto it.
    sideways_n : float
        S, in the plate's plane, at the pin.

    Returns
    -------
    float
        Pascals.

    Raises
    ------
    ValueError
        When a size is impossible.

    Breaks down when
        the lug stands near a support (the moment of S·h is then larger, that of F smaller), or what is taken
        for a support gives way.

    Source
        Simply supported beam, force and couple in its middle: Roark, table of beam formulas (from memory);
        finite elements in the tests. Bolts are taken to hold the plate down, not to keep it from turning; the
        couple is not spread beyond the lug, which is cautious.

    Examples
    --------
    >>> plate, lug = PlateSize(0.060, 0.110, 0.010), LugSize(0.070, 0.012, 0.070)
    >>> round(plate_stress_pa(plate, lug, off_n=4_600.0, sideways_n=1_000.0) / 1e6, 1)
    78.7
    """
    _above_zero(plate.thickness_m)
    if lug.arm_m < 0:
        raise ValueError("the pin's distance must be 0 or more")
    spread_m = bending_width_m(plate.width_m, lug_width_m=lug.width_m, span_m=plate.span_m)
    force_n_m_m = abs(off_n) * plate.span_m / 4.0 / spread_m
    couple_n_m_m = abs(sideways_n) * lug.arm_m / 2.0 / min(plate.width_m, lug.width_m)
    return 6.0 * (force_n_m_m + couple_n_m_m) / plate.thickness_m**2


def flat_bending_moment_n_m(width_m: float, thickness_m: float, *, yield_pa: float) -> float:
    """Moment at which the surface of a flat bar yields.

    M = b·t²/6·S_y

    Parameters
    ----------
    width_m : float
        Above 0.
    thickness_m : float
        Above 0.
    yield_pa : float
        Yield stress, above 0.

    Returns
    -------
    float
        N·m. It folds at one and a half times this.

    Raises
    ------
    ValueError
        When a value is not above zero.

    Breaks down when
        holes lie where it bends most.

    Source
        Elastic section modulus of a rectangle.

    Examples
    --------
    >>> round(flat_bending_moment_n_m(0.110, 0.010, yield_pa=250e6), 1)
    458.3
    """
    _above_zero(width_m, thickness_m, yield_pa)
    return width_m * thickness_m**2 / 6.0 * yield_pa


def prying_share(arm_m: float, edge_m: float) -> float:
    """How much more a bolt is pulled because the plate's edge presses on what it is bolted to.

    Q/T = 3·m² / (n·(6·m + 2·n)), n at most 1.25·m

    Parameters
    ----------
    arm_m : float
        m, bolt to the middle of the plate where the pull comes in, above 0.
    edge_m : float
        n, bolt to the plate's edge, above 0.

    Returns
    -------
    float
        Force at the edge over the bolt's share of the pull.

    Raises
    ------
    ValueError
        When a size is not above zero.

    Breaks down when
        bolts stretch as much as the plate bends (it then pries less), or the plate yields.

    Source
        Elastic beam on bolts that do not stretch, its edges resting: worked out here, finite elements in the
        tests. At most 1.25·m: EN 1993-1-8 table 6.2, from memory; it counts more prying, not less. Published
        treatments (Thornton 1985, read) start from the same picture and let the plate yield.

    Examples
    --------
    >>> round(prying_share(0.030, 0.028), 3)
    0.409
    """
    _above_zero(arm_m, edge_m)
    n = min(edge_m, MOST_EDGE * arm_m)
    return 3.0 * arm_m**2 / (n * (6.0 * arm_m + 2.0 * n))


def lug_stress_pa(lug: LugSize, *, along_n: float, across_n: float, upright_n: float, lugs: int) -> float:
    """Largest stress at the root of a lug from a force on its pin.

    s = A/(n·w·t) + 6·S·h/(w·t²) + 6·U·h/(n·t·w²)

    Parameters
    ----------
    lug : LugSize
        Width and thickness at the root, and the pin's distance from it.
    along_n : float
        A, out of the root: pull or push.
    across_n : float
        S, along the pin: it bends the lug about its thin side.
    upright_n : float
        U, across both.
    lugs : int
        n, 1 or more. Side force goes into one of them alone: the eye leans against one.

    Returns
    -------
    float
        Pascals, the sum of all three at one corner.

    Raises
    ------
    ValueError
        When a size is not above zero, or there is no lug.

    Breaks down when
        the hole lies near the root, or a rib joins the lugs (it is then less).

    Source
        Cantilever of rectangular section: Roark, table of beam formulas (from memory); finite elements in the
        tests.

    Examples
    --------
    >>> lug = LugSize(0.060, 0.012, 0.070)
    >>> round(lug_stress_pa(lug, along_n=4600.0, across_n=1000.0, upright_n=0.0, lugs=2) / 1e6, 1)
    51.8
    """
    _above_zero(lug.width_m, lug.thickness_m)
    if lug.arm_m < 0 or lugs < 1:
        raise ValueError("the pin's distance must be 0 or more, and at least one lug hold it")
    area_m2 = lug.width_m * lug.thickness_m
    return (
        abs(along_n) / (lugs * area_m2)
        + 6.0 * abs(across_n) * lug.arm_m / (area_m2 * lug.thickness_m)
        + 6.0 * abs(upright_n) * lug.arm_m / (lugs * area_m2 * lug.width_m)
    )


def _above_zero(*values: float) -> None:
    if any(value <= 0 for value in values):
        raise ValueError("sizes and strengths of plate and lug must be above zero")
