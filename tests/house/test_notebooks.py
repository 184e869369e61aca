"""Notebook hygiene: nbval must not be able to pass by comparing nothing, and every lesson has its parts in
order.
"""

import ast
import builtins
import re
from pathlib import Path

import nbformat
import pytest

from tests.clean_notebooks import cleaned, text_of

FOLDER = Path(__file__).parents[2] / "notebooks"
NOTEBOOKS = sorted(FOLDER.glob("*.ipynb"))
LESSONS = [path for path in NOTEBOOKS if path.stem[:2] not in ("00", "11")]
# cells whose output may differ from run to run, and the only ones nbval may ignore
CHANGING = {"setup", "controls", "predict", "panel", "seen", "your-rig", "form", "exercise"}
PARTS = [
    "title",
    "objectives",
    "caution",
    "setup",
    "symbols",
    "predict",
    "panel",
    "seen",
    "model",
    "worked-check",
    "your-rig",
    "exercise",
    "instructor",
    "to-the-sheet",
    "keypoints",
]


def _cells(path):
    return nbformat.read(path, as_version=4).cells


def _tags(cell):
    return set(cell.metadata.get("tags", []))


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: p.stem)
def test_kept_clean(path):
    assert path.read_text(encoding="utf-8") == text_of(cleaned(nbformat.read(path, as_version=4))), (
        "run python tests/clean_notebooks.py --fix"
    )


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: p.stem)
def test_every_code_cell_is_compared_or_openly_ignored(path):
    compared = 0
    for i, cell in enumerate(_cells(path)):
        if cell.cell_type != "code" or not cell.source.strip():
            continue
        where = f"{path.name} cell {i}"
        assert not _tags(cell) & {"nbval-skip", "raises-exception"}, where
        if "nbval-ignore-output" in _tags(cell):
            assert _tags(cell) & CHANGING, f"{where}: only {sorted(CHANGING)} cells may be ignored"
            assert "check_close(" not in cell.source, f"{where}: a worked check must be compared"
        else:
            assert cell.execution_count, f"{where}: a null count is never compared"
            assert all(
                output.output_type in ("stream", "execute_result", "display_data") for output in cell.outputs
            ), where
            compared += bool(cell.outputs)
        if _tags(cell) & {"worked-check"}:
            text = "".join(output.get("text", "") or str(output.get("data")) for output in cell.outputs)
            assert re.search(r"[a-z]{3}", text), f"{where}: prints nothing that could be compared"
    assert compared >= 1


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: p.stem)
def test_worked_checks_raise_by_themselves(path):
    for cell in _cells(path):
        if "worked-check" in _tags(cell):
            assert "check_close(" in cell.source


@pytest.mark.parametrize("path", LESSONS, ids=lambda p: p.stem)
def test_lesson_has_its_parts_in_order(path):
    order = [part for cell in _cells(path) for part in PARTS if part in _tags(cell)]
    firsts = sorted(PARTS, key=lambda part: order.index(part) if part in order else -1)
    assert set(PARTS) <= set(order), f"missing: {sorted(set(PARTS) - set(order))}"
    assert firsts == PARTS
    assert len(_cells(path)) <= 60


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: p.stem)
def test_first_cell_titles_and_code_is_plain(path):
    cells = _cells(path)
    assert cells[0].source.startswith("# ")
    assert (
        sum(
            line.startswith("# ")
            for cell in cells
            if cell.cell_type == "markdown"
            for line in cell.source.splitlines()
        )
        == 1
    )
    for cell in cells:
        if cell.cell_type == "code":
            tree = ast.parse(cell.source)
            for node in ast.walk(tree):
                assert not (isinstance(node, ast.ImportFrom) and any(a.name == "*" for a in node.names)), (
                    "import *"
                )
                assert not (
                    isinstance(node, ast.Import)
                    and any(a.name.split(".")[0] in ("pint", "matplotlib", "ipywidgets") for a in node.names)
                )


def _names_after_setup(cells):
    setup = next(cell for cell in cells if "setup" in _tags(cell))
    return _bound(ast.parse(setup.source)) | set(dir(builtins))


