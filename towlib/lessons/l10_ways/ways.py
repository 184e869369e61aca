"""Lesson 10: three ways to tow against the same ratings of the same tow vehicle."""

from typing import NamedTuple

from towlib.draw.figures import Picture
from towlib.handbook.tables import load_table
from towlib.limits.decision import plain
from towlib.limits.limit import NOT_KNOWN, OVER, Limit, by_closeness
from towlib.physics.weights.ways_loads import carried_ball_load_kg, moved_for_share_m
from towlib.plan.other_ways import (
    METHODS,
    TRAILER,
    ball_kg,
    carrier,
    gross_kg,
    limits_of_way,
    method_rules,
)
from towlib.plan.other_ways import rules_of_way as rules_of_way  # the notebook takes it from here
from towlib.rig.facts import Facts, NotKnown
from towlib.rig.model import Rig, label_of
from towlib.road.route import Route
from towlib.units import from_si, show, unit_label

SHOWN = (
    ("tow_rating", "Towed weight"),
    ("gcwr", "Both together (GCWR)"),
    ("tow_gvwr", "Tow vehicle (GVWR)"),
    ("payload", "Payload"),
    ("tow_front_gawr", "Front axle (GAWR)"),
    ("tow_rear_gawr", "Rear axle (GAWR)"),
    ("receiver", "Receiver, towed"),
    ("standing_ball_load", "Receiver, vertical"),
)


class WaysWeights(NamedTuple):
    """Everything the first panel shows: the limits of each way in the order of SHOWN."""

    limits: tuple[tuple[Limit, ...], ...]  # in the order of METHODS


def weights(facts: Facts) -> WaysWeights:
    """Every rating of the tow vehicle, asked by each way of towing."""
    found = []
    for method in METHODS:
        rules = {rule.key: rule for rule in method_rules(carrier(facts), method)}
        found.append(tuple(plain(rules[key], facts) for key, _ in SHOWN))
    return WaysWeights(tuple(found))


def weights_words(result: WaysWeights, system: str) -> str:
    """The sentence under the first panel."""
    named = (_renamed(limits) for limits in result.limits)
    words = "; ".join(f"{way} {_judged(limits, system)}" for way, limits in zip(METHODS, named, strict=True))
    return f"{words[0].upper()}{words[1:]}."


def weights_rooms(result: WaysWeights) -> dict[str, float]:
    """Room of every limit that is known, each way to tow."""
    return {
        f"{way} {limit.key}": limit.room
        for way, limits in zip(METHODS, result.limits, strict=True)
        for limit in limits
        if limit.room is not None
    }


def _renamed(limits: tuple[Limit, ...]) -> tuple[Limit, ...]:
    return tuple(limit._replace(title=name) for limit, (_, name) in zip(limits, SHOWN, strict=True))


def _judged(limits: tuple[Limit, ...], system: str) -> str:
    """One way in few words: what is over, else the tightest; and how many are not known."""
    first, *_ = by_closeness(list(limits))
    over, unknown = (sum(limit.answer == word for limit in limits) for word in (OVER, NOT_KNOWN))
    tail = f", {unknown} {NOT_KNOWN}" if unknown else ""
    if over:
        return f"{over} of {len(limits)} over, the worst {first.title}, {first.answer_text(system)}{tail}"
    known = [limit for limit in limits if limit.answer != NOT_KNOWN]
    if not known:
        return f"nothing known ({_lacking(limits)})"
    tightest = max(known, key=lambda limit: limit.used or 0.0)
    which = "all within" if not unknown else f"{len(known)} within"
    return f"{which}, the tightest {tightest.title} at {100 * (tightest.used or 0.0):.0f} %{tail}"


def _lacking(limits: tuple[Limit, ...]) -> str:
    """The first fact that one of the limits lacks, in words."""
    fact = next(limit.missing.split("; ")[0] for limit in limits if limit.missing)
    try:
        return label_of(fact)
    except ValueError:
        return fact


