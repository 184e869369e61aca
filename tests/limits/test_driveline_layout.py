"""Every layout the rig can describe: properties that must hold, an independent walk through the gears, and
what is said of oil.
"""

import itertools
import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from towlib.handbook.tables import load_table
from towlib.limits.driveline_layout import (
    BOTH,
    CENTRE_LOCKED,
    GEARBOXES,
    GEARS,
    HUBS,
    JOINED,
    NEUTRAL,
    NOT_OILED,
    OIL_NOT_KNOWN,
    OILED,
    POSITIONS,
    REAR_ONLY,
    TRANSFER_CASES,
    Layout,
    _drags,
    findings,
    listed,
    parts_of,
    require_possible,
    ties_of,
    what_turns,
)
from towlib.physics.driveline.gear_ties import gear, wheel_rpm
from towlib.physics.driveline.shaft_motion import FORCED, LOOSE, STANDS, TURNS

SPEED = 25.0
FLAGS = st.booleans()
LAYOUTS = st.builds(
    lambda **told: Layout(**told),
    transfer_case=st.sampled_from(TRANSFER_CASES),
    position=st.sampled_from(POSITIONS),
    low_range=FLAGS,
    gearbox=st.sampled_from(GEARBOXES),
    gear=st.sampled_from(GEARS),
    front_hubs=st.sampled_from(HUBS),
    front_shaft_in=FLAGS,
    rear_shaft_in=FLAGS,
    front_locked=FLAGS,
    rear_locked=FLAGS,
    lifted_axle=st.sampled_from(("none", "front", "rear")),
    driven_axle=st.sampled_from(("front", "rear")),
    front_final_drive=st.sampled_from((3.55, 4.1)),
    rear_final_drive=st.sampled_from((4.1, 4.88)),
    front_torque_share=st.sampled_from((0.4, 0.5)),
)
GEARBOX_PARTS = ("gearbox output", "gearbox input", "engine")


def possible(layout):
    try:
        require_possible(layout)
    except ValueError:
        return False
    return True


def test_usual_procedures_by_hand():
    # 25 m/s on 0.35 m: 25·60/(2·pi·0.35) = 682.09 rpm; times 4.1: 2796.6 rpm
    neutral = what_turns(Layout(), SPEED)
    assert neutral.motion.rpm["rear left wheel"] == pytest.approx(682.09, abs=0.01) and neutral.motion.rpm[
        "front output"
    ] == pytest.approx(2796.6, abs=0.1)
    assert (
        neutral.oil["rear output"].verdict == OIL_NOT_KNOWN
        and neutral.oil["rear pinion"].verdict == OILED
        and "engine" not in neutral.oil
    )
    dragged = what_turns(Layout(gear="neutral"), SPEED)
    assert (
        dragged.motion.state["gearbox output"] == LOOSE
        and dragged.oil["gearbox output"].verdict == NOT_OILED
        and dragged.motion.state["gearbox input"] == STANDS
    )
    # an input that is only dragged along feeds nobody, and neither does a ring gear
    assert (
        dragged.motion.state["transfer input"] == LOOSE
        and dragged.oil["rear output"].verdict == OIL_NOT_KNOWN
    )
    assert what_turns(Layout(front_hubs="free"), SPEED).oil["front differential"].verdict == OIL_NOT_KNOWN
    for box in GEARBOXES:
        in_neutral = what_turns(Layout(position=REAR_ONLY, gearbox=box, gear="neutral"), SPEED)
        assert (
            in_neutral.motion.state["gearbox output"] == TURNS
            and in_neutral.oil["gearbox output"].verdict == NOT_OILED
        )
    low = what_turns(
        Layout(position=BOTH, low_range=True, gear_ratio=3.9), 5.0
    ).motion  # 5 m/s: 136.42 rpm times 4.1·2.7·3.9
    assert low.rpm["engine"] == pytest.approx(136.4185 * 4.1 * 2.7 * 3.9, rel=1e-4) and not low.conflict
    assert findings(what_turns(Layout(position=REAR_ONLY), SPEED))[0].startswith(
        "The road turns the engine, at 2,797 rpm"
    )


