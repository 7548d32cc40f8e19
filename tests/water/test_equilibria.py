import numpy as np
import pytest
from chempy import electrolytes
from chempy.properties.water_permittivity_bradley_pitzer_1979 import water_permittivity

from waterkit.water.density import water_density_kg_l
from waterkit.water.equilibria import davies, debye_huckel_slope, water_ion_product


@pytest.mark.parametrize("celsius", [0.1, 10.0, 25.0, 35.0])
def test_the_slope_agrees_with_another_permittivity(celsius: float) -> None:
    kelvin, density_kg_m3 = celsius + 273.15, water_density_kg_l(celsius) * 1000
    natural = electrolytes.A(water_permittivity(kelvin), kelvin, density_kg_m3)
    assert debye_huckel_slope(celsius) == pytest.approx(natural / np.log(10), rel=0.003)


def test_activity_falls_with_charge_and_salt() -> None:
    assert davies(1, 25.0, 0.0) == 1.0
    assert davies(2, 25.0, 0.01) == pytest.approx(davies(1, 25.0, 0.01) ** 4)
    assert davies(1, 25.0, 0.1) < davies(1, 25.0, 0.01)


def test_constants_take_arrays() -> None:
    celsius = np.array([0.0, 25.0])
    assert water_ion_product(celsius)[1] == water_ion_product(25.0)  # type: ignore[index]
