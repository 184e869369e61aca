"""Lesson 02: both vehicles in outline, seen from the right side, as large as the rig says."""

from typing import NamedTuple

from towlib.rig.facts import Facts

Points = list[tuple[float, float]]
WHEEL_OF_HEIGHT = 0.2  # a wheel's radius for the drawing alone, where the rig file does not say it


class Bodies(NamedTuple):
    """What the drawings need of both vehicles."""

    tow_wheelbase_m: float
    tow_nose_m: float  # ahead of the front axle
    tow_tail_m: float  # behind the rear axle, without the hitch
    tow_height_m: float
    tow_wheel_m: float
    towed_wheelbase_m: float
    towed_nose_m: float
    towed_tail_m: float
    towed_height_m: float
    towed_wheel_m: float
    bar_depth_m: float


def bodies_of(facts: Facts) -> Bodies:
    """Both vehicles of a rig."""

    def one(vehicle: str, tyres: str) -> tuple[float, float, float, float, float]:
        height = facts.need(f"{vehicle}.body_height")
        radius = facts.have(f"{vehicle}.{tyres}.rolling_radius")
        return (
            facts.need(f"{vehicle}.wheelbase"),
            facts.need(f"{vehicle}.front_overhang"),
            facts.need(f"{vehicle}.rear_overhang"),
            height,
            WHEEL_OF_HEIGHT * height if radius is None else radius,
        )

    tow, towed = one("tow_vehicle", "rear_tyres"), one("towed_vehicle", "tyres")
    return Bodies(*tow, *towed, facts.need("tow_bar.depth"))


def tow_body(bodies: Bodies) -> Points:
    """The tow vehicle counted from its rear axle; its bed is open."""
    back, nose = -bodies.tow_tail_m, bodies.tow_wheelbase_m + bodies.tow_nose_m
    base, top = bodies.tow_wheelbase_m, bodies.tow_height_m
    low, bed, hood = 0.28 * top, 0.60 * top, 0.65 * top
    return [
        (back, low),
        (back, bed),
        (0.30 * base, bed),
        (0.33 * base, 0.99 * top),
        (0.62 * base, top),
        (0.80 * base, hood),
        (nose - 0.12 * bodies.tow_nose_m, 0.62 * top),
        (nose, 0.5 * top),
        (nose, low),
    ]


def towed_body(bodies: Bodies) -> Points:
    """The towed vehicle counted from its front axle."""
    nose, tail = bodies.towed_nose_m, -bodies.towed_wheelbase_m - bodies.towed_tail_m
    base, top = bodies.towed_wheelbase_m, bodies.towed_height_m
    low, hood = 0.31 * top, 0.64 * top
    return [
        (nose, low),
        (nose, 0.6 * top),
        (-0.32 * base, hood),
        (-0.41 * base, 0.99 * top),
        (tail + 0.1, top),
        (tail, hood),
        (tail, low),
    ]
