"""The reference climb that published tow ratings are held against, as a made road for the same drive."""

from typing import NamedTuple

from towlib.physics.basics.atmosphere import air_density_kg_m3, air_temperature_along_c
from towlib.physics.drive.journey import Journey, Pair, allowed_speeds_m_s, drive

MILE_M, FOOT_M = 1609.344, 0.3048
LENGTH_M = 11.4 * MILE_M  # "about 11 miles" read in an encyclopedia; 11.4 from memory
RISE_M = 3500.0 * FOOT_M  # read in an encyclopedia
LOWEST_M_S = 40.0 * 0.44704  # single rear wheels, read there; 35 mph with dual rear wheels
START_C = (100.0 - 32.0) / 1.8  # read there, with the air conditioner on full
START_ALTITUDE_M = 500.0 * FOOT_M  # from memory: check the document
RUN_UP_M = 2000.0  # level road before it, so that the pair arrives at its speed


class ReferenceClimb(NamedTuple):
    """How the pair climbed."""

    journey: Journey  # run-up included
    lowest_m_s: float  # on the climb
    holds: bool  # never below the yardstick
    highest_coolant_c: float  # nan where the cooling is not known
    step_m: float
    heights_m: list[float]  # middle of each step
    air_c: list[float]
    air_density_kg_m3: list[float]


def reference_climb(
    pair: Pair,
    *,
    cruise_m_s: float = 26.8224,
    start_altitude_m: float = START_ALTITUDE_M,
    start_c: float = START_C,
    steps: int = 700,
) -> ReferenceClimb:
    """Drive the reference climb of SAE J2807, made as one even grade.

    3,500 ft of rise over 11.4 miles: 5.8 % on the road map; d(v²)/ds as in drive

    Parameters
    ----------
    pair : Pair
        Both vehicles.
    cruise_m_s : float
        Speed the driver would like, 26.8 m/s = 60 mph.
    start_altitude_m : float
        Where the climb starts.
    start_c : float
        Air temperature there.
    steps : int
        Pieces of the climb.

    Returns
    -------
    ReferenceClimb
        The drive, its lowest speed, whether that is at least 40 mph, and the highest coolant temperature.

    Raises
    ------
    ValueError
        When there are fewer than ten steps.

    Breaks down when
        the real road's grade varies, as it does; the air conditioner's load and heat are not in it. A
        yardstick, not the test.

    Source
        SAE J2807 as told by an encyclopedia and magazine pages (secondary); the standard itself was not at
        hand.

    Examples
    --------
    >>> from towlib.physics.drive.powertrain import EXAMPLE
    >>> pair = Pair(3900, 0.013, 1.9, EXAMPLE, 9e3, (None, None, None), (0.7, 0.3, 0.0), None)
    >>> climbed = reference_climb(pair)
    >>> climbed.holds, round(climbed.lowest_m_s / 0.44704)
    (True, 60)
    """
    if steps < 10:
        raise ValueError("the climb needs at least ten steps")
    step_m = LENGTH_M / steps
    level = round(RUN_UP_M / step_m)
    grades = [0.0] * level + [RISE_M / LENGTH_M] * steps
    heights = [start_altitude_m] * level + [
        start_altitude_m + (i + 0.5) * step_m * RISE_M / LENGTH_M for i in range(steps)
    ]
    air = [air_temperature_along_c(start_c, start_altitude_m, height) for height in heights]
    density = [
        air_density_kg_m3(height, temperature) for height, temperature in zip(heights, air, strict=True)
    ]
    journey = drive(
        pair,
        step_m=step_m,
        grade=grades,
        target_m_s=allowed_speeds_m_s([cruise_m_s] * len(grades), step_m=step_m),
        descent_gear=[0] * len(grades),
        air_c=air,
        air_density_kg_m3=density,
        brake_start_c=(start_c,) * len(pair.brakes),
        coolant_start_c=pair.cooling.thermostat_c if pair.cooling else 0.0,
    )
    lowest = 0.0 if journey.stopped_at_m is not None else min(journey.speed_m_s[level:])
    return ReferenceClimb(
        journey,
        lowest,
        lowest >= LOWEST_M_S,
        max(journey.coolant_c) if journey.coolant_c else float("nan"),
        step_m,
        heights,
        air,
        density,
    )
