"""What the ball does to the coupler in each load case, and what reaches the two brackets through an A-frame
bar.
"""

from typing import NamedTuple

from towlib.physics.basics import cases as math
from towlib.physics.basics.road_load import drawbar_pull_n
from towlib.physics.hitch.bar_geometry import arm_forces_n, ball_force_of_slope_n
from towlib.physics.hitch.coupling_strength import (
    G_R55_M_S2,
    coupling_minimum_lb,
    d_value_n,
    hitch_test_loads_lb,
)

SUDDENLY_APPLIED = (
    2.0  # a load put on at once stretches an elastic part twice as far as the same load put on slowly
)
POUND_KG, POUND_FORCE_N = 0.45359237, 4.4482216152605


class Force(NamedTuple):
    """Force on the towed side: forwards (bar stretched), left and up are positive."""

    along_n: float
    left_n: float
    up_n: float


class Case(NamedTuple):
    """One load case: the force of the ball on the coupler, and the factor on the steady force that is already
    in it.
    """

    name: str
    force: Force
    reserve: float


class Yardstick(NamedTuple):
    """A load that a standard asks for, shown beside the load cases."""

    name: str
    force: Force
    source: str
    known_by: str  # as in the handbook: read, computed, from memory


class BracketLoads(NamedTuple):
    """Force of each arm on its bracket pin, and the axial forces in the arms (pull positive)."""

    left: Force
    right: Force
    left_arm_n: float
    right_arm_n: float


def along_the_bar(along_n: float, left_n: float, *, slope_rad: float) -> Force:
    """Force on the coupler with the vertical part that a sloped bar adds.

    U = -A·tan(theta)

    Parameters
    ----------
    along_n : float
        Force along the road, positive when the bar is stretched.
    left_n : float
        Force to the left.
    slope_rad : float
        Slope of the bar, positive with the brackets higher than the ball.

    Returns
    -------
    Force
        Of the ball on the coupler.

    Breaks down when
        the bar is not free to pivot at both ends.

    Source
        A bar hinged at both ends carries force along its own line only: the ball's force of
        hitch.ball_force_of_slope_n, seen from the other side.

    Examples
    --------
    >>> round(along_the_bar(-8335.7, 0.0, slope_rad=math.radians(5.831)).up_n)
    851
    """
    return Force(along_n, left_n, ball_force_of_slope_n(along_n, slope_rad))


def pull_away(
    towed_mass_kg: float,
    grade: float,
    *,
    acceleration_m_s2: float,
    rolling_coefficient: float,
    slope_rad: float = 0.0,
) -> Case:
    """Pulling away on a grade.

    A = m·(a + g·sin(atan G)) + c·m·g·cos(atan G)

    Parameters
    ----------
    towed_mass_kg : float
        Towed vehicle as loaded, above 0.
    grade : float
        Rise over run, negative downhill.
    acceleration_m_s2 : float
        Of the pair, 0 or more.
    rolling_coefficient : float
        Of the towed vehicle's tyres.
    slope_rad : float
        Slope of the bar, positive with the brackets higher than the ball.

    Returns
    -------
    Case
        Steady force, reserve 1.

    Raises
    ------
    ValueError
        When the mass is not above zero or the acceleration is negative.

    Breaks down when
        slack in pins and coupler lets the pair snatch: reckon with twice the force then.

    Source
        Newton's second law on the towed vehicle.

    Examples
    --------
    >>> round(pull_away(1700, 0.12, acceleration_m_s2=1.5, rolling_coefficient=0.015).force.along_n)
    4785
    """
    _above_zero(towed_mass_kg)
    if acceleration_m_s2 < 0:
        raise ValueError("the acceleration must be 0 or more; slowing down is the braking case")
    pull_n = drawbar_pull_n(
        towed_mass_kg, grade, rolling_coefficient=rolling_coefficient, acceleration_m_s2=acceleration_m_s2
    )
    return Case("pulling away", along_the_bar(pull_n, 0.0, slope_rad=slope_rad), 1.0)


