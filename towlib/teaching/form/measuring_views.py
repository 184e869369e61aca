"""Measuring drawings of the vehicles, the driveline, the hitch and the bar: side views and top views, not to
scale.
"""

from towlib.teaching.form.measuring_sketch import (
    BODY,
    METAL,
    PAPER,
    Sketch,
    axle_on_scale,
    end_view,
    label,
    off_roader,
    pickup,
    polar,
)


def tow_vehicle_drawing(sketch: Sketch) -> None:
    """From the side and from behind; weighbridge, sticker, manual below."""
    scale, rear, ground = 8.6, 16.0, 36.0
    front, ball = rear + 3.4 * scale, rear - 1.35 * scale
    sketch.line((0.5, ground), (60.0, ground), width=2.2)
    pickup(sketch, (rear, ground), scale)
    sketch.line((rear - 1.0 * scale, ground + 4.4), (ball, ground + 4.4), (ball, ground + 5.4), width=3.0)
    sketch.circle(ball, ground + 6.0, 0.8, "black")
    for x, top in ((rear, ground + 3.0), (front, ground + 3.0), (ball, ground + 5.0)):
        sketch.line((x, top), (x, ground - 3.2), width=0.8, dashed=True)
    sketch.length("wheelbase", (rear, ground - 2.6), (front, ground - 2.6))
    sketch.length("ball_behind_rear_axle", (ball, ground - 2.6), (rear, ground - 2.6))
    for name, x in (("rear_spring_rate", rear), ("front_spring_rate", front)):
        sketch.length(name, (x, ground + 3.3), (x, ground + 8.1), at=(x + 2.9, ground + 11.4))
    sketch.words("hub to wheel arch, before and after loading", 33.0, ground + 20.0)
    bumper, nose, roof = rear - 1.13 * scale, front + 0.85 * scale, ground + 1.8 * scale
    sketch.line((bumper, ground + 4.4), (bumper, ground - 5.8), width=0.8, dashed=True)
    sketch.line((rear, ground - 3.2), (rear, ground - 5.8), width=0.8, dashed=True)
    sketch.length("rear_overhang", (bumper, ground - 5.2), (rear, ground - 5.2))
    sketch.line((nose, ground + 4.4), (nose, ground - 3.2), width=0.8, dashed=True)
    sketch.length("front_overhang", (front, ground - 2.6), (nose, ground - 2.6))
    sketch.line((rear + 2.1 * scale, roof), (58.0, roof), width=0.8, dashed=True)
    sketch.length("body_height", (57.0, ground), (57.0, roof))
    end_view(sketch, 72.0, ground, 13.0, 14.0)
    for x in (64.7, 79.3):
        sketch.line((x, ground + 8.7), (x, ground + 16.2), width=0.8, dashed=True)
    sketch.length("body_width", (64.7, ground + 15.6), (79.3, ground + 15.6))
    sketch.line((62.0, ground), (82.0, ground), width=2.2)
    sketch.length("track", (65.5, ground - 2.6), (78.5, ground - 2.6))
    sketch.words("from behind", 72.0, ground + 18.6)
    sketch.arc(91.5, ground + 6.5, 7.0, start_deg=0, end_deg=360, dashed=True)
    outside = (
        (4.4, 18.0),
        (6.5, 24.6),
        (7.0, 64.3),
        (5.1, 75.1),
    )  # the outer front corner runs on the circle
    sketch.body([polar(91.5, ground + 6.5, radius, angle) for radius, angle in outside])
    sketch.length("turning_circle", (84.5, ground + 6.5), (98.5, ground + 6.5))
    sketch.words("tightest circle", 91.5, ground + 18.4)
    sketch.words("between kerbs", 91.5, ground + 15.8)
    axle_on_scale(sketch, 1.0, 16.0, "front_axle_empty", is_front=True)
    axle_on_scale(sketch, 1.0, 0.5, "rear_axle_empty", is_front=False)
    sketch.words("weighbridge", 7.0, 28.0)
    label(
        sketch,
        29.0,
        25.0,
        "sticker, driver's door frame",
        [
            ("gvwr", "GVWR"),
            ("front_gawr", "GAWR front"),
            ("rear_gawr", "GAWR rear"),
            ("payload", "people and cargo,"),
            ("", "never more than …"),
        ],
        width=27.0,
    )
    label(
        sketch,
        64.0,
        25.0,
        "maker's manual",
        [
            ("gcwr", "GCWR, both together"),
            ("tow_rating_unbraked", "tow rating, no brakes"),
            ("tow_rating_braked", "tow rating, brakes"),
            ("fuel_tank", "tank"),
            ("", "turning circle, …"),
        ],
        width=29.0,
    )


