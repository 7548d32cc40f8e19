"""What the supply and the processes before the resin do to the season."""

import datetime as dt
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from waterkit.club import read_club
from waterkit.club.schema import Club
from waterkit.errors import InputError
from waterkit.plan import plan_season
from waterkit.plan.feed import read_feed
from waterkit.purchasing.needs import driver_amounts
from waterkit.treatment.reverse_osmosis import ReverseOsmosis
from waterkit.treatment.softening import Softener
from waterkit.treatment.train import BoughtIn
from waterkit.water.composition import load
from waterkit.water.sample import Sample

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


def with_sample(club: Club, **changes: Any) -> Club:
    return replace(club, samples=(replace(club.samples[0], **changes),))


def test_the_train_is_shown_at_the_temperature_of_the_supply(club: Club) -> None:
    # drawn at 18 degC in summer, planned with 3 degC: the membrane makes what it makes then
    drawn = with_sample(softer(club), temperature_c=18.0)
    cold = replace(drawn, source=replace(club.source, by_month_c={8: 3.0}))
    warm = replace(drawn, source=replace(club.source, by_month_c={8: 18.0}))
    (at_3,) = [r for r in plan_season(cold, AS_OF).processes if r.process == "reverse osmosis"]
    (at_18,) = [r for r in plan_season(warm, AS_OF).processes if r.process == "reverse osmosis"]
    assert at_3.water_out.temperature_c == 3.0
    # exp(2640 (1/291.15 - 1/276.15)) by hand: 0.6110
    ratio = float(at_3.output_l_h or 0) / float(at_18.output_l_h or 1)
    assert ratio == pytest.approx(0.611, abs=0.002)


def test_litres_of_what_is_open_are_those_of_the_vessel_behind_the_train(club: Club) -> None:
    without_ph = with_sample(club, ph=None)
    plain = {u.analyte: u for u in read_feed(without_ph, AS_OF).reports[0].unknowns}["pH"]
    spared = {u.analyte: u for u in read_feed(softer(without_ph), AS_OF).reports[0].unknowns}["pH"]
    # behind a membrane that lets carbon dioxide through pH is nearly all of the load
    assert spared.litres_at_low_percent < 2.0 * plain.litres_at_low_percent < -20.0
    assert spared.litres_at_high_percent > 5.0 * plain.litres_at_high_percent > 0.0
    run = plan_season(without_ph, AS_OF).resin
    assert run is not None
    assert plain.litres_likely_l == pytest.approx(run.litres_to_exhaustion, rel=1e-6)


def test_a_vessel_that_is_rated_on_cations_does_not_mind_ph(club: Club) -> None:
    by_cations = tuple(replace(vessel, rated_on="total cations") for vessel in club.vessels)
    feed = read_feed(replace(with_sample(club, ph=None), vessels=by_cations), AS_OF)
    (found,) = [u for u in feed.reports[0].unknowns if u.analyte == "pH"]
    assert (found.litres_at_low_percent, found.litres_at_high_percent) == pytest.approx((0.0, 0.0))


@pytest.mark.parametrize(
    "told", [{"ph": 7.4}, {"mmol_l": {"SiO2": 0.2}}, {"mmol_l": {"NO3": 0.2}}, {}]
)
def test_what_tells_nothing_of_salts_cannot_be_planned_with(
    club: Club, told: dict[str, Any]
) -> None:
    thin = Sample("thin", "well", dt.date(2027, 7, 1), "feed", **{"mmol_l": {}, **told})
    with pytest.raises(InputError) as refused:
        read_feed(replace(club, samples=(thin,)), AS_OF)
    (problem,) = refused.value.problems
    assert (problem.file, "cannot be planned with" in problem.message) == ("water-tests.csv", True)
    beside = read_feed(replace(club, samples=(*club.samples, thin)), AS_OF)
    assert beside.in_force.sample == "well 2027"
    assert "sample-left-out" in [note.key for note in beside.notes]


def test_the_chlorine_of_the_sample_reaches_the_carbon_filter(club: Club) -> None:
    town = with_sample(club, others={"chlorine": 0.8}, below_detection=frozenset())
    carbon = plan_season(town, AS_OF).processes[1]
    assert carbon.litres_l == pytest.approx(40_000.0 / 0.8)
    keys = [note.key for note in read_feed(town, AS_OF).reports[0].assumptions]
    assert "fouling-limit-failed" in keys
    assert plan_season(club, AS_OF).processes[1].litres_l is None


def test_notes_of_a_blend_say_which_sample_they_belong_to(club: Club) -> None:
    well = club.samples[0]
    town = Sample("town", "town", well.date, "feed", {}, hardness_mg_l_caco3=100.0)
    source = replace(club.source, blend={"well": 1.0, "town": 1.0})
    notes = read_feed(replace(club, samples=(well, town), source=source), AS_OF).completed.notes
    assert {note.values["of_sample"] for note in notes} == {"town"}
