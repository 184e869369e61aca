"""Limits of brackets, pins and bolts of the comfortable demo, worked out a second time by hand."""

import math

import pytest

from towlib.limits.attachment_limits import (
    bracket_loads,
    first_to_yield_words,
    load_cases,
    preload_of_torque_n,
    torque_words,
    weakest,
)
from towlib.plan.trip import make_plan
from towlib.rig.facts import Facts, NotKnown
from towlib.rig.model import load_rig
from towlib.road.route import load_route


@pytest.fixture(scope="module")
def road():
    return load_route("data/routes/short_steep_pass.csv")


@pytest.fixture(scope="module")
def rig():
    return load_rig("data/rigs/demo_comfortable.toml")


def _changed(rig, part, **values):
    return rig.model_copy(update={part: getattr(rig, part).model_copy(update=values)})


def test_edge_of_a_pothole_by_hand(rig, road):
    # towed front axle: 780 kg + 60 kg·(1 - 2.3/2.29) + 13 kg·(1 + 0.48/2.29); edge 50 mm (assumed), wheel 346
    # mm, taken at once (factor 2)
    front_n = (780 + 60 * (1 - 2.3 / 2.29) + 13 * (1 + 0.48 / 2.29)) * 9.80665
    pull_n = 2 * front_n * math.sqrt(0.05 * (0.692 - 0.05)) / 0.296
    case = load_cases(Facts(rig), road, "out")[-1]
    assert case.force.along_n == pytest.approx(pull_n, rel=1e-9)


def test_braking_downhill_and_the_curve_by_hand(rig, road):
    towed_kg = 780 + 690 + 60 + 13
    steepest = max(abs(g) for s in road.segments() for g in (s.mean_grade, s.steepest_200m_grade) if g < 0)
    cases = {case.name: case.force for case in load_cases(Facts(rig), road, "out")}
    pushed = towed_kg * (
        0.5 * 9.80665
        + 9.80665 * math.sin(math.atan(steepest))
        - 0.015 * 9.80665 * math.cos(math.atan(steepest))
    )
    # the road back comes down what went up: the steeper of both counts
    assert -cases["braking downhill"].along_n >= pushed * (1 - 1e-9)
    front, rear = (
        780 + 60 * (1 - 2.3 / 2.29) + 13 * (1 + 0.48 / 2.29),
        690 + 60 * 2.3 / 2.29 - 13 * 0.48 / 2.29,
    )
    centre = 2.29 * front / (front + rear)
    assert cases["turning"].left_n == pytest.approx(towed_kg * 3.0 * centre / (1.5 + 0.48 + 2.29), rel=1e-9)


def test_pin_by_hand(rig, road):
    facts = Facts(rig)
    worst = max(
        math.hypot(*side)
        for _, loads in bracket_loads(facts, road, "out")
        for side in (loads.left, loads.right)
    )
    # double shear, von Mises: 2·(pi/4)·19²·350/√3 N
    capacity = 2 * math.pi / 4 * 19**2 * 350 / math.sqrt(3)
    assert weakest(facts, road, "out", "pin").load_factor == pytest.approx(capacity / worst, rel=1e-9)
    single = Facts(
        _changed(rig, "bracket", pin_is_held_both_sides=None)
    )  # nobody has said: one plane, the weaker case
    assert weakest(single, road, "out", "pin").load_factor == pytest.approx(capacity / worst / 2, rel=1e-9)


def test_bolts_by_hand(rig, road):
    # four bolts that run fore and aft, the pin opposite their middle and 70 mm ahead of the plate: a quarter
    # of the pull in tension each,
    # the arm's sideways part in shear and, times 70 mm, as a moment about the upright axis: M·30 mm / (4·30²
    # mm²); upwards likewise with 45 mm
    def use(force):
        along, side, up = (abs(part) for part in force)
        tension = along / 4 + side * 70 * 30 / (4 * 30**2) + up * 70 * 45 / (4 * 45**2)
        shear = math.hypot(side / 4, up / 4)
        area, root = (
            0.1419 * 645.16,
            0.1257 * 645.16,
        )  # mm², stress and minor area of 1/2-13 (check value table)
        yield_mpa = 92 * 6.894757  # SAE J429 grade 5
        return math.hypot(tension / (yield_mpa * area), shear / (yield_mpa / math.sqrt(3) * root))

    facts = Facts(rig)
    worst = max(
        use(side) for _, loads in bracket_loads(facts, road, "out") for side in (loads.left, loads.right)
    )
    assert weakest(facts, road, "out", "bolts").load_factor == pytest.approx(
        1 / worst, rel=2e-3
    )  # the table's areas have four digits


