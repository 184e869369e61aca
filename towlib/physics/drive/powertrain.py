"""Engine, gearbox and wheels: pull and engine braking in each gear, at altitude."""

import math
from bisect import bisect_right
from typing import Any, NamedTuple

import numpy as np

from towlib.physics.basics.atmosphere import Number

Numbers = Any  # an array

RPM_PER_RAD_S = 60.0 / (2.0 * math.pi)
SEA_LEVEL_DENSITY_KG_M3 = 1.225
FULL_BOOST_DENSITY_RATIO, MOST_POWER_FACTOR = (
    0.75,
    1.05,
)  # from memory: thin air a turbocharger makes good; cold dense air
# of launch speed, at which the converter's torque ratio has fallen to 1: teaching model, from memory
COUPLING_SHARE = 0.85


class Powertrain(NamedTuple):
    """An engine at sea level, its gears and its wheels."""

    curve_rpm: tuple[float, ...]  # rising
    curve_torque_n_m: tuple[float, ...]  # full throttle, sea level
    displacement_m3: float
    idle_rpm: float
    redline_rpm: float
    gear_ratios: tuple[float, ...]  # first gear first
    final_drive: float
    rolling_radius_m: float
    driveline_efficiency: float
    boosted: bool
    automatic: bool
    stall_torque_ratio: float  # torque converter at standstill; 1 for a clutch
    launch_rpm: float  # converter stall or clutch-slip speed
    lowest_pull_rpm: float  # below this the gear is not used under load
    engine_braking_factor: float = 1.0  # this engine's overrun drag over that of motoring_torque_n_m


def power_factor_gagg_ferrar(density_ratio: float) -> float:
    """Share of sea-level power a naturally aspirated engine keeps in thin air.

    k = s - (1 - s) / 7.55, with s the air density over that at sea level

    Parameters
    ----------
    density_ratio : float or array
        Air density over 1.225 kg/m³, 0.4 to 1.1.

    Returns
    -------
    float or array
        Power over power at sea level.

    Breaks down when
        the engine is boosted; above s = 1 it adds a little power, as cold dense air does.

    Source
        Gagg and Ferrar, SAE Journal 1934 (formula from memory; values computed independently in the handbook
        table).

    Examples
    --------
    >>> round(power_factor_gagg_ferrar(0.7386), 4)
    0.704
    """
    return density_ratio - (1.0 - density_ratio) / 7.55


def power_factor_linear(altitude_ft: float) -> float:
    """Share of power kept by the rule of thumb "three per cent a thousand feet", counted linearly.

    k = 1 - 0.03 · h / 1000

    Parameters
    ----------
    altitude_ft : float or array
        Altitude in feet, 0 to 15,000: the rule is stated in feet.

    Returns
    -------
    float or array
        Power over power at sea level.

    Breaks down when
        the engine is boosted, or very high up where the line falls too fast.

    Source
        Common practice, no source.

    Examples
    --------
    >>> round(power_factor_linear(10_000), 3)
    0.7
    """
    return 1.0 - 0.03 * altitude_ft / 1000.0


def power_factor_compound(altitude_ft: float) -> float:
    """Share of power kept by the rule of thumb "three per cent a thousand feet", compounded.

    k = 0.97 ** (h / 1000)

    Parameters
    ----------
    altitude_ft : float or array
        Altitude in feet, 0 to 15,000.

    Returns
    -------
    float or array
        Power over power at sea level.

    Breaks down when
        the engine is boosted.

    Source
        Common practice, no source; it differs from the linear reading by 4 points at 10,000 ft.

    Examples
    --------
    >>> round(power_factor_compound(10_000), 4)
    0.7374
    """
    return 0.97 ** (altitude_ft / 1000.0)


