"""Three ways to tow against the same limits: moments by hand, the plan's own answers, and nothing guessed."""

import inspect
import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.plans import likely_over, made, over, too_close, unknown, within
from tests.rigs import changed, method_limits, without
from towlib.limits.decision import answer
from towlib.limits.limit import NOT_KNOWN, OVER, WITHIN
from towlib.limits.weights_limits import WEIGHT_RULES
from towlib.plan import other_ways as methods
from towlib.plan.other_ways import (
    DOLLY,
    FLAT,
    METHODS,
    TRAILER,
    OtherWays,
    ball_kg,
    combined_kg,
    gross_kg,
    method_rules,
    method_words,
    other_ways_words,
)
from towlib.rig.facts import Facts, NotKnown
from towlib.rig.model import load_rig

FULL = OtherWays(
    dolly_mass=320.0,
    dolly_gvwr=1400.0,
    dolly_ball_load=60.0,
    dolly_brakes=True,
    trailer_mass=850.0,
    trailer_gvwr=3000.0,
    trailer_tongue_share=0.12,
    trailer_brakes=True,
)


@pytest.fixture(scope="module")
def rig():
    return load_rig(Path(__file__).parents[2] / "data" / "rigs" / "demo_comfortable.toml")


def _by_key(rig, method, other=FULL):
    return {limit.key: limit for limit in method_limits(Facts(rig), other.need, method)}


def test_by_hand(rig):
    # way out: people and cargo 82 + 68 + 130 + 45 = 325 kg; towed 780 + 690 + 60 = 1,530 kg; empty tow
    # vehicle 2,370 kg
    trailer, dolly = _by_key(rig, TRAILER), _by_key(rig, DOLLY)
    ball = 0.12 * (1530 + 850)
    assert trailer["tow_rating"].demand == pytest.approx(2380) and trailer[
        "standing_ball_load"
    ].demand == pytest.approx(ball) == pytest.approx(285.6)
    assert trailer["tow_gvwr"].demand == pytest.approx(2370 + 325 + ball) and trailer[
        "payload"
    ].demand == pytest.approx(325 + ball)
    # both together: each kilogram once, the ball load too
    assert trailer["gcwr"].demand == pytest.approx(2370 + 325 + 1530 + 850) and dolly[
        "gcwr"
    ].demand == pytest.approx(2370 + 325 + 1530 + 320)
    # moments about the front axle: 82 and 68 at 1.75, 130 at 3.1, 45 at 2.9, the ball at 3.61 + 1.27
    rear = 1060 + (150 * 1.75 + 130 * 3.1 + 45 * 2.9 + ball * 4.88) / 3.61
    assert trailer["tow_rear_gawr"].demand == pytest.approx(rear) and trailer[
        "rear_tyres"
    ].demand == pytest.approx(rear)
    # the heaviest front is on the way home, without the water and food of the way out
    front = 1310 + (82 + 68) * (1 - 1.75 / 3.61) + 130 * (1 - 3.1 / 3.61) - ball * 1.27 / 3.61
    assert _demand(rig, "tow_front_gawr", TRAILER, "back") == pytest.approx(front)
    # towed: front 780 + 60·(1 - 2.3/2.29), rear 690 + 60·2.3/2.29, without any bar
    assert dolly["dolly_gvwr"].demand == pytest.approx(320 + 780 + 60 * (1 - 2.3 / 2.29)) and dolly[
        "towed_rear_gawr"
    ].demand == pytest.approx(690 + 60 * 2.3 / 2.29)
    assert (
        dolly["receiver"].demand == dolly["ball"].demand == dolly["ball_mount"].demand == pytest.approx(1850)
        and dolly["standing_ball_load"].demand == 60
    )


def _demand(rig, key, method, way):
    return next(rule for rule in method_rules(FULL.need, method) if rule.key == key).demand(Facts(rig), way)


def test_four_wheels_down_is_the_plan_itself(rig):
    facts = Facts(rig)
    assert method_limits(facts, OtherWays().need, FLAT)[:-1] == tuple(
        answer(rule, facts) for rule in WEIGHT_RULES
    )


