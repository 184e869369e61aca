"""Lesson 11: a plan to read on the screen, and to write as a sheet of paper."""

import html
from collections.abc import Iterable, Sequence

from towlib.limits.legs import Leg
from towlib.limits.limit import NOT_KNOWN, OVER
from towlib.paths import DATA, reader_folder
from towlib.plan.brake_range import brake_range_words
from towlib.plan.driving_words import driving_words
from towlib.plan.other_ways import other_ways_words
from towlib.plan.trip import NOT_JUDGED, Plan, make_plan
from towlib.print.checklists import checklists
from towlib.print.report import (
    CAUTION,
    answer_words,
    field_words,
    leg_columns,
    leg_rows,
    leg_summary,
    limit_cells,
)
from towlib.print.sheet import rig_name, sheet_html
from towlib.rig.facts import Facts
from towlib.rig.model import Rig, load_rig
from towlib.rig.store import write_whole
from towlib.road.route import Route, load_route
from towlib.units import show

SHEET = "my_trip_sheet.html"
EXAMPLE_RIG, EXAMPLE_ROAD = DATA / "rigs" / "demo_overloaded.toml", DATA / "routes" / "short_steep_pass.csv"


def write_sheet(plan: Plan, system: str = "metric", name: str = SHEET) -> str:
    """Write the printable sheet beside the reader's rig and say where."""
    write_whole(reader_folder() / name, sheet_html(plan, system))
    return f"Written: {name}, beside your rig file. Open it and print it: one sheet of paper, both sides."


def example_of_a_verdict() -> tuple[list[tuple[str, str]], str, str]:
    """The rig that is asked too much on the short pass: its first limits, the verdict, and what governs."""
    plan = make_plan(load_rig(EXAMPLE_RIG), load_route(EXAMPLE_ROAD))
    governing = plan.governing
    return (
        [(limit.title, limit.answer) for limit in plan.limits[:6]],
        plan.verdict,
        f"Governing: {governing.title}, {governing.answer}." if governing else "Nothing is known.",
    )


def plan_page(rig: Rig, road: Route, system: str) -> str:
    """The whole plan as HTML to read on the screen: verdict, what governs, limits, road and checklists."""
    plan = make_plan(rig, road)
    facts = Facts(rig)
    name = f"{rig_name(rig)}{' (invented)' if rig.invented else ''}"
    length, up, down, summit = (
        show(road.length_m, "distance", system),
        *(show(height, "height", system) for height in (road.climb_m, road.descent_m, road.summit_m)),
    )
    parts = [
        _paragraph(
            f"Rig: {name}. Road: {road.name}, {length} one way, {up} up, {down} down, summit {summit}."
        ),
        f"<p><b>{html.escape(plan.verdict)}</b></p>",
        _paragraph(NOT_JUDGED),
    ]
    if plan.governing:
        parts.append(
            f"<p><b>Governing:</b> {html.escape(plan.governing.title)},"
            f" {html.escape(answer_words(plan.governing, system))}. {html.escape(plan.governing_advice)}</p>"
        )
    parts += [_paragraph(words) for words in (*plan.to_fit, plan.prop) if words]
    parts.append(_limits(plan, system))
    others = [limit for limit in plan.limits if limit.answer == OVER and limit is not plan.governing]
    if others:
        parts += [
            "<h4>What would move the others that are over</h4>",
            _listed(f"{limit.title}: {limit.advice}" for limit in others),
        ]
    parts.append("<h4>The road</h4>")
    if plan.road_missing:
        parts.append(_paragraph(f"It was not driven: {NOT_KNOWN} ({field_words(plan.road_missing)})."))
    parts += [_folded(f"Road {leg.way}: {leg_summary(leg, system)}", _leg(leg, system)) for leg in plan.legs]
    words = (
        brake_range_words(rig, plan.legs, system),
        *driving_words(facts, road, plan.legs, system),
        *other_ways_words(facts, system),
    )
    parts += [_paragraph(each) for each in words if each]
    parts.append("<h4>Checklists</h4>")
    parts += [_folded(each.title, _listed(each.items_, ordered=True)) for each in checklists(plan, system)]
    if plan.assumed:
        listed = _listed(f"{field_words(a.field)}: {a.text} ({a.source})" for a in plan.assumed)
        parts.append(_folded("Assumed, because the rig does not say it (marked * above)", listed))
    parts += [_paragraph(f"Road file: {note}") for note in road.notes]
    return "".join([*parts, _paragraph(CAUTION)])


def _limits(plan: Plan, system: str) -> str:
    rows = []
    for limit in plan.limits:
        title, demand, capacity, answer = limit_cells(limit, system)
        way = " (way back)" if limit.answer != NOT_KNOWN and limit.way == "back" else ""
        rows.append((title, demand, capacity, f"{answer}{way}"))
    return _table(("limit", "asked", "allowed", "answer"), rows)


def _leg(leg: Leg, system: str) -> str:
    return _paragraph("Brake temperatures at the end of each stretch.") + _table(
        leg_columns(system), leg_rows(leg, system)
    )


def _paragraph(words: str) -> str:
    return f"<p>{html.escape(words)}</p>"


def _table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    lines = [f"<tr>{''.join(f'<th>{html.escape(cell)}</th>' for cell in head)}</tr>"]
    lines += [f"<tr>{''.join(f'<td>{html.escape(cell)}</td>' for cell in row)}</tr>" for row in rows]
    return f"<table>{''.join(lines)}</table>"


def _listed(items: Iterable[str], *, ordered: bool = False) -> str:
    name = "ol" if ordered else "ul"
    return f"<{name}>{''.join(f'<li>{html.escape(item)}</li>' for item in items)}</{name}>"


def _folded(title: str, inside: str) -> str:
    return f"<details><summary>{html.escape(title)}</summary>{inside}</details>"
