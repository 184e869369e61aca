"""The towed vehicle's driveline for any layout: which part turns, how fast, what oils it, and what the maker
must allow.
"""

from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

from towlib.handbook.tables import load_table
from towlib.physics.driveline.gear_ties import (
    Tie,
    differential,
    gear,
    turning_at,
    wheel_rpm,
    wheel_speeds_m_s,
)
from towlib.physics.driveline.shaft_motion import FORCED, LOOSE, TURNS, Motion, motion

TRANSFER_CASES = ("none", "part-time", "full-time", "independent outputs")
NEUTRAL, JOINED, REAR_ONLY, FRONT_ONLY, BOTH, CENTRE_LOCKED = POSITIONS = (
    "neutral",
    "neutral, outputs joined",
    "rear only",
    "front only",
    "both",
    "both, centre locked",
)
OFFERS = {
    "none": POSITIONS,
    "part-time": (NEUTRAL, JOINED, REAR_ONLY, BOTH),
    "full-time": (NEUTRAL, JOINED, BOTH, CENTRE_LOCKED),
    "independent outputs": (NEUTRAL, REAR_ONLY, FRONT_ONLY, BOTH),
}
GEARBOXES, GEARS = ("manual", "automatic"), ("in gear", "neutral", "park")
HUBS = (
    "fixed",
    "locked",
    "free",
    "one side open",
)  # the last: an axle whose one half shaft is disconnected by itself
AXLES, SIDES = ("front", "rear"), ("left", "right")
OILED, NOT_OILED, OIL_NOT_KNOWN = "oiled", "not oiled", "not known"
# the hardest to turn first; what is not named rests last (common practice, no source)
RESTING = (
    "gearbox input",
    "gearbox output",
    "transfer input",
    "centre differential",
    "front shaft",
    "rear shaft",
    "front pinion",
    "rear pinion",
    "front output",
    "rear output",
)


class Layout(NamedTuple):
    """A driveline and the positions in which it is left while towed."""

    transfer_case: str = "part-time"
    position: str = NEUTRAL  # of the transfer case; without meaning when there is none
    low_range: bool = False
    gearbox: str = "manual"
    gear: str = "in gear"
    front_hubs: str = "fixed"
    front_shaft_in: bool = True
    rear_shaft_in: bool = True
    front_locked: bool = False  # differential of the axle
    rear_locked: bool = False
    lifted_axle: str = "none"  # on a dolly, strapped: its wheels stand
    driven_axle: str = "rear"  # when there is no transfer case
    front_final_drive: float = 4.1
    rear_final_drive: float = 4.1
    low_ratio: float = 2.7
    gear_ratio: float = 1.0  # of the gear a manual gearbox is left in
    front_torque_share: float = 0.5  # of a centre differential
    tyre_radius_m: float = 0.35
    track_m: float = 1.5
    wheelbase_m: float = 2.4


class Oil(NamedTuple):
    """What is said of the oil of a part that turns."""

    verdict: str
    oiled_by: str
    known_by: str
    source: str


class Turning(NamedTuple):
    """Everything known of a driveline on the road."""

    layout: Layout
    speed_m_s: float
    motion: Motion
    oil: dict[str, Oil]  # by part that turns, may be dragged or is forced

    def oil_is(self, verdict: str) -> tuple[str, ...]:
        """Parts with this verdict, those that surely turn first."""
        named = [part for part, oil in self.oil.items() if oil.verdict == verdict]
        return tuple(sorted(named, key=lambda part: self.motion.state[part] == LOOSE))


def require_possible(layout: Layout) -> None:
    """Raise ValueError with one plain sentence for positions that this driveline does not have."""
    for value, allowed in (
        (layout.transfer_case, TRANSFER_CASES),
        (layout.position, POSITIONS),
        (layout.gearbox, GEARBOXES),
        (layout.gear, GEARS),
        (layout.front_hubs, HUBS),
        (layout.lifted_axle, ("none", *AXLES)),
        (layout.driven_axle, AXLES),
    ):
        if value not in allowed:
            raise ValueError(f"a driveline knows no '{value}', only {', '.join(allowed)}")
    if layout.position not in OFFERS[layout.transfer_case]:
        raise ValueError(
            f"a transfer case of the kind '{layout.transfer_case}' has no position '{layout.position}'"
        )
    if layout.gearbox == "manual" and layout.gear == "park":
        raise ValueError("a manual gearbox has no park position")


def axles_with_drive(layout: Layout) -> tuple[str, ...]:
    """Which axles have a differential and a shaft."""
    return (layout.driven_axle,) if layout.transfer_case == "none" else AXLES


