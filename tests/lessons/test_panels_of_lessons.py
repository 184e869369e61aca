"""Every panel of every lesson at every corner of its sliders: a finite result or a plain sentence, and
quickly.
"""

import itertools
import math
import re
import statistics
import time

import numpy as np
import pytest

from tests.draw.test_figures import pixels, redrawn_whole
from tests.rigs import DEMOS, raised
from towlib.lessons.declare import with_values
from towlib.lessons.index import ROOMS, all_panels, panel_of
from towlib.lessons.l01_weights import weight_ratings
from towlib.lessons.predictions import predictions_of
from towlib.lessons.slider_rows import FOLDER, load_panel, panels_of
from towlib.rig.facts import Facts
from towlib.teaching.panel.panel_state import PanelState
from towlib.teaching.panel.rig_in_use import invented

PANELS = all_panels()
# panels without any vehicle in them, and why: at most four
NO_VEHICLE = {("08_lights_and_battery", "fault_finder"): "readings against a table of faults"}
MEDIAN_MS, P95_MS = 20.0, 35.0  # from a slider's change to the finished picture


def _state(key, system="metric", zoom=1.0, *, rig=None, narrow=False):
    return PanelState(
        load_panel(*key), panel_of(*key), rig or invented, system=system, zoom=zoom, narrow=narrow
    )


def test_every_panel_in_the_data_is_tested_here():
    found = {(path.stem, panel) for path in FOLDER.glob("*.toml") for panel in panels_of(path.stem)}
    assert found == set(PANELS)


@pytest.mark.parametrize(("system", "each", "drawn"), [("metric", 12, 1), ("us", 6, 6)], ids=["metric", "us"])
@pytest.mark.parametrize("key", PANELS, ids="/".join)
def test_corners_are_drawn_and_told(key, system, each, drawn):
    """Every twelfth corner drawn, every sixth told in US units. Words and lines at every corner in metric
    units are looked at by test_the_workbook_holds_together in tests/house/test_adapt_check.py.
    """
    state = _state(key, system)
    assert not state.failed and not state.missing, state.sentence_text
    for number, corner in enumerate(itertools.islice(state.corners(), 0, None, each)):
        state.values = dict(corner)
        state.update()
        words = state.sentence_text
        assert words.endswith((".", "?")) or state.failed, words
        assert "nan" not in words.split() and "inf" not in words.split() and len(words) < 400, words
        if number % drawn == 0:  # drawing takes ten times as long as everything else
            assert state.picture.png().startswith(b"\x89PNG")
        assert all(map(math.isfinite, state.picture.drawn_numbers())), corner


@pytest.mark.parametrize("demo", DEMOS)
@pytest.mark.parametrize("key", PANELS, ids="/".join)
def test_every_panel_takes_either_invented_rig(key, demo):
    state = _state(key, rig=lambda _: invented(demo))
    if demo == state.spec.demo:  # its wide picture is drawn at the corners
        state.use_narrow(True)
    assert state.picture.png().startswith(b"\x89PNG")
    assert state.sentence_text.endswith((".", "?"))
    assert not state.failed or state.missing or state.sentence_text.startswith("Not "), state.sentence_text


@pytest.mark.parametrize("key", [key for key in PANELS if key not in NO_VEHICLE], ids="/".join)
def test_a_rig_raised_by_four_per_cent_shows_in_every_panel(key):
    # what a panel takes from anywhere but the rig would not move: 25 of 46 did not, when this was first tried
    state, more = _state(key), _state(key, rig=lambda name: raised(invented(name), 1.04))
    assert not more.failed, more.sentence_text
    assert state.sentence_text != more.sentence_text or state.picture.png() != more.picture.png()


def test_panels_without_a_vehicle_are_few_and_say_so():
    assert len(NO_VEHICLE) <= 4
    for key in PANELS:
        assert panel_of(*key).vehicle is (key not in NO_VEHICLE)
    for key in NO_VEHICLE:
        state, more = _state(key), _state(key, rig=lambda name: raised(invented(name), 1.04))
        assert state.sentence_text == more.sentence_text and state.picture.png() == more.picture.png()


def _told(state, ends, name) -> list[str]:
    """The sentences at some values of a slider."""
    told = []
    for end in ends:
        state.set(name, end)
        state.update()
        told.append(state.sentence_text)
    return told


def _drawn(state, ends, name) -> list[bytes]:
    """The pictures at some values of a slider."""
    drawn = []
    for end in ends:
        state.set(name, end)
        state.update()
        drawn.append(state.picture.png())
    return drawn


