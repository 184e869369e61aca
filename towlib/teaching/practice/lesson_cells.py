"""Reads a lesson's notebook: what its cells show, in their order; and runs them without a kernel, to say
which
cell does not hold.

Cells are counted from 1, text cells included. Nothing is written beside the notebook.
"""

import ast
import contextlib
import io
import json
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

from towlib.errors import InputError
from towlib.handbook.tables import HandbookMismatch, load_table
from towlib.rig.model import read_text

LARGEST_NOTEBOOK = 5_000_000  # bytes
# calls of a lesson's notebook
SHOWS = ("predict", "panel", "seen", "exercise", "limits", "words", "how_sure")


class Cell(NamedTuple):
    """A cell of a notebook."""

    number: int
    is_code: bool
    tags: frozenset[str]
    source: str
    printed: str  # what it printed when it was saved


class Shown(NamedTuple):
    """What a code cell shows of its lesson: `lesson.panel("axle_loads")` is panel, axle_loads."""

    what: str
    which: str | int | None
    lesson: str = ""  # where it is not the notebook's own: Notebook("01_weight_ratings").panel(…)


def shown_in(cell: Cell) -> tuple[Shown, ...]:
    """What a code cell shows, read from its source; nothing of it is run."""
    try:
        tree = ast.parse(cell.source)
    except (SyntaxError, ValueError, RecursionError, MemoryError):  # somebody typed into it
        return ()
    calls = [
        node
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr in SHOWS
    ]
    calls.sort(key=lambda node: (node.lineno, node.col_offset))
    return tuple(
        Shown(call.func.attr, _first(call), _lesson_in(call.func.value))
        for call in calls
        if isinstance(call.func, ast.Attribute)
    )


def _lesson_in(value: ast.expr) -> str:
    """The lesson of `Notebook("01_weight_ratings").panel(…)`; '' for the notebook's own."""
    if isinstance(value, ast.Call) and isinstance(value.func, ast.Name) and value.func.id == "Notebook":
        return str(_first(value) or "")
    return ""


def _first(call: ast.Call) -> str | int | None:
    value = call.args[0] if call.args else None
    plain = isinstance(value, ast.Constant) and isinstance(value.value, str | int)
    return value.value if plain else None  # type: ignore[union-attr,return-value]


def lesson_cells(path: Path) -> tuple[Cell, ...]:
    """The cells of a notebook; InputError when it cannot be read."""
    try:
        cells = json.loads(read_text(path, LARGEST_NOTEBOOK, wanted="a notebook of a lesson"))["cells"]
        return tuple(
            Cell(
                number,
                cell["cell_type"] == "code",
                frozenset(cell["metadata"].get("tags", [])),
                "".join(cell["source"]),
                "".join("".join(output.get("text", "")) for output in cell.get("outputs", [])),
            )
            for number, cell in enumerate(cells, start=1)
        )
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        if isinstance(error, InputError):
            raise error.at(file=path.name) from None
        raise InputError(
            "a file that is not a notebook", "a notebook saved by JupyterLab", file=path.name
        ) from None


class LessonRun:
    """One lesson's cells in a namespace of their own: first the set-up cell, then whichever is asked for."""

    def __init__(self, path: Path):
        self.path, self.cells = path, lesson_cells(path)
        self._names: dict[str, Any] = {"__name__": "__main__"}
        for cell in self.tagged("setup"):
            with _beside(path.parent):
                self._run(cell, self._names)

    def tagged(self, tag: str) -> tuple[Cell, ...]:
        """The code cells with a tag, in their order."""
        return tuple(cell for cell in self.cells if cell.is_code and tag in cell.tags)

    def where(self, cell: Cell) -> str:
        """A cell in words."""
        return f"{self.path.name}, cell {cell.number}"

    def check_worked(self) -> int:
        """Run every worked check; InputError names the row of the handbook that does not agree."""
        for cell in self.tagged("worked-check"):
            self._run(cell, dict(self._names))
        return len(self.tagged("worked-check"))

    def check_all_others(self) -> None:
        """Run every other code cell, on the reader's rig that is there (none: the invented one)."""
        for cell in self.cells:
            if cell.is_code and not cell.tags & {"setup", "worked-check"}:
                self._run(cell, dict(self._names))

    def _run(self, cell: Cell, names: dict[str, Any]) -> str:
        said = io.StringIO()
        try:
            with contextlib.redirect_stdout(said):
                exec(
                    compile(cell.source, self.where(cell), "exec"), names
                )  # the instructor's own notebook, which JupyterLab runs as well
        except HandbookMismatch as error:
            raise _row_that_disagrees(error, self.where(cell)) from None
        except InputError as error:
            raise error.at(file=self.where(cell)) from None
        except (Exception, SystemExit) as error:
            raise InputError(
                f"{type(error).__name__} ({error})", "a cell that runs", file=self.where(cell)
            ) from None
        return said.getvalue()


def _row_that_disagrees(error: HandbookMismatch, where: str) -> InputError:
    """The row of checks.csv behind a worked check that does not agree."""
    check_id, _, numbers = str(error).partition(": ")
    line = next((row.line for row in load_table("checks") if row.get("id") == check_id), "?")
    return InputError(
        numbers,
        f"both alike; compared in {where}: look at this row, and at the table or formula that gives ours",
        field=check_id,
        file=f"checks.csv, line {line}",
    )


@contextlib.contextmanager
def _beside(folder: Path) -> Iterator[None]:
    """Imports from the notebooks' folder, which leave no compiled file there."""
    kept = sys.dont_write_bytecode
    sys.dont_write_bytecode = True
    sys.path.insert(0, str(folder))
    try:
        yield
    finally:
        sys.path.remove(str(folder))
        sys.dont_write_bytecode = kept
