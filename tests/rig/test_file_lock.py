"""Two notebooks open at once lose nothing, and a crash in the middle blocks nobody."""

import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest

from towlib.errors import InputError
from towlib.rig import file_lock
from towlib.rig.file_lock import alone
from towlib.rig.store import RigStore
from towlib.teaching.practice import answers

ROOT = Path(__file__).parents[2]
RIG_WRITER = """
import sys
from towlib.rig.store import RigStore
store = RigStore(sys.argv[1])
for i in range(50):
    assert store.put(f"load.{i % 10}.{sys.argv[2]}", f"{100 + i} {sys.argv[3]}") == ""
    if i % 10 == 0:
        assert store.put(f"{sys.argv[2]}.nonsense{i}", "?") != ""
"""
ANSWER_WRITER = """
import sys
from towlib.teaching.practice import answers
for i in range(50):
    said = answers.checked(f"{sys.argv[1]}.exercise-{i}", f"{i} kg", "Right.")
    assert said == "Right.", said
    if i % 10 == 0:
        assert answers.remember(f"{sys.argv[1]}.predict-{i}", "more").startswith("Kept")
"""
HOLDER = """
import sys, time
from pathlib import Path
from towlib.rig.file_lock import alone
with alone(Path(sys.argv[1])):
    print("held", flush=True)
    time.sleep(60)
"""


def _start(code, *arguments, **named):
    return subprocess.Popen(
        [sys.executable, "-c", code, *map(str, arguments)],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        **named,
    )


def _finish(*processes):
    for process in processes:
        _, problem = process.communicate(timeout=100)
        assert process.returncode == 0, problem


@pytest.fixture
def holder(tmp_path):
    process = _start(HOLDER, tmp_path / "my_answers.toml")
    assert process.stdout.readline() == "held\n"
    yield process
    process.kill()
    process.communicate()


def test_two_processes_fill_in_different_fields_of_one_rig(tmp_path):
    _finish(
        _start(RIG_WRITER, tmp_path, "mass", "kg"), _start(RIG_WRITER, tmp_path, "behind_front_axle", "mm")
    )
    store = RigStore(tmp_path)
    for i in range(10):
        assert (store.text(f"load.{i}.mass"), store.text(f"load.{i}.behind_front_axle")) == (
            f"{140 + i} kg",
            f"{140 + i} mm",
        )
    for i in range(0, 50, 10):  # and what could not be read
        assert (store.text(f"mass.nonsense{i}"), store.text(f"behind_front_axle.nonsense{i}")) == ("?", "?")


def test_two_processes_keep_different_answers(tmp_path, monkeypatch):
    monkeypatch.setenv("TOWLIB_READER_FOLDER", str(tmp_path))
    _finish(_start(ANSWER_WRITER, "01"), _start(ANSWER_WRITER, "02"))
    kept = answers.kept()
    assert len(kept) == 110
    for lesson in ("01", "02"):
        assert all(answers.was_right(kept[f"{lesson}.exercise-{i}"]) for i in range(50))
        assert all(kept[f"{lesson}.predict-{i}"] == "more" for i in range(0, 50, 10))


def test_a_crash_while_holding_the_lock_blocks_nobody(tmp_path, holder):
    holder.kill()
    holder.wait()
    start = time.monotonic()
    with alone(tmp_path / "my_answers.toml"):
        assert time.monotonic() - start < 1.0


def test_one_who_never_lets_go_is_named_after_two_seconds(tmp_path, monkeypatch, holder):
    monkeypatch.setenv("TOWLIB_READER_FOLDER", str(tmp_path))
    start = time.monotonic()
    assert (
        answers.remember("01.predict-1", "more")
        == "Not kept: my_answers.toml: found that another program is writing it and does not finish; wanted"
        " the same answer once more, in a moment."
    )
    assert 1.5 < time.monotonic() - start < 4.0
    assert not (tmp_path / "my_answers.toml").exists()


def test_threads_of_one_kernel_wait_for_each_other(tmp_path):
    inside, most = [], []

    def work():
        for _ in range(30):
            with alone(tmp_path / "x"):
                inside.append(1)
                most.append(len(inside))
                time.sleep(0.0005)
                inside.pop()

    threads = [threading.Thread(target=work) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(most) == 120 and max(most) == 1


def test_given_back_after_an_error(tmp_path):
    with pytest.raises(RuntimeError), alone(tmp_path / "x"):
        raise RuntimeError
    with alone(tmp_path / "x", patience_s=0.0):
        pass


def test_a_drive_without_locks_still_keeps_answers(tmp_path, monkeypatch):
    def refuse(_):
        raise OSError(file_lock.errno.ENOLCK, "No locks available")

    monkeypatch.setattr(file_lock, "_lock", refuse)
    assert RigStore(tmp_path).put("tow_vehicle.name", "mine") == ""
    assert RigStore(tmp_path).text("tow_vehicle.name") == "mine"


def test_a_folder_that_is_none(tmp_path):
    (tmp_path / "file").write_text("x")
    with pytest.raises(InputError, match="cannot be written"), alone(tmp_path / "file" / "x"):
        pass


def test_one_who_writes_on_and_on_lets_others_in_between(tmp_path):
    rounds, stop = [], threading.Event()

    def write_on():
        while not stop.is_set():
            with alone(tmp_path / "x"):
                rounds.append(1)
                time.sleep(0.01)

    busy = threading.Thread(target=write_on)
    busy.start()
    try:
        for _ in range(10):
            before = len(rounds)
            with alone(tmp_path / "x"):
                assert len(rounds) - before <= 3
    finally:
        stop.set()
        busy.join()
