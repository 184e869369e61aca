"""`python -m tests.benchmarks`: every module speed_*.py beside this file gives rows; the table is
Markdown.
"""

import argparse
import importlib
import sys
from pathlib import Path

from tests.benchmarks.measure import machine, table

NEEDS_BROWSER = "browser"


def main() -> int:
    """Run the modules asked for and print their table."""
    names = sorted(path.stem.removeprefix("speed_") for path in Path(__file__).parent.glob("speed_*.py"))
    reader = argparse.ArgumentParser(
        prog="python -m tests.benchmarks", description="Ratios of speed, measured side by side in one run."
    )
    reader.add_argument(
        "--only", choices=names, action="append", help="one module; may be given more than once"
    )
    reader.add_argument(
        "--browser", action="store_true", help="the browser too: about a minute, and Chromium is needed"
    )
    reader.add_argument(
        "--details",
        action="store_true",
        help="every single measurement a module keeps, such as one row for each panel",
    )
    asked = reader.parse_args()
    rows, details = [], []
    for name in asked.only or names:
        if name == NEEDS_BROWSER and not asked.browser and not asked.only:
            continue
        print(f"measuring: {name} …", file=sys.stderr, flush=True)
        module = importlib.import_module(f"tests.benchmarks.speed_{name}")
        rows += module.rows()
        if asked.details and hasattr(module, "details"):
            details += module.details()
    print(f"{machine()}\n\n{table(rows)}")
    if details:
        print(f"\n{table(details)}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
