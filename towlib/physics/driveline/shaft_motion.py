"""What turns in a driveline: the ties between speeds solved for parts that turn, stand, are loose, or are
forced.
"""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from towlib.physics.driveline.gear_ties import Tie

TURNS, STANDS, LOOSE, FORCED = "turns", "stands", "loose", "forced"
_TINY = 1e-9


class Speeds(NamedTuple):
    """The speeds that ties allow: one set of them, and every direction in which they may still change."""

    rpm: np.ndarray  # of the parts in their order; the smallest set when there are many
    freedom: np.ndarray  # one row for each way to change speeds without breaking a tie
    residual: np.ndarray  # by tie: zero when they can all hold


class Motion(NamedTuple):
    """What each part does."""

    rpm: dict[str, float]  # 0 for what stands, is loose or forced
    state: dict[str, str]
    by_the_road: frozenset[str]  # parts whose speed follows from ties alone, whatever rests
    conflict: tuple[str, ...]  # names of ties that cannot all hold; empty when all can


def solve_speeds(parts: Sequence[str], ties: Sequence[Tie]) -> Speeds:
    """All speeds that satisfy the ties, by singular values.

    A·n = b: n = pinv(A)·b + any sum of the null vectors of A; b - A·n is not zero when ties contradict each
    other

    Parameters
    ----------
    parts : sequence of str
        Every part that can turn, each once.
    ties : sequence of Tie
        Equations between them; no ties at all leave everything free.

    Returns
    -------
    Speeds
        A part is settled when its column of `freedom` is zero.

    Raises
    ------
    ValueError
        When a tie names a part that is not in the list, or a part stands in it twice.

    Breaks down when
        ratios are so large or so nearly equal that 1 part in 10⁹ decides.

    Source
        Linear algebra: singular value decomposition, any textbook.

    Examples
    --------
    >>> from towlib.physics.driveline.gear_ties import gear, turning_at
    >>> found = solve_speeds(
    ...     ("wheel", "shaft", "hub"),
    ...     (turning_at("road", "wheel", 700.0), gear("final drive", "shaft", "wheel", ratio=4.0)),
    ... )
    >>> [round(float(n)) for n in found.rpm], found.freedom.shape
    ([700, 2800, 0], (1, 3))
    """
    if len(set(parts)) < len(parts):
        raise ValueError("every part of a driveline must be named once")
    place = {part: i for i, part in enumerate(parts)}
    rows, values = np.zeros((len(ties), len(parts))), np.zeros(len(ties))
    for row, tie in enumerate(ties):
        for part, factor in tie.terms:
            if part not in place:
                raise ValueError(f"the driveline has no part called '{part}'")
            rows[row, place[part]] += factor
        size = float(np.sqrt(rows[row] @ rows[row])) or 1.0
        rows[row] /= size
        values[row] = tie.value_rpm / size
    if not ties:
        return Speeds(np.zeros(len(parts)), np.eye(len(parts)), values)
    left, sizes, right = np.linalg.svd(rows)
    rank = int(np.sum(sizes > _TINY))
    rpm = right[:rank].T @ ((left[:, :rank].T @ values) / sizes[:rank])
    return Speeds(rpm, right[rank:], values - rows @ rpm)


def contradicting_ties(parts: Sequence[str], ties: Sequence[Tie]) -> tuple[Tie, ...]:
    """The ties that contradict each other; empty when all can hold.

    r = b - A·n of least squares is at right angles to all that speeds can reach: the ties with r = 0 have no
    part in it

    Parameters
    ----------
    parts : sequence of str
        Every part that can turn.
    ties : sequence of Tie
        Equations between them.

    Returns
    -------
    tuple of Tie
        In the order given. Without these, and kept alone, the others can hold.

    Raises
    ------
    ValueError
        From solve_speeds, when a tie names a part that is not in the list.

    Breaks down when
        two contradictions cancel in one tie by chance: solve again without the ties found.

    Source
        Linear algebra: least squares.

    Examples
    --------
    >>> from towlib.physics.driveline.gear_ties import gear, turning_at
    >>> ties = (
    ...     turning_at("road", "wheel", 700.0),
    ...     gear("shaft", "output", "wheel"),
    ...     turning_at("park pawl", "output", 0.0),
    ... )
    >>> [tie.name for tie in contradicting_ties(("wheel", "output"), ties)]
    ['road', 'shaft', 'park pawl']
    """
    residual = np.abs(solve_speeds(parts, ties).residual)
    least = 1e-7 * max([1.0, *(abs(tie.value_rpm) for tie in ties)])
    return tuple(tie for tie, off in zip(ties, residual > least, strict=True) if off)


