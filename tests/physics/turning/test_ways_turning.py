"""Turning with one hinge and two: published cases, a driven path that settles on the circle, and what must
always hold.
"""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from towlib.handbook.tables import check_close
from towlib.physics.turning.ways_turning import Body, Follower, steady_circle, swept_ring


def test_published_numbers(capsys):
    rigid = steady_circle(12.0, [Follower(3.92)], wheelbase_m=3.3, overhang_m=1.3)
    check_close(rigid.axles_m[0], "turn_rear_radius")
    check_close(rigid.hinges_m[0], "turn_hitch_radius")
    check_close(rigid.axles_m[1], "turn_towed_radius")
    check_close(math.degrees(rigid.angles_rad[0]), "turn_articulation")
    two = steady_circle(12.0, [Follower(1.5), Follower(2.42)], wheelbase_m=3.3, overhang_m=1.3)
    check_close(two.axles_m[1], "turn_two_link_front")
    check_close(two.axles_m[2], "turn_two_link_rear")


def _driven(front_radius_m, lengths, hinge_behind, *, wheelbase_m, overhang_m):
    """Independent: drive the tow vehicle in a circle and let each axle roll without slipping sideways until
    nothing changes.

    Headings follow from the velocity of the hinge ahead, v·e = 0 across each axle (planar rigid-body
    kinematics).
    """
    rear = math.sqrt(front_radius_m**2 - wheelbase_m**2)
    spin = 1.0 / rear  # tow vehicle at 1 m/s at its rear axle

    def rates(t, angles):
        headings = [spin * t, *angles]
        velocity = np.array([math.cos(headings[0]), math.sin(headings[0])])
        turning, behind, out = spin, overhang_m, []
        for k, length in enumerate(lengths):
            here, own = headings[k], headings[k + 1]
            hinge = velocity + turning * behind * np.array([math.sin(here), -math.cos(here)])
            along, across = (
                np.array([math.cos(own), math.sin(own)]),
                np.array([-math.sin(own), math.cos(own)]),
            )
            turning = hinge @ across / length
            velocity, behind = (hinge @ along) * along, hinge_behind[k]
            out.append(turning)
        return out

    end = solve_ivp(rates, (0.0, 400.0), [0.0] * len(lengths), rtol=1e-9, atol=1e-11)
    headings = [spin * end.t[-1], *end.y[:, -1]]
    return [headings[k] - headings[k + 1] for k in range(len(lengths))]


@pytest.mark.parametrize(
    ("lengths", "behind"),
    [((3.92,), (0.0,)), ((1.9, 2.36), (0.0, 0.0)), ((4.4,), (0.0,)), ((2.2, 2.6), (0.15, 0.0))],
)
def test_a_driven_circle_settles_at_these_angles(lengths, behind):
    found = steady_circle(
        12.0, [Follower(*pair) for pair in zip(lengths, behind, strict=True)], wheelbase_m=3.3, overhang_m=1.3
    )
    assert found.angles_rad == pytest.approx(
        _driven(12.0, lengths, behind, wheelbase_m=3.3, overhang_m=1.3), abs=1e-6
    )


def test_straight_ahead_is_the_limit():
    wide = steady_circle(1e6, [Follower(1.9), Follower(2.4)], wheelbase_m=3.3, overhang_m=1.3)
    assert max(wide.angles_rad) < 1e-5 and wide.axles_m[0] - wide.axles_m[-1] < 1e-4
    assert swept_ring(
        wide, [Body(4.2, 1.2, 2.0), Body(0.5, 0.5, 2.4), Body(2.8, 0.5, 1.8)]
    ).width_m == pytest.approx(2.4, abs=1e-3)


@given(radius=st.floats(9, 30), length=st.floats(2, 6), cut=st.floats(0.2, 0.8), overhang=st.floats(0, 1.6))
def test_two_hinges_cut_in_less_than_one_of_the_same_length(radius, length, cut, overhang):
    one = steady_circle(radius, [Follower(length)], wheelbase_m=3.3, overhang_m=overhang)
    two = steady_circle(
        radius, [Follower(cut * length), Follower((1 - cut) * length)], wheelbase_m=3.3, overhang_m=overhang
    )
    assert two.axles_m[-1] > one.axles_m[-1]
    # the longer it is, the more it cuts in; more overhang cuts in less
    assert (
        steady_circle(radius, [Follower(length + 0.1)], wheelbase_m=3.3, overhang_m=overhang).axles_m[-1]
        < one.axles_m[-1]
    )
    assert (
        steady_circle(radius, [Follower(length)], wheelbase_m=3.3, overhang_m=overhang + 0.1).axles_m[-1]
        > one.axles_m[-1]
    )


def test_the_ring_by_hand():
    # front axle on 5, wheelbase 3: rear axle on 4; 2 m wide, 3 ahead, 1 behind: inside 3, outside sqrt(5² +
    # 3²)
    circle = steady_circle(5.0, [], wheelbase_m=3.0, overhang_m=0.0)
    ring = swept_ring(circle, [Body(3.0, 1.0, 2.0)])
    assert circle.axles_m == (4.0,) and ring == pytest.approx((3.0, math.sqrt(34.0)))
    assert swept_ring(circle, [Body(1.0, 3.0, 2.0)]).outer_m == pytest.approx(math.sqrt(34.0))


@pytest.mark.parametrize("bodies", [(2.0, 1.8), (2.4, 1.2)])
def test_every_corner_lies_in_the_ring(bodies):
    circle = steady_circle(12.0, [Follower(3.92)], wheelbase_m=3.3, overhang_m=1.3)
    shapes = [Body(4.2, 1.2, bodies[0]), Body(2.9, 0.5, bodies[1])]
    ring = swept_ring(circle, shapes)
    points = [
        math.hypot(radius + side * body.width_m / 2, along)
        for radius, body in zip(circle.axles_m, shapes, strict=True)
        for side in np.linspace(-1, 1, 21)
        for along in np.linspace(-body.behind_m, body.ahead_m, 201)
    ]
    assert min(points) == pytest.approx(ring.inner_m, abs=1e-4) and max(points) == pytest.approx(ring.outer_m)


def test_what_cannot_be():
    with pytest.raises(ValueError, match="too tight"):  # R 41 ft, 20 + 40 ft: negative under the root
        steady_circle(41.0, [Follower(40.0)], wheelbase_m=20.0, overhang_m=0.0)
    with pytest.raises(ValueError, match="too tight"):
        steady_circle(3.0, [], wheelbase_m=3.0, overhang_m=0.0)
    circle = steady_circle(5.0, [], wheelbase_m=3.0, overhang_m=0.0)
    with pytest.raises(ValueError, match="one body"):
        swept_ring(circle, [])
    with pytest.raises(ValueError, match="middle of the turn"):
        swept_ring(circle, [Body(1.0, 1.0, 8.0)])
