"""Which end is harsh, by hand; that each line is right is proved by driving them in test_assumption_ends."""

import pytest

from towlib.limits.harsh_ends import harsh_end, weightiest_first

FACTOR, SHARE, AREA = (
    "tow_vehicle.engine.braking_factor",
    "tow_vehicle.brakes.front_share",
    "tow_vehicle.brakes.front_cooled_area",
)


@pytest.mark.parametrize(
    ("key", "path", "end"),
    [
        # an engine that holds back less makes every brake hotter
        ("front_brakes", FACTOR, "low"),
        ("towed_brakes", FACTOR, "low"),
        # a high share of the front axle heats the front and spares the rear
        ("front_brakes", SHARE, "high"),
        ("rear_brakes", SHARE, "low"),
        # what a wheel drags is work uphill and help downhill
        ("coolant", "tow_vehicle.drag_area", "high"),
        ("rear_brakes", "tow_vehicle.drag_area", "low"),
        ("fuel", "tow_bar.mass", "high"),
        # little cooling: hotter
        ("front_brakes", AREA, "low"),
        # does not move the rear brakes: taken as the front ones take it, so that both share one drive
        ("rear_brakes", AREA, "low"),
        ("towed_brakes", SHARE, "high"),
        ("fuel", "tow_vehicle.cooling.heat_share", "high"),
        # moves nothing on the way up: either end, but one of them
        ("coolant", "tow_vehicle.brakes.exposure", "low"),
        # found out by the limit itself
        ("front_brakes", "bracket.nut_factor", None),
        ("bolt_tension", FACTOR, None),
        ("tow_gvwr", "tow_bar.mass", None),
    ],
)
def test_harsh_ends_by_hand(key, path, end):
    assert harsh_end(key, path) == end


def test_the_weightiest_come_first_and_only_those_that_move_it():
    paths = [AREA, "tow_vehicle.drag_area", SHARE, FACTOR, "bracket.nut_factor"]
    # engine braking, then the share, then the drag; what is in no order stands last
    assert weightiest_first("front_brakes", paths) == [FACTOR, SHARE, "tow_vehicle.drag_area", AREA]
    assert weightiest_first("rear_brakes", paths) == [FACTOR, SHARE, "tow_vehicle.drag_area"]
    assert weightiest_first("coolant", paths) == ["tow_vehicle.drag_area"]
    assert weightiest_first("bolt_tension", paths) == []
