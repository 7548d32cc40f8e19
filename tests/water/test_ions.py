import pytest
from chempy import Substance
from hypothesis import given
from hypothesis import strategies as st

from waterkit.errors import FieldError
from waterkit.water.ions import (
    SPECIES,
    charge_sum_meq_l,
    equivalents_from_caco3,
    find_analyte,
    find_basis,
    mg_per_mmol,
    to_mmol_l,
)


@pytest.mark.parametrize("key", SPECIES)
def test_molar_masses_agree_with_a_library_of_chemistry(key: str) -> None:
    assert SPECIES[key].molar_mass_g_mol == pytest.approx(
        Substance.from_formula(key).mass, abs=6e-4
    )


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("calcium", "Ca"),
        ("CA", "Ca"),
        ("Ca2+", "Ca"),
        ("Ca++", "Ca"),
        ("Na+", "Na"),
        (" hydrogen  carbonate ", "HCO3"),
        ("Bicarbonate", "HCO3"),
        ("HCO3-", "HCO3"),
        ("sulphate", "SO4"),
        ("SO4 2-", "SO4"),
        ("SO42-", "SO4"),
        ("Cl", "Cl"),
        ("free chlorine", "chlorine"),
        ("ph", "pH"),
        ("silica", "SiO2"),
        ("Total Alkalinity", "alkalinity"),
        ("tds", "TDS"),
        ("EC", "conductivity"),
    ],
)
def test_an_analyte_is_found_by_name_and_formula(text: str, key: str) -> None:
    assert find_analyte(text) == key


def test_every_species_is_found_by_its_names() -> None:
    for species in SPECIES.values():
        for name in (species.key, species.name, *species.names):
            assert find_analyte(name.upper()) == species.key


def test_an_unknown_analyte_comes_with_what_is_near() -> None:
    with pytest.raises(FieldError, match="unknown analyte 'calcum'") as caught:
        find_analyte("calcum")
    assert "calcium" in caught.value.hint
    assert caught.value.field == "analyte"


# Equivalent weights, g/eq, from memory; mass ratios computed from atomic weights.
@pytest.mark.parametrize(
    ("species", "as_", "mg"),
    [
        ("Ca", "", 40.08),
        ("Ca", "CaCO3", 100.09),
        ("Na", "CaCO3", 50.04),
        ("HCO3", "CaCO3", 50.04),
        ("SO4", "CaCO3", 100.09),
        ("CO2", "CaCO3", 50.04),
        ("SiO2", "CaCO3", 50.04),
        ("Ca", "CaO", 56.08),
        ("NO3", "N", 14.007),
        ("NH4", "N", 14.007),
        ("NO2", "N", 14.007),
        ("NO3", "NO3", 62.00),
        ("PO4", "P", 30.97),
        ("PO4", "P2O5", 70.97),
        ("SO4", "S", 32.06),
        ("SiO2", "Si", 28.09),
        ("SiO2", "SiO2", 60.08),
        ("K", "K2O", 47.10),
        ("NH4", "NH3", 17.03),
    ],
)
def test_what_a_mass_is_counted_as(species: str, as_: str, mg: float) -> None:
    assert mg_per_mmol(species, as_) == pytest.approx(mg, abs=0.01)


@pytest.mark.parametrize(("species", "as_"), [("NO3", "Cl"), ("B", "CaCO3"), ("Na", "N")])
def test_what_cannot_be_counted_so_is_refused(species: str, as_: str) -> None:
    with pytest.raises(FieldError, match="cannot be counted as") as caught:
        mg_per_mmol(species, as_)
    assert caught.value.field == "as"


@pytest.mark.parametrize(("text", "as_"), [("caco3", "CaCO3"), ("as CaCO3", "CaCO3"), ("n", "N")])
def test_a_basis_is_found_in_any_case(text: str, as_: str) -> None:
    assert find_basis(text) == as_


@given(st.sampled_from(sorted(SPECIES)), st.floats(1e-6, 1e5))
def test_there_and_back(species: str, mg_l: float) -> None:
    amount = to_mmol_l(mg_l, species)
    assert amount * SPECIES[species].molar_mass_g_mol == pytest.approx(mg_l)


def test_one_equivalent_is_half_a_mole_of_caco3() -> None:
    assert equivalents_from_caco3(100.086) == pytest.approx(2.0)


def test_charges_are_summed_by_sign() -> None:
    amounts = {"Ca": 1.0, "Na": 0.5, "Cl": 2.0, "SiO2": 9.0, "PO4": 0.1}
    assert charge_sum_meq_l(amounts, +1) == pytest.approx(2.5)
    assert charge_sum_meq_l(amounts, -1) == pytest.approx(2.1)
