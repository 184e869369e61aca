"""What an assumption or a ± could turn is not known in a panel either: against `limits/decision.py`, which
has its own tests by the book, and against figures reckoned here.
"""

import asyncio
import itertools
import math
import re
from pathlib import Path

import pytest

from tests.limits.test_decision import AREA, BAR, DEMO, FRONT, REAR, rig_with, rule
from tests.rigs import DEMOS, changed
from towlib.lessons.declare import Panel
from towlib.lessons.index import all_panels, panel_of
from towlib.lessons.slider_rows import load_panel
from towlib.limits.decision import answer
from towlib.limits.limit import ASKED, ASSUMED, NOT_KNOWN, TOO_CLOSE, Doubt
from towlib.limits.loads import tow_total_kg
from towlib.plan.trip import make_plan
from towlib.rig.facts import Facts, NotKnown
from towlib.rig.model import load_rig, read_rig_text
from towlib.road.route import load_route
from towlib.teaching.panel import panels
from towlib.teaching.panel.panel_doubt import doubt_of, in_doubt
from towlib.teaching.panel.panel_state import PanelState
from towlib.teaching.panel.rig_in_use import invented


def doubt(rooms, rig):
    """The doubt of a panel whose answers are `rooms(need)`."""
    facts = Facts(rig)
    found, read = facts.assumed_in(lambda: rooms(facts.need))
    steps = doubt_of(lambda other: rooms(other.need), facts, found, read)
    while True:
        try:
            next(steps)
        except StopIteration as end:
            return end.value


# bar 25 (18 to 32) kg, drag area 1.35 (1.2 to 1.5) m²; metres of area count 20 kg each: 3 kg at most
@pytest.mark.parametrize(
    ("least_kg", "kept"),
    [(-11.0, True), (-9.0, False), (-0.5, False), (0.5, False), (9.0, False), (11.0, True)],
)
def test_both_assumptions_at_the_ends_against_the_answer(least_kg, kept):
    """7 kg and 3 kg: together they turn what has less room than 10, within and over alike."""
    rig = rig_with({}, BAR, AREA)
    found = doubt(lambda need: {"room": least_kg + (25.0 - need(BAR)) + 20.0 * (need(AREA) - 1.35)}, rig)
    assert found == (None if kept else Doubt(ASSUMED, BAR))  # the bar moves it more


def test_the_value_named_is_the_one_that_moves_the_turned_answer_most():
    rig = rig_with({}, BAR, AREA)
    found = doubt(
        lambda need: {
            "stands": 100.0 + need(BAR),
            "turns": 1.0 - 20.0 * (need(AREA) - 1.35) - 0.1 * (need(BAR) - 25.0),
        },
        rig,
    )
    assert found == Doubt(ASSUMED, AREA)  # 3.0 against 0.7 kg


@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_several_answers_under_one_name_each_count(sign):
    rig = rig_with({}, BAR)
    assert doubt(lambda need: {"map": (50.0, sign * 1.0 + (need(BAR) - 25.0), 60.0)}, rig) == Doubt(
        ASSUMED, BAR
    )
    assert doubt(lambda need: {"map": (50.0, sign * 8.0 + (need(BAR) - 25.0), 60.0)}, rig) is None


def test_exactly_nothing_left_is_within_and_exactly_nothing_over_is_not():
    rig = rig_with({}, BAR)
    assert doubt(lambda need: {"room": 32.0 - need(BAR)}, rig) is None  # 0 left at the harsh end
    assert doubt(lambda need: {"room": 18.0 - need(BAR)}, rig) == Doubt(
        ASSUMED, BAR
    )  # over by 0 at the kind one


def test_an_end_at_which_nothing_can_be_said_is_a_doubt():
    def rooms(need):
        if need(BAR) > 30.0:
            raise NotKnown("no such bar")
        if need(AREA) < 1.25:
            raise ValueError("no such area")
        return {"room": 100.0}

    assert doubt(rooms, rig_with({}, BAR)) == Doubt(ASSUMED, BAR)
    assert doubt(rooms, rig_with({}, AREA)) == Doubt(ASSUMED, AREA)
    assert doubt(lambda need: {f"{need(BAR) > 30.0}": 100.0}, rig_with({}, BAR)) == Doubt(ASSUMED, BAR)
    assert (
        doubt(lambda need: {"room": 100.0 if need(BAR) < 30.0 else math.nan}, rig_with({}, BAR)) is not None
    )


def test_what_is_not_read_or_has_no_answer_leaves_no_doubt():
    rig = rig_with({FRONT: 500.0}, BAR)
    assert doubt(lambda need: {"room": need(REAR) - 1059.0}, rig) is None
    assert doubt(lambda need: {} if need(BAR) else {}, rig) is None


