"""Three weighings: every axle load and the load on the ball, with the scale's rounding carried through."""

import math
from typing import NamedTuple


class Weighed(NamedTuple):
    """A weight worked out from scale readings."""

    mass_kg: float
    at_most_off_kg: float  # every reading off by half a division, all the wrong way
    likely_off_kg: float  # standard deviation when the roundings are independent


class Agreement(NamedTuple):
    """Two ways to the same weight."""

    difference_kg: float
    within_rounding: bool


class ThreeWeighings(NamedTuple):
    """What three weighings tell: tow vehicle alone, the pair hitched, towed vehicle alone."""

    tow_front_change: Weighed  # hitching's effect on the tow vehicle's front axle
    tow_rear_change: Weighed
    ball_load: Weighed
    ball_load_told_from_zero: bool
    towed_total: Weighed
    combined_total: Weighed
    sums: Agreement  # apart against together


def rounding_kg(readings: int, *, division_kg: float) -> tuple[float, float]:
    """How far a sum or difference of readings can be off, and how far it likely is.

    worst: n · d/2; likely: sqrt(n) · d / sqrt(12)

    Parameters
    ----------
    readings : int
        How many readings are added or subtracted.
    division_kg : float
        Step of the scale's display, 5 to 50 kg, 0 or more.

    Returns
    -------
    tuple of two floats
        Worst case and standard deviation in kg.

    Raises
    ------
    ValueError
        When the division is negative.

    Breaks down when
        the scale is off by more than its rounding, or an axle's wheels stand half off the plate.

    Source
        A rounded reading is uniformly spread over one division: GUM (JCGM 100), clause 4.3.7.

    Examples
    --------
    >>> worst, likely = rounding_kg(4, division_kg=20)
    >>> worst, round(likely, 2)
    (40.0, 11.55)
    """
    if division_kg < 0:
        raise ValueError("the scale's division cannot be negative")
    return readings * division_kg / 2.0, math.sqrt(readings) * division_kg / math.sqrt(12.0)


def ball_load(
    alone_front_kg: float,
    alone_rear_kg: float,
    *,
    hitched_front_kg: float,
    hitched_rear_kg: float,
    division_kg: float,
) -> Weighed:
    """Load on the ball from the tow vehicle's axles, weighed alone and hitched.

    V = (front + rear)_hitched - (front + rear)_alone

    Parameters
    ----------
    alone_front_kg, alone_rear_kg : float
        Tow vehicle alone, as loaded for the trip.
    hitched_front_kg, hitched_rear_kg : float
        Its axles with the towed vehicle hitched, level.
    division_kg : float
        Step of the scale's display.

    Returns
    -------
    Weighed
        Ball load with its uncertainty; negative when the bar lifts.

    Breaks down when
        people or cargo move between the weighings.

    Source
        Difference of weighings; rounding after GUM (JCGM 100).

    Examples
    --------
    >>> ball_load(1400, 1200, hitched_front_kg=1400, hitched_rear_kg=1220, division_kg=20)
    Weighed(mass_kg=20, at_most_off_kg=40.0, likely_off_kg=11.547005383792516)
    """
    worst, likely = rounding_kg(4, division_kg=division_kg)
    return Weighed(hitched_front_kg + hitched_rear_kg - alone_front_kg - alone_rear_kg, worst, likely)


def ball_load_from_rear(
    alone_rear_kg: float, hitched_rear_kg: float, *, wheelbase_m: float, overhang_m: float, division_kg: float
) -> Weighed:
    """Load on the ball from the rear axle alone: two readings instead of four, and a lever that helps.

    V = (rear_hitched - rear_alone) · L / (L + o)

    Parameters
    ----------
    alone_rear_kg : float
        Rear axle of the tow vehicle alone.
    hitched_rear_kg : float
        Rear axle hitched.
    wheelbase_m : float
        Distance between the axles, above 0.
    overhang_m : float
        Ball behind the rear axle, 0 or more.
    division_kg : float
        Step of the scale's display.

    Returns
    -------
    Weighed
        Ball load with its uncertainty.

    Raises
    ------
    ValueError
        When the wheelbase is not above zero.

    Breaks down when
        the vehicle stands on a slope.

    Source
        Equilibrium of moments; rounding after GUM (JCGM 100).

    Examples
    --------
    >>> weighed = ball_load_from_rear(1200, 1220, wheelbase_m=3.68, overhang_m=1.32, division_kg=20)
    >>> round(weighed.mass_kg, 2), round(weighed.at_most_off_kg, 2)
    (14.72, 14.72)
    """
    if wheelbase_m <= 0:
        raise ValueError("the wheelbase must be above zero")
    lever = wheelbase_m / (wheelbase_m + overhang_m)
    worst, likely = rounding_kg(2, division_kg=division_kg)
    return Weighed((hitched_rear_kg - alone_rear_kg) * lever, worst * lever, likely * lever)


