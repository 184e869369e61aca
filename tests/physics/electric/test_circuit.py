"""The lamp network: the plain laws of textbooks, SciPy on the node equations, and Kirchhoff and energy at
random.
"""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from towlib.physics.electric.circuit import (
    Branch,
    Diode,
    Filament,
    Led,
    Resistor,
    light_share,
    part_current_a,
    solve_circuit,
)

NODES = ("a", "b", "c", "d", "-")


def test_the_lamp_laws():
    # Fink and Beaty's rerating (encyclopedia article): current by volts^0.55, light by volts^3.4, power by
    # volts^1.6 about
    lamp = Filament(2.1, 12.8)
    for volts in (6.4, 9.0, 12.8, 14.5):
        assert part_current_a(lamp, volts) == pytest.approx(2.1 * (volts / 12.8) ** 0.55, rel=4e-3)
        assert part_current_a(lamp, -volts) == pytest.approx(-part_current_a(lamp, volts))
        assert light_share(lamp, volts, full_v=12.8) == pytest.approx((volts / 12.8) ** 3.4)
    assert part_current_a(lamp, 12.8) == pytest.approx(2.1)
    # cold: about a tenth of the hot resistance, 12.8 / 2.1 ohm
    assert 1e-4 / part_current_a(lamp, 1e-4) == pytest.approx(0.1 * 12.8 / 2.1, rel=0.02)
    assert part_current_a(Led(0.25), 12.8) == pytest.approx(0.25, abs=1e-5) and part_current_a(
        Led(0.25), 9.4
    ) == pytest.approx(0.125, abs=1e-4)
    assert abs(part_current_a(Led(0.25), 4.0)) < 1e-6 and light_share(
        Led(0.25), 9.4, full_v=12.8
    ) == pytest.approx(0.5, abs=1e-3)
    assert (
        part_current_a(Diode(0.7), 0.742) == pytest.approx(2.1, abs=0.02)
        and abs(part_current_a(Diode(0.7), -12.0)) < 1e-3
    )


def test_a_wheatstone_bridge():
    # by hand: balanced when the ratios agree; unbalanced, by Thevenin: U = 12·(2/3 - 1/3) = 4 V behind 2/3 +
    # 2/3 ohm, so 4 V across
    # 1 ohm carries 4 / (4/3 + 1) = 12/7 A
    def bridge(*ohms):
        places = (("+", "l"), ("l", "-"), ("+", "r"), ("r", "-"), ("l", "r"))
        return solve_circuit(
            [
                Branch(str(i), *place, Resistor(ohm))
                for i, (place, ohm) in enumerate(zip(places, ohms, strict=True))
            ],
            {"+": 12.0, "-": 0.0},
        )

    assert bridge(1.0, 2.0, 3.0, 6.0, 1.0).branch_a["4"] == pytest.approx(0.0, abs=1e-9)
    assert bridge(1.0, 2.0, 2.0, 1.0, 1.0).branch_a["4"] == pytest.approx(12.0 / 7.0)


@given(
    ohm=st.floats(0.01, 30.0),
    amps=st.floats(0.05, 12.0),
    supply=st.floats(9.0, 15.0),
    drop=st.sampled_from([0.4, 0.7]),
    led=st.booleans(),
)
def test_one_lamp_behind_a_resistance_is_what_brentq_finds(ohm, amps, supply, drop, led):
    lamp = Led(amps) if led else Filament(amps, 12.8)
    branches = [
        Branch("r", "+", "m", Resistor(ohm)),
        Branch("d", "m", "n", Diode(drop)),
        Branch("l", "n", "-", lamp),
    ]
    found = solve_circuit(branches, {"+": supply, "-": 0.0})

    def own_law(volts):  # written again, from the docstring
        if led:
            return amps * max(0.0, volts - 6.0) / 6.8
        share = volts / 12.8
        return amps * share * (1.006 / (share + 0.006)) ** 0.45

    def gap(volts):
        current = own_law(volts)
        return volts + current * (ohm + 0.02) + drop - supply

    root = brentq(gap, 6.0 if led else 0.0, supply, xtol=1e-12)
    assert found.branch_v["l"] == pytest.approx(
        root, abs=0.02
    )  # the soft bend of a diode takes a little less at small currents