@pytest.mark.parametrize("room", [-60.0, -40.0, -1.0, 1.0, 40.0, 60.0])
def test_plus_minus_as_the_plan_takes_them(room):
    """Guard band 2 √(30² + 30²)/√3 = 49.0 kg (JCGM 100:2008, 4.3.7; JCGM 106:2012, 8.3.2)."""
    rig = rig_with({FRONT: 30.0, REAR: 30.0})
    found = doubt(lambda need: {"room": 2370.0 + room - need(FRONT) - need(REAR)}, rig)
    assert (found is None) == (abs(room) > 2.0 * math.hypot(30.0, 30.0) / math.sqrt(3.0))
    plan = answer(rule(lambda need, way: need(FRONT) + need(REAR), 2370.0 + room), Facts(rig))
    assert (found is None) == (plan.answer != NOT_KNOWN)
    assert found is None or found.kind == TOO_CLOSE


def test_the_plus_minus_named_is_the_wider_and_an_assumption_comes_first():
    rig = rig_with({FRONT: 3.0, REAR: 30.0}, BAR)
    assert doubt(lambda need: {"room": 2371.0 - need(FRONT) - need(REAR)}, rig) == Doubt(TOO_CLOSE, REAR)
    assert doubt(lambda need: {"room": 2396.0 - need(FRONT) - need(REAR) - need(BAR)}, rig) == Doubt(
        ASSUMED, BAR
    )


@pytest.mark.parametrize(("room", "kept"), [(40.0, False), (43.0, True), (-40.0, False), (-43.0, True)])
def test_what_is_assumed_and_a_plus_minus_together(room, kept):
    """The bar takes 7 kg at its harsh end, the guard band of ± 30 kg is 2 · 30/√3 = 34.6 kg: 41.6 together,
    which neither takes alone. The plan says the same.
    """
    rig = rig_with({REAR: 30.0}, BAR)
    found = doubt(lambda need: {"room": 1085.0 + room - need(REAR) - need(BAR)}, rig)
    assert found == (None if kept else Doubt(ASSUMED, BAR))
    plan = answer(rule(lambda need, way: need(REAR) + need(BAR), 1085.0 + room), Facts(rig))
    assert (plan.answer != NOT_KNOWN) == kept and (kept or plan.doubt == found)


def test_a_value_that_looks_wrong_is_asked_about_before_anything_is_tried():
    text = Path("data/rigs/demo_comfortable.toml").read_text(encoding="utf-8")
    text = text.replace('front_axle_empty = "1310 kg', 'front_axle_empty = "1.31 kg', 1)
    rig = read_rig_text(text, file="my_rig.toml")
    assert rig.tow_vehicle.front_axle_empty == 1.31
    found = doubt(lambda need: {"room": 5000.0 - need(FRONT)}, rig)
    assert found is not None and (found.kind, found.path) == (ASKED, FRONT)
    said = in_doubt(found, "Within by 4,999 kg.")
    assert said.startswith("Not known: ") and "1.31 kg" in said and "is that right?" in said
    assert said.endswith("By this value: Within by 4,999 kg.")


def test_of_two_values_that_look_wrong_the_first_by_name_is_asked_about():
    text = Path("data/rigs/demo_comfortable.toml").read_text(encoding="utf-8")
    for now, slip in (("1310 kg", "1.31 kg"), ("1060 kg", "1.06 kg")):
        text = text.replace(f'axle_empty = "{now}', f'axle_empty = "{slip}', 1)
    found = doubt(
        lambda need: {"room": 5000.0 - need(FRONT) - need(REAR)}, read_rig_text(text, file="my_rig.toml")
    )
    assert found is not None and (found.kind, found.path) == (ASKED, FRONT)


def test_what_needs_the_road_driven_names_the_weightiest_and_not_what_moves_most_here():
    # brakes downhill: the drag area comes before the bar, which takes 7 kg here and the area 3
    rig = rig_with({}, BAR, AREA)
    rooms = {"front_brakes": lambda need: 1.0 - (need(BAR) - 25.0) + 20.0 * (need(AREA) - 1.35)}
    found = doubt(lambda need: {name: room(need) for name, room in rooms.items()}, rig)
    assert found == Doubt(ASSUMED, AREA)


@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_what_moves_the_coolant_to_and_fro_is_tried_at_both_ends(sign):
    # drag area 1.35 (1.2 to 1.5) m²: the greater is the usual harsh end; here now it, now the other turns
    rig = rig_with({}, AREA)
    assert doubt(lambda need: {"coolant": 0.1 + sign * (need(AREA) - 1.35)}, rig) == Doubt(ASSUMED, AREA)
    assert doubt(lambda need: {"coolant": 0.2 + sign * (need(AREA) - 1.35)}, rig) is None


@pytest.mark.parametrize(("room", "known"), [(0.5, True), (0.3, False)])
def test_a_small_plus_minus_takes_no_more_than_it_is(room, known):
    # 2 · 0.3/√3 = 0.346 kg
    found = doubt(lambda need: {"room": 1310.0 + room - need(FRONT)}, rig_with({FRONT: 0.3}))
    assert (found is None) == known


def test_words():
    said = "All within."
    assert in_doubt(None, said) == said
    assert (
        in_doubt(Doubt(ASSUMED, BAR), said)
        == "Not known, likely: All within. What decides is assumed: mass of the bar."
    )
    assert (
        in_doubt(Doubt(TOO_CLOSE, BAR), said)
        == "Not known, too close for your ± (most of it: mass of the bar): All within."
    )


