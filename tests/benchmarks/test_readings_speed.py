"""A million readings against pandas.read_csv of the same file."""

import sys
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from waterkit.club.readings import read_readings

ROWS = 1_000_000
MOST = 1.5
"""Times as long as pandas takes for the file alone, one process, imports apart."""
ROUNDS = 5


@dataclass(frozen=True)
class Log:
    """A log, the club's time zone, and how pandas is told to read it."""

    path: Path
    zone: str = "Etc/GMT-1"
    dialect: dict[str, str] = field(default_factory=dict)


@pytest.fixture(scope="module", params=["plain", "decimal commas and a clock", "odd rows"])
def log(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Log:
    """A log with every column: a reading a minute; one in ten seconds; with cells that are odd."""
    path = tmp_path_factory.mktemp("log") / "readings.csv"
    if request.param == "decimal commas and a clock":
        moments = np.datetime64("2025-11-05T00:00:00") + 10 * np.arange(ROWS)
        _table(np.datetime_as_string(moments)).to_csv(path, index=False, sep=";", decimal=",")
        return Log(path, "Europe/Berlin", {"sep": ";", "decimal": ","})
    times = np.datetime_as_string(np.datetime64("2025-09-01T00:00") + np.arange(ROWS), unit="m")
    table = _table(times)
    if request.param == "odd rows":
        table["temperature [degC]"] = table["temperature [degC]"].astype(str)
        table.loc[500_000, "temperature [degC]"] = "9\u00a0"
        table.loc[700_000, "time"] = f"{times[700_000]}:05.7"
    table.to_csv(path, index=False)
    return Log(path)


def _table(times: "np.ndarray[tuple[int], np.dtype[np.str_]]") -> pd.DataFrame:
    random = np.random.default_rng(1)
    return pd.DataFrame(
        {
            "time": times,
            "point": random.choice(["feed", "lead outlet", "DI outlet", "tank"], ROWS),
            "meter": "pocket",
            "conductivity [uS/cm]": random.lognormal(0, 1, ROWS).round(2),
            "temperature [degC]": random.normal(9, 2, ROWS).round(1),
            "compensation": "linear",
            "reference [degC]": 25,
            "treated total [L]": np.arange(ROWS) * 3,
            "use": "flood",
            "vessel": random.choice(["vessel 1", "vessel 2"], ROWS),
            "by": random.choice(["Kim", "Jo", ""], ROWS),
            "note": "",
        }
    )


def _seconds(work: Callable[[], object]) -> float:
    """Processor time, so that what other processes do does not count."""
    start = time.process_time()
    work()
    return time.process_time() - start


@pytest.mark.slow
@pytest.mark.filterwarnings("ignore::pandas.errors.DtypeWarning")
def test_a_million_readings(log: Log, capsys: pytest.CaptureFixture[str]) -> None:
    readings, told = read_readings(log.path, log.zone)
    assert told == ()
    assert readings is not None
    assert len(readings) == ROWS
    rounds = [
        (
            _seconds(lambda: pd.read_csv(log.path, **log.dialect)),  # type: ignore[call-overload]
            _seconds(lambda: read_readings(log.path, log.zone)),
        )
        for _ in range(ROUNDS)
    ]
    plain, ours = (min(times) for times in zip(*rounds, strict=True))
    with capsys.disabled():
        ratio = f"{ours / plain:.2f} times pandas.read_csv ({plain:.2f} s)"
        sys.stdout.write(f"\n{ROWS} readings: {ours:.2f} s, {ratio}\n")
    assert ours <= MOST * plain
