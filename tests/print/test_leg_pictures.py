"""The road picture and its sentence tell the plan's own numbers."""

import pytest

from towlib.plan.trip import make_plan
from towlib.print.leg_pictures import road_picture, road_picture_words
from towlib.rig.model import load_rig
from towlib.road.route import load_route
from towlib.units import show


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


def test_unknown_brakes_are_said_not_drawn():
    rig = load_rig("data/rigs/demo_overloaded.toml")
    brakes = rig.tow_vehicle.brakes.model_copy(update={"front_heated_mass": None})
    rig = rig.model_copy(update={"tow_vehicle": rig.tow_vehicle.model_copy(update={"brakes": brakes})})
    words = road_picture_words(make_plan(rig, load_route("data/routes/short_steep_pass.csv")), "metric")
    assert "front brakes to not known" in words
