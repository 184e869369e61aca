"""The positions card of the towed vehicle: what to set before it is towed, and the same steps backwards to
drive it again.
"""

from typing import NamedTuple

from towlib.limits.driveline_layout import (
    BOTH,
    CENTRE_LOCKED,
    FRONT_ONLY,
    JOINED,
    NEUTRAL,
    NOT_OILED,
    OIL_NOT_KNOWN,
    REAR_ONLY,
    Layout,
    axles_with_drive,
    conflict_words,
    listed,
    require_possible,
    what_turns,
)
from towlib.physics.driveline.shaft_motion import LOOSE, STANDS, TURNS
from towlib.rig.facts import Facts, NotKnown

WALKING_M_S = 1.0  # what turns does not depend on the speed
BEND_1_M = 0.1  # a bend of 10 m radius
MANUAL = "as the maker's manual says"
POSITION_WORDS = {
    NEUTRAL: "neutral",
    JOINED: "neutral (front and rear outputs stay joined)",
    REAR_ONLY: "rear axle only",
    FRONT_ONLY: "front axle only",
    BOTH: "both axles",
    CENTRE_LOCKED: "both axles, centre locked",
}
HUB_WORDS = {"free": "FREE", "locked": "LOCKED"}


class PositionCard(NamedTuple):
    """Steps in the order of the work."""

    leaving: tuple[str, ...]  # before it is towed, at home or at the trail's end
    home: tuple[str, ...]  # back to driving: the mirror, from the last step to the first


class Step(NamedTuple):
    """One thing to set, and what undoes it; '' when there is nothing to undo."""

    topic: str
    do: str
    undo: str = ""


def position_card(layout: Layout) -> PositionCard:
    """The card of these positions; ValueError when this driveline does not have them."""
    steps = card_steps(layout)
    return PositionCard(
        tuple(step.do for step in steps if step.do), tuple(step.undo for step in reversed(steps) if step.undo)
    )


def card_steps(layout: Layout) -> tuple[Step, ...]:
    """All steps in the order of the work, each with its undoing."""
    require_possible(layout)
    return (
        *_stop(layout),
        Step(
            "manual",
            "The maker's manual open at towing: may this vehicle roll on these wheels at all, how fast, how"
            f" far? Some may not, ever. {_ask(layout)}Where the manual differs from this card, the manual"
            " decides.",
        ),
        *_secured_and_coupled(layout),
        *(_shafts(layout) + _hubs(layout) + _locks(layout) + _case(layout) + _gear(layout)),
        Step(
            "key",
            f"Engine off. Key or switch where the steering stays unlocked, {MANUAL}; what stays powered, and"
            " how long the battery lasts: lesson 08.",
            f"Foot on the brake. Key to drive, engine on where the shift needs it, {MANUAL}.",
        ),
        _steering(layout),
        Step(
            "release",
            "Parking brake of the towed vehicle off. Chocks away LAST, into the tow vehicle.",
            "Level ground. Tow vehicle in park or in a gear, its parking brake on, before you get out. Chocks"
            " FIRST, both sides of a rear wheel of each vehicle; then the towed vehicle's parking brake on.",
        ),
        Step("roll", roll_words(layout) + " Anything else: stop, and go through this card again."),
        *(
            (
                Step(
                    "curve",
                    "Roll once around a bend, nobody between the vehicles: the front wheels follow, and come"
                    " back straight by themselves.",
                ),
            )
            if layout.lifted_axle != "front"
            else ()
        ),
        Step(
            "heat",
            "First stop after 10 km (6 miles): hand near, not on, hubs, axles and transfer case. One hotter"
            " than its partner, a smell or an oil trace: do not go on. A gearbox that turns without oil is"
            " ruined within a few kilometres (common practice, no source).",
        ),
    )


def _secured_and_coupled(layout: Layout) -> tuple[Step, ...]:
    """Brake, chocks and coupling; with an axle on a dolly the dolly comes first."""
    brake = Step(
        "brake",
        "Level ground; parking brake of the towed vehicle on.",
        "Parking brake off, and drive a few metres: no noise, no lamp lit.",
    )
    chocks = Step(
        "chocks",
        "Chock the towed vehicle, both sides of a rear wheel, before any lever moves: out of gear it rolls.",
        "Chocks out, into the tow vehicle.",
    )
    held = (
        "Foot slowly off clutch and brake: gear and parking brake must hold it, chocks still in. Only then"
        " plug out, chains off, then the bar."
    )
    if layout.lifted_axle != "none":
        return (
            Step(
                "coupled",
                "Dolly coupled, latched, pinned and pulled; chains on; tow vehicle's parking brake on, dolly"
                " chocked.",
                held,
            ),
            *_lifted(layout),
            brake,
            chocks,
        )
    return (
        brake,
        chocks,
        Step(
            "coupled",
            "Bar coupled (lesson 02): tow vehicle in park or in a gear, its parking brake on, chocked too;"
            " latch pinned and pulled UP; chains on.",
            held,
        ),
    )


