"""Lesson 09: what its panels compute, by hand and with the plan."""

import math
import re

import pytest

from towlib.handbook.tables import load_table
from towlib.lessons.declare import with_values
from towlib.lessons.l09_driveline import (
    driveline_panels,
    driveline_pictures,
    positions_shown,
    steering_panels,
)
from towlib.limits.driveline_card import layout_of, position_card
from towlib.limits.loads import towed_axles_kg
from towlib.paths import DATA
from towlib.rig.facts import Facts, NotKnown
from towlib.rig.model import load_rig
from towlib.road.route import load_route

D = "towed_vehicle.driveline."
START = {
    D + "transfer_case": "part-time",
    D + "transfer_case_position": "neutral",
    D + "low_range": False,
    D + "gearbox": "manual",
    D + "gearbox_position": "in gear",
    D + "front_hubs": "fixed",
    D + "front_shaft_in": True,
    D + "rear_shaft_in": True,
    D + "front_locked": False,
    D + "rear_locked": False,
    D + "lifted_axle": "none",
    D + "front_final_drive": 4.1,
    D + "rear_final_drive": 4.1,
    "towed_vehicle.tyres.rolling_radius": 0.35,
    "conditions.cruise_speed": 25.0,
}
DEMOS = ("demo_comfortable", "demo_overloaded")


def _demo(name="demo_comfortable", values=None):
    return with_values(Facts(load_rig(DATA / "rigs" / f"{name}.toml")), values or {})


def _turning(*, tight_turn=False, **positions):
    values = {**START, **{D + name: value for name, value in positions.items()}}
    return driveline_panels.turning(_demo(values=values), tight_turn=tight_turn)


def test_fields_reach_the_layout():
    found = _turning(
        rear_shaft_in=False,
        front_locked=True,
        lifted_axle="rear",
        gearbox="automatic",
        gearbox_position="park",
        low_ratio=3.1,
    ).layout
    assert (
        found.rear_shaft_in,
        found.front_shaft_in,
        found.front_locked,
        found.rear_locked,
        found.lifted_axle,
        found.gearbox,
        found.gear,
        found.low_ratio,
    ) == (False, True, True, False, "rear", "automatic", "park", 3.1)
    assert _turning(front_shaft_in=False).layout.front_shaft_in is False
    rig = _demo().rig.towed_vehicle
    assert (found.track_m, found.wheelbase_m) == (rig.track, rig.wheelbase)


def test_the_panel_shows_the_layout_of_the_plan():
    for name in DEMOS:
        facts = _demo(name)
        layout = driveline_panels.speeds_layout(facts)
        plan = layout_of(facts, for_speeds=True)
        assert layout._replace(track_m=plan.track_m) == plan
        assert position_card(layout) == position_card(layout_of(facts))


def test_positions_that_cannot_be_are_refused_in_words():
    for positions, words in (
        ({"gearbox_position": "park"}, "no park position"),
        ({"transfer_case_position": "front only"}, "has no position 'front only'"),
    ):
        with pytest.raises(ValueError, match=words):
            _turning(**positions)


def test_without_a_transfer_case_the_driven_axle_is_asked_of_the_reader_and_tried_elsewhere():
    assert _turning(transfer_case="none").layout.driven_axle == "rear"
    rig = _demo().rig
    own = rig.towed_vehicle.driveline.model_copy(update={"transfer_case": "none", "driven_axle": None})
    rig = rig.model_copy(update={"towed_vehicle": rig.towed_vehicle.model_copy(update={"driveline": own})})
    with pytest.raises(NotKnown) as missing:
        driveline_panels.speeds_layout(Facts(rig))
    assert missing.value.reason == D + "driven_axle"
    words = "\n".join(positions_shown.card_lines(Facts(rig)))
    assert "not known" in words and "roll" in words and D not in words


def test_sentences():
    words = driveline_panels.turning_words(_turning(), "metric")
    # by hand: 60 * 25 / (2 pi 0.35) = 682.1 rpm, times 4.1 = 2,797 rpm
    assert words.startswith(
        "At 90 km/h rear shaft and front shaft turn at 2,797 rpm; gearbox and engine stand."
    )
    towed = driveline_panels.turning_words(_turning(transfer_case_position="rear only"), "us")
    assert "THE ROAD TURNS THE ENGINE, at 2,797 rpm" in towed and "55.9 mph" in towed
    locked = driveline_panels.turning_words(_turning(rear_locked=True, tight_turn=True), "metric")
    assert "A tyre skids" in locked
    unlike = driveline_panels.turning_words(_turning(front_final_drive=3.55), "metric")
    assert "turn at 2,797 and 2,421 rpm" in unlike  # 682.1 * 3.55


def test_every_part_has_its_place_in_the_picture():
    for case in ("none", "part-time", "full-time", "independent outputs"):
        parts = set(driveline_pictures.parts_of(_turning(transfer_case=case).layout))
        assert parts <= set(driveline_pictures.BOXES) | set(driveline_pictures.LINES)
    assert set(driveline_pictures.WORDS_AT) == set(driveline_pictures.NARROW_WORDS_AT)


