"""Lesson 03: bar loads and attachment."""

from towlib.lessons.declare import Lesson, Panel
from towlib.lessons.l03_bar import bar_loads as bar
from towlib.lessons.l03_bar import bolt_pictures as bolts
from towlib.lessons.l03_bar.bar_exercises import EXERCISES

LESSON = Lesson(
    "03_bar_loads_and_attachment",
    (
        Panel("load_cases", bar.bar_cases, bar.BarCasesDrawing, bar.bar_cases_words, bar.bar_cases_seen),
        Panel(
            "bolt_group",
            bolts.bolt_group,
            bolts.BoltGroupDrawing,
            bolts.bolt_group_words,
            bolts.bolt_group_seen,
        ),
        Panel(
            "first_to_yield",
            bar.ranking,
            bar.RankingDrawing,
            bar.ranking_words,
            bar.ranking_seen,
            rooms=bar.ranking_rooms,
        ),
        Panel(
            "torque",
            bolts.torque,
            bolts.TorqueDrawing,
            bolts.torque_panel_words,
            bolts.torque_seen,
            rooms=bolts.torque_rooms,
        ),
    ),
    EXERCISES,
)
