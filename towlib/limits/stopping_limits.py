"""Stopping: how far the pair needs at the speeds of the plan, against the sight a road is laid out for."""

import math

import numpy as np

from towlib.limits.coupling_limits import ball_height_m, slope_rad
from towlib.limits.legs import DOWNGRADE, DRY_FRICTION
from towlib.limits.limit import Beyond, Rule
from towlib.limits.loads import own_brake_share, tow_axles_kg, tow_total_kg, towed_total_kg
from towlib.limits.road_limits import WET_FRICTION
from towlib.physics.basics.road_load import GRAVITY_M_S2
from towlib.physics.brakes.stopping import sight_distance_ft
from towlib.physics.brakes.stops import (
    HardestStop,
    Stopper,
    hardest_stop,
    jackknife_onset_m_s2,
    pair_stopping_distance_m,
)
from towlib.rig.facts import Facts, NotKnown
from towlib.road.route import Route, Segment
from towlib.units import show

REACTION_S = 2.5  # AASHTO Green Book, section 3.1.2, read in a public study note
BEND_RAD = 0.17  # angle between the vehicles in a bend: common practice, no source
FOOT_M, MPH_M_S = 0.3048, 0.44704
SIGHT = (
    "your own figure, or the sight a road is laid out for at its limit and grade: AASHTO Green Book section"
    " 3.1.2, for one car, read in a study note"
)


def stopper(facts: Facts, way: str) -> Stopper:
    """The tow vehicle as a brake, loaded."""
    front, rear = tow_axles_kg(facts, way)
    return Stopper(
        front,
        rear,
        facts.need("tow_vehicle.wheelbase"),
        facts.need("tow_vehicle.cg_height"),
        facts.need("tow_vehicle.ball_behind_rear_axle"),
        ball_height_m(facts, way),
        facts.need("tow_vehicle.brakes.front_share"),
        slope_rad(facts, way),
    )


def towed_brake_n(facts: Facts, way: str, *, grade: float, friction: float) -> float:
    """Force of the towed vehicle's own brakes at full braking, at most what its tyres hold; 0 when it has
    none, or while nobody has said that it has.
    """
    share = own_brake_share(facts)
    if not share:
        return 0.0
    alone_n = tow_total_kg(facts, way) * facts.need("tow_vehicle.brakes.deceleration_alone")
    held_n = friction * towed_total_kg(facts, way) * GRAVITY_M_S2 / (1.0 + grade * grade) ** 0.5
    return min(alone_n * share / max(1.0 - share, 0.01), held_n)


def _steepest_segment(route: Route, way: str) -> Segment:
    road = route.reversed() if way == "back" else route
    return min(road.segments(), key=_down_grade)


def _down_grade(segment: Segment) -> float:
    return min(segment.mean_grade, segment.steepest_200m_grade)


def steepest_down(route: Route, way: str) -> float:
    """Steepest 200 m of downgrade on a way, 0 or less."""
    return min(0.0, _down_grade(_steepest_segment(route, way)))


def stop_on(facts: Facts, way: str, grade: float, friction: float = DRY_FRICTION) -> HardestStop:
    """The hardest stop on a grade."""
    return facts.once(
        ("stop", way, grade, friction),
        lambda: hardest_stop(
            stopper(facts, way),
            tow_deceleration_m_s2=facts.need("tow_vehicle.brakes.deceleration_alone"),
            grade=grade,
            towed_kg=towed_total_kg(facts, way),
            towed_brake_n=towed_brake_n(facts, way, grade=grade, friction=friction),
            friction=friction,
        ),
    )


def _distance_m(facts: Facts, way: str, grade: float, speed_m_s: float) -> float:
    most = stop_on(facts, way, grade)
    if most.deceleration_m_s2 <= 0:
        return Beyond("the pair cannot be stopped on this grade")
    return pair_stopping_distance_m(speed_m_s, most, reaction_s=REACTION_S)


def _sight_m(grade: float, speed_m_s: float) -> float:
    try:
        return sight_distance_ft(speed_m_s / MPH_M_S, grade=grade) * FOOT_M
    except ValueError as error:
        raise NotKnown(str(error)) from None


