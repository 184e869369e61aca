"""Axle loads by moments, what a grade and a pull do to them, and what can still be added where."""

from collections.abc import Iterable
from typing import NamedTuple

from towlib.physics.basics.road_load import GRAVITY_M_S2


class AxleLoads(NamedTuple):
    """What a level weighbridge would show."""

    front_kg: float
    rear_kg: float


class AxleForces(NamedTuple):
    """Normal forces under the axles."""

    front_n: float
    rear_n: float


class GrossWeights(NamedTuple):
    """Weights held against the ratings of the tow vehicle and of the pair."""

    vehicle_kg: float  # GVWR
    carried_kg: float  # payload
    combined_kg: float  # GCWR


class Room(NamedTuple):
    """How much can be added at a place."""

    mass_kg: (
        float | None
    )  # None when a rating that could stop it is not known and none that is known is used up
    rating: str  # the smallest of the known ratings, "" when none is known
    at_most_kg: float | None  # what the known ratings alone would allow
    not_known: tuple[str, ...]  # ratings that are not known


def axle_loads(
    front_empty_kg: float, rear_empty_kg: float, *, wheelbase_m: float, items: Iterable[tuple[float, float]]
) -> AxleLoads:
    """Axle loads of a vehicle with things at given places.

    front += m · (1 - x / L), rear += m · x / L, summed over the things

    Parameters
    ----------
    front_empty_kg : float
        Front axle as weighed.
    rear_empty_kg : float
        Rear axle as weighed.
    wheelbase_m : float
        Distance between the axles, above 0.
    items : iterable of (mass_kg, behind_front_axle_m)
        Each thing's mass and its distance behind the front axle; negative ahead of it, more than the
        wheelbase behind the rear axle.

    Returns
    -------
    AxleLoads
        Front and rear in kg.

    Raises
    ------
    ValueError
        When the wheelbase is not above zero.

    Breaks down when
        the vehicle stands on a slope or is moving: see axle_loads_on_grade.

    Source
        Equilibrium of moments; OpenStax University Physics, Example 12.1, is the same balance.

    Examples
    --------
    >>> loads = axle_loads(1340, 1010, wheelbase_m=3.68, items=[(150, 1.75), (13, 5.0)])
    >>> round(loads.front_kg, 1), round(loads.rear_kg, 1)
    (1414.0, 1099.0)
    """
    if wheelbase_m <= 0:
        raise ValueError("the wheelbase must be above zero")
    front, rear = front_empty_kg, rear_empty_kg
    for mass_kg, behind_m in items:
        rear += mass_kg * behind_m / wheelbase_m
        front += mass_kg * (1.0 - behind_m / wheelbase_m)
    return AxleLoads(front, rear)


def centre_behind_front_axle_m(front_kg: float, rear_kg: float, *, wheelbase_m: float) -> float:
    """Where the centre of gravity lies, from the two axle loads.

    x = L · rear / (front + rear)

    Parameters
    ----------
    front_kg : float
        Front axle load.
    rear_kg : float
        Rear axle load.
    wheelbase_m : float
        Distance between the axles.

    Returns
    -------
    float
        Metres behind the front axle.

    Raises
    ------
    ValueError
        When the total is not above zero.

    Breaks down when
        the scale stands on a slope.

    Source
        OpenStax University Physics, Example 12.1.

    Examples
    --------
    >>> round(2.5 - centre_behind_front_axle_m(520, 480, wheelbase_m=2.5), 2)
    1.3
    """
    if front_kg + rear_kg <= 0:
        raise ValueError("the axle loads together must be above zero")
    return wheelbase_m * rear_kg / (front_kg + rear_kg)


def gross_weights_kg(
    empty_kg: float, items: Iterable[tuple[float, float]], *, towed_kg: float, ball_load_kg: float
) -> GrossWeights:
    """Weights that are held against the tow vehicle's totals.

    vehicle = empty + sum(m) + V; carried = sum(m) + V; combined = vehicle + towed - V

    Parameters
    ----------
    empty_kg : float
        Tow vehicle with full tank, without people and cargo.
    items : iterable of (mass_kg, behind_front_axle_m)
        People and cargo, as for axle_loads.
    towed_kg : float
        Towed vehicle and bar, the whole of them.
    ball_load_kg : float
        The part of the bar's weight that rests on the ball.

    Returns
    -------
    GrossWeights
        Held against GVWR, payload and GCWR; the ball load is counted once in the combined weight.

    Breaks down when
        the empty weight was taken with things on board that are counted again.

    Source
        Conservation of weight; payload includes people, cargo and ball load (common practice, as door
        stickers word it).

    Examples
    --------
    >>> gross_weights_kg(2350, [(150, 1.75)], towed_kg=1500, ball_load_kg=13)
    GrossWeights(vehicle_kg=2513, carried_kg=163, combined_kg=4000)
    """
    carried_kg = sum(mass_kg for mass_kg, _ in items) + ball_load_kg
    return GrossWeights(empty_kg + carried_kg, carried_kg, empty_kg + carried_kg + towed_kg - ball_load_kg)


