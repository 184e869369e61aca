"""What is not known exactly: values with a ±, and assumptions that have a range."""

from typing import Any, NamedTuple

from towlib.physics.hitch.attachment import ACROSS, ALONG
from towlib.rig.facts import assumptions
from towlib.rig.model import Rig, real_range, value_at

DEPTH: dict[str | None, tuple[str, ...]] = {ALONG: (".behind_pin",), ACROSS: (".outboard_of_pin",)}


class Uncertain(NamedTuple):
    """A value that may lie anywhere in a range, or one of two choices."""

    path: str
    low: Any
    best: Any
    high: Any
    assumed: bool  # an assumption's range; else the ± of the rig file
    cut: bool = False  # the ± reaches beyond what the field can have

    def away(self, share: float) -> tuple[Any, Any]:
        """Both ends, a ± taken that many times as far as the field allows."""
        if self.assumed:
            return self.low, self.high
        lowest, highest = real_range(self.path)
        return (
            max(lowest, self.best - share * (self.best - self.low)),
            min(highest, self.best + share * (self.high - self.best)),
        )


def uncertain_values(rig: Rig) -> tuple[Uncertain, ...]:
    """Values with a ± in the rig, and assumptions that stand in for a missing one and have a range."""
    found = []
    for path, amount in rig.plus_minus.items():
        best, (lowest, highest) = value_at(rig, path), real_range(path)
        if (
            best is None
            or path.startswith("bracket.bolts.")
            and path.endswith(DEPTH.get(rig.bracket.bolts_run, ()))
        ):
            # taken out of a copied rig; or the depth of one bolt: all of them lie in one plane, so it stays
            # exact
            continue
        low, high = best - amount, best + amount
        found.append(
            Uncertain(path, max(lowest, low), best, min(highest, high), False, low < lowest or high > highest)
        )
    for path, assumption in assumptions().items():
        if assumption.low is not None and value_at(rig, path) is None:
            found.append(Uncertain(path, assumption.low, assumption.value, assumption.high, True))
    return tuple(found)
