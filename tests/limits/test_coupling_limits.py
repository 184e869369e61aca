"""Every limit of bar and ball by hand on a rig of round figures, the ramp by code of its own; both ways, both
signs, the edge, the words, what is missing and what is assumed.

By hand: axle loads as in test_weights_limits.py. The springs give 1 cm for each 100 kg in front and for each
200 kg behind (98.0665 and 196.133 kN/m over 9.80665), so the axles sink
  there by -1.25 and 15.125 mm (-12.5 and 302.5 kg), home by 8.75 and 5.125 mm (87.5 and 102.5 kg)
and the receiver, a quarter of the wheelbase behind the rear axle, by r + (r - f)/4:
  there 19.21875 mm, home 4.21875 mm; ball 100 mm above the receiver: 580.78125 and 595.78125 mm
"""

import math

import numpy as np
import pytest
from scipy.optimize import brentq

from tests.limits.round_rig import M_IN, ROUND, asked, limit_of
from tests.rigs import changed, without
from towlib.limits.coupling_limits import (
    GEOMETRY_RULES,
    HARD_BRAKING_M_S2,
    best_mount_both_ways_m,
    best_mount_m,
    coupling_rules,
    empty_ball_height_m,
    level_words,
    prop_words,
    ramp_sweeps,
    receiver_height_m,
    vertical_kg,
)
from towlib.limits.limit import NOT_KNOWN, OVER, WAYS, WITHIN
from towlib.physics.hitch.bar_geometry import bar_slope_rad
from towlib.rig.facts import Facts, NotKnown

RULES = {rule.key: rule for rule in coupling_rules(Facts(ROUND))}
RECEIVER = dict(zip(WAYS, (0.5 - 0.01921875, 0.5 - 0.00421875), strict=True))
BALL = {way: height + 0.1 for way, height in RECEIVER.items()}
SLOPE = {way: math.asin((0.7 - height) / 1.5) for way, height in BALL.items()}
TOWED = {"out": 1460.0, "back": 1580.0}


# ---- the pair over a bend, once more: brackets of roots instead of steps, an arc about its centre ----


def _road_m(x, change, radius_m, sign):
    """Level, an arc, then a grade; sign +1 a dip, -1 a crest. The lines meet at 0."""
    angle = math.atan(change)
    start = -radius_m * math.tan(angle / 2)
    if x <= start:
        return 0.0
    if x >= start + radius_m * math.sin(angle):
        return sign * change * x
    return sign * (radius_m - math.sqrt(radius_m**2 - (x - start) ** 2))


def _extremes(rig, way):
    """Greatest tilt of the bar against the tow vehicle, and least clearance of hitch and bar, over dip and
    crest.
    """
    tow, towed, bar, hitch = rig.tow_vehicle, rig.towed_vehicle, rig.tow_bar, rig.hitch
    ball_m = RECEIVER[way] + hitch.ball_mount_change
    low_m = hitch.lowest_point_height - (hitch.receiver_height - RECEIVER[way])
    tilts, hitch_air, bar_air = [], [], []
    for sign in (1.0, -1.0):

        def road(x, sign=sign):
            return _road_m(x, rig.conditions.ramp_change, rig.conditions.ramp_radius, sign)

        def stand(x, apart, road=road):
            """Contact at x, the other wheel at a straight distance from it; the way the body points."""
            other = brentq(
                lambda u: math.hypot(u - x, road(u) - road(x)) - abs(apart), *sorted((x, x + 1.2 * apart))
            )
            along = np.array([other - x, road(other) - road(x)]) / apart
            return np.array([x, road(x)]), along, np.array([-along[1], along[0]])

        def pins_of(x, stand=stand):
            place, along, up = stand(x, -towed.wheelbase)
            return place + towed.bracket_ahead_of_front_axle * along + towed.bracket_height * up

        for rear in np.arange(-5.9, 8.0, 0.05):
            place, along, up = stand(rear, tow.wheelbase)
            ball = place - tow.ball_behind_rear_axle * along + ball_m * up
            low = place - tow.ball_behind_rear_axle * along + low_m * up
            front = brentq(
                lambda x, ball=ball: math.dist(ball, pins_of(x)) - bar.length,
                ball[0] - bar.length - towed.bracket_ahead_of_front_axle - 0.4,
                ball[0] - towed.bracket_ahead_of_front_axle - 0.3,
            )
            pins = pins_of(front)
            slope = math.atan2(pins[1] - ball[1], ball[0] - pins[0])
            tilts.append(abs(slope + math.atan2(along[1], along[0])))
            hitch_air.append(low[1] - road(low[0]))
            points = (ball + share * (pins - ball) for share in np.linspace(0, 1, 13))
            bar_air.append(min(p[1] - road(p[0]) for p in points) - bar.depth / 2)
    return max(tilts), min(hitch_air), min(bar_air)


