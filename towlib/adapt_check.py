"""Command line: python -m towlib.adapt_check says whether lessons whose data were edited still hold together,
and names the row if not.

Without a folder it checks the workbook it stands in. With one, the folder holds only the files that were
changed, laid out like `data/` (lessons, handbook, rigs, routes, and notebooks where cells were changed too):
they are laid over a copy of the workbook, and the copy is checked.
"""

import argparse
import contextlib
import inspect
import math
import os
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from typing import Any

from towlib.errors import InputError, file_words, quote
from towlib.handbook.bolt_tables import bolt_grades, bolt_sizes
from towlib.handbook.breakage_table import breakages
from towlib.handbook.electric_tables import lamp_names, symptoms, wire_sizes
from towlib.handbook.tables import Row, chain_loads_n, checks, load_table, tyre_load_kg
from towlib.lessons.declare import Lesson, Panel, Question
from towlib.paths import DATA, NOTEBOOKS, REPOSITORY
from towlib.rig.facts import NotKnown, assumptions
from towlib.rig.measured import rule_of
from towlib.rig.model import field_info, load_rig
from towlib.road.route import load_route
from towlib.units import show

LAYOUT = ("lessons", "handbook", "rigs", "routes", "notebooks")
LONGEST_SENTENCE = 400  # characters under a picture
# what the name of an argument ends in, by the kind of its slider; kinds without an entry have no ending
ENDINGS = {
    "mass": "kg",
    "length": "m",
    "size": "m",
    "height": "m",
    "distance": "m",
    "area": "m2",
    "force": "n",
    "speed": "m_s",
    "power": "w",
    "torque": "n_m",
    "pressure": "pa",
    "temperature": "c",
    "temperature_difference": "k",
    "angle": "rad",
    "shaft_speed": "rpm",
    "volume": "m3",
    "spring_rate": "n_m",
    "conductance": "w_k",
    "heat_capacity": "j_k",
    "time": "s",
    "acceleration": "m_s2",
    "stress": "pa",
    "section": "m2",
    "energy": "j",
    "density": "kg_m3",
    "voltage": "v",
    "current": "a",
    "resistance": "ohm",
    "lamp_power": "w",
    "charge": "ah",
    "hours": "h",
}
STRANGERS = (
    "The cells of notebooks are run, with your rights, and so is Python code beside them. A folder from"
    " somebody else: look into its 'notebooks' before you check it, or take that part out. Rows, tables, rigs"
    " and roads run nothing."
)
_PLAIN_NUMBER = re.compile(r"[-+]?[0-9]*\.?[0-9]+([eE][-+]?[0-9]+)?")
SEEDS = range(1, 21)


def main(arguments: list[str] | None = None) -> int:
    """Check and print a line for each lesson; 0 when all hold together, 1 when one does not, 2 when the
    folder or lesson asked for is not there.
    """
    parser = argparse.ArgumentParser(
        prog="python -m towlib.adapt_check",
        description=" ".join(__doc__.split("\n\n")[0].split(": ", 2)[-1].split()),
        epilog=STRANGERS,
    )
    parser.add_argument(
        "folder",
        nargs="?",
        help="folder with the changed files, laid out like data/; left out: this workbook as it stands",
    )
    parser.add_argument("--lesson", metavar="NN", help="one lesson only, for example 02")
    given = parser.parse_args(arguments)
    try:
        if given.folder is not None:
            return _check_adapted(Path(given.folder), given.lesson)
        lessons = _lessons(given.lesson)
    except InputError as error:
        print(error, file=sys.stderr)
        return 2
    with _no_reader():
        return _report(lessons)


def _lessons(wanted: str | None) -> list[str]:
    names = sorted(path.stem for path in NOTEBOOKS.glob("[0-9][0-9]_*.ipynb"))
    found = [name for name in names if wanted is None or wanted in (name, name[:2])]
    if not found:
        raise InputError(
            quote(wanted) if wanted else "no notebook",
            f"one of {', '.join(name[:2] for name in names) or '00, 01, …'}",
            field="--lesson",
        )
    return found


