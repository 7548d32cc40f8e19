"""Points of a run: marks between them, and the ones that are kept."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from waterkit.treatment.points import MOST_POINTS, chosen, crossing


@given(st.floats(0.1, 99.0))
def test_a_mark_on_a_line_of_logarithms(mark: float) -> None:
    litres = np.linspace(0.0, 100.0, 11)
    values = 0.05 * 10.0 ** (litres / 25.0)  # 0.05 to 500
    passed = float(crossing(litres, values, mark))
    assert passed == pytest.approx(25.0 * np.log10(mark / 0.05), rel=1e-9)


def test_never_and_from_the_first() -> None:
    litres = np.array([0.0, 1.0, 2.0])
    assert np.isinf(crossing(litres, np.array([1.0, 1.5, 1.9]), 2.0))
    assert np.isinf(crossing(litres, np.array([3.0, 1.0, 4.0]), 2.0))


def test_each_bed_has_its_own_litres() -> None:
    litres = np.array([[0.0, 0.0], [10.0, 20.0]])
    values = np.array([[1.0, 1.0], [100.0, 100.0]])
    assert crossing(litres, values, 10.0).tolist() == pytest.approx([5.0, 10.0])


def test_kept_points_rise_and_hold_both_ends() -> None:
    rng = np.random.default_rng(3)
    places = chosen(rng.random((2, 5000, 3)).cumsum(axis=1))
    assert places.shape == (MOST_POINTS, 3)
    assert np.all(np.diff(places, axis=0) > 0)
    assert places[0].tolist() == [0, 0, 0]
    assert places[-1].tolist() == [4999, 4999, 4999]