def _steering(layout: Layout) -> Step:
    if layout.lifted_axle == "front":
        return Step("steering", "Steering as the dolly's maker says; straps tight over both tyres.")
    return Step(
        "steering",
        "Turn the steering wheel by hand from lock to lock: free, nothing touches bar or chains. Then"
        " straight ahead.",
    )


def way_home_steps(layout: Layout) -> tuple[str, ...]:
    """Before the way home: what a day of driving changes, then the leaving card again."""
    hubs = "; hubs turn by hand and are set alike" if layout.front_hubs in HUB_WORDS else ""
    day = (
        f"Mud and twigs off wheels, shafts and steering{hubs}; after deep water look for milky oil in axles,"
        " gearbox and transfer case; oil traces underneath. A leak or a new noise: do not tow it on its"
        " wheels."
    )
    return (day, *position_card(layout).leaving)


def roll_words(layout: Layout) -> str:
    """What a roll of one car length must show, by the computed driveline, chalk marks on all of it."""
    state = what_turns(layout, WALKING_M_S).motion.state
    seen = [part for part in state if part.endswith(("wheel", " shaft")) and "half" not in part]
    turn, stand, loose = (
        [part for part in seen if state[part] == wanted] for wanted in (TURNS, STANDS, LOOSE)
    )
    forced = [part for part in seen if part not in turn + stand + loose]
    words = (
        "Chalk a mark on every wheel and shaft; roll one car length straight, stop; tow vehicle in park or"
        " in a gear, its parking brake on; chock both and look from the side, never crawl under; chocks away"
        f" again. Must have turned: {listed(turn)}."
    )
    words += f" Must not: {listed(stand)}." if stand else ""
    words += f" May have crept a little: {listed(loose)}." if loose else ""
    return words + (f" FORCED: {listed(forced)}; these positions cannot be towed." if forced else "")


def _lifted(layout: Layout) -> tuple[Step, ...]:
    if layout.lifted_axle == "none":
        return ()
    axle = layout.lifted_axle
    return (
        Step(
            "dolly",
            f"{axle.capitalize()} wheels on the dolly, strapped over both tyres as its maker says.",
            f"Straps off, {axle} wheels down from the dolly.",
        ),
    )


def _shafts(layout: Layout) -> tuple[Step, ...]:
    return tuple(
        Step(
            f"{axle} shaft",
            f"{axle.capitalize()} shaft out, {MANUAL}: mark both ends before undoing them, bolts in a bag,"
            " nobody under a vehicle that only a jack holds. Where a shaft slides out of the case, cap the"
            " opening or its oil runs out. A parking brake that acts on this shaft now holds nothing, nor"
            " does a gear.",
            f"Engine off, key in your pocket, chocks in. {axle.capitalize()} shaft in by its marks (gearbox"
            " in neutral until the marks meet, then back into gear), bolts to the maker's torque, none left"
            " in the bag; cap off, oil level seen.",
        )
        for axle, is_in in (("front", layout.front_shaft_in), ("rear", layout.rear_shaft_in))
        if axle in axles_with_drive(layout) and not is_in
    )


def _hubs(layout: Layout) -> tuple[Step, ...]:
    words = HUB_WORDS.get(layout.front_hubs)
    if words is None or "front" not in axles_with_drive(layout):
        return ()
    return (
        Step(
            "hubs",
            f"Both front hubs {words}, {MANUAL}: both alike.",
            "Front hubs as you need them for driving, both the same.",
        ),
    )


def _locks(layout: Layout) -> tuple[Step, ...]:
    locked = [
        axle
        for axle, is_locked in (("front", layout.front_locked), ("rear", layout.rear_locked))
        if is_locked
    ]
    if locked:
        return (
            Step(
                "locks",
                f"The {listed(locked)} differential is LOCKED on this card: open it if that can be done;"
                " locked wheels scrub in every bend.",
            ),
        )
    return (Step("locks", "Differential locks off, lamps out."),)


def _case(layout: Layout) -> tuple[Step, ...]:
    if layout.transfer_case == "none":
        return ()
    neutral = layout.position in (NEUTRAL, JOINED)
    levers = (
        "Both levers of the transfer case"
        if layout.transfer_case == "independent outputs"
        else "Transfer case"
    )
    low = " in low range" if layout.low_range and not neutral else ""
    trial = "reverse, then drive:" if layout.gearbox == "automatic" else "a gear and the clutch gently up:"
    proof = (
        f" Prove it, foot over the brake, nobody near: engine on, {trial} the engine must not slow down or"
        " stall, and nothing may tug at brake, bar or chocks. Then gearbox to neutral, engine OFF."
        if neutral
        else ""
    )
    return (
        Step(
            "transfer case",
            f"{levers} to {POSITION_WORDS[layout.position]}{low}, {MANUAL}: foot on the brake; feel that it"
            f" is fully in.{proof}",
            f"{levers} back to the driving position, {MANUAL}: feel that it is fully in. Then"
            f" {_held_gear(layout)}, engine OFF, key in your pocket.",
        ),
    )


