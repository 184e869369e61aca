"""Every panel of every lesson at every corner of its sliders: a finite result or a plain sentence, and quickly."""

import math
import statistics
import time

import pytest

from towlib.teaching import (
    bar_loads, battery_panels, fault_finder, light_pictures, lights, bolt_pictures, brake_heat, brake_road, brake_soak, chain_pictures, chain_strength, climb_road,
    driveline_panels, driveline_pictures, steering_panels,
    gear_speed_map, grade_physics, grade_pictures, hitch_geometry, hitch_pictures, ramp_start, safety_chains,
    stopping_pictures, trip_sheet, running_straight, turning, turning_pictures,
    way_breakages, way_costs, way_turns, ways, weight_ratings)
from towlib.teaching.lessons import FOLDER, load_panel, panels_of
from towlib.teaching.panel_state import PanelState

PANELS = {
    ("01_weight_ratings", "axle_loads"): (weight_ratings.axle_use, weight_ratings.AxleUseDrawing, weight_ratings.axle_use_words),
    ("01_weight_ratings", "room_left"): (weight_ratings.room_left, weight_ratings.RoomLeftDrawing, weight_ratings.room_left_words),
    ("02_hitch_geometry", "side_view"): (hitch_geometry.side_view, hitch_pictures.SideViewDrawing, hitch_geometry.side_view_words),
    ("02_hitch_geometry", "bracket_spread"): (hitch_geometry.bracket_spread, hitch_pictures.SpreadDrawing, hitch_geometry.bracket_spread_words),
    ("02_hitch_geometry", "on_bend"): (hitch_geometry.on_bend, hitch_pictures.OnBendDrawing, hitch_geometry.on_bend_words),
    ("02_hitch_geometry", "propped"): (hitch_geometry.propped, hitch_pictures.ProppedDrawing, hitch_geometry.propped_words),
    ("03_bar_loads_and_attachment", "load_cases"): (bar_loads.load_cases, bar_loads.LoadCasesDrawing, bar_loads.load_cases_words),
    ("03_bar_loads_and_attachment", "bolt_group"): (bolt_pictures.bolt_group, bolt_pictures.BoltGroupDrawing, bolt_pictures.bolt_group_words),
    ("03_bar_loads_and_attachment", "first_to_yield"): (bar_loads.ranking, bar_loads.RankingDrawing, bar_loads.ranking_words),
    ("03_bar_loads_and_attachment", "torque"): (bolt_pictures.torque, bolt_pictures.TorqueDrawing, bolt_pictures.torque_words),
    ("06_safety_chain_layout", "layout"): (safety_chains.layout, chain_pictures.LayoutDrawing, safety_chains.layout_words),
    ("06_safety_chain_layout", "length_window"): (safety_chains.length_window, chain_pictures.LengthWindowDrawing, safety_chains.length_window_words),
    ("06_safety_chain_layout", "dropped_bar"): (safety_chains.dropped_bar, chain_pictures.DroppedBarDrawing, safety_chains.dropped_bar_words),
    ("06_safety_chain_layout", "strength"): (chain_strength.strength, chain_strength.StrengthDrawing, chain_strength.strength_words),
    ("06_safety_chain_layout", "jerk"): (chain_strength.jerk, chain_strength.JerkDrawing, chain_strength.jerk_words),
    ("04_grade_physics", "traction"): (grade_physics.traction, grade_pictures.TractionDrawing, grade_physics.traction_words),
    ("04_grade_physics", "road_load"): (grade_physics.road_load_view, grade_pictures.RoadLoadDrawing, grade_physics.road_load_words),
    ("04_grade_physics", "altitude"): (grade_physics.altitude, grade_pictures.AltitudeDrawing, grade_physics.altitude_words),
    ("04_grade_physics", "climb"): (climb_road.climb, climb_road.ClimbDrawing, climb_road.climb_words),
    ("04_grade_physics", "launch"): (ramp_start.ramp_start, ramp_start.RampStartDrawing, ramp_start.ramp_start_words),
    ("05_brake_heat", "energy_budget"): (brake_heat.energy_budget, brake_heat.EnergyBudgetDrawing, brake_heat.energy_budget_words),
    ("05_brake_heat", "engine_braking"): (brake_heat.engine_braking, brake_heat.EngineBrakingDrawing, brake_heat.engine_braking_words),
    ("05_brake_heat", "along_the_road"): (brake_road.along_the_road, brake_road.AlongTheRoadDrawing, brake_road.along_the_road_words),
    ("05_brake_heat", "gear_speed_map"): (gear_speed_map.gear_speed_map, gear_speed_map.GearSpeedMapDrawing, gear_speed_map.gear_speed_map_words),
    ("05_brake_heat", "drag_or_snub"): (brake_soak.drag_or_snub, brake_soak.DragOrSnubDrawing, brake_soak.drag_or_snub_words),
    ("05_brake_heat", "heat_soak"): (brake_soak.heat_soak_panel, brake_soak.HeatSoakDrawing, brake_soak.heat_soak_panel_words),
    ("05_brake_heat", "stop"): (stopping_pictures.stop, stopping_pictures.StopDrawing, stopping_pictures.stop_words),
    ("10_ways_to_tow", "weights"): (ways.weights, ways.WeightsDrawing, ways.weights_words),
    ("10_ways_to_tow", "cost"): (way_costs.costs, way_costs.CostsDrawing, way_costs.costs_words),
    ("10_ways_to_tow", "turning"): (way_turns.turns, way_turns.TurnsDrawing, way_turns.turns_words),
    ("10_ways_to_tow", "breakage"): (way_breakages.broken, way_breakages.BrokenDrawing, way_breakages.broken_words),
    ("08_lights_and_battery", "volts"): (lights.volts, light_pictures.VoltsDrawing, lights.volts_words),
    ("08_lights_and_battery", "light_left"): (lights.light_left, light_pictures.LightLeftDrawing, lights.light_left_words),
    ("08_lights_and_battery", "shared_ground"): (lights.shared_ground, light_pictures.SharedGroundDrawing, lights.shared_ground_words),
    ("08_lights_and_battery", "fault_finder"): (fault_finder.fault_finder, fault_finder.FaultFinderDrawing, fault_finder.fault_finder_words),
    ("08_lights_and_battery", "battery"): (battery_panels.battery, battery_panels.BatteryDrawing, battery_panels.battery_words),
    ("09_driveline_and_steering", "what_turns"): (driveline_panels.turning, driveline_pictures.DrivelineDrawing, driveline_panels.turning_words),
    ("09_driveline_and_steering", "compare"): (driveline_panels.comparison, driveline_pictures.ComparisonDrawing, driveline_panels.comparison_words),
    ("09_driveline_and_steering", "steering"): (steering_panels.steering, steering_panels.SteeringDrawing, steering_panels.steering_words),
    ("09_driveline_and_steering", "locked"): (steering_panels.locked_steering, steering_panels.LockedSteeringDrawing, steering_panels.locked_steering_words),
    ("07_turning_and_running_straight", "circle"): (turning.circle, turning_pictures.CircleDrawing, turning.circle_words),
    ("07_turning_and_running_straight", "path"): (turning.path, turning_pictures.PathDrawing, turning.path_words),
    ("07_turning_and_running_straight", "reversing"): (turning.reversing, turning_pictures.BackingDrawing, turning.reversing_words),
    ("07_turning_and_running_straight", "yaw_roots"): (running_straight.yaw_roots, running_straight.YawRootsDrawing, running_straight.yaw_roots_words),
    ("07_turning_and_running_straight", "damping_map"): (running_straight.damping_map, running_straight.DampingMapDrawing, running_straight.damping_map_words),
    ("11_trip_sheet", "descent"): (trip_sheet.descent, trip_sheet.DescentDrawing, trip_sheet.descent_words)}