def test_wheels_in_a_bend_by_hand():
    """5 m/s about a point 10 m to the left, tyres of 0.35 m, 1.5 m apart and 2.4 m behind each other: rear
    wheels roll on 9.25 and 10.75 m, front ones on the hypotenuse with 2.4 m.
    """
    rpm = what_turns(Layout(), 5.0, left_curvature_1_m=0.1).motion.rpm
    at_ten = 5.0 * 60 / (2 * math.pi * 0.35)
    for side, radius in (("left", 9.25), ("right", 10.75)):
        assert rpm[f"rear {side} wheel"] == pytest.approx(at_ten * radius / 10)
        assert rpm[f"front {side} wheel"] == pytest.approx(at_ten * math.hypot(radius, 2.4) / 10)


def test_a_vehicle_that_stands_is_refused():
    for speed in (0.0, -5.0, math.nan):
        with pytest.raises(ValueError, match="above zero"):
            what_turns(Layout(), speed)


def test_what_holds_an_axle_together_is_called_after_its_hubs():
    """Locked hubs are to be opened; half shafts that cannot be opened are told as such."""
    for hubs, name in (("locked", "front hubs"), ("fixed", "front half shafts")):
        names = {tie.name for tie in ties_of(Layout(front_hubs=hubs), SPEED)}
        assert name in names and "rear half shafts" in names
        assert not {"front hubs", "front half shafts"} - {name} & names


FRONT_HALF = "front half shafts, front differential, front pinion, front shaft and front output"


@pytest.mark.parametrize(
    ("layout", "said"),
    [
        # both shafts turn both outputs; behind a gear left in, the case's input stands
        (
            Layout(),
            ("Turns, and whether oil reaches it is not known: front output and rear output.",),
        ),
        # with the gearbox in neutral the oil may drag input and gearbox along, and no wheel of it dips in oil
        (
            Layout(gear="neutral"),
            (
                "May turn while nothing oils it: gearbox output.",
                "Turns, and whether oil reaches it is not known: front output and rear output.",
                "Loose, oil may drag it along: transfer input and gearbox output.",
            ),
        ),
        # free hubs: only the rear shaft turns, and its output may drag the front one along
        (
            Layout(front_hubs="free"),
            (
                "Turns, and whether oil reaches it is not known: rear output.",
                f"Loose, oil may drag it along: {FRONT_HALF}.",
            ),
        ),
        # an automatic's converter is full of oil, on a standing engine
        (
            Layout(gearbox="automatic", position=REAR_ONLY, gear="neutral"),
            (
                "May turn while nothing oils it: gearbox output and gearbox input.",
                "Loose, oil may drag it along: gearbox input.",
            ),
        ),
        (Layout(front_hubs="free", gear="neutral", rear_shaft_in=False), ()),
    ],
)
def test_what_stands_out_in_words(layout, said):
    assert findings(what_turns(layout, SPEED)) == said


def test_parts_that_surely_turn_are_named_before_loose_ones():
    found = what_turns(Layout(front_hubs="free"), SPEED)
    unknown = found.oil_is(OIL_NOT_KNOWN)
    assert unknown[0] == "rear output" and found.motion.state["rear output"] == TURNS
    assert {found.motion.state[part] for part in unknown[1:]} == {LOOSE}
    assert {found.oil[part].verdict for part in unknown} == {OIL_NOT_KNOWN}


def test_parts_that_share_oil_by_hand():
    """Shafts of one case in one bath, each pair once; a centre differential's own two."""
    box, case = ("gearbox output", "gearbox input"), ("front output", "rear output", "transfer input")
    pairs = [(case[0], case[1]), (case[0], case[2]), (case[1], case[2])]
    assert _drags(Layout()) == [box, *pairs]
    assert _drags(Layout(transfer_case="none", gearbox="automatic")) == [box, ("gearbox input", "engine")]
    assert _drags(Layout(transfer_case="full-time")) == [box, ("centre differential", "transfer input")]


