"""Whole rows on the disk: a machine that refuses, many writers, writers that die."""

import contextlib
import os
import random
import time
from collections.abc import Iterator
from multiprocessing.connection import Connection
from pathlib import Path

import pytest

from tests.club.log_writers import AT_ONCE, ROUND, write, write_on
from tests.club.logs import ROW, bare_club, log_of
from waterkit.club import appending
from waterkit.club.log import append_row
from waterkit.errors import MachineError


@pytest.fixture
def club(tmp_path: Path) -> Path:
    """A folder with the least that a log needs."""
    return bare_club(tmp_path)


# When the machine refuses.


def test_a_full_disk_leaves_the_file_as_it_was(club: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    append_row(club, "reading", ROW)
    before = (club / "readings.csv").read_bytes()
    write = os.write
    monkeypatch.setattr(
        "waterkit.club.appending.os.write", lambda file, data: write(file, data[:5])
    )
    with pytest.raises(MachineError, match="only a part"):
        append_row(club, "reading", ROW | {"by": "Kim"})
    with pytest.raises(MachineError, match="only a part"):
        append_row(club, "check", {"date": "2027-10-02", "what": "silica", "value": "0.1 mg/L"})
    assert (club / "readings.csv").read_bytes() == before
    assert not (club / "checks.csv").exists()


def test_a_row_that_does_not_reach_the_disk_is_not_acknowledged(
    club: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(_: int) -> None:
        raise OSError(5, "Input/output error")

    monkeypatch.setattr("waterkit.club.appending.os.fsync", refuse)
    with pytest.raises(MachineError, match="Input/output error"):
        append_row(club, "reading", ROW)
    assert not (club / "readings.csv").exists()


def test_a_locked_file_is_told(club: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(appending, "PATIENCE_S", 0.05)
    with (
        appending.locked(club / "readings.csv"),
        pytest.raises(MachineError, match="another program"),
    ):
        append_row(club, "reading", ROW)
    assert not (club / "readings.csv").exists()


# Many writers, and writers that die.


def _race(folder: Path, writers: int, rows: int) -> set[tuple[str, float]]:
    """What stands in the log after some processes wrote at once."""
    processes = [AT_ONCE.Process(target=write, args=(folder, one, rows)) for one in range(writers)]
    for process in processes:
        process.start()
    for process in processes:
        process.join()
    assert [process.exitcode for process in processes] == [0] * writers
    readings = log_of(folder)
    assert len(readings) == writers * rows
    return set(zip(readings.by.tolist(), readings.conductivity_us_cm.tolist(), strict=True))


def _all(writers: int, rows: int) -> set[tuple[str, float]]:
    return {(f"w{one}", float(row + 1)) for one in range(writers) for row in range(rows)}


def test_three_writers_lose_nothing(club: Path) -> None:
    assert _race(club, 3, 8) == _all(3, 8)


@pytest.mark.slow
def test_twenty_writers_lose_nothing(club: Path) -> None:
    assert _race(club, 20, 200) == _all(20, 200)


def _acknowledged(told: Connection) -> Iterator[int]:
    with contextlib.suppress(EOFError, OSError):  # the last word may be cut off
        while True:
            yield told.recv()


def _killed_writers(club: Path, times: int) -> None:
    """Kill a writer at random moments; what it acknowledged must stand in the log."""
    acknowledged: set[int] = set()
    chance = random.Random(1)  # noqa: S311
    for start in range(1, times * ROUND, ROUND):
        told, acknowledge = AT_ONCE.Pipe(duplex=False)
        writer = AT_ONCE.Process(target=write_on, args=(club, start, acknowledge))
        writer.start()
        acknowledge.close()
        acknowledged.add(told.recv())
        time.sleep(chance.random() * 0.1)
        writer.kill()
        acknowledged.update(_acknowledged(told))
        writer.join()
        place = append_row(club, "reading", ROW | {"by": "after", "conductivity": f"{start} uS/cm"})
        assert not place.duplicate
    readings = log_of(club)
    by_writers = readings.conductivity_us_cm[readings.by == ""].tolist()
    assert acknowledged <= set(by_writers)
    assert len(acknowledged) > times
    assert len(by_writers) == len(set(by_writers))
    assert int((readings.by == "after").sum()) == times


def _killed_at_the_start(club: Path, times: int) -> None:
    """Kill writers about when they make the file: each in a folder of its own."""
    first_s, chance = 0.05, random.Random(2)  # noqa: S311
    made = 0
    for number in range(times):
        folder = club / str(number)
        folder.mkdir()
        bare_club(folder)
        told, acknowledge = AT_ONCE.Pipe(duplex=False)
        start = time.perf_counter()
        writer = AT_ONCE.Process(target=write_on, args=(folder, 1, acknowledge))
        writer.start()
        acknowledge.close()
        if number:
            time.sleep(chance.random() * first_s)
            writer.kill()
        else:  # the first one tells how long it takes
            told.recv()
            first_s = 1.2 * (time.perf_counter() - start)
            writer.kill()
        acknowledged = set(_acknowledged(told))
        writer.join()
        made += (folder / "readings.csv").exists()
        assert not append_row(folder, "reading", ROW | {"by": "after"}).duplicate
        readings = log_of(folder)
        assert acknowledged <= set(readings.conductivity_us_cm[readings.by == ""].tolist())
        assert int((readings.by == "after").sum()) == 1
    assert made


def test_writers_killed_at_the_start_lose_nothing(club: Path) -> None:
    _killed_at_the_start(club, 6)


@pytest.mark.slow
def test_writers_killed_while_they_make_the_file_lose_nothing(club: Path) -> None:
    _killed_at_the_start(club, 120)


def test_a_killed_writer_loses_nothing(club: Path) -> None:
    _killed_writers(club, 2)


@pytest.mark.slow
def test_a_writer_killed_at_two_hundred_moments_loses_nothing(club: Path) -> None:
    _killed_writers(club, 200)
