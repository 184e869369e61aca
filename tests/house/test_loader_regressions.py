"""What fuzzing and probing of the loaders found, one line each; and a short run of the fuzzer itself."""

import contextlib
import os
import signal
import time
from collections import Counter
from pathlib import Path

import pytest

from tests.fuzz.loaders import LOADERS, sentence_trouble
from tests.fuzz.run import made, one, plan_of
from towlib.errors import InputError, quote
from towlib.handbook import bolt_tables, electric_tables
from towlib.handbook import tables as handbook
from towlib.lessons.slider_rows import load_panel, panels_of
from towlib.rig import facts
from towlib.rig.model import load_rig, read_rig_text, read_text
from towlib.rig.store import RigStore
from towlib.road import gpx_file as route_gpx
from towlib.road.route import load_route
from towlib.teaching.practice import answers, progress
from towlib.teaching.practice.lesson_cells import lesson_cells
from towlib.units import to_si

SMALLEST = "".join(
    f'[{vehicle}]\nfront_axle_empty = "1200 kg"\nrear_axle_empty = "900 kg"\nwheelbase = "3 m"\n'
    for vehicle in ("tow_vehicle", "towed_vehicle")
)
DIGITS, DOTS = "9" * 5000, ".".join("a" * 20_000)


def _sentence(work, *arguments, says=""):
    with pytest.raises(InputError) as caught:
        work(*arguments)
    assert sentence_trouble(str(caught.value), says) == "", str(caught.value)
    return str(caught.value)


@contextlib.contextmanager
def _no_longer_than(seconds):
    """A test that waits for a pipe for ever fails instead."""

    def late(*_):
        raise TimeoutError

    before = signal.signal(signal.SIGALRM, late)
    signal.setitimer(signal.ITIMER_REAL, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, before)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            f"name = {DIGITS}",
            "more than 18 digits",
        ),  # Python refuses such a whole number with a ValueError of its own
        (f"name = 0x{'f' * 5000}", "more than 18 digits"),
        (f"x = [{{y = -{10**18}}}]", "more than 18 digits"),  # read, but never written or made a float
        (f"{DOTS} = 1", "dots in one line"),
        (f"[{DOTS}]", "dots in one line"),  # tomllib took 1.6 GB for 40 kB of dots
        ("\n".join(f"a{i}{'.b' * 50} = 1" for i in range(3)), "nested too deep"),
        (f"name = {'[' * 900}", "nested too deep"),
        (
            f"[name{'.a' * 90}]\nb = {'{c=' * 40}1{'}' * 40}",
            "nested too deep",
        ),  # the error's own text once overflowed the stack
        ('"' + "k\\n" * 1000 + '" = 1', "not known here"),  # a name with line ends, 2,000 characters
        (
            SMALLEST.replace("[towed", "xyzzyplugh = 1\n[towed"),
            "data/rig_fields.md",
        ),  # all 30 names made 500 characters
        (f"{SMALLEST}[other_ways]\n{'kg' * 30} = 1", "data/rig_fields.md"),  # 12 long names made 401
        (f'name = "a\\nb"\n{SMALLEST}', "U+000A"),
        (f'name = "\\u001b[2J"\n{SMALLEST}', "U+001B"),  # a rig's name must not steer a terminal
        (f'name = "\\u202egpj"\n{SMALLEST}', "U+202E"),
        (f'{SMALLEST}[[load]]\nname = "\\u2028"\nmass = "1 kg"\nbehind_front_axle = "1 m"', "load.1.name"),
    ],
)
def test_rig_texts(text, said):
    start = time.process_time()
    assert said in _sentence(lambda: read_rig_text(text, file="mine.toml"), says="mine.toml")
    assert time.process_time() - start < 1.0


def test_names_in_any_script_stay(tmp_path):
    names = "Straße über die Höhe", "עגלה", "小さな車", "سيارة‌ها", "🚙👨‍🔧"
    for name in names:
        assert read_rig_text(f'name = "{name}"\n{SMALLEST}').name == name
    assert [_kept(RigStore(tmp_path), name) for name in names] == list(names)


def _kept(store, name):
    assert store.put("tow_vehicle.name", name) == ""
    return store.text("tow_vehicle.name")


@pytest.mark.parametrize("name", ["zero", "pipe", "folder", "loop"])
def test_what_is_no_file_is_answered_at_once(tmp_path, name):
    for ending, load in (("toml", load_rig), ("csv", load_route), ("gpx", load_route)):
        path = tmp_path / f"{name}.{ending}"
        {
            "zero": lambda p: p.symlink_to("/dev/zero"),
            "pipe": os.mkfifo,
            "folder": Path.mkdir,
            "loop": lambda p: p.symlink_to(p),
        }[name](path)
        start = time.monotonic()
        with _no_longer_than(2.0):
            _sentence(load, path, says=path.name)
        assert time.monotonic() - start < 2.0


