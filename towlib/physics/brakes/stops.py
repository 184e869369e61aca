"""A stop on a grade with a vehicle behind: the push at the hitch, the axles, which one slides first, and the
jack-knife.
"""

from typing import NamedTuple

from towlib.physics.basics import cases as math
from towlib.physics.basics.road_load import GRAVITY_M_S2, drawbar_pull_n, grade_sine
from towlib.physics.brakes.stopping import stopping_distance_m
from towlib.physics.hitch.bar_geometry import ball_force_of_slope_n
from towlib.physics.weights.axle_loads import axle_loads_on_grade


class Stopper(NamedTuple):
    """The tow vehicle as a brake: what stands on its axles, its shape, how it shares the braking."""

    front_kg: float  # standing, level, bar's weight in
    rear_kg: float
    wheelbase_m: float
    cg_height_m: float
    overhang_m: float  # ball behind the rear axle
    ball_height_m: float
    front_share: float  # of the tow vehicle's own braking
    bar_slope_rad: float = 0.0  # positive with the brackets higher than the ball


class StopForces(NamedTuple):
    """Forces while the pair slows down at a steady rate."""

    deceleration_m_s2: float
    push_n: float  # of the towed vehicle on the ball, forwards; negative when it holds back
    ball_down_n: float  # of a sloped bar on the ball
    front_n: float  # under the axles
    rear_n: float
    front_brake_n: float
    rear_brake_n: float
    front_use: float  # share of the axle's friction that braking uses
    rear_use: float
    rear_side_left_n: float  # friction left at the rear axle for side forces
    rear_side_needed_n: float  # to hold the push of a bar that stands at an angle


def forces_while_stopping(
    tow: Stopper,
    deceleration_m_s2: float,
    *,
    grade: float,
    towed_kg: float,
    towed_brake_n: float,
    friction: float,
    articulation_rad: float = 0.0,
) -> StopForces:
    """Axle loads, push and friction used at a deceleration of the pair.

    B1 = (m1 + m2)·(a - g·sin) - B2; push = m2·(a - g·sin) - B2; use = B/(mu·N); side left = sqrt((mu·N_r)² -
    B_r²); side needed = push·sin(psi)·(L + o)/L

    Parameters
    ----------
    tow : Stopper
        The tow vehicle.
    deceleration_m_s2 : float
        Of the pair along the road, positive slowing down.
    grade : float
        Rise over run, negative downhill.
    towed_kg : float
        Towed vehicle as loaded.
    towed_brake_n : float
        Force of the towed vehicle's own brakes, 0 without.
    friction : float
        Tyre on road, above 0.
    articulation_rad : float
        Angle between the vehicles, 0 straight.

    Returns
    -------
    StopForces
        Rolling and air resistance are left out, which asks a little more of the brakes than the road does.

    Raises
    ------
    ValueError
        When the friction is not above zero, or an axle would lift off the road.

    Breaks down when
        the bar's slack snatches, the nose dips so far that heights change, or the rear axle's brakes are
        eased by the car.

    Source
        Newton's second law for the pair and for the towed vehicle; moments as in axle_loads_on_grade;
        friction circle.

    Examples
    --------
    >>> tow = Stopper(1500, 1300, 3.68, 0.72, 1.32, 0.58, 0.66)
    >>> stop = forces_while_stopping(tow, 4.0, grade=-0.06, towed_kg=1600, towed_brake_n=0.0, friction=0.7)
    >>> round(stop.push_n), round(stop.front_use, 2), round(stop.rear_use, 2)
    (7340, 1.04, 1.08)
    """
    if friction <= 0:
        raise ValueError("the friction between tyre and road must be above zero")
    per_mass = deceleration_m_s2 - GRAVITY_M_S2 * grade_sine(
        grade
    )  # the grade's pull comes on top when it falls
    braking = (tow.front_kg + tow.rear_kg + towed_kg) * per_mass - towed_brake_n
    pull = drawbar_pull_n(
        towed_kg,
        grade,
        rolling_coefficient=0.0,
        acceleration_m_s2=-deceleration_m_s2,
        towed_brake_n=towed_brake_n,
    )
    down = ball_force_of_slope_n(pull, tow.bar_slope_rad)
    axles = axle_loads_on_grade(
        tow.front_kg,
        tow.rear_kg,
        wheelbase_m=tow.wheelbase_m,
        cg_height_m=tow.cg_height_m,
        grade=grade,
        acceleration_m_s2=-deceleration_m_s2,
        hitch_height_m=tow.ball_height_m,
        hitch_pull_n=pull,
        hitch_vertical_n=down,
        overhang_m=tow.overhang_m,
    )
    if min(axles) <= 0:
        raise ValueError("an axle of the tow vehicle would lift off the road")
    front, rear = tow.front_share * braking, (1.0 - tow.front_share) * braking
    left = max(0.0, (friction * axles.rear_n) ** 2 - rear * rear) ** 0.5
    needed = max(0.0, -pull) * math.sin(abs(articulation_rad)) * (1.0 + tow.overhang_m / tow.wheelbase_m)
    return StopForces(
        deceleration_m_s2,
        -pull,
        down,
        axles.front_n,
        axles.rear_n,
        front,
        rear,
        front / (friction * axles.front_n),
        rear / (friction * axles.rear_n),
        left,
        needed,
    )


