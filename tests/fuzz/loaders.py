"""Everything that reads what a reader or a stranger wrote, each as: put these bytes there, read them, and say
what is wrong with the outcome.
"""

import contextlib
import os
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from random import Random
from typing import Any, NamedTuple
from unittest import mock

from hypothesis import strategies as st

from tests.fuzz import inputs
from towlib.errors import InputError
from towlib.handbook import bolt_tables, breakage_table, electric_tables
from towlib.handbook import tables as handbook
from towlib.lessons.declare import Question
from towlib.lessons.index import FIRST, ROOMS, lesson_of
from towlib.lessons.judging import judge_question
from towlib.lessons.predictions import Prediction, predictions_of
from towlib.lessons.slider_rows import load_panel, panels_of
from towlib.notebook import chosen_words, rig_shown, road_chosen, road_names
from towlib.plan.trip import make_plan
from towlib.print import report
from towlib.print.field_lists import rig_fields
from towlib.print.plan_json import plan_json
from towlib.rig import facts
from towlib.rig.import_file import import_bytes
from towlib.rig.measured import rule_of
from towlib.rig.model import field_info, load_rig
from towlib.rig.store import RIG_NAME, UNREAD_NAME, RigStore
from towlib.road.csv_file import RoadPoints
from towlib.road.route import Route, load_route, route_from_points
from towlib.teaching import settings
from towlib.teaching.panel.rig_in_use import invented
from towlib.teaching.practice import answers, progress
from towlib.teaching.practice.lesson_cells import lesson_cells
from towlib.units import KINDS, split_plus_minus, to_si

LONGEST_SENTENCE = 400
PLANNED_ONE_IN = 100  # of the rigs that load, so many get a plan
STORED = (
    "tow_vehicle.gvwr",
    "tow_vehicle.name",
    "load.0.mass",
    "load.2.name",
    "bracket.bolts.0.behind_pin",
    "tow_vehicle.gearbox.ratios",
    "towed_vehicle.brakes_fitted",
)


class Loader(NamedTuple):
    """One loader: its share of the inputs, what makes them, what reads them, and the name its sentences must
    say.
    """

    share: int  # in a hundred
    make: Callable[[Random], bytes]
    read: Callable[[bytes, Path], Any]
    says: str = ""
    built: Callable[[], st.SearchStrategy[bytes]] | None = None  # by hypothesis


class Wrong(Exception):
    """A loader gave something that it must not give."""


def sentence_trouble(sentence: str, says: str) -> str:
    """What is wrong with a sentence to a reader, '' when nothing."""
    if len(sentence) >= LONGEST_SENTENCE:
        return f"{len(sentence)} characters"
    if not all(char.isprintable() for char in sentence):
        return "more than one line, or characters that do not print"
    if "; wanted " not in sentence or ("found " not in sentence):
        return "not found and wanted"
    return "" if says in sentence else f"does not name {says!r}"


def _written(name: str, data: bytes, folder: Path) -> Path:
    path = folder / name
    path.write_bytes(data)
    return path


def short_road() -> Route:
    """A kilometre up and a kilometre down, quickly driven."""
    import numpy as np

    return route_from_points(
        RoadPoints("short", "short.csv", np.array([0.0, 1000.0, 2000.0]), np.array([1500.0, 1570.0, 1500.0]))
    )


def read_rig(data: bytes, folder: Path) -> None:
    """A rig, and a plan for some."""
    rig = load_rig(_written("rig.toml", data, folder))
    if Random(data).randrange(PLANNED_ONE_IN) == 0:
        plan = make_plan(rig, short_road())
        for system in ("metric", "us"):
            report.report(plan, system)
        plan_json(plan)


def _read_road(name: str) -> Callable[[bytes, Path], None]:
    def read(data: bytes, folder: Path) -> None:
        route = load_route(_written(name, data, folder))
        if (
            not all(len(each) >= 2 or len(route.grade) == 1 for each in (route.distance_m, route.elevation_m))
            or not abs(route.climb_m) < 1e9
        ):
            raise Wrong("a road that is none")
        route.segments()
        route.reversed()

    return read


@contextlib.contextmanager
def _tables_in(folder: Path) -> Iterator[None]:
    """Every table is read from another folder, and nothing is remembered."""

    def load(name: str, _: Path = folder) -> Any:
        return handbook.load_table.__wrapped__(name, folder)

    with contextlib.ExitStack() as stack:
        for module in (bolt_tables, breakage_table, electric_tables, facts, handbook):
            (
                stack.enter_context(mock.patch.object(module, "load_table", load))
                if module is not handbook
                else None
            )
        yield


def _unremembered(function: Any) -> Callable[[], Any]:
    return lambda: function.__wrapped__()


_TABLES: dict[str, Callable[[], Any]] = {
    "assumed": _unremembered(facts.assumptions),
    "bolt_threads": _unremembered(bolt_tables._threads),
    "bolt_grades": _unremembered(bolt_tables._grades),
    "wire": _unremembered(electric_tables._wires),
    "wire_fuses": _unremembered(electric_tables._fuses),
    "lamps": _unremembered(electric_tables._lamps),
    "fault_finder": _unremembered(electric_tables._faults),
}


