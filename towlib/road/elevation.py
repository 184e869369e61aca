"""Elevation profiles: how noisy one is, how far to smooth it, and where its grade really changes (SI
floats).
"""

from typing import NamedTuple

import numpy as np

GRADE_ERROR = 0.001  # rise/run: the standard error of the grade that the smoothing aims for
SHORTEST_WINDOW_M, LONGEST_WINDOW_M = 100.0, 1000.0
LEAST_SPACING_M = 5.0  # closer points tell nothing new about a grade
METRES_PER_FOOT = 0.3048
CLEAN_M = 0.2  # below this the profile is taken as drawn from a map, where bends are bends
DRIFT_M, DRIFTS = (
    50.0,
    1.3,
)  # noise that is this much larger between points 50 m apart drifts instead of jumping
_PASS_SHARE = 6 ** (
    -1 / 3
)  # two running means this much shorter leave the same slope error as one straight-line fit


class Smoothed(NamedTuple):
    """An elevation profile after the noise filter; `window_m` is 0 where the points were left as they
    came.
    """

    distance_m: np.ndarray
    elevation_m: np.ndarray
    noise_m: float
    window_m: float
    grade_error: float


def noise_sd_m(distance_m: np.ndarray, elevation_m: np.ndarray, *, every: int = 1) -> float:
    """Standard deviation of the elevation noise from third differences, which a road hardly has and noise
    always has.

    r = Σ w_j z_j / sqrt(Σ w_j²) over four points, w_j = 1/Π(d_j - d_k); sd = 1.4826·median|r|

    Parameters
    ----------
    distance_m : array, m, strictly growing, any spacing (5 to 100 m is usual)
    elevation_m : array of the same length, m
    every : int, take the four points this many places apart (1 to 10)

    Returns
    -------
    float, m; 0 for fewer than eight points at that spacing.

    Breaks down when
    ----------------
    The noise drifts slowly instead of jumping from point to point (see `smooth_elevation`), or the points lie
    so far apart (above about 100 m) that real bends of the profile look like noise. Elevations kept as whole
    metres or whole feet count as noise of at least their rounding, step/sqrt(12).

    Source
    ------
    Difference-based variance estimate with the median absolute deviation; standard statistics.

    Examples
    --------
    >>> d = np.arange(0.0, 3000.0, 10.0)
    >>> round(noise_sd_m(d, 0.06 * d), 6)
    0.0
    """
    if len(distance_m) < 8 * every:
        return 0.0
    d = np.lib.stride_tricks.sliding_window_view(distance_m, 3 * every + 1)[:, ::every]
    z = np.lib.stride_tricks.sliding_window_view(elevation_m, 3 * every + 1)[:, ::every]
    apart = d[:, :, None] - d[:, None, :]
    weight = 1.0 / (apart + np.eye(4)).prod(axis=2)
    left_over = (weight * (z - z[:, :1])).sum(axis=1) / np.sqrt((weight**2).sum(axis=1))
    return max(float(1.4826 * np.median(np.abs(left_over))), _rounding_m(elevation_m) / 12**0.5)


def _rounding_m(elevation_m: np.ndarray) -> float:
    """The step of elevations kept as whole metres or whole feet, 0 where they are finer."""
    for step in (1.0, METRES_PER_FOOT):
        count = elevation_m / step
        if np.all(np.abs(count - np.round(count)) < 1e-6):
            return step
    return 0.0


def smoothing_window_m(noise_m: float, spacing_m: float, *, grade_error: float = GRADE_ERROR) -> float:
    """Length of road whose straight-line fit has the wanted standard error of grade.

    window = (12·sd²·spacing/error²)^(1/3)

    Parameters
    ----------
    noise_m : float, m, standard deviation of the elevation noise (0 to 5)
    spacing_m : float, m, between points (5 to 50)
    grade_error : float, rise/run (0.001)

    Returns
    -------
    float, m; 0 where less than 100 m would do, never more than 1,000 m.

    Breaks down when
    ----------------
    Neighbouring points share their error; the window is then too short.

    Source
    ------
    Variance of a least-squares slope, 12·sd²/(n³·spacing²) for n points; standard statistics.

    Examples
    --------
    >>> round(smoothing_window_m(1.7, 15.0))
    804
    """
    window = (12.0 * noise_m**2 * spacing_m / grade_error**2) ** (1 / 3)
    return min(window, LONGEST_WINDOW_M) if window >= SHORTEST_WINDOW_M else 0.0


