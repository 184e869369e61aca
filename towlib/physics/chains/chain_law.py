"""What some published rules ask of safety chains, by the weight of what is towed; always check your own
law.
"""

from typing import NamedTuple

from towlib.physics.hitch.coupling_strength import coupling_class


class MarkedChains(NamedTuple):
    """Chains asked for by number and mark."""

    least_count: int
    least_mark: (
        int | None
    )  # the number after 4177-, None where the rule asks for grade and breaking load instead


def chain_break_lb(towed_mass_lb: float) -> float:
    """Least breaking force of each safety chain by class of gross weight.

    class 1: 2,000 lb; 2: 3,500 lb; 3: 5,000 lb; 4: the gross weight itself

    Parameters
    ----------
    towed_mass_lb : float
        Gross weight of what is towed, above 0 to 10,000 lb.

    Returns
    -------
    float
        Pounds-force.

    Raises
    ------
    ValueError
        When the weight lies outside the classes.

    Breaks down when
        your law says otherwise; the classes are made for trailers.

    Source
        SAE J684 classes as enacted in COMAR 11.13.08 (chain forces read in a secondary page).

    Examples
    --------
    >>> chain_break_lb(3300.0), chain_break_lb(6200.0)
    (3500.0, 6200.0)
    """
    return {1: 2000.0, 2: 3500.0, 3: 5000.0}.get(coupling_class(towed_mass_lb), towed_mass_lb)


def marked_chains(towed_mass_kg: float) -> MarkedChains:
    """Number and mark of safety chains the Australian rule asks for.

    to 2,500 kg: one or more, mark at least the mass; to 3,500 kg: two of 4177-35; above: two of grade T

    Parameters
    ----------
    towed_mass_kg : float
        Aggregate trailer mass, above 0.

    Returns
    -------
    MarkedChains
        Least number of chains, and the least mark that holds the mass.

    Raises
    ------
    ValueError
        When the mass is not above zero.

    Breaks down when
        a state asks for more: one wants two chains below 2,500 kg as well.

    Source
        VSB 1 and AS 4177.4 (read in a forum copy of a state circular and in a magazine).

    Examples
    --------
    >>> marked_chains(1600), marked_chains(3000)
    (MarkedChains(least_count=1, least_mark=16), MarkedChains(least_count=2, least_mark=35))
    """
    if towed_mass_kg <= 0:
        raise ValueError("the towed mass must be above zero")
    if towed_mass_kg > 3500:
        return MarkedChains(2, None)
    if towed_mass_kg > 2500:
        return MarkedChains(2, 35)
    return MarkedChains(1, next(mark for mark in (10, 16, 25) if marked_load_kg(mark) >= towed_mass_kg))


def marked_load_kg(mark: int) -> float:
    """Towed mass a chain with the mark 4177-… is made for.

    mark times 100 kg

    Parameters
    ----------
    mark : int
        10, 16, 25 or 35: the number after 4177-.

    Returns
    -------
    float
        Kilograms.

    Raises
    ------
    ValueError
        When there is no such mark.

    Breaks down when
        the mark is worn off: such a chain counts as unmarked.

    Source
        AS 4177.4 as read in a forum copy of a state circular.

    Examples
    --------
    >>> marked_load_kg(25)
    2500.0
    """
    if mark not in (10, 16, 25, 35):
        raise ValueError("the marks are 4177-10, 4177-16, 4177-25 and 4177-35")
    return 100.0 * mark