def spoilt_table(random: Random) -> bytes:
    """A table with its name in the first line."""
    names = sorted(path.stem for path in (inputs.DATA / "handbook").glob("*.csv"))
    name = random.choice(names)
    text = (inputs.DATA / "handbook" / f"{name}.csv").read_bytes()
    lines = bytearray(b"\n".join(text.splitlines()[: random.choice((2, 5, 40))]))
    for _ in range(random.choice((1, 1, 2, 3))):
        random.choice(inputs._BREAKS)(random, lines, "table")
    return name.encode() + b"\n" + bytes(lines)


def read_table(data: bytes, folder: Path) -> None:
    """One table by everything that reads it."""
    first, _, text = data.partition(b"\n")
    name = first.decode()
    _written(f"{name}.csv", text, folder)
    try:
        handbook.load_table.__wrapped__(name, folder)
        if name == "checks":
            with mock.patch.object(handbook, "load_table", handbook.load_table.__wrapped__):
                handbook.checks.__wrapped__(folder)
        elif name in ("tyre_load_index", "chain_working_load"):
            with mock.patch.object(handbook, "load_table", lambda table: _again(table, folder)):
                (handbook._tyre_loads if name == "tyre_load_index" else handbook._chains).__wrapped__()
        elif name == "breakages":
            with mock.patch.object(breakage_table, "load_table", handbook.load_table.__wrapped__):
                breakage_table.breakages.__wrapped__(folder)
        elif name in _TABLES:
            with _tables_in(folder):
                _TABLES[name]()
    except InputError as error:
        if f"{name}.csv" not in str(error):
            raise Wrong(f"does not name {name}.csv: {error}") from None
        raise


_READ_TABLE = handbook.load_table.__wrapped__


def _again(table: str, folder: Path) -> Any:
    return _READ_TABLE(table, folder)


def read_lesson(data: bytes, folder: Path) -> None:
    """The predictions of a lesson, and all its panels, started from their invented rig."""
    _written("99_x.toml", data, folder)
    try:
        for asked in predictions_of("99_x", folder):
            for option in asked.options:
                chosen_words(asked, option.words)
    except InputError as error:
        if trouble := sentence_trouble(str(error), "99_x.toml"):
            raise Wrong(f"{trouble}: {error}") from None
    for panel in (*panels_of("99_x", folder)[:6], "p"):
        spec = load_panel("99_x", panel, folder)
        spec, _ = spec.starting_from(facts.Facts(invented(spec.demo)))
        for slider in spec.sliders:
            if not slider.low <= slider.start <= slider.high:
                raise Wrong(f"{slider.name} starts at {slider.start}, outside {slider.low} to {slider.high}")
            for system in ("metric", "us"):
                slider.shown_step(system)
                slider.argument(slider.from_shown(slider.shown(slider.start, system), system))


def read_store(data: bytes, folder: Path) -> None:
    """The reader's own files, spoilt; then something is typed."""
    random = Random(data)
    for name in (RIG_NAME, UNREAD_NAME):
        (folder / name).unlink(missing_ok=True)
    _written(random.choice((RIG_NAME, RIG_NAME, UNREAD_NAME)), data, folder)
    store, path = RigStore(folder), random.choice(STORED)
    store.text(path)
    text = inputs.typed(random).decode("utf-8", "surrogatepass")
    said = store.put(path, text)
    if said and (trouble := sentence_trouble(said, path)):
        raise Wrong(f"{trouble}: {said}")
    if said and RigStore(folder).text(path) != text.strip():
        raise Wrong(f"what was typed did not come back: {text!r}")
    store.rig()


def read_import(data: bytes, folder: Path) -> None:
    """A stranger's rig taken over: what can be read, and nothing of the reader's is lost."""
    for path in folder.glob("my_rig*"):
        path.unlink()
    store = RigStore(folder)
    store.put("tow_vehicle.name", "mine")
    try:
        taken = import_bytes(store, data, file="rig.toml")
    except InputError:
        if store.text("tow_vehicle.name") != "mine":
            raise Wrong("a file that was refused changed the reader's rig") from None
        raise
    words = taken.words("rig.toml")
    if not all(char.isprintable() for char in words) or not any(
        "mine" in path.read_text(encoding="utf-8") for path in folder.glob("my_rig*")
    ):
        raise Wrong(f"words that do not print, or a rig that is lost: {words[:200]!r}")
    store.texts()
    store.rig()


def read_answers(data: bytes, folder: Path) -> None:
    """What the reader wrote, spoilt; then something more is written."""
    _written(answers.NAME, data, folder)
    with mock.patch.dict(os.environ, {"TOWLIB_READER_FOLDER": str(folder)}):
        said = answers.remember("01.predict-1", inputs.typed(Random(data)).decode("utf-8", "surrogatepass"))
        if said.startswith("Not kept") and (trouble := sentence_trouble(said, answers.NAME)):
            raise Wrong(f"{trouble}: {said}")
        answers.checked("03.exercise-1", "3 kg", "Right.")
        chosen_words(_asked_first(), answers.recall("01.predict-1"))
        if Random(data).randrange(12) == 0:
            progress.table()
        answers.kept()


