"""Advice is checked: whatever direction the advice of a limit names, the rig is moved that way and the
limit's room grows. Limits of weights, bar and ball, chains and brackets; those of the road stand in
test_advice_on_the_road.py.
"""

import math
import random
import re
from fractions import Fraction
from types import SimpleNamespace

import pytest

from tests.limits.round_rig import ROUND
from tests.rigs import changed, without
from towlib.limits import advice as module
from towlib.limits.advice import BRACKET_MEANS, FOR_THIS_RIG, LIFTED, advice_for
from towlib.limits.attachment_limits import attachment_rules
from towlib.limits.chains_limits import (
    CHAIN_RULES,
    TOW_BAR_RULES,
    dropped_nose,
    fitted_lowest_m,
    links_that_fit,
    links_wanted,
)
from towlib.limits.coupler_limits import COUPLER_RULES
from towlib.limits.coupling_limits import _RULES as COUPLING_RULES
from towlib.limits.decision import plain
from towlib.limits.envelope_limits import BUMPER_BAR, envelope_rules
from towlib.limits.joint_limits import joint_rules
from towlib.limits.legs import driver
from towlib.limits.limit import NOT_KNOWN, OVER, WAYS, WITHIN, Rule
from towlib.limits.loads import ball_load_kg
from towlib.limits.weights_limits import WEIGHT_RULES
from towlib.plan.trip import make_plan, what_moves
from towlib.rig.facts import Facts, NotKnown
from towlib.rig.model import load_rig
from towlib.road.route import load_route

ROAD = load_route("data/routes/short_steep_pass.csv")
RULES = {
    rule.key: rule
    for rule in (
        *WEIGHT_RULES,
        *COUPLING_RULES,
        *COUPLER_RULES,
        *attachment_rules(ROAD),
        *joint_rules(ROAD),
        *envelope_rules(Facts(ROUND), ROAD),
        *CHAIN_RULES,
        *TOW_BAR_RULES,
        BUMPER_BAR,
    )
}
DEMO, HEAVY = (load_rig(f"data/rigs/demo_{name}.toml") for name in ("comfortable", "overloaded"))


def limit_of(key, rig):
    """The limit by the values as they stand."""
    return plain(RULES[key], Facts(rig))


def told_by_plan(key, rig):
    """The advice as the plan puts it: with how much less it must be."""
    limit, facts = limit_of(key, rig), Facts(rig)
    return what_moves(limit._replace(advice=advice_for(RULES[key], limit, facts, RULES)), facts, driver(ROAD))


def advice(key, rig):
    return advice_for(RULES[key], limit_of(key, rig), Facts(rig), RULES)


# ---- ways to move a rig ----


def times(factor, *paths):
    """Fields multiplied."""

    def move(rig):
        for path in paths:
            value = Facts(rig).need(path)
            rig = changed(rig, path, value * factor)
        return rig

    return move


def put(path, value):
    return lambda rig: changed(rig, path, value)


def cargo(vehicle, *, by=0.0, share=1.0):
    """Everything carried in a vehicle moved rearwards, or made lighter."""

    def move(rig):
        rows = (
            row.model_copy(update={"behind_front_axle": row.behind_front_axle + by, "mass": row.mass * share})
            if row.vehicle == vehicle
            else row
            for row in rig.load
        )
        return rig.model_copy(update={"load": tuple(rows)})

    return move


LIGHTER = times(0.9, "towed_vehicle.front_axle_empty", "towed_vehicle.rear_axle_empty")
LESS, LESS_TOWED = cargo("tow", share=0.9), cargo("towed", share=0.9)
BACK, FORWARDS = cargo("tow", by=0.2), cargo("tow", by=-0.2)
LONGER_BAR = times(1.2, "tow_bar.length")


def nearer_brackets(rig):
    """Brackets a little nearer the height of the ball."""
    heights = [RULES["bar_slope"].demand(Facts(rig), way) for way in WAYS]
    up, down = (
        changed(rig, "towed_vehicle.bracket_height", rig.towed_vehicle.bracket_height + d)
        for d in (0.002, -0.002)
    )
    better = max((up, down), key=lambda each: limit_of("bar_slope", each).room)
    assert max(heights) > 0
    return better


def pattern(factor):
    """Bolts further apart about their middle, in the plane of the plate."""

    def move(rig):
        bolts = rig.bracket.bolts
        level = "behind_pin" if rig.bracket.bolts_run == "across" else "outboard_of_pin"
        for name in (level, "above_pin"):
            middle = sum(getattr(bolt, name) for bolt in bolts) / len(bolts)
            bolts = tuple(
                bolt.model_copy(update={name: middle + factor * (getattr(bolt, name) - middle)})
                for bolt in bolts
            )
        return changed(rig, "bracket.bolts", bolts)

    return move


def link(more):
    return lambda rig: changed(rig, "safety_chains.links", rig.safety_chains.links + more)


def ball_of_the_coupler(rig):
    return changed(rig, "hitch.ball_diameter", rig.tow_bar.coupler_size)


def less_drop(rig):
    """A mount that drops the ball less, where it is the mount that hangs lowest."""
    for path in ("hitch.ball_mount_change", "hitch.lowest_point_height"):
        rig = changed(rig, path, Facts(rig).need(path) + 0.01)
    return rig


def stronger(rig):
    """A tow vehicle that is rated for more."""
    braked = rig.towed_vehicle.brakes_fitted
    return times(1.1, f"tow_vehicle.tow_rating_{'braked' if braked else 'unbraked'}")(rig)


def bigger(rig, words):
    """The change as large as the advice tries it."""
    if "torque" in words:
        return times(1.1, "bracket.torque")(rig)
    if "hicker bolts" in words:
        return changed(rig, "bracket.bolt_size", SIZE[rig.bracket.bolt_size])
    return times(1.25, "bracket.lug_thickness")(rig) if "hicker lugs" in words else rig


GRADE = {"2": "5", "5": "8", "8.8": "10.9"}
SIZE = {"3/8-16": "7/16-14", "1/2-13": "5/8-11", "M8": "M10", "M12": "M14", "M18": "M20"}

# what the advice of a limit says, and how the rig is moved then; a figure in it is checked further down
RATED = {
    "ball_mount": ("Fit a ball mount rated for the weight", "hitch.ball_mount_rating"),
    "ball": ("Fit a ball rated for the weight", "hitch.ball_rating"),
    "tow_bar": ("Use a bar rated for the weight", "tow_bar.rating"),
    "brackets": ("Fit brackets whose maker rates them for the weight", "tow_bar.bracket_rating"),
    "chain_hooks": ("Fit hooks and quick links rated for it", "safety_chains.hook_rating"),
    "chain_anchors": (
        "Use anchor points on the receiver itself, rated for it",
        "safety_chains.anchor_rating",
    ),
    "second_pair": ("Fit a second pair rated for it", "safety_chains.second_pair_rating"),
}
TOW_LIGHTER = {"Tow a lighter vehicle": [LIGHTER]}
SLOPED = {"brackets nearer the ball's height": [nearer_brackets], "a longer bar": [LONGER_BAR]}


def _tyre_moves(path, **moves):
    return {
        r"Raise the tyre pressure within what the makers allow": [times(1.02, f"{path}.pressure")],
        r"tyres of a higher load index": [
            lambda rig: changed(rig, f"{path}.load_index", Facts(rig).need(f"{path}.load_index") + 1)
        ],
        **{words.replace("_", " "): move for words, move in moves.items()},
    }


