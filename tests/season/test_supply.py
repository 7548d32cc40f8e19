"""The day-by-day engine: conservation, changes, shortage, many scenarios at once."""

import datetime as dt

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from waterkit.season.demand import Flush
from waterkit.season.supply import Plant, plant_of, run_season
from waterkit.treatment.ion_exchange import Vessel
from waterkit.treatment.train import Deioniser, Handed, Tank

COLUMNS = ["mist", "flood", "white", "seal", "pebble", "loss", "hose", "raw"]
FIRST = dt.date(2027, 9, 10)


def demand(*litres: float, loss: float = 0.0) -> pd.DataFrame:
    """A demand table of pebble water alone, with a loss on top."""
    index = [FIRST + dt.timedelta(days=day) for day in range(len(litres))]
    rows = [[0, 0, 0, 0, float(value), value * loss, 0, 0] for value in litres]
    return pd.DataFrame(rows, index=index, columns=COLUMNS, dtype=float)


PLANT = Plant(make_l_d=1000.0, volume_l=1000.0, heel_l=50.0, life_l=2000.0, lag=True)

litres = st.floats(0, 5000)
plants = st.builds(
    Plant,
    make_l_d=st.floats(0, 5000),
    volume_l=st.floats(100, 5000),
    heel_l=st.floats(0, 90),
    life_l=st.floats(200, 50000),
    lead_spent=st.floats(0, 2),
    lag_spent=st.floats(0, 2),
    rinse_fresh_l=st.floats(0, 50),
    rinse_stood_l=st.floats(0, 50),
    lag=st.booleans(),
)


@given(st.lists(litres, min_size=1, max_size=30), st.floats(0, 0.5), plants)
@settings(max_examples=60, deadline=None)
def test_start_and_made_are_used_lost_and_left(
    asked: list[float], loss: float, plant: Plant
) -> None:
    supply = run_season(demand(*asked, loss=loss), plant)
    total = supply.made.sum() + 1.0
    balance = supply.start + supply.made - supply.used - supply.lost - supply.left
    assert np.abs(balance).max() <= 1e-9 * total
    assert np.all(supply.left <= plant.volume_l + 1e-6)
    assert np.all(supply.used >= 0)
    assert np.all(supply.short >= -1e-9)


def test_enough_water_serves_every_day_and_leaves_the_heel() -> None:
    supply = run_season(demand(0, 300, 300, 0, 300), PLANT)
    assert supply.first_short() is None
    assert supply.used.sum() == pytest.approx(900)
    assert supply.left[-1, 0] == pytest.approx(50)


def test_a_tank_is_filled_for_what_is_to_come_but_not_beyond_its_volume() -> None:
    supply = run_season(demand(0, 5000), PLANT)
    assert supply.left[0, 0] == pytest.approx(1000)
    assert supply.first_short() == FIRST + dt.timedelta(days=1)
    assert supply.short[1, 0] == pytest.approx(5000 - (1000 + 1000 - 50))


def test_water_is_not_made_for_more_than_a_week_ahead() -> None:
    supply = run_season(demand(0, *[100] * 30), PLANT)
    assert supply.left.max() == pytest.approx(7 * 100 + 50)


def test_a_slow_plant_begins_early_enough() -> None:
    slow = Plant(make_l_d=100.0, volume_l=1500.0, heel_l=0.0, life_l=1e9)
    supply = run_season(demand(*[0] * 14, 1400), slow)
    assert supply.first_short() is None
    late = run_season(demand(*[0] * 13, 1401), slow)
    assert late.short[-1, 0] == pytest.approx(1.0)


def test_each_vessel_gives_its_litres_and_the_lag_comes_first() -> None:
    supply = run_season(demand(0, *[500] * 20), PLANT)
    assert supply.litres_di[0] == pytest.approx(20 * 500 + 50)
    # the lead ends at 2000 L, the lag that took its place at 4000 L, and so on
    assert len(supply.change_days()) == 5
    made = supply.made[:, 0].cumsum()
    for number, day in enumerate(supply.change_days(), start=1):
        row = supply.days.index(day)
        assert made[row] >= 2000 * number
        assert row == 0 or made[row - 1] < 2000 * number


