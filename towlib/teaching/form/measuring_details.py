"""Measuring drawings of brackets, bolts and safety chains, not to scale."""

from towlib.teaching.form.measuring_sketch import BODY, METAL, Point, Sketch, polar


def bracket_drawing(sketch: Sketch) -> None:
    """From the side, from the front, one bolt; below them the lugs from above and from the side."""
    up = 27.0
    sketch.words("from the side", 16.0, up + 38.0)
    sketch.box(22.0, up + 6.0, 3.0, 26.0, METAL)
    sketch.body([(22.0, up + 24.0), (8.0, up + 24.0), (8.0, up + 16.0), (22.0, up + 16.0)])
    sketch.circle(12.0, up + 20.0, 2.2, "white")
    sketch.words("bar's pin", 11.0, up + 13.8)
    for y in (9.0, 29.0):
        sketch.line((19.6, up + y), (30.0, up + y), width=5.0)
    sketch.line((22.0, up + 32.0), (22.0, up + 36.0), width=0.8, dashed=True)
    sketch.line((25.0, up + 32.0), (25.0, up + 36.0), width=0.8, dashed=True)
    sketch.length("plate_thickness", (22.0, up + 34.6), (25.0, up + 34.6), at=(28.6, up + 34.6))
    sketch.length("pin_diameter", (12.0, up + 17.8), (12.0, up + 22.2), at=(4.6, up + 20.0))
    sketch.place("bolts_run", (31.0, up + 14.0), (28.4, up + 9.4))
    sketch.words("from the front", 48.0, up + 38.0)
    sketch.box(37.0, up + 6.0, 22.0, 28.0, METAL)
    for x in (43.0, 53.0):
        for y in (12.0, 28.0):
            sketch.circle(x, up + y, 1.8, "white")
    for x in (45.0, 49.4):
        sketch.box(x, up + 16.0, 1.6, 8.0)
    sketch.line((43.0, up + 20.0), (53.0, up + 20.0), width=4.0)
    sketch.length("plate_width", (37.0, up + 3.4), (59.0, up + 3.4))
    sketch.length("edge_distance", (53.0, up + 28.0), (59.0, up + 28.0), at=(62.6, up + 28.0))
    sketch.length("hole_diameter", (51.2, up + 12.0), (54.8, up + 12.0), at=(62.6, up + 12.0))
    sketch.place("pin_is_held_both_sides", (62.6, up + 20.0), (51.2, up + 20.0))
    sketch.words("one bolt", 82.0, up + 38.0)
    sketch.body([polar(74.0, up + 28.0, 4.6, angle) for angle in range(30, 390, 60)], METAL)
    for angle in (90, 210, 330):
        start, end = (polar(74.0, up + 28.0, radius, angle) for radius in (1.4, 3.4))
        sketch.line(start, end, width=2.2)
    sketch.place("bolt_grade", (74.0, up + 35.6), (74.0, up + 31.6))
    sketch.words("marks on the head", 79.5, up + 32.5, "left")
    sketch.box(69.0, up + 10.0, 3.6, 7.0, METAL)
    sketch.box(72.6, up + 11.6, 20.0, 3.8, BODY)
    for number in range(10):
        sketch.line((82.6 + number, up + 11.6), (82.6 + number, up + 15.4), width=0.8)
    sketch.length("bolt_length", (72.6, up + 22.0), (92.6, up + 22.0), at=(86.0, up + 22.0))
    for x in (72.6, 92.6):
        sketch.line((x, up + 15.4), (x, up + 23.2), width=0.8, dashed=True)
    sketch.line((78.6, up + 8.6), (78.6, up + 19.4), dashed=True)
    sketch.words("plates meet", 79.6, up + 18.4, "left")
    sketch.place("threads_in_plane", (75.6, up + 5.4), (78.4, up + 11.4))
    sketch.place("bolt_size", (88.0, up + 5.4), (88.0, up + 11.4))
    sketch.words("thread", 91.0, up + 5.4, "left")
    _lugs(sketch)


