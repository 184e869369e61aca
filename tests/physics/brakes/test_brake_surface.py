"""The face of a disc against the heat equation solved in steps: a method of lines that shares nothing with
the closed forms.
"""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from towlib.physics.brakes.brake_surface import applications, face_above_mean_k, flash_rise_k

K, RHO_C = 50.0, 7200.0 * 452.0


def _heat_equation(flux, time_s, depth_m, cells=200):
    """Rise of the face and of the mean of a plate heated on one face, the other insulated; flux may be a
    function of time.
    """
    dx = depth_m / cells
    given_w = flux if callable(flux) else lambda t: flux

    def slope(t, y):
        flow = np.concatenate(([given_w(t)], -K * np.diff(y) / dx, [0.0]))
        return -np.diff(flow) / (RHO_C * dx)

    y = solve_ivp(
        slope,
        (0, time_s),
        np.zeros(cells),
        method="LSODA",
        lband=1,
        uband=1,
        rtol=1e-8,
        atol=1e-8,
        max_step=time_s / 20,
    ).y[:, -1]
    return (
        y[0] + given_w(time_s) * 0.5 * dx / K,
        y.mean(),
    )  # from the middle of the first cell out to the face


@pytest.mark.parametrize("time_s", [0.2, 0.5, 1.0])
def test_flash_of_a_thick_body(time_s):
    face, _ = _heat_equation(1e6, time_s, 0.05)
    assert flash_rise_k(1e6, time_s) == pytest.approx(face, rel=2e-3)


@pytest.mark.parametrize("depth_m", [0.006, 0.010, 0.016])
@pytest.mark.parametrize("time_s", [0.1, 0.4, 1.0, 3.0, 30.0])
def test_face_above_mean_of_a_plate(time_s, depth_m):
    face, mean = _heat_equation(8e5, time_s, depth_m)
    assert face_above_mean_k(8e5, time_s, depth_m=depth_m) == pytest.approx(face - mean, rel=0.01, abs=0.05)


def test_it_settles_at_a_third_of_the_plate():
    # by hand: q·L/(3k) = 1e6 × 0.01 / 150 = 66.67 K
    assert face_above_mean_k(1e6, 1e4, depth_m=0.01) == pytest.approx(66.667, abs=0.001)
    early, late = (
        face_above_mean_k(1e6, 0.1 * RHO_C * 1e-4 / K * (1 + e), depth_m=0.01) for e in (-1e-9, 1e-9)
    )
    assert early == pytest.approx(late, rel=2e-3)  # the two forms meet


COMMON = dict(
    period_s=30.0,
    heat_capacity_j_k=10e3,
    conductance_w_k=40.0,
    rubbed_area_m2=0.2,
    depth_m=0.009,
    air_c=25.0,
    start_c=25.0,
    time_s=600.0,
)


def test_applications_against_scipy():
    # the mean: SciPy integrates m·c·dT/dt with the power switched on and off
    ours = applications(8e3, on_share=0.25, **COMMON, points=8)
    temperature = 25.0
    for _ in range(20):
        for length, power in ((7.5, 32e3), (22.5, 0.0)):
            temperature = solve_ivp(
                lambda t, y, p=power: (p - 40 * (y - 25)) / 10e3,
                (0, length),
                [temperature],
                rtol=1e-9,
                atol=1e-9,
            ).y[0, -1]
            if power:
                top = temperature
    assert ours.mean_c[-1] == pytest.approx(temperature, abs=1e-3)
    assert ours.hottest_mean_c == pytest.approx(top, abs=1e-3)
    # the face at the end of the last application: 160 kW/m² for 7.5 s into 9 mm
    face, mean = _heat_equation(160e3, 7.5, 0.009)
    assert ours.hottest_face_c == pytest.approx(top + face - mean, abs=0.1)


def test_times_run_on_and_steady_drag_is_one_application():
    ours = applications(8e3, on_share=0.25, **COMMON, points=8)
    assert list(ours.time_s) == sorted(ours.time_s) and ours.time_s[-1] == pytest.approx(600.0)
    assert (
        len(ours.time_s) == 1 + 20 * 2 * 8
        and ours.time_s[8] == pytest.approx(7.5)
        and ours.time_s[1] == pytest.approx(7.5 / 64)
    )
    drag = applications(8e3, on_share=1.0, **COMMON)
    # by hand, long settled: 8 kW / 0.2 m² × 9 mm / (3 × 50) = 2.4 K above the mean; the mean after ten
    # minutes as every lumped body
    mean = 25.0 + 8e3 / 40.0 * (1 - np.exp(-600.0 * 40.0 / 10e3))
    assert len(drag.time_s) == 1 + 6  # not cut into periods
    assert drag.hottest_mean_c == pytest.approx(mean) and drag.hottest_face_c == pytest.approx(
        mean + 2.4, abs=1e-6
    )


def test_the_face_comes_down_after_an_application():
    # the flux switched off after 2 s, half a second later
    face, mean = _heat_equation(lambda t: 1e6 if t < 2.0 else 0.0, 2.5, 0.01)
    expected = face_above_mean_k(1e6, 2.5, depth_m=0.01) - face_above_mean_k(1e6, 0.5, depth_m=0.01)
    assert expected == pytest.approx(face - mean, abs=0.3)


@given(share=st.floats(0.1, 0.9), power=st.floats(1e3, 2e4))
def test_the_same_mean_power_gives_the_same_mean_and_a_hotter_face(share, power):
    drag, snub = (applications(power, on_share=s, **COMMON) for s in (1.0, share))
    # over the last period the mean of the sawtooth equals that of steady drag within the rise of a period
    assert snub.hottest_face_c >= drag.hottest_face_c - 1e-9
    assert snub.mean_c[-1] <= drag.mean_c[-1] + 1e-9
    assert abs(snub.mean_c[-1] - drag.mean_c[-1]) <= power * 30.0 / 10e3


def test_impossible_use_is_refused():
    with pytest.raises(ValueError, match="share"):
        applications(1.0, on_share=0.0, **COMMON)
    with pytest.raises(ValueError, match="above zero"):
        applications(1.0, on_share=0.5, **COMMON | {"period_s": 0.0})
    with pytest.raises(ValueError, match="depth"):
        face_above_mean_k(1.0, 1.0, depth_m=0.0)
