"""What the tests of the log share."""

from pathlib import Path

import pytest

from waterkit.club.readings import read_readings
from waterkit.errors import InputError
from waterkit.water.readings import Readings

DEMO = Path(__file__).parents[2] / "data" / "demo-club"
ROW = {"time": "2027-10-02T18:45", "point": "tank", "conductivity": "1.3 uS/cm"}
HEAD = (
    "time,point,conductivity [uS/cm],temperature [degC],meter,compensation,reference [degC],"
    "treated total [L],use,vessel,by,note\n"
)


def bare_club(folder: Path) -> Path:
    """A folder with the least that a log needs."""
    (folder / "club.toml").write_text('timezone = "Europe/Berlin"\n', "utf-8")
    return folder


def log_of(club: Path) -> Readings:
    """The readings of a folder, which must be sound."""
    readings, told = read_readings(club, "Europe/Berlin")
    assert told == ()
    assert readings is not None
    return readings


def told_by(error: pytest.ExceptionInfo[InputError]) -> list[str]:
    """What an error tells, without the cures, which must be there."""
    assert all(problem.hint for problem in error.value.problems)
    return [str(problem) for problem in error.value.problems]
