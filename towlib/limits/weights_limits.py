"""Weights against ratings: totals, axles, tyres and the rated parts between the vehicles."""

from collections.abc import Callable

from towlib.handbook.tables import tyre_load_kg
from towlib.limits.limit import Rule, rating
from towlib.limits.loads import (
    payload_kg,
    somebody_rides,
    tow_axles_kg,
    tow_total_kg,
    towed_axles_kg,
    towed_total_kg,
)
from towlib.physics.weights.axle_loads import tyre_capacity_kg
from towlib.rig.facts import Facts, NotKnown

PASSENGER_ON_TRUCK = 1.10  # by which such a tyre's load is divided: 49 CFR 571.110 S4.2.2.2, read
DOOR, PLATE, MANUAL = "door sticker of the tow vehicle", "plate on the part", "tow vehicle maker's manual"


def _manned(load_kg: Callable[[Facts, str], float]) -> Callable[[Facts, str], float]:
    """A load of the tow vehicle, once it is said who rides in it."""

    def checked(facts: Facts, way: str) -> float:
        somebody_rides(facts, way)
        return load_kg(facts, way)

    return checked


@_manned
def _tow_front(facts: Facts, way: str) -> float:
    return tow_axles_kg(facts, way)[0]


@_manned
def _tow_rear(facts: Facts, way: str) -> float:
    return tow_axles_kg(facts, way)[1]


def _towed_front(facts: Facts, way: str) -> float:
    return towed_axles_kg(facts, way)[0]


def _towed_rear(facts: Facts, way: str) -> float:
    return towed_axles_kg(facts, way)[1]


@_manned
def _combined(facts: Facts, way: str) -> float:
    return tow_total_kg(facts, way) + towed_total_kg(facts, way)


def _tow_rating(facts: Facts, way: str) -> float:
    return facts.need(
        "tow_vehicle.tow_rating_braked"
        if facts.need("towed_vehicle.brakes_fitted")
        else "tow_vehicle.tow_rating_unbraked"
    )


def _pair_of_tyres(tyres: str) -> Callable[[Facts, str], float]:
    def capacity(facts: Facts, way: str) -> float:
        each_kg = tyre_load_kg(facts.need(f"{tyres}.load_index"))
        if each_kg is None:
            raise NotKnown(f"{tyres}.load_index")
        return 2.0 * tyre_capacity_kg(
            each_kg / (PASSENGER_ON_TRUCK if facts.need(f"{tyres}.kind") == "P" else 1.0),
            facts.need(f"{tyres}.pressure"),
            full_pressure_pa=facts.need(f"{tyres}.full_load_pressure"),
        )

    return capacity


_LESS_CARGO = "Take cargo out of the tow vehicle."
_LIGHTER_TOWED = "Tow a lighter vehicle, or empty the towed one."
TOW_TYRE_SOURCE = (
    "load index table and the pressure it holds at; a passenger tyre on a truck, van or off-roader divided by"
    " 1.10 (49 CFR 571.110 S4.2.2.2, which binds the vehicle's maker)"
)

