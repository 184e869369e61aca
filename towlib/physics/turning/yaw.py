"""Running straight: the pair as two stiff bodies on tyres that creep sideways, its growing swing and its
one-sided divergence.
"""

from typing import Any, NamedTuple

import numpy as np

from towlib.physics.basics.roots import root_between

SPEEDS_M_S = np.linspace(2.0, 70.0, 137)  # where critical speeds are searched
TOGETHER = 24  # so many of them at a time, until one is found
Numbers = Any  # a float, or an array with one entry a pair or speed
SWINGS = 1e-6  # rad/s: an eigenvalue turning slower than this does not swing


class YawPair(NamedTuple):
    """Two vehicles in line, the bar rigid with the towed one; every entry may also be an array."""

    mass_kg: float
    inertia_kg_m2: float
    front_axle_m: float  # ahead of the centre of gravity
    rear_axle_m: float  # behind it
    overhang_m: float  # ball behind the rear axle
    front_n_rad: float  # side force of an axle for each radian of creep
    rear_n_rad: float
    towed_mass_kg: float
    towed_inertia_kg_m2: float
    towed_centre_m: float  # centre of gravity behind the ball
    towed_axle_m: float  # rear axle behind the ball
    towed_n_rad: float
    towed_front_axle_m: float = 0.0  # behind the ball
    towed_front_n_rad: float = 0.0  # 0: its front wheels castor freely and carry no side force


class Modes(NamedTuple):
    """What becomes of a small disturbance."""

    # lowest damping ratio of those that swing; 1 when none does; below 0 the swing grows
    swing_damping: Numbers
    swing_rad_s: Numbers  # its natural frequency; 0 when none swings
    # slowest of those that do not swing; above 0 it grows to one side; -inf when all swing
    largest_real_1_s: Numbers


def yaw_matrix(pair: YawPair, speed_m_s: float | np.ndarray) -> np.ndarray:
    """The matrix A of x' = A·x, x = (side speed, yaw rate, articulation rate, articulation).

    M·(v' + V·r, r', phi'') = -J^T·C·(J·(v, r, phi')/V + k·phi): at each axle the creep angle times its
    stiffness

    Parameters
    ----------
    pair : YawPair
        Both vehicles.
    speed_m_s : float
        Speed, above 0; an array works too.

    Returns
    -------
    numpy.ndarray
        4 by 4, or (..., 4, 4) for arrays.

    Raises
    ------
    ValueError
        When the speed, a mass, an inertia or the stiffness of an axle that carries side force is not above
        zero.

    Breaks down when
        tyres near the limit of grip, when braking or pulling hard, in gusts and ruts, or with play in the
        coupling; bodies do not roll and steering wheel and bar do not give.

    Source
        Newton and Euler for two bodies joined at the ball, small angles, steady speed. Checked against an
        independent nonlinear model and the values of two derivations (Lagrange, Newton-Euler).

    Examples
    --------
    >>> pair = YawPair(2300, 5200, 1.5, 1.8, 1.3, 110e3, 120e3, 1500, 2300, 2.6, 3.92, 90e3)
    >>> print(round(max(np.linalg.eigvals(yaw_matrix(pair, 25.0)).real), 4))
    -0.0739
    """
    mass, creep, lift, speed = _statics(pair, speed_m_s)
    inverse = np.linalg.inv(mass)
    return _matrix_at(inverse @ creep, (inverse @ lift[..., None])[..., 0], speed)


def _matrix_at(creep: np.ndarray, lift: np.ndarray, speed: np.ndarray) -> np.ndarray:
    """The matrix at some speeds, from what is the same at all of them, over the masses."""
    matrix = np.zeros(speed.shape + (4, 4))
    matrix[..., :3, :3] = -creep / speed[..., None, None]
    matrix[..., 0, 1] -= speed
    matrix[..., :3, 3] = -lift
    matrix[..., 3, 2] = 1.0
    return matrix


