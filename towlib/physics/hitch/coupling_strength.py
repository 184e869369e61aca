"""What standards ask of a coupling: D-values, and the class table of one state's regulation."""

from typing import NamedTuple

G_R55_M_S2 = 9.81  # the regulation's own rounding
CLASSES = ((2_000, 1), (3_500, 2), (5_000, 3), (10_000, 4))  # heaviest gross towed weight in lb, class


class CouplingMinimum(NamedTuple):
    """Least breaking loads of a coupling and ball, lbf, the regulation's own unit."""

    longitudinal_lb: float
    transverse_lb: float
    vertical_tension_lb: float
    vertical_compression_lb: float


def d_value_n(tow_mass_kg: float, towed_mass_kg: float) -> float:
    """D-value of a drawbar coupling.

    D = g · T · R / (T + R), with g = 9.81

    Parameters
    ----------
    tow_mass_kg : float
        Tow vehicle as loaded, above 0.
    towed_mass_kg : float
        Towed vehicle as loaded, above 0.

    Returns
    -------
    float
        Newtons (stamped on couplings in kN).

    Raises
    ------
    ValueError
        When a mass is not above zero.

    Breaks down when
        used for a fifth wheel, which has another form.

    Source
        UNECE Regulation 55, read in a secondary page (engineersedge.com).

    Examples
    --------
    >>> round(d_value_n(3500, 2000) / 1000, 3)
    12.485
    """
    if tow_mass_kg <= 0 or towed_mass_kg <= 0:
        raise ValueError("both masses must be above zero")
    return G_R55_M_S2 * tow_mass_kg * towed_mass_kg / (tow_mass_kg + towed_mass_kg)


def dc_value_n(tow_mass_kg: float, towed_axle_mass_kg: float) -> float:
    """Dc-value of a coupling for a towed vehicle with a rigid drawbar.

    Dc = g · T · C / (T + C), with g = 9.81; C is the mass on the towed axles, without what rests on the
    coupling

    Parameters
    ----------
    tow_mass_kg : float
        Tow vehicle as loaded, with what rests on the coupling, above 0.
    towed_axle_mass_kg : float
        Mass on the axles of the towed vehicle, above 0.

    Returns
    -------
    float
        Newtons.

    Raises
    ------
    ValueError
        When a mass is not above zero.

    Breaks down when
        the towed vehicle stands on four wheels and its bar rests on them: then Dc and D are the same within
        the bar's weight.

    Source
        Directive 94/20/EC, read in a secondary page (engineersedge.com).

    Examples
    --------
    >>> round(dc_value_n(3000, 1500))
    9810
    """
    return d_value_n(tow_mass_kg, towed_axle_mass_kg)


def coupling_class(towed_mass_lb: float) -> int:
    """Class of a coupling by the gross weight it tows.

    1 up to 2,000 lb, 2 to 3,500, 3 to 5,000, 4 to 10,000

    Parameters
    ----------
    towed_mass_lb : float
        Gross towed weight in pounds, the regulation's own unit; above 0, at most 10,000.

    Returns
    -------
    int
        1 to 4.

    Raises
    ------
    ValueError
        When the weight is outside the table.

    Breaks down when
        your state or country has another table.

    Source
        COMAR 11.13.08.04 (Maryland), after SAE J684.

    Examples
    --------
    >>> coupling_class(3901)
    3
    """
    for highest, number in CLASSES:
        if 0 < towed_mass_lb <= highest:
            return number
    raise ValueError("the table goes from above 0 to 10,000 lb")


def coupling_minimum_lb(towed_mass_lb: float) -> CouplingMinimum:
    """Least breaking loads of a coupling and ball for a gross towed weight.

    class 1 to 3 from the table; class 4: 3·W along, 1·W across, 1.3·W vertical tension, 1.4·W vertical
    compression

    Parameters
    ----------
    towed_mass_lb : float
        Gross towed weight in pounds, the regulation's own unit; above 0, at most 10,000.

    Returns
    -------
    CouplingMinimum
        In lbf; longitudinal holds for tension and compression.

    Raises
    ------
    ValueError
        When the weight is outside the table.

    Breaks down when
        your state or country has another table. The 1.4 stands as printed and may be a copying slip.

    Source
        COMAR 11.13.08.10, tables (Maryland), after SAE J684.

    Examples
    --------
    >>> coupling_minimum_lb(3901)  # doctest: +NORMALIZE_WHITESPACE
    CouplingMinimum(longitudinal_lb=15000, transverse_lb=4000, vertical_tension_lb=7000,
                    vertical_compression_lb=7000)
    """
    number = coupling_class(towed_mass_lb)
    if number == 4:
        return CouplingMinimum(3.0 * towed_mass_lb, towed_mass_lb, 1.3 * towed_mass_lb, 1.4 * towed_mass_lb)
    along, across, vertical = {
        1: (6_000, 2_000, 2_500),
        2: (10_500, 3_000, 4_500),
        3: (15_000, 4_000, 7_000),
    }[number]
    return CouplingMinimum(along, across, vertical, vertical)


def hitch_test_loads_lb(rated_lb: float) -> tuple[float, float, float, float]:
    """Test loads of a weight-carrying hitch.

    V = L = 0.47R + 480; L = 0.23R + 1530 with V = 0.15R; T = 0.20R + 500

    Parameters
    ----------
    rated_lb : float
        Rated gross weight in pounds, the regulation's own unit, above 0.

    Returns
    -------
    tuple of four floats
        Step 1 V = L; steps 2 and 3 L and V; steps 4 and 5 T; all in lbf.

    Raises
    ------
    ValueError
        When the weight is not above zero.

    Breaks down when
        the hitch is not of the weight-carrying kind, or is rated above 5,000 lb.

    Source
        COMAR 11.13.08.10, tables (Maryland), after SAE J684.

    Examples
    --------
    >>> [round(load) for load in hitch_test_loads_lb(2000)]
    [1420, 1990, 300, 900]
    """
    if rated_lb <= 0:
        raise ValueError("the rated weight must be above zero")
    return 0.47 * rated_lb + 480, 0.23 * rated_lb + 1530, 0.15 * rated_lb, 0.20 * rated_lb + 500
