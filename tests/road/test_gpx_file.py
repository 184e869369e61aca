"""Road points out of a recording: distances on the ellipsoid, what is left out, filled in and refused.

A GPX file is what GPX 1.1 (topografix.com/GPX/1/1) says: tracks of segments of points, or routes.
"""

import math

import numpy as np
import pytest

from towlib.errors import InputError
from towlib.road import gpx_file
from towlib.road.gpx_file import read_gpx, step_lengths_m

# metres a degree at 38° south: a·(1-e²)/(1-e²·sin²φ)^1.5·π/180 along a meridian, a/sqrt(…)·cos φ across it;
# WGS-84: a = 6,378,137 m, e² = 0.00669437999014 (NIMA TR8350.2)
SINE2 = math.sin(math.radians(38.0)) ** 2
NORTH_M = 6378137.0 * (1 - 0.00669437999014) / (1 - 0.00669437999014 * SINE2) ** 1.5 * math.pi / 180
EAST_M = 6378137.0 / (1 - 0.00669437999014 * SINE2) ** 0.5 * math.cos(math.radians(38.0)) * math.pi / 180


def point(north_m=0.0, east_m=0.0, height="1000", kind="trkpt", time=""):
    """A point so many metres north and east of 38° S, 27° W."""
    inside = ("" if height is None else f"<ele>{height}</ele>") + (f"<time>{time}</time>" if time else "")
    lat, lon = -38.0 + north_m / NORTH_M, -27.0 + east_m / EAST_M
    return f'<{kind} lat="{lat:.9f}" lon="{lon:.9f}">{inside}</{kind}>'


def line(count=10, step_m=20.0, start_m=0.0, **other):
    return "".join(point(start_m + i * step_m, **other) for i in range(count))


def gpx(*segments, name="", inside=""):
    """One track of these segments."""
    title = f"<name>{name}</name>" if name else ""
    parts = "".join(f"<trkseg>{segment}</trkseg>" for segment in segments)
    return f'<gpx version="1.1" creator="t">{inside}<trk>{title}{parts}</trk></gpx>'


@pytest.fixture
def read(tmp_path):
    def of(text, name="a_road.gpx"):
        path = tmp_path / name
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return read_gpx(path)

    return of


@pytest.fixture
def refused(read):
    def of(text, **other):
        with pytest.raises(InputError) as caught:
            read(text, **other)
        assert caught.value.file.startswith("a_road.gpx")
        return caught.value.found, caught.value.wanted, caught.value.file

    return of


# --- what is read ---


def test_points_along_a_meridian_and_across_it(read):
    road = read(gpx(line(5, 100.0), name="Up the hill"))
    assert road.distance_m == pytest.approx([0, 100, 200, 300, 400], abs=0.01)
    assert road.elevation_m.tolist() == [1000.0] * 5
    assert (road.name, road.source_file, road.notes, road.speed_limit_m_s) == (
        "Up the hill",
        "a_road.gpx",
        (),
        None,
    )
    corner = read(gpx(point() + point(300.0) + point(300.0, 400.0, "1010.5")))
    assert corner.distance_m == pytest.approx([0, 300, 700], abs=0.05)
    assert corner.elevation_m.tolist() == [1000.0, 1000.0, 1010.5]
    slanting = read(gpx(point() + point(300.0, 400.0)))
    assert slanting.distance_m == pytest.approx([0, 500], abs=0.05)


@pytest.mark.parametrize(("west", "east"), [(179.999, -179.999), (-179.999, 179.999)])
def test_the_line_where_the_date_changes_is_no_gap(read, west, east):
    # two thousandths of a degree across it at 38° S
    text = gpx("".join(f'<trkpt lat="-38" lon="{lon}"><ele>5</ele></trkpt>' for lon in (west, east)))
    assert read(text).distance_m == pytest.approx([0.0, 0.002 * EAST_M], rel=1e-6)


