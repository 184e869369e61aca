"""Words of the sheet, of plans made by hand: what is over, within or to be found out, where it stands."""

import html
import math
import re
from types import SimpleNamespace

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
    yes_no,
)
from tests.rigs import changed
from towlib.limits.legs import SegmentRow
from towlib.print import sheet
from towlib.print.coupling_pictures import SheetPicture
from towlib.print.report import short_words
from towlib.print.sheet import rig_name, sheet_html
from towlib.rig.facts import assumptions
from towlib.road.route import Segment


@pytest.fixture
def sheet_of(monkeypatch):
    """The sheet of a plan made by hand, without pictures and what other modules say of the road."""
    for name in ("side_view_picture", "chains_picture"):
        monkeypatch.setattr(sheet, name, lambda rig, system, name=name: SheetPicture("", f"{name} {system}"))
    monkeypatch.setattr(sheet, "driving_words", lambda facts, route, legs, system: (f"Drive {system}.",))
    monkeypatch.setattr(sheet, "other_ways_words", lambda facts, system: (f"Dolly {system}.",))
    monkeypatch.setattr(sheet, "brake_range_words", lambda rig, legs, system: f"Range {len(legs)} {system}.")
    monkeypatch.setattr(sheet, "road_picture_svg", lambda plan, system: f"<svg>road {system}</svg>")
    monkeypatch.setattr(sheet, "road_picture_words", lambda plan, system: "The road.")

    def of(*limits, system="metric", **other):
        return html.unescape(sheet_html(plan_of(*limits, **other), system))

    return of


def rows(text, head):
    """Rows of the tables of limits under this head, cell by cell, table by table."""
    tables = re.findall(r'<table class="within"><tr><th>(.*?)</th>.*?</tr>(.*?)</table>', text, re.S)
    return [
        [tuple(re.findall(r"<td>(.*?)</td>", row)) for row in re.findall(r"<tr.*?>(.*?)</tr>", body, re.S)]
        for title, body in tables
        if title.startswith(head)
    ]


def test_what_is_over_stands_bold_under_its_head_and_what_is_within_under_its_own(sheet_of):
    text = sheet_of(
        over("a", way="back", assumed=("x",)),
        yes_no("b", fulfilled=False),
        likely_over(),
        likely_within(),
        too_close(),
        within("c"),
        yes_no("d"),
    )
    # in two columns, the first not the shorter; by 3 kg and by 2 kg; ‡ the way back, * assumed
    assert rows(text, "OVER") == [
        [("A*", "13 kg", "10 kg", "3 kg\xa0‡")],
        [("B", "yes", "no", "not fulfilled")],
    ]
    assert rows(text, "within") == [[("C", "8 kg", "10 kg", "2 kg")], []]
    # a yes to a question has nothing to tell but itself: all of them in one line
    assert "<b>Within, a yes to each:</b> D." in text
    assert text.count('<tr class="over">') == 2
    assert "‡ closest on the way back. * an assumed value went into it, see the end." in text
    many = sheet_of(yes_no("e", fulfilled=False), yes_no("f"), within("c"), yes_no("g", assumed=("x",)))
    assert "a yes to each:</b> F; G*." in many and "a yes to each" not in sheet_of(within("c"), over("a"))
    text = sheet_of(within("c", way="back", assumed=("x",)), system="us")
    assert rows(text, "within") == [[("C*", "17.6 lb", "22 lb", "4.41 lb\xa0‡")], []] and not rows(
        text, "OVER"
    )


def test_columns_are_halves_in_the_order_of_the_plan(sheet_of):
    limits = [within(key) for key in "abcde"]
    names = [[row[0] for row in half] for half in rows(sheet_of(*limits), "within")]
    assert names == [["A", "B", "C"], ["D", "E"]]
    limits = [over(key) for key in "abcd"]
    assert [[row[0] for row in half] for half in rows(sheet_of(*limits), "OVER")] == [["A", "B"], ["C", "D"]]


