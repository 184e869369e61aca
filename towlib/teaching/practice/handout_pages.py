"""A handout to print for a lesson, made from the lesson's notebook: what to guess, try, note and solve, and
no answers.

Nothing of the notebook is run. Predictions, panels and exercises are read from the source of their cells,
sliders from data/lessons/.
"""

import ast
import html
import re
from functools import cache
from pathlib import Path
from typing import Any

from towlib.errors import InputError, quote
from towlib.lessons.slider_rows import Slider, load_panel
from towlib.paths import NOTEBOOKS
from towlib.teaching.practice.exercise_numbers import Exercise, exercise_of
from towlib.teaching.practice.lesson_cells import Cell, lesson_cells
from towlib.units import SYSTEMS, number, unit_label

ABOVE, BEFORE = (
    {"objectives", "caution", "symbols"},
    {"predict", "predict-words", "exercise"},
)  # text cells of a handout: alone, before their question
LARGEST_SEED = 999_999_999
_STYLE = Path(__file__).with_suffix(".css").read_text(encoding="utf-8")


def lesson_names() -> tuple[str, ...]:
    """The lessons that have a notebook, in their order."""
    return tuple(path.stem for path in sorted(NOTEBOOKS.glob("[0-9][0-9]_*.ipynb")))


def handout_html(lesson: str, seed: int = 1, *, system: str = "metric") -> str:
    """A lesson's handout as one HTML page without anything outside it; exercises have the numbers of the
    seed.
    """
    if lesson not in lesson_names():
        raise InputError(f"a lesson {quote(lesson)}", f"one of {', '.join(lesson_names())}")
    if isinstance(seed, bool) or not isinstance(seed, int) or not 0 <= seed <= LARGEST_SEED:
        raise InputError(f"the seed {quote(seed)}", f"a whole number from 0 to {LARGEST_SEED}")
    if system not in SYSTEMS:
        raise InputError(f"units {quote(system)}", f"one of {', '.join(SYSTEMS)}")
    cells = lesson_cells(NOTEBOOKS / f"{lesson}.ipynb")
    title = next(
        (
            line[2:]
            for cell in cells
            if "title" in cell.tags
            for line in cell.source.splitlines()
            if line.startswith("# ")
        ),
        lesson,
    )
    foot = re.sub(r'["\\<>]', "", f"{title} · {lesson} · seed {seed} · {system}")
    return (
        f"<!DOCTYPE html><html lang='en'><head><meta charset='utf-8'><title>{html.escape(title)}</title>"
        f"<style>{_STYLE.replace('FOOT', foot)}</style></head>"
        f"<body>{''.join(_parts(cells, lesson, seed, system))}</body></html>"
    )


def _parts(cells: tuple[Cell, ...], lesson: str, seed: int, system: str) -> list[str]:
    parts, before, predictions, panels = [], "", 0, 0  # words before a question stay on its page
    last_of_rig = max((cell.number for cell in cells if cell.is_code and "your-rig" in cell.tags), default=0)
    for cell in cells:
        if not cell.is_code:
            if "title" in cell.tags:
                parts.append(
                    f"{_text(cell.source)}<p class='head'><span>Name</span><span>Date</span></p><p"
                    f" class='small'>Goes with the notebook {lesson}. Exercises: set SEED = {seed} in their"
                    " cells to meet the same numbers.</p>"
                )
            elif cell.tags & ABOVE:
                parts.append(_text(cell.source))
            elif cell.tags & BEFORE:
                before += _text(cell.source)
        elif "predict" in cell.tags:
            for call in _calls(cell, "ask_prediction", lesson):
                predictions += 1
                words = html.escape(_plain(call, 0, cell, lesson))
                parts.append(
                    f"<section>{before}<b>Prediction {predictions}.</b> {words}{_lines(4)}</section>"
                )
                before = ""
        elif "panel" in cell.tags:
            for call in _calls(cell, "show_panel", lesson):
                panels += 1
                parts.append(
                    _panel(panels, _plain(call, 0, cell, lesson), _plain(call, 1, cell, lesson), system)
                )
        elif "exercise" in cell.tags:
            parts.append(f"<section>{before}{_exercise(exercise_of(cell, seed))}</section>")
            before = ""
        if cell.number == last_of_rig:
            parts.append(_your_rig())
    return [*parts, before]


