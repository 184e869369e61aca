"""Command line: python -m towlib.handouts FOLDER writes a printable handout of every lesson; see --help."""

import argparse
import sys
from pathlib import Path

from towlib.errors import InputError
from towlib.rig.store import write_whole
from towlib.teaching.practice.handout_pages import handout_html, lesson_names


def main(arguments: list[str] | None = None) -> int:
    """Write the handouts; 0 when all were written, 2 when a lesson, the seed or the folder cannot be used."""
    parser = argparse.ArgumentParser(
        prog="python -m towlib.handouts",
        description="Handouts to print, one for each lesson, made from its notebook; without answers.",
        epilog=(
            "No PDF is made here: open a handout in a browser, print it, and choose 'Save as PDF' as the"
            " printer."
        ),
    )
    parser.add_argument("folder", help="where to write; made when it is not there")
    parser.add_argument(
        "--lesson", action="append", metavar="NN", help="one lesson only, for example 02; may be given again"
    )
    parser.add_argument(
        "--seed", type=int, default=1, help="which set of numbers the exercises have (1 when left out)"
    )
    parser.add_argument(
        "--units",
        choices=("metric", "us"),
        default="metric",
        help="units of sliders and exercises",
    )
    given = parser.parse_args(arguments)
    try:
        for lesson in _chosen(given.lesson):
            path = Path(given.folder) / f"handout_{lesson}.html"
            write_whole(path, handout_html(lesson, given.seed, system=given.units))
            print(f"Written: {path}")
    except InputError as error:
        print(error, file=sys.stderr)
        return 2
    return 0


def _chosen(wanted: list[str] | None) -> list[str]:
    """Full names of the lessons asked for, by number or name; all when none is asked for."""
    names = lesson_names()
    return (
        [next((name for name in names if each in (name, name[:2])), each) for each in wanted]
        if wanted
        else list(names)
    )


if __name__ == "__main__":
    sys.exit(main())
