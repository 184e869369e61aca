"""Lesson 01: what its two panels compute, draw and say."""

from typing import NamedTuple

from towlib.draw.figures import Picture, round_up
from towlib.lessons.declare import with_values
from towlib.limits.loads import (
    ball_load_kg,
    carried_kg,
    payload_kg,
    tow_axles_kg,
    tow_total_kg,
    towed_total_kg,
)
from towlib.physics.weights.axle_loads import addable_mass
from towlib.rig.facts import Facts
from towlib.units import from_si, show, unit_label

RATINGS = ("front_gawr", "rear_gawr", "gvwr", "payload", "gcwr")
NAMES = (
    "Front axle (GAWR)",
    "Rear axle (GAWR)",
    "Total (GVWR)",
    "Payload",
    "Combined (GCWR)",
    "Towed weight",
)


class Use(NamedTuple):
    """One rating and what is asked of it."""

    name: str
    demand_kg: float
    rating_kg: float | None  # None: not known

    @property
    def words(self) -> str:
        """within, over or not known, without numbers."""
        if self.rating_kg is None:
            return "not known"
        return "within" if self.demand_kg <= self.rating_kg else "over"


class AxleUse(NamedTuple):
    """Everything the first panel shows."""

    uses: tuple[Use, ...]
    place_m: float  # of people and cargo, behind the front axle
    places_m: tuple[float, float]
    front_kg: tuple[float, ...]  # front axle for people and cargo at each place
    rear_kg: tuple[float, ...]


def bed_end_m(facts: Facts) -> float:
    """The rearmost place of the tow vehicle, behind its front axle."""
    return facts.need("tow_vehicle.wheelbase") + facts.need("tow_vehicle.rear_overhang")


def middle_m(facts: Facts) -> float:
    """Where the middle of people and cargo of the tow vehicle is, behind its front axle."""
    rows = facts.carried("tow", "out")
    total = sum(mass for mass, _ in rows)
    return sum(mass * place for mass, place in rows) / total if total else 0.0


def axle_use(facts: Facts) -> AxleUse:
    """Demand on every weight rating of the tow vehicle, and both axle loads for its load anywhere along
    it.
    """
    front, rear = tow_axles_kg(facts, "out")
    total, towed = tow_total_kg(facts, "out"), towed_total_kg(facts, "out")
    demands = (front, rear, total, payload_kg(facts, "out"), total + towed, towed)
    braked = facts.have("towed_vehicle.brakes_fitted")
    paths = [f"tow_vehicle.{name}" for name in (*RATINGS, f"tow_rating_{'' if braked else 'un'}braked")]
    uses = tuple(Use(*each) for each in zip(NAMES, demands, map(facts.have, paths), strict=True))
    ends = (1.0, bed_end_m(facts))
    loads = [tow_axles_kg(with_values(facts, {"carried.tow.place": end}), "out") for end in ends]
    return AxleUse(
        uses, middle_m(facts), ends, tuple(load[0] for load in loads), tuple(load[1] for load in loads)
    )


def axle_use_words(result: AxleUse, system: str) -> str:
    """The sentence under the first panel."""
    over = [use for use in result.uses if use.words == "over"]
    unknown = [use.name for use in result.uses if use.words == "not known"]
    end = f" Not known: {', '.join(unknown)}." if unknown else ""
    if over:
        listed = "; ".join(
            f"{use.name} over by {show(use.demand_kg - (use.rating_kg or 0.0), 'mass', system)}"
            for use in over
        )
        return f"{len(over)} of {len(result.uses)} ratings are over: {listed}.{end}"
    known = [use for use in result.uses if use.rating_kg is not None]
    if not known:
        return f"No rating is known.{end}"
    tightest = max(known, key=lambda use: use.demand_kg / (use.rating_kg or 1.0))
    room = (tightest.rating_kg or 0.0) - tightest.demand_kg
    which = "All" if not unknown else "The known"
    return (
        f"{which} {len(known)} ratings are within; the tightest is {tightest.name} with"
        f" {show(tightest.demand_kg, 'mass', system)} of {show(tightest.rating_kg, 'mass', system)}, within"
        f" by {show(room, 'mass', system)}.{end}"
    )


def axle_use_rooms(result: AxleUse) -> dict[str, float]:
    """Room of each rating that is known."""
    return {use.name: use.rating_kg - use.demand_kg for use in result.uses if use.rating_kg is not None}


TRAILER_BALL_KG = 200.0  # what a trailer of the towed vehicle's weight would press, roughly


