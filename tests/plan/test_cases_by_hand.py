"""Many cases by hand: what is drawn, what is counted, what is named; and a short road driven in many cases
against one drive a case.
"""

import math
from types import SimpleNamespace
from typing import Any, NamedTuple

import numpy as np
import pytest

from tests.plans import DEMO, made, over, within
from tests.rigs import changed, without
from towlib.limits.legs import FASTEST_M_S, drive_leg
from towlib.limits.limit import WAYS, YES_NO, Rule
from towlib.physics.basics.cases import Cases
from towlib.plan import many_cases
from towlib.plan.many_case_legs import _arrays, _join, sampled_leg
from towlib.plan.many_cases import _drawn, _moved, _Sample, _sampled, _used, sample_plan, varied
from towlib.rig.facts import CaseFacts, NotKnown, assumptions
from towlib.rig.model import value_at
from towlib.rig.uncertain import Uncertain
from towlib.road.route import Route

FRONT, REAR, BAR = "tow_vehicle.front_axle_empty", "tow_vehicle.rear_axle_empty", "tow_bar.mass"
ONE = Uncertain(FRONT, 1290.0, 1310.0, 1330.0, False)
TWO = Uncertain(REAR, 1040.0, 1060.0, 1090.0, False)


EXACT = DEMO  # everything that may be assumed within a range is given
for _path, _each in assumptions().items():
    if isinstance(_each.low, float) and value_at(DEMO, _path) is None:
        EXACT = changed(EXACT, _path, _each.value)


def rig_with(plus_minus, rig=EXACT):
    rig = rig.model_copy()
    rig._plus_minus = dict(plus_minus)
    return rig


# --- what varies, and what is drawn ---


def test_a_choice_that_was_assumed_stays_as_it_is():
    rig = rig_with({FRONT: 20.0}, without(without(EXACT, "safety_chains.crossed"), BAR))
    paths = [each.path for each in varied(rig)]
    assert FRONT in paths and BAR in paths and "safety_chains.crossed" not in paths


def test_every_slice_of_a_range_is_drawn_once():
    # a Latin hypercube (McKay, Beckman and Conover 1979): of ten slices of a range each holds one case
    drawn = _drawn((ONE, TWO), 10)
    for each in (ONE, TWO):
        share = (drawn[each.path][:10] - each.low) / (each.high - each.low)
        assert sorted(int(part * 10) for part in share) == list(range(10))
    shares = [(drawn[each.path][:10] - each.low) / (each.high - each.low) for each in (ONE, TWO)]
    assert abs(np.corrcoef(shares)[0, 1]) < 0.9  # not both in the same order
    assert all((drawn[path] == again).all() for path, again in _drawn((ONE, TWO), 10).items())


def test_then_all_at_their_best_then_each_at_its_ends():
    drawn = _drawn((ONE, TWO), 3)
    assert drawn[FRONT][3:].tolist() == [1310.0, 1290.0, 1330.0, 1310.0, 1310.0]
    assert drawn[REAR][3:].tolist() == [1060.0, 1060.0, 1060.0, 1040.0, 1090.0]
    assert all(values.flags.c_contiguous for values in drawn.values())
    assert _drawn((), 10) == {}


# --- one limit in every case ---


@pytest.mark.parametrize("kind", ["mass", "force", "temperature", YES_NO, "angle"])
def test_used_in_many_cases_is_that_of_each_limit(kind):
    values = [math.nan, math.inf, -30.0, -1.0, 0.0, 0.5, 1.0, 20.0, 25.0, 300.0]
    pairs = [(a, b) for a in values for b in values]
    found = _used(kind, *(np.array(side) for side in zip(*pairs, strict=True)))
    for (demand, capacity), used in zip(pairs, found, strict=True):
        one = made("x", *(v if math.isfinite(v) else None for v in (demand, capacity)), kind=kind).used
        assert math.isnan(used) if one is None else used == pytest.approx(one), (demand, capacity)


