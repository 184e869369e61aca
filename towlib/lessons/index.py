"""Every lesson, by its room: a new lesson is a line here, its room, its rows and its notebook."""

from functools import lru_cache
from importlib import import_module

from towlib.errors import InputError, quote
from towlib.lessons.declare import Lesson, Panel

ROOMS = {
    "01_weight_ratings": "l01_weights",
    "02_hitch_geometry": "l02_hitch",
    "03_bar_loads_and_attachment": "l03_bar",
    "04_grade_physics": "l04_grades",
    "05_brake_heat": "l05_brakes",
    "06_safety_chain_layout": "l06_chains",
    "07_turning_and_running_straight": "l07_turning",
    "08_lights_and_battery": "l08_electrics",
    "09_driveline_and_steering": "l09_driveline",
    "10_ways_to_tow": "l10_ways",
    "11_trip_sheet": "l11_sheet",
}


# what stands before the lessons: predictions and exercises, but no panel of its own
FIRST = {"00_start_here": "l00_start"}


@lru_cache
def lesson_of(key: str) -> Lesson:
    """The lesson of a notebook's name; InputError when there is none."""
    rooms = FIRST | ROOMS
    if key not in rooms:
        raise InputError(f"a lesson {quote(key)}", f"one of {', '.join(ROOMS)}")
    lesson: Lesson = import_module(f"towlib.lessons.{rooms[key]}").LESSON
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