def parts_of(layout: Layout) -> tuple[str, ...]:
    """Every part that can turn, from the front wheels to the engine; a shaft that is taken out is not among
    them.
    """
    parts = [f"{axle} {side} wheel" for axle in AXLES for side in SIDES]
    for axle in axles_with_drive(layout):
        parts += [f"{axle} {side} half shaft" for side in SIDES] + [f"{axle} differential", f"{axle} pinion"]
        parts += [f"{axle} shaft"] if _shaft_in(layout, axle) else []
    if layout.transfer_case != "none":
        parts += (
            ["front output", "rear output"]
            + (["centre differential"] if layout.transfer_case == "full-time" else [])
            + ["transfer input"]
        )
    return (*parts, "gearbox output", "gearbox input", "engine")


def _shaft_in(layout: Layout, axle: str) -> bool:
    return layout.front_shaft_in if axle == "front" else layout.rear_shaft_in


def ties_of(layout: Layout, speed_m_s: float, *, left_curvature_1_m: float = 0.0) -> tuple[Tie, ...]:
    """The equations between the speeds of all parts, with the wheels that roll and the wheels that stand."""
    require_possible(layout)
    speeds = wheel_speeds_m_s(
        speed_m_s, left_curvature_1_m, track_m=layout.track_m, wheelbase_m=layout.wheelbase_m
    )
    wheels = [(axle, side) for axle in AXLES for side in SIDES]
    ties = [
        turning_at(
            (
                f"{axle} wheels strapped to the dolly"
                if axle == layout.lifted_axle
                else f"{axle} wheels rolling"
            ),
            f"{axle} {side} wheel",
            0.0 if axle == layout.lifted_axle else wheel_rpm(hub_m_s, layout.tyre_radius_m),
        )
        for (axle, side), hub_m_s in zip(wheels, speeds, strict=True)
    ]
    for axle in axles_with_drive(layout):
        ties += _axle_ties(layout, axle)
    return (*ties, *_case_ties(layout), *_gearbox_ties(layout))


def _axle_ties(layout: Layout, axle: str) -> list[Tie]:
    left, right = (f"{axle} {side} half shaft" for side in SIDES)
    hubs = layout.front_hubs if axle == "front" else "fixed"
    closed = {"free": (), "one side open": SIDES[:1]}.get(hubs, SIDES)
    name = f"{axle} hubs" if hubs == "locked" else f"{axle} half shafts"
    locked, ratio = (
        (layout.front_locked, layout.front_final_drive)
        if axle == "front"
        else (layout.rear_locked, layout.rear_final_drive)
    )
    ties = [gear(name, f"{axle} {side} half shaft", f"{axle} {side} wheel") for side in closed]
    ties.append(differential(f"{axle} differential", f"{axle} differential", (left, right)))
    ties += [gear(f"locked {axle} differential", left, right)] if locked else []
    ties.append(gear(f"{axle} final drive", f"{axle} pinion", f"{axle} differential", ratio=ratio))
    if _shaft_in(layout, axle):
        end = "gearbox output" if layout.transfer_case == "none" else f"{axle} output"
        ties += [
            gear(f"{axle} shaft", f"{axle} shaft", f"{axle} pinion"),
            gear(f"{axle} shaft", end, f"{axle} shaft"),
        ]
    return ties


def _case_ties(layout: Layout) -> list[Tie]:
    if layout.transfer_case == "none":
        return []
    ties, ratio, position = (
        [gear("shaft from the gearbox", "gearbox output", "transfer input")],
        layout.low_ratio if layout.low_range else 1.0,
        layout.position,
    )
    if layout.transfer_case == "full-time":
        ties.append(
            differential(
                "centre differential",
                "centre differential",
                ("front output", "rear output"),
                first_share=layout.front_torque_share,
            )
        )
        ties += (
            [gear("locked centre differential", "front output", "rear output")]
            if position in (JOINED, CENTRE_LOCKED)
            else []
        )
        return (
            ties
            if position in (NEUTRAL, JOINED)
            else [*ties, gear("transfer case in gear", "transfer input", "centre differential", ratio=ratio)]
        )
    ties += (
        [gear("joined outputs of the transfer case", "front output", "rear output")]
        if position == JOINED
        else []
    )
    for axle, positions in (("front", (FRONT_ONLY, BOTH)), ("rear", (REAR_ONLY, BOTH))):
        ties += (
            [gear(f"transfer case in gear to the {axle}", "transfer input", f"{axle} output", ratio=ratio)]
            if position in positions
            else []
        )
    return ties


def _gearbox_ties(layout: Layout) -> list[Tie]:
    if (
        layout.gearbox == "automatic"
    ):  # without oil pressure its clutches are open in every gear, also in drive
        return [turning_at("park pawl", "gearbox output", 0.0)] if layout.gear == "park" else []
    ties = [gear("clutch", "engine", "gearbox input")]  # pedal up
    return (
        ties
        if layout.gear == "neutral"
        else [gear("gearbox in gear", "gearbox input", "gearbox output", ratio=layout.gear_ratio), *ties]
    )


