"""Turning and running straight: the angle of the tightest turn, the towed front wheels, and the speed that
keeps its damping.
"""

from collections.abc import Callable

from towlib.limits.limit import Beyond, Rule, rating
from towlib.limits.loads import ball_load_kg, towed_empty_kg
from towlib.physics.basics import cases as math
from towlib.physics.turning.circle import (
    Circle,
    TurningPair,
    folds_up,
    front_radius_m,
    smallest_circle,
    steady_circle,
    towed_steer_rad,
)
from towlib.physics.turning.yaw import YawPair, speed_with_damping_m_s
from towlib.physics.turning.yaw_pair import REAR_PER_RAD, TOWED_PER_RAD, Standing, standing, yaw_pair
from towlib.rig.facts import Facts, NotKnown, sum_and_middle
from towlib.units import show

FASTEST_M_S = 70.0  # as far as the yaw model is searched: damping kept up to here counts as kept
BAR_MAKER = "bar maker's instructions"
TYRES = "tow_vehicle.rear_side_stiffness"
TRIED_SHARE, TRIED_M, FELT_M_S = (
    1.05,
    0.1,
    0.001,
)  # how far a thing is moved to see whether it helps, and from when


def turning_pair(facts: Facts) -> TurningPair:
    """Lengths of both vehicles in a turn."""
    to_axle = (
        facts.need("tow_bar.length")
        + facts.need("towed_vehicle.bracket_ahead_of_front_axle")
        + facts.need("towed_vehicle.wheelbase")
    )
    return TurningPair(
        facts.need("tow_vehicle.wheelbase"),
        facts.need("tow_vehicle.ball_behind_rear_axle"),
        to_axle,
        facts.need("towed_vehicle.wheelbase"),
    )


def tightest_turn_m(facts: Facts) -> float:
    """Diameter between kerbs of the tightest turn on the way; the tow vehicle's own turning circle when none
    is given.
    """
    given = facts.have("conditions.tightest_turn")
    return facts.need("tow_vehicle.turning_circle") if given is None else given


def steering_lock_rad(facts: Facts) -> float:
    """Lock of the tow vehicle's front wheels (their mean), from its turning circle."""
    if (moved := facts.moved("tow_vehicle.steering_lock")) is not None:
        return moved
    wheelbase = facts.need("tow_vehicle.wheelbase")
    try:
        radius = front_radius_m(
            facts.need("tow_vehicle.turning_circle"),
            wheelbase_m=wheelbase,
            track_m=facts.need("tow_vehicle.track"),
        )
        return math.asin(wheelbase / radius)
    except ValueError as error:
        raise NotKnown(str(error)) from None


def tightest_circle(facts: Facts) -> Circle:
    """Both vehicles in the tightest turn."""
    try:
        return steady_circle(_front_m(facts), turning_pair(facts))
    except ValueError as error:
        raise NotKnown(str(error)) from None


def _front_m(facts: Facts) -> float:
    """Radius on which the tow vehicle's front axle goes round the tightest turn."""
    try:
        return front_radius_m(
            tightest_turn_m(facts),
            wheelbase_m=facts.need("tow_vehicle.wheelbase"),
            track_m=facts.need("tow_vehicle.track"),
        )
    except ValueError as error:
        raise NotKnown(str(error)) from None


def _unless_it_folds_up(demand: Callable[[Facts, str], float]) -> Callable[[Facts, str], float]:
    """A demand in the tightest turn; beyond all where the towed vehicle cannot follow round it."""

    def checked(facts: Facts, way: str) -> float:
        if folds_up(_front_m(facts), turning_pair(facts)):
            return Beyond("the towed vehicle cannot follow round this turn, the pair folds up")
        return demand(facts, way)

    return checked


def yaw_pair_of(facts: Facts, way: str, *, castor_free_share: float = 1.0) -> YawPair:
    """The pair for the yaw model with what it carries that way; its front wheels follow freely unless told
    otherwise.
    """

    tow_empty = (facts.need("tow_vehicle.front_axle_empty"), facts.need("tow_vehicle.rear_axle_empty"))

    def stands(vehicle: str, empty_kg: tuple[float, float], bar_end_m: float) -> Standing:
        return standing(
            *empty_kg,
            wheelbase_m=facts.need(f"{vehicle}_vehicle.wheelbase"),
            loads=[*facts.carried(vehicle, way), (ball_load_kg(facts), bar_end_m)],
        )

    overhang, ahead = (
        facts.need("tow_vehicle.ball_behind_rear_axle"),
        facts.need("towed_vehicle.bracket_ahead_of_front_axle"),
    )
    try:
        return yaw_pair(
            stands("tow", tow_empty, facts.need("tow_vehicle.wheelbase") + overhang),
            stands("towed", towed_empty_kg(facts), -ahead),
            overhang_m=overhang,
            ball_to_axle_m=facts.need("tow_bar.length") + ahead + facts.need("towed_vehicle.wheelbase"),
            rear_per_rad=REAR_PER_RAD * facts.need("tow_vehicle.rear_side_stiffness"),
            towed_per_rad=TOWED_PER_RAD * facts.need("towed_vehicle.rear_side_stiffness"),
            castor_free_share=castor_free_share,
        )
    except ValueError as error:
        raise NotKnown(str(error)) from None