def test_used_by_hand():
    def of(kind, demand, capacity):
        return float(_used(kind, np.array([demand]), np.array([capacity]))[0])

    # (200 - 20) / (260 - 20); a part that takes nothing; a wheel in the air
    assert of("temperature", 200.0, 260.0) == 0.75 and of("force", 8.0, 10.0) == 0.8
    assert of("force", 1.0, 0.0) == math.inf and of("force", 0.0, 0.0) == 0.0
    assert of("mass", -0.1, 10.0) == math.inf and of("angle", -0.1, 1.0) == -0.1
    assert of(YES_NO, 1.0, 1.0) == 0.0 and of(YES_NO, 1.0, 0.0) == math.inf
    assert math.isnan(of("mass", math.nan, 1.0)) and math.isnan(of(YES_NO, 1.0, math.nan))


@pytest.mark.parametrize(
    ("used", "moved"),
    [
        ((0.8, 0.9, 1.1), 0.3),
        ((0.9, 0.2, 0.9), 0.7),  # closest in the middle
        ((0.8, 0.8, 0.8), 0.0),
        ((math.nan, 0.8, 0.8), math.inf),  # known at some places of its range only
        ((math.nan, 0.7, 0.8), math.inf),
        ((math.nan, math.nan, math.nan), 0.0),
        ((math.inf, math.inf, math.inf), 0.0),
        ((0.5, 0.5, math.inf), math.inf),
    ],
)
def test_how_far_a_value_moves_a_limit(used, moved):
    assert _moved(used) == pytest.approx(moved)


class Counted:
    """Cases whose shares used stand in a table: by way, all of them over a capacity of one."""

    def __init__(self, out, back=None, done=None):
        self.table, self.done = {"out": out, "back": back if back is not None else out}, done

    def values(self, side, way, few):
        self.few = few
        number = side(None, way)
        values = np.ones(len(self.table["out"])) if number else np.array(self.table[way], float)
        return values, self.done or 4


RULE = Rule("k", "K", "force", lambda facts, way: 0, lambda facts, way: 1, "source")
ENDS = [0.9, 1.1, 0.8, 0.85]  # first value low and high, second low and high


def counted(out, back=None, *, rule=RULE, done=None, uncertain=(ONE, TWO), count=4):
    return _sampled(rule, within("k"), Counted(out, back, done), uncertain, count)


def test_cases_are_counted_by_hand():
    # four random cases, the best, then the ends
    found = counted([0.5, 1.0, 1.2, math.nan, 0.9, *ENDS])
    assert (found.holds, found.known, found.cases) == (2, 3, 4)
    assert found.used[:3].tolist() == [0.5, 1.0, 1.2] and len(found.used) == 4
    # the first value moves it from 0.9 to 1.1, the second from 0.8 to 0.9
    assert (found.most, found.used_range) == (ONE, (0.9, 0.9, 1.1))
    found = counted([0.5, 1.0, 1.2, 0.1, 0.9, 0.9, 0.9, 0.5, 0.85])
    assert (found.most, found.used_range) == (TWO, (0.5, 0.9, 0.85))
    assert found.limit == within("k")


def test_what_nothing_moves_names_nothing():
    found = counted([0.5, 0.5, 0.5, 0.5, 0.9, 0.9, 0.9, 0.9, 0.9])
    assert (found.most, found.used_range) == (None, (0.9, 0.9, 0.9))
    # a thousandth of a thousandth is nothing, a little more is something
    assert counted([0.5] * 4 + [0.9, 0.9, 0.9 + 9e-7, 0.9, 0.9]).most is None
    assert counted([0.5] * 4 + [0.9, 0.9, 0.9 + 1.1e-6, 0.9, 0.9]).most == ONE
    found = counted([0.5] * 4 + [0.9], uncertain=())
    assert (found.most, found.used_range, found.holds) == (None, (0.9, 0.9, 0.9), 4)


def test_over_on_one_way_is_over_and_unknown_on_one_way_is_unknown():
    nan = math.nan
    #      within both, over back, over out and unknown back, unknown back
    out = [0.5, 0.5, 1.2, 0.5, 0.9, *ENDS]
    back = [0.8, 1.3, nan, nan, 0.7, *ENDS]
    found = counted(out, back)
    assert found.used[:3].tolist() == [0.8, 1.3, 1.2] and math.isnan(found.used[3])
    assert (found.holds, found.known) == (1, 3) and found.used_range[1] == 0.9
    swapped = counted(back, out)
    assert np.array_equal(swapped.used, found.used, equal_nan=True)
    # just full on one way and unknown on the other is unknown
    assert math.isnan(counted([1.0] * 4 + [0.9, *ENDS], [nan] * 4 + [0.9, *ENDS]).used[0])
    # a rule that is the same both ways is asked of one
    assert counted(out, back, rule=RULE._replace(per_way=False)).used[1] == 0.5