def test_capacities_are_the_same_for_every_way(rig):
    flat = _by_key(rig, FLAT)
    for method in (DOLLY, TRAILER):
        for key, limit in _by_key(rig, method).items():
            if key in flat and key != "tow_rating":
                assert limit.capacity == flat[key].capacity and limit.source == flat[key].source, key
    unbraked, braked = rig.tow_vehicle.tow_rating_unbraked, rig.tow_vehicle.tow_rating_braked
    assert unbraked < braked and flat["tow_rating"].capacity == unbraked
    assert _by_key(rig, TRAILER)["tow_rating"].capacity == braked
    assert _by_key(rig, TRAILER, FULL._replace(trailer_brakes=False))["tow_rating"].capacity == unbraked
    assert _by_key(rig, DOLLY, FULL._replace(dolly_brakes=False))["tow_rating"].capacity == unbraked
    assert _by_key(rig, DOLLY, FULL._replace(trailer_brakes=False))["tow_rating"].capacity == braked


def test_every_rule_of_weights_is_placed():
    towed = set().union(*methods.OF_TOWED_VEHICLE.values())
    groups = [*methods.BY_BALL_LOAD, *methods.BY_GROSS, *methods.COMBINED, *methods.FLAT_ONLY, *towed]
    assert sorted(groups) == sorted(rule.key for rule in WEIGHT_RULES), (
        "a rule of weights that methods.py does not know"
    )
    keys = {method: [rule.key for rule in method_rules(FULL.need, method)] for method in METHODS}
    assert not {"tow_bar", "brackets", "towed_front_gawr"} & {*keys[DOLLY], *keys[TRAILER]}
    assert (
        "towed_rear_tyres" in keys[DOLLY]
        and "towed_rear_tyres" not in keys[TRAILER]
        and "towed_gvwr" in keys[TRAILER]
    )
    assert all(len(set(k)) == len(k) for k in keys.values())
    with pytest.raises(ValueError, match="four wheels down, dolly, open trailer"):
        method_rules(FULL.need, "on a rope")


NEEDED = {
    DOLLY: {"dolly_mass": 6, "dolly_gvwr": 1, "dolly_ball_load": 8, "dolly_brakes": 1},
    TRAILER: {"trailer_mass": 13, "trailer_gvwr": 1, "trailer_tongue_share": 8, "trailer_brakes": 1},
}


@pytest.mark.parametrize(
    ("method", "name"), [(method, name) for method, names in NEEDED.items() for name in names]
)
def test_what_is_missing_is_not_known_and_named(rig, method, name):
    limits = method_limits(Facts(rig), FULL._replace(**{name: None}).need, method)
    missing = [limit for limit in limits if limit.answer == NOT_KNOWN]
    assert len(missing) == NEEDED[method][name]
    assert all(f"other_ways.{name}" in limit.missing and limit.used is None for limit in missing)
    assert "not known, such as" in method_words(limits) or "over" in method_words(limits)


def test_nothing_known_of_dolly_and_trailer(rig):
    for method in (DOLLY, TRAILER):
        limits = method_limits(Facts(rig), OtherWays().need, method)
        assert {limit.key for limit in limits if limit.answer != NOT_KNOWN} <= {
            "towed_gvwr",
            "towed_rear_gawr",
            "towed_rear_tyres",
        }
    # no field of the rig that a dolly does not use is asked for: the bar's mass, the brackets
    bare = rig.model_copy(
        update={"towed_vehicle": rig.towed_vehicle.model_copy(update={"bracket_ahead_of_front_axle": None})}
    )
    assert all(limit.answer != NOT_KNOWN for limit in method_limits(Facts(bare), FULL.need, DOLLY))
    assert any(limit.answer == NOT_KNOWN for limit in method_limits(Facts(bare), FULL.need, FLAT))


