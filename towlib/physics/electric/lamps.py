"""Lamps of a towed vehicle: one circuit from battery to lamp and back, all rear lamps on one ground wire, and
the fuse.
"""

from collections.abc import Collection
from typing import NamedTuple

from towlib.physics.electric.circuit import (
    Branch,
    Diode,
    Filament,
    Led,
    Resistor,
    Solution,
    light_share,
    solve_circuit,
)

SILICON_DROP_V, SCHOTTKY_DROP_V = 0.7, 0.4  # from memory, at the currents of lamps
FUSES_A = (1.0, 2.0, 3.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0)  # sizes in the shops: common practice
FUSE_OVER_CURRENT = 1.25  # common practice
CIRCUITS = ("tail", "left", "right")  # the three fed wires of a four-pin connector
LAMPS = {
    "left tail": "tail",
    "right tail": "tail",
    "plate": "tail",
    "left stop/turn": "left",
    "right stop/turn": "right",
}
_LEAST_OHM = 1e-4


class OneCircuit(NamedTuple):
    """Where the volts of one lamp circuit go."""

    node_v: dict[str, float]  # battery, plug, wire, lamp, shell, pole: in the order of the current
    lost_v: dict[str, float]  # connector, wire out, diode, wire back, ground
    lamp_v: float
    amps: float
    light: float  # 1 without any loss
    lost_w: float  # turned into heat outside the lamps


class RearLamps(NamedTuple):
    """All rear lamps of the towed vehicle, some of them lit."""

    lamp_v: dict[str, float]  # with its sign: negative when the current runs backwards
    light: dict[str, float]
    wanted: dict[str, bool]
    ground_v: float  # of the lamps' common ground, against the tow vehicle's
    ground_a: float
    feed_a: dict[str, float]  # by circuit, into the towed vehicle
    solution: Solution


def one_circuit(
    lamp: Filament | Led,
    *,
    supply_v: float,
    connector_ohm: float,
    wire_ohm: float,
    return_ohm: float,
    ground_ohm: float,
    diode_v: float = 0.0,
) -> OneCircuit:
    """Volts at every place between the battery, one lamp circuit and the battery again.

    U = I·(R_connector + R_out + R_back + R_ground) + U_diode + U_lamp(I)

    Parameters
    ----------
    lamp : Filament or Led
        All lamps that this wire feeds, side by side.
    supply_v : float
        Volts between the tow vehicle's poles, 9 to 32.
    connector_ohm, wire_ohm, return_ohm, ground_ohm : float
        Contacts of the connector, wire to the lamp, wire (or frame) back, rust at the ground bolt; 0 or more.
    diode_v : float
        Drop of a diode in the wire, 0 for none.

    Returns
    -------
    OneCircuit
        Volts by node, volts lost by part, current, light left and watts lost.

    Raises
    ------
    ValueError
        When the supply is outside 9 to 32 V, or a resistance or the diode's drop is negative.

    Breaks down when
        other lamps share the ground wire: take rear_lamps then.

    Source
        Kirchhoff's laws, lamp laws of circuit.part_current_a.

    Examples
    --------
    >>> found = one_circuit(
    ...     Filament(4.2, 12.8),
    ...     supply_v=13.5,
    ...     connector_ohm=0.03,
    ...     wire_ohm=0.1004,
    ...     return_ohm=0.1004,
    ...     ground_ohm=0.05,
    ... )
    >>> round(found.lamp_v, 2), round(found.amps, 2), round(found.light, 2)
    (12.34, 4.12, 0.74)
    """
    if not 9.0 <= supply_v <= 32.0:
        raise ValueError("the supply must lie between 9 and 32 V")
    ohms = {"connector": connector_ohm, "wire out": wire_ohm, "wire back": return_ohm, "ground": ground_ohm}
    if min(*ohms.values(), diode_v) < 0:
        raise ValueError("resistances and the diode's drop cannot be negative")
    parts = [
        Branch(name, a, b, Resistor(max(ohms[name], _LEAST_OHM)))
        for name, a, b in (
            ("connector", "battery", "plug"),
            ("wire out", "plug", "wire"),
            ("ground", "shell", "bolt"),
            ("wire back", "bolt", "pole"),
        )
    ]
    parts.append(Branch("diode", "wire", "lamp", Diode(diode_v) if diode_v > 0 else Resistor(_LEAST_OHM)))
    found = solve_circuit([*parts, Branch("lamp", "lamp", "shell", lamp)], {"battery": supply_v, "pole": 0.0})
    lost = {name: found.branch_v[name] for name in ("connector", "wire out", "diode", "ground", "wire back")}
    lamp_v, amps = found.branch_v["lamp"], found.branch_a["lamp"]
    nodes = {
        node: found.node_v[node] for node in ("battery", "plug", "wire", "lamp", "shell", "bolt", "pole")
    }
    return OneCircuit(
        nodes, lost, lamp_v, amps, light_share(lamp, lamp_v, full_v=supply_v), amps * (supply_v - lamp_v)
    )


