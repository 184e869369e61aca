"""Copper wire: its size by gauge, its resistance by length and warmth, and the volts it takes there and
back.
"""

import math

COPPER_OHM_M = 1.0 / 58e6  # annealed copper at 20 °C: 1.7241e-8
COPPER_PER_K = 0.00393  # resistance gained for each kelvin above 20 °C
SMALLEST_GAUGE, LARGEST_GAUGE = 0, 40


def awg_diameter_m(gauge: int) -> float:
    """Diameter of a solid wire of an American gauge.

    d = 0.005 in · 92^((36 - n)/39): a larger number is a thinner wire

    Parameters
    ----------
    gauge : int
        Gauge number, 0 to 40.

    Returns
    -------
    float
        Metres, bare copper.

    Raises
    ------
    ValueError
        When the gauge is outside 0 to 40.

    Breaks down when
        a stranded wire is sold by its outside, or a wire is sold by the diameter of its insulation ("4 mm" is
        not 4 mm²).

    Source
        Definition of the American wire gauge; table read at hyperphysics.phy-astr.gsu.edu.

    Examples
    --------
    >>> round(awg_diameter_m(16) / 0.0254, 4)
    0.0508
    """
    if not SMALLEST_GAUGE <= gauge <= LARGEST_GAUGE:
        raise ValueError("the gauge must lie between 0 and 40")
    return 0.005 * 0.0254 * 92.0 ** ((36 - gauge) / 39)


def awg_section_m2(gauge: int) -> float:
    """Copper section of an American gauge.

    A = pi·d²/4

    Parameters
    ----------
    gauge : int
        Gauge number, 0 to 40.

    Returns
    -------
    float
        Square metres.

    Breaks down when
        strands are missing or cut at the terminal.

    Source
        Geometry of a round wire.

    Examples
    --------
    >>> round(awg_section_m2(14) * 1e6, 3)
    2.081
    """
    return math.pi * awg_diameter_m(gauge) ** 2 / 4.0


def wire_ohm(length_m: float, section_m2: float, *, temperature_c: float = 20.0) -> float:
    """Resistance of one length of copper wire, one way.

    R = rho·L/A·(1 + 0.00393·(t - 20))

    Parameters
    ----------
    length_m : float
        Length of the wire itself, above 0.
    section_m2 : float
        Copper section, above 0.
    temperature_c : float
        Temperature of the copper, -60 to 200 °C.

    Returns
    -------
    float
        Ohms.

    Raises
    ------
    ValueError
        When length or section is not above zero, or the temperature is outside -60 to 200 °C.

    Breaks down when
        the strands are corroded; stranded wire has about 2 % more, because its strands run in a spiral.

    Source
        Copper standard (1/58 ohm·mm²/m at 20 °C, 0.00393 for each kelvin); NEC chapter 9 table 8 for 75 °C.

    Examples
    --------
    >>> round(wire_ohm(304.8, awg_section_m2(14), temperature_c=75.0), 2)
    3.07
    """
    if not (length_m > 0 and section_m2 > 0):
        raise ValueError("length and section of a wire must be above zero")
    if not -60.0 <= temperature_c <= 200.0:
        raise ValueError("the wire's temperature must lie between -60 and 200 °C")
    return COPPER_OHM_M * length_m / section_m2 * (1.0 + COPPER_PER_K * (temperature_c - 20.0))


def volts_lost_v(
    current_a: float,
    length_m: float,
    *,
    section_m2: float,
    return_section_m2: float | None,
    temperature_c: float = 20.0,
) -> float:
    """Volts lost in the wire to the lamp and in the wire back, for a steady current.

    U = I·rho(t)·L·(1/A + 1/A_return): the current passes both wires

    Parameters
    ----------
    current_a : float
        Current, 0 or more.
    length_m : float
        One way, as measured with the tape along the wire, above 0.
    section_m2 : float
        Copper section of the wire to the lamp, above 0.
    return_section_m2 : float or None
        Of the ground wire; None when the frame brings the current back and takes no volts worth counting.
    temperature_c : float
        Temperature of the copper.

    Returns
    -------
    float
        Volts.

    Raises
    ------
    ValueError
        When the current is negative, or a wire is impossible.

    Breaks down when
        several lamps share the ground wire: add their currents there; and a lamp that gets fewer volts draws
        less.

    Source
        Ohm's law.

    Examples
    --------
    >>> section = awg_section_m2(16)
    >>> round(volts_lost_v(5.0, 25 * 0.3048, section_m2=section, return_section_m2=section), 3)
    1.004
    """
    if current_a < 0:
        raise ValueError("the current cannot be negative")
    ohm = wire_ohm(length_m, section_m2, temperature_c=temperature_c)
    if return_section_m2 is not None:
        ohm += wire_ohm(length_m, return_section_m2, temperature_c=temperature_c)
    return current_a * ohm


def longest_run_m(
    current_a: float,
    allowed_v: float,
    *,
    section_m2: float,
    return_section_m2: float | None,
    temperature_c: float = 20.0,
) -> float:
    """How far the lamp may be away, one way, so that the wires take no more than some volts.

    L = U / (I·rho(t)·(1/A + 1/A_return))

    Parameters
    ----------
    current_a : float
        Current, above 0.
    allowed_v : float
        Volts allowed there and back, above 0; 0.5 V or 3 % are rules from memory.
    section_m2 : float
        Copper section of the wire to the lamp, above 0.
    return_section_m2 : float or None
        Of the ground wire, None for the frame.
    temperature_c : float
        Temperature of the copper.

    Returns
    -------
    float
        Metres, one way.

    Raises
    ------
    ValueError
        When current or volts are not above zero, or a wire is impossible.

    Breaks down when
        connectors and ground bolts take their share first, as old ones do.

    Source
        Ohm's law.

    Examples
    --------
    >>> section = awg_section_m2(16)
    >>> round(longest_run_m(5.0, 0.5, section_m2=section, return_section_m2=section), 2)
    3.8
    """
    if not (current_a > 0 and allowed_v > 0):
        raise ValueError("current and allowed volts must be above zero")
    return allowed_v / volts_lost_v(
        current_a,
        1.0,
        section_m2=section_m2,
        return_section_m2=return_section_m2,
        temperature_c=temperature_c,
    )
