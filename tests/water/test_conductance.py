"""Measured waters decide; the pairs and the range stand in test_speciation and tests/published."""

import tomllib
from pathlib import Path

import numpy as np
import pytest

from tests.reference.phreeqc_waters import IONS, RESULTS, WATERS, read
from waterkit.water.conductance import (
    CONDUCTING,
    conductivity_notes,
    conductivity_us_cm,
    ion_conductance,
    limiting_conductance,
)
from waterkit.water.conductivity import (
    LIMITING_S_CM2_EQ,
    pure_water,
    standard_methods_conductivity,
)
from waterkit.water.ions import SPECIES
from waterkit.water.meter import natural_water_factor
from waterkit.water.pairs import FORMED
from waterkit.water.speciation import speciate

# uS/cm as measured, at 20 degC but for the last, at 25: tests/published names the sources.
MEASURED = {
    "stuyfzand 1": 67.0, "stuyfzand 2": 326.0, "stuyfzand 9": 486.0, "stuyfzand 15": 585.0,
    "standard methods 2510": 477.0,
}  # fmt: skip
DOUBTFUL = {
    "stuyfzand 1": "this model and PHREEQC (which share their pairs) and Standard Methods lie 6 to"
    " 12 % above what was measured; the source's own calculation, 67, does not"
}
WATER_ROWS = {row["water"]: row for row in read(WATERS)}


def calculated(name: str) -> float:
    row = WATER_ROWS[name]
    amounts = {ion: float(row[ion]) for ion in IONS}
    celsius, alkalinity = float(row["temperature_c"]), float(row["alkalinity_meq_l"])
    return float(conductivity_us_cm(speciate(amounts, alkalinity, celsius, ph=float(row["ph"]))))


def off_percent(name: str) -> float:
    return 100.0 * abs(calculated(name) / MEASURED[name] - 1.0)


@pytest.mark.parametrize("name", MEASURED)
def test_each_measured_water(name: str) -> None:
    most = 5.0 if MEASURED[name] < 120.0 and name not in DOUBTFUL else 12.0
    assert off_percent(name) < most


def test_measured_waters_in_the_mean() -> None:
    assert np.mean([off_percent(name) for name in MEASURED]) < 6.0


def test_the_doubtful_row_is_doubted_by_others_too() -> None:
    row = WATER_ROWS["stuyfzand 1"]
    recorded = {row["water"]: float(row["conductivity_us_cm"]) for row in read(RESULTS)}
    amounts = {ion: float(row[ion]) for ion in IONS} | {"HCO3": float(row["alkalinity_meq_l"])}
    methods = float(standard_methods_conductivity(amounts).conductivity_us_cm)
    methods /= float(natural_water_factor(20.0))
    for other in (recorded["stuyfzand 1"], methods, calculated("stuyfzand 1")):
        assert 1.05 < other / MEASURED["stuyfzand 1"] < 1.12


def test_only_the_doubtful_row_is_further_off_than_the_notes_say() -> None:
    assert {name for name in MEASURED if off_percent(name) > 7.0} == set(DOUBTFUL)


def test_dilute_measured_salts() -> None:
    # below 120 uS/cm: potassium chloride of table 2510:I of Standard Methods
    for mmol_l, us_cm in ((0.1, 14.9), (0.5, 73.9)):
        found = speciate({"K": mmol_l, "Cl": mmol_l}, 0.0, 25.0, total_carbon_mmol_l=0.0)
        assert conductivity_us_cm(found) == pytest.approx(us_cm, rel=0.015)


def test_the_published_files_hold_the_same_measurements() -> None:
    path = Path(__file__).parent.parent / "published" / "stuyfzand-1987.toml"
    cases = tomllib.loads(path.read_text("utf-8"))["case"]
    told = {case["name"]: case["expected"]["house_at_20_degc"] for case in cases}
    assert told == {
        name.replace("stuyfzand", "water"): f"{us_cm:.0f} uS/cm"
        for name, us_cm in MEASURED.items()
        if name.startswith("stuyfzand")
    }


# Limiting conductances at 25 degC of a handbook (CRC, as in an open-source library), S cm2/eq.
CRC = {
    "H": 349.65, "OH": 198.0, "Ca": 59.47, "Mg": 53.0, "Na": 50.08, "K": 73.48, "NH4": 73.5,
    "HCO3": 44.5, "CO3": 69.3, "SO4": 80.0, "Cl": 76.31, "NO3": 71.42, "F": 55.4, "Fe": 54.0,
    "H2PO4": 36.0, "HPO4": 57.0,
}  # fmt: skip


@pytest.mark.parametrize("ion", CRC)
def test_an_ion_alone_at_25_degc(ion: str) -> None:
    charge = abs(SPECIES[ion].charge) if ion in SPECIES else {"H2PO4": 1, "HPO4": 2}[ion]
    # phosphate: two handbooks differ by 9 %
    most = 0.1 if ion == "H2PO4" else 0.025
    assert limiting_conductance(ion, 25.0) / charge == pytest.approx(CRC[ion], rel=most)


def test_magnesium_sulfate_of_a_handbook_comes_out_low() -> None:
    # 0.5 % by mass at 20 degC: 0.0417 mol/L conduct 4.1 mS/cm (CRC, from memory)
    found = speciate({"Mg": 41.7, "SO4": 41.7}, 0.0, 20.0, total_carbon_mmol_l=0.0)
    assert -0.12 < float(conductivity_us_cm(found)) / 4100.0 - 1.0 < -0.09


def test_every_ion_and_charged_pair_conducts() -> None:
    charged = set(LIMITING_S_CM2_EQ) | {f.key for f in FORMED if f.charge}
    assert charged <= set(CONDUCTING)


@pytest.mark.parametrize("ion", CONDUCTING)
def test_an_ion_conducts_more_when_warm_and_less_among_others(ion: str) -> None:
    celsius = np.arange(0.0, 61.0, 10.0)
    assert np.all(np.diff(limiting_conductance(ion, celsius)) > 0)
    assert np.all(np.diff(ion_conductance(ion, 25.0, np.array([0.0, 0.001, 0.01, 0.1]))) < 0)


@pytest.mark.parametrize("celsius", [0.0, 10.0, 25.0, 50.0])
def test_water_with_nothing_in_it_is_pure_water(celsius: float) -> None:
    nothing = speciate({}, 0.0, celsius, total_carbon_mmol_l=0.0)
    assert conductivity_us_cm(nothing) == pytest.approx(float(pure_water(celsius)), rel=0.02)


def test_pairs_take_charge_out_of_the_current() -> None:
    gypsum = speciate({"Ca": 5.0, "SO4": 5.0}, 0.0, 25.0, total_carbon_mmol_l=0.0)
    assert gypsum.mmol_l["CaSO4"] > 1.0
    apart = ion_conductance("Ca", 25.0, 0.02) + ion_conductance("SO4", 25.0, 0.02)
    assert conductivity_us_cm(gypsum) < 0.85 * 5.0 * apart


@pytest.mark.parametrize(
    ("us_cm", "celsius", "keys"),
    [
        (4999.0, 25.0, []),
        (5001.0, 25.0, ["too-salty-for-conductivity"]),
        (100.0, 61.0, ["temperature-outside-conductivity"]),
        (6000.0, -1.0, ["too-salty-for-conductivity", "temperature-outside-conductivity"]),
    ],
)
def test_outside_its_range_the_model_says_so(us_cm: float, celsius: float, keys: list[str]) -> None:
    assert [note.key for note in conductivity_notes(us_cm, celsius)] == keys
