"""A small network of resistors, lamps and diodes: the volts at every node, so that each node's currents add
up to nothing.
"""

import math
from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np

CURRENT_POWER, LIGHT_POWER = 0.55, 3.4  # filament: current and light by the volts over the design volts
COLD_SHARE = (
    0.006  # below this share of its volts a filament is cold, with about a tenth of its hot resistance
)
LED_START_V, LED_DESIGN_V = 6.0, 12.8  # three red LEDs in a row and a resistor, from memory
DIODE_OHM = 0.02
_LEAK_S, _SOFT_V = (
    1e-9,
    0.005,
)  # nothing is quite open, and no bend is quite sharp: both far below what a meter shows


class Resistor(NamedTuple):
    """A wire, a contact or rust."""

    ohm: float


class Filament(NamedTuple):
    """One or more equal filament lamps side by side: design current of all together, design volts."""

    amps: float
    volts: float


class Led(NamedTuple):
    """One or more LED lamps of the resistor kind: current of all together at 12.8 V; nothing backwards."""

    amps: float


class Diode(NamedTuple):
    """A diode that takes some volts forwards and blocks backwards."""

    drop_v: float


Part = Resistor | Filament | Led | Diode


class Branch(NamedTuple):
    """A part between two nodes; its current counts from start to end."""

    name: str
    start: str
    end: str
    part: Part


class Solution(NamedTuple):
    """Volts by node, and volts and current by branch."""

    node_v: dict[str, float]
    branch_v: dict[str, float]
    branch_a: dict[str, float]


def part_current_a(part: Part, volts: float) -> float:
    """Current through a part at a voltage, with its sign.

    Filament: I = I_d·u·((1 + e)/(u + e))^0.45, u = |U|/U_d, e = 0.006: the power law u^0.55 with a cold end.
    LED: I = I_d·(U - 6)/6.8 above 6 V; diode: (U - U_drop)/0.02 ohm above its drop

    Parameters
    ----------
    part : Resistor, Filament, Led or Diode
        The part; resistance, design current and design volts above 0.
    volts : float
        From its start to its end.

    Returns
    -------
    float
        Amperes; negative when they flow backwards.

    Raises
    ------
    ValueError
        When a resistance, a design current, design volts or a diode's drop are not above zero.

    Breaks down when
        a filament was switched on less than a tenth of a second ago: cold, it draws ten times as much.

    Source
        Lamp rerating exponents 0.55 and 3.4 after Fink and Beaty, Standard Handbook for Electrical Engineers
        (read in an encyclopedia article); the cold tenth and the LED line are from memory.

    Examples
    --------
    >>> round(part_current_a(Filament(2.1, 12.8), 6.4), 2)
    1.43
    >>> part_current_a(Led(0.3), -12.0) < 1e-6
    True
    """
    return _law(part, volts)[0]


def light_share(part: Part, volts: float, *, full_v: float) -> float:
    """Light of a lamp at some volts over its light at full volts.

    Filament: (|U|/U_full)^3.4; LED: I(U)/I(U_full)

    Parameters
    ----------
    part : Filament or Led
        The lamp.
    volts : float
        What the lamp gets.
    full_v : float
        What it would get without any loss, above 0.

    Returns
    -------
    float
        0 for dark, 1 for no loss.

    Raises
    ------
    ValueError
        When the full volts are not above zero or cannot light the lamp, or the part is no lamp.

    Breaks down when
        the eye judges: it takes half the light for a little less.

    Source
        Lamp rerating, exponent 3.4 (read in an encyclopedia article); LED light in proportion to its current.

    Examples
    --------
    >>> round(light_share(Filament(2.1, 12.8), 12.0, full_v=13.5), 2)
    0.67
    """
    if not full_v > 0:
        raise ValueError("the full volts must be above zero")
    if isinstance(part, Filament):
        return (abs(volts) / full_v) ** LIGHT_POWER
    if isinstance(part, Led):
        full = part_current_a(part, full_v)
        if full < 1e-3 * part.amps:
            raise ValueError("these full volts do not light an LED lamp")
        return max(0.0, part_current_a(part, volts)) / full
    raise ValueError("only a lamp gives light")