def test_steps_take_the_latitude_in_their_middle():
    # a step of ten kilometres north: the arc from the series of the meridian (NIMA TR8350.2), by sums of 1 m
    lat = np.array([60.0, 60.1])
    fine = np.linspace(60.0, 60.1, 10_001)
    assert step_lengths_m(lat, np.zeros(2))[0] == pytest.approx(
        step_lengths_m(fine, np.zeros(10_001)).sum(), rel=1e-8
    )
    # across: the radius halfway, so that both ways are as long
    there = step_lengths_m(np.array([60.0, 60.05]), np.array([7.0, 7.1]))
    back = step_lengths_m(np.array([60.05, 60.0]), np.array([7.1, 7.0]))
    assert there == pytest.approx(back, rel=1e-12)


def test_along_the_equator_a_degree_is_that_of_the_ellipsoid():
    # a = 6,378,137 m (NIMA TR8350.2), so a hundredth of a degree is a·π/18,000
    found = step_lengths_m(np.zeros(2), np.array([7.0, 7.01]))[0]
    assert found == pytest.approx(6378137.0 * math.pi / 18000, rel=1e-9)


def test_standing_still_where_the_date_changes(read):
    # 3.5 m across the line, then 800 m along it
    text = "".join(
        f'<trkpt lat="{lat}" lon="{lon}"><ele>5</ele></trkpt>'
        for lat, lon in ((-38.0, 179.99998), (-38.0, -179.99998), (-38.0072, 179.99998))
    )
    road = read(gpx(text))
    assert len(road.distance_m) == 2 and "1 points within 5 m" in road.notes[0]


def test_as_many_points_of_a_route_as_of_a_track(read):
    route = f"<rte>{line(4, kind='rtept')}</rte>"
    assert len(read(gpx(line(4)).replace("</gpx>", f"{route}</gpx>")).distance_m) == 4


def test_the_sizes_that_are_taken():
    # a day of one point a second and more, in a file that a small computer can hold
    assert (gpx_file.MAX_GPX_POINTS, gpx_file.MAX_GPX_BYTES) == (200_000, 60_000_000)
    assert (gpx_file.MAX_GPX_ELEMENTS, gpx_file.MAX_GPX_DEPTH) == (2_500_000, 40)


@pytest.mark.parametrize(
    ("text", "name"),
    [
        (gpx(line(), name="  A\n road\x7f "), "A road"),
        (gpx(line(), name="x" * 150), "x" * 100),
        (gpx(line()), "a road"),  # the file's name
        (gpx(line(), inside="<metadata><name>The file</name></metadata>"), "The file"),
        (gpx(line(), name="The track", inside="<metadata><name>The file</name></metadata>"), "The track"),
    ],
)
def test_the_name_of_the_road(read, text, name):
    assert read(text).name == name


def test_a_route_counts_where_there_is_no_track(read):
    route = f"<rte><name>R</name>{line(4, 50.0, kind='rtept')}</rte>"
    road = read(f'<gpx version="1.1" creator="t">{route}</gpx>')
    assert road.distance_m == pytest.approx([0, 50, 100, 150], abs=0.01) and road.name == "R"
    both = read(gpx(line(3, 100.0)).replace("</gpx>", f"{route}</gpx>"))
    assert len(both.distance_m) == 3  # the track
    # a track without points is none
    empty = read(f'<gpx version="1.1" creator="t"><trk><trkseg/></trk>{route}</gpx>')
    assert len(empty.distance_m) == 4


# --- stretches ---


def test_stretches_are_joined_and_counted(read):
    road = read(gpx(line(5, 20.0), line(5, 20.0, 200.0)))
    assert road.notes == ("2 stretches of the recording were joined in order.",)
    assert road.distance_m[-1] == pytest.approx(280.0, abs=0.01)
    assert read(gpx(line(5, 20.0), "", line(5, 20.0, 200.0))).notes == road.notes  # an empty one is none


def times(minute, count=3):
    return [f"2020-01-01T00:{minute:02d}:{second:02d}Z" for second in range(count)]


