"""A pin between lugs and eye: it bends as well as being cut."""

from towlib.physics.basics import cases as math
from towlib.physics.hitch.bolts import pin_load_n


def pin_arm_m(lug_thickness_m: float, eye_thickness_m: float, *, gap_m: float, both_sides: bool) -> float:
    """Moment in a pin over the force on it, each part pressing evenly over its thickness.

    both sides: M = F/8·(b + 4c + 2a); one side: M = F·(a/2 + c + b/2)

    Parameters
    ----------
    lug_thickness_m : float
        a, one lug, above 0.
    eye_thickness_m : float
        b, the bar's eye, above 0.
    gap_m : float
        c, between a lug and the eye, 0 or more.
    both_sides : bool
        Whether a lug holds the pin on either side of the eye.

    Returns
    -------
    float
        Metres.

    Raises
    ------
    ValueError
        When a thickness is not above zero or the gap is negative.

    Breaks down when
        the pin leans in worn holes, or the eye slides over to one lug: the gap is then wider there.

    Source
        The moment that EN 1993-1-8 draws beside its table 3.10 (the table was read in an extract, this rule
        is from memory); it follows from even pressure. One side: the force in the middle of the eye, held in
        the middle of the lug.

    Examples
    --------
    >>> round(pin_arm_m(0.010, 0.020, gap_m=0.001, both_sides=True), 6)
    0.0055
    >>> round(pin_arm_m(0.010, 0.016, gap_m=0.002, both_sides=False), 6)
    0.015
    """
    if lug_thickness_m <= 0 or eye_thickness_m <= 0 or gap_m < 0:
        raise ValueError("lug and eye must have a thickness above zero, and the gap be 0 or more")
    if both_sides:
        return (eye_thickness_m + 4.0 * gap_m + 2.0 * lug_thickness_m) / 8.0
    return lug_thickness_m / 2.0 + gap_m + eye_thickness_m / 2.0


def round_bending_moment_n_m(diameter_m: float, *, yield_pa: float) -> float:
    """Moment at which the outermost fibre of a round bar yields.

    M = pi·d³/32·S_y

    Parameters
    ----------
    diameter_m : float
        Above 0.
    yield_pa : float
        Yield stress, above 0.

    Returns
    -------
    float
        N·m. It folds at 1.7 times this.

    Raises
    ------
    ValueError
        When a value is not above zero.

    Breaks down when
        the pin is drilled, grooved or hollow where it bends most.

    Source
        Elastic section modulus of a circle. EN 1993-1-8 table 3.10 (read in an extract) allows 1.5 times this
        for pins that stay in, and 0.8 times for pins that are drawn.

    Examples
    --------
    >>> round(round_bending_moment_n_m(0.012, yield_pa=350e6), 1)
    59.4
    """
    if diameter_m <= 0 or yield_pa <= 0:
        raise ValueError("diameter and yield stress must be above zero")
    return math.pi * diameter_m**3 / 32.0 * yield_pa


def pin_use(force_n: float, *, arm_m: float, diameter_m: float, yield_pa: float, planes: int) -> float:
    """Share of a pin that bending and shear use together.

    use = sqrt((M/M_y)² + (F/F_s)²), M = F·arm

    Parameters
    ----------
    force_n : float
        Across the pin, 0 or more.
    arm_m : float
        Moment over force, 0 or more: see pin_arm_m.
    diameter_m : float
        Pin, above 0.
    yield_pa : float
        Yield stress of its steel, above 0.
    planes : int
        2 between two lugs, 1 on one lug.

    Returns
    -------
    float
        1 when it yields.

    Raises
    ------
    ValueError
        When a value is impossible.

    Breaks down when
        the pin is short and thick: bending and shear are then largest in different places, and this counts
        them as if they met.

    Source
        The interaction of EN 1993-1-8 table 3.10 (read in an extract), with yield at the outermost fibre and
        0.577 of it in shear.

    Examples
    --------
    >>> round(1 / pin_use(4660.0, arm_m=0.015, diameter_m=0.012, yield_pa=350e6, planes=1), 2)
    0.84
    """
    if force_n < 0 or arm_m < 0:
        raise ValueError("the force on the pin and its arm must be 0 or more")
    bending = force_n * arm_m / round_bending_moment_n_m(diameter_m, yield_pa=yield_pa)
    return math.hypot(bending, force_n / pin_load_n(diameter_m, yield_pa=yield_pa, planes=planes))