@pytest.mark.parametrize(
    ("choices", "closed"),
    [
        ({}, {"gearbox"}),
        ({"transfer_case_position": "both"}, {"gearbox", "to the rear", "to the front"}),
        ({"transfer_case_position": "neutral, outputs joined"}, {"gearbox", "outputs"}),
        (
            {"transfer_case": "full-time", "transfer_case_position": "both"},
            {"gearbox", "to the rear", "outputs"},
        ),
        ({"gearbox": "automatic", "gearbox_position": "neutral"}, set()),
    ],
)
def test_couplings_are_drawn_closed_when_they_are(choices, closed):
    drawn = driveline_pictures.DrivelineDrawing._closed(_turning(**choices))
    assert drawn & {"gearbox", "to the rear", "to the front", "outputs"} == closed
    free = driveline_pictures.DrivelineDrawing._closed(_turning(**choices, front_hubs="one side open"))
    assert drawn - free == {"front right hub"}


def _comparison(**values):
    return driveline_panels.comparison(
        _demo(values={**START, **{D + name: value for name, value in values.items()}})
    )


def test_comparison_by_hand():
    found = _comparison(gear_ratio=3.90)
    engine = [way.turning.motion.rpm["engine"] for way in found.procedures]
    assert engine[:4] == [0, 0, 0, 0]
    assert engine[4] == pytest.approx(25 * 60 / (2 * math.pi * 0.35) * 4.1 * 3.9)
    assert "rear shaft" not in found.procedures[2].turning.motion.rpm
    # the procedures are the lesson's, whatever case and positions the rig has
    other = _comparison(gear_ratio=3.90, transfer_case="full-time", transfer_case_position="both")
    assert other == found
    assert _comparison(gearbox="automatic").procedures[4].turning.motion.conflict


def _steering(backwards=False, **values):
    return steering_panels.steering(
        _demo(values={f"towed_vehicle.{name}": value for name, value in values.items()}),
        backwards=backwards,
    )


def _one_degree_n(facts):
    """Side force of both front tyres for one degree, worked out anew: 8 a radian at the empty load, growing
    with the load's power of 0.7.
    """
    loaded, empty = towed_axles_kg(facts, "out")[0], facts.need("towed_vehicle.front_axle_empty")
    rate = 8.0 * facts.need("towed_vehicle.front_side_stiffness") * empty * 9.80665
    return rate * (loaded / empty) ** 0.7 * math.radians(1.0)


def test_steering_by_hand():
    degree = math.radians(1)
    values = {
        "toe": degree,
        "castor": 5 * degree,
        "steering_friction": 30.0,
        "tyre_trail": 0.025,
        "tyres.rolling_radius": 0.35,
    }
    found, both_n = _steering(**values), _one_degree_n(_demo())
    assert found.one_tyre_n == pytest.approx(both_n / 2)
    assert found.drag_n == pytest.approx(both_n * math.sin(degree))
    assert found.sideways_m == pytest.approx(1000 * math.sin(degree))
    trail = 0.35 * math.tan(5 * degree) + 0.025
    assert found.trail_m == pytest.approx(trail)
    assert math.degrees(found.left_over_rad) == pytest.approx(30 / (both_n * trail))
    weight_n = sum(towed_axles_kg(_demo(), "out")) * 9.80665
    assert found.rolling_n == pytest.approx(0.015 * weight_n)
    back = _steering(backwards=True, **values)
    assert back.left_over_rad == math.inf
    assert "BACKWARDS" in steering_panels.steering_words(back, "metric")
    assert _steering(front_side_stiffness=1.9).one_tyre_n == pytest.approx(2 * found.one_tyre_n)


def test_what_the_prediction_calls_right_backwards_holds_for_both_demos():
    for name in DEMOS:
        back = steering_panels.steering(_demo(name), backwards=True)
        assert back.left_over_rad > steering_panels.BEYOND_RAD
        locked = steering_panels.locked_steering(_demo(name), turn_radius_m=20.0, grip_share=0.8)
        assert locked.front_n == pytest.approx(locked.grip_n) and locked.ball_n > 0.4 * locked.front_n


def test_locked_steering_by_hand():
    facts = _demo()
    found = steering_panels.locked_steering(facts, turn_radius_m=50.0, grip_share=0.8)
    front = _one_degree_n(facts) * math.degrees(math.atan(2.29 / 50))
    assert found.front_n == pytest.approx(front)
    # moments about the rear axle: the ball stands 0.48 + 1.50 m ahead of the front axle
    assert found.ball_n * (2.29 + 1.98) == pytest.approx(front * 2.29)
    assert found.grip_n == pytest.approx(0.8 * 9.80665 * towed_axles_kg(facts, "out")[0])


def test_words_on_the_rig_name_no_key_of_its_file():
    road = load_route(DATA / "routes" / "short_steep_pass.csv")
    for name in DEMOS:
        lines = [
            *positions_shown.rig_lines(_demo(name), road, "us"),
            *positions_shown.card_lines(_demo(name)),
        ]
        assert not re.search(r"\b[a-z_]+_vehicle\.[a-z]|conditions\.[a-z]", "\n".join(lines))
        assert any(line.startswith("Steering turns by itself") for line in lines)


def test_the_oil_table_shows_every_row():
    table = repr(positions_shown.what_oils_what())
    assert all(row["oiled_by"] in table for row in load_table("oiling"))
