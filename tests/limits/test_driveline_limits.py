"""Driveline and steering of the towed vehicle on a made-up rig: what the road forces by a rule of thumb
written apart from the graph, what oils it by the parts that must turn, speed and distance, each answer and
its words.
"""

import math
from itertools import product

import pytest

from tests.limits.made import RIG, limit, road
from tests.rigs import changed, without
from towlib.limits.driveline_card import layout_of
from towlib.limits.driveline_limits import driveline_rules, driveline_words, forces, whole, yes
from towlib.limits.limit import NOT_KNOWN, OVER, WITHIN, YES_NO
from towlib.rig.facts import Facts, NotKnown

ROAD = road((12_000, 0.0))
PATH = "towed_vehicle.driveline."
YES_NO_FIELDS = {"towing_allowed": "four_wheel_towing_allowed", "steering_free": "steering_is_free"}


def _rig(**told):
    rig = changed(RIG, PATH + "rear_locked", False)
    for name, value in told.items():
        rig = changed(rig, PATH + name, value)
    return rig


@pytest.mark.parametrize("key", YES_NO_FIELDS)
def test_what_must_be_so(key):
    name = YES_NO_FIELDS[key]
    answers = {said: limit(_rig(**{name: said}), key, ROAD) for said in (True, False, None)}
    assert [answers[said].answer for said in (True, False, None)] == [WITHIN, OVER, NOT_KNOWN]
    assert answers[True].demand == answers[False].demand == 1.0
    assert [answers[said].capacity for said in (True, False)] == [1.0, 0.0]
    assert answers[True].kind == YES_NO and answers[False].used == math.inf
    for system in ("metric", "us"):
        words = [answers[said].answer_text(system) for said in (True, False, None)]
        assert words == ["within", "over: not fulfilled", f"not known ({PATH}{name})"]


def test_yes_and_whole():
    assert yes(PATH + "steering_is_free")(Facts(RIG), "out") == whole(Facts(RIG), "back") == 1.0


# --- what the road forces ---


def _forced_by_rule(
    case, position, gearbox, gear, hubs, front_in, rear_in, front_locked, rear_locked
) -> bool:
    """Of a part-time case, or none and rear drive, rolling on all wheels, both axles alike: does the road
    turn the engine, or hold two speeds against each other, straight or in a bend?
    """
    to_wheels = {"front": front_in and hubs != "free", "rear": rear_in}
    if case == "none":
        joined = {"rear"} if rear_in else set()
        both = False
    else:
        joined = {"rear only": {"rear"}, "both": {"front", "rear"}}.get(position, set())
        joined = {axle for axle in joined if to_wheels[axle]}
        # the outputs are one shaft, whatever the gearbox does
        both = position in ("both", "neutral, outputs joined") and all(to_wheels.values())
    held_by_gearbox = bool(joined) and (gearbox == "automatic" and gear == "park")
    turns_the_engine = bool(joined) and (gearbox == "manual" and gear == "in gear")
    # a locked axle scrubs in a bend; the front one only while its hubs are closed
    scrubs = rear_locked or (front_locked and hubs != "free" and case != "none")
    return held_by_gearbox or turns_the_engine or both or scrubs


def test_what_the_road_forces_by_a_rule_of_thumb():
    seen = {True: 0, False: 0}
    for case, position, (gearbox, gear), hubs, front_in, rear_in, (front_locked, rear_locked) in product(
        ("none", "part-time"),
        ("neutral", "neutral, outputs joined", "rear only", "both"),
        (("manual", "in gear"), ("manual", "neutral"), ("automatic", "park"), ("automatic", "neutral")),
        ("locked", "free"),
        (True, False),
        (True, False),
        ((False, False), (True, False), (False, True)),
    ):
        if case == "none" and (position, hubs, front_in, front_locked) != ("neutral", "locked", True, False):
            continue
        rig = _rig(
            transfer_case=case,
            transfer_case_position=position,
            gearbox=gearbox,
            gearbox_position=gear,
            front_hubs=hubs,
            front_shaft_in=front_in,
            rear_shaft_in=rear_in,
            front_locked=front_locked,
            rear_locked=rear_locked,
            driven_axle="rear",
        )
        by_rule = _forced_by_rule(
            case, position, gearbox, gear, hubs, front_in, rear_in, front_locked, rear_locked
        )
        assert forces(layout_of(Facts(rig))) == by_rule, rig.towed_vehicle.driveline
        seen[by_rule] += 1
    assert min(seen.values()) > 50