def stretch(start_m, minute, timed=True):
    points = [point(start_m + 50.0 * i, time=when if timed else "") for i, when in enumerate(times(minute))]
    return "".join(points)


def test_stretches_stand_in_the_order_they_were_driven(read):
    driven = read(gpx(stretch(0, 1), stretch(200, 2), stretch(400, 3)))
    mixed = read(gpx(stretch(400, 3), stretch(0, 1), stretch(200, 2)))
    assert mixed.distance_m == pytest.approx(driven.distance_m) and mixed.distance_m[-1] == pytest.approx(
        500, abs=0.01
    )
    # without a time on each, the order of the file: 400 to 500, back to 0, on to 100, 200 to 300
    untimed = read(gpx(stretch(400, 3), stretch(0, 1), stretch(200, 2, timed=False)))
    assert untimed.distance_m[-1] == pytest.approx(100 + 500 + 100 + 100 + 100, abs=0.05)


def test_the_same_stretch_twice_is_refused(refused, read):
    found, wanted, _ = refused(gpx(line(3), line(3)))
    assert (found, wanted) == ("the same stretch twice", "each stretch of the road once")
    # two points that agree may be a place passed twice
    assert len(read(gpx(line(2), line(2))).notes) == 1
    assert refused(gpx(line(3), line(4, 20.0, 100.0), line(3)))[0] == "the same stretch twice"


# --- standing still, gaps ---


def test_points_less_than_five_metres_from_the_last_one_are_left_out(read):
    # 0, 4.9 (out), 9.8, 14.9, 19.8 (out: 4.9 from 14.9), 20.0
    places = (0.0, 4.9, 9.8, 14.9, 19.8, 20.0)
    road = read(gpx("".join(point(each) for each in places)))
    assert road.distance_m == pytest.approx([0, 9.8, 14.9, 20.0], abs=0.001)
    assert road.notes == ("2 points within 5 m of the one before (standing still) were left out.",)
    across = read(gpx("".join(point(0.0, each) for each in places)))
    assert across.distance_m == pytest.approx([0, 9.8, 14.9, 20.0], abs=0.001)
    # slanting: 3 and 4 metres are 5
    assert len(read(gpx(point() + point(3.01, 4.0) + point(6.02, 8.0))).distance_m) == 3
    assert len(read(gpx(point() + point(2.9, 4.0) + point(6.02, 8.0))).distance_m) == 2


@pytest.mark.parametrize(("gap_m", "said"), [(999.4, ()), (1000.6, ("1.0",)), (2340.0, ("2.3",))])
def test_a_gap_without_points_is_told_from_a_kilometre_on(read, gap_m, said):
    notes = read(gpx(line(3) + point(40.0 + gap_m))).notes
    assert notes == tuple(
        f"The longest gap without points is {km} km; the road there is taken as straight and even."
        for km in said
    )


@pytest.mark.parametrize(
    ("text", "found"),
    [
        (gpx(point()), "1 point"),
        (gpx(point() + point(2.0) + point(3.0)), "points that all lie in one place"),
        (gpx(point() + point(4.9)), "points that all lie in one place"),
    ],
)
def test_less_than_two_places_are_no_road(refused, text, found):
    assert refused(text)[:2] == (found, "a recording of at least two points along a road")


# --- heights ---


def test_missing_heights_are_filled_in_along_the_distance(read):
    # between 1,000 m at 0 and 1,030 m at 300: at 100 a third; before and behind the known ones as they are
    heights = [None, 1000, None, 1030, *[1030] * 7, None]
    places = [0, 100, 200, 400, *[500 + 100 * i for i in range(7)], 1300]
    road = read(
        gpx("".join(point(p, height=h) for p, h in zip(places, heights, strict=True)) + line(6, 50.0, 1400.0))
    )
    assert road.elevation_m[:4] == pytest.approx([1000, 1000, 1010, 1030], abs=0.001)
    assert road.elevation_m[11] == pytest.approx(
        1030 - 30 * 200 / 300, abs=0.01
    )  # 1100 m to 1400 m, to 1,000 m
    # 3 of 18
    assert road.notes == ("16.7 % of the points had no elevation; it was filled in from their neighbours.",)


