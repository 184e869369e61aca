"""The road driven: segments add up, the driver keeps to limits, brakes by a second integration; and the
pair, the air, the driver and the rows of a made-up rig by hand.
"""

import math
from dataclasses import FrozenInstanceError

import numpy as np
import pytest

from tests.limits.made import (
    PAIR_KG,
    RIG,
    TOW_FRONT_KG,
    TOW_KG,
    TOW_REAR_KG,
    G,
    gagg_ferrar,
    isa_density,
    road,
    rolling,
)
from tests.rigs import changed, without
from towlib.limits.legs import (
    SteadyClimb,
    climb_grade,
    drive_leg,
    driver,
    pair_on_road,
    powertrain,
    steepest_pitch,
    top_step,
)
from towlib.rig.facts import Facts, NotKnown
from towlib.rig.model import load_rig
from towlib.road.route import load_route

ROADS = ("short_steep_pass.csv", "long_mountain_crossing.csv", "rolling_road.csv")
RIGS = ("demo_comfortable", "demo_overloaded")


@pytest.fixture(
    scope="module",
    params=[(rig, road, way) for rig in RIGS for road in ROADS for way in ("out", "back")],
    ids="-".join,
)
def leg(request):
    rig, road, way = request.param
    return drive_leg(Facts(load_rig(f"data/rigs/{rig}.toml")), load_route(f"data/routes/{road}"), way)


def test_segments_add_up(leg):
    assert sum(row.time_s for row in leg.rows) == pytest.approx(leg.journey.time_s[-1], rel=1e-9)
    assert sum(row.fuel_m3 for row in leg.rows) == pytest.approx(leg.journey.fuel_m3[-1], rel=1e-9)
    assert leg.rows[-1].segment.end_m == pytest.approx(leg.route.length_m)


def test_the_driver_keeps_to_the_limits(leg):
    speeds = np.array(leg.journey.speed_m_s)
    limits = np.where(np.isnan(leg.route.speed_limit_m_s), 99.0, leg.route.speed_limit_m_s)
    assert np.all(speeds <= limits + 1e-6)
    assert max(leg.journey.rpm) <= leg.pair.train.redline_rpm


def test_energy_is_conserved_to_a_thousandth(leg):
    journey, pair = leg.journey, leg.pair
    along = leg.route.step_m * np.sqrt(1 + np.asarray(leg.route.grade) ** 2)
    work = {
        name: float(np.sum(np.array(getattr(journey, name)) * along))
        for name in ("drive_n", "engine_brake_n", "brake_n", "rolling_n", "air_n")
    }
    height = pair.mass_kg * 9.80665 * float(leg.route.elevation_m[-1] - leg.route.elevation_m[0])
    kinetic = 0.5 * pair.mass_kg * pair.inertia_factor * journey.speed_m_s[-1] ** 2
    taken = height + kinetic + work["engine_brake_n"] + work["brake_n"] + work["rolling_n"] + work["air_n"]
    assert work["drive_n"] == pytest.approx(taken, rel=1e-3)
    stored = sum(
        b.heated_mass_kg * 452 * (t - leg.air_c[0])
        for b, t in zip(pair.brakes[:2], journey.brake_c[-1][:2], strict=True)
    )
    assert work["brake_n"] == pytest.approx(stored + sum(journey.brake_lost_j), rel=1e-3)


def test_brake_temperatures_match_a_second_integration(leg):
    # the heat flows written a second time from the equations and integrated by Runge and Kutta's fourth
    # order, a
    # step of the road at a time, the forces and speeds given
    journey, pair = leg.journey, leg.pair
    times = [0.0, *journey.time_s]
    along = leg.route.step_m * np.sqrt(1 + np.asarray(leg.route.grade) ** 2)
    worst = 0.0
    for axle in (0, 1):
        brakes, share = pair.brakes[axle], pair.brake_shares[axle]
        heat_j_k = brakes.heated_mass_kg * 452
        hot = leg.air_c[0]
        for i, (air, density, metres) in enumerate(
            zip(leg.air_c, leg.air_density_kg_m3, along.tolist(), strict=True)
        ):
            dt = times[i + 1] - times[i]
            speed = metres / dt
            power = share * journey.brake_n[i] * speed
            plate = 5 + 0.037 * (density * speed * 0.3 / 1.85e-5) ** 0.8 * 0.71 ** (1 / 3) * 0.026 / 0.3
            air_k4 = (air + 273.15) ** 4

            def slope(
                t,
                power=power,
                plate=plate,
                air=air,
                air_k4=air_k4,
                area=brakes.cooled_area_m2,
                heat_j_k=heat_j_k,
            ):
                lost = 0.6 * plate * (t - air) + 0.8 * 5.670374419e-8 * ((t + 273.15) ** 4 - air_k4)
                return (power - area * lost) / heat_j_k

            one = slope(hot)
            two = slope(hot + 0.5 * dt * one)
            three = slope(hot + 0.5 * dt * two)
            four = slope(hot + dt * three)
            hot += dt / 6 * (one + 2 * two + 2 * three + four)
            worst = max(worst, abs(hot - journey.brake_c[i][axle]))
    assert worst < 0.5


