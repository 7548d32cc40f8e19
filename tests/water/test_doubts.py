import datetime as dt
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import pytest

from waterkit.water.analysis import report_sample
from waterkit.water.doubts import Suspicion, suspicions
from waterkit.water.ions import to_mmol_l
from waterkit.water.sample import Sample, WaterTest, gather, measure

DAY = dt.date(2027, 6, 1)
# The natural water of Standard Methods 2510 A, mg/L (from memory); it was measured at 477 uS/cm.
EXAMPLE = {"Ca": 55.0, "Mg": 12.0, "Na": 28.0, "K": 3.2, "HCO3": 170.0, "SO4": 77.0, "Cl": 20.0}


def sample(mg_l: Mapping[str, float], **measured: Any) -> Sample:
    amounts = {key: float(to_mmol_l(mass, key)) for key, mass in mg_l.items()}
    return Sample("A", "well", DAY, "feed", amounts, **measured)


def sheet(*rows: str) -> Sample:
    """A sample from rows such as ``calcium 98 mg/L`` or ``alkalinity 280 mg/L CaCO3``."""
    results = []
    for row in rows:
        analyte, value, unit, basis = (*row.split(), "", "", "")[:4]
        results.append(measure(WaterTest("A", DAY, analyte, value, unit=unit, as_=basis)))
    return gather("A", "well", DAY, "feed", results)


def told(*rows: str) -> list[Suspicion]:
    return list(suspicions(sheet(*rows)))


# What is told of a sheet that was copied with a fault, each fault put into a sound one.

SOUND = sample({**EXAMPLE, "SiO2": 12.0}, conductivity_us_cm=477.0, ph=7.6)


def with_mass(key: str, factor: float) -> Sample:
    return replace(SOUND, mmol_l={**SOUND.mmol_l, key: SOUND.mmol_l[key] * factor})


def test_a_sound_sample_raises_no_suspicion() -> None:
    assert suspicions(SOUND) == ()
    assert suspicions(sample({})) == ()


@pytest.mark.parametrize(
    ("us_cm", "word"),
    [
        (0.477, "mS/cm"),
        (47.7, "mS/m"),
        (4770.0, "10 times too large"),
        (477_000.0, "1000 times too large"),
        (800.0, "missing or in another unit"),
    ],
)
def test_a_conductivity_in_another_unit_is_seen(us_cm: float, word: str) -> None:
    (found,) = suspicions(replace(SOUND, conductivity_us_cm=us_cm))
    assert found.analyte == "conductivity"
    assert word in found.hint


def test_a_conductivity_is_held_against_hardness_alone() -> None:
    hard = sample({}, hardness_mg_l_caco3=340.0, conductivity_us_cm=0.7)
    (found,) = suspicions(hard)
    assert "mS/cm" in found.hint


def test_calcium_carbonate_taken_for_hydrogen_carbonate_is_seen() -> None:
    found = {each.analyte: each for each in suspicions(with_mass("HCO3", 0.82))}
    assert "as CaCO3, not as HCO3 (x 0.82)" in found["HCO3"].hint
    assert "too many cations or too few anions" in found["HCO3"].message


def test_hydrogen_carbonate_taken_for_calcium_carbonate_is_seen() -> None:
    rest = {key: amount for key, amount in SOUND.mmol_l.items() if key != "HCO3"}
    alkalinity = SOUND.mmol_l["HCO3"] * 1.2193
    found = suspicions(replace(SOUND, mmol_l=rest, alkalinity_meq_l=alkalinity))
    assert "as HCO3, not as CaCO3" in {each.analyte: each for each in found}["alkalinity"].hint


def test_calcium_counted_as_calcium_carbonate_is_seen() -> None:
    found = {each.analyte: each for each in suspicions(with_mass("Ca", 2.497))}
    assert "CaCO3" in found["Ca"].hint


def test_a_balance_far_off_without_a_cause_is_told() -> None:
    found = suspicions(with_mass("Na", 10.0))  # a decimal point slipped
    assert any("decimal point" in each.hint for each in found)


def test_a_small_difference_in_a_water_of_few_ions_is_no_fault() -> None:
    soft = sample({key: mass / 50 for key, mass in {**EXAMPLE, "Na": 34.0}.items()})
    assert suspicions(soft) == ()


# A well of which everything was measured, mg/L.
WELL = {
    "calcium": "98", "magnesium": "24", "sodium": "17", "potassium": "2.1", "chloride": "30",
    "sulfate": "46", "nitrate": "14",
}  # fmt: skip


def well(without: tuple[str, ...] = (), **instead: str) -> list[str]:
    masses = {**WELL, **instead}
    rows = [f"{key} {mass} mg/L" for key, mass in masses.items() if key not in without]
    alkalinity = [] if "alkalinity" in without else ["alkalinity 280 mg/L CaCO3"]
    return [*rows, *alkalinity, "pH 7.4", "conductivity 700 uS/cm 25degC"]


def test_the_well_is_sound() -> None:
    assert told(*well()) == []


def test_acid_water_without_alkalinity_is_no_fault() -> None:
    rows = ["calcium 20 mg/L", "magnesium 5 mg/L", "sodium 10 mg/L", "chloride 40 mg/L"]
    assert told(*rows, "sulfate 40 mg/L", "alkalinity 0 mg/L CaCO3", "pH 4.0") == []


