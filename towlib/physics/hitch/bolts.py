"""One bolt or pin: its areas, what it carries, what a wrench puts into it."""

from typing import NamedTuple

from towlib.physics.basics import cases as math

SHEAR_OF_YIELD = 1.0 / math.sqrt(3.0)  # 0.577: shear stress at which ductile steel yields, by von Mises
SHEAR_OF_TENSILE = 0.6  # of the tensile strength: Industrial Fasteners Institute, read in a secondary page
FROM_DIAMETER = {
    "inch": (0.9743, 1.2990),
    "metric": (0.9382, 1.2269),
}  # pitches taken off for stress and root diameter


class BoltLoads(NamedTuple):
    """What one bolt carries in straight tension."""

    proof_n: float
    yield_n: float
    tensile_n: float


class Preload(NamedTuple):
    """Clamp force that one torque may give."""

    low_n: float
    middle_n: float
    high_n: float


def stress_area_m2(diameter_m: float, pitch_m: float, *, series: str) -> float:
    """Area with which a thread is counted in tension.

    inch: (pi/4)·(D - 0.9743·p)², p = 1/threads per inch; metric: (pi/4)·(D - 0.9382·p)²

    Parameters
    ----------
    diameter_m : float
        Nominal diameter, above 0.
    pitch_m : float
        Thread to thread, above 0.
    series : str
        "inch" or "metric".

    Returns
    -------
    float
        Square metres.

    Raises
    ------
    ValueError
        When the thread is as deep as the bolt, or the series has another name.

    Breaks down when
        the thread is worn, stretched or rusty.

    Source
        ASME B1.1 and ISO 898-1 forms (standards not read; the areas agree with published tables).

    Examples
    --------
    >>> round(stress_area_m2(0.0127, 0.0254 / 13, series="inch") / 0.0254**2, 4)
    0.1419
    """
    return _area_m2(diameter_m, pitch_m, series, 0)


def root_area_m2(diameter_m: float, pitch_m: float, *, series: str) -> float:
    """Area of a bolt across the bottom of its thread, for shear through the threads.

    inch: (pi/4)·(D - 1.2990·p)²; metric: (pi/4)·(D - 1.2269·p)²

    Parameters
    ----------
    diameter_m : float
        Nominal diameter, above 0.
    pitch_m : float
        Thread to thread, above 0.
    series : str
        "inch" or "metric".

    Returns
    -------
    float
        Square metres.

    Raises
    ------
    ValueError
        When the thread is as deep as the bolt, or the series has another name.

    Breaks down when
        the thread is worn, stretched or rusty.

    Source
        Minor diameter of the thread forms (standards not read).

    Examples
    --------
    >>> round(root_area_m2(0.0127, 0.0254 / 13, series="inch") / 0.0254**2, 4)
    0.1257
    """
    return _area_m2(diameter_m, pitch_m, series, 1)


def shank_area_m2(diameter_m: float) -> float:
    """Area of a plain round shank or pin.

    (pi/4)·D²

    Parameters
    ----------
    diameter_m : float
        Diameter, above 0.

    Returns
    -------
    float
        Square metres.

    Raises
    ------
    ValueError
        When the diameter is not above zero.

    Breaks down when
        the pin is drilled or grooved where it is cut.

    Source
        Geometry.

    Examples
    --------
    >>> round(2 * shank_area_m2(0.625 * 0.0254) / 0.0254**2, 4)
    0.6136
    """
    if diameter_m <= 0:
        raise ValueError("the diameter must be above zero")
    return math.pi / 4.0 * diameter_m**2


def bolt_loads_n(area_m2: float, *, proof_pa: float, yield_pa: float, tensile_pa: float) -> BoltLoads:
    """Straight tension a bolt carries.

    F = S·A_t

    Parameters
    ----------
    area_m2 : float
        Stress area, above 0.
    proof_pa : float
        Proof stress of its grade: no lasting stretch.
    yield_pa : float
        Yield stress of its grade.
    tensile_pa : float
        Tensile strength of its grade.

    Returns
    -------
    BoltLoads
        Newtons.

    Raises
    ------
    ValueError
        When the area is not above zero or the stresses do not rise from proof to tensile.

    Breaks down when
        the nut or the tapped thread strips first, or the bolt is bent.

    Source
        Definition of the grades (SAE J429, ISO 898-1; read in secondary pages).

    Examples
    --------
    >>> ksi = 6.894757e6
    >>> loads = bolt_loads_n(0.1419 * 0.0254**2, proof_pa=85 * ksi, yield_pa=92 * ksi, tensile_pa=120 * ksi)
    >>> round(loads.proof_n / 4.4482216), round(loads.tensile_n / 4.4482216)
    (12061, 17028)
    """
    if area_m2 <= 0 or not 0 < proof_pa <= yield_pa <= tensile_pa:
        raise ValueError(
            "the area must be above zero, and the stresses rise from proof through yield to tensile"
        )
    return BoltLoads(proof_pa * area_m2, yield_pa * area_m2, tensile_pa * area_m2)