def towed_vehicle_drawing(sketch: Sketch) -> None:
    """From the side, from ahead, one front wheel from above; weighbridge and plate below."""
    scale, front, ground = 9.4, 37.0, 36.0
    rear, pins = front - 2.3 * scale, front + 0.62 * scale
    sketch.line((4.0, ground), (56.0, ground), width=2.2)
    off_roader(sketch, (front, ground), scale)
    sketch.line((front + 0.3 * scale, ground + 5.4), (pins, ground + 5.4), width=3.0)
    sketch.circle(pins, ground + 5.4, 0.9, "white")
    for x, top in ((rear, ground + 3.0), (front, ground + 3.0), (pins, ground + 4.6)):
        sketch.line((x, top), (x, ground - 3.2), width=0.8, dashed=True)
    sketch.length("wheelbase", (rear, ground - 2.6), (front, ground - 2.6))
    sketch.length(
        "bracket_ahead_of_front_axle",
        (front, ground - 2.6),
        (pins, ground - 2.6),
        at=(pins + 2.6, ground - 2.6),
    )
    sketch.line((pins, ground + 5.4), (pins + 6.0, ground + 5.4), width=0.8, dashed=True)
    sketch.length(
        "bracket_height", (pins + 5.0, ground), (pins + 5.0, ground + 5.4), at=(pins + 7.8, ground + 2.7)
    )
    sketch.words("pins of the bar", pins + 1.0, ground + 8.0, "left")
    tail, nose, roof = rear - 0.5 * scale, front + 0.42 * scale, ground + 1.68 * scale
    sketch.line((tail, ground + 4.9), (tail, ground - 3.2), width=0.8, dashed=True)
    sketch.length("rear_overhang", (tail, ground - 2.6), (rear, ground - 2.6), at=(tail - 2.8, ground - 2.6))
    sketch.line((nose, ground + 4.9), (nose, ground - 5.8), width=0.8, dashed=True)
    sketch.line((front, ground - 3.2), (front, ground - 5.8), width=0.8, dashed=True)
    sketch.length(
        "front_overhang", (front, ground - 5.2), (nose, ground - 5.2), at=(nose + 3.0, ground - 5.2)
    )
    sketch.line((5.5, roof), (tail + 0.1 * scale, roof), width=0.8, dashed=True)
    sketch.length("body_height", (6.5, ground), (6.5, roof))
    end_view(sketch, 67.0, ground, 13.0, 15.0)
    for x in (59.7, 74.3):
        sketch.line((x, ground + 9.3), (x, ground + 17.2), width=0.8, dashed=True)
    sketch.length("body_width", (59.7, ground + 16.6), (74.3, ground + 16.6))
    sketch.line((57.0, ground), (77.0, ground), width=2.2)
    for side in (-1.0, 1.0):
        sketch.circle(67.0 + 4.2 * side, ground + 5.2, 0.8, "white")
    sketch.length("bracket_spread", (62.8, ground + 5.2), (71.2, ground + 5.2))
    sketch.length("track", (60.5, ground - 2.6), (73.5, ground - 2.6))
    sketch.words("from ahead", 67.0, ground + 19.6)
    middle = (87.0, ground + 5.0)
    sketch.line((middle[0], middle[1] - 5.0), (middle[0], middle[1] + 8.0), dashed=True)
    turned = [polar(*middle, 5.0, 120), polar(*middle, 5.0, 300)]
    sketch.body(
        [
            (x + dx, y)
            for (x, y), dx in ((turned[0], -1.2), (turned[0], 1.2), (turned[1], 1.2), (turned[1], -1.2))
        ],
        "#BDBDBD",
    )
    sketch.line(polar(*middle, 9.0, 120), polar(*middle, 7.0, 300), dashed=True)
    sketch.turned("steering_lock", middle, 8.0, start_deg=90, end_deg=120)
    sketch.words("inner front wheel", 89.0, ground + 21.8)
    sketch.words("from above, chalk", 89.0, ground + 19.4)
    axle_on_scale(sketch, 6.0, 16.0, "front_axle_empty", is_front=True, is_towed=True)
    axle_on_scale(sketch, 6.0, 0.5, "rear_axle_empty", is_front=False, is_towed=True)
    sketch.words("weighbridge", 11.0, 29.2)
    label(
        sketch,
        42.0,
        22.0,
        "maker's plate or sticker",
        [("gvwr", "GVWR"), ("front_gawr", "GAWR front"), ("rear_gawr", "GAWR rear")],
        width=27.0,
    )


