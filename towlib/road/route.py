"""The road: distance, elevation and speed limit on an even grid, cut into segments; CSV or GPX in, both ways
out.
"""

from dataclasses import dataclass, field, replace
from functools import lru_cache
from pathlib import Path
from typing import NamedTuple

import numpy as np

from towlib.errors import InputError, quote
from towlib.road.csv_file import RoadPoints, read_csv
from towlib.road.elevation import corners, smooth_elevation
from towlib.road.gpx_file import read_gpx

GRID_M = 25.0
MOST_INTERVALS = 8_000
SHORTEST_ROUTE_M, LONGEST_ROUTE_M = 200.0, 2_000_000.0
STEEPEST_GRADE = 0.60
STEEP_STRETCH_M = 200.0
TOLERANCE_M = 5.0
SHORTEST_SEGMENT_M = 300.0
_OTHER_WAY = " (the other way)"


class Segment(NamedTuple):
    """A stretch of road of nearly one grade and one speed limit; grades are rise/run, downhill negative."""

    start_m: float
    end_m: float
    length_m: float
    mean_grade: float
    steepest_200m_grade: float
    start_elevation_m: float
    end_elevation_m: float
    speed_limit_m_s: float


@dataclass(frozen=True, eq=False)
class Route:
    """A road driven one way. `distance_m` and `elevation_m` have one value more than `grade` and
    `speed_limit_m_s`.

    Grid point i lies at distance_m[i]; interval i runs from there to grid point i + 1 with grade[i]
    (rise/run) and speed_limit_m_s[i] (nan where the file gives none). `notes` says in plain sentences what
    was done to the file.
    """

    name: str
    source_file: str
    distance_m: np.ndarray
    elevation_m: np.ndarray
    grade: np.ndarray
    speed_limit_m_s: np.ndarray
    noise_m: float = 0.0
    notes: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        for values in (self.distance_m, self.elevation_m, self.grade, self.speed_limit_m_s):
            values.setflags(write=False)

    @property
    def step_m(self) -> float:
        """Length of one grid interval."""
        return self.length_m / len(self.grade)

    @property
    def length_m(self) -> float:
        return float(self.distance_m[-1])

    @property
    def climb_m(self) -> float:
        """All uphill height added up."""
        return float(np.clip(np.diff(self.elevation_m), 0.0, None).sum())

    @property
    def descent_m(self) -> float:
        """All downhill height added up, as a positive number."""
        return float(-np.clip(np.diff(self.elevation_m), None, 0.0).sum())

    @property
    def summit_m(self) -> float:
        """The highest elevation on the road."""
        return float(self.elevation_m.max())

    @lru_cache(maxsize=16)  # noqa: B019 (routes compare by identity, their arrays are never written)
    def reversed(self) -> "Route":
        """The same road driven the other way: what was climbed is now descended."""
        back = self.name.endswith(_OTHER_WAY)
        return replace(
            self,
            name=self.name.removesuffix(_OTHER_WAY) if back else self.name + _OTHER_WAY,
            distance_m=self.length_m - self.distance_m[::-1],
            elevation_m=self.elevation_m[::-1].copy(),
            grade=-self.grade[::-1],
            speed_limit_m_s=self.speed_limit_m_s[::-1].copy(),
            notes=list(self.notes),
        )

    @lru_cache(maxsize=32)  # noqa: B019
    def segments(
        self, *, tolerance_m: float = TOLERANCE_M, shortest_m: float = SHORTEST_SEGMENT_M
    ) -> tuple[Segment, ...]:
        """Cut the road where its grade or its speed limit changes.

        A straight line between the ends of a segment stays within about `tolerance_m` of the road's height;
        stretches shorter than `shortest_m` join the neighbour that is nearer in grade. A segment's speed
        limit is the one that holds over most of it.
        """
        limit = self.speed_limit_m_s
        with_limit = np.nan_to_num(limit, nan=-1.0)
        changes = np.flatnonzero(np.diff(with_limit) != 0.0) + 1
        cuts = np.union1d(corners(self.distance_m, self.elevation_m, tolerance_m=tolerance_m), changes)
        cuts = self._without_short(cuts, shortest_m)
        return tuple(
            self._segment(int(first), int(last)) for first, last in zip(cuts[:-1], cuts[1:], strict=False)
        )

    def _without_short(self, cuts: np.ndarray, shortest_m: float) -> np.ndarray:
        while len(cuts) > 2:
            lengths = np.diff(self.distance_m[cuts])
            short = int(np.argmin(lengths))
            if lengths[short] >= shortest_m - 1e-6:
                break
            grades = np.diff(self.elevation_m[cuts]) / lengths
            before = abs(grades[short] - grades[short - 1]) if short > 0 else np.inf
            after = abs(grades[short] - grades[short + 1]) if short + 1 < len(grades) else np.inf
            cuts = np.delete(cuts, short if before <= after else short + 1)
        return cuts

    def _segment(self, first: int, last: int) -> Segment:
        start, end = float(self.distance_m[first]), float(self.distance_m[last])
        low, high = float(self.elevation_m[first]), float(self.elevation_m[last])
        mean = (high - low) / (end - start)
        limits, counts = np.unique(self.speed_limit_m_s[first:last], return_counts=True)
        return Segment(
            start,
            end,
            end - start,
            mean,
            self._steepest(start, end, mean),
            low,
            high,
            float(limits[np.argmax(counts)]),
        )

    def _steepest(self, start: float, end: float, mean: float) -> float:
        stretch = min(STEEP_STRETCH_M, end - start)
        inside = self.distance_m[(self.distance_m >= start) & (self.distance_m <= end)]
        # stretches that begin and stretches that end at a grid point, so that both ways give the same answer
        begin = np.clip(np.concatenate((inside, inside - stretch)), start, end - stretch)
        low, high = (
            np.interp(place, self.distance_m, self.elevation_m) for place in (begin, begin + stretch)
        )
        rise = high - low
        return float((rise.max() if mean >= 0.0 else rise.min()) / stretch)


