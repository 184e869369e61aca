"""What is not known exactly: ends by hand, cut where a field ends, depth of bracket bolts left out."""

import pytest

from tests.rigs import changed, without
from towlib.physics.hitch.attachment import ACROSS, ALONG
from towlib.rig.facts import assumptions
from towlib.rig.model import load_rig, real_range, value_at
from towlib.rig.uncertain import Uncertain, uncertain_values

DEMO = load_rig("data/rigs/demo_comfortable.toml")
FRONT, SHARE = "tow_vehicle.front_axle_empty", "tow_vehicle.brakes.front_share"


def rig_with(plus_minus, rig=DEMO):
    rig = rig.model_copy()
    rig._plus_minus = dict(plus_minus)
    return rig


def given(rig):
    return [each for each in uncertain_values(rig) if not each.assumed]


def test_a_plus_minus_reaches_as_far_to_both_sides():
    # 1,310 ± 20
    assert given(rig_with({FRONT: 20.0})) == [Uncertain(FRONT, 1290.0, 1310.0, 1330.0, False, False)]


def test_ends_are_cut_where_the_field_ends_and_say_so():
    lowest, highest = real_range(SHARE)
    rig = changed(DEMO, SHARE, highest - 0.01)
    assert given(rig_with({SHARE: 0.05}, rig)) == [
        Uncertain(SHARE, pytest.approx(highest - 0.06), highest - 0.01, highest, False, True)
    ]
    rig = changed(DEMO, SHARE, lowest + 0.01)
    assert given(rig_with({SHARE: 0.05}, rig)) == [
        Uncertain(SHARE, lowest, lowest + 0.01, pytest.approx(lowest + 0.06), False, True)
    ]
    # exactly to the end is not cut; whole kilograms, so that nothing is rounded
    lowest, highest = real_range(FRONT)
    for best in (lowest + 20.0, highest - 20.0):
        each = given(rig_with({FRONT: 20.0}, changed(DEMO, FRONT, best)))[0]
        assert (each.low, each.high, each.cut) == (best - 20.0, best + 20.0, False)


def test_a_plus_minus_of_a_value_that_was_taken_out_is_not_known_instead():
    assert given(rig_with({FRONT: 20.0}, without(DEMO, FRONT))) == []


@pytest.mark.parametrize(
    ("run", "exact", "varies"),
    [
        (ALONG, "behind_pin", "outboard_of_pin"),
        (ACROSS, "outboard_of_pin", "behind_pin"),
    ],
)
def test_the_depth_of_one_bolt_is_exact_because_all_lie_in_one_plane(run, exact, varies):
    rig = changed(DEMO, "bracket.bolts_run", run)
    ends = {f"bracket.bolts.0.{name}": 0.002 for name in (exact, varies, "above_pin")}
    found = [each.path for each in given(rig_with({**ends, "bracket.torque": 1.0}, rig))]
    assert found == [f"bracket.bolts.0.{varies}", "bracket.bolts.0.above_pin", "bracket.torque"]


def test_bolts_that_run_nobody_knows_where_keep_every_plus_minus():
    rig = rig_with({"bracket.bolts.0.behind_pin": 0.002}, without(DEMO, "bracket.bolts_run"))
    assert [each.path for each in given(rig)] == ["bracket.bolts.0.behind_pin"]


def test_assumptions_with_a_range_stand_in_for_what_is_missing_and_for_nothing_else():
    assumed = {each.path: each for each in uncertain_values(DEMO) if each.assumed}
    for path, row in assumptions().items():
        assert (path in assumed) == (row.low is not None and value_at(DEMO, path) is None), path
    bare = {each.path: each for each in uncertain_values(without(DEMO, "tow_bar.mass"))}
    # handbook: 25 kg, 18 to 32
    assert bare["tow_bar.mass"] == Uncertain("tow_bar.mass", 18.0, 25.0, 32.0, True, False)
    assert "tow_bar.mass" not in assumed


def test_ends_taken_farther_or_less_far():
    # 20 kg either way: 1.5 times is 30, no farther than the field allows; an assumption's range stays
    each = Uncertain(FRONT, 1290.0, 1310.0, 1330.0, False)
    assert each.away(1.5) == (1280.0, 1340.0) and each.away(1.0) == (1290.0, 1330.0)
    lowest, highest = real_range(FRONT)
    assert each.away(1e6) == (lowest, highest)
    uneven = Uncertain(FRONT, 1300.0, 1310.0, 1340.0, False)
    assert uneven.away(2.0) == (1290.0, 1370.0)
    assert each._replace(assumed=True).away(1.5) == (1290.0, 1330.0)
