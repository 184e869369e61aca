"""Lesson 06: safety chain layout."""

from towlib.lessons.declare import Lesson, Panel
from towlib.lessons.l06_chains import chain_pictures as pictures
from towlib.lessons.l06_chains import chain_strength as strength
from towlib.lessons.l06_chains import safety_chains as chains
from towlib.lessons.l06_chains.chain_exercises import EXERCISES

LESSON = Lesson(
    "06_safety_chain_layout",
    (
        Panel(
            "layout",
            chains.layout,
            pictures.LayoutDrawing,
            chains.layout_words,
            chains.layout_seen,
            rooms=chains.layout_rooms,
        ),
        Panel(
            "length_window",
            chains.length_window,
            pictures.LengthWindowDrawing,
            chains.length_window_words,
            chains.length_window_seen,
            rooms=chains.length_window_rooms,
        ),
        Panel(
            "dropped_bar",
            chains.dropped_bar,
            pictures.DroppedBarDrawing,
            chains.dropped_bar_words,
            chains.dropped_bar_seen,
            rooms=chains.dropped_bar_rooms,
        ),
        Panel(
            "strength",
            strength.strength,
            strength.StrengthDrawing,
            strength.strength_words,
            strength.strength_seen,
            rooms=strength.strength_rooms,
        ),
        Panel(
            "jerk",
            strength.jerk,
            strength.JerkDrawing,
            strength.jerk_words,
            strength.jerk_seen,
            rooms=strength.jerk_rooms,
        ),
    ),
    EXERCISES,
)
