"""Every weight limit by hand on a rig of round figures: both ways, the edge, the words, what is missing and
what is assumed.

By hand (moments about the axles; x behind the front axle, L the wheelbase: front m (1 - x/L), rear m x/L):

tow vehicle, L = 4 m, empty 1200 + 1000; half of the 20 kg bar on the ball, 5 m back: front -2.5, rear 12.5
  driver 80 at 2 m: 40 + 40; boat, there, 200 at 5 m: -50 + 250; passenger, home, 100 at 2 m: 50 + 50
  there: 1200 + 40 - 50 - 2.5 = 1187.5 and 1000 + 40 + 250 + 12.5 = 1302.5, together 2490, carried 290
  home:  1200 + 40 + 50 - 2.5 = 1287.5 and 1000 + 40 + 50 + 12.5 = 1102.5, together 2390, carried 190
towed vehicle, L = 2.5 m, empty 800 + 600; the bar's other half 0.5 m ahead of the front: front 12, rear -2
  spare 50 at 3 m: -10 + 60; firewood, home, 120 at 0.5 m: 96 + 24
  there: 802 and 658, together 1460; home: 898 and 682, together 1580
"""

import math

import pytest

from tests.limits.round_rig import KG_LB, ROUND, asked, limit_of
from tests.rigs import changed, without
from towlib.limits.limit import NOT_KNOWN, OVER, WITHIN
from towlib.limits.loads import LIGHTER_THAN_EMPTY, NOBODY
from towlib.limits.weights_limits import WEIGHT_RULES

RULES = {rule.key: rule for rule in WEIGHT_RULES}
TOW_FRONT, TOW_REAR, TOW, CARRIED = (1187.5, 1287.5), (1302.5, 1102.5), (2490.0, 2390.0), (290.0, 190.0)
TOWED_FRONT, TOWED_REAR, TOWED = (802.0, 898.0), (658.0, 682.0), (1460.0, 1580.0)
# key: asked out and back; the field that allows it, and what that comes to. Loads of the indices 95, 100 and
# 108: 690, 800 and 1000 kg (load index table); two tyres, at 200 of 250, 255 of 300 and 270 of 300 kPa
BY_HAND = {
    "tow_gvwr": (TOW, "tow_vehicle.gvwr", 3000.0),
    "tow_front_gawr": (TOW_FRONT, "tow_vehicle.front_gawr", 1500.0),
    "tow_rear_gawr": (TOW_REAR, "tow_vehicle.rear_gawr", 1800.0),
    "payload": (CARRIED, "tow_vehicle.payload", 800.0),
    "gcwr": ((2490.0 + 1460.0, 2390.0 + 1580.0), "tow_vehicle.gcwr", 5000.0),
    "tow_rating": (TOWED, "tow_vehicle.tow_rating_unbraked", 1800.0),
    "front_tyres": (TOW_FRONT, "tow_vehicle.front_tyres.pressure", 2 * 800 * 0.85),
    "rear_tyres": (TOW_REAR, "tow_vehicle.rear_tyres.pressure", 2 * 1000 * 0.9),
    "receiver": (TOWED, "hitch.receiver_rating", 2300.0),
    "ball_mount": (TOWED, "hitch.ball_mount_rating", 2200.0),
    "ball": (TOWED, "hitch.ball_rating", 2100.0),
    "tow_bar": (TOWED, "tow_bar.rating", 2000.0),
    "brackets": (TOWED, "tow_bar.bracket_rating", 1900.0),
    "towed_gvwr": (TOWED, "towed_vehicle.gvwr", 1900.0),
    "towed_front_gawr": (TOWED_FRONT, "towed_vehicle.front_gawr", 950.0),
    "towed_rear_gawr": (TOWED_REAR, "towed_vehicle.rear_gawr", 1000.0),
    "towed_front_tyres": (TOWED_FRONT, "towed_vehicle.tyres.pressure", 2 * 690 * 0.8),
    "towed_rear_tyres": (TOWED_REAR, "towed_vehicle.tyres.pressure", 2 * 690 * 0.8),
}
PER_KG = {  # pascals that let the pair carry one kilogram more
    "front_tyres": 300e3 / 1600,
    "rear_tyres": 300e3 / 2000,
    "towed_front_tyres": 250e3 / 1380,
    "towed_rear_tyres": 250e3 / 1380,
}
TOW_WEIGHT = ("tow_vehicle.front_axle_empty", "tow_vehicle.rear_axle_empty")
TOWED_WEIGHT = ("towed_vehicle.front_axle_empty", "towed_vehicle.rear_axle_empty")
TOW_AXLE = (*TOW_WEIGHT, "tow_vehicle.wheelbase", "tow_vehicle.ball_behind_rear_axle")
TOWED_AXLE = (*TOWED_WEIGHT, "towed_vehicle.wheelbase", "towed_vehicle.bracket_ahead_of_front_axle")


def _tyres(path):
    return tuple(f"{path}.{name}" for name in ("load_index", "pressure", "full_load_pressure"))


