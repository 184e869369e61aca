"""The lists of plans made by hand: the STOP line, what not known means, and what is said at the summit."""

import pytest

from tests.plans import (
    DEMO,
    likely_over,
    likely_within,
    made,
    over,
    plan_of,
    too_close,
    unknown,
    within,
)
from tests.rigs import changed, without
from towlib.limits.driveline_card import card_steps, layout_of
from towlib.print import checklists as told
from towlib.print.checklists import GENERIC_CARD, GENERIC_HOME, checklists
from towlib.rig.facts import Facts, NotKnown

NO_DRIVELINE = changed(DEMO, "towed_vehicle.driveline", type(DEMO.towed_vehicle.driveline)())
LEAVE = "Do not leave until they are mended."
PASS = "named on the front. Not known is not a pass: find out before you begin."


def before(*limits, system="metric", **other):
    return checklists(plan_of(*limits, **other), system)[0].items_


@pytest.mark.parametrize(
    ("limits", "stop", "open_"),
    [
        ([within()], None, None),
        ([within(), unknown()], None, f"Not known: 1 limit, {PASS}"),
        ([too_close(), unknown(), likely_within()], None, f"Not known: 3 limits, {PASS}"),
        ([over(), within()], f"STOP: 1 limit is over, named on the front. {LEAVE}", None),
        (
            [over("a"), over("b"), unknown()],
            f"STOP: 2 limits are over, named on the front. {LEAVE}",
            f"Not known: 1 limit, {PASS}",
        ),
        (
            [likely_over(), within()],
            f"STOP: likely over: LIKELY_OVER. {LEAVE}",
            f"Not known: 1 limit, {PASS}",
        ),
        (
            [over(), likely_over("a"), likely_over("b"), likely_over("c"), likely_over("d"), unknown()],
            f"STOP: 1 limit is over, named on the front; likely over: A; B; C and 1 more. {LEAVE}",
            f"Not known: 5 limits, {PASS}",
        ),
    ],
)
@pytest.mark.parametrize("known_driveline", [True, False])
def test_what_stands_first_by_hand(limits, stop, open_, known_driveline):
    items = before(*limits, rig=DEMO if known_driveline else NO_DRIVELINE)
    wanted = [line for line in (stop, open_) if line]
    assert list(items[: len(wanted)]) == wanted
    rest = " ".join(items[len(wanted) :])
    assert "STOP" not in rest and "Not known: " not in rest
    assert "manual open at towing" in items[len(wanted)]


def summit(*limits):
    return checklists(plan_of(*limits))[2].items_[0]


BRAKES = ("front_brakes", "rear_brakes", "towed_brakes")


@pytest.mark.parametrize("key", BRAKES)
@pytest.mark.parametrize("judged", [over, unknown, likely_over, likely_within, too_close])
def test_no_gear_and_speed_are_to_be_taken_with_brakes_that_are_not_within(key, judged):
    others = [within(each) for each in BRAKES if each != key]
    assert summit(*others, within(key), judged("fuel")) == (
        "Stop, parking brake on, walk around, try the brakes; take the gear and the speed of the table"
        " before the"
        " downgrade begins."
    )
    said = summit(*others, judged(key))
    assert said.startswith(
        "Do NOT go down: with gear and speed of the table the brakes are over, or not known."
    )
    assert "take the gear" not in said and "Turn round" in said


def test_titles_of_the_lists_in_both_systems():
    # 10 km in one digit; 6.2 miles
    assert [each.title for each in checklists(plan_of(within()), "us")][1] == "After the first 6 mi"
    assert [each.title for each in checklists(plan_of(within()))] == [
        "Before leaving",
        "After the first 10 km",
        "At the summit, and going down",
        "At the trailhead: uncoupling",
        "Before the way home",
        "At home",
    ]


def words(rig, number=0, system="metric"):
    return " ".join(checklists(plan_of(within(), rig=rig), system)[number].items_)


@pytest.mark.parametrize(
    ("path", "value", "said"),
    [
        ("safety_chains.links", 22, "Chains crossed under the bar; 22 links each; hooks closed"),
        ("safety_chains.links", None, "Chains crossed under the bar; links: not known; hooks closed"),
        # not in the file: nothing is said against crossing, so they are crossed
        ("safety_chains.crossed", None, "Chains crossed under the bar; 20 links each; hooks closed"),
        ("safety_chains.second_pair_fitted", True, "clear of the road. Second pair on."),
        (
            "safety_chains.second_pair_fitted",
            False,
            "clear of the road. No second pair: not held if a bracket lets go.",
        ),
        ("hitch.ball_mount_change", 0.0508, "(rise 50.8 mm)"),
        ("hitch.ball_mount_change", 0.0, "(rise 0 mm)"),
        ("hitch.ball_mount_change", -0.0508, "(drop 50.8 mm)"),
        ("hitch.ball_mount_change", None, "(rise or drop not known)"),
        ("tow_vehicle.front_tyres.pressure", None, "tow front not known, rear "),
        ("tow_vehicle.rear_tyres.pressure", 250e3, "rear 250 kPa; towed"),
        ("towed_vehicle.tyres.pressure", 200e3, "; towed 200 kPa."),
    ],
)
def test_the_rigs_own_figures_before_leaving(path, value, said):
    assert said in words(changed(DEMO, path, value))


