"""One fresh vessel's run: its bed as a column, held against the litres that a club trusts.

An ideal bed supplies the shape of the run, the trusted litres its length.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from waterkit.treatment.bed import Bed, FeedWater, loads_meq_l
from waterkit.treatment.breakthrough import ColumnRun, Leaving, Reached
from waterkit.treatment.column import run_column
from waterkit.treatment.exchange import ANIONS, CATIONS, CHARGE
from waterkit.treatment.ion_exchange import (
    Changeout,
    Endpoint,
    ResinRun,
    Vessel,
    regenerated_share,
)
from waterkit.treatment.selectivity import ANION_TOTAL_EQ_L, CATION_TOTAL_EQ_L
from waterkit.working import Note

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    Array = NDArray[np.float64]

PORE_SHARE = 0.4
"""Water between the beads, as a share of a settled bed: common practice, no source."""
COMMON_END = Endpoint("conductivity", 10.0)
"""Where a rated run ends whose end nobody told: common practice, no source."""
LATE = 1.25
"""An end that comes so many times later than the bed is full tells nothing of the rated litres."""
AGREES = (0.8, 1.25)
"""Trusted litres over those of the ideal bed: outside, one of the two is doubtful."""


@dataclass(frozen=True, slots=True)
class VesselRun:
    """What leaves one fresh vessel, as an ideal bed and as a bed of the trusted litres.

    Parameters
    ----------
    ideal : ColumnRun
        The bed by its capacities.
    run : ColumnRun
        The same bed, scaled: it reaches ``end`` at the trusted litres.
    end : Endpoint
        Where the rated run ends.
    by_model : Reached
        Litres of the ideal bed to that end [L].
    trusted_l, model_l : float
        The litres trusted, and those of the ideal bed that they stand for [L].
    factor : float
        What the capacities of the ideal bed were multiplied by [1].
    notes : tuple of Note
        What was assumed.
    """

    ideal: ColumnRun
    run: ColumnRun
    end: Endpoint
    by_model: Reached
    trusted_l: float
    model_l: float
    factor: float
    notes: tuple[Note, ...] = ()

    @property
    def trusted_over_model(self) -> float:
        """Trusted litres over those of the ideal bed.

        Returns
        -------
        float
            Their ratio [1].

        References
        ----------
        None needed: one over the other.
        """
        return self.trusted_l / self.model_l

    @property
    def scaled_at_end(self) -> bool:
        """Whether the scaled bed reaches its end just at the trusted litres."""
        return self.by_model.litres_l == self.model_l

    @property
    def bed(self) -> Bed:
        """The scaled bed."""
        return self.run.beds_after[0]


def bed_of(vessel: Vessel) -> tuple[Bed, tuple[Note, ...]]:
    """The ideal bed of a fresh vessel: what is regenerated of both resins takes ions, all of it.

    total x share of that resin x resin x regenerated share

    Parameters
    ----------
    vessel : Vessel
        A vessel, described by its totals or not.

    Returns
    -------
    Bed
        Its bed [eq, L].
    tuple of Note
        What was assumed.

    Notes
    -----
    Without totals 1.9 eq/L of cation resin and 1.3 eq/L of anion resin are assumed, without a
    regenerated share 55 %; pores are 0.4 of the bed. What is not regenerated is left out.

    References
    ----------
    Common practice, no source.
    """
    share, notes = regenerated_share(vessel)
    cation_eq_l, anion_eq_l = vessel.cation_total_eq_l, vessel.anion_total_eq_l
    if cation_eq_l is None or anion_eq_l is None:
        cation_eq_l, anion_eq_l = CATION_TOTAL_EQ_L, ANION_TOTAL_EQ_L
        values = {"vessel": vessel.vessel, "cation_eq_l": cation_eq_l, "anion_eq_l": anion_eq_l}
        notes = (Note("totals-assumed", values), *notes)
    cation_l = vessel.resin_l * vessel.cation_share_percent / 100.0
    bed = Bed(
        cation_eq_l * cation_l * share,
        anion_eq_l * (vessel.resin_l - cation_l) * share,
        PORE_SHARE * vessel.resin_l,
    )
    return bed, notes


def vessel_run(
    vessel: Vessel,
    feed: FeedWater,
    trusted_l: float,
    run_bed: "Callable[[Bed, FeedWater], ColumnRun]",
) -> VesselRun:
    """Run a fresh vessel's bed and scale it to the litres that are trusted.

    Parameters
    ----------
    vessel : Vessel
        The vessel in the lead.
    feed : FeedWater
        The water that reaches it [mmol/L].
    trusted_l : float
        Litres to the rated end, as learned or rated [L].
    run_bed : callable
        Runs one bed to exhaustion: :func:`waterkit.treatment.column.run_column`.

    Returns
    -------
    VesselRun
        Both runs, their ratio, and notes.

    Raises
    ------
    FieldError
        If the feed is too salty for a column, or the trusted litres do not even fill its pores.

    Notes
    -----
    Where the rated end is never seen in this water, is seen at once, or only long after the side
    that ends the run is full (carbon dioxide alone conducts little), the bed is scaled by the
    litres that fill that side instead; where the vessel tells no rated end, 10 uS/cm is taken. A
    ratio outside 0.8 to 1.25 is told.

    References
    ----------
    Ratios: common practice, no source.
    """
    bed, notes = bed_of(vessel)
    ideal = run_bed(bed, feed)
    end = vessel.rated_to or COMMON_END
    if vessel.rated_to is None:
        assumed = {"watched": end.watched, "value": end.value}
        notes = (*notes, Note("rated-end-assumed", assumed))
    by_model = ideal.litres_to(end)
    model_l, told = _scaled_at(by_model, _to_the_full_l(bed, feed), end)
    run, factor = ideal.moved(model_l, trusted_l)
    found = VesselRun(ideal, run, end, by_model, trusted_l, model_l, factor)
    notes = (*notes, *told)
    if not AGREES[0] <= found.trusted_over_model <= AGREES[1]:
        values = {"ratio": found.trusted_over_model, "trusted_l": trusted_l, "model_l": model_l}
        notes = (*notes, Note("model-far-from-trusted", values))
    return replace(found, notes=(*notes, *ideal.notes))


@dataclass(frozen=True, slots=True)
class AtChange:
    """A bed when it is changed, and the water that leaves the vessels then.

    ``cation_held`` and ``anion_held`` are shares of what each resin of the lead can take, by what
    it holds; ``H`` and ``OH`` are what is still fresh. ``outlet`` is behind the lag where there is
    one.
    """

    cation_held: Mapping[str, float]
    anion_held: Mapping[str, float]
    outlet: Leaving
    vessels: int


def at_change(found: VesselRun, litres_l: float, vessels: int) -> AtChange:
    """The scaled bed of the lead after so many litres, with like fresh vessels behind it.

    Parameters
    ----------
    found : VesselRun
        The run of one fresh vessel.
    litres_l : float
        Litres that have left it, more than the pores hold [L].
    vessels : int
        Vessels in series, the lead counted [1].

    Returns
    -------
    AtChange
        What the lead holds, and what leaves the last vessel.

    References
    ----------
    The column: see :func:`waterkit.treatment.column.run_column`.
    """
    scaled = found.bed
    fresh = Bed(scaled.cation_eq, scaled.anion_eq, scaled.pore_l, scaled.cells)
    litres_l = max(litres_l, vessels * float(fresh.pore_l) * 1.01)
    run = run_column([fresh] * vessels, found.run.feed, litres=litres_l)
    lead = run.beds_after[0]
    return AtChange(
        _held(lead, CATIONS, "H", float(lead.cation_eq)),
        _held(lead, ANIONS, "OH", float(lead.anion_eq)),
        run.at(float(run.litres[-1])),
        vessels,
    )


def _held(bed: Bed, keys: Sequence[str], fresh: str, capacity_eq: float) -> dict[str, float]:
    """Shares of one resin's equivalents by what it holds, the fresh part first."""
    held = bed.held_mmol or {}
    shares = {
        key: float(np.sum(held[key])) * CHARGE[key] / 1000.0 / capacity_eq
        for key in keys
        if key in held and capacity_eq > 0
    }
    return {fresh: max(0.0, 1.0 - sum(shares.values())), **shares}


