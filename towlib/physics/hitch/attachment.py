"""One bracket as built: which of its parts yields first under given forces at its pin."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from towlib.physics.basics import cases as math
from towlib.physics.hitch.bolt_group import BoltForce, bolt_forces
from towlib.physics.hitch.bolts import combined_use, pin_load_n
from towlib.physics.hitch.load_cases import Force
from towlib.physics.hitch.plates import bearing_load_n, net_section_load_n, tear_out_load_n

ALONG, ACROSS = "fore and aft", "across"  # which way the bolts run
_SAME_ROW_M = 0.002


class BoltPlace(NamedTuple):
    """Where a bolt sits, seen from the pin."""

    behind_pin_m: float
    above_pin_m: float
    outboard_of_pin_m: float


class PlateView(NamedTuple):
    """The bracket's plate as bolt_group sees it."""

    positions_m: tuple[tuple[float, float], ...]
    force_n: tuple[float, float, float]
    point_m: tuple[float, float, float]


class Attachment(NamedTuple):
    """One bracket; None is not known."""

    bolts: tuple[BoltPlace, ...] | None = None
    bolts_run: str | None = None  # ALONG or ACROSS
    bolt_diameter_m: float | None = None
    bolt_tension_n: float | None = None  # at yield, one bolt
    bolt_shear_n: float | None = None  # at yield, one bolt
    plate_thickness_m: float | None = None
    plate_yield_pa: float | None = None
    hole_diameter_m: float | None = None
    edge_distance_m: float | None = None
    plate_width_m: float | None = None
    pin_diameter_m: float | None = None
    pin_yield_pa: float | None = None
    pin_planes: int = 2  # 2 when lugs hold it on both sides of the bar's eye
    weld_load_n: float | None = None


class Part(NamedTuple):
    """A part and how many times the force may grow until it yields; None with the reason when that is not
    known.
    """

    name: str
    load_factor: float | None
    why: str = ""


def plate_view(force: Force, bolts: Sequence[BoltPlace], *, bolts_run: str, side: float) -> PlateView:
    """Turn a force at the pin into the plate's own directions.

    fore and aft: u outboard, v up, n forwards; across: u forwards, v up, n outboard

    Parameters
    ----------
    force : Force
        On the bracket at its pin.
    bolts : sequence of BoltPlace
        Where the bolts sit.
    bolts_run : str
        "fore and aft" or "across".
    side : float
        +1 for the left bracket, -1 for the right one.

    Returns
    -------
    PlateView
        Positions, force and point for bolt_forces; the pin is the origin of u and v.

    Raises
    ------
    ValueError
        When there is no bolt, or the bolts run some other way, or do not lie in one plane.

    Breaks down when
        bolts run at an angle.

    Source
        Geometry.

    Examples
    --------
    >>> two = [BoltPlace(0.06, 0.04, 0.0), BoltPlace(0.06, -0.04, 0.0)]
    >>> plate_view(Force(1000.0, 0.0, 0.0), two, bolts_run="fore and aft", side=1.0).point_m
    (0.0, 0.0, 0.06)
    """
    if bolts_run not in (ALONG, ACROSS):
        raise ValueError(f"bolts run '{ALONG}' or '{ACROSS}', not '{bolts_run}'")
    if not bolts:
        raise ValueError("there is no bolt to carry the force")
    outboard_n = side * force.left_n
    if bolts_run == ALONG:
        depths, places = (
            [bolt.behind_pin_m for bolt in bolts],
            [(bolt.outboard_of_pin_m, bolt.above_pin_m) for bolt in bolts],
        )
        forces, sign = (outboard_n, force.up_n, force.along_n), 1.0
    else:
        depths, places = (
            [bolt.outboard_of_pin_m for bolt in bolts],
            [(-bolt.behind_pin_m, bolt.above_pin_m) for bolt in bolts],
        )
        forces, sign = (force.along_n, force.up_n, outboard_n), -1.0
    if max(depths) - min(depths) > _SAME_ROW_M:
        raise ValueError("the bolts of one bracket must lie in one plane across their direction")
    return PlateView(tuple(places), forces, (0.0, 0.0, sign * depths[0] + 0.0))


