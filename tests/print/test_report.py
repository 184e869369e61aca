"""The text report of plans made by hand: every word that decides, the star, the way, both unit systems."""

import math
from dataclasses import replace
from types import SimpleNamespace

import pytest

from tests.plans import (
    ASSUMED_PATH,
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
from towlib.limits.legs import SegmentRow
from towlib.print import report as told
from towlib.print.report import (
    SHEET_COLUMNS,
    field_words,
    leg_columns,
    leg_rows,
    leg_summary,
    limit_cells,
    report,
    short_words,
)
from towlib.rig.facts import assumptions
from towlib.rig.plausible import Question
from towlib.road.route import Segment


@pytest.fixture(autouse=True)
def nothing_else(monkeypatch):
    """What other modules say of roads and other ways has its own tests."""
    for name in ("driving_words", "other_ways_words", "brake_range_words"):
        monkeypatch.setattr(told, name, lambda *given: ())


def lines(*limits, system="metric", **other):
    return report(plan_of(*limits, **other), system).splitlines()


def row(title, demand, capacity, answer):
    """A row of the table: widths 44, 12, 12, two blanks, then the answer."""
    return f"{title:<44}{demand:>12}{capacity:>12}  {answer}"


@pytest.mark.parametrize(
    ("limit", "metric", "us"),
    [
        # 8 kg = 17.6 lb, 10 kg = 22.0 lb, 13 kg = 28.7 lb, 2 kg = 4.41 lb, 3 kg = 6.61 lb (0.45359237 kg)
        (
            within(),
            row("WITHIN", "8 kg", "10 kg", "within by 2 kg"),
            row("WITHIN", "17.6 lb", "22 lb", "within by 4.41 lb"),
        ),
        (
            within(way="back"),
            row("WITHIN", "8 kg", "10 kg", "within by 2 kg (way back)"),
            row("WITHIN", "17.6 lb", "22 lb", "within by 4.41 lb (way back)"),
        ),
        (
            over(assumed=(ASSUMED_PATH,)),
            row("OVER*", "13 kg", "10 kg", "over by 3 kg"),
            row("OVER*", "28.7 lb", "22 lb", "over by 6.61 lb"),
        ),
        (
            yes_no(fulfilled=False, way="back"),
            row("YES_NO", "yes", "no", "over: not fulfilled (way back)"),
            None,
        ),
        (yes_no(), row("YES_NO", "yes", "yes", "within"), None),
        (
            made("lifted", -5.0, 10.0),
            row("LIFTED", "-5 kg", "10 kg", "over: lifted off the road by 5"),
            row("LIFTED", "-11 lb", "22 lb", "over: lifted off the road by"),
        ),
    ],
)
def test_a_row_of_the_table_by_hand(limit, metric, us):
    assert metric in lines(limit)
    assert (us or metric) in lines(limit, system="us")


def test_a_limit_that_is_not_known_names_what_is_missing_in_words_and_no_way():
    # 'rating of the ball' in the words of the form; 30 letters a line
    table = "\n".join(lines(unknown(way="back")))
    assert row("UNKNOWN", "not known", "10 kg", "not known (").rstrip() in table
    words = " ".join(part.strip() for part in table.split("UNKNOWN")[1].split("\n\n")[0].split("\n"))
    assert words.split("10 kg  ")[1] == f"not known ({field_words('hitch.ball_rating')})"
    assert "hitch.ball_rating" not in table and "way back" not in table


@pytest.mark.parametrize(
    ("limit", "said"),
    [
        (likely_over(), "not known: likely over by 3 kg; {bar} is assumed and decides"),
        (likely_within(way="back"), "not known: likely within by 2 kg; {bar} is assumed and decides"),
        (too_close(), "not known: within by 2 kg, too close for your ± (most of it: {ball})"),
    ],
)
def test_doubt_is_told_whole_below_each_other(limit, said):
    names = {"bar": field_words("tow_bar.mass"), "ball": field_words("hitch.ball_rating")}
    found = lines(limit)
    start = next(i for i, line in enumerate(found) if line.startswith(limit.title))
    parts = [found[start][70:]]
    while found[start + len(parts)].startswith(" " * 72):
        parts.append(found[start + len(parts)][72:])
    assert " ".join(parts).strip() == said.format(**names)
    assert found[start].startswith(limit.title + ("*" if limit.assumed else " "))
    assert all(len(line) <= 102 for line in found)


def test_the_head_by_hand():
    # 2 km = 1.24 mi, 50 m = 164 ft, 150 m = 492 ft
    found = lines(within(), rig=DEMO.model_copy(update={"name": "Mine", "invented": False}))
    assert found[:4] == [
        "Rig:  Mine",
        "Road: A made road (2 km one way, 50 m up, 50 m down, summit 150 m)",
        "",
        "Verdict: All 1 limits within by these figures; the makers' manuals and the law come first. Not",
    ]
    found = lines(within(), system="us", rig=DEMO.model_copy(update={"name": "", "invented": True}))
    assert found[:2] == [
        "Rig:  unnamed (invented)",
        "Road: A made road (1.24 mi one way, 164 ft up, 164 ft down, summit 492 ft)",
    ]


def test_verdict_and_what_governs_stand_first_and_whole():
    fit = {"to_fit": ("Fit this.",), "prop": "Prop."}
    found = lines(over(advice="Less cargo."), likely_over(), unknown(), within(), **fit)
    text = " ".join(part.strip() for part in found)
    assert (
        "Verdict: 1 of 4 limits over, 2 not known (likely over: LIKELY_OVER), 1 within: do not tow it like"
        " this."
        " Not judged: bad welds and rust, the bar itself and frames, what the law asks about brakes, weather"
        " and the driver."
        " Governing:"
        " OVER, over by 3 kg. Less cargo. Fit this. Prop. " in text
    )
    assert "Governing" not in report(plan_of(unknown()))


def test_what_is_asked_stands_whole_above_the_limits(monkeypatch):
    asked = [Question(("a",), "1.34 kg on an axle?"), Question(("b", "c"), "A hole twice its bolt?")]
    monkeypatch.setattr(told, "questions", lambda rig: asked)
    lines = report(plan_of(within())).splitlines()
    at = lines.index("To look at first, because it may be a slip; correct it, or confirm it in the form:")
    assert lines[at + 1 : at + 4] == ["  1.34 kg on an axle?", "  A hole twice its bolt?", ""]
    assert at < next(i for i, line in enumerate(lines) if line.startswith("WITHIN"))


def test_what_would_move_the_others_that_are_over():
    worst = made("worst", 20.0, 10.0, advice="Governs.")
    found = lines(worst, over("a", advice="Do A."), over("b", advice="Do B."), likely_over(advice="Not yet."))
    at = found.index("What would move the others that are over:")
    assert found[at - 1] == "" and found[at + 1 : at + 4] == ["  A: Do A.", "  B: Do B.", ""]
    assert not any("Not yet." in line or "WORST: " in line for line in found)
    assert "others" not in report(plan_of(worst))


def test_assumed_values_are_listed_with_how_they_are_known():
    found = lines(within(assumed=(ASSUMED_PATH,)), assumed=(assumptions()[ASSUMED_PATH],))
    at = found.index("Assumed, because the rig file does not give it (marked * above):")
    assert found[at - 1] == ""
    words = " ".join(part.strip() for part in found[at + 1 : found.index("", at)])
    # handbook: 25 kg, from memory
    assert words == (
        f"{field_words(ASSUMED_PATH)}: 25 kg (not checked against a document; common figure) [tow_bar.mass]"
    )
    assert "marked *" not in report(plan_of(within()))


def test_a_road_that_was_not_driven_is_said():
    found = lines(unknown(), road_missing="tow_vehicle.engine.redline")
    assert "The road was not driven: not known (tow_vehicle.engine.redline)." in found
    assert "not driven" not in report(plan_of(within()))


def test_the_caution_ends_it():
    text = " ".join(part.strip() for part in lines(within())[-3:])
    assert text.endswith("A limit that is not known is not a pass.")
    noted = replace(plan_of().route, notes=["Smoothed."])
    assert "\n\nRoad file: Smoothed.\nThese are computed" in report(plan_of(within(), route=noted))


# --- the road table ---


def leg(way="out", stopped=None, rows=()):
    journey = SimpleNamespace(stopped_at_m=stopped, time_s=[60.0, 1830.0], fuel_m3=[0.0, 0.0123])
    return SimpleNamespace(way=way, journey=journey, rows=rows)


STRETCH = SegmentRow(
    Segment(1609.344, 4828.032, 3218.688, -0.0523, -0.06, 150.0, 0.0, math.nan),
    20.0,
    3,
    2746.0,
    3000.0,
    0.5,
    100.0,
    math.nan,
    150.0,
    90.0,
    150.0,
    0.0037854118,
)


@pytest.mark.parametrize(
    ("system", "cells"),
    [
        # 1,609.344 m = 1 mi, 20 m/s = 72 km/h = 44.7 mph, 100 °C = 212 °F, 90 °C = 194 °F, 150 s = 2.5 min,
        # 3.7854118 L = 1 US gallon
        ("metric", ("1.6", "4.8", "-5.2", "72", "3", "2750", "100", "–", "90", "2.5", "3.79")),
        ("us", ("1.0", "3.0", "-5.2", "45", "3", "2750", "212", "–", "194", "2.5", "1.00")),
    ],
)
def test_a_stretch_by_hand(system, cells):
    assert leg_rows(leg(rows=(STRETCH,)), system) == [cells]
    rising = STRETCH._replace(segment=STRETCH.segment._replace(mean_grade=0.0551))
    assert leg_rows(leg(rows=(rising, STRETCH)), system)[0][2] == "+5.5"


@pytest.mark.parametrize(
    ("system", "heads"),
    [
        (
            "metric",
            "from km|to km|grade %|km/h|gear|rpm|front °C|rear °C|coolant °C|min|L",
        ),
        ("us", "from mi|to mi|grade %|mph|gear|rpm|front °F|rear °F|coolant °F|min|gal"),
    ],
)
def test_the_heads_of_the_road_table(system, heads):
    assert "|".join(leg_columns(system)) == heads


def test_columns_of_the_sheet_are_those_a_driver_reads():
    # without the end of the stretch, the minutes and the fuel
    heads = [leg_columns("metric")[i] for i in SHEET_COLUMNS]
    assert heads == ["from km", "grade %", "km/h", "gear", "rpm", "front °C", "rear °C", "coolant °C"]


def test_a_way_in_one_sentence():
    # 1,830 s = 30.5 min; 12.3 L = 3.25 gal
    assert leg_summary(leg(), "metric") == "30.5 min, 12.3 L of fuel."
    assert leg_summary(leg(), "us") == "30.5 min, 3.25 gal of fuel."
    assert leg_summary(leg("back", stopped=1609.344), "us") == (
        "The pair stops 1 mi into the road back: the engine cannot pull it any further."
    )
    assert "stops 0 km into the road out" in leg_summary(leg(stopped=0.0), "metric")


def test_both_ways_stand_in_the_report_with_what_was_driven(monkeypatch):
    monkeypatch.setattr(told, "brake_range_words", lambda rig, legs, system: f"Range {len(legs)} {system}.")
    monkeypatch.setattr(told, "driving_words", lambda facts, road, legs, system: (f"Drive {system}.",))
    monkeypatch.setattr(told, "other_ways_words", lambda facts, system: (f"Dolly {system}.",))
    found = lines(within(), legs=(leg(rows=(STRETCH,)), leg("back")), system="us")
    at = found.index("Road out: 30.5 min, 3.25 gal of fuel. Brake temperatures at the end of each stretch.")
    assert found[at - 1] == ""
    heads = "from mi to mi grade % mph gear rpm front °F rear °F coolant °F min gal"
    assert found[at + 1].split() == heads.split()
    assert " ".join(found[at + 2].split()) == "1.0 3.0 -5.2 45 3 2750 212 – 194 2.5 1.00"
    # each figure ends below its head
    assert found[at + 1].index("coolant °F") + len("coolant °F") == found[at + 2].index("194") + 3
    assert len(found[at + 2]) == 9 + 8 + 9 + 7 + 6 + 7 + 10 + 9 + 12 + 7 + 7
    assert found[at + 3] == "" and found[at + 4].startswith("Road back: ")
    assert found[at + 6 :][:5] == ["", "Range 2 us.", "Drive us.", "Dolly us.", ""]


# --- names ---


@pytest.mark.parametrize(
    ("path", "starts"),
    [
        ("tow_vehicle.gvwr", "tow vehicle, "),
        ("towed_vehicle.gvwr", "towed vehicle, "),
        ("tow_vehicle.front_tyres.pressure", "tow vehicle, front tyres, "),
        ("tow_vehicle.rear_tyres.pressure", "tow vehicle, rear tyres, "),
        ("nobody said who rides", "nobody said who rides"),
        ("tow_vehicle", "tow_vehicle"),
    ],
)
def test_a_field_is_named_with_its_vehicle_and_axle(path, starts):
    found = field_words(path)
    assert found.startswith(starts) and found.count(",") >= starts.count(",")
    assert "front_tyres" not in found and "gvwr" not in found


@pytest.mark.parametrize(
    ("path", "words"),
    [
        (
            "tow_vehicle.brakes.front_cooled_area",
            "all faces of the front discs or drums that the air reaches",
        ),
        ("tow_vehicle.engine.braking_factor", "engine braking over textbook"),
        ("bracket.nut_factor", "nut factor K"),
        ("tow_vehicle.front_tyres.width", "tow front tyre width"),
        ("hitch.d_value_rating", "D-value of the coupling"),
        ("tow_vehicle.gvwr", "gross vehicle weight rating"),
        ("towed_vehicle.driveline.low_ratio", "low range ratio"),
        ("nobody said who rides: ask", "nobody said who rides: ask"),
    ],
)
def test_a_field_in_few_words(path, words):
    assert short_words(path) == words
    assert len(words) <= max(len(field_words(path)), len(path))


def test_a_demand_without_an_end_has_no_figure():
    never = made("never", None, 150.0, kind="length", missing="", beyond="it never stops")
    assert limit_cells(never, "metric") == ("NEVER", "–", "150 m", "over: it never stops")


def test_cells_are_starred_only_for_what_was_assumed():
    assert limit_cells(within(), "metric") == ("WITHIN", "8 kg", "10 kg", "within by 2 kg")
    assert limit_cells(within(assumed=("a",)), "us") == ("WITHIN*", "17.6 lb", "22 lb", "within by 4.41 lb")
