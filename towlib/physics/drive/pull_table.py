"""The largest pull of one train over road speed as straight pieces, worked out once for a drive that asks for
it at every step.

All physics stays in powertrain.py: the pieces go through what `wheel_force_n` gives at their ends.
"""

import math
from bisect import bisect_right
from operator import itemgetter
from typing import NamedTuple

from towlib.physics.drive.powertrain import COUPLING_SHARE, Powertrain, engine_rpm, wheel_force_n

# gear, 1 for first; speed and pull at the start of the piece; what it gains with speed, N per m/s
Piece = tuple[int, float, float, float]


class PullTable(NamedTuple):
    """The pull in every gear with all of sea-level power left: straight from each start to the next."""

    gears: list[tuple[list[float], list[Piece]]]  # of each gear, first gear first: rising starts, pieces
    start_m_s: list[float]  # the starts of all gears, rising, the first 0
    pulling: list[list[Piece]]  # from each on: gears that pull, the highest first; the top gear if none does


def speed_at_rpm_m_s(train: Powertrain, gear: int, rpm: float) -> float:
    """The lowest road speed at which the engine turns this fast in a gear, to the last digit of a float.

    v = n · r / (i_gear · i_final), then the neighbouring floats tried with engine_rpm

    Parameters
    ----------
    train : Powertrain
        Gears and wheels.
    gear : int
        1 for first.
    rpm : float
        Shaft speed, 0 or more.

    Returns
    -------
    float
        Road speed in m/s: `v >= speed_at_rpm_m_s(train, gear, n)` says the same as
        `engine_rpm(train, v, gear) >= n`.

    Breaks down when
        a converter slips: the engine then turns faster at this road speed.

    Source
        Kinematics.

    Examples
    --------
    >>> from towlib.physics.drive.powertrain import EXAMPLE
    >>> speed = speed_at_rpm_m_s(EXAMPLE, 3, 5800.0)
    >>> round(speed, 2), engine_rpm(EXAMPLE, speed, 3) >= 5800.0
    (38.65, True)
    """
    speed_m_s = rpm / engine_rpm(train, 1.0, gear)
    while engine_rpm(train, speed_m_s, gear) < rpm:
        speed_m_s = math.nextafter(speed_m_s, math.inf)
    while speed_m_s > 0 and engine_rpm(train, below := math.nextafter(speed_m_s, 0.0), gear) >= rpm:
        speed_m_s = below
    return speed_m_s


def just_above(rpm: float) -> float:
    """The next float above a shaft speed, so that "above" can be asked as "at or above".

    n⁺ = the least float greater than n

    Parameters
    ----------
    rpm : float
        Shaft speed.

    Returns
    -------
    float
        Shaft speed in rpm.

    Breaks down when
        never.

    Source
        IEEE 754.

    Examples
    --------
    >>> just_above(5800.0) > 5800.0, just_above(5800.0) - 5800.0 < 1e-11
    (True, True)
    """
    return math.nextafter(rpm, math.inf)


def pull_table(train: Powertrain, *, up_to_m_s: float = math.inf) -> PullTable:
    """The largest pull of a train in each gear as straight pieces over road speed.

    F(v) = F_i + (v - v_i)·(F_{i+1} - F_i)/(v_{i+1} - v_i) between every two speeds at which wheel_force_n
    bends or jumps: the curve's own points, coupling and launch speed, the lowest pulling speed, the redline

    Parameters
    ----------
    train : Powertrain
        Engine, gears and wheels.
    up_to_m_s : float
        Highest road speed that will be asked for.

    Returns
    -------
    PullTable
        For pull_n and pieces_at.

    Breaks down when
        a speed above up_to_m_s is asked for: its last pieces simply go on, past the redline too; or
        wheel_force_n gets a bend that is not listed here; the tests hold both against each other.

    Source
        wheel_force_n at the ends of each piece.

    Examples
    --------
    >>> from towlib.physics.drive.powertrain import EXAMPLE
    >>> [(round(v, 1), round(n)) for _, v, n, _ in pull_table(EXAMPLE).gears[2][1]]
    [(0.0, 0), (8.7, 3554), (13.3, 4426), (26.7, 4841), (36.6, 4011), (38.6, 0)]
    """
    gears = [_pieces(train, gear + 1, up_to_m_s) for gear in range(len(train.gear_ratios))]
    return PullTable([([start for _, start, _, _ in pieces], pieces) for pieces in gears], *_pulling(gears))