def test_assumptions_are_noted_only_where_they_are_used(rig):
    no_bar = rig.model_copy(update={"tow_bar": rig.tow_bar.model_copy(update={"mass": None})})
    assert "tow_bar.mass" in _by_key(no_bar, FLAT)["tow_gvwr"].assumed
    facts = Facts(
        rig.model_copy(update={"tow_vehicle": rig.tow_vehicle.model_copy(update={"cg_height": None})})
    )
    over = methods.Overlaid(facts, {"tow_bar.mass": 90.0})
    value, used = facts.assumed_in(lambda: (over.need("tow_vehicle.cg_height"), over.need("tow_bar.mass")))
    assert value == (pytest.approx(0.70), 90.0) and used == (
        "tow_vehicle.cg_height",
    )  # a star reaches the limit through the overlay
    assert all(
        "tow_bar.mass" not in limit.assumed
        for method in (DOLLY, TRAILER)
        for limit in _by_key(no_bar, method).values()
    )


@settings(deadline=None, max_examples=40)
@given(mass=st.floats(300, 1400), share=st.floats(0.02, 0.2))
def test_weight_is_conserved(rig, mass, share):
    facts, other = Facts(rig), FULL._replace(trailer_mass=mass, trailer_tongue_share=share)
    for way in ("out", "back"):
        gross, ball = (work(facts, other.need, method=TRAILER, way=way) for work in (gross_kg, ball_kg))
        rules = {rule.key: rule for rule in method_rules(other.need, TRAILER)}
        axles = sum(rules[key].demand(facts, way) for key in ("tow_front_gawr", "tow_rear_gawr"))
        assert axles == pytest.approx(rules["tow_gvwr"].demand(facts, way))
        assert combined_kg(facts, other.need, method=TRAILER, way=way) == pytest.approx(axles + gross - ball)
        # a heavier tongue takes weight off the front axle and puts more than itself on the rear one
        more = {
            rule.key: rule
            for rule in method_rules(other._replace(trailer_tongue_share=share + 0.01).need, TRAILER)
        }
        gained = more["tow_rear_gawr"].demand(facts, way) - rules["tow_rear_gawr"].demand(facts, way)
        assert (
            gained
            > 0.01 * gross
            > 0
            > more["tow_front_gawr"].demand(facts, way) - rules["tow_front_gawr"].demand(facts, way)
        )


def test_words(rig):
    within = method_words(method_limits(Facts(rig), FULL.need, DOLLY))
    assert re.match(r"all \d+ within; the tightest is .*within by", within)
    over = method_words(
        method_limits(
            Facts(rig),
            FULL._replace(trailer_mass=1500.0, trailer_gvwr=2000.0, trailer_brakes=None).need,
            TRAILER,
        ),
        "us",
    )
    assert re.match(r"\d of \d+ limits over, 2 not known; the worst is .*over by .* lb$", over)
    assert {WITHIN, OVER} >= {limit.answer for limit in method_limits(Facts(rig), FULL.need, TRAILER)}


def test_names_are_those_of_a_rig_section():
    for name in OtherWays._fields:
        with pytest.raises(NotKnown, match=f"^other_ways.{name}$"):
            OtherWays().need(name)
    source = inspect.getsource(methods)
    assert all(f'"{name}"' in source for name in OtherWays._fields)


# --- words and ends by hand ---


def test_rear_tyres_of_a_dolly_by_hand(rig):
    # towed: 690 kg and 60 kg at 2.3 m of a wheelbase of 2.29 m, without any bar
    assert methods.rear_on_road_kg(Facts(rig)) == pytest.approx(690 + 60 * 2.3 / 2.29)


def test_flat_by_hand(rig):
    # 2,370 + 325 + 1,530 + the 26 kg bar, once
    facts = Facts(rig)
    assert combined_kg(facts, FULL.need, method=FLAT, way="out") == pytest.approx(2370 + 325 + 1530 + 26)
    assert gross_kg(facts, FULL.need, method=FLAT, way="out") == pytest.approx(1530 + 13)
    # a bar that hangs at its middle: half on the ball
    assert ball_kg(facts, FULL.need, method=FLAT, way="out") == pytest.approx(13)


def test_a_bracket_ahead_of_the_axle_has_no_say_with_a_dolly(rig):
    far = changed(rig, "towed_vehicle.bracket_ahead_of_front_axle", 3.0)
    assert [limit.demand for limit in method_limits(Facts(far), FULL.need, DOLLY)] == [
        limit.demand for limit in method_limits(Facts(rig), FULL.need, DOLLY)
    ]


