"""Lesson 01: what its two panels compute, draw and say. The tow vehicle is the invented comfortable one."""

from functools import lru_cache
from pathlib import Path
from typing import NamedTuple

from towlib.physics.weights import Room, addable_mass, axle_loads
from towlib.rig import TowVehicle, load_rig
from towlib.teaching.figures import Picture
from towlib.units import from_si, show, unit_label

DEMO = Path(__file__).parents[2] / "data" / "rigs" / "demo_comfortable.toml"
SEATS_BEHIND_FRONT_AXLE_M = 1.75


@lru_cache(maxsize=1)
def demo_vehicle() -> TowVehicle:
    """The invented tow vehicle of this lesson."""
    return load_rig(DEMO).tow_vehicle


class Use(NamedTuple):
    """One rating and what is asked of it."""

    name: str
    demand_kg: float
    rating_kg: float

    @property
    def words(self) -> str:
        """within or over, without numbers."""
        return "within" if self.demand_kg <= self.rating_kg else "over"


class AxleUse(NamedTuple):
    """Everything the first panel shows."""

    uses: tuple[Use, ...]
    cargo_behind_front_axle_m: float
    places_m: tuple[float, ...]
    front_kg: tuple[float, ...]  # front axle for the cargo at each place
    rear_kg: tuple[float, ...]


def axle_use(*, people_kg: float, cargo_kg: float, cargo_behind_front_axle_m: float, ball_load_kg: float, towed_kg: float) -> AxleUse:
    """Demand on every weight rating of the tow vehicle, and both axle loads for the cargo anywhere along it."""
    vehicle = demo_vehicle()

    def loads(place_m: float):
        return axle_loads(vehicle.front_axle_empty, vehicle.rear_axle_empty, wheelbase_m=vehicle.wheelbase,
                          items=[(people_kg, SEATS_BEHIND_FRONT_AXLE_M), (cargo_kg, place_m),
                                 (ball_load_kg, vehicle.wheelbase + vehicle.ball_behind_rear_axle)])

    here = loads(cargo_behind_front_axle_m)
    total = here.front_kg + here.rear_kg
    uses = (Use("Front axle (GAWR)", here.front_kg, vehicle.front_gawr), Use("Rear axle (GAWR)", here.rear_kg, vehicle.rear_gawr),
            Use("Total (GVWR)", total, vehicle.gvwr), Use("Payload", people_kg + cargo_kg + ball_load_kg, vehicle.payload),
            Use("Combined (GCWR)", total + towed_kg, vehicle.gcwr), Use("Towed weight", towed_kg, vehicle.tow_rating_unbraked))
    ends = (1.0, 4.8)
    return AxleUse(uses, cargo_behind_front_axle_m, ends, tuple(loads(p).front_kg for p in ends), tuple(loads(p).rear_kg for p in ends))


def axle_use_words(result: AxleUse, system: str) -> str:
    """The sentence under the first panel."""
    over = [use for use in result.uses if use.words == "over"]
    if over:
        listed = "; ".join(f"{use.name} over by {show(use.demand_kg - use.rating_kg, 'mass', system)}" for use in over)
        return f"{len(over)} of {len(result.uses)} ratings are over: {listed}."
    tightest = max(result.uses, key=lambda use: use.demand_kg / use.rating_kg)
    return (f"All {len(result.uses)} ratings are within; the tightest is {tightest.name} with {show(tightest.demand_kg, 'mass', system)} of "
            f"{show(tightest.rating_kg, 'mass', system)}, within by {show(tightest.rating_kg - tightest.demand_kg, 'mass', system)}.")


class AxleUseDrawing:
    """Left: share of each rating that is used. Right: both axle loads as the cargo moves back."""

    size_in, frames, widths = (10.0, 3.9), 2, (1.25, 1.0)
    MOST_PERCENT, WORDS_AT, RIGHT_EDGE = 150.0, 155.0, 240.0

    def build(self, picture: Picture, system: str) -> None:
        """Frames and named parts."""
        names = [use.name for use in axle_use(people_kg=0, cargo_kg=0, cargo_behind_front_axle_m=2, ball_load_kg=0, towed_kg=1000).uses]
        picture.frame(0, title="Share of each rating used", x_label="per cent of the rating", x=(0, self.RIGHT_EDGE), y_names=names)
        picture.bars("used", 0, len(names))
        picture.reference("full", 0)
        for i in range(len(names)):
            picture.words(f"used {i}", 0)
        picture.frame(1, title="Axle loads against the place of the cargo", x_label=f"cargo behind front axle [{unit_label('length', system)}]",
                      y_label=f"axle load [{unit_label('mass', system)}]", x=tuple(from_si(x, "length", system) for x in (0.9, 4.9)),
                      y=(0.0, from_si(3000.0, "mass", system)))
        for name, style in (("front", 0), ("rear", 1)):
            picture.line(name, 1, style)
            picture.reference(f"{name} rating", 1)
            picture.point(f"{name} now", 1, style)
            picture.words(f"{name} name", 1, align="right", style=style, bold=True)
        picture.words("ratings", 1, align="left")

    def update(self, picture: Picture, result: AxleUse, system: str) -> None:
        """Move the parts to a result."""
        shares = [100.0 * use.demand_kg / use.rating_kg for use in result.uses]
        picture.stretch("used", [min(share, self.MOST_PERCENT) for share in shares], [use.words == "over" for use in result.uses])
        picture.move("full", [100.0, 100.0], [-0.5, len(shares) - 0.5])
        for i, use in enumerate(result.uses):
            picture.say(f"used {i}", f"{from_si(use.demand_kg, 'mass', system):,.0f} of {from_si(use.rating_kg, 'mass', system):,.0f} "
                        f"{unit_label('mass', system)}", self.WORDS_AT, i)
        vehicle = demo_vehicle()
        place = from_si(result.cargo_behind_front_axle_m, "length", system)
        x = [from_si(p, "length", system) for p in result.places_m]
        for name, loads, now, gawr in (("front", result.front_kg, result.uses[0].demand_kg, vehicle.front_gawr),
                                       ("rear", result.rear_kg, result.uses[1].demand_kg, vehicle.rear_gawr)):
            y = [from_si(load, "mass", system) for load in loads]
            picture.move(name, x, y)
            picture.move(f"{name} now", [place], [from_si(now, "mass", system)])
            picture.move(f"{name} rating", x, [from_si(gawr, "mass", system)] * 2)
            offset = from_si(110.0, "mass", system) * (1 if (y[-1] > from_si(gawr, "mass", system)) or name == "rear" else -1)
            picture.say(f"{name} name", f"{name} axle", x[-1], y[-1] + offset)
        picture.say("ratings", "short dashes: ratings (GAWR)", x[0], from_si(2880.0, "mass", system))


