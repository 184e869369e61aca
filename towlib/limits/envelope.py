"""Every load of the road and of a mishap on the bar, and what reaches the two brackets; the loads that rules
ask a coupling to bear besides.
"""

from collections.abc import Callable, Sequence

from towlib.limits.coupling_limits import slope_rad
from towlib.limits.legs import steepest_pitch
from towlib.limits.loads import own_deceleration_m_s2, towed_axles_kg, towed_total_kg
from towlib.physics.basics import cases as math
from towlib.physics.basics.road_load import GRAVITY_M_S2, grade_sine
from towlib.physics.hitch.load_cases import (
    BracketLoads,
    Case,
    Force,
    along_the_bar,
    borne_unbent,
    bracket_reactions,
    braking,
    front_wheels_slide,
    on_both_brackets,
    one_arm_alone,
    one_wheel_over_an_edge,
    over_an_edge,
    pull_away,
    snatch,
    together,
    turning,
)
from towlib.physics.hitch.tow_bar_rule import longitudinal_load_n
from towlib.rig.facts import Facts, NotKnown
from towlib.road.route import Route

PULL_AWAY_M_S2 = 1.5  # common practice, no source: a brisk start
GRIP = (
    0.8  # common practice, no source: tyres dragged over dry asphalt, between the 0.7 and 1.0 of a textbook
)
Loaded = tuple[Case, BracketLoads]  # a case and what reaches the brackets


def steepest_grade(route: Route) -> float:
    """Steepest pitch of the road, up or down: what climbs on one way is a descent on the other."""
    return max(steepest_pitch(each)[0] for each in (route, route.reversed()))


def load_cases(facts: Facts, route: Route, way: str) -> tuple[Case, ...]:
    """What the road and a mishap do to the coupler: force of the ball on it, for each case, on the road's
    steepest pitch and at the rig's own deceleration.
    """
    steepest = steepest_grade(route)
    return cases_on_grades(
        facts, way, climb=steepest, descent=-steepest, deceleration_m_s2=own_deceleration_m_s2(facts, way)
    )


def cases_on_grades(
    facts: Facts,
    way: str,
    *,
    climb: float,
    descent: float,
    deceleration_m_s2: float,
    own_brake_share: float = 0.0,
) -> tuple[Case, ...]:
    """Pulling away on one grade; braking on the other, straight and in a curve; the curve; an edge under both
    wheels and under one; front wheels that cannot castor; play; one latch open.

    The pair is taken to slow down on the grade as hard as on the level: a driver who needs that stop presses
    harder, and what the brakes have in hand for it nobody has measured. The plan counts no brakes of the
    towed vehicle: they may fail. A lesson may count the share of the braking that they do.
    """
    towed_kg = towed_total_kg(facts, way)
    slope, beta = slope_rad(facts, way), half_angle_rad(facts)
    rolling = facts.need("towed_vehicle.rolling_resistance")
    wheelbase = facts.need("towed_vehicle.wheelbase")
    ball_to_rear = facts.need("tow_bar.length") + facts.need("towed_vehicle.bracket_ahead_of_front_axle")
    ball_to_rear += wheelbase
    front_kg, rear_kg = towed_axles_kg(facts, way)
    edge = {
        "axle_load_n": max(front_kg, rear_kg) * GRAVITY_M_S2,
        "edge_height_m": facts.need("conditions.pothole_edge"),
        "wheel_radius_m": facts.need("towed_vehicle.tyres.rolling_radius"),
        "slope_rad": slope,
    }
    sliding = {
        "front_axle_n": front_kg * GRAVITY_M_S2,
        "grip": GRIP,
        "wheelbase_m": wheelbase,
        "ball_to_rear_axle_m": ball_to_rear,
        "rolling_n": rolling * towed_kg * GRAVITY_M_S2,
        "slope_rad": slope,
    }
    lock = facts.need("towed_vehicle.steering_lock")
    away = pull_away(
        towed_kg,
        climb,
        acceleration_m_s2=PULL_AWAY_M_S2,
        rolling_coefficient=rolling,
        slope_rad=slope,
    )
    slowing = braking(
        towed_kg,
        descent,
        deceleration_m_s2=deceleration_m_s2,
        rolling_coefficient=rolling,
        own_brake_n=own_brake_share
        * towed_kg
        * max(0.0, deceleration_m_s2 - GRAVITY_M_S2 * grade_sine(descent)),
        slope_rad=slope,
    )
    side = turning(
        towed_kg,
        facts.need("conditions.curve_acceleration"),
        centre_ahead_of_rear_axle_m=wheelbase * front_kg / (front_kg + rear_kg),
        ball_to_rear_axle_m=ball_to_rear,
    )
    harder = max(away, slowing, key=lambda case: abs(case.force.along_n))
    try:
        return (
            away,
            slowing,
            together("braking in a curve", slowing, side),
            side,
            over_an_edge(**edge),
            one_wheel_over_an_edge(
                **edge, track_m=facts.need("towed_vehicle.track"), ball_to_rear_axle_m=ball_to_rear
            ),
            front_wheels_slide(lock_rad=0.0, **sliding),
            front_wheels_slide(lock_rad=lock, **sliding),
            front_wheels_slide(lock_rad=lock, backwards=True, **sliding),
            snatch(harder),
            one_arm_alone(harder, half_angle_rad=beta, slope_rad=slope),
        )
    except ValueError as error:
        raise NotKnown(str(error)) from None


