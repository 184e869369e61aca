"""Lesson 10: three ways to tow against the same ratings of the same tow vehicle. All vehicles, dolly and
trailer are invented.
"""

from functools import lru_cache
from typing import NamedTuple

from towlib.draw.figures import Picture
from towlib.limits.limit import OVER, Limit
from towlib.paths import DATA
from towlib.physics.weights.ways_loads import carried_ball_load_kg
from towlib.plan.other_ways import METHODS, OtherWays, method_limits
from towlib.rig.facts import Facts
from towlib.rig.model import Load, Rig, load_rig
from towlib.units import show

RIGS = {"full-size pickup": "demo_comfortable", "mid-size wagon": "demo_overloaded"}
PEOPLE_KG, FRONT_SHARE = 150.0, 0.52
# the invented dolly: front wheels stand a little ahead of its axle
DOLLY_EMPTY_BALL_KG, DOLLY_WHEELS_AHEAD_M, DOLLY_AXLE_TO_BALL_M = 25.0, 0.08, 1.90
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

    vehicle: str
    limits: tuple[tuple[Limit, ...], ...]  # in the order of METHODS


@lru_cache(maxsize=2)
def _rig(vehicle: str) -> Rig:
    return load_rig(DATA / "rigs" / f"{RIGS[vehicle]}.toml")


def _loaded(vehicle: str, towed_mass_kg: float, cargo_kg: float) -> Rig:
    """The invented rig with two people in front, cargo over the rear axle and so heavy a towed vehicle."""
    rig = _rig(vehicle)
    seats = rig.load[0].behind_front_axle
    loads = tuple(
        Load.model_construct(name=name, mass=mass, vehicle="tow", behind_front_axle=place, way="both")
        for name, mass, place in (
            ("people", PEOPLE_KG, seats),
            ("cargo", cargo_kg, rig.tow_vehicle.wheelbase),
        )
    )
    towed = rig.towed_vehicle.model_copy(
        update={
            "front_axle_empty": FRONT_SHARE * towed_mass_kg,
            "rear_axle_empty": (1.0 - FRONT_SHARE) * towed_mass_kg,
        }
    )
    return rig.model_copy(update={"load": loads, "towed_vehicle": towed})


def dolly_ball_load_kg(towed_mass_kg: float) -> float:
    """Ball load of the invented dolly with the front wheels of the vehicle on it."""
    return carried_ball_load_kg(
        DOLLY_EMPTY_BALL_KG,
        FRONT_SHARE * towed_mass_kg,
        ahead_of_axle_m=DOLLY_WHEELS_AHEAD_M,
        axle_to_ball_m=DOLLY_AXLE_TO_BALL_M,
    )


def weights(
    *,
    vehicle: str,
    towed_mass_kg: float,
    cargo_kg: float,
    dolly_mass_kg: float,
    trailer_mass_kg: float,
    tongue_share: float,
    carrier_brakes: bool,
) -> WaysWeights:
    """Every rating of the tow vehicle, asked by each way of towing."""
    facts = Facts(_loaded(vehicle, towed_mass_kg, cargo_kg))
    other = OtherWays(
        dolly_mass=dolly_mass_kg,
        dolly_ball_load=dolly_ball_load_kg(towed_mass_kg),
        dolly_brakes=carrier_brakes,
        trailer_mass=trailer_mass_kg,
        trailer_tongue_share=tongue_share,
        trailer_brakes=carrier_brakes,
    )
    found = []
    for method in METHODS:
        by_key = {limit.key: limit for limit in method_limits(facts, other.need, method)}
        found.append(tuple(by_key[key] for key, _ in SHOWN))
    return WaysWeights(vehicle, tuple(found))


def weights_words(result: WaysWeights, system: str) -> str:
    """The sentence under the first panel."""
    names = dict(SHOWN)
    parts = []
    for method, limits in zip(METHODS, result.limits, strict=True):
        worst = max(limits, key=lambda limit: limit.used)
        over = sum(limit.answer == OVER for limit in limits)
        parts.append(
            f"{method} {over} of {len(limits)} over, the worst {names[worst.key]}, over by"
            f" {show(worst.demand - worst.capacity, 'mass', system)}"
            if over
            else f"{method} all within, the tightest {names[worst.key]} at {100 * worst.used:.0f} %"
        )
    return f"The {result.vehicle}: {'; '.join(parts)}."


class WeightsDrawing:
    """Share of each rating used, one frame for each way."""

    size_in, frames, widths = (10.8, 3.8), 3, (1.0, 1.0, 1.0)
    MOST, RIGHT = 150.0, 270.0

    def build(self, picture: Picture, system: str) -> None:
        """Frames and named parts."""
        for i, method in enumerate(METHODS):
            picture.frame(
                i,
                title=method.capitalize(),
                x_label="per cent of the rating",
                x=(0.0, self.RIGHT),
                y_names=[name for _, name in SHOWN] if i == 0 else [""] * len(SHOWN),
            )
            picture.bars(f"used {i}", i, len(SHOWN))
            picture.reference(f"full {i}", i)
            for row in range(len(SHOWN)):
                picture.words(f"share {i} {row}", i)

    def update(self, picture: Picture, result: WaysWeights, system: str) -> None:
        """Move the parts to a result."""
        for i, limits in enumerate(result.limits):
            shares = [100.0 * limit.used for limit in limits]
            picture.stretch(
                f"used {i}",
                [min(share, self.MOST) for share in shares],
                [limit.answer == OVER for limit in limits],
            )
            picture.move(f"full {i}", [100.0, 100.0], [-0.5, len(limits) - 0.5])
            for row, (share, limit) in enumerate(zip(shares, limits, strict=True)):
                beside = max(min(share, self.MOST), 100.0) + 6.0
                picture.say(
                    f"share {i} {row}",
                    f"{share:.0f} %{', over' if limit.answer == OVER else ''}",
                    beside,
                    row,
                )
