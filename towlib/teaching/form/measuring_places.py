"""Measuring drawings of what is read, weighed or looked up: tyres, engine, brakes, lamps, battery, loads, the
road.
"""

from towlib.teaching.form.measuring_sketch import (
    METAL,
    PAPER,
    Sketch,
    dial,
    label,
    meter,
    off_roader,
    pickup,
    polar,
)


def tyres_drawing(sketch: Sketch) -> None:
    """A wheel, its sidewall and a gauge."""
    sketch.line((2.0, 3.0), (30.0, 3.0), width=2.2)
    sketch.body([polar(15.0, 12.0, 10.0, angle) for angle in range(-64, 245, 4)], "#BDBDBD")
    sketch.circle(15.0, 12.0, 5.6, "white")
    sketch.circle(15.0, 12.0, 0.8, "black")
    sketch.length("rolling_radius", (15.0, 3.0), (15.0, 12.0), at=(19.6, 7.4))
    sketch.words("hub to road", 26.0, 1.2, "left")
    sketch.body(
        [
            polar(52.0, -32.0, radius, angle)
            for radius, angles in ((54.0, range(110, 69, -2)), (38.0, range(70, 111, 2)))
            for angle in angles
        ],
        "#D8D8D8",
    )
    sketch.words("000/00 R 00   112  S", 52.0, 17.0)
    sketch.words("size", 45.5, 14.6)
    sketch.place("load_index", (60.0, 23.2), (56.8, 18.4))
    sketch.place("width", (42.0, 23.2), (44.6, 18.6))
    sketch.words("MAX LOAD … AT …", 52.0, 10.2)
    sketch.place("full_load_pressure", (69.0, 6.6), (60.6, 9.6))
    sketch.words("sidewall", 52.0, 3.6)
    dial(sketch, 88.0, 13.0, 6.4, [("", 180, ""), ("", 90, ""), ("", 0, "")])
    sketch.line((88.0, 6.6), (88.0, 3.4), (80.0, 3.4), width=3.0)
    sketch.place("pressure", (88.0, 22.6), (86.2, 17.2))
    sketch.words("gauge", 94.0, 4.0)


def engine_drawing(sketch: Sketch) -> None:
    """Rev counter and curves."""
    dial(
        sketch,
        20.0,
        13.0,
        9.0,
        [("idle", 165, ""), ("", 120, ""), ("", 75, ""), ("redline", 25, "")],
        red_from_deg=25,
    )
    sketch.words("rev counter", 20.0, 2.0)
    x0, y0 = 46.0, 5.0
    sketch.line((x0, 27.0), (x0, y0), (96.0, y0), width=2.2)
    sketch.words("engine speed", 92.0, 2.4)
    torque = [
        (50.0, 14.0),
        (56.0, 17.4),
        (62.0, 19.4),
        (68.0, 20.2),
        (74.0, 19.4),
        (82.0, 16.6),
        (90.0, 11.6),
    ]
    power = [(50.0, 6.6), (58.0, 10.4), (66.0, 15.0), (74.0, 20.0), (82.0, 23.6), (86.0, 24.2), (90.0, 23.0)]
    sketch.line(*torque, width=2.6)
    sketch.line(*power, width=2.6, dashed=True)
    for point in torque[::2]:
        sketch.circle(*point, 0.6, "white")
    sketch.words("torque", 90.6, 10.0, "left")
    sketch.words("power", 91.0, 22.6, "left")
    for top, level, height, at_speed in (
        ((68.0, 20.2), "peak_torque", 20.2, "peak_torque_at"),
        ((86.0, 24.2), "peak_power", 24.2, "peak_power_at"),
    ):
        sketch.line((x0, height), top, width=0.8, dashed=True)
        sketch.line(top, (top[0], y0), width=0.8, dashed=True)
        sketch.place(level, (x0 - 4.0, height), (x0, height))
        sketch.place(at_speed, (top[0] - 4.0, 2.2), (top[0], y0))
    sketch.place("curve", (52.0, 10.2), (56.0, 17.0))