def test_a_file_of_the_system_that_says_it_is_empty(tmp_path):
    endless = (
        Path("/proc/kmsg")
        if Path("/proc/kmsg").exists() and not os.access("/proc/kmsg", os.R_OK)
        else Path("/proc/self/status")
    )
    if not endless.exists():
        pytest.skip("no /proc on this system")
    _sentence(lambda: read_text(endless, 100, wanted="a rig file"))


def test_a_name_as_long_as_a_name_can_be(tmp_path):
    for name in ("x" * 200 + "\n.toml", "y" * 5000, "z\0"):
        _sentence(load_rig, tmp_path / name)
    (tmp_path / "line\nend.toml").write_text("x = 1", encoding="utf-8")
    _sentence(load_rig, tmp_path / "line\nend.toml")


def test_quote_of_what_cannot_be_written():
    deep: list = []
    for _ in range(5000):
        deep = [deep]
    assert quote(deep) == "'a list too long to show'" and quote(10**5000) == "'a int too long to show'"


@pytest.mark.parametrize(
    "text",
    [
        f"x = {DIGITS}",
        f"x = 0x{'f' * 300}",
        "[panels",
        "panels = 3",
        f"x = {'[' * 5000}",
        f"{DOTS} = 1",
        "\0",
        "[[panels]]\na = 1",
    ],
)
def test_lesson_texts(tmp_path, text):
    (tmp_path / "99_x.toml").write_text(text, encoding="utf-8")
    for work in (
        lambda: panels_of("99_x", tmp_path),
        lambda: load_panel("99_x", "p", tmp_path),
    ):  # the first knew none of these
        _sentence(work, says="99_x.toml")


def test_a_kind_of_slider_that_is_nearly_known(tmp_path):
    (tmp_path / "99_x.toml").write_text(
        '[panels.p]\ntitle = "A"\n[[panels.p.sliders]]\nkind = "lenght"\n', encoding="utf-8"
    )
    assert "perhaps 'length'" in _sentence(load_panel, "99_x", "p", tmp_path, says="99_x.toml")


def _lesson(folder, *, panel="p", lesson="99_x", demo="", **row):
    """A lesson of one panel with one row."""
    words = {"name": '"a"', "label": '"A"', "group": '"view"', "why_this_range": '"x"', "source": '"x"'}
    lines = "\n".join(f"{key} = {value}" for key, value in (words | row).items())
    head = f'[panels.{panel}]\ntitle = "A"\n{demo}\n'
    (folder / f"{lesson}.toml").write_text(f"{head}[[panels.{panel}.sliders]]\n{lines}\n", encoding="utf-8")


@pytest.mark.parametrize(
    ("kind", "of"),
    [
        ("count", '"tow_vehicle.wheelbase"'),
        ("count", '"tow_vehicle.name"'),
        ("count", '"towed_vehicle.mass"'),
        ("count", '"x"'),
        ("count", "3"),
        ("count", "[1]"),
        ("number", '"tow_vehicle.gearbox.ratios"'),
    ],
)
def test_a_count_of_what_is_no_list(tmp_path, kind, of):
    _lesson(tmp_path, kind=f'"{kind}"', low=1, start=3, step=1, to_count_of=of)
    assert "sliders.1.to_count_of" in _sentence(load_panel, "99_x", "p", tmp_path, says="99_x.toml")


def test_a_list_shorter_than_the_low_end_of_its_count(tmp_path, data_folder):
    _lesson(tmp_path, kind='"count"', low=12, start=15, step=1, to_count_of='"tow_vehicle.gearbox.ratios"')
    rig = load_rig(data_folder / "rigs" / "demo_comfortable.toml")
    spec, _ = load_panel("99_x", "p", tmp_path).starting_from(facts.Facts(rig))
    (slider,) = spec.sliders
    assert slider.low <= slider.start <= slider.high == len(rig.tow_vehicle.gearbox.ratios) == 9


@pytest.mark.parametrize("demo", [f'"{"é" * 300}"', '"../blank"', '""', "3", '["demo_comfortable"]'])
def test_a_panel_that_starts_with_no_rig_of_ours(tmp_path, demo):
    _lesson(tmp_path, demo=f"demo = {demo}", kind='"count"', low=1, high=9, start=3, step=1)
    assert "panels.p.demo" in _sentence(load_panel, "99_x", "p", tmp_path, says="99_x.toml")


