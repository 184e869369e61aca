"""Lesson 02: what its four panels compute and say. The vehicles around the sliders are the invented
comfortable ones.
"""

import math
from functools import lru_cache
from typing import NamedTuple

from towlib.limits.coupling_limits import STEPS_M
from towlib.paths import DATA
from towlib.physics.hitch.articulation import Bend, PairShape, Pose, Sweep, pair_on_bend, sweep
from towlib.physics.hitch.bar_geometry import (
    ArmForces,
    Mount,
    arm_forces_n,
    axle_change_of_ball_force_n,
    ball_force_of_slope_n,
    ball_height_m,
    bar_slope_rad,
    half_angle_rad,
    most_level_mount,
    receiver_drop_m,
    spread_fits,
)
from towlib.physics.hitch.coupling_alone import Prop, prop_height
from towlib.physics.weights.axle_loads import axle_loads
from towlib.rig.model import Rig, load_rig
from towlib.units import degrees_words, show

DEMO = DATA / "rigs" / "demo_comfortable.toml"
LOAD_BEHIND_FRONT_AXLE_M = 3.4  # middle of the invented pickup's bed


@lru_cache(maxsize=1)
def demo_rig() -> Rig:
    """The invented rig of this lesson."""
    return load_rig(DEMO)


class SideView(NamedTuple):
    """Everything the first panel shows."""

    receiver_height_m: float  # loaded
    ball_height_m: float
    bracket_height_m: float
    bar_length_m: float
    squat_m: float
    slope_rad: float
    push_n: float
    on_ball_n: float  # vertical part of the push, positive pressing down
    front_change_n: float
    rear_change_n: float
    best: Mount


def side_view(
    *,
    receiver_height_m: float,
    ball_mount_change_m: float,
    bed_load_kg: float,
    bracket_height_m: float,
    bar_length_m: float,
    towed_kg: float,
    deceleration_m_s2: float,
    load_behind_front_axle_m: float = LOAD_BEHIND_FRONT_AXLE_M,
) -> SideView:
    """The bar from the side, standing loaded, and what its slope does while braking with a towed vehicle that
    has no brakes of its own.
    """
    tow = demo_rig().tow_vehicle
    loads = axle_loads(
        tow.front_axle_empty,
        tow.rear_axle_empty,
        wheelbase_m=tow.wheelbase,
        items=[(bed_load_kg, load_behind_front_axle_m)],
    )
    squat_m = receiver_drop_m(
        loads.front_kg - tow.front_axle_empty,
        loads.rear_kg - tow.rear_axle_empty,
        front_rate_n_m=tow.front_spring_rate,
        rear_rate_n_m=tow.rear_spring_rate,
        wheelbase_m=tow.wheelbase,
        overhang_m=tow.ball_behind_rear_axle,
    )
    ball_m = ball_height_m(receiver_height_m, ball_mount_change_m, drop_m=squat_m)
    slope = bar_slope_rad(ball_m, bracket_height_m, bar_length_m=bar_length_m)
    push_n = towed_kg * deceleration_m_s2
    on_ball_n = ball_force_of_slope_n(-push_n, slope)
    front_n, rear_n = axle_change_of_ball_force_n(
        on_ball_n, wheelbase_m=tow.wheelbase, overhang_m=tow.ball_behind_rear_axle
    )
    best = most_level_mount(
        receiver_height_m - squat_m, bracket_height_m, bar_length_m=bar_length_m, steps_m=STEPS_M
    )
    return SideView(
        receiver_height_m - squat_m,
        ball_m,
        bracket_height_m,
        bar_length_m,
        squat_m,
        slope,
        push_n,
        on_ball_n,
        front_n,
        rear_n,
        best,
    )


