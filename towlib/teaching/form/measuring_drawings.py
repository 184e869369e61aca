"""A drawing for each part of the rig: what is measured has a lettered arrow, what is read off has a letter at
its place.

Form and printed measuring sheet show the same drawings, and put the same letters in front of their questions.
"""

import base64
import re
from collections.abc import Callable
from functools import cache
from typing import NamedTuple

from towlib.print.field_lists import RigField, need_field
from towlib.rig.model import row_of
from towlib.teaching.form.measuring_details import bolts_drawing, bracket_drawing, chains_drawing
from towlib.teaching.form.measuring_places import (
    battery_drawing,
    brakes_drawing,
    conditions_drawing,
    cooling_drawing,
    engine_drawing,
    gearbox_drawing,
    lights_drawing,
    load_drawing,
    other_ways_drawing,
    tyres_drawing,
)
from towlib.teaching.form.measuring_sketch import Sketch
from towlib.teaching.form.measuring_views import (
    driveline_drawing,
    hitch_drawing,
    tow_bar_drawing,
    tow_vehicle_drawing,
    towed_vehicle_drawing,
)

LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
NO_TAPE = "no tape reaches it; leave it empty, or have a workshop weigh the vehicle inclined"


class Drawing(NamedTuple):
    """One drawing: what it shows, its height, and the fields it letters A, B, C … in this order."""

    shows: str
    height: float
    names: str
    draw: Callable[[Sketch], None]


_TYRES = Drawing(
    "A wheel on the road, a piece of tyre sidewall and a pressure gauge",
    25,
    "load_index pressure full_load_pressure rolling_radius width",
    tyres_drawing,
)
DRAWINGS = {
    "tow_vehicle": Drawing(
        "The tow vehicle from the side and from behind, a weighbridge under one axle, the sticker and the"
        " manual",
        58,
        "front_axle_empty rear_axle_empty wheelbase ball_behind_rear_axle gvwr front_gawr rear_gawr payload"
        " gcwr tow_rating_unbraked tow_rating_braked front_spring_rate rear_spring_rate track turning_circle"
        " fuel_tank body_width body_height front_overhang rear_overhang",
        tow_vehicle_drawing,
    ),
    "tow_vehicle.front_tyres": _TYRES,
    "tow_vehicle.rear_tyres": _TYRES,
    "towed_vehicle.tyres": _TYRES,
    "tow_vehicle.engine": Drawing(
        "The rev counter, and pull and power of an engine over its speed",
        30,
        "idle redline peak_torque peak_torque_at peak_power peak_power_at curve",
        engine_drawing,
    ),
    "tow_vehicle.gearbox": Drawing(
        "Engine, gearbox and driven axle from the side",
        20,
        "kind ratios final_drive stall_torque_ratio",
        gearbox_drawing,
    ),
    "tow_vehicle.cooling": Drawing(
        "The coolant gauge and the radiator", 23, "conductance thermostat highest_coolant", cooling_drawing
    ),
    "tow_vehicle.brakes": Drawing(
        "A brake disc on a bathroom scale, its faces, and the packet of the lining",
        24,
        "front_heated_mass rear_heated_mass front_cooled_area rear_cooled_area highest_front highest_rear"
        " front_rubbed_area front_face_depth",
        brakes_drawing,
    ),
    "towed_vehicle": Drawing(
        "The towed vehicle from the side, from ahead and its turned front wheel, a weighbridge under one"
        " axle, the maker's plate",
        59,
        "front_axle_empty rear_axle_empty wheelbase gvwr front_gawr rear_gawr bracket_height bracket_spread"
        " bracket_ahead_of_front_axle track steering_lock"
        " body_width body_height front_overhang rear_overhang",
        towed_vehicle_drawing,
    ),
    "towed_vehicle.driveline": Drawing(
        "The driveline of the towed vehicle from above",
        36,
        "transfer_case transfer_case_position low_range gearbox gearbox_position front_hubs front_shaft_in"
        " rear_shaft_in front_locked rear_locked front_final_drive rear_final_drive steering_is_free",
        driveline_drawing,
    ),
    "hitch": Drawing(
        "Receiver, ball mount and ball from the side, with the places of their stamps",
        42,
        "receiver_height receiver_rating receiver_vertical_rating ball_mount_change ball_mount_rating"
        " lowest_point_height ball_diameter ball_rating d_value_rating",
        hitch_drawing,
    ),
    "tow_bar": Drawing(
        "The tow bar from the side and from above",
        50,
        "length mass rating bracket_rating narrowest_spread widest_spread greatest_slope "
        "greatest_pitch greatest_swing depth",
        tow_bar_drawing,
    ),
    "bracket": Drawing(
        "One bracket from the side and from the front, a bolt's head and shank",
        40,
        "bolt_size bolt_grade bolts_run threads_in_plane "
        "plate_thickness hole_diameter edge_distance plate_width pin_diameter pin_is_held_both_sides",
        bracket_drawing,
    ),
    "bracket.bolts": Drawing(
        "The bolts of one bracket from the side and from the front, counted from the bar's pin",
        30,
        "behind_pin above_pin outboard_of_pin",
        bolts_drawing,
    ),
    "safety_chains": Drawing(
        "The safety chains from above and from the side, and one link",
        66,
        "grade size crossed links link_pitch hook_rating anchor_rating receiver_anchor_spread"
        " receiver_anchor_behind_ball receiver_anchor_height bar_anchor_spread bar_anchor_behind_ball"
        " bar_anchor_height second_pair_fitted ground_clearance",
        chains_drawing,
    ),
    "lights": Drawing(
        "The lamp socket, a lamp of the towed vehicle and where the meter's leads go",
        34,
        "plug_volts lamp_volts ground_drop stop_current turn_current tow_side_current wire_size wire_length",
        lights_drawing,
    ),
    "battery": Drawing(
        "The label of the battery and a meter at its negative pole",
        26,
        "capacity rated_hours kind cold_cranking age_years key_on_current feed_current",
        battery_drawing,
    ),
    "other_ways": Drawing(
        "A dolly and a trailer from the side, with a scale under the coupler, and from above",
        46,
        "dolly_mass dolly_gvwr dolly_ball_load trailer_mass trailer_gvwr trailer_tongue_share"
        " dolly_length dolly_width dolly_deck_height"
        " trailer_length trailer_width trailer_deck_length trailer_deck_height",
        other_ways_drawing,
    ),
    "load": Drawing(
        "The tow vehicle from the side with a person and a box", 26, "mass behind_front_axle", load_drawing
    ),
    "conditions": Drawing(
        "The road: a ramp, a pothole and a tight turn",
        26,
        "tightest_turn ramp_change ramp_radius pothole_edge",
        conditions_drawing,
    ),
}

