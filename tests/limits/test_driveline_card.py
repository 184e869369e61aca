"""The positions card: the order of the work, its mirror, and no step that contradicts the computed
driveline.
"""

import pytest
from hypothesis import assume, given, settings

from tests.limits.test_driveline_layout import LAYOUTS, possible
from towlib.limits.driveline_card import card_steps, layout_of, position_card, roll_words, way_home_steps
from towlib.limits.driveline_layout import BOTH, REAR_ONLY, Layout, what_turns
from towlib.rig.facts import NotKnown

ORDER = (
    "stop",
    "manual",
    "brake",
    "chocks",
    "coupled",
    "dolly",
    "front shaft",
    "rear shaft",
    "hubs",
    "locks",
    "transfer case",
    "gearbox",
    "key",
    "steering",
    "release",
    "roll",
    "curve",
    "heat",
)
DOLLY_ORDER = ("stop", "manual", "coupled", "dolly", "brake", "chocks", *ORDER[6:])


def _index(steps, words):
    found = [i for i, step in enumerate(steps) if words in step]
    assert len(found) == 1, (words, steps)
    return found[0]


@settings(max_examples=150, deadline=None)
@given(LAYOUTS)
def test_order_of_the_work_and_its_mirror(layout):
    assume(possible(layout))
    steps, card = card_steps(layout), position_card(layout)
    topics = [step.topic for step in steps]
    order = (
        ORDER if layout.lifted_axle == "none" else DOLLY_ORDER
    )  # an axle is winched onto the dolly before brake and chocks
    assert topics == sorted(topics, key=order.index) and {
        "manual",
        "chocks",
        "coupled",
        "key",
        "steering",
        "release",
        "roll",
    } <= set(topics)
    assert card.home == tuple(step.undo for step in reversed(steps) if step.undo) and card.leaving == tuple(
        step.do for step in steps
    )
    assert all(
        step.endswith(".") and step[0].isupper() and len(step) < 480 for step in (*card.leaving, *card.home)
    )
    # chocked before anything is moved, and free of the bar only when it holds by itself
    assert (
        _index(card.leaving, "Chock the towed")
        < _index(card.leaving, "Chocks away LAST")
        < _index(card.leaving, "Chalk a mark")
    )
    assert "Chocks FIRST" in card.home[0]
    holds = _index(card.home, "must hold it, chocks still in. Only then plug out, chains off")
    if layout.lifted_axle == "none":
        assert holds < _index(card.home, "Chocks out")
    # nobody works at a shaft or lets go of the bar with the engine running
    engine_off = [i for i, step in enumerate(card.home) if "engine OFF" in step or "Engine off" in step]
    assert not engine_off or min(engine_off) < holds
    assert all("Engine off" in step for step in card.home if "shaft in by its marks" in step)
    assert _index(card.home, "Chocks out") < _index(card.home, "Parking brake off")
    if layout.transfer_case != "none":
        assert "maker's manual says" in next(step.do for step in steps if step.topic == "transfer case")
        assert _index(card.home, "back to the driving position") < _index(
            card.home, "Only then plug out, chains off"
        )
    assert way_home_steps(layout)[1:] == card.leaving


@settings(max_examples=100, deadline=None)
@given(LAYOUTS)
def test_the_roll_test_asks_for_what_the_driveline_does(layout):
    assume(possible(layout))
    state, words = what_turns(layout, 1.0).motion.state, roll_words(layout)
    turned = words.partition("Must have turned: ")[2].partition(".")[0]
    for part in ("front shaft", "rear shaft"):
        assert (part in turned) == (state.get(part) == "turns")
        assert (part in words.partition("Must not: ")[2].partition(".")[0]) == (state.get(part) == "stands")


def test_a_layout_that_forces_something_begins_with_a_stop():
    for wrong in (
        Layout(position=BOTH, gearbox="automatic", gear="park"),
        Layout(position=REAR_ONLY),
        Layout(position=BOTH, lifted_axle="front", gear="neutral"),
    ):
        assert position_card(wrong).leaving[0].startswith("DO NOT TOW LIKE THIS.")
    assert not position_card(Layout()).leaving[0].startswith("DO NOT")
    for bent in (
        Layout(rear_locked=True),
        Layout(position="neutral, outputs joined"),
    ):  # rolls straight, not in a bend
        assert "not in a bend" in position_card(bent).leaving[0]


def test_what_each_card_says():
    usual = position_card(Layout())
    assert any(
        step == "Gearbox in gear, as the maker's manual says, so that oil cannot drag it round."
        for step in usual.leaving
    )
    assert (
        any("clutch gently up: the engine must not slow down or stall" in step for step in usual.leaving)
        and "front output and rear output" in usual.leaving[0]
    )
    out = position_card(
        Layout(front_hubs="free", rear_shaft_in=False, position=REAR_ONLY, gearbox="automatic", gear="park")
    )
    assert any("parking brake that acts on this shaft now holds nothing" in step for step in out.leaving)
    assert any("Must not: front shaft" in step for step in out.leaving) and any(
        step.startswith("Both front hubs FREE") for step in out.leaving
    )
    assert any("Rear shaft in by its marks" in step for step in out.home)
    loose = position_card(Layout(gear="neutral"))
    assert any("output shaft can turn without oil" in step for step in loose.leaving)
    assert any("LOCKED on this card" in step for step in position_card(Layout(rear_locked=True)).leaving)
    assert any(
        "both levers" in step.lower()
        for step in position_card(Layout(transfer_case="independent outputs")).leaving
    )
    assert any(
        step.startswith("Front wheels on the dolly")
        for step in position_card(Layout(lifted_axle="front")).leaving
    )


class _Facts:
    """Facts of a rig that has the section, without a rig file."""

    class rig:
        class towed_vehicle:
            driveline = True

    def __init__(self, **told):
        self.told = {f"towed_vehicle.driveline.{name}": value for name, value in told.items()}

    def have(self, path):
        return self.told.get(path)

    def need(self, path):
        if self.told.get(path) is None:
            raise NotKnown(path)
        return self.told[path]


FULL = {
    "transfer_case": "part-time",
    "transfer_case_position": "neutral",
    "gearbox": "manual",
    "gearbox_position": "in gear",
    "front_hubs": "free",
    "front_shaft_in": True,
    "rear_shaft_in": False,
}


def test_a_layout_from_facts_and_what_is_missing():
    assert layout_of(_Facts(**FULL)) == Layout(front_hubs="free", rear_shaft_in=False)
    for name in FULL:
        with pytest.raises(NotKnown, match=name):
            layout_of(_Facts(**{key: value for key, value in FULL.items() if key != name}))
    with pytest.raises(NotKnown, match="front_final_drive"):
        layout_of(_Facts(**FULL), for_speeds=True)
    with pytest.raises(NotKnown, match="no park"):
        layout_of(_Facts(**FULL | {"gearbox_position": "park"}))
    assert (
        layout_of(
            _Facts(
                transfer_case="none",
                gearbox="manual",
                gearbox_position="neutral",
                driven_axle="rear",
                rear_shaft_in=True,
            )
        ).driven_axle
        == "rear"
    )
