"""The plan as a readable text report."""

import math
from textwrap import wrap

from towlib.handbook.tables import known_words, source_words
from towlib.limits.legs import Leg
from towlib.limits.limit import NOT_KNOWN, OVER, Limit, in_words
from towlib.plan.brake_range import brake_range_words
from towlib.plan.driving_words import driving_words
from towlib.plan.other_ways import other_ways_words
from towlib.plan.trip import NOT_JUDGED, Plan
from towlib.print.field_lists import field_at
from towlib.rig.facts import Facts
from towlib.rig.model import label_of
from towlib.rig.plausible import questions
from towlib.units import from_si, number, show, unit_label

CAUTION = (
    "These are computed figures for teaching. The vehicle makers' manuals, the gear makers' instructions,"
    " local law and licensed workshops come first. A limit that is not known is not a pass."
)
WIDE = 100


def report(plan: Plan, system: str = "metric") -> str:
    """The whole plan as text at most 100 characters wide."""
    lines = [
        f"Rig:  {plan.rig.name or 'unnamed'}{' (invented)' if plan.rig.invented else ''}",
        (
            f"Road: {plan.route.name} ({show(plan.route.length_m, 'distance', system)} one way,"
            f" {show(plan.route.climb_m, 'height', system)} up,"
            f" {show(plan.route.descent_m, 'height', system)} down, summit"
            f" {show(plan.route.summit_m, 'height', system)})"
        ),
        "",
    ]
    lines += _wrapped(f"Verdict: {plan.verdict} {NOT_JUDGED}")
    if plan.governing:
        lines += _wrapped(
            f"Governing: {plan.governing.title}, {answer_words(plan.governing, system)}."
            f" {plan.governing_advice}"
        )
    if asked := questions(plan.rig):
        lines += ["", "To look at first, because it may be a slip; correct it, or confirm it in the form:"]
        for question in asked:
            lines += _wrapped(f"  {question.words}")
        lines += [""]
    for words in (*plan.to_fit, plan.prop):
        lines += _wrapped(words)
    lines += ["", *_limit_table(plan, system)]
    others = [limit for limit in plan.limits if limit.answer == OVER and limit is not plan.governing]
    if others:
        lines += ["", "What would move the others that are over:"]
        for limit in others:
            lines += _wrapped(f"  {limit.title}: {limit.advice}")
    for leg in plan.legs:
        lines += ["", *_leg_table(leg, system)]
    if spread := brake_range_words(plan.rig, plan.legs, system):
        lines += ["", *_wrapped(spread)]
    for words in (
        *driving_words(Facts(plan.rig), plan.route, plan.legs, system),
        *other_ways_words(Facts(plan.rig), system),
    ):
        lines += _wrapped(words)
    if plan.road_missing:
        lines += ["", *_wrapped(f"The road was not driven: not known ({plan.road_missing}).")]
    if plan.assumed:
        lines += ["", "Assumed, because the rig file does not give it (marked * above):"]
        for a in plan.assumed:
            lines += _wrapped(
                f"  {field_words(a.field)}: {a.text} ({known_words(a.known_by)}; {source_words(a.source)})"
                f" [{a.field}]"
            )
    notes = [line for note in plan.route.notes for line in _wrapped(f"Road file: {note}")]
    return "\n".join([*lines, "", *notes, *_wrapped(CAUTION)]) + "\n"


def _wrapped(text: str) -> list[str]:
    return wrap(text, WIDE, subsequent_indent="    ")


def field_words(path: str) -> str:
    """A rig field in words; a sentence that is no path stays as it is."""
    owner = {"tow_vehicle": "tow vehicle, ", "towed_vehicle": "towed vehicle, "}.get(
        path.partition(".")[0], ""
    )
    part = {"front_tyres": "front tyres, ", "rear_tyres": "rear tyres, "}.get(
        path.split(".")[1] if path.count(".") > 1 else "", ""
    )
    field = field_at(path)
    return f"{owner}{part}{field.label}" if field else path


