import datetime as dt
from collections.abc import Mapping
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from waterkit.water.completion import Measured, complete, fill
from waterkit.water.composition import carbon_dioxide, conductivity_25, load
from waterkit.water.sample import Sample

MAJORS = {"Ca": 1.4, "Mg": 0.5, "Na": 1.2, "K": 0.1, "Cl": 0.6, "SO4": 0.8, "NO3": 0.1}


def sample(mmol_l: Mapping[str, float], **measured: Any) -> Sample:
    return Sample("A", "well", dt.date(2027, 6, 1), "feed", mmol_l, **measured)


def keys(water: Sample) -> list[str]:
    return [note.key for note in complete(water, 10.0).notes]


def test_what_was_measured_is_not_shifted() -> None:
    whole = {**MAJORS, "SiO2": 0.2, "Fe": 0.01}
    measured = sample(whole, alkalinity_meq_l=2.5, ph=7.3, temperature_c=10.0)
    completed = complete(measured, 5.0)
    assert completed.notes == ()
    water = completed.water
    kept = {key: water.mmol_l[key] for key in measured.mmol_l}
    assert kept == measured.mmol_l
    assert (water.alkalinity_meq_l, water.ph, water.temperature_c) == (2.5, 7.3, 10.0)


def test_hardness_alone_makes_a_water_that_balances() -> None:
    completed = complete(sample({}, hardness_mg_l_caco3=360.0), 10.0)
    amounts = completed.water.mmol_l
    assert amounts["Ca"] / amounts["Mg"] == pytest.approx(3.0)
    assert amounts["Ca"] + amounts["Mg"] == pytest.approx(3.597, abs=1e-3)  # 360 / 100.086
    assert completed.water.alkalinity_meq_l == pytest.approx(7.194, abs=2e-3)
    assert [note.key for note in completed.notes] == [
        "hardness-split", "by-charge-difference", "taken-as-none", "silica-assumed", "pH-assumed",
    ]  # fmt: skip


def test_the_rest_of_hardness_is_the_other_ion() -> None:
    completed = complete(sample({"Ca": 2.0}, hardness_mg_l_caco3=300.258), 10.0)
    assert completed.water.mmol_l["Mg"] == pytest.approx(1.0)
    assert "rest-of-hardness" in [note.key for note in completed.notes]


@pytest.mark.parametrize("missing", ["Na", "Cl", "SO4"])
def test_one_missing_ion_is_found_by_charge(missing: str) -> None:
    # a water that balances, without one of its ions
    whole = {"Ca": 1.4, "Mg": 0.5, "Na": 1.2, "K": 0.1, "Cl": 0.6, "SO4": 0.8, "NO3": 0.1}
    alkalinity = 5.1 - 2.3
    rest = {key: amount for key, amount in whole.items() if key != missing}
    completed = complete(sample(rest, alkalinity_meq_l=alkalinity, ph=7.2), 10.0)
    assert completed.water.mmol_l[missing] == pytest.approx(whole[missing])
    note = completed.notes[0]
    assert (note.key, note.values["analyte"]) == ("by-charge-difference", missing)


def test_missing_alkalinity_is_found_by_charge() -> None:
    completed = complete(sample(MAJORS, ph=7.2), 10.0)
    assert completed.water.alkalinity_meq_l == pytest.approx(5.1 - 2.3)


def test_ph_comes_from_carbon_dioxide_where_it_was_measured() -> None:
    measured = sample({**MAJORS, "CO2": 0.25}, alkalinity_meq_l=2.5)
    completed = complete(measured, 10.0)
    assert "pH-from-carbon-dioxide" in [note.key for note in completed.notes]
    assert carbon_dioxide(completed.water) == pytest.approx(0.25, rel=0.01)


def test_the_sample_tells_its_own_temperature() -> None:
    warm = complete(sample(MAJORS, temperature_c=20.0, alkalinity_meq_l=2.5, ph=7.3), 5.0).water
    cold = complete(sample(MAJORS, alkalinity_meq_l=2.5, ph=7.3), 5.0).water
    assert (warm.temperature_c, cold.temperature_c) == (20.0, 5.0)
    assert carbon_dioxide(cold) > carbon_dioxide(warm)  # pK1 falls from 6.52 to 6.38


