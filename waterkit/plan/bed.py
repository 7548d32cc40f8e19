"""The vessel in the lead: litres by what is trusted, and its bed as a column where that is asked.

Each bed is run once for each water, however often a plan is worked out again.
"""

from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Literal

from waterkit.errors import FieldError
from waterkit.treatment.bed import Bed, FeedWater, feed_of
from waterkit.treatment.breakthrough import ColumnRun, Leaving
from waterkit.treatment.column import run_column
from waterkit.treatment.ion_exchange import Changeout, Endpoint, ResinRun, Vessel, run_by_rating
from waterkit.treatment.parcels import Tell
from waterkit.treatment.vessel_run import (
    VesselRun,
    as_far_as_counts_l,
    changed_by_column,
    vessel_run,
)
from waterkit.water.composition import Water, load
from waterkit.water.limits import Limit
from waterkit.working import Note

RUNS_KEPT = 128
SILICA_SHOWS, METER_SHOWS = Endpoint("silica", 0.1), Endpoint("conductivity", 1.0)
"""Where a test kit for silica, and a meter, first show something: common practice, no source."""
WAVE = 1.1
"""Times its strength in the feed from which silica that leaves is called a wave."""
SPENT = 0.5


def resin_run(
    water: Water,
    vessel: Vessel,
    trusted: Vessel,
    changeout: Changeout,
    tell: Tell | None = None,
    far: bool = True,
) -> ResinRun:
    """Litres of a fresh vessel to its rated end and to the change, on a water that reaches it.

    ``trusted`` is the same vessel with the capacity that is trusted most. The bed is run as a
    column only where the club changes by a mark that the meter or a test shows; not ``far`` for
    whoever asks for the litres alone, not for the marks that never come.
    """
    run = run_by_rating(trusted, load(water), changeout)
    if all(mark.watched == "litres" for mark in changeout.at):
        return run
    found = bed_run(water, vessel, run, tell, far)
    return changed_by_column(run, changeout, found) if isinstance(found, VesselRun) else run


def bed_run(
    water: Water, vessel: Vessel, run: ResinRun, tell: Tell | None = None, far: bool = True
) -> VesselRun | Note:
    """The bed as a column, scaled to the litres of a run; a note that tells why it is not."""
    if run.litres_to_exhaustion is None:
        return Note("column-not-run", {"why": "nothing in this water loads the resin"})

    def run_bed(bed: Bed, feed: FeedWater) -> ColumnRun:
        return _once(bed, feed, tell, None if far else as_far_as_counts_l(bed, feed))

    try:
        return vessel_run(vessel, feed_of(water), run.litres_to_exhaustion, run_bed)
    except FieldError as error:
        return Note("column-not-run", {"why": error.message})


PointKey = Literal[
    "change", "limit", "rated end", "acid", "caustic", "silica", "meter", "peak", "spent", "rinse"
]
SAME = 1e-3
"""Points whose litres differ by no more than this share are one point, told by the first key."""


@dataclass(frozen=True, slots=True)
class RunPoint:
    """A point of a run at which somebody has something to do, and what leaves the bed there."""

    key: PointKey
    leaving: Leaving


def run_points(
    found: VesselRun, run: ResinRun, rinse_l: float, strictest: Limit, feed_25_us_cm: float
) -> tuple[RunPoint, ...]:
    """The points of a run in the order they come; those that never come are left out.

    ``change`` is the club's rule, ``limit`` the act limit of the strictest use; ``acid`` and
    ``caustic`` are where such water leaves, ``silica`` and ``meter`` where either first shows,
    ``peak`` is the crest of the silica wave, ``spent`` where half of the conductivity of the feed
    comes through, ``rinse`` the end of rinsing in.
    """
    bed = found.run
    wave = bed.silica_wave
    litres: dict[PointKey, float | None] = {
        "change": run.litres_to_change,
        "limit": bed.litres_to(Endpoint("conductivity", strictest.act_us_cm)).litres_l,
        "rated end": bed.litres_to(found.end).litres_l,
        "acid": bed.mineral_acid_l,
        "caustic": bed.caustic_l,
        "silica": bed.litres_to(SILICA_SHOWS).litres_l,
        "meter": bed.litres_to(METER_SHOWS).litres_l,
        "peak": wave.peak_at_l if wave.peak_mg_l > WAVE * wave.feed_mg_l else None,
        "spent": bed.litres_to(Endpoint("conductivity", SPENT * feed_25_us_cm)).litres_l,
        "rinse": rinse_l,
    }
    told: list[tuple[PointKey, float]] = []
    for key, at in litres.items():
        if at is not None and all(abs(at - other) > SAME * at for _, other in told):
            told.append((key, at))
    return tuple(RunPoint(key, bed.at(at)) for key, at in sorted(told, key=lambda each: each[1]))


@dataclass(frozen=True, slots=True)
class _Asked:
    """A bed and its feed, to be known again; who waits for the run does not count."""

    bed: tuple[float, float, float, int]
    mmol_l: tuple[tuple[str, float], ...]
    temperature_c: float
    litres: float | None
    tell: Tell | None = field(default=None, compare=False)


def _once(bed: Bed, feed: FeedWater, tell: Tell | None, litres: float | None) -> ColumnRun:
    """Run one plain bed for so many litres or to exhaustion, or remember that run."""
    sizes = (float(bed.cation_eq), float(bed.anion_eq), float(bed.pore_l), bed.cells)
    amounts = tuple((key, float(amount)) for key, amount in feed.mmol_l.items())
    run = _run(_Asked(sizes, amounts, float(feed.temperature_c), litres, tell))
    return replace(run, feed=feed, notes=(*feed.notes, *run.notes))


@lru_cache(maxsize=RUNS_KEPT)
def _run(asked: _Asked) -> ColumnRun:
    feed = FeedWater(dict(asked.mmol_l), asked.temperature_c)
    return run_column([Bed(*asked.bed)], feed, litres=asked.litres, tell=asked.tell)
