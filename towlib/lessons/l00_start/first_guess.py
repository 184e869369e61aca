"""What one should have seen in the panel of the first notebook."""

from towlib.lessons.declare import with_values
from towlib.limits.loads import tow_axles_kg
from towlib.rig.facts import Facts
from towlib.units import show

ADDED_KG = 300.0


def front_axle_seen(facts: Facts, system: str) -> str:
    """Both axles with something heavy in the middle, and at the open tailgate."""
    wheelbase = facts.need("tow_vehicle.wheelbase")
    tailgate = wheelbase + facts.need("tow_vehicle.rear_overhang")
    nobody = {"carried.tow.mass": 0.0, "carried.tow.place": 0.0}
    empty, middle, behind = (
        tow_axles_kg(with_values(facts, {**nobody, **other}), "out")
        for other in (
            {},
            {"carried.tow.mass": ADDED_KG, "carried.tow.place": 0.6 * wheelbase},
            {"carried.tow.mass": ADDED_KG, "carried.tow.place": tailgate},
        )
    )
    added = show(ADDED_KG, "mass", system)
    return (
        f"With {added} between the axles the front axle of this tow vehicle carries"
        f" {show(middle[0], 'mass', system)}; with the same {added} at the open tailgate"
        f" {show(behind[0], 'mass', system)}, less than with nothing in it"
        f" ({show(empty[0], 'mass', system)}). The rear axle then carries"
        f" {show(behind[1] - empty[1], 'mass', system)} more, more than was put in. **What the rear axle"
        " gains the front axle loses.** A hatched orange bar is over its rating; the sentence below the"
        " picture says by how much."
    )
