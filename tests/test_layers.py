"""Imports run one way, and pint, matplotlib and ipywidgets each have one file."""

import ast
from pathlib import Path

import pytest

LIBRARY = Path(__file__).parents[1] / "towlib"
# every module and the layer it stands in; an import may only go to the same or a lower number
LAYERS = {"towlib.errors": 0, "towlib.units": 0, "towlib.physics": 0, "towlib.measured": 1, "towlib.rig": 1, "towlib.elevation": 1,
          "towlib.route_files": 1, "towlib.route_gpx": 1, "towlib.route": 1, "towlib.handbook": 1, "towlib.bolt_tables": 1, "towlib.breakage_table": 1, "towlib.electric_tables": 1, "towlib.facts": 1, "towlib.file_lock": 1, "towlib.rig_store": 1, "towlib.rig_text": 1, "towlib.rig_import": 1,
          "towlib.limits": 2, "towlib.loads": 2, "towlib.legs": 2, "towlib.climbs": 2, "towlib.limit_rules": 2, "towlib.methods": 2, "towlib.trip": 2, "towlib.sampled_legs": 2, "towlib.sampled": 2, "towlib.brake_range": 2, "towlib.driving_words": 2,
          "towlib.driveline": 1, "towlib.driveline_card": 2,
          "towlib.plan_json": 3, "towlib.report": 3, "towlib.checklists": 3, "towlib.field_lists": 3, "towlib.certainty": 3, "towlib.teaching": 4, "towlib.sheet": 4, "towlib.__main__": 5, "towlib.adapt_check": 5, "towlib.handouts": 5}
OWNERS = {"pint": "towlib.units", "matplotlib": "towlib.teaching.figures", "ipywidgets": "towlib.teaching.panels",
          "PIL": "towlib.teaching.figures", "gpxpy": "towlib.route_gpx"}
FILES = sorted(LIBRARY.rglob("*.py"))


def _module(path: Path) -> str:
    name = ".".join(path.relative_to(LIBRARY.parent).with_suffix("").parts)
    return name.removesuffix(".__init__")


def _layer(module: str) -> int:
    while module not in LAYERS:
        module = module.rpartition(".")[0]
        if not module:
            raise KeyError(module)
    return LAYERS[module]


def _imports(path: Path) -> list[str]:
    names = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names += [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path.name}: relative import"
            assert all(alias.name != "*" for alias in node.names), f"{path.name}: import *"
            names.append(node.module)
    return names


@pytest.mark.parametrize("path", [p for p in FILES if _module(p) != "towlib"], ids=_module)
def test_no_arrow_runs_back(path):
    here = _module(path)
    for name in _imports(path):
        if name == "towlib":
            continue
        if name.startswith("towlib."):
            assert _layer(name) <= _layer(here), f"{here} imports {name}, which stands above it"
            if here.startswith("towlib.physics"):
                assert name.startswith("towlib.physics"), f"{here} must know physics only, not {name}"
        owner = OWNERS.get(name.partition(".")[0])
        assert owner is None or owner == here, f"{name.partition('.')[0]} belongs to {owner}, not to {here}"


def test_every_layer_named_here_exists():
    modules = {_module(path) for path in FILES}
    assert set(LAYERS) <= modules
    assert set(OWNERS.values()) <= modules