NEEDS = {
    **dict.fromkeys(BY_HAND, TOWED_WEIGHT),
    "tow_gvwr": TOW_WEIGHT,
    "gcwr": (*TOW_WEIGHT, *TOWED_WEIGHT),
    "payload": (),
    "tow_rating": (*TOWED_WEIGHT, "towed_vehicle.brakes_fitted"),
    "tow_front_gawr": (TOW_AXLE[0], *TOW_AXLE[2:]),
    "tow_rear_gawr": TOW_AXLE[1:],
    "front_tyres": (TOW_AXLE[0], *TOW_AXLE[2:], *_tyres("tow_vehicle.front_tyres")),
    "rear_tyres": (*TOW_AXLE[1:], *_tyres("tow_vehicle.rear_tyres")),
    "towed_front_gawr": (TOWED_AXLE[0], *TOWED_AXLE[2:]),
    "towed_rear_gawr": TOWED_AXLE[1:],
    "towed_front_tyres": (TOWED_AXLE[0], *TOWED_AXLE[2:], *_tyres("towed_vehicle.tyres")),
    "towed_rear_tyres": (*TOWED_AXLE[1:], *_tyres("towed_vehicle.tyres")),
}


def _allowing(key, kg):
    """The round rig with a rating, or a pressure, that allows so much."""
    path = BY_HAND[key][1]
    return changed(ROUND, path, kg * PER_KG[key] if key in PER_KG else kg)


def test_every_weight_limit_is_worked_out_here():
    assert set(RULES) == set(BY_HAND) == set(NEEDS)


@pytest.mark.parametrize("key", BY_HAND)
def test_both_ways_and_the_way_that_governs(key):
    demands, _, allowed = BY_HAND[key]
    for way, demand in zip(("out", "back"), demands, strict=True):
        assert asked(RULES[key], ROUND, way) == pytest.approx((demand, allowed), rel=1e-12)
    found = limit_of(RULES[key], ROUND)
    assert (found.answer, found.kind, found.missing, found.assumed) == (WITHIN, "mass", "", ())
    assert found.way == ("out" if demands[0] > demands[1] else "back")
    assert found.demand == pytest.approx(max(demands)) and found.used == pytest.approx(max(demands) / allowed)


@pytest.mark.parametrize("key", BY_HAND)
def test_within_at_what_is_allowed_and_over_just_above(key):
    most = max(BY_HAND[key][0])
    for share, expected in ((1.0 + 1e-9, WITHIN), (1.0 - 1e-9, OVER)):
        assert limit_of(RULES[key], _allowing(key, most * share)).answer == expected
    if key not in PER_KG:  # these figures a computer holds exactly
        assert limit_of(RULES[key], _allowing(key, most)).answer == WITHIN
        assert limit_of(RULES[key], _allowing(key, math.nextafter(most, 0.0))).answer == OVER
    lesser = min(BY_HAND[key][0])  # between both ways: over on one is over
    assert limit_of(RULES[key], _allowing(key, 0.5 * (most + lesser))).answer == OVER


@pytest.mark.parametrize("key", BY_HAND)
@pytest.mark.parametrize(("room_kg", "metric"), [(-100.0, "over by 100 kg"), (100.0, "within by 100 kg")])
def test_the_words(key, room_kg, metric):
    found = limit_of(RULES[key], _allowing(key, max(BY_HAND[key][0]) + room_kg))
    assert found.answer_text() == metric
    assert found.answer_text("us") == f"{metric.partition(' by')[0]} by {100 / KG_LB:.0f} lb"  # 220 lb


@pytest.mark.parametrize(
    ("key", "path"),
    [(key, path) for key, paths in NEEDS.items() for path in dict.fromkeys((*paths, BY_HAND[key][1]))],
)
def test_without_a_field_it_hangs_on_it_is_not_known(key, path):
    found = limit_of(RULES[key], without(ROUND, path))
    assert (found.answer, found.missing) == (NOT_KNOWN, path)
    assert found.answer_text() == f"not known ({path})" and found.used is None


@pytest.mark.parametrize("key", BY_HAND)
def test_half_of_an_assumed_bar_is_counted_and_starred(key):
    # assumed 25 kg (table of assumptions): 2.5 kg more on the ball, and as much on the brackets
    extra = {
        "tow_front_gawr": -2.5 / 4,
        "front_tyres": -2.5 / 4,
        "tow_rear_gawr": 2.5 * 5 / 4,
        "rear_tyres": 2.5 * 5 / 4,
        "towed_front_gawr": 2.5 * 3 / 2.5,
        "towed_front_tyres": 2.5 * 3 / 2.5,
        "towed_rear_gawr": -2.5 * 0.5 / 2.5,
        "towed_rear_tyres": -2.5 * 0.5 / 2.5,
        "gcwr": 5.0,
    }.get(key, 2.5)
    found = limit_of(RULES[key], without(ROUND, "tow_bar.mass"))
    assert found.assumed == ("tow_bar.mass",)
    assert found.demand == pytest.approx(max(BY_HAND[key][0]) + extra, rel=1e-12)


