"""The face of a disc: hotter than its mean while the brakes are on. Steady drag against short
applications.
"""

import math
from typing import NamedTuple

from towlib.physics.brakes.brake_heat import lumped_temperature_c


class Material(NamedTuple):
    """What a disc is made of."""

    conductivity_w_m_k: float = 50.0  # grey iron, from memory
    density_kg_m3: float = 7200.0  # grey iron, from memory
    specific_heat_j_kg_k: float = 452.0  # iron, OpenStax College Physics, module m42224


GREY_IRON = Material()


def flash_rise_k(flux_w_m2: float, time_s: float, *, material: Material = GREY_IRON) -> float:
    """Rise of a thick body's face under a steady heat flux.

    dT = 2·q·sqrt(t/pi)/sqrt(k·rho·c)

    Parameters
    ----------
    flux_w_m2 : float
        Heat into a square metre of face.
    time_s : float
        Time since it began, 0 or more.
    material : Material
        Of the disc.

    Returns
    -------
    float
        Kelvin above the start.

    Breaks down when
        the heat has reached the other face or the middle, t > 0.3·L²·rho·c/k (about 1.5 s at 10 mm): use
        face_above_mean_k.

    Source
        Semi-infinite solid with constant flux, any heat-transfer textbook; checked against the heat equation
        solved in steps.

    Examples
    --------
    >>> round(flash_rise_k(1e6, 1.0), 1)
    88.5
    """
    return (
        2.0
        * flux_w_m2
        * math.sqrt(
            time_s
            / math.pi
            / (material.conductivity_w_m_k * material.density_kg_m3 * material.specific_heat_j_kg_k)
        )
    )


def face_above_mean_k(
    flux_w_m2: float, time_s: float, *, depth_m: float, material: Material = GREY_IRON
) -> float:
    """How much hotter the heated face of a plate is than the plate's mean.

    early: 2·q·sqrt(t/pi)/sqrt(k·rho·c) - q·t/(rho·c·L); later q·L/k·(1/3 - 2/pi²·sum exp(-n²·pi²·Fo)/n²), Fo
      = k·t/(rho·c·L²)

    Parameters
    ----------
    flux_w_m2 : float
        Heat into a square metre of face.
    time_s : float
        Time since it began, 0 or more.
    depth_m : float
        Depth behind the face: half a solid disc, one plate of a vented one; above 0.
    material : Material
        Of the disc.

    Returns
    -------
    float
        Kelvin; settles at q·L/(3·k).

    Raises
    ------
    ValueError
        When the depth is not above zero or the time is negative.

    Breaks down when
        the pad covers a small part of the ring and the disc turns slowly: each spot then sees pulses.

    Source
        Slab heated on one face, the other insulated, any heat-transfer textbook; checked against the heat
        equation in steps.

    Examples
    --------
    >>> [round(face_above_mean_k(1e6, t, depth_m=0.01), 1) for t in (0.2, 2.0, 200.0)]
    [33.4, 64.7, 66.7]
    """
    if depth_m <= 0 or time_s < 0:
        raise ValueError("the depth behind the face must be above zero, and the time not negative")
    per_volume = material.density_kg_m3 * material.specific_heat_j_kg_k
    fourier = material.conductivity_w_m_k * time_s / (per_volume * depth_m * depth_m)
    if fourier < 0.1:
        return flash_rise_k(flux_w_m2, time_s, material=material) - flux_w_m2 * time_s / (
            per_volume * depth_m
        )
    series = sum(math.exp(-((n * math.pi) ** 2) * fourier) / (n * n) for n in range(1, 5))
    return flux_w_m2 * depth_m / material.conductivity_w_m_k * (1.0 / 3.0 - 2.0 / math.pi**2 * series)


class Applications(NamedTuple):
    """Brakes used one way for a time."""

    time_s: tuple[float, ...]
    mean_c: tuple[float, ...]  # through the thickness
    face_c: tuple[float, ...]
    hottest_mean_c: float
    hottest_face_c: float


