"""Panels of lesson 07: what they show agrees with figures by hand, with the lesson's own words and with each
other.
"""

import math

import numpy as np
import pytest

from towlib.draw.figures import Picture
from towlib.lessons.l07_turning import running_straight, turning_pictures
from towlib.lessons.l07_turning import turning_panels as turning
from towlib.limits import turning_limits as turning_rules
from towlib.physics.turning.circle import steady_circle
from towlib.physics.turning.yaw import divergence_speed_m_s, modes
from towlib.rig.facts import Facts, NotKnown
from towlib.rig.model import load_rig, rig_from_data

RAD = math.radians
SHAPE = {"wheelbase_m": 3.75, "overhang_m": 1.32, "bar_length_m": 1.5, "towed_wheelbase_m": 2.36}
CIRCLE = SHAPE | {"front_radius_m": 9.0, "steer_lock_rad": RAD(33), "allowed_rad": RAD(60)}
WAY = CIRCLE | {
    "way": "hairpin of 180°",
    "front_radius_m": 8.0,
    "ease_m": 3.0,
    "lane_width_m": 4.5,
    "place_share": 0.5,
}
BACK = SHAPE | {
    "start_rad": RAD(2),
    "turned_share": 0.0,
    "tow_lock_rad": RAD(35),
    "limit_rad": RAD(60),
    "at_m": 10.0,
}
ROOTS = {
    "towed_kg": 1460.0,
    "load_kg": 150.0,
    "load_at_m": 2.3,
    "behind_kg": 0.0,
    "rear_share": 1.0,
    "towed_share": 1.0,
    "free_share": 1.0,
    "asked": 0.3,
    "speed_m_s": 85 / 3.6,
}
MAP = {
    "towed_kg": 1460.0,
    "load_kg": 300.0,
    "behind_kg": 0.0,
    "rear_share": 1.0,
    "free_share": 1.0,
    "asked": 0.3,
    "load_at_m": 2.3,
    "speed_m_s": 85 / 3.6,
}


def test_the_circle_by_hand():
    # by hand: R_r = sqrt(81 - 14.0625) = 8.18153; R_h² = 66.9375 + 1.7424 = 68.6799; R_t = sqrt(68.6799 -
    # 4.34²) = 7.05999;
    # inner wheel atan(2.36/(7.05999 - 0.71)) = 20.39°; covered: hypot(9.18153, 4.6) - (7.05999 - 0.825) =
    # 10.2693 - 6.2350
    turn = turning.circle(**CIRCLE)
    assert turn.circle.towed_rear_m == pytest.approx(7.05999, abs=1e-4) and math.degrees(
        turn.steer_rad
    ) == pytest.approx(20.39, abs=0.01)
    assert turn.ring.width_m == pytest.approx(4.0343, abs=1e-3)
    assert "7.07 m, set by steering lock" in turning.circle_words(turn, "metric")
    over = turning.circle(**CIRCLE | {"front_radius_m": 6.5})
    assert "OVER by 6.5°" in turning.circle_words(over, "us") and "OVER by 9.0°" in turning.circle_words(
        over, "us"
    )
    with pytest.raises(ValueError, match="fold up"):
        turning.circle(**CIRCLE | {"front_radius_m": 5.5})


def test_a_bend_never_asks_more_than_the_steady_turn_but_for_the_hand_at_its_end():
    steady = turning.circle(**CIRCLE | {"front_radius_m": 8.0})
    hairpin, corner = (turning.path(**WAY | {"way": way}) for way in ("hairpin of 180°", "corner of 90°"))
    angles = [np.abs(way.track.articulation_rad).max() for way in (corner, hairpin)]
    assert angles[0] < angles[1] < steady.circle.articulation_rad
    assert corner.room.width_m < hairpin.room.width_m < steady.ring.width_m + 0.02
    assert "within by 0.121 m" in turning.path_words(hairpin, "metric")
    assert "OVER by" in turning.path_words(turning.path(**WAY | {"front_radius_m": 7.0}), "us")
    bends = turning.path(**WAY | {"way": "S-bend, 60° and back"})
    assert bends.room.left_m.max() == pytest.approx(
        -bends.room.right_m.min(), abs=0.05
    )  # the same bend to either side
    assert bends.track.heading_rad[-1] == pytest.approx(0.0, abs=1e-9)


def test_the_drawn_wheels_roll_where_the_steady_turn_says():
    inner, outer = turning_pictures._wheels(8.0, 2.4, 1.4)
    assert (inner, outer) == pytest.approx((math.atan(2.4 / 7.3), math.atan(2.4 / 8.7)))
    assert turning_pictures._wheels(-8.0, 2.4, 1.4) == pytest.approx((-outer, -inner))


