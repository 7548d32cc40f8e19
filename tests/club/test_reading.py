"""The reader as a whole: small folders, every problem told at once, no exception."""

import datetime as dt
import os
import random
from collections.abc import Callable
from pathlib import Path

import pytest

from waterkit.club import inspect_club, read_club
from waterkit.club.demo_folder import demo_files, write_demo
from waterkit.club.reading import MOST_ALIKE
from waterkit.club.schema import Club, Figure
from waterkit.club.text import LONGEST_LINE
from waterkit.errors import InputError, MachineError, Problem, listing
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
    (where / "my notes.csv").write_text("x")
    club, problems = inspect_club(where)
    assert club is not None
    assert club.problems == problems
    assert listing(problems).split("\n") == [
        "layer.csv: warning: no file of this name is read",
        "    did you mean 'layers.csv'?",
        "1 problem: 1 warning",
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


# An error breaks the part that it is about; all other parts are there.


@pytest.fixture
def part(folder: Folder) -> Callable[..., Club]:
    """The club of a folder that holds an error, but not in its head."""

    def read(club: str = "", **more: str) -> Club:
        found, problems = inspect_club(folder(club, **more))
        assert found is not None
        assert found.problems == problems
        return found

    return read


@pytest.mark.parametrize(
    ("club", "tables", "broken"),
    [
        ("[white]\nratio = '0.1 kg/L'\n", {}, "white"),
        ("[white]\nratoi = '0.1 kg/L mix'\n", {}, "white"),
        ("[budget]\nlast_year = '4,200'\n", {}, "budget"),
        ("[[train]]\nkind = 'tanc'\n", {}, "train"),
        ("[[meter]]\nname = 'a'\n[[meter]]\nname = 'a'\n", {}, "meters"),
        ("[limits.flood]\ngood = '30 uS/cm'\n", {}, "limits"),
        ("[pebbel]\nleague = '3 L'\n", {}, "pebble"),
        ("[source]\nblend = { town = '100 %' }\n", {}, "source"),
        ("", {"layers": "step,kind,needs\na,flood,b\nb,flood,a\n"}, "layers"),
        ("", {"offers": "item,supplier,pack size,unit,price\nyarn,shop,1,m,2\n"}, "offers"),
        ("", {"draws": "on,draws\nmon,x\n"}, "draws"),
        ("", {"water_tests": WATER.replace("98", "many")}, "samples"),
        ("", {"readings": "time,point,conductivity [uS/cm]\nnever,tank,1\n"}, "readings"),
    ],
)
def test_one_error_breaks_one_part(
    part: Callable[..., Club], club: str, tables: dict[str, str], broken: str
) -> None:
    found = part(club, **tables)
    assert set(found.broken) == {broken}
    assert found.lacks(broken, "flush")
    assert not found.lacks("flush")
    found.need("flush")
    with pytest.raises(InputError) as caught:
        found.need("flush", broken)
    assert caught.value.problems == found.broken[broken]


def test_a_broken_part_holds_its_default_and_no_figure(part: Callable[..., Club]) -> None:
    found = part("[white]\ntank = '300 L'\nheel = '9'\n[boom]\nnozzles = 9\n")
    assert found.white == type(found.white)()
    assert found.boom.nozzles == 9
    paths = {figure.path for figure in found.figures}
    assert not {path for path in paths if path.startswith("white.")}
    assert "slab.cover" in paths


@pytest.mark.parametrize(
    "club",
    [
        "currency = 'euro'",
        "[files]\ndates = 'ymd'",
        "[rink.x]\ny = 1",
        "[season]\nfirst_draw = 2027-10-02",
        "x = ",
        "[rinc]\nsheets = 3",
    ],
)
def test_without_a_sound_head_there_is_no_club(folder: Folder, club: str) -> None:
    where = folder()
    keys = (where / "club.toml").read_text(encoding="utf-8")
    lines = [club, keys] if "=" in club.partition("\n")[0] else [keys, club]
    (where / "club.toml").write_text("\n".join(lines), encoding="utf-8")
    found, problems = inspect_club(where)
    assert found is None
    assert problems


def test_warnings_break_nothing(part: Callable[..., Club]) -> None:
    items, row = "item,driver,rate,unit\nyarn,sheet,1,m\n", "yarn,3,m\n"
    found = part(items=items, stock=f"item,quantity,unit\n{row}{row}")
    assert found.broken == {}
    assert len(found.stock) == 2
    assert [problem.severity for problem in found.problems] == ["warning"]


@pytest.mark.parametrize("name", ["draws.csv", "club.toml", "readings.csv", "water-tests.csv"])
@pytest.mark.parametrize("fill", [b"a", b"a,", b'"', b"1"])
def test_a_line_of_ten_megabytes_is_told_quickly(name: str, fill: bytes, tmp_path: Path) -> None:
    write_demo(tmp_path / "club")
    with (tmp_path / "club" / name).open("ab") as file:
        file.write(fill * (10_000_000 // len(fill)))
    _, problems = inspect_club(tmp_path / "club")
    told = [problem for problem in problems if problem.file == name]
    assert told
    assert all(problem.hint and len(str(problem)) < 500 for problem in told)
    if name != "readings.csv":
        assert "characters" in told[0].message
        assert told[0].line is not None


def test_a_long_line_is_read_as_long_as_anybody_writes(part: Callable[..., Club]) -> None:
    note = "x" * (LONGEST_LINE - 100)
    table = WATER.replace("as\n", "as,note\n").replace("mg/L,\n", f"mg/L,,{note}\n")
    assert part(water_tests=table).figures[-1].note == note


def test_a_head_of_a_file_that_names_nothing_known_is_told(told: Told) -> None:
    assert told("[zzz]\na = 1\n") == ["club.toml:8: zzz: this key is not known"]


def test_an_unknown_key_near_nothing_breaks_nothing_but_is_an_error(
    part: Callable[..., Club],
) -> None:
    found = part("[zzz]\na = 1\n")
    assert found.broken == {}
    assert isinstance(found.problems[0], Problem)
    assert found.problems[0].severity == "error"


def test_of_many_faults_alike_the_first_are_told_and_the_rest_counted(told: Told) -> None:
    rows = "".join(f"yarn,{number}x,m\n" for number in range(MOST_ALIKE + 100))
    lines = told(
        items="item,driver,rate,unit\nyarn,sheet,1,m\n", stock=f"item,quantity,unit\n{rows}"
    )
    assert len(lines) == MOST_ALIKE + 1
    assert lines[-1].endswith("and 100 more like it")


def test_a_long_chain_of_steps_is_followed_quickly(good: Good) -> None:
    steps = "".join(f"step {number},flood\n" for number in range(5000))
    assert len(good(layers=f"step,kind\n{steps}").layers) == 5000
