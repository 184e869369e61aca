"""Lesson 02: hitch geometry."""

from towlib.lessons.declare import Lesson, Panel
from towlib.lessons.l02_hitch import hitch_geometry as hitch
from towlib.lessons.l02_hitch import hitch_pictures as pictures
from towlib.lessons.l02_hitch.hitch_exercises import EXERCISES

LESSON = Lesson(
    "02_hitch_geometry",
    (
        Panel(
            "side_view",
            hitch.side_view,
            pictures.SideViewDrawing,
            hitch.side_view_words,
            hitch.side_view_seen,
            rooms=hitch.side_view_rooms,
        ),
        Panel(
            "bracket_spread",
            hitch.bracket_spread,
            pictures.SpreadDrawing,
            hitch.bracket_spread_words,
            hitch.bracket_spread_seen,
            rooms=hitch.bracket_spread_rooms,
        ),
        Panel(
            "on_bend",
            hitch.on_bend,
            pictures.OnBendDrawing,
            hitch.on_bend_words,
            hitch.on_bend_seen,
            rooms=hitch.on_bend_rooms,
        ),
        Panel("propped", hitch.propped, pictures.ProppedDrawing, hitch.propped_words, hitch.propped_seen),
    ),
    EXERCISES,
)
