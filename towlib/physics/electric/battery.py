"""A starting battery with the key on: how long until it will not start the engine, warm or cold, new or
old.
"""

from typing import NamedTuple

from towlib.physics.basics.cases import interp

# Table 3 of TM 5-4210-230-14&P-1 (read): cranking power of a full battery, warmest first, and what an engine
# asks for
# at the same temperatures (workshop page, read): 80, 32, 0, -20 °F
_TEMPERATURES_C = (26.7, 0.0, -17.8, -28.9)
_GIVEN_SHARE = (1.0, 0.65, 0.40, 0.20)
_ASKED_SHARE = (1.0, 1.55, 2.10, 3.50)
COLD_CRANKING_SHARE = (
    0.40  # cold cranking amperes are measured at -18 °C, where 40 % of the warm power is left
)
CAPACITY_PER_K = 0.008  # capacity lost for each kelvin below 25 °C, from memory
AGE_PER_YEAR, OLDEST_SHARE = 0.05, 0.40  # lost each year, from memory
KEPT_SHARE = 0.5  # a starting battery suffers below about half its charge: from memory
CHARGE_KEPT = 0.85  # share of the charging current that stays in the battery, from memory


class KeyOn(NamedTuple):
    """How long a battery lasts with the key on."""

    hours: float | None  # until it will not start the engine; None when the feed keeps up
    net_a: float  # taken out of the battery; negative while it charges
    capacity_ah: float  # as warm and as old as it is
    lowest_share: (
        float  # of its charge that must stay; 1 or more when even a full one will not start the engine
    )


def discharge_h(current_a: float, *, capacity_ah: float, rated_h: float, exponent: float) -> float:
    """Hours until a full battery is empty at a steady current, by Peukert in its rated form.

    t = H·(C/(I·H))^k; at the rated current C/H it is H for every k

    Parameters
    ----------
    current_a : float
        Steady current, above 0.
    capacity_ah : float
        Capacity printed on the battery, above 0.
    rated_h : float
        The hours it was rated with: 20 on most labels, above 0.
    exponent : float
        Peukert's exponent, 1 to 1.6: flooded 1.20 to 1.30, AGM 1.05 to 1.15, gel 1.10 to 1.20.

    Returns
    -------
    float
        Hours.

    Raises
    ------
    ValueError
        When current, capacity or hours are not above zero, or the exponent is outside 1 to 1.6.

    Breaks down when
        the current is below the rated one: the law then promises more charge than is printed on the battery.
        The form C/I^k, without the hours, is wrong: it gives 14.5 h where 20 h are printed.

    Source
        Rated Peukert form, read at a mirror of smartgauge.co.uk; exponents read at utilitiesbunker.com.

    Examples
    --------
    >>> round(discharge_h(10.0, capacity_ah=100.0, rated_h=20.0, exponent=1.2), 4)
    8.7055
    """
    if not (current_a > 0 and capacity_ah > 0 and rated_h > 0):
        raise ValueError("current, capacity and rated hours must be above zero")
    if not 1.0 <= exponent <= 1.6:
        raise ValueError("Peukert's exponent must lie between 1 and 1.6")
    return rated_h * (capacity_ah / (current_a * rated_h)) ** exponent


def aged_share(age_years: float) -> float:
    """Share of a battery's capacity and cranking power left at an age.

    1 - 0.05·years, at least 0.4

    Parameters
    ----------
    age_years : float
        Years in use, 0 or more.

    Returns
    -------
    float
        0.4 to 1.

    Raises
    ------
    ValueError
        When the age is negative.

    Breaks down when
        the battery was ever flat, cooked or left empty: then it is older than its years. A load test tells.

    Source
        From memory; it decides nothing.

    Examples
    --------
    >>> aged_share(4.0)
    0.8
    """
    if age_years < 0:
        raise ValueError("an age cannot be negative")
    return max(OLDEST_SHARE, 1.0 - AGE_PER_YEAR * age_years)


def capacity_share(temperature_c: float) -> float:
    """Share of the printed capacity that a slow discharge gives at a temperature of the battery.

    1 - 0.008·(25 - t), not above 1 when warmer

    Parameters
    ----------
    temperature_c : float
        Of the battery, -35 to 60 °C.

    Returns
    -------
    float
        At most 1.

    Raises
    ------
    ValueError
        When the temperature is outside -35 to 60 °C.

    Breaks down when
        a discharged battery freezes: half charged at -26 °C, empty at -9 °C (TM 5-4210-230-14&P-1, read).

    Source
        From memory; it decides nothing.

    Examples
    --------
    >>> round(capacity_share(0.0), 2), capacity_share(35.0)
    (0.8, 1.0)
    """
    if not -35.0 <= temperature_c <= 60.0:
        raise ValueError("the battery's temperature must lie between -35 and 60 °C")
    return min(1.0, 1.0 - CAPACITY_PER_K * (25.0 - temperature_c))


