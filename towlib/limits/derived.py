"""Quantities that follow from several fields of the rig, and may be given another value in a lesson."""

from collections.abc import Callable
from typing import Any, NamedTuple

from towlib.limits.attachment_limits import bolt_places, level_and_off_plate_m
from towlib.limits.coupling_limits import ball_height_m, slope_rad
from towlib.limits.electrics_limits import lamp_feed_ohm
from towlib.limits.loads import (
    ball_load_kg,
    carried_kg,
    own_brake_share,
    own_deceleration_m_s2,
    towed_empty_kg,
)
from towlib.limits.turning_limits import steering_lock_rad
from towlib.rig.facts import Facts, sum_and_middle


class Derived(NamedTuple):
    """What such a quantity is called, its kind of unit, and how it follows from the rig."""

    label: str
    kind: str
    of: Callable[[Facts], Any]


def _place(vehicle: str) -> Callable[[Facts], float]:
    return lambda facts: sum_and_middle(facts.carried(vehicle, "out"))[1]


def _spread(places: list[float]) -> float:
    return max(places) - min(places)


def _mean(places: list[float]) -> float:
    return sum(places) / len(places)


DERIVED: dict[str, Derived] = {
    "carried.tow.mass": Derived("People and cargo in front", "mass", lambda f: carried_kg(f, "tow", "out")),
    "carried.tow.place": Derived("Their middle behind front axle", "length", _place("tow")),
    "carried.towed.mass": Derived(
        "Carried in the towed vehicle", "mass", lambda f: carried_kg(f, "towed", "out")
    ),
    "carried.towed.place": Derived("Its middle behind front axle", "length", _place("towed")),
    "towed_vehicle.empty_mass": Derived("Towed vehicle, empty", "mass", lambda f: sum(towed_empty_kg(f))),
    "towed_vehicle.mass": Derived(
        "Towed vehicle as it stands", "mass", lambda f: sum(towed_empty_kg(f)) + carried_kg(f, "towed", "out")
    ),
    "towed_vehicle.working_brake_share": Derived("Share its own brakes do", "share", own_brake_share),
    "hitch.ball_load": Derived("Vertical load on the ball", "mass", ball_load_kg),
    "hitch.ball_height": Derived("Ball above the road, loaded", "size", lambda f: ball_height_m(f, "out")),
    "tow_bar.slope": Derived("Slope of the bar (+: pins higher)", "angle", lambda f: slope_rad(f, "out")),
    "tow_vehicle.pair_deceleration": Derived(
        "Braking of the pair", "acceleration", lambda f: own_deceleration_m_s2(f, "out")
    ),
    "tow_vehicle.steering_lock": Derived("Tow front wheels at full lock", "angle", steering_lock_rad),
    "lights.feed_resistance": Derived("Each wire with its contacts", "resistance", lamp_feed_ohm),
    "bracket.bolts_across": Derived(
        "Bolts apart, level", "size", lambda f: _spread(level_and_off_plate_m(f)[0])
    ),
    "bracket.bolts_up": Derived(
        "Bolts apart, up and down", "size", lambda f: _spread([bolt.above_pin_m for bolt in bolt_places(f)])
    ),
    "bracket.pin_above_bolts": Derived(
        "Pin above the middle of the bolts",
        "size",
        lambda f: 0.0 - _mean([bolt.above_pin_m for bolt in bolt_places(f)]),
    ),
    "bracket.pin_ahead_of_plate": Derived(
        "Pin off the face of the plate", "size", lambda f: _mean(level_and_off_plate_m(f)[1])
    ),
}