def first_to_yield(
    forces: Sequence[tuple[Force, float]], attachment: Attachment, *, names: Sequence[str] = ()
) -> tuple[Part, ...]:
    """Parts of a bracket, the weakest first: how many times the forces may grow until each yields.

    load factor = capacity at yield / demand, the smallest over all forces and bolts

    Parameters
    ----------
    forces : sequence of (Force, side)
        On brackets at their pins, each with +1 for a left and -1 for a right bracket.
    attachment : Attachment
        What both brackets are made of.
    names : sequence of str
        The parts to look at, all of them when none is named.

    Returns
    -------
    tuple of Part
        Known parts by rising load factor (infinite when nothing acts on a part), then those not known.

    Raises
    ------
    ValueError
        When there is no force.

    Breaks down when
        a crack, a bad weld or rust is the weak point, or the frame behind the bracket; plates also bend,
        which is not counted.

    Source
        Elastic bolt group, von Mises shear, bearing at the plate's yield stress. A bolt that the plate
        presses on counts as pulled, because it is not asked which face the plate lies on.

    Examples
    --------
    >>> square = tuple(BoltPlace(0.03, v, u) for u in (-0.03, 0.03) for v in (-0.04, 0.04))
    >>> bracket = Attachment(
    ...     square, "fore and aft", 0.0127, 58e3, 32e3, pin_diameter_m=0.016, pin_yield_pa=250e6
    ... )
    >>> [
    ...     (part.name, part.load_factor and round(part.load_factor, 1))
    ...     for part in first_to_yield([(Force(9e3, 2e3, 0.0), 1.0)], bracket)
    ... ][:3]
    [('pin', 6.3), ('bolts', 20.0), ('bolt holes (bearing)', None)]
    """
    if not forces:
        raise ValueError("there is no force to hold against")
    acting = [_Acting(force, side, attachment) for force, side in forces]
    found = []
    for name in names or _FACTORS:
        try:
            found.append(Part(name, min(map(_FACTORS[name], acting))))
        except ValueError as reason:
            found.append(Part(name, None, str(reason)))
    return tuple(sorted(found, key=lambda item: math.inf if item.load_factor is None else item.load_factor))


class _NotKnown(ValueError):
    """A size or strength is missing; the words name it."""


def _known(part: Attachment, *names: str) -> list:
    for name in names:
        if getattr(part, name) is None:
            raise _NotKnown(name.removesuffix("_m").removesuffix("_n").removesuffix("_pa").replace("_", " "))
    return [getattr(part, name) for name in names]


def _over(capacity_n: float, demand_n: float) -> float:
    return capacity_n / demand_n if demand_n > 0 else math.inf


@dataclass
class _Acting:
    """A force on a bracket, +1 for a left and -1 for a right one."""

    force: Force
    side: float
    part: Attachment

    @cached_property
    def bolts(self) -> tuple[BoltForce, ...]:
        """What each bolt carries of it."""
        bolts, run = _known(self.part, "bolts", "bolts_run")
        return bolt_forces(*plate_view(self.force, bolts, bolts_run=run, side=self.side))


def _bolts(on: _Acting) -> float:
    tension_n, shear_n = _known(on.part, "bolt_tension_n", "bolt_shear_n")
    return min(
        _over(
            1.0,
            combined_use(abs(bolt.tension_n), bolt.shear_n, tension_load_n=tension_n, shear_load_n=shear_n),
        )
        for bolt in on.bolts
    )


def _bearing(on: _Acting) -> float:
    diameter_m, thickness_m, yield_pa = _known(
        on.part, "bolt_diameter_m", "plate_thickness_m", "plate_yield_pa"
    )
    capacity_n = bearing_load_n(diameter_m, thickness_m, strength_pa=yield_pa)
    return _over(capacity_n, max(bolt.shear_n for bolt in on.bolts))


def _tear_out(on: _Acting) -> float:
    edge_m, thickness_m, hole_m, yield_pa = _known(
        on.part, "edge_distance_m", "plate_thickness_m", "hole_diameter_m", "plate_yield_pa"
    )
    capacity_n = tear_out_load_n(edge_m, thickness_m, hole_diameter_m=hole_m, yield_pa=yield_pa)
    return _over(capacity_n, max(bolt.shear_n for bolt in on.bolts))


def _net_section(on: _Acting) -> float:
    width_m, thickness_m, hole_m, yield_pa, bolts, run = _known(
        on.part,
        "plate_width_m",
        "plate_thickness_m",
        "hole_diameter_m",
        "plate_yield_pa",
        "bolts",
        "bolts_run",
    )
    view = plate_view(on.force, bolts, bolts_run=run, side=on.side)
    row = max(
        sum(abs(other[i] - place[i]) < _SAME_ROW_M for other in view.positions_m)
        for place in view.positions_m
        for i in (0, 1)
    )
    capacity_n = net_section_load_n(
        width_m, thickness_m, hole_diameter_m=hole_m, holes=row, yield_pa=yield_pa
    )
    return _over(capacity_n, math.hypot(*view.force_n[:2]))


def _pin(on: _Acting) -> float:
    diameter_m, yield_pa = _known(on.part, "pin_diameter_m", "pin_yield_pa")
    return _over(pin_load_n(diameter_m, yield_pa=yield_pa, planes=on.part.pin_planes), math.hypot(*on.force))


def _weld(on: _Acting) -> float:
    (load_n,) = _known(on.part, "weld_load_n")
    return _over(load_n, math.hypot(*on.force))


_FACTORS: dict[str, Callable[[_Acting], float]] = {
    "bolts": _bolts,
    "bolt holes (bearing)": _bearing,
    "plate edge (tear-out)": _tear_out,
    "plate beside the holes": _net_section,
    "pin": _pin,
    "weld": _weld,
}
