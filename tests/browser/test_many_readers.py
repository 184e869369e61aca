"""Many readers on one hub, and a start as hosted notebook services do it.

The tests of a real hub need JupyterHub, its proxy and an administrator's rights, and are skipped without
them; the command that runs them stands in data/workshop/many_readers.md. They make six accounts named
towtest1 to towtest6 on this machine and remove them again.
"""

import ast
import json
import os
import re
import runpy
import shutil
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import nbformat
import pytest
import requests
from traitlets.config import Config

from tests import browser_helpers, hub_helpers
from towlib.errors import InputError
from towlib.rig.store import RigStore
from towlib.teaching.practice import answers

REPOSITORY = Path(__file__).parents[2]
RECIPE, CONFIG = (
    REPOSITORY / "data" / "workshop" / "many_readers.md",
    REPOSITORY / "data" / "workshop" / "jupyterhub_config.py",
)
TEXT = RECIPE.read_text(encoding="utf-8") if RECIPE.exists() else ""
NOTEBOOKS = REPOSITORY / "notebooks"


def commands(name: str) -> str:
    """The commands of the recipe under a mark."""
    return re.search(rf"<!-- recipe: {name} -->\n```\n(.*?)```", TEXT, re.DOTALL).group(1)


def settings(folder: Path) -> Config:
    """What the settings file says when the hub is started in a folder."""
    config, here = Config(), Path.cwd()
    os.chdir(folder)
    try:
        runpy.run_path(str(CONFIG), init_globals={"get_config": lambda: config})
    finally:
        os.chdir(here)
    return config


# --- the text and the settings, always run ---


def test_settings_ask_for_a_password_and_stay_on_this_computer(tmp_path):
    config = settings(tmp_path)
    assert (
        config.JupyterHub.authenticator_class == "pam" and config.JupyterHub.spawner_class == "localprocess"
    )
    assert set(config.PAMAuthenticator) == {"allowed_groups"} and config.PAMAuthenticator.allowed_groups == {
        "readers"
    }
    assert "Authenticator" not in config and "LocalAuthenticator" not in config
    assert config.JupyterHub.bind_url == "http://127.0.0.1:8000" and config.Spawner.ip == "127.0.0.1"
    assert "--KernelManager.transport=ipc" in config.Spawner.args
    assert not any("ssl" in name for name in config.JupyterHub)


def test_other_computers_come_in_only_with_a_certificate_and_its_key(tmp_path):
    (tmp_path / "hub_certificate.pem").touch()
    assert settings(tmp_path).JupyterHub.bind_url == "http://127.0.0.1:8000"
    (tmp_path / "hub_key.pem").touch()
    config = settings(tmp_path).JupyterHub
    assert config.bind_url == "https://:8000"
    assert (config.ssl_cert, config.ssl_key) == (
        str(tmp_path / "hub_certificate.pem"),
        str(tmp_path / "hub_key.pem"),
    )


def test_settings_hold_nothing_home_made():
    tree = ast.parse(CONFIG.read_text(encoding="utf-8"))
    assert not [
        node
        for node in ast.walk(tree)
        if isinstance(node, (ast.ClassDef, ast.FunctionDef, ast.AsyncFunctionDef, ast.Lambda))
    ]


def test_the_recipe_and_the_settings_name_the_same_things(tmp_path):
    config = settings(tmp_path)
    start = re.fullmatch(r"/lab/tree/(.+\.ipynb)", config.Spawner.default_url).group(1)
    assert (REPOSITORY / start).is_file() and Path(start).stem in TEXT
    assert config.Spawner.notebook_dir == "~/workbook" and "/srv/new-reader/workbook" in commands("folders")
    assert "--groups readers" in commands("accounts") and "groupadd --force readers" in commands("folders")
    assert {"hub_key.pem", "hub_certificate.pem"} <= set(re.findall(r"hub_\w+\.pem", commands("certificate")))
    assert "http://127.0.0.1:8000" in TEXT and "https://ADDRESS:8000" in TEXT


