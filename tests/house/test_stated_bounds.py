"""What a docstring of the physics says about the least value of a number is what the function refuses, and no
more.

The sentence "above 0" or "1 or more" in the docstring is the expected value here. The other arguments come
from the function's own example. Just outside the function must raise one sentence, and just inside it must
not raise that same sentence.
"""

import doctest
import importlib
import inspect
import re
from functools import cache
from pathlib import Path

import pytest

from towlib.physics.chains.chain_gaps import Anchors

PHYSICS = Path(__file__).parents[2] / "towlib" / "physics"
DOTTED = {
    path.stem: ".".join(path.relative_to(PHYSICS.parents[1]).with_suffix("").parts)
    for path in PHYSICS.rglob("[!_]*.py")
}
MODULES = sorted(DOTTED)
PARAMETER = re.compile(r"^(\w+(?:, \w+)*) : (float|int)\b[^\n]*\n((?:    .*\n?)+)", re.MULTILINE)
LEAST = re.compile(r"\babove (?P<above>\d+(?:\.\d+)?)(?=[\s,.;])|(?<![\d.])(?P<least>\d+(?:\.\d+)?) or more")
# stated, but what lies outside is computed all the same (a cooling or a power below zero, a time before the
# start); and a price
# that is refused already below the resale value
NOT_REFUSED = {
    "brake_fluid.two_body_temperatures_c": {"between_w_k", "hot_to_air_w_k", "cool_to_air_w_k", "time_s"},
    "brake_surface.applications": {"power_w", "points"},
    "brake_heat.lumped_temperature_c": {"power_w", "conductance_w_k", "time_s"},
    "chain_gaps.links_window": {"clearance_m"},
    "chain_gaps.whole_links": {"length_m"},
    "cooling.fuel_power_w": {"shaft_power_w"},
    "descent.descent_budget": {"height_m"},
    "runaway.rolling_speed_m_s": {"start_m_s", "distance_m"},
    "stopping.pair_deceleration_m_s2": {"towed_mass_kg"},
    "weighbridge.ball_load_from_rear": {"overhang_m"},
    "cases.for_all": {"count"},
    "owning_costs.owning_cost": {"price"},
    "dropped_bar.length_under_coupler_m": {"coupler_depth_m"},
    "dropped_bar.hanging_bar": {"coupler_depth_m"},
}
# refused by the same sentence as another condition, so inside must be asked with another value: the inner
# value
INNER = {
    "bolts.stress_area_m2.pitch_m": 0.001,
    "bolts.root_area_m2.pitch_m": 0.001,
    "load_cases.turning.ball_to_rear_axle_m": 100.0,
    "plates.net_section_load_n.holes": 1,
}


def stated(module: str) -> list[tuple[str, str, str, re.Match]]:
    """Every number of the module's functions that raise, whose docstring states a least value."""
    found = []
    for name, function in vars(importlib.import_module(DOTTED[module])).items():
        text = inspect.getdoc(function) or ""
        if (
            name.startswith("_")
            or not inspect.isroutine(function)
            or function.__module__ != DOTTED[module]
            or "Raises" not in text
        ):
            continue
        for parameter in PARAMETER.finditer(text):
            bound = LEAST.search(parameter[3])
            found += [
                (name, argument, parameter[2], bound)
                for argument in parameter[1].split(", ")
                if bound and argument not in NOT_REFUSED.get(f"{module}.{name}", ())
            ]
    return found


@cache
def first_calls(module: str) -> dict[str, dict]:
    """Arguments of the first call of each function in the examples of the module's docstrings."""
    here, calls = importlib.import_module(DOTTED[module]), {}

    def watched(name, function):
        def call(*values, **named):
            calls.setdefault(name, dict(inspect.signature(function).bind(*values, **named).arguments))
            return function(*values, **named)

        return call

    for example in doctest.DocTestFinder().find(here):
        example.globs.update(
            {
                name: watched(name, function)
                for name, function in vars(here).items()
                if inspect.isroutine(function)
            }
        )
        doctest.DocTestRunner(verbose=False).run(example, out=lambda words: None, clear_globs=False)
    return calls


def said(function, arguments: dict) -> str:
    try:
        function(**arguments)
    except ValueError as problem:
        return (
            "" if str(problem).startswith("math domain") else str(problem)
        )  # Python's own is no sentence of ours
    except ArithmeticError:  # an overflow far outside the example is no refusal
        pass
    return ""


