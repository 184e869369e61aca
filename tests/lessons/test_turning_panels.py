"""Panels of lesson 07: what they show agrees with figures by hand, with the lesson's own words and with each
other.
"""

import math

import numpy as np
import pytest

from towlib.draw.figures import Picture
from towlib.lessons.declare import with_values
from towlib.lessons.index import lesson_of
from towlib.lessons.l07_turning import running_straight, turning_pictures
from towlib.lessons.l07_turning import turning_panels as turning
from towlib.lessons.slider_rows import load_panel
from towlib.limits import turning_limits as turning_rules
from towlib.limits.decision import answer
from towlib.physics.turning.circle import steady_circle
from towlib.physics.turning.yaw import divergence_speed_m_s, modes
from towlib.rig.facts import Facts, NotKnown
from towlib.rig.model import load_rig, rig_from_data

RAD = math.radians
LESSON = lesson_of("07_turning_and_running_straight")
# the lengths the figures by hand were worked out with
HAND = {
    "tow_vehicle.wheelbase": 3.75,
    "tow_vehicle.ball_behind_rear_axle": 1.32,
    "tow_vehicle.body_width": 2.0,
    "tow_vehicle.front_overhang": 0.85,
    "tow_vehicle.rear_overhang": 1.1,
    "tow_bar.length": 1.5,
    "towed_vehicle.wheelbase": 2.36,
    "towed_vehicle.bracket_ahead_of_front_axle": 0.48,
    "towed_vehicle.track": 1.42,
    "towed_vehicle.body_width": 1.65,
    "towed_vehicle.front_overhang": 0.42,
    "towed_vehicle.rear_overhang": 0.5,
    "towed_vehicle.steering_lock": RAD(33),
    "tow_vehicle.steering_lock": RAD(35),
    "safety_chains.greatest_articulation": RAD(60),
}


@pytest.fixture
def facts(data_folder):
    return Facts(load_rig(data_folder / "rigs" / "demo_comfortable.toml"))


@pytest.fixture
def overloaded(data_folder):
    return Facts(load_rig(data_folder / "rigs" / "demo_overloaded.toml"))


@pytest.fixture
def by_hand(facts):
    """The comfortable pair with the lengths of the figures by hand."""
    return with_values(facts, HAND)


def _start(panel, facts, **arguments):
    sliders = load_panel(LESSON.key, panel).sliders
    starts = {s.name: s.argument(s.start) for s in sliders if not s.of_rig}
    return LESSON.panel(panel).compute(facts, **{**starts, **arguments})


def test_the_circle_by_hand(by_hand):
    # by hand: R_r = sqrt(81 - 14.0625) = 8.18153; R_h² = 66.9375 + 1.7424 = 68.6799; R_t = sqrt(68.6799 -
    # 4.34²) = 7.05999;
    # inner wheel atan(2.36/(7.05999 - 0.71)) = 20.39°; covered: hypot(9.18153, 4.6) - (7.05999 - 0.825) =
    # 10.2693 - 6.2350
    turn = _start("circle", by_hand, front_radius_m=9.0)
    assert turn.circle.towed_rear_m == pytest.approx(7.05999, abs=1e-4) and math.degrees(
        turn.steer_rad
    ) == pytest.approx(20.39, abs=0.01)
    assert turn.ring.width_m == pytest.approx(4.0343, abs=1e-3)
    assert "7.07 m, set by the steering lock" in turning.circle_words(turn, "metric")
    over = _start("circle", by_hand, front_radius_m=6.5)
    assert "OVER by 6.5°" in turning.circle_words(over, "us") and "OVER by 9.0°" in turning.circle_words(
        over, "us"
    )
    with pytest.raises(ValueError, match="fold up"):
        _start("circle", by_hand, front_radius_m=5.5)


def test_the_circle_is_the_plans(facts, overloaded):
    for rig in (facts, overloaded):
        plan = turning_rules.tightest_circle(rig)
        turn = _start("circle", rig, front_radius_m=plan.front_m)
        limits = {rule.key: answer(rule, rig) for rule in turning_rules.TURNING_RULES}
        assert turn.circle == plan
        for key, shown in (("towed_lock", turn.steer_rad), ("chain_turn", turn.circle.articulation_rad)):
            if limits[key].demand is None:  # over at full lock, and the way's tightest turn is not given
                assert limits[key].missing == "conditions.tightest_turn" and rig is overloaded
            else:
                assert shown == pytest.approx(limits[key].demand)


def test_the_bar_counts_once_its_swing_is_known(by_hand):
    bar, chains = "tow_bar.greatest_swing", "safety_chains.greatest_articulation"
    assert turning.allowed_rad(with_values(by_hand, {bar: RAD(50), chains: RAD(60)})) == RAD(50)
    assert turning.allowed_rad(with_values(by_hand, {bar: RAD(75), chains: RAD(60)})) == RAD(60)
    assert turning.allowed_rad(with_values(by_hand, {bar: None, chains: RAD(80)})) == RAD(80)