@pytest.mark.parametrize(
    ("told", "expected"),
    [
        ({}, WITHIN),
        # manual, in gear, one axle joined: the engine turns
        ({"transfer_case_position": "rear only"}, OVER),
        ({"rear_locked": True}, OVER),  # in a bend only
        # two axles of other ratios joined: two speeds on one shaft, straight ahead
        (
            {
                "transfer_case_position": "both",
                "gearbox_position": "neutral",
                "front_hubs": "locked",
                "front_final_drive": 3.7,
            },
            OVER,
        ),
        ({"gearbox_position": "park"}, NOT_KNOWN),
        ({"rear_locked": None}, NOT_KNOWN),  # locked it would be over
        (
            {"rear_locked": None, "rear_shaft_in": False},
            NOT_KNOWN,
        ),  # shaft or no shaft
        ({"front_locked": None}, WITHIN),  # its hubs are free: locked or not, nothing is forced
    ],
)
def test_the_limit_on_what_is_forced(told, expected):
    found = limit(_rig(**told), "driveline_free", ROAD)
    assert found.answer == expected
    if expected != NOT_KNOWN:
        assert found.answer_text() == {WITHIN: "within", OVER: "over: not fulfilled"}[expected]
        assert (found.demand, found.capacity) == (1.0, 1.0 if expected == WITHIN else 0.0)


@pytest.mark.parametrize("key", ["driveline_free", "driveline_oil"])
@pytest.mark.parametrize(
    "name",
    [
        "transfer_case",
        "transfer_case_position",
        "gearbox",
        "gearbox_position",
        "front_hubs",
        "front_shaft_in",
        "rear_shaft_in",
    ],
)
def test_a_missing_position_is_named(key, name):
    told = limit(_rig(**{name: None}), key, ROAD)
    assert told.answer == NOT_KNOWN and PATH + name in told.missing.split("; ")


# --- oil ---


@pytest.mark.parametrize(
    ("told", "confirmed", "expected"),
    [
        # rear shaft in: the rear output turns, and what oils it is said by the manual alone
        ({}, True, WITHIN),
        ({}, False, OVER),
        ({}, None, NOT_KNOWN),
        # rear shaft out, hubs free: only what its own ring gear splashes turns
        ({"rear_shaft_in": False}, None, WITHIN),
        ({"rear_shaft_in": False}, False, OVER),  # the manual has the last word
        # no transfer case, gearbox in neutral: its output turns and nothing throws oil on it
        ({"transfer_case": "none", "driven_axle": "rear", "gearbox_position": "neutral"}, None, OVER),
        ({"transfer_case": "none", "driven_axle": "rear", "gearbox_position": "neutral"}, True, WITHIN),
    ],
)
def test_oil_by_the_parts_that_turn(told, confirmed, expected):
    found = limit(_rig(**told, oil_confirmed=confirmed), "driveline_oil", ROAD)
    assert found.answer == expected and found.demand == 1.0
    assert found.capacity == {WITHIN: 1.0, OVER: 0.0, NOT_KNOWN: None}[expected]
    if expected == NOT_KNOWN:
        assert "rear output" in found.missing and found.missing.endswith(f"see {PATH}oil_confirmed")