def braking(
    towed_mass_kg: float,
    grade: float,
    *,
    deceleration_m_s2: float,
    rolling_coefficient: float,
    own_brake_n: float = 0.0,
    slope_rad: float = 0.0,
) -> Case:
    """Braking: what the towed vehicle does not brake by itself, it pushes.

    A = -(m·(a - g·sin(atan G)) - c·m·g·cos(atan G) - F_own brakes)

    Parameters
    ----------
    towed_mass_kg : float
        Towed vehicle as loaded, above 0.
    grade : float
        Rise over run, negative downhill.
    deceleration_m_s2 : float
        Of the pair along the road, 0 or more.
    rolling_coefficient : float
        Of the towed vehicle's tyres.
    own_brake_n : float
        Braking force of the towed vehicle's own brakes, 0 without.
    slope_rad : float
        Slope of the bar, positive with the brackets higher than the ball.

    Returns
    -------
    Case
        Along the bar negative for a push; reserve 1.

    Raises
    ------
    ValueError
        When the mass is not above zero, or the deceleration or brake force is negative.

    Breaks down when
        slack lets the towed vehicle run up, or its own brakes come on late.

    Source
        Newton's second law on the towed vehicle.

    Examples
    --------
    >>> round(braking(1700, -0.08, deceleration_m_s2=0.5 * 9.80665, rolling_coefficient=0.0).force.along_n, 1)
    -9665.1
    """
    _above_zero(towed_mass_kg)
    if deceleration_m_s2 < 0 or own_brake_n < 0:
        raise ValueError("the deceleration and the force of its own brakes must be 0 or more")
    pull_n = drawbar_pull_n(
        towed_mass_kg,
        grade,
        rolling_coefficient=rolling_coefficient,
        acceleration_m_s2=-deceleration_m_s2,
        towed_brake_n=own_brake_n,
    )
    name = "braking downhill" if grade < 0 else "braking"
    return Case(name, along_the_bar(pull_n, 0.0, slope_rad=slope_rad), 1.0)


def turning(
    towed_mass_kg: float,
    side_acceleration_m_s2: float,
    *,
    centre_ahead_of_rear_axle_m: float,
    ball_to_rear_axle_m: float,
) -> Case:
    """Side force at the ball in a steady curve.

    S = m·a_side·d / l, d from the towed rear axle to the centre of mass, l from that axle to the ball

    Parameters
    ----------
    towed_mass_kg : float
        Towed vehicle as loaded, above 0.
    side_acceleration_m_s2 : float
        v²/R, positive in a left-hand curve.
    centre_ahead_of_rear_axle_m : float
        Towed rear axle to its centre of mass, negative when the centre lies behind that axle.
    ball_to_rear_axle_m : float
        Ball to the towed rear axle: bar and vehicle turn as one, above 0.

    Returns
    -------
    Case
        Force on the coupler towards the inside of the curve; reserve 1.

    Raises
    ------
    ValueError
        When the mass or the length is not above zero, or the centre of mass lies ahead of the ball.

    Breaks down when
        the steering does not run free (locked steering or a strong damper: the front tyres then push too), or
        the pair is swerving and the towed vehicle's own yaw inertia adds to it.

    Source
        Moments about the towed rear axle; free front wheels castor and carry no side force.

    Examples
    --------
    >>> round(turning(1500, 3.0, centre_ahead_of_rear_axle_m=1.25, ball_to_rear_axle_m=4.3).force.left_n)
    1308
    """
    _above_zero(towed_mass_kg)
    if ball_to_rear_axle_m <= 0 or centre_ahead_of_rear_axle_m >= ball_to_rear_axle_m:
        raise ValueError(
            "the centre of mass must lie behind the ball, and the ball ahead of the towed rear axle"
        )
    side_n = towed_mass_kg * side_acceleration_m_s2 * centre_ahead_of_rear_axle_m / ball_to_rear_axle_m
    return Case("turning", Force(0.0, side_n, 0.0), 1.0)


def step_force_n(axle_load_n: float, *, edge_height_m: float, wheel_radius_m: float) -> float:
    """Horizontal force at the hubs that just lifts an axle over an edge.

    F = N·sqrt(h·(2r - h)) / (r - h)

    Parameters
    ----------
    axle_load_n : float
        Weight on the axle, 0 or more.
    edge_height_m : float
        Height of the edge, 0 to below the wheel radius.
    wheel_radius_m : float
        Radius of a wheel that does not give, above 0.

    Returns
    -------
    float
        Newtons, steady.

    Raises
    ------
    ValueError
        When the load is negative or the edge is not lower than the hub.

    Breaks down when
        the tyre gives and swallows the edge (the force is then lower), or the pair hits it fast (higher).

    Source
        Textbook statics: moments about the edge, the wheel no longer touching the road before it.

    Examples
    --------
    >>> round(step_force_n(8000.0, edge_height_m=0.05, wheel_radius_m=0.35))
    4807
    """
    if axle_load_n < 0 or not 0 <= edge_height_m < wheel_radius_m:
        raise ValueError("the axle load must be 0 or more, and the edge lower than the hub")
    lever_m = wheel_radius_m - edge_height_m
    return axle_load_n * math.sqrt(edge_height_m * (2.0 * wheel_radius_m - edge_height_m)) / lever_m