def _state(key, system="metric"):
    compute, drawing, words = PANELS[key]
    return PanelState(load_panel(*key), compute, drawing(), words, system=system)


def test_every_panel_in_the_data_is_tested_here():
    found = {(path.stem, panel) for path in FOLDER.glob("*.toml") for panel in panels_of(path.stem)}
    assert found == set(PANELS)


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("key", PANELS, ids="/".join)
def test_every_corner(key, system):
    state = _state(key, system)
    for corner in state.corners():
        state.values = dict(corner)
        state.update()
        words = state.sentence_text
        assert words.endswith(".") or state.failed
        assert "nan" not in words.split() and "inf" not in words.split() and "not known" not in words and len(words) < 400
        assert state.picture.png().startswith(b"\x89PNG")
        for axes, artists in state.picture._moving.values():
            for artist in artists:
                if hasattr(artist, "get_xydata"):
                    assert all(math.isfinite(v) for v in artist.get_xydata().ravel()), corner


@pytest.mark.parametrize("key", PANELS, ids="/".join)
def test_moving_parts_stay_inside_the_frame_at_the_start(key):
    state = _state(key)
    for axes, artists in state.picture._moving.values():
        low, high = axes.get_xlim()
        for artist in artists:
            if hasattr(artist, "get_xydata"):
                assert all(low - 1e-9 <= x <= high + 1e-9 for x in artist.get_xdata())


@pytest.mark.parametrize("key", PANELS, ids="/".join)
def test_the_kernel_answers_a_slider_within_thirty_milliseconds(key):
    state = _state(key)
    slider = state.spec.sliders[-1]
    medians = []
    for _ in range(5):  # other test processes share the cores: the quietest of five rounds of 100 changes decides
        times = []
        for i in range(100):
            start = time.perf_counter()
            state.set(slider.name, slider.low + (slider.high - slider.low) * (i % 50) / 50)
            state.update()
            state.picture.png()
            times.append(1000 * (time.perf_counter() - start))
        medians.append(statistics.median(times))
        if medians[-1] < 30:
            break
    assert min(medians) < 30
    assert state.picture.backgrounds_drawn == 1


def test_ball_load_of_a_trailer_by_hand():
    # by hand: 200 kg at the ball, o/L = 1.32/3.75 = 0.3520: rear gains 270.4 kg, front loses 70.4 kg
    none, trailer = (weight_ratings.axle_use(people_kg=0, cargo_kg=0, cargo_behind_front_axle_m=2, ball_load_kg=ball, towed_kg=1500) for ball in (0, 200))
    change = [after.demand_kg - before.demand_kg for before, after in zip(none.uses, trailer.uses, strict=True)]
    assert change[0] == pytest.approx(-70.40, abs=0.01) and change[1] == pytest.approx(270.40, abs=0.01) and change[2] == pytest.approx(200)
    assert change[4] == pytest.approx(200)  # the slider is what the towed wheels carry, so the ball load comes on top


def test_heavier_and_faster_never_cools_the_brakes_in_the_descent_panel():
    base = trip_sheet.descent(descent_speed_m_s=15, air_temperature_c=25, towed_front_kg=800).hottest_c
    assert trip_sheet.descent(descent_speed_m_s=15, air_temperature_c=25, towed_front_kg=1100).hottest_c > base
    assert trip_sheet.descent(descent_speed_m_s=15, air_temperature_c=40, towed_front_kg=800).hottest_c > base
