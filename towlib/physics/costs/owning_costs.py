"""What owning and using a way of towing costs, and from how many trips another one is cheaper. Money in any
one currency.
"""

from collections.abc import Sequence
from typing import NamedTuple


class Cost(NamedTuple):
    """A way that costs so much however often it is used, and so much for each trip."""

    fixed: float
    per_trip: float


class CostRange(NamedTuple):
    """The least and the most that a way may cost."""

    low: Cost
    high: Cost


class Crossing(NamedTuple):
    """Where two straight cost lines meet, and which is lower on either side."""

    trips: float | None  # None when they do not cross after the first trip
    lower_before: int  # 0 the first way, 1 the second
    lower_after: int


class Switch(NamedTuple):
    """From how many trips a second way may be, and surely is, not dearer than a first; None: never."""

    may_be_from: float | None
    surely_from: float | None


def owning_cost(price: float, *, resale: float, upkeep_per_year: float, years: float) -> float:
    """What is gone after some years of owning something, used or not.

    K = P - S + u·n; a year costs K / n (straight line)

    Parameters
    ----------
    price : float
        Paid at the start, 0 or more.
    resale : float
        What it fetches at the end, 0 to the price.
    upkeep_per_year : float
        Registration, insurance, storage, grease and tyres that age.
    years : float
        Above 0.

    Returns
    -------
    float
        Money over all the years.

    Raises
    ------
    ValueError
        When a sum is negative, the resale is above the price or there are no years.

    Breaks down when
        money is borrowed or could earn interest meanwhile; over many years prices rise as well.

    Source
        Straight-line depreciation, any bookkeeping textbook.

    Examples
    --------
    >>> owning_cost(4000, resale=2000, upkeep_per_year=150, years=10)
    3500.0
    """
    if min(price, resale, upkeep_per_year) < 0 or resale > price:
        raise ValueError(
            "prices and upkeep cannot be negative, and the resale value cannot be above the price"
        )
    if years <= 0:
        raise ValueError("there must be some years of use")
    return float(price - resale + upkeep_per_year * years)


def cost_of_trips(cost: Cost, trips: float) -> float:
    """What a way has cost after some trips.

    K(N) = F + v·N

    Parameters
    ----------
    cost : Cost
        Fixed and for each trip.
    trips : float
        Number of trips, 0 or more.

    Returns
    -------
    float
        Money.

    Raises
    ------
    ValueError
        When the number of trips is negative.

    Breaks down when
        more trips wear it out sooner than the years it was bought for.

    Source
        Break-even analysis, any bookkeeping textbook.

    Examples
    --------
    >>> cost_of_trips(Cost(500, 90), 10)
    1400
    """
    if trips < 0:
        raise ValueError("the number of trips cannot be negative")
    return cost.fixed + cost.per_trip * trips


def break_even(first: Cost, second: Cost) -> Crossing:
    """Number of trips at which two ways have cost the same.

    N = (F_2 - F_1) / (v_1 - v_2)

    Parameters
    ----------
    first, second : Cost
        Two ways.

    Returns
    -------
    Crossing
        The number of trips (not whole), and which way is lower before and after; a tie counts for the first.

    Breaks down when
        the costs are not straight lines, for example a second set of tyres.

    Source
        Break-even analysis, any bookkeeping textbook.

    Examples
    --------
    >>> break_even(Cost(500, 90), Cost(2300, 60))
    Crossing(trips=60.0, lower_before=0, lower_after=1)
    """
    before = int((second.fixed, second.per_trip) < (first.fixed, first.per_trip))
    after = int((second.per_trip, second.fixed) < (first.per_trip, first.fixed))
    crosses = before != after and second.fixed != first.fixed
    return Crossing(
        (second.fixed - first.fixed) / (first.per_trip - second.per_trip) if crosses else None, before, after
    )


def switch_range(first: CostRange, second: CostRange) -> Switch:
    """From how many trips the second way may be, and surely is, not dearer than the first.

    may be: second's least against first's most; surely: second's most against first's least; each N = dF / dv

    Parameters
    ----------
    first, second : CostRange
        Two ways with their ranges, which are taken as independent of each other.

    Returns
    -------
    Switch
        Both numbers of trips, 0 when from the start and None when never.

    Raises
    ------
    ValueError
        When a low end lies above its high end.

    Breaks down when
        the same doubt moves both ways together (the fuel price): then the true range is narrower.

    Source
        Interval arithmetic on the break-even line.

    Examples
    --------
    >>> switch_range(CostRange(Cost(450, 80), Cost(550, 100)), CostRange(Cost(2200, 55), Cost(2400, 65)))
    Switch(may_be_from=36.666666666666664, surely_from=130.0)
    """
    for way in (first, second):
        if way.low.fixed > way.high.fixed or way.low.per_trip > way.high.per_trip:
            raise ValueError("the low end of a range cannot lie above its high end")
    more, saved = second.low.fixed - first.high.fixed, first.high.per_trip - second.low.per_trip
    if more <= 0:
        may_be = 0.0
    elif saved > 0:
        may_be = more / saved
    else:
        may_be = None
    more, saved = second.high.fixed - first.low.fixed, first.low.per_trip - second.high.per_trip
    if saved > 0:
        surely = max(0.0, more / saved)
    elif saved == 0 and more <= 0:
        surely = 0.0
    else:
        surely = None
    return Switch(may_be, surely)


def lowest(costs: Sequence[Cost], trips: float) -> int:
    """Which of several ways has cost least after some trips.

    argmin over the ways of F + v·N

    Parameters
    ----------
    costs : sequence of Cost
        At least one way.
    trips : float
        Number of trips, 0 or more.

    Returns
    -------
    int
        Its place in the sequence; the earlier one when two cost the same.

    Raises
    ------
    ValueError
        When there is no way, or the number of trips is negative.

    Breaks down when
        the costs are not known well: see switch_range.

    Source
        Break-even analysis, any bookkeeping textbook.

    Examples
    --------
    >>> lowest([Cost(500, 90), Cost(2300, 60)], 61)
    1
    """
    if not costs:
        raise ValueError("there must be at least one way to compare")
    return min(range(len(costs)), key=lambda i: (cost_of_trips(costs[i], trips), i))