def test_ball_latch_and_pins_before_leaving():
    found = words(DEMO)
    assert (
        "Ball 2 in, coupler for 2 in. Bar down on the ball: latch closed, its pin or clip in; pull it UP"
        in found
    )
    assert "Pins of brackets and bar in, each clipped" in found
    unlike = words(changed(DEMO, "tow_bar.coupler_size", 0.047625))
    assert "Ball 2 in, coupler for 1-7/8 in: do NOT couple. Bar down" in unlike
    for path in ("tow_bar.coupler_size", "hitch.ball_diameter"):
        assert "Read the size on ball and coupler: the same? Bar down" in words(without(DEMO, path))


def test_chains_are_tied_where_the_tow_bar_rule_asks_it():
    assert "hooks closed, not twisted, tied to the bar there, clear of the road." in words(DEMO)
    for rule in ("working", "breaking", None):
        rig = changed(DEMO, "safety_chains.rule_strength", rule)
        assert "hooks closed, not twisted, clear of the road." in words(rig)


def test_nothing_is_said_of_a_second_pair_nobody_told_of():
    found = words(without(DEMO, "safety_chains.second_pair_fitted"))
    assert "clear of the road." in found and "econd pair" not in found


def test_chains_that_are_not_crossed_are_crossed_first(monkeypatch):
    monkeypatch.setattr(told, "crossing_words", lambda facts: "Cross them")
    found = words(changed(DEMO, "safety_chains.crossed", False))
    assert " Cross them; hooks closed" in found and "links" not in found and "Chains crossed" not in found


def test_what_was_corrected_and_cannot_be_read_is_not_told_as_it_was():
    rig = DEMO.model_copy()
    rig._not_read = {"safety_chains.links": "twenty", "safety_chains.second_pair_fitted": "perhaps"}
    found = words(rig)
    assert "links: not known" in found and "20 links" not in found and "econd pair" not in found


def test_pressures_in_both_systems():
    rig = changed(DEMO, "tow_vehicle.front_tyres.pressure", 275790.292)  # 40 psi
    assert "tow front 276 kPa" in words(rig) and "tow front 40 psi" in words(rig, system="us")


def test_a_card_of_a_driveline_that_is_not_known():
    lists = checklists(plan_of(within(), rig=NO_DRIVELINE))
    assert lists[0].items_[-3:] == GENERIC_CARD and lists[3].items_[:-1] == GENERIC_HOME
    assert "after deep water look for milky oil." in " ".join(lists[4].items_)
    known = checklists(plan_of(within()))
    assert known[3].items_[:-1] != GENERIC_HOME and known[3].items_[-1] == lists[3].items_[-1]
    assert "hubs turn by hand" in " ".join(known[4].items_) or "oil traces" in " ".join(known[4].items_)


def test_coupling_comes_after_the_chocks_and_before_what_frees_the_wheels():
    items = before(within(), prop="Rest the bar.")
    place = {
        part: next(i for i, item in enumerate(items) if part in item)
        for part in (
            "manual open",
            "Tyres cold",
            "Chock the towed",
            "Rest the bar.",
            "Plug in",
            "Chocks away LAST",
        )
    }
    assert list(place.values()) == sorted(place.values()) and place["Tyres cold"] == 1
    assert not any("heat" in item.split()[:1] for item in items)


def test_the_battery_by_hand(monkeypatch):
    found = {}

    def battery(facts):
        if found["hours"] is NotKnown:
            raise NotKnown("battery.capacity")
        return type("Found", (), {"hours": found["hours"]})

    monkeypatch.setattr(told, "battery_with_key_on", battery)
    for rig, hours, said in (
        (changed(DEMO, "battery.disconnected", True), 7.0, "Battery: disconnected while towed"),
        (changed(DEMO, "battery.disconnected", False), 7.4, "about 7 h from a FULL battery (estimate)"),
        (without(DEMO, "battery.disconnected"), 7.6, "about 8 h from a FULL battery (estimate)"),
        (without(DEMO, "battery.disconnected"), None, "the charging line keeps up"),
        (without(DEMO, "battery.disconnected"), NotKnown, "how long the battery lasts is not known"),
    ):
        found["hours"] = hours
        line = checklists(plan_of(within(), rig=rig))[4].items_[-1]
        assert said in line


def test_a_limit_that_is_full_is_no_reason_to_stop():
    assert "STOP" not in " ".join(before(made("full", 10.0, 10.0)))


def test_every_step_of_the_driveline_stands_once_in_its_place():
    steps = [step.do for step in card_steps(layout_of(Facts(DEMO))) if step.topic not in ("coupled", "heat")]
    items = list(before(within()))
    assert [item for item in items if item in steps] == steps and len(set(items)) == len(items)
    # the manual, the tyres, the rest of the setting, five lines of coupling, then what frees the wheels
    assert items[:2] == [steps[0], next(item for item in items if item.startswith("Tyres cold"))]
    assert len(items) == len(steps) + 1 + 5