def side_view_words(result: SideView, system: str) -> str:
    """The sentence under the first panel."""
    higher = "brackets higher" if result.slope_rad > 0 else "ball higher"
    level = abs(math.degrees(result.slope_rad)) < 0.05
    slope = (
        "The bar lies level"
        if level
        else f"The bar slopes {abs(math.degrees(result.slope_rad)):.1f}° ({higher})"
    )
    does = "presses the ball down" if result.on_ball_n > 0 else "lifts the ball"
    push = (
        "standing, it does nothing to the ball"
        if result.push_n == 0
        else (
            f"the push of {show(result.push_n, 'force', system)} does nothing to the ball"
            if level
            else (
                f"the push of {show(result.push_n, 'force', system)} {does} with"
                f" {show(abs(result.on_ball_n), 'force', system)}: front axle"
                f" {_signed(result.front_change_n, system)}, rear axle"
                f" {_signed(result.rear_change_n, system)}"
            )
        )
    )
    return (
        f"{slope}; {push}. Of the mounts sold, {mount_words(result.best, system)} would come nearest to"
        " level."
    )


def mount_words(mount: Mount, system: str) -> str:
    """A ball mount in words, with the slope it leaves."""
    if abs(mount.change_m) < 1e-9:
        kind = "a straight one"
    else:
        kind = f"a {'rise' if mount.change_m > 0 else 'drop'} of {show(abs(mount.change_m), 'size', system)}"
    return f"{kind} ({degrees_words(mount.slope_rad)})"


def _signed(force_n: float, system: str) -> str:
    return f"{'+' if force_n >= 0 else '−'}{show(abs(force_n), 'force', system)}"


SPREADS_M = tuple(0.20 + 0.02 * i for i in range(56))


class Spread(NamedTuple):
    """Everything the second panel shows."""

    spread_m: float
    arm_length_m: float
    pull_n: float
    side_n: float
    half_angle_rad: float
    arms: ArmForces
    most_n: tuple[float, ...]  # the larger arm force at each of SPREADS_M that the arms reach
    pull_only_n: tuple[float, ...]
    fits: bool | None
    narrowest_m: float
    widest_m: float


def bracket_spread(*, spread_m: float, arm_length_m: float, pull_n: float, side_n: float) -> Spread:
    """Forces in both arms for a pull (or push) and a side load at the ball, against the bracket spread."""
    bar = demo_rig().tow_bar
    beta = half_angle_rad(spread_m, arm_length_m=arm_length_m)

    def largest(side: float) -> tuple[float, ...]:
        return tuple(
            max(
                abs(f)
                for f in arm_forces_n(
                    pull_n, side, half_angle_rad=half_angle_rad(s, arm_length_m=arm_length_m)
                )
            )
            for s in SPREADS_M
        )

    return Spread(
        spread_m,
        arm_length_m,
        pull_n,
        side_n,
        beta,
        arm_forces_n(pull_n, side_n, half_angle_rad=beta),
        largest(side_n),
        largest(0.0),
        spread_fits(spread_m, narrowest_m=bar.narrowest_spread, widest_m=bar.widest_spread),
        bar.narrowest_spread,
        bar.widest_spread,
    )


def bracket_spread_words(result: Spread, system: str) -> str:
    """The sentence under the second panel."""

    def arm(force_n: float) -> str:
        return f"{'pulled' if force_n >= 0 else 'pushed'} with {show(abs(force_n), 'force', system)}"

    if result.fits:
        fit = "this spread is within what the invented bar's maker allows"
    elif result.spread_m < result.narrowest_m:
        fit = (
            "too narrow for the invented bar by"
            f" {show(result.narrowest_m - result.spread_m, 'size', system)}: refused"
        )
    else:
        fit = (
            "over the invented bar's widest spread by"
            f" {show(result.spread_m - result.widest_m, 'size', system)}: refused"
        )
    return (
        f"Left arm {arm(result.arms.left_n)}, right arm {arm(result.arms.right_n)}; half angle"
        f" {math.degrees(result.half_angle_rad):.1f}°; {fit}."
    )


BENDS = {"dip": (-0.5, 0.5), "crest": (0.5, -0.5), "foot of a ramp": (0.0, 1.0), "top of a ramp": (1.0, 0.0)}


