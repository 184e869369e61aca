"""First import of every notebook: finds towlib beside this folder, checks the packages, prints one line."""

import sys
from importlib import metadata
from pathlib import Path

REPOSITORY = Path(__file__).resolve().parents[1]
if str(REPOSITORY) not in sys.path:
    sys.path.insert(0, str(REPOSITORY))

if sys.version_info < (3, 11):  # noqa: UP036 (an older Python is told so in words)
    raise SystemExit(
        f"This workbook needs Python 3.11 or newer; this is {sys.version.split()[0]}. Start it with the first"
        " command of the README."
    )
try:
    import towlib
    from towlib.teaching import plain_errors
    from towlib.teaching.panel import panels  # noqa: F401 (a missing package is named at once)
except ModuleNotFoundError as missing:
    raise SystemExit(
        f"The package '{missing.name}' is not installed here. Start the workbook with the first command of"
        " the README."
    ) from None

plain_errors.use_plain_errors()
print(
    f"Ready: towlib {towlib.__version__}, ipywidgets {metadata.version('ipywidgets')}, Python"
    f" {sys.version.split()[0]}."
)