@pytest.mark.parametrize(("missing", "ok"), [(1, True), (2, False), (9, False), (10, False)])
def test_a_fifth_without_a_height_is_too_much(read, refused, missing, ok):
    text = gpx("".join(point(50.0 * i, height=None if i < missing else 5) for i in range(10)))
    if ok:
        assert "10.0 % of the points" in read(text).notes[0]
    else:
        assert refused(text)[:2] == (
            f"{10 * missing} % of the points without elevation",
            "a recording with <ele> at every point",
        )


def test_heights_of_points_that_are_left_out_do_not_count(read, refused):
    # one in seven of all points is without a height: the only one that stands is
    still = point(0, height=None) + "".join(point(1.0, height=7) for _ in range(5))
    assert read(gpx(still + line(3, 50.0, 50.0))).elevation_m.tolist() == [1000.0] * 4
    # all that move have none
    alone = point(0, height=None) + point(1, height=5) * 9 + point(50, height=None)
    assert refused(gpx(alone))[0] == "18 % of the points without elevation"


@pytest.mark.parametrize(
    ("text", "found", "wanted"),
    [
        (line(3, height=9000), None, None),
        (line(3, height=-500), None, None),
        (line(3, height=9000.5), "elevation 9000.5 m at point 1", "an elevation between -500 and 9,000 m"),
        (
            line(3) + point(90.0, height=-500.5),
            "elevation -500.5 m at point 4",
            "an elevation between -500 and 9,000 m",
        ),
        (
            '<trkpt lat="0" lon="5"><ele>5</ele></trkpt><trkpt lat="-90.5" lon="5"><ele>5</ele></trkpt>',
            "latitude -90.5 at point 2",
            "a latitude between -90 and 90 degrees",
        ),
        (
            '<trkpt lat="0" lon="-180.5"><ele>5</ele></trkpt>',
            "longitude -180.5 at point 1",
            "a longitude between -180 and 180 degrees",
        ),
        (
            '<trkpt lat="0" lon="180"><ele>5</ele></trkpt><trkpt lat="0" lon="-179"><ele>5</ele></trkpt>',
            None,
            None,
        ),
        (
            '<trkpt lat="90" lon="0"><ele>5</ele></trkpt><trkpt lat="89" lon="0"><ele>5</ele></trkpt>',
            None,
            None,
        ),
    ],
)
def test_places_that_cannot_be_are_refused_with_their_point(read, refused, text, found, wanted):
    if found:
        assert refused(gpx(text))[:2] == (found, wanted)
    else:
        assert len(read(gpx(text)).distance_m) >= 2


# --- the first look ---


@pytest.mark.parametrize(
    ("name", "most", "over", "words"),
    [
        # gpx with two attributes, trk, trkseg, then a point with two attributes and a height: 5 + 4 n
        ("MAX_GPX_ELEMENTS", 5 + 4 * 6, 5 + 4 * 6 - 1, "more than 28 XML parts"),
        ("MAX_GPX_POINTS", 6, 5, "more than 5 points"),
        # gpx, trk, trkseg, trkpt, ele
        ("MAX_GPX_DEPTH", 5, 4, "XML parts nested more than 4 deep"),
    ],
)
def test_the_most_that_is_read(read, refused, monkeypatch, name, most, over, words):
    monkeypatch.setattr(gpx_file, name, most)
    assert len(read(gpx(line(6))).distance_m) == 6
    monkeypatch.setattr(gpx_file, name, over)
    assert refused(gpx(line(6)))[0] == words