def axle_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the first panel."""
    ball = ball_load_kg(facts)
    _, rear = tow_axles_kg(facts, "out")
    trailer = with_values(facts, {"hitch.ball_load": TRAILER_BALL_KG})
    front_then, rear_then = tow_axles_kg(trailer, "out")
    lighter = tow_axles_kg(facts, "out")[0] - front_then
    return (
        f"A level bar presses the ball with half its own weight, {show(ball, 'mass', system)} here: next to"
        f" nothing. Now push the ball load to {show(TRAILER_BALL_KG, 'mass', system)}, as a trailer would:"
        f" the rear axle gains {show(rear_then - rear, 'mass', system)}, more than the ball load itself, and"
        f" the front axle loses {show(lighter, 'mass', system)}. **What the towed wheels carry does not touch"
        " these axles**; it has its own rating, and counts in GCWR. So the trailer habit of 10 to 15 % does"
        " not apply to four wheels down."
    )


class AxleUseDrawing:
    """Left: share of each rating that is used. Right: both axle loads as the load moves back."""

    size_in, frames, widths = (10.0, 3.9), 2, (1.25, 1.0)
    MOST_PERCENT, WORDS_AT, RIGHT_EDGE = 150.0, 155.0, 245.0

    def build(self, picture: Picture, system: str) -> None:
        """Frames and named parts."""
        picture.frame(
            0,
            title="Share of each rating used",
            x_label="per cent of the rating",
            x=(0, self.RIGHT_EDGE),
            y_names=NAMES,
        )
        picture.bars("used", 0, len(NAMES))
        picture.reference("full", 0)
        for i in range(len(NAMES)):
            picture.words(f"used {i}", 0)
        for name, style in (("front", 0), ("rear", 1)):
            picture.line(name, 1, style)
            picture.reference(f"{name} rating", 1, style)
            picture.point(f"{name} now", 1, style)
            picture.words(f"{name} name", 1, align="right", style=style, bold=True)
            picture.words(f"{name} rating name", 1, align="left", style=style)

    def update(self, picture: Picture, result: AxleUse, system: str) -> None:
        """Move the parts to a result."""
        unit = unit_label("mass", system)
        shares = [100.0 * use.demand_kg / use.rating_kg if use.rating_kg else 0.0 for use in result.uses]
        picture.stretch(
            "used",
            [min(share, self.MOST_PERCENT) for share in shares],
            [use.words == "over" for use in result.uses],
        )
        picture.move("full", [100.0, 100.0], [-0.5, len(shares) - 0.5])
        for i, use in enumerate(result.uses):
            whole = f"{from_si(use.rating_kg, 'mass', system):,.0f} {unit}" if use.rating_kg else "not known"
            demand = f"{from_si(use.demand_kg, 'mass', system):,.0f}"
            picture.say(f"used {i}", f"{demand} of {whole}", self.WORDS_AT, i)
        ratings = [use.rating_kg or 0.0 for use in result.uses[:2]]
        top = round_up(from_si(1.12 * max(*result.front_kg, *result.rear_kg, *ratings), "mass", system))
        x = [from_si(p, "length", system) for p in result.places_m]
        room = from_si(0.25, "length", system)
        picture.frame(
            1,
            title="Axle loads against the place of the load",
            x_label=f"people and cargo behind front axle [{unit_label('length', system)}]",
            y_label=f"axle load [{unit}]",
            x=(x[0] - room, x[1] + room),
            y=(0.0, top),
        )
        place = from_si(result.place_m, "length", system)
        for name, loads, use in (
            ("front", result.front_kg, result.uses[0]),
            ("rear", result.rear_kg, result.uses[1]),
        ):
            y = [from_si(load, "mass", system) for load in loads]
            picture.move(name, x, y)
            picture.move(f"{name} now", [place], [from_si(use.demand_kg, "mass", system)])
            below = name == "front" and result.front_kg[-1] < result.rear_kg[-1]
            picture.say(f"{name} name", f"{name} axle", x[-1], y[-1] + (-0.05 if below else 0.05) * top)
            if use.rating_kg is None:
                picture.move(f"{name} rating", [], [])
                picture.say(f"{name} rating name", "", x[0], 0.0)
                continue
            rating = from_si(use.rating_kg, "mass", system)
            picture.move(f"{name} rating", x, [rating] * 2)
            above = 0.045 * top * (1 if name == "rear" else -1)
            picture.say(f"{name} rating name", f"{name} GAWR", x[0], rating + above)


class RoomLeft(NamedTuple):
    """Everything the second panel shows."""

    places_m: tuple[float, ...]
    room_kg: tuple[float, ...]
    here_m: float
    here_kg: float  # negative when a rating is over already
    rating: str  # that stops it here
    wheelbase_m: float


def room_left(facts: Facts, *, added_behind_front_axle_m: float) -> RoomLeft:
    """How much can still be added at every place along the tow vehicle."""
    front, rear = tow_axles_kg(facts, "out")
    wheelbase = facts.need("tow_vehicle.wheelbase")
    left_kg = facts.need("tow_vehicle.payload") - carried_kg(facts, "tow", "out") - ball_load_kg(facts)

    def room(place_m: float) -> tuple[float, str]:
        found = addable_mass(
            place_m,
            wheelbase_m=wheelbase,
            front_kg=front,
            rear_kg=rear,
            front_gawr_kg=facts.need("tow_vehicle.front_gawr"),
            rear_gawr_kg=facts.need("tow_vehicle.rear_gawr"),
            gvwr_kg=facts.need("tow_vehicle.gvwr"),
            payload_left_kg=left_kg,
        )
        assert found.mass_kg is not None  # every rating is known
        return found.mass_kg, found.rating

    steps = round((bed_end_m(facts) - 0.5) / 0.1)
    places = tuple(0.5 + 0.1 * i for i in range(steps + 1))
    return RoomLeft(
        places,
        tuple(room(place)[0] for place in places),
        added_behind_front_axle_m,
        *room(added_behind_front_axle_m),
        wheelbase,
    )


def room_left_words(result: RoomLeft, system: str) -> str:
    """The sentence under the second panel."""
    place = show(result.here_m, "length", system)
    if result.here_kg < 0:
        over = show(-result.here_kg, "mass", system)
        return f"Nothing can be added: the {result.rating} is over by {over} already."
    mass = show(result.here_kg, "mass", system)
    return f"At {place} behind the front axle {mass} can still be added; then the {result.rating} is reached."


def room_left_rooms(result: RoomLeft) -> dict[str, float]:
    """Room here."""
    return {"here": result.here_kg}


def room_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the second panel."""
    middle = room_left(facts, added_behind_front_axle_m=0.7 * facts.need("tow_vehicle.wheelbase"))
    far_back = with_values(
        facts, {"carried.tow.place": bed_end_m(facts) - 0.4, "hitch.ball_load": TRAILER_BALL_KG}
    )
    tail = room_left(far_back, added_behind_front_axle_m=bed_end_m(facts))
    tail_words = (
        f"is over by {show(-tail.here_kg, 'mass', system)} already"
        if tail.here_kg < 0
        else f"stops you after {show(tail.here_kg, 'mass', system)}"
    )
    return (
        f"Between the axles the {middle.rating} stops you first, after"
        f" {show(middle.here_kg, 'mass', system)}. Move people and cargo far back and the ball load up, and"
        f" look at the tailgate: there the {tail.rating} {tail_words}. **Once a rating is over, nothing may"
        " be added anywhere**: take something out first."
    )


