"""Lesson 04: grade physics."""

from towlib.lessons.declare import Lesson, Panel
from towlib.lessons.l04_grades import climb_road, grade_physics, grade_pictures, ramp_start
from towlib.lessons.l04_grades.grade_exercises import EXERCISES

LESSON = Lesson(
    "04_grade_physics",
    (
        Panel(
            "traction",
            grade_physics.traction,
            grade_pictures.TractionDrawing,
            grade_physics.traction_words,
            grade_physics.traction_seen,
        ),
        Panel(
            "road_load",
            grade_physics.road_load_view,
            grade_pictures.RoadLoadDrawing,
            grade_physics.road_load_words,
            grade_physics.road_load_seen,
            rooms=grade_physics.road_load_rooms,
        ),
        Panel(
            "altitude",
            grade_physics.altitude,
            grade_pictures.AltitudeDrawing,
            grade_physics.altitude_words,
            grade_physics.altitude_seen,
        ),
        Panel(
            "launch",
            ramp_start.ramp_start,
            ramp_start.RampStartDrawing,
            ramp_start.ramp_start_words,
            ramp_start.ramp_start_seen,
            rooms=ramp_start.ramp_start_rooms,
        ),
        Panel(
            "climb",
            climb_road.climb,
            climb_road.ClimbDrawing,
            climb_road.climb_words,
            climb_road.climb_seen,
            rooms=climb_road.climb_rooms,
        ),
    ),
    EXERCISES,
)