@cache
def _asked_first() -> Prediction:
    return predictions_of("01_weight_ratings")[0]


def read_settings(data: bytes, folder: Path) -> None:
    """What the reader chose, spoilt; then it is used, and something else is chosen."""
    _written(settings.NAME, data, folder)
    random = Random(data)
    with (
        mock.patch.dict(os.environ, {"TOWLIB_READER_FOLDER": str(folder)}),
        mock.patch.object(settings, "_watchers", {}),
        mock.patch.object(settings, "_not_kept", {}),
    ):
        for name, usual in settings.USUAL.items():
            if type(settings.chosen(name)) is not type(usual):
                raise Wrong(f"{name} is {settings.chosen(name)!r}")
        rig_shown()
        typed = inputs.typed(random).decode("utf-8", "surrogatepass")
        name = random.choice(list(settings.USUAL))
        value = random.choice((*settings.ALLOWED.get(name, ("rolling_road.csv",)), typed))
        with contextlib.suppress(InputError):
            said = settings.choose(name, value)
            if said and (trouble := sentence_trouble(said, settings.NAME)):
                raise Wrong(f"{trouble}: {said}")
            if settings.chosen(name) != value:
                raise Wrong(f"{name} is {settings.chosen(name)!r}, and {value!r} was chosen")
        if settings.chosen("road") != settings.USUAL["road"]:
            road_names()
            road_chosen()


@cache
def _rules() -> list[Any]:
    return [rule_of(field_info(field.path)) for field in rig_fields() if field.kind in KINDS]


def read_typed(data: bytes, _: Path) -> None:
    """A text as every kind of number."""
    text = data.decode("utf-8", "surrogatepass")
    kind = Random(data).choice(list(KINDS))
    split_plus_minus(text)
    rule = Random(data).choice(_rules())
    for read in (lambda: to_si(text, kind), lambda: rule.read(text)):
        try:
            value = read()
            if not abs(value) <= 1e12:
                raise Wrong(f"{value} from {text!r}")
        except InputError as error:
            if trouble := sentence_trouble(str(error), ""):
                raise Wrong(f"{trouble}: {error}") from None
    said = judge_question(text, Random(data).choice(_questions()))
    if len(said) >= LONGEST_SENTENCE or not all(char.isprintable() for char in said):
        raise Wrong(f"an answer is judged by {said!r}")


@cache
def _questions() -> list[Question]:
    return [
        question
        for lesson in (*FIRST, *ROOMS)
        for exercise in lesson_of(lesson).exercises
        for question in exercise.draw(1, "metric").questions
    ]


def read_notebook(data: bytes, folder: Path) -> None:
    """The cells of a notebook, none of which is run."""
    lesson_cells(_written("99_x.ipynb", data, folder))


def stored(random: Random) -> bytes:
    """A reader's file: a rig, or lines such as the store writes."""
    if random.random() < 0.5:
        return inputs.spoilt("rig")(random)
    lines = bytearray(
        b'"tow_vehicle.gvwr" = "3000 pounds-force"\n[tow_vehicle]\ngvwr = "3000 kg"\n[[load]]\nname ='
        b' "x"\n[bracket]\n[[bracket.bolts]]\nbehind_pin = "1 mm"\n"01.predict-1" = "more"\n'
    )
    for _ in range(random.randrange(1, 4)):
        random.choice(inputs._BREAKS)(random, lines, "rig")
    return bytes(lines)


def chosen(random: Random) -> bytes:
    """Settings such as the workbook writes."""
    lines = bytearray(b'units = "us"\nrig = "mine"\nroad = "rolling_road.csv"\ncases = 1000\n')
    for _ in range(random.randrange(1, 4)):
        random.choice(inputs._BREAKS)(random, lines, "lesson")
    return bytes(lines)


LOADERS = {
    "rig": Loader(28, inputs.spoilt("rig"), read_rig, "rig.toml", inputs.rigs),
    "csv": Loader(14, inputs.spoilt("csv"), _read_road("road.csv"), "road.csv", inputs.roads),
    "gpx": Loader(13, inputs.spoilt("gpx"), _read_road("road.gpx"), "road.gpx", inputs.recordings),
    "table": Loader(10, spoilt_table, read_table, ".csv"),
    "lesson": Loader(9, inputs.spoilt("lesson"), read_lesson, "99_x.toml", inputs.lessons),
    "store": Loader(6, stored, read_store, "my_rig"),
    "answers": Loader(4, stored, read_answers, answers.NAME),
    "settings": Loader(2, chosen, read_settings),
    "import": Loader(4, inputs.spoilt("rig"), read_import, "rig.toml", inputs.rigs),
    "typed": Loader(8, inputs.typed, read_typed),
    "notebook": Loader(2, inputs.notebook, read_notebook, "99_x.ipynb"),
}
