"""Topics of the demo club: what they tell must be what the plan holds."""

import dataclasses
import datetime as dt
from collections.abc import Iterator
from decimal import Decimal, InvalidOperation

import pytest

from waterkit.pages.view import TOPICS, money, season, topic_of
from waterkit.pages.view.cautions import CAUTIONS, RULE
from waterkit.pages.view.figures import Figures
from waterkit.pages.view.shapes import Table, Topic
from waterkit.plan import SeasonPlan

MOST_FACTS = 5


@pytest.mark.parametrize("name", TOPICS)
def test_a_topic_has_at_most_five_facts_and_full_rows(name: str, plan: SeasonPlan) -> None:
    topic = topic_of(name, plan)
    assert 0 < len(topic.facts) <= MOST_FACTS
    for table in topic.tables:
        assert {len(row) for row in table.rows} <= {len(table.columns)}
        assert table.marks <= set(range(len(table.rows)))


@pytest.mark.parametrize("name", ["water", "layers", "paint", "resin", "season", "card"])
def test_where_work_can_hurt_the_rule_stands(name: str, plan: SeasonPlan) -> None:
    topic = topic_of(name, plan)
    assert topic.cautions[-1] == RULE
    assert len(topic.cautions) > 1


def test_every_caution_stands_somewhere(plan: SeasonPlan) -> None:
    told = {text for name in TOPICS for text in topic_of(name, plan).cautions}
    assert {text for texts in CAUTIONS.values() for text in texts} <= told


@pytest.mark.parametrize("name", TOPICS)
def test_us_gallons_are_read_where_the_club_reads_them(name: str, plan: SeasonPlan) -> None:
    club = dataclasses.replace(plan.club, display="us", locale="en_US", currency="USD")
    topic = topic_of(name, dataclasses.replace(plan, club=club))
    units = {column.unit for table in topic.tables for column in table.columns}
    assert not units & {"L", "mm", "kg", "°C"}


# One US unit in metric ones, by the exact definitions of NIST SP 811; degrees begin elsewhere.
METRIC_OF_ONE_US = {
    ("L", "US gal"): (3.785411784, 0.0),
    ("mm", "in"): (25.4, 0.0),
    ("kg", "lb"): (0.45359237, 0.0),
    ("kg/L", "lb/US gal"): (0.45359237 / 3.785411784, 0.0),
    ("°C", "°F"): (5 / 9, 32.0),
}


def _number(cell: str) -> tuple[Decimal, float] | None:
    """A number in a cell, and half of its last digit; None for words."""
    try:
        number = Decimal(cell.replace(",", ""))
    except InvalidOperation:
        return None
    return number, 0.5 * 10.0 ** int(number.as_tuple().exponent)


def _pairs(metric: Table, us: Table) -> Iterator[tuple[str, str, str, str]]:
    """Cells of the same figure in both displays, with their units."""
    for row, other in zip(metric.rows, us.rows, strict=True):
        units = [
            (column.unit, twin.unit)
            for column, twin in zip(metric.columns, us.columns, strict=True)
        ]
        for (unit, twin), cell, told in zip(units, row, other, strict=True):
            if unit != twin:
                yield unit, twin, cell, told


@pytest.mark.parametrize("name", ["layers", "paint", "pebble", "season", "resin", "card"])
def test_both_displays_of_one_folder_tell_the_same_quantities(name: str, plan: SeasonPlan) -> None:
    club = dataclasses.replace(plan.club, display="us")
    topics = (topic_of(name, plan), topic_of(name, dataclasses.replace(plan, club=club)))
    compared = 0
    for metric, us in zip(*(topic.tables for topic in topics), strict=True):
        for unit, twin, cell, told in _pairs(metric, us):
            first, second = _number(cell), _number(told)
            assert (first is None) == (second is None)
            if first is None or second is None:
                continue
            factor, zero = METRIC_OF_ONE_US[unit, twin]
            off = abs((float(second[0]) - zero) * factor - float(first[0]))
            assert off <= first[1] + second[1] * factor + 1e-9
            compared += 1
    assert compared > 0


def _cell(topic: Topic, table: str, row: str, column: str) -> str:
    found = next(entry for entry in topic.tables if entry.title == table)
    heads = [head.head for head in found.columns]
    return next(cells[heads.index(column)] for cells in found.rows if cells[0] == row)


def test_the_season_topic_tells_the_balance_of_the_plan(plan: SeasonPlan) -> None:
    topic = topic_of("season", plan)
    made = float(plan.supply.made[:, 0].sum())
    assert _cell(topic, "Water balance", "Made, rinsing included", "Season") == f"{made:,.0f}"


def test_the_weeks_ask_for_all_that_the_days_ask_for(plan: SeasonPlan) -> None:
    asked = sum(sum(week.asked.values()) for week in season.by_week(plan))
    of_the_tank = plan.demand.drop(columns="raw")
    days = of_the_tank.loc[list(plan.supply.days)].to_numpy().sum()
    assert asked == pytest.approx(days, rel=1e-12)


def test_late_orders_come_first_and_say_so(plan: SeasonPlan, figures: Figures) -> None:
    lines = [line for line in money.in_order(plan) if line.to_buy > 0]
    late = [line.late for line in lines]
    assert late == sorted(late, reverse=True)
    table = money.order_table(lines, plan.as_of, figures)
    told = [row[1].startswith("late: ") for row in table.rows]
    assert told == late
    assert table.marks == {number for number, is_late in enumerate(late) if is_late}


def test_the_price_of_water_is_its_items_shared_over_the_litres(plan: SeasonPlan) -> None:
    price = plan.price
    assert price.litre is not None
    assert price.unpriced == ()
    exchanged = next(line for line in plan.orders if line.need.item.driver == "vessel fill")
    assert exchanged.choice is not None
    unit_price = float(exchanged.choice.cost) / exchanged.choice.quantity
    alone = unit_price * exchanged.need.needed / float(plan.supply.litres_di[0])
    assert float(price.litre) > alone  # rent, trips and filters come on top


def test_the_card_shows_the_limits_themselves_at_25_degrees(plan: SeasonPlan) -> None:
    topic = topic_of("card", plan)
    shown = next(table for table in topic.tables if "Pebble" in table.title)
    heads = [column.head for column in shown.columns]
    warm = next(row for row in shown.rows if row[0] == "25")
    found = dict(zip(heads, warm, strict=True))
    pebble = plan.club.limits["pebble"]
    assert found["Fill up to"] == f"{pebble.good_us_cm:.1f}"
    assert found["Do not fill above"] == f"{pebble.act_us_cm:.1f}"


def test_a_club_without_vessels_or_white_has_topics_too(bare: SeasonPlan) -> None:
    for name in TOPICS:
        assert topic_of(name, bare).facts


def test_quotes_tell_their_age(plan: SeasonPlan, figures: Figures) -> None:
    line = next(line for line in plan.orders if line.choice and line.choice.offer.quoted_on)
    table = money.order_table([line], plan.as_of + dt.timedelta(days=100), figures)
    assert line.choice is not None
    assert line.choice.offer.quoted_on is not None
    age = (plan.as_of - line.choice.offer.quoted_on).days + 100
    heads = [column.head for column in table.columns]
    assert table.rows[0][heads.index("Age of quote")] == str(age)