def test_what_lacks_hardness_says_so() -> None:
    assert keys(sample({}))[0] == "hardness-not-measured"


AMOUNT = st.floats(0.0, 10.0)


@given(st.fixed_dictionaries({}, optional=dict.fromkeys((*MAJORS, "SiO2", "Fe"), AMOUNT)))
def test_any_sheet_can_be_completed(mmol_l: dict[str, float]) -> None:
    completed = complete(sample(mmol_l), 10.0)
    taken = load(completed.water)
    assert taken.cation_meq_l >= 0
    assert taken.anion_meq_l >= 0
    assert all(amount >= 0 for amount in completed.water.mmol_l.values())


def test_a_conductivity_alone_is_a_common_water_of_that_conductivity() -> None:
    completed = complete(sample({}, conductivity_us_cm=650.0), 10.0)
    assert conductivity_25(completed.water) == pytest.approx(650.0, rel=1e-3)
    assert completed.notes[0].key == "composition-from-conductivity"
    taken = load(completed.water)
    assert taken.cation_meq_l == pytest.approx(7.0, rel=0.1)  # 100 uS/cm for each meq/L, 1030 E


def test_what_hardness_leaves_of_the_conductivity_is_salt() -> None:
    hard = sample({}, hardness_mg_l_caco3=200.0, conductivity_us_cm=900.0)
    completed = complete(hard, 10.0)
    assert "salt-from-conductivity" in [note.key for note in completed.notes]
    assert conductivity_25(completed.water) == pytest.approx(900.0, rel=0.01)
    amounts = completed.water.mmol_l
    assert amounts["Na"] == pytest.approx(float(amounts["Cl"]))
    assert amounts["Na"] > 3.0


def test_many_waters_are_completed_as_each_alone() -> None:
    hardness = np.array([50.0, 200.0, 400.0])
    many = fill(Measured({}, hardness_mg_l=hardness, ph=7.6))
    for place, mg_l in enumerate(hardness):
        alone = fill(Measured({}, hardness_mg_l=float(mg_l), ph=7.6))
        for key, amount in alone.water.mmol_l.items():
            among = np.broadcast_to(many.water.mmol_l[key], hardness.shape)[place]
            assert among == pytest.approx(float(amount), rel=1e-6)


def test_what_is_completed_is_told_once() -> None:
    notes = complete(sample({}, hardness_mg_l_caco3=360.0), 10.0).notes
    keys_told = [(note.key, note.values.get("analyte")) for note in notes]
    assert len(keys_told) == len(set(keys_told))


def test_a_ph_without_a_temperature_is_taken_at_the_supplys_and_said_so() -> None:
    whole = {**MAJORS, "SiO2": 0.2}
    (note,) = complete(sample(whole, alkalinity_meq_l=2.5, ph=7.3), 5.0).notes
    assert (note.key, note.values["temperature_c"]) == ("pH-temperature-assumed", 5.0)


# Acid water: below the end point of its titration a sheet's "none" says nothing of mineral acid.

ACID = {"Ca": 0.5, "Mg": 0.2, "Na": 0.43, "Cl": 1.13, "SO4": 0.42, "SiO2": 0.17}


@pytest.mark.parametrize("told", [None, 0.0, 0.05])
@pytest.mark.parametrize("ph", [3.3, 4.0, 4.3, 4.9])
def test_acid_water_holds_mineral_acid_not_carbon_dioxide(told: float | None, ph: float) -> None:
    completed = complete(sample(ACID, alkalinity_meq_l=told, ph=ph, temperature_c=10.0), 10.0)
    assert "acid-water" in [note.key for note in completed.notes]
    hydrogen = completed.there.mmol_l["H"]
    assert hydrogen == pytest.approx(1000 * 10**-ph, rel=0.25)  # activity over concentration
    assert completed.water.alkalinity_meq_l == pytest.approx(-float(hydrogen), rel=0.03, abs=0.01)
    assert carbon_dioxide(completed.water) == pytest.approx(10.0 / 44.009, rel=0.1)  # as assumed
    assert completed.there.ph == pytest.approx(ph, abs=0.01)
    taken = load(completed.water)
    assert taken.anion_meq_l < taken.cation_meq_l + 1.5


