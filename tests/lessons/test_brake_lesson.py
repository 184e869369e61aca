"""Lesson 05: the panels by hand and against the plan, the sentences on one's own rig, the predictions."""

import math
import re

import numpy as np
import pytest

from towlib.lessons.declare import with_values
from towlib.lessons.index import lesson_of
from towlib.lessons.l05_brakes import (
    brake_exercises,
    brake_road,
    brake_soak,
    descent_budget,
    gear_speed_map,
    own_brakes,
    stopping_pictures,
)
from towlib.limits.legs import drive_as, drive_leg, pair_on_road
from towlib.limits.stopping_limits import REACTION_S, steepest_down, stop_on
from towlib.physics.brakes.brake_fluid import heat_soak
from towlib.physics.brakes.stops import pair_stopping_distance_m
from towlib.rig.facts import Facts, NotKnown
from towlib.rig.model import load_rig
from towlib.road.route import load_route

NAMES = ("demo_comfortable", "demo_overloaded")
RIGS = {name: load_rig(f"data/rigs/{name}.toml") for name in NAMES}
ROAD = load_route("data/routes/short_steep_pass.csv")
G = 9.80665


def _facts(name, **values):
    facts = Facts(RIGS[name])
    return with_values(facts, {path.replace("__", "."): value for path, value in values.items()})


def _without(rig, part, **change):
    """The rig with other or no values in a part of the tow vehicle or of the towed vehicle itself."""
    whole = rig.tow_vehicle if part else rig.towed_vehicle
    if part:
        changed = whole.model_copy(update={part: getattr(whole, part).model_copy(update=change)})
        return rig.model_copy(update={"tow_vehicle": changed})
    return rig.model_copy(update={"towed_vehicle": whole.model_copy(update=change)})


def test_own_lines_name_what_is_missing_in_words():
    bare = _without(RIGS["demo_overloaded"], "brakes", deceleration_alone=None)
    lines = "\n".join(own_brakes.own_brake_lines(Facts(bare), ROAD, "us"))
    assert "Not known: Tow vehicle alone, deceleration." in lines
    assert "nan" not in lines and "gear 6" in lines and "_vehicle." not in lines
    bare = _without(RIGS["demo_comfortable"], "brakes", front_heated_mass=None, rear_heated_mass=None)
    lines = "\n".join(own_brakes.own_brake_lines(Facts(bare), ROAD, "metric"))
    assert "front brakes not known (mass of both front discs or drums)" in lines and "Stop on" in lines


def test_own_stop_by_hand():
    # way out: 1,310 + 1,060 + 13 + 325 = 2,708 kg and 780 + 690 + 13 + 60 = 1,543 kg on the steepest 200 m;
    # the words must hold the distance of that deceleration
    facts = Facts(RIGS["demo_comfortable"])
    lines = own_brakes.own_brake_lines(facts, ROAD, "metric")
    dry = next(line for line in lines if "dry" in line)
    grade = steepest_down(ROAD, "out")
    most = stop_on(facts, "out", grade)
    speed = float(re.search(r"from ([\d.]+) km/h", dry)[1]) / 3.6
    distance = float(re.search(r"dry: ([\d.]+) m", dry)[1])
    assert distance == pytest.approx(2.5 * speed + speed**2 / 2 / most.deceleration_m_s2, rel=0.01)
    assert most.brakes_m_s2 == pytest.approx(
        7.5 * 2708 / 4251 - G * -grade / math.sqrt(1 + grade**2), rel=1e-9
    )


def test_runaway_by_hand():
    # in neutral the push m g (sin - c cos) meets half rho CdA v²
    facts = Facts(RIGS["demo_comfortable"])
    cosine = 1 / math.hypot(1, 0.07)
    # 2,708 kg on 0.012 and 1,543 kg on 0.015; 1.43 + 0.60 m²; air of 1.0 kg/m³
    push = G * cosine * (4251 * 0.07 - 2708 * 0.012 - 1543 * 0.015)
    settles = 3.6 * math.sqrt(push / (0.5 * 1.0 * 2.03))
    first, second = own_brakes.runaway_lines(facts, "metric")
    assert float(re.search(r"settle at ([\d.]+) km/h", first)[1]) == pytest.approx(settles, rel=0.01)
    assert "gear 1 at" in second and "gear 3 at" in second
    bare = _without(RIGS["demo_comfortable"], "engine", displacement=None)
    assert own_brakes.runaway_lines(Facts(bare), "metric") == ["Not known: swept volume."]


