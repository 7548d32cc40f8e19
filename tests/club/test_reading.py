"""The reader as a whole: small folders, every problem told at once, no exception."""

import datetime as dt
import os
import random
from collections.abc import Callable
from pathlib import Path

import pytest

from waterkit.club import inspect_club, read_club
from waterkit.club.demo_folder import demo_files
from waterkit.club.schema import Club, Figure
from waterkit.errors import InputError, MachineError, listing
from waterkit.water.limits import COMMON_LIMITS

Told = Callable[..., list[str]]
Good = Callable[..., Club]
Folder = Callable[..., Path]
WATER = "sample,date,analyte,value,unit,as\nwell,2027-06-22,calcium,98,mg/L,\n"


def figure(club: Club, path: str) -> Figure:
    """The one figure of that path."""
    (found,) = [figure for figure in club.figures if figure.path == path]
    return found


def test_two_files_are_enough(good: Good) -> None:
    club = good()
    assert club.rink.sheets == 2
    assert club.vessels == ()
    assert club.limits == COMMON_LIMITS
    assert figure(club, "rink.sheet_length") == Figure("rink.sheet_length", 45.72, "m", "assumed")


def test_windows_line_ends_mark_and_trailing_columns_are_read(good: Good, folder: Folder) -> None:
    where = folder()
    text = "sample,date,analyte,value,unit,as,,\nwell,22.6.2027,calcium,98,mg/L,,,\n\n"
    (where / "water-tests.csv").write_bytes(b"\xef\xbb\xbf" + text.replace("\n", "\r\n").encode())
    keys = (where / "club.toml").read_bytes()
    (where / "club.toml").write_bytes(keys.replace(b"\n", b"\r\n"))
    assert read_club(where).samples[0].date == dt.date(2027, 6, 22)


def test_all_problems_come_at_once_sorted_by_file_and_line(told: Told, folder: Folder) -> None:
    lines = told(
        "[slab]\ncover = 25\nthicknes = '1 m'\n",
        stock="item,quantity,unit\nyarn,two,m\nyarn,3,m\n",
        water_tests=WATER + "well,2027-02-30,magnesium,1,mg/L,\n",
    )
    assert lines == [
        "club.toml:9: slab.cover: 25 has no unit",
        "club.toml:10: slab.thicknes: this key is not known",
        "stock.csv:2: quantity: 'two' is not a number",
        "stock.csv:3: item: 'yarn' is not in items.csv",
        "water-tests.csv:3: date: there is no date 2027-02-30",
    ]


def test_reading_raises_all_problems_together(folder: Folder) -> None:
    with pytest.raises(InputError) as caught:
        read_club(folder("[slab]\ncover = 25\nthickness = 3\n"))
    assert len(caught.value.problems) == 2


def test_files_that_are_not_read_are_warned_about(folder: Folder) -> None:
    where = folder()
    (where / "layer.csv").write_text("x")
    (where / "readings.csv").write_text("x")
    (where / "my notes.csv").write_text("x")
    club, problems = inspect_club(where)
    assert club is not None
    assert club.problems == problems
    assert listing(problems).split("\n") == [
        "layer.csv: warning: no file of this name is read",
        "    did you mean 'layers.csv'?",
        "readings.csv: warning: this version does not read this file yet",
        "    it may stay where it is",
        "2 problems: 2 warnings",
    ]


def test_folders_and_files_that_are_not_there(tmp_path: Path) -> None:
    assert "there is no such folder" in str(inspect_club(tmp_path / "nowhere")[1][0])
    assert [str(problem) for problem in inspect_club(tmp_path)[1]] == [
        "club.toml: the file is missing",
        "water-tests.csv: the file is missing",
    ]
    (tmp_path / "club.toml").mkdir()
    assert str(inspect_club(tmp_path)[1][0]) == "club.toml: is a folder, not a file"


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root reads anything")
def test_a_file_that_the_machine_keeps_back(folder: Folder) -> None:
    where = folder()
    (where / "club.toml").chmod(0)
    with pytest.raises(MachineError):
        inspect_club(where)


@pytest.mark.parametrize("data", [b"\xff\xfen\0a\0", b"name = '\xe9t\xe9'", b"\0\0\0"])
def test_text_that_is_not_utf_8(folder: Folder, data: bytes) -> None:
    where = folder()
    (where / "club.toml").write_bytes(data)
    (problem,) = inspect_club(where)[1]
    assert problem.file == "club.toml"
    assert "UTF-8" in problem.hint


def test_mangled_folders_never_raise(tmp_path: Path) -> None:
    """Bytes put in, taken out and swapped: problems may come, exceptions may not."""
    dice = random.Random(2027)  # noqa: S311 - nothing secret
    bits = [*b'" , [ ] { = nan 1e999 [[train]]'.split(), b"\n", b"\xff", b"\0"]
    files = demo_files()
    for _ in range(60):
        for name, content in files.items():
            (tmp_path / name).write_bytes(content)
        name = dice.choice([name for name in files if name != "README.md"])
        data = bytearray(files[name])
        for _ in range(3):
            place = dice.randrange(len(data))
            data[place : place + dice.choice([0, 0, 1, 9])] = dice.choice(bits)
        (tmp_path / name).write_bytes(bytes(data))
        _, problems = inspect_club(tmp_path)
        assert all(problem.message and problem.hint for problem in problems)
