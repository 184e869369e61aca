"""Lesson 11: a plan to look at, and its panel: how fast down, how hot a day, how heavy behind."""

from functools import lru_cache
from typing import NamedTuple

from towlib.draw.figures import Picture
from towlib.errors import InputError
from towlib.limits.legs import Leg, drive_leg
from towlib.paths import DATA, reader_folder
from towlib.plan.trip import Plan
from towlib.print.sheet import sheet_html
from towlib.rig.facts import Facts, assumptions
from towlib.rig.model import Rig, load_rig
from towlib.rig.store import RigStore, write_whole
from towlib.road.route import Route, load_route
from towlib.units import from_si, show, unit_label

FADE_INDEX_C = assumptions()["tow_vehicle.brakes.highest_front"].value


def reader_rig_or_demo() -> tuple[Rig, str]:
    """The reader's own rig when it can be read, else the comfortable demo; with a sentence saying which and
    why.
    """
    try:
        return RigStore().rig(), "This is your own rig."
    except InputError as error:
        return (
            load_rig(DATA / "rigs" / "demo_comfortable.toml"),
            f"This is the invented demo rig, because yours cannot be used yet. {error}",
        )


def write_sheet(plan: Plan, system: str = "metric", name: str = "my_trip_sheet.html") -> str:
    """Write the printable sheet beside the reader's rig and say where."""
    write_whole(reader_folder() / name, sheet_html(plan, system))
    return (
        f"Written: {name}. Open it from the file list on the left, then print: one sheet of paper, both"
        " sides."
    )


class Descent(NamedTuple):
    """What the panel shows: one way of the short pass."""

    leg: Leg
    hottest_c: float
    where_m: float
    gear: int  # held on the longest steep downgrade


@lru_cache(maxsize=1)
def _demo() -> tuple[Rig, Route]:
    return load_rig(DATA / "rigs" / "demo_overloaded.toml"), load_route(
        DATA / "routes" / "short_steep_pass.csv"
    )


def descent(*, descent_speed_m_s: float, air_temperature_c: float, towed_front_kg: float) -> Descent:
    """The invented wagon over the invented short pass, way out."""
    rig, route = _demo()
    conditions = rig.conditions.model_copy(
        update={"descent_speed": descent_speed_m_s, "air_temperature": air_temperature_c}
    )
    towed = rig.towed_vehicle.model_copy(update={"front_axle_empty": towed_front_kg})
    leg = drive_leg(
        Facts(rig.model_copy(update={"conditions": conditions, "towed_vehicle": towed})), route, "out"
    )
    if leg.journey.stopped_at_m is not None:
        raise ValueError("the pair does not get over the pass at all")
    front = [temperatures[0] for temperatures in leg.journey.brake_c]
    i = max(range(len(front)), key=front.__getitem__)
    steep = max(
        (row for row in leg.rows if row.segment.mean_grade < -0.06), key=lambda row: row.segment.length_m
    )
    return Descent(leg, front[i], leg.journey.distance_m[i], steep.gear)


def descent_words(result: Descent, system: str) -> str:
    """The sentence under the panel."""
    answer = "within" if result.hottest_c <= FADE_INDEX_C else "over"
    room = show(abs(FADE_INDEX_C - result.hottest_c), "temperature_difference", system)
    return (
        f"The front brakes reach {show(result.hottest_c, 'temperature', system)} at"
        f" {show(result.where_m, 'distance', system)}; gear {result.gear} on the longest steep downgrade:"
        f" {answer} by {room} (fade index {show(FADE_INDEX_C, 'temperature', system)})."
    )


class DescentDrawing:
    """Front brakes along the road, with the profile below."""

    size_in, frames = (9.0, 3.4), 1
    HIGHEST_C = 700.0

    def build(self, picture: Picture, system: str) -> None:
        """Frame and named parts."""
        _, route = _demo()
        picture.frame(
            0,
            title="Front brakes along the short pass (way out)",
            x_label=f"distance [{unit_label('distance', system)}]",
            y_label=f"temperature [{unit_label('temperature', system)}]",
            x=(0.0, from_si(route.length_m, "distance", system)),
            y=(0.0, from_si(self.HIGHEST_C, "temperature", system)),
        )
        picture.line("front", 0, 1)
        picture.point("hottest", 0, 1)
        picture.reference("fade", 0)
        picture.reference("profile", 0)
        picture.words("fade name", 0)
        picture.words("profile name", 0)

    def update(self, picture: Picture, result: Descent, system: str) -> None:
        """Move the parts to a result."""
        journey, route = result.leg.journey, result.leg.route
        length = from_si(route.length_m, "distance", system)
        top = from_si(self.HIGHEST_C, "temperature", system)
        # every fourth grid point, 100 m apart: the eye sees no difference and the picture is ready sooner
        picture.move(
            "front",
            [from_si(d, "distance", system) for d in journey.distance_m[::4]],
            [from_si(t[0], "temperature", system) for t in journey.brake_c[::4]],
        )
        picture.move(
            "hottest",
            [from_si(result.where_m, "distance", system)],
            [from_si(result.hottest_c, "temperature", system)],
        )
        fade = from_si(FADE_INDEX_C, "temperature", system)
        picture.move("fade", [0.0, length], [fade, fade])
        picture.say("fade name", "fade index", 0.01 * length, fade + 0.045 * top)
        low, high = float(route.elevation_m.min()), route.summit_m
        picture.move(
            "profile",
            from_si(route.distance_m[::8], "distance", system),
            0.12 * top + 0.15 * top * (route.elevation_m[::8] - low) / (high - low),
        )
        picture.say("profile name", "road profile, not to scale", 0.38 * length, 0.305 * top)
