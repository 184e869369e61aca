"""A slipping converter against the same motion written over time, where it is a plain exponential."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from towlib.physics.drive.creep import creeping_m_s


def _over_time(start, settled, along_m, falls, inertia):
    """m dv/dt = F'·(v_s - v): v = v_s + (v_0 - v_s)·e^(-kt), and its integral is the length of road."""
    k, apart = falls / inertia, start - settled

    def short(t):
        return settled * t + apart * -math.expm1(-k * t) / k - along_m

    t = brentq(short, 0.0, 2.0 * along_m / min(settled, start or settled) + 100.0 / k, xtol=1e-13, rtol=1e-14)
    return settled + apart * math.exp(-k * t)


@given(
    st.one_of(st.just(0.0), st.floats(0.01, 8.0)),
    st.floats(0.2, 5.0),
    st.floats(0.01, 100.0),
    st.floats(300.0, 6000.0),
    st.floats(1500.0, 9000.0),
)
def test_the_speed_after_a_length_of_road(start, settled, along_m, falls, inertia):
    found = creeping_m_s(start, settled_m_s=settled, along_m=along_m, falls_n_s_m=falls, inertia_kg=inertia)
    assert float(found) == pytest.approx(_over_time(start, settled, along_m, falls, inertia), abs=1e-8)
    assert min(start, settled) <= found <= max(start, settled)


def test_many_at_once_are_each_by_itself():
    start, settled = np.array([0.0, 1.0, 2.0, 2.0, 9.0, 6.0]), np.array([2.0, 2.0, 2.0, 1.0, 1.5, 0.3])
    road = dict(along_m=4.0, falls_n_s_m=2500.0, inertia_kg=4200.0)
    found = creeping_m_s(start, settled_m_s=settled, **road)
    alone = [float(creeping_m_s(a, settled_m_s=b, **road)) for a, b in zip(start, settled, strict=True)]
    assert found.tolist() == alone and found[2] == 2.0


@pytest.mark.parametrize("start", [0.0, 1.0, 6.0])
def test_no_road_changes_nothing_and_a_long_one_settles(start):
    at_once = creeping_m_s(start, settled_m_s=2.0, along_m=0.0, falls_n_s_m=2500.0, inertia_kg=4200.0)
    assert float(at_once) == pytest.approx(start, abs=1e-6)
    late = creeping_m_s(start, settled_m_s=2.0, along_m=1e4, falls_n_s_m=2500.0, inertia_kg=4200.0)
    assert float(late) == pytest.approx(2.0, abs=1e-12)
