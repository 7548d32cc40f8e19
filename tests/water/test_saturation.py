"""Against PHREEQC in test_speciation; here what a saturated water is."""

import numpy as np
import pytest

from waterkit.water.saturation import saturation
from waterkit.water.speciation import speciate


def test_gypsum_water_is_saturated() -> None:
    # Gypsum dissolves to 2.6 g/L as CaSO4.2H2O, 15.2 mmol/L, at 25 degC (handbooks, from memory)
    found = speciate({"Ca": 15.2, "SO4": 15.2}, 0.0, 25.0, total_carbon_mmol_l=0.0)
    assert saturation(found).gypsum == pytest.approx(0.0, abs=0.03)


def test_silica_water_is_saturated() -> None:
    # amorphous silica dissolves to 116.7 mg/L at 25 degC and 69.6 at 0
    found = speciate(
        {"SiO2": np.array([116.7, 69.6]) / 60.083}, 0.0, np.array([25.0, 0.0]),
        total_carbon_mmol_l=0.0,
    )  # fmt: skip
    assert saturation(found).silica == pytest.approx([0.0, 0.0], abs=0.01)


def test_calcite_under_air_is_saturated() -> None:
    # in water under 420 ppm at 25 degC calcite dissolves to pH 8.2 to 8.3 (textbooks, from memory)
    found = speciate({"Ca": 0.53}, 1.06, 25.0, carbon_dioxide_mmol_l=1000 * 10**-1.468 * 420e-6)
    assert saturation(found).calcite == pytest.approx(0.0, abs=0.05)
    assert found.ph == pytest.approx(8.25, abs=0.1)


def test_without_a_mineral_there_is_no_index() -> None:
    found = saturation(speciate({"Na": 1.0}, 1.0, 25.0, ph=8.0))
    assert all(np.isneginf(index) for index in (found.calcite, found.gypsum, found.silica))