def test_an_account_that_is_there_already_keeps_its_password():
    """The loop with stand-ins for the two programs that change accounts."""
    stand_ins = (
        'useradd() { [ "${@: -1}" != reader2 ]; }\nchpasswd() { sed "s/:.*/ got a password/" >&2;'
        " }\nopenssl() { echo secret; }\n"
    )
    done = subprocess.run(
        ["bash", "-euc", stand_ins + commands("accounts")],
        check=True,
        capture_output=True,
        text=True,
        timeout=20,
    )
    assert done.stdout.split() == [word for number in (1, 3, 4, 5) for word in (f"reader{number}", "secret")]
    assert done.stderr.splitlines() == [f"reader{number} got a password" for number in (1, 3, 4, 5)]


def test_the_workbook_is_the_administrators_before_git_copies_it():
    lines = commands("folders").splitlines()
    assert lines.index("chown -R root:root /srv/workbook") < next(
        number for number, line in enumerate(lines) if line.startswith("git clone")
    )


def test_files_named_in_the_recipe_exist():
    named = (
        re.findall(r"/srv/workbook/([\w./-]+\w)", TEXT)
        + re.findall(r"`(data/[\w./-]+\w)`", TEXT)
        + re.findall(r"\b(tests/\w+\.py)", TEXT)
    )
    assert len(named) >= 4
    assert [name for name in named if not (REPOSITORY / name).exists()] == []
    assert [
        name
        for name in re.findall(r"\b(\d\d_\w+?)(?:\.ipynb|`)", TEXT)
        if not (NOTEBOOKS / f"{name}.ipynb").exists()
    ] == []


def test_the_memory_table_says_how_it_was_measured_and_the_rule_holds_for_it():
    part = TEXT.split("## How much memory")[1].split("\n## ")[0]
    assert (
        "proportional set size" in part
        and "smaps_rollup" in part
        and re.search(r"\b20\d\d-\d\d-\d\d\b", part)
    )
    rows = {
        int(cells[0]): [int(cell) for cell in cells[1:4]]
        for cells in re.findall(r"^\| (\d+) \| (\d+) MB \| (\d+) MB \| (\d+) MB \|", part, re.MULTILINE)
    }
    assert set(rows) == {1, 3, 5}
    base, one, more = (
        float(number)
        for number in re.search(
            r"([\d.]+) GB for system and hub, ([\d.]+) GB for each reader with one lesson open, "
            r"and ([\d.]+) GB for each further lesson",
            part,
        ).groups()
    )
    assert max(row[1] for row in rows.values()) <= 1000 * one and max(
        row[2] for row in rows.values()
    ) <= 1000 * (one + 2 * more)
    fits = re.findall(r"^\| (\d+) GB \| (\d+) \| (\d+) \|", part, re.MULTILINE)
    assert len(fits) >= 3
    for size, with_one, with_three in fits:
        assert int(with_one) == int((int(size) - base) / one + 1e-9) and int(with_three) == int(
            (int(size) - base) / (one + 2 * more) + 1e-9
        )


# --- a start as hosted services do it, always run ---


@pytest.fixture(scope="module")
def checkout(tmp_path_factory):
    """The repository as a service lays it out, without what this reader has written."""
    folder = tmp_path_factory.mktemp("service") / "workbook"
    for part in ("notebooks", "towlib", "data"):
        shutil.copytree(
            REPOSITORY / part,
            folder / part,
            ignore=shutil.ignore_patterns("__pycache__", "my_*", ".my_*", ".ipynb_checkpoints"),
        )
    return folder


def _cell(name: str, part: str) -> str:
    """The first cell with a tag."""
    cells = nbformat.read(NOTEBOOKS / f"{name}.ipynb", as_version=4).cells
    return next(cell.source for cell in cells if part in cell.metadata.get("tags", []))


def _setup_and_first_panel() -> str:
    return "\n\n".join(_cell("00_start_here", part) for part in ("setup", "panel"))


