"""A rig, a road, a lesson or answers from a stranger run nothing and read no other file; JupyterLab keeps its
token and stays on this computer.
"""

import ast
import contextlib
import functools
import itertools
import json
import os
import re
import shlex
import subprocess
import sys
import time
import urllib.error
import urllib.request
from html.parser import HTMLParser
from pathlib import Path

import ipywidgets
import pytest

from tests import browser_helpers
from tests.fuzz.inputs import ENTITY_BOMB, INCLUDE, OUTSIDE
from towlib import adapt_check
from towlib.errors import InputError
from towlib.lessons.predictions import predictions_of
from towlib.lessons.slider_rows import load_panel
from towlib.notebook import chosen_words, whole_plan
from towlib.plan.trip import make_plan
from towlib.print.plan_json import plan_json
from towlib.print.report import report
from towlib.print.sheet import sheet_html
from towlib.rig.import_file import import_file
from towlib.rig.model import load_rig
from towlib.rig.store import RigStore
from towlib.road.route import load_route
from towlib.teaching import settings
from towlib.teaching.form import reader_form
from towlib.teaching.panel import panels
from towlib.teaching.practice import answers, progress
from towlib.teaching.practice import handout_pages as handouts

ROOT = Path(__file__).parents[2]
SECRET = "the-word-that-nobody-may-see"
TEMPLATES = "{0.__class__.__init__.__globals__} %(x)s {{7*7}} ${x}"
HOSTILE = f"<script>1</script><img src=x onerror=a()> '\"> {TEMPLATES}"[:80]
LATEX = r"$\frac{1}{$ \input{/etc/passwd} javascript:a()"


class _Page(HTMLParser):
    """What a browser would make of a page: scripts, actions, addresses, and the words it shows."""

    def __init__(self, page: str):
        super().__init__()
        self.acts, self.words = [], ""
        self.feed(page)
        self.close()

    def handle_starttag(self, tag, attrs):
        if tag in ("script", "iframe", "object", "embed", "link", "base", "form", "meta") and dict(attrs) != {
            "charset": "utf-8"
        }:
            self.acts.append(tag)
        for name, value in attrs:
            if (
                name.startswith("on")
                or re.match(r"\s*(javascript|vbscript|data:text)", value or "", re.IGNORECASE)
                or (name in ("src", "href", "xlink:href", "action") and "//" in (value or ""))
            ):
                self.acts.append(f"{name}={value}")

    def handle_data(self, data):
        self.words += data


def _rig_text(words: str) -> str:
    text = (ROOT / "data" / "rigs" / "demo_comfortable.toml").read_text(encoding="utf-8")
    return re.sub(r'(?m)^name = ".*"', lambda _: f"name = {json.dumps(words, ensure_ascii=False)}", text)


@pytest.fixture(scope="module", params=[HOSTILE, LATEX], ids=["html", "latex"])
def hostile(request, tmp_path_factory):
    """A plan whose every name is hostile, by file."""
    folder, words = tmp_path_factory.mktemp("stranger"), request.param
    (folder / "rig.toml").write_text(_rig_text(words), encoding="utf-8")
    (folder / "road.csv").write_text(
        f"# name: {words}\ndistance [km],elevation [m]\n0,1500\n1,1560\n2,1500\n", encoding="utf-8"
    )
    rig = load_rig(folder / "rig.toml")
    assert {rig.name, rig.tow_vehicle.name, rig.load[0].name} == {words}
    return folder, words, make_plan(rig, load_route(folder / "road.csv"))


# --- names from a file are shown as they are, and are never markup, a template or a program ---


def test_the_sheet_shows_names_and_runs_nothing(hostile):
    _, words, plan = hostile
    for system in ("metric", "us"):
        page = _Page(sheet_html(plan, system))
        assert page.acts == [] and page.words.count(words) >= 2


def test_report_and_json_show_names_as_they_are(hostile):
    _, words, plan = hostile
    assert words in report(plan, "metric") and json.loads(plan_json(plan))["rig_name"] == words
    assert "49" not in words and "<module" not in report(plan, "metric")


def _widgets_made(make) -> list[str]:
    """The HTML of every widget that some work makes."""
    seen = []
    start = ipywidgets.HTML.__init__

    def noted(self, *arguments, **named):
        start(self, *arguments, **named)
        seen.append(self)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(ipywidgets.HTML, "__init__", noted)
        make()
    assert seen
    return [widget.value for widget in seen]