@pytest.mark.parametrize("confirmed", [True, False, None])
def test_what_is_forced_must_be_mended_before_oil_is_asked(confirmed):
    # automatic in park, one axle joined: the pawl against the wheels
    rig = _rig(
        transfer_case_position="rear only",
        gearbox="automatic",
        gearbox_position="park",
        oil_confirmed=confirmed,
    )
    told = limit(rig, "driveline_oil", ROAD)
    assert told.answer == NOT_KNOWN and told.missing == "the positions force each other: first mend that"


# --- speed and distance ---


@pytest.mark.parametrize(
    ("key", "name", "demand"),
    [
        ("towing_speed", "highest_towing_speed", 20.0),
        ("towing_distance", "longest_towing_distance", 12_000.0),
    ],
)
def test_speed_and_distance_against_the_manual(key, name, demand):
    for allowed, expected in ((demand, WITHIN), (math.nextafter(demand, 0.0), OVER), (None, NOT_KNOWN)):
        told = limit(_rig(**{name: allowed}), key, ROAD)
        assert (told.answer, told.demand) == (expected, pytest.approx(demand))
    assert told.missing == PATH + name
    # 2 km are 1.24 mi; 2 m/s are 7.2 km/h, 4.47 mph
    over = limit(_rig(**{name: demand - (2000.0 if "distance" in name else 2.0)}), key, ROAD)
    words = (over.answer_text(), over.answer_text("us"))
    assert (
        words
        == {
            "towing_distance": ("over by 2 km", "over by 1.24 mi"),
            "towing_speed": ("over by 7.2 km/h", "over by 4.47 mph"),
        }[key]
    )
    assert over.way != "back"  # one way is asked: the other is as fast and as far


@pytest.mark.parametrize(
    ("key", "name"), [("towing_speed", "speed_limited"), ("towing_distance", "distance_limited")]
)
@pytest.mark.parametrize(("said", "asked"), [(False, False), (True, True), (None, True)])
def test_what_the_manual_does_not_limit_is_not_asked(key, name, said, asked):
    keys = [rule.key for rule in driveline_rules(Facts(_rig(**{name: said})), ROAD)]
    everything = [
        "towing_allowed",
        "driveline_free",
        "driveline_oil",
        "steering_free",
        "towing_speed",
        "towing_distance",
    ]
    assert keys == [each for each in everything if asked or each != key]


def test_every_rule_is_asked_once():
    assert not any(rule.per_way for rule in driveline_rules(Facts(RIG), ROAD))


# --- words ---


@pytest.mark.parametrize(
    ("told", "words"),
    [
        (
            {"oil_confirmed": True},
            "Turns while towed: rear half shafts, rear differential, rear pinion, rear shaft and rear output."
            " Oiled, by the maker's manual as the rig file says.",
        ),
        ({"oil_confirmed": None}, "Turns, and whether oil reaches it is not known: rear output."),
        (
            {"oil_confirmed": None, "rear_shaft_in": False},
            "Behind its wheels turn: rear half shafts, rear differential and rear pinion.",
        ),
        # said to be oiled, and still the road turns the engine or the positions force each other
        ({"oil_confirmed": True, "transfer_case_position": "rear only"}, "The road turns the engine, at "),
        (
            {
                "oil_confirmed": True,
                "transfer_case_position": "rear only",
                "gearbox": "automatic",
                "gearbox_position": "park",
            },
            "These cannot all be: rear wheels rolling and park pawl, while joined by ",
        ),
        (
            {"transfer_case_position": None},
            f"What turns in the driveline while towed: not known ({PATH}transfer_case_position).",
        ),
    ],
)
def test_the_words_on_what_turns(told, words):
    assert driveline_words(Facts(_rig(**told))).startswith(words)


def test_a_missing_answer_is_raised_with_its_field():
    with pytest.raises(NotKnown, match="steering_is_free"):
        yes(PATH + "steering_is_free")(Facts(without(RIG, PATH + "steering_is_free")), "out")