MOVES = {
    **{key: {words: [times(1.1, path)]} for key, (words, path) in RATED.items()},
    "tow_gvwr": {"Take cargo out of the tow vehicle": [LESS]},
    "payload": {"Take cargo out of the tow vehicle": [LESS]},
    "gcwr": {"Take weight out of either vehicle": [LESS, LESS_TOWED, LIGHTER]},
    "tow_front_gawr": {"Move cargo rearwards": [BACK]},
    "tow_rear_gawr": {"Move cargo forwards": [FORWARDS], "take it out": [LESS]},
    "tow_rating": {
        **TOW_LIGHTER,
        r"fit brakes that work on it \(": [put("towed_vehicle.brakes_fitted", True)],
        "use a stronger tow vehicle": [stronger],
    },
    "front_tyres": _tyre_moves("tow_vehicle.front_tyres", move_cargo_rearwards=[BACK]),
    "rear_tyres": _tyre_moves("tow_vehicle.rear_tyres", move_cargo_forwards=[FORWARDS]),
    "towed_front_tyres": _tyre_moves(
        "towed_vehicle.tyres", move_cargo_in_the_towed_vehicle_rearwards=[cargo("towed", by=0.2)]
    ),
    "towed_rear_tyres": _tyre_moves(
        "towed_vehicle.tyres", take_cargo_out_of_the_towed_vehicle=[cargo("towed", share=0.9)]
    ),
    "receiver": {**TOW_LIGHTER, "empty the towed one": [cargo("towed", share=0.0)]},
    "towed_gvwr": {"Take cargo or heavy fittings out of the towed vehicle": [LESS_TOWED, LIGHTER]},
    "towed_front_gawr": {
        "Move cargo rearwards in the towed vehicle": [cargo("towed", by=0.2)],
        "take weight off its front": [times(0.95, "towed_vehicle.front_axle_empty")],
    },
    "towed_rear_gawr": {
        "Move cargo forwards in the towed vehicle": [cargo("towed", by=-0.2)],
        "take weight off its rear": [times(0.95, "towed_vehicle.rear_axle_empty")],
    },
    "bar_slope": {
        r"A (rise|drop) of \d+ in \(\d+ mm\)|A straight ball mount": [
            lambda rig: changed(
                rig, "hitch.ball_mount_change", inches_said(advice("bar_slope", rig)) * 0.0254
            )
        ],
        **SLOPED,
    },
    "bracket_spread_least": {"Set the brackets further apart": [times(1.05, "towed_vehicle.bracket_spread")]},
    "bracket_spread_most": {
        "Set the brackets closer": [times(0.95, "towed_vehicle.bracket_spread")],
        "use a wider bar": [times(1.05, "tow_bar.widest_spread")],
    },
    "vertical_load": {
        r"Make the bar more level": [nearer_brackets],
        "a lighter bar": [times(0.9, "tow_bar.mass")],
        "a receiver rated for more": [times(1.1, "hitch.receiver_vertical_rating")],
    },
    "bar_tilt": {
        "Take a gentler way over this ramp or crest": [
            times(0.8, "conditions.ramp_change"),
            times(2.0, "conditions.ramp_radius"),
        ],
        "a longer bar": [LONGER_BAR],
    },
    "ramp_clearance": {
        "Take the ramp elsewhere": [times(0.8, "conditions.ramp_change")],
        "lay boards in its foot": [times(2.0, "conditions.ramp_radius")],
        "use a ball mount with less drop, if it is what hangs lowest": [less_drop],
    },
    "d_value": {
        "Fit a coupling with a higher D-value": [times(1.1, "hitch.d_value_rating")],
        "take weight out of the tow vehicle": [LESS],
        "(take weight out of|and) the towed one": [LESS_TOWED],
    },
    "chain_strength": {
        r"Fit \S+ in of grade \d+": [lambda rig: chain_said(rig, 0)],
        r"(, \d+)? or \d+(?=,)": [lambda rig: chain_said(rig, 1), lambda rig: chain_said(rig, -1)],
        "tow a lighter vehicle": [],  # less than the chain's strength, which does not move: see below
    },
    "coupler_size": {r"Fit a ball of [^,]+, which the coupler is made for": [ball_of_the_coupler]},
    "coupler_latch": {},  # done or not: moved in a test of its own
    "bar_pins": {},
    "chains_laid": {},
    "chain_slack": {r"Take out links, down to \d+ each": [link(-1)]},
    "chain_length": {
        r"Add links": [link(1)],
        "move an anchor": [times(0.9, "safety_chains.bar_anchor_behind_ball")],
    },
    "chain_clearance": {
        r"Take out links": [link(-1)],
        "move an anchor": [
            times(1.05, "safety_chains.receiver_anchor_height", "safety_chains.bar_anchor_height")
        ],
    },
    "dropped_bar": {
        r"Cross the chains under the bar, \d+ links each": [lambda rig: dropped_said(rig, crossed=True)],
        r"Take out links, down to \d+ each": [lambda rig: dropped_said(rig)],
        "anchors higher on the receiver": [times(1.05, "safety_chains.receiver_anchor_height")],
    },
    "bracket_bolts": {
        "[Bb]olts of a higher grade": [
            lambda rig: changed(rig, "bracket.bolt_grade", GRADE[rig.bracket.bolt_grade])
        ],
        "[Tt]hicker bolts": [lambda rig: changed(rig, "bracket.bolt_size", SIZE[rig.bracket.bolt_size])],
        "[Tt]he shank in the shear plane": [put("bracket.threads_in_plane", False)],
        "[Aa] wider pattern": [pattern(1.2)],
    },
    "bracket_plate": {
        "[Tt]hicker plate": [times(1.1, "bracket.plate_thickness")],
        "[Ss]tronger steel": [times(1.1, "bracket.plate_yield")],
        "[Hh]oles further from the edge": [times(1.1, "bracket.edge_distance")],
        "[Aa] wider plate": [times(1.1, "bracket.plate_width")],
        "[Aa] wider pattern": [pattern(1.2)],
    },
    "bracket_pin": {
        "[Aa] thicker pin": [times(1.1, "bracket.pin_diameter")],
        "[Aa] pin of stronger steel": [times(1.1, "bracket.pin_yield")],
        "[Ll]ugs that hold the pin on both sides": [put("bracket.pin_is_held_both_sides", True)],
    },
    "bracket_bending": {
        "[Tt]hicker plate": [times(1.1, "bracket.plate_thickness")],
        "[Tt]hicker lugs": [times(1.1, "bracket.lug_thickness")],
        "[Ww]ider lugs": [times(1.1, "bracket.lug_width")],
        "[Ss]upports of the plate nearer its lugs": [times(0.9, "bracket.plate_free_width")],
        "[Ss]tronger steel": [times(1.1, "bracket.plate_yield")],
        "[Aa] wider plate": [times(1.1, "bracket.plate_width")],
    },
    "bracket_weld": {
        "[Ll]arger welds": [times(1.1, "bracket.weld_leg")],
        "[Ll]onger welds": [times(1.1, "bracket.weld_length")],
        "[Tt]hicker lugs": [times(1.1, "bracket.lug_thickness")],
    },
    "bracket_slip": {
        "[Mm]ore torque": [times(1.05, "bracket.torque")],
        "[Bb]are, dry faces": [times(1.1, "bracket.plate_friction")],
        "[Aa] plate on either side of the frame": [put("bracket.joint_faces", 2)],
        "[Aa] wider pattern": [pattern(1.2)],
    },
    "bracket_fatigue": {
        "[Tt]hicker plate": [times(1.1, "bracket.plate_thickness")],
        "[Tt]hicker lugs": [times(1.1, "bracket.lug_thickness")],
        "[Ww]ider lugs": [times(1.1, "bracket.lug_width")],
        "[Ss]upports of the plate nearer its lugs": [times(0.9, "bracket.plate_free_width")],
        "[Ll]arger welds": [times(1.1, "bracket.weld_leg")],
        "[Ll]onger welds": [times(1.1, "bracket.weld_length")],
        "[Aa] wider plate": [times(1.1, "bracket.plate_width")],
    },
    "bar_sag": {
        "Take the play out of the bar's joints": [times(0.9, "tow_bar.sag")],
        "use a stiffer bar": [times(0.9, "tow_bar.sag")],
    },
    "tracking": {"Set both brackets as far from the middle": [times(0.9, "tow_bar.off_track")]},
    "bumper_bar": {
        "Fasten the bar to the frames": [put("tow_bar.pulls_on_bumpers", False)],
        "tow a lighter vehicle": [times(0.5, "towed_vehicle.front_axle_empty")],
    },
    "bar_strength": {"Use a bar that holds more along": [times(1.1, "tow_bar.strength_along")]},
    "fastening_tow": {
        "Use a receiver, ball mount and ball that hold more along": [times(1.1, "hitch.strength_along")]
    },
    "bolt_tension": {"these bolts reach their proof load at": [times(0.9, "bracket.torque")]},
}
_STEEL = "[Ss]tronger steel"  # of the plate, not of the pin
_OF_BOTH = ("bracket_pin", "bracket_bolts", "bracket_plate", "bracket_bending", "bracket_weld")
WHOLE = {words: moves for key in _OF_BOTH for words, moves in MOVES[key].items()}
WHOLE = {f"(?<!pin of ){words}" if words == _STEEL else words: moves for words, moves in WHOLE.items()}
WIDER_SPREAD = {"[Bb]rackets further apart": [times(1.02, "towed_vehicle.bracket_spread")]}
MOVES |= {"bracket_floor": WHOLE | WIDER_SPREAD, "fastening_towed": WHOLE}
# words that name no direction of their own; where they claim something, a test below holds them to it
NEUTRAL = (
    r"not past the rear axle",
    r"ahead of the rear axle",
    r"of the coupler's size",
    r"the weakest part counts",
    r"around frame or axle housing, clear of steering and brake lines",
    r"too narrow for this bar is refused",
    r"with them the maker rates you for [^)]*\([^)]*\)\)",
    r"fit brakes that work on it if the maker rates you for more with them",
    r"brakes would raise no rating",
    r"at [\d.,]+ kPa \([\d.,]+ psi\) the pair carries [\d.,]+ kg \([\d.,]+ lb\)",
    r"which is still too little",
    r"More pressure gives these tyres no more",
    r"if its maker rates one for the weight",
    r"leaves [\d.]+°",
    r"which is still over",
    r"besides",
    r"No ball mount of a step that is sold makes it more level",
    r"the push of braking climbs a sloped bar",
    r"up to [\d.]+°",
    r"The bar's own weight is all of it",
    r"a coupler that binds levers itself off the ball",
    r"which is over its GVWR",
    r"each GVWR counts, so that less cargo changes nothing",
    r"marked on the links",
    r"ask which comparison your law makes",
    r"No chain of the table holds it",
    r"\d+( to \d+)? each reach, clear the road and keep a dropped bar off it",
    r"up to \d+ each",
    r"down to \d+ each( \(\d+ at the least\))?",
    r"It has all the links that the other limits of the chains leave",
    r"It has no link more than the sharpest turn asks for",
    r"It takes \d+ links",
    r"No number of links both reaches and clears the road",
    r"No number of links both reaches and keeps a dropped bar off the road: other anchors",
    r"Ball and coupler are of one size",
    r"over this one its latch does not close",
    r"this one is too small and slips out of it",
    r"Lift the bar off, look into the coupler, close it over the ball again and put its pin or clip in",
    r"a latch that does not close goes to scrap",
    r"Put every pin in and a clip through each, of the size its maker names",
    r"[Tt]hey lie as it asks",
    r"[Cc]ross them under the bar",
    r"[Rr]un each on to the towed vehicle's frame",
    r"one that ends on the bar holds nothing when the bar breaks behind it",
    r"[Tt]ie them to the bar where they cross, or as near as can be",
    r"tie the slack up with a breakable string",
    r"The sharpest turn leaves no link to take out",
    r"fewer do not reach or bind",
    r"that is still over by [\d.,]+ mm \([\d.,]+ in\)",
    r"No link is left to take out",
    r"With these anchors no number of links holds the nose higher and clears the road: other anchors",
    r"[Aa] maker's bracket rated for the weight",
    r"Use the bracket maker's torque",
    r"[\d.,]+ N·m \([\d.,]+ lbf·ft\)",
    r"past which they stretch for good",
    r"Of what is sold, [^.]* would do",
    r"one whose maker says that it meets 49 CFR 393\.71",
    r"a weight to tow is no strength",
    r"mend a bent bar",
    r"look at tyre pressures and toe",
    r"couplings of class 2 and up are made to hold 10,500 lbf or more",
)


