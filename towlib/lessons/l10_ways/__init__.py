"""Lesson 10: ways to tow."""

from towlib.lessons.declare import Lesson, Panel
from towlib.lessons.l10_ways import way_breakages, way_costs, way_turns, ways
from towlib.lessons.l10_ways.way_exercises import EXERCISES

LESSON = Lesson(
    "10_ways_to_tow",
    (
        Panel(
            "weights",
            ways.weights,
            ways.WeightsDrawing,
            ways.weights_words,
            ways.weights_seen,
            rooms=ways.weights_rooms,
        ),
        Panel(
            "turning", way_turns.turns, way_turns.TurnsDrawing, way_turns.turns_words, way_turns.turns_seen
        ),
        Panel("cost", way_costs.costs, way_costs.CostsDrawing, way_costs.costs_words, way_costs.costs_seen),
        Panel(
            "breakage",
            way_breakages.broken,
            way_breakages.BrokenDrawing,
            way_breakages.broken_words,
            way_breakages.broken_seen,
        ),
    ),
    EXERCISES,
)
