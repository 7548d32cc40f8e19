"""Constants of half reactions: two waters brought to equilibrium give the table's ratio back."""

import numpy as np
import pytest

from waterkit.treatment.selectivity import (
    ANION_RATIO,
    CATION_RATIO,
    CATION_TOTAL_EQ_L,
    LOG_K,
    half_reaction_log_k,
)


def ratio_at_equilibrium(log_k: float, held_eq_l: float, mmol_l: float) -> float:
    """R of an ion A of two charges against B of one, from K and a bisection for the water.

    E_A = 1 - E_B and X_A = 1 - X_B are fractions of resin and water; Q eq/L of sites stand beside C
    eq/L of water. K = E_A a_B^2 / (E_B^2 a_A) with a in mol/L, as Gaines and Thomas write it.
    """
    k, strength = 10.0**log_k, mmol_l / 1000.0
    a_b = 0.5 * strength  # half of the water's equivalents are B
    a_a = 0.5 * strength / 2.0
    low, high, e_b = 0.0, 1.0, 0.5
    for _ in range(80):
        e_b = 0.5 * (low + high)
        low, high = (e_b, high) if (1.0 - e_b) * a_b**2 > k * e_b**2 * a_a else (low, e_b)
    return (1.0 - e_b) / 0.5 * (0.5 / e_b) ** 2 * strength / held_eq_l


@pytest.mark.parametrize("mmol_l", [0.5, 5.0, 50.0])
@pytest.mark.parametrize("ratio", [1.5, 4.06, 12.0])
def test_a_divalent_ratio_comes_back_at_any_strength(ratio: float, mmol_l: float) -> None:
    log_k = half_reaction_log_k(ratio, 2, CATION_TOTAL_EQ_L)
    back = ratio_at_equilibrium(log_k, CATION_TOTAL_EQ_L, mmol_l)
    assert back == pytest.approx(ratio, rel=1e-6)


def test_monovalent_constants_are_the_ratios_of_a_data_sheet() -> None:
    """On the scale of hydrogen ion: Na 1.56, NH4 2.01, K 2.28, Ca 4.06, as a data sheet prints."""
    for ion, printed in (("Na", 1.56), ("NH4", 2.01), ("K", 2.28), ("Ca", 4.06)):
        assert CATION_RATIO[ion] / CATION_RATIO["H"] == pytest.approx(printed, abs=0.005)
    for ion in ("Na", "NH4", "K"):
        expected = CATION_RATIO[ion] / CATION_RATIO["H"]
        assert 10.0 ** LOG_K[ion] == pytest.approx(expected, rel=2e-3)  # log K to three decimals


def test_the_order_of_anions_is_that_of_type_1() -> None:
    """Sulfate, nitrate, chloride, hydrogen carbonate, fluoride, hydroxide, in this order."""
    assert list(np.sort(list(ANION_RATIO.values()))) == list(ANION_RATIO.values())
    assert LOG_K["SO4"] > LOG_K["NO3"] > LOG_K["Cl"] > LOG_K["C"] > LOG_K["F"] > 0.0
