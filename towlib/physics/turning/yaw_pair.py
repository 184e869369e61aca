"""What the yaw model needs, estimated from what a reader can weigh and tape: centres of gravity, inertias,
tyre stiffnesses.
"""

from collections.abc import Iterable
from typing import NamedTuple

from towlib.physics.basics.road_load import GRAVITY_M_S2
from towlib.physics.turning.yaw import YawPair

# side force of an axle over its load, for each radian of creep; all from memory: 5 to 12 for road tyres, less
# with soft tall
# treads; at a steered axle the give of steering and suspension makes it less again
FRONT_PER_RAD, REAR_PER_RAD, TOWED_PER_RAD = 7.0, 10.0, 8.0
LOAD_POWER = 0.7  # from memory: a tyre loaded twice as much is about 1.6 times as stiff, range 1.4 to 1.9


class Standing(NamedTuple):
    """A vehicle seen from above: its mass, where its centre of gravity lies, how hard it is to turn."""

    mass_kg: float
    centre_m: float  # behind the front axle
    inertia_kg_m2: float
    wheelbase_m: float
    usual_front_kg: float  # axle loads without people and cargo, where the tyres' usual stiffness holds
    usual_rear_kg: float

    @property
    def front_kg(self) -> float:
        """What stands on the front axle."""
        return self.mass_kg * (1.0 - self.centre_m / self.wheelbase_m)

    @property
    def rear_kg(self) -> float:
        """What stands on the rear axle."""
        return self.mass_kg - self.front_kg


def yaw_inertia_kg_m2(front_kg: float, rear_kg: float, *, wheelbase_m: float) -> float:
    """Yaw inertia of a vehicle estimated from its axle loads.

    I = m·a·b, a and b from the centre of gravity to the axles

    Parameters
    ----------
    front_kg, rear_kg : float
        Axle loads, above 0.
    wheelbase_m : float
        Distance between the axles, above 0.

    Returns
    -------
    float
        kg·m².

    Raises
    ------
    ValueError
        When a load or the wheelbase is not above zero.

    Breaks down when
        heavy parts stand far out: a winch, a load in the bed. Add those as point masses.

    Source
        From memory: the dynamic index I/(m·a·b) of cars and light trucks lies near 1, about 0.85 to 1.1.

    Examples
    --------
    >>> round(yaw_inertia_kg_m2(760, 700, wheelbase_m=2.36))
    2029
    """
    if min(front_kg, rear_kg, wheelbase_m) <= 0:
        raise ValueError("axle loads and the wheelbase must be above zero")
    return front_kg * rear_kg / (front_kg + rear_kg) * wheelbase_m**2


def standing(
    front_kg: float, rear_kg: float, *, wheelbase_m: float, loads: Iterable[tuple[float, float]] = ()
) -> Standing:
    """A vehicle and its loads as one body.

    x = sum(m·x)/sum(m); I = I_0 + sum of m·(distance from the common centre)²

    Parameters
    ----------
    front_kg, rear_kg : float
        Axle loads without the loads that follow, above 0; the tyres' usual stiffness is taken to hold there.
    wheelbase_m : float
        Distance between the axles.
    loads : iterable of (mass_kg, behind_front_axle_m)
        People and cargo, taken as points.

    Returns
    -------
    Standing
        Mass, centre, inertia.

    Raises
    ------
    ValueError
        When the loads lift an axle off the road.

    Breaks down when
        a load is long: then its own inertia is missing.

    Source
        Moments, and the parallel-axis theorem.

    Examples
    --------
    >>> loaded = standing(760, 700, wheelbase_m=2.36, loads=[(100, 2.5)])
    >>> round(loaded.centre_m, 3), round(loaded.inertia_kg_m2)
    (1.219, 2205)
    """
    items = [(front_kg + rear_kg, rear_kg / (front_kg + rear_kg) * wheelbase_m), *loads]
    mass = sum(kg for kg, _ in items)
    centre = sum(kg * x for kg, x in items) / mass
    inertia = yaw_inertia_kg_m2(front_kg, rear_kg, wheelbase_m=wheelbase_m) + sum(
        kg * (x - centre) ** 2 for kg, x in items
    )
    if not 0.0 < centre < wheelbase_m:
        raise ValueError("this load would lift an axle off the road")
    return Standing(mass, centre, inertia, wheelbase_m, front_kg, rear_kg)


