"""What lesson 05 says of the reader's own rig on a road: each sentence put together again here, from the
physics (tested by itself) with every figure of the made-up rig written out, or by hand.
"""

import math

import numpy as np
import pytest

from tests.limits.made import PAIR_KG, RIG, TOWED_KG, road, rolling
from tests.rigs import changed, without
from towlib.lessons.l05_brakes.own_brakes import own_brake_lines, runaway_lines
from towlib.limits.legs import drive_leg, pair_on_road
from towlib.limits.stopping_limits import stop_on, stopper, towed_brake_n
from towlib.physics.brakes.brake_fluid import FluidSide, fluid_along_c, heat_soak
from towlib.physics.brakes.stops import forces_while_stopping
from towlib.physics.drive.descent_map import descent_map
from towlib.physics.drive.runaway import runaway_speed
from towlib.rig.facts import Facts
from towlib.rig.model import load_rig
from towlib.units import number, show

G, DRAG_M2 = 9.80665, 1.4 + 0.6
RIG = changed(RIG, "tow_vehicle.brakes.caliper_conductance", 12.0)
NAN = math.nan
# up, down in two stretches, level: the steepest is neither the first nor the last of either way
ROAD = road((500, 0.06, NAN), (600, -0.05, 50.0), (900, -0.09), (300, 0.01), (300, -0.04, 40.0), (200, 0.02))


def stretch(leg):
    """Of the made-up road the one of 9 %: downhill out, and the one of 6 % back."""
    return min(leg.rows, key=lambda row: row.segment.mean_grade)


def lines_of(rig, *, way="out", route=ROAD, system="metric"):
    """What is said of one way."""
    lines = own_brake_lines(Facts(rig), route, system)
    at = lines.index("The way back:")
    assert lines[0] == "The way out:"
    return lines[1:at] if way == "out" else lines[at + 1 :]


WAYS = pytest.mark.parametrize("way", ["out", "back"])
SYSTEMS = pytest.mark.parametrize("system", ["metric", "us"])


@WAYS
@SYSTEMS
def test_temperatures_and_what_the_fluid_reaches(way, system):
    leg = drive_leg(Facts(RIG), ROAD, way)
    hot = [show(max(t[axle] for t in leg.journey.brake_c), "temperature", system) for axle in range(3)]
    said = lines_of(RIG, way=way, system=system)
    assert said[0] == f"Highest: front brakes {hot[0]}, rear brakes {hot[1]}, towed brakes {hot[2]}."
    discs, side = [t[0] for t in leg.journey.brake_c], FluidSide(from_disc_w_k=12.0)
    air = leg.air_c[: len(discs)]
    fluid = fluid_along_c(leg.journey.time_s, discs, air_c=air, start_c=leg.air_c[0], side=side)
    at = max(range(len(discs)), key=discs.__getitem__)
    soak = heat_soak(
        leg.pair.brakes[0],
        discs[at],
        fluid_c=fluid[at],
        air_c=air[at],
        side=side,
        air_density_kg_m3=leg.air_density_kg_m3[at],
    )
    told = show(soak.highest_fluid_c, "temperature", system)
    assert said[1] == (
        f"Stopped where they are hottest, the front fluid would reach about {told} (estimate)."
    )


FRONT, REAR, TOWED = (
    "tow_vehicle.brakes.front_heated_mass",
    "tow_vehicle.brakes.rear_heated_mass",
    "towed_vehicle.brake_heated_mass",
)
UNKNOWN = {
    FRONT: "front brakes not known (mass of both front discs or drums)",
    REAR: "rear brakes not known (mass of both rear discs or drums)",
    TOWED: "towed brakes not known (mass of all its discs and drums)",
}


