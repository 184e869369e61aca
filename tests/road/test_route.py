"""Routes: the grid, the segments, both ways, the demo roads; reading CSV and GPX files, good and bad."""

import csv
import time
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from towlib.errors import InputError
from towlib.road import csv_file as route_files
from towlib.road import gpx_file as route_gpx
from towlib.road.csv_file import RoadPoints
from towlib.road.route import Route, load_route, route_from_points

ROUTES = Path(__file__).parents[2] / "data" / "routes"
CSV_NAMES = ["short_steep_pass.csv", "long_mountain_crossing.csv", "rolling_road.csv"]
RECORDED = "short_steep_pass_recorded.gpx"
HEADER = "distance [km],elevation [m],speed limit [km/h]\n"
GOOD = HEADER + "0,1000,80\n0.5,1030,80\n1.0,1060,\n1.5,1050,50\n2.0,1040,50\n"


def road(distance_m, elevation_m, limit=None) -> Route:
    distance, elevation = np.asarray(distance_m, float), np.asarray(elevation_m, float)
    return route_from_points(RoadPoints("a test road", "test.csv", distance, elevation, limit))


def straight_steps_m(lat, lon) -> np.ndarray:
    """Straight lines through the earth: WGS-84 (a = 6378137 m, 1/f = 298.257223563), independent of the arc
    formula.
    """
    flat = 1 / 298.257223563
    e2, phi, lam = flat * (2 - flat), np.radians(lat), np.radians(lon)
    n = 6378137.0 / np.sqrt(1 - e2 * np.sin(phi) ** 2)
    place = np.array(
        [n * np.cos(phi) * np.cos(lam), n * np.cos(phi) * np.sin(lam), n * (1 - e2) * np.sin(phi)]
    )
    return np.linalg.norm(np.diff(place, axis=1), axis=0)


DEGREE_M = straight_steps_m(np.array([-38.0, -37.999]), np.array([0.0, 0.0]))[0] / 0.001


def written(folder: Path, name: str, text: str | bytes) -> Path:
    path = folder / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


def refusal(path) -> str:
    with pytest.raises(InputError) as caught:
        load_route(path)
    text = str(caught.value)
    assert "\n" not in text and len(text) < 500
    return text


def gpx_text(points: str, around: str = "trk") -> str:
    before, after = {
        "trk": ("<trk><trkseg>", "</trkseg></trk>"),
        "rte": ("<rte>", "</rte>"),
        "none": ("", ""),
    }[around]
    top = '<?xml version="1.0"?><gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1">'
    return f"{top}{before}{points}{after}</gpx>"


def gpx_points(latitudes, elevations, kind: str = "trkpt") -> str:
    return "".join(
        f'<{kind} lat="{lat:.7f}" lon="-27.0">{"" if ele is None else f"<ele>{ele}</ele>"}</{kind}>'
        for lat, ele in zip(latitudes, elevations, strict=False)
    )


# --- grid, segments, both ways
# ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", [*CSV_NAMES, RECORDED])
def test_the_grid_is_even_and_its_grades_add_up(name):
    way = load_route(ROUTES / name)
    steps = np.diff(way.distance_m)
    assert steps == pytest.approx(np.full(len(steps), way.step_m)) and 20.0 < way.step_m < 30.0
    assert len(way.grade) == len(way.speed_limit_m_s) == len(way.distance_m) - 1
    assert np.sum(way.grade * steps) == pytest.approx(way.elevation_m[-1] - way.elevation_m[0])
    assert way.climb_m - way.descent_m == pytest.approx(way.elevation_m[-1] - way.elevation_m[0])
    with pytest.raises(ValueError):
        way.grade[0] = 1.0


