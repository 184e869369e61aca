"""Axle loads of the rig, out and back, by hand."""

import pytest

from towlib.limits.loads import payload_kg, tow_axles_kg, tow_total_kg, towed_axles_kg, towed_total_kg
from towlib.rig.facts import Facts, NotKnown
from towlib.rig.model import load_rig


@pytest.fixture
def facts():
    return Facts(load_rig("data/rigs/demo_comfortable.toml"))


def test_totals_by_hand(facts):
    # by hand: out 2,370 + 82 + 68 + 130 + 45 + 13 = 2,708; back without the 45 kg
    assert tow_total_kg(facts, "out") == pytest.approx(2708) and tow_total_kg(facts, "back") == pytest.approx(
        2663
    )
    assert payload_kg(facts, "out") == pytest.approx(338) and towed_total_kg(facts, "out") == pytest.approx(
        1543
    )


@pytest.mark.parametrize("way", ["out", "back"])
def test_axles_add_up_to_the_total(facts, way):
    assert sum(tow_axles_kg(facts, way)) == pytest.approx(tow_total_kg(facts, way), rel=1e-12)
    assert sum(towed_axles_kg(facts, way)) == pytest.approx(towed_total_kg(facts, way), rel=1e-12)


def test_the_bar_hangs_ahead_of_the_towed_front_axle(facts):
    # by hand: 13 kg at 0.48 m ahead: front 780 + 60 × (1 - 2.3/2.29) + 13 × (1 + 0.48/2.29) = 795.46 kg
    assert towed_axles_kg(facts, "out")[0] == pytest.approx(795.46, abs=0.01)


def test_without_the_overhang_axle_loads_are_not_known(facts):
    rig = facts.rig.model_copy(
        update={"tow_vehicle": facts.rig.tow_vehicle.model_copy(update={"ball_behind_rear_axle": None})}
    )
    with pytest.raises(NotKnown, match="ball_behind_rear_axle"):
        tow_axles_kg(Facts(rig), "out")


def test_rear_axle_of_the_tow_vehicle_by_hand(facts):
    # by hand: 1,060 + 150 × 1.75/3.61 + 130 × 3.1/3.61 + 45 × 2.9/3.61 + 13 × (3.61 + 1.27)/3.61 = 1,298.07
    # kg
    assert tow_axles_kg(facts, "out")[1] == pytest.approx(1298.07, abs=0.01)
