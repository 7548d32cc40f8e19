"""Lognormal capacities on a grid: what runs, some of them ended early, tell of their median."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from waterkit.quantities import Numeric

    Array = NDArray[np.float64]

TENTHS = (0.1, 0.5, 0.9)
"""The points of a distribution that are told."""
MEDIANS, SPREADS = 81, 17
ROUNDS = 2
"""The grid of medians is drawn in about what was found, so many times."""
REACH = 6.0
"""How many standard deviations the grid reaches to each side."""
LEAST_SPREAD, MOST_SPREAD = 0.03, 0.6
"""Spreads of vessels that are thought of at all: common practice, no source."""
NEGLIGIBLE = 1e-6
HALVINGS = 24
FAR_OUT = 1e6
# W. H. Press et al., Numerical Recipes, Cambridge University Press, section 6.2: coefficients of
# erfc with a relative error below 1.2e-7 everywhere. From memory; tested against math.erfc.
_ERFC = (
    -1.26551223, 1.00002368, 0.37409196, 0.09678418, -0.18628806, 0.27886807, -1.13520398,
    1.48851587, -0.82215223, 0.17087277,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Posterior:
    """A distribution of median and spread on cells; the weights add up to one.

    Parameters
    ----------
    log_median : array
        Natural logarithm of the median, for each cell [1].
    spread : array
        Standard deviation of the logarithm of one vessel, for each cell [1].
    weight : array
        Share of each cell [1].
    """

    log_median: "Array"
    spread: "Array"
    weight: "Array"


def log_above(z: "Numeric") -> "Array":
    """Logarithm of the share of a standard normal distribution above z, far out too.

    ln(erfc(z / sqrt 2) / 2)

    Parameters
    ----------
    z : float or array
        Standard deviations above the mean [1].

    Returns
    -------
    array
        Natural logarithm of the share [1].

    Examples
    --------
    >>> print(log_above(0.0))
    -0.693147

    References
    ----------
    W. H. Press et al., Numerical Recipes, Cambridge University Press, section 6.2 (from memory).
    """
    x = np.clip(z, -FAR_OUT, FAR_OUT) / math.sqrt(2.0)
    t = 1.0 / (1.0 + 0.5 * np.abs(x))
    tail = np.log(0.5 * t) - x * x + np.polynomial.polynomial.polyval(t, _ERFC)
    return np.asarray(np.where(x > 0, tail, np.log1p(-np.exp(np.minimum(tail, math.log(0.5))))))


def posterior(
    log_seen: "Array",
    ended: Sequence[str],
    median: tuple[float, float],
    vessels: tuple[float, float],
) -> Posterior:
    """What runs tell of median and spread of a lognormal capacity.

    weight ~ normal(m) x lognormal(s) x product of density, share above or share below

    Parameters
    ----------
    log_seen : array
        Natural logarithm of what each run gave [1].
    ended : sequence of str
        How each ended: ``at its limit``, ``still good`` or ``past its limit``.
    median : tuple of float
        Mean and standard deviation of the logarithm of the median before any run [1].
    vessels : tuple of float
        Median, and standard deviation of the logarithm, of the spread between vessels [1].

    Returns
    -------
    Posterior
        Cells of more than no weight.

    References
    ----------
    See :func:`waterkit.treatment.experience.usable_capacity`.
    """
    spread, log_share = _spreads(*vessels)
    how = np.array(ended, dtype=object)
    parts = tuple(
        log_seen[how == kind] for kind in ("at its limit", "still good", "past its limit")
    )
    middle, width = median
    # Far from the prior where the runs say so: bounds and limits widen the first grid.
    low, high = min([middle, *log_seen]), max([middle, *log_seen])
    grid = np.linspace(low - REACH * width, high + REACH * width, MEDIANS)

    def weights(grid: "Array") -> "Array":
        likely = _log_likelihood(grid[:, None, None], spread[:, None], parts)
        log_weight = log_share - 0.5 * ((grid[:, None] - middle) / width) ** 2 + likely
        return np.asarray(np.exp(log_weight - log_weight.max()))

    for _ in range(ROUNDS):
        grid = _drawn_in(grid, weights(grid).sum(axis=1))
    return _cells(grid, spread, weights(grid))


def _spreads(usual: float, doubt: float) -> "tuple[Array, Array]":
    """Spreads of vessels to try, and the logarithm of how likely each is before any run."""
    if doubt <= 0:
        return np.array([usual]), np.zeros(1)
    spread = np.geomspace(LEAST_SPREAD, MOST_SPREAD, SPREADS)
    return spread, -0.5 * (np.log(spread / usual) / doubt) ** 2


def _log_likelihood(log_median: "Array", spread: "Array", parts: "Sequence[Array]") -> "Array":
    exact, good, past = ((seen - log_median) / spread for seen in parts)
    density = (-0.5 * exact**2 - np.log(spread)).sum(axis=-1)
    return np.asarray(density + log_above(good).sum(axis=-1) + log_above(-past).sum(axis=-1))


def _drawn_in(grid: "Array", weight: "Array") -> "Array":
    """A finer grid about where the weight is."""
    step = grid[1] - grid[0]
    weight = weight / weight.sum()
    mean = float(weight @ grid)
    deviation = max(math.sqrt(float(weight @ (grid - mean) ** 2)), step)
    return np.linspace(mean - REACH * deviation, mean + REACH * deviation, MEDIANS)


def _cells(grid: "Array", spread: "Array", weight: "Array") -> Posterior:
    median, kept = np.meshgrid(grid, spread, indexing="ij")
    told = weight > NEGLIGIBLE * weight.max()
    return Posterior(median[told], kept[told], weight[told] / weight[told].sum())


def quantiles(found: Posterior, shares: Sequence[float]) -> "Array":
    """Points of the distribution of the median.

    Parameters
    ----------
    found : Posterior
        The distribution.
    shares : sequence of float
        Shares that lie below each point [1].

    Returns
    -------
    array
        Natural logarithm of the median at each [1].

    References
    ----------
    None needed: read off the grid.
    """
    grid, place = np.unique(found.log_median, return_inverse=True)
    weight = np.bincount(place.reshape(-1), found.weight)
    if len(grid) == 1:
        return np.full(len(shares), grid[0])
    below = np.concatenate([[0.0], np.cumsum(weight)])
    edges = np.concatenate([grid[:1], 0.5 * (grid[1:] + grid[:-1]), grid[-1:]])
    return np.asarray(np.interp(shares, below, edges))


def survival_quantiles(
    found: Posterior, shares: Sequence[float], log_passed: float = -math.inf
) -> "Array":
    """Points of the distribution of one vessel's capacity, given that it has passed so much.

    sum of weight x share above c / share above what it has passed = 1 - share

    Parameters
    ----------
    found : Posterior
        The distribution; a vessel that has passed something is one of the runs behind it.
    shares : sequence of float
        Shares that lie below each point [1].
    log_passed : float
        Natural logarithm of what the vessel has taken and was still good [1].

    Returns
    -------
    array
        Natural logarithm of the capacity at each [1].

    References
    ----------
    Conditional probability.
    """
    widest = REACH * float(found.spread.max()) + 1.0
    low = np.full(len(shares), max(float(found.log_median.min()) - widest, log_passed))
    high = np.full(len(shares), max(float(found.log_median.max()), log_passed) + widest)
    before = log_above((log_passed - found.log_median) / found.spread)
    wanted = 1.0 - np.asarray(shares)
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        after = log_above((middle[:, None] - found.log_median) / found.spread)
        more = np.exp(after - before) @ found.weight > wanted
        low, high = np.where(more, middle, low), np.where(more, high, middle)
    return np.asarray(0.5 * (low + high))