def solve_circuit(branches: Sequence[Branch], fixed_v: Mapping[str, float]) -> Solution:
    """Volts of every node of a network, by Kirchhoff's law at each node that is not held.

    sum of currents into a node = 0, solved by Newton's method with halved steps

    Parameters
    ----------
    branches : sequence of Branch
        The parts and the nodes they join.
    fixed_v : mapping
        Nodes that are held at some volts: the battery's poles.

    Returns
    -------
    Solution
        Volts by node, volts and current by branch.

    Raises
    ------
    ValueError
        When no node is held, a node hangs on nothing, two branches have one name, a part is impossible, or no
        balance is found.

    Breaks down when
        something changes quickly: flashers, cold filaments; this is the steady state.

    Source
        Kirchhoff's laws. Every part's current grows with its volts, so there is one balance only.

    Examples
    --------
    >>> half = solve_circuit(
    ...     [Branch("a", "+", "m", Resistor(2.0)), Branch("b", "m", "-", Resistor(2.0))],
    ...     {"+": 12.0, "-": 0.0},
    ... )
    >>> round(half.node_v["m"], 6), round(half.branch_a["a"], 6)
    (6.0, 3.0)
    """
    if not fixed_v:
        raise ValueError("at least one node must be held: the battery")
    if len({branch.name for branch in branches}) < len(branches):
        raise ValueError("every branch needs its own name")
    free = sorted({node for branch in branches for node in (branch.start, branch.end)} - set(fixed_v))
    place = {node: i for i, node in enumerate([*free, *sorted(fixed_v)])}
    ends = [(place[branch.start], place[branch.end], branch.part) for branch in branches]
    volts = [0.5 * (max(fixed_v.values()) + min(fixed_v.values()))] * len(free) + [
        fixed_v[node] for node in sorted(fixed_v)
    ]
    _require_joined(branches, set(fixed_v))
    count = len(free)
    left, slopes = _unbalance(ends, volts, count)
    for _ in range(400):
        if _size(left) < 1e-20:
            break
        step = np.linalg.solve(np.array(slopes), np.array(left)).tolist()
        share = 1.0
        while share > 1e-6:
            trial = [volts[i] - share * step[i] for i in range(count)] + volts[count:]
            trial_left, trial_slopes = _unbalance(ends, trial, count)
            if _size(trial_left) < _size(left) * (1.0 - 0.1 * share) or _size(trial_left) < 1e-20:
                break
            share *= 0.5
        if share <= 1e-6:
            break
        volts, left, slopes = trial, trial_left, trial_slopes
    if _size(left) > 1e-10:
        raise ValueError("no balance was found for this circuit")
    across = {branch.name: volts[a] - volts[b] for branch, (a, b, _) in zip(branches, ends, strict=True)}
    return Solution(
        {node: volts[i] for node, i in place.items()},
        across,
        {branch.name: _law(branch.part, across[branch.name])[0] for branch in branches},
    )


def _require_joined(branches: Sequence[Branch], reached: set[str]) -> None:
    waiting = list(branches)
    while waiting:
        rest = [b for b in waiting if b.start not in reached and b.end not in reached]
        if len(rest) == len(waiting):
            raise ValueError("a part hangs on nothing that leads to the battery")
        reached |= {node for b in waiting if b not in rest for node in (b.start, b.end)}
        waiting = rest


def _size(left: Sequence[float]) -> float:
    return sum(value * value for value in left)


def _unbalance(
    ends: Sequence[tuple[int, int, Part]], volts: Sequence[float], count: int
) -> tuple[list[float], list[list[float]]]:
    left = [0.0] * count
    slopes = [[0.0] * count for _ in range(count)]
    for a, b, part in ends:
        current, slope = _law(part, volts[a] - volts[b])
        if a < count:
            left[a] += current
            slopes[a][a] += slope
        if b < count:
            left[b] -= current
            slopes[b][b] += slope
            if a < count:
                slopes[a][b] -= slope
                slopes[b][a] -= slope
    return left, slopes


def _ramp(volts: float, start_v: float) -> tuple[float, float]:
    """Volts above a start, 0 below it, with a soft bend that passes through 0 at 0 V, so that no part makes
    power.
    """
    over = volts - start_v
    root = math.hypot(over, _SOFT_V)
    return 0.5 * (over + root) - 0.5 * (math.hypot(start_v, _SOFT_V) - start_v), 0.5 * (1.0 + over / root)


def _law(part: Part, volts: float) -> tuple[float, float]:
    """Current and its growth with the volts."""
    if isinstance(part, Resistor):
        if not part.ohm > 0:
            raise ValueError("a resistance must be above zero")
        return volts / part.ohm, 1.0 / part.ohm
    if isinstance(part, Filament):
        if not (part.amps > 0 and part.volts > 0):
            raise ValueError("a lamp's design current and design volts must be above zero")
        share = abs(volts) / part.volts
        warm = part.amps * ((1.0 + COLD_SHARE) / (share + COLD_SHARE)) ** (1.0 - CURRENT_POWER)
        slope = warm / part.volts * (1.0 - (1.0 - CURRENT_POWER) * share / (share + COLD_SHARE))
        return math.copysign(warm * share, volts), slope
    if isinstance(part, Led):
        if not part.amps > 0:
            raise ValueError("a lamp's design current must be above zero")
        over, growth = _ramp(volts, LED_START_V)
        slope = part.amps / (LED_DESIGN_V - LED_START_V)
        return slope * over + _LEAK_S * volts, slope * growth + _LEAK_S
    if not part.drop_v > 0:
        raise ValueError("a diode's drop must be above zero")
    over, growth = _ramp(volts, part.drop_v)
    return over / DIODE_OHM + _LEAK_S * volts, growth / DIODE_OHM + _LEAK_S
