"""A group of equal bolts in one plate: how a force that passes them by spreads over them (elastic method)."""

from collections.abc import Sequence
from typing import NamedTuple

from towlib.physics.basics import cases as math

_FLAT = 1e-9  # of the group's size: below this a lever or an area counts as none


class BoltForce(NamedTuple):
    """What the plate does to one bolt: shear in the plate's plane, tension away from the face it lies on."""

    shear_u_n: float
    shear_v_n: float
    tension_n: float

    @property
    def shear_n(self) -> float:
        """Shear whichever way it points."""
        return math.hypot(self.shear_u_n, self.shear_v_n)


def bolt_forces(
    positions_m: Sequence[tuple[float, float]],
    force_n: tuple[float, float, float],
    point_m: tuple[float, float, float],
) -> tuple[BoltForce, ...]:
    """Force on each of some equal bolts from a force on their plate.

    shear: F/N + M_n × r / Σr²; tension: F_n/N + a·u + b·v with [I_uu I_uv; I_uv I_vv]·[a, b] = [-M_v, M_u]
      about the centroid

    Parameters
    ----------
    positions_m : sequence of (u, v)
        Places of the bolts in the plate, any origin.
    force_n : (F_u, F_v, F_n)
        Force on the plate; F_n positive when it pulls the plate off.
    point_m : (u, v, n)
        Where it acts, same origin; n is how far off the plate.

    Returns
    -------
    tuple of BoltForce
        In the order of the positions. A negative tension means that the plate presses there and the bolt is
        not pulled.

    Raises
    ------
    ValueError
        When there is no bolt, or bolts in one line (or one bolt alone) cannot carry the moment.

    Breaks down when
        the plate bends or pries (tension is then higher), bolts differ, or the joint grips by friction alone.
        The plate is taken to turn about the middle of the bolts, not about its edge.

    Source
        Elastic method: rigid plate on equal springs. Full second moments of the pattern, so any pattern may
        be given.

    Examples
    --------
    >>> square = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)]
    >>> bolt_forces(square, (0.0, 0.0, 400.0), (1.0, 0.0, 0.0))[1]
    BoltForce(shear_u_n=0.0, shear_v_n=0.0, tension_n=200.0)
    """
    count = len(positions_m)
    if not count:
        raise ValueError("there is no bolt to carry the force")
    middle_u, middle_v = (sum(place) / count for place in zip(*positions_m, strict=True))
    places = [(u - middle_u, v - middle_v) for u, v in positions_m]
    along_u, along_v, off = force_n
    lever_u, lever_v, height = point_m[0] - middle_u, point_m[1] - middle_v, point_m[2]
    twist = lever_u * along_v - lever_v * along_u
    tilt = (
        lever_u * off - height * along_u,
        lever_v * off - height * along_v,
    )  # what Σu·t and Σv·t must come to
    polar = sum(u * u + v * v for u, v in places)
    least = _FLAT * max(math.sqrt(polar / count), math.hypot(lever_u, lever_v, height)) * math.hypot(*force_n)
    if polar == 0.0 and abs(twist) > least:
        raise ValueError("one bolt alone cannot keep the plate from turning")
    turn = twist / polar if polar else 0.0
    slope_u, slope_v = _tilt_per_m2(places, tilt, least)
    return tuple(
        BoltForce(
            along_u / count - turn * v + 0.0,
            along_v / count + turn * u + 0.0,
            off / count + slope_u * u + slope_v * v + 0.0,
        )
        for u, v in places
    )


def _tilt_per_m2(
    places: list[tuple[float, float]], tilt: tuple[float, float], least: float
) -> tuple[float, float]:
    """Growth of the tension along u and v."""
    uu, vv, uv = (sum(p[i] * p[j] for p in places) for i, j in ((0, 0), (1, 1), (0, 1)))
    polar, determinant = uu + vv, uu * vv - uv * uv
    if determinant > (_FLAT * polar) * polar:
        return (vv * tilt[0] - uv * tilt[1]) / determinant, (uu * tilt[1] - uv * tilt[0]) / determinant
    if math.hypot(*tilt) <= least:
        return 0.0, 0.0
    angle = 0.5 * math.atan2(2.0 * uv, uu - vv)  # bolts in one line: its direction
    line = (math.cos(angle), math.sin(angle))
    if polar == 0.0 or abs(tilt[0] * line[1] - tilt[1] * line[0]) > max(least, _FLAT * math.hypot(*tilt)):
        raise ValueError(
            "bolts in one line cannot carry this moment: the plate's edge would, and this model does not"
            " count it"
        )
    share = (tilt[0] * line[0] + tilt[1] * line[1]) / polar
    return share * line[0], share * line[1]