def _held_gear(layout: Layout) -> str:
    return "gearbox in park" if layout.gearbox == "automatic" else "gearbox in first or reverse"


def _gear(layout: Layout) -> tuple[Step, ...]:
    words = {
        "in gear": "in gear" if layout.gearbox == "manual" else "left in a gear",
        "neutral": "in neutral",
        "park": "in park",
    }[layout.gear]
    state = what_turns(layout, WALKING_M_S).motion.state["gearbox output"]
    holds = state == STANDS and layout.transfer_case != "none" and layout.gear != "neutral"
    if holds:
        why = ", so that oil cannot drag it round"
    elif state != STANDS:
        why = ". Like this its output shaft can turn without oil: only if the manual says so"
    else:
        why = ""
    if layout.transfer_case == "none":
        undo = f"{_held_gear(layout)}; engine OFF, key in your pocket.".capitalize().replace(" off,", " OFF,")
    elif layout.gear == "neutral":
        undo = ""
    else:
        undo = f"Gearbox to neutral while you move the transfer case, {MANUAL}."
    return (Step("gearbox", f"Gearbox {words}, {MANUAL}{why}.", undo),)


def _stop(layout: Layout) -> tuple[Step, ...]:
    """A first step that stops everything, when these positions force a part or turn the engine."""
    found = what_turns(layout, WALKING_M_S).motion
    if found.conflict:
        return (Step("stop", f"DO NOT TOW LIKE THIS. {conflict_words(found)}"),)
    if found.rpm["engine"]:
        return (
            Step(
                "stop",
                "DO NOT TOW LIKE THIS. The road turns the engine: nothing is open between it and the wheels.",
            ),
        )
    bend = what_turns(layout, WALKING_M_S, left_curvature_1_m=BEND_1_M).motion
    return (
        (
            Step(
                "stop",
                "DO NOT TOW LIKE THIS on hard ground: it rolls straight, but not in a bend."
                f" {conflict_words(bend)}",
            ),
        )
        if bend.conflict
        else ()
    )


def _ask(layout: Layout) -> str:
    turning = what_turns(layout, WALKING_M_S)
    parts = (
        ()
        if turning.motion.conflict
        else [
            *turning.oil_is(NOT_OILED),
            *(part for part in turning.oil_is(OIL_NOT_KNOWN) if turning.motion.state[part] == TURNS),
        ]
    )
    return f"What oils {listed(parts)} while it is towed? " if parts else ""


def layout_of(facts: Facts, *, for_speeds: bool = False) -> Layout:
    """The layout a rig file describes; NotKnown names the first field that is missing. Ratios are needed for
    speeds only.
    """

    def need(name: str):
        return facts.need(f"towed_vehicle.driveline.{name}")

    case = need("transfer_case")
    told = {
        "transfer_case": case,
        "gearbox": need("gearbox"),
        "gear": need("gearbox_position"),
        "lifted_axle": facts.have("towed_vehicle.driveline.lifted_axle") or "none",
    }
    if case == "none":
        told |= {"driven_axle": need("driven_axle")}
    else:
        told |= {
            "position": need("transfer_case_position"),
            "low_range": bool(facts.have("towed_vehicle.driveline.low_range")),
        }
    layout = Layout(**told)
    for_speeds = (
        for_speeds or layout.position in (JOINED, BOTH, CENTRE_LOCKED) and case != "none"
    )  # both axles joined: their ratios decide
    for axle in axles_with_drive(layout):
        told |= {
            f"{axle}_shaft_in": need(f"{axle}_shaft_in"),
            f"{axle}_locked": bool(facts.have(f"towed_vehicle.driveline.{axle}_locked")),
        }
        told |= {"front_hubs": need("front_hubs")} if axle == "front" else {}
        told |= {f"{axle}_final_drive": need(f"{axle}_final_drive")} if for_speeds else {}
    if for_speeds:
        told |= {
            "tyre_radius_m": facts.need("towed_vehicle.tyres.rolling_radius"),
            "wheelbase_m": facts.need("towed_vehicle.wheelbase"),
        }
    layout = Layout(**told)
    try:
        require_possible(layout)
    except ValueError as error:
        raise NotKnown(str(error)) from None
    return layout