class HardestStop(NamedTuple):
    """The most a pair can slow down on a grade, and what sets it."""

    deceleration_m_s2: float
    set_by: str  # "brakes", "front axle" or "rear axle"
    slides_first: str  # "front axle" or "rear axle": the one that would slide first with stronger brakes
    front_slides_m_s2: float  # deceleration at which each axle of the tow vehicle begins to slide
    rear_slides_m_s2: float
    brakes_m_s2: float  # what the brakes give with enough friction


def hardest_stop(
    tow: Stopper,
    *,
    tow_deceleration_m_s2: float,
    grade: float,
    towed_kg: float,
    towed_brake_n: float,
    friction: float,
) -> HardestStop:
    """Greatest deceleration of the pair before an axle of the tow vehicle slides or its brakes give no more.

    brakes: (m1·a1 + B2)/(m1 + m2) + g·sin; axle i: the a at which B_i(a) = mu·N_i(a), both straight lines in
      a

    Parameters
    ----------
    tow : Stopper
        The tow vehicle.
    tow_deceleration_m_s2 : float
        What it reaches alone, level, fully braked.
    grade : float
        Rise over run, negative downhill.
    towed_kg : float
        Towed vehicle as loaded.
    towed_brake_n : float
        Force of the towed vehicle's own brakes, 0 without.
    friction : float
        Tyre on road, above 0.

    Returns
    -------
    HardestStop
        The deceleration may be below 0: the pair then does not stop on this grade.

    Raises
    ------
    ValueError
        When the friction is not above zero.

    Breaks down when
        anti-lock brakes shift the share between the axles: an axle then slides later than this.

    Source
        forces_while_stopping at two decelerations, and the straight line through them.

    Examples
    --------
    >>> tow = Stopper(1500, 1300, 3.68, 0.72, 1.32, 0.58, 0.66)
    >>> stop = hardest_stop(
    ...     tow, tow_deceleration_m_s2=7.5, grade=-0.06, towed_kg=1600, towed_brake_n=0.0, friction=0.7
    ... )
    >>> round(stop.deceleration_m_s2, 2), stop.set_by
    (3.75, 'rear axle')
    """
    if friction <= 0:
        raise ValueError("the friction between tyre and road must be above zero")
    tow_kg = tow.front_kg + tow.rear_kg
    brakes = (tow_kg * tow_deceleration_m_s2 + towed_brake_n) / (
        tow_kg + towed_kg
    ) + GRAVITY_M_S2 * grade_sine(grade)

    def too_much(deceleration: float) -> tuple[float, float]:
        """Braking over friction of each axle, in newtons; straight in the deceleration."""
        per_mass = deceleration - GRAVITY_M_S2 * grade_sine(grade)
        braking = (tow_kg + towed_kg) * per_mass - towed_brake_n
        pull = drawbar_pull_n(
            towed_kg,
            grade,
            rolling_coefficient=0.0,
            acceleration_m_s2=-deceleration,
            towed_brake_n=towed_brake_n,
        )
        axles = axle_loads_on_grade(
            tow.front_kg,
            tow.rear_kg,
            wheelbase_m=tow.wheelbase_m,
            cg_height_m=tow.cg_height_m,
            grade=grade,
            acceleration_m_s2=-deceleration,
            hitch_height_m=tow.ball_height_m,
            hitch_pull_n=pull,
            hitch_vertical_n=ball_force_of_slope_n(pull, tow.bar_slope_rad),
            overhang_m=tow.overhang_m,
        )
        return (
            tow.front_share * braking - friction * axles.front_n,
            (1.0 - tow.front_share) * braking - friction * axles.rear_n,
        )

    at_rest, at_one = too_much(0.0), too_much(1.0)
    slides = [
        -zero / (one - zero) if one > zero else math.inf for zero, one in zip(at_rest, at_one, strict=True)
    ]
    first = "rear axle" if slides[1] < slides[0] else "front axle"
    most = min(brakes, *slides)
    return HardestStop(
        most, "brakes" if brakes <= min(slides) else first, first, slides[0], slides[1], brakes
    )


