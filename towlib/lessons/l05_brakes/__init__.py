"""Lesson 05: brake heat."""

from towlib.lessons.declare import Lesson, Panel
from towlib.lessons.l05_brakes import (
    brake_road,
    brake_soak,
    descent_budget,
    gear_speed_map,
    stopping_pictures,
)
from towlib.lessons.l05_brakes.brake_exercises import EXERCISES

LESSON = Lesson(
    "05_brake_heat",
    (
        Panel(
            "energy_budget",
            descent_budget.energy_budget,
            descent_budget.EnergyBudgetDrawing,
            descent_budget.energy_budget_words,
            descent_budget.budget_seen,
        ),
        Panel(
            "engine_braking",
            descent_budget.engine_braking,
            descent_budget.EngineBrakingDrawing,
            descent_budget.engine_braking_words,
            descent_budget.engine_braking_seen,
        ),
        Panel(
            "along_the_road",
            brake_road.along_the_road,
            brake_road.AlongTheRoadDrawing,
            brake_road.along_the_road_words,
            brake_road.road_seen,
            rooms=brake_road.along_the_road_rooms,
        ),
        Panel(
            "gear_speed_map",
            gear_speed_map.gear_speed_map,
            gear_speed_map.GearSpeedMapDrawing,
            gear_speed_map.gear_speed_map_words,
            gear_speed_map.map_seen,
            rooms=gear_speed_map.gear_speed_map_rooms,
        ),
        Panel(
            "drag_or_snub",
            brake_soak.drag_or_snub,
            brake_soak.DragOrSnubDrawing,
            brake_soak.drag_or_snub_words,
            brake_soak.drag_seen,
        ),
        Panel(
            "heat_soak",
            brake_soak.heat_soak_panel,
            brake_soak.HeatSoakDrawing,
            brake_soak.heat_soak_panel_words,
            brake_soak.heat_soak_seen,
            rooms=brake_soak.heat_soak_rooms,
        ),
        Panel(
            "stop",
            stopping_pictures.stop,
            stopping_pictures.StopDrawing,
            stopping_pictures.stop_words,
            stopping_pictures.stop_seen,
            rooms=stopping_pictures.stop_rooms,
        ),
    ),
    EXERCISES,
)
