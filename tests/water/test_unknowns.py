import datetime as dt
from collections.abc import Mapping
from typing import Any

import pytest

from waterkit.water.completion import complete
from waterkit.water.composition import larger, load
from waterkit.water.sample import Sample, WaterTest, gather, measure
from waterkit.water.unknowns import WHOLE_ANALYSIS, unknowns, worth_testing

DAY = dt.date(2027, 6, 1)
MAJORS = {"Ca": 2.4, "Mg": 1.0, "Na": 0.7, "K": 0.1, "Cl": 0.8, "SO4": 0.5, "NO3": 0.2}


def sample(mmol_l: Mapping[str, float], **measured: Any) -> Sample:
    return Sample("A", "well", DAY, "feed", mmol_l, **measured)


def test_a_whole_analysis_leaves_nothing_open() -> None:
    whole = sample({**MAJORS, "SiO2": 0.25}, alkalinity_meq_l=5.6, ph=7.4)
    assert unknowns(whole, 10.0) == ()
    assert worth_testing(()) == ()


def test_silica_without_a_test_moves_the_litres_by_what_it_loads() -> None:
    water = sample(MAJORS, alkalinity_meq_l=5.6, ph=7.4)
    (silica,) = unknowns(water, 10.0)
    assert (silica.analyte, silica.low, silica.likely, silica.high) == ("SiO2", 5.0, 15.0, 35.0)
    taken = float(larger(load(complete(water, 10.0).water)))
    # 20 mg/L more are 0.333 mmol/L more
    assert silica.litres_at_high_percent == pytest.approx(
        100 * (taken / (taken + 0.333) - 1), abs=0.05
    )
    assert silica.litres_at_low_percent > 0 > silica.litres_at_high_percent
    (note,) = worth_testing((silica,))
    assert note.key == "test-worth-paying-for"
    assert note.values["low_percent"] == silica.litres_at_high_percent


def test_a_missing_ph_leaves_carbon_dioxide_open() -> None:
    found = {
        u.analyte: u for u in unknowns(sample({**MAJORS, "SiO2": 0.25}, alkalinity_meq_l=5.6), 10.0)
    }
    assert set(found) == {"pH"}
    assert found["pH"].litres_at_low_percent < -10.0  # pH 6.8: a third of the carbon is CO2


def test_hardness_alone_leaves_most_open_and_says_what_to_test_first() -> None:
    found = unknowns(sample({}, hardness_mg_l_caco3=360.0), 10.0)
    assert {"SiO2", "pH", "alkalinity", "SO4", "NO3", "K"} == {u.analyte for u in found}
    effects = [unknown.effect_percent for unknown in found]
    assert effects == sorted(effects, reverse=True)
    assert effects[0] > 5.0


def test_a_conductivity_alone_asks_for_a_whole_analysis() -> None:
    found = unknowns(sample({}, conductivity_us_cm=650.0), 10.0)
    whole = next(unknown for unknown in found if unknown.analyte == WHOLE_ANALYSIS)
    assert whole.litres_at_low_percent == pytest.approx(100 / 0.85 - 100, abs=2.0)
    assert whole.litres_at_high_percent == pytest.approx(100 / 1.15 - 100, abs=2.0)


def test_a_range_of_a_yearly_table_is_told_with_its_effect() -> None:
    rows = [
        WaterTest("A", DAY, "hardness", "250-350", unit="mg/L", as_="CaCO3"),
        WaterTest("A", DAY, "pH", "7.1 to 7.7"),
        WaterTest("A", DAY, "silica", "12", unit="mg/L", as_="SiO2"),
    ]
    yearly = gather("A", "town", DAY, "feed", map(measure, rows))
    assert yearly.hardness_mg_l_caco3 == pytest.approx(300.0)
    found = {unknown.analyte: unknown for unknown in unknowns(yearly, 10.0)}
    assert (found["hardness"].low, found["hardness"].high) == pytest.approx((250.0, 350.0))
    assert found["hardness"].litres_at_low_percent > 10.0
    assert found["pH"].likely == pytest.approx(7.4)


def test_what_matters_little_is_not_worth_a_test() -> None:
    rows = [WaterTest("A", DAY, "nitrate", "9-10", unit="mg/L")]
    water = sample({**MAJORS, "SiO2": 0.25}, alkalinity_meq_l=5.6, ph=7.4)
    ranged = gather("B", "town", DAY, "feed", map(measure, rows)).ranges
    (found,) = unknowns(
        Sample("A", "well", DAY, "feed", water.mmol_l, 5.6, ph=7.4, ranges=ranged), 10.0
    )
    assert [note.key for note in worth_testing((found,))] == ["no-test-worth-paying-for"]
