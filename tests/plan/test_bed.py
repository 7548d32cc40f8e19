"""The bed in the plan: what season and purchases take from it, and what the volunteer sees."""

import datetime as dt
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from waterkit.club import read_club
from waterkit.club.schema import Club
from waterkit.plan import SeasonPlan, plan_season
from waterkit.plan.bed import bed_run, resin_run
from waterkit.treatment.ion_exchange import Changeout, Endpoint
from waterkit.treatment.vessel_run import VesselRun
from waterkit.working import Note

DEMO = Path(__file__).parents[2] / "data" / "demo-club"
AS_OF = dt.date(2027, 8, 15)


@pytest.fixture(scope="module")
def club() -> Club:
    return read_club(DEMO)


@pytest.fixture(scope="module")
def plan(club: Club) -> SeasonPlan:
    return plan_season(club, AS_OF)


@pytest.fixture(scope="module")
def bed(plan: SeasonPlan) -> VesselRun:
    assert isinstance(plan.bed, VesselRun)
    return plan.bed


def changed_at(club: Club, *marks: Endpoint) -> SeasonPlan:
    return plan_season(replace(club, changeout=Changeout(marks)), AS_OF)


def test_the_curve_ends_where_the_rating_does(plan: SeasonPlan, bed: VesselRun) -> None:
    assert plan.resin is not None
    reached = bed.run.litres_to(Endpoint("conductivity", 10.0)).litres_l
    assert reached == pytest.approx(plan.resin.litres_to_exhaustion, rel=1e-9)


def test_a_silica_mark_brings_the_change_forward_in_the_whole_season(club: Club) -> None:
    by_meter = changed_at(club, Endpoint("conductivity", 10.0))
    by_silica = changed_at(club, Endpoint("silica", 0.1))
    assert by_meter.resin is not None
    assert by_silica.resin is not None
    assert by_silica.resin.litres_to_change < by_meter.resin.litres_to_change  # type: ignore[operator]
    life_l = float(np.atleast_1d(by_silica.plant.life_l)[0])
    assert life_l == pytest.approx(by_silica.resin.litres_to_change, rel=0.02)
    assert by_silica.supply.change_days()[0] <= by_meter.supply.change_days()[0]


@pytest.mark.parametrize(
    "mark", [Endpoint("silica", 0.1), Endpoint("conductivity", 5.0), Endpoint("silica", 900.0)]
)
def test_a_bed_run_no_further_than_counts_gives_the_same_litres(
    plan: SeasonPlan, mark: Endpoint
) -> None:
    assert plan.vessel is not None
    asked = (plan.reaching, plan.vessel, plan.vessel, Changeout((mark,)))
    far, near = resin_run(*asked), resin_run(*asked, far=False)
    assert near.litres_to_change == pytest.approx(far.litres_to_change, rel=1e-3)


def test_points_come_in_order_and_each_has_its_water(plan: SeasonPlan, bed: VesselRun) -> None:
    litres = [point.leaving.litres_l for point in plan.run_points]
    assert litres == sorted(litres)
    found = {point.key: point.leaving for point in plan.run_points}
    assert found["rinse"].litres_l == plan.club.flush.fresh_bv * 102.0
    assert found["silica"].silica_mg_l == pytest.approx(0.1, rel=0.01)
    assert found["meter"].conductivity_25_us_cm == pytest.approx(1.0, rel=0.01)
    assert found["peak"].silica_mg_l == pytest.approx(bed.run.silica_wave.peak_mg_l, rel=0.01)


def test_the_same_bed_is_run_once(plan: SeasonPlan, club: Club) -> None:
    assert plan.vessel is not None
    assert plan.resin is not None
    first = bed_run(plan.reaching, plan.vessel, plan.resin)
    again = bed_run(plan.reaching, plan.vessel, plan.resin)
    assert isinstance(first, VesselRun)
    assert isinstance(again, VesselRun)
    assert first.ideal.litres is again.ideal.litres


def test_no_bed_where_nothing_loads_it_or_the_water_is_too_salty(plan: SeasonPlan) -> None:
    water, vessel = plan.reaching, plan.vessel
    assert vessel is not None
    empty = replace(water, mmol_l=dict.fromkeys(water.mmol_l, 0.0), alkalinity_meq_l=0.0)
    run = resin_run(empty, vessel, vessel, plan.club.changeout)
    assert bed_run(empty, vessel, run) == Note(
        "column-not-run", {"why": "nothing in this water loads the resin"}
    )
    brine = replace(water, mmol_l={**water.mmol_l, "Na": 600.0, "Cl": 600.0})
    run = resin_run(brine, vessel, vessel, plan.club.changeout)
    told = bed_run(brine, vessel, run)
    assert isinstance(told, Note)
    assert "salty" in str(told.values["why"])
    assert "mark-taken-at-exhaustion" in {note.key for note in run.notes}


def test_a_long_run_tells_how_far_it_is(club: Club) -> None:
    told: list[float] = []
    sample = replace(club.samples[0], temperature_c=11.125)  # a water that nobody has asked for yet
    fresh = plan_season(replace(club, samples=(sample,)), AS_OF, told.append)
    assert fresh.bed is not None
    assert told
    assert told[-1] == 1.0
