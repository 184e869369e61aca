"""A rig of round figures, so that every limit can be worked out with a pencil; nothing of it exists. Loads
differ out and back, nothing is assumed and nothing carries a ±.
"""

from towlib.limits.decision import answer
from towlib.limits.limit import Limit, Rule
from towlib.rig.facts import Facts
from towlib.rig.model import Rig, read_rig_text

TEXT = """
name = "round figures"
[tow_vehicle]
front_axle_empty = "1200 kg"
rear_axle_empty = "1000 kg"
wheelbase = "4 m"
ball_behind_rear_axle = "1 m"
gvwr = "3000 kg"
front_gawr = "1500 kg"
rear_gawr = "1800 kg"
payload = "800 kg"
gcwr = "5000 kg"
tow_rating_unbraked = "1800 kg"
tow_rating_braked = "3500 kg"
front_spring_rate = "98.0665 kN/m"
rear_spring_rate = "196.133 kN/m"
brakes.deceleration_alone = "8 m/s2"
[tow_vehicle.front_tyres]
load_index = 100
kind = "LT"
pressure = "255 kPa"
full_load_pressure = "300 kPa"
[tow_vehicle.rear_tyres]
load_index = 108
kind = "LT"
pressure = "270 kPa"
full_load_pressure = "300 kPa"
[towed_vehicle]
front_axle_empty = "800 kg"
rear_axle_empty = "600 kg"
wheelbase = "2.5 m"
gvwr = "1900 kg"
front_gawr = "950 kg"
rear_gawr = "1000 kg"
bracket_height = "0.7 m"
bracket_spread = "0.6 m"
bracket_ahead_of_front_axle = "0.5 m"
brakes_fitted = false
rolling_resistance = 0.015
steering_lock = "30 deg"
track = "1.4 m"
[towed_vehicle.tyres]
load_index = 95
kind = "LT"
pressure = "200 kPa"
full_load_pressure = "250 kPa"
rolling_radius = "0.35 m"
[hitch]
receiver_height = "0.5 m"
receiver_rating = "2300 kg"
receiver_vertical_rating = "230 kg"
ball_mount_change = "0.1 m"
ball_mount_rating = "2200 kg"
ball_rating = "2100 kg"
ball_diameter = "50 mm"
d_value_rating = "15 kN"
strength_along = "50 kN"
lowest_point_height = "0.4 m"
[tow_bar]
length = "1.5 m"
mass = "20 kg"
depth = "80 mm"
rule = "federal tow-bar rule"
strength_along = "40 kN"
coupler_size = "50 mm"
latch_closed = true
pins_clipped = true
rating = "2000 kg"
bracket_rating = "1900 kg"
narrowest_spread = "0.5 m"
widest_spread = "0.9 m"
greatest_slope = "6 deg"
greatest_pitch = "20 deg"
adjustable = true
sag = "4 mm"
off_track = "50 mm"
pulls_on_bumpers = false
[bracket]
bolt_size = "M12"
bolt_grade = "8.8"
bolt_length = "60 mm"
bolts_run = "across"
threads_in_plane = false
torque = "80 N m"
nut_factor = 0.2
factor_asked = 1.5
plate_thickness = "8 mm"
plate_yield = "240 MPa"
hole_diameter = "14 mm"
edge_distance = "30 mm"
plate_width = "120 mm"
plate_free_width = "90 mm"
lug_thickness = "12 mm"
lug_width = "60 mm"
eye_thickness = "22 mm"
eye_gap = "1.5 mm"
lugs_welded = true
weld_leg = "7 mm"
weld_length = "55 mm"
pin_diameter = "20 mm"
pin_yield = "300 MPa"
pin_is_held_both_sides = true
plate_friction = "20 %"
joint_faces = 1
alternating_load = "35 %"
[[bracket.bolts]]
behind_pin = "60 mm"
above_pin = "40 mm"
outboard_of_pin = "20 mm"
[[bracket.bolts]]
behind_pin = "160 mm"
above_pin = "40 mm"
outboard_of_pin = "20 mm"
[[bracket.bolts]]
behind_pin = "60 mm"
above_pin = "-20 mm"
outboard_of_pin = "20 mm"
[[bracket.bolts]]
behind_pin = "180 mm"
above_pin = "-30 mm"
outboard_of_pin = "20 mm"
[safety_chains]
grade = "43"
size = "3/8"
rule_strength = "working"
rule_count = "each"
crossed = true
links = 24
link_pitch = "30 mm"
hook_rating = "2400 kg"
anchor_rating = "2500 kg"
receiver_anchor_spread = "300 mm"
receiver_anchor_behind_ball = "-200 mm"
receiver_anchor_height = "450 mm"
bar_anchor_spread = "200 mm"
bar_anchor_behind_ball = "350 mm"
bar_anchor_height = "600 mm"
heights_measured = "loaded"
second_pair_fitted = true
second_pair_rating = "2600 kg"
greatest_articulation = "60 deg"
ground_clearance = "120 mm"
[conditions]
ramp_change = "12 %"
ramp_radius = "6 m"
pothole_edge = "50 mm"
curve_acceleration = "3 m/s2"
[[load]]
name = "driver"
mass = "80 kg"
behind_front_axle = "2 m"
[[load]]
name = "passenger, home"
mass = "100 kg"
behind_front_axle = "2 m"
way = "back"
[[load]]
name = "boat on the tail, there"
mass = "200 kg"
behind_front_axle = "5 m"
way = "out"
[[load]]
name = "spare wheel behind"
mass = "50 kg"
vehicle = "towed"
behind_front_axle = "3 m"
[[load]]
name = "firewood, home"
mass = "120 kg"
vehicle = "towed"
behind_front_axle = "0.5 m"
way = "back"
"""

ROUND = read_rig_text(TEXT)
KG_LB, N_LBF, M_IN = 0.45359237, 4.4482216152605, 0.0254  # exact by definition (check value list)


def asked(rule: Rule, rig: Rig, way: str) -> tuple[float, float]:
    """What a limit asks and allows on one way."""
    facts = Facts(rig)
    return float(rule.demand(facts, way)), float(rule.capacity(facts, way))


def limit_of(rule: Rule, rig: Rig) -> Limit:
    """The limit of a rig."""
    return answer(rule, Facts(rig))


# what the height of the ball, and with it the slope of the bar, hangs on
SIDE_VIEW = (
    "tow_vehicle.front_axle_empty",
    "tow_vehicle.rear_axle_empty",
    "tow_vehicle.wheelbase",
    "tow_vehicle.ball_behind_rear_axle",
    "tow_vehicle.front_spring_rate",
    "tow_vehicle.rear_spring_rate",
    "hitch.receiver_height",
    "hitch.ball_mount_change",
    "towed_vehicle.bracket_height",
    "tow_bar.length",
)
