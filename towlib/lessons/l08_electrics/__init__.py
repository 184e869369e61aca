"""Lesson 08: lights and battery."""

from towlib.lessons.declare import Lesson, Panel
from towlib.lessons.l08_electrics import battery_panels, fault_finder, light_pictures, lights
from towlib.lessons.l08_electrics.light_exercises import EXERCISES

LESSON = Lesson(
    "08_lights_and_battery",
    (
        Panel("volts", lights.volts, light_pictures.VoltsDrawing, lights.volts_words, lights.volts_seen),
        Panel(
            "light_left",
            lights.light_left,
            light_pictures.LightLeftDrawing,
            lights.light_left_words,
            lights.light_left_seen,
            rooms=lights.light_left_rooms,
        ),
        Panel(
            "shared_ground",
            lights.shared_ground,
            light_pictures.SharedGroundDrawing,
            lights.shared_ground_words,
            lights.shared_ground_seen,
        ),
        Panel(
            "fault_finder",
            fault_finder.fault_finder,
            fault_finder.FaultFinderDrawing,
            fault_finder.fault_finder_words,
            fault_finder.fault_finder_seen,
            vehicle=False,
        ),
        Panel(
            "battery",
            battery_panels.battery,
            battery_panels.BatteryDrawing,
            battery_panels.battery_words,
            battery_panels.battery_seen,
            rooms=battery_panels.battery_rooms,
        ),
    ),
    EXERCISES,
)
