"""Turning and running straight on a made-up rig, worked out a second time: right triangles for the turn,
and for running straight the equations of both bodies with the force at the ball between them.
"""

import math

import numpy as np
import pytest

from tests.limits.made import RIG, TOW_KG, TOWED_KG, G, limit, road, rules
from tests.rigs import changed, without
from towlib.limits.decision import plain_answer
from towlib.limits.limit import NOT_KNOWN, OVER, WITHIN
from towlib.limits.turning_limits import (
    FASTEST_M_S,
    steering_lock_rad,
    straight_running_advice,
    tightest_circle,
    tightest_turn_m,
    turning_words,
    yaw_pair_of,
)
from towlib.rig.facts import Facts, NotKnown

ROAD = road((1000, 0.0))
TURN_KEYS = ("turn_angle", "chain_turn", "towed_lock")
TO_AXLE = 1.5 + 0.5 + 2.4  # bar, bracket ahead of the front axle, wheelbase


def _turn(kerb_m: float) -> tuple[float, float, float]:
    """Angle at the ball, steer of the inner towed wheel, and the towed rear axle's radius."""
    rear = math.sqrt((kerb_m / 2) ** 2 - 3.5**2) - 1.6 / 2  # outer front wheel on the kerb's circle
    ball = math.hypot(rear, 1.2)
    towed = math.sqrt(ball**2 - TO_AXLE**2)
    return math.atan(1.2 / rear) + math.atan(TO_AXLE / towed), math.atan(2.4 / (towed - 0.7)), towed


@pytest.mark.parametrize("kerb_m", [14.0, 17.0, 30.0])
def test_the_angles_of_a_turn_by_right_triangles(kerb_m):
    facts, found = rules(changed(RIG, "conditions.tightest_turn", kerb_m), ROAD)
    angle, steer, _ = _turn(kerb_m)
    for key, by_hand in zip(TURN_KEYS, (angle, angle, steer), strict=True):
        assert found[key].demand(facts, "out") == pytest.approx(by_hand, rel=1e-9)
        assert not found[key].per_way
    capacities = [found[key].capacity(facts, "out") for key in TURN_KEYS]
    assert capacities == pytest.approx([math.radians(degrees) for degrees in (70, 60, 33)])


@pytest.mark.parametrize(
    ("key", "path"),
    [
        ("turn_angle", "tow_bar.greatest_swing"),
        ("chain_turn", "safety_chains.greatest_articulation"),
        ("towed_lock", "towed_vehicle.steering_lock"),
    ],
)
def test_exactly_at_the_angle_allowed_is_within(key, path):
    facts, found = rules(RIG, ROAD)
    demand = found[key].demand(facts, "out")
    for allowed, expected in ((demand, WITHIN), (math.nextafter(demand, 0.0), OVER)):
        assert limit(changed(RIG, path, allowed), key, ROAD).answer == expected
        # where no turn is given the same angle at full lock is not known instead of over
        lock = without(changed(RIG, path, allowed), "conditions.tightest_turn")
        full = plain_answer(found[key], Facts(lock), "out")[0]
        assert full.answer == NOT_KNOWN and full.missing == "conditions.tightest_turn"
    told = limit(changed(RIG, path, demand - math.radians(5)), key, ROAD)
    assert told.answer_text() == told.answer_text("us") == "over by 5 °"


def test_without_a_turn_given_the_own_turning_circle_counts_and_never_as_over():
    bare = without(RIG, "conditions.tightest_turn")
    assert tightest_turn_m(Facts(bare)) == 13.0 and tightest_turn_m(Facts(RIG)) == 17.0
    facts, found = rules(bare, ROAD)
    angle, steer, _ = _turn(13.0)
    assert angle > math.radians(60) and steer > math.radians(33)
    for key, path, by_hand in (
        ("turn_angle", "tow_bar.greatest_swing", angle),
        ("chain_turn", "safety_chains.greatest_articulation", angle),
        ("towed_lock", "towed_vehicle.steering_lock", steer),
    ):
        asked = limit(changed(bare, path, 1.5), key, ROAD).demand
        assert asked == pytest.approx(by_hand, rel=1e-9)
        assert limit(changed(bare, path, asked), key, ROAD).answer == WITHIN
        over = limit(changed(bare, path, math.nextafter(asked, 0.0)), key, ROAD)
        assert (over.answer, over.missing) == (NOT_KNOWN, "conditions.tightest_turn")


