"""What a club has seen of its vessels, and the capacity that it may count on because of it.

Every run says something: one that ended at its limit tells the capacity, one that was changed
before, or still stands, tells what it is at least.
"""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Annotated, Literal

import numpy as np

from waterkit.errors import FieldError
from waterkit.quantities import CAPACITY, CHARGE, CONDUCTIVITY, NUMBER, VOLUME
from waterkit.treatment.ion_exchange import Vessel
from waterkit.treatment.likelihood import TENTHS, Posterior, posterior, quantiles
from waterkit.working import Note

Reason = Literal[
    "at limit", "by litres", "by calendar", "before an event", "damaged", "end of season"
]
Ended = Literal["at its limit", "still good", "past its limit"]


@dataclass(frozen=True, slots=True)
class VesselChange:
    """One row of changeouts.csv: a vessel taken out of a position and one put in.

    ``last_reading_us_cm`` is what the outlet showed at the end [uS/cm], ``treated_total_l`` what
    the water meter behind the resin showed [L].
    """

    date: dt.date
    position: Literal["lead", "lag", "single"]
    vessel_out: str
    vessel_in: str
    reason: Reason = "by litres"
    last_reading_us_cm: Annotated[float, CONDUCTIVITY] | None = None
    treated_total_l: Annotated[float, VOLUME] | None = None


@dataclass(frozen=True, slots=True)
class VesselKind:
    """Vessels that are learned of together: who fills them, and how much resin they hold.

    ``filled`` is the supplier of exchanged vessels, else the kind of service.
    """

    filled: str
    resin_l: Annotated[float, VOLUME]


@dataclass(frozen=True, slots=True)
class RunSeen:
    """One vessel's run in the lead, as far as it went.

    Parameters
    ----------
    vessel : str
        Name of the vessel.
    resin_l : float
        Mixed resin in it [L].
    litres_l : float
        Water that it treated while it stood first [L].
    charge_eq : float
        The load of that water, on the side that the rating counts [eq].
    ended : str
        Whether it ended at its limit, was still good when it was changed or last looked at, or
        had passed its limit unseen.
    until : date or None
        The day of the change, or the last day looked at.
    began_l : float or None
        What the water meter showed when it last began to stand first; None where it is not known
        [L].
    """

    vessel: str
    resin_l: Annotated[float, VOLUME]
    litres_l: Annotated[float, VOLUME]
    charge_eq: Annotated[float, CHARGE]
    ended: Ended = "at its limit"
    until: dt.date | None = None
    began_l: Annotated[float, VOLUME] | None = None

    @property
    def capacity_eq_l(self) -> float:
        """What each litre of its resin took [eq/L]."""
        return self.charge_eq / self.resin_l


@dataclass(frozen=True, slots=True)
class CapacityPrior:
    """What is held of a kind of vessel before any of its runs was seen.

    The medians of suppliers lie lognormal about the rating; the vessels of one supplier lie
    lognormal about its median. What meter and water test are off counts to the vessels' spread.

    Parameters
    ----------
    median_eq_l : float
        The rating, or what stands in for it [eq/L].
    spread : float
        Standard deviation of the logarithm of a supplier's median over the rating [1].
    vessels : float
        Standard deviation of the logarithm of one vessel over its supplier's median: the usual one,
        as likely to be more as to be less [1].
    vessels_doubt : float
        Standard deviation of the logarithm of that; 0 where it is known [1].

    References
    ----------
    The spreads are common practice, no source: ratings of 8 to 12 kgr/ft3 for the same resin, and
    vessels of one supplier that differ by a tenth or so.
    """

    median_eq_l: Annotated[float, CAPACITY]
    spread: Annotated[float, NUMBER] = 0.25
    vessels: Annotated[float, NUMBER] = 0.12
    vessels_doubt: Annotated[float, NUMBER] = 0.5


@dataclass(frozen=True, slots=True)
class Experience:
    """The usable capacity of a kind of vessel, as far as its runs tell.

    Parameters
    ----------
    prior : CapacityPrior
        What was held before.
    median_eq_l, low_eq_l, high_eq_l : float
        Of the usual vessel of this kind: median, and the points that it falls short of in one case
        out of ten and in nine [eq/L].
    exact, bounds : int
        Runs that ended at their limit, and runs that only bound the capacity.
    posterior : Posterior
        The distribution itself, on a grid.
    """

    prior: CapacityPrior
    median_eq_l: Annotated[float, CAPACITY]
    low_eq_l: Annotated[float, CAPACITY]
    high_eq_l: Annotated[float, CAPACITY]
    exact: int
    bounds: int
    posterior: Posterior
    notes: tuple[Note, ...] = ()

    @property
    def runs(self) -> int:
        """Runs that it was learned from."""
        return self.exact + self.bounds


