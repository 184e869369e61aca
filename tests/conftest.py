"""Shared by all tests: the repository's folders, and a reader's folder that is not the reader's own."""

import gc
import os
import sys
import tempfile
from pathlib import Path

import pytest
from hypothesis import settings

settings.register_profile(
    "workbook", deadline=None
)  # how long one example takes says more about the machine than about the code
settings.load_profile("workbook")

REPOSITORY = Path(__file__).parents[1]
os.environ.setdefault("TOWLIB_READER_FOLDER", tempfile.mkdtemp(prefix="towlib-reader-"))
# The files that take longest, first of all: a worker takes one file after the other, and a long one at the
# end would leave the other worker with nothing to do. Those of browser/ stand together, because a worker
# starts JupyterLab and Chromium once for all of them that follow each other.
LONGEST = (
    "tests/browser/test_screens.py",
    "tests/browser/test_browser.py",
    "tests/browser/test_access.py",
    "tests/browser/test_lesson_without_code.py",
    "tests/browser/test_new_user.py",
    "tests/browser/test_reading_page.py",
    "tests/browser/test_many_readers.py",
    "tests/lessons/test_panels_of_lessons.py",
    "tests/plan/test_missing_fields.py",
    "tests/plan/test_many_cases.py",
    "tests/rig/test_file_lock.py",
    "tests/house/test_adapt_check.py",
    "tests/house/test_command_line.py",
    "tests/house/test_wheel.py",
    "tests/house/test_faults.py",
    "tests/house/test_odd_names.py",
    "tests/plan/test_any_rig.py",
    "tests/teaching/test_handouts.py",
)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """The longest files first; `--no-loadscope-reorder` keeps xdist from another order of its own."""
    place = {name: number for number, name in enumerate(LONGEST)}
    items.sort(key=lambda item: place.get(item.nodeid.partition("::")[0], len(place)))


@pytest.fixture
def data_folder() -> Path:
    return REPOSITORY / "data"


@pytest.fixture(scope="module")
def values_are_meant():
    """Nobody asks whether an unusual value is a slip: for tests of what follows from it."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("towlib.rig.facts.questions", lambda rig: ())
        yield


@pytest.fixture(autouse=True, scope="module")
def widgets_end_with_their_tests():
    """Widgets and their pictures live as long as a page may ask for them. No page asks here, and a gigabyte
    of them makes every later test wait for Python's collector of rubbish.
    """
    yield
    if panels := sys.modules.get("towlib.teaching.panel.panels"):
        panels._LIVE.clear()
        watchers = panels.settings._watchers
        for who in watchers.keys() - {"panels"}:
            del watchers[who]
        sys.modules["ipywidgets.widgets.widget"]._instances.clear()
        gc.collect()
