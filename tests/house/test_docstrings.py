"""Every public physics function documents each argument, what it returns, where it breaks down and its
source.
"""

import importlib
import inspect
import re
from pathlib import Path

import pytest

PHYSICS = Path(__file__).parents[2] / "towlib" / "physics"


def dotted(path):
    return ".".join(path.relative_to(PHYSICS.parents[1]).with_suffix("").parts)


SECTIONS = ("Parameters", "Returns", "Breaks down when", "Source", "Examples")


def _functions():
    for path in sorted(PHYSICS.rglob("[!_]*.py")):
        module = importlib.import_module(dotted(path))
        for name, function in inspect.getmembers(module, inspect.isfunction):
            stands_for = (function.__doc__ or "").startswith(
                ("As math.", "As numpy.")
            )  # cases.py: a library's function, for many cases
            if function.__module__ == module.__name__ and not name.startswith("_") and not stands_for:
                yield pytest.param(function, id=f"{path.stem}.{name}")


@pytest.mark.parametrize("function", list(_functions()))
def test_docstring_is_whole(function):
    text = inspect.getdoc(function) or ""
    places = [text.find(f"\n{section}\n") for section in SECTIONS]
    assert all(place > 0 for place in places) and places == sorted(places), (
        f"sections missing or out of order: {SECTIONS}"
    )
    assert ">>>" in text
    parameters = text[places[0] : places[1]]
    documented = {
        name.strip()
        for line in re.findall(r"^([a-z_][a-z0-9_, ]*) : ", parameters, re.M)
        for name in line.split(",")
    }
    assert documented == set(inspect.signature(function).parameters)
    if "raise ValueError" in inspect.getsource(function):
        assert "\nRaises\n" in text


def test_more_than_two_numbers_go_by_name():
    # two masses or lengths swapped by position give no error, so beyond the leading ones all go by keyword
    for case in _functions():
        signature = inspect.signature(case.values[0])
        positional = [p for p in signature.parameters.values() if p.kind is p.POSITIONAL_OR_KEYWORD]
        assert len(positional) <= 3, f"{case.id} takes {len(positional)} arguments by position"
