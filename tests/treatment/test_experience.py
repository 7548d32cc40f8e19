"""Usable capacity from runs: against integration, against conjugate results, on made clubs."""

import math
import sys
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from waterkit.errors import FieldError
from waterkit.treatment.experience import (
    CapacityPrior,
    Ended,
    Experience,
    RunSeen,
    VesselKind,
    kind_of,
    usable_capacity,
)
from waterkit.treatment.ion_exchange import Vessel
from waterkit.treatment.likelihood import LEAST_SPREAD, MOST_SPREAD

PRIOR = CapacityPrior(0.41)
CLUBS = 500


def seen(capacity_eq_l: float, ended: Ended = "at its limit") -> RunSeen:
    return RunSeen("V", 100.0, 1000.0, 100.0 * capacity_eq_l, ended)


def ends(found: Experience) -> tuple[float, float, float]:
    return found.low_eq_l, found.median_eq_l, found.high_eq_l


# Against something outside.


def integrated(runs: Sequence[RunSeen], prior: CapacityPrior) -> list[float]:
    """10, 50 and 90 % points of the median by plain summation over a fine grid, with scipy."""
    middle = math.log(prior.median_eq_l)
    mu = np.linspace(middle - 2.5, middle + 2.5, 2001)[:, None]
    sigma = np.geomspace(LEAST_SPREAD, MOST_SPREAD, 301)
    log_p = stats.norm.logpdf(mu, middle, prior.spread)
    log_p = log_p + stats.norm.logpdf(np.log(sigma), math.log(prior.vessels), prior.vessels_doubt)
    for run in runs:
        z = math.log(run.capacity_eq_l)
        if run.ended == "at its limit":
            log_p = log_p + stats.norm.logpdf(z, mu, sigma)
        elif run.ended == "still good":
            log_p = log_p + stats.norm.logsf(z, mu, sigma)
        else:
            log_p = log_p + stats.norm.logcdf(z, mu, sigma)
    density = np.exp(log_p - log_p.max()).sum(axis=1)
    below = np.cumsum(density) / density.sum()
    return [math.exp(float(np.interp(share, below, mu[:, 0]))) for share in (0.1, 0.5, 0.9)]


@pytest.mark.parametrize(
    "runs",
    [
        (),
        (seen(0.35),),
        (seen(0.5), seen(0.55), seen(0.48, "still good")),
        (seen(0.45, "still good"), seen(0.5, "still good"), seen(0.6, "still good")),
        (seen(0.3, "past its limit"), seen(0.28), seen(0.2, "still good")),
        tuple(seen(0.3 + 0.01 * n) for n in range(12)),
    ],
    ids=["none", "one", "mixed", "bounds", "past", "many"],
)
def test_the_grid_agrees_with_integration(runs: tuple[RunSeen, ...]) -> None:
    assert ends(usable_capacity(runs, PRIOR)) == pytest.approx(integrated(runs, PRIOR), rel=4e-3)


@pytest.mark.parametrize("count", [0, 1, 5, 40])
def test_a_known_spread_and_exact_runs_give_the_conjugate_normal(count: int) -> None:
    # Precision-weighted mean: Gelman et al., Bayesian Data Analysis, section 2.5 (from memory).
    prior = replace(PRIOR, vessels_doubt=0.0)
    logs = np.log(0.41) + 0.2 + 0.1 * np.sin(np.arange(count))
    found = usable_capacity([seen(math.exp(one)) for one in logs], prior)
    precision = 1 / prior.spread**2 + count / prior.vessels**2
    mean = (math.log(0.41) / prior.spread**2 + logs.sum() / prior.vessels**2) / precision
    expected = np.exp(mean + np.array([-1.2815516, 0.0, 1.2815516]) / math.sqrt(precision))
    assert ends(found) == pytest.approx(expected.tolist(), rel=2e-3)


# Made clubs, whose capacity is known.


def club(
    seed: int, runs: int, shift: float = 0.0, wide: float = 1.0
) -> tuple[float, list[RunSeen]]:
    """A supplier drawn from the prior, ``shift`` off it or ``wide`` times as wide, and its runs.

    A club changes some vessels early, at litres that have nothing to do with the vessel.
    """
    random = np.random.default_rng([seed, runs])
    spread = 0.0
    while not LEAST_SPREAD <= spread <= MOST_SPREAD:
        spread = PRIOR.vessels * math.exp(PRIOR.vessels_doubt * random.normal())
    median = PRIOR.median_eq_l * math.exp(shift + wide * PRIOR.spread * random.normal())
    capacity = median * np.exp(spread * random.normal(size=runs))
    stopped = PRIOR.median_eq_l * random.uniform(0.5, 1.6, size=runs)
    return median, [
        seen(min(most, stop), "at its limit" if most <= stop else "still good")
        for most, stop in zip(capacity.tolist(), stopped.tolist(), strict=True)
    ]


def coverage(
    runs: int, shift: float = 0.0, wide: float = 1.0, clubs: int = CLUBS
) -> tuple[float, float]:
    """How many of the clubs have their capacity in the 80 % band, and how wide it is on average."""
    inside, widths = 0, []
    for seed in range(clubs):
        truth, made = club(seed, runs, shift, wide)
        found = usable_capacity(made, PRIOR)
        inside += found.low_eq_l <= truth <= found.high_eq_l
        widths.append(math.log(found.high_eq_l / found.low_eq_l))
    return inside / clubs, float(np.mean(widths))


