"""What standards ask of a coupling: D-values, and the class table of one state's regulation."""

G_R55_M_S2 = 9.81  # the regulation's own rounding


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
    for highest, number in ((2_000, 1), (3_500, 2), (5_000, 3), (10_000, 4)):
        if 0 < towed_mass_lb <= highest:
            return number
    raise ValueError("the table goes from above 0 to 10,000 lb")


def hitch_test_loads_lb(rated_lb: float) -> tuple[float, float, float, float]:
    """Test loads of a weight-carrying hitch.

    V = L = 0.47R + 480; L = 0.23R + 1530 with V = 0.15R; T = 0.20R + 500

    Parameters
    ----------
    rated_lb : float
        Rated gross weight in pounds, the regulation's own unit.

    Returns
    -------
    tuple of four floats
        Step 1 V = L; steps 2 and 3 L and V; steps 4 and 5 T; all in lbf.

    Breaks down when
        the hitch is not of the weight-carrying kind, or is rated above 5,000 lb.

    Source
        COMAR 11.13.08.10, tables (Maryland), after SAE J684.

    Examples
    --------
    >>> [round(load) for load in hitch_test_loads_lb(2000)]
    [1420, 1990, 300, 900]
    """
    return 0.47 * rated_lb + 480, 0.23 * rated_lb + 1530, 0.15 * rated_lb, 0.20 * rated_lb + 500
