"""Needs from drivers: every driver has its amount and its day."""

import datetime as dt
from dataclasses import replace
from typing import get_args

import numpy as np
import pandas as pd
import pytest

from waterkit.ice.layers import LayerStep, step_hours, step_water
from waterkit.ice.paint import White
from waterkit.ice.pebble import PebbleRules
from waterkit.ice.sheet import Rink
from waterkit.purchasing.needs import Need, SeasonFacts, driver_amounts, season_needs
from waterkit.purchasing.records import Budget, Driver, Item
from waterkit.season.build import PlannedStep, SeasonDates, schedule
from waterkit.season.demand import DrawRow, Flush, daily_demand, ice_days, open_calendar
from waterkit.season.supply import Plant, run_season
from waterkit.treatment.ion_exchange import Vessel
from waterkit.treatment.train import Handed

RINK = Rink(sheets=2, sheet_length_m=45.72, sheet_width_m=5.0)
SEASON = SeasonDates(dt.date(2027, 10, 4), dt.date(2027, 10, 31))
RULES = PebbleRules()
VESSELS = (Vessel("A", "lead", 50.0, rent="12"), Vessel("B", "lag", 50.0, rent="12"))


@pytest.fixture(scope="module")
def facts() -> SeasonFacts:
    rows = (
        LayerStep("base", "flood", depth_per_pass_mm=2.0),
        LayerStep("white", "white"),
        LayerStep("houses", "houses", minimum_wait_h=2.0),
    )
    steps = []
    for row in rows:
        water = step_water(row, RINK, White())
        steps.append(PlannedStep(row, water, step_hours(water, row, 200.0)))
    built = schedule(steps, SEASON, "UTC")
    draws = [
        DrawRow(on=1, draws=2, sheets=2),
        DrawRow(on=dt.date(2027, 10, 16), draws=3, sheets=2, kind="bonspiel"),
        DrawRow(on=dt.date(2027, 10, 17), draws=2, sheets=2, kind="bonspiel"),
    ]
    plays = open_calendar(draws, SEASON, RINK, RULES)
    days = ice_days(plays, SEASON, RINK, RULES)
    demand: pd.DataFrame = daily_demand(built, days, RULES, Flush())
    supply = run_season(demand, Plant(3000.0, 1500.0, 0.0, 600.0, lag=True))
    return SeasonFacts(RINK, SEASON, 4, built, plays, days, supply, VESSELS, 30.0)


def test_every_driver_of_the_closed_list_has_amounts(facts: SeasonFacts) -> None:
    assert set(driver_amounts(facts)) == set(get_args(Driver))


def test_a_membrane_and_a_softener_feed_their_drivers(facts: SeasonFacts) -> None:
    days = len(facts.supply.days)
    handed = Handed(np.full(days, 2.5), np.full(days, 0.4))
    amounts = driver_amounts(replace(facts, handed=handed))
    made = sum(amounts["m3 DI"].values())
    assert sum(amounts["m3 reject"].values()) == pytest.approx(1.5 * made)
    assert sum(amounts["kg salt"].values()) == pytest.approx(0.4 * made)
    assert amounts["kg salt"].keys() == amounts["m3 DI"].keys()
    without = driver_amounts(facts)
    assert (without["m3 reject"], without["kg salt"]) == ({}, {})


def test_drivers_are_counted_from_the_season(facts: SeasonFacts) -> None:
    amounts = {name: sum(days.values()) for name, days in driver_amounts(facts).items()}
    assert amounts["sheet"] == 2
    assert amounts["house"] == 4
    assert amounts["m2 of white"] == pytest.approx(2 * 228.6)
    assert amounts["draw"] == 4 * 2 + 5
    assert amounts["sheet and draw"] == 2 * amounts["draw"]
    assert amounts["bonspiel"] == 1  # two days in a row are one
    assert amounts["kg powder"] == 30.0
    assert amounts["vessel fill"] == 2 + len(facts.supply.change_days())
    assert amounts["m3 DI"] == pytest.approx(float(facts.supply.made.sum()) / 1000)
    assert amounts["m3 reject"] == amounts["kg salt"] == 0
    assert facts.begin.month == 10
    assert amounts["month of rent"] == 1 * 2  # October alone, for two rented vessels
    assert amounts["week"] == amounts["meter check"] >= 4


