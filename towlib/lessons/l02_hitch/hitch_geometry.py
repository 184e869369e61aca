"""Lesson 02: what its four panels compute and say."""

import math
from functools import lru_cache
from typing import NamedTuple

from towlib.errors import InputError
from towlib.lessons.declare import with_values
from towlib.lessons.l02_hitch.hitch_bodies import Bodies, bodies_of
from towlib.limits.coupling_limits import (
    HARD_BRAKING_M_S2,
    ball_height_m,
    best_mount_m,
    empty_ball_height_m,
    level_words,
    pair_shape,
    prop_words,
    ramp_sweeps,
    receiver_height_m,
    slope_rad,
)
from towlib.limits.loads import towed_total_kg
from towlib.physics.hitch.articulation import Bend, PairShape, Pose, Sweep, pair_on_bend, sweep
from towlib.physics.hitch.bar_geometry import (
    ArmForces,
    Mount,
    arm_forces_n,
    axle_change_of_ball_force_n,
    ball_force_of_slope_n,
    bar_slope_rad,
    spread_fits,
)
from towlib.physics.hitch.coupling_alone import Prop, prop_height
from towlib.rig.facts import Facts, NotKnown
from towlib.rig.model import Rig, label_of
from towlib.road.route import Route
from towlib.units import degrees_words, show

LEVEL_RAD = math.radians(0.05)  # nobody sees less


class SideView(NamedTuple):
    """Everything the first panel shows."""

    receiver_height_m: float  # loaded
    ball_height_m: float
    bracket_height_m: float
    bar_length_m: float
    squat_m: float
    slope_rad: float
    greatest_slope_rad: float | None  # None: not known
    push_n: float
    on_ball_n: float  # vertical part of the push, positive pressing down
    front_change_n: float
    rear_change_n: float
    best: Mount
    overhang_m: float
    bracket_ahead_m: float
    bodies: Bodies


def side_view(facts: Facts, *, deceleration_m_s2: float) -> SideView:
    """The bar from the side, standing loaded, and what its slope does while braking with a towed vehicle that
    has no brakes of its own.
    """
    receiver_m, ball_m = receiver_height_m(facts, "out"), ball_height_m(facts, "out")
    if ball_m <= 0:
        raise ValueError("with this drop the ball would lie in the road")
    bracket_m, length_m = facts.need("towed_vehicle.bracket_height"), facts.need("tow_bar.length")
    slope = slope_rad(facts, "out")
    push_n = towed_total_kg(facts, "out") * deceleration_m_s2
    on_ball_n = ball_force_of_slope_n(-push_n, slope)
    overhang_m = facts.need("tow_vehicle.ball_behind_rear_axle")
    front_n, rear_n = axle_change_of_ball_force_n(
        on_ball_n, wheelbase_m=facts.need("tow_vehicle.wheelbase"), overhang_m=overhang_m
    )
    best_m = best_mount_m(facts, "out")
    return SideView(
        receiver_m,
        ball_m,
        bracket_m,
        length_m,
        facts.need("hitch.receiver_height") - receiver_m,
        slope,
        facts.have("tow_bar.greatest_slope"),
        push_n,
        on_ball_n,
        front_n,
        rear_n,
        Mount(best_m, bar_slope_rad(receiver_m + best_m, bracket_m, bar_length_m=length_m)),
        overhang_m,
        facts.need("towed_vehicle.bracket_ahead_of_front_axle"),
        bodies_of(facts),
    )


def side_view_words(result: SideView, system: str) -> str:
    """The sentence under the first panel."""
    steep = abs(result.slope_rad)
    level = steep < LEVEL_RAD
    slope = (
        "The bar lies level"
        if level
        else (
            f"The bar slopes {math.degrees(steep):.1f}°"
            f" ({'brackets' if result.slope_rad > 0 else 'ball'} higher)"
        )
    )
    if result.push_n == 0:
        push = "standing, it does nothing to the ball"
    elif level:
        push = f"the push of {show(result.push_n, 'force', system)} does nothing to the ball"
    else:
        push = (
            f"the push of {show(result.push_n, 'force', system)} {_does(result)} with"
            f" {show(abs(result.on_ball_n), 'force', system)}: front axle"
            f" {_signed(result.front_change_n, system)}, rear axle {_signed(result.rear_change_n, system)}"
        )
    return (
        f"{slope}, {_angle_answer(steep, result.greatest_slope_rad, 'the bar')}; {push}. Of the mounts sold,"
        f" {mount_words(result.best, system)} would come nearest to level."
    )