def test_a_bend_never_asks_more_than_the_steady_turn_but_for_the_hand_at_its_end(by_hand):
    steady = _start("circle", by_hand, front_radius_m=8.0)
    hairpin, corner = (_start("path", by_hand, way=way) for way in ("hairpin of 180°", "corner of 90°"))
    angles = [np.abs(way.track.articulation_rad).max() for way in (corner, hairpin)]
    assert angles[0] < angles[1] < steady.circle.articulation_rad
    assert corner.room.width_m < hairpin.room.width_m < steady.ring.width_m + 0.02
    assert "within by 0.121 m" in turning.path_words(hairpin, "metric")
    assert "OVER by" in turning.path_words(_start("path", by_hand, front_radius_m=7.0), "us")
    bends = _start("path", by_hand, way="S-bend, 60° and back")
    assert bends.room.left_m.max() == pytest.approx(
        -bends.room.right_m.min(), abs=0.05
    )  # the same bend to either side
    assert bends.track.heading_rad[-1] == pytest.approx(0.0, abs=1e-9)


def test_another_body_is_another_bend(by_hand):
    # the cache of driven bends must not give one pair the road of another
    wide = with_values(by_hand, {"towed_vehicle.body_width": 2.2})
    assert _start("path", wide).room.width_m > _start("path", by_hand).room.width_m + 0.1


def test_the_drawn_wheels_roll_where_the_steady_turn_says():
    inner, outer = turning_pictures._wheels(8.0, 2.4, 1.4)
    assert (inner, outer) == pytest.approx((math.atan(2.4 / 7.3), math.atan(2.4 / 8.7)))
    assert turning_pictures._wheels(-8.0, 2.4, 1.4) == pytest.approx((-outer, -inner))


def test_drawn_vehicles_are_joined_at_the_ball(by_hand):
    picture, drawing = (
        Picture(turning_pictures.CircleDrawing.size_in, frames=2),
        turning_pictures.CircleDrawing(),
    )
    drawing.build(picture, "metric")
    turn = _start("circle", by_hand)
    drawing.update(picture, turn, "metric")
    ball, bar, towed = (picture._moving[name][1][0].get_xy() for name in ("ball", "bar", "towed"))
    assert np.mean(ball[:-1], axis=0) == pytest.approx((1.32, 0.0), abs=0.02)  # drawn driving to the left
    centre = np.array([0.0, -turn.circle.rear_m])
    # the towed rear axle lies on its circle: tail and nose corners 0.5 m behind and 2.78 m ahead of it
    tail = (towed[0] + towed[5]) / 2
    assert math.hypot(*(tail - centre)) == pytest.approx(math.hypot(turn.circle.towed_rear_m, 0.5), abs=1e-6)
    # the bar from the ball to both pins, which stand as far apart as the brackets
    assert math.dist(bar[0], (bar[1] + bar[2]) / 2) == pytest.approx(1.5)
    assert math.dist(bar[1], bar[2]) == pytest.approx(by_hand.need("towed_vehicle.bracket_spread"))


def test_backing_by_hand_and_in_words(by_hand):
    # by hand: 4.34·ln(tan 30°/tan 1°) = 15.185 m; a small angle doubles every 4.34·ln 2 = 3.008 m
    straight = _start("reversing", by_hand)
    assert straight.limit_m == pytest.approx(15.185, abs=1e-3) and "every 3.01 m" in turning.reversing_words(
        straight, "metric"
    )
    assert not straight.crosses and straight.beyond_help_m > straight.limit_m
    right = _start("reversing", by_hand, turned_share=1.0)
    assert right.crosses and "on the other side after 3.27 m" in turning.reversing_words(right, "metric")
    wrong = _start("reversing", by_hand, turned_share=-1.0)
    assert wrong.limit_m < right.limit_m < straight.limit_m and not wrong.crosses
    beyond = _start(
        "reversing", with_values(by_hand, {"tow_vehicle.steering_lock": RAD(20)}), start_rad=RAD(30)
    )
    assert beyond.beyond_help_rad < RAD(35)
    assert "it starts there" in turning.reversing_words(beyond._replace(start_rad=RAD(40)), "metric")
    nimble = with_values(by_hand, {"tow_vehicle.steering_lock": RAD(42), "tow_vehicle.wheelbase": 2.6})
    assert "any angle" in turning.reversing_words(_start("reversing", nimble), "metric")


def _loaded(facts, mass_kg, place_m):
    return with_values(facts, {"carried.towed.mass": mass_kg, "carried.towed.place": place_m})


