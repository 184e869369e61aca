"""Runs the worked checks, exercises and solutions of a lesson's notebook without a kernel, and says which
cell does not hold.

Cells are counted from 1, text cells included. Nothing is written beside the notebook.
"""

import contextlib
import io
import json
import math
import re
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

from towlib.errors import InputError, quote
from towlib.handbook.tables import HandbookMismatch, load_table
from towlib.lessons.judging import RIGHT_WITHIN
from towlib.rig.model import read_text
from towlib.units import show

SEEDS = range(1, 21)
LARGEST_NOTEBOOK = 5_000_000  # bytes
_SEED_LINE = re.compile(r"(?m)^SEED = [0-9]+")


class Cell(NamedTuple):
    """A cell of a notebook."""

    number: int
    is_code: bool
    tags: frozenset[str]
    source: str
    printed: str  # what it printed when it was saved


class Judged(NamedTuple):
    """An answer that a cell put to `judge`."""

    verdict: str
    expected_si: float
    kind: str
    traps: dict[str, float]
    seed: int = SEEDS[0]


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

    def check_your_rig(self) -> None:
        """Run the cells on the reader's rig, here the demo rig."""
        for cell in self.tagged("your-rig"):
            self._run(cell, dict(self._names))

    def check_practice(self) -> int:
        """Run exercises with twenty seeds and the solutions behind them; InputError names the cell that
        cannot be solved.
        """
        asked: list[Judged] = []
        exercises = 0
        for cell in self.cells:
            if cell.is_code and "exercise" in cell.tags:
                asked += self._exercise(cell)
                exercises += 1
            elif cell.is_code and "solution" in cell.tags:
                self._solution(cell, asked)
        return exercises

    def _exercise(self, cell: Cell) -> list[Judged]:
        found = []
        for seed in SEEDS if _SEED_LINE.search(cell.source) else SEEDS[:1]:
            given = f"{self.where(cell)}, with SEED = {seed}"
            calls, _ = self._listened(cell._replace(source=_SEED_LINE.sub(f"SEED = {seed}", cell.source)))
            if not calls:
                raise InputError(
                    "an exercise that judges no answer",
                    "a line such as print(judge(my_answer, …))",
                    file=given,
                )
            for call in calls:
                right = show(call.expected_si, call.kind) if math.isfinite(call.expected_si) else "no number"
                verdict = self._judge()(right, call.expected_si, call.kind, traps=call.traps)
                if not verdict.startswith("Right"):
                    raise InputError(
                        f"no answer that would be right ({right}: {verdict})",
                        "numbers that lead to one right answer",
                        file=given,
                    )
            found += [call._replace(seed=seed) for call in calls]
        return found

    def _solution(self, cell: Cell, asked: list[Judged]) -> None:
        calls, printed = self._listened(cell)
        for call in calls:
            same = [
                other.seed
                for other in asked
                if call.kind == other.kind
                and math.isclose(call.expected_si, other.expected_si, rel_tol=RIGHT_WITHIN)
            ]
            if not same or call.verdict.startswith("Right") and SEEDS[0] not in same:
                raise InputError(
                    f"{show(call.expected_si, call.kind)} as the right answer",
                    f"what the exercise before it takes for right with SEED = {SEEDS[0]}",
                    file=self.where(cell),
                )
        slips_only = (
            "Not yet: " in cell.printed and "Right:" not in cell.printed
        )  # some solutions show a slip and what is said to it
        wanted = 0 if slips_only else max(1, cell.printed.count("Right:"))
        if printed.count("Right:") < wanted:
            wrong = next(
                (call.verdict for call in calls if not call.verdict.startswith("Right")), "no 'Right'"
            )
            raise InputError(
                quote(wrong, 120), "a solution that the exercise calls Right", file=self.where(cell)
            )

    def _judge(self) -> Any:
        if "judge" not in self._names:
            raise InputError(
                "no 'judge' in the set-up cell",
                "from towlib.lessons.judging import judge",
                file=self.path.name,
            )
        return self._names["judge"]

    def _listened(self, cell: Cell) -> tuple[list[Judged], str]:
        judge, calls = self._judge(), []

        def listening(answer: str | None, expected_si: float, kind: str, **named: Any) -> str:
            verdict = judge(answer, expected_si, kind, **named)
            calls.append(Judged(verdict, expected_si, kind, dict(named.get("traps") or {})))
            return verdict

        return calls, self._run(cell, {**self._names, "judge": listening})

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