def side_view_rooms(result: SideView) -> dict[str, float]:
    """Room of the bar's slope."""
    allowed = result.greatest_slope_rad
    return {} if allowed is None else {"slope": allowed - abs(result.slope_rad)}


def _does(result: SideView) -> str:
    return "presses the ball down" if result.on_ball_n > 0 else "lifts the ball"


def _angle_answer(angle_rad: float, allowed_rad: float | None, what: str) -> str:
    """Within, over or not known, for an angle that a maker limits."""
    if allowed_rad is None:
        return f"what {what} allows is not known"
    allowed, off = f"{math.degrees(allowed_rad):.0f}°", abs(math.degrees(allowed_rad - angle_rad))
    return f"{'within' if angle_rad <= allowed_rad else 'over'} {what}'s {allowed} by {off:.1f}°"


def mount_words(mount: Mount, system: str) -> str:
    """A ball mount in words, with the slope it leaves."""
    return f"{_kind_of_mount(mount.change_m, system)} ({degrees_words(mount.slope_rad)})"


def _kind_of_mount(change_m: float, system: str) -> str:
    if abs(change_m) < 1e-9:
        return "a straight mount"
    return f"a {'rise' if change_m > 0 else 'drop'} of {show(abs(change_m), 'size', system)}"


def _signed(force_n: float, system: str) -> str:
    return f"{'+' if force_n >= 0 else '−'}{show(abs(force_n), 'force', system)}"