def over_an_edge(
    axle_load_n: float,
    *,
    edge_height_m: float,
    wheel_radius_m: float,
    slope_rad: float = 0.0,
    sudden: float = SUDDENLY_APPLIED,
) -> Case:
    """The towed front wheels meet the far edge of a pothole, or a stone.

    A = sudden·N·sqrt(h·(2r - h)) / (r - h)

    Parameters
    ----------
    axle_load_n : float
        Weight on the towed front axle.
    edge_height_m : float
        Height of the edge, 0 to below the wheel radius.
    wheel_radius_m : float
        Radius of the wheels.
    slope_rad : float
        Slope of the bar, positive with the brackets higher than the ball.
    sudden : float
        Factor for a load applied at once, 1 or more.

    Returns
    -------
    Case
        The bar stretched; reserve is the factor `sudden`.

    Raises
    ------
    ValueError
        When the edge is not lower than the hub, or the factor is below 1.

    Breaks down when
        one wheel only meets the edge: half the pull, and a side force at the ball besides.

    Source
        Textbook statics of a wheel at an edge; twice for a load applied at once to an elastic part (energy
        balance).

    Examples
    --------
    >>> round(over_an_edge(8000.0, edge_height_m=0.05, wheel_radius_m=0.35).force.along_n)
    9615
    """
    if sudden < 1.0:
        raise ValueError("the factor for a sudden load must be 1 or more")
    pull_n = sudden * step_force_n(axle_load_n, edge_height_m=edge_height_m, wheel_radius_m=wheel_radius_m)
    return Case("wheels over an edge", along_the_bar(pull_n, 0.0, slope_rad=slope_rad), sudden)


def together(name: str, *cases: Case) -> Case:
    """Cases that happen at the same time, such as braking in a curve.

    F = ΣF_i

    Parameters
    ----------
    name : str
        What to call it.
    cases : Case
        Two or more.

    Returns
    -------
    Case
        The sum of the forces, with the largest reserve among them.

    Raises
    ------
    ValueError
        When there is no case.

    Breaks down when
        tyres cannot give both at once: grip is shared between braking and cornering.

    Source
        Forces add.

    Examples
    --------
    >>> brake = braking(1500, 0.0, deceleration_m_s2=4.0, rolling_coefficient=0.0)
    >>> curve = turning(1500, 2.0, centre_ahead_of_rear_axle_m=1.25, ball_to_rear_axle_m=4.3)
    >>> [round(part) + 0 for part in together("braking in a curve", brake, curve).force]
    [-6000, 872, 0]
    """
    if not cases:
        raise ValueError("nothing to add up")
    return Case(
        name,
        Force(*(sum(parts) for parts in zip(*(case.force for case in cases), strict=True))),
        max(case.reserve for case in cases),
    )


