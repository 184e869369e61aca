"""Where the workbook's own files lie: beside `towlib` in a checkout, inside it once installed."""

import os
from pathlib import Path

_LIBRARY = Path(__file__).parent
REPOSITORY = _LIBRARY.parent
DATA = REPOSITORY / "data" if (REPOSITORY / "data" / "handbook").is_dir() else _LIBRARY / "data"
NOTEBOOKS = REPOSITORY / "notebooks"


def own_file(name: str) -> Path:
    """A file by its name; one of the workbook's own (`data/…`) is found from any folder."""
    path = Path(name)
    own = DATA.joinpath(*path.parts[1:])
    return own if path.parts[:1] == ("data",) and not os.path.exists(path) and os.path.exists(own) else path


def reader_folder() -> Path:
    """Where the reader's own files are kept: beside the notebooks, or where TOWLIB_READER_FOLDER says."""
    return Path(os.environ.get("TOWLIB_READER_FOLDER") or NOTEBOOKS)