def inches_said(text):
    """Rise (+) or drop (-) that an advice names."""
    if text.startswith("A straight"):
        return 0
    kind, inches = re.match(r"A (rise|drop) of (\d+) in", text).groups()
    return int(inches) if kind == "rise" else -int(inches)


def chain_said(rig, which):
    """The chain that the advice names, in its first or last grade."""
    size, grades = re.match(
        r"Fit (\S+) in of grade ([\d, or]+), marked", advice("chain_strength", rig)
    ).groups()
    rig = changed(rig, "safety_chains.size", size)
    return changed(rig, "safety_chains.grade", re.findall(r"\d+", grades)[which])


def dropped_said(rig, crossed=None):
    """Chains as the advice on the dropped bar has them."""
    links = int(re.search(r"(\d+)(?: links)? each", advice("dropped_bar", rig)).group(1))
    rig = changed(rig, "safety_chains.links", links)
    return rig if crossed is None else changed(rig, "safety_chains.crossed", crossed)


# ---- rigs to be advised ----


def _rig(base=ROUND, **values):
    for path, value in values.items():
        base = changed(base, path.replace("__", "."), value)
    return base


def _random_rigs(count):
    """The rig of round figures with its figures up to a third up or down, by chance."""
    draw = random.Random(13)
    for i in range(count):
        rig = ROUND
        for path in (
            "towed_vehicle.bracket_height",
            "hitch.ball_mount_change",
            "tow_bar.length",
            "tow_bar.depth",
            "tow_vehicle.ball_behind_rear_axle",
            "conditions.ramp_change",
            "conditions.ramp_radius",
            "hitch.lowest_point_height",
            "safety_chains.receiver_anchor_spread",
            "safety_chains.receiver_anchor_height",
            "safety_chains.bar_anchor_spread",
            "safety_chains.bar_anchor_behind_ball",
            "safety_chains.bar_anchor_height",
            "bracket.plate_thickness",
            "bracket.edge_distance",
            "bracket.plate_width",
        ):
            rig = changed(rig, path, Facts(rig).need(path) * draw.uniform(0.67, 1.33))
        rig = changed(rig, "safety_chains.links", draw.randint(20, 40))
        yield _rig(
            rig,
            hitch__ball_mount_change=draw.choice((1, -1)) * rig.hitch.ball_mount_change,
            safety_chains__crossed=i % 2 == 0,
            safety_chains__ground_clearance=draw.uniform(0.1, 0.35),
            bracket__threads_in_plane=i % 3 == 0,
        )


def _lone_driver():
    """The driver alone on both ways, 80 kg in the middle: front and rear axle sink by 3.75 and 2.625 mm."""
    return ROUND.model_copy(update={"load": ROUND.load[:1]})


def _fore_and_aft():
    """A thin plate with its bolts fore and aft, the pin 50 mm ahead of it."""
    bolts = tuple(
        bolt.model_copy(update={"behind_pin": 0.05, "outboard_of_pin": out, "above_pin": up})
        for bolt, out, up in zip(
            ROUND.bracket.bolts, (-0.04, 0.04, -0.04, 0.04), (0.04, 0.04, -0.04, -0.04), strict=True
        )
    )
    return _rig(
        bracket__bolts=bolts,
        bracket__bolts_run="fore and aft",
        bracket__plate_free_width=0.08,
        bracket__plate_thickness=0.003,
        bracket__lug_thickness=0.004,
        bracket__weld_leg=0.002,
        bracket__factor_asked=3.0,
    )


def _links(which):
    return getattr(links_wanted(Facts(ROUND)), which)


def _lowest_of_fewest():
    """Where chain and nose come lowest, with the fewest links."""
    facts = Facts(_rig(safety_chains__links=_links("fewest")))
    return min(min(fitted_lowest_m(facts, way), dropped_nose(facts, way).height_m) for way in WAYS)


