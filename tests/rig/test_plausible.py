"""Values that look like a slip: outside what is usual, or not going together. Usual ends are common practice,
no source, and only ever ask; what is tested is that they ask, and that no answer is given meanwhile.
"""

import tomllib

import pytest

from tests.rigs import DEMOS, changed
from towlib.errors import InputError
from towlib.handbook.tables import Row, load_table
from towlib.limits.limit import ASKED, NOT_KNOWN, OVER, WITHIN
from towlib.plan.trip import make_plan
from towlib.print.report import report
from towlib.rig.measured import rule_of
from towlib.rig.model import ROW_TABLES, Rig, field_info, may_be_off, rig_from_data
from towlib.rig.plausible import _end, questions, read_back
from towlib.rig.store import RigStore
from towlib.road.route import load_route

TOW, TOWED = "tow_vehicle", "towed_vehicle"


@pytest.fixture(scope="module")
def road():
    return load_route("data/routes/short_steep_pass.csv")


def rig(changes, demo="demo_comfortable"):
    """A demo rig with other texts in some fields; None takes one out."""
    with open(f"data/rigs/{demo}.toml", "rb") as file:
        data = tomllib.load(file)
    for path, text in changes.items():
        *above, name = path.split(".")
        place = data
        for step in above:
            place = place[int(step) if step.isdigit() else step]
        if text is None:
            del place[name]
        else:
            place[name] = text
    return rig_from_data(data)


def asked(changes, demo="demo_comfortable"):
    return {path for each in questions(rig(changes, demo)) for path in each.paths}


@pytest.mark.parametrize("demo", DEMOS)
def test_nothing_is_asked_about_the_invented_rigs(demo):
    assert questions(rig({}, demo)) == ()


def _numbers(part, above=""):
    for name, info in part.model_fields.items():
        path, kind = f"{above}{name}", info.annotation
        if path in ROW_TABLES:
            yield from _numbers(ROW_TABLES[path], f"{path}.")
        elif isinstance(kind, type) and hasattr(kind, "model_fields"):
            yield from _numbers(kind, f"{path}.")
        else:
            yield path


def test_every_measured_field_has_usual_ends_or_a_reason():
    """Lists have rules of their own; a count of links or an index is a number too."""
    with_ends = {row["field"] for row in load_table("plausible")}
    numbers = set()
    for path in _numbers(Rig):
        table = next((name for name in ROW_TABLES if path.startswith(f"{name}.")), None)
        if may_be_off(path.replace(f"{table}.", f"{table}.0.", 1) if table else path):
            numbers.add(path)
    by_rule = {"tow_vehicle.gearbox.ratios"}  # each against the next, in its module
    assert numbers - with_ends - by_rule == set()


# (what is wrong, the texts): the first of each three was found in a rig that printed "all within"
SLIPS = {
    "a thousands point": {f"{TOW}.front_axle_empty": "1.340 kg"},
    "a thousands point, rear": {f"{TOW}.rear_axle_empty": "1.060 kg"},
    "a thousands point, towed": {f"{TOWED}.front_axle_empty": "1.780 kg"},
    "GVWR over the axle ratings": {f"{TOW}.gvwr": "9000 kg"},
    "GVWR a little over them": {f"{TOW}.gvwr": "3800 kg"},
    "towed GVWR over its axle ratings": {f"{TOWED}.gvwr": "2400 kg"},
    "unbraked rating above the braked one": {f"{TOW}.tow_rating_unbraked": "4200 kg"},
    "unbraked rating just below it": {f"{TOW}.tow_rating_unbraked": "3600 kg"},
    "unbraked rating above GVWR": {f"{TOW}.tow_rating_unbraked": "3400 kg"},
    "1,000 kPa in a tyre that needs 50": {
        f"{TOW}.rear_tyres.pressure": "1000 kPa",
        f"{TOW}.rear_tyres.full_load_pressure": "50 kPa",
    },
    "twice the pressure that holds": {f"{TOW}.rear_tyres.pressure": "88 psi"},
    "bar for psi": {f"{TOWED}.tyres.pressure": "8 bar"},
    "a reserve of a twentieth": {"bracket.factor_asked": 0.05},
    "a reserve below one": {"bracket.factor_asked": 0.9},
    "a reserve of fifteen": {"bracket.factor_asked": 15},
    "a gear that is missing its point": {f"{TOW}.gearbox.ratios": [4.16, 30.0, 2.32, 1.77]},
    "gears the wrong way round": {f"{TOW}.gearbox.ratios": [0.58, 1.08, 2.32, 4.16]},
    "a first gear of a tenth": {f"{TOW}.gearbox.ratios": [0.416, 0.3]},
    "a hole smaller than its bolt": {"bracket.hole_diameter": "12 mm"},
    "a hole twice its bolt": {"bracket.hole_diameter": "24 mm"},
    "another bolt than the hole's": {"bracket.bolt_size": "3/8-16"},
    "a ball twice as far back": {f"{TOW}.ball_behind_rear_axle": "2.15 m"},
    "a track in feet": {f"{TOW}.track": "1.70 ft"},
    "a wheelbase of a toy": {f"{TOW}.wheelbase": "3.61 ft"},
    "power in hp called kW": {f"{TOW}.engine.peak_power": "353 kW"},
    "torque in lbf ft called N m": {f"{TOW}.engine.peak_torque": "377 N m"},
    "one bolt a tenth as far": {"bracket.bolts.1.behind_pin": "7 mm"},
    "a load beyond the bumper": {"load.2.behind_front_axle": "6.2 m"},
    "a person of eight": {"load.0.mass": "8.2 kg"},
}


