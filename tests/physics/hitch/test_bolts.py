"""Bolts and pins against published loads, tables computed by an independent script, and balances."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from towlib.physics.hitch.bolts import (
    SHEAR_OF_TENSILE,
    SHEAR_OF_YIELD,
    bolt_loads_n,
    combined_use,
    pin_load_n,
    preload_n,
    root_area_m2,
    shank_area_m2,
    shear_load_n,
    slip_factor,
    slip_load_n,
    stress_area_m2,
    torque_n_m,
)

IN, LBF, KSI = 0.0254, 4.4482216152605, 6894757.293168
POSITIVE = st.floats(0.01, 1e6)
# check values 4.2, computed by an independent script from SAE J429 strengths read at china-bolts.com:
# threads per inch, stress, gross and minor area in², grade 5 proof and tensile, grade 8 proof and tensile,
# grade 5 shear at 0.6 Su through shank and threads, lbf
TABLE = [
    (3 / 8, 16, 0.0775, 0.1104, 0.0678, 6587, 9299, 9299, 11623, 7952, 4882),
    (7 / 16, 14, 0.1063, 0.1503, 0.0933, 9036, 12757, 12757, 15946, 10824, 6719),
    (1 / 2, 13, 0.1419, 0.1963, 0.1257, 12061, 17028, 17028, 21285, 14137, 9051),
    (5 / 8, 11, 0.2260, 0.3068, 0.2018, 19210, 27120, 27120, 33900, 22089, 14530),
    (3 / 4, 10, 0.3345, 0.4418, 0.3020, 28429, 40135, 40135, 50169, 31809, 21744),
]


@pytest.mark.parametrize("row", TABLE, ids=lambda row: str(row[0]))
def test_inch_table(row):
    inches, threads, stress, gross, minor, *pounds = row
    bolt = (inches * IN, IN / threads)
    assert stress_area_m2(*bolt, series="inch") / IN**2 == pytest.approx(stress, abs=5e-5)
    assert root_area_m2(*bolt, series="inch") / IN**2 == pytest.approx(minor, abs=5e-5)
    assert shank_area_m2(bolt[0]) / IN**2 == pytest.approx(gross, abs=5.1e-5)
    area = stress_area_m2(*bolt, series="inch")
    five = bolt_loads_n(area, proof_pa=85 * KSI, yield_pa=92 * KSI, tensile_pa=120 * KSI)
    eight = bolt_loads_n(area, proof_pa=120 * KSI, yield_pa=130 * KSI, tensile_pa=150 * KSI)
    shear = [
        shear_load_n(
            *bolt, series="inch", strength_pa=120 * KSI, threads_in_plane=threads, factor=SHEAR_OF_TENSILE
        )
        for threads in (False, True)
    ]
    ours = [load / LBF for load in (five.proof_n, five.tensile_n, eight.proof_n, eight.tensile_n, *shear)]
    assert ours == pytest.approx(pounds, abs=1.5)  # the script's own rounding of the areas
    assert five.yield_n / LBF == pytest.approx(92e3 * stress, rel=1e-3)


# ISO 898-1, read at slsbearings.com: stress area mm², 8.8 proof and ultimate, 10.9 proof and ultimate, N
@pytest.mark.parametrize(
    ("d", "pitch", "area", "loads"),
    [
        (10, 1.5, 58.0, (33_700, 46_400, 48_100, 60_300)),
        (12, 1.75, 84.3, (48_900, 67_400, 70_000, 87_700)),
        (14, 2.0, 115, (66_700, 92_000, 95_500, 120_000)),
        (16, 2.0, 157, (91_000, 125_000, 130_000, 163_000)),
    ],
)
def test_metric_table(d, pitch, area, loads):
    ours = stress_area_m2(d / 1000, pitch / 1000, series="metric")
    assert ours * 1e6 == pytest.approx(area, rel=5e-3)
    low = bolt_loads_n(area * 1e-6, proof_pa=580e6, yield_pa=640e6, tensile_pa=800e6)
    high = bolt_loads_n(area * 1e-6, proof_pa=830e6, yield_pa=900e6, tensile_pa=1040e6)
    assert (low.proof_n, low.tensile_n, high.proof_n, high.tensile_n) == pytest.approx(loads, rel=5e-3)
    # root and pitch diameters of the 60° thread, H = p·sqrt(3)/2: d2 = d - 3/4·H, d3 = d - 17/12·H, As on
    # their mean
    h = pitch * math.sqrt(3) / 2
    assert root_area_m2(d / 1000, pitch / 1000, series="metric") == pytest.approx(
        math.pi / 4 * ((d - 17 / 12 * h) / 1000) ** 2, rel=1e-4
    )
    assert ours == pytest.approx(math.pi / 4 * ((d - (3 / 4 + 17 / 12) / 2 * h) / 1000) ** 2, rel=1e-4)


def test_inch_thread_depths_from_the_profile():
    # UN thread, H = p·sqrt(3)/2: stress diameter D - 9/8·H (0.9743 p), minor diameter D - 1.5·H (1.2990 p)
    h = IN / 13 * math.sqrt(3) / 2
    assert stress_area_m2(0.5 * IN, IN / 13, series="inch") == pytest.approx(
        math.pi / 4 * (0.5 * IN - 9 / 8 * h) ** 2, rel=1e-4
    )
    assert root_area_m2(0.5 * IN, IN / 13, series="inch") == pytest.approx(
        math.pi / 4 * (0.5 * IN - 1.5 * h) ** 2, rel=1e-4
    )


def test_pin():
    # check values 4.2: double shear area of a 1/2 in pin 0.3927, of a 5/8 in pin 0.6136 in²
    for inches, area in ((1 / 2, 0.3927), (5 / 8, 0.6136)):
        assert pin_load_n(inches * IN, yield_pa=1.0) / SHEAR_OF_YIELD / IN**2 == pytest.approx(area, abs=5e-5)
    assert pin_load_n(0.016, yield_pa=250e6, planes=1) == pytest.approx(
        0.5 * pin_load_n(0.016, yield_pa=250e6)
    )


def test_shear_at_yield_is_von_mises():
    # uniaxial stress equal to sqrt(3) times the shear stress: both yield together
    assert math.sqrt(3) * SHEAR_OF_YIELD == pytest.approx(1.0)
    one, two = (
        shear_load_n(0.0127, IN / 13, series="inch", strength_pa=92 * KSI, threads_in_plane=False, planes=n)
        for n in (1, 2)
    )
    assert one == pytest.approx(92 * KSI / math.sqrt(3) * math.pi * 0.00635**2) and two == pytest.approx(
        2 * one
    )


def test_clamp_load_of_the_published_table():
    # coxhardware.com, read: 75 % of proof for a 1/2-13 grade 2 bolt clamps with 5,853 lb
    area = stress_area_m2(0.5 * IN, IN / 13, series="inch")
    assert 0.75 * bolt_loads_n(
        area, proof_pa=55 * KSI, yield_pa=57 * KSI, tensile_pa=74 * KSI
    ).proof_n / LBF == pytest.approx(5853, abs=1)


@given(st.floats(1, 500), st.floats(0.005, 0.03), st.floats(0.05, 0.5), st.floats(0.0, 0.6))
def test_torque_there_and_back(torque, diameter, factor, spread):
    low, middle, high = preload_n(torque, diameter_m=diameter, nut_factor=factor, nut_factor_spread=spread)
    assert low <= middle <= high
    for force, k in ((low, factor * (1 + spread)), (middle, factor), (high, factor * (1 - spread))):
        assert torque_n_m(force, diameter_m=diameter, nut_factor=k) == pytest.approx(torque)


@given(POSITIVE, POSITIVE, POSITIVE, POSITIVE)
def test_combined_use_is_an_ellipse(tension, shear, tension_load, shear_load):
    use = combined_use(tension, shear, tension_load_n=tension_load, shear_load_n=shear_load)
    assert (tension / use / tension_load) ** 2 + (shear / use / shear_load) ** 2 == pytest.approx(1.0)
    assert combined_use(
        -tension, shear, tension_load_n=tension_load, shear_load_n=shear_load
    ) == pytest.approx(shear / shear_load)


def test_combined_use_is_von_mises_when_shear_has_its_share_of_yield():
    area, yield_pa, tension, shear = 1e-4, 600e6, 3e4, 2e4
    stress = math.sqrt((tension / area) ** 2 + 3 * (shear / area) ** 2)  # von Mises
    use = combined_use(
        tension, shear, tension_load_n=area * yield_pa, shear_load_n=SHEAR_OF_YIELD * area * yield_pa
    )
    assert use == pytest.approx(stress / yield_pa)


def test_slip():
    assert slip_load_n(10e3, friction=0.2) == 2000 and slip_load_n(10e3, friction=0.2, faces=2) == 4000


def test_slip_under_pull_and_side_force():
    # 20 kN of clamp force, friction 0.2, one pair of faces: at k = 20/7 a pull of 2 kN has become 5.714 kN
    # and leaves 14.286 kN, which grip 2.857 kN: just the side force of 1 kN · k
    k = slip_factor(2e3, 1e3, preload_n=20e3, friction=0.2)
    assert 0.2 * (20e3 - 2e3 * k) == pytest.approx(1e3 * k) and k == pytest.approx(20 / 7)
    assert slip_factor(-2e3, 1e3, preload_n=20e3, friction=0.2) == pytest.approx(4.0)  # a push adds none
    assert slip_factor(0.0, 1e3, preload_n=20e3, friction=0.2, faces=2) == pytest.approx(8.0)
    assert math.isinf(slip_factor(-1.0, 0.0, preload_n=20e3, friction=0.2))
    assert slip_factor(1.0, 0.0, preload_n=0.0, friction=0.2) == 0.0


@pytest.mark.parametrize(
    "call",
    [
        lambda: stress_area_m2(0.001, 0.00125, series="metric"),
        lambda: stress_area_m2(0.01, 0.0, series="metric"),
        lambda: root_area_m2(0.01, 0.001, series="fine"),
        lambda: shank_area_m2(0.0),
        lambda: bolt_loads_n(1e-4, proof_pa=600e6, yield_pa=500e6, tensile_pa=800e6),
        lambda: shear_load_n(0.01, 0.0015, series="metric", strength_pa=0, threads_in_plane=True),
        lambda: shear_load_n(0.01, 0.0015, series="metric", strength_pa=1e8, threads_in_plane=True, planes=0),
        lambda: pin_load_n(0.01, yield_pa=0),
        lambda: preload_n(-1, diameter_m=0.01, nut_factor=0.2),
        lambda: preload_n(1, diameter_m=0.01, nut_factor=0.2, nut_factor_spread=1.0),
        lambda: torque_n_m(1, diameter_m=0.01, nut_factor=0),
        lambda: slip_load_n(1, friction=-0.1),
        lambda: slip_factor(1.0, 1.0, preload_n=-1.0, friction=0.2),
        lambda: combined_use(1, 1, tension_load_n=0, shear_load_n=1),
    ],
)
def test_impossible_input_is_refused(call):
    with pytest.raises(ValueError, match=r"^[^.]+(\.\d+[^.]*)*$"):
        call()
