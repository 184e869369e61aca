"""One JupyterLab and one Chromium for all files of this folder that one worker runs; a copy of the workbook
and pages of their own for each file.
"""

import pytest
from playwright.sync_api import expect

from tests import browser_helpers as browser

expect.set_options(timeout=15_000)  # others may use the processor as well


@pytest.fixture(scope="package")
def new_copy(tmp_path_factory):
    """What makes a copy of the workbook that the one JupyterLab serves."""
    with browser.chromium(), browser.workbooks_lab(tmp_path_factory.mktemp("lab")) as copy:
        yield copy


@pytest.fixture(scope="module")
def workbook(new_copy):
    """What gives the address of a notebook, and the folder of the notebooks, where the reader's files go."""
    address, reader, end_kernels = new_copy()
    yield address, reader
    end_kernels()
