"""What a card carries is what the command knows."""

import dataclasses
import datetime as dt
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from tests.tank.tank_cases import METERS
from waterkit.club import read_club
from waterkit.club.log import append_rows
from waterkit.club.schema import Club
from waterkit.errors import InputError
from waterkit.plan.at_tank import table_of
from waterkit.plan.carried import Carried
from waterkit.plan.lately import Lately
from waterkit.water.meter import Meter

DAY = dt.date(2027, 10, 5)


def _logged(folder: Path, *rows: tuple[str, str, str, str]) -> Club:
    """The club of a folder with rows of time, point, conductivity and temperature."""
    append_rows(folder, "reading", [
        {"time": time, "point": point, "conductivity": shown, "temperature": celsius,
         "meter": "pocket meter"}
        for time, point, shown, celsius in rows
    ])  # fmt: skip
    return read_club(folder)


@pytest.fixture
def folder(demo_folder: Path, tmp_path: Path) -> Path:
    for path in demo_folder.iterdir():
        (tmp_path / path.name).write_bytes(path.read_bytes())
    return tmp_path


def test_the_table_and_the_knowledge_are_the_commands_own(folder: Path) -> None:
    club = read_club(folder)
    carried = Carried(club, DAY)
    assert carried.table == table_of(club)
    assert carried.moment == dt.datetime.combine(DAY, dt.time.max, ZoneInfo(club.timezone))
    assert carried.known == carried.at_tank.known
    assert carried.known.litres_left
    assert (carried.unnamed, carried.changed, carried.readings) == ("pocket meter", None, ())


def test_only_readings_that_may_still_count_are_carried(folder: Path) -> None:
    old = [(f"2027-09-{day:02}T08:00", "feed", "640 uS/cm", "10 degC") for day in range(1, 9)]
    club = _logged(
        folder, *old,
        ("2027-10-03T08:00", "DI outlet", "0.8 uS/cm", "25 degC"),
        ("2027-10-04T08:00", "tank", "1.2 uS/cm", "25 degC"),
        ("2027-10-06T08:00", "tank", "9 uS/cm", "25 degC"),
    )  # fmt: skip
    readings = Carried(club, DAY).readings
    assert [(one.point, one.shown, one.meter) for one in readings] == [
        ("feed", 6_400_000, "pocket meter"), ("feed", 6_400_000, "pocket meter"),
        ("DI outlet", 8_000, "pocket meter"), ("tank", 12_000, "pocket meter"),
    ]  # fmt: skip
    assert [one.at_25 for one in readings[2:]] == [8_000, 12_000]
    assert readings[-1].time.astimezone(ZoneInfo(club.timezone)).hour == 8


def test_a_reading_that_tells_nothing_at_25_degrees_is_carried_as_such(folder: Path) -> None:
    club = _logged(folder, ("2027-10-05T08:00", "tank", "1.2 uS/cm", ""))
    assert [one.at_25 for one in Carried(club, DAY).readings] == [None]


def test_what_a_meter_for_ppm_showed_is_carried_in_ppm(folder: Path) -> None:
    club = _logged(folder, ("2027-10-05T08:00", "tank", "1.2 uS/cm", "25 degC"))
    pen = Meter("pocket meter", factor=0.5)
    (reading,) = Carried(dataclasses.replace(club, meters=(pen,)), DAY).readings
    assert (reading.shown, reading.at_25) == (6_000, 12_000)


def test_beliefs_tell_a_later_day_what_the_log_would(folder: Path) -> None:
    club = _logged(folder, ("2027-10-05T08:00", "standard", "84 uS/cm", "25 degC"))
    belief = Carried(club, DAY).beliefs["pocket meter"]
    for days in range(0, 120, 7):
        later = dt.datetime.combine(DAY + dt.timedelta(days=days), dt.time(12), dt.UTC)
        assert belief.on(later.date()) == Lately(club, later).standard(club.meters[0])
    assert {belief.on(DAY), belief.on(DAY + dt.timedelta(days=40))} == {"", "standard-overdue"}
    assert belief.on(dt.date(2028, 6, 1)) == "standard-expired"


def test_meters_that_differ_leave_no_meter_that_is_meant(folder: Path) -> None:
    club = dataclasses.replace(read_club(folder), meters=tuple(METERS.values()))
    assert Carried(club, DAY).unnamed == ""


def test_a_meter_that_cannot_be_is_told_with_its_file(folder: Path) -> None:
    meter = Meter("hot", "natural water", reference_c=90.0)
    club = dataclasses.replace(read_club(folder), meters=(meter,))
    with pytest.raises(InputError) as error:
        _ = Carried(club, DAY).table
    assert error.value.problems[0].file == "club.toml"