def gearbox_drawing(sketch: Sketch) -> None:
    """From the side, the front on the right."""
    sketch.line((4.0, 2.0), (96.0, 2.0), width=2.2)
    sketch.box(66.0, 6.0, 18.0, 9.0)
    sketch.words("engine", 75.0, 10.5)
    sketch.circle(62.6, 10.0, 3.4, METAL)
    sketch.box(43.0, 6.4, 16.2, 7.4, METAL)
    sketch.words("gearbox", 51.0, 10.0)
    sketch.line((43.0, 8.6), (20.0, 7.4), width=4.0)
    sketch.circle(16.0, 7.0, 5.0, "#BDBDBD")
    sketch.circle(16.0, 7.0, 2.6, METAL)
    sketch.box(4.0, 13.4, 6.4, 3.2, PAPER)
    sketch.words("tag", 7.2, 15.0)
    sketch.line((9.4, 13.4), (14.4, 9.0), width=0.8)
    sketch.place("final_drive", (14.6, 16.8), (10.6, 15.4))
    sketch.words("driven axle", 24.0, 4.2, "left")
    sketch.place("stall_torque_ratio", (62.6, 17.6), (62.6, 13.0))
    sketch.words("converter (automatic)", 65.4, 17.6, "left")
    sketch.place("ratios", (47.0, 17.6), (47.0, 13.6))
    sketch.place("kind", (55.0, 17.6), (55.0, 13.6))


def cooling_drawing(sketch: Sketch) -> None:
    """Gauge and radiator."""
    dial(
        sketch,
        24.0,
        10.0,
        7.4,
        [("", 180, "cold"), ("thermostat", 100, ""), ("highest_coolant", 30, ""), ("", 0, "hot")],
        red_from_deg=30,
    )
    sketch.words("coolant gauge", 24.0, 1.2)
    sketch.box(62.0, 4.0, 16.0, 15.0, METAL)
    for number in range(7):
        sketch.line((62.0, 6.0 + 1.9 * number), (78.0, 6.0 + 1.9 * number), width=0.8)
    for y in (7.0, 11.4, 15.8):
        sketch.line((88.0, y), (80.0, y), width=1.2)
        sketch.line((81.2, y + 0.8), (80.0, y), (81.2, y - 0.8), width=1.2)
    sketch.words("air", 91.0, 11.4)
    sketch.words("radiator", 70.0, 21.2)
    sketch.place("conductance", (56.0, 11.4), (61.8, 11.4))


def brakes_drawing(sketch: Sketch) -> None:
    """A disc on a scale, its faces, a packet."""
    for x, mass, area, words in (
        (4.0, "front_heated_mass", "front_cooled_area", "front"),
        (38.0, "rear_heated_mass", "rear_cooled_area", "rear"),
    ):
        sketch.box(x, 2.0, 14.0, 3.0, PAPER)
        sketch.words("scale", x + 7.0, 3.4)
        sketch.box(x + 1.0, 5.0, 12.0, 1.0, METAL)
        for number in range(2):
            sketch.box(x + 2.0, 6.4 + 2.4 * number, 10.0, 1.8, METAL)
        sketch.place(mass, (x + 7.0, 16.0), (x + 7.0, 11.0))
        sketch.circle(x + 22.0, 10.0, 6.6, METAL)
        sketch.circle(x + 22.0, 10.0, 3.0, "white")
        sketch.place(area, (x + 26.0, 19.4), (x + 24.6, 14.4))
        sketch.words(words, x + 12.0, 21.0)
    sketch.place("front_rubbed_area", (34.4, 3.4), (30.4, 7.0))
    for number in range(2):  # the front discs are vented: two walls each
        sketch.box(6.0, 7.05 + 2.4 * number, 10.0, 0.5, "white")
    sketch.place("front_face_depth", (17.6, 14.0), (15.4, 10.3))
    label(
        sketch,
        71.0,
        17.0,
        "lining maker",
        [("highest_front", "fade, front: … °C"), ("highest_rear", "fade, rear: … °C")],
        width=21.0,
    )


def lights_drawing(sketch: Sketch) -> None:
    """Socket, lamp, meter."""
    sketch.words("lamp socket of the tow vehicle", 17.0, 32.0)
    sketch.box(6.0, 20.0, 22.0, 9.0, METAL)
    for number in range(4):
        sketch.circle(10.0 + 4.6 * number, 24.5, 1.3, "white")
    sketch.words("lamp of the towed vehicle", 82.0, 32.0)
    sketch.box(74.0, 20.0, 16.0, 9.0, "#F3D9CF")
    sketch.circle(82.0, 24.5, 2.6, "white")
    sketch.line((28.0, 26.5), (74.0, 26.5), width=2.2)
    sketch.line((28.0, 22.0), (74.0, 22.0), width=2.2)
    sketch.words("lamp wire", 51.0, 28.6)
    sketch.words("return (ground)", 51.0, 19.6)
    meter(sketch, 13.0, 6.0, "V", [(10.0, 23.0), (23.8, 23.0)])
    sketch.place("plug_volts", (5.6, 10.0), (13.0, 10.0))
    meter(sketch, 78.5, 6.0, "V", [(77.0, 24.0), (87.0, 24.0)])
    for x, edge in ((77.0, 79.5), (87.0, 84.5)):
        sketch.line((x, 24.0), (edge, 24.0), width=1.2)
    sketch.place("lamp_volts", (92.0, 10.0), (85.7, 10.0))
    meter(sketch, 54.0, 5.0, "V", [(32.0, 15.5), (75.0, 20.0)])
    sketch.words("clean metal", 32.0, 17.0)
    sketch.place("ground_drop", (64.6, 10.0), (61.2, 10.0))
    sketch.place("stop_current", (60.0, 31.4), (63.0, 26.9))
    sketch.place("turn_current", (66.0, 31.4), (66.6, 26.9))
    sketch.place("tow_side_current", (36.0, 31.4), (33.0, 26.9))
    sketch.place("wire_size", (44.0, 31.4), (43.0, 26.9))
    sketch.length("wire_length", (28.6, 24.2), (73.4, 24.2))


