"""A drawing for each part of the rig: what is measured has a lettered arrow, what is read off has a letter at
its place.

Form and printed measuring sheet show the same drawings, and put the same letters in front of their questions.
"""

import base64
import re
from collections.abc import Callable
from functools import cache
from typing import NamedTuple

from towlib.print.field_lists import RigField, need_field, rig_fields
from towlib.rig.model import ROW_TABLES, row_of
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
    """One drawing: what it shows, its height, and who draws it; it letters fields A, B, C … in the order of
    the questions.
    """

    shows: str
    height: float
    draw: Callable[[Sketch], None]


_TYRES = Drawing(
    "A wheel on the road, a piece of tyre sidewall and a pressure gauge",
    25,
    tyres_drawing,
)
DRAWINGS = {
    "tow_vehicle": Drawing(
        "The tow vehicle from the side and from behind, a weighbridge under one axle, the sticker and the"
        " manual",
        58,
        tow_vehicle_drawing,
    ),
    "tow_vehicle.front_tyres": _TYRES,
    "tow_vehicle.rear_tyres": _TYRES,
    "towed_vehicle.tyres": _TYRES,
    "tow_vehicle.engine": Drawing(
        "The rev counter, and pull and power of an engine over its speed",
        30,
        engine_drawing,
    ),
    "tow_vehicle.gearbox": Drawing(
        "Engine, gearbox and driven axle from the side",
        20,
        gearbox_drawing,
    ),
    "tow_vehicle.cooling": Drawing("The coolant gauge and the radiator", 23, cooling_drawing),
    "tow_vehicle.brakes": Drawing(
        "A brake disc on a bathroom scale, its faces, and the packet of the lining",
        24,
        brakes_drawing,
    ),
    "towed_vehicle": Drawing(
        "The towed vehicle from the side, from ahead and its turned front wheel, a weighbridge under one"
        " axle, the maker's plate",
        59,
        towed_vehicle_drawing,
    ),
    "towed_vehicle.driveline": Drawing(
        "The driveline of the towed vehicle from above",
        36,
        driveline_drawing,
    ),
    "hitch": Drawing(
        "Receiver, ball mount and ball from the side, with the places of their stamps",
        42,
        hitch_drawing,
    ),
    "tow_bar": Drawing(
        "The tow bar from the side and from above",
        50,
        tow_bar_drawing,
    ),
    "bracket": Drawing(
        "One bracket from the side and from the front, a bolt's head and shank, its lugs from above and"
        " from the side",
        67,
        bracket_drawing,
    ),
    "bracket.bolts": Drawing(
        "The bolts of one bracket from the side and from the front, counted from the bar's pin",
        30,
        bolts_drawing,
    ),
    "safety_chains": Drawing(
        "The safety chains from above and from the side, and one link",
        66,
        chains_drawing,
    ),
    "lights": Drawing(
        "The lamp socket, a lamp of the towed vehicle and where the meter's leads go",
        34,
        lights_drawing,
    ),
    "battery": Drawing(
        "The label of the battery and a meter at its negative pole",
        26,
        battery_drawing,
    ),
    "other_ways": Drawing(
        "A dolly and a trailer from the side, with a scale under the coupler, and from above",
        46,
        other_ways_drawing,
    ),
    "load": Drawing("The tow vehicle from the side with a person and a box", 26, load_drawing),
    "conditions": Drawing(
        "The road: a ramp, a pothole and a tight turn",
        26,
        conditions_drawing,
    ),
}

# fields that are a length or are needed, and no drawing: why
NOT_DRAWN = {
    "tow_vehicle.cg_height": NO_TAPE,
    "towed_vehicle.tyre_trail": "no tape reaches it; leave it empty, or ask the tyre's maker",
    "tow_bar.sag": "shows only under load, with the bar off the vehicles",
    "tow_bar.off_track": "shows only while both vehicles roll",
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


@cache
def letters(table: str) -> dict[str, str]:
    """Letter -> field path of a part of the rig; rows of a table stand as 'load.0'."""
    if table not in DRAWINGS:
        return {}
    stem = f"{table}.0." if table in ROW_TABLES else f"{table}."
    drawn = {f"{stem}{name}" for name in sketch_of(table).lettered}
    return dict(zip(LETTERS, (field.path for field in rig_fields() if field.path in drawn), strict=False))


def letter_of(path: str) -> str:
    """The letter in front of a field's question; empty when the drawing does not show it."""
    row = row_of(path)
    table, field = (row[0], f"{row[0]}.0.{row[2]}") if row else (path.rpartition(".")[0], path)
    return next((letter for letter, each in letters(table).items() if each == field), "")


def sketch_of(table: str) -> Sketch:
    """The drawing of a part of the rig, its letters not written yet."""
    sketch = Sketch(DRAWINGS[table].height)
    DRAWINGS[table].draw(sketch)
    return sketch


def lettered_sketch(table: str) -> Sketch:
    """The drawing of a part of the rig."""
    sketch = sketch_of(table)
    sketch.write_letters({path.rpartition(".")[2]: letter for letter, path in letters(table).items()})
    return sketch


@cache
def drawing_svg(table: str) -> str:
    """The drawing as an SVG element; parts that look the same are drawn once."""
    same = next(name for name, drawing in DRAWINGS.items() if drawing is DRAWINGS[table])
    return lettered_sketch(table).picture.svg() if same == table else drawing_svg(same)


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
