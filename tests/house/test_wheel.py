"""The wheel carries the library and its data, and works from any folder."""

import subprocess
import sys
import sysconfig
import zipfile
from importlib.metadata import PathDistribution
from pathlib import Path

import pytest

REPOSITORY = Path(__file__).parents[2]
PLAN = ("data/rigs/demo_comfortable.toml", "data/routes/short_steep_pass.csv")
pytestmark = pytest.mark.skipif(
    not (REPOSITORY / ".git").exists(), reason="only a checkout tells which files belong to the workbook"
)


def _run(*command, folder: Path) -> str:
    done = subprocess.run(command, cwd=folder, capture_output=True, text=True, timeout=60)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def files() -> list[str]:
    """The workbook's own files, without what a run left behind."""
    git = ("git", "-c", "safe.directory=*", "ls-files", "-z", "--cached", "--others", "--exclude-standard")
    listed = _run(*git, folder=REPOSITORY).split("\0")
    return [name for name in listed if name and (REPOSITORY / name).is_file()]


@pytest.fixture(scope="module")
def wheel(files, tmp_path_factory) -> Path:
    copy = tmp_path_factory.mktemp("checkout")
    for name in files:
        if name.startswith(("towlib/", "data/")) or name in (
            "pyproject.toml",
            "requirements.txt",
        ):
            (copy / name).parent.mkdir(parents=True, exist_ok=True)
            (copy / name).write_bytes((REPOSITORY / name).read_bytes())
    _run(sys.executable, "-m", "build", "--wheel", "--no-isolation", folder=copy)
    (built,) = (copy / "dist").iterdir()
    return built


@pytest.fixture(scope="module")
def python(wheel, tmp_path_factory) -> Path:
    """Python of an environment with the wheel in it; what it depends on is the tests' own."""
    place = tmp_path_factory.mktemp("environment")
    _run(sys.executable, "-m", "venv", "--without-pip", place, folder=place)
    python = place / "bin" / "python"
    pip = (sys.executable, "-m", "pip", "--python", python, "install", "--quiet")
    _run(*pip, "--no-deps", "--no-index", wheel, folder=place)
    ours = _run(python, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))", folder=place).strip()
    dependencies = {sysconfig.get_path(name) for name in ("purelib", "platlib")}
    Path(ours, "dependencies.pth").write_text("\n".join(sorted(dependencies)), encoding="utf-8")
    return python


def test_every_file_is_in_it(files, wheel):
    packed = set(zipfile.ZipFile(wheel).namelist())
    wanted = {name for name in files if name.startswith("towlib/")}
    wanted |= {f"towlib/{name}" for name in files if name.startswith("data/")}
    assert wanted and not wanted - packed


def test_it_asks_for_what_a_reader_needs(python):
    (info,) = python.parents[1].rglob("towlib-*.dist-info")
    lines = (REPOSITORY / "requirements.txt").read_text(encoding="utf-8").splitlines()
    asked = [line.partition(">")[0] for line in lines if line and not line.startswith("#")]
    told = [
        requirement.partition("<")[0].partition(">")[0] for requirement in PathDistribution(info).requires
    ]
    assert sorted(told) == sorted(asked)


def test_a_demo_plan_from_another_folder(python, tmp_path):
    place = _run(python, "-I", "-c", "import towlib; print(towlib.__file__)", folder=tmp_path).strip()
    assert Path(place).is_relative_to(python.parents[1])
    said = _run(python, "-I", "-m", "towlib", *PLAN, "--sheet", "sheet.html", folder=tmp_path)
    assert "Verdict:" in said and "<svg" in (tmp_path / "sheet.html").read_text(encoding="utf-8")


def test_a_demo_that_is_not_there_is_named_as_typed(python, tmp_path):
    command = (python, "-I", "-m", "towlib", "data/rigs/nobody.toml", PLAN[1])
    done = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, timeout=60)
    assert done.returncode == 2 and "nobody.toml" in done.stderr and "Traceback" not in done.stderr


def test_a_file_of_ones_own_comes_first(python, tmp_path):
    own = tmp_path / PLAN[0]
    own.parent.mkdir(parents=True)
    own.write_text("name = 3", encoding="utf-8")
    command = (python, "-I", "-m", "towlib", *PLAN)
    done = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, timeout=60)
    assert done.returncode == 2 and "name" in done.stderr
