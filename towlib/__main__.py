"""Command line: python -m towlib RIG ROUTE makes the plan; see --help."""

import argparse
import io
import sys
from collections.abc import Sequence
from pathlib import Path
from textwrap import wrap

from towlib.errors import InputError
from towlib.paths import own_file
from towlib.plan.many_cases import COUNT, sample_plan
from towlib.plan.trip import make_plan
from towlib.print.certainty import certainty_words
from towlib.print.plan_json import plan_json
from towlib.print.report import WIDE, report
from towlib.rig.store import load_any_rig, write_whole
from towlib.road.route import load_route

MOST_CASES = 100_000


def main(arguments: list[str] | None = None) -> int:
    """Make the plan and print it; 0 when it was made whatever its answers, 2 when the input cannot be
    read.
    """
    parser = argparse.ArgumentParser(
        prog="python -m towlib", description="Two vehicles and a road in, a trip plan out."
    )
    parser.add_argument("rig", help="rig file, for example data/rigs/demo_comfortable.toml")
    parser.add_argument("route", help="road as CSV or GPX, for example data/routes/short_steep_pass.csv")
    parser.add_argument(
        "--units", choices=("metric", "us"), default="metric", help="units of the report and the sheet"
    )
    parser.add_argument(
        "--json", action="store_true", help="print the plan as JSON (keys: data/plan_json_keys.md)"
    )
    parser.add_argument(
        "--cases",
        nargs="?",
        type=int,
        const=COUNT,
        metavar="N",
        help=(
            f"also say in how many of N cases (1 to 100,000; {COUNT:,} when N is left out) each limit holds,"
            " when the ± and assumed values vary"
        ),
    )
    parser.add_argument("--sheet", metavar="FILE.html", help="also write the printable trip sheet")
    for stream in (sys.stdout, sys.stderr):  # a terminal that lacks a letter gets a '?' for it
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")
    given = parser.parse_args(arguments)
    if given.cases is not None and not 1 <= given.cases <= MOST_CASES:
        parser.error(f"--cases {given.cases}: wanted a number from 1 to {MOST_CASES:,}, for example {COUNT}")
    if given.cases and given.json:
        parser.error("--cases goes with the text report, not with --json")
    try:
        plan = make_plan(load_any_rig(own_file(given.rig)), load_route(own_file(given.route)))
        if given.sheet:
            _write_sheet(Path(given.sheet), plan, given.units, own=(given.rig, given.route))
    except InputError as error:
        print(error, file=sys.stderr)
        return 2
    try:
        print(plan_json(plan) if given.json else report(plan, given.units), flush=True)
        if given.cases:
            print("\nHow sure is this?", *_certainty(plan, given.cases, given.units), sep="\n", flush=True)
    except OSError as error:
        return _not_printed(error)
    return 0


def _not_printed(error: OSError) -> int:
    if isinstance(error, BrokenPipeError):  # the reader's pager was closed before the end
        return 0
    print(
        InputError(
            f"no room for what was to be printed ({error.strerror})",
            "a disk with room, or no '>' behind the command",
        ),
        file=sys.stderr,
    )
    return 2


def _certainty(plan, cases: int, system: str) -> list[str]:
    return [
        row
        for words in certainty_words(sample_plan(plan.rig, plan.route, count=cases), system)
        for row in wrap(words, WIDE, subsequent_indent="  ")
    ]


def _write_sheet(path: Path, plan, system: str, own: Sequence[str]) -> None:
    from towlib.print.sheet import sheet_html  # matplotlib is slow to import and only the sheet needs it

    if any(path.resolve() == own_file(each).resolve() for each in own):
        raise InputError("the file the plan is made from", "another name, such as sheet.html", file=str(path))
    if not path.parent.is_dir():
        raise InputError(
            "a place that cannot be written (no such folder)",
            "a file name such as sheet.html in a folder of yours",
            file=str(path),
        )
    write_whole(path, sheet_html(plan, system))


if __name__ == "__main__":
    sys.exit(main())
