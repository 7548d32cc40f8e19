"""A million readings against pandas.read_csv of the same file."""

import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from waterkit.club.readings import read_readings

ROWS = 1_000_000
MOST = 1.5
"""Times as long as pandas takes for the file alone, one process, imports apart."""
ROUNDS = 5


@pytest.fixture(scope="module")
def log(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A log with every column, a reading a minute."""
    random = np.random.default_rng(1)
    path = tmp_path_factory.mktemp("log") / "readings.csv"
    pd.DataFrame(
        {
            "time": np.datetime_as_string(
                np.datetime64("2025-09-01T00:00") + np.arange(ROWS), unit="m"
            ),
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
    ).to_csv(path, index=False)
    return path


def _seconds(work: Callable[[], object]) -> float:
    """Processor time, so that what other processes do does not count."""
    start = time.process_time()
    work()
    return time.process_time() - start


@pytest.mark.slow
def test_a_million_readings(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    readings, told = read_readings(log, "Etc/GMT-1")
    assert told == ()
    assert readings is not None
    assert len(readings) == ROWS
    rounds = [
        (_seconds(lambda: pd.read_csv(log)), _seconds(lambda: read_readings(log, "Etc/GMT-1")))
        for _ in range(ROUNDS)
    ]
    plain, ours = (min(times) for times in zip(*rounds, strict=True))
    with capsys.disabled():
        ratio = f"{ours / plain:.2f} times pandas.read_csv ({plain:.2f} s)"
        sys.stdout.write(f"\n{ROWS} readings: {ours:.2f} s, {ratio}\n")
    assert ours <= MOST * plain
