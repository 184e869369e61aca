"""What the panels of lesson 10 show: by hand where a hand can, and the same as the library elsewhere."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.rigs import method_limits
from towlib.handbook.breakage_table import breakages
from towlib.handbook.tables import load_table
from towlib.lessons.declare import with_values
from towlib.lessons.index import panel_of
from towlib.lessons.l10_ways import way_breakages, way_costs, way_turns, ways
from towlib.lessons.l10_ways.way_costs import apart
from towlib.lessons.slider_rows import load_panel
from towlib.limits.decision import answer
from towlib.limits.turning_limits import tightest_circle
from towlib.physics.costs.owning_costs import cost_of_trips
from towlib.plan.other_ways import METHODS
from towlib.rig.facts import Facts
from towlib.teaching.panel import rig_in_use
from towlib.teaching.panel.panel_state import PanelState

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


COMFORTABLE, OVERLOADED = rig_in_use.invented("demo_comfortable"), rig_in_use.invented("demo_overloaded")
# two people and cargo of 325 kg together over the rear axle, and a lighter towed vehicle, on the comfortable
# rig
LOADED = {
    "carried.tow.mass": 325.0,
    "carried.tow.place": 3.61,
    "towed_vehicle.mass": 1520.0,
    "other_ways.dolly_mass": 320.0,
    "other_ways.dolly_ball_load": 58.0,
    "other_ways.trailer_mass": 850.0,
}


def _limits(rig, **values):
    facts = with_values(Facts(rig), LOADED | values)
    return [{limit.key: limit for limit in limits} for limits in ways.weights(facts).limits]


def test_weights_by_hand():
    flat, dolly, trailer = _limits(COMFORTABLE)
    # half a bar of 26 kg on either end; 12 % of 1520 + 850 kg is 284.4
    assert [one["tow_rating"].demand for one in (flat, dolly, trailer)] == pytest.approx(
        [1520 + 13, 1840, 2370]
    )
    assert [one["tow_rating"].capacity for one in (flat, dolly, trailer)] == [2130, 4120, 4120]
    assert [one["payload"].demand for one in (flat, dolly, trailer)] == pytest.approx([338, 383, 609.4])
    assert [one["standing_ball_load"].demand for one in (flat, dolly, trailer)] == pytest.approx(
        [13, 58, 284.4]
    )
    # everything stands over the rear axle, the ball 1.27 m behind it on a wheelbase of 3.61 m
    assert [one["tow_rear_gawr"].demand for one in (flat, dolly, trailer)] == pytest.approx(
        [1060 + 325 + ball * (1 + 1.27 / 3.61) for ball in (13, 58, 284.4)]
    )
    # the tow vehicle is 1310 + 1060 kg empty
    assert [one["gcwr"].demand for one in (flat, dolly, trailer)] == pytest.approx(
        [2370 + 325 + 1520 + 26, 2370 + 325 + 1840, 2370 + 325 + 2370]
    )


def test_the_panel_and_the_plan_ask_the_same():
    for rig in (COMFORTABLE, OVERLOADED):
        facts = Facts(rig)
        for method, limits in zip(METHODS, ways.weights(facts).limits, strict=True):
            of_plan = {limit.key: limit for limit in method_limits(facts, ways.carrier(facts), method)}
            assert all(of_plan[limit.key] == limit for limit in limits)
            asked = [answer(rule, facts) for rule in ways.rules_of_way(method)]
            assert asked == list(of_plan.values())


def test_brakes_and_vehicle_matter():
    unbraked = _limits(COMFORTABLE, **{"other_ways.trailer_brakes": False})[2]["tow_rating"]
    assert unbraked.answer == "over" and unbraked.demand - unbraked.capacity == pytest.approx(2370 - 2130)
    wagon = ways.weights(Facts(OVERLOADED))
    assert [sum(limit.answer == "over" for limit in limits) for limits in wagon.limits] == [3, 6, 7]
    words = ways.weights_words(wagon, "metric")
    assert "7 of 8 over" in words and "Receiver, vertical" in words


def test_what_a_rig_does_not_say_is_not_known():
    bare = COMFORTABLE.model_copy(
        update={
            "other_ways": COMFORTABLE.other_ways.model_copy(update={"dolly_mass": None}),
            "tow_vehicle": COMFORTABLE.tow_vehicle.model_copy(update={"gcwr": None}),
        }
    )
    words = ways.weights_words(ways.weights(Facts(bare)), "us")
    assert words.count("not known") == 3 and "other_ways" not in words
    lines = ways.ways_of_rig(bare, None, "metric")
    assert len(lines) == 4 and "not known" in lines[1] and not any("dolly_mass" in line for line in lines)


def test_place_on_the_trailer_by_moments():
    # with the same share of its own weight on the empty tongue, the vehicle stands share · length ahead
    assert "0.528 m ahead" in ways.ways_of_rig(COMFORTABLE, None, "metric")[-1]  # 12 % of 4.40 m
    for share, _, ahead in ways.places_on_example_trailer():
        metres = float(ahead.split(" m", 1)[0])
        tongue = 60 + 1500 * metres / 4.5
        assert tongue / 2200 == pytest.approx(float(share.split()[0]) / 100, abs=0.001)


def _costs(rig=COMFORTABLE, **other):
    return way_costs.costs(Facts(rig), **PRICES | other)


def test_costs_by_hand():
    # bar: 60 % of 1,200 gone and 2 % a year for 8 years; the energy of 500 km with 3,000 m of climbs at 85
    # km/h
    # in air of 1.10; what hangs behind is 780 + 690 + 60 kg and half a bar of 26 kg
    result = _costs()

    def litres(kg, rolling, area):
        work_j = kg * 9.80665 * (rolling * 500e3 + 3000) + 0.5 * 1.1 * area * (85 / 3.6) ** 2 * 500e3
        return work_j / (0.40 * 0.85) / 32e6

    assert result.middle[0] == pytest.approx(
        (0.6 * 1200 + 8 * 0.02 * 1200, litres(1543, 0.015, 0.60) * 1.60 + 800 * 500 / 60000)
    )
    # on the dolly of 310 kg the rear wheels stay on the road: 690 kg and 60 kg at 2.3 m of a wheelbase of
    # 2.29 m
    rear = 690 + 60 * 2.3 / 2.29
    rolling = (0.015 * rear + 0.010 * (1840 - rear)) / 1840
    assert result.middle[1].per_trip == pytest.approx(litres(1840, rolling, 0.60) * 1.60 + 400 * 500 / 60000)
    assert result.middle[2].per_trip == pytest.approx(litres(1530 + 760, 0.010, 0.90) * 1.60)
    assert result.middle[1].fixed == pytest.approx(0.6 * 1800 + 8 * 0.06 * 1800) and result.middle[
        2
    ].fixed == pytest.approx(4000 * (0.6 + 0.48))
    hired = _costs(dolly_and_trailer="hired")
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
    result = _costs(
        bar_price=bar,
        dolly_price=dolly,
        trailer_price=trailer,
        dolly_hire=hires[0],
        trailer_hire=hires[1],
        dolly_and_trailer="bought" if bought else "hired",
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
    # cheap trailer, dear bar, dearer dolly: fixed 864, 3,040 and 5,400; then the differences over those of a
    # trip
    result = _costs(trailer_price=800, bar_price=4000, dolly_price=5000)
    bar, dolly, trailer = (cost.per_trip for cost in result.middle)
    assert [cost.fixed for cost in result.middle] == pytest.approx([3040, 5400, 864])
    assert [change.way for change in result.changes] == [2, 0, 1]
    assert [change.trips for change in result.changes] == pytest.approx(
        [0, (3040 - 864) / (trailer - bar), (5400 - 3040) / (bar - dolly)]
    )


def test_words_of_costs():
    hired = way_costs.costs_words(_costs(dolly_and_trailer="hired"), "us")
    # 912 over the difference of a trip, with 20 % either way on both
    trip = [cost.per_trip for cost in _costs(dolly_and_trailer="hired").middle]
    may_be, middle, surely = (
        912 * up / (trip[1] * down - trip[0] * up) for up, down in ((0.8, 1.2), (1.0, 1.0), (1.2, 0.8))
    )
    assert (
        f"dolly costs least at first, from {middle:.2g} trips ({may_be:.2g} to {surely:.2g}) four wheels down"
        in hired
    )
    assert "do not overlap" in hired
    assert 0.5 < may_be / middle < 0.7 and 1.6 < surely / middle < 2.0  # as the prediction says
    assert way_costs.costs_words(_costs(trips_per_year=1, years=1), "us").startswith("After 1 trip, ")
    assert "too close to call" in way_costs.costs_words(_costs(), "metric")


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


# 1.02 + 0.48 + 2.42 = 3.92 m from the ball to the towed rear axle: the published case of check_values
SIZES = {
    "tow_vehicle.wheelbase": 3.3,
    "tow_vehicle.ball_behind_rear_axle": 1.3,
    "tow_bar.length": 1.02,
    "towed_vehicle.bracket_ahead_of_front_axle": 0.48,
    "towed_vehicle.wheelbase": 2.42,
    "other_ways.trailer_length": 3.92,
}


def _turns(front_radius_m=12.0, **other):
    return way_turns.turns(with_values(Facts(COMFORTABLE), SIZES | other), front_radius_m=front_radius_m)


def test_turns():
    flat, dolly, trailer = _turns().turns
    assert flat.circle.axles_m[-1] == pytest.approx(10.9286, abs=5e-5) and math.degrees(
        flat.circle.angles_rad[0]
    ) == pytest.approx(26.161, abs=5e-4)
    assert (
        trailer.circle.axles_m == flat.circle.axles_m
        and trailer.swept.width_m > flat.swept.width_m > dolly.swept.width_m
    )  # a trailer is wider
    # the dolly's axle runs on sqrt(R² - 1.90²) of its hinge, the vehicle's on sqrt(R² - 2.42²) of that
    rear = 12.0**2 - 3.3**2
    assert dolly.circle.axles_m[-1] == pytest.approx(math.sqrt(rear + 1.3**2 - 1.9**2 - 2.42**2))
    tight = _turns(5.0, **{"other_ways.trailer_length": 6.0})
    assert (
        tight.turns[2].circle is None
        and "too tight" in tight.turns[2].why
        and "too tight, it folds up" in way_turns.turns_words(tight, "metric")
    )
    sharp = _turns(5.9)
    assert "Sharper than 60°" in way_turns.turns_words(
        sharp, "us"
    ) and "Sharper" not in way_turns.turns_words(_turns(), "us")
    assert "Sharper than 20°" in way_turns.turns_words(
        _turns(**{"safety_chains.greatest_articulation": math.radians(20.0)}), "us"
    )


def test_the_panel_turns_as_the_plan_does():
    facts = Facts(OVERLOADED)
    circle = tightest_circle(facts)
    turn = way_turns.turns(facts, front_radius_m=circle.front_m).turns[0]
    assert turn.circle.axles_m == pytest.approx((circle.rear_m, circle.towed_rear_m))
    assert turn.circle.angles_rad[0] == pytest.approx(circle.articulation_rad)


@pytest.mark.parametrize("rig", [COMFORTABLE, OVERLOADED], ids=["comfortable", "overloaded"])
def test_the_dolly_cuts_in_least_as_the_prediction_says(rig):
    for radius in (8.0, 12.0, 20.0):
        axles = [turn.circle.axles_m[-1] for turn in way_turns.turns(Facts(rig), front_radius_m=radius).turns]
        assert max(axles) == axles[1]
    balls = [
        limits[-1].demand for limits in ways.weights(Facts(rig)).limits
    ]  # and the trailer presses the ball hardest
    assert max(balls) == balls[2]


def test_what_is_drawn_follows_the_hinges():
    state = PanelState(
        load_panel("10_ways_to_tow", "turning"),
        panel_of("10_ways_to_tow", "turning"),
        rig_in_use.invented,
    )
    parts, turn = state.picture._moving, state.result.turns[1]
    ends = [
        parts[f"link 1 {k}"][1][0].get_xydata() + [turn.circle.axles_m[0], 0.0] for k in (0, 1)
    ]  # counted from the middle of the turn
    assert math.hypot(*ends[0][0]) == pytest.approx(turn.circle.hinges_m[0]) and math.dist(
        *ends[0]
    ) == pytest.approx(1.90)  # the rig's dolly, coupler to axle
    assert tuple(ends[1][0]) == pytest.approx(tuple(ends[0][1])) and math.dist(*ends[1]) == pytest.approx(
        2.29
    )  # the second hangs on the first, as long as the towed wheelbase
    assert math.hypot(*ends[1][1]) == pytest.approx(turn.circle.axles_m[2])
    tangent = ends[1][0] - ends[1][1]
    assert abs(tangent @ ends[1][1]) < 1e-9  # an axle rolls square to its radius


def test_every_breakage_has_a_picture_and_a_sentence():
    panel = load_panel("10_ways_to_tow", "breakage")
    assert panel.sliders[0].options == tuple(one.title for one in breakages())
    state = PanelState(panel, panel_of("10_ways_to_tow", "breakage"), rig_in_use.invented)
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
        way_breakages.broken(Facts(COMFORTABLE), breakage="a flat wallet")


def test_the_breakage_picture_is_drawn_to_the_rig():
    sizes = way_breakages.sizes_of(Facts(COMFORTABLE))
    body = way_breakages._towed_body(sizes)
    assert min(x for x, _ in body) == pytest.approx(-2.29 - 0.50) and max(
        x for x, _ in body
    ) == pytest.approx(0.42)
    assert max(y for _, y in body) == pytest.approx(1.68)
    assert sizes.balls_ahead[0] == pytest.approx(0.48 + 1.50)
    # the trailer's axles stand 12 % of 4.40 m behind the empty vehicle's centre
    assert sizes.trailer_axle == pytest.approx(-2.29 * 690 / 1470 - 0.12 * 4.40)
    assert sizes.deck[1] - sizes.deck[0] == pytest.approx(4.90)
    tow = way_breakages._tow_body(sizes)
    assert min(x for x, _ in tow) == pytest.approx(-1.05) and max(x for x, _ in tow) == pytest.approx(
        3.61 + 0.85
    )


def test_what_one_should_have_seen_tells_the_tables_counts():
    words = way_breakages.broken_seen(Facts(COMFORTABLE), "metric")
    for column, method in enumerate(METHODS):
        count = [one.ways[column].answer for one in breakages()].count
        assert (
            f"{method} works at once with {count('works')}, after some work with {count('works after')}"
            in words
        )
    assert len(way_breakages.answers_of_all()) == len(breakages())


def test_the_comparison_has_a_word_for_each_way():
    rows = load_table("ways_compared")
    assert len(rows) >= 10 and all(
        row[column].strip() for row in rows for column in ("subject", "four_wheels_down", "dolly", "trailer")
    )