def test_form_shows_what_was_typed_and_runs_nothing(hostile, tmp_path):
    folder, words, _ = hostile
    store = RigStore(tmp_path)
    import_file(store, folder / "rig.toml")
    store.put("tow_vehicle.gvwr", f"{words} kg")

    def fill_in():
        form = reader_form.rig_form(store)
        form.open("Tow vehicle")
        reader_form.take_over(store, words)
        form.refresh()

    for value in _widgets_made(fill_in):
        assert _Page(value).acts == [], value
    assert store.text("tow_vehicle.gvwr") == f"{words} kg"


def test_panel_and_prediction_show_words_of_a_file_and_run_nothing(hostile, tmp_path, monkeypatch):
    _, words, _ = hostile
    text = (ROOT / "data" / "lessons" / "01_weight_ratings.toml").read_text(encoding="utf-8")
    (tmp_path / "01_weight_ratings.toml").write_text(
        re.sub(
            r'(?m)\b(label|title|why_this_range|source|question|said) = "[^"]*"',
            lambda match: f"{match[1]} = {json.dumps(words)}",
            text,
        ),
        encoding="utf-8",
    )
    spec = load_panel("01_weight_ratings", "weighings", tmp_path)
    assert spec.title == spec.sliders[-1].label == spec.sliders[0].why_this_range == words
    monkeypatch.setattr(panels, "load_panel", lambda *_: spec)
    asked = predictions_of("01_weight_ratings", tmp_path)[0]
    asked = asked._replace(options=(*asked.options, asked.options[0]._replace(words=words, said=words)))
    assert asked.question == asked.options[0].said == words

    def show():
        panels.show_panel("01_weight_ratings", "weighings")
        panels.PredictionBox(asked, words, str).answer(words, words)
        panels.SeenFold(lambda: chosen_words(asked, words), is_open=True)
        panels.note(words)

    shown = _widgets_made(show)
    assert sum(words in _Page(value).words for value in shown) >= 4
    for value in shown:
        assert _Page(value).acts == [], value


def test_the_plan_on_the_screen_shows_names_and_runs_nothing(hostile, tmp_path, monkeypatch):
    folder, words, _ = hostile
    monkeypatch.setenv("TOWLIB_READER_FOLDER", str(tmp_path))
    for theirs, mine in (("rig.toml", "my_rig.toml"), ("road.csv", "pass.csv")):
        (tmp_path / mine).write_bytes((folder / theirs).read_bytes())
    (tmp_path / settings.NAME).write_text('rig = "mine"\nroad = "pass.csv"\n', encoding="utf-8")
    page = _Page(whole_plan().html_text)
    assert page.acts == [] and page.words.count(words) >= 2


def test_settings_of_a_stranger_choose_no_file_elsewhere(tmp_path, monkeypatch):
    monkeypatch.setenv("TOWLIB_READER_FOLDER", str(tmp_path / "own"))
    (tmp_path / "own").mkdir()
    (tmp_path / "secret.csv").write_text(f"# name: {SECRET}\ndistance [km],elevation [m]\n0,1\n1,2\n")
    for place in (str(tmp_path / "secret.csv"), "../secret.csv", "/dev/zero"):
        (tmp_path / "own" / settings.NAME).write_text(f"road = {json.dumps(place)}\n", encoding="utf-8")
        assert settings.chosen("road") == settings.USUAL["road"] and SECRET not in whole_plan().html_text


def test_handout_shows_words_of_a_lesson_and_runs_nothing(hostile, monkeypatch):
    _, words, _ = hostile
    spec = load_panel("01_weight_ratings", "axle_loads")
    monkeypatch.setattr(
        handouts,
        "load_panel",
        lambda *_: spec._replace(
            title=words,
            sliders=tuple(slider._replace(label=words, why_this_range=words) for slider in spec.sliders),
        ),
    )
    page = _Page(handouts.handout_html("01_weight_ratings"))
    assert page.acts == [] and page.words.count(words) > len(spec.sliders)


def test_a_text_cell_of_a_strangers_notebook_is_no_page_of_its_own():
    page = _Page(
        handouts._text(
            f"# A lesson\n\n{HOSTILE}\n\n[a](javascript:a()) <b onclick='a()'>x</b> ![b](data:text/html,x)"
        )
    )
    assert page.acts == []