def _drags(layout: Layout) -> list[tuple[str, str]]:
    """Parts that share oil, a bath or a pack of plates while the coupling between them is open."""
    pairs = [("gearbox output", "gearbox input")] + (
        [("gearbox input", "engine")] if layout.gearbox == "automatic" else []
    )
    case = {"none": (), "full-time": ("centre differential", "transfer input")}.get(
        layout.transfer_case, ("front output", "rear output", "transfer input")
    )
    return pairs + [(one, other) for i, one in enumerate(case) for other in case[i + 1 :]]


def what_turns(layout: Layout, speed_m_s: float, *, left_curvature_1_m: float = 0.0) -> Turning:
    """What every part does at a road speed, and what is known of its oil."""
    if not speed_m_s > 0:
        raise ValueError("the road speed must be above zero")
    found, oil = _at_one_m_s(layout, left_curvature_1_m)
    return Turning(
        layout, speed_m_s, found._replace(rpm={part: rpm * speed_m_s for part, rpm in found.rpm.items()}), oil
    )


@lru_cache(maxsize=256)
def _at_one_m_s(layout: Layout, left_curvature_1_m: float) -> tuple[Motion, dict[str, Oil]]:
    """Every speed grows with road speed, and no state changes: one solution serves all."""
    ties, parts = ties_of(layout, 1.0, left_curvature_1_m=left_curvature_1_m), parts_of(layout)
    found = motion(
        parts,
        ties,
        held=("engine",),
        resting=[part for part in RESTING if part in parts],
        drags=_drags(layout),
    )
    moving = [part for part, state in found.state.items() if state in (TURNS, LOOSE, FORCED)]
    return found, {part: oil_of(layout, part, found) for part in moving}


def oil_of(layout: Layout, part: str, found: Motion) -> Oil:
    """What the first fitting row of data/handbook/oiling.csv says of a part that turns; without a row: not
    known.
    """
    axle, _, kind = part.partition(" ")
    names = (part, kind.removeprefix("left ").removeprefix("right ")) if axle in AXLES else (part,)
    for row in load_table("oiling"):
        if (
            row["part"] in names
            and row["transfer_case"] in ("any", layout.transfer_case)
            and row["gearbox"] in ("any", layout.gearbox)
        ):
            feeder = part if row["feeder"] == "itself" else row["feeder"].replace("same axle", axle)
            fed = found.state.get(feeder) == TURNS  # one that is only dragged along throws no oil
            return Oil(row["fed"] if fed else row["starved"], row["oiled_by"], row["known_by"], row["source"])
    return Oil(OIL_NOT_KNOWN, "nobody has said", "common practice", "no row in data/handbook/oiling.csv")


def findings(turning: Turning) -> tuple[str, ...]:
    """What the maker's manual must allow before these positions are used, worst first, in plain sentences;
    empty when nothing stands out.
    """
    found = turning.motion
    if found.conflict:
        return (conflict_words(found),)
    engine_rpm, loose = (
        abs(found.rpm["engine"]),
        [part for part, state in found.state.items() if state == LOOSE],
    )
    dry, unknown = (
        turning.oil_is(NOT_OILED),
        [part for part in turning.oil_is(OIL_NOT_KNOWN) if part not in loose],
    )
    said = (
        [f"The road turns the engine, at {engine_rpm:,.0f} rpm: nothing is open between it and the wheels."]
        if engine_rpm
        else []
    )
    said += [f"May turn while nothing oils it: {listed(dry)}."] if dry else []
    said += [f"Turns, and whether oil reaches it is not known: {listed(unknown)}."] if unknown else []
    said += [f"Loose, oil may drag it along: {listed(loose)}."] if loose else []
    return tuple(said)


def conflict_words(found: Motion) -> str:
    """What is forced against what, and what would end it."""
    against = [name for name in found.conflict if name.endswith(("rolling", "dolly", "pawl"))]
    joins = [
        name
        for name in found.conflict
        if name.startswith(
            ("locked", "joined", "transfer case in gear", "front hubs", "front shaft", "rear shaft")
        )
    ]
    return (
        f"These cannot all be: {listed(against)}, while joined by {listed(joins)}. A tyre skids or a part"
        " breaks; open one of them."
    )


def listed(names: Sequence[str]) -> str:
    """Names in a sentence; left and right are said once.

    >>> listed(("rear left wheel", "rear right wheel", "engine"))
    'rear wheels and engine'
    """
    short = [name.replace(" left ", " ").replace(" right ", " ") for name in names]
    short = [f"{name}s" if short.count(name) > 1 else name for name in short]
    each = list(dict.fromkeys(short))
    if len(each) == 1:
        return each[0]
    if each:
        return f"{', '.join(each[:-1])} and {each[-1]}"
    return "nothing"