@pytest.mark.parametrize("changes", SLIPS.values(), ids=SLIPS)
def test_a_slip_is_asked_about_in_the_field_it_is_in(changes):
    assert asked(changes) & set(changes)


RATINGS = ("gvwr", "front_gawr", "rear_gawr", "payload", "gcwr", "tow_rating_unbraked", "tow_rating_braked")


def _as_lb(paths, demo):
    """The figures of these ratings in lb, written as kg."""
    with open(f"data/rigs/{demo}.toml", "rb") as file:
        data = tomllib.load(file)
    return {f"{TOW}.{name}": f"{float(data[TOW][name].split()[0]) / 0.45359237:.0f} kg" for name in paths}


@pytest.mark.parametrize("left_out", [(), ("payload",), ("gcwr", "tow_rating_braked")])
def test_ratings_in_pounds_written_as_kilograms_answer_nothing(road, left_out):
    names = [name for name in RATINGS if name not in left_out]
    plan = make_plan(rig(_as_lb(names, "demo_comfortable")), road)
    rest = {f"tow_{name}" if name == "gvwr" else name for name in names}
    by_key = {limit.key: limit for limit in plan.limits}
    for key in rest & by_key.keys():
        assert by_key[key].answer == NOT_KNOWN and by_key[key].doubt.kind == ASKED, key
    assert "All" not in plan.verdict


@pytest.mark.parametrize(
    "name",
    [
        "a thousands point",
        "GVWR over the axle ratings",
        "a reserve of a twentieth",
        "1,000 kPa in a tyre that needs 50",
    ],
)
def test_what_rests_on_a_slip_is_not_known_and_says_what_is_asked(road, name):
    changes = SLIPS[name]
    plan = make_plan(rig(changes), road)
    doubtful = [limit for limit in plan.limits if limit.doubt and limit.doubt.kind == ASKED]
    assert doubtful and "All" not in plan.verdict and "not known" in plan.verdict
    for limit in doubtful:
        assert limit.answer == NOT_KNOWN and limit.answer_text().startswith("not known: ")
        assert limit.doubt.path in asked(changes)


def test_a_limit_over_by_a_slip_is_asked_about_as_well(road):
    """A gross rating of 327 kg is over, and no reader should believe it."""
    limit = {each.key: each for each in make_plan(rig({f"{TOW}.gvwr": "327 kg"}), road).limits}["tow_gvwr"]
    assert (limit.plain, limit.answer) == (OVER, NOT_KNOWN)


def test_what_is_confirmed_counts_and_another_value_is_asked_about_again(road):
    told = {"bracket.factor_asked": 0.95, "confirmed": {"bracket.factor_asked": 0.95}}
    assert asked(told) == set()
    pin = {each.key: each for each in make_plan(rig(told), road).limits}["bracket_pin"]
    assert pin.answer == WITHIN
    assert asked({**told, "bracket.factor_asked": 0.94}) == {"bracket.factor_asked"}
    kg = {f"{TOW}.gvwr": "3800 kg", "confirmed": {f"{TOW}.gvwr": "3800 kg"}}
    assert f"{TOW}.front_gawr" in asked(kg)  # one of three that do not go together is not enough
    ratings = {f"{TOW}.gvwr": "3.8 t", f"{TOW}.front_gawr": "1730 kg ± 5 kg", f"{TOW}.rear_gawr": "1940 kg"}
    assert asked({**kg, "confirmed": ratings}) == set()  # the same values in other units