def test_missing_engine_figures_are_named():
    rig = load_rig("data/rigs/demo_comfortable.toml")
    engine = rig.tow_vehicle.engine.model_copy(update={"displacement": None})
    facts = Facts(
        rig.model_copy(update={"tow_vehicle": rig.tow_vehicle.model_copy(update={"engine": engine})})
    )
    with pytest.raises(NotKnown, match="tow_vehicle.engine.displacement"):
        powertrain(facts)


def test_contradicting_peaks_are_not_known_in_words():
    rig = load_rig("data/rigs/demo_comfortable.toml")
    engine = rig.tow_vehicle.engine.model_copy(update={"peak_torque": 100.0})
    facts = Facts(
        rig.model_copy(update={"tow_vehicle": rig.tow_vehicle.model_copy(update={"engine": engine})})
    )
    with pytest.raises(NotKnown, match="one of the two figures is wrong"):
        powertrain(facts)


# --- the made-up rig, by hand ---

MADE_ROAD = road((1000, 0.0), (2000, 0.05), (1000, 0.0, 50.0), (3000, -0.07), (1000, 0.01))


def _put(rig, **told):
    for name, value in told.items():
        rig = changed(rig, name.replace("__", "."), value)
    return rig


@pytest.mark.parametrize("way", ["out", "back"])
@pytest.mark.parametrize("driven", ["front", "rear", "both"])
def test_the_pair_by_hand(way, driven):
    pair = pair_on_road(Facts(_put(RIG, tow_vehicle__driven_axles=driven)), way)
    load = {"front": TOW_FRONT_KG[way], "rear": TOW_REAR_KG[way], "both": TOW_KG[way]}[driven]
    assert pair.mass_kg == pytest.approx(PAIR_KG[way])
    assert pair.rolling_coefficient == pytest.approx(rolling(way))
    assert pair.drag_area_m2 == pytest.approx(1.4 + 0.6)
    assert pair.grip_n == pytest.approx(0.7 * G * load)  # 0.7: sliding on dry concrete (OpenStax m42139)
    assert pair.brake_shares == pytest.approx((0.65 * 0.8, 0.35 * 0.8, 0.2))
    assert [tuple(brakes[:3]) for brakes in pair.brakes] == [
        pytest.approx(each) for each in ((20, 0.5, 0.6), (15, 0.4, 0.6), (12, 0.3, 0.6))
    ]
    assert pair.cooling[:4] == pytest.approx((1500.0, 80.0, 120e3, 0.28))


@pytest.mark.parametrize("told", [{"brakes_fitted": False}, {"brakes_fitted": None}, {"brake_share": None}])
def test_without_brakes_behind_the_tow_vehicle_does_all_the_braking(told):
    rig = _put(RIG, **{f"towed_vehicle__{name}": value for name, value in told.items()})
    pair = pair_on_road(Facts(rig), "out")
    assert pair.brake_shares == pytest.approx((0.65, 0.35, 0.0)) and pair.brakes[2] is None


def test_brakes_and_cooling_that_are_not_known_are_left_out():
    bare = without(without(RIG, "tow_vehicle.brakes.front_heated_mass"), "tow_vehicle.cooling.conductance")
    pair = pair_on_road(Facts(bare), "out")
    assert pair.brakes[0] is None and pair.brakes[1] is not None and pair.cooling is None
    leg = drive_leg(Facts(bare), MADE_ROAD, "out")
    assert (
        np.isnan(leg.highest_brake_c(0)) and leg.highest_brake_c(1) > 25 and np.isnan(leg.highest_coolant_c())
    )