def _report(lessons: list[str]) -> int:
    try:
        print(f"data: holds together ({check_data()})", flush=True)
    except InputError as error:
        print(f"data: {error}")
        return 1  # every lesson reads them
    broken = 0
    for lesson in lessons:
        try:
            print(f"{lesson}: holds together ({check_lesson(lesson)})", flush=True)
        except InputError as error:
            print(f"{lesson}: {error}", flush=True)
            broken += 1
    return 1 if broken else 0


def check_data(data: Path = DATA) -> str:
    """Read every table, rig and road; InputError names file, row and what is wanted."""
    tables = sorted((data / "handbook").glob("*.csv"))
    for path in tables:
        _check_numbers(load_table(path.stem, data / "handbook"))
    for row in load_table("assumed", data / "handbook"):
        _check_assumption(row)
    checks(data / "handbook")
    breakages(data / "handbook")
    if data == DATA:  # these read their own tables only
        for read in (
            assumptions,
            bolt_sizes,
            bolt_grades,
            wire_sizes,
            lamp_names,
            symptoms,
            lambda: chain_loads_n("3/8", "43"),
            lambda: tyre_load_kg(112),
        ):
            _in_words(read, "the handbook")
    rigs = [path for path in sorted((data / "rigs").glob("*.toml")) if path.stem != "blank"]
    roads = sorted((data / "routes").glob("*.*"))
    for path in rigs:
        load_rig(path)
    for path in roads:
        load_route(path)
    return f"{len(tables)} tables, {len(rigs)} rigs, {len(roads)} roads"


def _check_numbers(rows: tuple[Row, ...]) -> None:
    """A word in a column of numbers is a slip: at least four of five cells that hold something are numbers
    there.
    """
    for column in rows[0]:
        filled = [row for row in rows if row[column].strip()]
        odd = [row for row in filled if not _PLAIN_NUMBER.fullmatch(row[column].strip())]
        if odd and len(odd) <= 0.2 * len(filled):
            odd[0].number(column)


def _check_assumption(row: Row) -> None:
    try:
        rule = rule_of(field_info(row.get("field", "")))
    except InputError as error:
        raise row.error("field", error.found, error.wanted) from None
    for column in ("value", "low", "high"):
        if rule and (row.get(column) or column == "value"):
            try:
                rule.read(row.get(column))
            except InputError as error:
                raise row.error(column, error.found, error.wanted) from None


def check_lesson(lesson: str, data: Path = DATA, notebooks: Path | None = None) -> str:
    """Check a lesson's sliders, panels, predictions, exercises and the cells of its notebook; what held, in
    words, or InputError.
    """
    from towlib.lessons.index import ROOMS, lesson_of
    from towlib.teaching.practice.lesson_cells import LessonRun

    panels: tuple[Panel, ...] = ()
    exercises = 0
    if lesson in ROOMS:
        room = _in_words(lambda: lesson_of(lesson), "the lessons")
        panels = room.panels
        check_panels(lesson, panels, data / "lessons")
        exercises = check_exercises(room)
    run = LessonRun((notebooks or NOTEBOOKS) / f"{lesson}.ipynb")
    worked = run.check_worked()
    run.check_all_others()
    return (
        f"{_count(len(panels), 'panel')}, {_count(worked, 'worked check')}, {_count(exercises, 'exercise')}"
        f" × {len(SEEDS)} sets of numbers"
    )


def check_exercises(lesson: Lesson) -> int:
    """Draw every exercise many times: each question must have one right answer that is told right, and no
    slip
    that is right as well.
    """
    for number, exercise in enumerate(lesson.exercises, start=1):
        for seed in SEEDS:
            where = f"{lesson.key}, exercise {number}, numbers {seed}"
            given = _in_words(partial(exercise.draw, seed, "metric"), where)
            for question in given.questions:
                _check_question(question, where)
    return len(lesson.exercises)


