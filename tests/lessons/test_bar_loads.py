"""Lesson 03: what its panels compute, by hand and beside the plan."""

import math

import pytest

from towlib.lessons.declare import with_values
from towlib.lessons.l03_bar import bar_loads, bolt_pictures, envelope_table
from towlib.limits.attachment_limits import (
    GROUPS,
    attachment_rules,
    level_and_off_plate_m,
    weakest,
)
from towlib.limits.coupling_limits import coupling_rules
from towlib.limits.decision import answer
from towlib.limits.envelope import bracket_loads, load_cases
from towlib.limits.envelope_limits import envelope_rules
from towlib.rig.facts import Facts, NotKnown
from towlib.rig.model import load_rig

G = 9.80665
# of the comfortable demo: axles 780 and 690 kg, 60 kg at 2.3 m of 2.29 m, 13 kg of the bar 0.48 m ahead
FRONT_KG = 780 + 60 * (1 - 2.3 / 2.29) + 13 * (1 + 0.48 / 2.29)
TOWED_KG = 780 + 690 + 60 + 13
LEVEL = {"tow_bar.slope": 0.0}


@pytest.fixture
def facts():
    return Facts(load_rig("data/rigs/demo_comfortable.toml"))


@pytest.fixture(params=["demo_comfortable", "demo_overloaded"])
def each(request):
    return Facts(load_rig(f"data/rigs/{request.param}.toml"))


def _forces(facts, **values):
    moved = LEVEL | {"tow_vehicle.pair_deceleration": 4.0}
    moved |= {path.replace("__", "."): value for path, value in values.items()}
    return {case.name: case.force for case in bar_loads.bar_cases(with_values(facts, moved), grade=0.1).cases}


def test_own_brakes_that_do_all_leave_only_the_rolling_drag(facts):
    cases = _forces(facts, towed_vehicle__working_brake_share=1.0)
    rolling_n = 0.015 * TOWED_KG * G
    assert cases["braking, level"].along_n == pytest.approx(rolling_n)
    assert cases["braking downhill"].along_n == pytest.approx(rolling_n * math.cos(math.atan(0.1)))


def test_cases_by_hand(facts):
    cases = _forces(facts, conditions__pothole_edge=0.05, conditions__curve_acceleration=3.0)
    assert cases["braking, level"].along_n == pytest.approx(-TOWED_KG * 4 + 0.015 * TOWED_KG * G)
    hill = math.atan(0.1)
    assert cases["braking downhill"].along_n == pytest.approx(
        -TOWED_KG * (4 + G * math.sin(hill)) + 0.015 * TOWED_KG * G * math.cos(hill)
    )
    # a brisk start, 1.5 m/s² (common practice)
    assert cases["pulling away uphill"].along_n == pytest.approx(
        TOWED_KG * (1.5 + G * math.sin(hill)) + 0.015 * TOWED_KG * G * math.cos(hill)
    )
    # the centre of mass ahead of the rear axle by the front axle's share; the ball 1.50 + 0.48 + 2.29 m ahead
    side_n = TOWED_KG * 3 * (FRONT_KG / TOWED_KG) * 2.29 / (1.50 + 0.48 + 2.29)
    assert cases["turning"].left_n == cases["braking in a curve"].left_n == pytest.approx(side_n)
    assert cases["braking in a curve"].along_n == cases["braking downhill"].along_n
    # play doubles the harder of braking and pulling away; locked wheels slide at 0.8 of their load
    assert cases["snatch from play"].along_n == pytest.approx(2 * cases["braking downhill"].along_n)
    assert cases["steering locked"].left_n == pytest.approx(0.8 * FRONT_KG * G * 2.29 / (1.50 + 0.48 + 2.29))
    # the wheel's radius of 346 mm; twice, because the load comes at once
    assert cases["wheels over an edge"].along_n == pytest.approx(
        2 * FRONT_KG * G * math.tan(math.acos(0.296 / 0.346))
    )


def test_the_same_numbers_as_the_plan(each):
    road = bar_loads.steep_pass()
    plan = {case.name: (case, loads) for case, loads in bracket_loads(each, road, "out")}
    found = {name: bar_loads.ranking(each, load_case=name) for name in plan}
    for name, (_, loads) in plan.items():
        assert found[name].loads == loads
    first = min(result.parts[0].load_factor for result in found.values())
    assert first == pytest.approx(min(weakest(each, road, "out", group).load_factor for group in GROUPS))
    d_value = next((r for r in coupling_rules(each) if r.key == "d_value"), None)
    panel = bar_loads.bar_cases(each, grade=0.08)
    if d_value is not None:
        assert panel.d_value_n == pytest.approx(answer(d_value, each).demand)
    # the edge does not hang on the road
    edge = {case.name: case.force for case in load_cases(each, road, "out")}["wheels over an edge"]
    assert {case.name: case.force for case in panel.cases}["wheels over an edge"] == edge