def test_a_service_that_shows_the_top_folder_runs_a_lesson(checkout, tmp_path):
    """JupyterLab with the top folder as its root, an address prefix and a token; an installed copy of towlib
    must not hide this one.
    """
    installed = tmp_path / "site" / "towlib"
    installed.mkdir(parents=True)
    (installed / "__init__.py").write_text(
        "raise RuntimeError('the installed copy, which has no data beside it')\n", encoding="utf-8"
    )
    port, token = hub_helpers.free_port(), "a-token-of-this-test"
    environment = {key: value for key, value in os.environ.items() if key != "TOWLIB_READER_FOLDER"}
    environment |= {"PYTHONPATH": str(installed.parent), **hub_helpers.private_folders(tmp_path)}
    with (tmp_path / "lab.log").open("w") as log:
        lab = subprocess.Popen(
            [
                sys.executable,
                "-m",
                "jupyterlab",
                "--no-browser",
                "--allow-root",
                "--ip=127.0.0.1",
                f"--port={port}",
                "--ServerApp.base_url=/user/somebody/",
                f"--IdentityProvider.token={token}",
                "--ServerApp.port_retries=0",
            ],
            cwd=checkout,
            env=environment,
            stdout=log,
            stderr=log,
        )
    try:
        reader = hub_helpers.Visitor(f"http://127.0.0.1:{port}/user/somebody", token)
        reader.wait(lab, tmp_path / "lab.log")
        assert requests.get(f"{reader.base}/api/contents", timeout=10).status_code == 403
        kernel = reader.kernel("00_start_here")
        kernel.run(_setup_and_first_panel())
        assert kernel.run("import towlib; print(towlib.__file__)").strip() == str(
            checkout / "towlib" / "__init__.py"
        )
        number, state = kernel.sliders()[0]
        assert kernel.move(number, state["max"])[1], "the slider moved and no new picture came"
        assert (
            kernel.run(
                "from towlib.rig.store import RigStore\nprint(repr(RigStore().put('tow_vehicle.gvwr', '3190"
                " kg')))"
            ).strip()
            == "''"
        )
        assert "3190 kg" in (checkout / "notebooks" / "my_rig.toml").read_text(encoding="utf-8")
    finally:
        lab.terminate()
        lab.wait(20)


def test_a_kernel_started_in_the_top_folder_finds_the_workbook(checkout):
    """Jupyter starts a kernel in the notebook's folder; a few programs that run notebooks start it where they
    were started themselves.
    """
    found = subprocess.run(
        [sys.executable, "-c", _cell("00_start_here", "setup")],
        cwd=checkout,
        check=False,
        capture_output=True,
        text=True,
        timeout=60,
    )
    assert found.returncode == 0 and found.stdout.startswith("Ready: "), found.stderr


def _as_ordinary_account(action):
    """Do something without an administrator's right to write everywhere."""
    if os.geteuid() != 0:
        return action()
    os.seteuid(65534)
    try:
        return action()
    finally:
        os.seteuid(0)


def test_a_folder_that_cannot_be_written_is_said_plainly_and_loses_nothing(monkeypatch):
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        monkeypatch.setenv("TOWLIB_READER_FOLDER", folder)
        assert RigStore().put("tow_vehicle.gvwr", "3190 kg") == "" and answers.remember(
            "01.predict-1", "less"
        ).startswith("Kept")
        before = {path.name: path.read_bytes() for path in place.iterdir()}
        for path in place.iterdir():
            path.chmod(0o444)
        place.chmod(0o555)

        def write():
            with pytest.raises(InputError) as said:
                RigStore().put("tow_vehicle.gvwr", "3300 kg")
            return str(said.value), answers.remember("01.predict-1", "more")

        try:
            said, kept = _as_ordinary_account(write)
        finally:
            place.chmod(0o755)
        assert "a place that cannot be written" in said and "a folder with room that you may write to" in said
        assert kept.startswith("Not kept")
        assert RigStore().text("tow_vehicle.gvwr") == "3190 kg" and answers.recall("01.predict-1") == "less"
        assert {path.name: path.read_bytes() for path in place.iterdir()} == before


# --- a real hub, skipped where it cannot be ---

NAMES = [f"towtest{number}" for number in range(1, 6)]
needs_hub = pytest.mark.skipif(bool(hub_helpers.why_no_hub()), reason=hub_helpers.why_no_hub())


def at_once(action, readers):
    """Do the same for all readers at the same time; the first failure is raised."""
    with ThreadPoolExecutor(len(readers)) as pool:
        return list(pool.map(action, readers))


def on_this_machine(words: str, srv: Path) -> str:
    """Commands of the recipe with this test's folders and accounts."""
    return (
        re.sub(r"\breader([1-5])\b", r"towtest\1", words)
        .replace("/srv/hub/", f"{sys.prefix}/")
        .replace("/srv/", f"{srv}/")
    )