def test_points_of_tracks_and_routes_are_counted_together_and_waypoints_are_not(read, refused, monkeypatch):
    route = f"<rte>{line(4, kind='rtept')}</rte>"
    text = gpx(line(3), inside='<wpt lat="1" lon="1"/>' * 5).replace("</gpx>", f"{route}</gpx>")
    monkeypatch.setattr(gpx_file, "MAX_GPX_POINTS", 7)
    assert len(read(text).distance_m) == 3
    monkeypatch.setattr(gpx_file, "MAX_GPX_POINTS", 6)
    assert refused(text)[:2] == ("more than 6 points", "a recording of at most 6 points")


PLAIN = "a plain GPX recording with <trkpt> points"
DRIVEN = "a track or a route: <trkpt> or <rtept> points in the order driven"


@pytest.mark.parametrize(
    ("text", "found", "wanted", "place"),
    [
        ("<kml/>", "XML that starts with <kml>", "a GPX file, which starts with <gpx>", ""),
        ("<x:kml xmlns:x='u'/>", "XML that starts with <kml>", "a GPX file, which starts with <gpx>", ""),
        ("<gpx>\n<trk>\n</gpx>", "broken XML (mismatched tag)", PLAIN, ", line 3"),
        ("<!DOCTYPE gpx><gpx/>", "a document type or entity definition", f"{PLAIN}, no <!DOCTYPE>", ""),
        ("<gpx/>", "no points", DRIVEN, ""),
        ("<gpx><wpt lat='1' lon='1'/></gpx>", "waypoints alone", DRIVEN, ""),
        (gpx(line()).encode("utf-16")[2:] + b" ", None, None, None),
        (gpx(line()).replace("<gpx", "<gpx xmlns"), None, None, None),
        ('<?xml version="1.0" encoding="latin-1"?>' + gpx(line(), name="ü"), None, None, None),
    ],
)
def test_what_is_no_recording_is_told_in_one_sentence(refused, read, text, found, wanted, place):
    if found is None:
        if isinstance(text, str) and "latin-1" in text:
            assert read(text).name  # bytes that are UTF-8 whatever the head says
        else:
            refused(text)
        return
    assert refused(text) == (found, wanted, f"a_road.gpx{place}")


def test_text_that_is_not_utf_8_is_refused(refused):
    head = '<?xml version="1.0" encoding="latin-1"?>'
    assert refused((head + gpx(line(), name="ü")).encode("latin-1"))[:2] == (
        "text that is not UTF-8",
        "a GPX file saved as UTF-8",
    )


def test_a_mark_before_the_text_does_no_harm(read):
    assert read("\ufeff" + gpx(line(4))).distance_m[-1] == pytest.approx(60.0, abs=0.01)


def test_points_behind_a_prefix_are_counted_but_not_guessed_at(refused):
    # the parser takes plain names only: one sentence, no road that is half there
    text = gpx(line(4)).replace("trkpt", "g:trkpt").replace("<gpx ", '<gpx xmlns:g="u" ')
    assert refused(text)[:2] == ("no track or route", "a recording with <trkpt> points")


def test_a_namespace_without_a_value_is_refused_before_anyone_hunts_for_one(refused, read):
    # two hundred letters are looked at behind the word
    text = gpx(line(3)).replace("<trk>", "<!-- xmlns" + " " * 198 + "= --><trk>")
    assert len(read(text).distance_m) == 3
    assert refused(text.replace(" = -->", "  = -->").replace("= -->", "   = -->"))[:2] == (
        "'xmlns' without a value",
        PLAIN,
    )


def test_numbers_that_are_none_are_one_sentence(refused):
    assert refused(gpx('<trkpt lat="x" lon="1"/>'))[0].startswith("GPX that cannot be read (")
    assert refused(gpx('<trkpt lat="x" lon="1"/>'))[1].startswith("points such as <trkpt lat=")


def test_size_is_held_before_anything_is_read(refused, monkeypatch):
    monkeypatch.setattr(gpx_file, "MAX_GPX_BYTES", 10)
    assert "at most" in refused(gpx(line()))[1]
