"""Whether a meter still tells the truth: against its standard, and against another meter."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated

import numpy as np

from waterkit.quantities import RELATIVE
from waterkit.water.meter import Meter, shown_us_cm

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from waterkit.quantities import Numeric

    Array = NDArray[np.float64]
    Rows = NDArray[np.int64]

LAST = 5
"""So many of the newest checks, or pairs of readings, tell how a meter stands now."""
FEWEST = 3
"""Fewer tell nothing: one may be a slip. All figures here are common practice, no source."""
OFF_STANDARD_PERCENT = 5.0
APART_PERCENT = 10.0
DIGITS = 10.0
"""A reading of fewer steps of the display than this is too coarse to compare."""


@dataclass(frozen=True, slots=True)
class Off:
    """How far a meter is off, by the median of its newest readings; the older ones beside it.

    Parameters
    ----------
    percent : float
        What it shows too much, as a share of what it should [%].
    counted : int
        Readings behind that.
    before_percent : float or None
        The same of the readings before those; None without any [%].
    """

    percent: Annotated[float, RELATIVE]
    counted: int
    before_percent: Annotated[float, RELATIVE] | None = None


def standard_at(standard_us_cm: "Numeric", temperature_c: "Numeric") -> "Numeric":
    """What a standard conducts at its own temperature.

    kappa(t) = kappa(25) Lambda(t) / Lambda(25), Lambda of dilute potassium chloride

    Parameters
    ----------
    standard_us_cm : float or array
        Conductivity of the standard at 25 degC [uS/cm].
    temperature_c : float or array
        Its temperature, 0 to 40 [degC].

    Returns
    -------
    conductivity_us_cm : float or array
        Conductivity at that temperature [uS/cm].

    Notes
    -----
    By limiting conductances, within 1 % for standards up to 1413 uS/cm.

    Examples
    --------
    >>> print(standard_at(147.0, 5.0))
    92.0

    References
    ----------
    R. B. McCleskey, Journal of Chemical and Engineering Data 56 (2011) 317-327, coefficients of
    KCl (as an open library carries them).
    """
    return standard_us_cm * _potassium_chloride(temperature_c) / _potassium_chloride(25.0)


def _potassium_chloride(temperature_c: "Numeric") -> "Numeric":
    return (0.009385 * temperature_c + 2.533) * temperature_c + 81.17


def off_standard(shown: "Array", temperature_c: "Array", meter: Meter) -> "Off | None":
    """How far a meter is off its standard.

    median of shown / (standard at its temperature, as this meter should show it) - 1

    Parameters
    ----------
    shown : array
        What it showed in the standard, in the order of time [uS/cm].
    temperature_c : array
        Temperature of the standard; not known counts as 25 [degC].
    meter : Meter
        The meter, with the conductivity of its standard.

    Returns
    -------
    Off or None
        Nothing without a standard, or with too few checks.

    References
    ----------
    Common practice, no source.
    """
    if meter.standard_us_cm is None or meter.standard_us_cm <= 0:
        return None
    celsius = np.where(np.isnan(temperature_c), 25.0, temperature_c)
    should = shown_us_cm(standard_at(meter.standard_us_cm, celsius), celsius, meter)
    return _off(np.asarray(shown / should))


def read_together(times: "Array", others: "Array", within_s: float) -> "tuple[Rows, Rows]":
    """Which readings of two meters belong together: each with the nearest of the other one.

    Parameters
    ----------
    times : array
        When the one meter was read, in seconds, rising [1].
    others : array
        When the other one was, rising [1].
    within_s : float
        Seconds between two readings at most [1].

    Returns
    -------
    tuple of array
        Places in ``times`` and in ``others``, of the same length; each of ``others`` once.

    References
    ----------
    None needed: nothing is worked out.
    """
    if not len(times) or not len(others):
        return np.array([], dtype=np.int64), np.array([], dtype=np.int64)
    after = np.clip(np.searchsorted(others, times), 1, max(len(others) - 1, 1))
    before, after = after - 1, np.minimum(after, len(others) - 1)
    nearer = np.abs(others[after] - times) < np.abs(times - others[before])
    nearest = np.where(nearer, after, before)
    gap = np.abs(others[nearest] - times)
    order = np.lexsort((gap, nearest))
    order = order[gap[order] <= within_s]
    places, first = np.unique(nearest[order], return_index=True)
    return order[first], places


def apart(one: "Array", other: "Array", steps: Sequence[float]) -> "Off | None":
    """How far one meter shows more than another in the same water.

    median of one / other - 1

    Parameters
    ----------
    one, other : array
        Conductivity at 25 degC by each meter, pair by pair in the order of time [uS/cm].
    steps : sequence of float
        Smallest steps of both displays [uS/cm].

    Returns
    -------
    Off or None
        Nothing with too few pairs of readings that both displays resolve.

    References
    ----------
    Common practice, no source.
    """
    floor = DIGITS * max(steps)
    fine = (one >= floor) & (other >= floor) & (one > 0) & (other > 0)
    return _off(one[fine] / other[fine])


def _off(ratio: "Array") -> "Off | None":
    ratio = ratio[np.isfinite(ratio) & (ratio > 0)]
    if len(ratio) < FEWEST:
        return None
    newest, before = ratio[-LAST:], ratio[:-LAST]
    earlier = _percent(before[-LAST:]) if len(before) >= FEWEST else None
    return Off(_percent(newest), len(newest), earlier)


def _percent(ratio: "Array") -> float:
    return 100.0 * (float(np.median(ratio)) - 1.0)
