"""Imports run one way through the rooms, and pint, matplotlib and ipywidgets each have one file."""

import ast
import re
from pathlib import Path

import pytest

LIBRARY = Path(__file__).parents[2] / "towlib"
# the rooms in order, each a folder or a module; an import may only go to the left, or stay in its room
ROOMS = (
    ("errors",),
    ("paths", "units"),
    ("physics",),
    ("handbook", "road"),
    ("rig",),
    ("limits",),
    ("plan",),
    ("draw",),
    ("print",),
    ("lessons",),
    ("teaching",),
    ("notebook",),
    ("__main__", "adapt_check", "handouts"),
)
SUBJECTS = (
    "basics",
    "weights",
    "hitch",
    "brakes",
    "drive",
    "chains",
    "turning",
    "driveline",
    "electric",
    "costs",
)
OWNERS = {
    "pint": "towlib.units",
    "matplotlib": "towlib.draw.figures",
    "PIL": "towlib.draw.figures",
    "ipywidgets": "towlib.teaching.panel.panels",
    "gpxpy": "towlib.road.gpx_file",
}
FILES = sorted(LIBRARY.rglob("*.py"))


def _module(path: Path) -> str:
    name = ".".join(path.relative_to(LIBRARY.parent).with_suffix("").parts)
    return name.removesuffix(".__init__")


def _place(module: str) -> tuple[int, int]:
    """The room's number, and within physics the subject's."""
    _, room, *inside = module.split(".")
    number = next(number for number, names in enumerate(ROOMS) if room in names)
    return number, SUBJECTS.index(inside[0]) if room == "physics" and inside else 0


def _imports(path: Path) -> list[str]:
    names = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names += [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path.name}: relative import"
            assert all(alias.name != "*" for alias in node.names), f"{path.name}: import *"
            names += [f"{node.module}.{alias.name}" for alias in node.names]
    return names


@pytest.mark.parametrize("path", [p for p in FILES if _module(p) != "towlib"], ids=_module)
def test_no_arrow_runs_back(path):
    here = _module(path)
    for name in _imports(path):
        if name.startswith("towlib.") and not name.startswith("towlib.__version__"):
            assert _place(name) <= _place(here), f"{here} imports {name}, which stands to its right"
            if here.startswith("towlib.physics"):
                assert name.startswith("towlib.physics"), f"{here} must know physics only, not {name}"
        owner = OWNERS.get(name.partition(".")[0])
        assert owner is None or owner == here, f"{name.partition('.')[0]} belongs to {owner}, not to {here}"


def test_lessons_do_not_know_each_other():
    for path in (LIBRARY / "lessons").glob("l[0-9][0-9]_*/*.py"):
        others = [
            name
            for name in _imports(path)
            if re.match(r"towlib\.lessons\.l\d\d_", name) and path.parent.name not in name
        ]
        assert not others, f"{_module(path)} imports {others}"


def test_every_room_named_here_exists_and_no_other():
    rooms = {
        path.stem for path in LIBRARY.iterdir() if path.suffix == ".py" or (path / "__init__.py").exists()
    }
    assert rooms - {"__init__"} == {name for names in ROOMS for name in names}
    assert {path.name for path in (LIBRARY / "physics").iterdir() if path.is_dir()} - {"__pycache__"} == set(
        SUBJECTS
    )
    assert set(OWNERS.values()) <= {_module(path) for path in FILES}


def test_a_name_stands_once():
    names = [path.stem for path in FILES if path.stem not in ("__init__", "__main__")]
    folders = [path.name for path in LIBRARY.rglob("*") if (path / "__init__.py").exists()]
    for name in (*names, *folders):
        twins = (names + folders).count(name)
        assert twins == 1 or (name == "handbook"), f"{name} stands {twins} times"
