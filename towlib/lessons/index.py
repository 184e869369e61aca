"""Every lesson, by its room and the question it answers.

A new lesson is a line here, its room, its rows and its notebook; `python -m towlib.lessons.index` then writes
the tables of lessons in README.md and 00_start_here.
"""

import json
import re
from functools import lru_cache
from importlib import import_module
from pathlib import Path
from typing import NamedTuple

from towlib.errors import InputError, quote
from towlib.lessons.declare import Lesson, Panel
from towlib.paths import NOTEBOOKS, REPOSITORY


class Room(NamedTuple):
    """Where a lesson's code is, and what its reader asks."""

    folder: str
    question: str


# what stands before the lessons: predictions and exercises, but no panel of its own
FIRST = {
    "00_start_here": Room(
        "l00_start", "How does this work, and what does the workbook need to know about my vehicles?"
    )
}
ROOMS = {
    "01_weight_ratings": Room(
        "l01_weights",
        "Is every axle, tyre and rated part within its rating, and where can I still put something?",
    ),
    "02_hitch_geometry": Room(
        "l02_hitch",
        "Is the bar level, wide enough and free of the road, and how do I couple alone?",
    ),
    "03_bar_loads_and_attachment": Room(
        "l03_bar",
        "What does the road do to bar, brackets and bolts, and what yields first?",
    ),
    "04_grade_physics": Room(
        "l04_grades",
        "Does the pair climb this grade at this height, in which gear, and where does it stop to cool?",
    ),
    "05_brake_heat": Room(
        "l05_brakes",
        "Do the brakes stay cool on the way down, which gear does the work, and how far does it take to"
        " stop?",
    ),
    "06_safety_chain_layout": Room(
        "l06_chains",
        "Are the chains long, short and strong enough, and what do they do when the coupler lets go?",
    ),
    "07_turning_and_running_straight": Room(
        "l07_turning",
        "How tight can the pair turn, why can it not back up, and at what speed does it stop running"
        " straight?",
    ),
    "08_lights_and_battery": Room(
        "l08_electrics",
        "Do the lamps work, where do the volts go, and how long may the key stay on?",
    ),
    "09_driveline_and_steering": Room(
        "l09_driveline",
        "What turns in the towed vehicle's driveline, what oils it, and which positions must be set?",
    ),
    "10_ways_to_tow": Room(
        "l10_ways",
        "Would a dolly or a trailer be better, from how many trips on, and which still works when something"
        " breaks?",
    ),
    "11_trip_sheet": Room(
        "l11_sheet",
        "May I leave, by these figures, and how do I drive this road?",
    ),
}


@lru_cache
def lesson_of(key: str) -> Lesson:
    """The lesson of a notebook's name; InputError when there is none."""
    rooms = FIRST | ROOMS
    if key not in rooms:
        raise InputError(f"a lesson {quote(key)}", f"one of {', '.join(ROOMS)}")
    lesson: Lesson = import_module(f"towlib.lessons.{rooms[key].folder}").LESSON
    return lesson


def panel_of(lesson: str, name: str) -> Panel:
    """A panel by its lesson and name; InputError when there is none."""
    panels = {panel.name: panel for panel in lesson_of(lesson).panels}
    if name not in panels:
        raise InputError(f"no panel {quote(name)}", f"one of {', '.join(panels)}", field=lesson)
    return panels[name]


def all_panels() -> tuple[tuple[str, str], ...]:
    """Lesson and name of every panel."""
    return tuple((key, panel.name) for key in ROOMS for panel in lesson_of(key).panels)


def readme_table() -> str:
    """The lessons as README.md lists them."""
    rows = [f"| `{key}` | {room.question} |" for key, room in (FIRST | ROOMS).items()]
    return "\n".join(["| notebook | question it answers |", "|---|---|", *rows])


def start_table() -> str:
    """The lessons as 00_start_here lists them, each a link."""
    rows = [f"| {room.question} | [`{key}`]({key}.ipynb) |" for key, room in ROOMS.items()]
    return "\n".join(["| your question | open |", "|---|---|", *rows])


def write_tables(
    readme: Path = REPOSITORY / "README.md", start: Path = NOTEBOOKS / "00_start_here.ipynb"
) -> None:
    """Put the tables of lessons into the two places where a reader looks."""
    readme.write_text(_put(readme.read_text(encoding="utf-8"), readme_table()), encoding="utf-8")
    notebook = json.loads(start.read_text(encoding="utf-8"))
    for cell in notebook["cells"]:
        if "which-lesson" in cell["metadata"].get("tags", []):
            cell["source"] = _put("".join(cell["source"]), start_table()).splitlines(keepends=True)
    text = json.dumps(notebook, indent=1, ensure_ascii=False, sort_keys=True)
    start.write_text(text + "\n", encoding="utf-8")


def _put(text: str, table: str) -> str:
    """The text with its table of the same head replaced."""
    head = re.escape(table.split("\n", 1)[0])
    return re.sub(rf"{head}\n(?:\|.*(?:\n|$))+", lambda _: table + "\n", text)


if __name__ == "__main__":
    write_tables()
