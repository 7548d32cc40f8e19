"""Published analyses with measured conductivity, each a water that the demo can be fed with."""

import csv
import shutil
from pathlib import Path

import pytest

from waterkit.club import read_club
from waterkit.club.demo_folder import write_demo
from waterkit.water.analysis import report_sample
from waterkit.water.sample import Sample

WATERS = sorted((Path(__file__).parents[2] / "data" / "published-waters").iterdir())
# Molar masses of the ions from IUPAC's abridged standard atomic weights (2021).
G_MOL = {
    "calcium": 40.078, "magnesium": 24.305, "sodium": 22.990, "potassium": 39.098,
    "ammonium": 18.039, "chloride": 35.45, "bicarbonate": 61.017, "sulfate": 96.06,
    "nitrate": 62.004,
}  # fmt: skip
KEYS = {
    "calcium": "Ca", "magnesium": "Mg", "sodium": "Na", "potassium": "K", "ammonium": "NH4",
    "chloride": "Cl", "bicarbonate": "HCO3", "sulfate": "SO4", "nitrate": "NO3",
}  # fmt: skip
TO_25_DEGC = {"25 degC": 1.0, "20 degC": 1.116}
"""ISO 7888:1985, factors of natural water from the temperature to 25 degC."""


def fed(water: Path, folder: Path) -> Sample:
    """The one sample of the demo that is fed with a published water."""
    write_demo(folder)
    shutil.copy(water / "water-tests.csv", folder)
    club = read_club(folder)
    assert club.problems == ()
    (sample,) = club.samples
    return sample


def printed(water: Path) -> dict[str, dict[str, str]]:
    """The rows of the file by analyte, as the standard library reads them."""
    text = (water / "water-tests.csv").read_text(encoding="utf-8")
    return {row["analyte"]: row for row in csv.DictReader(text.splitlines())}


def test_there_are_four_waters_at_least() -> None:
    assert len(WATERS) >= 4


@pytest.mark.parametrize("water", WATERS, ids=lambda path: path.name)
def test_a_published_water_is_read_as_printed(water: Path, tmp_path: Path) -> None:
    sample, rows = fed(water, tmp_path / "club"), printed(water)
    for name, row in rows.items():
        if name in G_MOL:
            expected = float(row["value"]) / G_MOL[name]
            assert sample.mmol_l[KEYS[name]] == pytest.approx(expected, rel=1e-4), name
    measured = rows["conductivity"]
    expected = float(measured["value"]) * TO_25_DEGC[measured["as"]]
    assert sample.conductivity_us_cm == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize("water", WATERS, ids=lambda path: path.name)
def test_calculated_conductivity_is_near_the_measured_one(water: Path, tmp_path: Path) -> None:
    """Standard Methods 1030 E asks for 0.9 to 1.1 of the measured conductivity."""
    sample = fed(water, tmp_path / "club")
    report = report_sample(sample, 10.0)
    calculated = report.conductivity_standard_methods_us_cm
    assert calculated is not None
    assert sample.conductivity_us_cm is not None
    assert 0.9 < calculated / sample.conductivity_us_cm < 1.1
    assert report.charge_balance_error_percent is not None
    assert abs(report.charge_balance_error_percent) < 2.5


@pytest.mark.parametrize("water", WATERS, ids=lambda path: path.name)
def test_each_water_says_where_it_comes_from(water: Path) -> None:
    source = (water / "SOURCE.md").read_text(encoding="utf-8")
    assert "measured" in source
    assert "not seen" in source or "from memory" in source


@pytest.mark.parametrize("row", ["pH,7.4,,", "silica,12,mg/L,SiO2", "nitrate,20,mg/L,"])
def test_a_folder_that_tells_nothing_of_salts_is_told_so(row: str, tmp_path: Path) -> None:
    folder = tmp_path / "club"
    write_demo(folder)
    head = "sample,source,date,point,analyte,value,unit,as"
    thin = f"{head}\nthin,well,2027-06-22,feed,{row}\n"
    (folder / "water-tests.csv").write_text(thin, encoding="utf-8")
    (problem,) = read_club(folder).problems
    assert (problem.file, "cannot be planned with" in problem.message) == ("water-tests.csv", True)
