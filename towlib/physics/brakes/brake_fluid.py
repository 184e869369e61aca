"""Heat soak: after the stop the caliper and its fluid go on warming while the disc cools. An estimate, never
a verdict.
"""

import math
from collections.abc import Sequence
from typing import NamedTuple

from towlib.physics.brakes.brake_heat import AxleBrakes, cooling_conductance_w_k


class FluidSide(NamedTuple):
    """Calipers, pads and fluid of one axle as one body; all three from memory, so the result is an
    estimate.
    """

    heat_capacity_j_k: float = 5000.0  # two calipers of about 5 kg with their pads
    from_disc_w_k: float = 4.0  # through pads and pistons, and by radiation from the disc
    to_air_w_k: float = 3.0  # from two calipers standing still


CALIPERS = FluidSide()


def two_body_temperatures_c(
    hot_c: float,
    cool_c: float,
    *,
    hot_capacity_j_k: float,
    cool_capacity_j_k: float,
    between_w_k: float,
    hot_to_air_w_k: float,
    cool_to_air_w_k: float,
    air_c: float,
    time_s: float,
) -> tuple[float, float]:
    """Two bodies that exchange heat with each other and the air, after a time.

    C1·T1' = -G·(T1 - T2) - G1·(T1 - Ta), C2·T2' = G·(T1 - T2) - G2·(T2 - Ta), by the exponential of the 2×2
    matrix

    Parameters
    ----------
    hot_c, cool_c : float
        Disc, and caliper with fluid, at the start.
    hot_capacity_j_k, cool_capacity_j_k : float
        Heat capacities, above 0.
    between_w_k : float
        Heat passed from one to the other per kelvin, 0 or more.
    hot_to_air_w_k, cool_to_air_w_k : float
        Heat given to the air per kelvin, 0 or more.
    air_c : float
        Air temperature.
    time_s : float
        Time, 0 or more.

    Returns
    -------
    tuple of float
        Both temperatures.

    Raises
    ------
    ValueError
        When a heat capacity is not above zero.

    Breaks down when
        the conductances change with temperature: take short steps, as heat_soak does.

    Source
        Linear system of two equations, in closed form; checked against SciPy's solve_ivp.

    Examples
    --------
    >>> disc_c, fluid_c = two_body_temperatures_c(
    ...     400,
    ...     60,
    ...     hot_capacity_j_k=11e3,
    ...     cool_capacity_j_k=5e3,
    ...     between_w_k=3,
    ...     hot_to_air_w_k=10,
    ...     cool_to_air_w_k=2,
    ...     air_c=20,
    ...     time_s=900,
    ... )
    >>> round(disc_c), round(fluid_c)
    (164, 116)
    """
    if hot_capacity_j_k <= 0 or cool_capacity_j_k <= 0:
        raise ValueError("both heat capacities must be above zero")
    # T' = -M·(T - Ta); both eigenvalues of M are real because G is the same both ways
    a, b = (between_w_k + hot_to_air_w_k) / hot_capacity_j_k, between_w_k / hot_capacity_j_k
    c, d = between_w_k / cool_capacity_j_k, (between_w_k + cool_to_air_w_k) / cool_capacity_j_k
    mean, half = 0.5 * (a + d), math.sqrt(0.25 * (a - d) ** 2 + b * c)
    decay = math.exp(-mean * time_s)
    even = math.cosh(half * time_s)
    odd = math.sinh(half * time_s) / half if half > 0 else time_s
    x, y = hot_c - air_c, cool_c - air_c
    return (
        air_c + decay * (even * x - odd * ((a - mean) * x - b * y)),
        air_c + decay * (even * y - odd * ((d - mean) * y - c * x)),
    )


class Soak(NamedTuple):
    """Temperatures after the stop, one entry a step, the first at the moment of stopping."""

    time_s: tuple[float, ...]
    disc_c: tuple[float, ...]
    fluid_c: tuple[float, ...]
    highest_fluid_c: float
    highest_at_s: float