def applications(
    power_w: float,
    *,
    on_share: float,
    period_s: float,
    heat_capacity_j_k: float,
    conductance_w_k: float,
    rubbed_area_m2: float,
    depth_m: float,
    air_c: float,
    start_c: float,
    time_s: float,
    points: int = 6,
    material: Material = GREY_IRON,
) -> Applications:
    """Disc mean and disc face while the same mean power is taken steadily or in short applications.

    power while on P/share, nothing while off; the mean exactly, the face above it by face_above_mean_k

    Parameters
    ----------
    power_w : float
        Mean power into the brakes of one axle, 0 or more.
    on_share : float
        Share of the time the brakes are on, above 0 to 1; 1 is steady drag.
    period_s : float
        From one application to the next, above 0.
    heat_capacity_j_k : float
        m·c of the axle's discs.
    conductance_w_k : float
        Heat given to the air per kelvin, held constant.
    rubbed_area_m2 : float
        Faces the pads sweep, both wheels, both sides.
    depth_m : float
        Depth behind a face.
    air_c, start_c : float
        Air; brakes at the start.
    time_s : float
        How long.
    points : int
        Points in each part of a period, 2 or more.
    material : Material
        Of the disc.

    Returns
    -------
    Applications
        Series, and the two highest temperatures.

    Raises
    ------
    ValueError
        When the share is not above 0 to 1, or the period or the area is not above zero.

    Breaks down when
        an application begins before the face has come down to the mean of the last one (about one second).

    Source
        Lumped body and heated slab, the two functions named.

    Examples
    --------
    >>> common = dict(
    ...     period_s=20.0,
    ...     heat_capacity_j_k=10e3,
    ...     conductance_w_k=40,
    ...     rubbed_area_m2=0.25,
    ...     depth_m=0.01,
    ...     air_c=20,
    ...     start_c=20,
    ...     time_s=600,
    ... )
    >>> [round(applications(12e3, on_share=share, **common).hottest_face_c) for share in (1.0, 0.25)]
    [296, 314]
    """
    if not 0.0 < on_share <= 1.0:
        raise ValueError("the share of the time with brakes on must lie above 0 and up to 1")
    if period_s <= 0 or rubbed_area_m2 <= 0:
        raise ValueError("the period and the area the pads sweep must be above zero")
    flux = power_w / on_share / rubbed_area_m2
    times, means, faces = [0.0], [start_c], [start_c]

    def run(length_s: float, heat_w: float, *, on_before_s: float | None) -> None:
        first_s, first_c = times[-1], means[-1]
        for k in range(1, points + 1):
            passed = length_s * (k / points) ** 2  # denser where the face moves fastest
            mean = lumped_temperature_c(
                first_c,
                power_w=heat_w,
                conductance_w_k=conductance_w_k,
                heat_capacity_j_k=heat_capacity_j_k,
                air_c=air_c,
                time_s=passed,
            )
            if on_before_s is None:
                above = face_above_mean_k(flux, passed, depth_m=depth_m, material=material)
            else:  # taking the flux away is adding its opposite to what would have gone on
                above = face_above_mean_k(
                    flux, on_before_s + passed, depth_m=depth_m, material=material
                ) - face_above_mean_k(flux, passed, depth_m=depth_m, material=material)
            times.append(first_s + passed)
            means.append(mean)
            faces.append(mean + above)

    if on_share == 1.0:
        run(time_s, power_w, on_before_s=None)
    else:
        for _ in range(max(1, round(time_s / period_s))):
            run(on_share * period_s, power_w / on_share, on_before_s=None)
            run((1.0 - on_share) * period_s, 0.0, on_before_s=on_share * period_s)
    return Applications(tuple(times), tuple(means), tuple(faces), max(means), max(faces))
