"""Random rigs that a file could hold: the invented ones with every figure wobbled, some fields left out and
some choices made otherwise; and a short made-up road with both ways of it.
"""

from typing import Any

import numpy as np
from hypothesis import strategies as st

from tests.rigs import changed
from towlib.print.field_lists import rig_fields
from towlib.rig.measured import BareNumber, WholeNumber, rule_of
from towlib.rig.model import ROW_TABLES, CurvePoint, Rig, field_info, load_rig, row_of, value_at
from towlib.road.csv_file import RoadPoints
from towlib.road.route import Route, route_from_points

DEMO, HEAVY = (load_rig(f"data/rigs/demo_{name}.toml") for name in ("comfortable", "overloaded"))
BRAKED = changed(changed(DEMO, "towed_vehicle.brakes_fitted", True), "towed_vehicle.brake_share", 0.25)
BASES = (DEMO, HEAVY, BRAKED)
_SHAFTS = tuple(
    f"tow_vehicle.engine.{name}" for name in ("idle", "peak_torque_at", "peak_power_at", "redline")
)


def short_road(*, steeper: float = 1.0, higher_m: float = 0.0) -> Route:
    """3.4 km, invented: up at 1, 7 and 12 %, along, down at 6 and 11 %; a limit of 50 km/h at the top."""
    at_m = np.array([0.0, 300.0, 800.0, 1600.0, 2200.0, 3000.0, 3400.0])
    rise_m = np.array([0.0, 3.0, 35.0, 130.0, 133.0, 85.0, 40.0])
    limit = np.array([22.0, 22.0, 22.0, 14.0, 14.0, 22.0, 22.0])
    return route_from_points(
        RoadPoints("short", "short.csv", at_m, 1200.0 + higher_m + steeper * rise_m, limit)
    )


ROAD = short_road()


def number_rule(path: str) -> Any:
    """The ends of a numeric field; None for any other."""
    info = field_info(path)
    return rule_of(info) or rule_of(info, BareNumber) or rule_of(info, WholeNumber)


def numbers(rig: Rig) -> list[str]:
    """Paths of all the numbers a rig holds, rows too."""
    return [path for path in _paths(rig) if number_rule(path) and value_at(rig, path) is not None]


def _paths(rig: Rig) -> list[str]:
    single = [field.path for field in rig_fields() if row_of(field.path) is None]
    for table, row in ROW_TABLES.items():
        single += [
            f"{table}.{i}.{name}" for i in range(len(value_at(rig, table) or ())) for name in row.model_fields
        ]
    return single


NUMBERS = {id(rig): numbers(rig) for rig in BASES}
OPTIONAL = [f.path for f in rig_fields() if not f.required and row_of(f.path) is None]
OPTIONAL = [path for path in OPTIONAL if path.count(".") and not path.endswith((".name", ".curve"))]
CHOSEN = {
    f.path: (True, False) if f.kind == "yes or no" else f.choices
    for f in rig_fields()
    if f.kind in ("choice", "yes or no") and f.path in OPTIONAL
}
PLACES = ("above_pin", "behind_pin", "outboard_of_pin")


def put(rig: Any, path: str, value: Any) -> Any:
    """As `changed`, in rows too."""
    head, _, rest = path.partition(".")
    if isinstance(rig, tuple):
        return tuple(
            (put(each, rest, value) if rest else value) if i == int(head) else each
            for i, each in enumerate(rig)
        )
    return rig.model_copy(update={head: put(getattr(rig, head), rest, value) if rest else value})


def moved(path: str, value: Any, percent: float) -> Any:
    """A number a few per cent up or down (air in half kelvins), inside what it can be."""
    rule = number_rule(path)
    if path in ("conditions.air_temperature", "battery.coldest"):
        value = value + percent / 2.0
    elif isinstance(rule, WholeNumber):
        value = value + round(percent / 5.0)
    else:
        value = value * (1.0 + percent / 100.0)
    return min(max(value, rule.low), rule.high)


def with_numbers(rig: Rig, percents: dict[str, float]) -> Rig:
    """A rig with its numbers moved, its engine's speeds still in their order."""
    for path, percent in percents.items():
        if percent and value_at(rig, path) is not None:
            rig = put(rig, path, moved(path, value_at(rig, path), percent))
    given = [path for path in _SHAFTS if value_at(rig, path) is not None]
    for path, speed in zip(given, sorted(value_at(rig, path) for path in given), strict=True):
        rig = put(rig, path, speed)
    return rig


@st.composite
def rigs(draw: Any, wobble: int = 15, left_out: int = 4, chosen: int = 4) -> Rig:
    """A rig near one of the invented ones."""
    base = draw(st.sampled_from(BASES))
    paths = NUMBERS[id(base)]
    percents = draw(st.lists(st.integers(-wobble, wobble), min_size=len(paths), max_size=len(paths)))
    rig = with_numbers(base, dict(zip(paths, percents, strict=True)))
    sure = dict(base.plus_minus) if draw(st.booleans()) else {}
    for path in draw(st.lists(st.sampled_from(OPTIONAL), max_size=left_out, unique=True)):
        rig = put(rig, path, None)
        sure.pop(path, None)
    for path in draw(st.lists(st.sampled_from(sorted(CHOSEN)), max_size=chosen, unique=True)):
        rig = put(rig, path, draw(st.sampled_from(CHOSEN[path])))
    if draw(st.integers(0, 4)) == 0:
        rig = put(rig, "tow_vehicle.engine.curve", _curve(rig))
    rig._plus_minus = sure
    return rig


def _curve(rig: Rig) -> tuple[CurvePoint, ...]:
    """A measured curve of no engine in particular."""
    points = ((900.0, 0.7), (2000.0, 0.85), (3500.0, 1.0), (5000.0, 0.95), (6300.0, 0.75))
    most = value_at(rig, "tow_vehicle.engine.peak_torque") or 400.0
    return tuple(CurvePoint.model_construct(speed=speed, torque=share * most) for speed, share in points)
