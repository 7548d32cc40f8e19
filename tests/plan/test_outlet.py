"""Readings behind a vessel held against its curve: a made log."""

import datetime as dt
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from waterkit.club import read_club
from waterkit.club.schema import Club
from waterkit.plan.experience import learn
from waterkit.plan.feed import read_feed
from waterkit.plan.outlet import outlet_findings, readings_of_run
from waterkit.treatment.experience import VesselChange
from waterkit.water.meter import Meter
from waterkit.water.readings import Readings
from waterkit.working import Note

DEMO = Path(__file__).parents[2] / "data" / "demo-club"
CHANGED = dt.date(2027, 10, 1)
AS_OF = dt.date(2027, 11, 30)
CURVE = (np.array([0.0, 4000.0, 5000.0, 6000.0]), np.array([0.1, 0.1, 10.0, 300.0]))


@pytest.fixture(scope="module")
def club() -> Club:
    demo = read_club(DEMO)
    change = VesselChange(CHANGED, "lead", "vessel 9", "vessel 1", treated_total_l=10_000.0)
    return replace(demo, changeouts=(change,), meters=(Meter("pen", "pure water"),))


def log(shown: list[float], point: str = "lead outlet", meter: str = "pen") -> Readings:
    """A reading a day from the change on, 200 L apart, the first two before the change."""
    count = len(shown)
    start = np.datetime64("2027-09-29T12:00:00", "s")
    words = np.full(count, "", dtype=object)
    none = np.full(count, np.nan)
    return Readings(
        start + 86_400 * np.arange(count), np.full(count, point, dtype=object), np.array(shown),
        np.full(count, 10.0), np.full(count, meter, dtype=object), words, none,
        9_600.0 + 200.0 * np.arange(count, dtype=np.float64), words, words, words, words,
    )  # fmt: skip


def findings(club: Club, readings: Readings) -> tuple[Note, ...]:
    club = replace(club, readings=readings)
    found = learn(club, AS_OF, read_feed(club, AS_OF), club.train, club.vessels)
    return outlet_findings(club, AS_OF, found, club.vessels[0], CURVE, 100.0)


def test_readings_that_stay_on_the_curve_say_nothing(club: Club) -> None:
    assert findings(club, log([50.0, 50.0, 30.0] + [0.2] * 10)) == ()


def test_readings_that_leave_the_curve_are_told_with_their_litres(club: Club) -> None:
    (note,) = findings(club, log([0.2] * 8 + [12.0] * 4))
    assert note.key == "readings-above-curve"
    assert note.values["since_l"] == pytest.approx(1200.0)
    assert note.values["shown_us_cm"] == pytest.approx(12.0, rel=1e-6)


def test_readings_at_other_points_or_of_unknown_meters_say_nothing(club: Club) -> None:
    assert findings(club, log([12.0] * 12, "tank")) == ()
    assert findings(club, log([12.0] * 12, meter="borrowed")) == ()
    assert len(findings(club, log([12.0] * 12, meter=""))) == 1  # the only meter there is


def test_litres_count_from_the_change(club: Club) -> None:
    readings = log([0.2] * 6)
    gaps = replace(readings, treated_total_l=np.where(np.arange(6) == 3, np.nan,
                                                      readings.treated_total_l))  # fmt: skip
    with_log = replace(club, readings=gaps)
    found = learn(with_log, AS_OF, read_feed(with_log, AS_OF), club.train, club.vessels)
    litres, shown = readings_of_run(with_log, AS_OF, found, club.vessels[0])
    assert litres == pytest.approx([0.0, 200.0, 400.0, 600.0])
    assert len(shown) == 4
    nothing = readings_of_run(club, AS_OF, found, club.vessels[0])
    assert [len(part) for part in nothing] == [0, 0]
