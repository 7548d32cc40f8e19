"""How long the answer at the tank takes: whole processes, in turn, the quickest of each counts.

Processor time counts, so that what else the machine does falls out.
"""

import os
import resource
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from shutil import copytree

import numpy as np
import pandas as pd
import pytest

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parents[2]
MOST, MOST_WITH_A_LOG = 2.0, 1.5
ROUNDS = 11
ROWS = 1_000_000
IMPORT = "import pint"
READ = """
import sys
from pathlib import Path
from waterkit.club.readings import read_readings
readings, told = read_readings(Path(sys.argv[1]), "Etc/GMT-1")
assert len(readings) == 1_000_000
"""
TANK = """
import sys
from waterkit.cli import main
main(["tank", sys.argv[1], "--reading", "1.3 uS/cm", "--temperature", "6 degC", "--as-of",
      "2027-08-15", "--litres", "480 L"], prog_name="waterkit")
"""


@pytest.fixture(scope="module")
def environment(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """Modules compiled once and kept, as in an installed program."""
    told = {**os.environ, "PYTHONPYCACHEPREFIX": str(tmp_path_factory.mktemp("compiled"))}
    told.pop("PYTHONDONTWRITEBYTECODE", None)
    return told


def _seconds(code: str, folder: Path, environment: dict[str, str]) -> float:
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(
        [sys.executable, "-c", code, str(folder)], cwd=ROOT, env=environment, check=True,
        capture_output=True, timeout=300,
    )  # fmt: skip
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def _ratio(codes: Sequence[str], folder: Path, environment: dict[str, str], rounds: int) -> float:
    """Processor time of the second program in times of the first."""
    times = [[_seconds(code, folder, environment) for code in codes] for _ in range(rounds + 1)]
    first, second = (min(column) for column in zip(*times[1:], strict=True))  # the first compiles
    sys.stdout.write(f"\n{second:.2f} s, {second / first:.2f} times {first:.2f} s\n")
    return float(second / first)


def test_without_a_log_the_answer_costs_two_imports_of_pint(
    demo_folder: Path, environment: dict[str, str], capsys: pytest.CaptureFixture[str]
) -> None:
    with capsys.disabled():
        assert _ratio((IMPORT, TANK), demo_folder, environment, ROUNDS) <= MOST


def test_with_a_million_readings_it_costs_little_more_than_reading_them(
    demo_folder: Path, tmp_path: Path, environment: dict[str, str],
    capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    folder = Path(copytree(demo_folder, tmp_path / "club"))
    random = np.random.default_rng(1)
    times = np.datetime64("2025-09-01T00:00") + np.arange(ROWS)
    pd.DataFrame(
        {
            "time": np.datetime_as_string(times, unit="m"),
            "point": random.choice(["feed", "lead outlet", "DI outlet", "tank"], ROWS),
            "meter": "pocket meter",
            "conductivity [uS/cm]": random.lognormal(0, 1, ROWS).round(2),
            "temperature [degC]": random.normal(9, 2, ROWS).round(1),
            "treated total [L]": np.arange(ROWS) * 3,
        }
    ).to_csv(folder / "readings.csv", index=False)
    club = folder / "club.toml"
    text = club.read_text("utf-8").replace("Europe/Berlin", "Etc/GMT-1")  # no hour comes twice
    club.write_text(text, "utf-8")
    with capsys.disabled():
        assert _ratio((READ, TANK), folder, environment, 5) <= MOST_WITH_A_LOG
