"""The answer about the resin holds together, and anybody can run its bed again."""

import dataclasses
import sys
from typing import Any

import numpy as np
import pytest

from tests.reference import column_curves
from waterkit.pages.answers import answer_of
from waterkit.plan import SeasonPlan, plan_season
from waterkit.treatment.bed import Bed, FeedWater
from waterkit.treatment.column import run_column
from waterkit.treatment.ion_exchange import Endpoint
from waterkit.treatment.points import crossing

Json = dict[str, Any]


@pytest.fixture(scope="module")
def answer(plan: SeasonPlan) -> Json:
    return answer_of("resin", plan)


def test_litres_by_every_way_stand_side_by_side(answer: Json) -> None:
    by = answer["litres_by"]
    assert by["rating"] == answer["litres_to_exhaustion"]
    assert answer["trusted_over_model"] == pytest.approx(by["rating"] / by["model"])
    assert by["learned"] is None
    assert "litres_by.learned" in answer["reasons"]


def test_the_curve_passes_each_mark_at_its_litres(answer: Json) -> None:
    curve, litres = answer["breakthrough"], answer["litres_to"]
    assert len(curve["litres"]) <= 500
    for key, values, mark in (
        ("conductivity_10_us_cm", "conductivity_us_cm", 10.0),
        ("conductivity_1_us_cm", "conductivity_us_cm", 1.0),
        ("silica_0_1_mg_l", "silica_mg_l", 0.1),
        ("solids_limit", "solids_mg_l", 5.0),
    ):
        passed = crossing(np.array(curve["litres"]), np.array(curve[values]), mark)
        assert litres[key] == pytest.approx(float(passed), rel=1e-4)
    assert litres["conductivity_10_us_cm"] == pytest.approx(answer["litres_to_exhaustion"])
    assert curve["order"][0] == "SiO2"
    assert curve["mass_balance_error"] < 1e-9


def test_the_solids_limit_is_that_of_the_strictest_use(plan: SeasonPlan, answer: Json) -> None:
    limits = {
        use: dataclasses.replace(limit, solids_mg_l=None) for use, limit in plan.club.limits.items()
    }
    none = plan_season(dataclasses.replace(plan.club, limits=limits), plan.as_of)
    found = answer_of("resin", none)
    assert found["litres_to"]["solids_limit"] is None
    assert "solids" in found["reasons"]["litres_to.solids_limit"]


def test_the_bed_of_the_answer_runs_again_to_the_same_litres(answer: Json) -> None:
    model = answer["model"]
    bed = Bed(model["cation_eq"], model["anion_eq"], model["pore_l"], model["cells"])
    run = run_column([bed], FeedWater(model["feed_mmol_l"], model["temperature_c"]))
    for key, mark in (
        ("silica_0_1_mg_l", Endpoint("silica", 0.1)),
        ("conductivity_1_us_cm", Endpoint("conductivity", 1.0)),
        ("conductivity_10_us_cm", Endpoint("conductivity", 10.0)),
    ):
        assert run.litres_to(mark).litres_l == pytest.approx(answer["litres_to"][key], rel=2e-3)


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="phreeqc has no wheel there")
def test_another_engine_runs_the_same_bed(answer: Json, monkeypatch: pytest.MonkeyPatch) -> None:
    """PHREEQC with nothing but what the answer says; small beds do as large ones, per litre."""
    model = answer["model"]
    small = column_curves.PORE_L / model["pore_l"]
    feed = (model["feed_mmol_l"], model["temperature_c"])
    monkeypatch.setitem(column_curves.FEEDS, "answer", feed)
    names = {"HCO3": "C", "H3SiO4": "SiO2"}
    log_k = {names.get(key, key): value for key, value in model["log_k"].items()}
    run = column_curves.Run(
        "answer", "answer", model["cation_eq"] * small, model["anion_eq"] * small, model["cells"],
        1.05 * answer["litres_to"]["conductivity_10_us_cm"] * small,
    )  # fmt: skip
    rows = column_curves.record(run, log_k)
    litres = np.array([float(row["litres"]) for row in rows]) / small
    for key, column, mark in (
        ("silica_0_1_mg_l", "silica_mg_l", 0.1),
        ("conductivity_1_us_cm", "conductivity_25_us_cm", 1.0),
        ("conductivity_10_us_cm", "conductivity_25_us_cm", 10.0),
    ):
        values = np.array([float(row[column]) for row in rows])
        passed = float(crossing(litres, values, mark))
        assert answer["litres_to"][key] == pytest.approx(passed, rel=0.01)


def test_without_a_vessel_every_null_has_that_reason(bare: SeasonPlan) -> None:
    found = answer_of("resin", bare)
    assert found["breakthrough"] is None
    assert found["reasons"]["model"] == "no vessel stands in the lead"
    assert found["reasons"]["litres_to.silica_0_1_mg_l"]
