import numpy as np
import pytest

from waterkit.water.density import water_density_kg_l


def test_water_is_densest_at_4_degc() -> None:
    celsius = np.linspace(0.0, 40.0, 401)
    assert celsius[np.argmax(water_density_kg_l(celsius))] == pytest.approx(4.0)


# Kell 1975, coefficients from memory.
@pytest.mark.parametrize(
    ("celsius", "kg_m3"), [(0, 999.8395), (4, 999.972), (20, 998.2041), (25, 997.0449)]
)
def test_density_agrees_with_an_older_formula(celsius: float, kg_m3: float) -> None:
    assert water_density_kg_l(celsius) * 1000 == pytest.approx(kg_m3, abs=0.004)
