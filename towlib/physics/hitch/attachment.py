"""One bracket as built: which of its parts yields first under given forces at its pin."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from towlib.physics.basics import cases as math
from towlib.physics.hitch.bolt_group import BoltForce, bolt_forces
from towlib.physics.hitch.bolts import SHEAR_OF_YIELD, combined_use
from towlib.physics.hitch.load_cases import Force
from towlib.physics.hitch.pins import pin_arm_m, pin_use
from towlib.physics.hitch.plate_bending import (
    LugSize,
    PlateSize,
    flat_bending_moment_n_m,
    lug_stress_pa,
    plate_stress_pa,
    prying_share,
)
from towlib.physics.hitch.plates import bearing_load_n, net_section_load_n, tear_out_load_n
from towlib.physics.hitch.welds import LugWelds, throat_stress_pa

ALONG, ACROSS = "fore and aft", "across"  # which way the bolts run
PLATE_BENDS, LUG_ROOT, WELD = "plate in bending", "lugs at their root", "weld"
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
    plate_free_width_m: float | None = None  # between its supports, on either side of the lugs
    lug_thickness_m: float | None = None
    lug_width_m: float | None = None  # at its root
    eye_thickness_m: float | None = None
    gap_m: float | None = None  # between a lug and the eye
    pin_diameter_m: float | None = None
    pin_yield_pa: float | None = None
    pin_planes: int = 2  # 2 when lugs hold it on both sides of the bar's eye
    lugs_welded: bool | None = None
    weld_leg_m: float | None = None
    weld_length_m: float | None = None  # of the weld along one side of a lug
    longest_row: int | None = None  # holes in it; counted from the bolts when not given


OnBracket = tuple[Force, float] | tuple[Force, float, tuple[BoltForce, ...] | None]


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


def longest_row(view: PlateView) -> int:
    """Bolts in the longest row, whichever way it runs.

    Parameters
    ----------
    view : PlateView
        From plate_view.

    Returns
    -------
    int
        Bolts whose places agree within 2 mm one way or the other.

    Breaks down when
        a row runs at an angle.

    Source
        Counting.

    Examples
    --------
    >>> three = [BoltPlace(0.06, up, 0.0) for up in (-0.04, 0.0, 0.04)]
    >>> longest_row(plate_view(Force(1.0, 0.0, 0.0), three, bolts_run="fore and aft", side=1.0))
    3
    """
    return max(
        sum(abs(other[i] - place[i]) < _SAME_ROW_M for other in view.positions_m)
        for place in view.positions_m
        for i in (0, 1)
    )


def first_to_yield(
    forces: Sequence[OnBracket], attachment: Attachment, *, names: Sequence[str] = ()
) -> tuple[Part, ...]:
    """Parts of a bracket, the weakest first: how many times the forces may grow until each yields.

    load factor = capacity at yield / demand, the smallest over all forces and bolts

    Parameters
    ----------
    forces : sequence of (Force, side) or (Force, side, bolts)
        On brackets at their pins, each with +1 for a left and -1 for a right bracket, and with what each bolt
        carries of it where that is worked out already.
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
        a crack, a bad weld or rust is the weak point, or the frame behind the bracket.

    Source
        Elastic bolt group with prying, von Mises shear, bearing at the plate's yield stress; pins, welds and
        plate_bending name theirs. A bolt that the plate presses on counts as pulled, because it is not asked
        which face the plate lies on. Bolts fore and aft: the lugs stand on the plate between its supports.
        Bolts across: plate and lugs are a tongue that ends at the nearest bolts.

    Examples
    --------
    >>> square = tuple(BoltPlace(0.03, v, u) for u in (-0.03, 0.03) for v in (-0.04, 0.04))
    >>> bracket = Attachment(
    ...     square,
    ...     "fore and aft",
    ...     0.0127,
    ...     58e3,
    ...     32e3,
    ...     edge_distance_m=0.03,
    ...     plate_free_width_m=0.06,
    ...     lug_thickness_m=0.01,
    ...     eye_thickness_m=0.02,
    ...     gap_m=0.001,
    ...     pin_diameter_m=0.016,
    ...     pin_yield_pa=250e6,
    ... )
    >>> [
    ...     (part.name, part.load_factor and round(part.load_factor, 1))
    ...     for part in first_to_yield([(Force(9e3, 2e3, 0.0), 1.0)], bracket)
    ... ][:3]
    [('pin', 1.9), ('bolts', 14.9), ('bolt holes (bearing)', None)]
    """
    if not forces:
        raise ValueError("there is no force to hold against")
    acting = [_Acting(attachment, *each) for each in forces]
    found = []
    for name in names or _FACTORS:
        try:
            found.append(Part(name, min(map(_FACTORS[name], acting))))
        except ValueError as reason:
            found.append(Part(name, None, str(reason)))
    return tuple(sorted(found, key=lambda item: math.inf if item.load_factor is None else item.load_factor))


def weakest_under(
    forces: Sequence[OnBracket], attachment: Attachment, names: Sequence[str]
) -> tuple[float, str, int]:
    """The part of some that yields first, how many times the forces may grow until then, and under which.

    the smallest load factor of first_to_yield

    Parameters
    ----------
    forces : sequence of (Force, side) or (Force, side, bolts)
        As for first_to_yield.
    attachment : Attachment
        What both brackets are made of.
    names : sequence of str
        The parts to look at.

    Returns
    -------
    tuple
        Load factor, part, and the place of the force among the forces.

    Raises
    ------
    ValueError
        When there is no force or no part, or a size of a part is missing or impossible.

    Breaks down when
        as first_to_yield does.

    Source
        See first_to_yield.

    Examples
    --------
    >>> lug = Attachment(
    ...     (BoltPlace(0.07, 0.0, 0.0),),
    ...     "fore and aft",
    ...     lug_width_m=0.06,
    ...     lug_thickness_m=0.012,
    ...     plate_yield_pa=250e6,
    ... )
    >>> pull, side = Force(4600.0, 0.0, 0.0), Force(4600.0, 1000.0, 0.0)
    >>> factor, part, which = weakest_under([(pull, 1.0), (side, 1.0)], lug, (LUG_ROOT,))
    >>> round(factor, 1), part, which
    (4.8, 'lugs at their root', 1)
    """
    if not forces or not names:
        raise ValueError("there is no force, or no part to hold against it")
    acting = [_Acting(attachment, *each) for each in forces]
    found = ((_FACTORS[name](each), name, which) for name in names for which, each in enumerate(acting))
    return min(found, key=lambda each: each[0])


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

    part: Attachment
    force: Force
    side: float
    worked_out: tuple[BoltForce, ...] | None = None

    @cached_property
    def bolts(self) -> tuple[BoltForce, ...]:
        """What each bolt carries of it."""
        bolts, run = _known(self.part, "bolts", "bolts_run")
        if self.worked_out is not None:
            return self.worked_out
        return bolt_forces(*plate_view(self.force, bolts, bolts_run=run, side=self.side))


def _bolts(on: _Acting) -> float:
    tension_n, shear_n, run = _known(on.part, "bolt_tension_n", "bolt_shear_n", "bolts_run")
    pried = 1.0
    if run == ALONG:
        span_m, edge_m = _known(on.part, "plate_free_width_m", "edge_distance_m")
        pried += prying_share(span_m / 2.0, edge_m)
    return min(
        _over(
            1.0,
            combined_use(
                pried * abs(bolt.tension_n), bolt.shear_n, tension_load_n=tension_n, shear_load_n=shear_n
            ),
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
    row = on.part.longest_row or longest_row(view)
    capacity_n = net_section_load_n(
        width_m, thickness_m, hole_diameter_m=hole_m, holes=row, yield_pa=yield_pa
    )
    return _over(capacity_n, math.hypot(*view.force_n[:2]))


def _arm_m(on: _Acting) -> float:
    """From the pin back to the plate, or along it to the nearest bolts."""
    bolts, _ = _known(on.part, "bolts", "bolts_run")
    nearest: float = min(abs(bolt.behind_pin_m) for bolt in bolts)
    return nearest


def _plate_stress_pa(on: _Acting) -> float:
    thickness_m, width_m, run = _known(on.part, "plate_thickness_m", "plate_width_m", "bolts_run")
    along, across, upright = on.force
    arm_m = _arm_m(on)
    if run == ALONG:
        span_m, lug_m = _known(on.part, "plate_free_width_m", "lug_width_m")
        return plate_stress_pa(
            PlateSize(span_m, width_m, thickness_m),
            LugSize(lug_m, 0.0, arm_m),
            off_n=along,
            sideways_n=math.hypot(across, upright),
        )
    bolts, hole_m = _known(on.part, "bolts", "hole_diameter_m")
    view = plate_view(on.force, bolts, bolts_run=run, side=on.side)
    left_m = width_m - (on.part.longest_row or longest_row(view)) * hole_m
    if left_m <= 0:
        raise ValueError("the holes leave nothing of this plate's width")
    twist_n_m = math.hypot(along, upright) * abs(view.point_m[2])
    tongue = LugSize(left_m, thickness_m, arm_m)
    stress_pa = lug_stress_pa(tongue, along_n=along, across_n=across, upright_n=upright, lugs=1)
    return stress_pa + twist_n_m / flat_bending_moment_n_m(left_m, thickness_m, yield_pa=1.0)


def _lug_stress_pa(on: _Acting) -> float:
    width_m, thickness_m = _known(on.part, "lug_width_m", "lug_thickness_m")
    along, across, upright = on.force
    lug = LugSize(width_m, thickness_m, _arm_m(on))
    return lug_stress_pa(lug, along_n=along, across_n=across, upright_n=upright, lugs=on.part.pin_planes)


def _weld_stress_pa(on: _Acting) -> float:
    (welded,) = _known(on.part, "lugs_welded")
    if not welded:
        return 0.0
    leg_m, length_m, apart_m = _known(on.part, "weld_leg_m", "weld_length_m", "lug_thickness_m")
    along, across, upright = on.force
    welds = LugWelds(leg_m, length_m, apart_m, _arm_m(on))
    return throat_stress_pa(welds, along_n=along, across_n=across, upright_n=upright, lugs=on.part.pin_planes)


_STRESSES: dict[str, Callable[[_Acting], float]] = {
    PLATE_BENDS: _plate_stress_pa,
    LUG_ROOT: _lug_stress_pa,
    WELD: _weld_stress_pa,
}


def stress_pa(name: str, acting: tuple[Force, float], attachment: Attachment) -> float:
    """Stress in plate, lug or weld from a force on a bracket at its pin.

    s by plate_bending and welds

    Parameters
    ----------
    name : str
        PLATE_BENDS, LUG_ROOT or WELD.
    acting : (Force, side)
        On the bracket at its pin, with +1 for a left and -1 for a right bracket.
    attachment : Attachment
        What both brackets are made of.

    Returns
    -------
    float
        Pascals; 0 in the weld of lugs that are not welded.

    Raises
    ------
    ValueError
        When a size is missing or impossible.

    Breaks down when
        as the parts of first_to_yield do.

    Source
        See plate_bending and welds.

    Examples
    --------
    >>> lug = Attachment(
    ...     (BoltPlace(0.07, 0.0, 0.0),), "fore and aft", lug_width_m=0.06, lug_thickness_m=0.012
    ... )
    >>> round(stress_pa(LUG_ROOT, (Force(4600.0, 1000.0, 0.0), 1.0), lug) / 1e6, 1)
    51.8
    """
    return _STRESSES[name](_Acting(attachment, *acting))


def _plate_bends(on: _Acting) -> float:
    (yield_pa,) = _known(on.part, "plate_yield_pa")
    return _over(yield_pa, _plate_stress_pa(on))


def _lug_root(on: _Acting) -> float:
    (yield_pa,) = _known(on.part, "plate_yield_pa")
    return _over(yield_pa, _lug_stress_pa(on))


def _weld(on: _Acting) -> float:
    (yield_pa,) = _known(on.part, "plate_yield_pa")
    return _over(SHEAR_OF_YIELD * yield_pa, _weld_stress_pa(on))


def _pin(on: _Acting) -> float:
    diameter_m, yield_pa, lug_m, eye_m, gap_m = _known(
        on.part, "pin_diameter_m", "pin_yield_pa", "lug_thickness_m", "eye_thickness_m", "gap_m"
    )
    planes = on.part.pin_planes
    arm_m = pin_arm_m(lug_m, eye_m, gap_m=gap_m, both_sides=planes > 1)
    use = pin_use(math.hypot(*on.force), arm_m=arm_m, diameter_m=diameter_m, yield_pa=yield_pa, planes=planes)
    return _over(1.0, use)


def _lug_holes(on: _Acting) -> float:
    diameter_m, lug_m, yield_pa = _known(on.part, "pin_diameter_m", "lug_thickness_m", "plate_yield_pa")
    capacity_n = on.part.pin_planes * bearing_load_n(diameter_m, lug_m, strength_pa=yield_pa)
    return _over(capacity_n, math.hypot(*on.force))


_FACTORS: dict[str, Callable[[_Acting], float]] = {
    "bolts": _bolts,
    "bolt holes (bearing)": _bearing,
    "plate edge (tear-out)": _tear_out,
    "plate beside the holes": _net_section,
    PLATE_BENDS: _plate_bends,
    LUG_ROOT: _lug_root,
    "pin": _pin,
    "lug holes (bearing)": _lug_holes,
    WELD: _weld,
}