def driveline_drawing(sketch: Sketch) -> None:
    """From above; the front is on the right."""

    def axle(x: float) -> None:
        sketch.line((x, 5.0), (x, 29.0), width=3.0)
        for y in (5.0, 29.0):
            sketch.box(x - 4.0, y - 1.8, 8.0, 3.6, "#BDBDBD")
        sketch.circle(x, 17.0, 2.6)

    axle(14.0)
    axle(82.0)
    sketch.line((16.6, 17.0), (34.0, 17.0), width=3.0)
    sketch.box(34.0, 13.0, 9.0, 12.0, METAL)
    sketch.words("transfer", 38.5, 10.8)
    sketch.words("case", 38.5, 8.6)
    sketch.box(43.0, 18.5, 11.0, 6.5, METAL)
    sketch.words("gearbox", 48.5, 21.7)
    sketch.box(54.0, 17.5, 11.0, 8.5)
    sketch.words("engine", 59.5, 21.7)
    sketch.line((43.0, 15.0), (79.6, 15.8), width=3.0)
    sketch.circle(48.0, 30.5, 2.8, "white")
    sketch.circle(48.0, 30.5, 0.6, "black")
    sketch.words("steering wheel", 52.0, 30.5, "left")
    sketch.words("rear", 14.0, 34.0)
    sketch.words("front", 82.0, 34.0)
    sketch.place("transfer_case", (31.0, 23.0), (34.5, 20.5))
    sketch.place("transfer_case_position", (34.0, 28.5), (36.5, 24.5))
    sketch.place("low_range", (39.5, 28.5), (39.0, 24.5))
    sketch.place("gearbox", (45.5, 12.2), (46.0, 18.7))
    sketch.place("gearbox_position", (51.5, 11.6), (51.0, 18.7))
    sketch.place("front_hubs", (73.0, 29.0), (78.3, 29.0))
    sketch.place("front_shaft_in", (66.0, 10.0), (66.0, 15.0))
    sketch.place("rear_shaft_in", (25.0, 11.5), (25.0, 16.6))
    sketch.place("front_locked", (88.5, 20.0), (84.2, 18.0))
    sketch.place("rear_locked", (7.5, 20.0), (11.8, 18.0))
    sketch.place("front_final_drive", (88.5, 14.0), (84.2, 16.0))
    sketch.place("rear_final_drive", (7.5, 14.0), (11.8, 16.0))
    sketch.place("steering_is_free", (41.0, 32.6), (45.4, 31.4))


def hitch_drawing(sketch: Sketch) -> None:
    """From the side, the vehicle to the right."""
    sketch.line((2.0, 4.0), (66.0, 4.0), width=2.2)
    sketch.words("road", 63.0, 2.0)
    sketch.body([(47.0, 24.0), (66.0, 24.0), (66.0, 39.0), (49.0, 39.0), (47.0, 36.0)])
    sketch.words("tow vehicle", 57.5, 33.0)
    sketch.box(40.0, 26.0, 20.0, 5.0, METAL)
    sketch.words("receiver", 53.0, 28.6)
    sketch.body(
        [
            (42.0, 27.0),
            (30.0, 27.0),
            (26.0, 18.0),
            (15.0, 18.0),
            (15.0, 20.6),
            (24.6, 20.6),
            (28.6, 30.0),
            (42.0, 30.0),
        ],
        BODY,
    )
    sketch.box(19.0, 20.6, 2.0, 2.0, METAL)
    sketch.circle(20.0, 25.0, 3.0, METAL)
    sketch.box(18.4, 14.0, 3.2, 4.0, METAL)
    sketch.line((9.0, 25.0), (20.0, 25.0), width=0.8, dashed=True)
    sketch.line((9.0, 28.5), (46.0, 28.5), width=0.8, dashed=True)
    sketch.length("ball_mount_change", (10.5, 25.0), (10.5, 28.5), at=(6.6, 26.8))
    sketch.words("drawn here: −", 1.0, 31.6, "left")
    sketch.length("receiver_height", (45.0, 4.0), (45.0, 28.5), at=(45.0, 14.0))
    sketch.length("lowest_point_height", (20.0, 4.0), (20.0, 14.0))
    sketch.length("ball_diameter", (17.0, 32.0), (23.0, 32.0), at=(20.0, 35.6))
    for x in (17.0, 23.0):
        sketch.line((x, 25.6), (x, 33.0), width=0.8, dashed=True)
    sketch.words("nut", 23.0, 15.6, "left")
    sketch.place("ball_rating", (27.5, 36.5), (21.3, 27.2))
    sketch.words("stamp on the ball", 30.0, 38.6, "left")
    sketch.place("ball_mount_rating", (31.5, 21.5), (28.2, 23.5))
    sketch.words("stamp", 34.0, 20.4, "left")
    label(
        sketch,
        70.0,
        35.0,
        "sticker on the receiver",
        [("receiver_rating", "towed weight"), ("receiver_vertical_rating", "vertical load")],
        width=24.0,
    )
    label(
        sketch,
        70.0,
        17.0,
        "plate on the coupling",
        [("d_value_rating", "D  …  kN"), ("", "(some countries)")],
        width=24.0,
    )


