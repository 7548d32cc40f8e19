import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from waterkit.water.conductance import conductivity_us_cm
from waterkit.water.conductivity import (
    LIMITING_S_CM2_EQ,
    dilute_at_25,
    dilute_at_temperature,
    dilute_spread,
    ionic_strength_mol_l,
    pure_water,
    salt_factor,
    standard_methods_activity,
    standard_methods_conductivity,
)
from waterkit.water.ions import SPECIES
from waterkit.water.speciation import speciate

# The worked example of Standard Methods 2510 A, mmol/L as printed (from memory).
EXAMPLE = {"Ca": 1.38, "Mg": 0.49, "Na": 1.22, "K": 0.08, "HCO3": 2.79, "SO4": 0.80, "Cl": 0.56}


def test_every_ion_conducts() -> None:
    assert set(LIMITING_S_CM2_EQ) == {key for key, each in SPECIES.items() if each.charge}


def test_the_activity_factor_has_the_right_sign_on_its_last_term() -> None:
    # A wrong sign on 0.3 I also rounds to 0.91; computed by hand from the printed formula.
    result = standard_methods_conductivity(EXAMPLE)
    assert result.activity_factor == pytest.approx(0.9139, abs=5e-5)
    assert result.conductivity_us_cm == pytest.approx(482.9, abs=0.05)


# Table 2510:I of Standard Methods (seen), KCl at 25 degC: the method is 1.7, 4.9 and 13 % low.
@pytest.mark.parametrize(
    ("mmol_l", "us_cm", "percent"), [(0.1, 14.9, 1.7), (1.0, 146.9, 4.9), (10.0, 1412.0, 13.0)]
)
def test_the_method_is_low_for_potassium_chloride(
    mmol_l: float, us_cm: float, percent: float
) -> None:
    result = standard_methods_conductivity({"K": mmol_l, "Cl": mmol_l})
    low = 100 * (1 - float(result.conductivity_us_cm) / us_cm)
    assert low == pytest.approx(percent, abs=0.5)


def test_too_salty_a_water_is_noted() -> None:
    assert standard_methods_conductivity(EXAMPLE).notes == ()
    notes = standard_methods_conductivity({"Na": 600.0, "Cl": 600.0}).notes
    assert [note.key for note in notes] == ["too-salty-for-standard-methods"]


def test_silica_does_not_conduct() -> None:
    assert standard_methods_conductivity({"SiO2": 1.0}).conductivity_us_cm == 0.0


def test_arrays_and_floats_give_the_same() -> None:
    double = {key: 2 * amount for key, amount in EXAMPLE.items()}
    both = {key: np.array([EXAMPLE[key], double[key]]) for key in EXAMPLE}
    each = [standard_methods_conductivity(ions).conductivity_us_cm for ions in (EXAMPLE, double)]
    assert standard_methods_conductivity(both).conductivity_us_cm == pytest.approx(each)


def test_ionic_strength_of_calcium_chloride() -> None:
    assert ionic_strength_mol_l({"Ca": 1.0, "Cl": 2.0}) == pytest.approx(0.003)
    assert standard_methods_activity(0.0) == 1.0


def test_one_milligram_of_salt_adds_two_microsiemens() -> None:
    # 2.16 uS/cm at 25 degC, computed from limiting conductances of a handbook
    amount = 1.0 / 58.44
    added = standard_methods_conductivity({"Na": amount, "Cl": amount}).k0_us_cm
    assert added == pytest.approx(2.16, abs=0.01)


# Limiting conductances of NaCl, coefficients of McCleskey 2011 as in an open-source library.
@pytest.mark.parametrize(
    ("celsius", "factor"),
    [(0, 1.903), (5, 1.630), (10, 1.419), (15, 1.250), (20, 1.113), (30, 0.905)],
)
def test_salt_factor(celsius: float, factor: float) -> None:
    assert salt_factor(celsius) == pytest.approx(factor, abs=6e-4)


# Computed apart from this package with the same formula, uS/cm.
@pytest.mark.parametrize(
    ("celsius", "at_25", "as_it_is"),
    [(10, 0.1, 0.055), (10, 5.0, 3.508), (15, 1.0, 0.787), (20, 0.5, 0.442), (20, 5.0, 4.483)],
)
def test_treated_water_at_another_temperature(
    celsius: float, at_25: float, as_it_is: float
) -> None:
    assert dilute_at_temperature(at_25, celsius) == pytest.approx(as_it_is, abs=6e-4)


@given(st.floats(0.06, 500.0), st.floats(0.0, 60.0))
def test_there_and_back(at_25: float, celsius: float) -> None:
    assert dilute_at_25(dilute_at_temperature(at_25, celsius), celsius) == pytest.approx(at_25)


def test_pure_water_conducts_more_the_warmer_it_is() -> None:
    assert np.all(np.diff(pure_water(np.arange(0.0, 61.0, 5.0))) > 0)


def at_25_and_at(
    celsius: float, mmol_l: dict[str, float], alkalinity: float, carbon: float
) -> float:
    """What a closed water conducts at a temperature, over what is told for NaCl."""
    warm, cold = (
        conductivity_us_cm(speciate(mmol_l, alkalinity, t, total_carbon_mmol_l=carbon))
        for t in (25.0, celsius)
    )
    return float(cold) / float(dilute_at_temperature(warm, celsius))


@pytest.mark.parametrize("celsius", [0.0, 2.0, 5.0, 10.0, 15.0, 20.0, 25.0])
@pytest.mark.parametrize(
    ("mmol_l", "alkalinity", "carbon", "at_0_percent"),
    [
        ({}, 0.0, 0.036, -5.4),  # carbon dioxide of outdoor air at 0 degC
        ({}, 0.0, 0.17, -7.5),
        ({"Cl": 0.05}, -0.05, 0.0, 19.0),
        ({"Na": 0.05}, 0.05, 0.0, 14.0),
        ({"Na": 0.1}, 0.1, 0.1, -6.0),
        ({"Na": 0.1, "Cl": 0.1}, 0.0, 0.0, 0.0),
    ],
)
def test_other_waters_stay_within_the_spread_that_is_told(
    mmol_l: dict[str, float], alkalinity: float, carbon: float, at_0_percent: float, celsius: float
) -> None:
    low, high = dilute_spread(celsius)
    found = at_25_and_at(celsius, mmol_l, alkalinity, carbon)
    assert low - 0.003 <= found <= high + 0.003
    if celsius == 0.0:
        assert 100.0 * (found - 1.0) == pytest.approx(at_0_percent, abs=1.5)


def test_above_25_degc_no_spread_is_told() -> None:
    assert dilute_spread(30.0) == (1.0, 1.0)