def test_the_yardstick_along_the_bar_is_one_and_a_half_times_the_weight(facts):
    marks = {mark.name: mark.force_n for mark in bar_loads.bar_cases(facts, grade=0.1).marks}
    assert marks["1.5 g"] == pytest.approx(1.5 * 9.81 * TOWED_KG, rel=1e-3)
    assert marks["0.5 g"] == pytest.approx(0.5 * 9.81 * TOWED_KG, rel=1e-3)
    # two arms 0.35 m to either side of 1.5 m share it: S·1.5403/0.7
    assert marks["0.5 g "] == pytest.approx(0.5 * 9.81 * TOWED_KG * math.hypot(1.5, 0.35) / 0.7, rel=1e-3)
    assert marks["rule"] == pytest.approx(6500 * 4.4482216152605)  # 49 CFR 393.71(h), below 5,000 lb
    less = with_values(facts, {"towed_vehicle.gvwr": None})
    assert bar_loads.bar_cases(less, grade=0.1).d_value_n is None
    assert "not known" in bar_loads.bar_cases_words(bar_loads.bar_cases(less, grade=0.1), "us")


def test_what_the_prediction_says_of_both_invented_pairs(each):
    # play asks most along the bar, then the edge, then braking alone, then the start; a curve nothing
    along = {case.name: abs(case.force.along_n) for case in bar_loads.bar_cases(each, grade=0.08).cases}
    order = ("snatch from play", "wheels over an edge", "braking downhill", "pulling away uphill", "turning")
    sizes = [along[name] for name in order]
    assert sizes == sorted(sizes, reverse=True) and sizes[0] == max(along.values())


def test_the_harder_arm_of_every_case(each):
    found = bar_loads.bar_cases(each, grade=0.08975)
    plan = {case.name: loads for case, loads in bracket_loads(each, bar_loads.steep_pass(), "out")}
    names = ("pulling away", *bar_loads.CASES[2:])
    arms = (found.arms_n[0], *found.arms_n[2:])
    for name, arm in zip(names, arms, strict=True):
        if not each.need("towed_vehicle.brakes_fitted"):
            assert abs(arm) == pytest.approx(max(map(abs, plan[name][2:])), rel=1e-3)


def test_a_narrow_bracket_in_a_curve(facts):
    wide, narrow = (
        bar_loads.ranking(
            with_values(facts, LEVEL | {"towed_vehicle.bracket_spread": spread}), load_case="turning"
        ).loads.right_arm_n
        for spread in (0.8, 0.2)
    )
    # S·a/s with the arm a = sqrt(1.5² + (s/2)²)
    assert narrow / wide == pytest.approx(4 * math.hypot(1.5, 0.1) / math.hypot(1.5, 0.4))


def test_what_the_tables_and_the_rig_do_not_hold(facts):
    odd = with_values(facts, {"bracket.bolt_size": "1/4-20", "bracket.bolt_grade": "8.8"})
    found = bar_loads.ranking(odd, load_case="turning")
    known = {part.name: part.load_factor for part in found.parts}
    assert known["pin"] is not None and known["bolts"] is None  # the pin is known all the same
    assert "no strength is listed" in bar_loads.ranking_words(found, "metric")
    with pytest.raises(NotKnown, match="no strength is listed"):
        bolt_pictures.torque(odd, scatter_share=0.3)
    bare = load_rig("data/rigs/demo_comfortable.toml")
    bare = Facts(bare.model_copy(update={"bracket": type(bare.bracket)()}))
    with pytest.raises(NotKnown, match="bracket.bolt_size"):
        bar_loads.ranking(bare, load_case="turning")


def test_only_the_weakest_part_counts(each):
    now = bar_loads.ranking(each, load_case="turning").parts
    first = now[0]
    for path, part in (
        ("bracket.pin_diameter", "pin"),
        ("bracket.plate_thickness", "plate"),
        ("bracket.bolt_grade", "bolts"),
    ):
        value = "10.9" if part == "bolts" else 1.4 * each.need(path)
        then = bar_loads.ranking(with_values(each, {path: value}), load_case="turning").parts
        if part not in first.name:
            assert then[0] == first


def test_bolts_that_are_turned_keep_their_pattern(each):
    level, off = level_and_off_plate_m(each)
    other = "across" if each.need("bracket.bolts_run") == "fore and aft" else "fore and aft"
    turned_level, turned_off = level_and_off_plate_m(with_values(each, {"bracket.bolts_run": other}))
    assert max(turned_level) - min(turned_level) == pytest.approx(max(level) - min(level))
    assert max(turned_off) - min(turned_off) == pytest.approx(max(off) - min(off), abs=1e-12)
    # and the bracket can be reckoned either way
    for part in bar_loads.ranking(with_values(each, {"bracket.bolts_run": other}), load_case="turning").parts:
        assert part.load_factor is not None or part.name == "weld"


