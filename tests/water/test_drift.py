"""Meters that drift: made readings of meters whose error is known."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from waterkit.water.drift import (
    APART_PERCENT,
    OFF_STANDARD_PERCENT,
    apart,
    off_standard,
    read_together,
    standard_at,
)
from waterkit.water.meter import Meter, shown_us_cm

METER = Meter("pocket", standard_us_cm=147.0)
COLD = np.array([4.0, 8.0, 12.0, 15.0, 20.0, 25.0])


def test_a_standard_in_the_cold_is_as_measured() -> None:
    # 0.01 M KCl at 0, 5 ... 20 degC, measured, over its value at 25 degC (1408.23): an older table
    measured = np.array([772.92, 890.96, 1013.95, 1141.45, 1273.03]) / 1408.23
    found = standard_at(1.0, np.array([0.0, 5.0, 10.0, 15.0, 20.0]))
    assert found == pytest.approx(measured, rel=0.02)


@pytest.mark.parametrize("compensation", ["none", "linear", "natural water", "pure water"])
def test_a_sound_meter_is_on_its_standard_at_any_temperature(compensation: str) -> None:
    meter = Meter("m", compensation, standard_us_cm=147.0)  # type: ignore[arg-type]
    shown = np.asarray(shown_us_cm(standard_at(147.0, COLD), COLD, meter))
    found = off_standard(shown, COLD, meter)
    assert found is not None
    assert found.percent == pytest.approx(0.0, abs=1e-9)


def test_a_meter_that_drifts_is_told_with_what_it_was_before() -> None:
    shown = 147.0 * np.array([1.0, 1.01, 0.99, 1.0, 1.08, 1.09, 5.0, 1.08, 1.07])
    found = off_standard(shown, np.full(9, 25.0), METER)
    assert found is not None
    assert found.percent == pytest.approx(8.0)  # the slip of 5.0 does not count
    assert found.before_percent == pytest.approx(0.0, abs=0.6)
    assert found.counted == 5


def test_too_few_checks_or_no_standard_tell_nothing() -> None:
    two = np.array([150.0, 150.0])
    assert off_standard(two, np.array([math.nan, math.nan]), METER) is None
    assert off_standard(np.full(5, 150.0), np.full(5, 25.0), Meter("no standard")) is None


def test_sound_meters_are_rarely_accused() -> None:
    """Readings with an error of 2 % each: less than one club in a hundred is told anything."""
    accused = 0
    for seed in range(500):
        random = np.random.default_rng(seed)
        checks = 147.0 * np.exp(0.02 * random.normal(size=8))
        one, other = (5.0 * np.exp(0.02 * random.normal(size=8)) for _ in range(2))
        standard, pair = (
            off_standard(checks, np.full(8, 25.0), METER),
            apart(one, other, [0.1, 0.1]),
        )
        assert standard is not None
        assert pair is not None
        accused += abs(standard.percent) > OFF_STANDARD_PERCENT
        accused += abs(pair.percent) > APART_PERCENT
    assert accused <= 5


def test_meters_apart_are_found_where_the_display_resolves_it() -> None:
    one, other = np.full(6, 5.75), np.full(6, 5.0)
    found = apart(one, other, [0.01, 0.1])
    assert found is not None
    assert found.percent == pytest.approx(15.0)
    assert apart(one / 10, other / 10, [0.01, 0.1]) is None


def test_readings_are_paired_with_the_nearest() -> None:
    ours, theirs = read_together(np.array([0.0, 50.0, 1000.0]), np.array([40.0, 2000.0]), 60.0)
    assert (ours.tolist(), theirs.tolist()) == ([1], [0])


TIMES = st.lists(st.integers(0, 5000), max_size=20).map(
    lambda times: np.array(sorted(times), float)
)


@given(TIMES, TIMES)
def test_pairs_are_within_the_window_and_use_a_reading_once(
    one: NDArray[np.float64], other: NDArray[np.float64]
) -> None:
    ours, theirs = read_together(one, other, 60.0)
    assert len(ours) == len(theirs) == len(set(theirs.tolist()))
    assert len(set(ours.tolist())) == len(ours)
    assert all(abs(one[a] - other[b]) <= 60.0 for a, b in zip(ours, theirs, strict=True))
    near = any(abs(a - b) <= 60.0 for a in one for b in other)
    assert bool(len(ours)) == near
