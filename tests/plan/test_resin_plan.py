"""The order of trust, learned before rated before totals: litres, season, what stands now."""

import datetime as dt
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from waterkit.club import read_club
from waterkit.club.schema import Club
from waterkit.plan import SeasonPlan, plan_season
from waterkit.treatment.experience import VesselChange
from waterkit.treatment.ion_exchange import Endpoint
from waterkit.treatment.vessel_run import VesselRun

DEMO = Path(__file__).parents[2] / "data" / "demo-club"
AS_OF = dt.date(2027, 8, 15)
CHANGES = (
    ("vessel 2", "vessel 3", dt.date(2027, 1, 10), 4000.0, 12.0),
    ("vessel 3", "vessel 4", dt.date(2027, 2, 10), 8000.0, 12.0),
    ("vessel 4", "vessel 1", dt.date(2027, 3, 10), 12000.0, 12.0),
)
"""Three vessels in the lead, each spent after 4000 L where their rating says 4982."""


def change(out: str, put_in: str, day: dt.date, total_l: float, last: float) -> VesselChange:
    return VesselChange(day, "lead", out, put_in, "at limit", last, total_l)


@pytest.fixture(scope="module")
def club() -> Club:
    return read_club(DEMO)


@pytest.fixture(scope="module")
def taught(club: Club) -> SeasonPlan:
    first = change("vessel 1", "vessel 2", dt.date(2026, 12, 1), 0.0, 12.0)
    changes = (first, *(change(*row) for row in CHANGES))
    return plan_season(replace(club, changeouts=changes), AS_OF)


def test_without_changes_the_rating_is_trusted(club: Club) -> None:
    plan = plan_season(club, AS_OF)
    assert plan.trusted is plan.vessel
    assert plan.learned_litres is None
    assert plan.resin is not None
    assert plan.by_rating is not None
    assert plan.resin.litres_to_exhaustion == plan.by_rating.litres_to_exhaustion


def test_what_was_learned_is_trusted_before_the_rating(taught: SeasonPlan) -> None:
    assert taught.resin is not None
    assert taught.by_rating is not None
    rated, learned = taught.by_rating.litres_to_exhaustion, taught.resin.litres_to_exhaustion
    assert rated == pytest.approx(4982.0, abs=1.0)
    assert learned is not None
    assert 3900.0 < learned < 4400.0  # three runs of 4000 L pull most of the way from 4982 L
    assert taught.learned_litres is not None
    assert taught.learned_litres.low_l < learned < taught.learned_litres.high_l


def test_season_and_curve_follow_what_was_learned(club: Club, taught: SeasonPlan) -> None:
    assert taught.resin is not None
    plain = plan_season(club, AS_OF)
    life_l = float(np.atleast_1d(taught.plant.life_l)[0])
    assert life_l == pytest.approx(taught.resin.litres_to_change)
    assert len(taught.supply.change_days()) >= len(plain.supply.change_days())
    assert isinstance(taught.bed, VesselRun)
    reached = taught.bed.run.litres_to(Endpoint("conductivity", 10.0)).litres_l
    assert reached == pytest.approx(taught.resin.litres_to_exhaustion)
    assert isinstance(plain.bed, VesselRun)
    assert taught.bed.by_model.litres_l == pytest.approx(plain.bed.by_model.litres_l)


def test_a_vessel_that_is_half_spent_is_changed_sooner(club: Club, taught: SeasonPlan) -> None:
    """What the log tells of the vessel in the lead stands before its row in vessels.csv."""
    later = change("vessel 1", "vessel 2", dt.date(2027, 4, 1), 12000.0, 0.2)
    spent = change("vessel 9", "vessel 9", dt.date(2027, 4, 20), 14000.0, 0.2)
    lag = replace(spent, position="lag")
    plan = plan_season(
        replace(taught.club, changeouts=(*taught.club.changeouts, later, lag)), AS_OF
    )
    lead = next(
        v for v in plan.learned.standing_now(plan.vessels, plan.load) if v.position == "lead"
    )
    assert lead.litres_already_through_l == pytest.approx(2000.0, rel=0.01)
    assert plan.supply.change_days()[0] <= taught.supply.change_days()[0]