class RoomLeftDrawing:
    """The mass that can still be added against the place."""

    size_in, frames = (10.0, 3.9), 1

    def build(self, picture: Picture, system: str) -> None:
        """Named parts; the frame follows the rig."""
        picture.line("room", 0, 0)
        picture.reference("nothing", 0)
        picture.reference("rear axle", 0)
        picture.words("rear axle name", 0)
        picture.point("here", 0, 1)
        picture.words("here words", 0, align="center", bold=True)

    def update(self, picture: Picture, result: RoomLeft, system: str) -> None:
        """Move the parts to a result."""
        x = [from_si(p, "length", system) for p in result.places_m]
        most = max(*map(abs, result.room_kg), abs(result.here_kg), 100.0)
        top = round_up(from_si(1.15 * most, "mass", system))
        low = -top if min(*result.room_kg, result.here_kg) < 0 else -0.12 * top
        picture.frame(
            0,
            title="What can still be added (below the zero line: already over)",
            x_label=f"place behind the front axle [{unit_label('length', system)}]",
            y_label=f"mass [{unit_label('mass', system)}]",
            x=(x[0] - from_si(0.1, "length", system), x[-1] + from_si(0.1, "length", system)),
            y=(low, top),
        )
        picture.move("room", x, [from_si(m, "mass", system) for m in result.room_kg])
        picture.move("nothing", [x[0], x[-1]], [0.0, 0.0])
        wheelbase = from_si(result.wheelbase_m, "length", system)
        picture.move("rear axle", [wheelbase] * 2, [low, top])
        picture.say("rear axle name", " rear axle", wheelbase, low + 0.06 * (top - low))
        here = from_si(result.here_m, "length", system)
        mass = from_si(result.here_kg, "mass", system)
        picture.move("here", [here], [mass])
        amount = show(abs(result.here_kg), "mass", system)
        rating = result.rating
        words = f"{amount}, then {rating}" if result.here_kg >= 0 else f"{rating} over by {amount}"
        picture.say("here words", words, here, mass + 0.07 * (top - low))
