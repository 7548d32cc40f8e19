"""``waterkit log``: rows from options and from lines, told where they stand."""

import dataclasses
import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from waterkit.cli import main
from waterkit.cli.log import log
from waterkit.club.books import BOOKS
from waterkit.club.log import append_row
from waterkit.club.models import slots_of
from waterkit.club.readings import read_readings

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "data" / "demo-club"
READING = ("--point", "tank", "--conductivity", "1.3 uS/cm", "--time", "2027-10-02T18:45")
LINES = "time,point,conductivity [uS/cm]\n2027-10-03T08:00,tank,1.4\n\ndate,what,value,unit\n"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A copy of the demo."""
    return Path(shutil.copytree(DEMO, tmp_path / "club"))


def run(*arguments: str | Path, stdin: str = "") -> Result:
    return CliRunner().invoke(main, ["log", *map(str, arguments)], input=stdin)


@pytest.mark.parametrize("kind", BOOKS)
def test_every_column_has_its_option(kind: str) -> None:
    options = {parameter.name for parameter in log.commands[kind].params}
    keys = set(slots_of(BOOKS[kind].record))  # type: ignore[index]
    left_to_others = {"received_on"} if kind == "order" else {"unit"} if kind == "check" else set()
    assert keys - left_to_others == options - {"folder", "as_json"}


@pytest.mark.parametrize("name", log.commands)
def test_every_subcommand_has_help_with_an_example(name: str) -> None:
    result = run(name, "--help")
    assert result.exit_code == 0
    assert "Example:\n    waterkit log" in result.output


def test_a_reading_is_written_once(folder: Path) -> None:
    first, second = run("reading", folder, *READING), run("reading", folder, *READING)
    assert (first.exit_code, second.exit_code) == (0, 0)
    assert first.stdout == f"{folder / 'readings.csv'}:2: written\n"
    assert second.stdout == (
        f"{folder / 'readings.csv'}:2: stands there already, not written again\n"
    )


def test_json(folder: Path) -> None:
    result = run("reading", folder, *READING, "--json")
    row = {"file": "readings.csv", "line": 2, "duplicate": False}
    assert json.loads(result.stdout) == {"rows": [row], "problems": []}
    wrong = run("reading", folder, "--point", "tnk", "--conductivity", "1.3 uS/cm", "--json")
    assert wrong.exit_code == 2
    (problem,) = json.loads(wrong.stdout)["problems"]
    assert (problem["field"], problem["hint"]) == ("point", "did you mean 'tank'?")


def test_the_time_is_now_if_left_out(folder: Path) -> None:
    assert run("reading", folder, *READING[:4]).exit_code == 0
    readings, told = read_readings(folder, "Europe/Berlin")
    assert told == ()
    assert readings is not None
    assert readings.time[0].astype(int) > 1_700_000_000


@pytest.mark.parametrize(
    "arguments",
    [
        ("changeout", "--position", "lead", "--vessel-out", "vessel 1", "--vessel-in", "vessel 2"),
        ("check", "--what", "ice thickness", "--value", "31 mm"),
        ("order", "--item", "resin exchange", "--supplier", "resin service", "--packs", "2",
         "--price", "428.00"),
        ("bill", "--season", "2027-28", "--item", "resin exchange", "--amount", "509.32"),
    ],
)  # fmt: skip
def test_the_other_kinds_are_written(folder: Path, arguments: tuple[str, ...]) -> None:
    command, *options = arguments
    result = run(command, folder, *options)
    assert result.exit_code == 0, result.output
    assert result.stdout.endswith(":2: written\n")
    assert CliRunner().invoke(main, ["check", str(folder)]).exit_code == 0


def test_wrong_values_are_wrong_usage_and_told_all_at_once(folder: Path) -> None:
    result = run("reading", folder, "--point", "tnk", "--conductivity", "1.3")
    assert result.exit_code == 2
    assert result.stdout == ""
    assert "readings.csv: conductivity: '1.3' has no unit" in result.stderr
    assert "readings.csv: point: 'tnk' is not one of the known words" in result.stderr
    assert not (folder / "readings.csv").exists()


def test_a_file_that_cannot_be_continued_is_exit_1(folder: Path) -> None:
    (folder / "readings.csv").write_text("time,point,conductivity\n")
    result = run("reading", folder, *READING)
    assert result.exit_code == 1
    assert "readings.csv:1: conductivity: this column has no unit" in result.stderr


@pytest.mark.parametrize(
    "arguments",
    [
        ("reading", "--point", "tank", "--conductivity", "1.3"),
        ("reading", *READING, "--note", "=x"),
        ("reading", *READING, "--by", "J\udcff"),
        ("reading", *READING, "--vessel", "vessel 77"),
        ("reading", *READING[:4], "--time", "2127-10-02T18:45"),
        ("done", "--step", "wash the slab", "--litres", "100"),
        ("done", "--step", "nothing"),
        ("order", "--item", "rasin", "--supplier", "resin service", "--packs", "2", "--price", "9"),
        ("order", "--item", "resin exchange", "--supplier", "resin service", "--packs", "2",
         "--price", "1.234"),
        ("bill", "--season", "2027-28", "--item", "yarn", "--amount", "1.234"),
        ("changeout", "--position", "lead", "--vessel-out", "vessel 1", "--vessel-in", "vesel 3"),
        ("received", "--item", "resin exchange"),
    ],
    ids=" ".join,
)  # fmt: skip
def test_whatever_is_wrong_with_the_row_told_is_wrong_usage(
    folder: Path, arguments: tuple[str, ...]
) -> None:
    (folder / "orders.csv").write_text("ordered on,item,supplier,packs,price,received on\n")
    before = {path: path.read_bytes() for path in folder.iterdir()}
    result = run(arguments[0], folder, *arguments[1:])
    assert result.exit_code == 2, result.output
    assert "Traceback" not in result.output
    after = {path: path.read_bytes() for path in folder.iterdir() if path.suffix != ".lock"}
    assert after == before


def test_a_machine_that_refuses_is_exit_3(folder: Path) -> None:
    (folder / ".readings.csv.lock").mkdir()
    result = run("reading", folder, *READING)
    assert result.exit_code == 3
    assert "readings.csv" in result.stderr
    assert "Traceback" not in result.output


@pytest.mark.parametrize("before", [True, False])
def test_lines_from_standard_input_and_from_a_file(folder: Path, before: bool) -> None:
    text = LINES + "2027-10-03,ice thickness,31,mm\n"
    order = (folder, "--from", "-") if before else ("--from=-", folder)
    result = run(*order, stdin=text)
    assert result.exit_code == 0, result.output
    assert result.stdout.splitlines() == [
        f"{folder / 'readings.csv'}:2: written", f"{folder / 'checks.csv'}:2: written",
    ]  # fmt: skip
    phone = folder / "phone.txt"
    phone.write_text(text + "2027-10-03,ice thickness,32,mm\n")
    rows = json.loads(run(folder, "--from", phone, "--json").stdout)["rows"]
    assert [row["duplicate"] for row in rows] == [True, True, False]


def test_lines_that_cannot_be_used_are_wrong_usage(folder: Path) -> None:
    result = run(folder, "--from", "-", stdin=LINES + "2027-10-03,ice thicknes,31,mm\n")
    assert result.exit_code == 2
    assert result.stderr.startswith("standard input:5: what: 'ice thicknes' is not one of")
    assert not (folder / "readings.csv").exists()
    assert run(folder, "--from", "nowhere.txt").exit_code == 2


def test_done_and_received(folder: Path) -> None:
    layers = folder / "layers.csv"
    text = layers.read_text("utf-8")
    steps = [line.partition(",")[0] for line in text.splitlines()]
    result = run("done", folder, "--step", steps[1], "--on", "2027-09-14", "--litres", "40 L")
    assert (result.exit_code, result.stdout) == (0, f"{layers}:2: written\n")
    assert layers.read_text("utf-8").splitlines()[2:] == text.splitlines()[2:]
    missing = run("done", folder, "--step", "nothing")
    assert (missing.exit_code, missing.stdout) == (2, "")
    order = {"ordered on": "2027-08-01", "item": "resin exchange", "supplier": "resin service",
             "packs": "1", "price": "214"}  # fmt: skip
    append_row(folder, "order", order)
    received = run("received", folder, "--item", "resin exchange", "--on", "2027-08-09")
    assert received.stdout == f"{folder / 'orders.csv'}:2: written\n"
    again = run("received", folder, "--item", "resin exchange", "--on", "2027-08-09")
    assert again.stdout.endswith("not written again\n")


def _commands_at_once(folder: Path, processes: int, rows: int) -> None:
    program = [sys.executable, "-m", "waterkit", "log", "reading", str(folder)]
    for row in range(rows):
        running = [
            subprocess.Popen(
                [*program, *READING, "--by", f"w{one}", "--note", f"row {row}"],
                cwd=ROOT, stdout=subprocess.PIPE, text=True,
            )
            for one in range(processes)
        ]  # fmt: skip
        printed = [process.communicate()[0] for process in running]
        assert all(text.endswith(": written\n") for text in printed)
        assert len(set(printed)) == processes  # each was told a line of its own
    readings, told = read_readings(folder, "Europe/Berlin")
    assert told == ()
    assert readings is not None
    rows_told = set(zip(readings.by.tolist(), readings.note.tolist(), strict=True))
    assert len(readings) == len(rows_told) == processes * rows


def test_commands_at_once_lose_nothing(folder: Path) -> None:
    _commands_at_once(folder, 3, 1)


@pytest.mark.slow
def test_twenty_commands_at_once_lose_nothing(folder: Path) -> None:
    _commands_at_once(folder, 20, 5)


def test_each_record_of_a_log_names_its_day() -> None:
    for book in BOOKS.values():
        names = [item.name for item in dataclasses.fields(book.record)]
        assert names[0] in ("time", "date", "ordered_on")
