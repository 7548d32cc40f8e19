"""``waterkit tank``: answers, exit codes, JSON, the log."""

import datetime as dt
import json
import shutil
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from waterkit.cli import main
from waterkit.cli.tank import _moment
from waterkit.club import read_club

READING = ("--reading", "1.3 uS/cm", "--temperature", "6 degC")
AS_OF = ("--as-of", "2027-08-15")
KEYS = {
    "verdict", "conductivity_us_cm", "limit_us_cm", "conductivity_25c_us_cm", "limit_25c_us_cm",
    "air_equilibrium_us_cm", "limit_as_your_meter_shows_us_cm", "air_as_your_meter_shows_us_cm",
    "litres_left", "draws_left", "reasons", "next_steps", "findings", "problems",
}  # fmt: skip


@pytest.fixture
def folder(demo_folder: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(demo_folder, tmp_path / "club"))


def run(folder: Path, *arguments: str) -> Result:
    return CliRunner().invoke(main, ["tank", str(folder), *AS_OF, *arguments])


def answer(folder: Path, *arguments: str) -> dict[str, Any]:
    result = run(folder, "--json", *arguments)
    assert result.exit_code == 0, result.output
    found: dict[str, Any] = json.loads(result.stdout)
    return found


def test_one_sentence_with_one_number_against_its_limit(folder: Path) -> None:
    result = run(folder, *READING, "--litres", "480 L")
    first = result.stdout.splitlines()[0].replace("\u00a0", " ")
    assert result.exit_code == 0
    assert first == (
        "Start the flood: the pocket meter shows 1.3 µS/cm at 6.0 °C, flood water is good up to "
        "10.1 µS/cm."
    )


def test_the_answer_as_json(folder: Path) -> None:
    found = answer(folder, *READING)
    assert set(found) >= KEYS
    assert found["verdict"] == "fill"
    assert found["conductivity_us_cm"] == pytest.approx(0.806)
    assert found["limit_25c_us_cm"] == 10.0
    assert found["findings"] == []
    assert found["reason_keys"] == ["within-good", "air-alone", "never-checked"]
    assert all(isinstance(reason, str) for reason in found["reasons"])


def test_what_is_not_known_is_null_with_its_reason(folder: Path) -> None:
    (folder / "vessels.csv").write_text("vessel,position,resin [L]\nvessel 1,spare,100\n")
    result = run(folder, *READING, "--json")
    found = json.loads(result.stdout)
    assert result.exit_code == 1  # no vessel stands in the lead, and yet there is an answer
    assert (found["verdict"], found["litres_left"]) == ("fill", None)
    assert set(found["reasons_for_null"]) == {"litres_left", "draws_left"}


@pytest.mark.parametrize(
    ("reading", "verdict", "strict"),
    [("1.3 uS/cm", "fill", 0), ("15 uS/cm", "hold", 1), ("30 uS/cm", "do not fill", 1)],
)
def test_an_answer_is_no_failure_but_with_strict(
    folder: Path, reading: str, verdict: str, strict: int
) -> None:
    told = ("--reading", reading, "--temperature", "6 degC")
    found = answer(folder, *told)
    assert found["verdict"] == verdict
    assert [one["key"] for one in found["findings"]] == found["reason_keys"][:1] * strict
    assert run(folder, *told, "--strict").exit_code == strict


def test_wrong_usage_names_every_option_and_exits_with_2(folder: Path) -> None:
    result = run(folder, "--reading", "1,300 uS/cm", "--use", "tea")
    assert result.exit_code == 2
    for option in ("--reading", "--temperature", "--use"):
        assert f"waterkit tank: {option}: " in result.stderr
    told = json.loads(run(folder, "--reading", "1,300 uS/cm", "--json").stdout)
    assert [problem["field"] for problem in told["problems"]] == ["--reading", "--temperature"]


def test_an_error_elsewhere_is_told_and_answered(folder: Path) -> None:
    (folder / "draws.csv").write_text("nonsense\n1\n")
    result = run(folder, *READING)
    assert result.exit_code == 1
    assert result.stdout.startswith("Start the flood")
    assert "draws.csv" in result.stderr


def test_an_error_in_the_limits_is_not_answered(folder: Path) -> None:
    path = folder / "club.toml"
    path.write_text(path.read_text("utf-8").replace('good = "5 uS/cm"', 'good = "5 kg"'), "utf-8")
    result = run(folder, *READING)
    assert (result.exit_code, result.stdout) == (1, "")
    assert "limits.pebble.good" in result.stderr


def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    assert run(tmp_path / "nowhere", *READING).exit_code == 1


def test_the_reading_is_written_down_once(folder: Path) -> None:
    first, second = (run(folder, *READING, "--log", "--by", "Kim", "--json") for _ in range(2))
    assert json.loads(first.stdout)["verdict"] == "fill"
    rows = (folder / "readings.csv").read_text("utf-8").splitlines()
    assert len(rows) == 2
    assert "tank" in rows[1]
    assert "Kim" in rows[1]
    assert "stands there already" in second.stderr


def test_what_was_logged_is_known_next_time(folder: Path) -> None:
    log = folder / "readings.csv"
    log.write_text(
        "time,point,meter,conductivity [uS/cm],temperature [degC]\n"
        "2027-08-15T09:00,DI outlet,pocket meter,4.0,6\n",
        "utf-8",
    )
    assert "below-outlet" in answer(folder, *READING)["reason_keys"]
    low = ("--reading", "5.5 uS/cm", "--temperature", "6 degC", "--use", "pebble")
    assert answer(folder, *low)["verdict"] == "fill"
    log.unlink()
    assert answer(folder, *low)["verdict"] == "hold"


def test_who_read_it_is_a_name_and_told_where_it_is_not_written(folder: Path) -> None:
    assert "--by is written down only with --log" in run(folder, *READING, "--by", "Kim").stderr
    result = run(folder, *READING, "--log", "--by", "=Kim", "--total", "4900 L")
    assert result.exit_code == 0
    assert result.stdout.startswith("Start the flood")
    (row,) = (folder / "readings.csv").read_text("utf-8").splitlines()[1:]
    assert ",Kim," in row
    assert "4900" in row


def test_what_cannot_be_written_is_told_and_answered(folder: Path) -> None:
    (folder / "readings.csv").write_text("nonsense\n1\n", "utf-8")
    result = run(folder, *READING, "--log")
    assert result.exit_code == 1
    assert result.stdout.startswith("Hold")
    assert "readings.csv" in result.stderr


def test_now_is_the_hour_of_the_club(folder: Path) -> None:
    club = replace(read_club(folder), timezone="Pacific/Kiritimati")
    offset = _moment(club, None).utcoffset()
    assert offset == dt.timedelta(hours=14)