def _scaled_at(by_model: Reached, full_l: float, end: Endpoint) -> tuple[float, tuple[Note, ...]]:
    """The litres of the ideal bed that the trusted ones stand for, and why if not its end [L]."""
    mark = {"watched": end.watched, "value": end.value}
    if by_model.reason == "below-fresh-resin":
        return full_l, (Note("scaled-by-capacity-at-once", mark),)
    if by_model.litres_l is None:
        return full_l, (Note("scaled-by-capacity", mark),)
    if by_model.litres_l > LATE * full_l:
        return full_l, (Note("scaled-by-capacity-late", mark),)
    return by_model.litres_l, ()


def _to_the_full_l(bed: Bed, feed: FeedWater) -> float:
    """Litres whose load fills the side that is full first, and the pores [L]."""
    cations, anions, _ = loads_meq_l(feed)
    sides = ((bed.cation_eq, cations), (bed.anion_eq, anions))
    fill = min(1000.0 * float(size) / float(load) for size, load in sides if float(load) > 0)
    return float(bed.pore_l) + fill


def as_far_as_counts_l(bed: Bed, feed: FeedWater) -> float:
    """How far an ideal bed is run where only the litres to its end and to a change are asked.

    1.25 x the litres that fill the side that is full first, and a little: a mark that comes later
    is later than the trusted litres, whichever of its ways :func:`vessel_run` scales the bed.

    Parameters
    ----------
    bed : Bed
        An ideal bed.
    feed : FeedWater
        The water [mmol/L].

    Returns
    -------
    litres_l : float
        Litres that have left it [L].

    References
    ----------
    Balance of charges.
    """
    return 1.01 * LATE * _to_the_full_l(bed, feed)


def changed_by_column(run: ResinRun, changeout: Changeout, found: VesselRun) -> ResinRun:
    """A run by rating, with the litres to the change as the scaled bed reaches the club's marks.

    the least of: share x trusted litres; litres at which the bed reaches each mark

    Parameters
    ----------
    run : ResinRun
        The run by its trusted litres.
    changeout : Changeout
        When the club changes a vessel.
    found : VesselRun
        The bed of that run.

    Returns
    -------
    ResinRun
        With ``litres_to_change``, and a note for each mark that never comes.

    References
    ----------
    None needed: the least of several litres.
    """
    if run.litres_to_exhaustion is None:
        return run
    litres, notes = [run.litres_to_exhaustion], []
    for mark in changeout.at:
        if mark.watched == "litres":
            litres.append(run.litres_to_exhaustion * mark.value / 100.0)
            continue
        reached = found.run.litres_to(mark)
        if reached.litres_l is None:
            values = {"watched": mark.watched, "value": mark.value}
            first = reached.reason == "below-fresh-resin"
            told = Note("mark-below-fresh-resin", values)
            notes.append(told if first else Note("mark-not-reached", values))
        else:
            litres.append(reached.litres_l)
    return replace(
        run,
        litres_to_change=min(litres),
        notes=(*(n for n in run.notes if n.key != "mark-taken-at-exhaustion"), *notes),
    )