class OnBend(NamedTuple):
    """Everything the third panel shows."""

    shape: PairShape
    bend: Bend
    pose: Pose
    swept: Sweep
    place_m: float


def on_bend(
    *,
    road: str,
    grade_change: float,
    radius_m: float,
    place_m: float,
    overhang_m: float,
    lowest_hitch_height_m: float,
) -> OnBend:
    """The pair at one place of a crest, dip or ramp, and the extremes of the whole drive over it."""
    rig = demo_rig()
    shape = PairShape(
        rig.tow_vehicle.wheelbase,
        overhang_m,
        0.56,
        lowest_hitch_height_m,
        rig.tow_bar.length,
        rig.tow_bar.depth,
        rig.towed_vehicle.bracket_height,
        rig.towed_vehicle.bracket_ahead_of_front_axle,
        rig.towed_vehicle.wheelbase,
    )
    before, after = (share * grade_change for share in BENDS[road])
    bend = Bend(before, after, radius_m)
    return OnBend(
        shape,
        bend,
        pair_on_bend(shape, bend, rear_axle_x_m=[place_m]),
        sweep(shape, bend, step_m=0.1),
        place_m,
    )


def on_bend_words(result: OnBend, system: str) -> str:
    """The sentence under the third panel."""
    swept = result.swept
    least = min(swept.hitch_clearance_m, swept.bar_clearance_m)
    part = "lowest point of the hitch" if swept.nearest == "hitch" else "bar"
    ground = (
        f"the {part} touches the road, over by {show(-least, 'size', system)}"
        if least < 0
        else f"the {part} comes nearest the road, {show(least, 'size', system)} above it"
    )
    tilt = max(swept.tilt_up_rad, -swept.tilt_down_rad)
    allowed = demo_rig().tow_bar.greatest_pitch
    answer = (
        f"within the invented coupler's {math.degrees(allowed):.0f}°"
        if tilt <= allowed
        else (
            f"over the invented coupler's {math.degrees(allowed):.0f}° by {math.degrees(tilt - allowed):.1f}°"
        )
    )
    here = degrees_words(float(result.pose.tilt_at_ball_rad[0]))
    return (
        f"Here the bar tilts {here} on the ball. Over the whole drive {ground}, and the bar tilts up to"
        f" {math.degrees(tilt):.1f}°, {answer}."
    )


class Propped(NamedTuple):
    """Everything the fourth panel shows."""

    prop: Prop
    ball_height_m: float
    ball_diameter_m: float
    bracket_height_m: float
    bar_length_m: float
    bar_depth_m: float
    prop_behind_coupler_m: float


def propped(
    *,
    ball_height_m: float,
    bracket_height_m: float,
    bar_length_m: float,
    prop_behind_coupler_m: float,
    gap_m: float,
) -> Propped:
    """How high to rest the bar so that the ball passes beneath it."""
    rig = demo_rig()
    prop = prop_height(
        ball_height_m,
        bracket_height_m,
        ball_diameter_m=rig.hitch.ball_diameter,
        bar_length_m=bar_length_m,
        bar_depth_m=rig.tow_bar.depth,
        prop_behind_coupler_m=prop_behind_coupler_m,
        gap_m=gap_m,
    )
    return Propped(
        prop,
        ball_height_m,
        rig.hitch.ball_diameter,
        bracket_height_m,
        bar_length_m,
        rig.tow_bar.depth,
        prop_behind_coupler_m,
    )


def propped_words(result: Propped, system: str) -> str:
    """The sentence under the fourth panel."""
    return (
        f"Rest the bar's underside at {show(result.prop.prop_height_m, 'size', system)},"
        f" {show(result.prop_behind_coupler_m, 'size', system)} behind the coupler: the coupler's lower edge"
        f" then stands {show(result.prop.coupler_edge_height_m, 'size', system)} above the road, and comes"
        f" down {show(result.prop.lift_down_m, 'size', system)} onto the ball."
    )