def test_what_moves_which_limit(facts):
    front, middle, back = (_start("yaw_roots", _loaded(facts, 400.0, at)) for at in (0.0, 1.2, 2.8))
    assert (
        front.turns_in_m_s < middle.turns_in_m_s < back.turns_in_m_s
        and back.here.swing_damping < middle.here.swing_damping
    )
    base = _start("yaw_roots", facts)
    for change in (
        {"tow_vehicle.rear_side_stiffness": 0.8},
        {"towed_vehicle.empty_mass": 2000.0},
        {"carried.tow.place": 4.2},
    ):
        assert _start("yaw_roots", with_values(facts, change)).turns_in_m_s < base.turns_in_m_s
    assert _start("yaw_roots", facts, free_share=0.0).here.swing_damping < base.here.swing_damping
    soft = with_values(facts, {"tow_vehicle.rear_side_stiffness": 0.7})
    # the speed at which the largest real root of the plan's own pair passes zero
    pair = turning_rules.yaw_pair_of(soft, "out")
    border = divergence_speed_m_s(pair)
    assert (
        float(modes(pair, border - 0.1).largest_real_1_s)
        < 0
        < float(modes(pair, border + 0.1).largest_real_1_s)
    )
    words = running_straight.yaw_roots_words(_start("yaw_roots", soft), "metric")
    assert "GROWS, doubling in" in words and f"turns in by itself above {3.6 * border:.1f} km/h" in words


def test_the_roots_are_those_of_the_plan(facts, overloaded):
    for rig in (facts, overloaded):
        found = _start("yaw_roots", rig)
        limit = next(rule for rule in turning_rules.TURNING_RULES if rule.key == "straight_running")
        out = limit.capacity(rig, "out")
        assert min(found.keeps_m_s or 70.0, found.turns_in_m_s or 70.0, 70.0) == pytest.approx(out, abs=0.05)


def test_the_map_is_the_roots_panel_row_by_row(facts):
    heavy = with_values(facts, {"carried.towed.mass": 300.0})
    found = _start("damping_map", heavy)
    assert found.places_m[0] == pytest.approx(-0.42) and found.places_m[-1] == pytest.approx(2.29 + 0.5)
    for row, place in enumerate(found.places_m):
        speed = {"conditions.cruise_speed": float(found.speeds_m_s[20])}
        one = _start("yaw_roots", with_values(_loaded(facts, 300.0, place), speed))
        assert found.over.swing_damping[row, 20] == pytest.approx(
            one.here.swing_damping
        ) and found.over.largest_real_1_s[row, 20] == pytest.approx(one.here.largest_real_1_s)
        border = min(one.keeps_m_s, one.turns_in_m_s or 99.0)
        step = found.speeds_m_s[1] - found.speeds_m_s[0]
        assert border - step <= found.keeps_m_s[row] <= border + 1e-9
    assert 0 < running_straight.best_row(found) < 11  # the best place lies between both ends


def test_an_empty_towed_vehicle_still_has_a_map(facts):
    found = _start("damping_map", with_values(facts, {"carried.towed.mass": 0.0}))
    assert np.ptp(found.over.swing_damping, axis=0).max() == pytest.approx(0.0, abs=1e-9)


def test_locked_steering_swings_most_with_the_load_behind(facts, overloaded):
    # what the prediction of the map says is right
    for rig in (facts, overloaded):
        for mass in (100.0, 300.0):
            locked = _start(
                "damping_map", with_values(rig, {"carried.towed.mass": mass}), free_share=0.0
            ).over.swing_damping
            assert (locked[-1, 8:] == locked[:, 8:].min(axis=0)).all()


def test_the_readers_own_pair(facts):
    pair = turning_rules.turning_pair(facts)
    assert pair == pytest.approx((3.61, 1.27, 1.5 + 0.48 + 2.29, 2.29))
    assert steady_circle(9.0, pair) == _start("circle", facts, front_radius_m=9.0).circle
    out, back = (turning_rules.yaw_pair_of(facts, way) for way in ("out", "back"))
    # by hand: towed 1,470 + 60 + 13 kg, centre (690·2.29 + 60·2.3 - 13·0.48)/1543 = 1.1094 m behind its front
    # axle
    assert out.towed_mass_kg == pytest.approx(1543) and out.towed_centre_m == pytest.approx(
        1.98 + 1.1094, abs=1e-4
    )
    assert out.mass_kg - back.mass_kg == pytest.approx(45) and out.mass_kg == pytest.approx(
        1310 + 1060 + 82 + 68 + 130 + 45 + 13
    )
    assert 0 < modes(out, 23.6).swing_damping < 1 and divergence_speed_m_s(out) > 30
    bare = Facts(
        rig_from_data(
            {
                "tow_vehicle": {
                    "front_axle_empty": "1300 kg",
                    "rear_axle_empty": "1000 kg",
                    "wheelbase": "3.7 m",
                },
                "towed_vehicle": {
                    "front_axle_empty": "700 kg",
                    "rear_axle_empty": "650 kg",
                    "wheelbase": "2.4 m",
                },
            }
        )
    )
    for call in (lambda: turning_rules.turning_pair(bare), lambda: turning_rules.yaw_pair_of(bare, "out")):
        with pytest.raises(NotKnown):
            call()
    told = [*turning.your_turns_words(bare, "us"), *running_straight.your_running_words(bare, "us")]
    assert len(told) == 4 and all("not known" in line for line in told)
    whole = [
        *turning.your_turns_words(facts, "metric"),
        *running_straight.your_running_words(facts, "metric"),
    ]
    assert len(whole) == 8 and any("Backing straight from 2°" in line for line in whole)