def unknown_words(text):
    words = re.sub("</?b>", "", re.search(r'<p class="fine unknown">(.*?)</p>', text, re.S)[1])
    return " ".join(words.split())


def test_what_to_find_out_names_each_field_once_with_what_hangs_on_it(sheet_of):
    bar, ball = short_words("tow_bar.mass"), short_words("hitch.ball_rating")
    assert (bar, ball) == ("mass of the bar", "ball: heaviest towed weight")
    text = sheet_of(
        likely_over("a"),
        unknown("b"),
        too_close("c"),
        likely_within("d"),
        unknown("e", missing="tow_vehicle.gvwr; hitch.ball_rating"),
        within("f"),
        over("g"),
    )
    assert unknown_words(text) == (
        "Not known (5), and so not a pass. To find out, with what it settles: "
        f"{bar} (A: likely over; D: likely within); {ball} (B; C; E); tow vehicle, "
        f"{short_words('tow_vehicle.gvwr')}."
    )
    # nothing to find out: no such words
    assert "To find out" not in sheet_of(within(), over())


@pytest.mark.parametrize(
    ("missing", "words"),
    [
        (("a.b; c.d", "a.b", "c.d"), "a.b (A; B); c.d (C)."),
        (("a.b", "c.d; a.b", "c.d"), "a.b (A; B); c.d (C)."),
        (("nobody said who rides", "nobody said who rides", "x"), "nobody said who rides (A; B); x (C)."),
    ],
)
def test_a_limit_stands_with_one_fact_only(sheet_of, missing, words):
    limits = [unknown(key, missing=each) for key, each in zip("abc", missing, strict=True)]
    assert unknown_words(sheet_of(*limits)).endswith(f"what it settles: {words}")


def test_verdict_governing_and_cautions_stand_on_it(sheet_of):
    text = sheet_of(over(advice="Less."), within(), to_fit=("Fit this.",), road_missing="a.b")
    assert (
        '<p class="verdict">1 of 2 limits over, 0 not known, 1 within: do not tow it like this.</p>' in text
    )
    assert "<b>Governing: OVER</b>, over by 3 kg. Less.</p>" in text and "Fit this." in text
    assert (
        "The road was not driven: not known (a.b)." in text
        and "A limit that is not known is not a pass." in text
    )
    assert "Not judged: bad welds" in text and "Drive metric." in text and "Dolly metric." in text
    text = sheet_of(within(), system="us")
    assert (
        "All 1 limits within by these figures" in text
        and "<b>Governing: WITHIN</b>, within by 4.41 lb. " in text
    )
    assert "not driven" not in text and "Governing" not in sheet_of(unknown())
    # 2 km = 1.24 mi, 50 m = 164 ft, 150 m = 492 ft
    assert "<p>1.24 mi one way, 164 ft up, 164 ft down, summit 492 ft." in text
    assert "side_view_picture us" in text and "chains_picture us" in text and "Drive us." in text


@pytest.mark.parametrize(("more", "said"), [(1, 0), (2, 0), (3, 1), (7, 5)])
def test_advice_of_the_first_others_that_are_over(sheet_of, more, said):
    worst = made("worst", 30.0, 10.0, advice="Governs.")
    others = [over(f"o{i}", advice=f"Do {i}.") for i in range(more)]
    text = sheet_of(worst, *others, likely_over(advice="Not yet."))
    words = text.split("What would move the others that are over:")[1].split("</p>")[0]
    assert re.findall(r"Do \d\.", words) == ["Do 0.", "Do 1."][:more]
    assert (f"The advice for {said} more stands in 11_trip_sheet." in words) == bool(said)
    assert ("The advice for" in words) == bool(said)
    assert "Governs." not in words and "Not yet." not in words
    assert "What would move" not in sheet_of(worst, within())


