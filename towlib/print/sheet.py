"""The printable trip sheet: front with verdict, limits and road, back with gears, temperatures and
checklists.
"""

from pathlib import Path

import jinja2

from towlib.limits.limit import NOT_KNOWN, OVER, WITHIN, YES_NO
from towlib.plan.brake_range import brake_range_words
from towlib.plan.driving_words import driving_words
from towlib.plan.other_ways import other_ways_words
from towlib.plan.trip import NOT_JUDGED, Plan
from towlib.print.checklists import checklists
from towlib.print.coupling_pictures import chains_picture, side_view_picture
from towlib.print.leg_pictures import road_picture_svg, road_picture_words
from towlib.print.report import (
    CAUTION,
    SHEET_COLUMNS,
    answer_words,
    leg_columns,
    leg_rows,
    leg_summary,
    limit_cells,
    short_words,
)
from towlib.rig.facts import Facts
from towlib.rig.model import Rig
from towlib.units import show

MOST_ADVICE = 2  # so many limits over get their advice on the sheet; the report has all
TEMPLATE = Path(__file__).with_name("sheet_template.html")


def sheet_html(plan: Plan, system: str = "metric") -> str:
    """The sheet as one self-contained HTML page that prints on one sheet of paper, front and back."""
    environment = jinja2.Environment(autoescape=True, undefined=jinja2.StrictUndefined, trim_blocks=True)
    rows = [(limit, limit_cells(limit, system)) for limit in plan.limits]
    within = [row for row in rows if row[0].answer == WITHIN]
    route, facts = plan.route, Facts(plan.rig)
    others = [limit for limit in plan.limits if limit.answer == OVER and limit is not plan.governing]
    return environment.from_string(TEMPLATE.read_text(encoding="utf-8")).render(
        plan=plan,
        rig_name=rig_name(plan.rig),
        system=system,
        over_rows=_halves([row for row in rows if row[0].answer == OVER]),
        unknown=_to_find_out(plan),
        within_rows=_halves([row for row in within if row[0].kind != YES_NO]),
        so_it_is=[cells[0] for limit, cells in within if limit.kind == YES_NO],
        drawings=(side_view_picture(plan.rig, system), chains_picture(plan.rig, system)),
        summary=(
            f"{show(route.length_m, 'distance', system)} one way, {show(route.climb_m, 'height', system)} up,"
            f" {show(route.descent_m, 'height', system)} down, summit"
            f" {show(route.summit_m, 'height', system)}."
        ),
        figure=road_picture_svg(plan, system) if plan.legs else "",
        figure_words=road_picture_words(plan, system) if plan.legs else "",
        legs=[
            {
                "way": leg.way,
                "summary": leg_summary(leg, system),
                "rows": [[row[i] for i in SHEET_COLUMNS] for row in leg_rows(leg, system)],
            }
            for leg in plan.legs
        ],
        brake_range=brake_range_words(plan.rig, plan.legs, system),
        driving=driving_words(facts, plan.route, plan.legs, system),
        columns=[leg_columns(system)[i] for i in SHEET_COLUMNS],
        lists=checklists(plan, system),
        caution=CAUTION,
        not_judged=NOT_JUDGED,
        governing_answer=answer_words(plan.governing, system) if plan.governing else "",
        assumed=_assumed(plan),
        others=others[:MOST_ADVICE],
        more_others=max(0, len(others) - MOST_ADVICE),
        ways=other_ways_words(facts, system),
    )


def rig_name(rig: Rig) -> str:
    """What the rig is called: its own name, else those of its vehicles, as the form asks for them."""
    return (
        rig.name
        or " and ".join(name for name in (rig.tow_vehicle.name, rig.towed_vehicle.name) if name)
        or "my rig"
    )


def _to_find_out(plan: Plan) -> list[tuple[str, list[str]]]:
    """Every missing fact in words with the limits it keeps from being known; a limit stands with its first
    missing fact only.
    """
    found: dict[str, list[str]] = {}
    for limit in plan.limits:
        if limit.answer == NOT_KNOWN:
            facts = limit.missing.split("; ")
            found.setdefault(next((fact for fact in facts if fact in found), facts[0]), []).append(
                f"{limit.title}: likely {limit.likely}" if limit.likely else limit.title
            )
            for fact in facts:
                found.setdefault(fact, [])
    return [(_with_owner(fact), titles) for fact, titles in found.items()]


def _owner(path: str) -> str:
    """Whose part a field is, in words."""
    return {"tow_vehicle": "tow vehicle", "towed_vehicle": "towed vehicle"}.get(path.partition(".")[0], "")


def _with_owner(path: str) -> str:
    owner, words = _owner(path), short_words(path)
    return f"{owner}, {words}" if owner and not words.lower().startswith("tow") else words


def _assumed(plan: Plan) -> list[tuple[str, str]]:
    """What was assumed of each vehicle, which is named once, and all else."""
    found: dict[str, list[str]] = {"tow vehicle": [], "towed vehicle": [], "all else": []}
    for each in plan.assumed:
        found[_owner(each.field) or "all else"].append(f"{short_words(each.field)}: {each.text}")
    return [(owner, "; ".join(words)) for owner, words in found.items() if words]


def _halves(rows: list) -> list[list]:
    """Two columns, the first not the shorter one; nothing for no rows."""
    half = (len(rows) + 1) // 2
    return [rows[:half], rows[half:]] if rows else []