@pytest.mark.parametrize("name", [*CSV_NAMES, RECORDED])
def test_segments_join_up_and_the_way_home_mirrors_them(name):
    out = load_route(ROUTES / name)
    home, parts = out.reversed(), out.segments()
    assert (parts[0].start_m, parts[-1].end_m) == (0.0, out.length_m)
    for first, second in zip(parts, parts[1:], strict=False):
        assert (first.end_m, first.end_elevation_m) == (second.start_m, second.start_elevation_m)
    for part in parts:
        assert part.length_m >= 300.0 - 1e-6
        assert abs(part.steepest_200m_grade) >= abs(part.mean_grade) - 1e-9
    assert home.grade == pytest.approx(np.diff(home.elevation_m) / out.step_m, abs=1e-9)
    assert (home.climb_m, home.descent_m, home.summit_m) == pytest.approx(
        (out.descent_m, out.climb_m, out.summit_m)
    )
    for part, mirror in zip(parts, reversed(home.segments()), strict=True):
        assert mirror.mean_grade == pytest.approx(-part.mean_grade)
        assert mirror.steepest_200m_grade == pytest.approx(-part.steepest_200m_grade)
        assert mirror.speed_limit_m_s == pytest.approx(part.speed_limit_m_s, nan_ok=True)
    again = home.reversed()
    assert again.name == out.name and again.grade == pytest.approx(out.grade)


def test_a_road_of_known_shape_gives_its_segments():
    # 2 km level, 3 km at 7 % with 200 m at 12 % in it, 2 km at -5 %: heights worked out by hand
    ends = [0, 2000, 3400, 3600, 5000, 7000]
    heights = [500, 500, 598, 622, 720, 620]
    limit = np.array([25.0, 25.0, 25.0, 15.0, 15.0, 15.0])
    parts = road(ends, heights, limit).segments(tolerance_m=6.0)
    assert [(part.start_m, part.end_m) for part in parts] == [
        (0, 2000),
        (2000, 3600),
        (3600, 5000),
        (5000, 7000),
    ]
    assert [part.mean_grade for part in parts] == pytest.approx([0.0, 122 / 1600, 0.07, -0.05])
    assert parts[1].steepest_200m_grade == pytest.approx(0.12)
    assert [part.speed_limit_m_s for part in parts] == [25.0, 25.0, 15.0, 15.0]


def test_a_limit_change_cuts_and_a_short_stretch_joins_the_nearer_grade():
    level = np.arange(0.0, 4001.0, 100.0)
    limit = np.where(level < 2000.0, 20.0, 10.0)
    assert [part.end_m for part in road(level, 0 * level, limit).segments()] == [2000.0, 4000.0]
    limit = np.where((level >= 2000.0) & (level < 2200.0), 10.0, 20.0)
    parts = road(level, 0 * level, limit).segments()
    assert all(part.length_m >= 300.0 and part.speed_limit_m_s == 20.0 for part in parts)


@pytest.mark.parametrize("nearer_is_before", [True, False])
def test_a_short_stretch_joins_the_neighbour_that_is_nearer_in_grade(nearer_is_before):
    grades = np.repeat([0.06, 0.05, 0.0] if nearer_is_before else [0.0, 0.05, 0.06], [20, 2, 20])
    height = np.concatenate(([0.0], np.cumsum(100.0 * grades)))
    limit = np.repeat([10.0, 15.0, 20.0, 20.0], [20, 2, 20, 1])  # three limits force the cuts
    parts = road(100.0 * np.arange(43), height, limit).segments(tolerance_m=1000.0)
    assert [part.end_m for part in parts] == [2200.0 if nearer_is_before else 2000.0, 4200.0]


def _forced(lengths_m, grades):
    """A road of stretches, each with a speed limit of its own, so that each is a segment unless too short."""
    steps = [round(length / 25.0) for length in lengths_m]
    height = np.concatenate(([0.0], np.cumsum(25.0 * np.repeat(grades, steps))))
    limit = np.repeat(np.arange(10.0, 10.0 + len(steps)), steps)
    ends = 25.0 * np.arange(sum(steps) + 1)
    found = road(ends, height, np.append(limit, limit[-1])).segments(tolerance_m=1000.0)
    assert found[0].start_m == 0.0
    return [part.end_m for part in found]


@pytest.mark.parametrize(
    ("lengths_m", "grades", "ends_m"),
    [
        ((1000, 300, 1000), (0.0, 0.05, 0.0), [1000, 1300, 2300]),  # just long enough
        ((1000, 275, 1000), (0.0, 0.05, 0.02), [1000, 2275]),
        ((200, 1000, 1000), (0.05, 0.0, 0.05), [1200, 2200]),  # the first has one neighbour only
        ((1000, 1000, 200), (0.05, 0.0, 0.05), [1000, 2200]),  # and so has the last
    ],
)
def test_which_stretches_are_long_enough_and_whom_the_others_join(lengths_m, grades, ends_m):
    """300 m is the shortest segment."""
    assert _forced(lengths_m, grades) == ends_m


