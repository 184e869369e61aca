"""A handout to print for a lesson, made from the lesson's notebook: what to guess, try, note and solve, and
no answers.

Nothing of the notebook is run: its cells say which predictions, panels and exercises stand where; those come
from the lesson and from data/lessons/, the starts of the sliders from the invented rig.
"""

import html
import re
from functools import cache
from pathlib import Path
from typing import Any

from towlib.errors import InputError, quote
from towlib.lessons.declare import Given
from towlib.lessons.index import lesson_of
from towlib.lessons.predictions import Prediction, predictions_of
from towlib.lessons.slider_rows import Slider, load_panel
from towlib.paths import DATA, NOTEBOOKS
from towlib.rig.facts import Facts
from towlib.rig.model import load_rig
from towlib.teaching.practice.lesson_cells import Cell, Shown, lesson_cells, shown_in
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
    parts, before, panels = [], "", 0  # words before a question stay on its page
    last_of_rig = max((cell.number for cell in cells if cell.is_code and "your-rig" in cell.tags), default=0)
    for cell in cells:
        if not cell.is_code:
            if "title" in cell.tags:
                parts.append(
                    f"{_text(cell.source)}<p class='head'><span>Name</span><span>Date</span></p><p"
                    f" class='small'>Goes with the notebook {lesson}. Exercises: choose Numbers {seed} to"
                    " meet the same.</p>"
                )
            elif cell.tags & ABOVE:
                parts.append(_text(cell.source))
            elif cell.tags & BEFORE:
                before += _text(cell.source)
            continue
        for shown in shown_in(cell):
            if shown.what == "predict":
                parts.append(f"<section>{before}{_prediction(_asked(lesson, shown, cell))}</section>")
                before = ""
            elif shown.what == "panel":
                panels += 1
                parts.append(_panel(panels, shown.lesson or lesson, str(shown.which), system))
            elif shown.what == "exercise":
                given = _exercise_at(lesson, shown, cell).draw(seed, system)
                parts.append(f"<section>{before}{_exercise(given)}</section>")
                before = ""
        if cell.number == last_of_rig:
            parts.append(_your_rig())
    return [*parts, before]


def _asked(lesson: str, shown: Shown, cell: Cell) -> Prediction:
    return _numbered(predictions_of(lesson), shown, f"{lesson}.ipynb, cell {cell.number}", "prediction")


def _exercise_at(lesson: str, shown: Shown, cell: Cell) -> Any:
    return _numbered(lesson_of(lesson).exercises, shown, f"{lesson}.ipynb, cell {cell.number}", "exercise")


def _numbered(found: tuple[Any, ...], shown: Shown, where: str, what: str) -> Any:
    number = 1 if shown.which is None else shown.which
    if isinstance(number, int) and 1 <= number <= len(found):
        return found[number - 1]
    raise InputError(f"{what} {quote(number)}", f"a number from 1 to {len(found)}", file=where)


def _prediction(asked: Prediction) -> str:
    options = "".join(f"<li>{html.escape(option.words)}</li>" for option in asked.options)
    listed = f"<ul class='boxes'>{options}</ul>" if options else ""
    return (
        f"<b>Prediction {asked.key.rpartition('-')[2]}.</b> {html.escape(asked.question)}{listed}{_lines(3)}"
    )


def _panel(count: int, lesson: str, panel: str, system: str) -> str:
    spec = load_panel(lesson, panel)
    spec, _ = spec.starting_from(Facts(load_rig(DATA / "rigs" / f"{spec.demo}.toml")))
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


def _exercise(given: Given) -> str:
    several = len(given.questions) > 1
    answers = ""
    for letter, question in zip("abcdefgh", given.questions, strict=False):
        words = f"({letter}) {html.escape(question.words)} " if several else html.escape(question.words)
        if question.kind == "choice":
            options = "".join(f"<li>{html.escape(option)}</li>" for option in question.options)
            answers += f"<p>{words}</p><ul class='boxes'>{options}</ul>{_lines(2)}"
        else:
            unit = (
                "a whole number" if question.kind == "count" else f"in {html.escape(_units(question.kind))}"
            )
            answers += f"<div class='answer'>{words}answer, {unit}:</div>"
    return f"{_text(given.words)}{_lines(4)}{answers}"


def _units(kind: str) -> str:
    return " or ".join(dict.fromkeys(unit_label(kind, system) for system in SYSTEMS))


def _your_rig() -> str:
    rows = "<tr><td class='blank'></td><td></td><td></td><td></td></tr>" * 8
    return (
        "<section><h2>My own rig</h2><p>Choose <i>my rig</i>, and note what the notebook says."
        " <i>Not known</i> is written down too; it is not a pass.</p><table><tr>"
        "<th style='width:34%'>what</th><th>figure and"
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