def test_a_search_is_counted_over_the_cases_worked_out():
    found = counted([0.5, 1.2, 7.0, 7.0, 0.9, *ENDS], done=2)
    assert (found.holds, found.known, found.cases, len(found.used)) == (1, 2, 2, 2)
    sample = Counted([0.5] * 4 + [0.9, *ENDS])
    _sampled(RULE, within("k"), sample, (ONE, TWO), 4)
    assert sample.few == 4  # never more than there are
    many = Counted([0.5] * 500 + [0.9, *ENDS])
    _sampled(RULE, within("k"), many, (ONE, TWO), 500)
    assert many.few == many_cases.SEARCHED == 100


# --- the rules asked in every case ---


def sample_of(rig=None, count=20, road=None):
    rig = rig or rig_with({FRONT: 20.0, REAR: 30.0})
    return _Sample(rig, road, _drawn(varied(rig), count), count)


def test_a_formula_is_asked_of_all_cases_at_once_and_parted_where_they_disagree():
    sample = sample_of()

    def side(facts, way):
        front, rear = facts.need(FRONT), facts.need(REAR)
        return front + rear if front > 1310.0 else 2.0 * rear

    found, done = sample.values(side, "out", 5)
    front, rear = sample.drawn[FRONT], sample.drawn[REAR]
    assert done == 20 and len(found) == 25 == sample.total
    assert found == pytest.approx(np.where(front > 1310.0, front + rear, 2.0 * rear))


def test_a_case_that_cannot_be_is_nan_in_that_case_only():
    def side(facts, way):
        if facts.need(FRONT) > 1310.0:
            raise ValueError("cannot be")
        return facts.need(REAR)

    sample = sample_of()
    found, _ = sample.values(side, "out", 5)
    assert (np.isnan(found) == (sample.drawn[FRONT] > 1310.0)).all()


@pytest.mark.parametrize("few", [3, 20])
@pytest.mark.parametrize(
    ("path", "none_above", "best", "ends"),
    [(FRONT, 1325.0, 1310.0, (21, 22)), (REAR, 1080.0, 1060.0, (23, 24))],
)
def test_a_search_is_asked_of_a_few_cases_of_the_best_and_of_the_ends_it_reads(
    few, path, none_above, best, ends
):
    """Of 25 cases the first 20 are drawn; then the best, both ends of the front axle, both of the rear."""
    asked = []

    def side(facts, way):
        value = float(facts.need(path))  # a TypeError for many cases: case by case, then
        asked.append(value)
        if value > none_above and few == 20:
            raise NotKnown("no way through")
        return value

    sample = sample_of()
    found, done = sample.values(side, "out", few)
    assert done == few
    wanted = sample.drawn[path].copy()
    wanted[few:20] = np.nan  # those that were not asked
    if few == 20:
        wanted[wanted > none_above] = np.nan
    other = [case for case in (21, 22, 23, 24) if case not in ends]
    wanted[other] = best  # the ends of the other axle are not asked for: it does not read it
    assert np.array_equal(found, wanted, equal_nan=True)
    assert len(asked) == few + 1 + 2  # the best, and both ends of the axle it reads


def test_cases_of_one_are_floats_and_are_kept():
    sample = sample_of()
    one = sample.one(3)
    assert one.need(FRONT) == sample.drawn[FRONT][3] and isinstance(one.need(FRONT), float)
    assert sample.one(3) is one and sample.one(4) is not one


def test_the_whole_sample_stands_in_the_order_of_the_plan(monkeypatch):
    rule = RULE._replace(demand=lambda facts, way: facts.need(FRONT), capacity=lambda facts, way: 1310.0)
    rules = [rule._replace(key=key) for key in ("a", "b", "c")]
    plan = SimpleNamespace(limits=(over("c"), within("a"), within("b")))
    monkeypatch.setattr(many_cases, "make_plan", lambda rig, route: plan)
    monkeypatch.setattr(many_cases, "rules_of", lambda facts, route, drive: rules)
    found = sample_plan(rig_with({FRONT: 20.0}), None, count=40)
    assert [each.limit for each in found.limits] == [over("c"), within("a"), within("b")]
    assert (found.cases, [each.path for each in found.uncertain]) == (40, [FRONT])
    # half of ±20 about the limit itself lies within
    assert [each.holds for each in found.limits] == [20, 20, 20]
    found = sample_plan(rig_with({FRONT: 20.0}), None, count=40, keys=("b",))
    assert [each.limit.key for each in found.limits] == ["b"]