def _ramp(rig, way):
    """Asked and allowed of the two limits of the ramp, from the extremes above."""
    tilt, hitch_m, bar_m = _extremes(rig, way)
    low_m = rig.hitch.lowest_point_height - (rig.hitch.receiver_height - RECEIVER[way])
    return tilt, low_m - min(hitch_m, bar_m), low_m


# a deep bar between low brackets comes nearer the road than the hitch, and a crest bends it the other way
LOW_BAR = changed(changed(ROUND, "tow_bar.depth", 0.3), "towed_vehicle.bracket_height", 0.35)
HIGH_BALL = changed(LOW_BAR, "hitch.ball_mount_change", 0.2)


@pytest.fixture(scope="module")
def ramps():
    driven = [(ROUND, "out"), (ROUND, "back"), (LOW_BAR, "out"), (HIGH_BALL, "back")]
    return [(rig, way, *_ramp(rig, way)) for rig, way in driven]


def test_tilt_and_clearance_over_the_ramp_by_other_code(ramps):
    # both codes drive in steps, of 0.1 and 0.05 m: between two of them lie 0.01 degrees and half a millimetre
    for rig, way, tilt, lost_m, low_m in ramps:
        assert asked(RULES["bar_tilt"], rig, way)[0] == pytest.approx(tilt, abs=math.radians(0.01))
        assert asked(RULES["ramp_clearance"], rig, way) == pytest.approx((lost_m, low_m), abs=5e-4)
    (_, _, tilt_out, lost_out, low_out), (_, _, tilt_back, lost_back, low_back), *_ = ramps
    assert limit_of(RULES["bar_tilt"], ROUND).way == ("out" if tilt_out > tilt_back else "back")
    nearer = "out" if lost_out / low_out > lost_back / low_back else "back"
    assert limit_of(RULES["ramp_clearance"], ROUND).way == nearer


def test_the_low_bar_is_what_comes_nearest_and_the_high_ball_bends_down():
    # so that the three rigs above ask for the hitch, for the bar, and for both signs of the tilt
    (dip, _), (low, _) = (ramp_sweeps(Facts(rig), "out") for rig in (ROUND, LOW_BAR))
    assert (dip.nearest, low.nearest) == ("hitch", "bar")
    up, down = ramp_sweeps(Facts(HIGH_BALL), "out")
    assert -down.tilt_down_rad > max(up.tilt_up_rad, down.tilt_up_rad)


def test_slope_vertical_load_spread_and_d_value_by_hand():
    for way in WAYS:
        assert asked(RULES["bar_slope"], ROUND, way) == pytest.approx((SLOPE[way], math.radians(6.0)))
        # D = g T R / (T + R), the regulation's own g (check value list): by the permissible masses
        assert asked(RULES["d_value"], ROUND, way) == pytest.approx((9.81 * 3000 * 1900 / 4900, 15e3))
    assert asked(RULES["bracket_spread_least"], ROUND, "out") == (0.5, 0.6)
    assert asked(RULES["bracket_spread_most"], ROUND, "out") == (0.6, 0.9)
    assert HARD_BRAKING_M_S2 == 0.5 * 9.80665  # common practice: an unbraked push at half of g
    # a tape measures the same there and home
    assert {key for key, rule in RULES.items() if not rule.per_way} == {
        "bracket_spread_least",
        "bracket_spread_most",
    }
    # 4.56 and 3.98 degrees: there is worse
    assert [round(math.degrees(SLOPE[way]), 2) for way in WAYS] == [4.56, 3.98]
    assert limit_of(RULES["bar_slope"], ROUND).way == "out"
    assert all(limit_of(rule, ROUND).answer == WITHIN for rule in RULES.values())


@pytest.mark.parametrize("bracket_m", [0.7, 0.48])
@pytest.mark.parametrize("grade", [0.0, 0.08])
def test_what_braking_puts_on_the_receiver_by_hand(bracket_m, grade):
    # 10 kg of the bar rest there. 8 m/s² alone, 2,490 of 3,950 kg brake: 5.04 m/s², and the grade's part
    # of g besides; that push climbs the bar by its slope's tangent
    rig = changed(ROUND, "towed_vehicle.bracket_height", bracket_m)
    slowing = 8.0 * 2490.0 / 3950.0 + 9.80665 * grade / math.hypot(1.0, grade)
    tangent = abs(math.tan(math.asin((bracket_m - BALL["out"]) / 1.5)))
    assert vertical_kg(Facts(rig), "out", descent=-grade) == pytest.approx(
        10.0 + 1460.0 * slowing / 9.80665 * tangent, rel=1e-9
    )