# fields that are a length or are needed, and no drawing: why
NOT_DRAWN = {
    "tow_vehicle.cg_height": NO_TAPE,
    "towed_vehicle.tyre_trail": "no tape reaches it; leave it empty, or ask the tyre's maker",
    "safety_chains.anchor_give": "shows only under load, not on vehicles that stand",
    "load.0.name": "words, nothing to measure",
}

NOTES = {
    "tow_vehicle": (
        "Spring rate of an axle: measure hub to wheel arch, put a known mass over that axle (people in the"
        " bed do), measure again, both sides. Rate = mass × 9.81 / mean sink; 100 kg and 12 mm give 82 kN/m."
    ),
    "bracket.bolts": (
        "From the pin: behind, above and outboard are +; ahead, below and inboard are −. One row for each"
        " bolt of one bracket."
    ),
}


def question(field: RigField) -> str:
    """A field's label as it is asked: yes and no where the file says true and false."""
    return (
        re.sub(r"^(true|false)\b", lambda word: {"true": "yes", "false": "no"}[word[1]], field.label)
        if field.kind == "yes or no"
        else field.label
    )


def letters(table: str) -> dict[str, str]:
    """Letter -> field path of a part of the rig; rows of a table stand as 'load.0'."""
    drawing = DRAWINGS.get(table)
    stem = f"{table}.0" if table in ("load", "bracket.bolts") else table
    return {
        letter: f"{stem}.{name}"
        for letter, name in zip(LETTERS, drawing.names.split() if drawing else (), strict=False)
    }


def letter_of(path: str) -> str:
    """The letter in front of a field's question; empty when the drawing does not show it."""
    row = row_of(path)
    table, name = (row[0], row[2]) if row else (path.rpartition(".")[0], path.rpartition(".")[2])
    names = DRAWINGS[table].names.split() if table in DRAWINGS else []
    return LETTERS[names.index(name)] if name in names else ""


def sketch_of(table: str) -> Sketch:
    """The drawing of a part of the rig."""
    drawing = DRAWINGS[table]
    names = drawing.names.split()
    sketch = Sketch(drawing.height, lambda name: LETTERS[names.index(name)])
    drawing.draw(sketch)
    return sketch


@cache
def drawing_svg(table: str) -> str:
    """The drawing as an SVG element; parts that look the same are drawn once."""
    same = next(name for name, drawing in DRAWINGS.items() if drawing is DRAWINGS[table])
    return sketch_of(table).picture.svg() if same == table else drawing_svg(same)


def drawing_address(table: str) -> str:
    """The drawing as the address of an image, sharp at every size of the screen."""
    return "data:image/svg+xml;base64," + base64.b64encode(drawing_svg(table).encode()).decode()


def drawing_words(table: str) -> str:
    """What the drawing shows, for those who do not see it."""
    return (
        f"{DRAWINGS[table].shows}. "
        + "; ".join(f"{letter}: {question(need_field(path))}" for letter, path in letters(table).items())
        + "."
    )
