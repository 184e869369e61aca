"""Every panel of every lesson: what computes it, what draws it and what says it in words.

A new panel gets its line here; `tests/test_panels_of_lessons.py` and `python -m towlib.adapt_check` then find it.
"""

from towlib.teaching import (
    bar_loads, battery_panels, bolt_pictures, brake_heat, brake_road, brake_soak, chain_pictures, chain_strength, climb_road,
    driveline_panels, driveline_pictures, fault_finder, gear_speed_map, grade_physics, grade_pictures, hitch_geometry,
    hitch_pictures, light_pictures, lights, ramp_start, running_straight, safety_chains, steering_panels, stopping_pictures,
    trip_sheet, turning, turning_pictures, way_breakages, way_costs, way_turns, ways, weight_ratings)

# (lesson, panel) -> (compute function, drawing class, words function)
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
