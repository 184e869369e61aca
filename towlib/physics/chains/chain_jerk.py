"""The jerk when slack safety chains are taken up after the coupler has let go."""

import math


def chain_stiffness_n_m(
    working_load_n: float, *, length_m: float, stretch_share: float, anchor_give_m: float = 0.0
) -> float:
    """Stiffness of one chain with its anchors, from how far it gives at its working load.

    k = W / (e·L + d)

    Parameters
    ----------
    working_load_n : float
        Working load of the chain, above 0.
    length_m : float
        Length between the ends, above 0.
    stretch_share : float
        Stretch at the working load over the length: 0.01 to 0.03 from memory, check with the chain maker.
    anchor_give_m : float
        How far both anchors together give at that load, 0 or more.

    Returns
    -------
    float
        Newtons for each metre.

    Raises
    ------
    ValueError
        When load, length or give are not above zero, or a share is negative.

    Breaks down when
        the links straighten themselves under a first small load, or yield: then far more give, and a chain to
        throw away.

    Source
        Hooke's law, chain and anchors one after the other; the stretch is from memory and decides nothing.

    Examples
    --------
    >>> round(chain_stiffness_n_m(24_000.0, length_m=0.6, stretch_share=0.02))
    2000000
    """
    if working_load_n <= 0 or length_m <= 0 or stretch_share < 0 or anchor_give_m < 0:
        raise ValueError(
            "the working load and the length must be above zero, and stretch and give cannot be negative"
        )
    give_m = stretch_share * length_m + anchor_give_m
    if give_m <= 0:
        raise ValueError("a chain that gives nothing would be jerked without limit")
    return working_load_n / give_m


def jerk_n(pull_n: float, slack_m: float, *, stiffness_n_m: float) -> float:
    """Greatest force in the chains when the pull has run through the slack.

    P·(s + x) = k·x²/2, so T = k·x = P + sqrt(P² + 2·k·P·s); 2·P without slack

    Parameters
    ----------
    pull_n : float
        Force in the bar just before, kept up by the tow vehicle; 0 or more, a pull.
    slack_m : float
        Distance the vehicles move apart before the chains are taut, 0 or more.
    stiffness_n_m : float
        Of all chains that pull together, above 0.

    Returns
    -------
    float
        Newtons, all chains together. It does not depend on the masses: they set only how soon it comes.

    Raises
    ------
    ValueError
        When the stiffness is not above zero, the pull is a push, or the slack is negative.

    Breaks down when
        the driver lifts off or brakes (less), the pair was surging (more), a link yields (less force, a
        spoiled chain).
        While the towed vehicle pushes, the chains do nothing: it runs into the tow vehicle first, and the
        pull comes after.

    Source
        Energy; the impact factor 1 + sqrt(1 + 2·h/d) of strength-of-materials textbooks with s for h and P/k
        for d.

    Examples
    --------
    >>> round(jerk_n(2000.0, 0.10, stiffness_n_m=2e6))
    30355
    """
    if stiffness_n_m <= 0 or pull_n < 0 or slack_m < 0:
        raise ValueError("the stiffness must be above zero, and pull and slack cannot be negative")
    return pull_n + math.sqrt(pull_n * (pull_n + 2.0 * stiffness_n_m * slack_m))


def parting_speed_m_s(pull_n: float, slack_m: float, *, front_mass_kg: float, rear_mass_kg: float) -> float:
    """How fast the vehicles move apart at the moment the chains become taut.

    P·s = m·v²/2 with m = m1·m2/(m1 + m2)

    Parameters
    ----------
    pull_n : float
        Force in the bar just before, kept up; 0 or more.
    slack_m : float
        Distance moved apart, 0 or more.
    front_mass_kg, rear_mass_kg : float
        Both vehicles, above 0.

    Returns
    -------
    float
        Metres a second.

    Raises
    ------
    ValueError
        When a mass is not above zero, the pull is a push, or the slack is negative.

    Breaks down when
        the driver lifts off.

    Source
        Energy of two bodies that move apart.

    Examples
    --------
    >>> round(parting_speed_m_s(2000.0, 0.10, front_mass_kg=2600.0, rear_mass_kg=1500.0), 3)
    0.648
    """
    if min(front_mass_kg, rear_mass_kg) <= 0 or pull_n < 0 or slack_m < 0:
        raise ValueError("both masses must be above zero, and pull and slack cannot be negative")
    return math.sqrt(2.0 * pull_n * slack_m * (front_mass_kg + rear_mass_kg) / (front_mass_kg * rear_mass_kg))