def engine_power_factor(density_ratio: float, *, boosted: bool) -> float:
    """Share of sea-level torque and power left in this air.

    naturally aspirated: Gagg–Ferrar; boosted: 1 down to s = 0.75, below that s / 0.75

    Parameters
    ----------
    density_ratio : float
        Air density over 1.225 kg/m³.
    boosted : bool
        True for a turbocharged or supercharged engine.

    Returns
    -------
    float
        Factor, never above 1.05 and never below 0.

    Breaks down when
        a boosted engine's controller cuts power for heat or knock: then it loses power lower down.

    Source
        Gagg–Ferrar as above; the boosted rule is from memory: the turbocharger is taken to make up to 25 %
        good.

    Examples
    --------
    >>> engine_power_factor(0.9, boosted=True)
    1.0
    """
    if boosted:
        factor, most = density_ratio / FULL_BOOST_DENSITY_RATIO, 1.0
    else:
        factor, most = power_factor_gagg_ferrar(density_ratio), MOST_POWER_FACTOR
    if factor > most:
        return most
    return factor if factor > 0.0 else 0.0


def engine_power_factors(density_ratio: Numbers, *, boosted: bool) -> Numbers:
    """The same for many places or cases at once.

    as engine_power_factor, element by element

    Parameters
    ----------
    density_ratio : array
        Air density over 1.225 kg/m³.
    boosted : bool
        True for a turbocharged or supercharged engine.

    Returns
    -------
    array
        Factors.

    Breaks down when
        as engine_power_factor.

    Source
        engine_power_factor.

    Examples
    --------
    >>> engine_power_factors(np.array([0.6, 0.9]), boosted=True).round(3).tolist()
    [0.8, 1.0]
    """
    if boosted:
        return np.minimum(1.0, np.maximum(0.0, density_ratio / FULL_BOOST_DENSITY_RATIO))
    return np.minimum(MOST_POWER_FACTOR, np.maximum(0.0, power_factor_gagg_ferrar(density_ratio)))


def torque_from_peaks(
    peak_torque_n_m: float,
    peak_torque_rpm: float,
    *,
    peak_power_w: float,
    peak_power_rpm: float,
    idle_rpm: float,
    redline_rpm: float,
    points: int = 16,
) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """A full-throttle torque curve through the two peaks a brochure prints.

    T(n) = T_max - (T_max - T_P) · ((n - n_T) / (n_P - n_T))², with T_P = P_max / (2π n_P)

    Parameters
    ----------
    peak_torque_n_m : float
        Largest torque.
    peak_torque_rpm : float
        Shaft speed of the largest torque.
    peak_power_w : float
        Largest power.
    peak_power_rpm : float
        Shaft speed of the largest power, above peak_torque_rpm.
    idle_rpm : float
        Lowest shaft speed of the curve.
    redline_rpm : float
        Highest shaft speed of the curve.
    points : int
        How many points the curve gets.

    Returns
    -------
    tuple of two tuples
        Shaft speeds in rpm and torques in N·m.

    Raises
    ------
    ValueError
        When the peaks contradict each other, or stand so close together that the parabola reaches zero within
        the engine's speeds.

    Breaks down when
        the real curve has a plateau (most boosted engines): then it reads low between the peaks.

    Source
        Parabola with its vertex at the torque peak: a common textbook fit, from memory; use a measured curve
        if there is one.

    Examples
    --------
    >>> rpm, torque = torque_from_peaks(
    ...     350, 3000, peak_power_w=150e3, peak_power_rpm=5000, idle_rpm=800, redline_rpm=5500
    ... )
    >>> round(max(torque))
    350
    """
    if not idle_rpm < peak_torque_rpm < peak_power_rpm <= redline_rpm:
        raise ValueError(
            "the torque peak must lie above idle and below the power peak, and that below the redline"
        )
    torque_at_power = peak_power_w / (peak_power_rpm / RPM_PER_RAD_S)
    if torque_at_power > peak_torque_n_m * 1.001:
        raise ValueError(
            "the peak power asks for more torque than the peak torque: one of the two figures is wrong"
        )
    bend = (peak_torque_n_m - torque_at_power) / (peak_power_rpm - peak_torque_rpm) ** 2
    inner = [idle_rpm + (redline_rpm - idle_rpm) * i / (points - 1) for i in range(points)]
    speeds = tuple(sorted({*inner, peak_torque_rpm, peak_power_rpm}))
    torques = tuple(peak_torque_n_m - bend * (n - peak_torque_rpm) ** 2 for n in speeds)
    if min(torques) <= 0:
        raise ValueError(
            "the peaks of torque and power stand too close together for a curve through them: give points of"
            " the engine's curve"
        )
    return speeds, torques


