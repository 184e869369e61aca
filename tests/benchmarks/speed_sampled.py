"""The plan in many cases against a loop over single plans, its memory, and how its time grows."""

import subprocess
import sys
import time

from tests.benchmarks.measure import Row, in_turns, timed
from towlib.plan.many_cases import COUNT, sample_plan
from towlib.plan.trip import make_plan
from towlib.rig.model import load_rig
from towlib.road.route import load_route

RIG, ROAD = "data/rigs/demo_comfortable.toml", "data/routes/short_steep_pass.csv"
ALONE = f"""
import resource, time
from towlib.plan.many_cases import sample_plan
from towlib.rig.model import load_rig
from towlib.road.route import load_route
rig, road = load_rig({RIG!r}), load_route({ROAD!r})
start = time.perf_counter()
sample_plan(rig, road)
print(time.perf_counter() - start, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024)
"""


def rows() -> list[Row]:
    """By the clock, because both processors work; memory is the largest of a process that does nothing
    else.
    """
    rig, road = load_rig(RIG), load_route(ROAD)
    seconds, mebibytes = (
        float(word)
        for word in subprocess.run(
            [sys.executable, "-c", ALONE], capture_output=True, text=True, check=True
        ).stdout.split()
    )
    many, single = in_turns(
        lambda: timed(lambda: sample_plan(rig, road), time.perf_counter),
        lambda: timed(lambda: make_plan(rig, road), time.perf_counter),
        rounds=3,
    )
    found = [
        Row(
            f"{COUNT:,} cases of the demo trip, first time in a new process, largest memory"
            f" {mebibytes:,.0f} MiB",
            seconds,
            f"{COUNT:,} times a single plan",
            COUNT * single,
            "at most 3 s and 1,024 MiB",
            seconds <= 3.0 and mebibytes <= 1024,
        ),
        Row(
            f"{COUNT:,} cases of the demo trip, again", many, f"{COUNT:,} times a single plan", COUNT * single
        ),
    ]
    few, middle = in_turns(
        *(
            lambda count=count: timed(lambda: sample_plan(rig, road, count=count), time.perf_counter)
            for count in (COUNT // 10, COUNT)
        ),
        rounds=2,
    )
    lots = timed(lambda: sample_plan(rig, road, count=10 * COUNT), time.perf_counter)
    for less, less_s, more, more_s in ((COUNT // 10, few, COUNT, middle), (COUNT, middle, 10 * COUNT, lots)):
        found.append(
            Row(
                f"{more:,} cases",
                more_s,
                f"ten times its time for {less:,}",
                10 * less_s,
                "at least 0.90 (grows no faster than the cases)",
                10 * less_s / more_s >= 0.9,
            )
        )
    return found
