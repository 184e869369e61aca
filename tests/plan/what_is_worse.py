"""What makes a rig's answers worse, field by field, and where physics says otherwise: said from the physics,
not read off the plan. `test_properties.py` holds the plan to it.
"""

from typing import NamedTuple

HIGH, LOW = 1, -1  # which way is worse


class Worse(NamedTuple):
    """Fields that are worse one way, and what that way is called."""

    called: str
    way: int
    fields: tuple[str, ...]


class Exception_(NamedTuple):
    """Limits that a worse value may give more room, and the physics of it."""

    fields: tuple[str, ...]
    limits: tuple[str, ...]
    why: str


TOW_AXLES = ("tow_vehicle.front_axle_empty", "tow_vehicle.rear_axle_empty")
TOWED_AXLES = ("towed_vehicle.front_axle_empty", "towed_vehicle.rear_axle_empty")
TOW_LOAD, TOWED_LOAD, BAR = "load.tow.mass", "load.towed.mass", "tow_bar.mass"  # a row of people and cargo
STEEPER, HIGHER = "road.steeper", "road.higher"  # the road itself

CHOICES: dict[str, tuple[object, ...]] = {  # from the best to the worst; each step is a worse one
    "bracket.bolt_grade": ("8", "5", "2"),
    "bracket.bolt_size": ("3/4-10", "5/8-11", "1/2-13", "7/16-14", "3/8-16", "5/16-18", "1/4-20"),
    "bracket.threads_in_plane": (False, True),
    "bracket.pin_is_held_both_sides": (True, False),
    "bracket.lugs_welded": (False, True),
    "safety_chains.grade": ("43", "30"),
    "safety_chains.size": ("1/2", "7/16", "3/8", "5/16", "1/4"),
    "tow_bar.adjustable": (False, True),
    "tow_bar.pulls_on_bumpers": (False, True),
    "tow_bar.rule": ("none asked", "trailer rule", "federal tow-bar rule"),
    "safety_chains.rule_strength": ("breaking", "working"),
    "safety_chains.rule_count": ("both", "each"),
    "safety_chains.crossed": (True, False),
    "battery.kind": ("AGM", "gel", "flooded"),
    "tow_vehicle.engine.aspiration": ("boosted", "natural"),
    "tow_vehicle.driven_axles": ("both", "rear"),
    "towed_vehicle.brakes_fitted": (True, False),
    "towed_vehicle.driveline.four_wheel_towing_allowed": (True, False),
    "towed_vehicle.driveline.oil_confirmed": (True, False),
    "towed_vehicle.driveline.steering_is_free": (True, False),
    "lights.seen_working": (True, False),
    "tow_bar.latch_closed": (True, False),
    "tow_vehicle.front_tyres.kind": ("LT", "P"),
    "tow_vehicle.rear_tyres.kind": ("LT", "P"),
    "towed_vehicle.tyres.kind": ("LT", "P"),
    "safety_chains.to_both_vehicles": (True, False),
    "safety_chains.tied_to_bar": (True, False),
    "tow_bar.pins_clipped": (True, False),
}

