"""The bar and the ball: slope, bracket spread, vertical load, tilt and clearance over a ramp, D-value."""

from towlib.limits.limit import WAYS, Rule, rating
from towlib.limits.loads import (
    ball_load_kg,
    own_deceleration_m_s2,
    tow_axles_kg,
    tow_total_kg,
    towed_total_kg,
)
from towlib.physics.basics import cases as math
from towlib.physics.basics.road_load import GRAVITY_M_S2, grade_sine
from towlib.physics.hitch.articulation import Bend, PairShape, Sweep, sweeps
from towlib.physics.hitch.bar_geometry import (
    ball_force_of_slope_n,
    bar_slope_rad,
    most_level_mount,
    receiver_drop_m,
)
from towlib.physics.hitch.coupling_alone import prop_height
from towlib.physics.hitch.coupling_strength import d_value_n
from towlib.rig.facts import Facts, NotKnown

BAR_MAKER, PLATE = "bar maker's instructions", "plate on the part"
HARD_BRAKING_M_S2 = 0.5 * GRAVITY_M_S2  # a yardstick for pictures; limits take the rig's own braking
STEPS_M = tuple(
    step * 0.0254 for step in (0, 1, 2, 3, 4, 5, 6, 8, 10)
)  # common practice, no source: steps that are sold


def receiver_height_m(facts: Facts, way: str) -> float:
    """Middle of the receiver above the road, tow vehicle loaded."""
    front, rear = tow_axles_kg(facts, way)
    drop = receiver_drop_m(
        front - facts.need("tow_vehicle.front_axle_empty"),
        rear - facts.need("tow_vehicle.rear_axle_empty"),
        front_rate_n_m=facts.need("tow_vehicle.front_spring_rate"),
        rear_rate_n_m=facts.need("tow_vehicle.rear_spring_rate"),
        wheelbase_m=facts.need("tow_vehicle.wheelbase"),
        overhang_m=facts.need("tow_vehicle.ball_behind_rear_axle"),
    )
    return facts.need("hitch.receiver_height") - drop


def ball_height_m(facts: Facts, way: str) -> float:
    """Ball centre above the road, tow vehicle loaded, in metres."""
    moved = facts.moved("hitch.ball_height")
    return receiver_height_m(facts, way) + facts.need("hitch.ball_mount_change") if moved is None else moved


def empty_ball_height_m(facts: Facts) -> float:
    """Ball centre above the road with nothing in the tow vehicle: the highest it stands when you couple."""
    height: float = facts.need("hitch.receiver_height") + facts.need("hitch.ball_mount_change")
    return height


def slope_rad(facts: Facts, way: str) -> float:
    """Slope of the bar standing loaded; positive with the brackets higher than the ball."""
    if (moved := facts.moved("tow_bar.slope")) is not None:
        return moved
    try:
        return bar_slope_rad(
            ball_height_m(facts, way),
            facts.need("towed_vehicle.bracket_height"),
            bar_length_m=facts.need("tow_bar.length"),
        )
    except ValueError as error:
        raise NotKnown(str(error)) from None


def best_mount_m(facts: Facts, way: str) -> float:
    """Rise (+) or drop (-), in steps that are sold, that makes the loaded bar most nearly level."""
    try:
        return most_level_mount(
            receiver_height_m(facts, way),
            facts.need("towed_vehicle.bracket_height"),
            bar_length_m=facts.need("tow_bar.length"),
            steps_m=STEPS_M,
        ).change_m
    except ValueError as error:
        raise NotKnown(str(error)) from None


def best_mount_both_ways_m(facts: Facts) -> float:
    """The step that makes the bar most nearly level on the way on which it is steeper: by the mean of both
    heights.
    """
    heights = [receiver_height_m(facts, way) for way in WAYS]
    return most_level_mount(
        sum(heights) / len(heights),
        facts.need("towed_vehicle.bracket_height"),
        bar_length_m=facts.need("tow_bar.length"),
        steps_m=STEPS_M,
    ).change_m