def test_the_other_way_is_called_so():
    out = load_route(ROUTES / CSV_NAMES[0])
    assert out.reversed().name == f"{out.name} (the other way)"
    assert out.reversed().reversed().name == out.name


@pytest.mark.parametrize("length_m, word", [(150.0, "150 m"), (2_100_000.0, "2,100 km")])
def test_too_short_and_too_long_roads_are_refused(length_m, word):
    with pytest.raises(InputError, match=word):
        road([0.0, length_m], [0.0, 0.0])


def test_a_long_road_gets_a_coarser_grid_and_says_so():
    way = road(np.linspace(0.0, 1_000_000.0, 20_001), np.zeros(20_001))
    assert len(way.grade) == 8000 and any("grid is 125 m" in note for note in way.notes)


def test_a_cliff_is_refused_with_its_place():
    with pytest.raises(InputError, match="grade of 100 % at 1.00 km"):
        road([0, 1000, 1500, 3000], [100, 100, 600, 600])


# --- noise: what a recording does to grades
# --------------------------------------------------------------------------


def _noise(kind: str, count: int, seed: int) -> np.ndarray:
    rng = np.random.default_rng(seed)
    return (
        rng.uniform(-3.0, 3.0, count)
        if kind == "uniform 3 m"
        else rng.normal(0.0, float(kind.split()[1]), count)
    )


@pytest.mark.parametrize("kind", ["uniform 3 m", "gaussian 1.5", "gaussian 3.0"])
@pytest.mark.parametrize("spacing_m", [5.0, 10.0, 20.0, 30.0])
@pytest.mark.parametrize("seed", range(5))
def test_a_noisy_ramp_of_six_percent_reads_six_percent(tmp_path, kind, spacing_m, seed):
    count = int(5000 / spacing_m) + 1
    latitudes = -38.0 + spacing_m * np.arange(count) / DEGREE_M
    heights = 800.0 + 0.06 * spacing_m * np.arange(count) + _noise(kind, count, seed)
    way = load_route(written(tmp_path, "ramp.gpx", gpx_text(gpx_points(latitudes, np.round(heights, 2)))))
    for part in way.segments():
        assert part.mean_grade == pytest.approx(0.06, abs=0.003)
        assert part.steepest_200m_grade < 0.07
    assert (way.elevation_m[-1] - way.elevation_m[0]) / way.length_m == pytest.approx(0.06, abs=0.001)
    assert any("was smoothed over" in note for note in way.notes)


@pytest.mark.parametrize("kind", ["uniform 3 m", "gaussian 3.0"])
@pytest.mark.parametrize("seed", range(5))
def test_a_noisy_ramp_between_flats_keeps_its_top_and_its_grade(kind, seed):
    distance = np.arange(0.0, 8001.0, 15.0)
    way = road(
        distance, 500.0 + 0.08 * np.clip(distance - 2000.0, 0.0, 4000.0) + _noise(kind, len(distance), seed)
    )
    assert way.summit_m == pytest.approx(820.0, abs=3.0)
    ramp = max(way.segments(), key=lambda part: part.length_m * (part.mean_grade > 0.04))
    assert ramp.mean_grade == pytest.approx(0.08, abs=0.003)


@pytest.mark.parametrize("name", CSV_NAMES)
def test_clean_files_are_left_alone(name):
    lines = [line for line in (ROUTES / name).read_text().splitlines() if not line.startswith("#")]
    rows = np.array([[float(cell) for cell in row[:2]] for row in list(csv.reader(lines))[1:]])
    # the international mile and foot, exact by definition
    raw_distance, raw_height = rows.T * np.array(
        [[1609.344], [0.3048]] if "[mi]" in lines[0] else [[1000.0], [1.0]]
    )
    way = load_route(ROUTES / name)
    at = np.arange(0.0, way.length_m - 500.0, 50.0)

    def grades(distance, height):
        return (np.interp(at + 500.0, distance, height) - np.interp(at, distance, height)) / 500.0

    assert np.max(np.abs(grades(way.distance_m, way.elevation_m) - grades(raw_distance, raw_height))) < 0.002
    assert not any("smoothed" in note for note in way.notes)


