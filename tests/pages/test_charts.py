import dataclasses
import datetime as dt
import re

import pytest

from waterkit.pages import charts
from waterkit.pages.charts import DRAWINGS, ROWS, staggered
from waterkit.pages.drawing import Chart
from waterkit.pages.view import TOPICS
from waterkit.pages.view.figures import Figures
from waterkit.pages.view.season import by_week
from waterkit.plan import SeasonPlan, plan_season
from waterkit.quantities import VOLUME


@pytest.fixture(params=DRAWINGS)
def chart(request: pytest.FixtureRequest, plan: SeasonPlan, figures: Figures) -> Chart:
    drawn = DRAWINGS[request.param](plan, figures)
    assert isinstance(drawn, Chart)
    return drawn


def words(chart: Chart) -> list[str]:
    return re.findall(r"<text[^>]*>([^<]*)</text>", chart.svg)


def test_every_drawing_belongs_beside_a_table(plan: SeasonPlan, figures: Figures) -> None:
    tables = {table.name for topic in TOPICS.values() for table in topic(plan, figures).tables}
    assert set(DRAWINGS) <= tables


def test_a_drawing_is_described_in_a_sentence(chart: Chart) -> None:
    assert chart.description.endswith(".")
    assert "[" in chart.title  # its unit


def test_the_same_plan_gives_the_same_bytes(plan: SeasonPlan, figures: Figures) -> None:
    for draw in DRAWINGS.values():
        assert draw(plan, figures) == draw(plan, figures)


def test_changeouts_stand_in_words_and_by_their_number(plan: SeasonPlan, figures: Figures) -> None:
    chart = charts.resin_left(plan, figures)
    assert chart is not None
    days = plan.supply.change_days()
    assert all(figures.day(day) in chart.description for day in days)
    assert str(len(days)) in " ".join(words(chart))


def test_days_close_together_are_named_above_each_other() -> None:
    days = [dt.date(2027, 9, 20), dt.date(2027, 9, 22), dt.date(2027, 12, 1)]
    assert [(row, label) for _, row, label in staggered(days)] == [(0, "1"), (1, "2"), (0, "3")]
    assert staggered([]) == []


def test_days_share_a_name_only_where_all_rows_are_full() -> None:
    days = [dt.date(2027, 9, 20 + n) for n in range(ROWS + 2)]
    labels = [label for _, _, label in staggered(days)]
    assert labels == [*(str(n + 1) for n in range(ROWS - 1)), f"{ROWS} to {ROWS + 2}"]


def test_each_use_is_labelled_with_its_highest_week(plan: SeasonPlan, figures: Figures) -> None:
    chart = charts.water_by_week(plan, figures)
    assert chart is not None
    most = max(week.asked["flood"] for week in by_week(plan))
    assert {"flood", "pebble on the ice", figures.number(most, VOLUME)} <= set(words(chart))
    assert "own scale" in chart.title


def test_every_step_to_come_stands_on_the_calendar(plan: SeasonPlan, figures: Figures) -> None:
    chart = charts.build_timeline(plan, figures)
    assert chart is not None
    names = {step.row.step for step in plan.steps}
    assert names <= set(words(chart))
    wet = [step.water.drawn_l for step in plan.steps if step.water.drawn_l > 0]
    assert {figures.number(litres, VOLUME) for litres in wet} <= set(words(chart))


def test_at_most_six_days_of_the_build_are_named(plan: SeasonPlan, figures: Figures) -> None:
    chart = charts.build_timeline(plan, figures)
    assert chart is not None
    named = [word for word in words(chart) if re.fullmatch("Sep\u00a0\\d+|Oct\u00a0\\d+", word)]
    assert 3 <= len(named) <= charts.MOST_DAYS


def test_a_long_name_is_cut(plan: SeasonPlan, figures: Figures) -> None:
    first, *others = plan.club.layers
    layers = (dataclasses.replace(first, step="x" * 99), *others)
    layers = tuple(
        dataclasses.replace(row, needs=tuple("x" * 99 if n == first.step else n for n in row.needs))
        for row in layers
    )
    long = plan_season(dataclasses.replace(plan.club, layers=layers), plan.as_of)
    chart = charts.build_timeline(long, figures)
    assert chart is not None
    (name,) = (word for word in words(chart) if word.startswith("xxx"))
    assert name.endswith("…")
    assert len(name) > 15


def test_payments_are_labelled_with_their_sums(plan: SeasonPlan, figures: Figures) -> None:
    chart = charts.cash_by_month(plan, figures)
    assert chart is not None
    assert {figures.cents(sum_) for sum_ in plan.totals.cash_by_month.values()} <= set(words(chart))


def test_where_there_is_nothing_nothing_is_drawn(bare: SeasonPlan, figures: Figures) -> None:
    club = dataclasses.replace(bare.club, items=(), vessels=())
    done = tuple(dataclasses.replace(row, done_on=dt.date(2027, 8, 1)) for row in club.layers)
    plan = plan_season(dataclasses.replace(club, layers=done), dt.date(2029, 1, 1))
    for name in ("weeks", "build", "cash"):
        assert DRAWINGS[name](plan, figures) is None
