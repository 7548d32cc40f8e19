"""One row changed, all others the same to the last byte."""

import shutil
from pathlib import Path

import pytest

from tests.club.logs import DEMO, bare_club, told_by
from waterkit.club.log import change_row
from waterkit.errors import InputError, MachineError


@pytest.fixture
def club(tmp_path: Path) -> Path:
    """A folder with the least that a log needs."""
    return bare_club(tmp_path)


LAYERS = (
    "step;kind;depth per pass [mm];done on;litres used [L]\r\n"
    '"first; flood";flood;2,15;;\r\n'
    "\r\n"
    'second "flood";flood;2,15;13.09.2027;480\r\n'
    "third flood;flood;2,15\r\n"
)


def test_a_step_done_changes_its_row_alone(club: Path) -> None:
    path = club / "layers.csv"
    path.write_bytes(LAYERS.encode())
    done = {"done on": "2027-09-20", "litres used": "126.8 US gal"}
    place = change_row(club, "done", {"step": "first; flood"}, done)
    row = b'"first; flood";flood;2,15;20.09.2027;479,9902142\r\n'  # 3.785411784 L, NIST HB 44
    old = b'"first; flood";flood;2,15;;\r\n'
    assert path.read_bytes() == LAYERS.encode().replace(old, row)
    assert (place.line, place.duplicate) == (2, False)
    assert change_row(club, "done", {"step": "first; flood"}, done).duplicate
    change_row(club, "done", {"step": "third flood"}, {"done on": "2027-09-21"})
    assert path.read_bytes().endswith(b"third flood;flood;2,15;21.09.2027\r\n")


@pytest.mark.parametrize(
    ("step", "values", "told"),
    [
        ("frst; flood", {"done on": "2027-09-20"}, "layers.csv: step: no row has 'frst; flood'"),
        ('second "flood"', {"done on": "2027-09-20"},
         "layers.csv:4: done on: 2027-09-13 stands there already"),
        ("first; flood", {"litres used": "480"}, "layers.csv: litres used: '480' has no unit"),
    ],
)  # fmt: skip
def test_a_step_that_cannot_be_changed_stays(
    club: Path, step: str, values: dict[str, str], told: str
) -> None:
    (club / "layers.csv").write_bytes(LAYERS.encode())
    with pytest.raises(InputError) as error:
        change_row(club, "done", {"step": step}, values)
    assert told_by(error) == [told]
    assert (club / "layers.csv").read_bytes() == LAYERS.encode()


def test_a_missing_column_is_named(club: Path) -> None:
    (club / "layers.csv").write_text("step,kind\nflood,flood\n")
    with pytest.raises(InputError) as error:
        change_row(club, "done", {"step": "flood"}, {"litres used": "480 L"})
    assert told_by(error) == ["layers.csv:1: litres used: there is no column for it"]
    assert "'litres used [L]'" in error.value.problems[0].hint


def test_an_order_received_is_the_open_one(tmp_path: Path) -> None:
    folder = tmp_path / "club"
    shutil.copytree(DEMO, folder)
    path = folder / "orders.csv"
    head = "ordered on,item,supplier,packs,price,expected on,received on\n"
    first = "2027-08-01,resin exchange,resin service,1,214,,2027-08-09\n"
    second = "2027-09-01,resin exchange,resin service,2,428,2027-09-10,"
    path.write_text(head + first + second)
    which = {"item": "resin exchange"}
    with pytest.raises(InputError) as error:
        change_row(folder, "received", which, {"received on": "2027-08-12"})
    assert told_by(error) == [
        "orders.csv:3: received on: 2027-08-12 is before the day of the order, 2027-09-01"
    ]
    assert change_row(folder, "received", which, {"received on": "2027-09-12"}).line == 3
    assert path.read_text() == head + first + second + "2027-09-12"
    assert change_row(folder, "received", which, {"received on": "2027-09-12"}).duplicate


def test_a_file_that_cannot_be_replaced_stays(club: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> None:
        raise OSError(28, "No space left on device")

    (club / "layers.csv").write_bytes(LAYERS.encode())
    monkeypatch.setattr("waterkit.club.appending.os.fsync", refuse)
    with pytest.raises(MachineError, match="No space"):
        change_row(club, "done", {"step": "third flood"}, {"done on": "2027-09-21"})
    assert {path.name for path in club.iterdir()} == {"club.toml", "layers.csv", ".layers.csv.lock"}
    assert (club / "layers.csv").read_bytes() == LAYERS.encode()