def smooth_elevation(distance_m: np.ndarray, elevation_m: np.ndarray) -> Smoothed:
    """Take the noise out of an elevation profile, no more than it needs; a clean profile comes back as it
    was.

    Running mean of length window/6^(1/3), twice, over points at their median spacing, with the profile
    carried on past both ends along the straight line fitted to the last `window` of road. The grade error is
    that of one straight-line fit over the window everywhere, ends included, and a crest loses less height
    than under one running mean.

    Parameters
    ----------
    distance_m : array, m, strictly growing
    elevation_m : array of the same length, m

    Returns
    -------
    Smoothed

    Breaks down when
    ----------------
    A crest or dip is sharp: the kink between grades g1 and g2 is rounded by about |g1 - g2|·window/11 (12 m
    for 8 % up and 8 % down under an 800 m window). Noise drifts: with first-order noise of sd 3 m, correlated
    over 50 to 100 m, on a 6 % ramp of 6 km the steepest 200 m read 6.7 % on average and 7.8 % at worst, a few
    segments were off by up to 1.3 points, the whole ramp by 0.15 (60 recordings each at 5 to 30 m spacing);
    the stated grade error is then up to four times too small.

    Source
    ------
    Local-linear smoothing; standard statistics.

    Examples
    --------
    >>> d = np.arange(0.0, 3000.0, 10.0)
    >>> smooth_elevation(d, 0.06 * d).window_m
    0.0
    """
    d, z = _spread_out(distance_m, elevation_m)
    spacing = float(np.median(np.diff(d)))
    noise, reach = _noise_and_reach_m(d, z, spacing)
    window = smoothing_window_m(noise, reach)
    count = int(np.ceil((d[-1] - d[0]) / spacing)) + 1
    each = min(_odd(_PASS_SHARE * window / spacing), _odd(count - 1))
    if window == 0.0 or each < 3:
        return Smoothed(distance_m, elevation_m, noise, 0.0, 0.0)
    even = np.linspace(d[0], d[-1], count)
    level = _carry_on(np.interp(even, d, z), most=max(3, round(window / spacing)), by=each - 1)
    for _ in range(2):
        total = np.concatenate(([0.0], np.cumsum(level - z[0])))
        level = z[0] + (total[each:] - total[:-each]) / each
    return Smoothed(even, level, noise, window, float((12.0 * noise**2 * reach / window**3) ** 0.5))


def _noise_and_reach_m(
    distance_m: np.ndarray, elevation_m: np.ndarray, spacing_m: float
) -> tuple[float, float]:
    """Noise and the distance over which it is fresh: the spacing, or about 50 m where it then shows more."""
    near, every = noise_sd_m(distance_m, elevation_m), round(DRIFT_M / spacing_m)
    if near > CLEAN_M and every > 1:
        far = noise_sd_m(distance_m, elevation_m, every=every)
        if far > DRIFTS * near:
            return far, every * spacing_m
    return near, spacing_m


def _spread_out(distance_m: np.ndarray, elevation_m: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """The points without those that share a 5 m stretch with an earlier one; both ends stay."""
    if np.min(np.diff(distance_m)) >= LEAST_SPACING_M:
        return distance_m, elevation_m
    stretch = np.floor((distance_m - distance_m[0]) / LEAST_SPACING_M)
    keep = np.flatnonzero(np.diff(stretch, prepend=-1.0))
    if keep[-1] != len(distance_m) - 1:
        keep[-1] = len(distance_m) - 1
    return distance_m[keep], elevation_m[keep]


def _odd(count: float) -> int:
    return max(1, 2 * int(count // 2) + 1 if count >= 1 else 1)


def _carry_on(level: np.ndarray, *, most: int, by: int) -> np.ndarray:
    steps = np.arange(min(most, len(level)), dtype=float)
    beyond = np.arange(1.0, by + 1.0)
    slope, start = np.polyfit(steps, level[: len(steps)], 1)
    slope_end, end = np.polyfit(-steps, level[::-1][: len(steps)], 1)
    return np.concatenate((start - slope * beyond[::-1], level, end + slope_end * beyond))


def corners(distance_m: np.ndarray, elevation_m: np.ndarray, *, tolerance_m: float) -> np.ndarray:
    """Indices of the points that a line drawn through them alone needs to stay within the tolerance
    everywhere.

    Ramer-Douglas-Peucker: split each stretch at the point farthest (vertically) from its chord while that is
    too far.

    Parameters
    ----------
    distance_m : array, m, strictly growing
    elevation_m : array of the same length, m
    tolerance_m : float, m (2 to 10)

    Returns
    -------
    array of int, growing, first and last point included.

    Breaks down when
    ----------------
    The tolerance is smaller than the noise that is left: the corners are then those of the noise.

    Source
    ------
    Douglas and Peucker 1973; Ramer 1972.

    Examples
    --------
    >>> corners(np.arange(5.0), np.array([0.0, 10.0, 20.0, 10.0, 0.0]), tolerance_m=1.0).tolist()
    [0, 2, 4]
    """
    kept, waiting = {0, len(distance_m) - 1}, [(0, len(distance_m) - 1)]
    while waiting:
        first, last = waiting.pop()
        if last - first < 2:
            continue
        grade = (elevation_m[last] - elevation_m[first]) / (distance_m[last] - distance_m[first])
        inside = slice(first + 1, last)
        off = np.abs(
            elevation_m[inside] - elevation_m[first] - grade * (distance_m[inside] - distance_m[first])
        )
        worst = int(np.argmax(off))
        if off[worst] > tolerance_m:
            middle = first + 1 + worst
            kept.add(middle)
            waiting += [(first, middle), (middle, last)]
    return np.array(sorted(kept))