def test_drawn_vehicles_are_joined_at_the_ball():
    picture, drawing = (
        Picture(turning_pictures.CircleDrawing.size_in, frames=2),
        turning_pictures.CircleDrawing(),
    )
    drawing.build(picture, "metric")
    turn = turning.circle(**CIRCLE)
    drawing.update(picture, turn, "metric")
    ball, bar, towed = (picture._moving[name][1][0].get_xy() for name in ("ball", "bar", "towed"))
    assert np.mean(ball[:-1], axis=0) == pytest.approx((1.32, 0.0), abs=0.02)  # drawn driving to the left
    centre = np.array([0.0, -turn.circle.rear_m])
    # the towed rear axle lies on its circle: tail and nose corners 0.5 m behind and 2.78 m ahead of it
    tail = (towed[0] + towed[5]) / 2
    assert math.hypot(*(tail - centre)) == pytest.approx(math.hypot(turn.circle.towed_rear_m, 0.5), abs=1e-6)
    assert math.dist((bar[0] + bar[3]) / 2, (bar[1] + bar[2]) / 2) == pytest.approx(1.5)


def test_backing_by_hand_and_in_words():
    # by hand: 4.34·ln(tan 30°/tan 1°) = 15.185 m; a small angle doubles every 4.34·ln 2 = 3.008 m
    straight = turning.reversing(**BACK)
    assert straight.limit_m == pytest.approx(15.185, abs=1e-3) and "every 3.01 m" in turning.reversing_words(
        straight, "metric"
    )
    assert not straight.crosses and straight.beyond_help_m > straight.limit_m
    right = turning.reversing(**BACK | {"turned_share": 1.0})
    assert right.crosses and "on the other side after 3.27 m" in turning.reversing_words(right, "metric")
    wrong = turning.reversing(**BACK | {"turned_share": -1.0})
    assert wrong.limit_m < right.limit_m < straight.limit_m and not wrong.crosses
    beyond = turning.reversing(**BACK | {"start_rad": RAD(30), "tow_lock_rad": RAD(20)})
    assert beyond.beyond_help_rad < RAD(35)
    assert "it starts there" in turning.reversing_words(beyond._replace(start_rad=RAD(40)), "metric")
    assert "any angle" in turning.reversing_words(
        turning.reversing(**BACK | {"tow_lock_rad": RAD(42), "wheelbase_m": 2.6}), "metric"
    )


def test_what_moves_which_limit():
    front, middle, back = (
        running_straight.yaw_roots(**ROOTS | {"load_kg": 400.0, "load_at_m": at}) for at in (0.0, 1.2, 3.2)
    )
    assert (
        front.turns_in_m_s < middle.turns_in_m_s < back.turns_in_m_s
        and back.here.swing_damping < middle.here.swing_damping
    )
    base = running_straight.yaw_roots(**ROOTS)
    for change in ({"rear_share": 0.8}, {"towed_kg": 2000.0}, {"behind_kg": 300.0}):
        assert running_straight.yaw_roots(**ROOTS | change).turns_in_m_s < base.turns_in_m_s
    assert (
        running_straight.yaw_roots(**ROOTS | {"free_share": 0.0}).here.swing_damping < base.here.swing_damping
    )
    words = running_straight.yaw_roots_words(
        running_straight.yaw_roots(**ROOTS | {"rear_share": 0.7}), "metric"
    )
    assert "GROWS, doubling in 2.2 s" in words and "turns in by itself above 73.1 km/h" in words


def test_the_map_is_the_roots_panel_row_by_row():
    found = running_straight.damping_map(**MAP)
    for row, place in enumerate(running_straight.PLACES_M):
        one = running_straight.yaw_roots(
            **ROOTS | {"load_kg": 300.0, "load_at_m": place, "speed_m_s": float(found.speeds_m_s[20])}
        )
        assert found.over.swing_damping[row, 20] == pytest.approx(
            one.here.swing_damping
        ) and found.over.largest_real_1_s[row, 20] == pytest.approx(one.here.largest_real_1_s)
        border = min(one.keeps_m_s, one.turns_in_m_s or 99.0)
        step = found.speeds_m_s[1] - found.speeds_m_s[0]
        assert border - step <= found.keeps_m_s[row] <= border + 1e-9
    best = max(range(12), key=lambda i: found.keeps_m_s[i])
    assert 0 < best < 11  # the best place lies between both ends


def test_the_readers_own_pair(data_folder):
    facts = Facts(load_rig(data_folder / "rigs" / "demo_comfortable.toml"))
    pair = turning_rules.turning_pair(facts)
    assert pair == pytest.approx((3.75, 1.32, 1.5 + 0.48 + 2.36, 2.36))
    assert steady_circle(9.0, pair).articulation_rad == pytest.approx(
        turning.circle(**CIRCLE).circle.articulation_rad
    )
    out, back = (turning_rules.yaw_pair_of(facts, way) for way in ("out", "back"))
    # by hand: towed 1,460 + 60 + 13 kg, centre (700·2.36 + 60·2.3 - 13·0.48)/1533 = 1.1636 m behind its front
    # axle
    assert out.towed_mass_kg == pytest.approx(1533) and out.towed_centre_m == pytest.approx(
        1.98 + 1.1636, abs=1e-4
    )
    assert out.mass_kg - back.mass_kg == pytest.approx(45) and out.mass_kg == pytest.approx(
        1340 + 1010 + 82 + 68 + 130 + 45 + 13
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