def side_view_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the first panel."""

    def with_mount(change_m: float) -> SideView:
        return side_view(
            with_values(facts, {"hitch.ball_mount_change": change_m}), deceleration_m_s2=HARD_BRAKING_M_S2
        )

    best_m = best_mount_m(facts, "out")
    best, other_m = with_mount(best_m), 0.0 if abs(best_m) > 1e-9 else 4 * 0.0254
    other = with_mount(other_m)
    empty = with_values(facts, {"carried.tow.mass": 0.0})
    sinks = receiver_height_m(empty, "out") - receiver_height_m(facts, "out")
    front = "loses" if other.front_change_n < 0 else "gains"
    return (
        f"People and cargo sink the receiver by {show(sinks, 'size', system)}, so a mount chosen empty is"
        f" wrong on the trip. With {_kind_of_mount(other_m, system)} the bar slopes"
        f" {degrees_words(other.slope_rad)}, and the push of {show(other.push_n, 'force', system)}"
        f" {_does(other)} with {show(abs(other.on_ball_n), 'force', system)}; the front axle {front}"
        f" {show(abs(other.front_change_n), 'force', system)} just when it must steer and brake. **Level the"
        f" bar loaded**: {mount_words(best.best, system)} leaves"
        f" {show(abs(best.on_ball_n), 'force', system)}. One step too far, and braking turns the force round."
    )


SPREADS_M = tuple(0.20 + 0.02 * i for i in range(56))


class Spread(NamedTuple):
    """Everything the second panel shows."""

    spread_m: float
    bar_length_m: float
    pull_n: float
    side_n: float
    half_angle_rad: float
    arms: ArmForces
    most_n: tuple[float, ...]  # the larger arm force at each of SPREADS_M
    pull_only_n: tuple[float, ...]
    fits: bool | None
    narrowest_m: float | None
    widest_m: float | None
    front_width_m: float


def bracket_spread(facts: Facts, *, pull_n: float, side_n: float) -> Spread:
    """Forces in both arms for a pull (or push) and a side load at the ball, against the bracket spread."""
    spread_m, length_m = facts.need("towed_vehicle.bracket_spread"), facts.need("tow_bar.length")
    if length_m < spread_m:
        raise ValueError(
            f"a bar {length_m:.2f} m long is shorter than the spread of its brackets, {spread_m:.2f} m"
        )

    def arms(spread: float, side: float) -> ArmForces:
        return arm_forces_n(pull_n, side, half_angle_rad=math.atan2(spread / 2.0, length_m))

    def largest(side: float) -> tuple[float, ...]:
        return tuple(max(map(abs, arms(s, side))) for s in SPREADS_M)

    narrowest, widest = facts.have("tow_bar.narrowest_spread"), facts.have("tow_bar.widest_spread")
    return Spread(
        spread_m,
        length_m,
        pull_n,
        side_n,
        math.atan2(spread_m / 2.0, length_m),
        arms(spread_m, side_n),
        largest(side_n),
        largest(0.0),
        spread_fits(spread_m, narrowest_m=narrowest, widest_m=widest),
        narrowest,
        widest,
        facts.need("towed_vehicle.body_width"),
    )


def bracket_spread_words(result: Spread, system: str) -> str:
    """The sentence under the second panel."""

    def arm(force_n: float) -> str:
        return f"{'pulled' if force_n >= 0 else 'pushed'} with {show(abs(force_n), 'force', system)}"

    if result.fits is None:
        fit = "what spread the bar's maker allows is not known"
    elif result.fits:
        fit = "this spread is within what the bar's maker allows"
    elif result.narrowest_m is not None and result.spread_m < result.narrowest_m:
        fit = f"too narrow for the bar by {show(result.narrowest_m - result.spread_m, 'size', system)}"
    else:
        widest = result.widest_m or 0.0
        fit = f"over the bar's widest spread by {show(result.spread_m - widest, 'size', system)}"
    return (
        f"Left arm {arm(result.arms.left_n)}, right arm {arm(result.arms.right_n)}; half the angle between"
        f" them {math.degrees(result.half_angle_rad):.1f}°; {fit}."
    )


SIDE_N, PUSH_N = 1500.0, 7500.0  # of a quick curve and of hard braking, for what one should have seen


def bracket_spread_rooms(result: Spread) -> dict[str, float]:
    """Room of the spread at both ends that the bar's maker names."""
    narrow, wide = result.narrowest_m, result.widest_m
    return {
        **({} if narrow is None else {"narrow": result.spread_m - narrow}),
        **({} if wide is None else {"wide": wide - result.spread_m}),
    }


