"""What people install: the wheel in a clean environment, and the README's first command."""

import os
import re
import shutil
import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path

import pytest

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parent.parent
LEFT_OUT = shutil.ignore_patterns(".git", ".venv", ".*_cache", "__pycache__", "dist", "build")
PAGES_DAY = "2027-08-15"


def _run(*command: str | Path, cwd: Path) -> str:
    """Run a command without anything of this project in its environment."""
    own = ("PYTHONPATH", "VIRTUAL_ENV", "PYTHONHOME")
    environment = {key: value for key, value in os.environ.items() if key not in own}
    words = [str(word) for word in command]
    done = subprocess.run(
        words, cwd=cwd, env=environment, capture_output=True, text=True, check=False, timeout=1800
    )
    assert done.returncode == 0, f"{' '.join(words)}\n{done.stdout}\n{done.stderr}"
    return done.stdout


@pytest.fixture(scope="module")
def clone(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The project as somebody else would have it, without what was made here."""
    folder = tmp_path_factory.mktemp("clone") / "waterkit"
    shutil.copytree(ROOT, folder, ignore=LEFT_OUT)
    return folder


@pytest.fixture(scope="module")
def wheel(clone: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    _run(sys.executable, "-m", "build", "--wheel", "--outdir", folder, clone, cwd=folder)
    (path,) = folder.glob("*.whl")
    return path


@pytest.fixture(scope="module")
def program(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """``waterkit`` from the wheel, in an environment that holds nothing else."""
    environment = tmp_path_factory.mktemp("clean") / "venv"
    _run(sys.executable, "-m", "venv", environment, cwd=wheel.parent)
    constraints = ROOT / "constraints.txt"
    binaries = environment / "bin"
    _run(binaries / "pip", "install", "-q", "-c", constraints, wheel, cwd=wheel.parent)
    return binaries / "waterkit"


def test_the_wheel_holds_what_the_program_needs(wheel: Path) -> None:
    packed = set(zipfile.ZipFile(wheel).namelist())
    needed = {
        path.relative_to(ROOT).as_posix()
        for path in (ROOT / "waterkit").rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }
    assert {"waterkit/py.typed", "waterkit/units.txt", "waterkit/club/demo/club.toml"} <= needed
    assert any(name.startswith("waterkit/pages/templates/") for name in needed)
    assert needed <= packed
    strangers = {name.partition("/")[0] for name in packed} - {"waterkit"}
    assert all(re.fullmatch(r"waterkit-[\d.]+\.dist-info", name) for name in strangers)


def test_the_packaged_demo_runs_from_another_folder(program: Path, tmp_path: Path) -> None:
    _run(program, "new", "--demo", "my-club", cwd=tmp_path)
    assert _run(program, "check", "my-club", cwd=tmp_path) == ""
    _run(program, "report", "my-club", "-o", "out", "--as-of", PAGES_DAY, cwd=tmp_path)
    made = {path.name: path.read_bytes() for path in (tmp_path / "out").iterdir()}
    kept = {path.name: path.read_bytes() for path in (ROOT / "reports" / "demo-club").iterdir()}
    assert sorted(made) == sorted(kept)
    assert made == kept


def test_every_answer_command_answers_as_json(program: Path, tmp_path: Path) -> None:
    _run(program, "new", "--demo", "my-club", cwd=tmp_path)
    for command in ("water", "layers", "paint", "pebble", "resin", "season", "buy"):
        printed = _run(program, command, "my-club", "--json", "--as-of", PAGES_DAY, cwd=tmp_path)
        assert printed.startswith("{")


def test_the_readmes_first_command_makes_the_pages(clone: Path) -> None:
    shutil.rmtree(clone / "reports")
    command, _ = re.findall(r"^```sh\n(.*?)\n```$", (clone / "README.md").read_text(), re.MULTILINE)
    _run("/bin/sh", "-c", command, cwd=clone)
    made = sorted(path.name for path in (clone / "reports" / "demo-club").iterdir())
    assert made == sorted(path.name for path in (ROOT / "reports" / "demo-club").iterdir())


def test_the_source_distribution_builds_the_same_version(clone: Path, tmp_path: Path) -> None:
    _run(sys.executable, "-m", "build", "--sdist", "--outdir", tmp_path, clone, cwd=tmp_path)
    (path,) = tmp_path.glob("*.tar.gz")
    init = (ROOT / "waterkit" / "__init__.py").read_text("utf-8")
    (version,) = re.findall(r'^__version__ = "(.*)"$', init, re.MULTILINE)
    assert path.name == f"waterkit-{version}.tar.gz"


def test_every_dependency_is_pinned() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    wanted = [*project["dependencies"], *project["optional-dependencies"]["test"]]
    names = {re.split(r"[><=;\s]", entry)[0].lower() for entry in wanted}
    pinned = {
        line.partition("==")[0].lower().replace("_", "-")
        for line in (ROOT / "constraints.txt").read_text("utf-8").splitlines()
        if line and not line.startswith("#")
    }
    assert names <= pinned
