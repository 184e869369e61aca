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


# --- words of one step, by the layout ---


def _step(topic, **told):
    return next((step for step in card_steps(Layout(**told)) if step.topic == topic), None)


PLAIN = "as the maker's manual says"
DRAGGED = ", so that oil cannot drag it round."
DRY = ". Like this its output shaft can turn without oil: only if the manual says so."
TO_NEUTRAL = f"Gearbox to neutral while you move the transfer case, {PLAIN}."


@pytest.mark.parametrize(
    ("told", "do", "undo"),
    [
        ({}, f"Gearbox in gear, {PLAIN}{DRAGGED}", TO_NEUTRAL),
        ({"gearbox": "automatic", "gear": "park"}, f"Gearbox in park, {PLAIN}{DRAGGED}", TO_NEUTRAL),
        ({"gearbox": "automatic"}, f"Gearbox left in a gear, {PLAIN}{DRY}", TO_NEUTRAL),
        ({"gear": "neutral"}, f"Gearbox in neutral, {PLAIN}{DRY}", ""),
        # everything ahead of the pinion stands, and no gear holds it
        (
            {"position": REAR_ONLY, "front_hubs": "free", "rear_shaft_in": False, "gear": "neutral"},
            f"Gearbox in neutral, {PLAIN}.",
            "",
        ),
        # without a transfer case the gear itself is put back
        (
            {"transfer_case": "none", "rear_shaft_in": False},
            f"Gearbox in gear, {PLAIN}.",
            "Gearbox in first or reverse; engine OFF, key in your pocket.",
        ),
        (
            {"transfer_case": "none", "gear": "neutral"},
            f"Gearbox in neutral, {PLAIN}{DRY}",
            "Gearbox in first or reverse; engine OFF, key in your pocket.",
        ),
        (
            {"transfer_case": "none", "rear_shaft_in": False, "gearbox": "automatic", "gear": "park"},
            f"Gearbox in park, {PLAIN}.",
            "Gearbox in park; engine OFF, key in your pocket.",
        ),
    ],
)
def test_the_step_of_the_gearbox(told, do, undo):
    assert _step("gearbox", **told)[1:] == (do, undo)


@pytest.mark.parametrize(
    ("told", "begins", "proved", "held"),
    [
        ({}, f"Transfer case to neutral, {PLAIN}", "a gear and the clutch", "first or reverse"),
        (
            {"low_range": True},
            f"Transfer case to neutral, {PLAIN}",
            "a gear and the clutch",
            "first or reverse",
        ),
        (
            {"gearbox": "automatic", "gear": "park"},
            f"Transfer case to neutral, {PLAIN}",
            "reverse, then drive:",
            "in park",
        ),
        (
            {"position": REAR_ONLY, "low_range": True, "gear": "neutral"},
            f"Transfer case to rear axle only in low range, {PLAIN}",
            None,
            "first or reverse",
        ),
        (
            {"position": REAR_ONLY, "gear": "neutral"},
            f"Transfer case to rear axle only, {PLAIN}",
            None,
            "first or reverse",
        ),
        (
            {"transfer_case": "independent outputs", "position": BOTH, "gear": "neutral"},
            f"Both levers of the transfer case to both axles, {PLAIN}",
            None,
            "first or reverse",
        ),
    ],
)
def test_the_step_of_the_transfer_case(told, begins, proved, held):
    step = _step("transfer case", **told)
    assert step.do.startswith(begins)
    assert ("Prove it" in step.do) == bool(proved) and (proved or "") in step.do
    assert f"Then gearbox {'in ' if held != 'in park' else ''}{held}, engine OFF" in step.undo


def test_no_case_no_step_of_it():
    assert _step("transfer case", transfer_case="none") is None


@pytest.mark.parametrize(
    ("told", "topics"),
    [
        ({}, []),
        ({"front_hubs": "free"}, ["hubs"]),
        ({"front_hubs": "one side open"}, []),
        ({"rear_shaft_in": False}, ["rear shaft"]),
        ({"front_shaft_in": False, "rear_shaft_in": False}, ["front shaft", "rear shaft"]),
        # an axle that is not driven has neither shaft nor hubs to set
        ({"transfer_case": "none", "front_shaft_in": False, "front_hubs": "free"}, []),
        (
            {"transfer_case": "none", "driven_axle": "front", "front_shaft_in": False, "front_hubs": "free"},
            ["front shaft", "hubs"],
        ),
    ],
)
def test_shafts_and_hubs_that_are_set(told, topics):
    steps = [step.topic for step in card_steps(Layout(**told))]
    assert [topic for topic in steps if topic in ("front shaft", "rear shaft", "hubs")] == topics


def test_front_wheels_on_a_dolly_neither_steer_nor_follow():
    free, lifted = (_step("steering", lifted_axle=axle).do for axle in ("none", "front"))
    assert free.startswith("Turn the steering wheel by hand from lock to lock")
    assert lifted == "Steering as the dolly's maker says; straps tight over both tyres."
    assert _step("steering", lifted_axle="rear").do == free
    curves = [_step("curve", lifted_axle=axle) is not None for axle in ("none", "rear", "front")]
    assert curves == [True, True, False]


def test_the_roll_names_what_creeps_and_what_is_forced():
    usual = roll_words(Layout())
    assert "May have crept" not in usual and "FORCED" not in usual
    # front hubs free: the front shaft rests and oil may drag it along from the rear output
    loose = roll_words(Layout(front_hubs="free"))
    assert "May have crept a little: front shaft." in loose and "FORCED" not in loose
    forced = roll_words(Layout(position=BOTH, gearbox="automatic", gear="park"))
    assert "FORCED: " in forced and forced.endswith("these positions cannot be towed.")
    assert "May have crept" not in forced
    assert "Must not: " not in usual and "Must not: " in roll_words(
        Layout(front_hubs="free", rear_shaft_in=False)
    )


@pytest.mark.parametrize("position", ["neutral, outputs joined", "both"])
def test_joined_axles_need_their_ratios(position):
    told = FULL | {"transfer_case_position": position}
    with pytest.raises(NotKnown, match="front_final_drive"):
        layout_of(_Facts(**told))
    with pytest.raises(NotKnown, match="rear_final_drive"):
        layout_of(_Facts(**told, front_final_drive=4.1))


# --- any layout ---


@settings(max_examples=80, deadline=None)
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


@settings(max_examples=60, deadline=None)
@given(LAYOUTS)
def test_the_roll_test_asks_for_what_the_driveline_does(layout):
    assume(possible(layout))
    state, words = what_turns(layout, 1.0).motion.state, roll_words(layout)
    turned = words.partition("Must have turned: ")[2].partition(".")[0]
    for part in ("front shaft", "rear shaft"):
        assert (part in turned) == (state.get(part) == "turns")
        assert (part in words.partition("Must not: ")[2].partition(".")[0]) == (state.get(part) == "stands")