WEIGHT_RULES = (
    Rule(
        "tow_gvwr",
        "Tow vehicle, total (GVWR)",
        "mass",
        _manned(tow_total_kg),
        rating("tow_vehicle.gvwr"),
        DOOR,
        _LESS_CARGO,
    ),
    Rule(
        "tow_front_gawr",
        "Tow vehicle, front axle (GAWR)",
        "mass",
        _tow_front,
        rating("tow_vehicle.front_gawr"),
        DOOR,
        "Move cargo rearwards, not past the rear axle.",
    ),
    Rule(
        "tow_rear_gawr",
        "Tow vehicle, rear axle (GAWR)",
        "mass",
        _tow_rear,
        rating("tow_vehicle.rear_gawr"),
        DOOR,
        "Move cargo forwards, ahead of the rear axle, or take it out.",
    ),
    Rule("payload", "Payload", "mass", _manned(payload_kg), rating("tow_vehicle.payload"), DOOR, _LESS_CARGO),
    Rule(
        "gcwr",
        "Both vehicles together (GCWR)",
        "mass",
        _combined,
        rating("tow_vehicle.gcwr"),
        MANUAL,
        "Take weight out of either vehicle.",
    ),
    Rule(
        "tow_rating",
        "Towed weight",
        "mass",
        towed_total_kg,
        _tow_rating,
        MANUAL,
        "Tow a lighter vehicle, fit brakes that work on it if the maker rates you for more with them, or use"
        " a stronger tow vehicle.",
    ),
    Rule(
        "front_tyres",
        "Tow vehicle, front tyres",
        "mass",
        _tow_front,
        _pair_of_tyres("tow_vehicle.front_tyres"),
        TOW_TYRE_SOURCE,
        "Raise the tyre pressure within what the makers allow, or move cargo rearwards.",
    ),
    Rule(
        "rear_tyres",
        "Tow vehicle, rear tyres",
        "mass",
        _tow_rear,
        _pair_of_tyres("tow_vehicle.rear_tyres"),
        TOW_TYRE_SOURCE,
        "Raise the tyre pressure within what the makers allow, or move cargo forwards.",
    ),
    Rule(
        "receiver", "Receiver", "mass", towed_total_kg, rating("hitch.receiver_rating"), PLATE, _LIGHTER_TOWED
    ),
    Rule(
        "ball_mount",
        "Ball mount",
        "mass",
        towed_total_kg,
        rating("hitch.ball_mount_rating"),
        PLATE,
        "Fit a ball mount rated for the weight.",
    ),
    Rule(
        "ball",
        "Ball",
        "mass",
        towed_total_kg,
        rating("hitch.ball_rating"),
        PLATE,
        "Fit a ball rated for the weight, of the coupler's size.",
    ),
    Rule(
        "tow_bar",
        "Tow bar",
        "mass",
        towed_total_kg,
        rating("tow_bar.rating"),
        PLATE,
        "Use a bar rated for the weight.",
    ),
    Rule(
        "brackets",
        "Brackets on the towed vehicle",
        "mass",
        towed_total_kg,
        rating("tow_bar.bracket_rating"),
        PLATE,
        "Fit brackets whose maker rates them for the weight.",
    ),
    Rule(
        "towed_gvwr",
        "Towed vehicle, total (GVWR)",
        "mass",
        towed_total_kg,
        rating("towed_vehicle.gvwr"),
        "plate of the towed vehicle",
        "Take cargo or heavy fittings out of the towed vehicle.",
    ),
    Rule(
        "towed_front_gawr",
        "Towed vehicle, front axle (GAWR)",
        "mass",
        _towed_front,
        rating("towed_vehicle.front_gawr"),
        "plate of the towed vehicle",
        "Move cargo rearwards in the towed vehicle, or take weight off its front.",
    ),
    Rule(
        "towed_rear_gawr",
        "Towed vehicle, rear axle (GAWR)",
        "mass",
        _towed_rear,
        rating("towed_vehicle.rear_gawr"),
        "plate of the towed vehicle",
        "Move cargo forwards in the towed vehicle, or take weight off its rear.",
    ),
    Rule(
        "towed_front_tyres",
        "Towed vehicle, front tyres",
        "mass",
        _towed_front,
        _pair_of_tyres("towed_vehicle.tyres"),
        TOW_TYRE_SOURCE,
        "Raise the tyre pressure within what the makers allow.",
    ),
    Rule(
        "towed_rear_tyres",
        "Towed vehicle, rear tyres",
        "mass",
        _towed_rear,
        _pair_of_tyres("towed_vehicle.tyres"),
        TOW_TYRE_SOURCE,
        "Raise the tyre pressure within what the makers allow, or take cargo out.",
    ),
)
