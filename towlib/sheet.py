"""The printable trip sheet: front with verdict, limits and road, back with gears, temperatures and checklists."""

from pathlib import Path
from typing import NamedTuple

import jinja2

from towlib.brake_range import brake_range_words
from towlib.driving_words import driving_words
from towlib.facts import Facts
from towlib.limit_rules.attachment import torque_words
from towlib.limits import NOT_KNOWN, OVER, WITHIN
from towlib.report import CAUTION, SHEET_COLUMNS, answer_words, field_words, leg_columns, leg_rows, leg_summary, limit_cells
from towlib.teaching.coupling_pictures import chains_picture, side_view_picture
from towlib.teaching.pictures import road_picture_svg, road_picture_words
from towlib.trip import NOT_JUDGED, Plan
from towlib.units import show

TEMPLATE = Path(__file__).with_name("sheet_template.html")


class Checklist(NamedTuple):
    """One list of things to do, in the order of the work."""

    title: str
    items_: tuple[str, ...]


def sheet_html(plan: Plan, system: str = "metric") -> str:
    """The sheet as one self-contained HTML page that prints on one sheet of paper, front and back."""
    environment = jinja2.Environment(autoescape=True, undefined=jinja2.StrictUndefined, trim_blocks=True)
    rows = [(limit, limit_cells(limit, system)) for limit in plan.limits]
    route = plan.route
    return environment.from_string(TEMPLATE.read_text(encoding="utf-8")).render(
        plan=plan, system=system, over_rows=[row for row in rows if row[0].answer == OVER],
        unknown_rows=[row for row in rows if row[0].answer == NOT_KNOWN], within_rows=_halves([row for row in rows if row[0].answer == WITHIN]),
        drawings=(side_view_picture(plan.rig, system), chains_picture(plan.rig, system)),
        summary=(f"{show(route.length_m, 'distance', system)} one way, {show(route.climb_m, 'height', system)} up, "
                 f"{show(route.descent_m, 'height', system)} down, summit {show(route.summit_m, 'height', system)}."),
        figure=road_picture_svg(plan, system) if plan.legs else "", figure_words=road_picture_words(plan, system) if plan.legs else "",
        legs=[{"way": leg.way, "summary": leg_summary(leg, system), "rows": [[row[i] for i in SHEET_COLUMNS] for row in leg_rows(leg, system)]} for leg in plan.legs],
        brake_range=brake_range_words(plan.rig, plan.legs, system), driving=driving_words(Facts(plan.rig), plan.route, plan.legs, system), columns=[leg_columns(system)[i] for i in SHEET_COLUMNS], lists=checklists(plan, system), caution=CAUTION, not_judged=NOT_JUDGED,
        governing_answer=answer_words(plan.governing, system) if plan.governing else "", field_words=field_words,
        others=[limit for limit in plan.limits if limit.answer == OVER and limit is not plan.governing])


def _halves(rows: list) -> list[list]:
    """Two columns, the first not the shorter one; nothing for no rows."""
    half = (len(rows) + 1) // 2
    return [rows[:half], rows[half:]] if rows else []


def checklists(plan: Plan, system: str = "metric") -> list[Checklist]:
    """What to check before leaving, on the way and before the way home, filled with this rig's own numbers where known."""
    rig = plan.rig
    chains = rig.safety_chains
    links = f"{chains.links} links each" if chains.links else "links: not known"
    crossed = "NOT crossed in the rig file: cross them under the bar" if chains.crossed is False else "crossed under the bar"
    change = rig.hitch.ball_mount_change
    mount = "rise or drop not known" if change is None else f"{'rise' if change >= 0 else 'drop'} {show(abs(change), 'size', system)}"
    unknown = plan.count(NOT_KNOWN)
    before = [
        "Level ground, both vehicles chocked; nobody stands between them while either moves.",
        f"Ball mount pinned and clipped ({mount}); ball nut tight; coupler latched, pinned, and pulled upwards by hand.",
        f"Bracket pins in, clipped; {torque_words(Facts(rig), system)}.",
        f"Chains {crossed}, {links}, hooks closed, clear of the road and not twisted.",
        "Driveline and transfer case as the towed vehicle maker's manual says for towing on four wheels.",
        "Steering unlocked, wheels straight, parking brake off, gear as the manual says; then chocks away.",
        "Tail, brake and both turn lamps seen working on the towed vehicle.",
        f"Tyres at pressure, cold: tow vehicle {_pressures(plan, system)}; towed vehicle {show(rig.towed_vehicle.tyres.pressure, 'pressure', system)}.",
        "Roll a few car lengths: all four towed wheels turn, front wheels follow; brake once, gently."]
    if unknown:
        before.append(f"Still not known: {unknown} limits, named on the front. Find them out before you drive.")
    on_the_way = [
        f"After {show(10_000.0, 'distance', system, digits=1)}: stop; pins, coupler, chains, lamps; {torque_words(Facts(rig), system)}; hubs and brakes by hand near, not on, the metal: heat tells.",
        "At the summit: stop; walk around; choose the gear before the downgrade begins"
        + (", as in the table." if plan.brakes_are_within else "; NOT that of the table, with which the brakes are over or not known."),
        "Going down: hold the gear; brake short and firmly, then let go; never coast out of gear.",
        "Do not reverse with the towed vehicle on: it folds up; uncouple instead."]
    home = [
        "Tired? Do these in order, aloud. Rest first if you cannot.",
        "All of 'Before leaving' again from the top, in the dark with a lamp.",
        "Mud off lamps and plates; look under both vehicles for anything hanging, leaking or bent.",
        "Load as planned for the way back, tied down; tyres back at road pressure.",
        "Driveline back in its towing position: check it by rolling, not by memory."]
    return [Checklist("Before leaving", tuple(before)), Checklist("On the way", tuple(on_the_way)), Checklist("Before the way home", tuple(home))]


def _pressures(plan: Plan, system: str) -> str:
    tow = plan.rig.tow_vehicle
    return f"front {show(tow.front_tyres.pressure, 'pressure', system)}, rear {show(tow.rear_tyres.pressure, 'pressure', system)}"