def test_a_plate_by_hand(facts):
    # four bolts 60 mm and 90 mm apart, the pin 70 mm ahead of their middle: a quarter of the pull each, and
    # 70 mm / 60 mm of half the side force
    found = bolt_pictures.bolt_group(facts, rows=0, force_n=6000.0, direction_rad=math.radians(30))
    pull, side = 6000 * math.cos(math.radians(30)), 6000 * math.sin(math.radians(30))
    tension = sorted(bolt.tension_n for bolt in found.bolts)
    assert tension[-1] == pytest.approx(pull / 4 + side * 70 / 60 / 2)
    assert tension[0] == pytest.approx(pull / 4 - side * 70 / 60 / 2)
    assert {round(bolt.shear_n, 6) for bolt in found.bolts} == {round(side / 4, 6)}


def test_rows_stand_in_place_of_the_bolts_fitted(facts):
    four = bolt_pictures.bolt_group(facts, rows=4, force_n=6000.0, direction_rad=0.0)
    assert len(four.places_m) == 8 and max(v for _, v in four.places_m) == pytest.approx(0.045)
    two = bolt_pictures.bolt_group(facts, rows=2, force_n=6000.0, direction_rad=1.0)
    fitted = bolt_pictures.bolt_group(facts, rows=0, force_n=6000.0, direction_rad=1.0)
    for ours, theirs in zip(sorted(two.places_m), sorted(fitted.places_m), strict=True):
        assert ours == pytest.approx(theirs)
    high = with_values(facts, {"bracket.pin_above_bolts": 0.05})
    with pytest.raises(ValueError):  # one row cannot hold what tips the plate about it
        bolt_pictures.bolt_group(high, rows=1, force_n=6000.0, direction_rad=0.0)


def test_torque_by_hand(facts):
    bolt = {"bracket.bolt_size": "M12", "bracket.bolt_grade": "8.8", "bracket.torque": 96.0}
    found = bolt_pictures.torque(
        with_values(facts, bolt | {"bracket.nut_factor": 0.2, "bracket.plate_friction": 0.2}),
        scatter_share=0.25,
    )
    assert found.now == pytest.approx((32e3, 40e3, 40e3 / 0.75))
    assert found.slip_n is not None and found.slip_n.low_n == pytest.approx(4 * 0.2 * 32e3)
    assert found.right_torque_n_m == pytest.approx(0.2 * 0.012 * 0.75 * 580e6 * 84.3e-6)
    assert found.proof_n == pytest.approx(580e6 * 84.3e-6)
    less = bolt_pictures.torque(with_values(facts, {"bracket.plate_friction": None}), scatter_share=0.25)
    assert less.slip_n is None and "not known" in bolt_pictures.torque_panel_words(less, "metric")


def test_words_on_a_road_are_those_of_the_limits(each):
    road = bar_loads.steep_pass()
    said = "\n".join(bar_loads.own_bracket_words(each.rig, road, "metric"))
    for rule in (*attachment_rules(road), *envelope_rules(each, road)):
        assert f"{rule.title}: {answer(rule, each).answer}" in said


def test_the_envelope_of_both_pairs_as_a_table(each):
    road = bar_loads.steep_pass()
    table = envelope_table.envelope_table(each, "metric")
    names = [case.name for case, _ in bracket_loads(each, road, "out")]
    assert [row[0] for row in table.rows][: len(names)] == names and len(table.rows) == len(names) + 10
    # the smallest factor of road and mishap is what the plan says, in two figures
    least = min(float(row[4]) for row in table.rows[: len(names)])
    plan = min(weakest(each, road, "out", group).load_factor for group in GROUPS)
    assert least == pytest.approx(plan, rel=0.05)
    # by hand: the curve, one arm pushed and one pulled by the same force
    left, right = table.rows[names.index("turning")][2].split(" N, ")
    assert left.startswith("−") and left[1:] == right.removesuffix(" N")
    assert len(envelope_table.envelope_tables("us").tables) == 2


def test_an_envelope_without_a_pin_names_no_first_part(facts):
    bare = with_values(facts, {"bracket.pin_diameter": None})
    assert {row[3] for row in envelope_table.envelope_table(bare, "us").rows} == {"not known"}


def test_the_rules_of_equipment_name_whom_they_bind():
    rows = {row[0]: row for row in envelope_table.rules_of_equipment().rows}
    along = rows["United States, 49 CFR 393.71(h)(1)"]
    assert "motor carriers" in along[2] and "stored copy" in along[3]