def _pieces(train: Powertrain, gear: int, up_to_m_s: float) -> list[Piece]:
    """The pieces of one gear, no more than begin up to a speed."""
    m_s_per_rpm = 1.0 / engine_rpm(train, 1.0, gear)
    jumps_rpm = [train.lowest_pull_rpm, just_above(train.redline_rpm)]
    if gear == 1:
        jumps_rpm += [COUPLING_SHARE * train.launch_rpm, train.launch_rpm]
    jumps = {speed_at_rpm_m_s(train, gear, rpm) for rpm in jumps_rpm if rpm <= jumps_rpm[1]}
    slowest = 0.0 if gear == 1 else min(jumps)
    bends = {rpm * m_s_per_rpm for rpm in train.curve_rpm}
    starts = sorted({0.0, *jumps, *(speed for speed in bends if slowest < speed < max(jumps))})
    pieces = []
    start, start_n = 0.0, wheel_force_n(train, 0.0, gear)
    for following in starts[1:]:
        following_n = end_n = wheel_force_n(train, following, gear)
        end = following
        if following in jumps:
            end = math.nextafter(following, 0.0)
            end_n = wheel_force_n(train, end, gear)
        slope_n_s_m = (end_n - start_n) / (end - start) if end > start else 0.0
        pieces.append((gear, start, start_n, slope_n_s_m))
        start, start_n = following, following_n
        if start > up_to_m_s:
            return pieces
    return [*pieces, (gear, start, 0.0, 0.0)]


def _pulling(gears: list[list[Piece]]) -> tuple[list[float], list[list[Piece]]]:
    """Where any gear begins a piece, and the pieces of the gears that pull from there on."""
    present: list[Piece | None] = [None] * len(gears)
    nothing: list[Piece] = [(len(gears), 0.0, 0.0, 0.0)]
    found = {}
    for piece in sorted((piece for pieces in gears for piece in pieces), key=itemgetter(1)):
        gear, start_m_s, start_n, slope_n_s_m = piece
        present[gear - 1] = piece if start_n or slope_n_s_m else None
        found[start_m_s] = list(filter(None, reversed(present))) or nothing
    return list(found), list(found.values())


def pull_n(table: PullTable, speed_m_s: float, gear: int, *, power_factor: float) -> float:
    """Largest pull at the wheels in a gear at a speed, read off the table.

    F = k · (F_i + F'_i · (v - v_i))

    Parameters
    ----------
    table : PullTable
        From pull_table.
    speed_m_s : float
        Road speed, 0 or more.
    gear : int
        1 for first.
    power_factor : float
        Share of sea-level power left, from engine_power_factor.

    Returns
    -------
    float
        Force in newtons, that of wheel_force_n.

    Breaks down when
        as wheel_force_n.

    Source
        wheel_force_n.

    Examples
    --------
    >>> from towlib.physics.drive.powertrain import EXAMPLE
    >>> round(pull_n(pull_table(EXAMPLE), 20.0, 3, power_factor=1.0))
    4633
    """
    starts, pieces = table.gears[gear - 1]
    _, start_m_s, start_n, slope_n_s_m = pieces[bisect_right(starts, speed_m_s) - 1]
    return (start_n + slope_n_s_m * (speed_m_s - start_m_s)) * power_factor


def pieces_at(table: PullTable, speed_m_s: float) -> list[Piece]:
    """The pieces of all gears that pull at a speed, the highest gear first.

    the last start not above v

    Parameters
    ----------
    table : PullTable
        From pull_table.
    speed_m_s : float
        Road speed, 0 or more.

    Returns
    -------
    list of Piece
        Gear, start, pull at the start, slope; the top gear alone, without pull, where no gear pulls.

    Breaks down when
        as wheel_force_n.

    Source
        wheel_force_n.

    Examples
    --------
    >>> from towlib.physics.drive.powertrain import EXAMPLE
    >>> [gear for gear, *_ in pieces_at(pull_table(EXAMPLE), 12.0)]
    [4, 3, 2, 1]
    """
    return table.pulling[bisect_right(table.start_m_s, speed_m_s) - 1]