def _check_question(question: Question, where: str) -> None:
    from towlib.lessons.judging import judge_question

    right = str(question.right)
    if question.kind not in ("count", "choice"):
        if not math.isfinite(question.right):
            raise InputError("no number", "numbers that lead to one right answer", file=where)
        right = show(question.right, question.kind)
    verdict = judge_question(right, question)
    if not verdict.startswith("Right"):
        raise InputError(
            f"no answer that would be right ({right}: {verdict})",
            "numbers that lead to one right answer",
            file=where,
        )
    for why, slip in question.traps.items():
        if slip == question.right:
            raise InputError(quote(why), "a slip that differs from the right answer", file=where)


def check_panels(lesson: str, panels: tuple[Panel, ...], folder: Path = DATA / "lessons") -> None:
    """Check that a lesson's rows and predictions load, fit their functions, and give a picture and a sentence
    at the start and at every corner.
    """
    from towlib.lessons.predictions import predictions_of
    from towlib.lessons.slider_rows import load_panel, panels_of

    file, names = f"{lesson}.toml", {panel.name for panel in panels}
    for odd in set(panels_of(lesson, folder)) - names:
        raise InputError(
            f"a panel {quote(odd)} that nothing draws",
            f"only the panels that the lesson declares: {', '.join(sorted(names))}",
            field=f"panels.{odd}",
            file=file,
        )
    for asked in predictions_of(lesson, folder):
        if asked.panel not in names:
            raise InputError(
                f"a panel {quote(asked.panel)}",
                f"one of {', '.join(sorted(names))}",
                field=asked.key,
                file=file,
            )
    for panel in panels:
        spec = load_panel(lesson, panel.name, folder)
        _check_rows(spec, panel, file)
        for system in ("metric", "us"):
            _check_settings(spec, panel, system, f"{file}, panel {panel.name}")


def _check_rows(spec: Any, panel: Panel, file: str) -> None:
    """Every argument has its row, and every row an argument, measured as its name says."""
    field = f"panels.{panel.name}.sliders"
    signature = inspect.signature(panel.compute).parameters
    arguments = {
        name: argument
        for name, argument in list(signature.items())[1:]  # the first takes the facts
        if argument.kind is not argument.VAR_KEYWORD
    }
    given = [slider for slider in spec.sliders if not slider.of_rig]
    for slider in given:
        if slider.name not in arguments:
            raise InputError(
                quote(slider.name),
                f"an argument of {panel.compute.__name__}, one of {', '.join(arguments) or 'none'}",
                field=f"{field}, {slider.name}",
                file=file,
            )
        ending = ENDINGS.get(slider.kind)
        if ending and not slider.name.endswith(f"_{ending}"):
            raise InputError(
                f"the kind {quote(slider.kind)} for {quote(slider.name)}",
                f"the kind that is measured as the name's ending says, not in {ending}",
                field=f"{field}, {slider.name}",
                file=file,
            )
    for name, argument in arguments.items():
        if argument.default is argument.empty and name not in {slider.name for slider in given}:
            raise InputError(
                f"no row for {quote(name)}",
                f"a slider for every argument of {panel.compute.__name__}",
                field=field,
                file=file,
            )


def _check_settings(spec: Any, panel: Panel, system: str, where: str) -> None:
    from towlib.teaching.panel.panel_state import PanelState
    from towlib.teaching.panel.rig_in_use import invented

    state = _in_words(lambda: PanelState(spec, panel, invented, system=system), f"{where}, at its starts")
    if state.failed:
        raise InputError(
            quote(state.sentence_text, 200), "starts that can be drawn", file=f"{where}, at its starts"
        )
    for number, corner in enumerate(state.corners()):
        if number and system == "us":
            return  # the units change words and frames, which the starts show
        state.values = dict(corner)
        words = ", ".join(f"{s.label} {state.shown_text(s, corner[s.name])}" for s in state.spec.sliders)
        place = f"{where}, at {words if number else 'its starts'}"
        _in_words(state.update, place)
        said = state.sentence_text
        if (
            len(said) >= LONGEST_SENTENCE
            or not said.endswith((".", "?"))
            and not state.failed
            or {"nan", "inf"} & set(said.split())
        ):
            raise InputError(
                quote(said, 120),
                f"a plain sentence with known numbers in under {LONGEST_SENTENCE} characters",
                file=place,
            )
        if not all(map(math.isfinite, state.picture.drawn_numbers())):
            raise InputError(
                "a line with a point that is no number", "a picture with finite lines", file=place
            )