# --- the demo roads
# --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", CSV_NAMES)
def test_demo_roads_are_invented_long_high_and_steep(name):
    way = load_route(ROUTES / name)
    assert "nvented" in (ROUTES / name).read_text() and "invented" in way.name
    assert way.length_m > 25_000.0 and way.summit_m > 2400.0
    steepest = max(abs(part.steepest_200m_grade) for part in way.segments())
    assert 0.08 < steepest < 0.092
    around = np.lib.stride_tricks.sliding_window_view(way.grade, 20)  # 500 m of road
    jump, change = np.abs(np.diff(way.grade))[9:-9], np.ptp(around, axis=1)
    assert np.all(jump < np.maximum(0.3 * change, 0.003))  # vertical curves: no grade changes all at once
    limits_km_h = set(np.round(way.speed_limit_m_s * 3.6).tolist())
    assert len(limits_km_h) >= 4


def test_sustained_grades_of_the_long_crossing_are_signed_at_five_to_seven_percent():
    # mountain highways are mostly signed at 5 to 7 %: common practice, no source
    parts = load_route(ROUTES / "long_mountain_crossing.csv").segments()
    sustained = [part for part in parts if part.length_m > 2000.0 and abs(part.mean_grade) > 0.04]
    within = [part for part in sustained if 0.049 < abs(part.mean_grade) < 0.0701]
    assert len(within) == len(sustained) and {part.mean_grade > 0 for part in within} == {True, False}
    assert sum(part.length_m for part in within) > 25_000.0
    assert 15 <= len(parts) <= 45


def test_the_recording_agrees_with_the_drawn_road():
    drawn, recorded = load_route(ROUTES / "short_steep_pass.csv"), load_route(ROUTES / RECORDED)
    assert recorded.length_m == pytest.approx(drawn.length_m, rel=0.01)
    assert recorded.climb_m == pytest.approx(drawn.climb_m, rel=0.03)
    assert recorded.summit_m == pytest.approx(drawn.summit_m, abs=5.0)
    assert recorded.noise_m == pytest.approx(3.0 / 3**0.5, rel=0.12)  # uniform noise of 3 m either way
    assert (ROUTES / RECORDED).stat().st_size < 1_000_000
    assert "standing still" in " ".join(recorded.notes) and "joined" in " ".join(recorded.notes)


@pytest.mark.parametrize("name", CSV_NAMES)
def test_a_demo_road_loads_quickly(name):
    load_route(ROUTES / name)
    best = min(_seconds(name) for _ in range(3))
    assert best < 0.1


def _seconds(name: str) -> float:
    start = time.perf_counter()
    load_route(ROUTES / name)
    return time.perf_counter() - start


# --- CSV files
# -------------------------------------------------------------------------------------------------------


def test_csv_columns_in_any_order_units_and_case(tmp_path):
    text = (
        "# a remark\n# name: Test road\n\nELEVATION [ft],remark,Speed_Limit (mph),Distance [mi]\n"
        "5280,x,60,1\n5380,y,,2\n5380,z,60,3\n"
    )
    way = load_route(written(tmp_path, "us.csv", "\ufeff" + text))
    # 1 mi = 1609.344 m, 1 ft = 0.3048 m, exact by definition
    assert way.name == "Test road" and way.length_m == pytest.approx(2 * 1609.344)
    assert way.elevation_m[0] == pytest.approx(5280 * 0.3048) and way.climb_m == pytest.approx(100 * 0.3048)
    assert way.speed_limit_m_s[0] == pytest.approx(60 * 1609.344 / 3600) and np.isnan(way.speed_limit_m_s[-1])
    assert any("No speed limit is given for 1.6 km" in note for note in way.notes)