WORSE = (
    Worse("heavier", HIGH, (*TOW_AXLES, *TOWED_AXLES, TOW_LOAD, TOWED_LOAD, BAR)),
    Worse("hotter", HIGH, ("conditions.air_temperature", "tow_vehicle.cooling.thermostat")),
    Worse("colder", LOW, ("battery.coldest",)),
    Worse("steeper", HIGH, (STEEPER, "conditions.ramp_change")),
    Worse("in thinner air", HIGH, (HIGHER,)),
    Worse(
        "thinner",
        LOW,
        (
            "bracket.plate_thickness",
            "bracket.edge_distance",
            "bracket.plate_width",
            "bracket.pin_diameter",
            "bracket.lug_thickness",
            "bracket.lug_width",
            "bracket.weld_leg",
            "bracket.weld_length",
            "tow_vehicle.brakes.front_heated_mass",
            "tow_vehicle.brakes.rear_heated_mass",
            "tow_vehicle.brakes.front_cooled_area",
            "tow_vehicle.brakes.rear_cooled_area",
            "towed_vehicle.brake_heated_mass",
            "towed_vehicle.brake_cooled_area",
        ),
    ),
    Worse("thinner by its hole", HIGH, ("bracket.hole_diameter",)),
    Worse(
        "longer",
        HIGH,
        ("bracket.eye_thickness", "bracket.eye_gap", "bracket.plate_free_width", "bracket.bolt_length"),
    ),
    Worse(
        "weaker",
        LOW,
        (
            "bracket.plate_yield",
            "bracket.pin_yield",
            "bracket.plate_friction",
            "bracket.joint_faces",
            "tow_vehicle.engine.peak_power",
            "tow_vehicle.engine.peak_torque",
            "tow_vehicle.engine.displacement",
            "tow_vehicle.engine.braking_factor",
            "tow_vehicle.gearbox.efficiency",
            "tow_vehicle.gearbox.stall_torque_ratio",
            "tow_vehicle.cooling.conductance",
            "tow_vehicle.cooling.heat_capacity",
            "tow_vehicle.brakes.exposure",
            "tow_vehicle.brakes.deceleration_alone",
            "tow_vehicle.rear_side_stiffness",
            "towed_vehicle.rear_side_stiffness",
            "towed_vehicle.brake_share",
            "tow_vehicle.front_tyres.pressure",
            "tow_vehicle.rear_tyres.pressure",
            "towed_vehicle.tyres.pressure",
            "battery.capacity",
            "battery.cold_cranking",
            "battery.feed_current",
        ),
    ),
    Worse(
        "less rated",
        LOW,
        (
            "tow_vehicle.gvwr",
            "tow_vehicle.front_gawr",
            "tow_vehicle.rear_gawr",
            "tow_vehicle.payload",
            "tow_vehicle.gcwr",
            "tow_vehicle.tow_rating_unbraked",
            "tow_vehicle.tow_rating_braked",
            "tow_vehicle.front_tyres.load_index",
            "tow_vehicle.rear_tyres.load_index",
            "tow_vehicle.fuel_tank",
            "tow_vehicle.cooling.highest_coolant",
            "tow_vehicle.brakes.highest_front",
            "tow_vehicle.brakes.highest_rear",
            "towed_vehicle.gvwr",
            "towed_vehicle.front_gawr",
            "towed_vehicle.rear_gawr",
            "towed_vehicle.tyres.load_index",
            "towed_vehicle.highest_brake",
            "towed_vehicle.steering_lock",
            "towed_vehicle.driveline.highest_towing_speed",
            "towed_vehicle.driveline.longest_towing_distance",
            "hitch.receiver_rating",
            "hitch.receiver_vertical_rating",
            "hitch.ball_mount_rating",
            "hitch.ball_rating",
            "hitch.d_value_rating",
            "hitch.lowest_point_height",
            "tow_bar.rating",
            "tow_bar.strength_along",
            "hitch.strength_along",
            "tow_bar.bracket_rating",
            "tow_bar.widest_spread",
            "tow_bar.greatest_slope",
            "tow_bar.greatest_pitch",
            "tow_bar.greatest_swing",
            "safety_chains.hook_rating",
            "safety_chains.anchor_rating",
            "safety_chains.second_pair_rating",
            "safety_chains.hook_breaking",
            "safety_chains.anchor_breaking",
            "safety_chains.second_pair_breaking",
            "safety_chains.greatest_articulation",
            "lights.tow_side_current",
        ),
    ),
    Worse(
        "rated from more on",
        HIGH,
        (
            "tow_bar.narrowest_spread",
            "tow_vehicle.front_tyres.full_load_pressure",
            "tow_vehicle.rear_tyres.full_load_pressure",
            "towed_vehicle.tyres.full_load_pressure",
        ),
    ),
    Worse(
        "asked more",
        HIGH,
        (
            "conditions.cruise_speed",
            "conditions.descent_speed",
            "conditions.lowest_climb_speed",
            "conditions.damping_asked",
            "conditions.pothole_edge",
            "conditions.curve_acceleration",
            "bracket.factor_asked",
            "bracket.torque",
            "bracket.alternating_load",
            "safety_chains.ground_clearance",
            "lights.stop_current",
            "lights.turn_current",
            "battery.hours_a_day",
            "battery.key_on_current",
            "battery.age_years",
            "battery.engine_current",
            "tow_vehicle.cooling.heat_share",
            "tow_vehicle.drag_area",
            "towed_vehicle.drag_area",
            "tow_vehicle.rolling_resistance",
            "towed_vehicle.rolling_resistance",
        ),
    ),
    Worse(
        "given less",
        LOW,
        (
            "conditions.shortest_sight",
            "conditions.tightest_turn",
            "conditions.ramp_radius",
            "bracket.nut_factor",
            "tow_vehicle.turning_circle",
            "towed_vehicle.tyres.rolling_radius",
        ),
    ),
    Worse("wider in the same turn", HIGH, ("tow_vehicle.track", "towed_vehicle.track")),
    Worse("with more play", HIGH, ("tow_bar.sag", "tow_bar.off_track")),
    Worse("rated over longer", HIGH, ("battery.rated_hours",)),
)

