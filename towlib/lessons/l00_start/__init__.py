"""Start here: a first guess and a first exercise; its panel is one of lesson 01."""

from towlib.lessons.declare import Lesson
from towlib.lessons.l00_start.start_exercises import EXERCISES

LESSON = Lesson("00_start_here", (), EXERCISES)
