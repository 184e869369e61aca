"""Quantities that follow from several fields: their value by hand, and what moving one does."""

import pytest

from towlib.lessons.declare import with_values
from towlib.limits.attachment_limits import bolt_places
from towlib.limits.coupling_limits import ball_height_m, slope_rad
from towlib.limits.derived import DERIVED
from towlib.limits.loads import payload_kg, tow_axles_kg, towed_axles_kg, towed_total_kg
from towlib.rig.facts import Facts
from towlib.rig.model import read_rig_text
from towlib.units import KINDS

RIG = """
[tow_vehicle]
front_axle_empty = "1300 kg"
rear_axle_empty = "1000 kg"
wheelbase = "3.5 m"
ball_behind_rear_axle = "1.2 m"
[towed_vehicle]
front_axle_empty = "800 kg"
rear_axle_empty = "600 kg"
wheelbase = "2.3 m"
bracket_ahead_of_front_axle = "0.5 m"
brakes_fitted = true
brake_share = "30 %"
[tow_bar]
mass = "24 kg"
[[load]]
name = "two people"
mass = "150 kg"
behind_front_axle = "1.7 m"
[[load]]
name = "water on the way out"
mass = "50 kg"
behind_front_axle = "3.7 m"
way = "out"
[[load]]
name = "tools in the towed one"
mass = "100 kg"
vehicle = "towed"
behind_front_axle = "2.0 m"
[bracket]
bolts = [
  {behind_pin = "60 mm", above_pin = "-20 mm", outboard_of_pin = "-30 mm"},
  {behind_pin = "60 mm", above_pin = "20 mm", outboard_of_pin = "50 mm"},
]
"""


@pytest.fixture
def facts():
    return Facts(read_rig_text(RIG))


def test_values_by_hand(facts):
    found = {
        path: derived.of(facts)
        for path, derived in DERIVED.items()
        if path.split(".")[0] in ("carried", "towed_vehicle", "bracket")
    }
    assert found == pytest.approx(
        {
            "carried.tow.mass": 200.0,
            "carried.tow.place": (150 * 1.7 + 50 * 3.7) / 200,  # 2.2 m
            "carried.towed.mass": 100.0,
            "carried.towed.place": 2.0,
            "towed_vehicle.empty_mass": 1400.0,
            "towed_vehicle.mass": 1500.0,
            "towed_vehicle.working_brake_share": 0.30,
            "bracket.bolts_across": 0.080,
            "bracket.bolts_up": 0.040,
            "bracket.pin_above_bolts": 0.0,
            "bracket.pin_ahead_of_plate": 0.060,
        }
    )
    assert DERIVED["hitch.ball_load"].of(facts) == 12.0  # half of the bar


def test_kinds_are_kinds_and_labels_are_short():
    for derived in DERIVED.values():
        assert derived.kind in KINDS and len(derived.label) <= 34


def test_moving_what_is_carried_moves_the_axles(facts):
    # by hand: 200 kg moved from 2.2 m to 3.2 m takes 200/3.5 = 57.14 kg from the front axle to the rear
    before = tow_axles_kg(facts, "out")
    after = tow_axles_kg(with_values(facts, {"carried.tow.place": 3.2}), "out")
    assert after[0] - before[0] == pytest.approx(-57.142857) and after[1] - before[1] == pytest.approx(
        57.142857
    )
    heavier = with_values(facts, {"carried.tow.mass": 300.0})
    assert sum(tow_axles_kg(heavier, "out")) - sum(before) == pytest.approx(100.0)
    assert payload_kg(heavier, "out") == pytest.approx(312.0)


def test_moving_the_towed_mass_keeps_its_load_and_its_shares(facts):
    heavier = with_values(facts, {"towed_vehicle.mass": 1700.0})
    # the empty vehicle then weighs 1600 kg, shared 8 : 6 as the rig's 800 and 600 kg
    assert towed_total_kg(heavier, "out") == pytest.approx(1712.0)
    front, rear = towed_axles_kg(heavier, "out")
    light_front, light_rear = towed_axles_kg(facts, "out")
    assert front - light_front == pytest.approx(200 * 8 / 14) and rear - light_rear == pytest.approx(
        200 * 6 / 14
    )
    assert towed_total_kg(with_values(facts, {"towed_vehicle.empty_mass": 1600.0}), "out") == pytest.approx(
        1712.0
    )


def test_the_rig_itself_gives_what_no_slider_moved(facts):
    same = with_values(facts, {"bracket.bolts_up": 0.040, "hitch.ball_load": 12.0})
    assert tow_axles_kg(same, "out") == tow_axles_kg(facts, "out")
    for moved, own in zip(bolt_places(same), bolt_places(facts), strict=True):
        assert tuple(moved) == pytest.approx(tuple(own))


def test_a_bolt_pattern_is_stretched_about_its_middle_and_shifted(facts):
    wide = bolt_places(with_values(facts, {"bracket.bolts_across": 0.160}))
    # middle stays at 0.010
    assert [place.outboard_of_pin_m for place in wide] == pytest.approx([-0.070, 0.090])
    low = bolt_places(with_values(facts, {"bracket.pin_above_bolts": 0.030}))
    assert [place.above_pin_m for place in low] == pytest.approx([-0.050, -0.010])
    back = bolt_places(with_values(facts, {"bracket.pin_ahead_of_plate": 0.100}))
    assert [place.behind_pin_m for place in back] == pytest.approx([0.100, 0.100])


def test_slope_and_ball_height_can_be_given(facts):
    given = with_values(facts, {"tow_bar.slope": 0.05, "hitch.ball_height": 0.55})
    assert slope_rad(given, "out") == 0.05 and ball_height_m(given, "out") == 0.55


def test_a_pin_above_its_bolts_counts_as_above():
    # bolts 50 and 10 mm below the pin: it stands 30 mm above their middle
    low = read_rig_text(
        RIG.replace('above_pin = "-20 mm"', 'above_pin = "-50 mm"').replace(
            'above_pin = "20 mm"', 'above_pin = "-10 mm"'
        )
    )
    assert DERIVED["bracket.pin_above_bolts"].of(Facts(low)) == pytest.approx(0.030)
    assert DERIVED["bracket.bolts_up"].of(Facts(low)) == pytest.approx(0.040)
    moved = with_values(Facts(low), {"bracket.pin_above_bolts": 0.030})
    assert [tuple(bolt) for bolt in bolt_places(moved)] == [
        pytest.approx(tuple(bolt)) for bolt in bolt_places(Facts(low))
    ]