def test_answers_of_a_stranger_are_words(tmp_path, monkeypatch):
    monkeypatch.setenv("TOWLIB_READER_FOLDER", str(tmp_path))
    (tmp_path / answers.NAME).write_text(
        f'"01.predict-1" = {json.dumps(HOSTILE)}\n"01.exercise-1" = {{answer = "{{0.__class__}}", said = "x",'
        " been_right = \"__import__('os')\"}\n",
        encoding="utf-8",
    )
    assert answers.recall("01.predict-1") == HOSTILE
    assert not answers.was_right(answers.kept()["01.exercise-1"]) and "01_weight_ratings" in progress.table()


# --- nothing in a file reaches an interpreter, a process or another file ---

RUNS = {
    "eval",
    "exec",
    "compile",
    "__import__",
    "breakpoint",
    "system",
    "popen",
    "Popen",
    "spawnl",
    "spawnv",
    "execv",
    "execve",
    "startfile",
    "check_output",
    "check_call",
    "import_module",
    "run_path",
    "run_module",
    "from_string",
    "unsafe_load",
    "fork",
    "urlopen",
    "read_pickle",
}
MODULES = {
    "pickle",
    "marshal",
    "shelve",
    "dill",
    "joblib",
    "yaml",
    "subprocess",
    "importlib",
    "runpy",
    "ctypes",
    "socket",
    "http",
    "urllib",
    "requests",
    "multiprocessing",
    "webbrowser",
    "code",
    "codeop",
    "pty",
}
ALLOWED = {
    ("adapt_check.py", "subprocess"),  # the same check once more, in the copy
    ("index.py", "importlib"),
    ("index.py", "import_module"),  # rooms of lessons, by the names that stand there
    ("lesson_cells.py", "exec"),
    ("lesson_cells.py", "compile"),  # cells of notebooks; the help of adapt_check says so
    ("sheet.py", "from_string"),
}  # the sheet's own template


@functools.cache
def _calls_and_imports() -> tuple[tuple[str, ast.AST], ...]:
    return tuple(
        (path.name, node)
        for path in (ROOT / "towlib").rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call | ast.Import | ast.ImportFrom)
    )


def test_no_code_takes_a_files_text_for_a_program():
    found = set()
    for file, node in _calls_and_imports():
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name | ast.Attribute):
            whole, name = (
                ast.unparse(node.func),
                node.func.id if isinstance(node.func, ast.Name) else node.func.attr,
            )
            if name in RUNS and whole not in ("re.compile",):
                found.add((file, name))
        elif isinstance(node, ast.Import):
            found |= {
                (file, alias.name.split(".")[0])
                for alias in node.names
                if alias.name.split(".")[0] in MODULES
            }
        elif isinstance(node, ast.ImportFrom) and node.module and node.module.split(".")[0] in MODULES:
            found.add((file, node.module.split(".")[0]))
    assert found == ALLOWED


def test_format_is_only_asked_of_words_in_the_code():
    """`name.format(...)` on a text of a file would show what stands inside the program."""
    places = {
        (file, ast.unparse(node)[:60])
        for file, node in _calls_and_imports()
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Attribute)
        and node.func.attr in ("format", "format_map")
        and not isinstance(node.func.value, ast.Constant)
    }
    assert {name for name, _ in places} == {"way_turns.py"}, places  # names of the three ways


WATCHED = r"""
import json, sys
from pathlib import Path
from towlib.errors import InputError
from towlib.plan.trip import make_plan
from towlib.print.plan_json import plan_json
from towlib.print.report import report
from towlib.print.sheet import sheet_html
from towlib.rig.import_file import import_file
from towlib.rig.model import load_rig
from towlib.rig.store import RigStore
from towlib.road.route import load_route

folder, data = Path(sys.argv[1]), Path(sys.argv[2])
events, watching = [], False

def hook(name, arguments):
    if watching and (name in ("open", "compile", "exec", "import", "os.system", "os.exec", "os.posix_spawn", "os.fork", "os.forkpty", "os.remove", "os.rename", "ctypes.dlopen")
                     or name.startswith(("subprocess", "socket", "urllib", "http", "pty", "ftplib", "smtplib"))):
        code = arguments[0] if arguments else ""
        events.append((name, getattr(code, "co_filename", str(code)) if name == "exec" else str(arguments[:2]) if name == "compile" else str(code)))

def everything(rigs, roads, sheet=True):
    for rig in rigs:
        for road in roads:
            try:
                plan = make_plan(load_rig(rig), load_route(road))
                report(plan, "us"), plan_json(plan), sheet and sheet_html(plan)
            except InputError as error:
                print(error)

everything([data / "rigs" / "demo_comfortable.toml"], [folder / "good.gpx", folder / "good.csv"])  # all that is imported once
import_file(RigStore(folder / "warm"), data / "rigs" / "demo_comfortable.toml")
sys.addaudithook(hook)
watching = True
everything([folder / "rig0.toml"], sorted((*folder.glob("road*.csv"), *folder.glob("road*.gpx"))), sheet=False)
everything(sorted(folder.glob("rig*.toml")), [folder / "road_style.gpx"])
for rig in sorted(folder.glob("rig*.toml")):
    try:
        import_file(RigStore(folder / "own"), rig)
    except InputError as error:
        print(error)
watching = False
print("EVENTS", json.dumps(events))
"""  # noqa: E501