@pytest.mark.parametrize("module", MODULES)
def test_the_least_value_stated_is_the_least_value_taken(module):
    for name, argument, kind, bound in stated(module):
        function = getattr(importlib.import_module(DOTTED[module]), name)
        call = first_calls(module)[name]
        step = 1 if kind == "int" else 0.25
        least = (int if kind == "int" else float)(bound["above"] or bound["least"])
        outside = [least - step] + ([least] if bound["above"] else [])
        inside = [least + step] + ([least] if bound["least"] else [])
        inside = [INNER.get(f"{module}.{name}.{argument}", inside[0]), *inside[1:]]
        refused = [said(function, {**call, argument: value}) for value in outside]
        assert all(refused), f"{name}: {argument} {bound[0]}, but {outside} was taken"
        for value in inside:
            assert said(function, {**call, argument: value}) not in refused, (
                f"{name}: {argument} {bound[0]}, but {value} was refused"
            )


# ---- ends that the sentence under Raises states in other words: what is still taken, what no longer is ----
QUARTER = 1.5707963267948966  # half of pi: 90 degrees
EDGES = [
    ("battery.discharge_h", {"exponent": 1.0}, {"exponent": 0.99}),
    ("battery.discharge_h", {"exponent": 1.6}, {"exponent": 1.61}),
    ("battery.capacity_share", {"temperature_c": -35.0}, {"temperature_c": -35.1}),
    ("battery.capacity_share", {"temperature_c": 60.0}, {"temperature_c": 60.1}),
    ("battery.cranking_share", {"temperature_c": -28.8}, {"temperature_c": -29.0}),
    ("atmosphere.geopotential_m", {"altitude_m": -5000.0}, {"altitude_m": -5000.1}),
    ("atmosphere.geopotential_m", {"altitude_m": 11019.0}, {"altitude_m": 11019.1}),
    ("atmosphere.air_density_kg_m3", {"air_temperature_c": -272.5}, {"air_temperature_c": -273.15}),
    (
        "bolts.bolt_loads_n",
        {"proof_pa": 6e8, "yield_pa": 6e8, "tensile_pa": 6e8},
        {"proof_pa": 6.01e8, "yield_pa": 6e8, "tensile_pa": 6e8},
    ),
    ("bolts.bolt_loads_n", {"yield_pa": 8e8, "tensile_pa": 8e8}, {"yield_pa": 8.01e8, "tensile_pa": 8e8}),
    ("bolts.bolt_loads_n", {"proof_pa": 0.5}, {"proof_pa": 0.0}),
    ("bolts.preload_n", {"nut_factor_spread": 0.0}, {"nut_factor_spread": -0.1}),
    ("bolts.preload_n", {"nut_factor_spread": 0.99}, {"nut_factor_spread": 1.0}),
    ("brake_surface.applications", {"on_share": 1.0}, {"on_share": 1.01}),
    ("brake_surface.applications", {"on_share": 0.1}, {"on_share": 0.0}),
    (
        "chain_checks.require_fitting",
        {"anchors": Anchors(0.0, -0.025, 0.3, 0.44, 0.22, 0.53), "ball_diameter_m": 0.05, "length_m": 1.0},
        {"anchors": Anchors(0.0, -0.0249, 0.3, 0.44, 0.22, 0.53), "ball_diameter_m": 0.05, "length_m": 1.0},
    ),
    ("chain_checks.second_pair_gap_m", {"sideways_m": 0.0}, {"sideways_m": -0.1}),
    ("chain_checks.second_pair_gap_m", {"greatest_pitch_rad": 0.0}, {"greatest_pitch_rad": -0.1}),
    (
        "chain_jerk.chain_stiffness_n_m",
        {"length_m": 0.25, "anchor_give_m": 0.01},
        {"length_m": 0.0, "anchor_give_m": 0.01},
    ),
    (
        "chain_jerk.chain_stiffness_n_m",
        {"stretch_share": 0.0, "anchor_give_m": 0.1},
        {"stretch_share": -0.01, "anchor_give_m": 0.1},
    ),
    ("chain_jerk.chain_stiffness_n_m", {"anchor_give_m": 0.0}, {"anchor_give_m": -0.001}),
    ("chain_jerk.jerk_n", {"slack_m": 0.0}, {"slack_m": -0.5}),
    ("chain_jerk.jerk_n", {"pull_n": 0.0}, {"pull_n": -0.5}),
    ("chain_jerk.parting_speed_m_s", {"slack_m": 0.0}, {"slack_m": -0.5}),
    ("chain_jerk.parting_speed_m_s", {"pull_n": 0.0}, {"pull_n": -0.5}),
    ("chain_shape.hanging_points", {"count": 2}, {"count": 1}),
    ("chain_shape.hanging_points", {"span_m": 0.0}, {"span_m": -0.1}),
    ("chain_gaps.hang", {"length_m": 0.8}, {"length_m": 0.799}),
    ("chain_gaps.hang", {"span_m": 0.0}, {"span_m": -0.1}),
    ("chain_gaps.share_of_pull", {"angle_rad": 0.0}, {"angle_rad": -0.01}),
    ("chain_gaps.share_of_pull", {"angle_rad": 1.57}, {"angle_rad": QUARTER}),
    ("chain_gaps.strength_by_rule_n", {"working_load_n": 0.0}, {"working_load_n": -0.5}),
    ("chain_gaps.strength_by_rule_n", {"count": "each"}, {"count": "all"}),
    ("chain_gaps.strength_by_rule_n", {"compare": "working"}, {"compare": "x"}),
    ("chain_gaps.strength_by_rule_n", {"break_factor": 0.5}, {"break_factor": 0.0}),
    ("owning_costs.owning_cost", {"resale": 4000}, {"resale": 4000.5}),
    ("owning_costs.owning_cost", {"resale": 0}, {"resale": -0.5}),
    ("owning_costs.owning_cost", {"upkeep_per_year": 0}, {"upkeep_per_year": -0.5}),
    ("coupling_alone.prop_height", {"prop_behind_coupler_m": 0.0}, {"prop_behind_coupler_m": -0.1}),
    ("coupling_alone.prop_height", {"prop_behind_coupler_m": 1.4}, {"prop_behind_coupler_m": 1.5}),
    (
        "coupling_alone.prop_height",
        {"ball_height_m": 0.5, "ball_diameter_m": 0.5, "gap_m": 0.25, "bracket_height_m": 2.4},
        {"ball_height_m": 0.5, "ball_diameter_m": 0.5, "gap_m": 0.25, "bracket_height_m": 2.5},
    ),
    ("coupling_alone.prop_height", {"ball_diameter_m": 0.5}, {"ball_diameter_m": 0.0}),
    ("cooling.fuel_power_w", {"indicated_efficiency": 0.5}, {"indicated_efficiency": 0.0}),
    ("cooling_stops.cooling_stop_s", {"wanted_c": 90.0}, {"wanted_c": 89.99}),
    ("descent.descent_budget", {"grade": -0.01}, {"grade": 0.0}),
    ("gear_ties.differential", {"first_share": 0.99}, {"first_share": 1.0}),
    ("gear_ties.differential", {"first_share": 0.01}, {"first_share": 0.0}),
    (
        "gear_ties.wheel_speeds_m_s",
        {"left_curvature_1_m": 1.9, "track_m": 1.0},
        {"left_curvature_1_m": 2.0, "track_m": 1.0},
    ),
    (
        "gear_ties.wheel_speeds_m_s",
        {"left_curvature_1_m": -1.9, "track_m": 1.0},
        {"left_curvature_1_m": -2.0, "track_m": 1.0},
    ),
    ("gear_ties.gear", {"ratio": 0.5}, {"ratio": float("inf")}),
    ("gear_ties.gear", {}, {"slow": "pinion"}),
    (
        "bar_geometry.bar_slope_rad",
        {"bracket_height_m": 2.0, "bar_length_m": 1.51},
        {"bracket_height_m": 2.0, "bar_length_m": 1.5},
    ),
    (
        "bar_geometry.bar_slope_rad",
        {"bracket_height_m": 0.5, "bar_length_m": 0.5},
        {"bracket_height_m": 0.5, "bar_length_m": 0.0},
    ),
    ("bar_geometry.half_angle_rad", {"spread_m": 2.99}, {"spread_m": 3.0}),
    ("bar_geometry.bracket_forces_n", {"half_angle_rad": 0.0}, {"half_angle_rad": -0.01}),
    ("bar_geometry.bracket_forces_n", {"half_angle_rad": 1.57}, {"half_angle_rad": QUARTER}),
    ("bar_geometry.arm_forces_n", {"half_angle_rad": 0.01}, {"half_angle_rad": 0.0}),
    ("bar_geometry.arm_forces_n", {"half_angle_rad": 1.57}, {"half_angle_rad": QUARTER}),
    ("bar_geometry.ball_height_m", {"drop_m": 0.55}, {"drop_m": 0.57}),
    ("lamps.one_circuit", {"supply_v": 9.0}, {"supply_v": 8.99}),
    ("lamps.one_circuit", {"supply_v": 32.0}, {"supply_v": 32.01}),
    ("lamps.rear_lamps", {"supply_v": 9.0}, {"supply_v": 8.99}),
    ("lamps.rear_lamps", {"supply_v": 32.0}, {"supply_v": 32.01}),
    ("launch.seconds_to_speed", {"from_m_s": 0.0}, {"from_m_s": -0.5}),
    ("launch.seconds_to_speed", {"from_m_s": 26.0}, {"from_m_s": 26.8224}),
    ("launch.clutch_heat_j", {"driveline_efficiency": 0.5}, {"driveline_efficiency": 0.0}),
    ("launch.clutch_heat_j", {"acceleration_m_s2": 0.5}, {"acceleration_m_s2": 0.0}),
    ("load_cases.pull_away", {"acceleration_m_s2": 0.0}, {"acceleration_m_s2": -0.5}),
    ("load_cases.braking", {"deceleration_m_s2": 0.0}, {"deceleration_m_s2": -0.5}),
    ("load_cases.braking", {"own_brake_n": 0.0}, {"own_brake_n": -0.5}),
    ("load_cases.turning", {"centre_ahead_of_rear_axle_m": 4.29}, {"centre_ahead_of_rear_axle_m": 4.3}),
    ("load_cases.step_force_n", {"edge_height_m": 0.0}, {"edge_height_m": -0.01}),
    ("load_cases.step_force_n", {"edge_height_m": 0.34}, {"edge_height_m": 0.35}),
    ("load_cases.over_an_edge", {"sudden": 1.0}, {"sudden": 0.99}),
    ("load_cases.bracket_reactions", {"half_angle_rad": 1.57}, {"half_angle_rad": QUARTER}),
    ("path.eased_bend", {"ease_m": 0.0}, {"ease_m": -0.1}),
    ("path.eased_bend", {"radius_m": 0.5}, {"radius_m": 0.0}),
    ("plates.tear_out_load_n", {"edge_distance_m": 0.0068}, {"edge_distance_m": 0.00675}),
    ("plates.net_section_load_n", {"holes": 0}, {"holes": -1}),
    (
        "plates.net_section_load_n",
        {"width_m": 0.5, "hole_diameter_m": 0.24},
        {"width_m": 0.5, "hole_diameter_m": 0.25},
    ),
    ("powertrain.torque_from_peaks", {"idle_rpm": 2999}, {"idle_rpm": 3000}),
    ("powertrain.torque_from_peaks", {"redline_rpm": 5000}, {"redline_rpm": 4999}),
    ("powertrain.torque_from_peaks", {"peak_torque_rpm": 3700}, {"peak_torque_rpm": 5000}),
    ("reference_climb.reference_climb", {"steps": 10}, {"steps": 9}),
    ("reversing.straight_back_rad", {"metres": 0.0}, {"metres": -0.5}),
    ("reversing.metres_to_angle_m", {"limit_rad": 3.14}, {"limit_rad": 3.15}),
    ("reversing.metres_to_angle_m", {"limit_rad": 0.5}, {"limit_rad": 0.0}),
    ("road_load.uphill_power_w", {"lost_share": 0.0}, {"lost_share": -0.01}),
    ("road_load.uphill_power_w", {"lost_share": 0.99}, {"lost_share": 1.0}),
    ("road_load.speed_held_m_s", {"mass_kg": 0.5}, {"mass_kg": 0.0}),
    (
        "road_load.speed_held_m_s",
        {"drag_area_m2": 0.0, "grade": 0.0, "mass_kg": 1.0},
        {"drag_area_m2": 0.0, "grade": -0.02, "mass_kg": 1.0},
    ),
    ("road_load.speed_held_m_s", {"drag_area_m2": 0.0}, {"drag_area_m2": 0.0, "grade": -0.02}),
    ("runaway.rolling_distance_m", {"end_m_s": 15.0}, {"end_m_s": 14.9}),
    ("steering.castor_trail_m", {"castor_rad": 1.57}, {"castor_rad": QUARTER}),
    ("steering.castor_trail_m", {"castor_rad": -1.57}, {"castor_rad": -QUARTER}),
    ("steering.toe_each_rad", {"toe_m": 1.39}, {"toe_m": 1.4}),
    ("steering.toe_each_rad", {"toe_m": -1.39}, {"toe_m": -1.4}),
    ("steering.angle_friction_holds_rad", {"friction_n_m": 0.0}, {"friction_n_m": -0.5}),
    ("trip_costs.fuel_m3", {"efficiency": 1.0}, {"efficiency": 1.01}),
    ("trip_costs.fuel_m3", {"efficiency": 0.1}, {"efficiency": 0.0}),
    *(
        ("trip_costs.towing_energy_j", {name: 0.0}, {name: -0.01})
        for name in (
            "towed_kg",
            "distance_m",
            "climbed_m",
            "rolling_coefficient",
            "drag_area_m2",
            "speed_m_s",
            "air_density_kg_m3",
        )
    ),
    ("trip_costs.wear_cost", {"replacement_price": 0.0}, {"replacement_price": -0.5}),
    ("trip_costs.wear_cost", {"distance_m": 0.0}, {"distance_m": -0.5}),
    ("trip_costs.wear_cost", {"life_m": 0.5}, {"life_m": 0.0}),
    ("circle.smallest_circle", {"articulation_limit_rad": QUARTER}, {"articulation_limit_rad": 1.58}),
    ("circle.smallest_circle", {"articulation_limit_rad": 0.5}, {"articulation_limit_rad": 0.0}),
    ("circle.smallest_circle", {"steer_lock_rad": 1.57}, {"steer_lock_rad": QUARTER}),
    ("circle.smallest_circle", {"steer_lock_rad": 0.2}, {"steer_lock_rad": 0.0}),
    ("circle.towed_steer_rad", {"towed_rear_m": 0.5}, {"towed_rear_m": 0.0}),
    ("circle.towed_steer_rad", {"towed_wheelbase_m": 0.5}, {"towed_wheelbase_m": 0.0}),
    ("circle.front_radius_m", {"kerb_diameter_m": 8.4}, {"kerb_diameter_m": 7.6}),
    ("circle.steady_circle", {"front_m": 5.8}, {"front_m": 3.3}),
    ("ways_loads.moved_for_share_m", {"share": 0.0}, {"share": -0.01}),
    ("ways_loads.moved_for_share_m", {"share": 0.99}, {"share": 1.0}),
    ("weighbridge.rounding_kg", {"division_kg": 0}, {"division_kg": -0.5}),
    (
        "axle_loads.centre_behind_front_axle_m",
        {"front_kg": 0.5, "rear_kg": 0.0},
        {"front_kg": 0.0, "rear_kg": 0.0},
    ),
    (
        "axle_loads.centre_behind_front_axle_m",
        {"front_kg": 500.0, "rear_kg": 500.0},
        {"front_kg": 500.0, "rear_kg": -500.0},
    ),
    ("axle_loads.tyre_capacity_kg", {"pressure_pa": 0.0}, {"pressure_pa": -0.5}),
    ("wire.wire_ohm", {"temperature_c": -60.0}, {"temperature_c": -60.1}),
    ("wire.wire_ohm", {"temperature_c": 200.0}, {"temperature_c": 200.1}),
    ("wire.awg_diameter_m", {"gauge": 0}, {"gauge": -1}),
    ("wire.awg_diameter_m", {"gauge": 40}, {"gauge": 41}),
    ("wire.volts_lost_v", {"current_a": 0.0}, {"current_a": -0.5}),
    ("yaw.speed_with_damping_m_s", {"damping": 0.0}, {"damping": -0.01}),
    ("yaw.speed_with_damping_m_s", {"damping": 0.9}, {"damping": 1.0}),
]


@pytest.mark.parametrize("module", MODULES)
def test_the_ends_stated_in_words(module):
    for function, inside, outside in [row for row in EDGES if row[0].startswith(f"{module}.")]:
        name = function.partition(".")[2]
        work, call = (
            getattr(importlib.import_module(DOTTED[module]), name),
            first_calls(module)[name],
        )
        assert not said(work, {**call, **inside}), f"{function}: {inside} was refused"
        assert said(work, {**call, **outside}), f"{function}: {outside} was taken"
