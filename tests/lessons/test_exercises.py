"""The exercises of the notebooks, worked for many seeds: the right answer is right and every slip has a
reason.
"""

import math
import re
import sys
from pathlib import Path

import nbformat
import pytest

from towlib.lessons import judging as practice
from towlib.units import KINDS, from_si, unit_label

FOLDER = Path(__file__).parents[2] / "notebooks"
SEEDS = range(1, 26)


def _asked(path):
    """(cell id, seed, expected, kind, traps) of every call of judge in the exercise cells."""
    cells = nbformat.read(path, as_version=4).cells
    names: dict = {}
    exec(next(cell.source for cell in cells if "setup" in cell.metadata.tags), names)  # noqa: S102 (our own notebooks)
    asked = []
    for cell in cells:
        if cell.cell_type == "code" and "exercise" in cell.metadata.tags:
            assert re.search(r"^SEED = 1$", cell.source, re.MULTILINE), (
                f"{path.name}: an exercise whose numbers never change"
            )
            for seed in SEEDS:

                def judge(answer, expected, kind, *, traps=None, seed=seed, cell=cell):
                    asked.append((cell.id, seed, expected, kind, traps or {}))
                    return practice.judge(answer, expected, kind, traps=traps)

                exec(cell.source.replace("SEED = 1", f"SEED = {seed}", 1), {**names, "judge": judge})  # noqa: S102
    return asked


def _typed(value_si, kind, system="metric"):
    return f"{from_si(value_si, kind, system):.9f} {_unit(kind, system)}"


def _unit(kind, system="metric"):
    label = unit_label(kind, system)
    return label if label in KINDS[kind].spellings else next(iter(KINDS[kind].spellings))


@pytest.mark.parametrize("path", sorted(FOLDER.glob("*.ipynb")), ids=lambda p: p.stem)
def test_right_wrong_sign_wrong_unit_and_each_trap(path, monkeypatch, tmp_path, capsys):
    monkeypatch.setenv("TOWLIB_READER_FOLDER", str(tmp_path))
    monkeypatch.setattr(sys, "path", [str(FOLDER), *sys.path])
    asked = _asked(path)
    assert list(tmp_path.iterdir()) == []  # no empty answer was written anywhere
    reached: dict[tuple, int] = {}
    for cell, seed, expected, kind, traps in asked:
        where = f"{cell} seed {seed} {kind}"
        assert math.isfinite(expected) and expected != 0, where

        def said(value, kind=kind, expected=expected, traps=traps, system="metric"):
            return practice.judge(_typed(value, kind, system), expected, kind, traps=traps)

        assert said(expected).startswith("Right") and said(expected, system="us").startswith("Right"), where
        assert "sign is wrong" in said(-expected) or any(
            math.isclose(-expected, trap, rel_tol=0.01) for trap in traps.values()
        ), where
        assert re.match("Nearly|Not yet: (?!neither)", said(expected * 1.02)), where
        for factor in (2.0, 0.5, 9.80665, 1 / 9.80665):
            assert re.match(r"Not yet: (?!neither)", said(expected * factor)), (
                where,
                factor,
                said(expected * factor),
            )
        wrong_unit = f"{from_si(expected, kind):.9f} {_unit(kind, 'us')}"
        if _unit(kind, "us") != _unit(kind):
            assert re.match(
                r"Not yet: (?!neither)", practice.judge(wrong_unit, expected, kind, traps=traps)
            ), where
        for reason, value in traps.items():
            assert math.isfinite(value), (where, reason)
            assert not reason.endswith("."), reason
            reached[cell, kind, reason] = reached.get((cell, kind, reason), 0) + (
                said(value) == f"Not yet: {reason}."
            )
    capsys.readouterr()
    never = [key for key, times in reached.items() if times < len(SEEDS) // 5]
    assert not never, f"hardly ever answered: {never}"


@pytest.mark.parametrize("path", sorted(FOLDER.glob("*.ipynb")), ids=lambda p: p.stem)
def test_numbers_differ_by_seed(path, monkeypatch, tmp_path, capsys):
    monkeypatch.setenv("TOWLIB_READER_FOLDER", str(tmp_path))
    monkeypatch.setattr(sys, "path", [str(FOLDER), *sys.path])
    answers: dict[str, set] = {}
    for cell, _, expected, _, _ in _asked(path):
        answers.setdefault(cell, set()).add(round(expected, 9))
    capsys.readouterr()
    assert all(len(found) >= 4 for found in answers.values()), {
        cell: len(found) for cell, found in answers.items()
    }