def shear_load_n(
    diameter_m: float,
    pitch_m: float,
    *,
    series: str,
    strength_pa: float,
    threads_in_plane: bool,
    planes: int = 1,
    factor: float = SHEAR_OF_YIELD,
) -> float:
    """What one bolt carries across its axis.

    F = planes·factor·S·A, A the root area when the threads lie in the plane that is cut, else the shank

    Parameters
    ----------
    diameter_m : float
        Nominal diameter.
    pitch_m : float
        Thread to thread.
    series : str
        "inch" or "metric".
    strength_pa : float
        Yield stress with factor 0.577, or tensile strength with factor 0.6.
    threads_in_plane : bool
        Whether the threads reach into the plane between the plates.
    planes : int
        1 for two plates, 2 for a plate between two others.
    factor : float
        Shear strength over the strength given, above 0.

    Returns
    -------
    float
        Newtons.

    Raises
    ------
    ValueError
        When the bolt, the strength or the number of planes is impossible.

    Breaks down when
        plates stand apart (spacers): the bolt then bends as well.

    Source
        0.577 of yield: von Mises, derived. 0.6 of tensile: an empirical guide of the Industrial Fasteners
        Institute (Inch Fastener Standards, 7th edition, B-8), quoted in a secondary page.

    Examples
    --------
    >>> half = {"series": "inch", "strength_pa": 120 * 6.894757e6, "factor": SHEAR_OF_TENSILE}
    >>> [
    ...     round(shear_load_n(0.0127, 0.0254 / 13, threads_in_plane=t, **half) / 4.4482216)
    ...     for t in (False, True)
    ... ]
    [14137, 9051]
    """
    if strength_pa <= 0 or factor <= 0 or planes < 1:
        raise ValueError("the strength and its factor must be above zero, and at least one plane is cut")
    root_m2 = root_area_m2(diameter_m, pitch_m, series=series)
    return planes * factor * strength_pa * (root_m2 if threads_in_plane else shank_area_m2(diameter_m))


def pin_load_n(diameter_m: float, *, yield_pa: float, planes: int = 2) -> float:
    """What a plain pin carries before it yields in shear.

    F = planes·0.577·S_y·(pi/4)·d²

    Parameters
    ----------
    diameter_m : float
        Diameter where it is cut, above 0.
    yield_pa : float
        Yield stress of its steel, above 0.
    planes : int
        2 in a fork, 1 when it is held on one side only.

    Returns
    -------
    float
        Newtons.

    Raises
    ------
    ValueError
        When a value is not above zero.

    Breaks down when
        the fork is wide and the pin bends, or is worn.

    Source
        von Mises for yield in shear; two cut areas.

    Examples
    --------
    >>> round(pin_load_n(0.016, yield_pa=250e6) / 1000, 1)
    58.0
    """
    if yield_pa <= 0 or planes < 1:
        raise ValueError("the yield stress must be above zero, and at least one plane is cut")
    return planes * SHEAR_OF_YIELD * yield_pa * shank_area_m2(diameter_m)


def preload_n(
    torque_n_m: float, *, diameter_m: float, nut_factor: float, nut_factor_spread: float = 0.0
) -> Preload:
    """Clamp force from a torque, and the band in which it may lie.

    F = T / (K·D), with K from (1 - s)·K to (1 + s)·K

    Parameters
    ----------
    torque_n_m : float
        At the wrench, 0 or more.
    diameter_m : float
        Nominal diameter, above 0.
    nut_factor : float
        K, a bare number: about 0.20 dry, 0.15 oiled (from memory); above 0.
    nut_factor_spread : float
        s, how far K may be off, as a share from 0 to below 1.

    Returns
    -------
    Preload
        Low, middle and high clamp force of one bolt.

    Raises
    ------
    ValueError
        When a value is impossible.

    Breaks down when
        paint or rubber under the head lets the clamp force go again, or the bolt has passed its proof load.

    Source
        T = K·D·F, the short form of the wrench equation; K from memory.

    Examples
    --------
    >>> [round(force) for force in preload_n(80.0, diameter_m=0.0127, nut_factor=0.2, nut_factor_spread=0.25)]
    [25197, 31496, 41995]
    """
    if torque_n_m < 0 or diameter_m <= 0 or nut_factor <= 0 or not 0 <= nut_factor_spread < 1:
        raise ValueError(
            "torque must be 0 or more, diameter and nut factor above zero, and the spread from 0 to below 1"
        )
    middle_n = torque_n_m / (nut_factor * diameter_m)
    return Preload(middle_n / (1.0 + nut_factor_spread), middle_n, middle_n / (1.0 - nut_factor_spread))