def shell(words: str) -> str:
    return subprocess.run(
        ["bash", "-euc", words], check=True, capture_output=True, text=True, timeout=120
    ).stdout


def _has_group(name: str) -> bool:
    return subprocess.run(["getent", "group", name], check=False, capture_output=True).returncode == 0


def _publish(place: Path) -> None:
    """The repository as it stands here, committed, where the recipe wants it."""
    listed = subprocess.run(
        ["git", "ls-files", "-co", "--exclude-standard"],
        cwd=REPOSITORY,
        check=True,
        capture_output=True,
        text=True,
    ).stdout
    for name in filter(lambda name: (REPOSITORY / name).is_file(), listed.splitlines()):
        (place / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(REPOSITORY / name, place / name)
    shell(
        f"cd {place} && git init -q && git add -A && git -c user.name=test -c user.email=test@example.org"
        " commit -qm workbook"
    )


@pytest.fixture(scope="module")
def club():
    """The recipe, carried out; yields the hub, the readers and the folder that stands for /srv."""
    srv, group_was_there = Path(tempfile.mkdtemp(prefix="towtest-")), _has_group("readers")
    srv.chmod(0o755)
    hub, made = None, (*NAMES, "towtest6")
    for name in made:
        assert subprocess.run(["getent", "passwd", name], check=False, capture_output=True).returncode, (
            f"there is an account {name} here already: remove it with userdel -r {name}"
        )
    try:
        _publish(srv / "workbook")
        shell(on_this_machine(commands("folders"), srv))
        printed = shell(on_this_machine(commands("accounts"), srv))
        passwords = dict(line.split() for line in printed.splitlines())
        assert list(passwords) == NAMES
        shell(
            "useradd --no-create-home --shell /usr/sbin/nologin towtest6 && echo towtest6:known-password |"
            " chpasswd"
        )
        hub = hub_helpers.Hub(on_this_machine(commands("start"), srv), srv / "hub-state")
        hub.start()
        yield hub, [hub_helpers.Reader(hub, name, password) for name, password in passwords.items()], srv
    finally:
        if hub:
            hub.stop()
        for name in made:
            subprocess.run(["userdel", "-rf", name], check=False, capture_output=True)
        if not group_was_there:
            subprocess.run(["groupdel", "readers"], check=False, capture_output=True)
        shutil.rmtree(srv, ignore_errors=True)


@needs_hub
def test_nobody_gets_in_without_signing_in(club):
    hub, readers, _ = club
    for path in ("/hub/home", "/hub/spawn", "/user/towtest1/lab", "/hub/admin"):
        answer = requests.get(hub.address + path, timeout=30)
        assert "/hub/login" in answer.url and 'name="password"' in answer.text, path
    assert requests.get(f"{hub.address}/hub/api/users", timeout=30).status_code == 403
    assert readers[0].sign_in("a wrong password").status_code == 403
    assert readers[0].sign_in("").status_code == 403
    assert "/hub/login" in readers[0].web.get(f"{hub.address}/hub/home", timeout=30).url
    stranger = hub_helpers.Reader(hub, "towtest6", "known-password")  # a right password, but not of the group
    assert stranger.sign_in().status_code == 403
    assert hub_helpers.Reader(hub, "root", "root").sign_in().status_code == 403


@needs_hub
def test_five_readers_at_once_each_keep_their_own(club):
    _, readers, _ = club

    def work(reader):
        assert reader.sign_in().status_code == 302
        took = reader.start_server()
        kernel = reader.kernel("00_start_here")
        kernel.run(_setup_and_first_panel())
        said = kernel.run(
            "from towlib.rig.store import RigStore\nprint(repr(RigStore().put('tow_vehicle.gvwr',"
            f" '{3000 + int(reader.name[-1])} kg')))"
        )
        number, state = kernel.sliders()[0]
        assert kernel.move(number, state["max"])[1], "the slider moved and no new picture came"
        reader.lesson = reader.kernel("05_brake_heat")
        reader.lesson.run_lesson()
        return took, said.strip()

    print(
        "seconds from signing in to the page, five at once:",
        [round(took, 1) for took, said in at_once(work, readers) if said == "''"],
    )
    for reader in readers:
        own = reader.home() / "workbook/notebooks/my_rig.toml"
        assert (
            f"30{int(reader.name[-1]):02d} kg" in own.read_text(encoding="utf-8")
            and own.owner() == reader.name
        )
        assert reader.home().stat().st_mode & 0o777 == 0o700


@needs_hub
def test_no_reader_gets_at_another_ones_server_or_files(club):
    _, (one, two, *_), srv = club
    assert one.web.get(f"{two.base}/api/contents/notebooks/my_rig.toml", timeout=30).status_code in (401, 403)
    page = one.web.get(f"{two.base}/lab", timeout=30)
    assert page.status_code in (401, 403) and "3002" not in page.text
    for reader in (one, two):
        assert reader.listening() and all(place.startswith("127.0.0.1:") for place in reader.listening())
        connections = [
            json.loads(path.read_text())
            for path in (reader.home() / ".local/share/jupyter/runtime").glob("kernel-*.json")
        ]
        assert len(connections) == 2 and {
            (one["transport"], one["ip"].startswith(f"{reader.home()}/")) for one in connections
        } == {("ipc", True)}
    tried = one.lesson.run(f"""
import urllib.request, urllib.error
for path in ("{two.home()}/workbook/notebooks/my_rig.toml", "{two.home()}", "{srv}/hub-state/jupyterhub.sqlite", "{srv}/hub-state/jupyterhub_cookie_secret"):
    try:
        print(open(path).read() if "." in path else __import__("os").listdir(path))
    except PermissionError:
        print("refused")
try:
    with open("{srv}/workbook/notebooks/00_start_here.ipynb", "a"):
        print("opened")
except PermissionError:
    print("refused")
try:
    print(urllib.request.urlopen("http://127.0.0.1:{two.port()}/user/towtest2/api/contents").read())
except urllib.error.HTTPError as error:
    print("refused" if error.code == 403 else error.code)
""")  # noqa: E501
    assert tried.split() == ["refused"] * 6


@needs_hub
def test_memory_of_five_readers_is_as_the_recipe_says(club):
    _, readers, _ = club
    sizes = [sum(size for _, size in reader.processes().values()) for reader in readers]
    further = sum(size for words, size in readers[0].processes().values() if "ipykernel" in words) / 2
    print(
        "MB for each reader with two lessons open:",
        [round(size) for size in sizes],
        "of it for a kernel:",
        round(further),
    )
    one, more = (
        1000 * float(number)
        for number in re.search(
            r"([\d.]+) GB for each reader with one lesson open, and ([\d.]+) GB", TEXT
        ).groups()
    )
    assert 0.5 * (one + more) < max(sizes) <= one + more


@needs_hub
def test_sliders_of_five_readers_moving_at_once(club):
    _, readers, _ = club

    def move(reader):
        number, state = reader.lesson.sliders()[0]
        steps = [state["min"] + (state["max"] - state["min"]) * (7 * turn % 40) / 40 for turn in range(40)]
        answers_ms = [reader.lesson.move(number, value) for value in steps]
        assert sum(picture for _, picture in answers_ms) >= 38, "moves without a new picture"
        return [ms for ms, _ in answers_ms]

    all_ms = sorted(ms for one in at_once(move, readers) for ms in one)
    print(
        f"five readers moving at once: median {all_ms[len(all_ms) // 2]:.0f} ms, 95th percentile"
        f" {all_ms[int(0.95 * len(all_ms))]:.0f} ms"
    )


@needs_hub
def test_saving_changes_the_readers_copy_and_nothing_else(club):
    _, (reader, *_), srv = club
    where = f"{reader.base}/api/contents/notebooks/05_brake_heat.ipynb"
    notebook = reader.web.get(where, timeout=30).json()
    notebook["content"]["cells"][0]["source"] += "\n\nA note of mine."
    reader.web.put(
        where, json={"type": "notebook", "content": notebook["content"]}, headers=reader.headers(), timeout=30
    ).raise_for_status()
    assert "A note of mine." in (reader.home() / "workbook/notebooks/05_brake_heat.ipynb").read_text(
        encoding="utf-8"
    )
    assert shell(f"git -C {srv}/workbook status --porcelain") == ""
    reader.lesson.run("%%bash\ngit checkout 05_brake_heat.ipynb")  # as the recipe says for a spoiled notebook
    assert "A note of mine." not in (reader.home() / "workbook/notebooks/05_brake_heat.ipynb").read_text(
        encoding="utf-8"
    )


@needs_hub
def test_a_folder_shared_read_only_runs_but_keeps_nothing(club):
    """Why the recipe gives each reader a copy."""
    _, readers, srv = club
    reader, copy = readers[4], readers[4].home() / "workbook"
    shell(f"mv {copy} {copy}.own && cp -r {srv}/new-reader/workbook {copy} && chmod -R a-w,a+rX {copy}")
    try:
        kernel = reader.kernel("05_brake_heat")
        kernel.run_lesson()
        keep = "from towlib.teaching.practice import answers\nprint(answers.remember('05.predict-1', 'more'))"
        assert kernel.run(keep).startswith("Not kept")
        where = f"{reader.base}/api/contents/notebooks/05_brake_heat.ipynb"
        content = reader.web.get(where, timeout=30).json()["content"]
        assert (
            reader.web.put(
                where, json={"type": "notebook", "content": content}, headers=reader.headers(), timeout=30
            ).status_code
            >= 400
        )
    finally:
        shell(f"rm -r {copy} && mv {copy}.own {copy}")


@needs_hub
@pytest.mark.skipif(
    browser_helpers.CHROMIUM is None,
    reason="no Chromium on this machine: install Debian's package 'chromium'",
)
def test_one_reader_in_a_browser_from_the_sign_in_page_to_a_moved_slider(club):
    hub, readers, srv = club
    reader = readers[2]
    with browser_helpers.browser_page() as (page, _):
        page.goto(hub.address)
        page.fill("input[name=username]", reader.name)
        page.fill("input[name=password]", reader.password)
        page.screenshot(path=srv / "sign_in.png")
        page.click("#login_submit")
        page.wait_for_url("**/lab/tree/notebooks/00_start_here.ipynb", timeout=90_000)
        browser_helpers.open_and_run_all(page, page.url)
        found = browser_helpers.panel(page)
        before = browser_helpers.sentence(found), browser_helpers.picture_source(found)
        browser_helpers.press(page, found, "carried-tow-mass", "PageDown", times=15)
        assert (
            browser_helpers.sentence(found) != before[0]
            and browser_helpers.picture_source(found) != before[1]
        )
        page.screenshot(path=srv / "moved.png")
        assert page.locator("text=Jupyter news").count() == 0
        assert page.locator("text=Traceback").count() == 0
    if os.environ.get("TOWLIB_KEEP_SCREENSHOTS"):
        for name in ("sign_in.png", "moved.png"):
            shutil.copy(srv / name, os.environ["TOWLIB_KEEP_SCREENSHOTS"])


@needs_hub
@pytest.mark.filterwarnings("ignore:Unverified HTTPS request")
def test_after_a_restart_over_an_encrypted_connection_the_files_are_there(club):
    hub, readers, srv = club
    shell(on_this_machine(commands("backup"), srv))
    kept = shell(f"tar -tzf {srv}/hub-state/readers.tar.gz")
    assert [name for name in NAMES if f"{name}/workbook/notebooks/my_rig.toml" not in kept] == []
    hub.stop()
    assert readers[0].processes() == {}
    assert "Fingerprint=" in shell(on_this_machine(commands("certificate"), srv))
    assert (srv / "hub-state" / "hub_key.pem").stat().st_mode & 0o077 == 0
    hub.address = hub.address.replace("http:", "https:")
    hub.start()
    with pytest.raises(requests.ConnectionError):
        requests.get(hub.address.replace("https:", "http:"), timeout=10)
    again = [hub_helpers.Reader(hub, reader.name, reader.password) for reader in readers[:2]]

    def look(reader):
        assert reader.sign_in().status_code == 302
        reader.start_server()
        kernel = reader.kernel("00_start_here")
        kernel.run("import setup_notebook\nfrom towlib.rig.store import RigStore")
        return kernel.run("print(RigStore().text('tow_vehicle.gvwr'))").strip()

    assert at_once(look, again) == ["3001 kg", "3002 kg"]
