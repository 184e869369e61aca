"""What a dolly or a trailer puts on the ball, and where a vehicle must stand for the ball load wanted."""


def carried_ball_load_kg(
    empty_ball_load_kg: float, carried_kg: float, *, ahead_of_axle_m: float, axle_to_ball_m: float
) -> float:
    """Ball load of a one-axle carrier (dolly, or trailer with its axles close together) with something on it.

    V = V_0 + m·x / l, moments about the carrier's axle

    Parameters
    ----------
    empty_ball_load_kg : float
        Ball load of the empty carrier, 10 to 80 kg.
    carried_kg : float
        What stands on it: a vehicle on a trailer, a front axle on a dolly.
    ahead_of_axle_m : float
        Its centre of gravity (or the axle's middle) ahead of the carrier's axle; negative behind it.
    axle_to_ball_m : float
        Carrier's axle (the middle between two) to the ball, above 0.

    Returns
    -------
    float
        kg on the ball; negative means that the tongue lifts the tow vehicle.

    Raises
    ------
    ValueError
        When the ball does not lie ahead of the axle.

    Breaks down when
        two axles carry on their own springs and the carrier is not level: they then hold it like a table.

    Source
        Equilibrium of moments.

    Examples
    --------
    >>> round(carried_ball_load_kg(45, 1500, ahead_of_axle_m=0.5, axle_to_ball_m=4.5), 1)
    211.7
    """
    if axle_to_ball_m <= 0:
        raise ValueError("the ball must lie ahead of the axle")
    return empty_ball_load_kg + carried_kg * ahead_of_axle_m / axle_to_ball_m


def place_for_ball_load_m(
    ball_load_kg: float, carried_kg: float, *, empty_ball_load_kg: float, axle_to_ball_m: float
) -> float:
    """How far ahead of the axle the centre of a load must stand for a ball load.

    x = (V - V_0)·l / m

    Parameters
    ----------
    ball_load_kg : float
        Wanted on the ball.
    carried_kg : float
        Mass of what stands on the carrier, above 0.
    empty_ball_load_kg : float
        Ball load of the empty carrier.
    axle_to_ball_m : float
        Carrier's axle to the ball, above 0.

    Returns
    -------
    float
        Metres ahead of the axle; negative behind it.

    Raises
    ------
    ValueError
        When nothing stands on it, or the ball does not lie ahead of the axle.

    Breaks down when
        the vehicle cannot stand there, because of stops, winch or fenders.

    Source
        Equilibrium of moments, carried_ball_load_kg turned round.

    Examples
    --------
    >>> round(place_for_ball_load_m(240, 1500, empty_ball_load_kg=45, axle_to_ball_m=4.5), 3)
    0.585
    """
    if carried_kg <= 0 or axle_to_ball_m <= 0:
        raise ValueError("a load must stand on the carrier, and the ball must lie ahead of the axle")
    return (ball_load_kg - empty_ball_load_kg) * axle_to_ball_m / carried_kg


def moved_for_share_m(
    share: float, carried_kg: float, *, carrier_kg: float, empty_ball_load_kg: float, axle_to_ball_m: float
) -> float:
    """Where the centre of a vehicle must stand on a trailer for a share of the whole trailer on its ball.

    x = (s·(M + m) - V_0)·l / m

    Parameters
    ----------
    share : float
        Ball load over gross mass, 0.10 to 0.15 by the habit of trailers.
    carried_kg : float
        Vehicle on the trailer, above 0.
    carrier_kg : float
        Empty trailer.
    empty_ball_load_kg : float
        Ball load of the empty trailer.
    axle_to_ball_m : float
        Middle of the trailer's axles to the ball, above 0.

    Returns
    -------
    float
        Metres ahead of the middle of the axles.

    Raises
    ------
    ValueError
        When the share is not between 0 and 1, or as for place_for_ball_load_m.

    Breaks down when
        as for carried_ball_load_kg.

    Source
        Equilibrium of moments; the 10 to 15 % is common practice, no source.

    Examples
    --------
    >>> round(moved_for_share_m(0.12, 1500, carrier_kg=700, empty_ball_load_kg=60, axle_to_ball_m=4.5), 3)
    0.612
    """
    if not 0 <= share < 1:
        raise ValueError("the share on the ball must be between 0 and 100 per cent")
    return place_for_ball_load_m(
        share * (carrier_kg + carried_kg),
        carried_kg,
        empty_ball_load_kg=empty_ball_load_kg,
        axle_to_ball_m=axle_to_ball_m,
    )