def test_equal_distances_are_merged(tmp_path):
    way = load_route(
        written(tmp_path, "a.csv", "distance [km],elevation [m]\n0,100\n1,100\n1,110\n1,120\n2,110\n")
    )
    assert way.elevation_m[len(way.elevation_m) // 2] == pytest.approx(110.0)
    assert any("merged with it: 2" in note for note in way.notes)
    assert np.isnan(way.speed_limit_m_s).all() and any("no speed limits" in note for note in way.notes)


@pytest.mark.parametrize(
    "text, words",
    [
        ("", ["empty file"]),
        (b"\x00\x01\x02\xff" * 50, ["not text"]),
        (GOOD.encode("utf-16"), ["not text"]),
        (b"distance [km],elevation [m]\n0,\xff\xfe\n", ["not text"]),
        ("# only a remark\n", ["no header"]),
        (HEADER, ["0 points"]),
        (HEADER + "0,1000,80\n", ["1 point;"]),
        (
            HEADER + "0,1000,80\n1,1000,80\n0.5,1000,80\n",
            ["line 4", "distance [km]", "'0.5'", "less than the row before"],
        ),
        (
            "# top\n\n" + HEADER + "0,1000,80\n1,high,80\n",
            ["line 5", "elevation [m]", "'high'", "such as 1480"],
        ),
        (HEADER + "0,nan,80\n", ["line 2", "'nan'"]),
        (HEADER + "inf,1000,80\n", ["line 2", "'inf'"]),
        (HEADER + "0,1_000,80\n", ["line 2", "'1_000'"]),
        (HEADER + "0,,80\n", ["line 2", "elevation [m]", "''"]),
        (HEADER + "0,9500,80\n", ["line 2", "'9500'", "between -500 and 9,000"]),
        (HEADER + "0,-501,80\n", ["line 2", "'-501'"]),
        (HEADER + "0,1000,-5\n", ["line 2", "speed limit [km/h]", "'-5'"]),
        (HEADER + "0,1000,900\n", ["line 2", "'900'"]),
        (HEADER + "0,1000,x\n", ["line 2", "speed limit [km/h]", "'x'"]),
        (HEADER + "0,5,1000,5,80\n", ["line 2", "5 cells where the header has 3"]),
        (HEADER + "0,1000\n", ["line 2", "2 cells where the header has 3"]),
        ("elevation [m]\n1000\n", ["no column 'distance'"]),
        ("distance [km]\n0\n", ["no column 'elevation'"]),
        ("distance,elevation [m]\n0,1\n", ["'distance' without a unit", "distance [km]"]),
        ("distance [kg],elevation [m]\n0,1\n", ["'distance [kg]'", "measures mass"]),
        ("distance [km],elevation [zz]\n0,1\n", ["'elevation [zz]'", "not known"]),
        ("distance [km],elevation [9**9**9]\n0,1\n", ["'elevation [9**9**9]'"]),
        ("distance [km],elevation [m],distance [mi]\n0,1,2\n", ["'distance' twice"]),
        ("distance [km];elevation [m]\n0,5;1000\n", ["semicolons", "line 1", "commas between columns"]),
        (HEADER + "0," + "1" * 200_000 + ",80\n", ["cannot be read"]),
        (HEADER + "0,1000,80\n5000,1000,80\n", ["5,000 km", "2,000 km"]),
        (HEADER + "0,1000,80\n0.1,1000,80\n", ["100 m long", "200 m"]),
        (HEADER + "0,0,80\n1,5000,80\n", ["grade of 500 %"]),
    ],
)
def test_bad_csv_files_get_one_sentence(tmp_path, text, words):
    sentence = refusal(written(tmp_path, "bad.csv", text))
    for word in ["bad.csv", *words]:
        assert word in sentence


def test_missing_files_folders_and_other_endings(tmp_path):
    assert "no such file" in refusal(tmp_path / "none.csv")
    assert "a folder" in refusal(tmp_path)
    assert ".csv or .gpx" in refusal(written(tmp_path, "road.kml", "x"))
    assert "no such file" in refusal("a\0b.csv")
    assert "route file" in refusal("x" * 5000 + ".csv")
    assert "route file" in refusal(None)


def test_two_million_rows_are_refused_in_time(tmp_path):
    rows = "".join(f"{i / 10000:.4f},1000\n" for i in range(2_000_000))
    path = written(tmp_path, "long.csv", "distance [km],elevation [m]\n" + rows)
    start = time.perf_counter()
    assert "500,000 points" in refusal(path)
    assert time.perf_counter() - start < 10.0


def test_a_file_over_the_size_limit_is_refused_unread(tmp_path, monkeypatch):
    monkeypatch.setattr(route_files, "MAX_FILE_BYTES", 10)
    monkeypatch.setattr(route_gpx, "MAX_GPX_BYTES", 10)
    for name in ("a.csv", "a.gpx"):
        assert "at most" in refusal(written(tmp_path, name, "distance [km]"))


# --- GPX files
# -------------------------------------------------------------------------------------------------------

LATITUDES = -38.0 + 0.0005 * np.arange(40)


@pytest.mark.parametrize("latitude", [-70.0, -38.5, 0.0, 45.0, 65.0])
@pytest.mark.parametrize("longitude", [10.0, 179.9999])
def test_step_lengths_against_straight_lines_through_the_ellipsoid(latitude, longitude):
    lat = latitude + np.array([0.0, 0.0004, 0.0004])
    lon = longitude + np.array([0.0, 0.0, 0.0007])
    wrapped = (lon + 180.0) % 360.0 - 180.0
    chord = straight_steps_m(lat, lon)
    assert route_gpx.step_lengths_m(lat, wrapped) == pytest.approx(chord, rel=1e-5)


@pytest.mark.parametrize("around, kind", [("trk", "trkpt"), ("rte", "rtept")])
def test_tracks_and_routes_are_read(tmp_path, around, kind):
    points = gpx_points(LATITUDES, 1000.0 + np.arange(40.0), kind)
    way = load_route(written(tmp_path, "a.gpx", gpx_text(points, around)))
    assert way.length_m == pytest.approx(39 * 0.0005 * DEGREE_M, rel=2e-4)
    assert way.climb_m == pytest.approx(39.0, abs=0.5)


def test_segments_and_tracks_join_in_order_and_gaps_are_told(tmp_path):
    first, second = gpx_points(LATITUDES, [1000] * 40), gpx_points(LATITUDES + 0.04, [1000] * 40)
    text = gpx_text(f"{first}</trkseg><trkseg></trkseg></trk><trk><trkseg>{second}")
    way = load_route(written(tmp_path, "a.gpx", text))
    assert way.length_m == pytest.approx(0.0595 * DEGREE_M, rel=2e-4)
    assert "2 stretches" in " ".join(way.notes) and "gap without points is 2.3 km" in " ".join(way.notes)


def test_wandering_on_the_spot_adds_no_length(tmp_path):
    rng = np.random.default_rng(5)
    still = LATITUDES[20] + rng.uniform(-1.5, 1.5, 500) / DEGREE_M
    latitudes = np.concatenate((LATITUDES[:20], still, LATITUDES[21:]))
    way = load_route(written(tmp_path, "a.gpx", gpx_text(gpx_points(latitudes, [1000] * len(latitudes)))))
    assert way.length_m == pytest.approx(39 * 0.0005 * DEGREE_M, rel=0.002)


def test_a_few_missing_elevations_are_filled_and_many_are_refused(tmp_path):
    heights = [float(1000 + 2 * i) for i in range(40)]
    few = [None if i in (0, 7, 20, 21) else height for i, height in enumerate(heights)]
    way = load_route(written(tmp_path, "few.gpx", gpx_text(gpx_points(LATITUDES, few))))
    assert way.elevation_m[-1] == pytest.approx(1078.0, abs=0.5) and "10.0 % of the points" in " ".join(
        way.notes
    )
    many = [None if i % 4 == 0 else height for i, height in enumerate(heights)]
    path = written(tmp_path, "many.gpx", gpx_text(gpx_points(LATITUDES, many)))
    assert "25 % of the points without elevation" in refusal(path)


BOMB = (
    '<!DOCTYPE g [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>'
    '<gpx version="1.1"><trk><name>&b;</name></trk></gpx>'
)


@pytest.mark.parametrize(
    "text, words",
    [
        ("", ["empty file"]),
        (b"\x00\xff" * 20, ["not text"]),
        ("not xml", ["broken XML", "line 1"]),
        (BOMB, ["document type or entity"]),
        (
            "<!DOCTYPE gpx>" + gpx_text(gpx_points(LATITUDES, [1] * 40)).partition("?>")[2],
            ["document type or entity"],
        ),
        ('<!DOCTYPE g SYSTEM "file:///etc/hostname"><gpx/>', ["document type or entity"]),
        ("<html></html>", ["starts with <html>"]),
        (gpx_text(""), ["no points"]),
        (gpx_text('<wpt lat="1" lon="2"><ele>3</ele></wpt>', "none"), ["waypoints alone"]),
        (gpx_text(gpx_points(LATITUDES, [None] * 40)), ["100 % of the points without elevation"]),
        (gpx_text(gpx_points(LATITUDES[:1], [5])), ["1 point;"]),
        (gpx_text(gpx_points([1.0] * 30, [5] * 30)), ["all lie in one place"]),
        (gpx_text(gpx_points([1.0, 91.0], [5, 5])), ["latitude 91 at point 2"]),
        (gpx_text('<trkpt lat="1" lon="181"><ele>5</ele></trkpt>'), ["longitude 181 at point 1"]),
        (gpx_text('<trkpt lat="nan" lon="18"><ele>5</ele></trkpt>'), ["latitude nan"]),
        (gpx_text('<trkpt lat="x" lon="18"><ele>5</ele></trkpt>'), ["cannot be read"]),
        (gpx_text(gpx_points(LATITUDES, [9999] * 40)), ["elevation 9999 m at point 1"]),
        (gpx_text(gpx_points(LATITUDES, [1000] * 20 + [4000] * 20)), ["steeper than any road"]),
        ("<gpx>" + "<a>" * 1000, ["nested more than 40 deep"]),
        (gpx_text(gpx_points(LATITUDES, [1] * 40) + " xmlns" * 200_000), ["'xmlns' without a value"]),
        (gpx_text(gpx_points(LATITUDES, [1] * 40) + "<name>é</name>").encode("latin-1"), ["broken XML"]),
    ],
)
def test_bad_gpx_files_get_one_sentence(tmp_path, text, words):
    start = time.perf_counter()
    sentence = refusal(written(tmp_path, "bad.gpx", text))
    assert time.perf_counter() - start < 2.0
    for word in ["bad.gpx", *words]:
        assert word in sentence


def test_too_many_gpx_points_or_parts_are_refused_before_the_parser_sees_them(tmp_path, monkeypatch):
    monkeypatch.setattr("gpxpy.parse", lambda text: pytest.fail("parsed"))
    monkeypatch.setattr(route_gpx, "MAX_GPX_POINTS", 30)
    path = written(tmp_path, "a.gpx", gpx_text(gpx_points(LATITUDES, [1] * 40)))
    assert "more than 30 points" in refusal(path)
    monkeypatch.setattr(route_gpx, "MAX_GPX_ELEMENTS", 20)
    assert "more than 20 XML parts" in refusal(path)


# --- whatever comes in, only a Route or an InputError comes out
# ------------------------------------------------------

GOOD_GPX = gpx_text(gpx_points(LATITUDES, 1000.0 + np.arange(40.0)))
PIECES = [
    "nan",
    "-1",
    "1e308",
    "-1e308",
    ",",
    "\n",
    '"',
    "[km]",
    "\0",
    "é",
    "<ele>",
    "</trkpt>",
    "&a;",
    "<!--",
    'lat="1e400"',
    'lon=""',
    'xmlns:ns1="x"',
    'xmlns:xml="y"',
    "<![CDATA[",
    "9" * 400,
    ";",
    "#",
    "<trk>",
    'version="7"',
]


@st.composite
def _spoiled(draw, good: str):
    text = good
    for _ in range(draw(st.integers(1, 4))):
        start = draw(st.integers(0, len(text)))
        end = min(len(text), start + draw(st.integers(0, 40)))
        text = text[:start] + draw(st.sampled_from(PIECES) | st.text(max_size=6)) + text[end:]
    return text.encode("utf-8", "surrogatepass")


FUZZ = settings(
    max_examples=200,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)


def _only_route_or_refusal(path: Path, data: bytes) -> None:
    path.write_bytes(data)
    try:
        way = load_route(path)
    except InputError as error:
        assert "\n" not in str(error)
        return
    assert np.isfinite(way.elevation_m).all() and np.isfinite(way.grade).all() and way.segments()


@FUZZ
@given(data=st.binary(max_size=300) | _spoiled(GOOD))
@example(data=(HEADER + "-1e5,0,80\n1e5,0,80\n").encode())
def test_any_csv_gives_a_route_or_one_sentence(tmp_path, data):
    _only_route_or_refusal(tmp_path / "fuzz.csv", data)


@FUZZ
@given(data=st.binary(max_size=300) | _spoiled(GOOD_GPX))
def test_any_gpx_gives_a_route_or_one_sentence(tmp_path, data):
    _only_route_or_refusal(tmp_path / "fuzz.gpx", data)