def _panel(count: int, lesson: str, panel: str, system: str) -> str:
    spec = load_panel(lesson, panel)
    rows = "".join(_row(slider, system) for slider in spec.sliders)
    tries = "<tr><td class='blank'></td><td></td><td></td></tr>" * 4
    return (
        f"<section><h2>Panel {count}: {html.escape(spec.title)}</h2><table><tr><th style='width:28%'>to"
        " move</th><th>unit</th><th>range</th><th>start</th><th>why this"
        f" range</th></tr>{rows}</table><table><tr><th style='width:38%'>what I moved, from … to …</th><th"
        f" style='width:31%'>what I expected</th><th>what I saw</th></tr>{tries}</table></section>"
    )


def _row(slider: Slider, system: str) -> str:
    label, unit, where, start, why = map(html.escape, slider_row(slider, system))
    if slider.options:  # too long for a narrow column
        return (
            f"<tr><td>{label}</td><td></td><td colspan='3'>{where}. <i>Start:</i> {start}. <i>Why:</i>"
            f" {why}</td></tr>"
        )
    return (
        f"<tr><td>{label}</td><td class='near'>{unit}</td><td class='near'>{where}</td><td"
        f" class='near'>{start}</td><td>{why}</td></tr>"
    )


def slider_row(slider: Slider, system: str) -> tuple[str, str, str, str, str]:
    """A slider in words: label, unit, range, start, why this range."""
    if slider.options:
        where = " / ".join(slider.options), slider.options[round(slider.start)]
    else:
        low, high, start = (
            number(slider.shown(value, system)) for value in (slider.low, slider.high, slider.start)
        )
        where = f"{low} to {high}", start
    return slider.label, slider.unit(system), *where, slider.why_this_range


def _exercise(found: Exercise) -> str:
    letters = [f"({letter}) " for letter in "abcdefgh"[: len(found.kinds)]] if len(found.kinds) > 1 else [""]
    answers = "".join(
        f"<div class='answer'>{letter}answer, in {html.escape(_units(kind))}:</div>"
        for letter, kind in zip(letters, found.kinds, strict=False)
    )
    given = f"<p><b>{html.escape(found.given)}</b></p>" if found.given else ""
    return f"{given}{_lines(5)}{answers}"


def _units(kind: str) -> str:
    return " or ".join(dict.fromkeys(unit_label(kind, system) for system in SYSTEMS))


def _your_rig() -> str:
    rows = "<tr><td class='blank'></td><td></td><td></td><td></td></tr>" * 8
    return (
        "<section><h2>My own rig</h2><p>Run the cell on your own rig and note what it says. <i>Not known</i>"
        " is written down too; it is not a pass.</p><table><tr><th style='width:34%'>what</th><th>figure and"
        " unit</th><th>limit and unit</th><th>within by … / over by … / not"
        f" known</th></tr>{rows}</table></section>"
    )


def _lines(count: int) -> str:
    return "<div class='line'></div>" * count


@cache
def _renderer() -> Any:
    # nbconvert comes with JupyterLab and reads text cells as it does; it is slow to import and only handouts
    # need it
    from nbconvert.filters import markdown_mistune as jupyter

    return jupyter.MarkdownWithMath(
        renderer=jupyter.IPythonRenderer(
            escape=True, allow_harmful_protocols=False, exclude_anchor_links=True
        )
    )


def _text(markdown: str) -> str:
    return _renderer().render(markdown)


def _calls(cell: Cell, name: str, lesson: str) -> list[ast.Call]:
    """The calls of panels.<name> in a cell."""
    try:
        tree = ast.parse(cell.source)
    except (SyntaxError, ValueError):
        raise InputError(
            "a cell that is not Python",
            "the cell as the workbook brought it",
            file=f"{lesson}.ipynb, cell {cell.number}",
        ) from None
    return [
        node
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr == name
    ]


def _plain(call: ast.Call, place: int, cell: Cell, lesson: str) -> str:
    value = call.args[place] if place < len(call.args) else None
    if isinstance(value, ast.Constant) and isinstance(value.value, str):
        return value.value
    raise InputError(
        "a prediction or panel that is not plain text in quotes",
        "text in quotes",
        file=f"{lesson}.ipynb, cell {cell.number}",
    )