def _limits(route: Route) -> list[float]:
    """Every speed limit of the road; nan stands for stretches of which the file gives none."""
    return np.unique(route.speed_limit_m_s).tolist()


def _at_most(speed_m_s: float, limit_m_s: float) -> float:
    return speed_m_s if math.isnan(limit_m_s) else min(speed_m_s, limit_m_s)


def _tightest(facts: Facts, way: str, grade: float, speeds: list[tuple[float, float]]) -> tuple[float, float]:
    """Stopping distance and sight where least is left of it: the reader's own figure for the worst bend, or
    what a road is laid out for at its limit. Slower than the limit leaves more.
    """
    sight = facts.have("conditions.shortest_sight")
    distances = [_distance_m(facts, way, grade, speed) for speed, _ in speeds]
    if beyond := [each for each in distances if isinstance(each, Beyond)]:
        return beyond[0], math.nan if sight is None else sight
    if sight is None and any(math.isnan(limit) for _, limit in speeds):
        raise NotKnown("conditions.shortest_sight")
    found = [
        (distance, _sight_m(grade, limit) if sight is None else sight)
        for distance, (_, limit) in zip(distances, speeds, strict=True)
    ]
    return max(found, key=lambda each: each[0] / each[1])


def stopping_rules(route: Route) -> tuple[Rule, ...]:
    """Stopping distance on the level at cruising speed, and on the steepest downgrade at the speed of coming
    down.
    """

    def level(facts: Facts, way: str) -> tuple[float, float]:
        """Distance and sight where the pair needs most of what it sees: each limit of the road is looked
        at.
        """
        cruise = facts.need("conditions.cruise_speed")
        return _tightest(facts, way, 0.0, [(_at_most(cruise, limit), limit) for limit in _limits(route)])

    def down(facts: Facts, way: str) -> tuple[float, float]:
        """The same on the steepest downgrade, at the speed of coming down."""
        speed, steep = facts.need("conditions.cruise_speed"), _steepest_segment(route, way)
        if steepest_down(route, way) <= DOWNGRADE:
            speed = min(speed, facts.need("conditions.descent_speed"))
        limit = steep.speed_limit_m_s
        return _tightest(facts, way, steepest_down(route, way), [(_at_most(speed, limit), limit)])

    advice = "Drive slower and leave more room."
    return (
        Rule(
            "stop_level",
            "Stopping at cruising speed, level, dry",
            "length",
            lambda facts, way: level(facts, way)[0],
            lambda facts, way: level(facts, way)[1],
            SIGHT,
            advice,
        ),
        Rule(
            "stop_down",
            "Stopping on the steepest downgrade, dry",
            "length",
            lambda facts, way: down(facts, way)[0],
            lambda facts, way: down(facts, way)[1],
            SIGHT,
            advice,
        ),
    )


def stop_advice(facts: Facts, way: str) -> str:
    """What shortens the stop of this rig."""
    if own_brake_share(facts):
        return "Drive slower and leave more room."
    return "Drive slower and leave more room; brakes that work on the towed vehicle shorten the stop too."


def _jackknife_onset_m_s2(facts: Facts, way: str, grade: float) -> float | None:
    return jackknife_onset_m_s2(
        stopper(facts, way),
        grade=grade,
        towed_kg=towed_total_kg(facts, way),
        towed_brake_n=towed_brake_n(facts, way, grade=grade, friction=WET_FRICTION),
        friction=WET_FRICTION,
        articulation_rad=BEND_RAD,
    )


def jackknife_words(facts: Facts, route: Route, system: str = "metric") -> str:
    """One sentence on how hard the pair may brake in a bend on the steepest wet downgrade; what is missing
    otherwise.
    """
    try:
        onset = [_jackknife_onset_m_s2(facts, way, steepest_down(route, way)) for way in ("out", "back")]
    except (NotKnown, ValueError) as missing:
        return f"Braking in a bend on the steepest wet downgrade: not known ({missing})."
    found = [each for each in onset if each is not None]
    if not found:
        return "In a bend on the steepest wet downgrade the towed vehicle does not push the rear axle away."
    return (
        "In a bend on the steepest wet downgrade the push begins to slide the rear axle at"
        f" {show(min(found), 'acceleration', system)} ({min(found) / 9.80665:.2f} g): brake before the bend,"
        " straight."
    )
