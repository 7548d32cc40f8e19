"""What the resin still gives at the tank: by the log where there is one, else by the rating."""

import datetime as dt
from dataclasses import replace
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from waterkit.club import read_club
from waterkit.club.schema import Club
from waterkit.plan import plan_season
from waterkit.plan.at_tank import Asked, AtTank, at_tank
from waterkit.treatment.experience import VesselChange
from waterkit.water.readings import Readings

DEMO = Path(__file__).parents[2] / "data" / "demo-club"
NOON = dt.datetime(2027, 3, 20, 12, 0, tzinfo=ZoneInfo("Europe/Berlin"))
ASKED = Asked(1.0, "uS/cm", 6.0, point="DI outlet")
RUNS = ((12, 5, 0.0), (1, 10, 4000.0), (2, 10, 8000.0), (3, 10, 12000.0))
"""Month, day and total at each change: every run ended at its limit after 4000 L."""


def changes(*after: VesselChange) -> tuple[VesselChange, ...]:
    """Vessels that took turns in the lead; the last one put in is vessel 1 of vessels.csv."""
    names = ["vessel 4", "vessel 2", "vessel 3", "vessel 4", "vessel 1"]
    return tuple(
        VesselChange(
            dt.date(2026 if month == 12 else 2027, month, day), "lead", names[place],
            names[place + 1], "at limit", 12.0, total,
        )
        for place, (month, day, total) in enumerate(RUNS)
    ) + after  # fmt: skip


@pytest.fixture(scope="module")
def club() -> Club:
    return read_club(DEMO)


@pytest.fixture(scope="module")
def logged(club: Club) -> AtTank:
    return at_tank(replace(club, changeouts=changes()), NOON, ASKED)


def test_without_a_log_there_is_no_range(club: Club) -> None:
    resin = at_tank(club, NOON, ASKED).resin
    assert resin is not None
    assert (resin.low_l, resin.high_l, resin.expected_25_us_cm) == (None, None, None)


def test_with_a_log_the_litres_are_those_learned(club: Club, logged: AtTank) -> None:
    resin, rated = logged.resin, at_tank(club, NOON, ASKED).resin
    assert resin is not None
    assert rated is not None
    assert resin.low_l is not None
    assert resin.high_l is not None
    assert resin.low_l < resin.litres_l < resin.high_l
    assert resin.litres_l < rated.litres_l  # 4000 L a run, where the rating says 4982 L


def test_tank_and_season_tell_the_same_litres(logged: AtTank) -> None:
    plan = plan_season(logged.club, NOON.date())
    assert plan.resin is not None
    assert logged.litres_left == pytest.approx(plan.resin.litres_to_change, rel=0.02)


def test_a_half_spent_vessel_has_less_left_but_more_than_the_difference(club: Club) -> None:
    """Whatever has come so far is likely to be one of the better ones."""
    on = VesselChange(
        dt.date(2027, 3, 18), "lag", "vessel 2", "vessel 3", "by litres", 0.1, 14000.0
    )
    half = at_tank(replace(club, changeouts=changes(on)), NOON, ASKED)
    fresh = at_tank(replace(club, changeouts=changes()), NOON, ASKED)
    assert half.resin is not None
    assert fresh.resin is not None
    assert half.resin.litres_l < fresh.resin.litres_l
    assert half.resin.litres_l >= fresh.resin.litres_l - 2000.0 - 1.0


def _read(total_l: float, *at: tuple[str, float, float]) -> Readings:
    """What was read behind the lead at some totals, and the newest total of all."""
    rows = [*at, ("tank", 1.0, total_l)]
    count, empty = len(rows), np.full(len(rows), "", dtype=object)
    nothing = np.full(count, np.nan)
    return Readings(
        np.array([f"2027-03-19T{hour:02d}" for hour in range(count)], dtype="datetime64[s]"),
        np.array([point for point, _, _ in rows], dtype=object),
        np.array([shown for _, shown, _ in rows]), np.full(count, 25.0), empty, empty, nothing,
        np.array([total for _, _, total in rows]), empty, empty, empty, empty,
    )  # fmt: skip


def _left(club: Club, total_l: float, *at: tuple[str, float, float]) -> tuple[float, ...]:
    log = replace(club, changeouts=changes(), readings=_read(total_l, *at))
    found = at_tank(log, NOON, ASKED).resin
    assert found is not None
    return found.litres_l, found.low_l or 0.0, found.high_l or 0.0


def test_every_litre_treated_leaves_less(club: Club) -> None:
    """A vessel that nobody looked behind is not one of the better ones because it still stands."""
    found = [_left(club, 12000.0 + treated) for treated in (500, 2000, 3500, 6000, 15000, 40000)]
    for one in zip(*found, strict=True):
        assert list(one) == sorted(one, reverse=True)
    assert found[0][0] > found[2][0] > 0
    assert found[-1] == (0.0, 0.0, 0.0)


def test_a_reading_behind_the_lead_tells_that_it_is_past_its_limit(club: Club) -> None:
    good = ("lead outlet", 0.3, 14000.0)
    unread, read = _left(club, 14500.0), _left(club, 14500.0, good)
    assert read[0] > 0
    assert read[2] >= unread[2]
    assert _left(club, 14500.0, good, ("lead outlet", 60.0, 14400.0)) == (0.0, 0.0, 0.0)
    rinsing = ("lead outlet", 60.0, 12050.0)
    assert _left(club, 14500.0, rinsing) == unread