@pytest.mark.parametrize("name", NAMES)
def test_the_road_panel_says_what_the_plan_says(name):
    facts = Facts(RIGS[name])
    leg = drive_leg(facts, ROAD, "out")
    down = brake_road.pass_down()[0]  # its stretches are the last ones of the whole road
    assert [s[3:] for s in down.segments()] == [s[3:] for s in ROAD.segments()[-len(down.segments()) :]]
    panel = brake_road.along_the_road(facts, gear=0, place_m=0.0)
    assert panel.hottest_c[0] == pytest.approx(leg.highest_brake_c(0), abs=1.0)
    assert panel.hottest_c[1] == pytest.approx(leg.highest_brake_c(1), abs=1.0)
    # and in a gear of one's own, the whole road driven with that gear on its downgrades
    held = [3 if gear else 0 for gear in leg.descent_gear]
    trip = drive_as(leg.pair, ROAD, leg.air_c, leg.air_density_kg_m3, leg.target_m_s, held)
    panel = brake_road.along_the_road(facts, gear=3, place_m=0.0)
    assert panel.hottest_c[0] == pytest.approx(max(t[0] for t in trip.brake_c), abs=1.0)


def test_the_road_panel_refuses_a_gear_that_turns_the_engine_too_fast_and_asks_for_what_it_lacks():
    facts = _facts("demo_overloaded", conditions__descent_speed=60 / 3.6)
    with pytest.raises(ValueError, match="gear 1 would turn the engine past 80 %"):
        brake_road.along_the_road(facts, gear=1, place_m=0.0)
    fitted = _without(RIGS["demo_overloaded"], "", brakes_fitted=True, brake_share=None)
    with pytest.raises(NotKnown, match="towed_vehicle.brake_share"):
        brake_road.along_the_road(Facts(fitted), gear=3, place_m=0.0)
    fitted = _without(RIGS["demo_overloaded"], "", brakes_fitted=True, brake_heated_mass=None)
    panel = brake_road.along_the_road(Facts(fitted), gear=3, place_m=0.0)
    assert "the towed vehicle's not known" in brake_road.along_the_road_words(panel, "metric")


def test_other_figures_are_not_answered_from_the_drives_that_are_kept():
    found = {
        (path, value): brake_road.along_the_road(
            _facts("demo_overloaded", **{path: value}), gear=3, place_m=0.0
        )
        for path, value in (
            ("towed_vehicle__mass", 1500.0),
            ("towed_vehicle__mass", 1900.0),
            ("conditions__descent_speed", 8.0),
            ("conditions__air_temperature", 0.0),
            ("tow_vehicle__brakes__front_heated_mass", 20.0),
        )
    }
    assert len({panel.hottest_c[0] for panel in found.values()}) == len(found)


def test_the_fluid_table_agrees_with_the_soak_itself():
    for name, air_c in (("demo_overloaded", 30.0), ("demo_comfortable", 0.0)):
        facts = Facts(RIGS[name])
        front, side = descent_budget.braked_pair(facts).brakes[0], descent_budget.fluid_side(facts)
        for disc, fluid in ((180, 60), (350, 130), (520, 90), (610, 210)):
            itself = heat_soak(front, disc, fluid_c=fluid, air_c=air_c, side=side).highest_fluid_c
            read = gear_speed_map.highest_fluid_after_stop_c(
                np.array(disc), np.array(fluid), front=front, side=side, air_c=air_c
            )
            assert float(read) == pytest.approx(itself, abs=3.0)


def test_the_map_has_the_gears_of_the_rig_and_holds_each_axle_against_its_own_figure():
    maps = {
        name: gear_speed_map.gear_speed_map(Facts(RIGS[name]), length_m=8000, downgrade=0.07)
        for name in NAMES
    }
    assert [len(maps[name].found.gears) for name in NAMES] == [9, 6]
    hot = maps["demo_overloaded"]
    assert np.array_equal(hot.over, np.nan_to_num(hot.found.hottest_c) > 250.0)  # all three assumed alike
    better = _facts("demo_overloaded", tow_vehicle__brakes__highest_front=900.0)
    over = gear_speed_map.gear_speed_map(better, length_m=8000, downgrade=0.07).over
    assert over.any() and np.array_equal(over, np.nan_to_num(hot.found.end_c[1]) > 250.0)
    # brakes that start as cold as the air on an even downgrade are hottest at its foot
    ends = np.nanmax(np.nan_to_num(hot.found.end_c), axis=0)
    assert np.allclose(ends[hot.driven], hot.found.hottest_c[hot.driven])


@pytest.mark.parametrize("name", NAMES)
def test_budget_by_hand_and_its_refusal(name):
    facts = Facts(RIGS[name])
    found = descent_budget.energy_budget(facts, height_lost_m=400, downgrade=0.07, speed_m_s=12, gear=0)
    mass = pair_on_road(facts, "out").mass_kg
    height, rolling, air, engine, brakes, pull = found.budget
    assert height == pytest.approx(mass * G * 400) and engine == pull == 0
    assert rolling + air + sum(brakes) == pytest.approx(height)
    with pytest.raises(ValueError, match="redline"):
        descent_budget.energy_budget(facts, height_lost_m=400, downgrade=0.07, speed_m_s=25, gear=1)