def leg(way):
    journey = SimpleNamespace(stopped_at_m=None, time_s=[600.0], fuel_m3=[0.01])
    segment = Segment(0.0, 5000.0, 5000.0, -0.06, -0.07, 0.0, 0.0, math.nan)
    row = SegmentRow(segment, 20.0, 3, 2750.0, 3000.0, 0.0, 100.0, 90.0, 110.0, 95.0, 250.0, 0.004)
    return SimpleNamespace(way=way, journey=journey, rows=(row,))


def test_the_road_table_says_whether_it_is_a_way_to_drive(sheet_of):
    no_way = "This table is what was computed, not a way to drive: brakes over or not known."
    legs = (leg("out"), leg("back"))
    text = sheet_of(within("front_brakes"), legs=legs)
    assert no_way not in text and "take the gear and the speed of the table" in text
    for judged in (over, unknown, likely_over, likely_within, too_close):
        text = sheet_of(judged("front_brakes"), legs=legs)
        assert no_way in text and "take the gear and the speed of the table" not in text
    # 20 m/s = 72 km/h; 600 s = 10 min; columns that fit: from, grade, speed, gear, rpm, front, rear, coolant
    assert "<h2>Road out: 10 min, 10 L of fuel.</h2>" in text and "<h2>Road back: 10 min" in text
    row = (
        "<tr>"
        + "".join(f"<td>{c}</td>" for c in ("0.0", "-6.0", "72", "3", "2750", "100", "90", "95"))
        + "</tr>"
    )
    assert text.count(row) == 2
    heads = re.findall("<th>(.*?)</th>", text.split("<h2>Road out")[1].split("</tr>")[0])
    assert heads == ["from km", "grade %", "km/h", "gear", "rpm", "front °C", "rear °C", "coolant °C"]
    assert "Range 2 metric." in text and "<svg>road metric</svg>" in text
    assert "<figcaption>The road.</figcaption>" in text and 'aria-label="The road."' in text
    bare = sheet_of(within("front_brakes"))
    assert "<h2>Road" not in bare and "Range" not in bare and "<svg>road" not in bare and no_way not in bare
    assert "The road." not in bare and not re.search("advice for -?[0-9]", bare)


def test_what_was_assumed_is_listed_under_its_vehicle(sheet_of):
    paths = ("tow_bar.mass", "tow_vehicle.drag_area", "tow_vehicle.engine.idle", "towed_vehicle.drag_area")
    text = sheet_of(within(), assumed=tuple(assumptions()[path] for path in paths))
    words = re.sub("</?b>", "", text.split("* Assumed, not measured:")[1].split("</p>")[0]).strip()
    assert words == (
        "tow vehicle: drag coefficient times frontal area: 1.35 m2; idle speed: 700 rpm. towed vehicle:"
        " drag area the towed one adds: 0.60 m2. all else: mass of the bar: 25 kg."
    )
    assert "Assumed, not measured" not in sheet_of(within())


def test_what_a_reader_typed_is_text_and_nothing_else():
    rig = changed(DEMO, "name", "<script>alert(1)</script> & co")
    text = sheet_html(plan_of(within("a", advice="<img>"), rig=rig))
    assert "<script>" not in text and "<img>" not in text
    assert "&lt;script&gt;alert(1)&lt;/script&gt; &amp; co" in text and "<svg" in text


@pytest.mark.parametrize(
    ("own", "tow", "towed", "name"),
    [
        ("Mine", "a", "b", "Mine"),
        ("", "Wagon", "Little", "Wagon and Little"),
        ("", "", "Little", "Little"),
        ("", "Wagon", "", "Wagon"),
        ("", "", "", "my rig"),
    ],
)
def test_a_rig_is_called_what_its_reader_calls_it(own, tow, towed, name):
    rig = changed(changed(changed(DEMO, "name", own), "tow_vehicle.name", tow), "towed_vehicle.name", towed)
    assert rig_name(rig) == name


def test_an_invented_rig_says_so(sheet_of):
    words = "The rig is invented for demonstration."
    assert words in sheet_of(within()) and words not in sheet_of(
        within(), rig=changed(DEMO, "invented", False)
    )
