"""The plan of a road of some sixty kilometres, out and back, against the same equations in SciPy, and how its
time grows.
"""

import functools

import numpy as np

from tests.benchmarks.measure import Row, in_turns, timed
from tests.physics.drive.test_descent_oracle import Second, _integrate
from tests.rigs import DEMOS
from towlib.limits.decision import plain
from towlib.limits.legs import drive_leg, driver
from towlib.plan.trip import make_plan, rules_of
from towlib.rig.facts import Facts
from towlib.rig.model import Rig, load_rig
from towlib.road.route import Route, load_route

GOAL_S = 0.150  # of a plan on a demo rig
LOOSE, TIGHT = 1e-3, 1e-9  # SciPy's own default, and what both are held against
RIG = "data/rigs/demo_comfortable.toml"


def repeated(road: Route, times: int) -> Route:
    """The same road again and again, out and back, so that it ends at the height it began."""
    there_and_back = [road if i % 2 == 0 else road.reversed() for i in range(times)]
    grade = np.concatenate([part.grade for part in there_and_back])
    heights = np.concatenate([road.elevation_m[:1], *(part.elevation_m[1:] for part in there_and_back)])
    return Route(
        road.name,
        road.source_file,
        np.arange(len(heights)) * road.step_m,
        heights,
        grade,
        np.concatenate([part.speed_limit_m_s for part in there_and_back]),
    )


def _plain_answers(rig: Rig, road: Route) -> None:
    facts, drive = Facts(rig), driver(road)
    for rule in rules_of(facts, road, drive):
        plain(rule, facts)


def _demo_row(name: str, road: Route) -> Row:
    """A demo rig's plan, every limit at both ends of what is assumed, against the plain answers alone."""
    rig = load_rig(f"data/rigs/{name}.toml")
    plan, alone = in_turns(
        lambda: timed(lambda: make_plan(rig, road)), lambda: timed(lambda: _plain_answers(rig, road))
    )
    return Row(
        f"the plan of {name}, every limit at both ends of what is assumed",
        plan,
        "every limit with the values as they stand",
        alone,
        f"at most {1000 * GOAL_S:.0f} ms; measured {1000 * plan:.0f} ms",
        plan <= GOAL_S,
    )


def rows() -> list[Row]:
    """Plan against SciPy's drive of both ways; ten times the road against ten times the time."""
    rig, road = load_rig(RIG), load_route("data/routes/long_mountain_crossing.csv")
    facts = Facts(rig)
    legs = [drive_leg(facts, road, way) for way in ("out", "back")]

    def by_scipy(rtol: float) -> list[np.ndarray]:
        return _integrate(
            [
                Second(leg, facts.need("conditions.cruise_speed"), facts.need("conditions.descent_speed"))
                for leg in legs
            ],
            rtol,
        )[0]

    exact, loose = by_scipy(TIGHT), by_scipy(LOOSE)
    ours_k, theirs_k = (
        max(
            float(np.max(np.abs(np.asarray(found) - np.asarray(truth)[:, 2:4])))
            for found, truth in zip(both, exact, strict=True)
        )
        for both in (
            [[row[:2] for row in leg.journey.brake_c] for leg in legs],
            [each[:, 2:4] for each in loose],
        )
    )
    plan, scipy = in_turns(
        lambda: timed(lambda: make_plan(rig, road)), lambda: timed(lambda: by_scipy(LOOSE)), rounds=3
    )
    found = [
        Row(
            f"the whole plan, {road.length_m / 1000:.0f} km out and back (brakes within {ours_k:.2f} K of"
            f" SciPy at a tolerance of {TIGHT:g})",
            plan,
            f"only the drives, by solve_ivp at its default tolerance (within {theirs_k:.2f} K)",
            scipy,
            "at least 20",
            scipy / plan >= 20,
        )
    ]
    short = load_route("data/routes/short_steep_pass.csv")
    found += [_demo_row(name, short) for name in DEMOS]
    lengths = {times: repeated(short, times) for times in (1, 10, 100)}
    times = dict(
        zip(
            lengths,
            in_turns(
                *(
                    functools.partial(timed, lambda road=each: make_plan(rig, road))
                    for each in lengths.values()
                ),
                rounds=3,
            ),
            strict=True,
        )
    )
    for few, more in ((1, 10), (10, 100)):
        found.append(
            Row(
                f"plan, road of {lengths[more].length_m / 1000:,.0f} km",
                times[more],
                f"ten times its time for {lengths[few].length_m / 1000:,.0f} km",
                10 * times[few],
                "at least 0.90 (grows no faster than the road)",
                10 * times[few] / times[more] >= 0.9,
            )
        )
    return found
