import datetime as dt

import pytest

from waterkit.water.analysis import WaterTest, gather, measure, report_sample

DAY = dt.date(2027, 6, 1)
EXAMPLE = {
    "Ca": "55", "Mg": "12", "Na": "28", "K": "3.2", "HCO3": "170", "SO4": "77", "Cl": "20",
}  # fmt: skip


def test_a_report_joins_what_was_measured_with_what_was_completed() -> None:
    rows = [WaterTest("A", DAY, key, mg_l, unit="mg/L") for key, mg_l in EXAMPLE.items()]
    report = report_sample(gather("A", "well", DAY, "feed", map(measure, rows)), 10.0)
    # Standard Methods 2510 A from mg/L at full precision: computed by hand
    assert report.conductivity_standard_methods_us_cm == pytest.approx(482.9, abs=0.05)
    assert report.ionic_strength_standard_methods_mol_l == pytest.approx(0.00766, abs=5e-6)
    assert report.tds_calculated_mg_l == pytest.approx(278.9, abs=0.1)
    assert report.hardness_mg_l_caco3 == pytest.approx(186.8, abs=0.1)
    assert report.alkalinity_mg_l_caco3 == pytest.approx(139.4, abs=0.1)
    assert report.charge_balance_error_percent == pytest.approx(0.78, abs=0.01)
    assert report.load.cation_meq_l == pytest.approx(5.031, abs=1e-3)
    assert report.conductivity_measured_us_cm is None
    # 477 uS/cm was measured (printed beside the example, from memory)
    assert report.conductivity_calculated_us_cm == pytest.approx(477.0, rel=0.03)
    # PHREEQC gives 0.00711 mol/L with pairs at pH 7.5 and 25 degC
    assert report.ionic_strength_mol_l == pytest.approx(0.00711, rel=0.02)
    assert [note.key for note in report.assumptions] == [
        "taken-as-none", "silica-assumed", "pH-assumed", "test-worth-paying-for",
    ]  # fmt: skip


def test_a_sheet_with_hardness_alone_is_reported() -> None:
    row = WaterTest("B", DAY, "hardness", "360", unit="mg/L", as_="CaCO3")
    report = report_sample(gather("B", "", DAY, "feed", [measure(row)]), 10.0)
    assert report.charge_balance_error_percent is None
    assert report.cation_sum_meq_l is None
    assert report.hardness_mg_l_caco3 == pytest.approx(360.0)
    assert report.load.cation_meq_l == pytest.approx(7.19, abs=0.01)
    assert report.checks == ()