@pytest.mark.parametrize(
    "told, words",
    [
        ("yes", "a table [confirmed]"),
        ({"tow_vehicle.no_such": "1 kg"}, "no field"),
        ({"tow_vehicle.gvwr": "1 banana"}, "confirmed.tow_vehicle.gvwr"),
    ],
)
def test_a_confirmation_that_cannot_be_read_is_said(told, words):
    with pytest.raises(InputError, match=words.replace("[", r"\[")):
        rig({"confirmed": told})


def test_a_value_is_read_back_read_back():
    """1340 kg / 0.45359237 = 2954.2 lb; 36 psi x 6.894757 = 248.2 kPa (NIST SP 811, appendix B.8)."""
    assert read_back("tow_vehicle.front_axle_empty", 1340.0) == "1,340 kg = 2,954 lb"
    assert read_back("towed_vehicle.tyres.pressure", 36 * 6894.757) == "248.2 kPa = 36 psi"
    assert read_back("battery.capacity", 58.0) == "58 Ah"
    assert read_back("tow_vehicle.gearbox.ratios", (4.1, 2.3)) == "4.1, 2.3"


def test_the_store_confirms_all_values_of_a_question_and_forgets_when_one_changes(tmp_path):
    store = RigStore(tmp_path)
    with open("data/rigs/demo_comfortable.toml", encoding="utf-8") as file:
        store.replace(file.read(), {})
    assert store.asked() == ()
    store.put("tow_vehicle.gvwr", "3800 kg")
    assert {path for each in store.asked() for path in each.paths} == {
        "tow_vehicle.gvwr",
        "tow_vehicle.front_gawr",
        "tow_vehicle.rear_gawr",
    }
    store.confirm("tow_vehicle.gvwr")
    assert store.asked() == () and RigStore(tmp_path).asked() == ()
    assert store.text("tow_vehicle.gvwr") == "3800 kg" and not any(
        path.startswith("confirmed") for path in store.texts()
    )
    store.put("tow_vehicle.gvwr", "3900 kg")
    assert store.asked()
    store.put("tow_vehicle.gvwr", "3800 kg")
    assert store.asked() == ()  # that very value was confirmed


def test_with_hardly_anything_filled_in_a_slip_is_asked_about_already(tmp_path):
    store = RigStore(tmp_path)
    store.put("tow_vehicle.front_axle_empty", "1.340 kg")
    store.put("load.0.mass", "2.5 kg")
    assert {each.paths for each in store.asked()} == {("tow_vehicle.front_axle_empty",), ("load.0.mass",)}
    store.put("tow_vehicle.front_axle_empty", "1340 kg")
    assert {each.paths for each in store.asked()} == {("load.0.mass",)}


def test_the_report_puts_the_questions_before_the_limits(road):
    told = report(make_plan(rig({f"{TOW}.front_axle_empty": "1.340 kg"}), road))
    asked_at, limits_at = told.index("To look at first"), told.index("demand")
    assert asked_at < told.index("1.34 kg = 2.954 lb") < limits_at
    assert "To look at first" not in report(make_plan(rig({}), road))


GEARS = f"{TOW}.gearbox.ratios"


@pytest.mark.parametrize(
    ("path", "text", "is_asked"),
    [
        ("load.2.behind_front_axle", "-0.5 m", False),  # on a nose of 0.85 m
        ("load.4.behind_front_axle", "-0.45 m", True),  # ahead of a nose of 0.42 m
        ("load.4.behind_front_axle", "-0.40 m", False),
        # on the ends themselves nobody asks
        (GEARS, [8.0, 4.0, 2.0, 1.3], False),
        (GEARS, [2.0, 1.3], False),
        (GEARS, [1.95, 1.3], True),
        (GEARS, [2.0, 0.9, 0.4], False),
        (GEARS, [2.3, 1.0], False),  # 2.3 times the next
        (GEARS, [2.1, 2.0, 1.0], False),  # 1.05 times the next
        (GEARS, [7.9, 4.0, 2.3, 1.4, 1.0], False),
        (GEARS, [8.1, 4.0, 2.3, 1.4, 1.0], True),
        (GEARS, [4.16, 2.5, 1.3], False),
        (GEARS, [4.16, 2.5, 1.35], True),
        (GEARS, [4.16, 2.5, 1.3, 0.7, 0.41], False),
        (GEARS, [4.16, 2.5, 1.3, 0.7, 0.39], True),
        (GEARS, [4.16, 1.78, 1.0], True),  # 2.34 times the next
        (GEARS, [2.0, 1.92, 1.0], True),  # 1.04 times the next
        ("bracket.bolts.1.behind_pin", "10.7 mm", True),  # a sixth and a half of the others' 70 mm
        ("bracket.bolts.1.behind_pin", "12 mm", False),
        ("bracket.bolts.1.above_pin", "0 mm", False),  # on a level with the pin: no other row of bolts
        ("battery.key_on_current", "0 A", False),
        ("battery.key_on_current", "0.1 A", True),
    ],
)
def test_the_ends_themselves(path, text, is_asked):
    assert (path in asked({path: text})) == is_asked