WEIGHED = ("tow_rating", *(key for key in RULES if key.endswith("tyres")))
BENT, SLOPING = ("bar_tilt", "ramp_clearance"), ("bar_slope", "vertical_load")
LINKS = ("chain_length", "chain_clearance", "dropped_bar")
TOW_BAR = (*LINKS, *(rule.key for rule in TOW_BAR_RULES))
COUPLER = tuple(rule.key for rule in COUPLER_RULES)
BRACKET = (*BRACKET_MEANS, "bracket_floor", "fastening_towed")
# a yes or no that is fulfilled has no room to gain
WITH_ROOM = tuple(key for key in RULES if key != "bumper_bar")
# sizes of a bracket with which its bolts and edges decide
STOUT = {
    "bracket__plate_thickness": 0.05,
    "bracket__lug_thickness": 0.05,
    "bracket__lug_width": 0.2,
    "bracket__weld_leg": 0.05,
    "bracket__weld_length": 0.2,
    "bracket__pin_diameter": 0.05,
}
# rigs, and the limits they are asked about
RIGS = {
    "round": (ROUND, WITH_ROOM),
    "comfortable": (DEMO, WITH_ROOM),
    "overloaded": (HEAVY, WITH_ROOM),
    "braked": (_rig(towed_vehicle__brakes_fitted=True), WEIGHED),
    "braked rating lower": (_rig(tow_vehicle__tow_rating_braked=1700.0), WEIGHED),
    "braked rating the same": (_rig(tow_vehicle__tow_rating_braked=1800.0), WEIGHED),
    "braked rating unknown": (without(ROUND, "tow_vehicle.tow_rating_braked"), WEIGHED),
    "full tyres": (
        _rig(
            tow_vehicle__front_tyres__pressure=3e5,
            tow_vehicle__rear_tyres__pressure=3.2e5,
            towed_vehicle__tyres__pressure=2.5e5,
        ),
        WEIGHED,
    ),
    "small tyres": (
        _rig(
            tow_vehicle__front_tyres__load_index=85,
            tow_vehicle__rear_tyres__load_index=85,
            towed_vehicle__tyres__load_index=60,
        ),
        WEIGHED,
    ),
    "high brackets": (_rig(towed_vehicle__bracket_height=1.05), (*BENT, *SLOPING)),
    "low brackets": (_rig(towed_vehicle__bracket_height=0.4), (*BENT, *SLOPING)),
    "no step better": (_rig(hitch__ball_mount_change=8 * 0.0254), SLOPING),
    "bar as heavy as its rating": (_rig(hitch__receiver_vertical_rating=8.0), SLOPING),
    "bar just its rating": (_rig(hitch__receiver_vertical_rating=10.0), SLOPING),
    "straight mount": (_rig(hitch__ball_mount_change=0.0), BENT),
    "level": (_rig(towed_vehicle__bracket_height=0.58078125), SLOPING),
    "level both ways": (
        _rig(_lone_driver(), towed_vehicle__bracket_height=0.599),
        SLOPING,
    ),
    "drop": (_rig(hitch__ball_mount_change=-0.08, hitch__lowest_point_height=0.3), (*BENT, *SLOPING)),
    "crest": (
        _rig(
            tow_bar__length=2.9,
            tow_bar__depth=0.25,
            towed_vehicle__bracket_height=0.39,
            hitch__ball_mount_change=-0.09,
            hitch__lowest_point_height=0.41,
            tow_vehicle__ball_behind_rear_axle=0.46,
            conditions__ramp_change=0.22,
            conditions__ramp_radius=2.5,
        ),
        BENT,
    ),
    "tow vehicle over": (_rig(tow_vehicle__gvwr=2300.0), ("d_value", "tow_gvwr")),
    "towed one over": (_rig(towed_vehicle__gvwr=1500.0), ("d_value", "towed_gvwr")),
    "both over": (_rig(tow_vehicle__gvwr=2300.0, towed_vehicle__gvwr=1400.0), ("d_value",)),
    "weak chain": (_rig(safety_chains__grade="30"), ("chain_strength",)),
    "5/16 of grade 70": (
        _rig(safety_chains__size="5/16", safety_chains__grade="70"),
        ("chain_strength",),
    ),
    "too heavy for any chain": (_rig(towed_vehicle__front_axle_empty=9000.0), ("chain_strength",)),
    "short chain": (_rig(safety_chains__links=21), LINKS),
    "long chain": (_rig(safety_chains__links=45), LINKS),
    "all the links that clear": (_rig(safety_chains__links=_links("most")), LINKS),
    "fewest links": (_rig(safety_chains__links=_links("fewest")), LINKS),
    "fewest and low": (
        _rig(safety_chains__links=_links("fewest"), safety_chains__ground_clearance=0.32),
        LINKS,
    ),
    "no number of links": (_rig(safety_chains__ground_clearance=0.44), LINKS),
    "one number of links": (
        _rig(safety_chains__links=30, safety_chains__ground_clearance=_lowest_of_fewest() - 1e-6),
        LINKS,
    ),
    "more than hold the bar": (_rig(safety_chains__links=_links("clear")), LINKS),
    "crossed it would hang too low": (
        _rig(
            safety_chains__crossed=False,
            safety_chains__links=28,
            safety_chains__ground_clearance=0.2,
            safety_chains__receiver_anchor_height=0.35,
            safety_chains__bar_anchor_behind_ball=0.6,
        ),
        ("dropped_bar",),
    ),
    "tow-bar rule": (_rig(safety_chains__rule_strength="tow-bar"), TOW_BAR),
    "tow-bar rule, fewest": (
        _rig(safety_chains__rule_strength="tow-bar", safety_chains__links=_links("fewest")),
        TOW_BAR,
    ),
    "tow-bar rule, parallel": (
        _rig(safety_chains__rule_strength="tow-bar", safety_chains__crossed=False, safety_chains__links=30),
        TOW_BAR,
    ),
    "large ball": (_rig(hitch__ball_diameter=0.0508, tow_bar__coupler_size=0.047625), COUPLER),
    "small ball": (_rig(hitch__ball_diameter=0.047625, tow_bar__coupler_size=0.0508), COUPLER),
    "not closed": (_rig(tow_bar__latch_closed=False, tow_bar__pins_clipped=False), COUPLER),
    "parallel": (_rig(safety_chains__crossed=False), LINKS),
    "parallel and long": (_rig(safety_chains__crossed=False, safety_chains__links=34), LINKS),
    "falls onto the road": (
        _rig(
            safety_chains__bar_anchor_behind_ball=0.9,
            safety_chains__receiver_anchor_height=0.35,
            towed_vehicle__bracket_height=0.45,
            safety_chains__bar_anchor_height=0.5,
            safety_chains__links=50,
            tow_bar__depth=0.3,
        ),
        LINKS,
    ),
    "threads and one lug": (
        _rig(
            bracket__threads_in_plane=True, bracket__pin_is_held_both_sides=False, bracket__bolt_grade="10.9"
        ),
        BRACKET,
    ),
    "bumper bar": (
        _rig(towed_vehicle__front_axle_empty=1700.0, tow_bar__pulls_on_bumpers=True),
        ("bumper_bar",),
    ),
    "bolts weaker than all else": (
        _rig(bracket__threads_in_plane=True, bracket__plate_yield=1e11, bracket__pin_yield=1e11),
        ("bracket_floor", "fastening_towed"),
    ),
    "edge weaker than all else": (
        _rig(bracket__edge_distance=0.0072, bracket__bolt_size="M20", **STOUT),
        ("bracket_floor", "fastening_towed"),
    ),
    "weld weaker than all else": (
        _rig(**STOUT | {"bracket__weld_leg": 0.002, "bracket__weld_length": 0.02}),
        ("bracket_floor", "fastening_towed"),
    ),
    "pin weaker than all else": (
        _rig(**STOUT | {"bracket__pin_diameter": 0.010, "bracket__pin_is_held_both_sides": False}),
        ("bracket_floor", "fastening_towed"),
    ),
    "near the edge": (_rig(bracket__edge_distance=0.010), BRACKET),
    "narrow plate": (_rig(bracket__plate_width=0.03, bracket__hole_diameter=0.0145), BRACKET),
    "tight": (_rig(bracket__torque=150.0), ("bolt_tension",)),
    "weak bracket": (
        _rig(
            bracket__plate_thickness=0.003,
            bracket__lug_thickness=0.004,
            bracket__pin_diameter=0.010,
            bracket__weld_leg=0.002,
            bracket__factor_asked=3.0,
            bracket__bolt_size="M8",
            bracket__torque=15.0,
        ),
        BRACKET,
    ),
    "thin lugs": (
        _rig(bracket__lug_thickness=0.004, bracket__plate_thickness=0.02, bracket__pin_diameter=0.03),
        BRACKET,
    ),
    "small welds": (
        _rig(bracket__weld_leg=0.002, bracket__lug_thickness=0.02, bracket__plate_thickness=0.02),
        BRACKET,
    ),
    "weak bolts": (_rig(bracket__bolt_size="M8", bracket__factor_asked=18.0), ("bracket_bolts",)),
    "weak bracket, bolts fore and aft": (_fore_and_aft(), BRACKET),
    "largest bolts": (_rig(bracket__bolt_size="M20"), ("bolt_tension", *BRACKET)),
    **{
        f"by chance {i}": (rig, (*SLOPING, *LINKS, *(BENT if i < 4 else ()), *(BRACKET if i < 3 else ())))
        for i, rig in enumerate(_random_rigs(16))
    },
}


