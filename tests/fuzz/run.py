"""Runs inputs through the loaders in a process of its own, with a clock of two seconds and 500 MiB of memory
for each input.
"""

import json
import mmap
import os
import resource
import signal
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from random import Random
from typing import Any

from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import seed as hypothesis_seed

from tests.fuzz.loaders import LOADERS, sentence_trouble
from towlib.errors import InputError

HANG_S, MOST_BYTES = 2.0, 500 * 1024**2  # processor seconds: the clock on the wall is shared with others
WALL_S = 120.0
CHUNK, BUILT_SHARE, LARGEST = 250, 0.3, 400_000


class Hang(BaseException):
    """Not an Exception, so that no loader can take it for a strange file."""


def _out_of_time(*_: Any) -> None:
    raise Hang


def one(name: str, data: bytes, folder: Path) -> str:
    """Put one input through a loader; '' or what is wrong, with the place in the code."""
    loader, started = LOADERS[name], resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    previous = signal.signal(signal.SIGPROF, _out_of_time)
    signal.setitimer(signal.ITIMER_PROF, HANG_S)
    wrong = ""
    try:
        loader.read(data, folder)
    except InputError as error:
        signal.setitimer(signal.ITIMER_PROF, 0)
        trouble = sentence_trouble(str(error), loader.says)
        wrong = trouble and f"{trouble} | {str(error)[:300]}"
    except (Exception, Hang) as error:
        signal.setitimer(signal.ITIMER_PROF, 0)
        frames = traceback.extract_tb(error.__traceback__)
        ours = [frame for frame in frames if "/towlib/" in frame.filename] or frames
        wrong = (
            f"{type(error).__name__} at {Path(ours[-1].filename).name}:{ours[-1].lineno} | {str(error)[:200]}"
        )
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, previous)
    grown = 1024 * (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - started)
    return wrong or (f"memory | {grown / 1024**2:.0f} MiB" if grown > MOST_BYTES else "")


def made(name: str, count: int, seed: str) -> Iterator[bytes]:
    """Inputs for one loader that are the same for the same seed."""
    for i in range(count):
        yield LOADERS[name].make(Random(f"{seed} {name} {i}"))


def built(name: str, count: int, seed: str, each: Any) -> None:
    """Inputs that hypothesis builds."""

    @hypothesis_seed(seed)
    @settings(
        max_examples=count,
        database=None,
        deadline=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(LOADERS[name].built())
    def work(data: bytes) -> None:
        each(data)

    work()


def plan_of(total: int) -> list[tuple[str, str, int]]:
    """Loader, how and number of inputs, in pieces, mixed so that an early stop has seen all loaders."""
    pieces = []
    for name, loader in LOADERS.items():
        wanted = max(1, total * loader.share // 100)
        from_hypothesis = round(BUILT_SHARE * wanted) if loader.built else 0
        for how, count in (("made", wanted - from_hypothesis), ("built", from_hypothesis)):
            pieces += [(name, how, min(CHUNK, count - start)) for start in range(0, count, CHUNK)]
    Random(0).shuffle(pieces)
    return pieces


def _child(name: str, how: str, count: int, seed: str, shared: mmap.mmap, findings: Path) -> None:
    own = (
        int(Path("/proc/self/statm").read_text().split()[0]) * resource.getpagesize()
        if Path("/proc/self/statm").exists()
        else 2 * 1024**3
    )
    resource.setrlimit(resource.RLIMIT_AS, (own + MOST_BYTES + 300 * 1024**2,) * 2)
    with tempfile.TemporaryDirectory(prefix="fuzz-") as folder, findings.open("a", encoding="utf-8") as out:

        def each(data: bytes) -> None:
            data = data[:LARGEST]
            shared[8:12] = len(data).to_bytes(4, "little")
            shared[16 : 16 + len(data)] = data
            shared[0:8] = (int.from_bytes(shared[0:8], "little") + 1).to_bytes(8, "little")
            if wrong := one(name, data, Path(folder)):
                out.write(json.dumps({"loader": name, "wrong": wrong, "input": data.hex()}) + "\n")
                out.flush()

        if how == "built":
            built(name, count, seed, each)
        else:
            for data in made(name, count, seed):
                each(data)


def _watch(child: int, shared: mmap.mmap) -> str:
    """Wait for a child; '' or how it ended."""
    seen, since = 0, time.monotonic()
    while True:
        pid, status = os.waitpid(child, os.WNOHANG)
        if pid:
            return "" if status == 0 else f"the process died with status {status}"
        now = int.from_bytes(shared[0:8], "little")
        if now != seen:
            seen, since = now, time.monotonic()
        elif time.monotonic() - since > WALL_S:
            os.kill(child, signal.SIGKILL)
            os.waitpid(child, 0)
            return f"no answer within {WALL_S:.0f} s"
        time.sleep(0.02)


def run(total: int, seed: int, folder: Path, say: Any = print) -> tuple[Counter, list[dict[str, str]]]:
    """Put so many inputs through all loaders; how many each had, and what was found (one line of JSON each in
    the folder).
    """
    findings, counts, start = folder / "findings.jsonl", Counter(), time.monotonic()
    findings.touch()
    shared = mmap.mmap(-1, 16 + LARGEST)
    pieces = plan_of(total)
    for number, (name, how, count) in enumerate(pieces):
        shared[0:8] = bytes(8)
        child = os.fork()
        if not child:
            status = 1
            try:
                _child(name, how, count, f"{seed} {number}", shared, findings)
                status = 0
            except BaseException:  # noqa: BLE001 (a child must never come back into the parent's code)
                traceback.print_exc()
            finally:
                os._exit(status)
        ended = _watch(child, shared)
        done = int.from_bytes(shared[0:8], "little")
        counts[f"{name}, {how}"] += done
        if ended:
            data = bytes(shared[16 : 16 + int.from_bytes(shared[8:12], "little")])
            with findings.open("a", encoding="utf-8") as out:
                out.write(json.dumps({"loader": name, "wrong": ended, "input": data.hex()}) + "\n")
        if say and number % 20 == 19:
            say(
                f"{sum(counts.values()):,} inputs, {time.monotonic() - start:.0f} s,"
                f" {sum(1 for _ in findings.open())} findings",
                flush=True,
            )
    return counts, [json.loads(line) for line in findings.read_text(encoding="utf-8").splitlines()]