def test_tension_at_a_torque_by_hand(rig):
    # T = K·D·F: 75 lbf·ft = 101.686 N·m, K 0.2, D 12.7 mm
    facts = Facts(rig)
    assert preload_of_torque_n(facts) == pytest.approx(101.686 / (0.2 * 0.0127), rel=1e-4)
    assert torque_words(facts, "us").startswith("bracket bolts 1/2-13 at 75 lbf·ft")
    assert "not known here" in torque_words(Facts(_changed(rig, "bracket", torque=None)), "us")


def test_what_no_model_can_tell_is_not_known(rig, road):
    one_line = tuple(bolt.model_copy(update={"outboard_of_pin": 0.0}) for bolt in rig.bracket.bolts)
    scattered = (rig.bracket.bolts[0].model_copy(update={"behind_pin": 0.2}), *rig.bracket.bolts[1:])
    for bracket in (
        {"bolts": one_line},
        {"bolts": scattered},
        {"bolt_size": "1/4-20", "bolt_grade": "8.8"},
        {"edge_distance": 0.006},
    ):
        changed = _changed(rig, "bracket", **bracket)
        limits = {limit.key: limit for limit in make_plan(changed, road).limits}
        key = "bracket_plate" if "edge_distance" in bracket else "bracket_bolts"
        assert limits[key].answer in ("not known", "over"), bracket
    with pytest.raises(NotKnown, match="line"):
        weakest(Facts(_changed(rig, "bracket", bolts=one_line)), road, "out", "bolts")
    assert (
        first_to_yield_words(Facts(_changed(rig, "bracket", pin_yield=None)), road)
        == "Bracket, first part to yield: not known (bracket.pin_yield)."
    )


def test_weaker_parts_and_heavier_vehicles_use_more(rig, road):
    def used(changed):
        return {
            limit.key: limit.demand
            for limit in make_plan(changed, road).limits
            if limit.key.startswith("bracket_") and "spread" not in limit.key
        }

    base = used(rig)
    assert all(
        value < used(_changed(rig, "towed_vehicle", front_axle_empty=1000.0))[key]
        for key, value in base.items()
    )
    assert used(_changed(rig, "bracket", plate_thickness=0.004))["bracket_plate"] == pytest.approx(
        2.5 * base["bracket_plate"]
    )
    assert used(_changed(rig, "bracket", factor_asked=3.0))["bracket_pin"] == pytest.approx(
        2.0 * base["bracket_pin"]
    )
    assert used(_changed(rig, "bracket", bolt_grade="2"))["bracket_bolts"] > base["bracket_bolts"]


@pytest.mark.parametrize(
    ("part", "values", "key", "words"),
    [
        ("tow_bar", {"length": 0.65}, "bracket_pin", "shorter than the spread"),
        ("towed_vehicle", {"bracket_height": 2.9}, "bar_slope", "cannot bridge"),
        ("safety_chains", {"links": 10}, "chain_clearance", "cannot"),
        ("safety_chains", {"links": 10}, "dropped_bar", "cannot"),
        (
            "safety_chains",
            {
                "receiver_anchor_spread": 0.001,
                "receiver_anchor_behind_ball": 0.0,
                "receiver_anchor_height": 0.553,
            },
            "chain_length",
            "inside the ball",
        ),
    ],
)
def test_impossible_geometry_is_one_plain_sentence_in_the_plan(rig, road, part, values, key, words):
    limit = {limit.key: limit for limit in make_plan(_changed(rig, part, **values), road).limits}[key]
    assert limit.answer == "not known" and words in limit.missing and "\n" not in limit.missing