# no way is the worse one: each has its best value somewhere in between, or gives to one limit what it takes
# from another
EITHER_WAY = {
    "lengths and places between the axles, the ball and the brackets": (
        "tow_vehicle.wheelbase",
        "tow_vehicle.ball_behind_rear_axle",
        "towed_vehicle.wheelbase",
        "towed_vehicle.bracket_ahead_of_front_axle",
        "towed_vehicle.bracket_spread",
        "tow_bar.length",
        "tow_bar.depth",
        "load.tow.behind_front_axle",
        "load.towed.behind_front_axle",
    ),
    "a level bar is the best one: heights, and springs that let the ball sink": (
        "hitch.receiver_height",
        "hitch.ball_mount_change",
        "towed_vehicle.bracket_height",
        "tow_vehicle.front_spring_rate",
        "tow_vehicle.rear_spring_rate",
    ),
    "a chain long enough hangs low: anchors, links and what is set against them": (
        "safety_chains.links",
        "safety_chains.link_pitch",
        "safety_chains.receiver_anchor_spread",
        "safety_chains.receiver_anchor_behind_ball",
        "safety_chains.receiver_anchor_height",
        "safety_chains.bar_anchor_spread",
        "safety_chains.bar_anchor_behind_ball",
        "safety_chains.bar_anchor_height",
        "hitch.ball_diameter",
        "safety_chains.heights_measured",
        "tow_bar.coupler_size",
    ),
    "gears and the speeds of the engine: what pulls well runs fast": (
        "tow_vehicle.rear_tyres.rolling_radius",
        "tow_vehicle.gearbox.final_drive",
        "tow_vehicle.gearbox.clutch_speed",
        "tow_vehicle.engine.idle",
        "tow_vehicle.engine.redline",
        "tow_vehicle.engine.peak_power_at",
        "tow_vehicle.engine.peak_torque_at",
    ),
    "one axle brakes less for what the other brakes more, and a high load leans on it": (
        "tow_vehicle.brakes.front_share",
        "tow_vehicle.cg_height",
    ),
}

WEIGHTS = (*TOW_AXLES, *TOWED_AXLES, TOW_LOAD, TOWED_LOAD, BAR)
HOLDS_BACK = (
    "tow_vehicle.drag_area",
    "towed_vehicle.drag_area",
    "tow_vehicle.rolling_resistance",
    "towed_vehicle.rolling_resistance",
)
ON_BRACKETS = (
    "bracket_bolts",
    "bracket_plate",
    "bracket_bending",
    "bracket_pin",
    "bracket_weld",
    "bracket_slip",
)
ALL_BRAKES = ("front_brakes", "rear_brakes", "towed_brakes")
PEAKS = ("tow_vehicle.engine.peak_power", "tow_vehicle.engine.peak_torque")

