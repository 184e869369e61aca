"""What every benchmark shares: a row of the table, and two sides measured in turns."""

import gc
import importlib.metadata
import os
import platform
import statistics
import time
from collections.abc import Callable, Sequence
from typing import NamedTuple

PACKAGES = ("numpy", "scipy", "matplotlib", "pillow", "ipywidgets", "pint", "pydantic", "gpxpy", "jupyterlab")


class Row(NamedTuple):
    """One line of the table; the ratio shown is other_s / ours_s, so more is better."""

    what: str
    ours_s: float
    other: str
    other_s: float
    goal: str = ""
    met: bool | None = None  # None where nothing is asked


def timed(action: Callable[[], object], clock: Callable[[], float] = time.process_time) -> float:
    """Seconds of one call; of processor time unless told otherwise, which other programs on the machine
    hardly change.
    """
    start = clock()
    action()
    return clock() - start


def in_turns(*sides: Callable[[], float], rounds: int = 15) -> list[float]:
    """Medians of what the sides measure, taken in turns (ABAB…) after one round that does not count."""
    measured: list[list[float]] = [[] for _ in sides]
    gc.collect()
    for turn in range(rounds + 1):
        for side, kept in zip(sides, measured, strict=True):
            seconds = side()
            if turn:
                kept.append(seconds)
    return [statistics.median(kept) for kept in measured]


def percentile(values: Sequence[float], share: float) -> float:
    """The value below which this share of the values lies."""
    return sorted(values)[min(len(values) - 1, int(share * len(values)))]


def machine() -> str:
    """The machine in a line, without its name."""
    versions = []
    for name in PACKAGES:
        try:
            versions.append(f"{name} {importlib.metadata.version(name)}")
        except importlib.metadata.PackageNotFoundError:
            versions.append(f"no {name}")
    return (
        f"{os.cpu_count()} cores ({platform.machine()}), Python {platform.python_version()},"
        f" {', '.join(versions)}; measured {time.strftime('%Y-%m-%d')}"
    )


def table(rows: Sequence[Row]) -> str:
    """The rows as a Markdown table."""
    lines = ["| what | ours | against | that | that / ours | goal | met |", "|---|---|---|---|---|---|---|"]
    for row in rows:
        met = {True: "yes", False: "no", None: ""}[row.met]
        lines.append(
            f"| {row.what} | {_duration(row.ours_s)} | {row.other} | {_duration(row.other_s)} |"
            f" {_two_digits(row.other_s / row.ours_s)} | {row.goal} | {met} |"
        )
    return "\n".join(lines)


def _duration(seconds: float) -> str:
    for unit, size in (("s", 1.0), ("ms", 1e-3)):  # noqa: B007 (read after the loop)
        if seconds >= size:
            break
    else:
        unit, size = "µs", 1e-6
    return f"{seconds / size:#.3g} {unit}".replace(". ", " ")


def _two_digits(ratio: float) -> str:
    return f"{ratio:.0f}" if ratio >= 10 else f"{ratio:.1f}" if ratio >= 2 else f"{ratio:.2f}"