def test_acid_water_keeps_the_carbon_dioxide_that_was_measured() -> None:
    acid = sample({**ACID, "CO2": 0.5}, alkalinity_meq_l=0.0, ph=4.2, temperature_c=10.0)
    completed = complete(acid, 10.0)
    assert completed.notes[0].key == "acid-water-with-co2"
    assert completed.there.co2_mmol_l == pytest.approx(0.5, rel=1e-3)


def test_an_acid_water_among_others_is_completed_as_alone() -> None:
    ph, told = np.array([4.0, 7.4]), np.array([0.0, 2.5])
    many = fill(Measured(ACID, told, ph=ph))
    for place in (0, 1):
        alone = fill(Measured(ACID, float(told[place]), ph=float(ph[place])))
        carbon = np.asarray(many.water.mmol_l["C"])[place]
        assert carbon == pytest.approx(float(alone.water.mmol_l["C"]), rel=1e-3)


# What is missing of a measured conductivity is made up by what was not measured.


@pytest.mark.parametrize(
    ("mmol_l", "measured", "target", "meq_l"),
    [
        ({"Cl": 0.846}, {"hardness_mg_l_caco3": 250.0}, 900.0, 9.0),
        ({"Cl": 1.128}, {}, 650.0, 6.5),
        ({"NO3": 0.645}, {}, 650.0, 6.5),
        ({}, {"hardness_mg_l_caco3": 250.0, "alkalinity_meq_l": 4.0}, 900.0, 9.0),
        ({"Na": 1.0}, {}, 650.0, 6.5),
    ],
)
def test_what_was_not_measured_makes_up_the_conductivity(
    mmol_l: dict[str, float], measured: dict[str, float], target: float, meq_l: float
) -> None:
    completed = complete(sample(mmol_l, conductivity_us_cm=target, **measured), 10.0)
    assert conductivity_25(completed.water) == pytest.approx(target, rel=0.01)
    # 100 uS/cm for each meq/L, Standard Methods 1030 E
    assert load(completed.water).cation_meq_l == pytest.approx(meq_l, rel=0.15)
    assert {key: completed.water.mmol_l[key] for key in mmol_l} == mmol_l


def test_what_was_all_measured_is_not_shifted_by_a_conductivity() -> None:
    hard = sample({"Na": 1.3}, hardness_mg_l_caco3=250.0, conductivity_us_cm=900.0)
    assert complete(hard, 10.0).water.mmol_l["Na"] == 1.3
    assert "salt-from-conductivity" not in keys(hard)


def test_dissolved_solids_stand_in_for_a_conductivity() -> None:
    completed = complete(sample({}, tds_mg_l=426.0), 10.0)
    assert [note.key for note in completed.notes][:2] == [
        "conductivity-from-dissolved-solids", "composition-from-conductivity",
    ]  # fmt: skip
    assert conductivity_25(completed.water) == pytest.approx(426.0 / 0.65, rel=0.01)


def test_what_is_taken_as_none_is_told() -> None:
    notes = {note.key: note for note in complete(sample({}, hardness_mg_l_caco3=300.0), 10.0).notes}
    assert notes["taken-as-none"].values["analytes"] == ("Na", "K", "Cl", "SO4", "NO3")
    alone = {note.key: note for note in complete(sample({"Ca": 2.0}), 10.0).notes}
    assert "Mg" in alone["taken-as-none"].values["analytes"]  # type: ignore[operator]


def test_more_calcium_than_hardness_is_told() -> None:
    told = keys(sample({"Ca": 2.0}, hardness_mg_l_caco3=100.0))
    assert "more-than-hardness" in told
    assert "rest-of-hardness" not in told


@pytest.mark.parametrize("us_cm", [60_000.0, 200_000.0, 1e6])
def test_no_conductivity_is_too_high_to_be_read(us_cm: float) -> None:
    for told in ({}, {"hardness_mg_l_caco3": 300.0}):
        found = complete(sample({}, conductivity_us_cm=us_cm, **told), 10.0)
        assert np.isfinite(load(found.water).anion_meq_l)
