"""Axle loads of the rig, out and back, by hand."""

import pytest

from tests.limits.round_rig import ROUND
from tests.rigs import changed, without
from towlib.limits.loads import (
    LIGHTER_THAN_EMPTY,
    NOBODY,
    ball_load_kg,
    carried_kg,
    own_brake_share,
    payload_kg,
    somebody_rides,
    tow_axles_kg,
    tow_total_kg,
    towed_axles_kg,
    towed_empty_kg,
    towed_total_kg,
)
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


# ---- the rig of round figures: see test_weights_limits.py for its loads by hand ----


def _with(**values):
    return Facts(ROUND).other({path.replace("__", "."): value for path, value in values.items()})


def test_a_vertical_load_on_the_ball_that_is_moved_counts_at_both_ends():
    # 50 instead of 10 kg, 1 m behind the rear axle: 40 · 1/4 kg less in front, 40 · 5/4 more behind
    moved = _with(hitch__ball_load=50.0)
    assert (ball_load_kg(Facts(ROUND)), ball_load_kg(moved)) == (10.0, 50.0)
    assert tow_axles_kg(moved, "out") == pytest.approx((1187.5 - 10.0, 1302.5 + 50.0))
    assert towed_axles_kg(moved, "out") == pytest.approx((802.0 + 40 * 1.2, 658.0 - 40 * 0.2))


@pytest.mark.parametrize(
    ("values", "empty"),
    [
        ({}, (800.0, 600.0)),
        # shared 8 : 6 as the rig shares its own
        ({"towed_vehicle__empty_mass": 2100.0}, (1200.0, 900.0)),
        # as it stands there with the spare wheel, 50 kg: 2150 less 50
        ({"towed_vehicle__mass": 2150.0}, (1200.0, 900.0)),
        ({"towed_vehicle__empty_mass": 700.0, "towed_vehicle__mass": 2150.0}, (400.0, 300.0)),
    ],
)
def test_another_mass_of_the_towed_vehicle_is_shared_as_the_rig_shares_its_own(values, empty):
    assert towed_empty_kg(_with(**values)) == pytest.approx(empty)
    assert towed_total_kg(_with(**values), "back") == pytest.approx(sum(empty) + 10.0 + 170.0)


@pytest.mark.parametrize(
    ("fitted", "share", "if_not_said", "expected"),
    [
        (None, 0.3, None, 0.0),
        (False, 0.3, None, 0.0),
        (False, 0.3, 0.5, 0.0),
        (True, 0.3, None, 0.3),
        (True, 0.3, 0.5, 0.3),
        (True, 0.0, 0.5, 0.0),
        (True, None, 0.5, 0.5),
        (True, None, 0.0, 0.0),
    ],
)
def test_share_of_its_own_brakes(fitted, share, if_not_said, expected):
    rig = changed(changed(ROUND, "towed_vehicle.brakes_fitted", fitted), "towed_vehicle.brake_share", share)
    assert own_brake_share(Facts(rig), if_not_said=if_not_said) == expected
    moved = Facts(rig).other({"towed_vehicle.working_brake_share": 0.7})
    assert own_brake_share(moved, if_not_said=if_not_said) == 0.7


def test_brakes_that_are_fitted_and_whose_share_nobody_said_are_not_known():
    with pytest.raises(NotKnown, match=r"^towed_vehicle\.brake_share$"):
        own_brake_share(Facts(changed(ROUND, "towed_vehicle.brakes_fitted", True)))


def test_people_and_cargo_of_a_vehicle_each_way():
    found = {(v, w): carried_kg(Facts(ROUND), v, w) for v in ("tow", "towed") for w in ("out", "back")}
    assert found == {
        ("tow", "out"): 280.0,
        ("tow", "back"): 180.0,
        ("towed", "out"): 50.0,
        ("towed", "back"): 170.0,
    }


@pytest.mark.parametrize("weighed", [None, "empty", "loaded"])
@pytest.mark.parametrize("rows", [0, 1])
def test_somebody_rides_when_a_row_says_so_or_the_scale_did(weighed, rows):
    rig = changed(ROUND.model_copy(update={"load": ROUND.load[:rows]}), "tow_vehicle.weighed", weighed)
    for way in ("out", "back"):
        if rows or weighed == "loaded":
            assert somebody_rides(Facts(rig), way) is None
        else:
            with pytest.raises(NotKnown, match=NOBODY):
                somebody_rides(Facts(rig), way)


def test_payload_of_what_was_weighed_loaded_is_what_the_stickers_leave():
    # GVWR 3000 less payload 800: 2200 kg empty; on the scale 1200 + 1000, and 10 kg of the bar
    loaded = changed(ROUND, "tow_vehicle.weighed", "loaded")
    assert payload_kg(Facts(loaded), "out") == payload_kg(Facts(loaded), "back") == pytest.approx(10.0)
    assert payload_kg(Facts(changed(loaded, "tow_vehicle.payload", 900.0)), "out") == pytest.approx(110.0)
    for rear, expected in ((990.5, 0.5), (990.0, 0.0)):
        assert payload_kg(Facts(changed(loaded, "tow_vehicle.rear_axle_empty", rear)), "out") == expected
    with pytest.raises(NotKnown, match=LIGHTER_THAN_EMPTY):
        payload_kg(Facts(changed(loaded, "tow_vehicle.rear_axle_empty", 989.5)), "out")
    for path in ("tow_vehicle.gvwr", "tow_vehicle.payload"):
        with pytest.raises(NotKnown, match=path):
            payload_kg(Facts(without(loaded, path)), "out")