def test_brackets_below_the_ball_count_as_much_and_home_is_then_worse():
    low = changed(ROUND, "towed_vehicle.bracket_height", 0.48)
    for way in WAYS:
        slope = math.asin((BALL[way] - 0.48) / 1.5)
        assert asked(RULES["bar_slope"], low, way)[0] == pytest.approx(slope)
    assert limit_of(RULES["bar_slope"], low).way == "back"
    level = changed(ROUND, "towed_vehicle.bracket_height", BALL["out"])
    assert asked(RULES["bar_slope"], level, "out")[0] == pytest.approx(0.0, abs=1e-15)


@pytest.mark.parametrize(
    ("tow", "towed", "out", "back"),
    [
        # heavier than permitted on a way: that weight counts; 2490 and 2390, 1460 and 1580 kg as driven
        (2400.0, 1900.0, (2490, 1900), (2400, 1900)),
        (3000.0, 1500.0, (3000, 1500), (3000, 1580)),
        (2400.0, 1500.0, (2490, 1500), (2400, 1580)),
        (2000.0, 1000.0, (2490, 1460), (2390, 1580)),
    ],
)
def test_a_trip_heavier_than_permitted_counts_in_the_d_value(tow, towed, out, back):
    rig = changed(changed(ROUND, "tow_vehicle.gvwr", tow), "towed_vehicle.gvwr", towed)
    found = {way: 9.81 * t * r / (t + r) for way, (t, r) in zip(WAYS, (out, back), strict=True)}
    for way in WAYS:
        assert asked(RULES["d_value"], rig, way)[0] == pytest.approx(found[way], rel=1e-12)
    assert limit_of(RULES["d_value"], rig).way == max(WAYS, key=found.__getitem__)


def test_only_a_coupling_that_says_it_has_no_d_value_is_not_asked_for_one():
    keys = [rule.key for rule in coupling_rules(Facts(changed(ROUND, "hitch.d_value_stamped", False)))]
    assert keys == [key for key in RULES if key != "d_value"] == [rule.key for rule in GEOMETRY_RULES]
    for stamped in (None, True):
        rig = changed(without(ROUND, "hitch.d_value_rating"), "hitch.d_value_stamped", stamped)
        rules = {rule.key: rule for rule in coupling_rules(Facts(rig))}
        assert limit_of(rules["d_value"], rig).missing == "hitch.d_value_rating"


RATING = {
    "bar_slope": "tow_bar.greatest_slope",
    "bracket_spread_most": "tow_bar.widest_spread",
    "bracket_spread_least": "towed_vehicle.bracket_spread",
    "bar_tilt": "tow_bar.greatest_pitch",
    "d_value": "hitch.d_value_rating",
}


@pytest.mark.parametrize("key", RATING)
def test_within_at_what_is_allowed_and_over_just_above(key):
    most = max(asked(RULES[key], ROUND, way)[0] for way in WAYS)
    assert limit_of(RULES[key], changed(ROUND, RATING[key], most)).answer == WITHIN
    assert limit_of(RULES[key], changed(ROUND, RATING[key], math.nextafter(most, 0.0))).answer == OVER


def test_a_hitch_that_just_touches_the_ramp_is_within_and_lower_is_over():
    rig, rule = ROUND, RULES["ramp_clearance"]
    for _ in range(4):  # lowered by what is left of its room, until it touches
        rig = changed(
            rig, "hitch.lowest_point_height", rig.hitch.lowest_point_height - limit_of(rule, rig).room
        )
    touching = rig.hitch.lowest_point_height
    # the tail swings down by some overhang times grade, 1 m of 12 %, and the springs by 19 mm
    assert 0.1 < touching < 0.16
    for off, expected in ((1e-6, WITHIN), (-1e-6, OVER)):
        found = limit_of(rule, changed(rig, "hitch.lowest_point_height", touching + off))
        assert found.answer == expected
        assert found.answer_text().startswith(f"{expected} by 0.00")  # millimetres