EXCEPTIONS = (
    Exception_(
        (*TOW_AXLES, TOW_LOAD, BAR), ("grip",), "what stands on a driven axle presses its tyres to the road"
    ),
    Exception_(
        (*TOW_AXLES, TOW_LOAD, BAR),
        ("stop_level", "stop_down"),
        "a heavier tow vehicle brakes harder, and is pushed less by what has no brakes",
    ),
    Exception_(
        (*TOW_AXLES, TOW_LOAD),
        ("straight_running",),
        "a heavier tow vehicle is thrown about less by what swings behind it",
    ),
    Exception_(
        (TOWED_LOAD, "towed_vehicle.rear_axle_empty"),
        ("straight_running",),
        "load ahead of the towed axle steadies it, and tyres that carry more hold more",
    ),
    Exception_(
        (TOW_LOAD, BAR),
        ("tow_front_gawr", "front_tyres"),
        "a lever: what stands behind the rear axle lifts the front one",
    ),
    Exception_(
        (BAR,),
        ("towed_rear_gawr", "towed_rear_tyres"),
        "a lever: what hangs ahead of the front axle lifts the rear one",
    ),
    Exception_(
        (TOWED_LOAD,),
        ("towed_front_gawr", "towed_front_tyres"),
        "a lever: what stands behind the rear axle lifts the front one",
    ),
    Exception_(
        (TOW_LOAD, BAR),
        ("bar_slope", "bar_tilt"),
        "the ball sinks, which levels a bar that rises towards the ball",
    ),
    Exception_(
        (TOW_LOAD,),
        ("vertical_load",),
        "the ball sinks, and the push of braking climbs a level bar less",
    ),
    Exception_(
        (TOW_LOAD, BAR),
        ("chain_length", "dropped_bar"),
        "the ball sinks: the coupler hangs lower already and has less far to fall",
    ),
    Exception_(
        ("bracket.lug_thickness",),
        ("bracket_pin",),
        "lugs that are thinner hold the pin nearer the eye, which bends it less",
    ),
    Exception_(
        ("bracket.torque", "bracket.nut_factor", "bracket.bolt_size"),
        ("bracket_slip",),
        "a bolt that is stretched more clamps more: by torque, by threads that turn easily, by being thin",
    ),
    Exception_(
        (TOW_LOAD,),
        ("bracket_fatigue",),
        "the ball sinks, and a bar that comes level lifts the brackets less",
    ),
    Exception_(
        (TOW_LOAD,),
        ON_BRACKETS,
        "the ball sinks, and a bar that comes level lifts the brackets less",
    ),
    Exception_(
        (TOWED_LOAD,),
        ON_BRACKETS,
        "a load behind the rear axle lifts the front wheels, which then meet a pothole's edge less hard and"
        " hold less when their steering is locked",
    ),
    Exception_(
        ("tow_vehicle.brakes.deceleration_alone",),
        ("vertical_load", *ON_BRACKETS),
        "what brakes less is pushed less from behind",
    ),
    Exception_(
        ("towed_vehicle.steering_lock",),
        ON_BRACKETS,
        "front wheels that stand at their lock drag less where they turn less far",
    ),
    Exception_(
        ("towed_vehicle.rolling_resistance",),
        ON_BRACKETS,
        "tyres that roll hard push less on the brackets under braking",
    ),
    Exception_(
        ("tow_vehicle.gearbox.efficiency", *HOLDS_BACK),
        ALL_BRAKES,
        "what holds back on the way down is spared the brakes",
    ),
    Exception_(
        ("tow_vehicle.engine.displacement",),
        ("coolant", "fuel"),
        "a smaller engine has less friction of its own to burn fuel for",
    ),
    Exception_(
        PEAKS, ("coolant", "fuel"), "an engine that gives less burns less, and warms its coolant less"
    ),
    Exception_(
        ("tow_vehicle.engine.peak_torque",),
        ("climb_speed", "pull_away"),
        "the same power with a lower peak of torque is a flatter curve: more at both its ends",
    ),
    Exception_(
        ("tow_vehicle.gvwr", "towed_vehicle.gvwr"),
        ("d_value",),
        "the regulation reckons the coupling by the permissible masses: less permitted, less asked of it",
    ),
    Exception_(("safety_chains.crossed",), ("chain_length",), "chains side by side reach with fewer links"),
    Exception_(
        ("safety_chains.greatest_articulation",),
        ("chain_clearance", "chain_length"),
        "chains that turn less need not reach as far, nor do their ends come as near to each other",
    ),
    Exception_(
        ("towed_vehicle.brake_share",), ("towed_brakes",), "brakes that do less of the work stay cooler"
    ),
    Exception_(
        ("conditions.air_temperature", HIGHER),
        ("fuel",),
        "thin air holds back less, and feeds the engine less",
    ),
    Exception_(
        ("conditions.air_temperature",),
        ("climb_speed",),
        "hot air holds back less, and a boosted engine keeps its power in it",
    ),
    Exception_(
        (STEEPER,),
        ("stop_down",),
        "a road is laid out with a longer sight where it falls more steeply (AASHTO Green Book 3.1.2)",
    ),
    Exception_(
        ("conditions.descent_speed",),
        (*ALL_BRAKES, "fuel"),
        "faster down: the air and the engine hold back more, and it is over sooner",
    ),
)

