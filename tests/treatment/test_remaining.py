import math
from dataclasses import astuple

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy import stats

from waterkit.errors import FieldError
from waterkit.treatment.experience import CapacityPrior, RunSeen, usable_capacity
from waterkit.treatment.ion_exchange import Changeout, Vessel, run_by_rating
from waterkit.treatment.remaining import as_learned, litres_left, one_vessel
from waterkit.water.composition import Load

PRIOR = CapacityPrior(0.41)


def runs(*capacities_eq_l: float) -> list[RunSeen]:
    return [RunSeen("V", 100.0, 1.0, 100.0 * each) for each in capacities_eq_l]


def test_one_vessel_varies_more_than_the_usual_one() -> None:
    known = usable_capacity(runs(0.38, 0.41, 0.44, 0.40, 0.42, 0.41), PRIOR)
    one = one_vessel(known)
    assert one.low_eq_l < known.low_eq_l
    assert one.high_eq_l > known.high_eq_l
    assert one.median_eq_l == pytest.approx(known.median_eq_l, rel=0.01)


def test_the_next_vessel_lies_in_its_band_four_times_out_of_five() -> None:
    inside, clubs = 0, 150
    for seed in range(clubs):
        random = np.random.default_rng(seed)
        spread = min(max(PRIOR.vessels * math.exp(0.5 * random.normal()), 0.03), 0.6)
        median = PRIOR.median_eq_l * math.exp(PRIOR.spread * random.normal())
        *past, coming = median * np.exp(spread * random.normal(size=4))
        one = one_vessel(usable_capacity(runs(*past), PRIOR))
        inside += one.low_eq_l <= coming <= one.high_eq_l
    assert 0.71 <= inside / clubs <= 0.89


def test_a_vessel_that_came_far_is_likely_to_be_a_good_one() -> None:
    known = usable_capacity(runs(0.35, 0.41, 0.48), PRIOR)
    fresh = litres_left(known, 100.0, 0.0, 8.2)
    assert fresh.median_l == pytest.approx(5000.0, rel=0.02)  # 0.41 x 100 / 8.2 eq
    far = litres_left(known, 100.0, 41.0, 8.2)
    assert 0 < far.low_l < far.median_l < far.high_l
    assert far.median_l > 300.0  # not the 0 L that a plain difference would say
    assert far.median_l < fresh.median_l - 3000.0


def test_what_is_left_is_what_a_great_many_vessels_have_left() -> None:
    """Against drawing: of many vessels of known kinds keep those still good, look what is left."""
    known = usable_capacity(runs(0.39, 0.45), PRIOR)
    random, cells = np.random.default_rng(5), known.posterior
    chosen = random.choice(len(cells.weight), 200_000, p=cells.weight)
    drawn = np.exp(random.normal(cells.log_median[chosen], cells.spread[chosen]))
    passed = 0.36
    # a vessel's own run is behind the experience, so each cell counts by what is above in it
    weight = 1.0 / (1.0 - _below(cells.log_median, cells.spread, passed)[chosen])
    kept = drawn > passed
    order = np.argsort(drawn[kept])
    shares = np.cumsum(weight[kept][order]) / weight[kept].sum()
    expected = np.interp((0.1, 0.5, 0.9), shares, drawn[kept][order])
    one = one_vessel(known, passed)
    assert (one.low_eq_l, one.median_eq_l, one.high_eq_l) == pytest.approx(expected, rel=0.01)


def _below(
    mean: NDArray[np.float64], spread: NDArray[np.float64], passed: float
) -> NDArray[np.float64]:
    return np.asarray(stats.norm.cdf((math.log(passed) - mean) / spread))


KNOWN = usable_capacity(runs(0.41), PRIOR)


@settings(max_examples=40)
@given(st.floats(0, 2), st.floats(0, 2))
def test_the_further_a_vessel_came_the_better_it_is_thought(one: float, other: float) -> None:
    early, late = (one_vessel(KNOWN, passed) for passed in sorted((one, other)))
    for before, after in zip(astuple(early), astuple(late), strict=True):
        assert after >= before * (1 - 1e-5)
    assert max(one, other) <= late.low_eq_l <= late.median_eq_l <= late.high_eq_l


def test_no_load_and_no_resin_are_refused() -> None:
    known = usable_capacity(runs(0.41), PRIOR)
    for resin_l, load_meq_l in ((0.0, 8.2), (100.0, 0.0)):
        with pytest.raises(FieldError):
            litres_left(known, resin_l, 0.0, load_meq_l)


def test_a_vessel_that_nobody_looked_behind_is_a_usual_one() -> None:
    """It has less left with every litre; one that was seen to be good has more left."""
    known = usable_capacity(runs(0.5, 0.5, 0.5), PRIOR)
    left = [
        litres_left(known, 100.0, taken, 8.2, 0.0).median_l for taken in (0.0, 20.0, 40.0, 90.0)
    ]
    assert left == sorted(left, reverse=True)
    assert left[-1] == 0.0
    assert litres_left(known, 100.0, 40.0, 8.2).median_l > left[2]


def test_a_vessel_is_reckoned_with_as_learned() -> None:
    vessel = Vessel("V", "lead", 100.0, cation_total_eq_l=1.9, anion_total_eq_l=1.3)
    known = usable_capacity(runs(*[0.5] * 30), PRIOR)
    run = run_by_rating(as_learned(vessel, known, "anion"), Load(6.0, 8.2), Changeout())
    assert run.limiting == "anion"
    assert run.litres_to_exhaustion == pytest.approx(1000 * known.median_eq_l * 100 / 8.2)