def _lugs(sketch: Sketch) -> None:
    """The bar's eye between two lugs from above, and one lug with its weld from the side."""
    sketch.words("from above", 16.0, 26.0)
    sketch.box(34.0, 2.0, 3.0, 22.0, METAL)
    for y in (4.0, 22.0):
        sketch.line((31.4, y), (41.0, y), width=5.0)
    for y, fillets in ((8.0, (8.0, -1.0)), (15.6, (18.0, 1.0))):
        sketch.box(8.0, y, 26.0, 2.4)
        root, way = fillets
        sketch.body([(34.0, root), (34.0, root + way * 2.2), (31.8, root)], "#777777")
    sketch.box(2.0, 11.2, 15.0, 3.6, METAL)
    sketch.words("eye", 4.4, 13.0)
    sketch.line((12.0, 6.4), (12.0, 19.6), width=5.0)
    sketch.length("lug_thickness", (22.0, 15.6), (22.0, 18.0), at=(22.0, 21.6))
    sketch.length("eye_thickness", (15.4, 11.2), (15.4, 14.8), at=(21.4, 13.0))
    sketch.length("eye_gap", (9.0, 14.8), (9.0, 15.6), at=(6.0, 21.6))
    sketch.length("weld_leg", (34.0, 18.0), (34.0, 20.2), at=(28.4, 21.6))
    sketch.length("plate_free_width", (44.0, 4.0), (44.0, 22.0))
    for y in (4.0, 22.0):
        sketch.line((41.0, y), (45.4, y), width=0.8, dashed=True)
    sketch.words("one lug from the side", 70.0, 26.0)
    sketch.box(74.0, 2.0, 3.0, 22.0, METAL)
    sketch.body([(74.0, 19.0), (58.0, 19.0), (58.0, 8.0), (74.0, 8.0)])
    sketch.circle(62.6, 13.5, 2.2, "white")
    sketch.box(72.6, 9.0, 1.4, 9.0, "#777777")
    sketch.words("weld", 69.6, 6.0)
    sketch.length("weld_length", (70.6, 9.0), (70.6, 18.0))
    for y in (9.0, 18.0):
        sketch.line((69.4, y), (72.6, y), width=0.8, dashed=True)
    for y in (8.0, 19.0):
        sketch.line((77.0, y), (82.4, y), width=0.8, dashed=True)
    sketch.length("lug_width", (81.0, 8.0), (81.0, 19.0))


def bolts_drawing(sketch: Sketch) -> None:
    """The place of one bolt from the pin's middle."""
    sketch.words("from the side, front of the vehicle left", 26.0, 28.0)
    sketch.body([(34.0, 18.0), (14.0, 18.0), (14.0, 8.0), (34.0, 8.0)])
    sketch.box(34.0, 4.0, 4.0, 22.0, METAL)
    sketch.circle(20.0, 13.0, 2.2, "white")
    sketch.words("bar's pin", 23.2, 13.0, "left")
    sketch.line((31.0, 22.0), (44.0, 22.0), width=5.0)
    sketch.words("bolt", 46.0, 22.0, "left")
    for x, top in ((20.0, 10.6), (36.0, 20.0)):
        sketch.line((x, top), (x, 0.6), width=0.8, dashed=True)
    sketch.length("behind_pin", (20.0, 2.0), (36.0, 2.0))
    sketch.words("behind (+): to the middle of the plate", 38.0, 2.0, "left")
    sketch.line((22.2, 13.0), (8.0, 13.0), width=0.8, dashed=True)
    sketch.line((34.0, 22.0), (8.0, 22.0), width=0.8, dashed=True)
    sketch.length("above_pin", (9.0, 13.0), (9.0, 22.0))
    sketch.words("from the front, middle of the vehicle left", 76.0, 28.0)
    sketch.box(66.0, 4.0, 22.0, 22.0, METAL)
    for x in (73.0, 79.4):
        sketch.box(x, 8.0, 1.6, 10.0)
    sketch.line((71.4, 13.0), (82.6, 13.0), width=4.0)
    sketch.words("pin", 70.6, 13.0, "right")
    sketch.circle(84.0, 22.0, 1.6, "#777777")
    sketch.words("bolt", 81.4, 22.0, "right")
    for x, top in ((77.0, 12.4), (84.0, 20.4)):
        sketch.line((x, top), (x, 0.6), width=0.8, dashed=True)
    sketch.length("outboard_of_pin", (77.0, 2.0), (84.0, 2.0), at=(87.6, 2.0))


