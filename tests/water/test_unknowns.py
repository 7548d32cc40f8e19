import datetime as dt
from collections.abc import Mapping
from typing import Any

import pytest

from waterkit.water.completion import complete
from waterkit.water.composition import larger, load
from waterkit.water.ions import SPECIES
from waterkit.water.sample import Sample, WaterTest, gather, measure
from waterkit.water.unknowns import PH_TEMPERATURE, SALT, WHOLE_ANALYSIS, unknowns, worth_testing

DAY = dt.date(2027, 6, 1)
MAJORS = {"Ca": 2.4, "Mg": 1.0, "Na": 0.7, "K": 0.1, "Cl": 0.8, "SO4": 0.5, "NO3": 0.2}


def sample(mmol_l: Mapping[str, float], **measured: Any) -> Sample:
    return Sample("A", "well", DAY, "feed", mmol_l, **measured)


def test_a_whole_analysis_leaves_nothing_open() -> None:
    whole = sample({**MAJORS, "SiO2": 0.25}, alkalinity_meq_l=5.6, ph=7.4, temperature_c=10.0)
    assert unknowns(whole, 10.0) == ()
    assert worth_testing(()) == ()


def test_silica_without_a_test_moves_the_litres_by_what_it_loads() -> None:
    water = sample(MAJORS, alkalinity_meq_l=5.6, ph=7.4, temperature_c=10.0)
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
    assert {"SiO2", "pH", "alkalinity", "SO4", "NO3", "K", SALT} == {u.analyte for u in found}
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
        Sample(
            "A", "well", DAY, "feed", water.mmol_l, 5.6, ph=7.4, temperature_c=10.0, ranges=ranged
        ),
        10.0,
    )  # fmt: skip
    assert [note.key for note in worth_testing((found,))] == ["no-test-worth-paying-for"]


def test_salt_of_which_nothing_is_told_loads_the_resin_by_its_charge() -> None:
    found = {u.analyte: u for u in unknowns(sample({}, hardness_mg_l_caco3=360.0), 10.0)}
    taken = float(larger(load(complete(sample({}, hardness_mg_l_caco3=360.0), 10.0).water)))
    assert found[SALT].litres_at_low_percent == 0.0
    # 100 mg/L of NaCl are 1.711 mmol/L
    assert found[SALT].litres_at_high_percent == pytest.approx(
        100 * (taken / (taken + 1.711) - 1), abs=0.05
    )


def test_magnesium_beside_calcium_alone_is_open() -> None:
    found = {u.analyte: u for u in unknowns(sample({"Ca": 2.0}), 10.0)}
    assert found["Mg"].litres_at_high_percent < -20.0  # 30 mg/L are 2.5 meq/L beside 4


def test_a_laboratory_s_ph_leaves_its_temperature_open() -> None:
    lab = sample({**MAJORS, "SiO2": 0.25}, alkalinity_meq_l=5.6, ph=7.4)
    (found,) = unknowns(lab, 10.0)
    assert (found.analyte, found.likely, found.high) == (PH_TEMPERATURE, 10.0, 25.0)
    # pK1 falls from 6.46 at 10 degC to 6.35 at 25: carbon dioxide is 23 % less
    assert 0.5 < found.litres_at_high_percent < 4.0


def test_carbon_dioxide_of_an_acid_water_is_open() -> None:
    acid = sample({"Ca": 0.5, "Cl": 1.1, "SiO2": 0.2}, alkalinity_meq_l=0.0, ph=4.2)
    found = {u.analyte: u for u in unknowns(acid, 10.0)}
    assert found["CO2"].litres_at_low_percent > 0 > found["CO2"].litres_at_high_percent


# Whatever a sheet tells: moving one thing moves the litres to both sides of what is taken, or to
# one of them, never beyond it.

