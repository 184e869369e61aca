"""Command line: python -m tests.fuzz [--inputs 100000] [--seed 1] [--keep FOLDER]; status 1 when an input
gave anything but a value or one sentence.
"""

import argparse
import os
import sys
import tempfile
from pathlib import Path

from tests.fuzz.run import run


def main() -> int:
    """Run, and print every kind of finding once with its shortest input."""
    parser = argparse.ArgumentParser(prog="python -m tests.fuzz", description=__doc__)
    parser.add_argument("--inputs", type=int, default=100_000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--keep", metavar="FOLDER", help="where the findings are written")
    given = parser.parse_args()
    os.environ["TOWLIB_READER_FOLDER"] = tempfile.mkdtemp(prefix="towlib-fuzz-")
    folder = Path(given.keep or tempfile.mkdtemp(prefix="fuzz-"))
    folder.mkdir(parents=True, exist_ok=True)
    counts, found = run(given.inputs, given.seed, folder)
    for name, count in sorted(counts.items()):
        print(f"{name}: {count:,}")
    shortest: dict[tuple[str, str], dict[str, str]] = {}
    for one in found:
        key = one["loader"], one["wrong"].partition(" | ")[0]
        if key not in shortest or len(one["input"]) < len(shortest[key]["input"]):
            shortest[key] = one
    for one in shortest.values():
        print(
            f"\n{one['loader']}: {one['wrong']}\n  {len(one['input']) // 2} bytes:"
            f" {bytes.fromhex(one['input'])[:300]!r}"
        )
    print(
        f"\n{sum(counts.values()):,} inputs, {len(found)} findings of {len(shortest)} kinds, kept in {folder}"
    )
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