def yardsticks(tow_mass_kg: float, towed_mass_kg: float, *, slope_rad: float = 0.0) -> tuple[Yardstick, ...]:
    """What standards ask for, as forces on the coupler: to be shown beside the load cases.

    D = g·T·R/(T + R); 1.5·g·R; 0.5·g·R; 0.23·R + 1530 and 0.20·R + 500 lbf; least breaking loads by class

    Parameters
    ----------
    tow_mass_kg : float
        Tow vehicle as loaded, above 0.
    towed_mass_kg : float
        Towed vehicle as loaded, above 0.
    slope_rad : float
        Slope of the bar, positive with the brackets higher than the ball.

    Returns
    -------
    tuple of Yardstick
        Pull along or force to the left; they hold for push and for the right as well. Table loads are left
        out where the table ends (10,000 lb for couplings, 5,000 lb for hitch tests).

    Raises
    ------
    ValueError
        When a mass is not above zero.

    Breaks down when
        used as proof: none of them was written for brackets of a flat-towed vehicle.

    Source
        UNECE R55 form, COMAR 11.13.08.10: see coupling_strength. 1.5·g along without yield: VSB 1, read in a
        forum thread, for the attachment of chains. 0.5·g across and upright: from memory, never decisive.

    Examples
    --------
    >>> [(y.name, round(y.force.along_n)) for y in yardsticks(3500, 2000)][:2]
    [('D-value', 12485), ('1.5 g along', 29430)]
    """
    weight_n = G_R55_M_S2 * towed_mass_kg
    along = {
        "D-value": (
            d_value_n(tow_mass_kg, towed_mass_kg),
            "UNECE R55 form, read in a secondary page",
            "read",
        ),
        "1.5 g along": (1.5 * weight_n, "VSB 1, read in a forum thread", "read"),
    }
    across = {"0.5 g across": (0.5 * weight_n, "VSB 1", "from memory")}
    pounds = towed_mass_kg / POUND_KG
    if pounds <= 5_000:
        _, long_lb, _, side_lb = hitch_test_loads_lb(pounds)
        along["hitch test along"] = (long_lb * POUND_FORCE_N, "COMAR 11.13.08.10 (Maryland)", "read")
        across["hitch test across"] = (side_lb * POUND_FORCE_N, "COMAR 11.13.08.10 (Maryland)", "read")
    if pounds <= 10_000:
        least = coupling_minimum_lb(pounds)
        along["coupling breaks along"] = (
            least.longitudinal_lb * POUND_FORCE_N,
            "COMAR 11.13.08.10 (Maryland)",
            "read",
        )
        across["coupling breaks across"] = (
            least.transverse_lb * POUND_FORCE_N,
            "COMAR 11.13.08.10 (Maryland)",
            "read",
        )
    found = [
        Yardstick(name, along_the_bar(force_n, 0.0, slope_rad=slope_rad), source, known_by)
        for name, (force_n, source, known_by) in along.items()
    ]
    found += [
        Yardstick(name, Force(0.0, force_n, 0.0), source, known_by)
        for name, (force_n, source, known_by) in across.items()
    ]
    return (*found, Yardstick("0.5 g upright", Force(0.0, 0.0, 0.5 * weight_n), "VSB 1", "from memory"))


def bracket_reactions(force: Force, *, half_angle_rad: float, slope_rad: float = 0.0) -> BracketLoads:
    """What reaches the two bracket pins through the arms of an A-frame bar.

    arm: T = P/(2·cos beta) ∓ S/(2·sin beta), P = A·cos(theta) - U·sin(theta); on the bracket T along its own
      arm, towards the ball

    Parameters
    ----------
    force : Force
        Of the ball on the coupler.
    half_angle_rad : float
        Half the angle between the arms, above 0 and below 90°.
    slope_rad : float
        Slope of the plane of the arms, positive with the brackets higher than the ball.

    Returns
    -------
    BracketLoads
        Force on the left and on the right bracket, and both arm forces.

    Raises
    ------
    ValueError
        When the half angle is not between 0 and 90°, or the force would swing the bar up or down about its
        pins.

    Breaks down when
        arms or brackets bend, or the bar's own weight and shaking count beside the force at the ball.

    Source
        Equilibrium of two pinned arms that lie in one sloping plane.

    Examples
    --------
    >>> loads = bracket_reactions(Force(1000.0, 0.0, 0.0), half_angle_rad=math.radians(25))
    >>> round(loads.left_arm_n, 1), [round(part, 1) + 0.0 for part in loads.left]
    (551.7, [500.0, -233.2, 0.0])
    """
    cos, sin = math.cos(slope_rad), math.sin(slope_rad)
    across_plane_n = force.along_n * sin + force.up_n * cos
    if abs(across_plane_n) > 1e-6 * math.hypot(*force) + 1e-9:
        raise ValueError(
            "a bar that is hinged at both ends cannot carry this vertical force: it would swing about its"
            " pins"
        )
    arms = arm_forces_n(force.along_n * cos - force.up_n * sin, force.left_n, half_angle_rad=half_angle_rad)
    forwards, sideways = math.cos(half_angle_rad), math.sin(half_angle_rad)

    def on_bracket(arm_n: float, side: float) -> Force:
        return Force(arm_n * forwards * cos, -side * arm_n * sideways, -arm_n * forwards * sin)

    return BracketLoads(on_bracket(arms.left_n, 1.0), on_bracket(arms.right_n, -1.0), *arms)


def _above_zero(towed_mass_kg: float) -> None:
    if towed_mass_kg <= 0:
        raise ValueError("the towed mass must be above zero")
