"""Lesson 01: weight ratings."""

from towlib.lessons.declare import Lesson, Panel
from towlib.lessons.l01_weights import weighing_panel as scale
from towlib.lessons.l01_weights import weight_ratings as ratings
from towlib.lessons.l01_weights.weight_exercises import EXERCISES

LESSON = Lesson(
    "01_weight_ratings",
    (
        Panel(
            "axle_loads",
            ratings.axle_use,
            ratings.AxleUseDrawing,
            ratings.axle_use_words,
            ratings.axle_seen,
            rooms=ratings.axle_use_rooms,
        ),
        Panel(
            "room_left",
            ratings.room_left,
            ratings.RoomLeftDrawing,
            ratings.room_left_words,
            ratings.room_seen,
            rooms=ratings.room_left_rooms,
        ),
        Panel(
            "weighings",
            scale.weighings,
            scale.WeighingsDrawing,
            scale.weighings_words,
            scale.weighings_seen,
        ),
    ),
    EXERCISES,
)
