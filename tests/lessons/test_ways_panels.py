"""What the panels of lesson 10 show: by hand where a hand can, and the same as the library elsewhere."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from towlib.handbook.breakage_table import breakages
from towlib.handbook.tables import load_table
from towlib.lessons.l10_ways import way_breakages, way_costs, way_turns, ways
from towlib.lessons.l10_ways.way_costs import apart
from towlib.lessons.slider_rows import load_panel
from towlib.physics.costs.owning_costs import cost_of_trips
from towlib.plan.other_ways import METHODS
from towlib.teaching.panel.panel_state import PanelState

PICKUP = {
    "vehicle": "full-size pickup",
    "towed_mass_kg": 1520.0,
    "cargo_kg": 175.0,
    "dolly_mass_kg": 320.0,
    "trailer_mass_kg": 850.0,
    "tongue_share": 0.12,
    "carrier_brakes": True,
}
PRICES = {
    "trips_per_year": 6,
    "years": 8,
    "bar_price": 1200,
    "dolly_price": 1800,
    "trailer_price": 4000,
    "dolly_and_trailer": "bought",
    "dolly_hire": 135,
    "trailer_hire": 180,
    "trip_m": 500e3,
    "fuel_price": 160,
    "unsure": 0.2,
}


def test_weights_by_hand():
    flat, dolly, trailer = (
        {limit.key: limit for limit in limits} for limits in ways.weights(**PICKUP).limits
    )
    assert [one["tow_rating"].demand for one in (flat, dolly, trailer)] == pytest.approx(
        [1520 + 13, 1840, 2370]
    )
    assert [one["tow_rating"].capacity for one in (flat, dolly, trailer)] == [2270, 4300, 4300]
    # people 150 kg, cargo 175 kg, ball load 13, 25 + 0.52·1520·0.08/1.90 = 58.3, 0.12·2370 = 284.4
    assert [one["payload"].demand for one in (flat, dolly, trailer)] == pytest.approx(
        [338, 383.28, 609.4], abs=0.01
    )
    # the cargo stands over the rear axle, so all of it is there; people at 1.75 of 3.75 m
    assert flat["tow_rear_gawr"].demand == pytest.approx(1010 + 150 * 1.75 / 3.75 + 175 + 13 * 5.07 / 3.75)
    assert [one["gcwr"].demand for one in (flat, dolly, trailer)] == pytest.approx(
        [2675 + 1520 + 26, 2675 + 1840, 2675 + 2370]
    )
    assert len(ways.weights(**PICKUP).limits) == len(METHODS)


def test_brakes_and_vehicle_matter():
    unbraked = ways.weights(**PICKUP | {"carrier_brakes": False}).limits
    assert unbraked[2][0].answer == "over" and unbraked[2][0].demand - unbraked[2][
        0
    ].capacity == pytest.approx(100.0)
    wagon = ways.weights(**PICKUP | {"vehicle": "mid-size wagon"})
    assert [sum(limit.answer == "over" for limit in limits) for limits in wagon.limits] == [1, 3, 7]
    assert "7 of 8 over" in ways.weights_words(
        wagon, "metric"
    ) and "Receiver, vertical" in ways.weights_words(wagon, "metric")


def test_costs_by_hand():
    # bar: 60 % of 1,200 gone and 2 % a year for 8 years; the energy of 500 km with 3,000 m of climbs at 23
    # m/s in air of 1.10
    result = way_costs.costs(**PRICES)
    work_j = 1530 * 9.80665 * (0.015 * 500e3 + 3000) + 0.5 * 1.1 * 0.6 * 23**2 * 500e3
    litres = work_j / 0.34 / 32e6
    assert result.middle[0] == pytest.approx(
        (0.6 * 1200 + 8 * 0.02 * 1200, litres * 1.60 + 800 * 500 / 60000)
    )
    assert result.middle[1].fixed == pytest.approx(0.6 * 1800 + 8 * 0.06 * 1800) and result.middle[
        2
    ].fixed == pytest.approx(4000 * (0.6 + 0.48))
    hired = way_costs.costs(**PRICES | {"dolly_and_trailer": "hired"})
    assert [cost.fixed for cost in hired.middle[1:]] == [0.0, 0.0]
    assert [cost.per_trip for cost in hired.middle[1:]] == pytest.approx(
        [result.middle[1].per_trip + 135, result.middle[2].per_trip + 180]
    )
    assert hired.middle[0] == result.middle[0] and result.trips == 48
    for middle, one in zip(result.middle, result.ranges, strict=True):
        assert one.low == pytest.approx([0.8 * part for part in middle]) and one.high == pytest.approx(
            [1.2 * part for part in middle]
        )


@settings(deadline=None, max_examples=60)
@given(
    bar=st.integers(200, 4000),
    dolly=st.integers(300, 5000),
    trailer=st.integers(800, 12000),
    hires=st.tuples(st.integers(20, 600), st.integers(20, 800)),
    bought=st.booleans(),
    trips=st.integers(0, 900),
)
def test_the_cheapest_changes_where_a_search_says(bar, dolly, trailer, hires, bought, trips):
    result = way_costs.costs(
        **PRICES
        | {
            "bar_price": bar,
            "dolly_price": dolly,
            "trailer_price": trailer,
            "dolly_hire": hires[0],
            "trailer_hire": hires[1],
            "dolly_and_trailer": "bought" if bought else "hired",
        }
    )
    now = [change for change in result.changes if change.trips <= trips][-1].way
    money = [cost_of_trips(cost, trips) for cost in result.middle]
    assert money[now] == pytest.approx(min(money), rel=1e-9, abs=1e-6)
    assert [change.trips for change in result.changes] == sorted(
        change.trips for change in result.changes
    ) and result.changes[0].trips == 0
    words = way_costs.costs_words(result, "metric")
    assert words.endswith(".") and len(words) < 400
    for change in result.changes[1:]:
        may_be, surely = change.range
        assert may_be <= change.trips * (1 + 1e-9) and (surely is None or surely >= change.trips * (1 - 1e-9))


def test_two_changes_in_a_row():
    # cheap trailer, dear bar, dearer dolly: 864 + 46.71 N, 3,040 + 42.67 N, 5,400 + 41.52 N; by hand 2176 /
    # 4.04 = 538, then 2360 / 1.156 = 2,042
    result = way_costs.costs(**PRICES | {"trailer_price": 800, "bar_price": 4000, "dolly_price": 5000})
    assert [change.way for change in result.changes] == [2, 0, 1] and [
        change.trips for change in result.changes
    ] == pytest.approx([0, 538.4, 2042.1], abs=0.2)


def test_words_of_costs():
    hired = way_costs.costs_words(way_costs.costs(**PRICES | {"dolly_and_trailer": "hired"}), "us")
    assert (
        "dolly costs least at first, from 6.8 trips (4.1 to 12) four wheels down" in hired
        and "do not overlap" in hired
    )
    assert way_costs.costs_words(
        way_costs.costs(**PRICES | {"trips_per_year": 1, "years": 1}), "us"
    ).startswith("After 1 trip, ")
    assert "too close to call" in way_costs.costs_words(way_costs.costs(**PRICES), "metric")


@given(st.lists(st.floats(0, 100), min_size=1, max_size=3))
def test_words_beside_the_lines_never_lie_on_each_other(places):
    spread = apart(places, least=7.0, low=3.0, high=96.0)
    ordered = sorted(spread)
    assert (
        all(b - a >= 7.0 - 1e-9 for a, b in zip(ordered, ordered[1:], strict=False))
        and max(spread) <= 96.0 + 1e-9
        and min(spread) > -20
    )
    assert apart([10.0, 50.0, 90.0], least=7.0, low=3.0, high=96.0) == [10.0, 50.0, 90.0]


def test_turns():
    sizes = {
        "front_radius_m": 12.0,
        "wheelbase_m": 3.3,
        "overhang_m": 1.3,
        "bar_length_m": 1.02,
        "towed_wheelbase_m": 2.42,
        "trailer_length_m": 3.92,
    }
    flat, dolly, trailer = way_turns.turns(
        **sizes
    ).turns  # 1.02 + 0.48 + 2.42 = 3.92, the published case of check_values
    assert flat.circle.axles_m[-1] == pytest.approx(10.9286, abs=5e-5) and math.degrees(
        flat.circle.angles_rad[0]
    ) == pytest.approx(26.161, abs=5e-4)
    assert (
        trailer.circle.axles_m == flat.circle.axles_m
        and trailer.swept.width_m > flat.swept.width_m > dolly.swept.width_m
    )  # a trailer is wider
    tight = way_turns.turns(**sizes | {"front_radius_m": 5.0, "trailer_length_m": 6.0})
    assert (
        tight.turns[2].circle is None
        and "too tight" in tight.turns[2].why
        and "too tight, it folds up" in way_turns.turns_words(tight, "metric")
    )
    sharp = way_turns.turns(**sizes | {"front_radius_m": 5.9})
    assert "Sharper than 60°" in way_turns.turns_words(
        sharp, "us"
    ) and "Sharper" not in way_turns.turns_words(way_turns.turns(**sizes), "us")


def test_what_is_drawn_follows_the_hinges():
    state = PanelState(
        load_panel("10_ways_to_tow", "turning"),
        way_turns.turns,
        way_turns.TurnsDrawing(),
        way_turns.turns_words,
    )
    parts, turn = state.picture._moving, state.result.turns[1]
    ends = [
        parts[f"link 1 {k}"][1][0].get_xydata() + [turn.circle.axles_m[0], 0.0] for k in (0, 1)
    ]  # counted from the middle of the turn
    assert math.hypot(*ends[0][0]) == pytest.approx(turn.circle.hinges_m[0]) and math.dist(
        *ends[0]
    ) == pytest.approx(way_turns.DOLLY_BALL_M)
    assert tuple(ends[1][0]) == pytest.approx(tuple(ends[0][1])) and math.dist(*ends[1]) == pytest.approx(
        2.36
    )  # the second hangs on the first
    assert math.hypot(*ends[1][1]) == pytest.approx(turn.circle.axles_m[2])
    tangent = ends[1][0] - ends[1][1]
    assert abs(tangent @ ends[1][1]) < 1e-9  # an axle rolls square to its radius


def test_every_breakage_has_a_picture_and_a_sentence():
    panel = load_panel("10_ways_to_tow", "breakage")
    assert panel.sliders[0].options == tuple(one.title for one in breakages())
    state = PanelState(panel, way_breakages.broken, way_breakages.BrokenDrawing(), way_breakages.broken_words)
    for one in breakages():
        state.set_text("breakage", one.title)
        state.update()
        shown = [state.picture._moving[f"answer {i}"][1][0].get_text() for i in range(3)]
        marks = {"works": "✓", "works after": "!", "does not": "✗"}
        assert all(
            text.startswith(marks[way.answer]) and way.answer.upper() in text
            for text, way in zip(shown, one.ways, strict=True)
        )
        reasons = [" ".join(state.picture._moving[f"why {i}"][1][0].get_text().split()) for i in range(3)]
        assert reasons == [way.why for way in one.ways] and state.sentence_text.lower().startswith(
            one.title.lower()
        )
        assert len(state.picture._moving["broken 0 0"][1][0].get_xdata()) == 1, (
            f"no place is marked for {one.title}"
        )
    with pytest.raises(ValueError, match="no row 'a flat wallet'"):
        way_breakages.broken(breakage="a flat wallet")


def test_the_comparison_has_a_word_for_each_way():
    rows = load_table("ways_compared")
    assert len(rows) >= 10 and all(
        row[column].strip() for row in rows for column in ("subject", "four_wheels_down", "dolly", "trailer")
    )
