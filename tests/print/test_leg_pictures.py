"""The road picture and its sentence tell the plan's own numbers: of a plan made by hand, each curve by hand;
of a real one, that everything lies inside the frames.
"""

import math
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from tests.plans import plan_of
from tests.rigs import without
from towlib.draw.figures import series_style
from towlib.plan.trip import make_plan
from towlib.print.leg_pictures import road_picture, road_picture_svg, road_picture_words
from towlib.rig.model import load_rig
from towlib.road.route import Route, load_route
from towlib.units import show

NAN = math.nan


@pytest.fixture(scope="module")
def plan():
    return make_plan(
        load_rig("data/rigs/demo_overloaded.toml"), load_route("data/routes/short_steep_pass.csv")
    )


@pytest.mark.parametrize("system", ["metric", "us"])
def test_words_name_the_hottest_of_the_plan(plan, system):
    words = road_picture_words(plan, system)
    for leg in plan.legs:
        assert show(max(t[0] for t in leg.journey.brake_c), "temperature", system) in words
    assert show(plan.route.summit_m, "height", system) in words and words.endswith(".")


def test_curves_lie_inside_the_frames(plan):
    picture = road_picture(plan, "metric")
    for axes, artists in picture._moving.values():
        (left, right), (low, high) = axes.get_xlim(), axes.get_ylim()
        for artist in artists:
            x, y = artist.get_data()
            assert min(x, default=left) >= left and max(x, default=right) <= right + 1e-9
            assert min(y, default=low) >= low and max(y, default=high) <= high


def test_it_is_as_broad_and_low_as_the_sheet_has_room_for(plan):
    """10 in by 1.65 in, of 72 points each."""
    assert 'width="720pt" height="118.8pt"' in road_picture_svg(plan, "metric")
    assert len(road_picture(plan, "metric").figure.axes) == 2  # a frame for each way


def test_unknown_brakes_are_said_not_drawn():
    rig = without(load_rig("data/rigs/demo_overloaded.toml"), "tow_vehicle.brakes.front_heated_mass")
    words = road_picture_words(make_plan(rig, load_route("data/routes/short_steep_pass.csv")), "metric")
    assert "front brakes to not known" in words


# ---- a plan made by hand: 2 km over a summit out, and back ----

ROAD = Route(
    "A made road",
    "made.csv",
    np.array([0.0, 1000.0, 2000.0]),
    np.array([300.0, 500.0, 400.0]),
    np.array([0.2, -0.1]),
    np.array([NAN, NAN]),
)
FRONT, REAR, COOLANT = [20.0, 60.0, 200.0], [NAN, 70.0, 150.0], [80.0, 95.0, NAN]


def leg(way, *, front=FRONT, rear=REAR, coolant=COOLANT, route=ROAD):
    journey = SimpleNamespace(
        distance_m=[0.0, 1000.0, 2000.0][: len(coolant)],
        brake_c=list(zip(front, rear, strict=True)),
        coolant_c=coolant,
    )
    return SimpleNamespace(way=way, route=route, journey=journey)


def drawn(name, *legs, system="metric"):
    """Frame, places and looks of a curve of the picture."""
    picture = road_picture(plan_of(legs=legs, route=ROAD), system)
    axes, (line,) = picture._moving[name]
    return axes, [float(x) for x in line.get_xdata()], [float(y) for y in line.get_ydata()], line


def test_a_way_has_its_frame():
    """200 °C and 15 % are 230: the next round number is 250, as `round_up` has them."""
    for number, way in enumerate(("out", "back")):
        axes, *_ = drawn(f"coolant {number}", leg("out"), leg("back"))
        assert (axes.get_xlim(), axes.get_ylim()) == ((0.0, 2.0), (0.0, 250.0))
        assert axes.get_xlabel() == "distance [km]"
        assert axes.get_ylabel() == "temperature [°C]" or number == 1
        assert f"Way {way}" in axes.get_title() + axes.get_title(loc="left")


