"""Folders with the least that a club needs, and what is told about them."""

from collections.abc import Callable
from pathlib import Path

import pytest

from waterkit.club import inspect_club
from waterkit.club.schema import Club

LEAST = """
name = "least"
[rink]
sheets = 2
[season]
first_draw = 2027-10-02
last_draw = 2028-03-26
"""
WATER = "sample,date,analyte,value,unit,as\nwell,2027-06-22,calcium,98,mg/L,\n"

Folder = Callable[..., Path]


@pytest.fixture
def folder(tmp_path: Path) -> Folder:
    """Write a folder: more keys after the least ones, and tables by file stem."""

    def write(club: str = "", **tables: str) -> Path:
        (tmp_path / "club.toml").write_text(LEAST + club, encoding="utf-8")
        for stem, table in ({"water_tests": WATER} | tables).items():
            path = tmp_path / f"{stem.replace('_', '-')}.csv"
            path.write_text(table, encoding="utf-8")
        return tmp_path

    return write


@pytest.fixture
def told(folder: Folder) -> Callable[..., list[str]]:
    """What is told about such a folder, without the cures; each problem must have a cure."""

    def tell(club: str = "", **more: str) -> list[str]:
        _, problems = inspect_club(folder(club, **more))
        assert all(problem.hint for problem in problems)
        return [str(problem) for problem in problems]

    return tell


@pytest.fixture
def good(folder: Folder) -> Callable[..., Club]:
    """The club of such a folder, which must have no problem."""

    def read(club: str = "", **more: str) -> Club:
        found, problems = inspect_club(folder(club, **more))
        assert problems == ()
        assert found is not None
        return found

    return read
