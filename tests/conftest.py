"""Shared by all tests: the repository's folders, and a reader's folder that is not the reader's own."""

import os
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
