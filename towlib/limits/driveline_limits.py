"""The towed vehicle's driveline and steering: the maker's word, what the road would force, what oils it."""

from collections.abc import Callable

from towlib.limits.driveline_card import BEND_1_M, WALKING_M_S, layout_of
from towlib.limits.driveline_layout import (
    NOT_OILED,
    OIL_NOT_KNOWN,
    Layout,
    Turning,
    axles_with_drive,
    findings,
    listed,
    what_turns,
)
from towlib.limits.limit import YES_NO, Rule, rating
from towlib.physics.driveline.shaft_motion import TURNS
from towlib.rig.facts import Facts, NotKnown
from towlib.road.route import Route

PATH = "towed_vehicle.driveline."
MANUAL = "maker's manual of the towed vehicle"


def yes(path: str) -> Callable[[Facts, str], float]:
    """1 for true, 0 for false: a capacity for a thing that must be so."""
    return lambda facts, way: 1.0 if facts.need(path) else 0.0


def whole(facts: Facts, way: str) -> float:
    """All of it: the demand on a thing that must be so."""
    return 1.0


def forces(layout: Layout) -> bool:
    """Whether the road forces two speeds on one part, straight or in a bend, or turns the engine."""
    straight = what_turns(layout, WALKING_M_S).motion
    bend = what_turns(layout, WALKING_M_S, left_curvature_1_m=BEND_1_M).motion
    return bool(straight.conflict) or bool(bend.conflict) or bool(straight.rpm["engine"])


def _nothing_forced(facts: Facts, way: str) -> float:
    layout = layout_of(facts)
    if forces(layout):
        return 0.0
    locked = {"front": layout._replace(front_locked=True), "rear": layout._replace(rear_locked=True)}
    for axle in axles_with_drive(layout):
        lock = f"{PATH}{axle}_locked"
        if facts.have(lock) is None and forces(locked[axle]):
            raise NotKnown(lock)
    return 1.0


def _oiled(facts: Facts, way: str) -> float:
    turning = what_turns(layout_of(facts), WALKING_M_S)
    if turning.motion.conflict:
        raise NotKnown("the positions force each other: first mend that")
    confirmed = facts.have(PATH + "oil_confirmed")
    if confirmed is not None and turning.oil:  # the maker's manual decides over common practice
        return 1.0 if confirmed else 0.0
    if turning.oil_is(NOT_OILED):
        return 0.0
    unknown = turning.oil_is(OIL_NOT_KNOWN)
    if unknown:
        raise NotKnown(f"what oils {listed(unknown)}, see {PATH}oil_confirmed")
    return 1.0


def driveline_rules(facts: Facts, route: Route) -> tuple[Rule, ...]:
    """The limits of driveline and steering; speed and distance only where the manual limits them."""
    rules = [
        Rule(
            "towing_allowed",
            "Maker allows towing on four wheels",
            YES_NO,
            whole,
            yes(PATH + "four_wheel_towing_allowed"),
            MANUAL,
            "If the manual forbids it or is silent: a dolly or a trailer, see lesson 10.",
            per_way=False,
        ),
        Rule(
            "driveline_free",
            "Driveline positions force nothing",
            YES_NO,
            whole,
            _nothing_forced,
            "graph of the driveline, lesson 09",
            "Open what joins engine, gearbox and wheels, as the maker's manual says for towing.",
            per_way=False,
        ),
        Rule(
            "driveline_oil",
            "Oil for what turns while towed",
            YES_NO,
            whole,
            _oiled,
            "common practice by part; the maker's manual decides",
            "Ask the maker's manual; take out the shaft that turns the dry part where that is allowed; or a"
            " dolly or a trailer (lesson 10).",
            per_way=False,
        ),
        Rule(
            "steering_free",
            "Steering turns by itself",
            YES_NO,
            whole,
            yes(PATH + "steering_is_free"),
            "tried by hand",
            "Unlock the steering with the key; a locked wheel drags the front tyres sideways in every bend.",
            per_way=False,
        ),
        Rule(
            "towing_speed",
            "Towing speed",
            "speed",
            rating("conditions.cruise_speed"),
            rating(PATH + "highest_towing_speed"),
            MANUAL,
            "Drive no faster than the towed vehicle's maker allows.",
            per_way=False,
        ),
        Rule(
            "towing_distance",
            "Distance one way",
            "distance",
            lambda facts, way: route.length_m,
            rating(PATH + "longest_towing_distance"),
            MANUAL,
            "Stop before that distance and do what the manual says, such as running the engine in neutral.",
            per_way=False,
        ),
    ]
    dropped = {
        key
        for key, path in (("towing_speed", "speed_limited"), ("towing_distance", "distance_limited"))
        if facts.have(PATH + path) is False
    }
    return tuple(rule for rule in rules if rule.key not in dropped)


def _behind_wheels(turning: Turning) -> str:
    """The parts that turn, without the wheels themselves."""
    states = turning.motion.state.items()
    return listed([part for part, state in states if state == TURNS and "wheel" not in part])


def driveline_words(facts: Facts) -> str:
    """The worst finding on what turns while towed; what is missing otherwise."""
    try:
        turning = what_turns(layout_of(facts), WALKING_M_S)
    except NotKnown as missing:
        return f"What turns in the driveline while towed: not known ({missing.reason})."
    if (
        facts.have(PATH + "oil_confirmed")
        and not turning.motion.conflict
        and not turning.motion.rpm["engine"]
    ):
        return (
            f"Turns while towed: {_behind_wheels(turning)}."
            " Oiled, by the maker's manual as the rig file says."
        )
    found = findings(turning)
    return found[0] if found else f"Behind its wheels turn: {_behind_wheels(turning)}."
