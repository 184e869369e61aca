"""Two notebooks open at once: one writes after the other, so that neither loses what the other kept."""

import contextlib
import errno
import os
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from towlib.errors import InputError, file_words

try:
    import fcntl
except ImportError:  # Windows
    fcntl = None  # type: ignore[assignment]
    import msvcrt

PATIENCE_S, PAUSE_S = 2.0, 0.002
WRITABLE = (
    "a folder with room that you may write to: make room there, or start with TOWLIB_READER_FOLDER set to"
    " another folder"
)
# the folder lies on a file system that knows no locks (some network drives): there the last writer wins, as
# without this file
_NO_LOCKS = {errno.ENOLCK, errno.ENOSYS, errno.EOPNOTSUPP, errno.ENOTSUP, errno.EINVAL}


@contextlib.contextmanager
def alone(path: Path, patience_s: float = PATIENCE_S) -> Iterator[None]:
    """Hold a file's lock while it is read, changed and written; InputError when another program holds it too
    long.

    The operating system gives a lock back when a program ends, however it ends: a crash never blocks the next
    one. The locks are two empty files beside the real one, '.my_rig.toml.lock' and '.my_rig.toml.next', and
    stay there; who waits holds the second, so that a program that writes on and on lets others in between. Do
    not take a file's lock twice in one thread.
    """
    deadline = time.monotonic() + patience_s
    with contextlib.ExitStack() as held:
        next_in_line = held.enter_context(_lock_file(path, "next"))
        _wait(next_in_line, deadline, path)
        with _lock_file(path, "lock") as lock:
            _wait(lock, deadline, path)
            held.close()
            yield


@contextlib.contextmanager
def _lock_file(path: Path, ending: str) -> Iterator[int]:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle = os.open(path.with_name(f".{path.name}.{ending}"), os.O_RDWR | os.O_CREAT, 0o666)
    except OSError as error:
        raise InputError(
            f"a place that cannot be written ({error.strerror})", WRITABLE, file=file_words(path)
        ) from None
    try:
        yield handle
    finally:
        os.close(handle)  # gives the lock back


def _wait(handle: int, deadline: float, path: Path) -> None:
    while not _taken(handle):
        if time.monotonic() > deadline:
            raise InputError(
                "that another program is writing it and does not finish",
                "the same answer once more, in a moment",
                file=path.name,
            )
        time.sleep(PAUSE_S)


def _taken(handle: int) -> bool:
    try:
        _lock(handle)
    except OSError as error:
        return error.errno in _NO_LOCKS
    return True


def _lock(handle: int) -> Any:
    if fcntl is not None:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    else:
        msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