def test_litres_already_through_bring_the_first_change_forward() -> None:
    late = run_season(demand(0, *[500] * 20), PLANT)
    plant = Plant(1000.0, 1000.0, 50.0, 2000.0, lead_spent=0.75, lag=True)
    early = run_season(demand(0, *[500] * 20), plant)
    assert early.change_days()[0] < late.change_days()[0]


def test_harder_water_from_a_day_on_shortens_the_lives_to_come() -> None:
    days = demand(0, *[500] * 20)
    soft = run_season(days, PLANT)
    life = np.array([2000.0] * 11 + [1000.0] * 10)
    harder = run_season(days, Plant(1000.0, 1000.0, 50.0, life, lag=True))
    assert harder.change_days()[:2] == soft.change_days()[:2]
    assert len(harder.change_days()) > len(soft.change_days())


def test_vessels_put_in_fresh_are_rinsed_on_the_first_day_of_making() -> None:
    plant = Plant(1000.0, 1000.0, 0.0, 1e9, rinse_first_l=80.0)
    supply = run_season(demand(0, 0, 0, *[100] * 3), plant)
    rinsed = [day.lost for day in supply.rows()]
    assert sorted(rinsed, reverse=True)[:2] == [80.0, 0.0]


def test_feed_may_take_more_on_cold_days() -> None:
    plant = Plant(100.0, 1000.0, 0.0, 1e9, feed_per_l=np.array([2.0, 3.0]))
    supply = run_season(demand(100, 100), plant)
    assert supply.feed[:, 0].tolist() == [200.0, 300.0]


def test_a_membrane_sets_the_most_that_is_made_and_what_it_takes() -> None:
    train = (Deioniser("di", ("single",), 800.0), Tank("tank"))
    handed = Handed(np.array([2.0, 3.0]), np.array([0.0, 0.0]), np.array([90.0, 70.0]))
    vessels, life = (Vessel("A", "single", 50.0),), np.array([5000.0, 5000.0])
    plant = plant_of(train, vessels, life, Flush(), 10.0, handed)
    assert plant.make_l_d == pytest.approx(700.0)  # 70 L/h on the coldest day, 10 hours
    assert np.asarray(plant.feed_per_l).tolist() == [2.0, 3.0]
    assert plant_of(train, vessels, life, Flush(), 10.0).make_l_d == pytest.approx(8000.0)


def test_feed_counts_what_the_plant_takes_for_a_litre() -> None:
    plant = Plant(1000.0, 1000.0, 0.0, 1e9, feed_per_l=2.0)
    supply = run_season(demand(0, 300), plant)
    assert supply.litres_feed[0] == pytest.approx(2 * supply.litres_di[0])


def test_rinsing_is_made_and_lost() -> None:
    plant = Plant(1000.0, 1000.0, 0.0, 2000.0, rinse_fresh_l=100.0)
    supply = run_season(demand(0, *[500] * 10), plant)
    assert supply.lost.sum() == pytest.approx(100.0 * len(supply.change_days()))


def test_many_scenarios_give_what_each_gives_alone() -> None:
    table = demand(0, *[500] * 20)
    makes, lives = np.array([400.0, 600.0, 1000.0]), np.array([900.0, 2000.0, 1e12])
    together = run_season(table, Plant(makes, 1000.0, 50.0, lives[None, :], lag=True))
    for number in range(3):
        alone = run_season(table, Plant(makes[number], 1000.0, 50.0, lives[number], lag=True))
        assert np.allclose(together.left[:, number], alone.left[:, 0])
        assert together.change_days(number) == alone.change_days()


def test_rows_for_a_table_name_every_figure() -> None:
    rows = run_season(demand(0, 300), PLANT).rows()
    assert rows[1].day == FIRST + dt.timedelta(days=1)
    assert rows[1].used == pytest.approx(300)
    assert rows[1].changes == 0


def test_a_season_without_days_is_empty() -> None:
    supply = run_season(demand(), PLANT)
    assert supply.days == ()
    assert supply.first_short() is None
    assert supply.change_days() == ()