@pytest.mark.parametrize("key", TURN_KEYS)
@pytest.mark.parametrize(
    "path",
    [
        "tow_vehicle.wheelbase",
        "tow_vehicle.ball_behind_rear_axle",
        "tow_bar.length",
        "towed_vehicle.bracket_ahead_of_front_axle",
        "towed_vehicle.wheelbase",
    ],
)
def test_a_missing_length_is_named(key, path):
    told = limit(without(RIG, path), key, ROAD)
    assert told.answer == NOT_KNOWN and path in told.missing


def test_a_turn_that_the_tow_vehicle_cannot_drive_is_one_sentence():
    # 7 m: no place for a wheelbase of 3.5
    for key in TURN_KEYS:
        told = limit(changed(RIG, "conditions.tightest_turn", 7.0), key, ROAD)
        assert told.answer == NOT_KNOWN and "fit" in told.missing


@pytest.mark.parametrize("kerb_m", [8.0, 10.0, 11.5])
def test_a_turn_in_which_the_pair_folds_up_is_over_whatever_bar_and_chains_allow(kerb_m):
    """The ball comes no further out than the 4.4 m from it to the towed rear axle."""
    for key in TURN_KEYS:
        rig = changed(RIG, "conditions.tightest_turn", kerb_m)
        told = limit(rig, key, ROAD)
        assert (told.answer, told.missing, told.demand) == (OVER, "", None)
        assert told.answer_text() == (
            "over: the towed vehicle cannot follow round this turn, the pair folds up"
        )
    with pytest.raises(NotKnown, match="fold up"):  # and no picture has a circle of it
        tightest_circle(Facts(rig))
    unrated = limit(without(rig, "tow_bar.greatest_swing"), "turn_angle", ROAD)
    assert unrated.answer == OVER
    # nobody has said how tight the way turns: the tow vehicle's own circle is not what is asked
    own = without(changed(RIG, "tow_vehicle.turning_circle", kerb_m), "conditions.tightest_turn")
    for key in TURN_KEYS:
        told = limit(own, key, ROAD)
        assert (told.answer, told.missing) == (NOT_KNOWN, "conditions.tightest_turn")


def test_the_lock_of_the_tow_vehicle_by_its_turning_circle():
    # 13 m between kerbs: rear axle's middle on sqrt(6.5² - 3.5²) - 0.8, front axle's on the hypotenuse
    rear = math.sqrt(6.5**2 - 3.5**2) - 0.8
    assert steering_lock_rad(Facts(RIG)) == pytest.approx(math.atan(3.5 / rear), rel=1e-9)
    assert steering_lock_rad(Facts(RIG).other({"tow_vehicle.steering_lock": 0.5})) == 0.5
    with pytest.raises(NotKnown, match="fit"):
        steering_lock_rad(Facts(changed(RIG, "tow_vehicle.turning_circle", 7.0)))


@pytest.mark.parametrize(
    ("swing", "chains", "lock", "set_by"),
    [
        # the sharpest angle of bar and chains, or the towed wheels' end stop
        (50.0, 60.0, 40.0, "articulation"),
        (60.0, 50.0, 40.0, "articulation"),
        (80.0, 80.0, 25.0, "end stop of the towed vehicle's steering"),
        (120.0, 110.0, 80.0, "articulation"),  # more than a right angle counts as a right angle
    ],
)
def test_the_tightest_steady_turn_by_hand(swing, chains, lock, set_by):
    rig = changed(RIG, "tow_bar.greatest_swing", math.radians(swing))
    rig = changed(rig, "safety_chains.greatest_articulation", math.radians(chains))
    rig = changed(rig, "towed_vehicle.steering_lock", math.radians(lock))
    psi = math.radians(min(swing, chains, 90.0))
    by_angle = (TO_AXLE + 1.2 * math.cos(psi)) / math.sin(psi)
    towed = 2.4 / math.tan(math.radians(lock)) + 0.7
    by_lock = math.sqrt(max(0.0, towed**2 + TO_AXLE**2 - 1.2**2))
    front = math.hypot(max(by_angle, by_lock), 3.5)
    words = turning_words(Facts(rig))
    assert f"on a radius of {front:.3g} m, set by the {set_by}." in words and "No backing up" in words
    assert (by_angle > by_lock) == (set_by == "articulation")
    assert f"{front / 0.3048:.3g} ft" in turning_words(Facts(rig), "us")


@pytest.mark.parametrize(
    "path", ["tow_bar.greatest_swing", "towed_vehicle.steering_lock", "tow_vehicle.wheelbase"]
)
def test_the_words_on_turning_name_what_is_missing(path):
    assert turning_words(Facts(without(RIG, path))) == f"Tightest turn of the pair: not known ({path})."


