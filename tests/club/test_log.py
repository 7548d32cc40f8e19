"""The log: rows of every kind, from words and from lines, told where they stand."""

import datetime as dt
import shutil
from decimal import Decimal
from pathlib import Path

import pytest

from tests.club.logs import DEMO, HEAD, ROW, bare_club, log_of, told_by
from waterkit.club import read_club
from waterkit.club.log import Appended, append_lines, append_row, append_rows
from waterkit.errors import InputError


@pytest.fixture
def club(tmp_path: Path) -> Path:
    """A folder with the least that a log needs."""
    return bare_club(tmp_path)


def test_a_new_file_has_every_column(club: Path) -> None:
    assert append_row(club, "reading", ROW) == Appended(club / "readings.csv", 2)
    assert (club / "readings.csv").read_text() == f"{HEAD}2027-10-02T18:45,tank,1.3,,,,,,,,,\n"


def test_a_row_that_stands_there_is_told_and_not_doubled(club: Path) -> None:
    append_row(club, "reading", ROW)
    append_row(club, "reading", ROW | {"time": "2027-10-02T18:46"})
    before = (club / "readings.csv").read_bytes()
    again = ROW | {"conductivity": "0.13 mS/m", "time": "2027-10-02 16:45:00Z"}
    assert append_row(club, "reading", again) == Appended(club / "readings.csv", 2, True)
    assert (club / "readings.csv").read_bytes() == before
    other = ROW | {"conductivity": "1.31 uS/cm"}
    assert append_rows(club, "reading", [other, other]) == (
        Appended(club / "readings.csv", 4),
        Appended(club / "readings.csv", 4, True),
    )


def test_the_same_row_written_by_hand_in_another_way_is_found(club: Path) -> None:
    text = 'by,time,point,conductivity [mS/m]\n"",2027-10-02 18:45:00,tank,0.130\n'
    (club / "readings.csv").write_text(text)
    assert append_row(club, "reading", ROW).duplicate


def test_a_row_that_cannot_be_used_is_told_and_nothing_written(club: Path) -> None:
    row = {"point": "tnk", "conductivity": "1.3", "temperature": "600 degC", "colour": "red"}
    with pytest.raises(InputError) as error:
        append_row(club, "reading", row)
    assert told_by(error) == [
        "readings.csv: colour: this key is not known",
        "readings.csv: conductivity: '1.3' has no unit",
        "readings.csv: point: 'tnk' is not one of the known words",
        "readings.csv: temperature: 600 degC is not a plausible temperature",
        "readings.csv: time: is missing",
    ]
    with pytest.raises(InputError) as error:
        append_row(club, "reading", ROW | {"note": "=1+1"})
    assert told_by(error) == ["readings.csv: note: '=1+1' would be a formula in a spreadsheet"]
    assert not (club / "readings.csv").exists()


def test_rows_are_written_all_or_none(club: Path) -> None:
    with pytest.raises(InputError):
        append_rows(club, "reading", [ROW, ROW | {"point": "tnk"}])
    assert not (club / "readings.csv").exists()


def test_a_folder_that_is_no_clubs_is_left_alone(tmp_path: Path) -> None:
    with pytest.raises(InputError) as error:
        append_row(tmp_path, "reading", ROW)
    assert told_by(error) == [f"club.toml: there is none in {tmp_path}"]
    assert list(tmp_path.iterdir()) == []


def test_faulty_rows_further_up_do_not_stop_the_log(club: Path) -> None:
    (club / "readings.csv").write_text(HEAD + "yesterday,tnk,a lot,,,,,,,,,\n")
    assert append_row(club, "reading", ROW).line == 3


def test_every_kind_has_its_file() -> None:
    from waterkit.club.books import BOOKS
    from waterkit.club.reading import KNOWN_FILES

    assert {book.file for book in BOOKS.values()} <= set(KNOWN_FILES)


def test_all_kinds_on_the_demo(tmp_path: Path) -> None:
    folder = tmp_path / "club"
    shutil.copytree(DEMO, folder)
    day = dt.date(2027, 9, 1)
    append_row(folder, "reading", ROW)
    append_row(
        folder, "changeout",
        {"date": day, "position": "lead", "vessel out": "vessel 1", "vessel in": "vessel 2",
         "reason": "at limit", "last reading": "4.8 uS/cm", "treated total": "9.12 m3"},
    )  # fmt: skip
    append_row(folder, "check", {"date": day, "what": "ice thickness", "value": "31 mm"})
    order = {"ordered on": day, "item": "resin exchange", "supplier": "resin service",
             "packs": "2", "price": "428.00"}  # fmt: skip
    append_row(folder, "order", order)
    bill = {"date": day, "season": "2027-28", "item": "resin exchange", "amount": "509.32"}
    append_row(folder, "bill", bill)
    club = read_club(folder)
    assert (club.changeouts[0].treated_total_l, club.checks[0].unit) == (9120, "mm")
    assert (club.orders[0].price, club.spending[0].amount) == (Decimal("428.00"), Decimal("509.32"))
    assert club.readings is not None
    assert len(club.readings) == 1
    with pytest.raises(InputError) as error:
        append_row(folder, "order", order | {"item": "rasin exchange"})
    assert told_by(error) == ["orders.csv: item: 'rasin exchange' is not in items.csv"]
    with pytest.raises(InputError) as error:
        append_row(folder, "check", {"date": day, "what": "pressure", "value": "3 br"})
    assert told_by(error) == ["checks.csv: unit: 'br' is not a unit of pressure"]


# Lines from a phone.

PHONE = (
    "time;point;conductivity [mS/m];temperature [degF]\r\n"
    "2027-10-03 08:00;tank;0,13;41\r\n"
    "2027-10-03 09:00;hose end;0,14;41\r\n"
    "\r\n"
    "what,date,value,unit,place\r\n"
    "ice thickness,2027-10-03,31,mm,sheet 2\r\n"
)


def test_lines_go_to_the_files_of_their_headers(club: Path) -> None:
    places = append_lines(club, PHONE.encode(), "phone")
    assert [(place.path.name, place.line, place.duplicate) for place in places] == [
        ("readings.csv", 2, False), ("readings.csv", 3, False), ("checks.csv", 2, False),
    ]  # fmt: skip
    readings = log_of(club)
    assert readings.conductivity_us_cm.tolist() == pytest.approx([1.3, 1.4])
    assert readings.temperature_c.tolist() == pytest.approx([5, 5])
    assert all(place.duplicate for place in append_lines(club, PHONE.encode(), "phone"))


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("tank 1.3\n", ["phone:1: no line above names the columns"]),
        ("\n \n", ["phone:1: there are no lines"]),
        (PHONE + "ice thicknes,2027-10-03,31,mm,\n", ["phone:7: what: 'ice thicknes' is not one "]),
        (PHONE + "ice thickness,2027-10-03,31,mn,\n", ["phone:7: unit: unknown unit 'mn'"]),
        (PHONE.replace("[mS/m]", ""), ["phone:1: conductivity: this column has no unit"]),
    ],
)
def test_lines_that_cannot_be_used_are_told_and_none_written(
    club: Path, text: str, told: list[str]
) -> None:
    with pytest.raises(InputError) as error:
        append_lines(club, text.encode(), "phone")
    lines = told_by(error)
    assert all(line.startswith(start) for line, start in zip(lines, told, strict=True)), lines
    assert not list(club.glob("*.csv"))