class RoomLeft(NamedTuple):
    """Everything the second panel shows."""

    places_m: tuple[float, ...]
    room_kg: tuple[float, ...]
    here_m: float
    here: Room


def room_left(*, cargo_kg: float, cargo_behind_front_axle_m: float, ball_load_kg: float, added_behind_front_axle_m: float) -> RoomLeft:
    """How much can still be added at every place along the tow vehicle; two people are in."""
    vehicle = demo_vehicle()
    people_kg = 150.0
    loads = axle_loads(vehicle.front_axle_empty, vehicle.rear_axle_empty, wheelbase_m=vehicle.wheelbase,
                       items=[(people_kg, SEATS_BEHIND_FRONT_AXLE_M), (cargo_kg, cargo_behind_front_axle_m),
                              (ball_load_kg, vehicle.wheelbase + vehicle.ball_behind_rear_axle)])

    def room(place_m: float) -> Room:
        return addable_mass(place_m, wheelbase_m=vehicle.wheelbase, front_kg=loads.front_kg, rear_kg=loads.rear_kg,
                            front_gawr_kg=vehicle.front_gawr, rear_gawr_kg=vehicle.rear_gawr, gvwr_kg=vehicle.gvwr,
                            payload_left_kg=vehicle.payload - people_kg - cargo_kg - ball_load_kg)

    places = tuple(0.5 + 0.1 * i for i in range(44))
    return RoomLeft(places, tuple(room(p).mass_kg for p in places), added_behind_front_axle_m, room(added_behind_front_axle_m))


def room_left_words(result: RoomLeft, system: str) -> str:
    """The sentence under the second panel."""
    place = show(result.here_m, "length", system)
    if result.here.mass_kg < 0:
        return f"Nothing can be added: the {result.here.rating} is over by {show(-result.here.mass_kg, 'mass', system)} already."
    return f"At {place} behind the front axle {show(result.here.mass_kg, 'mass', system)} can still be added; then the {result.here.rating} is reached."


class RoomLeftDrawing:
    """The mass that can still be added against the place."""

    size_in, frames = (10.0, 3.6), 1

    def build(self, picture: Picture, system: str) -> None:
        """Frames and named parts."""
        picture.frame(0, title="What can still be added (below the zero line: already over)",
                      x_label=f"place behind the front axle [{unit_label('length', system)}]",
                      y_label=f"mass [{unit_label('mass', system)}]", x=tuple(from_si(x, "length", system) for x in (0.4, 4.9)),
                      y=tuple(from_si(m, "mass", system) for m in (-500.0, 700.0)))
        picture.line("room", 0, 0)
        picture.reference("nothing", 0)
        picture.reference("rear axle", 0)
        picture.words("rear axle name", 0)
        picture.point("here", 0, 1)
        picture.words("here words", 0, align="left", bold=True)

    def update(self, picture: Picture, result: RoomLeft, system: str) -> None:
        """Move the parts to a result."""
        x = [from_si(p, "length", system) for p in result.places_m]
        low, high = (from_si(m, "mass", system) for m in (-500.0, 700.0))
        picture.move("room", x, [from_si(m, "mass", system) for m in result.room_kg])
        picture.move("nothing", [x[0], x[-1]], [0.0, 0.0])
        wheelbase = from_si(demo_vehicle().wheelbase, "length", system)
        picture.move("rear axle", [wheelbase] * 2, [low, high])
        picture.say("rear axle name", " rear axle", wheelbase, 0.85 * low)
        here = from_si(result.here_m, "length", system)
        mass = from_si(result.here.mass_kg, "mass", system)
        picture.move("here", [here], [mass])
        right = result.here_m > 3.4
        words = (f"{show(result.here.mass_kg, 'mass', system)}, then {result.here.rating}" if result.here.mass_kg >= 0
                 else f"{result.here.rating} over by {show(-result.here.mass_kg, 'mass', system)}")
        picture.say("here words", words,
                    here - from_si(1.75, "length", system) if right else here + from_si(0.08, "length", system),
                    mass + from_si(85.0, "mass", system))
