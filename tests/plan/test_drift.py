"""Meters of a made log whose errors are known."""

import datetime as dt
import time
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from waterkit.club import read_club
from waterkit.club.schema import Club
from waterkit.plan.drift import meter_findings
from waterkit.water.conductivity import dilute_at_temperature
from waterkit.water.meter import Meter, shown_us_cm
from waterkit.water.readings import Readings

DEMO = Path(__file__).parents[2] / "data" / "demo-club"
AS_OF = dt.date(2028, 2, 1)
PEN = Meter("pen", standard_us_cm=147.0, opened=dt.date(2027, 12, 1))
BENCH = Meter("bench", "pure water", resolution_us_cm=0.01)


@pytest.fixture(scope="module")
def club() -> Club:
    return replace(read_club(DEMO), meters=(PEN, BENCH))


def words(values: list[str]) -> "NDArray[np.object_]":
    return np.array(values, dtype=object)


def log(rows: list[tuple[int, str, str, float, float]]) -> Readings:
    """Minutes before the end of the day, point, meter, what it shows, temperature."""
    end = np.datetime64("2028-02-01T12:00:00", "s")
    empty, none = words([""] * len(rows)), np.full(len(rows), np.nan)
    return Readings(
        np.array([end - np.timedelta64(row[0], "m") for row in rows]),
        words([row[1] for row in rows]), np.array([row[3] for row in rows]),
        np.array([row[4] for row in rows]), words([row[2] for row in rows]), empty, none, none,
        empty, empty, empty, empty,
    )  # fmt: skip


def both(error: float, weeks: int = 6) -> list[tuple[int, str, str, float, float]]:
    """The same water by both meters, each in its own way; the pen shows ``error`` times it."""
    rows = []
    for week in range(weeks):
        actual, celsius = float(dilute_at_temperature(4.0 + week, 8.0)), 8.0
        minutes = week * 7 * 1440
        pen, bench = (float(shown_us_cm(actual, celsius, meter)) for meter in (PEN, BENCH))
        rows += [(minutes, "tank", "pen", pen * error, celsius)]
        rows += [(minutes + 5, "tank", "bench", bench, celsius)]
    return rows


def keys(club: Club, rows: list[tuple[int, str, str, float, float]]) -> list[str]:
    return [note.key for note in meter_findings(replace(club, readings=log(rows)), AS_OF)]


def test_meters_that_agree_are_left_alone_though_they_correct_differently(club: Club) -> None:
    assert keys(club, both(1.0)) == []
    assert meter_findings(club, AS_OF) == ()


def test_a_meter_that_shows_more_than_another_is_told_with_figures(club: Club) -> None:
    (note,) = meter_findings(replace(club, readings=log(both(1.2))), AS_OF)
    assert note.key == "meters-disagree"
    assert note.values["percent"] == pytest.approx(20.0, abs=0.5)
    assert (note.values["counted"], note.values["point"]) == (5, "tank")


def test_what_it_was_before_is_told_where_it_is_known(club: Club) -> None:
    sound = [(row[0] + 50_000, *row[1:]) for row in both(1.0, weeks=4)]
    (note,) = meter_findings(replace(club, readings=log(both(1.2, weeks=5) + sound)), AS_OF)
    assert note.key == "meters-drift-apart"
    assert note.values["before_percent"] == pytest.approx(0.0, abs=0.5)
    checks = [(n * 9_000, "standard", "pen", 147.0 * (1.1 if n < 5 else 1.0), 25.0)
              for n in range(10)]  # fmt: skip
    assert keys(club, checks) == ["meter-drifts-off"]


def test_readings_hours_apart_or_months_ago_are_not_compared(club: Club) -> None:
    apart = [(row[0] + 120 * (row[2] == "bench"), *row[1:]) for row in both(1.5)]
    assert keys(club, apart) == []
    assert keys(club, [(row[0] + 150_000, *row[1:]) for row in both(1.5)]) == []
    assert keys(club, [(row[0] - 10_000_000, *row[1:]) for row in both(1.5)]) == []


def test_a_meter_off_its_standard_is_told(club: Club) -> None:
    rows = [(n * 10_000, "standard", "pen", 147.0 * 1.08, 25.0) for n in range(4)]
    assert keys(club, rows) == ["meter-off-its-standard"]
    assert keys(club, [(row[0], *row[1:3], 147.0, 25.0) for row in rows]) == []


def test_a_standard_past_its_day_is_told(club: Club) -> None:
    old = replace(club, meters=(replace(PEN, opened=dt.date(2027, 5, 1)), BENCH))
    assert [note.key for note in meter_findings(old, AS_OF)] == ["standard-past-its-day"]


def test_a_million_readings_cost_little(club: Club) -> None:
    count = 1_000_000
    end = np.datetime64("2028-02-01T12:00:00", "s")
    empty, random = np.full(count, "", dtype=object), np.random.default_rng(1)
    readings = Readings(
        end - np.arange(count)[::-1].astype("timedelta64[m]"),
        np.array(["tank", "DI outlet"], dtype=object)[random.integers(0, 2, count)],
        random.lognormal(1, 0.1, count), np.full(count, 8.0),
        np.array(["pen", "bench"], dtype=object)[random.integers(0, 2, count)],
        empty, np.full(count, np.nan), 3.0 * np.arange(count, dtype=np.float64),
        empty, empty, empty, empty,
    )  # fmt: skip
    started = time.process_time()
    meter_findings(replace(club, readings=readings), AS_OF)
    assert time.process_time() - started < 1.0  # reading them takes longer than that