def rear_lamps(
    on: Collection[str],
    *,
    supply_v: float,
    feed_ohm: float,
    ground_ohm: float,
    stop: Filament | Led,
    tail: Filament | Led,
    plate: Filament | Led,
    tow_stop: Filament | Led,
    tow_tail: Filament | Led,
    blocked: bool = False,
    diode_v: float = 0.0,
) -> RearLamps:
    """All rear lamps on one ground wire, with some of the three wires switched on.

    A wire that is off is no dead end: at the tow vehicle it leads through that vehicle's own lamps to its
    ground.

    Parameters
    ----------
    on : collection of str
        Which of "tail", "left" and "right" are on; braking is left and right together.
    supply_v : float
        Volts at the tow vehicle's side, 9 to 32.
    feed_ohm : float
        Contact and wire of each fed wire, 0 or more.
    ground_ohm : float
        White wire with its contacts and rust, 0 or more; 1e6 for a broken one.
    stop, tail, plate : Filament or Led
        One stop and turn lamp, one tail lamp, the plate lamp, all at the towed vehicle.
    tow_stop, tow_tail : Filament or Led
        The tow vehicle's own lamps on the same wires: one stop and turn lamp; all lamps of its tail circuit
        together.
    blocked : bool
        True when a converter or diodes at the connector let no current run backwards.
    diode_v : float
        Drop of a diode in each fed wire, 0 for none.

    Returns
    -------
    RearLamps
        Volts and light by lamp, volts of the common ground, currents by wire.

    Raises
    ------
    ValueError
        When a circuit has another name, the supply is outside 9 to 32 V, or a resistance is negative.

    Breaks down when
        bar, ball and chains carry current too: then the lamps change with every bump.

    Source
        Kirchhoff's laws. Lamps that light each other backwards over a bad ground: told so in readers' columns
        of two magazines (read); the same follows here.

    Examples
    --------
    >>> one = {"stop": Filament(2.1, 12.8), "tail": Filament(0.59, 14.0), "plate": Filament(0.27, 14.0)}
    >>> two = {"tow_stop": Filament(2.1, 12.8), "tow_tail": Filament(2.0, 14.0)}
    >>> broken = rear_lamps({"left"}, supply_v=13.5, feed_ohm=0.15, ground_ohm=1e6, **one, **two)
    >>> broken.lamp_v["left tail"] < -3.0  # a tail lamp glows, and its current runs backwards
    True
    """
    if set(on) - set(CIRCUITS):
        raise ValueError("the wires that can be on are tail, left and right")
    if not 9.0 <= supply_v <= 32.0:
        raise ValueError("the supply must lie between 9 and 32 V")
    if min(feed_ohm, ground_ohm, diode_v) < 0:
        raise ValueError("resistances and the diode's drop cannot be negative")
    fixed = {"pole": 0.0} | {f"{circuit} pin": supply_v for circuit in CIRCUITS if circuit in on}
    drop = diode_v if diode_v > 0 else SILICON_DROP_V
    branches = [Branch("ground", "ground", "pole", Resistor(max(ground_ohm, _LEAST_OHM)))]
    for circuit in CIRCUITS:
        own = tow_tail if circuit == "tail" else tow_stop
        branches.append(Branch(f"tow {circuit}", f"{circuit} pin", "pole", own))
        branches.append(
            Branch(
                f"feed {circuit}", f"{circuit} pin", f"{circuit} wire", Resistor(max(feed_ohm, _LEAST_OHM))
            )
        )
        gate = Diode(drop) if diode_v > 0 or (blocked and circuit not in on) else Resistor(_LEAST_OHM)
        branches.append(Branch(f"gate {circuit}", f"{circuit} wire", f"{circuit} lamp", gate))
    for name, circuit in LAMPS.items():
        if name == "plate":
            lamp = plate
        elif circuit == "tail":
            lamp = tail
        else:
            lamp = stop
        branches.append(Branch(name, f"{circuit} lamp", "ground", lamp))
    found = solve_circuit(branches, fixed)
    lamps = {branch.name: branch.part for branch in branches if branch.name in LAMPS}
    return RearLamps(
        {name: found.branch_v[name] for name in LAMPS},
        {name: light_share(lamps[name], found.branch_v[name], full_v=supply_v) for name in LAMPS},
        {name: circuit in on for name, circuit in LAMPS.items()},
        found.node_v["ground"],
        found.branch_a["ground"],
        {circuit: found.branch_a[f"feed {circuit}"] for circuit in CIRCUITS},
        found,
    )


def fuse_a(current_a: float, *, largest_a: float) -> float | None:
    """The fuse for a circuit: the next size in the shops above 1.25 times the current, and never above what
    the wire bears.

    smallest F in (1, 2, 3, 5, 7.5, 10, 15, 20, 25, 30 A) with F ≥ 1.25·I, if F ≤ F_wire

    Parameters
    ----------
    current_a : float
        Steady current of all lamps behind it, above 0.
    largest_a : float
        Largest fuse for the thinnest wire behind it, above 0.

    Returns
    -------
    float or None
        Amperes; None when the wire is too thin for this current.

    Raises
    ------
    ValueError
        When a current is not above zero.

    Breaks down when
        the maker of lamps, wire or vehicle gives a fuse: theirs holds.

    Source
        Common practice, no source; sizes of fuses from memory.

    Examples
    --------
    >>> fuse_a(5.6, largest_a=10.0), fuse_a(9.0, largest_a=10.0)
    (7.5, None)
    """
    if not (current_a > 0 and largest_a > 0):
        raise ValueError("the current and the wire's largest fuse must be above zero")
    size = next((size for size in FUSES_A if size >= FUSE_OVER_CURRENT * current_a - 1e-9), None)
    return size if size is not None and size <= largest_a else None
