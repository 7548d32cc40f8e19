"""What the log promises: nothing doubled, nothing lost, nothing that the folder then refuses."""

import os
from pathlib import Path

import pytest

from tests.club.logs import HEAD, ROW, bare_club, log_of, told_by
from waterkit.club.appending import replace_bytes
from waterkit.club.log import RowError, append_lines, append_row, append_rows, change_row
from waterkit.errors import InputError, MachineError

SHORT = "time,point,conductivity [uS/cm],note\n"


@pytest.fixture
def club(tmp_path: Path) -> Path:
    """A folder with the least that a log needs."""
    return bare_club(tmp_path)


# Files that a new row would spoil.


def test_a_quote_opened_further_up_is_not_closed_by_a_row(club: Path) -> None:
    text = SHORT + '2027-09-03T09:00,tank,1.3,"a\n2027-09-03T10:00,tank,1.3,b'
    (club / "readings.csv").write_text(text)
    with pytest.raises(InputError) as error:
        append_row(club, "reading", ROW)
    assert told_by(error) == ["readings.csv:2: a quote is left open"]
    assert (club / "readings.csv").read_text() == text


def test_a_quote_within_a_word_is_no_open_quote(club: Path) -> None:
    text = SHORT + '2027-09-03T09:00,tank,1.3,a 3" hose'
    (club / "readings.csv").write_text(text)
    append_row(club, "reading", ROW)
    assert log_of(club).note.tolist() == ['a 3" hose', ""]


@pytest.mark.parametrize("number", ["1,500", "1.500"])
def test_what_may_be_thousands_is_not_settled_by_a_row(club: Path, number: str) -> None:
    head = "time;point;conductivity [uS/cm];treated total [L]\n"
    text = f"{head}2027-10-02T10:00;tank;1;{number}\n"
    (club / "readings.csv").write_text(text)
    with pytest.raises(InputError) as error:
        append_row(club, "reading", ROW | {"conductivity": "1.31 uS/cm"})
    (told,) = told_by(error)
    assert told.startswith(f"readings.csv:2: '{number}' has a thousands mark or a decimal ")
    assert (club / "readings.csv").read_text() == text


@pytest.mark.parametrize("delimiter", [";", "\t"])
def test_no_row_is_written_that_may_be_thousands(club: Path, delimiter: str) -> None:
    head = delimiter.join(["time", "point", "conductivity [uS/cm]"])
    (club / "readings.csv").write_text(f"{head}\n")
    append_row(club, "reading", ROW | {"conductivity": "1.234 uS/cm"})
    append_row(club, "reading", ROW | {"conductivity": "2.345 uS/cm"})
    assert log_of(club).conductivity_us_cm.tolist() == [1.234, 2.345]


# Rows that stand there already, written in another way.


@pytest.mark.parametrize(
    ("there", "time"),
    [
        ("2027-10-02T22:30Z", "2027-10-03T00:30"),
        ("2027-10-03T12:30+14:00", "2027-10-03T00:30"),
        ("2027-10-02T11:30-11:00", "2027-10-03T00:30"),
        ("2027-9-5T10:00", "2027-09-05T10:00"),
        ("2027-09-5T10:00", "2027-09-05T10:00"),
        ("2.09.2027 10:00", "2027-09-02T10:00"),
        ("02.9.2027 10:00", "2027-09-02T10:00"),
        ("5/09/2027 10:00", "2027-09-05T10:00"),
    ],
)
def test_a_row_is_found_however_its_time_is_written(club: Path, there: str, time: str) -> None:
    (club / "club.toml").write_text('timezone = "Europe/Berlin"\n[files]\ndates = "dmy"\n')
    (club / "readings.csv").write_text(f"{SHORT}{there},tank,1.3,\n")
    assert append_row(club, "reading", ROW | {"time": time}).duplicate


def test_american_days_are_found_too(club: Path) -> None:
    (club / "club.toml").write_text('[files]\ndates = "mdy"\n')
    (club / "readings.csv").write_text(f"{SHORT}9/05/2027 10:00,tank,1.3,\n")
    assert append_row(club, "reading", ROW | {"time": "2027-09-05T10:00"}).duplicate


# A water meter that never falls.


def reading(time: str, litres: int) -> dict[str, str]:
    return ROW | {"time": time, "treated total": f"{litres} L"}


