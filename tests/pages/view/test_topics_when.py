"""What topics say when the day is late, a file is missing, or money was spent already."""

import dataclasses
import datetime as dt
from decimal import Decimal

import pytest

from waterkit.pages.view import ice, money, season, topic_of
from waterkit.pages.view.figures import UNKNOWN, Figures
from waterkit.pages.view.shapes import Column, Table, brief, lean
from waterkit.plan import SeasonPlan, plan_season
from waterkit.purchasing.records import Bill

LATE, IN_PLAY = dt.date(2027, 9, 18), dt.date(2028, 2, 6)


def at(plan: SeasonPlan, day: dt.date) -> SeasonPlan:
    return plan_season(plan.club, day)


def test_a_start_that_has_passed_is_told_as_passed(plan: SeasonPlan) -> None:
    for name in ("season", "layers"):
        answer = topic_of(name, at(plan, LATE)).answer
        assert "should have begun on Wed" in answer.replace("\u00a0", " ")
        assert "at the latest" not in answer
    assert "at the latest" in topic_of("season", plan).answer


def test_water_of_steps_that_are_late_is_said_not_to_count(plan: SeasonPlan) -> None:
    late = at(plan, LATE)
    count = sum(step.start is not None and step.start.date() < LATE for step in late.steps)
    assert f"not counting {count} steps of the build" in topic_of("season", late).answer
    assert "not counting" not in topic_of("season", plan).answer


def test_once_play_has_begun_steps_are_told_as_not_marked(plan: SeasonPlan) -> None:
    played = at(plan, IN_PLAY)
    assert [note.key for note in played.build_findings] == ["steps-not-marked-done"]
    answer = topic_of("season", played).answer
    assert f"{len(played.steps)} steps are not marked done" in answer
    assert "begin the build" not in answer


def test_a_built_rink_has_nothing_to_mark(plan: SeasonPlan, figures: Figures) -> None:
    done = tuple(dataclasses.replace(row, done_on=dt.date(2027, 9, 20)) for row in plan.club.layers)
    built = plan_season(dataclasses.replace(plan.club, layers=done), IN_PLAY)
    assert built.build_findings == ()
    assert season.build_answer(built, figures) == "the ice is built"


@pytest.mark.parametrize("last_year", [Decimal("5350.00"), None])
def test_without_a_purchase_list_there_is_no_sum_and_no_comparison(
    plan: SeasonPlan, last_year: Decimal | None
) -> None:
    budget = dataclasses.replace(plan.club.budget, last_year=last_year)
    club = dataclasses.replace(plan.club, items=(), budget=budget)
    topic = topic_of("buy", plan_season(club, plan.as_of))
    assert topic.answer == "There is no purchase list: items.csv is missing or empty."
    assert topic.facts[0].text == UNKNOWN
    assert topic.tables == ()
    assert not [fact for fact in topic.facts if "less" in fact.remark or "more" in fact.remark]


def _last_year(plan: SeasonPlan, figures: Figures) -> str:
    return next(fact for fact in money.buy(plan, figures).facts if fact.label == "Last year").remark


def test_a_whole_season_is_compared_with_a_whole_season_only(
    plan: SeasonPlan, figures: Figures
) -> None:
    assert _last_year(plan, figures).startswith("this season ")
    played = at(plan, IN_PLAY)
    assert "not in spending.csv" in _last_year(played, figures)
    bill = Bill(dt.date(2027, 9, 30), "2027-28", "resin", Decimal("5000.00"))
    paid = plan_season(dataclasses.replace(plan.club, spending=(bill,)), IN_PLAY)
    off = Decimal("5000.00") + paid.totals.likely - (plan.club.budget.last_year or Decimal(0))
    told = _last_year(paid, figures)
    assert figures.money(abs(off)) in told
    assert told.endswith("less" if off < 0 else "more")
    assert "€5,000.00 paid so far" in told


def test_what_is_counted_by_the_piece_comes_whole(plan: SeasonPlan, figures: Figures) -> None:
    lines = [line for line in plan.orders if line.to_buy > 0]
    table = money.order_table(lines, plan.as_of, figures)
    heads = [column.head for column in table.columns]
    for line, row in zip(lines, table.rows, strict=True):
        bought, left = row[heads.index("To buy")], row[heads.index("Left over")]
        assert float(bought.replace(",", "")) >= line.to_buy - 1e-6
        assert float(left.replace(",", "")) <= line.left_over + 1e-6
        assert ("." in bought) == ("." in left)
        if line.need.item.unit in {"blade", "test", "set", "piece", "fill", "trip"}:
            assert "." not in bought
            assert row[0].endswith(f"[{line.need.item.unit}]")


def test_each_week_between_the_first_and_the_last_has_its_row(plan: SeasonPlan) -> None:
    weeks = ice.every_week(plan.weeks)
    days = [dt.date.fromisoformat(f"{week.week}-1") for week in weeks]
    assert days == [days[0] + dt.timedelta(days=7 * n) for n in range(len(days))]
    assert len(weeks) > len(plan.weeks)  # nobody plays in the last week of the year
    (gap,) = (week for week in weeks if week not in plan.weeks)
    before = weeks[weeks.index(gap) - 1]
    assert (gap.draws, gap.litres, gap.ice_mm) == (0, 0.0, before.ice_mm)


def test_changeouts_tell_what_the_drawing_shows(plan: SeasonPlan, figures: Figures) -> None:
    left = plan.supply.resin_left[:, 0]
    for day, row in zip(
        plan.supply.change_days(), season.changeouts(plan, figures).rows, strict=True
    ):
        place = plan.supply.days.index(day)
        assert row[-2:] == (f"{left[place - 1]:,.0f}", f"{left[place]:,.0f}")


def test_a_column_that_tells_nothing_is_left_out() -> None:
    columns = (Column("a"), Column("b"), Column("c"))
    table = lean(Table("t", columns, (("1", UNKNOWN, "x"), ("2", "", UNKNOWN))))
    assert [column.head for column in table.columns] == ["a", "c"]
    assert table.rows == (("1", "x"), ("2", UNKNOWN))
    empty = Table("t", columns, ())
    assert lean(empty) == empty


def test_a_long_name_is_cut_to_a_line() -> None:
    assert brief("short") == "short"
    assert brief("x" * 200) == "x" * 59 + "…"


def test_a_fact_and_its_working_end_in_the_same_digits(plan: SeasonPlan) -> None:
    for name in ("season", "layers", "pebble", "buy"):
        facts = [fact for fact in topic_of(name, plan).facts if fact.working]
        assert facts
        assert all(fact.working and fact.working.result == fact.text for fact in facts)
