"""Lesson 01: the third panel, three weighings and what a coarse scale can tell of them."""

from typing import NamedTuple

from towlib.draw.figures import COARSE, Picture, round_up
from towlib.limits.loads import ball_load_kg
from towlib.physics.weights.weighbridge import ThreeWeighings, Weighed, ball_load_from_rear, three_weighings
from towlib.rig.facts import Facts
from towlib.units import from_si, show, unit_label

NAMES = ("four readings", "rear axle alone", "the bar, by moments")


class Weighings(NamedTuple):
    """Everything the panel shows."""

    found: ThreeWeighings
    from_rear: Weighed
    bar_kg: float  # what a level bar presses by moments


def weighings(
    facts: Facts,
    *,
    alone_front_kg: float,
    alone_rear_kg: float,
    hitched_front_kg: float,
    hitched_rear_kg: float,
    towed_front_kg: float,
    towed_rear_kg: float,
    towed_alone_kg: float,
    division_kg: float,
) -> Weighings:
    """The ball load from three weighings, in two ways, beside what the bar presses by moments."""
    found = three_weighings(
        (alone_front_kg, alone_rear_kg),
        (hitched_front_kg, hitched_rear_kg, towed_front_kg, towed_rear_kg),
        towed_alone_kg=(towed_alone_kg, 0.0),
        division_kg=division_kg,
    )
    from_rear = ball_load_from_rear(
        alone_rear_kg,
        hitched_rear_kg,
        wheelbase_m=facts.need("tow_vehicle.wheelbase"),
        overhang_m=facts.need("tow_vehicle.ball_behind_rear_axle"),
        division_kg=division_kg,
    )
    return Weighings(found, from_rear, ball_load_kg(facts))


def weighings_words(result: Weighings, system: str) -> str:
    """The sentence under the panel."""
    found = result.found
    telling = "" if found.ball_load_told_from_zero else ", which cannot be told from zero"
    sums = show(abs(found.sums.difference_kg), "mass", system)
    agree = "as rounding allows" if found.sums.within_rounding else "MORE than rounding allows: weigh again"
    return (
        f"The pair weighs {show(found.combined_total.mass_kg, 'mass', system)}; the ball load by four"
        f" readings is {show(found.ball_load.mass_kg, 'mass', system)}, at most"
        f" {show(found.ball_load.at_most_off_kg, 'mass', system)} off{telling}; weighed apart and together"
        f" the sums differ by {sums}, {agree}."
    )


def weighings_seen(facts: Facts, system: str) -> str:
    """What one should have seen: a coarse scale cannot show what a level bar presses."""
    ball = ball_load_kg(facts)
    coarse = three_weighings(
        (1420, 1220), (1420, 1240, 780, 760), towed_alone_kg=(800, 760), division_kg=20.0
    )
    most = show(coarse.ball_load.at_most_off_kg, "mass", system)
    step = show(20.0, "mass", system)
    return (
        f"With a display in steps of {step} the four readings together can be {most} off; the"
        f" {show(ball, 'mass', system)} of a level bar drown in that. Two readings of the rear axle and the"
        " lever of the overhang do better. **Make the step small and watch the ranges shrink**: a finer"
        " scale, or a bathroom scale under the coupler, can tell what a weighbridge cannot. The third"
        " weighing is the check: apart and together must weigh the same."
    )


class WeighingsDrawing:
    """The ball load by each way, with the range that rounding leaves."""

    size_in, frames = (10.0, 3.3), 1
    narrow_in = (4.9, 3.6)

    def build(self, picture: Picture, system: str) -> None:
        """Named parts; the frame follows the readings."""
        picture.reference("zero", 0)
        for i in range(len(NAMES)):
            picture.line(f"at most {i}", 0, 4)
            picture.line(f"likely {i}", 0, 0)
            picture.point(f"value {i}", 0, 1)
            picture.words(f"words {i}", 0, align="center")

    def update(self, picture: Picture, result: Weighings, system: str) -> None:
        """Move the parts to a result."""
        ways = (result.found.ball_load, result.from_rear, Weighed(result.bar_kg, 0.0, 0.0))
        low = min(0.0, *(way.mass_kg - way.at_most_off_kg for way in ways))
        high = max(1.0, *(way.mass_kg + way.at_most_off_kg for way in ways))
        top = round_up(from_si(max(1.15 * high, -1.1 * low), "mass", system), COARSE)
        ends = next(end for end in (0.0, -0.5 * top, -top) if end <= from_si(1.1 * low, "mass", system))
        picture.frame(
            0,
            title="Load on the ball: value, likely range (blue), worst case (black dashes)",
            x_label=f"load on the ball [{unit_label('mass', system)}]",
            x=(ends - 0.04 * (top - ends), top),
            y_names=NAMES,
        )
        picture.move("zero", [0.0, 0.0], [-0.5, len(NAMES) - 0.5])
        for i, way in enumerate(ways):
            value, most, likely = (
                from_si(mass, "mass", system) for mass in (way.mass_kg, way.at_most_off_kg, way.likely_off_kg)
            )
            picture.move(f"at most {i}", [value - most, value + most], [i, i])
            picture.move(f"likely {i}", [value - likely, value + likely], [i, i])
            picture.move(f"value {i}", [value], [i])
            picture.say(f"words {i}", show(way.mass_kg, "mass", system), value, i - 0.28)
