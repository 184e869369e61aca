"""What a reader may meet on a bad day: a killed kernel, a full or locked disk, cells in any order, a data
file that is gone. Nothing typed is lost.
"""

import ast
import contextlib
import errno
import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.fuzz.loaders import sentence_trouble
from towlib.errors import InputError
from towlib.lessons.index import FIRST
from towlib.lessons.predictions import Option, Prediction, predictions_of
from towlib.lessons.slider_rows import load_panel, panels_of
from towlib.notebook import rig_shown
from towlib.paths import NOTEBOOKS
from towlib.rig import file_lock
from towlib.rig import store as rig_store
from towlib.rig.store import RigStore
from towlib.teaching import settings
from towlib.teaching.form import reader_form
from towlib.teaching.panel import panels
from towlib.teaching.practice import answers, progress
from towlib.teaching.practice.lesson_cells import LessonRun

ROOT = Path(__file__).parents[2]
NEEDS_FORK = pytest.mark.skipif(not hasattr(os, "fork"), reason="no fork on this system")
RIG, ROAD = (
    ROOT / "data" / "rigs" / "demo_comfortable.toml",
    ROOT / "data" / "routes" / "short_steep_pass.csv",
)


def _plainly(said: str, *parts: str) -> None:
    assert sentence_trouble(said, parts[0] if parts else "") == "" and all(part in said for part in parts), (
        said
    )


# --- a killed kernel (the rig itself: tests/rig/test_rig_faults.py; a notebook file: JupyterLab saves it by
# its own whole-file replacement) ---

KILLED = """
import os, random, signal, sys, time
from pathlib import Path
from towlib.teaching.practice import answers

folder = Path(os.environ["TOWLIB_READER_FOLDER"])
random.seed(11)
answers.remember("00.predict-0", "first")
kept = 0
for attempt in range(20):
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        number = kept
        while True:
            said = answers.checked("03.exercise-1", f"{number} kg", "Right.") if number % 3 else answers.remember(f"01.predict-{number % 7}", f"word {number}")
            os.write(writing, f"{number} {said[:4]};".encode())
            number += 1
    os.close(writing)
    told = os.read(reading, 1)  # it is at work
    time.sleep(random.uniform(0.0, 0.04))
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    while piece := os.read(reading, 65536):
        told += piece
    os.close(reading)
    rows = [row.split() for row in told.decode().split(";") if row]
    assert all(said in ("Righ", "Kept") for _, said in rows), rows
    kept = int(rows[-1][0]) + 1 if rows else kept
    now = answers.kept()  # raises when the file does not parse
    assert now["00.predict-0"] == "first"
    for number in range(max(0, kept - 7), kept):  # what was acknowledged is there, or something later in its place
        if number % 3:
            found = int(now["03.exercise-1"]["answer"].split()[0])
            assert number <= found <= kept and now["03.exercise-1"]["been_right"] is True, (attempt, number, found, kept)
        else:
            assert int(now[f"01.predict-{number % 7}"].split()[1]) >= number
assert kept >= 20
assert answers.remember("00.predict-0", "last").startswith("Kept") and answers.recall("00.predict-0") == "last"
assert [path.name for path in folder.iterdir() if path.name.endswith(".part")] == []
print("kept", kept)
"""  # noqa: E501


