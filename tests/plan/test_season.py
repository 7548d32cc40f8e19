"""The plan joins its parts rightly; the parts' figures are tested in their own rooms."""

import datetime as dt
from dataclasses import replace
from pathlib import Path

import pytest

from waterkit.club import read_club
from waterkit.club.schema import Club
from waterkit.errors import InputError
from waterkit.plan import SeasonPlan, plan_season
from waterkit.plan.feed import read_feed
from waterkit.water.limits import USES

DEMO = Path(__file__).parents[2] / "data" / "demo-club"
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
    assert plan.supply.used.sum() == pytest.approx(plan.demand[list(USES)].to_numpy().sum())


def test_the_feed_gives_what_is_made_and_what_is_drawn_before_the_resin(plan: SeasonPlan) -> None:
    washing = sum(step.water.drawn_l for step in plan.steps if step.row.draws_from == "feed")
    supply = plan.supply
    assert supply.litres_feed[0] == pytest.approx(supply.litres_di[0] + washing)


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


def test_a_harder_test_brings_later_changes_forward_and_leaves_earlier_ones(
    club: Club, plan: SeasonPlan
) -> None:
    first = club.samples[0]
    doubled = {species: 2 * amount for species, amount in first.mmol_l.items()}
    alkalinity = 2 * (first.alkalinity_meq_l or 0.0)
    day = dt.date(2027, 10, 15)
    retest = replace(first, sample="re-test", date=day, mmol_l=doubled, alkalinity_meq_l=alkalinity)
    harder = plan_season(replace(club, samples=(*club.samples, retest)), AS_OF)
    before = [change for change in plan.supply.change_days() if change < day]
    assert [change for change in harder.supply.change_days() if change < day] == before
    assert len(harder.supply.change_days()) > len(plan.supply.change_days())


def test_a_club_without_optional_files_is_still_planned(club: Club) -> None:
    bare = Club(
        name="Bare", season=club.season, rink=club.rink, samples=club.samples, folder=club.folder
    )
    plan = plan_season(bare, AS_OF)
    keys = {note.key for note in plan.defaults}
    assert keys == {
        "default-layers", "default-draws", "default-train", "default-vessels", "no-items",
    }  # fmt: skip
    assert plan.resin is not None
    assert plan.paint is not None
    assert plan.orders == ()


def test_what_a_room_refuses_is_a_problem_with_its_file(club: Club) -> None:
    slow = replace(club, chiller=replace(club.chiller, freeze_test_l_h=0.01))
    with pytest.raises(InputError) as caught:
        _ = plan_season(slow, AS_OF).supply
    (problem,) = caught.value.problems
    assert problem.file == "layers.csv"
    assert "400 days" in problem.message


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
    assert "first-day-short" in {
        finding.key for finding in (*plan.supply_findings, *plan.order_findings)
    }


def test_late_orders_are_a_finding(club: Club) -> None:
    plan = plan_season(club, dt.date(2027, 10, 1))
    assert "late-orders" in {
        finding.key for finding in (*plan.supply_findings, *plan.order_findings)
    }