def test_a_bolt_out_of_line_is_told_with_both_places():
    (question,) = questions(rig({"bracket.bolts.1.behind_pin": "7 mm"}))
    assert "7 mm = 0.2756 in" in question.words and "70 mm = 2.756 in" in question.words


@pytest.mark.parametrize(
    ("ratios", "words"),
    [
        ([8.1, 4.0, 2.3, 1.4, 1.0], "first gear 8.1"),
        ([4.16, 2.5, 1.35], "highest gear 1.35"),
        ([4.16, 2.5, 1.0], "gear 2 2.5 and then 1"),
        ([4.16, 1.6, 0.6], "gear 1 4.16 and then 1.6"),  # the first of several
    ],
)
def test_an_odd_gear_is_named_with_what_is_usual(ratios, words):
    (question,) = questions(rig({GEARS: ratios}))
    assert question.paths == (GEARS,)
    assert question.words == (
        f"gear ratios: {words}? Usual is from gear to gear 1.05 to 2.3 times, the first 2 to 8, the highest"
        " 0.4 to 1.3"
    )


DEMO = rig({})
ENDS = {row["field"]: row for row in load_table("plausible")}


@pytest.mark.parametrize(
    "path",
    [
        "tow_vehicle.cg_height",
        "tow_vehicle.rolling_resistance",
        "tow_vehicle.brakes.front_share",
        "safety_chains.links",
        "conditions.ramp_change",
    ],
)
def test_on_the_usual_ends_nobody_asks_and_a_hair_outside_somebody_does(path):
    row = ENDS[path.replace("load.2", "load")]
    rule = rule_of(field_info(path))
    for column, outside in (("low", 1 - 1e-6), ("high", 1 + 1e-6)):
        end = rule.read(row[column]) if rule else float(row[column])
        for value, is_asked in ((end, False), (end * outside, True)):
            said = [each for each in questions(changed(DEMO, path, value)) if each.paths == (path,)]
            usual = f"Usual is {row['low']} to {row['high']}"
            assert [each.words.endswith(usual) for each in said] == [True] * is_asked, (column, value)


def test_a_slip_is_asked_about_once():
    (question,) = questions(rig({f"{TOWED}.tyre_trail": "2 mm"}))
    row = ENDS[f"{TOWED}.tyre_trail"]
    assert question.words == f"Tyre trail: 2 mm = 0.07874 in? Usual is {row['low']} to {row['high']}"


SPREADS = "tow_bar.narrowest_spread", "tow_bar.widest_spread"


@pytest.mark.parametrize(
    ("narrowest", "widest", "is_asked"),
    [
        (0.7, 0.7, False),  # one over the other is 1 at the most
        (0.7001, 0.7, True),
        (0.2, 1.0, False),  # and a fifth at the least
        (0.1999, 1.0, True),
    ],
)
def test_on_the_ends_of_a_ratio_nobody_asks(narrowest, widest, is_asked):
    odd = changed(changed(DEMO, SPREADS[0], narrowest), SPREADS[1], widest)
    assert (SPREADS in [each.paths for each in questions(odd)]) == is_asked


@pytest.mark.parametrize(
    ("unbraked", "is_asked"), [("1785 kg", False), ("2000 kg", True), ("2100 kg", False)]
)
def test_a_rating_may_be_the_same_with_and_without_brakes(unbraked, is_asked):
    """85 % of it at the most, or all of it."""
    odd = rig({f"{TOW}.tow_rating_braked": "2100 kg", f"{TOW}.tow_rating_unbraked": unbraked})
    pair = (f"{TOW}.tow_rating_unbraked", f"{TOW}.tow_rating_braked")
    assert (pair in [each.paths for each in questions(odd)]) == is_asked