def motion(
    parts: Sequence[str],
    ties: Sequence[Tie],
    *,
    held: Sequence[str] = (),
    resting: Sequence[str] = (),
    drags: Sequence[tuple[str, str]] = (),
) -> Motion:
    """What turns, stands, is loose (nothing drives it, oil may drag it along), or is forced (its ties
    contradict each other).

    ties first; then parts that are held (an engine by its compression) stand if the ties let them; then parts
    rest in the order given, the heaviest to turn first; what is left open and touches something that turns,
    by gears or by oil, is loose

    Parameters
    ----------
    parts : sequence of str
        Every part that can turn.
    ties : sequence of Tie
        Equations between them.
    held : sequence of str
        Parts that a drag cannot move.
    resting : sequence of str
        Parts that stay where they are unless a tie moves them, the hardest to turn first; all others follow
        after.
    drags : sequence of pairs
        Parts with oil, plates or a converter between them: one that turns may drag the other along.

    Returns
    -------
    Motion
        Loose and forced parts carry 0 rpm: how fast oil drags them is not computed.

    Raises
    ------
    ValueError
        When one part is given two speeds, or a tie names a part that is not in the list.

    Breaks down when
        cold thick oil drags what is counted as held, or a worn seal lets a resting shaft go.

    Source
        Kinematics; that the heaviest part to turn rests is common practice, no source.

    Examples
    --------
    >>> from towlib.physics.driveline.gear_ties import gear, turning_at
    >>> found = motion(
    ...     ("wheel", "shaft", "input"),
    ...     (turning_at("road", "wheel", 700.0), gear("axle", "shaft", "wheel", ratio=4.0)),
    ...     drags=(("shaft", "input"),),
    ... )
    >>> found.state
    {'wheel': 'turns', 'shaft': 'turns', 'input': 'loose'}
    """
    every, conflict = list(ties), []  # what can hold, and what cannot
    while clash := contradicting_ties(parts, every):
        given_way = [tie for tie in clash if not _rolls(tie)]
        if not given_way:
            raise ValueError("one part cannot be given two speeds")
        conflict += [tie for tie in clash if tie not in conflict]
        every = [tie for tie in every if tie not in given_way]
    speeds, settled = (
        solve_speeds(parts, every),
        _settled(solve_speeds(parts, ties)) if conflict else np.zeros(len(parts), bool),
    )
    forced = {part for tie in conflict for part, _ in tie.terms} - {
        tie.terms[0][0] for tie in every if _rolls(tie)
    }
    forced |= {part for i, part in enumerate(parts) if settled[i] and not _settled(speeds)[i]}
    by_the_road = frozenset(
        part for i, part in enumerate(parts) if _settled(speeds)[i] and part not in forced
    )
    place = {part: i for i, part in enumerate(parts)}
    for part in held:
        speeds = _let_rest(speeds, place[part])
    open_ = {part for i, part in enumerate(parts) if not _settled(speeds)[i]} - forced
    for part in dict.fromkeys((*resting, *parts)):
        speeds = _let_rest(speeds, place[part])
    rpm = {part: 0.0 if part in forced else float(speeds.rpm[i]) for i, part in enumerate(parts)}
    largest = max(map(abs, rpm.values()), default=0.0)
    rpm = {part: n if abs(n) > 1e-9 * largest else 0.0 for part, n in rpm.items()}
    moving = {part for part, n in rpm.items() if n} | forced
    loose = _dragged(open_, [[part for part, _ in tie.terms] for tie in every], drags, moving)
    state = {part: LOOSE if part in loose else STANDS for part in parts}
    state |= {part: TURNS for part in parts if rpm[part]}
    state |= {part: FORCED for part in parts if part in forced}
    return Motion(rpm, state, by_the_road, tuple(dict.fromkeys(tie.name for tie in conflict)))


def _rolls(tie: Tie) -> bool:
    """Whether a tie is a given speed other than zero: a wheel that rolls."""
    return len(tie.terms) == 1 and tie.value_rpm != 0.0


def _settled(speeds: Speeds) -> np.ndarray:
    return np.abs(speeds.freedom).max(axis=0, initial=0.0) < 1e-7


def _let_rest(speeds: Speeds, i: int) -> Speeds:
    """The same speeds with one part standing, when it is free to."""
    way = speeds.freedom[:, i]
    size = float(np.sqrt(way @ way))
    if size < 1e-7:
        return speeds
    step = way / size
    others = np.linalg.svd(step[None, :])[2][1:]  # all ways of changing speeds that leave this part alone
    return Speeds(
        speeds.rpm - (speeds.rpm[i] / size) * (step @ speeds.freedom),
        others @ speeds.freedom,
        speeds.residual,
    )


def _dragged(
    open_: set[str], geared: Sequence[Sequence[str]], drags: Sequence[tuple[str, str]], moving: set[str]
) -> set[str]:
    """Open parts that what turns can reach, through oil or through other open parts."""
    reached = set(moving)
    loose: set[str] = set()
    while True:
        new = {part for pair in drags for part in pair if reached & set(pair)} | {
            part for group in geared for part in group if reached & open_ & set(group)
        }
        new = (new & open_) - reached
        if not new:
            return loose
        reached |= new
        loose |= new
