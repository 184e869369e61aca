"""Coverage-guided runs of the parsers: `python -m tests.fuzz.coverage_guided rig -runs=100000` in an
environment that has atheris and ours.

Atheris is no requirement of the workbook. Only towlib's own code is watched; what libFuzzer takes after the
parser's name goes to it.
"""

import os
import sys
import tempfile
from pathlib import Path

PARSERS = ("rig", "csv", "gpx", "typed", "lesson", "table")
WATCHED = (
    "towlib.rig.model",
    "towlib.units",
    "towlib.rig.measured",
    "towlib.road.route",
    "towlib.road.csv_file",
    "towlib.road.gpx_file",
    "towlib.road.elevation",
    "towlib.handbook.tables",
    "towlib.lessons.predictions",
    "towlib.lessons.slider_rows",
    "tomllib",
    "gpxpy",
)


def main() -> None:
    """Run one parser until libFuzzer stops or something but a value or one sentence comes out."""
    import atheris

    if len(sys.argv) < 2 or sys.argv[1] not in PARSERS:
        raise SystemExit(
            f"found no parser; wanted one of {', '.join(PARSERS)}, for example: python -m"
            " tests.fuzz.coverage_guided rig -runs=100000"
        )
    name = sys.argv.pop(1)
    with atheris.instrument_imports(include=list(WATCHED)):
        from tests.fuzz import inputs
        from tests.fuzz.run import one
    folder = Path(tempfile.mkdtemp(prefix="fuzz-"))
    os.environ["TOWLIB_READER_FOLDER"] = str(folder)
    corpus = folder / "corpus"
    corpus.mkdir()
    if name != "typed" and name != "table":
        for number, seed in enumerate(inputs.seeds(name)):
            (corpus / f"good{number}").write_bytes(seed[:3000])

    def each(data: bytes) -> None:
        if wrong := one(name, (b"chain_rules\n" + data) if name == "table" else data, folder):
            raise RuntimeError(wrong)

    def readable(data: bytes) -> None:
        try:
            data.decode("utf-8", "surrogatepass")
        except UnicodeDecodeError:
            return
        each(data)

    atheris.Setup(
        [
            sys.argv[0],
            "-max_len=4000",
            "-rss_limit_mb=700",
            "-print_final_stats=1",
            *sys.argv[1:],
            str(corpus),
        ],
        readable if name == "typed" else each,
    )
    atheris.Fuzz()


if __name__ == "__main__":
    main()
