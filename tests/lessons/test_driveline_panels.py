"""Lesson 09: what its panels compute, by hand."""

import math

import pytest

from towlib.lessons.l09_driveline import driveline_panels, driveline_pictures, steering_panels

START = {
    "transfer_case": "part-time",
    "position": "neutral",
    "low_range": False,
    "gearbox": "manual, in gear",
    "front_hubs": "fixed",
    "shafts": "both in",
    "locks": "both open",
    "lifted": "none",
    "final_drive": "4.1",
    "tight_turn": False,
    "speed_m_s": 25.0,
}


def test_choices_reach_the_layout():
    found = driveline_panels.turning(
        **START
        | {
            "shafts": "rear out",
            "locks": "front locked",
            "lifted": "rear axle",
            "gearbox": "automatic, park",
        }
    ).layout
    assert (
        found.rear_shaft_in,
        found.front_shaft_in,
        found.front_locked,
        found.rear_locked,
        found.lifted_axle,
        found.gearbox,
        found.gear,
    ) == (False, True, True, False, "rear", "automatic", "park")
    assert driveline_panels.turning(**START | {"shafts": "both out"}).layout.front_shaft_in is False


def test_sentences():
    words = driveline_panels.turning_words(driveline_panels.turning(**START), "metric")
    assert words.startswith(
        "At 90 km/h rear shaft and front shaft turn at 2,797 rpm; gearbox and engine stand."
    )
    towed = driveline_panels.turning_words(
        driveline_panels.turning(**START | {"position": "rear only"}), "us"
    )
    assert "THE ROAD TURNS THE ENGINE, at 2,797 rpm" in towed and "55.9 mph" in towed
    assert "A tyre skids" in driveline_panels.turning_words(
        driveline_panels.turning(**START | {"locks": "rear locked", "tight_turn": True}), "metric"
    )


def test_every_part_has_its_place_in_the_picture():
    for case in ("none", "part-time", "full-time", "independent outputs"):
        parts = set(
            driveline_pictures.parts_of(driveline_panels.turning(**START | {"transfer_case": case}).layout)
        )
        assert parts <= set(driveline_pictures.BOXES) | set(driveline_pictures.LINES)


@pytest.mark.parametrize(
    ("choices", "closed"),
    [
        ({}, {"gearbox"}),
        ({"position": "both"}, {"gearbox", "to the rear", "to the front"}),
        ({"position": "neutral, outputs joined"}, {"gearbox", "outputs"}),
        ({"transfer_case": "full-time", "position": "both"}, {"gearbox", "to the rear", "outputs"}),
        ({"gearbox": "automatic, neutral"}, set()),
    ],
)
def test_couplings_are_drawn_closed_when_they_are(choices, closed):
    drawn = driveline_pictures.DrivelineDrawing._closed(driveline_panels.turning(**START | choices))
    assert drawn & {"gearbox", "to the rear", "to the front", "outputs"} == closed
    free = driveline_pictures.DrivelineDrawing._closed(
        driveline_panels.turning(**START | choices | {"front_hubs": "one side open"})
    )
    assert drawn - free == {"front right hub"}


def test_comparison_by_hand():
    found = driveline_panels.comparison(
        gearbox="manual", final_drive="4.1", gear_ratio="3.90", tyre_radius_m=0.35, speed_m_s=25.0
    )
    engine = [way.turning.motion.rpm["engine"] for way in found.procedures]
    assert engine[:4] == [0, 0, 0, 0] and engine[4] == pytest.approx(
        25 * 60 / (2 * math.pi * 0.35) * 4.1 * 3.9
    )
    assert "rear shaft" not in found.procedures[2].turning.motion.rpm


def test_steering_by_hand():
    found = steering_panels.steering(
        toe_rad=math.radians(1),
        side_force_per_degree_n=500.0,
        castor_rad=math.radians(5),
        friction_n_m=30.0,
        backwards=False,
    )
    assert found.drag_n == pytest.approx(
        2 * 500 * math.sin(math.radians(1))
    ) and found.sideways_m == pytest.approx(1000 * math.sin(math.radians(1)))
    trail = 0.35 * math.tan(math.radians(5)) + 0.025
    assert found.trail_m == pytest.approx(trail) and math.degrees(found.left_over_rad) == pytest.approx(
        30 / (2 * 500 * trail)
    )
    back = steering_panels.steering(
        toe_rad=0.0,
        side_force_per_degree_n=500.0,
        castor_rad=math.radians(5),
        friction_n_m=30.0,
        backwards=True,
    )
    assert back.left_over_rad == math.inf and "BACKWARDS" in steering_panels.steering_words(back, "metric")


def test_locked_steering_by_hand():
    found = steering_panels.locked_steering(
        turn_radius_m=50.0, front_axle_kg=800.0, side_force_per_degree_n=500.0, grip_share=0.8
    )
    front = 2 * 500 * math.degrees(math.atan(2.36 / 50))
    assert found.front_n == pytest.approx(front)
    # moments about the rear axle: the ball stands 0.48 + 1.50 m ahead of the front axle
    assert found.ball_n * (2.36 + 1.98) == pytest.approx(front * 2.36)
