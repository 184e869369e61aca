"""The invented rig between the two others: a few limits are over or not known, and good choices mend them
all. Which choices those are follows from the plan's own advice.
"""

import pytest

from tests.rigs import changed, limits_of
from towlib.limits.limit import NOT_KNOWN, OVER, WITHIN
from towlib.plan.trip import make_plan
from towlib.rig.facts import Facts
from towlib.rig.model import Rig, load_rig
from towlib.road.route import load_route

ROAD = load_route("data/routes/short_steep_pass.csv")
NEARLY = load_rig("data/rigs/demo_nearly_ready.toml")
MENDS = {
    "safety_chains.links": 20,
    "conditions.cruise_speed": 80.0 / 3.6,
    "conditions.descent_speed": 35.0 / 3.6,
    "tow_bar.latch_closed": True,
}


def mended(*but: str) -> Rig:
    """The rig with all mends, or all but some."""
    rig = NEARLY
    for path, value in MENDS.items():
        rig = rig if path in but else changed(rig, path, value)
    return rig


def not_within(rig):
    return {limit.key: limit.answer for limit in limits_of(rig, ROAD) if limit.answer != WITHIN}


@pytest.fixture(scope="module")
def plan():
    return make_plan(NEARLY, ROAD)


def test_it_is_nearly_ready_and_nobody_asks_about_its_values(plan):
    assert not Facts(NEARLY).asked and NEARLY.invented
    found = {limit.key: (limit.answer, limit.likely) for limit in plan.limits if limit.answer != WITHIN}
    assert found == {
        "chain_slack": (OVER, ""),
        "dropped_bar": (OVER, ""),
        "towing_speed": (OVER, ""),
        "front_brakes": (NOT_KNOWN, OVER),
        "rear_brakes": (NOT_KNOWN, WITHIN),
        "coupler_latch": (NOT_KNOWN, ""),
    }


def test_the_advice_names_the_mends(plan):
    told = {limit.key: limit.advice for limit in plan.limits}
    assert "down to 19 each" in told["chain_slack"] and "the tow-bar rule allows 20" in " ".join(plan.to_fit)
    # in steps of 5 km/h the fastest that keeps them within by the plain values
    assert "Coming down at 40 km/h" in told["front_brakes"]


def test_every_mend_is_needed_and_all_of_them_are_enough():
    assert not_within(mended()) == {}
    assert set(not_within(mended("safety_chains.links"))) == {"chain_slack", "dropped_bar"}
    assert set(not_within(mended("tow_bar.latch_closed"))) == {"coupler_latch"}
    # without the lower gear; and at 40 km/h too little room is left for the ± of the speed
    assert "front_brakes" in not_within(mended("conditions.descent_speed"))
    assert "front_brakes" in not_within(changed(mended(), "conditions.descent_speed", 40.0 / 3.6))
    assert "towing_speed" in not_within(mended("conditions.cruise_speed"))
