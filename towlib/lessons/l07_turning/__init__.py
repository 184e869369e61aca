"""Lesson 07: turning and running straight."""

from towlib.lessons.declare import Lesson, Panel
from towlib.lessons.l07_turning import running_straight as straight
from towlib.lessons.l07_turning import turning_panels as turning
from towlib.lessons.l07_turning import turning_pictures as pictures
from towlib.lessons.l07_turning.turning_exercises import EXERCISES

LESSON = Lesson(
    "07_turning_and_running_straight",
    (
        Panel(
            "circle",
            turning.circle,
            pictures.CircleDrawing,
            turning.circle_words,
            turning.circle_seen,
            rooms=turning.circle_rooms,
        ),
        Panel(
            "path",
            turning.path,
            pictures.PathDrawing,
            turning.path_words,
            turning.path_seen,
            rooms=turning.path_rooms,
        ),
        Panel(
            "reversing",
            turning.reversing,
            pictures.BackingDrawing,
            turning.reversing_words,
            turning.reversing_seen,
        ),
        Panel(
            "yaw_roots",
            straight.yaw_roots,
            straight.YawRootsDrawing,
            straight.yaw_roots_words,
            straight.yaw_roots_seen,
            rooms=straight.yaw_roots_rooms,
        ),
        Panel(
            "damping_map",
            straight.damping_map,
            straight.DampingMapDrawing,
            straight.damping_map_words,
            straight.damping_map_seen,
            rooms=straight.damping_map_rooms,
        ),
    ),
    EXERCISES,
)