# --- the road in every case ---


def road(*stretches):
    """A road of stretches (steps of 50 m, grade, limit in km/h or nan)."""
    grade = np.concatenate([np.full(steps, slope) for steps, slope, _ in stretches])
    limit = np.concatenate([np.full(steps, kmh / 3.6) for steps, _, kmh in stretches])
    distance = 50.0 * np.arange(len(grade) + 1)
    height = 800.0 + np.concatenate(([0.0], np.cumsum(50.0 * grade)))
    return Route("made", "made.csv", distance, height, grade, limit)


HILL = road(
    (8, 0.0, 80.0),
    (12, 0.08, math.nan),
    (10, 0.05, 40.0),
    (4, 0.0, math.nan),
    (13, -0.09, math.nan),
    (1, -0.09, 20.0),  # braked for in the step before, the last but one
)
PLAIN = road((30, 0.005, math.nan))
ENGINE = "tow_vehicle.engine."
WIDE = {
    FRONT: 100.0,
    "conditions.air_temperature": 8.0,
    "conditions.cruise_speed": 3.0,
    "conditions.descent_speed": 4.0,
    "tow_vehicle.cooling.conductance": 200.0,
    "tow_vehicle.rear_tyres.rolling_radius": 0.02,
}
PEAKS = {f"{ENGINE}peak_torque": 30.0, f"{ENGINE}peak_power": 8e3, f"{ENGINE}idle": 50.0}
SETS = {
    "nothing of the engine": WIDE,
    "peaks": WIDE | PEAKS,
    "one peak": {f"{ENGINE}peak_power": 8e3},
    "descent only": {"conditions.descent_speed": 4.0},
    "weight only": {FRONT: 100.0},
    "air only": {"conditions.air_temperature": 8.0},
}


def driven(rig, route, way, count=3, every=1):
    """Legs of all cases together, then those of some, and of each of these alone."""
    sample = sample_of(rig, count, route)
    some = np.arange(0, sample.total, every)
    alone = [drive_leg(sample.one(int(case)), route, way) for case in some]
    together = sample.drive(None, way)
    return some, together if every == 1 else together.at(some), alone


def like(cases, numbers):
    values = cases.values if isinstance(cases, Cases) else cases
    assert np.broadcast_to(values, len(numbers)) == pytest.approx(np.array(numbers), rel=1e-9, abs=1e-9)


@pytest.mark.parametrize(
    ("name", "way"),
    [(name, WAYS[i % 2]) for i, name in enumerate(SETS)],
)
def test_the_road_in_many_cases_is_one_drive_a_case(name, way):
    _, together, alone = driven(rig_with(SETS[name]), HILL, way, every=2 if len(SETS[name]) > 2 else 1)
    for axle in (0, 1):
        like(together.highest_brake_c(axle), [leg.highest_brake_c(axle) for leg in alone])
    like(together.highest_coolant_c(), [leg.highest_coolant_c() for leg in alone])
    like(together.fuel_m3(), [leg.fuel_m3() for leg in alone])
    assert together.way == way and together.route.elevation_m[0] == alone[0].route.elevation_m[0]
    for wanted in (5.0, 15.0, 40.0):
        pairs = [leg.hardest_climb(wanted) for leg in alone]
        asked, held = together.hardest_climb(wanted)
        like(asked, [pair[0] for pair in pairs])
        like(held, [pair[1] for pair in pairs])
    step, density = next(iter(together.air_density_kg_m3.items()))
    assert step == int(alone[0].route.grade.argmax()) and len(together.air_density_kg_m3) == 1
    like(density, [leg.air_density_kg_m3[step] for leg in alone])
    like(together.pair.mass_kg, [leg.pair.mass_kg for leg in alone])
    assert (together.contradict is None) == (not any("peak" in path for path in SETS[name]))


class Made(NamedTuple):
    """Numbers of one case or of many, as a leg has them."""

    many: Any
    few: tuple[Any, ...]
    name: str = "x"


