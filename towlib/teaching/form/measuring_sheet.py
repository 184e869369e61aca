"""A measuring sheet to print: the drawings of the form with the same letters, and a table under each to write
the numbers into.
"""

import html
from pathlib import Path

from towlib.paths import reader_folder
from towlib.print.field_lists import SECTIONS, RigField, need_field, rig_fields
from towlib.rig.store import write_whole
from towlib.teaching.form.measuring_drawings import (
    DRAWINGS,
    NOTES,
    drawing_svg,
    drawing_words,
    letter_of,
    letters,
    question,
)

TYRES = (
    "tow_vehicle.front_tyres",
    "tow_vehicle.rear_tyres",
    "towed_vehicle.tyres",
)  # one drawing, one table with a column for each
ROWS = 6  # people and cargo, bolts: rows to fill in
SHEET = "my_measuring_sheet.html"
_STYLE = Path(__file__).with_suffix(".css").read_text(encoding="utf-8")


def measuring_sheet_html() -> str:
    """The sheet: each part of the rig with its drawing and the questions that are measured, weighed or read
    off.
    """
    parts = []
    for table, title in SECTIONS.items():
        if table == TYRES[0]:
            parts.append(_part(table, "Tyres of both vehicles", _tyre_rows()))
        elif table not in TYRES:
            parts.append(
                _part(
                    table,
                    title,
                    _rows([field for field in rig_fields() if field.path.rpartition(".")[0] == table]),
                )
            )
        if table == "bracket":
            parts.append(
                _part("bracket.bolts", "Where each bolt sits", _blank_rows("bracket.bolts", ("bolt",)))
            )
    parts.append(
        _part(
            "load",
            "People and cargo",
            _blank_rows("load", ("who or what", "vehicle: tow / towed", "way: out / back / both")),
        )
    )
    return (
        "<!DOCTYPE html><html lang='en'><head><meta charset='utf-8'><title>Measuring"
        f" sheet</title><style>{_STYLE}</style></head><body><h1>Measuring sheet: both vehicles</h1><p>Level"
        " ground, tyres at road pressure, both vehicles chocked; nobody lies under a vehicle that only a"
        " jack holds. Write the unit beside every number, and behind ± how sure you are. The letters are"
        " those of the form in 00_start_here; the drawings are not to"
        f" scale.</p>{''.join(parts)}</body></html>"
    )


def _part(table: str, title: str, rows: str) -> str:
    """A part of the rig: heading, drawing, table; nothing when it asks nothing outside."""
    drawing = (
        "<div role='img'"
        f" aria-label='{html.escape(drawing_words(table), quote=True)}'>{drawing_svg(table)}</div>"
        if table in DRAWINGS
        else ""
    )
    note = f"<p>{html.escape(NOTES[table])}</p>" if table in NOTES else ""
    return f"<h2>{html.escape(title)}</h2>{drawing}{note}<table>{rows}</table>" if rows else ""


def _rows(fields: list[RigField]) -> str:
    """A row for each question with a letter or a place; what is only known from a book comes without."""
    rows = "".join(
        f"<tr><td class='letter'>{letter_of(field.path)}</td><td>{html.escape(question(field))}"
        f"{' <b>(needed)</b>' if field.required else ''}</td><td>{html.escape(field.where)}</td>"
        "<td class='blank'></td></tr>"
        for field in fields
        if field.where or letter_of(field.path)
    )
    return (
        f"<tr class='head'><th></th><th>what</th><th>where</th><th>value, unit, ±</th></tr>{rows}"
        if rows
        else ""
    )


def _tyre_rows() -> str:
    rows = "".join(
        f"<tr><td class='letter'>{letter}</td><td>{html.escape(need_field(path).label)}</td>"
        f"<td>{html.escape(need_field(path).where)}</td>{'<td></td>' * len(TYRES)}</tr>"
        for letter, path in letters(TYRES[0]).items()
    )
    return (
        "<tr><th></th><th>what</th><th>where</th><th>tow, front</th><th>tow, rear</th><th>towed</th></tr>"
        f"{rows}"
    )


def _blank_rows(table: str, others: tuple[str, ...]) -> str:
    heads = "".join(
        f"<th>{letter}: {html.escape(need_field(path).label)}</th>" for letter, path in letters(table).items()
    )
    blank = "<td>&nbsp;</td>" * (len(others) + len(letters(table)))
    return f"<tr>{''.join(f'<th>{other}</th>' for other in others)}{heads}</tr>" + f"<tr>{blank}</tr>" * ROWS


def write_measuring_sheet() -> str:
    """Write my_measuring_sheet.html beside the reader's rig and say where."""
    write_whole(reader_folder() / SHEET, measuring_sheet_html())
    return f"Written: {SHEET}, beside your rig file. Open it and print it."