def chains_drawing(sketch: Sketch) -> None:
    """From above, from the side, one link."""
    y = 50.0
    sketch.words("from above, tow vehicle left", 26.0, 64.4)
    sketch.box(10.0, y - 9.0, 6.0, 18.0, METAL)
    sketch.words("receiver", 13.0, y + 10.8)
    ball, anchors = (32.0, y), 52.0
    sketch.line((16.0, y), ball, width=4.0)
    sketch.circle(*ball, 1.8, "black")
    sketch.words("ball", 32.0, y + 3.6)
    for side in (-1.0, 1.0):
        sketch.line(ball, (84.0, y + side * 9.0), width=4.0)
        sketch.circle(84.0, y + side * 9.0, 1.2, "white")
        sketch.circle(16.0, y + side * 7.0, 1.0, "black")
        _chain(sketch, (16.0, y + side * 7.0), (anchors, y - side * 3.5))
        sketch.circle(anchors, y - side * 3.5, 1.0, "black")
    sketch.length("receiver_anchor_spread", (5.6, y - 7.0), (5.6, y + 7.0))
    for end in (-7.0, 7.0):
        sketch.line((4.4, y + end), (15.0, y + end), width=0.8, dashed=True)
    for x, top in ((16.0, y - 8.0), (32.0, y - 1.8), (anchors, y - 4.5)):
        sketch.line((x, top), (x, y - 13.6), width=0.8, dashed=True)
    sketch.length("receiver_anchor_behind_ball", (16.0, y - 12.4), (32.0, y - 12.4))
    sketch.length("bar_anchor_behind_ball", (32.0, y - 12.4), (anchors, y - 12.4))
    sketch.words("drawn here: −", 14.6, y - 12.4, "right")
    sketch.length("bar_anchor_spread", (57.0, y - 3.5), (57.0, y + 3.5))
    sketch.place("crossed", (48.4, y), (40.2, y))
    sketch.place("links", (24.0, y + 9.6), (24.0, y + 4.6))
    sketch.place("anchor_rating", (21.0, y - 8.4), (16.8, y - 7.3))
    sketch.words("anchor", 23.0, y - 8.4, "left")
    sketch.box(92.0, y - 9.0, 6.0, 18.0)
    sketch.words("towed", 95.0, y + 10.8)
    for side in (-1.0, 1.0):
        fixings = (70.0, y + side * 6.6), (92.0, y + side * 4.0)
        _chain(sketch, *fixings)
        for fixing in fixings:
            sketch.circle(*fixing, 1.0, "black")
    sketch.place("second_pair_fitted", (80.0, y), (80.0, y + 5.3))
    sketch.words("second pair", 80.0, y - 2.6)
    ground, anchor = 5.0, (16.0, 18.0)
    sketch.words("from the side, tow vehicle left", 30.0, 33.4)
    sketch.line((2.0, ground), (66.0, ground), width=2.2)
    sketch.box(8.0, 20.0, 8.0, 7.0, METAL)
    sketch.line((16.0, 23.5), (26.0, 23.5), (32.0, 23.5), width=4.0)
    sketch.circle(32.0, 26.0, 2.0, "black")
    sketch.line((32.0, 26.0), (66.0, 26.5), width=4.0)
    sketch.line((16.0, 20.0), anchor, width=3.0)
    sketch.circle(*anchor, 1.0, "black")
    sketch.circle(52.0, 24.4, 1.0, "black")
    sketch.line(
        *(polar(*anchor, 2.0, angle) for angle in range(60, 301, 10)), (18.4, 15.4), width=2.6
    )  # the hook about the anchor
    _chain(
        sketch,
        (18.4, 15.4),
        (22.0, 13.4),
        (27.0, 11.4),
        (33.0, 10.4),
        (39.0, 11.8),
        (45.0, 15.6),
        (52.0, 24.4),
    )
    sketch.length("receiver_anchor_height", (11.0, ground), (11.0, 18.0))
    sketch.line((9.8, 18.0), (15.0, 18.0), width=0.8, dashed=True)
    sketch.length("bar_anchor_height", (52.0, ground), (52.0, 23.4))
    sketch.length("ground_clearance", (34.0, ground), (34.0, 10.0), at=(38.0, 7.5))
    sketch.place("hook_rating", (23.0, 18.6), (17.4, 19.5))
    sketch.words("hook", 25.2, 18.6, "left")
    sketch.words("one link", 84.0, 33.4)
    for x, size in ((72.0, 5.0), (84.0, 5.0)):
        sketch.arc(x, 20.0, size, start_deg=90, end_deg=270, width=6.0)
        sketch.arc(x + 8.0, 20.0, size, start_deg=-90, end_deg=90, width=6.0)
        for side in (-1.0, 1.0):
            sketch.line((x, 20.0 + side * size), (x + 8.0, 20.0 + side * size), width=6.0)
    sketch.length("link_pitch", (68.0, 20.0), (84.0, 20.0), at=(76.0, 20.0))
    sketch.place("size", (92.0, 10.0), (89.0, 14.6))
    sketch.words("wire", 92.0, 6.6)
    sketch.place("grade", (76.0, 29.6), (76.0, 25.6))
    sketch.words("embossed", 79.0, 29.6, "left")


def _chain(sketch: Sketch, *points: Point) -> None:
    sketch.line(*points, width=2.0, dashed=True)
