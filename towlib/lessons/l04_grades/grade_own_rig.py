"""Lesson 04: sentences on the climb of the rig in use, and on the yardstick of SAE J2807."""

from towlib.errors import InputError
from towlib.limits.climbs import climb_rows, cooling_stops
from towlib.limits.decision import answer
from towlib.limits.legs import Leg, driver, pair_on_road
from towlib.limits.road_limits import START_M_S2, road_rules
from towlib.physics.drive.climb import pull_away_force_n, pull_away_needed_n
from towlib.physics.drive.launch import seconds_to_speed
from towlib.physics.drive.powertrain import SEA_LEVEL_DENSITY_KG_M3
from towlib.physics.drive.reference_climb import LOWEST_M_S, reference_climb
from towlib.rig.facts import Facts, NotKnown
from towlib.rig.model import Rig, label_of
from towlib.road.route import Route
from towlib.units import show

CLIMB_KEYS = ("climb_speed", "pull_away", "grip", "coolant")
MPH_M_S, STANDARD_RAMP = 0.44704, 0.12
TIMES = ((30 * MPH_M_S, 12.0), (60 * MPH_M_S, 30.0))  # speed to reach, seconds allowed


def climb_plan_words(rig: Rig, road: Route, system: str) -> list[str]:
    """The plan's limits of the climb, each climb of the road, and where to halt for the coolant."""
    facts, drive = Facts(rig), driver(road)
    try:
        leg = drive(facts, "out")
    except NotKnown as unknown:
        return [f"The climb is not known: {_lacks(unknown.reason)}."]
    limits = [answer(rule, facts) for rule in road_rules(facts, drive) if rule.key in CLIMB_KEYS]
    return [
        f"Road: {road.name}, the way out.",
        *(
            f"{limit.title}{'*' if limit.assumed else ''}: {limit.answer_text(system, _lacks)}."
            for limit in limits
        ),
        *_climbs(facts, leg, system),
        *_halts(facts, leg, system),
        *(["* rests on an assumed value."] if any(limit.assumed for limit in limits) else []),
    ]


def _climbs(facts: Facts, leg: Leg, system: str) -> list[str]:
    lines = []
    for row in climb_rows(facts, leg):
        place = " to ".join(show(end, "distance", system) for end in (row.segment.start_m, row.segment.end_m))
        held = "no gear holds it"
        if row.point:
            held = (
                f"gear {row.point.gear}, {show(row.point.speed_m_s, 'speed', system)},"
                f" {show(round(row.point.rpm, -1), 'shaft_speed', system)}"
            )
        lines.append(f"{place}: {show(row.grade, 'grade', system, 2)} on the steepest 200 m: {held}.")
    return lines


def _halts(facts: Facts, leg: Leg, system: str) -> list[str]:
    try:
        plan = cooling_stops(facts, leg)
    except NotKnown as unknown:
        return [f"Halts for the coolant are not known: {_lacks(unknown.reason)}."]
    lines = [
        f"Halt before {show(stop.at_m, 'distance', system)}: at least {show(stop.time_s, 'time', system, 2)}"
        " with the engine idling."
        for stop in plan.stops
    ]
    if plan.gives_up_at_m is not None:
        at = show(plan.gives_up_at_m, "distance", system)
        return [*lines, f"From {at} on halts do not help: slower, lighter or cooler."]
    return lines or ["No halt needed for the coolant by these figures."]


def yardstick_words(rig: Rig, road: Route, system: str) -> list[str]:
    """The rig on the reference climb and in the other parts of the yardstick; the road does not matter."""
    facts = Facts(rig)
    try:
        pair = pair_on_road(facts, "out")
    except NotKnown as unknown:
        return [f"Not known: {_lacks(unknown.reason)}."]
    climbed = reference_climb(pair)
    needed = pull_away_needed_n(
        pair.mass_kg,
        STANDARD_RAMP,
        rolling_coefficient=pair.rolling_coefficient,
        acceleration_m_s2=START_M_S2,
        inertia_factor=pair.inertia_factor,
    )
    times = []
    for speed, allowed in TIMES:
        seconds = seconds_to_speed(
            pair, 0.0, speed, power_factor=1.0, air_density_kg_m3=SEA_LEVEL_DENSITY_KG_M3
        )
        reached = "never reached" if seconds is None else f"{seconds:.0f} s"
        times.append(f"{show(speed, 'speed', system)} from standing: {reached} (yardstick {allowed:.0f} s)")
    slowest = "comes to a stand"
    if climbed.journey.stopped_at_m is None:
        slowest = f"slowest {show(climbed.lowest_m_s, 'speed', system)}"
    coolant = "coolant not known"
    if pair.cooling is not None and climbed.journey.stopped_at_m is None:
        coolant = f"coolant to {show(climbed.highest_coolant_c, 'temperature', system)}"
    return [
        f"On the reference climb: {slowest} (yardstick {show(LOWEST_M_S, 'speed', system)}), {coolant}.",
        f"{'; '.join(times)}.",
        f"Pulling away on {show(STANDARD_RAMP, 'grade')} needs {show(needed, 'force', system)}; first gear at"
        f" sea level gives {show(pull_away_force_n(pair, power_factor=1.0), 'force', system)}.",
    ]


def _lacks(reason: str) -> str:
    """What is not known: a field by its label, never by its key."""
    try:
        return f"the rig file does not say: {label_of(reason)}"
    except (InputError, ValueError):
        return reason