def bracket_spread_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the second panel."""
    widest = min(1.2, facts.need("tow_bar.length"))

    def most(spread_m: float, pull_n: float, side_n: float) -> float:
        moved = with_values(facts, {"towed_vehicle.bracket_spread": spread_m})
        return max(map(abs, bracket_spread(moved, pull_n=pull_n, side_n=side_n).arms))

    wide, narrow = most(widest, 0.0, SIDE_N), most(widest / 4.0, 0.0, SIDE_N)
    push_wide, push_narrow = most(widest, -PUSH_N, 0.0), most(widest / 4.0, -PUSH_N, 0.0)
    return (
        f"Set the pull to nothing. A side force of {show(SIDE_N, 'force', system)} loads each arm with"
        f" {show(wide, 'force', system)} at a spread of {show(widest, 'size', system)}, one pulled and one"
        f" pushed; at a quarter of the spread with {show(narrow, 'force', system)}. A straight push is the"
        f" other way round, and hardly changes: {show(push_wide, 'force', system)} wide,"
        f" {show(push_narrow, 'force', system)} narrow. **Wide costs almost nothing; narrow multiplies every"
        " curve.**"
    )


BENDS = {"dip": (-0.5, 0.5), "crest": (0.5, -0.5), "foot of a ramp": (0.0, 1.0), "top of a ramp": (1.0, 0.0)}


class OnBend(NamedTuple):
    """Everything the third panel shows."""

    shape: PairShape
    bend: Bend
    pose: Pose
    swept: Sweep
    place_m: float
    greatest_pitch_rad: float | None  # None: not known
    bodies: Bodies


@lru_cache(maxsize=32)
def _swept(shape: PairShape, bend: Bend) -> Sweep:
    return sweep(shape, bend, step_m=0.1)


def on_bend(facts: Facts, *, road: str, grade_change: float, radius_m: float, place_m: float) -> OnBend:
    """The pair at one place of a crest, dip or ramp, and the extremes of the whole drive over it."""
    shape = pair_shape(facts, "out")
    before, after = (share * grade_change for share in BENDS[road])
    bend = Bend(before, after, radius_m)
    return OnBend(
        shape,
        bend,
        pair_on_bend(shape, bend, rear_axle_x_m=[place_m]),
        _swept(shape, bend),
        place_m,
        facts.have("tow_bar.greatest_pitch"),
        bodies_of(facts),
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
    tilt = _tilt_rad(swept)
    here = degrees_words(float(result.pose.tilt_at_ball_rad[0]))
    return (
        f"Here the bar tilts {here} on the ball. Over the whole drive {ground}, and the bar tilts up to"
        f" {math.degrees(tilt):.1f}°, {_angle_answer(tilt, result.greatest_pitch_rad, 'the coupler')}."
    )


def _tilt_rad(swept: Sweep) -> float:
    return max(swept.tilt_up_rad, -swept.tilt_down_rad)


def on_bend_rooms(result: OnBend) -> dict[str, float]:
    """Room above the road, and of the coupler's tilt."""
    swept, allowed = result.swept, result.greatest_pitch_rad
    ground = {"ground": min(swept.hitch_clearance_m, swept.bar_clearance_m)}
    return ground if allowed is None else {**ground, "tilt": allowed - _tilt_rad(swept)}


