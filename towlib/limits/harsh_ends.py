"""Which end of a value's range is the harsh one, for the limits that need the road driven: finding it out
would take two more drives for each value. Every other limit finds it out by itself.
`tests/plan/test_assumption_ends.py` drives them and proves each line.
"""

UPHILL, DOWNHILL = ("coolant", "fuel", "climb_speed"), ("front_brakes", "rear_brakes", "towed_brakes")
AIR = "conditions.air_temperature"
_PULLS = dict.fromkeys(UPHILL, "high") | dict.fromkeys(
    DOWNHILL, "low"
)  # holds back: work uphill, help downhill
_WEIGHS = dict.fromkeys((*UPHILL, *DOWNHILL), "high")
_HOTTER_LOW, _HOTTER_HIGH = dict.fromkeys(DOWNHILL, "low"), dict.fromkeys(DOWNHILL, "high")
# field -> limits it moves, and the end that speaks against them; it moves no other of these five
_ENDS: dict[str, dict[str, str]] = {
    **dict.fromkeys(
        (
            "tow_vehicle.drag_area",
            "towed_vehicle.drag_area",
            "tow_vehicle.rolling_resistance",
            "towed_vehicle.rolling_resistance",
        ),
        _PULLS,
    ),
    **dict.fromkeys(
        (
            "tow_vehicle.front_axle_empty",
            "tow_vehicle.rear_axle_empty",
            "towed_vehicle.front_axle_empty",
            "towed_vehicle.rear_axle_empty",
            "tow_bar.mass",
        ),
        _WEIGHS,
    ),
    # what the driveline loses, the engine need not hold back, and has to give on the way up
    # hot air is thin: it takes power from the engine and drag off both vehicles
    AIR: dict.fromkeys((*UPHILL, *DOWNHILL), "high"),
    "tow_vehicle.gearbox.efficiency": dict.fromkeys(UPHILL, "low") | _HOTTER_HIGH,
    # a converter that multiplies more starts off quicker: a hair more fuel and heat
    "tow_vehicle.gearbox.stall_torque_ratio": {"coolant": "high", "fuel": "high"},
    "tow_vehicle.engine.displacement": {"coolant": "high", "fuel": "high"} | _HOTTER_LOW,
    "tow_vehicle.engine.braking_factor": _HOTTER_LOW,
    "tow_vehicle.brakes.exposure": _HOTTER_LOW,
    "tow_vehicle.brakes.front_share": {"front_brakes": "high", "rear_brakes": "low"},
    "tow_vehicle.brakes.front_cooled_area": {"front_brakes": "low"},
    "tow_vehicle.brakes.rear_cooled_area": {"rear_brakes": "low"},
    "tow_vehicle.brakes.front_heated_mass": {"front_brakes": "low"},
    "tow_vehicle.brakes.rear_heated_mass": {"rear_brakes": "low"},
    "towed_vehicle.brake_cooled_area": {"towed_brakes": "low"},
    "towed_vehicle.brake_heated_mass": {"towed_brakes": "low"},
    "towed_vehicle.brake_share": {"front_brakes": "low", "rear_brakes": "low", "towed_brakes": "high"},
    "tow_vehicle.cooling.conductance": {"coolant": "low"},
    "tow_vehicle.cooling.heat_capacity": {"coolant": "low"},
    "tow_vehicle.cooling.heat_share": {"coolant": "high"},
    "tow_vehicle.cooling.thermostat": {"coolant": "high"},
}


def harsh_end(key: str, path: str) -> str | None:
    """'low' or 'high'; None where the limit has to find it out. A value that does not move this limit is
    taken at the end that is harsh for its neighbour, so that both share one drive.
    """
    neighbours = next((group for group in (UPHILL, DOWNHILL) if key in group), ())
    ends = _ENDS.get(path) if neighbours else None
    if ends is None:
        return None
    return next((ends[each] for each in (key, *neighbours) if each in ends), "low")


# The coolant is warmed by what the engine gives, which at full throttle depends on gear and speed: what pulls
# back more may leave it at a speed at which it gives less. Hot air takes power from the engine, and drag off
# the pair. So these are tried at both ends.
_TO_AND_FRO = {
    "coolant": frozenset(
        path for path, ends in _ENDS.items() if ends.keys() >= {"coolant", "climb_speed"} and path != AIR
    ),
    "fuel": frozenset({AIR}),
    "climb_speed": frozenset({AIR}),
}


def to_and_fro(key: str) -> frozenset[str]:
    """Values whose harsh end is not always harsh for this limit."""
    return _TO_AND_FRO.get(key, frozenset())


# those that turn most first
_WEIGHTY = (
    "tow_vehicle.engine.braking_factor",
    "tow_vehicle.brakes.exposure",
    "tow_vehicle.brakes.front_share",
    "tow_vehicle.cooling.heat_share",
    "tow_vehicle.gearbox.efficiency",
    "tow_vehicle.rolling_resistance",
    "tow_vehicle.drag_area",
)


def weightiest_first(key: str, paths: list[str]) -> list[str]:
    """Values that move a limit which needs the road driven, those that usually move it most first; empty for
    any other limit.
    """
    if key not in (*UPHILL, *DOWNHILL):
        return []
    moving = [path for path in paths if key in _ENDS.get(path, {})]
    return sorted(moving, key=lambda path: _WEIGHTY.index(path) if path in _WEIGHTY else len(_WEIGHTY))
