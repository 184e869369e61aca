"""The road against the rig: climb, pulling away, grip, coolant, brakes, engine speed, fuel."""

from collections.abc import Callable

from towlib.limits.legs import Drive, Leg, air_at, steepest_pitch
from towlib.limits.limit import WAYS, Rule, rating
from towlib.limits.loads import tow_axles_kg
from towlib.physics.drive.climb import pull_away_force_n, pull_away_needed_n
from towlib.physics.drive.journey import Pair
from towlib.physics.drive.traction import AxleGrip, axle_grip_n
from towlib.rig.facts import Facts

START_M_S2 = 0.3  # common practice, no source: a gentle start on a ramp
WET_FRICTION = 0.5  # rubber sliding on wet concrete, OpenStax College Physics, module m42139
LINING = "lining maker, or the published index of fade"


def axle_grip(
    facts: Facts,
    pair: Pair,
    way: str,
    *,
    grade: float,
    friction_coefficient: float,
    acceleration_m_s2: float = 0.0,
) -> AxleGrip:
    """What the tow vehicle's tyres pass on, axle by axle, with the towed vehicle pulling at the ball."""
    front_kg, rear_kg = tow_axles_kg(facts, way)
    return axle_grip_n(
        front_kg,
        rear_kg,
        grade=grade,
        friction_coefficient=friction_coefficient,
        towed_mass_kg=pair.mass_kg - front_kg - rear_kg,
        rolling_coefficient=pair.rolling_coefficient,
        wheelbase_m=facts.need("tow_vehicle.wheelbase"),
        cg_height_m=facts.need("tow_vehicle.cg_height"),
        hitch_height_m=facts.need("hitch.receiver_height") + facts.need("hitch.ball_mount_change"),
        overhang_m=facts.need("tow_vehicle.ball_behind_rear_axle"),
        acceleration_m_s2=acceleration_m_s2,
    )


def of_driven_axles(facts: Facts, grip: AxleGrip) -> float:
    """The part of a grip that the driven axles pass on."""
    return {"front": grip.front_n, "rear": grip.rear_n, "both": grip.both_n}[
        facts.need("tow_vehicle.driven_axles")
    ]


def _driven_grip_n(facts: Facts, leg: Leg, way: str) -> float:
    """What the wet tyres of the driven axles hold while pulling away on the steepest pitch."""
    grip = axle_grip(
        facts,
        leg.pair,
        way,
        grade=steepest_pitch(leg.route)[0],
        friction_coefficient=WET_FRICTION,
        acceleration_m_s2=START_M_S2,
    )
    return of_driven_axles(facts, grip)


def grip_advice(facts: Facts, way: str) -> str:
    """What gives these tyres more grip: with both axles driven, where the load stands makes no difference."""
    driven = facts.need("tow_vehicle.driven_axles")
    if driven == "both":
        return "Less weight in the towed vehicle, or wait for a dry road."
    where = {"front": "further forward", "rear": "further back"}[driven]
    return (
        "Drive both axles where the maker allows it, less weight in the towed vehicle, load of the tow"
        f" vehicle {where}, over the driven axle, or wait for a dry road."
    )


def road_rules(rig_facts: Facts, drive: Drive) -> tuple[Rule, ...]:
    """The limits that need the road driven; the towed vehicle's brakes only when it may have any."""

    def needed_n(facts: Facts, way: str) -> float:
        leg = drive(facts, way)
        return pull_away_needed_n(
            leg.pair.mass_kg,
            steepest_pitch(leg.route)[0],
            rolling_coefficient=leg.pair.rolling_coefficient,
            inertia_factor=leg.pair.inertia_factor,
            acceleration_m_s2=START_M_S2,
        )

    def pull_n(facts: Facts, way: str) -> float:
        leg = drive(facts, way)
        return pull_away_force_n(leg.pair, power_factor=air_at(leg, steepest_pitch(leg.route)[1])[1])

    def towed_brakes_c(facts: Facts, way: str) -> float:
        for path in (
            "towed_vehicle.brakes_fitted",
            "towed_vehicle.brake_share",
            "towed_vehicle.brake_heated_mass",
        ):
            facts.need(path)
        return drive(facts, way).highest_brake_c(2)

    def brake_c(axle: int, mass_path: str) -> Callable[[Facts, str], float]:
        def demand(facts: Facts, way: str) -> float:
            facts.need(mass_path)
            return drive(facts, way).highest_brake_c(axle)

        return demand

    def coolant_c(facts: Facts, way: str) -> float:
        facts.need("tow_vehicle.cooling.conductance")
        return drive(facts, way).highest_coolant_c()

    def fuel_m3(facts: Facts, way: str) -> float:
        return sum(drive(facts, each).fuel_m3() for each in WAYS)

    def climb(part: int) -> Callable[[Facts, str], float]:
        """Speed asked (0) and reached (1) on the climb that has least of it."""
        return lambda facts, way: drive(facts, way).hardest_climb(
            facts.need("conditions.lowest_climb_speed")
        )[part]

    slower = (
        "Come down at a speed at which a lower gear holds; stop and let the brakes cool in the air (no water)"
        " if they smell or fade."
    )
    rules = (
        Rule(
            "climb_speed",
            "Speed wanted on the hardest climb",
            "speed",
            climb(0),
            climb(1),
            "engine curve, gears and thin air",
            "Less weight, as far as the engine then pulls faster or a higher gear holds; or accept a lower"
            " speed and use the slow lane.",
        ),
        Rule(
            "pull_away",
            "Pulling away on the steepest pitch",
            "force",
            needed_n,
            pull_n,
            "engine curve, first gear, thin air; steepest 25 m, or what the road file resolves",
            "Do not stop on this pitch; less weight; low range if the tow vehicle has one.",
        ),
        Rule(
            "grip",
            "Tyre grip on the steepest pitch, wet",
            "force",
            needed_n,
            lambda facts, way: _driven_grip_n(facts, drive(facts, way), way),
            "friction 0.5, rubber sliding on wet concrete (OpenStax College Physics m42139)",
            "Less weight in the towed vehicle, or wait for a dry road.",
        ),
        Rule(
            "coolant",
            "Coolant, highest",
            "temperature",
            coolant_c,
            rating("tow_vehicle.cooling.highest_coolant"),
            MAKER,
            "Climb early in the day; halt where it is flat and let the engine idle with the fan on, as named"
            " beside the road table.",
        ),
        Rule(
            "front_brakes",
            "Front brakes, highest",
            "temperature",
            brake_c(0, "tow_vehicle.brakes.front_heated_mass"),
            rating("tow_vehicle.brakes.highest_front"),
            LINING,
            slower,
        ),
        Rule(
            "rear_brakes",
            "Rear brakes, highest",
            "temperature",
            brake_c(1, "tow_vehicle.brakes.rear_heated_mass"),
            rating("tow_vehicle.brakes.highest_rear"),
            LINING,
            slower,
        ),
        Rule(
            "towed_brakes",
            "Towed vehicle's brakes, highest",
            "temperature",
            towed_brakes_c,
            rating("towed_vehicle.highest_brake"),
            LINING,
            slower,
        ),
        Rule(
            "fuel",
            "Fuel, out and back",
            "volume",
            fuel_m3,
            rating("tow_vehicle.fuel_tank"),
            MAKER,
            "Fill up on the way.",
            per_way=False,
        ),
    )
    unbraked = rig_facts.have("towed_vehicle.brakes_fitted") is False
    return tuple(rule for rule in rules if not (unbraked and rule.key == "towed_brakes"))


MAKER = "tow vehicle maker's manual"
