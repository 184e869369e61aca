"""What stands on each axle of the rig, on the way out and on the way back."""

from towlib.physics.brakes.stopping import pair_deceleration_m_s2
from towlib.physics.weights.axle_loads import axle_loads
from towlib.rig.facts import LOADED, Facts, NotKnown

NOBODY = "nobody said who rides in the tow vehicle, and what it carries"
LIGHTER_THAN_EMPTY = (
    "loaded, the tow vehicle weighs less than its GVWR and payload leave for it empty: weigh it again"
)


def ball_load_kg(facts: Facts) -> float:
    """Vertical load of a level bar standing still: half its own weight, its centre taken at its middle."""
    moved = facts.moved("hitch.ball_load")
    return facts.need("tow_bar.mass") / 2.0 if moved is None else moved


def towed_empty_kg(facts: Facts) -> tuple[float, float]:
    """Front and rear axle of the towed vehicle, empty; another mass is shared as the rig shares its own."""
    front, rear = facts.need("towed_vehicle.front_axle_empty"), facts.need("towed_vehicle.rear_axle_empty")
    empty, loaded = facts.moved("towed_vehicle.empty_mass"), facts.moved("towed_vehicle.mass")
    if empty is None and loaded is None:
        return front, rear
    if empty is None:
        empty = loaded - carried_kg(facts, "towed", "out")
    return front * empty / (front + rear), rear * empty / (front + rear)


def own_brake_share(facts: Facts, *, if_not_said: float | None = None) -> float:
    """Share of the pair's braking that the towed vehicle's own brakes do; 0 when it has none, or while nobody
    has said that it has. `if_not_said` stands in for a share that is not known.
    """
    if (moved := facts.moved("towed_vehicle.working_brake_share")) is not None:
        return moved
    if not facts.have("towed_vehicle.brakes_fitted"):
        return 0.0
    share = facts.have("towed_vehicle.brake_share")
    if share is None:
        share = if_not_said
    return facts.need("towed_vehicle.brake_share") if share is None else share


def carried_kg(facts: Facts, vehicle: str, way: str) -> float:
    """People and cargo of a vehicle together."""
    return sum(mass for mass, _ in facts.carried(vehicle, way))


def somebody_rides(facts: Facts, way: str) -> None:
    """Raise NotKnown while nobody has said that anyone rides in the tow vehicle: somebody drives."""
    if not facts.carried("tow", way) and facts.have("tow_vehicle.weighed") != LOADED:
        raise NotKnown(NOBODY)


def tow_axles_kg(facts: Facts, way: str) -> tuple[float, float]:
    """Front and rear axle of the tow vehicle, standing, with people, cargo and the bar's end on the ball."""
    wheelbase = facts.need("tow_vehicle.wheelbase")
    items = facts.carried("tow", way)
    items.append((ball_load_kg(facts), wheelbase + facts.need("tow_vehicle.ball_behind_rear_axle")))
    loads = axle_loads(
        facts.need("tow_vehicle.front_axle_empty"),
        facts.need("tow_vehicle.rear_axle_empty"),
        wheelbase_m=wheelbase,
        items=items,
    )
    return loads.front_kg, loads.rear_kg


def tow_total_kg(facts: Facts, way: str) -> float:
    """Tow vehicle with people, cargo and the bar's end on the ball."""
    empty = facts.need("tow_vehicle.front_axle_empty") + facts.need("tow_vehicle.rear_axle_empty")
    return empty + ball_load_kg(facts) + carried_kg(facts, "tow", way)


def payload_kg(facts: Facts, way: str) -> float:
    """People, cargo and ball load together: what the door sticker's payload means. Of a vehicle weighed
    loaded: what stands on the scale above the weight that GVWR and payload leave for it empty.
    """
    if facts.have("tow_vehicle.weighed") == LOADED:
        empty = facts.need("tow_vehicle.gvwr") - facts.need("tow_vehicle.payload")
        carried = tow_total_kg(facts, way) - empty
        if carried < 0:
            raise NotKnown(LIGHTER_THAN_EMPTY)
        return carried
    return ball_load_kg(facts) + carried_kg(facts, "tow", way)


def towed_axles_kg(facts: Facts, way: str) -> tuple[float, float]:
    """Front and rear axle of the towed vehicle, standing, with its cargo and the bar's end on the
    brackets.
    """
    items = facts.carried("towed", way)
    items.append((ball_load_kg(facts), -facts.need("towed_vehicle.bracket_ahead_of_front_axle")))
    loads = axle_loads(
        *towed_empty_kg(facts),
        wheelbase_m=facts.need("towed_vehicle.wheelbase"),
        items=items,
    )
    return loads.front_kg, loads.rear_kg


def towed_total_kg(facts: Facts, way: str) -> float:
    """Towed vehicle with its cargo and the bar's other end: what the towed-weight ratings are held
    against.
    """
    return sum(towed_empty_kg(facts)) + ball_load_kg(facts) + carried_kg(facts, "towed", way)


def own_deceleration_m_s2(facts: Facts, way: str) -> float:
    """How hard the tow vehicle's brakes slow this pair down, level and dry, the towed vehicle not braking:
    its own brakes may fail.
    """
    if (moved := facts.moved("tow_vehicle.pair_deceleration")) is not None:
        return moved
    return pair_deceleration_m_s2(
        tow_mass_kg=tow_total_kg(facts, way),
        towed_mass_kg=towed_total_kg(facts, way),
        tow_deceleration_m_s2=facts.need("tow_vehicle.brakes.deceleration_alone"),
    )
