"""A long recording: our loader against the parsers alone, and how its time grows."""

import functools
import math
import tempfile
from pathlib import Path
from xml.sax.handler import ContentHandler

import defusedxml.sax
import gpxpy

from tests.benchmarks.measure import Row, in_turns, timed
from towlib.road.gpx_file import read_gpx
from towlib.road.route import load_route

POINTS = (1_000, 10_000, 100_000)


def gpx_text(points: int) -> str:
    """An invented winding road, a point every 10 m."""
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        '<gpx version="1.1" creator="made up" xmlns="http://www.topografix.com/GPX/1/1">',
        "<trk><name>long road</name><trkseg>",
    ]
    for i in range(points):
        lines.append(
            f'<trkpt lat="{-38.5 + 9e-5 * i * 0.5 + 0.002 * math.sin(i / 300):.7f}"'
            f' lon="{-27.2 + 9e-5 * i * 0.5:.7f}">'
            f"<ele>{800 + 300 * math.sin(i / 900) + 2 * math.sin(i * 1.7):.1f}</ele></trkpt>"
        )
    return "\n".join([*lines, "</trkseg></trk></gpx>"])


def rows() -> list[Row]:
    """Our loader against the parsers it uses, and ten times the points against ten times the time."""
    with tempfile.TemporaryDirectory() as folder:
        paths = {points: Path(folder) / f"road_{points}.gpx" for points in POINTS}
        for points, path in paths.items():
            path.write_text(gpx_text(points), encoding="utf-8")
        big, words = paths[POINTS[-1]], f"{POINTS[-1]:,} points"

        def both_parsers() -> None:
            with big.open("rb") as handle:
                defusedxml.sax.parse(handle, ContentHandler(), forbid_dtd=True)
            gpxpy.parse(big.read_text(encoding="utf-8"))

        whole, read, parser, both = in_turns(
            *(
                functools.partial(timed, action)
                for action in (
                    lambda: load_route(big),
                    lambda: read_gpx(big),
                    lambda: gpxpy.parse(big.read_text(encoding="utf-8")),
                    both_parsers,
                )
            ),
            rounds=3,
        )
        small, middle = in_turns(
            *(lambda path=paths[points]: timed(lambda: load_route(path)) for points in POINTS[:2]), rounds=9
        )
    return [
        Row(
            f"a recording of {words} loaded: read, checked, smoothed, on its grid",
            whole,
            "gpxpy's parser alone",
            parser,
        ),
        Row(
            "the same",
            whole,
            "both parsers it uses (a hardened first look, then gpxpy)",
            both,
            "at least 0.70",
            both / whole >= 0.7,
        ),
        Row(f"{words}: read and checked, without the grid", read, "both parsers", both),
        *(
            Row(
                f"loader, {more:,} points",
                more_s,
                f"ten times its time for {few:,}",
                10 * few_s,
                "at least 0.80 (1 is a straight line; a square would be 0.10)",
                10 * few_s / more_s >= 0.8,
            )
            for few, few_s, more, more_s in (
                (POINTS[0], small, POINTS[1], middle),
                (POINTS[1], middle, POINTS[2], whole),
            )
        ),
    ]