def _angle_rad(facts: Facts, way: str) -> float:
    return tightest_circle(facts).articulation_rad


def _steer_rad(facts: Facts, way: str) -> float:
    return towed_steer_rad(
        tightest_circle(facts).towed_rear_m,
        facts.need("towed_vehicle.wheelbase"),
        track_m=facts.need("towed_vehicle.track"),
    )


def _unless_turn_is_missing(
    demand: Callable[[Facts, str], float], capacity: Callable[[Facts, str], float]
) -> Callable[[Facts, str], float]:
    """A demand in the tightest turn. None given, the tow vehicle at its own full lock counts: within there is
    within everywhere, and over there is not known until the way's tightest turn is.
    """

    demand = _unless_it_folds_up(demand)

    def checked(facts: Facts, way: str) -> float:
        asked = demand(facts, way)
        if facts.have("conditions.tightest_turn") is None and asked > capacity(facts, way):
            raise NotKnown("conditions.tightest_turn")
        return asked

    return checked


def _steady_speed_m_s(facts: Facts, way: str) -> float:
    pair, asked = yaw_pair_of(facts, way), facts.need("conditions.damping_asked")
    return facts.alike(("damping", pair, asked), lambda: _or_fastest(speed_with_damping_m_s(pair, asked)))


def straight_running_advice(facts: Facts, way: str) -> str:
    """What of tyres and load makes this pair run straight to a higher speed. Which way a load has to go hangs
    on whether it would swing or turn in: each is tried by a tenth of a metre.
    """
    now = _steady_speed_m_s(facts, way)

    def gain_m_s(path: str, value: float) -> float:
        return _steady_speed_m_s(facts.other({path: value}), way) - now

    found = {"full tyre pressure at the tow vehicle's rear": gain_m_s(TYRES, TRIED_SHARE * facts.need(TYRES))}
    for vehicle in ("towed", "tow"):
        mass, place = sum_and_middle(facts.carried(vehicle, way))
        if mass:
            gain, where = max(
                (gain_m_s(f"carried.{vehicle}.place", place + by_m), where)
                for where, by_m in (("forward", -TRIED_M), ("back", TRIED_M))
            )
            found[f"load of the {vehicle} vehicle further {where}"] = gain
    return "; ".join(["Slower", *(words for words, gain in found.items() if gain > FELT_M_S)]) + "."


def _or_fastest(speed_m_s: float | None) -> float:
    return FASTEST_M_S if speed_m_s is None else min(speed_m_s, FASTEST_M_S)


WIDER = (
    "Take the turn wider within your own lane, or uncouple and drive both vehicles around it; never back up"
    " with the pair."
)
TURNING_RULES = (
    Rule(
        "turn_angle",
        "Angle in the tightest turn, for the bar",
        "angle",
        _unless_turn_is_missing(_angle_rad, rating("tow_bar.greatest_swing")),
        rating("tow_bar.greatest_swing"),
        BAR_MAKER,
        WIDER,
        per_way=False,
    ),
    Rule(
        "chain_turn",
        "Angle in the tightest turn, for the chains",
        "angle",
        _unless_turn_is_missing(_angle_rad, rating("safety_chains.greatest_articulation")),
        rating("safety_chains.greatest_articulation"),
        "angle the chains were cut for",
        "Write the angle you really turn to into the rig file and look at the chains' length again; or take"
        " the turn wider.",
        per_way=False,
    ),
    Rule(
        "towed_lock",
        "Towed front wheels in the tightest turn",
        "angle",
        _unless_turn_is_missing(_steer_rad, rating("towed_vehicle.steering_lock")),
        rating("towed_vehicle.steering_lock"),
        "lock, measured",
        WIDER,
        per_way=False,
    ),
    Rule(
        "straight_running",
        "Speed that keeps it running straight (estimate)",
        "speed",
        rating("conditions.cruise_speed"),
        _steady_speed_m_s,
        "linear yaw model; tyre figures not checked against a document, so an estimate",
        "Slower; full tyre pressure at the tow vehicle's rear.",
    ),
)


def turning_words(facts: Facts, system: str = "metric") -> str:
    """The tightest turn bar, chains and towed steering allow; what is missing otherwise."""
    try:
        swing = min(facts.need("tow_bar.greatest_swing"), facts.need("safety_chains.greatest_articulation"))
        found = smallest_circle(
            turning_pair(facts),
            articulation_limit_rad=min(swing, math.pi / 2),
            steer_lock_rad=facts.need("towed_vehicle.steering_lock"),
            towed_track_m=facts.need("towed_vehicle.track"),
        )
    except (NotKnown, ValueError) as missing:
        return f"Tightest turn of the pair: not known ({missing})."
    set_by = {"steering lock": "end stop of the towed vehicle's steering"}.get(found.set_by, found.set_by)
    return (
        "Tightest steady turn of the pair: the tow vehicle's front axle on a radius of"
        f" {show(found.front_m, 'length', system)}, set by the {set_by}. No backing up: it folds; uncouple"
        " instead."
    )