def pair_shape(facts: Facts, way: str) -> PairShape:
    """The pair in its side view, loaded."""
    receiver = receiver_height_m(facts, way)
    sunk = facts.need("hitch.receiver_height") - receiver
    return PairShape(
        facts.need("tow_vehicle.wheelbase"),
        facts.need("tow_vehicle.ball_behind_rear_axle"),
        receiver + facts.need("hitch.ball_mount_change"),
        facts.need("hitch.lowest_point_height") - sunk,
        facts.need("tow_bar.length"),
        facts.need("tow_bar.depth"),
        facts.need("towed_vehicle.bracket_height"),
        facts.need("towed_vehicle.bracket_ahead_of_front_axle"),
        facts.need("towed_vehicle.wheelbase"),
    )


def ramp_sweeps(facts: Facts, way: str) -> tuple[Sweep, ...]:
    """The pair over the sharpest change of grade of the way, as a dip and as a crest."""
    change, radius = facts.need("conditions.ramp_change"), facts.need("conditions.ramp_radius")
    shape = pair_shape(facts, way)
    try:
        return facts.alike(
            ("ramp", shape, change, radius),
            lambda: sweeps(shape, (Bend(0.0, change, radius), Bend(0.0, -change, radius))),
        )
    except ValueError as error:
        raise NotKnown(str(error)) from None


def _greatest_tilt(facts: Facts, way: str) -> float:
    return max(max(over.tilt_up_rad, -over.tilt_down_rad) for over in ramp_sweeps(facts, way))


def _height_lost_m(facts: Facts, way: str) -> float:
    """How much of the hitch's height above the road the ramp takes away, the bar counted too."""
    return _lowest_m(facts, way) - min(
        min(over.hitch_clearance_m, over.bar_clearance_m) for over in ramp_sweeps(facts, way)
    )


def _lowest_m(facts: Facts, way: str) -> float:
    return pair_shape(facts, way).lowest_hitch_height_m


def _steepness(facts: Facts, way: str) -> float:
    return abs(slope_rad(facts, way))


def vertical_kg(facts: Facts, way: str, *, descent: float) -> float:
    """Largest vertical load on the receiver: standing, or braking with an unbraked push along the sloped bar,
    at the rig's own deceleration down a grade (0 or less).
    """
    standing_n = ball_load_kg(facts) * GRAVITY_M_S2
    slowing = own_deceleration_m_s2(facts, way) - GRAVITY_M_S2 * grade_sine(descent)
    push_n = towed_total_kg(facts, way) * slowing
    slope = slope_rad(facts, way)
    both = (standing_n + ball_force_of_slope_n(sign * push_n, slope) for sign in (1.0, -1.0))
    return max(standing_n, *(abs(force) for force in both)) / GRAVITY_M_S2


def pair_d_value_n(facts: Facts, way: str) -> float:
    """By the permissible masses of both vehicles, as the regulation counts them, or more if this trip is
    heavier.
    """
    tow_kg = max(facts.need("tow_vehicle.gvwr"), tow_total_kg(facts, way))
    return d_value_n(tow_kg, max(facts.need("towed_vehicle.gvwr"), towed_total_kg(facts, way)))


