"""Lesson 11: the trip sheet."""

from towlib.lessons.declare import Lesson, Panel
from towlib.lessons.l11_sheet import descent_panel
from towlib.lessons.l11_sheet.sheet_exercises import EXERCISES

LESSON = Lesson(
    "11_trip_sheet",
    (
        Panel(
            "descent",
            descent_panel.descent,
            descent_panel.DescentDrawing,
            descent_panel.descent_words,
            descent_panel.descent_seen,
            rooms=descent_panel.descent_rooms,
        ),
    ),
    EXERCISES,
)
