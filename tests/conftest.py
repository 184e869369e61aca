"""Shared by all tests: the repository's folders, and a reader's folder that is not the reader's own."""

import os
import tempfile
from pathlib import Path

import pytest

REPOSITORY = Path(__file__).parents[1]
os.environ.setdefault("TOWLIB_READER_FOLDER", tempfile.mkdtemp(prefix="towlib-reader-"))


@pytest.fixture
def data_folder() -> Path:
    return REPOSITORY / "data"