def level_bar_ball_load_kg(
    bar_mass_kg: float, *, centre_ahead_of_brackets_m: float, bar_length_m: float
) -> float:
    """Vertical load of a bar on the ball, the vehicles standing level.

    V = m · x / l, the bar being hinged at the brackets

    Parameters
    ----------
    bar_mass_kg : float
        Mass of the bar and coupler, 10 to 60 kg.
    centre_ahead_of_brackets_m : float
        Its centre of gravity ahead of the bracket pins.
    bar_length_m : float
        Bracket pins to ball, above 0.

    Returns
    -------
    float
        kg on the ball; the brackets carry the rest.

    Raises
    ------
    ValueError
        When the bar has no length.

    Breaks down when
        the bar is bolted rigidly to the towed vehicle (then its suspension adds its own part), or is far from
        level while pulled.

    Source
        Equilibrium of moments. Common practice, no source: a four-wheels-down bar carries little vertical
        load when level.

    Examples
    --------
    >>> level_bar_ball_load_kg(26, centre_ahead_of_brackets_m=0.75, bar_length_m=1.5)
    13.0
    """
    if bar_length_m <= 0:
        raise ValueError("the bar must have a length")
    return bar_mass_kg * centre_ahead_of_brackets_m / bar_length_m


def axle_loads_on_grade(
    front_kg: float,
    rear_kg: float,
    *,
    wheelbase_m: float,
    cg_height_m: float,
    grade: float,
    acceleration_m_s2: float,
    hitch_height_m: float,
    hitch_pull_n: float,
    hitch_vertical_n: float,
    overhang_m: float,
) -> AxleForces:
    """Normal forces under the axles on a grade, while pulling or braking.

    moments about the front contact: N_r·L = W cos·b + (W sin + m·a)·h + P·h_h + V·(L + o);
    forces across the road: N_f + N_r = W cos + V

    Parameters
    ----------
    front_kg, rear_kg : float
        Level axle loads without the forces of the hitch.
    wheelbase_m : float
        Distance between the axles, above 0.
    cg_height_m : float
        Centre of gravity above the road.
    grade : float
        Rise over run, positive when climbing.
    acceleration_m_s2 : float
        Along the road, positive speeding up.
    hitch_height_m : float
        Ball above the road.
    hitch_pull_n : float
        Pull of the towed vehicle backwards; negative when it pushes.
    hitch_vertical_n : float
        Force of the bar on the ball, across the road, positive downwards.
    overhang_m : float
        Ball behind the rear axle.

    Returns
    -------
    AxleForces
        Front and rear in newtons; a negative value means the axle would lift.

    Raises
    ------
    ValueError
        When the wheelbase is not above zero.

    Breaks down when
        the suspension pitches so far that heights change.

    Source
        Equilibrium of forces and moments; any vehicle dynamics textbook.

    Examples
    --------
    >>> forces = axle_loads_on_grade(
    ...     1400,
    ...     1200,
    ...     wheelbase_m=3.68,
    ...     cg_height_m=0.7,
    ...     grade=0.08,
    ...     acceleration_m_s2=0.0,
    ...     hitch_height_m=0.5,
    ...     hitch_pull_n=1400.0,
    ...     hitch_vertical_n=0.0,
    ...     overhang_m=1.32,
    ... )
    >>> round(forces.front_n), round(forces.rear_n)
    (13109, 12307)
    """
    if wheelbase_m <= 0:
        raise ValueError("the wheelbase must be above zero")
    cosine = 1.0 / (1.0 + grade * grade) ** 0.5
    mass_kg = front_kg + rear_kg
    along_n = mass_kg * (GRAVITY_M_S2 * grade * cosine + acceleration_m_s2)
    rear_n = (
        rear_kg * GRAVITY_M_S2 * cosine
        + (
            along_n * cg_height_m
            + hitch_pull_n * hitch_height_m
            + hitch_vertical_n * (wheelbase_m + overhang_m)
        )
        / wheelbase_m
    )
    return AxleForces(mass_kg * GRAVITY_M_S2 * cosine + hitch_vertical_n - rear_n, rear_n)