def torque_n_m(preload_n: float, *, diameter_m: float, nut_factor: float) -> float:
    """Torque that gives a clamp force.

    T = K·D·F

    Parameters
    ----------
    preload_n : float
        Clamp force wanted, 0 or more; 75 % of the proof load is common for bolts that are used again.
    diameter_m : float
        Nominal diameter, above 0.
    nut_factor : float
        K, a bare number, above 0.

    Returns
    -------
    float
        N·m.

    Raises
    ------
    ValueError
        When a value is impossible.

    Breaks down when
        the maker gives a torque: that one holds.

    Source
        T = K·D·F. 75 % of proof read at coxhardware.com (clamp loads).

    Examples
    --------
    >>> round(torque_n_m(26_035.0, diameter_m=0.0127, nut_factor=0.2), 1)
    66.1
    """
    if preload_n < 0 or diameter_m <= 0 or nut_factor <= 0:
        raise ValueError("the clamp force must be 0 or more, diameter and nut factor above zero")
    return nut_factor * diameter_m * preload_n


def slip_load_n(preload_n: float, *, friction: float, faces: int = 1) -> float:
    """Side force at which a clamped joint starts to slip, for one bolt.

    F = faces·mu·F_preload

    Parameters
    ----------
    preload_n : float
        Clamp force that is left, 0 or more.
    friction : float
        mu between the plates, 0 or more: about 0.2 for plain or painted steel (from memory).
    faces : int
        Pairs of faces that would slide, 1 for two plates.

    Returns
    -------
    float
        Newtons.

    Raises
    ------
    ValueError
        When a value is impossible.

    Breaks down when
        tension takes clamp force away, or the faces are greasy. After slipping the bolts bear on the edges of
        their holes.

    Source
        Dry friction.

    Examples
    --------
    >>> round(slip_load_n(26_000.0, friction=0.2))
    5200
    """
    if preload_n < 0 or friction < 0 or faces < 1:
        raise ValueError("clamp force and friction must be 0 or more, and at least one pair of faces slides")
    return faces * friction * preload_n


def slip_factor(
    tension_n: float, shear_n: float, *, preload_n: float, friction: float, faces: int = 1
) -> float:
    """How many times a pull and a side force on one bolt may grow until the clamped plates slip there.

    k = i·mu·F / (S + i·mu·T), a bolt that is pushed loses no clamp force

    Parameters
    ----------
    tension_n : float
        T, pull along the bolt; negative when the plate presses.
    shear_n : float
        S, force across the bolt.
    preload_n : float
        F, clamp force, 0 or more.
    friction : float
        mu between the plates, 0 or more.
    faces : int
        i, pairs of faces that would slide, 1 or more.

    Returns
    -------
    float
        Infinite when nothing acts.

    Raises
    ------
    ValueError
        When a value is impossible.

    Breaks down when
        the joint's other bolts still grip: they then take over, and the joint slips a little later.

    Source
        Dry friction of slip_load_n; all the pull is taken off the clamp force, which is cautious.

    Examples
    --------
    >>> round(slip_factor(2_000.0, 1_000.0, preload_n=20_000.0, friction=0.2), 3)
    2.857
    """
    grips_n = slip_load_n(preload_n, friction=friction, faces=faces)
    loosens_n = shear_n + faces * friction * max(tension_n, 0.0)
    return grips_n / loosens_n if loosens_n > 0 else math.inf


def combined_use(tension_n: float, shear_n: float, *, tension_load_n: float, shear_load_n: float) -> float:
    """Share of a bolt that tension and shear use together.

    use = sqrt((T/T_c)² + (S/S_c)²), pressing counts as no tension

    Parameters
    ----------
    tension_n : float
        Pull along the bolt; negative when the plate presses.
    shear_n : float
        Force across the bolt.
    tension_load_n : float
        What it carries in tension alone, above 0.
    shear_load_n : float
        What it carries in shear alone, above 0.

    Returns
    -------
    float
        1 when the bolt yields; all forces may grow by 1/use until then.

    Raises
    ------
    ValueError
        When a capacity is not above zero.

    Breaks down when
        prying adds to the tension.

    Source
        Elliptic interaction; with 0.577 for shear it is von Mises.

    Examples
    --------
    >>> round(combined_use(3.0, 4.0, tension_load_n=5.0, shear_load_n=5.0), 3)
    1.0
    """
    if tension_load_n <= 0 or shear_load_n <= 0:
        raise ValueError("what the bolt carries must be above zero")
    return math.hypot(max(tension_n, 0.0) / tension_load_n, shear_n / shear_load_n)


def _area_m2(diameter_m: float, pitch_m: float, series: str, which: int) -> float:
    if series not in FROM_DIAMETER:
        raise ValueError(f"the thread series is 'inch' or 'metric', not '{series}'")
    left_m = diameter_m - FROM_DIAMETER[series][which] * pitch_m
    if pitch_m <= 0 or left_m <= 0:
        raise ValueError("the pitch must be above zero and the thread less deep than the bolt")
    return math.pi / 4.0 * left_m**2