@pytest.fixture(scope="module")
def advised():
    """Every limit that can be worked out, of every rig, with its advice."""
    found = {}
    for name, (rig, keys) in RIGS.items():
        for key in keys:
            limit = limit_of(key, rig)
            if limit.plain != NOT_KNOWN and not limit.lifted:
                found[name, key] = (rig, limit, advice_for(RULES[key], limit, Facts(rig), RULES))
    return found


def test_every_limit_of_these_modules_has_its_moves():
    assert set(MOVES) == set(RULES)
    on_the_road = {"grip", "stop_level", "stop_down", "straight_running", "battery_hours"}
    assert set(FOR_THIS_RIG) - on_the_road | set(LIFTED) <= set(
        RULES
    )  # those are moved in a file of their own


@pytest.mark.parametrize("key", RULES)
def test_whatever_the_advice_names_gives_the_limit_more_room(advised, key):
    named = set()
    for (name, each), (rig, limit, text) in advised.items():
        if each != key:
            continue
        for words, moves in MOVES[key].items():
            if not re.search(words, text):
                continue
            named.add(words)
            for move in moves:
                after = limit_of(key, move(rig))
                assert after.plain != NOT_KNOWN and after.room > limit.room, (name, words, text)
    wanted = {words for words, moves in MOVES[key].items() if moves}
    assert wanted <= named, f"no rig is told: {wanted - named}"


@pytest.mark.parametrize("key", RULES)
def test_no_advice_names_a_way_that_is_not_tried_here(advised, key):
    for (name, each), (_, _, text) in advised.items():
        if each == key:
            left = text
            for words in (*MOVES[key], *NEUTRAL):
                left = re.sub(words, "", left)
            assert not re.search(r"[A-Za-z0-9]", re.sub(r"\b(or|and|a)\b", "", left)), (name, text, left)


# ---- what advice claims besides ----


def told(advised, key, words):
    """Rigs told so of a limit, each with the match and the limit."""
    found = [
        (rig, limit, match)
        for (_, each), (rig, limit, text) in advised.items()
        if each == key and (match := re.search(words, text))
    ]
    assert found, f"no rig is told {words!r} of {key}"
    return found


def silent(advised, key, words):
    """Rigs not told so, with their limit."""
    return [
        (rig, limit)
        for (_, each), (rig, limit, text) in advised.items()
        if each == key and not re.search(words, text)
    ]


def test_the_slope_a_mount_leaves_is_said_and_whether_that_is_over(advised):
    for rig, limit, match in told(advised, "bar_slope", r"^(A .*?), if .* leaves ([\d.]+)°(.*still over)?"):
        moved = changed(rig, "hitch.ball_mount_change", inches_said(match[1]) * 0.0254)
        after = limit_of("bar_slope", moved)
        assert abs(math.degrees(after.demand) - float(match[2])) <= 0.05 + 1e-9
        assert (after.answer == OVER) == bool(match[3])
        assert limit.demand > after.demand


STEPS_IN = (0, 1, 2, 3, 4, 5, 6, 8, 10)  # common practice, no source: steps that are sold


def test_the_step_told_is_the_best_there_is(advised):
    rigs = [rig for rig, _, _ in told(advised, "bar_slope", "leaves|No ball mount")]
    for rig in rigs:
        text = advice("bar_slope", rig)
        best = max(
            limit_of("bar_slope", changed(rig, "hitch.ball_mount_change", sign * inches * 0.0254)).room
            for inches in STEPS_IN
            for sign in (1, -1)
        )
        if text.startswith("No ball mount"):
            assert limit_of("bar_slope", rig).room >= best - 1e-9
        else:
            told_m = inches_said(text) * 0.0254
            assert limit_of("bar_slope", changed(rig, "hitch.ball_mount_change", told_m)).room == best


def test_how_level_the_bar_must_be(advised):
    for rig, _, match in told(advised, "vertical_load", r"up to ([\d.]+)°"):
        for off, answer in ((-0.06, WITHIN), (0.06, OVER)):
            for sign in (1, -1):
                slope = sign * math.radians(float(match[1]) + off)
                facts = Facts(rig).other({"tow_bar.slope": slope})
                assert plain(RULES["vertical_load"], facts).answer == answer
    for rig, limit, _ in told(advised, "vertical_load", "own weight is all of it"):
        standing = ball_load_kg(Facts(rig))
        assert standing >= limit.capacity or limit.demand == pytest.approx(standing, rel=1e-3)


@pytest.mark.parametrize(("climbs", "all_of_it"), [(0.9e-3, True), (1.1e-3, False)])
def test_a_push_that_climbs_a_thousandth_of_the_bar_is_not_told(climbs, all_of_it):
    rule, rig = RULES["vertical_load"], Facts(ROUND)
    standing = ball_load_kg(rig)
    push = max(rule.demand(rig.other({"tow_bar.slope": math.pi / 4}), way) for way in WAYS) - standing
    facts = rig.other({"tow_bar.slope": math.atan(climbs * standing / push)})
    text = advice_for(rule, plain(rule, facts), facts)
    assert text.startswith("The bar's own weight is all of it" if all_of_it else "Make the bar more level")


@pytest.mark.parametrize("key", ["front_tyres", "rear_tyres", "towed_front_tyres", "towed_rear_tyres"])
def test_what_tyres_carry_at_full_pressure(advised, key):
    path = {"front_tyres": "tow_vehicle.front_tyres", "rear_tyres": "tow_vehicle.rear_tyres"}.get(
        key, "towed_vehicle.tyres"
    )
    words = r"at ([\d.]+) kPa .* carries ([\d,.]+) kg .*lb\)(, which is still too little)?"
    for rig, limit, match in told(advised, key, words):
        full = Facts(rig).need(f"{path}.full_load_pressure")
        assert float(match[1]) == pytest.approx(full / 1000, abs=0.5)
        after = limit_of(key, changed(rig, f"{path}.pressure", full))
        assert float(match[2].replace(",", "")) == pytest.approx(after.capacity, abs=0.5)
        assert (after.answer == OVER) == bool(match[3])
        assert after.capacity > limit.capacity
    if key == "front_tyres":  # 1287.5 kg and 312.5 are what two tyres of index 100 carry at full pressure
        just = _rig(tow_vehicle__front_axle_empty=1512.5)
        assert "carries 1,600 kg (3,527 lb); or" in advice(key, just)
    for rig, limit, _ in told(advised, key, "More pressure gives these tyres no more"):
        assert limit_of(key, times(1.2, f"{path}.pressure")(rig)).capacity == limit.capacity
    for rig, limit in silent(advised, key, "More pressure"):
        assert limit_of(key, times(1.05, f"{path}.pressure")(rig)).capacity > limit.capacity


def test_the_rating_with_brakes(advised):
    fit = put("towed_vehicle.brakes_fitted", True)
    for rig, _, match in told(advised, "tow_rating", r"rates you for ([\d,]+) kg \(([\d,]+) lb\)"):
        rated = limit_of("tow_rating", fit(rig)).capacity
        assert [int(each.replace(",", "")) for each in match.groups()] == [
            round(rated),
            round(rated / 0.45359237),
        ]
    for rig, limit, _ in told(advised, "tow_rating", "brakes would raise no rating"):
        assert limit_of("tow_rating", fit(rig)).capacity <= limit.capacity
    for rig, _ in silent(advised, "tow_rating", "brakes"):
        assert rig.towed_vehicle.brakes_fitted


