"""Stopping: distances on the level and on a grade, and what an unbraked towed vehicle adds."""

from towlib.physics.basics import cases as math
from towlib.physics.basics.road_load import GRAVITY_M_S2


def stopping_distance_m(speed_m_s: float, *, deceleration_m_s2: float, reaction_s: float = 0.0) -> float:
    """Distance from seeing to standing at a steady deceleration.

    d = v · t_r + v² / (2a)

    Parameters
    ----------
    speed_m_s : float
        Speed at the start.
    deceleration_m_s2 : float
        Steady deceleration along the road, above 0.
    reaction_s : float
        Time before braking starts.

    Returns
    -------
    float
        Metres.

    Raises
    ------
    ValueError
        When the deceleration is not above zero: the pair would not stop.

    Breaks down when
        brakes fade or wheels lock on the way.

    Source
        OpenStax College Physics, module m42099.

    Examples
    --------
    >>> round(stopping_distance_m(30.0, deceleration_m_s2=7.0, reaction_s=0.5), 1)
    79.3
    """
    if deceleration_m_s2 <= 0:
        raise ValueError("with no deceleration left the pair does not stop on this grade")
    return speed_m_s * reaction_s + speed_m_s * speed_m_s / (2.0 * deceleration_m_s2)


def pair_deceleration_m_s2(
    *,
    tow_mass_kg: float,
    towed_mass_kg: float,
    tow_deceleration_m_s2: float,
    towed_brake_n: float = 0.0,
    grade: float = 0.0,
) -> float:
    """Deceleration of the pair when the tow vehicle's brakes give what they give it alone on the level.

    a = (m1·a1 + F_towed) / (m1 + m2) + g·sin(atan G)

    Parameters
    ----------
    tow_mass_kg : float
        Tow vehicle as loaded, above 0.
    towed_mass_kg : float
        Towed vehicle as loaded, 0 or more.
    tow_deceleration_m_s2 : float
        What the tow vehicle reaches alone, level, fully braked.
    towed_brake_n : float
        Braking force of the towed vehicle, 0 without brakes.
    grade : float
        Rise over run, negative downhill.

    Returns
    -------
    float
        m/s², may be negative on a steep downgrade.

    Raises
    ------
    ValueError
        When the tow vehicle has no mass.

    Breaks down when
        the tow vehicle's rear wheels are unloaded by the push and slide.

    Source
        Newton's second law for the pair.

    Examples
    --------
    >>> round(pair_deceleration_m_s2(tow_mass_kg=2400, towed_mass_kg=1500, tow_deceleration_m_s2=7.0), 2)
    4.31
    """
    if tow_mass_kg <= 0:
        raise ValueError("the tow vehicle's mass must be above zero")
    level = (tow_mass_kg * tow_deceleration_m_s2 + towed_brake_n) / (tow_mass_kg + towed_mass_kg)
    return level + GRAVITY_M_S2 * grade / math.sqrt(1.0 + grade * grade)


def sight_distance_ft(speed_mph: float, *, grade: float = 0.0) -> float:
    """Stopping sight distance of the road-design handbook, in its own units.

    SSD = 1.47·V·t + V² / (30·(a/32.2 + G)), t = 2.5 s, a = 11.2 ft/s²

    Parameters
    ----------
    speed_mph : float
        Design speed, 15 to 80 mph.
    grade : float
        Rise over run, negative downhill.

    Returns
    -------
    float
        Feet.

    Raises
    ------
    ValueError
        When the grade takes all the deceleration.

    Breaks down when
        used as the stopping distance of a pair: it is written for a single passenger car.

    Source
        AASHTO Green Book, 7th edition, section 3.1.2, read in a public study note.

    Examples
    --------
    >>> round(sight_distance_ft(60, grade=-0.06), 1)
    637.4
    """
    share = 11.2 / 32.2 + grade
    if share <= 0:
        raise ValueError("on this grade the handbook's deceleration does not stop a car")
    return 1.47 * speed_mph * 2.5 + speed_mph * speed_mph / (30.0 * share)