def _statics(pair: YawPair, speed_m_s: float | np.ndarray) -> tuple[np.ndarray, ...]:
    """Mass matrix, J^T·C·J, J^T·C·k and the speeds, for arrays of pairs and speeds."""
    speed, *values = np.broadcast_arrays(*(np.asarray(value, float) for value in (speed_m_s, *pair)))
    if min(speed.min(), *(values[i].min() for i in (0, 1, 5, 6, 7, 8, 11))) <= 0 or values[13].min() < 0:
        raise ValueError("speed, masses, inertias and tyre stiffnesses must be above zero")
    m, inertia, a, b, e, front, rear, towed_m, towed_inertia, c, axle, towed, front_axle, towed_front = values
    hitch, zero, one = b + e, np.zeros_like(m), np.ones_like(m)
    moves = np.stack(
        [
            np.stack(row, -1)
            for row in ((one, zero, zero), (zero, one, zero), (one, -(hitch + c), c), (zero, one, -one))
        ],
        -2,
    )
    mass = np.swapaxes(moves, -1, -2) @ (
        np.stack([m, inertia, towed_m, towed_inertia], -1)[..., None] * moves
    )
    creeps = np.stack(
        [
            np.stack(row, -1)
            for row in (
                (one, a, zero),
                (one, -b, zero),
                (one, -(hitch + axle), axle),
                (one, -(hitch + front_axle), front_axle),
            )
        ],
        -2,
    )
    forces = np.swapaxes(creeps, -1, -2) * np.stack([front, rear, towed, towed_front], -1)[..., None, :]
    return mass, forces @ creeps, forces[..., 2] + forces[..., 3], speed


def modes(pair: YawPair, speed_m_s: float | np.ndarray) -> Modes:
    """Damping of the swing and growth of what does not swing, from all four eigenvalues.

    lambda = -zeta·omega ± i·omega·sqrt(1 - zeta²) swings; a real lambda above 0 diverges

    Parameters
    ----------
    pair : YawPair
        Both vehicles.
    speed_m_s : float
        Speed, above 0; an array works too and gives arrays.

    Returns
    -------
    Modes
        Lowest damping ratio, its natural frequency (rad/s), largest real eigenvalue (1/s).

    Raises
    ------
    ValueError
        As for yaw_matrix.

    Breaks down when
        as for yaw_matrix.

    Source
        Eigenvalues by numpy. A real eigenvalue can pass zero while all that swings is still well damped: both
        are looked at.

    Examples
    --------
    >>> found = modes(YawPair(2300, 5200, 1.5, 1.8, 1.3, 110e3, 120e3, 1500, 2300, 2.6, 3.92, 90e3), 15.0)
    >>> round(float(found.swing_damping), 4), round(float(found.swing_rad_s), 4)
    (0.6991, 6.9619)
    """
    roots = np.linalg.eigvals(yaw_matrix(pair, speed_m_s))
    damping, swings = _dampings(roots)
    size, lowest = np.abs(roots), damping.argmin(-1)[..., None]
    frequency = np.where(swings.any(-1), np.take_along_axis(size, lowest, -1)[..., 0], 0.0)
    return Modes(damping.min(-1)[()], frequency[()], np.where(swings, -np.inf, roots.real).max(-1)[()])


