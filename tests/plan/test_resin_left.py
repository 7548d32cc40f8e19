"""What the resin still gives at the tank: by the log where there is one, else by the rating."""

import datetime as dt
from dataclasses import replace
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from waterkit.club import read_club
from waterkit.club.schema import Club
from waterkit.plan import plan_season
from waterkit.plan.at_tank import Asked, AtTank, at_tank
from waterkit.treatment.experience import VesselChange

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