def kind_of(vessel: Vessel) -> VesselKind:
    """The kind that a vessel is learned of with: its supplier and size, else service and size."""
    exchanged = vessel.service == "exchanged" and vessel.supplier
    return VesselKind(vessel.supplier if exchanged else vessel.service, vessel.resin_l)


def usable_capacity(runs: Sequence[RunSeen], prior: CapacityPrior) -> Experience:
    """The usable capacity of a kind of vessel, from its rating and all its runs.

    p(m, s | runs) ~ p(m) p(s) x product over the runs of: density of ln c where the run ended at
    its limit, share of vessels above c where it was still good, share below c where it had passed
    its limit; ln capacity of one vessel is normal about m with standard deviation s

    Parameters
    ----------
    runs : sequence of RunSeen
        Runs of this kind of vessel, finished or not, in any order.
    prior : CapacityPrior
        What is held without them.

    Returns
    -------
    Experience
        Median and 10 and 90 % points of the usual vessel [eq/L]; of one vessel, which may be better
        or worse, see :func:`waterkit.treatment.remaining.one_vessel`.

    Raises
    ------
    FieldError
        If a run has no resin or took no charge, or if the prior has no median or no spread.

    Notes
    -----
    Reckoned on a grid of medians and spreads, so the same runs always give the same figures. Runs
    are taken as independent of each other, and a change as made for reasons that have nothing to do
    with how good the vessel is. A run that ended at its limit is as exact as the club looked often;
    what it was late counts to the vessels' spread. Where every run was ended early, the answer
    leans on the rating; a note says so.

    Examples
    --------
    >>> seen = [RunSeen(f"V{n}", 100.0, 5000.0, 41.0) for n in range(5)]
    >>> usable_capacity(seen, CapacityPrior(0.41)).median_eq_l
    0.41

    References
    ----------
    A. Gelman et al., Bayesian Data Analysis, CRC Press, 3rd ed. 2013: grid approximation (chapter
    3), censored data (chapter 8). From memory. The spreads before any run: common practice, no
    source.
    """
    _check(runs, prior)
    found = posterior(
        np.log([run.capacity_eq_l for run in runs]),
        [run.ended for run in runs],
        (np.log(prior.median_eq_l), prior.spread),
        (prior.vessels, prior.vessels_doubt),
    )
    low, median, high = np.exp(quantiles(found, TENTHS))
    exact = sum(run.ended == "at its limit" for run in runs)
    counted = Experience(
        prior, float(median), float(low), float(high), exact, len(runs) - exact, found
    )
    return replace(counted, notes=_notes(counted))


def _check(runs: Sequence[RunSeen], prior: CapacityPrior) -> None:
    for run in runs:
        if run.resin_l <= 0 or run.charge_eq <= 0:
            raise FieldError(f"the run of {run.vessel!r} holds no resin or took no charge")
    if min(prior.median_eq_l, prior.spread, prior.vessels) <= 0 or prior.vessels_doubt < 0:
        raise FieldError("the capacity before any run needs a median and spreads above 0")


def _notes(found: Experience) -> tuple[Note, ...]:
    """What it was learned from, and where that is thin or at odds with the rating."""
    if not found.runs:
        return (Note("capacity-not-learned"),)
    values = {
        "median_eq_l": found.median_eq_l, "low_eq_l": found.low_eq_l, "high_eq_l": found.high_eq_l,
        "runs": found.runs, "exact": found.exact, "bounds": found.bounds,
    }  # fmt: skip
    notes = [Note("capacity-learned", values)]
    if not found.exact:
        notes.append(Note("capacity-only-bounds", {"bounds": found.bounds}))
    if not found.low_eq_l <= found.prior.median_eq_l <= found.high_eq_l:
        rated = {"rated_eq_l": found.prior.median_eq_l, "median_eq_l": found.median_eq_l}
        notes.append(Note("rating-not-borne-out", rated))
    return tuple(notes)