def weights_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the first panel."""
    need = carrier(facts)
    balls = [ball_kg(facts, need, method=method, way="out") for method in METHODS]
    shown = [show(ball, "mass", system) for ball in balls]
    least, most = (METHODS[balls.index(end)] for end in (min(balls), max(balls)))
    rear = [limits[[key for key, _ in SHOWN].index("tow_rear_gawr")].used for limits in weights(facts).limits]
    rear_words = (
        f"; the rear axle goes from {100 * rear[0]:.0f} to {100 * rear[2]:.0f} % of its rating with the"
        " trailer, because the ball hangs behind it"
        if rear[0] is not None and rear[2] is not None
        else ""
    )
    ratings = [facts.have(f"tow_vehicle.tow_rating_{name}") for name in ("unbraked", "braked")]
    brakes = (
        f" Brakes behind decide which tow rating holds: {show(ratings[0], 'mass', system)} without,"
        f" {show(ratings[1], 'mass', system)} with them."
        if None not in ratings
        else " Brakes behind decide which tow rating holds."
    )
    further = show(_further_m(facts, 0.02), "length", system)
    return (
        f"The bar presses the ball with {shown[0]}, the dolly with {shown[1]}, the trailer with {shown[2]}."
        f" That load lands on payload and receiver{rear_words}.{brakes} So no way is lighter in general:"
        f" {least} asks least of the ball, {most} most. On a trailer a hand's breadth counts: {further}"
        " further forward put 2 % more of its gross on the ball."
    )


def _further_m(facts: Facts, share: float) -> float:
    """How much further forward the vehicle stands on the trailer for so much more of the gross on the
    ball.
    """
    need = carrier(facts)
    trailer_kg = need("trailer_mass")
    vehicle_kg = gross_kg(facts, need, method=TRAILER, way="out") - trailer_kg
    return moved_for_share_m(
        share,
        vehicle_kg,
        carrier_kg=trailer_kg,
        empty_ball_load_kg=0.0,
        axle_to_ball_m=need("trailer_length"),
    )


class WeightsDrawing:
    """Share of each rating used, one frame for each way."""

    size_in, frames, widths = (10.4, 3.8), 3, (1.0, 1.0, 1.0)
    narrow_in = (4.9, 10.2)
    MOST, RIGHT = 150.0, 270.0

    def build(self, picture: Picture, system: str) -> None:
        """Frames and named parts."""
        for i, method in enumerate(METHODS):
            named = i == 0 or picture.narrow
            picture.frame(
                i,
                title=method.capitalize(),
                x_label="per cent of the rating",
                x=(0.0, self.RIGHT),
                y_names=[name if named else "" for _, name in SHOWN],
            )
            picture.bars(f"used {i}", i, len(SHOWN))
            picture.reference(f"full {i}", i)
            for row in range(len(SHOWN)):
                picture.words(f"share {i} {row}", i)

    def update(self, picture: Picture, result: WaysWeights, system: str) -> None:
        """Move the parts to a result."""
        for i, limits in enumerate(result.limits):
            shares = [min(100.0 * (limit.used or 0.0), 9999.0) for limit in limits]
            picture.stretch(
                f"used {i}",
                [min(share, self.MOST) for share in shares],
                [limit.answer == OVER for limit in limits],
            )
            picture.move(f"full {i}", [100.0, 100.0], [-0.5, len(limits) - 0.5])
            for row, (share, limit) in enumerate(zip(shares, limits, strict=True)):
                words = (
                    NOT_KNOWN
                    if limit.answer == NOT_KNOWN
                    else f"{share:.0f} %{', over' if limit.answer == OVER else ''}"
                )
                picture.say(f"share {i} {row}", words, max(min(share, self.MOST), 100.0) + 6.0, row)


def ways_of_rig(rig: Rig, road: Route, system: str) -> list[str]:
    """A line for each way of towing on a rig, and where its vehicle stands on its trailer."""
    facts = Facts(rig)
    lines = [f"{method.capitalize()}: {_judged(limits_of_way(facts, method), system)}." for method in METHODS]
    return [*lines, _place_words(facts, system)]


def _place_words(facts: Facts, system: str) -> str:
    need = carrier(facts)
    try:
        share, trailer_kg = need("trailer_tongue_share"), need("trailer_mass")
        ahead = moved_for_share_m(
            share,
            gross_kg(facts, need, method=TRAILER, way="out") - trailer_kg,
            carrier_kg=trailer_kg,
            empty_ball_load_kg=share * trailer_kg,
            axle_to_ball_m=need("trailer_length"),
        )
    except NotKnown as missing:
        return f"Place on the trailer: {NOT_KNOWN}, the rig file does not say: {label_of(missing.reason)}."
    except ValueError as error:
        return f"Place on the trailer: {error}."
    return (
        f"Place on the trailer: for {show(share, 'share', system)} on the ball its centre of gravity stands"
        f" {show(ahead, 'length', system)} ahead of the middle of the axles, if the empty trailer presses the"
        " ball with the same share of its own weight. Weigh the tongue to be sure."
    )


EXAMPLE = {"carrier_kg": 700.0, "empty_ball_load_kg": 60.0, "axle_to_ball_m": 4.5}
EXAMPLE_KG = 1500.0


def places_on_example_trailer() -> list[tuple[str, str, str]]:
    """For the worked example: share on the ball, ball load, and place of the centre, in both unit systems."""
    rows = []
    for share in (0.08, 0.10, 0.12, 0.15):
        ahead = moved_for_share_m(share, EXAMPLE_KG, **EXAMPLE)
        ball = carried_ball_load_kg(
            EXAMPLE["empty_ball_load_kg"],
            EXAMPLE_KG,
            ahead_of_axle_m=ahead,
            axle_to_ball_m=EXAMPLE["axle_to_ball_m"],
        )
        rows.append((f"{100 * share:.0f} %", _both(ball, "mass", 0), _both(ahead, "length", 2)))
    return rows


def _both(value: float, kind: str, digits: int) -> str:
    metric, us = (f"{from_si(value, kind, s):.{digits}f} {unit_label(kind, s)}" for s in ("metric", "us"))
    return f"{metric} ({us})"


def compared_ways() -> list[tuple[str, ...]]:
    """What money does not show: a row for each subject, a cell for each way."""
    columns = ("subject", "four_wheels_down", "dolly", "trailer")
    return [tuple(row[column] for column in columns) for row in load_table("ways_compared")]