def _bound(tree):
    names = {
        node.id for node in ast.walk(tree) if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store)
    }
    names |= {
        (alias.asname or alias.name).split(".")[0]
        for node in ast.walk(tree)
        if isinstance(node, ast.Import | ast.ImportFrom)
        for alias in node.names
    }
    names |= {
        node.name
        for node in ast.walk(tree)
        if isinstance(node, ast.FunctionDef | ast.ExceptHandler) and node.name
    }
    return names | {
        arg.arg
        for node in ast.walk(tree)
        if isinstance(node, ast.arguments)
        for arg in (*node.args, *node.kwonlyargs)
    }


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: p.stem)
def test_every_cell_runs_right_after_the_setup_cell(path):
    cells = _cells(path)
    known = _names_after_setup(cells)
    for i, cell in enumerate(cells):
        if cell.cell_type == "code" and "setup" not in _tags(cell):
            tree = ast.parse(cell.source)
            used = {
                node.id
                for node in ast.walk(tree)
                if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Load)
            }
            assert used <= known | _bound(tree), (
                f"{path.name} cell {i} needs {used - known - _bound(tree)} from another cell"
            )


@pytest.mark.parametrize("place", ["README.md", "notebooks/00_start_here.ipynb"])
def test_every_lesson_is_listed_where_a_reader_looks(place):
    text = (FOLDER.parent / place).read_text(encoding="utf-8")
    for path in NOTEBOOKS:
        assert f"`{path.stem}`" in text or path.stem == "00_start_here", f"{place} does not name {path.stem}"
    assert set(re.findall(r"`([01][0-9]_[a-z_]+)`", text)) <= {path.stem for path in NOTEBOOKS}


# ---- nothing to read or type in code ----
READABLE = re.compile(r"SEED|UNITS|my_answer\b|judge\(|\bprint\(")


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: p.stem)
def test_every_code_cell_is_folded_and_short(path):
    for i, cell in enumerate(_cells(path)):
        where = f"{path.name} cell {i}"
        if cell.cell_type == "code":
            assert cell.metadata.get("jupyter", {}).get("source_hidden") is True, where
            assert not READABLE.search(cell.source), where
            if not _tags(cell) & {"setup", "worked-check", "example"}:
                assert len(cell.source.strip().splitlines()) <= 8, where


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: p.stem)
def test_texts_ask_nobody_to_edit_code_and_name_no_page_of_the_web(path):
    for i, cell in enumerate(_cells(path)):
        if cell.cell_type == "markdown":
            where = f"{path.name} cell {i}"
            assert not READABLE.search(cell.source), where
            assert "from memory" not in cell.source, where
            assert not re.search(r"\b[a-z0-9-]+\.(com|org|net|edu|gov|club|app|uk|au)\b", cell.source), where
            assert not re.search(r"\b(safe|safely)\b(?! (load|place|distance))", cell.source), where


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: p.stem)
def test_lessons_named_in_texts_are_links_that_lead_there(path):
    names = {other.stem for other in NOTEBOOKS} - {path.stem}
    for i, cell in enumerate(_cells(path)):
        if cell.cell_type != "markdown" or "instructor" in _tags(cell):
            continue
        for target in re.findall(r"\]\(([^)]+\.ipynb)\)", cell.source):
            assert (FOLDER / target).exists(), f"{path.name} cell {i}: {target}"
        bare = re.sub(r"\[`?\w+`?\]\([^)]+\)", "", cell.source)
        for name in names:
            assert name not in bare, f"{path.name} cell {i}: {name} is no link"


@pytest.mark.parametrize("path", LESSONS, ids=lambda p: p.stem)
def test_a_heading_stands_above_every_panel(path):
    cells = _cells(path)
    for i, cell in enumerate(cells):
        if cell.cell_type == "code" and "panel" in _tags(cell):
            above = [
                c for c in cells[:i] if c.cell_type == "markdown" and re.search(r"(?m)^#{1,3} ", c.source)
            ]
            between = [
                c for c in cells[cells.index(above[-1]) : i] if c.cell_type == "code" and "panel" in _tags(c)
            ]
            assert not between, f"{path.name} cell {i}: its heading belongs to another panel"
