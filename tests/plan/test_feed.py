"""What the supply and the processes before the resin do to the season."""

import datetime as dt
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from waterkit.club import read_club
from waterkit.club.schema import Club
from waterkit.plan import plan_season
from waterkit.plan.feed import read_feed
from waterkit.purchasing.needs import driver_amounts
from waterkit.treatment.reverse_osmosis import ReverseOsmosis
from waterkit.treatment.softening import Softener
from waterkit.treatment.train import BoughtIn
from waterkit.water.composition import load

DEMO = Path(__file__).parents[2] / "data" / "demo-club"
AS_OF = dt.date(2027, 8, 15)
SOFTENER = Softener("softener")
MEMBRANE = ReverseOsmosis("reverse osmosis", 300.0, concentrate_flow_l_h=300.0)


@pytest.fixture(scope="module")
def club() -> Club:
    return read_club(DEMO)


def softer(club: Club) -> Club:
    """The demo with softener and membrane before its resin, and cold water from December on."""
    before, resin, tank = club.train[:2], club.train[2], club.train[3]
    months = {month: 4.0 if month in (12, 1, 2, 3) else 12.0 for month in range(1, 13)}
    return replace(
        club,
        train=(*before, SOFTENER, MEMBRANE, resin, tank),
        source=replace(club.source, by_month_c=months),
    )


def test_a_membrane_spares_the_resin_and_takes_more_of_the_supply(club: Club) -> None:
    plain, spared = plan_season(club, AS_OF), plan_season(softer(club), AS_OF)
    assert spared.load.anion_meq_l < 0.4 * plain.load.anion_meq_l
    assert len(spared.supply.change_days()) < len(plain.supply.change_days())
    assert spared.supply.litres_feed[0] > 2.0 * plain.supply.litres_feed[0]
    amounts = driver_amounts(spared.facts)
    made, reject = sum(amounts["m3 DI"].values()), sum(amounts["m3 reject"].values())
    # raw water of the layers apart, feed is what is made and what is rejected
    asked = spared.demand[spared.demand.index >= AS_OF]
    raw = float(asked["raw"].sum()) / 1000
    assert sum(amounts["m3 feed"].values()) == pytest.approx(made + reject + raw)
    # 6.87 meq/L of hardness, 27 eq and 3 kg a regeneration: 0.763 kg a cubic metre of feed
    assert sum(amounts["kg salt"].values()) == pytest.approx(0.763 * (made + reject), rel=0.01)


def test_recovery_falls_in_the_cold(club: Club) -> None:
    plan = plan_season(softer(club), AS_OF)
    by_day = dict(zip(plan.days, np.asarray(plan.handed.feed_per_l), strict=True))
    assert by_day[dt.date(2027, 10, 5)] < by_day[dt.date(2028, 1, 10)]
    assert plan.plant.make_l_d < 10.0 * 300.0  # less than at 25 degC, in ten hours


def test_water_bought_in_is_the_one_of_its_sample(club: Club) -> None:
    truck = replace(
        club.samples[0], sample="truck", point="permeate", mmol_l={"Na": 0.1, "Cl": 0.1}
    )
    brought = replace(truck, alkalinity_meq_l=0.05, hardness_mg_l_caco3=0.0)
    train = (BoughtIn("bought in", "truck"), *club.train[2:])
    plan = plan_season(replace(club, samples=(*club.samples, brought), train=train), AS_OF)
    assert plan.processes[0].water_out.mmol_l["Na"] == pytest.approx(0.1)
    assert plan.load.cation_meq_l < 0.05 * load(plan.feed.completed.water).cation_meq_l


def test_a_blend_is_planned_with(club: Club) -> None:
    well = club.samples[0]
    town = replace(
        well, sample="town 2027", source="town", mmol_l={**well.mmol_l, "Ca": 0.5, "Mg": 0.2},
        alkalinity_meq_l=1.0, hardness_mg_l_caco3=None, conductivity_us_cm=None,
    )  # fmt: skip
    source = replace(club.source, blend={"well": 3.0, "town": 1.0})
    feed = read_feed(replace(club, samples=(well, town), source=source), AS_OF)
    assert feed.completed.water.mmol_l["Ca"] == pytest.approx(0.75 * well.mmol_l["Ca"] + 0.125)
    assert "blended" in [note.key for note in feed.notes]
    alone = read_feed(replace(club, samples=(well, town)), AS_OF)
    assert "blended" not in [note.key for note in alone.notes]


def test_an_old_sample_is_told(club: Club) -> None:
    feed = read_feed(club, dt.date(2029, 1, 1))
    assert "sample-old" in [note.key for note in feed.notes]
