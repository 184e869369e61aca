"""Lamps and battery of a made-up rig, worked out a second time: Ohm's law over copper, Peukert in its rated
form, each answer and its words.
"""

import math

import pytest

from tests.limits.made import RIG, limit, road
from tests.rigs import changed, without
from towlib.limits.electrics_limits import (
    CHARGE,
    battery_advice,
    battery_with_key_on,
    electric_rules,
    lamp_feed_ohm,
    lamp_return_ohm,
    lamp_wire_ohm,
    light_words,
)
from towlib.limits.limit import NOT_KNOWN, OVER, WITHIN, YES_NO
from towlib.rig.facts import Facts, NotKnown

ROAD = road((1000, 0.0))
WIRED = changed(changed(RIG, "lights.wire_size", "16 AWG"), "lights.wire_length", 8.0)


def _rig(rig=RIG, **told):
    for name, value in told.items():
        rig = changed(rig, name.replace("__", "."), value)
    return rig


# --- lamps ---


def test_lamps_seen_working_or_not_or_not_looked_at():
    told = {said: limit(_rig(lights__seen_working=said), "lamps_seen", ROAD) for said in (True, False, None)}
    assert [told[said].answer for said in (True, False, None)] == [WITHIN, OVER, NOT_KNOWN]
    words = [told[said].answer_text() for said in (True, False, None)]
    assert words == ["within", "over: not fulfilled", "not known (lights.seen_working)"]
    assert told[True].kind == YES_NO and told[True].demand == told[True].capacity == 1.0
    assert told[False].capacity == 0.0


@pytest.mark.parametrize(
    ("stop", "turn", "given", "expected"),
    [
        (4.0, 2.0, 4.0, WITHIN),
        (2.0, 4.0, 4.0, WITHIN),
        (4.0, 2.0, math.nextafter(4.0, 0.0), OVER),
        (2.0, 4.0, math.nextafter(4.0, 0.0), OVER),
    ],
)
def test_the_larger_of_both_currents_counts(stop, turn, given, expected):
    rig = _rig(lights__stop_current=stop, lights__turn_current=turn, lights__tow_side_current=given)
    told = limit(rig, "lamp_socket", ROAD)
    assert (told.answer, told.demand, told.capacity) == (expected, 4.0, given)
    less = limit(_rig(rig, lights__tow_side_current=2.5), "lamp_socket", ROAD)
    assert less.answer_text() == less.answer_text("us") == "over by 1.5 A"


@pytest.mark.parametrize("name", ["stop_current", "turn_current", "tow_side_current"])
def test_a_current_nobody_measured_is_named(name):
    told = limit(without(RIG, f"lights.{name}"), "lamp_socket", ROAD)
    assert (told.answer, told.missing) == (NOT_KNOWN, f"lights.{name}")


def test_ohms_of_wire_and_way_back_by_hand():
    # 16 AWG: 0.005 in · 92^(20/39) = 1.291 mm across; copper of 58 MS/m; 0.393 % more for each kelvin
    # above 20 °C
    across = 0.005 * 0.0254 * 92 ** (20 / 39)
    wire = 8.0 / 58e6 / (math.pi / 4 * across**2)
    facts = Facts(WIRED)
    assert lamp_wire_ohm(facts) == pytest.approx(wire)
    assert lamp_wire_ohm(facts, temperature_c=75.0) == pytest.approx(wire * (1 + 0.00393 * 55))
    own = Facts(_rig(WIRED, lights__return_way="own wire"))
    assert lamp_return_ohm(own) == pytest.approx(wire)
    assert lamp_return_ohm(own, temperature_c=75.0) == pytest.approx(wire * (1 + 0.00393 * 55))
    frame = Facts(_rig(WIRED, lights__return_way="frame"))
    assert lamp_return_ohm(frame) == 0.005  # from memory; it decides nothing
    fed = Facts(_rig(WIRED, lights__contact_resistance=0.04))
    assert lamp_feed_ohm(fed) == pytest.approx(wire + 0.04)
    assert lamp_feed_ohm(fed.other({"lights.feed_resistance": 0.5})) == 0.5


def test_the_light_of_a_filament_by_its_volts():
    # to the power 3.4: (12 / 13.5)^3.4 = 0.670
    words = light_words(Facts(_rig(lights__plug_volts=13.5, lights__lamp_volts=12.0)))
    assert words == "Filament brake lamps give 67 % of their light: 12 V of 13.5 V arrive."
    assert light_words(Facts(RIG)) == "Light of the brake lamps: not known (lights.plug_volts)."
    one = _rig(lights__plug_volts=13.5)
    assert light_words(Facts(one)) == "Light of the brake lamps: not known (lights.lamp_volts)."
    dead = _rig(lights__plug_volts=0.0, lights__lamp_volts=0.0)
    assert light_words(Facts(dead)).startswith("Light of the brake lamps: not known (the full volts")


# --- battery ---


def _hours(draw=2.0, feed=0.0, ah=60.0, k=1.25, years=2.0, cold=0.0, cca=500.0, engine=150.0) -> float | None:
    """Peukert in its rated form at 20 h, never more than the charge; half must stay, or what cranks the
    engine. 5 % a year and 0.8 % a kelvin below 25 °C (from memory), cranking table of TM 5-4210-230-14&P-1:
    at 0 °C 65 % is given and 155 % asked, at 26.7 °C 100 % each, at -17.8 °C 40 and 210 %.
    """
    age = max(0.4, 1 - 0.05 * years)
    capacity = ah * min(1.0, 1 - 0.008 * (25 - cold)) * age
    given, asked = {0.0: (0.65, 1.55), 26.7: (1.0, 1.0), -17.8: (0.40, 2.10)}[cold]
    stays = max(0.5, engine * asked / (cca / 0.40 * given * age))
    if stays >= 1:
        return 0.0
    net = draw - feed
    if net <= 0:
        return None
    return (1 - stays) * min(20 * (capacity / (net * 20)) ** k, capacity / net)


