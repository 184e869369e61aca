"""The noise filter: noise is measured, taken out, and a clean profile is left alone."""

import numpy as np
import pytest

from towlib.road.elevation import corners, noise_sd_m, smooth_elevation, smoothing_window_m

UNIFORM_SD_M = (
    3.0 / 3**0.5
)  # standard deviation of a uniform spread of 3 m either way (half width over root three)


def uneven(length_m: float, spacing_m: float, seed: int) -> np.ndarray:
    steps = np.random.default_rng(seed).uniform(0.6, 1.4, int(length_m / spacing_m)) * spacing_m
    return np.concatenate(([0.0], np.cumsum(steps)))


@pytest.mark.parametrize("seed", range(4))
def test_noise_is_measured_on_a_bent_and_unevenly_sampled_road(seed):
    distance = uneven(30_000.0, 15.0, seed)
    road = 1500.0 + 60.0 * np.sin(distance / 900.0)  # grades up to 6.7 %
    noise = np.random.default_rng(seed + 50).uniform(-3.0, 3.0, len(distance))
    assert noise_sd_m(distance, road + noise) == pytest.approx(UNIFORM_SD_M, rel=0.12)
    assert noise_sd_m(distance, road) < 0.01


def test_a_few_wild_points_do_not_move_the_noise_estimate():
    distance = np.arange(0.0, 20_000.0, 10.0)
    noise = np.random.default_rng(3).normal(0.0, 2.0, len(distance))
    wild = noise.copy()
    wild[::100] += 80.0
    assert noise_sd_m(distance, wild) == pytest.approx(noise_sd_m(distance, noise), rel=0.15)


def test_whole_metres_count_as_rounding_noise():
    distance = np.arange(0.0, 10_000.0, 5.0)
    # a spread of one step, evenly filled, has standard deviation step/sqrt(12): standard statistics
    assert noise_sd_m(distance, np.round(0.02 * distance)) >= 1.0 / 12**0.5 - 1e-9


@pytest.mark.parametrize("spacing_m", [5.0, 10.0, 20.0])
def test_smoothed_grade_has_the_error_that_is_stated_ends_included(spacing_m):
    distance = np.arange(0.0, 6000.0, spacing_m)
    inside, ends = [], []
    for seed in range(80):
        noise = np.random.default_rng(seed).normal(0.0, 1.5, len(distance))
        result = smooth_elevation(distance, 0.06 * distance + noise)
        grade = np.diff(result.elevation_m) / np.diff(result.distance_m)
        inside.append(grade[len(grade) // 2] - 0.06)
        ends += [grade[0] - 0.06, grade[-1] - 0.06]
    # the aim of the filter is 0.001; 80 samples leave that to about a fifth
    assert 0.0006 < np.std(inside) < 0.0014
    assert 0.0006 < np.std(ends) < 0.0014


def test_drifting_noise_is_smoothed_farther_than_its_point_to_point_jumps_ask_for():
    rng, distance = np.random.default_rng(8), np.arange(0.0, 6000.0, 10.0)
    keep, drift = np.exp(-10.0 / 75.0), np.zeros(len(distance))
    for i in range(1, len(drift)):
        drift[i] = keep * drift[i - 1] + rng.normal(0.0, 3.0 * (1 - keep**2) ** 0.5)
    result = smooth_elevation(distance, 0.06 * distance + drift)
    assert result.window_m > 1.5 * smoothing_window_m(noise_sd_m(distance, 0.06 * distance + drift), 10.0)


def test_a_clean_or_coarse_profile_comes_back_as_it_was():
    distance = np.arange(0.0, 20_000.0, 50.0)
    road = 1000.0 + 40.0 * np.sin(distance / 700.0)
    assert smooth_elevation(distance, road).elevation_m is road
    coarse = np.arange(0.0, 40_000.0, 1000.0)
    noisy = np.random.default_rng(1).normal(1000.0, 3.0, len(coarse))
    assert smooth_elevation(coarse, noisy).elevation_m is noisy


def test_points_closer_than_five_metres_are_thinned_and_both_ends_stay():
    distance = np.arange(0.0, 3000.5, 0.5)
    noise = np.random.default_rng(2).normal(0.0, 2.0, len(distance))
    result = smooth_elevation(distance, 0.05 * distance + noise)
    assert (result.distance_m[0], result.distance_m[-1]) == (0.0, 3000.0)
    assert len(result.distance_m) < 700
    assert (result.elevation_m[-1] - result.elevation_m[0]) / 3000.0 == pytest.approx(0.05, abs=0.001)


def test_window_stays_within_its_limits():
    assert smoothing_window_m(0.0, 10.0) == 0.0
    assert smoothing_window_m(50.0, 50.0) == 1000.0


def test_corners_keep_every_point_within_the_tolerance():
    rng = np.random.default_rng(4)
    distance = np.arange(0.0, 50_000.0, 25.0)
    road = np.cumsum(rng.normal(0.0, 1.0, len(distance)))
    for tolerance in (2.0, 5.0, 20.0):
        kept = corners(distance, road, tolerance_m=tolerance)
        assert np.max(np.abs(np.interp(distance, distance[kept], road[kept]) - road)) <= tolerance + 1e-9
    assert len(corners(distance, road, tolerance_m=1e9)) == 2


def test_corners_of_a_saw_do_not_run_out_of_depth():
    distance = np.arange(8001.0)
    assert len(corners(distance, 10.0 * (np.arange(8001) % 2), tolerance_m=1.0)) == 8001
