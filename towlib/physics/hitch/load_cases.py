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
from towlib.physics.hitch.tow_bar_rule import longitudinal_load_n

SUDDENLY_APPLIED = (
    2.0  # a load put on at once stretches an elastic part twice as far as the same load put on slowly
)
POUND_KG, POUND_FORCE_N = 0.45359237, 4.4482216152605
ALONG_G, ACROSS_G, UPRIGHT_G = 1.5, 0.5, 0.5  # of the towed weight, what a coupling is to bear unbent


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
    binds: str  # whom


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
    """Both wheels of a towed axle meet the far edge of a pothole, or a stone: the rear wheels meet the edge
    that the front ones met.

    A = sudden·N·sqrt(h·(2r - h)) / (r - h)

    Parameters
    ----------
    axle_load_n : float
        Weight on the heavier towed axle.
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
        the tyre gives, or one wheel only meets the edge: see one_wheel_over_an_edge.

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


def one_wheel_over_an_edge(
    axle_load_n: float,
    *,
    edge_height_m: float,
    wheel_radius_m: float,
    track_m: float,
    ball_to_rear_axle_m: float,
    slope_rad: float = 0.0,
    sudden: float = SUDDENLY_APPLIED,
) -> Case:
    """One wheel of a towed axle meets the edge: half the pull of both, but off the middle line.

    A = sudden·(N/2)·sqrt(h·(2r - h)) / (r - h), S = A·(b/2) / l

    Parameters
    ----------
    axle_load_n : float
        Weight on the heavier towed axle, half of it on the wheel.
    edge_height_m : float
        Height of the edge, 0 to below the wheel radius.
    wheel_radius_m : float
        Radius of the wheel.
    track_m : float
        Wheel to wheel of the axle, above 0.
    ball_to_rear_axle_m : float
        Ball to the towed rear axle, above 0.
    slope_rad : float
        Slope of the bar, positive with the brackets higher than the ball.
    sudden : float
        Factor for a load applied at once, 1 or more.

    Returns
    -------
    Case
        The right wheel at the edge: pull, and a force to the left at the coupler; the left wheel mirrors it.

    Raises
    ------
    ValueError
        When a length is not above zero, the edge not lower than the hub, or the factor below 1.

    Breaks down when
        the rear tyres slide sideways before they hold the moment, or the vehicle's own inertia about its
        upright axis holds part of it.

    Source
        Moments about the middle of the towed rear axle: bar and vehicle turn as one, and free front wheels
        carry no side force.

    Examples
    --------
    >>> case = one_wheel_over_an_edge(
    ...     8000.0, edge_height_m=0.05, wheel_radius_m=0.35, track_m=1.4, ball_to_rear_axle_m=4.2
    ... )
    >>> [round(part) for part in case.force[:2]]
    [4807, 801]
    """
    if track_m <= 0 or ball_to_rear_axle_m <= 0:
        raise ValueError("the track and the distance from the ball to the rear axle must be above zero")
    both = over_an_edge(
        axle_load_n, edge_height_m=edge_height_m, wheel_radius_m=wheel_radius_m, sudden=sudden
    )
    along_n = both.force.along_n / 2.0
    left_n = along_n * track_m / (2.0 * ball_to_rear_axle_m)
    return Case("one wheel over an edge", along_the_bar(along_n, left_n, slope_rad=slope_rad), sudden)


def front_wheels_slide(
    front_axle_n: float,
    *,
    grip: float,
    lock_rad: float,
    wheelbase_m: float,
    ball_to_rear_axle_m: float,
    rolling_n: float = 0.0,
    backwards: bool = False,
    slope_rad: float = 0.0,
) -> Case:
    """The towed front wheels cannot castor: steering locked straight ahead, or standing at its lock, they are
    dragged sideways at their grip.

    S = mu·N·cos(delta)·L / l, A = mu·N·sin(delta) + rolling drag; A < 0 while backing

    Parameters
    ----------
    front_axle_n : float
        Weight on the towed front axle, 0 or more.
    grip : float
        Side force of a sliding tyre over its load, above 0.
    lock_rad : float
        How far the wheels stand off straight ahead, 0 with the steering locked straight; 0 or more.
    wheelbase_m : float
        Of the towed vehicle, above 0.
    ball_to_rear_axle_m : float
        Ball to the towed rear axle, above 0.
    rolling_n : float
        Rolling drag of the towed vehicle besides, 0 or more.
    backwards : bool
        Whether the tow vehicle pushes the bar backwards.
    slope_rad : float
        Slope of the bar, positive with the brackets higher than the ball.

    Returns
    -------
    Case
        Force to the left at the coupler; the other lock, or the other turn, mirrors it. Reserve 1.

    Raises
    ------
    ValueError
        When the load, the angle or the drag is negative, or grip or a length is not above zero.

    Breaks down when
        the pair folds until metal meets metal, as it does while backing: nothing but the engine limits the
        force then.

    Source
        Moments about the middle of the towed rear axle; the force of a tyre that rolls and slides stands
        square to the wheel.

    Examples
    --------
    >>> at = dict(grip=0.8, wheelbase_m=2.29, ball_to_rear_axle_m=4.27)
    >>> [round(part) + 0 for part in front_wheels_slide(7801.0, lock_rad=0.0, **at).force[:2]]
    [0, 3347]
    """
    if front_axle_n < 0 or lock_rad < 0 or rolling_n < 0:
        raise ValueError("the axle load, the angle of the wheels and the rolling drag must be 0 or more")
    if grip <= 0 or wheelbase_m <= 0 or ball_to_rear_axle_m <= 0:
        raise ValueError("grip, wheelbase and the distance from the ball to the rear axle must be above zero")
    sideways_n = grip * front_axle_n
    drag_n = sideways_n * math.sin(lock_rad) + rolling_n
    left_n = sideways_n * math.cos(lock_rad) * wheelbase_m / ball_to_rear_axle_m
    name = "steering locked" if lock_rad == 0.0 else "steering at its lock"
    force = along_the_bar(-drag_n if backwards else drag_n, left_n, slope_rad=slope_rad)
    return Case("backing by mistake" if backwards else name, force, 1.0)


def snatch(case: Case, *, sudden: float = SUDDENLY_APPLIED) -> Case:
    """The same load when play in coupler, latches and pins is taken up first, and it comes at once.

    F = sudden·F_steady

    Parameters
    ----------
    case : Case
        The load that comes on slowly.
    sudden : float
        Factor for a load applied at once, 1 or more.

    Returns
    -------
    Case
        With the factor as its reserve.

    Raises
    ------
    ValueError
        When the factor is below 1.

    Breaks down when
        the vehicles meet at different speeds after a wide gap: the peak is then the speed difference times
        the root of stiffness times reduced mass, which grows with the play and has no end in sight. Two is
        the least a play costs.

    Source
        Energy balance of an elastic part under a constant force that acts at once (textbook): twice the
        slow stretch.

    Examples
    --------
    >>> round(snatch(braking(1700, 0.0, deceleration_m_s2=4.0, rolling_coefficient=0.0)).force.along_n)
    -13600
    """
    if sudden < 1.0:
        raise ValueError("the factor for a sudden load must be 1 or more")
    return Case("snatch from play", Force(*(sudden * part for part in case.force)), sudden * case.reserve)


def one_arm_alone(case: Case, *, half_angle_rad: float, slope_rad: float = 0.0) -> Case:
    """One arm's latch is not engaged and its arm slides: the other arm carries all, along its own line.

    S = P·tan(beta), P = A·cos(theta) - U·sin(theta); left arm 0, right arm P/cos(beta)

    Parameters
    ----------
    case : Case
        The load on a sound bar.
    half_angle_rad : float
        Half the angle between the arms, above 0 and below 90°.
    slope_rad : float
        Slope of the plane of the arms, positive with the brackets higher than the ball.

    Returns
    -------
    Case
        With the side force that the ball adds.

    Raises
    ------
    ValueError
        When the half angle is not between 0 and 90°.

    Breaks down when
        the towed vehicle has swung aside and the one arm lies in line, or the loose arm meets its end stop
        with a blow.

    Source
        An arm that is pinned at both ends carries force along its own line only.

    Examples
    --------
    >>> pull = Case("pulling away", Force(1000.0, 0.0, 0.0), 1.0)
    >>> round(one_arm_alone(pull, half_angle_rad=math.radians(25)).force.left_n)
    466
    """
    if not 0.0 < half_angle_rad < math.pi / 2:
        raise ValueError("the half angle of the bar must lie between 0 and 90 degrees")
    along_n, _, up_n = case.force
    in_plane_n = along_n * math.cos(slope_rad) - up_n * math.sin(slope_rad)
    force = Force(along_n, in_plane_n * math.tan(half_angle_rad), up_n)
    return Case("one latch open", force, case.reserve)


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


CARRIERS = "US motor carriers that tow a motor vehicle on its own wheels"
DESIGN_RULE = "clause 12.3.2.1 of the Australian design rule 62/02, read in a secondary page"
DESIGN_RULE_BINDS = "makers of couplings for trailers to 3.5 t, Australia"
R55_BINDS = "makers of couplings, where UNECE R55 is law"
COMAR_BINDS = "couplings and hitches of trailers, Maryland (US)"


def yardsticks(tow_mass_kg: float, towed_mass_kg: float, *, slope_rad: float = 0.0) -> tuple[Yardstick, ...]:
    """What rules ask, as forces on the coupler: to be shown beside the load cases.

    D = g·T·R/(T + R); 1.5·g·R; 0.5·g·R; 6,500 lbf or 1.3·R; 0.23·R + 1530 and 0.20·R + 500 lbf; least
    breaking loads by class

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
        used as proof of what it was not written for: each says whom it binds. Only the federal tow-bar rule
        speaks of a motor vehicle that is towed on its own wheels.

    Source
        49 CFR 393.71(h): see tow_bar_rule. UNECE R55 form, COMAR 11.13.08.10: see coupling_strength. 1.5·g
        along, 0.5·g across and upright without lasting deformation: clause 12.3.2.1 of the Australian design
        rule 62/02, read in a secondary page.

    Examples
    --------
    >>> [(y.name, round(y.force.along_n)) for y in yardsticks(3500, 2000)][:2]
    [('D-value', 12485), ('1.5 g along', 29430)]
    """
    weight_n = G_R55_M_S2 * towed_mass_kg
    rule = "49 CFR 393.71(h), read in a stored copy of the code"
    comar = "COMAR 11.13.08.10 (Maryland)"
    along = {
        "D-value": (
            d_value_n(tow_mass_kg, towed_mass_kg),
            "UNECE R55 form, read in a secondary page",
            R55_BINDS,
        ),
        "1.5 g along": (ALONG_G * weight_n, DESIGN_RULE, DESIGN_RULE_BINDS),
        "tow-bar rule": (longitudinal_load_n(towed_mass_kg), rule, CARRIERS),
    }
    across = {"0.5 g across": (ACROSS_G * weight_n, DESIGN_RULE, DESIGN_RULE_BINDS)}
    pounds = towed_mass_kg / POUND_KG
    if pounds <= 5_000:
        _, long_lb, _, side_lb = hitch_test_loads_lb(pounds)
        along["hitch test along"] = (long_lb * POUND_FORCE_N, comar, COMAR_BINDS)
        across["hitch test across"] = (side_lb * POUND_FORCE_N, comar, COMAR_BINDS)
    if pounds <= 10_000:
        least = coupling_minimum_lb(pounds)
        along["coupling breaks along"] = (least.longitudinal_lb * POUND_FORCE_N, comar, COMAR_BINDS)
        across["coupling breaks across"] = (least.transverse_lb * POUND_FORCE_N, comar, COMAR_BINDS)
    upright = Force(0.0, 0.0, UPRIGHT_G * weight_n)
    return (
        *(
            Yardstick(name, along_the_bar(force_n, 0.0, slope_rad=slope_rad), source, "read", binds)
            for name, (force_n, source, binds) in along.items()
        ),
        *(
            Yardstick(name, Force(0.0, force_n, 0.0), source, "read", binds)
            for name, (force_n, source, binds) in across.items()
        ),
        Yardstick("0.5 g upright", upright, DESIGN_RULE, "read", DESIGN_RULE_BINDS),
    )


BORNE_UNBENT = ("1.5 g along", "hitch test along", "0.5 g across", "hitch test across", "0.5 g upright")


def borne_unbent(towed_mass_kg: float, *, slope_rad: float = 0.0) -> tuple[Yardstick, ...]:
    """Those yardsticks that a coupling is to bear without lasting deformation: the floor under the cases.

    1.5·g·R along, 0.5·g·R across and upright; 0.23·R + 1530 lbf along, 0.20·R + 500 lbf across, to 5,000 lb

    Parameters
    ----------
    towed_mass_kg : float
        Towed vehicle as loaded, above 0.
    slope_rad : float
        Slope of the bar, positive with the brackets higher than the ball.

    Returns
    -------
    tuple of Yardstick
        One sign of each; they hold for the other as well.

    Raises
    ------
    ValueError
        When the mass is not above zero.

    Breaks down when
        as yardsticks.

    Source
        As yardsticks.

    Examples
    --------
    >>> [mark.name for mark in borne_unbent(2000)]
    ['1.5 g along', 'hitch test along', '0.5 g across', 'hitch test across', '0.5 g upright']
    """
    marks = yardsticks(towed_mass_kg, towed_mass_kg, slope_rad=slope_rad)  # the tow vehicle sets D alone
    return tuple(mark for mark in marks if mark.name in BORNE_UNBENT)


def on_both_brackets(up_n: float) -> BracketLoads:
    """An upright load as if the brackets were the coupling: half on each pin. A bar that is hinged at both
    ends hands none on; jolts of the bar itself, and a coupler that binds on the ball, do.

    U/2 on each

    Parameters
    ----------
    up_n : float
        Upright force, up positive.

    Returns
    -------
    BracketLoads
        Nothing in the arms.

    Breaks down when
        the bar's weight hangs on one side.

    Source
        Symmetry.

    Examples
    --------
    >>> on_both_brackets(1000.0).left.up_n
    500.0
    """
    half = Force(0.0, 0.0, up_n / 2.0)
    return BracketLoads(half, half, 0.0, 0.0)


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