_RULES = (
    Rule(
        "bar_slope",
        "Slope of the bar, loaded",
        "angle",
        _steepness,
        rating("tow_bar.greatest_slope"),
        BAR_MAKER,
        "Choose the ball mount's rise or drop so that the loaded bar is as near level as can be had; a ball"
        " mount may be turned over where its maker allows it.",
    ),
    Rule(
        "bracket_spread_least",
        "Bracket spread, at least",
        "size",
        rating("tow_bar.narrowest_spread"),
        rating("towed_vehicle.bracket_spread"),
        "tape; narrower brackets multiply the arm forces of a side load",
        "Set the brackets further apart: too narrow for this bar is refused.",
        per_way=False,
    ),
    Rule(
        "bracket_spread_most",
        "Bracket spread, at most",
        "size",
        rating("towed_vehicle.bracket_spread"),
        rating("tow_bar.widest_spread"),
        BAR_MAKER,
        "Set the brackets closer, or use a wider bar.",
        per_way=False,
    ),
    Rule(
        "bar_tilt",
        "Tilt of the bar over the sharpest ramp",
        "angle",
        _greatest_tilt,
        rating("tow_bar.greatest_pitch"),
        BAR_MAKER,
        "Take a gentler way over this ramp or crest, or a longer bar; a coupler that binds levers itself off"
        " the ball.",
    ),
    Rule(
        "ramp_clearance",
        "Height the sharpest ramp takes from the hitch",
        "size",
        _height_lost_m,
        _lowest_m,
        "lowest point of receiver, ball mount or ball, loaded",
        "Take the ramp elsewhere, lay boards in its foot, or use a ball mount with less drop.",
    ),
    Rule(
        "d_value",
        "D-value of the coupling",
        "force",
        pair_d_value_n,
        rating("hitch.d_value_rating"),
        "plate of the coupling; UNECE R55 form. A coupling without one is judged by its mass ratings: set"
        " d_value_stamped = false",
        "Fit a coupling with a higher D-value.",
    ),
)


GEOMETRY_RULES = tuple(rule for rule in _RULES if rule.key != "d_value")


def coupling_rules(facts: Facts) -> tuple[Rule, ...]:
    """The limits of bar and ball; the D-value only where couplings carry one."""
    unstamped = facts.have("hitch.d_value_stamped") is False
    return tuple(rule for rule in _RULES if not (unstamped and rule.key == "d_value"))


def mount_words(change_m: float) -> str:
    """A step of ball mount, as one asks for it."""
    inches = round(change_m / 0.0254)
    if inches == 0:
        return "A straight ball mount"
    return f"A {'rise' if inches > 0 else 'drop'} of {abs(inches)} in ({abs(change_m) * 1000:.0f} mm)"


def level_words(facts: Facts, way: str) -> str:
    """One sentence on the ball mount that would level the bar, and whether that is enough; what is missing
    otherwise.
    """
    try:
        best, now = best_mount_m(facts, way), slope_rad(facts, way)
        left = bar_slope_rad(
            receiver_height_m(facts, way) + best,
            facts.need("towed_vehicle.bracket_height"),
            bar_length_m=facts.need("tow_bar.length"),
        )
    except NotKnown as missing:
        return f"Best ball mount: not known ({missing.reason})."
    greatest = facts.have("tow_bar.greatest_slope")
    over = (
        ""
        if greatest is None or abs(left) <= greatest
        else f", still over the {math.degrees(greatest):.1f}° that its maker allows"
    )
    return (
        f"{mount_words(best)}, if its maker rates one for the weight, would leave the loaded bar at"
        f" {math.degrees(left):+.1f}°{over}; with the present mount it slopes {math.degrees(now):+.1f}° (+:"
        " brackets higher than the ball)."
    )


def prop_words(facts: Facts) -> str:
    """One sentence on how high to rest the bar for coupling alone; what is missing otherwise. The ball stands
    highest unloaded.
    """
    try:
        prop = prop_height(
            empty_ball_height_m(facts),
            facts.need("towed_vehicle.bracket_height"),
            ball_diameter_m=facts.need("hitch.ball_diameter"),
            bar_length_m=facts.need("tow_bar.length"),
            bar_depth_m=facts.need("tow_bar.depth"),
            prop_behind_coupler_m=0.0,
        )
    except NotKnown as missing:
        return f"Prop for coupling alone: not known ({missing.reason})."
    except ValueError as error:
        return f"Prop for coupling alone: not possible, {error}."
    return (
        "Coupling alone: prop the bar so that the coupler's lower edge stands"
        f" {prop.coupler_edge_height_m * 1000:.0f} mm ({prop.coupler_edge_height_m / 0.0254:.1f} in) above"
        " the road."
    )