def test_less_cargo_changes_the_d_value_only_above_a_gvwr(advised):
    for rig, limit, _ in told(advised, "d_value", "less cargo changes nothing"):
        assert limit_of("d_value", LESS(LESS_TOWED(rig))).demand == limit.demand
    just = _rig(tow_vehicle__gvwr=2490.0, towed_vehicle__gvwr=1580.0)  # as heavy as permitted, and no more
    assert "less cargo changes nothing" in advice("d_value", just)
    texts = [advice("d_value", RIGS[name][0]) for name in ("tow vehicle over", "towed one over", "both over")]
    over = ("the tow vehicle", "the towed one", "the tow vehicle and the towed one")
    assert [re.search("out of (.*), which is over", text)[1] for text in texts] == list(over)


def test_only_a_mount_that_drops_the_ball_is_told_to_drop_it_less(advised):
    for (_, key), (rig, _, text) in advised.items():
        if key == "ramp_clearance":
            assert ("less drop" in text) == (rig.hitch.ball_mount_change < 0)


@pytest.mark.parametrize(
    ("in_the_dip", "over_the_crest", "boards"),
    [((0.1, 0.5), (0.2, 0.3), True), ((0.2, 0.3), (0.1, 0.5), False), ((0.5, 0.1), (0.3, 0.2), True)],
)
def test_boards_help_only_where_it_scrapes_in_the_foot(monkeypatch, in_the_dip, over_the_crest, boards):
    """Least of hitch and bar in the foot of a ramp against least of them over its crest; boards lie in the
    foot.
    """
    swept = [SimpleNamespace(hitch_clearance_m=h, bar_clearance_m=b) for h, b in (in_the_dip, over_the_crest)]
    monkeypatch.setattr("towlib.limits.advice.ramp_sweeps", lambda facts, way: swept)
    assert ("lay boards in its foot" in advice("ramp_clearance", ROUND)) == boards


# ---- chains ----


def test_as_many_links_as_clear_the_road_are_all():
    most = links_wanted(Facts(ROUND)).most
    for links, words in (
        (most, "It has all the links that the other limits of the chains leave."),
        (most - 1, f"Add links, up to {most} each."),
    ):
        assert advice("chain_length", changed(ROUND, "safety_chains.links", links)) == words


def linked(rig, links, key):
    return limit_of(key, changed(rig, "safety_chains.links", links)).answer


def all_within(rig, links):
    return all(linked(rig, links, key) == WITHIN for key in LINKS)


def test_links_that_are_told_hold_by_every_limit_and_no_others_do(advised):
    for rig, _, match in told(advised, "chain_length", r"Add links: (\d+)(?: to (\d+))? each"):
        fewest, most = int(match[1]), int(match[2] or match[1])
        assert rig.safety_chains.links < fewest
        assert all_within(rig, fewest) and all_within(rig, most)
        assert linked(rig, fewest - 1, "chain_length") == OVER
        assert not all_within(rig, most + 1)
    for rig, _, match in told(advised, "chain_length", r"Add links, up to (\d+) each"):
        assert all_within(rig, int(match[1])) and rig.safety_chains.links < int(match[1])
        if rig.safety_chains.rule_strength != "tow-bar":
            assert not all_within(rig, int(match[1]) + 1)
    for rig, _, _ in told(advised, "chain_length", "all the links that the other limits"):
        more = rig.safety_chains.links + 1
        ruled = rig.safety_chains.rule_strength == "tow-bar" and linked(rig, more, "chain_slack") == OVER
        assert ruled or not all_within(rig, more)
    for rig, _, match in told(advised, "chain_length", r"It takes (\d+) links"):
        assert linked(rig, int(match[1]), "chain_length") == WITHIN
        assert linked(rig, int(match[1]) - 1, "chain_length") == OVER


def test_links_that_are_told_to_be_taken_out_clear_the_road(advised):
    words = r"down to (\d+) each(?: \((\d+) at the least\))?"
    for rig, _, match in told(advised, "chain_clearance", words):
        links = int(match[1])
        assert links < rig.safety_chains.links
        assert linked(rig, links, "chain_clearance") == linked(rig, links, "chain_length") == WITHIN
        assert linked(rig, int(match[2] or links) - 1, "chain_length") in (OVER, NOT_KNOWN)
        if match[2]:
            assert linked(rig, int(match[2]), "chain_length") == WITHIN
            assert all_within(rig, links)
            ruled = rig.safety_chains.rule_strength == "tow-bar"
            assert ruled or not all_within(rig, rig.safety_chains.links)
    for rig, _, _ in told(advised, "chain_clearance", "leaves no link to take out"):
        assert linked(rig, rig.safety_chains.links - 1, "chain_length") in (OVER, NOT_KNOWN)


def test_no_number_of_links_means_none(advised):
    for key in ("chain_length", "chain_clearance"):
        for rig, _, match in told(advised, key, "No number of links both reaches and (clears|keeps)"):
            other = "chain_clearance" if match[1] == "clears" else "dropped_bar"
            for links in range(3, 60):
                answers = [linked(rig, links, each) for each in ("chain_length", other)]
                assert answers != [WITHIN, WITHIN]


LINK_LIMITS = (*LINKS, "chain_slack")


def test_no_advice_on_links_puts_another_limit_of_the_chains_over(advised):
    tried = 0
    for (_, key), (rig, _, text) in advised.items():
        if key not in LINK_LIMITS:
            continue
        cross = bool(re.search("Cross the chains|[Cc]rossed they take|cross them", text))
        counts = [int(each) for each in re.findall(r"(\d+)(?= to \d+ (?:links )?each| links?\b| each)", text)]
        counts += [int(each) for each in re.findall(r"\d+ to (\d+) (?:links )?each", text)]
        counts += [rig.safety_chains.links + 1] * ("Add links" in text)
        counts += [rig.safety_chains.links - 1] * ("Take out links" in text)
        counts = [each for each in counts if f"({each} fitted)" not in text and "It takes" not in text]
        for links in counts or [rig.safety_chains.links] * cross:
            moved = changed(rig, "safety_chains.links", links)
            moved = changed(moved, "safety_chains.crossed", True) if cross else moved
            for other in LINK_LIMITS:
                if other == "chain_slack" and rig.safety_chains.rule_strength != "tow-bar":
                    continue
                if other != key and limit_of(other, rig).answer == WITHIN:
                    assert limit_of(other, moved).answer == WITHIN, (key, text, other, links)
                    tried += 1
    assert tried > 60


def test_what_the_tow_bar_rule_allows_bounds_the_links_that_are_told(advised):
    for name in ("tow-bar rule", "tow-bar rule, fewest"):
        rig, _, text = advised[name, "chain_length"]
        fewest, _ = links_that_fit(Facts(rig))
        assert "Add links" not in text or f"up to {fewest + 1} each" in text
    for rig, _, match in told(advised, "chain_slack", r"down to (\d+) each: fewer do not reach or bind"):
        assert (
            linked(rig, int(match[1]), "chain_length") == linked(rig, int(match[1]), "chain_slack") == WITHIN
        )
        assert linked(rig, int(match[1]) - 1, "chain_length") in (OVER, NOT_KNOWN)
    for rig, _, _ in told(advised, "chain_slack", "no link more than"):
        assert linked(rig, rig.safety_chains.links - 1, "chain_length") in (OVER, NOT_KNOWN)


@pytest.mark.parametrize(
    ("key", "path"),
    [
        ("coupler_latch", "tow_bar.latch_closed"),
        ("bar_pins", "tow_bar.pins_clipped"),
        ("chains_laid", "safety_chains.to_both_vehicles"),
        ("chains_laid", "safety_chains.tied_to_bar"),
        ("chains_laid", "safety_chains.crossed"),
    ],
)
def test_what_is_done_as_told_is_within(key, path):
    rig = _rig(safety_chains__to_both_vehicles=True, safety_chains__tied_to_bar=True)
    before, after = (limit_of(key, changed(rig, path, done)) for done in (False, True))
    assert (before.answer, after.answer) == (OVER, WITHIN)
    told = advice(key, changed(rig, path, False))
    assert told.endswith(".") and ("lie as it asks" in advice(key, rig)) == (key == "chains_laid")
    assert "lie as it asks" not in told


