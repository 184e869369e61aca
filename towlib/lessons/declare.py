"""How a lesson declares what it holds: its panels, its exercises, and nothing twice."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any, NamedTuple, Protocol

from towlib.draw.figures import Picture
from towlib.rig.facts import Facts


class Drawing(Protocol):
    """How a panel draws its result."""

    size_in: tuple[float, float]
    frames: int

    def build(self, picture: Picture, system: str) -> None:
        """Declare frames and named parts, once for each unit system."""

    def update(self, picture: Picture, result: Any, system: str) -> None:
        """Move the parts to a result; the frames may change their limits with it, in coarse steps."""


Rooms = Mapping[str, float | Sequence[float]]  # several answers under one name take a sequence


class Panel(NamedTuple):
    """A panel: what it computes, how it draws it, and what it says."""

    name: str  # as in data/lessons
    compute: Callable[..., Any]  # (facts, **the sliders that are no field of the rig) -> result
    drawing: Callable[[], Drawing]
    words: Callable[[Any, str], str]  # (result, unit system) -> the sentence under the picture
    seen: Callable[[Facts, str], str] | None = None  # (facts, unit system) -> what one should have seen
    # result -> room of each answer in the sentence, in its own unit, below 0 where it is over; named as the
    # plan's limit where that needs the road driven. A sentence that says within or over has some
    rooms: Callable[[Any], Rooms] | None = None
    vehicle: bool = True  # False: there is no vehicle in it, so it starts from no rig


class Question(NamedTuple):
    """One thing an exercise asks: a value with its unit, a whole number, or a choice."""

    words: str  # what is asked, '' when the exercise's own words say it
    kind: str  # a kind of towlib.units, 'count', or 'choice'
    right: Any  # SI, a whole number, or one of the options
    traps: Mapping[str, Any] = {}  # why an answer is wrong -> that answer
    options: tuple[str, ...] = ()


class Given(NamedTuple):
    """An exercise with the numbers of one draw."""

    words: str  # the situation, with its numbers
    questions: tuple[Question, ...]
    way: str  # how it is worked out, with these numbers; shown on request


class Exercise(NamedTuple):
    """An exercise: its title, and what it gives and asks for a seed and a unit system."""

    title: str
    draw: Callable[[int, str], Given]


class Lesson(NamedTuple):
    """A lesson's room."""

    key: str  # as its notebook: '01_weight_ratings'
    panels: tuple[Panel, ...]
    exercises: tuple[Exercise, ...] = ()

    def panel(self, name: str) -> Panel:
        """The panel of a name; KeyError when there is none."""
        return {panel.name: panel for panel in self.panels}[name]


def with_values(facts: Facts, values: Mapping[str, Any]) -> Facts:
    """The same rig with other values for some fields or derived quantities."""
    return facts.with_values(values)