def cranking_share(
    temperature_c: float, *, cold_cranking_a: float, engine_a: float, age_years: float
) -> float:
    """Share of the charge below which the battery will not crank the engine.

    s = I_engine·asked(t) / (CCA/0.40·given(t)·aged), straight lines between the table's temperatures

    Parameters
    ----------
    temperature_c : float
        Of battery and engine, -28.9 °C and warmer; warmer than 26.7 °C counts as 26.7 °C.
    cold_cranking_a : float
        Cold cranking amperes printed on the battery, above 0.
    engine_a : float
        What the starter takes from a warm engine, above 0.
    age_years : float
        Years in use, 0 or more.

    Returns
    -------
    float
        Above 1 when even a full battery will not do.

    Raises
    ------
    ValueError
        When it is colder than -28.9 °C, or a current is not above zero.

    Breaks down when
        cables or terminals are bad, the oil is thick, or the engine has trouble of its own.

    Source
        Cranking power 100, 65, 40, 20 % at 26.7, 0, -17.8, -28.9 °C: TM 5-4210-230-14&P-1 table 3 (read).
        Power asked 100, 155, 210, 350 %: a workshop's page (read). That cranking power falls with the charge
        in proportion: from memory.

    Examples
    --------
    >>> round(cranking_share(0.0, cold_cranking_a=500.0, engine_a=150.0, age_years=0.0), 3)
    0.286
    """
    if temperature_c < _TEMPERATURES_C[-1]:
        raise ValueError("no table of cranking power reaches below -28.9 °C")
    if not (cold_cranking_a > 0 and engine_a > 0):
        raise ValueError("cranking currents must be above zero")
    given, asked = (
        interp(temperature_c, _TEMPERATURES_C[::-1], table[::-1]) for table in (_GIVEN_SHARE, _ASKED_SHARE)
    )
    return engine_a * asked / (cold_cranking_a / COLD_CRANKING_SHARE * given * aged_share(age_years))


def key_on(
    draw_a: float,
    *,
    feed_a: float,
    capacity_ah: float,
    rated_h: float,
    exponent: float,
    temperature_c: float,
    age_years: float,
    cold_cranking_a: float,
    engine_a: float,
) -> KeyOn:
    """How long a full battery lasts with the key on until it will not start the engine.

    t = (1 - s)·min(H·(C'/(I·H))^k, C'/I), C' = C·share(t)·aged, I = draw - feed, s the larger of one half and
    the cranking share

    Parameters
    ----------
    draw_a : float
        What the key keeps switched on, 0 or more.
    feed_a : float
        Steady current of a charging line from the tow vehicle, 0 for none.
    capacity_ah, rated_h, exponent : float
        As in discharge_h.
    temperature_c, age_years, cold_cranking_a, engine_a : float
        As in cranking_share.

    Returns
    -------
    KeyOn
        Hours, net current, capacity as it is, and the share that must stay.

    Raises
    ------
    ValueError
        When the draw or the feed is negative, or the battery's data are impossible.

    Breaks down when
        it does not start full, the draw comes and goes, or the feed stops with the tow vehicle's engine.

    Source
        Peukert in the rated form (read), never more than the printed charge; the half is a rule from memory.

    Examples
    --------
    >>> battery = {
    ...     "capacity_ah": 60.0,
    ...     "rated_h": 20.0,
    ...     "exponent": 1.2,
    ...     "temperature_c": 25.0,
    ...     "age_years": 0.0,
    ... }
    >>> key_on(3.0, feed_a=0.0, cold_cranking_a=500.0, engine_a=150.0, **battery).hours
    10.0
    """
    if draw_a < 0:
        raise ValueError("the key-on current cannot be negative")
    if feed_a < 0:
        raise ValueError("the feed cannot be negative")
    capacity = capacity_ah * capacity_share(temperature_c) * aged_share(age_years)
    lowest = max(
        KEPT_SHARE,
        cranking_share(
            temperature_c, cold_cranking_a=cold_cranking_a, engine_a=engine_a, age_years=age_years
        ),
    )
    net = draw_a - feed_a
    discharge_h(
        1.0, capacity_ah=capacity, rated_h=rated_h, exponent=exponent
    )  # refuses an impossible battery, whatever is drawn and fed
    if lowest >= 1.0:
        return KeyOn(0.0, net, capacity, lowest)
    if net <= 0.0:
        return KeyOn(None, net, capacity, lowest)
    empty_h = min(discharge_h(net, capacity_ah=capacity, rated_h=rated_h, exponent=exponent), capacity / net)
    return KeyOn((1.0 - lowest) * empty_h, net, capacity, lowest)


def share_after(hours: float, found: KeyOn) -> float:
    """Share of the charge left after some hours with the key on, from a full battery.

    1 - (1 - s)·t/t_until; full while the feed keeps up

    Parameters
    ----------
    hours : float
        Hours with the key on, 0 or more.
    found : KeyOn
        From key_on.

    Returns
    -------
    float
        0 to 1.

    Raises
    ------
    ValueError
        When the hours are negative.

    Breaks down when
        the battery did not start full.

    Source
        Steady current.

    Examples
    --------
    >>> share_after(5.0, KeyOn(10.0, 3.0, 60.0, 0.5))
    0.75
    """
    if hours < 0:
        raise ValueError("hours cannot be negative")
    if found.hours is None:
        return 1.0
    if found.hours == 0.0:  # what must stay is more than there is; count from the printed charge
        return max(0.0, 1.0 - max(0.0, found.net_a) * hours / found.capacity_ah)
    return max(0.0, 1.0 - (1.0 - found.lowest_share) * hours / found.hours)


def recharge_h(missing_ah: float, *, charging_a: float) -> float:
    """Hours a charging current needs to put charge back.

    t = Q / (0.85·I)

    Parameters
    ----------
    missing_ah : float
        Charge to put back, 0 or more.
    charging_a : float
        Current that is left over for the battery, above 0.

    Returns
    -------
    float
        Hours.

    Raises
    ------
    ValueError
        When the charge is negative or the current is not above zero.

    Breaks down when
        the battery is nearly full: the last fifth goes in ever more slowly.

    Source
        Balance of charge; 85 % from memory.

    Examples
    --------
    >>> round(recharge_h(12.0, charging_a=4.0), 2)
    3.53
    """
    if missing_ah < 0 or not charging_a > 0:
        raise ValueError("the missing charge cannot be negative, and the charging current must be above zero")
    return missing_ah / (CHARGE_KEPT * charging_a)