def bracket_loads(facts: Facts, route: Route, way: str) -> tuple[Loaded, ...]:
    """Every case with what reaches the two brackets."""
    on = _acted_on(facts)
    return on.once(("bracket loads", route, way), lambda: _bracket_loads(on, route, way))


def _acted_on(facts: Facts) -> Facts:
    """The facts that loads hang on: where nothing but sizes of the bracket is changed, those of the plan."""
    strength_alone = facts.planned and all(path.startswith("bracket.") for path in facts.changed)
    return facts.planned if facts.planned and strength_alone else facts


def _bracket_loads(facts: Facts, route: Route, way: str) -> tuple[Loaded, ...]:
    reach = _reach(facts, way)
    return tuple((case, reach(case.force)) for case in load_cases(facts, route, way))


def heaviest(cases: Sequence[Loaded]) -> tuple[Loaded, ...]:
    """The case with the hardest pull in an arm, and that with the hardest push: the arms are hinged, so that
    every case acts on a bracket along the same line, and both brackets mirror each other.
    """
    pull = max(cases, key=lambda each: max(each[1][2:]))
    push = min(cases, key=lambda each: min(each[1][2:]))
    return (pull,) if push is pull else (pull, push)


def floor_loads(facts: Facts, way: str) -> tuple[Loaded, ...]:
    """What rules ask a coupling to bear without lasting deformation, as cases: along both ways, across
    (either way, as the brackets mirror each other), up and down.
    """
    on = _acted_on(facts)
    return on.once(("floor loads", way), lambda: _floor_loads(on, way))


def _floor_loads(facts: Facts, way: str) -> tuple[Loaded, ...]:
    found: list[Loaded] = []
    reach, slope = _reach(facts, way), slope_rad(facts, way)
    for mark in borne_unbent(towed_total_kg(facts, way), slope_rad=slope):
        if mark.name.endswith("upright"):
            for word, sign in (("up", 1.0), ("down", -1.0)):
                up = sign * mark.force.up_n
                name = f"{mark.name.removesuffix('upright')}{word}"
                found.append((Case(name, Force(0.0, 0.0, up), 1.0), on_both_brackets(up)))
        elif mark.name.endswith("along"):
            for word, sign in (("pull", 1.0), ("push", -1.0)):
                force = Force(*(sign * part for part in mark.force))
                found.append((Case(f"{mark.name}, {word}", force, 1.0), reach(force)))
        else:
            found.append((Case(mark.name, mark.force, 1.0), reach(mark.force)))
    return tuple(found)


def tow_bar_rule_loads(facts: Facts, way: str) -> tuple[Loaded, ...]:
    """The longitudinal load of the federal tow-bar rule, pull and push, and what of it reaches the
    brackets.
    """
    on = _acted_on(facts)
    return on.once(("tow-bar rule loads", way), lambda: _tow_bar_rule_loads(on, way))


def _tow_bar_rule_loads(facts: Facts, way: str) -> tuple[Loaded, ...]:
    load_n, reach = longitudinal_load_n(towed_total_kg(facts, way)), _reach(facts, way)
    slope = slope_rad(facts, way)
    forces = [
        (word, along_the_bar(n, 0.0, slope_rad=slope)) for word, n in (("pull", load_n), ("push", -load_n))
    ]
    return tuple((Case(f"tow-bar rule, {word}", force, 1.0), reach(force)) for word, force in forces)


def loads_of_force(facts: Facts, force: Force, way: str) -> BracketLoads:
    """What reaches the two brackets of a force of the ball on the coupler."""
    return _reach(facts, way)(force)


def half_angle_rad(facts: Facts) -> float:
    """Half the angle between the arms of the bar."""
    spread, length = facts.need("towed_vehicle.bracket_spread"), facts.need("tow_bar.length")
    if length < spread:
        raise NotKnown(
            f"a bar {length:.2f} m long is shorter than the spread of its brackets, {spread:.2f} m: measure"
            " again"
        )
    return math.atan2(spread / 2.0, length)


def _reach(facts: Facts, way: str) -> Callable[[Force], BracketLoads]:
    beta, slope = half_angle_rad(facts), slope_rad(facts, way)
    return lambda force: bracket_reactions(force, half_angle_rad=beta, slope_rad=slope)