def told_from_zero(weighed: Weighed) -> bool:
    """Whether a weight is larger than all the rounding could make it.

    |m| > worst case

    Parameters
    ----------
    weighed : Weighed
        A weight worked out from readings.

    Returns
    -------
    bool
        False when the scale is too coarse to tell.

    Breaks down when
        the scale has other errors than rounding.

    Source
        Definition of the worst case.

    Examples
    --------
    >>> told_from_zero(Weighed(20.0, 40.0, 11.5))
    False
    """
    return abs(weighed.mass_kg) > weighed.at_most_off_kg


def agreement_kg(separate_kg: float, together_kg: float, *, readings: int, division_kg: float) -> Agreement:
    """Whether weights taken apart and together agree within the rounding.

    |sum apart - sum together| ≤ n · d/2

    Parameters
    ----------
    separate_kg : float
        Sum of the weights taken apart.
    together_kg : float
        Sum of the weights taken together.
    readings : int
        How many readings are in both sums.
    division_kg : float
        Step of the scale's display.

    Returns
    -------
    Agreement
        Difference in kg, and whether rounding alone can explain it.

    Breaks down when
        fuel was burnt or cargo moved between the weighings.

    Source
        Conservation of weight.

    Examples
    --------
    >>> agreement_kg(4040, 4060, readings=8, division_kg=20)
    Agreement(difference_kg=20, within_rounding=True)
    """
    difference = together_kg - separate_kg
    return Agreement(difference, abs(difference) <= rounding_kg(readings, division_kg=division_kg)[0] + 1e-9)


def three_weighings(
    tow_alone_kg: tuple[float, float],
    hitched_kg: tuple[float, float, float, float],
    *,
    towed_alone_kg: tuple[float, float],
    division_kg: float,
) -> ThreeWeighings:
    """Every axle load, the load on the ball and a check of the sums from three weighings.

    V = (F + R)_tow hitched - (F + R)_tow alone; the sums apart and together must agree within n · d/2

    Parameters
    ----------
    tow_alone_kg : tuple of two floats
        Tow vehicle alone as loaded for the trip: front, rear; with the bar on the towed vehicle.
    hitched_kg : tuple of four floats
        The pair hitched, level: tow front, tow rear, towed front, towed rear.
    towed_alone_kg : tuple of two floats
        Towed vehicle alone with the bar on it: front, rear.
    division_kg : float
        Step of the scale's display, 0 or more.

    Returns
    -------
    ThreeWeighings
        Each weight with its worst case and its likely error; the ball load is not told from zero when
        rounding alone could make it.

    Raises
    ------
    ValueError
        When a reading is negative.

    Breaks down when
        the bar's weight was held up by hand in one weighing, or people and cargo moved between the weighings.

    Source
        Sums and differences of readings; rounding after GUM (JCGM 100), clause 4.3.7.

    Examples
    --------
    >>> found = three_weighings(
    ...     (1400, 1200), (1395, 1220, 720, 735), towed_alone_kg=(735, 735), division_kg=5
    ... )
    >>> found.ball_load.mass_kg, found.ball_load.at_most_off_kg, found.ball_load_told_from_zero
    (15, 10.0, True)
    """
    if min(*tow_alone_kg, *hitched_kg, *towed_alone_kg) < 0:
        raise ValueError("a scale reading cannot be negative")
    two, four = (rounding_kg(n, division_kg=division_kg) for n in (2, 4))
    (front, rear), (tow_front, tow_rear, towed_front, towed_rear) = tow_alone_kg, hitched_kg
    ball = ball_load(
        front, rear, hitched_front_kg=tow_front, hitched_rear_kg=tow_rear, division_kg=division_kg
    )
    together = tow_front + tow_rear + towed_front + towed_rear
    return ThreeWeighings(
        Weighed(tow_front - front, *two),
        Weighed(tow_rear - rear, *two),
        ball,
        told_from_zero(ball),
        Weighed(sum(towed_alone_kg), *two),
        Weighed(together, *four),
        agreement_kg(front + rear + sum(towed_alone_kg), together, readings=8, division_kg=division_kg),
    )