@pytest.mark.parametrize(("hottest", "top"), [(90.0, 150.0), (130.0, 150.0), (131.0, 200.0), (260.0, 300.0)])
def test_the_frame_is_as_high_as_the_hottest_asks(hottest, top):
    """At least for 120 °C: 138 and so 150; 130 and 15 % are 149.5, 131 are 150.65, 260 are 299."""
    axes, *_ = drawn("coolant 0", leg("out", front=[hottest] * 3, rear=[20.0] * 3))
    assert axes.get_ylim() == (0.0, top)


@pytest.mark.parametrize(("system", "top"), [("metric", 150.0), ("us", 300.0)])
def test_a_cool_drive_has_the_frame_of_120_degrees(system, top):
    """138 °C; 248 °F and 15 % are 285."""
    cool = leg("out", front=[20.0] * 3, rear=[20.0] * 3, coolant=[80.0] * 3)
    axes, *_ = drawn("coolant 0", cool, system=system)
    assert axes.get_ylim() == (0.0, top)


def test_each_curve_is_its_own_column_where_it_begins_known():
    ways = leg("out", rear=[30.0, 70.0, 150.0]), leg("back", front=[NAN, NAN, NAN], rear=[31.0, 1.0, 2.0])
    for name, expected, style in (
        ("front brakes 0", FRONT, 1),
        ("rear brakes 0", [30.0, 70.0, 150.0], 2),
        ("coolant 0", [80.0, 95.0, NAN], 0),
        ("rear brakes 1", [31.0, 1.0, 2.0], 2),
    ):
        _, x, y, line = drawn(name, *ways)
        assert x == [0.0, 1.0, 2.0] and y == pytest.approx(expected, nan_ok=True), name
        look = series_style(style)
        assert (line.get_color(), line.get_linestyle()) == (look[0], look[1]), name
    assert drawn("front brakes 1", *ways)[1:3] == ([], [])
    assert drawn("rear brakes 0", leg("out"))[1:3] == ([], [])  # not known where it begins
    late = leg("out", front=[20.0, NAN, NAN])  # known where it begins
    assert drawn("front brakes 0", late)[2] == pytest.approx([20.0, NAN, NAN], nan_ok=True)
    nowhere = leg("out", front=[], rear=[], coolant=[])
    assert drawn("coolant 0", nowhere)[1:3] == ([], [])


def test_curves_in_american_units():
    """2 km are 1.2427 miles; 20, 60 and 200 °C are 68, 140 and 392 °F."""
    _, x, y, _ = drawn("front brakes 0", leg("out"), system="us")
    assert x == pytest.approx([0.0, 0.62137, 1.24274], abs=1e-5)
    assert y == pytest.approx([68.0, 140.0, 392.0])


def test_the_profile_lies_along_the_foot():
    """From 4 to 26 % of the frame's height of 250; a level road at 4 %."""
    _, x, y, _ = drawn("profile 0", leg("out"))
    assert x == [0.0, 1.0, 2.0] and y == pytest.approx([10.0, 65.0, 37.5])
    level = replace(ROAD, elevation_m=np.array([300.0, 300.0, 300.0]))
    _, _, y, _ = drawn("profile 0", leg("out", route=level))
    assert y == pytest.approx([10.0, 10.0, 10.0])


def test_the_sentence_by_hand():
    """The hottest of what is known on each way; lowest and highest of the road."""
    back = leg("back", front=[NAN, 30.0, 25.0], coolant=[NAN, NAN, NAN])
    assert road_picture_words(plan_of(legs=(leg("out"), back), route=ROAD), "metric") == (
        "Temperatures along the road; way out: front brakes to 200 °C, coolant to 95 °C; way back: front"
        " brakes to 30 °C, coolant to not known. Long dashes: front; dash-dot: rear brakes; solid: coolant;"
        " short dashes: profile, 300 m to 500 m."
    )
