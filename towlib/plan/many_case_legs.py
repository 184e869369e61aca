"""The road driven in every case: what the limits ask of a leg, as Cases."""

from collections.abc import Callable
from typing import Any

import numpy as np

from towlib.limits.legs import (
    CLIMB,
    DESCENT_SHARE_OF_REDLINE,
    DOWNGRADE,
    FASTEST_M_S,
    climb_grade,
    pair_on_road,
    steepest_pitch,
    top_step,
)
from towlib.physics.basics.atmosphere import ZERO_C_IN_K, air_density_kg_m3, air_temperature_along_c
from towlib.physics.basics.cases import Cases, for_all
from towlib.physics.drive.climb_cases import steady_speed_cases
from towlib.physics.drive.descent import descent_gear
from towlib.physics.drive.journey import GENTLE_BRAKING_M_S2, Pair
from towlib.physics.drive.journey_cases import DriveCases, PairCases, drive_cases
from towlib.physics.drive.torque_cases import TorqueCurves
from towlib.rig.facts import Facts
from towlib.road.route import Route

ENGINE = "tow_vehicle.engine."
PEAKS = tuple(
    ENGINE + name
    for name in ("peak_torque", "peak_torque_at", "peak_power", "peak_power_at", "idle", "redline")
)


class SampledLeg:
    """A leg in every case; answers what the limits ask of a Leg."""

    def __init__(
        self,
        way: str,
        route: Route,
        pair: Pair,
        *,
        air_density: dict[int, Any],
        driven: DriveCases,
        climbs: np.ndarray,
        climb_limits_m_s: list[float],
        contradict: np.ndarray | None = None,
    ):
        self.contradict = contradict  # True in cases whose engine's peaks contradict each other
        self.way, self.route, self.pair, self.air_density_kg_m3 = way, route, pair, air_density
        self.driven, self._climbs, self._limits = driven, climbs, climb_limits_m_s

    def highest_brake_c(self, axle: int) -> Cases:
        """As of Leg; nan in the cases that stop."""
        return self._or_nan(self.driven.highest_brake_c[axle])

    def highest_coolant_c(self) -> Cases:
        """As of Leg; nan in the cases that stop."""
        return self._or_nan(self.driven.highest_coolant_c)

    def _or_nan(self, found: np.ndarray | None) -> Cases:
        return Cases(np.full(len(self.driven.fuel_m3), np.nan) if found is None else found)

    def fuel_m3(self) -> Cases:
        """As of Leg; nan in the cases that stop."""
        return Cases(self.driven.fuel_m3)

    def hardest_climb(self, wanted_m_s: Any) -> tuple[Any, Any]:
        """As of Leg."""
        if not len(self._climbs):
            return 0.0, FASTEST_M_S
        wanted = wanted_m_s.values if isinstance(wanted_m_s, Cases) else wanted_m_s
        asked = np.fmin(wanted, np.asarray(self._limits)[:, None]) * np.ones_like(self._climbs)
        with np.errstate(divide="ignore"):
            hardest = (asked / self._climbs).argmax(axis=0)
        each = np.arange(len(hardest))
        return Cases(asked[hardest, each]), Cases(self._climbs[hardest, each])

    def at(self, some: np.ndarray) -> "SampledLeg":
        """The leg of some cases."""
        return SampledLeg(
            self.way,
            self.route,
            _part(self.pair, some),
            air_density={i: _part(value, some) for i, value in self.air_density_kg_m3.items()},
            driven=_part(self.driven, some),
            climbs=self._climbs[:, some] if len(self._climbs) else self._climbs,
            climb_limits_m_s=self._limits,
            contradict=None if self.contradict is None else self.contradict[some],
        )


def _part(value: Any, some: np.ndarray) -> Any:
    """The numbers of some cases."""
    return _each(
        [value], lambda one: Cases(one[0].values[some]) if isinstance(one[0], Cases) else one[0][some]
    )