def tyre_capacity_kg(load_index_kg: float, pressure_pa: float, *, full_pressure_pa: float) -> float:
    """Load a tyre carries at a pressure below the one its load index holds at.

    W = W_index · min(1, p / p_full)

    Parameters
    ----------
    load_index_kg : float
        Load of the load index.
    pressure_pa : float
        Cold pressure in the tyre.
    full_pressure_pa : float
        Pressure at which the load index holds, above 0.

    Returns
    -------
    float
        kg for one tyre.

    Raises
    ------
    ValueError
        When the full pressure is not above zero, or the pressure is negative.

    Breaks down when
        the tyre maker's own table says otherwise: use that. Straight proportion gives less than the makers'
        usual power law, which is the cautious side.

    Source
        Proportion to pressure, a cautious simplification from memory; the tyre maker's load and inflation
        table decides.

    Examples
    --------
    >>> round(tyre_capacity_kg(1215, 250e3, full_pressure_pa=300e3), 1)
    1012.5
    """
    if full_pressure_pa <= 0:
        raise ValueError("the pressure at which the load index holds must be above zero")
    if pressure_pa < 0:
        raise ValueError("the pressure in the tyre cannot be negative")
    return load_index_kg * min(1.0, pressure_pa / full_pressure_pa)


def addable_mass(
    position_m: float,
    *,
    wheelbase_m: float,
    front_kg: float,
    rear_kg: float,
    front_gawr_kg: float | None,
    rear_gawr_kg: float | None,
    gvwr_kg: float | None,
    payload_left_kg: float | None,
) -> Room:
    """How much can still be added at a place before a rating is reached, and which rating that is.

    m ≤ room(front) / (1 - x/L), m ≤ room(rear) / (x/L), m ≤ room(total), m ≤ payload left; the smallest holds

    Parameters
    ----------
    position_m : float
        Where it is put, behind the front axle; more than the wheelbase is behind the rear axle and takes
        weight off the front.
    wheelbase_m : float
        Distance between the axles, above 0.
    front_kg, rear_kg : float
        Present axle loads.
    front_gawr_kg, rear_gawr_kg, gvwr_kg, payload_left_kg : float or None
        Ratings and what is left of the payload; None when not known.

    Returns
    -------
    Room
        The mass and the rating that stops it, negative when that rating is over already; mass None when a
        rating is not known (unless a known one is used up already), with what the known ones alone would
        allow and the names of the others.

    Raises
    ------
    ValueError
        When the wheelbase is not above zero.

    Breaks down when
        a load behind the rear axle takes so much off the front that steering suffers: no rating says so, the
        maker's manual does.

    Source
        Equilibrium of moments.

    Examples
    --------
    >>> room = addable_mass(
    ...     3.68,
    ...     wheelbase_m=3.68,
    ...     front_kg=1444,
    ...     rear_kg=1244,
    ...     front_gawr_kg=1680,
    ...     rear_gawr_kg=1860,
    ...     gvwr_kg=3190,
    ...     payload_left_kg=452,
    ... )
    >>> room.mass_kg, room.rating
    (452.0, 'payload')
    """
    if wheelbase_m <= 0:
        raise ValueError("the wheelbase must be above zero")
    share = position_m / wheelbase_m
    limits = (
        ("GVWR", gvwr_kg, front_kg + rear_kg, 1.0),
        ("payload", payload_left_kg, 0.0, 1.0),
        ("front GAWR", front_gawr_kg, front_kg, 1.0 - share),
        ("rear GAWR", rear_gawr_kg, rear_kg, share),
    )
    rooms, not_known = [], []
    for name, rating_kg, present_kg, part in limits:
        if rating_kg is None:
            not_known.append(name)
        elif present_kg > rating_kg:
            rooms.append((float(rating_kg - present_kg), name))
        elif part > 1e-9:
            rooms.append((float(rating_kg - present_kg) / part, name))
    at_most_kg, rating = min(rooms, default=(None, ""))
    decided = at_most_kg is not None and (not not_known or at_most_kg <= 0)
    return Room(at_most_kg if decided else None, rating, at_most_kg, tuple(not_known))