@NEEDS_FORK
def test_killed_twenty_times_while_answers_are_written(tmp_path):
    done = subprocess.run(
        [sys.executable, "-c", KILLED],
        cwd=ROOT,
        env={**os.environ, "TOWLIB_READER_FOLDER": str(tmp_path)},
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert done.returncode == 0, done.stderr[-2000:]


# --- a disk that is full, a folder that cannot be written ---


@pytest.fixture
def small_disk(tmp_path):
    """A real disk of 64 kB, where this computer lets us make one."""
    place = tmp_path / "disk"
    place.mkdir()
    made = (
        shutil.which("mount")
        and subprocess.run(
            ["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(place)], capture_output=True, check=False
        ).returncode
        == 0
    )
    if not made:
        pytest.skip(
            "this computer lets nobody but its administrator make a disk; test_every_way_of_not_writing"
            " stands in"
        )
    yield place
    subprocess.run(["umount", "-l", str(place)], check=True)


def _fill(folder: Path) -> Path:
    filler = folder / "filler"
    with contextlib.suppress(OSError), filler.open("wb", buffering=0) as file:
        while True:
            file.write(b"x" * 1024)
    return filler


def _everything_refused(folder: Path, store: RigStore, reason: str, monkeypatch) -> None:
    """Every way of keeping something says the reason and what to do, and what was there stays."""
    before = {path.name: path.read_bytes() for path in folder.glob("my_*")}
    said = reader_form.put(store, "tow_vehicle.name", "x" * 79)
    assert said.startswith("Not kept, but it still stands in its box: ")
    _plainly(
        said,
        "my_rig.toml",
        reason,
        "make room there, or start with TOWLIB_READER_FOLDER set to another folder",
    )
    monkeypatch.setenv("TOWLIB_READER_FOLDER", str(folder))
    for said in (
        answers.remember("01.predict-1", "much more " * 20),
        answers.checked("01.exercise-1", "30 kg " * 20, "Right: 30 kg.").partition("\n")[2],
    ):
        assert said.startswith("Not kept: ")
        _plainly(said, answers.NAME, reason, "TOWLIB_READER_FOLDER")
    usual = settings.chosen("units")
    said = settings.choose("units", "us")
    assert said.startswith("Not kept for the next time: ") and settings.chosen("units") == "us"
    _plainly(said, settings.NAME, reason, "TOWLIB_READER_FOLDER")
    settings.choose("units", usual)
    with pytest.raises(InputError, match=reason):
        rig_store.write_whole(folder / "my_trip_sheet.html", "x" * 5000)
    assert {path.name: path.read_bytes() for path in folder.glob("my_*")} == before
    assert not [path.name for path in folder.iterdir() if path.name.endswith(".part")]
    assert store.text("tow_vehicle.gvwr") == "3000 kg" and answers.recall("01.predict-1") == "more"


def _store_with_something(folder: Path, monkeypatch) -> RigStore:
    store = RigStore(folder)
    store.put("tow_vehicle.gvwr", "3000 kg")
    monkeypatch.setenv("TOWLIB_READER_FOLDER", str(folder))
    assert answers.remember("01.predict-1", "more").startswith("Kept")
    return store


def test_a_full_disk(small_disk, monkeypatch):
    store = _store_with_something(small_disk, monkeypatch)
    filler = _fill(small_disk)
    _everything_refused(small_disk, store, "No space left on device", monkeypatch)
    filler.unlink()
    assert store.put("tow_vehicle.name", "x" * 79) == "" and answers.remember(
        "01.predict-1", "less"
    ).startswith("Kept")


def test_a_disk_that_can_only_be_read(small_disk, monkeypatch):
    store = _store_with_something(small_disk, monkeypatch)
    subprocess.run(["mount", "-o", "remount,ro", str(small_disk)], check=True)
    _everything_refused(small_disk, store, "Read-only file system", monkeypatch)


def test_a_workbook_that_can_only_be_read_with_a_readers_folder_elsewhere(tmp_path):
    """The folder of the notebooks read-only for everyone, TOWLIB_READER_FOLDER somewhere else: everything is
    kept there.
    """
    copy, own = tmp_path / "workbook", tmp_path / "own"
    for name in ("towlib", "data"):
        shutil.copytree(ROOT / name, copy / name, ignore=shutil.ignore_patterns("__pycache__"))
    (copy / "notebooks").mkdir()
    (copy / "notebooks" / "00_start_here.ipynb").write_text('{"cells": []}', encoding="utf-8")
    bound = (
        shutil.which("mount")
        and subprocess.run(
            ["mount", "--bind", str(copy), str(copy)], capture_output=True, check=False
        ).returncode
        == 0
    )
    if bound:
        subprocess.run(["mount", "-o", "remount,ro,bind", str(copy)], check=True)
    else:  # an ordinary user: permission bits hold for them
        for path in (*copy.rglob("*"), copy):
            path.chmod(path.stat().st_mode & ~0o222)
    code = (
        "from towlib.notebook import rig_shown\nfrom towlib.rig.store import RigStore\nfrom"
        " towlib.teaching import settings\nfrom towlib.teaching.practice import answers\n"
        "print(RigStore().put('tow_vehicle.gvwr', '3000 kg') == '',"
        " answers.remember('01.predict-1', 'more'), settings.choose('rig', 'mine') == '', rig_shown()[1])"
    )
    try:
        for folder, wanted in (
            (own, ["True", "Kept.", "True The invented rig, because yours cannot be used yet."]),
            (None, ["TOWLIB_READER_FOLDER", "cannot be written"]),
        ):
            environment = {
                name: value for name, value in os.environ.items() if name != "TOWLIB_READER_FOLDER"
            } | ({"TOWLIB_READER_FOLDER": str(folder)} if folder else {})
            done = subprocess.run(
                [sys.executable, "-c", code],
                cwd=copy,
                env=environment,
                capture_output=True,
                text=True,
                timeout=60,
                check=False,
            )
            assert all(
                part in done.stdout + done.stderr.splitlines()[-1] if done.stderr else part in done.stdout
                for part in wanted
            ), done.stdout + done.stderr[-500:]
    finally:
        if bound:
            subprocess.run(["umount", "-l", str(copy)], check=True)
        else:
            for path in (copy, *copy.rglob("*")):
                path.chmod(path.stat().st_mode | 0o700)
    assert (own / "my_rig.toml").exists() and not list(copy.rglob("my_*"))


@pytest.mark.parametrize(
    "code",
    [errno.ENOSPC, errno.EROFS, errno.EACCES, errno.EDQUOT, errno.EIO],
    ids=lambda code: errno.errorcode[code],
)
@pytest.mark.parametrize("where", ["lock", "begin", "write", "name"])
def test_every_way_of_not_writing(tmp_path, monkeypatch, code, where):
    """The same on any computer: the error comes when the lock is taken, the new file is begun, its content is
    written, or it gets its name.
    """
    store = _store_with_something(tmp_path, monkeypatch)

    def refuse(*arguments, **_):
        if where != "lock" or str(arguments[0]).endswith((".lock", ".next")):
            raise OSError(code, os.strerror(code))
        return real(*arguments)

    module, name = {
        "lock": (file_lock.os, "open"),
        "begin": (rig_store.tempfile, "mkstemp"),
        "write": (rig_store.os, "fsync"),
        "name": (rig_store.os, "replace"),
    }[where]
    real = getattr(module, name)
    with monkeypatch.context() as patch:
        patch.setattr(module, name, refuse)
        said = reader_form.put(
            store, "tow_vehicle.gvwr", "2500 lbf"
        )  # one that cannot be read is a text to keep as well
        _plainly(said, "TOWLIB_READER_FOLDER", os.strerror(code))
        assert answers.remember("01.predict-1", "less").startswith("Not kept: ")
    assert store.text("tow_vehicle.gvwr") == "3000 kg" and answers.recall("01.predict-1") == "more"
    assert store.put("tow_vehicle.gvwr", "2500 kg") == "" and not list(tmp_path.glob(".*.part"))


def test_what_could_not_be_kept_stands_in_its_box_until_it_can(tmp_path, monkeypatch):
    store = _store_with_something(tmp_path, monkeypatch)
    form = reader_form.rig_form(store)
    form.open("Tow vehicle")
    field = form.field("tow_vehicle.gvwr")
    entry = next(
        part
        for part in _inside(form.widget)
        if "towlib-field-tow_vehicle-gvwr" in getattr(part, "_dom_classes", ())
    )

    def full(*_):
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(rig_store.os, "fsync", full)
        entry.value = "2900"
        assert any(
            "still stands in its box" in getattr(part, "value", "")
            for part in _inside(form.widget)
            if isinstance(getattr(part, "value", ""), str)
        )
    assert entry.value == "2900" and store.text("tow_vehicle.gvwr") == "3000 kg" and field is not None
    entry.value = "2901"
    assert store.text("tow_vehicle.gvwr") == "2901 kg"
    asked = Prediction("01.predict-1", "p", "more?", (Option("yes", "no.", right=True), Option("no", "yes.")))
    box = panels.PredictionBox(asked, "", lambda words: f"Not kept: full ({words})")
    parts = {type(part).__name__: part for part in _inside(box.widget)}
    parts["RadioButtons"].value, parts["Textarea"].value = "no", "because"
    parts["Button"].click()
    assert (parts["RadioButtons"].value, parts["Textarea"].value) == ("no", "because")
    assert any(
        "Not kept: full (no | because)" in str(getattr(part, "value", "")) for part in _inside(box.widget)
    )


def _inside(widget):
    yield widget
    for child in getattr(widget, "children", ()):
        yield from _inside(child)


def test_a_full_disk_behind_the_command_line(tmp_path):
    if not Path("/dev/full").exists():
        pytest.skip("no /dev/full on this system")
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [sys.executable, "-m", "towlib", str(RIG), str(ROAD), "--json"],
            cwd=ROOT,
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            timeout=60,
            check=False,
        )
    assert done.returncode == 2
    _plainly(done.stderr.strip(), "No space left on device", "a disk with room")


# --- a notebook out of order ---


@pytest.mark.parametrize("path", sorted(NOTEBOOKS.glob("[0-9][0-9]_*.ipynb")), ids=lambda path: path.stem)
def test_without_the_setup_a_cell_asks_for_a_name_of_it_and_nothing_else(path):
    """With it, every cell runs, the last first: test_the_workbook_holds_together in test_adapt_check.py."""
    run = LessonRun(path)
    given = set(run._names)
    cells = [cell for cell in run.cells if cell.is_code and cell.source.strip() and "setup" not in cell.tags]
    assert cells
    for cell in cells:
        try:
            exec(compile(cell.source, "cell", "exec"), {"__name__": "__main__"})
        except NameError as error:
            assert error.name in given, f"{run.where(cell)}: {error}"
        except ModuleNotFoundError as error:
            assert error.name == "setup_notebook"


# --- a data file that is gone or damaged ---

GONE = """
import contextlib, io, json, os, sys
from pathlib import Path
from towlib.__main__ import main

for path in map(Path, json.loads(sys.argv[1])):
    good = path.read_bytes()
    for how, content in (("gone", None), ("cut", good[: len(good) // 2 + 3]), ("empty", b""), ("damaged", b"\\xff\\xfe\\0" + good))[: 4 if path.stem in ("assumed", "demo_comfortable", "short") else 2]:
        if not (child := os.fork()):
            path.unlink() if content is None else path.write_bytes(content)
            out, problem = io.StringIO(), io.StringIO()
            try:
                with contextlib.redirect_stdout(out), contextlib.redirect_stderr(problem):
                    status = main(["data/rigs/demo_comfortable.toml", "data/routes/short.csv", "--json"])
                named = [line.strip() for line in out.getvalue().splitlines() if path.name in line]
                print(json.dumps([path.name, how, status, problem.getvalue().strip(), named[:1]]), flush=True)
            except BaseException as error:
                print(json.dumps([path.name, how, -1, f"{type(error).__name__}: {error}", []]), flush=True)
            os._exit(0)
        os.waitpid(child, 0)
        path.write_bytes(good)
"""  # noqa: E501
# tables that lessons alone read; the plan does not change without them
LESSONS_ONLY = {
    "breakages",
    "chain_rules",
    "checks",
    "connector",
    "coupling_classes",
    "coupling_test_loads",
    "fault_finder",
    "key_on",
    "lamps",
    "materials",
    "rear_lamps",
    "tow_bar_rules",
    "ways_compared",
    "wire",
    "wire_fuses",
}


@pytest.fixture(scope="module")
def workbook(tmp_path_factory):
    """A copy of library and data with a short road."""
    copy = tmp_path_factory.mktemp("copy") / "workbook"
    for name in ("towlib", "data"):
        shutil.copytree(ROOT / name, copy / name, ignore=shutil.ignore_patterns("__pycache__"))
    (copy / "data" / "routes" / "short.csv").write_text(
        "distance [km],elevation [m]\n0,100\n0.4,110\n0.8,100\n", encoding="utf-8"
    )
    return copy


@NEEDS_FORK
def test_the_plan_without_one_of_its_data_files(workbook):
    tables = sorted(
        path for path in (workbook / "data" / "handbook").glob("*.csv") if path.stem not in LESSONS_ONLY
    )
    files = [
        *tables,
        workbook / "data" / "rigs" / "demo_comfortable.toml",
        workbook / "data" / "routes" / "short.csv",
    ]
    done = subprocess.run(
        [sys.executable, "-c", GONE, json.dumps([str(path) for path in files])],
        cwd=workbook,
        env={**os.environ, "PYTHONPATH": str(workbook)},
        capture_output=True,
        text=True,
        timeout=200,
        check=False,
    )
    assert done.returncode == 0 and done.stderr == "", done.stderr[-2000:]
    rows = [json.loads(line) for line in done.stdout.splitlines()]
    assert len(rows) == 2 * len(files) + 2 * 3
    for name, how, status, problem, named in rows:
        if status == 2:
            _plainly(problem, name)
        else:  # the plan is made, and what the table would settle is not known, with the sentence
            assert status == 0 and problem == "", (name, how, problem)
            assert how == "cut" or (named and "found" in named[0]), (
                name,
                how,
            )  # half a table is not always seen to be half


def test_a_table_that_is_needed_at_the_start_is_named_from_a_new_interpreter(workbook):
    table = workbook / "data" / "handbook" / "assumed.csv"
    table.rename(table.with_suffix(".away"))
    try:
        done = subprocess.run(
            [sys.executable, "-m", "towlib", str(RIG), str(ROAD)],
            cwd=workbook,
            env={**os.environ, "PYTHONPATH": str(workbook)},
            capture_output=True,
            text=True,
            timeout=60,
            check=False,
        )
        assert done.returncode == 2 and done.stdout == ""
        _plainly(done.stderr.strip(), "assumed.csv", "as the workbook brought it")
    finally:
        table.with_suffix(".away").rename(table)


def test_a_lesson_file_or_a_notebook_that_is_gone_or_cut(tmp_path):
    for path in sorted((ROOT / "data" / "lessons").glob("*.toml")):
        with pytest.raises(InputError) as caught:
            predictions_of(path.stem, tmp_path)
        _plainly(str(caught.value), path.name)
        if path.stem in FIRST:  # it has no panel of its own
            continue
        panel = panels_of(path.stem)[0]
        for content in (None, path.read_bytes()[:200], b""):
            (tmp_path / path.name).unlink(missing_ok=True)
            if content is not None:
                (tmp_path / path.name).write_bytes(content)
            with pytest.raises(InputError) as caught:
                load_panel(path.stem, panel, tmp_path)
            _plainly(str(caught.value), path.name)
    (tmp_path / "03_x.ipynb").write_text('{"cells": [{"cell_ty', encoding="utf-8")
    assert "not known, the notebook cannot be read" in progress.table(tmp_path)
    with pytest.raises(InputError, match="not a notebook"):
        LessonRun(tmp_path / "03_x.ipynb")


@pytest.mark.parametrize(
    "content",
    [b"", b"[tow_vehicle", b"\0\0", b"tow_vehicle = 3", b"x" * 200_000],
    ids=["empty", "cut", "zeros", "other", "long"],
)
def test_a_damaged_file_of_the_readers_own(tmp_path, monkeypatch, content):
    monkeypatch.setenv("TOWLIB_READER_FOLDER", str(tmp_path))
    for name in ("my_rig.toml", "my_rig_not_read.toml", answers.NAME):
        (tmp_path / name).write_bytes(content)
    (tmp_path / settings.NAME).write_text('rig = "mine"\n', encoding="utf-8")
    rig, said = rig_shown()
    assert rig.invented and "my_rig.toml" in said and said.startswith("The invented rig, because ")
    _plainly(said.partition("yet. ")[2], "my_rig.toml")
    (tmp_path / settings.NAME).write_bytes(content)
    assert rig_shown()[1] == "" and settings.chosen("rig") == "invented"
    if said := settings.choose("rig", "mine"):
        assert said.startswith("Not kept for the next time: ")
        _plainly(said, settings.NAME)
        assert (tmp_path / settings.NAME).read_bytes() == content
    assert settings.chosen("rig") == "mine"
    reader_form.rig_form(RigStore())
    reader_form.put(RigStore(), "tow_vehicle.gvwr", "3000 kg")
    answers.remember("01.predict-1", "more")
    progress.table()
    if content:
        assert (tmp_path / "my_rig.toml").read_bytes() == content  # left as it is for whoever can mend it


IN_A_NOTEBOOK = """
import contextlib, io, sys
sys.path.insert(0, sys.argv[1])
from IPython.core.interactiveshell import InteractiveShell
shell = InteractiveShell.instance()

def run(code):
    out, problem = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(problem):
        result = shell.run_cell(code)
    return result.success, out.getvalue() + problem.getvalue()

print(run("import setup_notebook")[0])
print(run("from towlib.rig.model import load_rig\\nload_rig('nowhere.toml')"))
print("ZeroDivisionError" in run("1 / 0")[1])
"""


def test_in_a_notebook_a_missing_file_is_one_sentence_and_no_traceback(tmp_path):
    done = subprocess.run(
        [sys.executable, "-c", IN_A_NOTEBOOK, str(NOTEBOOKS)],
        cwd=tmp_path,
        env={**os.environ, "IPYTHONDIR": str(tmp_path)},
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    lines = done.stdout.splitlines()
    assert lines[0] == "True" and lines[2] == "True", done.stdout + done.stderr[-1000:]
    success, said = ast.literal_eval(lines[1])
    assert success is False  # the cells behind it wait
    _plainly(said.strip(), "nowhere.toml")
