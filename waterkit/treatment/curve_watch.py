"""Readings at an outlet held against the curve that is expected there."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated, Literal

import numpy as np

from waterkit.quantities import CONDUCTIVITY, VOLUME
from waterkit.treatment.experience import Experience
from waterkit.treatment.likelihood import survival_quantiles
from waterkit.working import Note

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

# All of these are common practice, no source; what they come to is tested on made runs.
LOOKS = 3
"""So many looks in a row, each after some more litres, before anybody is warned."""
PARTS = 200
"""Readings within this part of the curve's litres are one look: its median counts."""
TIMES = 2.0
"""Conductivity may be so many times what the curve allows: meter, temperature, the feed's ups."""
AIR_US_CM = 2.0
"""And so much more: air picked up, and the last digit of a pocket meter [uS/cm]."""
STRETCH = 1.5
"""A vessel may be so many times better or worse than expected, where nothing was learned."""
RARELY = 0.02
"""One vessel in fifty may be worse than that without a warning being wrong."""


@dataclass(frozen=True, slots=True)
class Departure:
    """Readings that have left the expected curve and have stayed off it up to the last one.

    Parameters
    ----------
    side : str
        Whether they are above or below it.
    since_l : float
        Litres at the first of the looks that are off [L].
    looks : int
        How many looks in a row are off.
    shown_us_cm : float
        Median of the last looks, at 25 degC [uS/cm].
    expected_us_cm : float
        What the curve has at the last one, at 25 degC [uS/cm].
    """

    side: Literal["above", "below"]
    since_l: Annotated[float, VOLUME]
    looks: int
    shown_us_cm: Annotated[float, CONDUCTIVITY]
    expected_us_cm: Annotated[float, CONDUCTIVITY]


def stretch_of(experience: Experience | None) -> float:
    """By how many times a good vessel's litres may differ from the expected ones.

    median of the kind / what one vessel in fifty falls short of

    Parameters
    ----------
    experience : Experience or None
        What is known of its kind.

    Returns
    -------
    float
        At least 1; 1.5 where nothing is known [1].

    References
    ----------
    Common practice, no source.
    """
    if experience is None:
        return STRETCH
    (worst,) = np.exp(survival_quantiles(experience.posterior, [RARELY]))
    return max(experience.median_eq_l / float(worst), 1.0)


def departure(
    litres: "Array",
    shown_25_us_cm: "Array",
    curve: "tuple[Array, Array]",
    rinse_l: float,
    stretch: float = STRETCH,
) -> Departure | None:
    """Whether the readings of a run have left the expected curve.

    Off above: three looks in a row, up to the last, all higher than 2 x + 2 uS/cm, x the highest
    of the curve between litres / stretch and litres x stretch. Off below: all lower than half of
    the lowest there, less 2 uS/cm.

    Parameters
    ----------
    litres : array
        Litres that the vessel had treated at each reading, in any order [L].
    shown_25_us_cm : array
        What each reading says of the water at 25 degC [uS/cm].
    curve : tuple of array
        Litres, rising, and conductivity at 25 degC that is expected there [L].
    rinse_l : float
        Litres of rinsing in; readings before them say nothing [L].
    stretch : float
        By how many times the litres of a good vessel may differ [1].

    Returns
    -------
    Departure or None
        None while the readings keep to the curve, or are too few.

    Notes
    -----
    Readings within a two hundredth of the curve's litres are one look, by their median: a bubble,
    a cup that was not rinsed or water that stood is not taken for a spent vessel. A look that is
    back on the curve ends the departure.

    References
    ----------
    Common practice, no source.
    """
    good = np.isfinite(litres) & np.isfinite(shown_25_us_cm) & (litres >= rinse_l)
    if not good.any() or len(curve[0]) == 0:
        return None
    at_l, shown = _looks(litres[good], shown_25_us_cm[good], float(curve[0][-1]) / PARTS)
    highest, lowest = _allowed(at_l, curve, stretch)
    for side, off in (
        ("above", shown > TIMES * highest + AIR_US_CM),
        ("below", shown < lowest / TIMES - AIR_US_CM),
    ):
        looks = int(np.argmin(off[::-1])) if not off.all() else len(off)
        if looks >= LOOKS:
            expected = float(np.interp(at_l[-1], *curve))
            since, now = float(at_l[-looks]), float(np.median(shown[-LOOKS:]))
            return Departure("above" if side == "above" else "below", since, looks, now, expected)
    return None


def most_expected(litres_l: float, curve: "tuple[Array, Array]", stretch: float = STRETCH) -> float:
    """The most that a reading may show after so many litres without being off the curve.

    2 x + 2 uS/cm, x the highest of the curve between litres / stretch and litres x stretch

    Parameters
    ----------
    litres_l : float
        Litres that the vessel has treated [L].
    curve : tuple of array
        Litres, rising, and conductivity at 25 degC that is expected there [L].
    stretch : float
        By how many times the litres of a good vessel may differ [1].

    Returns
    -------
    conductivity_us_cm : float
        At 25 degC [uS/cm].

    References
    ----------
    Common practice, no source.
    """
    highest, _ = _allowed(np.array([litres_l]), curve, stretch)
    return float(TIMES * highest[0] + AIR_US_CM)


def _looks(litres: "Array", shown: "Array", part_l: float) -> "tuple[Array, Array]":
    """Readings that lie close together as one: the median of each."""
    part = np.floor(litres / part_l) if part_l > 0 else litres
    order = np.lexsort((shown, part))
    _, first, count = np.unique(part[order], return_index=True, return_counts=True)
    low, high = order[first + (count - 1) // 2], order[first + count // 2]
    middle = 0.5 * (shown[low] + shown[high])
    last = np.maximum.reduceat(litres[order], first)
    return last, middle


def _allowed(at_l: "Array", curve: "tuple[Array, Array]", stretch: float) -> "tuple[Array, Array]":
    """The highest and the lowest of the curve about each look, as far as a good vessel goes."""
    litres, us_cm = curve
    ends = np.array([np.interp(at_l * times, litres, us_cm) for times in (1 / stretch, 1, stretch)])
    about = (litres >= at_l[:, None] / stretch) & (litres <= at_l[:, None] * stretch)
    highest = np.where(about, us_cm, -np.inf).max(axis=1)
    lowest = np.where(about, us_cm, np.inf).min(axis=1)
    return np.maximum(highest, ends.max(axis=0)), np.minimum(lowest, ends.min(axis=0))


def departure_note(found: Departure) -> Note:
    """The finding that readings leave the expected curve."""
    values = {"since_l": found.since_l, "looks": found.looks, "shown_us_cm": found.shown_us_cm,
              "expected_us_cm": found.expected_us_cm}  # fmt: skip
    return Note("readings-above-curve" if found.side == "above" else "readings-below-curve", values)
