"""Lesson 02: what its panels compute, by hand and beside the plan."""

import math

import pytest

from towlib.lessons.declare import with_values
from towlib.lessons.l02_hitch import hitch_geometry as hitch
from towlib.limits.coupling_limits import coupling_rules, level_words, prop_words, ramp_sweeps
from towlib.limits.decision import answer
from towlib.rig.facts import Facts, NotKnown
from towlib.rig.model import load_rig
from towlib.units import show

G = 9.80665
# of the comfortable demo: empty axles 1310 and 1060 kg, wheelbase 3.61 m, ball 1.27 m behind the rear axle
WHEELBASE, OVERHANG = 3.61, 1.27


@pytest.fixture(params=["demo_comfortable", "demo_overloaded"])
def facts(request):
    return Facts(load_rig(f"data/rigs/{request.param}.toml"))


@pytest.fixture
def comfortable():
    return Facts(load_rig("data/rigs/demo_comfortable.toml"))


def test_squat_and_slope_by_hand(comfortable):
    # half the bar on the ball, two people, tools, and what is used up on the way
    items = [(13.0, WHEELBASE + OVERHANG), (82, 1.75), (68, 1.75), (130, 3.1), (45, 2.9)]
    rear = sum(mass * place / WHEELBASE for mass, place in items)
    front = sum(mass for mass, _ in items) - rear
    front_m, rear_m = front * G / 98e3, rear * G / 81e3
    squat = rear_m + (rear_m - front_m) * OVERHANG / WHEELBASE
    found = hitch.side_view(comfortable, deceleration_m_s2=5.0)
    assert found.squat_m == pytest.approx(squat, rel=1e-9)
    slope = math.asin((0.56 - (0.48 + 4 * 0.0254 - squat)) / 1.5)
    assert found.slope_rad == pytest.approx(slope, rel=1e-9)
    pressed = (780 + 690 + 60 + 13) * 5.0 * math.tan(slope)
    assert found.on_ball_n == pytest.approx(pressed)
    assert found.front_change_n == pytest.approx(-pressed * OVERHANG / WHEELBASE)
    assert found.rear_change_n == pytest.approx(pressed * (1 + OVERHANG / WHEELBASE))


def test_the_panels_say_what_the_plan_says(facts):
    limits = {rule.key: answer(rule, facts) for rule in coupling_rules(facts)}
    side = hitch.side_view(facts, deceleration_m_s2=0.5 * G)
    assert abs(side.slope_rad) <= limits["bar_slope"].demand + 1e-12  # the closer of both ways
    assert f"{math.degrees(side.best.slope_rad):+.1f}°" in level_words(facts, "out")
    prop = hitch.propped(facts, prop_behind_coupler_m=0.3, gap_m=0.02).prop
    assert f"{prop.coupler_edge_height_m * 1000:.0f} mm" in prop_words(facts)
    spread = hitch.bracket_spread(facts, pull_n=0.0, side_n=1000.0)
    within = [limits[f"bracket_spread_{end}"].answer == "within" for end in ("least", "most")]
    assert spread.fits is all(within)


def test_the_ramp_of_the_rig_is_that_of_the_plan(comfortable):
    dip, crest = ramp_sweeps(comfortable, "out")
    foot, top = (
        hitch.on_bend(comfortable, road=road, grade_change=0.12, radius_m=6.0, place_m=0.0).swept
        for road in ("foot of a ramp", "top of a ramp")
    )
    assert foot.hitch_clearance_m == pytest.approx(dip.hitch_clearance_m, abs=1e-3)
    assert foot.tilt_up_rad == pytest.approx(dip.tilt_up_rad, abs=1e-3)
    assert top.tilt_down_rad == pytest.approx(crest.tilt_down_rad, abs=2e-3)  # another place of the same bend


def test_a_side_force_by_length_over_spread(comfortable):
    for spread in (0.3, 0.7, 1.2):
        moved = with_values(comfortable, {"towed_vehicle.bracket_spread": spread})
        arms = hitch.bracket_spread(moved, pull_n=0.0, side_n=1500.0).arms
        assert arms.right_n == pytest.approx(1500 * math.hypot(1.5, spread / 2) / spread) == -arms.left_n


def test_the_hitch_is_nearest_when_the_rear_wheels_reach_the_foot(facts):
    found = hitch.on_bend(facts, road="foot of a ramp", grade_change=0.12, radius_m=6.0, place_m=0.0)
    shares = [found.pose.hitch_clearance_m[0]]
    for place in (-3.0, -1.5, 1.5, 3.0):
        there = hitch.on_bend(facts, road="foot of a ramp", grade_change=0.12, radius_m=6.0, place_m=place)
        shares.append(there.pose.hitch_clearance_m[0])
    assert min(shares) == shares[0] and abs(found.swept.nearest_at_m) < 1.0


def test_what_is_not_known_is_said_and_stops_only_what_needs_it(comfortable):
    less = with_values(comfortable, {"tow_bar.greatest_slope": None, "tow_bar.widest_spread": None})
    said = hitch.side_view_words(hitch.side_view(less, deceleration_m_s2=5.0), "metric")
    assert "what the bar allows is not known" in said
    spread = hitch.bracket_spread(less, pull_n=0.0, side_n=0.0)
    assert spread.fits is None and "not known" in hitch.bracket_spread_words(spread, "metric")
    soft = with_values(comfortable, {"tow_vehicle.rear_spring_rate": None})
    with pytest.raises(NotKnown, match="rear_spring_rate"):
        hitch.side_view(soft, deceleration_m_s2=5.0)
    # the prop does not hang on the springs
    assert hitch.propped(soft, prop_behind_coupler_m=0.3, gap_m=0.02).sinks_m is None
    assert "Loaded" not in hitch.propped_seen(soft, "metric")


def test_impossible_settings_are_one_sentence(comfortable):
    wide = with_values(comfortable, {"towed_vehicle.bracket_spread": 1.6})
    with pytest.raises(ValueError, match="shorter than the spread"):
        hitch.bracket_spread(wide, pull_n=0.0, side_n=0.0)
    deep = with_values(comfortable, {"hitch.receiver_height": 0.3, "hitch.ball_mount_change": -0.35})
    with pytest.raises(ValueError, match="in the road"):
        hitch.side_view(deep, deceleration_m_s2=5.0)
    with pytest.raises(ValueError, match="in the road"):
        hitch.propped(deep, prop_behind_coupler_m=0.3, gap_m=0.02)


def test_words_of_a_rig_name_what_is_missing(comfortable):
    from towlib.road.route import load_route

    road = load_route("data/routes/short_steep_pass.csv")
    lines = hitch.own_hitch_words(comfortable.rig, road, "metric")
    assert len(lines) == 4 and "above it" in lines[2]
    dip, _ = ramp_sweeps(comfortable, "out")
    assert show(min(dip.hitch_clearance_m, dip.bar_clearance_m), "size") in lines[2]
    flat = comfortable.rig.model_copy(
        update={"conditions": comfortable.rig.conditions.model_copy(update={"ramp_change": None})}
    )
    assert "not known (sharpest change of grade" in hitch.own_hitch_words(flat, road, "metric")[2]
