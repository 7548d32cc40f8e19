import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from waterkit.treatment.likelihood import (
    Posterior,
    log_above,
    quantiles,
    survival_quantiles,
)


def test_the_tail_is_that_of_the_normal_distribution() -> None:
    z = np.linspace(-40, 40, 4001)
    assert np.allclose(log_above(z), stats.norm.logsf(z), rtol=2e-7, atol=2e-7)
    assert float(log_above(-math.inf)) == 0.0


def of_one_cell(median: float, spread: float) -> Posterior:
    return Posterior(np.array([median]), np.array([spread]), np.ones(1))


@given(st.floats(-2, 2), st.floats(0.03, 0.6), st.floats(-4, 4))
def test_what_has_passed_conditions_what_is_to_come(median: float, spread: float, z: float) -> None:
    passed = median + z * spread
    found = survival_quantiles(of_one_cell(median, spread), (0.1, 0.5, 0.9), passed)
    above = stats.norm.sf(z)
    expected = stats.norm.isf(above * np.array([0.9, 0.5, 0.1]), median, spread)
    assert found == pytest.approx(expected.tolist(), abs=1e-4)


def test_a_single_cell_is_all_there_is() -> None:
    assert quantiles(of_one_cell(-0.9, 0.1), (0.1, 0.9)).tolist() == [-0.9, -0.9]