# --- running straight ---


def _body(front: float, rear: float, wheelbase: float, loads: list[tuple[float, float]]):
    """Mass, centre behind the front axle, yaw inertia (m·a·b empty, from memory), and both axle loads."""
    mass, centre = front + rear, rear / (front + rear) * wheelbase
    total = mass + sum(kg for kg, _ in loads)
    middle = (mass * centre + sum(kg * x for kg, x in loads)) / total
    inertia = mass * centre * (wheelbase - centre) + mass * (centre - middle) ** 2
    inertia += sum(kg * (x - middle) ** 2 for kg, x in loads)
    on_rear = total * middle / wheelbase
    return total, middle, inertia, total - on_rear, on_rear


LOADS = {
    "out": ([(100, 1.5), (200, 3.0), (10, 4.7)], [(50, 2.0), (10, -0.5)]),
    "back": ([(100, 1.5), (10, 4.7)], [(50, 2.0), (150, 1.6), (10, -0.5)]),
}


def _roots(way: str, speed: float, rear_factor: float = 1.0, towed_factor: float = 1.0) -> np.ndarray:
    """Eigenvalues of both bodies, written down with the side force Y at the ball: five equations for v',
    r', the towed yaw acceleration, the angle's rate and Y.
    """
    tow_loads, towed_loads = LOADS[way]
    m, x, inertia, on_front, on_rear = _body(1300, 1000, 3.5, tow_loads)
    mt, xt, towed_inertia, _, towed_rear = _body(800, 600, 2.4, towed_loads)
    assert (m, mt) == pytest.approx((TOW_KG[way], TOWED_KG[way]))

    def stiff(rate, kg, empty):  # rates 7, 10, 8 and the power 0.7: from memory, as the library says
        return rate * empty * G * (kg / empty) ** 0.7

    cf, cr, ct = (
        stiff(7, on_front, 1300),
        rear_factor * stiff(10, on_rear, 1000),
        towed_factor * stiff(8, towed_rear, 600),
    )
    a, b, h = x, 3.5 - x, 3.5 - x + 1.2
    c, axle = 1.5 + 0.5 + xt, TO_AXLE
    columns = []
    for v, r, rt, theta in np.eye(4):
        ff, fr = -cf * (v + a * r) / speed, -cr * (v - b * r) / speed
        ft = -ct * (v - h * r + speed * theta - axle * rt) / speed
        rate = r - rt  # of the angle between the vehicles
        # unknown: v', r', rt', Y (on the tow vehicle)
        left = np.array(
            [
                [m, 0, 0, -1],
                [0, inertia, 0, h],
                [mt, -mt * h, -mt * c, 1],
                [0, 0, towed_inertia, c],
            ]
        )
        right = [
            ff + fr - m * speed * r,
            a * ff - b * fr,
            ft - mt * speed * rt - mt * speed * rate,
            -(axle - c) * ft,
        ]
        found = np.linalg.solve(left, right)
        columns.append([found[0], found[1], found[2], rate])
    return np.linalg.eigvals(np.array(columns).T)


def _keeps(way: str, speed: float, damping: float, *factors: float) -> bool:
    roots = _roots(way, speed, *factors)
    swings = roots[abs(roots.imag) > 1e-6]
    return max(roots.real) <= 0 and all(-swings.real / abs(swings) >= damping)


def _fastest(way: str, damping: float, *factors: float) -> float:
    """The first speed at which it no longer keeps the damping, by small steps and halving."""
    low = 2.0
    while low < 70 and _keeps(way, low + 0.25, damping, *factors):
        low += 0.25
    if low >= 70:
        return 70.0
    high = low + 0.25
    for _ in range(40):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if _keeps(way, middle, damping, *factors) else (low, middle)
    return low


@pytest.mark.parametrize("way", ["out", "back"])
@pytest.mark.parametrize(
    ("damping", "rear", "towed"),
    [(0.3, 1.0, 1.0), (0.6, 1.0, 0.8), (0.05, 1.2, 1.1), (0.05, 0.6, 1.0)],
)
def test_the_speed_that_runs_straight_by_a_second_derivation(way, damping, rear, towed):
    rig = changed(changed(RIG, "conditions.damping_asked", damping), "tow_vehicle.rear_side_stiffness", rear)
    rig = changed(rig, "towed_vehicle.rear_side_stiffness", towed)
    facts, found = rules(rig, ROAD)
    rule = found["straight_running"]
    assert rule.capacity(facts, way) == pytest.approx(_fastest(way, damping, rear, towed), rel=1e-5)
    assert rule.demand(facts, way) == 20.0 and rule.per_way
    assert FASTEST_M_S == 70.0