@pytest.mark.parametrize(
    ("alkalinity", "ph", "word"),
    [
        ("280", "5.6", "carbon dioxide"),
        ("50", "4.2", "carbon dioxide"),
        ("50", "11.9", "hydroxide"),
    ],
)
def test_a_ph_that_does_not_go_with_the_alkalinity_is_told(
    alkalinity: str, ph: str, word: str
) -> None:
    (found,) = told("hardness 250 mg/L CaCO3", f"alkalinity {alkalinity} mg/L CaCO3", f"pH {ph}")
    assert (found.analyte, word in found.hint) == ("pH", True)


@pytest.mark.parametrize(
    ("us_cm", "word"),
    [("0.7", "mS/cm"), ("70", "mS/m"), ("140", "mS/m"), ("650000", "1000 times")],
)
def test_a_conductivity_alone_that_no_supply_has_is_asked_about(us_cm: str, word: str) -> None:
    (found,) = suspicions(sample({}, conductivity_us_cm=float(us_cm)))
    assert word in found.hint


def test_a_conductivity_alone_of_a_supply_or_of_treated_water_is_no_fault() -> None:
    assert told("conductivity 650 uS/cm 25degC") == []
    soft = replace(sheet("conductivity 12 uS/cm 25degC"), point="permeate")
    assert suspicions(soft) == ()


def test_charges_that_no_missing_ion_can_close_are_told() -> None:
    without = ("sodium", "potassium")
    assert told(*well(without)) == []  # sodium makes up what is missing
    found = told(*well(without, calcium="230"))
    assert any("no sodium that was not measured can mend it" in each.hint for each in found)
    assert "conductivity" in {each.analyte for each in found}  # 963 uS/cm, 700 measured
    found = told(*well(("alkalinity",), chloride="330"))
    assert any("too few cations" in each.message or "few cations" in each.message for each in found)


def test_a_conductivity_that_nothing_unmeasured_explains_is_told() -> None:
    rows = ("hardness 250 mg/L CaCO3", "conductivity 900 uS/cm 25degC")
    (found,) = told(*rows, "sodium 30 mg/L")
    assert (found.analyte, found.hint[:3]) == ("conductivity", "561")
    assert told(*rows, "chloride 30 mg/L") == []  # made up with sodium


@pytest.mark.parametrize(
    ("rows", "word"),
    [
        (("hardness 240 mg/L CaCO3", "calcium 98 mg/L", "magnesium 24 mg/L"), "of another day"),
        (("hardness 19.3 mg/L CaCO3", "calcium 98 mg/L", "magnesium 24 mg/L"), "German degrees"),
        (("hardness 3.44 mg/L CaCO3", "calcium 98 mg/L", "magnesium 24 mg/L"), "mmol/L"),
        (("hardness 100 mg/L CaCO3", "calcium 80 mg/L"), "another unit or basis"),
    ],
)
def test_hardness_is_held_against_calcium_and_magnesium(rows: tuple[str, ...], word: str) -> None:
    (found,) = [each for each in told(*rows) if each.analyte == "hardness"]
    assert word in found.hint


def test_hardness_that_agrees_is_no_fault() -> None:
    assert told("hardness 344 mg/L CaCO3", "calcium 98 mg/L", "magnesium 24 mg/L") == []
    assert told("hardness 300 mg/L CaCO3", "calcium 98 mg/L") == []


def test_alkalinity_is_held_against_bicarbonate() -> None:
    (found,) = told("alkalinity 280 mg/L CaCO3", "bicarbonate 280 mg/L")
    assert (found.analyte, "one figure stands for both" in found.hint) == ("alkalinity", True)
    assert told("alkalinity 280 mg/L CaCO3", "bicarbonate 341 mg/L") == []


def test_carbon_dioxide_is_held_against_ph() -> None:
    rows = ("hardness 250 mg/L CaCO3", "alkalinity 200 mg/L CaCO3")
    (found,) = told(*rows, "CO2 100 mg/L", "pH 8.4")
    assert (found.analyte, "bottle" in found.hint) == ("CO2", True)
    assert told(*rows, "CO2 18 mg/L", "pH 7.4") == []


def fails_by(rows: list[str]) -> list[str]:
    return [each.hint for each in told(*rows, "silica 10 mg/L SiO2")]


def test_a_basis_is_named_whenever_the_check_fails() -> None:
    rows = ["Ca 40 mg/L", "Mg 10 mg/L", "Na 30 mg/L", "K 2 mg/L", "Cl 60 mg/L", "SO4 55 mg/L"]
    (hint,) = fails_by([*rows, "NO3 5 mg/L", "bicarbonate 62.5 mg/L"])  # is as CaCO3: 2.9 % off
    assert "CaCO3, not as HCO3" in hint
    as_n = [row.replace("nitrate 14 mg/L", "nitrate 14 mg/L N") for row in well()]
    hints = [each.hint for each in told(*as_n)]  # 4.6 % off
    assert any("as the ion itself, not as N" in hint for hint in hints)


def test_what_is_hard_to_believe_reaches_the_report() -> None:
    report = report_sample(sheet("hardness 100 mg/L CaCO3", "calcium 80 mg/L"), 10.0)
    (note,) = [note for note in report.assumptions if note.key == "hard-to-believe"]
    assert "does not go with calcium" in str(note.values["message"])