def test_hostile_files_open_no_other_file_and_start_nothing(tmp_path):
    """Every file opened and every program started is noted by the interpreter itself while hostile files
    become plans and sheets.
    """
    (tmp_path / "secret.txt").write_text(SECRET, encoding="utf-8")
    secret = str(tmp_path / "secret.txt")
    points = "".join(f'<trkpt lat="{46 + i / 5000}" lon="7"><ele>{900 + i}</ele></trkpt>' for i in range(40))
    gpx = {
        "outside": OUTSIDE.format(points).replace("/etc/passwd", secret),
        "include": INCLUDE.format(points).replace("/etc/passwd", secret),
        "bomb": ENTITY_BOMB,
        "parameter": (
            f'<!DOCTYPE gpx [<!ENTITY % x SYSTEM "{secret}">'
            f" %x;]><gpx><trk><trkseg>{points}</trkseg></trk></gpx>"
        ),
        "style": (
            f'<?xml-stylesheet href="file://{secret}"?><gpx xsi:schemaLocation="a file://{secret}"'
            ' xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance"><metadata><link'
            f' href="file://{secret}"/></metadata><trk><name>{{{{7*7}}}}'
            f" &lt;script&gt;</name><trkseg>{points}</trkseg></trk></gpx>"
        ),
    }
    for name, text in gpx.items():
        (tmp_path / f"road_{name}.gpx").write_text(text, encoding="utf-8")
    rows = "distance [km],elevation [m]\n0,1500\n1,1560\n2,1500\n"
    (tmp_path / "good.gpx").write_text(f"<gpx><trk><trkseg>{points}</trkseg></trk></gpx>", encoding="utf-8")
    (tmp_path / "good.csv").write_text(rows, encoding="utf-8")
    (tmp_path / "road_name.csv").write_text(
        f"# name: file://{secret}\n# include: {secret}\n{rows}", encoding="utf-8"
    )
    (tmp_path / "road_cell.csv").write_text(rows.replace("1560", f"=cmd|'/c {secret}'!A1"), encoding="utf-8")
    (tmp_path / "road_header.csv").write_text(
        rows.replace("[m]", "[__import__('os').system('touch ran')]"), encoding="utf-8"
    )
    names = itertools.cycle(
        (
            secret[-80:],
            f"{{% include '{secret[-50:]}' %}}",
            "__import__('os').system('touch ran')",
            "!!python/object:os.system",
            f"\\input{{{secret[-60:]}}}",
        )
    )
    (tmp_path / "rig0.toml").write_text(
        re.sub(r"(?m)^name = .*", lambda _: f"name = {json.dumps(next(names))}", _rig_text("x")),
        encoding="utf-8",
    )
    (tmp_path / "rig_include.toml").write_text(f'include = "{secret}"\n' + _rig_text("x"), encoding="utf-8")
    (tmp_path / "rig_unit.toml").write_text(
        _rig_text("x").replace("kg", "kg*__import__('os')"), encoding="utf-8"
    )
    done = subprocess.run(
        [sys.executable, "-c", WATCHED, str(tmp_path), str(ROOT / "data")],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert done.returncode == 0, done.stderr[-2000:]
    said, _, events = done.stdout.partition("EVENTS ")
    assert SECRET not in done.stdout and not (ROOT / "ran").exists() and not (tmp_path / "ran").exists()
    for name in (
        "road_outside.gpx",
        "road_bomb.gpx",
        "road_parameter.gpx",
        "road_cell.csv",
        "road_header.csv",
        "rig_include.toml",
        "rig_unit.toml",
    ):
        assert name in said, f"{name} was taken"
    opened = {what for name, what in json.loads(events) if name == "open"}
    mine = tuple(str(tmp_path / name) for name in ("rig", "road_", "own"))
    others = {
        path
        for path in opened
        if not path.startswith(mine)
        and Path(path).parent != ROOT / "data" / "handbook"
        and Path(path).name != "sheet_template.html"
        and not path.isdigit()
    }
    others = {
        path for path in others if not re.search(r"matplotlib/mpl-data/|/fonts?/|fontlist", path)
    }  # a letter that was not drawn before
    assert others == set() and len([path for path in opened if path.startswith(mine)]) >= 8
    rest = [
        (name, what) for name, what in json.loads(events) if name not in ("open", "os.rename", "os.remove")
    ]
    assert [
        (name, what)
        for name, what in rest
        if name != "compile" and not (name == "exec" and what == "<template>")
    ] == []
    assert all("os').system" not in what and SECRET not in what for name, what in rest)


def test_a_pipe_for_a_rig_is_refused_on_the_command_line_at_once(tmp_path):
    os.mkfifo(tmp_path / "rig.toml")
    start = time.monotonic()
    done = subprocess.run(
        [sys.executable, "-m", "towlib", str(tmp_path / "rig.toml"), "x.csv"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=20,
        check=False,
    )
    assert (
        done.returncode == 2 and "a device or a pipe" in done.stderr and time.monotonic() - start < 10
    )  # Python's own start included


@pytest.mark.parametrize("how", ["device", "link", "pipe", "folder"])
def test_an_adapted_folder_brings_plain_files_only(tmp_path, how):
    """A link to an endless device would fill the disk when the folder is copied, one to a secret would be
    read.
    """
    folder, elsewhere = tmp_path / "adapted", tmp_path / "elsewhere"
    (folder / "lessons").mkdir(parents=True)
    elsewhere.mkdir()
    odd = folder / "lessons" / "01_weight_ratings.toml"
    (elsewhere / "x.toml").write_text("x = 1", encoding="utf-8")
    {
        "device": lambda: odd.symlink_to("/dev/zero"),
        "link": lambda: odd.symlink_to(elsewhere / "x.toml"),
        "pipe": lambda: os.mkfifo(odd),
        "folder": lambda: (folder / "rigs").symlink_to(elsewhere),
    }[how]()
    with pytest.raises(InputError, match="a link, a pipe or a device"):
        adapt_check._check_adapted(folder, None)


def test_the_check_of_a_folder_says_that_it_runs_notebooks(capsys):
    with pytest.raises(SystemExit):
        adapt_check.main(["--help"])
    said = " ".join(capsys.readouterr().out.split())
    assert "cells of notebooks are run" in said and "from somebody else" in said


# --- JupyterLab: a token, this computer only ---

OPENED = [
    r"token\s*=\s*(''|\"\"|None)",
    r"token=(\s|$)",
    r"password\s*=\s*(''|\"\"|None)",
    r"--ip\b",
    r"\.ip\s*=\s*[\"'](?!127\.0\.0\.1|localhost)",
    r"0\.0\.0\.0",
    r"allow_origin",
    r"allow_remote_access",
    r"disable_check_xsrf",
    r"allow_unauthenticated_access",
    r"password_required\s*=\s*False",
    r"Dummy\w*Authenticator",
    r"NullAuthenticator",
    r"--no-ssl|verify\s*=\s*False",
    r"--NotebookApp",
]
COMMAND = re.search(
    r"^python3 -m venv .*jupyter lab (.*)$", (ROOT / "README.md").read_text(encoding="utf-8"), re.MULTILINE
)[1]


def test_no_recipe_leaves_the_door_open():
    files = [
        ROOT / "README.md",
        ROOT / "DEVELOPERS.md",
        *sorted((ROOT / "data" / "workshop").iterdir()),
        *sorted((ROOT / "notebooks").glob("*.py")),
        ROOT / "tests" / "browser_helpers.py",
        *(path for path in sorted((ROOT / "data").rglob("*.json")) if "jupyter" in str(path)),
        *sorted((ROOT / "notebooks").glob("*.ipynb")),
    ]
    for path in files:
        text = path.read_text(encoding="utf-8") if path.is_file() else ""
        for pattern in OPENED:
            assert not (found := re.search(pattern, text)) or _explained(text, found), (
                f"{path.name}: {found[0] if found else ''}"
            )
    for bad in (
        "--IdentityProvider.token=''",
        "--ServerApp.token= ",
        "c.ServerApp.ip = '*'",
        "jupyter lab --ip=0.0.0.0",
        'c.ServerApp.allow_origin = "*"',
        "c.ServerApp.disable_check_xsrf = True",
    ):
        assert any(re.search(pattern, bad) for pattern in OPENED), bad  # the patterns see what they should


def _explained(text: str, found: re.Match) -> bool:
    """A line that warns of it."""
    line = text[text.rfind("\n", 0, found.start()) + 1 :].partition("\n")[0]
    return re.search(
        r"\b(never|no|not|nobody|without|only with)\b", line, re.IGNORECASE
    ) is not None and not line.lstrip().startswith(("c.", "jupyter", "/srv"))


def _ask(address: str, **headers: str) -> tuple[int, str]:
    class Stay(urllib.request.HTTPRedirectHandler):
        def redirect_request(self, *_):
            return None

    try:
        with urllib.request.build_opener(Stay).open(
            urllib.request.Request(address, headers=headers), timeout=10
        ) as answer:
            return answer.status, str(answer.headers)
    except urllib.error.HTTPError as error:
        return error.code, str(error.headers)


@pytest.fixture(scope="module")
def lab(tmp_path_factory):
    """JupyterLab started with the README's own words, with nothing but a port and no browser added."""
    home, port = tmp_path_factory.mktemp("lab"), browser_helpers._free_port()
    environment = {
        **os.environ,
        **{
            name: str(home / name.lower())
            for name in (
                "JUPYTER_CONFIG_DIR",
                "JUPYTER_DATA_DIR",
                "JUPYTER_RUNTIME_DIR",
                "JUPYTERLAB_WORKSPACES_DIR",
                "JUPYTERLAB_SETTINGS_DIR",
                "IPYTHONDIR",
            )
        },
    }
    environment.pop("JUPYTER_TOKEN", None)
    extra = [
        "--no-browser",
        f"--port={port}",
        "--ServerApp.port_retries=0",
        *(["--allow-root"] if hasattr(os, "geteuid") and os.geteuid() == 0 else []),
    ]
    with (home / "log").open("w") as log:
        process = subprocess.Popen(
            [sys.executable, "-m", "jupyterlab", *shlex.split(COMMAND), *extra],
            cwd=ROOT,
            env=environment,
            stdout=log,
            stderr=log,
        )
        try:
            deadline = time.monotonic() + 60
            while not (found := list((home / "jupyter_runtime_dir").glob("jpserver-*.json"))) or not _answers(
                port
            ):
                assert process.poll() is None and time.monotonic() < deadline, (home / "log").read_text()[
                    -2000:
                ]
                time.sleep(0.1)
            yield port, json.loads(found[0].read_text())
        finally:
            process.terminate()
            with contextlib.suppress(subprocess.TimeoutExpired):
                process.wait(20)
            process.kill()


def _answers(port: int) -> bool:
    try:
        return _ask(f"http://127.0.0.1:{port}/api")[0] == 200
    except OSError:
        return False


def test_jupyterlab_asks_for_its_token(lab):
    port, server = lab
    at = f"http://127.0.0.1:{port}"
    assert len(server["token"]) >= 32 and not server["password"]
    for page in ("/lab", "/doc/tree/00_start_here.ipynb", "/files/README.md"):
        status, headers = _ask(at + page)
        assert status in (302, 403) and (status == 403 or "/login" in headers), page
    for page in (
        "/api/contents",
        "/api/contents/README.md",
        "/api/kernels",
        "/api/sessions",
        "/api/terminals",
        "/api/contents?token=",
        "/api/contents?token=wrong",
    ):
        assert _ask(at + page)[0] == 403, page
    assert _ask(f"{at}/api/contents", Authorization=f"token {server['token']}")[0] == 200
    status, headers = _ask(f"{at}/api/contents", Origin="http://elsewhere.example")
    assert status in (403, 404) and "access-control-allow-origin" not in headers.lower()


def test_jupyterlab_listens_on_this_computer_only(lab):
    port, _ = lab
    listening = [
        line.split()
        for name in ("tcp", "tcp6")
        if (path := Path(f"/proc/net/{name}")).exists()
        for line in path.read_text().splitlines()[1:]
    ]
    if not listening:
        pytest.skip("no /proc/net on this system")
    places = {
        row[1].split(":")[0] for row in listening if row[3] == "0A" and int(row[1].split(":")[1], 16) == port
    }
    assert places and places <= {"0100007F", "00000000000000000000000001000000"}, places  # 127.0.0.1 and ::1
