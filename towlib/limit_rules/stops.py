"""Stopping the pair: the hardest stop on the steepest downgrade, the push at the hitch, and what is left for the rear axle."""

import math
from collections.abc import Callable

from towlib.facts import Facts, NotKnown
from towlib.legs import Leg
from towlib.limit_rules.coupling import ball_height_m, slope_rad
from towlib.limits import Rule
from towlib.loads import tow_axles_kg, tow_total_kg, towed_total_kg
from towlib.physics.road_load import GRAVITY_M_S2
from towlib.physics.stopping import pair_deceleration_m_s2, sight_distance_ft
from towlib.physics.stops import HardestStop, Stopper, StopForces, forces_while_stopping, hardest_stop, pair_stopping_distance_m

DRY_GRIP, WET_GRIP = 1.0, 0.7  # rubber on concrete just before it slides, OpenStax College Physics, module m42139
REACTION_S = 2.5  # of the road-design handbook, AASHTO Green Book 7th ed. 3.1.2
STATUTE_M_S2 = 14.0 * 0.3048  # N.J. Stat. 39:3-68, brakes on all wheels: 14 ft/s² from 20 mph, read in a secondary page
FOOT_M, MPH_M_S = 0.3048, 0.44704

Drive = Callable[[str], Leg]


def stopper(facts: Facts, way: str) -> Stopper:
    """The tow vehicle as a brake, loaded; NotKnown names what is missing."""
    front, rear = tow_axles_kg(facts, way)
    need = facts.need
    return Stopper(front, rear, need("tow_vehicle.wheelbase"), need("tow_vehicle.cg_height"), need("tow_vehicle.ball_behind_rear_axle"),
                   ball_height_m(facts, way), need("tow_vehicle.brakes.front_share"), slope_rad(facts, way))


def towed_brake_n(facts: Facts, way: str) -> float:
    """Full braking force of the towed vehicle's own brakes, 0 without: its share of the pair's whole."""
    if not facts.need("towed_vehicle.brakes_fitted"):
        return 0.0
    share = facts.need("towed_vehicle.brake_share")
    if share >= 1.0:
        raise NotKnown("towed_vehicle.brake_share must lie below 100 %")
    own = share / (1.0 - share) * tow_total_kg(facts, way) * facts.need("tow_vehicle.brakes.deceleration_alone")
    return min(own, DRY_GRIP * GRAVITY_M_S2 * towed_total_kg(facts, way))


def hardest(facts: Facts, way: str, grade: float, *, friction: float) -> HardestStop:
    """The hardest stop of the reader's pair on a grade."""
    return hardest_stop(stopper(facts, way), tow_deceleration_m_s2=facts.need("tow_vehicle.brakes.deceleration_alone"), grade=grade,
                        towed_kg=towed_total_kg(facts, way), towed_brake_n=towed_brake_n(facts, way), friction=friction)


def forces_in_hardest_stop(facts: Facts, way: str, grade: float, *, friction: float, articulation_rad: float = 0.0) -> StopForces:
    """Push, axle loads and friction used while it stops that hard; NotKnown where the pair does not stop."""
    most = hardest(facts, way, grade, friction=friction)
    if most.deceleration_m_s2 <= 0:
        raise NotKnown("the pair does not stop on this grade")
    return forces_while_stopping(stopper(facts, way), most.deceleration_m_s2, grade=grade, towed_kg=towed_total_kg(facts, way),
                                 towed_brake_n=towed_brake_n(facts, way), friction=friction, articulation_rad=articulation_rad)


def stopping_m(facts: Facts, way: str, grade: float, *, speed_m_s: float, friction: float, reaction_s: float = REACTION_S) -> float:
    """Stopping distance of the reader's pair on a grade; inf where it does not stop."""
    most = hardest(facts, way, grade, friction=friction)
    return pair_stopping_distance_m(speed_m_s, most, reaction_s=reaction_s) if most.deceleration_m_s2 > 0 else math.inf


def steepest_downgrade(leg: Leg) -> tuple[float, float]:
    """Grade of the steepest 200 m downhill, and the highest speed driven on that stretch."""
    rows = [row for row in leg.rows if row.segment.mean_grade < 0]
    if not rows:
        raise NotKnown(f"no downgrade on the way {leg.way}")
    row = min(rows, key=lambda row: min(row.segment.mean_grade, -abs(row.segment.steepest_200m_grade)))
    return min(row.segment.mean_grade, -abs(row.segment.steepest_200m_grade)), row.speed_m_s


def stop_rules(drive: Drive) -> tuple[Rule, ...]:
    """Limits on stopping: against a statute's deceleration, and against the distance roads are laid out for."""

    def level_m_s2(facts: Facts, way: str) -> float:
        return pair_deceleration_m_s2(
            tow_mass_kg=tow_total_kg(facts, way), towed_mass_kg=towed_total_kg(facts, way),
            tow_deceleration_m_s2=facts.need("tow_vehicle.brakes.deceleration_alone"), towed_brake_n=towed_brake_n(facts, way))

    def distance_m(facts: Facts, way: str) -> float:
        grade, speed = steepest_downgrade(drive(way))
        return stopping_m(facts, way, grade, speed_m_s=speed, friction=WET_GRIP)

    def sight_m(facts: Facts, way: str) -> float:
        grade, speed = steepest_downgrade(drive(way))
        return FOOT_M * sight_distance_ft(speed / MPH_M_S, grade=grade)

    lighter = "Less weight behind, brakes for the towed vehicle, or a lower speed on this downgrade."
    return (
        Rule("level_stop", "Deceleration from 20 mph, level", "acceleration", lambda facts, way: STATUTE_M_S2, level_m_s2,
             "N.J. Stat. 39:3-68, brakes on all wheels (read in a secondary page); your own law may ask otherwise",
             "Brakes for the towed vehicle, or less weight behind; check your own law."),
        Rule("stop_distance", "Stopping on the steepest downgrade, wet", "length", distance_m, sight_m,
             "sight distance of the road-design handbook (AASHTO 7th ed. 3.1.2) at that speed, written for one car", lighter),
    )