def test_what_the_chains_of_a_dropped_bar_are_told_holds(advised):
    for cross, words in ((True, "Cross the chains"), (None, "Take out links")):
        for rig, _, match in told(advised, "dropped_bar", rf"{words}.*or bind(.*over by ([\d.]+) mm)?"):
            moved = dropped_said(rig, crossed=cross)
            after = limit_of("dropped_bar", moved)
            assert (after.answer == OVER) == bool(match[1])
            if match[1]:
                asked = [RULES["dropped_bar"].demand(Facts(moved), way) for way in WAYS]
                rooms = [
                    RULES["dropped_bar"].capacity(Facts(moved), way) - a
                    for way, a in zip(WAYS, asked, strict=True)
                ]
                assert float(match[2]) == pytest.approx(-1000 * min(rooms), rel=5e-3)  # three figures
            assert limit_of("chain_length", moved).answer == WITHIN
            fewer = linked(moved, moved.safety_chains.links - 1, "chain_length")
            assert fewer in (OVER, NOT_KNOWN)
    for rig, limit, _ in told(advised, "dropped_bar", "no number of links holds the nose higher and clears"):
        cleared = limit_of("chain_clearance", rig).answer == WITHIN
        for crossed in (True, False):
            for links in range(15, 60):
                other = changed(changed(rig, "safety_chains.crossed", crossed), "safety_chains.links", links)
                clears = limit_of("chain_clearance", other).answer == WITHIN or not cleared
                if limit_of("chain_length", other).answer == WITHIN and clears:
                    assert limit_of("dropped_bar", other).room <= limit.room + 1e-9
    for rig, _, _ in told(advised, "dropped_bar", "No link is left"):
        assert linked(rig, rig.safety_chains.links - 1, "chain_length") in (OVER, NOT_KNOWN)


# working loads in lbf of 49 CFR 393.108 (check value list), here compared each and by the working load
TABLE = {
    "1/4": {"30": 1300, "43": 2600, "70": 3150, "80": 3500},
    "5/16": {"30": 1900, "43": 3900, "70": 4700, "80": 4500},
    "3/8": {"30": 2650, "43": 5400, "70": 6600, "80": 7100},
    "7/16": {"30": 3700, "43": 7200, "70": 8750},
    "1/2": {"30": 4500, "43": 9200, "70": 11300, "80": 12000},
    "5/8": {"30": 6900, "43": 13000, "70": 15800, "80": 18100},
}


@pytest.mark.parametrize(
    ("size", "grade", "towed_kg", "expected"),
    [
        # 1580 kg are 3,483 lbf: grade 30 of 3/8 in is over, all others of that size hold
        ("3/8", "30", 1580, "Fit 3/8 in of grade 43, 70 or 80,"),
        ("3/8", "43", 1580, "Fit 3/8 in of grade 70 or 80,"),  # within; these have more
        ("5/16", "80", 1580, "Fit 5/16 in of grade 70,"),  # the stronger grade is the lower one here
        ("5/16", "70", 1580, "Fit 3/8 in of grade 43, 70 or 80,"),
        ("3/8", "80", 1580, "Fit 7/16 in of grade 43 or 70,"),
        ("5/16", "43", 3000, "Fit 3/8 in of grade 80,"),  # 6,614 lbf
        ("5/8", "30", 3000, "Fit 5/8 in of grade 30, 43, 70 or 80,"),
        ("5/8", "80", 3000, "No chain of the table holds it: tow a lighter vehicle;"),
        ("1/4", "30", 8300, "No chain of the table holds it"),  # 18,298 lbf
    ],
)
def test_the_chain_that_is_told_holds_and_is_the_next_one(size, grade, towed_kg, expected):
    rig = _rig(
        towed_vehicle__front_axle_empty=ROUND.towed_vehicle.front_axle_empty + towed_kg - 1580,
        safety_chains__size=size,
        safety_chains__grade=grade,
    )
    asked_lbf, fitted_lbf = towed_kg / 0.45359237, TABLE[size][grade]
    assert limit_of("chain_strength", rig).capacity == pytest.approx(fitted_lbf * 4.4482216152605)
    text = advice("chain_strength", rig)
    if (size, grade) == ("5/8", "30"):
        expected = "Fit 5/8 in of grade 43, 70 or 80,"  # it holds already: what holds more
    assert text.startswith(expected)
    if match := re.match(r"Fit (\S+) in of grade (.*), marked", text):
        good = {g for g, pounds in TABLE[match[1]].items() if pounds >= asked_lbf and pounds > fitted_lbf}
        assert good == set(re.findall(r"\d+", match[2]))
    else:
        assert not any(
            pounds > max(asked_lbf, fitted_lbf) for grades in TABLE.values() for pounds in grades.values()
        )


def test_a_lighter_vehicle_helps_a_chain_that_none_of_the_table_replaces(advised):
    for rig, limit, _ in told(advised, "chain_strength", "tow a lighter vehicle"):
        assert limit_of("chain_strength", LIGHTER(rig)).room > limit.room


# ---- brackets ----


def test_the_torque_at_which_bolts_reach_their_proof_load(advised):
    for rig, _, match in told(advised, "bolt_tension", r"at ([\d.]+) N·m \(([\d.]+) lbf·ft\)"):
        torque = float(match[1])  # three figures: half of the last is less than half a per cent
        for share, answer in ((0.995, WITHIN), (1.005, OVER)):
            assert limit_of("bolt_tension", changed(rig, "bracket.torque", share * torque)).answer == answer
        assert float(match[2]) * 1.3558179483 == pytest.approx(torque, rel=0.01)


STEPS_MM = {  # sold in: the metric and inch lists of dealers (common practice), inches exact
    "plate": [6, 8, 10, 12, 15, 20, *(25.4 * i for i in (1 / 4, 5 / 16, 3 / 8, 1 / 2, 5 / 8, 3 / 4))],
    "lugs": [6, 8, 10, 12, 15, 20, *(25.4 * i for i in (1 / 4, 5 / 16, 3 / 8, 1 / 2, 5 / 8, 3 / 4))],
    "a pin": [12, 16, 19, 22, 25, *(25.4 * i for i in (1 / 2, 5 / 8, 3 / 4, 7 / 8, 1))],
    "welds": [4, 5, 6, 8, 10, 12, *(25.4 * i for i in (3 / 16, 1 / 4, 5 / 16, 3 / 8, 1 / 2))],
}
FIELD = {
    "plate": "bracket.plate_thickness",
    "lugs": "bracket.lug_thickness",
    "a pin": "bracket.pin_diameter",
    "welds": "bracket.weld_leg",
}


def sizes_said(text):
    """Each set of sizes that an advice names: name -> millimetres."""
    for said in re.findall(r"(?:Of what is sold, |, or )((?:[\w ]+? of [\d/]+ (?:mm|in)(?: and )?)+)", text):
        parts = re.findall(r"(plate|lugs|a pin|welds) of ([\d/]+) (mm|in)", said)
        yield {name: float(Fraction(size)) * (1 if unit == "mm" else 25.4) for name, size, unit in parts}


def test_sizes_that_are_sold_and_told_do_and_the_next_smaller_does_not(advised):
    named = set()
    for (_, key), (rig, limit, text) in advised.items():
        for sizes in sizes_said(text) if key in BRACKET else ():
            named |= set(sizes)
            assert limit.plain == OVER
            done = rig
            for name, mm in sizes.items():
                assert any(mm == pytest.approx(step) for step in STEPS_MM[name])
                done = changed(done, FIELD[name], mm / 1e3)
            assert limit_of(key, done).plain == WITHIN
            for name, mm in sizes.items():
                whole = abs(mm - round(mm)) < 1e-9
                smaller = [
                    step
                    for step in STEPS_MM[name]
                    if step < mm - 1e-6 and (abs(step - round(step)) < 1e-9) == whole
                ]
                fitted = 1e3 * Facts(rig).need(FIELD[name])
                less = max([step for step in smaller if step > fitted], default=fitted)
                assert limit_of(key, changed(done, FIELD[name], less / 1e3)).plain == OVER
            for other in BRACKET:  # and nothing else goes over
                if limit_of(other, rig).plain == WITHIN:
                    assert limit_of(other, done).plain == WITHIN, (key, other)
    assert named == set(FIELD)


def test_bolts_that_are_sold_and_told_do(advised):
    for rig, limit, match in told(advised, "bracket_bolts", r"bolts (\S+) of this grade would do"):
        assert limit.plain == OVER
        assert limit_of("bracket_bolts", changed(rig, "bracket.bolt_size", match[1])).plain == WITHIN