def tow_bar_drawing(sketch: Sketch) -> None:
    """From the side above, from above below."""
    coupler, pin = (72.0, 42.0), (14.0, 37.0)
    sketch.body(
        [
            (coupler[0], coupler[1] + 1.2),
            (pin[0], pin[1] + 1.2),
            (pin[0], pin[1] - 1.2),
            (coupler[0], coupler[1] - 1.2),
        ]
    )
    sketch.body([(70.0, 40.2), (76.0, 40.8), (76.0, 44.6), (70.0, 43.8)], METAL)
    sketch.circle(73.0, 41.0, 1.7, "black")
    sketch.circle(*pin, 1.6, "white")
    sketch.words("from the side", 36.0, 49.0)
    sketch.words("coupler on the ball", 78.0, 47.5)
    sketch.place("coupler_size", (91.0, 36.2), (75.0, 41.4))
    sketch.place("latch_closed", (66.0, 47.6), (70.6, 43.2))
    sketch.place("pins_clipped", (9.0, 41.6), (13.2, 38.0))
    sketch.words("pin", 10.0, 37.0)
    for x, y in ((pin[0], pin[1] - 1.6), (73.0, 39.4)):
        sketch.line((x, y), (x + 0.4, y - 5.6), width=0.8, dashed=True)
    sketch.length("length", (14.4, 30.9), (73.4, 34.9))  # along the bar
    sketch.words("to the middle between the bracket pins,", 44.0, 30.0)
    sketch.words("not along one leg", 44.0, 27.6)
    sketch.line(pin, (46.0, 37.0), width=0.8, dashed=True)
    sketch.place("greatest_slope", (40.0, 35.4), (33.0, 37.9))
    sketch.length("depth", (24.0, 36.4), (24.0, 39.2), at=(24.0, 42.6))
    sketch.arc(73.0, 41.0, 8.0, start_deg=-25, end_deg=25, dashed=True)
    sketch.place("greatest_pitch", (86.0, 41.0), (81.2, 41.0))
    label(sketch, 66.0, 27.0, "labels", [("rating", "bar: towed weight")], width=24.0)
    label(sketch, 66.0, 20.6, "", [("bracket_rating", "brackets: towed weight")], width=24.0)
    for spread, dashed in ((5.0, True), (10.0, False)):
        sketch.line(
            (14.0, 13.0 + spread),
            (39.0, 13.0),
            (14.0, 13.0 - spread),
            width=1.6 if dashed else 3.0,
            dashed=dashed,
        )
        for side in (-1.0, 1.0):
            sketch.circle(14.0, 13.0 + side * spread, 1.0, "white")
    sketch.line((13.0, 13.0), (39.0, 13.0), width=0.8, dashed=True)
    sketch.circle(39.0, 13.0, 1.6, "black")
    sketch.length("widest_spread", (6.0, 3.0), (6.0, 23.0))
    sketch.length("narrowest_spread", (11.0, 8.0), (11.0, 18.0))
    sketch.words("from above", 27.0, 25.0)
    sketch.arc(39.0, 13.0, 9.0, start_deg=-50, end_deg=50, dashed=True)
    sketch.place("greatest_swing", (52.0, 13.0), (48.2, 13.0))
    sketch.words("swing on the ball", 50.0, 7.6, "left")
    sketch.box(82.0, 4.6, 11.0, 1.2, METAL)
    sketch.box(80.0, 1.0, 15.0, 3.6, PAPER)
    sketch.words("scale", 87.5, 2.8)
    sketch.box(76.0, 5.8, 23.0, 1.8)
    sketch.place("mass", (87.5, 11.4), (87.5, 7.8))