def battery_drawing(sketch: Sketch) -> None:
    """Label and meter."""
    sketch.box(6.0, 3.0, 44.0, 17.0)
    for x, sign in ((12.0, "−"), (44.0, "+")):
        sketch.box(x - 1.6, 20.0, 3.2, 2.4, METAL)
        sketch.words(sign, x, 18.6)
    sketch.box(10.0, 4.6, 36.0, 12.0, PAPER)
    for number, (name, text) in enumerate(
        (("capacity", "60 Ah"), ("rated_hours", "(20 h)"), ("cold_cranking", "500 A"))
    ):
        sketch.words(text, 17.0 + 11.0 * number, 14.0)
        sketch.place(name, (17.0 + 11.0 * number, 23.0), (17.0 + 11.0 * number, 15.4))
    sketch.words("flooded, AGM or gel", 12.0, 7.6, "left")
    sketch.place("kind", (34.0, 7.6), (29.0, 7.6))
    sketch.words("date", 41.0, 10.4)
    sketch.place("age_years", (48.6, 7.6), (43.2, 9.6))
    meter(sketch, 66.0, 8.0, "A", [])
    sketch.line((12.0, 22.4), (12.0, 25.0), (68.0, 25.0), (68.0, 17.0), width=1.2)
    sketch.line((71.0, 17.0), (71.0, 21.0), (84.0, 21.0), width=1.2)
    sketch.words("to the body", 85.0, 21.0, "left")
    sketch.place("key_on_current", (60.0, 13.0), (66.0, 13.0))
    sketch.line((50.0, 4.4), (84.0, 4.4), width=1.2)
    sketch.words("charging line", 85.0, 4.4, "left")
    sketch.place("feed_current", (79.0, 8.6), (76.0, 4.8))


def other_ways_drawing(sketch: Sketch) -> None:
    """Dolly left, trailer right, from the side and from above; coupler on a bathroom scale."""
    ground, middle = 24.0, 9.0
    for x, words, mass, plate, ball, length in (
        (2.0, "dolly", "dolly_mass", "dolly_gvwr", "dolly_ball_load", "dolly_length"),
        (52.0, "trailer", "trailer_mass", "trailer_gvwr", "trailer_tongue_share", "trailer_length"),
    ):
        is_dolly = words == "dolly"
        sketch.line((x if is_dolly else x - 3.0, ground), (x + 46.0, ground), width=2.2)
        deck = x + (16.0 if is_dolly else 2.0)
        sketch.box(deck, ground + 5.0, x + 28.0 - deck, 1.6, METAL)
        sketch.line((x + 28.0, ground + 5.8), (x + 42.0, ground + 5.8), width=3.0)
        axles = (22.0,) if is_dolly else (10.0, 16.0)
        for wheel in axles:
            sketch.circle(x + wheel, ground + 2.6, 2.6, "#BDBDBD")
        sketch.box(x + 38.6, ground, 6.8, 1.6, PAPER)
        sketch.box(x + 40.6, ground + 1.6, 2.8, 4.0, METAL)
        off_roader(sketch, (x + 22.0, ground + 6.6), 5.2, pitch_rad=0.58 if is_dolly else 0.0)
        sketch.place(ball, (x + 42.0, ground + 11.0), (x + 42.0, ground + 6.4))
        if is_dolly:
            sketch.place(mass, (x + 16.6, ground + 2.2), (x + 17.6, ground + 5.1))
        else:
            sketch.place(mass, (x + 32.0, ground + 2.6), (x + 27.4, ground + 5.2))
        sketch.box(x + 30.0, ground + 8.0, 5.0, 3.0, PAPER)
        sketch.words("plate", x + 32.5, ground + 9.5)
        sketch.place(plate, (x + 32.5, ground + 15.4), (x + 32.5, ground + 11.2))
        sketch.words(words, x + 20.0, ground + 20.6)
        sketch.words("scale", x + 36.0, ground + 1.6)
        at_axle = x + sum(axles) / len(axles)
        for end, top in ((at_axle, ground + 2.6), (x + 42.0, ground)):
            sketch.line((end, top), (end, ground - 3.4), width=0.8, dashed=True)
        sketch.length(length, (at_axle, ground - 2.8), (x + 42.0, ground - 2.8))
        # from above
        for side in (-1.0, 1.0):
            sketch.line((x + 28.0, middle + 4.0 * side), (x + 42.0, middle), width=2.2)
            for wheel in axles:
                sketch.box(x + wheel - 2.6, middle + 6.0 * side - 1.2, 5.2, 2.4, "#BDBDBD")
        if is_dolly:
            sketch.line((x + 22.0, middle - 4.8), (x + 22.0, middle + 4.8), width=3.0)
            sketch.box(x + 20.0, middle - 4.4, 8.0, 8.8, METAL)
        else:
            sketch.box(x + 2.0, middle - 4.8, 26.0, 9.6, METAL)
        sketch.circle(x + 42.0, middle, 0.9, "black")
    for x, name in ((14.0, "dolly_width"), (52.0, "trailer_width")):
        sketch.length(name, (x, middle - 7.2), (x, middle + 7.2))
        for side in (-7.2, 7.2):
            end = 21.4 if name == "dolly_width" else 59.4
            sketch.line((x - 0.8, middle + side), (end, middle + side), width=0.8, dashed=True)
    sketch.length("trailer_deck_length", (54.0, middle), (80.0, middle))
    for x, end, name in ((33.0, 30.0, "dolly_deck_height"), (51.0, 54.0, "trailer_deck_height")):
        sketch.length(name, (x, ground), (x, ground + 6.6))
        sketch.line((end, ground + 6.6), (x, ground + 6.6), width=0.8, dashed=True)
    sketch.words("from above", 39.0, 2.6)