DRIVE = (
    *WEIGHTS,
    STEEPER,
    HIGHER,
    *HOLDS_BACK,
    *PEAKS,
    "conditions.air_temperature",
    "conditions.cruise_speed",
    "tow_vehicle.driven_axles",
    "tow_vehicle.engine.aspiration",
    "tow_vehicle.engine.braking_factor",
    "tow_vehicle.engine.displacement",
    "tow_vehicle.gearbox.efficiency",
    "tow_vehicle.gearbox.stall_torque_ratio",
)
# whatever changes the drive may bring the next gear in a little sooner: a step, and a small one
STEPS = Exception_(
    DRIVE,
    ("fuel", *ALL_BRAKES),
    "gears come in steps: the next one down turns the engine faster and holds back more",
)
# and no small one: the coolant is warmed by what the engine gives, not by what is asked of it
GEARS = Exception_(
    DRIVE,
    ("coolant",),
    "at full throttle an engine gives most at one speed: what is heavier or steeper may leave it in a gear at"
    " a speed at which it gives less, climb more slowly and make less heat",
)
SMALL_STEP = 0.02  # of demand or capacity, the larger

# what is over may be not known when it gets still worse, because nothing is left to be worked out: these
# words then say why
NO_MORE_KNOWN = {
    "the pair stops": "where the pair stands still nothing behind it is driven",
    "the engine's curve": "peaks of torque and power through which no curve goes any more",
    "is listed": "a chain or bolt that no table lists",
}

# (field, limit) that may be within once the field is not known, and why
_SIGHT = "without the reader's own figure the road's is taken, as it is laid out at its speed limit"
_TURN = "without one, the tightest the tow vehicle can turn counts: no turn of the way asks more of the pair"
_WEIGHED = (
    "taken as weighed empty, as the question says; then the people and cargo of the rig file are counted"
)
UNKNOWN_EXCEPTIONS: dict[tuple[str, str], str] = {
    ("conditions.shortest_sight", "stop_level"): _SIGHT,
    ("conditions.shortest_sight", "stop_down"): _SIGHT,
    ("conditions.tightest_turn", "turn_angle"): _TURN,
    ("conditions.tightest_turn", "chain_turn"): _TURN,
    ("conditions.tightest_turn", "towed_lock"): _TURN,
    ("tow_vehicle.weighed", "payload"): _WEIGHED,
}