def short_words(path: str) -> str:
    """The same in few words, for paper: what stands beside a slider of it; a sentence that is no path stays
    as it is.
    """
    if field_at(path) is None:
        return path
    words = label_of(path).partition(" (")[0]
    return words[0].lower() + words[1:] if words[1:2].islower() else words


def answer_words(limit: Limit, system: str) -> str:
    """The answer with what is missing in words instead of field names."""
    return limit.answer_text(system, field_words)


def limit_cells(limit: Limit, system: str) -> tuple[str, str, str, str]:
    """Title, demand, capacity and answer of a limit as text; an assumed input is starred."""
    star = "*" if limit.assumed else ""
    return (
        limit.title + star,
        "–" if limit.beyond else in_words(limit.demand, limit.kind, system),
        in_words(limit.capacity, limit.kind, system),
        answer_words(limit, system),
    )


def _limit_table(plan: Plan, system: str) -> list[str]:
    lines = [f"{'limit':<44}{'demand':>12}{'capacity':>12}  answer"]
    for limit in plan.limits:
        title, demand, capacity, answer = limit_cells(limit, system)
        if limit.answer != NOT_KNOWN and limit.way == "back":
            answer += " (way back)"
        first, *rest = wrap(answer, WIDE - 70)
        lines.append(f"{title:<44}{demand:>12}{capacity:>12}  {first}")
        lines += [" " * 72 + more for more in rest]
    return lines


def leg_columns(system: str) -> tuple[str, ...]:
    """Headings of the road table, with units."""
    return (
        f"from {unit_label('distance', system)}",
        f"to {unit_label('distance', system)}",
        "grade %",
        unit_label("speed", system),
        "gear",
        "rpm",
        f"front {unit_label('temperature', system)}",
        f"rear {unit_label('temperature', system)}",
        f"coolant {unit_label('temperature', system)}",
        "min",
        unit_label("volume", system),
    )


def leg_rows(leg: Leg, system: str) -> list[tuple[str, ...]]:
    """The road table: one row of text a segment."""
    rows = []
    for row in leg.rows:
        segment = row.segment
        rows.append(
            (
                f"{from_si(segment.start_m, 'distance', system):.1f}",
                f"{from_si(segment.end_m, 'distance', system):.1f}",
                f"{segment.mean_grade * 100:+.1f}",
                f"{from_si(row.speed_m_s, 'speed', system):.0f}",
                str(row.gear),
                f"{round(row.rpm, -1):.0f}",
                *(_degrees(t, system) for t in (row.front_brake_c, row.rear_brake_c, row.coolant_c)),
                f"{row.time_s / 60:.1f}",
                f"{from_si(row.fuel_m3, 'volume', system):.2f}",
            )
        )
    return rows


def _degrees(value_c: float, system: str) -> str:
    return "–" if math.isnan(value_c) else f"{from_si(value_c, 'temperature', system):.0f}"


SHEET_COLUMNS = (0, 2, 3, 4, 5, 6, 7, 8)  # those of the road table that fit on half a page


def leg_summary(leg: Leg, system: str) -> str:
    """One sentence on a way: time, fuel, and where it stopped if it did."""
    journey = leg.journey
    if journey.stopped_at_m is not None:
        return (
            f"The pair stops {show(journey.stopped_at_m, 'distance', system)} into the road {leg.way}: "
            "the engine cannot pull it any further."
        )
    return f"{number(journey.time_s[-1] / 60)} min, {show(journey.fuel_m3[-1], 'volume', system)} of fuel."


def _leg_table(leg: Leg, system: str) -> list[str]:
    widths = (9, 8, 9, 7, 6, 7, 10, 9, 12, 7, 7)
    lines = [f"Road {leg.way}: {leg_summary(leg, system)} Brake temperatures at the end of each stretch."]
    for cells in (leg_columns(system), *leg_rows(leg, system)):
        lines.append("".join(cell.rjust(width) for cell, width in zip(cells, widths, strict=True)))
    return lines
