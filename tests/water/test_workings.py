"""A working's inputs, put into its formula by hand, give its result."""

import datetime as dt
from pathlib import Path

import pytest

from waterkit.club import read_club
from waterkit.plan import SeasonPlan, plan_season
from waterkit.water.workings import balance_working, load_working
from waterkit.working import Working


def numbers(working: Working) -> list[float]:
    """The inputs that are numbers, in their order."""
    return [given.value for given in working.inputs if isinstance(given.value, int | float)]


@pytest.fixture(scope="module")
def plan(demo_folder: Path) -> SeasonPlan:
    return plan_season(read_club(demo_folder), dt.date(2027, 8, 15))


def test_the_charge_balance(plan: SeasonPlan) -> None:
    working = balance_working(plan.feed.reports[0])
    assert working is not None
    cations, anions = numbers(working)
    assert working.result == pytest.approx(100 * (cations - anions) / (cations + anions))


def test_the_load(plan: SeasonPlan) -> None:
    feed = plan.feed
    working = load_working(feed.completed.water, feed.load)
    assert working.result == pytest.approx(sum(numbers(working)))