def load_drawing(sketch: Sketch) -> None:
    """A person and a box in the pickup."""
    scale, rear, ground = 8.6, 34.0, 5.0
    front = rear + 3.4 * scale
    sketch.line((14.0, ground), (84.0, ground), width=2.2)
    pickup(sketch, (rear, ground), scale)
    sketch.box(rear - 4.0, ground + 9.4, 9.0, 5.0, PAPER)
    sketch.words("box", rear + 0.5, ground + 11.9)
    seat = rear + 1.75 * scale
    sketch.circle(seat, ground + 13.4, 1.3, "white")
    sketch.body(
        [
            (seat - 1.6, ground + 7.0),
            (seat + 1.6, ground + 7.0),
            (seat + 1.2, ground + 12.0),
            (seat - 1.2, ground + 12.0),
        ],
        "white",
    )
    for x, low in ((front, ground + 3.0), (rear + 0.5, ground + 14.4)):
        sketch.line((x, low), (x, 23.6), width=0.8, dashed=True)
    sketch.length("behind_front_axle", (rear + 0.5, 22.8), (front, 22.8))
    sketch.line((seat, ground + 14.8), (seat, 21.4), width=0.8, dashed=True)
    sketch.place("mass", (rear - 10.0, ground + 14.0), (rear - 3.8, ground + 12.0))
    sketch.words("measured forward is −, behind the front hubs +", 50.0, 1.4)


def conditions_drawing(sketch: Sketch) -> None:
    """Ramp, pothole, turn."""
    sketch.line((2.0, 5.0), (18.0, 5.0), width=2.2)
    sketch.arc(18.0, 17.0, 12.0, start_deg=-90, end_deg=-62, width=2.2)
    foot = polar(18.0, 17.0, 12.0, -62)
    top = (foot[0] + 14.0, foot[1] + 7.44)
    sketch.line(foot, top, width=2.2)
    sketch.line((18.0, 5.0), (38.0, 5.0), width=0.8, dashed=True)
    sketch.place("ramp_change", (35.0, 8.4), (28.0, 7.4))
    sketch.place("ramp_radius", (16.0, 14.0), polar(18.0, 17.0, 12.0, -78))
    sketch.words("driveway, ford, crest", 20.0, 22.0)
    sketch.line((44.0, 9.0), (54.0, 9.0), (54.0, 4.6), (60.0, 4.6), (60.0, 9.0), (68.0, 9.0), width=2.2)
    sketch.length("pothole_edge", (57.0, 4.6), (57.0, 9.0), at=(57.0, 12.6))
    sketch.words("pothole", 56.0, 22.0)
    sketch.arc(86.0, 11.0, 9.0, start_deg=0, end_deg=360, width=2.2)
    sketch.arc(86.0, 11.0, 5.0, start_deg=0, end_deg=360, width=1.2)
    sketch.length("tightest_turn", (77.0, 11.0), (95.0, 11.0))
    sketch.words("kerb to kerb", 86.0, 22.4)
