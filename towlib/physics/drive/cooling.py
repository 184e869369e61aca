"""Engine heat and fuel: what a climb burns and what the coolant must carry away."""

from typing import NamedTuple

from towlib.physics.drive.powertrain import SEA_LEVEL_DENSITY_KG_M3

INDICATED_EFFICIENCY = 0.40  # fuel energy to work on the pistons; from memory
FULL_FLOW_M_S, FLOW_EXPONENT = (
    25.0,
    0.6,
)  # road speed at which a radiator's conductance is stated; forced convection on tube banks


class CoolingSystem(NamedTuple):
    """Radiator, fan and the metal and water that are heated."""

    conductance_w_k: float  # at 25 m/s road speed and sea-level air
    thermostat_c: float  # the temperature the thermostat keeps when it can
    heat_capacity_j_k: float
    coolant_heat_share: float = 0.28  # of the fuel's energy
    standing_share: float = 0.4  # of the conductance left to the fan when standing
    indicated_efficiency: float = INDICATED_EFFICIENCY


def fuel_power_w(shaft_power_w: float, friction_power_w: float, *, indicated_efficiency: float) -> float:
    """Energy of the fuel burnt each second.

    P_fuel = (P_shaft + P_friction) / eta_i (a Willans line)

    Parameters
    ----------
    shaft_power_w : float
        Power at the crankshaft, 0 or more.
    friction_power_w : float
        Power that turns the engine itself.
    indicated_efficiency : float
        0.36 to 0.44, above 0.

    Returns
    -------
    float
        Watts.

    Raises
    ------
    ValueError
        When the efficiency is not above zero.

    Breaks down when
        the mixture is enriched at full throttle: fuel then rises by some ten per cent.

    Source
        Willans line, engine textbooks; the efficiency is from memory and shown as assumed.

    Examples
    --------
    >>> round(fuel_power_w(80e3, 20e3, indicated_efficiency=0.4))
    250000
    """
    if indicated_efficiency <= 0:
        raise ValueError("the indicated efficiency must be above zero")
    return (shaft_power_w + friction_power_w) / indicated_efficiency


def radiator_conductance_w_k(system: CoolingSystem, speed_m_s: float, *, air_density_kg_m3: float) -> float:
    """Heat the radiator gives away per kelvin above the air, with road speed and thin air counted.

    UA = UA_25 · (f + (1 - f)·(v/25)^0.6) · s^0.6

    Parameters
    ----------
    system : CoolingSystem
        Conductance at 25 m/s and the fan's share f.
    speed_m_s : float
        Road speed, 0 to 40 m/s.
    air_density_kg_m3 : float
        Air density; s is its ratio to 1.225.

    Returns
    -------
    float
        W/K.

    Breaks down when
        an air conditioner's condenser in front warms the air, or the fan clutch is worn.

    Source
        Forced-convection exponent 0.6 of tube banks; the fan's share is from memory and shown as assumed.

    Examples
    --------
    >>> round(radiator_conductance_w_k(CoolingSystem(1500, 90, 60e3), 25.0, air_density_kg_m3=1.225))
    1500
    """
    moving = (speed_m_s * (speed_m_s > 0) / FULL_FLOW_M_S) ** FLOW_EXPONENT  # the fan alone when standing
    thin = (air_density_kg_m3 / SEA_LEVEL_DENSITY_KG_M3) ** FLOW_EXPONENT
    return system.conductance_w_k * (system.standing_share + (1.0 - system.standing_share) * moving) * thin


def steady_coolant_c(
    system: CoolingSystem, coolant_heat_w: float, *, conductance_w_k: float, air_c: float
) -> float:
    """Coolant temperature that a lasting climb would settle at.

    T = max(T_thermostat, T_air + Q / UA)

    Parameters
    ----------
    system : CoolingSystem
        Its thermostat sets the lowest value.
    coolant_heat_w : float
        Heat into the coolant.
    conductance_w_k : float
        UA at this speed and altitude, above 0.
    air_c : float
        Air temperature.

    Returns
    -------
    float
        °C.

    Raises
    ------
    ValueError
        When the conductance is not above zero.

    Breaks down when
        the coolant boils: the cap's pressure and the mixture set that.

    Source
        Heat balance.

    Examples
    --------
    >>> steady_coolant_c(CoolingSystem(1500, 90, 60e3), 105e3, conductance_w_k=1500, air_c=35)
    105.0
    """
    if conductance_w_k <= 0:
        raise ValueError("the radiator's conductance must be above zero")
    settled_c = air_c + coolant_heat_w / conductance_w_k
    return settled_c if settled_c > system.thermostat_c else system.thermostat_c