def load_route(path: str | Path) -> Route:
    """Read a road from a CSV file (units in the header) or a GPX recording; bad files raise InputError."""
    wanted = "a route file such as data/routes/short_steep_pass.csv"
    if not isinstance(path, str | Path):
        raise InputError(quote(path), wanted)
    path = Path(path)
    readers = {".csv": read_csv, ".gpx": read_gpx}
    reader = readers.get(path.suffix.lower())
    try:
        if path.is_dir():
            raise InputError("a folder", wanted, file=str(path))
        if not path.is_file():
            raise InputError("no such file", wanted, file=quote(path, 120))
        if reader is None:
            raise InputError(
                f"the ending {quote(path.suffix)}", "a name ending in .csv or .gpx", file=path.name
            )
        return route_from_points(reader(path))
    except OSError as error:
        raise InputError(f"no readable file ({error.strerror})", wanted, file=quote(path, 120)) from None


def route_from_points(points: RoadPoints) -> Route:
    """A route on an even grid from points of growing distance, with the elevation noise filtered out."""
    start = points.distance_m[0]
    length = float(points.distance_m[-1] - start)
    if not SHORTEST_ROUTE_M <= length <= LONGEST_ROUTE_M:
        shown = f"{length:,.0f} m" if length < 10_000 else f"{length / 1000:,.0f} km"
        raise InputError(
            f"a road {shown} long", "a road between 200 m and 2,000 km long", file=points.source_file
        )
    notes = list(points.notes)
    smooth = smooth_elevation(points.distance_m - start, points.elevation_m)
    if smooth.window_m:
        notes.append(
            f"Elevation noise of about {smooth.noise_m:.1f} m was smoothed over {smooth.window_m:.0f} m of "
            f"road; grades are uncertain by about {100 * smooth.grade_error:.1f} percentage points."
        )
    intervals = max(1, round(length / GRID_M))
    if intervals > MOST_INTERVALS:
        intervals = MOST_INTERVALS
        notes.append(
            f"The road is long, so its grid is {length / intervals:.0f} m instead of {GRID_M:.0f} m."
        )
    grid = np.linspace(0.0, length, intervals + 1)
    elevation = np.interp(grid, smooth.distance_m, smooth.elevation_m)
    grade = np.diff(elevation) / np.diff(grid)
    _refuse_cliffs(grid, grade, points)
    limit = _limits(points, grid, notes)
    return Route(points.name, points.source_file, grid, elevation, grade, limit, smooth.noise_m, notes)


def _limits(points: RoadPoints, grid: np.ndarray, notes: list[str]) -> np.ndarray:
    if points.speed_limit_m_s is None:
        notes.append("The file gives no speed limits.")
        return np.full(len(grid) - 1, np.nan)
    middle = points.distance_m[0] + (grid[:-1] + grid[1:]) / 2
    limit = points.speed_limit_m_s[np.searchsorted(points.distance_m, middle, side="right") - 1]
    if (unknown := np.isnan(limit).mean()) > 0:
        notes.append(f"No speed limit is given for {unknown * grid[-1] / 1000:.1f} km of the road.")
    return limit


def _refuse_cliffs(grid: np.ndarray, grade: np.ndarray, points: RoadPoints) -> None:
    worst = int(np.argmax(np.abs(grade)))
    if abs(grade[worst]) > STEEPEST_GRADE:
        found = (
            f"a grade of {100 * grade[worst]:,.0f} % at {grid[worst] / 1000:.2f} km, steeper than any road"
        )
        raise InputError(
            found,
            f"grades below {100 * STEEPEST_GRADE:.0f} %, such as a rise of 6 m in 100 m: check the "
            "elevation and distance there and their units",
            file=points.source_file,
        )
