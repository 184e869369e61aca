"""Every limit without any one of the fields it reads: not known and the field named, or starred where an
assumption stands in. What a limit reads is recorded, not listed, so that a new limit is held at once.
"""

import pytest

from tests.rigs import limits_of, without
from towlib.limits.decision import answer
from towlib.limits.legs import driver
from towlib.limits.limit import NOT_KNOWN, WITHIN, Limit
from towlib.plan.trip import make_plan, rules_of
from towlib.rig.facts import Facts, assumptions
from towlib.rig.model import Rig, load_rig, read_rig_text, row_of, value_at
from towlib.road.route import load_route

ROAD = load_route("data/routes/short_steep_pass.csv")
DEMO = load_rig("data/rigs/demo_comfortable.toml")
BRAKED = DEMO.model_copy(
    update={
        "towed_vehicle": DEMO.towed_vehicle.model_copy(
            update={"brakes_fitted": True, "brake_share": 0.25, "brake_heated_mass": 20.0}
        )
    }
)
DRIVEN = ("climb_speed", "pull_away", "grip", "coolant", "front_brakes", "rear_brakes", "fuel")
# field -> limits that read it and may still be answered without it, and why
BRAKES = "the drive works out what it can; the limit of these brakes is not known, the others stand"
LOCKED = "nothing said of a lock that few have: the driveline is taken as the maker built it"
STANDS = {
    "tow_vehicle.brakes.front_heated_mass": (BRAKES, (*DRIVEN[:4], "rear_brakes", "fuel", "towed_brakes")),
    "tow_vehicle.brakes.rear_heated_mass": (BRAKES, (*DRIVEN[:5], "fuel", "towed_brakes")),
    "tow_vehicle.cooling.conductance": (BRAKES, (*DRIVEN[:3], *DRIVEN[4:], "towed_brakes")),
    "towed_vehicle.brake_heated_mass": (BRAKES, DRIVEN),
    "towed_vehicle.brake_share": (BRAKES, DRIVEN),
    "towed_vehicle.brakes_fitted": (
        "taken as unbraked, the harder case",
        (*DRIVEN, "stop_level", "stop_down"),
    ),
    "conditions.shortest_sight": (
        "taken from the road's speed limits, where its file gives them",
        ("stop_level", "stop_down"),
    ),
    "conditions.tightest_turn": (
        "taken as turned to the stop, or to the bar's own swing",
        ("turn_angle", "chain_turn", "towed_lock"),
    ),
    **{
        f"towed_vehicle.driveline.{name}": (LOCKED, ("driveline_free", "driveline_oil"))
        for name in ("front_locked", "rear_locked", "lifted_axle", "low_range")
    },
}


class Recorded(Facts):
    """Facts that note what was asked for."""

    def __init__(self, rig: Rig):
        super().__init__(rig)
        self.read: set[str] = set()

    def have(self, path):
        self.read.add(path)
        return super().have(path)


def one_limit(rig: Rig, key: str) -> tuple[Limit | None, set[str]]:
    """A limit by itself, and every path it read; None when this rig is not asked."""
    facts = Recorded(rig)
    rule = next((rule for rule in rules_of(facts, ROAD, driver(ROAD)) if rule.key == key), None)
    facts.read.clear()
    return (answer(rule, facts), facts.read) if rule else (None, set())


KEYS = [rule.key for rule in rules_of(Facts(BRAKED), ROAD, driver(ROAD))]


def test_the_limits_are_those_of_the_plan():
    found = {limit.key for rig in (DEMO, BRAKED) for limit in make_plan(rig, ROAD).limits}
    assert found == {limit.key for rig in (DEMO, BRAKED) for limit in limits_of(rig, ROAD)}
    assert found == set(KEYS)


@pytest.mark.parametrize("key", KEYS)
def test_without_any_field_it_reads_a_limit_is_not_known_or_starred(key):
    rig = BRAKED if key == "towed_brakes" else DEMO
    before, read = one_limit(rig, key)
    assert before.answer == WITHIN  # so that a change of answer is due to the missing fact alone
    fields = {path for path in read if value_at(rig, path) is not None and not row_of(path)}
    fields -= {"load", "bracket.bolts"}
    assert fields
    for path in sorted(fields):
        after, _ = one_limit(without(rig, path), key)
        if path in STANDS and key in STANDS[path][1]:
            continue
        assert after is not None, path
        if path in assumptions():
            assert path in after.assumed or after.answer == NOT_KNOWN, path
        else:
            assert after.answer == NOT_KNOWN and path in after.missing, path
            assert after.answer_text().startswith("not known")


def test_what_may_be_left_out_says_why_and_is_read():
    for path, (why, keys) in STANDS.items():
        assert len(why) > 20
        for key in keys:
            rig = BRAKED if path.startswith("towed_vehicle.brake") or key == "towed_brakes" else DEMO
            assert path in one_limit(rig, key)[1], (path, key)


def test_no_fact_taken_away_ever_makes_a_limit_within():
    # on the rig that fails: whatever single field is missing, no limit may turn from over or not known
    # to within, unless the field is one that has a labelled assumption
    rig = load_rig("data/rigs/demo_overloaded.toml")
    base = {limit.key: limit.answer for limit in limits_of(rig, ROAD)}
    reads = {key: one_limit(rig, key)[1] for key in base}
    fields = {
        path
        for path in set().union(*reads.values()) - set(assumptions())
        if not row_of(path) and value_at(rig, path) is not None
    }
    assert len(fields) > 80
    for number, path in enumerate(sorted(fields - {"load", "bracket.bolts"})):
        readers = tuple(key for key, read in reads.items() if path in read)
        every = number % 8 == 0  # the others too: do they hang on nothing they did not read?
        for limit in limits_of(without(rig, path), ROAD, () if every else readers):
            if limit.answer == WITHIN:
                assert base.get(limit.key) == WITHIN, f"{limit.key} became within without {path}"


def test_the_smallest_rig_gets_a_plan_with_nothing_within():
    text = "[{0}]\nfront_axle_empty = '1000 kg'\nrear_axle_empty = '900 kg'\nwheelbase = '3 m'\n"
    plan = make_plan(read_rig_text(text.format("tow_vehicle") + text.format("towed_vehicle")), ROAD)
    assert plan.count(NOT_KNOWN) == len(plan.limits) and plan.governing is None and plan.road_missing
