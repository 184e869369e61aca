"""What stands on each axle of the rig, on the way out and on the way back."""

from towlib.facts import Facts
from towlib.physics.weights import axle_loads


def ball_load_kg(facts: Facts) -> float:
    """Vertical load of a level bar standing still: half its own weight, its centre taken at its middle."""
    return facts.need("tow_bar.mass") / 2.0


def tow_axles_kg(facts: Facts, way: str) -> tuple[float, float]:
    """Front and rear axle of the tow vehicle, standing, with people, cargo and the bar's end on the ball."""
    wheelbase = facts.need("tow_vehicle.wheelbase")
    items = facts.carried("tow", way)
    items.append((ball_load_kg(facts), wheelbase + facts.need("tow_vehicle.ball_behind_rear_axle")))
    loads = axle_loads(facts.need("tow_vehicle.front_axle_empty"), facts.need("tow_vehicle.rear_axle_empty"), wheelbase_m=wheelbase,
                       items=items)
    return loads.front_kg, loads.rear_kg


def tow_total_kg(facts: Facts, way: str) -> float:
    """Tow vehicle with people, cargo and the bar's end on the ball."""
    empty = facts.need("tow_vehicle.front_axle_empty") + facts.need("tow_vehicle.rear_axle_empty")
    return empty + ball_load_kg(facts) + sum(mass for mass, _ in facts.carried("tow", way))


def payload_kg(facts: Facts, way: str) -> float:
    """People, cargo and ball load together: what the door sticker's payload means."""
    return ball_load_kg(facts) + sum(mass for mass, _ in facts.carried("tow", way))


def towed_axles_kg(facts: Facts, way: str) -> tuple[float, float]:
    """Front and rear axle of the towed vehicle, standing, with its cargo and the bar's end on the brackets."""
    items = facts.carried("towed", way)
    items.append((ball_load_kg(facts), -facts.need("towed_vehicle.bracket_ahead_of_front_axle")))
    loads = axle_loads(facts.need("towed_vehicle.front_axle_empty"), facts.need("towed_vehicle.rear_axle_empty"),
                       wheelbase_m=facts.need("towed_vehicle.wheelbase"), items=items)
    return loads.front_kg, loads.rear_kg


def towed_total_kg(facts: Facts, way: str) -> float:
    """Towed vehicle with its cargo and the bar's other end: what the towed-weight ratings are held against."""
    empty = facts.need("towed_vehicle.front_axle_empty") + facts.need("towed_vehicle.rear_axle_empty")
    return empty + ball_load_kg(facts) + sum(mass for mass, _ in facts.carried("towed", way))
