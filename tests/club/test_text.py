"""Whatever lies in a folder is read or told: other kinds of files, links, pipes, empty tables."""

import os
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from babel import Locale
from babel.numbers import get_territory_currencies

from waterkit.club import inspect_club
from waterkit.club.currencies import CURRENCIES
from waterkit.club.tables import MOST_FAULTY

Told = Callable[..., list[str]]
Folder = Callable[..., Path]


def told_of(folder: Path) -> list[str]:
    _, problems = inspect_club(folder)
    assert all(problem.hint for problem in problems)
    return [str(problem) for problem in problems]


@pytest.mark.parametrize(
    "name", ["layers.csv.txt", "draws.xlsx", "Draws.ods", "offers.txt", "club.toml.txt", "stok.csv"]
)
def test_files_that_are_not_read_are_told(folder: Folder, name: str) -> None:
    path = folder()
    (path / name).write_text("x")
    stands_there = name.startswith("club")  # the file itself is read, beside a copy of it
    assert told_of(path) == ([] if stands_there else [f"{name}: no file of this name is read"])


def test_other_files_are_left_alone(folder: Folder) -> None:
    path = folder(layers="step,kind\nflood,flood\n")
    for name in ("README.md", "layers.xlsx", "hall.png", "notes.txt", ".readings.csv.lock"):
        (path / name).write_text("x")
    assert told_of(path) == []


@pytest.mark.parametrize("name", ["offers.csv", "readings.csv", "club.toml"])
def test_a_link_that_leads_nowhere_is_told(folder: Folder, name: str) -> None:
    path = folder()
    (path / name).unlink(missing_ok=True)
    (path / name).symlink_to("nowhere")
    assert told_of(path) == [f"{name}: is a link that leads nowhere"]


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes here")
@pytest.mark.parametrize("name", ["orders.csv", "readings.csv"])
def test_a_pipe_is_told_and_not_waited_for(folder: Folder, name: str) -> None:
    path = folder()
    os.mkfifo(path / name)
    assert told_of(path) == [f"{name}: is no file that can be read through"]


def test_scenarios_that_cannot_be_looked_through_are_told(
    folder: Folder, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = folder()
    (path / "scenarios").write_text("x")
    (line,) = told_of(path)
    assert line.startswith("scenarios: cannot be looked through: ")
    (path / "scenarios").unlink()
    (path / "scenarios").mkdir()
    listed = Path.iterdir

    def refuse(one: Path) -> object:
        if one.name == "scenarios":
            raise PermissionError(13, "Permission denied")
        return listed(one)

    monkeypatch.setattr(Path, "iterdir", refuse)
    assert told_of(path) == ["scenarios: cannot be looked through: Permission denied"]


def test_a_table_without_rows_is_told(told: Told) -> None:
    assert told(draws="on,start\n", orders="ordered on,item,supplier,packs,price\n") == [
        "draws.csv: the table holds no rows"
    ]


def test_one_line_may_say_what_parts_the_columns(told: Told) -> None:
    for mark in ";,":
        table = f"sep={mark}\nvessel,position,resin [L]\nA,lead,57\nB,laed,57\n".replace(",", mark)
        assert told(vessels=table) == [
            "vessels.csv:4: position: 'laed' is not one of the known words"
        ]


@pytest.mark.parametrize(
    ("data", "told"),
    [
        (
            "vessel,position,resin [L]\nA,lead,57\n".encode("utf-32"),
            "the text is UTF-32, not UTF-8",
        ),
        (
            "vessel,position,resin [L]\nA,lead,57\n".encode("utf-16"),
            "the text is UTF-16, not UTF-8",
        ),
        ("\ufeff\ufeffvessel,position,resin [L]\nA,lead,57\n".encode(), ""),
    ],
)
def test_marks_of_encodings(folder: Folder, data: bytes, told: str) -> None:
    path = folder()
    (path / "vessels.csv").write_bytes(data)
    assert told_of(path) == ([f"vessels.csv: {told}"] if told else [])


def test_many_faulty_rows_are_counted_and_soon_told(told: Told) -> None:
    start = time.process_time()
    rows = "".join(f"mnday,18:4x,{number}y,leage\n" for number in range(20_000))
    lines = told(draws="on,start,draws,kind\n" + rows)
    rest = 20_000 - MOST_FAULTY
    assert f"draws.csv:{MOST_FAULTY + 2}: {rest} more rows from here on were not looked at" in lines
    assert time.process_time() - start < 8


# Money.


def test_currencies_are_those_in_use() -> None:
    used = {
        code
        for territory in map(str, Locale("en").territories)
        if len(territory) == 2
        for code in get_territory_currencies(territory)
    }
    assert len(used ^ CURRENCIES) <= 5  # lists of different years differ by a few
    assert {"EUR", "CAD", "CHF", "USD", "GBP", "SEK", "NOK", "CNY", "JPY"} <= CURRENCIES


def test_an_unknown_currency_is_told_once(folder: Folder) -> None:
    path = folder(suppliers="supplier,currency\na,EUR\nb,EUR\nc,\n")
    head = path / "club.toml"
    head.write_text('currency = "EUX"\n' + head.read_text())
    club, problems = inspect_club(path)
    assert club is not None
    assert [str(problem) for problem in problems] == [
        "club.toml:1: currency: EUX is no currency in use",
        "suppliers.csv:2: currency: EUR is not the club's currency, EUX",
    ]
    assert [problem.severity for problem in problems] == ["warning", "error"]
    assert "EUR" in problems[0].hint


# Every fault of a value, and the word that was meant.


def test_all_faults_of_a_figure_are_told(told: Told) -> None:
    figure = '{ value = "3 L", low = "3.2 L", high = "2.9 L", basis = "guess", nte = "x" }'
    assert told(f"[pebble]\nleague = {figure}\n") == [
        "club.toml:9: pebble.league: high is below value",
        "club.toml:9: pebble.league: low is above value",
        "club.toml:9: pebble.league.basis: 'guess' is no basis",
        "club.toml:9: pebble.league.nte: unknown key 'nte'",
    ]
    vessels = "vessel,position,resin [L],resin low [L],resin high [L]\nA,lead,57,58,56\n"
    assert told(vessels=vessels) == [
        "vessels.csv:2: resin: high is below value",
        "vessels.csv:2: resin: low is above value",
    ]


def test_a_word_that_stops_early_is_found(folder: Folder) -> None:
    vessels = "vessel,position,resin [L],rated,rated on\nA,lead,57,9 kgr/ft3,total anoins\n"
    _, (problem,) = inspect_club(folder(vessels=vessels))
    assert problem.hint == "did you mean 'total anions with CO2 and silica'?"