def test_many_long_options_in_a_sentence(tmp_path):
    """In the lesson and the panel with the longest names."""
    options = [f"{i} {'wheel ' * 9}" for i in range(12)]
    lesson, panel = "03_bar_loads_and_attachment", "first_to_yield"
    start = f'"{"e1" * 40}"'
    _lesson(tmp_path, lesson=lesson, panel=panel, kind='"choice"', start=start, options=options)
    said = _sentence(load_panel, lesson, panel, tmp_path, says=f"{lesson}.toml")
    assert "sliders.1.start" in said


@pytest.mark.parametrize(
    ("name", "old", "new", "said"),
    [
        ("assumed", "tow_vehicle.cg_height", "tow_vehicle.none", "field 'field'"),
        ("assumed", "0.70 m", "0.70 kg", "field 'value'"),
        ("assumed", "field,value,low", "field,value,lo", "field 'low'"),
        ("chain_working_load", "grade", "grad", "field 'grade'"),
        ("bolt_grades", "grade,", "class,", "field 'grade'"),
        ("bolt_grades", ",74,", f",{'9' * 30},", "field 'tensile'"),
        ("bolt_threads", "0.25,", "0,25,", "cells"),
        ("bolt_threads", "0.25,20,", "0.25,0,", "field 'threads_per_inch'"),
        ("wire", "AWG,20", "AWG,-9e9", "field 'gauge'"),
    ],
)
def test_tables_without_a_column_or_with_an_odd_row(tmp_path, monkeypatch, data_folder, name, old, new, said):
    text = (data_folder / "handbook" / f"{name}.csv").read_text(encoding="utf-8")
    (tmp_path / f"{name}.csv").write_text(text.replace(old, new, 1), encoding="utf-8")
    fresh = handbook.load_table.__wrapped__
    for module in (handbook, bolt_tables, electric_tables, facts):
        monkeypatch.setattr(module, "load_table", lambda table, folder=None: fresh(table, tmp_path))
    read = {
        "assumed": facts.assumptions,
        "chain_working_load": handbook._chains,
        "bolt_grades": bolt_tables._grades,
        "bolt_threads": bolt_tables._threads,
        "wire": electric_tables._wires,
    }[name].__wrapped__
    assert said in _sentence(read, says=f"{name}.csv, line ")


@pytest.mark.parametrize(
    ("rig", "path"),
    [
        ("tow_vehicle = 3\n", "tow_vehicle.gvwr"),
        ("load = 3\n", "load.0.mass"),
        ("load = [1]\n", "load.1.mass"),
        ("bracket = [1]\n", "bracket.bolts.0.behind_pin"),
        ("[tow_vehicle]\ngearbox = 'x'\n", "tow_vehicle.gearbox.kind"),
        (f"x = {DIGITS}", "tow_vehicle.gvwr"),
        (f"{DOTS} = 1", "tow_vehicle.gvwr"),
        ("x = [[[[[[[[[[[[[[[[[[[[[[[[[[[[[1]]]]]]]]]]]]]]]]]]]]]]]]]]]]]", "tow_vehicle.gvwr"),
    ],
)
def test_a_spoilt_file_of_the_reader_is_left_as_it_is(tmp_path, rig, path):
    (tmp_path / "my_rig.toml").write_text(rig, encoding="utf-8")
    store, texts = RigStore(tmp_path), {"kind": "manual"}
    _sentence(
        store.put,
        path,
        texts.get(
            path.rpartition(".")[2], "3000 kg" if "gvwr" in path else "80 kg" if "mass" in path else "20 mm"
        ),
    )
    _sentence(store.rig, says="my_rig.toml")
    assert (tmp_path / "my_rig.toml").read_text(encoding="utf-8") == rig


def test_a_complaint_names_the_readers_own_row(tmp_path):
    said = RigStore(tmp_path).put("load.2.name", "x" * 100)
    assert "field 'load.2.name'" in said and "load.1" not in said  # the trial has one row only


def test_a_text_too_long_to_be_read_again_is_not_written(tmp_path, monkeypatch):
    monkeypatch.setenv("TOWLIB_READER_FOLDER", str(tmp_path))
    store = RigStore(tmp_path)
    store.put("tow_vehicle.gvwr", "3000 kg")
    _sentence(
        store.put, "tow_vehicle.name", "x" * 2_000_000
    )  # once written, it locked the reader out of the whole rig
    assert (
        store.put("tow_vehicle.front_gawr", "1500 kg") == "" and store.text("tow_vehicle.gvwr") == "3000 kg"
    )
    assert answers.remember("01.predict-1", "more").startswith("Kept")
    assert answers.remember("01.predict-2", "y" * 2_000_000).startswith("Not kept")
    assert answers.recall("01.predict-1") == "more"