def joined(legs: list[SampledLeg], order: np.ndarray) -> SampledLeg:
    """Legs of some cases each put together; `order` brings the cases into their own order."""
    first = legs[0]
    if len(legs) == 1:
        return first.at(order)
    counts = [len(leg.driven.fuel_m3) for leg in legs]
    air = {i: _join([leg.air_density_kg_m3[i] for leg in legs], counts) for i in first.air_density_kg_m3}
    climbs = np.concatenate([leg._climbs for leg in legs], axis=1) if len(first._climbs) else first._climbs
    return SampledLeg(
        first.way,
        first.route,
        _join([leg.pair for leg in legs], counts),
        air_density=air,
        driven=_join([leg.driven for leg in legs], counts),
        climbs=climbs,
        climb_limits_m_s=first._limits,
        contradict=None if first.contradict is None else np.concatenate([leg.contradict for leg in legs]),
    ).at(order)


def _join(parts: list[Any], counts: list[int]) -> Any:
    """The numbers of several lots of cases, one behind the other; what is one number in a lot is that of all
    its cases.
    """

    def together(all_: list[Any]) -> Any:
        arrays = [one.values if isinstance(one, Cases) else one for one in all_]
        whole = np.concatenate(
            [
                one if isinstance(one, np.ndarray) else np.full(count, float(one))
                for one, count in zip(arrays, counts, strict=True)
            ]
        )
        return Cases(whole) if any(isinstance(one, Cases) for one in all_) else whole

    return _each(parts, together)


def _arrays(value: Any) -> Any:
    """The same with arrays instead of Cases."""
    return _each([value], lambda one: one[0].values if isinstance(one[0], Cases) else one[0])


def _each(alike: list[Any], change: Callable[[list[Any]], Any]) -> Any:
    """What `change` makes of the arrays and Cases in values built alike (numbers, tuples, NamedTuples); all
    else as in the first.
    """
    first = alike[0]
    if any(isinstance(each, Cases | np.ndarray) for each in alike):
        return change(alike)
    if isinstance(first, tuple):
        items = [_each(list(item), change) for item in zip(*alike, strict=True)]
        return type(first)(*items) if hasattr(first, "_fields") else tuple(items)
    return first


def sampled_leg(facts: Facts, route: Route, way: str, *, count: int) -> SampledLeg:
    """Drive the road in every case of these facts (CaseFacts with Cases); legs.drive_leg for many."""
    start_m = float(route.elevation_m[0])
    if way == "back":
        route = route.reversed()
    pair, torque = _pair_and_torque(facts, way, count)
    plain = _arrays(pair)
    middle_m = 0.5 * (route.elevation_m[:-1] + route.elevation_m[1:])
    start_c = np.atleast_1d(_arrays(facts.need("conditions.air_temperature")))

    colder_k = air_temperature_along_c(0.0, start_m, middle_m)
    per_kelvin = (
        air_density_kg_m3(middle_m, 0.0) * ZERO_C_IN_K
    )  # density times temperature: the pressure there over the gas constant

    def air_at(step: int) -> tuple[np.ndarray, np.ndarray]:
        air_c = start_c + colder_k[step]
        return air_c, per_kelvin[step] / (air_c + ZERO_C_IN_K)

    cases = PairCases(plain, torque, count)
    target, gears = _driver(facts, pair, route, lambda step: air_at(step)[1], count)
    driven = drive_cases(
        plain,
        torque,
        count=count,
        step_m=float(route.distance_m[1] - route.distance_m[0]),
        grade=route.grade.tolist(),
        target_m_s=target,
        descent_gear=gears,
        air_at=air_at,
    )
    climbs, limits = [], []
    for segment in route.segments():
        if segment.mean_grade >= CLIMB:
            thin = air_at(top_step(route, segment))[1]
            climbs.append(
                steady_speed_cases(
                    cases,
                    climb_grade(segment),
                    rolling_coefficient=plain.rolling_coefficient,
                    drag_area_m2=plain.drag_area_m2,
                    power_factor=cases.power_factor(thin),
                    air_density_kg_m3=thin,
                    wanted_m_s=FASTEST_M_S,
                )
            )
            limits.append(segment.speed_limit_m_s)
    steepest = steepest_pitch(route)[1]
    density = air_at(steepest)[1]
    thin_air = {steepest: Cases(density) if len(density) > 1 else float(density[0])}
    contradict = np.broadcast_to(np.isnan(torque.most_n_m()), count).copy() if torque.peaks else None
    return SampledLeg(
        way,
        route,
        pair,
        air_density=thin_air,
        driven=driven,
        climbs=np.array(climbs),
        climb_limits_m_s=limits,
        contradict=contradict,
    )