@settings(max_examples=150, deadline=None)
@given(
    st.lists(
        st.tuples(
            st.sampled_from(NODES),
            st.sampled_from(NODES),
            st.one_of(
                st.floats(0.01, 1e6).map(Resistor),
                st.floats(0.05, 5.0).map(lambda a: Filament(a, 12.8)),
                st.floats(0.05, 2.0).map(Led),
                st.sampled_from([0.4, 0.7]).map(Diode),
            ),
        ),
        min_size=1,
        max_size=12,
    ),
    st.floats(9.0, 15.0),
)
def test_kirchhoff_and_energy_for_any_network(parts, supply):
    branches = [Branch("source", "+", "a", Resistor(0.05))]
    branches += [Branch(str(i), a, b, part) for i, (a, b, part) in enumerate(parts) if a != b]
    branches += [
        Branch(f"leak {node}", node, "-", Resistor(1e4)) for node in NODES[:-1]
    ]  # nothing hangs loose
    found = solve_circuit(branches, {"+": supply, "-": 0.0})
    for node in NODES[:-1]:
        into = sum(found.branch_a[b.name] * ((b.end == node) - (b.start == node)) for b in branches)
        assert into == pytest.approx(0.0, abs=1e-8)
        assert -1e-6 <= found.node_v[node] <= supply + 1e-6
    for branch in branches:
        assert part_current_a(
            branch.part, found.node_v[branch.start] - found.node_v[branch.end]
        ) == pytest.approx(found.branch_a[branch.name], abs=1e-9)
        assert found.branch_v[branch.name] * found.branch_a[branch.name] >= -1e-12  # no part makes power
    # Tellegen: what the battery gives is what the parts take
    given_w = supply * found.branch_a["source"]
    assert sum(found.branch_v[b.name] * found.branch_a[b.name] for b in branches) == pytest.approx(
        given_w, rel=1e-6, abs=1e-7
    )


def test_it_does_not_depend_on_the_order_of_the_parts():
    branches = [
        Branch("a", "+", "m", Resistor(0.3)),
        Branch("b", "m", "n", Filament(2.1, 12.8)),
        Branch("c", "n", "-", Resistor(2.0)),
        Branch("d", "n", "p", Filament(0.6, 14.0)),
        Branch("e", "p", "-", Filament(2.0, 14.0)),
    ]
    there, back = (solve_circuit(order, {"+": 13.5, "-": 0.0}) for order in (branches, branches[::-1]))
    assert there.node_v == pytest.approx(back.node_v)


@pytest.mark.parametrize(
    ("branches", "fixed", "words"),
    [
        ([], {}, "held"),
        ([Branch("a", "x", "y", Resistor(1.0))], {"+": 12.0}, "hangs on nothing"),
        ([Branch("a", "+", "-", Resistor(1.0))] * 2, {"+": 12.0, "-": 0.0}, "own name"),
        (
            [Branch("a", "+", "m", Resistor(0.0)), Branch("b", "m", "-", Resistor(1.0))],
            {"+": 12.0, "-": 0.0},
            "above zero",
        ),
        (
            [Branch("a", "+", "m", Filament(0.0, 12.0)), Branch("b", "m", "-", Resistor(1.0))],
            {"+": 12.0, "-": 0.0},
            "above zero",
        ),
        (
            [Branch("a", "+", "m", Led(-1.0)), Branch("b", "m", "-", Resistor(1.0))],
            {"+": 12.0, "-": 0.0},
            "above zero",
        ),
        (
            [Branch("a", "+", "m", Diode(0.0)), Branch("b", "m", "-", Resistor(1.0))],
            {"+": 12.0, "-": 0.0},
            "above zero",
        ),
    ],
)
def test_impossible_networks_are_one_sentence(branches, fixed, words):
    with pytest.raises(ValueError, match=words):
        solve_circuit(branches, fixed)


def test_only_lamps_give_light():
    for part, full in ((Resistor(1.0), 12.0), (Filament(1.0, 12.0), 0.0), (Led(0.2), 5.0)):
        with pytest.raises(ValueError):
            light_share(part, 10.0, full_v=full)
    assert light_share(Led(0.2), -5.0, full_v=12.0) == 0.0 and math.isclose(
        light_share(Filament(1.0, 12.0), -12.0, full_v=12.0), 1.0
    )
