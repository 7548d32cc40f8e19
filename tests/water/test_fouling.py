import datetime as dt
from dataclasses import replace

import pytest

from waterkit.water.fouling import (
    FoulingLimits,
    fouling_checks,
    fouling_notes,
    free_chlorine_mg_l,
)
from waterkit.water.sample import Sample

DAY = dt.date(2027, 6, 1)
CLEAN = Sample("A", "well", DAY, "feed", {"Fe": 0.001})
IRON = Sample("A", "well", DAY, "feed", {"Fe": 0.01}, others={"turbidity": 0.4, "TOC": 5.0})


def test_what_was_measured_is_checked() -> None:
    found = {check.name: check for check in fouling_checks(IRON)}
    assert set(found) == {"iron", "turbidity", "TOC"}
    assert found["iron"].value == pytest.approx(0.558, abs=1e-3)  # 0.01 mmol/L of 55.845 g/mol
    assert not found["iron"].passed
    assert found["turbidity"].passed
    assert not found["TOC"].passed


def test_a_limit_can_be_set_anew() -> None:
    limits = FoulingLimits(iron_mg_l=1.0)
    assert fouling_checks(IRON, limits)[0].passed


def test_nothing_measured_nothing_checked() -> None:
    assert fouling_checks(Sample("A", "", DAY, "feed", {})) == ()


def test_a_limit_that_is_not_kept_is_noted() -> None:
    foul = replace(CLEAN, mmol_l={"Fe": 2.5 / 55.845}, others={"chlorine": 0.8})
    notes = {note.values["analyte"]: note for note in fouling_notes(fouling_checks(foul))}
    assert set(notes) == {"iron", "chlorine"}
    assert notes["iron"].values["value"] == pytest.approx(2.5)
    assert notes["iron"].values["limit"] == 0.1
    assert fouling_notes(fouling_checks(CLEAN)) == ()


def test_chlorine_below_detection_wears_out_no_filter() -> None:
    assert free_chlorine_mg_l(replace(CLEAN, others={"chlorine": 0.8})) == 0.8
    below = replace(CLEAN, others={"chlorine": 0.01}, below_detection=frozenset({"chlorine"}))
    assert free_chlorine_mg_l(below) == free_chlorine_mg_l(CLEAN) == 0.0