@pytest.mark.parametrize("missing", [(FRONT,), (REAR,), (TOWED,), (FRONT, REAR, TOWED)])
def test_brakes_nobody_weighed_are_named_and_the_others_told(missing):
    rig = RIG
    for path in missing:
        rig = without(rig, path)
    head, *_ = lines_of(rig)
    names = dict(zip((FRONT, REAR, TOWED), ("front", "rear", "towed"), strict=True))
    each = head.removeprefix("Highest: ").removesuffix(".").split(", ")
    assert len(each) == 3
    for (path, name), words in zip(names.items(), each, strict=True):
        assert words == UNKNOWN[path] if path in missing else words.startswith(f"{name} brakes ")
        assert ("°C" in words) == (path not in missing)


@pytest.mark.parametrize("fitted", [False, None])
def test_a_towed_vehicle_without_brakes_has_none_to_be_hot(fitted):
    without_brakes = changed(RIG, "towed_vehicle.brakes_fitted", fitted)
    head, *_ = lines_of(without_brakes)
    assert "rear brakes" in head and "towed" not in head
    head, *_ = lines_of(without(without_brakes, REAR))  # the tow vehicle's own are asked for all the same
    assert UNKNOWN[REAR] in head


def test_without_front_brakes_no_fluid_is_told():
    assert not any("fluid" in line for line in lines_of(without(RIG, FRONT)))
    assert any("fluid" in line for line in lines_of(without(RIG, REAR)))


def _map(rig, way, descent_m_s):
    """The map of five speeds, two fifths to six fifths of the descent speed; gears held at 3 % and steeper;
    72 km/h or the road's limit; 80 % of 6000 rpm.
    """
    leg = drive_leg(Facts(rig), ROAD, way)
    kmh = np.where(np.isnan(leg.route.speed_limit_m_s), 72.0, leg.route.speed_limit_m_s * 3.6)
    speeds = [share * descent_m_s for share in (0.4, 0.6, 0.8, 1.0, 1.2)]
    found = descent_map(
        leg.pair,
        speeds,
        grade=leg.route.grade.tolist(),
        step_m=25.0,
        held=[grade <= -0.03 for grade in leg.route.grade],
        limit_m_s=(np.minimum(kmh, 72.0) / 3.6).tolist(),
        air_c=leg.air_c,
        air_density_kg_m3=leg.air_density_kg_m3,
        brake_start_c=leg.air_c[0],
        highest_rpm=4800.0,
        start_m_s=0.0,
        fluid=FluidSide(from_disc_w_k=12.0),
    )
    return speeds, found


@WAYS
@pytest.mark.parametrize("descent_m_s", [5.0, 15.0, 30.0])
def test_the_best_of_five_speeds_in_each_gear(way, descent_m_s):
    """At 30 m/s even two fifths turn the engine past 4800 rpm in first gear: 11 m/s."""
    rig = changed(RIG, "conditions.descent_speed", descent_m_s)
    speeds, found = _map(rig, way, descent_m_s)
    gears = []
    for gear, row in enumerate(found.hottest_c, start=1):
        known = [(float(c), v) for v, c in zip(speeds, row, strict=True) if not math.isnan(c)]
        if known:
            coolest_c, at = min(known)  # of speeds as cool the slowest
            words = f"{show(coolest_c, 'temperature', 'metric')} at {show(at, 'speed', 'metric', 2)}"
            gears.append(f"gear {gear} {words}")
        else:
            gears.append(f"gear {gear} turns the engine too fast")
    first, last = {5.0: ("7.2", "22"), 15.0: ("22", "65"), 30.0: ("43", "130")}[descent_m_s]
    assert lines_of(rig, way=way)[2] == (
        f"Hottest brake with one gear held on all downgrades, at the best of five speeds from {first} km/h to"
        f" {last} km/h: {'; '.join(gears)}."
    )
    assert len(gears) == 2 and gears[0].endswith("too fast") == (descent_m_s == 30.0)
    assert "too fast" not in gears[1]


