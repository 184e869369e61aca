"""Copper wire: the gauge table, volts there and back, warmth, and what must always hold."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from towlib.handbook.tables import check_close
from towlib.physics.electric.wire import awg_diameter_m, awg_section_m2, longest_run_m, volts_lost_v, wire_ohm

KFT, FT, IN = 304.8, 0.3048, 0.0254
# hyperphysics.phy-astr.gsu.edu, wire gauge table: inches, ohm for 1,000 ft of solid wire at 20 °C
TABLE = {
    10: (0.1019, 0.9989),
    12: (0.0808, 1.588),
    14: (0.0641, 2.525),
    16: (0.0508, 4.016),
    18: (0.0403, 6.385),
}
LENGTH, SECTION = st.floats(0.1, 50.0), st.floats(2e-7, 2e-5)


@pytest.mark.parametrize("gauge", TABLE)
def test_gauge_table(gauge):
    inches, ohm = TABLE[gauge]
    assert awg_diameter_m(gauge) / IN == pytest.approx(inches, abs=5e-5)
    assert wire_ohm(KFT, awg_section_m2(gauge)) == pytest.approx(ohm, abs=0.00051)
    # definition: 39 steps from 0000 (0.46 in) to 36 (0.005 in), each the 39th root of 92; three gauges halve
    # the section
    assert awg_section_m2(gauge) / awg_section_m2(gauge + 3) == pytest.approx(92 ** (6 / 39))
    assert awg_diameter_m(36) / IN == pytest.approx(0.005) and awg_diameter_m(0) / IN == pytest.approx(
        0.3249, abs=5e-5
    )


def test_metric_sections_of_the_gauges():
    # check values, section 6 (independent script): mm² and ohm per km
    for gauge, mm2, ohm_km in (
        (10, 5.261, 3.277),
        (12, 3.309, 5.211),
        (14, 2.081, 8.285),
        (16, 1.309, 13.174),
        (18, 0.823, 20.948),
    ):
        assert awg_section_m2(gauge) * 1e6 == pytest.approx(mm2, abs=6e-4)
        assert wire_ohm(1000.0, awg_section_m2(gauge)) == pytest.approx(ohm_km, abs=1.5e-3)


def test_warm_wire():
    # NEC chapter 9 table 8, 75 °C, uncoated: 14 AWG solid 3.07 ohm; stranded 18: 7.95, 16: 4.99, 14: 3.14
    # (sfasoft.com): 2 % more
    assert wire_ohm(KFT, awg_section_m2(14), temperature_c=75.0) == pytest.approx(3.07, abs=0.005)
    assert wire_ohm(1.0, 1e-6, temperature_c=75.0) / wire_ohm(1.0, 1e-6) == pytest.approx(1.216, abs=5e-4)
    for gauge, ohm in ((18, 7.95), (16, 4.99), (14, 3.14)):
        assert 1.0 < ohm / wire_ohm(KFT, awg_section_m2(gauge), temperature_c=75.0) < 1.03


def test_there_and_back(capsys):
    # trap T6: 5 A over 25 ft of 16 AWG with a ground wire of the same gauge: 1.004 V, 1.216 times that at 75
    # °C; one way only is half
    section = awg_section_m2(16)
    both = volts_lost_v(5.0, 25 * FT, section_m2=section, return_section_m2=section)
    check_close(both, "wire_drop")
    check_close(
        volts_lost_v(5.0, 25 * FT, section_m2=section, return_section_m2=section, temperature_c=75.0),
        "wire_drop_75",
    )
    assert volts_lost_v(5.0, 25 * FT, section_m2=section, return_section_m2=None) == pytest.approx(
        0.502, abs=5e-4
    )
    assert longest_run_m(5.0, both, section_m2=section, return_section_m2=section) == pytest.approx(25 * FT)
    capsys.readouterr()


@given(
    length=LENGTH, section=SECTION, back=SECTION, current=st.floats(0.01, 40.0), warm=st.floats(-40.0, 120.0)
)
def test_volts_follow_ohm_and_the_run_inverts_them(length, section, back, current, warm):
    lost = volts_lost_v(current, length, section_m2=section, return_section_m2=back, temperature_c=warm)
    assert lost == pytest.approx(
        current * (wire_ohm(length, section, temperature_c=warm) + wire_ohm(length, back, temperature_c=warm))
    )
    assert longest_run_m(
        current, lost, section_m2=section, return_section_m2=back, temperature_c=warm
    ) == pytest.approx(length)
    # doubled: length doubles it, section halves the share of that wire; two wires in a row add
    assert wire_ohm(2 * length, section) == pytest.approx(2 * wire_ohm(length, section))
    assert wire_ohm(length, 2 * section) == pytest.approx(wire_ohm(length, section) / 2)
    assert wire_ohm(length, section, temperature_c=warm + 1) > wire_ohm(length, section, temperature_c=warm)


@pytest.mark.parametrize(
    "call",
    [
        lambda: awg_diameter_m(41),
        lambda: awg_diameter_m(-1),
        lambda: wire_ohm(0.0, 1e-6),
        lambda: wire_ohm(1.0, 0.0),
        lambda: wire_ohm(1.0, 1e-6, temperature_c=300.0),
        lambda: wire_ohm(math.nan, 1e-6),
        lambda: volts_lost_v(-1.0, 1.0, section_m2=1e-6, return_section_m2=None),
        lambda: longest_run_m(0.0, 0.5, section_m2=1e-6, return_section_m2=None),
        lambda: longest_run_m(1.0, 0.0, section_m2=1e-6, return_section_m2=None),
    ],
)
def test_impossible_wire_is_one_sentence(call):
    with pytest.raises(ValueError) as caught:
        call()
    assert "\n" not in str(caught.value) and len(str(caught.value)) < 120
