"""What the driver is told about the climbs of one way: gear and speed for each grade up, and where to stop
for the coolant.
"""

import math
from typing import NamedTuple

from towlib.limits.legs import Drive, Leg, climb_grade
from towlib.limits.loads import towed_empty_kg
from towlib.physics.drive.cooling_stops import CoolantPlan, plan_cooling_stops
from towlib.physics.drive.traction import OperatingPoint, operating_point
from towlib.rig.facts import Facts, NotKnown
from towlib.road.route import Segment

LIGHTER_KG = 50.0  # steps in which less weight is looked for
GO_ON_ABOVE_THERMOSTAT_K = 5.0  # common practice, no source: go on when the gauge is back near normal


class ClimbRow(NamedTuple):
    """One climb: what its steepest 200 m allow."""

    segment: Segment
    grade: float
    point: OperatingPoint | None  # None when no gear holds this grade


def climb_rows(facts: Facts, leg: Leg) -> tuple[ClimbRow, ...]:
    """Every climb of a way with the speed and gear its steepest part allows, at most the speed wanted and the
    road's limit.
    """
    cruise = facts.need("conditions.cruise_speed")
    rows = []
    for segment, density, factor in leg.climbs():
        limit = segment.speed_limit_m_s
        wanted = cruise if math.isnan(limit) else min(cruise, limit)
        grade = climb_grade(segment)
        rows.append(
            ClimbRow(
                segment,
                grade,
                operating_point(
                    leg.pair, grade, wanted_m_s=wanted, power_factor=factor, air_density_kg_m3=density
                ),
            )
        )
    return tuple(rows)


def less_behind_kg(facts: Facts, drive: Drive, way: str) -> float | None:
    """How much less the towed vehicle would have to weigh, in steps of 50 kg, for every climb of a way to be
    as fast as asked there; None when half of it would still be too much. Lighter is never slower.
    """
    asked_m_s, empty_kg = facts.need("conditions.lowest_climb_speed"), sum(towed_empty_kg(facts))

    def enough(steps: int) -> bool:
        lighter = facts.other({"towed_vehicle.empty_mass": empty_kg - steps * LIGHTER_KG})
        asked, reached = drive(lighter, way).hardest_climb(asked_m_s)
        return bool(asked <= reached)

    low, high = 0, int(empty_kg / 2 / LIGHTER_KG)
    if not enough(high):
        return None
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(middle) else (middle, high)
    return high * LIGHTER_KG


def cooling_stops(facts: Facts, leg: Leg) -> CoolantPlan:
    """Halts that keep the coolant within its limit on a way; NotKnown when the cooling or its limit is, or
    the pair stops.
    """
    facts.need("tow_vehicle.cooling.conductance")
    highest = facts.need("tow_vehicle.cooling.highest_coolant")
    if leg.journey.stopped_at_m is not None:
        raise NotKnown(f"the pair stops {leg.journey.stopped_at_m / 1000:.1f} km into the road {leg.way}")
    assert leg.pair.cooling is not None  # its conductance is known
    thermostat = leg.pair.cooling.thermostat_c
    restart = thermostat + GO_ON_ABOVE_THERMOSTAT_K
    if restart >= highest:
        raise NotKnown(
            "the coolant's limit lies at or below the thermostat's temperature: one of the two figures is"
            " wrong"
        )
    return plan_cooling_stops(
        leg.pair,
        leg.journey,
        step_m=leg.route.step_m,
        highest_c=highest,
        restart_c=restart,
        start_c=thermostat,
        air_c=leg.air_c,
        air_density_kg_m3=leg.air_density_kg_m3,
    )