@pytest.mark.parametrize(
    ("told", "launch", "stall", "lowest"),
    [
        ({}, 1500.0, 1.0, 1260.0),  # manual: the clutch's own speed; pulls from 1.8 times idle on
        ({"tow_vehicle__gearbox__clutch_speed": 600.0}, 700.0, 1.0, 1260.0),  # never below idle
        ({"tow_vehicle__gearbox__kind": "automatic"}, 1900.0, 1.8, 1260.0),
        (
            {"tow_vehicle__gearbox__kind": "automatic", "tow_vehicle__engine__idle": 2000.0},
            2000.0,
            1.8,
            3600.0,
        ),
    ],
)
def test_engine_and_gears_by_hand(told, launch, stall, lowest):
    train = powertrain(Facts(_put(RIG, **told)))
    assert (train.launch_rpm, train.stall_torque_ratio, train.lowest_pull_rpm) == pytest.approx(
        (launch, stall, lowest)
    )
    assert train.automatic == (stall > 1) and not train.boosted
    assert train.gear_ratios == (4.0, 2.0) and train.final_drive == 4.0 and train.rolling_radius_m == 0.35
    assert (train.curve_rpm, train.curve_torque_n_m) == ((500.0, 6000.0), (240.0, 240.0))
    assert (train.displacement_m3, train.driveline_efficiency) == pytest.approx((0.004, 0.85))
    assert (train.redline_rpm, train.engine_braking_factor) == (6000.0, 1.0)
    assert powertrain(Facts(_put(RIG, tow_vehicle__engine__aspiration="boosted"))).boosted


def test_an_engine_of_which_the_peaks_are_known():
    # a parabola with its top at 300 N·m and 3,000 rpm, through 120 kW at 5,000 rpm: 229.2 N·m there
    rig = _put(
        RIG,
        tow_vehicle__engine__curve=None,
        tow_vehicle__engine__peak_torque=300.0,
        tow_vehicle__engine__peak_torque_at=3000.0,
        tow_vehicle__engine__peak_power=120e3,
        tow_vehicle__engine__peak_power_at=5000.0,
    )
    train = powertrain(Facts(rig))
    at_power = 120e3 / (5000 * np.pi / 30)
    for rpm, torque in zip(train.curve_rpm, train.curve_torque_n_m, strict=True):
        assert torque == pytest.approx(300 - (300 - at_power) * ((rpm - 3000) / 2000) ** 2)
    assert (train.curve_rpm[0], train.curve_rpm[-1]) == (700.0, 6000.0)


@pytest.mark.parametrize("way", ["out", "back"])
def test_air_thins_and_cools_with_the_height_of_the_way_out(way):
    hilly = road((1000, 0.04), (2000, 0.05), (3000, -0.01))
    leg = drive_leg(Facts(RIG), hilly, way)
    heights = 300 + np.concatenate(([0.0], np.cumsum(hilly.grade * 25)))
    middle = 0.5 * (heights[:-1] + heights[1:])
    middle = middle[::-1] if way == "back" else middle
    # 6.5 K less for each km above the start of the road out, also on the way back
    air = 25 - 0.0065 * (middle - 300)
    assert leg.air_c == pytest.approx(air, rel=1e-12)
    by_hand = [isa_density(h, c) for h, c in zip(middle, air, strict=True)]
    assert leg.air_density_kg_m3 == pytest.approx(by_hand)
    # uphill nothing brakes: brakes start, and stay, as warm as the air; the coolant starts at its thermostat
    assert leg.journey.brake_n[0] == 0.0 and leg.journey.brake_c[0] == pytest.approx((air[0],) * 3, rel=1e-12)
    assert leg.journey.coolant_c[0] == pytest.approx(80.0, abs=0.5)
    with pytest.raises(FrozenInstanceError):
        leg.way = "back"


