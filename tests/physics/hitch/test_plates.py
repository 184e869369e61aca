"""Plate and weld by stresses added up another way; the conventions are from memory and said so where they are
used.
"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from towlib.physics.hitch.bolts import SHEAR_OF_YIELD
from towlib.physics.hitch.plates import (
    bearing_load_n,
    fillet_weld_load_n,
    net_section_load_n,
    tear_out_load_n,
)

IN, LBF, KSI = 0.0254, 4.4482216152605, 6894757.293168


def test_in_pounds_and_inches():
    # by hand: 1/2 in bolt, 1/4 in plate, 36 ksi: 0.5·0.25·36,000 = 4,500 lb; edge 1 in, hole 9/16: 2·0.25·(1
    # - 0.28125)·0.57735·36,000 = 7,470 lb
    assert bearing_load_n(0.5 * IN, 0.25 * IN, strength_pa=36 * KSI) / LBF == pytest.approx(4500, abs=0.1)
    assert tear_out_load_n(
        IN, 0.25 * IN, hole_diameter_m=9 / 16 * IN, yield_pa=36 * KSI
    ) / LBF == pytest.approx(7469.5, abs=0.1)
    # 4 in wide with two 9/16 holes: (4 - 1.125)·0.25·36,000 = 25,875 lb; weld 1/4 in leg, 4 in long, 20 ksi:
    # 0.707·0.25·4·20,000 = 14,140 lb
    assert net_section_load_n(
        4 * IN, 0.25 * IN, hole_diameter_m=9 / 16 * IN, holes=2, yield_pa=36 * KSI
    ) / LBF == pytest.approx(25_875, abs=0.1)
    assert fillet_weld_load_n(0.25 * IN, 4 * IN, shear_pa=20 * KSI) / LBF == pytest.approx(14_140, abs=0.1)


def test_weld_throat_is_the_shortest_way_through():
    # height of the right triangle with two legs of 6 mm over its long side, found by searching along that
    # side
    shortest = min(math.hypot(0.006 * i / 1000, 0.006 * (1 - i / 1000)) for i in range(1001))
    assert fillet_weld_load_n(0.006, 1.0, shear_pa=1.0) == pytest.approx(shortest, rel=1e-3)


@given(st.floats(0.002, 0.03), st.floats(0.006, 0.03), st.floats(1e8, 6e8), st.floats(0.02, 0.1))
def test_bearing_equals_tear_out_at_one_edge_distance(thickness, diameter, strength, edge):
    # hole as large as the bolt: both carry alike where 2·(e - d/2)·0.577 = d
    e = diameter * (0.5 + 0.5 / SHEAR_OF_YIELD)
    assert tear_out_load_n(e, thickness, hole_diameter_m=diameter, yield_pa=strength) == pytest.approx(
        bearing_load_n(diameter, thickness, strength_pa=strength)
    )
    longer = [
        tear_out_load_n(e + more, thickness, hole_diameter_m=diameter, yield_pa=strength)
        for more in (edge, 2 * edge)
    ]
    assert longer[1] - longer[0] == pytest.approx(
        2 * thickness * edge * SHEAR_OF_YIELD * strength
    )  # two planes grow by the extra edge


@given(st.floats(0.05, 0.3), st.integers(0, 3), st.floats(0.005, 0.012))
def test_net_section_and_the_holes_make_the_whole_plate(width, holes, hole):
    whole = net_section_load_n(width, 0.006, hole_diameter_m=hole, holes=0, yield_pa=250e6)
    lost = whole - net_section_load_n(width, 0.006, hole_diameter_m=hole, holes=holes, yield_pa=250e6)
    assert whole == pytest.approx(width * 0.006 * 250e6) and lost == pytest.approx(
        holes * hole * 0.006 * 250e6
    )


@pytest.mark.parametrize(
    "call",
    [
        lambda: bearing_load_n(0.0, 0.01, strength_pa=1e8),
        lambda: tear_out_load_n(0.006, 0.01, hole_diameter_m=0.013, yield_pa=1e8),
        lambda: tear_out_load_n(0.03, -0.01, hole_diameter_m=0.013, yield_pa=1e8),
        lambda: net_section_load_n(0.026, 0.01, hole_diameter_m=0.013, holes=2, yield_pa=1e8),
        lambda: net_section_load_n(0.05, 0.01, hole_diameter_m=0.013, holes=-1, yield_pa=1e8),
        lambda: fillet_weld_load_n(0.0, 0.1, shear_pa=1e8),
    ],
)
def test_impossible_input_is_refused(call):
    with pytest.raises(ValueError, match=r"^[^.]+(\.\d+[^.]*)*$"):
        call()
