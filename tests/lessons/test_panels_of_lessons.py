"""Every panel of every lesson at every corner of its sliders: a finite result or a plain sentence, and
quickly.
"""

import math
import statistics
import time

import numpy as np
import pytest

from tests.draw.test_figures import pixels, redrawn_whole
from towlib.lessons.index import PANELS
from towlib.lessons.l01_weights import weight_ratings
from towlib.lessons.l11_sheet import trip_sheet
from towlib.lessons.slider_rows import FOLDER, load_panel, panels_of
from towlib.teaching.panel.panel_state import PanelState

MEDIAN_MS, P95_MS = 20.0, 35.0  # from a slider's change to the finished picture


def _state(key, system="metric", zoom=1.0):
    compute, drawing, words = PANELS[key]
    return PanelState(load_panel(*key), compute, drawing(), words, system=system, zoom=zoom)


def test_every_panel_in_the_data_is_tested_here():
    found = {(path.stem, panel) for path in FOLDER.glob("*.toml") for panel in panels_of(path.stem)}
    assert found == set(PANELS)


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("key", PANELS, ids="/".join)
def test_every_corner(key, system):
    state = _state(key, system)
    for corner in state.corners():
        state.values = dict(corner)
        state.update()
        words = state.sentence_text
        assert words.endswith(".") or state.failed
        assert (
            "nan" not in words.split()
            and "inf" not in words.split()
            and "not known" not in words
            and len(words) < 400
        )
        assert state.picture.png().startswith(b"\x89PNG")
        for _axes, artists in state.picture._moving.values():
            for artist in artists:
                if hasattr(artist, "get_xydata"):
                    assert all(math.isfinite(v) for v in artist.get_xydata().ravel()), corner


@pytest.mark.parametrize("key", PANELS, ids="/".join)
def test_moving_parts_stay_inside_the_frame_at_the_start(key):
    state = _state(key)
    for axes, artists in state.picture._moving.values():
        low, high = axes.get_xlim()
        for artist in artists:
            if hasattr(artist, "get_xydata"):
                assert all(low - 1e-9 <= x <= high + 1e-9 for x in artist.get_xdata())


@pytest.mark.parametrize("key", PANELS, ids="/".join)
def test_the_quick_redraw_equals_a_full_one_pixel_for_pixel(key):
    for system, zoom, picked in (("metric", 1.0, (0.8, 0.3)), ("us", 1.0, (0.6,)), ("metric", 1.5, (0.4,))):
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
    # in processor time, which other processes on the cores change little; the quietest of eight rounds
    # decides
    for _ in range(8):
        times = []
        for i in range(40):
            start = time.process_time()
            state.set(slider.name, slider.low + (slider.high - slider.low) * (i % 20) / 20)
            state.update()
            state.picture.png()
            times.append(1000 * (time.process_time() - start))
        rounds.append((statistics.median(times), sorted(times)[int(0.95 * len(times))]))
        if rounds[-1][0] <= MEDIAN_MS and rounds[-1][1] <= P95_MS:
            break
    assert any(median <= MEDIAN_MS and p95 <= P95_MS for median, p95 in rounds), rounds
    assert state.picture.backgrounds_drawn == 1


def test_ball_load_of_a_trailer_by_hand():
    # by hand: 200 kg at the ball, o/L = 1.32/3.75 = 0.3520: rear gains 270.4 kg, front loses 70.4 kg
    none, trailer = (
        weight_ratings.axle_use(
            people_kg=0, cargo_kg=0, cargo_behind_front_axle_m=2, ball_load_kg=ball, towed_kg=1500
        )
        for ball in (0, 200)
    )
    change = [
        after.demand_kg - before.demand_kg for before, after in zip(none.uses, trailer.uses, strict=True)
    ]
    assert (
        change[0] == pytest.approx(-70.40, abs=0.01)
        and change[1] == pytest.approx(270.40, abs=0.01)
        and change[2] == pytest.approx(200)
    )
    assert change[4] == pytest.approx(
        200
    )  # the slider is what the towed wheels carry, so the ball load comes on top


def test_heavier_and_faster_never_cools_the_brakes_in_the_descent_panel():
    base = trip_sheet.descent(descent_speed_m_s=15, air_temperature_c=25, towed_front_kg=800).hottest_c
    assert (
        trip_sheet.descent(descent_speed_m_s=15, air_temperature_c=25, towed_front_kg=1100).hottest_c > base
    )
    assert trip_sheet.descent(descent_speed_m_s=15, air_temperature_c=40, towed_front_kg=800).hottest_c > base
