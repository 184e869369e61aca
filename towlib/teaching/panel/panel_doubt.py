"""What keeps the answer of a panel's sentence from being one: values that are assumed, carry a ± or look
wrong. As in the plan (`limits/decision.py`), an answer that any of them could turn is not known.
"""

import math
from collections.abc import Callable, Generator, Mapping, Sequence
from types import MappingProxyType
from typing import Any

from towlib.lessons.declare import Rooms
from towlib.limits.decision import GUARD
from towlib.limits.harsh_ends import harsh_end, to_and_fro, weightiest_first
from towlib.limits.limit import ASKED, ASSUMED, TOO_CLOSE, Doubt
from towlib.rig.facts import Facts, NotKnown
from towlib.rig.model import label_of, value_at
from towlib.rig.plausible import read_back
from towlib.rig.uncertain import Uncertain, uncertain_values

Corner = Mapping[str, Any]  # path -> value
Flat = tuple[tuple[str, float], ...]  # name of an answer, its room


def flat(rooms: Rooms) -> Flat:
    """Every answer by itself."""
    return tuple(
        (name, float(room))
        for name, found in rooms.items()
        for room in (found if isinstance(found, Sequence) else (found,))
    )


def doubt_of(
    rooms_with: Callable[[Facts], Rooms], facts: Facts, rooms: Rooms, read: Sequence[str]
) -> Generator[None, None, Doubt | None]:
    """Try what was read at the ends of its ranges, a step at a time; returns the doubt, if there is any."""
    if asked := sorted(path for path in read if path in facts.asked):
        path = asked[0]
        return Doubt(ASKED, path, f"{label_of(path)} {read_back(path, value_at(facts.rig, path))}")
    found = [each for each in uncertain_values(facts.rig) if each.path in read]
    if not found:
        return None
    tried = _Tried(rooms_with, facts, flat(rooms))
    assumed = [each for each in found if each.assumed]
    corners = (yield from tried.corners(assumed)) if assumed else []
    for corner in corners:
        turned = tried.turned(corner)
        yield
        if turned:
            path = yield from tried.decider(assumed, turned[0])
            return Doubt(ASSUMED, path)
    given = [each for each in found if not each.assumed]
    for corner in ({}, *corners) if given else ():
        moves = {}
        for each in given:
            moves[each.path] = tried.moves(each, corner)
            yield
        for i, room in enumerate(tried.rooms(corner)):
            by = {path: moved[i] for path, moved in moves.items()}
            if room >= GUARD * math.hypot(*by.values()):
                continue
            if corner:  # what is assumed leaves too little for the ±
                path = yield from tried.decider(assumed, i)
                return Doubt(ASSUMED, path)
            return Doubt(TOO_CLOSE, max(by, key=by.__getitem__))
    return None


class _Tried:
    """Answers of one panel with some values at other ends; each set of values is tried once."""

    def __init__(self, rooms_with: Callable[[Facts], Rooms], facts: Facts, best: Flat):
        self._rooms_with, self._facts, self.best = rooms_with, facts, best
        self._sign = [1.0 if room >= 0.0 else -1.0 for _, room in best]
        self._kept = {frozenset[tuple[str, Any]](): [abs(room) for _, room in best]}

    def rooms(self, corner: Corner) -> list[float]:
        """Room in favour of each answer as it stands; minus infinity for all where it is not known, or where
        other answers come out.
        """
        key = frozenset(corner.items())
        if key not in self._kept:
            try:
                found = flat(self._rooms_with(self._facts.other(corner)))
            except (NotKnown, ValueError):
                found = ()
            alike = [name for name, _ in found] == [name for name, _ in self.best]
            self._kept[key] = [
                sign * found[i][1] if alike and math.isfinite(found[i][1]) else -math.inf
                for i, sign in enumerate(self._sign)
            ]
        return self._kept[key]

    def turned(self, corner: Corner) -> list[int]:
        """Numbers of the answers that these values turn."""
        return [
            i
            for i, room in enumerate(self.rooms(corner))
            if room < 0.0 or room == 0.0 and self._sign[i] < 0.0
        ]

    def moves(self, each: Uncertain, corner: Corner = MappingProxyType({})) -> list[float]:
        """How far the harsher end of one value takes each answer's room away, with others at a corner."""
        ends = [self.rooms({**corner, each.path: end}) for end in (each.low, each.high)]
        return [max(0.0, *(room - end[i] for end in ends)) for i, room in enumerate(self.rooms(corner))]

    def corners(self, assumed: Sequence[Uncertain]) -> Generator[None, None, list[Corner]]:
        """The sets of ends that speak against one answer or more, a step at a time."""
        harsh: dict[frozenset[tuple[str, Any]], Corner] = {}
        for i, (name, _) in enumerate(self.best):
            corner = {}
            for each in assumed:
                end = self._known_end(name, each, self._sign[i])
                if end is None:
                    low, high = (self.rooms({each.path: end})[i] for end in (each.low, each.high))
                    yield
                    end = each.low if low < high else each.high
                corner[each.path] = end
            harsh.setdefault(frozenset(corner.items()), corner)
            other = {
                each.path: each.low if corner[each.path] == each.high else each.high
                for each in assumed
                if each.path in to_and_fro(name)
            }
            if other:
                harsh.setdefault(frozenset({**corner, **other}.items()), {**corner, **other})
        return list(harsh.values())

    @staticmethod
    def _known_end(name: str, each: Uncertain, sign: float) -> Any:
        """The end against an answer that needs the road driven; None where it has to be tried."""
        end = harsh_end(name, each.path)
        if end is None:
            return None
        return each.low if (end == "low") == (sign > 0.0) else each.high

    def decider(self, assumed: Sequence[Uncertain], i: int) -> Generator[None, None, str]:
        """The assumed value to find out first: the weightiest, where that is known, or the one that takes the
        most room from an answer.
        """
        if order := weightiest_first(self.best[i][0], [each.path for each in assumed]):
            return order[0]
        most, path = -1.0, assumed[0].path
        for each in assumed:
            moved = self.moves(each)[i]
            yield
            if moved > most:
                most, path = moved, each.path
        return path


def in_doubt(doubt: Doubt | None, sentence: str) -> str:
    """The sentence with what keeps its answer from being one."""
    if doubt is None:
        return sentence
    if doubt.kind == ASKED:
        return f"Not known: {doubt.words}: is that right? By this value: {sentence}"
    name = label_of(doubt.path)
    if doubt.kind == TOO_CLOSE:
        return f"Not known, too close for your ± (most of it: {name}): {sentence}"
    return f"Not known, likely: {sentence} What decides is assumed: {name}."
