"""A working's inputs, put into its formula by hand, give its result."""

import datetime as dt
from pathlib import Path

import pytest

from waterkit.club import read_club
from waterkit.plan import SeasonPlan, plan_season
from waterkit.season.workings import pebble_week_working, start_working, treated_water_working
from waterkit.working import Working


def numbers(working: Working) -> list[float]:
    """The inputs that are numbers, in their order."""
    return [given.value for given in working.inputs if isinstance(given.value, int | float)]


@pytest.fixture(scope="module")
def plan(demo_folder: Path) -> SeasonPlan:
    return plan_season(read_club(demo_folder), dt.date(2027, 8, 15))


def test_pebble_of_every_week(plan: SeasonPlan) -> None:
    club = plan.club
    for week in plan.weeks:
        working = pebble_week_working(week, plan.plays, plan.ice_days, club.rink, club.pebble)
        *pairs, waste = numbers(working)
        on_ice = sum(count * litres for count, litres in zip(pairs[::2], pairs[1::2], strict=True))
        assert working.result == pytest.approx(on_ice * (1 + waste / 100))


def test_treated_water_balances(plan: SeasonPlan) -> None:
    working = treated_water_working(plan.supply)
    used, lost, left, start = numbers(working)
    assert working.result == pytest.approx(used + lost + left - start)


def test_the_start_lies_before_the_first_draw_by_all_the_hours(plan: SeasonPlan) -> None:
    assert plan.start is not None
    working = start_working(plan.steps, plan.club.season, plan.start)
    apply_h, wait_h, _ = numbers(working)
    opening = dt.datetime.combine(plan.club.season.first_draw, dt.time(0), plan.start.tzinfo)
    longest = max(step.hours.total_h for step in plan.steps)
    assert longest < (opening - plan.start).total_seconds() / 3600
    assert apply_h + wait_h == pytest.approx(sum(step.hours.total_h for step in plan.steps))