@pytest.mark.parametrize("way", ["out", "back"])
def test_what_the_driver_wants_by_hand(way):
    # 72 km/h, 50 where the road says so, 54 on downgrades of 3 % and more; slowing down at 0.8 m/s²
    # ahead of them
    leg = drive_leg(Facts(RIG), MADE_ROAD, way)
    places = [(1000, 20.0), (2000, 20.0), (1000, 50 / 3.6), (3000, 15.0), (1000, 20.0)]
    if way == "back":
        places = [(1000, 20.0), (3000, 20.0), (1000, 50 / 3.6), (2000, 15.0), (1000, 20.0)]
    wanted = [speed for length, speed in places for _ in range(length // 25)]
    for i in range(len(wanted) - 2, -1, -1):
        wanted[i] = min(wanted[i], (wanted[i + 1] ** 2 + 2 * 0.8 * 25) ** 0.5)
    assert leg.target_m_s == pytest.approx(wanted)
    held = [0 if speed != 15.0 else None for length, speed in places for _ in range(length // 25)]
    assert [gear for gear, free in zip(leg.descent_gear, held, strict=True) if free == 0] == [0] * held.count(
        0
    )


@pytest.mark.parametrize(("grade", "expected"), [(-0.0301, 15.0), (-0.0299, 20.0), (-0.08, 15.0)])
def test_a_downgrade_begins_at_three_percent(grade, expected):
    leg = drive_leg(Facts(RIG), road((500, 0.0), (2000, grade), (500, 0.0)), "out")
    assert leg.target_m_s[50] == expected and bool(leg.descent_gear[50]) == (expected == 15.0)


def test_a_road_without_limits_is_driven_at_the_speed_of_the_trip():
    leg = drive_leg(Facts(RIG), road((500, 0.0), (500, 0.0, 36.0), (500, 0.0), limit_kmh=math.nan), "out")
    assert leg.target_m_s[10] == pytest.approx(18.4, abs=1.7) and leg.target_m_s[30] == 10.0
    assert leg.target_m_s[-1] == 20.0


def _braking_n(speed: float, gear_ratio: float, rho: float) -> float:
    """Engine holding back, as `motoring_torque_n_m` states it (from memory there)."""
    n = speed / 0.35 * gear_ratio * 4.0 * 30 / math.pi / 1000
    kpa = 97 + 15 * n + 5 * n * n + 60 * rho / 1.225
    return kpa * 1e3 * 0.004 / (4 * math.pi) * gear_ratio * 4.0 / (0.85 * 0.35)


@pytest.mark.parametrize("grade", [-0.04, -0.06, -0.08, -0.10, -0.14])
@pytest.mark.parametrize("speed", [9.0, 10.9, 11.1, 15.0])
def test_the_gear_of_a_downgrade_by_hand(grade, speed):
    # the highest gear that holds the speed, else the lowest that stays below 0.8 of the redline: 4,800
    # rpm, in
    # first gear 11.0 m/s
    leg = drive_leg(Facts(_put(RIG, conditions__descent_speed=speed)), road((500, 0.0), (3000, grade)), "out")
    height = 300 + 12.5 * grade
    rho = isa_density(height, 25 - 0.0065 * (height - 300))
    theta = math.atan(grade)
    excess = PAIR_KG["out"] * G * (-math.sin(theta) - rolling("out") * math.cos(theta))
    excess -= 0.5 * rho * 2.0 * speed**2
    first_turns = speed / 0.35 * 16 * 30 / math.pi <= 4800
    by_hand = 1 if first_turns and _braking_n(speed, 2.0, rho) < excess else 2
    assert leg.descent_gear[-1] == by_hand
    assert first_turns == (speed < 11.0)


@pytest.mark.parametrize(("grade", "counts"), [(0.019, False), (0.021, True)])
def test_a_climb_begins_at_two_percent(grade, counts):
    leg = drive_leg(Facts(RIG), road((1000, 0.0), (2000, grade), (1000, 0.0)), "out")
    assert bool(leg.climbs()) == counts == bool(leg.climbs_driven)
    for segment, density, factor in leg.climbs():
        # at its last step, 3,000 m along
        top = 300 + 2000 * grade - 12.5 * grade
        rho = isa_density(top, 25 - 0.0065 * (top - 300))
        assert segment.end_m == 3000.0 and density == pytest.approx(rho, rel=1e-9)
        assert factor == pytest.approx(gagg_ferrar(rho), rel=1e-9)


def test_the_hardest_climb_is_the_one_with_least_of_what_is_asked():
    leg = drive_leg(Facts(RIG), road((1000, 0.0), (1000, 0.05), (500, 0.0), (1000, 0.10, 36.0)), "out")
    mild, steep = leg.climbs_driven
    assert (mild.gear, steep.gear) == (2, 1) and steep.speed_m_s < mild.speed_m_s
    # asked 10 m/s on the steep one, whatever else is asked; the speeds reached are the climb test's of
    # test_road_limits
    assert leg.hardest_climb(40.0) == (25.0, mild.speed_m_s)  # the road's 90 km/h
    assert leg.hardest_climb(12.0) == (10.0, steep.speed_m_s)
    # no climb: nothing is asked, and the fastest speed that is looked for is there
    assert drive_leg(Facts(RIG), road((1000, 0.0)), "out").hardest_climb(20.0) == (0.0, 45.0)
    # no gear: none of the speed
    stuck = drive_leg(Facts(RIG), road((1000, 0.0), (1000, 0.30)), "out")
    assert stuck.hardest_climb(20.0) == (20.0, 0.0) and stuck.climbs_driven[0].gear == 1
    # as fast as 45 m/s counts, no faster
    geared = _put(RIG, tow_vehicle__gearbox__ratios=(2.0, 1.0), tow_vehicle__engine__redline=9000.0)
    strong = _put(
        geared,
        tow_vehicle__engine__curve=tuple(
            point.model_copy(update={"torque": 900.0}) for point in RIG.tow_vehicle.engine.curve
        ),
    )
    assert drive_leg(Facts(strong), road((1000, 0.03)), "out").hardest_climb(20.0) == (20.0, 45.0)


def test_climbs_at_less_than_walking_speed_are_told_apart():
    leg = drive_leg(Facts(RIG), road((1000, 0.0)), "out")
    segment = leg.route.segments()[0]
    leg.__dict__["climbs_driven"] = tuple(SteadyClimb(v, 1, math.nan, segment) for v in (0.5, 0.4, 0.6))
    assert leg.hardest_climb(20.0) == (20.0, 0.4)


def test_the_slowest_of_a_stretch_sets_its_gear():
    # 100 m under 30 km/h inside 10 % down are no stretch of their own: first gear, which may turn at 8.3 m/s
    # and not at 15, from where that stretch begins
    fast = drive_leg(Facts(RIG), road((500, 0.0), (1000, -0.10), (1000, -0.10)), "out")
    slow = drive_leg(Facts(RIG), road((500, 0.0), (1000, -0.10), (100, -0.10, 30.0), (1000, -0.10)), "out")
    assert (fast.descent_gear[30], slow.descent_gear[30]) == (2, 1)


def test_a_climb_is_judged_by_its_steepest_200_m():
    # 200 m at 8 % inside 5 %; the library cuts a road no finer than 300 m
    leg = drive_leg(Facts(RIG), road((1000, 0.05), (200, 0.08), (1000, 0.05)), "out")
    assert max(climb_grade(segment) for segment, _, _ in leg.climbs()) == pytest.approx(0.08)
    segment = leg.climbs()[0][0]
    assert climb_grade(segment._replace(steepest_200m_grade=0.01, mean_grade=0.05)) == 0.05


def test_the_step_at_the_end_of_a_stretch():
    route = road((1000, 0.0))  # 40 steps
    segment = route.segments()[0]
    for end_m, step in ((1000.0, 39), (1012.0, 39), (500.0, 19), (25.0, 0), (0.0, 0)):
        assert top_step(route, segment._replace(end_m=end_m)) == step
    assert steepest_pitch(road((500, 0.02), (25, 0.11), (500, 0.03))) == (0.11, 20)


# --- rows ---


@pytest.mark.parametrize(("front_share", "towed_share"), [(0.65, 0.2), (0.2, 0.2), (0.4, 0.8)])
def test_rows_by_hand(front_share, towed_share):
    # each of the three brakes is the hottest once; the towed vehicle's stand in no row
    rig = _put(RIG, tow_vehicle__brakes__front_share=front_share, towed_vehicle__brake_share=towed_share)
    leg = drive_leg(Facts(rig), MADE_ROAD, "out")
    hottest = [max(each[axle] for each in leg.journey.brake_c) for axle in (0, 1, 2)]
    assert hottest.index(max(hottest)) == {0.65: 0, 0.2: 1, 0.4: 2}[front_share]
    journey, first = leg.journey, 0
    time_s, fuel = [0.0, *journey.time_s], [0.0, *journey.fuel_m3]
    assert [row.segment.end_m for row in leg.rows] == [1000.0, 3000.0, 4000.0, 7000.0, 8000.0]
    for row in leg.rows:
        last = round(row.segment.end_m / 25)
        steps = range(first, last)
        gears = [journey.gear[i] for i in steps]
        gear = 1 if gears.count(1) > gears.count(2) else 2
        rpm = [journey.rpm[i] for i in steps if journey.gear[i] == gear]
        assert row.gear == gear and row.rpm == pytest.approx(sum(rpm) / len(rpm))
        assert row.highest_rpm == max(journey.rpm[i] for i in steps)
        assert row.time_s == pytest.approx(time_s[last] - time_s[first])
        assert row.speed_m_s == pytest.approx((last - first) * 25 / (time_s[last] - time_s[first]))
        assert row.fuel_m3 == pytest.approx(fuel[last] - fuel[first])
        shares = [journey.full_throttle[i] for i in steps]
        assert row.full_throttle_share == pytest.approx(sum(shares) / len(shares))
        assert (row.front_brake_c, row.rear_brake_c) == journey.brake_c[last - 1][:2]
        assert row.highest_brake_c == max(max(journey.brake_c[i][:2]) for i in steps)
        assert row.coolant_c == max(journey.coolant_c[i] for i in steps)
        first = last
    assert any(0 < row.full_throttle_share < 1 for row in leg.rows)


def test_rows_end_where_the_pair_stops():
    leg = drive_leg(Facts(RIG), road((1000, 0.0), (1000, 0.30), (1000, 0.0)), "out")
    stopped = leg.journey.stopped_at_m
    assert len(leg.rows) == 2 and 1000 < stopped < 1500
    assert leg.rows[1].time_s == pytest.approx(leg.journey.time_s[-1] - leg.journey.time_s[39])
    assert leg.rows[1].speed_m_s == pytest.approx((stopped - 1000) / leg.rows[1].time_s)
    for ask in (lambda: leg.highest_brake_c(0), leg.highest_coolant_c, leg.fuel_m3):
        with pytest.raises(NotKnown, match=f"the pair stops {stopped / 1000:.1f} km into the road out"):
            ask()


def test_rows_end_with_a_drive_that_ends_where_a_stretch_ends():
    leg = drive_leg(Facts(RIG), MADE_ROAD, "out")
    lists = {name: values[:40] for name, values in leg.journey._asdict().items() if isinstance(values, list)}
    leg.__dict__["journey"] = leg.journey._replace(**lists, stopped_at_m=1000.0)
    assert [row.segment.end_m for row in leg.rows] == [1000.0]


def test_the_highest_temperatures_are_those_of_the_whole_drive():
    leg = drive_leg(Facts(RIG), MADE_ROAD, "out")
    for axle in (0, 1, 2):
        assert leg.highest_brake_c(axle) == max(each[axle] for each in leg.journey.brake_c)
    assert leg.highest_coolant_c() == max(leg.journey.coolant_c)
    assert leg.fuel_m3() == leg.journey.fuel_m3[-1] == max(leg.journey.fuel_m3)


# --- who drives ---


def test_with_other_values_the_driver_keeps_to_speeds_and_gears_of_the_plan():
    # 10 m/s on 7 % down: the engine holds that in second gear, with 1.5 times its drag
    slow_down = _put(RIG, conditions__descent_speed=10.0, tow_vehicle__engine__braking_factor=1.5)
    facts, drive = Facts(slow_down), driver(MADE_ROAD)
    planned = drive(facts, "out")
    assert drive(facts, "out") is planned
    harsh = drive(facts.other({"tow_vehicle.engine.braking_factor": 0.1}), "out")
    assert harsh.descent_gear == planned.descent_gear and harsh.target_m_s == planned.target_m_s
    assert harsh.pair.train.engine_braking_factor == 0.1
    own = drive_leg(facts.other({"tow_vehicle.engine.braking_factor": 0.1}), MADE_ROAD, "out")
    assert own.descent_gear != planned.descent_gear
    for name in ("cruise_speed", "descent_speed"):  # what the driver reads off the speedometer is driven
        slow = drive(facts.other({f"conditions.{name}": 9.0}), "out")
        assert slow.target_m_s != planned.target_m_s
