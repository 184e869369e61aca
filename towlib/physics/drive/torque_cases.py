"""Full-throttle torque of many engines at once: one curve for all cases, or one through the peaks of each
case.
"""

from typing import Any, NamedTuple

import numpy as np

from towlib.physics.drive.powertrain import RPM_PER_RAD_S

INNER = 16  # points of powertrain.torque_from_peaks
BUCKETS = 1024


class TorqueCurves(NamedTuple):
    """A torque for each case; make it with `same` or `from_peaks`."""

    # one curve for all: buckets a rpm, first piece, point within, start and slope of each piece, points
    line: tuple[float, np.ndarray, np.ndarray, np.ndarray, np.ndarray, np.ndarray] | None
    # of each case: largest torque and its rpm, torque at the power peak and its rpm, idle, redline
    peaks: tuple[Any, ...] | None

    @classmethod
    def same(
        cls, rpm: tuple[float, ...], torque_n_m: tuple[float, ...], *, redline_rpm: float
    ) -> "TorqueCurves":
        """One curve for all cases, straight between its points and level outside them.

        T(n) = T_i + (n - n_i)·(T_{i+1} - T_i)/(n_{i+1} - n_i)

        Parameters
        ----------
        rpm : tuple of float
            Shaft speeds of the curve, rising, at least two.
        torque_n_m : tuple of float
            Torques there.
        redline_rpm : float
            Highest shaft speed asked for.

        Returns
        -------
        TorqueCurves
            For `at_rpm`.

        Breaks down when
            the curve has few points where it bends sharply.

        Source
            The reader's curve.

        Examples
        --------
        >>> curve = TorqueCurves.same((1000.0, 2000.0, 4000.0), (230.0, 320.0, 350.0), redline_rpm=5000.0)
        >>> curve.at_rpm(np.array([500.0, 1500.0, 3000.0, 4500.0])).tolist()
        [230.0, 275.0, 335.0, 350.0]
        """
        x, y = np.asarray(rpm, float), np.asarray(torque_n_m, float)
        slope = np.concatenate([[0.0], np.diff(y) / np.diff(x), [0.0]])
        start = np.concatenate(
            [[y[0]], y[:-1] - slope[1:-1] * x[:-1], [y[-1]]]
        )  # T = start + slope·n on each piece
        width = max(redline_rpm, x[-1]) * 1.001 / BUCKETS
        edges = np.arange(BUCKETS + 1) * width
        first = np.searchsorted(x, edges[:-1], side="right")
        inside = np.searchsorted(x, edges[1:], side="right") - first
        knot = np.where(inside > 0, x[np.minimum(first, len(x) - 1)], np.inf)
        return cls((1.0 / width if inside.max() < 2 else 0.0, first, knot, start, slope, x), None)

    @classmethod
    def from_peaks(
        cls,
        peak_torque_n_m: Any,
        peak_torque_rpm: Any,
        *,
        peak_power_w: Any,
        peak_power_rpm: Any,
        idle_rpm: Any,
        redline_rpm: Any,
    ) -> "TorqueCurves":
        """The curve of powertrain.torque_from_peaks for each case.

        T(n) = T_max - (T_max - T_P)·((n - n_T)/(n_P - n_T))² at 16 even points and both peaks, straight
        between them

        Parameters
        ----------
        peak_torque_n_m, peak_torque_rpm, peak_power_w, peak_power_rpm, idle_rpm, redline_rpm : float or array
            As in torque_from_peaks; arrays have one entry a case.

        Returns
        -------
        TorqueCurves
            nan in cases whose peaks contradict each other.

        Breaks down when
            as torque_from_peaks.

        Source
            torque_from_peaks.

        Examples
        --------
        >>> curve = TorqueCurves.from_peaks(
        ...     np.array([350.0, 360.0]),
        ...     3000.0,
        ...     peak_power_w=150e3,
        ...     peak_power_rpm=5000.0,
        ...     idle_rpm=800.0,
        ...     redline_rpm=5500.0,
        ... )
        >>> curve.at_rpm(np.array([3000.0, 3000.0])).tolist()
        [350.0, 360.0]
        """
        at_power = peak_power_w / (peak_power_rpm / RPM_PER_RAD_S)
        agree = (
            (idle_rpm < peak_torque_rpm)
            & (peak_torque_rpm < peak_power_rpm)
            & (peak_power_rpm <= redline_rpm)
            & (at_power <= peak_torque_n_m * 1.001)
        )
        farthest = np.maximum(peak_torque_rpm - idle_rpm, redline_rpm - peak_torque_rpm)
        with np.errstate(divide="ignore", invalid="ignore"):
            bend = (peak_torque_n_m - at_power) / (peak_power_rpm - peak_torque_rpm) ** 2
            agree = agree & (peak_torque_n_m - bend * farthest**2 > 0.0)
        top = np.where(agree, peak_torque_n_m, np.nan)
        return cls(None, (top, peak_torque_rpm, at_power, peak_power_rpm, idle_rpm, redline_rpm))

    def knots_rpm(self) -> np.ndarray:
        """Shaft speeds at which the slope changes, rising: (points, 1), or (points, cases)."""
        if self.line is not None:
            return self.line[-1][:, None]
        assert self.peaks is not None  # one of the two is there
        _, top_rpm, _, power_rpm, idle, redline = self.peaks
        inner = [idle + (redline - idle) * i / (INNER - 1) for i in range(INNER)]
        return np.sort(np.stack(np.broadcast_arrays(*np.atleast_1d(*inner, top_rpm, power_rpm))), axis=0)

    def most_n_m(self) -> Any:
        """The largest torque of each curve."""
        if self.line is not None:
            _, _, _, start, slope, x = self.line
            return float((start[1:-1] + slope[1:-1] * x[:-1]).max(initial=start[-1]))
        assert self.peaks is not None  # one of the two is there
        return self.peaks[0]

    def at(self, some: np.ndarray) -> "TorqueCurves":
        """The curves of some cases."""
        if self.peaks is None:
            return self
        return TorqueCurves(
            None,
            tuple(
                value[some] if isinstance(value, np.ndarray) and value.ndim else value for value in self.peaks
            ),
        )

    def at_rpm(self, rpm: np.ndarray) -> np.ndarray:
        """Torque of each case at its shaft speed, up to the redline."""
        if self.line is not None:
            per_rpm, first, knot, start, slope, x = self.line
            if per_rpm > 0.0:  # at most one point of the curve in a bucket
                bucket = (rpm * per_rpm).astype(np.intp)
                piece = first.take(bucket, mode="clip") + (rpm >= knot.take(bucket, mode="clip"))
            else:
                piece = np.searchsorted(x, rpm, side="right")
            return start.take(piece, mode="clip") + slope.take(piece, mode="clip") * rpm
        assert self.peaks is not None  # one of the two is there
        top, top_rpm, at_power, power_rpm, idle, redline = self.peaks
        width = np.maximum(redline - idle, 1.0) / (INNER - 1)
        n = np.minimum(np.maximum(rpm, idle), redline)
        below = idle + np.minimum(np.floor((n - idle) / width), INNER - 2) * width
        above = below + width
        for knot in (top_rpm, power_rpm):
            below, above = (
                np.where(knot <= n, np.maximum(below, knot), below),
                np.where(knot > n, np.minimum(above, knot), above),
            )
        with np.errstate(divide="ignore", invalid="ignore"):  # peaks at one speed contradict each other: nan
            bend = (top - at_power) / (power_rpm - top_rpm) ** 2
        low, high = (np.maximum(0.0, top - bend * (knot - top_rpm) ** 2) for knot in (below, above))
        run = above - below
        return low + np.where(run > 0, (n - below) / np.where(run > 0, run, 1.0), 0.0) * (high - low)
