"""Lesson 03: the whole envelope of loads as a table, and the rules that were written for towing equipment."""

from towlib.handbook.tables import load_table, source_words
from towlib.lessons.l03_bar.bar_loads import steep_pass, whole_envelope
from towlib.lessons.shown_tables import Table, Tables
from towlib.limits.attachment_limits import known_attachment
from towlib.paths import DATA
from towlib.physics.hitch.attachment import first_to_yield
from towlib.rig.facts import Facts
from towlib.rig.model import load_rig
from towlib.units import number, show

DEMOS = ("demo_comfortable", "demo_overloaded")
HEADS = ("case", "along, across, upright", "left arm, right arm", "what yields first", "at how many times")


def envelope_tables(system: str) -> Tables:
    """The envelope of both invented pairs on the short steep pass: the force of the ball on the coupler, what
    each arm carries (pull +, push −), and which part of a bracket yields first.
    """
    return Tables(
        *(envelope_table(Facts(load_rig(DATA / "rigs" / f"{name}.toml")), system) for name in DEMOS)
    )


def envelope_table(facts: Facts, system: str) -> Table:
    """The envelope of one rig."""
    attachment, missing = known_attachment(facts)
    rows = []
    for case, loads in whole_envelope(facts, steep_pass()):
        parts = first_to_yield([(loads.left, 1.0), (loads.right, -1.0)], attachment)
        known = [part for part in parts if part.load_factor is not None]
        first = known[0] if known and not missing else None
        rows.append(
            (
                case.name,
                ", ".join(_signed(part, system) for part in case.force),
                ", ".join(_signed(arm, system) for arm in (loads.left_arm_n, loads.right_arm_n)),
                first.name if first else "not known",
                number(first.load_factor or 0.0, 2) if first else "not known",
            )
        )
    notes = [f"{facts.rig.name}. Below 1 it yields; welds, cracks and the frame are not seen."]
    if missing:
        notes.append(f"Not known: {'; '.join(missing)}.")
    return Table(HEADS, rows, *notes)


def _signed(force_n: float, system: str) -> str:
    size_n = 0.0 if abs(force_n) < 0.5 else abs(force_n)
    return f"{'−' if size_n and force_n < 0 else ''}{show(size_n, 'force', system)}"


def rules_of_equipment() -> Table:
    """What rules ask of bars, fastenings, chains and couplings, and whom each binds."""
    rows = [
        (f"{row['place']}, {row['document']}", row["asks"], row["binds"], source_words(row["source"]))
        for row in load_table("tow_bar_rules")
    ]
    return Table(("rule", "what it asks", "whom it binds", "read where"), rows)