@pytest.mark.parametrize(
    ("time", "litres", "told"),
    [
        ("2027-10-03T12:00", 500, "500 L is less than 5000 L in line 2"),
        ("2027-10-02T12:00", 5500, "5500 L is more than 5000 L in line 2, which is later"),
        ("2027-10-05T12:00", 5500, "5500 L is less than 6000 L in line 3"),
    ],
)
def test_a_reading_that_falls_is_told_and_not_written(
    club: Path, time: str, litres: int, told: str
) -> None:
    append_rows(club, "reading", [reading("2027-10-02T18:00", 5000),
                                  reading("2027-10-04T18:00", 6000)])  # fmt: skip
    before = (club / "readings.csv").read_bytes()
    with pytest.raises(RowError) as error:
        append_row(club, "reading", reading(time, litres))
    assert told_by(error) == [f"readings.csv: treated total: {told}"]
    assert (club / "readings.csv").read_bytes() == before
    append_row(club, "reading", reading("2027-10-03T12:00", 5500))
    assert len(log_of(club)) == 3


def test_readings_of_one_hand_fall_no_more(club: Path) -> None:
    rows = [reading("2027-10-02T18:00", 5000), reading("2027-10-02T19:00", 4000)]
    with pytest.raises(RowError, match="is less than 5000 L in the row before it"):
        append_rows(club, "reading", rows)
    assert not (club / "readings.csv").exists()


def test_a_changeout_that_falls_is_told_and_not_written(club: Path) -> None:
    row = {"position": "lead", "vessel out": "A", "vessel in": "B"}
    append_row(club, "changeout", row | {"date": "2027-10-02", "treated total": "5000 L"})
    with pytest.raises(RowError) as error:
        append_row(club, "changeout", row | {"date": "2027-11-02", "treated total": "500 L"})
    assert told_by(error) == ["changeouts.csv: treated total: 500 L is less than 5000 L in line 2"]


# All or none, and nothing that may not be written.


def test_lines_for_two_files_are_written_all_or_none(
    club: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    append_row(club, "check", {"date": "2027-10-01", "what": "silica", "value": "0.1 mg/L"})
    before = (club / "checks.csv").read_bytes()
    lines = (
        "date,what,value,unit\n2027-10-03,silica,0.2,mg/L\n"
        "date,season,item,amount\n2027-10-03,2027-28,yarn,17.80\n"
        "time,point,conductivity [uS/cm]\n2027-10-03T08:00,tank,1.4\n"
    )
    opened = os.open

    def refuse(path: Path, *more: int) -> int:
        if Path(path).name == "readings.csv":
            raise PermissionError(13, "Permission denied")
        return opened(path, *more)

    monkeypatch.setattr("waterkit.club.appending.os.open", refuse)
    with pytest.raises(MachineError, match=r"readings\.csv: Permission denied"):
        append_lines(club, lines.encode(), "phone")
    assert (club / "checks.csv").read_bytes() == before
    assert not (club / "spending.csv").exists()
    monkeypatch.undo()
    assert not any(place.duplicate for place in append_lines(club, lines.encode(), "phone"))


def test_a_file_that_is_not_to_be_written_to_is_not_replaced(club: Path) -> None:
    path = club / "layers.csv"
    path.write_text("step,kind,done on\nflood,flood,\n")
    path.chmod(0o444)
    with pytest.raises(MachineError, match="not to be written to"):
        change_row(club, "done", {"step": "flood"}, {"done on": "2027-09-20"})
    with pytest.raises(MachineError):
        replace_bytes(path, b"")
    assert path.read_text() == "step,kind,done on\nflood,flood,\n"


# Names that are listed.


def test_what_a_row_names_must_be_listed(club: Path) -> None:
    season = "[season]\nfirst_draw = 2027-10-02\nlast_draw = 2028-03-26\n"
    (club / "club.toml").write_text(f"[[meter]]\nname = 'pocket'\n{season}")
    (club / "vessels.csv").write_text("vessel,position,resin [L]\nA,lead,57\n")
    with pytest.raises(RowError) as error:
        append_row(club, "reading", ROW | {"meter": "poket", "vessel": "B"})
    assert told_by(error) == [
        "readings.csv: meter: 'poket' is not in club.toml",
        "readings.csv: vessel: 'B' is not in vessels.csv",
    ]
    with pytest.raises(RowError, match="more than a year after the last draw"):
        append_row(club, "reading", ROW | {"time": "2127-10-02T18:45"})
    assert append_row(club, "reading", ROW | {"meter": "pocket", "vessel": "A"}).line == 2
    assert (club / "readings.csv").read_text().startswith(HEAD)