def jackknife_starts(stop: StopForces) -> bool:
    """Whether the rear axle can no longer hold the push behind it.

    push > 0 and side needed >= side left (straight: the rear axle's friction is used up)

    Parameters
    ----------
    stop : StopForces
        From forces_while_stopping, with the angle between the vehicles.

    Returns
    -------
    bool
        True when the towed vehicle pushes and the friction left at the rear axle does not hold its side part.

    Breaks down when
        the driver steers or lets go in time; it marks the onset, not the end.

    Source
        Sign of the hitch force and the friction circle; textbook reasoning, no published threshold.

    Examples
    --------
    >>> tow = Stopper(1500, 1300, 3.68, 0.72, 1.32, 0.58, 0.66)
    >>> case = dict(grade=-0.06, towed_kg=1600, towed_brake_n=0.0, friction=0.7)
    >>> [jackknife_starts(forces_while_stopping(tow, a, **case, articulation_rad=0.2)) for a in (2.0, 4.3)]
    [False, True]
    """
    return stop.push_n > 0 and stop.rear_side_needed_n >= stop.rear_side_left_n


def jackknife_onset_m_s2(
    tow: Stopper,
    *,
    grade: float,
    towed_kg: float,
    towed_brake_n: float,
    friction: float,
    articulation_rad: float = 0.0,
) -> float | None:
    """Deceleration of the pair at which the rear axle can no longer hold the push.

    the smallest a with push > 0 and side needed >= side left, by halving to 0.001 m/s²

    Parameters
    ----------
    tow : Stopper
        The tow vehicle.
    grade : float
        Rise over run, negative downhill.
    towed_kg : float
        Towed vehicle as loaded.
    towed_brake_n : float
        Force of the towed vehicle's own brakes, 0 without.
    friction : float
        Tyre on road, above 0.
    articulation_rad : float
        Angle between the vehicles.

    Returns
    -------
    float or None
        m/s²; None when the towed vehicle does not push by the time the rear axle slides.

    Raises
    ------
    ValueError
        When the friction is not above zero.

    Breaks down when
        as jackknife_starts.

    Source
        jackknife_starts; both sides of it go one way with the deceleration.

    Examples
    --------
    >>> tow = Stopper(1500, 1300, 3.68, 0.72, 1.32, 0.58, 0.66)
    >>> case = dict(grade=-0.06, towed_kg=1600, towed_brake_n=0.0, friction=0.7)
    >>> [round(jackknife_onset_m_s2(tow, **case, articulation_rad=angle), 2) for angle in (0.0, 0.2)]
    [3.75, 3.62]
    """
    limits = hardest_stop(
        tow,
        tow_deceleration_m_s2=0.0,
        grade=grade,
        towed_kg=towed_kg,
        towed_brake_n=towed_brake_n,
        friction=friction,
    )

    def starts(deceleration: float) -> bool:
        return jackknife_starts(
            forces_while_stopping(
                tow,
                deceleration,
                grade=grade,
                towed_kg=towed_kg,
                towed_brake_n=towed_brake_n,
                friction=friction,
                articulation_rad=articulation_rad,
            )
        )

    low, high = 0.0, limits.rear_slides_m_s2 * (1.0 + 1e-9)
    if not math.isfinite(high) or high <= 0 or not starts(high):
        return None
    while high - low > 1e-3:
        middle = 0.5 * (low + high)
        low, high = (low, middle) if starts(middle) else (middle, high)
    return high


def pair_stopping_distance_m(speed_m_s: float, stop: HardestStop, *, reaction_s: float) -> float:
    """Distance from seeing to standing for the hardest stop of a pair.

    d = v·t_r + v²/(2a)

    Parameters
    ----------
    speed_m_s : float
        Speed at the start.
    stop : HardestStop
        From hardest_stop.
    reaction_s : float
        Time before the brakes act.

    Returns
    -------
    float
        Metres.

    Raises
    ------
    ValueError
        When the pair does not stop on this grade (raised by stopping_distance_m).

    Breaks down when
        the brakes are hot (faded), or the road has other friction than assumed.

    Source
        stopping_distance_m.

    Examples
    --------
    >>> tow = Stopper(1500, 1300, 3.68, 0.72, 1.32, 0.58, 0.66)
    >>> stop = hardest_stop(
    ...     tow, tow_deceleration_m_s2=7.5, grade=-0.06, towed_kg=1600, towed_brake_n=0.0, friction=0.7
    ... )
    >>> round(pair_stopping_distance_m(20.0, stop, reaction_s=1.5))
    83
    """
    return stopping_distance_m(speed_m_s, deceleration_m_s2=stop.deceleration_m_s2, reaction_s=reaction_s)