@pytest.mark.parametrize("way", ["out", "back"])
def test_what_counts_people_asks_who_rides_each_way(way):
    manned = {key for key, (demands, *_) in BY_HAND.items() if demands in (TOW, TOW_FRONT, TOW_REAR, CARRIED)}
    nobody = tuple(row for row in ROUND.load if row.vehicle == "towed" or row.way == way)
    other = "back" if way == "out" else "out"
    for key, rule in RULES.items():
        found = limit_of(rule, ROUND.model_copy(update={"load": nobody}))
        if key in (*manned, "gcwr"):
            assert (found.answer, found.missing, found.way) == (NOT_KNOWN, NOBODY, other)
        else:
            assert found.answer == WITHIN


def test_with_brakes_on_the_towed_one_the_other_rating_counts():
    rule = RULES["tow_rating"]
    braked = changed(ROUND, "towed_vehicle.brakes_fitted", True)
    assert limit_of(rule, braked).capacity == 3500.0 and limit_of(rule, ROUND).capacity == 1800.0
    assert limit_of(rule, without(braked, "tow_vehicle.tow_rating_unbraked")).answer == WITHIN
    alone = limit_of(rule, without(braked, "tow_vehicle.tow_rating_braked"))
    assert (alone.answer, alone.missing) == (NOT_KNOWN, "tow_vehicle.tow_rating_braked")
    # over by the one, within by the other; while nobody knows of brakes neither counts
    between = changed(changed(ROUND, "tow_vehicle.tow_rating_unbraked", 1500.0), TOWED_WEIGHT[0], 1000.0)
    assert limit_of(rule, between).answer == OVER
    assert limit_of(rule, changed(between, "towed_vehicle.brakes_fitted", True)).answer == WITHIN
    assert limit_of(rule, without(between, "towed_vehicle.brakes_fitted")).answer == NOT_KNOWN


@pytest.mark.parametrize("key", PER_KG)
def test_tyres_never_carry_more_than_their_index_and_an_index_off_the_table_is_not_known(key):
    path = BY_HAND[key][1].removesuffix(".pressure")
    hard = limit_of(RULES[key], changed(ROUND, f"{path}.pressure", 400e3))
    assert hard.capacity == pytest.approx(
        2 * {"front_tyres": 800.0, "rear_tyres": 1000.0}.get(key, 690.0), rel=1e-12
    )
    odd = limit_of(RULES[key], changed(ROUND, f"{path}.load_index", 999))
    assert (odd.answer, odd.missing) == (NOT_KNOWN, f"{path}.load_index")


@pytest.mark.parametrize("key", PER_KG)
@pytest.mark.parametrize(("kind", "divided_by"), [("P", 1.1), ("LT", 1.0), ("car", 1.0)])
def test_a_passenger_tyre_on_a_truck_carries_less(key, kind, divided_by):
    # 49 CFR 571.110 S4.2.2.2 (read in a stored copy of the code): divided by 1.10 before they are added up
    path = BY_HAND[key][1].removesuffix("pressure") + "kind"
    found = limit_of(RULES[key], changed(ROUND, path, kind))
    assert found.capacity == pytest.approx(BY_HAND[key][2] / divided_by, rel=1e-12)
    assert "571.110" in found.source and not found.assumed


@pytest.mark.parametrize("key", PER_KG)
def test_a_kind_of_tyre_nobody_told_of_counts_as_the_weaker_and_never_as_a_pass(key):
    path, most = BY_HAND[key][1].removesuffix("pressure") + "kind", max(BY_HAND[key][0])
    for share, answer, likely in (
        (1.101, WITHIN, ""),  # enough for a passenger tyre
        (1.099, NOT_KNOWN, OVER),  # for a truck tyre only
        (0.999, OVER, ""),  # for neither
    ):
        found = limit_of(RULES[key], without(_allowing(key, most * share), path))
        assert (found.answer, found.likely, found.assumed) == (answer, likely, (path,))
        assert answer != NOT_KNOWN or found.missing == path
        assert found.capacity == pytest.approx(most * share / 1.1, rel=1e-9)


def test_weighed_loaded_and_lighter_than_empty_is_asked_for_again():
    # GVWR 3000 less payload 800 leaves 2200 kg empty; 2200 on the scale and 10 of the bar: 10 kg carried
    loaded = changed(ROUND, "tow_vehicle.weighed", "loaded")
    assert limit_of(RULES["payload"], loaded).demand == pytest.approx(10.0)
    bare = limit_of(RULES["payload"], changed(loaded, "tow_vehicle.rear_axle_empty", 990.0))
    assert (bare.answer, bare.demand) == (WITHIN, 0.0)
    light = limit_of(RULES["payload"], changed(loaded, "tow_vehicle.rear_axle_empty", 980.0))
    assert (light.answer, light.missing) == (NOT_KNOWN, LIGHTER_THAN_EMPTY)