@pytest.mark.parametrize(
    ("key", "off", "metric", "us"),
    [
        ("bar_slope", math.radians(2.0), "2 °", "2 °"),
        ("bar_tilt", math.radians(3.0), "3 °", "3 °"),
        ("bracket_spread_most", 0.1, "100 mm", f"{0.1 / M_IN:.2f} in"),  # 3.94
        ("bracket_spread_least", -0.1, "100 mm", f"{0.1 / M_IN:.2f} in"),
        ("d_value", 2000.0, "2,000 N", f"{2000 / 4.4482216152605:.0f} lbf"),  # 450
    ],
)
def test_the_words(key, off, metric, us):
    most = max(asked(RULES[key], ROUND, way)[0] for way in WAYS)
    for sign, word in ((1.0, "within"), (-1.0, "over")):
        sign = -sign if off < 0 else sign
        rig = changed(ROUND, RATING[key], most + sign * abs(off))
        word = {WITHIN: "over", OVER: "within"}[word] if off < 0 else word
        found = limit_of(RULES[key], rig)
        assert found.answer_text() == f"{word} by {metric}" and found.answer_text("us") == f"{word} by {us}"


LOADED = (
    "tow_vehicle.front_axle_empty",
    "tow_vehicle.rear_axle_empty",
    "tow_vehicle.wheelbase",
    "tow_vehicle.ball_behind_rear_axle",
    "tow_vehicle.front_spring_rate",
    "tow_vehicle.rear_spring_rate",
    "hitch.receiver_height",
)
SIDE_VIEW = (*LOADED, "hitch.ball_mount_change", "towed_vehicle.bracket_height", "tow_bar.length")
RAMP = (
    *SIDE_VIEW,
    "conditions.ramp_change",
    "hitch.lowest_point_height",
    "towed_vehicle.bracket_ahead_of_front_axle",
    "towed_vehicle.wheelbase",
)
TOWED_WEIGHT = ("towed_vehicle.front_axle_empty", "towed_vehicle.rear_axle_empty")
NEEDS = {
    "bar_slope": (*SIDE_VIEW, "tow_bar.greatest_slope"),
    "bracket_spread_least": ("tow_bar.narrowest_spread", "towed_vehicle.bracket_spread"),
    "bracket_spread_most": ("tow_bar.widest_spread", "towed_vehicle.bracket_spread"),
    "bar_tilt": (*RAMP, "tow_bar.greatest_pitch"),
    "ramp_clearance": RAMP,
    "d_value": (*LOADED[:2], *TOWED_WEIGHT, "tow_vehicle.gvwr", "towed_vehicle.gvwr", "hitch.d_value_rating"),
}
STARRED = {
    "bar_slope": ("tow_bar.mass",),
    "bar_tilt": ("tow_bar.mass", "tow_bar.depth", "conditions.ramp_radius"),
    "ramp_clearance": ("tow_bar.mass", "tow_bar.depth", "conditions.ramp_radius"),
    "d_value": ("tow_bar.mass",),
}


@pytest.mark.parametrize(("key", "path"), [(key, path) for key, paths in NEEDS.items() for path in paths])
def test_without_a_field_it_hangs_on_it_is_not_known(key, path):
    found = limit_of(RULES[key], without(ROUND, path))
    assert (found.answer, found.missing) == (NOT_KNOWN, path)
    assert found.answer_text() == f"not known ({path})"


def test_every_coupling_limit_has_its_needs_here():
    assert set(NEEDS) == set(RULES)


@pytest.mark.parametrize(("key", "path"), [(key, path) for key, paths in STARRED.items() for path in paths])
def test_what_is_assumed_is_starred(key, path):
    found = limit_of(RULES[key], without(ROUND, path))
    assert found.assumed == (path,) and found.plain != NOT_KNOWN
    assert limit_of(RULES[key], ROUND).assumed == ()


# ---- words ----


def test_the_ball_mount_that_levels_the_bar_in_words():
    # brackets 219.2 mm above the loaded receiver: 8 in (203.2) leave 16.0 mm, asin(16.0/1500) = 0.6 degrees
    assert level_words(Facts(ROUND), "out") == (
        "A rise of 8 in (203 mm), if its maker rates one for the weight, would leave the loaded bar at +0.6°;"
        " with the present mount it slopes +4.6° (+: brackets higher than the ball)."
    )
    # 80.8 mm below: a drop of 3 in (76.2) leaves -4.6 mm, -0.2 degrees; now asin(-180.8/1500) = -6.9
    low = level_words(Facts(changed(ROUND, "towed_vehicle.bracket_height", 0.4)), "out")
    assert low.startswith("A drop of 3 in (76 mm)") and " at -0.2°;" in low and "slopes -6.9° " in low
    level = level_words(Facts(changed(ROUND, "towed_vehicle.bracket_height", 0.485)), "out")
    assert level.startswith("A straight ball mount, if its maker")