def test_a_ratio_is_told_with_both_values_and_its_usual_ends():
    """24 mm over half an inch: 24 / 12.7 = 1.89."""
    said = [each.words for each in questions(rig({"bracket.hole_diameter": "24 mm"}))]
    assert (
        "diameter of the bolt holes: 24 mm = 0.9449 in; Bracket bolts, thread: 1/2-13? Hole over bolt"
        " diameter: 1.89; usual is 1 to 1.25"
    ) in said


@pytest.mark.parametrize("gvwr_kg", [2300.0, 2369.5, 2370.0])
def test_what_is_left_of_nothing_is_beyond_all_bounds(gvwr_kg):
    """The vehicle weighs 1310 and 1060 kg empty: no payload goes with a GVWR of as much or less."""
    pair = f"{TOW}.payload", f"{TOW}.gvwr", f"{TOW}.front_axle_empty", f"{TOW}.rear_axle_empty"
    said = {each.paths: each.words for each in questions(changed(DEMO, f"{TOW}.gvwr", gvwr_kg))}
    assert "Payload over GVWR less empty weight: beyond all bounds; usual is 0.55 to 1.2" in said[pair]


@pytest.mark.parametrize(
    "path", [f"{TOW}.engine.peak_torque", f"{TOW}.engine.peak_power_at", f"{TOW}.front_axle_empty"]
)
def test_nothing_is_asked_about_what_does_not_stand_there(path):
    assert questions(changed(DEMO, path, None)) == ()


def test_a_list_is_confirmed_as_a_whole():
    odd = [8.5, 4.0, 2.3, 1.4, 1.0]
    assert asked({GEARS: odd, "confirmed": {GEARS: odd}}) == set()
    assert asked({GEARS: odd, "confirmed": {GEARS: [8.6, *odd[1:]]}}) == {GEARS}
    assert asked({GEARS: odd, "confirmed": {f"{TOW}.gvwr": "3270 kg"}}) == {GEARS}


def test_a_bolt_six_times_as_far_is_in_place():
    far = rig({f"bracket.bolts.{number}.behind_pin": "60 mm" for number in (0, 2, 3)})
    assert questions(changed_bolt(far, 0.01)) == () != questions(changed_bolt(far, 0.0099))


def changed_bolt(of, behind_m):
    first, second, *others = of.bracket.bolts
    bolts = (first, second.model_copy(update={"behind_pin": behind_m}), *others)
    return changed(of, "bracket.bolts", bolts)


@pytest.mark.parametrize(
    ("place", "is_asked"),
    [
        (-0.85, False),  # on the nose
        (-0.8501, True),
        (3.61 + 1.05 + 0.6, False),  # a carrier reaches 0.6 m behind the tail
        (3.61 + 1.05 + 0.6001, True),
    ],
)
def test_cargo_lies_on_its_vehicle_or_a_carrier_behind(place, is_asked):
    odd = DEMO.load[2].model_copy(update={"behind_front_axle": place})
    found = questions(DEMO.model_copy(update={"load": (*DEMO.load[:2], odd, *DEMO.load[3:])}))
    beyond = [each.paths for each in found if each.words.endswith("? That is beyond its vehicle")]
    assert beyond == [("load.2.behind_front_axle",)] * is_asked


def test_what_is_not_filled_in_yet_hides_no_cargo_that_lies_beyond():
    """As in the form: a wheelbase or a place that nobody has given yet."""
    beyond = rig({"load.2.behind_front_axle": "6.2 m", "load.4.behind_front_axle": "4.4 m"})
    no_place = beyond.load[0].model_copy(update={"behind_front_axle": None})
    begun = beyond.model_copy(update={"load": (no_place, *beyond.load[1:])})
    found = {path for each in questions(begun) for path in each.paths}
    assert found == {"load.2.behind_front_axle", "load.4.behind_front_axle"}
    begun = changed(begun, f"{TOW}.wheelbase", None)
    assert {path for each in questions(begun) for path in each.paths} == {"load.4.behind_front_axle"}


def test_a_wrong_end_in_the_table_names_its_row():
    row = Row({"field": "tow_vehicle.gvwr", "low": "one banana"}, "plausible.csv", 7)
    with pytest.raises(InputError, match="plausible.csv, line 7.*one banana.*a value of the field"):
        _end(row, "low", rule_of(field_info("tow_vehicle.gvwr")))
    with pytest.raises(InputError, match="plausible.csv, line 7.*a plain number"):
        _end(row, "low", None)