def test_half_the_engine_braking_is_half_the_force():
    whole, half = (
        descent_budget.engine_braking(
            _facts("demo_comfortable", tow_vehicle__engine__braking_factor=factor),
            downgrade=0.07,
            speed_m_s=15.0,
        )
        for factor in (1.0, 0.5)
    )
    for (speeds, forces), (same, halves) in zip(whole.curves, half.curves, strict=True):
        assert speeds == same and halves == pytest.approx([force / 2 for force in forces])
    assert half.gear < whole.gear


def test_names_beside_curves_keep_their_gap_and_stand_about_their_curves():
    places = dict(
        (name, y)
        for y, name in descent_budget.spaced(
            [(10.0, "a"), (50.0, "b"), (51.0, "c"), (99.0, "d")], 8.0, low=0.0, high=95.0
        )
    )
    assert places == pytest.approx({"a": 10.0, "b": 46.5, "c": 54.5, "d": 95.0})
    x, y = descent_budget.cut_off([0.0, 1.0, 2.0], [0.0, 10.0, 40.0], right=3.0, top=25.0)
    assert (x, y) == ([0.0, 1.0, 1.5], [0.0, 10.0, 25.0])
    assert descent_budget.cut_off([0.0, 1.0], [0.0, 1.0], right=0.5, top=9.0) == ([0.0, 0.5], [0.0, 0.5])
    assert descent_budget.cut_off([4.0, 5.0], [0.0, 1.0], right=3.0, top=9.0) == ([], [])


def _stop(facts, **change):
    asked = {"speed_m_s": 20.0, "articulation_rad": 0.0, "downgrade": 0.0, "road": "dry, gripping 1.0"}
    return stopping_pictures.stop(facts, **{**asked, **change})


def test_stop_panel_by_hand():
    # the wagon of the overloaded rig: 2,210 + 1,970 + 21 lb of bar + 1,110 lb; behind it 3,570 + 21 + 330 lb;
    # level, dry, no brakes behind: a = 7 m1 / (m1 + m2), d = 2.5 v + v² / 2a
    m1, m2 = 0.45359237 * 5311, 0.45359237 * 3921
    level = _facts("demo_overloaded", tow_bar__slope=0.0)
    found, a = _stop(level), 7 * m1 / (m1 + m2)
    assert found.pair.set_by == "brakes"
    assert (
        dict(found.distances_m)["pair as set"]
        == pytest.approx(50 + 400 / 2 / a)
        == dict(found.distances_m)["pair, no brakes behind"]
    )
    assert dict(found.distances_m)["tow vehicle alone"] == pytest.approx(50 + 400 / 14)
    assert found.forces.push_n == pytest.approx(m2 * a)
    hopeless = _facts(
        "demo_overloaded",
        tow_bar__slope=math.radians(-10),
        tow_vehicle__brakes__deceleration_alone=3.0,
        towed_vehicle__mass=2200.0,
    )
    found = _stop(hopeless, downgrade=0.15, road="wet, sliding 0.5")
    assert "stop" in stopping_pictures.stop_words(found, "metric") and math.isfinite(found.forces.push_n)


@pytest.mark.parametrize("name", NAMES)
def test_stop_panel_says_what_the_plan_says(name):
    facts = Facts(RIGS[name])
    found = _stop(facts, downgrade=0.07, road="dry, sliding 0.7")
    plan = pair_stopping_distance_m(20.0, stop_on(facts, "out", -0.07), reaction_s=REACTION_S)
    assert dict(found.distances_m)["pair as set"] == plan


def test_own_brakes_behind_give_no_more_than_their_tyres_hold():
    # half the work of 2,409 kg at 7 m/s² would be 16.9 kN; tyres under 1,779 kg hold 0.5 g of that: 8.7 kN
    found = _stop(_facts("demo_overloaded", towed_vehicle__working_brake_share=0.5), road="wet, sliding 0.5")
    m2 = 0.45359237 * 3921
    assert found.forces.push_n == pytest.approx(m2 * found.pair.deceleration_m_s2 - 0.5 * G * m2)