def test_half_a_letter_is_refused(tmp_path):
    _sentence(RigStore(tmp_path).put, "tow_vehicle.name", "\ud800")


@pytest.mark.parametrize("text", ["e92", "e9 kg", ".e1 kg", "+e5", "-.e-3 m", ". kg", "+ kg", "-"])
def test_a_power_of_ten_without_a_number(text):
    assert "not a number and a unit" in _sentence(to_si, text, "mass")
    assert to_si(".5e1 kg", "mass") == to_si("5. kg", "mass") == 5.0


def test_options_and_panels_with_names_of_thousands_of_letters(tmp_path):
    row = f'kind = "choice"\noptions = ["{"a" * 9000}", "b"]\nstart = "c"\n' + "".join(
        f'{key} = "{value}"\n'
        for key, value in (
            ("name", "x"),
            ("label", "x"),
            ("group", "view"),
            ("why_this_range", "x"),
            ("source", "x"),
        )
    )
    (tmp_path / "99_x.toml").write_text(
        f'[panels.p]\ntitle = "A"\n[[panels.p.sliders]]\n{row}[panels.{"q" * 9000}]\n', encoding="utf-8"
    )
    for panel in ("p", "none"):
        _sentence(load_panel, "99_x", panel, tmp_path, says="99_x.toml")


@pytest.mark.parametrize(
    "text",
    [
        "[" * 3000,
        '{"cells": ' + "[" * 3000,
        '{"cells": [{"cell_type": "code", "metadata": {}, "source": "\\u0000"}]}',
        '{"cells": [{"cell_type": "code", "metadata": {}, "source": "' + "-" * 200_000 + '1"}]}',
    ],
)
def test_notebooks_that_stop_the_reader_of_json_or_of_python(tmp_path, text):
    path = tmp_path / "01_x.ipynb"
    path.write_text(text, encoding="utf-8")
    assert path.stem in progress.table(tmp_path)
    if not text.endswith("}"):
        _sentence(lesson_cells, path, says=path.name)


def test_a_file_of_ten_million_lines_is_refused_early(tmp_path):
    path = tmp_path / "long.csv"
    path.write_bytes(b"distance [km],elevation [m]\n" + b"1,2\n" * 10_000_000)
    start = time.process_time()
    assert "500,000 points" in _sentence(load_route, path, says="long.csv")
    assert time.process_time() - start < 10.0


@pytest.mark.parametrize(
    "place",
    [
        "dista{}nce [km],elevation [m]",
        "distance{} [km],elevation [m]",
        "distance [km{}],elevation [m]",
        "distance [km],elevation [m],note{}x",
    ],
)
def test_a_header_of_thousands_of_spaces(tmp_path, place):
    (tmp_path / "road.csv").write_text(f"{place.format(' ' * 90_000)}\n0,100\n", encoding="utf-8")
    start = time.process_time()
    _sentence(load_route, tmp_path / "road.csv", says="road.csv")
    assert time.process_time() - start < 1.0


def test_attributes_of_a_recording_count_as_parts(tmp_path, monkeypatch):
    """24 MB of elements with an attribute each took 716 MiB, though the elements were fewer than allowed."""
    monkeypatch.setattr(route_gpx, "MAX_GPX_ELEMENTS", 40)
    part = "<a b='c'/>"
    (tmp_path / "a.gpx").write_text(
        f"<gpx><trk><trkseg><trkpt lat='1' lon='7'>{part * 20}</trkpt></trkseg></trk></gpx>", encoding="utf-8"
    )
    assert "more than 40 XML parts" in _sentence(load_route, tmp_path / "a.gpx", says="a.gpx")


def test_a_short_run_of_the_fuzzer(tmp_path, monkeypatch):
    """The same inputs every time; `python -m tests.fuzz` runs a hundred thousand."""
    monkeypatch.setenv("TOWLIB_READER_FOLDER", str(tmp_path))
    counts, found = Counter(), []
    for number, (name, how, count) in enumerate(plan_of(900)):
        if how == "made":
            for data in made(name, count, f"suite {number}"):
                if wrong := one(name, data, tmp_path):
                    found.append((name, wrong, data[:200]))
                counts[name] += 1
    assert found == []
    assert set(counts) == set(LOADERS) and sum(counts.values()) > 600