def test_lots_of_cases_are_put_together_whatever_each_has():
    """What is one number in a lot is that of all its cases; Cases where any lot has them."""
    lots = [Made(Cases(np.array([1.0, 2.0])), (7.0, np.array([3.0, 4.0]))), Made(5.0, (7.0, np.array([6.0])))]
    whole = _join(lots, [2, 1])
    assert isinstance(whole.many, Cases) and whole.many.values.tolist() == [1.0, 2.0, 5.0]
    assert whole.few[0] == 7.0 and whole.few[1].tolist() == [3.0, 4.0, 6.0] and whole.name == "x"
    swapped = _join(lots[::-1], [1, 2])
    assert isinstance(swapped.many, Cases) and swapped.many.values.tolist() == [5.0, 1.0, 2.0]


def test_arrays_in_place_of_cases():
    plain = _arrays(Made(Cases(np.array([1.0, 2.0])), (7.0, np.array([3.0, 4.0]))))
    assert isinstance(plain.many, np.ndarray) and plain.many.tolist() == [1.0, 2.0]
    assert plain.few[0] == 7.0 and plain.few[1].tolist() == [3.0, 4.0]


def test_a_speed_asked_that_differs_from_case_to_case():
    some, together, alone = driven(rig_with({FRONT: 100.0}), HILL, "out")
    wanted = np.linspace(5.0, 20.0, len(some))
    pairs = [leg.hardest_climb(float(each)) for leg, each in zip(alone, wanted, strict=True)]
    asked, held = together.hardest_climb(Cases(wanted))
    like(asked, [pair[0] for pair in pairs])
    like(held, [pair[1] for pair in pairs])


@pytest.mark.parametrize("name", ["weight only", "peaks"])
def test_a_way_without_a_climb_asks_nothing(name):
    _, together, alone = driven(rig_with(SETS[name]), PLAIN, "out")
    assert together.hardest_climb(20.0) == (0.0, FASTEST_M_S) == alone[0].hardest_climb(20.0)
    like(together.fuel_m3(), [leg.fuel_m3() for leg in alone])