def heat_soak(
    brakes: AxleBrakes,
    disc_c: float,
    *,
    fluid_c: float,
    air_c: float,
    side: FluidSide = CALIPERS,
    wind_m_s: float = 0.0,
    air_density_kg_m3: float = 1.2,
    time_s: float = 3600.0,
    step_s: float = 30.0,
) -> Soak:
    """Disc and fluid of one axle after the vehicle has stopped.

    two_body_temperatures_c over each step, the disc's cooling taken at its temperature in the middle of the
    step

    Parameters
    ----------
    brakes : AxleBrakes
        The axle's discs or drums.
    disc_c : float
        Disc at the moment of stopping.
    fluid_c : float
        Caliper and fluid then.
    air_c : float
        Air temperature.
    side : FluidSide
        Calipers, pads and fluid.
    wind_m_s : float
        Air moving past the wheel; 0 on a calm day.
    air_density_kg_m3 : float
        Air density.
    time_s, step_s : float
        How long, in steps of.

    Returns
    -------
    Soak
        Series, and the highest fluid temperature with its time.

    Breaks down when
        the pads stay clamped (more heat passes), the pistons are of another material, or the fluid flows: an
        estimate.

    Source
        Two lumped bodies; the three figures of the fluid side are from memory and shown as such.

    Examples
    --------
    >>> soak = heat_soak(AxleBrakes(24, 0.62), 400.0, fluid_c=60.0, air_c=20.0)
    >>> round(soak.highest_fluid_c), round(soak.highest_at_s / 60)
    (116, 11)
    """
    times, discs, fluids = [0.0], [disc_c], [fluid_c]
    capacity = brakes.heated_mass_kg * brakes.specific_heat_j_kg_k
    for i in range(round(time_s / step_s)):
        disc, fluid = discs[-1], fluids[-1]
        for _ in range(2):  # once with the cooling at the start, then with that in the middle of the step
            middle_c = 0.5 * (discs[-1] + disc)
            cooled = cooling_conductance_w_k(
                brakes, wind_m_s, brake_c=middle_c, air_c=air_c, air_density_kg_m3=air_density_kg_m3
            )
            disc, fluid = two_body_temperatures_c(
                discs[-1],
                fluids[-1],
                hot_capacity_j_k=capacity,
                cool_capacity_j_k=side.heat_capacity_j_k,
                between_w_k=side.from_disc_w_k,
                hot_to_air_w_k=cooled,
                cool_to_air_w_k=side.to_air_w_k,
                air_c=air_c,
                time_s=step_s,
            )
        times.append((i + 1) * step_s)
        discs.append(disc)
        fluids.append(fluid)
    top = max(range(len(fluids)), key=fluids.__getitem__)
    return Soak(tuple(times), tuple(discs), tuple(fluids), fluids[top], times[top])


def fluid_along_c(
    time_s: Sequence[float],
    disc_c: Sequence[float],
    *,
    air_c: Sequence[float],
    start_c: float,
    side: FluidSide = CALIPERS,
) -> list[float]:
    """Fluid temperature on the way, from the disc temperatures of a drive.

    C2·T2' = G·(T_disc - T2) - G2·(T2 - Ta), exactly over each step with the disc at its mean

    Parameters
    ----------
    time_s : sequence of float
        Time at the end of each step.
    disc_c : sequence of float
        Disc then.
    air_c : sequence of float
        Air on each step.
    start_c : float
        Fluid and disc at time 0.
    side : FluidSide
        Calipers, pads and fluid; G2 of a standing vehicle, the cautious side while driving.

    Returns
    -------
    list of float
        Fluid at the end of each step.

    Breaks down when
        the disc changes much within a step; and as an estimate, see FluidSide.

    Source
        First-order lumped body.

    Examples
    --------
    >>> [round(c) for c in fluid_along_c([300.0, 600.0], [300.0, 300.0], air_c=[20.0, 20.0], start_c=20.0)]
    [47, 93]
    """
    total = side.from_disc_w_k + side.to_air_w_k
    fluid, before_s, before_c, out = start_c, 0.0, start_c, []
    for now_s, disc, air in zip(time_s, disc_c, air_c, strict=True):
        settled = (side.from_disc_w_k * 0.5 * (disc + before_c) + side.to_air_w_k * air) / total
        fluid = settled + (fluid - settled) * math.exp(-(now_s - before_s) * total / side.heat_capacity_j_k)
        before_s, before_c = now_s, disc
        out.append(fluid)
    return out
