"""What is due, from the demo club; how long a sample and a standard hold is common practice."""

import dataclasses
import datetime as dt
from pathlib import Path

import pytest

from waterkit.club import read_club
from waterkit.plan import SeasonPlan, plan_season
from waterkit.plan.week import KINDS, changeouts_due, checks_due, orders_due, steps_due

AS_OF = dt.date(2027, 8, 15)


@pytest.fixture(scope="module")
def plan(demo_folder: Path) -> SeasonPlan:
    return plan_season(read_club(demo_folder), AS_OF)


def test_every_line_to_buy_is_due_on_the_day_to_order(plan: SeasonPlan) -> None:
    to_buy = [line for line in plan.orders if line.to_buy > 0]
    due = orders_due(plan)
    assert [each.day for each in due] == [line.order_by for line in to_buy]
    assert [each.note.values["item"] for each in due] == [line.need.item.item for line in to_buy]


def test_a_line_without_an_offer_is_to_be_asked_for(plan: SeasonPlan) -> None:
    bare = plan_season(dataclasses.replace(plan.club, offers=()), AS_OF)
    assert {each.note.key for each in orders_due(bare)} == {"offer-to-ask-for"}


def test_steps_are_due_when_they_begin(plan: SeasonPlan) -> None:
    due = steps_due(plan)
    assert plan.start is not None
    assert min(each.day for each in due) == plan.start.date()
    assert {each.note.key for each in due} == {"step-due", "dry-step-due"}


def test_what_is_done_is_not_due(plan: SeasonPlan) -> None:
    first, *others = plan.club.layers
    done = dataclasses.replace(first, done_on=AS_OF)
    later = plan_season(dataclasses.replace(plan.club, layers=(done, *others)), AS_OF)
    assert first.step not in [each.note.values["step"] for each in steps_due(later)]


def test_changeouts_are_due_on_their_days(plan: SeasonPlan) -> None:
    assert tuple(each.day for each in changeouts_due(plan)) == plan.supply.change_days()


def test_a_sample_grows_old_after_a_year_and_a_standard_after_half(plan: SeasonPlan) -> None:
    sample, standard = checks_due(plan)
    assert sample.day == plan.feed.in_force.date + dt.timedelta(days=365)
    opened = plan.club.meters[0].opened
    assert opened is not None
    assert standard.day == opened + dt.timedelta(days=182)


def test_each_kind_can_be_told_by_itself(plan: SeasonPlan) -> None:
    assert all(kind(plan) for kind in KINDS.values())