@WAYS
@SYSTEMS
def test_brakes_gone_on_the_steepest_stretch(way, system):
    """Neutral by hand: the push of grade less rolling meets half rho CdA v². How far to half as fast again:
    v² closes in on that of the settled speed by exp(-rho CdA s / (1.05 m)).
    """
    leg = drive_leg(Facts(RIG), ROAD, way)
    grade, row = {"out": -0.09, "back": -0.06}[way], stretch(leg)
    rho = leg.air_density_kg_m3[0]
    cosine = 1 / math.hypot(1, grade)
    square = 2 * PAIR_KG[way] * G * cosine * (-grade - rolling(way)) / (rho * DRAG_M2)
    v = row.speed_m_s
    metres = 1.05 * PAIR_KG[way] / (rho * DRAG_M2) * math.log((square - v * v) / (square - 2.25 * v * v))
    held = runaway_speed(leg.pair, grade, gear=row.gear, air_density_kg_m3=rho)
    assert lines_of(RIG, way=way, system=system)[3] == (
        f"Brakes gone on the steepest {number(-100 * grade)} %: in gear {row.gear} it settles at"
        f" {show(held.speed_m_s, 'speed', system)} ({number(held.rpm, 2)} rpm), in neutral at"
        f" {show(math.sqrt(square), 'speed', system)}; {show(1.5 * v, 'speed', system)} after"
        f" {show(metres, 'length', system, 2)}."
    )


def test_the_gear_told_is_that_of_the_steepest_stretch_down():
    """At 29 km/h first gear holds it down 9 %; the climbs are driven in second."""
    slow = changed(RIG, "conditions.descent_speed", 8.0)
    gears = {round(row.segment.mean_grade, 2): row.gear for row in drive_leg(Facts(slow), ROAD, "out").rows}
    assert (gears[-0.09], gears[0.06]) == (1, 2)
    assert any("Brakes gone on the steepest 9 %: in gear 1 it" in line for line in lines_of(slow))


def test_a_pair_that_never_rolls_half_as_fast_again_is_told_no_distance():
    """With 60 m² it settles at sqrt(2 · 4070 · 9.8 · 0.0766 / (1.14 · 60)), some 9 m/s."""
    big = changed(RIG, "tow_vehicle.drag_area", 60.0)
    line = next(line for line in lines_of(big) if line.startswith("Brakes gone"))
    assert line.endswith("km/h.") and "after" not in line


@pytest.mark.parametrize(("name", "friction"), [("dry", 0.7), ("wet", 0.5)])
@WAYS
def test_a_stop_on_the_steepest_stretch(name, friction, way):
    """2.5 s of going on as before, then v² / 2a; the friction of a dry and of a wet road: the plan's own."""
    facts = Facts(RIG)
    leg = drive_leg(facts, ROAD, way)
    grade, v = {"out": -0.09, "back": -0.06}[way], stretch(leg).speed_m_s
    most = stop_on(facts, way, grade, friction)
    forces = forces_while_stopping(
        stopper(facts, way),
        most.deceleration_m_s2,
        grade=grade,
        towed_kg=TOWED_KG[way],
        towed_brake_n=towed_brake_n(facts, way, grade=grade, friction=friction),
        friction=friction,
    )
    metres = 2.5 * v + v * v / (2 * most.deceleration_m_s2)
    at = ("dry", "wet").index(name)
    assert lines_of(RIG, way=way)[4 + at] == (
        f"Stop on {number(-100 * grade)} % down from {show(v, 'speed')}, {name}:"
        f" {show(metres, 'length')}, set by the {most.set_by}; push on the ball"
        f" {show(forces.push_n, 'force')}."
    )
    assert len(lines_of(RIG, way=way)) == 6


def test_a_pair_that_stops_slowly_is_told_its_distance():
    """Less than 1 m/s² is left on 9 % down of what the tow vehicle's brakes give the pair."""
    weak = changed(RIG, "tow_vehicle.brakes.deceleration_alone", 2.2)
    weak = changed(weak, "towed_vehicle.brakes_fitted", False)
    assert 0 < stop_on(Facts(weak), "out", -0.09, 0.7).deceleration_m_s2 < 1
    assert all("set by the brakes" in line for line in lines_of(weak)[-2:])