def _pair_and_torque(facts: Facts, way: str, count: int) -> tuple[Pair, TorqueCurves]:
    """The pair, and its engine's torque; peaks that differ from case to case give each case a curve of its
    own.
    """
    if facts.have(ENGINE + "curve") or not any(isinstance(facts.have(path), Cases) for path in PEAKS):
        pair = pair_on_road(facts, way)
        return pair, TorqueCurves.same(
            pair.train.curve_rpm, pair.train.curve_torque_n_m, redline_rpm=pair.train.redline_rpm
        )
    torque, torque_at, power, power_at, idle, redline = (_arrays(facts.need(path)) for path in PEAKS)
    curves = TorqueCurves.from_peaks(
        torque, torque_at, peak_power_w=power, peak_power_rpm=power_at, idle_rpm=idle, redline_rpm=redline
    )
    knots = [np.broadcast_to(row, count) for row in curves.knots_rpm()]
    pair = pair_on_road(
        facts, way, (tuple(Cases(row) for row in knots), tuple(Cases(curves.at_rpm(row)) for row in knots))
    )
    return pair, curves


def _driver(
    facts: Facts, pair: Pair, route: Route, density_at: Callable[[int], np.ndarray], count: int
) -> tuple[np.ndarray, np.ndarray]:
    """legs._driver in every case."""
    cruise, descending = (
        np.atleast_1d(_arrays(facts.need(f"conditions.{name}"))) for name in ("cruise_speed", "descent_speed")
    )
    limit = route.speed_limit_m_s
    step_m = float(route.distance_m[1] - route.distance_m[0])
    wanted = np.where(np.isnan(limit)[:, None], cruise, np.fmin(cruise, limit[:, None]))
    if wanted.shape[1] == 1 and len(descending) > 1:
        wanted = np.repeat(wanted, count, axis=1)
    rows = {}
    for segment in route.segments():
        first, last = (round(end / step_m) for end in (segment.start_m, segment.end_m))
        if segment.mean_grade <= DOWNGRADE:
            wanted[first:last] = np.minimum(wanted[first:last], descending)
            rows[first, last] = _held(
                pair,
                segment.mean_grade,
                speed=wanted[first:last].min(axis=0),
                density=density_at(first),
                count=count,
            )
    gears = np.zeros(
        (len(route.grade), count if any(len(set(held.tolist())) > 1 for held in rows.values()) else 1),
        np.int8,
    )
    for (first, last), held in rows.items():
        gears[first:last] = held[: gears.shape[1]]
    for i in range(len(wanted) - 2, -1, -1):
        wanted[i] = np.minimum(wanted[i], np.sqrt(wanted[i + 1] ** 2 + 2.0 * GENTLE_BRAKING_M_S2 * step_m))
    return wanted, gears


def _held(pair: Pair, grade: float, *, speed: np.ndarray, density: np.ndarray, count: int) -> np.ndarray:
    """The gear held on a downgrade in each case."""

    def of(values: np.ndarray, some: np.ndarray) -> Any:
        return Cases(values[some]) if len(values) > 1 else float(values[0])

    def gear(some: np.ndarray) -> float:
        part = _part(pair, some)
        return float(
            descent_gear(
                part,
                grade,
                speed_m_s=of(speed, some),
                air_density_kg_m3=of(density, some),
                highest_rpm=DESCENT_SHARE_OF_REDLINE * part.train.redline_rpm,
            )[0]
        )

    return for_all(count, gear).astype(int)