def on_bend_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the third panel."""

    def least(overhang_m: float, grade_change: float, radius_m: float) -> tuple[OnBend, float]:
        moved = with_values(facts, {"tow_vehicle.ball_behind_rear_axle": overhang_m})
        found = on_bend(
            moved, road="foot of a ramp", grade_change=grade_change, radius_m=radius_m, place_m=0.0
        )
        return found, found.swept.hitch_clearance_m

    overhang = facts.need("tow_vehicle.ball_behind_rear_axle")
    ramp, room = least(overhang, 0.12, 6.0)
    _, longer = least(overhang + 0.4, 0.12, 6.0)
    _, rounder = least(overhang, 0.12, 40.0)
    tilt = _tilt_rad(ramp.swept)
    return (
        f"At the foot of a 12 % ramp {_left_words(room, system)} of the hitch's"
        f" {show(ramp.shape.lowest_hitch_height_m, 'size', system)} above the road, with the rear wheels at"
        f" the bend and the towed vehicle still on the level; the bar tilts {math.degrees(tilt):.1f}°. A ball"
        f" {show(0.4, 'size', system)} further back takes more: {_left_words(longer, system)}; a bend of"
        f" {show(40.0, 'length', system)} radius less: {_left_words(rounder, system)}. **The overhang is the"
        " lever**; a crest lifts the hitch and tilts the bar the other way."
    )


def _left_words(room_m: float, system: str) -> str:
    if room_m < 0:
        return f"nothing is left (over by {show(-room_m, 'size', system)})"
    return f"{show(room_m, 'size', system)} are left"


class Propped(NamedTuple):
    """Everything the fourth panel shows."""

    prop: Prop
    ball_height_m: float  # tow vehicle empty
    sinks_m: float | None  # when it is loaded; None: not known
    ball_diameter_m: float
    bracket_height_m: float
    bar_length_m: float
    bar_depth_m: float
    prop_behind_coupler_m: float
    towed_nose_m: float  # of the towed vehicle ahead of the pins, may be negative
    towed_height_m: float


def propped(facts: Facts, *, prop_behind_coupler_m: float, gap_m: float) -> Propped:
    """How high to rest the bar so that the ball passes beneath it; the ball stands highest when the tow
    vehicle is empty.
    """
    ball_m = empty_ball_height_m(facts)
    if ball_m <= 0:
        raise ValueError("with this drop the ball would lie in the road")
    bracket_m, length_m = facts.need("towed_vehicle.bracket_height"), facts.need("tow_bar.length")
    diameter_m, depth_m = facts.need("hitch.ball_diameter"), facts.need("tow_bar.depth")
    try:
        sinks_m = ball_m - ball_height_m(facts, "out")
    except NotKnown:  # the springs; the prop does not hang on them
        sinks_m = None
    prop = prop_height(
        ball_m,
        bracket_m,
        ball_diameter_m=diameter_m,
        bar_length_m=length_m,
        bar_depth_m=depth_m,
        prop_behind_coupler_m=prop_behind_coupler_m,
        gap_m=gap_m,
    )
    return Propped(
        prop,
        ball_m,
        sinks_m,
        diameter_m,
        bracket_m,
        length_m,
        depth_m,
        prop_behind_coupler_m,
        facts.need("towed_vehicle.front_overhang") - facts.need("towed_vehicle.bracket_ahead_of_front_axle"),
        facts.need("towed_vehicle.body_height"),
    )


def propped_words(result: Propped, system: str) -> str:
    """The sentence under the fourth panel."""
    return (
        f"Rest the bar's underside at {show(result.prop.prop_height_m, 'size', system)},"
        f" {show(result.prop_behind_coupler_m, 'size', system)} behind the coupler: the coupler's lower edge"
        f" then stands {show(result.prop.coupler_edge_height_m, 'size', system)} above the road, and comes"
        f" down {show(result.prop.lift_down_m, 'size', system)} onto the ball of an empty tow vehicle."
    )


def propped_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the fourth panel."""
    near, far = (propped(facts, prop_behind_coupler_m=at, gap_m=0.02) for at in (0.1, 0.7))
    further = far.prop.prop_height_m - near.prop.prop_height_m
    by = f"{show(abs(further), 'size', system)} {'higher' if further > 0 else 'lower'}"
    moved = "needs the same height" if abs(further) < 0.002 else f"must be {by}, because the bar slopes"
    sinks = far.sinks_m or 0.0
    loaded = (
        ""
        if far.sinks_m is None
        else (
            f" Loaded, its ball stands {show(abs(sinks), 'size', system)}"
            f" {'lower' if sinks >= 0 else 'higher'}, and the coupler comes down"
            f" {show(far.prop.lift_down_m + sinks, 'size', system)}."
        )
    )
    return (
        "The coupler's edge must clear the top of the ball by a finger or two: with"
        f" {show(0.02, 'size', system)} of air it stands"
        f" {show(near.prop.coupler_edge_height_m, 'size', system)} above the road. A prop"
        f" {show(0.6, 'size', system)} further back {moved}. The picture is for an empty tow"
        f" vehicle.{loaded} **Measure the ball with the load that is in when you couple.**"
    )


def own_hitch_words(rig: Rig, road: Route, system: str) -> list[str]:
    """What the plan says of bar, ramp and prop of a rig."""
    facts = Facts(rig)
    said = [f"{way}: {level_words(facts, key)}" for way, key in (("Way out", "out"), ("Way back", "back"))]
    try:
        dip, crest = ramp_sweeps(facts, "out")
        least = min(dip.hitch_clearance_m, dip.bar_clearance_m)
        said.append(
            f"Sharpest ramp: the bar tilts {degrees_words(dip.tilt_up_rad)} at its foot and"
            f" {degrees_words(crest.tilt_down_rad)} at its top; the {dip.nearest} comes nearest the road,"
            f" {show(least, 'size', system)} above it."
            if least >= 0
            else f"Sharpest ramp: the {dip.nearest} touches the road, over by {show(-least, 'size', system)}."
        )
    except NotKnown as missing:
        said.append(f"Clearance on the sharpest ramp: not known ({_named(missing.reason)}).")
    return [*said, prop_words(facts)]


def _named(reason: str) -> str:
    """A missing field by its label, any other reason as it is."""
    try:
        return label_of(reason)
    except (InputError, ValueError):
        return reason