def test_lugs_are_not_told_to_be_thicker_where_the_pin_could_not_bear_it():
    # thin lugs, and a pin that is just within: a longer arm puts it over
    thin = _rig(bracket__lug_thickness=0.004, bracket__plate_thickness=0.02, bracket__pin_diameter=0.03)
    assert "hicker lugs" in advice("bracket_bending", thin) and "lugs of" in advice("bracket_bending", thin)
    low, high = 0.005, 0.03
    for _ in range(30):
        middle = (low + high) / 2
        over = limit_of("bracket_pin", changed(thin, "bracket.pin_diameter", middle)).plain == OVER
        low, high = (middle, high) if over else (low, middle)
    edge = changed(thin, "bracket.pin_diameter", high)
    assert limit_of("bracket_pin", edge).plain == WITHIN and limit_of("bracket_bending", edge).plain == OVER
    assert limit_of("bracket_pin", times(1.25, "bracket.lug_thickness")(edge)).plain == OVER
    assert "lugs of" not in (text := advice("bracket_bending", edge)) and "hicker lugs" not in text


@pytest.mark.parametrize("key", BRACKET_MEANS)
def test_no_change_that_is_told_puts_another_limit_of_the_bracket_over(advised, key):
    for words, (move,) in MOVES[key].items():
        for rig, _, _ in told(advised, key, words):
            for other in (*BRACKET, "bolt_tension"):
                if limit_of(other, rig).plain == WITHIN:
                    assert limit_of(other, move(rig)).plain != OVER, (words, other)


@pytest.mark.parametrize("key", BRACKET_MEANS)
def test_what_brackets_are_not_told_would_not_help(advised, key):
    for words, (move,) in MOVES[key].items():
        for rig, limit in silent(advised, key, words):
            bracket = rig.bracket
            if bracket.bolt_grade not in GRADE and "grade" in words:
                continue
            if bracket.bolt_size not in SIZE and "hicker bolts" in words:
                continue
            after = limit_of(key, move(rig))
            others = [each for each in (*BRACKET, "bolt_tension") if limit_of(each, rig).plain == WITHIN]
            if any(limit_of(each, bigger(rig, words)).plain == OVER for each in others):
                continue  # it would help, and put another limit over
            assert after.plain == NOT_KNOWN or after.room - limit.room <= 2e-3 * limit.demand


@pytest.mark.parametrize(
    ("size", "larger"),
    [("3/8-16", "7/16-14"), ("1/2-13", "9/16-12"), ("3/4-10", None), ("M12", "M14"), ("M20", None)],
)
def test_thicker_bolts_are_the_next_of_their_thread(size, larger):
    """Coarse threads of ASME B1.1 and ISO 261 in their order, as far as the table of bolts has them."""
    rig = _rig(bracket__bolt_size=size, bracket__bolt_grade="8.8" if size.startswith("M") else "8")
    assert module._next_size(Facts(rig)) == ({"bracket.bolt_size": larger} if larger else {})


@pytest.mark.parametrize(
    ("size", "grade", "stronger"),
    [
        ("1/2-13", "2", "5"),  # proof loads of SAE J429 and ISO 898-1 rise with the marks
        ("1/2-13", "5", "8"),
        ("1/2-13", "8", None),
        ("M12", "8.8", "10.9"),
        ("M12", "10.9", None),
    ],
)
def test_bolts_of_a_higher_grade_have_marks_of_the_same_kind(size, grade, stronger):
    """Nobody finds a metric bolt for an inch thread."""
    rig = _rig(bracket__bolt_size=size, bracket__bolt_grade=grade)
    assert module._stronger_grade(Facts(rig)) == ({"bracket.bolt_grade": stronger} if stronger else {})


def _of_two(demand, capacity):
    """A limit of the bar's mass made for a test: 10 against 20 with the rig as it is."""
    rule = Rule("made", "Made", "mass", demand, capacity, "made")
    return module.Known(rule, Facts(ROUND), "out", 10.0, 20.0)


@pytest.mark.parametrize("kg, helps", [(20.02, True), (20.005, False), (20.0, False), (19.0, False)])
def test_what_moves_a_limit_by_a_thousandth_of_its_demand_helps(kg, helps):
    limit = _of_two(lambda facts, way: 10.0, lambda facts, way: facts.need("tow_bar.mass"))
    assert limit.helped_by({"tow_bar.mass": kg}) == helps
    below = _of_two(lambda facts, way: -10.0, lambda facts, way: facts.need("tow_bar.mass"))
    assert below._replace(demand=-10.0).helped_by({"tow_bar.mass": kg}) == helps


@pytest.mark.parametrize("problem", [NotKnown("the bar"), ValueError("no such bar")])
def test_what_cannot_be_worked_out_does_not_help(problem):
    def capacity(facts, way):
        raise problem

    assert not _of_two(lambda facts, way: 10.0, capacity).helped_by({"tow_bar.mass": 30.0})


# ---- an axle that is lifted, and how much too much it is ----


def lifted(key):
    """A rig whose load takes this axle or its tyres off the road."""
    towed, front = key.startswith("towed"), "front" in key
    place = (8.0 if towed else 12.0) if front else -8.0
    row = ROUND.load[2].model_copy(
        update={
            "mass": 1500.0,
            "behind_front_axle": place,
            "vehicle": "towed" if towed else "tow",
            "way": "both",
        }
    )
    return ROUND.model_copy(update={"load": (*ROUND.load, row)})


@pytest.mark.parametrize("key", LIFTED)
def test_a_lifted_axle_is_told_to_be_loaded_not_unloaded(key):
    rig = lifted(key)
    limit = limit_of(key, rig)
    assert limit.lifted and limit.answer == OVER
    text = told_by_plan(key, rig)
    front, vehicle = "front" in key, "towed" if key.startswith("towed") else "tow"
    if front:
        assert text == "Move cargo forwards, or take out what lies behind the rear axle: it lifts the front."
    else:
        assert (
            text == "Move cargo rearwards, or take off what lies ahead of the front axle: it lifts the rear."
        )
    assert limit_of(key, cargo(vehicle, by=-0.2 if front else 0.2)(rig)).demand > limit.demand
    taken_out = limit_of(key, ROUND)
    assert taken_out.demand > limit.demand and not taken_out.lifted


@pytest.mark.parametrize(
    ("key", "path", "most"), [("tow_gvwr", "tow_vehicle.gvwr", 2490.0), ("ball", "hitch.ball_rating", 1580.0)]
)
def test_how_much_less_it_must_be_is_said_only_where_it_is_over(key, path, most):
    text = told_by_plan(key, changed(ROUND, path, most - 100.0))
    assert text == f"It needs 100 kg (220 lb) less. {RULES[key].advice}"  # 100 / 0.45359237 = 220.5
    assert told_by_plan(key, changed(ROUND, path, most)) == RULES[key].advice
    # over, and no weight
    assert told_by_plan("bar_slope", changed(ROUND, "tow_bar.greatest_slope", 0.01)).startswith("A rise of")


def test_a_plan_has_the_advice_for_its_rig():
    limits = {limit.key: limit for limit in make_plan(DEMO, ROAD).limits}
    for key in WITH_ROOM:
        assert limits[key].advice == told_by_plan(key, DEMO)
    assert limits["d_value"].advice != RULES["d_value"].advice


def test_a_limit_that_is_not_known_or_whose_advice_hangs_on_something_missing_has_the_rules_own_words():
    bare = without(ROUND, "towed_vehicle.front_axle_empty")
    for key in ("tow_rating", "chain_strength", "d_value"):
        assert limit_of(key, bare).plain == NOT_KNOWN and advice(key, bare) == RULES[key].advice
    # with the same load both ways how low the chain hangs is known without the springs; how many links it
    # needs is not
    unsprung = without(_lone_driver(), "tow_vehicle.rear_spring_rate")
    assert limit_of("chain_clearance", unsprung).answer == WITHIN
    assert advice("chain_clearance", unsprung) == RULES["chain_clearance"].advice
    assert advice("tow_rating", without(ROUND, "tow_vehicle.tow_rating_braked")) == RULES["tow_rating"].advice