def _dampings(roots: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Damping ratio of every eigenvalue, 1 of those that do not swing; and which swing."""
    swings = np.abs(roots.imag) > SWINGS
    size = np.abs(roots)
    return np.where(swings, -roots.real / np.where(size > 0, size, 1.0), 1.0), swings


def divergence_speed_m_s(pair: YawPair) -> float | None:
    """The speed from which a disturbance grows to one side instead of swinging: the pair turns in by itself.

    det(P)/V² + det(P with its yaw column replaced by the masses') = 0; freely castoring it is a bicycle model
    with m_t·(l - c)/l more mass at the ball

    Parameters
    ----------
    pair : YawPair
        Both vehicles, plain floats.

    Returns
    -------
    float or None
        Metres a second, None when it never happens.

    Raises
    ------
    ValueError
        As for yaw_matrix.

    Breaks down when
        as for yaw_matrix.

    Source
        A constant circle that needs no steering is the border: the equations of yaw_matrix without change in
        time.

    Examples
    --------
    >>> round(
    ...     divergence_speed_m_s(
    ...         YawPair(2300, 5200, 1.5, 1.8, 1.3, 110e3, 120e3, 1500, 2300, 2.6, 3.92, 90e3)
    ...     ),
    ...     3,
    ... )
    25.733
    """
    mass, creep, lift, _ = _statics(pair, 1.0)
    still = np.linalg.det(np.column_stack([creep[:, 0], creep[:, 1], lift]))
    turning = np.linalg.det(np.column_stack([creep[:, 0], mass[:, 0], lift]))
    square = -still / turning if turning else -1.0
    return float(np.sqrt(square)) if square > 0 else None


def swing_speed_m_s(pair: YawPair, damping: float = 0.0) -> float | None:
    """The lowest speed at which the swing keeps no more than a damping ratio; 0 is where it grows.

    zeta(V) = zeta asked, by root finding after a search in steps of 0.5 m/s

    Parameters
    ----------
    pair : YawPair
        Both vehicles, plain floats.
    damping : float
        Damping ratio, below 1.

    Returns
    -------
    float or None
        Metres a second, 2 when it is less damped than that already there, None when it stays damped up to 70
        m/s.

    Raises
    ------
    ValueError
        As for yaw_matrix, or when the damping is 1 or more.

    Breaks down when
        as for yaw_matrix.

    Source
        `physics/basics/roots.py`.

    Examples
    --------
    >>> round(
    ...     swing_speed_m_s(YawPair(2300, 5200, 1.5, 1.8, 1.3, 110e3, 120e3, 1500, 2300, 4.2, 3.92, 90e3)), 3
    ... )
    24.126
    """
    if damping >= 1.0:
        raise ValueError("a damping ratio of 1 or more is not a swing; ask for less")
    mass, creep, lift, _ = _statics(pair, 1.0)
    creep, lift = np.linalg.solve(mass, creep), np.linalg.solve(mass, lift)

    def damping_at(speed_m_s: Numbers) -> Numbers:
        return _dampings(np.linalg.eigvals(_matrix_at(creep, lift, np.asarray(speed_m_s))))[0].min(-1)

    slower = (
        i + int(np.argmax(under))
        for i in range(0, len(SPEEDS_M_S), TOGETHER)
        if (under := damping_at(SPEEDS_M_S[i : i + TOGETHER]) <= damping).any()
    )
    first = next(slower, None)
    if not first:
        return None if first is None else float(SPEEDS_M_S[0])
    low, high = SPEEDS_M_S[first - 1 : first + 1]
    return root_between(
        lambda speed: float(damping_at(speed)) - damping, float(low), float(high), tolerance=1e-9
    )


def speed_with_damping_m_s(pair: YawPair, damping: float) -> float | None:
    """The speed up to which the swing keeps the damping asked for and nothing grows to one side.

    min(swing_speed(zeta asked), divergence_speed)

    Parameters
    ----------
    pair : YawPair
        Both vehicles, plain floats.
    damping : float
        Damping ratio asked for, from 0 to below 1.

    Returns
    -------
    float or None
        Metres a second; None when both hold up to 70 m/s.

    Raises
    ------
    ValueError
        When the damping asked is not from 0 to below 1.

    Breaks down when
        as for yaw_matrix; it says nothing about grip, braking or wind.

    Source
        The two speeds above.

    Examples
    --------
    >>> base = YawPair(2300, 5200, 1.5, 1.8, 1.3, 110e3, 120e3, 1500, 2300, 2.6, 3.92, 90e3)
    >>> round(speed_with_damping_m_s(base, 0.3), 2), round(speed_with_damping_m_s(base, 0.5), 2)
    (25.73, 21.42)
    """
    if not 0.0 <= damping < 1.0:
        raise ValueError("the damping asked for must be a ratio from 0 to below 1")
    speeds = [
        speed
        for speed in (swing_speed_m_s(pair, damping), divergence_speed_m_s(pair))
        if speed is not None and speed <= SPEEDS_M_S[-1]
    ]
    return min(speeds, default=None)
