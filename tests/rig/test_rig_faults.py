"""The reader's rig under real faults: processes killed while they write, and two of them writing at once."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from towlib.rig.store import RigStore

REPOSITORY = Path(__file__).parents[2]
NEEDS_FORK = pytest.mark.skipif(not hasattr(os, "fork"), reason="no fork on this system")

# a child writes good and bad texts by turns and tells after each that `put` returned; the parent kills it at
# a random moment
KILLED_ANYWHERE = """
import os, random, select, signal, sys, time
from pathlib import Path
from towlib.rig.store import RigStore

PATH, OTHER = "tow_vehicle.gvwr", "towed_vehicle.gvwr"
typed = lambda i: f"{2000 + i} kg" if i % 2 else f"bad {i}"
random.seed(7)
store = RigStore(sys.argv[1])
store.put(OTHER, "1500 kg")
store.understood(PATH, "1 kg")  # pint is awake before the first fork
last, between = "", 0
for attempt in range(int(sys.argv[2])):
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        i = 0
        while True:
            store.put(PATH, typed(i))
            os.write(writing, b".")
            i += 1
    os.close(writing)
    time.sleep(random.uniform(0.0, 0.06))
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    done = 0
    while piece := os.read(reading, 4096):
        done += len(piece)
    os.close(reading)
    found = RigStore(sys.argv[1]).text(PATH)
    allowed = {typed(done - 1) if done else last, typed(done)}
    assert found in allowed, (attempt, done, found, allowed)
    between += found == typed(done)
    assert store.text(OTHER) == "1500 kg"
    last = found
store.put(PATH, "2500 kg")
assert store.text(PATH) == "2500 kg" and store.unread() == {}
assert [p.name for p in store.folder.iterdir() if p.name.endswith(".part")] == []
print("killed", attempt + 1, "of them after the write and before put returned", between)
"""

# a child kills itself at one place of its n-th write: while the file is half written, just before it gets its
# name, just after
KILLED_AT = """
import os, signal, sys
from pathlib import Path
from towlib.rig import store as rig_store
from towlib.rig.store import RigStore

PATH = "tow_vehicle.gvwr"
real_replace, real_fsync = os.replace, os.fsync

def dying_at(place, number):
    count = {"fsync": 0, "replace": 0}
    def fsync(handle):
        count["fsync"] += 1
        if place == "half" and count["fsync"] == number:
            os.ftruncate(handle, 9)
            os.kill(os.getpid(), signal.SIGKILL)
        real_fsync(handle)
    def replace(old, new):
        count["replace"] += 1
        if place == "before" and count["replace"] == number:
            os.kill(os.getpid(), signal.SIGKILL)
        real_replace(old, new)
        if place == "after" and count["replace"] == number:
            os.kill(os.getpid(), signal.SIGKILL)
    rig_store.os.fsync, rig_store.os.replace = fsync, replace

for place, number in (("half", 1), ("before", 1), ("after", 1), ("half", 2), ("before", 2)):
    store = RigStore(Path(sys.argv[1]) / f"{place} {number}")
    store.put(PATH, "3100 kg")
    store.put(PATH, "three tonnes")  # now both files hold an answer
    child = os.fork()
    if child == 0:
        dying_at(place, number)
        store.put(PATH, "3200 kg")
        os._exit(0)
    assert os.WTERMSIG(os.waitpid(child, 0)[1]) == signal.SIGKILL, place
    written = (place, number) not in (("half", 1), ("before", 1))
    assert store.unread() == {PATH: "three tonnes"}, place  # the second file is whole, and still the old one
    assert ('"3200 kg"' in store.path.read_text()) is written and ('"3100 kg"' in store.path.read_text()) is not written, place
    assert store.put(PATH, "3200 kg") == "" and store.text(PATH) == "3200 kg" and store.unread() == {}, place
    assert [p.name for p in store.folder.iterdir() if p.name.endswith(".part")] == [], place
print("all five")
"""  # noqa: E501


def _run(code, *arguments, timeout=60):
    return subprocess.run(
        [sys.executable, "-c", code, *map(str, arguments)],
        cwd=REPOSITORY,
        capture_output=True,
        text=True,
        timeout=timeout,
        check=False,
    )


@NEEDS_FORK
def test_killed_at_random_moments_the_files_hold_the_old_or_the_new_answer(tmp_path):
    told = _run(KILLED_ANYWHERE, tmp_path, 60)
    assert told.returncode == 0, told.stderr[-2000:]
    assert "killed 60" in told.stdout


@NEEDS_FORK
def test_killed_between_the_good_file_and_the_one_of_unread_answers(tmp_path):
    told = _run(KILLED_AT, tmp_path)
    assert told.returncode == 0 and "all five" in told.stdout, told.stderr[-2000:]


TWO_FORMS = """
import sys, time
from pathlib import Path
from towlib.rig.store import RigStore
from towlib.teaching.form.reader_form import rig_form

folder, section, field, value = Path(sys.argv[1]), sys.argv[2], sys.argv[3], sys.argv[4]
form = rig_form(RigStore(folder))
form.open(section)
(folder / f"ready {field}").touch()
while len(list(folder.glob("ready *"))) < 2:
    time.sleep(0.01)
for i in range(100):
    said = form.type(field, f"{int(value) + i}", unit="kg")
    assert said .startswith("✓"), said
"""


def test_two_forms_in_two_processes_keep_both_sets(tmp_path):
    work = [("Tow vehicle", "tow_vehicle.gvwr", 2000), ("Tow bar", "tow_bar.rating", 1000)]
    both = [
        subprocess.Popen(
            [sys.executable, "-c", TWO_FORMS, str(tmp_path), *map(str, job)],
            cwd=REPOSITORY,
            stderr=subprocess.PIPE,
            text=True,
        )
        for job in work
    ]
    for process in both:
        _, problem = process.communicate(timeout=90)
        assert process.returncode == 0, problem[-2000:]
    store = RigStore(tmp_path)
    assert store.texts() == {"tow_vehicle.gvwr": "2099 kg", "tow_bar.rating": "1099 kg"}