def full_torque_n_m(train: Powertrain, rpm: float) -> float:
    """Full-throttle engine torque at sea level, read off the curve.

    straight lines between the points; constant below the first, zero above the redline

    Parameters
    ----------
    train : Powertrain
        The engine.
    rpm : float
        Shaft speed, 0 to redline.

    Returns
    -------
    float
        Torque in N·m.

    Breaks down when
        the curve has few points where it bends sharply.

    Source
        The reader's curve.

    Examples
    --------
    >>> from towlib.physics.drive.powertrain import EXAMPLE
    >>> full_torque_n_m(EXAMPLE, 1500.0)
    275.0
    """
    speeds, torques = train.curve_rpm, train.curve_torque_n_m
    if rpm > train.redline_rpm:
        return 0.0
    if rpm <= speeds[0]:
        return torques[0]
    if rpm >= speeds[-1]:
        return torques[-1]
    i = bisect_right(speeds, rpm)
    share = (rpm - speeds[i - 1]) / (speeds[i] - speeds[i - 1])
    return torques[i - 1] + share * (torques[i] - torques[i - 1])


def motoring_torque_n_m(
    displacement_m3: float, rpm: Number, *, density_ratio: Number | float = 1.0
) -> Number:
    """Torque needed to turn the engine with the throttle closed: engine braking at the crankshaft.

    p = 97 + 15·(n/1000) + 5·(n/1000)² kPa for friction, plus 60 kPa · s for pumping; T = p · V / (4π)

    Parameters
    ----------
    displacement_m3 : float
        Swept volume of a four-stroke engine, 0.001 to 0.008 m³.
    rpm : float
        Shaft speed, idle to redline.
    density_ratio : float
        Air density over that at sea level; thin air pumps less.

    Returns
    -------
    float
        Torque in N·m, positive while it holds back.

    Breaks down when
        the engine has no throttle (most diesels: less pumping) or an exhaust brake (more), or fuel is not cut
        off.

    Source
        Friction polynomial after Heywood, Internal Combustion Engine Fundamentals (motored spark-ignition
        engines), and the
        pumping term, both from memory: shown as assumed wherever used; a measured overrun speed settles it.

    Examples
    --------
    >>> round(motoring_torque_n_m(0.0036, 3000.0), 1)
    70.8
    """
    thousands = rpm / 1000.0
    pressure_kpa = 97.0 + 15.0 * thousands + 5.0 * thousands * thousands + 60.0 * density_ratio
    return pressure_kpa * 1000.0 * displacement_m3 / (4.0 * math.pi)


def engine_rpm(train: Powertrain, speed_m_s: float, gear: int) -> float:
    """Engine speed with clutch or converter locked.

    n = v / r · i_gear · i_final

    Parameters
    ----------
    train : Powertrain
        Gears and wheels.
    speed_m_s : float
        Road speed.
    gear : int
        1 for first.

    Returns
    -------
    float
        Shaft speed in rpm.

    Breaks down when
        a converter slips: the engine then turns faster than this.

    Source
        Kinematics.

    Examples
    --------
    >>> from towlib.physics.drive.powertrain import EXAMPLE
    >>> round(engine_rpm(EXAMPLE, 25.0, 5))
    2376
    """
    return (
        speed_m_s / train.rolling_radius_m * train.gear_ratios[gear - 1] * train.final_drive * RPM_PER_RAD_S
    )