@pytest.mark.parametrize(
    ("name", "route", "chunk", "steps"),
    [
        ("peaks", HILL, 5, 10**9),
        ("weight only", HILL, 10**6, 7 * len(HILL.grade) // 2),  # three and a half: three
        ("peaks", PLAIN, 10**6, 5 * len(PLAIN.grade) + 1),
    ],
)
def test_driven_in_lots_it_is_the_same(name, route, chunk, steps, monkeypatch):
    rig = rig_with(SETS[name])
    whole = sample_of(rig, 4, route).drive(None, "back")
    monkeypatch.setattr(many_cases, "CHUNK", chunk)
    monkeypatch.setattr(many_cases, "CHUNK_STEPS", steps)
    sample, lots = sample_of(rig, 4, route), []
    leg = sample._leg
    monkeypatch.setattr(sample, "_leg", lambda way, some: lots.append(len(some)) or leg(way, some))
    parts = sample.drive(None, "back")
    most = min(chunk, steps // len(route.grade))
    assert max(lots) <= most and len(lots) >= 2 * math.ceil(sample.total / most)
    like(parts.fuel_m3(), whole.fuel_m3().values)
    like(parts.highest_brake_c(0), whole.highest_brake_c(0).values)
    like(parts.highest_coolant_c(), whole.highest_coolant_c().values)
    for one, other in zip(parts.hardest_climb(15.0), whole.hardest_climb(15.0), strict=True):
        like(one, np.broadcast_to(_values(other), sample.total))
    like(parts.pair.mass_kg, np.broadcast_to(_values(whole.pair.mass_kg), sample.total))
    for step, density in whole.air_density_kg_m3.items():
        like(parts.air_density_kg_m3[step], np.broadcast_to(_values(density), sample.total))
    assert (parts.contradict is None) == (whole.contradict is None)
    some = np.array([4, 0])
    like(parts.at(some).fuel_m3(), whole.fuel_m3().values[some])
    like(parts.at(some).pair.mass_kg, np.broadcast_to(_values(whole.pair.mass_kg), sample.total)[some])
    for one, other in zip(parts.at(some).hardest_climb(15.0), whole.hardest_climb(15.0), strict=True):
        like(one, np.broadcast_to(_values(other), sample.total)[some])
    assert parts.at(some).way == "back" and parts.at(some).route is parts.route
    if whole.contradict is not None:
        assert parts.at(some).contradict.tolist() == whole.contradict[some].tolist()


def _values(number):
    return number.values if isinstance(number, Cases) else number


def test_cases_that_part_before_the_start_come_back_in_their_own_order():
    # a weight about which the brakes' own question turns: behind a weighed axle of more than 1,310 kg
    rig = rig_with({FRONT: 100.0})
    sample = sample_of(rig, 6, HILL)
    inner = many_cases.sampled_leg
    asked = []

    def parted(facts, route, way, *, count):
        if facts.need(FRONT) > 1310.0:  # raises Split where the cases disagree
            asked.append(count)
        return inner(facts, route, way, count=count)

    many_cases.sampled_leg = parted
    try:
        together = sample.drive(None, "out")
    finally:
        many_cases.sampled_leg = inner
    assert asked and max(asked) < sample.total
    like(together.fuel_m3(), [drive_leg(sample.one(i), HILL, "out").fuel_m3() for i in range(sample.total)])


def test_engines_that_cannot_be_are_not_known_in_their_cases_only():
    # peak power within 100 rpm of the redline, ± 300: cases with their peak above it cannot be
    engine = DEMO.tow_vehicle.engine
    rig = changed(EXACT, f"{ENGINE}peak_power_at", engine.redline - 100.0)
    sample = sample_of(rig_with({f"{ENGINE}peak_power_at": 300.0}, rig), 12, HILL)
    above = sample.drawn[f"{ENGINE}peak_power_at"] > engine.redline
    for side in (
        lambda facts, way: sample.drive(facts, way).fuel_m3(),
        lambda facts, way: _one(sample, facts, way),
    ):
        found, _ = sample.values(side, "out", 5)
        assert (np.isnan(found) == above).all()
    assert 0 < above.sum() < len(above)
    # what is not asked of the road is known in every case
    found, _ = sample.values(lambda facts, way: facts.need(f"{ENGINE}redline"), "out", 5)
    assert not np.isnan(found).any()


def _one(sample, facts, way):
    sample.drive(facts, way)
    return 1.0


def test_a_road_that_cannot_be_driven_is_not_known_with_its_reason():
    sample = sample_of(rig_with({FRONT: 20.0}, without(EXACT, f"{ENGINE}redline")), 4, HILL)
    with pytest.raises(NotKnown, match=f"^{ENGINE}redline$"):
        sample.drive(None, "out")
    with pytest.raises(NotKnown, match=f"^{ENGINE}redline$"):
        sample.drive(None, "back")


def test_figures_that_cannot_be_are_not_known_with_their_sentence(monkeypatch):
    def cannot(facts, route, way, *, count):
        raise ValueError("a gear of nought")

    monkeypatch.setattr(many_cases, "sampled_leg", cannot)
    with pytest.raises(NotKnown, match="^a gear of nought$"):
        sample_of(rig_with({FRONT: 20.0}), 4, HILL).drive(None, "back")


def test_a_pair_that_stops_has_no_temperatures_in_that_case():
    # so weak that the heavier cases do not get up the hill
    steep = road((4, 0.0, math.nan), (20, 0.2, math.nan))
    engine = DEMO.tow_vehicle.engine
    weak = changed(EXACT, f"{ENGINE}peak_torque", 0.4 * engine.peak_torque)
    weak = changed(weak, f"{ENGINE}peak_power", 0.4 * engine.peak_power)
    _, together, alone = driven(rig_with({FRONT: 700.0}, weak), steep, "out", count=8)
    stops = [leg.journey.stopped_at_m is not None for leg in alone]
    assert any(stops) and not all(stops)
    for found in (together.fuel_m3(), together.highest_coolant_c(), together.highest_brake_c(0)):
        assert np.isnan(np.broadcast_to(found.values, len(stops))).tolist() == stops


def test_brakes_nobody_knows_are_nan():
    rig = without(rig_with({FRONT: 20.0}), "tow_vehicle.brakes.front_heated_mass")
    together = sampled_leg(CaseFacts(rig, {}), HILL, "out", count=1)
    assert np.isnan(together.highest_brake_c(0).values).all()
