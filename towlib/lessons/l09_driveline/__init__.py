"""Lesson 09: driveline and steering."""

from towlib.lessons.declare import Lesson, Panel
from towlib.lessons.l09_driveline import driveline_panels as panels
from towlib.lessons.l09_driveline import driveline_pictures as pictures
from towlib.lessons.l09_driveline import steering_panels as steering
from towlib.lessons.l09_driveline.driveline_exercises import EXERCISES

LESSON = Lesson(
    "09_driveline_and_steering",
    (
        Panel(
            "what_turns",
            panels.turning,
            pictures.DrivelineDrawing,
            panels.turning_words,
            panels.turning_seen,
        ),
        Panel(
            "compare",
            panels.comparison,
            pictures.ComparisonDrawing,
            panels.comparison_words,
            panels.comparison_seen,
        ),
        Panel(
            "steering",
            steering.steering,
            steering.SteeringDrawing,
            steering.steering_words,
            steering.steering_seen,
        ),
        Panel(
            "locked",
            steering.locked_steering,
            steering.LockedSteeringDrawing,
            steering.locked_steering_words,
            steering.locked_seen,
        ),
    ),
    EXERCISES,
)