def _in_words(work: Callable[[], Any], where: str) -> Any:
    """Do some work; whatever goes wrong is one sentence with its place."""
    try:
        return work()
    except InputError as error:
        raise error.at(file=where) from None
    except NotKnown as missing:
        raise InputError(
            f"no '{missing.reason}'", "this field in the demo rig of the lesson (data/rigs)", file=where
        ) from None
    except Exception as error:
        hint = (
            ", and every field of the demo rigs (data/rigs) that the lesson reads"
            if isinstance(error, TypeError) and "None" in str(error)
            else ""
        )
        raise InputError(
            f"{type(error).__name__} ({error})", f"a result or one plain sentence{hint}", file=where
        ) from None


def _count(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"


@contextlib.contextmanager
def _no_reader() -> Iterator[None]:
    """An empty reader's folder, so that the demo rig is used and nothing is written beside the notebooks."""
    kept = os.environ.get("TOWLIB_READER_FOLDER")
    with tempfile.TemporaryDirectory() as folder:
        os.environ["TOWLIB_READER_FOLDER"] = folder
        try:
            yield
        finally:
            if kept is None:
                del os.environ["TOWLIB_READER_FOLDER"]
            else:
                os.environ["TOWLIB_READER_FOLDER"] = kept


def _check_adapted(folder: Path, lesson: str | None) -> int:
    """Lay the folder's files over a copy of the workbook and check the copy."""
    if not folder.is_dir():
        raise InputError(
            "no such folder",
            "a folder laid out like data/, for example data/adapted_example",
            file=str(folder),
        )
    parts = [name for name in LAYOUT if (folder / name).is_dir()]
    if not parts:
        raise InputError(
            "none of the folders " + ", ".join(LAYOUT),
            "a folder laid out like data/, for example data/adapted_example",
            file=str(folder),
        )
    odd = next((path for path in sorted(folder.iterdir()) if path.is_dir() and path.name not in LAYOUT), None)
    if odd is not None:
        raise InputError(f"a folder {quote(odd.name)}", f"only {', '.join(LAYOUT)}", file=str(folder))
    for path in (path for name in parts for path in (folder / name, *sorted((folder / name).rglob("*")))):
        if path.is_symlink() or not (path.is_file() or path.is_dir()):
            raise InputError("a link, a pipe or a device", "plain files and folders", file=file_words(path))
    with tempfile.TemporaryDirectory() as place:
        copy = Path(place) / "workbook"
        for name, own in (("towlib", ()), ("data", ("adapted_*",)), ("notebooks", ("my_*",))):
            shutil.copytree(
                REPOSITORY / name, copy / name, ignore=shutil.ignore_patterns("__pycache__", ".*", *own)
            )
        for name in parts:
            shutil.copytree(
                folder / name,
                copy / name if name == "notebooks" else copy / "data" / name,
                dirs_exist_ok=True,
                ignore=shutil.ignore_patterns("__pycache__", ".*"),
            )
        asked = [sys.executable, "-B", "-m", "towlib.adapt_check", *(["--lesson", lesson] if lesson else [])]
        sys.stdout.flush()
        status = subprocess.run(
            asked, cwd=copy, env={**os.environ, "PYTHONPATH": str(copy)}, check=False
        ).returncode
    return status


if __name__ == "__main__":
    sys.exit(main())