def test_a_pair_that_does_not_stop_is_told_so_on_both_roads():
    weak = changed(RIG, "tow_vehicle.brakes.deceleration_alone", 0.6)  # less than g · 9 %
    said = lines_of(changed(weak, "towed_vehicle.brakes_fitted", False))
    assert said[-2:] == [f"Stop on 9 % down, {name}: the pair does not stop." for name in ("dry", "wet")]


@WAYS
def test_a_way_without_a_downgrade_says_so_once_for_each(way):
    said = lines_of(RIG, way=way, route=road((800, 0.0)))
    assert said[-2:] == [f"Not known: no downgrade on the way {way}."] * 2


def test_a_road_that_cannot_be_driven_names_what_is_missing_on_both_ways():
    rig = without(RIG, "tow_vehicle.engine.displacement")
    assert own_brake_lines(Facts(rig), ROAD, "metric") == [
        "The way out:",
        "Not known: swept volume.",
        "The way back:",
        "Not known: swept volume.",
    ]
    assert runaway_lines(Facts(rig), "metric") == ["Not known: swept volume."]


# ---- brakes gone on an even 7 % at 40 km/h, in air of 1 kg/m³ ----


def _settled(drag_m2=DRAG_M2):
    cosine = 1 / math.hypot(1, 0.07)
    return 2 * PAIR_KG["out"] * G * cosine * (0.07 - rolling("out")) / drag_m2


@SYSTEMS
def test_how_soon_it_runs_away_by_hand(system):
    square, v = _settled(), 40 / 3.6
    metres = 1.05 * PAIR_KG["out"] / DRAG_M2 * math.log((square - v * v) / (square - 4 * v * v))
    start, settles = {"metric": "40 km/h", "us": "25 mph"}[system], show(square**0.5, "speed", system, 2)
    assert runaway_lines(Facts(RIG), system)[0] == (
        f"Brakes gone on 7 % at {start}, in neutral: the pair is twice as fast after"
        f" {show(metres, 'length', system, 2)}, and would settle at {settles}."
    )


def test_against_much_air_it_is_never_twice_as_fast():
    big = changed(RIG, "tow_vehicle.drag_area", 19.4)
    assert runaway_lines(Facts(big), "metric")[0] == (
        "Brakes gone on 7 % at 40 km/h, in neutral: the pair is never twice as fast: it would settle at"
        f" {show(math.sqrt(_settled(20.0)), 'speed', 'metric', 2)}."
    )


@pytest.mark.parametrize(
    ("ratios", "told"),
    [((4.0,), 1), ((4.0, 2.0), 2), ((4.0, 2.0, 1.4), 3), ((4.0, 2.0, 1.4, 1.0), 3)],
)
def test_the_first_three_gears_are_told_or_as_many_as_there_are(ratios, told):
    """With a final drive of 12 first gear settles below 10 km/h, and is told to a tenth."""
    rig = changed(changed(RIG, "tow_vehicle.gearbox.ratios", ratios), "tow_vehicle.gearbox.final_drive", 12.0)
    pair = pair_on_road(Facts(rig), "out")
    speeds = [runaway_speed(pair, -0.07, gear=g, air_density_kg_m3=1.0).speed_m_s for g in range(1, told + 1)]
    gears = "; ".join(f"in gear {g} at {show(v, 'speed', 'us', 2)}" for g, v in enumerate(speeds, start=1))
    assert runaway_lines(Facts(rig), "us")[1] == f"With the engine holding back it settles {gears}."
    assert "." in gears.split(" mph")[0]


def test_an_automatic_of_many_gears_is_told_three():
    said = runaway_lines(Facts(load_rig("data/rigs/demo_comfortable.toml")), "metric")[1]
    assert said.count("in gear") == 3