@pytest.mark.parametrize("key", PANELS, ids="/".join)
def test_every_slider_does_something_somewhere(key):
    state = _state(key)
    for slider in state.spec.sliders:
        ends = slider.low, slider.start, slider.high
        # pictures are looked at where the sentence stays the same; drawing takes ten times as long
        if len(set(_told(state, ends, slider.name))) == 1 == len(set(_drawn(state, ends, slider.name))):
            # only together with another, such as the share of brakes that are not fitted
            for other in state.spec.sliders:
                state.set(other.name, other.high if other.start < other.high else other.low)
            ends = slider.low, slider.high
            assert (
                len(set(_told(state, ends, slider.name))) > 1
                or len(set(_drawn(state, ends, slider.name))) > 1
            ), f"{slider.name} moves nothing"
        state.reset()


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("demo", DEMOS)
@pytest.mark.parametrize("key", PANELS, ids="/".join)
def test_what_should_have_been_seen_is_computed_short_and_in_the_units_asked_for(key, demo, system):
    seen = panel_of(*key).seen
    assert seen is not None
    text = seen(Facts(invented(demo)), system)
    assert len(re.findall(r"\d[\d,.]*", text)) <= 10 and len(text.split()) <= 120
    wrong = r"\d (lb|ft|in|mph|psi|lbf)\b" if system == "metric" else r"\d (kg|m|mm|km/h|kN|kPa)\b"
    assert not re.search(wrong, text), text
    assert "nan" not in text.split() and text.rstrip().endswith((".", "!", "?", "*"))


@pytest.mark.parametrize("lesson", ROOMS)
def test_every_panel_has_a_prediction_with_one_right_answer(lesson):
    asked = predictions_of(lesson)
    assert {each.panel for each in asked} == set(panels_of(lesson))
    for each in asked:
        assert len(each.options) >= 3 and sum(option.right for option in each.options) == 1
        assert len({option.words for option in each.options}) == len(each.options)


@pytest.mark.parametrize("key", PANELS, ids="/".join)
def test_moving_parts_stay_inside_the_frame_at_the_start(key):
    state = _state(key)
    for axes, artists in state.picture._moving.values():
        low, high = axes.get_xlim()
        for artist in artists:
            if hasattr(artist, "get_xydata"):
                low, high = min(low, high), max(low, high)
                assert all(low - 1e-9 <= x <= high + 1e-9 for x in artist.get_xdata())


@pytest.mark.parametrize("key", PANELS, ids="/".join)
def test_the_quick_redraw_equals_a_full_one_pixel_for_pixel(key):
    for system, zoom, picked in (("metric", 1.0, (0.8,)), ("us", 1.5, (0.6,))):
        state = _state(key, system, zoom)
        state.picture.png()
        corners = list(state.corners())
        for share in picked:
            state.values = dict(corners[int(share * len(corners))])
            state.update()
            assert np.array_equal(pixels(state.picture.png()), redrawn_whole(state.picture)), (
                system,
                zoom,
                state.values,
            )


@pytest.mark.parametrize("key", PANELS, ids="/".join)
def test_the_kernel_answers_a_slider_within_its_time(key):
    state = _state(key)
    slider = state.spec.sliders[-1]
    rounds = []
    # in processor time, which other processes on the cores change little; the quietest of sixteen rounds
    # decides, 19 of whose 20 changes are within the 95th percentile
    for _ in range(16):
        times = []
        for i in range(20):
            start = time.process_time()
            state.set(slider.name, slider.low + (slider.high - slider.low) * i / 20)
            state.update()
            state.picture.png()
            times.append(1000 * (time.process_time() - start))
        rounds.append((statistics.median(times), sorted(times)[18]))
        if rounds[-1][0] <= MEDIAN_MS and rounds[-1][1] <= P95_MS:
            break
    assert any(median <= MEDIAN_MS and p95 <= P95_MS for median, p95 in rounds), rounds


def test_ball_load_of_a_trailer_by_hand():
    # by hand: 187 kg more on the ball (200 instead of half of the bar's 26 kg), o/L = 1.27/3.61 = 0.35180:
    # the rear axle gains 187 (1 + 0.35180) = 252.79 kg, the front axle loses 65.79 kg
    facts = Facts(invented("demo_comfortable"))
    level = weight_ratings.axle_use(facts)
    trailer = weight_ratings.axle_use(with_values(facts, {"hitch.ball_load": 200.0}))
    change = [
        after.demand_kg - before.demand_kg for before, after in zip(level.uses, trailer.uses, strict=True)
    ]
    assert change[:4] == pytest.approx([-65.79, 252.79, 187.0, 187.0], abs=0.01)
    # what the towed wheels carry stays, so the ball load comes on top of it
    assert change[4] == pytest.approx(2 * 187.0) and change[5] == pytest.approx(187.0)