def test_the_band_holds_the_truth_four_times_out_of_five() -> None:
    inside, _ = coverage(4)
    assert 0.75 <= inside <= 0.85


@pytest.mark.slow
def test_the_band_holds_the_truth_and_narrows_with_changeouts(
    capsys: pytest.CaptureFixture[str],
) -> None:
    told = {runs: coverage(runs) for runs in (0, 1, 2, 4, 8, 16)}
    widths = [width for _, width in told.values()]
    with capsys.disabled():
        for runs, (inside, width) in told.items():
            sys.stdout.write(f"\n{runs} runs: {inside:.1%} inside, ln(high / low) {width:.3f}")
        for shift, wide in ((math.log(1.3), 1.0), (math.log(0.7), 1.0), (0.0, 2.0)):
            figures = ", ".join(f"{n}: {coverage(n, shift, wide)[0]:.1%}" for n in (0, 2, 4, 8, 16))
            sys.stdout.write(f"\nwrong prior, x {math.exp(shift):.1f}, {wide} as wide: {figures}")
        sys.stdout.write("\n")
    assert all(0.75 <= inside <= 0.85 for inside, _ in told.values())
    assert all(later < 0.9 * earlier for earlier, later in pairwise(widths))


def test_a_wrong_prior_is_put_right_by_changeouts() -> None:
    few, many = (coverage(runs, math.log(0.7), clubs=150)[0] for runs in (1, 10))
    assert few < 0.75 < many


def test_leaving_out_what_was_changed_early_would_mislead() -> None:
    """The best vessels are those that were changed early: without them the capacity looks low."""
    with_all, without = [], []
    for seed in range(150):
        truth, runs = club(seed, 10)
        exact = [run for run in runs if run.ended == "at its limit"]
        with_all.append(math.log(usable_capacity(runs, PRIOR).median_eq_l / truth))
        without.append(math.log(usable_capacity(exact, PRIOR).median_eq_l / truth))
    assert abs(float(np.mean(with_all))) < 0.02
    assert float(np.mean(without)) < -0.03


# What must hold whatever the runs.

CAPACITIES = st.floats(0.1, 1.5)
RUNS = st.lists(
    st.builds(seen, CAPACITIES, st.sampled_from(["at its limit", "still good", "past its limit"])),
    max_size=8,
)


@settings(max_examples=50)
@given(RUNS, CAPACITIES)
def test_a_lower_bound_only_raises(runs: list[RunSeen], bound_eq_l: float) -> None:
    plain = usable_capacity(runs, replace(PRIOR, vessels_doubt=0.0))
    more = usable_capacity(
        [*runs, seen(bound_eq_l, "still good")], replace(PRIOR, vessels_doubt=0.0)
    )
    for before, after in zip(ends(plain), ends(more), strict=True):
        assert after >= before * 0.998  # the grid's own steps


@settings(max_examples=40)
@given(RUNS)
def test_points_are_in_order_and_runs_may_be_in_any(runs: list[RunSeen]) -> None:
    found = usable_capacity(runs, PRIOR)
    assert 0 < found.low_eq_l < found.median_eq_l < found.high_eq_l < math.inf
    assert ends(usable_capacity(runs[::-1], PRIOR)) == pytest.approx(ends(found), rel=1e-6)
    assert found.exact + found.bounds == len(runs)


def test_a_bound_far_below_the_rating_says_next_to_nothing() -> None:
    found = usable_capacity([seen(0.05, "still good")] * 5, PRIOR)
    assert ends(found) == pytest.approx(ends(usable_capacity([], PRIOR)), rel=1e-3)


# Notes and refusals.


def test_it_says_what_it_was_learned_from() -> None:
    def keys(runs: list[RunSeen]) -> list[str]:
        return [note.key for note in usable_capacity(runs, PRIOR).notes]

    assert keys([]) == ["capacity-not-learned"]
    assert keys([seen(0.41), seen(0.4, "still good")]) == ["capacity-learned"]
    assert keys([seen(0.3, "still good")]) == ["capacity-learned", "capacity-only-bounds"]
    assert keys([seen(0.8)] * 3) == ["capacity-learned", "rating-not-borne-out"]


def test_a_run_of_nothing_is_refused() -> None:
    for run in (replace(seen(0.4), charge_eq=0.0), replace(seen(0.4), resin_l=0.0)):
        with pytest.raises(FieldError):
            usable_capacity([run], PRIOR)
    for prior in (replace(PRIOR, spread=0.0), CapacityPrior(0.0)):
        with pytest.raises(FieldError):
            usable_capacity([], prior)


def test_exchanged_vessels_are_learned_of_by_supplier_and_size() -> None:
    vessel = Vessel("V", "lead", 102.0, supplier="A")
    assert kind_of(vessel) == kind_of(replace(vessel, vessel="W", position="spare"))
    assert kind_of(vessel) != kind_of(replace(vessel, supplier="B"))
    assert kind_of(vessel) != kind_of(replace(vessel, resin_l=51.0))
    assert kind_of(replace(vessel, supplier="")) == VesselKind("exchanged", 102.0)
    owned = replace(vessel, service="owned and regenerated off site")
    assert kind_of(owned) == VesselKind("owned and regenerated off site", 102.0)