def test_the_way_that_swings_sooner_counts_and_the_edge_is_within():
    told = limit(RIG, "straight_running", ROAD)
    speeds = {way: _fastest(way, 0.3) for way in ("out", "back")}
    assert told.way == min(speeds, key=speeds.__getitem__) and told.answer == WITHIN
    for speed, expected in ((told.capacity, WITHIN), (math.nextafter(told.capacity, 99.0), OVER)):
        assert (
            limit(changed(RIG, "conditions.cruise_speed", speed), "straight_running", ROAD).answer == expected
        )
    fast = limit(changed(RIG, "conditions.cruise_speed", told.capacity + 1.0), "straight_running", ROAD)
    assert (fast.answer_text(), fast.answer_text("us")) == ("over by 3.6 km/h", "over by 2.24 mph")


@pytest.mark.parametrize(
    "path",
    [
        "tow_vehicle.front_axle_empty",
        "tow_vehicle.wheelbase",
        "tow_vehicle.ball_behind_rear_axle",
        "towed_vehicle.rear_axle_empty",
        "towed_vehicle.wheelbase",
        "towed_vehicle.bracket_ahead_of_front_axle",
        "tow_bar.length",
    ],
)
def test_running_straight_names_what_is_missing(path):
    told = limit(without(RIG, path), "straight_running", ROAD)
    assert told.answer == NOT_KNOWN and path in told.missing


def test_a_load_that_lifts_an_axle_is_a_sentence():
    heavy = RIG.load[1].model_copy(update={"mass": 3000.0, "behind_front_axle": 6.0})
    told = limit(RIG.model_copy(update={"load": (RIG.load[0], heavy)}), "straight_running", ROAD)
    assert told.answer == NOT_KNOWN and "lift an axle" in told.missing


def test_a_steering_locked_straight_carries_side_force_in_front_too():
    free, locked = (yaw_pair_of(Facts(RIG), "out", castor_free_share=share) for share in (1.0, 0.0))
    assert free.towed_front_n_rad == 0.0 < locked.towed_front_n_rad
    assert yaw_pair_of(Facts(RIG), "out") == free


# --- what is advised ---


@pytest.mark.parametrize("way", ["out", "back"])
@pytest.mark.parametrize(("damping", "rear"), [(0.3, 1.0), (0.5, 0.8), (0.1, 0.6), (0.3, 1.3)])
def test_each_move_that_is_advised_is_the_one_that_helps_by_the_second_derivation(
    way, damping, rear, monkeypatch
):
    rig = changed(changed(RIG, "conditions.damping_asked", damping), "tow_vehicle.rear_side_stiffness", rear)
    words = straight_running_advice(Facts(rig), way)
    assert words.startswith("Slower") and words.endswith(".")
    now = _fastest(way, damping, rear)

    def moved(vehicle, by_m):
        loads = [list(LOADS[way][0]), list(LOADS[way][1])]
        rows = loads[("tow", "towed").index(vehicle)]
        rows[:-1] = [(kg, x + by_m) for kg, x in rows[:-1]]  # the bar's end stays
        monkeypatch.setitem(LOADS, way, tuple(loads))
        found = _fastest(way, damping, rear)
        monkeypatch.undo()
        return found - now

    assert ("full tyre pressure" in words) == (_fastest(way, damping, 1.05 * rear) > now + 0.001)
    for vehicle in ("tow", "towed"):
        forward, back = moved(vehicle, -0.1), moved(vehicle, 0.1)
        for gain, other, where in ((forward, back, "forward"), (back, forward, "back")):
            if abs(max(gain, other) - 0.001) > 2e-4 and abs(gain - other) > 1e-3:
                told = f"load of the {vehicle} vehicle further {where}" in words
                assert told == (gain > other and gain > 0.001), (vehicle, where, gain, other, words)


def test_nothing_is_advised_of_loads_that_are_not_there_nor_where_nothing_is_gained():
    assert "load of" not in straight_running_advice(Facts(RIG.model_copy(update={"load": ()})), "out")
    stiff = changed(changed(RIG, "conditions.damping_asked", 0.1), "tow_vehicle.rear_side_stiffness", 1.3)
    assert straight_running_advice(Facts(stiff), "out") == "Slower."