def test_an_axle_with_one_side_open_turns_its_free_side_backwards():
    found = what_turns(Layout(front_hubs="one side open"), SPEED).motion
    assert (
        found.rpm["front right half shaft"] == pytest.approx(-found.rpm["front left half shaft"])
        and found.rpm["front shaft"] == 0
    )


def test_a_centre_differential_without_its_rear_shaft_turns_the_stub_back():
    found = what_turns(
        Layout(transfer_case="full-time", position=BOTH, rear_shaft_in=False, front_torque_share=0.4), SPEED
    ).motion
    assert (
        found.rpm["rear output"] == pytest.approx(-0.4 / 0.6 * found.rpm["front output"])
        and found.state["transfer input"] == STANDS
    )
    locked = what_turns(
        Layout(transfer_case="full-time", position=CENTRE_LOCKED, rear_shaft_in=False, gear="neutral"), SPEED
    ).motion
    assert locked.rpm["transfer input"] == pytest.approx(locked.rpm["front output"])


@pytest.mark.parametrize(
    ("changes", "curve", "holders"),
    [
        (
            {"position": BOTH, "lifted_axle": "front"},
            0.0,
            "front wheels strapped to the dolly and rear wheels rolling",
        ),
        (
            {"position": BOTH, "gearbox": "automatic", "gear": "park"},
            0.0,
            "front wheels rolling, rear wheels rolling and park pawl",
        ),
        (
            {"transfer_case": "none", "gearbox": "automatic", "gear": "park"},
            0.0,
            "rear wheels rolling and park pawl",
        ),
        ({"rear_locked": True}, 0.1, "rear wheels rolling, while joined by locked rear differential"),
        ({"position": JOINED}, 0.1, "front wheels rolling and rear wheels rolling"),
        (
            {"position": BOTH, "gear": "neutral", "front_final_drive": 3.73},
            0.0,
            "front wheels rolling and rear wheels rolling",
        ),
    ],
)
def test_what_cannot_all_be_is_named(changes, curve, holders):
    turning = what_turns(Layout(**changes), 5.0, left_curvature_1_m=curve)
    assert turning.motion.conflict and holders in findings(turning)[0] and len(findings(turning)) == 1


def test_open_couplings_make_the_same_layouts_harmless():
    for changes in (
        {"lifted_axle": "front"},
        {"position": REAR_ONLY, "front_hubs": "free", "lifted_axle": "rear", "gear": "neutral"},
        {"transfer_case": "full-time", "position": NEUTRAL},
    ):
        assert not what_turns(Layout(**changes), 5.0, left_curvature_1_m=0.1).motion.conflict


def test_the_oil_table_speaks_of_every_part_and_says_how_it_knows():
    rows = load_table("oiling")
    assert all(
        row[column] in (OILED, NOT_OILED, OIL_NOT_KNOWN) for row in rows for column in ("fed", "starved")
    )
    assert {row["known_by"] for row in rows} <= {"common practice", "from memory", "read"} and all(
        "common practice" in row["source"] or row["known_by"] == "read" for row in rows
    )
    everything = {
        part
        for case in TRANSFER_CASES
        for box in GEARBOXES
        for part in parts_of(Layout(transfer_case=case, gearbox=box))
    }
    for part in everything:
        kind = part.removeprefix("front ").removeprefix("rear ").removeprefix("left ").removeprefix("right ")
        assert any(row["part"] in (part, kind) for row in rows), part


def test_positions_a_driveline_does_not_have_are_refused():
    for wrong, word in (
        (Layout(position="front only"), "front only"),
        (Layout(transfer_case="full-time", position=REAR_ONLY), "rear only"),
        (Layout(gear="park"), "no park"),
        (Layout(front_hubs="glued"), "glued"),
    ):
        with pytest.raises(ValueError, match=word):
            what_turns(wrong, SPEED)


