"""A folder opened and saved by a spreadsheet program, as a club does it, is the same club.

LibreOffice reads the demo's tables as English text, keeps them as its own documents, and saves them
as CSV under a German and an English system.
"""

import dataclasses
import os
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from waterkit.club import inspect_club, read_club
from waterkit.club.demo_folder import write_demo
from waterkit.club.schema import Club

pytestmark = pytest.mark.slow

PARTED_BY = {"comma": 44, "semicolon": 59, "tab": 9}
AS_ENGLISH = "CSV:44,34,76,1,,1033,false,true"
"""Commas, double quotes, UTF-8, from line 1, numbers as in English, quoted cells too."""
AS_TEXT = "CSV:44,34,76,1,{columns},1033,false,false"
TO_CSV = "csv:Text - txt - csv (StarCalc):{mark},34,76,1,,0,false,true"
SETTINGS = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Setup/L10N">
<prop oor:name="ooSetupSystemLocale" oor:op="fuse"><value>{locale}</value></prop>
</item>
</oor:items>
"""

Convert = Callable[..., None]


@pytest.fixture(scope="module", params=["de-DE", "en-US"])
def locale(request: pytest.FixtureRequest) -> str:
    """Language and region of the system."""
    return str(request.param)


@pytest.fixture(scope="module")
def convert(locale: str, tmp_path_factory: pytest.TempPathFactory) -> Convert:
    """Run the office without a window; skipped where there is none.

    With ``WATERKIT_OFFICE=required`` in the environment a missing office fails instead.
    """
    program = shutil.which("soffice")
    if program is None:
        if os.environ.get("WATERKIT_OFFICE") == "required":
            pytest.fail("no office: soffice is not on the path")
        pytest.skip("no office: soffice is not on the path")
    user = tmp_path_factory.mktemp("profile")
    settings = user / "user" / "registrymodifications.xcu"
    settings.parent.mkdir()
    settings.write_text(SETTINGS.format(locale=locale), encoding="utf-8")

    def run(files: list[Path], to: str, folder: Path, *options: str) -> None:
        command = [program, f"-env:UserInstallation={user.as_uri()}", "--headless", *options]
        command += ["--convert-to", to, "--outdir", str(folder), *map(str, files)]
        subprocess.run(command, check=True, capture_output=True, timeout=180)

    return run


@pytest.fixture(scope="module")
def tables(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    """The demo's tables."""
    folder = tmp_path_factory.mktemp("demo")
    return sorted(path for path in write_demo(folder) if path.suffix == ".csv")


@pytest.fixture(scope="module")
def documents(
    convert: Convert, tables: list[Path], tmp_path_factory: pytest.TempPathFactory
) -> list[Path]:
    """The demo's tables as documents of the office, numbers and dates recognised."""
    folder = tmp_path_factory.mktemp("documents")
    convert(tables, "ods", folder, f"--infilter={AS_ENGLISH}")
    return sorted(folder.iterdir())


def saved_as_on_windows(files: list[Path]) -> None:
    """A byte order mark and line ends of two characters, as the office writes them there."""
    for path in files:
        text = path.read_bytes().replace(b"\r\n", b"\n").replace(b"\n", b"\r\n")
        path.write_bytes(b"\xef\xbb\xbf" + text.removeprefix(b"\xef\xbb\xbf"))


def same(club: Club, other: Club) -> bool:
    """Whether two folders say the same."""
    return club == dataclasses.replace(other, folder=club.folder)


@pytest.mark.parametrize("mark", ["semicolon", "tab"])
def test_saved_with_semicolons_or_tabs(
    convert: Convert, documents: list[Path], locale: str, mark: str, tmp_path: Path
) -> None:
    demo = read_club(write_demo(tmp_path / "club")[0].parent)
    convert(documents, TO_CSV.format(mark=PARTED_BY[mark]), tmp_path / "club")
    files = sorted((tmp_path / "club").glob("*.csv"))
    assert len(files) == len(documents)
    saved_as_on_windows(files)
    layers = (tmp_path / "club" / "layers.csv").read_text(encoding="utf-8")
    assert ("0,065" in layers) == (locale == "de-DE")
    assert same(demo, read_club(tmp_path / "club"))


def test_saved_with_commas(
    convert: Convert, tables: list[Path], documents: list[Path], locale: str, tmp_path: Path
) -> None:
    """A German system writes decimal commas even there, unless the cells are kept as text."""
    demo = read_club(write_demo(tmp_path / "club")[0].parent)
    if locale == "de-DE":
        columns = "/".join(f"{number}/2" for number in range(1, 31))
        convert(tables, "ods", tmp_path, f"--infilter={AS_TEXT.format(columns=columns)}")
        documents = sorted(tmp_path.glob("*.ods"))
    convert(documents, TO_CSV.format(mark=PARTED_BY["comma"]), tmp_path / "club")
    saved_as_on_windows(sorted((tmp_path / "club").glob("*.csv")))
    assert same(demo, read_club(tmp_path / "club"))


@pytest.mark.parametrize("locale", ["de-DE"], indirect=True)
def test_decimal_commas_between_commas_are_told(
    convert: Convert, documents: list[Path], tmp_path: Path
) -> None:
    write_demo(tmp_path / "club")
    convert(documents, TO_CSV.format(mark=PARTED_BY["comma"]), tmp_path / "club")
    _, problems = inspect_club(tmp_path / "club")
    assert len(problems) > 20
    assert all("a decimal comma" in problem.message for problem in problems)
