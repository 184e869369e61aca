"""Lesson 05: the reader's own lines, and the panels by hand."""

import math
import re
from math import radians

import numpy as np
import pytest

from towlib.lessons.l05_brakes import brake_road, gear_speed_map, own_brakes, stopping_pictures
from towlib.lessons.l05_brakes import descent_budget as brake_heat
from towlib.limits.stopping_limits import steepest_down, stop_on
from towlib.physics.brakes.brake_fluid import heat_soak
from towlib.physics.drive.journey import allowed_speeds_m_s, drive
from towlib.rig.facts import Facts
from towlib.rig.model import load_rig
from towlib.road.route import load_route

RIGS = {name: load_rig(f"data/rigs/{name}.toml") for name in ("demo_comfortable", "demo_overloaded")}
ROAD = load_route("data/routes/short_steep_pass.csv")


def _changed(rig, part, **change):
    return rig.model_copy(update={part: getattr(rig, part).model_copy(update=change)})


def test_own_lines_name_what_is_missing():
    lines = "\n".join(own_brakes.own_brake_lines(Facts(RIGS["demo_overloaded"]), ROAD, "us"))
    assert (
        "not known: tow_vehicle.brakes.deceleration_alone" in lines
        and "nan" not in lines
        and "gear 6" in lines
    )
    rig = RIGS["demo_comfortable"]
    bare = rig.model_copy(
        update={
            "tow_vehicle": _changed(rig.tow_vehicle, "brakes", front_heated_mass=None, rear_heated_mass=None)
        }
    )
    lines = "\n".join(own_brakes.own_brake_lines(Facts(bare), ROAD, "metric"))
    assert "Front brakes: not known (tow_vehicle.brakes.front_heated_mass)" in lines and "Stop on" in lines


def test_own_stop_by_hand():
    # way out: 2,350 + 13 + 325 = 2,688 kg and 1,460 + 13 + 60 = 1,533 kg on the steepest 200 m; the words
    # must hold the distance of that deceleration
    facts = Facts(RIGS["demo_comfortable"])
    lines = own_brakes.own_brake_lines(facts, ROAD, "metric")
    dry = next(line for line in lines if "dry" in line)
    grade = steepest_down(ROAD, "out")
    most = stop_on(facts, "out", grade)
    speed = float(re.search(r"from ([\d.]+) km/h", dry)[1]) / 3.6
    distance = float(re.search(r"dry: ([\d.]+) m", dry)[1])
    assert distance == pytest.approx(2.5 * speed + speed**2 / 2 / most.deceleration_m_s2, rel=0.01)
    assert most.brakes_m_s2 == pytest.approx(
        7.5 * 2688 / 4221 - 9.80665 * -grade / math.sqrt(1 + grade**2), rel=1e-9
    )


def test_the_road_panel_in_longer_steps_says_the_same():
    # the same stretch, driven in the grid's own 25 m
    summit = int(ROAD.elevation_m.argmax())
    summit += (len(ROAD.grade) - summit) % 2
    panel = brake_road.along_the_road(
        descent_speed_m_s=40 / 3.6, gear="3", air_temperature_c=30.0, towed_kg=1600.0, towed_brakes=False
    )
    road = brake_road.demo_descent()
    air, density = brake_road._air(30.0)
    gears, wanted = [0] * len(road.grade), list(road.limit_m_s)
    for first, last, _, fastest in road.stretches:
        gears[first:last] = [3] * (last - first)
        wanted[first:last] = [min(v, fastest, 40 / 3.6) for v in wanted[first:last]]
    square = np.array(allowed_speeds_m_s(wanted, step_m=50.0)) ** 2
    fine = np.sqrt(
        np.interp(np.arange(1, 2 * len(square) + 1) / 2, np.arange(len(square) + 1), [square[0], *square])
    )
    trip = drive(
        brake_heat.pair_with(1600.0),
        step_m=25.0,
        grade=ROAD.grade[summit:].tolist(),
        target_m_s=fine.tolist(),
        descent_gear=np.repeat(gears, 2).tolist(),
        air_c=np.repeat(air, 2).tolist(),
        air_density_kg_m3=np.repeat(density, 2).tolist(),
        brake_start_c=(air[0],) * 3,
        coolant_start_c=90.0,
    )
    assert panel.hottest[0] == pytest.approx(max(t[0] for t in trip.brake_c), abs=1.0)


def test_the_fluid_table_agrees_with_the_soak_itself():
    front = brake_heat.demo_pair().brakes[0]
    for disc, fluid in ((180, 60), (350, 130), (520, 90), (610, 210)):
        itself = heat_soak(front, disc, fluid_c=fluid, air_c=30.0).highest_fluid_c
        assert float(
            gear_speed_map.highest_fluid_after_stop_c(np.array(disc), np.array(fluid))
        ) == pytest.approx(itself, abs=3.0)


def test_budget_panel_refuses_an_engine_past_its_redline():
    with pytest.raises(ValueError, match="redline"):
        brake_heat.energy_budget(
            height_lost_m=400, downgrade=0.07, speed_m_s=25, gear="1", towed_kg=1600, towed_brakes=False
        )


def test_stop_panel_by_hand():
    # wagon 1,832.5 + 9.5 + people and cargo; level, dry, no brakes behind: a = 7·m1/(m1 + m2), d = 1.5 v +
    # v²/2a
    tow = stopping_pictures.demo_stopper()
    m1 = tow.front_kg + tow.rear_kg
    found = stopping_pictures.stop(
        speed_m_s=20,
        tow_deceleration_m_s2=7.0,
        bar_slope_rad=0,
        articulation_rad=0,
        towed_kg=1600,
        towed_deceleration_m_s2=0,
        downgrade=0.0,
        road="dry, gripping 1.0",
    )
    a = 7 * m1 / (m1 + 1600)
    assert (
        dict(found.distances_m)["pair as set"]
        == pytest.approx(30 + 400 / 2 / a)
        == dict(found.distances_m)["pair, no brakes behind"]
    )
    assert found.forces.push_n == pytest.approx(1600 * a)
    hopeless = stopping_pictures.stop(
        speed_m_s=20,
        tow_deceleration_m_s2=3.0,
        bar_slope_rad=radians(-10),
        articulation_rad=0,
        towed_kg=2200,
        towed_deceleration_m_s2=0,
        downgrade=0.15,
        road="wet, sliding 0.5",
    )
    assert "stop" in stopping_pictures.stop_words(hopeless, "metric") and math.isfinite(
        hopeless.forces.push_n
    )