def test_names_are_listed_once():
    assert (
        listed(("rear left wheel", "rear right wheel", "engine")) == "rear wheels and engine"
        and listed(()) == "nothing"
    )


# --- any layout ---


@settings(max_examples=80, deadline=None)
@given(LAYOUTS)
def test_with_both_output_couplings_open_nothing_in_the_gearbox_turns(layout):
    layout = layout._replace(
        transfer_case="part-time" if layout.transfer_case == "none" else layout.transfer_case,
        position=NEUTRAL,
    )
    assume(possible(layout))
    found = what_turns(layout, SPEED).motion
    assert (
        all(found.state[part] in (STANDS, LOOSE) for part in (*GEARBOX_PARTS, "transfer input"))
        and found.rpm["engine"] == 0
    )
    if layout.gear == "park" or (layout.gearbox, layout.gear) == ("manual", "in gear"):
        assert all(
            found.state[part] == STANDS for part in ("gearbox output", "transfer input", "engine")
        )  # held: oil cannot drag it


@settings(max_examples=80, deadline=None)
@given(LAYOUTS)
def test_without_the_rear_shaft_all_ahead_of_the_pinion_stops(layout):
    layout = layout._replace(
        transfer_case="none" if layout.transfer_case == "full-time" else layout.transfer_case,
        rear_shaft_in=False,
        front_hubs="free",
        driven_axle="rear",
        front_locked=False,
        rear_locked=False,
        lifted_axle="none",
    )
    assume(possible(layout))
    found = what_turns(layout, SPEED).motion
    assert found.rpm["rear pinion"] == pytest.approx(
        layout.rear_final_drive * wheel_rpm(SPEED, layout.tyre_radius_m)
    )
    ahead = [
        part
        for part in parts_of(layout)
        if part in (*GEARBOX_PARTS, "transfer input", "rear output", "front output", "front shaft")
    ]
    assert (
        all(found.rpm[part] == 0 and found.state[part] == STANDS for part in ahead)
        and "rear shaft" not in found.state
    )


@settings(max_examples=80, deadline=None)
@given(LAYOUTS)
def test_free_hubs_stop_the_front_shaft(layout):
    layout = layout._replace(
        front_hubs="free", position=layout.position if layout.position in (NEUTRAL, REAR_ONLY) else NEUTRAL
    )
    assume(possible(layout) and layout.transfer_case != "none" and layout.transfer_case != "full-time")
    found = what_turns(layout, SPEED).motion
    still = [
        part
        for part in found.state
        if part in ("front shaft", "front pinion", "front differential", "front left half shaft")
    ]
    assert all(found.rpm[part] == 0 and found.state[part] in (STANDS, LOOSE) for part in still)
    assert (found.state["front left wheel"], found.rpm["front left wheel"] > 0) == (
        (TURNS, True) if layout.lifted_axle != "front" else (STANDS, False)
    )


@settings(max_examples=80, deadline=None)
@given(LAYOUTS, st.floats(0.3, 40))
def test_wheel_speed_times_final_drive_is_shaft_speed(layout, speed):
    assume(possible(layout))
    found = what_turns(layout, speed).motion
    for axle, ratio in (("front", layout.front_final_drive), ("rear", layout.rear_final_drive)):
        if (
            found.state.get(f"{axle} shaft") == TURNS
            and f"{axle} shaft" in found.by_the_road
            and layout.lifted_axle != axle
            and (axle == "rear" or layout.front_hubs in ("fixed", "locked"))
        ):
            assert found.rpm[f"{axle} shaft"] == pytest.approx(
                ratio * 60 * speed / (2 * math.pi * layout.tyre_radius_m)
            )
            assert found.rpm[f"{axle} pinion"] == pytest.approx(found.rpm[f"{axle} shaft"])