SHEETS: dict[str, dict[str, Any]] = {
    "hardness": {"hardness_mg_l_caco3": 250.0},
    "hardness, alkalinity": {"hardness_mg_l_caco3": 250.0, "alkalinity_meq_l": 4.0},
    "hardness, alkalinity, conductivity": {
        "hardness_mg_l_caco3": 250.0, "alkalinity_meq_l": 4.0, "conductivity_us_cm": 900.0,
    },
    "nitrate, conductivity": {"mmol_l": {"NO3": 0.645}, "conductivity_us_cm": 650.0},
    "chloride, conductivity": {"mmol_l": {"Cl": 1.1}, "conductivity_us_cm": 650.0},
    "chloride, hardness, conductivity": {
        "mmol_l": {"Cl": 0.85}, "hardness_mg_l_caco3": 250.0, "conductivity_us_cm": 900.0,
    },
    "sodium, hardness, conductivity": {
        "mmol_l": {"Na": 1.3}, "hardness_mg_l_caco3": 250.0, "conductivity_us_cm": 900.0,
    },
    "conductivity": {"conductivity_us_cm": 650.0},
    "dissolved solids": {"tds_mg_l": 426.0},
    "calcium": {"mmol_l": {"Ca": 2.0}},
    "calcium beside hardness": {"mmol_l": {"Ca": 2.0}, "hardness_mg_l_caco3": 250.0},
    "no sodium": {"mmol_l": {"Ca": 1.4, "Mg": 0.5, "Cl": 0.6, "SO4": 0.8}, "alkalinity_meq_l": 2.8},
    "no alkalinity": {"mmol_l": MAJORS},
    "acid": {"mmol_l": {"Ca": 0.5, "Cl": 1.1}, "alkalinity_meq_l": 0.0, "ph": 4.2},
    "soda": {"mmol_l": {"Na": 8.0}, "ph": 8.4},
}  # fmt: skip
RANGED = {
    "Ca": (1.5, 2.3), "Cl": (0.3, 1.7), "Na": (0.4, 2.0), "SO4": (0.2, 0.7), "NO3": (0.01, 0.2),
    "alkalinity": (3.6, 4.8), "hardness": (220.0, 310.0), "pH": (7.2, 7.9), "SiO2": (0.1, 0.3),
    "conductivity": (450.0, 720.0),
}  # fmt: skip


def ranged_sheet(keys: tuple[str, ...]) -> Sample:
    middles = {key: sum(RANGED[key]) / 2.0 for key in keys}
    others = {
        name: middles[key]
        for key, name in (
            ("alkalinity", "alkalinity_meq_l"), ("hardness", "hardness_mg_l_caco3"), ("pH", "ph"),
            ("conductivity", "conductivity_us_cm"),
        )
        if key in middles
    }  # fmt: skip
    ions = {key: value for key, value in middles.items() if key in SPECIES}
    return sample(ions, ranges={key: RANGED[key] for key in keys}, **others)


def holds_its_middle(sheet: Sample) -> list[str]:
    """What moves the litres to one side only at both of its ends, beyond the 0.1 % of activity."""
    return [
        unknown.analyte
        for unknown in unknowns(sheet, 10.0)
        if min(unknown.litres_at_low_percent, unknown.litres_at_high_percent) > 0.1
        or max(unknown.litres_at_low_percent, unknown.litres_at_high_percent) < -0.1
        or not unknown.low <= unknown.likely <= unknown.high
    ]


@pytest.mark.parametrize("name", SHEETS)
def test_a_range_holds_its_middle(name: str) -> None:
    told = {"mmol_l": {}, **SHEETS[name]}
    assert holds_its_middle(sample(**told)) == []


SOME = (tuple(RANGED), ("hardness", "Cl"), ("hardness", "Na", "conductivity"), ("Ca", "hardness"))


@pytest.mark.parametrize("keys", [*((key,) for key in RANGED), *SOME])
def test_a_told_range_holds_its_middle(keys: tuple[str, ...]) -> None:
    assert holds_its_middle(ranged_sheet(keys)) == []


def test_what_was_made_up_from_a_conductivity_is_moved_from_its_finished_value() -> None:
    sheet = sample({}, **SHEETS["hardness, alkalinity, conductivity"])
    found = {u.analyte: u for u in unknowns(sheet, 10.0)}
    amounts = complete(sheet, 10.0).water.mmol_l
    for key in ("Na", "Cl"):
        assert found[key].likely == pytest.approx(
            float(amounts[key]) * SPECIES[key].molar_mass_g_mol
        )
        assert 2.0 < found[key].litres_at_low_percent < 8.0
        assert -8.0 < found[key].litres_at_high_percent < -2.0


def test_ranges_are_told_in_the_units_of_a_sheet() -> None:
    found = {u.analyte: u for u in unknowns(ranged_sheet(("Ca", "alkalinity", "hardness")), 10.0)}
    assert found["Ca"].unit == "mg/L"
    assert found["Ca"].low == pytest.approx(1.5 * 40.078)
    assert found["alkalinity"].unit == found["hardness"].unit == "mg/L as CaCO3"
    assert found["alkalinity"].low == pytest.approx(3.6 * 50.043, abs=0.01)


def test_litres_are_those_of_the_vessel_that_is_asked() -> None:
    sheet = sample(MAJORS, alkalinity_meq_l=5.6, temperature_c=10.0)
    by_cations = {
        u.analyte: u
        for u in unknowns(sheet, 10.0, lambda water: 41_000.0 / float(load(water).cation_meq_l))
    }
    assert by_cations["pH"].litres_at_low_percent == pytest.approx(0.0)
    cations = float(load(complete(sheet, 10.0).water).cation_meq_l)
    assert by_cations["pH"].litres_likely_l == pytest.approx(41_000.0 / cations)
    (plain,) = [u for u in unknowns(sheet, 10.0) if u.analyte == "pH"]
    assert plain.litres_at_low_percent < -10.0
    assert plain.litres_likely_l is None
