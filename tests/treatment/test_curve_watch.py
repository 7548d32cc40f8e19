"""A warning when readings leave the expected curve: made runs, good ones and bad ones."""

import math
import sys
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from waterkit.treatment.curve_watch import (
    LOOKS,
    STRETCH,
    departure,
    departure_note,
    stretch_of,
)
from waterkit.treatment.experience import CapacityPrior, RunSeen, usable_capacity

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

LITRES = np.linspace(0.0, 8000.0, 400)
EXPECTED = 0.1 + 600.0 / (1.0 + np.exp(-(LITRES - 6000.0) / 250.0))
CURVE = (LITRES, EXPECTED)
RINSE_L = 200.0
SPREAD = 0.12


def run(seed: int, capacity: float | None = None, readings: int = 40) -> "tuple[Array, Array]":
    """A run up to 5000 L as a volunteer reads it: noise, air, bubbles, rinsing in.

    The vessel is ``capacity`` times as good as expected, or drawn with a spread of 12 %.
    """
    random = np.random.default_rng(seed)
    times = math.exp(SPREAD * random.normal()) if capacity is None else capacity
    litres = np.sort(random.uniform(0.0, 5000.0, readings))
    true = np.interp(litres / times, *CURVE)
    shown = true * np.exp(0.1 * random.normal(size=readings)) + random.uniform(0, 1.5, readings)
    shown = np.where(random.random(readings) < 0.05, shown * random.uniform(3, 30, readings), shown)
    shown = np.where(litres < RINSE_L, shown + random.uniform(5, 50, readings), shown)
    return litres, shown.round(1)


def warned(litres: "Array", shown: "Array", stretch: float) -> bool:
    """Whether anybody would have been warned at any reading of the run."""
    return any(
        departure(litres[:n], shown[:n], CURVE, RINSE_L, stretch) is not None
        for n in range(LOOKS, len(litres) + 1)
    )


def learned_stretch() -> float:
    runs = [RunSeen("V", 100.0, 1.0, 41.0 * math.exp(SPREAD * z)) for z in (-1, -0.5, 0, 0.5, 1)]
    return stretch_of(usable_capacity(runs, CapacityPrior(0.41)))


def test_good_runs_are_left_alone(capsys: pytest.CaptureFixture[str]) -> None:
    stretch, runs = learned_stretch(), 100
    false = sum(warned(*run(seed), stretch) for seed in range(runs))
    assert false <= 0.05 * runs


@pytest.mark.slow
def test_good_runs_are_left_alone_and_bad_ones_are_not(capsys: pytest.CaptureFixture[str]) -> None:
    stretch, runs = learned_stretch(), 1000
    false = sum(warned(*run(seed), stretch) for seed in range(runs)) / runs
    found = {
        capacity: sum(warned(*run(seed, capacity), stretch) for seed in range(200)) / 200
        for capacity in (0.8, 0.7, 0.6, 0.5)
    }
    with capsys.disabled():
        sys.stdout.write(
            f"\nstretch {stretch:.2f}: warned of {false:.1%} of good runs; of bad ones"
        )
        sys.stdout.write(", ".join(f" x {c}: {share:.0%}" for c, share in found.items()) + "\n")
    assert false <= 0.05
    assert found[0.5] >= 0.95


def test_a_spent_vessel_is_found_and_told() -> None:
    litres, shown = run(3, capacity=0.4)
    so_far = litres < 3500.0
    found = departure(litres[so_far], shown[so_far], CURVE, RINSE_L)
    assert found is not None
    assert found.side == "above"
    assert 1800.0 < found.since_l < 2500.0  # 0.4 x 6000 L, and the slope of the curve before it
    assert found.shown_us_cm > 10 * found.expected_us_cm
    assert departure_note(found).key == "readings-above-curve"


def test_readings_that_stay_low_are_told_too() -> None:
    litres = np.linspace(300, 7900, 60)
    found = departure(litres, np.full(60, 0.1), CURVE, RINSE_L, 1.1)
    assert found is not None
    assert found.side == "below"
    assert departure_note(found).key == "readings-below-curve"


LATE = np.array([3000.0, 3100.0, 3200.0, 3300.0])


@pytest.mark.parametrize(
    ("litres", "shown", "told"),
    [
        (LATE, [0.5, 30.0, 0.5, 30.0], False),  # one bad reading, and another
        (LATE, [30.0, 30.0, 30.0, 0.5], False),  # back on the curve
        (LATE, [0.5, 30.0, 30.0, 30.0], True),
        (LATE, [math.nan, 30.0, 30.0, math.nan], False),  # two are too few
        (LATE, [1.9, 1.9, 1.9, 1.9], False),  # air
        (LATE / 30, [30.0, 30.0, 30.0, 30.0], False),  # rinsing in
        (np.full(4, 3000.0), [30.0, 30.0, 30.0, 30.0], False),  # one look
        (LATE + 4000.0, [400.0, 500.0, 560.0, 600.0], False),  # spent, as expected
    ],
)
def test_the_rule(litres: "Array", shown: list[float], told: bool) -> None:
    found = departure(litres, np.array(shown), CURVE, RINSE_L)
    assert (found is not None) == told


def test_nothing_to_compare_is_no_departure() -> None:
    none = np.array([])
    assert departure(none, none, CURVE, RINSE_L) is None
    assert departure(LATE, np.full(4, 30.0), (none, none), RINSE_L) is None


@given(st.lists(st.tuples(st.floats(0, 2e4), st.floats(0, 2e5)), max_size=30), st.floats(1, 3))
def test_it_stands_whatever_is_read(rows: list[tuple[float, float]], stretch: float) -> None:
    litres, shown = (np.array([row[part] for row in rows]) for part in (0, 1))
    found = departure(litres, shown, CURVE, RINSE_L, stretch)
    back = departure(litres[::-1], shown[::-1], CURVE, RINSE_L, stretch)
    assert found == back
    if found is not None:
        assert LOOKS <= found.looks <= len(rows)
        assert found.since_l >= RINSE_L


def test_what_was_learned_decides_how_far_a_good_vessel_goes() -> None:
    assert stretch_of(None) == STRETCH
    few = usable_capacity([], CapacityPrior(0.41))
    assert 1.0 < learned_stretch() < stretch_of(few)
