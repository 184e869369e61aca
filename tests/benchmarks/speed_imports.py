"""What the imports cost: a fresh Python for every measurement, processor time of the whole process."""

import os
import subprocess
import sys
from pathlib import Path

from tests.benchmarks.measure import Row, in_turns

REPOSITORY = Path(__file__).parents[2]
BASE = "import numpy, pint; pint.UnitRegistry()"
PLAN = "import towlib.plan.trip"
LESSON = "from towlib.lessons.index import all_panels; from towlib.teaching.panel import panels; all_panels()"
LESSON_BASE = f"{BASE}; import matplotlib.figure, matplotlib.backends.backend_agg, ipywidgets, pydantic"


def _process_s(code: str) -> float:
    before = os.times()
    subprocess.run([sys.executable, "-c", code], check=True, cwd=REPOSITORY, stdout=subprocess.DEVNULL)
    after = os.times()
    return after.children_user + after.children_system - before.children_user - before.children_system


def rows() -> list[Row]:
    """The plan and all lessons against the libraries they stand on, and Python's own start for scale."""
    plan, base, lesson, lesson_base, empty = in_turns(
        *(lambda code=code: _process_s(code) for code in (PLAN, BASE, LESSON, LESSON_BASE, "")), rounds=7
    )
    return [
        Row("import of the whole plan (`towlib.plan.trip`)", plan, "numpy and pint with a registry", base),
        Row(
            "import of all lessons' panels",
            lesson,
            "numpy, pint, matplotlib, ipywidgets, pydantic",
            lesson_base,
        ),
        Row(
            "import of the whole plan, Python's own start taken off",
            plan - empty,
            "numpy and pint, the same",
            base - empty,
        ),
    ]