def axle_stiffness_n_rad(load_kg: float, usual_kg: float, *, per_rad: float) -> float:
    """Side force of an axle for each radian of creep, growing less than its load.

    C = rate·m_usual·g·(m/m_usual)^0.7

    Parameters
    ----------
    load_kg : float
        What stands on the axle, above 0.
    usual_kg : float
        What stands on it without people and cargo, above 0.
    per_rad : float
        Side force over load at the usual load, for each radian, above 0.

    Returns
    -------
    float
        N/rad, both wheels.

    Raises
    ------
    ValueError
        When a value is not above zero.

    Breaks down when
        the tyre is soft, worn, wet or near its limit of grip.

    Source
        From memory: the power of 0.7 and the rates; road tyres give about 0.1 to 0.2 of their load for each
        degree.

    Examples
    --------
    >>> round(
    ...     axle_stiffness_n_rad(2000, 1000, per_rad=10.0) / axle_stiffness_n_rad(1000, 1000, per_rad=10.0), 3
    ... )
    1.625
    """
    if min(load_kg, usual_kg, per_rad) <= 0:
        raise ValueError("axle loads and the stiffness of their tyres must be above zero")
    return per_rad * usual_kg * GRAVITY_M_S2 * (load_kg / usual_kg) ** LOAD_POWER


def yaw_pair(
    tow: Standing,
    towed: Standing,
    *,
    overhang_m: float,
    ball_to_axle_m: float,
    front_per_rad: float = FRONT_PER_RAD,
    rear_per_rad: float = REAR_PER_RAD,
    towed_per_rad: float = TOWED_PER_RAD,
    castor_free_share: float = 1.0,
) -> YawPair:
    """Both vehicles for the yaw model, tyre stiffness estimated from the load on each axle.

    C of each axle from axle_stiffness_n_rad; towed front axle: (1 - free share)·C

    Parameters
    ----------
    tow, towed : Standing
        The vehicles with their loads.
    overhang_m : float
        Ball behind the tow vehicle's rear axle.
    ball_to_axle_m : float
        Ball to the towed rear axle.
    front_per_rad, rear_per_rad, towed_per_rad : float
        Side force over load for each radian, all from memory.
    castor_free_share : float
        1: the towed front wheels follow freely; 0: its steering is locked straight and they carry side force
          as its rear ones do.

    Returns
    -------
    YawPair
        For yaw.modes.

    Raises
    ------
    ValueError
        When the share is not from 0 to 1, or the ball lies behind the towed front axle.

    Breaks down when
        tyres or suspension are far from usual ones: the rates are from memory, so trust comparisons more than
        speeds.

    Source
        Geometry, and axle_stiffness_n_rad.

    Examples
    --------
    >>> pair = yaw_pair(
    ...     standing(1380, 1308, wheelbase_m=3.75),
    ...     standing(760, 700, wheelbase_m=2.36),
    ...     overhang_m=1.32,
    ...     ball_to_axle_m=4.34,
    ... )
    >>> round(pair.rear_n_rad), round(pair.towed_centre_m, 3)
    (128271, 3.112)
    """
    front_axle = ball_to_axle_m - towed.wheelbase_m
    if not 0.0 <= castor_free_share <= 1.0 or front_axle < 0:
        raise ValueError("the free share must lie from 0 to 1 and the towed front axle behind the ball")
    front = axle_stiffness_n_rad(tow.front_kg, tow.usual_front_kg, per_rad=front_per_rad)
    rear = axle_stiffness_n_rad(tow.rear_kg, tow.usual_rear_kg, per_rad=rear_per_rad)
    towed_front, towed_rear = (
        axle_stiffness_n_rad(kg, usual, per_rad=towed_per_rad)
        for kg, usual in ((towed.front_kg, towed.usual_front_kg), (towed.rear_kg, towed.usual_rear_kg))
    )
    return YawPair(
        tow.mass_kg,
        tow.inertia_kg_m2,
        tow.centre_m,
        tow.wheelbase_m - tow.centre_m,
        overhang_m,
        front,
        rear,
        towed.mass_kg,
        towed.inertia_kg_m2,
        front_axle + towed.centre_m,
        ball_to_axle_m,
        towed_rear,
        front_axle,
        (1.0 - castor_free_share) * towed_front,
    )