def test_drag_and_soak_take_the_brakes_of_the_rig():
    settings = {"power_w": 7000.0, "on_share": 0.2, "period_s": 45.0, "speed_m_s": 12.5}
    thin, thick = (
        brake_soak.drag_or_snub(
            _facts("demo_overloaded", tow_vehicle__brakes__front_face_depth=depth), **settings
        )
        for depth in (0.006, 0.012)
    )
    # the face stands q L / 3k over the mean: q = 7 kW / 0.2 m², k = 50 W/(m K)
    for found, depth in ((thin, 0.006), (thick, 0.012)):
        above = found.drag.face_c[-1] - found.drag.mean_c[-1]
        assert above == pytest.approx(7000 / 0.2 * depth / 150, rel=1e-6)
    soaks = [
        brake_soak.heat_soak_panel(
            _facts("demo_overloaded", tow_vehicle__brakes__caliper_conductance=g),
            disc_c=480.0,
            fluid_start_c=110.0,
            after_s=600.0,
        )
        for g in (1.0, 4.0, 8.0)
    ]
    highest = [each.soak.highest_fluid_c for each in soaks]
    assert highest == sorted(highest) and soaks[0].boils_c == 155.0
    with pytest.raises(ValueError, match="never hotter than the disc"):
        brake_soak.heat_soak_panel(
            Facts(RIGS["demo_overloaded"]), disc_c=100.0, fluid_start_c=150.0, after_s=0.0
        )


@pytest.mark.parametrize("name", NAMES)
def test_what_the_predictions_call_right_is_so(name):
    facts = Facts(RIGS[name])

    def braked(speed_m_s):
        found = descent_budget.energy_budget(
            facts, height_lost_m=400, downgrade=0.07, speed_m_s=speed_m_s, gear=4
        )
        return sum(found.budget.brakes_j) / found.budget.height_j

    assert braked(25 / 3.6) > braked(50 / 3.6) > 0

    def front(facts, gear):
        return brake_road.along_the_road(facts, gear=gear, place_m=0.0).hottest_c[0]

    slow = _facts(name, conditions__descent_speed=40 / 3.6)
    helped = with_values(slow, {"towed_vehicle.working_brake_share": 0.3})
    top = len(facts.need("tow_vehicle.gearbox.ratios"))
    assert front(slow, top) - front(helped, top) < front(slow, top) - front(slow, 1)
    found = gear_speed_map.gear_speed_map(facts, length_m=8000, downgrade=0.07)
    gear, speed = found.coolest
    hottest = found.found.hottest_c
    assert gear < top / 2 and hottest[gear, speed] < min(hottest[-1, 0], hottest[-1, -1]) - 50
    drag = brake_soak.drag_or_snub(facts, power_w=7000.0, on_share=0.2, period_s=45.0, speed_m_s=12.5)
    assert drag.snub.mean_c[-1] == pytest.approx(drag.drag.mean_c[-1], rel=0.1)
    soak = brake_soak.heat_soak_panel(facts, disc_c=480.0, fluid_start_c=110.0, after_s=0.0).soak
    assert 120 <= soak.highest_at_s <= 1800
    level, down = (_stop(facts, downgrade=grade) for grade in (0.0, 0.07))
    growth = [found.alone.brakes_m_s2 / found.pair.brakes_m_s2 for found in (level, down)]
    mass = pair_on_road(facts, "out").mass_kg
    assert growth[0] == pytest.approx(mass / (mass - stop_mass(facts))) and growth[1] > growth[0]


def stop_mass(facts):
    """The towed vehicle with its load and the bar's end."""
    towed = facts.need("towed_vehicle.front_axle_empty") + facts.need("towed_vehicle.rear_axle_empty")
    return towed + sum(mass for mass, _ in facts.carried("towed", "out")) + facts.need("tow_bar.mass") / 2


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("name", NAMES)
def test_what_one_should_have_seen_is_short_and_computed(name, system):
    for panel in lesson_of("05_brake_heat").panels:
        text = panel.seen(Facts(RIGS[name]), system)
        assert "nan" not in text and "not known" not in text
        assert len(re.findall(r"\d[\d,.]*", text)) <= 10 and 40 <= len(text.split()) <= 105


def test_exercises_by_hand():
    # as drawn for seed 1 from the start of the workbook: 3,800 kg, 6 %, 50 km/h, 600 N and 300 N;
    # 2,300 and 1,700 kg, 5 %, 50 km/h
    power = brake_exercises.brake_power(1, "metric")
    sine, cosine = 0.06 / math.hypot(1, 0.06), 1 / math.hypot(1, 0.06)
    by_hand = (3800 * G * (sine - 0.013 * cosine) - 600 - 300) * 50 / 3.6
    assert power.questions[0].right == pytest.approx(by_hand) == pytest.approx(11.78e3, rel=1e-3)
    stop = brake_exercises.stop_with_a_tow(1, "us")
    a = 7 * 2300 / 4000 - G * 0.05 / math.hypot(1, 0.05)
    by_hand = 50 / 3.6 * 1.5 + (50 / 3.6) ** 2 / 2 / a
    assert stop.questions[0].right == pytest.approx(by_hand) == pytest.approx(48.12, abs=0.01)