# --- panels of the lessons ---

ANSWERED = tuple(key for key in all_panels() if panel_of(*key).rooms)
OVER_WORDS = re.compile(
    "over by|OVER|BINDS|binds, short|over already|over the bar's|over the coupler's|touches the road"
    "|lies on the road|no number of links|upper end is over|too narrow|jack-knife can|GROWS|will not start"
    "|No gear and speed|none of these|both sides of it"
)
WITHIN_WORDS = re.compile(
    r"\bwithin by\b|\bare within\b|\ball within\b|\bstay within\b|\bis within\b|not bind"
)


def state_of(key, rig):
    return PanelState(load_panel(*key), panel_of(*key), lambda _: rig)


@pytest.mark.parametrize("demo", DEMOS)
@pytest.mark.parametrize("key", all_panels(), ids="/".join)
def test_a_sentence_that_says_within_or_over_has_its_rooms(key, demo):
    state = state_of(key, invented(demo))
    for corner in itertools.islice(state.corners(), 0, None, 5):
        state.values = dict(corner)
        state.update()
        if state.failed:
            continue
        words, rooms = state.sentence_text, panel_of(*key).rooms
        if rooms is None:
            assert not WITHIN_WORDS.search(words), words
            continue
        found = [
            room
            for each in rooms(state.result).values()
            for room in (each if isinstance(each, tuple) else (each,))
        ]
        if OVER_WORDS.search(words):
            assert any(room <= 0.0 for room in found), (words, found)
        elif WITHIN_WORDS.search(words):
            assert found and (key[1] == "gear_speed_map" or all(room >= 0.0 for room in found)), (
                words,
                found,
            )


@pytest.mark.parametrize("demo", DEMOS)
@pytest.mark.parametrize("key", ANSWERED, ids="/".join)
def test_every_panel_with_answers_tells_what_is_assumed(key, demo):
    state = state_of(key, invented(demo))
    if state.failed:
        return
    now = state.told_now
    assert now.startswith(state.sentence_text) and now.endswith("tried.)") == state.trying
    told = state.told
    assert not state.trying and told == state.told_now and told.endswith((".", "?"))
    assert told == state.sentence_text or told.startswith("Not known")


def test_brakes_downhill_are_told_as_the_plan_tells_them():
    """The same brakes on the same road: what the plan does not know, the panel does not know."""
    road = load_route("data/routes/short_steep_pass.csv")
    seen = set()
    for demo in DEMOS:
        rig = load_rig(f"data/rigs/{demo}.toml")
        limit = {each.key: each for each in make_plan(rig, road).limits}["front_brakes"]
        told = state_of(("11_trip_sheet", "descent"), rig).told
        assert told.startswith("Not known, likely:") == (limit.likely != "") == (limit.answer == NOT_KNOWN)
        assert f" {limit.plain} by" in told
        seen.add(limit.answer)
    assert len(seen) == 2  # once known, once not


def test_axle_loads_of_a_rig_at_the_edge_are_told_as_the_plan_tells_them(monkeypatch):
    """Half of the bar rests on the ball, 18 to 32 kg of it assumed: GVWR with 2 kg to spare is not known."""
    monkeypatch.setattr("towlib.rig.facts.questions", lambda rig: ())
    rig = rig_with({}, BAR)
    weighs = tow_total_kg(Facts(rig), "out")
    for room, known in ((2.0, False), (30.0, True), (-2.0, False), (-30.0, True)):
        near = changed(rig, "tow_vehicle.gvwr", weighs + room)
        state = state_of(("01_weight_ratings", "axle_loads"), near)
        assert state.told.startswith("Not known, likely") != known, (room, state.told)


# --- on the screen ---


def test_while_the_slider_moves_it_is_said_that_nothing_was_tried_and_then_what_came_of_it(
    monkeypatch, tmp_path
):
    monkeypatch.setenv("TOWLIB_READER_FOLDER", str(tmp_path))
    monkeypatch.setattr(panels, "RESTS_S", 0.01)
    key = ("11_trip_sheet", "descent")

    async def moved():
        panel = panels.Panel(
            PanelState(load_panel(*key), panel_of(*key), lambda _: invented("demo_overloaded"))
        )
        first = panel._sentence.value, panel._picture.tooltip
        assert panel.state.trying
        for _ in range(200):
            await asyncio.sleep(0.01)
            if not panel.state.trying:
                break
        return first, (panel._sentence.value, panel._picture.tooltip)

    first, last = asyncio.run(moved())
    assert all("is still being tried" in words for words in first)
    assert all("Not known, likely" in words and "being tried" not in words for words in last)


def test_without_answers_nothing_is_tried():
    declared = panel_of("10_ways_to_tow", "cost")
    assert declared.rooms is None and isinstance(declared, Panel)
    assert not state_of(("10_ways_to_tow", "cost"), DEMO).trying