def test_paint_days_count_the_whole_crew(facts: SeasonFacts) -> None:
    days = driver_amounts(facts)["paint day and person"]
    assert set(days.values()) == {4.0}
    assert min(days) >= facts.begin


def test_powder_is_needed_on_the_day_of_the_white(facts: SeasonFacts) -> None:
    (day,) = driver_amounts(facts)["kg powder"]
    assert day == facts.day_of_step("white")


def test_rate_and_contingency(facts: SeasonFacts) -> None:
    item = Item("strips", "meter check", 2.0, "each", contingency_percent=10.0)
    (need,) = season_needs([item], facts, Budget(), facts.begin)
    weeks = sum(driver_amounts(facts)["week"].values())
    assert need.needed == pytest.approx(2 * weeks)
    assert need.contingency == pytest.approx(0.1 * need.needed)


def test_what_lies_before_the_day_is_the_past(facts: SeasonFacts) -> None:
    item = Item("strips", "meter check", 1.0, "each")
    (late,) = season_needs([item], facts, Budget(), SEASON.last_draw)
    assert late.needed <= 1


@pytest.mark.parametrize(
    ("installed", "needed"),
    [(dt.date(2026, 9, 1), 0.0), (dt.date(2022, 9, 1), 2.0), (None, 2.0)],
)
def test_a_lasting_item_is_needed_in_the_season_it_runs_out(
    facts: SeasonFacts, installed: dt.date | None, needed: float
) -> None:
    item = Item("blade", "sheet", 1.0, "each", life_seasons=4, installed_on=installed)
    (need,) = season_needs([item], facts, Budget(), facts.begin)
    assert need.needed == needed
    assert bool(need.notes) is True


def test_stock_runs_out_on_the_day_the_need_passes_it() -> None:
    days = [dt.date(2027, 10, day) for day in (1, 8, 15)]
    need = Need(Item("x", "week", 1.0, "each"), dict.fromkeys(days, 1.0), 0.0)
    assert need.runs_out(0.0) == days[0]
    assert need.runs_out(1.0) == days[1]
    assert need.runs_out(3.0) is None


def test_all_of_it_by_a_step_or_a_date(facts: SeasonFacts) -> None:
    by_step = Item("discs", "house", 1.0, "each", need_before="white")
    by_date = Item("tape", "house", 1.0, "roll", need_before=dt.date(2027, 9, 1))
    first, second = season_needs([by_step, by_date], facts, Budget(), dt.date(2027, 8, 1))
    assert first.runs_out(0) == facts.day_of_step("white")
    assert second.runs_out(0) == dt.date(2027, 9, 1)


def test_no_amount_is_negative(facts: SeasonFacts) -> None:
    for amounts in driver_amounts(facts).values():
        assert np.all(np.array(list(amounts.values())) >= 0)


def test_each_rent_is_asked_for_by_its_own_vessels(facts: SeasonFacts) -> None:
    vessels = (
        Vessel("A", "lead", 50.0, rent="small rent"), Vessel("B", "lag", 50.0, rent="large rent"),
        Vessel("C", "spare", 50.0, rent="large rent"), Vessel("D", "spare", 50.0),
    )  # fmt: skip
    rented = replace(facts, vessels=vessels)
    items = [Item(f"{size} rent", "month of rent", 1.0, "month") for size in ("small", "large")]
    small, large = season_needs(items, rented, Budget(), facts.begin)
    assert sum(small.amounts.values()) == 1  # October alone
    assert sum(large.amounts.values()) == 2
