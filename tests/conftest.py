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