def wheel_force_n(train: Powertrain, speed_m_s: float, gear: int, *, power_factor: float = 1.0) -> float:
    """Largest pull at the wheels in a gear at a speed.

    F = T(n) · k · i_gear · i_final · eta / r

    Parameters
    ----------
    train : Powertrain
        The engine, gears and wheels.
    speed_m_s : float
        Road speed, 0 or more.
    gear : int
        1 for first.
    power_factor : float
        Share of sea-level power left, from engine_power_factor.

    Returns
    -------
    float
        Force in newtons; 0 above the redline or, above first gear, below the lowest speed the engine pulls
        at.

    Breaks down when
        the tyres cannot hold it (see grip), or the gearbox limits torque in low gears.

    Source
        Kinematics and the engine curve; in first gear below launch speed the clutch or converter slips, the
        torque ratio falling linearly from its stall value to 1 at 85 % of launch speed (teaching model, from
        memory).

    Examples
    --------
    >>> from towlib.physics.drive.powertrain import EXAMPLE
    >>> round(wheel_force_n(EXAMPLE, 20.0, 3))
    4633
    """
    rpm = engine_rpm(train, speed_m_s, gear)
    if rpm > train.redline_rpm:
        return 0.0
    torque_ratio = 1.0
    if rpm < train.launch_rpm and gear == 1:
        speed_ratio = rpm / train.launch_rpm
        torque_ratio = max(
            1.0, train.stall_torque_ratio - (train.stall_torque_ratio - 1.0) * speed_ratio / COUPLING_SHARE
        )
        rpm = train.launch_rpm
    elif rpm < train.lowest_pull_rpm:
        return 0.0
    torque = full_torque_n_m(train, rpm) * power_factor * torque_ratio
    return (
        torque
        * train.gear_ratios[gear - 1]
        * train.final_drive
        * train.driveline_efficiency
        / train.rolling_radius_m
    )


def engine_braking_force_n(
    train: Powertrain, speed_m_s: float, gear: int, *, density_ratio: float = 1.0
) -> float:
    """Force with which the engine holds back at the wheels in a gear, throttle closed.

    F = k · T_motoring(n) · i_gear · i_final / (eta · r)

    Parameters
    ----------
    train : Powertrain
        The engine, gears and wheels.
    speed_m_s : float
        Road speed.
    gear : int
        1 for first.
    density_ratio : float
        Air density over that at sea level.

    Returns
    -------
    float
        Force in newtons, positive while it holds back; 0 below idle, where the converter or the driver lets
        go.

    Breaks down when
        an automatic unlocks its converter on overrun: it then holds back less. On overrun the driveline's
        losses help, hence the division by eta.

    Source
        Kinematics and motoring_torque_n_m.

    Examples
    --------
    >>> from towlib.physics.drive.powertrain import EXAMPLE
    >>> round(engine_braking_force_n(EXAMPLE, 15.0, 2))
    2105
    """
    rpm = engine_rpm(train, speed_m_s, gear)
    if rpm < train.idle_rpm:
        return 0.0
    torque = train.engine_braking_factor * motoring_torque_n_m(
        train.displacement_m3, rpm, density_ratio=density_ratio
    )
    return (
        torque
        * train.gear_ratios[gear - 1]
        * train.final_drive
        / (train.driveline_efficiency * train.rolling_radius_m)
    )


def grip_force_n(driven_axle_load_n: float, friction_coefficient: float) -> float:
    """Largest drive force the driven tyres can pass to the road.

    F = mu · N

    Parameters
    ----------
    driven_axle_load_n : float
        Normal force on the driven axle or axles, on this grade.
    friction_coefficient : float
        Tyre on road; 0.5 sliding on wet concrete.

    Returns
    -------
    float
        Force in newtons.

    Breaks down when
        the left and right wheels stand on different surfaces and the differential is open.

    Source
        OpenStax College Physics, module m42139 (coefficients).

    Examples
    --------
    >>> grip_force_n(12_000.0, 0.5)
    6000.0
    """
    return friction_coefficient * driven_axle_load_n


EXAMPLE = Powertrain(
    curve_rpm=(1000.0, 2000.0, 4000.0, 5500.0),
    curve_torque_n_m=(230.0, 320.0, 350.0, 290.0),
    displacement_m3=0.0036,
    idle_rpm=700.0,
    redline_rpm=5800.0,
    gear_ratios=(4.1, 2.3, 1.5, 1.15, 0.95, 0.70),
    final_drive=3.73,
    rolling_radius_m=0.356,
    driveline_efficiency=0.88,
    boosted=False,
    automatic=True,
    stall_torque_ratio=1.9,
    launch_rpm=2000.0,
    lowest_pull_rpm=1300.0,
)
"""An invented engine and gearbox for the examples above."""
