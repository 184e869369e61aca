"""Lamps of the towed vehicle: one circuit and a shared ground against SciPy's own solution of the equations,
fuses by hand.
"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import fsolve

from towlib.handbook.tables import check_close
from towlib.physics.electric.circuit import Filament, Led
from towlib.physics.electric.lamps import (
    CIRCUITS,
    LAMPS,
    SCHOTTKY_DROP_V,
    SILICON_DROP_V,
    fuse_a,
    one_circuit,
    rear_lamps,
)
from towlib.physics.electric.wire import awg_section_m2, wire_ohm

STOP, TAIL, PLATE = Filament(2.1, 12.8), Filament(0.59, 14.0), Filament(0.27, 14.0)
SETUP = {
    "supply_v": 13.5,
    "feed_ohm": 0.13,
    "stop": STOP,
    "tail": TAIL,
    "plate": PLATE,
    "tow_stop": STOP,
    "tow_tail": Filament(2.36, 14.0),
}


def _law(volts, amps, design):
    share = abs(volts) / design
    return math.copysign(amps * share * (1.006 / (share + 0.006)) ** 0.45, volts)


def test_one_circuit_of_the_handbook(capsys):
    ohm = wire_ohm(25 * 0.3048, awg_section_m2(16))
    found = one_circuit(
        Filament(4.2, 12.8), supply_v=13.5, connector_ohm=0.03, wire_ohm=ohm, return_ohm=ohm, ground_ohm=0.05
    )
    check_close(
        found.lamp_v, "lamp_volts", unit="V"
    )  # SciPy brentq on U = I·R + U_lamp with the plain power law
    assert found.amps == pytest.approx(4.1167, abs=2e-4) and found.light == pytest.approx(
        (12.3441 / 13.5) ** 3.4, abs=1e-4
    )
    capsys.readouterr()


@given(
    connector=st.floats(0.0, 0.5),
    wire=st.floats(0.0, 1.0),
    back=st.floats(0.0, 1.0),
    ground=st.floats(0.0, 5.0),
    drop=st.sampled_from([0.0, 0.4, 0.7]),
    supply=st.floats(11.0, 15.0),
    amps=st.floats(0.1, 8.0),
    led=st.booleans(),
)
def test_volts_lost_and_left_add_up(connector, wire, back, ground, drop, supply, amps, led):
    lamp = Led(amps) if led else Filament(amps, 12.8)
    way = {"connector_ohm": connector, "wire_ohm": wire, "return_ohm": back, "ground_ohm": ground}
    found = one_circuit(lamp, supply_v=supply, diode_v=drop, **way)
    assert sum(found.lost_v.values()) + found.lamp_v == pytest.approx(supply)
    assert found.lost_w == pytest.approx(found.amps * sum(found.lost_v.values()))
    for name, ohm in (("connector", connector), ("wire out", wire), ("wire back", back), ("ground", ground)):
        assert found.lost_v[name] == pytest.approx(found.amps * ohm, abs=2e-3)
    volts = list(found.node_v.values())
    assert volts == sorted(volts, reverse=True) and volts[0] == supply and volts[-1] == 0.0
    assert 0.0 <= found.light <= 1.0
    assert (
        one_circuit(lamp, supply_v=supply, diode_v=drop, **{**way, "ground_ohm": ground + 0.5}).light
        <= found.light + 1e-12
    )


@pytest.mark.parametrize("ground_ohm", [1.0, 10.0, 1e6])
def test_brake_with_a_bad_ground_is_what_fsolve_finds(ground_ohm):
    # the four node equations, written here by hand: lamp, tail wire, ground, tow vehicle's tail pin
    def unbalance(x):
        lamp, tail, ground, pin = x
        stop, back = _law(lamp - ground, 2.1, 12.8), _law(ground - tail, 2 * 0.59 + 0.27, 14.0)
        return (
            (13.5 - lamp) / 0.13 - stop,
            2 * stop - back - ground / ground_ohm,
            back - (tail - pin) / 0.13,
            (tail - pin) / 0.13 - _law(pin, 2.36, 14.0),
        )

    lamp, tail, ground, pin = fsolve(unbalance, (13.0, 6.0, 10.0, 4.0), xtol=1e-13)
    found = rear_lamps({"left", "right"}, ground_ohm=ground_ohm, **SETUP)
    assert found.ground_v == pytest.approx(ground, abs=2e-3) and found.lamp_v["left tail"] == pytest.approx(
        tail - ground, abs=2e-3
    )
    assert found.lamp_v["left stop/turn"] == pytest.approx(lamp - ground, abs=2e-3) and found.solution.node_v[
        "tail pin"
    ] == pytest.approx(pin, abs=2e-3)
    if ground_ohm == 1e6:
        check_close(found.ground_v, "broken_ground")
        # told in readers' columns of nutsvolts.com and rvdoctor.com: lamps that are off glow, lamps that are
        # on go out
        assert found.light["left tail"] > 0.15 and found.light["left stop/turn"] < 0.001


def test_a_good_ground_keeps_the_lamps_apart():
    for on in (("tail",), ("left", "right"), ("left",), CIRCUITS):
        found = rear_lamps(on, ground_ohm=0.0, **SETUP)
        for name, circuit in LAMPS.items():
            assert found.wanted[name] is (circuit in on)
            assert found.light[name] > 0.85 if circuit in on else found.light[name] < 1e-6
    # each circuit then is one lamp circuit of its own
    alone = one_circuit(STOP, supply_v=13.5, connector_ohm=0.0, wire_ohm=0.13, return_ohm=0.0, ground_ohm=0.0)
    assert rear_lamps(["left"], ground_ohm=0.0, **SETUP).lamp_v["left stop/turn"] == pytest.approx(
        alone.lamp_v, abs=2e-3
    )


def test_what_a_converter_or_diodes_change():
    broken = rear_lamps(["left", "right"], ground_ohm=1e6, blocked=True, **SETUP)
    assert max(broken.light.values()) < 1e-6 and broken.ground_v == pytest.approx(
        13.5, abs=1e-3
    )  # dark, not wrong
    forward = rear_lamps(["left"], ground_ohm=0.05, diode_v=0.7, **SETUP)
    plain = rear_lamps(["left"], ground_ohm=0.05, **SETUP)
    assert plain.lamp_v["left stop/turn"] - forward.lamp_v["left stop/turn"] == pytest.approx(0.7, abs=0.06)


@given(
    on=st.sets(st.sampled_from(CIRCUITS), min_size=1),
    ground=st.floats(0.0, 100.0),
    blocked=st.booleans(),
    led=st.booleans(),
    supply=st.floats(11.0, 15.0),
)
def test_currents_home_are_currents_out(on, ground, blocked, led, supply):
    lamps = {"stop": Led(0.25), "tail": Led(0.05), "plate": Led(0.05)} if led else {}
    found = rear_lamps(on, ground_ohm=ground, blocked=blocked, **{**SETUP, **lamps, "supply_v": supply})
    assert sum(found.feed_a.values()) == pytest.approx(found.ground_a, abs=1e-8)
    assert sum(found.solution.branch_a[name] for name in LAMPS) == pytest.approx(found.ground_a, abs=1e-8)
    assert -1e-9 <= found.ground_v <= supply and found.ground_v == pytest.approx(
        found.ground_a * max(ground, 1e-4), rel=1e-6, abs=1e-6
    )
    if "left" in on and "right" in on:
        assert found.lamp_v["left stop/turn"] == pytest.approx(found.lamp_v["right stop/turn"])
    worse = rear_lamps(on, ground_ohm=ground + 1.0, blocked=blocked, **{**SETUP, **lamps, "supply_v": supply})
    assert all(worse.light[name] <= found.light[name] + 1e-9 for name in LAMPS if found.wanted[name])


def test_fuses_by_hand():
    # common practice: 1.25 times the current, next size, never above what the wire bears
    assert [fuse_a(i, largest_a=30.0) for i in (0.5, 4.0, 4.1, 6.0, 8.0, 12.1, 24.0)] == [
        1.0,
        5.0,
        7.5,
        7.5,
        10.0,
        20.0,
        30.0,
    ]
    # every size in the shops is the answer for the current it holds with a quarter in hand
    assert [fuse_a(a / 1.26, largest_a=30.0) for a in (1, 2, 3, 5, 7.5, 10, 15, 20, 25, 30)] == [
        1,
        2,
        3,
        5,
        7.5,
        10,
        15,
        20,
        25,
        30,
    ]
    assert (
        0 < SCHOTTKY_DROP_V < SILICON_DROP_V < 1
    )  # a Schottky diode drops less than a silicon one, and both less than a volt
    assert (
        fuse_a(8.1, largest_a=10.0) is None
        and fuse_a(25.0, largest_a=40.0) is None
        and fuse_a(8.0, largest_a=10.0) == 10.0
    )


@pytest.mark.parametrize(
    "call",
    [
        lambda: one_circuit(STOP, supply_v=5.0, connector_ohm=0, wire_ohm=0, return_ohm=0, ground_ohm=0),
        lambda: one_circuit(STOP, supply_v=12.0, connector_ohm=-1, wire_ohm=0, return_ohm=0, ground_ohm=0),
        lambda: rear_lamps(["middle"], ground_ohm=0.1, **SETUP),
        lambda: rear_lamps(["tail"], ground_ohm=-0.1, **SETUP),
        lambda: rear_lamps(["tail"], ground_ohm=0.1, **{**SETUP, "supply_v": 60.0}),
        lambda: fuse_a(0.0, largest_a=10.0),
        lambda: fuse_a(1.0, largest_a=0.0),
    ],
)
def test_impossible_input_is_one_sentence(call):
    with pytest.raises(ValueError) as caught:
        call()
    assert "\n" not in str(caught.value) and len(str(caught.value)) < 120
