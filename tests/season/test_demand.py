"""The draw calendar and what each day asks of the tank."""

import datetime as dt

import pytest

from waterkit.ice.pebble import PebbleRules
from waterkit.ice.sheet import Rink
from waterkit.season.build import Closure, SeasonDates
from waterkit.season.demand import (
    COMMON_DRAWS,
    DrawRow,
    Flush,
    Play,
    daily_demand,
    ice_days,
    open_calendar,
    pebble_weeks,
)

RINK = Rink(sheets=4)
RULES = PebbleRules()
MONDAY = dt.date(2027, 10, 4)
SEASON = SeasonDates(MONDAY, dt.date(2028, 4, 2))  # 26 weeks


def calendar(
    *rows: DrawRow, season: SeasonDates = SEASON, rules: PebbleRules = RULES
) -> tuple[Play, ...]:
    return open_calendar(rows, season, RINK, rules)


def test_weekly_rule_holds_all_season_or_between_its_dates() -> None:
    assert len(calendar(DrawRow(on=0))) == 26
    plays = calendar(DrawRow(on=0, from_=dt.date(2027, 10, 11), until=dt.date(2027, 10, 25)))
    assert [play.day.day for play in plays] == [11, 18, 25]


def test_dated_row_replaces_the_weekly_rows_of_its_day_and_dated_rows_add() -> None:
    plays = calendar(
        DrawRow(on=0, draws=2),
        DrawRow(on=MONDAY, draws=4, kind="bonspiel", sheets=4),
        DrawRow(on=MONDAY, draws=1, kind="practice"),
        season=SeasonDates(MONDAY, MONDAY),
    )
    assert [(play.kind, play.draws) for play in plays] == [("bonspiel", 4), ("practice", 1)]


def test_closed_wins_over_everything_and_closures_close() -> None:
    season = SeasonDates(MONDAY, MONDAY + dt.timedelta(days=1))
    shut = calendar(
        DrawRow(on=MONDAY, draws=3), DrawRow(on=MONDAY, kind="closed"), DrawRow(on=1), season=season
    )
    assert [play.day for play in shut] == [MONDAY + dt.timedelta(days=1)]
    closed = SeasonDates(MONDAY, MONDAY, (Closure(MONDAY, MONDAY),))
    assert calendar(DrawRow(on=0), season=closed) == ()


def test_sheets_without_a_figure_are_those_in_use() -> None:
    (play,) = calendar(DrawRow(on=MONDAY), season=SeasonDates(MONDAY, MONDAY))
    assert play.sheets == pytest.approx(4 * 0.85)


def test_worked_demand_of_a_four_sheet_club() -> None:
    """Common practice, no source: 16 draws a week on 4 sheets: 0.326 m3 a week, 8.5 in 26."""
    sixteen = tuple(DrawRow(on=day, draws=2 if day < 5 else 3) for day in range(7))
    plays = open_calendar(sixteen, SEASON, RINK, RULES)
    weeks = pebble_weeks(ice_days(plays, SEASON, RINK, RULES), RINK, RULES, 30.0)
    assert len(weeks) == 26
    assert weeks[0].litres / 1000 == pytest.approx(0.326, abs=0.0005)
    assert sum(week.litres for week in weeks) / 1000 == pytest.approx(8.5, abs=0.05)


def test_default_calendar_is_sixteen_draws_a_week() -> None:
    """Common practice, no source: 14 to 18 draws a week."""
    assert sum(row.draws for row in COMMON_DRAWS) == 16


def test_ice_ledger_adds_what_is_frozen_and_takes_what_is_scraped() -> None:
    season = SeasonDates(MONDAY, MONDAY + dt.timedelta(days=13))
    rows = [DrawRow(on=day) for day in range(7)]
    weeks = pebble_weeks(
        ice_days(open_calendar(rows, season, RINK, RULES), season, RINK, RULES), RINK, RULES, 30.0
    )
    last = weeks[-1]
    change = sum(week.ice_added_mm - week.ice_removed_mm for week in weeks)
    assert last.ice_mm == pytest.approx(30.0 + change)
    assert weeks[0].ice_removed_mm == pytest.approx(6 * 0.05)


def test_relevelling_floods_on_the_first_day_of_its_closure() -> None:
    away = Closure(dt.date(2027, 12, 24), dt.date(2028, 1, 2), relevel=True)
    season = SeasonDates(MONDAY, dt.date(2028, 4, 2), (away,))
    days = ice_days(calendar(DrawRow(on=0), season=season), season, RINK, RULES)
    assert [day.day for day in days if day.relevel_l] == [away.from_]
    assert max(day.relevel_l for day in days) == 4 * 450.0


def test_demand_table_starts_the_day_before_and_holds_loss_and_hose() -> None:
    days = ice_days(
        calendar(DrawRow(on=MONDAY), season=SeasonDates(MONDAY, MONDAY)), SEASON, RINK, RULES
    )
    table = daily_demand((), days, RULES, Flush(hose_l=17.0))
    assert list(table.index) == [MONDAY - dt.timedelta(days=1), MONDAY]
    pebble, loss = (float(table[column].iloc[1]) for column in ("pebble", "loss"))
    assert loss == pytest.approx(0.15 * pebble)
    assert table["hose"].tolist() == [0.0, 17.0]


def test_nothing_to_do_is_an_empty_table() -> None:
    assert daily_demand((), (), RULES, Flush()).empty
