"""Two rules that once went unwatched: both brackets are looked at, and the tow rating hangs on the brakes."""

import pytest

from tests.plans import DEMO
from tests.rigs import changed, without
from towlib.limits import attachment_limits
from towlib.limits.decision import answer
from towlib.limits.limit import NOT_KNOWN, OVER, WITHIN
from towlib.limits.weights_limits import WEIGHT_RULES
from towlib.rig.facts import Facts
from towlib.road.route import load_route

ROAD = load_route("data/routes/short_steep_pass.csv")


@pytest.mark.parametrize("group", ["pin", "bolts", "plate", "bending", "weld"])
@pytest.mark.parametrize("side", ["left", "right"])
def test_a_load_on_either_bracket_counts(monkeypatch, group, side):
    # four times everything on one bracket: what carries in proportion to its load keeps a quarter at least,
    # and less than before, whichever bracket it is
    loads = attachment_limits.bracket_loads(Facts(DEMO), ROAD, "out")
    before = attachment_limits._weakest(Facts(DEMO), ROAD, "out", group).load_factor

    def heavier(facts, route, way):
        return tuple(
            (
                case,
                both._replace(**{side: type(getattr(both, side))(*(4.0 * n for n in getattr(both, side)))}),
            )
            for case, both in loads
        )

    monkeypatch.setattr(attachment_limits, "bracket_loads", heavier)
    found = attachment_limits._weakest(Facts(DEMO), ROAD, "out", group).load_factor
    assert before / 4.0 - 1e-9 <= found < 0.9 * before


@pytest.mark.parametrize(
    ("fitted", "towed_kg", "expected", "capacity"),
    [
        # the demo's 1,543 kg against 2,000 kg braked and 700 kg unbraked
        (True, 1543.0, WITHIN, 2000.0),
        (False, 1543.0, OVER, 700.0),
        (None, 1543.0, NOT_KNOWN, None),
    ],
)
def test_the_rating_without_brakes_counts_until_brakes_are_known(fitted, towed_kg, expected, capacity):
    rig = changed(DEMO, "tow_vehicle.tow_rating_braked", 2000.0)
    rig = changed(rig, "tow_vehicle.tow_rating_unbraked", 700.0)
    path = "towed_vehicle.brakes_fitted"
    rig = without(rig, path) if fitted is None else changed(rig, path, fitted)
    rule = next(rule for rule in WEIGHT_RULES if rule.key == "tow_rating")
    found = answer(rule, Facts(rig))
    assert (found.answer, found.capacity) == (expected, capacity)
    assert found.demand == pytest.approx(towed_kg)
    assert found.missing == (path if fitted is None else "")