def test_a_ball_load_moved_by_a_slider_is_that_of_the_bar_alone(rig):
    # a slider on the bar's load on the ball is the flat way's; the dolly keeps its own 60 kg, and other moved
    # quantities stay moved: 400 kg of people and cargo
    facts = Facts(rig).other({"hitch.ball_load": 45.0, "carried.tow.mass": 400.0})
    assert ball_kg(facts, FULL.need, method=FLAT, way="out") == 45.0
    rules = {rule.key: rule for rule in method_rules(FULL.need, DOLLY)}
    assert rules["payload"].demand(facts, "out") == pytest.approx(400 + 60)


def test_the_usual_tongue_share_is_the_habit():
    # common practice, no source: 10 to 15 % behind a ball
    assert methods.USUAL_TONGUE_SHARE == (0.10, 0.15)


@pytest.mark.parametrize(
    ("limits", "metric", "us"),
    [
        (
            [within("a"), made("tight", 9.0, 10.0)],
            "all 2 within; the tightest is TIGHT, within by 1 kg of 10 kg",
            "all 2 within; the tightest is TIGHT, within by 2.2 lb of 22 lb",
        ),
        (
            [within(), unknown()],
            "none over, but 1 of 2 not known, such as UNKNOWN (not known (hitch.ball_rating))",
            None,
        ),
        (
            [within(), unknown(), likely_over()],
            "none over, but 2 of 3 not known, such as LIKELY_OVER (not known: likely over by 3 kg;"
            " tow_bar.mass is assumed and decides)",
            None,
        ),
        (
            [within(), over("a"), made("worst", 20.0, 10.0)],
            "2 of 3 limits over; the worst is WORST, over by 10 kg",
            "2 of 3 limits over; the worst is WORST, over by 22 lb",
        ),
        (
            [too_close(), over(), unknown(), within()],
            "1 of 4 limits over, 2 not known; the worst is OVER, over by 3 kg",
            None,
        ),
    ],
)
def test_one_way_in_words_by_hand(limits, metric, us):
    for order in (limits, limits[::-1]):
        assert method_words(tuple(order)) == metric
        if us:
            assert method_words(tuple(order), "us") == us


def test_a_line_for_each_carrier_the_file_names(rig, monkeypatch):
    monkeypatch.setattr(methods, "limits_of_way", lambda facts, method: (made(method, 9.0, 10.0),))
    dolly = "Instead, dolly: all 1 within; the tightest is DOLLY, within by 1 kg of 10 kg."
    trailer = "Instead, open trailer: all 1 within; the tightest is OPEN TRAILER, within by 1 kg of 10 kg."
    assert other_ways_words(Facts(rig)) == (dolly, trailer)
    assert other_ways_words(Facts(without(rig, "other_ways.dolly_mass"))) == (trailer,)
    assert other_ways_words(Facts(without(rig, "other_ways.trailer_mass"))) == (dolly,)
    assert "2.2 lb" in other_ways_words(Facts(rig), "us")[0]


def test_a_plus_minus_of_the_trailer_counts_as_any_other(rig):
    # the trailer and what stands on it: 1,530 + its own mass, against its plate; ± 40 kg asks for 46.19 kg of
    # room (JCGM 106:2012, 8.3.2: 2·40/sqrt(3))
    own = rig.other_ways.trailer_mass
    for room, expected in ((46.3, WITHIN), (46.1, NOT_KNOWN), (-46.1, NOT_KNOWN), (-46.3, OVER)):
        other = changed(rig, "other_ways.trailer_gvwr", 1530.0 + own + room)
        other._plus_minus = {"other_ways.trailer_mass": 40.0}
        limits = {limit.key: limit for limit in methods.limits_of_way(Facts(other), TRAILER)}
        assert limits["trailer_gvwr"].answer == expected, room
        if expected == NOT_KNOWN:
            assert limits["trailer_gvwr"].missing == "other_ways.trailer_mass"