def test_a_mount_that_does_not_level_the_bar_enough_says_so():
    # brackets 1.0 m up: 519.2 mm, less 10 in (254): asin(265.2/1500) = 10.2 degrees, and 6 are allowed
    high = changed(ROUND, "towed_vehicle.bracket_height", 1.0)
    assert "would leave the loaded bar at +10.2°, still over the 6.0° that its maker allows; with" in (
        level_words(Facts(high), "out")
    )
    # and as far below: a drop of 10 in (254) leaves -1.6 mm of 480.8 - 225.2
    low = changed(ROUND, "towed_vehicle.bracket_height", 0.05)
    assert "at -6.8°, still over the 6.0°" in level_words(Facts(low), "out")
    assert "still over" not in level_words(Facts(without(high, "tow_bar.greatest_slope")), "out")
    # allowed exactly what is left is not over
    best_m = receiver_height_m(Facts(high), "out") + best_mount_m(Facts(high), "out")
    left = bar_slope_rad(best_m, 1.0, bar_length_m=1.5)
    assert left == pytest.approx(math.asin((1.0 - RECEIVER["out"] - 0.254) / 1.5))
    for greatest, over in ((left, False), (math.nextafter(left, 0.0), True)):
        words = level_words(Facts(changed(high, "tow_bar.greatest_slope", greatest)), "out")
        assert ("still over" in words) == over


@pytest.mark.parametrize("sign", [1, -1])
@pytest.mark.parametrize("inches", [0, 1, 2, 3, 4, 5, 6, 8, 10])
def test_each_step_that_is_sold_is_chosen_where_it_fits(inches, sign):
    # common practice, no source: these steps
    fits = RECEIVER["out"] + sign * inches * M_IN
    assert best_mount_m(Facts(changed(ROUND, "towed_vehicle.bracket_height", fits)), "out") == pytest.approx(
        sign * inches * M_IN
    )


def test_the_mount_for_both_ways_goes_by_the_middle_of_both_heights():
    # brackets 230.0 mm above the receiver there, 215.0 home: 10 in there, but 8 (203.2) for 222.5 in the mean
    rig = changed(ROUND, "towed_vehicle.bracket_height", RECEIVER["out"] + 0.230)
    assert best_mount_m(Facts(rig), "out") == pytest.approx(10 * M_IN)
    assert best_mount_both_ways_m(Facts(rig)) == pytest.approx(8 * M_IN)


def test_words_without_what_they_need():
    assert level_words(Facts(without(ROUND, "tow_bar.length")), "out") == (
        "Best ball mount: not known (tow_bar.length)."
    )
    short = changed(changed(ROUND, "tow_bar.length", 0.3), "towed_vehicle.bracket_height", 1.1)
    assert "cannot bridge a difference in height" in level_words(Facts(short), "out")
    with pytest.raises(NotKnown, match="cannot bridge"):
        best_mount_m(Facts(short), "out")
    assert prop_words(Facts(without(ROUND, "hitch.ball_diameter"))).startswith(
        "Coupling alone"
    )  # assumed: 2 in
    assert prop_words(Facts(without(ROUND, "hitch.receiver_height"))) == (
        "Prop for coupling alone: not known (hitch.receiver_height)."
    )
    assert prop_words(Facts(short)).startswith("Prop for coupling alone: not possible, a bar 0.30 m long")


def test_the_prop_by_hand():
    # unloaded the ball stands 500 + 100 mm up; half of a 50 mm ball and 20 mm of air on it: 645 mm, 25.4 in
    assert empty_ball_height_m(Facts(ROUND)) == pytest.approx(0.6)
    assert prop_words(Facts(ROUND)) == (
        "Coupling alone: prop the bar so that the coupler's lower edge stands 645 mm (25.4 in) above the"
        " road."
    )


@pytest.mark.parametrize("key", ["bar_tilt", "ramp_clearance", "bar_slope"])
def test_a_bar_that_cannot_reach_is_one_plain_sentence(key):
    short = changed(changed(ROUND, "tow_bar.length", 0.3), "towed_vehicle.bracket_height", 1.1)
    found = limit_of(RULES[key], short)
    assert found.answer == NOT_KNOWN and found.missing.startswith("a bar 0.30 m long cannot bridge")
