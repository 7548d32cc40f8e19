"""The plan joins its parts rightly; the parts' figures are tested in their own rooms."""

import datetime as dt
from dataclasses import replace
from pathlib import Path

import pytest

from waterkit.club import read_club
from waterkit.club.schema import Club
from waterkit.plan import SeasonPlan, plan_season, read_feed

DEMO = Path(__file__).parents[1] / "data" / "demo-club"
AS_OF = dt.date(2027, 8, 15)


@pytest.fixture(scope="module")
def club() -> Club:
    return read_club(DEMO)


@pytest.fixture(scope="module")
def plan(club: Club) -> SeasonPlan:
    return plan_season(club, AS_OF)


def test_the_demo_season_is_what_small_halls_report(plan: SeasonPlan) -> None:
    """Common practice, no source: halls report 7.5 to 10 m3 of DI water a sheet and season."""
    per_sheet = plan.supply.litres_di[0] / 1000 / plan.club.rink.sheets
    assert 7.5 <= per_sheet <= 10


def test_the_demo_build_is_what_small_halls_report(plan: SeasonPlan) -> None:
    """Common practice, no source: 5 to 6.5 m3 a sheet to build, 25 to 40 mm of ice."""
    per_sheet = sum(step.water.litres_l for step in plan.steps) / 1000 / plan.club.rink.sheets
    assert 5 <= per_sheet <= 6.5
    assert 25 <= plan.ice_mm <= 40


def test_water_is_kept_over_the_season(plan: SeasonPlan) -> None:
    supply = plan.supply
    start, left = supply.start[0, 0], supply.left[-1, 0]
    made, used, lost = (supply.made.sum(), supply.used.sum(), supply.lost.sum())
    assert abs(start + made - used - lost - left) <= 1e-9 * made


def test_every_litre_asked_for_is_served_in_the_demo(plan: SeasonPlan) -> None:
    assert plan.supply.first_short() is None
    asked = plan.demand.to_numpy().sum()
    rinse = plan.supply.made.sum() - asked - plan.supply.left[-1, 0]
    assert plan.supply.used.sum() + plan.supply.lost.sum() == pytest.approx(asked + rinse)


def test_the_build_is_ready_on_opening_day(plan: SeasonPlan) -> None:
    ends = [step.end for step in plan.steps if step.end]
    assert max(ends).date() <= plan.club.season.first_draw
    assert plan.start == min(step.start for step in plan.steps if step.start)


def test_white_asks_for_the_water_and_not_for_the_mix(plan: SeasonPlan) -> None:
    asked = sum(step.water.drawn_l for step in plan.steps if step.row.kind == "white")
    assert plan.paint is not None
    assert asked == pytest.approx(plan.paint.water_l, abs=0.01)
    assert asked < plan.paint.mix_l


def test_powder_on_the_list_is_powder_of_the_batches(plan: SeasonPlan) -> None:
    (need,) = {line.need.needed for line in plan.orders if line.need.item.driver == "kg powder"}
    assert plan.paint is not None
    assert need == pytest.approx(plan.paint.powder_kg)


def test_vessels_are_changed_after_their_litres(plan: SeasonPlan) -> None:
    through = plan.supply.made.sum()
    assert plan.resin is not None
    assert plan.resin.litres_to_change is not None
    expected = through / plan.resin.litres_to_change
    assert abs(len(plan.supply.change_days()) - expected) <= 1


def test_feed_in_force_is_the_newest_before_the_day(club: Club) -> None:
    first = min(sample.date for sample in club.samples)
    retest = replace(club.samples[0], sample="re-test", date=dt.date(2027, 9, 1))
    club = replace(club, samples=(*club.samples, retest))
    assert read_feed(club, dt.date(2027, 9, 1)).in_force.sample == "re-test"
    assert read_feed(club, AS_OF).in_force.sample != "re-test"
    early = read_feed(club, first - dt.timedelta(days=1))
    assert early.in_force.date == first
    assert [note.key for note in early.notes] == ["sample-after-the-day"]


def test_a_club_without_optional_files_is_still_planned(club: Club) -> None:
    bare = Club(
        name="Bare", season=club.season, rink=club.rink, samples=club.samples, folder=club.folder
    )
    plan = plan_season(bare, AS_OF)
    keys = {note.key for note in plan.notes}
    assert {"default-layers", "default-draws", "no-vessels"} <= keys
    assert plan.resin is None
    assert plan.paint is not None
    assert plan.orders == ()


def test_a_day_in_mid_season_leaves_the_past_alone(club: Club) -> None:
    plan = plan_season(club, dt.date(2028, 1, 10))
    assert min(plan.supply.days) >= dt.date(2028, 1, 10)
    assert all(line.needed_by is None or line.needed_by >= plan.as_of for line in plan.orders)


def test_a_short_supply_is_a_finding(club: Club) -> None:
    small = tuple(
        replace(process, flow_l_h=5.0) if process.kind == "di" else process
        for process in club.train
    )
    plan = plan_season(replace(club, train=small), AS_OF)
    assert plan.supply.first_short() is not None
    assert "first-day-short" in {finding.key for finding in plan.findings}


def test_late_orders_are_a_finding(club: Club) -> None:
    plan = plan_season(club, dt.date(2027, 10, 1))
    assert "late-orders" in {finding.key for finding in plan.findings}
