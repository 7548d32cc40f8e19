"""A working's inputs, put into its formula by hand, give its result."""

import datetime as dt
from decimal import Decimal
from pathlib import Path

import pytest

from waterkit.club import read_club
from waterkit.dates import working_days_before
from waterkit.plan import SeasonPlan, plan_season
from waterkit.purchasing.records import Supplier
from waterkit.purchasing.workings import order_by_working, to_buy_working, total_working
from waterkit.working import Working


def numbers(working: Working) -> list[float]:
    """The inputs that are numbers, in their order."""
    return [given.value for given in working.inputs if isinstance(given.value, int | float)]


@pytest.fixture(scope="module")
def plan(demo_folder: Path) -> SeasonPlan:
    return plan_season(read_club(demo_folder), dt.date(2027, 8, 15))


def test_what_to_buy(plan: SeasonPlan) -> None:
    for line in (line for line in plan.orders if line.to_buy > 0):
        needed, contingency, stock, ordered = numbers(to_buy_working(line))
        assert line.to_buy == pytest.approx(needed + contingency - stock - ordered)


def test_the_day_to_order(plan: SeasonPlan) -> None:
    supplier = Supplier("far away", lead_working_days=10.0)
    line = next(line for line in plan.orders if line.order_by)
    working = order_by_working(line, supplier, plan.club.budget)
    assert working.result == line.order_by
    days = [given.value for given in working.inputs]
    assert days[:3] == [line.needed_by, 10.0, plan.club.budget.buffer_working_days]
    assert len(days) == 3  # never closed


def test_days_on_which_the_supplier_is_closed_are_told(plan: SeasonPlan) -> None:
    line = next(line for line in plan.orders if line.late and line.choice)
    assert line.choice is not None
    supplier = plan.suppliers[line.choice.offer.supplier]
    working = order_by_working(line, supplier, plan.club.budget)
    assert supplier.closed_from in [given.value for given in working.inputs]
    assert line.needed_by is not None
    lead = round(supplier.lead_working_days + plan.club.budget.buffer_working_days)
    assert working.result <= working_days_before(line.needed_by, lead)  # type: ignore[operator]


def test_the_total(plan: SeasonPlan) -> None:
    working = total_working(plan.totals)
    assert working.result == plan.totals.likely
    assert sum((Decimal(str(given.value)) for given in working.inputs), Decimal(0)) == (
        plan.totals.likely
    )