@pytest.mark.parametrize(
    "told",
    [
        {},
        {"draw": 8.0},  # above the rated current Peukert counts
        {"feed": 1.5},
        {"k": 1.10, "draw": 8.0},
        {"k": 1.15, "draw": 8.0},
        {"years": 9.0, "ah": 45.0},
        {"cold": -17.8},  # 2.1 · 150 of 1250 · 0.4 · 0.9: 70 % must stay
        {"cold": 26.7},
        {"cold": -17.8, "cca": 300.0},  # more than a full battery has
        {"engine": 400.0},
    ],
)
def test_hours_with_the_key_on_by_hand(told):
    names = {
        "draw": "key_on_current",
        "feed": "feed_current",
        "ah": "capacity",
        "years": "age_years",
        "cold": "coldest",
        "cca": "cold_cranking",
        "engine": "engine_current",
    }
    rig = _rig(**{f"battery__{names[name]}": value for name, value in told.items() if name != "k"})
    kind = {1.25: "flooded", 1.10: "AGM", 1.15: "gel"}[told.get("k", 1.25)]
    rig = _rig(rig, battery__kind=kind)
    told_limit = limit(rig, "battery_hours", ROAD)
    assert told_limit.capacity == pytest.approx(_hours(**told)) and told_limit.demand == 6.0


@pytest.mark.parametrize(
    ("feed", "hours"),
    [
        (2.0, 240.0),  # keeps up: ten days are answered
        (3.0, 240.0),
        (1.95, 240.0),  # 0.05 A out of 43 Ah: more than ten days
        (1.85, _hours(feed=1.85)),
    ],
)
def test_a_charging_line_that_keeps_up(feed, hours):
    assert limit(_rig(battery__feed_current=feed), "battery_hours", ROAD).capacity == pytest.approx(hours)
    assert (_hours(feed=1.95), _hours(feed=1.85)) == (pytest.approx(432.0), pytest.approx(144.0))


def test_exactly_the_hours_of_a_day_are_within():
    hours = limit(RIG, "battery_hours", ROAD).capacity
    for asked, expected in ((hours, WITHIN), (math.nextafter(hours, 99.0), OVER)):
        assert limit(_rig(battery__hours_a_day=asked), "battery_hours", ROAD).plain == expected
    over = limit(_rig(battery__hours_a_day=hours + 2.0), "battery_hours", ROAD)
    assert over.answer_text() == over.answer_text("us") == "over by 2 h"


@pytest.mark.parametrize("name", ["key_on_current", "capacity", "cold_cranking", "hours_a_day"])
def test_a_battery_of_which_something_is_not_said(name):
    told = limit(without(RIG, f"battery.{name}"), "battery_hours", ROAD)
    assert (told.answer, told.missing) == (NOT_KNOWN, f"battery.{name}")


@pytest.mark.parametrize(
    ("name", "assumed"),
    [
        ("rated_hours", 20.0),
        ("kind", "flooded"),
        ("engine_current", 150.0),
        ("age_years", 5.0),
        ("coldest", 0.0),
        ("feed_current", 0.0),
    ],
)
def test_what_is_assumed_of_a_battery_is_starred(name, assumed):
    told = limit(without(RIG, f"battery.{name}"), "battery_hours", ROAD)
    assert told.assumed == (f"battery.{name}",) and told.capacity == pytest.approx(
        limit(_rig(**{f"battery__{name}": assumed}), "battery_hours", ROAD).capacity
    )


def test_a_battery_that_cannot_be_is_a_sentence():
    with pytest.raises(NotKnown, match="cranking power"):
        battery_with_key_on(Facts(_rig(battery__coldest=-33.0)))
    told = limit(_rig(battery__coldest=-33.0), "battery_hours", ROAD)
    assert told.answer == NOT_KNOWN and "-28.9 °C" in told.missing


@pytest.mark.parametrize(("off", "asked"), [(True, False), (False, True), (None, True)])
def test_a_battery_that_is_disconnected_is_not_asked(off, asked):
    rules = electric_rules(Facts(_rig(battery__disconnected=off)))
    assert [rule.key for rule in rules] == ["lamps_seen", "lamp_socket"] + ["battery_hours"] * asked
    assert not any(rule.per_way for rule in rules)


@pytest.mark.parametrize(
    ("engine", "line_helps"), [(150.0, True), (164.8, True), (165.0, False), (400.0, False)]
)
def test_a_charging_line_is_advised_while_a_full_battery_starts_the_engine(engine, line_helps):
    # -17.8 °C, 2 years: 500/0.40 · 0.40 · 0.9 = 450 A given, 2.1 times the current asked: up to 214 A;
    # with 385
    # A printed up to 165
    rig = _rig(battery__coldest=-17.8, battery__cold_cranking=385.0, battery__engine_current=engine)
    assert (engine < 385 / 0.40 * 0.40 * 0.9 / 2.1) == line_helps
    words = battery_advice(Facts(rig), "out")
    assert (words == CHARGE) == line_helps == ("charging line" in words)
    assert "stronger or younger" in words or line_helps