@settings(max_examples=80, deadline=None)
@given(LAYOUTS, st.floats(0.3, 40))
def test_twice_the_speed_turns_everything_twice_as_fast(layout, speed):
    assume(possible(layout))
    slow, fast = (what_turns(layout, v).motion for v in (speed, 2 * speed))
    assert slow.state == fast.state
    assert all(fast.rpm[part] == pytest.approx(2 * slow.rpm[part], abs=1e-6) for part in slow.rpm)


@settings(max_examples=80, deadline=None)
@given(LAYOUTS)
def test_speeds_satisfy_every_tie_that_is_not_in_conflict(layout):
    assume(possible(layout))
    found = what_turns(layout, SPEED).motion
    for tie in ties_of(layout, SPEED):
        if all(found.state[part] != FORCED for part, _ in tie.terms) and tie.name not in found.conflict:
            assert sum(factor * found.rpm[part] for part, factor in tie.terms) == pytest.approx(
                tie.value_rpm, abs=1e-4
            )


def walk(ties):
    """Known speeds by walking from tie to tie: where all but one speed is known the last follows. None for a
    contradiction.
    """
    sides = {frozenset(part for part, _ in tie.terms) for tie in ties if tie.name.startswith("locked")}
    cases = [
        tie.terms
        for tie in ties
        if len(tie.terms) == 3 and frozenset(part for part, _ in tie.terms[1:]) in sides
    ]
    ties = [
        *ties,
        *(gear("lock", terms[0][0], side) for terms in cases for side, _ in terms[1:]),
    ]  # a locked case turns with its sides
    known = {}
    while True:
        new = dict(known)
        for tie in ties:
            open_ = [(part, factor) for part, factor in tie.terms if part not in new]
            rest = tie.value_rpm - sum(factor * new[part] for part, factor in tie.terms if part in new)
            if len(open_) == 1:
                new[open_[0][0]] = rest / open_[0][1]
            elif not open_ and abs(rest) > 1e-4:
                return None
        if len(new) == len(known):
            return known
        known = new


def test_an_independent_walk_through_the_gears_finds_the_same_in_every_layout():
    seen = 0
    for case, position, (box, stands_in), hubs, front_in, rear_in, lock, lifted in itertools.product(
        TRANSFER_CASES,
        POSITIONS,
        (("manual", "in gear"), ("manual", "neutral"), ("automatic", "park"), ("automatic", "neutral")),
        HUBS,
        (True, False),
        (True, False),
        (False, True),
        ("none", "front", "rear"),
    ):
        layout = Layout(
            transfer_case=case,
            position=position,
            gearbox=box,
            gear=stands_in,
            front_hubs=hubs,
            front_shaft_in=front_in,
            rear_shaft_in=rear_in,
            front_locked=lock,
            lifted_axle=lifted,
        )
        if not possible(layout) or case == "none" and position != NEUTRAL:
            continue
        seen += 1
        if seen % 5:  # a fifth of some 4,000 layouts, in turn
            continue
        found, known = what_turns(layout, SPEED).motion, walk(ties_of(layout, SPEED))
        assert (known is None) == bool(found.conflict), layout
        if known is not None:
            assert found.by_the_road == set(known), layout
            assert all(found.rpm[part] == pytest.approx(n, abs=1e-4) for part, n in known.items()), layout
    assert seen > 2000


@settings(max_examples=80, deadline=None)
@given(LAYOUTS)
def test_not_known_is_never_fine(layout):
    assume(possible(layout))
    turning = what_turns(layout, SPEED)
    assert set(turning.oil) == {part for part, state in turning.motion.state.items() if state != STANDS}
    said = " ".join(findings(turning))
    for part, oil in turning.oil.items():
        assert oil.verdict in (OILED, NOT_OILED, OIL_NOT_KNOWN)
        if oil.verdict != OILED and not turning.motion.conflict:
            assert (
                listed((part,)) in said.replace("shafts", "shaft")
                or part.replace(" left", "").replace(" right", "") in said
            )
