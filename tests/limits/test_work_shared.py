"""Work that plan and ends share: what is taken over from the plan is what would be worked out anew, and
nothing is taken over that reads a changed value. Each check is against the same work done by itself.
"""

from dataclasses import replace

import numpy as np
import pytest

from tests.rigs import changed, without
from towlib.limits.legs import driver
from towlib.limits.limit import WAYS
from towlib.physics.hitch.articulation import Bend, PairShape, sweep, sweeps
from towlib.physics.turning.yaw import SPEEDS_M_S, TOGETHER, YawPair, modes, swing_speed_m_s
from towlib.rig.facts import Facts, NotKnown
from towlib.rig.model import load_rig
from towlib.road.route import load_route

ROAD = load_route("data/routes/short_steep_pass.csv")
DEMO, HEAVY = (load_rig(f"data/rigs/demo_{name}.toml") for name in ("comfortable", "overloaded"))
BAR, FRONT, DESCENT = "tow_bar.mass", "tow_vehicle.front_axle_empty", "conditions.descent_speed"


def _counted(facts, path, calls):
    return lambda: calls.append(path) or facts.need(path)


@pytest.mark.parametrize(
    ("read", "change", "times"),
    [
        (FRONT, {DESCENT: 14.0}, 1),  # both have a ±; the work reads the one that stays
        (FRONT, {FRONT: 1290.0}, 2),
        (BAR, {BAR: 20.0}, 2),  # assumed
        (BAR, {FRONT: 1290.0}, 1),
        ("tow_vehicle.gvwr", {"tow_vehicle.gvwr": 3000.0}, 2),  # given, no ±: its reading is not noted
    ],
)
def test_work_is_done_again_only_where_it_reads_what_is_changed(read, change, times):
    facts, calls = Facts(without(DEMO, BAR)), []
    other = facts.other(change)
    plan = facts.once("work", _counted(facts, read, calls))
    found = other.once("work", _counted(other, read, calls))
    assert len(calls) == times and found == change.get(read, plan)


def test_what_is_not_known_is_asked_again_where_a_value_is_changed():
    facts = Facts(DEMO)

    def work(of):
        def done():
            if of.need(FRONT) > 1300.0:
                raise NotKnown("too heavy")
            return "known"

        return done

    with pytest.raises(NotKnown, match="too heavy"):
        facts.once("work", work(facts))
    assert facts.other({FRONT: 1290.0}).once("work", work(facts.other({FRONT: 1290.0}))) == "known"


def test_speeds_of_the_plan_count_as_read_where_they_are_taken_over():
    facts, drive = Facts(DEMO), driver(ROAD)
    warm = facts.other({"conditions.air_temperature": 34.0})
    kept, slower = drive(warm, "out"), drive(warm.other({DESCENT: 10.0}), "out")
    assert kept.target_m_s == drive(facts, "out").target_m_s and min(slower.target_m_s) < 10.1
    assert slower.target_m_s != kept.target_m_s


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("rig", [DEMO, HEAVY], ids=["comfortable", "overloaded"])
def test_a_leg_that_goes_on_from_another_is_the_leg_driven_by_itself(rig, way):
    facts, drive = Facts(rig), driver(ROAD)
    changes = ({DESCENT: 9.0}, {"tow_vehicle.brakes.exposure": 0.5}, {"tow_vehicle.drag_area": 1.9})
    plan = drive(facts, way)
    for change in changes:
        leg = drive(facts.other(change), way)
        alone = replace(leg)  # a copy shares nothing
        assert leg.first is not None and alone.first is None
        assert leg.moved == alone.moved and leg.journey.brake_c == alone.journey.brake_c
        assert leg.climbs_driven == alone.climbs_driven
        assert leg.highest_brake_c(0) != plan.highest_brake_c(0)
    shared = drive(facts.other(changes[1]), way)
    assert shared.moved is plan.moved and drive(facts.other(changes[2]), way).moved is not plan.moved


def test_a_pair_that_stops_before_the_difference_stops_there_again():
    rig = changed(DEMO, "towed_vehicle.front_axle_empty", 15_000.0)
    facts, drive = Facts(rig), driver(ROAD)
    leg = drive(facts.other({DESCENT: 9.0}), "out")
    assert leg.driven.stopped_at_m == drive(facts, "out").driven.stopped_at_m is not None
    assert leg.moved == replace(leg).moved


def test_bends_reckoned_together_are_each_bend_alone():
    shape = PairShape(3.3, 1.3, 0.5, 0.4, 1.5, 0.065, 0.5, 0.5, 2.4)
    bends = (Bend(0.0, 0.12, 6.0), Bend(0.0, -0.12, 6.0), Bend(-0.1, 0.1, 15.0))
    for together, bend in zip(sweeps(shape, bends), bends, strict=True):
        alone = sweep(shape, bend)
        assert together[:4] == pytest.approx(alone[:4], abs=1e-9)
        assert together.nearest == alone.nearest and together.nearest_at_m == pytest.approx(
            alone.nearest_at_m
        )


@pytest.mark.parametrize("centre_m", [2.6, 3.2, 3.6, 4.0, 4.4, 4.8])
def test_the_first_speed_with_too_little_damping_is_found_whatever_is_looked_at_together(centre_m):
    pair = YawPair(2300, 5200, 1.5, 1.8, 1.3, 110e3, 120e3, 1500, 2300, centre_m, 3.92, 90e3)
    for damping in (0.0, 0.1, 0.3, 0.6):
        under = np.flatnonzero(modes(pair, SPEEDS_M_S).swing_damping <= damping)
        found = swing_speed_m_s(pair, damping)
        if not len(under):
            assert found is None
        elif under[0] == 0:
            assert found == SPEEDS_M_S[0]
        else:
            assert SPEEDS_M_S[under[0] - 1] <= found <= SPEEDS_M_S[under[0]]
            assert modes(pair, found).swing_damping == pytest.approx(damping, abs=1e-6)
    assert len(SPEEDS_M_S) > TOGETHER
